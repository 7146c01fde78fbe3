//! Qualities of two sounds in words and numbers.

use crate::sound::{Measures, Quality};

/// "brighter by 12 %", "longer by 0.4 s", "higher by 2.0 semitones".
pub(super) fn than(quality: Quality, like: &Measures, found: &Measures) -> Option<String> {
    let (was, is) = (quality.amount(like)?, quality.amount(found)?);
    let (old, new) = (value(quality, like)?, value(quality, found)?);
    Some(match quality {
        Quality::Brighter | Quality::Darker => {
            format!(
                "{quality} by {:.0} % ({} against {}\u{202F}Hz)",
                percent(old, new),
                places(new),
                places(old)
            )
        }
        Quality::Longer | Quality::Shorter => {
            format!(
                "{quality} by {}\u{202F}s ({} against {}\u{202F}s)",
                places((new - old).abs()),
                places(new),
                places(old)
            )
        }
        Quality::Higher | Quality::Lower => format!("{quality} by {:.1} semitones", 12.0 * (is - was)),
        Quality::Clearer => format!("{quality} (clarity {new:.2} against {old:.2})"),
        Quality::Noisier => format!("{quality} (noisiness {new:.3} against {old:.3})"),
        Quality::Harder | Quality::Softer => {
            let first = |measures: &Measures| {
                let first = measures.brightness_at_strike_hz?.value;
                Some(first / measures.brightness_after_hz.or(measures.brightness_hz)?.value)
            };
            let brighter = first(like).zip(first(found)).map_or_else(String::new, |(old, new)| {
                format!("; its start {new:.1} times as bright as what follows, against {old:.1}")
            });
            format!("{quality} (attack {:.1} against {:.1}\u{202F}ms{brighter})", new * 1000.0, old * 1000.0)
        }
    })
}

/// The figure that a quality is told by, in the unit of its measure.
fn value(quality: Quality, measures: &Measures) -> Option<f64> {
    match quality {
        Quality::Longer | Quality::Shorter => {
            measures.ring_s.or(measures.early_ring_s).map(|ring| ring.value)
        }
        _ => quality.measure().of(measures).map(|figure| figure.value),
    }
}

/// "ring (2.10 against 2.00 s)": the answer's figure, then that of the sound that was asked for.
pub(super) fn beside(quality: Quality, like: &Measures, found: &Measures) -> Option<String> {
    let (old, new) = (value(quality, like)?, value(quality, found)?);
    let (old, new, unit) = match quality {
        Quality::Harder | Quality::Softer => (old * 1000.0, new * 1000.0, "\u{202F}ms of attack"),
        Quality::Longer | Quality::Shorter => (old, new, "\u{202F}s"),
        Quality::Clearer | Quality::Noisier => (old, new, ""),
        _ => (old, new, "\u{202F}Hz"),
    };
    Some(format!("{} ({} against {}{unit})", quality.aspect(), places(new), places(old)))
}

/// "less clear (0.31 against 0.80)".
pub(super) fn less(quality: Quality, like: &Measures, found: &Measures) -> Option<String> {
    let word = if quality == Quality::Noisier { "noisy" } else { "clear" };
    let (old, new) = (value(quality, like)?, value(quality, found)?);
    Some(format!("less {word} ({} {} against {})", quality.aspect(), places(new), places(old)))
}

/// By how much of the old value the new one differs, in per cent: half of it is 50 % less, twice as much 100 % more.
fn percent(old: f64, new: f64) -> f64 {
    (new / old - 1.0).abs() * 100.0
}

/// Two figures of a number: "0.8", "2400".
pub(super) fn places(value: f64) -> String {
    let whole = value.abs().max(1e-9).log10().floor();
    if whole >= 2.0 {
        format!("{value:.0}")
    } else if whole >= 1.0 {
        format!("{value:.1}")
    } else if whole >= -1.0 {
        format!("{value:.2}")
    } else {
        format!("{value:.3}")
    }
}

#[cfg(test)]
mod tests {
    use super::percent;
    use rstest::rstest;

    #[rstest]
    #[case(4460.0, 2073.0, 53.5)]
    #[case(1000.0, 2000.0, 100.0)]
    #[case(1000.0, 1000.0, 0.0)]
    fn a_share_is_of_what_was(#[case] old: f64, #[case] new: f64, #[case] expected: f64) {
        assert!((percent(old, new) - expected).abs() < 0.05);
    }
}
