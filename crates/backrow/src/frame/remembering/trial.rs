//! The form of a trial on stage: what was tried, who listened from where, what they said, and what the conductor said.

use super::fields::{as_assigned, candidate, kind_of, letter, row, says_something, strike, text};
use super::{day_of, decide, head};
use crate::dates;
use crate::drafts::{Outcome, Refusal, Typed};
use crate::intent::{Intent, Remember};
use crate::scene::Scene;
use crate::theme::dialog::actions;
use crate::theme::sans;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::view::View;
use backrow_core::days::Days;
use backrow_core::edit::{Edit, candidate_words, words};
use backrow_core::id::WorkId;
use backrow_core::library::Library;
use backrow_core::recall;
use backrow_core::sound::{StrikeKey, TakeKey};
use backrow_core::trial::{
    Answer, Candidate, How, LEVEL, Listener, Outcome as Said, Trial, passes, right_needed,
};
use backrow_core::week::LineRef;
use egui::{Key, Modifiers, RichText, Ui, WidgetInfo};
use jiff::civil::Date;

/// A trial while it is typed.
pub(super) struct Form {
    pub(super) work: WorkId,
    pub(super) trial: Trial,
    pub(super) day: String,
    pub(super) began: (Trial, String),
    focus: bool,
    error: Refusal,
}

impl Typed for Form {
    fn has_changed(&self) -> bool {
        self.trial != self.began.0 || self.day != self.began.1
    }

    fn title(&self) -> String {
        format!("Trial: {}", self.trial.about.name)
    }
}

/// What a trial of strikes is begun with.
pub(super) struct Begun<'a> {
    /// Its candidates.
    pub(super) strikes: &'a [StrikeKey],
    /// The day.
    pub(super) when: Date,
    /// What its order is drawn from.
    pub(super) seed: u64,
}

impl Form {
    /// For a line: what it is played on now, against something else.
    pub(super) fn new(
        library: &Library,
        view: &View,
        at: &LineRef,
        (when, seed): (Date, u64),
    ) -> Option<Self> {
        let (work, line) = library.line(at)?;
        let given = view.programme_in(library).map(|programme| programme.assignment(at)).unwrap_or_default();
        let about = recall::about(library, line);
        let (id, _) = recall::fresh_ids(work, &about);
        let trial = Trial {
            id,
            about,
            when,
            question: String::new(),
            candidates: vec![as_assigned(&given), Candidate::default()],
            how: How::Live,
            rounds: 1,
            blind: false,
            seed,
            listeners: vec![Listener::default()],
            verdict: String::new(),
            conductor: String::new(),
        };
        Some(Self::on(library.days(), &work.id, trial))
    }

    /// For a line, of strikes that were recorded.
    pub(super) fn of_strikes(
        library: &Library,
        view: &View,
        at: &LineRef,
        begun: &Begun<'_>,
    ) -> Option<Self> {
        let mut form = Self::new(library, view, at, (begun.when, begun.seed))?;
        let candidates: Vec<Candidate> = begun.strikes.iter().map(|key| of_strike(library, key)).collect();
        if !candidates.is_empty() {
            form.trial.candidates = candidates;
        }
        if form.trial.candidates.len() > 1 {
            form.compare(How::Pairs);
        }
        Some(form)
    }

    /// Compares in another way; its usual number of rounds comes with it.
    fn compare(&mut self, how: How) {
        self.trial.how = how;
        self.trial.rounds = how.usual_rounds();
        self.trial.blind = how.needs_takes();
        self.trial.listeners = if how.needs_takes() { Vec::new() } else { vec![Listener::default()] };
    }

    /// One that is there.
    pub(super) fn of(days: Days, work: &WorkId, trial: &Trial) -> Self {
        let mut form = Self::on(days, work, trial.clone());
        if trial.listeners.is_empty() && trial.how == How::Live {
            form.trial.listeners.push(Listener::default());
            form.began.0.listeners.push(Listener::default());
        }
        form
    }

    /// One with these words in it.
    pub(super) fn on(days: Days, work: &WorkId, trial: Trial) -> Self {
        let day = days.lasting().day(trial.when);
        let began = (trial.clone(), day.clone());
        Self { work: work.clone(), trial, day, began, focus: true, error: Refusal::default() }
    }

    /// What is to be saved, without what says nothing; an error says what is missing.
    fn tried(&self, library: &Library) -> Result<Trial, String> {
        let mut trial = Trial { when: day_of(library, &self.day)?, ..self.trial.clone() };
        let heard = was_heard(&trial);
        let kept: Vec<usize> = trial
            .candidates
            .iter()
            .enumerate()
            .filter_map(|(at, one)| (heard || says_something(one)).then_some(at))
            .collect();
        match trial.how {
            How::Abx if kept.len() != 2 => {
                return Err(
                    "An audible difference is a matter of two candidates: remove the others.".to_owned()
                );
            }
            How::Pairs | How::Graded if kept.len() < 2 => {
                return Err("Choose at least two candidates that have been recorded.".to_owned());
            }
            _ => {}
        }
        if kept.is_empty() {
            return Err("Choose what was tried: an instrument, beaters, or where it is struck.".to_owned());
        }
        for listener in &mut trial.listeners {
            let answers = std::mem::take(&mut listener.answers).into_iter();
            listener.answers = answers.filter_map(|answer| renumbered(answer, &kept)).collect();
            for text in [&mut listener.name, &mut listener.from, &mut listener.words] {
                *text = text.trim().to_owned();
            }
        }
        trial.listeners.retain(|listener| *listener != Listener::default());
        let mut candidates = std::mem::take(&mut trial.candidates);
        candidates.retain(|one| heard || says_something(one));
        for one in &mut candidates {
            one.spot = one.spot.trim().to_owned();
            one.name = candidate_words(library, &Candidate { name: String::new(), ..one.clone() });
        }
        trial.candidates = candidates;
        for text in [&mut trial.verdict, &mut trial.conductor, &mut trial.question] {
            *text = text.trim().to_owned();
        }
        Ok(trial)
    }
}

/// A strike as a candidate.
fn of_strike(library: &Library, key: &StrikeKey) -> Candidate {
    let take = TakeKey { instrument: key.instrument.clone(), take: key.take.clone() };
    let strike = library.takes.get(&take).and_then(|take| take.strikes.get(key.number));
    Candidate {
        instruments: vec![key.instrument.clone()],
        beaters: strike.and_then(|strike| strike.beater.clone()).into_iter().collect(),
        spot: strike.map(|strike| strike.spot.clone()).unwrap_or_default(),
        strike: Some((key.take.clone(), key.number)),
        name: String::new(),
    }
}

/// Whether somebody has answered by ear: what was heard then is a fact, and its candidates stay as they were.
fn was_heard(trial: &Trial) -> bool {
    trial.how.needs_takes() && trial.listeners.iter().any(|listener| !listener.answers.is_empty())
}

/// An answer on stage after candidates were left out; `None` where it was about one of those. Those by ear keep their candidates
/// ([`was_heard`]).
fn renumbered(answer: Answer, kept: &[usize]) -> Option<Answer> {
    match answer {
        Answer::Best(old) => kept.iter().position(|at| *at == old).map(Answer::Best),
        other => Some(other),
    }
}

/// Draws the form.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, form: &mut Form) -> Outcome {
    let tokens = scene.tokens;
    let at = LineRef { work: form.work.clone(), line: form.trial.about.line.clone() };
    head(ui, scene, "Try", (&at, &form.trial.about));
    candidates(ui, scene, &at, form);
    ui.add_space(space::S);
    how(ui, scene, form);
    let focus = std::mem::take(&mut form.focus);
    if form.trial.how == How::Live {
        listeners(ui, scene, &mut form.trial, focus);
    }
    ui.add_space(space::S);
    let trial = &mut form.trial;
    let mut entered = text(ui, scene, ("The conductor", "take the dry one"), &mut trial.conductor, false);
    entered |=
        text(ui, scene, ("Verdict", "B carries; A is too bright with brass"), &mut trial.verdict, false);
    entered |= text(ui, scene, ("Day", dates::forms(scene.library.days().order)), &mut form.day, false);
    form.error.ui(ui, &tokens, || (&form.trial, &form.day));
    ui.add_space(space::S);
    buttons(ui, scene, form, entered)
}

/// How the candidates are compared, and what is fixed beforehand.
fn how(ui: &mut Ui, scene: &Scene<'_>, form: &mut Form) {
    // Another way has other listeners: what is entered of them would be lost.
    let begun = form.trial.listeners.iter().any(|listener| *listener != Listener::default());
    row(ui, scene, "Compared", |ui| {
        for how in How::ALL {
            let button = ui.add_enabled(!begun, egui::Button::selectable(form.trial.how == how, how.label()));
            if button
                .on_disabled_hover_text(
                    "A listener is entered; begin a new trial to compare in another way, or remove the listener first.",
                )
                .clicked()
                && form.trial.how != how
            {
                form.compare(how);
            }
        }
    });
    if !form.trial.how.needs_takes() {
        return;
    }
    text(
        ui,
        scene,
        ("Question", "Which is nearer to what the conductor asked?"),
        &mut form.trial.question,
        false,
    );
    row(ui, scene, "", |ui| {
        let trial = &mut form.trial;
        if let Some((words, most)) = match trial.how {
            How::Pairs => Some(("times each pair", 6)),
            How::Abx => Some(("answers", 100)),
            How::Live | How::Graded => None,
        } {
            let drag = ui.add_enabled(!begun, egui::DragValue::new(&mut trial.rounds).range(1..=most));
            drag.widget_info(|| WidgetInfo::labeled(egui::Role::SpinButton, true, words));
            ui.label(words);
        }
        ui.checkbox(&mut trial.blind, "Names hidden until the end");
    });
    let words = match form.trial.how {
        How::Abx => abx_words(form.trial.rounds),
        How::Graded => "Every listener grades all of them from 0 to 100 at once, as in ITU-R BS.2132; one is hidden in there twice (our own \
                        addition), which shows how far a grade can be trusted."
            .to_owned(),
        How::Live | How::Pairs => "Order by chance, equally loud; the order of all follows from the pairs, with its uncertainty."
            .to_owned(),
    };
    row(ui, scene, "", |ui| {
        ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2)).wrap());
    });
}

/// What a number of answers can show.
fn abx_words(rounds: u32) -> String {
    right_needed(rounds, LEVEL).map_or_else(
        || "So few answers can show nothing: take at least 5.".to_owned(),
        |right| {
            format!(
                "{right} of {rounds} right are wanted for one in twenty; somebody who is right 8 times in 10 passes {:.0} times in \
                 100. There is no figure before the end.",
                passes(rounds, LEVEL, 0.8) * 100.0
            )
        },
    )
}

fn buttons(ui: &mut Ui, scene: &mut Scene<'_>, form: &mut Form, mut entered: bool) -> Outcome {
    let (library, tokens) = (scene.library, scene.tokens);
    let mut outcome = Outcome::GoesOn;
    actions(ui, |ui| {
        entered |= ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Enter));
        let saves = primary(ui, &tokens, "Save").on_hover_text("Enter").clicked() || entered;
        let listens = form.trial.how.needs_takes() && ui.button("Save and listen …").clicked();
        let best =
            best_of(&form.trial).filter(|best| form.trial.candidates.get(*best).is_some_and(says_something));
        let decides = best.is_some_and(|best| {
            let words = format!("Save and decide on {}", letter(best));
            ui.button(words).on_hover_text("The candidate that most listeners liked best").clicked()
        });
        if saves || decides || listens {
            let saved = form.tried(library).and_then(|trial| {
                let chosen = best.filter(|_| decides).and_then(|best| form.trial.candidates.get(best));
                let listen = Remember::Listen(form.work.clone(), trial.id.clone());
                scene.try_edit(edit(library, &form.work, trial, chosen))?;
                Ok(listen)
            });
            match saved {
                Ok(listen) => {
                    if listens {
                        scene.ask(Intent::Remember(listen));
                    }
                    outcome = Outcome::Saved;
                }
                Err(why) => form.error = Refusal::of(why, &(&form.trial, &form.day)),
            }
        }
        if ui.button("Cancel").on_hover_text("Esc; what you typed stays as a draft").clicked() {
            outcome = Outcome::Left;
        }
    });
    outcome
}

/// The trial as one step, with the decision that it led to.
fn edit(library: &Library, work: &WorkId, trial: Trial, chosen: Option<&Candidate>) -> Edit {
    let chosen = chosen.map(|one| Candidate {
        name: candidate_words(library, &Candidate { name: String::new(), ..one.clone() }),
        ..one.clone()
    });
    let decision = chosen.and_then(|chosen| decide::from_trial(library, work, &trial, Some(&chosen)));
    let remember = Edit::PutTrial { work: work.clone(), trial };
    let Some(decision) = decision else { return remember };
    let decide = Edit::PutDecision { work: work.clone(), decision };
    Edit::Together { words: words(library, &decide), edits: vec![remember, decide] }
}

/// The candidate that more listeners liked best than any other.
fn best_of(trial: &Trial) -> Option<usize> {
    let Said::Said { best } = trial.outcome() else { return None };
    let most = best.iter().copied().max().filter(|most| *most > 0)?;
    let mut first = best.iter().enumerate().filter(|(_, count)| **count == most).map(|(at, _)| at);
    first.next().filter(|_| first.next().is_none())
}

/// So many of a saved trial on stage's candidates, the first ones, stay as they were: something was said of them.
fn stay(library: &Library, form: &Form) -> usize {
    let saved = library.works.get(&form.work).and_then(|work| work.memory.trial(&form.trial.id));
    let said = |trial: &&Trial| {
        let listened = trial.listeners.iter().any(|listener| *listener != Listener::default());
        listened || !trial.verdict.is_empty() || !trial.conductor.is_empty()
    };
    let saved = saved.filter(|_| form.trial.how == How::Live).filter(said);
    saved.map_or(0, |trial| trial.candidates.len())
}

fn candidates(ui: &mut Ui, scene: &Scene<'_>, at: &LineRef, form: &mut Form) {
    let (stay, trial) = (stay(scene.library, form), &mut form.trial);
    let heard = was_heard(trial);
    ui.add_enabled_ui(!heard, |ui| candidate_rows(ui, scene, at, (trial, stay)));
    let words = match (heard, stay) {
        (true, _) => {
            "Somebody has answered: what was heard stays as it was. Begin a new trial to compare other candidates."
        }
        (false, 0) => return,
        (false, _) => {
            "What was said is about these candidates: they stay as they were. Add others, or begin a new trial to compare others."
        }
    };
    row(ui, scene, "", |ui| {
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
    });
}

fn candidate_rows(ui: &mut Ui, scene: &Scene<'_>, at: &LineRef, (trial, stay): (&mut Trial, usize)) {
    let kind = kind_of(scene.library, at).map(|kind| kind.id.clone()).or_else(|| trial.about.kind.clone());
    let mut gone = None;
    let several = trial.candidates.len() > 1;
    let by_takes = trial.how.needs_takes();
    for (nth, one) in trial.candidates.iter_mut().enumerate() {
        let who = format!("Candidate {}", letter(nth));
        row(ui, scene, &who, |ui| {
            ui.add_enabled_ui(nth >= stay, |ui| {
                candidate(ui, scene.library, kind.as_ref(), &who, one);
                if several && removes(ui, &who) {
                    gone = Some(nth);
                }
            });
        });
        if by_takes {
            row(ui, scene, "", |ui| strike(ui, scene, &who, one));
        }
    }
    if let Some(nth) = gone {
        trial.candidates.remove(nth);
        let kept: Vec<usize> = (0..=trial.candidates.len()).filter(|at| *at != nth).collect();
        for listener in &mut trial.listeners {
            let answers = std::mem::take(&mut listener.answers).into_iter();
            listener.answers = answers.filter_map(|answer| renumbered(answer, &kept)).collect();
        }
    }
    row(ui, scene, "", |ui| {
        if ui.button("Add a candidate").clicked() {
            trial.candidates.push(Candidate::default());
        }
    });
}

fn removes(ui: &mut Ui, what: &str) -> bool {
    let on = ui.is_enabled();
    let button = ui.small_button("Remove");
    button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, on, format!("Remove {what}")));
    button.clicked()
}

fn listeners(ui: &mut Ui, scene: &Scene<'_>, trial: &mut Trial, focus: bool) {
    let letters: Vec<String> = (0..trial.candidates.len()).map(letter).collect();
    let mut gone = None;
    for (nth, listener) in trial.listeners.iter_mut().enumerate() {
        let who = format!("Listener {}", nth + 1);
        row(ui, scene, &who, |ui| {
            let name = field(ui, (&who, "name"), &mut listener.name, 120.0);
            if focus && nth == 0 {
                name.request_focus();
            }
            field(ui, (&who, "from where"), &mut listener.from, 100.0);
            best(ui, &who, &letters, &mut listener.answers);
            field(ui, (&who, "in words"), &mut listener.words, (ui.available_width() - 90.0).max(120.0));
            if removes(ui, &who) {
                gone = Some(nth);
            }
        });
    }
    if let Some(nth) = gone {
        trial.listeners.remove(nth);
    }
    row(ui, scene, "", |ui| {
        if ui.button("Add a listener").clicked() {
            trial.listeners.push(Listener::default());
        }
        let words = "Choose the letter that each listener preferred; choose none if there was no preference.";
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
    });
}

fn field(ui: &mut Ui, (who, what): (&str, &str), text: &mut String, width: f32) -> egui::Response {
    let field = ui.add(egui::TextEdit::singleline(text).hint_text(what).desired_width(width));
    field.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, format!("{who}: {what}")));
    field
}

/// Which the listener liked best; the letters are buttons, so that one key is enough.
fn best(ui: &mut Ui, who: &str, letters: &[String], answers: &mut Vec<Answer>) {
    let now = answers.iter().find_map(|answer| match answer {
        Answer::Best(at) => Some(*at),
        _ => None,
    });
    for (at, letter) in letters.iter().enumerate() {
        let button = ui.selectable_label(now == Some(at), letter);
        let says = format!("{who}: best is {letter}");
        button.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, now == Some(at), says.clone()));
        if button.clicked() {
            answers.retain(|answer| !matches!(answer, Answer::Best(_)));
            if now != Some(at) {
                answers.push(Answer::Best(at));
            }
        }
    }
}
