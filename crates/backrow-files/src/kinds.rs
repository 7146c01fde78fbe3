//! The kinds table: what a part can call for, and the words that parts print beside it.
//!
//! The standard table lies in `assets/kinds/` and is part of the program; a library adds its own in the same form.

mod lines;
mod parse;
mod record;
mod words;

pub use parse::{parse_kinds, standard};
pub use record::kinds_text;
pub use words::{PartWord, WordMeans, parse_words, standard_words};

#[cfg(test)]
mod tests;
