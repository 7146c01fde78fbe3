//! Places proposed on Floor, by accessible labels: what they do to the seconds, and a setup for each work where the stage is small.

mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::edit::{Edit, apply};
use backrow_core::evening::Evening;
use backrow_core::id::{ProgrammeId, VenueId};
use backrow_core::library::Library;
use backrow_core::stage::Furnishing;
use backrow_core::week::{Programme, Setup};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use window::settle;

fn demo() -> Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    let kinds = backrow_files::kinds::standard().expect("the kinds table");
    backrow_files::library::open(&folder, &kinds).library
}

fn tidelands() -> ProgrammeId {
    ProgrammeId::new("tidelands").expect("an id")
}

/// The demo with its largest programme in another venue, and nothing on the floor.
fn bare(venue: &str) -> Library {
    let library = demo();
    let mut programme = library.programme(&tidelands()).expect("there").clone();
    let week = library.week_of(&tidelands()).expect("its week").id.clone();
    (programme.venue, programme.setup) = (VenueId::new(venue).ok(), Setup::default());
    apply(&library, &Edit::PutProgramme { week, programme }).expect("it can be put")
}

fn floor(library: Library) -> Harness<'static, App> {
    let mut app = App::on_library(library, Settings { place: Place::Floor, ..Settings::default() });
    app.view.programme = Some(tidelands());
    window::harness(app)
}

fn programme(h: &Harness<'_, App>) -> Programme {
    h.state().history.now().programme(&tidelands()).expect("there").clone()
}

/// On the pit of Pier Theatre not everything stands at once: each work is proposed a setup of its own, with what is carried between them,
/// before anything is accepted; accepted it is one step of undo.
#[test]
fn a_stage_too_small_for_all_works_is_set_up_for_each() {
    let mut h = floor(bare("pier-theatre"));
    h.key_press(Key::P);
    settle(&mut h);
    assert!(h.query_by_label_contains("The floor is too small for all works at once").is_some());
    assert!(h.query_by_label("Between works, as proposed").is_some(), "{}", h.state().view.said);
    let named =
        h.query_all_by_label_contains("bring ").count() + h.query_all_by_label_contains("move ").count();
    assert!(named > 0, "what is carried is told");
    assert!(programme(&h).setup.is_empty(), "nothing is accepted yet");
    h.key_press(Key::T);
    settle(&mut h);
    let after = programme(&h);
    assert!(after.setup.of_works().next().is_some(), "{}", h.state().view.said);
    let library = h.state().history.now().clone();
    let evening = Evening::of(&library, &after);
    for (work, floor) in evening.floors() {
        let checks = floor.checks();
        assert!(checks.overlaps.is_empty() && checks.troubles.is_empty(), "{work:?}");
    }
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert!(programme(&h).setup.is_empty(), "one step");
}

/// What the places do to the moves stands whole above the plan, in a window of 1280 by 800.
#[test]
fn what_the_places_do_stands_whole() {
    let mut h = floor(bare("quay-hall"));
    h.key_press(Key::P);
    settle(&mut h);
    let accept = h.get_by_label("Accept them").rect();
    let said = h.get_by_label_contains("shorter").rect();
    assert!(said.top() >= accept.bottom(), "below the buttons: {said:?}");
    assert!(said.right() <= 1280.0 && said.height() <= 60.0, "{said:?}");
}

/// A stand at every place at which somebody plays, a stool at the timpani; as many go along as stand there. U hides them.
#[test]
fn stands_and_stools_are_part_of_the_stations() {
    let library = demo();
    let programme = library.programme(&tidelands()).expect("there");
    let evening = Evening::of(&library, programme);
    let on = |what: Furnishing| {
        let count = |floor: &backrow_core::evening::Floor| {
            floor.furniture(&library).iter().filter(|one| one.what == what).count()
        };
        evening.floors().map(|(_, floor)| count(floor)).max().unwrap_or(0)
    };
    assert!(on(Furnishing::MusicStand) > 3 && on(Furnishing::Stool) > 0);
    let [(_, stands), (_, stools)] = evening.furnishings();
    assert!(stands >= on(Furnishing::MusicStand) && stools == on(Furnishing::Stool));
    let sheet = backrow::sheets::stage_plan(&evening);
    assert_eq!(sheet.furniture.len(), evening.floor(None).furniture(&library).len());
    let list = backrow::sheets::load_list(&evening, backrow_core::loads::Way::StoreToStage);
    let pieces = list.rooms.iter().flat_map(|room| &room.things).flat_map(|thing| &thing.pieces);
    let count = |words: &str| {
        pieces
            .clone()
            .filter(|piece| piece.what.starts_with(words))
            .map(|piece| piece.count as usize)
            .sum::<usize>()
    };
    assert_eq!((count("music stand"), count("stool")), (stands, stools));
}
