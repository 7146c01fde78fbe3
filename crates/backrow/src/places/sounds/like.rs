//! Like a sound that is none of the library's: one that is made at the microphone now, or one in a file.

use super::Here;
use crate::background::{Job, Stop, Taken};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::sound::Wish;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::theme::widgets::{caution, trouble};
use backrow_core::sound::Measures;
use backrow_sound::analyse;
use backrow_sound::capture::Recorded;
use egui::{RichText, Ui};
use std::path::Path;
use std::sync::Arc;

/// So long a microphone is given to open, seconds.
const OPENS_S: f64 = 0.5;

/// What the microphone is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
enum Microphone {
    #[default]
    Shut,
    /// It is being opened.
    Opens,
    /// What is made now is searched for.
    Listens,
    /// It was ended; its sound comes.
    Ended,
    /// It was put away; its sound is not wanted.
    Unwanted,
}

/// A sound that was made, and how it comes.
#[derive(Default)]
pub(super) struct Made {
    /// The row is shown.
    open: bool,
    microphone: Microphone,
    /// When it was asked for: what went wrong before says nothing of it.
    asked_at: f64,
    path: String,
    job: Option<Job<Result<(String, Measures), String>>>,
    heard: Option<(String, Arc<Measures>)>,
    why_not: Option<String>,
    /// Differs whenever what was heard does.
    number: u64,
}

impl Made {
    /// What is searched for, and what it is called.
    pub(super) fn heard(&self) -> Option<&(String, Arc<Measures>)> {
        self.heard.as_ref()
    }

    pub(super) const fn number(&self) -> u64 {
        self.number
    }

    /// Searches for it no longer.
    pub(super) fn forget(&mut self) {
        if self.heard.take().is_some() {
            self.number += 1;
        }
        self.job = None;
    }

    /// Whether the next take that ends is for the search.
    pub(super) fn owns_the_take(&self) -> bool {
        self.microphone != Microphone::Shut
    }

    /// Whether the microphone is to stay open.
    pub(super) const fn is_listening(&self) -> bool {
        matches!(self.microphone, Microphone::Opens | Microphone::Listens | Microphone::Ended)
    }

    /// Nobody looks any more: what comes yet is not wanted.
    pub(super) fn leave(&mut self) {
        match self.microphone {
            Microphone::Opens => self.microphone = Microphone::Shut,
            Microphone::Listens | Microphone::Ended => self.microphone = Microphone::Unwanted,
            Microphone::Shut | Microphone::Unwanted => {}
        }
    }

    /// The microphone goes to something else.
    pub(super) fn give_up(&mut self) {
        self.microphone = Microphone::Shut;
    }

    /// The take that has ended.
    pub(super) fn take(&mut self, ctx: &egui::Context, recorded: Arc<Recorded>) {
        let wanted = self.microphone == Microphone::Ended;
        self.microphone = Microphone::Shut;
        if wanted {
            let work = move |_: &Stop| loudest("the sound just made", &recorded.samples, recorded.rate);
            self.begin(Job::start(ctx, "sound to be searched for", work));
        }
    }

    fn begin(&mut self, job: std::io::Result<Job<Result<(String, Measures), String>>>) {
        self.why_not = None;
        match job {
            Ok(job) => self.job = Some(job),
            Err(why) => self.why_not = Some(format!("It cannot be measured now: {why}.")),
        }
    }

    fn look(&mut self) {
        let Some(mut job) = self.job.take() else { return };
        match job.take() {
            Taken::Working => self.job = Some(job),
            Taken::Failed => self.why_not = Some("Measuring it stopped short.".to_owned()),
            Taken::Done(Err(why)) => self.why_not = Some(why),
            Taken::Done(Ok((name, measures))) => {
                self.heard = Some((name, Arc::new(measures)));
                self.number += 1;
            }
        }
    }
}

/// The loudest strike of a sound.
fn loudest(name: &str, sound: &[f32], rate_hz: u32) -> Result<(String, Measures), String> {
    let all = analyse(sound, f64::from(rate_hz));
    let loud =
        |measures: &Measures| measures.loudness_lufs.map_or(f64::NEG_INFINITY, |loudness| loudness.value);
    let most = all.into_iter().map(|one| one.measures).max_by(|a, b| loud(a).total_cmp(&loud(b)));
    most.map(|measures| (name.to_owned(), measures)).ok_or_else(|| format!("No strike was heard in {name}."))
}

fn of_file(path: &Path) -> Result<(String, Measures), String> {
    let read = backrow_files::sound::read_file(path).map_err(|problem| problem.to_string())?;
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    loudest(&name, &read.sound, read.rate_hz)
}

/// Draws the row while it is open; where it is not, nothing.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let made = &mut view.own.made;
    made.look();
    if let Some(why) = &made.why_not {
        trouble(ui, &scene.tokens, why);
    }
    if !made.open {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        microphone(ui, scene, made);
        let label = ui.label("or a file");
        let field = egui::TextEdit::singleline(&mut made.path).desired_width(240.0).hint_text("a whole path");
        let field = ui.add(field).labelled_by(label.id);
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
        let free = made.job.is_none() && !made.path.trim().is_empty();
        if ui.add_enabled(free, egui::Button::new("Search for it")).clicked() || (entered && free) {
            match crate::paths::whole(&made.path, &crate::paths::Homes::of_account()) {
                Ok(path) => {
                    let job = Job::start(ui.ctx(), "file to be searched for", move |_| of_file(&path));
                    made.begin(job);
                }
                Err(why) => made.why_not = Some(why),
            }
        }
        if made.job.is_some() {
            ui.label(RichText::new("being measured …").font(sans(size::NOTE)).color(scene.tokens.ink2));
        }
    });
    caution(ui, &scene.tokens, crate::words::LOUD_NEAR);
}

/// The button beside the search that opens the row.
pub(super) fn button(ui: &mut Ui, view: &mut Here<'_>) {
    let hover = "Searches for what sounds like a sound that you make now, or one in a file";
    let made = &mut view.own.made;
    if ui.selectable_label(made.open, "Like a sound …").on_hover_text(hover).clicked() {
        made.open = !made.open;
        if !made.open {
            made.leave();
        }
    }
}

fn microphone(ui: &mut Ui, scene: &mut Scene<'_>, made: &mut Made) {
    let now = scene.sound.now();
    match made.microphone {
        Microphone::Shut | Microphone::Unwanted => {
            if ui.button("Make it now").on_hover_text("Opens the microphone").clicked() {
                (made.microphone, made.asked_at) = (Microphone::Opens, ui.input(|input| input.time));
                ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(OPENS_S * 1.1));
                scene.ask(Intent::Sound(Wish::Listen(None)));
            }
        }
        Microphone::Opens => {
            if now.meter.is_some() {
                made.microphone = Microphone::Listens;
                scene.ask(Intent::Sound(Wish::Begin));
            } else if let Some(why) = &now.why_not
                && ui.input(|input| input.time) > made.asked_at + OPENS_S
            {
                made.why_not = Some(why.clone());
                made.microphone = Microphone::Shut;
            }
            ui.label("The microphone is being opened …");
        }
        Microphone::Listens | Microphone::Ended => {
            if now.meter.is_none() {
                // Unplugged: what was heard until then comes as a take.
                made.microphone = Microphone::Ended;
            }
            let level =
                now.meter.map_or_else(String::new, |meter| format!("{:.0}\u{202F}dB peak", meter.held_db()));
            ui.label(format!("Make the sound now. {level}"));
            let listens = made.microphone == Microphone::Listens;
            if ui.add_enabled(listens, egui::Button::new("That was it")).clicked() {
                made.microphone = Microphone::Ended;
                scene.ask(Intent::Sound(Wish::End));
            }
        }
    }
}
