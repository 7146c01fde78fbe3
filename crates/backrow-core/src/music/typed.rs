//! Music typed by hand: a line for each stretch of tempo, a line for each line. The grammar is our own.
//!
//! Tempo, a line a stretch in the order of playing; what is not said goes on as before:
//!
//! ```text
//! 1-64 4/4 1/4=112 Allegro pesante [A]
//! 65-80 3/4 1/4.=56
//! 81 +2.5s
//! ```
//!
//! A line, its fields apart by `|`; all but the first may be left out:
//!
//! ```text
//! glockenspiel +24 | 31-58 C4 E4 x3 G4; 112-140 C4 | brass, small | Percussion 2
//! snare drum | 60-92 x240; 150-170 x80 | sticks
//! ```

mod line_text;
mod tempo_lines;

pub use line_text::{Spans, Stretch, TypedLine, parse_line};
pub use tempo_lines::{parse_tempo, tempo_text};

use std::fmt;

/// What is wrong with a typed text, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TypedError {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong and what was expected.
    pub what: String,
}

impl TypedError {
    fn new(what: impl Into<String>) -> Self {
        Self { line: 1, what: what.into() }
    }

    fn in_line(self, line: usize) -> Self {
        Self { line, ..self }
    }
}

impl fmt::Display for TypedError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)
    }
}

impl std::error::Error for TypedError {}

/// First and last measure of "31-58" or "31".
fn measures(text: &str) -> Option<(super::MeasureName, super::MeasureName)> {
    let starts = |text: &str| text.chars().next().is_some_and(|c| c.is_ascii_digit());
    let fits = |text: &str| starts(text) && text.chars().all(char::is_alphanumeric);
    let (from, to) = text.split_once(['-', '–']).unwrap_or((text, text));
    (fits(from) && fits(to)).then(|| (super::MeasureName::new(from), super::MeasureName::new(to)))
}
