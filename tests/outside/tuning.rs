//! What the room of tuning works out, against general-purpose libraries (scipy, music21; the script beside says how) and against
//! published figures.

use super::rows;
use approx::assert_relative_eq;
use backrow_core::pitch::{Hertz, ReferenceA};
use backrow_core::tuning::{air, bar, bell, bell_size, cents, head};
use rstest::rstest;
use std::collections::BTreeMap;

/// Columns: what, a, b, value, by. Made by `tuning_scipy.py`, which says the versions in the last column. The thick bars
/// were worked out there by the method of Ritz with Legendre polynomials, here by the roots of Timoshenko's condition.
const SCIPY: &str = include_str!("data/tuning_scipy.csv");

#[test]
fn every_value_of_the_general_libraries() {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for row in rows(SCIPY) {
        let number = |at: usize| row[at].parse::<f64>().unwrap();
        let value = number(3);
        let n = |at: usize| row[at].parse::<u8>().unwrap();
        let (ours, within) = match &row[0] {
            "root" => (bar::root(n(1)), 1e-12),
            "thick ratio" => {
                let section = bar::Section { thickness: number(1), poisson: 0.33 };
                (bar::thick_ratio(section, n(2)).unwrap(), 1e-8)
            }
            "thick cents" => {
                let section = bar::Section { thickness: number(1), poisson: 0.33 };
                (bar::thick_cents(section, n(2)).unwrap(), 1e-6)
            }
            "membrane" => (head::MEMBRANE[usize::from(n(1)) - 1], 1e-4),
            "node" => (bar::node(), 1e-10),
            "interval" => (cents(number(2), number(1)).unwrap(), 1e-8),
            "nearest" => {
                let (key, off) = ReferenceA::ISO_16.nearest(Hertz::new(number(1)).unwrap()).unwrap();
                assert_eq!(key.number(), n(2), "{row:?}");
                // music21 keeps six places of a semitone.
                assert!((off.value() - value).abs() < 1e-3, "{row:?}: {off:?}");
                (value, 1e-3)
            }
            other => panic!("no check of {other}"),
        };
        assert!((ours - value).abs() <= within * value.abs().max(1.0), "{row:?}: {ours}");
        *seen.entry(row[0].to_owned()).or_default() += 1;
    }
    assert_eq!(seen.len(), 7, "{seen:?}");
}

/// Published ratios of a thin bar: Fletcher & Rossing, ch. 2, to the places printed (memory); `HyperPhysics` has the same (seen).
#[test]
fn textbook_ratios_of_a_thin_bar() {
    for (n, ratio) in [(2, 2.756), (3, 5.404), (4, 8.933)] {
        assert!((bar::thin_ratio(n) - ratio).abs() < 1e-3, "{n}");
    }
}

/// Measured glockenspiel bars, about 1 : 2.71 : 5.15 (Rossing, memory), lie where Timoshenko puts bars of some 5 per cent
/// thickness; thin bars would have 2.757 : 5.404.
#[test]
fn measured_glockenspiel_bars_are_thick_ones() {
    let section = bar::Section { thickness: 0.052, poisson: 0.3 };
    assert!((bar::thick_ratio(section, 2).unwrap() - 2.71).abs() < 0.01);
    assert!((bar::thick_ratio(section, 3).unwrap() - 5.15).abs() < 0.05);
}

/// Four quarter bells with nominals and weights in pounds, a published list: each against the estimate by all other bells. They are of
/// a heavy profile, and the smallest lies an eighth above the heaviest of the others; the tenors on C and on D flat differ by
/// three (both seen): the spread is what published bells give, and no bound.
#[rstest]
#[case(869.5, 2352.0)]
#[case(777.1, 2912.0)]
#[case(679.0, 3774.0)]
#[case(505.4, 8732.0)]
fn published_bells_lie_near_the_spread_of_the_others(#[case] nominal_hz: f64, #[case] pounds: f64) {
    let kg = pounds * 0.453_592_37;
    let others = bell_size::PUBLISHED.iter().filter(|bell| (bell.kg - kg).abs() > 0.2);
    assert_eq!(others.clone().count(), bell_size::PUBLISHED.len() - 1, "it is among them");
    let estimate = bell_size::mass_among(bell::strike_from_nominal(nominal_hz), others).unwrap();
    assert!(estimate.least <= kg && kg <= estimate.most * 1.15, "{kg}: {estimate:?}");
    assert!(estimate.most / estimate.least > 1.5, "bells of one note differ: {estimate:?}");
}

/// Trade knowledge: a cast bell at G3 is of the order of five tonnes in a table whose C3 is middle C (that is, at 196 Hz), one at
/// its C4 (523 Hz) some 260 kg; a bell an octave lower weighs about eight times as much.
#[test]
fn an_octave_lower_weighs_eight_times_as_much() {
    let mass = |hz: f64| bell_size::mass_kg(hz).unwrap();
    assert!(mass(196.0).least < 5443.0 && 5443.0 <= mass(196.0).most * 1.001);
    let about = mass(261.63).about / mass(523.25).about;
    assert!((4.0..16.0).contains(&about), "{about}");
}

/// A published table of the partials of a kettledrum (T. D. Rossing, as handbooks quote it; memory): modes 11, 21, 31, 41 of a
/// drum at 140 Hz lie near 1, 1.5, 2, 2.5, whereas the bare membrane (scipy) lies far away.
#[test]
fn the_published_kettledrum_is_clear() {
    let drum: Vec<f64> = [1.0, 1.50, 1.97, 2.44, 2.90].iter().map(|ratio| 140.0 * ratio).collect();
    let places = head::places(140.0, &drum);
    assert_eq!(places.len(), 4);
    assert_eq!(head::is_clear(&places), Some(true));
}

/// Two formulas for the speed of sound differ by less than a tenth per cent in dry air and by two tenths in damp air: the figure
/// without humidity does for keyboards and winds.
#[test]
fn the_plain_formula_of_air_does() {
    for celsius in [0.0, 10.0, 20.0, 25.0, 30.0] {
        let plain = air::speed_of_sound_m_s(celsius);
        for (humidity, within) in [(0.0, 1e-3), (50.0, 4e-3)] {
            let damp =
                air::speed_in_damp_air_m_s(air::Damp { celsius, humidity, pascals: 101_325.0 }).unwrap();
            assert_relative_eq!(plain, damp, max_relative = within);
        }
    }
}
