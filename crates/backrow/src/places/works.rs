//! Works: what the library holds, what each work calls for, and reading scores into it.

mod again;
mod editor;
mod folder;
mod lines;
mod list;
mod shape;
mod table;

use crate::drafts::shelf::Slip;
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
    desk: Option<editor::Editor>,
    /// What was last cleared from the desk without being kept.
    left: Option<editor::Editor>,
    /// A folder of scores that is being read, or was.
    folder: Option<folder::FolderReading>,
    path: String,
    filter: String,
    /// Points by which the table's columns are pushed aside.
    across: f32,
}

impl State {
    /// Puts a reading on the desk.
    pub fn review(&mut self, reading: &ScoreReading, library: &Library) {
        self.desk = Some(editor::Editor::of_reading(reading, library));
    }

    /// Begins to read all scores of a folder.
    ///
    /// # Errors
    /// Why it cannot be, in words.
    pub fn read_folder(
        &mut self,
        ctx: &egui::Context,
        path: &std::path::Path,
        kinds: backrow_core::library::Shared<backrow_core::id::KindId, backrow_core::collection::Kind>,
        options: backrow_files::score::ReadOptions,
    ) -> Result<(), String> {
        self.folder = Some(folder::FolderReading::begin(ctx, path, kinds, options)?);
        Ok(())
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
        self.folder = Some(folder::FolderReading::begin_files(ctx, (&folder, files), kinds, options)?);
        Ok(())
    }

    /// Whether something lies on the desk.
    pub const fn is_reviewing(&self) -> bool {
        self.desk.is_some()
    }

    /// How many works on the desk, or put aside from it, are not in the library as they are there.
    pub fn unsaved(&self) -> usize {
        [&self.desk, &self.left].into_iter().flatten().filter(|desk| desk.has_changed()).count()
    }

    /// What is on the desk, or was put aside from it, as it is kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        let all = [&self.left, &self.desk].into_iter().flatten().filter(|desk| desk.has_changed());
        all.filter_map(editor::Editor::slip).collect()
    }

    /// Puts aside what was kept on disk, to be taken up again.
    pub fn take_slip(&mut self, slip: &Slip) {
        if let Some(editor) = editor::Editor::of_slip(slip) {
            self.left = Some(editor);
        }
    }

    /// Clears the desk; whether anything lay on it.
    pub fn clear_desk(&mut self) -> bool {
        let cleared = self.desk.take();
        let any = cleared.is_some();
        self.left = cleared.filter(editor::Editor::has_changed).or(self.left.take());
        any || self.folder.take().is_some()
    }
}

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    Frame::new().inner_margin(Margin { left: 16, right: 16, top: 0, bottom: 0 }).show(ui, |ui| {
        let title = match &view.own.desk {
            Some(desk) => desk.title(),
            None if view.own.folder.is_some() => "A folder of scores",
            None => "Works",
        };
        let title = title.to_owned();
        let tokens = scene.tokens;
        page::head(ui, &tokens, &title, |ui| {
            let left = view.own.desk.is_none().then_some(view.own.left.as_ref()).flatten();
            if let Some(words) = left.map(|left| format!("Resume unfinished work: {}", left.name()))
                && ui.button(words).on_hover_text("A draft: nothing of it is in the library").clicked()
            {
                view.own.desk = view.own.left.take();
            }
        });
        keys(ui, scene, view);
        if let Some(mut desk) = view.own.desk.take() {
            match editor::ui(ui, scene, view, &mut desk) {
                editor::Outcome::GoesOn => view.own.desk = Some(desk),
                editor::Outcome::Kept => {}
                editor::Outcome::Left => {
                    view.own.desk = Some(desk);
                    view.own.clear_desk();
                }
            }
        } else if let Some(mut reading) = view.own.folder.take() {
            match folder::ui(ui, scene, view, &mut reading) {
                folder::Outcome::Stays => view.own.folder = Some(reading),
                folder::Outcome::Closed => {}
                folder::Outcome::Desk(desk) => {
                    view.own.desk = Some(*desk);
                    view.own.folder = Some(reading);
                }
            }
        } else {
            if scene.library.works.is_empty() {
                let what_for =
                    "Here works are read from scores, or written by hand, and their lines are put right.";
                page::empty(ui, scene, what_for);
                ui.add_space(space::M);
            }
            list::read_line(ui, scene, view.own);
            if view.has_failed() {
                let tokens = scene.tokens;
                crate::theme::widgets::trouble(ui, &tokens, &view.said);
            }
            list::options_line(ui, scene);
            ui.add_space(space::S);
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

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Ctrl N", "A new work, by hand"),
    ("Ctrl E", "Edit the current work"),
    ("Ctrl Enter", "Save what is under review"),
    ("Down", "In the line of a new line: take the first name"),
    ("Enter", "In that field: add the line and type the next"),
    ("Esc", "Close without saving; it can be resumed"),
];

fn keys(ui: &Ui, scene: &Scene<'_>, view: &mut Here<'_>) {
    if view.own.desk.is_some() || view.keys_are_taken(ui.ctx()) {
        return;
    }
    let pressed = |key| ui.input_mut(|i| i.consume_key(egui::Modifiers::COMMAND, key));
    if pressed(egui::Key::N) {
        view.own.desk = Some(editor::Editor::new());
    } else if pressed(egui::Key::E)
        && let Some(work) = view.work.as_ref().and_then(|id| scene.library.works.get(id))
    {
        view.own.desk = Some(editor::Editor::of_library(work));
    }
}
