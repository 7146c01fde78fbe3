//! The ways that players go in the current work, from one standing place to the next.

use super::labels::{Labels, Look};
use super::scale::Scale;
use crate::places::floor::{FloorKey, Here};
use crate::theme::tokens::Tokens;
use crate::view::Selected;
use backrow_core::collection::Point;
use backrow_core::evening::{Evening, Floor, Hand};
use backrow_core::id::{InstrumentId, PlayerId, WorkId};
use backrow_core::library::Library;
use backrow_core::moves::{Move, Route, Timetable};
use backrow_core::seconds::{Round, text};
use egui::{Painter, Shape, Stroke};
use std::collections::{BTreeMap, BTreeSet};

/// What the ways were worked out from: the floor, and the work whose ways are shown.
pub(super) type Key = (FloorKey, Option<WorkId>);

/// A way that a player goes, with the move on it that has the least to spare.
#[derive(Clone, Debug)]
pub(super) struct Going {
    player: u32,
    ends: (InstrumentId, InstrumentId),
    points: Vec<Point>,
    metres: f64,
    tightest: Move,
}

/// The ways of a work on the floor that is looked at, one for each player and pair of instruments.
pub(super) fn of(evening: &Evening, looked_at: Option<&WorkId>, work: Option<&WorkId>) -> Vec<Going> {
    if std::ptr::eq(evening.floor(work), evening.floor(looked_at)) {
        return goings(evening.library(), evening.timetable(), work);
    }
    // The floor that is looked at is not the one that the work is played on.
    goings(evening.library(), &evening.timetable_on(looked_at), work)
}

/// What is in the hand, and what its ways are worked out for while it moves.
pub(super) struct Held {
    key: (Key, BTreeSet<InstrumentId>),
    hand: Hand,
}

impl Held {
    /// The ways with what is held where it stands on the floor. What stands still is looked at when something is taken up, and
    /// kept in `held` until it is let go.
    pub(super) fn goings(
        held: &mut Option<Self>,
        key: (Key, BTreeSet<InstrumentId>),
        evening: &Evening,
        floor: &Floor,
    ) -> Vec<Going> {
        let own = match held.take().filter(|own| own.key == key) {
            Some(own) => held.insert(own),
            None => held.insert(Self { hand: evening.hand(floor, &key.1), key }),
        };
        goings(evening.library(), own.hand.timetable(floor), own.key.0.1.as_ref())
    }
}

fn goings(library: &Library, timetable: &Timetable, work: Option<&WorkId>) -> Vec<Going> {
    let mut goings: BTreeMap<(PlayerId, InstrumentId, InstrumentId), Going> = BTreeMap::new();
    for player in library.roster() {
        for step in timetable.moves(&player.id) {
            if Some(&step.from.line.work) != work || step.need.same_place {
                continue;
            }
            let Some(Route { from, to, way }) = timetable.route(&step) else { continue };
            let ends = if from < to { (from.clone(), to.clone()) } else { (to.clone(), from.clone()) };
            let key = (player.id.clone(), ends.0.clone(), ends.1.clone());
            if goings.get(&key).is_none_or(|old| step.spare_us() < old.tightest.spare_us()) {
                let (points, metres) = (way.points.clone(), way.walk.metres);
                goings.insert(key, Going { player: player.order, ends, points, metres, tightest: step });
            }
        }
    }
    goings.into_values().collect()
}

/// Draws the curves, to lie under the instruments; a pale colour is cased, so that it is seen on every ground.
pub(super) fn curves(painter: &Painter, tokens: &Tokens, goings: &[Going], scale: &Scale) {
    for going in goings {
        let ink = Tokens::player(going.player);
        let points = scale.line(&going.points);
        if tokens.edge(ink) != ink {
            painter.add(Shape::line(points.clone(), Stroke::new(3.6, tokens.edge(ink))));
        }
        painter.add(Shape::line(points, Stroke::new(2.0, ink)));
    }
}

/// The words: on every way that is too short of time, and on those of what is selected.
pub(super) fn words(labels: &mut Labels, view: &Here<'_>, goings: &[Going], scale: &Scale) {
    for going in goings {
        let of_selected = matches!(&view.selected, Some(Selected::Instrument(id))
            if *id == going.ends.0 || *id == going.ends.1);
        let short = going.tightest.spare_us() < 0;
        let Some(at) = middle(&going.points).map(|at| scale.pos(at)) else { continue };
        let needs = text(going.tightest.need.us(), Round::Up);
        if short {
            let has = text(going.tightest.has_us, Round::Down);
            labels.words_at(format!("needs {needs}\u{202F}s, has {has}\u{202F}s"), Look::Flag, at);
        } else if of_selected {
            labels.words_at(format!("{:.1}\u{202F}m, {needs}\u{202F}s", going.metres), Look::Plain, at);
        }
    }
}

/// The point half-way along.
fn middle(points: &[Point]) -> Option<Point> {
    let legs = || points.iter().zip(points.iter().skip(1));
    let mut left = legs().map(|(a, b)| a.distance(*b)).sum::<f64>() / 2.0;
    for (a, b) in legs() {
        let long = a.distance(*b);
        if long >= left && long > 0.0 {
            let share = left / long;
            return Some(Point::new(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share));
        }
        left -= long;
    }
    points.first().copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_way_is_measured_along_the_way() {
        let bent = [Point::new(0.0, 0.0), Point::new(3.0, 0.0), Point::new(3.0, 1.0)];
        assert_eq!(middle(&bent), Some(Point::new(2.0, 0.0)));
        assert_eq!(middle(&[]), None);
        assert_eq!(middle(&[Point::new(1.0, 1.0)]), Some(Point::new(1.0, 1.0)));
    }
}
