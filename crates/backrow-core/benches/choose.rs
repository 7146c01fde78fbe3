//! Instruments and beaters for a hundred lines from a thousand instruments.

use backrow_core::choose::{Ask, Wanted, propose};
use backrow_core::collection::{
    Beater, Family, Footprint, Frame, Hardness, Head, Instrument, Kind, Layout, Material, Names, Owner,
    Pitched, Plausible, Shape, USUAL_HEIGHT_M, UsualBeater,
};
use backrow_core::edit::{Edit, apply};
use backrow_core::id::{BeaterId, InstrumentId, KindId, LineId, MovementId, ProgrammeId, WeekId, WorkId};
use backrow_core::library::Library;
use backrow_core::music::{Degree, Line, LineNote, MeasureName, Movement, Passage, Timeline, Work};
use backrow_core::pitch::{KeyNumber, Octave, Spelled};
use backrow_core::week::{Programme, Week};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

const KINDS: i32 = 20;

fn kind_id(number: i32) -> KindId {
    KindId::fresh(&format!("kind {}", number.rem_euclid(KINDS)), |_| false)
}

fn key(number: i32) -> KeyNumber {
    KeyNumber::new(number).unwrap_or(KeyNumber::MIDDLE_C)
}

fn kind(number: i32) -> Kind {
    Kind {
        id: kind_id(number),
        names: Names { english: vec![format!("kind {number}")], ..Names::default() },
        family: Family::Keyboards,
        pitched: Pitched::Sometimes,
        octave: None,
        compasses: Vec::new(),
        unit: "bar".to_owned(),
        layout: Layout::TwoRows,
        material: Material::Steel,
        shape: Shape::Round { diameter_m: 1.0 },
        height_m: USUAL_HEIGHT_M,
        bears: false,
        comes_apart: false,
        for_two: false,
        held: false,
        loud: None,
        pieces: Vec::new(),
        plausible: Plausible::default(),
        usual: vec![UsualBeater { head: Head::Rubber, hardness: Some(Hardness::Hard) }],
        harmful: Vec::new(),
        like: vec![kind_id(number + 1)],
        caution: String::new(),
        note: String::new(),
    }
}

fn instrument(number: i32) -> Instrument {
    let low = 40 + number.rem_euclid(17);
    Instrument {
        id: InstrumentId::fresh(&format!("thing {number}"), |_| false),
        name: format!("Thing {number}"),
        owner: if number % 3 == 0 { Owner::Other("lent".to_owned()) } else { Owner::Orchestra },
        frames: vec![Frame { range: Some((key(low), key(low + 36 + number % 12))), ..Frame::default() }],
        footprint: Footprint { shape: Shape::Round { diameter_m: 1.0 }, height_m: 1.0 },
        ..Instrument::of_kind(InstrumentId::fresh("x", |_| false), &kind(number))
    }
}

fn beater(number: i32) -> Beater {
    Beater {
        id: BeaterId::fresh(&format!("beater {number}"), |_| false),
        name: format!("beater {number}"),
        head: if number % 2 == 0 { Head::Rubber } else { Head::Yarn },
        hardness: Hardness::Medium,
        count: 4,
        owner: Owner::Orchestra,
        place: None,
        suits: vec![kind_id(number)],
        remark: String::new(),
    }
}

/// A hundred lines over two hundred seconds; every third without pitch.
fn line(number: i32) -> Line {
    let measure = MeasureName::from(1);
    let note = |key| LineNote::new(Spelled::usual(key), measure.clone());
    let low = 55 + number.rem_euclid(7);
    let notes = if number % 3 == 0 { Vec::new() } else { (low..low + 20).map(|n| note(key(n))).collect() };
    let from_s = f64::from(number * 7 % 200);
    Line {
        id: LineId::fresh(&format!("line {number}"), |_| false),
        movement: MovementId::fresh("i", |_| false),
        kind: Some(kind_id(number)),
        printed: format!("part {number}"),
        part: String::new(),
        octave: Octave::AS_WRITTEN,
        passages: vec![Passage {
            from: measure.clone(),
            to: measure.clone(),
            from_s,
            to_s: from_s + 12.0,
            notes,
            unpitched: Vec::new(),
            dynamics: None,
        }],
        beaters: Vec::new(),
        degree: Degree::Sure,
        exposed: false,
        evidence: Vec::new(),
    }
}

fn library() -> Library {
    let work = Work {
        id: WorkId::fresh("w", |_| false),
        title: "W".to_owned(),
        composer: "A. Nemo".to_owned(),
        movements: vec![Movement {
            id: MovementId::fresh("i", |_| false),
            number: "I".to_owned(),
            title: String::new(),
            timeline: Timeline::default(),
        }],
        lines: (0..100).map(line).collect(),
        together: Vec::new(),
        memory: backrow_core::trial::Memory::default(),
        remark: String::new(),
    };
    let mut programme = Programme::new(ProgrammeId::fresh("p", |_| false), "P");
    programme.works = vec![work.id.clone()];
    let week = Week {
        id: WeekId::fresh("k", |_| false),
        title: String::new(),
        programmes: vec![programme],
        services: Vec::new(),
    };
    let mut edits: Vec<Edit> = (0..KINDS).map(|number| Edit::PutKind(kind(number))).collect();
    edits.extend((0..1000).map(|number| Edit::PutInstrument(instrument(number))));
    edits.extend((0..100).map(|number| Edit::PutBeater(beater(number))));
    edits.extend([Edit::PutWork(work), Edit::PutWeek(week)]);
    apply(&Library::default(), &Edit::Together { words: String::new(), edits }).unwrap_or_default()
}

fn benches(criterion: &mut Criterion) {
    let library = library();
    let Some((_, programme)) = library.programmes().next() else { return };
    let wanted = |_: &[String]| Wanted::default();
    criterion.bench_function("100 lines from 1,000 instruments and 100 beaters", |bench| {
        bench.iter(|| black_box(propose(&Ask { library: &library, programme, wanted: &wanted }).len()));
    });
}

criterion_group! { name = choose; config = Criterion::default().sample_size(10); targets = benches }
criterion_main!(choose);
