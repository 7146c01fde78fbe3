//! Faults that were once there, each held by what is to be seen: a bar of which one of two is dead, what the crew is told to carry,
//! the day on paper, and the routes of a work's own floor.
#![expect(clippy::unwrap_used, reason = "a test may stop")]

mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::sheets::player_sheet;
use backrow::view::{Place, Selected};
use backrow_core::carrying::{Carrying, GEAR, at_most};
use backrow_core::evening::Evening;
use backrow_core::id::{InstrumentId, ProgrammeId, WorkId};
use backrow_core::library::Library;
use backrow_print::player::{Keyboard, KeyboardLayout};
use egui::{Key, Shape};
use egui_kittest::Harness;
use jiff::civil::Date;
use rstest::rstest;
use std::collections::BTreeSet;
use std::process::Command;
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

fn demo() -> Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library
}

fn evening(library: &Library, id: &str) -> Evening {
    Evening::of(library, library.programme(&ProgrammeId::new(id).unwrap()).unwrap())
}

/// Every drawing of Glockenspiel 2 on the demo's player's sheets.
fn glockenspiels(library: &Library) -> Vec<Keyboard> {
    let evenings = ["tidelands", "ferry-tales", "drowned-belfry"].map(|id| evening(library, id));
    let sheets = evenings
        .iter()
        .flat_map(|evening| library.players.keys().filter_map(|player| player_sheet(evening, player)));
    sheets.flat_map(|sheet| sheet.keyboards).filter(|one| one.title == "Glockenspiel 2").collect()
}

/// Its C7 is there twice, and the first is dead: the second is played, and the sheet says which it is. C7 is key 96.
#[test]
fn one_of_two_bars_may_be_dead() {
    let sound = demo();
    let c7 = |one: &Keyboard| {
        let KeyboardLayout::Keys { bars, .. } = &one.layout else { panic!("{:?}", one.layout) };
        let bar = bars.iter().find(|bar| bar.key == 96).unwrap();
        (bar.used, bar.there)
    };
    let with_c7 = |library: &Library| -> Vec<Keyboard> {
        glockenspiels(library).into_iter().filter(|one| c7(one).0).collect()
    };
    let half = with_c7(&sound);
    assert!(!half.is_empty(), "a line of the demo asks for it");
    for one in &half {
        assert!(one.note.starts_with("one of two bars is dead: C"), "{}", one.note);
        assert_eq!(c7(one), (true, true), "it is drawn as any other");
    }
    let mut dead = sound.clone();
    let thing =
        Arc::make_mut(&mut dead.instruments).get_mut(&InstrumentId::new("glockenspiel-2").unwrap()).unwrap();
    Arc::make_mut(thing).frames[0].doubled = backrow_core::compass::PitchSet::EMPTY;
    for (one, before) in with_c7(&dead).iter().zip(&half) {
        assert!(one.note.starts_with("dead: C"), "{}", one.note);
        assert_eq!((c7(one), one.used + 1), ((true, false), before.used), "it is named and not counted");
    }
}

/// The cast bell of the demo weighs 337 kg with its frame: no number of people is offered to the crew, whatever else is moved then.
#[test]
fn the_crew_is_told_of_gear_where_nobody_may_lift() {
    let library = demo();
    let evening = evening(&library, "tidelands");
    let bell = InstrumentId::new("cast-bell-c5").unwrap();
    let change = evening
        .changes()
        .iter()
        .find(|change| change.steps.iter().any(|step| step.instrument == bell))
        .unwrap();
    let step = change.steps.iter().find(|step| step.instrument == bell).unwrap();
    assert_eq!(step.carrying, Carrying::Gear);
    assert_eq!(at_most(change.carrying()), "lifting gear and qualified people");
    assert_eq!(at_most(change.carrying()), GEAR);
    let sheet = backrow::sheets::crew_plan(&evening);
    let told = sheet.changes.iter().find(|told| told.words.contains("Cast bell C5")).unwrap();
    // Half a minute to take hold of it and ten metres at 20 m a minute, for the bell alone.
    assert!((step.minutes - 1.0).abs() < 1e-9);
    // People who bring gear say themselves how long they need: no minutes are printed.
    assert_eq!(told.note, "it needs lifting gear and qualified people: ask them for the time");
    assert!(sheet.changes.iter().all(|told| !told.note.contains("hands")));
}

/// The day that it is so many hours ahead of Greenwich, some seconds ago or now.
fn days_at(hours: i64) -> BTreeSet<Date> {
    let now = i64::try_from(SystemTime::now().duration_since(UNIX_EPOCH).unwrap().as_secs()).unwrap();
    let day = |seconds: i64| {
        let span = jiff::Span::new().seconds(seconds);
        jiff::civil::date(1970, 1, 1).at(0, 0, 0, 0).checked_add(span).unwrap().date()
    };
    [now - 300, now].map(|now| day(now + hours * 3600)).into()
}

/// The day on paper is that of the place where it is printed. Fourteen hours ahead of Greenwich and twelve behind it are never one day.
#[rstest]
#[case("UTC-14", 14)]
#[case("UTC+12", -12)]
fn the_day_on_paper_is_that_of_the_place(#[case] zone: &str, #[case] hours: i64) {
    let folder = tempfile::tempdir().unwrap();
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    let out = folder.path().join("out");
    let done = Command::new(env!("CARGO_BIN_EXE_backrow"))
        .env("TZ", zone)
        .args(["sheets", library.to_str().unwrap(), "--programme", "tidelands", "--sheet", "hires", "--out"])
        .arg(&out)
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let printed: Vec<String> = std::fs::read_dir(library.join("printed"))
        .unwrap()
        .map(|file| std::fs::read_to_string(file.unwrap().path()).unwrap())
        .collect();
    assert_eq!(printed.len(), 1);
    let days: Vec<String> = days_at(hours).iter().map(|day| day.strftime("%-d %b %Y").to_string()).collect();
    assert!(
        days.iter().any(|day| printed[0].contains(&format!("\"at\": \"{day}\""))),
        "{days:?}: {}",
        printed[0]
    );
}

/// All words that are drawn.
fn drawn(h: &Harness<'_, App>) -> Vec<String> {
    fn texts(shape: &Shape, found: &mut Vec<String>) {
        match shape {
            Shape::Text(text) => found.push(text.galley.text().to_owned()),
            Shape::Vec(all) => all.iter().for_each(|shape| texts(shape, found)),
            _ => {}
        }
    }
    let mut found = Vec::new();
    h.output().shapes.iter().for_each(|clipped| texts(&clipped.shape, &mut found));
    found
}

/// In the demo's Lanterns the marimba stands elsewhere: on that work's own floor its player goes 3.4 m to the low crotales (3.362 m,
/// measured apart from the program), on the floor for all works another way. B shows the one and the other, at once.
#[test]
fn routes_follow_the_floor_that_is_shown() {
    let settings = Settings { place: Place::Floor, ..Settings::default() };
    let mut app = App::on_library(demo(), settings);
    app.view.programme = ProgrammeId::new("tidelands").ok();
    app.view.work = WorkId::new("lanterns").ok();
    app.view.selected = InstrumentId::new("marimba-1").ok().map(Selected::Instrument);
    let mut h = window::harness(app);
    let routes = |h: &mut Harness<'_, App>| -> Vec<String> {
        // Until nothing on screen is said to be worked out any more.
        window::wait_until(h, |h| !drawn(h).iter().any(|words| words.starts_with("Being worked out")));
        let mut words: Vec<String> = drawn(h)
            .into_iter()
            .filter(|words| words.contains("\u{202f}m, ") && words.ends_with("\u{202f}s"))
            .collect();
        words.sort();
        words
    };
    let for_all = routes(&mut h);
    assert!(!for_all.is_empty(), "{:?}", drawn(&h));
    h.key_press(Key::B);
    window::settle(&mut h);
    let for_one = routes(&mut h);
    assert!(for_one.iter().any(|words| words.starts_with("3.4\u{202f}m, ")), "{for_one:?}");
    assert_ne!(for_one, for_all);
    h.key_press(Key::B);
    window::settle(&mut h);
    assert_eq!(routes(&mut h), for_all);
}

/// Who has the marimba has a small plan of their own for that work on the sheet, with the marimba where it stands then; who has all of
/// theirs as for the other works has none.
#[test]
fn a_work_in_which_something_stands_elsewhere_has_its_own_small_plan() {
    let library = demo();
    let evening = evening(&library, "tidelands");
    let lanterns = WorkId::new("lanterns").unwrap();
    let marimba = InstrumentId::new("marimba-1").unwrap();
    let place = |work: Option<&WorkId>| evening.floor(work).plan().thing(&marimba).unwrap().placement.at;
    let (base, own) = (place(None), place(Some(&lanterns)));
    assert_ne!(base, own);
    let mut with_plan = 0;
    for player in library.players.keys() {
        let sheet = player_sheet(&evening, player).unwrap();
        for work in &sheet.works {
            let Some(plan) = &work.plan else { continue };
            assert_eq!(work.title, "Lanterns on the Estuary");
            let at = plan.things.iter().find(|thing| thing.name == "Marimba 1" && !thing.unused).unwrap().at;
            assert!((at[0] - own.x).abs() < 1e-9 && (at[1] - own.y).abs() < 1e-9, "{at:?}");
            with_plan += 1;
        }
    }
    let plays = |player: &&backrow_core::id::PlayerId| {
        evening.floor(Some(&lanterns)).plan().thing(&marimba).unwrap().played_by.contains(*player)
    };
    assert_eq!(with_plan, library.players.keys().filter(plays).count());
    assert!(with_plan > 0);
}

/// On the own sheet a line that is played at once with another from too far away says so, as the findings do.
#[test]
fn what_is_out_of_reach_stands_on_the_sheet() {
    let library = demo();
    let evening = evening(&library, "tidelands");
    let found = backrow_core::findings::check(&evening);
    let told = found.iter().filter(|one| one.rule == backrow_core::findings::Rule::OutOfReach).count();
    let notes: Vec<String> = library
        .players
        .keys()
        .filter_map(|player| player_sheet(&evening, player))
        .flat_map(|sheet| sheet.works)
        .flat_map(|work| work.movements)
        .flat_map(|movement| movement.steps)
        .filter_map(|step| match step {
            backrow_print::player::Step::Play(station) => Some(station),
            backrow_print::player::Step::Move(_) => None,
        })
        .flat_map(|station| {
            let with = station.passages.into_iter().flat_map(|passage| passage.with).map(|with| with.note);
            with.chain([station.note]).collect::<Vec<_>>()
        })
        .filter(|note| note.contains("out of reach: "))
        .collect();
    assert!(told > 1, "the demo has two works in which the same pair stands apart: {told}");
    assert!(notes.len() >= told, "{told} findings, {notes:?}");
}
