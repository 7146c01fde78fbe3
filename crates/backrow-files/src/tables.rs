//! Plain tables: comma-separated values and workbooks, in and out.

pub mod collection;
pub mod library;
pub mod lines;
pub mod rota;
pub mod table;

/// A column's name in today's words; tables of before say "call".
pub(crate) fn in_new_words(title: String) -> String {
    if title == "call" { "line".to_owned() } else { title }
}
