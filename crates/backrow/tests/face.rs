//! The face by its labels: rows that show what can be done with them, lists put in another order by their keys, what is found by its
//! words, and what belongs to another work.

mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::{Place, Selected};
use egui::{Key, Modifiers, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use window::{harness, settle};

fn demo(place: Place) -> Harness<'static, App> {
    let folder = tempfile::tempdir().expect("made here");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    let opened = App::open(&library, Settings::default(), None).history.now().clone();
    harness(App::on_library(opened, Settings { place, ..Settings::default() }))
}

fn works(h: &Harness<'_, App>) -> Vec<String> {
    let app = h.state();
    let programme = app.view.programme_in(app.history.now()).expect("made here");
    programme.works.iter().map(ToString::to_string).collect()
}

#[test]
fn a_service_shows_its_buttons_while_it_is_pointed_at_or_chosen() {
    let mut h = demo(Place::Week);
    let count = |h: &Harness<'_, App>| {
        h.query_all_by_role(Role::Button)
            .filter(|node| {
                node.accesskit_node().label().is_some_and(|label| label.starts_with("Edit rehearsal"))
            })
            .count()
    };
    h.hover_at(egui::pos2(10.0, 400.0));
    h.run();
    assert_eq!(count(&h), 0);
    // "10:00–12:30 rehearsal Tidelands, Quay Hall"; findings speak of rehearsals too.
    let service = |node: &egui_kittest::Node<'_>| {
        let label = node.accesskit_node().label().unwrap_or_default();
        label.starts_with(|c: char| c.is_ascii_digit()) && label.contains(" rehearsal ")
    };
    let row = h.query_all_by_role(Role::Button).find(service).expect("a service").rect().center();
    h.hover_at(row);
    h.run();
    h.run();
    assert_eq!(count(&h), 1);
    h.query_all_by_role(Role::Button).find(service).expect("a service").click();
    h.run();
    h.hover_at(egui::pos2(10.0, 400.0));
    h.run();
    assert_eq!(count(&h), 1, "the chosen one keeps them");
}

#[test]
fn works_of_a_programme_change_places_by_alt_and_arrows() {
    let mut h = demo(Place::Week);
    h.get_by_role_and_label(Role::Tab, "Programme and works").click();
    settle(&mut h);
    let before = works(&h);
    h.get_by_label_contains("No. 1: ").click();
    settle(&mut h);
    h.key_press_modifiers(Modifiers::ALT, Key::ArrowDown);
    settle(&mut h);
    let after = works(&h);
    assert_eq!((&after[0], &after[1]), (&before[1], &before[0]));
    assert_eq!(after[2..], before[2..]);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert_eq!(works(&h), before);
}

#[test]
fn what_a_place_does_by_a_key_is_done_from_the_finder() {
    let mut h = demo(Place::Week);
    h.key_press_modifiers(Modifiers::COMMAND, Key::K);
    h.run();
    h.get_by_label("Find or do").type_text("draw the hall");
    settle(&mut h);
    h.key_press(Key::Enter);
    settle(&mut h);
    settle(&mut h);
    assert_eq!(h.state().view.place, Place::Floor);
    assert!(h.query_by_label("Add a riser").is_some(), "the hall is on the drawing board");
}

#[test]
fn a_line_of_another_work_does_not_stay_chosen() {
    let mut h = demo(Place::Section);
    let now = h.state().history.now().clone();
    let programme = h.state().view.programme_in(&now).expect("made here").clone();
    let (at, _) = programme.lines().next().expect("made here");
    let other = programme.works.iter().find(|work| **work != at.work).expect("several works").clone();
    h.state_mut().request(Intent::Line(at.clone()));
    settle(&mut h);
    assert_eq!(h.state().view.selected, Some(Selected::Line(at.clone())));
    h.state_mut().request(Intent::Work(other));
    settle(&mut h);
    assert_eq!(h.state().view.selected, None);
    assert_eq!(h.state().view.line, None);
}

#[test]
fn an_empty_library_shows_the_same_steps_everywhere_with_one_filled() {
    for place in [
        Place::Section,
        Place::Compass,
        Place::Floor,
        Place::BarView,
        Place::Week,
        Place::Season,
        Place::Works,
        Place::Sounds,
    ] {
        let app = App::on_library(backrow::sample::empty(), Settings { place, ..Settings::default() });
        let mut h = harness(app);
        for step in ["Step 1: Instruments", "Step 2: Players", "Step 3: A score"] {
            assert!(h.query_by_label(step).is_some(), "{place:?}: {step}");
        }
        h.get_by_label("Add players").click();
        settle(&mut h);
        assert_eq!(h.state().view.place, Place::Collection, "{place:?}");
        assert!(h.state().places.collection.has_form(), "{place:?}");
    }
}

#[test]
fn the_map_of_keys_fills_the_window_and_goes_to_its_sheet() {
    let mut h = demo(Place::Week);
    h.key_press(Key::F1);
    settle(&mut h);
    let window = h.ctx.content_rect();
    let (find, print) = (h.get_by_label("Find a key").rect(), h.get_by_label("Print …").rect());
    assert!(find.top() < window.top() + 80.0 && print.right() > window.right() - 200.0, "{find:?} {print:?}");
    for of_place in ["Go to Sounds", "Save what is under review", "Duplicate the row"] {
        let row = h.get_by_label(of_place).rect();
        assert!(row.bottom() < window.bottom(), "{of_place} is in sight: {row:?}");
    }
    h.get_by_label("Print …").click();
    settle(&mut h);
    assert_eq!(h.state().shell.over(), Some(backrow::view::Over::Sheets));
    assert!(h.query_all_by_label("Keyboard map").next().is_some(), "in the list of sheets");
}

/// In the smallest window no control of a heading lies over another or under the panel: read from where they lie, in every place.
#[test]
fn nothing_lies_over_another_in_the_smallest_window() {
    for place in [Place::Section, Place::Compass, Place::Week, Place::Season, Place::Works, Place::Collection]
    {
        let folder = tempfile::tempdir().expect("made here");
        let library = folder.path().join("library");
        backrow_files::library::copy_demo(&library).expect("made here");
        let app = App::open(&library, Settings { place, ..Settings::default() }, None);
        let mut h = Harness::builder()
            .with_size(egui::vec2(960.0, 600.0))
            .with_theme(egui::Theme::Light)
            .with_max_steps(40)
            .build_ui_state(|ui, app: &mut App| app.ui(ui), app);
        settle(&mut h);
        let mut found: Vec<(String, egui::Rect)> = Vec::new();
        for role in [Role::Tab, Role::RadioButton, Role::Button, Role::ComboBox, Role::CheckBox] {
            for node in h.query_all_by_role(role) {
                let label = node.accesskit_node().label().unwrap_or_default();
                found.push((label, node.rect()));
            }
        }
        // The strip of works above and the rail at the left are measured elsewhere.
        let heading = egui::Rect::from_min_max(egui::pos2(133.0, 49.0), egui::pos2(675.0, 145.0));
        found.retain(|(_, rect)| heading.contains(rect.center()));
        assert!(found.len() > 1, "{place:?}: {found:?}");
        for (at, (one, rect)) in found.iter().enumerate() {
            assert!(rect.right() <= 676.5, "{place:?}: {one} goes under the panel: {rect:?}");
            for (other, second) in found.iter().skip(at + 1) {
                let both = rect.intersect(*second);
                let apart = both.width() < 1.0 || both.height() < 1.0;
                assert!(apart, "{place:?}: {one} {rect:?} and {other} {second:?}");
            }
        }
    }
}

/// A collision is a sentence: in a small window it stands on one line, and not a word to a line.
#[test]
fn collisions_of_the_season_are_sentences_in_a_small_window() {
    for (size, highest) in [(egui::vec2(1024.0, 700.0), 30.0), (egui::vec2(1280.0, 800.0), 50.0)] {
        let folder = tempfile::tempdir().expect("made here");
        let library = folder.path().join("library");
        backrow_files::library::copy_demo(&library).expect("made here");
        let app = App::open(&library, Settings { place: Place::Season, ..Settings::default() }, None);
        let mut h = Harness::builder().with_size(size).build_ui_state(|ui, app: &mut App| app.ui(ui), app);
        settle(&mut h);
        let all = h.query_all_by_label("5 instruments are double-booked").map(|node| node.rect());
        let in_rows: Vec<_> = all.filter(|rect| rect.right() < size.x - 250.0).collect();
        assert!(!in_rows.is_empty(), "{size:?}");
        assert!(in_rows.iter().all(|rect| rect.height() < highest), "{size:?}: {in_rows:?}");
    }
}

/// The orchestra's choice, made in its form, holds on screen and on paper.
#[test]
fn days_and_hours_are_shown_as_the_orchestra_has_chosen() {
    let mut h = demo(Place::Collection);
    h.get_by_role_and_label(Role::Tab, "Orchestra").click();
    settle(&mut h);
    for choice in ["Oct 12, 2027", "7:30 pm"] {
        h.get_by_role_and_label(Role::RadioButton, choice).click();
        h.run();
    }
    h.get_by_label("Save").click();
    settle(&mut h);
    h.state_mut().request(Intent::Go(Place::Week));
    settle(&mut h);
    let shows =
        |h: &Harness<'_, App>, words: &str| window::in_view(h, |label| label.contains(words)).is_some();
    for words in ["Tuesday, October 12, 2027", "10:00 am–12:30 pm rehearsal Tidelands"] {
        assert!(shows(&h, words), "{words}: {}", h.state().view.said);
    }
    let now = h.state().history.now().clone();
    let programme = h.state().view.programme_in(&now).expect("made here");
    let printer = backrow::sheets::Printer {
        evening: &backrow_core::evening::Evening::of(&now, programme),
        paper: backrow_print::Paper::Letter,
        templates: &backrow_print::Templates::default(),
        today: None,
        remembers: None,
        plans: backrow::sheets::Plans::default(),
    };
    let grid = printer.data(&backrow::sheets::Sheet::PlayerGrid).expect("made here");
    let text = serde_json::to_string(&grid).expect("made here");
    assert!(text.contains("Tue Oct 12, 10:00 am–12:30 pm"), "{text}");
}

/// A region's usual order holds where the orchestra has said nothing, and the year that it is goes without saying.
#[test]
fn days_are_shown_as_in_the_region_and_without_the_year_that_it_is() {
    let folder = tempfile::tempdir().expect("made here");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    let mut app = App::open(&library, Settings { place: Place::Week, ..Settings::default() }, None);
    app.live_in(backrow::dates::Days {
        order: backrow::dates::Order::MonthFirst,
        today: Some(jiff::civil::date(2027, 10, 1)),
        ..backrow::dates::Days::default()
    });
    let h = harness(app);
    assert!(window::in_view(&h, |label| label == "Tuesday, October 12").is_some());
}
