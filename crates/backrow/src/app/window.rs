//! One frame of the window, and the window itself.

use super::App;
use crate::frame::Shell;
use crate::frame::top_strip::Strip;
use crate::frame::{
    asking, comparing, earlier, foot, guide, importing, keys, leaving, listening, panel, playing_on, preview,
    proposing, rail, recording, remembering, top_strip, versions, welcome,
};
use crate::scene::Scene;
use crate::theme::Tokens;
use crate::theme::tokens::{shell, space};
use crate::view::{Place, View};
use egui::{CentralPanel, Frame, Margin, Panel, Rect, Ui};
use std::path::Path;

impl App {
    /// Draws one frame and carries out what was asked for.
    pub fn ui(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        self.dress(&ctx);
        self.press(&ctx);
        self.take_what_came(&ctx);
        let mut intents = std::mem::take(&mut self.intents);
        self.view.over = self.shell.over();
        intents.extend(self.keys(&ctx));
        let (library, revision) = (self.history.now(), self.history.revision());
        self.derived.refresh(&ctx, library, revision, self.view.programme.as_ref());
        let tokens = Tokens::of(&ctx);
        let library = self.history.now().clone();
        let read_only = self.read_only().map(str::to_owned);
        let unsaved_why = self.unsaved_why();
        preview::keys(&ctx, &library, &self.view, &mut self.shell.preview);
        let folder = self.store.as_ref().map(|store| store.folder.clone());
        let drafts = self.forms_unsaved();
        let missing = self.missing.of(&ctx, &library, folder.as_deref());
        let mut scene = Scene {
            library: &library,
            folder: folder.as_deref(),
            revision: self.history.revision(),
            derived: &self.derived,
            sound: &self.sound,
            missing,
            tokens,
            pictures: &self.pictures,
            settings: &self.settings,
            read_only: read_only.as_deref(),
            intents,
        };
        let mut strip = Strip {
            finder: &mut self.shell.finder,
            saved: &self.saved,
            drafts,
            undo: self.history.undoable(),
            redo: self.history.redoable(),
        };
        let bare = Frame::new().fill(tokens.ground);
        let edge = |panel: Panel, size: f32| {
            panel.exact_size(size).resizable(false).show_separator_line(false).frame(bare)
        };
        edge(Panel::top("top strip"), shell::TOP)
            .show(ui, |ui| top_strip::ui(ui, &mut scene, &mut self.view, &mut strip));
        // The finder is part of the strip above.
        let pointer = without_pointer(&ctx, self.view.over.is_some());
        // What stands at the right and below takes its room first, and is drawn after the middle: Tab goes as one reads.
        let below = edge(Panel::bottom("foot"), shell::FOOT).show(ui, |ui| ui.max_rect()).inner;
        let heard = listening::is_shown(&scene)
            .then(|| edge(Panel::bottom("heard"), listening::HEIGHT).show(ui, |ui| ui.max_rect()).inner);
        let whole = self.view.place == Place::BarView && self.places.bar_view.fills_window();
        let mut width = self.settings.panel_width;
        let mut beside = None;
        if !whole {
            edge(Panel::left("rail"), shell::RAIL).show(ui, |ui| rail::ui(ui, &mut scene, &self.view));
            // What is proposed stands beside the board, in the panel's stead: the time axis keeps its length.
            if self.view.place != Place::Section || !self.places.section.has_sheet() {
                let (room, found) = right_panel(ui, &scene);
                beside = Some(room);
                width = found.or(width);
            }
        }
        CentralPanel::default().frame(bare).show(ui, |ui| {
            importing::left(ui, &mut scene, self.view.place, &mut self.shell.importing);
            if matches!(self.view.place, Place::Collection | Place::Sounds) {
                left_of_sound(ui, &scene, &mut self.shell);
            }
            self.places.ui(ui, &mut scene, &mut self.view);
        });
        after_the_place(ui, &mut scene, &mut self.view, &mut self.shell.panel, (beside, heard, below));
        again(&ctx, pointer);
        over_the_places(ui, &mut scene, &self.view, &mut self.shell, folder.as_deref(), &unsaved_why);
        self.intents = scene.intents;
        self.settings.panel_width = width;
        self.carry_out(&ctx);
        self.save_lines(&ctx, Some(ctx.cumulative_pass_nr()));
        self.save_when_quiet(&ctx);
        self.was_typing = ctx.text_edit_focused();
        self.keep_settings(&ctx);
    }

    /// What workers, the desktop and others have brought since the last frame.
    fn take_what_came(&mut self, ctx: &egui::Context) {
        self.take_dropped_files(ctx);
        self.take_reading();
        self.stay_while_unsaved(ctx);
        self.import_from_elsewhere(ctx);
        self.take_copied(ctx);
        self.take_opened(ctx);
        self.take_printed();
        self.tell_what_is_under_way();
        self.take_taken_picture(ctx);
        self.measure(ctx);
        self.take_sound(ctx);
    }

    fn keep_settings(&mut self, ctx: &egui::Context) {
        self.keep_drafts(ctx);
        self.settings.place = self.view.place;
        self.settings.programme = self.view.programme.as_ref().map(ToString::to_string);
        let zoom = ctx.zoom_factor();
        self.settings.zoom = ((zoom - 1.0).abs() > 0.01).then_some(zoom);
        let size = ctx.content_rect().size() * zoom;
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
            self.view.fails(why);
        }
        self.settings_kept = self.settings.clone();
    }
}

/// While something lies over the places, no pointer is over what lies beneath: a tooltip that was there when a key opened a dialog
/// would stay over the dialog for as long as the pointer rests. Gives what [`again`] puts back.
fn without_pointer(ctx: &egui::Context, over: bool) -> Option<egui::PointerState> {
    over.then(|| ctx.input_mut(|input| std::mem::take(&mut input.pointer)))
}

/// The pointer as it was.
fn again(ctx: &egui::Context, pointer: Option<egui::PointerState>) {
    if let Some(pointer) = pointer {
        ctx.input_mut(|input| input.pointer = pointer);
    }
}

/// What lies over the places.
fn over_the_places(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &View,
    shell: &mut Shell,
    folder: Option<&Path>,
    unsaved_why: &str,
) {
    guide::ui(ui, scene, &mut shell.guide);
    keys::ui(ui, scene, view.place, &mut shell.keys);
    importing::ui(ui, scene, &mut shell.importing);
    preview::ui(ui, scene, view, &mut shell.preview, folder);
    proposing::ui(ui, scene, view.programme.as_ref(), &mut shell.proposing);
    comparing::ui(ui, scene, &mut shell.comparing);
    remembering::ui(ui, scene, view, &mut shell.remembering);
    recording::ui(ui, scene, &mut shell.recording);
    versions::ui(ui, scene, &mut shell.versions);
    earlier::ui(ui, scene, &mut shell.earlier);
    leaving::ui(ui, scene, &mut shell.leaving, unsaved_why);
    welcome::ui(ui, scene, &mut shell.welcome);
    playing_on::ui(ui, scene, view, &mut shell.playing_on);
    asking::ui(ui, scene, view, &mut shell.asking);
}

/// The room of the right panel, and its width where somebody has drawn it to another.
fn right_panel(ui: &mut Ui, scene: &Scene<'_>) -> (Rect, Option<f32>) {
    let tokens = scene.tokens;
    if scene.settings.panel_folded {
        let framed = Frame::new().fill(tokens.raised).inner_margin(Margin::symmetric(4, 0));
        let side = Panel::right("folded panel").exact_size(28.0).resizable(false).show_separator_line(false);
        return (side.frame(framed).show(ui, |ui| ui.max_rect()).inner, None);
    }
    let framed = Frame::new().fill(tokens.raised).inner_margin(Margin::same(16));
    let side = Panel::right("panel").resizable(true).show_separator_line(false);
    let side = side.default_size(scene.settings.panel_width.unwrap_or(shell::PANEL));
    let shown = side.size_range(shell::PANEL_LEAST..=shell::PANEL_MOST).frame(framed).show(ui, |ui| {
        // A panel that can be drawn wider takes the width of what is in it: all that there is.
        ui.set_min_width(ui.available_width());
        let edge = ui.max_rect().expand(space::L);
        crate::theme::marks::upright(ui.painter(), edge.left(), edge.y_range(), tokens.line);
        ui.max_rect()
    });
    let width = shown.response.rect.width();
    (shown.inner, ((width - shell::PANEL).abs() > 0.5).then_some(width))
}

/// What stands beside the place and below it, in the rooms that were taken for them.
fn after_the_place(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut View,
    state: &mut panel::State,
    (beside, heard, below): (Option<Rect>, Option<Rect>, Rect),
) {
    if let Some(room) = beside {
        let ui = &mut within(ui, "panel contents", room);
        if scene.settings.panel_folded {
            panel::folded(ui, scene);
        } else {
            panel::ui(ui, scene, view, state);
        }
    }
    if let Some(room) = heard {
        listening::ui(&mut within(ui, "heard contents", room), scene);
    }
    foot::ui(&mut within(ui, "foot contents", below), scene, view);
}

/// A room that was taken before, to be drawn in now.
fn within(ui: &mut Ui, name: &str, room: Rect) -> Ui {
    let layout = egui::Layout::top_down(egui::Align::Min);
    let mut child = ui.new_child(egui::UiBuilder::new().id_salt(name).max_rect(room).layout(layout));
    child.set_clip_rect(room.expand(space::L).intersect(ui.clip_rect()));
    child
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
        .with_app_id("org.backrow.Backrow")
        .with_inner_size([width.clamp(960.0, 8000.0), height.clamp(600.0, 5000.0)])
        .with_min_inner_size([960.0, 600.0])
        .with_drag_and_drop(true);
    // Without an icon the desktop shows its own: no reason not to open.
    let icon = eframe::icon_data::from_png_bytes(include_bytes!("../../../../assets/icon.png"));
    let viewport = match icon {
        Ok(icon) => viewport.with_icon(icon),
        Err(_unreadable) => viewport,
    };
    let options = eframe::NativeOptions { viewport, ..eframe::NativeOptions::default() };
    eframe::run_native("backrow", options, Box::new(move |_creation| Ok(Box::new(app)))).map_err(|e| {
        format!("the window cannot be opened: {e}. A desktop with OpenGL 2.1 or later is needed.")
    })
}

/// A way back to takes and grades that were left, where sounds and instruments are.
fn left_of_sound(ui: &mut Ui, scene: &Scene<'_>, shell: &mut Shell) {
    if shell.recording.unsaved() + shell.comparing.unsaved() == 0 {
        return;
    }
    Frame::new().inner_margin(Margin::symmetric(16, 4)).show(ui, |ui| {
        recording::left(ui, scene, &mut shell.recording);
        comparing::left(ui, scene, &mut shell.comparing);
    });
}
