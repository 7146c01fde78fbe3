//! What the section's own words mean: learnt from the strikes that they stand beside.

use super::Quality;
use super::search::{Known, Leaning};
use super::words::qualities;
use std::collections::BTreeMap;

/// Words that stand beside enough measured strikes, and what those have more of than the others.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Taught {
    words: BTreeMap<String, Vec<Leaning>>,
}

/// Instruments or strikes that a word must stand beside before it teaches anything.
const LEAST: usize = 3;
/// The difference of means, in spreads, from which on it counts.
const DIFFERENT: f64 = 0.6;

impl Taught {
    /// By all that was heard. Strikes made by a model teach nothing: nobody has listened to the instrument.
    pub(super) fn by(all: &[Known]) -> Self {
        let mut beside = BTreeMap::<String, Vec<usize>>::new();
        for (at, known) in all.iter().enumerate().filter(|(_, known)| !known.by_model) {
            let mut own: Vec<String> = known.words.iter().map(|word| word.trim().to_lowercase()).collect();
            own.sort();
            own.dedup();
            for word in own.into_iter().filter(|word| !word.is_empty()) {
                beside.entry(word).or_default().push(at);
            }
        }
        let enough = |places: &Vec<usize>| {
            let mut instruments: Vec<_> =
                places.iter().filter_map(|at| all.get(*at)).map(|known| &known.key.instrument).collect();
            instruments.dedup();
            instruments.len() >= LEAST
        };
        beside.retain(|_, places| enough(places) && places.len() < all.len());
        let amounts: Vec<(Quality, Vec<Option<f64>>)> = Quality::ALL
            .into_iter()
            .map(|quality| (quality, all.iter().map(|known| quality.amount(&known.measures)).collect()))
            .collect();
        let learnt = |places: &[usize]| -> Vec<Leaning> {
            let one = |(quality, row): &(Quality, Vec<Option<f64>>)| {
                let more = difference(row, places)?;
                (more > DIFFERENT).then_some((*quality, more.min(2.0) / 2.0))
            };
            amounts.iter().filter_map(one).collect()
        };
        let words = beside.into_iter().map(|(word, places)| (word, learnt(&places)));
        Self { words: words.filter(|(_, leanings)| !leanings.is_empty()).collect() }
    }

    /// What the section means by a word; `None` where it has not said it often enough.
    pub fn leanings(&self, word: &str) -> Option<&[(Quality, f64)]> {
        self.words.get(&word.to_lowercase()).map(Vec::as_slice)
    }

    /// Words that the section uses otherwise than they are usually meant: "the section's \"warm\" is longer and softer".
    pub fn otherwise(&self) -> Vec<String> {
        self.words.keys().filter_map(|word| self.otherwise_than_usual(word)).collect()
    }

    /// As [`Taught::otherwise`], of one word; `None` where it is used as usual.
    pub(super) fn otherwise_than_usual(&self, word: &str) -> Option<String> {
        let own = self.leanings(word)?;
        let usual = qualities(word);
        let opposed = usual.iter().any(|quality| own.iter().any(|(own, _)| *own == quality.opposite()));
        let list: Vec<&str> = own.iter().map(|(quality, _)| quality.word()).collect();
        opposed.then(|| format!("what the section calls “{word}” is {}", list.join(", ")))
    }
}

/// By how many spreads the mean of these lies above that of the others.
fn difference(row: &[Option<f64>], places: &[usize]) -> Option<f64> {
    let own: Vec<f64> = places.iter().filter_map(|at| row.get(*at).copied().flatten()).collect();
    let all: Vec<f64> = row.iter().copied().flatten().collect();
    if own.len() < LEAST || all.len() <= own.len() {
        return None;
    }
    let (sum, count) = (all.iter().sum::<f64>(), all.len() as f64);
    let mean = sum / count;
    let spread = (all.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / count).sqrt();
    let own_sum: f64 = own.iter().sum();
    let others = (sum - own_sum) / (count - own.len() as f64);
    (spread > 1e-9).then(|| (own_sum / own.len() as f64 - others) / spread)
}
