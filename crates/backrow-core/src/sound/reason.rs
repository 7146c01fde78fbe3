//! Why an answer stands where it does, in words and numbers.

mod alike;
mod words;

use words::{places, than};

use super::search::{Asked, Known, Leaning};
use super::words::{MadeOf, qualities};
use super::{Measure, Quality};
use std::collections::BTreeMap;

/// Every strike's standing among those of what is made of the same, and among all.
#[derive(Clone, Debug, Default)]
pub(super) struct Ranks {
    /// By what they are made of and quality: the amounts, in order.
    by_made: BTreeMap<(MadeOf, Quality), Vec<f64>>,
    all: BTreeMap<Quality, Vec<f64>>,
}

/// Fewer strikes of a material than this are compared with all instead.
const LEAST: usize = 8;
/// A typed word disagrees when more than this share of the others have more of it.
const DISAGREES: f64 = 0.6;

impl Ranks {
    pub(super) fn of(known: &[Known]) -> Self {
        let mut ranks = Self::default();
        for one in known {
            for quality in Quality::ALL {
                if let Some(amount) = quality.amount(&one.measures) {
                    ranks.by_made.entry((one.made_of, quality)).or_default().push(amount);
                    ranks.all.entry(quality).or_default().push(amount);
                }
            }
        }
        ranks.by_made.values_mut().chain(ranks.all.values_mut()).for_each(|row| row.sort_by(f64::total_cmp));
        ranks
    }

    /// The share of all strikes that have less of the quality, 0 to 1; `None` where it was not heard.
    pub(super) fn share_below(&self, known: &Known, quality: Quality) -> Option<f64> {
        below(self.all.get(&quality)?, quality.amount(&known.measures)?)
    }

    /// The same among what is made of the same, where there is enough of it; with the words for whom it is compared with.
    fn among_its_own(&self, known: &Known, quality: Quality) -> Option<(f64, &'static str)> {
        let amount = quality.amount(&known.measures)?;
        match self.by_made.get(&(known.made_of, quality)).filter(|row| row.len() >= LEAST) {
            Some(row) => Some((below(row, amount)?, known.made_of.words())),
            None => Some((self.share_below(known, quality)?, "everything measured")),
        }
    }

    /// What speaks for it: first what was asked, then what is most special about it.
    pub(super) fn reasons(&self, known: &Known, asked: &Asked, leanings: &[Leaning]) -> Vec<String> {
        let mut reasons: Vec<String> = Vec::new();
        if let Some(like) = &asked.like {
            reasons.extend(asked.but.iter().filter_map(|quality| than(*quality, like, &known.measures)));
            reasons.extend(self.likeness(&known.measures, like, &asked.but));
        }
        let mut said: Vec<Quality> = Vec::new();
        for (quality, _) in leanings {
            if !said.contains(quality) {
                said.push(*quality);
                reasons.extend(self.standing(known, *quality));
            }
        }
        if reasons.is_empty() {
            reasons.extend(self.most_special(known, &said));
        }
        let ring = Measure::Ring.of(&known.measures).or(Measure::EarlyRing.of(&known.measures));
        // What stands among the likenesses is not told again.
        let is_told = |aspect: &str| reasons.iter().any(|reason| reason.contains(aspect));
        let (has_ring, has_pitch) = (is_told("ring ("), is_told("pitch ("));
        let ring = ring.filter(|_| !has_ring);
        reasons.extend(ring.map(|ring| format!("rings {}\u{202F}s", places(ring.value))));
        if let Some(pitch) = known.measures.pitch.filter(|pitch| pitch.clarity.value > 0.3 && !has_pitch) {
            reasons.push(format!("sounds at {}\u{202F}Hz", places(pitch.hz.value)));
        }
        if known.by_model {
            reasons.push("made by a model, not recorded".to_owned());
        }
        reasons
    }

    fn most_special(&self, known: &Known, said: &[Quality]) -> Option<String> {
        let rows = Quality::ALL.into_iter().filter(|quality| !said.contains(quality));
        let (quality, share) = rows
            .filter_map(|quality| Some((quality, self.among_its_own(known, quality)?.0)))
            .max_by(|one, other| one.1.total_cmp(&other.1))?;
        if share < 0.7 { None } else { self.standing(known, quality) }
    }

    /// "darker than 80 % of what is made of metal".
    fn standing(&self, known: &Known, quality: Quality) -> Option<String> {
        let (share, whom) = self.among_its_own(known, quality)?;
        Some(format!("{quality} than {:.0} % of {whom}", share * 100.0))
    }

    /// Words of the section that the measures contradict.
    pub(super) fn disagreements(&self, known: &Known) -> Vec<String> {
        let mut found = Vec::new();
        for word in &known.words {
            for quality in qualities(word) {
                let Some((below, whom)) = self.among_its_own(known, *quality) else { continue };
                let enough = self.all.get(quality).is_some_and(|row| row.len() >= LEAST);
                if enough && 1.0 - below > DISAGREES {
                    let (other, share) = (quality.opposite(), (1.0 - below) * 100.0);
                    // Clear and noisy are measured apart; the opposite would say too much.
                    let said = if matches!(quality, Quality::Clearer | Quality::Noisier) {
                        format!("{share:.0} % of {whom} are {quality}")
                    } else {
                        format!("measured {other} than {share:.0} % of {whom}")
                    };
                    found.push(format!("called “{word}”, {said}"));
                }
            }
        }
        found
    }
}

/// The share of an ordered row that is less; half of what is equal counts.
fn below(row: &[f64], amount: f64) -> Option<f64> {
    let less = row.partition_point(|value| *value < amount);
    let not_more = row.partition_point(|value| *value <= amount);
    (!row.is_empty()).then(|| (less + not_more) as f64 / 2.0 / row.len() as f64)
}
