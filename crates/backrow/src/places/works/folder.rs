//! Many scores at once: a folder read in the background, with progress, a way to stop, and a summary to take from.

use super::editor::Editor;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{sans, semibold};
use backrow_core::collection::Kind;
use backrow_core::edit::Edit;
use backrow_core::id::{KindId, WorkId};
use backrow_core::library::{Library, Shared};
use backrow_files::score::{ReadOptions, ScoreReading, music_in, read_file, work_of};
use egui::{RichText, Ui};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, channel};

/// A folder that is being read, or was.
pub(super) struct FolderReading {
    folder: PathBuf,
    all: usize,
    rows: Vec<Row>,
    stop: Arc<AtomicBool>,
    answers: Option<Receiver<(String, Result<ScoreReading, String>)>>,
}

/// One file.
struct Row {
    file: String,
    read: Result<ScoreReading, String>,
    taken: bool,
}

impl FolderReading {
    /// Begins to read a folder.
    ///
    /// # Errors
    /// A folder that cannot be listed or holds no music, in words.
    pub(super) fn begin(
        ctx: &egui::Context,
        folder: &Path,
        kinds: Shared<KindId, Kind>,
        options: ReadOptions,
    ) -> Result<Self, String> {
        let files = music_in(folder)
            .map_err(|why| format!("{} cannot be listed: {why}. Check its rights.", folder.display()))?;
        if files.is_empty() {
            return Err(format!(
                "{} holds neither a library (house.ron) nor scores (.musicxml, .xml, .mxl, .mid, .csv).",
                folder.display()
            ));
        }
        let (send, answers) = channel();
        let stop = Arc::new(AtomicBool::new(false));
        let all = files.len();
        let (stopped, ctx, root) = (Arc::clone(&stop), ctx.clone(), folder.to_owned());
        let work = move || {
            for path in files {
                if stopped.load(Ordering::Relaxed) {
                    break;
                }
                let name = path.strip_prefix(&root).unwrap_or(&path).display().to_string();
                if send.send((name, read_file(&path, &kinds, &options))).is_err() {
                    break;
                }
                ctx.request_repaint();
            }
        };
        std::thread::Builder::new()
            .name("folder reader".to_owned())
            .spawn(work)
            .map_err(|why| format!("{} cannot be read now: {why}.", folder.display()))?;
        Ok(Self { folder: folder.to_owned(), all, rows: Vec::new(), stop, answers: Some(answers) })
    }

    /// Takes what has been read meanwhile.
    fn take_in(&mut self) {
        let Some(answers) = &self.answers else { return };
        loop {
            match answers.try_recv() {
                Ok((file, read)) => {
                    let taken = read.as_ref().is_ok_and(|reading| !reading.calls.is_empty());
                    self.rows.push(Row { file, read, taken });
                }
                Err(std::sync::mpsc::TryRecvError::Empty) => return,
                Err(std::sync::mpsc::TryRecvError::Disconnected) => break,
            }
        }
        self.answers = None;
    }

    /// The summary in a sentence.
    fn summary(&self) -> String {
        let failed = self.rows.iter().filter(|row| row.read.is_err()).count();
        let calls: usize =
            self.rows.iter().filter_map(|row| row.read.as_ref().ok()).map(|r| r.calls.len()).sum();
        let without =
            self.rows.iter().filter(|row| row.read.as_ref().is_ok_and(|r| r.calls.is_empty())).count();
        let stopped = if self.rows.len() < self.all && self.answers.is_none() { "Stopped: " } else { "" };
        format!(
            "{stopped}{} of {} files read, {} found; {without} without percussion, {failed} not readable.",
            self.rows.len(),
            self.all,
            counted(calls, "call")
        )
    }

    /// One step that takes in every work that is ticked, each under an id of its own.
    fn edit(&self, library: &Library) -> Option<Edit> {
        let mut taken: Vec<WorkId> = Vec::new();
        let mut edits = Vec::new();
        for reading in self.rows.iter().filter(|row| row.taken).filter_map(|row| row.read.as_ref().ok()) {
            let mut work = work_of(reading);
            work.id = WorkId::fresh(&work.title, |id| library.works.contains_key(id) || taken.contains(id));
            taken.push(work.id.clone());
            edits.push(Edit::PutWork(work));
        }
        let words = format!("Take in {} works from {}", edits.len(), self.folder.display());
        (!edits.is_empty()).then_some(Edit::Together { words, edits })
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
    /// One of its readings goes to the desk.
    Desk(Box<Editor>),
}

/// Draws progress and summary.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, reading: &mut FolderReading) -> Outcome {
    reading.take_in();
    let tokens = scene.tokens;
    let mut outcome = Outcome::Stays;
    ui.label(RichText::new(reading.folder.display().to_string()).color(tokens.ink2));
    ui.horizontal(|ui| {
        if reading.answers.is_some() {
            let share = reading.rows.len() as f32 / reading.all.max(1) as f32;
            let words = format!("{} of {}", reading.rows.len(), reading.all);
            ui.add(egui::ProgressBar::new(share).desired_width(240.0).text(words));
            if ui.button("Stop").clicked() {
                reading.stop.store(true, Ordering::Relaxed);
            }
        } else {
            let count = reading.rows.iter().filter(|row| row.taken).count();
            let words =
                if count == 1 { "Take 1 work in".to_owned() } else { format!("Take {count} works in") };
            if ui.add_enabled_ui(count > 0, |ui| primary(ui, &scene.tokens, &words)).inner.clicked()
                && let Some(edit) = reading.edit(scene.library)
            {
                scene.ask(Intent::Edit(edit));
                outcome = Outcome::Closed;
            }
        }
        if ui.button("Close").on_hover_text("Esc").clicked() {
            outcome = Outcome::Closed;
        }
    });
    ui.label(RichText::new(reading.summary()).font(semibold(size::NOTE)).color(tokens.ink));
    ui.add_space(space::XS);
    let mut desk = None;
    egui::ScrollArea::vertical().id_salt("folder").auto_shrink([false, false]).show(ui, |ui| {
        egui::Grid::new("files read").num_columns(5).spacing([12.0, 4.0]).show(ui, |ui| {
            for (at, row) in reading.rows.iter_mut().enumerate() {
                if row_ui(ui, scene, row) {
                    desk = Some(at);
                }
                ui.end_row();
            }
        });
    });
    if let Some(Ok(score)) = desk.and_then(|at| reading.rows.get_mut(at)).map(|row| {
        row.taken = false;
        row.read.clone()
    }) {
        outcome = Outcome::Desk(Box::new(Editor::of_reading(score, scene.library)));
    }
    outcome
}

/// "1 call", "3 calls".
fn counted(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}

/// One file; `true` when it is to be looked over.
fn row_ui(ui: &mut Ui, scene: &Scene<'_>, row: &mut Row) -> bool {
    let tokens = scene.tokens;
    let small = |words: String, ink| RichText::new(words).font(sans(size::NOTE)).color(ink);
    match &row.read {
        Ok(reading) => {
            let tick = ui.checkbox(&mut row.taken, "");
            tick.widget_info(|| {
                egui::WidgetInfo::selected(
                    egui::Role::CheckBox,
                    true,
                    row.taken,
                    format!("Take {}", row.file),
                )
            });
            ui.label(&row.file);
            let unclear =
                reading.calls.iter().filter(|c| c.degree == backrow_core::music::Degree::Unclear).count();
            let mut words = format!("{}: {}", reading.title, counted(reading.calls.len(), "call"));
            if unclear > 0 {
                words = format!("{words}, {unclear} to be asked");
            }
            ui.label(small(words, tokens.ink2));
            let problems = reading.problems.len();
            let said = if problems == 0 { String::new() } else { counted(problems, "problem") };
            let hover = reading.problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
            ui.label(small(said, tokens.care)).on_hover_text(hover);
            let look = ui.button("Look over");
            look.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Look over {}", row.file))
            });
            look.clicked()
        }
        Err(why) => {
            ui.label("");
            ui.label(&row.file);
            ui.add(egui::Label::new(small(why.clone(), tokens.clash)).wrap());
            false
        }
    }
}
