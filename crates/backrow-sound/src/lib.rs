//! Samples in, values out: strikes found in a take, what is measured of each, how alike two are, models of struck things, and
//! the sound device behind one small trait. No file and no window is known here.
//!
//! ```
//! let silence = vec![0.0_f32; 48_000];
//! assert!(backrow_sound::analyse(&silence, 48_000.0).is_empty());
//! ```

pub mod capture;
pub mod device;
pub mod keyboard;
pub mod level;
#[cfg(test)]
mod made;
mod measure;
pub mod mix;
pub mod model;
mod onset;
pub mod pan;
mod partial;
pub mod passage;
pub mod picture;
pub mod rate;
mod spectrum;

pub use onset::{SENSITIVITY_DB, Span};

use backrow_core::sound::{Measures, Strike};

/// Goes up whenever any figure comes out otherwise than before, so that remembered measures are worked out anew.
pub const ANALYSER_VERSION: u32 = 4;

/// The sampling rates that are analysed, Hz; at others nothing is found.
pub const RATES_HZ: std::ops::RangeInclusive<f64> = 8_000.0..=384_000.0;

/// A strike that was found, and its measures.
#[derive(Clone, Debug, PartialEq)]
pub struct Analysed {
    /// Where it is; nobody has said yet what was struck with what.
    pub strike: Strike,
    /// What was worked out.
    pub measures: Measures,
}

/// Every strike of a recording of one channel, in order; `rate_hz` samples a second, 1 being full scale.
///
/// Samples that are no numbers count as silence.
pub fn analyse(sound: &[f32], rate_hz: f64) -> Vec<Analysed> {
    let Some(analyser) = Analyser::new(sound, rate_hz) else { return Vec::new() };
    let spans = analyser.strikes(SENSITIVITY_DB);
    spans
        .iter()
        .map(|span| Analysed { strike: analyser.strike(*span), measures: analyser.measure(*span) })
        .collect()
}

/// A recording that can be asked strike by strike: for a worker that may be stopped, and for strikes that a person has moved.
pub struct Analyser<'a> {
    sound: std::borrow::Cow<'a, [f32]>,
    rate: f64,
    floor: spectrum::Floor,
}

impl<'a> Analyser<'a> {
    /// Of a recording of one channel; `None` at a rate outside [`RATES_HZ`].
    pub fn new(sound: &'a [f32], rate_hz: f64) -> Option<Self> {
        if !RATES_HZ.contains(&rate_hz) {
            return None;
        }
        // What no converter gives would make every sum endless.
        let sane = |value: &f32| value.is_finite() && value.abs() < 1e4;
        let sound = if sound.iter().all(sane) {
            std::borrow::Cow::Borrowed(sound)
        } else {
            sound.iter().map(|value| if sane(value) { *value } else { 0.0 }).collect()
        };
        let floor = spectrum::Floor::of(&sound, rate_hz);
        Some(Self { sound, rate: rate_hz, floor })
    }

    /// The strikes that rise by so many dB over what rang before; see [`SENSITIVITY_DB`].
    pub fn strikes(&self, sensitivity_db: f64) -> Vec<Span> {
        onset::strikes(&self.sound, self.rate, &self.floor, sensitivity_db)
    }

    /// A span in seconds.
    pub fn strike(&self, span: Span) -> Strike {
        let seconds = |at: usize| at as f64 / self.rate;
        Strike { from_s: seconds(span.from), to_s: seconds(span.to), ..Strike::default() }
    }

    /// The span of a strike, within the recording.
    pub fn span(&self, strike: &Strike) -> Span {
        let at = |seconds: f64| spectrum::whole((seconds * self.rate).round()).min(self.sound.len());
        let from = at(strike.from_s);
        Span { from, to: at(strike.to_s).max(from) }
    }

    /// What can be worked out of the sound in a span.
    pub fn measure(&self, span: Span) -> Measures {
        let to = span.to.min(self.sound.len());
        let span = Span { from: span.from.min(to), to };
        // Under 2 ms there is nothing to hear.
        if ((span.to - span.from) as f64) < self.rate * 0.002 {
            return Measures::NOTHING;
        }
        let look = partial::Look { sound: &self.sound, rate: self.rate, span, floor: &self.floor };
        measure::measure(&look)
    }
}

#[cfg(test)]
mod tests;
