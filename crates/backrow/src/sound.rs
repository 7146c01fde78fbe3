//! Hearing and recording: the sound device on a thread of its own, and what is made ready for it.
//!
//! Nothing is opened before somebody asks for sound; an idle device waits and costs nothing.

mod alike;
mod along;
pub mod candidates;
pub mod decoded;
mod engine;
pub mod import;
mod line;
pub mod measured;
pub mod prepare;
mod session;
pub mod stretches;

pub use engine::{Engine, Now};
pub use session::{Around, Done, Session};

use backrow_core::id::InstrumentId;
use backrow_core::sound::{StrikeKey, Take};
use backrow_core::week::LineRef;
use std::path::PathBuf;
use std::sync::Arc;

/// Something that panels ask of the sound.
#[derive(Clone, Debug)]
pub enum Wish {
    /// A strike of the library, from its take.
    Strike(StrikeKey),
    /// A strike of the library, softer: what the pointer rests on.
    Softly(StrikeKey),
    /// One of these strikes, by its place; all are brought down to the softest, so that they are equally loud.
    Matched(Vec<StrikeKey>, usize),
    /// A current sound, from a moment on, seconds: a take that is being looked at.
    Piece(Arc<[f32]>, u32, (f64, f64)),
    /// A passage of a line, by the candidates for it.
    Line(LineRef),
    /// The line again, otherwise: another passage, loudness as recorded, all lines of the player.
    Again(How),
    /// The candidate of that number, at the same place.
    Candidate(usize),
    /// Stops, or plays again what was heard last.
    StopOrPlay,
    /// How loud, from 0 to 1.
    Volume(f32),
    /// Asks which loudspeakers and microphones there are.
    Ports,
    /// The loudspeaker by its id, or the usual one; what plays goes on there.
    On(Option<String>),
    /// Puts the strip of what is heard away.
    Away,
    /// Opens a microphone, to see its level.
    Listen(Option<String>),
    /// Begins a take.
    Begin,
    /// Ends the take; what was recorded comes with [`Now`].
    End,
    /// Closes the microphone.
    Deaf,
    /// Keeps a take in the library: its record without file and content, and its samples.
    Keep(Box<Take>, Arc<[f32]>),
    /// Reads recordings from files for that instrument.
    Import(InstrumentId, Vec<PathBuf>),
    /// Makes a take of a file of sound that lies in that instrument's folder already.
    BringBack(InstrumentId, String),
    /// Opens the window that records, for that instrument.
    Record(InstrumentId),
}

/// How a line is heard.
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own")]
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct How {
    /// Which stretch of [`stretches::stretches`], from 0: a passage, or a part of one that is long.
    pub passage: usize,
    /// The whole movement, not the line's passages alone.
    pub whole: bool,
    /// Each as loud as it was recorded; else all as loud as the softest.
    pub as_recorded: bool,
    /// All lines of the line's player in the movement, not this one alone.
    pub together: bool,
    /// Each from where it stands on the floor, seen by the conductor.
    pub from_places: bool,
    /// Which dozen of the candidates, from 0.
    pub dozen: usize,
}
