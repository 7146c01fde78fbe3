//! Bells: their partials by name, the note that an ear hears, and how far each partial lies from the pattern of its sort.

use super::{cents, raised};

/// A partial of a bell that has a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the trade’s words, as a bell firm’s page has them (seen)")]
pub enum Partial {
    Hum,
    Prime,
    Tierce,
    Quint,
    Nominal,
    Superquint,
    OctaveNominal,
}

impl Partial {
    /// All, from low to high.
    pub const ALL: [Self; 7] = [
        Self::Hum,
        Self::Prime,
        Self::Tierce,
        Self::Quint,
        Self::Nominal,
        Self::Superquint,
        Self::OctaveNominal,
    ];

    /// The word for screens and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hum => "hum",
            Self::Prime => "prime",
            Self::Tierce => "tierce",
            Self::Quint => "quint",
            Self::Nominal => "nominal",
            Self::Superquint => "superquint",
            Self::OctaveNominal => "octave nominal",
        }
    }

    /// Its place in a just pattern, over the strike note: hum 1/2, prime 1, tierce 6/5 (a minor third), quint 3/2, nominal 2 (a
    /// bell firm’s page, seen), superquint 3, octave nominal 4 (the twelfth and the upper octave of an open
    /// encyclopaedia's page on the strike tone, seen; real ones lie higher, as the bell is thick).
    pub const fn just(self) -> f64 {
        match self {
            Self::Hum => 0.5,
            Self::Prime => 1.0,
            Self::Tierce => 1.2,
            Self::Quint => 1.5,
            Self::Nominal => 2.0,
            Self::Superquint => 3.0,
            Self::OctaveNominal => 4.0,
        }
    }
}

/// What a bell is by its body: by that go the names of its partials, the note that is heard, and whether published bells say
/// anything of its weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Body {
    /// Cast, of a church bell's profile.
    Cast,
    /// A tube.
    Tube,
    /// Plates, handbells and others: no pattern of theirs is agreed that was seen.
    Other,
}

impl Body {
    /// By the kind's id in the kinds table. Handbells are cast, too, but are tuned by another pattern, of which no source was seen.
    pub fn of_kind(kind: &str) -> Self {
        match kind {
            "church_bells" => Self::Cast,
            "tubular_bells" => Self::Tube,
            _ => Self::Other,
        }
    }

    /// What its partials are held against, in words; empty where there is nothing.
    pub const fn pattern(self) -> &'static str {
        match self {
            Self::Cast => "the just pattern",
            Self::Tube => "an ideal tube",
            Self::Other => "",
        }
    }

    /// The place of a partial over the strike note in the pattern of such bells; `None` where they have no such partial. A tube's
    /// modes 4, 5 and 6 stand where a cast bell has nominal, superquint and octave nominal, as the ear fills in 2 : 3 : 4. Of
    /// others only the note itself is known: the prime.
    pub fn place(self, partial: Partial) -> Option<f64> {
        let [four, five, six] = TUBE_MODES;
        match (self, partial) {
            (Self::Cast, _) => Some(partial.just()),
            (Self::Tube, Partial::Nominal) => Some(2.0),
            (Self::Tube, Partial::Superquint) => Some(2.0 * five / four),
            (Self::Tube, Partial::OctaveNominal) => Some(2.0 * six / four),
            (Self::Other, Partial::Prime) => Some(1.0),
            (Self::Tube | Self::Other, _) => None,
        }
    }

    /// The word for a partial of such a bell on screen: a tube has modes.
    pub const fn word(self, partial: Partial) -> &'static str {
        match (self, partial) {
            (Self::Tube, Partial::Nominal) => "mode 4",
            (Self::Tube, Partial::Superquint) => "mode 5",
            (Self::Tube, Partial::OctaveNominal) => "mode 6",
            _ => partial.word(),
        }
    }
}

/// The strike note of a cast bell, hertz: an octave below its nominal, even where the prime is off (a bell firm’s page, seen).
pub fn strike_from_nominal(nominal_hz: f64) -> f64 {
    nominal_hz / 2.0
}

/// What is known of a bell's partials, hertz, by name.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Partials(pub std::collections::BTreeMap<Partial, f64>);

impl Partials {
    /// The strike note, hertz: from the nominal, or a tube's fourth mode; where that is not known, from the prime, else twice the
    /// hum, which lie off in many bells. With the partial that it was taken from.
    pub fn strike(&self, body: Body) -> Option<(f64, Partial)> {
        [Partial::Nominal, Partial::OctaveNominal, Partial::Prime, Partial::Hum].into_iter().find_map(
            |partial| {
                let (hz, place) = (*self.0.get(&partial)?, body.place(partial)?);
                let strike = match (body, partial) {
                    (Body::Cast, Partial::Nominal) => strike_from_nominal(hz),
                    (Body::Tube, Partial::Nominal) => tube_strike(hz),
                    _ => hz / place,
                };
                Some((strike, partial))
            },
        )
    }

    /// How far each known partial lies from the pattern of its sort of bell over the strike note, cents, from low to high.
    pub fn from_just(&self, body: Body) -> Vec<(Partial, f64)> {
        let Some((strike, _)) = self.strike(body) else { return Vec::new() };
        let off =
            |(partial, hz): (&Partial, &f64)| Some((*partial, cents(*hz, strike * body.place(*partial)?)?));
        self.0.iter().filter_map(off).collect()
    }

    /// Names the partials of a take: those that lie nearest to the pattern of its sort of bell over a strike note, within a semitone
    /// and a half; a partial is named once, and the rest stay without a name.
    pub fn named(found_hz: &[f64], strike_hz: f64, body: Body) -> Self {
        let near = |partial: Partial| {
            let place = body.place(partial)?;
            let off = |hz: &f64| cents(*hz, strike_hz * place).map(f64::abs);
            let best =
                found_hz.iter().filter_map(|hz| Some((*hz, off(hz)?))).min_by(|a, b| a.1.total_cmp(&b.1));
            best.filter(|(_, off)| *off <= 150.0).map(|(hz, _)| (partial, hz))
        };
        Self(Partial::ALL.into_iter().filter_map(near).collect())
    }
}

/// The strike note that best explains the partials of a take: the one over which hum, prime, tierce, nominal and twelfth, or a tube's
/// modes 4 to 6, are found nearest to their places; each found partial is tried as the nominal, or as mode 4. `None` of fewer
/// than two partials, and where no pattern is agreed. With how many were found; fewer than three is a guess.
pub fn strike_of_take(found_hz: &[f64], body: Body) -> Option<(f64, usize)> {
    let of: fn(f64) -> f64 = match body {
        Body::Cast => strike_from_nominal,
        Body::Tube => tube_strike,
        Body::Other => return None,
    };
    let tried = found_hz.iter().map(|nominal| {
        let strike = of(*nominal);
        let named = Partials::named(found_hz, strike, body);
        let off: f64 = named.from_just(body).iter().map(|(_, off)| off.abs()).sum();
        // Each named partial counts for a semitone and a half less what it is off.
        (strike, named.0.len(), named.0.len() as f64 * 150.0 - off)
    });
    let best = tried.max_by(|a, b| a.2.total_cmp(&b.2))?;
    (found_hz.len() > 1).then_some((best.0, best.1))
}

/// Modes 4, 5 and 6 of a tube that is free at both ends go as 9^2 : 11^2 : 13^2, near 2 : 3 : 4 (an open encyclopaedia's page on
/// tubular bells, after Rossing, seen): the ear hears a note an octave below mode 4, where there is no mode.
pub const TUBE_MODES: [f64; 3] = [81.0, 121.0, 169.0];

/// The strike note of a tubular bell from its fourth mode, hertz.
pub fn tube_strike(mode_4_hz: f64) -> f64 {
    mode_4_hz / 2.0
}

/// How far modes 5 and 6 of an ideal tube lie from 3 : 2 and 4 : 2 over mode 4, cents: the third and fourth places of the
/// pattern that the ear fills in.
pub fn tube_from_just() -> [f64; 2] {
    let [four, five, six] = TUBE_MODES;
    [1200.0 * (five / four / 1.5).log2(), 1200.0 * (six / four / 2.0).log2()]
}

/// Two partials where one is meant: a bell that is not quite round has each mode twice, and they beat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Doublet {
    /// The lower, hertz.
    pub low_hz: f64,
    /// The higher, hertz.
    pub high_hz: f64,
}

impl Doublet {
    /// How often it warbles in a second: the difference.
    pub fn warble_hz(self) -> f64 {
        (self.high_hz - self.low_hz).abs()
    }
}

/// Pairs of partials that lie within a third of a semitone of each other. Each partial stands in one pair at most.
pub fn doublets(found_hz: &[f64]) -> Vec<Doublet> {
    let near = raised(1.0, 33.0);
    let mut sorted: Vec<f64> = found_hz.iter().copied().filter(|hz| hz.is_finite() && *hz > 0.0).collect();
    sorted.sort_by(f64::total_cmp);
    let (mut found, mut rest) = (Vec::new(), sorted.as_slice());
    while let [low, high, ..] = rest {
        let is_pair = *high <= low * near;
        if is_pair {
            found.push(Doublet { low_hz: *low, high_hz: *high });
        }
        rest = rest.get(if is_pair { 2 } else { 1 }..).unwrap_or_default();
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn just(strike: f64) -> Vec<f64> {
        Partial::ALL.iter().map(|partial| strike * partial.just()).collect()
    }

    #[test]
    fn a_just_bell_lies_on_the_pattern() {
        let named = Partials::named(&just(220.0), 220.0, Body::Cast);
        assert_eq!(named.0.len(), 7);
        assert_eq!(named.strike(Body::Cast).unwrap().1, Partial::Nominal);
        assert!(named.from_just(Body::Cast).iter().all(|(_, off)| off.abs() < 1e-9));
    }

    #[test]
    fn the_nominal_decides_and_not_the_prime() {
        let bell = Partials([(Partial::Prime, 230.0), (Partial::Nominal, 440.0)].into());
        let (strike, from) = bell.strike(Body::Cast).unwrap();
        assert!((strike - 220.0).abs() < 1e-9 && from == Partial::Nominal);
        let prime = bell.from_just(Body::Cast).into_iter().find(|(p, _)| *p == Partial::Prime).unwrap().1;
        assert!((prime - 1200.0 * (230.0_f64 / 220.0).log2()).abs() < 1e-9);
        assert_eq!(Partials::default().strike(Body::Cast), None);
    }

    /// A free tube's modes go as 3.011^2, 5^2, 7^2, 9^2, 11^2, 13^2; its note is an octave below the fourth, where it has no mode.
    #[test]
    fn a_tube_is_heard_an_octave_below_its_fourth_mode() {
        let modes = [3.011_f64, 5.0, 7.0, 9.0, 11.0, 13.0].map(|root| 880.0 * root * root / 81.0);
        let (strike, found) = strike_of_take(&modes, Body::Tube).unwrap();
        assert!((strike - 440.0).abs() < 1e-9 && found == 3, "{strike} by {found}");
        let named = Partials::named(&modes, strike, Body::Tube);
        assert_eq!(named.strike(Body::Tube).unwrap(), (strike, Partial::Nominal));
        assert!(named.from_just(Body::Tube).iter().all(|(_, off)| off.abs() < 1e-6), "{named:?}");
        // By a cast bell's pattern another note would be read, and its sixth mode be 73 cents sharp.
        assert!(named.from_just(Body::Cast).last().unwrap().1 > 70.0);
    }

    /// Nothing is read from a plate by a cast bell's pattern: only the note that somebody named.
    #[test]
    fn of_others_only_the_named_note_is_known() {
        assert_eq!(strike_of_take(&just(220.0), Body::Other), None);
        let plate = Partials([(Partial::Nominal, 440.0)].into());
        assert_eq!(plate.strike(Body::Other), None);
        let plate = Partials([(Partial::Prime, 220.0), (Partial::Nominal, 500.0)].into());
        assert_eq!(plate.strike(Body::Other).unwrap(), (220.0, Partial::Prime));
        assert_eq!(plate.from_just(Body::Other), [(Partial::Prime, 0.0)]);
        assert_eq!(
            ["church_bells", "tubular_bells", "handbells"].map(Body::of_kind),
            [Body::Cast, Body::Tube, Body::Other]
        );
    }

    #[test]
    fn a_pair_warbles_and_a_third_tone_does_not() {
        let pairs = doublets(&[264.0, 220.0, 221.5, 440.0, f64::NAN]);
        assert_eq!(pairs.len(), 1);
        assert!((pairs[0].warble_hz() - 1.5).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn a_take_of_a_bell_gives_its_strike_note(
            strike in 80.0..900.0_f64,
            off in proptest::collection::vec(-30.0..30.0_f64, 7),
        ) {
            let found: Vec<f64> = just(strike).iter().zip(&off).map(|(hz, cents)| raised(*hz, *cents)).collect();
            let (heard, named) = strike_of_take(&found, Body::Cast).unwrap();
            // The nominal decides: the fifth of them.
            prop_assert!((1200.0 * (heard / strike).log2() - off[4]).abs() < 1e-6);
            prop_assert!(named >= 6);
        }
    }
}
