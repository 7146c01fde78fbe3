//! A blow: what strikes, how hard.

use backrow_core::collection::{Beater, Hardness, Head};
use backrow_core::music::Dynamic;

/// One blow on a body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blow {
    /// How long beater and body touch at mezzo-forte, milliseconds.
    pub contact_ms: f64,
    /// How hard.
    pub dynamic: Dynamic,
    /// What chance draws from.
    pub seed: u64,
}

/// Steps between dynamics, dB: pp to ff some 25 dB, which is what players of percussion are commonly credited with; no source.
const STEP_DB: f64 = 5.0;

impl Blow {
    /// With a beater's head of some hardness.
    pub fn with(head: Head, hardness: Hardness, dynamic: Dynamic, seed: u64) -> Self {
        Self { contact_ms: contact_ms(head) * softer(hardness), dynamic, seed }
    }

    /// With a beater of the collection.
    pub fn with_beater(beater: &Beater, dynamic: Dynamic, seed: u64) -> Self {
        Self::with(beater.head, beater.hardness, dynamic, seed)
    }

    /// How much louder than fortissimo, dB; 0 at ff, below it for everything softer.
    pub fn level_db(&self) -> f64 {
        let steps = Dynamic::ALL.iter().position(|d| *d == self.dynamic).unwrap_or(0) as f64;
        let ff = Dynamic::ALL.iter().position(|d| *d == Dynamic::Ff).unwrap_or(0) as f64;
        ((steps - ff) * STEP_DB).min(0.0)
    }

    /// How long the two touch, seconds. After Hertz the time of contact goes with the speed to the power of -1/5 (H. Hertz 1882;
    /// for mallets and bars: Chaigne and Doutaut, J. Acoust. Soc. Am. 101, 539 (1997), from memory): a harder blow is shorter,
    /// so it is brighter too.
    pub fn contact_s(&self) -> f64 {
        let mezzo_forte_db = -2.0 * STEP_DB;
        let speed = 10f64.powf((self.level_db() - mezzo_forte_db) / 20.0);
        self.contact_ms / 1000.0 * speed.powf(-0.2)
    }

    /// How much of a partial this blow excites, 0 to 1: the spectrum of half a sine of the time of contact, its zeros smoothed
    /// over, since no beater is so regular: flat up to a half of one over that time, then falling by 12 dB an octave.
    pub fn reaches(&self, hz: f64) -> f64 {
        let turns = 2.0 * hz * self.contact_s();
        1.0 / turns.mul_add(turns, 1.0)
    }
}

/// Milliseconds of contact with a bar or plate at mezzo-forte, medium hardness. The order is the trade's, the figures are
/// estimates: some 0.1 ms for metal on metal to several for felt (Fletcher and Rossing, The Physics of Musical Instruments, chapters
/// on mallet percussion and bells; from memory).
const fn contact_ms(head: Head) -> f64 {
    match head {
        Head::Fleece => 4.0,
        Head::Felt => 3.0,
        Head::Hand | Head::Glove => 2.6,
        Head::Yarn => 1.6,
        Head::Leather => 1.3,
        Head::Cord => 1.1,
        Head::Rubber => 0.7,
        Head::Brush => 0.6,
        Head::Bow => 0.5,
        Head::Rawhide => 0.3,
        Head::Plastic => 0.24,
        Head::Wood => 0.2,
        Head::Brass => 0.12,
        Head::Steel => 0.08,
    }
}

const fn softer(hardness: Hardness) -> f64 {
    match hardness {
        Hardness::VerySoft => 2.2,
        Hardness::Soft => 1.5,
        Hardness::Medium => 1.0,
        Hardness::Hard => 0.65,
        Hardness::VeryHard => 0.45,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn harder_and_louder_reach_higher() {
        let blow = |head, hardness, dynamic| Blow::with(head, hardness, dynamic, 0).reaches(3000.0);
        let soft = blow(Head::Yarn, Hardness::Soft, Dynamic::Mf);
        assert!(soft < blow(Head::Yarn, Hardness::Hard, Dynamic::Mf));
        assert!(soft < blow(Head::Brass, Hardness::Soft, Dynamic::Mf));
        assert!(soft < blow(Head::Yarn, Hardness::Soft, Dynamic::Ff));
        assert!(soft > blow(Head::Yarn, Hardness::Soft, Dynamic::Pp));
    }

    #[test]
    fn twenty_five_decibels_from_pp_to_ff() {
        let level = |dynamic| Blow::with(Head::Wood, Hardness::Medium, dynamic, 0).level_db();
        assert!((level(Dynamic::Ff) - level(Dynamic::Pp) - 25.0).abs() < 1e-9);
        assert!(level(Dynamic::Ffff) <= 0.0);
    }
}
