//! What follows from the partials together: pitch, its clarity, roughness, inharmonicity.

use backrow_core::sound::{Figure, Partial, PitchHeard};

/// The pitch: the partial with the most energy.
pub(super) fn pitch(partials: &[Partial], tonal: Option<Figure>) -> Option<PitchHeard> {
    let main = partials.first()?;
    let tonal = tonal?;
    let (share, sd) = carried(partials)?;
    let clarity =
        Figure::new((tonal.value * share).clamp(0.0, 1.0), (tonal.sd * share).hypot(tonal.value * sd))?;
    Some(PitchHeard { hz: Figure::above_zero(main.hz, main.hz_sd)?, clarity })
}

/// The share of the energy that the main partial and those near its whole multiples carry, and its deviation.
fn carried(partials: &[Partial]) -> Option<(f64, f64)> {
    let main = partials.first()?;
    let near = |partial: &Partial| {
        let ratio = partial.hz / main.hz;
        let nearest = ratio.round();
        nearest >= 1.0 && (1200.0 * (ratio / nearest).log2()).abs() < 50.0
    };
    share(partials, near)
}

/// The share of the energy of those that are wanted, and what the uncertain decays make of it.
fn share(partials: &[Partial], wanted: impl Fn(&Partial) -> bool) -> Option<(f64, f64)> {
    let all: f64 = partials.iter().map(Partial::energy).sum();
    let part: f64 = partials.iter().filter(|partial| wanted(partial)).map(Partial::energy).sum();
    let share = part / all;
    // The energy of a partial is as uncertain as its decay.
    let own = |partial: &Partial| {
        let relative = partial.t60_s.map_or(0.5, |fall| fall.sd / fall.value);
        let weight = if wanted(partial) { 1.0 - share } else { share };
        (partial.energy() / all * relative * weight).powi(2)
    };
    let sd = partials.iter().map(own).sum::<f64>().sqrt();
    (share.is_finite() && sd.is_finite()).then_some((share, sd))
}

/// The share of the strongest partial.
pub(super) fn strongest(partials: &[Partial]) -> Option<Figure> {
    let main = partials.first()?;
    let (share, sd) = share(partials, |partial| partial.hz.total_cmp(&main.hz).is_eq())?;
    Figure::new(share, sd)
}

/// Whether another partial, none of the pitch's whole multiples, is nearly as strong (6 dB).
pub(super) fn is_open(partials: &[Partial]) -> bool {
    let Some((main, others)) = partials.split_first() else { return false };
    let off = |partial: &&Partial| {
        let ratio = partial.hz / main.hz;
        (ratio - ratio.round()).abs() > 0.04 && (ratio - 1.0).abs() > 0.03
    };
    others.iter().filter(off).any(|partial| partial.energy() > 0.25 * main.energy())
}

/// How far the partials are from whole multiples of the lowest one within 20 dB of the strongest.
pub(super) fn inharmonicity(partials: &[Partial]) -> Option<Figure> {
    let main = partials.first()?;
    let strong = partials.iter().filter(|partial| partial.energy() > 0.01 * main.energy());
    let base = strong.min_by(|one, other| one.hz.total_cmp(&other.hz))?;
    let all: f64 = partials.iter().map(Partial::energy).sum();
    let off = |partial: &Partial| {
        let ratio = partial.hz / base.hz;
        (ratio - ratio.round()).abs() * partial.energy()
    };
    let moved = |partial: &Partial| {
        let relative = (partial.hz_sd / partial.hz).hypot(base.hz_sd / base.hz);
        (partial.hz / base.hz * relative * partial.energy() / all).powi(2)
    };
    Figure::new(partials.iter().map(off).sum::<f64>() / all, partials.iter().map(moved).sum::<f64>().sqrt())
}

/// Roughness by Plomp and Levelt (1965) in Sethares's parametrisation (1993; the constants are from memory): the curve of a pair is
/// greatest at about a quarter of the critical bandwidth, where it is 1 here.
pub(super) fn roughness(partials: &[Partial]) -> Option<Figure> {
    // The greatest of exp(-3.5 x) - exp(-5.75 x).
    const GREATEST: f64 = 0.182;
    let loudest = partials.iter().map(|partial| partial.db).fold(f64::NEG_INFINITY, f64::max);
    let heard: Vec<(f64, f64)> = partials
        .iter()
        .map(|partial| (partial.hz, 10_f64.powf((partial.db - loudest) / 20.0)))
        .filter(|(_, amplitude)| *amplitude > 0.003)
        .collect();
    let all: f64 = heard.iter().map(|(_, amplitude)| amplitude).sum();
    if heard.is_empty() {
        return None;
    }
    let mut sum = 0.0;
    for (at, (one, loud)) in heard.iter().enumerate() {
        for (other, soft) in heard.iter().skip(at + 1) {
            let step = 0.24 / (0.0207 * one.min(*other) + 18.96) * (one - other).abs();
            sum += loud.min(*soft) * ((-3.5 * step).exp() - (-5.75 * step).exp()) / GREATEST;
        }
    }
    let roughness = (sum / all).min(1.0);
    Figure::new(roughness, 0.1 * roughness)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn partial(hz: f64, db: f64) -> Partial {
        let t60_s = Figure::new(1.0, 0.01);
        Partial { hz, hz_sd: 0.01, db, db_sd: 0.1, t60_s, bend_db: 0.1, heard_db: 35.0 }
    }

    #[test]
    fn whole_multiples_carry_the_pitch() {
        let string = [partial(200.0, 0.0), partial(400.0, -6.0), partial(600.0, -10.0)];
        assert_relative_eq!(carried(&string).unwrap().0, 1.0, max_relative = 1e-12);
        assert_relative_eq!(inharmonicity(&string).unwrap().value, 0.0, epsilon = 1e-9);
        assert!(!is_open(&string));
        // A free bar: 1 : 2.756 (Fletcher and Rossing). Half the energy each.
        let bar = [partial(200.0, 0.0), partial(551.2, 0.0)];
        assert_relative_eq!(carried(&bar).unwrap().0, 0.5, max_relative = 1e-12);
        assert_relative_eq!(strongest(&bar).unwrap().value, 0.5, max_relative = 1e-12);
        assert_relative_eq!(inharmonicity(&bar).unwrap().value, 0.122, max_relative = 1e-9);
        assert!(is_open(&bar));
        assert!(pitch(&[], None).is_none() && strongest(&[]).is_none() && roughness(&[]).is_none());
    }

    #[test]
    fn a_semitone_is_rougher_than_a_fifth_and_one_tone_is_smooth() {
        let pair = |ratio: f64| roughness(&[partial(440.0, 0.0), partial(440.0 * ratio, 0.0)]).unwrap().value;
        assert!(pair(16.0 / 15.0) > 0.4);
        assert!(pair(1.5) < 0.05);
        assert!(pair(1.0) < 1e-9);
    }
}
