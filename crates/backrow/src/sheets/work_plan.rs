//! The plan of one work, and the plan for the crew.

use super::{head, routes, stage_plan};
use crate::evenings::evening_apart;
use backrow_core::carrying::Carrying;
use backrow_core::evening::Evening;
use backrow_core::id::WorkId;
use backrow_core::library::Library;
use backrow_core::stage::{Changeover, Stood};
use backrow_core::week::Programme;
use backrow_print::plan::{Change, PlanSheet};
use std::collections::BTreeSet;

/// The plan as the floor is for one work, with what is carried after it.
pub fn work_plan(evening: &Evening, work: &WorkId) -> PlanSheet {
    let (library, programme) = (evening.library(), evening.programme());
    let title = |id: &WorkId| library.works.get(id).map_or_else(|| id.to_string(), |w| w.title.clone());
    let nth = programme.works.iter().position(|id| id == work).map_or(0, |at| at + 1);
    let after = evening.changes().iter().find(|change| change.from == *work);
    // Who plays what in this work alone, on the floor as it is for it.
    let own = programme.for_work(work).with_lines(|line, _| line.work == *work);
    let own = evening_apart(library, &own);
    let sheet = stage_plan(&own);
    let used: BTreeSet<String> = own
        .floor(None)
        .plan()
        .things
        .iter()
        .filter(|thing| is_used(&own, thing))
        .map(|thing| thing.placement.number.to_string())
        .collect();
    let things = sheet.things.into_iter();
    let things =
        things.map(|thing| backrow_print::plan::Thing { unused: !used.contains(&thing.number), ..thing });
    PlanSheet {
        head: head(library, programme),
        work: title(work),
        work_note: format!("work {nth} of {}", programme.works.len()),
        things: things.collect(),
        ways: routes::of_work(&own, work),
        changes: after.into_iter().map(|change| said(library, programme, change)).collect(),
        ..sheet
    }
}

/// Whether somebody plays it, or it bears what somebody plays.
fn is_used(evening: &Evening, thing: &Stood) -> bool {
    !thing.played_by.is_empty() || evening.programme().used().contains(&thing.instrument)
}

/// The works of a programme that have a plan of their own: something that they use stands on their floor.
pub(super) fn works_with_plans(programme: &Programme) -> Vec<&WorkId> {
    let works = programme.works_in_order().map(|(_, work)| work);
    let stands = |work: &&WorkId| {
        let floor = programme.setup.of_work(work);
        let mut lines = programme.lines().filter(|(at, _)| at.work == **work);
        lines.any(|(_, given)| given.uses().any(|id| floor.contains_key(id)))
    };
    let with: Vec<&WorkId> = works.filter(stands).collect();
    // One plan is enough for a programme of one work that changes nothing.
    let alone = programme.works.len() == 1 && programme.setup.of_works().next().is_none();
    if alone { Vec::new() } else { with }
}

/// Of the words beside a thing those that say what it stands with or on; what bars it has is nothing to those who carry it.
fn standing(note: &str) -> String {
    let said = note.split(", ").filter(|words| words.starts_with("on ") || words.starts_with("stands with "));
    said.collect::<Vec<_>>().join(", ")
}

/// The plan without players and beaters, for people who carry: what stands where by number, and what moves between works.
pub fn crew_plan(evening: &Evening) -> PlanSheet {
    let (library, programme) = (evening.library(), evening.programme());
    let sheet = stage_plan(evening);
    PlanSheet {
        work_note: "for the crew".to_owned(),
        large: true,
        things: sheet
            .things
            .into_iter()
            .map(|thing| backrow_print::plan::Thing { note: standing(&thing.note), ..thing })
            .collect(),
        player_spaces: Vec::new(),
        people: Vec::new(),
        ways: Vec::new(),
        players: Vec::new(),
        changes: evening.changes().iter().map(|change| said(library, programme, change)).collect(),
        ..sheet
    }
}

fn said(library: &Library, programme: &Programme, change: &Changeover) -> Change {
    let title = library.works.get(&change.to).map_or_else(|| change.to.to_string(), |w| w.title.clone());
    let words: Vec<String> = change.steps.iter().map(|step| step.words(library, &programme.setup)).collect();
    Change {
        before: title,
        note: if change.carrying() == Carrying::Gear {
            change.took()
        } else {
            format!("{}; estimates", change.took())
        },
        words: words.join("; "),
        changed: false,
    }
}
