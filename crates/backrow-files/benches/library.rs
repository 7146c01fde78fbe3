//! A made library of 3,000 instruments, 2,000 works and 300 weeks: opened, one change saved, every programme checked.

#![expect(clippy::unwrap_used, reason = "a bench that cannot set up is no bench")]

use backrow_core::edit::{Edit, apply};
use backrow_core::evening::Evening;
use backrow_core::findings;
use backrow_core::id::{InstrumentId, ProgrammeId, ServiceId, WeekId, WorkId};
use backrow_core::library::Library;
use backrow_core::week::LineRef;
use backrow_files::library::{create_from, open, save};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::sync::Arc;

const INSTRUMENTS: usize = 3_000;
const WORKS: usize = 2_000;
const WEEKS: usize = 300;

/// The demo library, its things again and again under new ids until there are so many.
fn made() -> Library {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    let mut library = open(&demo, &backrow_files::kinds::standard().unwrap()).library;
    let seed = library.clone();
    let instruments = Arc::make_mut(&mut library.instruments);
    for (number, thing) in
        seed.instruments.values().cycle().take(INSTRUMENTS - seed.instruments.len()).enumerate()
    {
        let mut next = (**thing).clone();
        next.id = InstrumentId::new(&format!("made-{number}")).unwrap();
        next.name = format!("{} {number}", thing.name);
        instruments.insert(next.id.clone(), Arc::new(next));
    }
    let works = Arc::make_mut(&mut library.works);
    for (number, work) in seed.works.values().cycle().take(WORKS - seed.works.len()).enumerate() {
        let mut next = (**work).clone();
        next.id = WorkId::new(&format!("made-{number}")).unwrap();
        next.title = format!("{} {number}", work.title);
        works.insert(next.id.clone(), Arc::new(next));
    }
    let of_round = |work: &WorkId, round: usize| {
        let at = seed.works.keys().position(|id| id == work).unwrap_or(0);
        let number = (round * seed.works.len() + at) % (WORKS - seed.works.len());
        WorkId::new(&format!("made-{}", number / seed.works.len() * seed.works.len() + at))
            .unwrap_or(work.clone())
    };
    let weeks = Arc::make_mut(&mut library.weeks);
    for (number, week) in seed.weeks.values().cycle().take(WEEKS - seed.weeks.len()).enumerate() {
        let mut next = (**week).clone();
        next.id = WeekId::new(&format!("made-{number}")).unwrap();
        let days = jiff::Span::new().days(i64::try_from(number + 1).unwrap() * 7);
        let named = |id: &ProgrammeId| ProgrammeId::new(&format!("{id}-{number}")).unwrap();
        for programme in &mut next.programmes {
            programme.id = named(&programme.id);
            let lines: Vec<_> = programme.lines().map(|(at, given)| (at.clone(), given.clone())).collect();
            *programme = programme.with_lines(|_, _| false);
            let works = programme.works.clone();
            programme.works = works.iter().map(|work| of_round(work, number)).collect();
            for (at, given) in lines {
                programme.assign(LineRef { work: of_round(&at.work, number), line: at.line }, given);
            }
            programme.rules.clear();
            programme.setup.clear_own();
        }
        for service in &mut next.services {
            service.id = ServiceId::new(&format!("{}-{number}", service.id)).unwrap();
            service.programme = named(&service.programme);
            service.start += days;
        }
        weeks.insert(next.id.clone(), Arc::new(next));
    }
    library
}

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
