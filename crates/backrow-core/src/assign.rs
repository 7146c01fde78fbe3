//! Assignments: a programme of the library as a question to the rota, and its answer back in the library's ids.
//!
//! Movements lie one after the other with a minute between them: players have the time between movements
//! to get anywhere on a stage, as in [`Timetable`], which asks for no move across movements.

#![expect(
    clippy::indexing_slicing,
    reason = "lists that take only their own numbers; one outside is a fault that must not pass as an answer"
)]

mod last_time;
mod rules;

#[cfg(test)]
mod tests;

use crate::collection::Player;
use crate::id::{BeaterId, InstrumentId, MovementId, PlayerId, WorkId};
use crate::library::Library;
use crate::moves::{AssignedLine, Post, Stance, Timetable};
use crate::rota::{
    Assignments, AtOnce, BeatersNo, InstrumentNo, Line, LineNo, List, Number, Passage, PlayerNo, Problem,
    Proof, StanceNo, Stances, StrandNo, Visit,
};
use crate::seconds::{Hold, Need};
use crate::week::{LineRef, PartRef, Programme, Standing};
use std::collections::BTreeSet;

/// Seconds between movements.
const BETWEEN_MOVEMENTS_S: f64 = 60.0;

/// How a programme is asked about.
#[derive(Debug, Clone, Copy, Default)]
pub struct Terms<'a> {
    /// The most extras that are thought of beyond the players of the library.
    pub extras: usize,
    /// Somebody who is thought of as missing.
    pub without: Option<&'a PlayerId>,
    /// Whether what was assigned by hand may be changed like anything else.
    pub hands_free: bool,
}

impl Terms<'_> {
    /// As the window and the season ask.
    pub const USUAL: Self = Self { extras: 8, without: None, hands_free: false };
}

/// A programme ready for the rota, with what its numbers stand for.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The problem.
    pub problem: Problem,
    /// The line of each number.
    pub lines: List<LineNo, LineRef>,
    /// The player of each number; numbers beyond are extras not yet engaged.
    pub players: List<PlayerNo, PlayerId>,
    /// When each line's movement starts, in seconds of the problem.
    pub starts_s: List<LineNo, f64>,
    /// Who plays what now.
    pub now: Assignments,
}

/// Where a moment lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// The work.
    pub work: WorkId,
    /// The movement.
    pub movement: MovementId,
    /// Seconds of the movement as played.
    pub at_s: f64,
    /// The measure's name as printed.
    pub measure: String,
}

impl Asked {
    /// The programme's calls for those engaged, the reserve, and extras.
    ///
    /// A player who misses a concert, is not engaged for it, or does not take a kind, is barred from those lines; locked
    /// lines are pins; timpani are for the timpanist; an instrument takes one player at once unless it is for two. Who has
    /// a line by hand is engaged, whatever else is stated.
    pub fn of(library: &Library, programme: &Programme, timetable: &Timetable, terms: Terms<'_>) -> Self {
        let by_hand = |taken: &AssignedLine| {
            let given = programme.given(&taken.line);
            given.is_some_and(|given| given.locked || given.by_hand && !terms.hands_free)
        };
        let called: BTreeSet<&PlayerId> =
            timetable.lines.iter().filter(|t| by_hand(t)).filter_map(|t| t.player.as_ref()).collect();
        let standing = |player: &Player| {
            if called.contains(&player.id) { Standing::Engaged } else { programme.roster.of(player).standing }
        };
        let people: List<PlayerNo, &Player> =
            library.roster().into_iter().filter(|p| standing(p) != Standing::Free).collect();
        let number = |id: &PlayerId| people.entries().find(|(_, p)| p.id == *id).map(|(player, _)| player);
        let here = |id: &PlayerId| number(id).filter(|_| terms.without != Some(id));
        let last = last_time::last_time(library, programme);
        let mut keys = Keys::default();
        let mut problem = Problem {
            players: people.iter().map(|p| p.name.clone()).collect(),
            reserve: people
                .entries()
                .filter(|(_, p)| standing(p) == Standing::Reserve)
                .map(|(n, _)| n)
                .collect(),
            extras: terms.extras,
            habits: *timetable.habits(),
            wishes: library.orchestra.wishes,
            ..Problem::default()
        };
        let starts: List<LineNo, f64> = starts(timetable).into();
        for (taken, &start) in timetable.lines.iter().zip(&starts) {
            let line = library.line(&taken.line).map(|(_, line)| line);
            let part = line.filter(|c| !c.part.is_empty());
            let part = part.map(|c| PartRef { work: taken.line.work.clone(), part: c.part.clone() });
            let now = taken.player.as_ref().and_then(here);
            problem.lines.push(Line {
                exposure: f64::from(u8::from(line.is_some_and(|line| line.exposed))),
                last_time: last.get(&taken.line).and_then(here),
                owner: part.as_ref().and_then(|part| programme.roster.parts.get(part)).and_then(here),
                part: part.map(|part| key(&mut keys.parts, &part)),
                now,
                by_hand: now.is_some() && by_hand(taken),
                label: line_name(library, programme, &taken.line),
                ..keys.line(taken, start)
            });
        }
        problem.needs = Some(keys.needs(timetable));
        problem.holds = keys.beaters.iter().map(|hands| hands.holds.clone()).collect();
        let at_once = |(n, id): (usize, &InstrumentId)| AtOnce {
            instrument: InstrumentNo(n),
            players: library.hands(id),
        };
        problem.at_once = keys.instruments.iter().enumerate().map(at_once).collect();
        problem.playable_together = together(timetable);
        problem.demands = rules::Rules { library, programme, timetable, people: &people, terms }.demands();
        let now = timetable.lines.iter().map(|t| t.player.as_ref().and_then(number)).collect();
        let lines = timetable.lines.iter().map(|t| t.line.clone()).collect();
        let players = people.iter().map(|p| p.id.clone()).collect();
        Self { problem, lines, players, starts_s: starts, now: Assignments { players: now } }
    }

    /// Where the moment of a proof lies; `None` for proofs of other shapes.
    pub fn moment(&self, library: &Library, proof: &Proof) -> Option<Moment> {
        let index = *proof.lines.first()?;
        let at_s = proof.at_s? - self.starts_s[index];
        let (work, line) = library.line(&self.lines[index])?;
        let timeline = &work.movement(&line.movement)?.timeline;
        let measure = timeline.measures.iter().rev().find(|m| m.at_s <= at_s + 1e-6)?;
        Some(Moment {
            work: work.id.clone(),
            movement: line.movement.clone(),
            at_s,
            measure: measure.name.to_string(),
        })
    }

    /// A set of assignments in the library's ids; `None` for a line whose player is an extra not yet engaged.
    pub fn named<'a>(
        &'a self,
        assignments: &'a Assignments,
    ) -> impl Iterator<Item = (&'a LineRef, Option<&'a PlayerId>)> {
        let player = |line: LineNo| assignments.player(line).and_then(|p| self.players.find(p));
        self.lines.entries().map(move |(i, line)| (line, player(i)))
    }

    /// The lines that wait for an extra not yet engaged, each with which extra it is, from 1.
    pub fn waiting<'a>(&'a self, assignments: &'a Assignments) -> impl Iterator<Item = (&'a LineRef, usize)> {
        let people = self.players.len();
        let extra = move |line: LineNo| assignments.player(line)?.0.checked_sub(people).map(|nth| nth + 1);
        self.lines.entries().filter_map(move |(i, line)| Some((line, extra(i)?)))
    }
}

/// What a line is played on, else its own name: what people call it when they speak of who plays it.
pub fn line_name(library: &Library, programme: &Programme, at: &LineRef) -> String {
    let given = programme.assignment(at);
    let names = crate::sets::instrument_words(library, &given.instruments);
    match library.line(at) {
        Some((_, line)) if names.is_empty() => library.line_name(line),
        _ => names.join(" + "),
    }
}

/// "Lanterns on the Estuary II".
pub fn where_it_stands(library: &Library, at: &LineRef) -> String {
    let Some((work, line)) = library.line(at) else { return String::new() };
    let number = work.movement(&line.movement).map(|m| m.number.as_str()).unwrap_or_default();
    if work.movements.len() < 2 { work.title.clone() } else { format!("{} {number}", work.title) }
}

/// What the problem's numbers stand for.
#[derive(Default)]
struct Keys<'a> {
    instruments: Vec<InstrumentId>,
    beaters: Vec<InHands>,
    strands: Vec<Strand>,
    parts: Vec<PartRef>,
    /// How the players of the lines stand, each line's together.
    posts: Vec<Post<'a>>,
}

/// What is in a player's hands.
#[derive(Clone, PartialEq)]
struct InHands {
    beaters: BTreeSet<BeaterId>,
    holds: BTreeSet<Hold>,
}

/// What should stay with one player through a work: the lines on one instrument, else of one name.
#[derive(Clone, PartialEq)]
struct Strand {
    work: WorkId,
    on: String,
}

impl<'a> Keys<'a> {
    fn line(&mut self, taken: &'a AssignedLine, start_s: f64) -> Line {
        let first = self.posts.len();
        self.posts.extend(taken.posts());
        let seconds = |us: i64| start_s + us as f64 / 1e6;
        let mut passages: List<_, Passage> = List::new();
        for span in &taken.spans {
            let of_line = self.posts.get(first..).unwrap_or_default();
            let row = |stance: &Stance| {
                of_line.iter().position(|post| post.stance == stance).map(|nth| StanceNo(first + nth))
            };
            let stances = row(&span.begins).zip(row(&span.ends));
            passages.push(Passage {
                from_s: seconds(span.from_us),
                to_s: seconds(span.to_us),
                place: None,
                beaters: Some(self.in_hands(taken, &span.begins)),
                ends_with: Some(self.in_hands(taken, &span.ends)),
                stances: stances.map(|(begins, ends)| Stances { begins, ends }),
            });
        }
        passages.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
        let on = taken.instruments.first().map_or_else(|| taken.name.clone(), ToString::to_string);
        let strand: StrandNo = key(&mut self.strands, &Strand { work: taken.line.work.clone(), on });
        Line {
            instruments: taken.instruments.iter().map(|id| key(&mut self.instruments, id)).collect(),
            visits: taken
                .visits
                .iter()
                .map(|visit| Visit {
                    instrument: key(&mut self.instruments, &visit.instrument),
                    from_s: seconds(visit.from_us),
                    to_s: seconds(visit.to_us),
                })
                .collect(),
            passages,
            strand: Some(strand),
            ..Line::default()
        }
    }

    fn in_hands(&mut self, taken: &AssignedLine, stance: &Stance) -> BeatersNo {
        key(&mut self.beaters, &InHands { beaters: taken.beaters.clone(), holds: stance.holds.clone() })
    }

    /// What lies between any two stances, as the timetable says.
    fn needs(&self, timetable: &Timetable) -> List<StanceNo, List<StanceNo, Need>> {
        let row = |from: &Post<'a>| self.posts.iter().map(|to| timetable.need(*from, *to)).collect();
        self.posts.iter().map(row).collect()
    }
}

fn key<N: Number, T: PartialEq + Clone>(known: &mut Vec<T>, one: &T) -> N {
    N::of(known.iter().position(|k| k == one).unwrap_or_else(|| {
        known.push(one.clone());
        known.len() - 1
    }))
}

/// When each line's movement starts, in seconds of the programme.
fn starts(timetable: &Timetable) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::new();
    let (mut start, mut end) = (0.0, 0.0_f64);
    let mut before: Option<&AssignedLine> = None;
    for taken in &timetable.lines {
        if before.is_some_and(|b| !b.same_movement(taken)) {
            start = (end + BETWEEN_MOVEMENTS_S).ceil();
            end = start;
        }
        before = Some(taken);
        end = taken.spans.iter().map(|s| start + s.to_us as f64 / 1e6).fold(end, f64::max);
        out.push(start);
    }
    out
}

fn together(timetable: &Timetable) -> Vec<(LineNo, LineNo)> {
    let lines: List<LineNo, &AssignedLine> = timetable.lines.iter().collect();
    let others = |a: LineNo| {
        let with = lines.entries().filter(move |(b, _)| a < *b);
        with.filter(|(_, other)| lines[a].together.contains(&other.line))
            .map(|(b, _)| (a, b))
            .collect::<Vec<_>>()
    };
    lines.numbers().flat_map(others).collect()
}

/// Whether a line is one of the timpani: tuned drums that are not retuned are for anybody.
pub fn is_timpani(library: &Library, taken: &AssignedLine) -> bool {
    taken.kind.as_ref().is_some_and(|kind| crate::sets::is_for_timpani(library, kind))
}
