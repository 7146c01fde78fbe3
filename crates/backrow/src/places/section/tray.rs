//! The tray: lines that nobody plays yet, on the same time axis; and what can be dragged onto the current line.

use super::answered::assign;
use super::board::{Board, Strip};
use super::strip::{self, Look};
use super::{Time, measure};
use crate::frame::playing_on;
use crate::intent::{Intent, PlayOn};
use crate::places::section::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, semibold, serif};
use crate::view::Carried;
use backrow_core::edit::Edit;
use backrow_core::week::LineRef;
use egui::{Align2, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// Draws the tray and takes back what is dropped on it.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    board: &Board,
    time: &Time,
    rect: Rect,
) {
    let tokens = scene.tokens;
    let response = ui.interact(rect, ui.scope_id().with("tray"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Group, true, "Not assigned yet"));
    ui.painter().rect_filled(rect, 0.0, tokens.sunken);
    marks::hairline(ui.painter(), rect.x_range(), rect.top(), tokens.line);
    let open: Vec<&Strip> = board.strips.iter().filter(|strip| strip.player.is_none()).collect();
    title(ui, scene, rect, open.len());
    cards(
        ui,
        scene,
        (view, board),
        Rect::from_min_max(
            pos2(rect.left() + 440.0, rect.top() + 2.0),
            pos2(rect.right() - space::M, rect.top() + 28.0),
        ),
    );
    let list = Rect::from_min_max(pos2(rect.left(), rect.top() + 30.0), rect.max);
    let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(list));
    inner.set_clip_rect(list.intersect(ui.clip_rect()));
    egui::ScrollArea::vertical().id_salt("tray rows").auto_shrink([false, false]).show(&mut inner, |ui| {
        let (area, _) = ui.allocate_exact_size(
            vec2(list.width() - 10.0, measure::TRAY * open.len() as f32),
            Sense::hover(),
        );
        for (row, strip) in open.iter().enumerate() {
            let top = area.top() + measure::TRAY * row as f32;
            if top > list.bottom() || top + measure::TRAY < list.top() {
                continue;
            }
            let name = Rect::from_min_size(
                pos2(rect.left() + space::L, top),
                vec2(measure::HEAD - 4.0, measure::TRAY),
            );
            let painter = ui.painter().with_clip_rect(list);
            marks::text_within(
                &painter,
                name,
                Align2::LEFT_CENTER,
                &strip.name,
                semibold(size::NOTE),
                tokens.ink2,
            );
            marks::hairline(&painter, list.x_range(), top, tokens.line);
            let clip = Rect::from_x_y_ranges(time.left - 4.0..=time.right + space::L, list.y_range());
            let look = Look { fill: tokens.ink3, hollow: true, until: f32::INFINITY, off: 0.0 };
            strip::ui(ui, scene, view, strip, time, top - 1.0, (clip, look));
        }
    });
    if let Some(carried) = response.dnd_release_payload::<Carried>()
        && let Carried::Line(line) = &*carried
    {
        assign(scene, view, line, None, true, None);
    }
}

fn title(ui: &Ui, scene: &Scene<'_>, rect: Rect, open: usize) {
    let head = rect.min + vec2(space::L, 3.0);
    if open == 0 {
        marks::text(
            ui.painter(),
            head,
            Align2::LEFT_TOP,
            "Every line is assigned.",
            sans(size::TEXT),
            scene.tokens.ink2,
        );
    } else {
        let title = marks::text(
            ui.painter(),
            head,
            Align2::LEFT_TOP,
            "Not assigned yet",
            serif(size::HEADING),
            scene.tokens.ink,
        );
        let lines = if open == 1 { "1 line".to_owned() } else { format!("{open} lines") };
        let words = format!("{lines}. Drag one up to a player.");
        marks::text(
            ui.painter(),
            pos2(title.right() + space::S, title.bottom() - 2.0),
            Align2::LEFT_BOTTOM,
            &words,
            sans(size::NOTE),
            scene.tokens.ink2,
        );
    }
}

/// Instruments that answer the current line, and beaters that suit its kind, to be dragged onto any strip. None for a line of
/// another movement than the one that is shown.
fn cards(ui: &mut Ui, scene: &mut Scene<'_>, (view, board): (&mut Here<'_>, &Board), rect: Rect) {
    let shown = |at: &&LineRef| board.strips.iter().any(|strip| strip.at == **at);
    let Some((_, line)) = view.line.as_ref().filter(shown).and_then(|at| scene.library.line(at)) else {
        return;
    };
    let cover = backrow_core::cover::cover(scene.library, line);
    let beaters = scene
        .library
        .beaters
        .values()
        .filter(|beater| line.kind.as_ref().is_some_and(|kind| beater.suits.contains(kind)));
    let things = cover.fits.iter().take(4).map(|fit| {
        (scene.library.instrument_name(&fit.instrument), Carried::Instrument(fit.instrument.clone()))
    });
    let beaters = beaters.take(3).map(|beater| (beater.name.clone(), Carried::Beater(beater.id.clone())));
    let all: Vec<(String, Carried)> = things.chain(beaters).collect();
    if all.is_empty() {
        return;
    }
    // They are for the line that is selected, and not lines without a player.
    let name = scene.library.line_name(line);
    let whose = format!("For {name}:");
    let foot = pos2(rect.left(), rect.center().y);
    let whose =
        marks::text(ui.painter(), foot, Align2::LEFT_CENTER, &whose, sans(size::NOTE), scene.tokens.ink2);
    let mut left = whose.right() + space::S;
    for (words, carried) in all {
        let galley = ui.painter().layout_no_wrap(words.clone(), sans(size::NOTE), scene.tokens.ink);
        let card = Rect::from_min_size(pos2(left, rect.top()), vec2(galley.size().x + 16.0, 22.0));
        if card.right() > rect.right() {
            break;
        }
        let response = ui.interact(card, ui.scope_id().with(("card", &words)), Sense::click_and_drag());
        response.widget_info(|| {
            WidgetInfo::labeled(egui::Role::Button, true, format!("Card {words} for {name}"))
        });
        response.dnd_set_drag_payload(carried.clone());
        let row =
            if response.hovered() || response.dragged() { scene.tokens.accent } else { scene.tokens.line };
        ui.painter().rect(card, 2.0, scene.tokens.raised, Stroke::new(1.0, row), StrokeKind::Inside);
        ui.painter().galley(card.min + vec2(8.0, 3.0), galley, scene.tokens.ink);
        let alt = ui.input(|i| i.modifiers.alt);
        let chosen = view.programme.clone().zip(view.line.clone());
        let ask = chosen.and_then(|(programme, line)| match carried {
            Carried::Instrument(instrument) => {
                let on = PlayOn { line, instrument, beside: alt };
                Some((playing_on::words(scene.library, &programme, &on), Intent::PlayOn(on)))
            }
            Carried::Beater(id) => {
                let edit = Edit::UseBeaters { programme, line, beaters: vec![id] };
                Some((backrow_core::edit::words(scene.library, &edit), Intent::Edit(edit)))
            }
            Carried::Player(_) | Carried::Line(_) => None,
        });
        if let Some((words, ask)) = ask {
            let hover =
                format!("Drag it onto a line, or click: {words}. With Alt an instrument comes beside.");
            if response.on_hover_text(hover).clicked() {
                scene.ask(ask);
            }
        }
        left = card.right() + space::S;
    }
}
