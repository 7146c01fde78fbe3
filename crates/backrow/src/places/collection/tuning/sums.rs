//! The calculators of the bench: beats, temperature, bars, resonators, drums; beside the instrument's own data, each with its
//! formula on demand.

mod drums;
mod tubes;
mod winds;

use super::super::bench::Bench;
use super::super::bench::formulas::{formula_ui, formulas};
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::{sans, semibold};
use backrow_core::care::{Care, coefficient, known};
use backrow_core::collection::{Instrument, Layout, Material};
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_core::library::Orchestra;
use backrow_core::pitch::{KeyNumber, signed};
use backrow_core::tonight::Hall;
use backrow_core::tuning::formula::{self, Formula};
use backrow_core::tuning::{air, bar, beats, drift, raised, usual};
use egui::{RichText, Ui};

/// What the calculators were given, until something else is.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::places::collection) struct Given {
    /// How far apart two tones are, cents.
    apart: f64,
    /// Thickness over length of a bar, per cent.
    thick: f64,
    /// Partials of one strike of a drum, as typed.
    strike: String,
    /// First partials round the head, as typed.
    lugs: String,
    /// A material's coefficient while it is being changed, parts in a million for each kelvin.
    ppm: Option<(Material, f64)>,
    /// The winds' coefficient while it is being changed, cents for each kelvin.
    winds: Option<f64>,
    /// The material whose coefficient is looked at, where it is another than the instrument's.
    material: Option<Material>,
    /// Another tube than the instrument's own.
    tube: Option<(InstrumentId, tubes::Tube)>,
}

impl Default for Given {
    fn default() -> Self {
        let (strike, lugs) = (String::new(), String::new());
        Self { apart: 8.0, thick: 3.0, strike, lugs, ppm: None, winds: None, material: None, tube: None }
    }
}

impl Given {
    /// The partials of a drum's strike, and the first partials round its head, as typed or heard.
    fn drum(&mut self) -> (&mut String, &mut String) {
        (&mut self.strike, &mut self.lugs)
    }
}

/// Draws the calculators.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    bench: &mut Bench,
    (thing, care): (&Instrument, &Care),
    hall: Hall,
) {
    let tokens = scene.tokens;
    ui.label(RichText::new("Calculators").font(semibold(size::TEXT)).color(tokens.ink));
    section(ui, &tokens, "Beats", formula::BEATS, |ui| beating(ui, &tokens, &mut bench.sums, thing, hall));
    section(ui, &tokens, "Temperature", formula::BARS, |ui| {
        temperature(ui, scene, &mut bench.sums, thing, hall);
    });
    if thing.layout == Layout::Drums {
        section(ui, &tokens, "Drums", formula::HEAD, |ui| {
            drums::ui(ui, scene, bench, (thing, care), hall);
            formula_ui(ui, &tokens, formula::LUGS);
        });
        formulas(ui, &tokens, &formula::ALL);
        return;
    }
    section(ui, &tokens, "Bars", formula::PARTIALS, |ui| bars(ui, &tokens, &mut bench.sums, thing));
    section(ui, &tokens, "Resonators", formula::RESONATOR, |ui| {
        tubes::ui(ui, scene, &mut bench.sums, (thing, care), hall);
    });
    formulas(ui, &tokens, &formula::ALL);
}

fn section(ui: &mut Ui, tokens: &Tokens, name: &str, formula: Formula, add: impl FnOnce(&mut Ui)) {
    egui::CollapsingHeader::new(name).id_salt(("sum", name)).show(ui, |ui| {
        add(ui);
        ui.add_space(space::XS);
        formula_ui(ui, tokens, formula);
    });
}

fn heads(ui: &mut Ui, tokens: &Tokens, words: &[&str]) {
    for head in words {
        ui.label(RichText::new(*head).font(sans(size::NOTE)).color(tokens.ink2));
    }
    ui.end_row();
}

/// A bar at each end, and the Cs between.
fn some_bars(thing: &Instrument) -> Vec<KeyNumber> {
    let bars = thing.bars();
    let ends = [bars.lowest(), bars.highest()];
    bars.iter().filter(|key| key.pitch_class() == 0 || ends.contains(&Some(*key))).collect()
}

fn beating(ui: &mut Ui, tokens: &Tokens, given: &mut Given, thing: &Instrument, hall: Hall) {
    ui.horizontal(|ui| {
        let label = ui.label("Two tones apart by, cents");
        ui.add(egui::DragValue::new(&mut given.apart).range(-100.0..=100.0).speed(0.1).max_decimals(1))
            .labelled_by(label.id);
    });
    egui::Grid::new("beats").num_columns(4).spacing([18.0, 3.0]).show(ui, |ui| {
        heads(ui, tokens, &["bar", "Hz at the concert’s A", "beats a second", "a whole beat takes"]);
        for key in some_bars(thing) {
            let hz = hall.a.frequency(key).value();
            let beat = beats::unison(hz, raised(hz, given.apart));
            ui.label(key.to_string());
            ui.label(format!("{hz:.1}"));
            ui.label(format!("{beat:.2}"));
            ui.label(if beat > 0.0 { format!("{:.2}\u{202F}s", 1.0 / beat) } else { "–".to_owned() });
            ui.end_row();
        }
    });
}

fn temperature(ui: &mut Ui, scene: &mut Scene<'_>, given: &mut Given, thing: &Instrument, hall: Hall) {
    let tokens = scene.tokens;
    let drifts = scene.library.orchestra.drifts.clone();
    let celsius = hall.celsius;
    ui.label(format!(
        "From 20 to {celsius}\u{202F}°C: winds {} cents if nobody holds them; sound travels at {:.1}\u{202F}m/s.",
        signed(hall.winds_cents(), 1),
        air::speed_of_sound_m_s(celsius)
    ));
    egui::Grid::new("temperature").num_columns(4).spacing([18.0, 3.0]).show(ui, |ui| {
        heads(ui, &tokens, &["material", "ppm a kelvin", "cents", "beside the winds"]);
        for material in
            [Material::Steel, Material::Aluminium, Material::Bronze, Material::Brass, Material::Rosewood]
        {
            ui.label(material.word());
            let Some(ppm) = coefficient(material, &drifts) else {
                ui.label("no figure");
                ui.label("–");
                ui.label(format!("{} and less", signed(-hall.winds_cents(), 1)));
                ui.end_row();
                continue;
            };
            let cents = drift::cents(ppm, 20.0, celsius);
            ui.label(format!("{ppm:.0}{}", if drifts.contains_key(&material) { ", ours" } else { "" }));
            ui.label(signed(cents, 1));
            ui.label(signed(cents - hall.winds_cents(), 1));
            ui.end_row();
        }
    });
    let mut material = given.material.unwrap_or(thing.material);
    ui.horizontal_wrapped(|ui| {
        let label = ui.label("Coefficient of");
        egui::ComboBox::from_id_salt("coefficient of")
            .selected_text(material.word())
            .show_ui(ui, |ui| {
                for one in Material::ALL {
                    ui.selectable_value(&mut material, one, one.word());
                }
            })
            .response
            .labelled_by(label.id);
    });
    given.material = (material != thing.material).then_some(material);
    let source = known(material);
    let spread = source
        .between
        .map_or_else(String::new, |(least, most)| format!(" Found between {least} and {most}."));
    let words = format!("{}: {}.{spread}", material.word(), source.source);
    ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2)).wrap());
    own_coefficient(ui, scene, given, material);
    winds::ui(ui, scene, &mut given.winds);
}

/// The orchestra's own figure for a material.
fn own_coefficient(ui: &mut Ui, scene: &mut Scene<'_>, given: &mut Given, material: Material) {
    let orchestra = scene.library.orchestra.clone();
    let stated = coefficient(material, &orchestra.drifts).unwrap_or(0.0);
    let mut ppm = given.ppm.filter(|(of, _)| *of == material).map_or(stated, |(_, ppm)| ppm);
    ui.horizontal_wrapped(|ui| {
        let label = ui.label(format!("Our own figure for {}, ppm a kelvin", material.word()));
        let field = egui::DragValue::new(&mut ppm).range(-2000.0..=500.0).speed(1.0).max_decimals(0);
        if ui.add(field).labelled_by(label.id).changed() {
            given.ppm = Some((material, ppm));
        }
        let differs = (ppm - stated).abs() > 0.5;
        if ui.add_enabled(differs, egui::Button::new("Save as ours")).clicked() {
            let mut next = Orchestra::clone(&orchestra);
            next.drifts.insert(material, ppm);
            given.ppm = None;
            scene.edit(Edit::SetOrchestra(next));
        }
        if orchestra.drifts.contains_key(&material) && ui.button("As in the table").clicked() {
            let mut next = Orchestra::clone(&orchestra);
            next.drifts.remove(&material);
            given.ppm = None;
            scene.edit(Edit::SetOrchestra(next));
        }
    });
}

fn bars(ui: &mut Ui, tokens: &Tokens, given: &mut Given, thing: &Instrument) {
    match usual::of_kind(thing.kind.as_str()) {
        Some(usual) => {
            let third = if (usual.third.0 - usual.third.1).abs() < 1e-9 {
                format!("{}", usual.third.0)
            } else {
                format!("{} to {}", usual.third.0, usual.third.1)
            };
            ui.label(format!(
                "Usual here: 1 : {} : {third}{}.",
                usual.second,
                if usual.tuned { "" } else { ", as the bar gives it" }
            ));
        }
        None => {
            ui.label("No agreed tuning of the upper partials for this kind.");
        }
    }
    ui.horizontal(|ui| {
        let label = ui.label("A uniform bar, thickness over length, per cent");
        ui.add(egui::DragValue::new(&mut given.thick).range(0.1..=30.0).speed(0.1).max_decimals(1))
            .labelled_by(label.id);
    });
    let section = bar::Section { thickness: given.thick / 100.0, poisson: 0.33 };
    let ratio =
        |n| bar::thick_ratio(section, n).map_or_else(|| "–".to_owned(), |ratio| format!("{ratio:.3}"));
    ui.label(format!(
        "Thin: 1 : {:.3} : {:.3}. As thick as that: 1 : {} : {}. Held at {:.1} per cent of its length from each end.",
        bar::thin_ratio(2),
        bar::thin_ratio(3),
        ratio(2),
        ratio(3),
        bar::node() * 100.0
    ));
    for direction in bar::DIRECTIONS {
        let words = format!("{}: {}", direction.place, direction.does);
        ui.add(egui::Label::new(RichText::new(words).color(tokens.ink)).wrap());
    }
    let words = "How much is the tuner\u{2019}s to say: wood that is off does not come back.";
    ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
}
