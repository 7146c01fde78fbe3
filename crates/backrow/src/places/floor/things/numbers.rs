//! Where the number of a thing would best stand: on it, on the audience's side.

use super::super::scale::Scale;
use backrow_core::collection::Point;
use backrow_core::stage::{Stood, to_floor};
use egui::Pos2;

/// On the audience's side of its thing.
pub(super) fn wish(stood: &Stood, scale: &Scale) -> Pos2 {
    let front = to_floor(&stood.placement, Point::new(0.0, stood.shape.extent().1 / 2.0));
    let (front, middle) = (scale.pos(front), scale.pos(stood.placement.at));
    middle + (front - middle) * 0.82
}
