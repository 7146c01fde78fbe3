//! Floor by hand: from the palette onto the plan, moved, turned, numbered, taken off, put back.

mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::{Place, Selected};
use backrow_core::id::InstrumentId;
use backrow_core::week::Placement;
use egui::{Event, Key, Modifiers, Pos2, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use window::settle;

fn harness() -> Harness<'static, App> {
    let settings = Settings { place: Place::Floor, ..Settings::default() };
    let app = App::on_library(backrow::sample::small(), settings);
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .with_max_steps(40)
        .build_ui_state(|ui, app| app.ui(ui), app);
    settle(&mut harness);
    harness
}

/// What stands on the floor, with its name.
fn placements(harness: &Harness<'_, App>) -> Vec<(String, InstrumentId, Placement)> {
    let library = harness.state().history.now();
    library
        .programmes()
        .flat_map(|(_, programme)| programme.setup.places())
        .map(|(id, at)| (library.instrument_name(id), id.clone(), *at))
        .collect()
}

fn only(harness: &Harness<'_, App>) -> Placement {
    let all = placements(harness);
    assert_eq!(all.len(), 1, "one thing on the floor: {all:?}");
    all[0].2
}

/// The current programme.
fn programme(harness: &Harness<'_, App>) -> backrow_core::week::Programme {
    let app = harness.state();
    app.view.programme_in(app.history.now()).cloned().expect("one")
}

fn search(harness: &mut Harness<'_, App>, words: &str) {
    harness.get_by_label("Find in the collection").click();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.get_by_label("Find in the collection").type_text(words);
    harness.run();
}

fn drag(harness: &mut Harness<'_, App>, from: Pos2, to: Pos2) {
    harness.hover_at(from);
    harness.run();
    harness.drag_at(from);
    harness.run();
    for share in [0.25, 0.5, 1.0] {
        harness.hover_at(from + (to - from) * share);
        harness.run();
    }
    harness.drop_at(to);
    settle(harness);
}

fn place_by_drag(harness: &mut Harness<'_, App>, name: &str, by: Vec2) {
    search(harness, name);
    let from = harness.get_by_label(&format!("Place {name}")).rect().center();
    let to = harness.get_by_label("Floor of Quay Hall").rect().center() + by;
    drag(harness, from, to);
    // Keys belong to the floor again once the field is left.
    if let Some(id) = harness.ctx.memory(egui::Memory::focused) {
        harness.ctx.memory_mut(|memory| memory.surrender_focus(id));
    }
    harness.run();
}

fn select(harness: &mut Harness<'_, App>, name: &str) {
    let found = placements(harness).into_iter().find(|(own, ..)| own == name);
    harness.state_mut().view.selected = found.map(|(_, id, _)| Selected::Instrument(id));
    harness.run();
}

fn press(harness: &mut Harness<'_, App>, modifiers: Modifiers, key: Key) {
    harness.key_press_modifiers(modifiers, key);
    harness.run();
}

#[test]
fn dragged_from_the_palette_it_stands_where_it_is_let_go_and_undo_takes_it_back() {
    let mut harness = harness();
    place_by_drag(&mut harness, "Xylophone 1", vec2(0.0, -60.0));
    let placed = only(&harness);
    assert_eq!(placed.number, 1);
    assert!(placed.at.x.abs() < 0.2, "{placed:?}");
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(placements(&harness), Vec::new());
}

#[test]
fn a_drag_on_the_plan_moves_in_steps_of_5_cm_as_one_change() {
    let mut harness = harness();
    place_by_drag(&mut harness, "Xylophone 1", vec2(0.0, -60.0));
    let before = only(&harness);
    let revision = harness.state().history.revision();
    let from = harness.get_by_label_contains("1 Xylophone 1 at").rect().center() + vec2(20.0, -4.0);
    drag(&mut harness, from, from + vec2(117.0, 33.0));
    let after = only(&harness);
    assert_eq!(harness.state().history.revision(), revision + 1, "one step of undo for one drag");
    assert!(after.at.x > before.at.x + 1.0 && after.at.y > before.at.y + 0.2, "{before:?} {after:?}");
    let steps = after.at.x / 0.05;
    assert!((steps - steps.round()).abs() < 1e-6, "{after:?}");
}

#[test]
fn keys_move_turn_and_take_off() {
    let mut harness = harness();
    place_by_drag(&mut harness, "Xylophone 1", vec2(0.0, -60.0));
    select(&mut harness, "Xylophone 1");
    let before = only(&harness);
    press(&mut harness, Modifiers::NONE, Key::R);
    assert!((only(&harness).turn_deg - 15.0).abs() < 1e-9);
    press(&mut harness, Modifiers::SHIFT, Key::R);
    press(&mut harness, Modifiers::SHIFT, Key::R);
    assert!((only(&harness).turn_deg - 345.0).abs() < 1e-9);
    press(&mut harness, Modifiers::NONE, Key::ArrowRight);
    assert!((only(&harness).at.x - before.at.x - 0.05).abs() < 1e-9);
    press(&mut harness, Modifiers::SHIFT, Key::ArrowDown);
    assert!((only(&harness).at.y - before.at.y - 0.5).abs() < 1e-9);
    press(&mut harness, Modifiers::NONE, Key::Delete);
    assert_eq!(placements(&harness), Vec::new());
}

#[test]
fn off_the_floor_it_is_refused_with_its_reason() {
    let mut harness = harness();
    search(&mut harness, "Xylophone 1");
    let from = harness.get_by_label("Place Xylophone 1").rect().center();
    let area = harness.get_by_label("Floor of Quay Hall").rect();
    drag(&mut harness, from, area.left_center() + vec2(6.0, 0.0));
    assert_eq!(placements(&harness), Vec::new());
    assert!(harness.state().view.said.contains("off the floor"), "{}", harness.state().view.said);
}

#[test]
fn a_number_is_never_borne_twice() {
    let mut harness = harness();
    place_by_drag(&mut harness, "Xylophone 1", vec2(-120.0, -60.0));
    place_by_drag(&mut harness, "Xylophone 2", vec2(120.0, -60.0));
    select(&mut harness, "Xylophone 1");
    harness.get_by_label("Number").click();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.event(Event::Text("2".to_owned()));
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::Enter);
    let number = |name: &str| placements(&harness).iter().find(|(own, ..)| own == name).map(|p| p.2.number);
    assert_eq!((number("Xylophone 1"), number("Xylophone 2")), (Some(2), Some(1)), "they change places");
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    let number = |name: &str| placements(&harness).iter().find(|(own, ..)| own == name).map(|p| p.2.number);
    assert_eq!((number("Xylophone 1"), number("Xylophone 2")), (Some(1), Some(2)), "one step of undo");
}

#[test]
fn enter_on_a_card_puts_it_at_the_middle_of_the_view() {
    let mut harness = harness();
    search(&mut harness, "Marimba 1");
    harness.get_by_label("Place Marimba 1").focus();
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::Enter);
    assert!(only(&harness).at.x.abs() < 0.3);
    let node = harness.get_by_label_contains("1 Marimba 1 at");
    assert_eq!(node.accesskit_node().role(), egui::Role::Button);
}

#[test]
fn the_caution_stays_in_sight_as_long_as_the_loads_do() {
    let mut harness = harness();
    assert!(harness.query_by_label(backrow_core::stage::CAUTION).is_none());
    harness.key_press(Key::L);
    harness.run();
    harness.get_by_label(backrow_core::stage::CAUTION);
}

#[test]
fn what_is_kept_here_no_key_moves() {
    let mut harness = harness();
    place_by_drag(&mut harness, "Xylophone 1", vec2(0.0, -60.0));
    select(&mut harness, "Xylophone 1");
    let before = only(&harness);
    harness.get_by_label("Lock in place").click();
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::ArrowRight);
    press(&mut harness, Modifiers::NONE, Key::R);
    assert_eq!(only(&harness), Placement { locked: true, ..before });
}

/// Two things on the floor, both chosen.
fn two(harness: &mut Harness<'_, App>) {
    place_by_drag(harness, "Xylophone 1", vec2(-120.0, -60.0));
    place_by_drag(harness, "Marimba 1", vec2(90.0, 40.0));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
}

fn by_name(harness: &Harness<'_, App>, name: &str) -> Placement {
    let found = placements(harness).into_iter().find(|(own, ..)| own == name);
    found.unwrap_or_else(|| panic!("{name} stands")).2
}

#[test]
fn several_move_turn_and_line_up_together_in_one_step() {
    let mut h = harness();
    two(&mut h);
    let before = (by_name(&h, "Xylophone 1"), by_name(&h, "Marimba 1"));
    h.key_press(Key::ArrowRight);
    h.run();
    let after = (by_name(&h, "Xylophone 1"), by_name(&h, "Marimba 1"));
    assert!((after.0.at.x - before.0.at.x - 0.05).abs() < 1e-9, "both move");
    assert!((after.1.at.x - before.1.at.x - 0.05).abs() < 1e-9, "both move");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert_eq!((by_name(&h, "Xylophone 1"), by_name(&h, "Marimba 1")), before, "in one step");
    h.get_by_label_contains("Arrange 2").click();
    h.run();
    h.get_by_label("Middles in a row").click();
    h.run();
    let lined = (by_name(&h, "Xylophone 1"), by_name(&h, "Marimba 1"));
    assert!((lined.0.at.y - lined.1.at.y).abs() < 1e-9);
    h.key_press(Key::Delete);
    h.run();
    assert!(placements(&h).is_empty(), "all that is chosen is taken off");
}

#[test]
fn what_is_laid_on_another_goes_where_that_goes() {
    let mut h = harness();
    two(&mut h);
    let select = |h: &mut Harness<'_, App>, name: &str| {
        let id = placements(h).into_iter().find(|(own, ..)| own == name).expect("it stands").1;
        h.state_mut().places.floor.cancel();
        h.state_mut().view.selected = Some(Selected::Instrument(id));
        h.run();
    };
    let lay_and_move = |h: &mut Harness<'_, App>| {
        for (name, key) in [("Xylophone 1", Key::O), ("Marimba 1", Key::ArrowRight)] {
            select(h, name);
            h.key_press(key);
            h.run();
        }
    };
    // Both at one point: the xylophone is laid on the marimba.
    let programme = h.state().view.programme.clone().expect("one");
    let on = by_name(&h, "Marimba 1");
    let (_, instrument, own) =
        placements(&h).into_iter().find(|(name, ..)| name == "Xylophone 1").expect("it stands");
    let placement = Placement { at: on.at, ..own };
    let stand = backrow_core::edit::Edit::Stand { programme, instrument, placement };
    h.state_mut().history.make(&stand).expect("it stands there");
    lay_and_move(&mut h);
    assert!((by_name(&h, "Xylophone 1").at.x - on.at.x - 0.05).abs() < 1e-9, "{}", h.state().view.said);
    lay_and_move(&mut h);
    assert!((by_name(&h, "Xylophone 1").at.x - on.at.x - 0.05).abs() < 1e-9, "by itself it stays");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    select(&mut h, "Marimba 1");
    h.key_press(Key::Delete);
    h.run();
    assert!(placements(&h).is_empty(), "what lies on it goes with it: {:?}", placements(&h));
}

#[test]
fn a_station_moves_and_turns_as_one_and_alt_moves_one_thing_in_it() {
    let mut h = harness();
    two(&mut h);
    let both = |h: &Harness<'_, App>| (by_name(h, "Xylophone 1"), by_name(h, "Marimba 1"));
    h.key_press(Key::G);
    h.run();
    assert!(h.state().view.said.contains("one station of 2"), "{}", h.state().view.said);
    let id = placements(&h).into_iter().find(|(own, ..)| own == "Xylophone 1").expect("it stands").1;
    h.state_mut().places.floor.cancel();
    h.state_mut().view.selected = Some(Selected::Instrument(id));
    h.run();
    let before = both(&h);
    h.key_press(Key::ArrowRight);
    h.run();
    let moved = both(&h);
    assert!((moved.0.at.x - before.0.at.x - 0.05).abs() < 1e-9);
    assert!((moved.1.at.x - before.1.at.x - 0.05).abs() < 1e-9, "the other of the station goes along");
    let apart = moved.0.at.distance(moved.1.at);
    h.key_press(Key::R);
    h.run();
    let turned = both(&h);
    assert!((turned.1.turn_deg - before.1.turn_deg - 15.0).abs() < 1e-9, "and turns");
    assert!((turned.0.at.distance(turned.1.at) - apart).abs() < 0.011, "about the first");
    h.key_press_modifiers(Modifiers::ALT, Key::ArrowRight);
    h.run();
    let alone = both(&h);
    assert!((alone.0.at.x - turned.0.at.x - 0.05).abs() < 1e-9 && alone.1 == turned.1, "with Alt one alone");
    for _ in 0..3 {
        h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        h.run();
    }
    assert_eq!(both(&h), before, "a step of undo each");
    h.key_press(Key::G);
    h.run();
    h.key_press(Key::ArrowRight);
    h.run();
    assert_eq!(both(&h).1, before.1, "apart again: {}", h.state().view.said);
}

#[test]
fn proposed_places_are_accepted_or_cancelled() {
    let mut h = harness();
    let library = h.state().history.now().clone();
    let (work, line) = library
        .works
        .values()
        .find_map(|work| work.lines.iter().find(|c| c.is_pitched()).map(|c| (work.id.clone(), c.id.clone())))
        .expect("a pitched line");
    let programme = h.state().view.programme.clone().expect("one");
    let instrument = library.instruments.keys().next().cloned().expect("one");
    let at = backrow_core::week::LineRef { work, line };
    let instruments = vec![instrument];
    let edit = backrow_core::edit::Edit::UseInstruments { programme, line: at, instruments };
    h.state_mut().history.make(&edit).expect("given");
    h.run();
    h.key_press(Key::P);
    settle(&mut h);
    assert!(
        h.query_by_label_contains("1 place proposed").is_some() || h.query_by_label("Accept them").is_some()
    );
    assert!(placements(&h).is_empty(), "nothing stands before it is taken");
    h.key_press(Key::Escape);
    h.run();
    assert!(h.query_by_label("Accept them").is_none());
    h.key_press(Key::P);
    settle(&mut h);
    h.key_press(Key::T);
    h.run();
    assert_eq!(placements(&h).len(), 1, "{}", h.state().view.said);
}

/// Steps of 5 cm add up to 9.9 m, and not to 9.900000000000002 m in the file.
#[test]
fn a_corner_moved_by_keys_stands_at_a_plain_number() {
    let mut h = harness();
    let floor = |h: &Harness<'_, App>| {
        h.state().history.now().venues.values().find(|v| v.name == "Quay Hall").map(|v| v.floor.clone())
    };
    let before = floor(&h).expect("the hall");
    h.get_by_label("Venue …: draw it").click();
    h.run();
    let corner = h.get_by_label_contains("Corner 3 at").rect().center();
    drag(&mut h, corner, corner);
    for _ in 0..7 {
        h.key_press(Key::ArrowDown);
        h.run();
    }
    h.get_by_label("Save").click();
    h.run();
    let after = floor(&h).expect("the hall");
    let moved = after.iter().zip(&before).filter(|(after, before)| after != before).count();
    assert_eq!(moved, 1, "{after:?}");
    for corner in after {
        assert_eq!(corner, corner.rounded());
    }
}

#[test]
fn the_venue_is_drawn_by_mouse_and_by_typed_corners() {
    let mut h = harness();
    let floor = |h: &Harness<'_, App>| {
        h.state().history.now().venues.values().find(|v| v.name == "Quay Hall").map(|v| v.floor.clone())
    };
    let before = floor(&h).expect("the hall");
    h.get_by_label("Venue …: draw it").click();
    h.run();
    let corner = h.get_by_label_contains("Corner 3 at").rect().center();
    drag(&mut h, corner, corner + vec2(30.0, 20.0));
    h.get_by_label("Save").click();
    h.run();
    let after = floor(&h).expect("the hall");
    assert_ne!(after.get(2), before.get(2), "the corner has moved");
    assert_eq!((after.len(), after.first()), (before.len(), before.first()), "the others have not");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert_eq!(floor(&h), Some(before.clone()), "one step");
    h.get_by_label("Venue …: draw it").click();
    h.run();
    h.get_by_label("Add a riser").click();
    h.run();
    h.get_by_label("Corners").focus();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    h.event(Event::Text("-2, 0\n2, 0\n2, x".to_owned()));
    h.run();
    assert!(h.query_by_label_contains("Line 3").is_some(), "a slip is told");
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    h.event(Event::Text("-2, 0\n2, 0\n2, 1.5\n-2, 1.5".to_owned()));
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    let told = h.query_by_label_contains("Line ").map(|node| format!("{:?}", node.value()));
    assert_eq!(told, None, "it reads");
    let risers = h.state().history.now().venues.values().map(|v| v.risers.len()).max();
    assert_eq!(risers, Some(1), "{}", h.state().view.said);
}

#[test]
fn a_work_can_have_its_own_setup_and_the_changes_are_listed() {
    let mut h = harness();
    place_by_drag(&mut h, "Xylophone 1", vec2(-120.0, -60.0));
    let always = by_name(&h, "Xylophone 1");
    let work = h.state().view.work.clone().expect("a work");
    select(&mut h, "Xylophone 1");
    h.key_press(Key::B);
    h.run();
    h.key_press(Key::ArrowRight);
    h.run();
    assert_eq!(by_name(&h, "Xylophone 1"), always, "the base stays");
    let own = programme(&h).setup.of_work(&work);
    let moved = own.values().next().expect("it stands");
    assert!((moved.at.x - always.at.x - 0.05).abs() < 1e-9, "for the work it has moved");
    // A second work of the programme makes it a change between works.
    let mut other = (*h.state().history.now().works.get(&work).cloned().expect("it")).clone();
    other.id = backrow_core::id::WorkId::fresh("encore", |_| false);
    other.title = "Encore".to_owned();
    let week = h.state().history.now().week_of(&programme(&h).id).expect("its week").id.clone();
    let mut next = programme(&h);
    next.works.push(other.id.clone());
    let edits = vec![
        backrow_core::edit::Edit::PutWork(other),
        backrow_core::edit::Edit::PutProgramme { week, programme: next },
    ];
    let edit = backrow_core::edit::Edit::Together { words: "encore".to_owned(), edits };
    h.state_mut().history.make(&edit).expect("made");
    h.run();
    h.key_press(Key::C);
    h.run();
    assert!(h.query_by_label_contains("move 1 Xylophone 1").is_some(), "the list says so");
    h.get_by_label("Fewer changes").click();
    h.run();
    assert!(programme(&h).setup.of_works().next().is_none(), "{}", h.state().view.said);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert!(programme(&h).setup.of_works().next().is_some(), "one step");
}

/// What the proposed places do to the moves is said before they are accepted.
#[test]
fn a_proposal_says_what_it_does_to_the_moves() {
    use backrow_core::edit::Edit;
    let mut h = harness();
    let library = h.state().history.now().clone();
    let programme = h.state().view.programme.clone().expect("one");
    let player = library.roster().first().map(|player| player.id.clone());
    let work = library.works.values().next().expect("one");
    for line in &work.lines {
        let kind = line.kind.as_ref();
        let thing = library.instruments.values().find(|thing| Some(&thing.kind) == kind);
        let Some(thing) = thing.filter(|_| line.is_pitched()) else { continue };
        let at = backrow_core::week::LineRef { work: work.id.clone(), line: line.id.clone() };
        let instruments = vec![thing.id.clone()];
        for edit in [
            Edit::Assign { programme: programme.clone(), line: at.clone(), player: player.clone() },
            Edit::UseInstruments { programme: programme.clone(), line: at, instruments },
        ] {
            h.state_mut().history.make(&edit).expect("given");
        }
    }
    h.run();
    h.key_press(Key::P);
    settle(&mut h);
    assert!(h.query_by_label("Accept them").is_some());
    let said = ["shorter", "longer", "impossible that was not", "possible that was not"];
    let is_said = |words: &&str| h.query_by_label_contains(words).is_some();
    assert!(said.iter().any(is_said) && h.query_by_label_contains("No move changes").is_none());
}

/// The sample's programme, which has its one work's own floor and one thing in the base, and another programme of the same work
/// in which nothing stands.
fn with_another_programme() -> (Harness<'static, App>, backrow_core::id::ProgrammeId) {
    use backrow_core::edit::Edit;
    let mut h = harness();
    let first = programme(&h);
    let library = h.state().history.now().clone();
    let work = first.works.first().expect("one").clone();
    let week = library.week_of(&first.id).expect("its week").id.clone();
    let things: Vec<InstrumentId> = library.instruments.keys().take(2).cloned().collect();
    let lines: Vec<_> = library.works[&work].lines.iter().map(|line| line.id.clone()).take(2).collect();
    let place = |x: f64, number| Placement {
        at: backrow_core::collection::Point::new(x, 3.0),
        turn_deg: 0.0,
        number,
        locked: false,
    };
    let mut other = backrow_core::week::Programme::new(
        backrow_core::id::ProgrammeId::new("other").expect("an id"),
        "Another week",
    );
    (other.venue, other.works) = (first.venue.clone(), first.works.clone());
    let mut edits = vec![Edit::PutProgramme { week, programme: other.clone() }];
    for id in [&first.id, &other.id] {
        edits.extend(things.iter().zip(&lines).map(|(thing, line)| Edit::UseInstruments {
            programme: id.clone(),
            line: backrow_core::week::LineRef { work: work.clone(), line: line.clone() },
            instruments: vec![thing.clone()],
        }));
    }
    let programme = first.id.clone();
    edits.extend([
        Edit::Stand {
            programme: programme.clone(),
            instrument: things[0].clone(),
            placement: place(-2.0, 1),
        },
        Edit::StandFor {
            programme: programme.clone(),
            work: work.clone(),
            instrument: things[1].clone(),
            placement: place(2.0, 2),
        },
        Edit::StandFor { programme, work, instrument: things[0].clone(), placement: place(0.0, 1) },
    ]);
    h.state_mut().history.make(&Edit::Together { words: "another".to_owned(), edits }).expect("made");
    settle(&mut h);
    (h, other.id)
}

/// What a work's own floor holds is brought over too.
#[test]
fn as_in_another_programme_brings_the_floors_of_works() {
    let (mut h, other) = with_another_programme();
    let there = programme(&h).setup;
    h.state_mut().view.programme = Some(other.clone());
    settle(&mut h);
    h.get_by_label("Setup").click();
    h.run();
    h.get_by_label_contains(": 2 instruments").click();
    settle(&mut h);
    let taken = programme(&h);
    assert_eq!((taken.id.clone(), taken.setup), (other, there), "{}", h.state().view.said);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert!(programme(&h).setup.is_empty(), "one step");
}

/// Whichever floor is shown, nothing stands any more on any.
#[test]
fn everything_comes_off_every_floor() {
    for for_one in [false, true] {
        let (mut h, _) = with_another_programme();
        if for_one {
            let work = programme(&h).works.first().cloned();
            h.state_mut().view.work = work;
            h.run();
            h.key_press(Key::B);
            h.run();
        }
        assert!(!programme(&h).setup.is_empty());
        h.get_by_label("Setup").click();
        h.run();
        h.get_by_label("Take everything off the floor").click();
        settle(&mut h);
        assert!(programme(&h).setup.is_empty(), "{:?}", programme(&h).setup);
        h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        settle(&mut h);
        assert!(!programme(&h).setup.is_empty(), "one step");
    }
}
