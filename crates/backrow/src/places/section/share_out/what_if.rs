//! What if: one player fewer, a player missing, calls split by passages. What breaks, and the repair that changes least.

use super::proposal::Proposal;
use super::{EFFORT, Question};
use crate::places::section::Here;
use backrow_core::edit::Edit;
use backrow_core::evening::Evening;
use backrow_core::id::{CallId, PlayerId};
use backrow_core::library::Library;
use backrow_core::music::Call;
use backrow_core::rota::words::players;
use backrow_core::rota::{Answer, Repair, Repaired, ShareOut, Split};
use backrow_core::week::CallRef;

/// A question of "what if".
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::places::section) enum WhatIf {
    /// One player fewer, whoever it is.
    OneFewer,
    /// This player is not there.
    Without(PlayerId),
    /// Calls may be split by passages between players.
    Split,
}

/// What would become of the share-out.
///
/// # Errors
/// Why it cannot be said, or why nothing helps, in words.
pub(in crate::places::section) fn what_if(
    evening: Option<&Evening>,
    view: &Here<'_>,
    what: &WhatIf,
) -> Result<Proposal, String> {
    let evening = evening.ok_or("Choose a programme first.")?;
    let library = evening.library();
    let question =
        Question::of(Some(evening), view, view.own.scope).ok_or("No programme plays this work.")?;
    match what {
        WhatIf::OneFewer => one_fewer(library, &question),
        WhatIf::Without(player) => without(library, &question, player),
        WhatIf::Split => split(library, view, &question),
    }
}

fn one_fewer(library: &Library, question: &Question) -> Result<Proposal, String> {
    let used = question.asked.now.used();
    let Some(size) = used.len().checked_sub(1).filter(|size| *size > 0) else {
        return Err("Fewer than two players have anything to play.".to_owned());
    };
    let all: Vec<usize> = (0..question.asked.calls.len()).collect();
    let repairs = used.iter().filter_map(|&player| {
        let repair = question.rota.without(&question.asked.now, (player, &all), size, EFFORT).ok()?;
        let Repair { broken, repaired, .. } = repair;
        repaired.map(|repaired| (player, broken, repaired))
    });
    let least = repairs.min_by_key(|(_, _, r)| (r.changed.len(), r.best.cost.milli_points));
    let Some((player, broken, repaired)) = least else {
        let why = question.why_not(library, &question.rota.fewest(EFFORT));
        return Err(format!("{} are not enough: {why}.", players(size)));
    };
    let title = format!("With {}, without {}", players(size), question.rota.problem().player_label(player));
    Ok(told(library, question, title, &broken, &repaired))
}

fn without(library: &Library, question: &Question, player: &PlayerId) -> Result<Proposal, String> {
    let name = library.player_name(player);
    let number = question.asked.players.iter().position(|id| id == player);
    let Some(number) = number else { return Err(format!("{name} is not in the roster.")) };
    let all: Vec<usize> = (0..question.asked.calls.len()).collect();
    let size = question.asked.now.used().len().max(1);
    let repair = question
        .rota
        .without(&question.asked.now, (number, &all), size, EFFORT)
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))?;
    match repair {
        Repair { broken, .. } if broken.is_empty() => Err(format!("{name} has nothing to play here.")),
        Repair { broken, repaired: Some(repaired), .. } => {
            Ok(told(library, question, format!("Without {name}"), &broken, &repaired))
        }
        Repair { why_not, .. } => {
            let why = why_not.map(|answer| question.why_not(library, &answer)).unwrap_or_default();
            Err(format!("Without {name} nothing among {} helps: {why}.", players(size)))
        }
    }
}

fn told(
    library: &Library,
    question: &Question,
    title: String,
    broken: &[usize],
    repaired: &Repaired,
) -> Proposal {
    let mut proposal = question.proposal(library, title, &repaired.best.share_out);
    let names = question.names(library, broken);
    let lost = match broken.len() {
        0 => "Nothing is left without a player.".to_owned(),
        1 => format!("{names} is left without a player."),
        _ => format!("{names} are left without a player."),
    };
    let changed = repaired.changed.len();
    let least = if repaired.fewest_changes {
        "proved: no repair changes fewer"
    } else {
        "one that changes fewer may exist"
    };
    let calls = if changed == 1 { "1 call goes".to_owned() } else { format!("{changed} calls go") };
    proposal.words.insert(0, lost);
    proposal.words.insert(1, format!("Repaired when {calls} to somebody else; {least}."));
    proposal
}

/// What the calls would be after they are split.
fn split(library: &Library, view: &Here<'_>, question: &Question) -> Result<Proposal, String> {
    let said = |faults: Vec<backrow_core::rota::BadInput>| {
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
    };
    let (Answer::Found(whole), all) =
        (question.rota.fewest(EFFORT), (0..question.asked.calls.len()).collect::<Vec<_>>())
    else {
        return Err("How many players are needed with whole calls is not known.".to_owned());
    };
    let split = question.rota.split(&all).map_err(said)?;
    let Answer::Found(fewer) = split.rota.fewest(EFFORT) else {
        return Err("How many players are needed with split calls was not found.".to_owned());
    };
    if fewer.players >= whole.players {
        return Err(format!(
            "Splitting calls helps nothing: {} are needed all the same.",
            players(fewer.players)
        ));
    }
    let best = split.rota.best(fewer.players, Some(&fewer.share_out), EFFORT);
    let share_out = best.as_ref().map_or(&fewer.share_out, |best| &best.share_out);
    let title = format!("{} with calls split", players(fewer.players));
    let mut proposal =
        question.proposal(library, title.clone(), &ShareOut::empty(question.asked.calls.len()));
    proposal.changes.clear();
    proposal.ledger.clear();
    proposal.words = vec![format!(
        "{} are enough instead of {} when calls are handed over.",
        players(fewer.players),
        whole.players
    )];
    let label = |player: usize| question.rota.problem().player_label(player);
    for handover in split.handovers(share_out) {
        let next = backrow_core::rota::PassageRef { call: handover.call, passage: handover.after + 1 };
        proposal.words.push(format!(
            "{}: {} takes over from {} at {}, after a rest of {:.1} s.",
            question.rota.problem().call_label(handover.call),
            label(handover.to),
            label(handover.from),
            question.measures(library, next),
            handover.gap_s
        ));
    }
    proposal.whole =
        Some(Edit::Together { words: title, edits: split_edits(library, view, question, &split, share_out) });
    Ok(proposal)
}

/// Each call cut where it is handed over, with what it was given, and every piece with its player.
fn split_edits(
    library: &Library,
    view: &Here<'_>,
    question: &Question,
    split: &Split,
    share_out: &ShareOut,
) -> Vec<Edit> {
    let Some(programme) = view.programme_in(library) else { return Vec::new() };
    let mut edits = Vec::new();
    for (index, at) in question.asked.calls.iter().enumerate() {
        let Some((work, call)) = library.call(at) else { continue };
        let who = split.players_of(share_out, index);
        let runs = runs(&who);
        let given = programme.assignment(at);
        for (turn, (player, passages)) in runs.iter().enumerate() {
            let piece = if turn == 0 {
                at.clone()
            } else {
                let taken = |id: &CallId| {
                    work.call(id).is_some()
                        || edits.iter().any(|e| matches!(e, Edit::PutCall { call, .. } if call.id == *id))
                };
                CallRef { work: at.work.clone(), call: CallId::fresh(at.call.as_str(), taken) }
            };
            if runs.len() > 1 {
                let passages = call.passages.get(passages.clone()).unwrap_or_default().to_vec();
                let call = Call { id: piece.call.clone(), passages, ..call.clone() };
                edits.push(Edit::PutCall { work: at.work.clone(), call });
                if turn > 0 {
                    let (programme, call) = (programme.id.clone(), piece.clone());
                    let (instruments, beaters) = (given.instruments.clone(), given.beaters.clone());
                    edits.push(Edit::UseInstruments {
                        programme: programme.clone(),
                        call: call.clone(),
                        instruments,
                    });
                    edits.push(Edit::UseBeaters { programme, call, beaters });
                }
            }
            let player = player.and_then(|player| question.player(player)).cloned();
            edits.push(Edit::Give { programme: programme.id.clone(), call: piece, player });
        }
    }
    edits
}

/// Stretches of passages with one player.
fn runs(who: &[Option<usize>]) -> Vec<(Option<usize>, std::ops::Range<usize>)> {
    let mut out: Vec<(Option<usize>, std::ops::Range<usize>)> = Vec::new();
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
    use super::runs;

    #[test]
    fn passages_run_as_long_as_the_player_stays() {
        let who = [Some(1), Some(1), Some(2), Some(1)];
        assert_eq!(runs(&who), vec![(Some(1), 0..2), (Some(2), 2..3), (Some(1), 3..4)]);
        assert_eq!(runs(&[]), vec![]);
    }
}
