//! Nothing that is named by the user pushes a control off the window, in any place, at 1024 by 700.

#[path = "window/over.rs"]
mod over;
mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::{Over, Place, Selected};
use backrow_core::edit::{Edit, apply};
use backrow_core::library::Library;
use egui::{Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use rstest::rstest;
use window::settle;

/// 120 letters with hardly a place to break.
fn long(begin: &str) -> String {
    let mut name = format!("{begin} of the Old Customs Orchestra and the Harbourmaster’s ");
    while name.chars().count() < 120 {
        name.push_str("Grand");
    }
    name.chars().take(120).collect()
}

/// The demo with every name as long as that.
fn library() -> Library {
    let folder = tempfile::tempdir().expect("made here");
    let at = folder.path().join("library");
    backrow_files::library::copy_demo(&at).expect("made here");
    let library = App::open(&at, Settings::default(), None).history.now().clone();
    let lengthen = |library, edit: &Edit| apply(&library, edit).expect("a longer name is no fault");
    longer(&library).iter().fold(library, lengthen)
}

/// What makes every name of a library as long as that.
fn longer(library: &Library) -> Vec<Edit> {
    let mut edits: Vec<Edit> = Vec::new();
    edits.extend(library.instruments.values().map(|thing| {
        let mut thing = (**thing).clone();
        thing.name = long(&thing.name);
        Edit::PutInstrument(thing)
    }));
    edits.extend(library.players.values().map(|player| {
        let mut player = (**player).clone();
        player.name = long(&player.name);
        player.role = long(&player.role);
        Edit::PutPlayer(player)
    }));
    edits.extend(library.works.values().map(|work| {
        let mut work = (**work).clone();
        work.title = long(&work.title);
        work.composer = long(&work.composer);
        for movement in &mut work.movements {
            movement.title = long(&movement.title);
        }
        Edit::PutWork(work)
    }));
    edits.extend(library.weeks.values().map(|week| {
        let mut week = (**week).clone();
        week.title = long(&week.title);
        for programme in &mut week.programmes {
            programme.title = long(&programme.title);
        }
        Edit::PutWeek(week)
    }));
    edits.extend(library.venues.values().map(|venue| {
        let mut venue = (**venue).clone();
        venue.name = long(&venue.name);
        Edit::PutVenue(venue)
    }));
    edits.extend(library.places.values().map(|place| {
        let mut place = (**place).clone();
        place.name = long(&place.name);
        Edit::PutPlace(place)
    }));
    edits.extend(library.beaters.values().map(|beater| {
        let mut beater = (**beater).clone();
        beater.name = long(&beater.name);
        Edit::PutBeater(beater)
    }));
    edits
}

/// A window of the smallest size that is spoken of.
fn small_window(place: Place) -> Harness<'static, App> {
    let app = App::on_library(library(), Settings { place, ..Settings::default() });
    let mut h = Harness::builder()
        .with_size(vec2(1024.0, 700.0))
        .with_theme(egui::Theme::Light)
        .with_max_steps(40)
        .build_ui_state(|ui, app: &mut App| app.ui(ui), app);
    settle(&mut h);
    h
}

const CONTROLS: [Role; 8] = [
    Role::Button,
    Role::CheckBox,
    Role::RadioButton,
    Role::ComboBox,
    Role::TextInput,
    Role::SearchInput,
    Role::SpinButton,
    Role::Slider,
];

/// The controls that stick out of the window at the left or the right.
fn off(h: &Harness<'_, App>) -> Vec<String> {
    let window = h.ctx.content_rect();
    let mut found = Vec::new();
    for role in CONTROLS {
        for node in h.query_all_by_role(role) {
            let (rect, label) = (node.rect(), node.accesskit_node().label().unwrap_or_default());
            // Cards of the palette lie in a row that is scrolled.
            let scrolled = label.starts_with("Place ") && rect.top() > window.bottom() - 120.0;
            let sticks_out = rect.right() > window.right() + 0.5 || rect.left() < window.left() - 0.5;
            if sticks_out && !scrolled {
                found.push(format!("{role:?} “{}” at {rect:?}", label.chars().take(40).collect::<String>()));
            }
        }
    }
    found
}

#[rstest]
fn no_name_pushes_a_control_off_the_window(
    #[values(
        Place::Section,
        Place::Compass,
        Place::Floor,
        Place::BarView,
        Place::Week,
        Place::Season,
        Place::Works,
        Place::Collection,
        Place::Sounds
    )]
    place: Place,
) {
    let mut h = small_window(place);
    assert_eq!(off(&h), [] as [String; 0], "{place:?}");
    let app = h.state_mut();
    let now = app.history.now().clone();
    let programme = app.view.programme_in(&now).expect("made here");
    let line = programme.lines().next().expect("made here").0.clone();
    let thing = now.instruments.keys().next().expect("made here").clone();
    let player = now.players.keys().next().expect("made here").clone();
    for selected in [Selected::Line(line), Selected::Instrument(thing), Selected::Player(player)] {
        h.state_mut().view.selected = Some(selected);
        settle(&mut h);
        assert_eq!(off(&h), [] as [String; 0], "{place:?}");
    }
}

/// Every tab of Collection, and its form for a new thing and for one that is there: owned by somebody with a long name, kept in a
/// store with one.
#[rstest]
fn no_name_pushes_a_control_off_a_form(
    #[values("Instruments", "Beaters", "Players", "Stores", "Orchestra", "Tuning")] tab: &str,
) {
    let mut h = small_window(Place::Collection);
    let now = h.state().history.now().clone();
    let player = now.players.keys().next().expect("made here").clone();
    let store = now.places.keys().next().expect("made here").clone();
    let (id, thing) = now.instruments.iter().next().expect("made here");
    let thing = backrow_core::collection::Instrument {
        owner: backrow_core::collection::Owner::Player(player),
        place: Some(store),
        ..(**thing).clone()
    };
    h.state_mut().view.selected = Some(Selected::Instrument(id.clone()));
    h.state_mut().request(backrow::intent::Intent::Edit(Edit::PutInstrument(thing)));
    settle(&mut h);
    h.get_by_role_and_label(Role::Tab, tab).click();
    settle(&mut h);
    assert_eq!(off(&h), [] as [String; 0], "{tab}");
    h.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::N);
    settle(&mut h);
    assert_eq!(off(&h), [] as [String; 0], "{tab}, new");
    for _ in 0..2 {
        h.key_press(egui::Key::Escape);
        h.run();
    }
    h.key_press(egui::Key::Enter);
    settle(&mut h);
    assert_eq!(off(&h), [] as [String; 0], "{tab}, of one that is there");
}

#[rstest]
fn no_name_pushes_a_control_off_a_tab_of_week(
    #[values("Services", "Programme and works", "Hires and loans")] tab: &str,
) {
    let mut h = small_window(Place::Week);
    let now = h.state().history.now().clone();
    let id = h.state().view.programme_in(&now).expect("made here").id.clone();
    let week = now.week_of(&id).expect("made here").id.clone();
    let mut programme = now.programme(&id).expect("made here").clone();
    let venue = now.venues.keys().next().expect("made here").clone();
    programme.venue = Some(venue);
    let parts = programme.lines().filter_map(|(at, _)| Some((at.work.clone(), now.line(at)?.1.part.clone())));
    let parts: Vec<_> = parts.collect();
    let player = now.players.keys().next().expect("made here").clone();
    for (work, part) in parts {
        programme.roster.parts.insert(backrow_core::week::PartRef { work, part }, player.clone());
    }
    for hire in &mut programme.hires {
        hire.instrument = now.instruments.keys().next().cloned();
    }
    h.state_mut().request(backrow::intent::Intent::Edit(Edit::PutProgramme { week, programme }));
    settle(&mut h);
    h.get_by_role_and_label(Role::Tab, tab).click();
    settle(&mut h);
    assert_eq!(off(&h), [] as [String; 0], "{tab}");
    h.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::N);
    settle(&mut h);
    assert_eq!(off(&h), [] as [String; 0], "{tab}, with a form");
}

/// What lies over the places: its controls at the sides, and all of it within the window.
#[rstest]
fn no_name_pushes_a_control_off_a_dialog(
    #[values(
        Over::Question,
        Over::Welcome,
        Over::Importing,
        Over::Leaving,
        Over::Earlier,
        Over::Versions,
        Over::Guide,
        Over::KeyMap,
        Over::Sheets,
        Over::Recording,
        Over::Proposing,
        Over::Remembering,
        Over::Comparing,
        Over::Finder,
        Over::OtherKind
    )]
    over: Over,
) {
    let mut room = over::room_with(Place::Section, longer);
    room.h.set_size(vec2(1024.0, 700.0));
    settle(&mut room.h);
    over::open(&mut room, over);
    settle(&mut room.h);
    assert_eq!(off(&room.h), [] as [String; 0], "{over:?}");
    let ctx = &room.h.ctx;
    let shown = ctx.memory(|memory| memory.area_rect(memory.top_modal_layer()?.id));
    let window = ctx.content_rect().expand(0.5);
    assert!(shown.is_none_or(|shown| window.contains_rect(shown)), "{over:?} at {shown:?}");
}
