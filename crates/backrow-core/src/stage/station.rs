//! What stands as one at a player's place, and how: the drums of a set in their arc, a keyboard with its small things at its
//! ends or behind its player, small things round one place, and what lies on a trap table.
//!
//! A draft is in the player's own metres: the player stands at 0, 0 and looks along growing y. The player's left lies at large x,
//! as on the plan. Figures without a source are ours.

mod whole;

use super::figure::to_floor;
use super::propose::Near;
use super::standing::{STANDING_DEPTH_M, Side, standing};
use crate::collection::{self, Instrument, Point};
use crate::id::{InstrumentId, PlayerId};
use crate::library::Library;
use crate::sets;
use crate::week::{LineRef, Placement, Programme};
use std::collections::{BTreeMap, BTreeSet};
pub(super) use whole::whole;

/// Between things that stand together, metres.
const APART_M: f64 = 0.08;
/// The widest arc round a player, degrees: beyond it the outer things stand behind the back.
const WIDEST_DEG: f64 = 170.0;
/// A thing no longer than that is small: it joins another's station, metres.
const SMALL_M: f64 = 0.80;
/// A thing no longer than that may lie on a table, metres.
const TINY_M: f64 = 0.36;
/// How much of a table's top things may cover.
const COVERED: f64 = 0.8;
/// At most so many small things join one large one.
const MOST_JOINED: usize = 4;
/// At most so many small things stand round one place.
const MOST_ROUND: usize = 6;

/// One thing of a station in the player's own metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot<'a> {
    pub(super) thing: &'a Instrument,
    /// Of its middle.
    pub(super) at: Point,
    pub(super) turn_deg: f64,
    /// What it lies on.
    pub(super) on: Option<&'a Instrument>,
}

/// A station before it has a place; the first thing is its head.
pub(super) type Draft<'a> = Vec<Spot<'a>>;

/// Things that are to stand as one.
#[derive(Clone, Debug)]
pub(super) struct Group<'a> {
    pub(super) player: Option<PlayerId>,
    what: What<'a>,
}

#[derive(Clone, Debug)]
enum What<'a> {
    /// Drums, in their order from the player's left.
    Arc(Vec<&'a Instrument>),
    /// A large thing with small ones.
    Beside(&'a Instrument, Vec<&'a Instrument>),
    /// What one line is played on: two frames of crotales. The largest first; it is never torn apart.
    Pair(Vec<&'a Instrument>),
    /// Small things on a table.
    Table(&'a Instrument, Vec<&'a Instrument>),
    /// As it stands already.
    Whole(Draft<'a>),
}

/// The groups of what is to be placed, the largest first. `tables` are those that may be brought.
pub(super) fn groups<'a>(
    library: &'a Library,
    programme: &Programme,
    owners: &BTreeMap<InstrumentId, PlayerId>,
    (wanted, tables, near): (&[&'a Instrument], &[&'a Instrument], &Near),
) -> Vec<Group<'a>> {
    let mut by_player: BTreeMap<Option<PlayerId>, Vec<&Instrument>> = BTreeMap::new();
    for thing in wanted {
        by_player.entry(owners.get(&thing.id).cloned()).or_default().push(thing);
    }
    let mut tables = tables.to_vec();
    let mut groups = Vec::new();
    for (player, things) in by_player {
        let (drums, rest): (Vec<&Instrument>, Vec<&Instrument>) =
            things.into_iter().partition(|thing| is_single_drum(library, thing));
        let pairs = of_one_line(programme, &rest);
        let rest: Vec<&Instrument> = rest
            .into_iter()
            .filter(|thing| !pairs.iter().flatten().any(|paired| paired.id == thing.id))
            .collect();
        let (mut small, large): (Vec<&Instrument>, Vec<&Instrument>) =
            rest.into_iter().partition(|thing| player.is_some() && long_m(thing) <= SMALL_M);
        let mut joined: Vec<(What<'_>, usize)> = Vec::new();
        if drums.len() > 1 {
            joined.push((What::Arc(in_order(library, drums)), MOST_JOINED));
        } else {
            joined.extend(drums.into_iter().map(|drum| (What::Beside(drum, Vec::new()), 0)));
        }
        if let Some(top) = laid(&mut small, &mut tables) {
            joined.push((top, 0));
        }
        joined.extend(large.into_iter().map(|thing| (What::Beside(thing, Vec::new()), 0)));
        let small = join((programme, near), &mut joined, small);
        let rounds = small.chunks(MOST_ROUND).map(|some| What::Arc(some.to_vec()));
        let pairs = pairs.into_iter().map(What::Pair);
        let what = joined.into_iter().map(|(what, _)| what).chain(rounds).chain(pairs);
        groups.extend(what.map(|what| Group { player: player.clone(), what }));
    }
    let key = |group: &Group<'_>| group.things().iter().map(|thing| area_m2(thing)).sum::<f64>();
    groups.sort_by(|a, b| key(b).total_cmp(&key(a)).then_with(|| a.id().cmp(&b.id())));
    groups
}

/// Sets of things on which single lines are played, of which all but the largest are small; the largest of each first.
fn of_one_line<'a>(programme: &Programme, things: &[&'a Instrument]) -> Vec<Vec<&'a Instrument>> {
    let mut sets: Vec<Vec<&Instrument>> = Vec::new();
    for (_, given) in programme.lines().filter(|(_, given)| given.instruments.len() > 1) {
        let mut set: Vec<&Instrument> =
            things.iter().copied().filter(|thing| given.instruments.contains(&thing.id)).collect();
        set.sort_by(|a, b| long_m(b).total_cmp(&long_m(a)).then_with(|| a.id.cmp(&b.id)));
        let whole = set.len() == given.instruments.len() && set.len() <= MOST_ROUND;
        let small = set.iter().skip(1).all(|thing| long_m(thing) <= SMALL_M);
        // What is tiny goes on a table, or round one place with the rest.
        let small = small && set.first().is_some_and(|thing| long_m(thing) > TINY_M);
        let taken = sets.iter().flatten().any(|other| set.iter().any(|thing| thing.id == other.id));
        if whole && small && !taken {
            sets.push(set);
        }
    }
    sets
}

/// Each small thing goes to the large one that it is wanted near of, else to the one that its player uses in the most movements
/// with it; those for which there is no room are left.
fn join<'a>(
    (programme, near): (&Programme, &Near),
    joined: &mut [(What<'a>, usize)],
    small: Vec<&'a Instrument>,
) -> Vec<&'a Instrument> {
    let mut left = Vec::new();
    for thing in small {
        let own = used(programme, &thing.id);
        let common = |what: &What<'_>| match what {
            What::Beside(large, _) => used(programme, &large.id).intersection(&own).count(),
            _ => 0,
        };
        let close = |what: &What<'_>| match what {
            What::Beside(large, _) => near.get(&thing.id).is_some_and(|ids| ids.contains(&large.id)),
            _ => false,
        };
        let open = joined
            .iter_mut()
            // A small thing of another work is no part of a keyboard's station: somebody else may be at the keyboard then.
            .filter(|(what, count)| {
                let with = matches!(what, What::Beside(..)) && (close(what) || common(what) > 0);
                *count < MOST_JOINED && with
            })
            .max_by_key(|(what, count)| (close(what), common(what), std::cmp::Reverse(*count)));
        match open {
            Some((What::Beside(_, small), count)) => {
                small.push(thing);
                *count += 1;
            }
            _ => left.push(thing),
        }
    }
    left
}

/// In which works an instrument is used, by the lines' works.
fn used(programme: &Programme, id: &InstrumentId) -> BTreeSet<crate::id::WorkId> {
    let lines = programme.lines().filter(|(_, given)| given.is_on(id));
    lines.map(|(LineRef { work, .. }, _)| work.clone()).collect()
}

/// Two or more tiny things on a table that is to be had; what finds room on it is no longer small.
fn laid<'a>(small: &mut Vec<&'a Instrument>, tables: &mut Vec<&'a Instrument>) -> Option<What<'a>> {
    let table = *tables.first()?;
    let room = area_m2(table) * COVERED;
    let mut covered = 0.0;
    let (mut on, mut rest) = (Vec::new(), Vec::new());
    for thing in small.iter().copied() {
        if long_m(thing) <= TINY_M && covered + area_m2(thing) <= room {
            covered += area_m2(thing);
            on.push(thing);
        } else {
            rest.push(thing);
        }
    }
    if on.len() < 2 {
        return None;
    }
    tables.remove(0);
    *small = rest;
    Some(What::Table(table, on))
}

fn is_single_drum(library: &Library, thing: &Instrument) -> bool {
    thing.frames.len() == 1 && sets::is_for_timpani(library, &thing.kind)
}

/// Drums from the player's left, the low one where the orchestra has it.
fn in_order<'a>(library: &Library, mut drums: Vec<&'a Instrument>) -> Vec<&'a Instrument> {
    let low = |thing: &Instrument| thing.compass().lowest();
    drums.sort_by(|a, b| low(a).cmp(&low(b)).then_with(|| a.id.cmp(&b.id)));
    if library.orchestra.timpani.low_drum == collection::Side::Right {
        drums.reverse();
    }
    drums
}

fn extent(thing: &Instrument) -> (f64, f64) {
    thing.footprint.shape.extent()
}

fn long_m(thing: &Instrument) -> f64 {
    let (width, depth) = extent(thing);
    width.max(depth)
}

fn area_m2(thing: &Instrument) -> f64 {
    let (width, depth) = extent(thing);
    width * depth
}

impl<'a> Group<'a> {
    /// Everything in it, the head first.
    pub(super) fn things(&self) -> Vec<&'a Instrument> {
        match &self.what {
            What::Arc(all) | What::Pair(all) => all.clone(),
            What::Beside(head, others) | What::Table(head, others) => {
                std::iter::once(*head).chain(others.iter().copied()).collect()
            }
            What::Whole(draft) => draft.iter().map(|spot| spot.thing).collect(),
        }
    }

    fn id(&self) -> Option<InstrumentId> {
        self.things().first().map(|thing| thing.id.clone())
    }

    /// How it may stand, the better first.
    pub(super) fn drafts(&self) -> Vec<Draft<'a>> {
        match &self.what {
            What::Arc(all) => vec![arc(all), row(all)],
            What::Pair(all) => {
                let ends = all.split_first().map(|(head, small)| at_the_ends(head, small));
                ends.into_iter().chain([arc(all)]).collect()
            }
            What::Beside(head, small) if small.is_empty() => vec![vec![current(head, 0.0)]],
            What::Beside(head, small) => vec![at_the_ends(head, small), behind(head, small)],
            What::Table(head, tiny) => vec![on_top(head, tiny)],
            What::Whole(draft) => vec![draft.clone()],
        }
    }

    /// The same things each by itself, for where they find no place as one.
    pub(super) fn apart(&self) -> Vec<Self> {
        let one = |thing| Self { player: self.player.clone(), what: What::Beside(thing, Vec::new()) };
        match &self.what {
            What::Beside(head, small) if !small.is_empty() => {
                let rest = Self { player: self.player.clone(), what: What::Arc(small.clone()) };
                vec![one(head), rest]
            }
            // A set of drums is no set when it is torn apart.
            What::Arc(_) | What::Pair(_) | What::Beside(..) | What::Whole(_) => Vec::new(),
            What::Table(_, tiny) => vec![Self { player: self.player.clone(), what: What::Arc(tiny.clone()) }],
        }
    }
}

/// A thing before its player, turned so, at arm's length or farther by `out_m`.
fn reached(thing: &Instrument, turn_deg: f64, out_m: f64) -> Point {
    let turned = Placement { at: Point::default(), turn_deg, number: 0, locked: false };
    let place = standing(thing.footprint.shape, &turned, Side::Playing).place;
    // Away from the player is the thing's own growing y.
    let out = to_floor(&turned, Point::new(0.0, out_m));
    Point::new(out.x - place.x, out.y - place.y)
}

fn current(thing: &Instrument, turn_deg: f64) -> Spot<'_> {
    Spot { thing, at: reached(thing, turn_deg, 0.0), turn_deg, on: None }
}

/// Round the player from left to right, each turned to the player.
fn arc<'a>(all: &[&'a Instrument]) -> Draft<'a> {
    let mut out_m = 0.0;
    loop {
        let angles = angles(all, out_m);
        let span = angles.last().copied().unwrap_or(0.0);
        if span <= WIDEST_DEG || out_m > 2.0 {
            let spot = |(thing, angle): (&&'a Instrument, &f64)| {
                // From the player's left, which is clockwise of straight ahead as seen on the plan with y down: large x.
                let aside = span / 2.0 - angle;
                let turn_deg = (-aside).rem_euclid(360.0);
                Spot { thing, at: reached(thing, turn_deg, out_m), turn_deg, on: None }
            };
            return all.iter().zip(&angles).map(spot).collect();
        }
        out_m += 0.05;
    }
}

/// How far each thing lies from the first on an arc, degrees.
fn angles(all: &[&Instrument], out_m: f64) -> Vec<f64> {
    let radius = |thing: &Instrument| long_m(thing) / 2.0;
    let away = |thing: &Instrument| {
        let at = reached(thing, 0.0, out_m);
        at.x.hypot(at.y)
    };
    let mut angles = vec![0.0];
    for pair in all.windows(2) {
        let [one, other] = pair else { continue };
        let (a, b, c) = (away(one), away(other), radius(one) + radius(other) + APART_M);
        // The law of cosines; things that cannot be that far apart stand opposite each other.
        let cos = ((a * a + b * b - c * c) / (2.0 * a * b)).clamp(-1.0, 1.0);
        angles.push(angles.last().copied().unwrap_or(0.0) + cos.acos().to_degrees());
    }
    angles.truncate(all.len());
    angles
}

/// Side by side from left to right, before the middle one's player.
fn row<'a>(all: &[&'a Instrument]) -> Draft<'a> {
    let width: f64 = all.iter().map(|thing| extent(thing).0 + APART_M).sum::<f64>() - APART_M;
    let mut edge = width / 2.0;
    let spot = |thing: &&'a Instrument| {
        let wide = extent(thing).0;
        let at = Point::new(edge - wide / 2.0, reached(thing, 0.0, 0.0).y);
        edge -= wide + APART_M;
        Spot { thing, at, turn_deg: 0.0, on: None }
    };
    all.iter().map(spot).collect()
}

/// Small things at both ends of a large one, beginning beside it and going back along its player.
fn at_the_ends<'a>(head: &'a Instrument, small: &[&'a Instrument]) -> Draft<'a> {
    let first = current(head, 0.0);
    let (wide, deep) = extent(head);
    // Where the next begins on each side, once one stands there.
    let mut edges = [0.0; 2];
    let mut draft = vec![first];
    for (nth, thing) in small.iter().enumerate() {
        let (own_wide, own_deep) = extent(thing);
        let side = if nth % 2 == 0 { -1.0 } else { 1.0 };
        let x = first.at.x + side * (wide / 2.0 + APART_M + own_wide / 2.0);
        let Some(edge) = edges.get_mut(nth % 2) else { continue };
        // The first stands with its far edge level with the large one's; the next before it, towards the player's back.
        let y = if nth < 2 { first.at.y + deep / 2.0 - own_deep / 2.0 } else { *edge - own_deep / 2.0 };
        *edge = y - own_deep / 2.0 - APART_M;
        draft.push(Spot { thing, at: Point::new(x, y), turn_deg: 0.0, on: None });
    }
    draft
}

/// Small things in a row behind the player of a large one, who turns round to them.
fn behind<'a>(head: &'a Instrument, small: &[&'a Instrument]) -> Draft<'a> {
    let first = current(head, 0.0);
    let mut draft = vec![first];
    draft.extend(row(small).into_iter().map(|spot| Spot {
        at: Point::new(-spot.at.x, -spot.at.y),
        turn_deg: 180.0,
        ..spot
    }));
    draft
}

/// Tiny things on a table, in rows from the player's left.
fn on_top<'a>(table: &'a Instrument, tiny: &[&'a Instrument]) -> Draft<'a> {
    let first = current(table, 0.0);
    let (wide, deep) = extent(table);
    let mut draft = vec![first];
    let (mut x, mut y, mut row_deep) = (wide / 2.0, -deep / 2.0, 0.0_f64);
    for thing in tiny {
        let (own_wide, own_deep) = extent(thing);
        if x - own_wide < -wide / 2.0 {
            (x, y, row_deep) = (wide / 2.0, y + row_deep, 0.0);
        }
        // What finds no room in a row any more lies over the last one: whoever sets up moves it.
        let own = Point::new(x - own_wide / 2.0, (y + own_deep / 2.0).min((deep - own_deep) / 2.0));
        x -= own_wide;
        row_deep = row_deep.max(own_deep);
        let at = Point::new(first.at.x + own.x, first.at.y + own.y);
        draft.push(Spot { thing, at, turn_deg: 0.0, on: Some(table) });
    }
    draft
}

/// Where a thing of a draft stands when its player stands there, turned so.
pub(super) fn on_floor(spot: &Spot<'_>, player: Point, turn_deg: f64, number: u32) -> Placement {
    let frame = Placement { at: player, turn_deg, number, locked: false };
    let turn_deg = (spot.turn_deg + turn_deg).rem_euclid(360.0);
    Placement { at: to_floor(&frame, spot.at).rounded(), turn_deg, number, locked: false }
}

/// How far from the player a draft goes backwards and forwards and to both sides, metres.
pub(super) fn reach_m(draft: &Draft<'_>) -> f64 {
    let far = |spot: &Spot<'_>| {
        let (wide, deep) = extent(spot.thing);
        spot.at.x.hypot(spot.at.y) + wide.hypot(deep) / 2.0
    };
    draft.iter().map(far).fold(STANDING_DEPTH_M, f64::max)
}

/// Whether no two things of a draft lie over each other, to the eye of a test.
#[cfg(test)]
fn is_clear(draft: &Draft<'_>) -> bool {
    let figures: Vec<_> = draft
        .iter()
        .filter(|spot| spot.on.is_none())
        .map(|spot| {
            super::figure::figure(spot.thing.footprint.shape, &on_floor(spot, Point::default(), 0.0, 1))
        })
        .collect();
    figures
        .iter()
        .enumerate()
        .all(|(at, one)| figures.iter().skip(at + 1).all(|other| super::overlap(one, other).is_none()))
}

#[cfg(test)]
mod worked;

#[cfg(test)]
mod tests {
    use super::super::figure::to_local;
    use super::*;
    use crate::collection::Shape;
    use crate::sample;
    use approx::assert_relative_eq;

    fn round(id: &str, diameter_m: f64) -> Instrument {
        let mut thing = sample::instrument(id, "drum", &["C2-G2"]);
        thing.footprint.shape = Shape::Round { diameter_m };
        thing
    }

    fn boxed(id: &str, width_m: f64, depth_m: f64) -> Instrument {
        let mut thing = sample::instrument(id, "x", &[]);
        thing.footprint.shape = Shape::Box { width_m, depth_m };
        thing
    }

    #[test]
    fn drums_stand_round_their_player_and_clear_of_each_other() {
        let drums = [round("d32", 0.81), round("d29", 0.74), round("d26", 0.66), round("d23", 0.58)];
        let draft = arc(&drums.iter().collect::<Vec<_>>());
        assert!(is_clear(&draft));
        assert!(
            draft.windows(2).all(|pair| pair[0].at.x > pair[1].at.x),
            "from the player's left, at large x"
        );
        let furthest = reach_m(&draft);
        assert!(furthest < 2.0, "{furthest}");
        // Each is turned to the player: its own standing place lies towards 0, 0.
        for spot in &draft {
            let placement = on_floor(spot, Point::default(), 0.0, 1);
            let place = standing(spot.thing.footprint.shape, &placement, Side::Playing).place;
            assert!(place.x.hypot(place.y) < 0.6, "{place:?}");
        }
    }

    #[test]
    fn small_things_stand_at_both_ends_of_a_keyboard_or_behind_its_player() {
        let head = boxed("marimba", 2.4, 0.9);
        let small = [boxed("a", 0.5, 0.4), boxed("b", 0.5, 0.5), boxed("c", 0.3, 0.3)];
        let small: Vec<&Instrument> = small.iter().collect();
        let ends = at_the_ends(&head, &small);
        assert!(is_clear(&ends));
        assert_relative_eq!(ends[0].at.y, STANDING_DEPTH_M / 2.0 + 0.45, epsilon = 1e-9);
        assert!(ends[1].at.x < -1.2 && ends[2].at.x > 1.2 && ends[3].at.y < ends[1].at.y);
        let back = behind(&head, &small);
        assert!(is_clear(&back) && back.iter().skip(1).all(|spot| spot.at.y < -0.35));
    }

    #[test]
    fn what_lies_on_a_table_lies_within_its_edges() {
        let table = boxed("table", 0.9, 0.6);
        let tiny = [boxed("a", 0.3, 0.2), boxed("b", 0.35, 0.2), boxed("c", 0.3, 0.3), boxed("d", 0.2, 0.2)];
        let draft = on_top(&table, &tiny.iter().collect::<Vec<_>>());
        let frame = Placement { at: draft[0].at, turn_deg: 0.0, number: 1, locked: false };
        for spot in draft.iter().skip(1) {
            let (own, (wide, deep)) = (to_local(&frame, spot.at), extent(spot.thing));
            assert!(
                own.x.abs() + wide / 2.0 <= 0.45 + 1e-9 && own.y.abs() + deep / 2.0 <= 0.3 + 1e-9,
                "{own:?}"
            );
        }
    }

    #[test]
    fn a_station_turns_about_its_player() {
        let drum = round("d", 0.6);
        let spot = current(&drum, 0.0);
        let placement = on_floor(&spot, Point::new(2.0, 3.0), 90.0, 4);
        // 0.3 + 0.35 m ahead of the player, who looks to the left of the plan.
        assert_relative_eq!(placement.at.x, 2.0 - 0.65, epsilon = 1e-9);
        assert_relative_eq!(placement.at.y, 3.0, epsilon = 1e-9);
        assert_relative_eq!(placement.turn_deg, 90.0);
    }
}
