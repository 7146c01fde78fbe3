//! What a player's place needs beside instruments: a music stand, and a stool at timpani. One stand serves a place, whoever plays there.
//!
//! Sizes are common practice, without a source. They are nobody's obstacle: a stand is put aside or passed in a moment, so that ways,
//! gangways and clashes know nothing of them.

use super::figure::{Figure, figure};
use super::footing::footing;
use super::plan::{Plan, Stood};
use super::plane::Bounds;
use crate::collection::{Family, Point, Shape, Venue};
use crate::id::InstrumentId;
use crate::library::Library;
use crate::week::Placement;

/// A music stand's desk, metres across and deep.
const STAND: Shape = Shape::Box { width_m: 0.50, depth_m: 0.35 };
/// A stool, metres across.
const STOOL: Shape = Shape::Round { diameter_m: 0.40 };
/// How near its player a stand comes, metres from middle to middle. Ours.
const NEAREST_M: f64 = 0.55;
/// The steps in which room is looked for, metres, and how many of them: up to 2.20 m from the player, beyond which a part is not read. Ours.
const STEP_M: f64 = 0.05;
const STEPS: u32 = 33;
/// A stand is turned to the conductor where that is no more than so far from where the player looks, degrees. Ours.
const ASIDE_DEG: f64 = 60.0;

/// What it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Furnishing {
    /// A stand for the part.
    MusicStand,
    /// A stool, for timpani.
    Stool,
}

impl Furnishing {
    /// "music stand".
    pub const fn words(self) -> &'static str {
        match self {
            Self::MusicStand => "music stand",
            Self::Stool => "stool",
        }
    }
}

/// One piece of it where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Furniture {
    /// What it is.
    pub what: Furnishing,
    /// The station that it is of, by the thing that this is called by.
    pub station: InstrumentId,
    /// Its middle, and how it is turned.
    pub at: Point,
    /// Degrees clockwise.
    pub turn_deg: f64,
    /// Its outline.
    pub figure: Figure,
}

impl Plan {
    /// The stands and stools of every place at which somebody plays, in the order of the plan.
    pub fn furniture(&self, library: &Library, venue: Option<&Venue>) -> Vec<Furniture> {
        let mut all = Vec::new();
        for station in self.places() {
            let Some(first) = station.first() else { continue };
            let head = first.station.as_ref().unwrap_or(&first.instrument);
            let place = self.thing(head).unwrap_or(first).standing.place;
            let look = look_deg(&station, place, venue);
            let taken: Vec<&Figure> = all.iter().map(|one: &Furniture| &one.figure).collect();
            let at = self.room_for_a_stand(place, look, (venue, &taken));
            let mut put = |what, shape, at, turn_deg| {
                let placement = Placement { at, turn_deg, number: 0, locked: false };
                let figure = figure(shape, &placement);
                all.push(Furniture { what, station: head.clone(), at, turn_deg, figure });
            };
            put(Furnishing::MusicStand, STAND, at, look);
            let timpani = |stood: &&Stood| {
                let thing = library.instruments.get(&stood.instrument);
                let kind = thing.and_then(|thing| library.kinds.get(&thing.kind));
                kind.is_some_and(|kind| kind.family == Family::Timpani)
            };
            if station.iter().any(timpani) {
                put(Furnishing::Stool, STOOL, place, look);
            }
        }
        all
    }

    /// What stands together at one place, where somebody plays there: each station, and each thing that stands alone.
    fn places(&self) -> Vec<Vec<&Stood>> {
        let grouped = self.stations();
        let alone = (0..self.things.len()).filter(|at| !grouped.iter().any(|station| station.contains(at)));
        let of = |at: &usize| self.things.get(*at).filter(|stood| stood.on.is_none());
        let mut all: Vec<Vec<&Stood>> =
            grouped.iter().map(|station| station.iter().filter_map(of).collect()).collect();
        all.extend(alone.filter_map(|at| of(&at)).map(|stood| vec![stood]));
        all.retain(|station| station.iter().any(|stood| !stood.played_by.is_empty()));
        all
    }

    /// Where a stand has room: before the player as near as nothing is in its place, which for a keyboard is beyond it; else at the
    /// player's sides. It stands on the floor, and not where nothing may stand. Where there is none it stands before the player over what is there.
    fn room_for_a_stand(
        &self,
        place: Point,
        look_deg: f64,
        (venue, taken): (Option<&Venue>, &[&Figure]),
    ) -> Point {
        let towards = |deg: f64, far: f64| {
            let (sin, cos) = deg.to_radians().sin_cos();
            Point::new(place.x - far * sin, place.y + far * cos)
        };
        let free = |at: &Point| {
            let placement = Placement { at: *at, turn_deg: look_deg, number: 0, locked: false };
            let own = figure(STAND, &placement);
            let bounds = Bounds::of(&own.outline);
            let things = self.things.iter().filter(|thing| thing.on.is_none()).map(|thing| &thing.figure);
            let near = things
                .chain(taken.iter().copied())
                .filter(|other| bounds.meets(&Bounds::of(&other.outline), 0.0));
            let mut near = near;
            has_ground(&own, venue) && near.all(|other| super::overlap(&own, other).is_none())
        };
        let row = |aside: f64| (0..=STEPS).map(move |n| (aside, NEAREST_M + STEP_M * f64::from(n)));
        let ahead = row(0.0).chain(row(-35.0)).chain(row(35.0)).chain(row(-80.0)).chain(row(80.0));
        let mut places = ahead.map(|(aside, far)| towards(look_deg + aside, far));
        places.find(free).unwrap_or_else(|| towards(look_deg, NEAREST_M))
    }
}

/// Whether it stands on one level of the floor and where something may stand.
fn has_ground(own: &Figure, venue: Option<&Venue>) -> bool {
    venue.is_none_or(|venue| {
        let within = venue.floor.is_empty() || super::outside(own, &venue.floor).is_none();
        within
            && footing(own, &venue.risers).step_m().is_none()
            && venue.keep_out.iter().all(|area| super::intrusion(own, &area.outline).is_none())
    })
}

/// Which way the player of a station looks: to the conductor where that is near enough to what the station is turned to, degrees.
fn look_deg(station: &[&Stood], place: Point, venue: Option<&Venue>) -> f64 {
    let own = faces_deg(station.iter().copied());
    let Some(conductor) = venue.and_then(|venue| venue.conductor) else { return own };
    let there = -(conductor.x - place.x).atan2(conductor.y - place.y).to_degrees();
    let aside = (there - own + 180.0).rem_euclid(360.0) - 180.0;
    if aside.abs() <= ASIDE_DEG { there.rem_euclid(360.0) } else { own }
}

/// Which way the player of things that stand as one looks: their turns, weighed by the floor that they cover, so that an arc of drums is
/// turned as its player is. Degrees clockwise.
pub fn faces_deg<'a>(things: impl IntoIterator<Item = &'a Stood>) -> f64 {
    let along = things.into_iter().filter(|stood| stood.on.is_none()).fold((0.0, 0.0), |(x, y), stood| {
        let (sin, cos) = stood.placement.turn_deg.to_radians().sin_cos();
        let area = stood.figure.area_m2();
        (x + sin * area, y + cos * area)
    });
    along.0.atan2(along.1).to_degrees().rem_euclid(360.0)
}

#[cfg(test)]
mod worked;
