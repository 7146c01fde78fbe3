//! A take that is looked through before it is saved: its strikes, and what was struck with what.

use super::wave::{self, Touched};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::sound::Wish;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::theme::widgets::{primary, trouble};
use backrow_core::id::InstrumentId;
use backrow_core::music::Dynamic;
use backrow_core::pitch::KeyNumber;
use backrow_core::sound::{Strike, Take, TakeFault};
use backrow_sound::capture::Recorded;
use egui::{Key, RichText, Ui};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Parts of the wave that are drawn.
const PARTS: usize = 800;

/// The shortest strike that can be made by hand, seconds.
const SHORTEST_S: f64 = 0.01;

/// A take at hand.
pub(super) struct Edited {
    recorded: Arc<Recorded>,
    samples: Arc<[f32]>,
    wave: Vec<(f32, f32)>,
    pub(super) strikes: Vec<Strike>,
    chosen: usize,
    name: String,
    note: String,
}

impl Edited {
    pub(super) fn new(recorded: &Arc<Recorded>, samples: Arc<[f32]>) -> Self {
        let wave = wave::outline(&samples, PARTS);
        let (recorded, name) = (Arc::clone(recorded), "take".to_owned());
        Self { recorded, samples, wave, strikes: Vec::new(), chosen: 0, name, note: String::new() }
    }

    fn length_s(&self) -> f64 {
        self.recorded.lasts_s()
    }

    /// Moves a strike's beginning, no further than its neighbours allow.
    fn shift(&mut self, number: usize, to_s: f64) {
        let before =
            number.checked_sub(1).and_then(|n| self.strikes.get(n)).map_or(0.0, |s| s.from_s + SHORTEST_S);
        let Some(strike) = self.strikes.get_mut(number) else { return };
        strike.from_s = to_s.max(before).min((strike.to_s - SHORTEST_S).max(before));
        let begins = strike.from_s;
        if let Some(last) = number.checked_sub(1).and_then(|n| self.strikes.get_mut(n)) {
            last.to_s = last.to_s.min(begins);
        }
        self.chosen = number;
    }

    /// Moves the chosen strike's beginning by a little.
    fn nudge(&mut self, by_s: f64) {
        let from = self.strikes.get(self.chosen).map_or(0.0, |strike| strike.from_s);
        self.shift(self.chosen, from + by_s);
    }

    /// One strike becomes two at a moment.
    fn split(&mut self, at_s: f64) {
        let within = |strike: &Strike| {
            strike.from_s + 2.0 * SHORTEST_S < at_s && at_s < strike.to_s - 2.0 * SHORTEST_S
        };
        let Some(number) = self.strikes.iter().position(within) else { return };
        let second = self.strikes.get_mut(number).map(|strike| {
            let second = Strike { from_s: at_s, bar: None, ..strike.clone() };
            strike.to_s = at_s;
            second
        });
        if let Some(second) = second {
            self.strikes.insert(number + 1, second);
            self.chosen = number + 1;
        }
    }

    /// Splits the chosen strike in its middle; where there is none, the whole take is one.
    fn split_chosen(&mut self) {
        match self.strikes.get(self.chosen).map(|strike| f64::midpoint(strike.from_s, strike.to_s)) {
            Some(at_s) => self.split(at_s),
            None => self.strikes.push(Strike { from_s: 0.0, to_s: self.length_s(), ..Strike::default() }),
        }
    }

    /// The chosen strike and the next become one.
    fn join(&mut self) {
        if self.chosen + 1 < self.strikes.len() {
            let next = self.strikes.remove(self.chosen + 1);
            if let Some(strike) = self.strikes.get_mut(self.chosen) {
                strike.to_s = next.to_s;
            }
        }
    }

    /// The chosen strike is none.
    fn drop_chosen(&mut self) {
        if self.chosen < self.strikes.len() {
            self.strikes.remove(self.chosen);
            self.chosen = self.chosen.min(self.strikes.len().saturating_sub(1));
        }
    }

    /// The strikes get the instrument's bars in order, from the bar of the chosen one up.
    fn up_the_keyboard(&mut self, bars: &[KeyNumber]) {
        let first = self.strikes.get(self.chosen).and_then(|strike| strike.bar);
        let from = first.and_then(|bar| bars.iter().position(|one| *one == bar)).unwrap_or(0);
        for (strike, bar) in self.strikes.iter_mut().skip(self.chosen).zip(bars.iter().skip(from)) {
            strike.bar = Some(*bar);
        }
    }

    fn faults(&self) -> Vec<TakeFault> {
        let mut faults = crate::sound::import::faults(&self.samples);
        if self.recorded.lost > 0 {
            faults.push(TakeFault::Lost(self.recorded.lost));
        }
        faults
    }
}

/// Draws the take; whether it is done with.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    id: &InstrumentId,
    take: &mut Edited,
    finding: bool,
) -> bool {
    for words in take.recorded.troubles() {
        trouble(ui, &scene.tokens, &words);
    }
    match wave::ui(ui, scene, &take.wave, take.length_s(), (&take.strikes, take.chosen)) {
        Some(Touched::At(at_s)) => {
            if let Some(number) = take.strikes.iter().rposition(|strike| strike.from_s <= at_s) {
                take.chosen = number;
                play(scene, take);
            }
        }
        Some(Touched::Moved(number, to_s)) => take.shift(number, to_s),
        None => {}
    }
    let words = match (finding, take.strikes.len()) {
        (true, _) => "Strikes are being looked for …".to_owned(),
        (false, 0) => "No strike was found. Split adds one, or record again.".to_owned(),
        (false, many) => format!("{many} strikes found. Drag a line to move a strike; click to hear it."),
    };
    ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
    keys(ui, scene, take);
    buttons(ui, scene, id, take);
    what(ui, scene, id, take);
    let mut done = false;
    ui.horizontal(|ui| {
        let label = ui.label("Name");
        ui.add(egui::TextEdit::singleline(&mut take.name).desired_width(140.0)).labelled_by(label.id);
        let label = ui.label("Note");
        ui.add(egui::TextEdit::singleline(&mut take.note).desired_width(240.0)).labelled_by(label.id);
        if primary(ui, &scene.tokens, "Save the take").clicked() {
            save(scene, id, take);
            done = true;
        }
        done |= ui.button("Discard").clicked();
    });
    done
}

fn play(scene: &mut Scene<'_>, take: &Edited) {
    if let Some(strike) = take.strikes.get(take.chosen) {
        let span = (strike.from_s, strike.to_s);
        scene.ask(Intent::Sound(Wish::Piece(Arc::clone(&take.samples), take.recorded.rate, span)));
    }
}

fn keys(ui: &Ui, scene: &mut Scene<'_>, take: &mut Edited) {
    if ui.ctx().text_edit_focused() || egui::Popup::is_any_open(ui.ctx()) {
        return;
    }
    let pressed = |key: Key| ui.input(|input| input.key_pressed(key));
    if pressed(Key::ArrowRight) && take.chosen + 1 < take.strikes.len() {
        take.chosen += 1;
        play(scene, take);
    }
    if pressed(Key::ArrowLeft) && take.chosen > 0 {
        take.chosen -= 1;
        play(scene, take);
    }
    if pressed(Key::Delete) {
        take.drop_chosen();
    }
    if pressed(Key::J) {
        take.join();
    }
    if pressed(Key::S) {
        take.split_chosen();
    }
}

fn buttons(ui: &mut Ui, scene: &mut Scene<'_>, id: &InstrumentId, take: &mut Edited) {
    let some = !take.strikes.is_empty();
    let button = |ui: &mut Ui, enabled: bool, words: &str, hover: &str| {
        ui.add_enabled(enabled, egui::Button::new(words)).on_hover_text(hover).clicked()
    };
    ui.horizontal_wrapped(|ui| {
        if button(ui, some, "Play", "The chosen strike; left and right go to the next") {
            play(scene, take);
        }
        if button(ui, some, "5 ms earlier", "Moves the chosen strike's beginning") {
            take.nudge(-0.005);
        }
        if button(ui, some, "5 ms later", "Moves the chosen strike's beginning") {
            take.nudge(0.005);
        }
        if button(ui, true, "Split", "S: in the middle of the chosen strike; then move it") {
            take.split_chosen();
        }
        if button(ui, some, "Join with the next", "J") {
            take.join();
        }
        if button(ui, some, "Drop", "Delete") {
            take.drop_chosen();
        }
        let thing = scene.library.instruments.get(id);
        let bars: Vec<KeyNumber> = thing.map(|thing| thing.compass().iter().collect()).unwrap_or_default();
        let hover =
            "From the chosen strike on, one bar after the other from its bar up; dead bars are left out";
        if !bars.is_empty() && button(ui, some, "Up the keyboard", hover) {
            take.up_the_keyboard(&bars);
        }
    });
}

/// Bar, beater, dynamic and place of the chosen strike; all but the bar may go to every strike.
fn what(ui: &mut Ui, scene: &Scene<'_>, id: &InstrumentId, take: &mut Edited) {
    let chosen = take.chosen;
    let Some(strike) = take.strikes.get_mut(chosen) else { return };
    let mut all = None;
    ui.horizontal_wrapped(|ui| {
        ui.label(format!("Strike {}", chosen + 1));
        choices(ui, scene, id, strike);
        let label = ui.label("Where");
        let field =
            egui::TextEdit::singleline(&mut strike.spot).desired_width(90.0).hint_text("edge, centre");
        ui.add(field).labelled_by(label.id);
        if ui.button("Same for all").on_hover_text("Beater, dynamic and place; bars stay").clicked() {
            all = Some((strike.beater.clone(), strike.how_hard, strike.spot.clone()));
        }
    });
    if let Some((beater, how_hard, spot)) = all {
        for strike in &mut take.strikes {
            (strike.beater, strike.how_hard, strike.spot) = (beater.clone(), how_hard, spot.clone());
        }
    }
}

fn choices(ui: &mut Ui, scene: &Scene<'_>, id: &InstrumentId, strike: &mut Strike) {
    let library = scene.library;
    let named = |response: &egui::Response, words: &'static str| {
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, words));
    };
    if let Some(thing) = library.instruments.get(id).filter(|thing| thing.is_pitched()) {
        let words = strike.bar.map_or_else(|| "bar not said".to_owned(), |bar| bar.to_string());
        let combo = egui::ComboBox::from_id_salt("bar").selected_text(words).width(90.0);
        let shown = combo.show_ui(ui, |ui| {
            for bar in thing.bars().iter() {
                ui.selectable_value(&mut strike.bar, Some(bar), bar.to_string());
            }
        });
        named(&shown.response, "Bar");
    }
    let name =
        strike.beater.as_ref().and_then(|id| library.beaters.get(id)).map(|beater| beater.name.clone());
    let combo = egui::ComboBox::from_id_salt("beater").truncate().width(180.0);
    let shown = combo.selected_text(name.unwrap_or_else(|| "beater not said".to_owned())).show_ui(ui, |ui| {
        for beater in library.beaters.values() {
            ui.selectable_value(&mut strike.beater, Some(beater.id.clone()), &beater.name);
        }
    });
    named(&shown.response, "Beater");
    let words = strike.how_hard.map_or("dynamic not said", Dynamic::sign);
    let combo = egui::ComboBox::from_id_salt("how hard").selected_text(words).width(110.0);
    let shown = combo.show_ui(ui, |ui| {
        for dynamic in Dynamic::ALL {
            ui.selectable_value(&mut strike.how_hard, Some(dynamic), dynamic.sign());
        }
    });
    named(&shown.response, "How hard");
}

fn save(scene: &mut Scene<'_>, id: &InstrumentId, take: &Edited) {
    let record = Take {
        id: crate::sound::import::fresh(scene.library, &BTreeSet::new(), id, &take.name),
        instrument: id.clone(),
        file: String::new(),
        content: String::new(),
        when: Some(crate::sound::import::this_minute()),
        device: String::new(),
        rate_hz: take.recorded.rate,
        length_s: take.length_s(),
        note: take.note.clone(),
        faults: take.faults(),
        by_model: false,
        strikes: take.strikes.clone(),
    };
    scene.ask(Intent::Sound(Wish::Keep(Box::new(record), Arc::clone(&take.samples))));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edited() -> Edited {
        let recorded = Recorded { samples: vec![0.1; 48_000], rate: 48_000, ..Recorded::default() };
        let samples: Arc<[f32]> = recorded.samples.as_slice().into();
        let mut take = Edited::new(&Arc::new(recorded), samples);
        for (from_s, to_s) in [(0.1, 0.4), (0.4, 0.6), (0.7, 1.0)] {
            take.strikes.push(Strike { from_s, to_s, ..Strike::default() });
        }
        take
    }

    fn spans(take: &Edited) -> Vec<(String, String)> {
        take.strikes.iter().map(|s| (format!("{:.2}", s.from_s), format!("{:.2}", s.to_s))).collect()
    }

    fn pairs(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect()
    }

    #[test]
    fn strikes_are_moved_split_joined_and_dropped() {
        let mut take = edited();
        take.shift(1, 0.3);
        assert_eq!(spans(&take), pairs(&[("0.10", "0.30"), ("0.30", "0.60"), ("0.70", "1.00")]));
        take.shift(1, 0.0);
        assert_eq!(spans(&take)[1].0, "0.11", "no further than its neighbour");
        take.split(0.8);
        assert_eq!(spans(&take)[2..], pairs(&[("0.70", "0.80"), ("0.80", "1.00")]));
        assert_eq!(take.chosen, 3);
        take.chosen = 2;
        take.join();
        assert_eq!(spans(&take)[2..], pairs(&[("0.70", "1.00")]));
        take.drop_chosen();
        assert_eq!(take.strikes.len(), 2);
        take.split(0.65);
        assert_eq!(take.strikes.len(), 2, "between strikes there is none to split");
    }

    #[test]
    fn bars_go_up_the_keyboard() {
        let mut take = edited();
        let bars: Vec<KeyNumber> = (60..65).map(|n| KeyNumber::new(n).unwrap()).collect();
        take.strikes[0].bar = Some(bars[2]);
        take.up_the_keyboard(&bars);
        let named: Vec<_> = take.strikes.iter().map(|strike| strike.bar).collect();
        assert_eq!(named, [Some(bars[2]), Some(bars[3]), Some(bars[4])]);
    }
}
