//! Which instruments answer a line: each one alone, best first, and the fewest together.

use crate::collection::Instrument;
use crate::compass::{Fit, PitchSet, Reach, fewest_together, fit};
use crate::id::InstrumentId;
use crate::library::Library;
use crate::music::{Line, LineNote};
use crate::sets::{self, Tried};
use std::cmp::Ordering;

/// The instruments that answer a line.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Cover {
    /// Every instrument of the line's kind, best first: whole; whole at another octave, the nearest first and lower
    /// before higher; in part, the fewest lacking first; then those that reach nothing. Equal ones by name, then id.
    pub fits: Vec<InstrumentFit>,
    /// When no single one is whole and all together are: the fewest that are so together, by name. Else empty.
    pub together: Vec<InstrumentId>,
    /// Whether it is proven that fewer than `together` cannot do; true when `together` is empty.
    pub fewest: bool,
    /// Notes that, by the line's octave, would sound beyond the keys (C-1 to G9); no instrument is whole with any.
    pub beyond: Vec<LineNote>,
}

/// One instrument's answer to a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InstrumentFit {
    /// Which instrument.
    pub instrument: InstrumentId,
    /// What it reaches.
    pub reach: Reach,
}

impl Cover {
    /// Whether one instrument alone has every note at its own octave.
    pub fn is_whole(&self) -> bool {
        self.fits.first().is_some_and(|best| best.reach.fit == Fit::Whole)
    }

    /// The answer of one instrument.
    pub fn of(&self, instrument: &InstrumentId) -> Option<&Reach> {
        self.fits.iter().find(|one| one.instrument == *instrument).map(|one| &one.reach)
    }
}

/// What the library's instruments make of a line. A line without a kind has no answer until it gets one; a line
/// without pitches is whole on every instrument of its kind.
pub fn cover(library: &Library, line: &Line) -> Cover {
    let Some(asking) = Asking::of(library, line) else { return Cover { fewest: true, ..Cover::default() } };
    let mut tried = Tried::on(library, line);
    let mut rows: Vec<(&str, InstrumentFit)> = asking
        .of_kind
        .iter()
        .map(|thing| {
            let reach = asking.reach(thing, &mut tried);
            (thing.name.as_str(), InstrumentFit { instrument: thing.id.clone(), reach })
        })
        .collect();
    rows.sort_by(|(name, one), (other_name, other)| {
        better(&one.reach, &other.reach)
            .then_with(|| name.cmp(other_name))
            .then_with(|| one.instrument.cmp(&other.instrument))
    });
    let fits: Vec<InstrumentFit> = rows.into_iter().map(|(_, row)| row).collect();
    let mut cover = Cover { fits, together: Vec::new(), fewest: true, beyond: asking.beyond.clone() };
    if !cover.is_whole() {
        asking.join(library, line, &mut cover);
    }
    cover
}

/// Whether something of the library has every note of a line, alone or together: what [`cover`] says, without asking the rest
/// once one can.
pub fn is_answered(library: &Library, line: &Line) -> bool {
    let Some(asking) = Asking::of(library, line) else { return false };
    let mut tried = Tried::on(library, line);
    if asking.of_kind.iter().any(|thing| asking.reach(thing, &mut tried).fit == Fit::Whole) {
        return true;
    }
    let mut cover = Cover::default();
    asking.join(library, line, &mut cover);
    !cover.together.is_empty()
}

/// What a line asks of the instruments of its kind.
struct Asking<'a> {
    notes: PitchSet,
    beyond: Vec<LineNote>,
    of_kind: Vec<&'a Instrument>,
    /// Drums reach by being retuned in time, not by what they can be tuned to.
    plans: bool,
}

impl<'a> Asking<'a> {
    /// `None` for a line without a kind.
    fn of(library: &'a Library, line: &Line) -> Option<Self> {
        let kind = line.kind.as_ref()?;
        let notes = line.sounding();
        let mut beyond: Vec<LineNote> = Vec::new();
        for note in line.notes().filter(|note| line.sounding_of(note).is_none()) {
            if !beyond.iter().any(|known| known.written == note.written && known.shift == note.shift) {
                beyond.push(note.clone());
            }
        }
        let plans = sets::is_for_timpani(library, kind) && !notes.is_empty() && beyond.is_empty();
        let of_kind = library.instruments.values().map(|thing| &**thing);
        Some(Self { notes, beyond, of_kind: of_kind.filter(|thing| thing.kind == *kind).collect(), plans })
    }

    fn reach(&self, thing: &Instrument, tried: &mut Tried<'_>) -> Reach {
        let mut reach = answer(thing.compass(), self.notes, &self.beyond);
        if self.plans && reach.fit == Fit::Whole && !tried.can_play(&thing.id) {
            reach.fit = Fit::Part;
        }
        reach
    }

    fn join(&self, library: &Library, line: &Line, cover: &mut Cover) {
        if !self.beyond.is_empty() {
            return;
        }
        if self.plans {
            cover.together = sets::together(library, line, &self.of_kind);
        } else {
            let compasses: Vec<PitchSet> = self.of_kind.iter().map(|thing| thing.compass()).collect();
            join(cover, &self.of_kind, &compasses, self.notes);
        }
    }
}

fn answer(has: PitchSet, asks: PitchSet, beyond: &[LineNote]) -> Reach {
    let mut reach = fit(has, asks);
    if !beyond.is_empty() {
        reach.fit = if reach.reached.is_empty() { Fit::None } else { Fit::Part };
    }
    reach
}

/// Fills in the fewest together. Instruments are tried by name, so that equal answers come out by name.
fn join(cover: &mut Cover, of_kind: &[&Instrument], compasses: &[PitchSet], asks: PitchSet) {
    let mut by_name: Vec<(&Instrument, PitchSet)> =
        of_kind.iter().copied().zip(compasses.iter().copied()).collect();
    by_name.sort_by(|(one, _), (other, _)| (&one.name, &one.id).cmp(&(&other.name, &other.id)));
    let sets: Vec<PitchSet> = by_name.iter().map(|(_, set)| *set).collect();
    if let Some(found) = fewest_together(&sets, asks) {
        cover.together = found
            .members
            .iter()
            .filter_map(|at| by_name.get(*at))
            .map(|(thing, _)| thing.id.clone())
            .collect();
        cover.fewest = found.fewest;
    }
}

/// `Less` when `one` is the better answer.
pub fn better(one: &Reach, other: &Reach) -> Ordering {
    let rank = |reach: &Reach| match reach.fit {
        Fit::Whole => (0, 0, false),
        Fit::Octave(octaves) => (1, u32::from(octaves.unsigned_abs()), octaves > 0),
        Fit::Part => (2, reach.lacking().len(), false),
        Fit::None => (3, reach.lacking().len(), false),
    };
    rank(one).cmp(&rank(other))
}

#[cfg(test)]
mod tests;
