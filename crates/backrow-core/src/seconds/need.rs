//! What lies between two passages, part by part, and the move that is made of it.

use super::{Change, Habits, STEP_S, micros};

/// Standing places nearer than this are one, metres.
const SAME_PLACE_M: f64 = 1e-6;

/// A way that a player walks.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Walk {
    /// Its length on the plan, metres.
    pub metres: f64,
    /// How many steps up or down between levels it has.
    pub steps: u32,
}

/// Where the next place is, seen from the last.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Leg {
    /// The player stays where they are.
    Here,
    /// So far, by the plan.
    Measured(Walk),
    /// No plan says: the section's default distance stands in.
    Assumed,
}

/// What lies between two passages: the way and the change of beaters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// The way on the floor, metres; 0 at the same place.
    pub metres: f64,
    /// Steps up or down on the way.
    pub steps: u32,
    /// Whether both are at one place: no walk, nothing to settle.
    pub same_place: bool,
    /// Whether the section's default distance stood in, because an instrument is not chosen or not on the floor.
    pub assumed: bool,
    /// What changes in the hands.
    pub change: Option<Change>,
    /// Walking on the level, microseconds.
    pub pace_us: i64,
    /// Steps up and down, microseconds.
    pub steps_us: i64,
    /// Settling after the walk, microseconds.
    pub settle_us: i64,
    /// Changing beaters, microseconds.
    pub change_us: i64,
}

impl Need {
    /// What a leg and a change of beaters need. Walk = metres / pace + steps * [`STEP_S`] + settle; a way of no length is
    /// the same place.
    pub fn new(habits: &Habits, leg: Leg, change: Option<Change>) -> Self {
        let (walk, assumed) = match leg {
            Leg::Here => (None, false),
            Leg::Measured(walk) => (Some(walk), false),
            Leg::Assumed => (Some(habits.default_walk()), true),
        };
        let walk = walk.filter(|walk| walk.metres > SAME_PLACE_M || walk.steps > 0);
        let (metres, steps) = walk.map_or((0.0, 0), |walk| (walk.metres, walk.steps));
        let settle_s = if walk.is_some() { habits.settle_s.max(0.0) } else { 0.0 };
        // The sum is rounded once; the parts make it up exactly.
        let all = micros(metres / habits.pace() + f64::from(steps) * STEP_S + settle_s);
        let (steps_us, settle_us) = (micros(f64::from(steps) * STEP_S), micros(settle_s));
        Self {
            metres,
            steps,
            same_place: walk.is_none(),
            assumed: assumed && walk.is_some(),
            change,
            pace_us: all - steps_us - settle_us,
            steps_us,
            settle_us,
            change_us: change.map_or(0, |change| micros(change.seconds(habits).max(0.0))),
        }
    }

    /// Walking, steps and settling, microseconds.
    pub const fn walk_us(&self) -> i64 {
        self.pace_us.saturating_add(self.steps_us).saturating_add(self.settle_us)
    }

    /// All of it, microseconds.
    pub const fn us(&self) -> i64 {
        self.walk_us().saturating_add(self.change_us)
    }

    /// What there is to do: "2.0 m and a change of beaters"; "nothing".
    pub fn words(&self) -> String {
        let mut words = Vec::new();
        if !self.same_place {
            let guess = if self.assumed { " (assumed)" } else { "" };
            words.push(format!("{:.1}\u{202F}m{guess}", self.metres));
        }
        match self.steps {
            0 => {}
            1 => words.push("a step".to_owned()),
            n => words.push(format!("{n} steps")),
        }
        words.extend(self.change.map(|change| change.words().to_owned()));
        match words.as_slice() {
            [] => "nothing".to_owned(),
            [one] => one.clone(),
            [most @ .., last] => format!("{} and {last}", most.join(", ")),
        }
    }
}

/// What one player has and needs between two passages. `At` says which passages, in the terms of whoever asks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move<At> {
    /// The passage that begins first.
    pub from: At,
    /// The passage that follows.
    pub to: At,
    /// From the end of the first to the beginning of the second, microseconds; negative while both sound.
    pub has_us: i64,
    /// Whether both begin at one moment, which no player can do however short they are.
    pub at_once: bool,
    /// What is to be done in between.
    pub need: Need,
}

impl<At> Move<At> {
    /// Microseconds to spare; negative when seconds lack.
    pub const fn spare_us(&self) -> i64 {
        self.has_us.saturating_sub(self.need.us())
    }

    /// Whether one player can do it: the gap is at least the need, and they do not begin at one moment.
    pub const fn fits(&self) -> bool {
        self.spare_us() >= 0 && !self.at_once
    }

    /// Whether both sound at once, so that no speed would help.
    pub const fn both_sound(&self) -> bool {
        self.has_us < 0 || self.at_once
    }

    /// The gap in seconds.
    pub const fn has_s(&self) -> f64 {
        self.has_us as f64 / 1e6
    }

    /// The need in seconds.
    pub const fn needs_s(&self) -> f64 {
        self.need.us() as f64 / 1e6
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::seconds::Hold;
    use proptest::prelude::*;
    use rstest::rstest;

    const OTHER: Option<Change> = Some(Change::Beaters);

    fn leg(metres: f64, steps: u32) -> Leg {
        Leg::Measured(Walk { metres, steps })
    }

    // Usual habits: 2.0 m / 1.2 m/s + 1.0 s = 2.666667 s; with a change 1.5 s more.
    #[rstest]
    #[case(leg(2.0, 0), OTHER, 4_166_667, "2.0\u{202f}m and a change of beaters")]
    #[case(leg(2.0, 0), None, 2_666_667, "2.0\u{202f}m")]
    #[case(Leg::Here, OTHER, 1_500_000, "a change of beaters")]
    #[case(Leg::Here, None, 0, "nothing")]
    #[case(leg(0.0, 0), OTHER, 1_500_000, "a change of beaters")]
    #[case(leg(3.6, 2), OTHER, 7_500_000, "3.6\u{202f}m, 2 steps and a change of beaters")]
    #[case(
        leg(2.0, 0),
        Some(Change::Take(Hold::Cymbals)),
        5_666_667,
        "2.0\u{202f}m and cymbals to pick up or put down"
    )]
    #[case(
        Leg::Here,
        Some(Change::Take(Hold::FourMallets)),
        4_000_000,
        "a change between two and four mallets"
    )]
    #[case(Leg::Here, Some(Change::Take(Hold::Bow)), 2_500_000, "a bow to pick up or put down")]
    #[case(Leg::Assumed, None, 2_666_667, "2.0\u{202f}m (assumed)")]
    fn needs(#[case] leg: Leg, #[case] change: Option<Change>, #[case] us: i64, #[case] words: &str) {
        let need = Need::new(&Habits::default(), leg, change);
        assert_eq!((need.us(), need.words().as_str()), (us, words));
    }

    #[test]
    fn the_parts_are_told_apart() {
        let need = Need::new(&Habits::default(), leg(3.6, 2), OTHER);
        let parts = (need.pace_us, need.steps_us, need.settle_us, need.change_us);
        assert_eq!(parts, (3_000_000, 2_000_000, 1_000_000, 1_500_000));
    }

    #[test]
    fn a_pace_of_nothing_does_not_take_for_ever() {
        let habits = Habits { pace_m_s: 0.0, settle_s: f64::NAN, ..Habits::default() };
        assert_eq!(Need::new(&habits, leg(1.2, 0), None).us(), 1_000_000);
    }

    #[rstest]
    #[case(4_166_667, false, true)]
    #[case(4_166_666, false, false)]
    #[case(60_000_000, true, false)]
    fn a_gap_that_equals_the_need_is_enough(#[case] has_us: i64, #[case] at_once: bool, #[case] fits: bool) {
        let need = Need::new(&Habits::default(), leg(2.0, 0), OTHER);
        assert_eq!(Move { from: (), to: (), has_us, at_once, need }.fits(), fits);
    }

    proptest! {
        #[test]
        fn the_sum_is_rounded_once(metres in 0.001_f64..200.0, steps in 0_u32..5, pace in 0.1_f64..3.0) {
            let habits = Habits { pace_m_s: pace, ..Habits::default() };
            let sum = metres / pace + f64::from(steps) + 1.0;
            prop_assert_eq!(Need::new(&habits, leg(metres, steps), None).walk_us(), micros(sum));
        }
    }
}
