//! The timetable of a programme: every line with its player, place and seconds.

use crate::id::{BeaterId, InstrumentId, KindId, MovementId, PlayerId, WorkId};
use crate::library::Library;
use crate::music::MeasureName;
use crate::seconds::{self, Change, Habits, Hold, Leg, Need, micros};
use crate::stage::{Side, Walks, Way, played_across};
use crate::week::{LineRef, Programme};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// A passage of a line in a programme.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PassageRef {
    /// The line.
    pub line: LineRef,
    /// The passage within the line, from 0.
    pub passage: usize,
}

/// The edge of a passage that a move touches: the end of the one, the beginning of the other.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// The line.
    pub line: LineRef,
    /// The passage within the line, from 0.
    pub passage: usize,
    /// The measure at that edge, as printed.
    pub measure: MeasureName,
}

/// What one player has and needs between two passages of a programme.
pub type Move = seconds::Move<Edge>;

/// How a player comes to a passage.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrival {
    /// The passage.
    pub to: PassageRef,
    /// The move with the least to spare; `None` at the first passage of a movement.
    pub tightest: Option<Move>,
    /// The move from the passage that ended last, from which a player counts the rest.
    pub since: Option<Move>,
    /// Whether all that was played before it is playable together with it, so that it asks for no move.
    pub together: bool,
}

/// One line of a programme with what it was given, ready for comparing.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// The line.
    pub line: LineRef,
    /// Its movement.
    pub movement: MovementId,
    /// What is asked for.
    pub kind: Option<KindId>,
    /// The line's name, in small letters.
    pub name: String,
    /// Who plays it.
    pub player: Option<PlayerId>,
    /// On what.
    pub instruments: Vec<InstrumentId>,
    /// With what.
    pub beaters: BTreeSet<BeaterId>,
    /// What of it takes longer to take up and put down.
    pub holds: BTreeSet<Hold>,
    /// When.
    pub spans: Vec<Span>,
    /// Lines of its work that one player can play at the same time.
    pub together: BTreeSet<LineRef>,
    /// Those of its instruments at which its player stands across, as another plays at the playing side.
    pub across: BTreeSet<InstrumentId>,
}

/// One passage in whole microseconds from the start of the movement.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// Begins.
    pub from_us: i64,
    /// Ends; not before it begins.
    pub to_us: i64,
    /// First measure.
    pub from: MeasureName,
    /// Last measure.
    pub to: MeasureName,
}

/// Every line of a programme in playing order, with the section's habits and the ways of the setup.
#[derive(Clone, Debug, PartialEq)]
pub struct Timetable {
    /// In order of works, movements and lines. A work that stands twice in a programme stands once here.
    pub lines: Vec<Taken>,
    habits: Habits,
    walks: Arc<Walks>,
    /// The ways of works that have a setup of their own.
    of_works: BTreeMap<WorkId, Arc<Walks>>,
}

impl Timetable {
    /// The timetable of a programme; `walks` are those of its setup ([`Walks::of`]).
    pub(crate) fn of(library: &Library, programme: &Programme, walks: impl Into<Arc<Walks>>) -> Self {
        let mut across = played_across(library, programme);
        let mut lines = Vec::new();
        for (_, id) in programme.works_in_order() {
            let Some(work) = library.works.get(id) else { continue };
            for movement in &work.movements {
                for line in work.lines_of(&movement.id) {
                    let mut taken = Taken::of(library, programme, work, line);
                    taken.across = across.remove(&taken.line).unwrap_or_default();
                    lines.push(taken);
                }
            }
        }
        Self { lines, habits: library.orchestra.habits, walks: walks.into(), of_works: BTreeMap::new() }
    }

    /// The same with other ways for works that have a setup of their own.
    #[must_use]
    pub(crate) fn with_own_ways(self, of_works: BTreeMap<WorkId, Arc<Walks>>) -> Self {
        Self { of_works, ..self }
    }

    /// The ways on the floor that a work is played on.
    pub fn ways_of(&self, work: &WorkId) -> &Walks {
        self.of_works.get(work).unwrap_or(&self.walks)
    }

    /// The same with the lines of one movement alone.
    #[must_use]
    pub fn of_movement(&self, work: &WorkId, movement: &MovementId) -> Self {
        let here = |taken: &&Taken| taken.line.work == *work && taken.movement == *movement;
        Self { lines: self.lines.iter().filter(here).cloned().collect(), ..self.clone() }
    }

    /// One of its lines.
    pub fn line(&self, at: &LineRef) -> Option<&Taken> {
        self.lines.iter().find(|taken| taken.line == *at)
    }

    /// The section's habits.
    pub const fn habits(&self) -> &Habits {
        &self.habits
    }

    /// What a player must do from one line to another, whoever it is.
    ///
    /// The same place: the same line, or an instrument in common. Else the shortest way between a standing place of the
    /// one and a standing place of the other; the section's default distance when there is none on the floor.
    pub fn need(&self, from: &Taken, to: &Taken) -> Need {
        let same_line = from.line == to.line;
        let differ = from.beaters != to.beaters;
        let change = Change::between(&self.habits, differ, &from.holds, &to.holds).filter(|_| !same_line);
        if same_line || from.instruments.iter().any(|id| to.instruments.contains(id)) {
            return Need::new(&self.habits, Leg::Here, change);
        }
        let leg = self.way(from, to).map_or(Leg::Assumed, |(.., way)| Leg::Measured(way.walk));
        Need::new(&self.habits, leg, change)
    }

    /// What the player of a line must do from some of the instruments that it is played on to others, with the same beaters.
    pub(super) fn need_within(&self, taken: &Taken, from: &[InstrumentId], to: &[InstrumentId]) -> Need {
        if from.iter().any(|id| to.contains(id)) {
            return Need::new(&self.habits, Leg::Here, None);
        }
        let ways = self.ways_of(&taken.line.work);
        let pairs = from.iter().flat_map(|a| to.iter().map(move |b| (a, b)));
        let known =
            pairs.filter_map(|(a, b)| Some(ways.way((a, taken.side_at(a)), (b, taken.side_at(b)))?.walk));
        let needs = known.map(|walk| Need::new(&self.habits, Leg::Measured(walk), None));
        needs.min_by_key(Need::us).unwrap_or_else(|| Need::new(&self.habits, Leg::Assumed, None))
    }

    /// The way that a player goes from one line to another, with the instruments that it joins: the quickest between a
    /// standing place of the one and a standing place of the other. `None` when there is none on the floor.
    pub fn way<'a>(
        &'a self,
        from: &'a Taken,
        to: &'a Taken,
    ) -> Option<(&'a InstrumentId, &'a InstrumentId, &'a Way)> {
        let ways = self.ways_of(&to.line.work);
        let pairs = from.instruments.iter().flat_map(|a| to.instruments.iter().map(move |b| (a, b)));
        let known =
            pairs.filter_map(|(a, b)| Some((a, b, ways.way((a, from.side_at(a)), (b, to.side_at(b)))?)));
        known.min_by_key(|(.., way)| Need::new(&self.habits, Leg::Measured(way.walk), None).us())
    }

    /// The same lines with other ways; works with a setup of their own keep theirs.
    pub(crate) fn set_walks(&mut self, walks: impl Into<Arc<Walks>>) {
        self.walks = walks.into();
    }

    /// The pairs of instruments between which somebody goes.
    pub(crate) fn walked(&self) -> BTreeSet<(InstrumentId, InstrumentId)> {
        let players: BTreeSet<&PlayerId> =
            self.lines.iter().filter_map(|taken| taken.player.as_ref()).collect();
        let mut pairs = BTreeSet::new();
        for step in players.into_iter().flat_map(|player| self.moves(player)) {
            let (Some(from), Some(to)) = (self.line(&step.from.line), self.line(&step.to.line)) else {
                continue;
            };
            for a in &from.instruments {
                pairs.extend(to.instruments.iter().map(|b| (a.clone(), b.clone())));
            }
        }
        pairs
    }

    /// The move from a passage of one line to a passage of another; `None` for passages that are not there.
    pub fn between(&self, from: (&Taken, usize), to: (&Taken, usize)) -> Option<Move> {
        let (first, second) = (from.0.spans.get(from.1)?, to.0.spans.get(to.1)?);
        Some(Move {
            from: Edge { line: from.0.line.clone(), passage: from.1, measure: first.to.clone() },
            to: Edge { line: to.0.line.clone(), passage: to.1, measure: second.from.clone() },
            has_us: second.from_us.saturating_sub(first.to_us),
            at_once: first.from_us == second.from_us,
            need: self.need(from.0, to.0),
        })
    }

    /// The passages of a player in playing order.
    pub fn passages(&self, player: &PlayerId) -> Vec<PassageRef> {
        let order = self.ordered(|taken| taken.player.as_ref() == Some(player));
        order.into_iter().map(|(taken, passage)| PassageRef { line: taken.line.clone(), passage }).collect()
    }

    /// What a player has and needs before each passage of a movement but its first: the move with the least to spare from
    /// what was played before it, which is the last passage or a longer one that still sounded then. Lines that are
    /// playable together ask for no move between them.
    pub fn moves(&self, player: &PlayerId) -> Vec<Move> {
        let arrivals = self.arrivals(player).into_iter().filter(|arrival| !arrival.together);
        arrivals.filter_map(|arrival| arrival.tightest).collect()
    }

    /// Every passage of a player in playing order, with how the player comes to it; [`Self::moves`] are those among them
    /// that ask for a move.
    pub fn arrivals(&self, player: &PlayerId) -> Vec<Arrival> {
        let order = self.ordered(|taken| taken.player.as_ref() == Some(player));
        let arrival = |(nth, to): (usize, &(&Taken, usize))| {
            let here = || order.iter().take(nth).rev().take_while(|from| from.0.same_movement(to.0));
            let last_end = here().next().map_or(i64::MIN, |from| end_us(*from));
            let before =
                || here().enumerate().filter(move |(back, from)| *back == 0 || end_us(**from) > last_end);
            let apart = before().filter(|(_, from)| !from.0.together.contains(&to.0.line));
            let apart = apart.filter_map(|(_, from)| self.between(*from, *to)).min_by_key(Move::spare_us);
            let together = apart.is_none() && here().next().is_some();
            let all = || before().filter_map(|(_, from)| self.between(*from, *to)).min_by_key(Move::spare_us);
            let ends_last = here().max_by_key(|from| end_us(**from));
            Arrival {
                to: PassageRef { line: to.0.line.clone(), passage: to.1 },
                tightest: apart.or_else(all),
                since: ends_last.and_then(|from| self.between(*from, *to)),
                together,
            }
        };
        order.iter().enumerate().map(arrival).collect()
    }

    /// Every pair of passages of two lines that one player cannot do both, in order of time.
    pub fn conflicts(&self, one: &Taken, other: &Taken) -> Vec<Move> {
        let apart = one.line != other.line && one.same_movement(other);
        if !apart || one.together.contains(&other.line) {
            return Vec::new();
        }
        let order = self.ordered_of(&[one, other]);
        let most = self.need(one, other).us().max(self.need(other, one).us());
        let mut found = Vec::new();
        for (at, from) in order.iter().enumerate() {
            let Some(end) = from.0.spans.get(from.1).map(|span| span.to_us) else { continue };
            for to in order.iter().skip(at + 1) {
                let Some(begin) = to.0.spans.get(to.1).map(|span| span.from_us) else { continue };
                if begin.saturating_sub(end) >= most && begin > end {
                    break;
                }
                if from.0.line != to.0.line {
                    found.extend(self.between(*from, *to).filter(|step| !step.fits()));
                }
            }
        }
        found
    }

    fn ordered(&self, which: impl Fn(&Taken) -> bool) -> Vec<(&Taken, usize)> {
        let mut all: Vec<(&Taken, usize)> = Vec::new();
        let mut start = 0;
        while let Some(first) = self.lines.get(start) {
            let here: Vec<&Taken> =
                self.lines.iter().skip(start).take_while(|taken| taken.same_movement(first)).collect();
            start += here.len().max(1);
            let mine: Vec<&Taken> = here.into_iter().filter(|taken| which(taken)).collect();
            all.extend(self.ordered_of(&mine));
        }
        all
    }

    #[expect(clippy::unused_self, reason = "reads as a question to the timetable beside its sister")]
    pub(super) fn ordered_of<'a>(&self, lines: &[&'a Taken]) -> Vec<(&'a Taken, usize)> {
        let mut order: Vec<(i64, i64, usize, usize, &'a Taken)> = Vec::new();
        for (index, taken) in lines.iter().enumerate() {
            for (passage, span) in taken.spans.iter().enumerate() {
                order.push((span.from_us, span.to_us, index, passage, taken));
            }
        }
        order.sort_by_key(|(from, to, index, passage, _)| (*from, *to, *index, *passage));
        order.into_iter().map(|(_, _, _, passage, taken)| (taken, passage)).collect()
    }
}

/// When a passage ends, microseconds from the start of its movement.
fn end_us((taken, passage): (&Taken, usize)) -> i64 {
    taken.spans.get(passage).map_or(i64::MIN, |span| span.to_us)
}

impl Taken {
    /// On which side of one of its instruments its player stands.
    pub fn side_at(&self, instrument: &InstrumentId) -> Side {
        if self.across.contains(instrument) { Side::Far } else { Side::Playing }
    }

    fn of(
        library: &Library,
        programme: &Programme,
        work: &crate::music::Work,
        line: &crate::music::Line,
    ) -> Self {
        let at = LineRef { work: work.id.clone(), line: line.id.clone() };
        let given = programme.assignment(&at);
        let spans = line.passages.iter().map(|passage| {
            let from_us = micros(passage.from_s);
            Span {
                from_us,
                to_us: micros(passage.to_s).max(from_us),
                from: passage.from.clone(),
                to: passage.to.clone(),
            }
        });
        let together = work.lines.iter().filter(|other| work.are_together(&line.id, &other.id));
        let name = line.kind.as_ref().map_or_else(|| library.line_name(line), |kind| library.kind_name(kind));
        Self {
            movement: line.movement.clone(),
            kind: line.kind.clone(),
            name,
            player: given.player,
            instruments: given.instruments,
            holds: super::holds::of(library, line, &given.beaters),
            beaters: given.beaters.into_iter().collect(),
            spans: spans.collect(),
            together: together
                .map(|other| LineRef { work: work.id.clone(), line: other.id.clone() })
                .collect(),
            across: BTreeSet::new(),
            line: at,
        }
    }

    /// Which of the kinds that it asks for, and that it is played on, can be very loud at arm's length.
    pub fn loud_kinds<'a>(&'a self, library: &'a Library) -> BTreeSet<&'a KindId> {
        let played = self.instruments.iter().filter_map(|id| library.instruments.get(id));
        let kinds = self.kind.iter().chain(played.map(|thing| &thing.kind));
        kinds.filter(|kind| library.is_very_loud(kind)).collect()
    }

    /// Whether both stand in one movement of one work.
    pub fn same_movement(&self, other: &Self) -> bool {
        self.line.work == other.line.work && self.movement == other.movement
    }
}
