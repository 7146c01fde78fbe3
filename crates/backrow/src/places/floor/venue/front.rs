//! The conductor keeps the distance from the front edge, whichever way the floor's corners are changed.

use super::{Drawing, Part};
use backrow_core::collection::Point;

/// How far the front edge is, metres from the middle of the back wall; below all numbers for a floor without corners.
fn front(outline: &[Point]) -> f64 {
    outline.iter().map(|corner| corner.y).fold(f64::NEG_INFINITY, f64::max)
}

impl Drawing {
    /// Changes an outline; the conductor goes with the floor's front edge. The distance is that from before the step, so that
    /// corners that are half typed, or dragged to the back wall and away again, do not wear it down.
    pub(super) fn change_outline(&mut self, change: impl FnOnce(&mut Self)) {
        let distance = self.from_front.or_else(|| {
            let distance = front(&self.venue.floor) - self.venue.conductor?.y;
            Some(distance).filter(|distance| distance.is_finite())
        });
        change(self);
        if self.part != Part::Floor {
            return;
        }
        let front = front(&self.venue.floor);
        if let (Some(conductor), Some(distance), true) =
            (&mut self.venue.conductor, distance, front.is_finite())
        {
            conductor.y = (front - distance).max(0.0);
            self.from_front = Some(distance);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    fn at(drawing: &Drawing) -> f64 {
        drawing.venue.conductor.expect("there is one").y
    }

    /// A new floor is 8 m deep with the conductor at 7 m.
    #[rstest]
    #[case(&["-6, 0; 6, 0; 6, 10; -6, 10"], 9.0)]
    #[case(&["-6, 0; 6, 0; 6, 6; -6, 6"], 5.0)]
    // Half typed: "1" stands there for a moment, and the figure is wiped out altogether.
    #[case(&["-6, 0; 6, 0; 6, 1; -6, 0.5", "-6, 0; 6, 0; 6, ; -6, 10", "-6, 0; 6, 0; 6, 10; -6, 10"], 9.0)]
    #[case(&["-6, 0; 6, 0; 6, 0.5; -6, 0.5", "-6, 0; 6, 0; 6, 8; -6, 8"], 7.0)]
    fn typed_corners_take_the_conductor_along(#[case] typed: &[&str], #[case] y: f64) {
        let mut drawing = Drawing::new();
        drawing.step();
        for text in typed {
            drawing.text = text.replace("; ", "\n");
            drawing.take_text();
        }
        assert!((at(&drawing) - y).abs() < 1e-9, "{} beside {y}", at(&drawing));
        assert!(drawing.back(), "one step");
        assert!((at(&drawing) - 7.0).abs() < 1e-9);
    }

    #[test]
    fn after_a_step_the_distance_is_that_of_the_conductors_new_place() {
        let mut drawing = Drawing::new();
        drawing.change_outline(|drawing| drawing.venue.floor.iter_mut().for_each(|c| c.y *= 2.0));
        assert!((at(&drawing) - 15.0).abs() < 1e-9);
        drawing.step();
        drawing.venue.conductor = Some(Point::new(0.0, 12.0));
        drawing.change_outline(|drawing| drawing.venue.floor.iter_mut().for_each(|c| c.y /= 2.0));
        assert!((at(&drawing) - 4.0).abs() < 1e-9);
    }
}
