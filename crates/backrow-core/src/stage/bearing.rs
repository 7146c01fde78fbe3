//! What lies on a table or hangs on a stand goes where that goes, and its player stands there. What stands as one at a player's
//! place goes as one.

use super::figure::{to_floor, to_local};
use super::load::{FloorLoad, floor_load_of};
use super::plan::{Plan, Stood};
use crate::collection::{Mass, Point};
use crate::id::InstrumentId;
use crate::week::{Placement, Setup};
use std::collections::BTreeMap;

/// Where everything comes to stand that goes along with what is moved: what stands with it as one, unless it is kept where it
/// is, and what lies or hangs on any of that. It keeps its place beside the other. What is itself among the moved is left out.
pub fn carried(setup: &Setup, moved: &[(InstrumentId, Placement)]) -> Vec<(InstrumentId, Placement)> {
    let mut all = moved.to_vec();
    for (id, to) in moved {
        for peer in setup.peers(id) {
            follow(setup, (id, to), peer, &mut all);
        }
    }
    borne(setup, moved.len(), all)
}

/// Likewise where one of a station is moved by itself: only what lies or hangs on it goes along.
pub fn carried_alone(setup: &Setup, moved: &[(InstrumentId, Placement)]) -> Vec<(InstrumentId, Placement)> {
    borne(setup, moved.len(), moved.to_vec())
}

/// What goes along beyond the first so many, with what lies or hangs on any of it.
fn borne(
    setup: &Setup,
    first: usize,
    mut all: Vec<(InstrumentId, Placement)>,
) -> Vec<(InstrumentId, Placement)> {
    for (bearer, to) in all.clone() {
        for id in setup.borne_by(&bearer) {
            follow(setup, (&bearer, &to), id, &mut all);
        }
    }
    all.split_off(first.min(all.len()))
}

/// Moves one thing as another is moved, if it is not moved yet.
fn follow(
    setup: &Setup,
    (moved, to): (&InstrumentId, &Placement),
    id: &InstrumentId,
    all: &mut Vec<(InstrumentId, Placement)>,
) {
    let (Some(from), Some(old)) = (setup.base.get(moved), setup.base.get(id)) else { return };
    let kept = old.locked && setup.lies_on.get(id) != Some(moved);
    if kept || all.iter().any(|(other, _)| other == id) {
        return;
    }
    let at = to_floor(to, to_local(from, old.at));
    let turn_deg = (old.turn_deg + to.turn_deg - from.turn_deg).rem_euclid(360.0);
    all.push((id.clone(), Placement { at, turn_deg, ..*old }));
}

/// Standing places of one station nearer than this are one: a player turns from one thing to the next and does not walk, metres.
/// Ours: half a step either way.
const ONE_PLACE_M: f64 = 0.60;

impl Plan {
    /// Puts things that stand as one into their stations. Who plays one of them that is in reach from the station's place
    /// stands there.
    pub(super) fn gather(&mut self, setup: &Setup) {
        let place = |things: &[Stood], id: &InstrumentId| things.iter().position(|s| s.instrument == *id);
        for (id, with) in &setup.stations {
            let (Some(thing), Some(head)) = (place(&self.things, id), place(&self.things, with)) else {
                continue;
            };
            let Some(standing) = self.things.get(head).map(|head| head.standing) else { continue };
            if let Some(head) = self.things.get_mut(head) {
                head.station = Some(with.clone());
            }
            if let Some(own) = self.things.get_mut(thing) {
                own.station = Some(with.clone());
                if own.standing.place.distance(standing.place) <= ONE_PLACE_M {
                    own.standing = standing;
                }
            }
        }
    }

    /// Whether two things stand as one: in one station, or on what does.
    pub fn are_one(&self, a: usize, b: usize) -> bool {
        let station = |index: usize| {
            let thing = self.things.get(index)?;
            let stands = thing.on.and_then(|on| self.things.get(on)).unwrap_or(thing);
            stands.station.as_ref()
        };
        station(a).is_some_and(|one| station(b) == Some(one))
    }

    /// The stations of the floor: each by its things, as places in the plan, what lies or hangs on them with them. Things that
    /// stand alone are left out.
    pub fn stations(&self) -> Vec<Vec<usize>> {
        let mut found: BTreeMap<&InstrumentId, Vec<usize>> = BTreeMap::new();
        for (at, thing) in self.things.iter().enumerate() {
            let stands = thing.on.and_then(|on| self.things.get(on)).unwrap_or(thing);
            if let Some(head) = &stands.station {
                found.entry(head).or_default().push(at);
            }
        }
        found.into_values().collect()
    }

    /// The outline that goes round a station and its player's place, corners in order; to be drawn.
    pub fn station_outline(&self, station: &[usize]) -> Vec<Point> {
        let things = station.iter().filter_map(|at| self.things.get(*at));
        let own = |thing: &Stood| {
            let place = thing.standing.place;
            thing.figure.outline.iter().copied().chain([place]).collect::<Vec<_>>()
        };
        super::plane::hull(&things.flat_map(own).collect::<Vec<_>>())
    }

    /// Ties things to what bears them: who plays them stands before the bearer.
    pub(super) fn tie(&mut self, lies_on: &BTreeMap<InstrumentId, InstrumentId>) {
        let place = |things: &[Stood], id: &InstrumentId| things.iter().position(|s| s.instrument == *id);
        for (id, by) in lies_on {
            let (Some(thing), Some(bearer)) = (place(&self.things, id), place(&self.things, by)) else {
                continue;
            };
            let Some((standing, footing)) =
                self.things.get(bearer).map(|bearer| (bearer.standing, bearer.footing.clone()))
            else {
                continue;
            };
            let Some(own) = self.things.get_mut(thing) else { continue };
            (own.on, own.standing, own.footing) = (Some(bearer), standing, footing);
            let players = own.played_by.clone();
            if let Some(bearer) = self.things.get_mut(bearer) {
                bearer.near.extend(players.clone());
                bearer.played_by.extend(players);
            }
        }
    }

    /// How a thing presses on the floor with all that it bears; `None` for an unknown mass. What is borne by a thing of
    /// known mass presses through that alone.
    pub(super) fn floor_load(&self, index: usize) -> Option<FloorLoad> {
        let thing = self.things.get(index)?;
        let own = thing.floor_load?;
        let borne =
            self.things.iter().filter(|other| other.on == Some(index)).filter_map(|other| other.floor_load);
        let (mut kg, mut weighed) = (own.kg, own.weighed);
        for floor_load in borne {
            kg += floor_load.kg;
            weighed &= floor_load.weighed;
        }
        Some(floor_load_of(thing.shape, Mass { kg, weighed }, thing.figure.area_m2()))
    }

    /// Whether a thing's mass is part of what its bearer presses with.
    pub(super) fn presses_through(&self, thing: &Stood) -> bool {
        let bearer = thing.on.and_then(|on| self.things.get(on));
        thing.floor_load.is_some() && bearer.is_some_and(|bearer| bearer.floor_load.is_some())
    }

    /// Whether one of two things bears the other, or both lie on a third: then they may lie over each other.
    pub(super) fn are_tied(&self, a: usize, b: usize) -> bool {
        let on = |index: usize| self.things.get(index).and_then(|thing| thing.on);
        on(a) == Some(b) || on(b) == Some(a) || (on(a).is_some() && on(a) == on(b))
    }
}

#[cfg(test)]
mod worked;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::{Instrument, Shape};
    use crate::edit::{Edit, EditError, apply};
    use crate::id::ProgrammeId;
    use crate::library::Library;
    use crate::sample;
    use crate::stage::Walks;
    use approx::assert_relative_eq;

    fn id(name: &str) -> InstrumentId {
        InstrumentId::new(name).unwrap()
    }

    fn p() -> ProgrammeId {
        ProgrammeId::new("p").unwrap()
    }

    fn thing(name: &str, kg: Option<f64>, shape: Shape) -> Instrument {
        let mut thing = sample::instrument(name, "snare_drum", &[]);
        thing.mass = kg.map(|kg| Mass { kg, weighed: true });
        thing.footprint.shape = shape;
        thing
    }

    fn stand(name: &str, x: f64, y: f64, turn_deg: f64, number: u32) -> Edit {
        let placement = Placement { at: Point::new(x, y), turn_deg, number, locked: false };
        Edit::Stand { programme: p(), instrument: id(name), placement }
    }

    fn bear(thing: &str, by: &str) -> Edit {
        Edit::LieOn { programme: p(), instrument: id(thing), by: Some(id(by)) }
    }

    /// A table of 10 kg with a triangle of 0.5 kg and a block on it.
    fn library() -> Library {
        let table = Shape::Box { width_m: 1.0, depth_m: 0.5 };
        let small = Shape::Box { width_m: 0.2, depth_m: 0.2 };
        let edits = vec![
            Edit::PutInstrument(thing("table", Some(10.0), table)),
            Edit::PutInstrument(thing("triangle", Some(0.5), small)),
            Edit::PutInstrument(thing("block", None, small)),
            stand("table", 0.0, 3.0, 0.0, 1),
            stand("triangle", 0.4, 3.0, 0.0, 2),
            stand("block", 0.4, 3.05, 0.0, 3),
            bear("triangle", "table"),
            bear("block", "table"),
        ];
        apply(&sample::library(), &Edit::Together { words: "x".into(), edits }).unwrap()
    }

    fn plan(library: &Library) -> Plan {
        Plan::of(library, library.programme(&p()).unwrap())
    }

    #[test]
    fn what_lies_on_a_table_goes_with_it_and_turns_with_it() {
        let library = library();
        let setup = &library.programme(&p()).unwrap().setup;
        let to = Placement { at: Point::new(2.0, 5.0), turn_deg: 90.0, number: 1, locked: false };
        let along = carried(setup, &[(id("table"), to)]);
        let (_, triangle) = along.iter().find(|(name, _)| *name == id("triangle")).unwrap();
        // 0.4 m to the right of the table's middle; a quarter clockwise later, 0.4 m nearer to the audience.
        assert_relative_eq!(triangle.at.x, 2.0, epsilon = 1e-9);
        assert_relative_eq!(triangle.at.y, 5.4, epsilon = 1e-9);
        assert_relative_eq!(triangle.turn_deg, 90.0);
        let own = [(id("table"), to), (id("block"), to)];
        assert_eq!(carried(setup, &own).len(), 1, "what is moved by itself is not carried");
    }

    #[test]
    fn the_player_stands_at_the_table_and_nothing_overlaps() {
        let library = library();
        let plan = plan(&library);
        assert_eq!(
            plan.thing(&id("triangle")).unwrap().standing.place,
            plan.thing(&id("table")).unwrap().standing.place
        );
        let checks = plan.checks(None, 0.8);
        assert!(
            checks.overlaps.is_empty() && checks.blocked.is_empty() && checks.narrow.is_empty(),
            "{checks:?}"
        );
        let walk = Walks::of(&plan, None).between(&id("triangle"), &id("block")).unwrap();
        assert_eq!((walk.metres.to_bits(), walk.steps), (0, 0));
    }

    #[test]
    fn a_table_presses_with_what_lies_on_it() {
        let plan = plan(&library());
        let at = |name: &str| plan.things.iter().position(|thing| thing.instrument == id(name)).unwrap();
        assert_relative_eq!(plan.floor_load(at("table")).unwrap().kg, 10.5);
        assert!(plan.presses_through(&plan.things[at("triangle")]));
        assert!(!plan.presses_through(&plan.things[at("block")]), "of unknown mass, still counted as such");
    }

    #[test]
    fn what_bears_is_not_borne() {
        let library = library();
        for (thing, by) in [("table", "snare"), ("snare", "triangle"), ("table", "table")] {
            assert!(
                matches!(apply(&library, &bear(thing, by)), Err(EditError::OutOfRange { .. })),
                "{thing}"
            );
        }
        let off = Edit::TakeOff { programme: p(), instrument: id("table") };
        let left = apply(&library, &off).unwrap();
        assert!(left.programme(&p()).unwrap().setup.lies_on.is_empty(), "nothing lies on what is gone");
    }

    /// A xylophone with the table of the other tests beside it, as one.
    fn with_station() -> Library {
        let edits = vec![
            stand("xylophone-1", -1.2, 3.0, 0.0, 4),
            stand("snare", -4.0, 3.0, 0.0, 5),
            Edit::StandWith { programme: p(), instrument: id("table"), with: Some(id("xylophone-1")) },
        ];
        apply(&library(), &Edit::Together { words: "x".into(), edits }).unwrap()
    }

    #[test]
    fn a_station_goes_and_turns_as_one_with_what_lies_on_it() {
        let library = with_station();
        let setup = &library.programme(&p()).unwrap().setup;
        let to = Placement { at: Point::new(0.0, 5.0), turn_deg: 90.0, number: 4, locked: false };
        let along = carried(setup, &[(id("xylophone-1"), to)]);
        let at = |name: &str| along.iter().find(|(other, _)| *other == id(name)).unwrap().1;
        assert_eq!(along.len(), 3, "the table, the triangle and the block: {along:?}");
        // The table stood 1.2 m to the right; a quarter clockwise later, 1.2 m nearer to the audience.
        assert_relative_eq!(at("table").at.x, 0.0, epsilon = 1e-9);
        assert_relative_eq!(at("table").at.y, 6.2, epsilon = 1e-9);
        assert_relative_eq!(at("triangle").at.y, 6.6, epsilon = 1e-9);
        assert_eq!(carried(setup, &[(id("table"), to)]).len(), 3, "whichever of them is moved");
        let alone = carried_alone(setup, &[(id("table"), to)]);
        assert_eq!(alone.len(), 2, "by itself the table takes only what lies on it");
        assert!(carried(setup, &[(id("snare"), to)]).is_empty());
    }

    #[test]
    fn what_is_locked_stays_when_its_station_goes() {
        let library = with_station();
        let mut setup = library.programme(&p()).unwrap().setup.clone();
        setup.base.get_mut(&id("table")).unwrap().locked = true;
        let to = Placement { at: Point::new(0.0, 5.0), turn_deg: 0.0, number: 4, locked: false };
        assert!(carried(&setup, &[(id("xylophone-1"), to)]).is_empty());
    }

    #[test]
    fn within_a_station_no_gangway_is_asked_for() {
        let apart = |library: &Library| {
            let edits = vec![Edit::StandWith { programme: p(), instrument: id("table"), with: None }];
            apply(library, &Edit::Together { words: "x".into(), edits }).unwrap()
        };
        let one = with_station();
        // The xylophone and the table are 1 m wide each and 0.2 m apart; the way asked for is 0.8 m.
        let near = apply(&one, &stand("xylophone-1", -1.4, 3.0, 0.0, 4)).unwrap();
        let narrow = |library: &Library| plan(library).checks(None, 0.8).narrow.len();
        assert_eq!((narrow(&near), narrow(&apart(&near))), (0, 1), "0.4 m");
        let stations = plan(&one).stations();
        assert_eq!(stations.len(), 1);
        assert_eq!(stations[0].len(), 4);
        assert!(plan(&one).station_outline(&stations[0]).len() >= 4);
        assert!(plan(&apart(&one)).stations().is_empty());
    }

    #[test]
    fn what_lies_on_something_stands_with_nothing() {
        let library = with_station();
        let with = |thing: &str, with: &str| Edit::StandWith {
            programme: p(),
            instrument: id(thing),
            with: Some(id(with)),
        };
        for (thing, other) in [("triangle", "snare"), ("snare", "triangle"), ("snare", "snare")] {
            assert!(
                matches!(apply(&library, &with(thing, other)), Err(EditError::OutOfRange { .. })),
                "{thing}"
            );
        }
        let laid = apply(&library, &bear("snare", "table")).unwrap();
        let joined = apply(&laid, &with("xylophone-1", "table")).unwrap();
        assert_eq!(joined.programme(&p()).unwrap().setup.station_of(&id("snare")), &id("xylophone-1"));
        let off = apply(&library, &Edit::TakeOff { programme: p(), instrument: id("table") }).unwrap();
        assert!(off.programme(&p()).unwrap().setup.stations.is_empty());
    }

    /// From 30 to 90 degrees is a turn of 60: what stood at 350 stands at 50, and a metre to its own right stays so.
    #[test]
    fn what_goes_along_turns_by_as_much() {
        let place = |x: f64, y: f64, turn_deg: f64| Placement {
            at: Point::new(x, y),
            turn_deg,
            number: 1,
            locked: false,
        };
        let (sin, cos) = 30.0_f64.to_radians().sin_cos();
        let base =
            [(id("head"), place(1.0, 2.0, 30.0)), (id("peer"), place(1.0 + cos, 2.0 + sin, 350.0))].into();
        let setup = Setup { base, stations: [(id("peer"), id("head"))].into(), ..Setup::default() };
        let along = carried(&setup, &[(id("head"), place(5.0, 6.0, 90.0))]);
        let (_, peer) = &along[0];
        assert_relative_eq!(peer.turn_deg, 50.0, epsilon = 1e-9);
        assert_relative_eq!(peer.at.x, 5.0, epsilon = 1e-9);
        assert_relative_eq!(peer.at.y, 7.0, epsilon = 1e-9);
    }
}
