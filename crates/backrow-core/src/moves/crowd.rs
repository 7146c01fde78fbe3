//! How many play one instrument at once, and whether that is more than it takes.

use super::timetable::{AssignedLine, Span, Timetable};
use crate::id::{InstrumentId, PlayerId};
use crate::library::Library;
use crate::music::MeasureName;
use std::collections::BTreeSet;

/// Lines of different players at one instrument at one moment: one more than can play it.
#[derive(Clone, Debug, PartialEq)]
pub struct Crowd<'a> {
    /// At what.
    pub instrument: &'a InstrumentId,
    /// Which lines, in playing order but for the one that was asked about, which stands first.
    pub lines: Vec<&'a AssignedLine>,
    /// The measure in which all of them first sound at once.
    pub measure: &'a MeasureName,
}

/// A line with who plays it, or would.
#[derive(Clone, Copy)]
struct Seat<'a> {
    taken: &'a AssignedLine,
    player: Option<&'a PlayerId>,
}

/// A stretch of time in which lines sound at once.
#[derive(Clone, Copy)]
struct Moment<'a> {
    /// Microseconds from the start of the movement.
    from_us: i64,
    to_us: i64,
    /// The measure in which it begins.
    measure: &'a MeasureName,
}

/// An instrument of a library.
#[derive(Clone, Copy)]
struct Thing<'l, 'a> {
    library: &'l Library,
    id: &'a InstrumentId,
}

/// Lines of different players that sound at once.
struct Sounding<'a> {
    seats: Vec<Seat<'a>>,
    /// The first of the other lines that was not tried with them yet.
    next: usize,
    moments: Vec<Moment<'a>>,
}

impl Timetable {
    /// Every crowd among the lines as they are given. A set of lines is told once, at the first of the instruments that they
    /// share.
    pub fn crowds(&self, library: &Library) -> Vec<Crowd<'_>> {
        let mut found: Vec<Crowd<'_>> = Vec::new();
        for (at, one) in self.lines.iter().enumerate() {
            let later = self.lines.iter().skip(at + 1).take_while(|other| other.same_movement(one));
            let later: Vec<Seat<'_>> = later.map(Seat::of).collect();
            for id in one.uses() {
                for crowd in crowds(Thing { library, id }, Seat::of(one), &later) {
                    if !found.iter().any(|known| known.lines == crowd.lines) {
                        found.push(crowd);
                    }
                }
            }
        }
        found
    }

    /// The first crowd that there would be if a player took a line; `None` where its instruments are free.
    pub fn too_many_at<'a>(
        &'a self,
        library: &Library,
        line: &'a AssignedLine,
        player: &'a PlayerId,
    ) -> Option<Crowd<'a>> {
        let others = self.lines.iter().filter(|other| other.same_movement(line));
        let others: Vec<Seat<'_>> = others.map(Seat::of).collect();
        let seat = Seat { taken: line, player: Some(player) };
        let crowd = |id: &'a InstrumentId| crowds(Thing { library, id }, seat, &others).into_iter().next();
        line.uses().find_map(crowd)
    }
}

impl AssignedLine {
    /// Every instrument that it takes at some time: its own, and those on which single notes of it are played.
    fn uses(&self) -> impl Iterator<Item = &InstrumentId> {
        let visited: BTreeSet<&InstrumentId> = self.visits.iter().map(|visit| &visit.instrument).collect();
        self.instruments.iter().chain(visited.into_iter().filter(|id| !self.instruments.contains(id)))
    }

    /// When it takes an instrument: as long as it is played where that is one of its own, else while its single notes are
    /// played there.
    fn moments_at<'a>(&'a self, instrument: &InstrumentId) -> Vec<Moment<'a>> {
        if self.instruments.contains(instrument) {
            let whole =
                |span: &'a Span| Moment { from_us: span.from_us, to_us: span.to_us, measure: &span.from };
            return self.spans.iter().map(whole).collect();
        }
        let there = self.visits.iter().filter(|visit| visit.instrument == *instrument);
        there.map(|v| Moment { from_us: v.from_us, to_us: v.to_us, measure: &v.from }).collect()
    }
}

impl<'a> Seat<'a> {
    fn of(taken: &'a AssignedLine) -> Self {
        Self { taken, player: taken.player.as_ref() }
    }

    /// Whether two people play the two lines. An open line is for somebody else too, unless one player can play both.
    fn is_beside(&self, other: &Self) -> bool {
        let open = self.player.is_none() || other.player.is_none();
        self.taken.line != other.taken.line
            && self.player != other.player
            && !(open && self.taken.together.contains(&other.taken.line))
    }
}

/// The sets of one line with others, one more than can play the instrument, that sound at one moment.
fn crowds<'a>(thing: Thing<'_, 'a>, first: Seat<'a>, others: &[Seat<'a>]) -> Vec<Crowd<'a>> {
    let instrument = thing.id;
    let moments = first.taken.moments_at(instrument);
    let mut sets = vec![Sounding { seats: vec![first], next: 0, moments }];
    for _ in 0..thing.library.hands(instrument) {
        sets = sets.iter().flat_map(|set| set.with_one_more(instrument, others)).collect();
    }
    let crowd = |set: Sounding<'a>| {
        let measure = set.moments.into_iter().min_by_key(|moment| moment.from_us)?.measure;
        Some(Crowd { instrument, lines: set.seats.into_iter().map(|seat| seat.taken).collect(), measure })
    };
    sets.into_iter().filter_map(crowd).collect()
}

impl<'a> Sounding<'a> {
    /// The same with each later line at the instrument that sounds at once with all of them.
    fn with_one_more(&self, instrument: &InstrumentId, others: &[Seat<'a>]) -> Vec<Self> {
        let more = others.iter().enumerate().skip(self.next);
        more.filter(|(_, other)| self.seats.iter().all(|seat| seat.is_beside(other)))
            .map(|(at, other)| Self {
                seats: self.seats.iter().chain([other]).copied().collect(),
                next: at + 1,
                moments: common(&self.moments, &other.taken.moments_at(instrument)),
            })
            .filter(|set| !set.moments.is_empty())
            .collect()
    }
}

/// When both sound, each with the measure in which the later begins. What begins at one moment sounds at once, however short.
fn common<'a>(moments: &[Moment<'a>], others: &[Moment<'a>]) -> Vec<Moment<'a>> {
    let both = |one: Moment<'a>, other: Moment<'a>| {
        let at_once = one.from_us < other.to_us && other.from_us < one.to_us || one.from_us == other.from_us;
        at_once.then(|| Moment {
            from_us: one.from_us.max(other.from_us),
            to_us: one.to_us.min(other.to_us),
            measure: if one.from_us > other.from_us { one.measure } else { other.measure },
        })
    };
    moments.iter().flat_map(|one| others.iter().filter_map(move |other| both(*one, *other))).collect()
}
