//! Works: what the library holds, what each work calls for, and reading scores into it.

mod again;
pub(crate) mod editor;
mod folder;
mod lines;
mod list;
mod shape;
mod table;

use crate::drafts::shelf::Slip;
use crate::drafts::{Forms, Left};
use crate::intent::Intent;
use crate::page;
use crate::scene::Scene;
use crate::theme::tokens::space;
use crate::view::View;
use backrow_core::library::Library;
use backrow_files::score::ScoreReading;
use egui::{Frame, Margin, Ui};

/// The view with this place's own state.
type Here<'v> = crate::view::Here<'v, State>;

/// What the place looks at.
#[derive(Default)]
pub struct State {
    review: Forms<editor::Editor>,
    /// A folder of scores that is being read, or was.
    folder: Option<folder::FolderReading>,
    /// Those that were put aside before anything of them was imported; the last of them even where nothing was changed.
    folders_aside: Vec<folder::FolderReading>,
    /// Those that were kept on disk, and are read again when they are resumed.
    folders_kept: Vec<folder::Kept>,
    path: String,
    filter: String,
    /// Points by which the table's columns are pushed aside.
    across: f32,
}

impl State {
    /// Puts a reading in review.
    pub fn review(&mut self, reading: &ScoreReading, library: &Library) {
        self.review.put(editor::Editor::of_reading(reading, library));
    }

    /// Begins to read all scores of a folder; what of it is left out, in words.
    ///
    /// # Errors
    /// Why it cannot be, in words.
    pub fn read_folder(
        &mut self,
        ctx: &egui::Context,
        path: &std::path::Path,
        kinds: backrow_core::library::Shared<backrow_core::id::KindId, backrow_core::collection::Kind>,
        options: backrow_files::score::ReadOptions,
    ) -> Result<Option<String>, String> {
        let (reading, left_out) = folder::FolderReading::begin(ctx, path, kinds, options)?;
        self.put_folder_aside();
        self.folder = Some(reading);
        Ok(left_out)
    }

    /// Begins to read several scores.
    ///
    /// # Errors
    /// Why they cannot be, in words.
    pub fn read_files(
        &mut self,
        ctx: &egui::Context,
        mut files: Vec<std::path::PathBuf>,
        kinds: backrow_core::library::Shared<backrow_core::id::KindId, backrow_core::collection::Kind>,
        options: backrow_files::score::ReadOptions,
    ) -> Result<(), String> {
        files.sort();
        let folder = files.first().and_then(|file| file.parent()).map(std::path::Path::to_owned);
        let folder = folder.unwrap_or_default();
        let reading = folder::FolderReading::begin_files(ctx, (&folder, files), kinds, options)?;
        self.put_folder_aside();
        self.folder = Some(reading);
        Ok(())
    }

    /// Puts the review of several scores aside, and says what became of it: only what was changed is a draft.
    fn put_folder_aside(&mut self) -> Left {
        let Some(reading) = self.folder.take() else { return Left::Nothing };
        let left = if reading.changed().is_some() { Left::Draft } else { Left::Closed };
        self.folders_aside.retain(|aside| aside.changed().is_some());
        self.folders_aside.push(reading);
        left
    }

    /// Reviews of several scores in which something was changed.
    fn folders_changed(&self) -> impl Iterator<Item = folder::Kept> {
        let here = self.folders_aside.iter().chain(&self.folder).filter_map(folder::FolderReading::changed);
        here.chain(self.folders_kept.iter().cloned())
    }

    /// Whether a work is in review.
    pub const fn is_reviewing(&self) -> bool {
        self.review.open().is_some()
    }

    /// How many works in review, or put aside, are not in the library as they are there.
    pub fn unsaved(&self) -> usize {
        self.review.unsaved() + self.folders_changed().count()
    }

    /// What is in review, or was put aside, as it is kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        let folders = self.folders_changed().filter_map(|kept| kept.slip());
        self.review.held().filter_map(editor::Editor::slip).chain(folders).collect()
    }

    /// Puts aside what was kept on disk, to be taken up again.
    pub fn take_slip(&mut self, slip: &Slip) -> bool {
        if slip.form == "scores" {
            let kept = folder::Kept::of_slip(slip);
            return kept.map(|kept| self.folders_kept.push(kept)).is_some();
        }
        editor::Editor::of_slip(slip).map(|editor| self.review.put_aside(editor)).is_some()
    }

    /// A step back, or forth again, in the work in review or the review of several scores; whether there was one, and nothing where none is open.
    pub fn step_here(&mut self, back: bool) -> Option<bool> {
        if let Some(editor) = self.review.open_mut() {
            return Some(if back { editor.back() } else { editor.forth() });
        }
        self.folder.as_mut().map(|reading| reading.step(back))
    }

    /// Ends the review, and says what became of it.
    pub fn leave_review(&mut self) -> Left {
        match self.review.leave() {
            Left::Nothing => self.put_folder_aside(),
            left => left,
        }
    }
}

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    Frame::new().inner_margin(Margin { left: 16, right: 16, top: 0, bottom: 0 }).show(ui, |ui| {
        let title = match view.own.review.open() {
            Some(review) => review.heading(),
            None if view.own.folder.is_some() => "A folder of scores",
            None => "Works",
        };
        let title = title.to_owned();
        let tokens = scene.tokens;
        page::head(ui, &tokens, &title, |ui| {
            if view.own.review.open().is_none() && view.own.folder.is_none() {
                list::read_line(ui, scene, view.own);
            }
        });
        keys(ui, scene, view);
        if view.own.review.open().is_none() {
            view.own.review.ui(ui, &tokens);
            resume_folder(ui, scene, view);
        }
        if let Some(mut review) = view.own.review.take() {
            let outcome = editor::ui(ui, scene, view, &mut review);
            if let Some(words) = view.own.review.end(review, outcome).words() {
                scene.ask(Intent::Say(words.to_owned()));
            }
        } else if let Some(mut reading) = view.own.folder.take() {
            let asked = scene.intents.len();
            match folder::ui(ui, scene, view, &mut reading) {
                folder::Outcome::Stays => view.own.folder = Some(reading),
                // What was imported is done with; what was only closed can be resumed.
                folder::Outcome::Closed if scene.intents.len() > asked => {}
                folder::Outcome::Closed => {
                    view.own.folder = Some(reading);
                    view.own.put_folder_aside();
                }
                folder::Outcome::Review(review) => {
                    view.own.review.put(*review);
                    view.own.folder = Some(reading);
                }
            }
        } else {
            if view.has_failed() {
                let tokens = scene.tokens;
                crate::theme::widgets::trouble(ui, &tokens, &view.said);
            }
            if scene.library.works.is_empty() {
                let what_for =
                    "Here works are read from scores or entered by hand, and their lines are corrected.";
                return page::empty(ui, scene, what_for);
            }
            let height = ui.available_height();
            ui.horizontal_top(|ui| {
                // In a small window the list gives way to the lines.
                let width = (ui.available_width() * 0.36).clamp(180.0, 236.0);
                ui.allocate_ui(egui::vec2(width, height), |ui| list::ui(ui, scene, view, width));
                ui.add_space(space::M);
                ui.vertical(|ui| lines::ui(ui, scene, view));
            });
        }
    });
}

/// A way back to the scores that were put aside, while none are reviewed.
fn resume_folder(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    if view.own.folder.is_some() {
        return;
    }
    let aside = view.own.folders_aside.len();
    let words: Vec<String> = (view.own.folders_aside.iter().map(folder::FolderReading::words))
        .chain(view.own.folders_kept.iter().map(folder::Kept::words))
        .collect();
    for (at, words) in words.iter().enumerate() {
        let (mut resumes, mut throws) = (false, false);
        ui.horizontal(|ui| {
            ui.add(egui::Label::new(format!("Review of {words}")).truncate());
            let said = [("Resume", &mut resumes), ("Throw away", &mut throws)];
            for (verb, clicked) in said {
                let button = ui.small_button(verb);
                let name = format!("{verb} the review of {words}");
                button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &name));
                *clicked = button.clicked();
            }
        });
        if !resumes && !throws {
            continue;
        }
        if at < aside {
            let reading = view.own.folders_aside.remove(at);
            view.own.folder = resumes.then_some(reading);
            return;
        }
        let kept = view.own.folders_kept.remove(at - aside);
        if throws {
            return;
        }
        let (kinds, options) = (scene.library.kinds.clone(), scene.settings.read_options());
        match folder::FolderReading::resume(ui.ctx(), kept.clone(), kinds, options) {
            Ok(reading) => view.own.folder = Some(reading),
            Err(why) => {
                view.own.folders_kept.push(kept);
                scene.ask(Intent::Fail(why));
            }
        }
        return;
    }
}

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Ctrl N", "Enter a work"),
    ("Ctrl E", "Edit the current work"),
    ("Ctrl Enter", "Save what is under review"),
    ("Down", "In the field of a new line: take the first name"),
    ("Enter", "In that field: add the line and type the next"),
    ("Esc", "Close without saving; it can be resumed"),
];

fn keys(ui: &Ui, scene: &Scene<'_>, view: &mut Here<'_>) {
    if view.own.review.open().is_some() || view.keys_are_taken(ui.ctx()) {
        return;
    }
    let pressed = |key| ui.input_mut(|i| i.consume_key(egui::Modifiers::COMMAND, key));
    if pressed(egui::Key::N) {
        view.own.review.put(editor::Editor::new());
    } else if pressed(egui::Key::E)
        && let Some(work) = view.work.as_ref().and_then(|id| scene.library.works.get(id))
    {
        view.own.review.put(editor::Editor::of_library(work));
    }
}
