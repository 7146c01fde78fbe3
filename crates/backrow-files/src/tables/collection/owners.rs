//! Whose things are: the words of a table beside the orchestra's and the players' names.

use super::field::Field;
use super::{Import, words};
use backrow_core::collection::{Owner, Player};
use backrow_core::id::{PlayerId, slug_of};
use backrow_core::library::Library;
use std::collections::BTreeMap;

/// The different words in the owner's column, in the order of the table.
pub fn owner_words(import: &Import) -> Vec<String> {
    let at = import.columns.iter().position(|column| column.is_some_and(|c| c.field == Field::Owner));
    let mut found: Vec<String> = Vec::new();
    let Some(at) = at else { return found };
    for (_, cells) in &import.grid.rows {
        let word = cells.get(at).map_or("", |cell| cell.trim());
        if !word.is_empty() && !found.iter().any(|known| known == word) && found.len() < MOST_OWNERS {
            found.push(word.to_owned());
        }
    }
    found
}

/// Owners that are asked about; a table with more has something else in that column.
const MOST_OWNERS: usize = 60;

/// Whom a word most likely means, as [`Owners::owner`] has it.
pub fn owner_of(library: &Library, word: &str) -> Owner {
    Owners::of(library).owner(word)
}

/// By what the orchestra and its players are known: made once, so that a table of many owners does not go through all players for
/// each.
#[derive(Debug, Default)]
pub struct Owners {
    /// The orchestra's name as a slug; empty where it has none that a word could mean.
    orchestra: String,
    initials: String,
    by_name: Named,
    by_slug: Named,
    by_initials: Named,
    by_surname: Named,
    /// The players' names as slugs, by their last part.
    whole: BTreeMap<String, Vec<(String, PlayerId)>>,
}

/// Players by a word; `None` where several bear it.
type Named = BTreeMap<String, Option<PlayerId>>;

fn name(named: &mut Named, word: String, player: &Player) {
    named.entry(word).and_modify(|one| *one = None).or_insert_with(|| Some(player.id.clone()));
}

impl Owners {
    /// Those of a library.
    pub fn of(library: &Library) -> Self {
        let slug = slug_of(&library.orchestra.name);
        let initials = slug.split('-').filter_map(|part| part.chars().next()).collect();
        let is_named = !library.orchestra.name.trim().is_empty();
        let orchestra = if is_named { slug } else { String::new() };
        let mut owners = Self { orchestra, initials, ..Self::default() };
        for player in library.players.values() {
            let slug = slug_of(&player.name);
            let surname = slug.rsplit('-').next().unwrap_or_default().to_owned();
            name(&mut owners.by_name, player.name.clone(), player);
            name(&mut owners.by_slug, slug.clone(), player);
            name(&mut owners.by_initials, player.initials.to_ascii_lowercase(), player);
            name(&mut owners.by_surname, surname.clone(), player);
            owners.whole.entry(surname).or_default().push((slug, player.id.clone()));
        }
        owners
    }

    /// Whom a word most likely means: the orchestra by its name, a part of it or a word such as "ours"; a player by name, initials,
    /// or a surname that no other player has; else somebody who lends it.
    pub fn owner(&self, word: &str) -> Owner {
        let said = slug_of(word);
        let is_part = || said.len() > 3 && format!("-{}-", self.orchestra).contains(&format!("-{said}-"));
        let named = !self.orchestra.is_empty() && (said == self.orchestra || is_part());
        if words::ours(word) || named || (self.initials.len() > 1 && said == self.initials) {
            return Owner::Orchestra;
        }
        let one = |named: &Named, word: &str| named.get(word).cloned().flatten();
        let player = one(&self.by_name, word)
            .or_else(|| one(&self.by_slug, &said))
            .or_else(|| one(&self.by_initials, &word.trim().to_ascii_lowercase()))
            .or_else(|| self.in_short(&said))
            .or_else(|| one(&self.by_surname, &said).filter(|_| said.len() > 2));
        player.map_or_else(|| Owner::Other(word.trim().to_owned()), Owner::Player)
    }

    /// "R. Vane" is Ruth Vane. Looks at the players of that surname alone.
    fn in_short(&self, said: &str) -> Option<PlayerId> {
        let mut said = said.rsplit('-');
        let surname = said.next()?;
        let rest: Vec<&str> = said.collect();
        if rest.is_empty() {
            return None;
        }
        let fits = |name: &str| {
            let mut name = name.rsplit('-').skip(1);
            rest.iter().all(|part| name.next().is_some_and(|n| n.starts_with(part)))
        };
        let mut found = self.whole.get(surname)?.iter().filter(|(name, _)| fits(name));
        found.next().filter(|_| found.next().is_none()).map(|(_, id)| id.clone())
    }
}
