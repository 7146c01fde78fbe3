//! The live questions: can this line go to that player, and where is it tightest?

use super::conflicts::Rota;
use super::number::{LineNo, PlayerNo};
use super::problem::{Assignments, Demand};
use super::seconds::Move;

/// Something that keeps a line from a player.
#[derive(Debug, Clone, PartialEq)]
pub enum Obstacle {
    /// The player has another line that one player cannot take as well.
    Clash {
        /// The other line.
        with: LineNo,
        /// The tightest pair of passages.
        how: Move,
    },
    /// A demand speaks against it; for together and apart, given where the other line is now.
    Demand(Demand),
}

/// Whether a line can go to a player.
#[derive(Debug, Clone, PartialEq)]
pub struct CanTake {
    /// The player.
    pub player: PlayerNo,
    /// Everything that speaks against it; empty when it can go there.
    pub obstacles: Vec<Obstacle>,
    /// The tightest move that the player would have with this line, when there is any.
    pub tightest: Option<Move>,
}

impl CanTake {
    /// Whether nothing speaks against it.
    pub fn yes(&self) -> bool {
        self.obstacles.is_empty()
    }
}

/// A player with one of the player's moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlayersMove {
    /// Who.
    pub player: PlayerNo,
    /// What is there, and what is needed.
    pub step: Move,
}

impl Rota {
    /// For each player, whether the line can go there beside what the assignments give them, and why not.
    ///
    /// The line's own present place is not looked at. Quick enough to be asked while a strip is dragged.
    pub fn can_take(&self, assignments: &Assignments, line: LineNo) -> Vec<CanTake> {
        (0..self.problem().player_count())
            .map(|p| self.can_player_take(assignments, line, PlayerNo(p)))
            .collect()
    }

    fn can_player_take(&self, assignments: &Assignments, line: LineNo, player: PlayerNo) -> CanTake {
        let mut obstacles: Vec<Obstacle> = self
            .neighbours(line)
            .iter()
            .filter(|&&other| other != line && assignments.player(other) == Some(player))
            .filter_map(|&other| self.clash(line, other).map(|how| Obstacle::Clash { with: other, how }))
            .collect();
        let against = self.demands().iter().filter(|d| speaks_against(assignments, line, player, d));
        obstacles.extend(against.cloned().map(Obstacle::Demand));
        let tightest = assignments
            .lines_of(player)
            .filter(|&other| other != line)
            .filter(|&other| !self.playable_together(line, other))
            .filter_map(|other| self.tightest(line, other))
            .min_by_key(|m| (m.spare_us(), m.from, m.to));
        CanTake { player, obstacles, tightest }
    }

    /// Whether a mark says that one player can play both lines at once.
    pub fn playable_together(&self, a: LineNo, b: LineNo) -> bool {
        self.problem().playable_together.iter().any(|&pair| pair == (a, b) || pair == (b, a))
    }

    /// A player's moves, in the order of time: from each passage to the next that starts.
    ///
    /// A move between two lines that are marked as playable together is left out, and so is one that asks
    /// nothing: the same place and the same beaters.
    pub fn moves(&self, assignments: &Assignments, player: PlayerNo) -> Vec<Move> {
        self.in_time(assignments, player)
            .windows(2)
            .filter_map(|pair| match pair {
                [from, to] => self.way_between(*from, *to),
                _ => None,
            })
            .filter(|m| !self.playable_together(m.from.line, m.to.line))
            .filter(|m| m.need.us() > 0)
            .collect()
    }

    /// The moves of all players with the least to spare, tightest first, at most `most`.
    pub fn tightest_moves(&self, assignments: &Assignments, most: usize) -> Vec<PlayersMove> {
        let mut all: Vec<PlayersMove> = assignments
            .used()
            .into_iter()
            .flat_map(|player| {
                self.moves(assignments, player).into_iter().map(move |step| PlayersMove { player, step })
            })
            .collect();
        all.sort_by_key(|one| (one.step.spare_us(), one.step.from, one.player));
        all.truncate(most);
        all
    }
}

/// Whether the demand forbids the line to the player, beside what the assignments say of the other lines.
fn speaks_against(assignments: &Assignments, line: LineNo, player: PlayerNo, demand: &Demand) -> bool {
    let who = |c: LineNo| if c == line { Some(player) } else { assignments.player(c) };
    match demand {
        Demand::Pin { line: c, player: p } => *c == line && *p != player,
        Demand::Bar { player: p, lines, .. } => *p == player && lines.contains(&line),
        Demand::Only { lines, players, .. } => lines.contains(&line) && !players.contains(&player),
        Demand::Together { a, b } => {
            let placed = who(*a).is_some() && who(*b).is_some();
            (*a == line || *b == line) && placed && who(*a) != who(*b)
        }
        Demand::Apart { a, b } => (*a == line || *b == line) && a != b && who(*a) == who(*b),
        Demand::Hands { lines, hands, .. } => {
            let mut there: Vec<PlayerNo> = lines.iter().filter_map(|&c| who(c)).collect();
            there.sort_unstable();
            there.dedup();
            lines.contains(&line) && there.len() > *hands
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rota::text::read;
    use rstest::rstest;

    fn rota(text: &str) -> Rota {
        Rota::new(read(text).unwrap()).unwrap()
    }

    /// Nobody has `b`; whether Ana and Ben could take it.
    #[rstest]
    #[case::free("", [true, true])]
    #[case::barred("bar Ben b because away", [true, false])]
    #[case::only("only Ben b because for the timpanist", [false, true])]
    #[case::locked("pin b Ben", [false, true])]
    #[case::together("together a b", [true, false])]
    #[case::apart("apart a b", [false, true])]
    fn what_a_demand_says_against_it(#[case] demand: &str, #[case] may: [bool; 2]) {
        let rota = rota(&format!("players Ana Ben\nline a: 0-4\nline b: 20-24\n{demand}"));
        let now = Assignments { players: [Some(PlayerNo(0)), None].into_iter().collect() };
        let can: Vec<bool> = rota.can_take(&now, LineNo(1)).iter().map(CanTake::yes).collect();
        assert_eq!(can, may);
    }

    /// Two lines at once on one marimba, the first with Ana.
    #[rstest]
    #[case(1, [false, false])] // Ana is busy, and Ben would be the second at it.
    #[case(2, [false, true])]
    fn an_instrument_takes_so_many_at_once(#[case] hands: usize, #[case] may: [bool; 2]) {
        let text = format!("players Ana Ben\nhands m {hands}\nline a on m: 0-4\nline b on m: 1-5");
        let now = Assignments { players: [Some(PlayerNo(0)), None].into_iter().collect() };
        let can: Vec<bool> = rota(&text).can_take(&now, LineNo(1)).iter().map(CanTake::yes).collect();
        assert_eq!(can, may);
    }

    #[test]
    fn lines_that_are_playable_together_ask_for_no_move() {
        let lines = "players Ana\nline a: 0-4\nline b: 3-5";
        let now = Assignments { players: [Some(PlayerNo(0)), None].into_iter().collect() };
        let both = Assignments { players: [Some(PlayerNo(0)), Some(PlayerNo(0))].into_iter().collect() };
        let apart = rota(lines);
        let marked = rota(&format!("{lines}\nplayable b a"));
        let asked = |rota: &Rota| rota.can_take(&now, LineNo(1)).remove(0);
        assert!(!asked(&apart).yes() && asked(&apart).tightest.is_some());
        assert!(asked(&marked).yes() && asked(&marked).tightest.is_none(), "{:?}", asked(&marked));
        assert_eq!((apart.moves(&both, PlayerNo(0)).len(), marked.moves(&both, PlayerNo(0)).len()), (1, 0));
        assert!(
            marked.playable_together(LineNo(0), LineNo(1)) && marked.playable_together(LineNo(1), LineNo(0))
        );
    }

    /// A rule speaks of its own lines alone, and of a line and itself not at all.
    #[rstest]
    #[case("together b c", [true, true])] // nobody has c
    #[case("together a c", [true, true])]
    #[case("apart a c", [true, true])]
    #[case("apart b b", [true, true])]
    #[case("bar Ana a", [true, true])]
    #[case("only Ben a", [true, true])]
    #[case("pin a Ben", [true, true])]
    fn rules_of_other_lines_say_nothing(#[case] demand: &str, #[case] may: [bool; 2]) {
        let rota = rota(&format!("players Ana Ben\nline a: 0-4\nline b: 20-24\nline c: 40-44\n{demand}"));
        let now = Assignments { players: [Some(PlayerNo(0)), None, None].into_iter().collect() };
        let can: Vec<bool> = rota.can_take(&now, LineNo(1)).iter().map(CanTake::yes).collect();
        assert_eq!(can, may);
    }

    /// Ana goes 2 m (2.667 s) in 6 s and in 3 s, Ben in 4 s: to spare are 3.333, 0.333 and 1.333 s.
    #[test]
    fn the_tightest_moves_of_all_come_first() {
        let rota =
            rota("players Ana Ben\nline a: 0-4\nline b: 10-11\nline c: 14-15\nline d: 0-1\nline e: 5-6");
        let who = [0, 0, 0, 1, 1].map(|p| Some(PlayerNo(p)));
        let now = Assignments { players: who.into_iter().collect() };
        let told = |most: usize| -> Vec<(usize, usize, i64)> {
            let moves = rota.tightest_moves(&now, most);
            moves.iter().map(|one| (one.player.0, one.step.to.line.0, one.step.spare_us())).collect()
        };
        assert_eq!(told(9), [(0, 2, 333_333), (1, 4, 1_333_333), (0, 1, 3_333_333)]);
        assert_eq!(told(2).len(), 2);
        let same = super::tests::rota("players Ana\nline a on m: 0-4\nline b on m: 10-11");
        let all = Assignments { players: [Some(PlayerNo(0)); 2].into_iter().collect() };
        assert!(same.tightest_moves(&all, 9).is_empty(), "at one instrument there is nothing to do");
    }
}
