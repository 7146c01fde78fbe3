//! An invented load list.

use backrow_print::caution;
use backrow_print::load::{LoadRoom, LoadSheet, LoadThing, Mass, Piece};

use super::{head, long};

fn about(kg: f64) -> Mass {
    Mass { kg, estimate: true }
}

fn weighed(kg: f64) -> Mass {
    Mass { kg, estimate: false }
}

fn piece(what: &str, mass: Option<Mass>, people: u32, wheels: &str, care: &str) -> Piece {
    Piece {
        count: 1,
        what: what.into(),
        each: mass,
        mass,
        people: if people > 3 { "gear".into() } else { people.to_string() },
        gear: people > 3,
        wheels: wheels.into(),
        care: care.into(),
        warn: people > 3,
    }
}

fn thing(order: u32, number: &str, name: &str, mass: Option<Mass>, pieces: Vec<Piece>) -> LoadThing {
    LoadThing { order, number: number.into(), name: name.into(), mass, pieces, ..LoadThing::default() }
}

fn dock() -> LoadRoom {
    let mut bell = thing(
        1,
        "11",
        "Cast bell C5",
        Some(about(350.0)),
        vec![
            piece("bell in its cradle", Some(about(268.0)), 4, "pallet truck", "qualified riggers only"),
            piece(
                "frame, folded",
                Some(about(74.0)),
                2,
                "own, 4",
                "lock it in; wheels clear of the riser edge",
            ),
            piece("beech mallet", Some(weighed(2.6)), 1, "–", ""),
        ],
    );
    bell.only = "this one of 3: C5".into();
    bell.care = "two stops on the way: door 2, riser edge".into();
    let mut wind = thing(
        2,
        "17",
        "Wind machine",
        Some(about(40.0)),
        vec![piece("drum on stand", Some(about(32.0)), 2, "own, 2", "keep off the cloth")],
    );
    wind.remark = "hire, comes Mon 08:00, back Fri 16 Oct".into();
    let sheet = vec![
        piece("sheet, 0.9 × 1.8 m", Some(weighed(11.0)), 2, "–", "gloves; carry upright, never bent"),
        piece("hanging frame", Some(weighed(19.0)), 1, "own, 4", ""),
    ];
    LoadRoom {
        name: "Dock store".into(),
        place: "level 0, straight to stage".into(),
        pieces: 6,
        mass: Some(about(410.0)),
        things: vec![bell, wind, thing(3, "15", "Thunder sheet", Some(weighed(30.0)), sheet)],
    }
}

fn basement() -> LoadRoom {
    let drum = |what, kg, people| piece(what, Some(about(kg)), people, "own, 3", "covers on until on stage");
    let timpani =
        vec![drum("32 in", 62.0, 2), drum("29 in", 56.0, 2), drum("26 in", 51.0, 1), drum("23 in", 45.0, 1)];
    let mut bells = thing(
        5,
        "8",
        "Tubular bells",
        Some(about(100.0)),
        vec![piece(
            "rack with 18 tubes",
            Some(about(92.0)),
            2,
            "own, 4",
            "tubes strapped; never tilt it loaded",
        )],
    );
    bells.care = "tall: mind door 4, 2.05 m".into();
    let crates = Piece {
        count: 2,
        each: Some(about(36.0)),
        mass: Some(about(72.0)),
        ..piece("crate of 4 gongs", None, 2, "sack truck", "face to face with felt; bosses up")
    };
    let mut gongs = thing(
        6,
        "16",
        "Tuned gongs, rack A",
        Some(about(120.0)),
        vec![piece("rack", Some(about(46.0)), 2, "own, 4", "empty while it rolls"), crates],
    );
    gongs.only = "these 8 of 25: G2 B♭2 C3 E♭3 F3 G3 A3 B♭3".into();
    let unknown = thing(7, "", "Cellar cowbells", None, vec![piece("crate", None, 1, "–", "")]);
    LoadRoom {
        name: "Room 4".into(),
        place: "basement; lift 1.20 × 2.20 m, plate says 1000 kg".into(),
        pieces: 9,
        mass: Some(about(440.0)),
        things: vec![
            thing(4, "a–d", "Timpani 32, 29, 26, 23 in", Some(about(220.0)), timpani),
            bells,
            gongs,
            unknown,
        ],
    }
}

/// Two rooms: a heavy bell, hire, sets of which some bars go, something not weighed.
pub(crate) fn load() -> LoadSheet {
    LoadSheet {
        head: head(),
        way: "store to stage".into(),
        when: "Mon 12 Oct: start 08:30, on stage 09:30".into(),
        pieces: 15,
        mass: Some(about(850.0)),
        floor_m2: Some(9.5),
        people: "lifting gear and qualified people".into(),
        ticks: vec!["out".into(), "on".into()],
        signed: vec!["out of store".into(), "on stage".into()],
        rooms: vec![dock(), basement()],
        cautions: vec![caution::MASS.into(), caution::LIFT.into()],
        changed: true,
    }
}

/// Long names, and rooms over several pages.
pub(crate) fn long_load() -> LoadSheet {
    let mut sheet = load();
    for room in &mut sheet.rooms {
        room.name = long(&room.name);
        for thing in &mut room.things {
            thing.name = long(&thing.name);
            for piece in &mut thing.pieces {
                piece.what = long(&piece.what);
                piece.care = long(&piece.care);
            }
        }
        let things = room.things.clone();
        room.things.extend(things.into_iter().cycle().take(12));
    }
    sheet
}
