//! Which thing of the library a row speaks of, and ids for new ones.

use backrow_core::id::slug_of;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// The things of one sort that the library has.
#[derive(Debug, Default)]
pub(super) struct Ids {
    there: BTreeSet<String>,
    /// Of one name those that no row has spoken of yet, in their order, and perhaps some that a row has.
    by_name: BTreeMap<String, VecDeque<String>>,
    /// Those that a row has spoken of already: no two rows change one thing.
    used: BTreeSet<String>,
    /// Whether the table's ids are those of the library: then a row with another id is a new thing, whatever its name.
    table_knows: bool,
    /// The next number to try for a name that is taken.
    next: BTreeMap<String, u64>,
}

fn plain(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

impl Ids {
    /// From ids and names, and the ids that the table has in its cells.
    pub(super) fn new<'a>(things: impl Iterator<Item = (&'a str, &'a str)>, table: &[&str]) -> Self {
        let mut new = Self::default();
        for (id, name) in things {
            new.there.insert(id.to_owned());
            new.by_name.entry(plain(name)).or_default().push_back(id.to_owned());
        }
        new.table_knows = table.iter().any(|id| new.there.contains(&slug_of(id)));
        if new.table_knows {
            // What a later row names by its id is not taken by an earlier one by its name.
            new.used = table.iter().map(|id| slug_of(id)).filter(|id| new.there.contains(id)).collect();
        }
        new
    }

    /// The thing of that id, or of that name, which no row before has spoken of.
    pub(super) fn known(&mut self, id: Option<&str>, name: Option<&str>) -> Option<String> {
        if let Some(slug) = id.map(slug_of).filter(|slug| self.there.contains(slug)) {
            self.used.insert(slug.clone());
            return Some(slug);
        }
        if id.is_some() && self.table_knows {
            return None;
        }
        // What was used once stays so: a thousand rows of one name pass each of its things once.
        let named = self.by_name.get_mut(&plain(name?))?;
        while let Some(found) = named.pop_front() {
            if self.used.insert(found.clone()) {
                return Some(found);
            }
        }
        None
    }

    /// An id for a new thing: the table's own, else the first free one of `name`, `name-2`, `name-3`, ..., without trying again
    /// those that were taken before.
    pub(super) fn fresh(&mut self, id: Option<&str>, name: &str) -> String {
        let slug = slug_of(id.unwrap_or(name));
        let next = self.next.entry(slug.clone()).or_insert(1);
        let found = loop {
            let text = if *next == 1 { slug.clone() } else { format!("{slug}-{next}") };
            *next += 1;
            if !self.there.contains(&text) {
                break text;
            }
        };
        self.there.insert(found.clone());
        self.used.insert(found.clone());
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_names_are_the_same_things_in_their_order() {
        let there = [("triangle", "Triangle"), ("triangle-2", "Triangle")];
        let mut ids = Ids::new(there.into_iter(), &[]);
        assert_eq!(ids.known(None, Some("triangle ")).as_deref(), Some("triangle"));
        assert_eq!(ids.known(None, Some("Triangle")).as_deref(), Some("triangle-2"));
        assert_eq!(ids.known(None, Some("Triangle")), None);
        assert_eq!(ids.fresh(None, "Triangle"), "triangle-3");
    }

    #[test]
    fn a_number_of_the_inventory_wins_over_a_name() {
        let there = [("p-17", "Triangle"), ("p-18", "Triangle")];
        let table = ["P-18", "P-19", "P-17"];
        let mut ids = Ids::new(there.into_iter(), &table);
        assert_eq!(ids.known(Some("P-18"), Some("Triangle")).as_deref(), Some("p-18"));
        assert_eq!(ids.known(Some("P-19"), Some("Triangle")), None, "another triangle");
        assert_eq!(ids.fresh(Some("P-19"), "Triangle"), "p-19");
        assert_eq!(ids.known(Some("P-17"), Some("Triangle")).as_deref(), Some("p-17"));
    }
}
