//! The fewest players, with a proof that a person can check.

use super::clique::{busiest_moment, largest};
use super::colour::Verdict;
use super::conflicts::Rota;
use super::decide::decide;
use super::impossible::{Impossible, smallest_impossible};
use super::model::{Model, Scope};
use super::number::{LineNo, NodeNo};
use super::problem::{Assignments, Demand, PassageRef};
use super::proof::prove;

/// How hard to try. Effort is counted in steps of search, since the core has no clock;
/// a step takes something like a microsecond.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Steps for each question whether so many players are enough.
    pub steps: u64,
    /// How many half-made assignments of 60 lines the best assignments keeps beside each other; of fewer lines, more.
    pub width: usize,
}

impl Effort {
    /// For an answer while somebody waits, in the window, the season and on sheets: some tenths of a second at the worst.
    pub const AT_HAND: Self = Self { steps: 60_000, width: 40 };
}

impl Default for Effort {
    fn default() -> Self {
        Self { steps: 5_000_000, width: 400 }
    }
}

/// The kind of a proof that fewer players are not enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// So many lines sound or crowd at one moment.
    Moment,
    /// A ring of an odd number of lines, each of which clashes with the next, and lines that clash with the whole ring.
    Ring,
    /// A small set of lines that needs so many; leave out any one and it needs fewer.
    Core,
    /// The search went through everything.
    Search,
}

impl Shape {
    /// The word for tables and files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Moment => "moment",
            Self::Ring => "ring",
            Self::Core => "core",
            Self::Search => "search",
        }
    }
}

/// Why fewer players are not enough.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// Its kind.
    pub shape: Shape,
    /// The lines that it rests on: a moment's in the order of their starts; a ring's in order round the ring.
    pub lines: Vec<LineNo>,
    /// The lines that clash with the whole ring and with each other; empty for the other shapes.
    pub beside_ring: Vec<LineNo>,
    /// A moment's passages.
    pub passages: Vec<PassageRef>,
    /// The moment in seconds; for other shapes none.
    pub at_s: Option<f64>,
    /// The demands without which fewer would be enough.
    pub demands: Vec<Demand>,
}

/// The fewest players.
#[derive(Debug, Clone, PartialEq)]
pub struct Fewest {
    /// The fewest players found to be enough.
    pub players: usize,
    /// How many are needed at the least; equal to `players` when proven.
    pub at_least: usize,
    /// Why fewer are not enough: the proof for `at_least`.
    pub proof: Proof,
    /// One set of assignments among that many players.
    pub assignments: Assignments,
    /// What the independent checker found wrong with assignments or proof, a sentence each; empty when it agrees.
    pub faults: Vec<String>,
}

impl Fewest {
    /// Whether nothing is left open, and the independent checker agrees.
    pub fn proven(&self) -> bool {
        self.players == self.at_least && self.faults.is_empty()
    }
}

/// The answer to "how many players?".
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// So many.
    Found(Box<Fewest>),
    /// No number of these players and extras is enough.
    Impossible(Impossible),
    /// The steps ran out before any set of assignments was found; at least so many are needed.
    GaveUp {
        /// How many are needed at the least.
        at_least: usize,
    },
}

impl Rota {
    /// The fewest players that can play everything, keeping all demands.
    pub fn fewest(&self, effort: Effort) -> Answer {
        self.fewest_or(effort, |rota, player_count| {
            Answer::Impossible(smallest_impossible(rota, player_count, effort))
        })
    }

    /// The fewest players; when no number is enough, what `no` says of so many players.
    pub(super) fn fewest_or(&self, effort: Effort, no: impl Fn(&Self, usize) -> Answer) -> Answer {
        let scope = Scope::whole(self);
        let player_count = self.problem().player_count();
        let moment = busiest_moment(self, &scope.lines, player_count + 1, &mut self.steps(effort.steps));
        if moment.passages.len() > player_count {
            let lines = moment.passages.iter().map(|p| p.line).collect();
            return Answer::Impossible(Impossible { lines, demands: Vec::new(), players: player_count });
        }
        let model = Model::new(self, &scope, player_count);
        let must = model.must();
        let joined = |a: usize, b: usize| model.adjacent(NodeNo(a), NodeNo(b));
        let clique = largest(model.len(), moment.passages.len(), &joined, &mut self.steps(effort.steps / 16));
        let low = moment.passages.len().max(clique.len()).max(must.len());
        let mut at_least = low.min(player_count + 1);
        let mut sure = true;
        // All questions together take no more than three times the effort of one, and each gets a little.
        let (little, mut pool) = (effort.steps / 32, effort.steps.saturating_mul(3));
        for most in low..=player_count {
            let given = pool.min(effort.steps).max(little);
            let mut steps = self.steps(given);
            let verdict = decide(&model, most, &mut steps);
            pool = pool.saturating_sub(given - steps.left());
            match verdict {
                Verdict::Yes(players) => {
                    let assignments = model.unfold(self.problem().lines.len(), &players.into());
                    let players = assignments.used().len();
                    at_least = at_least.min(players);
                    let proof = prove(self, at_least, moment, effort);
                    let mut faults = self.checked(&assignments);
                    faults.extend(super::check::proof_faults(self.problem(), &proof, at_least));
                    debug_assert_eq!(faults, Vec::<String>::new());
                    return Answer::Found(Box::new(Fewest { players, at_least, proof, assignments, faults }));
                }
                Verdict::No if sure => at_least = most + 1,
                Verdict::No => {}
                Verdict::Unknown => sure = false,
            }
        }
        if sure { no(self, player_count) } else { Answer::GaveUp { at_least } }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn proofs_have_words_for_tables_and_files() {
        let all = [Shape::Moment, Shape::Ring, Shape::Core, Shape::Search];
        assert_eq!(all.map(Shape::word), ["moment", "ring", "core", "search"]);
    }

    #[test]
    fn a_count_with_a_gap_or_a_fault_is_not_proven() {
        let proof = Proof {
            shape: Shape::Search,
            lines: Vec::new(),
            beside_ring: Vec::new(),
            passages: Vec::new(),
            at_s: None,
            demands: Vec::new(),
        };
        let of = |players, at_least, faults: &[&str]| {
            let faults = faults.iter().map(|fault| (*fault).to_owned()).collect();
            Fewest { players, at_least, proof: proof.clone(), assignments: Assignments::empty(0), faults }
                .proven()
        };
        assert!(of(3, 3, &[]));
        assert!(!of(3, 2, &[]) && !of(3, 3, &["two lines at once"]));
    }
}
