//! A load list: by room and order of loading, every piece that people carry.

use super::{head, names};
use backrow_core::carrying::{self, Carrying};
use backrow_core::collection::{Family, Instrument, Layout, Lift, Mass as Known, Owner, Piece as Carried};
use backrow_core::compass::PitchSet;
use backrow_core::days::Days;
use backrow_core::evening::Evening;
use backrow_core::id::BeaterId;
use backrow_core::library::Library;
use backrow_core::lifting::{self, Guidance};
use backrow_core::loads::{self, Sum, Thing, Way};
use backrow_core::stage::Furnishing;
use backrow_core::week::{Hire, HireState, Programme};
use backrow_print::caution;
use backrow_print::load::{LoadRoom, LoadSheet, LoadThing, Mass, Piece};
use jiff::civil::Date;

/// The sheet's data.
pub fn load_list(evening: &Evening, way: Way) -> LoadSheet {
    let (library, programme) = (evening.library(), evening.programme());
    let load = evening.load(way);
    let sum = load.sum();
    let mut order = 0;
    let mut rooms = Vec::new();
    for room in &load.rooms {
        let of_room = Sum::of(&room.things);
        let things: Vec<LoadThing> = room
            .things
            .iter()
            .filter_map(|thing| {
                order += 1;
                Some(thing_of(
                    library,
                    programme,
                    library.instruments.get(&thing.instrument)?,
                    (order, thing),
                ))
            })
            .collect();
        rooms.push(LoadRoom {
            name: room.name.clone(),
            place: room.remark.clone(),
            pieces: of_room.pieces,
            mass: mass_of(&of_room),
            things,
        });
    }
    with_beaters(evening, way, &mut rooms, &mut order);
    rooms.extend(usual_company(evening, &mut order));
    let guided = load.rooms.iter().flat_map(|room| &room.things).flat_map(|thing| &thing.pieces);
    let guided = guided.filter_map(guidance).any(|guidance| guidance.not_for_one());
    let mut cautions = vec![caution::MASS.to_owned(), caution::LIFT.to_owned()];
    if guided {
        cautions.push(format!(
            "Lifting: figures of the NIOSH equation (index for a lift from the floor) and the HSE filter. {}",
            lifting::CAUTION
        ));
    }
    LoadSheet {
        head: head(library, programme),
        way: way.words().to_owned(),
        ticks: ticks(way),
        signed: signed(way),
        when: when(library, programme, way),
        pieces: sum.pieces,
        mass: mass_of(&sum),
        floor_m2: (!load.rooms.is_empty()).then_some(sum.floor_m2.ceil()),
        people: carrying::at_most(sum.carrying),
        rooms,
        cautions,
        changed: false,
    }
}

/// What beaters are called in a room.
const BEATERS: &str = "Beaters";

/// Puts the beaters into the rooms that they lie in, after the instruments; a room that gives nothing else is put last.
fn with_beaters(evening: &Evening, way: Way, rooms: &mut Vec<LoadRoom>, order: &mut u32) {
    let library = evening.library();
    let piece = |(id, count): (&BeaterId, u32)| Piece {
        count,
        what: library.beaters.get(id).map_or_else(|| id.to_string(), |beater| beater.name.clone()),
        ..Piece::default()
    };
    for found in evening.beaters(way) {
        let pieces: Vec<Piece> = found
            .beaters
            .iter()
            .filter(|(_, count)| *count > 0)
            .map(|(id, count)| piece((id, *count)))
            .collect();
        if pieces.is_empty() {
            continue;
        }
        let things = LoadThing { name: BEATERS.to_owned(), pieces, ..LoadThing::default() };
        match rooms.iter_mut().find(|room| room.name == found.room) {
            Some(room) => room.things.push(things),
            None => rooms.push(LoadRoom {
                name: found.room,
                place: found.remark,
                pieces: 0,
                mass: None,
                things: vec![things],
            }),
        }
    }
    brought(rooms);
    *order = 0;
    for thing in rooms.iter_mut().flat_map(|room| &mut room.things) {
        *order += 1;
        thing.order = *order;
    }
}

/// What players bring themselves, in one part of the list: a heading for each would fill a page with a line or two.
fn brought(rooms: &mut Vec<LoadRoom>) {
    let is_brought = |room: &LoadRoom| room.name.starts_with(loads::WITH);
    let Some(first) = rooms.iter().position(is_brought) else { return };
    if rooms.iter().filter(|room| is_brought(room)).count() < 2 {
        return;
    }
    let (brought, others): (Vec<LoadRoom>, Vec<LoadRoom>) =
        std::mem::take(rooms).into_iter().partition(is_brought);
    *rooms = others;
    let mut all = LoadRoom { name: "With the players".to_owned(), ..LoadRoom::default() };
    for room in brought {
        let who = room.name.trim_start_matches(loads::WITH);
        all.pieces += room.pieces;
        all.mass = match (all.mass, room.mass) {
            (Some(a), Some(b)) => Some(Mass { kg: a.kg + b.kg, estimate: a.estimate || b.estimate }),
            (a, b) => a.or(b),
        };
        for mut thing in room.things {
            if thing.name == BEATERS {
                thing.name = format!("{BEATERS}, {who}");
            }
            all.things.push(thing);
        }
    }
    rooms.insert(first.min(rooms.len()), all);
}

/// What usually goes along and stands in no collection: music stands, stools, covers. Common practice, no source; whoever loads
/// strikes out what is not needed.
fn usual_company(evening: &Evening, order: &mut u32) -> Option<LoadRoom> {
    let library = evening.library();
    let things: Vec<&Instrument> =
        evening.used().keys().filter_map(|id| library.instruments.get(id).map(|thing| &**thing)).collect();
    let family = |thing: &Instrument| library.kinds.get(&thing.kind).map(|kind| kind.family);
    let covered = |thing: &&Instrument| {
        let drums = thing.frames.len().max(1);
        match family(thing) {
            Some(Family::Timpani) => drums,
            _ if thing.layout == Layout::TwoRows => 1,
            _ => 0,
        }
    };
    let furnishings = evening.furnishings().map(|(what, count)| match what {
        Furnishing::MusicStand => {
            (count, ["music stand, with its light", "music stands, each with its light"])
        }
        Furnishing::Stool => (count, ["stool for the timpani", "stools for the timpani"]),
    });
    let covers = (
        things.iter().map(covered).sum(),
        ["cover for a keyboard or a drum", "covers for keyboards and drums"],
    );
    let rows = furnishings.into_iter().chain([covers]);
    let piece = |(count, [one, many]): (usize, [&str; 2])| Piece {
        count: u32::try_from(count).unwrap_or(u32::MAX),
        what: if count == 1 { one } else { many }.to_owned(),
        ..Piece::default()
    };
    let pieces: Vec<Piece> = rows.filter(|(count, _)| *count > 0).map(piece).collect();
    if pieces.is_empty() || things.is_empty() {
        return None;
    }
    *order += 1;
    let thing = LoadThing {
        order: *order,
        name: "Stands, stools, covers".to_owned(),
        pieces,
        ..LoadThing::default()
    };
    Some(LoadRoom {
        name: "Also needed".to_owned(),
        place: "counted by common practice: strike out what is not needed".to_owned(),
        pieces: 0,
        mass: None,
        things: vec![thing],
    })
}

/// What is ticked on that way: where a thing leaves, and where it arrives.
fn ticks(way: Way) -> Vec<String> {
    let words = match way {
        Way::StoreToStage => ["out", "on"],
        Way::StageToTruck => ["off", "in"],
        Way::Back => ["off", "back"],
    };
    words.map(str::to_owned).to_vec()
}

/// Who signs that all is through.
fn signed(way: Way) -> Vec<String> {
    let words = match way {
        Way::StoreToStage => ["out of store", "on stage"],
        Way::StageToTruck => ["off the stage", "in the truck"],
        Way::Back => ["off the stage or truck", "back in store"],
    };
    words.map(str::to_owned).to_vec()
}

/// First service and last end, in words.
fn when(library: &Library, programme: &Programme, way: Way) -> String {
    let services = library.services_of(&programme.id);
    match way {
        Way::StoreToStage => services.first().map_or_else(String::new, |first| {
            format!("first service {}", library.days().lasting().whole(first.start))
        }),
        Way::StageToTruck | Way::Back => services.last().map_or_else(String::new, |last| {
            let end = last.end();
            format!("last service ends {}", library.days().lasting().whole(end))
        }),
    }
}

fn mass_of(sum: &Sum) -> Option<Mass> {
    sum.said().map(|mass| Mass { kg: mass.kg, estimate: !mass.weighed })
}

/// Whole from 10 kg, one decimal below.
fn mass(known: Known) -> Mass {
    let kg = if known.kg >= 10.0 { known.kg.round() } else { (known.kg * 10.0).round() / 10.0 };
    Mass { kg, estimate: !known.weighed }
}

fn thing_of(
    library: &Library,
    programme: &Programme,
    instrument: &Instrument,
    (order, thing): (u32, &Thing),
) -> LoadThing {
    let number = names::numbers(programme, std::slice::from_ref(&thing.instrument));
    let spelled = |bars: PitchSet| names::spelled(library, programme, &instrument.id, bars.iter());
    let only = thing.only.map_or_else(String::new, |(bars, of)| match bars.len() {
        1 => format!("this one of {of}: {}", spelled(bars)),
        n => format!("these {n} of {of}: {}", spelled(bars)),
    });
    let care: Vec<String> = loads::care(library, instrument).into_iter().map(str::to_owned).collect();
    // A remark is no caution; what a piece says already is not said twice.
    let own = unsaid(instrument);
    let lent = lent(library, programme, instrument);
    let lift = instrument.place.as_ref().and_then(|id| library.places.get(id)).and_then(|place| place.lift);
    let remark = [lent.as_str(), own.as_str()]
        .into_iter()
        .filter(|words| !words.is_empty())
        .collect::<Vec<_>>()
        .join(". ");
    LoadThing {
        order,
        number: if number == "–" { String::new() } else { number },
        name: instrument.name.clone(),
        id: instrument.id.to_string(),
        picture: String::new(),
        mass: thing.mass.map(mass),
        only,
        care: care.join("; "),
        remark,
        changed: false,
        pieces: thing.pieces.iter().map(|carried| in_lift(piece_of(carried), carried, lift)).collect(),
    }
}

/// A piece that is heavier than the plate of its store's lift says so, before anything else.
fn in_lift(piece: Piece, carried: &Carried, lift: Option<Lift>) -> Piece {
    let over = lift.filter(|lift| carried.mass.is_some_and(|mass| lift.is_too_heavy(mass.kg)));
    let Some(plate) = over.and_then(|lift| lift.plate_kg) else { return piece };
    let mut care = vec![format!("heavier than the lift’s plate, {plate:.0}\u{202F}kg: not in the lift")];
    care.extend(Some(piece.care.clone()).filter(|words| !words.is_empty()));
    Piece { care: care.join("; "), warn: true, ..piece }
}

/// The remark without those sentences that the care of a piece says too.
fn unsaid(instrument: &Instrument) -> String {
    let said = |sentence: &&str| {
        let sentence = sentence.to_lowercase();
        instrument.pieces.iter().any(|piece| piece.care.to_lowercase().contains(&sentence))
    };
    let sentences = instrument.remark.split(". ").map(|sentence| sentence.trim().trim_end_matches('.'));
    let rest: Vec<&str> = sentences.filter(|words| !words.is_empty()).filter(|words| !said(words)).collect();
    rest.join(". ")
}

/// Whose it is when it is not the orchestra's, and until when.
fn lent(library: &Library, programme: &Programme, instrument: &Instrument) -> String {
    let hire = programme.hires.iter().find(|hire| hire.instrument.as_ref() == Some(&instrument.id));
    match (hire, &instrument.owner) {
        (Some(hire), _) => hire_words(library.days(), hire),
        (None, Owner::Orchestra) => String::new(),
        (None, Owner::Player(id)) => format!("{}’s own", library.player_name(id)),
        (None, Owner::Other(words)) => words.clone(),
    }
}

fn hire_words(days: Days, hire: &Hire) -> String {
    let day = |date: Date| days.short_weekday(date);
    let mut words = vec![if hire.lender.is_empty() { "lent".to_owned() } else { hire.lender.clone() }];
    words.extend(hire.from.map(|from| format!("comes {}", day(from))));
    words.extend(hire.until.map(|until| format!("back {}", day(until))));
    if !matches!(hire.state, HireState::Confirmed | HireState::OnSite) {
        words.push(hire.state.word().to_owned());
    }
    words.join(", ")
}

fn guidance(piece: &Carried) -> Option<Guidance> {
    piece.mass.and_then(|mass| Guidance::of(mass.kg))
}

/// For a narrow column: a number, "gear", or a question.
fn people(carrying: Carrying) -> String {
    match carrying {
        Carrying::People(people) | Carrying::Rolls { people, .. } => people.to_string(),
        Carrying::Gear => "gear".to_owned(),
        Carrying::Unknown => "?".to_owned(),
    }
}

fn piece_of(piece: &Carried) -> Piece {
    let count = piece.count.max(1);
    let heavy = guidance(piece).filter(Guidance::not_for_one);
    let how = Carrying::of_piece(piece);
    // The narrow column says who push it; a step or a kerb is another matter.
    let over_a_step = matches!(how, Carrying::Rolls { heavy: true, .. });
    let care: Vec<String> = over_a_step
        .then(|| format!("over a step it needs {}", carrying::GEAR))
        .into_iter()
        .chain(Some(piece.care.clone()).filter(|words| !words.is_empty()))
        .chain(heavy.map(|guidance| guidance.to_string()))
        .collect();
    Piece {
        count,
        what: piece.what.clone(),
        each: piece.mass.map(mass),
        mass: piece.mass.map(|one| mass(Known { kg: one.kg * f64::from(count), ..one })),
        people: people(how),
        gear: how == Carrying::Gear,
        wheels: if piece.wheels.is_empty() { "–".to_owned() } else { piece.wheels.clone() },
        care: care.join("; "),
        warn: heavy.is_some() && piece.wheels.is_empty(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_piece_heavier_than_the_lifts_plate_says_so() {
        let lift = |there, plate_kg| Some(Lift { there, plate_kg, door_m: None });
        let carried = Carried { mass: Some(Known { kg: 320.0, weighed: true }), ..Carried::default() };
        let piece = || Piece { care: "padded".to_owned(), ..piece_of(&carried) };
        let told = in_lift(piece(), &carried, lift(true, Some(300.0)));
        assert!(told.warn);
        assert_eq!(told.care, "heavier than the lift’s plate, 300\u{202F}kg: not in the lift; padded");
        for other in [None, lift(false, None), lift(true, None), lift(true, Some(320.0))] {
            assert_eq!(in_lift(piece(), &carried, other), piece(), "{other:?}");
        }
    }
}
