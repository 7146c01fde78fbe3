//! The seconds that a move needs.

use crate::library::Habits;
use crate::stage::Walk;

/// Seconds that each step up or down between two levels of the floor costs. Ours, no published source.
pub const STEP_S: f64 = 1.0;

/// Standing places nearer than this are one, metres.
const SAME_PLACE_M: f64 = 1e-6;

/// Seconds as whole microseconds, to the nearest; figures that are not finite count as 0.
#[expect(clippy::cast_possible_truncation, reason = "clamped to about 30 years either way")]
pub fn micros(seconds: f64) -> i64 {
    if seconds.is_finite() { (seconds.clamp(-1e9, 1e9) * 1e6).round() as i64 } else { 0 }
}

/// Seconds for people: one decimal. Rounded so that what is too short never reads as enough: what a player has is rounded
/// down, what is needed up, when `up` says so.
pub fn seconds_text(micros: i64, up: bool) -> String {
    let tenths =
        if up { micros.saturating_add(99_999).div_euclid(100_000) } else { micros.div_euclid(100_000) };
    let sign = if tenths < 0 { "−" } else { "" };
    format!("{sign}{}.{}", tenths.unsigned_abs() / 10, tenths.unsigned_abs() % 10)
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
    pub estimated_distance: bool,
    /// Whether the beaters differ.
    pub change: bool,
    /// Walking, steps and settling, microseconds.
    pub walk_us: i64,
    /// Changing beaters, microseconds.
    pub change_us: i64,
}

impl Need {
    /// From a way (`None` for the same place), whether the distance is the default one, and whether beaters change.
    /// Walk = metres / pace + steps * [`STEP_S`] + settle; a way of no length is the same place.
    pub fn new(habits: &Habits, walk: Option<Walk>, estimated_distance: bool, change: bool) -> Self {
        let walk = walk.filter(|walk| walk.metres > SAME_PLACE_M || walk.steps > 0);
        let pace = if habits.pace_m_s.is_finite() && habits.pace_m_s > 0.0 {
            habits.pace_m_s
        } else {
            Habits::default().pace_m_s
        };
        let seconds =
            |walk: Walk| walk.metres / pace + f64::from(walk.steps) * STEP_S + habits.settle_s.max(0.0);
        Self {
            metres: walk.map_or(0.0, |walk| walk.metres),
            steps: walk.map_or(0, |walk| walk.steps),
            same_place: walk.is_none(),
            estimated_distance,
            change,
            walk_us: walk.map_or(0, |walk| micros(seconds(walk))),
            change_us: if change { micros(habits.change_s.max(0.0)) } else { 0 },
        }
    }

    /// All of it, microseconds.
    pub const fn us(&self) -> i64 {
        self.walk_us.saturating_add(self.change_us)
    }

    /// What there is to do: "2.0 m and a change of beaters"; "nothing".
    pub fn words(&self) -> String {
        let mut words = Vec::new();
        if !self.same_place {
            let guess = if self.estimated_distance { " (default distance)" } else { "" };
            words.push(format!("{:.1} m{guess}", self.metres));
        }
        match self.steps {
            0 => {}
            1 => words.push("a step".to_owned()),
            n => words.push(format!("{n} steps")),
        }
        if self.change {
            words.push("a change of beaters".to_owned());
        }
        match words.as_slice() {
            [] => "nothing".to_owned(),
            [one] => one.clone(),
            [most @ .., last] => format!("{} and {last}", most.join(", ")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    // Usual habits: 2.0 m / 1.2 m/s + 1.0 s = 2.666667 s; with a change 1.5 s more.
    #[rstest]
    #[case(Some(2.0), 0, true, 4_166_667, "2.0 m and a change of beaters")]
    #[case(Some(2.0), 0, false, 2_666_667, "2.0 m")]
    #[case(None, 0, true, 1_500_000, "a change of beaters")]
    #[case(None, 0, false, 0, "nothing")]
    #[case(Some(0.0), 0, true, 1_500_000, "a change of beaters")]
    #[case(Some(3.6), 2, true, 7_500_000, "3.6 m, 2 steps and a change of beaters")]
    fn needs(
        #[case] metres: Option<f64>,
        #[case] steps: u32,
        #[case] change: bool,
        #[case] us: i64,
        #[case] words: &str,
    ) {
        let walk = metres.map(|metres| Walk { metres, steps });
        let need = Need::new(&Habits::default(), walk, false, change);
        assert_eq!((need.us(), need.words().as_str()), (us, words));
    }

    #[rstest]
    #[case(4_166_667, true, "4.2")]
    #[case(4_166_667, false, "4.1")]
    #[case(3_000_000, true, "3.0")]
    #[case(-50_000, false, "−0.1")]
    #[case(0, true, "0.0")]
    fn seconds(#[case] us: i64, #[case] up: bool, #[case] text: &str) {
        assert_eq!(seconds_text(us, up), text);
    }

    #[test]
    fn a_pace_of_nothing_does_not_take_for_ever() {
        let habits = Habits { pace_m_s: 0.0, settle_s: f64::NAN, ..Habits::default() };
        let need = Need::new(&habits, Some(Walk { metres: 1.2, steps: 0 }), false, false);
        assert_eq!(need.us(), 1_000_000);
    }
}
