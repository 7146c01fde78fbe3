//! The collected table of physics, row by row: every row is either checked here or named as one of another room.

use super::{key, rows};
use backrow_core::collection::Material;
use backrow_core::pitch::{Hertz, KeyNumber, ReferenceA};
use backrow_core::tuning::{air, bar, beats, bell, bell_size, cents, drift, tube, usual};
use backrow_core::upkeep::limits;

/// Columns: quantity, value, unit, source, seen or memory.
const PHYSICS: &str = include_str!("data/physics.csv");

/// Rows of other rooms (key numbers: `pitch.rs`; ears and decay: sound) or of no figure that this program has: by the start of
/// their quantity.
const ELSEWHERE: [&str; 29] = [
    "Standard tuning frequency",
    "MIDI note of",
    "Octave numbering warning",
    "Frequency from note number",
    "Note number from frequency",
    "Orchestral keyboard percussion reference",
    "Cramer 1993 coefficients",
    "Cramer validity",
    "CIPM vapour",
    "c in dry air at 20 C, other page",
    "c linear rule",
    "c in dry air at 21 C",
    "Humidity effect",
    "Rule of thumb",
    "Flanged end correction",
    "Page text 92",
    "Brass tube",
    "JND of frequency",
    "JND below",
    "JND general",
    "T20",
    "EDT",
    "T60",
    "NIOSH",
    "Allowed time",
    "Dose",
    "Example",
    "Big Ben",
    "Cause",
];

/// The numbers that stand in a text, signs and exponents included.
fn numbers(text: &str) -> Vec<f64> {
    let parts = text.split(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | 'e')));
    parts.filter_map(|part| part.trim_end_matches('.').parse().ok()).collect()
}

fn near(ours: f64, theirs: f64, within: f64, row: &csv::StringRecord) {
    assert!((ours - theirs).abs() <= within, "{row:?}: {ours}, not {theirs}");
}

/// "c at 20 C, 50 % RH, 101325 Pa, 314 ppm CO2 (Cramer)" and "c at 20 C, ISO 9613-1 form".
fn speed(row: &csv::StringRecord) -> bool {
    let Some(rest) = row[0].strip_prefix("c at ") else { return false };
    let celsius: f64 = rest.split(' ').next().unwrap().parse().unwrap();
    let theirs: f64 = row[1].parse().unwrap();
    if rest.contains("ISO 9613-1") {
        near(air::speed_of_sound_m_s(celsius), theirs, 5.1e-5, row);
    } else {
        let humidity = numbers(rest)[1];
        let damp = air::Damp { celsius, humidity, pascals: 101_325.0 };
        near(air::speed_in_damp_air_m_s(damp).unwrap(), theirs, 5.1e-5, row);
    }
    true
}

/// "C2 at 440 / at 442".
fn note(row: &csv::StringRecord) -> bool {
    if !row[0].ends_with(" at 440 / at 442") {
        return false;
    }
    let here = key(row[0].split(' ').next().unwrap());
    for (hz, a) in numbers(&row[1]).into_iter().zip([440.0, 442.0]) {
        near(ReferenceA::new(a).unwrap().frequency(here).value(), hz, 1e-6, row);
    }
    true
}

/// "Resonator length C2 at A4=442, 27 C, radius 38 mm": by the correction for long waves, and at the frequency.
fn resonator(row: &csv::StringRecord) -> bool {
    let Some(rest) = row[0].strip_prefix("Resonator length ") else { return false };
    let figures = numbers(rest.split_once('=').unwrap().1);
    let [a, celsius, radius_mm] = figures[..] else { panic!("{row:?}") };
    let hz = ReferenceA::new(a).unwrap().frequency(key(rest.split(' ').next().unwrap())).value();
    let theirs = numbers(&row[1]);
    let radius = radius_mm / 1000.0;
    near(tube::length_m(hz, celsius, radius).unwrap() * 1000.0, theirs[0], 6e-4, row);
    near(tube::length_at_hz_m(hz, celsius, radius).unwrap() * 1000.0, theirs[2], 6e-4, row);
    true
}

/// "Carillon bell C3 (262 Hz strike), in the page octave naming": an octave higher in ours.
fn carillon(row: &csv::StringRecord) -> bool {
    let Some(rest) = row[0].strip_prefix("Carillon bell ") else { return false };
    let name: String = rest.chars().take_while(|c| !matches!(c, ' ' | ',')).collect();
    let strike = ReferenceA::ISO_16.frequency(key(&name).up(12).unwrap()).value();
    let kg = numbers(&row[1])[1];
    let known =
        bell_size::PUBLISHED.iter().any(|b| (b.kg - kg).abs() < 1.0 && (b.strike_hz - strike).abs() < 1e-2);
    assert!(known, "{row:?}: {strike} Hz");
    true
}

fn single(row: &csv::StringRecord) -> bool {
    let figures = numbers(&row[1]);
    let value = figures.first().copied().unwrap_or(f64::NAN);
    match &row[0] {
        "500 Hz as note plus cents" => {
            let (_, off) = ReferenceA::ISO_16.nearest(Hertz::new(500.0).unwrap()).unwrap();
            near(off.value(), 21.309_485_364_9, 1e-9, row);
        }
        "C4 frequency at A4 = 440" => {
            near(ReferenceA::ISO_16.frequency(KeyNumber::MIDDLE_C).value(), value, 1e-9, row);
        }
        "A4 442 against 440" => near(cents(442.0, 440.0).unwrap(), value, 1e-12, row),
        "Speed of sound, ISO 9613-1 form" => near(air::speed_of_sound_m_s(20.0), 343.2, 1e-12, row),
        "Unflanged open end correction, low-frequency limit" => near(tube::OPEN_END, value, 1e-12, row),
        "Unflanged correction with frequency" => {
            let ka = 0.7_f64;
            let by_hand =
                0.6133 * ((1.0 + 0.044 * 0.49) / (1.0 + 0.19 * 0.49) - 0.02 * 1.4_f64.sin().powi(2));
            near(tube::open_end(ka), by_hand, 1e-12, row);
        }
        "Closed-open tube fundamental" => {
            let length = tube::length_m(220.0, 20.0, 0.02).unwrap();
            near(343.2 / (4.0 * (length + 0.6133 * 0.02)), 220.0, 1e-9, row);
        }
        "Detuning of a fixed resonator, 20 to 27 C" => {
            near(tube::detuned_cents(20.0, 27.0), value, 5e-5, row);
        }
        "Free-free bar roots beta*L" => {
            for (n, root) in (1..).zip(&figures) {
                near(bar::root(n), *root, 1e-12, row);
            }
        }
        "Free-free bar partial ratios" => {
            for (n, ratio) in (1..).zip(&figures) {
                near(bar::thin_ratio(n), *ratio, 1e-8, row);
            }
        }
        "Bar frequency" => {
            let stuff =
                bar::Stuff { length_m: 0.5, thickness_m: 0.02, young_pa: 7e10, density_kg_m3: 2700.0 };
            // The row prints 1.02808 beside 4.730^2 / (2 pi sqrt 12), which is 1.02792: a quarter of a cent. The formula counts.
            let by_hand = 4.730_04_f64.powi(2) / (2.0 * std::f64::consts::PI * 12.0_f64.sqrt());
            near(by_hand, 1.02808, 2e-4, row);
            let by_hand = by_hand * (0.02 / 0.25) * (7e10_f64 / 2700.0).sqrt();
            near(bar::thin_hz(stuff) / by_hand, 1.0, 1e-5, row);
        }
        "Node position of a uniform free bar" => near(bar::node(), value, 1e-4, row),
        "Length ratio per semitone, same section" => near(bar::length_for(1.0), 0.971_532, 1e-6, row),
        _ => return false,
    }
    true
}

fn kinds_and_bells(row: &csv::StringRecord) -> bool {
    let second = |kind: &str| usual::of_kind(kind).unwrap().second;
    match &row[0] {
        "Marimba overtone tuning" => near(second("marimba"), 4.0, 0.0, row),
        "Xylophone overtone tuning" => near(second("xylophone"), 3.0, 0.0, row),
        "Vibraphone overtone tuning" => near(second("vibraphone"), 4.0, 0.0, row),
        "Glockenspiel bars" => near(second("glockenspiel"), 2.71, 0.0, row),
        "Bell partials" => {
            for (partial, ratio) in bell::Partial::ALL.iter().zip([0.5, 1.0, 1.2, 1.5, 2.0]) {
                near(partial.just(), ratio, 0.0, row);
            }
        }
        "Strike note rule" => {
            // One octave below the nominal, even if the prime is off.
            near(bell::strike_from_nominal(880.0), 440.0, 0.0, row);
            let off = bell::Partials([(bell::Partial::Prime, 460.0), (bell::Partial::Nominal, 880.0)].into());
            near(off.strike(bell::Body::Cast).unwrap().0, 440.0, 0.0, row);
        }
        "Tubular bell modes 4, 5, 6" => {
            for (ours, theirs) in bell::TUBE_MODES.into_iter().zip(numbers(&row[1])) {
                near(ours, theirs, 0.0, row);
            }
        }
        "Tubular bell strike pitch" => near(bell::tube_strike(440.0), 220.0, 0.0, row),
        "81:121:169 against 2:3:4" => {
            for (ours, theirs) in bell::tube_from_just().into_iter().zip(numbers(&row[1])) {
                near(ours, theirs, 6e-4, row);
            }
        }
        "Bell mass scaling" => {
            // Halves every four semitones upward; so does the estimate, where one published bell alone is near.
            let four = (4.0_f64 / 12.0).exp2();
            near(bell_size::scaled_kg(100.0, 200.0, 200.0 * four), 50.0, 1e-9, row);
            let (low, high) =
                (bell_size::mass_kg(1700.0).unwrap(), bell_size::mass_kg(1700.0 * four).unwrap());
            assert_eq!((low.from, high.from), (1, 1));
            near(high.about / low.about, 0.5, 1e-9, row);
        }
        "Check of f^-3 on that table" => {
            // "C3 4300 lb -> C4 predicted 537.5, page 580; G2->G3 12000 -> 1500, page 1300".
            for (pounds, octave_up) in [(4300.0, 537.5), (12000.0, 1500.0)] {
                assert!(
                    row[1].contains(&format!("{pounds}")) && row[1].contains(&format!("{octave_up}")),
                    "{row:?}"
                );
                near(bell_size::scaled_kg(pounds, 262.0, 524.0), octave_up, 1e-9, row);
            }
        }
        "Same-note spread of real bells" => {
            // C at 2864 kg, D flat at 966 kg: both lie in what the estimate says of their notes.
            let kg = numbers(&row[1]);
            for (kg, name) in kg.into_iter().zip(["C4", "C#4"]) {
                let note = ReferenceA::ISO_16.frequency(key(name)).value();
                let estimate = bell_size::mass_kg(note).unwrap();
                assert!(estimate.least <= kg + 1.0 && kg <= estimate.most + 1.0, "{row:?}: {estimate:?}");
            }
        }
        "Rosewood bars" => {
            let limits = limits(Material::Rosewood);
            let said = |one: &air::Limits| {
                let (c, rh) = (one.celsius?, one.humidity);
                Some(format!("{}-{} C, {}-{} % RH", c.0, c.1, rh.0, rh.1))
            };
            assert!(limits.iter().filter_map(said).any(|said| row[1].contains(&said)), "{row:?}");
        }
        "Check signal" => near(super::recovered::t60_of_decay_s(0.5), numbers(&row[1])[2], 0.02, row),
        "Estimate of bell weight" => {
            // W = C f D^4 / 4359085 pounds, C 2.7 to 3, D in inches: at 500 Hz and 40 inches.
            let (light, heavy) = bell_size::mass_from_lip_kg(500.0, 40.0 * 0.0254);
            let pounds = |c: f64| c * 500.0 * 40.0_f64.powi(4) / 4_359_085.0;
            near(light / 0.453_592_37, pounds(2.7), 1e-6, row);
            near(heavy / 0.453_592_37, pounds(3.0), 1e-6, row);
        }
        _ => return false,
    }
    true
}

fn drifts_and_ears(row: &csv::StringRecord) -> bool {
    match &row[0] {
        "Steel tuning fork" => near(drift::STEEL.ppm_k.unwrap(), -86.0, 0.0, row),
        "same in cents" => near(drift::cents(-86.0, 20.0, 21.0), -0.1489, 1e-4, row),
        "Bar law" => near(drift::of_bar(-100.0, 20.0), -40.0, 1e-12, row),
        "Aluminium bars" => near(drift::cents(drift::ALUMINIUM.ppm_k.unwrap(), 20.0, 21.0), -0.40, 5e-3, row),
        "Brass and bronze bars" => {
            near(drift::cents(drift::BRONZE.ppm_k.unwrap(), 20.0, 21.0), -0.3, 6e-2, row);
        }
        "Winds" => near(air::winds_cents(20.0, 21.0), 2.9478, 1e-2, row),
        "Spread winds minus steel bars, +5 K" => {
            let steel = drift::cents(-86.0, 20.0, 25.0);
            // The table goes in a straight line from 20 degrees; the law bends by a hundredth a kelvin.
            near(air::winds_cents(20.0, 25.0) - steel, 15.51, 0.15, row);
        }
        "JND of intervals, amateur musicians" => near(beats::JUST_HEARD_CENTS, 7.5, 2.5, row),
        "Trained listener, successive tones" => near(beats::JUST_HEARD_CENTS, 5.0, 0.0, row),
        "Beats" => near(beats::unison(440.0, 442.0), 2.0, 1e-12, row),
        _ => return false,
    }
    true
}

#[test]
fn every_row_of_the_table() {
    let checks = [speed, note, resonator, carillon, single, kinds_and_bells, drifts_and_ears];
    let (mut checked, mut elsewhere, mut missed) = (0, 0, Vec::new());
    for row in rows(PHYSICS) {
        if checks.iter().any(|check| check(&row)) {
            checked += 1;
        } else if ELSEWHERE.iter().any(|start| row[0].starts_with(start)) {
            elsewhere += 1;
        } else {
            missed.push(row);
        }
    }
    assert!(missed.is_empty(), "rows that nobody looks at: {missed:#?}");
    assert!(checked > 60 && elsewhere < 55, "{checked} rows checked, {elsewhere} elsewhere");
}
