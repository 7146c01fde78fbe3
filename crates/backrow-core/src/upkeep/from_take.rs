//! Surveys and bells from what was measured of a take: one strike a bar, up the keyboard.

use crate::care::{Bar, Reading};
use crate::pitch::KeyNumber;
use crate::sound::Measures;
use crate::tuning::bell::{Body, Partials, strike_of_take};
use crate::tuning::usual::Usual;
use crate::tuning::{cents, head, median};
use std::collections::BTreeMap;

/// How far a found partial may lie from its usual place to be taken for it, cents. Ours: a semitone and a half.
const NEAR_CENTS: f64 = 150.0;

/// The readings of a take up the keyboard, from low to high: the bar of each strike with its pitch, and the second and third partial
/// where one lies near its usual place. Of several strikes of a bar the middle one counts. Strikes without a bar or a pitch are left
/// out.
pub fn readings<'a>(
    strikes: impl Iterator<Item = (Option<KeyNumber>, &'a Measures)>,
    usual: Option<Usual>,
) -> Vec<Reading> {
    let mut by_bar: BTreeMap<KeyNumber, Vec<(f64, &Measures)>> = BTreeMap::new();
    for (bar, measures) in strikes {
        if let Some((bar, pitch)) = bar.zip(measures.pitch) {
            by_bar.entry(bar).or_default().push((pitch.hz.value, measures));
        }
    }
    by_bar.into_iter().filter_map(|(key, strikes)| reading(key, &strikes, usual)).collect()
}

fn reading(key: KeyNumber, strikes: &[(f64, &Measures)], usual: Option<Usual>) -> Option<Reading> {
    let hz = median(strikes.iter().map(|(hz, _)| *hz).collect())?;
    let upper = |ratio: f64| {
        let found = strikes.iter().filter_map(|(hz, measures)| near(measures, hz * ratio));
        median(found.collect())
    };
    let third = usual.map(|usual| f64::midpoint(usual.third.0, usual.third.1));
    Some(Reading {
        bar: Bar::of(key),
        hz,
        second_hz: usual.and_then(|usual| upper(usual.second)),
        third_hz: third.and_then(upper),
        remark: String::new(),
    })
}

/// The partial that lies nearest to a frequency.
fn near(measures: &Measures, hz: f64) -> Option<f64> {
    let off = |found: f64| cents(found, hz).map(f64::abs);
    let all = measures.partials.iter().filter_map(|partial| Some((partial.hz, off(partial.hz)?)));
    let nearest = all.min_by(|a, b| a.1.total_cmp(&b.1))?;
    (nearest.1 <= NEAR_CENTS).then_some(nearest.0)
}

/// A bell's partials and its warble (beats a second) from a strike; `None` where fewer than three partials fit the pattern of its
/// sort, or none is agreed.
pub fn bell(measures: &Measures, body: Body) -> Option<(Partials, Option<f64>)> {
    let found: Vec<f64> = measures.partials.iter().map(|partial| partial.hz).collect();
    let (strike, named) = strike_of_take(&found, body)?;
    let warble = measures.beating.map(|beating| beating.rate_hz.value);
    (named >= 3).then(|| (Partials::named(&found, strike, body), warble))
}

/// The partials of a kettledrum from a strike, hertz: the one that it is tuned to first, then the others from low to high. The tuned
/// one is that over which most of the others lie near 1.5, 2 and 2.5; `None` where no other does. What is more than
/// 40 dB under the strongest is left out.
pub fn drum(measures: &Measures) -> Option<Vec<f64>> {
    let most = measures.partials.iter().map(|partial| partial.db).fold(f64::NEG_INFINITY, f64::max);
    let mut found: Vec<f64> = measures
        .partials
        .iter()
        .filter(|partial| partial.db > most - 40.0)
        .map(|partial| partial.hz)
        .collect();
    found.sort_by(f64::total_cmp);
    let fits = |first: f64| {
        let places = head::places(first, &found);
        // Each place that is found counts for a whole tone less what it is off.
        (places.len(), places.iter().map(|place| 200.0 - place.off_cents.abs()).sum::<f64>())
    };
    let best = found.iter().map(|first| (*first, fits(*first))).max_by(|a, b| a.1.1.total_cmp(&b.1.1));
    let (first, _) = best.filter(|(_, (places, _))| *places > 1)?;
    Some(std::iter::once(first).chain(found.iter().copied().filter(|hz| *hz > first)).collect())
}

/// The number of the lug in a strike's spot: 3 in "lug 3", "near lug 3".
pub fn lug_of(spot: &str) -> Option<u32> {
    let mut words = spot.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.find(|word| word.eq_ignore_ascii_case("lug"))?;
    words.next()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sound::{Figure, Partial, PitchHeard};
    use crate::tuning::usual;

    fn strike(partials: &[f64]) -> Measures {
        let partial = |hz: &f64| Partial {
            hz: *hz,
            hz_sd: 0.1,
            db: -20.0,
            db_sd: 0.2,
            t60_s: None,
            bend_db: 0.0,
            heard_db: 40.0,
        };
        let figure = |value| Figure { value, sd: 0.1 };
        let pitch = partials.first().map(|hz| PitchHeard { hz: figure(*hz), clarity: figure(0.9) });
        Measures { partials: partials.iter().map(partial).collect(), pitch, ..Measures::NOTHING }
    }

    #[test]
    fn a_walk_up_the_keyboard_is_a_survey() {
        let key = |n| KeyNumber::new(n).unwrap();
        let marimba = usual::of_kind("marimba");
        let strikes = [
            (Some(key(62)), strike(&[294.0, 1176.0, 2900.0])),
            (Some(key(60)), strike(&[262.0, 1050.0])),
            (Some(key(60)), strike(&[262.4, 1052.0])),
            (Some(key(60)), strike(&[270.0, 1051.0])),
            (None, strike(&[500.0])),
            (Some(key(64)), Measures::NOTHING),
        ];
        let found = readings(strikes.iter().map(|(bar, measures)| (*bar, measures)), marimba);
        assert_eq!(found.len(), 2);
        assert_eq!((found[0].bar.key, found[0].hz, found[0].second_hz), (key(60), 262.4, Some(1051.0)));
        assert!(found[1].third_hz.is_some());
    }

    #[test]
    fn a_bell_is_named_and_noise_is_not() {
        let (partials, warble) =
            bell(&strike(&[262.0, 523.0, 628.0, 785.0, 1046.0, 1570.0]), Body::Cast).unwrap();
        assert!((partials.strike(Body::Cast).unwrap().0 - 523.0).abs() < 1e-9);
        assert_eq!(warble, None);
        assert!(bell(&strike(&[100.0, 917.0]), Body::Cast).is_none());
    }

    #[test]
    fn a_drum_is_read_from_its_tuned_partial_on() {
        // A centre stroke's own mode lies under the tuned one.
        let found = drum(&strike(&[82.0, 110.0, 165.2, 216.5, 268.0])).unwrap();
        assert_eq!(found, [110.0, 165.2, 216.5, 268.0]);
        assert_eq!(crate::tuning::head::is_clear(&crate::tuning::head::places(found[0], &found)), Some(true));
        assert_eq!(drum(&strike(&[110.0])), None);
        assert_eq!((lug_of("near Lug 3"), lug_of("lug"), lug_of("edge 4")), (Some(3), None, None));
    }
}
