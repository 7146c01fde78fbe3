//! What an answer is like the sound in that was asked for, and what differs most.

use super::words::{beside, less, than};
use super::{Ranks, below};
use crate::sound::{Measures, Quality};

/// One of each pair of opposites, what is heard first before the others.
const SIX: [Quality; 6] = [
    Quality::Higher,
    Quality::Longer,
    Quality::Brighter,
    Quality::Harder,
    Quality::Clearer,
    Quality::Noisier,
];

/// So many likenesses are told.
const TOLD: usize = 2;

/// A quality of two sounds.
struct Compared {
    quality: Quality,
    /// In just noticeable steps; above zero where the answer has more of it.
    steps: f64,
    /// The share of all strikes that stand between the two: of two differences that are heard, this says which is the greater here.
    between: f64,
}

impl Ranks {
    /// "like it in ring (2.10 against 2.00 s) and brightness (800 against 810 Hz)", "differs most: higher by 3.0 semitones". What the question
    /// itself wants otherwise is left out.
    pub(super) fn likeness(&self, found: &Measures, like: &Measures, but: &[Quality]) -> Vec<String> {
        let wanted = |quality: &Quality| but.iter().any(|one| one.aspect() == quality.aspect());
        let rows: Vec<Compared> =
            SIX.into_iter().filter(|q| !wanted(q)).filter_map(|q| self.compared(q, found, like)).collect();
        let same = rows.iter().filter(|row| row.steps.abs() < 1.0).take(TOLD);
        let same: Vec<String> = same.filter_map(|row| beside(row.quality, like, found)).collect();
        let apart = rows.iter().filter(|row| row.steps.abs() >= 1.0);
        let most = apart.max_by(|one, other| one.between.total_cmp(&other.between));
        let mut said = Vec::new();
        if !same.is_empty() {
            said.push(format!("like it in {}", same.join(" and ")));
        }
        match most {
            Some(row) => {
                let words = match row.quality {
                    // These are no opposites of each other but two measures.
                    quality @ (Quality::Clearer | Quality::Noisier) if row.steps < 0.0 => {
                        less(quality, like, found)
                    }
                    quality if row.steps < 0.0 => than(quality.opposite(), like, found),
                    quality => than(quality, like, found),
                };
                said.extend(words.map(|words| format!("differs most: {words}")));
            }
            None if rows.len() > TOLD => said.push("nothing else differs by a noticeable step".to_owned()),
            None => {}
        }
        said
    }

    fn compared(&self, quality: Quality, found: &Measures, like: &Measures) -> Option<Compared> {
        let (is, was) = (quality.amount(found)?, quality.amount(like)?);
        let row = self.all.get(&quality)?;
        let between = (below(row, is)? - below(row, was)?).abs();
        Some(Compared { quality, steps: (is - was) / quality.step(), between })
    }
}
