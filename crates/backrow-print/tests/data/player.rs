//! An invented player’s sheet.

use backrow_print::caution;
use backrow_print::plan::{PlanSheet, View, Way};
use backrow_print::player::{
    KeyBar, Keyboard, KeyboardLayout, Move, MoveState, Packing, Passage, PlayerMovement, PlayerSheet,
    PlayerWork, RackBar, Service, Station, Step, With,
};

use super::{head, long};

fn key_name(key: u8, flats: bool) -> String {
    let sharp = ["C", "C♯", "D", "D♯", "E", "F", "F♯", "G", "G♯", "A", "A♯", "B"];
    let flat = ["C", "D♭", "D", "E♭", "E", "F", "G♭", "G", "A♭", "A", "B♭", "B"];
    let names = if flats { flat } else { sharp };
    format!("{}{}", names[usize::from(key % 12)], key / 12 - 1)
}

fn keys(number: &str, title: &str, (low, high): (u8, u8), used: &[u8], below: u8) -> Keyboard {
    let bar = |key| KeyBar {
        key,
        sounding: key_name(key, true),
        written: key_name(key - below, true),
        used: used.contains(&key),
        there: key != low + 1,
    };
    Keyboard {
        number: number.into(),
        title: title.into(),
        part: "bar".into(),
        parts: "bars".into(),
        as_written: below == 0,
        by_octaves: false,
        music: String::new(),
        convention: if below == 24 { "written two octaves below sounding".into() } else { String::new() },
        total: u32::from(high - low) + 1,
        used: u32::try_from(used.len()).unwrap_or_default(),
        note: String::new(),
        layout: KeyboardLayout::Keys { bars: (low..=high).map(bar).collect(), round: false },
        changed: false,
    }
}

fn play(
    number: &str,
    instrument: &str,
    beaters: &str,
    stand: &str,
    passages: &[(&str, u32, f64)],
) -> Station {
    Station {
        number: number.into(),
        instrument: instrument.into(),
        beaters: beaters.into(),
        stand: stand.into(),
        passages: passages
            .iter()
            .map(|(m, rest, has)| Passage {
                measures: (*m).into(),
                rest_measures: *rest,
                has_s: (*rest > 0).then_some(*has),
                ..Passage::default()
            })
            .collect(),
        ..Station::default()
    }
}

fn go(to: &str, rest: u32, has: f64, needs: f64, state: MoveState) -> Step {
    Step::Move(Move {
        to: to.into(),
        metres: Some(2.0),
        change_beaters: true,
        rest_measures: rest,
        has_s: Some(has),
        needs_s: Some(needs),
        short_s: (needs - has).max(0.0),
        state,
        how: if state == MoveState::Clash {
            "Hang the soft beater on the tam-tam stand; brass lies on 9.".into()
        } else {
            String::new()
        },
        changed: state == MoveState::Care,
    })
}

fn movement(number: &str, title: &str, length: &str, steps: Vec<Step>) -> PlayerMovement {
    PlayerMovement {
        number: number.into(),
        title: title.into(),
        length: length.into(),
        tacet: steps.is_empty(),
        steps,
    }
}

fn tam_tam(passages: &[(&str, u32, f64)]) -> Step {
    Step::Play(play("6", "Tam-tam 1", "large soft", "between 6 and 7, facing the conductor", passages))
}

fn glockenspiel_keys() -> Keyboard {
    keys("4", "Glockenspiel 1", (79, 108), &[81, 86, 88, 90, 93, 95, 97, 98], 24)
}

fn work(title: &str, composer: &str, length: &str, movements: Vec<PlayerMovement>) -> PlayerWork {
    PlayerWork {
        title: title.into(),
        composer: composer.into(),
        length: length.into(),
        tacet: movements.is_empty(),
        movements,
        plan: None,
    }
}

fn overture() -> PlayerWork {
    let mut glock = play("4", "Glockenspiel 1", "brass, small", "behind 4", &[("31–58", 0, 0.0)]);
    glock.shared = "SI needs 4 from m. 66: leave it by m. 64".into();
    glock.changed = true;
    glock.missing = "E♭3 (m. 44): left out".into();
    glock.passages[0].with = vec![With {
        measures: "33–40".into(),
        letter: "A+8".into(),
        number: "7".into(),
        instrument: "Triangle 1".into(),
        beaters: "steel, small".into(),
        note: "beside 4".into(),
    }];
    let steps = vec![tam_tam(&[("1–24", 0, 0.0)]), go("4", 6, 18.0, 4.2, MoveState::Ok), Step::Play(glock)];
    work("Overture: The Dredgers", "H. Lindqvist", "9′", vec![movement("", "", "", steps)])
}

fn lanterns() -> PlayerWork {
    let steps = vec![
        tam_tam(&[("20–26", 0, 0.0), ("58–64", 31, 46.5)]),
        go("4", 2, 3.0, 4.2, MoveState::Clash),
        Step::Play(play(
            "4",
            "Glockenspiel 1",
            "brass, small",
            "behind 4",
            &[("67–92", 0, 0.0), ("150–171", 57, 86.0)],
        )),
        go("6", 4, 4.9, 4.2, MoveState::Care),
        tam_tam(&[("205–214", 0, 0.0)]),
    ];
    let movements = vec![
        movement("I", "Low Water", "4′", vec![]),
        movement("II", "Lamplighters", "5′40″", steps),
        movement("III", "The Tide Turns", "4′20″", vec![tam_tam(&[("61–70", 0, 0.0)])]),
    ];
    work("Lanterns on the Estuary", "I. Varga", "14′", movements)
}

fn salt() -> PlayerWork {
    let mut bell = play(
        "11",
        "Cast bell C5",
        "beech mallet, leather-faced",
        "beside 11, not under it",
        &[("12", 0, 0.0)],
    );
    bell.caution = "Never under the bell; ears protected.".into();
    let steps = vec![
        Step::Play(play(
            "16",
            "Tuned gongs",
            "gong, medium",
            "behind 16",
            &[("5–9", 0, 0.0), ("14–22", 4, 9.6), ("40–41", 17, 41.0)],
        )),
        go("11", 12, 30.2, 6.0, MoveState::Ok),
        Step::Play(bell),
        go("1", 30, 75.0, 7.5, MoveState::Ok),
        Step::Play(play("1", "Marimba 1", "yarn, medium; four", "behind 1", &[("60–88", 0, 0.0)])),
    ];
    work("Symphony in Salt", "M. Aas", "31′", vec![movement("I", "Allegro", "", steps)])
}

fn keyboards() -> Vec<Keyboard> {
    let bar = |name: &&str| RackBar { name: (*name).to_owned(), there: *name != "G2" };
    let names = |list: &[&str]| list.iter().map(bar).collect();
    let rack = Keyboard {
        number: "16".into(),
        title: "Tuned gongs".into(),
        part: "gong".into(),
        parts: "gongs".into(),
        as_written: true,
        by_octaves: true,
        music: String::new(),
        convention: "written as sounding".into(),
        total: 8,
        used: 7,
        note: "dead: G2".into(),
        layout: KeyboardLayout::Rack {
            rows: vec![names(&["E♭3", "F3", "G3", "A3", "B♭3"]), names(&["C3", "B♭2", "G2"])],
            words: "seen from where you stand".into(),
        },
        changed: true,
    };
    let marimba = keys("1", "Marimba 1", (36, 96), &[40, 43, 48, 50, 55, 72, 75, 79, 96], 0);
    let low = keys("1", "Marimba 1", (36, 96), &[40, 43, 60], 0);
    let glockenspiel = Keyboard {
        music: "Overture: The Dredgers; Lanterns on the Estuary II".into(),
        ..glockenspiel_keys()
    };
    let in_salt = |one: Keyboard| Keyboard { music: "Symphony in Salt I".into(), ..one };
    let low = Keyboard { music: "Lanterns on the Estuary III".into(), ..low };
    vec![low, in_salt(marimba), glockenspiel, in_salt(rack)]
}

/// A player of four works: moves that fit, that hardly fit and that do not, a marimba, a rack, tacet.
pub(crate) fn player() -> PlayerSheet {
    let pack = |count: &str, beaters: &str, place: &str, used_for: &str| Packing {
        beaters: beaters.into(),
        count: count.into(),
        place: place.into(),
        used_for: used_for.into(),
        changed: place == "on 9",
    };
    let mut head = head();
    head.version.gone =
        "Lanterns on the Estuary II: Triangle, 60–80; rehearsal Tue 13 Oct, 10:00–12:30".into();
    PlayerSheet {
        head,
        initials: "LB".into(),
        name: "L. Brandt".into(),
        works: vec![
            overture(),
            work("Concerto for Two Bridges", "T. A. Wren", "24′", vec![]),
            lanterns(),
            salt(),
        ],
        services: vec![
            Service {
                when: "Mon 12 Oct, 10:00–12:30".into(),
                what: "rehearsal".into(),
                place: "Quay Hall".into(),
                remark: String::new(),
                changed: false,
            },
            Service {
                when: "Thu 15 Oct, 19:30–21:30".into(),
                what: "concert".into(),
                place: "Quay Hall".into(),
                remark: "you are away".into(),
                changed: true,
            },
        ],
        packing: vec![
            pack("1", "large soft, weighted", "hung on 6", "Tam-tam 1"),
            pack("2", "brass, small", "on 9", "Glockenspiel: Dredgers, Lanterns"),
            pack("2 + 2", "hard plastic", "on 5 and on 9", "Crotales; glockenspiel: Salt III"),
        ],
        cautions: vec![caution::LOUD.into()],
        keyboards: keyboards(),
        plan: Some(own_plan()),
        ..PlayerSheet::default()
    }
}

/// Three of the plan's things and a route between two of them.
fn own_plan() -> PlanSheet {
    let whole = super::plan();
    PlanSheet {
        things: whole
            .things
            .into_iter()
            .filter(|thing| ["4", "6", "11"].contains(&thing.number.as_str()))
            .collect(),
        floor: whole.floor,
        view: View::AroundThings { margin_m: 0.8 },
        ways: vec![Way {
            points: vec![[0.7, 3.3], [1.6, 2.4]],
            bend_m: 0.2,
            metres: Some(2.0),
            by: String::new(),
            changed: true,
        }],
        ..PlanSheet::default()
    }
}

/// The same with names that nobody shortens and a movement of three pages.
pub(crate) fn long_player() -> PlayerSheet {
    let mut sheet = player();
    sheet.name = long("L. Brandt");
    for work in &mut sheet.works {
        work.title = long(&work.title);
        work.composer = long(&work.composer);
        for movement in &mut work.movements {
            movement.title = long(&movement.title);
            for step in &mut movement.steps {
                if let Step::Play(station) = step {
                    station.instrument = long(&station.instrument);
                    station.beaters = long(&station.beaters);
                }
            }
        }
    }
    for row in &mut sheet.packing {
        row.beaters = long(&row.beaters);
        row.used_for = long(&row.used_for);
    }
    let steps = sheet.works[2].movements[1].steps.clone();
    for _ in 0..5 {
        let back = go("6", 9, 20.0, 4.2, MoveState::Ok);
        sheet.works[2].movements[1].steps.extend(std::iter::once(back).chain(steps.clone()));
    }
    sheet
}
