//! What the collection is worth, by store and by owner, and what its care cost.

use crate::care::Work;
use crate::collection::Owner;
use crate::id::InstrumentId;
use crate::library::Library;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// A sum under a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Sum {
    /// A store or an owner.
    pub name: String,
    /// In the orchestra's currency.
    pub amount: f64,
    /// How many instruments have a value.
    pub valued: usize,
    /// How many stand there without one.
    pub unvalued: usize,
}

/// What the collection is worth. Sums of what somebody stated: an insurer asks for valuers.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Values {
    /// By store, by name; what is kept nowhere comes last.
    pub by_store: Vec<Sum>,
    /// By owner: the orchestra first.
    pub by_owner: Vec<Sum>,
    /// What cannot be replaced, with why.
    pub irreplaceable: Vec<(InstrumentId, String)>,
    /// All together.
    pub total: f64,
}

/// Adds up the values that are stated.
pub fn values(library: &Library) -> Values {
    let mut by_store: BTreeMap<(bool, String), Sum> = BTreeMap::new();
    let mut by_owner: BTreeMap<(u8, String), Sum> = BTreeMap::new();
    let mut found = Values::default();
    for thing in library.instruments.values() {
        let care = library.care.get(&thing.id);
        let amount = care.and_then(|care| care.value.as_ref()).map(|value| value.amount);
        let store =
            thing.place.as_ref().map(|id| library.places.get(id).map_or(id.as_str(), |place| &place.name));
        let store = (store.is_none(), store.unwrap_or("kept in no store").to_owned());
        let owner = match &thing.owner {
            Owner::Orchestra => (0, "the orchestra".to_owned()),
            Owner::Player(id) => (1, library.player_name(id)),
            Owner::Other(words) => (2, words.clone()),
        };
        add(by_store.entry(store.clone()).or_insert_with(|| nothing(store.1)), amount);
        add(by_owner.entry(owner.clone()).or_insert_with(|| nothing(owner.1)), amount);
        found.total += amount.unwrap_or(0.0);
        if let Some(care) = care.filter(|care| !care.irreplaceable.is_empty()) {
            found.irreplaceable.push((thing.id.clone(), care.irreplaceable.clone()));
        }
    }
    found.by_store = by_store.into_values().collect();
    found.by_owner = by_owner.into_values().collect();
    found
}

const fn nothing(name: String) -> Sum {
    Sum { name, amount: 0.0, valued: 0, unvalued: 0 }
}

fn add(sum: &mut Sum, amount: Option<f64>) {
    sum.amount += amount.unwrap_or(0.0);
    sum.valued += usize::from(amount.is_some());
    sum.unvalued += usize::from(amount.is_none());
}

/// What one sort of work cost.
#[derive(Clone, Debug, PartialEq)]
pub struct Cost {
    /// The sort.
    pub work: Work,
    /// In the orchestra's currency.
    pub amount: f64,
    /// How many lines of the log.
    pub lines: usize,
    /// How many of them without a price.
    pub unpriced: usize,
}

/// What care cost from one day to another, both counted, by sort of work in the order of the sorts; faults, which are no work, left
/// out.
pub fn costs(library: &Library, from: Date, to: Date) -> Vec<Cost> {
    let lines = library.care.values().flat_map(|care| &care.log);
    let within = lines.filter(|line| (from..=to).contains(&line.on) && line.work != Work::Fault);
    let mut by_work: BTreeMap<Work, Cost> = BTreeMap::new();
    for line in within {
        let cost =
            by_work.entry(line.work).or_insert(Cost { work: line.work, amount: 0.0, lines: 0, unpriced: 0 });
        cost.amount += line.cost.unwrap_or(0.0);
        cost.lines += 1;
        cost.unpriced += usize::from(line.cost.is_none());
    }
    by_work.into_values().collect()
}
