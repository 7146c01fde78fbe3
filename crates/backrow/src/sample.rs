//! A small library for tests: a handful of instruments, three players, one work, one programme.

use backrow_core::collection::{
    Beater, Footprint, Frame, Hardness, Head, Instrument, Layout, Material, Owner, Place, Player, Point,
    Shape, Venue,
};
use backrow_core::edit::{Edit, apply};
use backrow_core::id::{
    BeaterId, IdError, InstrumentId, KindId, LineId, MovementId, PlaceId, PlayerId, VenueId, WeekId, WorkId,
};
use backrow_core::library::Library;
use backrow_core::music::{
    Degree, Line, LineNote, MeasureName, Movement, Passage, PlayedMeasure, Timeline, UnpitchedNote, Work,
};
use backrow_core::pitch::{Octave, Reading, parse_note};
use backrow_core::week::{Programme, Week};

/// A library with nothing but the default orchestra.
pub fn empty() -> Library {
    Library::default()
}

/// The small library. The kinds are the standard table.
pub fn small() -> Library {
    let kinds = backrow_files::kinds::standard();
    let library = Library { kinds: kinds.unwrap_or_default(), ..Library::default() };
    edits()
        .ok()
        .and_then(|edits| apply(&library, &Edit::Together { words: "sample".into(), edits }).ok())
        .unwrap_or_default()
}

fn edits() -> Result<Vec<Edit>, IdError> {
    let mut edits = vec![Edit::PutPlace(Place {
        id: PlaceId::new("room-1")?,
        name: "room 1".into(),
        remark: String::new(),
        lift: None,
        air: Vec::new(),
    })];
    let rows = [
        ("xylophone", "Xylophone 1", "F4", "C8", Layout::TwoRows, Material::Rosewood),
        ("xylophone", "Xylophone 2", "C4", "C7", Layout::TwoRows, Material::Padauk),
        ("glockenspiel", "Glockenspiel 1", "G5", "C8", Layout::TwoRows, Material::Steel),
        ("marimba", "Marimba 1", "C2", "C7", Layout::TwoRows, Material::Rosewood),
        ("vibraphone", "Vibraphone 1", "F3", "F6", Layout::TwoRows, Material::Aluminium),
        ("crotales", "Crotales, low", "C6", "C7", Layout::TwoRows, Material::Brass),
    ];
    for (kind, name, low, high, layout, material) in rows {
        edits.push(Edit::PutInstrument(instrument(kind, name, Some((low, high)), layout, material)?));
    }
    for (kind, name) in [("triangle", "Triangle 1"), ("bass_drum", "Bass drum 1"), ("tam_tam", "Tam-tam 1")] {
        edits.push(Edit::PutInstrument(instrument(kind, name, None, Layout::OneRow, Material::Steel)?));
    }
    for (at, (name, initials, role)) in
        [("N. Okafor", "NO", "principal"), ("L. Brandt", "LB", "section"), ("V. Sand", "VS", "timpani")]
            .into_iter()
            .enumerate()
    {
        edits.push(Edit::PutPlayer(Player {
            id: PlayerId::fresh(name, |_| false),
            name: name.into(),
            initials: initials.into(),
            role: role.into(),
            order: u32::try_from(at).unwrap_or(0),
            only: Vec::new(),
            never: Vec::new(),
            absences: Vec::new(),
        }));
    }
    edits.push(Edit::PutBeater(Beater {
        id: BeaterId::new("hard-rubber")?,
        name: "hard rubber, blue".into(),
        head: Head::Rubber,
        hardness: Hardness::Hard,
        count: 2,
        owner: Owner::Orchestra,
        place: None,
        suits: vec![KindId::new("xylophone")?],
        remark: String::new(),
    }));
    edits.push(Edit::PutVenue(Venue {
        id: VenueId::new("quay-hall")?,
        name: "Quay Hall".into(),
        floor: vec![Point::new(-6.5, 0.0), Point::new(6.5, 0.0), Point::new(6.5, 8.0), Point::new(-6.5, 8.0)],
        risers: Vec::new(),
        keep_out: Vec::new(),
        conductor: Some(Point::new(0.0, 7.0)),
        remark: String::new(),
    }));
    edits.push(Edit::PutWork(work()?));
    let mut programme = Programme::new(backrow_core::id::ProgrammeId::new("tidelands")?, "Tidelands");
    programme.venue = Some(VenueId::new("quay-hall")?);
    programme.works = vec![WorkId::new("lanterns")?];
    edits.push(Edit::PutWeek(Week {
        id: WeekId::new("week-1")?,
        title: "Week 1".into(),
        programmes: vec![programme],
        services: Vec::new(),
    }));
    Ok(edits)
}

fn instrument(
    kind: &str,
    name: &str,
    range: Option<(&str, &str)>,
    layout: Layout,
    material: Material,
) -> Result<Instrument, IdError> {
    let key = |text: &str| parse_note(text, Reading::English).ok().map(backrow_core::pitch::Spelled::key);
    let range = range.and_then(|(low, high)| Some((key(low)?, key(high)?)));
    let shape = if range.is_some() {
        Shape::Keyboard { width_m: 1.45, low_m: 0.8, high_m: 0.5 }
    } else {
        Shape::Round { diameter_m: 0.6 }
    };
    Ok(Instrument {
        id: InstrumentId::fresh(name, |_| false),
        kind: KindId::new(kind)?,
        name: name.into(),
        owner: Owner::Orchestra,
        place: Some(PlaceId::new("room-1")?),
        frames: range.map(|range| Frame { range: Some(range), ..Frame::default() }).into_iter().collect(),
        layout,
        material,
        mass: None,
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

fn work() -> Result<Work, IdError> {
    let measures = (1_u32..=60).map(|n| PlayedMeasure {
        name: n.into(),
        at_s: f64::from(n - 1) * 2.0,
        quarters: 4.0,
        of: 4,
    });
    let movement = MovementId::new("ii")?;
    let timeline = Timeline { measures: measures.collect(), end_s: 120.0, marks: Vec::new() };
    Ok(Work {
        id: WorkId::new("lanterns")?,
        title: "Lanterns on the Estuary".into(),
        composer: "I. Varga".into(),
        movements: vec![Movement {
            id: movement.clone(),
            number: "II".into(),
            title: "Lamplighters".into(),
            timeline,
        }],
        lines: vec![
            line("xylophone", Octave::ONE_UP, &[(5, 12, "E4 F#4 C5 B6"), (40, 44, "G5 A5")])?,
            line("glockenspiel", Octave::TWO_UP, &[(14, 20, "G4 A4 C6")])?,
            line("marimba", Octave::AS_WRITTEN, &[(8, 30, "C3 E3 G3")])?,
            line("triangle", Octave::AS_WRITTEN, &[(10, 11, ""), (33, 34, "")])?,
            line("bass_drum", Octave::AS_WRITTEN, &[(1, 3, ""), (50, 60, "")])?,
        ],
        together: Vec::new(),
        memory: backrow_core::trial::Memory::default(),
        remark: String::new(),
    })
}

pub(crate) fn line(kind: &str, octave: Octave, passages: &[(u32, u32, &str)]) -> Result<Line, IdError> {
    let passage = |&(from, to, notes): &(u32, u32, &str)| {
        let written = notes.split_whitespace().filter_map(|text| parse_note(text, Reading::English).ok());
        Passage {
            from: from.into(),
            to: to.into(),
            from_s: f64::from(from - 1) * 2.0,
            to_s: f64::from(to) * 2.0,
            notes: written.map(|written| LineNote::new(written, MeasureName::from(from))).collect(),
            unpitched: if notes.is_empty() { vec![UnpitchedNote::new("", 4)] } else { Vec::new() },
            dynamics: None,
        }
    };
    Ok(Line {
        id: LineId::new(&kind.replace('_', "-"))?,
        movement: MovementId::new("ii")?,
        kind: Some(KindId::new(kind)?),
        printed: kind.into(),
        part: "Percussion 1".into(),
        octave,
        passages: passages.iter().map(passage).collect(),
        beaters: Vec::new(),
        degree: Degree::Sure,
        exposed: false,
        evidence: Vec::new(),
    })
}
