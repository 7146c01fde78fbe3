//! Sounds by accessible label: its filters and those of Compass, which are the same; the way there from a finding and from a trial; candidates beyond a dozen, and lines heard from
//! where they stand. The device is none.

#[path = "window/sound_room.rs"]
mod sound_room;
mod window;

use backrow::app::App;
use backrow::sound::Wish;
use backrow::view::Place;
use backrow_core::collection::Point;
use backrow_core::edit::Edit;
use backrow_core::evening::Evening;
use backrow_core::id::{InstrumentId, LineId, ProgrammeId, TrialId, WorkId};
use backrow_core::library::Library;
use backrow_core::recall;
use backrow_core::trial::{Candidate, How, Listener, Trial};
use backrow_core::week::LineRef;
use egui::{Key, Modifiers, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable, by};
use rstest::rstest;
use sound_room::Room;
use std::path::Path;
use window::{in_view, settle, wait_for, wait_until};

const SHIFTED: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// The room with the first programme current.
fn room(place: Place, takes: &[&str], before: impl Fn(&Path)) -> Room {
    let current = |app: &mut App| app.view.programme = Some(ProgrammeId::new("tidelands").expect("an id"));
    sound_room::room(place, takes, before, current)
}

fn id(name: &str) -> InstrumentId {
    InstrumentId::new(name).expect("an id")
}

fn line(work: &str, line: &str) -> LineRef {
    LineRef { work: WorkId::new(work).expect("an id"), line: LineId::new(line).expect("an id") }
}

fn says(h: &Harness<'_, App>, words: &str) -> bool {
    in_view(h, |label| label.contains(words)).is_some()
}

fn click(h: &mut Harness<'_, App>, label: &str) {
    wait_until(h, |h| h.query_all_by_label(label).next().is_some());
    h.query_all_by_label(label).last().expect("there").click_accesskit();
    settle(h);
}

/// Three of the orchestra's own in three places (or none), one lent, two of players, of which the programme at the same hours wants one.
const SIX: [&str; 6] = ["anvil-1", "snare-drum-1", "hammer-box", "triangle-4", "kalimba", "darabuka"];

/// The anvil was recorded, as far as its record says.
fn recorded(library: &Path) {
    let record = library.join("sounds/anvil-1/by-model.ron");
    let text = std::fs::read_to_string(&record).expect("a record");
    std::fs::write(&record, text.replace("by_model: true,", "by_model: false,")).expect("written");
}

/// How many strikes it has.
fn strikes(library: &Library, of: &str) -> usize {
    library.takes_of(&id(of)).map(|take| take.strikes.len()).sum()
}

/// "17 strikes of 4 instruments": what the head of the place says of the map, and the map of itself.
fn on_map(h: &Harness<'_, App>) -> Option<(usize, usize)> {
    let text = |words: String| {
        let says = |text: &Option<String>| text.as_ref().is_some_and(|text| text.contains(&words));
        let all = h.query_all(by().predicate(|node| says(&node.label().or_else(|| node.value()))));
        let mut all = all.map(|node| node.accesskit_node());
        all.find_map(|node| node.label().or_else(|| node.value()))
    };
    let number = |text: &str| text.split([' ', ';']).next().and_then(|first| first.parse().ok());
    let map = text("Map of ".to_owned())?;
    let shown: usize = number(map.strip_prefix("Map of ")?)?;
    let noun = if shown == 1 { "strike" } else { "strikes" };
    let things = text(format!("{shown} {noun} of "))?;
    Some((shown, number(things.split(" of ").nth(1)?)?))
}

/// Opens a list by its name, chooses a row of it, and closes it where it stays open.
fn choose(h: &mut Harness<'_, App>, list: &str, row: &str) {
    let presses = |h: &mut Harness<'_, App>| {
        h.get_by_role_and_label(Role::ComboBox, list).click_accesskit();
        settle(h);
    };
    let is_row = |node: &egui_kittest::Node<'_>| node.accesskit_node().role() == Role::Button;
    presses(h);
    let row_of = |h: &Harness<'_, App>| h.query_all_by_label(row).any(|node| is_row(&node));
    assert!(row_of(h), "{row} in {list}");
    h.query_all_by_label(row).find(is_row).expect("there").click_accesskit();
    settle(h);
    if row_of(h) {
        presses(h);
    }
}

/// What each filter leaves was told from the demo's records by hand: kind, owner, place, mass, and what the other programme of the week
/// plays on the same evening.
#[test]
fn every_filter_leaves_what_the_records_say() {
    let mut room = room(Place::Sounds, &SIX, recorded);
    let h = &mut room.h;
    let library = h.state().history.now().clone();
    wait_until(h, |h| on_map(h).is_some() && !says(h, "being measured"));
    assert_eq!(on_map(h).map(|(_, things)| things), Some(SIX.len()));
    let all = on_map(h);
    // Each is of a kind of its own. A strike that did not ring long enough to be measured is not on the map.
    let by_kind: Vec<(&str, usize)> = SIX
        .into_iter()
        .map(|name| {
            let kind = library.kind_name(&library.instruments[&id(name)].kind);
            choose(h, "Kind", &kind);
            let (shown, things) = on_map(h).unwrap_or_else(|| panic!("{kind} is on the map"));
            assert!(things == 1 && shown > 0 && shown <= strikes(&library, name), "{kind}: {shown}");
            choose(h, "Kind", "Kind all");
            assert_eq!(on_map(h), all, "behind {kind}");
            (name, shown)
        })
        .collect();
    let leaves = |h: &Harness<'_, App>, of: &[&str], why: &str| {
        let shown = by_kind.iter().filter(|(name, _)| of.contains(name)).map(|(_, shown)| shown).sum();
        assert_eq!(on_map(h), Some((shown, of.len())), "{why}");
    };
    leaves(h, &SIX, "no filter");
    let lists: [(&str, &str, &str, &[&str]); 7] = [
        ("Owner", "ours", "all", &["anvil-1", "snare-drum-1", "hammer-box"]),
        ("Owner", "players’ own", "all", &["kalimba", "darabuka"]),
        ("Owner", "lent or hired", "all", &["triangle-4"]),
        ("Store", "Room 1", "any", &["snare-drum-1"]),
        ("Store", "Dock cage", "any", &["hammer-box"]),
        ("Mass", "up to 5\u{202F}kg", "any", &["triangle-4", "kalimba", "darabuka"]),
        ("Mass", "up to 25\u{202F}kg", "any", &["snare-drum-1", "triangle-4", "kalimba", "darabuka"]),
    ];
    for (list, row, back, left) in lists {
        choose(h, list, row);
        leaves(h, left, row);
        choose(h, list, back);
        leaves(h, &SIX, back);
    }
    let switches: [(&str, &[&str]); 2] = [
        ("Free for these services", &["anvil-1", "snare-drum-1", "hammer-box", "triangle-4", "kalimba"]),
        ("Recorded only", &["anvil-1"]),
    ];
    for (switch, left) in switches {
        click(h, switch);
        leaves(h, left, switch);
        click(h, switch);
    }
    // Together they leave what all of them leave; nothing left is said in a sentence.
    choose(h, "Owner", "players’ own");
    click(h, "Recorded only");
    assert!(says(h, "Map of 0 strikes"));
}

/// The same lists stand in Compass, and leave the rows that the records leave: what was never weighed may be heavier than any limit.
#[test]
fn compass_is_filtered_by_mass_too() {
    let mut room = room(Place::Compass, &[], |_| {});
    let h = &mut room.h;
    let library = h.state().history.now().clone();
    let rows = |h: &Harness<'_, App>, kg: f64| {
        let light = |thing: &&std::sync::Arc<backrow_core::collection::Instrument>| {
            thing.is_pitched() && (kg.is_infinite() || thing.whole_mass().is_some_and(|mass| mass.kg <= kg))
        };
        let count = library.instruments.values().filter(light).count();
        let words = format!("{count} of {} instruments", library.instruments.len());
        assert!(says(h, &words), "{words} up to {kg} kg");
        count
    };
    h.state_mut().view.line = None;
    h.run();
    let all = rows(h, f64::INFINITY);
    choose(h, "Mass", "up to 10\u{202F}kg");
    assert!((1..all).contains(&rows(h, 10.0)));
    choose(h, "Mass", "any");
    rows(h, f64::INFINITY);
    // Every choice stays within the middle, in a small window too.
    for width in [1280.0, 1024.0] {
        h.set_size(egui::vec2(width, 800.0));
        settle(h);
        let right = h.get_by_role_and_label(Role::ComboBox, "Sort").rect().right();
        assert!(right <= width - 284.0, "{right} of {width}");
    }
}

/// What is remembered of a take whose file somebody removed is not shown as if it could be heard, wherever takes are listed.
#[test]
fn a_take_whose_file_is_gone_says_so() {
    let mut room = room(Place::Sounds, &["anvil-1", "kalimba"], |library| {
        std::fs::remove_file(library.join("sounds/anvil-1/by-model.flac")).expect("removed");
    });
    let h = &mut room.h;
    wait_until(h, |h| on_map(h).is_some() && !says(h, "being measured"));
    assert_eq!(on_map(h).map(|(_, things)| things), Some(1), "the kalimba alone");
    click(h, "Not read: 1");
    assert!(says(h, "it is not there"));
    h.key_press(Key::Escape);
    h.state_mut().view.selected = Some(backrow::view::Selected::Instrument(id("anvil-1")));
    settle(h);
    assert!(says(h, "the file of one take is missing"), "in the panel");
    assert!(h.query_by_label("Play a strike").is_none(), "nothing is there to be played");
    h.key_press_modifiers(SHIFTED, Key::R);
    settle(h);
    wait_until(h, |h| says(h, "Made by a model: "));
    assert!(says(h, "Its file by-model.flac is missing."), "in the list of its takes");
    let play = h.get_by_label("Play");
    assert!(play.accesskit_node().is_disabled());
}

/// A line that the score leaves open leads to what sounds as it says.
#[test]
fn a_line_of_open_kind_leads_to_a_search_in_its_words() {
    let mut room = room(Place::Sounds, &["anvil-1"], |_| {});
    let h = &mut room.h;
    let at = line("dredgers", "anvil");
    let library = h.state().history.now().clone();
    let mut open = library.line(&at).expect("the demo has it").1.clone();
    open.kind = None;
    open.printed = "found object, dull".to_owned();
    h.state_mut().history.make(&Edit::PutLine { work: at.work.clone(), line: open }).expect("made here");
    settle(h);
    click(h, "Search for its sound in Sounds");
    settle(h);
    assert_eq!((h.state().view.place, h.state().view.line.as_ref()), (Place::Sounds, Some(&at)));
    wait_until(h, |h| h.query_by_role_and_label(Role::SearchInput, "Sound in words").is_some());
    let field = h.get_by_role_and_label(Role::SearchInput, "Sound in words");
    let typed = field.value().unwrap_or_default();
    assert!(typed.contains("found object, dull"), "{typed}");
    wait_until(h, |h| says(h, "darker than") || says(h, "Anvil 1,"));
}

fn trial(library: &Library, at: &LineRef, blind: bool) -> Trial {
    let of = |name: &str| Candidate { instruments: vec![id(name)], ..Candidate::default() };
    Trial {
        id: TrialId::new("t").expect("an id"),
        about: recall::about(library, library.line(at).expect("the demo has it").1),
        when: jiff::civil::date(2027, 10, 1),
        question: String::new(),
        candidates: ["anvil-1", "snare-drum-1", "kalimba"].map(of).to_vec(),
        how: How::Pairs,
        rounds: 1,
        blind,
        seed: 5,
        listeners: vec![Listener { name: "A. Lind".to_owned(), ..Listener::default() }],
        verdict: String::new(),
        conductor: String::new(),
    }
}

#[rstest]
#[case::open(false)]
#[case::blind(true)]
fn candidates_of_a_trial_lie_over_each_other(#[case] blind: bool) {
    let mut room = room(Place::Section, &["anvil-1", "snare-drum-1"], |_| {});
    let h = &mut room.h;
    let at = line("dredgers", "anvil");
    let library = h.state().history.now().clone();
    let trial = trial(&library, &at, blind);
    h.state_mut().history.make(&Edit::PutTrial { work: at.work.clone(), trial }).expect("made here");
    h.state_mut().view.turn_to_line(&library, &at);
    settle(h);
    let button = h.query_all_by_label_contains("Lay over each other: ").next().expect("the panel has it");
    button.click_accesskit();
    settle(h);
    if blind {
        assert_eq!(h.state().view.place, Place::Section);
        assert!(h.state().view.said.contains("The names are hidden"), "{}", h.state().view.said);
        return;
    }
    assert_eq!(h.state().view.place, Place::Sounds);
    wait_until(h, |h| says(h, "A Anvil 1") && says(h, "B Snare drum 1"));
    assert!(h.state().view.said.starts_with("2 of 3 candidates"), "{}", h.state().view.said);
    click(h, "Figures");
    assert!(says(h, "Partials of B"));
}

#[test]
fn candidates_beyond_a_dozen_are_counted_and_reached() {
    let mut room = room(Place::Section, &[], |_| {});
    let h = &mut room.h;
    let library = h.state().history.now().clone();
    let at = line("dredgers", "anvil");
    let anvil = (*library.instruments[&id("anvil-1")]).clone();
    let kind = anvil.kind.clone();
    for n in 0..20 {
        let name = format!("Anvil of the test {n}");
        let one =
            backrow_core::collection::Instrument { id: id(&format!("test-{n}")), name, ..anvil.clone() };
        h.state_mut().history.make(&Edit::PutInstrument(one)).expect("made here");
    }
    let library = h.state().history.now().clone();
    let count = library.instruments.values().filter(|thing| thing.kind == kind).count();
    h.state_mut().view.turn_to_line(&library, &at);
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::H);
    wait_for(h, |app| app.sound.ready().1.len() == 12 && !app.sound.is_working());
    let first: Vec<String> = h.state().sound.ready().1.iter().map(|one| one.label.clone()).collect();
    let more = format!("and {} more", count - 12);
    h.get_by_label(&more).click_accesskit();
    wait_for(h, |app| app.sound.beyond().before == 12 && !app.sound.is_working());
    let second: Vec<String> = h.state().sound.ready().1.iter().map(|one| one.label.clone()).collect();
    assert_eq!((second.len(), h.state().sound.chosen()), (count - 12, 0));
    assert!(second.iter().all(|label| !first.contains(label)), "{second:?}");
    // By key: behind the last of all comes the first of all, and behind the last of a dozen the next dozen.
    for _ in 0..second.len() {
        h.key_press_modifiers(SHIFTED, Key::H);
        h.run();
    }
    wait_for(h, |app| app.sound.beyond().before == 0 && !app.sound.is_working());
    assert_eq!(h.state().sound.ready().1[0].label, first[0]);
    for _ in 0..12 {
        h.key_press_modifiers(SHIFTED, Key::H);
        h.run();
    }
    wait_for(h, |app| app.sound.beyond().before == 12 && !app.sound.is_working());
    h.get_by_label("back to the 12 before").click_accesskit();
    wait_for(h, |app| app.sound.beyond().before == 0 && !app.sound.is_working());
}

/// A line whose player plays nothing else in its movement, on an instrument that stands well aside; its bearing in degrees.
fn alone_and_aside(library: &Library) -> (LineRef, f64) {
    let programme =
        library.programme(&ProgrammeId::new("tidelands").expect("an id")).expect("the demo has it");
    let evening = Evening::of(library, programme);
    let movement = |at: &LineRef| library.line(at).map(|(_, line)| line.movement.clone());
    let all: Vec<_> = programme.lines().collect();
    let found = all.iter().find_map(|(at, given)| {
        let others = all.iter().filter(|(other, with)| {
            other.work == at.work && movement(other) == movement(at) && with.player == given.player
        });
        let bearing = evening.floor(Some(&at.work)).bearing_deg(&given.instruments)?;
        let has_notes = library.line(at).is_some_and(|(_, line)| !line.passages.is_empty());
        (others.count() == 1 && given.player.is_some() && has_notes && bearing.abs() > 8.0)
            .then(|| ((*at).clone(), bearing))
    });
    found.expect("the demo has a line alone and aside")
}

/// The share of the sound at either side is the one of the sine and cosine law at the instrument's bearing; without places both are alike.
#[test]
fn a_line_is_heard_from_where_its_instrument_stands() {
    let mut room = room(Place::Section, &[], |_| {});
    let (h, hand) = (&mut room.h, &room.hand);
    let library = h.state().history.now().clone();
    let (at, bearing) = alone_and_aside(&library);
    h.state_mut().view.turn_to_line(&library, &at);
    h.run();
    h.state_mut().request(backrow::intent::Intent::Sound(Wish::Line(at.clone())));
    wait_for(h, |app| !app.sound.ready().1.is_empty() && !app.sound.is_working());
    assert!(h.query_by_label("From where they stand").is_none(), "one line alone has no place beside others");
    click(h, "With the player’s other lines");
    wait_for(h, |app| app.sound.how().together && !app.sound.is_working());
    assert!(
        hand.played_on_both().iter().all(|[left, right]| (left - right).abs() < 1e-7),
        "from the middle so far"
    );
    click(h, "From where they stand");
    wait_for(h, |app| app.sound.how().from_places && !app.sound.is_working());
    // By hand: the angle of the law is 45 degrees plus the bearing, up to a quarter of a turn.
    let angle = (45.0 + bearing.clamp(-45.0, 45.0)).to_radians();
    let expected = 20.0 * (angle.cos() / angle.sin()).log10();
    // What sounds last: how much is played from the middle before, and while the one fades into the other, is the machine's to say.
    wait_for(h, |_| side_db(&hand.played_on_both()).is_some_and(|is| (is - expected).abs() < 0.01));
}

/// How much louder the left side is than the right, dB, over the last twentieth of a second that sounds.
fn side_db(played: &[[f32; 2]]) -> Option<f64> {
    let sounds = |frame: &&[f32; 2]| frame.iter().any(|side| side.abs() > 1e-6);
    let last: Vec<&[f32; 2]> = played.iter().rev().filter(sounds).take(2400).collect();
    let energy = |side: usize| last.iter().map(|frame| f64::from(frame[side]).powi(2)).sum::<f64>();
    (last.len() == 2400).then(|| 10.0 * (energy(0) / energy(1)).log10())
}

#[test]
fn without_a_conductor_everything_sounds_from_the_middle_and_says_so() {
    let mut room = room(Place::Section, &[], |_| {});
    let (h, hand) = (&mut room.h, &room.hand);
    let library = h.state().history.now().clone();
    let (at, _) = alone_and_aside(&library);
    let programme =
        library.programme(&ProgrammeId::new("tidelands").expect("an id")).expect("the demo has it");
    let hall = &library.venues[programme.venue.as_ref().expect("it has a venue")];
    assert!(hall.conductor.is_some_and(|at: Point| at.y > 0.0));
    let hall = backrow_core::collection::Venue { conductor: None, ..(**hall).clone() };
    h.state_mut().history.make(&Edit::PutVenue(hall)).expect("made here");
    h.state_mut().view.turn_to_line(&library, &at);
    h.run();
    h.state_mut().request(backrow::intent::Intent::Sound(Wish::Line(at)));
    wait_for(h, |app| !app.sound.ready().1.is_empty() && !app.sound.is_working());
    click(h, "With the player’s other lines");
    click(h, "From where they stand");
    wait_for(h, |app| app.view.said.starts_with("Everything sounds from the middle"));
    assert!(hand.played_on_both().iter().all(|[left, right]| (left - right).abs() < 1e-7));
}
