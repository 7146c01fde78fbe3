//! What is particular to a drum that is tuned while it is played from.

use super::{Frame, Instrument, Layout, Point};

/// How a drum is tuned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum TunedBy {
    /// With a foot, while the hands play on.
    #[default]
    Pedal,
    /// With screws around the rim: both hands, so nothing is played meanwhile.
    HandScrews,
}

impl TunedBy {
    /// All, in order.
    pub const ALL: [Self; 2] = [Self::Pedal, Self::HandScrews];

    /// The word for screens and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pedal => "pedal",
            Self::HandScrews => "hand screws",
        }
    }
}

/// Metres in an inch, by definition.
const INCH_M: f64 = 0.0254;

/// A drum of a set as seen from above, in the set's own coordinates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrumSpot {
    /// Its middle.
    pub at: Point,
    /// Of its head, metres.
    pub radius_m: f64,
}

/// A side of the player.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
#[expect(missing_docs, reason = "the sides' own names")]
pub enum Side {
    #[default]
    Left,
    Right,
}

impl Side {
    /// Both, in order.
    pub const ALL: [Self; 2] = [Self::Left, Self::Right];

    /// "left" or "right".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

impl Frame {
    /// A drum's size in inches, where its name begins with one: "29 in".
    pub fn inches(&self) -> Option<f64> {
        let (number, _) = self
            .name
            .split_once(" in")
            .filter(|(_, rest)| rest.is_empty() || rest.starts_with([',', ' ']))?;
        number.trim().parse().ok().filter(|inches: &f64| (5.0..60.0).contains(inches))
    }
}

impl Instrument {
    /// Whether it is tuned by ear while the orchestra tunes: drums.
    pub fn is_tuned_by_ear(&self) -> bool {
        self.layout == Layout::Drums
    }

    /// Whether it is several drums that are placed and played as one.
    pub fn is_set(&self) -> bool {
        self.layout == Layout::Drums && self.frames.len() > 1
    }

    /// Where the drums of a set stand within its outline, in the order of its frames: in an arc around the player, as large
    /// as they are where that is known and there is room. As for every outline, the player stands at small y, and the
    /// player's left is at large x.
    pub fn drum_spots(&self, low: Side) -> Vec<DrumSpot> {
        if !self.is_set() {
            return Vec::new();
        }
        let (width, depth) = self.footprint.shape.extent();
        let sizes: Vec<f64> = self.frames.iter().map(|frame| frame.inches().unwrap_or(26.0)).collect();
        let all: f64 = sizes.iter().sum();
        // So that they stand rim to rim across the outline, and the end ones well within its depth.
        let metres_an_inch =
            (width / all).min(INCH_M).min(depth * 0.6 / sizes.iter().copied().fold(1.0, f64::max));
        let mut along = 0.0;
        let mut spots: Vec<DrumSpot> = sizes
            .iter()
            .map(|inches| {
                let middle = (along + inches / 2.0) / all - 0.5;
                along += inches;
                let radius_m = inches * metres_an_inch / 2.0;
                // From the front of the outline at the middle to its back at the ends.
                let arc = depth / 2.0 - radius_m - 4.0 * middle * middle * (depth - 2.0 * radius_m);
                let x = -middle * width;
                DrumSpot { at: Point::new(if low == Side::Left { x } else { -x }, arc), radius_m }
            })
            .collect();
        let inner = |spot: &DrumSpot| spot.at.x.abs() + spot.radius_m;
        let reach = spots.iter().map(inner).fold(0.0, f64::max);
        if reach > width / 2.0 {
            for spot in &mut spots {
                spot.at.x *= width / 2.0 / reach;
            }
        }
        spots
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[test]
    fn the_low_drum_stands_on_the_side_that_was_chosen() {
        let mut set = crate::sample::instrument("t", "timpani", &["D2-A2", "F2-C3", "A#2-F3", "D3-A3"]);
        set.layout = Layout::Drums;
        set.footprint.shape = crate::collection::Shape::Box { width_m: 2.6, depth_m: 1.2 };
        for (frame, name) in set.frames.iter_mut().zip(["32 in", "29 in", "26 in", "23 in"]) {
            name.clone_into(&mut frame.name);
        }
        let left = set.drum_spots(Side::Left);
        let right = set.drum_spots(Side::Right);
        assert!(left[0].at.x > left[3].at.x && right[0].at.x < right[3].at.x, "{left:?}");
        assert!(left[0].radius_m > left[3].radius_m);
        assert!(left[1].at.y > left[0].at.y, "the middle ones stand farther from the player");
        for spot in left.iter().chain(&right) {
            assert!(
                spot.at.x.abs() + spot.radius_m <= 1.3 + 1e-9
                    && spot.at.y.abs() + spot.radius_m <= 0.6 + 1e-9,
                "{spot:?}"
            );
        }
    }

    #[rstest]
    #[case("29 in", Some(29.0))]
    #[case("25.5 in, copper", Some(25.5))]
    #[case("26 inner", None)]
    #[case("low", None)]
    #[case("", None)]
    fn sizes_are_read_from_names(#[case] name: &str, #[case] inches: Option<f64>) {
        assert_eq!(Frame { name: name.to_owned(), ..Frame::default() }.inches(), inches);
    }
}
