//! Search for a sound: like this one, but brighter, in the part's words; each alone or all together.

use super::likeness::{Placed, Print, Scale};
use super::reason::Ranks;
use super::taught::Taught;
use super::words::{MadeOf, Meaning, Wanted, wanted};
use super::{Measures, Quality, StrikeKey};
use crate::id::{InstrumentId, KindId};
use std::sync::Arc;

/// A measured strike with what is known of its instrument.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// Which strike.
    pub key: StrikeKey,
    /// Of what kind.
    pub kind: KindId,
    /// What the instrument is made of.
    pub made_of: MadeOf,
    /// Names by which words may find it: the instrument's and its kind's in every language, in small letters.
    pub names: Vec<String>,
    /// The section's words: the strike's and its instrument's.
    pub words: Vec<String>,
    /// Made by a model, not recorded.
    pub by_model: bool,
    /// The figures.
    pub measures: Arc<Measures>,
}

/// An instrument without a measured strike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unheard {
    /// Which.
    pub instrument: InstrumentId,
    /// What it is made of.
    pub made_of: MadeOf,
    /// Names by which words may find it, in small letters.
    pub names: Vec<String>,
    /// The section's words for it.
    pub words: Vec<String>,
}

/// What is wanted. Nothing at all asks for every strike, in order.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Asked {
    /// Like this.
    pub like: Option<Arc<Measures>>,
    /// Which of the strikes that is, if it is one: it is not its own answer.
    pub itself: Option<StrikeKey>,
    /// But so; two opposites find nothing. Without `like` it is what there is most of that counts.
    pub but: Vec<Quality>,
    /// In these words.
    pub words: String,
}

/// One answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Its place in [`Heard::all`].
    pub at: usize,
    /// How far it is from what was asked: 0 is the same, about 1 a near relation.
    pub distance: f64,
    /// Why it stands where it does, in words and numbers, the weightiest first.
    pub reasons: Vec<String>,
    /// Where the section's words and the measures disagree, both said.
    pub disagreements: Vec<String>,
}

/// An unmeasured instrument that the words fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unmeasured {
    /// Which.
    pub instrument: InstrumentId,
    /// The words that fit it.
    pub fits: Vec<String>,
}

/// What was found.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Answers {
    /// The nearest first.
    pub found: Vec<Answer>,
    /// How many more answer than were asked for.
    pub beyond: usize,
    /// Those that nobody has recorded, by how many words fit.
    pub unmeasured: Vec<Unmeasured>,
    /// Words of the question that say nothing here.
    pub unknown: Vec<String>,
    /// Words of the question that the section uses otherwise than they are usually meant, a phrase each.
    pub otherwise: Vec<String>,
}

/// All that was heard, ready to be asked.
#[derive(Clone, Debug)]
pub struct Heard {
    all: Vec<Known>,
    unheard: Vec<Unheard>,
    placed: Vec<Placed>,
    scale: Scale,
    ranks: Ranks,
    taught: Taught,
}

/// From so many labelled strikes on, the scale is learnt from what varies within instruments.
const LEARN_FROM: usize = 400;

impl Heard {
    /// Of these strikes and instruments.
    pub fn new(all: Vec<Known>, unheard: Vec<Unheard>) -> Self {
        let prints: Vec<Print> = all.iter().map(|known| Print::of(&known.measures)).collect();
        let scale = if prints.len() < LEARN_FROM { Scale::plain(&prints) } else { by_kind(&all, &prints) };
        Self {
            placed: prints.iter().map(|print| scale.place(print)).collect(),
            ranks: Ranks::of(&all),
            taught: Taught::by(&all),
            scale,
            all,
            unheard,
        }
    }

    /// Every strike, as it was handed in.
    pub fn all(&self) -> &[Known] {
        &self.all
    }

    /// What the section's words have taught.
    pub fn taught(&self) -> &Taught {
        &self.taught
    }

    /// How far two strikes lie apart.
    pub fn distance(&self, one: &Measures, other: &Measures) -> f64 {
        self.scale.place(&Print::of(one)).distance(&self.scale.place(&Print::of(other)))
    }

    /// The answers to a question, at most `most` of them.
    pub fn ask(&self, asked: &Asked, most: usize) -> Answers {
        self.ask_among(asked, most, &|_| true, &|_| true)
    }

    /// As [`Heard::ask`], among those strikes and unmeasured instruments alone that are left.
    pub fn ask_among(
        &self,
        asked: &Asked,
        most: usize,
        strike_is_left: &dyn Fn(&Known) -> bool,
        instrument_is_left: &dyn Fn(&InstrumentId) -> bool,
    ) -> Answers {
        let words = wanted(&asked.words);
        let question = Question::of(self, asked, &words);
        let mut found: Vec<(usize, f64)> = self
            .all
            .iter()
            .zip(&self.placed)
            .enumerate()
            .filter(|(_, (known, _))| asked.itself.as_ref() != Some(&known.key) && strike_is_left(known))
            .filter_map(|(at, (known, placed))| Some((at, question.distance(self, known, placed)?)))
            .collect();
        found.sort_by(|one, other| one.1.total_cmp(&other.1).then(one.0.cmp(&other.0)));
        let beyond = found.len().saturating_sub(most);
        found.truncate(most);
        let answer = |(at, distance): (usize, f64)| {
            let known = self.all.get(at)?;
            let reasons = self.ranks.reasons(known, asked, &question.leanings);
            Some(Answer { at, distance, reasons, disagreements: self.ranks.disagreements(known) })
        };
        let unknown =
            words.iter().filter(|word| !self.is_known(word)).map(|word| word.word.clone()).collect();
        let found = found.into_iter().filter_map(answer).collect();
        let mut unmeasured = self.unmeasured(&words);
        unmeasured.retain(|one| instrument_is_left(&one.instrument));
        let otherwise =
            words.iter().filter_map(|word| self.taught.otherwise_than_usual(&word.word)).collect();
        Answers { found, beyond, unmeasured, unknown, otherwise }
    }

    /// Whether a word says something: of sound, of what the section says, or as a name.
    fn is_known(&self, word: &Wanted) -> bool {
        word.meaning.is_some()
            || self.taught.leanings(&word.word).is_some()
            || self.all.iter().any(|known| is_named(&word.word, &known.names, &known.words))
            || self.unheard.iter().any(|one| is_named(&word.word, &one.names, &one.words))
    }

    fn unmeasured(&self, words: &[Wanted]) -> Vec<Unmeasured> {
        let fits = |one: &Unheard| -> Vec<String> {
            let fit = |word: &&Wanted| {
                word.meaning == Some(Meaning::Made(one.made_of))
                    || is_named(&word.word, &one.names, &one.words)
                    || one.words.iter().any(|own| says_the_same(own, word))
            };
            words.iter().filter(fit).map(|word| word.word.clone()).collect()
        };
        let listed = |one: &Unheard| Unmeasured { instrument: one.instrument.clone(), fits: fits(one) };
        let mut all: Vec<Unmeasured> = self.unheard.iter().map(listed).collect();
        if !words.is_empty() {
            all.retain(|one| !one.fits.is_empty());
        }
        all.sort_by(|one, other| {
            other.fits.len().cmp(&one.fits.len()).then_with(|| one.instrument.cmp(&other.instrument))
        });
        all
    }
}

/// Whether a character word means the same quality as the word that was asked.
fn says_the_same(own: &str, asked: &Wanted) -> bool {
    matches!(asked.meaning, Some(Meaning::Much(_))) && super::words::meaning(own) == asked.meaning
}

/// Whether the word stands among names or character words, as a word of its own or the beginning of a longer one.
fn is_named(word: &str, names: &[String], words: &[String]) -> bool {
    let long = word.chars().count() >= 4;
    let within = |text: &String| {
        text.to_lowercase()
            .split(|c: char| !c.is_alphanumeric())
            .any(|part| part == word || (long && part.starts_with(word)))
    };
    names.iter().any(within) || words.iter().any(within)
}

/// The scale by what varies within the kinds.
fn by_kind(all: &[Known], prints: &[Print]) -> Scale {
    let mut groups = std::collections::BTreeMap::<&KindId, Vec<Print>>::new();
    for (known, print) in all.iter().zip(prints) {
        groups.entry(&known.kind).or_default().push(*print);
    }
    Scale::within(&groups.into_values().collect::<Vec<_>>(), 0.3)
}

/// What the words lean towards: a quality, and how much it weighs.
pub(super) type Leaning = (Quality, f64);

/// What an answer should be; one that is not stands further behind.
enum Must {
    Made(MadeOf),
    Named(String),
}

/// A question made ready.
struct Question<'a> {
    asked: &'a Asked,
    musts: Vec<Must>,
    place: Option<Placed>,
    leanings: Vec<Leaning>,
    left_out: Vec<usize>,
}

impl<'a> Question<'a> {
    fn of(heard: &Heard, asked: &'a Asked, words: &[Wanted]) -> Self {
        let (mut leanings, mut musts): (Vec<Leaning>, Vec<Must>) = (Vec::new(), Vec::new());
        for word in words {
            match (heard.taught.leanings(&word.word), word.meaning) {
                // What the section means by a word outweighs what others may.
                (Some(own), _) => leanings.extend(own.iter().copied()),
                (None, Some(Meaning::Much(qualities))) => {
                    let share = 1.0 / qualities.len().max(1) as f64;
                    leanings.extend(qualities.iter().map(|quality| (*quality, share)));
                }
                (None, Some(Meaning::Made(made_of))) => musts.push(Must::Made(made_of)),
                // A name counts where anything bears it.
                (None, None) if heard.is_known(word) => musts.push(Must::Named(word.word.clone())),
                (None, None) => {}
            }
        }
        if asked.like.is_none() {
            leanings.extend(asked.but.iter().map(|quality| (*quality, 1.0)));
        }
        Self {
            place: asked.like.as_ref().map(|like| heard.scale.place(&Print::of(like))),
            left_out: {
                let mut places: Vec<usize> =
                    asked.but.iter().flat_map(|quality| quality.twins()).copied().collect();
                places.sort_unstable();
                places.dedup();
                places
            },
            asked,
            musts,
            leanings,
        }
    }

    /// How far a strike is from what is wanted; `None` where it does not answer.
    fn distance(&self, heard: &Heard, known: &Known, placed: &Placed) -> Option<f64> {
        let mut square = 0.0;
        if let (Some(place), Some(like)) = (&self.place, &self.asked.like) {
            square += placed.distance_without(place, &self.left_out).powi(2) / 6.0;
            for quality in &self.asked.but {
                let moved = quality.amount(&known.measures)? - quality.amount(like)?;
                if moved < quality.step() {
                    return None;
                }
                // Small steps before great ones.
                square += 0.25 * (moved - quality.step()).powi(2);
            }
        }
        for (quality, weight) in &self.leanings {
            // The share of the others that have more of it.
            let more = 1.0 - heard.ranks.share_below(known, *quality)?;
            square += 4.0 * weight * more * more;
        }
        let misses = |must: &&Must| match must {
            Must::Made(made_of) => *made_of != known.made_of,
            Must::Named(word) => !is_named(word, &known.names, &known.words),
        };
        square += 4.0 * self.musts.iter().filter(misses).count() as f64;
        Some(square.sqrt())
    }
}

#[cfg(test)]
mod tests;
