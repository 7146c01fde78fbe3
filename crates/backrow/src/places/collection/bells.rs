//! The register of bells, and what tonight's lines for bells ask of it.

mod heard;
mod lines;

use super::bench::formulas::formulas;
use super::bench::{self, Bench, bell};
use crate::scene::Scene;
use crate::theme::marks::{Mark, mark};
use crate::theme::tokens::{size, space};
use crate::theme::widgets::caution;
use crate::theme::{sans, semibold, serif};
use crate::view::View;
use backrow_core::care::{BellEntry, Care, among};
use backrow_core::collection::Instrument;
use backrow_core::edit::Edit;
use backrow_core::id::{BeaterId, InstrumentId};
use backrow_core::library::Library;
use backrow_core::pitch::{KeyNumber, ReferenceA, signed};
use backrow_core::tonight::Hall;
use backrow_core::tuning::bell::{Body, Partial};
use backrow_core::tuning::bell_size::Estimate;
use backrow_core::tuning::formula::{CENTS, LIP, MASS, PATTERN, STRIKE, TUBE, WARBLE};
use egui::{Key, Modifiers, RichText, Ui, WidgetInfo, vec2};

/// Draws the tab.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, bench: &mut Bench) {
    if super::bench_form(ui, scene, bench) {
        return;
    }
    bench.forms.ui(ui, &scene.tokens);
    let hall = Hall::of(scene.library, view.programme_in(scene.library));
    let bells = all(scene.library);
    settle(bench, &bells);
    keys(ui, scene, view, bench, &bells);
    buttons(ui, scene, bench);
    caution(ui, &scene.tokens, CAUTION);
    ui.add_space(space::XS);
    egui::ScrollArea::vertical().id_salt("bells").auto_shrink([false, false]).show(ui, |ui| {
        table(ui, scene, bench, &bells, hall.a);
        if let Some((thing, bell)) = chosen(bench, &bells) {
            ui.add_space(space::M);
            card(ui, scene, (thing, bell), &bells, hall.a);
            heard::ui(ui, scene, bench, (thing, bell), hall.a);
            formulas(ui, &scene.tokens, &[STRIKE, PATTERN, TUBE, MASS, LIP, CENTS, WARBLE]);
        }
        ui.add_space(space::M);
        lines::ui(ui, scene, view, hall);
    });
}

const CAUTION: &str = "Bells can injure people. Weights are estimates unless they say weighed. Lifting and hanging are for qualified \
                       people, under local rules, on rated points.";

/// Every bell of the register with its instrument, from low to high.
fn all(library: &Library) -> Vec<(&Instrument, &BellEntry)> {
    let mut all: Vec<(&Instrument, &BellEntry)> = library
        .care
        .values()
        .filter_map(|care| Some((&**library.instruments.get(&care.instrument)?, care)))
        .flat_map(|(thing, care)| care.bells.iter().map(move |bell| (thing, bell)))
        .collect();
    all.sort_by(|a, b| (a.1.key, &a.0.name).cmp(&(b.1.key, &b.0.name)));
    all
}

/// What sort of bells an instrument has.
fn body(thing: &Instrument) -> Body {
    Body::of_kind(thing.kind.as_str())
}

type Bells<'a> = [(&'a Instrument, &'a BellEntry)];

fn id_of((thing, bell): &(&Instrument, &BellEntry)) -> (InstrumentId, KeyNumber) {
    (thing.id.clone(), bell.key)
}

fn settle(bench: &mut Bench, bells: &Bells<'_>) {
    let there = bench.bell.as_ref().is_some_and(|at| bells.iter().any(|bell| id_of(bell) == *at));
    if !there {
        bench.bell = bells.first().map(id_of);
    }
}

fn chosen<'a>(bench: &Bench, bells: &Bells<'a>) -> Option<(&'a Instrument, &'a BellEntry)> {
    let at = bench.bell.as_ref()?;
    bells.iter().find(|bell| id_of(bell) == *at).copied()
}

fn keys(ui: &Ui, scene: &mut Scene<'_>, view: &View, bench: &mut Bench, bells: &Bells<'_>) {
    if view.keys_are_taken(ui.ctx()) {
        return;
    }
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    let plain = Modifiers::NONE;
    let step = isize::from(pressed(plain, Key::ArrowDown)) - isize::from(pressed(plain, Key::ArrowUp));
    let at = bells.iter().position(|bell| bench.bell.as_ref() == Some(&id_of(bell)));
    if let Some(bell) = at.and_then(|at| at.checked_add_signed(step)).and_then(|at| bells.get(at)) {
        bench.bell = Some(id_of(bell));
    }
    if pressed(plain, Key::Delete) {
        remove(scene, bench);
    }
}

fn buttons(ui: &mut Ui, scene: &mut Scene<'_>, bench: &mut Bench) {
    ui.horizontal_wrapped(|ui| {
        let bells = scene.library.instruments.values().filter(|thing| {
            let kind = scene.library.kinds.get(&thing.kind);
            thing.is_pitched()
                && kind.is_some_and(|kind| kind.family == backrow_core::collection::Family::Bells)
        });
        let mut bells: Vec<(String, InstrumentId)> =
            bells.map(|thing| (thing.name.clone(), thing.id.clone())).collect();
        bells.sort();
        ui.add_enabled_ui(!bells.is_empty(), |ui| {
            ui.menu_button("Add a bell of …", |ui| {
                egui::ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
                    for (name, id) in bells {
                        if ui.button(&name).clicked() {
                            bench::put(bench, bell::form(scene.library, &id, None));
                            ui.close();
                        }
                    }
                });
            });
        });
        let at = bench.bell.clone();
        if ui.add_enabled(at.is_some(), egui::Button::new("Edit the bell …")).clicked()
            && let Some((id, key)) = &at
        {
            bench::put(bench, bell::form(scene.library, id, Some(*key)));
        }
        let remove_it = ui.add_enabled(at.is_some(), egui::Button::new("Remove the bell"));
        if remove_it.on_hover_text("Delete; Ctrl Z brings it back").clicked() {
            remove(scene, bench);
        }
    });
}

fn remove(scene: &mut Scene<'_>, bench: &mut Bench) {
    let Some((id, key)) = bench.bell.take() else { return };
    let mut care: Care = bench::care_of(scene.library, &id);
    care.bells.retain(|bell| bell.key != key);
    scene.edit(Edit::PutCare(care));
}

fn table(ui: &mut Ui, scene: &Scene<'_>, bench: &mut Bench, bells: &Bells<'_>, a: ReferenceA) {
    let tokens = scene.tokens;
    if bells.is_empty() {
        let words = "No bell in the register yet. A bell belongs to an instrument: add the instrument first, then its bells here.";
        ui.add(egui::Label::new(RichText::new(words).color(tokens.ink2)).wrap());
        return;
    }
    let heads = ["note", "bell", "strike note, Hz", "cents", "tierce", "warble", "mass, kg", "lip, m"];
    egui::Grid::new("bells").num_columns(heads.len()).spacing([14.0, 3.0]).show(ui, |ui| {
        for head in heads {
            ui.label(RichText::new(head).font(sans(size::NOTE)).color(tokens.ink2));
        }
        ui.end_row();
        for row in bells {
            let (thing, bell) = row;
            let here = bench.bell.as_ref() == Some(&id_of(row));
            let response = ui.selectable_label(here, bell.key.to_string());
            let says = format!("Bell {} of {}", bell.key, thing.name);
            response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, here, says.clone()));
            if response.clicked() {
                bench.bell = Some(id_of(row));
            }
            ui.label(RichText::new(&thing.name).color(tokens.ink));
            let body = body(thing);
            let strike = bell.strike(body).map_or_else(|| "–".to_owned(), |(hz, _)| format!("{hz:.1}"));
            ui.label(strike);
            ui.label(bell.off_cents(body, a).map_or_else(|| "–".to_owned(), |cents| signed(cents, 0)));
            let tierce =
                bell.partials.from_just(body).into_iter().find(|(partial, _)| *partial == Partial::Tierce);
            ui.label(tierce.map_or_else(|| "–".to_owned(), |(_, cents)| signed(cents, 0)));
            ui.label(bell.warble_hz.map_or_else(|| "–".to_owned(), |hz| format!("{hz:.1} a second")));
            ui.label(mass_words(bell, body, a));
            ui.label(match (bell.lip_m, bell.lip_estimate(body, a)) {
                (Some(lip), _) => format!("{lip:.2}"),
                (None, Some(lip)) => format!("{:.2} to {:.2} by its note", lip.least, lip.most),
                (None, None) => "–".to_owned(),
            });
            ui.end_row();
        }
    });
}

fn mass_words(bell: &BellEntry, body: Body, a: ReferenceA) -> String {
    match (bell.mass, bell.mass_estimate(body, a)) {
        (Some(mass), _) if mass.weighed => format!("{:.0} weighed", mass.kg),
        (Some(mass), _) => format!("about {:.0}", mass.kg),
        (None, Some(by)) => format!("{:.0} to {:.0} by its note", by.least, by.most),
        (None, None) => "not known".to_owned(),
    }
}

/// Everything that is known of one bell.
fn card(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (thing, bell): (&Instrument, &BellEntry),
    all: &Bells<'_>,
    a: ReferenceA,
) {
    let tokens = scene.tokens;
    let body = body(thing);
    let title = format!("{}, {}", bell.key, thing.name);
    ui.label(RichText::new(title).font(serif(size::HEADING)).color(tokens.ink));
    let line = |ui: &mut Ui, words: String| {
        ui.add(egui::Label::new(RichText::new(words).color(tokens.ink)).wrap());
    };
    match (bell.strike(body), bell.nearest(body, a)) {
        (Some((hz, from)), Some((key, off))) => {
            line(
                ui,
                format!(
                    "Strike note {hz:.1}\u{202F}Hz by its {}: {key} {} cents at A {}.",
                    body.word(from),
                    signed(off, 0),
                    a.value()
                ),
            );
            if key != bell.key {
                line(ui, format!("The collection has it as {}: one of the two is wrong.", bell.key));
            }
        }
        _ if bell.partials.0.is_empty() => line(ui, "Its partials have not been measured.".to_owned()),
        _ => line(
            ui,
            "What was measured does not say its note: for bells of this sort, name the note that is heard its prime."
                .to_owned(),
        ),
    }
    partials(ui, scene, (thing, bell), all);
    for words in size_words(bell, body, a) {
        line(ui, words);
    }
    let said = [
        ("Founder", bell.founder.as_str()),
        ("Founded in", &bell.cast),
        ("Profile", &bell.profile),
        ("Inscription", &bell.inscription),
        ("Given by", &bell.donor),
        ("Hanging points", &bell.hanging),
        ("Lifting", &bell.lifting),
        ("Remark", &bell.remark),
    ];
    for (what, words) in said.into_iter().filter(|(_, words)| !words.is_empty()) {
        line(ui, format!("{what}: {words}"));
    }
    for one in &bell.beaters {
        line(ui, format!("With {}: {}", beater_words(scene.library, &one.beater), one.does));
    }
}

/// "rawhide hammer (rawhide, hard)".
fn beater_words(library: &Library, id: &BeaterId) -> String {
    let beater = library.beaters.get(id);
    beater.map_or_else(|| id.to_string(), |beater| format!("{} ({})", beater.name, beater.made()))
}

/// What a cast bell of its note, or of its lip, weighs and measures.
fn size_words(bell: &BellEntry, body: Body, a: ReferenceA) -> Vec<String> {
    let mut words = Vec::new();
    let spread = |by: Estimate, digits: usize, unit: &str| {
        let Estimate { about, least, most, from } = by;
        format!(
            "about {about:.digits$} {unit}, {least:.digits$} to {most:.digits$} {unit} among {from} published ones"
        )
    };
    if let Some(by) = bell.mass_estimate(body, a) {
        let spread = spread(by, 0, "kg");
        words.push(format!("By its note a cast bell weighs {spread}: an estimate, no figure to lift by."));
    }
    if let Some((light, heavy)) = bell.mass_by_lip_kg(body, a) {
        words.push(format!(
            "By its lip and its note it weighs {light:.0}\u{202F}kg in a light profile, {heavy:.0}\u{202F}kg in a heavy one: an estimate as well."
        ));
    }
    if let Some(by) = bell.lip_estimate(body, a).filter(|_| bell.lip_m.is_none()) {
        words.push(format!("By its note its lip measures {}: an estimate.", spread(by, 2, "m")));
    }
    words
}

/// How far each partial lies from the pattern of its sort, as a row of marks with their cents, and how the other bells of that sort
/// have it.
fn partials(ui: &mut Ui, scene: &Scene<'_>, (thing, bell): (&Instrument, &BellEntry), all: &Bells<'_>) {
    let body = body(thing);
    let found = bell.partials.from_just(body);
    if found.is_empty() || body.pattern().is_empty() {
        return;
    }
    let others = || {
        let alike = all.iter().filter(|(other, _)| Body::of_kind(other.kind.as_str()) == body);
        alike.filter(|(other, one)| (&other.id, one.key) != (&thing.id, bell.key)).map(|(_, one)| *one)
    };
    let tokens = scene.tokens;
    let by = bell.strike(body).map(|(_, by)| by);
    egui::Grid::new("partials").num_columns(3).spacing([14.0, 2.0]).show(ui, |ui| {
        let against = format!("cents from {}", body.pattern());
        for head in ["partial", against.as_str(), "our other bells"] {
            ui.label(RichText::new(head).font(semibold(size::NOTE)).color(tokens.ink2));
        }
        ui.end_row();
        for (partial, cents) in found {
            ui.label(body.word(partial));
            ui.horizontal(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(12.0, 16.0), egui::Sense::hover());
                if cents.abs() >= 25.0 {
                    mark(ui.painter(), rect.center(), Mark::Care, &tokens);
                }
                ui.label(signed(cents, 0));
            });
            ui.label(match among(partial, others(), body) {
                _ if by == Some(partial) => "the note goes by it".to_owned(),
                Some(all) => format!(
                    "{} in the middle of {}, {} to {}",
                    signed(all.about, 0),
                    all.from,
                    signed(all.least, 0),
                    signed(all.most, 0)
                ),
                None => "no other of this sort has it measured".to_owned(),
            });
            ui.end_row();
        }
    });
}
