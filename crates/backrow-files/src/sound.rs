//! Recordings: any common kind of audio file in, FLAC and WAV out. What they sound like is for `backrow-sound`.

mod decode;
mod flac;
mod remembered;
mod wav;

pub use decode::{ENDINGS, MOST_AUDIO_BYTES, MOST_SAMPLES, Recording, read, read_file};
pub use flac::flac;
pub use remembered::{recall, remember};
pub use wav::wav;

/// How exactly samples are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Depth {
    /// 16 bits: enough to listen to.
    Sixteen,
    /// 24 bits: what a decay into silence deserves.
    #[default]
    TwentyFour,
}

impl Depth {
    /// Bits of a sample.
    pub const fn bits(self) -> u16 {
        match self {
            Self::Sixteen => 16,
            Self::TwentyFour => 24,
        }
    }

    /// A sample as a whole number; what is beyond full scale is cut off there, and what is no number is silence.
    fn whole(self, value: f32) -> i32 {
        let full = f64::from(1_i32 << (self.bits() - 1));
        let scaled = (f64::from(value) * full).round().clamp(-full, full - 1.0);
        #[expect(clippy::cast_possible_truncation, reason = "24 bits at most; no number becomes 0")]
        let whole = scaled as i32;
        whole
    }
}

#[cfg(test)]
mod tests;
