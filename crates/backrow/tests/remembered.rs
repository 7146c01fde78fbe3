//! What a work remembers, entered and found again by keyboard and accessible labels: decisions, trials on stage, drafts, the finder.

mod window;

use backrow::app::App;
use backrow::sample;
use backrow::settings::Settings;
use backrow::view::{Over, Selected};
use backrow_core::id::{InstrumentId, LineId, WorkId};
use backrow_core::trial::{Answer, Memory};
use backrow_core::week::LineRef;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use window::{harness, in_view};

fn at(line: &str) -> LineRef {
    LineRef { work: WorkId::new("lanterns").expect("an id"), line: LineId::new(line).expect("an id") }
}

/// The sample with a current line.
fn on_line(line: &str) -> Harness<'static, App> {
    let mut h = harness(App::on_library(sample::small(), Settings::default()));
    let app = h.state_mut();
    let now = app.history.now().clone();
    app.view.turn_to_line(&now, &at(line));
    h.run();
    h
}

fn memory(h: &Harness<'_, App>) -> Memory {
    h.state().history.now().works[&at("xylophone").work].memory.clone()
}

fn choose(h: &mut Harness<'_, App>, what: &str, name: &str) {
    h.get_by_label(what).click();
    h.run();
    h.get_by_label(name).click();
    h.run();
}

/// Types into a field of the form.
fn type_into(h: &mut Harness<'_, App>, field: &str, text: &str) {
    h.get_by_role_and_label(egui::Role::TextInput, field).focus();
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, field).type_text(text);
    h.run();
}

#[test]
fn a_decision_takes_three_keys_and_a_reason() {
    let mut h = on_line("xylophone");
    let give = backrow_core::edit::Edit::UseInstruments {
        programme: h.state().view.programme.clone().expect("a programme"),
        line: at("xylophone"),
        instruments: vec![InstrumentId::new("xylophone-1").expect("an id")],
    };
    h.state_mut().history.make(&give).expect("made here");
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::D);
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Remembering), "{}", h.state().view.said);
    h.run();
    type_into(&mut h, "Why", "too bright with brass");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    h.run();
    let decision = memory(&h).decisions.first().cloned().expect("it is remembered");
    assert_eq!(decision.why, "too bright with brass");
    assert_eq!(decision.chosen.instruments.first().map(InstrumentId::as_str), Some("xylophone-1"));
    assert!(!decision.chosen.name.is_empty(), "it is called so for ever");
    assert_eq!(h.state().shell.over(), None);
    let told = in_view(&h, |words| words.contains("Xylophone 1; too bright with brass"));
    assert!(told.is_some(), "the panel tells it");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert!(memory(&h).is_empty());
}

#[test]
fn a_decision_for_nothing_says_what_is_missing_and_is_kept_as_a_draft() {
    let mut h = on_line("xylophone");
    h.key_press_modifiers(Modifiers::COMMAND, Key::D);
    h.run();
    h.run();
    type_into(&mut h, "Why", "warmer");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    assert!(in_view(&h, |words| words.starts_with("Choose what was decided on")).is_some());
    h.get_by_label("Cancel").click();
    h.run();
    assert_eq!((h.state().shell.over(), h.state().shell.remembering.unsaved()), (None, 1));
    h.key_press_modifiers(Modifiers::COMMAND, Key::D);
    h.run();
    h.get_by_label("Resume the draft Decision: Xylophone").click();
    h.run();
    choose(&mut h, "Chosen: on", "Xylophone 1");
    assert_eq!(h.state().shell.over(), Some(Over::Remembering), "the list closed alone");
    h.get_by_label("Save").click();
    h.run();
    let decision = memory(&h).decisions.first().cloned().expect("it is remembered");
    assert_eq!(decision.why, "warmer");
    let programme = h.state().view.programme_in(h.state().history.now()).expect("a programme").clone();
    assert_eq!(
        programme.assignment(&at("xylophone")).instruments,
        decision.chosen.instruments,
        "and assigned"
    );
    assert_eq!(h.state().shell.remembering.unsaved(), 0);
}

#[test]
fn a_trial_on_stage_leads_to_a_decision_in_one_step() {
    let mut h = on_line("xylophone");
    h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::T);
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Remembering), "{}", h.state().view.said);
    choose(&mut h, "Candidate A: on", "Xylophone 1");
    choose(&mut h, "Candidate B: on", "Marimba 1");
    type_into(&mut h, "Listener 1: name", "A. Lind");
    type_into(&mut h, "Listener 1: from where", "row 12");
    h.get_by_label("Listener 1: best is B").click();
    h.run();
    type_into(&mut h, "The conductor", "the warm one");
    h.get_by_label("Save and decide on B").click();
    h.run();
    h.run();
    let memory = memory(&h);
    let trial = memory.trials.first().expect("it is remembered");
    let listener = trial.listeners.first().expect("somebody listened");
    assert_eq!((listener.from.as_str(), listener.answers.as_slice()), ("row 12", &[Answer::Best(1)][..]));
    let decision = memory.decisions.first().expect("and decided");
    assert_eq!(decision.trial.as_ref(), Some(&trial.id));
    assert_eq!(decision.chosen.instruments.first().map(InstrumentId::as_str), Some("marimba-1"));
    assert_eq!(decision.conductor, "the warm one");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert!(h.state().history.now().works[&at("xylophone").work].memory.is_empty(), "one step");
}

/// Gives the line Xylophone 1, as a programme has before anything is tried.
fn assigned(h: &mut Harness<'static, App>) {
    let give = backrow_core::edit::Edit::UseInstruments {
        programme: h.state().view.programme.clone().expect("a programme"),
        line: at("xylophone"),
        instruments: vec![InstrumentId::new("xylophone-1").expect("an id")],
    };
    h.state_mut().history.make(&give).expect("made here");
    h.run();
}

/// At a stand, between two runs of a passage: a key, who listens, the other candidate, which was best, a key.
#[test]
fn a_trial_on_stage_takes_six_actions() {
    let mut h = on_line("xylophone");
    assigned(&mut h);
    h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::T);
    h.run();
    h.run();
    h.event(egui::Event::Text("A. Lind".to_owned()));
    h.run();
    // Two: the list, and its row.
    choose(&mut h, "Candidate B: on", "Marimba 1");
    h.get_by_label("Listener 1: best is B").click();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    h.run();
    assert_eq!(h.state().shell.over(), None, "it is saved");
    let trial = memory(&h).trials.first().cloned().expect("it is remembered");
    let names: Vec<&str> = trial.candidates.iter().map(|one| one.name.as_str()).collect();
    assert_eq!(names, ["Xylophone 1", "Marimba 1"]);
    let listener = trial.listeners.first().expect("somebody listened");
    assert_eq!((listener.name.as_str(), listener.answers.as_slice()), ("A. Lind", &[Answer::Best(1)][..]));
}

/// What was said on stage is about what was tried: others can be added, those cannot be exchanged.
#[test]
fn candidates_of_which_something_was_said_stay() {
    let mut h = on_line("xylophone");
    assigned(&mut h);
    let open = |h: &mut Harness<'static, App>| {
        let trial = memory(h).trials.first().expect("it is remembered").id.clone();
        let ask = backrow::intent::Remember::GoOn(at("xylophone").work, trial);
        h.state_mut().request(backrow::intent::Intent::Remember(ask));
        h.run();
        h.run();
    };
    let is_free =
        |h: &Harness<'static, App>, label: &str| !h.get_by_label(label).accesskit_node().is_disabled();
    h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::T);
    h.run();
    h.run();
    choose(&mut h, "Candidate B: on", "Marimba 1");
    h.get_by_label("Save").click();
    h.run();
    open(&mut h);
    assert!(is_free(&h, "Candidate B: on") && is_free(&h, "Remove Candidate B"), "nothing was said yet");
    type_into(&mut h, "Verdict", "B carries");
    assert!(is_free(&h, "Candidate B: on"), "what is typed can still be about another");
    h.get_by_label("Save").click();
    h.run();
    open(&mut h);
    for label in [
        "Candidate A: on",
        "Candidate B: on",
        "Candidate B: with",
        "Candidate B: struck where",
        "Remove Candidate B",
    ] {
        assert!(!is_free(&h, label), "{label}");
    }
    assert!(in_view(&h, |words| words.starts_with("What was said is about these candidates")).is_some());
    h.get_by_label("Add a candidate").click();
    h.run();
    assert!(is_free(&h, "Candidate C: on"), "another is free");
}

#[rstest::rstest]
#[case(backrow::dates::Order::DayFirst, "12 Oct 2027")]
#[case(backrow::dates::Order::MonthFirst, "Oct 12, 2027")]
fn days_of_what_is_remembered_stand_as_the_region_has_them(
    #[case] order: backrow::dates::Order,
    #[case] shown: &str,
) {
    let mut app = App::on_library(sample::small(), Settings::default());
    app.live_in(backrow::dates::Days { order, ..backrow::dates::Days::default() });
    let mut h = harness(app);
    let library = h.state().history.now().clone();
    let about = backrow_core::recall::about(&library, library.line(&at("xylophone")).expect("a line").1);
    let decision = backrow_core::trial::Decision {
        id: backrow_core::id::DecisionId::new("d").expect("an id"),
        about,
        chosen: backrow_core::trial::Candidate::default(),
        why: "warmer".to_owned(),
        by: String::new(),
        when: jiff::civil::date(2027, 10, 12),
        conductor: String::new(),
        trial: None,
    };
    let id = decision.id.clone();
    let work = at("xylophone").work;
    let edit = backrow_core::edit::Edit::PutDecision { work: work.clone(), decision };
    h.state_mut().history.make(&edit).expect("made here");
    h.state_mut().request(backrow::intent::Intent::Remember(backrow::intent::Remember::Change(work, id)));
    h.run();
    h.run();
    let day = h.get_by_role_and_label(egui::Role::TextInput, "Day");
    assert_eq!(day.value().as_deref(), Some(shown));
}

#[test]
fn the_finder_finds_words_of_decisions() {
    let mut h = on_line("triangle");
    let mut decision = backrow_core::trial::Decision {
        id: backrow_core::id::DecisionId::new("d").expect("an id"),
        about: backrow_core::recall::about(
            h.state().history.now(),
            h.state().history.now().line(&at("xylophone")).expect("a line").1,
        ),
        chosen: backrow_core::trial::Candidate::default(),
        why: "glassy in the balcony".to_owned(),
        by: String::new(),
        when: jiff::civil::date(2027, 10, 1),
        conductor: String::new(),
        trial: None,
    };
    decision.chosen.instruments = vec![InstrumentId::new("xylophone-1").expect("an id")];
    let edit = backrow_core::edit::Edit::PutDecision { work: at("xylophone").work, decision };
    h.state_mut().history.make(&edit).expect("made here");
    h.key_press_modifiers(Modifiers::COMMAND, Key::K);
    h.run();
    h.get_by_label("Find or do").type_text("glassy");
    h.run();
    h.key_press(Key::Enter);
    h.run();
    h.run();
    assert_eq!(h.state().view.selected, Some(Selected::Line(at("xylophone"))));
}

#[test]
fn without_a_line_it_says_what_to_do() {
    let mut h = harness(App::on_library(backrow::sample::empty(), Settings::default()));
    h.key_press_modifiers(Modifiers::COMMAND, Key::D);
    h.run();
    assert_eq!(h.state().shell.over(), None);
    assert!(h.state().view.said.contains("Choose a line first"), "{}", h.state().view.said);
}
