//! Many scores at once: files read in the background, with progress and a way to stop, put together as works, and a
//! summary to change and take from.

mod again;
mod kept;
mod list;
mod steps;
mod take;

pub(super) use kept::Kept;

use super::again::Against;
use super::editor::Editor;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::semibold;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::view::View;
use backrow_core::collection::Kind;
use backrow_core::halt::Halt;
use backrow_core::id::{KindId, VenueId};
use backrow_core::library::{Library, Shared};
use backrow_files::score::{
    Gathered, MusicFiles, ReadOptions, ScoreReading, gather, music_in, read_file_while,
};
use egui::{RichText, Ui};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex};

/// Files that are being read, or were.
pub(super) struct FolderReading {
    /// The folder, or the first file.
    from: PathBuf,
    files: Vec<PathBuf>,
    readings: Vec<ScoreReading>,
    /// Whether each reading is taken in.
    taken: Vec<bool>,
    /// Files that could not be read, and why.
    failed: Vec<(String, String)>,
    /// The readings as works; a guess that the user changes.
    gathered: Gathered,
    /// For each of these works the one of the library that it is another reading of.
    known: Vec<Option<Against>>,
    /// Names that somebody corrected before.
    offers: Vec<again::Corrected>,
    /// Those of them that are corrected here too, by their keys.
    corrected: BTreeSet<String>,
    /// Whether [`Self::look_up`] is to be asked anew.
    stale: bool,
    steps: steps::Steps,
    /// What is made of them besides.
    programme: take::Into,
    title: String,
    venue: Option<VenueId>,
    /// How it stood before anything was changed; `None` while files are read.
    began: Option<Kept>,
    /// How it was left, to be put on when all is read.
    left: Option<Kept>,
    stop: Arc<AtomicBool>,
    /// The file that is being read.
    current: Arc<Mutex<String>>,
    answers: Option<Receiver<(String, Result<ScoreReading, String>)>>,
}

impl FolderReading {
    /// On no files at all.
    #[cfg(test)]
    fn of_nothing() -> Self {
        let (kinds, options) = (Shared::default(), ReadOptions::default());
        let none = (Path::new("scores"), Vec::new());
        Self::begin_files(&egui::Context::default(), none, kinds, options).expect("a thread")
    }

    /// Begins to read a folder; and what of it is left out, in words.
    ///
    /// # Errors
    /// A folder that cannot be listed or holds no music, in words.
    pub(super) fn begin(
        ctx: &egui::Context,
        folder: &Path,
        kinds: Shared<KindId, Kind>,
        options: ReadOptions,
    ) -> Result<(Self, Option<String>), String> {
        let MusicFiles { files, problems } = music_in(folder)
            .map_err(|why| format!("{} cannot be listed: {why}. Check its rights.", folder.display()))?;
        if files.is_empty() {
            return Err(format!(
                "{} holds neither a library (orchestra.ron) nor scores (.musicxml, .xml, .mxl, .mid, .csv).",
                folder.display()
            ));
        }
        let left_out: Vec<String> = problems.iter().map(|problem| format!("{problem}.")).collect();
        let left_out = (!left_out.is_empty()).then(|| left_out.join(" "));
        Ok((Self::begin_files(ctx, (folder, files), kinds, options)?, left_out))
    }

    /// Begins to read files; their names are told from the folder.
    ///
    /// # Errors
    /// When no thread can be had, in words.
    pub(super) fn begin_files(
        ctx: &egui::Context,
        (folder, files): (&Path, Vec<PathBuf>),
        kinds: Shared<KindId, Kind>,
        options: ReadOptions,
    ) -> Result<Self, String> {
        let (send, answers) = channel();
        let stop = Arc::new(AtomicBool::new(false));
        let (stopped, ctx, root) = (Arc::clone(&stop), ctx.clone(), folder.to_owned());
        let to_read = files.clone();
        let current = Arc::new(Mutex::new(String::new()));
        let (asked, told) = (Arc::clone(&stop), Arc::clone(&current));
        let halt = Halt::when(move |_| asked.load(Ordering::Relaxed));
        let now = move |name: &str| {
            if let Ok(mut told) = told.lock() {
                name.clone_into(&mut told);
            }
        };
        let work = move || {
            for path in to_read {
                if stopped.load(Ordering::Relaxed) {
                    break;
                }
                let name = path.strip_prefix(&root).unwrap_or(&path).display().to_string();
                now(&name);
                let read = match read_file_while(&path, &kinds, &options, &halt) {
                    Ok(Some(reading)) => Ok(ScoreReading { file: name.clone(), ..reading }),
                    Ok(None) => break,
                    Err(why) => Err(why),
                };
                if send.send((name, read)).is_err() {
                    break;
                }
                ctx.request_repaint();
            }
        };
        std::thread::Builder::new()
            .name("folder reader".to_owned())
            .spawn(work)
            .map_err(|why| format!("{} cannot be read now: {why}.", folder.display()))?;
        let title = folder.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        Ok(Self {
            from: folder.to_owned(),
            files,
            readings: Vec::new(),
            taken: Vec::new(),
            failed: Vec::new(),
            gathered: Gathered::default(),
            known: Vec::new(),
            offers: Vec::new(),
            corrected: BTreeSet::new(),
            stale: false,
            steps: steps::Steps::default(),
            programme: take::Into::Nothing,
            title,
            venue: None,
            began: None,
            left: None,
            stop,
            current,
            answers: Some(answers),
        })
    }

    /// Takes what has been read meanwhile; when all is there, puts it together as works.
    fn import(&mut self, library: &Library, view: &View) {
        let Some(answers) = &self.answers else { return };
        loop {
            match answers.try_recv() {
                Ok((_, Ok(reading))) => self.readings.push(reading),
                Ok((file, Err(why))) => self.failed.push((file, why)),
                Err(std::sync::mpsc::TryRecvError::Empty) => return,
                Err(std::sync::mpsc::TryRecvError::Disconnected) => break,
            }
        }
        self.answers = None;
        self.gathered = gather(&self.readings.iter().collect::<Vec<_>>());
        self.look_up(library);
        self.programme = take::usual(library, view);
        self.venue = take::usual_venue(library, view);
        // A tacet movement counts with its work; a work that is known or has nothing to play waits to be asked for.
        self.taken = vec![false; self.readings.len()];
        for (at, work) in self.gathered.works.iter().enumerate() {
            let plays = work.pieces.iter().any(|piece| self.has_lines(piece.reading));
            let known = self.known.get(at).is_some_and(Option::is_some);
            for piece in &work.pieces {
                if let Some(taken) = self.taken.get_mut(piece.reading) {
                    *taken = plays && !known;
                }
            }
        }
        self.began = Some(Kept::of(self));
        if let Some(left) = self.left.take() {
            left.put_on(self);
            self.look_up(library);
        }
    }

    /// Reads the files again of a review that was left, and puts them together as they were then.
    ///
    /// # Errors
    /// When no thread can be had, in words.
    pub(super) fn resume(
        ctx: &egui::Context,
        left: Kept,
        kinds: Shared<KindId, Kind>,
        options: ReadOptions,
    ) -> Result<Self, String> {
        let (from, files) = (left.from.clone(), left.files.clone());
        let mut reading = Self::begin_files(ctx, (&from, files), kinds, options)?;
        reading.left = Some(left);
        Ok(reading)
    }

    /// What is reviewed, in words.
    pub(super) fn words(&self) -> String {
        format!("{} scores of {}", self.files.len(), self.from.display())
    }

    /// How it stands, where anything was changed about the guess.
    pub(super) fn changed(&self) -> Option<Kept> {
        if self.left.is_some() {
            return self.left.clone();
        }
        let began = self.began.as_ref()?;
        let now = Kept::of(self);
        (now != *began).then_some(now)
    }

    fn has_lines(&self, reading: usize) -> bool {
        self.readings.get(reading).is_some_and(|reading| !reading.lines.is_empty())
    }

    /// The summary in a sentence.
    fn summary(&self) -> String {
        let lines: usize = self.readings.iter().map(|reading| reading.lines.len()).sum();
        let without = self.readings.iter().filter(|reading| reading.lines.is_empty()).count();
        let read = self.readings.len() + self.failed.len();
        let stopped = if read < self.files.len() && self.answers.is_none() { "Stopped: " } else { "" };
        let works = match self.gathered.works.len() {
            0 => String::new(),
            n => format!(" in {}", counted(n, "work")),
        };
        format!(
            "{stopped}{read} of {} files read, {} found{works}; {without} without percussion, {} not readable.",
            self.files.len(),
            counted(lines, "line"),
            self.failed.len()
        )
    }
}

impl Drop for FolderReading {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

/// What becomes of the summary.
pub(super) enum Outcome {
    /// It stays.
    Stays,
    /// It is closed.
    Closed,
    /// One of its works goes to review.
    Review(Box<Editor>),
}

/// Draws progress and summary.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, reading: &mut FolderReading) -> Outcome {
    reading.import(scene.library, view);
    if reading.stale {
        reading.look_up(scene.library);
    }
    let tokens = scene.tokens;
    let mut outcome = Outcome::Stays;
    ui.label(RichText::new(reading.from.display().to_string()).color(tokens.ink2));
    ui.horizontal(|ui| {
        if reading.answers.is_some() {
            let done = reading.readings.len() + reading.failed.len();
            let share = done as f32 / reading.files.len().max(1) as f32;
            let words = format!("{done} of {}", reading.files.len());
            ui.add(egui::ProgressBar::new(share).desired_width(240.0).text(words));
            if ui.button("Stop").clicked() {
                reading.stop.store(true, Ordering::Relaxed);
            }
        } else {
            let words = format!("Import {}", counted(reading.works_taken(), "work"));
            let any = reading.works_taken() > 0;
            if ui.add_enabled_ui(any, |ui| primary(ui, &scene.tokens, &words)).inner.clicked()
                && let Some(importing) = reading.edit(scene.library, view)
            {
                match scene.try_edit(importing.edit) {
                    Ok(()) => {
                        let programme = importing.programme.map(Intent::Programme);
                        let work = importing.first.map(Intent::Work);
                        scene.intents.extend(programme.into_iter().chain(work));
                        outcome = Outcome::Closed;
                    }
                    Err(why) => scene.ask(Intent::Fail(why)),
                }
            }
        }
        if ui.button("Close").on_hover_text("Esc").clicked() {
            outcome = Outcome::Closed;
        }
        if reading.answers.is_none() {
            let back = ui.add_enabled(reading.steps.can_go_back(), egui::Button::new("Undo here"));
            if back.on_hover_text("Ctrl Z: undoes the last change made here").clicked() {
                reading.step(true);
            }
        }
    });
    if reading.answers.is_none() {
        take::programme_line(ui, scene, view, reading);
    } else if let Ok(name) = reading.current.lock() {
        ui.add(egui::Label::new(RichText::new(format!("Reading {name}")).color(tokens.ink2)).truncate());
    }
    ui.label(RichText::new(reading.summary()).font(semibold(size::NOTE)).color(tokens.ink));
    ui.add_space(space::XS);
    again::offers_ui(ui, scene, reading);
    let ticked = reading.taken.clone();
    let review = list::ui(ui, scene, reading);
    reading.stale |= reading.taken != ticked;
    reading.note_step(ui.ctx().text_edit_focused());
    if let Some(work) = review {
        outcome = Outcome::Review(Box::new(reading.review_of(work, scene.library)));
    }
    outcome
}

impl FolderReading {
    /// One of the works as a review; it is not taken in from here then.
    fn review_of(&mut self, work: usize, library: &Library) -> Editor {
        let readings: Vec<&ScoreReading> = self.readings.iter().collect();
        let review = match self.gathered.works.get(work) {
            Some(gathered) => Editor::of_gathered(gathered, &readings, library),
            None => Editor::new(),
        };
        for piece in self.gathered.works.get(work).into_iter().flat_map(|work| &work.pieces) {
            if let Some(taken) = self.taken.get_mut(piece.reading) {
                *taken = false;
            }
        }
        review
    }
}

/// "1 line", "3 lines".
fn counted(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}
