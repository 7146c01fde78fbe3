//! The beaters that go along with a load: so many of each as are brought, by the room that they lie in.

use super::{Way, room_for};
use crate::beaters::Share;
use crate::collection::Owner;
use crate::id::{BeaterId, PlayerId};
use crate::library::Library;
use crate::week::Programme;
use std::collections::{BTreeMap, BTreeSet};

/// The beaters of one room.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoomBeaters {
    /// Its name, as in a [`Room`](super::Room).
    pub room: String,
    /// What a loader must know of it.
    pub remark: String,
    /// Each with how many single ones go.
    pub beaters: Vec<(BeaterId, u32)>,
}

/// Every beater of a programme by room, the orchestra's own rooms first. A player's own set goes with the player, whole.
pub(crate) fn beaters(
    library: &Library,
    programme: &Programme,
    shares: &[Share],
    way: Way,
) -> Vec<RoomBeaters> {
    let mut rooms: BTreeMap<(bool, String, String), Vec<(BeaterId, u32)>> = BTreeMap::new();
    for share in shares {
        let Some(beater) = library.beaters.get(&share.beater) else { continue };
        let players: BTreeSet<&PlayerId> = share.holdings.iter().map(|holding| &holding.player).collect();
        let brought =
            players.into_iter().filter_map(|player| share.told(player)).map(|told| told.brings).sum();
        let count = if matches!(beater.owner, Owner::Player(_)) { beater.count } else { brought };
        let place = match beater.owner {
            Owner::Player(_) => None,
            _ => beater.place.as_ref(),
        };
        let room = room_for(library, programme, (place, &beater.owner), way);
        rooms.entry(room).or_default().push((share.beater.clone(), count));
    }
    let room = |((_, room, remark), beaters)| RoomBeaters { room, remark, beaters };
    rooms.into_iter().map(room).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::beaters::shares;
    use crate::edit::{Edit, apply};
    use crate::id::{PlaceId, ProgrammeId};
    use crate::moves::Timetable;
    use crate::sample::{at, beater, library};
    use crate::stage::Walks;

    #[test]
    fn what_is_brought_lies_in_its_room() {
        let p = ProgrammeId::new("p").unwrap();
        let player = library().players.keys().next().unwrap().clone();
        let place = PlaceId::new("room-1").unwrap();
        let yarn = crate::collection::Beater { count: 4, place: Some(place), ..beater("yarn") };
        let edits = vec![
            Edit::PutBeater(yarn),
            Edit::Assign { programme: p.clone(), line: at("w", "xyl"), player: Some(player) },
            Edit::UseBeaters {
                programme: p.clone(),
                line: at("w", "xyl"),
                beaters: vec![BeaterId::new("yarn").unwrap()],
            },
        ];
        let library = apply(&library(), &Edit::Together { words: String::new(), edits }).unwrap();
        let programme = library.programme(&p).unwrap();
        let shares = shares(&library, &Timetable::of(&library, programme, Walks::default()));
        let found = beaters(&library, programme, &shares, Way::StoreToStage);
        assert_eq!(
            (found[0].room.as_str(), found[0].beaters[0].1),
            ("room 1", 4),
            "one player lays out the set"
        );
        assert!(beaters(&library, programme, &shares, Way::StageToTruck)[0].room.starts_with("Stage"));
    }
}
