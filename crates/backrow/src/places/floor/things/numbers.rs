//! The numbers on the plan: each on its thing, and none over another or over a player.

use super::super::scale::Scale;
use crate::theme::marks;
use crate::theme::tokens::Tokens;
use backrow_core::collection::Point;
use backrow_core::stage::{Stood, to_floor};
use egui::{Painter, Pos2, Stroke, Vec2, vec2};

/// Marks nearer than this touch, points.
const APART: f32 = 18.0;
/// A number that was moved farther than this gets a line to its thing.
const FAR: f32 = 12.0;
/// How often marks push each other.
const ROUNDS: usize = 12;

/// Draws them. `people` are the middles of the players' discs, which stay where they are.
pub(super) fn ui(
    painter: &Painter,
    (things, people): (&[&Stood], &[Pos2]),
    is_chosen: impl Fn(&Stood) -> bool,
    scale: &Scale,
    tokens: &Tokens,
) {
    let wished: Vec<Pos2> = things.iter().map(|stood| wish(stood, scale)).collect();
    for ((stood, wish), at) in things.iter().zip(&wished).zip(apart(&wished, people)) {
        let line = if is_chosen(stood) { tokens.accent } else { tokens.ink };
        if at.distance(*wish) > FAR {
            painter.line_segment([at, *wish], Stroke::new(1.0, line));
            painter.circle_filled(*wish, 2.0, line);
        }
        marks::ring(painter, at, &stood.placement.number.to_string(), tokens.raised, line);
    }
}

/// On the audience's side of its thing.
fn wish(stood: &Stood, scale: &Scale) -> Pos2 {
    let front = to_floor(&stood.placement, Point::new(0.0, stood.shape.extent().1 / 2.0));
    let (front, middle) = (scale.pos(front), scale.pos(stood.placement.at));
    middle + (front - middle) * 0.82
}

/// The same places, pushed apart until none touches another or one of `fixed`.
fn apart(wished: &[Pos2], fixed: &[Pos2]) -> Vec<Pos2> {
    let mut at = wished.to_vec();
    for _ in 0..ROUNDS {
        let mut pushes = vec![Vec2::ZERO; at.len()];
        for (i, a) in at.iter().enumerate() {
            for (j, b) in at.iter().enumerate().filter(|(j, _)| *j != i) {
                pushes[i] += push(*a, *b, i < j) / 2.0;
            }
            for b in fixed {
                pushes[i] += push(*a, *b, true);
            }
        }
        if pushes.iter().all(|push| *push == Vec2::ZERO) {
            break;
        }
        for (place, push) in at.iter_mut().zip(&pushes) {
            *place += *push;
        }
    }
    at
}

/// How far `a` must go to be clear of `b`; where both are at one spot they part to the left and the right.
fn push(a: Pos2, b: Pos2, left: bool) -> Vec2 {
    let off = a - b;
    let far = off.length();
    if far >= APART {
        return Vec2::ZERO;
    }
    let way = if far > 0.1 { off / far } else { vec2(if left { -1.0 } else { 1.0 }, 0.0) };
    way * (APART - far)
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    #[test]
    fn what_is_clear_stays() {
        let wished = [pos2(0.0, 0.0), pos2(18.0, 0.0), pos2(0.0, 40.0)];
        assert_eq!(apart(&wished, &[pos2(-18.0, 0.0)]), wished);
    }

    #[test]
    fn what_touches_parts() {
        let wished = [pos2(0.0, 0.0), pos2(0.0, 0.0), pos2(4.0, 3.0), pos2(9.0, 0.0)];
        let disc = pos2(0.0, -10.0);
        let at = apart(&wished, &[disc]);
        for (i, a) in at.iter().enumerate() {
            assert!(a.distance(disc) > 16.0, "{i} lies on the disc");
            for b in &at[i + 1..] {
                assert!(a.distance(*b) > 16.0, "{a:?} lies on {b:?}");
            }
        }
    }
}
