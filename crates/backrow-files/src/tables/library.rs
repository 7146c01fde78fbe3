//! The library's tables: collection, calls, share-out, loads.

use super::table::{Cell, Table};
use backrow_core::collection::{Instrument, Owner};
use backrow_core::library::Library;
use backrow_core::loads::{self, Load, Way};
use backrow_core::music::{Call, Dynamics, Work};
use backrow_core::week::{CallRef, Programme};

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
            "width m",
            "depth m",
            "height m",
            "A Hz",
            "character",
            "condition",
            "remark",
        ],
        rows: things.into_iter().map(|thing| instrument(library, thing)).collect(),
    }
}

fn instrument(library: &Library, thing: &Instrument) -> Vec<Cell> {
    let owner = match &thing.owner {
        Owner::House => "ours".to_owned(),
        Owner::Player(id) => library.player_name(id),
        Owner::Other(words) => words.clone(),
    };
    let place =
        thing.place.as_ref().map(|id| library.places.get(id).map_or(id.as_str(), |place| &place.name));
    let bars: Vec<String> =
        thing.frames.iter().map(|frame| super::collection::bars_text(frame.bars())).collect();
    let (width, depth) = thing.footprint.shape.extent();
    vec![
        Cell::text(thing.id.as_str()),
        Cell::text(&thing.name),
        Cell::text(library.kind_name(&thing.kind)),
        Cell::text(owner),
        Cell::text(place.unwrap_or_default()),
        Cell::text(bars.join("; ")),
        Cell::text(thing.layout.word()),
        Cell::text(thing.material.word()),
        Cell::number(thing.whole_mass().map(|mass| mass.kg)),
        thing.whole_mass().map_or(Cell::Empty, |mass| Cell::Bool(mass.weighed)),
        Cell::Number(width),
        Cell::Number(depth),
        Cell::Number(thing.footprint.height_m),
        Cell::number(thing.tuned_to.map(backrow_core::pitch::ReferenceA::value)),
        Cell::text(thing.character.join(", ")),
        Cell::text(&thing.condition),
        Cell::text(&thing.remark),
    ]
}

/// Every call of a programme's works, in playing order.
pub fn calls(library: &Library, programme: &Programme) -> Table {
    let row = |work: &Work, call: &Call| {
        let movement = work.movement(&call.movement).map_or("", |movement| &movement.number);
        let sounding = call.sounding();
        let written: Vec<String> =
            call.written_counts().iter().map(|(note, _)| note.written.ascii()).collect();
        let seconds: f64 = call.passages.iter().map(|passage| passage.to_s - passage.from_s).sum();
        vec![
            Cell::text(&work.title),
            Cell::text(movement),
            Cell::text(library.call_name(call)),
            Cell::text(&call.printed),
            Cell::text(&call.part),
            Cell::text(call.measures()),
            Cell::Whole(i64::try_from(call.passages.len()).unwrap_or(i64::MAX)),
            Cell::Number((seconds * 10.0).round() / 10.0),
            Cell::Whole(i64::from(call.octave.semitones())),
            Cell::text(written.join(" ")),
            Cell::text(super::collection::bars_text(sounding)),
            Cell::text(call.dynamics().map(Dynamics::ascii).unwrap_or_default()),
            Cell::text(call.degree.word()),
        ]
    };
    Table {
        name: "Calls".to_owned(),
        heads: vec![
            "work",
            "movement",
            "call",
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
        rows: each_call(library, programme).map(|(work, call)| row(work, call)).collect(),
    }
}

/// Who plays each call, on what, with what.
pub fn share_out(library: &Library, programme: &Programme) -> Table {
    let row = |work: &Work, call: &Call| {
        let given = programme.assignment(&CallRef { work: work.id.clone(), call: call.id.clone() });
        let movement = work.movement(&call.movement).map_or("", |movement| &movement.number);
        let names: Vec<String> = given.instruments.iter().map(|id| library.instrument_name(id)).collect();
        let number = given.instruments.iter().find_map(|id| programme.number_of(id));
        let beaters: Vec<String> = given
            .beaters
            .iter()
            .map(|id| library.beaters.get(id).map_or_else(|| id.to_string(), |beater| beater.name.clone()))
            .collect();
        vec![
            Cell::text(&work.title),
            Cell::text(movement),
            Cell::text(library.call_name(call)),
            Cell::text(call.measures()),
            Cell::text(given.player.as_ref().map(|id| library.player_name(id)).unwrap_or_default()),
            number.map_or(Cell::Empty, |number| Cell::Whole(i64::from(number))),
            Cell::text(names.join(", ")),
            Cell::text(beaters.join("; ")),
            Cell::Bool(given.pinned),
        ]
    };
    Table {
        name: "Share-out".to_owned(),
        heads: vec![
            "work",
            "movement",
            "call",
            "measures",
            "player",
            "number",
            "instruments",
            "beaters",
            "pinned",
        ],
        rows: each_call(library, programme).map(|(work, call)| row(work, call)).collect(),
    }
}

fn each_call<'a>(
    library: &'a Library,
    programme: &'a Programme,
) -> impl Iterator<Item = (&'a Work, &'a Call)> {
    let works = programme.works_in_order().filter_map(|(_, id)| library.works.get(id));
    works.flat_map(|work| {
        let movements = work.movements.iter();
        movements.flat_map(move |movement| work.calls_of(&movement.id).map(move |call| (&**work, call)))
    })
}

/// Every piece of a programme's load for one way, in the order of loading.
pub fn load(library: &Library, programme: &Programme, way: Way) -> Table {
    let mut rows = Vec::new();
    for room in Load::of(library, programme, way).rooms {
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
                    Cell::Whole(i64::from(loads::hands(piece))),
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
            "hands", "wheels", "care",
        ],
        rows,
    }
}
