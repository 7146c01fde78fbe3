//! Checks against things that were not made here: each row says its source, and whether it was read there, is common
//! practice without a source, or comes from memory. The tables in `data/` were collected from the sources they name.
#![expect(clippy::unwrap_used, reason = "a test helper that fails is a failed test")]

mod compasses;
mod harmful;
mod loads;
mod names;
mod octaves;
mod pitch;
mod recovered;
mod sizes;
mod sound;
mod trials;
mod tuning;
mod tuning_table;

use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::pitch::{KeyNumber, Reading, parse_note};
use std::sync::Arc;

/// The rows of a table without its head.
fn rows(table: &'static str) -> impl Iterator<Item = csv::StringRecord> {
    csv::ReaderBuilder::new().flexible(true).from_reader(table.as_bytes()).into_records().map(Result::unwrap)
}

fn kind(id: &str) -> Arc<Kind> {
    let kinds = backrow_files::kinds::standard().unwrap();
    kinds.get(&KindId::new(id).unwrap()).unwrap_or_else(|| panic!("no kind {id}")).clone()
}

/// The invented orchestra.
fn demo() -> backrow_core::library::Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-library");
    backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library
}

fn key(note: &str) -> KeyNumber {
    parse_note(note, Reading::English).unwrap_or_else(|why| panic!("{why}")).key()
}
