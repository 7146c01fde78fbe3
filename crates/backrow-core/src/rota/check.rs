//! The independent checker: goes over every answer again, by plain code.
//!
//! It shares nothing with the search but the input types. It is slow and simple on purpose: two passages
//! at a time, straight from the problem. It goes over every answer before the answer is given; what it finds stands in the
//! answer, which then does not count as proven.

use super::fewest::{Proof, Shape};
use super::number::{BeatersNo, InstrumentNo, LineNo, PlayerNo};
use super::problem::{Assignments, AtOnce, Demand, Passage, PassageOf, Problem};
use crate::seconds::{Habits, Hold};
use std::collections::BTreeSet;

/// Tries that a core is checked with; a larger one is left to the search.
const MOST_TRIES: u32 = 200_000;

/// Everything that is wrong with a set of assignments; empty when it keeps every rule.
pub fn faults(problem: &Problem, assignments: &Assignments) -> Vec<String> {
    let mut found = Vec::new();
    if assignments.players.len() != problem.lines.len() {
        found.push("the assignments do not have one entry a line".to_owned());
    }
    for (c, line) in problem.lines.entries() {
        match assignments.player(c) {
            None => found.push(format!("{} has no player", line.label)),
            Some(p) if p.0 >= problem.player_count() => {
                found.push(format!("{} has a player that is not there", line.label));
            }
            Some(_) => {}
        }
    }
    let given: Vec<(LineNo, Option<PlayerNo>)> =
        problem.lines.numbers().map(|c| (c, assignments.player(c))).collect();
    for (place, &(a, player)) in given.iter().enumerate().filter(|(_, (_, player))| player.is_some()) {
        for &(b, _) in given.iter().skip(place + 1).filter(|(_, other)| *other == player) {
            if let Some(why) = cannot_take_both(problem, a, b) {
                found.push(format!("{} and {}: {why}", problem.line_label(a), problem.line_label(b)));
            }
        }
    }
    for demand in &problem.demands {
        if !kept(problem, assignments, demand) {
            found.push(format!("rule broken: {}", super::words::demand_words(problem, demand)));
        }
    }
    for &AtOnce { instrument, players } in &problem.at_once {
        found.extend(hands_at_once(problem, assignments, instrument, players));
    }
    found
}

/// Why one player cannot take both lines, by plain sums; `None` when one can.
pub fn cannot_take_both(problem: &Problem, a: LineNo, b: LineNo) -> Option<String> {
    if problem.playable_together.iter().any(|&(x, y)| (x, y) == (a, b) || (x, y) == (b, a)) {
        return None;
    }
    let (one, two) = (problem.lines.find(a)?, problem.lines.find(b)?);
    for p in &one.passages {
        for q in &two.passages {
            let (one, other) = (PassageOf { line: a, passage: p }, PassageOf { line: b, passage: q });
            let (from, to) = if p.from_s <= q.from_s { (one, other) } else { (other, one) };
            let (first, then) = (from.passage, to.passage);
            let need = need_us(problem, from, to);
            let gap = whole_us(then.from_s) - whole_us(first.to_s);
            if gap < need || whole_us(p.from_s) == whole_us(q.from_s) {
                return Some(format!(
                    "from {}\u{202F}s to {}\u{202F}s there are {}\u{202F}s too few",
                    first.to_s,
                    then.from_s,
                    (need - gap) as f64 / 1e6
                ));
            }
        }
    }
    None
}

#[expect(clippy::cast_possible_truncation, reason = "a checker of checked input")]
fn whole_us(seconds: f64) -> i64 {
    (seconds * 1_000_000.0).round() as i64
}

fn need_us(problem: &Problem, from: PassageOf<'_>, to: PassageOf<'_>) -> i64 {
    let (first, then) = (from.passage, to.passage);
    let Habits { pace_m_s, settle_s, default_distance_m, .. } = problem.habits;
    let change = change_us(problem, first, then);
    if let (Some(needs), Some(leaves), Some(comes)) = (&problem.needs, first.stances, then.stances) {
        let need = &needs[leaves.ends][comes.begins];
        // Where the hands are known the change is worked out again; where they are not, it is what was given.
        let known = first.beaters.is_some() && then.beaters.is_some() && from.line != to.line;
        let change = if known { change.max(need.change_us) } else { need.change_us };
        return need.pace_us + need.steps_us + need.settle_us + change;
    }
    let (one, two) = (&problem.lines[from.line], &problem.lines[to.line]);
    let metres = match (first.place, then.place) {
        (Some(here), Some(there)) => {
            let ([ax, ay], [bx, by]) = (problem.places_m[here], problem.places_m[there]);
            ((ax - bx).powi(2) + (ay - by).powi(2)).sqrt()
        }
        _ if one.instruments.iter().any(|i| two.instruments.contains(i)) => 0.0,
        _ => default_distance_m,
    };
    // A thousandth of a millimetre is no way.
    let walk = if metres > 1e-6 { whole_us(metres / pace_m_s + settle_s) } else { 0 };
    walk + change
}

/// The seconds of everything that must leave the hands or come into them, the longest alone.
fn change_us(problem: &Problem, first: &Passage, then: &Passage) -> i64 {
    let holds = |key: Option<BeatersNo>, hold: Hold| {
        key.and_then(|key| problem.holds.find(key)).is_some_and(|holds| holds.contains(&hold))
    };
    let habits = &problem.habits;
    let before = if first.ends_with.is_some() { first.ends_with } else { first.beaters };
    let mut longest = if before == then.beaters { 0 } else { whole_us(habits.change_s) };
    for (hold, seconds) in [
        (Hold::Cymbals, habits.cymbals_s),
        (Hold::FourMallets, habits.four_mallets_s),
        (Hold::Bow, habits.bow_s),
        (Hold::Gloves, habits.gloves_s),
    ] {
        if holds(before, hold) != holds(then.beaters, hold) {
            longest = longest.max(whole_us(seconds));
        }
    }
    longest
}

fn kept(problem: &Problem, assignments: &Assignments, demand: &Demand) -> bool {
    let who = |line: LineNo| assignments.player(line);
    match demand {
        Demand::Pin { line, player } => who(*line) == Some(*player),
        Demand::Bar { player, lines, .. } => lines.iter().all(|&c| who(c) != Some(*player)),
        Demand::Only { lines, players, .. } => {
            lines.iter().all(|&c| who(c).is_some_and(|p| players.contains(&p)))
        }
        Demand::Together { a, b } => who(*a) == who(*b),
        Demand::Apart { a, b } => who(*a) != who(*b),
        Demand::Hands { instrument, hands, .. } => {
            hands_at_once(problem, assignments, *instrument, *hands).is_empty()
        }
    }
}

/// Where more players than `hands` are at one instrument at once.
fn hands_at_once(
    problem: &Problem,
    assignments: &Assignments,
    instrument: InstrumentNo,
    hands: usize,
) -> Vec<String> {
    let mut on_it: Vec<(i64, i64, Option<PlayerNo>)> = Vec::new();
    for (c, line) in problem.lines.entries() {
        let player = assignments.player(c);
        if line.instruments.contains(&instrument) {
            on_it.extend(line.passages.iter().map(|p| (whole_us(p.from_s), whole_us(p.to_s), player)));
        }
        for visit in line.visits.iter().filter(|visit| visit.instrument == instrument) {
            on_it.push((whole_us(visit.from_s), whole_us(visit.to_s), player));
        }
    }
    let mut found = Vec::new();
    for &(moment, _, me) in &on_it {
        let mut players: Vec<Option<PlayerNo>> = on_it
            .iter()
            .filter(|&&(f, t, _)| f == moment || (f < moment && moment < t))
            .map(|&(.., p)| p)
            .collect();
        players.push(me);
        players.sort_unstable();
        players.dedup();
        if players.len() > hands {
            found.push(format!(
                "{} players at one instrument at {}\u{202F}s",
                players.len(),
                moment as f64 / 1e6
            ));
        }
    }
    found
}

/// What does not hold in a proof that fewer than `players` are not enough; a search is not gone over again, nor a core too
/// large to be tried.
pub fn proof_faults(problem: &Problem, proof: &Proof, players: usize) -> Vec<String> {
    let clash = |a: LineNo, b: LineNo| cannot_take_both(problem, a, b).is_some();
    let all_clash = |lines: &[LineNo]| {
        lines.iter().enumerate().all(|(i, &a)| lines.iter().skip(i + 1).all(|&b| clash(a, b)))
    };
    let holds = match proof.shape {
        Shape::Moment => proof.lines.len() >= players && all_clash(&proof.lines),
        Shape::Ring => {
            let round = proof.lines.iter().zip(proof.lines.iter().cycle().skip(1));
            proof.lines.len() % 2 == 1
                && proof.lines.len() >= 3
                && proof.beside_ring.len() + 3 >= players
                && round.into_iter().all(|(&a, &b)| clash(a, b))
                && all_clash(&proof.beside_ring)
                && proof.beside_ring.iter().all(|&hub| proof.lines.iter().all(|&c| clash(hub, c)))
        }
        Shape::Core => {
            let mut tries = MOST_TRIES;
            let fewer = players.saturating_sub(1);
            Trial::new(problem, &proof.lines, &proof.demands, fewer).enough(&mut Vec::new(), &mut tries)
                != Some(true)
        }
        Shape::Search => true,
    };
    if holds { Vec::new() } else { vec![format!("the proof by {} does not hold", proof.shape.word())] }
}

/// Whether `lines` can be shared out among `players` players with no demand at all, by trying everything.
/// For cores and rings: plain backtracking, line by line.
pub fn enough_by_trying(problem: &Problem, lines: &[LineNo], players: usize) -> bool {
    let mut tries = u32::MAX;
    Trial::new(problem, lines, &[], players).enough(&mut Vec::new(), &mut tries) == Some(true)
}

/// Lines that are tried on players, one after the other.
struct Trial<'a> {
    problem: &'a Problem,
    lines: &'a [LineNo],
    demands: &'a [Demand],
    most: usize,
    clashes: BTreeSet<(LineNo, LineNo)>,
}

impl<'a> Trial<'a> {
    fn new(problem: &'a Problem, lines: &'a [LineNo], demands: &'a [Demand], most: usize) -> Self {
        let pairs = lines.iter().flat_map(|&a| lines.iter().map(move |&b| (a, b)));
        let clashes = pairs.filter(|&(a, b)| a != b && cannot_take_both(problem, a, b).is_some()).collect();
        Self { problem, lines, demands, most, clashes }
    }

    /// Whether the lines from the given ones on can be shared out; `None` when the tries ran out.
    fn enough(&self, given: &mut Vec<PlayerNo>, tries: &mut u32) -> Option<bool> {
        let Some(&line) = self.lines.get(given.len()) else { return Some(true) };
        let used: BTreeSet<PlayerNo> = given.iter().copied().collect();
        // Without demands everybody is alike, and one player who has nothing yet stands for all of them.
        let player_count = if self.demands.is_empty() { used.len() + 1 } else { self.problem.player_count() };
        for player in (0..player_count).map(PlayerNo) {
            if !used.contains(&player) && used.len() >= self.most {
                continue;
            }
            *tries = tries.checked_sub(1)?;
            given.push(player);
            if self.stands(given, line, player) && self.enough(given, tries)? {
                given.pop();
                return Some(true);
            }
            given.pop();
        }
        Some(false)
    }

    /// Whether the line, the last of the given ones, can go to the player beside the others.
    fn stands(&self, given: &[PlayerNo], line: LineNo, player: PlayerNo) -> bool {
        let before = || self.lines.iter().zip(given).take(given.len() - 1);
        let free = before().all(|(&other, &p)| p != player || !self.clashes.contains(&(line, other)));
        let who = |c: LineNo| self.lines.iter().zip(given).find(|(other, _)| **other == c).map(|(_, &p)| p);
        free && self.demands.iter().all(|demand| match demand {
            Demand::Pin { line, player } => who(*line).is_none_or(|p| p == *player),
            Demand::Bar { player, lines, .. } => lines.iter().all(|&c| who(c) != Some(*player)),
            Demand::Only { lines, players, .. } => {
                lines.iter().all(|&c| who(c).is_none_or(|p| players.contains(&p)))
            }
            Demand::Together { a, b } => who(*a).zip(who(*b)).is_none_or(|(a, b)| a == b),
            Demand::Apart { a, b } => who(*a).zip(who(*b)).is_none_or(|(a, b)| a != b),
            Demand::Hands { lines, hands, .. } => {
                let there: BTreeSet<PlayerNo> = lines.iter().filter_map(|&c| who(c)).collect();
                there.len() <= *hands
            }
        })
    }
}

#[cfg(test)]
mod worked;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rota::problem::stand_by_line;
    use crate::rota::text::read;
    use crate::rota::{Effort, List, Rota, StanceNo};
    use rstest::rstest;

    fn assignments(players: &[Option<usize>]) -> Assignments {
        Assignments { players: players.iter().map(|p| p.map(PlayerNo)).collect() }
    }

    #[rstest]
    #[case::clash("extras 2\nline a: 0-4\nline b: 3-5", &[Some(0), Some(0)], "a and b: from 4\u{202f}s to 3\u{202f}s there are")]
    #[case::nobody("extras 2\nline a: 0-4", &[None], "a has no player")]
    #[case::no_such_player("extras 2\nline a: 0-4", &[Some(2)], "a has a player that is not there")]
    #[case::too_few("extras 2\nline a: 0-4\nline b: 90-95", &[Some(0)], "the assignments do not have")]
    #[case::pin("players Ana Ben\nline a: 0-4\npin a Ana", &[Some(1)], "rule broken: a stays with Ana")]
    #[case::bar("players Ana\nline a: 0-4\nbar Ana a because ill", &[Some(0)], "rule broken: Ana cannot take a (ill)")]
    #[case::only("players Ana Ben\nline a: 0-4\nonly Ana a", &[Some(1)], "rule broken: a only for Ana")]
    #[case::together("extras 2\nline a: 0-4\nline b: 90-95\ntogether a b", &[Some(0), Some(1)], "rule broken")]
    #[case::apart("extras 2\nline a: 0-4\nline b: 90-95\napart a b", &[Some(0), Some(0)], "rule broken")]
    #[case::hands("extras 2\nhands m 1\nline a on m: 0-4\nline b on m: 2-5", &[Some(0), Some(1)], "2 players at one")]
    fn what_is_wrong_is_found(#[case] text: &str, #[case] players: &[Option<usize>], #[case] told: &str) {
        let found = faults(&read(text).unwrap(), &assignments(players));
        assert!(found.iter().any(|fault| fault.starts_with(told)), "{found:?}");
    }

    #[test]
    fn given_needs_are_summed_part_by_part() {
        let mut problem = read("extras 2\nline a: 0-1\nline b: 6-7").unwrap();
        let need = |us| crate::seconds::Need {
            metres: 1.0,
            steps: 1,
            same_place: false,
            assumed: false,
            change: Some(crate::seconds::Change::Beaters),
            pace_us: us,
            steps_us: 1_000_000,
            settle_us: 1_000_000,
            change_us: 1_000_000,
        };
        let given = |us: i64| Some(List::made(2, |_: StanceNo| List::made(2, |_: StanceNo| need(us))));
        stand_by_line(&mut problem);
        problem.needs = given(2_000_000);
        assert_eq!(cannot_take_both(&problem, LineNo(0), LineNo(1)), None, "five seconds are enough");
        problem.needs = given(2_000_001);
        assert!(cannot_take_both(&problem, LineNo(0), LineNo(1)).is_some());
    }

    const RING: &str = "extras 9\nline a: 0-1 90-91\nline b: 0-1 20-21\nline c: 20-21 40-41\nline d: 40-41 60-61\n\
        line e: 60-61 90-91\nline f: 200-201";

    #[test]
    fn a_proof_that_does_not_hold_is_told() {
        let rota = Rota::new(read(RING).unwrap()).unwrap();
        let super::super::Answer::Found(found) = rota.fewest(Effort::default()) else { panic!("three can") };
        assert_eq!((found.proof.shape, found.faults.len()), (Shape::Ring, 0));
        let wrong = |change: &dyn Fn(&mut Proof)| {
            let mut proof = found.proof.clone();
            change(&mut proof);
            proof_faults(rota.problem(), &proof, 3).len()
        };
        assert_eq!(wrong(&|_| ()), 0);
        assert_eq!(wrong(&|p| p.lines[0] = LineNo(5)), 1, "a line that clashes with none");
        assert_eq!(wrong(&|p| p.lines.truncate(4)), 1, "an even ring");
        assert_eq!(wrong(&|p| p.beside_ring.push(LineNo(5))), 1, "a hub that clashes with none");
        assert_eq!(proof_faults(rota.problem(), &found.proof, 4).len(), 1, "a ring alone needs three");
        assert_eq!(wrong(&|p| p.shape = Shape::Moment), 1, "they do not all clash");
        let core = |lines: &[usize]| Proof {
            shape: Shape::Core,
            lines: lines.iter().copied().map(LineNo).collect(),
            beside_ring: Vec::new(),
            ..found.proof.clone()
        };
        assert_eq!(proof_faults(rota.problem(), &core(&[0, 1, 2, 3, 4]), 3).len(), 0);
        assert_eq!(
            proof_faults(rota.problem(), &core(&[0, 1, 2, 3]), 3).len(),
            1,
            "two are enough for these"
        );
    }

    #[test]
    fn a_core_is_tried_with_its_demands() {
        let problem = read("players Ana Ben\nline a: 0-1\nline b: 50-51\npin a Ana\npin b Ben").unwrap();
        let proof = |demands: &[Demand]| Proof {
            shape: Shape::Core,
            lines: vec![LineNo(0), LineNo(1)],
            beside_ring: Vec::new(),
            passages: Vec::new(),
            at_s: None,
            demands: demands.to_vec(),
        };
        assert_eq!(proof_faults(&problem, &proof(&problem.demands), 2).len(), 0);
        assert_eq!(proof_faults(&problem, &proof(&problem.demands[..1]), 2).len(), 1);
    }

    #[test]
    fn an_answer_that_the_checker_doubts_is_not_proven() {
        let rota = Rota::new(read("extras 2\nline a: 0-4\nline b: 3-5").unwrap()).unwrap();
        let super::super::Answer::Found(mut found) = rota.fewest(Effort::default()) else {
            panic!("two can")
        };
        assert!(found.proven());
        found.faults.push("something".to_owned());
        assert!(!found.proven());
        let mut best = rota.best(2, None, Effort::default()).unwrap();
        assert!(best.proven());
        best.faults.push("something".to_owned());
        assert!(!best.proven());
    }
}
