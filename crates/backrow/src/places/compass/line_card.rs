//! The line that is laid over: chosen here, and the place where a row is dropped to play it.

use crate::intent::Intent;
use crate::places::compass::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, semibold, serif_italic};
use crate::view::Carried;
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
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
    let against = thing.as_ref().and_then(|id| against(scene, view, id)).filter(|_| !alt);
    let (fill, stroke) = match (&thing, &line) {
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
            let now = view.programme_in(scene.library).map(|p| p.assignment(at).instruments);
            drop_words(ui, scene, inner, id, &now.unwrap_or_default(), against.as_deref());
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

/// What speaks against giving it to the line at hand: needed elsewhere, or notes that it lacks.
fn against(scene: &Scene<'_>, view: &Here<'_>, id: &InstrumentId) -> Option<String> {
    let thing = scene.library.instruments.get(id)?;
    let (_, line) = scene.library.line(view.line.as_ref()?)?;
    let elsewhere = view
        .programme_in(scene.library)
        .and_then(|programme| backrow_core::findings::other_use(scene.library, programme, id))
        .map(|(other, when)| format!("needed for {}, {when}", other.title));
    let lacks = || {
        let timpani =
            line.kind.as_ref().is_some_and(|kind| backrow_core::sets::is_for_timpani(scene.library, kind));
        if timpani && line.is_pitched() {
            return drums_against(scene, view, line, id);
        }
        // Without pitch the kind alone decides: another one needs a word.
        if let Some(kind) = line.kind.as_ref().filter(|kind| !line.is_pitched() && **kind != thing.kind) {
            return Some(format!("is not the {} that the line asks for", scene.library.kind_name(kind)));
        }
        let reach = backrow_core::compass::fit(thing.compass(), line.sounding());
        let lacks = reach.lacking();
        let more = if lacks.len() > 4 { format!(" and {} more", lacks.len() - 4) } else { String::new() };
        let spelling = line.spelling();
        let names: Vec<String> = lacks.iter().take(4).map(|key| spelling.of(key).to_string()).collect();
        (line.is_pitched() && thing.is_pitched() && !lacks.is_empty())
            .then(|| format!("lacks {}{more}", names.join(" ")))
    };
    elsewhere.or_else(lacks)
}

/// Drums speak against a line of timpani only where they can never help: a set must play it, a single drum must reach one
/// of its notes, as others come beside it.
fn drums_against(
    scene: &Scene<'_>,
    view: &Here<'_>,
    line: &backrow_core::music::Line,
    id: &InstrumentId,
) -> Option<String> {
    use backrow_core::sets;
    let drums = sets::drums_of(scene.library, std::slice::from_ref(id));
    match drums.as_slice() {
        [] => Some("is not a drum".to_owned()),
        [one] if view.line.is_some() => {
            let helps = !line.sounding().intersection(one.drum.reach).is_empty();
            (!helps).then(|| "reaches none of the notes".to_owned())
        }
        _ => {
            let answer = sets::try_on(scene.library, line, std::slice::from_ref(id));
            answer.err().map(|why| {
                let words = backrow_core::timpani::impossible_words(&why, &line.spelling());
                format!("cannot play it. {}", words.trim_end_matches('.'))
            })
        }
    }
}

fn drop_words(
    ui: &Ui,
    scene: &Scene<'_>,
    inner: Rect,
    id: &InstrumentId,
    now: &[InstrumentId],
    against: Option<&str>,
) {
    if let Some(why) = against {
        let name = scene.library.instrument_name(id);
        let painter = ui.painter();
        let ground = Rect::from_min_max(pos2(inner.right() - 330.0, inner.top()), inner.max);
        painter.rect_filled(ground, 0.0, scene.tokens.raised);
        let head = format!("{name} {why}");
        let (font, ink) = (semibold(size::NOTE), scene.tokens.clash);
        marks::text_within(painter, ground, Align2::RIGHT_TOP, &head, font, ink);
        let words = "Alt: assign it anyway";
        marks::text(
            painter,
            ground.right_bottom(),
            Align2::RIGHT_BOTTOM,
            words,
            sans(size::NOTE),
            scene.tokens.ink2,
        );
        return;
    }
    let words = format!("Drop to assign {}", scene.library.instrument_name(id));
    marks::text(
        ui.painter(),
        inner.right_top(),
        Align2::RIGHT_TOP,
        &words,
        semibold(size::NOTE),
        scene.tokens.accent,
    );
    if let Some(old) = now.first().filter(|old| *old != id && !joins(scene, id, now)) {
        let words = format!("in place of {}; with Alt beside it", scene.library.instrument_name(old));
        let at = inner.right_bottom();
        let width = 230.0;
        ui.painter().rect_filled(
            Rect::from_min_max(pos2(at.x - width, inner.center().y), at),
            0.0,
            scene.tokens.soft,
        );
        marks::text(ui.painter(), at, Align2::RIGHT_BOTTOM, &words, sans(size::NOTE), scene.tokens.ink2);
    }
}

/// Gives an instrument to the line at hand; beside what it has when `beside`, else in its place.
pub(super) fn give(scene: &mut Scene<'_>, view: &mut Here<'_>, id: &InstrumentId, beside: bool) {
    let (Some(line), Some(programme)) = (view.line.clone(), view.programme.clone()) else {
        scene.ask(Intent::Say(
            "Choose a line and a programme first; then an instrument can be assigned to it.".to_owned(),
        ));
        return;
    };
    if !beside && let Some(why) = against(scene, view, id) {
        let name = scene.library.instrument_name(id);
        view.in_hand = None;
        scene.ask(Intent::Say(format!("{name} {why}. It is not assigned; hold Alt to assign it anyway.")));
        return;
    }
    let now = view.programme_in(scene.library).map(|p| p.assignment(&line).instruments).unwrap_or_default();
    let mut instruments = if beside || joins(scene, id, &now) { now } else { Vec::new() };
    if !instruments.contains(id) {
        instruments.push(id.clone());
    }
    view.in_hand = None;
    scene.edit(Edit::UseInstruments { programme, line, instruments });
}

/// A single drum comes beside the single drums that the line has, as a pair or four are put together one by one.
fn joins(scene: &Scene<'_>, id: &InstrumentId, now: &[InstrumentId]) -> bool {
    let single = |id: &InstrumentId| {
        scene.library.instruments.get(id).is_some_and(|thing| {
            thing.frames.len() == 1 && backrow_core::sets::is_for_timpani(scene.library, &thing.kind)
        })
    };
    single(id) && !now.is_empty() && now.iter().all(single)
}

/// The lines of the work at hand, in a list under the card.
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
