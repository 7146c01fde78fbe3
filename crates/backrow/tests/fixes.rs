//! What a finding's button does, one of each sort: a change that undo takes back, and the ways to where it is changed by hand.

mod window;

use backrow::app::App;
use backrow::sample;
use backrow::settings::Settings;
use backrow::view::{Over, Place, Selected};
use backrow_core::collection::Loudness;
use backrow_core::edit::{Edit, apply};
use backrow_core::id::{InstrumentId, KindId, LineId, PlayerId, ProgrammeId, ServiceId, WeekId, WorkId};
use backrow_core::library::Library;
use backrow_core::week::{LineRef, Service, ServiceKind};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::sync::Arc;
use window::{harness, in_view, settle};

fn line(name: &str) -> LineRef {
    LineRef { work: WorkId::new("lanterns").expect("an id"), line: LineId::new(name).expect("an id") }
}

fn player(name: &str) -> PlayerId {
    PlayerId::fresh(name, |_| false)
}

fn programme() -> ProgrammeId {
    ProgrammeId::new("tidelands").expect("an id")
}

/// The small library after these changes.
fn with(edits: Vec<Edit>) -> Library {
    apply(&sample::small(), &Edit::Together { words: String::new(), edits }).expect("made here")
}

fn play_on(name: &str, thing: &str) -> Edit {
    let instruments = vec![InstrumentId::fresh(thing, |_| false)];
    Edit::UseInstruments { programme: programme(), line: line(name), instruments }
}

/// The window at a place, with its findings worked out.
fn at(place: Place, library: Library) -> Harness<'static, App> {
    let mut h = harness(App::on_library(library, Settings { place, ..Settings::default() }));
    settle(&mut h);
    h
}

/// The labels of buttons that hold these words.
fn buttons(h: &Harness<'_, App>, words: &str) -> Vec<String> {
    let all = h.query_all_by_role(egui::Role::Button).filter_map(|node| node.accesskit_node().label());
    all.filter(|label| label.contains(words)).collect()
}

fn press(h: &mut Harness<'_, App>, words: &str) {
    let button = h.query_all_by_label(words).next();
    button.unwrap_or_else(|| panic!("{words} among {:?}", buttons(h, ""))).click_accesskit();
    // What it asks for may press a key, which acts a frame later.
    settle(h);
    settle(h);
}

#[test]
fn a_change_is_made_and_undone() {
    let mut never = (*sample::small().players[&player("N. Okafor")]).clone();
    never.never = vec![KindId::new("xylophone").expect("an id")];
    let give =
        Edit::Assign { programme: programme(), line: line("xylophone"), player: Some(never.id.clone()) };
    let mut h =
        at(Place::Section, with(vec![Edit::PutPlayer(never), give, play_on("xylophone", "Xylophone 1")]));
    let plays = |h: &Harness<'_, App>| {
        let app = h.state();
        app.view.programme_in(app.history.now()).expect("a programme").assignment(&line("xylophone")).player
    };
    assert_eq!(plays(&h), Some(player("N. Okafor")));
    press(&mut h, "Fix: Assign Xylophone to L. Brandt");
    assert_eq!(plays(&h), Some(player("L. Brandt")));
    assert_eq!(buttons(&h, "does not play"), [""; 0], "the finding has gone with it");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert_eq!(plays(&h), Some(player("N. Okafor")));
    assert_eq!(buttons(&h, "does not play").len(), 1);
}

#[test]
fn a_key_of_the_place_is_pressed() {
    let mut h = at(Place::Section, sample::small());
    press(&mut h, "Propose assignments in Section");
    assert!(h.state_mut().places.cancel(Place::Section).is_some(), "a proposal stands beside what is");
}

#[test]
fn a_line_comes_to_hand_where_it_is_changed() {
    // The sample's line sounds B7; Xylophone 2 ends at C7.
    let mut h = at(Place::Compass, with(vec![play_on("xylophone", "Xylophone 2")]));
    press(&mut h, "Choose another instrument on Compass");
    let view = &h.state().view;
    assert_eq!((view.place, view.line.as_ref()), (Place::Compass, Some(&line("xylophone"))));
    assert_eq!(view.selected, Some(Selected::Line(line("xylophone"))));
}

#[test]
fn what_all_lines_lack_is_proposed() {
    let mut h = at(Place::Compass, sample::small());
    press(&mut h, backrow::actions::Action::Propose.label());
    assert_eq!(h.state().shell.over(), Some(Over::Proposing));
}

#[test]
fn a_record_opens_in_its_form() {
    let small = sample::small();
    let mut twin = (*small.instruments[&InstrumentId::fresh("Xylophone 1", |_| false)]).clone();
    twin.id = InstrumentId::new("twin").expect("an id");
    let mut h = at(Place::Collection, with(vec![Edit::PutInstrument(twin)]));
    press(&mut h, "Edit its record in Collection");
    assert!(h.state().places.collection.has_form());
    assert!(matches!(h.state().view.selected, Some(Selected::Instrument(_))));
}

fn service(id: &str, hour: i8) -> Edit {
    let service = Service {
        id: ServiceId::new(id).expect("an id"),
        kind: ServiceKind::Rehearsal,
        programme: programme(),
        venue: None,
        start: jiff::civil::date(2027, 3, 4).at(hour, 0, 0, 0),
        minutes: 150,
        event: String::new(),
    };
    Edit::PutService { week: WeekId::new("week-1").expect("an id"), service }
}

#[test]
fn a_service_opens_in_its_form() {
    let mut h = at(Place::Week, with(vec![service("one", 10), service("two", 11)]));
    assert!(h.query_by_label("Venue of the service").is_none());
    press(&mut h, "Change the service in Week");
    h.get_by_label("Venue of the service");
}

#[test]
fn a_first_service_is_added() {
    let mut h = at(Place::Week, sample::small());
    press(&mut h, "Add a service in Week");
    h.get_by_label("Venue of the service");
}

#[test]
fn a_tab_of_the_week_opens() {
    let mut library = sample::small();
    Arc::make_mut(&mut library.venues).clear();
    let mut h = at(Place::Floor, library);
    press(&mut h, "Choose the venue in Week");
    assert_eq!(h.state().view.place, Place::Week);
    h.get_by_label("Venue of the programme");
}

/// What nothing can be done about has no button, and says why when it is opened.
#[test]
fn what_cannot_be_fixed_says_why() {
    let small = sample::small();
    let loud = small.kinds.values().find(|kind| kind.loud == Some(Loudness::VeryLoud)).expect("in the table");
    let mut work = (**small.works.values().next().expect("a work")).clone();
    work.lines[0].kind = Some(loud.id.clone());
    let mut h = at(Place::Floor, with(vec![Edit::PutWork(work)]));
    let title = buttons(&h, "Very loud in this programme").into_iter().next().expect("it is told");
    assert_eq!(buttons(&h, "loud").len(), 1, "no button beside it");
    h.get_by_label(&title).click();
    h.run();
    assert!(in_view(&h, |words| words == "Nothing in the plan changes how loud it is.").is_some());
}
