//! How many play one instrument at once, and whether that is more than it takes.

use super::timetable::{Span, Taken, Timetable};
use crate::id::{InstrumentId, PlayerId};
use crate::library::Library;
use crate::music::MeasureName;

/// Lines of different players at one instrument at one moment: one more than can play it.
#[derive(Clone, Debug, PartialEq)]
pub struct Crowd<'a> {
    /// At what.
    pub instrument: &'a InstrumentId,
    /// Which lines, in playing order but for the one that was asked about, which stands first.
    pub lines: Vec<&'a Taken>,
    /// The measure in which all of them first sound at once.
    pub measure: &'a MeasureName,
}

/// A line with who plays it, or would.
#[derive(Clone, Copy)]
struct Seat<'a> {
    taken: &'a Taken,
    player: Option<&'a PlayerId>,
}

/// From, to, microseconds, and the measure in which it begins.
type Moment<'a> = (i64, i64, &'a MeasureName);

impl Timetable {
    /// Every crowd among the lines as they are given. A set of lines is told once, at the first of the instruments that they
    /// share.
    pub fn crowds(&self, library: &Library) -> Vec<Crowd<'_>> {
        let mut found: Vec<Crowd<'_>> = Vec::new();
        for (at, one) in self.lines.iter().enumerate() {
            let later = self.lines.iter().skip(at + 1).take_while(|other| other.same_movement(one));
            let later: Vec<Seat<'_>> = later.map(Seat::of).collect();
            for id in &one.instruments {
                for crowd in crowds((library, id), Seat::of(one), &later) {
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
        line: &'a Taken,
        player: &'a PlayerId,
    ) -> Option<Crowd<'a>> {
        let others = self.lines.iter().filter(|other| other.same_movement(line));
        let others: Vec<Seat<'_>> = others.map(Seat::of).collect();
        let seat = Seat { taken: line, player: Some(player) };
        line.instruments.iter().find_map(|id| crowds((library, id), seat, &others).into_iter().next())
    }
}

impl<'a> Seat<'a> {
    fn of(taken: &'a Taken) -> Self {
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
fn crowds<'a>(
    (library, id): (&Library, &'a InstrumentId),
    first: Seat<'a>,
    others: &[Seat<'a>],
) -> Vec<Crowd<'a>> {
    let moments: Vec<Moment<'a>> =
        first.taken.spans.iter().map(|span| (span.from_us, span.to_us, &span.from)).collect();
    let mut sets = vec![(vec![first], 0, moments)];
    for _ in 0..library.hands(id) {
        sets = sets
            .iter()
            .flat_map(|(seats, next, moments)| {
                let more = others.iter().enumerate().skip(*next);
                let more = more.filter(|(_, other)| other.taken.instruments.contains(id));
                more.filter(|(_, other)| seats.iter().all(|seat| seat.is_beside(other)))
                    .map(|(at, other)| {
                        let seats: Vec<Seat<'a>> = seats.iter().chain([other]).copied().collect();
                        (seats, at + 1, common(moments, &other.taken.spans))
                    })
                    .filter(|(.., moments)| !moments.is_empty())
                    .collect::<Vec<_>>()
            })
            .collect();
    }
    let crowd = |(seats, _, moments): (Vec<Seat<'a>>, usize, Vec<Moment<'a>>)| {
        let (.., measure) = moments.into_iter().min_by_key(|(from, ..)| *from)?;
        Some(Crowd { instrument: id, lines: seats.into_iter().map(|seat| seat.taken).collect(), measure })
    };
    sets.into_iter().filter_map(crowd).collect()
}

/// When both sound, each with the measure in which the later begins. What begins at one moment sounds at once, however short.
fn common<'a>(moments: &[Moment<'a>], spans: &'a [Span]) -> Vec<Moment<'a>> {
    let both = |(from, to, measure): Moment<'a>, span: &'a Span| {
        let at_once = from < span.to_us && span.from_us < to || from == span.from_us;
        let measure = if from > span.from_us { measure } else { &span.from };
        at_once.then(|| (from.max(span.from_us), to.min(span.to_us), measure))
    };
    moments.iter().flat_map(|moment| spans.iter().filter_map(move |span| both(*moment, span))).collect()
}
