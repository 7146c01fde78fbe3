//! The kinds table by every name, and names found in running words.

use super::aliases::ALIASES;
use super::ambiguous::{AMBIGUOUS, OPEN, WITH_COMPANY};
use super::around::{CHANGES, GENERIC, OTHERS};
use super::fold::{Token, key, tokens, without_umlauts};
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The four languages in the order in which the kinds table has them.
pub(crate) const LANGUAGES: [&str; 4] = ["English", "Italian", "German", "French"];

/// Where a name comes from.
#[derive(Clone, Debug)]
struct Entry {
    kind: KindId,
    /// A bit for each language, in the order of `LANGUAGES`.
    languages: u8,
    abbreviation: bool,
    /// How usual the name is for the kind, 0 the most.
    rank: usize,
}

/// A name found in a text.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Found {
    /// What it may name, the usual reading first.
    pub(crate) candidates: Vec<Candidate>,
    /// As printed.
    pub(crate) printed: String,
    /// First and one past the last token.
    pub(crate) from: usize,
    pub(crate) to: usize,
    /// Found by an abbreviation only.
    pub(crate) abbreviation: bool,
    /// It means other things elsewhere in a score, and names an instrument only in the company of another name or after a word
    /// of change: the kinds table says which do.
    pub(crate) needs_company: bool,
}

/// A kind that a word may name.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Candidate {
    pub(crate) kind: KindId,
    /// The languages in which the word is this kind's name.
    pub(crate) languages: u8,
    /// How far it stands behind the usual reading, before anything is known of the notes.
    pub(crate) behind: f64,
}

/// Every name of every kind.
pub(crate) struct NameTable {
    kinds: Shared<KindId, Kind>,
    names: BTreeMap<String, Vec<Entry>>,
    generic: BTreeSet<String>,
    changes: BTreeSet<String>,
    with_company: BTreeSet<String>,
}

/// Keys of the reference table of names that are no instruments.
fn is_no_instrument(id: &str) -> bool {
    id.starts_with("sticks")
        || matches!(
            id,
            "percussion"
                | "brushes"
                | "bow"
                | "without_snares"
                | "with_snares"
                | "muffled"
                | "let_ring"
                | "damp"
        )
}

/// Kinds with fewer names than this many words are found; no name is longer.
const LONGEST: usize = 6;

impl NameTable {
    /// From a library's kinds.
    pub(crate) fn new(kinds: &Shared<KindId, Kind>) -> Self {
        let mut table = Self {
            kinds: Arc::clone(kinds),
            names: BTreeMap::new(),
            generic: GENERIC.iter().map(|text| key(text)).collect(),
            changes: CHANGES.iter().map(|text| key(text)).collect(),
            with_company: WITH_COMPANY.iter().map(|text| key(text)).collect(),
        };
        for kind in kinds.values().filter(|kind| !is_no_instrument(kind.id.as_str())) {
            table.with_company.extend(kind.names.with_company.iter().map(|name| key(name)));
            let lists = [&kind.names.english, &kind.names.italian, &kind.names.german, &kind.names.french];
            for (language, names) in lists.into_iter().enumerate() {
                for (rank, name) in names.iter().enumerate() {
                    table.put(name, &kind.id, 1 << language, false, rank);
                }
            }
            for (rank, name) in kind.names.abbreviations.iter().enumerate() {
                table.put(name, &kind.id, 0, true, rank);
            }
        }
        for (id, names) in ALIASES {
            let Some((id, _)) = KindId::new(id).ok().and_then(|id| kinds.get_key_value(&id)) else {
                continue;
            };
            for name in *names {
                let short = key(name).len() <= 3;
                table.put(name, id, 0, short, 9);
            }
        }
        table
    }

    /// A kind by its id.
    pub(crate) fn kind(&self, id: &KindId) -> Option<&Kind> {
        self.kinds.get(id).map(|kind| &**kind)
    }

    fn put(&mut self, name: &str, kind: &KindId, languages: u8, abbreviation: bool, rank: usize) {
        // "cymbals (pair)" is also just "cymbals".
        let bare = name.split_once('(').map(|(bare, _)| bare);
        for name in [Some(name), bare].into_iter().flatten() {
            let plain = key(name);
            if plain.is_empty() {
                continue;
            }
            let mut forms = vec![plain.clone()];
            if !abbreviation && plain.len() > 3 {
                // One or many: "triangles", "Holzblock", "wood blocks".
                match plain.strip_suffix('s') {
                    Some(one) => forms.push(one.to_owned()),
                    None => forms.push(format!("{plain}s")),
                }
            }
            for (at, form) in forms.into_iter().enumerate() {
                let entries = self.names.entry(form).or_default();
                match entries.iter_mut().find(|entry| entry.kind == *kind) {
                    Some(entry) => {
                        entry.languages |= languages;
                        entry.abbreviation &= abbreviation;
                        entry.rank = entry.rank.min(rank + at);
                    }
                    None => {
                        entries.push(Entry { kind: kind.clone(), languages, abbreviation, rank: rank + at });
                    }
                }
            }
        }
    }

    /// What a key names; empty for nothing.
    fn look_up(&self, key: &str) -> (Vec<Candidate>, bool) {
        let umlauts = without_umlauts(key);
        let entries = self.names.get(key).or_else(|| self.names.get(&umlauts));
        let fixed = AMBIGUOUS.iter().find(|(word, _)| *word == key || *word == umlauts);
        let languages = |kind: &KindId| {
            entries.into_iter().flatten().find(|entry| entry.kind == *kind).map_or(0, |entry| entry.languages)
        };
        if let Some((word, ids)) = fixed {
            let step = if OPEN.contains(word) { 0.4 } else { 1.2 };
            let candidates: Vec<Candidate> = ids
                .iter()
                .filter_map(|id| KindId::new(id).ok())
                .filter(|id| self.kinds.contains_key(id))
                .zip(0_u8..)
                .map(|(kind, at)| Candidate {
                    languages: languages(&kind),
                    kind,
                    behind: step * f64::from(at),
                })
                .collect();
            let short = entries.is_some_and(|entries| entries.iter().all(|entry| entry.abbreviation))
                || (entries.is_none() && key.len() <= 4);
            return (candidates, short);
        }
        let mut entries: Vec<&Entry> = entries.into_iter().flatten().collect();
        // A full name goes before an abbreviation: "Cel." is not looked for where "célesta" stands.
        if entries.iter().any(|entry| !entry.abbreviation) {
            entries.retain(|entry| !entry.abbreviation);
        }
        entries.sort_by_key(|entry| entry.rank);
        let abbreviation = entries.iter().all(|entry| entry.abbreviation);
        let candidates = entries
            .into_iter()
            .zip(0_u8..)
            .map(|(entry, at)| Candidate {
                kind: entry.kind.clone(),
                languages: entry.languages,
                behind: 0.4 * f64::from(at.min(10)),
            })
            .collect();
        (candidates, abbreviation)
    }

    /// The names in a text, from the left, the longest first.
    ///
    /// An abbreviation counts with its stop, after a word of change, or alone with its numbers.
    pub(crate) fn find(&self, text: &str, words: &[Token], taken: &[bool]) -> Vec<Found> {
        if let Some(whole) = self.whole(text, words, taken) {
            return vec![whole];
        }
        let mut out = Vec::new();
        let mut from = 0;
        while from < words.len() {
            let Some(found) = self.find_at(text, words, taken, from) else {
                from += 1;
                continue;
            };
            from = found.to;
            out.push(found);
        }
        out
    }

    /// A text that is one name, brackets and all: "timbales (Latin)".
    fn whole(&self, text: &str, words: &[Token], taken: &[bool]) -> Option<Found> {
        if words.len() > LONGEST || !words.iter().skip(1).any(|w| w.fresh) || taken.contains(&true) {
            return None;
        }
        // A comma or slash parts two instruments.
        if text.contains([',', ';', '/', '+', '&']) {
            return None;
        }
        let joined: String = words.iter().map(|w| w.text.as_str()).collect();
        let (candidates, abbreviation) = self.look_up(&joined);
        (!candidates.is_empty() && !abbreviation).then(|| Found {
            candidates,
            printed: text.trim().to_owned(),
            from: 0,
            to: words.len(),
            abbreviation,
            needs_company: self.with_company.contains(&joined),
        })
    }

    fn find_at(&self, text: &str, words: &[Token], taken: &[bool], from: usize) -> Option<Found> {
        let most = (1..LONGEST)
            .find(|n| words.get(from + n).is_none_or(|w| w.fresh) || taken.get(from + n) == Some(&true))
            .unwrap_or(LONGEST);
        if taken.get(from) == Some(&true) {
            return None;
        }
        for length in (1..=most).rev() {
            let window = words.get(from..from + length)?;
            let joined: String = window.iter().map(|w| w.text.as_str()).collect();
            let (candidates, abbreviation) = self.look_up(&joined);
            if candidates.is_empty() || !self.counts(words, from, length, abbreviation, &joined) {
                continue;
            }
            let (first, last) = (window.first()?, window.last()?);
            let end = last.to + usize::from(last.dot);
            let printed = text.get(first.from..end).unwrap_or_default().to_owned();
            let needs_company = self.with_company.contains(&joined);
            return Some(Found { candidates, printed, from, to: from + length, abbreviation, needs_company });
        }
        None
    }

    fn counts(&self, words: &[Token], from: usize, length: usize, abbreviation: bool, joined: &str) -> bool {
        let next = words.get(from + length);
        let before = from.checked_sub(1).and_then(|at| words.get(at)).map_or("", |w| w.text.as_str());
        let after = next.map_or("", |w| w.text.as_str());
        // "switch to" is not the switch that strikes; "without snares" asks for no second drum.
        if joined == "switch" && after == "to"
            || joined.starts_with("snare")
                && (["without", "with", "no"].contains(&before) || ["on", "off"].contains(&after))
        {
            return false;
        }
        // A canon is a form before it is a cannon, and tuned drums are no drum kit.
        if !abbreviation && joined != "canon" && joined != "drums" {
            return true;
        }
        let dotted = words.get(from..from + length).is_some_and(|window| window.iter().any(|w| w.dot));
        let alone = words.iter().enumerate().all(|(at, w)| {
            (from..from + length).contains(&at)
                || w.text.chars().all(|c| c.is_ascii_digit())
                || is_roman(&w.text)
        });
        dotted || alone || self.after_change(words, from)
    }

    /// Whether a word of change stands right before `from`.
    pub(crate) fn after_change(&self, words: &[Token], from: usize) -> bool {
        (1..=2).any(|n| {
            from.checked_sub(n).and_then(|start| words.get(start..from)).is_some_and(|window| {
                let joined: String = window.iter().map(|w| w.text.as_str()).collect();
                self.changes.contains(&joined)
            })
        })
    }

    /// What a heading says.
    pub(crate) fn heading(&self, text: &str) -> Heading {
        let words = tokens(text);
        let mut found = self.find(text, &words, &[]);
        let covered = |at: usize, found: &[Found]| found.iter().any(|f| (f.from..f.to).contains(&at));
        let plain: Vec<&Token> = words
            .iter()
            .filter(|w| !w.text.chars().all(|c| c.is_ascii_digit()) && !is_roman(&w.text))
            .collect();
        let joined: String = plain.iter().map(|w| w.text.as_str()).collect();
        let generic = self.generic.contains(&joined)
            || words.iter().enumerate().any(|(at, w)| !covered(at, &found) && self.generic.contains(&w.text));
        // "Schlagzeug" alone is the section; the drum kit is then told by what is in it.
        if self.generic.contains(&joined) {
            found.clear();
        }
        // "Bass xylophone", "keyboard perc.": how low, or what sort of percussion.
        let sort = |at: usize, w: &Token| {
            SORTS.contains(&w.text.as_str())
                && words.get(at + 1).is_some_and(|next| {
                    !next.fresh && (covered(at + 1, &found) || self.generic.contains(&next.text))
                })
        };
        let other = words.iter().enumerate().position(|(at, w)| {
            !covered(at, &found)
                && !sort(at, w)
                && OTHERS.iter().any(|(name, _)| *name == w.text || *name == without_umlauts(&w.text))
        });
        // "Cl." is a clarinet before it is a bell.
        found.retain(|f| !(f.abbreviation && OTHERS.iter().any(|(name, _)| *name == joined_of(&words, f))));
        let own = |w: &&Token| OTHERS.iter().any(|(name, _)| *name == w.text);
        let bland = plain.iter().copied().filter(own).all(|w| BLAND.contains(&w.text.as_str()));
        let other = other
            .is_some_and(|other| found.first().is_none_or(|f| other < f.from) || found.is_empty())
            || (found.is_empty() && !generic && OTHERS.iter().any(|(name, _)| *name == joined));
        Heading { found, generic, other, bland: other && bland }
    }
}

/// Words for a track that say how its sound is made or which part it has, and not what plays it.
const BLAND: &[&str] = &["synth", "synthesizer", "lead", "pad"];

/// Words that are other instruments or voices alone, and say of which sort it is before a name of percussion.
const SORTS: &[&str] = &["soprano", "alto", "tenor", "baritone", "bass", "contrabass", "keyboard"];

fn joined_of(words: &[Token], found: &Found) -> String {
    words.get(found.from..found.to).unwrap_or_default().iter().map(|w| w.text.as_str()).collect()
}

/// What a heading says.
#[derive(Clone, Debug, Default)]
pub(crate) struct Heading {
    /// The kinds it names, from the left.
    pub(crate) found: Vec<Found>,
    /// It names the section: "Percussion 1".
    pub(crate) generic: bool,
    /// It names another instrument first.
    pub(crate) other: bool,
    /// That other one is no more than "Lead 2" or "Synth 1": what a program says is plainer.
    pub(crate) bland: bool,
}

/// I to XII, and the like.
pub(crate) fn is_roman(text: &str) -> bool {
    !text.is_empty() && text.len() <= 4 && text.chars().all(|c| matches!(c, 'i' | 'v' | 'x'))
}

/// The languages of a text's other instruments, a count each in the order of `LANGUAGES`.
pub(crate) fn languages_of(text: &str, counts: &mut [u32; 4]) {
    for word in tokens(text) {
        let plain = without_umlauts(&word.text);
        let Some((_, letters)) = OTHERS.iter().find(|(name, _)| *name == word.text || *name == plain) else {
            continue;
        };
        for letter in letters.chars() {
            let at = match letter {
                'e' => 0,
                'i' => 1,
                'd' => 2,
                _ => 3,
            };
            if let Some(count) = counts.get_mut(at) {
                *count += 1;
            }
        }
    }
}
