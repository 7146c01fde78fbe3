//! What is wrong, narrow or heavy on the floor.

use super::{About, Case, Degree, Finding, Rule, sentence};
use crate::collection::AreaUse;
use crate::edit::Edit;
use crate::evening::Floor;
use crate::id::{InstrumentId, WorkId};
use crate::stage::{self, Stood};
use crate::week::{Assignment, Placement};
use std::collections::BTreeSet;

/// Overlaps, narrow ways, blocked rooms, things where they must not stand and loads, on every floor of the evening; and
/// things not yet placed. What several floors have in common is told once.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found: Vec<Finding> = Vec::new();
    for (work, floor) in case.evening.floors() {
        let on = On { case, work, floor };
        for mut one in on.check() {
            let known =
                |old: &Finding| old.rule == one.rule && old.what == one.what && old.about == one.about;
            if found.iter().any(known) {
                continue;
            }
            if let Some(work) = work.and_then(|id| case.library.works.get(id)) {
                let place = format!("In {}’s own setup.", work.title);
                one.why = if one.why.is_empty() { place } else { format!("{place} {}", one.why) };
            }
            found.push(one);
        }
    }
    found.extend(unplaced(case));
    found
}

/// One floor of the evening.
struct On<'a> {
    case: &'a Case<'a>,
    work: Option<&'a WorkId>,
    floor: &'a Floor,
}

impl On<'_> {
    fn check(&self) -> Vec<Finding> {
        let mut found = overlaps(self);
        found.extend(places(self));
        found.extend(ways(self));
        found.extend(loads(self));
        found.extend(sight(self));
        found
    }

    fn thing(&self, at: usize) -> Option<(&Stood, String)> {
        let stood = self.floor.plan().things.get(at)?;
        let name = self.case.library.instrument_name(&stood.instrument);
        Some((stood, format!("{} {name}", stood.placement.number)))
    }

    /// One or several places as one step, on this floor alone where it is a work's own.
    fn stand_all(&self, words: String, moved: Vec<(InstrumentId, Placement)>) -> Edit {
        let programme = || self.case.programme.id.clone();
        let stand = |(instrument, placement)| match self.work {
            Some(work) => {
                Edit::StandFor { programme: programme(), work: work.clone(), instrument, placement }
            }
            None => Edit::Stand { programme: programme(), instrument, placement },
        };
        let mut edits: Vec<Edit> = moved.into_iter().map(stand).collect();
        match edits.pop() {
            Some(one) if edits.is_empty() => one,
            last => {
                edits.extend(last);
                Edit::Together { words, edits }
            }
        }
    }
}

fn things(stood: &[&Stood]) -> Vec<About> {
    stood.iter().map(|stood| About::Instrument(stood.instrument.clone())).collect()
}

fn overlaps(on: &On<'_>) -> Vec<Finding> {
    let row = |over: &stage::Overlapping| {
        let ((a, a_name), (b, b_name)) = (on.thing(over.a)?, on.thing(over.b)?);
        let depth = over.overlap.depth_m;
        let what = format!("{a_name} and {b_name} overlap by {depth:.2}\u{202F}m");
        let mut one = Finding::new(Rule::Overlap, Degree::Clash, what)
            .why("Move one of them: two instruments cannot share the space.")
            .about(things(&[a, b]));
        if !a.placement.locked {
            // A centimetre more than the depth, so that they do not touch.
            let step = depth + 0.01;
            let mut placement = a.placement;
            placement.at.x += over.overlap.push.x * step;
            placement.at.y += over.overlap.push.y * step;
            let words = format!("Move {} by {step:.2}\u{202F}m", a.placement.number);
            let mut moved = vec![(a.instrument.clone(), placement)];
            moved.extend(stage::carried(&on.floor.programme().setup, &moved));
            one.fix = Some((words.clone(), on.stand_all(words, moved)));
        }
        Some(one)
    };
    on.floor.checks().overlaps.iter().filter_map(row).collect()
}

fn places(on: &On<'_>) -> Vec<Finding> {
    let checks = on.floor.checks();
    let trouble = |trouble: &stage::Trouble| {
        let (stood, name) = on.thing(trouble.thing)?;
        let area = trouble.area.and_then(|at| on.floor.venue()?.keep_out.get(at));
        let by = trouble.intrusion.by_m;
        let (rule, what) = match area {
            Some(area) => (Rule::KeepOut, format!("{name} stands in “{}” by {by:.2}\u{202F}m", area.name)),
            None => (Rule::OffFloor, format!("{name} stands off the floor by {by:.2}\u{202F}m")),
        };
        let remedy = match area.map(|area| area.kept_for) {
            Some(AreaUse::WayIn) => "Move it: doors and ways in stay clear. Follow the venue’s fire rules.",
            _ => "Move it; nothing may stand there.",
        };
        Some(Finding::new(rule, Degree::Clash, what).remedy(remedy).about(things(&[stood])))
    };
    let across = |(at, step): &(usize, f64)| {
        let (stood, name) = on.thing(*at)?;
        let what = format!("{name} stands across an edge of {step:.2}\u{202F}m");
        let remedy = "Move it onto one level. Only the venue’s technical staff can say whether it may stand across an edge.";
        Some(Finding::new(Rule::AcrossEdge, Degree::Clash, what).remedy(remedy).about(things(&[stood])))
    };
    checks.troubles.iter().filter_map(trouble).chain(checks.across.iter().filter_map(across)).collect()
}

fn ways(on: &On<'_>) -> Vec<Finding> {
    let (checks, gangway_m) = (on.floor.checks(), on.case.library.orchestra.habits.gangway_m);
    let narrow = |narrow: &stage::Narrow| {
        let ((a, _), (b, _)) = (on.thing(narrow.a)?, on.thing(narrow.b)?);
        let what = format!(
            "Gap between {} and {} is only {:.2}\u{202F}m",
            a.placement.number, b.placement.number, narrow.gap.metres
        );
        let why = format!("The minimum gangway is {gangway_m:.2}\u{202F}m.");
        Some(Finding::new(Rule::NarrowGangway, Degree::Care, what).why(why).about(things(&[a, b])))
    };
    let blocked = |blocked: &stage::Blocked| {
        let (stood, name) = on.thing(blocked.thing)?;
        let by = match blocked.by.and_then(|at| on.thing(at)) {
            Some((_, other)) => format!("{other} is in the way"),
            None => "the floor ends there".to_owned(),
        };
        let whose = match blocked.side {
            stage::Side::Playing => "the player",
            stage::Side::Far => "a second player",
        };
        let what = format!("Too little room for {whose} at {name}: {by}");
        let why =
            format!("{:.2}\u{202F}m of {:.2}\u{202F}m is left.", blocked.left_m, stage::STANDING_DEPTH_M);
        let degree = if blocked.middle { Degree::Care } else { Degree::Note };
        Some(Finding::new(Rule::PlayersSpace, degree, what).why(why).about(things(&[stood])))
    };
    checks.narrow.iter().filter_map(narrow).chain(checks.blocked.iter().filter_map(blocked)).collect()
}

/// Who does not see the conductor, or stands with the back to them.
fn sight(on: &On<'_>) -> Vec<Finding> {
    let checks = on.floor.checks();
    let hidden = |hidden: &stage::Hidden| {
        let ((stood, name), (other, by)) = (on.thing(hidden.thing)?, on.thing(hidden.by)?);
        let what = if hidden.by == hidden.thing {
            format!("{name} hides the conductor from its own player")
        } else {
            format!("{by} hides the conductor from {name}")
        };
        let (eyes, conductor) = (stage::EYES_M, stage::CONDUCTOR_EYES_M);
        let why = format!(
            "Assumes the player’s eyes at {eyes:.2}\u{202F}m and the conductor’s at {conductor:.2}\u{202F}m above the floor each stands on."
        );
        Some(
            Finding::new(Rule::NoSight, Degree::Care, what)
                .why(why)
                .remedy("Move one, or turn it.")
                .about(things(&[stood, other])),
        )
    };
    let away = |away: &stage::Away| {
        let (stood, name) = on.thing(away.thing)?;
        let what = format!("{name} is turned backwards");
        let why = format!("Its player has to turn {:.0}° to see the conductor.", away.degrees);
        Some(
            Finding::new(Rule::Backwards, Degree::Care, what)
                .why(why)
                .remedy("Turn the instrument round.")
                .about(things(&[stood]))
                .fix(turned_round(on, away)),
        )
    };
    checks.hidden.iter().filter_map(hidden).chain(checks.away.iter().filter_map(away)).collect()
}

/// Turns a thing by half a turn where it stands, with what lies or hangs on it; not where it is locked or one of a station, where
/// its player would not face the conductor then either, or where it would come to overlap something.
fn turned_round(on: &On<'_>, away: &stage::Away) -> Option<(String, Edit)> {
    let (stood, _) = on.thing(away.thing)?;
    let setup = &on.floor.programme().setup;
    let of_station = setup.peers(&stood.instrument).next().is_some();
    if stood.placement.locked || of_station || away.turned_deg > stage::FACING_DEG {
        return None;
    }
    let mut placement = stood.placement;
    placement.turn_deg = (placement.turn_deg + 180.0).rem_euclid(360.0);
    let shape = on.case.library.instruments.get(&stood.instrument)?.footprint.shape;
    let figure = stage::figure(shape, &placement);
    let moved = vec![(stood.instrument.clone(), placement)];
    let goes_along = stage::carried_alone(setup, &moved);
    let stays = |other: &&Stood| {
        other.instrument != stood.instrument && goes_along.iter().all(|(id, _)| *id != other.instrument)
    };
    let mut others = on.floor.plan().things.iter().filter(stays);
    if others.any(|other| stage::overlap(&figure, &other.figure).is_some()) {
        return None;
    }
    let words = format!("Turn {} round", stood.placement.number);
    let edit = on.stand_all(words.clone(), moved.into_iter().chain(goes_along).collect());
    Some((words, edit))
}

fn loads(on: &On<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let Some(venue) = on.floor.venue() else { return found };
    for load in on.floor.riser_loads() {
        let Some(riser) = venue.risers.get(load.riser) else { continue };
        let worst = load.worst_kn_m2();
        let heaviest = load.greatest.and_then(|(at, _)| on.thing(at));
        let about: Vec<&Stood> = heaviest.iter().map(|(stood, _)| *stood).collect();
        let what = match load.rated_kn_m2 {
            Some(rated) if worst > rated => format!("{} is over its rated load", sentence(&riser.name)),
            Some(rated) if worst > rated * stage::NEAR_RATED => {
                format!("{} is near its rated load", sentence(&riser.name))
            }
            None if load.kg > 100.0 => format!("No load rating is stated for {}", riser.name),
            _ => continue,
        };
        let rated = load
            .rated_kn_m2
            .map_or_else(|| "not stated".to_owned(), |rated| format!("{rated:.1}\u{202F}kN/m²"));
        let why =
            format!("Estimate {worst:.1}\u{202F}kN/m², rated {rated}, {:.0}\u{202F}kg in all.", load.kg);
        let over = load.rated_kn_m2.is_some_and(|rated| worst > rated);
        let degree = if over { Degree::Clash } else { Degree::Care };
        found.push(
            Finding::new(Rule::RiserLoad, degree, what).why(why).remedy(stage::CAUTION).about(things(&about)),
        );
    }
    found
}

fn unplaced(case: &Case<'_>) -> Vec<Finding> {
    // Without a hall there is nothing to stand on: nobody has begun with the floor.
    if case.evening.floors().all(|(_, floor)| floor.venue().is_none()) {
        return Vec::new();
    }
    let empty = case.evening.floors().all(|(_, floor)| floor.plan().things.is_empty());
    // Each line asks the floor that its work is played on.
    let missing: BTreeSet<&InstrumentId> = case
        .given()
        .flat_map(|taken| {
            let plan = case.evening.floor(Some(&taken.line.work)).plan();
            let given = case.programme.given(&taken.line);
            given.into_iter().flat_map(Assignment::uses).filter(move |id| plan.thing(id).is_none())
        })
        .collect();
    if missing.is_empty() {
        return Vec::new();
    }
    let names: Vec<String> = missing.iter().take(4).map(|id| case.library.instrument_name(id)).collect();
    let more = if missing.len() > 4 { " and others" } else { "" };
    let what = match missing.len() {
        _ if empty => "Nothing stands on the floor yet".to_owned(),
        1 => "An instrument is not on the floor yet".to_owned(),
        n => format!("{n} instruments are not on the floor yet"),
    };
    vec![
        Finding::new(Rule::NotPlaced, Degree::Note, what)
            .why(format!("{}{more}.", names.join("; ")))
            .remedy("Have places proposed, or drag them in from “Still to place” on Floor.")
            .about(missing.iter().map(|id| About::Instrument((*id).clone()))),
    ]
}
