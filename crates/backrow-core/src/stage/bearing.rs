//! What lies on a table or hangs on a stand: it goes where that goes, and its player stands there.

use super::figure::{to_floor, to_local};
use super::load::{Press, presses_of};
use super::plan::{Plan, Stood};
use crate::collection::Mass;
use crate::id::InstrumentId;
use crate::week::{Placement, Setup};
use std::collections::BTreeMap;

/// Where everything comes to stand that lies or hangs on what is moved: it keeps its place on its bearer. What is itself
/// among the moved is left out.
pub fn carried(setup: &Setup, moved: &[(InstrumentId, Placement)]) -> Vec<(InstrumentId, Placement)> {
    let is_moved = |id: &InstrumentId| moved.iter().any(|(other, _)| other == id);
    let mut along = Vec::new();
    for (bearer, to) in moved {
        let Some(from) = setup.base.get(bearer) else { continue };
        for id in setup.borne_by(bearer).filter(|id| !is_moved(id)) {
            let Some(old) = setup.base.get(id) else { continue };
            let at = to_floor(to, to_local(from, old.at));
            let turn_deg = (old.turn_deg + to.turn_deg - from.turn_deg).rem_euclid(360.0);
            along.push((id.clone(), Placement { at, turn_deg, ..*old }));
        }
    }
    along
}

impl Plan {
    /// Ties things to what bears them: who plays them stands before the bearer.
    pub(super) fn tie(&mut self, borne: &BTreeMap<InstrumentId, InstrumentId>) {
        let place = |things: &[Stood], id: &InstrumentId| things.iter().position(|s| s.instrument == *id);
        for (id, by) in borne {
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
    pub(super) fn press(&self, index: usize) -> Option<Press> {
        let thing = self.things.get(index)?;
        let own = thing.press?;
        let borne =
            self.things.iter().filter(|other| other.on == Some(index)).filter_map(|other| other.press);
        let (mut kg, mut weighed) = (own.kg, own.weighed);
        for press in borne {
            kg += press.kg;
            weighed &= press.weighed;
        }
        Some(presses_of(thing.shape, Mass { kg, weighed }, thing.figure.area_m2()))
    }

    /// Whether a thing's mass is part of what its bearer presses with.
    pub(super) fn presses_through(&self, thing: &Stood) -> bool {
        let bearer = thing.on.and_then(|on| self.things.get(on));
        thing.press.is_some() && bearer.is_some_and(|bearer| bearer.press.is_some())
    }

    /// Whether one of two things bears the other, or both lie on a third: then they may lie over each other.
    pub(super) fn are_tied(&self, a: usize, b: usize) -> bool {
        let on = |index: usize| self.things.get(index).and_then(|thing| thing.on);
        on(a) == Some(b) || on(b) == Some(a) || (on(a).is_some() && on(a) == on(b))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::{Instrument, Point, Shape};
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
        Edit::Bear { programme: p(), instrument: id(thing), by: Some(id(by)) }
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
        assert_relative_eq!(plan.press(at("table")).unwrap().kg, 10.5);
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
        assert!(left.programme(&p()).unwrap().setup.borne.is_empty(), "nothing lies on what is gone");
    }
}
