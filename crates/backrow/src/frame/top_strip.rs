//! The top strip: the programme, its works as segments by duration, save state, undo, redo, and the field that finds.

use crate::actions::Action;
use crate::drafts::lines::Of;
use crate::frame::finder;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::store::SaveState;
use crate::theme::reorder::{Way, moved, put};
use crate::theme::tokens::{shell, size, space};
use crate::theme::widgets::{focus_ring, in_menu};
use crate::theme::{marks, sans, semibold, serif_italic, serif_semibold};
use crate::view::View;
use crate::words::minutes;
use backrow_core::edit::Edit;
use backrow_core::music::Work;
use egui::{Align2, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

/// What the strip shows beside the library.
pub struct Strip<'a> {
    /// The field that finds.
    pub finder: &'a mut finder::State,
    /// Whether all is on disk.
    pub saved: &'a SaveState,
    /// How many forms hold something that is not in the library.
    pub drafts: usize,
    /// The words of the step that undo takes back.
    pub undo: Option<&'a str>,
    /// The words of the step that redo makes again.
    pub redo: Option<&'a str>,
}

/// Draws the strip.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, strip: &mut Strip<'_>) {
    let full = ui.max_rect();
    let panel_left = full.right() - shell::PANEL;
    // As wide as the rail; wider where the title needs it.
    let title = programme_title(scene, view);
    let wanted = ui.painter().layout_no_wrap(title, serif_semibold(17.0), scene.tokens.ink).size().x;
    let width = (wanted + 2.0 * space::L + space::S).clamp(shell::RAIL + space::L, 240.0);
    programme_button(ui, scene, view, Rect::from_min_size(full.min, vec2(width, shell::TOP)));
    let works = Rect::from_min_max(pos2(full.left() + width, full.top()), pos2(panel_left, full.bottom()));
    segments(ui, scene, view, works);
    let right = Rect::from_min_max(pos2(panel_left, full.top()), full.max).shrink2(vec2(space::L, space::S));
    let mut right_ui = ui.new_child(
        egui::UiBuilder::new().max_rect(right).layout(egui::Layout::left_to_right(egui::Align::Center)),
    );
    state_and_steps(&mut right_ui, scene, strip);
    finder::field(&mut right_ui, scene, view, strip.finder);
    marks::upright(ui.painter(), panel_left, full.y_range(), scene.tokens.line);
    marks::hairline(ui.painter(), full.x_range(), full.bottom() - 1.0, scene.tokens.line);
}

/// A small hook that points down: more opens beneath.
fn chevron(painter: &egui::Painter, at: egui::Pos2, ink: egui::Color32) {
    let points = vec![at + vec2(-4.0, -2.0), at + vec2(0.0, 2.0), at + vec2(4.0, -2.0)];
    painter.add(egui::Shape::line(points, egui::Stroke::new(1.4, ink)));
}

fn programme_title(scene: &Scene<'_>, view: &View) -> String {
    view.programme_in(scene.library)
        .map_or_else(|| "No programme yet".to_owned(), |programme| programme.title.clone())
}

fn programme_button(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, rect: Rect) {
    let tokens = scene.tokens;
    let programme = view.programme_in(scene.library);
    let title = programme_title(scene, view);
    let (dates, venue) = programme.map(|programme| dates_and_venue(scene, programme)).unwrap_or_default();
    let whole = joined(&[&dates, &venue]);
    let response = ui.interact(rect, ui.scope_id().with("programme"), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, format!("Programme {title}")));
    if response.hovered() {
        ui.painter().rect_filled(rect, 0.0, tokens.sunken);
    }
    let inner = Rect::from_min_max(rect.min + vec2(space::L, 6.0), rect.max - vec2(space::L, 4.0));
    chevron(ui.painter(), pos2(rect.right() - space::S, rect.center().y), tokens.ink2);
    let (upper, lower) = inner.split_top_bottom_at_fraction(0.58);
    marks::text_within(ui.painter(), upper, Align2::LEFT_CENTER, &title, serif_semibold(17.0), tokens.ink);
    // Half a hall's name says nothing: where both do not fit, the days stand alone, and the pointer tells the rest.
    let needs = ui.painter().layout_no_wrap(whole.clone(), sans(size::NOTE), tokens.ink2).size().x;
    let beneath = if needs > lower.width() && !dates.is_empty() { &dates } else { &whole };
    marks::text_within(ui.painter(), lower, Align2::LEFT_CENTER, beneath, sans(size::NOTE), tokens.ink2);
    focus_ring(ui, &response, &tokens);
    let hint = [&joined(&[&title, &whole]), "Choose the programme"].join("\n");
    let response = response.on_hover_text(hint).on_hover_cursor(egui::CursorIcon::PointingHand);
    egui::Popup::menu(&response).close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside).show(|ui| {
        // In a low window the end of the menu is reached by scrolling.
        let most = ui.ctx().content_rect().height() - 24.0;
        egui::ScrollArea::vertical()
            .max_height(most)
            .min_scrolled_height(most)
            .show(ui, |ui| menu(ui, scene, view));
    });
}

/// The programmes, what is chosen for all of the program, and what can be done with the library.
fn menu(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View) {
    // Its rows stand close, so that a window of the usual height holds all of them.
    ui.spacing_mut().item_spacing.y = 1.0;
    let programmes: Vec<(String, backrow_core::id::ProgrammeId)> = scene
        .library
        .programmes()
        .map(|(week, p)| (format!("{}  ({})", p.title, week.title), p.id.clone()))
        .collect();
    if programmes.is_empty() {
        ui.label("The library has no programme yet.");
    }
    for (words, id) in programmes {
        if ui.selectable_label(view.programme.as_ref() == Some(&id), words).clicked() {
            scene.ask(Intent::Programme(id));
            ui.close();
        }
    }
    ui.separator();
    let tokens = scene.tokens;
    in_menu(ui, &tokens, |ui| {
        retitle(ui, scene, view);
        choices(ui, scene);
    });
    ui.separator();
    actions(ui, scene, &OF_LIBRARY);
    ui.separator();
    ui.label(egui::RichText::new("Help").font(semibold(size::NOTE)).color(tokens.ink2));
    actions(ui, scene, &Action::HELP);
    ui.separator();
    actions(ui, scene, &[Action::Quit]);
}

/// What the menu offers for the library and what is current.
const OF_LIBRARY: [Action; 14] = [
    Action::OpenLibrary,
    Action::NewLibrary,
    Action::SaveCopy,
    Action::ShowEarlier,
    Action::ShowVersions,
    Action::NewProgramme,
    Action::ReadScore,
    Action::Propose,
    Action::PrintPlan,
    Action::SaveTables,
    Action::SaveServices,
    Action::ImportTable,
    Action::ImportCalendar,
    Action::SwitchTheme,
];

/// Actions a row each, with their keys.
fn actions(ui: &mut Ui, scene: &mut Scene<'_>, all: &[Action]) {
    for action in all {
        let row = egui::Button::new(action.label()).shortcut_text(action.key_words()).frame(false);
        if ui.add(row).clicked() {
            scene.ask(Intent::Do(*action));
            ui.close();
        }
    }
}

/// The title of the current programme, saved when its field is left.
fn retitle(ui: &mut Ui, scene: &Scene<'_>, view: &mut View) {
    let Some(programme) = view.programme_in(scene.library).cloned() else { return };
    ui.horizontal(|ui| {
        let label = ui.label("Title");
        let field = view.lines.field(ui, (Of::Title(programme.id), &programme.title), 180.0);
        field.labelled_by(label.id);
    });
}

/// The user's own choices: paper, and how note names are read.
fn choices(ui: &mut Ui, scene: &mut Scene<'_>) {
    use crate::settings::{NoteReading, PaperSize, Settings};
    let mut next: Settings = scene.settings.clone();
    ui.horizontal(|ui| {
        ui.label("Paper");
        for (paper, words) in [(PaperSize::A4, "A4"), (PaperSize::Letter, "Letter")] {
            ui.selectable_value(&mut next.paper, paper, words);
        }
    });
    ui.horizontal(|ui| {
        ui.label("Notes read as");
        for (reading, words) in
            [(NoteReading::English, "F#5"), (NoteReading::German, "Fis5"), (NoteReading::Syllables, "fa#5")]
        {
            ui.selectable_value(&mut next.reading, reading, words);
        }
    });
    ui.checkbox(&mut next.still, "No animation");
    size_of_everything(ui);
    if next != *scene.settings {
        scene.ask(Intent::Set(Box::new(next)));
    }
}

/// How large everything is shown; the keys stand in the keyboard map.
fn size_of_everything(ui: &mut Ui) {
    let ctx = ui.ctx().clone();
    ui.horizontal(|ui| {
        ui.label("Size");
        if ui.button("Smaller").on_hover_text("Ctrl −").clicked() {
            egui::gui_zoom::zoom_out(&ctx);
        }
        if ui.button("Larger").on_hover_text("Ctrl +").clicked() {
            egui::gui_zoom::zoom_in(&ctx);
        }
        if ui.button("Usual size").on_hover_text("Ctrl 0").clicked() {
            ctx.set_zoom_factor(1.0);
        }
        let per_cent = (ctx.zoom_factor() * 100.0).round();
        ui.label(format!("{per_cent} %"));
    });
}

/// The days of its services, "12–15 Oct", and where it is played, "Quay Hall"; either may be empty.
fn dates_and_venue(scene: &Scene<'_>, programme: &backrow_core::week::Programme) -> (String, String) {
    let services = scene.library.services_of(&programme.id);
    let dates = match (services.first(), services.last()) {
        (Some(first), Some(last)) => scene.library.days().dates(first.start.date(), last.start.date()),
        _ => String::new(),
    };
    let venue =
        programme.venue.as_ref().and_then(|id| scene.library.venues.get(id)).map_or("", |venue| &venue.name);
    (dates, venue.to_owned())
}

/// What there is of these, with commas between.
fn joined(parts: &[&str]) -> String {
    parts.iter().copied().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

fn segments(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, rect: Rect) {
    let works: Vec<std::sync::Arc<Work>> = match view.programme_in(scene.library) {
        Some(programme) => {
            programme.works.iter().filter_map(|id| scene.library.works.get(id)).cloned().collect()
        }
        None => scene.library.works.values().take(6).cloned().collect(),
    };
    if works.is_empty() {
        return;
    }
    let widths = widths(ui, &works, rect.width());
    let mut left = rect.left();
    let mut by = None;
    for (at, (work, width)) in works.iter().zip(widths).enumerate() {
        let place = Rect::from_min_size(pos2(left, rect.top()), vec2(width, shell::TOP));
        by = segment(ui, scene, view, (work, at, works.len()), place).or(by);
        left += width;
    }
    if let Some((from, to)) = by {
        reorder(scene, view, works.get(from), works.get(to));
    }
    marks::upright(ui.painter(), left, rect.y_range().shrink(8.0), scene.tokens.line);
}

/// One work of the current programme at the place of another. Works that are not in the library have no segment, and keep theirs.
fn reorder(
    scene: &mut Scene<'_>,
    view: &View,
    from: Option<&std::sync::Arc<Work>>,
    to: Option<&std::sync::Arc<Work>>,
) {
    let Some(programme) = view.programme_in(scene.library) else { return };
    let place = |work: Option<&std::sync::Arc<Work>>| {
        let id = &work?.id;
        programme.works.iter().position(|one| one == id)
    };
    let (Some(from), Some(to), Some(week)) =
        (place(from), place(to), scene.library.week_of(&programme.id).map(|week| week.id.clone()))
    else {
        return;
    };
    let mut next = programme.clone();
    next.works = put(&programme.works, (from, to));
    scene.edit(Edit::PutProgramme { week, programme: next });
}

/// Each its title's width at least where that fits, the rest shared by duration.
fn widths(ui: &Ui, works: &[std::sync::Arc<Work>], width: f32) -> Vec<f32> {
    let least: Vec<f32> = works
        .iter()
        .map(|work| {
            let galley = ui.painter().layout_no_wrap(
                work.title.clone(),
                serif_italic(15.0),
                egui::Color32::PLACEHOLDER,
            );
            galley.size().x + 2.0 * space::M
        })
        .collect();
    let sum: f32 = least.iter().sum();
    if sum >= width {
        return shared(&least, width);
    }
    let seconds: Vec<f32> = works.iter().map(|work| crate::theme::to_f32(work.seconds()).max(60.0)).collect();
    let all: f32 = seconds.iter().sum();
    // A strip half empty reads better than four segments a hand wide.
    let spare = (width - sum).min(sum);
    least.iter().zip(&seconds).map(|(l, s)| l + spare * s / all).collect()
}

/// A width too small for all: each has what it needs up to one level, which is the same for all that need more, so that a
/// short title is not cut for the sake of a long one.
fn shared(needed: &[f32], width: f32) -> Vec<f32> {
    let mut sorted = needed.to_vec();
    sorted.sort_by(f32::total_cmp);
    let (mut left, mut level) = (width, f32::INFINITY);
    for (at, need) in sorted.iter().enumerate() {
        let share = left / (sorted.len() - at) as f32;
        if *need > share {
            level = share;
            break;
        }
        left -= need;
    }
    needed.iter().map(|need| need.min(level)).collect()
}

/// A title that is too long for a line of its segment, on two.
fn on_two_lines(ui: &Ui, rect: Rect, words: &str, ink: egui::Color32) -> bool {
    let mut job =
        egui::text::LayoutJob::simple(words.to_owned(), serif_italic(size::NOTE), ink, rect.width());
    job.wrap.max_rows = 2;
    let galley = ui.painter().layout_job(job);
    let cut = galley.elided;
    ui.painter().galley(Align2::LEFT_CENTER.align_size_within_rect(galley.size(), rect).min, galley, ink);
    cut
}

/// A work's segment; where it is to go, when it was dropped on or moved by its keys.
fn segment(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &View,
    (work, at, count): (&Work, usize, usize),
    rect: Rect,
) -> Option<(usize, usize)> {
    let tokens = scene.tokens;
    let current = view.work.as_ref() == Some(&work.id);
    let id = ui.scope_id().with(("work", work.id.as_str()));
    // Without a programme the works have no order of their own.
    let in_order = view.programme.is_some();
    let sense = if in_order { Sense::click_and_drag() } else { Sense::click() };
    let response = ui.interact(rect, id, sense);
    response.widget_info(|| {
        WidgetInfo::selected(egui::Role::Button, true, current, format!("Work {}", work.title))
    });
    let response = response.on_hover_cursor(egui::CursorIcon::PointingHand);
    let list = (ui.scope_id().with("works in order"), Way::Across);
    let by = in_order.then(|| moved(ui, list, (at, count), &response, &tokens)).flatten();
    if response.hovered() && !current {
        ui.painter().rect_filled(rect, 0.0, tokens.sunken);
    }
    if current {
        ui.painter().rect_filled(rect, 0.0, tokens.soft);
        let foot = Rect::from_min_max(pos2(rect.left(), rect.bottom() - 4.0), rect.max);
        ui.painter().rect_filled(foot, 0.0, tokens.accent);
    } else {
        marks::upright(ui.painter(), rect.left(), rect.y_range().shrink(8.0), tokens.line);
    }
    let inner = rect.shrink2(vec2(space::M, 7.0));
    let time = minutes(work.seconds());
    let all = [work.title.as_str(), &work.composer, &time].map(str::trim);
    let all = all.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ");
    let all = if in_order { format!("{all}\nDrag it to another place, or Alt with the arrows") } else { all };
    let needs = ui.painter().layout_no_wrap(work.title.clone(), serif_italic(15.0), tokens.ink).size().x;
    focus_ring(ui, &response, &tokens);
    if response.clicked() {
        scene.ask(Intent::Work(work.id.clone()));
    }
    // A hair's breadth is no reason for a second line.
    if needs > inner.width() + 1.0 {
        on_two_lines(ui, rect.shrink2(vec2(6.0, 4.0)), &work.title, tokens.ink);
        response.on_hover_text(all);
        return by;
    }
    let (upper, lower) = inner.split_top_bottom_at_fraction(0.55);
    marks::text_within(ui.painter(), upper, Align2::LEFT_CENTER, &work.title, serif_italic(15.0), tokens.ink);
    let galley = ui.painter().layout_no_wrap(time.clone(), sans(size::NOTE), tokens.ink2);
    let names = Rect::from_min_max(lower.min, pos2(lower.right() - galley.size().x - 6.0, lower.bottom()));
    let cut = marks::text_within(
        ui.painter(),
        names,
        Align2::LEFT_CENTER,
        &work.composer,
        sans(size::NOTE),
        tokens.ink2,
    );
    marks::text(
        ui.painter(),
        lower.right_center(),
        Align2::RIGHT_CENTER,
        &time,
        sans(size::NOTE),
        tokens.ink2,
    );
    if cut || in_order {
        response.on_hover_text(all);
    }
    by
}

fn state_and_steps(ui: &mut Ui, scene: &mut Scene<'_>, strip: &Strip<'_>) {
    let tokens = scene.tokens;
    let (words, hover, ink) = match strip.saved {
        // What is typed and not saved is never said to be.
        SaveState::Saved if strip.drafts == 1 => {
            ("1 draft", "A form holds what is not saved yet", tokens.care)
        }
        SaveState::Saved if strip.drafts > 1 => ("Drafts", "Forms hold what is not saved yet", tokens.care),
        SaveState::Saved => ("Saved", "Every change is on disk", tokens.ink2),
        SaveState::Beside(why) => ("Two versions", why.as_str(), tokens.care),
        SaveState::Unsaved(why) => ("Not saved", why.as_str(), tokens.clash),
        SaveState::ReadOnly(why) => ("Read-only", why.as_str(), tokens.care),
    };
    ui.label(egui::RichText::new(words).font(sans(size::NOTE)).color(ink)).on_hover_text(hover);
    for (action, words) in [(Action::Undo, strip.undo), (Action::Redo, strip.redo)] {
        let (rect, response) = ui.allocate_exact_size(
            vec2(24.0, 24.0),
            if words.is_some() { Sense::click() } else { Sense::hover() },
        );
        let label =
            words.map_or_else(|| action.label().to_owned(), |words| format!("{}: {words}", action.label()));
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, words.is_some(), &label));
        let ink = if words.is_some() { tokens.ink } else { tokens.line };
        step_arrow(ui.painter(), rect, action == Action::Undo, ink);
        focus_ring(ui, &response, &tokens);
        let response = response.on_hover_text(format!("{label}  ({})", action.key_words()));
        if response.clicked() {
            scene.ask(Intent::Do(action));
        }
    }
}

/// A bent arrow back (undo) or forth (redo).
fn step_arrow(painter: &egui::Painter, rect: Rect, back: bool, ink: egui::Color32) {
    let side = if back { -1.0 } else { 1.0 };
    let at = |x: f32, y: f32| rect.center() + vec2(side * x, y);
    let stroke = egui::Stroke::new(1.4, ink);
    let bend: Vec<egui::Pos2> = (0..=10_u8)
        .map(|step| {
            let angle = -std::f32::consts::FRAC_PI_2 + f32::from(step) / 10.0 * std::f32::consts::PI;
            at(-2.0 - 4.5 * angle.cos(), 1.5 + 4.5 * angle.sin())
        })
        .collect();
    painter.line_segment([at(6.5, -3.0), at(-2.0, -3.0)], stroke);
    painter.line(bend, stroke);
    painter.line_segment([at(-2.0, 6.0), at(2.0, 6.0)], stroke);
    painter.line(vec![at(3.0, -6.5), at(6.5, -3.0), at(3.0, 0.5)], stroke);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nine_titles_share_a_strip_and_the_short_ones_stay_whole() {
        let needed = [181.0, 248.0, 80.0, 198.0, 119.0, 350.0, 168.0, 149.0, 137.0];
        let widths = shared(&needed, 848.0);
        assert!((widths.iter().sum::<f32>() - 848.0).abs() < 0.01, "{widths:?}");
        assert!((widths[2] - 80.0).abs() < 0.01, "a short one is whole: {widths:?}");
        assert!(widths.iter().zip(&needed).all(|(width, need)| *width >= need.min(90.0)), "{widths:?}");
    }
}
