//! A tuning plan as plain facts, for tables and other programs.

use super::LinePlan;
use crate::id::InstrumentId;
use crate::music::MeasureName;
use crate::pitch::KeyNumber;
use crate::timpani::{impossible_words, proof_words};

/// A tuning plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Tuning {
    /// The drums that are played, from low to high.
    pub drums: Vec<StartsOn>,
    /// The retunings, in the order of time.
    pub changes: Vec<Retuning>,
    /// The fewest drums on which the line can be played.
    pub fewest_drums: usize,
    /// Why fewer cannot do, a sentence.
    pub proof: String,
}

/// A drum and its pitch at the start.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StartsOn {
    /// The instrument that the drum belongs to.
    pub instrument: InstrumentId,
    /// "29 in".
    pub drum: String,
    /// What it is tuned to at the start.
    pub start: KeyNumber,
}

/// One retuning.
#[derive(Clone, Debug, PartialEq)]
pub struct Retuning {
    /// The measure of the last stroke before it, as printed.
    pub measure: MeasureName,
    /// "29 in".
    pub drum: String,
    /// From this pitch.
    pub from: KeyNumber,
    /// To this one.
    pub to: KeyNumber,
    /// The rest that it has, seconds.
    pub have_s: f64,
    /// The time that it needs, seconds.
    pub need_s: f64,
    /// Other drums are struck meanwhile.
    pub heard: bool,
}

impl LinePlan {
    /// The facts of the plan; else where and why there is none, a sentence.
    pub fn facts(&self) -> Result<Tuning, String> {
        let plan = self.answer.as_ref().map_err(|why| impossible_words(why, &self.spelling))?;
        let drums = self.starts().into_iter().map(|(one, start)| StartsOn {
            instrument: one.instrument.clone(),
            drum: one.drum.name.clone(),
            start,
        });
        let seconds = |us: i64| us as f64 / 1e6;
        let changes = self.changes().into_iter().map(|(one, change)| Retuning {
            measure: change.measure.clone(),
            drum: one.drum.name.clone(),
            from: change.from,
            to: change.to,
            have_s: seconds(change.have_us),
            need_s: seconds(change.need_us),
            heard: change.heard,
        });
        Ok(Tuning {
            drums: drums.collect(),
            changes: changes.collect(),
            fewest_drums: plan.fewest_drums,
            proof: proof_words(&plan.proof, &self.spelling),
        })
    }
}
