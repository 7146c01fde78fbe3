//! What if: one player fewer, a player away, lines split by passages. What breaks, and the repair that changes least.

use super::proposal::Proposal;
use super::{EFFORT, Question, Subject};
use crate::background::Stop;
use backrow_core::assign::Terms;
use backrow_core::edit::Edit;
use backrow_core::evening::Evening;
use backrow_core::id::{LineId, PlayerId};
use backrow_core::library::Library;
use backrow_core::music::Line;
use backrow_core::rota::words::players;
use backrow_core::rota::{
    Answer, Assignments, LineNo, Missing, PassageNo, PassageRef, PlayerNo, Repair, Repaired, Split, Staffed,
    Staffing,
};
use backrow_core::week::LineRef;

/// A question of "what if".
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::places::section) enum WhatIf {
    /// One player fewer, whoever it is.
    OneFewer,
    /// This player is not there.
    Without(PlayerId),
    /// Lines may be split by passages between players.
    Split,
}

/// What would become of the assignments.
///
/// # Errors
/// Why it cannot be said, or why nothing helps, in words.
pub(in crate::places::section) fn what_if(
    evening: Option<&Evening>,
    subject: &Subject,
    what: &WhatIf,
    stop: &Stop,
) -> Result<Proposal, String> {
    let evening = evening.ok_or("Choose a programme first.")?;
    let library = evening.library();
    let terms = match what {
        WhatIf::Without(player) => Terms { without: Some(player), ..Terms::USUAL },
        WhatIf::OneFewer | WhatIf::Split => Terms::USUAL,
    };
    let question = Question::on((Some(evening), subject), terms, stop);
    let question = question.ok_or("No programme plays this work.")?;
    let staffed = match question.rota.staffed(EFFORT) {
        Staffing::Enough(staffed) => staffed,
        Staffing::NotEnough(no) => {
            let why = question.why_not(library, &no);
            return Err(match what {
                WhatIf::Without(player) => {
                    format!("Without {} the others cannot manage: {why}.", library.player_name(player))
                }
                _ => format!("There is nothing to start from: {why}."),
            });
        }
    };
    match what {
        WhatIf::OneFewer => one_fewer(library, &question, &staffed, stop),
        WhatIf::Without(player) => without(library, &question, &staffed, player),
        WhatIf::Split => split(library, &question, &staffed),
    }
}

fn one_fewer(
    library: &Library,
    question: &Question,
    staffed: &Staffed,
    stop: &Stop,
) -> Result<Proposal, String> {
    let used = question.asked.now.used();
    let Some(size) = used.len().checked_sub(1).filter(|size| *size > 0) else {
        return Err("Fewer than two players have anything to play.".to_owned());
    };
    let lines: Vec<LineNo> = question.asked.lines.numbers().collect();
    // Each player's leaving is a search of its own.
    let wanted = used.iter().take_while(|_| !stop.is_asked());
    let repairs = wanted.filter_map(|&player| {
        let missing = Missing { player, lines: &lines };
        let repair = staffed.rota.without(&question.asked.now, missing, size, EFFORT).ok()?;
        let Repair { broken, repaired, .. } = repair;
        repaired.map(|repaired| (player, broken, repaired))
    });
    let least = repairs.min_by_key(|(_, _, r)| (r.changed.len(), r.best.cost.milli_points));
    let Some((player, broken, repaired)) = least else {
        let why = question.why_not(library, &Answer::Found(Box::new(staffed.fewest.clone())));
        return Err(format!("{} are not enough: {why}.", players(size)));
    };
    let title = format!("With {}, without {}", players(size), question.rota.problem().player_label(player));
    Ok(told(library, question, staffed, title, Mended { broken: &broken, repaired: &repaired }))
}

fn without(
    library: &Library,
    question: &Question,
    staffed: &Staffed,
    player: &PlayerId,
) -> Result<Proposal, String> {
    let name = library.player_name(player);
    let number = question.asked.players.entries().find(|(_, id)| *id == player).map(|(number, _)| number);
    let Some(number) = number else { return Err(format!("{name} is not engaged here.")) };
    let lines: Vec<LineNo> = question.asked.lines.numbers().collect();
    // Everybody who is called on may take a line over: they are engaged whether they have one or not.
    let size = staffed.rota.problem().player_count();
    let missing = Missing { player: number, lines: &lines };
    let repair = staffed
        .rota
        .without(&question.asked.now, missing, size, EFFORT)
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))?;
    match repair {
        Repair { broken, .. } if broken.is_empty() => Err(format!("{name} has nothing to play here.")),
        Repair { broken, repaired: Some(repaired), .. } => {
            let mended = Mended { broken: &broken, repaired: &repaired };
            let mut proposal = told(library, question, staffed, format!("Without {name}"), mended);
            proposal.words.extend(question.why_more(library, staffed));
            Ok(proposal)
        }
        Repair { .. } => Err(format!("Without {name} the search stopped early and found no repair.")),
    }
}

/// What broke and how it was mended.
#[derive(Clone, Copy)]
struct Mended<'a> {
    broken: &'a [LineNo],
    repaired: &'a Repaired,
}

fn told(
    library: &Library,
    question: &Question,
    staffed: &Staffed,
    title: String,
    Mended { broken, repaired }: Mended<'_>,
) -> Proposal {
    let mut proposal = question.proposal(library, title, &staffed.rota, &repaired.best.assignments);
    let names = question.names(library, broken);
    let lost = match broken.len() {
        0 => "Nothing is left without a player.".to_owned(),
        1 => format!("{names} is left without a player."),
        _ => format!("{names} are left without a player."),
    };
    let changed = repaired.changed.len();
    let least = if repaired.fewest_changes {
        "proven: no repair changes fewer"
    } else {
        "a repair with fewer changes may exist"
    };
    let lines = if changed == 1 { "1 line".to_owned() } else { format!("{changed} lines") };
    proposal.words.insert(0, lost);
    proposal.words.insert(1, format!("Fixed by moving {lines}; {least}."));
    if let Some(fault) = repaired.best.faults.first() {
        proposal.words.insert(0, format!("Do not rely on this: the independent check disagrees, {fault}."));
    }
    proposal
}

/// What the lines would be after they are split.
fn split(library: &Library, question: &Question, staffed: &Staffed) -> Result<Proposal, String> {
    let said = |faults: Vec<backrow_core::rota::BadInput>| {
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
    };
    let whole = &staffed.fewest;
    let all: Vec<LineNo> = question.asked.lines.numbers().collect();
    let split = staffed.rota.split(&all).map_err(said)?;
    let Answer::Found(fewer) = split.rota.fewest(EFFORT) else {
        return Err("How many players are needed when lines are split was not found.".to_owned());
    };
    if fewer.players >= whole.players {
        return Err(format!("Splitting lines does not help: {} are still needed.", players(fewer.players)));
    }
    let best = split.rota.best(fewer.players, Some(&fewer.assignments), EFFORT);
    let assignments = best.as_ref().map_or(&fewer.assignments, |best| &best.assignments);
    let title = format!("{} with lines split", players(fewer.players));
    let mut proposal = question.proposal(
        library,
        title.clone(),
        &staffed.rota,
        &Assignments::empty(question.asked.lines.len()),
    );
    proposal.changes.clear();
    proposal.ledger.clear();
    proposal.words = vec![format!(
        "{} are enough instead of {} when lines are handed over.",
        players(fewer.players),
        whole.players
    )];
    let label = |player: PlayerNo| question.rota.problem().player_label(player);
    for handover in split.handovers(assignments) {
        let next = PassageRef { line: handover.line, passage: PassageNo(handover.after.0 + 1) };
        proposal.words.push(format!(
            "{}: {} takes over from {} at {}, after a rest of {:.1}\u{202F}s.",
            question.rota.problem().line_label(handover.line),
            label(handover.to),
            label(handover.from),
            question.measures(library, next),
            handover.gap_s
        ));
    }
    proposal.whole =
        Some(Edit::Together { words: title, edits: split_edits(library, question, &split, assignments) });
    Ok(proposal)
}

/// Each line cut where it is handed over, with what it was given, and every piece with its player.
fn split_edits(
    library: &Library,
    question: &Question,
    split: &Split,
    assignments: &Assignments,
) -> Vec<Edit> {
    let Some(programme) = library.programme(&question.programme) else { return Vec::new() };
    let mut edits = Vec::new();
    for (index, at) in question.asked.lines.entries() {
        let Some((work, line)) = library.line(at) else { continue };
        let who = split.players_of(assignments, index);
        let runs = runs(&who);
        let given = programme.assignment(at);
        for (turn, (player, passages)) in runs.iter().enumerate() {
            let piece = if turn == 0 {
                at.clone()
            } else {
                let taken = |id: &LineId| {
                    work.line(id).is_some()
                        || edits.iter().any(|e| matches!(e, Edit::PutLine { line, .. } if line.id == *id))
                };
                LineRef { work: at.work.clone(), line: LineId::fresh(at.line.as_str(), taken) }
            };
            if runs.len() > 1 {
                let passages = line.passages.get(passages.clone()).unwrap_or_default().to_vec();
                let line = Line { id: piece.line.clone(), passages, ..line.clone() };
                edits.push(Edit::PutLine { work: at.work.clone(), line });
                if turn > 0 {
                    let (programme, line) = (programme.id.clone(), piece.clone());
                    let (instruments, beaters) = (given.instruments.clone(), given.beaters.clone());
                    edits.push(Edit::UseInstruments {
                        programme: programme.clone(),
                        line: line.clone(),
                        instruments,
                    });
                    edits.push(Edit::UseBeaters { programme, line, beaters });
                }
            }
            let player = player.and_then(|player| question.player(player)).cloned();
            edits.push(Edit::Accept { programme: programme.id.clone(), line: piece, player });
        }
    }
    edits
}

/// Stretches of passages with one player.
fn runs(who: &[Option<PlayerNo>]) -> Vec<(Option<PlayerNo>, std::ops::Range<usize>)> {
    let mut out: Vec<(Option<PlayerNo>, std::ops::Range<usize>)> = Vec::new();
    for (at, player) in who.iter().enumerate() {
        match out.last_mut() {
            Some((last, range)) if last == player => range.end = at + 1,
            _ => out.push((*player, at..at + 1)),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{PlayerNo, runs};

    #[test]
    fn passages_run_as_long_as_the_player_stays() {
        let [one, two] = [1, 2].map(|n| Some(PlayerNo(n)));
        assert_eq!(runs(&[one, one, two, one]), vec![(one, 0..2), (two, 2..3), (one, 3..4)]);
        assert_eq!(runs(&[]), vec![]);
    }
}
