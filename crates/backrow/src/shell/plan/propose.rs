//! Everything that is proposed for a programme, one after the other; each step is an edit that a person could have made.

use crate::evenings::evening_apart;
use crate::places::works::editor::remembered::kind_of;
use backrow_core::assign::{Asked, Terms, where_it_stands};
use backrow_core::choose::{Ask, edits as choice_edits, propose};
use backrow_core::edit::{Edit, apply};
use backrow_core::evening::places;
use backrow_core::halt::Halt;
use backrow_core::id::{InstrumentId, ProgrammeId, listed};
use backrow_core::library::Library;
use backrow_core::rota::words::{describe, players};
use backrow_core::rota::{Answer, Effort, Rota, Staffing};
use backrow_core::week::LineRef;
use backrow_files::kinds::wanted;
use std::collections::BTreeMap;

/// Some seconds at the worst.
const EFFORT: Effort = Effort::AT_HAND;

/// A library with a programme that is proposed throughout.
pub(super) struct Proposed {
    pub(super) library: Library,
    /// What was proven, a sentence each.
    pub(super) proofs: Vec<String>,
    /// What could not be proposed, a sentence each.
    pub(super) open: Vec<String>,
    /// Lines that wait for an extra player, each with which one, from 1.
    pub(super) waiting: BTreeMap<LineRef, usize>,
}

/// Proposes all that the program can.
///
/// # Errors
/// A step that the library refuses, in words.
pub(super) fn all(library: Library, programme: &ProgrammeId) -> Result<Proposed, String> {
    let mut proposed = Proposed { library, proofs: Vec::new(), open: Vec::new(), waiting: BTreeMap::new() };
    corrected_before(&mut proposed, programme);
    choose(&mut proposed, programme)?;
    let chosen = proposed.open.len();
    assign(&mut proposed, programme)?;
    stand(&mut proposed, programme)?;
    let short = too_short(&proposed.library, programme);
    if short > 0 {
        // The ways of the floor are longer than the default distance promised: who plays what, once more by what the floor says.
        let mut again = Proposed {
            library: proposed.library.clone(),
            proofs: Vec::new(),
            open: proposed.open.iter().take(chosen).cloned().collect(),
            waiting: BTreeMap::new(),
        };
        assign(&mut again, programme)?;
        if too_short(&again.library, programme) < short {
            // What was placed for other hands may stand better now, or the seconds be there where it stands.
            stand(&mut again, programme)?;
            proposed = again;
        }
    }
    Ok(proposed)
}

/// Names that somebody corrected in this library before: the window offers it, and here it is told and left open.
fn corrected_before(proposed: &mut Proposed, programme: &ProgrammeId) {
    let library = &proposed.library;
    let works = library.programme(programme).into_iter().flat_map(|programme| &programme.works);
    let mut open = Vec::new();
    for work in works.filter_map(|id| library.works.get(id)) {
        for line in &work.lines {
            let Some((kind, title)) = kind_of(library, line) else { continue };
            let at = LineRef { work: work.id.clone(), line: line.id.clone() };
            open.push(format!(
                "{}, {} {}: “{}” was corrected to {} in {title}, which was not done here.",
                where_it_stands(library, &at),
                library.line_name(line),
                line.where_played(),
                line.printed,
                library.kind_name(&kind)
            ));
        }
    }
    proposed.open.append(&mut open);
}

/// How many moves lack their seconds.
fn too_short(library: &Library, programme: &ProgrammeId) -> usize {
    let Some(programme) = library.programme(programme) else { return 0 };
    let evening = evening_apart(library, programme);
    let moves = library.players.keys().flat_map(|player| evening.timetable().moves(player));
    moves.filter(|step| !step.fits()).count()
}

impl Proposed {
    fn take(&mut self, words: &str, edits: Vec<Edit>) -> Result<(), String> {
        let edit = Edit::Together { words: words.to_owned(), edits };
        self.library = apply(&self.library, &edit).map_err(|why| why.to_string())?;
        Ok(())
    }
}

/// On what, and with what; what needs somebody's yes first is told and left open.
fn choose(proposed: &mut Proposed, id: &ProgrammeId) -> Result<(), String> {
    let library = &proposed.library;
    let Some(programme) = library.programme(id) else { return Ok(()) };
    let (mut edits, mut open) = (Vec::new(), Vec::new());
    for mut choice in propose(&Ask { library, programme, wanted: &|words: &[String]| wanted(words) }) {
        let name = library.line(&choice.line).map(|(_, line)| {
            format!(
                "{}, {} {}",
                where_it_stands(library, &choice.line),
                library.line_name(line),
                line.where_played()
            )
        });
        let name = name.unwrap_or_default();
        let asked = library.line(&choice.line).and_then(|(_, line)| line.kind.clone());
        if let Some(pick) = choice.instruments.as_ref().filter(|pick| pick.asks || pick.chosen.is_empty()) {
            let things = || pick.chosen.iter().filter_map(|id| library.instruments.get(id));
            let names = listed(&things().map(|thing| thing.name.as_str()).collect::<Vec<_>>());
            let why = format!("{names} {}", pick.reason);
            let why = why.trim().trim_end_matches('.');
            // One note that lacks takes nothing off the floor: what is of the kind goes there, to be agreed.
            if things().next().is_some() && things().all(|thing| Some(&thing.kind) == asked.as_ref()) {
                open.push(format!("{name}: to be agreed: {why}."));
            } else {
                open.push(format!("{name}: no instrument was assigned: {why}."));
                choice.instruments = None;
            }
        }
        if let Some(pick) = choice.beaters.take_if(|pick| pick.asks || pick.chosen.is_empty()) {
            open.push(format!("{name}: no beaters were assigned: {}.", pick.reason));
        }
        edits.extend(choice_edits(id, &choice));
    }
    proposed.open.append(&mut open);
    proposed.take("Propose instruments and beaters", edits)
}

/// Who plays what: the fewest players, and among so many the best that is found.
fn assign(proposed: &mut Proposed, id: &ProgrammeId) -> Result<(), String> {
    let library = &proposed.library;
    let Some(programme) = library.programme(id) else { return Ok(()) };
    let evening = evening_apart(library, programme);
    let mut asked = Asked::of(library, programme, evening.timetable(), Terms::USUAL);
    // A name alone does not say which of forty movements it stands in.
    for (line, at) in asked.problem.lines.iter_mut().zip(&asked.lines) {
        line.label = format!("{} ({})", line.label, where_it_stands(library, at));
    }
    let Ok(rota) = Rota::new(asked.problem.clone()) else { return Ok(()) };
    if asked.lines.is_empty() {
        return Ok(());
    }
    let staffed = match rota.staffed(EFFORT) {
        Staffing::Enough(staffed) => staffed,
        Staffing::NotEnough(Answer::GaveUp { .. }) => {
            proposed.open.push("No assignment was found: the search stopped early.".to_owned());
            return Ok(());
        }
        Staffing::NotEnough(_) => {
            proposed.open.push("No assignments follow all the rules.".to_owned());
            return Ok(());
        }
    };
    let found = &staffed.fewest;
    let best = staffed.rota.best(staffed.among, Some(&found.assignments), EFFORT);
    let assignments = best.as_ref().map_or(&found.assignments, |best| &best.assignments);
    let named: Vec<_> = asked.named(assignments).collect();
    proposed.waiting = asked.waiting(assignments).map(|(line, extra)| (line.clone(), extra)).collect();
    let waiting = proposed.waiting.len();
    let edits = named.into_iter().filter_map(|(line, player)| {
        let player = Some(player?.clone());
        Some(Edit::Accept { programme: id.clone(), line: line.clone(), player })
    });
    let edits: Vec<Edit> = edits.collect();
    let proof = if found.proven() {
        format!("At least {}, proven.", players(found.players))
    } else {
        format!("{} are enough; whether fewer would do is not proven.", players(found.players))
    };
    proposed.proofs.push(proof);
    let faults = found.faults.iter().chain(best.iter().flat_map(|best| &best.faults));
    let faults =
        faults.map(|fault| format!("The independent check disagrees with the assignments: {fault}."));
    proposed.open.extend(faults);
    if let Some(why) = &staffed.why_more {
        let why = describe(staffed.rota.problem(), why);
        proposed.open.push(format!("Those engaged are not enough: {why}."));
    }
    if waiting > 0 {
        let words = if waiting == 1 {
            "1 line waits for an extra player.".to_owned()
        } else {
            format!("{waiting} lines wait for an extra player.")
        };
        proposed.open.push(words);
    }
    proposed.take("Propose assignments", edits)
}

/// Where things stand.
fn stand(proposed: &mut Proposed, id: &ProgrammeId) -> Result<(), String> {
    let library = &proposed.library;
    let Some(programme) = library.programme(id) else { return Ok(()) };
    let Some(venue) = programme.venue.as_ref().and_then(|venue| library.venues.get(venue)) else {
        return Ok(());
    };
    // As in the window: of a few setups the one that makes the fewest moves impossible.
    let found = places::propose(&evening_apart(library, programme), venue, None, &Halt::default());
    let found = found.unwrap_or_default();
    let lacking: Vec<String> = found.lacking.iter().map(|one| one.words(library)).collect();
    let edits = places::edits(programme, &found);
    let own = found.for_works.as_ref().map(places::ForWorks::words);
    let name = |id: &InstrumentId| library.instrument_name(id);
    let left = found.left(programme);
    let left: Vec<String> =
        left.iter().map(|id| format!("{} finds no place on the floor.", name(id))).collect();
    proposed.proofs.extend(own);
    proposed.open.extend(left.into_iter().chain(lacking));
    proposed.take("Propose a setup", edits)
}
