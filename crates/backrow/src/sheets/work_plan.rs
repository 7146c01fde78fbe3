//! The plan of one work, and the plan for the crew.

use super::{head, stage_plan};
use backrow_core::carrying;
use backrow_core::evening::Evening;
use backrow_core::id::WorkId;
use backrow_core::library::Library;
use backrow_core::stage::{Changeover, changeovers};
use backrow_core::week::Programme;
use backrow_print::plan::{Change, PlanSheet};

/// The plan as the floor is for one work, with what is carried after it.
pub fn work_plan(evening: &Evening, work: &WorkId) -> PlanSheet {
    let (library, programme) = (evening.library(), evening.programme());
    let title = |id: &WorkId| library.works.get(id).map_or_else(|| id.to_string(), |w| w.title.clone());
    let nth = programme.works.iter().position(|id| id == work).map_or(0, |at| at + 1);
    let after = changeovers(library, programme).into_iter().find(|change| change.from == *work);
    // Who plays what in this work alone.
    let own = programme.for_work(work).with_lines(|line, _| line.work == *work);
    PlanSheet {
        head: head(library, programme),
        work: title(work),
        work_note: format!("work {nth} of {}", programme.works.len()),
        changes: after.iter().map(|change| said(library, programme, change)).collect(),
        ..stage_plan(&Evening::of(library, &own))
    }
}

/// The plan without players and beaters, for people who carry: what stands where by number, and what moves between works.
pub fn crew_plan(evening: &Evening) -> PlanSheet {
    let (library, programme) = (evening.library(), evening.programme());
    let sheet = stage_plan(evening);
    PlanSheet {
        work_note: "for the crew".to_owned(),
        things: sheet
            .things
            .into_iter()
            .map(|thing| backrow_print::plan::Thing { note: String::new(), low_end: None, ..thing })
            .collect(),
        standing_rooms: Vec::new(),
        people: Vec::new(),
        players: Vec::new(),
        changes: changeovers(library, programme)
            .iter()
            .map(|change| said(library, programme, change))
            .collect(),
        ..sheet
    }
}

fn said(library: &Library, programme: &Programme, change: &Changeover) -> Change {
    let title = library.works.get(&change.to).map_or_else(|| change.to.to_string(), |w| w.title.clone());
    let words: Vec<String> = change.steps.iter().map(|step| step.words(library, &programme.setup)).collect();
    Change {
        before: title,
        note: format!(
            "about {:.0} min, {}; estimates",
            change.minutes().ceil(),
            carrying::at_most(change.carrying())
        ),
        words: words.join("; "),
    }
}
