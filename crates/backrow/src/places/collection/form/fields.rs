//! The fields of the form, kind by kind.

use super::{Draft, Form};
use crate::places::collection::{frames_text, pieces_text};
use backrow_core::collection::{Hardness, Head, Instrument, Layout, Material, Owner, Shape};
use backrow_core::id::{KindId, PlaceId};
use backrow_core::library::Library;
use egui::{Ui, WidgetInfo};

fn text(ui: &mut Ui, label: &str, value: &mut String) {
    let label = ui.label(label);
    ui.add(egui::TextEdit::singleline(value).desired_width(320.0)).labelled_by(label.id);
    ui.end_row();
}

/// Lines of text, with what may be typed below them.
fn lines(ui: &mut Ui, label: &str, value: &mut String, hint: &str) {
    ui.label(label);
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
    let combo = egui::ComboBox::from_id_salt(label).selected_text(words).width(220.0).height(360.0).show_ui(
        ui,
        |ui| {
            for (one, words) in all {
                ui.selectable_value(value, one, words);
            }
        },
    );
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, label));
    ui.end_row();
}

pub(super) fn fields(ui: &mut Ui, library: &Library, form: &mut Form) {
    match &mut form.draft {
        Draft::Instrument(thing) => {
            text(ui, "Name", &mut thing.name);
            kind_and_owner(ui, library, thing);
            lines(ui, "Bars", &mut form.frames, frames_text::HINT);
            text(ui, "Mass, kg", &mut form.mass);
            ui.label("");
            ui.add_enabled(
                !form.mass.trim().is_empty(),
                egui::Checkbox::new(&mut form.weighed, "Weighed, not estimated"),
            );
            ui.end_row();
            lines(ui, "Carried as", &mut form.pieces, pieces_text::HINT);
            shape(ui, thing);
            text(ui, "Tuned to A, Hz", &mut form.a);
            text(ui, "Sound, words", &mut form.character);
            text(ui, "State", &mut thing.condition);
            text(ui, "Remark", &mut thing.remark);
        }
        Draft::Beater(beater) => {
            text(ui, "Name", &mut beater.name);
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
            owner(ui, library, &mut beater.owner);
            place(ui, library, &mut beater.place);
            text(ui, "Suits, kinds", &mut form.kinds);
            text(ui, "Remark", &mut beater.remark);
        }
        Draft::Player(player) => {
            text(ui, "Name", &mut player.name);
            text(ui, "Initials", &mut player.initials);
            text(ui, "Role", &mut player.role);
            let label = ui.label("Place in the roster");
            let mut place = player.order.saturating_add(1);
            if ui.add(egui::DragValue::new(&mut place).range(1..=99)).labelled_by(label.id).changed() {
                player.order = place.saturating_sub(1);
            }
            ui.end_row();
            text(ui, "Plays only, kinds", &mut form.kinds);
            text(ui, "Plays no, kinds", &mut form.never);
        }
        Draft::Place(place) => {
            text(ui, "Name", &mut place.name);
            text(ui, "Remark", &mut place.remark);
        }
    }
}

fn kind_and_owner(ui: &mut Ui, library: &Library, thing: &mut Instrument) {
    let mut kinds: Vec<(KindId, String)> =
        library.kinds.values().map(|kind| (kind.id.clone(), kind.name().to_owned())).collect();
    kinds.sort_by_key(|(_, name)| name.to_lowercase());
    let now = library.kind_name(&thing.kind);
    choice(ui, "Kind", &mut thing.kind, &now, kinds.into_iter());
    owner(ui, library, &mut thing.owner);
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
}

fn owner(ui: &mut Ui, library: &Library, owner: &mut Owner) {
    let owners =
        library.roster().into_iter().map(|player| (Owner::Player(player.id.clone()), player.name.clone()));
    let now = crate::words::owner_words(library, owner);
    let all = std::iter::once((Owner::House, "ours".to_owned()))
        .chain(owners)
        .chain(std::iter::once((Owner::Other("lent".to_owned()), "lent or hired".to_owned())));
    choice(ui, "Owner", owner, &now, all);
    if let Owner::Other(words) = owner {
        text(ui, "From whom, until when", words);
    }
}

fn place(ui: &mut Ui, library: &Library, place: &mut Option<PlaceId>) {
    let now = match place.as_ref() {
        Some(id) => crate::words::place_words(library, Some(id)),
        None => "not stated".to_owned(),
    };
    let places = library.places.values().map(|place| (Some(place.id.clone()), place.name.clone()));
    choice(ui, "Place", place, &now, std::iter::once((None, "not stated".to_owned())).chain(places));
}

fn shape(ui: &mut Ui, thing: &mut Instrument) {
    let (width, depth) = thing.footprint.shape.extent();
    let shapes = [
        (Shape::Keyboard { width_m: width, low_m: depth, high_m: depth * 0.6 }, "keyboard"),
        (Shape::Box { width_m: width, depth_m: depth }, "table, stand or rack"),
        (Shape::Round { diameter_m: width }, "round"),
        (Shape::Hung { width_m: width, depth_m: depth }, "hung in a stand"),
    ];
    let same = |a: &Shape| std::mem::discriminant(a) == std::mem::discriminant(&thing.footprint.shape);
    let now = shapes.iter().find(|(shape, _)| same(shape)).map_or("", |(_, word)| word);
    choice(
        ui,
        "Outline",
        &mut thing.footprint.shape,
        now,
        shapes.into_iter().map(|(shape, word)| (shape, word.to_owned())),
    );
    let mut metres = |label: &str, value: &mut f64| {
        let label = ui.label(label);
        ui.add(egui::DragValue::new(value).range(0.05..=8.0).speed(0.01).max_decimals(2))
            .labelled_by(label.id);
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
