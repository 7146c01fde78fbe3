//! The first day, from nothing to the printed pack, by keyboard alone: an orchestra of one's own, its spreadsheet, its stage, a
//! score, a programme, assignments, a floor, paper. Nothing is clicked, and nothing is reached but by Tab and keys.

mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::library::Library;
use egui::{Event, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::path::Path;
use window::{harness, score, settle, wait_for};

/// So many steps with Tab reach anything in the window.
const STEPS: usize = 400;

/// A person at the keyboard.
struct Typist {
    window: Harness<'static, App>,
}

impl Typist {
    fn press(&mut self, modifiers: Modifiers, key: Key) {
        self.window.key_press_modifiers(modifiers, key);
        settle(&mut self.window);
    }

    fn types(&mut self, text: &str) {
        self.window.event(Event::Text(text.to_owned()));
        self.window.run();
    }

    /// What has the focus: its label.
    fn focused(&self) -> Option<String> {
        let node = self
            .window
            .query_all(egui_kittest::kittest::by().predicate(|node| node.is_focused() && !node.is_hidden()))
            .next()?;
        node.accesskit_node().label().or_else(|| node.accesskit_node().value())
    }

    /// Presses Tab until something of that name has the focus.
    fn tab_to(&mut self, fits: impl Fn(&str) -> bool, what: &str) {
        let mut seen = Vec::new();
        for _ in 0..STEPS {
            self.window.key_press(Key::Tab);
            self.window.run();
            let Some(label) = self.focused() else { continue };
            if fits(&label) {
                return;
            }
            if !seen.contains(&label) {
                seen.push(label);
            }
        }
        panic!("Tab does not lead to {what}; it leads to {seen:#?}; {}", self.said());
    }

    /// Presses a button that Tab leads to.
    fn pushes(&mut self, start: &str) {
        self.tab_to(|label| label.starts_with(start), start);
        self.press(Modifiers::NONE, Key::Space);
    }

    /// Answers a question for a path.
    fn answers(&mut self, path: &Path) {
        self.press(Modifiers::COMMAND, Key::A);
        self.types(&path.display().to_string());
        self.press(Modifiers::NONE, Key::Enter);
    }

    fn said(&self) -> String {
        self.window.state().view.said.clone()
    }

    fn library(&self) -> Library {
        self.window.state().history.now().clone()
    }

    fn goes_to(&mut self, place: Place) {
        let go = backrow::actions::Action::ALL.iter().find(|action| action.goes_to() == Some(place));
        let key = go.expect("each place has a key").shortcut();
        self.press(key.modifiers, key.logical_key);
        assert_eq!(self.window.state().view.place, place, "{}", self.said());
    }
}

const INSTRUMENTS: &str = "Percussion inventory;;;;;\nInventory no.;Instrument;Range;Owner;Width cm;kg\n\
    1;Xylophone;F4 - C8;orchestra;145;38\n2;Glockenspiel;G5 - C8;orchestra;76;12\n3;Timpani;;orchestra;;\n\
    4;Snare;;R. Vane;;4,5\n5;Bass drum;;orchestra;;30\n6;sus cym;;orchestra;;3\n7;Triangle;;orchestra;;0,4\n\
    8;Tubular bells;C4 - F5;orchestra;90;45\n9;Vibraphone;F3 - F6;orchestra;140;60\n";
const PLAYERS: &str = "Player,Initials,Position\nRuth Vane,RV,principal\nAda Moss,AM,timpanist\n\
    Leo Finch,LF,section\nIda Holm,IH,section\nBen Marsh,BM,section\n";

/// Three rehearsals in one series, and a concert.
fn calendar(title: &str) -> String {
    let series = "UID:tuesdays\r\nDTSTART;TZID=W. Europe Standard Time:20271019T100000\r\nDURATION:PT2H30M\r\nRRULE:FREQ=WEEKLY;COUNT=3";
    let concert = "UID:concert\r\nDTSTART:20271030T173000Z\r\nDURATION:PT2H";
    let event = |lines: &str, what: &str| {
        format!("BEGIN:VEVENT\r\n{lines}\r\nSUMMARY:{what} {title}\r\nEND:VEVENT\r\n")
    };
    let events = event(series, "Rehearsal") + &event(concert, "Concert");
    format!("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n{events}END:VCALENDAR\r\n")
}

#[test]
#[expect(clippy::too_many_lines, reason = "one day, told through")]
fn from_nothing_to_the_printed_pack_by_keyboard_alone() {
    const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
    let home = tempfile::tempdir().expect("a temporary folder");
    let at = |name: &str| home.path().join(name);
    std::fs::write(at("inventory.csv"), INSTRUMENTS).expect("made here");
    std::fs::write(at("roster.csv"), PLAYERS).expect("made here");
    let demo = at("demo");
    backrow_files::library::copy_demo(&demo).expect("the demo library");
    let mut app = App::open(&demo, Settings::default(), Some(at("settings.ron")));
    app.welcome();
    let mut me = Typist { window: harness(app) };

    // The first start: an invented orchestra is open, and one's own is begun.
    me.pushes("Begin mine");
    me.answers(&at("Westmere"));
    wait_for(&mut me.window, |app| app.history.now().instruments.is_empty());
    assert!(me.window.state().view.first_steps, "the first steps are shown: {}", me.said());

    // Its name, by the list of first steps.
    me.pushes("Name the orchestra");
    me.tab_to(|label| label == "Orchestra", "the orchestra's name");
    let typing = |me: &Typist| {
        let field =
            egui_kittest::kittest::by().predicate(|n| n.is_focused() && n.role() == egui::Role::TextInput);
        me.window.query_all(field).next().is_some()
    };
    // The tab has the name too.
    for _ in 0..3 {
        if !typing(&me) {
            me.tab_to(|label| label == "Orchestra", "the orchestra's name");
        }
    }
    assert!(typing(&me), "the field has the focus");
    me.types("Westmere Orchestra");
    me.pushes("Save");
    assert_eq!(me.library().orchestra.name, "Westmere Orchestra", "{}", me.said());

    // Players, then instruments, from the orchestra's own tables.
    me.press(CTRL_SHIFT, Key::I);
    me.answers(&at("roster.csv"));
    me.pushes("Import 5 players");
    assert_eq!(me.library().players.len(), 5, "{}", me.said());
    me.press(CTRL_SHIFT, Key::I);
    me.answers(&at("inventory.csv"));
    me.pushes("Import 9 instruments");
    let library = me.library();
    assert_eq!(library.instruments.len(), 9, "{}", me.said());
    let lent = library
        .instruments
        .values()
        .filter(|thing| matches!(thing.owner, backrow_core::collection::Owner::Other(_)));
    assert_eq!(lent.count(), 0, "the orchestra's and a player's");

    // A programme, and the score that is played in it.
    me.press(CTRL_SHIFT, Key::N);
    me.press(Modifiers::COMMAND, Key::R);
    me.answers(&score());
    wait_for(&mut me.window, |app| app.places.works.is_reviewing());
    me.tab_to(
        |label| label.starts_with("Import ") && label.ends_with(" lines"),
        "the button that imports it",
    );
    me.press(Modifiers::NONE, Key::Space);
    assert_eq!(me.library().works.len(), 1, "{}", me.said());

    // A service, its day typed as one would write it.
    me.goes_to(Place::Week);
    me.press(Modifiers::COMMAND, Key::N);
    me.press(Modifiers::COMMAND, Key::A);
    me.types("12 oct 2027");
    me.press(Modifiers::NONE, Key::Enter);
    let starts: Vec<String> =
        me.library().services().map(|service| service.start.date().to_string()).collect();
    assert_eq!(starts, ["2027-10-12"], "{}", me.said());

    // The other services come out of the orchestra's calendar: a series in the hours of a zone by its Windows name, and a concert in UTC.
    let title = me.library().works.values().next().expect("read above").title.clone();
    std::fs::write(at("autumn.ics"), calendar(&title)).expect("made here");
    me.press(CTRL_SHIFT, Key::D);
    me.answers(&at("autumn.ics"));
    me.pushes("Import 4 services");
    let mut starts: Vec<String> = me.library().services().map(|service| service.start.to_string()).collect();
    starts.sort_unstable();
    // Europe goes back to winter time on 31 October 2027 (Directive 2000/84/EC: the last Sunday of October); 17:30 UTC is 19:30 before.
    let expected = [
        "2027-10-12",
        "2027-10-19T10:00:00",
        "2027-10-26T10:00:00",
        "2027-10-30T19:30:00",
        "2027-11-02T10:00:00",
    ];
    assert!(starts.len() == 5 && starts.iter().zip(expected).all(|(a, b)| a.starts_with(b)), "{starts:?}");
    assert_eq!(me.library().orchestra.zone, "Europe/Berlin", "{}", me.said());

    // The stage: a floor by its corners, typed, with a riser.
    me.goes_to(Place::Floor);
    me.pushes("Draw a new venue");
    me.tab_to(|label| label == "Name", "the venue's name");
    me.types("Town Hall");
    me.pushes("Add a riser");
    me.tab_to(|label| label == "floor", "the floor among the parts");
    me.press(Modifiers::NONE, Key::Space);
    me.tab_to(|label| label == "Corners", "the corners");
    me.press(Modifiers::COMMAND, Key::A);
    me.types("-8, 0\n8, 0\n8, 10\n-8, 10");
    me.press(Modifiers::COMMAND, Key::Enter);
    let library = me.library();
    let hall = library.venues.values().next().unwrap_or_else(|| panic!("{}", me.said()));
    assert_eq!((hall.name.as_str(), hall.risers.len()), ("Town Hall", 1));
    assert!(hall.floor.iter().any(|corner| (corner.x - 8.0).abs() < 1e-9 && (corner.y - 10.0).abs() < 1e-9));
    assert!(library.programmes().all(|(_, programme)| programme.venue.as_ref() == Some(&hall.id)));

    // Instruments and beaters are proposed, then players.
    me.press(CTRL_SHIFT, Key::P);
    me.press(Modifiers::NONE, Key::Enter);
    let equipped = |library: &Library| {
        let programmes = library.programmes().map(|(_, programme)| programme.clone());
        programmes
            .flat_map(|p| p.lines().map(|(_, given)| given.clone()).collect::<Vec<_>>())
            .filter(|given| !given.instruments.is_empty())
            .count()
    };
    assert!(equipped(&me.library()) > 0, "{}", me.said());
    me.press(Modifiers::NONE, Key::Escape);
    me.goes_to(Place::Section);
    me.press(Modifiers::NONE, Key::S);
    settle(&mut me.window);
    me.press(Modifiers::NONE, Key::T);
    settle(&mut me.window);
    let played = |library: &Library| {
        let programmes = library.programmes().map(|(_, programme)| programme.clone());
        programmes
            .flat_map(|p| p.lines().map(|(_, given)| given.clone()).collect::<Vec<_>>())
            .filter(|given| given.player.is_some())
            .count()
    };
    assert!(played(&me.library()) > 0, "{}", me.said());

    // The floor: places are proposed and accepted, then one thing is moved and turned.
    me.goes_to(Place::Floor);
    me.press(Modifiers::NONE, Key::P);
    settle(&mut me.window);
    me.press(Modifiers::NONE, Key::T);
    let standing = |library: &Library| {
        let places = library.programmes().flat_map(|(_, programme)| programme.setup.places());
        places.map(|(id, place)| (id.clone(), *place)).collect::<Vec<_>>()
    };
    let proposed = standing(&me.library());
    assert!(!proposed.is_empty(), "{}", me.said());

    // Paper.
    let pack = at("pack");
    let printed = |me: &mut Typist| {
        me.press(Modifiers::COMMAND, Key::P);
        me.pushes("Print all ticked");
        me.answers(&pack);
        wait_for(&mut me.window, |app| app.view.said.starts_with("Printed"));
        assert!(std::fs::read_dir(&pack).map_or(0, Iterator::count) > 0, "{}", me.said());
        me.press(Modifiers::NONE, Key::Escape);
    };
    printed(&mut me);
    assert!(me.window.state().view.has_printed);
    let version = |number: u32| {
        let all = std::fs::read_dir(at("Westmere").join("printed")).expect("what was printed is remembered");
        let texts = all.filter_map(|entry| std::fs::read_to_string(entry.ok()?.path()).ok());
        let compact = texts.map(|text| text.split_whitespace().collect::<String>());
        compact.filter(|text| text.contains(&format!("\"number\":{number},\"mark\""))).count()
    };
    assert!(version(1) > 0 && version(2) == 0, "the first print of everything");

    // Something moves, and what it stands on goes out in another version.
    me.press(Modifiers::NONE, Key::PageDown);
    me.press(Modifiers::SHIFT, Key::ArrowRight);
    me.press(Modifiers::NONE, Key::R);
    let moved = standing(&me.library());
    assert_ne!(moved, proposed, "{}", me.said());
    printed(&mut me);
    assert!(
        version(2) > 0 && version(1) > 0,
        "what changed has another version, and what did not keeps its own"
    );

    // Closed and opened again, everything is there.
    let kept = me.library();
    drop(me);
    let kinds = backrow_files::kinds::standard().expect("the kinds table");
    let opened = backrow_files::library::open(&at("Westmere"), &kinds);
    assert!(opened.problems.is_empty() && opened.library.is_same(&kept), "{:?}", opened.problems);
}
