//! A made library of 3,000 instruments, 2,000 works and 300 weeks: opened, one change saved, every programme checked.

#![expect(clippy::unwrap_used, reason = "a bench that cannot set up is no bench")]

mod made;

use backrow_core::edit::{Edit, apply};
use backrow_core::evening::Evening;
use backrow_core::findings;
use backrow_files::library::{create_from, open, save};
use criterion::{Criterion, criterion_group, criterion_main};
use made::made;
use std::hint::black_box;
use std::path::PathBuf;

fn on_disk() -> (tempfile::TempDir, PathBuf) {
    let home = tempfile::tempdir().unwrap();
    let dir = home.path().join("library");
    // To try the program itself on it, the folder can be kept.
    let dir = std::env::var_os("BACKROW_MADE").map_or(dir, PathBuf::from);
    if !dir.is_dir() {
        create_from(&dir, &made(), &backrow_files::kinds::standard().unwrap()).unwrap();
    }
    (home, dir)
}

fn library(c: &mut Criterion) {
    let (_home, dir) = on_disk();
    let kinds = backrow_files::kinds::standard().unwrap();
    let mut group = c.benchmark_group("3,000 instruments, 2,000 works, 300 weeks");
    group.sample_size(10);
    group.bench_function("open", |b| b.iter(|| black_box(open(&dir, &kinds).library.works.len())));
    let mut opened = open(&dir, &kinds);
    let mut library = opened.library.clone();
    let mut number = 0;
    group.bench_function("save one change", |b| {
        b.iter(|| {
            number += 1;
            let mut thing = (**library.instruments.values().next().unwrap()).clone();
            thing.remark = format!("remark {number}");
            library = apply(&library, &Edit::PutInstrument(thing)).unwrap();
            let report = save(&dir, &mut opened.disk, &library);
            assert!(report.is_clean());
        });
    });
    group.bench_function("look for what others have changed", |b| {
        b.iter(|| black_box(opened.disk.changed_elsewhere(&dir).len()));
    });
    group.bench_function("check every programme", |b| {
        b.iter(|| {
            let all = library
                .programmes()
                .map(|(_, programme)| findings::check(&Evening::of(&library, programme)).len());
            black_box(all.sum::<usize>())
        });
    });
    group.finish();
}

criterion_group!(benches, library);
criterion_main!(benches);
