//! Any bytes as a table of instruments, of lines, and of passages.
#![no_main]

use backrow_core::library::Library;
use backrow_files::tables::{lines, collection, rota};
use libfuzzer_sys::fuzz_target;
use std::path::Path;

fuzz_target!(|bytes: &[u8]| {
    let kinds = backrow_files::kinds::standard().expect("the kinds table");
    let _ = (lines::parse("t.csv", bytes, &kinds), rota::parse("t.csv", bytes));
    let library = Library { kinds, ..Library::default() };
    if let Ok(grid) = collection::read(Path::new("t.csv"), bytes) {
        let _ = collection::take(&library, &grid, &collection::match_columns(&grid.heads));
    }
});
