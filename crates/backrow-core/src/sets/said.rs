//! What the part itself says of retunings, held against the plan.

use super::LinePlan;
use crate::compass::PitchSet;
use crate::music::{Line, MeasureName};
use crate::timpani::{Muta, Said, Stroke, Written, muta, said};

/// Words of a part that ask for a retuning.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// Where they stand.
    pub measure: MeasureName,
    /// As printed: "muta in F".
    pub words: String,
    /// What they ask for.
    pub muta: Muta,
}

/// The evidence that a line keeps of such words, a sentence; `None` for words that ask for no retuning.
///
/// ```
/// assert_eq!(backrow_core::sets::asks("57", "muta in F").as_deref(), Some("m. 57 asks “muta in F”"));
/// ```
pub fn asks(measure: &str, words: &str) -> Option<String> {
    muta(words).map(|_| format!("m. {measure} asks “{}”", words.trim()))
}

/// The words in a line's evidence that ask for a retuning.
pub fn asked(line: &Line) -> Vec<Asked> {
    let one = |row: &String| {
        let (measure, words) = row.strip_prefix("m. ")?.split_once(" asks “")?;
        let words = words.trim_end_matches('”');
        Some(Asked { measure: MeasureName::new(measure), words: words.to_owned(), muta: muta(words)? })
    };
    line.evidence.iter().filter_map(one).collect()
}

/// Where the part writes retunings, as the plan takes them: between the first stroke of their measure and the first one after it.
pub(super) fn written(line: &Line, strokes: &[Stroke]) -> Vec<Written> {
    let mut all = Vec::new();
    for asked in asked(line) {
        let Some(number) = asked.measure.number() else { continue };
        let first = |is: &dyn Fn(u32) -> bool| {
            let stroke = strokes.iter().find(|stroke| stroke.measure.number().is_some_and(is));
            stroke.map_or(i64::MAX, |stroke| stroke.at_us)
        };
        let (from_us, to_us) = (first(&|measure| measure >= number), first(&|measure| measure > number));
        for classes in &asked.muta.to {
            let meant = strokes
                .iter()
                .filter(|stroke| stroke.at_us >= from_us && classes.contains(&stroke.key.pitch_class()));
            let keys: PitchSet = meant.map(|stroke| stroke.key).collect();
            all.push(Written { from_us, to_us, keys });
        }
    }
    all
}

impl LinePlan {
    /// What the plan makes of the words of the part; nothing without a plan.
    pub fn said(&self, line: &Line) -> Vec<(Asked, Said)> {
        let Ok(plan) = &self.answer else { return Vec::new() };
        let held = |asked: Asked| {
            let number = asked.measure.number();
            // Words hold for what is struck from their measure on.
            let next = self.strokes.iter().find(|stroke| stroke.measure.number() >= number);
            let at_us = next.or(self.strokes.last()).map_or(0, |stroke| stroke.at_us);
            let answer = said(plan, &self.strokes, &asked.muta, at_us);
            (asked, answer)
        };
        asked(line).into_iter().map(held).collect()
    }
}
