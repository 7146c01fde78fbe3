//! Assignments beside the present ones: what changes, what it costs, and how sure it is.

mod better;

use super::{EFFORT, Question, Scope, Subject};
use crate::background::Stop;
use backrow_core::assign::{line_name, where_it_stands};
use backrow_core::edit::Edit;
use backrow_core::evening::Evening;
use backrow_core::id::{PlayerId, ProgrammeId};
use backrow_core::library::Library;
use backrow_core::rota::words::{number, players};
use backrow_core::rota::{Answer, Assignments, Best, Cost, LineNo, Rota, Staffing};
use backrow_core::week::LineRef;

/// A proposal; nothing is given before it is taken, whole or strip by strip.
#[derive(Clone, Debug)]
pub(in crate::places::section) struct Proposal {
    pub(in crate::places::section) programme: ProgrammeId,
    pub(in crate::places::section) title: String,
    /// What there is to know, a sentence each.
    pub(in crate::places::section) words: Vec<String>,
    pub(in crate::places::section) ledger: Vec<Row>,
    /// Every line that would have another player.
    pub(in crate::places::section) changes: Vec<Change>,
    /// Taken whole only: lines are split, so strips would not do.
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

/// A set of assignments with what it costs.
struct Standing<'a> {
    assignments: &'a Assignments,
    cost: Cost,
}

impl Standing<'_> {
    /// How many lines nobody has.
    fn unassigned(&self) -> usize {
        self.assignments.players.iter().filter(|player| player.is_none()).count()
    }
}

/// One line with another player.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::places::section) struct Change {
    pub(in crate::places::section) at: LineRef,
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
            library.line(&change.at).is_some() && !given.locked && given.player != change.to
        };
        self.changes.iter().filter(open).cloned().collect()
    }

    /// One change as an edit.
    pub(in crate::places::section) fn give(&self, change: &Change) -> Edit {
        Edit::Accept { programme: self.programme.clone(), line: change.at.clone(), player: change.to.clone() }
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
    /// A set of assignments as a proposal; `rota` is the problem with those who are called on.
    pub(super) fn proposal(
        &self,
        library: &Library,
        title: String,
        rota: &Rota,
        assignments: &Assignments,
    ) -> Proposal {
        let own = library.programme(&self.programme);
        let changes = self.asked.named(assignments).enumerate().filter_map(|(index, (line, player))| {
            let now = self.asked.now.player(LineNo(index)).and_then(|p| self.player(p));
            (now != player).then(|| Change {
                at: line.clone(),
                name: own.map_or_else(String::new, |own| line_name(library, own, line)),
                stands_in: where_it_stands(library, line),
                to: player.cloned(),
            })
        });
        let changes: Vec<Change> = changes.collect();
        let among = assignments.used().len().max(self.asked.now.used().len()).max(1);
        let now = Standing { assignments: &self.asked.now, cost: rota.cost(&self.asked.now, among) };
        let then = Standing { assignments, cost: rota.cost(assignments, among) };
        let mut words = vec![better::words(rota, &now, &then, changes.len())];
        words.extend(by_hand(rota, &then.cost));
        let waits = |c: &LineNo| assignments.player(*c).is_some_and(|p| self.player(p).is_none());
        let waiting = self.asked.lines.numbers().filter(waits).count();
        if waiting > 0 {
            let rows = if waiting == 1 { "1 line waits".to_owned() } else { format!("{waiting} lines wait") };
            words.push(format!("{rows} for an extra who is not in the list of players yet."));
        }
        Proposal {
            programme: self.programme.clone(),
            title,
            words,
            ledger: ledger(rota, &now, &then),
            changes,
            whole: None,
            among: None,
        }
    }

    /// How sure it is that none is better.
    pub(super) fn sureness(best: &Best, among: usize) -> String {
        let among = players(among);
        if let Some(fault) = best.faults.first() {
            format!("Do not rely on this: the independent check disagrees with the answer, {fault}.")
        } else if best.proven() {
            format!("Proven: with at most {among} nothing has fewer points.")
        } else {
            let share = best.gap_points() / best.cost.points().max(1e-9);
            if share > 0.95 {
                "The best that was found; the search stopped early, and how much better one could be is not known.".to_owned()
            } else {
                format!(
                    "The best that was found; another could have at most {:.0} points fewer.",
                    best.gap_points().ceil()
                )
            }
        }
    }
}

/// What becomes of what was assigned by hand.
fn by_hand(rota: &Rota, then: &Cost) -> Option<String> {
    let all = rota.problem().lines.iter().filter(|line| line.by_hand).count();
    let kept = all - then.hand_changed.min(all);
    match (all, then.hand_changed) {
        (0, _) => None,
        (1, 0) => Some("The line that you assigned by hand stays.".to_owned()),
        (2, 0) => Some("Both lines that you assigned by hand stay.".to_owned()),
        (_, 0) => Some(format!("All {} lines that you assigned by hand stay.", number(all))),
        (_, _) if kept == 0 => Some(
            "What you assigned by hand cannot stay: the rules or the seconds do not allow it.".to_owned(),
        ),
        (_, changed) => Some(format!(
            "Of the {} lines that you assigned by hand, {} stay; {} would cost too much.",
            number(all),
            number(kept),
            number(changed)
        )),
    }
}

fn ledger(rota: &Rota, now: &Standing<'_>, then: &Standing<'_>) -> Vec<Row> {
    let row = |what, of: &dyn Fn(&Standing<'_>) -> String| Row { what, now: of(now), then: of(then) };
    vec![
        row("Players", &|s| s.assignments.used().len().to_string()),
        row("Extras among them", &|s| s.cost.extras.to_string()),
        row("Lines without a player", &|s| s.unassigned().to_string()),
        row("Walked, m", &|s| format!("{:.0}", s.cost.walk_m())),
        row("Instruments passed between players", &|s| s.cost.strand_breaks.to_string()),
        row("Printed parts passed between players", &|s| s.cost.part_breaks.to_string()),
        row("Different from last time", &|s| s.cost.not_as_last_time.to_string()),
        row("Busiest player above average, min", &|s| {
            format!("{:.1}", s.cost.load_over_ms as f64 / 60_000.0)
        }),
        row("Exposed lines above average", &|s| format!("{:.1}", s.cost.exposure_over_milli as f64 / 1000.0)),
        row("Points, extras apart", &|s| {
            let of_extras = f64::from(rota.problem().wishes.extra) * s.cost.extras as f64;
            format!("{:.0}", s.cost.points() - of_extras)
        }),
    ]
}

/// The best assignments found. Locked lines stay, and what was assigned by hand where it can; without `among` it is for as
/// many players as have something to play now, if that is enough.
///
/// # Errors
/// Why there is none, in words.
pub(in crate::places::section) fn propose(
    evening: Option<&Evening>,
    subject: &Subject,
    among: Option<usize>,
    stop: &Stop,
) -> Result<Proposal, String> {
    let library = evening.ok_or("Choose a programme first.")?.library();
    let question = Question::of(evening, subject, stop).ok_or("No programme plays this work.")?;
    let staffed = match question.rota.staffed(EFFORT) {
        Staffing::Enough(staffed) => staffed,
        Staffing::NotEnough(Answer::GaveUp { .. }) => {
            return Err("The search stopped early and found no assignments.".to_owned());
        }
        Staffing::NotEnough(_) => {
            return Err("No assignments follow all the rules; see the line above.".to_owned());
        }
    };
    let (rota, now) = (&staffed.rota, &question.asked.now);
    let current = rota.problem().player_count();
    let among = among.unwrap_or_else(|| now.used().len().min(current)).max(staffed.among);
    // The present assignments, mended, is often the better place to start from.
    let points = |assignments: &Assignments| rota.cost(assignments, among).milli_points;
    let mended = rota.filled(now).filter(|now| now.used().len() <= among);
    let fewest = staffed.fewest.assignments.clone();
    let start = mended.filter(|now| points(now) < points(&fewest)).unwrap_or(fewest);
    let best = rota.best(among, Some(&start), EFFORT);
    let assignments = best.as_ref().map_or(&start, |best| &best.assignments);
    let of = match subject.scope {
        Scope::Movement => "this movement",
        Scope::Programme => "the programme",
    };
    let title = format!("Assignments of {of} among {}", players(assignments.used().len()));
    let mut proposal = question.proposal(library, title, rota, assignments);
    proposal.words.extend(question.why_more(library, &staffed));
    proposal.words.extend(best.as_ref().map(|best| Question::sureness(best, among)));
    proposal.among = Some(among);
    Ok(proposal)
}
