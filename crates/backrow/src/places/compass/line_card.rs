//! The line that is laid over: chosen here, and the place where a row is dropped to play it.

use crate::frame::playing_on;
use crate::intent::{Intent, PlayOn};
use crate::places::compass::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, semibold, serif_italic};
use crate::view::Carried;
use backrow_core::id::{InstrumentId, ProgrammeId, listed};
use backrow_core::week::LineRef;
use egui::{Align2, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// Draws the card and takes what is dropped on it.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, rect: Rect) {
    let tokens = scene.tokens;
    let response = ui.interact(rect, ui.scope_id().with("line card"), Sense::click());
    let line = view
        .line
        .clone()
        .and_then(|at| scene.library.line(&at).map(|(work, line)| (at.clone(), work.clone(), line.clone())));
    let label = line.as_ref().map_or_else(
        || "Choose a line to compare".to_owned(),
        |(_, _, line)| format!("Line {}", scene.library.line_name(line)),
    );
    let value = line.as_ref().map_or_else(|| "none".to_owned(), |(_, _, line)| scene.library.line_name(line));
    response.widget_info(|| WidgetInfo {
        current_text_value: Some(value.clone()),
        ..WidgetInfo::labeled(egui::Role::ComboBox, true, &label)
    });
    let in_hand = match (&view.in_hand, egui::DragAndDrop::payload::<Carried>(ui.ctx())) {
        (_, Some(carried)) => Some((*carried).clone()),
        (held, None) => held.clone(),
    };
    let thing = match &in_hand {
        Some(Carried::Instrument(id)) if line.is_some() => Some(id.clone()),
        _ => None,
    };
    let alt = ui.input(|i| i.modifiers.alt);
    let against =
        thing.as_ref().and_then(|id| against(scene, view, id)).filter(|against| against.asks || !alt);
    let (fill, stroke) = match (&thing, &line) {
        (Some(_), _) if against.as_ref().is_some_and(|against| against.asks) => {
            (tokens.raised, Stroke::new(2.0, tokens.care))
        }
        (Some(_), _) if against.is_some() => (tokens.raised, Stroke::new(2.0, tokens.clash)),
        (Some(_), _) => (tokens.soft, Stroke::new(2.0, tokens.accent)),
        (None, Some(_)) => (tokens.raised, Stroke::new(1.0, tokens.line)),
        (None, None) => (tokens.sunken, Stroke::new(1.0, tokens.line)),
    };
    ui.painter().rect(rect, 2.0, fill, stroke, StrokeKind::Inside);
    let inner = rect.shrink2(vec2(space::M, 4.0));
    if let Some((at, work, line)) = &line {
        let together = view.own.rows.held().map_or("", |shown| &shown.together);
        words(ui, scene, inner, work, line, together);
        if let Some(id) = &thing {
            let on = PlayOn { line: at.clone(), instrument: id.clone(), beside: alt };
            drop_words(ui, scene, inner, view.programme.as_ref(), &on, against.as_ref());
        }
    } else {
        let hint = "Choose a line to compare (C)";
        marks::text(
            ui.painter(),
            inner.left_center(),
            Align2::LEFT_CENTER,
            hint,
            sans(size::TEXT),
            tokens.ink2,
        );
    }
    crate::theme::widgets::focus_ring(ui, &response, &tokens);
    if let Some(carried) = response.dnd_release_payload::<Carried>() {
        match &*carried {
            Carried::Instrument(id) => give(scene, view, id, ui.input(|i| i.modifiers.alt)),
            Carried::Line(at) => scene.ask(Intent::Line(at.clone())),
            Carried::Beater(_) | Carried::Player(_) => {}
        }
    }
    choose(scene, view, &response);
}

fn words(
    ui: &Ui,
    scene: &Scene<'_>,
    inner: Rect,
    work: &backrow_core::music::Work,
    line: &backrow_core::music::Line,
    together: &str,
) {
    let tokens = scene.tokens;
    let painter = ui.painter();
    let name = marks::text(
        painter,
        inner.left_top(),
        Align2::LEFT_TOP,
        &scene.library.line_name(line),
        semibold(size::TEXT),
        tokens.ink,
    );
    let number = work.movement(&line.movement).map_or("", |movement| movement.number.as_str());
    let title = Rect::from_min_max(
        pos2(name.right() + space::M, inner.top()),
        pos2(inner.right() - 170.0, inner.center().y),
    );
    let words = format!("{} {number}   {}", work.title, line.where_played());
    marks::text_within(painter, title, Align2::LEFT_TOP, &words, serif_italic(size::TEXT), tokens.ink);
    let counts = line.written_counts();
    let beneath = match (counts.first(), counts.last()) {
        (Some((low, _)), Some((high, _))) => {
            let sounding = line.sounding_words();
            format!(
                "{} notes, written {}–{}, sounding {}: {sounding}",
                counts.len(),
                low.written,
                high.written,
                line.octave.words()
            )
        }
        _ => "without pitch: any instrument of its kind plays it".to_owned(),
    };
    let beneath = if together.is_empty() { beneath } else { format!("{beneath}.  {together}") };
    let row = Rect::from_min_max(pos2(inner.left(), inner.center().y), inner.max);
    marks::text_within(painter, row, Align2::LEFT_BOTTOM, &beneath, sans(size::NOTE), tokens.ink2);
}

/// What speaks against an instrument for the current line.
struct Against {
    /// "Marimba 1: marimba instead of xylophone", "Xylophone 2 lacks C7".
    words: String,
    /// Whether it is of another kind, which is asked about, and not refused.
    asks: bool,
}

fn against(scene: &Scene<'_>, view: &Here<'_>, id: &InstrumentId) -> Option<Against> {
    let on = PlayOn { line: view.line.clone()?, instrument: id.clone(), beside: false };
    let (_, line) = scene.library.line(&on.line)?;
    let name = scene.library.instrument_name(id);
    if let Some(instead) = playing_on::instead(scene.library, line, id) {
        return Some(Against { words: format!("{name}: {instead}"), asks: true });
    }
    let why = playing_on::against(scene.library, view.programme.as_ref(), &on)?;
    Some(Against { words: format!("{name} {why}"), asks: false })
}

fn drop_words(
    ui: &Ui,
    scene: &Scene<'_>,
    inner: Rect,
    programme: Option<&ProgrammeId>,
    on: &PlayOn,
    against: Option<&Against>,
) {
    let painter = ui.painter();
    if let Some(against) = against {
        let ground = Rect::from_min_max(pos2(inner.right() - 330.0, inner.top()), inner.max);
        painter.rect_filled(ground, 0.0, scene.tokens.raised);
        let ink = if against.asks { scene.tokens.care } else { scene.tokens.clash };
        marks::text_within(painter, ground, Align2::RIGHT_TOP, &against.words, semibold(size::NOTE), ink);
        let words = if against.asks { "Drop: you are asked first" } else { "Alt: assign it anyway" };
        let (at, ink) = (ground.right_bottom(), scene.tokens.ink2);
        marks::text(painter, at, Align2::RIGHT_BOTTOM, words, sans(size::NOTE), ink);
        return;
    }
    let words = format!("Drop to assign {}", scene.library.instrument_name(&on.instrument));
    let ink = scene.tokens.accent;
    marks::text(painter, inner.right_top(), Align2::RIGHT_TOP, &words, semibold(size::NOTE), ink);
    let gone = programme.map(|programme| playing_on::replaced(scene.library, programme, on));
    if let Some(gone) = gone.filter(|gone| !gone.is_empty()) {
        let words = format!("in place of {}; with Alt beside it", listed(&gone));
        let at = inner.right_bottom();
        let ground = Rect::from_min_max(pos2(at.x - 230.0, inner.center().y), at);
        painter.rect_filled(ground, 0.0, scene.tokens.soft);
        marks::text(painter, at, Align2::RIGHT_BOTTOM, &words, sans(size::NOTE), scene.tokens.ink2);
    }
}

/// Assigns an instrument to the current line; beside what it has when `beside`, else in its place.
pub(super) fn give(scene: &mut Scene<'_>, view: &mut Here<'_>, id: &InstrumentId, beside: bool) {
    let (Some(line), true) = (view.line.clone(), view.programme.is_some()) else {
        scene.ask(Intent::Fail(
            "Choose a line and a programme first; then an instrument can be assigned to it.".to_owned(),
        ));
        return;
    };
    view.in_hand = None;
    let against = against(scene, view, id).filter(|against| !against.asks && !beside);
    if let Some(against) = against {
        let words = format!("{}. It is not assigned; hold Alt to assign it anyway.", against.words);
        scene.ask(Intent::Fail(words));
        return;
    }
    scene.ask(Intent::PlayOn(PlayOn { line, instrument: id.clone(), beside }));
}

/// The lines of the current work, in a list under the card.
fn choose(scene: &mut Scene<'_>, view: &Here<'_>, response: &egui::Response) {
    let Some(work) = view.work.as_ref().and_then(|id| scene.library.works.get(id)).cloned() else { return };
    egui::Popup::menu(response).width(420.0).show(|ui| {
        egui::ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
            for movement in &work.movements {
                ui.label(
                    egui::RichText::new(movement.heading())
                        .font(serif_italic(size::TEXT))
                        .color(scene.tokens.ink2),
                );
                for line in work.lines_of(&movement.id) {
                    let at = LineRef { work: work.id.clone(), line: line.id.clone() };
                    let words = format!("{}  {}", scene.library.line_name(line), line.where_played());
                    if ui.selectable_label(view.line.as_ref() == Some(&at), words).clicked() {
                        scene.intents.push(Intent::Line(at));
                        ui.close();
                    }
                }
            }
        });
    });
}
