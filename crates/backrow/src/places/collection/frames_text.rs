//! The text of an instrument's frames as it is typed here: days as everywhere in the window.

use crate::dates::{self, Order};
use backrow_core::collection::{Frame, FramesRead, frames_in};
use backrow_core::days::Days;
use backrow_core::pitch::Reading;

/// What may be typed, for the hint under the field.
pub(super) const HINT: &str = "One line per frame: name: F4-C8, gaps C#8, doubled A5, extra E4, dead D7 (9 Sep 2026 cracked), order C5 E5 …; a drum: 29 in: F2-C3, hand screws, retunes in 15";

/// The text of some frames, with their days as they are shown here.
pub(super) fn text_of(frames: &[Frame], days: Days) -> String {
    backrow_core::collection::frames_text(frames, &|day| days.lasting().day(day))
}

/// Reads the lines, days in that order. An error names the line and what was expected.
pub(super) fn frames_of(text: &str, order: Order) -> Result<Vec<Frame>, String> {
    let today = dates::today();
    frames_in(
        text,
        FramesRead {
            notes: Reading::English,
            first_day: &|said| dates::first_day(said, today, today, order),
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("F4-C8")]
    #[case("low: C6-C7, gaps C#6 D6, dead A6")]
    #[case("F4-C8, dead D7 (9 Sep 2026 cracked, at the cord hole) E4 A5 (buzzes: rail)")]
    #[case("F4-C8, gaps G4, doubled A5, extra E4\nhigh: C8-F8")]
    #[case("extra C5 E5 G5, order G5 C5 E5")]
    fn what_is_typed_comes_back(#[case] text: &str) {
        assert_eq!(text_of(&frames_of(text, Order::DayFirst).unwrap(), Days::default()), text);
    }

    #[rstest]
    #[case("F4-C8, dead D7 (2026-09-09 cracked)", Order::DayFirst)]
    #[case("F4-C8, dead D7 (9 Sep 2026 cracked)", Order::DayFirst)]
    #[case("F4-C8, dead D7 (9.9.2026 cracked)", Order::DayFirst)]
    #[case("F4-C8, dead D7 (Sep 9, 2026 cracked)", Order::MonthFirst)]
    fn a_dead_bar_takes_a_day_as_services_do(#[case] text: &str, #[case] order: Order) {
        let read = frames_of(text, order).unwrap();
        let shown = text_of(&read, Days { order, ..Days::default() });
        let expected = match order {
            Order::DayFirst => "F4-C8, dead D7 (9 Sep 2026 cracked)",
            Order::MonthFirst => "F4-C8, dead D7 (Sep 9, 2026 cracked)",
        };
        assert_eq!(shown, expected);
        assert_eq!(frames_of(&shown, order), Ok(read));
    }

    #[rstest]
    #[case("F4", "line 1")]
    #[case("F4-C8, dead D7 (cracked", "is not closed")]
    #[case("F4-C8, dead (cracked) D7", "comes before the brackets")]
    #[case("C8-F4", "lowest bar comes first")]
    #[case("F4-C8\nG9-H9", "line 2")]
    #[case("F4-C8, E8-F8", "a second range")]
    #[case("extra C5 E5, order C5", "every bar once")]
    #[case("extra C5 E5, order C5 C5 E5", "every bar once")]
    fn errors_say_where_and_what(#[case] text: &str, #[case] says: &str) {
        assert!(frames_of(text, Order::DayFirst).unwrap_err().contains(says));
    }
}
