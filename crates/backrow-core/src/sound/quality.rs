//! What a sound may be more or less of, as players say it.

use super::likeness::at;
use super::{Figure, Measure, Measures};
use std::fmt;

/// A way in which a sound may differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the words say themselves")]
pub enum Quality {
    Brighter,
    Darker,
    Longer,
    Shorter,
    Higher,
    Lower,
    Clearer,
    Noisier,
    Harder,
    Softer,
}

impl Quality {
    /// All, each beside its opposite; a clear sound is not simply one without noise, so those two are measured apart.
    pub const ALL: [Self; 10] = [
        Self::Brighter,
        Self::Darker,
        Self::Longer,
        Self::Shorter,
        Self::Higher,
        Self::Lower,
        Self::Clearer,
        Self::Noisier,
        Self::Harder,
        Self::Softer,
    ];

    /// The word for screens, files and commands.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Brighter => "brighter",
            Self::Darker => "darker",
            Self::Longer => "longer",
            Self::Shorter => "shorter",
            Self::Higher => "higher",
            Self::Lower => "lower",
            Self::Clearer => "clearer",
            Self::Noisier => "noisier",
            Self::Harder => "harder",
            Self::Softer => "softer",
        }
    }

    /// That of a word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|quality| quality.word() == word)
    }

    /// The measure that it is told by; for hard and soft see [`Quality::amount`].
    pub const fn measure(self) -> Measure {
        match self {
            Self::Brighter | Self::Darker => Measure::Brightness,
            Self::Longer | Self::Shorter => Measure::Ring,
            Self::Higher | Self::Lower => Measure::Pitch,
            Self::Clearer => Measure::Clarity,
            Self::Noisier => Measure::Flatness,
            Self::Harder | Self::Softer => Measure::Attack,
        }
    }

    /// How much of it a strike has, on a scale on which equal steps are heard as about equal; `None` where it was not heard.
    ///
    /// Brightness, ring and pitch count in octaves (doublings), clarity as a share, noise in tens of dB of flatness. Hard and soft
    /// are told by the stroke alone: by how much brighter the first 50 ms are than the sound a quarter of a second later, and by the
    /// attack, a doubling of which counts half. That definition is this program's own.
    pub fn amount(self, measures: &Measures) -> Option<f64> {
        let value = |figure: Option<Figure>| figure.map(|figure| figure.value);
        let amount = match self {
            Self::Brighter | Self::Darker => value(measures.brightness_hz)?.log2(),
            Self::Longer | Self::Shorter => value(measures.ring_s.or(measures.early_ring_s))?.log2(),
            Self::Higher | Self::Lower => value(measures.pitch.map(|pitch| pitch.hz))?.log2(),
            Self::Clearer => value(measures.pitch.map(|pitch| pitch.clarity))?,
            Self::Noisier => value(measures.flatness)?.max(1e-5).log10(),
            Self::Harder | Self::Softer => {
                let first = value(measures.brightness_at_strike_hz)?;
                let after = value(measures.brightness_after_hz.or(measures.brightness_hz))?;
                (first / after).log2() - 0.5 * value(measures.attack_s)?.log2()
            }
        };
        let less = matches!(self, Self::Darker | Self::Shorter | Self::Lower | Self::Softer);
        amount.is_finite().then_some(if less { -amount } else { amount })
    }

    /// What it is more or less of, with its opposite; clear and noisy sounds are two things.
    pub(super) const fn aspect(self) -> &'static str {
        match self {
            Self::Brighter | Self::Darker => "brightness",
            Self::Longer | Self::Shorter => "ring",
            Self::Higher | Self::Lower => "pitch",
            Self::Clearer => "clarity",
            Self::Noisier => "noisiness",
            Self::Harder | Self::Softer => "hardness of the stroke",
        }
    }

    /// The step that is just noticeable, on the scale of [`Quality::amount`]: a tenth in brightness, a fifth in the ring, a
    /// quarter of a tone. Ours, from trials; for clarity, noise and hardness by feel.
    pub const fn step(self) -> f64 {
        match self {
            Self::Brighter | Self::Darker => 0.14,
            Self::Longer | Self::Shorter => 0.26,
            Self::Higher | Self::Lower => 0.04,
            Self::Clearer => 0.05,
            Self::Noisier | Self::Harder | Self::Softer => 0.2,
        }
    }

    /// The numbers of the likeness that move along with it and say nothing against an answer.
    pub(super) const fn twins(self) -> &'static [usize] {
        match self {
            Self::Brighter | Self::Darker => &[at::BRIGHTNESS, at::AT_STRIKE],
            Self::Longer | Self::Shorter => &[at::EARLY, at::RING],
            Self::Higher | Self::Lower => &[at::PITCH],
            Self::Clearer => &[at::TONAL, at::STRONGEST, at::FLATNESS],
            Self::Noisier => &[at::FLATNESS, at::TONAL],
            Self::Harder | Self::Softer => &[at::ATTACK, at::AT_STRIKE, at::DARKENING],
        }
    }

    /// The opposite.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Brighter => Self::Darker,
            Self::Darker => Self::Brighter,
            Self::Longer => Self::Shorter,
            Self::Shorter => Self::Longer,
            Self::Higher => Self::Lower,
            Self::Lower => Self::Higher,
            Self::Clearer => Self::Noisier,
            Self::Noisier => Self::Clearer,
            Self::Harder => Self::Softer,
            Self::Softer => Self::Harder,
        }
    }
}

impl fmt::Display for Quality {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
