//! How a thing is carried: people, wheels, or lifting gear. The one rule; screen, changes, load lists and tables ask here.
//!
//! It plans and never permits: what the figures do not allow for two people is offered to nobody, however many there are.

mod typed;

pub use typed::{pieces_of, pieces_text};

use crate::collection::{Instrument, Piece, Shape};
use crate::lifting::{FILTER_MEN_KG, Guidance, TEAM_OF_TWO_KG};
use std::fmt;

/// What carrying a piece, or a thing as it stands, asks for. In order of what has to be got: the last asks most.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Carrying {
    /// Nobody has said what it weighs, nor how many carry it.
    #[default]
    Unknown,
    /// So many people carry it.
    People(u32),
    /// It goes on wheels of its own, pushed by so many.
    Rolls {
        /// Who push it.
        people: u32,
        /// Too heavy for two to lift: over a step or a kerb it needs gear.
        heavy: bool,
    },
    /// Above what the published figure allows for two, and no wheels of its own: no number of people is offered.
    Gear,
}

/// The words for [`Carrying::Gear`], the same wherever they are shown.
pub const GEAR: &str = "lifting gear and qualified people";

impl Carrying {
    /// The rule: one person up to [`FILTER_MEN_KG`], two up to [`TEAM_OF_TWO_KG`], beyond that nobody; what rolls on its own
    /// wheels is pushed by one or two. `stated` is what the section says (0 for nothing): it may ask for more people, never
    /// for fewer, and never for people where the figure asks for gear.
    pub fn of(kg: Option<f64>, stated: u32, rolls: bool) -> Self {
        let Some(kg) = kg.filter(|kg| kg.is_finite() && *kg > 0.0) else {
            return match (stated, rolls) {
                (0, _) => Self::Unknown,
                (people, true) => Self::Rolls { people, heavy: false },
                (people, false) => Self::People(people),
            };
        };
        let not_for_one = Guidance::of(kg).is_some_and(|guidance| guidance.not_for_one());
        let people = (1 + u32::from(not_for_one)).max(stated);
        let heavy = kg > TEAM_OF_TWO_KG;
        match (rolls, heavy) {
            (true, heavy) => Self::Rolls { people, heavy },
            (false, true) => Self::Gear,
            (false, false) => Self::People(people),
        }
    }

    /// Of one piece.
    pub fn of_piece(piece: &Piece) -> Self {
        Self::of(piece.mass.map(|mass| mass.kg), piece.people, has_own_wheels(&piece.wheels))
    }

    /// Of a thing as it stands set up, with what lies or hangs on it: it rolls when a piece of it does; else it is lifted whole,
    /// or piece by piece where that asks less.
    pub fn of_set_up<'a>(thing: &'a Instrument, along: impl IntoIterator<Item = &'a Instrument>) -> Self {
        let pieces = || thing.pieces.iter();
        let by_piece = pieces().map(Self::of_piece).max();
        if by_piece == Some(Self::Gear) {
            return Self::Gear;
        }
        let kg_of = |thing: &Instrument| thing.whole_mass().map(|mass| mass.kg);
        let along: Vec<f64> = along.into_iter().filter_map(kg_of).collect();
        let kg = match (kg_of(thing), along.as_slice()) {
            (None, []) => None,
            (own, along) => Some(own.unwrap_or(0.0) + along.iter().sum::<f64>()),
        };
        let stated = pieces().map(|piece| piece.people).max().unwrap_or(0);
        let whole = Self::of(kg, stated, pieces().any(|piece| has_own_wheels(&piece.wheels)));
        match by_piece {
            Some(by_piece) if whole == Self::Gear => by_piece,
            _ => whole,
        }
    }

    /// How many people; `None` where none is offered or nothing is known.
    pub const fn people(self) -> Option<u32> {
        match self {
            Self::People(people) | Self::Rolls { people, .. } => Some(people),
            Self::Unknown | Self::Gear => None,
        }
    }

    /// The greater demand of two: gear before people, more people before fewer, what is not known last.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        let rank = |one: Self| (one == Self::Gear, one.people(), one);
        if rank(other) > rank(self) { other } else { self }
    }
}

impl fmt::Display for Carrying {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown => f.write_str("mass not known"),
            Self::Gear => f.write_str(GEAR),
            Self::People(people) => f.write_str(&people_words(*people)),
            Self::Rolls { people, heavy } => {
                write!(f, "rolls, {}", people_words(*people))?;
                if *heavy { write!(f, "; over a step: {GEAR}") } else { Ok(()) }
            }
        }
    }
}

/// What the worst of many asks for, in words: "1 person", "2 people at most", or the gear.
pub fn at_most(worst: Carrying) -> String {
    match worst.people() {
        Some(people) if people > 1 => format!("{} at most", people_words(people)),
        Some(people) => people_words(people),
        None => worst.to_string(),
    }
}

/// "1 person", "2 people".
pub fn people_words(people: u32) -> String {
    if people == 1 { "1 person".to_owned() } else { format!("{people} people") }
}

/// Whether the words for wheels mean wheels of its own: "own, 4", "4 castors". A truck has first to be loaded, so it does not
/// count.
pub fn has_own_wheels(words: &str) -> bool {
    let words = words.trim().to_lowercase();
    let begins = ["own", "castor", "caster", "wheel", "on wheels"].iter().any(|word| words.starts_with(word));
    let counted = words.starts_with(|c: char| c.is_ascii_digit())
        && ["castor", "caster", "wheel"].iter().any(|word| words.contains(word));
    begins || counted
}

/// Whether a sheet or panel that shows the instrument carries the caution on lifting: it hangs, or one of its pieces is not for
/// one person.
pub fn needs_caution(thing: &Instrument) -> bool {
    let heaviest =
        thing.carried().iter().filter_map(|piece| piece.mass).map(|mass| mass.kg).fold(0.0, f64::max);
    matches!(thing.footprint.shape, Shape::Hung { .. }) || heaviest > FILTER_MEN_KG
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::Mass;
    use crate::sample::instrument;
    use rstest::rstest;

    // HSE L23: 25 kg for one man at best; two people two thirds of the sum, 2/3 * 50 = 33.3 kg.
    #[rstest]
    #[case(12.0, 0, "", Carrying::People(1))]
    #[case(25.0, 0, "", Carrying::People(1))]
    #[case(25.1, 0, "", Carrying::People(2))]
    #[case(33.3, 0, "", Carrying::People(2))]
    #[case(33.4, 0, "", Carrying::Gear)]
    #[case(44.0, 2, "", Carrying::Gear)]
    #[case(375.0, 0, "", Carrying::Gear)]
    #[case(260.0, 4, "pallet truck", Carrying::Gear)]
    #[case(92.0, 2, "own, 4", Carrying::Rolls { people: 2, heavy: true })]
    #[case(118.0, 0, "4 castors", Carrying::Rolls { people: 2, heavy: true })]
    #[case(20.0, 1, "own, 4", Carrying::Rolls { people: 1, heavy: false })]
    #[case(11.0, 2, "", Carrying::People(2))]
    #[case(30.0, 1, "", Carrying::People(2))]
    fn a_piece(#[case] kg: f64, #[case] people: u32, #[case] wheels: &str, #[case] carrying: Carrying) {
        let mass = Some(Mass { kg, weighed: true });
        let piece = Piece { mass, people, wheels: wheels.to_owned(), count: 1, ..Piece::default() };
        assert_eq!(Carrying::of_piece(&piece), carrying);
    }

    fn piece(kg: f64, wheels: &str) -> Piece {
        let mass = Some(Mass { kg, weighed: true });
        Piece { mass, wheels: wheels.to_owned(), count: 1, ..Piece::default() }
    }

    #[test]
    fn a_thing_that_comes_apart_or_rolls_is_judged_by_its_pieces() {
        let mut tam_tam = instrument("t", "tam_tam", &[]);
        tam_tam.mass = Some(Mass { kg: 40.0, weighed: true });
        assert_eq!(Carrying::of_set_up(&tam_tam, []), Carrying::Gear, "40 kg in one piece");
        tam_tam.pieces = vec![piece(20.0, ""), piece(20.0, "")];
        assert_eq!(Carrying::of_set_up(&tam_tam, []), Carrying::People(1), "two pieces of 20 kg");
        tam_tam.pieces = vec![piece(20.0, ""), piece(20.0, "own, 4")];
        assert_eq!(Carrying::of_set_up(&tam_tam, []), Carrying::Rolls { people: 2, heavy: true });
        tam_tam.pieces = vec![piece(260.0, "pallet truck"), piece(74.0, "own, 4")];
        assert_eq!(Carrying::of_set_up(&tam_tam, []), Carrying::Gear, "its heaviest piece is for riggers");
    }

    #[test]
    fn what_lies_on_it_goes_along() {
        let with = |kg| {
            let mut thing = instrument("t", "table", &[]);
            thing.mass = Some(Mass { kg, weighed: true });
            thing
        };
        assert_eq!(Carrying::of_set_up(&with(20.0), [&with(8.0)]), Carrying::People(2));
        assert_eq!(Carrying::of_set_up(&with(20.0), [&with(8.0), &with(8.0)]), Carrying::Gear);
    }

    #[test]
    fn words_and_the_worst_of_two() {
        assert_eq!(Carrying::People(1).to_string(), "1 person");
        assert_eq!(Carrying::Rolls { people: 2, heavy: false }.to_string(), "rolls, 2 people");
        assert_eq!(Carrying::Gear.to_string(), "lifting gear and qualified people");
        let three = Carrying::People(3);
        assert_eq!(three.worse(Carrying::Rolls { people: 2, heavy: true }), three);
        assert_eq!(three.worse(Carrying::Gear).worse(Carrying::Unknown), Carrying::Gear);
        for carrying in [Carrying::Unknown, three, Carrying::Gear] {
            let words = carrying.to_string();
            assert!(!words.contains("safe") && !words.contains("hand"), "{words}");
        }
    }
}
