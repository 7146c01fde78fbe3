//! The right panel: this place's findings first, a line each; it can be folded, and no name pushes anything off it.

mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::{Place, Selected};
use backrow_core::edit::Edit;
use backrow_core::tuning::formula;
use egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use window::{harness, settle};

fn demo() -> backrow_core::library::Library {
    let folder = tempfile::tempdir().expect("made here");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    App::open(&library, Settings::default(), None).history.now().clone()
}

/// The window with its findings, which are worked out beside the frame.
fn at(place: Place) -> Harness<'static, App> {
    let mut h = harness(App::on_library(demo(), Settings { place, ..Settings::default() }));
    for _ in 0..3_000 {
        h.run();
        if h.query_by_label_contains(" in other places").is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    h
}

/// The labels of findings that are shown, in order.
fn shown(h: &Harness<'_, App>) -> Vec<String> {
    let begins = ["note: ", "clash: ", "warning: "];
    h.query_all_by_role(egui::Role::Button)
        .filter_map(|node| node.accesskit_node().label())
        .filter(|label| begins.iter().any(|begin| label.starts_with(begin)))
        .collect()
}

#[test]
fn the_current_place_comes_first_and_a_click_opens_one() {
    let mut h = at(Place::Floor);
    settle(&mut h);
    let own = shown(&h);
    assert!(!own.is_empty());
    let in_all = h.query_all_by_label_contains(" in other places").next().expect("the rest, counted");
    in_all.click();
    h.run();
    let all = shown(&h);
    assert!(all.len() > own.len());
    assert_eq!(all[..own.len()], own[..], "its own stay first");
    assert!(h.query_by_label("Show in Floor").is_none(), "closed at first");
    h.get_all_by_label(&own[0]).next().expect("made here").click();
    h.run();
    h.get_by_label("Show in Floor");
}

/// What a finding of tuning assumes stands behind it: what it gives, the formula, its unit and where it is from.
#[test]
fn a_finding_of_tuning_says_its_formulas() {
    let mut h = at(Place::Compass);
    settle(&mut h);
    h.query_all_by_label_contains(" in other places").next().expect("made here").click();
    h.run();
    let words = "A6 of Glockenspiel 1 is 8 cents above the orchestra";
    let own = shown(&h).into_iter().find(|label| label.contains(words)).expect("the demo has it");
    let says = |h: &Harness<'_, App>, words: &str| window::in_view(h, |label| label == words).is_some();
    h.get_all_by_label(&own).next().expect("made here").click_accesskit();
    settle(&mut h);
    assert!(!says(&h, &formula::BEATS.words()), "they are folded");
    h.query_all_by_label("Formulas and sources").next().expect("behind it").click_accesskit();
    settle(&mut h);
    for formula in [formula::CENTS, formula::BEATS, formula::WINDS, formula::BARS] {
        assert!(says(&h, &formula.words()), "{}", formula.words());
    }
}

#[test]
fn a_degree_is_left_out_and_comes_back() {
    let mut h = at(Place::Floor);
    settle(&mut h);
    h.query_all_by_label_contains(" in other places").next().expect("made here").click();
    h.run();
    let before = shown(&h).len();
    let notes = |h: &Harness<'_, App>| shown(h).iter().filter(|label| label.starts_with("note: ")).count();
    assert!(notes(&h) > 0);
    for expected in [0, notes(&h)] {
        let button = h.query_all_by_role(egui::Role::CheckBox).find(|node| {
            node.accesskit_node().label().is_some_and(|l| l.starts_with("Show ") && l.contains(" note"))
        });
        button.expect("the button for notes").click();
        h.run();
        assert_eq!(notes(&h), expected);
    }
    assert_eq!(shown(&h).len(), before);
}

#[test]
fn what_is_found_never_widens_it() {
    for place in [Place::Section, Place::Compass, Place::Floor, Place::Week] {
        let mut h = at(place);
        settle(&mut h);
        assert_eq!(h.state().settings.panel_width, None, "{place:?}");
    }
}

#[test]
fn it_is_folded_and_comes_back() {
    let mut h = at(Place::Section);
    assert!(h.query_by_label_contains("Findings").is_some());
    h.key_press(Key::F9);
    h.run();
    assert!(h.query_by_label_contains("Findings").is_none());
    h.get_by_label("Fold or open the panel").click();
    h.run();
    assert!(h.query_by_label_contains("Findings").is_some());
}

#[test]
fn long_names_push_nothing_off() {
    let mut library = demo();
    let (programme, at, thing) = {
        let programme = library.programmes().next().expect("made here").1;
        let (at, given) =
            programme.lines().find(|(_, given)| !given.instruments.is_empty()).expect("made here");
        (programme.id.clone(), at.clone(), given.instruments[0].clone())
    };
    let mut named = (*library.instruments[&thing]).clone();
    named.name = "Marimba of the old hall with the long name, ".repeat(3) + "one";
    library = backrow_core::edit::apply(&library, &Edit::PutInstrument(named)).expect("made here");
    let mut app = App::on_library(library, Settings::default());
    app.view.programme = Some(programme);
    app.view.selected = Some(Selected::Line(at));
    let mut h = harness(app);
    settle(&mut h);
    let window = h.ctx.content_rect();
    for button in h.query_all_by_role(egui::Role::Button) {
        let (rect, label) = (button.rect(), button.accesskit_node().label());
        assert!(rect.right() <= window.right() + 0.5 && rect.left() >= -0.5, "{label:?} at {rect:?}");
    }
    let away = h.query_all_by_label_contains("Remove").next().expect("the button").rect();
    assert!(away.left() > window.right() - 300.0, "inside the panel: {away:?}");
}
