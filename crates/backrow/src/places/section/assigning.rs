//! The current music as a question to the rota: how many players it needs, and why not fewer.

pub(super) mod proposal;
pub(super) mod what_if;

use crate::background::Stop;
use crate::places::section::Here;
use backrow_core::assign::{Asked, Moment, Terms, where_it_stands};
use backrow_core::evening::Evening;
use backrow_core::id::{MovementId, PlayerId, ProgrammeId, WorkId, listed};
use backrow_core::library::Library;
use backrow_core::rota::words::{players, reasons, what_helps, why};
use backrow_core::rota::{Answer, Effort, LineNo, List, PassageRef, PlayerNo, Rota, Staffed, Staffing};
use std::borrow::Cow;

/// The same as the season's and the sheets', so that they never disagree.
pub(super) const EFFORT: Effort = Effort::AT_HAND;

/// How much music is asked about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Scope {
    /// The current movement.
    #[default]
    Movement,
    /// All works of the programme.
    Programme,
}

/// The music of an evening that is asked about. With the evening it says all that an answer follows from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Subject {
    pub(super) scope: Scope,
    work: Option<WorkId>,
    movement: Option<MovementId>,
}

impl Subject {
    /// What is current.
    pub(super) fn of(view: &Here<'_>) -> Self {
        Self { scope: view.own.scope, work: view.work.clone(), movement: view.movement.clone() }
    }
}

/// What the music needs, in words.
#[derive(Clone, Debug, Default)]
pub(super) struct Needs {
    pub(super) head: String,
    pub(super) beside: String,
    /// The moment that proves it: seconds of the current movement, and its measure.
    pub(super) moment: Option<(f64, String)>,
}

/// Lines as a problem, with their names.
pub(super) struct Question {
    pub(super) programme: ProgrammeId,
    pub(super) asked: Asked,
    pub(super) rota: Rota,
    /// The movement of each line.
    places: List<LineNo, (WorkId, MovementId)>,
}

impl Question {
    /// The lines of the scope; `None` when there are none or the programme does not play the work.
    pub(super) fn of(evening: Option<&Evening>, subject: &Subject, stop: &Stop) -> Option<Self> {
        Self::on((evening, subject), Terms::USUAL, stop)
    }

    /// The same on other terms. Its searches end early when `stop` says that nobody waits for them.
    pub(super) fn on(
        (evening, subject): (Option<&Evening>, &Subject),
        terms: Terms<'_>,
        stop: &Stop,
    ) -> Option<Self> {
        let evening = evening?;
        let (library, programme) = (evening.library(), evening.programme());
        let mut timetable = Cow::Borrowed(evening.timetable());
        if subject.scope == Scope::Movement {
            let (work, movement) = (subject.work.as_ref()?, subject.movement.as_ref()?);
            timetable = Cow::Owned(timetable.of_movement(work, movement));
        }
        let asked = Asked::of(library, programme, &timetable, terms);
        let places = timetable.lines.iter().map(|t| (t.line.work.clone(), t.movement.clone())).collect();
        let rota = Rota::new(asked.problem.clone()).ok()?.until(stop.halt());
        (!asked.lines.is_empty()).then_some(Self { programme: programme.id.clone(), asked, rota, places })
    }

    /// The roster's player of a number; `None` for an extra.
    pub(super) fn player(&self, number: PlayerNo) -> Option<&PlayerId> {
        self.asked.players.find(number)
    }

    /// The names of lines; with the movements they stand in where those differ.
    pub(super) fn names(&self, library: &Library, lines: &[LineNo]) -> String {
        let place = |&line: &LineNo| self.places.find(line);
        let apart = lines.iter().any(|line| place(line) != lines.first().and_then(place));
        let name = |&line: &LineNo| {
            let name = self.rota.problem().line_label(line);
            match self.asked.lines.find(line) {
                Some(at) if apart => format!("{name} ({})", where_it_stands(library, at)),
                _ => name.to_owned(),
            }
        };
        listed(&lines.iter().map(name).collect::<Vec<_>>())
    }

    /// Why so few players are not enough, in a sentence or two.
    pub(super) fn why_not(&self, library: &Library, answer: &Answer) -> String {
        let problem = self.rota.problem();
        match answer {
            Answer::Found(found) => {
                let place = self.asked.moment(library, &found.proof).map(|moment| {
                    let work = library.works.get(&moment.work);
                    let title = work.map_or("", |w| &w.title);
                    let number = work.and_then(|w| w.movement(&moment.movement)).map_or("", |m| &m.number);
                    format!("m. {} of {}", moment.measure, format!("{title} {number}").trim_end())
                });
                let why = why(self.rota.problem(), &found.proof, place);
                format!(
                    "{} are needed: {why}: {}",
                    players(found.players),
                    self.names(library, &found.proof.lines)
                )
            }
            Answer::Impossible(no) => {
                let names = self.names(library, &no.lines);
                if no.demands.is_empty() {
                    return format!("{names} are too close together for {}", players(no.players));
                }
                let demands = reasons(problem, &no.demands);
                format!("{names}: {}", demands.join("; "))
            }
            Answer::GaveUp { at_least } => {
                format!("the search stopped early; at least {} are needed", players(*at_least))
            }
        }
    }

    /// Why those engaged are not enough; `None` when they are.
    pub(super) fn why_more(&self, library: &Library, staffed: &Staffed) -> Option<String> {
        let why = self.why_not(library, staffed.why_more.as_ref()?);
        Some(format!("Those engaged are not enough: {why}."))
    }

    /// The measures of a passage as printed: "m. 41" or "mm. 41–64".
    pub(super) fn measures(&self, library: &Library, at: PassageRef) -> String {
        let passage = self
            .asked
            .lines
            .find(at.line)
            .and_then(|line| library.line(line))
            .and_then(|(_, line)| line.passages.get(at.passage.0));
        passage.map_or_else(String::new, |p| backrow_core::music::stretch_words(&p.from, &p.to))
    }

    /// The measures that a move leads from and to: "mm. 104–108".
    pub(super) fn leads(&self, library: &Library, from: PassageRef, to: PassageRef) -> String {
        let passage = |at: PassageRef| {
            let (_, line) = library.line(self.asked.lines.find(at.line)?)?;
            line.passages.get(at.passage.0)
        };
        match (passage(from), passage(to)) {
            (Some(from), Some(to)) => backrow_core::music::stretch_words(&from.to, &to.from),
            _ => String::new(),
        }
    }
}

/// How many players the music needs, and the proof.
pub(super) fn needs(evening: Option<&Evening>, subject: &Subject, stop: &Stop) -> Needs {
    let asked = evening.and_then(|known| Some((known.library(), Question::of(evening, subject, stop)?)));
    let Some((library, question)) = asked else {
        return Needs {
            head: "No programme plays this work".to_owned(),
            beside: "Add it to a programme, and the players it needs are counted.".to_owned(),
            moment: None,
        };
    };
    match question.rota.staffed(EFFORT) {
        Staffing::Enough(staffed) => question.found(library, subject, &staffed),
        Staffing::NotEnough(Answer::GaveUp { at_least }) => Needs {
            head: format!("Needs at least {}", players(at_least)),
            beside: "The search stopped early.".to_owned(),
            moment: None,
        },
        Staffing::NotEnough(no) => Needs {
            head: "These rules contradict each other".to_owned(),
            beside: format!("{}.", question.why_not(library, &no)),
            moment: None,
        },
    }
}

impl Question {
    fn found(&self, library: &Library, subject: &Subject, staffed: &Staffed) -> Needs {
        let (found, problem) = (&staffed.fewest, staffed.rota.problem());
        let moment = self.asked.moment(library, &found.proof);
        let here = |at: &Moment| {
            subject.work.as_ref() == Some(&at.work) && subject.movement.as_ref() == Some(&at.movement)
        };
        let told = moment.as_ref().map(|at| {
            let heading =
                library.works.get(&at.work).filter(|_| !here(at)).map(|w| {
                    format!(" of {} {}", w.title, w.movement(&at.movement).map_or("", |m| &m.number))
                });
            format!("m. {}{}", at.measure, heading.unwrap_or_default().trim_end())
        });
        let why = why(problem, &found.proof, told);
        let of = match subject.scope {
            Scope::Movement => "Needs ",
            Scope::Programme => "The programme needs ",
        };
        let head = if let Some(fault) = found.faults.first() {
            format!("Do not rely on this: the independent check disagrees with the answer, {fault}")
        } else if found.proven() {
            format!("{of}{}: {why}", players(found.players))
        } else {
            format!("{of}{} to {}: {why}", found.at_least, players(found.players))
        };
        let used = self.asked.now.used().len();
        let mut lines = found.proof.lines.clone();
        lines.extend(&found.proof.beside_ring);
        let mut beside = vec![format!("{}.", self.names(library, &lines))];
        let demands = reasons(problem, &found.proof.demands).into_iter();
        beside.extend(demands.map(|words| format!("{words}.")));
        beside.extend(what_helps(problem, &found.proof));
        beside.extend(self.why_more(library, staffed));
        beside.extend(match staffed.without_a_name() {
            0 => None,
            1 => Some("1 extra is still to be engaged.".to_owned()),
            many => Some(format!("{many} extras are still to be engaged.")),
        });
        beside.push(match used {
            0 => "Nobody plays yet.".to_owned(),
            1 => "Currently 1 plays.".to_owned(),
            used => format!("Currently {used} play."),
        });
        let moment = moment.filter(here).map(|at| (at.at_s, at.measure));
        Needs { head, beside: beside.join(" "), moment }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheets::{Counted, season};
    use backrow_core::halt::Halt;

    /// One table of efforts: what Section counts for a programme the season counts too, proven or not.
    #[test]
    fn section_and_season_count_the_same() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
        let library =
            backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library;
        let subject = Subject { scope: Scope::Programme, work: None, movement: None };
        let rows = season(&library, &Halt::default(), &Counted::default());
        assert_eq!(rows.len(), library.programmes().count());
        for row in rows {
            let evening = Evening::of(&library, library.programme(&row.programme).unwrap());
            let head = needs(Some(&evening), &subject, &Stop::default()).head;
            let fewest = players(row.fewest.unwrap());
            let sure = !row.needed.contains("not ");
            let said = if sure { format!("needs {fewest}: ") } else { format!(" to {fewest}: ") };
            assert!(head.contains(&said), "{}: {head} beside {}", row.title, row.needed);
        }
    }
}
