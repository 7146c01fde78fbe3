//! Long use: edits of every place at random, taken back and made again. Whatever is done, ids lead somewhere, undo to the start
//! gives the first library back, redo the last, and what is saved on the way opens as it is in memory.

#![expect(clippy::unwrap_used, reason = "a test stops where its footing gives way")]

use backrow_core::collection::{Place, Player, Point};
use backrow_core::edit::{Edit, History};
use backrow_core::id::{InstrumentId, PlaceId, ServiceId};
use backrow_core::library::Library;
use backrow_core::week::{LineRef, LineRule, Placement, Programme, Service, ServiceKind};
use std::path::Path;

/// Random numbers (xorshift, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % (below.max(1) as u64)).unwrap()
    }

    fn of<'a, T>(&mut self, all: &'a [T]) -> Option<&'a T> {
        all.get(self.roll(all.len()))
    }
}

fn first() -> Library {
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
fn any_edit(library: &Library, dice: &mut Dice) -> Option<Edit> {
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
    Some(match dice.roll(24) {
        0..=3 => Edit::Give { programme: id, line: at?, player: dice.of(&players).map(|id| (*id).clone()) },
        4 => Edit::Give { programme: id, line: at?, player: None },
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
            Edit::PutPlace(Place { id, name, remark: String::new(), air: Vec::new() })
        }
        20 => {
            let places: Vec<_> = library.places.keys().cloned().collect();
            Edit::RemovePlace(dice.of(&places)?.clone())
        }
        21 => {
            let week = library.week_of(&id)?.id.clone();
            let start =
                library.services_of(&id).first()?.start.saturating_add(jiff_minutes(dice.roll(9_000)));
            let service = Service {
                id: ServiceId::fresh(&format!("{id}-s"), |id| library.service(id).is_some()),
                kind: ServiceKind::Rehearsal,
                programme: id,
                venue: None,
                start,
                minutes: 150,
                event: String::new(),
            };
            Edit::PutService { week, service }
        }
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

fn jiff_minutes(minutes: usize) -> std::time::Duration {
    std::time::Duration::from_secs(minutes as u64 * 60)
}

/// Every id leads somewhere.
fn ids_resolve(library: &Library) {
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
        for id in programme.standing_anywhere() {
            assert!(library.instruments.contains_key(id), "{told}: {id} stands on the floor");
        }
    }
    for service in library.services() {
        assert!(library.programme(&service.programme).is_some(), "{}", service.id);
    }
    for thing in library.instruments.values() {
        assert!(thing.place.iter().all(|id| library.places.contains_key(id)), "{}", thing.id);
    }
}

/// `BACKROW_ROUNDS` makes it longer by hand; a round is 700 edits.
#[test]
fn a_long_evening_of_edits_undo_and_redo() {
    let rounds: u64 = std::env::var("BACKROW_ROUNDS").ok().and_then(|n| n.parse().ok()).unwrap_or(4);
    let kinds = backrow_files::kinds::standard().unwrap();
    let start = first();
    let home = tempfile::tempdir().unwrap();
    let dir = home.path().join("library");
    let mut disk = backrow_files::library::create_from(&dir, &start, &kinds).unwrap();
    let mut begun = start;
    let mut made = 0;
    for round in 0..rounds {
        let mut dice = Dice(0x9E37_79B9_7F4A_7C15 ^ (round + 1).wrapping_mul(0xD134_2543_DE82_EF95));
        let mut history = History::new(begun.clone());
        // A history remembers a thousand steps.
        let mut steps = 0;
        while steps < 700 {
            match dice.roll(12) {
                0 => steps -= i32::from(history.undo().is_some()),
                1 => steps += i32::from(history.redo().is_some()),
                _ => {
                    if let Some(edit) = any_edit(history.now(), &mut dice) {
                        // What is refused changes nothing.
                        let before = history.now().clone();
                        match history.make(&edit) {
                            Ok(made) => steps += i32::from(made.is_some()),
                            Err(_refused) => assert_eq!(*history.now(), before),
                        }
                    }
                }
            }
            made += 1;
            if made % 100 == 0 {
                ids_resolve(history.now());
                let report = backrow_files::library::save(&dir, &mut disk, history.now());
                assert!(report.is_clean(), "{report:?}");
            }
        }
        ids_resolve(history.now());
        let last = history.now().clone();
        while history.undo().is_some() {}
        assert_eq!(*history.now(), begun, "undo to the start of round {round}");
        while history.redo().is_some() {}
        assert_eq!(*history.now(), last, "redo to the end of round {round}");
        assert!(backrow_files::library::save(&dir, &mut disk, &last).is_clean());
        assert_eq!(backrow_files::library::open(&dir, &kinds).library, last);
        begun = last;
    }
    assert!(made >= rounds * 700);
}
