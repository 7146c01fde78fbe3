//! What lost, blocked or misled on somebody's first day, as far as no other test of the window holds it: each was met by hand once.

#![expect(clippy::unwrap_used, reason = "a test helper that fails is a failed test")]

mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::{Over, Place, Selected};
use backrow_core::edit::Edit;
use backrow_core::library::Library;
use backrow_core::week::LineRef;
use egui::{Key, Modifiers, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use window::{harness, in_view, settle};

fn demo() -> Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library
}

fn at(library: Library, place: Place) -> Harness<'static, App> {
    harness(App::on_library(library, Settings { place, ..Settings::default() }))
}

/// A line of the current programme that asks for something without pitch, and one that asks for bars.
fn lines(app: &App) -> (LineRef, LineRef) {
    let now = app.history.now();
    let programme = app.view.programme_in(now).unwrap();
    let of = |pitched: bool| {
        let mut lines = programme.lines().map(|(at, _)| at);
        lines.find(|at| {
            now.line(at).is_some_and(|(_, line)| line.kind.is_some() && line.is_pitched() == pitched)
        })
    };
    (of(false).unwrap().clone(), of(true).unwrap().clone())
}

#[test]
fn esc_in_an_open_drop_down_closes_the_drop_down_alone() {
    let mut h = at(demo(), Place::Collection);
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h.get_by_role_and_label(Role::TextInput, "Name").type_text("Borrowed gong");
    h.run();
    let combo = h.query_all_by_role(Role::ComboBox).next().expect("a drop-down");
    combo.click();
    h.run();
    h.run();
    assert!(egui::Popup::is_any_open(&h.ctx), "it is open");
    h.key_press(Key::Escape);
    h.run();
    h.run();
    assert!(!egui::Popup::is_any_open(&h.ctx));
    assert!(h.state().places.collection.has_form(), "the form is still there");
    let name = h.get_by_role_and_label(Role::TextInput, "Name");
    assert_eq!(name.accesskit_node().value().as_deref(), Some("Borrowed gong"));
}

#[test]
fn an_instrument_is_not_offered_for_a_line_of_another_kind() {
    let mut h = at(demo(), Place::Collection);
    let (_, line) = lines(h.state());
    let now = h.state().history.now().clone();
    let asked = now.line(&line).unwrap().1.kind.clone();
    let other = now.instruments.values().find(|thing| Some(&thing.kind) != asked.as_ref()).unwrap();
    let app = h.state_mut();
    app.view.turn_to_line(&now, &line);
    app.view.selected = Some(Selected::Instrument(other.id.clone()));
    settle(&mut h);
    assert!(in_view(&h, |label| label == other.name).is_some(), "the panel shows it");
    assert!(in_view(&h, |label| label.starts_with("Assign to")).is_none());
    let same = now.instruments.values().find(|thing| Some(&thing.kind) == asked.as_ref()).unwrap();
    h.state_mut().view.selected = Some(Selected::Instrument(same.id.clone()));
    settle(&mut h);
    assert!(in_view(&h, |label| label.starts_with("Assign to")).is_some());
}

#[test]
fn compass_lists_what_plays_a_line_without_pitch() {
    let mut h = at(demo(), Place::Compass);
    let (line, _) = lines(h.state());
    let now = h.state().history.now().clone();
    let asked = now.line(&line).unwrap().1.kind.clone();
    h.state_mut().view.turn_to_line(&now, &line);
    settle(&mut h);
    let mut fitting = now.instruments.values().filter(|thing| Some(&thing.kind) == asked.as_ref());
    assert!(
        fitting.any(|thing| {
            let name = thing.name.clone();
            in_view(&h, move |label| label.starts_with(&name)).is_some()
        }),
        "an instrument of the kind stands there to be chosen"
    );
}

#[test]
fn words_about_missing_signs_push_nothing_off_the_preview() {
    let mut h = at(demo(), Place::Section);
    // Where no font of the machine has a letter it is a box, and no reason to stop.
    h.ctx.set_missing_glyph_policy(egui::MissingGlyphPolicy::Tofu);
    let now = h.state().history.now().clone();
    let (week, programme) = now.programmes().next().unwrap();
    let mut programme = programme.clone();
    programme.title = "\u{65e5}\u{672c}\u{306e}\u{6625} \u{0627}\u{0644}".repeat(6);
    let week = week.id.clone();
    h.state_mut().request(Intent::Edit(Edit::PutProgramme { week, programme }));
    settle(&mut h);
    h.key_press_modifiers(Modifiers::COMMAND, Key::P);
    settle(&mut h);
    assert_eq!(h.state().shell.over(), Some(Over::Sheets));
    // The page is set by a thread of its own.
    for _ in 0..3_000 {
        if in_view(&h, |label| label.starts_with("page 1 of")).is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
        h.run();
    }
    for button in ["Close", "Print all ticked …", "Print this one …"] {
        let rect = h.get_by_label(button).rect();
        assert!(rect.min.x >= 0.0 && rect.max.x <= 1280.0 && rect.max.y <= 800.0, "{button} at {rect:?}");
    }
}

#[test]
fn a_floor_whose_sides_cross_is_refused_with_their_numbers() {
    let mut h = at(demo(), Place::Floor);
    h.key_press(Key::V);
    settle(&mut h);
    let before = h.state().history.now().venues.clone();
    h.get_by_label("floor").click();
    h.run();
    h.get_by_label("Corners").focus();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    h.event(egui::Event::Text("0, 0\n4, 4\n4, 0\n0, 4".to_owned()));
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    assert!(
        in_view(&h, |label| label.contains("Sides 1 and 3 of the floor cross")).is_some(),
        "{}",
        h.state().view.said
    );
    assert!(h.state().history.now().venues.iter().all(|(id, venue)| before.get(id) == Some(venue)));
    assert_eq!(h.state().places.unsaved(), 1, "what was drawn is a draft");
}

#[test]
fn parts_of_a_hall_are_not_put_on_top_of_each_other() {
    let mut h = at(demo(), Place::Floor);
    h.key_press(Key::V);
    settle(&mut h);
    for _ in 0..3 {
        h.get_by_label("Add a riser").click();
        h.run();
        h.run();
    }
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    let now = h.state().history.now();
    let programme = h.state().view.programme_in(now).unwrap();
    let venue = &now.venues[programme.venue.as_ref().unwrap()];
    let corners: Vec<String> =
        venue.risers.iter().map(|riser| format!("{:?}", riser.outline.first())).collect();
    let mut apart = corners.clone();
    apart.sort();
    apart.dedup();
    assert_eq!(apart.len(), corners.len(), "{corners:?}");
}

#[test]
fn the_keys_of_the_places_stand_in_the_order_of_the_rail() {
    use Key::{Num1, Num2, Num3, Num4, Num5, Num6, Num7, Num8, Num9};
    let digits: Vec<Key> = Place::ALL
        .iter()
        .map(|place| {
            let go = backrow::actions::Action::ALL.iter().find(|action| action.goes_to() == Some(*place));
            go.unwrap().shortcut().logical_key
        })
        .collect();
    assert_eq!(digits, [Num1, Num2, Num3, Num4, Num5, Num6, Num7, Num8, Num9]);
}

#[test]
fn sheets_are_named_by_the_programme_and_say_where_they_are() {
    let home = tempfile::tempdir().unwrap();
    let mut library = demo();
    let (week, programme) = {
        let (week, programme) = library.programmes().next().unwrap();
        (week.id.clone(), programme.clone())
    };
    let mut programme = programme;
    "Spring Concert".clone_into(&mut programme.title);
    library = backrow_core::edit::apply(&library, &Edit::PutProgramme { week, programme: programme.clone() })
        .unwrap();
    let evening = backrow_core::evening::Evening::of(&library, library.programme(&programme.id).unwrap());
    let templates = backrow_print::Templates::default();
    let printer = backrow::sheets::Printer {
        evening: &evening,
        paper: backrow_print::Paper::A4,
        templates: &templates,
        plans: backrow::sheets::Plans::default(),
        today: None,
        remembers: None,
    };
    let sheets = [backrow::sheets::Sheet::Hires];
    let printed = printer.print(&backrow_print::Press::new(), &sheets, home.path(), false).unwrap();
    let name = printed.files[0].file_name().unwrap().to_string_lossy().into_owned();
    assert!(name.starts_with("spring-concert-"), "{name}");
}

#[test]
fn rows_of_the_collection_say_more_than_a_name() {
    let mut h = at(demo(), Place::Collection);
    h.state_mut().request(Intent::Go(Place::Collection));
    settle(&mut h);
    let rows: Vec<String> =
        h.query_all_by_role(Role::Row).map(|row| row.accesskit_node().value().unwrap_or_default()).collect();
    assert!(!rows.is_empty() && rows.iter().all(|value| value.contains("kind ")), "{rows:?}");
}

/// What can be dragged onto the current line is shown beside its board, and not beside another movement's.
#[test]
fn cards_are_those_of_a_line_that_is_shown() {
    let mut h = at(demo(), Place::Section);
    let now = h.state().history.now().clone();
    let programme = h.state().view.programme_in(&now).expect("one").clone();
    let works = programme.works.iter().filter_map(|id| now.works.get(id));
    let work = works.into_iter().find(|work| work.movements.len() > 1).expect("several movements").clone();
    let first = &work.movements[0].id;
    let line = work
        .lines_of(first)
        .find(|line| !backrow_core::cover::cover(&now, line).fits.is_empty())
        .expect("something plays it");
    let line = LineRef { work: work.id.clone(), line: line.id.clone() };
    h.state_mut().view.turn_to_line(&now, &line);
    settle(&mut h);
    let cards = |h: &Harness<'_, App>| in_view(h, |label| label.starts_with("Card ")).is_some();
    assert!(cards(&h), "for the current line");
    h.state_mut().view.movement = Some(work.movements[1].id.clone());
    settle(&mut h);
    assert!(!cards(&h), "the line is not on this board");
}

/// In a small window every movement of six is in sight, beside the switch at the right and not behind it.
#[test]
fn six_movements_are_in_sight_in_a_small_window() {
    let mut h = at(demo(), Place::Section);
    let now = h.state().history.now().clone();
    let mut work = (**now.works.get(h.state().view.work.as_ref().expect("one")).expect("there")).clone();
    let first = work.movements[0].clone();
    let more = ["I", "II", "III", "IV", "V", "VI"].into_iter().enumerate().map(|(at, number)| {
        let mut movement = first.clone();
        if at > 0 {
            movement.id = backrow_core::id::MovementId::fresh(&format!("more {at}"), |_| false);
        }
        (movement.number, movement.title) = (number.to_owned(), "Adagio molto e cantabile".to_owned());
        movement
    });
    work.movements = more.collect();
    work.lines.retain(|line| line.movement == first.id);
    h.state_mut().request(Intent::Edit(Edit::PutWork(work)));
    h.state_mut().view.movement = Some(first.id.clone());
    h.set_size(egui::vec2(1024.0, 700.0));
    settle(&mut h);
    let tabs: Vec<egui::Rect> = h
        .query_all_by_role(Role::Tab)
        .filter(|node| node.accesskit_node().label().is_some_and(|label| label.starts_with("Movement ")))
        .map(|node| node.rect())
        .collect();
    assert_eq!(tabs.len(), 6);
    let switch = h.get_by_label("Ask about the movement").rect();
    assert!(tabs.iter().all(|tab| tab.right() <= switch.left()), "{tabs:?}, {switch:?}");
}

/// At the smallest size Compass shows three octaves: a line above them comes into sight with them, and a push stays.
#[test]
fn compass_shows_where_a_high_line_lies() {
    let mut h = at(demo(), Place::Compass);
    h.set_size(egui::vec2(1024.0, 700.0));
    settle(&mut h);
    let now = h.state().history.now().clone();
    let programme = h.state().view.programme_in(&now).unwrap().clone();
    let lowest = |at: &LineRef| now.line(at).and_then(|(_, line)| line.sounding().lowest());
    let all: Vec<_> = programme.lines().filter_map(|(at, _)| Some((lowest(at)?, at.clone()))).collect();
    let (_, high) = all.iter().max().expect("a line with pitch");
    let (_, low) = all.iter().min().expect("a line with pitch");
    h.state_mut().view.turn_to_line(&now, high);
    settle(&mut h);
    let pushed = h.state().places.compass.pushed();
    assert!(pushed > 0, "it lies above C5");
    h.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    settle(&mut h);
    assert_eq!(h.state().places.compass.pushed(), pushed + 1, "somebody pushed it, and it stays");
    h.state_mut().view.turn_to_line(&now, low);
    settle(&mut h);
    assert!(h.state().places.compass.pushed() <= pushed, "down again to a low line");
}

#[test]
fn help_is_found_by_that_word() {
    let mut h = at(demo(), Place::Section);
    h.key_press_modifiers(Modifiers::COMMAND, Key::K);
    h.run();
    h.event(egui::Event::Text("help".to_owned()));
    settle(&mut h);
    for label in ["Open the guide", "Show the keyboard map", "Show or close the first steps"] {
        assert!(in_view(&h, |there| there.contains(label)).is_some(), "{label}");
    }
    h.key_press(Key::Escape);
    h.key_press(Key::Escape);
    settle(&mut h);
    h.query_all_by_label_contains("Programme ").next().unwrap().click();
    settle(&mut h);
    for label in ["Help", "Save a copy of the library …", "Show earlier versions of the files …", "Larger"]
    {
        assert!(in_view(&h, |there| there.starts_with(label)).is_some(), "{label}");
    }
}

#[test]
fn the_keys_that_zoom_stand_in_the_keyboard_map() {
    let rows: Vec<String> = backrow::keymap::everywhere()
        .into_iter()
        .flat_map(|group| group.rows)
        .map(|(keys, _)| keys)
        .collect();
    assert!(rows.iter().any(|keys| keys == "Ctrl 0") && rows.iter().any(|keys| keys.starts_with("Ctrl +")));
}

/// Enter in a line saves, in the form of a hire and in those of the tuning bench; in a small window too.
#[rstest::rstest]
#[case(1280.0, 800.0)]
#[case(1024.0, 700.0)]
fn enter_in_a_line_of_a_hire_saves(#[case] wide: f32, #[case] high: f32) {
    let mut h = at(demo(), Place::Week);
    h.set_size(egui::vec2(wide, high));
    settle(&mut h);
    h.get_by_role_and_label(Role::Tab, "Hires and loans").click();
    settle(&mut h);
    h.query_all_by_label_contains("Edit or remove ").next().unwrap().click();
    settle(&mut h);
    h.get_by_label("Edit …").click();
    settle(&mut h);
    h.get_by_role_and_label(Role::TextInput, "Remark").focus();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    h.event(egui::Event::Text("by the side door".to_owned()));
    h.run();
    h.key_press(Key::Enter);
    settle(&mut h);
    let now = h.state().history.now();
    let hires = now.programmes().flat_map(|(_, programme)| &programme.hires);
    assert_eq!(hires.filter(|hire| hire.remark == "by the side door").count(), 1, "{}", h.state().view.said);
}

#[test]
fn enter_in_a_line_of_a_survey_says_what_is_missing() {
    let mut h = at(demo(), Place::Collection);
    h.get_by_role_and_label(Role::Tab, "Tuning").click();
    settle(&mut h);
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    settle(&mut h);
    h.get_by_role_and_label(Role::TextInput, "Who").focus();
    h.run();
    h.event(egui::Event::Text("A. Moss".to_owned()));
    h.run();
    let before = h.state().history.revision();
    let refused = |h: &Harness<'_, App>| {
        in_view(h, |label| label.contains("expected") || label.contains("needs")).is_some()
    };
    assert!(!refused(&h), "nothing is said before it was tried");
    h.key_press(Key::Enter);
    settle(&mut h);
    // A survey without a figure is no survey: the reason stands on the form, which keeps what was typed.
    assert!(refused(&h), "{}", h.state().view.said);
    assert_eq!(h.state().history.revision(), before, "nothing is saved");
    let who = h.get_by_role_and_label(Role::TextInput, "Who");
    assert_eq!(who.accesskit_node().value().as_deref(), Some("A. Moss"));
}

/// What will be made is said before it is.
#[test]
fn a_copy_says_where_it_will_be() {
    let mut h = at(demo(), Place::Section);
    h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::E);
    settle(&mut h);
    h.event(egui::Event::Text("Evening copy".to_owned()));
    settle(&mut h);
    let says = |h: &Harness<'_, App>, end: &str| {
        let end = end.to_owned();
        in_view(h, move |label| label.starts_with("Makes /") && label.ends_with(&end)).is_some()
    };
    // A bare name is made in the documents of whoever has any; a whole path is what it is.
    let homes = backrow::paths::Homes::of_account();
    let by_name = backrow::paths::for_new("Evening copy", &homes).is_ok();
    assert_eq!(says(&h, "Evening copy"), by_name);
    let whole = std::env::temp_dir().join("Evening copy of mine");
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    h.event(egui::Event::Text(whole.display().to_string()));
    settle(&mut h);
    assert!(says(&h, &whole.display().to_string()), "the whole path");
    assert!(!whole.exists(), "and nothing is made yet");
}

/// A list of kinds opens at the kind that is chosen, and does not remember what was typed to find one.
#[test]
fn a_list_of_kinds_is_fresh_each_time() {
    let mut h = at(demo(), Place::Collection);
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    settle(&mut h);
    let kind = |h: &mut Harness<'_, App>| {
        h.get_by_role_and_label(Role::ComboBox, "Kind").click();
        settle(h);
    };
    kind(&mut h);
    let list_has = |h: &Harness<'_, App>, name: &str| {
        h.query_all_by_label(name).any(|node| h.ctx.content_rect().contains(node.rect().center()))
    };
    assert!(list_has(&h, "xylophone"), "the chosen kind is in sight");
    h.event(egui::Event::Text("gong".to_owned()));
    settle(&mut h);
    h.key_press(Key::Escape);
    settle(&mut h);
    kind(&mut h);
    let field = h.get_by_role_and_label(Role::TextInput, "Kind, by name");
    assert_eq!(field.accesskit_node().value().unwrap_or_default(), "");
}

/// A line of a work that the programme does not have is let go with the programme that had it.
#[test]
fn another_programme_lets_go_of_a_line_that_it_does_not_have() {
    let mut h = at(demo(), Place::Section);
    let (_, line) = lines(h.state());
    let now = h.state().history.now().clone();
    h.state_mut().view.turn_to_line(&now, &line);
    settle(&mut h);
    h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::N);
    settle(&mut h);
    assert_eq!((&h.state().view.line, &h.state().view.selected), (&None, &None));
    assert_eq!(h.state().view.said, "Done: add a programme. Ctrl Z undoes it.");
}

/// The whole of the programme's menu is reached in the smallest window.
#[test]
fn the_end_of_the_menu_is_reached_in_a_low_window() {
    let mut h = at(demo(), Place::Section);
    h.set_size(egui::vec2(1024.0, 700.0));
    settle(&mut h);
    h.query_all_by_label_contains("Programme ").next().expect("the programme's menu").click();
    settle(&mut h);
    h.query_all_by_label_contains("Quit").next().expect("the last of the menu").scroll_to_me();
    settle(&mut h);
    let quit = in_view(&h, |label| label.starts_with("Quit")).expect("it stands there");
    assert!(quit.y < 700.0, "{quit:?}");
}
