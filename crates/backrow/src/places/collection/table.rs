//! The table: sorted by a column, filtered, with only the rows in sight drawn.

use super::form::Form;
use super::{Tab, Thing};
use crate::intent::Intent;
use crate::places::collection::Here;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{marks, sans};
use crate::view::{Carried, Selected};
use crate::words::{owner_words, place_words};
use backrow_core::edit::Edit;
use backrow_core::id::is_found;
use backrow_core::library::Library;
use egui::{Align2, Key, Modifiers, Rect, RichText, Sense, Ui, WidgetInfo, pos2, vec2};

/// A row: what it stands for, and its cells.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub(super) thing: Thing,
    cells: Vec<String>,
    /// What the column is sorted by where the words would mislead.
    number: f64,
}

const fn columns(tab: Tab) -> &'static [(&'static str, f32)] {
    match tab {
        Tab::Instruments => &[
            ("name", 0.21),
            ("kind", 0.14),
            ("compass", 0.15),
            ("owner", 0.14),
            ("store", 0.12),
            ("material", 0.11),
            ("mass", 0.13),
        ],
        Tab::Beaters => &[
            ("name", 0.34),
            ("head", 0.12),
            ("hardness", 0.14),
            ("number", 0.08),
            ("owner", 0.16),
            ("suits", 0.16),
        ],
        Tab::Players => {
            // The key is that of Section: there a player is chosen by a figure.
            &[
                ("name", 0.28),
                ("initials", 0.1),
                ("role", 0.18),
                ("plays only", 0.18),
                ("does not play", 0.18),
                ("key", 0.08),
            ]
        }
        Tab::Places | Tab::Tuning | Tab::Bells | Tab::Care | Tab::Orchestra => {
            &[("name", 0.3), ("remark", 0.7)]
        }
    }
}

/// Draws filter, heads and rows.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let tab = view.own.tab;
    line(ui, scene, view, tab);
    let library = scene.library;
    let state = &view.own;
    let key = (scene.revision, tab, state.filter.clone(), state.column, state.backwards);
    let mut memo = std::mem::take(&mut view.own.rows);
    let rows = memo.get(key, || rows(library, tab, &view.own.filter, view.own.column, view.own.backwards));
    keys(ui, scene, view, rows);
    let width = ui.available_width() - 14.0;
    heads(ui, scene, view, tab, width);
    if rows.is_empty() {
        let words = if view.own.filter.is_empty() {
            "Nothing here yet. Add the first with the button above."
        } else {
            "Nothing matches the filter."
        };
        ui.label(RichText::new(words).color(scene.tokens.ink2));
    }
    let mut area = egui::ScrollArea::vertical().id_salt(tab.word()).auto_shrink([false, false]);
    let sight = ui.available_height();
    if let Some(row) = view.own.to_row.take().filter(|row| *row < rows.len()) {
        // Just far enough for the row to be in sight.
        let top = row as f32 * 24.0;
        let now = view.own.scrolled;
        let to = now.clamp((top + 24.0 - sight).max(0.0), top.max(0.0));
        area = area.vertical_scroll_offset(to);
    }
    let shown = area.show_rows(ui, 24.0, rows.len(), |ui, seen| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for row in rows.get(seen).unwrap_or_default() {
            row_ui(ui, scene, view, tab, row, width);
        }
    });
    view.own.scrolled = shown.state.clamped_offset().y;
    view.own.rows = memo;
}

/// What the button above the table adds.
const fn added(tab: Tab) -> &'static str {
    match tab {
        Tab::Beaters => "Add beaters",
        Tab::Players => "Add a player",
        Tab::Places => "Add a store",
        _ => "Add an instrument",
    }
}

fn line(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, tab: Tab) {
    ui.horizontal_wrapped(|ui| {
        let field = egui::TextEdit::singleline(&mut view.own.filter)
            .hint_text("Filter …")
            .desired_width((ui.available_width() - 400.0).clamp(120.0, 220.0));
        let response = ui.add(field);
        response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Filter the table"));
        if ui.button(added(tab)).clicked() {
            put(view, Form::new(scene, tab));
        }
        let chosen = chosen(view, tab);
        if ui.add_enabled(chosen.is_some(), egui::Button::new("Edit")).clicked() {
            put(view, chosen.as_ref().and_then(|thing| Form::of(scene, thing)));
        }
        let again = egui::Button::new("Duplicate");
        if ui.add_enabled(chosen.is_some(), again).on_hover_text("Ctrl D").clicked() {
            put(view, chosen.as_ref().and_then(|thing| Form::like(scene, thing)));
        }
        if ui.add_enabled(chosen.is_some(), egui::Button::new("Remove")).clicked()
            && let Some(thing) = &chosen
        {
            remove(scene, thing);
        }
    });
}

/// Opens a form, where there is one for the row.
fn put(view: &mut Here<'_>, form: Option<Form>) {
    if let Some(form) = form {
        view.own.forms.put(form);
    }
}

/// The row that the buttons act on.
fn chosen(view: &Here<'_>, tab: Tab) -> Option<Thing> {
    if tab == Tab::Places {
        return view.own.place.clone().map(Thing::Place);
    }
    let selected = view.selected.clone()?;
    let fits = matches!(
        (tab, &selected),
        (Tab::Instruments, Selected::Instrument(_))
            | (Tab::Beaters, Selected::Beater(_))
            | (Tab::Players, Selected::Player(_))
    );
    fits.then_some(Thing::Selectable(selected))
}

fn remove(scene: &mut Scene<'_>, thing: &Thing) {
    match thing {
        Thing::Selectable(Selected::Instrument(id)) => scene.edit(Edit::RemoveInstrument(id.clone())),
        Thing::Selectable(Selected::Beater(id)) => scene.edit(Edit::RemoveBeater(id.clone())),
        Thing::Selectable(Selected::Player(id)) => scene.edit(Edit::RemovePlayer(id.clone())),
        Thing::Selectable(Selected::Line(_)) => {}
        Thing::Place(id) => scene.edit(Edit::RemovePlace(id.clone())),
    }
}

fn keys(ui: &Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, rows: &[Row]) {
    if view.keys_are_taken(ui.ctx()) {
        return;
    }
    let tab = view.own.tab;
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    if pressed(Modifiers::COMMAND, Key::N) {
        put(view, Form::new(scene, tab));
    }
    let by = i32::from(pressed(Modifiers::NONE, Key::ArrowDown))
        - i32::from(pressed(Modifiers::NONE, Key::ArrowUp));
    let now = chosen(view, tab);
    if by != 0 {
        let at = now.as_ref().and_then(|thing| rows.iter().position(|row| row.thing == *thing));
        let next = at.map_or(Some(0), |at| at.checked_add_signed(by as isize)).and_then(|at| rows.get(at));
        match next.map(|row| &row.thing) {
            Some(Thing::Selectable(selected)) => scene.ask(Intent::Select(Some(selected.clone()))),
            Some(Thing::Place(id)) => view.own.place = Some(id.clone()),
            None => {}
        }
        view.own.to_row = at.map_or(Some(0), |at| at.checked_add_signed(by as isize));
    }
    if let Some(thing) = now {
        if pressed(Modifiers::NONE, Key::Enter) {
            put(view, Form::of(scene, &thing));
        }
        if pressed(Modifiers::COMMAND, Key::D) {
            put(view, Form::like(scene, &thing));
        }
        if pressed(Modifiers::NONE, Key::Delete) {
            remove(scene, &thing);
        }
    }
}

fn heads(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, tab: Tab, width: f32) {
    let tokens = scene.tokens;
    let (rect, _) = ui.allocate_exact_size(vec2(width, 24.0), Sense::hover());
    let mut left = rect.left();
    for (at, (word, share)) in columns(tab).iter().enumerate() {
        let place = Rect::from_min_size(pos2(left, rect.top()), vec2(width * share, 24.0));
        let response = ui.interact(place, ui.scope_id().with(("head", at)), Sense::click());
        let here = view.own.column == at;
        let arrow = match (here, view.own.backwards) {
            (true, false) => " ↓",
            (true, true) => " ↑",
            _ => "",
        };
        response
            .widget_info(|| WidgetInfo::labeled(egui::Role::ColumnHeader, true, format!("Sort by {word}")));
        let ink = if response.hovered() || here { tokens.ink } else { tokens.ink2 };
        marks::text(
            ui.painter(),
            place.left_center(),
            Align2::LEFT_CENTER,
            &format!("{word}{arrow}"),
            sans(size::NOTE),
            ink,
        );
        if response.clicked() {
            view.own.backwards = here && !view.own.backwards;
            view.own.column = at;
        }
        left = place.right();
    }
    marks::hairline(ui.painter(), rect.x_range(), rect.bottom(), tokens.line);
}

fn row_ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, tab: Tab, row: &Row, width: f32) {
    let tokens = scene.tokens;
    let (rect, response) = ui.allocate_exact_size(vec2(width, 24.0), Sense::click_and_drag());
    let selected = match &row.thing {
        Thing::Selectable(selected) => view.selected.as_ref() == Some(selected),
        Thing::Place(id) => view.own.place.as_ref() == Some(id),
    };
    let name = row.cells.first().map_or("", String::as_str);
    response.widget_info(|| {
        // The other columns are the row's value, each with its heading.
        let cells = columns(tab).iter().zip(&row.cells).skip(1).filter(|(_, cell)| !cell.is_empty());
        let said: Vec<String> = cells.map(|((word, _), cell)| format!("{word} {cell}")).collect();
        let mut info = WidgetInfo::selected(egui::Role::Row, true, selected, name);
        info.current_text_value = Some(said.join(", "));
        info
    });
    if selected {
        ui.painter().rect_filled(rect, 0.0, tokens.soft);
    } else if response.hovered() {
        ui.painter().rect_filled(rect, 0.0, tokens.raised);
    }
    crate::theme::widgets::focus_ring(ui, &response, &tokens);
    let mut left = rect.left();
    for (at, ((word, share), cell)) in columns(tab).iter().zip(&row.cells).enumerate() {
        let place = Rect::from_min_size(pos2(left, rect.top()), vec2(width * share - 8.0, 24.0));
        let ink = if at == 0 { tokens.ink } else { tokens.ink2 };
        let anchor =
            if matches!(*word, "mass" | "number") { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
        marks::text_within(
            ui.painter(),
            place,
            anchor,
            cell,
            sans(if at == 0 { size::TEXT } else { size::NOTE }),
            ink,
        );
        left += width * share;
    }
    match &row.thing {
        Thing::Selectable(Selected::Instrument(id)) => {
            response.dnd_set_drag_payload(Carried::Instrument(id.clone()));
        }
        Thing::Selectable(Selected::Beater(id)) => response.dnd_set_drag_payload(Carried::Beater(id.clone())),
        Thing::Selectable(Selected::Player(id)) => response.dnd_set_drag_payload(Carried::Player(id.clone())),
        _ => {}
    }
    if response.clicked() {
        match &row.thing {
            Thing::Selectable(selected) => scene.ask(Intent::Select(Some(selected.clone()))),
            Thing::Place(id) => view.own.place = Some(id.clone()),
        }
    }
    if response.double_clicked() {
        put(view, Form::of(scene, &row.thing));
    }
}

fn rows(library: &Library, tab: Tab, filter: &str, column: usize, backwards: bool) -> Vec<Row> {
    let mut rows = all(library, tab);
    if !filter.trim().is_empty() {
        rows.retain(|row| row.cells.iter().any(|cell| is_found(cell, filter)));
    }
    let word = columns(tab).get(column).map_or("", |(word, _)| word);
    if word == "compass" {
        // From low to high; what has no pitch comes last.
        rows.sort_by_cached_key(|row| {
            let thing = match &row.thing {
                Thing::Selectable(Selected::Instrument(id)) => library.instruments.get(id),
                _ => None,
            };
            let set = thing.map(|thing| thing.compass()).unwrap_or_default();
            let key = |key: Option<backrow_core::pitch::KeyNumber>| {
                key.map_or(u8::MAX, backrow_core::pitch::KeyNumber::number)
            };
            (key(set.lowest()), key(set.highest()), row.cells.first().map(|cell| natural(cell)))
        });
    } else if matches!(word, "mass" | "number" | "key") {
        rows.sort_by(|a, b| a.number.total_cmp(&b.number));
    } else {
        rows.sort_by_cached_key(|row| {
            (row.cells.get(column).map(|cell| natural(cell)), row.cells.first().map(|cell| natural(cell)))
        });
    }
    if backwards {
        rows.reverse();
    }
    rows
}

/// A name in pieces that sort as people count: "Gong 2" before "Gong 10".
fn natural(text: &str) -> Vec<(String, u64)> {
    let mut out: Vec<(String, u64)> = Vec::new();
    for piece in text.to_lowercase().split_inclusive(|c: char| !c.is_ascii_digit()) {
        let digits = piece.trim_end_matches(|c: char| !c.is_ascii_digit());
        let rest = piece.get(digits.len()..).unwrap_or_default();
        if let Ok(number) = digits.parse() {
            out.push((String::new(), number));
        }
        match out.last_mut().filter(|(words, _)| !words.is_empty()) {
            Some((words, _)) => words.push_str(rest),
            None if !rest.is_empty() => out.push((rest.to_owned(), 0)),
            None => {}
        }
    }
    out
}

fn all(library: &Library, tab: Tab) -> Vec<Row> {
    let kinds = |ids: &[backrow_core::id::KindId]| {
        ids.iter().map(|id| library.kind_name(id)).collect::<Vec<_>>().join(", ")
    };
    let row = |selected, cells, number| Row { thing: Thing::Selectable(selected), cells, number };
    match tab {
        Tab::Instruments => library
            .instruments
            .values()
            .map(|thing| {
                let compass = if thing.is_pitched() { thing.compass().to_string() } else { String::new() };
                let mass = thing.whole_mass().map_or_else(String::new, crate::words::mass);
                let (owner, place) =
                    (owner_words(library, &thing.owner), place_words(library, thing.place.as_ref()));
                let cells = vec![
                    thing.name.clone(),
                    library.kind_name(&thing.kind),
                    compass,
                    owner,
                    place,
                    thing.material.word().to_owned(),
                    mass,
                ];
                row(
                    Selected::Instrument(thing.id.clone()),
                    cells,
                    thing.whole_mass().map_or(0.0, |mass| mass.kg),
                )
            })
            .collect(),
        Tab::Beaters => library
            .beaters
            .values()
            .map(|b| {
                let cells = vec![
                    b.name.clone(),
                    b.head.word().into(),
                    b.hardness.word().into(),
                    b.count.to_string(),
                    owner_words(library, &b.owner),
                    kinds(&b.suits),
                ];
                row(Selected::Beater(b.id.clone()), cells, f64::from(b.count))
            })
            .collect(),
        Tab::Players => library
            .roster()
            .into_iter()
            .zip(1_u32..)
            .map(|(p, nth)| {
                let key = if nth <= 8 { nth.to_string() } else { String::new() };
                row(
                    Selected::Player(p.id.clone()),
                    vec![
                        p.name.clone(),
                        p.initials.clone(),
                        p.role.clone(),
                        kinds(&p.only),
                        kinds(&p.never),
                        key,
                    ],
                    f64::from(nth),
                )
            })
            .collect(),
        Tab::Places | Tab::Tuning | Tab::Bells | Tab::Care | Tab::Orchestra => library
            .places
            .values()
            .map(|place| Row {
                thing: Thing::Place(place.id.clone()),
                cells: vec![place.name.clone(), place.remark.clone()],
                number: 0.0,
            })
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::natural;

    #[test]
    fn names_sort_as_people_count() {
        let mut names = ["Gong 10", "gong 2", "Gong", "Bell plate 3", "Gong 2, low"];
        names.sort_by_cached_key(|name| natural(name));
        assert_eq!(names, ["Bell plate 3", "Gong", "gong 2", "Gong 2, low", "Gong 10"]);
    }
}
