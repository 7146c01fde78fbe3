//! One line in review: what it is taken for and why, at a glance, and everything that can be changed about it.

use super::made::{made, timeline_of};
use super::{Editor, Origin, kind_choice, octave_choice, strip};
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::in_menu;
use crate::theme::{Tokens, sans, serif_italic};
use backrow_core::id::{LineId, begun};
use backrow_core::library::Library;
use backrow_core::music::typed::TypedLine;
use backrow_core::music::{Degree, Line};
use backrow_core::pitch::{Octave, Reading};
use egui::{Key, RichText, Ui, WidgetInfo};

/// Draws the line.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor, id: &LineId, reading: Reading) {
    // Two lines may be called alike.
    ui.push_id(id.as_str(), |ui| of_line(ui, scene, editor, id, reading));
}

/// The tick before a line, and what stands at its other end, points.
const TICK: f32 = 20.0;
const BUTTONS: f32 = 196.0;

/// How wide the fields of a line are: the same in every line, so that they stand beneath each other and beneath their words.
struct Columns {
    kind: f32,
    octave: f32,
    printed: f32,
    part: f32,
}

impl Columns {
    fn of(ui: &Ui) -> Self {
        let room = ui.available_width() - TICK - BUTTONS - 5.0 * ui.spacing().item_spacing.x;
        let room = room.clamp(320.0, 540.0);
        Self { kind: room * 0.26, octave: room * 0.28, printed: room * 0.25, part: room * 0.21 }
    }
}

/// A place in a row that is so wide, whatever stands in it.
fn cell<R>(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui) -> R) -> R {
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    let size = egui::vec2(width, ui.spacing().interact_size.y);
    let add = |ui: &mut Ui| {
        ui.set_width(width);
        add(ui)
    };
    ui.allocate_ui_with_layout(size, layout, add).inner
}

/// The words over the fields of the lines.
pub(super) fn heads(ui: &mut Ui, scene: &Scene<'_>) {
    ui.horizontal(|ui| {
        let Columns { kind, octave, printed, part } = Columns::of(ui);
        for (words, width) in
            [("", TICK), ("kind", kind), ("octave", octave), ("as printed", printed), ("part", part)]
        {
            let words = RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2);
            cell(ui, width, |ui| ui.label(words));
        }
    });
}

fn of_line(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor, id: &LineId, reading: Reading) {
    let Some(line) = editor.work.line(id).cloned() else { return };
    let tokens = scene.tokens;
    let end_s = editor.shown().map_or(0.0, |m| m.timeline.end_s);
    ui.separator();
    ui.horizontal(|ui| {
        let columns = Columns::of(ui);
        cell(ui, TICK, |ui| taken(ui, scene.library, editor, &line));
        what(ui, scene, editor, &line, &columns);
        part(ui, scene.library, editor, &line, &columns);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            more(ui, (scene.library, &tokens), editor, &line);
            let open = editor.open.contains_key(id);
            let words = if open { "Close the line" } else { "As a line" };
            let button = ui.button(words).on_hover_text("Measures, notes, beaters and part in one line");
            button.widget_info(|| {
                WidgetInfo::labeled(
                    egui::Role::Button,
                    true,
                    format!("{words}: {}", called(scene.library, &line)),
                )
            });
            if button.clicked() {
                toggle(scene.library, editor, &line, reading);
            }
        });
    });
    strip::ui(ui, scene, &line, end_s);
    ui.horizontal_wrapped(|ui| {
        let ink = if line.degree == Degree::Unclear { tokens.care } else { tokens.ink2 };
        let words = reason(line.degree, line.evidence.first().map_or("", String::as_str));
        if !words.is_empty() {
            ui.label(RichText::new(words).font(sans(size::NOTE)).color(ink))
                .on_hover_text(line.evidence.join("\n"));
        }
        if !line.beaters.is_empty() {
            let words = RichText::new(line.beaters.join(", ")).font(serif_italic(size::NOTE));
            ui.label(words.color(tokens.ink2));
        }
        offer(ui, scene, editor, &line);
    });
    remembered(ui, scene, editor, &line);
    for doubt in editor.doubts.get(id).into_iter().flatten() {
        let words = RichText::new(doubt).font(sans(size::NOTE)).color(tokens.care);
        ui.add(egui::Label::new(words).wrap());
    }
    if editor.open.contains_key(id) {
        as_text(ui, scene, editor, &line, reading);
    }
    ui.add_space(space::XS);
}

/// What a line is taken for by: "Read from the heading “Timpani”.", "likely: …". Nothing where it is sure and nobody asks why.
fn reason(degree: Degree, why: &str) -> String {
    if degree != Degree::Sure {
        return if why.is_empty() { degree.word().to_owned() } else { format!("{}: {why}", degree.word()) };
    }
    // What stands in quotation marks after it is what was found there, and the kind stands in the line already.
    let source = ["heading “", "instrument “", "sound “"].into_iter().find_map(|begin| {
        let (quoted, _) = why.strip_prefix(begin)?.split_once('”')?;
        Some(format!("{begin}{quoted}”"))
    });
    match source {
        Some(source) => format!("Read from the {source}."),
        None if why.is_empty() => String::new(),
        None => format!("{}.", begun(why).trim_end_matches('.')),
    }
}

/// What a line is called where it is spoken of: its instrument, and where it is played.
pub(in crate::places::works) fn called(library: &Library, line: &Line) -> String {
    let name = library.line_name(line);
    let played = line.where_played();
    if played.is_empty() { name } else { format!("{name}, {played}") }
}

fn taken(ui: &mut Ui, library: &Library, editor: &mut Editor, line: &Line) {
    let mut taken = !editor.dropped.contains(&line.id);
    let tick = ui.checkbox(&mut taken, "").on_hover_text("Untick to leave this line out");
    tick.widget_info(|| {
        WidgetInfo::selected(egui::Role::CheckBox, true, taken, format!("Import {}", called(library, line)))
    });
    if tick.changed() {
        editor.dropped.retain(|id| *id != line.id);
        if !taken {
            editor.dropped.push(line.id.clone());
        }
    }
}

/// Kind and octave.
fn what(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor, line: &Line, columns: &Columns) {
    let mut changed = None;
    let called = called(scene.library, line);
    let label = format!("Kind of {called}");
    let first = editor.candidates.get(&line.id).map_or(&[][..], Vec::as_slice);
    let asked = (label.as_str(), first, columns.kind);
    cell(ui, columns.kind, |ui| {
        kind_choice(ui, scene.library, asked, line.kind.as_ref(), &mut changed);
    });
    let mut octave = line.octave;
    let label = format!("Octave of {called}");
    cell(ui, columns.octave, |ui| octave_choice(ui, (&label, columns.octave), &mut octave));
    if changed.is_none() && octave == line.octave {
        return;
    }
    editor.step();
    let usual = |kind: &Option<backrow_core::id::KindId>| {
        let kind = kind.as_ref().and_then(|id| scene.library.kinds.get(id));
        kind.and_then(|kind| kind.octave)
    };
    if let Some(now) = editor.line_mut(&line.id) {
        now.octave = octave;
        if let Some(change) = changed {
            // The convention goes with the kind, unless somebody chose another.
            if usual(&line.kind).is_none_or(|usual| usual == line.octave) {
                now.octave = usual(&change.0).unwrap_or(octave);
            }
            let name = change.0.as_ref().map(|id| scene.library.kind_name(id));
            *now = now.with_kind(change.0, name.as_deref());
        }
    }
    editor.offers.remove(&line.id);
}

/// What this library took the same name for when somebody corrected it.
fn remembered(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor, line: &Line) {
    let Some((kind, title)) = super::remembered::kind_of(scene.library, line) else { return };
    let name = scene.library.kind_name(&kind);
    ui.horizontal_wrapped(|ui| {
        let words = format!("“{}” was corrected to {name} in {title}", line.printed);
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.care));
        let button = ui.small_button("Use it here");
        button.widget_info(|| {
            WidgetInfo::labeled(
                egui::Role::Button,
                true,
                format!("Take {} as {name}", called(scene.library, line)),
            )
        });
        if button.clicked() {
            editor.step();
            if let (Some(now), Some(corrected)) =
                (editor.line_mut(&line.id), super::remembered::corrected(scene.library, line))
            {
                *now = corrected;
            }
        }
    });
}

/// What the part prints, and which part it is: both can be typed anew.
fn part(ui: &mut Ui, library: &Library, editor: &mut Editor, line: &Line, columns: &Columns) {
    let (mut printed, mut part) = (line.printed.clone(), line.part.clone());
    let fields = [("Printed", &mut printed, columns.printed), ("Part", &mut part, columns.part)];
    let mut changed = false;
    for (word, text, width) in fields {
        let field = egui::TextEdit::singleline(text).desired_width(width - 8.0).hint_text(word);
        let field = cell(ui, width, |ui| ui.add(field));
        field.widget_info(|| {
            WidgetInfo::labeled(egui::Role::TextInput, true, format!("{word} of {}", called(library, line)))
        });
        changed |= field.changed();
        // A click into the field changes nothing; what is typed there until it is left is one step.
        if field.gained_focus() {
            ui.data_mut(|data| data.remove::<bool>(field.id));
        }
        if field.changed() && !ui.data(|data| data.get_temp(field.id).unwrap_or(false)) {
            ui.data_mut(|data| data.insert_temp(field.id, true));
            editor.step();
        }
    }
    if changed && let Some(now) = editor.line_mut(&line.id) {
        (now.printed, now.part) = (printed, part);
    }
}

/// Another octave convention that would fit.
fn offer(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor, line: &Line) {
    let Some(offer) = editor.offers.get(&line.id).copied().filter(|offer| *offer != line.octave) else {
        return;
    };
    let words = format!("as {} it would fit the usual compass", offer.words());
    ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.care));
    if ui.small_button("Read it so").clicked() {
        editor.step();
        if let Some(now) = editor.line_mut(&line.id) {
            now.octave = offer;
        }
    }
}

fn more(ui: &mut Ui, (library, tokens): (&Library, &Tokens), editor: &mut Editor, line: &Line) {
    // A click into the field of the cut must not close the menu around it.
    let stays = egui::containers::menu::MenuConfig::new()
        .close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside);
    let button = egui::containers::menu::MenuButton::new("Join, cut …").config(stays);
    let (response, _) = button.ui(ui, |ui| {
        ui.label("Join into it");
        let others: Vec<(LineId, String)> = editor
            .work
            .lines_of(&line.movement)
            .filter(|other| other.id != line.id)
            .map(|other| {
                (other.id.clone(), format!("{}, {}", library.line_name(other), other.where_played()))
            })
            .collect();
        egui::ScrollArea::vertical().max_height(240.0).show(ui, |ui| {
            for (other, words) in &others {
                if ui.button(words).clicked() {
                    editor.join(&line.id, other);
                    ui.close();
                }
            }
        });
        ui.separator();
        let typed_id = ui.scope_id().with(("cut", line.id.as_str()));
        let mut typed: String = ui.data_mut(|data| data.get_temp(typed_id)).unwrap_or_default();
        ui.horizontal(|ui| {
            let label = ui.label("Cut before measure");
            let edit = egui::TextEdit::singleline(&mut typed).desired_width(50.0).hint_text("41");
            let field = in_menu(ui, tokens, |ui| ui.add(edit));
            let field = field.labelled_by(label.id);
            let enter = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
            if (ui.button("Cut").clicked() || enter) && !typed.trim().is_empty() {
                editor.cut(&line.id, typed.trim());
                typed.clear();
                ui.close();
            }
        });
        ui.data_mut(|data| data.insert_temp(typed_id, typed));
        if !matches!(editor.origin, Origin::Score(_)) && ui.button("Remove the entry").clicked() {
            editor.step();
            editor.work.lines.retain(|other| other.id != line.id);
            ui.close();
        }
    });
    response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Button, true, format!("Join or cut {}", called(library, line)))
    });
}

fn usual(library: &Library, line: &Line) -> Option<Octave> {
    line.kind.as_ref().and_then(|id| library.kinds.get(id)).and_then(|kind| kind.octave)
}

fn line_of(library: &Library, editor: &Editor, line: &Line, reading: Reading) -> String {
    let name = match &line.kind {
        Some(kind) => library.kind_name(kind),
        None => line.printed.clone(),
    };
    TypedLine::of(line, name, usual(library, line), &timeline_of(editor, Some(line))).text(reading)
}

/// A line that is open as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Opened {
    /// As the line was.
    pub(super) began: String,
    /// As it was typed over.
    pub(super) typed: String,
}

impl Opened {
    /// Whether something was typed that the line does not have.
    pub(super) fn has_changed(&self) -> bool {
        self.typed.trim() != self.began.trim()
    }
}

/// Opens the line as text, or closes it; what was typed over it is applied then, and stays open where it cannot be read.
fn toggle(library: &Library, editor: &mut Editor, line: &Line, reading: Reading) {
    match editor.open.get(&line.id) {
        None => {
            let text = line_of(library, editor, line, reading);
            editor.open.insert(line.id.clone(), Opened { began: text.clone(), typed: text });
        }
        Some(opened) if opened.has_changed() => {
            if let Err(why) = apply(library, editor, &line.id, reading) {
                editor.said = why;
            }
        }
        Some(_) => {
            editor.open.remove(&line.id);
        }
    }
}

/// Puts what was typed over a line in its place, and closes it. An error says why it cannot be read.
pub(super) fn apply(
    library: &Library,
    editor: &mut Editor,
    id: &LineId,
    reading: Reading,
) -> Result<(), String> {
    let (Some(line), Some(opened)) = (editor.work.line(id), editor.open.get(id)) else { return Ok(()) };
    let new = made(library, editor, (&opened.typed, reading), Some(line)).map_err(|why| {
        let name = library.line_name(line);
        format!("What was typed over {name} cannot be read: {why}")
    })?;
    editor.step();
    if let Some(now) = editor.line_mut(id) {
        *now = new;
    }
    editor.open.remove(id);
    Ok(())
}

/// The line's line, read while one types; Enter puts it in the place of the line.
fn as_text(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor, line: &Line, reading: Reading) {
    let Some(opened) = editor.open.get(&line.id) else { return };
    let mut opened = opened.clone();
    if !opened.has_changed() {
        // The line may have been changed beside its text.
        opened.began = line_of(scene.library, editor, line, reading);
        opened.typed.clone_from(&opened.began);
    }
    let field = egui::TextEdit::multiline(&mut opened.typed)
        .desired_rows(2)
        .return_key(egui::KeyboardShortcut::new(egui::Modifiers::SHIFT, Key::Enter))
        .desired_width(ui.available_width() - 24.0);
    let response = ui.add(field);
    response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::TextInput, true, format!("Line of {}", called(scene.library, line)))
    });
    let made = made(scene.library, editor, (&opened.typed, reading), Some(line));
    let enter = response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    super::typed_ui::verdict(ui, scene, &made);
    crate::terms::of_text(ui, &scene.tokens, "printed part, passage, octave, muta, exposed");
    let (mut take, mut throw) = (false, false);
    ui.horizontal(|ui| {
        take = ui.add_enabled(made.is_ok(), egui::Button::new("Apply")).clicked();
        throw = ui.add_enabled(opened.has_changed(), egui::Button::new("Throw away")).clicked();
    });
    if throw {
        editor.open.remove(&line.id);
        return;
    }
    editor.open.insert(line.id.clone(), opened);
    if (take || enter) && made.is_ok() {
        // It was read just now.
        drop(apply(scene.library, editor, &line.id, reading));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case::nothing_to_say(Degree::Sure, "", "")]
    #[case::heading(
        Degree::Sure,
        "heading “Timpani”: “Timpani” → timpani",
        "Read from the heading “Timpani”."
    )]
    #[case::two_reasons(
        Degree::Sure,
        "instrument “Cym.”: “Cym.”; sound “metal”",
        "Read from the instrument “Cym.”."
    )]
    #[case::by_hand(Degree::Sure, "typed by hand", "Typed by hand.")]
    #[case::doubtful(Degree::Likely, "heading “Perc.”", "likely: heading “Perc.”")]
    #[case::open(Degree::Unclear, "", "unclear")]
    fn what_a_line_is_taken_for_by(#[case] degree: Degree, #[case] why: &str, #[case] words: &str) {
        assert_eq!(reason(degree, why), words);
    }
}
