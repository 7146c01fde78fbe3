//! Every pair of 2,000 instruments and 5,000 lines, and one line's cover in a library of that size.

use backrow_core::collection::{Footprint, Frame, Instrument, Layout, Material, Owner, Shape};
use backrow_core::compass::{Fit, PitchSet, fit};
use backrow_core::cover::cover;
use backrow_core::edit::{Edit, apply};
use backrow_core::id::{InstrumentId, KindId, LineId, MovementId};
use backrow_core::library::Library;
use backrow_core::music::{Degree, Line, LineNote, MeasureName, Passage};
use backrow_core::pitch::{KeyNumber, Octave, Spelled};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// A plain repeatable source of numbers (a linear congruence; Knuth's constants, from memory).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: u64) -> i32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i32::try_from((self.0 >> 33) % end).unwrap_or(0)
    }
}

fn key(number: i32) -> KeyNumber {
    KeyNumber::new(number).unwrap_or(KeyNumber::MIDDLE_C)
}

/// Two to five octaves, with up to three bars lacking.
fn compass(numbers: &mut Numbers) -> PitchSet {
    let low = 36 + numbers.below(40);
    let range = PitchSet::range(key(low), key((low + 24 + numbers.below(37)).min(112)));
    (0..numbers.below(4)).fold(range, |set, _| set.without(key(low + numbers.below(24))))
}

/// Up to forty notes within two octaves.
fn notes(numbers: &mut Numbers) -> PitchSet {
    let low = 40 + numbers.below(50);
    (0..=numbers.below(40)).map(|_| key(low + numbers.below(25))).collect()
}

fn library(numbers: &mut Numbers) -> Library {
    let kind = KindId::fresh("marimba", |_| false);
    let instruments = (0..2000).map(|number| {
        let bars = compass(numbers);
        let frame = Frame { range: bars.lowest().zip(bars.highest()), gaps: bars.gaps(), ..Frame::default() };
        Edit::PutInstrument(Instrument {
            id: InstrumentId::fresh(&format!("m {number}"), |_| false),
            kind: kind.clone(),
            name: format!("Marimba {number}"),
            owner: Owner::Orchestra,
            place: None,
            frames: vec![frame],
            layout: Layout::TwoRows,
            material: Material::Rosewood,
            mass: None,
            pieces: Vec::new(),
            footprint: Footprint { shape: Shape::Round { diameter_m: 1.0 }, height_m: 1.0 },
            tuned_to: None,
            character: Vec::new(),
            for_two: false,
            condition: String::new(),
            picture: String::new(),
            remark: String::new(),
        })
    });
    let edits = instruments.collect();
    apply(&Library::default(), &Edit::Together { words: String::new(), edits }).unwrap_or_default()
}

fn line(asks: PitchSet) -> Line {
    let measure = MeasureName::from(1);
    let note = |key| LineNote::new(Spelled::usual(key), measure.clone());
    Line {
        id: LineId::fresh("c", |_| false),
        movement: MovementId::fresh("i", |_| false),
        kind: Some(KindId::fresh("marimba", |_| false)),
        printed: String::new(),
        part: String::new(),
        octave: Octave::AS_WRITTEN,
        passages: vec![Passage {
            from: measure.clone(),
            to: measure.clone(),
            from_s: 0.0,
            to_s: 1.0,
            notes: asks.iter().map(note).collect(),
            unpitched: Vec::new(),
            dynamics: None,
        }],
        beaters: Vec::new(),
        degree: Degree::Sure,
        exposed: false,
        evidence: Vec::new(),
    }
}

fn benches(criterion: &mut Criterion) {
    let mut numbers = Numbers(2031);
    let has: Vec<PitchSet> = (0..2000).map(|_| compass(&mut numbers)).collect();
    let asks: Vec<PitchSet> = (0..5000).map(|_| notes(&mut numbers)).collect();
    criterion.bench_function("fits of 2,000 instruments x 5,000 lines", |bench| {
        bench.iter(|| {
            let whole =
                |asks: &PitchSet| has.iter().filter(|has| fit(**has, *asks).fit == Fit::Whole).count();
            black_box(asks.iter().map(whole).sum::<usize>())
        });
    });
    let library = library(&mut numbers);
    let asked = line(PitchSet::range(key(30), key(112)));
    criterion.bench_function("cover of one line by 2,000 instruments of its kind, none whole", |bench| {
        bench.iter(|| black_box(cover(black_box(&library), &asked)));
    });
}

criterion_group! { name = fits; config = Criterion::default().sample_size(10); targets = benches }
criterion_main!(fits);
