//! How things get in and out of a place in store.

/// What somebody has said of the lift of a place in store. The plate of the lift holds, and local rules; nothing here says that a load is safe.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lift {
    /// Whether there is one.
    pub there: bool,
    /// The load on its plate, kilograms, where somebody has read it.
    pub plate_kg: Option<f64>,
    /// How wide its narrowest door is, metres, where somebody has measured it.
    pub door_m: Option<f64>,
}

impl Lift {
    /// "no lift"; "lift, plate 1000 kg, door 1.20 m".
    pub fn words(self) -> String {
        if !self.there {
            return "no lift".to_owned();
        }
        let plate = self.plate_kg.map(|kg| format!("plate {kg:.0}\u{202F}kg"));
        let door = self.door_m.map(|metres| format!("door {metres:.2}\u{202F}m"));
        let parts: Vec<String> = [Some("lift".to_owned()), plate, door].into_iter().flatten().collect();
        parts.join(", ")
    }

    /// Whether a thing of that mass, kilograms, is heavier than the plate allows; nothing is said where no plate is stated.
    pub fn is_too_heavy(self, kg: f64) -> bool {
        self.there && self.plate_kg.is_some_and(|plate| kg > plate)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case(false, Some(300.0), None, "no lift", false)]
    #[case(true, None, None, "lift", false)]
    #[case(true, Some(300.0), Some(1.2), "lift, plate 300\u{202F}kg, door 1.20\u{202F}m", true)]
    #[case(true, Some(301.0), None, "lift, plate 301\u{202F}kg", false)]
    fn in_words_and_by_its_plate(
        #[case] there: bool,
        #[case] plate_kg: Option<f64>,
        #[case] door_m: Option<f64>,
        #[case] words: &str,
        #[case] too_heavy: bool,
    ) {
        let lift = Lift { there, plate_kg, door_m };
        assert_eq!((lift.words().as_str(), lift.is_too_heavy(301.0)), (words, too_heavy));
    }
}
