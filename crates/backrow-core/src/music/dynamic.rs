//! How loud: the signs of a part, and what a passage spans.

use std::fmt;

/// Dynamics, from soft to loud.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the signs say themselves")]
pub enum Dynamic {
    Pppp,
    Ppp,
    Pp,
    P,
    Mp,
    Mf,
    F,
    Ff,
    Fff,
    Ffff,
}

impl Dynamic {
    /// All, from soft to loud.
    pub const ALL: [Self; 10] = [
        Self::Pppp,
        Self::Ppp,
        Self::Pp,
        Self::P,
        Self::Mp,
        Self::Mf,
        Self::F,
        Self::Ff,
        Self::Fff,
        Self::Ffff,
    ];

    /// The sign: "mf".
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Pppp => "pppp",
            Self::Ppp => "ppp",
            Self::Pp => "pp",
            Self::P => "p",
            Self::Mp => "mp",
            Self::Mf => "mf",
            Self::F => "f",
            Self::Ff => "ff",
            Self::Fff => "fff",
            Self::Ffff => "ffff",
        }
    }

    /// The dynamic of a sign; accents such as "sfz" count as forte, "fp" as piano. `None` for other signs.
    pub fn of_sign(sign: &str) -> Option<Self> {
        Some(match sign {
            "pppp" | "ppppp" | "pppppp" => Self::Pppp,
            "ppp" => Self::Ppp,
            "pp" | "sfpp" => Self::Pp,
            "p" | "fp" | "sfp" | "pf" => Self::P,
            "mp" => Self::Mp,
            "mf" => Self::Mf,
            "f" | "fz" | "sf" | "sfz" | "rf" | "rfz" => Self::F,
            "ff" | "sffz" => Self::Ff,
            "fff" => Self::Fff,
            "ffff" | "fffff" | "ffffff" => Self::Ffff,
            _ => return None,
        })
    }
}

/// The softest and the loudest dynamic of a stretch of music; the first is never the louder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Dynamics {
    softest: Dynamic,
    loudest: Dynamic,
}

impl Dynamics {
    /// From one dynamic to another, in either order.
    pub fn new(one: Dynamic, other: Dynamic) -> Self {
        Self { softest: one.min(other), loudest: one.max(other) }
    }

    /// What several dynamics span; `None` of none.
    pub fn spanned(mut all: impl Iterator<Item = Dynamic>) -> Option<Self> {
        let first = all.next()?;
        Some(all.fold(Self::new(first, first), |sum, level| sum.joined(Self::new(level, level))))
    }

    /// What both span.
    #[must_use]
    pub fn joined(self, other: Self) -> Self {
        Self { softest: self.softest.min(other.softest), loudest: self.loudest.max(other.loudest) }
    }

    /// The softest.
    pub const fn softest(self) -> Dynamic {
        self.softest
    }

    /// The loudest.
    pub const fn loudest(self) -> Dynamic {
        self.loudest
    }

    /// Reads "mf" or "p-ff", as [`Dynamics::ascii`] writes them; `None` for anything else.
    pub fn parse(text: &str) -> Option<Self> {
        let (one, other) = text.split_once(['-', '–']).unwrap_or((text, text));
        Some(Self::new(Dynamic::of_sign(one)?, Dynamic::of_sign(other)?))
    }

    /// "mf" or "p-ff".
    pub fn ascii(self) -> String {
        self.words("-")
    }

    fn words(self, dash: &str) -> String {
        let (softest, loudest) = (self.softest.sign(), self.loudest.sign());
        if softest == loudest { softest.to_owned() } else { format!("{softest}{dash}{loudest}") }
    }
}

impl fmt::Display for Dynamics {
    /// "mf" or "p–ff".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.words("–"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_span_is_read_as_it_is_written() {
        for one in Dynamic::ALL {
            assert_eq!(Dynamic::of_sign(one.sign()), Some(one));
            for other in Dynamic::ALL {
                let both = Dynamics::new(one, other);
                assert_eq!(Dynamics::parse(&both.ascii()), Some(both));
                assert_eq!(Dynamics::parse(&both.to_string()), Some(both));
                assert!(both.softest() <= both.loudest());
            }
        }
        assert_eq!(Dynamics::parse("F5"), None);
        assert_eq!(Dynamics::parse("p-"), None);
    }
}
