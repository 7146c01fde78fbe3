//! Moves: what a player has to do between two passages, and whether the seconds are enough.
//!
//! All times become whole microseconds, rounded to the nearest, before they are compared; a gap that equals the need is
//! enough.

mod answer;
mod need;
mod timetable;

#[cfg(test)]
mod tests;

pub use answer::{Answer, Refusal};
pub use need::{Need, STEP_S, micros, seconds_text};
pub use timetable::{Move, PassageRef, Span, Taken, Timetable};
