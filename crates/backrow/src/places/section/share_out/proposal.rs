//! A share-out beside the present one: what changes, what it costs, and how sure it is.

use super::{EFFORT, Question, Scope, call_name, where_it_stands};
use crate::places::section::Here;
use backrow_core::edit::Edit;
use backrow_core::evening::Evening;
use backrow_core::id::{PlayerId, ProgrammeId};
use backrow_core::library::Library;
use backrow_core::rota::words::players;
use backrow_core::rota::{Answer, Best, Cost, ShareOut};
use backrow_core::week::CallRef;

/// A proposal; nothing is given before it is taken, whole or strip by strip.
#[derive(Clone, Debug)]
pub(in crate::places::section) struct Proposal {
    pub(in crate::places::section) programme: ProgrammeId,
    pub(in crate::places::section) title: String,
    /// What there is to know, a sentence each.
    pub(in crate::places::section) words: Vec<String>,
    pub(in crate::places::section) ledger: Vec<Row>,
    /// Every call that would have another player.
    pub(in crate::places::section) changes: Vec<Change>,
    /// Taken whole only: calls are split, so strips would not do.
    pub(in crate::places::section) whole: Option<Edit>,
    /// Among how many players it is; can be asked anew with another number.
    pub(in crate::places::section) among: Option<usize>,
}

/// One wish: what it costs now and would cost then.
#[derive(Clone, Debug)]
pub(in crate::places::section) struct Row {
    pub(in crate::places::section) what: &'static str,
    pub(in crate::places::section) now: String,
    pub(in crate::places::section) then: String,
}

/// One call with another player.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::places::section) struct Change {
    pub(in crate::places::section) at: CallRef,
    pub(in crate::places::section) name: String,
    /// The work and movement it stands in.
    pub(in crate::places::section) stands_in: String,
    /// To whom; nobody when it waits for an extra.
    pub(in crate::places::section) to: Option<PlayerId>,
}

impl Proposal {
    /// The changes that are still to be made in the library as it is.
    pub(in crate::places::section) fn left(&self, library: &Library) -> Vec<Change> {
        let Some(programme) = library.programme(&self.programme) else { return Vec::new() };
        let open = |change: &&Change| {
            let given = programme.assignment(&change.at);
            library.call(&change.at).is_some() && !given.pinned && given.player != change.to
        };
        self.changes.iter().filter(open).cloned().collect()
    }

    /// One change as an edit.
    pub(in crate::places::section) fn give(&self, change: &Change) -> Edit {
        Edit::Give { programme: self.programme.clone(), call: change.at.clone(), player: change.to.clone() }
    }

    /// All that is left as one edit; `None` when nothing is.
    pub(in crate::places::section) fn all(&self, library: &Library) -> Option<Edit> {
        if let Some(whole) = &self.whole {
            return Some(whole.clone());
        }
        let edits: Vec<Edit> = self.left(library).iter().map(|change| self.give(change)).collect();
        (!edits.is_empty()).then(|| Edit::Together { words: self.title.clone(), edits })
    }
}

impl Question {
    /// A share-out as a proposal.
    pub(super) fn proposal(&self, library: &Library, title: String, share_out: &ShareOut) -> Proposal {
        let own = library.programme(&self.programme);
        let changes = self.asked.named(share_out).enumerate().filter_map(|(index, (call, player))| {
            let now = self.asked.now.player(index).and_then(|p| self.player(p));
            (now != player).then(|| Change {
                at: call.clone(),
                name: own.map_or_else(String::new, |own| call_name(library, own, call)),
                stands_in: where_it_stands(library, call),
                to: player.cloned(),
            })
        });
        let among = share_out.used().len();
        let now = self.rota.cost(&self.asked.now, self.asked.now.used().len().max(1));
        let then = self.rota.cost(share_out, among);
        let mut words = Vec::new();
        let waiting = (0..self.asked.calls.len())
            .filter(|&c| share_out.player(c).is_some_and(|p| self.player(p).is_none()))
            .count();
        if waiting > 0 {
            let calls =
                if waiting == 1 { "1 call waits".to_owned() } else { format!("{waiting} calls wait") };
            words.push(format!("{calls} for an extra who is not in the roster yet."));
        }
        Proposal {
            programme: self.programme.clone(),
            title,
            words,
            ledger: ledger((&self.asked.now, &now), (share_out, &then)),
            changes: changes.collect(),
            whole: None,
            among: None,
        }
    }

    /// How sure it is that none is better.
    pub(super) fn sureness(best: &Best) -> String {
        if best.proved() {
            "Proved: no share-out among so many players has fewer points.".to_owned()
        } else {
            let share = best.gap_points() / best.cost.points().max(1e-9);
            if share > 0.95 {
                "The best that was found; how much better one could be is not known.".to_owned()
            } else {
                format!(
                    "The best that was found; another could have at most {:.0} points fewer.",
                    best.gap_points().ceil()
                )
            }
        }
    }
}

fn ledger(now: (&ShareOut, &Cost), then: (&ShareOut, &Cost)) -> Vec<Row> {
    let row = |what, of: &dyn Fn((&ShareOut, &Cost)) -> String| Row { what, now: of(now), then: of(then) };
    vec![
        row("Players", &|(s, _)| s.used().len().to_string()),
        row("Given to nobody", &|(s, _)| s.players.iter().filter(|p| p.is_none()).count().to_string()),
        row("Walked, m", &|(_, c)| format!("{:.0}", c.walk_m())),
        row("Instruments that change hands", &|(_, c)| c.strand_breaks.to_string()),
        row("Not as the last time", &|(_, c)| c.not_as_last_time.to_string()),
        row("Busiest above the even share, min", &|(_, c)| {
            format!("{:.1}", c.load_over_ms as f64 / 60_000.0)
        }),
        row("Exposed calls above the even share", &|(_, c)| {
            format!("{:.1}", c.exposure_over_milli as f64 / 1000.0)
        }),
        row("Points", &|(_, c)| format!("{:.0}", c.points())),
    ]
}

/// The best share-out found, among the fewest players or among so many. Pinned calls stay.
///
/// # Errors
/// Why there is none, in words.
pub(in crate::places::section) fn propose(
    evening: Option<&Evening>,
    view: &Here<'_>,
    among: Option<usize>,
) -> Result<Proposal, String> {
    let evening = evening.ok_or("Choose a programme first.")?;
    let library = evening.library();
    let question =
        Question::of(Some(evening), view, view.own.scope).ok_or("No programme plays this work.")?;
    let rota = &question.rota;
    let found = match rota.fewest(EFFORT) {
        Answer::Found(found) => found,
        Answer::Impossible(_) => return Err("No share-out meets all demands; see the line above.".to_owned()),
        Answer::GaveUp { .. } => return Err("No share-out was found in the time allowed.".to_owned()),
    };
    let among = among.unwrap_or(found.players).max(found.players);
    // The present share-out, mended, is often the better place to start from.
    let points = |share_out: &ShareOut| rota.cost(share_out, among).milli_points;
    let mended = rota.filled(&question.asked.now).filter(|now| now.used().len() <= among);
    let start = mended.filter(|now| points(now) < points(&found.share_out)).unwrap_or(found.share_out);
    let best = rota.best(among, Some(&start), EFFORT);
    let share_out = best.as_ref().map_or(&start, |best| &best.share_out);
    let of = match view.own.scope {
        Scope::Movement => "this movement",
        Scope::Programme => "the programme",
    };
    let mut proposal =
        question.proposal(library, format!("Share-out of {of} among {}", players(among)), share_out);
    proposal.words.extend(best.as_ref().map(Question::sureness));
    proposal.among = Some(among);
    Ok(proposal)
}
