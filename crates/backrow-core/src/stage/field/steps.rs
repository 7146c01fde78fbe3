//! Levels of the floor, and how many steps a straight line takes between them.

use super::graph::Node;
use super::obstacle::{cuts_into, middles};
use crate::collection::{Point, Riser};
use crate::stage::plane::{Bounds, inside, minus, plus, sides, times, unit};

/// The raised parts that one has to step onto.
#[derive(Clone, Debug, Default)]
pub(super) struct Levels {
    risers: Vec<(Vec<Point>, Bounds, f64)>,
}

/// Levels nearer than this are one.
const LEVEL_M: f64 = 0.01;
/// How far beside a riser's corner a way goes round it, metres.
const BESIDE_M: f64 = 1e-3;

impl Levels {
    pub(super) fn new(risers: &[Riser]) -> Self {
        let raised = risers.iter().filter(|riser| riser.outline.len() >= 3 && riser.height_m > LEVEL_M);
        let kept = raised.map(|riser| (riser.outline.clone(), Bounds::of(&riser.outline), riser.height_m));
        Self { risers: kept.collect() }
    }

    /// Height at a point: that of the highest riser there.
    fn height(&self, p: Point) -> f64 {
        let here = self.risers.iter().filter(|(outline, _, _)| inside(p, outline));
        here.map(|(_, _, height)| *height).fold(0.0, f64::max)
    }

    /// How many steps up or down the straight line takes.
    pub(super) fn between(&self, p: Point, q: Point) -> u32 {
        let line = Bounds::of(&[p, q]);
        let near = self.risers.iter().filter(|(_, bounds, _)| bounds.meets(&line, 1e-6));
        let mut cuts = vec![0.0, 1.0];
        for (outline, _, _) in near {
            cuts_into(outline, p, q, &mut cuts);
        }
        if cuts.len() == 2 {
            return 0;
        }
        let heights: Vec<f64> = middles(cuts, p, q).into_iter().map(|middle| self.height(middle)).collect();
        let changes = heights.iter().zip(heights.iter().skip(1)).filter(|(a, b)| (**a - **b).abs() > LEVEL_M);
        u32::try_from(changes.count()).unwrap_or(u32::MAX)
    }

    /// Points a millimetre beside every corner, outside and inside, where a way may turn to save a step.
    pub(super) fn corners(&self) -> Vec<Node> {
        let mut nodes = Vec::new();
        for (outline, _, _) in &self.risers {
            let before = sides(outline);
            for ((a, b), (_, c)) in before.zip(sides(outline).cycle().skip(1)) {
                let (Some(into), Some(out)) = (unit(minus(b, a)), unit(minus(c, b))) else { continue };
                let across = unit(minus(out, into)).unwrap_or(Point::new(into.y, -into.x));
                for side in [BESIDE_M, -BESIDE_M] {
                    nodes.push(Node::place(plus(b, times(across, side))));
                }
            }
        }
        nodes
    }
}
