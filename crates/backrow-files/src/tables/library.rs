//! The library's tables: collection, lines, assignments, loads, services, moves, hires.

use super::table::{Cell, Table};
use backrow_core::carrying::{Carrying, pieces_text};
use backrow_core::collection::{Beater, Instrument, Owner, Place, Player, Shape, frames_text};
use backrow_core::evening::Evening;
use backrow_core::id::{KindId, listed};
use backrow_core::library::Library;
use backrow_core::loads::Way;
use backrow_core::moves::Post;
use backrow_core::music::{Dynamics, Line, Work};
use backrow_core::seconds::{Round, tenths_s};
use backrow_core::week::{Hire, LineRef, Presence, Programme, Service};

/// Every instrument, in the order of names; the headings are those that [`super::collection`] reads.
pub fn collection(library: &Library) -> Table {
    let mut things: Vec<&Instrument> = library.instruments.values().map(|thing| &**thing).collect();
    things.sort_by_key(|thing| (thing.name.to_lowercase(), thing.id.clone()));
    Table {
        name: "Collection".to_owned(),
        heads: vec![
            "id",
            "name",
            "kind",
            "owner",
            "place",
            "bars",
            "layout",
            "material",
            "mass kg",
            "weighed",
            "carried as",
            "outline",
            "width m",
            "depth m",
            "depth at the high end m",
            "height m",
            "A Hz",
            "character",
            "for two",
            "condition",
            "remark",
        ],
        rows: things.into_iter().map(|thing| instrument(library, thing)).collect(),
    }
}

fn instrument(library: &Library, thing: &Instrument) -> Vec<Cell> {
    let place =
        thing.place.as_ref().map(|id| library.places.get(id).map_or(id.as_str(), |place| &place.name));
    let shape = thing.footprint.shape;
    let (width, depth) = shape.extent();
    let (depth, high) = match shape {
        Shape::Keyboard { low_m, high_m, .. } => (low_m, Some(high_m)),
        Shape::Box { .. } | Shape::Round { .. } | Shape::Hung { .. } => (depth, None),
    };
    vec![
        Cell::text(thing.id.as_str()),
        Cell::text(&thing.name),
        Cell::text(library.kind_name(&thing.kind)),
        owner(library, &thing.owner),
        Cell::text(place.unwrap_or_default()),
        Cell::text(frames_text(&thing.frames, &|day| day.to_string())),
        Cell::text(thing.layout.word()),
        Cell::text(thing.material.word()),
        Cell::number(thing.whole_mass().map(|mass| mass.kg)),
        thing.whole_mass().map_or(Cell::Empty, |mass| Cell::Bool(mass.weighed)),
        Cell::text(pieces_text(&thing.pieces)),
        Cell::text(shape.word()),
        Cell::Number(width),
        Cell::Number(depth),
        Cell::number(high),
        Cell::Number(thing.footprint.height_m),
        Cell::number(thing.tuned_to.map(backrow_core::pitch::ReferenceA::value)),
        Cell::text(thing.character.join(", ")),
        Cell::Bool(thing.for_two),
        Cell::text(&thing.condition),
        Cell::text(&thing.remark),
    ]
}

fn owner(library: &Library, owner: &Owner) -> Cell {
    Cell::text(match owner {
        Owner::Orchestra => "ours".to_owned(),
        Owner::Player(id) => library.player_name(id),
        Owner::Other(words) => words.clone(),
    })
}

fn kinds(library: &Library, kinds: &[KindId]) -> Cell {
    let names: Vec<String> = kinds.iter().map(|id| library.kind_name(id)).collect();
    Cell::text(names.join("; "))
}

/// Every beater; the headings are those that [`super::collection`] reads.
pub fn beaters(library: &Library) -> Table {
    let row = |beater: &Beater| {
        let place = beater.place.as_ref().and_then(|id| library.places.get(id));
        vec![
            Cell::text(beater.id.as_str()),
            Cell::text(&beater.name),
            Cell::text(beater.head.word()),
            Cell::text(beater.hardness.word()),
            Cell::Whole(i64::from(beater.count)),
            owner(library, &beater.owner),
            Cell::text(place.map_or("", |place| place.name.as_str())),
            kinds(library, &beater.suits),
            Cell::text(&beater.remark),
        ]
    };
    Table {
        name: "Beaters".to_owned(),
        heads: vec!["id", "name", "head", "hardness", "number", "owner", "place", "suits", "remark"],
        rows: library.beaters.values().map(|beater| row(beater)).collect(),
    }
}

/// Every player in the order of the roster.
pub fn players(library: &Library) -> Table {
    let row = |player: &Player| {
        vec![
            Cell::text(player.id.as_str()),
            Cell::text(&player.name),
            Cell::text(&player.initials),
            Cell::text(&player.role),
            kinds(library, &player.only),
            kinds(library, &player.never),
        ]
    };
    Table {
        name: "Players".to_owned(),
        heads: vec!["id", "name", "initials", "role", "plays only", "does not play"],
        rows: library.roster().into_iter().map(row).collect(),
    }
}

/// Every place in store.
pub fn places(library: &Library) -> Table {
    let row = |place: &Place| {
        vec![
            Cell::text(place.id.as_str()),
            Cell::text(&place.name),
            Cell::text(place.lift.map_or_else(String::new, super::collection::lift_text)),
            Cell::text(&place.remark),
        ]
    };
    Table {
        name: "Places".to_owned(),
        heads: vec!["id", "name", "lift", "remark"],
        rows: library.places.values().map(|place| row(place)).collect(),
    }
}

/// Every line of a programme's works, in playing order.
pub fn lines(library: &Library, programme: &Programme) -> Table {
    let row = |work: &Work, line: &Line| {
        let movement = work.movement(&line.movement).map_or("", |movement| &movement.number);
        let sounding = line.sounding();
        let written: Vec<String> =
            line.written_counts().iter().map(|(note, _)| note.written.ascii()).collect();
        let seconds: f64 = line.passages.iter().map(|passage| passage.to_s - passage.from_s).sum();
        vec![
            Cell::text(&work.title),
            Cell::text(movement),
            Cell::text(library.line_name(line)),
            Cell::text(&line.printed),
            Cell::text(&line.part),
            Cell::text(line.measures()),
            Cell::Whole(i64::try_from(line.passages.len()).unwrap_or(i64::MAX)),
            Cell::Number((seconds * 10.0).round() / 10.0),
            Cell::Whole(i64::from(line.octave.semitones())),
            Cell::text(written.join(" ")),
            Cell::text(super::collection::bars_text(sounding)),
            Cell::text(line.dynamics().map(Dynamics::ascii).unwrap_or_default()),
            Cell::text(line.degree.word()),
        ]
    };
    Table {
        name: "Lines".to_owned(),
        heads: vec![
            "work",
            "movement",
            "line",
            "printed",
            "part",
            "measures",
            "passages",
            "seconds",
            "octave semitones",
            "written",
            "sounding",
            "dynamics",
            "reading",
        ],
        rows: each_line(library, programme).map(|(work, line)| row(work, line)).collect(),
    }
}

/// Who plays each line, on what, with what.
pub fn assignments(library: &Library, programme: &Programme) -> Table {
    let row = |work: &Work, line: &Line| {
        let given = programme.assignment(&LineRef { work: work.id.clone(), line: line.id.clone() });
        let movement = work.movement(&line.movement).map_or("", |movement| &movement.number);
        let names: Vec<String> = given.instruments.iter().map(|id| library.instrument_name(id)).collect();
        let numbers: Vec<u32> = given.instruments.iter().filter_map(|id| programme.number_of(id)).collect();
        let beaters: Vec<String> = given
            .beaters
            .iter()
            .map(|id| library.beaters.get(id).map_or_else(|| id.to_string(), |beater| beater.name.clone()))
            .collect();
        vec![
            Cell::text(&work.title),
            Cell::text(movement),
            Cell::text(library.line_name(line)),
            Cell::text(line.measures()),
            Cell::text(given.player.as_ref().map(|id| library.player_name(id)).unwrap_or_default()),
            match numbers.as_slice() {
                [] => Cell::Empty,
                [one] => Cell::Whole(i64::from(*one)),
                all => Cell::text(all.iter().map(u32::to_string).collect::<Vec<_>>().join(", ")),
            },
            Cell::text(listed(&names)),
            Cell::text(beaters.join("; ")),
            Cell::Bool(given.locked),
        ]
    };
    Table {
        name: "Assignments".to_owned(),
        heads: vec![
            "work",
            "movement",
            "line",
            "measures",
            "player",
            "number",
            "instruments",
            "beaters",
            "locked",
        ],
        rows: each_line(library, programme).map(|(work, line)| row(work, line)).collect(),
    }
}

fn each_line<'a>(
    library: &'a Library,
    programme: &'a Programme,
) -> impl Iterator<Item = (&'a Work, &'a Line)> {
    let works = programme.works_in_order().filter_map(|(_, id)| library.works.get(id));
    works.flat_map(|work| {
        let movements = work.movements.iter();
        movements.flat_map(move |movement| work.lines_of(&movement.id).map(move |line| (&**work, line)))
    })
}

/// Every piece of a programme's load for one way, in the order of loading.
pub fn load(evening: &Evening, way: Way) -> Table {
    let (library, programme) = (evening.library(), evening.programme());
    let mut rows = Vec::new();
    for room in &evening.load(way).rooms {
        for thing in &room.things {
            let number = programme.number_of(&thing.instrument);
            let only = thing.only.map(|(bars, _)| super::collection::bars_text(bars)).unwrap_or_default();
            for piece in &thing.pieces {
                rows.push(vec![
                    Cell::Whole(i64::try_from(rows.len() + 1).unwrap_or(i64::MAX)),
                    Cell::text(&room.name),
                    Cell::text(library.instrument_name(&thing.instrument)),
                    number.map_or(Cell::Empty, |number| Cell::Whole(i64::from(number))),
                    Cell::text(&only),
                    Cell::text(&piece.what),
                    Cell::Whole(i64::from(piece.count.max(1))),
                    Cell::number(piece.mass.map(|mass| mass.kg)),
                    Cell::number(piece.mass.map(|mass| mass.kg * f64::from(piece.count.max(1)))),
                    piece.mass.map_or(Cell::Empty, |mass| Cell::Bool(mass.weighed)),
                    Carrying::of_piece(piece)
                        .people()
                        .map_or(Cell::Empty, |people| Cell::Whole(i64::from(people))),
                    Cell::text(Carrying::of_piece(piece).to_string()),
                    Cell::text(&piece.wheels),
                    Cell::text(&piece.care),
                ]);
            }
        }
    }
    Table {
        name: format!("Load {}", way.words()),
        heads: vec![
            "order", "room", "thing", "number", "only", "piece", "count", "kg each", "kg", "weighed",
            "people", "carried", "wheels", "care",
        ],
        rows,
    }
}

/// The services of a programme in order of time, with who of its players is away, not engaged for it, or in reserve.
pub fn services(library: &Library, programme: &Programme) -> Table {
    let row = |service: &Service| {
        let venue = service.venue.as_ref().or(programme.venue.as_ref()).and_then(|id| library.venues.get(id));
        let players = library.presences(programme, service);
        let who = |why: &[Presence]| {
            let of =
                players.iter().filter(|(_, is)| why.contains(is)).map(|(player, _)| player.name.as_str());
            Cell::text(of.collect::<Vec<_>>().join("; "))
        };
        vec![
            Cell::Time(service.start),
            Cell::Time(service.end()),
            Cell::text(service.kind.word()),
            Cell::text(venue.map_or("", |venue| venue.name.as_str())),
            who(&[Presence::Away]),
            who(&[Presence::OnlyOthers, Presence::Free]),
            who(&[Presence::Reserve]),
        ]
    };
    Table {
        name: "Services".to_owned(),
        heads: vec!["begins", "ends", "what", "where", "away", "not engaged", "in reserve"],
        rows: library.services_of(&programme.id).into_iter().map(row).collect(),
    }
}

/// Every move of every player: the seconds that the music gives and those that it needs.
pub fn moves(evening: &Evening) -> Table {
    let library = evening.library();
    let timetable = evening.timetable();
    let mut rows = Vec::new();
    for player in library.roster() {
        for step in timetable.moves(&player.id) {
            let from = timetable.at(&step.from).and_then(|at| at.leaves());
            let to = timetable.at(&step.to).and_then(|at| at.comes());
            let (Some(from), Some(to)) = (from, to) else { continue };
            let Some((work, line)) = library.line(&step.to.line) else { continue };
            // Passages of one line at one place are no move.
            if step.need.us() == 0 && step.fits() {
                continue;
            }
            let things = |post: Post<'_>| {
                let names: Vec<String> =
                    post.stance.instruments.iter().map(|id| library.instrument_name(id)).collect();
                if names.is_empty() { post.taken.name.clone() } else { listed(&names) }
            };
            // As on the player's sheet: what there is rounded down, what is needed rounded up.
            let (has, needs) = (tenths_s(step.has_us, Round::Down), tenths_s(step.need.us(), Round::Up));
            rows.push(vec![
                Cell::text(&player.name),
                Cell::text(&work.title),
                Cell::text(work.movement(&line.movement).map_or("", |movement| movement.number.as_str())),
                Cell::text(step.from.measure.as_str()),
                Cell::text(step.to.measure.as_str()),
                Cell::text(things(from)),
                Cell::text(things(to)),
                Cell::Number((step.need.metres * 100.0).round() / 100.0),
                Cell::Bool(step.need.change.is_some()),
                Cell::Number(has),
                Cell::Number(needs),
                Cell::Number(((has - needs) * 10.0).round() / 10.0),
                Cell::Bool(step.fits()),
            ]);
        }
    }
    Table {
        name: "Moves".to_owned(),
        heads: vec![
            "player",
            "work",
            "movement",
            "after measure",
            "before measure",
            "from",
            "to",
            "metres",
            "beaters change",
            "have s",
            "need s",
            "spare s",
            "possible",
        ],
        rows,
    }
}

/// What a programme hires or borrows.
pub fn hires(library: &Library, programme: &Programme) -> Table {
    let row = |hire: &Hire| {
        vec![
            Cell::text(&hire.what),
            Cell::text(hire.kind.as_ref().map(|id| library.kind_name(id)).unwrap_or_default()),
            Cell::text(super::collection::bars_text(hire.notes)),
            Cell::number(hire.a.map(backrow_core::pitch::ReferenceA::value)),
            Cell::text(hire.instrument.as_ref().map(|id| library.instrument_name(id)).unwrap_or_default()),
            Cell::text(&hire.lender),
            Cell::text(hire.state.word()),
            Cell::number(hire.cost),
            Cell::text(&library.orchestra.currency),
            hire.from.map_or(Cell::Empty, Cell::Date),
            hire.until.map_or(Cell::Empty, Cell::Date),
            Cell::text(&hire.remark),
        ]
    };
    Table {
        name: "Hires".to_owned(),
        heads: vec![
            "what",
            "kind",
            "notes",
            "A Hz",
            "instrument",
            "lender",
            "state",
            "cost",
            "currency",
            "from",
            "until",
            "remark",
        ],
        rows: programme.hires.iter().map(row).collect(),
    }
}
