//! Season: for each programme the players that it needs, extras, hires and collisions.

use crate::actions::Action;
use crate::background::{Remembered, Stop};
use crate::intent::Intent;
use crate::page;
use crate::scene::Scene;
use crate::sheets::{Counted, SeasonRow, Sheet, season};
use crate::theme::marks::Mark;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::widgets::focus_ring;
use crate::theme::{marks, sans, serif_italic};
use crate::view::{Place, View};
use egui::{Align, Frame, Layout, Margin, RichText, Sense, Ui, WidgetInfo, vec2};
use std::sync::Arc;

/// The view with this place's own state.
type Here<'v> = crate::view::Here<'v, State>;

/// What the place looks at.
#[derive(Default)]
pub struct State {
    rows: Remembered<u64, Vec<SeasonRow>>,
    counted: Arc<Counted>,
}

impl State {
    /// How far the season has come, while it is being worked out.
    pub fn search(&self) -> Option<String> {
        let words = "Working out the season";
        let percent = |(done, _)| format!("{words}: {done} %");
        Some(self.rows.working()?.map_or_else(|| format!("{words} …"), percent))
    }

    /// Ends working out the season; whether there was something to end.
    pub fn cancel_search(&mut self) -> bool {
        self.rows.cancel()
    }
}

/// Columns: heading, and share of the width.
const COLUMNS: [(&str, f32); 6] = [
    ("programme", 0.18),
    ("when, where", 0.16),
    ("players needed", 0.14),
    ("extras", 0.15),
    ("hires", 0.18),
    ("collisions", 0.19),
];

/// In a narrow window the collisions are sentences beneath their row, as wide as the row: a column would break them word by word.
const NARROW: [(&str, f32); 5] =
    [("programme", 0.24), ("when, where", 0.2), ("players needed", 0.17), ("extras", 0.17), ("hires", 0.22)];

/// Below so many points the window is narrow.
const WIDE: f32 = 780.0;

/// The columns that stand in so many points.
const fn columns(width: f32) -> &'static [(&'static str, f32)] {
    if width < WIDE { &NARROW } else { &COLUMNS }
}

/// Between two columns, points.
const GAP: f32 = 12.0;

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    let tokens = scene.tokens;
    Frame::new().inner_margin(Margin { left: 16, right: 12, top: 0, bottom: 0 }).show(ui, |ui| {
        let any = scene.library.programmes().next().is_some();
        page::head(ui, &tokens, "Season", |ui| {
            if any && ui.button("Print …").clicked() {
                scene.ask(Intent::ShowSheet(Sheet::Season));
            }
            if any && ui.button("Save tables …").on_hover_text(Action::SaveTables.key_words()).clicked() {
                scene.ask(Intent::Do(Action::SaveTables));
            }
        });
        if !any {
            let what_for =
                "Here every programme stands with the players it needs, its extras, hires and collisions.";
            return page::empty(ui, scene, what_for);
        }
        let library = scene.library;
        let mut memo = std::mem::take(&mut view.own.rows);
        let ended = memo.has_ended(&scene.revision);
        let known = memo.get(ui.ctx(), "season", &scene.revision, || {
            let (copy, counted) = (library.clone(), view.own.counted.clone());
            move |stop: &Stop| season(&copy, &stop.halt(), &counted)
        });
        let rows = known.value.map_or(&[][..], Vec::as_slice);
        let mut again = false;
        if ended {
            ui.horizontal(|ui| {
                let words = "The season is not worked out; rows may be out of date.";
                ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
                again = ui.button("Work it out").clicked();
            });
        } else if !known.is_current {
            let words = known
                .progress
                .map_or("Being worked out …".to_owned(), |(done, _)| format!("Being worked out: {done} %"));
            ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
        }
        let width = ui.available_width() - 14.0;
        cells(ui, width, |ui, at, _| {
            let words = columns(width).get(at).map_or("", |(words, _)| words);
            ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
        });
        egui::ScrollArea::vertical().id_salt("season").auto_shrink([false, false]).show(ui, |ui| {
            for row in rows {
                row_ui(ui, scene, view, row, width);
            }
        });
        if again {
            memo.begin_again();
        }
        view.own.rows = memo;
    });
}

fn row_ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &Here<'_>, row: &SeasonRow, width: f32) {
    let tokens = scene.tokens;
    let here = view.programme.as_ref() == Some(&row.programme);
    let top = ui.cursor().top();
    marks::hairline(ui.painter(), ui.cursor().left()..=ui.cursor().left() + width, top, tokens.line);
    ui.add_space(space::XS);
    let text = |ui: &mut Ui, words: &str, ink| {
        ui.add(egui::Label::new(RichText::new(words).font(sans(size::TEXT)).color(ink)).wrap());
    };
    let none = |list: &[String]| if list.is_empty() { "–".to_owned() } else { list.join("; ") };
    let mut clicked = false;
    cells(ui, width, |ui, at, _| match at {
        0 => {
            let title = RichText::new(&row.title).font(serif_italic(16.0)).color(tokens.ink);
            let response = ui.add(egui::Label::new(title).wrap().sense(Sense::click()));
            response.widget_info(|| {
                WidgetInfo::selected(egui::Role::Button, true, here, format!("Show {}", row.title))
            });
            focus_ring(ui, &response, &tokens);
            clicked |= response.on_hover_cursor(egui::CursorIcon::PointingHand).clicked();
            ui.label(RichText::new(&row.week).font(sans(size::NOTE)).color(tokens.ink2));
        }
        1 => text(ui, &row.when, tokens.ink),
        2 => {
            text(ui, &row.needed, tokens.ink);
            let short = row.fewest.is_some_and(|fewest| row.players < fewest);
            let ink = if short { tokens.care } else { tokens.ink2 };
            text(ui, &format!("{} have something to play", row.players), ink);
        }
        3 => text(ui, &none(&row.extras_in_words()), tokens.ink),
        4 => {
            text(ui, &none(&row.hires), tokens.ink);
            if row.open_hires > 0 {
                text(ui, &format!("{} to arrange", row.open_hires), tokens.care);
            }
        }
        _ if row.clashes.is_empty() => text(ui, "–", tokens.ink),
        _ => clashes(ui, &tokens, row),
    });
    if width < WIDE {
        clashes(ui, &tokens, row);
    }
    ui.add_space(space::XS);
    if clicked {
        scene.ask(Intent::Programme(row.programme.clone()));
        scene.ask(Intent::Go(Place::Week));
    }
}

/// Every collision on a line of its own behind the mark of its degree, so that a full cell is no wall of red; whole under the pointer.
fn clashes(ui: &mut Ui, tokens: &Tokens, row: &SeasonRow) {
    let whole = row.collisions.join("\n");
    for (degree, clash) in &row.clashes {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::XS;
            let (rect, _) = ui.allocate_exact_size(vec2(10.0, 18.0), Sense::hover());
            marks::mark(ui.painter(), rect.center(), Mark::from(*degree), tokens);
            let words = RichText::new(clash).font(sans(size::TEXT)).color(tokens.ink);
            ui.add(egui::Label::new(words).wrap()).on_hover_text(&whole);
        });
    }
}

/// One line of cells side by side, each in its share of the width.
fn cells(ui: &mut Ui, width: f32, mut cell: impl FnMut(&mut Ui, usize, f32)) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = GAP;
        for (at, (_, share)) in columns(width).iter().enumerate() {
            let width = width * share;
            ui.allocate_ui_with_layout(vec2(width - GAP, 0.0), Layout::top_down(Align::Min), |ui| {
                ui.set_min_width(width - GAP);
                ui.set_max_width(width - GAP);
                cell(ui, at, width);
            });
        }
    });
}
