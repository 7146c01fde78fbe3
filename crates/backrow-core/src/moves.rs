//! Moves: what a player has to do between two passages, and whether the seconds are enough.
//!
//! What a move needs, and how seconds are compared and rounded, is [`crate::seconds`].

mod answer;
mod aside;
mod crowd;
mod holds;
mod stance;
mod timetable;

#[cfg(test)]
mod tests;

pub(crate) use answer::when;
pub use answer::{Answer, Refusal};
pub use aside::{Aside, Struck};
pub use crowd::Crowd;
pub use stance::{At, Post, Stance};
pub use timetable::{Arrival, AssignedLine, Edge, Move, PassageRef, Route, Span, Timetable, Visit};
