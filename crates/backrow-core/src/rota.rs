//! Who can play what: pairs that one player cannot take, the fewest players with a proof, and the best assignments.
//!
//! A [`Problem`] is plain input; [`Rota::new`] makes it ready. Lines are nodes of a graph, pairs that one
//! player cannot take are its edges, and players are its colours.
//!
//! | file | what it does |
//! | --- | --- |
//! | `problem` | the input: lines, passages, demands, wishes, habits |
//! | `number`, `players` | a type for each sort of number, lists that take only their own, sets of players |
//! | `seconds` | where players stand, and what lies between two passages |
//! | `conflicts` | every pair that one player cannot take, with the reason |
//! | `model`, `colour`, `decide` | is so-and-so many players enough? |
//! | `fewest`, `clique`, `proof`, `impossible` | the fewest players and why not fewer |
//! | `ask` | can this line go to that player, and the tightest moves |
//! | `best`, `plan`, `frontier`, `improve`, `again`, `wishes` | the best assignments of that size and what it costs |
//! | `repair` | what breaks when a player is missing, and the repair that changes least |
//! | `staff` | who is called on: those engaged, then the reserve, then extras |
//! | `check` | the independent checker |
//! | `split` | lines split by passages between players |
//! | `table` | a plain table of passages |
//! | `text` | a short text form of problems, for tests |
//! | `words` | answers, proofs and demands in words |

#![expect(
    clippy::indexing_slicing,
    reason = "lists that take only their own numbers; one outside is a fault that must not pass as an answer"
)]

mod again;
mod ask;
mod best;
mod clique;
mod colour;
mod conflicts;
mod decide;
mod fewest;
mod frontier;
mod impossible;
mod improve;
mod model;
mod number;
mod plan;
mod players;
mod problem;
mod proof;
mod repair;
mod seconds;
mod sound_input;
mod split;
mod staff;
mod wishes;

pub mod check;
pub mod table;
pub mod text;
pub mod words;

pub use ask::{CanTake, Obstacle, PlayersMove};
pub use best::Best;
pub use conflicts::{Clash, Rota};
pub use fewest::{Answer, Effort, Fewest, Proof, Shape};
pub use impossible::Impossible;
pub use number::{
    BeatersNo, InstrumentNo, LineNo, List, Number, PassageNo, PlaceNo, PlayerNo, StanceNo, StrandNo,
};
pub use problem::{
    Assignments, AtOnce, BadInput, Demand, Line, Passage, PassageOf, PassageRef, Problem, Stances, Visit,
    Wishes,
};
pub use repair::{Missing, Repair, Repaired};
pub use seconds::{Move, in_words};
pub use split::{Handover, Split};
pub use staff::{Staffed, Staffing};
pub use wishes::Cost;
