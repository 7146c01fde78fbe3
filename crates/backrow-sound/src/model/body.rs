//! Bodies that are struck: their partials in the ratios that physics gives them.
//!
//! "Computed" ratios follow from the named equation; those "from memory" were not read again for this program. F&R is Fletcher and
//! Rossing, The Physics of Musical Instruments.

use super::Dice;

/// One partial of a body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Partial {
    /// Hertz.
    pub hz: f64,
    /// Level when everything is excited alike, dB against the strongest.
    pub db: f64,
    /// Seconds to fall by 60 dB.
    pub t60_s: f64,
    /// Seconds until it has grown to its strength: cymbals and gongs shimmer late. 0 for at once.
    pub grows_s: f64,
}

/// Noise in a band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Noise {
    /// The lower edge, hertz.
    pub low_hz: f64,
    /// The upper edge, hertz.
    pub high_hz: f64,
    /// Level, dB, as for a partial.
    pub db: f64,
    /// Seconds to fall by 60 dB: of the whole, or of each grain.
    pub t60_s: f64,
    /// For how long grains come, seconds; 0 for a single burst.
    pub lasts_s: f64,
    /// How many grains a second.
    pub grains_s: f64,
    /// How much of it is mixed in, 0 to 1.
    pub mix: f64,
}

/// Something that can be struck.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Body {
    /// Its partials.
    pub partials: Vec<Partial>,
    /// Its noises: the beater's tap, snares, beads.
    pub noises: Vec<Noise>,
    /// How much longer a beater touches it than it touches a hard bar: 1 for metal, some 3 for a skin that gives way.
    pub soft: f64,
    /// By how much partials differ from blow to blow, dB either way.
    pub spread_db: f64,
    /// Loudness against the loudest kinds, dB, 0 at most.
    pub level_db: f64,
}

/// How partials die away: the seconds of one at some frequency, and how much sooner higher ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Seconds to fall by 60 dB at `hz`.
    pub t60_s: f64,
    /// Where that holds.
    pub hz: f64,
    /// The time goes with the frequency to the power of minus this.
    pub fall: f64,
}

impl Ring {
    /// Seconds to fall by 60 dB at a frequency, between 15 ms and 12 s.
    pub fn at(self, hz: f64) -> f64 {
        (self.t60_s * (hz / self.hz).powf(-self.fall)).clamp(0.015, 12.0)
    }
}

/// Ratios and levels (dB) of a bar that is free at both ends and cut evenly: squares of the roots of cosh x cos x = 1 (computed;
/// F&R chapter 2): glockenspiel, celesta, claves, lithophone.
pub const FREE_BAR: &[(f64, f64)] = &[(1.0, 0.0), (2.7565, -7.0), (5.4039, -12.0), (8.9330, -18.0)];

/// A bar whose second partial is tuned to the twelfth: xylophone. 1 : 3 was read, the third near 6 is from memory (F&R chapter 19).
pub const TWELFTH_BAR: &[(f64, f64)] = &[(1.0, 0.0), (3.0, -8.0), (6.1, -15.0)];

/// A bar whose second partial is tuned two octaves up and the third near three octaves and a third: marimba, vibraphone (F&R chapter
/// 19, from memory; recorded marimbas gave 3.98 and 9.7).
pub const DOUBLE_OCTAVE_BAR: &[(f64, f64)] = &[(1.0, 0.0), (4.0, -13.0), (9.8, -20.0)];

/// A tongue held at one end: roots of cosh x cos x = -1 (computed): kalimba.
pub const TONGUE: &[(f64, f64)] = &[(1.0, 0.0), (6.2669, -14.0), (17.547, -22.0)];

/// A long tube: bending partials as 3.0112² : 5² : 7² : 9² ... (computed), of which the fourth is heard an octave above the note
/// (Rossing, read in secondary text): ratios to the note that is heard, which no partial has.
pub const LONG_TUBE: &[(f64, f64)] = &[
    (0.2239, -20.0),
    (0.6173, -10.0),
    (1.2099, -4.0),
    (2.0, 0.0),
    (2.9877, -2.0),
    (4.1728, -7.0),
    (5.5556, -12.0),
];

/// A tuned bell: hum, prime, tierce, quint, nominal, and the upper ones (hum to nominal read at a bell firm's; the rest F&R chapter
/// 21, from memory). Ratios to the strike note.
pub const BELL: &[(f64, f64)] = &[
    (0.5, -6.0),
    (1.0, -4.0),
    (1.2, -2.0),
    (1.5, -12.0),
    (2.0, 0.0),
    (2.5, -9.0),
    (2.67, -11.0),
    (3.0, -5.0),
    (4.0, -8.0),
    (5.3, -13.0),
];

/// A handbell: the second strong partial is a twelfth above (F&R chapter 21, from memory).
pub const HANDBELL: &[(f64, f64)] = &[(1.0, 0.0), (3.0, -5.0), (5.4, -16.0), (6.8, -18.0)];

/// A free round plate: Leissa, Vibration of Plates (NASA SP-160), Poisson's ratio 0.33, 5.253 : 9.084 : 12.23 : 20.52 : 21.6 : 33.1 :
/// 35.25 (from memory): crotales, discs.
pub const ROUND_PLATE: &[(f64, f64)] = &[
    (1.0, 0.0),
    (1.7293, -14.0),
    (2.3282, -6.0),
    (3.9064, -16.0),
    (4.1119, -9.0),
    (6.3012, -13.0),
    (6.7105, -18.0),
];

/// A free square plate: Leissa as above, Poisson's ratio 0.3, 13.49 : 19.79 : 24.43 : 35.02 : 61.53 (from memory): bell plates,
/// plates of steel.
pub const SQUARE_PLATE: &[(f64, f64)] = &[
    (1.0, 0.0),
    (1.4670, -3.0),
    (1.8110, -5.0),
    (2.5960, -6.0),
    (4.5612, -10.0),
    (5.9, -14.0),
    (7.7, -18.0),
];

/// A ring or the rim of a glass: n (n² - 1) / sqrt(n² + 1) (Rayleigh, Theory of Sound, on rings; computed).
pub const RIM: &[(f64, f64)] = &[(1.0, 0.0), (2.8284, -6.0), (5.4233, -12.0), (8.7706, -18.0)];

/// A skin by itself: zeros of Bessel's functions (computed): 2.4048, 3.8317, 5.1356, 5.5201, 6.3802, 7.0156, 7.5883, 8.4172.
pub const SKIN: &[(f64, f64)] = &[
    (1.0, 0.0),
    (1.5933, -3.0),
    (2.1355, -7.0),
    (2.2954, -8.0),
    (2.6531, -10.0),
    (2.9173, -12.0),
    (3.1555, -14.0),
    (3.5001, -16.0),
];

/// A timpano: air brings the partials that are heard to 1 : 1.5 : 2 : 2.44 : 2.9; the round one, near 0.85, is strong and short (F&R chapter
/// 18, from memory).
pub const TIMPANO: &[(f64, f64)] =
    &[(0.85, -10.0), (1.0, 0.0), (1.504, -4.0), (1.742, -14.0), (1.99, -9.0), (2.44, -13.0), (2.89, -16.0)];

/// A pan of a steel drum: tuned to octave and twelfth (F&R chapter 20, from memory).
pub const STEEL_PAN: &[(f64, f64)] = &[(1.0, 0.0), (2.0, -3.0), (3.0, -8.0), (4.02, -12.0), (5.1, -18.0)];

/// A bossed gong: the octave is tuned (F&R chapter 20, from memory).
pub const BOSSED_GONG: &[(f64, f64)] = &[(1.0, 0.0), (2.0, -4.0), (2.95, -10.0), (3.9, -13.0), (5.4, -18.0)];

/// A string: whole multiples.
pub const STRING: &[(f64, f64)] =
    &[(1.0, 0.0), (2.001, -3.0), (3.003, -6.0), (4.008, -9.0), (5.014, -12.0), (6.025, -15.0), (7.04, -18.0)];

/// A block with a slot: few broad partials (levels and ratios measured on recordings that are no part of this program).
pub const BLOCK: &[(f64, f64)] = &[(1.0, 0.0), (1.63, -5.0), (2.51, -10.0), (3.6, -16.0)];

impl Body {
    /// A body with partials in these ratios above `hz`.
    pub fn of(ratios: &[(f64, f64)], hz: f64, ring: Ring) -> Self {
        let partials = ratios
            .iter()
            .map(|(ratio, db)| Partial { hz: hz * ratio, db: *db, t60_s: ring.at(hz * ratio), grows_s: 0.0 })
            .collect();
        Self { partials, noises: Vec::new(), soft: 1.0, spread_db: 1.0, level_db: -6.0 }
    }

    /// A body of many partials without order, from `low` to `high` hertz: cymbals, gongs, anvils. The density of a plate's partials
    /// is the same everywhere (F&R chapter 3), so they are drawn evenly, here with a little more room at the top.
    pub fn dense(count: usize, (low, high): (f64, f64), ring: Ring, grows_s: f64, seed: u64) -> Self {
        let mut dice = Dice::new(seed);
        let partials = (0..count)
            .map(|n| {
                let place = (n as f64 + dice.even()) / count.max(1) as f64;
                let hz = low + (high - low) * place.powf(1.3);
                // High ones are fed by low ones and come later (F&R chapter 20 on cymbals, from memory).
                Partial {
                    hz,
                    db: -12.0 * dice.even() - 6.0 * place,
                    t60_s: ring.at(hz),
                    grows_s: grows_s * place,
                }
            })
            .collect();
        Self { partials, noises: Vec::new(), soft: 1.0, spread_db: 2.0, level_db: -4.0 }
    }

    /// With a tap of the beater: a burst of noise around `hz`.
    #[must_use]
    pub fn tap(mut self, hz: f64, db: f64) -> Self {
        let burst = Noise {
            low_hz: hz * 0.6,
            high_hz: hz * 1.6,
            db,
            t60_s: 0.02,
            lasts_s: 0.0,
            grains_s: 0.0,
            mix: 0.2,
        };
        self.noises.push(burst);
        self
    }

    /// With noise that lasts: snares.
    #[must_use]
    pub fn rustle(mut self, (low_hz, high_hz): (f64, f64), db: f64, t60_s: f64) -> Self {
        self.noises.push(Noise { low_hz, high_hz, db, t60_s, lasts_s: 0.0, grains_s: 0.0, mix: 0.3 });
        self
    }

    /// With grains: beads, jingles, teeth.
    #[must_use]
    pub fn grains(mut self, (low_hz, high_hz): (f64, f64), lasts_s: f64, grains_s: f64) -> Self {
        self.noises.push(Noise { low_hz, high_hz, db: 0.0, t60_s: 0.03, lasts_s, grains_s, mix: 0.5 });
        self
    }

    /// That gives way, so that a beater touches it longer.
    #[must_use]
    pub const fn soft(mut self, times: f64) -> Self {
        self.soft = times;
        self
    }

    /// With the strongest of its partials alone: the pitch that is heard, where the strongest one says it.
    pub fn strongest_hz(&self) -> Option<f64> {
        self.partials.iter().max_by(|a, b| a.db.total_cmp(&b.db)).map(|partial| partial.hz)
    }
}
