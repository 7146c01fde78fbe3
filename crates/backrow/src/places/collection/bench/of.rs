//! What a form of the bench is of.

use backrow_core::id::{InstrumentId, PlaceId};
use backrow_core::pitch::KeyNumber;

/// What a form is of.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::places::collection) enum Of {
    /// A survey of an instrument; a new one with `None`, else the one at that place.
    Survey(InstrumentId, Option<usize>),
    /// A bell of an instrument; a new one with `None`.
    Bell(InstrumentId, Option<KeyNumber>),
    /// A line of an instrument's log; a new one with `None`.
    Log(InstrumentId, Option<usize>),
    /// Value, tolerance and resonators of an instrument.
    Worth(InstrumentId),
    /// The air of a store.
    Air(PlaceId),
}
