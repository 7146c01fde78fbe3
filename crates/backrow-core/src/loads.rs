//! What goes out of store, onto the stage or the truck, and back: by room, in the order of loading.

mod beaters;

pub use beaters::RoomBeaters;
pub(crate) use beaters::beaters;

use crate::carrying::{Carrying, GEAR};
use crate::collection::{Family, Instrument, Layout, Mass, Material, Owner, Piece};
use crate::compass::PitchSet;
use crate::id::{InstrumentId, PlaceId};
use crate::library::Library;
use crate::week::Programme;
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// From where to where.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// Out of every room onto the stage, or into the truck when it stands at the store.
    StoreToStage,
    /// Off the stage into the truck.
    StageToTruck,
    /// Off the stage or the truck, back into every room.
    Back,
}

impl Way {
    /// All, in the order of a week.
    pub const ALL: [Self; 3] = [Self::StoreToStage, Self::StageToTruck, Self::Back];

    /// "store to stage", "stage to truck", "back to store".
    pub const fn words(self) -> &'static str {
        match self {
            Self::StoreToStage => "store to stage",
            Self::StageToTruck => "stage to truck",
            Self::Back => "back to store",
        }
    }
}

/// A whole load.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Rooms in the order of loading.
    pub rooms: Vec<Room>,
}

/// What one room gives or takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Its name: a place in store, the stage, a lender.
    pub name: String,
    /// What a loader must know of it.
    pub remark: String,
    /// In the order of loading: the heaviest first, so that it stands on the floor and the small things on top.
    pub things: Vec<Thing>,
}

/// One instrument of a load.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    /// Which.
    pub instrument: InstrumentId,
    /// What it comes apart into.
    pub pieces: Vec<Piece>,
    /// All of it.
    pub mass: Option<Mass>,
    /// Where bars hang or lie loose and not all are needed: those that go, and how many there are.
    pub only: Option<(PitchSet, u32)>,
    /// Floor that it takes, set up, m2: width times depth of its outline.
    pub floor_m2: f64,
}

/// Sums of a load or of a part of it.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Sum {
    /// Pieces.
    pub pieces: u32,
    /// Kilograms of what has a mass.
    pub kg: f64,
    /// Whether every mass in it was weighed.
    pub weighed: bool,
    /// Things of which no mass is known.
    pub unknown: u32,
    /// Floor, m2.
    pub floor_m2: f64,
    /// What the piece that asks most asks for.
    pub carrying: Carrying,
}

impl Sum {
    /// What it weighs as it is said, everywhere: as it is where all of it was weighed, else rounded up to ten kilograms; `None` where no
    /// mass is known.
    pub fn said(&self) -> Option<Mass> {
        let weighed = self.weighed && self.unknown == 0;
        let kg = if weighed { self.kg } else { (self.kg / 10.0).ceil() * 10.0 };
        (self.kg > 0.0).then_some(Mass { kg, weighed })
    }
}

impl Sum {
    /// Of some things.
    pub fn of<'a>(things: impl IntoIterator<Item = &'a Thing>) -> Self {
        let start = Self { weighed: true, ..Self::default() };
        things.into_iter().fold(start, |sum, thing| Self {
            pieces: sum.pieces + thing.pieces.iter().map(|piece| piece.count.max(1)).sum::<u32>(),
            kg: sum.kg + thing.mass.map_or(0.0, |mass| mass.kg),
            weighed: sum.weighed && thing.mass.is_some_and(|mass| mass.weighed),
            unknown: sum.unknown + u32::from(thing.mass.is_none()),
            floor_m2: sum.floor_m2 + thing.floor_m2,
            carrying: thing.pieces.iter().map(Carrying::of_piece).fold(sum.carrying, Carrying::worse),
        })
    }
}

impl Load {
    /// Everything that a programme uses or has on its floor, for one way.
    pub(crate) fn of(library: &Library, programme: &Programme, way: Way) -> Self {
        let used = used_bars(library, programme);
        let mut rooms: BTreeMap<(bool, String, String), Vec<Thing>> = BTreeMap::new();
        for (id, bars) in &used {
            let Some(instrument) = library.instruments.get(id) else { continue };
            let thing = thing_of(library, instrument, *bars);
            rooms.entry(room_of(library, programme, instrument, way)).or_default().push(thing);
        }
        let mut rooms: Vec<Room> = rooms
            .into_iter()
            .map(|((_, name, remark), mut things)| {
                things.sort_by(|a, b| loading_order(a, b).then_with(|| a.instrument.cmp(&b.instrument)));
                Room { name, remark, things }
            })
            .collect();
        if way == Way::Back {
            // What came out first goes back last.
            rooms.reverse();
        }
        Self { rooms }
    }

    /// Sums of the whole.
    pub fn sum(&self) -> Sum {
        Sum::of(self.rooms.iter().flat_map(|room| &room.things))
    }
}

/// The instruments that a programme uses or has on its floor, each with the bars that its lines ask of it.
pub(crate) fn used_bars(library: &Library, programme: &Programme) -> BTreeMap<InstrumentId, PitchSet> {
    let mut used: BTreeMap<InstrumentId, PitchSet> =
        programme.standing_anywhere().into_iter().map(|id| (id.clone(), PitchSet::EMPTY)).collect();
    for (at, given) in programme.lines() {
        let line = library.line(at).map(|(_, line)| line);
        for id in given.uses() {
            // A dead bar is not ordered out of store.
            let has = library.instruments.get(id).map_or(PitchSet::EMPTY, |thing| thing.compass());
            let asks = line.map_or(PitchSet::EMPTY, |line| given.asks_of(line, id));
            let bars = used.entry(id.clone()).or_default();
            *bars = bars.union(asks.intersection(has));
        }
    }
    used
}

fn thing_of(library: &Library, instrument: &Instrument, bars: PitchSet) -> Thing {
    // Strings of a cimbalom and notes of a steel drum stay on it, however they lie.
    let apart = library.kinds.get(&instrument.kind).is_some_and(|kind| kind.comes_apart);
    let loose = apart && matches!(instrument.layout, Layout::Rack | Layout::OneRow);
    let all = instrument.bars();
    let only = (loose && !bars.is_empty() && bars != all).then(|| (bars, all.len()));
    let (width, depth) = instrument.footprint.shape.extent();
    Thing {
        instrument: instrument.id.clone(),
        pieces: instrument.carried(),
        mass: instrument.whole_mass(),
        only,
        floor_m2: width * depth,
    }
}

/// What is lent and lies in no room of the orchestra comes after the orchestra's own rooms.
fn room_of(library: &Library, programme: &Programme, thing: &Instrument, way: Way) -> (bool, String, String) {
    room_for(library, programme, (thing.place.as_ref(), &thing.owner), way)
}

/// How the part of a load begins that a player brings: "With N. Okafor".
pub const WITH: &str = "With ";

/// The room of a thing that has that place in store and that owner.
fn room_for(
    library: &Library,
    programme: &Programme,
    (place, owner): (Option<&PlaceId>, &Owner),
    way: Way,
) -> (bool, String, String) {
    if way == Way::StageToTruck {
        let venue = programme.venue.as_ref().and_then(|id| library.venues.get(id));
        return match venue {
            Some(venue) => (false, format!("Stage, {}", venue.name), venue.remark.clone()),
            None => (false, "Stage".to_owned(), String::new()),
        };
    }
    match (place.and_then(|id| library.places.get(id)), owner) {
        (Some(place), _) => (false, place.name.clone(), place.to_know()),
        (None, Owner::Player(id)) => (true, format!("{WITH}{}", library.player_name(id)), String::new()),
        (None, Owner::Other(words)) => (true, format!("From {words}"), String::new()),
        (None, Owner::Orchestra) => (true, "No room stated".to_owned(), String::new()),
    }
}

/// Care words for a whole instrument, by what it is made of and what it is. Common practice; no single source.
pub fn care(library: &Library, instrument: &Instrument) -> Vec<&'static str> {
    let family = library.kinds.get(&instrument.kind).map(|kind| kind.family);
    let mut words = Vec::new();
    match instrument.material {
        Material::Rosewood | Material::Padauk => words.push("wood: no cold, no sun, no damp"),
        Material::Glass => words.push("glass: padded, upright, nothing on it"),
        Material::Skin if family == Some(Family::Timpani) => words.push("covers on; nothing on the heads"),
        _ => {}
    }
    if instrument.carried().iter().any(|piece| Carrying::of_piece(piece) == Carrying::Gear) {
        words.push(GEAR);
    }
    words
}

fn loading_order(a: &Thing, b: &Thing) -> Ordering {
    let kg = |thing: &Thing| thing.mass.map_or(0.0, |mass| mass.kg);
    kg(b).total_cmp(&kg(a))
}

#[cfg(test)]
mod worked;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::{DeadBar, Piece, Point};
    use crate::edit::{Edit, apply};
    use crate::id::ProgrammeId;
    use crate::sample::{at, instrument, library, pitches};
    use crate::week::{Instead, Placement};

    fn loaded(change: impl FnOnce(&mut Instrument)) -> (Library, Load) {
        loaded_of(true, change)
    }

    fn loaded_of(comes_apart: bool, change: impl FnOnce(&mut Instrument)) -> (Library, Load) {
        let mut thing = instrument("xylophone-1", "xylophone", &["F4-C8"]);
        change(&mut thing);
        let programme = ProgrammeId::new("p").unwrap();
        let kind = crate::sample::kind("xylophone", crate::collection::Pitched::Yes, None);
        let kind = crate::collection::Kind { comes_apart, ..kind };
        let edits = vec![
            Edit::PutKind(kind),
            Edit::PutInstrument(thing),
            Edit::UseInstruments {
                programme: programme.clone(),
                line: at("w", "xyl"),
                instruments: vec![InstrumentId::new("xylophone-1").unwrap()],
            },
        ];
        let library = apply(&library(), &Edit::Together { words: String::new(), edits }).unwrap();
        let load = Load::of(&library, library.programme(&programme).unwrap(), Way::StoreToStage);
        (library, load)
    }

    #[test]
    fn a_keyboard_goes_whole_and_a_rack_in_part() {
        let (_, whole) = loaded(|_| ());
        assert_eq!(whole.rooms[0].things[0].only, None);
        let (_, strings) = loaded_of(false, |thing| thing.layout = Layout::Rack);
        assert_eq!(strings.rooms[0].things[0].only, None, "what does not come apart goes whole");
        let (library, part) = loaded(|thing| thing.layout = Layout::Rack);
        let asks = library.line(&at("w", "xyl")).unwrap().1.sounding();
        assert_eq!(part.rooms[0].things[0].only, Some((asks, pitches("F4-C8").len())));
    }

    #[test]
    fn a_note_that_is_played_an_octave_away_brings_that_bar() {
        let c = |text: &str| pitches(text).lowest().unwrap();
        let edits = vec![
            Edit::UseInstruments {
                programme: ProgrammeId::new("p").unwrap(),
                line: at("w", "xyl"),
                instruments: vec![InstrumentId::new("xylophone-1").unwrap()],
            },
            Edit::Decide {
                programme: ProgrammeId::new("p").unwrap(),
                line: at("w", "xyl"),
                key: c("C6"),
                instead: Some(Instead::Octaves(-1)),
            },
        ];
        let library = apply(&library(), &Edit::Together { words: String::new(), edits }).unwrap();
        let used = used_bars(&library, library.programme(&ProgrammeId::new("p").unwrap()).unwrap());
        // The line sounds C6 and E6; the C may be had an octave lower.
        assert_eq!(used[&InstrumentId::new("xylophone-1").unwrap()], pitches("C5 C6 E6"));
    }

    #[test]
    fn a_dead_bar_stays_in_store() {
        let xyl = at("w", "xyl");
        let library = library();
        let lowest = library.line(&xyl).unwrap().1.sounding().lowest().unwrap();
        let (_, part) = loaded(|thing| {
            thing.layout = Layout::Rack;
            thing.frames[0].dead = vec![DeadBar { key: lowest, since: None, why: String::new() }];
        });
        let (bars, of) = part.rooms[0].things[0].only.unwrap();
        assert!(!bars.contains(lowest) && of == pitches("F4-C8").len(), "{bars}");
    }

    #[test]
    fn what_only_stands_on_the_floor_is_loaded_too() {
        let p = ProgrammeId::new("p").unwrap();
        let place = Placement { at: Point::new(0.0, 1.0), turn_deg: 0.0, number: 1, locked: false };
        let snare = InstrumentId::new("snare").unwrap();
        let mut programme = Programme::new(p, "P");
        programme.setup.stand(snare.clone(), place);
        let load = Load::of(&library(), &programme, Way::StoreToStage);
        let things: Vec<_> = load.rooms.iter().flat_map(|room| &room.things).map(|t| &t.instrument).collect();
        assert_eq!(things, [&snare]);
    }

    #[test]
    fn sums_and_people() {
        let (_, load) = loaded(|thing| {
            let piece = |kg: f64, count, people| Piece {
                what: "p".into(),
                count,
                mass: Some(Mass { kg, weighed: true }),
                people,
                ..Piece::default()
            };
            thing.pieces = vec![piece(30.0, 1, 0), piece(10.0, 2, 3)];
        });
        let sum = load.sum();
        assert_eq!((sum.pieces, sum.carrying, sum.unknown, sum.weighed), (3, Carrying::People(3), 0, true));
        assert!((sum.kg - 50.0).abs() < 1e-9 && (sum.floor_m2 - 0.5).abs() < 1e-9);
        assert_eq!(Carrying::of_piece(&load.rooms[0].things[0].pieces[0]), Carrying::People(2));
    }
}
