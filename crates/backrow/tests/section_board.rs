//! The board of Section by its accessible labels: giving, refusing, proposing, and undo.

mod window;

use backrow::app::App;
use backrow::sample;
use backrow::settings::Settings;
use backrow_core::findings::{Degree, ShowsOn};
use backrow_core::id::{LineId, PlayerId, WorkId};
use backrow_core::week::{Assignment, LineRef};
use egui::{Key, Modifiers, pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use window::{centre, drag, harness, in_view, settle, wait_for};

fn board() -> Harness<'static, App> {
    harness(App::on_library(sample::small(), Settings::default()))
}

fn line(name: &str) -> LineRef {
    LineRef { work: WorkId::new("lanterns").expect("an id"), line: LineId::new(name).expect("an id") }
}

fn given(h: &Harness<'_, App>, name: &str) -> Assignment {
    let app = h.state();
    app.view.programme_in(app.history.now()).expect("a programme").assignment(&line(name))
}

fn player(name: &str) -> PlayerId {
    PlayerId::fresh(name, |_| false)
}

/// The middle of the strip of that kind, wherever it lies.
fn strip(h: &Harness<'_, App>, kind: &str) -> egui::Pos2 {
    let begin = format!("line {kind}, mm.");
    in_view(h, |label| label.to_lowercase().starts_with(&begin)).expect("its strip")
}

fn lane(h: &Harness<'_, App>, name: &str) -> egui::Pos2 {
    let begin = format!("Lane {name}");
    in_view(h, |label| label.starts_with(&begin)).expect("the lane")
}

/// Whether the findings hold a clash of the players.
fn has_clash(h: &Harness<'_, App>) -> bool {
    let app = h.state();
    let programme = app.view.programme_in(app.history.now()).expect("a programme");
    backrow_core::findings::check(&backrow_core::evening::Evening::of(app.history.now(), programme))
        .iter()
        .any(|f| f.degree == Degree::Clash && f.rule.shows_on() == ShowsOn::Section)
}

fn undo(h: &mut Harness<'_, App>) {
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(h);
}

#[test]
fn a_line_is_dragged_to_a_player_and_undone() {
    let mut h = board();
    let (from, to) = (strip(&h, "xylophone"), lane(&h, "N. Okafor"));
    drag(&mut h, from, to);
    assert_eq!(given(&h, "xylophone").player, Some(player("N. Okafor")), "{}", h.state().view.said);
    let assigned =
        |l: &str| l.starts_with("Line Xylophone, mm. 5–") && l.ends_with(", assigned to N. Okafor");
    assert!(in_view(&h, assigned).is_some());
    undo(&mut h);
    assert_eq!(given(&h, "xylophone").player, None);
}

#[test]
fn a_line_is_lifted_and_given_by_number() {
    let mut h = board();
    // The first in time is the bass drum.
    h.key_press(Key::ArrowRight);
    settle(&mut h);
    h.key_press(Key::Enter);
    settle(&mut h);
    assert!(h.state().view.in_hand.is_some());
    h.key_press(Key::Num1);
    settle(&mut h);
    assert_eq!(given(&h, "bass-drum").player, Some(player("N. Okafor")), "{}", h.state().view.said);
    h.key_press(Key::P);
    settle(&mut h);
    assert!(given(&h, "bass-drum").locked);
    h.key_press(Key::Delete);
    settle(&mut h);
    assert_eq!(given(&h, "bass-drum").player, None);
}

#[test]
fn a_lane_that_does_not_fit_says_why_and_alt_gives_all_the_same() {
    let mut h = board();
    let (from, to) = (strip(&h, "marimba"), lane(&h, "N. Okafor"));
    drag(&mut h, from, to);
    assert_eq!(given(&h, "marimba").player, Some(player("N. Okafor")));
    // The triangle sounds while the marimba does: the lane says so while it is in the air, and it is not given,
    // even when it is let go on the marimba's own strip.
    let (from, to) = (strip(&h, "triangle"), strip(&h, "marimba"));
    h.drag_at(from);
    settle(&mut h);
    h.hover_at(to);
    settle(&mut h);
    assert!(in_view(&h, |l| l.starts_with("Lane N. Okafor, No: ")).is_some(), "the lane answers");
    assert!(in_view(&h, |l| l.starts_with("Lane L. Brandt, Fits")).is_some(), "all lanes answer");
    h.drop_at(to);
    settle(&mut h);
    assert_eq!(given(&h, "triangle").player, None);
    assert!(h.state().view.said.starts_with("No: "), "{}", h.state().view.said);
    h.key_press(Key::Escape);
    settle(&mut h);
    let triangle = line("triangle");
    let library = h.state().history.now().clone();
    h.state_mut().view.turn_to_line(&library, &triangle);
    settle(&mut h);
    h.key_press(Key::Enter);
    settle(&mut h);
    h.key_press_modifiers(Modifiers::ALT, Key::Num1);
    settle(&mut h);
    assert_eq!(given(&h, "triangle").player, Some(player("N. Okafor")), "{}", h.state().view.said);
    assert!(has_clash(&h), "one player in two places at once is found");
}

#[test]
fn a_line_let_go_on_another_strip_goes_to_its_player() {
    let mut h = board();
    let (from, to) = (strip(&h, "bass drum"), lane(&h, "N. Okafor"));
    drag(&mut h, from, to);
    assert_eq!(given(&h, "bass-drum").player, Some(player("N. Okafor")));
    let (from, to) = (strip(&h, "glockenspiel"), strip(&h, "bass drum"));
    drag(&mut h, from, to);
    assert_eq!(given(&h, "glockenspiel").player, Some(player("N. Okafor")), "{}", h.state().view.said);
}

#[test]
fn a_player_dragged_onto_a_line_is_judged_like_a_line_dragged_to_a_player() {
    let mut h = board();
    let head = |h: &Harness<'_, App>, name: &str| pos2(160.0, lane(h, name).y);
    let (from, to) = (head(&h, "N. Okafor"), strip(&h, "marimba"));
    drag(&mut h, from, to);
    assert_eq!(given(&h, "marimba").player, Some(player("N. Okafor")), "{}", h.state().view.said);
    let (from, to) = (head(&h, "N. Okafor"), strip(&h, "triangle"));
    drag(&mut h, from, to);
    assert_eq!(given(&h, "triangle").player, None);
    assert!(h.state().view.said.starts_with("No: "), "{}", h.state().view.said);
}

#[test]
fn the_empty_length_of_a_lane_carries_nobody() {
    let mut h = board();
    let (from, to) = (pos2(800.0, lane(&h, "N. Okafor").y), strip(&h, "marimba"));
    drag(&mut h, from, to);
    assert_eq!(given(&h, "marimba").player, None, "{}", h.state().view.said);
}

#[test]
fn the_proof_stands_and_a_proposal_keeps_pins_and_is_one_step() {
    let mut h = board();
    assert!(in_view(&h, |l| l.starts_with("Needs 3 players: ")).is_some(), "the proof is a sentence");
    let (from, to) = (strip(&h, "marimba"), lane(&h, "L. Brandt"));
    drag(&mut h, from, to);
    h.key_press(Key::P);
    settle(&mut h);
    if !given(&h, "marimba").locked {
        let (library, marimba) = (h.state().history.now().clone(), line("marimba"));
        h.state_mut().view.turn_to_line(&library, &marimba);
        settle(&mut h);
        h.key_press(Key::P);
        settle(&mut h);
    }
    assert!(given(&h, "marimba").locked);
    let before = h.state().history.now().clone();
    h.get_by_label("Propose").click();
    settle(&mut h);
    assert!(
        in_view(&h, |l| l == "Proposal").is_some(),
        "it stands beside the board: {}",
        h.state().view.said
    );
    assert_eq!(*h.state().history.now(), before, "nothing is given before it is taken");
    // What is asked for is a limit, and not how many it came to.
    let (before_it, after_it) = (h.get_by_label("At most").rect(), h.get_by_label("players").rect());
    assert!(before_it.right() < after_it.left() && before_it.y_range().intersects(after_it.y_range()));
    h.get_by_label("Accept it").click();
    wait_for(&mut h, |app| app.view.said.starts_with("Accepted"));
    for name in ["xylophone", "glockenspiel", "marimba", "triangle", "bass-drum"] {
        assert!(given(&h, name).player.is_some(), "{name}: {}", h.state().view.said);
    }
    assert_eq!(given(&h, "marimba").player, Some(player("L. Brandt")));
    assert!(!has_clash(&h), "nobody is in two places");
    undo(&mut h);
    assert_eq!(*h.state().history.now(), before);
}

/// What was done by hand stays without being locked, and the proposal says in one line what it is better in.
#[test]
fn a_proposal_keeps_what_was_done_by_hand_and_says_what_it_is_better_in() {
    let mut h = board();
    let (from, to) = (strip(&h, "marimba"), lane(&h, "L. Brandt"));
    drag(&mut h, from, to);
    assert!(given(&h, "marimba").by_hand && !given(&h, "marimba").locked);
    h.key_press(Key::S);
    settle(&mut h);
    let better =
        in_view(&h, |l| l.contains("lines change. Better than now: ") && l.contains("with a player"));
    assert!(better.is_some(), "{}", h.state().view.said);
    assert!(in_view(&h, |l| l == "The line that you assigned by hand stays.").is_some());
    h.key_press(Key::T);
    h.run();
    assert_eq!(given(&h, "marimba").player, Some(player("L. Brandt")));
    assert!(given(&h, "marimba").by_hand, "the next proposal leaves it as well");
    assert!(!given(&h, "xylophone").by_hand, "what was proposed may be proposed otherwise");
}

#[test]
fn a_given_line_is_dragged_back_to_the_tray() {
    let mut h = board();
    let (from, to) = (strip(&h, "marimba"), lane(&h, "L. Brandt"));
    drag(&mut h, from, to);
    let (from, to) = (strip(&h, "marimba"), centre(&h, "Not assigned yet"));
    drag(&mut h, from, to);
    assert_eq!(given(&h, "marimba").player, None);
}

/// One strip is taken, Esc puts the rest back; the keys do the same as the buttons.
#[test]
fn a_proposal_is_taken_strip_by_strip() {
    let mut h = board();
    h.key_press(Key::S);
    settle(&mut h);
    // The button comes with the pointer.
    let row = in_view(&h, |l| l.starts_with("Xylophone to ")).expect("the row");
    h.hover_at(row);
    h.run();
    h.get_by_label_contains("Accept Xylophone for ").click();
    settle(&mut h);
    assert!(given(&h, "xylophone").player.is_some(), "{}", h.state().view.said);
    assert_eq!(given(&h, "marimba").player, None, "one strip only");
    assert!(h.query_by_label_contains("Accept Xylophone for ").is_none(), "it is done");
    h.key_press(Key::Escape);
    settle(&mut h);
    assert!(in_view(&h, |l| l == "Proposal").is_none());
    assert_eq!(given(&h, "marimba").player, None);
    h.key_press(Key::S);
    settle(&mut h);
    h.key_press(Key::T);
    settle(&mut h);
    assert!(given(&h, "marimba").player.is_some(), "{}", h.state().view.said);
}

#[test]
fn what_if_tells_what_breaks_and_the_repair_that_changes_least() {
    let mut h = board();
    h.key_press(Key::S);
    settle(&mut h);
    h.key_press(Key::T);
    settle(&mut h);
    let before = h.state().history.now().clone();
    let who = given(&h, "xylophone").player.expect("given");
    let name = before.player_name(&who);
    h.key_press(Key::W);
    settle(&mut h);
    h.get_by_label(&format!("Without {name}")).click();
    settle(&mut h);
    // Three play and all three are needed: without one of them nobody can manage, or somebody steps in.
    let said = in_view(&h, |l| l.contains("left without a player") || l.contains("nobody can manage"));
    assert!(said.is_some(), "{}", h.state().view.said);
    h.key_press(Key::W);
    settle(&mut h);
    h.get_by_label("One player fewer").click();
    settle(&mut h);
    assert!(in_view(&h, |l| l.contains("2 players are not enough")).is_some());
    assert_eq!(*h.state().history.now(), before, "asking changes nothing");
}

#[test]
fn the_tightest_moves_are_listed_and_the_question_is_turned_to_the_programme() {
    let mut h = board();
    h.key_press(Key::S);
    settle(&mut h);
    h.key_press(Key::T);
    settle(&mut h);
    h.key_press(Key::M);
    settle(&mut h);
    assert!(in_view(&h, |l| l.contains("→") && l.contains("needs")).is_some(), "moves with their seconds");
    h.key_press(Key::G);
    settle(&mut h);
    assert!(in_view(&h, |l| l.starts_with("The programme needs ")).is_some());
}

/// The sheet stands in the panel's stead: a strip that stays keeps its place and length.
#[test]
fn a_proposal_leaves_the_time_axis_as_it_is() {
    let mut h = board();
    let (from, to) = (strip(&h, "bass drum"), lane(&h, "N. Okafor"));
    drag(&mut h, from, to);
    let before = strip(&h, "bass drum");
    h.key_press(Key::S);
    wait_for(&mut h, |app| app.places.section.has_sheet());
    settle(&mut h);
    assert!(in_view(&h, |l| l == "Proposal").is_some());
    assert!((strip(&h, "bass drum").x - before.x).abs() < 1.0, "{before:?}, {:?}", strip(&h, "bass drum"));
    assert!(in_view(&h, |l| l == "Findings").is_none(), "the panel is away meanwhile");
}

/// What stands at the foot beside the lines without a player is for the line that is selected, and says so.
#[test]
fn cards_at_the_foot_say_for_which_line_they_are() {
    let mut h = board();
    let (library, marimba) = (h.state().history.now().clone(), line("marimba"));
    h.state_mut().view.turn_to_line(&library, &marimba);
    settle(&mut h);
    assert!(in_view(&h, |l| l.starts_with("Card ")).is_some());
    assert!(in_view(&h, |l| l.starts_with("Card ") && !l.ends_with(" for Marimba")).is_none());
}
