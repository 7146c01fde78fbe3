//! What each programme of a week needs, worked out once a revision.

use crate::scene::Scene;
use backrow_core::id::{PlayerId, ProgrammeId, listed};
use backrow_core::loads::Way;
use backrow_core::week::Week;
use std::collections::BTreeMap;

/// By programme.
pub(super) type Needs = BTreeMap<ProgrammeId, Need>;

/// What one programme needs at each of its services.
#[derive(Clone, Debug, Default)]
pub(super) struct Need {
    /// Who has something to play, in roster order.
    pub(super) players: Vec<PlayerId>,
    /// "31 instruments from 4 rooms, about 1240 kg".
    pub(super) words: String,
    /// A line a room: "Room 1: Xylophone 1, Snare drum 1".
    pub(super) rooms: Vec<(String, String)>,
    /// Lines that nobody plays.
    pub(super) open: usize,
}

pub(super) fn of(scene: &Scene<'_>, week: &Week) -> Needs {
    let library = scene.library;
    week.programmes
        .iter()
        .map(|programme| {
            let evening = scene.derived.evening_of(library, scene.revision, programme);
            let (needs, load) = (evening.needs(), evening.load(Way::StoreToStage));
            let sum = load.sum();
            let things: usize = load.rooms.iter().map(|room| room.things.len()).sum();
            let many = |n: usize, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
            let mass = sum.said().map_or_else(String::new, |mass| format!(", {}", crate::words::mass(mass)));
            let words = if things == 0 {
                "no instrument chosen yet".to_owned()
            } else {
                let rooms = many(load.rooms.len(), "room");
                format!("{} from {rooms}{mass}", many(things, "instrument"))
            };
            let rooms = load.rooms.iter().map(|room| {
                let names: Vec<String> =
                    room.things.iter().map(|thing| library.instrument_name(&thing.instrument)).collect();
                (room.name.clone(), listed(&names))
            });
            let (players, open) = (needs.players.clone(), needs.open.len());
            let need = Need { players, words, rooms: rooms.collect(), open };
            (programme.id.clone(), need)
        })
        .collect()
}
