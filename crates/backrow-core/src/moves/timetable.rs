//! The timetable of a programme: every line with its player, place and seconds.

use super::stance::{At, Ends, Post, Stance, Stances};
use crate::id::{BeaterId, InstrumentId, KindId, MovementId, PlayerId, WorkId};
use crate::library::Library;
use crate::music::MeasureName;
use crate::seconds::{self, Change, Habits, Leg, Need, micros};
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
pub struct AssignedLine {
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
    /// When.
    pub spans: Vec<Span>,
    /// When single notes of it are played on other instruments.
    pub visits: Vec<Visit>,
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
    /// How its player stands at its first stroke.
    pub begins: Arc<Stance>,
    /// How its player stands at its last stroke.
    pub ends: Arc<Stance>,
}

/// A stretch in which single notes of a line are played on an instrument that is none of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Visit {
    /// The instrument.
    pub instrument: InstrumentId,
    /// From its first note there, microseconds from the start of the movement.
    pub from_us: i64,
    /// To the next note elsewhere, else to the end of the passage.
    pub to_us: i64,
    /// The measure of its first note.
    pub from: MeasureName,
}

/// A way that a player goes from one instrument to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Route<'a> {
    /// The instrument that is left.
    pub from: &'a InstrumentId,
    /// The one that is come to.
    pub to: &'a InstrumentId,
    /// The way between the two standing places.
    pub way: &'a Way,
}

/// Every line of a programme in playing order, with the section's habits and the ways of the setup.
#[derive(Clone, Debug, PartialEq)]
pub struct Timetable {
    /// In order of works, movements and lines. A work that stands twice in a programme stands once here.
    pub lines: Vec<AssignedLine>,
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
                    let mut taken = AssignedLine::of(library, programme, work, line);
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
        let here = |taken: &&AssignedLine| taken.line.work == *work && taken.movement == *movement;
        Self { lines: self.lines.iter().filter(here).cloned().collect(), ..self.clone() }
    }

    /// One of its lines.
    pub fn line(&self, at: &LineRef) -> Option<&AssignedLine> {
        self.lines.iter().find(|taken| taken.line == *at)
    }

    /// The section's habits.
    pub const fn habits(&self) -> &Habits {
        &self.habits
    }

    /// A passage at one end of a move.
    pub fn at(&self, edge: &Edge) -> Option<At<'_>> {
        Some(self.line(&edge.line)?.at(edge.passage))
    }

    /// What a player must do from one stance to another, whoever it is.
    ///
    /// The same place: the same line, or an instrument in common. Else the shortest way between a standing place of the
    /// one and a standing place of the other; the section's default distance when there is none on the floor. What is to do within a
    /// line is told from stroke to stroke, by [`Self::asides`].
    pub fn need(&self, from: Post<'_>, to: Post<'_>) -> Need {
        if from.taken.line == to.taken.line {
            return Need::new(&self.habits, Leg::Here, None);
        }
        let differ = from.taken.beaters != to.taken.beaters;
        let change = Change::between(&self.habits, differ, &from.stance.holds, &to.stance.holds);
        Need::new(&self.habits, self.leg(from, to), change)
    }

    /// What the player of a line must do from one of its strokes to another, with the same beaters.
    pub(super) fn need_within(&self, from: Post<'_>, to: Post<'_>) -> Need {
        let change = Change::between(&self.habits, false, &from.stance.holds, &to.stance.holds);
        Need::new(&self.habits, self.leg(from, to), change)
    }

    fn leg(&self, from: Post<'_>, to: Post<'_>) -> Leg {
        if from.stance.instruments.iter().any(|id| to.stance.instruments.contains(id)) {
            return Leg::Here;
        }
        self.quickest(from, to).map_or(Leg::Assumed, |route| Leg::Measured(route.way.walk))
    }

    /// The quickest way between a standing place of the one and a standing place of the other.
    fn quickest<'a>(&'a self, from: Post<'a>, to: Post<'a>) -> Option<Route<'a>> {
        let ways = self.ways_of(&to.taken.line.work);
        let (leaves, comes) = (&from.stance.instruments, &to.stance.instruments);
        let pairs = leaves.iter().flat_map(|a| comes.iter().map(move |b| (a, b)));
        let known = pairs.filter_map(|(a, b)| {
            let way = ways.way((a, from.taken.side_at(a)), (b, to.taken.side_at(b)))?;
            Some(Route { from: a, to: b, way })
        });
        known.min_by_key(|route| Need::new(&self.habits, Leg::Measured(route.way.walk), None).us())
    }

    /// The way that a player goes on a move, with the instruments that it joins. `None` when there is none on the floor.
    pub fn route(&self, step: &Move) -> Option<Route<'_>> {
        self.quickest(self.at(&step.from)?.leaves()?, self.at(&step.to)?.comes()?)
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
            let from = self.at(&step.from).and_then(|at| at.leaves());
            let to = self.at(&step.to).and_then(|at| at.comes());
            let (Some(from), Some(to)) = (from, to) else { continue };
            for a in &from.stance.instruments {
                pairs.extend(to.stance.instruments.iter().map(|b| (a.clone(), b.clone())));
            }
        }
        pairs
    }

    /// The move from a passage of one line to a passage of another; `None` for passages that are not there.
    pub fn between(&self, from: At<'_>, to: At<'_>) -> Option<Move> {
        let (first, second) = (from.span()?, to.span()?);
        let edge = |at: At<'_>, measure: &MeasureName| Edge {
            line: at.taken.line.clone(),
            passage: at.passage,
            measure: measure.clone(),
        };
        Some(Move {
            from: edge(from, &first.to),
            to: edge(to, &second.from),
            has_us: second.from_us.saturating_sub(first.to_us),
            at_once: first.from_us == second.from_us,
            need: self.need(from.leaves()?, to.comes()?),
        })
    }

    /// The passages of a player in playing order.
    pub fn passages(&self, player: &PlayerId) -> Vec<PassageRef> {
        let order = self.ordered(|taken| taken.player.as_ref() == Some(player));
        order.into_iter().map(PassageRef::of).collect()
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
        let arrival = |(nth, to): (usize, &At<'_>)| {
            let here = || order.iter().take(nth).rev().take_while(|from| from.taken.same_movement(to.taken));
            let last_end = here().next().map_or(i64::MIN, At::end_us);
            let before =
                || here().enumerate().filter(move |(back, from)| *back == 0 || from.end_us() > last_end);
            let is_apart = |from: &At<'_>| !from.taken.together.contains(&to.taken.line);
            let apart = before().filter(|(_, from)| is_apart(from));
            let apart = apart.filter_map(|(_, from)| self.between(*from, *to)).min_by_key(Move::spare_us);
            let apart = apart.or_else(|| self.past_together(here(), to));
            let together = apart.is_none() && here().next().is_some();
            let all = || before().filter_map(|(_, from)| self.between(*from, *to)).min_by_key(Move::spare_us);
            let ends_last = here().max_by_key(|from| from.end_us());
            Arrival {
                to: PassageRef::of(*to),
                tightest: apart.or_else(all),
                since: ends_last.and_then(|from| self.between(*from, *to)),
                together,
            }
        };
        order.iter().enumerate().map(arrival).collect()
    }

    /// The move to a passage from what was played before all that is played together with it: where both begin at one moment, and
    /// wherever there is no time for it, whoever is in time for the other may be too late for this one.
    fn past_together<'a>(&self, before: impl Iterator<Item = &'a At<'a>>, to: &At<'_>) -> Option<Move> {
        let is_with = |from: &&At<'_>| from.taken.together.contains(&to.taken.line);
        let begin = |at: &At<'_>| at.span().map(|span| span.from_us);
        let mut at_one_moment = true;
        let mut before = before.skip_while(|from| {
            let with = is_with(from);
            at_one_moment &= !with || begin(from) == begin(to);
            with
        });
        let step = self.between(*before.next()?, *to)?;
        (at_one_moment || !step.fits()).then_some(step)
    }

    /// Every pair of passages of two lines that one player cannot do both, in order of time.
    pub fn conflicts(&self, one: &AssignedLine, other: &AssignedLine) -> Vec<Move> {
        let apart = one.line != other.line && one.same_movement(other);
        if !apart || one.together.contains(&other.line) {
            return Vec::new();
        }
        let order = ordered(&[one, other]);
        let most = self.longest(one, other).max(self.longest(other, one));
        let mut found = Vec::new();
        for (nth, from) in order.iter().enumerate() {
            let Some(end) = from.span().map(|span| span.to_us) else { continue };
            for to in order.iter().skip(nth + 1) {
                let Some(begin) = to.span().map(|span| span.from_us) else { continue };
                if begin.saturating_sub(end) >= most && begin > end {
                    break;
                }
                if from.taken.line != to.taken.line {
                    found.extend(self.between(*from, *to).filter(|step| !step.fits()));
                }
            }
        }
        found
    }

    /// The most that any move from one line to another needs, microseconds.
    fn longest(&self, from: &AssignedLine, to: &AssignedLine) -> i64 {
        let comes = to.posts();
        let needs = from.posts().into_iter().flat_map(|a| comes.iter().map(move |b| self.need(a, *b).us()));
        needs.max().unwrap_or(0)
    }

    fn ordered(&self, which: impl Fn(&AssignedLine) -> bool) -> Vec<At<'_>> {
        let mut all: Vec<At<'_>> = Vec::new();
        let mut start = 0;
        while let Some(first) = self.lines.get(start) {
            let here: Vec<&AssignedLine> =
                self.lines.iter().skip(start).take_while(|taken| taken.same_movement(first)).collect();
            start += here.len().max(1);
            let mine: Vec<&AssignedLine> = here.into_iter().filter(|taken| which(taken)).collect();
            all.extend(ordered(&mine));
        }
        all
    }
}

/// The passages of lines of one movement in playing order; of those that begin and end together the earlier line's first.
pub(super) fn ordered<'a>(lines: &[&'a AssignedLine]) -> Vec<At<'a>> {
    let passages = |taken: &&'a AssignedLine| {
        let taken = *taken;
        (0..taken.spans.len()).map(move |passage| taken.at(passage))
    };
    let mut order: Vec<At<'a>> = lines.iter().flat_map(passages).collect();
    order.sort_by_key(|at| at.span().map(|span| (span.from_us, span.to_us)));
    order
}

impl PassageRef {
    fn of(at: At<'_>) -> Self {
        Self { line: at.taken.line.clone(), passage: at.passage }
    }
}

impl AssignedLine {
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
        let stances = Stances::of(library, line, &given);
        let visits = stances.visits();
        let spans =
            line.passages.iter().zip(stances.of_passages()).map(|(passage, Ends { begins, ends })| {
                let from_us = micros(passage.from_s);
                Span {
                    begins,
                    ends,
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
            spans: spans.collect(),
            visits,
            player: given.player,
            instruments: given.instruments,
            beaters: given.beaters.into_iter().collect(),
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
