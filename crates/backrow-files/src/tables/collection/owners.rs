//! Whose things are: the words of a table beside the orchestra's and the players' names.

use super::field::Field;
use super::{Import, words};
use backrow_core::collection::Owner;
use backrow_core::id::slug_of;
use backrow_core::library::Library;

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

/// Whom a word most likely means: the orchestra by its name, a part of it or a word such as "ours"; a player by name, initials,
/// or a surname that no other player has; else somebody who lends it.
pub fn owner_of(library: &Library, word: &str) -> Owner {
    let said = slug_of(word);
    let orchestra = slug_of(&library.orchestra.name);
    let is_part = |part: &str| part.len() > 3 && format!("-{orchestra}-").contains(&format!("-{part}-"));
    let named = !library.orchestra.name.trim().is_empty() && (said == orchestra || is_part(&said));
    let initials: String = orchestra.split('-').filter_map(|part| part.chars().next()).collect();
    if words::ours(word) || named || (initials.len() > 1 && said == initials) {
        return Owner::Orchestra;
    }
    let one = |fits: &dyn Fn(&backrow_core::collection::Player) -> bool| {
        let mut found = library.players.values().filter(|player| fits(player));
        found.next().filter(|_| found.next().is_none()).map(|player| Owner::Player(player.id.clone()))
    };
    // "R. Vane" is Ruth Vane.
    let in_short = |name: &str| {
        let (name, said) = (slug_of(name), said.as_str());
        let (mut name, mut said) = (name.rsplit('-'), said.rsplit('-'));
        let surname = name.next() == said.next();
        let rest: Vec<&str> = said.collect();
        surname
            && !rest.is_empty()
            && rest.into_iter().all(|part| name.next().is_some_and(|n| n.starts_with(part)))
    };
    let surname = |name: &str| slug_of(name).rsplit('-').next().map(str::to_owned);
    one(&|player| player.name == word)
        .or_else(|| one(&|player| slug_of(&player.name) == said))
        .or_else(|| one(&|player| player.initials.eq_ignore_ascii_case(word.trim())))
        .or_else(|| one(&|player| in_short(&player.name)))
        .or_else(|| one(&|player| said.len() > 2 && surname(&player.name).as_ref() == Some(&said)))
        .unwrap_or_else(|| Owner::Other(word.trim().to_owned()))
}
