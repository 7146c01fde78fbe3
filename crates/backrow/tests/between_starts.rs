//! What is kept between two starts of the program, and the first steps: ticked, closed, and found again.

mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::edit::Edit;
use egui::{Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::Path;
use window::{click_at, drag, harness, in_view, settle};

/// The program as it starts in that folder, with the settings that it has left there.
fn start(home: &Path, library: &backrow_core::library::Library) -> Harness<'static, App> {
    let (folder, file) = (home.join("library"), home.join("settings.ron"));
    if !folder.is_dir() {
        let kinds = backrow_files::kinds::standard().expect("the kinds table");
        backrow_files::library::create_from(&folder, library, &kinds).expect("made here");
    }
    let settings = Settings::read(&file).unwrap_or_default();
    harness(App::open(&folder, settings, Some(file)))
}

#[test]
fn the_panels_width_and_the_size_of_everything_are_kept() {
    let home = tempfile::tempdir().expect("made here");
    let sample = backrow::sample::small();
    let mut h = start(home.path(), &sample);
    let edge = |h: &Harness<'_, App>| {
        let found = h.query_all_by_label_contains("Findings").next().expect("in the panel");
        found.rect().left()
    };
    let before = edge(&h);
    // The panel's left edge lies its margin beside its words.
    let grip = egui::pos2(before - 16.0, 600.0);
    drag(&mut h, grip, grip - vec2(60.0, 0.0));
    let wide = edge(&h);
    assert!((before - wide - 60.0).abs() < 4.0, "drawn wider: {before} to {wide}");
    h.ctx.set_zoom_factor(1.2);
    settle(&mut h);
    drop(h);
    let h = start(home.path(), &sample);
    let (width, zoom) = (h.state().settings.panel_width, h.state().settings.zoom);
    assert!(width.is_some_and(|width| width > 300.0), "{width:?}");
    assert!(zoom.is_some_and(|zoom| (zoom - 1.2).abs() < 0.01), "{zoom:?}");
    assert!((h.ctx.zoom_factor() - 1.2).abs() < 0.01, "and it is shown so: {}", h.ctx.zoom_factor());
}

#[test]
fn first_steps_are_ticked_closed_and_found_again_under_help() {
    let home = tempfile::tempdir().expect("made here");
    let kinds = backrow_files::kinds::standard().expect("the kinds table");
    let empty = backrow_core::library::Library { kinds, ..Default::default() };
    let mut h = start(home.path(), &empty);
    let says = |h: &Harness<'_, App>, words: &str| in_view(h, |label| label == words).is_some();
    assert!(says(&h, "First steps") && says(&h, "0 of 9 done"), "{}", h.state().view.said);
    assert!(says(&h, "Name the orchestra: to do"));
    let named = backrow_core::library::Orchestra { name: "Quay Sinfonia".to_owned(), ..Default::default() };
    h.state_mut().history.make(&Edit::SetOrchestra(named)).expect("it can be named");
    settle(&mut h);
    assert!(says(&h, "Name the orchestra: done") && says(&h, "1 of 9 done"));
    assert!(says(&h, "Draw the stage: to do"));
    h.get_by_label("Close the first steps").click();
    settle(&mut h);
    assert!(!says(&h, "First steps"));
    // They stay closed at the next start, and are there under Help.
    h.state_mut().view.place = Place::Week;
    h.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(&mut h);
    drop(h);
    let mut h = start(home.path(), &empty);
    assert!(!says(&h, "First steps"));
    h.query_all_by_label_contains("Programme ").next().expect("the menu").click();
    settle(&mut h);
    h.query_all_by_label_contains("Help").next().expect("in the menu").click();
    settle(&mut h);
    h.query_all_by_label_contains("Show or close the first steps").next().expect("under Help").scroll_to_me();
    settle(&mut h);
    let entry = in_view(&h, |label| label.contains("Show or close the first steps")).expect("under Help");
    click_at(&mut h, entry);
    assert!(says(&h, "First steps") && says(&h, "1 of 9 done"), "{}", h.state().view.said);
}
