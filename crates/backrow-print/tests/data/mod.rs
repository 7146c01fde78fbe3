//! Invented sheets for tests and for looking at. No person, hall or work in them exists.
#![allow(dead_code, reason = "each test program uses a part of these")]
#![allow(unused_imports, reason = "each test program uses a part of these")]

mod list;
mod load;
mod player;

pub(crate) use list::{grid, list, long_list};
pub(crate) use load::{load, long_load};
pub(crate) use player::{long_player, player};

use backrow_print::plan::{
    BarMark, Bars, Change, Floor, FloorArea, LowEnd, NarrowWay, PlanSheet, PlayerBlock, PlayerLine, Shape,
    Spot, Standing, Thing, Way,
};
use backrow_print::{Head, Version, caution};

pub(crate) fn head() -> Head {
    Head {
        orchestra: "Saltmarsh Philharmonic".into(),
        programme: "Tidelands".into(),
        venue: "Quay Hall".into(),
        dates: "12–15 October".into(),
        version: Version {
            number: "3".into(),
            at: "9 Oct, 14:20".into(),
            replaces: "2 of 6 Oct".into(),
            gone: String::new(),
        },
        today: None,
    }
}

/// A name of at least 70 letters.
pub(crate) fn long(start: &str) -> String {
    let mut name = start.to_owned();
    while name.chars().count() < 70 {
        name.push_str(" of the long northern estuary");
    }
    name
}

/// Bars of a keyboard from `low` to `high` (key numbers), naturals nearer to the player.
pub(crate) fn bars(low: u32, high: u32) -> Bars {
    let natural = |key: u32| [0, 2, 4, 5, 7, 9, 11].contains(&(key % 12));
    let place =
        |key: u32| (0..key).filter(|k| natural(*k)).count() as f64 - if natural(key) { 0.0 } else { 0.5 };
    let naturals = (low..=high).filter(|k| natural(*k)).count() as f64;
    let first = place(low);
    let mark = |key| {
        let along = (place(key) - first + 0.5) / naturals;
        let (near, far) = if natural(key) { (0.06, 0.52) } else { (0.54, 0.94) };
        BarMark { along, thick: 0.8 / naturals, near, far }
    };
    Bars::Each((low..=high).map(mark).collect())
}

fn keyboard(width_m: f64, low_m: f64, high_m: f64, low: u32, high: u32) -> Shape {
    Shape::Keyboard { width_m, low_m, high_m, bars: bars(low, high) }
}

fn thing(number: &str, name: &str, note: &str, shape: Shape, at: Spot, turn_deg: f64) -> Thing {
    let low_end = matches!(shape, Shape::Keyboard { .. }).then_some(LowEnd::Right);
    Thing {
        number: number.into(),
        name: name.into(),
        note: note.into(),
        shape,
        at,
        turn_deg,
        low_end,
        carried: false,
        unused: false,
        changed: false,
    }
}

fn line(number: &str, instrument: &str, beaters: &str, remark: &str) -> PlayerLine {
    PlayerLine {
        number: number.into(),
        instrument: instrument.into(),
        beaters: beaters.into(),
        remark: remark.into(),
    }
}

fn block(initials: &str, name: &str, role: &str, lines: Vec<PlayerLine>) -> PlayerBlock {
    PlayerBlock { initials: initials.into(), name: name.into(), role: role.into(), lines, changed: false }
}

fn room(x: f64, y: f64, w: f64, d: f64) -> Vec<Spot> {
    vec![
        [x - w / 2.0, y - d / 2.0],
        [x + w / 2.0, y - d / 2.0],
        [x + w / 2.0, y + d / 2.0],
        [x - w / 2.0, y + d / 2.0],
    ]
}

/// A riser 12.8 m wide with a bowed front, brass before it.
pub(crate) fn floor() -> Floor {
    let bow = |n: u32| {
        let t = f64::from(n) / 24.0;
        [6.4 - 12.8 * t, 4.9 + 0.95 * 2.0 * t * (1.0 - t)]
    };
    let mut riser: Vec<Spot> = vec![[-6.4, 0.0], [6.4, 0.0]];
    riser.extend((0..=24).map(bow));
    let brass = (0..=24).map(|n| {
        let t = std::f64::consts::PI * f64::from(n) / 24.0;
        [-4.8 * t.cos(), 6.6 - 0.85 * t.sin()]
    });
    Floor {
        outlines: vec![],
        lines: vec![],
        risers: vec![FloorArea { outline: riser, words: "riser +0.40 m".into() }],
        keep_out: vec![FloorArea { outline: brass.collect(), words: "brass: keep out".into() }],
        conductor: None,
    }
}

/// The plan for those who carry: large numbers, nobody on it.
pub(crate) fn crew() -> PlanSheet {
    let sheet = plan();
    PlanSheet {
        work_note: "for the crew".into(),
        large: true,
        people: vec![],
        players: vec![],
        ways: vec![],
        player_spaces: vec![],
        furniture: vec![],
        unplaced: vec!["Ratchet".into(), "Whip, large".into()],
        ..sheet
    }
}

fn things() -> Vec<Thing> {
    let boxed = |width_m, depth_m| Shape::Box { width_m, depth_m };
    let round = |diameter_m| Shape::Round { diameter_m };
    let mut list = vec![
        thing("1", "Marimba 1", "C2–C7", keyboard(2.6, 1.08, 0.55, 36, 96), [-4.45, 2.15], 0.0),
        thing("2", "Vibraphone 2", "F3–F6", keyboard(1.4, 0.8, 0.5, 53, 89), [-2.6, 1.3], 270.0),
        thing("3", "Xylophone 1", "F4–C8", keyboard(1.45, 0.75, 0.5, 65, 108), [-1.7, 3.95], 0.0),
        thing("4", "Glockenspiel 1", "G5–C8", keyboard(0.78, 0.42, 0.3, 79, 108), [0.7, 3.9], 0.0),
        thing(
            "5",
            "Crotales, low frame",
            "5 discs",
            Shape::Rack { width_m: 0.8, depth_m: 0.34, rows: vec![2, 3] },
            [-5.98, 1.2],
            90.0,
        ),
        thing("6", "Tam-tam 1", "100 cm", Shape::Hung { width_m: 1.15, depth_m: 0.5 }, [-0.35, 1.35], 90.0),
        thing(
            "7",
            "Bass drum 1",
            "90 cm",
            Shape::LyingDrum { width_m: 1.1, depth_m: 0.8 },
            [1.65, 1.3],
            90.0,
        ),
        thing("8", "Tubular bells", "C4–F5", boxed(0.95, 0.7), [4.05, 1.6], 0.0),
        thing("9", "Trap table", "", boxed(0.9, 0.5), [-0.42, 3.85], 90.0),
        thing("10", "Suspended cymbal", "45 cm", round(0.5), [3.02, 1.85], 0.0),
        thing(
            "11",
            "Cast bell C5",
            "tacet here",
            Shape::Hung { width_m: 1.0, depth_m: 0.9 },
            [5.7, 1.05],
            0.0,
        ),
        thing("12", "Triangle", "hung on 3", round(0.12), [-2.5, 3.72], 0.0),
        thing("13", "Temple blocks", "5 blocks", boxed(0.6, 0.45), [4.8, 2.2], 45.0),
        thing("14", "Anvil", "on 9", boxed(0.3, 0.2), [-0.42, 4.1], 0.0),
        thing("a", "Timpano 32 in", "low, F2", round(0.91), [5.35, 3.78], 0.0),
        thing("b", "Timpano 29 in", "B♭2", round(0.84), [4.65, 4.4], 0.0),
        thing("c", "Timpano 26 in", "D3", round(0.76), [3.75, 4.38], 0.0),
        thing("d", "Timpano 23 in", "F3", round(0.68), [3.1, 3.78], 0.0),
    ];
    list[7].low_end = Some(LowEnd::Right);
    list[4].low_end = Some(LowEnd::Right);
    list[11].carried = true;
    list[13].carried = true;
    list
}

/// The plan of the target picture, with true bars.
pub(crate) fn plan() -> PlanSheet {
    let person = |initials: &str, at, begins| Standing { initials: initials.into(), at, begins };
    let way =
        |a, b, metres, bend_m| Way { points: vec![a, b], bend_m, metres, by: String::new(), changed: false };
    PlanSheet {
        head: head(),
        work: "Lanterns on the Estuary".into(),
        work_note: "third work".into(),
        floor: floor(),
        things: things(),
        player_spaces: vec![
            room(-4.45, 1.26, 2.5, 0.66),
            room(-3.35, 1.3, 0.66, 1.3),
            room(-1.7, 3.21, 1.35, 0.66),
            room(0.27, 1.35, 0.66, 1.05),
            room(2.45, 1.3, 0.66, 1.0),
            room(4.05, 0.9, 0.85, 0.66),
            room(0.7, 3.33, 0.68, 0.66),
        ],
        furniture: vec![],
        people: vec![
            person("SI", [-4.45, 1.26], true),
            person("SI", [-3.35, 1.3], false),
            person("SI", [-5.46, 1.2], false),
            person("NO", [-1.7, 3.22], true),
            person("LB", [0.25, 1.35], true),
            person("LB", [0.7, 3.34], false),
            person("MD", [2.45, 1.35], true),
            person("RK", [4.05, 0.9], true),
            person("VS", [4.22, 3.46], true),
        ],
        ways: vec![
            way([0.25, 1.35], [0.7, 3.34], Some(2.04), 0.28),
            way([-4.45, 1.26], [-3.35, 1.3], None, 0.0),
            way([-4.45, 1.26], [-5.46, 1.2], None, 0.0),
        ],
        narrow: vec![NarrowWay { from: [-0.17, 4.2], to: [0.31, 4.2], metres: 0.48, wanted_m: 0.6 }],
        players: players(),
        changes: vec![Change {
            before: "Symphony in Salt".into(),
            note: "about 2 min, 2 people at most".into(),
            words: "off 2 Vibraphone 2, 13 Temple blocks; on 15 Thunder sheet, 16 Tuned gongs, 17 Wind machine; turn 3 Xylophone 1 by 15°.".into(),
            changed: true,
        }],
        cautions: vec![
            "11 weighs ca. 350 kg (estimate). Whether the riser bears it only the venue’s technical staff can say; lifting and hanging only \
             by qualified riggers, by local rules."
                .into(),
            format!("11 and 14: {}", caution::LOUD),
        ],
        ..PlanSheet::default()
    }
}

fn players() -> Vec<PlayerBlock> {
    vec![
        block(
            "NO",
            "N. Okafor",
            "principal",
            vec![
                line("3", "Xylophone 1", "hard rubber", ""),
                line("12", "Triangle", "steel, small", ""),
                line("14", "Anvil", "steel hammer", "ears"),
            ],
        ),
        block(
            "LB",
            "L. Brandt",
            "",
            vec![line("6", "Tam-tam 1", "large soft", ""), line("4", "Glockenspiel 1", "brass, small", "")],
        ),
        block(
            "SI",
            "S. Ito",
            "",
            vec![
                line("1", "Marimba 1", "yarn, medium; four", "I, III"),
                line("2", "Vibraphone 2", "cord, medium", "II"),
                line("5", "Crotales, low frame", "hard plastic", "II"),
            ],
        ),
        block(
            "MD",
            "M. Duarte",
            "",
            vec![line("7", "Bass drum 1", "large felt", ""), line("10", "Suspended cymbal", "soft yarn", "")],
        ),
        block(
            "RK",
            "R. Kallio",
            "extra",
            vec![
                line("8", "Tubular bells", "rawhide hammer", "II"),
                line("13", "Temple blocks", "medium rubber", "II, III"),
            ],
        ),
        block(
            "VS",
            "V. Sand",
            "timpani",
            vec![line("a–d", "Timpani", "medium felt; wood at II, m. 208", "")],
        ),
    ]
}

/// Names that nobody shortens.
pub(crate) fn long_names() -> PlanSheet {
    let mut sheet = plan();
    sheet.head.programme = long("Tidelands and other islands");
    sheet.head.venue = long("The old quay hall");
    sheet.work = long("Lanterns");
    for thing in &mut sheet.things {
        thing.name = long(&thing.name);
    }
    for player in &mut sheet.players {
        player.name = long(&player.name);
        for line in &mut player.lines {
            line.instrument = long(&line.instrument);
            line.beaters = long(&line.beaters);
        }
    }
    sheet
}

const SIXTY: [&str; 10] = [
    "Snare drum",
    "Tom-tom",
    "Suspended cymbal",
    "Gong",
    "Wood block",
    "Marimba",
    "Crotales",
    "Bass drum",
    "Tam-tam",
    "Bell plate",
];

/// A hall of 20 by 14 metres with 60 things, eight players, and one who plays twenty of them.
pub(crate) fn sixty() -> PlanSheet {
    let names = SIXTY;
    let things = (0..60u32).map(|n| {
        let at = [-8.5 + 1.55 * f64::from(n % 12), 1.0 + 1.6 * f64::from(n / 12)];
        let shape = match n % 6 {
            0 => Shape::Round { diameter_m: 0.36 },
            1 => Shape::Round { diameter_m: 0.16 },
            2 => Shape::Hung { width_m: 1.0, depth_m: 0.5 },
            3 => Shape::Box { width_m: 0.9, depth_m: 0.5 },
            4 => Shape::Keyboard { width_m: 1.4, low_m: 0.8, high_m: 0.5, bars: Bars::Count(15) },
            _ => Shape::Rack { width_m: 1.2, depth_m: 0.5, rows: vec![4, 5] },
        };
        thing(
            &(n + 1).to_string(),
            &format!("{} {}", names[n as usize % 10], n / 10 + 1),
            "",
            shape,
            at,
            f64::from(n % 5) * 15.0,
        )
    });
    let initials = ["AB", "CD", "EF", "GH", "IJ", "KL", "MN", "OP"];
    let players = initials.iter().enumerate().map(|(k, ini)| {
        let count = if k == 0 { 20 } else { 5 };
        let lines = (0..count).map(|n| {
            line(
                &(k * 5 + n + 1).to_string(),
                &format!("{} {}", names[n % 10], n / 10 + 1),
                "medium yarn",
                "I",
            )
        });
        block(ini, &format!("Player {ini}"), "", lines.collect())
    });
    let stand = |(k, ini): (usize, &&str)| Standing {
        initials: (*ini).to_owned(),
        at: [-8.0 + 2.0 * k as f64, 9.2],
        begins: k % 2 == 0,
    };
    PlanSheet {
        head: head(),
        work: "Sixty Things for One Hall".into(),
        floor: Floor {
            outlines: vec![vec![
                [-10.0, 0.0],
                [10.0, 0.0],
                [9.0, 12.0],
                [4.0, 13.6],
                [-4.0, 13.6],
                [-9.0, 12.0],
            ]],
            lines: vec![vec![[-10.0, 0.0], [-7.0, 3.0]]],
            risers: vec![],
            keep_out: vec![FloorArea {
                outline: vec![[-3.0, 11.0], [3.0, 11.0], [3.0, 13.0], [-3.0, 13.0]],
                words: "piano lift".into(),
            }],
            conductor: Some([0.0, 10.4]),
        },
        things: things.collect(),
        people: initials.iter().enumerate().map(stand).collect(),
        ways: vec![Way {
            points: vec![[-8.0, 9.2], [-7.0, 10.2], [-5.0, 10.2], [-4.0, 9.2]],
            bend_m: 0.0,
            metres: Some(4.8),
            by: "AB".into(),
            changed: true,
        }],
        players: players.collect(),
        cautions: vec![caution::RISER.into(), caution::LIFT.into(), caution::LOUD.into()],
        ..PlanSheet::default()
    }
}
