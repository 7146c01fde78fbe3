//! A first setup to begin from: what one player uses stands together, faces the conductor, and leaves the ways free.
//!
//! Greedy: the largest station first, each at the best place of a grid that breaks no rule. It is a proposal like any other, and
//! no claim that none is better.

mod elsewhere;
mod home;

use super::footing::footing;
use super::plan::{Plan, Stood};
use super::station::{Draft, Group, groups, on_floor, reach_m};
use super::{STANDING_DEPTH_M, gap, overlap};
use crate::collection::{Instrument, Point, Riser, Venue};
use crate::halt::Halt;
use crate::id::{InstrumentId, PlayerId};
use crate::library::Library;
use crate::week::{Placement, Programme, Setup};
pub(crate) use elsewhere::{may_stand, stand_again};
use home::{facing, grid, homes, levels, middle, owners};
use std::collections::{BTreeMap, BTreeSet};

/// How far towards the conductor a proposal goes, as a share of the way from the back. Ours.
const REAR_SHARE: f64 = 0.62;
/// How many places are tried at the most, over all things.
const MOST_TRIES: usize = 400_000;
/// How much nearer a station must come to stand in a worse way, metres. Ours.
const WORSE_M: f64 = 1.5;
/// How much farther something is that lies behind or before than what lies beside, to be walked to. Ours.
const BEHIND: f64 = 2.0;
/// How much a player's own place weighs where the seconds say what to be near of. Ours.
const SLIGHT: f64 = 0.1;
/// Levels nearer than this are one, metres.
const LEVEL_M: f64 = 0.01;
/// How much nearer a place on another level than the rest of a player's things must be, metres. Ours.
const OTHER_LEVEL_M: f64 = 3.0;

/// A proposed setup: places, what stands as one with what, and what lies on what.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Sketch {
    /// Where each thing stands.
    pub places: BTreeMap<InstrumentId, Placement>,
    /// What stands as one, and with which.
    pub stations: BTreeMap<InstrumentId, InstrumentId>,
    /// What lies or hangs, and on which.
    pub lies_on: BTreeMap<InstrumentId, InstrumentId>,
}

impl Sketch {
    /// Whether nothing is proposed.
    pub fn is_empty(&self) -> bool {
        self.places.is_empty()
    }

    /// Puts it onto a setup.
    pub fn onto(&self, setup: &mut Setup) {
        for (id, placement) in &self.places {
            setup.stand(id.clone(), *placement);
        }
        setup.stations.extend(self.stations.iter().map(|(id, with)| (id.clone(), with.clone())));
        setup.lies_on.extend(self.lies_on.iter().map(|(id, by)| (id.clone(), by.clone())));
    }

    /// What is in another one as well.
    pub fn extend(&mut self, other: Self) {
        self.places.extend(other.places);
        self.stations.extend(other.stations);
        self.lies_on.extend(other.lies_on);
    }
}

/// By instrument, what it is wanted near of, because somebody has few seconds from the one to the other.
pub(crate) type Near = BTreeMap<InstrumentId, BTreeSet<InstrumentId>>;

/// Places for those of these instruments that do not stand yet, near nothing in particular.
pub(crate) fn propose_these(
    library: &Library,
    programme: &Programme,
    venue: &Venue,
    these: &BTreeSet<&InstrumentId>,
    halt: &Halt,
) -> Sketch {
    propose_near(library, programme, venue, (these, &Near::new()), halt)
}

/// Places for those of these instruments that do not stand yet, whether the programme uses them or not; what stands stays. What one
/// player uses at one place stands as one, on one level. A thing for which there is no place is left out. A search that is
/// ended gives what it has found.
pub(crate) fn propose_near(
    library: &Library,
    programme: &Programme,
    venue: &Venue,
    (these, near): (&BTreeSet<&InstrumentId>, &Near),
    halt: &Halt,
) -> Sketch {
    let owners = owners(programme);
    // What stands for one work alone has its place.
    let standing = programme.standing_anywhere();
    let thing = |id: &&InstrumentId| library.instruments.get(*id).map(|thing| &**thing);
    let wanted: Vec<&Instrument> =
        these.iter().filter(|id| !standing.contains(**id)).filter_map(thing).collect();
    // A table is brought for several things only.
    let tables = if wanted.len() > 1 { tables(library, programme, &wanted) } else { Vec::new() };
    let groups = groups(library, programme, &owners, (&wanted, &tables, near));
    let filled = |close| {
        let mut hall = Hall { near: near.clone(), ..Hall::new(library, programme, venue, close) };
        hall.fill(&groups, wanted.len() as u64, halt);
        hall.sketch
    };
    let first = filled(false);
    let all = |sketch: &Sketch| wanted.iter().all(|thing| sketch.places.contains_key(&thing.id));
    if all(&first) || halt.is_asked() {
        return first;
    }
    // Where not everything finds a place, the floor is filled closely from the back instead; of the two the fuller one.
    let second = filled(true);
    if second.places.len() > first.places.len() { second } else { first }
}

/// Tables that nothing lies on and that no other programme of the week has.
fn tables<'a>(library: &'a Library, programme: &Programme, wanted: &[&Instrument]) -> Vec<&'a Instrument> {
    let bears = |thing: &Instrument| library.kinds.get(&thing.kind).is_some_and(|kind| kind.bears);
    let week = library.week_of(&programme.id);
    let elsewhere: BTreeSet<InstrumentId> = week
        .into_iter()
        .flat_map(|week| &week.programmes)
        .filter(|other| other.id != programme.id)
        .flat_map(|other| other.setup.anywhere().into_iter().cloned().collect::<Vec<_>>())
        .collect();
    let standing = programme.standing_anywhere();
    library
        .instruments
        .values()
        .map(|thing| &**thing)
        .filter(|thing| bears(thing) && !standing.contains(&thing.id) && !elsewhere.contains(&thing.id))
        .filter(|thing| !wanted.iter().any(|other| other.id == thing.id))
        .collect()
}

/// The floor while it fills.
struct Hall<'a> {
    library: &'a Library,
    venue: &'a Venue,
    setup: Programme,
    /// Filled closely, row by row from the back, everything straight ahead: for a floor that is too small for more than that.
    close: bool,
    places: Vec<Point>,
    homes: BTreeMap<PlayerId, Point>,
    /// The level on which a player's things stand, metres.
    levels: BTreeMap<PlayerId, f64>,
    near: Near,
    sketch: Sketch,
    tries: usize,
}

impl<'a> Hall<'a> {
    fn new(library: &'a Library, programme: &Programme, venue: &'a Venue, close: bool) -> Self {
        // The section stands behind the orchestra: well on the far side of the conductor.
        let front = venue.conductor.map_or(f64::INFINITY, |conductor| conductor.y * REAR_SHARE);
        Self {
            library,
            venue,
            setup: programme.clone(),
            close,
            places: grid(venue, close).into_iter().filter(|at| at.y <= front).collect(),
            homes: homes(library, programme, venue),
            levels: levels(library, programme),
            near: Near::new(),
            sketch: Sketch::default(),
            tries: 0,
        }
    }

    /// Gives each group a place, one after the other; where one finds none, its things by themselves.
    fn fill(&mut self, groups: &[Group<'a>], of: u64, halt: &Halt) {
        let mut left: Vec<Group<'a>> = groups.iter().rev().cloned().collect();
        while let Some(group) = left.pop() {
            if halt.is_asked_after((self.sketch.places.len() as u64).min(of), of) {
                break;
            }
            if !self.place(&group) {
                left.extend(group.apart().into_iter().rev());
            }
        }
    }

    /// Gives a group the best place that breaks no rule, near what its player has already; whether there is one.
    fn place(&mut self, group: &Group<'_>) -> bool {
        let home = group.player.as_ref().and_then(|id| self.homes.get(id)).copied();
        let home = home.unwrap_or_else(|| middle(self.venue));
        let plan = Plan::of(self.library, &self.setup);
        let close = self.close;
        let at_home = |p: &Point| {
            if close {
                3.0 * p.y + 0.3 * (p.x - home.x).abs()
            } else {
                (p.x - home.x).hypot(p.y - home.y) + 0.3 * p.y
            }
        };
        let level = group.player.as_ref().and_then(|id| self.levels.get(id)).copied();
        let risers = &self.venue.risers;
        let steps = |p: &Point| level.is_some_and(|level| (level_at(*p, risers) - level).abs() >= LEVEL_M);
        let wanted = self.wanted(group, &plan);
        let cost = |p: &Point| {
            // One behind the other, either stands in the way; side by side nothing does.
            let way = |to: &Point| (p.x - to.x).hypot(BEHIND * (p.y - to.y));
            let far = if wanted.is_empty() {
                at_home(p)
            } else {
                wanted.iter().map(way).sum::<f64>() + SLIGHT * at_home(p)
            };
            far + if steps(p) { OTHER_LEVEL_M } else { 0.0 }
        };
        let mut order = self.places.clone();
        order.sort_by(|a, b| cost(a).total_cmp(&cost(b)));
        let mut best: Option<(f64, Point, Vec<Stood>, Draft<'_>)> = None;
        for (nth, draft) in group.drafts().into_iter().enumerate() {
            // The better way to stand is worth some metres.
            let cost = |p: &Point| cost(p) + WORSE_M * nth as f64;
            for at in &order {
                self.tries += 1;
                let dearer = best.as_ref().is_some_and(|(least, ..)| cost(at) >= *least);
                if dearer || self.tries > MOST_TRIES {
                    break;
                }
                if let Some(stood) = self.stood(&plan, &draft, *at, group.player.as_ref()) {
                    best = Some((cost(at), *at, stood, draft.clone()));
                    break;
                }
            }
        }
        let Some((_, at, stood, draft)) = best else { return false };
        self.keep(&stood, &draft);
        if let Some(player) = &group.player {
            self.homes.insert(player.clone(), at);
            self.levels.insert(player.clone(), level_at(at, &self.venue.risers));
        }
        true
    }

    /// The places that a group is wanted near of: where one stands at what somebody comes from or goes to in few seconds.
    fn wanted(&self, group: &Group<'_>, plan: &Plan) -> Vec<Point> {
        let own = group.things();
        let others = own.iter().filter_map(|thing| self.near.get(&thing.id)).flatten();
        let others: BTreeSet<&InstrumentId> =
            others.filter(|id| own.iter().all(|thing| thing.id != **id)).collect();
        others.into_iter().filter_map(|id| plan.thing(id)).map(|stood| stood.standing.place).collect()
    }

    /// A draft with its player at a place, if nothing speaks against it: facing the conductor, else straight ahead.
    fn stood(
        &self,
        plan: &Plan,
        draft: &Draft<'_>,
        at: Point,
        player: Option<&PlayerId>,
    ) -> Option<Vec<Stood>> {
        let facing = facing(self.venue, at);
        let turned = Some(facing).filter(|_| !self.close);
        let straight = (self.close || facing.abs() > 0.0).then_some(0.0);
        turned.into_iter().chain(straight).find_map(|turn_deg| {
            let stood: Vec<Stood> = draft
                .iter()
                .map(|spot| {
                    let placement = on_floor(spot, at, turn_deg, 0);
                    let mut stood = Stood::new(&spot.thing.id, spot.thing, &placement, Some(self.venue));
                    stood.played_by.extend(player.filter(|_| spot.on.is_none()).cloned());
                    stood
                })
                .collect();
            self.fits(plan, &stood, draft).then_some(stood)
        })
    }

    /// Whether a station stands on one level of the floor, clear of everything, with its player's room free and leaving others
    /// theirs, and hides the conductor from nobody.
    fn fits(&self, plan: &Plan, stood: &[Stood], draft: &Draft<'_>) -> bool {
        let gangway_m = self.library.orchestra.habits.gangway_m;
        let Some(head) = stood.first() else { return false };
        let inside = |p: &Point| super::plane::inside(*p, &self.venue.floor);
        if !head.standing.room.iter().all(inside) {
            return false;
        }
        // Whoever plays stands on the level of what is played, with both feet.
        let ground = footing(&head.standing.figure(), &self.venue.risers);
        if ground.step_m().is_some() || (ground.height_m() - head.footing.height_m()).abs() >= LEVEL_M {
            return false;
        }
        let far = reach_m(draft) + STANDING_DEPTH_M;
        let near: Vec<&Stood> = plan
            .things
            .iter()
            .filter(|other| {
                other.placement.at.distance(head.standing.place) <= far + reach(other) + gangway_m
            })
            .collect();
        let level = head.footing.height_m();
        let each = stood.iter().zip(draft).filter(|(_, spot)| spot.on.is_none()).all(|(one, _)| {
            (one.footing.height_m() - level).abs() < LEVEL_M
                && fits(one, self.venue)
                && near.iter().all(|other| is_clear(one, &head.standing.figure(), other, gangway_m))
        });
        each && self.hides_nothing(plan, stood)
    }

    fn hides_nothing(&self, plan: &Plan, stood: &[Stood]) -> bool {
        let with = Plan { things: plan.things.iter().chain(stood).cloned().collect() };
        let first = plan.things.len();
        // A rack of bells hides the conductor from its own player wherever it stands.
        let hidden = with.hidden(self.venue);
        let others = hidden.iter().filter(|one| one.thing < first || one.by < first).count();
        others <= plan.hidden(self.venue).len()
    }

    fn keep(&mut self, stood: &[Stood], draft: &Draft<'_>) {
        let head = draft.first().map(|spot| spot.thing.id.clone());
        let mut sketch = Sketch::default();
        for (one, spot) in stood.iter().zip(draft) {
            let id = &spot.thing.id;
            let placement = Placement { number: self.setup.setup.next_number(), ..one.placement };
            self.setup.setup.stand(id.clone(), placement);
            sketch.places.insert(id.clone(), placement);
            match (&spot.on, &head) {
                (Some(on), _) => {
                    sketch.lies_on.insert(id.clone(), on.id.clone());
                }
                (None, Some(head)) if head != id => {
                    sketch.stations.insert(id.clone(), head.clone());
                }
                _ => {}
            }
        }
        sketch.onto(&mut self.setup.setup);
        self.sketch.extend(sketch);
    }
}

/// The level of the floor at a point, metres: that of the highest riser there.
fn level_at(at: Point, risers: &[Riser]) -> f64 {
    let here = risers.iter().filter(|riser| super::plane::inside(at, &riser.outline));
    here.map(|riser| riser.height_m).fold(0.0, f64::max)
}

/// Whether a thing stands on one level of the floor, outside what is kept free.
fn fits(stood: &Stood, venue: &Venue) -> bool {
    super::outside(&stood.figure, &venue.floor).is_none()
        && stood.footing.step_m().is_none()
        && !venue.keep_out.iter().any(|area| super::intrusion(&stood.figure, &area.outline).is_some())
}

/// Whether a thing and its player's room are clear of what stands already, and leave it its room and the way.
fn is_clear(stood: &Stood, room: &super::Figure, other: &Stood, gangway_m: f64) -> bool {
    // Near enough to stand together, or far enough to pass.
    overlap(&stood.figure, &other.figure).is_none()
        && overlap(room, &other.figure).is_none()
        && overlap(&stood.figure, &other.standing.figure()).is_none()
        && gap(&stood.figure, &other.figure)
            .is_none_or(|gap| gap.metres < super::BODY_M || gap.metres >= gangway_m)
}

fn reach(thing: &Stood) -> f64 {
    let (width, depth) = thing.shape.extent();
    (width.hypot(depth)) / 2.0 + STANDING_DEPTH_M
}

#[cfg(test)]
mod worked;

#[cfg(test)]
mod tests {
    use super::*;

    use crate::edit::{Edit, apply};
    use crate::sample::{at, library};

    /// For everything that the programme uses.
    fn propose(library: &Library, programme: &Programme, venue: &Venue) -> Sketch {
        let used = programme.used();
        propose_these(library, programme, venue, &used, &Halt::default())
    }

    #[test]
    fn a_proposal_breaks_no_rule_and_moves_nothing() {
        let id = |name: &str| InstrumentId::new(name).unwrap();
        let programme = crate::id::ProgrammeId::new("p").unwrap();
        let edits = vec![
            Edit::UseInstruments {
                programme: programme.clone(),
                line: at("w", "xyl"),
                instruments: vec![id("xylophone-1")],
            },
            Edit::UseInstruments {
                programme: programme.clone(),
                line: at("w", "sn"),
                instruments: vec![id("snare")],
            },
            Edit::Assign {
                programme: programme.clone(),
                line: at("w", "xyl"),
                player: Some(PlayerId::new("a").unwrap()),
            },
        ];
        let library = apply(&library(), &Edit::Together { words: "x".into(), edits }).unwrap();
        let venue = library.venues.values().next().unwrap();
        let own = library.programme(&programme).unwrap();
        let found = propose(&library, own, venue);
        assert_eq!(found.places.len(), 2, "{found:?}");
        let mut set = own.clone();
        found.onto(&mut set.setup);
        let checks = Plan::of(&library, &set).checks(Some(venue), library.orchestra.habits.gangway_m);
        assert!(checks.overlaps.is_empty() && checks.troubles.is_empty() && checks.blocked.is_empty());
        assert!(checks.narrow.is_empty(), "{:?}", checks.narrow);
        assert!(propose(&library, &set, venue).is_empty(), "what stands stays");
        let numbers: BTreeSet<u32> = found.places.values().map(|placement| placement.number).collect();
        assert_eq!(numbers.len(), 2, "each with a number of its own");
    }

    /// Four single drums, a xylophone and a small drum, all for player `a`; a hall whose back half is raised.
    fn with_a_set() -> (Library, Venue) {
        use crate::collection::{Family, Layout, Pitched, Riser, Shape};
        use crate::sample;
        let timpani = crate::collection::Kind {
            family: Family::Timpani,
            layout: Layout::Drums,
            ..sample::kind("timpani", Pitched::Yes, None)
        };
        let drum = |(id, range, diameter_m): (&str, &str, f64)| {
            let mut thing = sample::instrument(id, "timpani", &[range]);
            thing.layout = Layout::Drums;
            thing.footprint.shape = Shape::Round { diameter_m };
            thing
        };
        let drums =
            [("d32", "D2-A2", 0.9), ("d29", "F2-C3", 0.85), ("d26", "A#2-F3", 0.78), ("d23", "D3-A3", 0.7)];
        let mut small = sample::instrument("snare", "snare_drum", &[]);
        small.footprint.shape = Shape::Round { diameter_m: 0.5 };
        let programme = crate::id::ProgrammeId::new("p").unwrap();
        let mut work = (**library().works.values().next().unwrap()).clone();
        work.lines.push(sample::line("tim", Some("timpani"), crate::pitch::Octave::AS_WRITTEN, "F2 C3"));
        let mut edits = vec![Edit::PutKind(timpani), Edit::PutInstrument(small)];
        edits.extend(drums.map(drum).map(Edit::PutInstrument));
        edits.push(Edit::PutWork(work));
        for (row, things) in
            [("tim", vec!["d32", "d29", "d26", "d23"]), ("xyl", vec!["xylophone-1"]), ("sn", vec!["snare"])]
        {
            let instruments = things.into_iter().map(|id| InstrumentId::new(id).unwrap()).collect();
            edits.push(Edit::UseInstruments {
                programme: programme.clone(),
                line: at("w", row),
                instruments,
            });
            let player = Some(PlayerId::new("a").unwrap());
            edits.push(Edit::Assign { programme: programme.clone(), line: at("w", row), player });
        }
        let strip = |from: f64, to: f64| {
            [(-7.0, from), (7.0, from), (7.0, to), (-7.0, to)].map(|(x, y)| Point::new(x, y)).to_vec()
        };
        let mut hall = sample::venue("hall");
        hall.floor = strip(0.0, 9.0);
        hall.conductor = Some(Point::new(0.0, 8.5));
        hall.risers =
            vec![Riser { name: "back".into(), outline: strip(0.0, 2.6), height_m: 0.4, rated_kn_m2: None }];
        edits.push(Edit::PutVenue(hall.clone()));
        (apply(&library(), &Edit::Together { words: "x".into(), edits }).unwrap(), hall)
    }

    #[test]
    fn what_one_player_has_at_one_place_is_proposed_as_one() {
        let (library, hall) = with_a_set();
        let id = |name: &str| InstrumentId::new(name).unwrap();
        let own = library.programme(&crate::id::ProgrammeId::new("p").unwrap()).unwrap();
        let found = propose(&library, own, &hall);
        assert_eq!(found.places.len(), 6, "{found:?}");
        let mut set = own.clone();
        found.onto(&mut set.setup);
        let plan = Plan::of(&library, &set);
        assert_eq!(plan.stations().len(), 2, "the drums, and the xylophone with the small drum");
        let drums = ["d32", "d29", "d26", "d23"].map(|name| plan.thing(&id(name)).unwrap());
        assert!(drums.iter().all(|one| one.station == drums[0].station && one.station.is_some()));
        let level = |one: &Stood| one.footing.height_m();
        assert!(drums.iter().all(|one| (level(one) - level(drums[0])).abs() < 1e-9), "on one level");
        assert!(drums.iter().all(|one| one.footing.step_m().is_none()));
        // The low drum stands at the player's left, who looks towards the audience: to the right of the plan.
        assert!(drums[0].placement.at.x > drums[3].placement.at.x, "{:?}", found.places);
        let checks = plan.checks(Some(&hall), library.orchestra.habits.gangway_m);
        assert!(checks.overlaps.is_empty() && checks.troubles.is_empty() && checks.narrow.is_empty());
        assert!(checks.blocked.is_empty() && checks.across.is_empty() && checks.hidden.is_empty());
        // Near each other: both stations are the same player's.
        let (one, other) = (drums[0].standing.place, plan.thing(&id("xylophone-1")).unwrap().standing.place);
        assert!(one.distance(other) < 5.0, "{}", one.distance(other));
        // And the other way round where the orchestra has it so.
        let mut orchestra = (*library.orchestra).clone();
        orchestra.timpani.low_drum = crate::collection::Side::Right;
        let turned = apply(&library, &Edit::SetOrchestra(orchestra)).unwrap();
        let places = propose(&turned, own, &hall).places;
        assert!(places[&id("d32")].at.x < places[&id("d23")].at.x);
    }
}
