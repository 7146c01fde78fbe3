//! How long the rota takes: 60 lines and 12 players solved and proven, 45 lines, the live question, the best assignments.
//!
//! Aims: the fewest with proof under 100 ms, the live question for all players under 1 ms.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a bench may stop"
)]

#[path = "../tests/rota/made.rs"]
mod rota_made;

use backrow_core::rota::{Answer, Effort, Fewest, LineNo, Rota};
use criterion::{Criterion, criterion_group, criterion_main};
use rota_made::{Dice, at_once, concert, strewn};

fn made(lines: usize, roster: usize) -> (Rota, Fewest) {
    let rota = Rota::new(concert(&mut Dice(99), lines, roster)).expect("a sound problem");
    match rota.fewest(Effort::default()) {
        Answer::Found(found) => (rota, *found),
        other => panic!("{other:?}"),
    }
}

fn rota(c: &mut Criterion) {
    for (lines, roster) in [(60, 12), (45, 0)] {
        let problem = made(lines, roster).0.problem().clone();
        c.bench_function(&format!("fewest with proof, {lines} lines, {roster} players available"), |b| {
            b.iter(|| Rota::new(problem.clone()).map(|r| r.fewest(Effort::default())));
        });
    }
    let (rota, found) = made(60, 12);
    c.bench_function("can it go there, 60 lines, all players", |b| {
        b.iter(|| rota.can_take(&found.assignments, LineNo(30)));
    });
    let mut large = c.benchmark_group("large inputs");
    large.sample_size(10);
    let strewn = strewn(&mut Dice(7), 400);
    large.bench_function("fewest and best, 400 lines strewn over an hour, as a table asks", |b| {
        b.iter(|| {
            let rota = Rota::new(strewn.clone()).expect("a sound problem");
            let effort = Effort { width: 60, ..Effort::default() };
            match rota.fewest(effort) {
                Answer::Found(found) => rota.best(found.players, Some(&found.assignments), effort).is_some(),
                _ => false,
            }
        });
    });
    let crowd = at_once(3000);
    large.bench_function("3,000 lines at once: why they cannot be played", |b| {
        b.iter(|| Rota::new(crowd.clone()).map(|rota| rota.fewest(Effort::default())));
    });
    large.finish();
    let (rota, found) = made(25, 0);
    c.bench_function("best assignments, 25 lines", |b| {
        b.iter(|| rota.best(found.players, Some(&found.assignments), Effort::default()));
    });
}

criterion_group!(benches, rota);
criterion_main!(benches);
