//! Any bytes as a table of the collection, of lines, and of passages.
#![no_main]

use backrow_core::library::Library;
use backrow_core::pitch::Reading;
use backrow_files::tables::{lines, collection, rota};
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;
use std::path::Path;

/// Read once: it would take most of the time.
static KINDS: LazyLock<Shared<KindId, Kind>> =
    LazyLock::new(|| backrow_files::kinds::standard().expect("the kinds table"));

fuzz_target!(|bytes: &[u8]| {
    let kinds = &*KINDS;
    let _ = (lines::parse("t.csv", bytes, kinds), rota::parse("t.csv", bytes));
    let library = Library { kinds: kinds.clone(), ..Library::default() };
    if let Ok(grid) = collection::read(Path::new("t.csv"), bytes) {
        for subject in collection::Subject::ALL {
            let import = collection::Import::new(&library, grid.clone(), Some(subject), Reading::English);
            let _ = collection::take(&library, &import);
        }
    }
});
