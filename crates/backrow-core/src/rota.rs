//! Who can play what: pairs that one player cannot take, the fewest players with a proof, and the best share-out.
//!
//! A [`Problem`] is plain input; [`Rota::new`] makes it ready. Calls are nodes of a graph, pairs that one
//! player cannot take are its edges, and players are its colours.
//!
//! | file | what it does |
//! | --- | --- |
//! | `problem` | the input: calls, passages, demands, wishes, habits |
//! | `seconds` | gap, walk and change between two passages, exact at the border |
//! | `conflicts` | every pair that one player cannot take, with the reason |
//! | `model`, `colour`, `decide` | is so-and-so many players enough? |
//! | `fewest`, `clique`, `proof`, `impossible` | the fewest players and why not fewer |
//! | `ask` | can this call go to that player, and the tightest moves |
//! | `best`, `plan`, `frontier`, `improve`, `again`, `wishes` | the best share-out of that size and what it costs |
//! | `repair` | what breaks when a player is missing, and the repair that changes least |
//! | `check` | the independent checker |
//! | `split` | calls split by passages between players |
//! | `programme` | a programme of the library as a problem |
//! | `table` | a plain table of passages |
//! | `text` | a short text form for tests |
//! | `words` | why fewer are not enough, in words |

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
mod plain;
mod plan;
mod problem;
mod proof;
mod repair;
mod seconds;
mod sound_input;
mod split;
mod wishes;

pub mod check;
pub mod programme;
pub mod table;
pub mod text;
pub mod words;

pub use ask::{CanTake, Obstacle};
pub use best::Best;
pub use conflicts::Rota;
pub use fewest::{Answer, Effort, Fewest, Proof, Shape};
pub use impossible::Impossible;
pub use problem::{BadInput, Call, Demand, Habits, Passage, PassageRef, Problem, ShareOut, Wishes};
pub use repair::{Repair, Repaired};
pub use seconds::Move;
pub use split::{Handover, Split};
pub use wishes::Cost;
