//! Music stands and stools: those of a floor, and how many go along.

use super::{Evening, Floor};
use crate::collection::Family;
use crate::id::PlayerId;
use crate::library::Library;
use crate::stage::{Furnishing, Furniture};
use std::collections::BTreeSet;

impl Floor {
    /// The stands and stools of its places.
    pub fn furniture(&self, library: &Library) -> &[Furniture] {
        self.furniture.get_or_init(|| self.plan.furniture(library, self.venue()))
    }
}

impl Evening {
    /// How many stands, and how many stools, go along: the most that any floor has at once, one stand for each player who has no place on
    /// any floor yet, and a stool where timpani have none.
    pub fn furnishings(&self) -> [(Furnishing, usize); 2] {
        let most = |what: Furnishing| {
            let on =
                |floor: &Floor| floor.furniture(self.library()).iter().filter(|one| one.what == what).count();
            self.floors().map(|(_, floor)| on(floor)).max().unwrap_or(0)
        };
        let placed: BTreeSet<&PlayerId> = self
            .floors()
            .flat_map(|(_, floor)| &floor.plan().things)
            .flat_map(|stood| &stood.played_by)
            .collect();
        let without = self.needs().players.iter().filter(|player| !placed.contains(player)).count();
        let library = self.library();
        let is_timpani = |id: &&crate::id::InstrumentId| {
            let kind = library.instruments.get(*id).and_then(|thing| library.kinds.get(&thing.kind));
            kind.is_some_and(|kind| kind.family == Family::Timpani)
        };
        let timpani = self.programme().used().iter().any(is_timpani);
        let stools = most(Furnishing::Stool).max(usize::from(timpani));
        [(Furnishing::MusicStand, most(Furnishing::MusicStand) + without), (Furnishing::Stool, stools)]
    }
}
