//! What is wrong, narrow or heavy on the floor.

use super::{About, Case, Degree, Finding, ShowsOn};
use crate::collection::AreaUse;
use crate::edit::Edit;
use crate::id::InstrumentId;
use crate::stage::{self, Checks, Stood};
use crate::week::Placement;
use std::collections::BTreeSet;

/// Overlaps, narrow ways, blocked rooms, things where they must not stand, loads, and things not yet placed.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let venue = case.programme.venue.as_ref().and_then(|id| case.library.venues.get(id));
    let way_m = case.library.house.habits.way_m;
    let checks = case.plan.checks(venue.map(|venue| &**venue), way_m);
    let mut found = overlaps(case, &checks);
    found.extend(places(case, &checks, venue.map(|venue| &**venue)));
    found.extend(ways(case, &checks, way_m));
    found.extend(venue.map(|venue| loads(case, venue)).unwrap_or_default());
    found.extend(sight(case, &checks));
    found.extend(unplaced(case));
    found
}

fn thing<'a>(case: &'a Case<'_>, at: usize) -> Option<(&'a Stood, String)> {
    let stood = case.plan.things.get(at)?;
    let name = case.library.instrument_name(&stood.instrument);
    Some((stood, format!("{} {name}", stood.placement.number)))
}

fn finding(code: &'static str, degree: Degree, what: String, detail: String, about: &[&Stood]) -> Finding {
    let about = about.iter().map(|stood| About::Instrument(stood.instrument.clone())).collect();
    Finding { code, degree, shows_on: ShowsOn::Floor, what, detail, about, fix: None }
}

fn overlaps(case: &Case<'_>, checks: &Checks) -> Vec<Finding> {
    let row = |over: &stage::Overlapping| {
        let ((a, a_name), (b, b_name)) = (thing(case, over.a)?, thing(case, over.b)?);
        let depth = over.overlap.depth_m;
        let what = format!("{a_name} and {b_name} overlap by {depth:.2} m");
        let mut one =
            finding("overlap", Degree::Clash, what, "Two things cannot stand there.".to_owned(), &[a, b]);
        if !a.placement.locked {
            // A centimetre more than the depth, so that they do not touch.
            let step = depth + 0.01;
            let mut placement = a.placement;
            placement.at.x += over.overlap.push.x * step;
            placement.at.y += over.overlap.push.y * step;
            let words = format!("Move {} by {step:.2} m", a.placement.number);
            let mut moved = vec![(a.instrument.clone(), placement)];
            moved.extend(stage::carried(&case.programme.setup, &moved));
            one.fix = Some((words.clone(), stand_all(case, words, moved)));
        }
        Some(one)
    };
    checks.overlaps.iter().filter_map(row).collect()
}

/// One or several places as one step.
fn stand_all(case: &Case<'_>, words: String, moved: Vec<(InstrumentId, Placement)>) -> Edit {
    let programme = || case.programme.id.clone();
    let stand = |(instrument, placement)| Edit::Stand { programme: programme(), instrument, placement };
    let mut edits: Vec<Edit> = moved.into_iter().map(stand).collect();
    match edits.pop() {
        Some(one) if edits.is_empty() => one,
        last => {
            edits.extend(last);
            Edit::Together { words, edits }
        }
    }
}

fn places(case: &Case<'_>, checks: &Checks, venue: Option<&crate::collection::Venue>) -> Vec<Finding> {
    let trouble = |trouble: &stage::Trouble| {
        let (stood, name) = thing(case, trouble.thing)?;
        let area = trouble.area.and_then(|at| venue?.keep_out.get(at));
        let by = trouble.intrusion.by_m;
        let (code, what) = match area {
            Some(area) => ("keep-out", format!("{name} stands in “{}” by {by:.2} m", area.name)),
            None => ("off-floor", format!("{name} stands off the floor by {by:.2} m")),
        };
        let detail = match area.map(|area| area.kept_for) {
            Some(AreaUse::WayIn) => "Move it: doors and ways in stay free, by the venue’s rules for escape.",
            _ => "Move it; nothing may stand there.",
        };
        Some(finding(code, Degree::Clash, what, detail.to_owned(), &[stood]))
    };
    let across = |(at, step): &(usize, f64)| {
        let (stood, name) = thing(case, *at)?;
        let what = format!("{name} stands across an edge of {step:.2} m");
        let detail =
            "Move it onto one level. Whether it may stand at an edge the venue’s technical staff say.";
        Some(finding("across-edge", Degree::Clash, what, detail.to_owned(), &[stood]))
    };
    checks.troubles.iter().filter_map(trouble).chain(checks.across.iter().filter_map(across)).collect()
}

fn ways(case: &Case<'_>, checks: &Checks, way_m: f64) -> Vec<Finding> {
    let narrow = |narrow: &stage::Narrow| {
        let ((a, _), (b, _)) = (thing(case, narrow.a)?, thing(case, narrow.b)?);
        let what = format!(
            "Way between {} and {} is {:.2} m",
            a.placement.number, b.placement.number, narrow.gap.metres
        );
        Some(finding(
            "narrow-way",
            Degree::Care,
            what,
            format!("The section asks for {way_m:.2} m."),
            &[a, b],
        ))
    };
    let blocked = |blocked: &stage::Blocked| {
        let (stood, name) = thing(case, blocked.thing)?;
        let by = match blocked.by.and_then(|at| thing(case, at)) {
            Some((_, other)) => format!("by {other}"),
            None => "by the edge of the floor".to_owned(),
        };
        let whose = match blocked.side {
            stage::Side::Playing => "Standing room",
            stage::Side::Far => "The second player’s room",
        };
        let what = format!("{whose} at {name} is taken {by}");
        let detail = format!("{:.2} m of {:.2} m is left.", blocked.left_m, stage::STANDING_DEPTH_M);
        let degree = if blocked.middle { Degree::Care } else { Degree::Note };
        Some(finding("standing-room", degree, what, detail, &[stood]))
    };
    checks.narrow.iter().filter_map(narrow).chain(checks.blocked.iter().filter_map(blocked)).collect()
}

/// Who does not see the conductor, or stands with the back to them.
fn sight(case: &Case<'_>, checks: &Checks) -> Vec<Finding> {
    let hidden = |hidden: &stage::Hidden| {
        let ((stood, name), (other, by)) = (thing(case, hidden.thing)?, thing(case, hidden.by)?);
        let what = format!("{by} hides the conductor from {name}");
        let detail = "Reckoned with eyes at 1.55 m and the conductor’s at 1.75 m above their floors. Move one, or turn it.";
        Some(finding("no-sight", Degree::Care, what, detail.to_owned(), &[stood, other]))
    };
    let away = |away: &stage::Away| {
        let (stood, name) = thing(case, away.thing)?;
        let what = format!("{name} is turned backwards");
        let detail =
            format!("Its player stands {:.0}° away from the conductor; turn it with R.", away.degrees);
        Some(finding("backwards", Degree::Care, what, detail, &[stood]))
    };
    checks.hidden.iter().filter_map(hidden).chain(checks.away.iter().filter_map(away)).collect()
}

fn loads(case: &Case<'_>, venue: &crate::collection::Venue) -> Vec<Finding> {
    let mut found = Vec::new();
    for load in case.plan.loads(venue) {
        let Some(riser) = venue.risers.get(load.riser) else { continue };
        let worst = load.worst_kn_m2();
        let heaviest = load.greatest.and_then(|(at, _)| thing(case, at));
        let about: Vec<&Stood> = heaviest.iter().map(|(stood, _)| *stood).collect();
        let what = match load.rated_kn_m2 {
            Some(rated) if worst > rated => format!("{} bears more than it is rated for", riser.name),
            Some(rated) if worst > rated * stage::NEAR_RATED => {
                format!("{} is near its rated load", riser.name)
            }
            None if load.kg > 100.0 => format!("The load that {} bears is not stated", riser.name),
            _ => continue,
        };
        let rated =
            load.rated_kn_m2.map_or_else(|| "not stated".to_owned(), |rated| format!("{rated:.1} kN/m²"));
        let detail =
            format!("Estimate {worst:.1} kN/m², rated {rated}, {:.0} kg in all. {}", load.kg, stage::CAUTION);
        let over = load.rated_kn_m2.is_some_and(|rated| worst > rated);
        let degree = if over { Degree::Clash } else { Degree::Care };
        found.push(finding("riser-load", degree, what, detail, &about));
    }
    found
}

fn unplaced(case: &Case<'_>) -> Vec<Finding> {
    let placed = &case.programme.setup.placements;
    if placed.is_empty() {
        return Vec::new();
    }
    let used: BTreeSet<&InstrumentId> = case.given().flat_map(|taken| &taken.instruments).collect();
    let missing: Vec<&&InstrumentId> = used.iter().filter(|id| !placed.contains_key(**id)).collect();
    if missing.is_empty() {
        return Vec::new();
    }
    let names: Vec<String> = missing.iter().take(4).map(|id| case.library.instrument_name(id)).collect();
    let more = if missing.len() > 4 { " and others" } else { "" };
    vec![Finding {
        code: "not-placed",
        degree: Degree::Note,
        shows_on: ShowsOn::Floor,
        what: format!("{} instruments are not on the floor yet", missing.len()),
        detail: format!("{}{more}. Drag them from Still to place.", names.join(", ")),
        about: missing.iter().map(|id| About::Instrument((**id).clone())).collect(),
        fix: None,
    }]
}
