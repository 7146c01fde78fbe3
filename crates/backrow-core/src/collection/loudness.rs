//! How loud a kind can be for who stands beside it.

/// How loud a kind can be at arm's length, struck or sounded as hard as parts ask. Common practice; no measured figures: a
/// warning about ears, never a promise about what is not marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Loudness {
    /// Loud over a passage: crash cymbals, snare drum, drum kit.
    Loud,
    /// Can exceed 110 dB: anvil, large bells, police whistle.
    VeryLoud,
    /// A bang at once: pistol, cannon, a hammer on a box.
    Bang,
}

impl Loudness {
    /// All, the least first.
    pub const ALL: [Self; 3] = [Self::Loud, Self::VeryLoud, Self::Bang];

    /// The word for screens and files: "loud", "very loud", "bang".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Loud => "loud",
            Self::VeryLoud => "very loud",
            Self::Bang => "bang",
        }
    }
}
