//! Tonight's tuning: how far an instrument lies from the orchestra in the hall's air, where the music would let it be heard, and
//! which of two sits better.
//!
//! The A is what the orchestra tunes to. Warm air lifts the winds above it as long as they let it; bars fall a little. Both are
//! stated apart: the first is sure, the second is what players hear on a warm evening.

mod bells;
mod exposed;
mod heard;
mod shared;

pub use bells::{BellChoice, BellNote, BellReading, bells_for, is_bell_kind};
pub use exposed::{Exposed, exposed};
pub use heard::{Between, Fit, Heard, against_orchestra, better, between, between_notes};
pub use shared::{Shared, shared};

use crate::care::{Bar, Survey, drift_cents};
use crate::collection::Instrument;
use crate::days::Days;
use crate::library::Library;
use crate::pitch::{KeyNumber, ReferenceA};
use crate::tuning::{self, air, bell::Body};
use crate::week::Programme;
use jiff::civil::Date;

/// What the hall and the orchestra are tonight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hall {
    /// The A that the orchestra tunes to.
    pub a: ReferenceA,
    /// The temperature on stage, degrees Celsius.
    pub celsius: f64,
    /// The orchestra's own figure for its winds, cents for each kelvin; `None`: as the speed of sound has it.
    pub winds_cents_k: Option<f64>,
}

impl Hall {
    /// The hall of a programme: its own figures, else the orchestra's.
    pub fn of(library: &Library, programme: Option<&Programme>) -> Self {
        let orchestra = &library.orchestra;
        Self {
            a: programme.and_then(|programme| programme.a).unwrap_or(orchestra.a),
            celsius: programme.and_then(|programme| programme.celsius).unwrap_or(orchestra.celsius),
            winds_cents_k: orchestra.winds_cents_k,
        }
    }

    /// How far the winds rise beyond the A if nobody holds them, cents: from 20 degrees to the hall's, by the
    /// orchestra's own figure where it has one.
    pub fn winds_cents(&self) -> f64 {
        match self.winds_cents_k {
            Some(each) => each * (self.celsius - air::USUAL_C),
            None => air::winds_cents(air::USUAL_C, self.celsius),
        }
    }
}

/// What an instrument's pitch is known by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ground {
    /// The bar itself was measured.
    Measured(Date),
    /// Others of its bars were: the middle of them.
    Survey(Date),
    /// The register of bells has its strike note.
    Register,
    /// The A that the collection says it is tuned to.
    Stated,
}

impl Ground {
    /// "measured on 3 Mar 2026".
    pub fn words(self, days: Days) -> String {
        let day = |on| days.day(on);
        match self {
            Self::Measured(on) => format!("measured on {}", day(on)),
            Self::Survey(on) => format!("by the other bars of {}", day(on)),
            Self::Register => "by the strike note in the register".to_owned(),
            Self::Stated => "by the A that it is said to be tuned to".to_owned(),
        }
    }
}

/// How a bar stands to the orchestra tonight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offset {
    /// How far it lies above the equal-tempered pitch at tonight's A, cents.
    pub cents: f64,
    /// How much of that the temperature makes; `None` where nobody has a figure for the material.
    pub drift: Option<f64>,
    /// How far the winds rise beyond the A if nobody holds them, cents.
    pub winds: f64,
    /// What it is known by.
    pub ground: Ground,
}

impl Offset {
    /// The distance that counts, cents: from risen winds where the air has moved them by as much as a trained listener hears and
    /// they lie farther than the A, else from the A.
    pub fn farthest(&self) -> f64 {
        if self.is_by_winds() { self.beside_winds() } else { self.cents }
    }

    /// Whether the air's effect on the winds is what counts.
    pub fn is_by_winds(&self) -> bool {
        self.winds.abs() >= tuning::beats::JUST_HEARD_CENTS && self.beside_winds().abs() > self.cents.abs()
    }

    /// How far it lies above winds that have risen with the air, cents.
    pub fn beside_winds(&self) -> f64 {
        self.cents - self.winds
    }
}

/// How a bar of an instrument stands to the orchestra in a hall; the instrument as a whole with `None`. `None` where neither a
/// survey nor a stated A says how it is tuned.
pub fn offset(library: &Library, thing: &Instrument, key: Option<KeyNumber>, hall: Hall) -> Option<Offset> {
    let care = library.care.get(&thing.id);
    let survey = care.and_then(|care| care.latest());
    let bell = care.zip(key).and_then(|(care, key)| care.bells.iter().find(|bell| bell.key == key));
    let (found, at_c, ground) = match survey.and_then(|survey| by_survey(survey, key, hall.a)) {
        Some((cents, ground)) => (cents, survey.and_then(|survey| survey.celsius), ground),
        None => match bell.and_then(|bell| bell.off_cents(Body::of_kind(thing.kind.as_str()), hall.a)) {
            Some(cents) => (cents, None, Ground::Register),
            None => (tuning::cents(thing.tuned_to?.value(), hall.a.value())?, None, Ground::Stated),
        },
    };
    // What is not said to have been tuned or measured at another temperature was at the usual one.
    let from_c = at_c.unwrap_or(air::USUAL_C);
    let drift = drift_cents(thing.material, &library.orchestra.drifts, from_c, hall.celsius);
    Some(Offset { cents: found + drift.unwrap_or(0.0), drift, winds: hall.winds_cents(), ground })
}

/// How far a resonator that was right for its bar at one temperature lies from it at another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ResonatorOff {
    /// How far the air moves the tube, cents.
    pub air: f64,
    /// How far the bar itself moves, cents; `None` where nobody has a figure for its material.
    pub bar: Option<f64>,
}

impl ResonatorOff {
    /// How far the tube lies above its bar, cents. A bar whose material nobody knows is taken to stay.
    pub fn cents(self) -> f64 {
        self.air - self.bar.unwrap_or(0.0)
    }
}

/// How far an instrument's resonators lie from its bars at a temperature, where they were right at another.
pub fn resonator_off(library: &Library, thing: &Instrument, right_at_c: f64, celsius: f64) -> ResonatorOff {
    ResonatorOff {
        air: tuning::tube::detuned_cents(right_at_c, celsius),
        bar: drift_cents(thing.material, &library.orchestra.drifts, right_at_c, celsius),
    }
}

fn by_survey(survey: &Survey, key: Option<KeyNumber>, a: ReferenceA) -> Option<(f64, Ground)> {
    let own = key.and_then(|key| survey.reading(Bar::of(key))).and_then(|reading| reading.cents(a));
    match own {
        Some(cents) => Some((cents, Ground::Measured(survey.on))),
        None => Some((survey.middle_cents(a)?, Ground::Survey(survey.on))),
    }
}

#[cfg(test)]
mod tests;
