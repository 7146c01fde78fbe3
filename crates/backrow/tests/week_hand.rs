//! Week and what stands around it by hand: services, players in and out, hires, a calendar and a table taken in, undo.

mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::library::Library;
use backrow_core::week::{HireState, Standing};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::{Path, PathBuf};
use window::{click_at, harness, in_view, settle};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library")
}

fn demo() -> Library {
    backrow_files::library::open(&folder(), &backrow_files::kinds::standard().expect("kinds")).library
}

fn week() -> Harness<'static, App> {
    harness(App::on_library(demo(), Settings { place: Place::Week, ..Settings::default() }))
}

fn library<'a>(h: &'a Harness<'_, App>) -> &'a Library {
    h.state().history.now()
}

fn click(h: &mut Harness<'_, App>, label: &str) {
    let at = in_view(h, |other| other == label).unwrap_or_else(|| panic!("{label} is in sight"));
    click_at(h, at);
}

fn undo(h: &mut Harness<'_, App>) {
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
}

#[test]
fn a_service_is_added_changed_and_removed_by_keys() {
    let mut h = week();
    let before = library(&h).clone();
    let count = before.services().count();
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    assert_eq!(library(&h).services().count(), count + 1, "{}", h.state().view.said);
    // The new one is the day after the programme's last, and is current.
    h.key_press(Key::Delete);
    h.run();
    assert_eq!(library(&h).services().count(), count);
    undo(&mut h);
    undo(&mut h);
    assert_eq!(*library(&h), before);
}

#[test]
fn a_player_goes_out_of_a_service_and_comes_back() {
    let mut h = week();
    let out =
        |h: &Harness<'_, App>| library(h).players.values().map(|player| player.absences.len()).sum::<usize>();
    let before = out(&h);
    click(&mut h, "N. Okafor is in");
    assert_eq!(out(&h), before + 1, "{}", h.state().view.said);
    assert!(h.state().view.said.contains("is away from"), "{}", h.state().view.said);
    undo(&mut h);
    assert_eq!(out(&h), before);
}

#[test]
fn who_is_engaged_is_stated_for_the_programme_and_taken_back() {
    let mut h = week();
    click(&mut h, "Programme and works");
    let roster = |h: &Harness<'_, App>| {
        let app = h.state();
        app.view.programme_in(app.history.now()).expect("a programme").roster.clone()
    };
    let before = roster(&h);
    let okafor =
        library(&h).players.values().find(|p| p.name == "N. Okafor").expect("in the demo").id.clone();
    h.get_by_label("N. Okafor has the timpani").click();
    h.run();
    let stated = roster(&h).stated.get(&okafor).cloned().expect("stated");
    assert!(stated.timpani && stated.standing == Standing::Engaged, "{stated:?}");
    h.get_by_label("How N. Okafor is engaged").click();
    h.run();
    h.get_by_label("in reserve").click();
    h.run();
    assert_eq!(roster(&h).stated.get(&okafor).map(|e| e.standing), Some(Standing::Reserve));
    assert!(h.state().view.said.contains("in reserve"), "{}", h.state().view.said);
    h.get_by_label("Engage N. Okafor as usual").click();
    h.run();
    assert_eq!(roster(&h), before);
    for _ in 0..3 {
        undo(&mut h);
    }
    assert_eq!(roster(&h), before);
}

#[test]
fn what_is_lacking_is_put_on_the_hire_list_and_asked_for() {
    let mut h = week();
    click(&mut h, "Hires and loans");
    let hires = |h: &Harness<'_, App>| {
        let app = h.state();
        app.view.programme_in(app.history.now()).expect("a programme").hires.clone()
    };
    let before = hires(&h);
    click(&mut h, "Add glockenspiel");
    let after = hires(&h);
    assert_eq!(after.len(), before.len() + 1, "{}", h.state().view.said);
    let hire = after.last().expect("one");
    assert!(hire.state == HireState::Wanted && !hire.notes.is_empty() && hire.from.is_some());
    assert!(in_view(&h, |label| label == "Add glockenspiel").is_none(), "no longer lacking");
    undo(&mut h);
    assert_eq!(hires(&h), before);
}

#[test]
fn a_calendar_is_shown_with_its_match_and_taken_in() {
    let mut h = week();
    let before = library(&h).services().count();
    h.state_mut().request(Intent::ImportCalendar(folder().join("calendars/october.ics")));
    settle(&mut h);
    assert!(h.state().shell.importing.is_open(), "{}", h.state().view.said);
    assert_eq!(library(&h).services().count(), before, "nothing before it is asked for");
    assert!(in_view(&h, |label| label == "there already").is_some());
    // The third evening of Tidelands, the seating rehearsal of Ferry Tales, one of two sectionals.
    click(&mut h, "Import 3 services");
    assert!(!h.state().shell.importing.is_open(), "{}", h.state().view.said);
    assert_eq!(library(&h).services().count(), before + 3, "{}", h.state().view.said);
    undo(&mut h);
    assert_eq!(library(&h).services().count(), before);
}

#[test]
fn a_table_is_shown_with_its_columns_and_taken_in() {
    let mut h = week();
    let before = library(&h).instruments.len();
    h.state_mut().request(Intent::ImportTable(folder().join("tables/new-instruments.csv")));
    settle(&mut h);
    assert!(in_view(&h, |label| label.contains("row 5, mass")).is_some(), "{}", h.state().view.said);
    assert!(in_view(&h, |label| label.contains("row 6, kind")).is_some());
    h.key_press(Key::Escape);
    settle(&mut h);
    assert!(!h.state().shell.importing.is_open(), "Esc leaves it");
    h.state_mut().request(Intent::ImportTable(folder().join("tables/new-instruments.csv")));
    settle(&mut h);
    h.get_by_role_and_label(egui::Role::Button, "Import 4 instruments").click();
    settle(&mut h);
    assert_eq!(library(&h).instruments.len(), before + 4, "{}", h.state().view.said);
    undo(&mut h);
    assert_eq!(library(&h).instruments.len(), before);
}

#[test]
fn the_season_says_what_each_programme_needs() {
    let mut h = harness(App::on_library(demo(), Settings { place: Place::Season, ..Settings::default() }));
    settle(&mut h);
    for (_, programme) in library(&h).programmes() {
        let label = format!("Show {}", programme.title);
        assert!(h.query_by_label(&label).is_some(), "{label}");
    }
    assert!(in_view(&h, |label| label == "6, proven").is_some());
}

#[test]
fn an_empty_library_says_what_comes_first() {
    for place in [Place::Week, Place::Season] {
        let mut h = harness(App::on_library(Library::default(), Settings { place, ..Settings::default() }));
        settle(&mut h);
        assert!(
            in_view(&h, |label| label.starts_with("No week yet") || label.starts_with("No programme yet"))
                .is_some()
        );
    }
}

/// In the demo M. Duarte is needed in two halls on 14 October; nobody is "in" there without a word of it.
#[test]
fn who_is_wanted_in_two_halls_is_told_beside_the_service() {
    let h = week();
    assert!(in_view(&h, |label| label.contains("double-booked;")).is_some(), "told in the service's row");
}

/// A tooltip tells of a row whose words are cut, above it; a dialog that a key opens is not covered by it, and afterwards it may
/// come again.
#[test]
fn a_tooltip_neither_covers_its_row_nor_a_dialog() {
    let mut h = week();
    let told = "18:00–20:00 rehearsal Ferry Tales, for schools, Rehearsal room";
    let shown = |h: &Harness<'_, App>| h.query_all_by_value(told).next().map(|node| node.rect());
    let asks = |h: &Harness<'_, App>| h.query_all_by_value("Open a library").count() == 1;
    let rest = |h: &mut Harness<'_, App>| (0..12).for_each(|_| h.step());
    let row = h.get_by_label(told).rect();
    h.hover_at(row.center());
    rest(&mut h);
    let above = shown(&h).expect("the title is cut, so the row is told whole");
    assert!(above.bottom() <= row.top() + 1.0, "{above:?} lies over {row:?}");
    h.key_press_modifiers(Modifiers::COMMAND, Key::O);
    rest(&mut h);
    assert!(asks(&h));
    assert_eq!(shown(&h), None, "the dialog lies over it");
    h.key_press(Key::Escape);
    rest(&mut h);
    assert!(!asks(&h));
    h.hover_at(row.center() + egui::vec2(4.0, 0.0));
    rest(&mut h);
    assert!(shown(&h).is_some(), "once nothing lies over it, the row speaks again");
    let whole = h.get_by_label("10:00–12:30 rehearsal Tidelands, Rehearsal room").rect().center();
    h.hover_at(whole);
    rest(&mut h);
    // Its buttons take room while it is pointed at: what ends before them is told whole as well.
    assert_eq!(h.query_all_by_value("10:00–12:30 rehearsal Tidelands, Rehearsal room").count(), 1);
}

/// A work that left the programme and came back says what it had, and one press restores all of it.
#[test]
fn what_a_work_had_before_is_restored_by_a_press() {
    let mut h = week();
    let before = library(&h).clone();
    let programme = h.state().view.programme_in(&before).expect("a programme").clone();
    let work = programme.works.first().expect("a work").clone();
    let title = before.works[&work].title.clone();
    let week = before.week_of(&programme.id).expect("its week").id.clone();
    let of = |h: &Harness<'_, App>| {
        let programme = library(h).programme(&programme.id).expect("there").clone();
        programme.lines().filter(|(at, _)| at.work == work).count()
    };
    let had = of(&h);
    assert!(had > 0);
    for works in [programme.works.iter().skip(1).cloned().collect(), programme.works.clone()] {
        let mut programme = library(&h).programme(&programme.id).expect("there").clone();
        programme.works = works;
        let edit = backrow_core::edit::Edit::PutProgramme { week: week.clone(), programme };
        h.state_mut().request(Intent::Edit(edit));
        settle(&mut h);
    }
    assert_eq!(of(&h), 0, "nothing comes back unasked");
    h.state_mut().view.place = Place::Section;
    settle(&mut h);
    h.get_by_label(&format!("Fix: Restore what {title} had")).click_accesskit();
    settle(&mut h);
    assert_eq!(of(&h), had, "{}", h.state().view.said);
    undo(&mut h);
    assert_eq!(of(&h), 0);
}

/// Under the pointer a player's disc says which other programme needs them then, and how the services collide; where nothing
/// collides it says nothing of the sort.
#[test]
fn a_collision_is_told_under_the_pointer() {
    let mut h = week();
    let discs: Vec<egui::Pos2> = h
        .query_all_by_label("M. Duarte is in")
        .map(|node| node.rect().center())
        .filter(|at| h.ctx.content_rect().shrink(40.0).contains(*at))
        .collect();
    assert!(discs.len() > 2, "several services are in sight: {discs:?}");
    let mut told = Vec::new();
    for at in discs {
        h.hover_at(at);
        (0..12).for_each(|_| h.step());
        let beginning = "M. Duarte is in; click to change";
        let words = h.query_all(
            egui_kittest::kittest::by()
                .predicate(move |node| node.value().is_some_and(|value| value.starts_with(beginning))),
        );
        told.extend(words.filter_map(|node| egui_kittest::kittest::NodeT::accesskit_node(&node).value()));
    }
    let collides = |words: &&String| {
        words.contains("Needed in Ferry Tales, for schools too, at the same time on 14 Oct")
    };
    assert!(told.iter().any(|words| collides(&words)), "{told:?}");
    assert!(told.iter().any(|words| words == "M. Duarte is in; click to change"), "{told:?}");
}
