//! A small invented library for the core's own tests.

use crate::collection::{
    Beater, Family, Footprint, Frame, Hardness, Head, Instrument, Kind, Layout, Material, Names, Owner,
    Pitched, Place, Plausible, Player, Point, Shape, Venue,
};
use crate::compass::PitchSet;
use crate::compass::naive::keys;
use crate::edit::{Edit, apply};
use crate::id::{
    BeaterId, DecisionId, InstrumentId, KindId, LineId, MovementId, PlaceId, PlayerId, ProgrammeId,
    ServiceId, TakeId, TrialId, VenueId, WeekId, WorkId,
};
use crate::library::Library;
use crate::music::{Degree, Line, LineNote, MeasureName, Movement, Passage, Timeline, UnpitchedNote, Work};
use crate::pitch::{KeyNumber, Octave, Reading, parse_note};
use crate::sound::{Strike, Take};
use crate::trial::{About, Candidate, Decision, How, Memory, Trial};
use crate::week::{LineRef, Programme, Service, ServiceKind, Week};

pub(crate) fn key(name: &str) -> KeyNumber {
    parse_note(name, Reading::English).unwrap().key()
}

pub(crate) fn kind(id: &str, pitched: Pitched, octave: Option<Octave>) -> Kind {
    Kind {
        id: KindId::new(id).unwrap(),
        names: Names { english: vec![id.replace('_', " ")], ..Names::default() },
        family: Family::Keyboards,
        pitched,
        octave,
        compasses: Vec::new(),
        unit: "bar".to_owned(),
        layout: Layout::TwoRows,
        material: Material::Steel,
        shape: Shape::Box { width_m: 1.0, depth_m: 0.5 },
        height_m: crate::collection::USUAL_HEIGHT_M,
        bears: false,
        comes_apart: false,
        for_two: false,
        held: false,
        loud: None,
        pieces: Vec::new(),
        plausible: Plausible::default(),
        usual: Vec::new(),
        harmful: Vec::new(),
        like: Vec::new(),
        caution: String::new(),
        note: String::new(),
    }
}

/// A take of two seconds with one strike, with the rubber beater.
pub(crate) fn take(instrument: &str, id: &str) -> Take {
    let beater = BeaterId::new("rubber").ok();
    Take {
        id: TakeId::new(id).unwrap(),
        instrument: InstrumentId::new(instrument).unwrap(),
        file: format!("{id}.flac"),
        content: String::new(),
        when: None,
        device: String::new(),
        rate_hz: 48_000,
        length_s: 2.0,
        note: String::new(),
        faults: Vec::new(),
        by_model: false,
        strikes: vec![Strike { from_s: 0.5, to_s: 2.0, beater, ..Strike::default() }],
    }
}

/// A frame with these bars: `C4-F5 A5`.
pub(crate) fn frame(name: &str, bars: &str) -> Frame {
    let bars = keys(bars);
    let range = bars.lowest().zip(bars.highest());
    Frame { name: name.to_owned(), range, gaps: bars.gaps(), ..Frame::default() }
}

pub(crate) fn instrument(id: &str, kind: &str, frames: &[&str]) -> Instrument {
    Instrument {
        id: InstrumentId::new(id).unwrap(),
        kind: KindId::new(kind).unwrap(),
        name: id.replace('-', " "),
        owner: Owner::Orchestra,
        place: None,
        frames: frames.iter().map(|bars| frame("", bars)).collect(),
        layout: Layout::TwoRows,
        material: Material::Steel,
        mass: None,
        pieces: Vec::new(),
        footprint: Footprint { shape: Shape::Box { width_m: 1.0, depth_m: 0.5 }, height_m: 0.9 },
        tuned_to: None,
        character: Vec::new(),
        for_two: false,
        condition: String::new(),
        picture: String::new(),
        remark: String::new(),
    }
}

/// A line in one passage of these written notes.
pub(crate) fn line(id: &str, kind: Option<&str>, octave: Octave, written: &str) -> Line {
    let note = |name: &str| LineNote::new(parse_note(name, Reading::English).unwrap(), MeasureName::from(1));
    let notes: Vec<LineNote> = written.split_whitespace().map(note).collect();
    let unpitched = if notes.is_empty() { vec![UnpitchedNote::new("", 3)] } else { Vec::new() };
    let from = MeasureName::from(1);
    let passage =
        Passage { from: from.clone(), to: from, from_s: 0.0, to_s: 2.0, notes, unpitched, dynamics: None };
    Line {
        id: LineId::new(id).unwrap(),
        movement: MovementId::new("i").unwrap(),
        kind: kind.map(|kind| KindId::new(kind).unwrap()),
        printed: "Perc.".to_owned(),
        part: "Percussion 1".to_owned(),
        octave,
        passages: vec![passage],
        beaters: Vec::new(),
        degree: Degree::Sure,
        exposed: false,
        evidence: Vec::new(),
    }
}

pub(crate) fn beater(id: &str) -> Beater {
    Beater {
        id: BeaterId::new(id).unwrap(),
        name: id.to_owned(),
        head: Head::Rubber,
        hardness: Hardness::Hard,
        count: 2,
        owner: Owner::Orchestra,
        place: Some(PlaceId::new("room-1").unwrap()),
        suits: Vec::new(),
        remark: String::new(),
    }
}

pub(crate) fn player(id: &str, order: u32) -> Player {
    Player {
        id: PlayerId::new(id).unwrap(),
        name: format!("Player {id}"),
        initials: id.to_uppercase(),
        role: "section".to_owned(),
        order,
        only: Vec::new(),
        never: Vec::new(),
        absences: Vec::new(),
    }
}

pub(crate) fn venue(id: &str) -> Venue {
    Venue {
        id: VenueId::new(id).unwrap(),
        name: format!("Hall {id}"),
        floor: vec![Point::new(-5.0, 0.0), Point::new(5.0, 0.0), Point::new(0.0, 8.0)],
        risers: Vec::new(),
        keep_out: Vec::new(),
        conductor: None,
        remark: String::new(),
    }
}

pub(crate) fn work(id: &str, lines: Vec<Line>) -> Work {
    Work {
        id: WorkId::new(id).unwrap(),
        title: format!("Work {id}"),
        composer: "A. Nemo".to_owned(),
        movements: vec![Movement {
            id: MovementId::new("i").unwrap(),
            number: "I".to_owned(),
            title: String::new(),
            timeline: Timeline::default(),
        }],
        lines,
        together: Vec::new(),
        memory: Memory::default(),
        remark: String::new(),
    }
}

pub(crate) fn programme(id: &str, works: &[&str]) -> Programme {
    let mut programme = Programme::new(ProgrammeId::new(id).unwrap(), format!("Programme {id}"));
    programme.venue = Some(VenueId::new("hall").unwrap());
    programme.works = works.iter().map(|work| WorkId::new(work).unwrap()).collect();
    programme
}

pub(crate) fn service(id: &str, programme: &str, hour: i8) -> Service {
    Service {
        id: ServiceId::new(id).unwrap(),
        kind: ServiceKind::Rehearsal,
        programme: ProgrammeId::new(programme).unwrap(),
        venue: None,
        start: jiff::civil::date(2031, 3, 4).at(hour, 0, 0, 0),
        minutes: 150,
        event: String::new(),
    }
}

pub(crate) fn at(work: &str, line: &str) -> LineRef {
    LineRef { work: WorkId::new(work).unwrap(), line: LineId::new(line).unwrap() }
}

/// The library that these edits make of an empty one.
pub(crate) fn library_of(edits: Vec<Edit>) -> Library {
    apply(&Library::default(), &Edit::Together { words: "Begin".to_owned(), edits }).unwrap()
}

/// One of everything, and two of what is shared out: work `w` with calls `xyl` and `sn`, programme `p` in week `k`.
pub(crate) fn library() -> Library {
    let xyl = line("xyl", Some("xylophone"), Octave::ONE_UP, "C5 E5");
    let sn = line("sn", Some("snare_drum"), Octave::AS_WRITTEN, "");
    let mut xylophone = instrument("xylophone-1", "xylophone", &["F4-C8"]);
    xylophone.place = Some(PlaceId::new("room-1").unwrap());
    library_of(vec![
        Edit::PutKind(kind("xylophone", Pitched::Yes, Some(Octave::ONE_UP))),
        Edit::PutKind(kind("snare_drum", Pitched::No, None)),
        Edit::PutPlace(Place {
            id: PlaceId::new("room-1").unwrap(),
            name: "room 1".to_owned(),
            remark: String::new(),
            lift: None,
            air: Vec::new(),
        }),
        Edit::PutInstrument(xylophone),
        Edit::PutInstrument(instrument("snare", "snare_drum", &[])),
        Edit::PutBeater(beater("rubber")),
        Edit::PutPlayer(player("a", 0)),
        Edit::PutPlayer(player("b", 1)),
        Edit::PutVenue(venue("hall")),
        Edit::PutWork(work("w", vec![xyl, sn])),
        Edit::PutWeek(Week {
            id: WeekId::new("k").unwrap(),
            title: "Week 1".to_owned(),
            programmes: vec![programme("p", &["w"])],
            services: vec![service("s", "p", 10)],
        }),
    ])
}

/// The pitches of `C4-F5 A5`, for tests outside the compass.
pub(crate) fn pitches(text: &str) -> PitchSet {
    keys(text)
}

fn about(row: &str) -> About {
    About {
        line: LineId::new(row).unwrap(),
        name: "Xylophone".to_owned(),
        kind: Some(KindId::new("xylophone").unwrap()),
        words: "Perc.".to_owned(),
    }
}

/// A live trial without candidates and listeners.
pub(crate) fn trial(id: &str, line: &str) -> Trial {
    Trial {
        id: TrialId::new(id).unwrap(),
        about: about(line),
        when: jiff::civil::date(2027, 10, 14),
        question: String::new(),
        candidates: Vec::new(),
        how: How::Live,
        rounds: 1,
        blind: false,
        seed: 1,
        listeners: Vec::new(),
        verdict: String::new(),
        conductor: String::new(),
    }
}

/// Xylophone 1 with rubber, in 2027.
pub(crate) fn decision(id: &str, line: &str) -> Decision {
    Decision {
        id: DecisionId::new(id).unwrap(),
        about: about(line),
        chosen: Candidate {
            instruments: vec![InstrumentId::new("xylophone-1").unwrap()],
            beaters: vec![BeaterId::new("rubber").unwrap()],
            ..Candidate::default()
        },
        why: "too bright with brass".to_owned(),
        by: String::new(),
        when: jiff::civil::date(2027, 10, 14),
        conductor: "asked for drier".to_owned(),
        trial: None,
    }
}
