//! One strike in figures; `backrow_core::sound::Measure` says what each is and where its definition comes from.

mod colour;
mod level;
mod loud;
mod pitch;

use crate::partial::{Heard, Look, partials};
use backrow_core::sound::{Beating, Doubt, Figure, Measures, Partial, TakeFault};

/// All figures of a strike.
pub(crate) fn measure(look: &Look<'_>) -> Measures {
    let heard = partials(look);
    let list: Vec<Partial> = heard.iter().map(|one| one.partial).collect();
    let level = level::Level::of(look);
    let colour = colour::Colour::of(look, &list);
    let (loudness_lufs, true_peak_dbtp) = loud::loud(look);
    let pitch = pitch::pitch(&list, colour.tonal);
    let beating = beating(&heard);
    let mut measures = Measures {
        pitch,
        brightness_hz: colour.whole,
        brightness_at_strike_hz: colour.at_strike,
        brightness_after_hz: colour.after,
        ring_s: level.ring(),
        early_ring_s: level.early_ring(),
        attack_s: level.attack(),
        roughness: pitch::roughness(&list),
        beating,
        loudness_lufs,
        true_peak_dbtp,
        flatness: colour.flatness,
        tonal: colour.tonal,
        strongest: pitch::strongest(&list),
        inharmonicity: pitch::inharmonicity(&list),
        coarse: colour.coarse,
        doubts: Vec::new(),
        partials: list,
    };
    measures.doubts = doubts(look, &level, &measures);
    measures
}

/// What makes the figures less sure than they look.
fn doubts(look: &Look<'_>, level: &level::Level, measures: &Measures) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    let mut note = |there: bool, doubt| {
        if there {
            doubts.push(doubt);
        }
    };
    note(level.is_cut_off(), Doubt::StillRinging);
    note(level.above_noise_db() < 30.0, Doubt::Noisy);
    if let (Some(early), Some(late)) = (measures.early_ring_s, measures.ring_s) {
        let apart = (late.value / early.value).ln().abs() > 1.333_f64.ln();
        note(apart && late.differs_from(early), Doubt::TwoSlopes);
    }
    note(measures.beating.is_some_and(|beating| beating.depth_db > 3.0), Doubt::Beats);
    note(pitch::is_open(&measures.partials), Doubt::PitchOpen);
    note(TakeFault::clipped(look.part()) > 0, Doubt::Clipped);
    note(level.others_ring(), Doubt::UnderOthers);
    doubts
}

/// Two partials less than this apart are heard as one that beats, Hz. Roughness begins about there (common practice).
const BEATS_WITHIN_HZ: f64 = 30.0;

/// The strongest pair of partials that beat, or the strongest partial that beats within itself.
fn beating(heard: &[Heard]) -> Option<Beating> {
    let energy = |one: &Partial| one.energy();
    let strongest = heard.first().map(|one| energy(&one.partial))?;
    let mut found: Vec<(f64, Beating)> = Vec::new();
    for (at, one) in heard.iter().enumerate() {
        let here = one.partial;
        if let Some((rate_hz, depth_db)) = one.beat {
            found.push((energy(&here), Beating { hz: here.hz, rate_hz, depth_db }));
        }
        for other in heard.iter().skip(at + 1).map(|other| other.partial) {
            let (apart, weaker_db) = ((here.hz - other.hz).abs(), (here.db - other.db).abs());
            if apart < BEATS_WITHIN_HZ.min(0.12 * here.hz.min(other.hz)) && weaker_db < 20.0 {
                let ratio = 10_f64.powf(-weaker_db / 20.0);
                let depth_db = (20.0 * ((1.0 + ratio) / (1.0 - ratio).max(0.01)).log10()).min(40.0);
                let rate_hz = Figure::above_zero(apart, here.hz_sd.hypot(other.hz_sd));
                let beating = rate_hz.map(|rate_hz| Beating { hz: here.hz.min(other.hz), rate_hz, depth_db });
                found.extend(beating.map(|beating| (energy(&other), beating)));
            }
        }
    }
    found.retain(|(energy, _)| *energy > strongest * 0.003);
    found.into_iter().max_by(|one, other| one.0.total_cmp(&other.0)).map(|(_, beating)| beating)
}
