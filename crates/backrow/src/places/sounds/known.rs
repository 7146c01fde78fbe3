//! What was heard of the collection, ready to be shown and asked: worked out once a library and set of measures.

use backrow_core::collection::{Beater, Instrument, Material};
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::sound::{Heard, Known, MadeOf, Measures, Strike, StrikeKey, Unheard};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Measures of strikes, as far as they are worked out.
pub type Measured = BTreeMap<StrikeKey, Arc<Measures>>;

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
}

impl Sounds {
    /// A strike with its facts, by its key.
    pub(crate) fn find(&self, key: &StrikeKey) -> Option<(usize, &Known, &Fact)> {
        let at = self.heard.all().iter().position(|known| known.key == *key)?;
        Some((at, self.heard.all().get(at)?, self.facts.get(at)?))
    }
}

/// Everything that has takes, and what has none, of a library.
pub(crate) fn of(library: &Library, measured: &Measured) -> Sounds {
    let (mut all, mut facts, mut waiting) = (Vec::new(), Vec::new(), 0);
    let mut recorded: BTreeSet<&InstrumentId> = BTreeSet::new();
    for take in library.takes.values() {
        let Some(thing) = library.instruments.get(&take.instrument) else { continue };
        for (key, strike) in take.keyed() {
            // What is still being measured was recorded all the same.
            recorded.insert(&take.instrument);
            let Some(measures) = measured.get(&key) else {
                waiting += 1;
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
    Sounds { heard: Heard::new(all, unheard.collect()), facts, waiting }
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
