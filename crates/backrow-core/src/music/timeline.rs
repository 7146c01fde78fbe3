//! From measures to seconds: the measures as played, repeats played out.

use super::Struck;
use std::fmt;
use std::sync::Arc;

/// A measure's number as printed: "41", "0" for a pickup, "12a".
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MeasureName(Arc<str>);

impl MeasureName {
    /// The name; surrounding white space is dropped.
    pub fn new(text: &str) -> Self {
        Self(text.trim().into())
    }

    /// The text as printed.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The number at the start of the name, if there is one.
    pub fn number(&self) -> Option<u32> {
        let digits: String = self.0.chars().take_while(char::is_ascii_digit).collect();
        digits.parse().ok()
    }
}

impl TempoMark {
    /// "♩ = 96", "♩. = 56", "minim = 60": the tempo as the page counts it; `None` where none is stated.
    pub fn tempo_words(&self) -> Option<String> {
        let beat = self.beat.filter(|beat| *beat > 0.0).unwrap_or(1.0);
        let minute = self.quarters_per_minute? / beat;
        let is = |quarters: f64| (beat - quarters).abs() < 1e-9;
        // The faces have one note alone; the others are named.
        let named = [
            (1.0, "♩"),
            (1.5, "♩."),
            (0.5, "quaver"),
            (0.75, "dotted quaver"),
            (2.0, "minim"),
            (3.0, "dotted minim"),
            (4.0, "semibreve"),
            (6.0, "dotted semibreve"),
            (0.25, "semiquaver"),
        ];
        let (minute, note) = match named.into_iter().find(|(quarters, _)| is(*quarters)) {
            Some((_, note)) => (minute, note),
            None => (minute * beat, "♩"),
        };
        Some(format!("{note} = {minute:.0}"))
    }
}

/// From one measure to another as played: "m. 12", "mm. 12–18"; where a repeat or another movement lies between, "m. 21 to m. 1".
pub fn stretch_words(from: &MeasureName, to: &MeasureName) -> String {
    if from == to {
        return format!("m. {from}");
    }
    match (from.number(), to.number()) {
        (Some(first), Some(last)) if last < first => format!("m. {from} to m. {to}"),
        _ => format!("mm. {from}–{to}"),
    }
}

impl From<u32> for MeasureName {
    fn from(number: u32) -> Self {
        Self(number.to_string().into())
    }
}

impl fmt::Display for MeasureName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl fmt::Debug for MeasureName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "m{}", self.0)
    }
}

/// A measure at one of the times it is played.
#[derive(Clone, Debug, PartialEq)]
pub struct PlayedMeasure {
    /// As printed.
    pub name: MeasureName,
    /// When it begins, seconds from the start of the movement.
    pub at_s: f64,
    /// Its length in quarter notes.
    pub quarters: f64,
    /// The note in which its time signature counts, by the lower figure: 8 for quavers, as in 6/8; 4 where none is known.
    pub of: u32,
}

impl PlayedMeasure {
    /// The time signature's note where none is known: a quarter.
    pub const QUARTER: u32 = 4;
}

/// A tempo, metre or rehearsal mark to show above a measure.
#[derive(Clone, Debug, PartialEq)]
pub struct TempoMark {
    /// The measure it stands over, as printed.
    pub measure: MeasureName,
    /// The words, such as "Poco meno mosso"; may be empty.
    pub words: String,
    /// Quarter notes a minute from here, if stated.
    pub quarters_per_minute: Option<f64>,
    /// The note that the tempo is counted in, as the page has it, quarter notes: 1.5 for a dotted quarter. `None` for a quarter.
    pub beat: Option<f64>,
    /// A rehearsal letter or number that stands here.
    pub letter: Option<String>,
}

/// The measures of a movement in the order in which they are played, and when each begins.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Timeline {
    /// In playing order; `at_s` never falls.
    pub measures: Vec<PlayedMeasure>,
    /// When the movement ends, seconds.
    pub end_s: f64,
    /// Marks to show, in the order of the page.
    pub marks: Vec<TempoMark>,
}

impl Timeline {
    /// The seconds from the first time a measure is played to the next measure; `None` for a measure it does not know.
    pub fn span(&self, name: &MeasureName) -> Option<(f64, f64)> {
        let at = self.measures.iter().position(|m| m.name == *name)?;
        Some((self.measures.get(at)?.at_s, self.end_of(at)))
    }

    /// When the played measure at that index ends, seconds.
    pub fn end_of(&self, index: usize) -> f64 {
        self.measures.get(index + 1).map_or(self.end_s, |next| next.at_s)
    }

    /// The index of the measure that is played at `at_s` seconds; `None` before the start or in an empty timeline.
    pub fn index_at(&self, at_s: f64) -> Option<usize> {
        self.measures.partition_point(|m| m.at_s <= at_s).checked_sub(1)
    }

    /// The measure that is played at `at_s` seconds.
    pub fn measure_at(&self, at_s: f64) -> Option<&PlayedMeasure> {
        self.index_at(at_s).and_then(|at| self.measures.get(at))
    }

    /// The name of the played measure at that index, and how often it has been played before.
    pub fn turn(&self, index: usize) -> Option<(&MeasureName, usize)> {
        let name = &self.measures.get(index)?.name;
        let before = self.measures.get(..index).unwrap_or_default();
        Some((name, before.iter().filter(|m| m.name == *name).count()))
    }

    /// The index of a measure when it is played for the time after `turn` others.
    pub fn played(&self, name: &MeasureName, turn: usize) -> Option<usize> {
        self.measures.iter().enumerate().filter(|(_, m)| m.name == *name).nth(turn).map(|(index, _)| index)
    }

    /// Where a moment of another timeline of the same music lies in this one: the same place in the same measure, the
    /// same time that it is played; seconds. A measure that is not here any more leaves the moment where it was.
    pub fn retimed(&self, other: &Self, at_s: f64) -> f64 {
        let Some(index) = other.index_at(at_s) else { return at_s };
        let Some(measure) = other.measures.get(index) else { return at_s };
        let here = other.turn(index).and_then(|(name, turn)| self.played(name, turn));
        let Some((here, start_s)) = here.and_then(|at| Some((at, self.measures.get(at)?.at_s))) else {
            return at_s;
        };
        let length = other.end_of(index) - measure.at_s;
        let share = if length > 0.0 { (at_s - measure.at_s) / length } else { 0.0 };
        start_s + share * (self.end_of(here) - start_s)
    }

    /// The beat on which something is struck, from 1, as its time signature counts it: in 6/8 quavers, in 2/2 minims, also where the music
    /// moves in dotted crotchets. Quarter notes where its measure is not known.
    pub fn beat(&self, struck: &Struck) -> f64 {
        let measure = usize::try_from(struck.played).ok().and_then(|at| self.measures.get(at));
        let of = measure.map_or(PlayedMeasure::QUARTER, |measure| measure.of);
        1.0 + (struck.quarter() - 1.0) * f64::from(of) / f64::from(PlayedMeasure::QUARTER)
    }

    /// How many different measures are printed.
    pub fn printed(&self) -> usize {
        self.measures.iter().map(|m| &m.name).collect::<std::collections::BTreeSet<_>>().len()
    }

    /// Quarter notes as played.
    pub fn quarters(&self) -> f64 {
        self.measures.iter().map(|m| m.quarters).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case(96.0, None, "♩ = 96")]
    #[case(84.0, Some(1.5), "♩. = 56")]
    #[case(120.0, Some(2.0), "minim = 60")]
    #[case(60.0, Some(0.5), "quaver = 120")]
    #[case(70.0, Some(1.75), "♩ = 70")]
    fn a_tempo_is_said_as_it_is_counted(
        #[case] quarters: f64,
        #[case] beat: Option<f64>,
        #[case] words: &str,
    ) {
        let mark = TempoMark {
            measure: 1.into(),
            words: String::new(),
            quarters_per_minute: Some(quarters),
            beat,
            letter: None,
        };
        assert_eq!(mark.tempo_words().as_deref(), Some(words));
        assert_eq!(TempoMark { quarters_per_minute: None, ..mark }.tempo_words(), None);
    }

    /// The fourth quaver of a measure: in 6/8 its beat 4, in 3/4 and in a measure that is not known 2.5, in 2/2 1.75; the second dotted
    /// crotchet of 12/8 is beat 4 as well.
    #[rstest]
    #[case(8, 0, 4.0)]
    #[case(4, 0, 2.5)]
    #[case(2, 0, 1.75)]
    #[case(16, 0, 7.0)]
    #[case(8, 1, 2.5)]
    fn a_beat_is_what_the_time_signature_counts(#[case] of: u32, #[case] played: u32, #[case] beat: f64) {
        let measure = PlayedMeasure { name: 1.into(), at_s: 0.0, quarters: 3.0, of };
        let timeline = Timeline { measures: vec![measure], end_s: 3.0, marks: Vec::new() };
        let ticks = crate::music::TICKS / 2 * 3;
        let struck = Struck { at_us: 0, played, ticks, lasts_us: None, dynamic: None, rolled: false };
        assert!((timeline.beat(&struck) - beat).abs() < 1e-9);
    }

    #[rstest]
    #[case("12", "12", "m. 12")]
    #[case("12", "18", "mm. 12–18")]
    #[case::back("21", "1", "m. 21 to m. 1")]
    #[case("X1", "3", "mm. X1–3")]
    fn a_stretch_never_runs_backwards(#[case] from: &str, #[case] to: &str, #[case] words: &str) {
        assert_eq!(stretch_words(&MeasureName::new(from), &MeasureName::new(to)), words);
    }
}
