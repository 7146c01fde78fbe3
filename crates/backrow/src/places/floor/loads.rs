//! What the risers bear, as estimates beside the rated figures; the caution stays in sight as long as they do.

use super::scale::Scale;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::caution;
use crate::theme::{sans, semibold};
use backrow_core::evening::Floor;
use backrow_core::stage::{CAUTION, Plan, RiserLoad};
use egui::{Margin, RichText, Stroke, Ui, vec2};

/// Draws the loads in the plan's lower right corner.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, floor: &Floor, scale: &Scale) {
    let tokens = scene.tokens;
    let corner = scale.area.right_bottom() - vec2(space::S, 28.0);
    let frame = egui::Frame::new()
        .fill(tokens.raised)
        .stroke(Stroke::new(1.0, tokens.line))
        .inner_margin(Margin::same(12));
    // An area of its own, as its height is known only when it is filled.
    let area = egui::Area::new(ui.scope_id().with("loads")).pivot(egui::Align2::RIGHT_BOTTOM);
    area.fixed_pos(corner).order(egui::Order::Middle).show(ui.ctx(), |ui| {
        frame.show(ui, |ui| {
            ui.set_width(264.0);
            ui.spacing_mut().item_spacing.y = space::XS;
            figures(ui, scene, floor);
            caution(ui, &scene.tokens, CAUTION);
        });
    });
}

fn figures(ui: &mut Ui, scene: &Scene<'_>, floor: &Floor) {
    let tokens = scene.tokens;
    let (loads, plan) = (floor.riser_loads(), floor.plan());
    if loads.is_empty() {
        ui.label("This venue has no risers; its floor has no load rating.");
    }
    for load in loads {
        let Some(riser) = floor.venue().and_then(|venue| venue.risers.get(load.riser)) else { continue };
        ui.label(RichText::new(&riser.name).font(semibold(size::NOTE)).color(tokens.ink));
        for (words, care) in lines(scene, plan, load) {
            let ink = if care { tokens.care } else { tokens.ink2 };
            ui.label(RichText::new(words).font(sans(size::NOTE)).color(ink));
        }
    }
}

/// The figures of one riser; `true` for those that need care.
fn lines(scene: &Scene<'_>, plan: &Plan, load: &RiserLoad) -> Vec<(String, bool)> {
    let nothing = load.greatest.is_none() && load.unknown == 0;
    let known = if load.weighed { "weighed" } else { "estimate" };
    let mut lines = if nothing {
        vec![("nothing stands on it".to_owned(), false)]
    } else {
        let words =
            format!("{:.0}\u{202F}kg in all ({known}), {:.1}\u{202F}kN/m²", load.kg, load.whole_kn_m2);
        vec![(words, false)]
    };
    let name = |thing: usize| {
        plan.things
            .get(thing)
            .map_or_else(String::new, |stood| scene.library.instrument_name(&stood.instrument))
    };
    if let Some((thing, under)) = load.greatest {
        lines.push((format!("most: {under:.1}\u{202F}kN/m² under {}", name(thing)), false));
    }
    if let Some((thing, kn)) = load.greatest_foot {
        lines.push((format!("most on one foot: {kn:.1}\u{202F}kN, {}", name(thing)), false));
    }
    if load.unknown > 0 {
        lines.push((format!("{} on it without a known mass, not counted", load.unknown), true));
    }
    lines.push(match load.rated_kn_m2 {
        Some(rated) => {
            let near = load.worst_kn_m2() >= rated * backrow_core::stage::NEAR_RATED;
            (format!("the venue states {rated:.1}\u{202F}kN/m²"), near)
        }
        None => ("rated load: not stated, ask the venue".to_owned(), true),
    });
    lines
}
