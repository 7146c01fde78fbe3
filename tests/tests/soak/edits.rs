//! Edits such as people make, at random, and what must hold whatever they were. The soak of the window uses the same file.

#[path = "collections.rs"]
mod collections;
#[path = "programmes.rs"]
mod programmes;

use backrow_core::collection::{Place, Player, Point};
use backrow_core::compass::Fit;
use backrow_core::cover::cover;
use backrow_core::edit::Edit;
use backrow_core::id::{InstrumentId, PlaceId, ProgrammeId, ServiceId};
use backrow_core::library::Library;
use backrow_core::music::Line;
use backrow_core::week::{Assignment, LineRef, LineRule, Placement, Programme, Service, ServiceKind};
#[allow(unused_imports, reason = "the soak of the window does not count them")]
pub(crate) use collections::{SORTS, sort};
use std::collections::BTreeSet;
use std::path::Path;

/// Random numbers (xorshift, Marsaglia 2003).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % (below.max(1) as u64)).unwrap()
    }

    pub(crate) fn of<'a, T>(&mut self, all: &'a [T]) -> Option<&'a T> {
        all.get(self.roll(all.len()))
    }
}

#[allow(dead_code, reason = "the soak of the window begins with the demo")]
pub(crate) fn first() -> Library {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("libraries/format-1");
    backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library
}

fn programme<'a>(library: &'a Library, dice: &mut Dice) -> Option<&'a Programme> {
    let all: Vec<&Programme> = library.programmes().map(|(_, programme)| programme).collect();
    dice.of(&all).copied()
}

fn line(library: &Library, programme: &Programme, dice: &mut Dice) -> Option<LineRef> {
    let work = dice.of(&programme.works).and_then(|id| library.works.get(id))?;
    let line = dice.of(&work.lines)?;
    Some(LineRef { work: work.id.clone(), line: line.id.clone() })
}

/// An edit such as a person makes; `None` where the dice point nowhere.
pub(crate) fn any_edit(library: &Library, dice: &mut Dice) -> Option<Edit> {
    let things: Vec<&InstrumentId> = library.instruments.keys().collect();
    let players: Vec<_> = library.players.keys().collect();
    let thing = dice.of(&things).copied().cloned()?;
    let placement = Placement {
        at: Point::new(dice.roll(120) as f64 / 10.0 - 6.0, dice.roll(80) as f64 / 10.0),
        turn_deg: dice.roll(24) as f64 * 15.0,
        number: u32::try_from(dice.roll(40)).unwrap() + 1,
        locked: false,
    };
    let of = programme(library, dice)?;
    let id = of.id.clone();
    let at = line(library, of, dice);
    match dice.roll(9) {
        0..=2 => return programmes::any_edit(library, of, at, dice),
        3 => return collections::any_edit(library, of, at, dice),
        _ => {}
    }
    Some(match dice.roll(24) {
        0..=3 => Edit::Assign { programme: id, line: at?, player: dice.of(&players).map(|id| (*id).clone()) },
        4 => Edit::Assign { programme: id, line: at?, player: None },
        5 | 6 => Edit::UseInstruments { programme: id, line: at?, instruments: vec![thing] },
        7 => {
            let beaters: Vec<_> = library.beaters.keys().cloned().collect();
            Edit::UseBeaters {
                programme: id,
                line: at?,
                beaters: dice.of(&beaters).cloned().into_iter().collect(),
            }
        }
        8 => Edit::Lock { programme: id, line: at?, locked: dice.roll(2) == 0 },
        9 => Edit::PutRule { programme: id, rule: LineRule::Together(at?, line(library, of, dice)?) },
        10 => Edit::RemoveRule { programme: id, rule: dice.of(&of.rules)?.clone() },
        11..=13 => Edit::Stand { programme: id, instrument: thing, placement },
        14 => {
            Edit::StandFor { programme: id, work: dice.of(&of.works)?.clone(), instrument: thing, placement }
        }
        15 => Edit::TakeOff { programme: id, instrument: thing },
        16 => {
            let mut next = (**library.instruments.get(&thing)?).clone();
            next.name = format!("{} {}", next.name, dice.roll(10)).chars().take(60).collect();
            Edit::PutInstrument(next)
        }
        17 => {
            let mut next = (**library.instruments.get(&thing)?).clone();
            next.id = InstrumentId::fresh(&format!("made-{}", dice.roll(500)), |id| {
                library.instruments.contains_key(id)
            });
            Edit::PutInstrument(next)
        }
        18 if things.len() > 60 => Edit::RemoveInstrument(thing),
        19 => {
            let name = format!("Room {}", dice.roll(30));
            let id = PlaceId::fresh(&name, |id| library.places.contains_key(id));
            Edit::PutPlace(Place { id, name, remark: String::new(), lift: None, air: Vec::new() })
        }
        20 => {
            let places: Vec<_> = library.places.keys().cloned().collect();
            Edit::RemovePlace(dice.of(&places)?.clone())
        }
        21 => another_service(library, id, dice)?,
        22 => {
            let services: Vec<_> = library.services().map(|service| service.id.clone()).collect();
            Edit::RemoveService(dice.of(&services)?.clone())
        }
        _ => {
            let mut next: Player = (**library.players.get(*dice.of(&players)?)?).clone();
            next.name = format!("Player {}", dice.roll(100));
            Edit::PutPlayer(next)
        }
    })
}

/// One rehearsal more of a programme.
fn another_service(library: &Library, id: ProgrammeId, dice: &mut Dice) -> Option<Edit> {
    let week = library.week_of(&id)?.id.clone();
    let start = library.services_of(&id).first()?.start.saturating_add(jiff_minutes(dice.roll(9_000)));
    let service = Service {
        id: ServiceId::fresh(&format!("{id}-s"), |id| library.service(id).is_some()),
        kind: ServiceKind::Rehearsal,
        programme: id,
        venue: None,
        start,
        minutes: 150,
        event: String::new(),
    };
    Some(Edit::PutService { week, service })
}

fn jiff_minutes(minutes: usize) -> std::time::Duration {
    std::time::Duration::from_secs(minutes as u64 * 60)
}

/// Every id leads somewhere.
pub(crate) fn ids_resolve(library: &Library) {
    for (week, programme) in library.programmes() {
        let told = format!("{} in {}", programme.id, week.id);
        assert!(programme.works.iter().all(|id| library.works.contains_key(id)), "{told}: works");
        assert!(programme.venue.iter().all(|id| library.venues.contains_key(id)), "{told}: venue");
        for (at, given) in programme.lines() {
            assert!(library.line(at).is_some(), "{told}: {at:?}");
            assert!(
                given.player.iter().all(|id| library.players.contains_key(id)),
                "{told}: player of {at:?}"
            );
            assert!(
                given.instruments.iter().all(|id| library.instruments.contains_key(id)),
                "{told}: {at:?}"
            );
            assert!(given.beaters.iter().all(|id| library.beaters.contains_key(id)), "{told}: {at:?}");
        }
        let setup = &programme.setup;
        let own = setup.of_works();
        let own = own.flat_map(|(_, own)| own.places().map(|(id, _)| id).chain(own.taken_away()));
        let ties = setup.lying().chain(setup.in_stations()).flat_map(|(one, other)| [one, other]);
        for id in programme.standing_anywhere().into_iter().chain(own).chain(ties) {
            assert!(library.instruments.contains_key(id), "{told}: {id} stands on the floor");
        }
        let owners = programme.roster.stated.keys().chain(programme.roster.parts.values());
        assert!({ owners }.all(|id| library.players.contains_key(id)), "{told}: roster");
        for (work, aside) in programme.put_aside() {
            assert!(library.works.contains_key(work), "{told}: {work} put aside");
            let own = aside.own.places().map(|(id, _)| id).chain(aside.own.taken_away());
            let things = aside.base.keys().chain(own);
            let used = aside.lines.values().flat_map(Assignment::uses);
            assert!(things.chain(used).all(|id| library.instruments.contains_key(id)), "{told}: put aside");
            assert!(aside.lines.keys().all(|line| library.line(line).is_some()), "{told}: put aside");
        }
    }
    for service in library.services() {
        assert!(library.programme(&service.programme).is_some(), "{}", service.id);
    }
    for thing in library.instruments.values() {
        assert!(thing.place.iter().all(|id| library.places.contains_key(id)), "{}", thing.id);
    }
}

/// What opening says of ids that lead nowhere, or of two that are one. Every field of every record is looked at there.
pub(crate) fn dangling(opened: &backrow_files::library::Opened) -> Vec<String> {
    let is_told = |code: &str| code.starts_with("unknown-") || code == "double-id";
    let told = opened.problems.iter().filter(|problem| is_told(problem.code));
    told.map(|problem| format!("{}: {}", problem.file, problem.what)).collect()
}

/// Nothing speaks of a work that its programme does not play: opened again, the library would be another one.
pub(crate) fn is_settled(library: &Library) {
    for (_, programme) in library.programmes() {
        let mut again = programme.clone();
        again.settle();
        assert_eq!(again, *programme);
    }
}

/// The answer of every instrument of a line's kind, for some lines, is what a plain count of notes gives.
pub(crate) fn fits_agree(library: &Library, dice: &mut Dice) {
    let lines: Vec<&Line> = library.works.values().flat_map(|work| &work.lines).collect();
    for _ in 0..6 {
        let Some(line) = dice.of(&lines) else { return };
        let Some(kind) = &line.kind else { continue };
        let told = cover(library, line);
        let asks: Option<BTreeSet<i32>> =
            line.notes().map(|note| line.sounding_of(note).map(|key| i32::from(key.number()))).collect();
        let of_kind: BTreeSet<&InstrumentId> =
            library.instruments.values().filter(|thing| thing.kind == *kind).map(|thing| &thing.id).collect();
        let answered: BTreeSet<&InstrumentId> = told.fits.iter().map(|one| &one.instrument).collect();
        assert_eq!(answered, of_kind, "{}", line.id);
        // Timpani reach by being retuned in time; notes beyond the keys are no instrument's.
        let (Some(asks), false) = (asks, backrow_core::sets::is_for_timpani(library, kind)) else { continue };
        for one in &told.fits {
            let compass = library.instruments[&one.instrument].compass();
            let has: BTreeSet<i32> = compass.iter().map(|key| i32::from(key.number())).collect();
            assert_eq!(one.reach.fit, plain_fit(&has, &asks), "{} on {}", line.id, one.instrument);
        }
    }
}

/// Whole; else all moved by octaves, the nearest first and lower before higher; else part when any note is there.
fn plain_fit(has: &BTreeSet<i32>, asks: &BTreeSet<i32>) -> Fit {
    if asks.is_subset(has) {
        return Fit::Whole;
    }
    for octaves in 1..=10_i8 {
        for way in [-octaves, octaves] {
            if asks.iter().all(|note| has.contains(&(note + 12 * i32::from(way)))) {
                return Fit::Octave(way);
            }
        }
    }
    if asks.iter().any(|note| has.contains(note)) { Fit::Part } else { Fit::None }
}
