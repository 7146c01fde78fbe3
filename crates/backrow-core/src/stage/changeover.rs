//! Between works: what moves, comes or goes, with people and minutes; and a setup in which less of it does.

use super::overlap;
use super::plan::{Plan, Stood};
use crate::carrying::{Carrying, GEAR, at_most};
use crate::collection::Venue;
use crate::id::{InstrumentId, WorkId};
use crate::library::Library;
use crate::week::{Placement, Programme, Setup, WorkSetup};
use std::collections::{BTreeMap, BTreeSet};

/// Minutes to take hold of one thing and set it down again. Ours, no published source.
const HANDLING_MIN: f64 = 0.5;
/// Metres a minute that a thing is rolled or carried on a full stage. Ours, no published source.
const PACE_M_MIN: f64 = 20.0;
/// How far off stage a thing is brought from, metres, where nothing says so. Ours.
const OFF_STAGE_M: f64 = 10.0;

/// What happens to one thing between two works.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Which.
    pub instrument: InstrumentId,
    /// What.
    pub what: What,
    /// What carrying it asks for.
    pub carrying: Carrying,
    /// An estimate, minutes for one crew.
    pub minutes: f64,
}

/// Brought, taken away, moved or turned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// It comes onto the floor there.
    Bring(Placement),
    /// It leaves the floor.
    Take(Placement),
    /// It goes from one place to the other.
    Move(Placement, Placement),
}

impl Step {
    /// "move 1 Marimba 1 by 0.5 m", with the number on the plan.
    pub fn words(&self, library: &Library, setup: &Setup) -> String {
        let number = setup.number_of(&self.instrument).map_or_else(String::new, |n| format!("{n} "));
        let name = format!("{number}{}", library.instrument_name(&self.instrument));
        match self.what {
            What::Bring(_) => format!("bring {name}"),
            What::Take(_) => format!("take {name} away"),
            What::Move(a, b) if a.at.distance(b.at) < 0.01 => format!("turn {name}"),
            What::Move(a, b) => format!("move {name} by {:.1}\u{202F}m", a.at.distance(b.at)),
        }
    }
}

/// The change from one work to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct Changeover {
    /// The work that is over.
    pub from: WorkId,
    /// The work that follows.
    pub to: WorkId,
    /// In the order of the numbers on the plan.
    pub steps: Vec<Step>,
}

impl Changeover {
    /// "about 4 min, 2 people at most"; people who bring lifting gear say themselves how long they need.
    pub fn took(&self) -> String {
        match self.carrying() {
            Carrying::Gear => format!("it needs {GEAR}: ask them for the time"),
            worst => format!("about {:.0}\u{202F}min, {}", self.minutes().ceil(), at_most(worst)),
        }
    }

    /// Minutes for one crew that does one thing after the other, an estimate.
    pub fn minutes(&self) -> f64 {
        self.steps.iter().map(|step| step.minutes).sum()
    }

    /// What the step that asks most asks for.
    pub fn carrying(&self) -> Carrying {
        self.steps.iter().map(|step| step.carrying).fold(Carrying::Unknown, Carrying::worse)
    }
}

/// The changes between the works of a programme, in its order; those in which something happens.
pub(crate) fn changeovers(library: &Library, programme: &Programme) -> Vec<Changeover> {
    let pairs = programme.works.iter().zip(programme.works.iter().skip(1));
    let change = |(from, to): (&WorkId, &WorkId)| {
        let (before, after) = (programme.setup.of_work(from), programme.setup.of_work(to));
        let ids: BTreeSet<&InstrumentId> = before.keys().chain(after.keys()).collect();
        let step = |id: &InstrumentId| {
            let (what, metres) = match (before.get(id), after.get(id)) {
                (Some(a), Some(b)) if a.at == b.at && a.turn_deg.total_cmp(&b.turn_deg).is_eq() => {
                    return None;
                }
                (Some(a), Some(b)) => (What::Move(*a, *b), a.at.distance(b.at)),
                (None, Some(b)) => (What::Bring(*b), OFF_STAGE_M),
                (Some(a), None) => (What::Take(*a), OFF_STAGE_M),
                (None, None) => return None,
            };
            let minutes = HANDLING_MIN + metres / PACE_M_MIN;
            Some(Step { instrument: id.clone(), what, carrying: Carrying::Unknown, minutes })
        };
        let mut steps: Vec<Step> = ids.into_iter().filter_map(step).collect();
        goes_along(library, programme, &mut steps);
        steps.sort_by_key(|step| (programme.setup.number_of(&step.instrument), step.instrument.clone()));
        Changeover { from: from.clone(), to: to.clone(), steps }
    };
    pairs.map(change).filter(|change| !change.steps.is_empty()).collect()
}

/// What lies on a table or hangs on a stand goes with it in one step, and adds to what is carried.
fn goes_along(library: &Library, programme: &Programme, steps: &mut Vec<Step>) {
    let all = steps.clone();
    let with = |step: &Step| {
        let by = programme.setup.lies_on.get(&step.instrument)?;
        let bearer = all.iter().find(|other| other.instrument == *by)?;
        (std::mem::discriminant(&bearer.what) == std::mem::discriminant(&step.what)).then(|| by.clone())
    };
    let thing = |id: &InstrumentId| library.instruments.get(id).map(|thing| &**thing);
    steps.retain(|step| with(step).is_none());
    for step in steps {
        let along = all.iter().filter(|other| with(other).as_ref() == Some(&step.instrument));
        let along = along.filter_map(|other| thing(&other.instrument));
        step.carrying =
            thing(&step.instrument).map_or(Carrying::Unknown, |own| Carrying::of_set_up(own, along));
    }
}

/// The setup in which things that differ between works stand in one place for all of them, wherever that clashes with
/// nothing; what needs the most minutes first. The works' needs stay met: nothing that stands for a work is taken away.
pub(crate) fn settled(library: &Library, programme: &Programme, venue: &Venue) -> Setup {
    let mut best = programme.clone();
    let mut differing: Vec<InstrumentId> = best
        .setup
        .own
        .values()
        .flat_map(|own| own.placements.keys().chain(&own.away))
        .cloned()
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect();
    let kg = |id: &InstrumentId| {
        library.instruments.get(id).and_then(|thing| thing.whole_mass()).map_or(0.0, |mass| mass.kg)
    };
    differing.sort_by(|a, b| kg(b).total_cmp(&kg(a)).then_with(|| a.cmp(b)));
    for id in differing {
        // What lies on it settles with it.
        let group: Vec<InstrumentId> =
            std::iter::once(id.clone()).chain(best.setup.borne_by(&id).cloned()).collect();
        let tried: Vec<BTreeMap<InstrumentId, Placement>> = best
            .works
            .iter()
            .map(|work| {
                let all = best.setup.of_work(work);
                group.iter().filter_map(|id| Some((id.clone(), *all.get(id)?))).collect()
            })
            .filter(|places: &BTreeMap<_, _>| places.contains_key(&id))
            .collect();
        let steps = |programme: &Programme| {
            changeovers(library, programme).iter().map(|change| change.steps.len()).sum::<usize>()
        };
        let mut found: Option<(usize, Programme)> = None;
        for places in tried {
            let mut next = best.clone();
            for own in next.setup.own.values_mut() {
                own.placements.retain(|other, _| !places.contains_key(other));
                own.away.retain(|other| !places.contains_key(other));
            }
            next.setup.base.extend(places);
            next.setup.own.retain(|_, own| !own.is_empty());
            if stands_everywhere(library, &next, venue, &id) {
                let count = steps(&next);
                if found.as_ref().is_none_or(|(least, _)| count < *least) {
                    found = Some((count, next));
                }
            }
        }
        if let Some((count, next)) = found
            && count <= steps(&best)
        {
            best = next;
        }
    }
    best.setup
}

/// Whether one thing clashes with nothing in any work's setup: it stands on one level where it may, nothing takes its player's room or
/// stands in another's, and every gap beside it is a gangway or none. Within a station none of that is asked.
fn stands_everywhere(library: &Library, programme: &Programme, venue: &Venue, id: &InstrumentId) -> bool {
    let gangway_m = library.orchestra.habits.gangway_m;
    programme.works.iter().all(|work| {
        let plan = Plan::of(library, &programme.for_work(work));
        let Some(own) = plan.thing(id) else { return true };
        let Some(at) = plan.things.iter().position(|thing| thing.instrument == *id) else { return true };
        let enters = |area: &crate::collection::Area| super::intrusion(&own.figure, &area.outline).is_some();
        super::outside(&own.figure, &venue.floor).is_none()
            && own.footing.step_m().is_none()
            && !venue.keep_out.iter().any(enters)
            && plan.things.iter().enumerate().all(|(other_at, other)| {
                other_at == at
                    || plan.are_tied(at, other_at)
                    || (overlap(&own.figure, &other.figure).is_none()
                        && (plan.are_one(at, other_at) || leaves_room(own, other, gangway_m)))
            })
    })
}

/// Whether neither takes the other's player the room, and the gap between them is a gangway or none.
fn leaves_room(one: &Stood, other: &Stood, gangway_m: f64) -> bool {
    let takes = |thing: &Stood, of: &Stood| {
        !of.played_by.is_empty() && of.on.is_none() && overlap(&thing.figure, &of.standing.figure()).is_some()
    };
    let gap = super::gap(&one.figure, &other.figure);
    !takes(one, other)
        && !takes(other, one)
        && gap.is_none_or(|gap| gap.metres < super::BODY_M || gap.metres >= gangway_m)
}

/// The works' own setups of a programme rewritten so that what holds for most works is the base; nothing moves by it.
pub fn rebased(programme: &Programme) -> Setup {
    let works: Vec<&WorkId> = programme.works.iter().collect::<BTreeSet<_>>().into_iter().collect();
    let all: Vec<BTreeMap<InstrumentId, Placement>> =
        works.iter().map(|work| programme.setup.of_work(work)).collect();
    let ids: BTreeSet<&InstrumentId> = all.iter().flat_map(BTreeMap::keys).collect();
    let mut setup = Setup {
        lies_on: programme.setup.lies_on.clone(),
        stations: programme.setup.stations.clone(),
        ..Setup::default()
    };
    for id in ids {
        let places: Vec<Option<&Placement>> = all.iter().map(|own| own.get(id)).collect();
        let count = |place: Option<&Placement>| places.iter().filter(|other| **other == place).count();
        let usual = places.iter().copied().max_by_key(|place| (count(*place), place.is_some())).flatten();
        if let Some(placement) = usual {
            setup.base.insert(id.clone(), *placement);
        }
        for (work, place) in works.iter().zip(&places).filter(|(_, place)| **place != usual) {
            let own: &mut WorkSetup = setup.own.entry((*work).clone()).or_default();
            match place {
                Some(placement) => {
                    own.placements.insert(id.clone(), **placement);
                }
                None => {
                    own.away.insert(id.clone());
                }
            }
        }
    }
    setup
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::{Mass, Piece, Point};
    use crate::edit::{Edit, apply};
    use crate::id::ProgrammeId;
    use crate::sample;

    fn id(name: &str) -> InstrumentId {
        InstrumentId::new(name).unwrap()
    }

    fn work(name: &str) -> WorkId {
        WorkId::new(name).unwrap()
    }

    fn place(x: f64, number: u32) -> Placement {
        Placement { at: Point::new(x, 1.0), turn_deg: 0.0, number, locked: false }
    }

    /// Two works; the snare stands for the second only, the xylophone moves 2 m for it.
    fn library() -> Library {
        let mut heavy = sample::instrument("xylophone-1", "xylophone", &["F4-C8"]);
        let mass = Some(Mass { kg: 45.0, weighed: true });
        heavy.pieces =
            vec![Piece { what: "x".into(), count: 1, mass, wheels: "own, 4".into(), ..Piece::default() }];
        let p = || ProgrammeId::new("p").unwrap();
        let mut programme = sample::programme("p", &["w", "v"]);
        programme.setup.base.insert(id("xylophone-1"), place(0.0, 1));
        let edits = vec![
            Edit::PutInstrument(heavy),
            Edit::PutWork(sample::work("v", Vec::new())),
            Edit::PutProgramme { week: crate::id::WeekId::new("k").unwrap(), programme },
            Edit::StandFor {
                programme: p(),
                work: work("v"),
                instrument: id("snare"),
                placement: place(3.0, 2),
            },
            Edit::StandFor {
                programme: p(),
                work: work("v"),
                instrument: id("xylophone-1"),
                placement: place(-2.0, 1),
            },
        ];
        apply(&sample::library(), &Edit::Together { words: "x".into(), edits }).unwrap()
    }

    fn own(library: &Library) -> Programme {
        library.programme(&ProgrammeId::new("p").unwrap()).unwrap().clone()
    }

    #[test]
    fn what_changes_between_works_is_listed_with_people_and_minutes() {
        let library = library();
        let changes = changeovers(&library, &own(&library));
        let [change] = changes.as_slice() else { panic!("{changes:?}") };
        let rolls = Carrying::Rolls { people: 2, heavy: true };
        assert_eq!(
            (change.steps.len(), change.steps[0].carrying),
            (2, rolls),
            "45\u{202f}kg on its own wheels"
        );
        assert_eq!(change.carrying(), rolls);
        assert!(
            matches!(change.steps[0].what, What::Move(..)) && matches!(change.steps[1].what, What::Bring(_))
        );
        let words = change.steps[0].words(&library, &own(&library).setup);
        assert!(words.starts_with("move 1 ") && words.ends_with(" by 2.0\u{202f}m"), "{words}");
        // 0.5 min and 2 m at 20 m/min; 0.5 min and 10 m.
        assert!((change.minutes() - (0.6 + 1.0)).abs() < 1e-9, "{}", change.minutes());
    }

    #[test]
    fn what_can_stand_all_evening_does() {
        let library = library();
        let mut programme = own(&library);
        let venue = library.venues.values().next().unwrap();
        programme.setup = settled(&library, &programme, venue);
        assert!(changeovers(&library, &programme).is_empty(), "{:?}", programme.setup);
        assert_eq!(programme.setup.of_work(&work("v")).len(), 2, "both still stand for the second work");
    }

    #[test]
    fn rebasing_moves_nothing() {
        let library = library();
        let programme = own(&library);
        let mut again = programme.clone();
        again.setup = rebased(&programme);
        for work in &programme.works {
            assert_eq!(again.setup.of_work(work), programme.setup.of_work(work));
        }
        assert_eq!(changeovers(&library, &again), changeovers(&library, &programme));
    }

    #[test]
    fn steps_are_told_by_what_happens() {
        let library = library();
        let setup = own(&library).setup;
        let step = |what: What| {
            let step =
                Step { instrument: id("xylophone-1"), what, carrying: Carrying::Unknown, minutes: 1.0 };
            step.words(&library, &setup)
        };
        assert_eq!(step(What::Bring(place(0.0, 1))), "bring 1 xylophone 1");
        assert_eq!(step(What::Take(place(0.0, 1))), "take 1 xylophone 1 away");
        assert_eq!(step(What::Move(place(0.0, 1), place(0.009, 1))), "turn 1 xylophone 1");
        assert_eq!(step(What::Move(place(0.0, 1), place(0.01, 1))), "move 1 xylophone 1 by 0.0\u{202f}m");
        assert_eq!(step(What::Move(place(0.0, 1), place(2.46, 1))), "move 1 xylophone 1 by 2.5\u{202f}m");
        let nowhere = Step {
            instrument: id("gong"),
            what: What::Bring(place(0.0, 1)),
            carrying: Carrying::Unknown,
            minutes: 1.0,
        };
        assert!(
            nowhere.words(&library, &setup).starts_with("bring ")
                && !nowhere.words(&library, &setup).contains('1')
        );
    }

    /// The way back: the snare leaves, the xylophone goes back; a thing that is only turned moves, one that only another number
    /// differs in does not.
    #[test]
    fn what_leaves_turns_or_stays() {
        let library = library();
        let mut back = own(&library);
        back.works = vec![work("v"), work("w")];
        let changes = changeovers(&library, &back);
        let whats: Vec<&What> = changes[0].steps.iter().map(|step| &step.what).collect();
        assert!(matches!(whats[..], [What::Move(..), What::Take(_)]), "{whats:?}");
        assert_eq!((&changes[0].from, &changes[0].to), (&work("v"), &work("w")));
        let mut turned = own(&library);
        turned.setup.clear_own();
        let mut other = place(0.0, 1);
        other.turn_deg = 90.0;
        turned.setup.change_for(&work("v"), |own| {
            own.placements.insert(id("xylophone-1"), other);
        });
        let changes = changeovers(&library, &turned);
        // Half a minute to take hold, and no metre.
        assert!((changes[0].minutes() - 0.5).abs() < 1e-9);
        turned.setup.clear_own();
        turned.setup.change_for(&work("v"), |own| {
            own.placements.insert(id("xylophone-1"), Placement { number: 9, locked: true, ..place(0.0, 1) });
        });
        assert_eq!(changeovers(&library, &turned), []);
    }

    /// A tray that lies on the xylophone goes with it in one step; one that comes as the xylophone only moves is a step of its own.
    #[test]
    fn what_lies_on_it_goes_in_the_same_step() {
        let mut library = library();
        let mut tray = sample::instrument("tray", "snare_drum", &[]);
        tray.mass = Some(Mass { kg: 10.0, weighed: true });
        library = apply(&library, &Edit::PutInstrument(tray)).unwrap();
        let mut programme = own(&library);
        programme.setup.lies_on.insert(id("tray"), id("xylophone-1"));
        programme.setup.base.insert(id("tray"), place(0.2, 5));
        programme.setup.change_for(&work("v"), |own| {
            own.placements.insert(id("tray"), place(-1.8, 5));
        });
        let ids = |programme: &Programme| -> Vec<String> {
            changeovers(&library, programme)[0].steps.iter().map(|step| step.instrument.to_string()).collect()
        };
        assert_eq!(ids(&programme), ["xylophone-1", "snare"]);
        programme.setup.base.remove(&id("tray"));
        assert_eq!(ids(&programme), ["xylophone-1", "snare", "tray"]);
    }

    /// What differs stands in one place all evening only where it clashes with nothing there: not on another thing, not in the
    /// room of a player, not off the floor, not across an edge, not where nothing may stand.
    #[test]
    fn it_settles_only_where_it_stands_in_every_work() {
        use crate::collection::{Area, AreaUse, Riser};
        let library = library();
        let mut venue = (**library.venues.values().next().unwrap()).clone();
        let strip = |x: (f64, f64), y: (f64, f64)| {
            [(x.0, y.0), (x.1, y.0), (x.1, y.1), (x.0, y.1)].map(|(x, y)| Point::new(x, y)).to_vec()
        };
        venue.floor = strip((-8.0, 8.0), (0.0, 8.0));
        let at =
            |x: f64, y: f64, number| Placement { at: Point::new(x, y), turn_deg: 0.0, number, locked: false };
        let stands = |snare: Placement, venue: &Venue, played: bool| {
            let mut programme = own(&library);
            programme.setup.clear_own();
            programme.setup.base = [(id("xylophone-1"), at(0.0, 3.0, 1)), (id("snare"), snare)].into();
            if played {
                let player = crate::id::PlayerId::new("a").ok();
                let instruments = vec![id("xylophone-1")];
                let given = crate::week::Assignment { player, instruments, ..Default::default() };
                programme.assign(sample::at("w", "xyl"), given);
            }
            // What a thing stands on is looked up by the programme's venue.
            let library = apply(&library, &Edit::PutVenue(venue.clone())).unwrap();
            stands_everywhere(&library, &programme, venue, &id("snare"))
        };
        assert!(stands(at(3.0, 3.0, 2), &venue, true));
        assert!(!stands(at(0.8, 3.0, 2), &venue, true), "on the xylophone");
        assert!(stands(at(0.0, 2.3, 2), &venue, false), "nobody stands behind it");
        assert!(!stands(at(0.0, 2.3, 2), &venue, true), "its player does");
        assert!(!stands(at(7.8, 3.0, 2), &venue, true), "off the floor");
        let mut raised = venue.clone();
        raised.risers = vec![Riser {
            name: String::new(),
            outline: strip((3.0, 8.0), (0.0, 8.0)),
            height_m: 0.4,
            rated_kn_m2: None,
        }];
        assert!(!stands(at(3.0, 3.0, 2), &raised, true), "across the edge");
        assert!(stands(at(4.0, 3.0, 2), &raised, true));
        let mut shut = venue.clone();
        shut.keep_out = vec![Area {
            name: String::new(),
            kept_for: AreaUse::NotToEnter,
            outline: strip((3.0, 8.0), (0.0, 8.0)),
        }];
        assert!(!stands(at(4.0, 3.0, 2), &shut, true) && stands(at(-3.0, 3.0, 2), &shut, true));
        assert!(
            stands_everywhere(&library, &own(&library), &venue, &id("gong")),
            "what stands nowhere clashes with nothing"
        );
    }

    /// What holds for most works becomes the base; what lies or stands with what stays so.
    #[test]
    fn rebasing_keeps_stations_and_takes_what_is_usual() {
        let mut programme = sample::programme("p", &["w", "v", "u"]);
        programme.setup.base = [(id("gong"), place(1.0, 1)), (id("bell"), place(5.0, 3))].into();
        for other in ["v", "u"] {
            programme.setup.change_for(&work(other), |own| {
                own.placements.insert(id("gong"), place(2.0, 1));
                own.away.insert(id("bell"));
            });
        }
        programme.setup.lies_on = [(id("tray"), id("gong"))].into();
        programme.setup.stations = [(id("bell"), id("gong"))].into();
        let setup = rebased(&programme);
        assert_eq!((&setup.lies_on, &setup.stations), (&programme.setup.lies_on, &programme.setup.stations));
        assert_eq!(setup.base.iter().collect::<Vec<_>>(), [(&id("gong"), &place(2.0, 1))]);
        assert_eq!(setup.own.keys().collect::<Vec<_>>(), [&work("w")]);
        assert_eq!(setup.own[&work("w")].placements.len(), 2);
        // Of two works with two places one of the places is the base, rather than none.
        programme.works.truncate(2);
        assert!(rebased(&programme).base.contains_key(&id("bell")));
    }
}
