//! Lines of text that are saved when they are left: titles, remarks, and lines of a work typed over.

#[path = "window/typing.rs"]
mod typing;
mod window;

use backrow::app::App;
use backrow::view::Place;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use typing::{kill, on_disk, resume, type_over, value_of};
use window::{in_view, settle};

/// Opens the first line of the current work as text in review, and its label there.
fn open_as_text(h: &mut Harness<'static, App>) -> String {
    h.key_press_modifiers(Modifiers::COMMAND, Key::E);
    h.run();
    h.query_all_by_label_contains("As a line: ").next().expect("a line in review").click();
    h.run();
    h.run();
    let field = h.query_all_by_label_contains("Line of ").next().expect("its text");
    egui_kittest::kittest::NodeT::accesskit_node(&field).label().expect("its label")
}

#[test]
fn what_is_typed_over_a_line_of_a_work_outlives_esc_and_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Works);
    let label = open_as_text(&mut h);
    assert_eq!(h.state().places.unsaved(), 0, "looked at and not changed");
    type_over(&mut h, &label, "snare drum | 3-");
    assert_eq!(h.state().places.unsaved(), 1);
    assert!(in_view(&h, |label| label == "1 draft").is_some(), "never said to be saved");
    // The button that closes it does not close over what cannot be read.
    h.query_all_by_label_contains("Close the line: ").next().expect("it is open").click();
    h.run();
    assert_eq!(value_of(&h, &label), "snare drum | 3-");
    // Nor is the work saved without it.
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    assert!(h.state().places.works.is_reviewing(), "{}", h.state().view.said);
    h.key_press(Key::Escape);
    h.run();
    h.key_press(Key::Escape);
    h.run();
    assert!(!h.state().places.works.is_reviewing());
    assert_eq!(h.state().places.unsaved(), 1);
    kill(h);
    let mut h = on_disk(home.path(), Place::Works);
    resume(&mut h);
    assert_eq!(value_of(&h, &label), "snare drum | 3-");
    h.get_by_role_and_label(egui::Role::Button, "Throw away").click();
    h.run();
    assert!(in_view(&h, |other| other == label).is_none(), "thrown away when that is asked for");
}

#[test]
fn what_is_typed_over_a_line_is_saved_with_the_work() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Works);
    let label = open_as_text(&mut h);
    let before = value_of(&h, &label);
    let beaters = "felt of another sort";
    let parts: Vec<&str> = before.split('|').collect();
    let typed = format!("{}|{}| {beaters}", parts[0], parts[1]);
    type_over(&mut h, &label, &typed);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    assert!(!h.state().places.works.is_reviewing(), "{}", h.state().view.said);
    let library = h.state().history.now();
    let lines = library.works.values().flat_map(|work| &work.lines);
    let with = lines.filter(|line| line.beaters.iter().any(|one| one == beaters)).count();
    assert_eq!(with, 1);
}

/// Titles and remarks of Week, and the title in the programme's menu: the words, and what the library has.
fn remark(h: &Harness<'_, App>) -> String {
    h.state().view.programme_in(h.state().history.now()).expect("a programme").remark.clone()
}

fn type_a_remark(h: &mut Harness<'static, App>) {
    h.get_by_role_and_label(egui::Role::Tab, "Programme and works").click();
    h.run();
    type_over(h, "Remark on the programme", "Bring the low gong");
    assert!(h.ctx.text_edit_focused());
    assert!(in_view(h, |label| label == "1 draft").is_some(), "never said to be saved while it is typed");
}

#[test]
fn a_remark_is_saved_when_a_key_goes_to_another_place() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    type_a_remark(&mut h);
    h.key_press_modifiers(Modifiers::ALT, Key::Num1);
    settle(&mut h);
    assert_eq!(h.state().view.place, Place::Section);
    assert_eq!(remark(&h), "Bring the low gong", "{}", h.state().view.said);
    assert!(in_view(&h, |label| label == "Saved").is_some());
    h.key_press_modifiers(Modifiers::ALT, Key::Num5);
    settle(&mut h);
    assert_eq!(value_of(&h, "Remark on the programme"), "Bring the low gong");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert_eq!(remark(&h), "", "undone");
}

#[test]
fn a_remark_is_saved_when_the_program_is_quitted() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    type_a_remark(&mut h);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    h.run();
    assert_eq!(h.state().shell.over(), None, "nothing would be lost, so nothing is asked");
    kill(h);
    assert_eq!(remark(&on_disk(home.path(), Place::Week)), "Bring the low gong");
}

#[test]
fn titles_and_remarks_outlive_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    type_a_remark(&mut h);
    kill(h);
    let mut h = on_disk(home.path(), Place::Week);
    settle(&mut h);
    assert_eq!(remark(&h), "Bring the low gong");
    type_over(&mut h, "Title of the week", "The long week");
    kill(h);
    let h = on_disk(home.path(), Place::Section);
    assert!(h.state().history.now().weeks.values().any(|week| week.title == "The long week"));
}

/// What is done beside a title that is typed takes nothing away from it.
#[test]
fn a_title_and_another_change_of_the_programme_go_together() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    type_a_remark(&mut h);
    let works =
        |h: &Harness<'_, App>| h.state().view.programme_in(h.state().history.now()).expect("one").works.len();
    let count = works(&h);
    let row = h.query_all_by_label_contains("No. 1: ").next().expect("a work");
    row.click_secondary();
    h.run();
    h.run();
    h.query_all_by_label("Remove from programme").last().expect("in the menu").click();
    settle(&mut h);
    assert_eq!((works(&h), remark(&h).as_str()), (count - 1, "Bring the low gong"));
}

#[test]
fn the_title_in_the_menu_is_saved_when_the_menu_closes() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Section);
    h.query_all_by_label_contains("Programme ").next().expect("the programme").click();
    h.run();
    h.run();
    type_over(&mut h, "Title", "Low water");
    assert!(in_view(&h, |label| label == "1 draft").is_some());
    h.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    h.run();
    kill(h);
    let h = on_disk(home.path(), Place::Section);
    let title = &h.state().view.programme_in(h.state().history.now()).expect("one").title;
    assert_eq!(title, "Low water");
}
