//! The sheets of a programme, looked at before they are printed.

mod worker;

use crate::intent::Intent;
use crate::scene::Scene;
use crate::settings::PaperSize;
use crate::sheets::{LabelSize, Plans, Printer, Sheet, templates, today_of};
use crate::theme::dialog::dialog;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{sans, serif};
use crate::view::{Over, View};
use backrow_core::id::ProgrammeId;
use backrow_core::week::Programme;
use backrow_print::{Pages, Paper, Press};
use egui::{Key, RichText, Ui, WidgetInfo, vec2};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use worker::{Done, Looked, Order, Taken, Worker};

/// What is looked at.
pub struct State {
    open: bool,
    sheet: Option<Sheet>,
    page: usize,
    left_out: BTreeSet<Sheet>,
    only: Option<Sheet>,
    /// All sheets in one PDF.
    pub in_one: bool,
    worker: Option<Worker>,
    shown: Option<Shown>,
    programme: Option<ProgrammeId>,
}

impl Default for State {
    fn default() -> Self {
        Self {
            open: false,
            sheet: None,
            page: 0,
            left_out: BTreeSet::new(),
            only: None,
            in_one: true,
            worker: None,
            shown: None,
            programme: None,
        }
    }
}

/// The pages of one sheet as they were set, or why they could not be.
struct Shown {
    key: Asked,
    /// How many there are.
    pages: Result<usize, String>,
    /// Those that were looked at.
    drawn: BTreeMap<usize, Result<egui::TextureHandle, String>>,
    told: Vec<String>,
}

impl Shown {
    fn refused(key: Asked, why: String) -> Self {
        Self { key, pages: Err(why), drawn: BTreeMap::new(), told: Vec::new() }
    }

    /// Whether a page of what was asked for need not be asked for again.
    fn has(&self, key: &Asked, page: usize) -> bool {
        self.key == *key && self.pages.as_ref().map_or(true, |_| self.drawn.contains_key(&page))
    }

    /// Takes a page in, and leaves those behind that are far from it.
    fn add(&mut self, page: usize, drawn: Result<egui::TextureHandle, String>) {
        self.drawn.retain(|other, _| other.abs_diff(page) <= NEAR);
        self.drawn.insert(page, drawn);
    }
}

/// So many pages before and behind the one that is looked at are remembered as they were drawn.
const NEAR: usize = 4;

/// What a picture was asked for: another state asks again.
type Asked = (u64, ProgrammeId, Sheet, bool, Plans);

impl State {
    /// Shows the sheets.
    pub fn open(&mut self) {
        self.open = true;
        self.only = None;
    }

    /// Shows them, that sheet first.
    pub fn open_at(&mut self, sheet: Sheet) {
        self.open();
        self.sheet = Some(sheet);
        self.page = 0;
    }

    /// Puts them away.
    pub fn close(&mut self) {
        self.open = false;
        self.shown = None;
    }

    /// Whether they are shown.
    pub const fn is_open(&self) -> bool {
        self.open
    }

    /// The sheets to print, when they were chosen here; `None` for all.
    pub fn wanted(&self) -> Option<Vec<Sheet>> {
        self.only.clone().map(|sheet| vec![sheet])
    }

    /// The sheets to be left out.
    pub const fn left_out(&self) -> &BTreeSet<Sheet> {
        &self.left_out
    }
}

/// Shows the sheets when they are asked for.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, state: &mut State, folder: Option<&Path>) {
    if !state.open {
        return;
    }
    let Some(programme) = view.programme_in(scene.library) else {
        state.close();
        scene
            .ask(Intent::Fail("Choose a programme first: there is nothing to print without one.".to_owned()));
        return;
    };
    let mut sheets = Sheet::of(scene.library, programme);
    sheets.extend(Sheet::of_all());
    sheets.push(crate::keymap::sheet());
    let id = programme.id.clone();
    let title = programme.title.clone();
    if state.programme.as_ref() != Some(&id) {
        state.programme = Some(id.clone());
        state.page = 0;
    }
    let sheet = state.sheet.clone().filter(|sheet| sheets.contains(sheet));
    let sheet = sheet.or_else(|| sheets.first().cloned()).unwrap_or(Sheet::Plan);
    let letter = scene.settings.paper == PaperSize::Letter;
    let key = (scene.revision, id, sheet.clone(), letter, scene.settings.plans());
    ask(ui, scene, state, (&key, programme), folder);
    let area = ui.ctx().content_rect().size() - vec2(96.0, 72.0);
    let modal = dialog(ui, "sheets").show(ui.ctx(), |ui| {
        ui.set_width(area.x);
        ui.set_height(area.y);
        ui.horizontal(|ui| {
            ui.label(RichText::new("Sheets").font(serif(size::TITLE)).color(scene.tokens.ink));
            ui.label(RichText::new(title).color(scene.tokens.ink2));
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                buttons(ui, scene, state, &sheet);
            });
        });
        said(ui, scene, view);
        ui.add_space(space::S);
        let height = ui.available_height();
        ui.horizontal_top(|ui| {
            ui.allocate_ui(vec2(232.0, height), |ui| list(ui, scene, state, &sheets, &sheet));
            ui.add_space(space::M);
            ui.vertical(|ui| {
                if matches!(sheet, Sheet::Labels | Sheet::AllLabels) {
                    label_size(ui, scene);
                } else if matches!(sheet, Sheet::Load(_)) {
                    instrument_pictures(ui, scene);
                }
                pages(ui, scene, state, &key);
            });
        });
    });
    if modal.should_close() && view.over != Some(Over::Question) {
        state.close();
    }
}

/// What is being printed, or was, with a way to open it: the bottom line lies dimmed behind the dialog.
fn said(ui: &mut Ui, scene: &mut Scene<'_>, view: &View) {
    let words = match (&view.under_way, &view.printed_to) {
        (Some(words), _) => words,
        (None, Some(_)) => &view.said,
        (None, None) if view.has_failed() => &view.said,
        (None, None) => return,
    };
    ui.horizontal(|ui| {
        if let Some(to) = view.printed_to.as_ref().filter(|_| view.under_way.is_none()) {
            if to.is_file() && ui.button("Open").clicked() {
                scene.ask(Intent::Show(to.clone()));
            }
            let folder = if to.is_file() { to.parent().unwrap_or(to) } else { to };
            if ui.button("Open the folder").clicked() {
                scene.ask(Intent::Show(folder.to_owned()));
            }
        }
        let ink = if view.has_failed() { scene.tokens.clash } else { scene.tokens.ink };
        let label = egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(ink)).truncate();
        ui.add(label).on_hover_text(words);
    });
}

fn buttons(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State, sheet: &Sheet) {
    if ui.button("Close").on_hover_text("Esc").clicked() {
        state.close();
    }
    if ui.button("Print this one …").clicked() {
        state.only = Some(sheet.clone());
        scene.ask(Intent::AskForSheets);
    }
    if primary(ui, &scene.tokens, "Print all ticked …").clicked() {
        state.only = None;
        scene.ask(Intent::AskForSheets);
    }
    ui.checkbox(&mut state.in_one, "in one PDF");
}

/// Which size of labels lies in the printer.
fn label_size(ui: &mut Ui, scene: &mut Scene<'_>) {
    ui.horizontal(|ui| {
        let paper = scene.settings.paper.paper();
        let label = ui.label(if paper == Paper::Letter { "Labels on Letter" } else { "Labels on A4" });
        let mut size = scene.settings.labels.on(paper);
        let before = size;
        let combo = egui::ComboBox::from_id_salt("label size").selected_text(size.word()).width(190.0);
        let combo = combo.show_ui(ui, |ui| {
            for one in LabelSize::of(paper) {
                ui.selectable_value(&mut size, one, one.word());
            }
        });
        combo.response.labelled_by(label.id);
        if size != before {
            let settings = crate::settings::Settings { labels: size, ..scene.settings.clone() };
            scene.ask(Intent::Set(Box::new(settings)));
        }
        instrument_pictures(ui, scene);
    });
}

/// Whether instruments are shown by their pictures.
fn instrument_pictures(ui: &mut Ui, scene: &mut Scene<'_>) {
    let mut shown = scene.settings.instrument_pictures;
    let hover = "Of those that have one; on labels where there is room";
    if ui.checkbox(&mut shown, "Pictures of the instruments").on_hover_text(hover).changed() {
        let settings = crate::settings::Settings { instrument_pictures: shown, ..scene.settings.clone() };
        scene.ask(Intent::Set(Box::new(settings)));
    }
}

fn list(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, sheets: &[Sheet], now: &Sheet) {
    ui.vertical(|ui| {
        ui.set_width(232.0);
        egui::ScrollArea::vertical().id_salt("sheets").auto_shrink([false, false]).show(ui, |ui| {
            for sheet in sheets {
                let title = sheet.title(scene.library);
                ui.horizontal(|ui| {
                    if sheet.is_of_a_programme() {
                        let mut ticked = !state.left_out.contains(sheet);
                        let tick = ui.checkbox(&mut ticked, "");
                        let label = format!("Print {title}");
                        tick.widget_info(|| {
                            WidgetInfo::selected(egui::Role::CheckBox, true, ticked, label.clone())
                        });
                        if ticked {
                            state.left_out.remove(sheet);
                        } else {
                            state.left_out.insert(sheet.clone());
                        }
                    } else {
                        ui.add_space(32.0);
                    }
                    let label = ui.selectable_label(sheet == now, title);
                    if label.clicked() {
                        state.sheet = Some(sheet.clone());
                        state.page = 0;
                    }
                });
            }
        });
    });
}

/// The arrows and page keys, before anything beneath the sheets takes them.
pub fn keys(ctx: &egui::Context, library: &backrow_core::library::Library, view: &View, state: &mut State) {
    if view.over != Some(Over::Sheets) {
        return;
    }
    let Some(programme) = view.programme_in(library) else { return };
    let mut sheets = Sheet::of(library, programme);
    sheets.extend(Sheet::of_all());
    sheets.push(crate::keymap::sheet());
    let pressed = |key| ctx.input_mut(|i| i.consume_key(egui::Modifiers::NONE, key));
    let at = state.sheet.as_ref().and_then(|now| sheets.iter().position(|sheet| sheet == now)).unwrap_or(0);
    let next = if pressed(Key::ArrowDown) {
        sheets.get(at + 1)
    } else if pressed(Key::ArrowUp) {
        at.checked_sub(1).and_then(|at| sheets.get(at))
    } else {
        None
    };
    if let Some(next) = next {
        state.sheet = Some(next.clone());
        state.page = 0;
    }
    if pressed(Key::PageDown) {
        state.page += 1;
    }
    if pressed(Key::PageUp) {
        state.page = state.page.saturating_sub(1);
    }
}

fn pages(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, key: &Asked) {
    let tokens = scene.tokens;
    let Some(shown) = state.shown.as_ref().filter(|shown| shown.key == *key) else {
        ui.label(RichText::new("Setting …").color(tokens.ink2));
        return;
    };
    let count = match &shown.pages {
        Ok(count) => *count,
        Err(why) => {
            ui.add(egui::Label::new(RichText::new(why).color(tokens.clash)).wrap());
            return;
        }
    };
    let last = count.saturating_sub(1);
    state.page = state.page.min(last);
    ui.horizontal(|ui| {
        if ui.add_enabled(state.page > 0, egui::Button::new("Previous page")).clicked() {
            state.page -= 1;
        }
        ui.label(format!("page {} of {}", state.page + 1, last + 1));
        if ui.add_enabled(state.page < last, egui::Button::new("Next page")).clicked() {
            state.page += 1;
        }
    });
    for words in &shown.told {
        ui.add(egui::Label::new(RichText::new(words).color(tokens.care)).wrap());
    }
    let texture = match shown.drawn.get(&state.page) {
        Some(Ok(texture)) => texture,
        Some(Err(why)) => {
            ui.add(egui::Label::new(RichText::new(why).color(tokens.clash)).wrap());
            return;
        }
        None => {
            ui.label(RichText::new("Setting …").color(tokens.ink2));
            // It is asked for with the next frame.
            ui.ctx().request_repaint();
            return;
        }
    };
    egui::ScrollArea::both().id_salt("page").auto_shrink([false, false]).show(ui, |ui| {
        let natural = texture.size_vec2();
        let width = (ui.available_width() - 8.0).min(900.0);
        let image = egui::Image::new(texture).fit_to_exact_size(vec2(width, natural.y / natural.x * width));
        let response = ui.add(image.alt_text(format!("Page {} of the sheet", state.page + 1)));
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, "The page"));
    });
}

/// Asks the worker for pages that are not there yet, and takes what it has done.
fn ask(
    ui: &Ui,
    scene: &Scene<'_>,
    state: &mut State,
    (key, programme): (&Asked, &Programme),
    folder: Option<&Path>,
) {
    let ctx = ui.ctx();
    if state.worker.is_none() {
        match Worker::start(ctx) {
            Ok(worker) => state.worker = Some(worker),
            Err(why) => {
                state.shown = Some(Shown::refused(key.clone(), why));
                return;
            }
        }
    }
    let Some(worker) = &mut state.worker else { return };
    let mut has_ended = false;
    loop {
        match worker.take() {
            Taken::Nothing => break,
            Taken::Done(done) => take(ctx, &mut state.shown, *done),
            Taken::Ended => {
                // What broke it off is not tried again by itself; another sheet gets another thread.
                has_ended = true;
                let why = "Setting this sheet stopped short. Close the sheets and open them again to try once more.";
                state.shown = Some(Shown::refused(key.clone(), why.to_owned()));
                break;
            }
        }
    }
    if has_ended {
        state.worker = None;
        return;
    }
    let page = state.page;
    if state.shown.as_ref().is_none_or(|shown| !shown.has(key, page)) {
        let paper = if key.3 { Paper::Letter } else { Paper::A4 };
        worker.ask(key, page, || Order {
            key: key.clone(),
            page,
            evening: scene.derived.evening_of(scene.library, scene.revision, programme),
            paper,
            templates: templates(folder),
            today: today_of(scene.library),
            folder: folder.map(Path::to_owned),
            plans: scene.settings.plans(),
        });
    }
}

/// Takes a page that has been drawn.
fn take(ctx: &egui::Context, shown: &mut Option<Shown>, done: Done) {
    let Done { key, sheet } = done;
    let Looked { count, told, page, drawn } = match sheet {
        Ok(looked) => looked,
        Err(why) => {
            *shown = Some(Shown::refused(key, why));
            return;
        }
    };
    let texture = drawn
        .map(|image| ctx.load_texture(format!("sheet page {page}"), image, egui::TextureOptions::LINEAR));
    match shown {
        Some(shown) if shown.key == key => shown.add(page, texture),
        _ => {
            *shown = Some(Shown { key, pages: Ok(count), drawn: BTreeMap::from([(page, texture)]), told });
        }
    }
}

/// Sets one sheet; the work of the worker.
fn set(press: &Press, order: &Order) -> Result<Pages, String> {
    let (_, _, sheet, ..) = &order.key;
    let printer = Printer {
        evening: &order.evening,
        paper: order.paper,
        templates: &order.templates,
        today: order.today,
        remembers: order.folder.as_deref(),
        plans: order.plans,
    };
    printer.set(press, sheet)
}

/// Draws one page of a sheet: the one that was asked for, or the last where there are fewer.
fn look_at(pages: &Pages, page: usize) -> Looked {
    let page = page.min(pages.count().saturating_sub(1));
    let drawn = pages.picture(page, PIXELS_PER_PT).map_err(|why| why.to_string()).map(|picture| {
        let size = [picture.width as usize, picture.height as usize];
        egui::ColorImage::from_rgba_unmultiplied(size, &picture.rgba)
    });
    let remarks = pages.remarks().iter().map(|remark| remark.words.clone());
    let told = pages.missing().iter().map(ToString::to_string).chain(remarks).collect();
    Looked { count: pages.count(), told, page, drawn }
}

/// How fine pages are drawn: 115 pixels to the inch, enough to read 9 point type.
const PIXELS_PER_PT: f64 = 1.6;
