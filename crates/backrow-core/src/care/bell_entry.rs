//! The register of bells: what is known of each, measured, read off it, or told.

use crate::collection::Mass;
use crate::id::BeaterId;
use crate::pitch::{Hertz, KeyNumber, ReferenceA};
use crate::tuning::bell::{Body, Partial, Partials};
use crate::tuning::bell_size::{Estimate, lip_m, mass_from_lip_kg, mass_kg, spread};

/// One bell.
#[derive(Clone, Debug, PartialEq)]
pub struct BellEntry {
    /// The bar of the instrument that it is: its sounding pitch as the collection has it.
    pub key: KeyNumber,
    /// Measured partials, hertz.
    pub partials: Partials,
    /// How often it warbles in a second, where somebody measured it.
    pub warble_hz: Option<f64>,
    /// Its mass, weighed or as told.
    pub mass: Option<Mass>,
    /// Diameter of the lip, metres.
    pub lip_m: Option<f64>,
    /// Who founded it, in the user's words.
    pub founder: String,
    /// When it was founded, in words: "1926", "about 1880".
    pub cast: String,
    /// Its profile, in the user's words: "heavy, minor third".
    pub profile: String,
    /// What stands on it.
    pub inscription: String,
    /// Who gave it to the orchestra.
    pub donor: String,
    /// What it is struck with, and what that does to its attack.
    pub beaters: Vec<BellBeater>,
    /// Where and how it hangs: points, bolts, straps.
    pub hanging: String,
    /// What whoever lifts it must know.
    pub lifting: String,
    /// Anything else.
    pub remark: String,
}

/// A beater for a bell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BellBeater {
    /// Which.
    pub beater: BeaterId,
    /// What it does to the attack, in words.
    pub does: String,
}

impl BellEntry {
    /// A bell of which nothing but its pitch is known.
    pub fn of(key: KeyNumber) -> Self {
        Self {
            key,
            partials: Partials::default(),
            warble_hz: None,
            mass: None,
            lip_m: None,
            founder: String::new(),
            cast: String::new(),
            profile: String::new(),
            inscription: String::new(),
            donor: String::new(),
            beaters: Vec::new(),
            hanging: String::new(),
            lifting: String::new(),
            remark: String::new(),
        }
    }

    /// Its strike note, hertz, with the partial that it was taken from; `None` where nothing that tells was measured.
    pub fn strike(&self, body: Body) -> Option<(f64, Partial)> {
        self.partials.strike(body)
    }

    /// The nearest key to its strike note at an A, and how far it lies above it, cents. May differ from the key under which the
    /// collection has it: then one of the two is wrong.
    pub fn nearest(&self, body: Body, a: ReferenceA) -> Option<(KeyNumber, f64)> {
        let (key, off) = a.nearest(Hertz::new(self.strike(body)?.0).ok()?)?;
        Some((key, off.value()))
    }

    /// How far its strike note lies above its own key at an A, cents.
    pub fn off_cents(&self, body: Body, a: ReferenceA) -> Option<f64> {
        crate::tuning::cents(self.strike(body)?.0, a.frequency(self.key).value())
    }

    /// The strike note that estimates go by: measured, else that of its key at an A, hertz.
    pub fn strike_or_key_hz(&self, body: Body, a: ReferenceA) -> f64 {
        self.strike(body).map_or_else(|| a.frequency(self.key).value(), |(hz, _)| hz)
    }

    /// Its mass by its note, kilograms, where it was not weighed: an estimate with its spread, for cast bells alone.
    pub fn mass_estimate(&self, body: Body, a: ReferenceA) -> Option<Estimate> {
        (body == Body::Cast).then(|| mass_kg(self.strike_or_key_hz(body, a))).flatten()
    }

    /// The diameter of its lip by its note, metres: an estimate with its spread, for cast bells alone.
    pub fn lip_estimate(&self, body: Body, a: ReferenceA) -> Option<Estimate> {
        (body == Body::Cast).then(|| lip_m(self.strike_or_key_hz(body, a))).flatten()
    }

    /// Its mass by the measured diameter of its lip and its note, kilograms, from a light profile to a heavy one, for cast bells alone.
    pub fn mass_by_lip_kg(&self, body: Body, a: ReferenceA) -> Option<(f64, f64)> {
        let lip = self.lip_m.filter(|_| body == Body::Cast)?;
        Some(mass_from_lip_kg(2.0 * self.strike_or_key_hz(body, a), lip))
    }
}

/// How far a partial lies from the pattern in several bells of one sort, cents: the middle, the least and the most. `None` where none
/// of them has it.
pub fn among<'a>(
    partial: Partial,
    bells: impl Iterator<Item = &'a BellEntry>,
    body: Body,
) -> Option<Estimate> {
    let off = |bell: &BellEntry| {
        bell.partials.from_just(body).into_iter().find(|(one, _)| *one == partial).map(|(_, off)| off)
    };
    spread(bells.filter_map(off).collect())
}
