//! All sheets of the largest programme of the demo: the first time, again with nothing changed, and after a change.

use backrow::sheets::{Printer, Sheet};
use backrow_core::evening::Evening;
use backrow_core::library::Library;
use backrow_core::week::Programme;
use backrow_print::{Pages, Paper, Press, Templates};
use criterion::{Criterion, criterion_group, criterion_main};
use std::time::Instant;

fn all(press: &Press, library: &Library, programme: &Programme) -> Pages {
    let templates = Templates::default();
    let printer = Printer {
        evening: &Evening::of(library, programme),
        paper: Paper::A4,
        templates: &templates,
        plans: backrow::sheets::Plans::default(),
        today: None,
        remembers: None,
    };
    let sheets = Sheet::of(library, programme);
    let pages = sheets.iter().map(|sheet| printer.set(press, sheet).expect("a sheet")).collect();
    Pages::joined("all", pages).expect("sheets")
}

fn benches(c: &mut Criterion) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    let library =
        backrow_files::library::open(&folder, &backrow_files::kinds::standard().expect("kinds")).library;
    let largest =
        library.programmes().map(|(_, p)| p).max_by_key(|p| p.lines().count()).expect("a programme");
    let press = Press::new();
    let start = Instant::now();
    let pages = all(&press, &library, largest);
    #[expect(clippy::print_stderr, reason = "the first time cannot be measured by repeating it")]
    let () = eprintln!(
        "{}: {} pages, the first time {:.2} s",
        largest.title,
        pages.count(),
        start.elapsed().as_secs_f64()
    );
    c.bench_function("all sheets again", |b| b.iter(|| all(&press, &library, largest)));
    c.bench_function("all sheets again, as PDF", |b| {
        b.iter(|| all(&press, &library, largest).pdf().expect("a PDF"));
    });
    let mut turn = 0_u32;
    c.bench_function("all sheets after a change to every head", |b| {
        b.iter(|| {
            turn += 1;
            let mut changed = largest.clone();
            changed.title = format!("{} {turn}", largest.title);
            all(&press, &library, &changed)
        });
    });
}

criterion_group! {
    name = sheets;
    config = Criterion::default().sample_size(10);
    targets = benches
}
criterion_main!(sheets);
