//! What was heard of the collection, ready to be shown and asked: worked out once a library and set of measures.

use backrow_core::collection::{Beater, Instrument, Material};
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::sound::{Heard, Known, MadeOf, Measures, Strike, StrikeKey, TakeKey, Unheard};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Measures of strikes, as far as they are worked out.
pub type Measured = BTreeMap<StrikeKey, Arc<Measures>>;

/// A take whose sound cannot be read, and why.
pub type Unread = (TakeKey, String);

/// A strike's facts beside its measures, in the order of [`Heard::all`].
#[derive(Clone, Debug)]
pub(crate) struct Fact {
    /// "Xylophone 3, F5, hard rubber, mf".
    pub(crate) name: String,
    pub(crate) material: Material,
    /// The bar's key number; `None` for what has no bars.
    pub(crate) bar: Option<u8>,
}

/// All that was heard.
pub(crate) struct Sounds {
    pub(crate) heard: Heard,
    pub(crate) facts: Vec<Fact>,
    /// Strikes that are not measured yet.
    pub(crate) waiting: usize,
    /// Takes whose sound cannot be read, a sentence each.
    pub(crate) unread: Vec<String>,
}

impl Sounds {
    /// A strike with its facts, by its key.
    pub(crate) fn find(&self, key: &StrikeKey) -> Option<(usize, &Known, &Fact)> {
        let at = self.heard.all().iter().position(|known| known.key == *key)?;
        Some((at, self.heard.all().get(at)?, self.facts.get(at)?))
    }
}

/// Everything that has takes, and what has none, of a library.
pub(crate) fn of(library: &Library, measured: &Measured, unread: &[Unread]) -> Sounds {
    let troubles: BTreeMap<&TakeKey, &String> = unread.iter().map(|(key, why)| (key, why)).collect();
    let mut cannot = Vec::new();
    let (mut all, mut facts, mut waiting) = (Vec::new(), Vec::new(), 0);
    let mut recorded: BTreeSet<&InstrumentId> = BTreeSet::new();
    for take in library.takes.values() {
        let Some(thing) = library.instruments.get(&take.instrument) else { continue };
        let trouble = troubles.get(&take.key());
        cannot.extend(trouble.map(|why| format!("{}, {}: {why}", thing.name, take.id)));
        for (key, strike) in take.keyed() {
            // What is still being measured was recorded all the same; what cannot be read is as good as not recorded.
            if trouble.is_none() {
                recorded.insert(&take.instrument);
            }
            let Some(measures) = measured.get(&key) else {
                // Nobody waits for what cannot be read.
                waiting += usize::from(trouble.is_none());
                continue;
            };
            let words = strike.words.iter().chain(&thing.character).cloned().collect();
            facts.push(Fact {
                name: name(library, thing, strike),
                material: thing.material,
                bar: strike.bar.map(backrow_core::pitch::KeyNumber::number),
            });
            all.push(Known {
                key,
                kind: thing.kind.clone(),
                made_of: MadeOf::of(thing.material),
                names: names(library, thing),
                words,
                by_model: take.by_model,
                measures: measures.clone(),
            });
        }
    }
    let unheard = library.instruments.values().filter(|thing| !recorded.contains(&thing.id));
    let unheard = unheard.map(|thing| Unheard {
        instrument: thing.id.clone(),
        made_of: MadeOf::of(thing.material),
        names: names(library, thing),
        words: thing.character.clone(),
    });
    Sounds { heard: Heard::new(all, unheard.collect()), facts, waiting, unread: cannot }
}

fn names(library: &Library, thing: &Instrument) -> Vec<String> {
    let kind = library.kinds.get(&thing.kind);
    let of_kind =
        kind.into_iter().flat_map(|kind| kind.names.all().map(str::to_lowercase).collect::<Vec<_>>());
    std::iter::once(thing.name.to_lowercase()).chain(of_kind).collect()
}

/// "Xylophone 3, F5, hard rubber, mf, edge".
pub(crate) fn name(library: &Library, thing: &Instrument, strike: &Strike) -> String {
    let beater = strike.beater.as_ref().and_then(|id| library.beaters.get(id)).map(|b| Beater::clone(b).name);
    let parts = [
        Some(thing.name.clone()),
        strike.bar.map(|bar| bar.to_string()),
        beater,
        strike.how_hard.map(|level| level.sign().to_owned()),
        Some(strike.spot.clone()).filter(|spot| !spot.trim().is_empty()),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_read_is_told_and_nobody_waits_for_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("library");
        backrow_files::library::copy_demo(&path).unwrap();
        let library = backrow_files::library::open(&path, &backrow_files::kinds::standard().unwrap()).library;
        let strikes: usize = library.takes.values().map(|take| take.strikes.len()).sum();
        let key = library.takes.keys().next().unwrap().clone();
        let without = library.takes[&key].strikes.len();
        assert_eq!(of(&library, &Measured::new(), &[]).waiting, strikes);
        let sounds = of(&library, &Measured::new(), &[(key, "the file is not there".to_owned())]);
        assert_eq!(sounds.waiting, strikes - without);
        assert!(sounds.unread[0].ends_with("the file is not there"), "{:?}", sounds.unread);
    }
}
