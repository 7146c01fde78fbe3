//! One frame of the window, and the window itself.

use super::App;
use crate::frame::top_strip::Strip;
use crate::frame::{asking, finder, foot, keys, panel, preview, rail, taking, top_strip, versions};
use crate::places;
use crate::scene::Scene;
use crate::theme::Tokens;
use crate::theme::tokens::{shell, space};
use crate::view::Place;
use egui::{CentralPanel, Frame, Margin, Panel, Ui};

impl App {
    /// Draws one frame and carries out what was asked for.
    pub fn ui(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        self.dress(&ctx);
        self.take_dropped_files(&ctx);
        self.take_reading();
        let mut intents = std::mem::take(&mut self.intents);
        let call_in_hand = matches!(self.view.in_hand, Some(crate::view::Carried::Call(_)));
        intents.extend(Self::keys(&ctx, call_in_hand));
        self.derived.refresh(self.history.now(), self.history.revision(), self.view.programme.as_ref());
        let tokens = Tokens::of(&ctx);
        let library = self.history.now().clone();
        let read_only = self.read_only().map(str::to_owned);
        preview::keys(&ctx, &library, &mut self.view);
        let mut scene = Scene {
            library: &library,
            revision: self.history.revision(),
            derived: &self.derived,
            tokens,
            settings: &self.settings,
            read_only: read_only.as_deref(),
            intents,
        };
        let strip =
            Strip { saved: &self.saved, undo: self.history.undoable(), redo: self.history.redoable() };
        let bare = Frame::new().fill(tokens.ground);
        Panel::top("top strip")
            .exact_size(shell::TOP)
            .resizable(false)
            .show_separator_line(false)
            .frame(bare)
            .show(ui, |ui| {
                top_strip::ui(ui, &mut scene, &mut self.view, &strip);
            });
        Panel::bottom("foot")
            .exact_size(shell::FOOT)
            .resizable(false)
            .show_separator_line(false)
            .frame(bare)
            .show(ui, |ui| {
                foot::ui(ui, &scene, &self.view);
            });
        let whole = self.view.place == Place::BarView && self.view.bar_view.fills_window();
        if !whole {
            Panel::left("rail")
                .exact_size(shell::RAIL)
                .resizable(false)
                .show_separator_line(false)
                .frame(bare)
                .show(ui, |ui| {
                    rail::ui(ui, &mut scene, &self.view);
                });
            let framed = Frame::new().fill(tokens.raised).inner_margin(Margin::same(16));
            Panel::right("panel")
                .exact_size(shell::PANEL)
                .resizable(false)
                .show_separator_line(false)
                .frame(framed)
                .show(ui, |ui| {
                    let edge = ui.max_rect().expand(space::L);
                    crate::theme::marks::upright(ui.painter(), edge.left(), edge.y_range(), tokens.line);
                    panel::ui(ui, &mut scene, &mut self.view);
                });
        }
        CentralPanel::default().frame(bare).show(ui, |ui| place_ui(ui, &mut scene, &mut self.view));
        keys::ui(ui, &scene, &mut self.view);
        taking::ui(ui, &mut scene, &mut self.view);
        let folder = self.store.as_ref().map(|store| store.folder.clone());
        preview::ui(ui, &mut scene, &mut self.view, folder.as_deref());
        versions::ui(ui, &mut scene, &mut self.view);
        asking::ui(ui, &mut scene, &mut self.view);
        self.intents = scene.intents;
        self.carry_out(&ctx);
        self.save_when_quiet(&ctx);
        self.keep_settings(&ctx);
    }

    fn keep_settings(&mut self, ctx: &egui::Context) {
        self.settings.place = self.view.place;
        self.settings.programme = self.view.programme.as_ref().map(ToString::to_string);
        let size = ctx.content_rect().size();
        if !ctx.input(|i| i.viewport().maximized.unwrap_or(false) || i.viewport().fullscreen.unwrap_or(false))
        {
            self.settings.window = Some((size.x, size.y));
        }
        if self.settings == self.settings_kept || ctx.input(|i| i.pointer.any_down()) {
            return;
        }
        if let Some(file) = &self.settings_file
            && let Err(why) = self.settings.write(file)
        {
            self.view.said = why;
        }
        self.settings_kept = self.settings.clone();
    }
}

fn place_ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut crate::view::View) {
    match view.place {
        Place::Section => places::section::ui(ui, scene, view),
        Place::Compass => places::compass::ui(ui, scene, view),
        Place::Floor => places::floor::ui(ui, scene, view),
        Place::BarView => places::bar_view::ui(ui, scene, view),
        Place::Season => places::season::ui(ui, scene, view),
        Place::Week => places::week::ui(ui, scene, view),
        Place::Works => places::works::ui(ui, scene, view),
        Place::Collection => places::collection::ui(ui, scene, view),
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        Self::ui(self, ui);
    }

    fn persist_egui_memory(&self) -> bool {
        false
    }
}

/// Opens the window and stays until it is closed.
pub fn run(app: App) -> Result<(), String> {
    let (width, height) = app.settings.window.unwrap_or((1280.0, 800.0));
    let viewport = egui::ViewportBuilder::default()
        .with_title("Backrow")
        .with_app_id("backrow")
        .with_inner_size([width.clamp(960.0, 8000.0), height.clamp(600.0, 5000.0)])
        .with_min_inner_size([960.0, 600.0])
        .with_drag_and_drop(true);
    let options = eframe::NativeOptions { viewport, ..eframe::NativeOptions::default() };
    eframe::run_native("backrow", options, Box::new(move |_creation| Ok(Box::new(app)))).map_err(|e| {
        format!("the window cannot be opened: {e}. A desktop with OpenGL 2.1 or later is needed.")
    })
}

/// Closes the finder's list when something else was done.
pub(super) fn close_finder(app: &mut App) {
    finder::close(&mut app.view);
}
