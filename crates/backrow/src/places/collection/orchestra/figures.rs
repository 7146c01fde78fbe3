//! The orchestra's figures: what each is called, within which limits it lies, and where it belongs.

use backrow_core::library::Orchestra;
use backrow_core::numbers;
use backrow_core::pitch::ReferenceA;
use std::ops::RangeInclusive;

/// One figure of the settings.
pub(super) struct Figure {
    /// What drafts on disk call it.
    pub(super) key: &'static str,
    pub(super) word: &'static str,
    /// What is to be known of it.
    pub(super) note: &'static str,
    range: RangeInclusive<f64>,
    whole: bool,
    get: fn(&Orchestra) -> f64,
    set: fn(&mut Orchestra, f64),
}

impl Figure {
    /// As it is typed.
    pub(super) fn text(&self, orchestra: &Orchestra) -> String {
        let value = (self.get)(orchestra);
        format!("{}", (value * 1e4).round() / 1e4)
    }

    /// Puts what was typed where it belongs.
    ///
    /// # Errors
    /// What was expected.
    pub(super) fn read(&self, text: &str, orchestra: &mut Orchestra) -> Result<(), String> {
        // What was not touched keeps what no field shows of it.
        if text.trim() == self.text(orchestra) {
            return Ok(());
        }
        (self.set)(orchestra, self.value(text)?);
        Ok(())
    }

    /// The figure of a text.
    ///
    /// # Errors
    /// What was expected.
    pub(super) fn value(&self, text: &str) -> Result<f64, String> {
        let number = numbers::typed(text).filter(|number| self.range.contains(number));
        let number = number.filter(|number| !self.whole || number.fract() == 0.0);
        let (low, high) = (self.range.start(), self.range.end());
        let what = if self.whole { "whole number" } else { "number" };
        number.ok_or_else(|| format!("{}: a {what} from {low} to {high} was expected.", self.word))
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 1000, whole")]
const fn points(number: f64) -> u32 {
    number as u32
}

macro_rules! figure {
    ($key:literal, $word:literal, $note:literal, $range:expr, $($field:ident).+) => {
        Figure {
            key: $key,
            word: $word,
            note: $note,
            range: $range,
            whole: false,
            get: |orchestra| orchestra.$($field).+,
            set: |orchestra, number| orchestra.$($field).+ = number,
        }
    };
}

macro_rules! wish {
    ($field:ident, $word:literal) => {
        Figure {
            key: stringify!($field),
            word: $word,
            note: "",
            range: 0.0..=1000.0,
            whole: true,
            get: |orchestra| f64::from(orchestra.wishes.$field),
            set: |orchestra, number| orchestra.wishes.$field = points(number),
        }
    };
}

/// The A and the temperature on stage.
pub(super) const PITCH: &[Figure] = &[
    Figure {
        key: "a",
        word: "A, Hz",
        note: "",
        range: 380.0..=500.0,
        whole: false,
        get: |orchestra| orchestra.a.value(),
        // Within those limits there is always one.
        set: |orchestra, number| orchestra.a = ReferenceA::new(number).unwrap_or(orchestra.a),
    },
    figure!("celsius", "On stage, °C", "", -10.0..=45.0, celsius),
];

/// The section's habits for moves.
pub(super) const MOVES: &[Figure] = &[
    figure!(
        "pace",
        "Walking pace, m/s",
        "1.2 is the fast end of players’ rule of thumb",
        0.1..=5.0,
        habits.pace_m_s
    ),
    figure!("settle", "To settle after a walk, s", "common practice", 0.0..=30.0, habits.settle_s),
    figure!("change", "To change beaters, s", "players’ rule of thumb, 1 to 2", 0.0..=30.0, habits.change_s),
    figure!(
        "cymbals",
        "To pick up cymbals or put them down, s",
        "without a sound; players’ rule of thumb, 2 to 4",
        0.0..=30.0,
        habits.cymbals_s
    ),
    figure!(
        "four mallets",
        "Between two and four mallets, s",
        "players’ rule of thumb, 3 to 5",
        0.0..=30.0,
        habits.four_mallets_s
    ),
    figure!(
        "bow",
        "To pick up a bow or put it down, s",
        "players’ rule of thumb, 2 to 3",
        0.0..=30.0,
        habits.bow_s
    ),
    figure!(
        "gloves",
        "To put on gloves or take them off, s",
        "our own figure, no source",
        0.0..=60.0,
        habits.gloves_s
    ),
    figure!(
        "distance",
        "Where there is no floor plan, m",
        "used where nothing is known, and marked as assumed",
        0.0..=30.0,
        habits.default_distance_m
    ),
    figure!("gangway", "Narrowest gangway, m", "local rules may ask for more", 0.3..=3.0, habits.gangway_m),
    figure!(
        "reach",
        "Reach with a stick, m",
        "from the middle of the body; our own figure, no source",
        0.3..=2.0,
        habits.reach_m
    ),
];

/// How long timpani take to retune.
pub(super) const TIMPANI: &[Figure] = &[
    figure!(
        "pedal",
        "To retune a drum by pedal, s",
        "players’ rule of thumb, 1 to 2",
        0.1..=300.0,
        timpani.pedal_s
    ),
    figure!(
        "screws",
        "To retune a drum by hand screws, s",
        "players’ rule of thumb, 10 to 20",
        0.1..=300.0,
        timpani.screws_s
    ),
];

/// What assignments should be like, in points.
pub(super) const WISHES: &[Figure] = &[
    wish!(stay, "An instrument passes to another player"),
    wish!(part, "A printed part passes to another player"),
    wish!(last_time, "A line is not with the player who had it last time"),
    wish!(near, "A line goes to another player than it has now"),
    wish!(by_hand, "A line that you assigned by hand goes to another player"),
    wish!(walk, "A metre walked"),
    wish!(load, "A minute that the busiest player plays above the average"),
    wish!(exposure, "An exposed line above the average"),
    wish!(extra, "An extra engaged"),
];

/// Those that *Restore defaults* is about.
pub(super) const HABITS: [&[Figure]; 3] = [MOVES, TIMPANI, WISHES];

/// All of them.
pub(super) fn all() -> impl Iterator<Item = &'static Figure> {
    PITCH.iter().chain(HABITS.into_iter().flatten())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_comes_back_as_it_is_shown_and_has_a_key_of_its_own() {
        let orchestra = Orchestra::default();
        let keys: std::collections::BTreeSet<_> = all().map(|figure| figure.key).collect();
        assert_eq!(keys.len(), all().count());
        for figure in all() {
            let mut read = orchestra.clone();
            figure.read(&figure.range.start().to_string(), &mut read).unwrap();
            assert!(((figure.get)(&read) - figure.range.start()).abs() < 1e-9, "{}", figure.word);
            figure.read(&figure.text(&orchestra), &mut read).unwrap();
            assert_eq!(read, orchestra, "{}", figure.word);
            assert!(figure.read("4x0", &mut read).unwrap_err().starts_with(figure.word));
        }
    }
}
