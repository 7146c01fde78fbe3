//! The music at hand as a question to the rota: how many players it needs, and why not fewer.

pub(super) mod proposal;
pub(super) mod what_if;

use super::board::Board;
use crate::places::section::Here;
use backrow_core::evening::Evening;
use backrow_core::id::{MovementId, PlayerId, ProgrammeId, WorkId};
use backrow_core::library::Library;
use backrow_core::rota::programme::{Asked, Moment};
use backrow_core::rota::text::demand_words;
use backrow_core::rota::words::{players, why};
use backrow_core::rota::{Answer, Effort, Fewest, PassageRef, Rota};
use backrow_core::week::{CallRef, Programme};
use std::borrow::Cow;

/// Players that are thought of beyond the roster.
const EXTRAS: usize = 8;

/// A budget that keeps the window awake: some tenths of a second at the worst.
pub(super) const EFFORT: Effort = Effort { steps: 60_000, width: 40 };

/// How much music is asked about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Scope {
    /// The movement at hand.
    #[default]
    Movement,
    /// All works of the programme.
    Programme,
}

/// What the music needs, in words.
#[derive(Clone, Debug, Default)]
pub(super) struct Needs {
    pub(super) head: String,
    pub(super) beside: String,
    /// The moment that proves it: seconds of the movement at hand, and its measure.
    pub(super) moment: Option<(f64, String)>,
}

/// Calls as a problem, with their names.
pub(super) struct Question {
    pub(super) programme: ProgrammeId,
    pub(super) asked: Asked,
    pub(super) rota: Rota,
    /// The movement of each call.
    places: Vec<(WorkId, MovementId)>,
}

impl Question {
    /// The calls of the scope; `None` when there are none or the programme does not play the work.
    pub(super) fn of(evening: Option<&Evening>, view: &Here<'_>, scope: Scope) -> Option<Self> {
        let evening = evening?;
        let (library, programme) = (evening.library(), evening.programme());
        let mut timetable = Cow::Borrowed(evening.timetable());
        if scope == Scope::Movement {
            let (work, movement) = (view.work.as_ref()?, view.movement.as_ref()?);
            timetable = Cow::Owned(timetable.of_movement(work, movement));
        }
        let mut asked = Asked::of(library, programme, &timetable, EXTRAS);
        for (call, at) in asked.problem.calls.iter_mut().zip(&asked.calls) {
            call.label = call_name(library, programme, at);
        }
        let places = timetable.calls.iter().map(|t| (t.call.work.clone(), t.movement.clone())).collect();
        let rota = Rota::new(asked.problem.clone()).ok()?;
        (!asked.calls.is_empty()).then_some(Self { programme: programme.id.clone(), asked, rota, places })
    }

    /// The roster's player of a number; `None` for an extra.
    pub(super) fn player(&self, number: usize) -> Option<&PlayerId> {
        self.asked.players.get(number)
    }

    /// The names of calls; with the movements they stand in where those differ.
    pub(super) fn names(&self, library: &Library, calls: &[usize]) -> String {
        let place = |&call: &usize| self.places.get(call);
        let apart = calls.iter().any(|call| place(call) != calls.first().and_then(place));
        let name = |&call: &usize| {
            let name = self.rota.problem().call_label(call);
            match self.asked.calls.get(call) {
                Some(at) if apart => format!("{name} ({})", where_it_stands(library, at)),
                _ => name.to_owned(),
            }
        };
        calls.iter().map(name).collect::<Vec<_>>().join(", ")
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
                    self.names(library, &found.proof.calls)
                )
            }
            Answer::Impossible(no) => {
                let demands: Vec<String> = no.demands.iter().map(|d| demand_words(problem, d)).collect();
                format!("{}: {}", self.names(library, &no.calls), demands.join("; "))
            }
            Answer::GaveUp { at_least } => {
                format!("not searched to the end; at least {} are needed", players(*at_least))
            }
        }
    }

    /// The measures of a passage as printed: "m. 41" or "mm. 41–64".
    pub(super) fn measures(&self, library: &Library, at: PassageRef) -> String {
        let passage = self
            .asked
            .calls
            .get(at.call)
            .and_then(|call| library.call(call))
            .and_then(|(_, call)| call.passages.get(at.passage));
        passage.map_or_else(String::new, |p| {
            if p.from == p.to { format!("m. {}", p.from) } else { format!("mm. {}–{}", p.from, p.to) }
        })
    }

    /// The measures that a move leads from and to: "m. 104 to 108".
    pub(super) fn leads(&self, library: &Library, from: PassageRef, to: PassageRef) -> String {
        let passage = |at: PassageRef| {
            let (_, call) = library.call(self.asked.calls.get(at.call)?)?;
            call.passages.get(at.passage)
        };
        match (passage(from), passage(to)) {
            (Some(from), Some(to)) => format!("m. {} to {}", from.to, to.from),
            _ => String::new(),
        }
    }
}

/// What a call is played on, or else what it asks for.
pub(super) fn call_name(library: &Library, programme: &Programme, at: &CallRef) -> String {
    let given = programme.assignment(at);
    let names: Vec<String> = given.instruments.iter().map(|id| library.instrument_name(id)).collect();
    match library.call(at) {
        Some((_, call)) if names.is_empty() => library.call_name(call),
        _ => names.join(" + "),
    }
}

/// "Lanterns on the Estuary II".
pub(super) fn where_it_stands(library: &Library, at: &CallRef) -> String {
    let Some((work, call)) = library.call(at) else { return String::new() };
    let number = work.movement(&call.movement).map(|m| m.number.as_str()).unwrap_or_default();
    if work.movements.len() < 2 { work.title.clone() } else { format!("{} {number}", work.title) }
}

/// How many players the music needs, and the proof.
pub(super) fn needs(library: &Library, evening: Option<&Evening>, view: &Here<'_>, board: &Board) -> Needs {
    let scope = view.own.scope;
    let Some(question) = Question::of(evening, view, scope) else {
        return Needs {
            head: "No programme plays this work".to_owned(),
            beside: "Add it to a programme, and the players it needs are counted.".to_owned(),
            moment: None,
        };
    };
    let rota = &question.rota;
    match rota.fewest(EFFORT) {
        Answer::Found(found) => question.found(library, view, board, &found),
        Answer::Impossible(no) => {
            let demands: Vec<String> = no.demands.iter().map(|d| demand_words(rota.problem(), d)).collect();
            Needs {
                head: "These demands cannot be met together".to_owned(),
                beside: format!("{}: {}.", question.names(library, &no.calls), demands.join("; ")),
                moment: None,
            }
        }
        Answer::GaveUp { at_least } => Needs {
            head: format!("Needs at least {}", players(at_least)),
            beside: "Not searched to the end.".to_owned(),
            moment: None,
        },
    }
}

impl Question {
    fn found(&self, library: &Library, view: &Here<'_>, board: &Board, found: &Fewest) -> Needs {
        let rota = &self.rota;
        let moment = self.asked.moment(library, &found.proof);
        let here = |at: &Moment| {
            view.work.as_ref() == Some(&at.work) && view.movement.as_ref() == Some(&at.movement)
        };
        let told = moment.as_ref().map(|at| {
            let heading =
                library.works.get(&at.work).filter(|_| !here(at)).map(|w| {
                    format!(" of {} {}", w.title, w.movement(&at.movement).map_or("", |m| &m.number))
                });
            format!("m. {}{}", at.measure, heading.unwrap_or_default().trim_end())
        });
        let why = why(rota.problem(), &found.proof, told);
        let of = match view.own.scope {
            Scope::Movement => "",
            Scope::Programme => "The programme needs ",
        };
        let head = if found.proved() {
            format!("{of}{}: {why}", players(found.players))
        } else {
            format!("{of}{} to {}: {why}", found.at_least, players(found.players))
        };
        let head = if of.is_empty() { format!("Needs {head}") } else { head };
        let demands: Vec<String> =
            found.proof.demands.iter().map(|demand| demand_words(rota.problem(), demand)).collect();
        let demands = if demands.is_empty() { String::new() } else { format!(" {}.", demands.join("; ")) };
        let mut calls = found.proof.calls.clone();
        calls.extend(&found.proof.beside_ring);
        let used = match view.own.scope {
            Scope::Movement => board.lanes.iter().filter(|lane| !lane.strips.is_empty()).count(),
            Scope::Programme => self.asked.now.used().len(),
        };
        let moment = moment.filter(here).map(|at| (at.at_s, at.measure));
        Needs {
            head,
            beside: format!("{}.{demands} Now spread over {used}.", self.names(library, &calls)),
            moment,
        }
    }
}
