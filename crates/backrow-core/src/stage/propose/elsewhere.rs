//! Stations that stand already, put elsewhere or asked whether they may stand somewhere.

use super::home::owners;
use super::{Hall, Near, Sketch};
use crate::collection::Venue;
use crate::id::InstrumentId;
use crate::library::Library;
use crate::stage::figure::to_local;
use crate::stage::plan::{Plan, Stood};
use crate::stage::station::{Draft, Group, Spot, whole};
use crate::week::{Placement, Programme};

/// Stations that stand already, each called by its head, at other places: one after the other, each as it stands and near what
/// it is wanted near of. `None` where one of them is locked, stands elsewhere in some work, or finds no place.
pub(crate) fn stand_again(
    library: &Library,
    programme: &Programme,
    venue: &Venue,
    (heads, near): (&[&InstrumentId], &Near),
) -> Option<Sketch> {
    let owners = owners(programme);
    let plan = Plan::of(library, programme);
    let whole = |head: &&InstrumentId| whole(library, programme, (&plan, &owners), head);
    let groups: Vec<Group<'_>> = heads.iter().map(whole).collect::<Option<_>>()?;
    let mut bare = programme.clone();
    for thing in groups.iter().flat_map(Group::things) {
        bare.setup.take_off(&thing.id);
    }
    let mut hall = Hall { near: near.clone(), ..Hall::new(library, &bare, venue, false) };
    if !groups.iter().all(|group| hall.place(group)) {
        return None;
    }
    // What stands with what is known already, and a number stays.
    let kept = |(id, place): (InstrumentId, Placement)| {
        let number = programme.number_of(&id).unwrap_or(place.number);
        (id, Placement { number, ..place })
    };
    Some(Sketch { places: hall.sketch.places.into_iter().map(kept).collect(), ..Sketch::default() })
}

/// Whether a station may stand there on this floor, all of it and nothing else of it standing: on one level, clear of everything, with
/// room for its player, and hiding the conductor from nobody.
pub(crate) fn may_stand(
    library: &Library,
    programme: &Programme,
    venue: &Venue,
    station: &[(InstrumentId, Placement)],
) -> bool {
    let thing = |id: &InstrumentId| library.instruments.get(id).map(|thing| &**thing);
    let plan = Plan::of(library, programme);
    let players = owners(programme);
    let Some(frame) = station.first().map(|(_, place)| *place) else { return true };
    let spot = |(id, place): &(InstrumentId, Placement)| {
        let on = programme.setup.lies_on.get(id).and_then(thing);
        Some(Spot { thing: thing(id)?, at: to_local(&frame, place.at), turn_deg: 0.0, on })
    };
    let Some(draft) = station.iter().map(spot).collect::<Option<Draft<'_>>>() else { return false };
    let stood = station.iter().zip(&draft).map(|((id, place), spot)| {
        let mut stood = Stood::new(id, spot.thing, place, Some(venue));
        stood.played_by.extend(players.get(id).filter(|_| spot.on.is_none()).cloned());
        stood
    });
    Hall::new(library, programme, venue, false).fits(&plan, &stood.collect::<Vec<_>>(), &draft)
}
