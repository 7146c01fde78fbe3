//! A setup on its floor, with everything that can be seen at once.

use super::BODY_M;
use super::across::played_across;
use super::clash::{Gap, Overlap, gap, overlap};
use super::figure::{Figure, figure, low_end};
use super::footing::{Footing, footing};
use super::ground::{Intrusion, intrusion, outside};
use super::load::{FloorLoad, RiserLoad, floor_load_of, riser_loads};
use super::plane::Bounds;
use super::sight::{Away, Hidden};
use super::standing::{STANDING_DEPTH_M, Side, Standing, standing};
use crate::collection::{Point, Shape, Venue};
use crate::id::{InstrumentId, PlayerId};
use crate::library::Library;
use crate::week::{Placement, Programme};
use std::collections::BTreeSet;

/// One instrument on the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Stood {
    /// Which.
    pub instrument: InstrumentId,
    /// How it is placed.
    pub placement: Placement,
    /// Its shape.
    pub shape: Shape,
    /// Its outline.
    pub figure: Figure,
    /// The mark of the low end, for keyboards.
    pub low_end: Option<Point>,
    /// Where its player stands.
    pub standing: Standing,
    /// What it stands on.
    pub footing: Footing,
    /// How it presses, when its mass is known.
    pub floor_load: Option<FloorLoad>,
    /// How tall it is, metres.
    pub height_m: f64,
    /// Who plays it, or what it bears, in this programme.
    pub played_by: BTreeSet<PlayerId>,
    /// The room of a second player across, where two play it at once.
    pub across: Option<Standing>,
    /// Who of those that play it does so from the playing side; the others stand across and nowhere else.
    pub near: BTreeSet<PlayerId>,
    /// What it lies or hangs on, as its place in the plan; its player stands there.
    pub on: Option<usize>,
    /// The thing by which its station is called, where it stands as one with others.
    pub station: Option<InstrumentId>,
}

/// A setup on its floor.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Plan {
    /// In the order of the instruments' ids. Placements of instruments that the library lacks are left out.
    pub things: Vec<Stood>,
}

/// Two things that overlap, by index into [`Plan::things`].
#[derive(Clone, Debug, PartialEq)]
pub struct Overlapping {
    /// The first.
    pub a: usize,
    /// The second.
    pub b: usize,
    /// How.
    pub overlap: Overlap,
}

/// A way between two things that is narrower than the section asks, by index into [`Plan::things`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Narrow {
    /// The first.
    pub a: usize,
    /// The second.
    pub b: usize,
    /// Where and how narrow.
    pub gap: Gap,
}

/// Standing room that something takes, by index into [`Plan::things`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blocked {
    /// Whose room.
    pub thing: usize,
    /// On which side of it.
    pub side: Side,
    /// What takes it; `None` for the edge of the floor.
    pub by: Option<usize>,
    /// What is left of the depth of [`STANDING_DEPTH_M`], metres, not below 0.
    pub left_m: f64,
    /// Whether the middle, where the player stands, is taken.
    pub middle: bool,
}

/// A thing where it should not stand, by index into [`Plan::things`].
#[derive(Clone, Debug, PartialEq)]
pub struct Trouble {
    /// The thing.
    pub thing: usize,
    /// Index of the area in the venue's `keep_out`; `None` for outside the floor.
    pub area: Option<usize>,
    /// How far and how much.
    pub intrusion: Intrusion,
}

/// What is wrong or narrow on a floor.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Checks {
    /// Footprints that overlap.
    pub overlaps: Vec<Overlapping>,
    /// Ways narrower than the section's least, though a person fits through sideways.
    pub narrow: Vec<Narrow>,
    /// Standing room taken by another footprint or by the edge of the floor.
    pub blocked: Vec<Blocked>,
    /// Outside the floor, or where nobody may stand.
    pub troubles: Vec<Trouble>,
    /// Across a riser's edge: the thing and the step under it in metres.
    pub across: Vec<(usize, f64)>,
    /// Places from which the conductor is not seen.
    pub hidden: Vec<Hidden>,
    /// Things at which the player stands with the back to the conductor.
    pub away: Vec<Away>,
}

impl Plan {
    /// The setup of a programme in its venue.
    pub(crate) fn of(library: &Library, programme: &Programme) -> Self {
        let venue = programme.venue.as_ref().and_then(|id| library.venues.get(id));
        let stand = |(id, placement): (&InstrumentId, &Placement)| {
            let thing = library.instruments.get(id)?;
            Some(Stood::new(id, thing, placement, venue.map(|venue| &**venue)))
        };
        let mut things: Vec<Stood> = programme.setup.base.iter().filter_map(stand).collect();
        let across = played_across(library, programme);
        for (line, given) in programme.lines() {
            for thing in things.iter_mut().filter(|thing| given.is_on(&thing.instrument)) {
                let far = across.get(line).is_some_and(|ids| ids.contains(&thing.instrument));
                if far {
                    thing.across = Some(standing(thing.shape, &thing.placement, Side::Far));
                }
                let Some(player) = &given.player else { continue };
                thing.played_by.insert(player.clone());
                if !far {
                    thing.near.insert(player.clone());
                }
            }
        }
        let mut plan = Self { things };
        plan.gather(&programme.setup);
        plan.tie(&programme.setup.lies_on);
        plan
    }

    /// A thing by its instrument.
    pub fn thing(&self, instrument: &InstrumentId) -> Option<&Stood> {
        self.things.iter().find(|thing| thing.instrument == *instrument)
    }

    /// What the risers of the venue bear.
    pub fn loads(&self, venue: &Venue) -> Vec<RiserLoad> {
        static NOWHERE: Footing = Footing { parts: Vec::new() };
        let things = self.things.iter().enumerate().map(|(index, thing)| {
            if self.presses_through(thing) {
                (&NOWHERE, None)
            } else {
                (&thing.footing, self.floor_load(index))
            }
        });
        let things: Vec<(&Footing, Option<FloorLoad>)> = things.collect();
        riser_loads(&venue.risers, &things)
    }

    /// Everything that is wrong or narrow. `gangway_m` is the section's least way; without a venue only things among
    /// themselves are looked at.
    pub fn checks(&self, venue: Option<&Venue>, gangway_m: f64) -> Checks {
        let mut checks = Checks::default();
        self.pairs(gangway_m, &mut checks);
        for (index, thing) in self.things.iter().enumerate().filter(|(_, thing)| thing.on.is_none()) {
            let rooms = [(Side::Playing, Some(thing.standing)), (Side::Far, thing.across)];
            for (side, room) in rooms.into_iter().filter_map(|(side, room)| Some((side, room?))) {
                self.player_space(index, (side, &room), venue, &mut checks);
            }
            if let Some(step) = thing.footing.step_m() {
                checks.across.push((index, step));
            }
            let Some(venue) = venue else { continue };
            if let Some(intrusion) = outside(&thing.figure, &venue.floor) {
                checks.troubles.push(Trouble { thing: index, area: None, intrusion });
            }
            for (area, keep_out) in venue.keep_out.iter().enumerate() {
                if let Some(intrusion) = intrusion(&thing.figure, &keep_out.outline) {
                    checks.troubles.push(Trouble { thing: index, area: Some(area), intrusion });
                }
            }
        }
        if let Some(venue) = venue {
            (checks.hidden, checks.away) = (self.hidden(venue), self.away(venue));
        }
        checks
    }

    fn pairs(&self, gangway_m: f64, checks: &mut Checks) {
        let bounds: Vec<Bounds> = self.things.iter().map(|thing| Bounds::of(&thing.figure.outline)).collect();
        for (a, (one, one_bounds)) in self.things.iter().zip(&bounds).enumerate() {
            for (b, (other, other_bounds)) in self.things.iter().zip(&bounds).enumerate().skip(a + 1) {
                if !one_bounds.meets(other_bounds, gangway_m.max(0.01)) || self.are_tied(a, b) {
                    continue;
                }
                if let Some(overlap) = overlap(&one.figure, &other.figure) {
                    checks.overlaps.push(Overlapping { a, b, overlap });
                } else if one.on.is_none()
                    && other.on.is_none()
                    && !self.are_one(a, b)
                    && let Some(gap) = gap(&one.figure, &other.figure)
                    && gap.metres >= BODY_M
                    && gap.metres < gangway_m - 5e-4
                    && !self.is_crossed(&gap, a, b)
                {
                    checks.narrow.push(Narrow { a, b, gap });
                }
            }
        }
    }

    /// Whether a third thing stands in the gap, so that it is no way.
    fn is_crossed(&self, gap: &Gap, a: usize, b: usize) -> bool {
        let steps = [0.25, 0.5, 0.75];
        let on_it = |t: f64| {
            Point::new(gap.from.x + (gap.to.x - gap.from.x) * t, gap.from.y + (gap.to.y - gap.from.y) * t)
        };
        let others = self.things.iter().enumerate().filter(|(index, _)| *index != a && *index != b);
        others.map(|(_, thing)| thing).any(|thing| steps.iter().any(|t| thing.figure.holds(on_it(*t))))
    }

    fn player_space(
        &self,
        thing: usize,
        (side, own): (Side, &Standing),
        venue: Option<&Venue>,
        checks: &mut Checks,
    ) {
        let room = own.figure();
        // A hand's breadth less all round: things that only brush the room do not take it.
        let bounds = Bounds::of(&room.outline);
        for (by, other) in self.things.iter().enumerate().filter(|(by, _)| *by != thing) {
            if other.on == Some(thing)
                || self.are_one(thing, by)
                || !bounds.meets(&Bounds::of(&other.figure.outline), 0.0)
            {
                continue;
            }
            let Some(over) = overlap(&room, &other.figure) else { continue };
            let left_m = depth_left(own, &over.common);
            if over.depth_m > BRUSH_M {
                let middle = other.figure.holds(own.place);
                checks.blocked.push(Blocked { thing, side, by: Some(by), left_m, middle });
            }
        }
        let Some(over) = venue.and_then(|venue| outside(&room, &venue.floor)) else { return };
        if over.by_m > BRUSH_M {
            let left_m = depth_left(own, &over.piece);
            let middle = left_m < STANDING_DEPTH_M / 2.0;
            checks.blocked.push(Blocked { thing, side, by: None, left_m, middle });
        }
    }
}

/// Things that only brush the standing room do not take it, metres. Ours.
const BRUSH_M: f64 = 0.10;

/// What is left of the depth of the room when a piece of it is taken, from the instrument outwards.
fn depth_left(standing: &Standing, taken: &[Point]) -> f64 {
    let [_, _, near_right, near_left] = standing.room;
    let along = near_left.distance(near_right).max(1e-9);
    let from_side = |p: &Point| {
        super::plane::cross(super::plane::minus(near_left, near_right), super::plane::minus(*p, near_right))
            / along
    };
    let nearest = taken.iter().map(from_side).fold(f64::INFINITY, f64::min);
    if nearest.is_finite() { nearest.clamp(0.0, STANDING_DEPTH_M) } else { STANDING_DEPTH_M }
}

impl Stood {
    /// Where a player stands who plays it: at the playing side, or across when they play it from there alone.
    pub fn standing_of(&self, player: &PlayerId) -> Standing {
        match self.across {
            Some(across) if self.played_by.contains(player) && !self.near.contains(player) => across,
            _ => self.standing,
        }
    }

    /// Where one stands on a side of it; the playing side where nobody stands across.
    pub fn standing_at(&self, side: Side) -> Standing {
        match side {
            Side::Playing => self.standing,
            Side::Far => self.across.unwrap_or(self.standing),
        }
    }

    /// An instrument where it stands.
    pub fn new(
        id: &InstrumentId,
        thing: &crate::collection::Instrument,
        placement: &Placement,
        venue: Option<&Venue>,
    ) -> Self {
        let shape = thing.footprint.shape;
        let figure = figure(shape, placement);
        let floor_load = thing.whole_mass().map(|mass| floor_load_of(shape, mass, figure.area_m2()));
        Self {
            instrument: id.clone(),
            placement: *placement,
            shape,
            low_end: low_end(shape, placement),
            standing: standing(shape, placement, Side::Playing),
            footing: footing(&figure, venue.map_or(&[][..], |venue| &venue.risers)),
            floor_load,
            height_m: thing.footprint.height_m,
            played_by: BTreeSet::new(),
            across: None,
            near: BTreeSet::new(),
            on: None,
            station: None,
            figure,
        }
    }
}

#[cfg(test)]
mod worked;
