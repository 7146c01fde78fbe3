//! A small invented section in a folder of its own.

use backrow_core::collection::{
    Beater, DeadBar, Footprint, Frame, Hardness, Head, Instrument, Kind, Layout, Mass, Material, Owner,
    Place, Player, Point, Shape, Venue,
};
use backrow_core::edit::{Edit, apply};
use backrow_core::id::{
    BeaterId, InstrumentId, KindId, LineId, MovementId, PlaceId, PlayerId, ProgrammeId, ServiceId, VenueId,
    WeekId, WorkId,
};
use backrow_core::library::{Library, Shared};
use backrow_core::music::{
    Degree, Dynamics, Line, LineNote, Movement, Passage, PlayedMeasure, Timeline, Work,
};
use backrow_core::pitch::{KeyNumber, Octave, Reading, Spelled, parse_note};
use backrow_core::week::{LineRef, Placement, Programme, Service, ServiceKind, Week};
use backrow_files::library::{DiskState, Opened, Problem, SaveReport, create_from, open, save};
use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;
use tempfile::TempDir;

pub(crate) type Kinds = Shared<KindId, Kind>;

pub(crate) fn kinds() -> Kinds {
    backrow_files::kinds::standard().unwrap()
}

pub(crate) fn note(text: &str) -> Spelled {
    parse_note(text, Reading::English).unwrap()
}

pub(crate) fn key(text: &str) -> KeyNumber {
    note(text).key()
}

pub(crate) fn instrument(id: &str, kind: &str, low: &str, high: &str) -> Instrument {
    Instrument {
        id: InstrumentId::new(id).unwrap(),
        kind: KindId::new(kind).unwrap(),
        name: format!("{kind} of the orchestra"),
        owner: Owner::Orchestra,
        place: Some(PlaceId::new("cellar").unwrap()),
        frames: vec![Frame {
            range: Some((key(low), key(high))),
            gaps: [key("C#8"), key("D8")].into_iter().collect(),
            dead: vec![DeadBar {
                key: key("F#5"),
                since: Some("2026-02-03".parse().unwrap()),
                why: "cracked".into(),
            }],
            ..Frame::default()
        }],
        layout: Layout::TwoRows,
        material: Material::Rosewood,
        mass: Some(Mass { kg: 38.5, weighed: true }),
        pieces: Vec::new(),
        footprint: Footprint {
            shape: Shape::Keyboard { width_m: 1.4, low_m: 0.75, high_m: 0.4 },
            height_m: 0.9,
        },
        tuned_to: None,
        character: vec!["bright".into(), "dry".into()],
        for_two: false,
        condition: String::new(),
        picture: String::new(),
        remark: "said to be “the good one” – d'accord".into(),
    }
}

pub(crate) fn work() -> Work {
    let movement = MovementId::new("i").unwrap();
    let at = |n: u32| f64::from(n - 1) * 4.0 * 60.0 / 96.0;
    let measures =
        (1..=900).map(|n| PlayedMeasure { name: n.into(), at_s: at(n), quarters: 4.0, of: 4 }).collect();
    let attack =
        |text: &str, measure: u32, shift| LineNote { shift, ..LineNote::new(note(text), measure.into()) };
    let passage = Passage {
        from: 41.into(),
        to: 42.into(),
        from_s: at(41),
        to_s: at(43),
        notes: vec![attack("F#5", 41, 0), attack("G5", 41, 0), attack("A5", 42, 12)],
        unpitched: Vec::new(),
        dynamics: Dynamics::parse("p-ff"),
    };
    Work {
        id: WorkId::new("lantern-dances").unwrap(),
        title: "Lantern Dances".into(),
        composer: "T. Invented".into(),
        movements: vec![Movement {
            id: movement.clone(),
            number: "I".into(),
            title: "Dusk".into(),
            timeline: Timeline { measures, end_s: at(901), marks: Vec::new() },
        }],
        lines: vec![Line {
            id: LineId::new("xylophone").unwrap(),
            movement,
            kind: Some(KindId::new("xylophone").unwrap()),
            printed: "Xyl.".into(),
            part: "Percussion 2".into(),
            octave: Octave::ONE_UP,
            passages: vec![passage],
            beaters: Vec::new(),
            degree: Degree::Sure,
            exposed: true,
            evidence: Vec::new(),
        }],
        together: Vec::new(),
        memory: backrow_core::trial::Memory::default(),
        remark: String::new(),
    }
}

pub(crate) fn line() -> LineRef {
    LineRef { work: WorkId::new("lantern-dances").unwrap(), line: LineId::new("xylophone").unwrap() }
}

pub(crate) fn week() -> Week {
    let mut programme = Programme::new(ProgrammeId::new("gala").unwrap(), "Gala");
    programme.venue = Some(VenueId::new("great-hall").unwrap());
    programme.works = vec![WorkId::new("lantern-dances").unwrap()];
    let placement = Placement { at: Point::new(-2.25, 1.5), turn_deg: 15.0, number: 1, locked: false };
    programme.setup.stand(InstrumentId::new("xylophone-1").unwrap(), placement);
    Week {
        id: WeekId::new("week-7").unwrap(),
        title: "Week 7".into(),
        services: vec![Service {
            id: ServiceId::new("gala-concert").unwrap(),
            kind: ServiceKind::Concert,
            programme: programme.id.clone(),
            venue: None,
            start: "2026-10-16T19:30".parse().unwrap(),
            minutes: 120,
            event: String::new(),
        }],
        programmes: vec![programme],
    }
}

/// A small section, whole in itself.
pub(crate) fn section() -> Library {
    let edits = [
        Edit::PutPlace(Place {
            id: PlaceId::new("cellar").unwrap(),
            name: "Cellar".into(),
            remark: String::new(),
            lift: None,
            air: Vec::new(),
        }),
        Edit::PutPlayer(Player {
            id: PlayerId::new("alba").unwrap(),
            name: "R. Alba".into(),
            initials: "RA".into(),
            role: "principal".into(),
            order: 0,
            only: Vec::new(),
            never: vec![KindId::new("timpani").unwrap()],
            absences: Vec::new(),
        }),
        Edit::PutBeater(Beater {
            id: BeaterId::new("hard-rubber").unwrap(),
            name: "hard rubber".into(),
            head: Head::Rubber,
            hardness: Hardness::VeryHard,
            count: 2,
            owner: Owner::Player(PlayerId::new("alba").unwrap()),
            place: None,
            suits: vec![KindId::new("xylophone").unwrap()],
            remark: String::new(),
        }),
        Edit::PutInstrument(instrument("xylophone-1", "xylophone", "F4", "C8")),
        Edit::PutInstrument(instrument("marimba-1", "marimba", "C2", "C7")),
        Edit::PutVenue(Venue {
            id: VenueId::new("great-hall").unwrap(),
            name: "Great Hall".into(),
            floor: vec![
                Point::new(-9.0, 0.0),
                Point::new(9.0, 0.0),
                Point::new(7.5, 10.0),
                Point::new(-7.5, 10.0),
            ],
            risers: Vec::new(),
            keep_out: Vec::new(),
            conductor: Some(Point::new(0.0, 9.0)),
            remark: String::new(),
        }),
        Edit::PutWork(work()),
        Edit::PutWeek(week()),
        Edit::Assign {
            programme: ProgrammeId::new("gala").unwrap(),
            line: line(),
            player: Some(PlayerId::new("alba").unwrap()),
        },
    ];
    let empty = Library { kinds: kinds(), ..Library::default() };
    edits.iter().fold(empty, |library, edit| apply(&library, edit).unwrap())
}

/// A library in a folder that goes away with it.
pub(crate) struct OnDisk {
    _home: TempDir,
    pub(crate) dir: PathBuf,
    pub(crate) kinds: Kinds,
    pub(crate) library: Library,
    pub(crate) disk: DiskState,
}

impl OnDisk {
    pub(crate) fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        let dir = home.path().join("library");
        let (library, kinds) = (section(), kinds());
        let disk = create_from(&dir, &library, &kinds).unwrap();
        Self { _home: home, dir, kinds, library, disk }
    }

    pub(crate) fn open(&self) -> Opened {
        open(&self.dir, &self.kinds)
    }

    pub(crate) fn save(&mut self) -> SaveReport {
        save(&self.dir, &mut self.disk, &self.library)
    }

    pub(crate) fn edit(&mut self, edit: &Edit) {
        self.library = apply(&self.library, edit).unwrap();
    }

    pub(crate) fn rename(&mut self, id: &str, name: &str) {
        let id = InstrumentId::new(id).unwrap();
        let mut thing = Instrument::clone(&self.library.instruments[&id]);
        thing.name = name.into();
        self.edit(&Edit::PutInstrument(thing));
    }

    pub(crate) fn read(&self, file: &str) -> String {
        fs::read_to_string(self.dir.join(file)).unwrap()
    }

    pub(crate) fn write(&self, file: &str, text: impl AsRef<[u8]>) {
        fs::write(self.dir.join(file), text).unwrap();
    }

    pub(crate) fn replace(&self, file: &str, from: &str, to: &str) {
        let text = self.read(file);
        assert!(text.contains(from), "{from} stands in {file}: {text}");
        self.write(file, text.replace(from, to));
    }

    /// Every file with its text, but for the program's own.
    pub(crate) fn all(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        let mut all = BTreeMap::new();
        let mut folders = vec![self.dir.clone()];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.file_name().is_some_and(|name| name == ".backrow") {
                    continue;
                }
                if path.is_dir() {
                    folders.push(path);
                } else {
                    all.insert(path.clone(), fs::read(path).unwrap());
                }
            }
        }
        all
    }
}

pub(crate) fn codes(problems: &[Problem]) -> Vec<&str> {
    problems.iter().map(|problem| problem.code).collect()
}

pub(crate) fn xylophone() -> InstrumentId {
    InstrumentId::new("xylophone-1").unwrap()
}

pub(crate) const XYLOPHONE: &str = "instruments/xylophone-1.ron";
