//! The fields of the form, kind by kind.

use super::{Draft, Form};
use crate::kind_choice::{Asked, KindChange, kind_choice};
use crate::places::collection::frames_text;
use backrow_core::carrying::{pieces_of, pieces_text};
use backrow_core::collection::{
    Hardness, Head, Instrument, Kind, Layout, Lift, Loudness, Mass, Material, NAME_LETTERS, Owner, SIDE_M,
    Shape, UsualCompass, odd,
};
use backrow_core::days::Days;
use backrow_core::id::PlaceId;
use backrow_core::library::Library;
use backrow_core::pitch::KeyNumber;
use egui::{Ui, WidgetInfo};

/// What may be typed of pieces, for the hint under the field.
const PIECES_HINT: &str = "One line per piece: 2 x frame, folded; 18 kg weighed; 2 people; wheels own, 4; care never tilt it. Leave empty if it is carried in one piece";

/// A field of one line; whether it was left with Enter.
fn text(ui: &mut Ui, label: &str, value: &mut String) -> bool {
    let label = ui.label(label);
    let field = ui.add(egui::TextEdit::singleline(value).desired_width(320.0)).labelled_by(label.id);
    ui.end_row();
    entered(ui, &field)
}

/// Kinds apart by commas, each by any of its names; beside them a list to find one in.
fn kinds(ui: &mut Ui, library: &Library, label: &str, value: &mut String) -> bool {
    let named = ui.label(label);
    let mut was_entered = false;
    ui.horizontal(|ui| {
        let field = ui.add(egui::TextEdit::singleline(value).desired_width(320.0)).labelled_by(named.id);
        was_entered = entered(ui, &field);
        let label = format!("Add to {}", label.to_lowercase());
        let asked = Asked { label: &label, now: None, none: None, among: None, first: &[], width: 84.0 };
        let mut chosen = None;
        kind_choice(ui, library, &asked, &mut chosen);
        if let Some(KindChange(Some(id))) = chosen {
            let before = value.trim().trim_end_matches(',').to_owned();
            let word = super::kind_word(library, &id);
            *value = if before.is_empty() { word } else { format!("{before}, {word}") };
        }
    });
    ui.end_row();
    was_entered
}

fn entered(ui: &Ui, field: &egui::Response) -> bool {
    field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter))
}

/// The first field: a form that has just been opened has the focus there. No name fills the window.
fn name(ui: &mut Ui, value: &mut String, fresh: bool) -> bool {
    let label = ui.label("Name");
    let field = egui::TextEdit::singleline(value).desired_width(320.0).char_limit(NAME_LETTERS);
    let field = ui.add(field).labelled_by(label.id);
    if fresh {
        field.request_focus();
    }
    ui.end_row();
    entered(ui, &field)
}

/// Lines of text, with what may be typed below them.
fn lines(ui: &mut Ui, label: &str, value: &mut String, hint: &str) {
    crate::terms::field(ui, label);
    ui.vertical(|ui| {
        let field = ui.add(egui::TextEdit::multiline(value).desired_rows(2).desired_width(420.0));
        field.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, label));
        ui.small(hint);
    });
    ui.end_row();
}

fn choice<T: PartialEq + Clone>(
    ui: &mut Ui,
    label: &str,
    value: &mut T,
    words: &str,
    all: impl Iterator<Item = (T, String)>,
) {
    ui.label(label);
    let combo = egui::ComboBox::from_id_salt(label).selected_text(words).width(220.0).height(360.0);
    let combo = combo.truncate().show_ui(ui, |ui| {
        for (one, words) in all {
            ui.selectable_value(value, one, words);
        }
    });
    combo.response.widget_info(|| {
        let mut info = WidgetInfo::labeled(egui::Role::ComboBox, true, label);
        info.current_text_value = Some(words.to_owned());
        info
    });
    ui.end_row();
}

/// Draws the fields; whether Enter was pressed in one of a line.
pub(super) fn fields(ui: &mut Ui, library: &Library, form: &mut Form) -> bool {
    let mut entered = false;
    let fresh = std::mem::take(&mut form.fresh);
    match &mut form.draft {
        Draft::Instrument(thing) => {
            entered |= name(ui, &mut thing.name, fresh);
            if let Some(new) = kind(ui, library, thing) {
                let old = library.kinds.get(&thing.kind).map(|kind| &**kind);
                turn_into(thing, (old, new), &mut form.frames, &mut form.pieces, library.days());
            }
            of_its_kind(ui, library, thing, &mut form.frames);
            entered |= owner_and_build(ui, library, thing);
            lines(ui, "Bars", &mut form.frames, frames_text::HINT);
            entered |= text(ui, "Mass, kg", &mut form.mass);
            ui.label("");
            ui.add_enabled(
                !form.mass.trim().is_empty(),
                egui::Checkbox::new(&mut form.weighed, "Weighed, not estimated"),
            );
            ui.end_row();
            lines(ui, "Carried as", &mut form.pieces, PIECES_HINT);
            shape(ui, thing);
            entered |= text(ui, "Tuned to A, Hz", &mut form.a);
            entered |= text(ui, "Sound (words)", &mut form.character);
            ui.label("");
            ui.checkbox(&mut thing.for_two, "Two can play it at once, one at each side");
            ui.end_row();
            entered |= text(ui, "State", &mut thing.condition);
            entered |= text(ui, "Remark", &mut thing.remark);
            doubts(ui, library, thing, (form.frames.as_str(), form.pieces.as_str(), form.mass.as_str()));
        }
        Draft::Beater(beater) => {
            entered |= name(ui, &mut beater.name, fresh);
            let head = beater.head.word();
            choice(
                ui,
                "Head",
                &mut beater.head,
                head,
                Head::ALL.into_iter().map(|h| (h, h.word().to_owned())),
            );
            let hardness = beater.hardness.word();
            choice(
                ui,
                "Hardness",
                &mut beater.hardness,
                hardness,
                Hardness::ALL.into_iter().map(|h| (h, h.word().to_owned())),
            );
            let label = ui.label("Number");
            ui.add(egui::DragValue::new(&mut beater.count).range(1..=99)).labelled_by(label.id);
            ui.end_row();
            entered |= owner(ui, library, &mut beater.owner);
            place(ui, library, &mut beater.place);
            entered |= kinds(ui, library, "Suits (kinds)", &mut form.kinds);
            entered |= text(ui, "Remark", &mut beater.remark);
        }
        Draft::Player(player) => {
            entered |= name(ui, &mut player.name, fresh);
            entered |= text(ui, "Initials", &mut player.initials);
            entered |= text(ui, "Role", &mut player.role);
            let label = ui.label("Order in the roster");
            let mut place = player.order.saturating_add(1);
            if ui.add(egui::DragValue::new(&mut place).range(1..=99)).labelled_by(label.id).changed() {
                player.order = place.saturating_sub(1);
            }
            ui.end_row();
            entered |= kinds(ui, library, "Plays only (kinds)", &mut form.kinds);
            entered |= kinds(ui, library, "Does not play (kinds)", &mut form.never);
        }
        Draft::Place(place) => {
            entered |= name(ui, &mut place.name, fresh);
            lift(ui, &mut place.lift);
            entered |= text(ui, "Remark", &mut place.remark);
        }
    }
    entered
}

/// Whether a lift goes there, and what it takes.
fn lift(ui: &mut Ui, lift: &mut Option<Lift>) {
    ui.label("Lift");
    ui.horizontal(|ui| {
        ui.radio_value(lift, None, "not stated");
        if ui.radio(lift.is_some_and(|lift| !lift.there), "no lift").clicked() {
            *lift = Some(Lift::default());
        }
        if ui.radio(lift.is_some_and(|lift| lift.there), "there is a lift").clicked() {
            *lift = Some(Lift { there: true, ..lift.unwrap_or_default() });
        }
    });
    ui.end_row();
    let Some(lift) = lift.as_mut().filter(|lift| lift.there) else { return };
    for (word, value, most, digits) in [
        ("Load on its plate, kg", &mut lift.plate_kg, 20_000.0, 0),
        ("Its narrowest door, m", &mut lift.door_m, 10.0, 2),
    ] {
        let label = ui.label(word);
        let mut shown = value.unwrap_or_default();
        let field =
            egui::DragValue::new(&mut shown).range(0.0..=most).max_decimals(digits).speed(most / 1000.0);
        let field =
            field.custom_formatter(|n, _| if n > 0.0 { format!("{n}") } else { "not stated".to_owned() });
        if ui.add(field).labelled_by(label.id).changed() {
            *value = Some(shown).filter(|shown| *shown > 0.0);
        }
        ui.end_row();
    }
}

/// Makes it one of another kind; the texts follow where the kind brings others than were typed.
fn turn_into(
    thing: &mut Instrument,
    (old, new): (Option<&Kind>, &Kind),
    frames: &mut String,
    pieces: &mut String,
    days: Days,
) {
    let typed = (frames_text::frames_of(frames, days.order).ok(), pieces_of(pieces).ok());
    thing.frames = typed.0.clone().unwrap_or_else(|| thing.frames.clone());
    thing.pieces = typed.1.clone().unwrap_or_else(|| thing.pieces.clone());
    thing.turn_into(old, new);
    // What cannot be read yet is somebody's all the same: it stays until it is corrected.
    if typed.0.is_some_and(|typed| thing.frames != typed) {
        *frames = frames_text::text_of(&thing.frames, days);
    }
    if typed.1.is_some_and(|typed| thing.pieces != typed) {
        *pieces = pieces_text(&thing.pieces);
    }
}

/// The kind, found by any of its names; another one where it was chosen.
fn kind<'l>(ui: &mut Ui, library: &'l Library, thing: &Instrument) -> Option<&'l Kind> {
    crate::terms::field(ui, "Kind");
    let asked =
        Asked { label: "Kind", now: Some(&thing.kind), none: None, among: None, first: &[], width: 220.0 };
    let mut changed = None;
    kind_choice(ui, library, &asked, &mut changed);
    ui.end_row();
    let Some(KindChange(Some(id))) = changed else { return None };
    library.kinds.get(&id).map(|kind| &**kind).filter(|kind| kind.id != thing.kind)
}

/// Usual compasses to choose from, each as a picture against the keyboard, and what the kind has to say.
fn of_its_kind(ui: &mut Ui, library: &Library, thing: &mut Instrument, frames: &mut String) {
    let Some(kind) = library.kinds.get(&thing.kind).cloned() else { return };
    if !kind.compasses.is_empty() {
        crate::terms::field(ui, "Usual compass");
        ui.vertical(|ui| {
            for usual in &kind.compasses {
                let own = kind.frames_of(usual);
                let now =
                    frames_text::frames_of(frames, library.days().order).is_ok_and(|typed| typed == own);
                if compass_row(ui, usual, now) {
                    thing.build_to(&kind, usual);
                    *frames = frames_text::text_of(&thing.frames, library.days());
                }
            }
        });
        ui.end_row();
    }
    let loud = kind
        .loud
        .map(|loud| format!("Can be {}: ears need protection, the neighbours’ too.", loud_words(loud)));
    let said: Vec<String> = [Some(kind.caution.clone()), loud, Some(kind.note.clone())]
        .into_iter()
        .flatten()
        .filter(|words| !words.is_empty())
        .collect();
    if !said.is_empty() {
        ui.label("Please note");
        ui.vertical(|ui| {
            for words in said {
                ui.add(egui::Label::new(words).wrap());
            }
        });
        ui.end_row();
    }
}

const fn loud_words(loud: Loudness) -> &'static str {
    match loud {
        Loudness::Loud => "loud at arm’s length",
        Loudness::VeryLoud => "very loud at arm’s length",
        Loudness::Bang => "a sudden bang",
    }
}

/// From A0 to C8 as the piano has it: a line, and on it the stretch of the compass. Whether it was clicked.
fn compass_row(ui: &mut Ui, usual: &UsualCompass, now: bool) -> bool {
    const PICTURE: f32 = 176.0;
    let mut clicked = false;
    ui.horizontal(|ui| {
        // One that is named by its ends says them already.
        let words = if usual.name.contains(" to ") {
            usual.name.clone()
        } else {
            format!("{}, {}–{}", usual.name, usual.low, usual.high)
        };
        let (rect, response) = ui.allocate_exact_size(egui::vec2(PICTURE, 24.0), egui::Sense::click());
        let (line, bars) = (ui.visuals().weak_text_color(), ui.visuals().text_color());
        let at = |key: KeyNumber| {
            let share = (f32::from(key.number()) - 21.0) / (108.0 - 21.0);
            rect.left() + PICTURE * share.clamp(0.0, 1.0)
        };
        let middle = rect.center().y;
        ui.painter().hline(rect.x_range(), middle, egui::Stroke::new(1.0, line));
        ui.painter().vline(
            at(KeyNumber::MIDDLE_C),
            middle - 6.0..=middle + 6.0,
            egui::Stroke::new(1.0, line),
        );
        let stretch = egui::Rect::from_min_max(
            egui::pos2(at(usual.low), middle - 4.0),
            egui::pos2(at(usual.high).max(at(usual.low) + 2.0), middle + 4.0),
        );
        ui.painter().rect_filled(stretch, 1.0, bars);
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, format!("Picture of {words}")));
        clicked = response.clicked() | ui.selectable_label(now, words).clicked();
    });
    clicked
}

/// What is odd for its kind, while it is typed.
fn doubts(ui: &mut Ui, library: &Library, thing: &Instrument, (frames, pieces, mass): (&str, &str, &str)) {
    let Some(kind) = library.kinds.get(&thing.kind) else { return };
    let mut typed = thing.clone();
    typed.frames = frames_text::frames_of(frames, library.days().order).unwrap_or_default();
    typed.pieces = pieces_of(pieces).unwrap_or_default();
    typed.mass = backrow_core::numbers::typed(mass).map(|kg| Mass { kg, weighed: false });
    for odd in odd(kind, &typed) {
        ui.label("");
        ui.add(egui::Label::new(format!("Look again: {}.", odd.words(kind))).wrap());
        ui.end_row();
    }
}

fn owner_and_build(ui: &mut Ui, library: &Library, thing: &mut Instrument) -> bool {
    let entered = owner(ui, library, &mut thing.owner);
    place(ui, library, &mut thing.place);
    let now = thing.material.word();
    choice(
        ui,
        "Material",
        &mut thing.material,
        now,
        Material::ALL.into_iter().map(|m| (m, m.word().to_owned())),
    );
    let now = thing.layout.word();
    let layouts = [Layout::TwoRows, Layout::OneRow, Layout::Rack, Layout::Drums];
    choice(ui, "Layout", &mut thing.layout, now, layouts.into_iter().map(|l| (l, l.word().to_owned())));
    entered
}

fn owner(ui: &mut Ui, library: &Library, owner: &mut Owner) -> bool {
    let owners =
        library.roster().into_iter().map(|player| (Owner::Player(player.id.clone()), player.name.clone()));
    let now = crate::words::owner_words(library, owner);
    let all = std::iter::once((Owner::Orchestra, "ours".to_owned()))
        .chain(owners)
        .chain(std::iter::once((Owner::Other("lent".to_owned()), "lent or hired".to_owned())));
    choice(ui, "Owner", owner, &now, all);
    if let Owner::Other(words) = owner { text(ui, "From whom, until when", words) } else { false }
}

fn place(ui: &mut Ui, library: &Library, place: &mut Option<PlaceId>) {
    let now = match place.as_ref() {
        Some(id) => crate::words::place_words(library, Some(id)),
        None => "not stated".to_owned(),
    };
    let places = library.places.values().map(|place| (Some(place.id.clone()), place.name.clone()));
    choice(ui, "Store", place, &now, std::iter::once((None, "not stated".to_owned())).chain(places));
}

fn shape(ui: &mut Ui, thing: &mut Instrument) {
    let (width, depth) = thing.footprint.shape.extent();
    let shapes = Shape::all(width, depth);
    let now = thing.footprint.shape.word();
    choice(
        ui,
        "Outline",
        &mut thing.footprint.shape,
        now,
        shapes.into_iter().map(|shape| (shape, shape.word().to_owned())),
    );
    let mut metres = |label: &str, value: &mut f64| {
        let label = ui.label(label);
        ui.add(egui::DragValue::new(value).range(SIDE_M).speed(0.01).max_decimals(2)).labelled_by(label.id);
        ui.end_row();
    };
    match &mut thing.footprint.shape {
        Shape::Keyboard { width_m, low_m, high_m } => {
            metres("Width, m", width_m);
            metres("Depth at the low end, m", low_m);
            metres("Depth at the high end, m", high_m);
        }
        Shape::Box { width_m, depth_m } | Shape::Hung { width_m, depth_m } => {
            metres("Width, m", width_m);
            metres("Depth, m", depth_m);
        }
        Shape::Round { diameter_m } => metres("Diameter, m", diameter_m),
    }
    metres("Height, m", &mut thing.footprint.height_m);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dates::Order;
    use backrow_core::id::InstrumentId;

    /// Bars and pieces that are half typed, as "F4-", are nobody's to throw away when a kind is chosen.
    #[test]
    fn what_cannot_be_read_yet_stays_when_a_kind_is_chosen() {
        let kinds = backrow_files::kinds::standard().unwrap();
        let kind = |id: &str| kinds.values().find(|kind| kind.id.as_str() == id).unwrap();
        let (old, new) = (kind("xylophone"), kind("marimba"));
        let of_old = || Instrument {
            frames: old.usual_frames(),
            pieces: old.pieces.clone(),
            ..Instrument::of_kind(InstrumentId::fresh("new", |_| false), old)
        };
        let texts = |thing: &Instrument| {
            (frames_text::text_of(&thing.frames, Days::default()), pieces_text(&thing.pieces))
        };
        let half = ("upper: F4-".to_owned(), "frame; 18 k".to_owned());
        assert!(frames_text::frames_of(&half.0, Order::DayFirst).is_err() && pieces_of(&half.1).is_err());
        let (mut thing, mut typed) = (of_old(), half.clone());
        turn_into(&mut thing, (Some(old), new), &mut typed.0, &mut typed.1, Days::default());
        assert_eq!((thing.kind.as_str(), &typed), ("marimba", &half));
        // What is as the old kind brought it becomes as the new one brings it.
        let mut thing = of_old();
        let mut typed = texts(&thing);
        turn_into(&mut thing, (Some(old), new), &mut typed.0, &mut typed.1, Days::default());
        assert_eq!(typed.0, frames_text::text_of(&new.usual_frames(), Days::default()));
        assert_eq!(typed.1, pieces_text(&new.pieces));
    }
}
