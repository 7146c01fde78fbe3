//! The timetable of a programme: every call with its player, place and seconds.

use super::need::{Need, micros};
use crate::id::{BeaterId, InstrumentId, KindId, MovementId, PlayerId, WorkId};
use crate::library::{Habits, Library};
use crate::music::MeasureName;
use crate::stage::{Plan, Walk, Walks};
use crate::week::{CallRef, Programme};
use std::collections::{BTreeMap, BTreeSet};

/// A passage of a call in a programme.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PassageRef {
    /// The call.
    pub call: CallRef,
    /// The passage within the call, from 0.
    pub passage: usize,
}

/// What one player has and needs between two passages.
#[derive(Clone, Debug, PartialEq)]
pub struct Move {
    /// The passage that begins first.
    pub from: PassageRef,
    /// The passage that follows.
    pub to: PassageRef,
    /// The measure that ends the first, as printed.
    pub from_measure: MeasureName,
    /// The measure that begins the second, as printed.
    pub to_measure: MeasureName,
    /// From the end of the first to the beginning of the second, microseconds; negative while both sound.
    pub has_us: i64,
    /// Whether both begin at one moment.
    pub at_once: bool,
    /// What is to be done in between.
    pub need: Need,
}

impl Move {
    /// Microseconds to spare; negative when seconds lack.
    pub const fn spare_us(&self) -> i64 {
        self.has_us.saturating_sub(self.need.us())
    }

    /// Whether one player can do it: the gap is at least the need, and they do not begin at one moment.
    pub const fn fits(&self) -> bool {
        self.spare_us() >= 0 && !self.at_once
    }

    /// Whether both sound at once, so that no speed would help.
    pub const fn both_sound(&self) -> bool {
        self.has_us < 0 || self.at_once
    }

    /// The gap in seconds.
    pub fn has_s(&self) -> f64 {
        self.has_us as f64 / 1e6
    }

    /// The need in seconds.
    pub fn needs_s(&self) -> f64 {
        self.need.us() as f64 / 1e6
    }
}

/// One call of a programme with what it was given, ready for comparing.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// The call.
    pub call: CallRef,
    /// Its movement.
    pub movement: MovementId,
    /// What is asked for.
    pub kind: Option<KindId>,
    /// The call's name, in small letters.
    pub name: String,
    /// Who plays it.
    pub player: Option<PlayerId>,
    /// On what.
    pub instruments: Vec<InstrumentId>,
    /// With what.
    pub beaters: BTreeSet<BeaterId>,
    /// When.
    pub spans: Vec<Span>,
    /// Calls of its work that one player can play at the same time.
    pub together: BTreeSet<CallRef>,
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

/// Every call of a programme in playing order, with the section's habits and the ways of the setup.
#[derive(Clone, Debug, PartialEq)]
pub struct Timetable {
    /// In order of works, movements and calls. A work that stands twice in a programme stands once here.
    pub calls: Vec<Taken>,
    habits: Habits,
    walks: Walks,
    /// The ways of works that have a setup of their own.
    of_works: BTreeMap<WorkId, Walks>,
}

impl Timetable {
    /// The timetable of a programme; `walks` are those of its setup ([`Walks::of`]).
    pub fn of(library: &Library, programme: &Programme, walks: Walks) -> Self {
        let mut calls = Vec::new();
        let mut seen: BTreeSet<&WorkId> = BTreeSet::new();
        for id in programme.works.iter().filter(|id| seen.insert(id)) {
            let Some(work) = library.works.get(id) else { continue };
            for movement in &work.movements {
                for call in work.calls_of(&movement.id) {
                    calls.push(Taken::of(library, programme, work, call));
                }
            }
        }
        Self { calls, habits: library.house.habits, walks, of_works: BTreeMap::new() }
    }

    /// The timetable of a programme with the ways of its own setup in its own venue.
    pub fn on_its_floor(library: &Library, programme: &Programme) -> Self {
        let venue = programme.venue.as_ref().and_then(|id| library.venues.get(id));
        let venue = venue.map(|venue| &**venue);
        let walks = |programme: &Programme| Walks::of(&Plan::of(library, programme), venue);
        let own = |work: &WorkId| (work.clone(), walks(&programme.for_work(work)));
        let of_works = programme.setup.changes.keys().map(own).collect();
        Self { of_works, ..Self::of(library, programme, walks(programme)) }
    }

    /// One of its calls.
    pub fn call(&self, at: &CallRef) -> Option<&Taken> {
        self.calls.iter().find(|taken| taken.call == *at)
    }

    /// The section's habits.
    pub const fn habits(&self) -> &Habits {
        &self.habits
    }

    /// What a player must do from one call to another, whoever it is.
    ///
    /// The same place: the same call, or an instrument in common. Else the shortest way between a standing place of the
    /// one and a standing place of the other; the section's default distance when there is none on the floor.
    pub fn need(&self, from: &Taken, to: &Taken) -> Need {
        let same_call = from.call == to.call;
        let change = !same_call && from.beaters != to.beaters;
        if same_call || from.instruments.iter().any(|id| to.instruments.contains(id)) {
            return Need::new(&self.habits, None, false, change);
        }
        let ways = self.of_works.get(&to.call.work).unwrap_or(&self.walks);
        let walks = from
            .instruments
            .iter()
            .flat_map(|a| to.instruments.iter().filter_map(move |b| ways.between(a, b)));
        let shortest = walks.min_by(|a, b| {
            let cost = |walk: &Walk| Need::new(&self.habits, Some(*walk), false, false).us();
            cost(a).cmp(&cost(b))
        });
        let stand_in = Walk { metres: self.habits.default_distance_m.max(0.0), steps: 0 };
        Need::new(&self.habits, Some(shortest.unwrap_or(stand_in)), shortest.is_none(), change)
    }

    /// The same calls with other ways; works with a setup of their own keep theirs.
    pub fn set_walks(&mut self, walks: Walks) {
        self.walks = walks;
    }

    /// The pairs of instruments between which somebody goes.
    pub fn walked(&self) -> BTreeSet<(InstrumentId, InstrumentId)> {
        let players: BTreeSet<&PlayerId> =
            self.calls.iter().filter_map(|taken| taken.player.as_ref()).collect();
        let mut pairs = BTreeSet::new();
        for step in players.into_iter().flat_map(|player| self.moves(player)) {
            let (Some(from), Some(to)) = (self.call(&step.from.call), self.call(&step.to.call)) else {
                continue;
            };
            for a in &from.instruments {
                pairs.extend(to.instruments.iter().map(|b| (a.clone(), b.clone())));
            }
        }
        pairs
    }

    /// The move from a passage of one call to a passage of another; `None` for passages that are not there.
    pub fn between(&self, from: (&Taken, usize), to: (&Taken, usize)) -> Option<Move> {
        let (first, second) = (from.0.spans.get(from.1)?, to.0.spans.get(to.1)?);
        Some(Move {
            from: PassageRef { call: from.0.call.clone(), passage: from.1 },
            to: PassageRef { call: to.0.call.clone(), passage: to.1 },
            from_measure: first.to.clone(),
            to_measure: second.from.clone(),
            has_us: second.from_us.saturating_sub(first.to_us),
            at_once: first.from_us == second.from_us,
            need: self.need(from.0, to.0),
        })
    }

    /// The passages of a player in playing order.
    pub fn passages(&self, player: &PlayerId) -> Vec<PassageRef> {
        let order = self.ordered(|taken| taken.player.as_ref() == Some(player));
        order.into_iter().map(|(taken, passage)| PassageRef { call: taken.call.clone(), passage }).collect()
    }

    /// What a player has and needs between each two passages that follow each other in a movement. Calls that are playable
    /// together ask for no move.
    pub fn moves(&self, player: &PlayerId) -> Vec<Move> {
        let order = self.ordered(|taken| taken.player.as_ref() == Some(player));
        let pairs = order.iter().zip(order.iter().skip(1));
        pairs
            .filter(|(a, b)| a.0.same_movement(b.0) && !a.0.together.contains(&b.0.call))
            .filter_map(|(a, b)| self.between(*a, *b))
            .collect()
    }

    /// Every pair of passages of two calls that one player cannot do both, in order of time.
    pub fn conflicts(&self, one: &Taken, other: &Taken) -> Vec<Move> {
        let apart = one.call != other.call && one.same_movement(other);
        if !apart || one.together.contains(&other.call) {
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
                if from.0.call != to.0.call {
                    found.extend(self.between(*from, *to).filter(|step| !step.fits()));
                }
            }
        }
        found
    }

    fn ordered(&self, which: impl Fn(&Taken) -> bool) -> Vec<(&Taken, usize)> {
        let mut all: Vec<(&Taken, usize)> = Vec::new();
        let mut start = 0;
        while let Some(first) = self.calls.get(start) {
            let here: Vec<&Taken> =
                self.calls.iter().skip(start).take_while(|taken| taken.same_movement(first)).collect();
            start += here.len().max(1);
            let mine: Vec<&Taken> = here.into_iter().filter(|taken| which(taken)).collect();
            all.extend(self.ordered_of(&mine));
        }
        all
    }

    #[expect(clippy::unused_self, reason = "reads as a question to the timetable beside its sister")]
    pub(super) fn ordered_of<'a>(&self, calls: &[&'a Taken]) -> Vec<(&'a Taken, usize)> {
        let mut order: Vec<(i64, i64, usize, usize, &'a Taken)> = Vec::new();
        for (index, taken) in calls.iter().enumerate() {
            for (passage, span) in taken.spans.iter().enumerate() {
                order.push((span.from_us, span.to_us, index, passage, taken));
            }
        }
        order.sort_by_key(|(from, to, index, passage, _)| (*from, *to, *index, *passage));
        order.into_iter().map(|(_, _, _, passage, taken)| (taken, passage)).collect()
    }
}

impl Taken {
    fn of(
        library: &Library,
        programme: &Programme,
        work: &crate::music::Work,
        call: &crate::music::Call,
    ) -> Self {
        let at = CallRef { work: work.id.clone(), call: call.id.clone() };
        let given = programme.assignment(&at);
        let spans = call.passages.iter().map(|passage| {
            let from_us = micros(passage.from_s);
            Span {
                from_us,
                to_us: micros(passage.to_s).max(from_us),
                from: passage.from.clone(),
                to: passage.to.clone(),
            }
        });
        let together = work.calls.iter().filter(|other| work.are_together(&call.id, &other.id));
        let name = call.kind.as_ref().map_or_else(|| library.call_name(call), |kind| library.kind_name(kind));
        Self {
            movement: call.movement.clone(),
            kind: call.kind.clone(),
            name,
            player: given.player,
            instruments: given.instruments,
            beaters: given.beaters.into_iter().collect(),
            spans: spans.collect(),
            together: together
                .map(|other| CallRef { work: work.id.clone(), call: other.id.clone() })
                .collect(),
            call: at,
        }
    }

    /// Whether both stand in one movement of one work.
    pub fn same_movement(&self, other: &Self) -> bool {
        self.call.work == other.call.work && self.movement == other.movement
    }
}
