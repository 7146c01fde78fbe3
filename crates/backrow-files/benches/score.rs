//! Reading scores beside a bare pull-parse of the same bytes: at most twice its time is the aim.
//!
//! The large scores are read from the folder beside the project when it is there; without it, a score of our own is
//! repeated to the same size.

#![expect(clippy::print_stderr, reason = "the bench says which scores it found")]

use backrow_files::score::{ReadOptions, read_score};
use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use quick_xml::Reader;
use quick_xml::events::Event;
use std::hint::black_box;
use std::io::Read;
use std::path::Path;

const OWN: &str = include_str!("../../../tests/scores/changes.musicxml");

/// The text of a score from the folder beside the project.
fn beside(name: &str) -> Option<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/scores").join(name);
    let file = std::fs::File::open(path).ok()?;
    let mut archive = zip::ZipArchive::new(file).ok()?;
    let mut text = String::new();
    archive.by_name("score.xml").ok()?.read_to_string(&mut text).ok()?;
    Some(text)
}

/// A partwise score with the measures of every part so many times.
fn repeated(text: &str, times: usize) -> String {
    let mut out = String::with_capacity(text.len() * times);
    let mut rest = text;
    while let Some(start) = rest.find("<measure") {
        let end = rest.find("</part>").unwrap_or(rest.len());
        let (head, body) = rest.split_at(start);
        let (body, tail) = body.split_at(end - start);
        out.push_str(head);
        for _ in 0..times {
            out.push_str(body);
        }
        let (close, next) = tail.split_at("</part>".len().min(tail.len()));
        out.push_str(close);
        rest = next;
    }
    out.push_str(rest);
    out
}

fn scores() -> Vec<(&'static str, String)> {
    let seven = beside("oso_boulanger_matin.mxl");
    let large = beside("oso_beethoven_op21_3.mxl").map(|text| repeated(&text, 15));
    if let (Some(seven), Some(large)) = (seven, large) {
        return vec![("7 MB orchestral score", seven), ("26 MB by repetition", large)];
    }
    eprintln!("the scores beside the project are absent: a score of our own is repeated instead");
    let times = 7_000_000 / OWN.len() + 1;
    vec![("7 MB, own score", repeated(OWN, times)), ("26 MB, own score", repeated(OWN, times * 26 / 7))]
}

fn bare(text: &str) -> usize {
    let mut reader = Reader::from_str(text);
    let mut events = 0;
    while let Ok(event) = reader.read_event() {
        if matches!(event, Event::Eof) {
            break;
        }
        events += 1;
        black_box(event);
    }
    events
}

fn reading(criterion: &mut Criterion) {
    let kinds = backrow_files::kinds::standard().expect("the kinds table is whole");
    for (name, text) in scores() {
        eprintln!("{name}: {} bytes", text.len());
        let mut group = criterion.benchmark_group(name);
        group.sample_size(20).throughput(Throughput::Bytes(text.len() as u64));
        group.bench_function("bare pull-parse", |bench| bench.iter(|| bare(black_box(&text))));
        group.bench_function("read", |bench| {
            bench.iter_batched(
                || (),
                |()| {
                    read_score("score.musicxml", black_box(text.as_bytes()), &kinds, &ReadOptions::default())
                },
                BatchSize::SmallInput,
            );
        });
        group.finish();
    }
}

criterion_group!(benches, reading);
criterion_main!(benches);
