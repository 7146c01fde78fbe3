//! From an edit to the evening ready, its findings too, on a full floor: 80 things, 80 lines in four movements, 8 players.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]

use backrow_core::collection::{
    Footprint, Instrument, Layout, Mass, Material, Owner, Player, Point, Shape, Venue,
};
use backrow_core::edit::{Edit, History, apply};
use backrow_core::evening::Evening;
use backrow_core::findings::check;
use backrow_core::id::{
    IdError, InstrumentId, KindId, LineId, MovementId, PlayerId, ProgrammeId, VenueId, WeekId, WorkId,
};
use backrow_core::library::Library;
use backrow_core::music::{Degree, Line, MeasureName, Movement, Passage, Timeline, UnpitchedNote, Work};
use backrow_core::pitch::Octave;
use backrow_core::week::{LineRef, Placement, Programme, Week};
use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use std::hint::black_box;

const THINGS: u32 = 80;
const MOVEMENTS: u32 = 4;
const PLAYERS: u32 = 8;

fn thing(n: u32) -> Result<Instrument, IdError> {
    let shape = match n % 3 {
        0 => Shape::Keyboard { width_m: 1.5, low_m: 0.8, high_m: 0.5 },
        1 => Shape::Box { width_m: 0.9, depth_m: 0.5 },
        _ => Shape::Round { diameter_m: 0.7 },
    };
    Ok(Instrument {
        id: InstrumentId::new(&format!("thing-{n}"))?,
        kind: KindId::new("thing")?,
        name: format!("Thing {n}"),
        owner: Owner::Orchestra,
        place: None,
        frames: Vec::new(),
        layout: Layout::OneRow,
        material: Material::Mixed,
        mass: Some(Mass { kg: 40.0, weighed: false }),
        pieces: Vec::new(),
        footprint: Footprint { shape, height_m: 0.9 },
        tuned_to: None,
        character: Vec::new(),
        for_two: false,
        condition: String::new(),
        picture: String::new(),
        remark: String::new(),
    })
}

fn line(n: u32) -> Result<Line, IdError> {
    let passage = |k: u32| {
        let from_s = f64::from(k * 40 + n % 7 * 5);
        Passage {
            from: MeasureName::from(k * 10 + 1),
            to: MeasureName::from(k * 10 + 2),
            from_s,
            to_s: from_s + 4.0,
            notes: Vec::new(),
            unpitched: vec![UnpitchedNote::new("", 3)],
            dynamics: None,
        }
    };
    Ok(Line {
        id: LineId::new(&format!("line-{n}"))?,
        movement: MovementId::new(&format!("m{}", n % MOVEMENTS))?,
        kind: None,
        printed: "Perc.".to_owned(),
        part: String::new(),
        octave: Octave::AS_WRITTEN,
        passages: (0..8).map(passage).collect(),
        beaters: Vec::new(),
        exposed: false,
        degree: Degree::Sure,
        evidence: Vec::new(),
    })
}

fn place(n: u32) -> Placement {
    let at = Point::new(-9.5 + f64::from(n % 10) * 2.1, 1.2 + f64::from(n / 10) * 1.3);
    Placement { at, turn_deg: f64::from(n * 37 % 60), number: n + 1, locked: false }
}

fn programme() -> Result<ProgrammeId, IdError> {
    ProgrammeId::new("p")
}

fn library() -> Result<Library, Box<dyn std::error::Error>> {
    let floor = [(-11.0, 0.0), (11.0, 0.0), (11.0, 12.0), (-11.0, 12.0)];
    let mut edits = vec![Edit::PutVenue(Venue {
        id: VenueId::new("hall")?,
        name: "Hall".to_owned(),
        floor: floor.map(|(x, y)| Point::new(x, y)).to_vec(),
        risers: Vec::new(),
        keep_out: Vec::new(),
        conductor: Some(Point::new(0.0, 11.5)),
        remark: String::new(),
    })];
    let movement = |n: u32| {
        Ok::<_, IdError>(Movement {
            id: MovementId::new(&format!("m{n}"))?,
            number: n.to_string(),
            title: String::new(),
            timeline: Timeline::default(),
        })
    };
    edits.push(Edit::PutWork(Work {
        id: WorkId::new("w")?,
        title: "Work".to_owned(),
        composer: String::new(),
        movements: (0..MOVEMENTS).map(movement).collect::<Result<_, _>>()?,
        lines: (0..THINGS).map(line).collect::<Result<_, _>>()?,
        together: Vec::new(),
        memory: backrow_core::trial::Memory::default(),
        remark: String::new(),
    }));
    let mut one = Programme::new(programme()?, "Programme");
    (one.venue, one.works) = (Some(VenueId::new("hall")?), vec![WorkId::new("w")?]);
    edits.push(Edit::PutWeek(Week {
        id: WeekId::new("k")?,
        title: "Week".to_owned(),
        programmes: vec![one],
        services: Vec::new(),
    }));
    for n in 0..PLAYERS {
        edits.push(Edit::PutPlayer(Player {
            id: PlayerId::new(&format!("player-{n}"))?,
            name: format!("Player {n}"),
            initials: n.to_string(),
            role: String::new(),
            order: n,
            only: Vec::new(),
            never: Vec::new(),
            absences: Vec::new(),
        }));
    }
    for n in 0..THINGS {
        let (thing, programme) = (thing(n)?, programme()?);
        let (id, line) = (thing.id.clone(), at(n)?);
        let player = Some(PlayerId::new(&format!("player-{}", n % PLAYERS))?);
        edits.push(Edit::PutInstrument(thing));
        edits.push(Edit::Stand { programme: programme.clone(), instrument: id.clone(), placement: place(n) });
        edits.push(Edit::Assign { programme: programme.clone(), line: line.clone(), player });
        edits.push(Edit::UseInstruments { programme, line, instruments: vec![id] });
    }
    Ok(apply(&Library::default(), &Edit::Together { words: "Begin".to_owned(), edits })?)
}

fn at(n: u32) -> Result<LineRef, IdError> {
    Ok(LineRef { work: WorkId::new("w")?, line: LineId::new(&format!("line-{n}"))? })
}

fn benches(c: &mut Criterion) {
    let (Ok(library), Ok(id)) = (library(), programme()) else { return };
    let Some(start) = library.programme(&id) else { return };
    let before = Evening::of(&library, start);
    before.work_out();
    c.bench_function("an evening from nothing, with its findings", |b| {
        b.iter(|| black_box(check(&Evening::of(&library, start))));
    });
    let (Ok(row), Ok(player)) = (at(7), PlayerId::new("player-3")) else { return };
    let Ok(thing) = InstrumentId::new("thing-40") else { return };
    let give = Edit::Assign { programme: id.clone(), line: row, player: Some(player) };
    let mut moved = place(40);
    moved.at.x += 0.4;
    let stand = Edit::Stand { programme: id.clone(), instrument: thing, placement: moved };
    for (name, edit) in [("a line is assigned", give), ("a thing is moved", stand)] {
        c.bench_function(&format!("{name}: the step in the history"), |b| {
            let fresh = || History::new(library.clone());
            b.iter_batched(fresh, |mut history| history.make(&edit).is_ok(), BatchSize::SmallInput);
        });
        let Ok(next) = apply(&library, &edit) else { return };
        let Some(programme) = next.programme(&id) else { return };
        c.bench_function(&format!("{name}: the evening ready"), |b| {
            b.iter(|| black_box(before.after(&next, programme)).work_out());
        });
        c.bench_function(&format!("{name}: the evening ready, with its findings"), |b| {
            b.iter(|| black_box(check(&before.after(&next, programme))));
        });
    }
}

criterion_group!(evening, benches);
criterion_main!(evening);
