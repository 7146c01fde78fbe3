//! What a set of assignments costs against the section's wishes.
//!
//! Sums are kept in whole thousandths of a point, milliseconds and millimetres, so that two sets of assignments
//! compare the same on every machine.

use super::conflicts::Rota;
use super::number::{LineNo, List, PassageNo, PlayerNo, StrandNo};
use super::players::PlayerSet;
use super::problem::{Assignments, Line, PassageRef};
use super::seconds::Spot;

/// So many lines of an extra weigh as much as engaging one more; ours.
const LINES_AN_EXTRA: i64 = 4;

/// What each line costs with each player, in thousandths of a point.
pub(super) type Costs = List<LineNo, List<PlayerNo, i64>>;

/// Two lines that should have one player, and what it costs when they do not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Link {
    /// One line.
    pub(super) a: LineNo,
    /// The next line of the strand or of the printed part.
    pub(super) b: LineNo,
    /// What it costs when they have different players, in thousandths of a point.
    pub(super) milli_points: i64,
    /// Whether a printed part ties them, rather than a strand.
    pub(super) by_part: bool,
}

/// What a set of assignments costs, wish by wish.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Cost {
    /// How often a strand passes to another player.
    pub strand_breaks: usize,
    /// How often a printed part passes to another player.
    pub part_breaks: usize,
    /// Lines that are not with the owner of their printed part.
    pub not_with_owner: usize,
    /// Lines that are not with the player who had them last time.
    pub not_as_last_time: usize,
    /// Lines that are not with the player who has them now, those given by hand left out.
    pub changed: usize,
    /// Lines given by hand that are not with that player.
    pub hand_changed: usize,
    /// All walks together, in millimetres, each rounded up.
    pub walk_mm: i64,
    /// What the busiest player plays above the even share, in milliseconds.
    pub load_over_ms: i64,
    /// What the most exposed player has above the even share, in thousandths of a unit of exposure.
    pub exposure_over_milli: i64,
    /// Extras engaged.
    pub extras: usize,
    /// Lines that extras have, where there are others: an extra is for what those engaged cannot take.
    pub lines_of_extras: usize,
    /// All wishes together, weighed, in thousandths of a point.
    pub milli_points: i64,
}

impl Cost {
    /// All wishes together in points.
    pub fn points(&self) -> f64 {
        self.milli_points as f64 / 1000.0
    }

    /// All walks together in metres.
    pub fn walk_m(&self) -> f64 {
        self.walk_mm as f64 / 1000.0
    }
}

/// Whole thousandths, to the nearest.
#[expect(
    clippy::cast_possible_truncation,
    reason = "inputs are checked: metres and seconds below a year’s seconds"
)]
pub(super) fn milli(value: f64) -> i64 {
    (value * 1000.0).round() as i64
}

/// Metres as whole millimetres, rounded up: so a way is still no longer than a way round by another place.
#[expect(clippy::cast_possible_truncation, reason = "inputs are checked: metres below a year’s seconds")]
pub(super) fn millimetres(metres: f64) -> i64 {
    // What binary fractions add to an exact length is far below a millionth of a millimetre.
    (metres * 1000.0 - 1e-6).ceil() as i64
}

/// Thousandths of a point for milliseconds above the even share: `weight` points a minute.
pub(super) fn load_cost(weight: i64, over_ms: i64) -> i64 {
    weight.saturating_mul(over_ms) / 60
}

/// The even share of a total among so many players, rounded up.
pub(super) fn even_share(total: i64, players: usize) -> i64 {
    let players = i64::try_from(players.max(1)).unwrap_or(i64::MAX);
    (total + players - 1) / players
}

impl Rota {
    /// What a set of assignments costs; even shares are taken among `players` players.
    pub fn cost(&self, assignments: &Assignments, players: usize) -> Cost {
        let problem = self.problem();
        let player_count = problem.player_count();
        let mut load: List<PlayerNo, i64> = List::filled(0, player_count);
        let mut exposure: List<PlayerNo, i64> = List::filled(0, player_count);
        for line in problem.lines.numbers() {
            if let Some(player) = assignments.player(line) {
                load[player] += self.load_ms(line);
                exposure[player] += self.exposure_milli(line);
            }
        }
        let over = |sums: &[i64]| {
            let total = sums.iter().sum();
            (sums.iter().copied().max().unwrap_or_default() - even_share(total, players)).max(0)
        };
        let breaks = |by_part: bool| {
            let broken =
                |l: &&Link| l.by_part == by_part && assignments.player(l.a) != assignments.player(l.b);
            self.links().iter().filter(broken).count()
        };
        let not_with = |wanted: fn(&Line) -> Option<PlayerNo>| {
            let other =
                |(line, c): (LineNo, &Line)| wanted(c).is_some_and(|p| assignments.player(line) != Some(p));
            problem.lines.entries().filter(|&one| other(one)).count()
        };
        let used = assignments.used();
        let mut cost = Cost {
            strand_breaks: breaks(false),
            part_breaks: breaks(true),
            not_with_owner: not_with(|c| c.owner),
            not_as_last_time: not_with(|c| c.last_time),
            changed: not_with(|c| c.now.filter(|_| !c.by_hand)),
            hand_changed: not_with(|c| c.now.filter(|_| c.by_hand)),
            walk_mm: used.iter().map(|&p| self.player_walk_mm(assignments, p)).sum(),
            load_over_ms: over(&load),
            exposure_over_milli: over(&exposure),
            extras: used.iter().filter(|&&p| problem.is_extra(p)).count(),
            lines_of_extras: problem
                .lines
                .numbers()
                .filter_map(|line| assignments.player(line))
                .filter(|&p| self.costs_a_line(p))
                .count(),
            milli_points: 0,
        };
        let w = &problem.wishes;
        let times = |weight: u32, count: usize| {
            i64::from(weight) * 1000 * i64::try_from(count).unwrap_or(i64::MAX / 1_000_000_000_000)
        };
        cost.milli_points = times(w.stay, cost.strand_breaks)
            + times(w.part, cost.part_breaks + cost.not_with_owner)
            + times(w.last_time, cost.not_as_last_time)
            + times(w.near, cost.changed)
            + times(w.by_hand, cost.hand_changed)
            + times(w.extra, cost.extras)
            + times(w.extra, cost.lines_of_extras) / LINES_AN_EXTRA
            + i64::from(w.walk) * cost.walk_mm
            + load_cost(i64::from(w.load), cost.load_over_ms)
            + i64::from(w.exposure) * cost.exposure_over_milli;
        cost
    }

    /// Whether each line of a player costs points: an extra's, where there is anybody else.
    fn costs_a_line(&self, player: PlayerNo) -> bool {
        let problem = self.problem();
        problem.is_extra(player) && problem.players.len() > problem.reserve.len()
    }

    /// The metres that one player walks, in millimetres, each way rounded up.
    pub fn player_walk_mm(&self, assignments: &Assignments, player: PlayerNo) -> i64 {
        self.player_ways_m(assignments, player).into_iter().map(millimetres).sum()
    }

    /// The metres that all players walk.
    pub fn walk_m(&self, assignments: &Assignments) -> f64 {
        // Not a sum: of nothing that is a negative zero.
        assignments
            .used()
            .into_iter()
            .flat_map(|p| self.player_ways_m(assignments, p))
            .fold(0.0, |all, way| all + way)
    }

    /// A player's ways from passage to passage, in metres.
    fn player_ways_m(&self, assignments: &Assignments, player: PlayerNo) -> Vec<f64> {
        let spots: Vec<Spot> =
            self.in_time(assignments, player).iter().filter_map(|&p| self.spot(p)).collect();
        spots.windows(2).map(|w| if let [a, b] = w { self.metres(*a, *b) } else { 0.0 }).collect()
    }

    /// A player's passages in the order of their starts.
    pub(super) fn in_time(&self, assignments: &Assignments, player: PlayerNo) -> Vec<PassageRef> {
        let mut mine: Vec<(i64, PassageRef)> = Vec::new();
        for line in assignments.lines_of(player) {
            let at = |passage: PassageNo| PassageRef { line, passage };
            mine.extend(self.spans(line).entries().map(|(passage, s)| (s.from, at(passage))));
        }
        mine.sort_unstable();
        mine.into_iter().map(|(_, passage)| passage).collect()
    }

    /// The seconds that a line plays, in milliseconds.
    pub fn load_ms(&self, line: LineNo) -> i64 {
        self.spans(line).iter().map(|s| s.to - s.from).sum::<i64>() / 1000
    }

    pub(super) fn exposure_milli(&self, line: LineNo) -> i64 {
        milli(self.problem().lines[line].exposure)
    }

    /// Neighbouring lines of the strands and of the printed parts, in the order of their first passages.
    pub(super) fn find_links(&self) -> Vec<Link> {
        let w = &self.problem().wishes;
        let mut links = self.links_by(|c| c.strand, w.stay, false);
        links.extend(self.links_by(|c| c.part, w.part, true));
        links
    }

    fn links_by(&self, of: fn(&Line) -> Option<StrandNo>, weight: u32, by_part: bool) -> Vec<Link> {
        let lines = self.problem().lines.entries();
        let mut tied: Vec<Tied> = lines
            .filter_map(|(line, c)| Some(Tied { strand: of(c)?, onset: self.onset(line), line }))
            .collect();
        tied.sort_unstable();
        let milli_points = i64::from(weight) * 1000;
        let link = |pair: &[Tied]| match pair {
            [a, b] if a.strand == b.strand => Some(Link { a: a.line, b: b.line, milli_points, by_part }),
            _ => None,
        };
        tied.windows(2).filter_map(link).collect()
    }

    /// Where a line starts, in microseconds; the far end of time for a line with no passages.
    pub(super) fn onset(&self, line: LineNo) -> i64 {
        self.spans(line).first().map_or(i64::MAX, |s| s.from)
    }

    /// For each line the points, in thousandths, that each player would cost on their own account.
    pub(super) fn own_costs(&self) -> Costs {
        let w = &self.problem().wishes;
        let apart = |wanted: Option<PlayerNo>, p: PlayerNo, weight: u32| {
            if wanted.is_some_and(|wanted| wanted != p) { i64::from(weight) * 1000 } else { 0 }
        };
        let one = |c: &Line, p: PlayerNo| {
            let near = if c.by_hand { w.by_hand } else { w.near };
            let extra = if self.costs_a_line(p) { i64::from(w.extra) * 1000 / LINES_AN_EXTRA } else { 0 };
            apart(c.last_time, p, w.last_time) + apart(c.owner, p, w.part) + apart(c.now, p, near) + extra
        };
        let player_count = self.problem().player_count();
        self.problem().lines.iter().map(|c| List::made(player_count, |p| one(c, p))).collect()
    }
}

/// A line of a strand, in the order of strands and then of time.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Tied {
    strand: StrandNo,
    /// When it starts, microseconds.
    onset: i64,
    line: LineNo,
}

/// The cheapest of a node's players, by their costs.
pub(super) fn cheapest(costs: &List<PlayerNo, i64>, players: PlayerSet) -> i64 {
    players.each().map(|p| costs[p]).min().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rota::Effort;
    use crate::rota::text::read;
    use rstest::rstest;

    /// Two lines of two minutes each far apart; `a` plays for the Ana's printed part, `b` was Ben's last time.
    const TWO: &str = "players Ana Ben Cy\nline a at 0,0 part P1 owner Ana exposure 2: 0-120\n\
        line b at 3,4 part P1 had Ben now Ana: 400-520";

    fn rota(text: &str) -> Rota {
        Rota::new(read(text).unwrap()).unwrap()
    }

    fn assignments(players: &[usize]) -> Assignments {
        Assignments { players: players.iter().map(|&p| Some(PlayerNo(p))).collect() }
    }

    // Worked by hand. Two players: an even share is 120 s and 1 unit of exposure. Points: a minute above 1, a metre 1, a
    // unit 1, not as last time 6, a part that passes or is not its owner's 8, another player than now 3.
    #[rstest]
    #[case::one_plays_both([0, 0], Cost { not_as_last_time: 1, walk_mm: 5000, load_over_ms: 120_000, exposure_over_milli: 1000, milli_points: 6000 + 5000 + 2000 + 1000, ..Cost::default() })]
    #[case::as_last_time([0, 1], Cost { part_breaks: 1, changed: 1, exposure_over_milli: 1000, milli_points: 8000 + 3000 + 1000, ..Cost::default() })]
    #[case::the_wrong_owner([1, 0], Cost { part_breaks: 1, not_with_owner: 1, not_as_last_time: 1, exposure_over_milli: 1000, milli_points: 16_000 + 6000 + 1000, ..Cost::default() })]
    fn every_wish_costs_what_it_weighs(#[case] players: [usize; 2], #[case] cost: Cost) {
        assert_eq!(rota(TWO).cost(&assignments(&players), 2), cost);
    }

    #[test]
    fn a_minute_above_the_even_share_costs_a_point_a_weight() {
        assert_eq!(load_cost(1, 60_000), 1000);
        assert_eq!(load_cost(3, 90_000), 4500);
    }

    #[rstest]
    #[case(0.0, 0)]
    #[case(1.0, 1000)]
    #[case(1.0001, 1001)]
    #[case(0.3, 300)]
    fn a_way_is_rounded_up_to_whole_millimetres(#[case] metres: f64, #[case] mm: i64) {
        assert_eq!(millimetres(metres), mm);
    }

    #[rstest]
    #[case(7, 2, 4)]
    #[case(8, 2, 4)]
    #[case(5, 0, 5)]
    fn an_even_share_is_rounded_up(#[case] total: i64, #[case] players: usize, #[case] share: i64) {
        assert_eq!(even_share(total, players), share);
    }

    #[test]
    fn an_extra_gets_only_what_those_engaged_cannot_take() {
        // Two sound at once in the first piece; in the second and third one player is enough.
        let text = "players Ana\nextras 1\nline a: 0-120\nline b: 0-120\nline c: 400-520\nline d: 800-920";
        let rota = rota(text);
        let best = rota.best(2, None, Effort::default()).unwrap();
        assert!(best.proven());
        assert_eq!((best.cost.extras, best.cost.lines_of_extras), (1, 1), "{:?}", best.assignments);
    }

    /// Three lines at one place; Ana has them all, though that costs points for the load.
    const THREE: &str = "players Ana Ben\nline a at 0,0 now Ana: 0-120\nline b at 0,0 now Ana: 400-520\n\
        line c at 0,0 now Ana: 800-920";

    #[test]
    fn a_small_gain_changes_nothing_and_what_was_done_by_hand_stays() {
        let best = |text: &str, load: u32| {
            let mut problem = read(text).unwrap();
            problem.wishes.load = load;
            let rota = Rota::new(problem).unwrap();
            let best = rota.best(2, None, Effort::default()).unwrap();
            assert!(best.proven());
            best
        };
        // Ben could take one for 3 points and save 2 minutes above the even share of 3.
        assert_eq!(best(THREE, 1).cost.changed, 0, "two points are not worth a change");
        assert_eq!(best(THREE, 2).cost.changed, 1, "four points are, and no more changes than that");
        let by_hand = THREE.replace("now", "hand");
        assert_eq!(best(&by_hand, 2).cost.hand_changed, 0, "done by hand it stays");
        assert_eq!(best(&by_hand, 100).cost.hand_changed, 1, "as a wish, not at any price");
    }

    #[test]
    fn costs_are_told_in_points_and_metres() {
        let cost = Cost { milli_points: 1500, walk_mm: 2250, ..Cost::default() };
        assert!((cost.points() - 1.5).abs() < 1e-12 && (cost.walk_m() - 2.25).abs() < 1e-12);
        assert_eq!((milli(0.0014), milli(2.0), milli(1.0006)), (1, 2000, 1001));
    }

    /// Ana goes from (0, 0) to (3, 4): 5 m. A line that sounds from 0 to 2 and from 3 to 3.5 s plays 2.5 s.
    #[test]
    fn ways_and_loads_are_added_up() {
        let rota = rota(TWO);
        assert!((rota.walk_m(&assignments(&[0, 0])) - 5.0).abs() < 1e-12);
        assert!(rota.walk_m(&assignments(&[0, 1])).abs() < 1e-12);
        assert_eq!(rota.player_walk_mm(&assignments(&[0, 0]), PlayerNo(0)), 5000);
        assert_eq!(rota.player_walk_mm(&assignments(&[0, 0]), PlayerNo(1)), 0);
        let two = super::tests::rota("extras 2\nline a: 0-2 3-3.5\nline b: 60-61");
        assert_eq!((two.load_ms(LineNo(0)), two.load_ms(LineNo(1))), (2500, 1000));
        assert_eq!((two.onset(LineNo(0)), two.onset(LineNo(1))), (0, 60_000_000));
        let order = two.in_time(&assignments(&[0, 0]), PlayerNo(0));
        let order: Vec<(usize, usize)> = order.into_iter().map(|p| (p.line.0, p.passage.0)).collect();
        assert_eq!(order, [(0, 0), (0, 1), (1, 0)]);
    }

    // An extra costs 20 points, and 5 for each line where there is anybody else; 2 minutes each are the even share.
    #[rstest]
    #[case("players Ana\nextras 1", [0, 1], 1, 1, 25_000)]
    #[case("players Ana Ben\nreserve Ben", [0, 1], 1, 1, 25_000)]
    #[case("players Ana Ben", [0, 1], 0, 0, 0)]
    #[case("extras 2", [0, 1], 2, 0, 40_000)]
    #[case("players Ana Ben\nreserve Ana Ben", [0, 1], 2, 0, 40_000)]
    fn extras_cost_points(
        #[case] who: &str,
        #[case] players: [usize; 2],
        #[case] extras: usize,
        #[case] lines: usize,
        #[case] points: i64,
    ) {
        let rota = rota(&format!("{who}\nline a: 0-120\nline b: 0-120"));
        let cost = rota.cost(&assignments(&players), 2);
        assert_eq!((cost.extras, cost.lines_of_extras, cost.milli_points), (extras, lines, points));
    }

    /// What was done by hand costs 40 points to change, what merely is so now 3.
    #[test]
    fn changes_cost_by_how_they_came_about() {
        let text = "players Ana Ben\nline a now Ana: 0-1\nline b hand Ana: 60-61";
        let cost = rota(text).cost(&assignments(&[1, 1]), 1);
        assert_eq!((cost.changed, cost.hand_changed), (1, 1));
        // One player's own default way: 2.0 m.
        assert_eq!(cost.milli_points, 3000 + 40_000 + 2000);
    }

    /// Last time 6, the owner of the part 8, the present player 3 or, by hand, 40; an extra 5 for the line.
    #[test]
    fn each_line_costs_with_each_player_what_it_would() {
        let text = "players Ana Ben\nextras 1\nline a owner Ana had Ben now Ana: 0-1\nline b hand Ben: 60-61";
        let own = rota(text).own_costs();
        let row = |line: usize| own[LineNo(line)].iter().copied().collect::<Vec<i64>>();
        assert_eq!(row(0), [6000, 8000 + 3000, 6000 + 8000 + 3000 + 5000]);
        assert_eq!(row(1), [40_000, 0, 40_000 + 5000]);
        let all = PlayerSet::first(3);
        assert_eq!(cheapest(&own[LineNo(0)], all), 6000);
        assert_eq!(cheapest(&own[LineNo(0)], all - PlayerSet::only(PlayerNo(0))), 11_000);
    }

    /// The lines of a strand are tied in the order in which they begin, each to the next: 10 points; of a part: 8.
    #[test]
    fn strands_and_parts_tie_neighbours() {
        let text = "players Ana\nline a strand s: 90-91\nline b strand s part P: 0-1\nline c strand s: 30-31\n\
            line d strand t: 60-61\nline e part P: 70-71";
        let links: Vec<(usize, usize, i64, bool)> =
            rota(text).find_links().iter().map(|l| (l.a.0, l.b.0, l.milli_points, l.by_part)).collect();
        assert_eq!(links, [(1, 2, 10_000, false), (2, 0, 10_000, false), (1, 4, 8000, true)]);
    }
}
