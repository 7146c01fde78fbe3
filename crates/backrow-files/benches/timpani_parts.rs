//! The tuning plan of the timpani part with the most strokes among the scores of the folder beside the project, on each of the demo's
//! timpani: under 50 ms is wanted. Where the folder is absent the project's own scores are taken.

#![expect(clippy::print_stderr, reason = "the bench says which part it found")]

use backrow_core::library::Library;
use backrow_core::music::Line;
use backrow_core::sets;
use backrow_files::score::{ReadOptions, read_music, work_of};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::path::Path;

fn parts(library: &Library, folder: &Path) -> Vec<(String, Line)> {
    let files = std::fs::read_dir(folder).into_iter().flatten().filter_map(|entry| Some(entry.ok()?.path()));
    let read = |path: std::path::PathBuf| {
        let name = path.file_name()?.to_string_lossy().into_owned();
        let bytes = std::fs::read(&path).ok()?;
        let reading = read_music(&name, &bytes, &library.kinds, &ReadOptions::default()).ok()?;
        let timpani =
            |line: &Line| line.kind.as_ref().is_some_and(|kind| sets::is_for_timpani(library, kind));
        let lines = work_of(&reading).lines.into_iter().filter(timpani);
        Some(lines.map(move |line| (name.clone(), line)).collect::<Vec<_>>())
    };
    files.filter_map(read).flatten().collect()
}

fn plans(criterion: &mut Criterion) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let kinds = backrow_files::kinds::standard().expect("the kinds table is whole");
    let library = backrow_files::library::open(&root.join("demo-library"), &kinds).library;
    let mut all = parts(&library, &root.join("../shared/scores"));
    if all.is_empty() {
        all = parts(&library, &root.join("tests/scores"));
    }
    let strokes = |line: &Line| sets::strokes_of(line).0.len();
    let Some((name, line)) = all.into_iter().max_by_key(|(_, line)| strokes(line)) else {
        return eprintln!("no score with timpani was found");
    };
    eprintln!("{name}: {} strokes", strokes(&line));
    for thing in library.instruments.values().filter(|thing| thing.kind.as_str() == "timpani") {
        let on = std::slice::from_ref(&thing.id);
        let can = sets::try_on(&library, &line, on).is_ok();
        let how = if can { "can be played" } else { "cannot be played" };
        criterion.bench_function(&format!("tuning plan on {}, {how}", thing.name), |bench| {
            bench.iter(|| sets::try_on(black_box(&library), &line, on));
        });
    }
}

criterion_group!(benches, plans);
criterion_main!(benches);
