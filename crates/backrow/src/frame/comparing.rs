//! A trial with takes, one listener after the other: an order by chance, names hidden until the end, equally loud, and no figure before
//! everybody who began has ended.
//!
//! Borrowed from ITU-R BS.1116: what is heard cannot be told by sight, and the order is drawn anew for each listener. Borrowed from ITU-R
//! BS.2132: several at once, graded from 0 to 100 without a reference. Levels are matched by the greatest momentary loudness of ITU-R
//! BS.1770, all brought down to the softest.

mod kept;
mod result;
mod step;

pub(crate) use kept::FORM;
pub use kept::left;

use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::{caution, primary};
use crate::theme::{sans, serif};
use crate::words::many;
use backrow_core::edit::{Edit, candidate_words};
use backrow_core::id::{TrialId, WorkId};
use backrow_core::recall;
use backrow_core::trial::{Answer, How, Listener, Trial};
use egui::{Key, Modifiers, RichText, Ui, WidgetInfo};

/// The trial that is listened to, while it is.
#[derive(Default)]
pub struct State {
    session: Option<Session>,
    /// Grades that were given and not handed in.
    kept: Vec<kept::Half>,
}

/// Where a grade stands before anybody has moved it.
const MIDDLE: f64 = 50.0;

/// One trial at the ears.
struct Session {
    work: WorkId,
    id: TrialId,
    /// The listener who answers, as a place in the trial; `None` between two.
    listener: Option<usize>,
    name: String,
    /// Which of the sounds of a step have been heard.
    heard: Vec<bool>,
    /// What is being fetched to be heard, and how often something had begun to sound before.
    asked: Option<(usize, u64)>,
    /// Grades as they stand, in the order in which they are heard.
    grades: Vec<f64>,
    /// Whether what came of it is shown; those who are still to listen should not see it.
    shows: bool,
    focus: bool,
}

impl State {
    /// Opens a trial.
    pub fn open(&mut self, work: WorkId, id: TrialId) {
        self.close();
        self.session = Some(Session {
            work,
            id,
            listener: None,
            name: String::new(),
            heard: Vec::new(),
            asked: None,
            grades: Vec::new(),
            shows: false,
            focus: true,
        });
    }

    /// Whether a trial is listened to.
    pub const fn is_open(&self) -> bool {
        self.session.is_some()
    }
}

/// Draws the trial that is listened to.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
    let State { session, kept } = state;
    let Some(session) = session else { return };
    let library = scene.library;
    let found = library.works.get(&session.work).and_then(|work| work.memory.trial(&session.id));
    let Some(trial) = found else {
        state.session = None;
        scene.ask(Intent::Fail("The trial is no longer there; it may have been undone.".to_owned()));
        return;
    };
    let frame = egui::Frame::popup(ui.style()).inner_margin(egui::Margin::same(16));
    let modal = egui::Modal::new(egui::Id::unique("listening")).frame(frame);
    let mut closes = false;
    let response = modal.show(ui.ctx(), |ui| {
        let room = ui.ctx().content_rect().size();
        ui.set_width((room.x - 160.0).clamp(480.0, 680.0));
        closes = head(ui, scene, trial);
        let step =
            session.listener.filter(|at| !trial.is_done(*at)).and_then(|at| Some((at, trial.next_step(at)?)));
        if let Some((at, step)) = step {
            step::ui(ui, scene, (trial, at, step), session);
        } else {
            between(ui, scene, trial, session);
            kept::go_on(kept, session);
        }
    });
    if (closes || response.should_close())
        && let Some(words) = state.close().words()
    {
        scene.ask(Intent::Say(words.to_owned()));
    }
}

fn head(ui: &mut Ui, scene: &Scene<'_>, trial: &Trial) -> bool {
    let tokens = scene.tokens;
    let mut closes = false;
    ui.horizontal(|ui| {
        let title = format!("Listen: {}", trial.about.name);
        ui.label(RichText::new(title).font(serif(size::TITLE)).color(tokens.ink));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            closes = ui.button("Close").on_hover_text("Esc; the answers that were given stay").clicked();
        });
    });
    let question = trial.question.trim();
    let words = if question.is_empty() { question_of(trial.how) } else { question };
    ui.add(egui::Label::new(RichText::new(words).color(tokens.ink)).wrap());
    ui.add_space(space::S);
    closes
}

const fn question_of(how: How) -> &'static str {
    match how {
        How::Live | How::Pairs => "Which of the two do you prefer for this line?",
        How::Graded => "How well does each suit the line, from 0 to 100?",
        How::Abx => "Is X the same as A, or the same as B?",
    }
}

/// Before the first listener, between two, and at the end.
fn between(ui: &mut Ui, scene: &mut Scene<'_>, trial: &Trial, session: &mut Session) {
    let tokens = scene.tokens;
    let note = |words: String| RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2);
    let next = trial.listeners.len();
    let steps = trial.steps(next).len();
    if steps == 0 {
        ui.label("Nothing can be compared here: a trial with takes wants at least two candidates.");
        return;
    }
    let blind = if trial.blind { " Names stay hidden until the end, as in ITU-R BS.1116." } else { "" };
    let words = format!("{} each, in an order by chance, equally loud.{blind}", many(steps, "answer"));
    ui.add(egui::Label::new(note(words)).wrap());
    caution(
        ui,
        &tokens,
        "Begin softly: loud strikes over headphones can hurt the ears. Local rules on noise apply.",
    );
    ui.add_space(space::S);
    if let Some(words) = recall::by_model_said(scene.library, trial) {
        ui.add(egui::Label::new(note(words)).wrap());
    }
    let missing = not_recorded(scene, trial);
    let open = (0..next).find(|at| !trial.is_done(*at));
    let mut entered = false;
    if !missing.is_empty() {
        let words = format!(
            "Not recorded: {}. Record them in the instrument’s panel first, or change the candidates.",
            missing.join("; ")
        );
        caution(ui, &tokens, &words);
    }
    ui.horizontal(|ui| {
        if let Some(at) = open {
            let who = trial.listeners.get(at).map_or("", |listener| listener.name.as_str());
            if missing.is_empty() && primary(ui, &tokens, &format!("Go on as {who}")).clicked() {
                begin(session, at, trial);
            }
            return;
        }
        if !missing.is_empty() {
            return;
        }
        let hint = "who listens";
        let field =
            ui.add(egui::TextEdit::singleline(&mut session.name).hint_text(hint).desired_width(200.0));
        field.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Who listens"));
        if std::mem::take(&mut session.focus) {
            field.request_focus();
        }
        entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
        let words = if next == 0 { "Begin" } else { "Next listener begins" };
        let named = !session.name.trim().is_empty();
        let clicked = ui
            .add_enabled(named, egui::Button::new(words))
            .on_disabled_hover_text("Type a name first")
            .clicked();
        if (clicked || entered) && named {
            let name = std::mem::take(&mut session.name).trim().to_owned();
            let mut trial = trial.clone();
            trial.listeners.push(Listener { name, ..Listener::default() });
            begin(session, next, &trial);
            scene.edit(Edit::PutTrial { work: session.work.clone(), trial });
        }
    });
    if next > 0 && open.is_none() {
        ui.add_space(space::S);
        if session.shows {
            result::ui(ui, scene, &session.work, trial);
        } else {
            let hover = "Whoever still wants to listen should look away";
            session.shows = ui.button("Show what came of it").on_hover_text(hover).clicked();
        }
    }
}

/// The candidates that nothing was recorded of: silence cannot be compared with anything.
fn not_recorded(scene: &Scene<'_>, trial: &Trial) -> Vec<String> {
    let strikes = recall::strikes_of(scene.library, trial);
    let missing = trial.candidates.iter().zip(strikes).filter(|(_, strike)| strike.is_none());
    missing.map(|(candidate, _)| candidate_words(scene.library, candidate)).collect()
}

fn begin(session: &mut Session, listener: usize, trial: &Trial) {
    session.listener = Some(listener);
    session.shows = false;
    session.asked = None;
    session.heard.clear();
    session.grades = vec![MIDDLE; trial.steps(listener).len()];
}

/// Remembers answers of the listener at once, so that none is lost.
fn answer(
    scene: &mut Scene<'_>,
    session: &mut Session,
    (trial, listener): (&Trial, usize),
    answers: Vec<Answer>,
) {
    let mut trial = trial.clone();
    if let Some(listener) = trial.listeners.get_mut(listener) {
        listener.answers.extend(answers);
    }
    session.asked = None;
    session.heard.clear();
    if trial.is_done(listener) {
        session.listener = None;
        session.focus = true;
    }
    scene.edit(Edit::PutTrial { work: session.work.clone(), trial });
}

/// Whether a key was pressed that no field wanted.
fn pressed(ui: &Ui, key: Key) -> bool {
    !ui.ctx().text_edit_focused() && ui.input_mut(|i| i.consume_key(Modifiers::NONE, key))
}
