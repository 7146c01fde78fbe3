//! The list for the tuner: which bars lie outside the tolerance, by how much, and which way they have to go.

use super::{Bar, Survey};
use crate::pitch::ReferenceA;
use crate::tuning::{self, usual::Usual};

/// How far a bar may lie from its target before it is for the tuner, cents. Common figure of what a trained listener hears
/// (memory); an instrument may have its own.
pub const TOLERANCE_CENTS: f64 = tuning::beats::JUST_HEARD_CENTS;

/// How far a second or third partial may lie from its usual place before it is told, in tolerances of the first. Ours: they are softer
/// and shorter.
pub const UPPER_TOLERANCE: f64 = 3.0;

/// A bar for the tuner.
#[derive(Clone, Debug, PartialEq)]
pub struct ForTuner {
    /// The bar.
    pub bar: Bar,
    /// Found, hertz.
    pub hz: f64,
    /// Wanted, hertz.
    pub target_hz: f64,
    /// How far over the target, cents.
    pub off_cents: f64,
    /// How far the second partial lies over its usual place, cents, where both are known.
    pub second_cents: Option<f64>,
    /// How far the third partial lies outside its usual range, cents, where both are known; 0 within it.
    pub third_cents: Option<f64>,
    /// Whether the first partial is outside its tolerance; else only an upper one is, or the remark tells.
    pub first_is_off: bool,
    /// What the survey says of the bar.
    pub remark: String,
    /// How far an upper partial may lie from its usual place before it is told, cents.
    upper_tolerance: f64,
}

impl ForTuner {
    /// Which way it has to go, in words; the rest is the tuner's.
    pub fn direction(&self) -> &'static str {
        let far = |cents: Option<f64>| cents.is_some_and(|off| off.abs() > self.upper_tolerance);
        match (self.first_is_off, far(self.second_cents), far(self.third_cents)) {
            (true, ..) => tuning::bar::to_target(self.off_cents),
            (false, true, true) => "second and third partial only; left to the tuner",
            (false, true, false) => "second partial only; left to the tuner",
            (false, false, true) => "third partial only; left to the tuner",
            (false, false, false) => "within its tolerance",
        }
    }
}

/// The bars of a survey that lie outside the tolerance at a target A, or whose second or third partial lies far from its usual
/// place, or that carry a remark; from low to high.
pub fn for_tuner(survey: &Survey, target: ReferenceA, tolerance: f64, usual: Option<Usual>) -> Vec<ForTuner> {
    let one = |reading: &super::Reading| {
        let target_hz = target.frequency(reading.bar.key).value();
        let off_cents = tuning::cents(reading.hz, target_hz)?;
        let tuned = usual.filter(|usual| usual.tuned);
        let second_cents = tuned
            .zip(reading.second_hz)
            .and_then(|(usual, hz)| tuning::usual::second_cents(usual, reading.hz, hz));
        let third_cents = tuned
            .zip(reading.third_hz)
            .and_then(|(usual, hz)| tuning::usual::third_cents(usual, reading.hz, hz));
        let first_is_off = off_cents.abs() > tolerance;
        let upper_tolerance = UPPER_TOLERANCE * tolerance;
        let upper_is_off =
            [second_cents, third_cents].into_iter().flatten().any(|off| off.abs() > upper_tolerance);
        let row = ForTuner {
            bar: reading.bar,
            hz: reading.hz,
            target_hz,
            off_cents,
            second_cents,
            third_cents,
            first_is_off,
            remark: reading.remark.clone(),
            upper_tolerance,
        };
        (first_is_off || upper_is_off || !reading.remark.is_empty()).then_some(row)
    };
    let mut rows: Vec<ForTuner> = survey.readings.iter().filter_map(one).collect();
    rows.sort_by_key(|row| row.bar);
    rows
}
