//! The measures by name, each with its definition, to be shown on demand.

use super::{Figure, Measures};

/// What a measure is, so that somebody else could work it out again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Definition {
    /// For screens and tables.
    pub name: &'static str,
    /// The unit; empty for a share or ratio.
    pub unit: &'static str,
    /// How it is worked out, in whole sentences.
    pub what: &'static str,
    /// How its uncertainty is worked out.
    pub uncertainty: &'static str,
    /// Where the definition comes from.
    pub source: &'static str,
}

/// The figures that a strike can be placed by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the definition of each says it")]
pub enum Measure {
    Pitch,
    Clarity,
    Brightness,
    BrightnessAtStrike,
    BrightnessAfter,
    Ring,
    EarlyRing,
    Attack,
    Roughness,
    Beats,
    Loudness,
    TruePeak,
    Flatness,
    Tonal,
    Strongest,
    Inharmonicity,
}

impl Measure {
    /// All, in order.
    pub const ALL: [Self; 16] = [
        Self::Pitch,
        Self::Clarity,
        Self::Brightness,
        Self::BrightnessAtStrike,
        Self::BrightnessAfter,
        Self::Ring,
        Self::EarlyRing,
        Self::Attack,
        Self::Roughness,
        Self::Beats,
        Self::Loudness,
        Self::TruePeak,
        Self::Flatness,
        Self::Tonal,
        Self::Strongest,
        Self::Inharmonicity,
    ];

    /// The figure of a strike, in the measure's unit; `None` where it was not heard.
    pub fn of(self, measures: &Measures) -> Option<Figure> {
        match self {
            Self::Pitch => measures.pitch.map(|pitch| pitch.hz),
            Self::Clarity => measures.pitch.map(|pitch| pitch.clarity),
            Self::Brightness => measures.brightness_hz,
            Self::BrightnessAtStrike => measures.brightness_at_strike_hz,
            Self::BrightnessAfter => measures.brightness_after_hz,
            Self::Ring => measures.ring_s,
            Self::EarlyRing => measures.early_ring_s,
            Self::Attack => measures.attack_s,
            Self::Roughness => measures.roughness,
            Self::Beats => measures.beating.map(|beating| beating.rate_hz),
            Self::Loudness => measures.loudness_lufs,
            Self::TruePeak => measures.true_peak_dbtp,
            Self::Flatness => measures.flatness,
            Self::Tonal => measures.tonal,
            Self::Strongest => measures.strongest,
            Self::Inharmonicity => measures.inharmonicity,
        }
    }

    /// Whether equal ratios of it are heard as equal steps, so that a scale of it is logarithmic.
    pub const fn by_ratio(self) -> bool {
        matches!(
            self,
            Self::Pitch
                | Self::Brightness
                | Self::BrightnessAtStrike
                | Self::BrightnessAfter
                | Self::Ring
                | Self::EarlyRing
                | Self::Attack
                | Self::Beats
        )
    }

    /// The stable word for files and scripts, with the unit at its end.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pitch => "pitch_hz",
            Self::Clarity => "clarity",
            Self::Brightness => "brightness_hz",
            Self::BrightnessAtStrike => "brightness_at_strike_hz",
            Self::BrightnessAfter => "brightness_after_hz",
            Self::Ring => "ring_s",
            Self::EarlyRing => "early_ring_s",
            Self::Attack => "attack_s",
            Self::Roughness => "roughness",
            Self::Beats => "beats_hz",
            Self::Loudness => "loudness_lufs",
            Self::TruePeak => "true_peak_dbtp",
            Self::Flatness => "flatness",
            Self::Tonal => "tonal",
            Self::Strongest => "strongest",
            Self::Inharmonicity => "inharmonicity",
        }
    }

    /// What it is.
    pub const fn definition(self) -> &'static Definition {
        match self {
            Self::Pitch => &PITCH,
            Self::Clarity => &CLARITY,
            Self::Brightness => &BRIGHTNESS,
            Self::BrightnessAtStrike => &AT_STRIKE,
            Self::BrightnessAfter => &AFTER,
            Self::Ring => &RING,
            Self::EarlyRing => &EARLY,
            Self::Attack => &ATTACK,
            Self::Roughness => &ROUGHNESS,
            Self::Beats => &BEATS,
            Self::Loudness => &LOUDNESS,
            Self::TruePeak => &PEAK,
            Self::Flatness => &FLATNESS,
            Self::Tonal => &TONAL,
            Self::Strongest => &STRONGEST,
            Self::Inharmonicity => &INHARMONICITY,
        }
    }
}

const OURS: &str = "a definition of this program’s own";

const PITCH: Definition = Definition {
    name: "Pitch",
    unit: "Hz",
    what: "The frequency of the partial with the most energy from the strike on. Bars, blocks and most drums are heard at it; \
        bells and gongs may be heard elsewhere, and then it is said that the pitch is open.",
    uncertainty: "The standard deviation of the slope of the partial’s phase against time.",
    source: "the partial as under Partials; the choice of the partial is this program’s own",
};
const CLARITY: Definition = Definition {
    name: "Clarity of pitch",
    unit: "",
    what: "The share of the sound’s energy between 35 and 300 ms that lies in partials, times the share that the partial of the \
        pitch, and those within 50 cents of its whole multiples, have in the energy of all partials.",
    uncertainty: "From the noise under the partials and the uncertainty of their decays.",
    source: OURS,
};
const BRIGHTNESS: Definition = Definition {
    name: "Brightness",
    unit: "Hz",
    what: "The spectral centroid, weighted by amplitude: the mean of the frequencies of spectra of 43 ms, each by its \
        amplitude, over the first half second, each spectrum by its energy. The noise under the recording is taken off.",
    uncertainty: "What the noise in each frequency does to the mean, worked out by first derivatives.",
    source: "spectral centroid as in ISO/IEC 15938-4 (audio descriptors), with amplitude as weight; times are this program’s own",
};
const AT_STRIKE: Definition = Definition {
    name: "Brightness at the strike",
    unit: "Hz",
    what: "The spectral centroid as under Brightness, over the first 50 ms.",
    uncertainty: BRIGHTNESS.uncertainty,
    source: BRIGHTNESS.source,
};
const AFTER: Definition = Definition {
    name: "Brightness after",
    unit: "Hz",
    what: "The spectral centroid as under Brightness, between 200 and 300 ms after the strike.",
    uncertainty: BRIGHTNESS.uncertainty,
    source: BRIGHTNESS.source,
};
const RING: Definition = Definition {
    name: "Ring",
    unit: "s",
    what: "The time in which the sound falls by 60 dB. The squared sound is integrated backwards, the noise taken off, and a \
        straight line fitted between 5 and 25 dB under the beginning, or to -20 or -15 dB where the noise begins before.",
    uncertainty: "The standard deviation of the line’s slope, from what the curve leaves the line by.",
    source: "ISO 3382-1, reverberation time T20 by the integrated impulse response, applied to the sound itself",
};
const EARLY: Definition = Definition {
    name: "Early ring",
    unit: "s",
    what: "As Ring, with the line fitted to the first 10 dB.",
    uncertainty: RING.uncertainty,
    source: "ISO 3382-1, early decay time, applied to the sound itself",
};
const ATTACK: Definition = Definition {
    name: "Attack",
    unit: "s",
    what: "The time from a tenth to nine tenths of the greatest level of the first 200 ms, the level taken over 2 ms.",
    uncertainty: "The step of the level and the noise against the slope of the rise.",
    source: "log attack time, ISO/IEC 15938-4 (there the decimal logarithm of such a time; its thresholds are left to the user)",
};
const ROUGHNESS: Definition = Definition {
    name: "Roughness",
    unit: "",
    what: "Every pair of partials adds the softer amplitude times a curve that is greatest at a quarter of the critical \
        bandwidth; the sum is divided by the sum of the amplitudes and cut at 1.",
    uncertainty: "A tenth of it: the curve is a fit to the answers of listeners.",
    source: "Plomp and Levelt 1965, in the parametrisation of Sethares 1993 (constants from memory)",
};
const BEATS: Definition = Definition {
    name: "Beats",
    unit: "Hz",
    what: "The difference of two partials less than 30 Hz apart of which the weaker stands within 20 dB, or the period of the \
        rise and fall of one partial that cannot be parted further.",
    uncertainty: "Of both frequencies together, or the width of the peak in the spectrum of the rise and fall.",
    source: OURS,
};
const LOUDNESS: Definition = Definition {
    name: "Loudness",
    unit: "LUFS",
    what: "The greatest momentary loudness: K-weighted power over 400 ms, read every 10 ms, one channel. For matching levels only: \
        it depends on the microphone and its gain.",
    uncertainty: "What the noise of the recording adds.",
    source: "ITU-R BS.1770; momentary as in EBU Tech 3341",
};
const PEAK: Definition = Definition {
    name: "True peak",
    unit: "dBTP",
    what: "The greatest value between the samples too, by fourfold oversampling.",
    uncertainty: "0.1 dB under, from the finite oversampling.",
    source: "ITU-R BS.1770, annex 2",
};
const FLATNESS: Definition = Definition {
    name: "Noisiness",
    unit: "",
    what: "The geometric over the arithmetic mean of the power spectrum between 100 Hz and 10 kHz, 35 to 300 ms after the \
        strike, noise taken off: near 1 for noise, near 0 for a tone.",
    uncertainty: "A tenth of it, for the few spectra that are averaged.",
    source: "spectral flatness as in ISO/IEC 15938-4, in one band",
};
const TONAL: Definition = Definition {
    name: "Tonal share",
    unit: "",
    what: "The share of the energy between 35 and 300 ms that lies within two bins of a partial.",
    uncertainty: "From the noise in these bins.",
    source: OURS,
};
const STRONGEST: Definition = Definition {
    name: "Share of the strongest partial",
    unit: "",
    what: "The energy of the strongest partial from the strike on over that of all partials.",
    uncertainty: "From the uncertainty of the partials' decays.",
    source: OURS,
};
const INHARMONICITY: Definition = Definition {
    name: "Inharmonicity",
    unit: "",
    what: "How far each partial is from the nearest whole multiple of the lowest strong one, weighted by energy: 0 for a string, \
        up to 0.5.",
    uncertainty: "From the uncertainty of the frequencies.",
    source: OURS,
};

/// What the list of partials is.
pub const PARTIALS: Definition = Definition {
    name: "Partials",
    unit: "Hz, dB, s",
    what: "Peaks of spectra of 1.4, 0.35, 0.09 and 0.03 s that stand 12 dB above the noise and above what surrounds them. The sound \
        is then shifted down by each such frequency and smoothed; the line through the phase is its exact frequency, the line \
        through the logarithm of the magnitude its decay, over the first 35 dB.",
    uncertainty: "The standard deviations of the slopes of both lines; that of the decay is widened by 1.3, as trials with known \
        decays ask for. Of the level: the deviation of the second line’s height where it is drawn back to the strike, widened \
        likewise, what 0.4 ms at the strike’s beginning make of it, and 0.1 dB for the blow itself.",
    source: "a definition of this program’s own from common signal processing",
};

/// What the coarse spectrum is.
pub const COARSE_SPECTRUM: Definition = Definition {
    name: "Coarse spectrum",
    unit: "dB",
    what: "The level in thirteen bands of two thirds of an octave from 50 Hz up, in three slices (0 to 40, 40 to 160, 160 to 600 ms \
        after the strike), under the strike’s own total. It is used for likeness.",
    uncertainty: "None is stated.",
    source: OURS,
};

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_measure_is_defined_once() {
        let words: BTreeSet<&str> = Measure::ALL.iter().map(|one| one.word()).collect();
        let names: BTreeSet<&str> = Measure::ALL.iter().map(|one| one.definition().name).collect();
        assert_eq!((words.len(), names.len()), (Measure::ALL.len(), Measure::ALL.len()));
        for one in Measure::ALL.iter().map(|one| one.definition()).chain([&PARTIALS, &COARSE_SPECTRUM]) {
            for text in [one.what, one.uncertainty] {
                assert!(text.ends_with('.') && !text.contains("  "), "{text}");
            }
            assert!(!one.source.is_empty());
        }
    }

    #[test]
    fn silence_has_no_figures() {
        assert!(Measure::ALL.iter().all(|one| one.of(&Measures::NOTHING).is_none()));
    }
}
