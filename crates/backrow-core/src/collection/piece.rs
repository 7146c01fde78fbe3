//! What an instrument comes apart into: the things that people carry.

use super::{Instrument, Mass};

/// One piece, or several of the same, as they are carried.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Piece {
    /// What it is: "frame, folded", "case with the bars".
    pub what: String,
    /// How many of them, at least 1.
    pub count: u32,
    /// Mass of one, if known.
    pub mass: Option<Mass>,
    /// People that one needs, as the section says; 0 where nobody has said; the carrying room has the rule.
    pub people: u32,
    /// "own, 4", "pallet truck"; empty for none.
    pub wheels: String,
    /// Care words: "never tilt it loaded"; may be empty.
    pub care: String,
}

/// What the one piece is called of a thing of which nobody has said what it comes apart into.
const WHOLE: &str = "the whole; its pieces are not entered";

impl Instrument {
    /// The pieces as stated; where nobody has stated any, the whole thing as one piece with a word to say so.
    pub fn carried(&self) -> Vec<Piece> {
        if !self.pieces.is_empty() {
            return self.pieces.clone();
        }
        vec![Piece { what: WHOLE.to_owned(), count: 1, mass: self.mass, ..Piece::default() }]
    }

    /// All of it together: the sum of the pieces where each has a mass, else the mass as stated.
    pub fn whole_mass(&self) -> Option<Mass> {
        let sum = self.pieces.iter().try_fold(Mass { kg: 0.0, weighed: true }, |sum, piece| {
            let one = piece.mass?;
            Some(Mass { kg: sum.kg + one.kg * f64::from(piece.count), weighed: sum.weighed && one.weighed })
        });
        sum.filter(|_| !self.pieces.is_empty()).or(self.mass)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::instrument;

    fn piece(count: u32, kg: Option<f64>, weighed: bool) -> Piece {
        Piece { what: "x".into(), count, mass: kg.map(|kg| Mass { kg, weighed }), ..Piece::default() }
    }

    #[test]
    fn sums_hold_only_when_every_piece_has_a_mass() {
        let mut thing = instrument("gongs", "tuned_gongs", &["C3"]);
        thing.mass = Some(Mass { kg: 118.0, weighed: false });
        assert_eq!(thing.carried().len(), 1);
        assert_eq!(thing.whole_mass(), thing.mass);
        thing.pieces = vec![piece(1, Some(46.0), true), piece(2, Some(36.0), true)];
        assert_eq!(thing.whole_mass(), Some(Mass { kg: 118.0, weighed: true }));
        thing.pieces.push(piece(1, None, false));
        assert_eq!(thing.whole_mass(), Some(Mass { kg: 118.0, weighed: false }), "as stated for the whole");
    }
}
