//! What a riser bears, as an estimate beside the rated figure.
//!
//! Nothing here says that a load may stand: the figures are estimates for a talk with the venue, and [`CAUTION`] stands
//! wherever they are shown.

use super::footing::{Footing, riser_m2};
use crate::collection::{Mass, Riser, Shape};

/// Standard gravity, m/s2 (3rd General Conference on Weights and Measures, 1901).
pub const GRAVITY_M_S2: f64 = 9.806_65;

/// From this share of the rated figure on, a load is called near it. Ours, no published source.
pub const NEAR_RATED: f64 = 0.8;

/// Stands wherever loads are shown.
pub const CAUTION: &str = "Estimates only. Ask the venue’s technical staff and follow local rules; \
lifting and rigging are for qualified riggers.";

/// Stands wherever very loud things are shown.
pub const LOUD_CAUTION: &str =
    "Loud at arm’s length: protect your ears and your neighbours’, and follow local rules on noise at work.";

/// How one thing presses on what it stands on, borne equally by its whole footprint or by all its feet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FloorLoad {
    /// Its mass, kilograms.
    pub kg: f64,
    /// Whether that was weighed.
    pub weighed: bool,
    /// Over its own footprint, kN/m2.
    pub under_kn_m2: f64,
    /// On each foot, kN.
    pub foot_kn: f64,
    /// How many feet were assumed.
    pub feet: u32,
}

/// How many feet a shape is assumed to stand on: three for round stands, else four. Common practice.
pub const fn feet(shape: Shape) -> u32 {
    match shape {
        Shape::Round { .. } => 3,
        Shape::Keyboard { .. } | Shape::Box { .. } | Shape::Hung { .. } => 4,
    }
}

/// How a thing of that mass presses: weight = mass times standard gravity, over area and over feet.
pub fn floor_load_of(shape: Shape, mass: Mass, area_m2: f64) -> FloorLoad {
    let kn = if mass.kg.is_finite() { mass.kg.max(0.0) * GRAVITY_M_S2 / 1000.0 } else { 0.0 };
    let feet = feet(shape);
    FloorLoad {
        kg: mass.kg,
        weighed: mass.weighed,
        under_kn_m2: kn / area_m2.max(1e-4),
        foot_kn: kn / f64::from(feet),
        feet,
    }
}

/// What a riser bears; players, stands and chairs are not counted.
#[derive(Clone, Debug, PartialEq)]
pub struct RiserLoad {
    /// Index of the riser in the venue.
    pub riser: usize,
    /// Kilograms of the things on it whose mass is known; a thing across an edge counts by its share.
    pub kg: f64,
    /// Whether every mass in it was weighed.
    pub weighed: bool,
    /// How many things on it have no known mass.
    pub unknown: usize,
    /// Over the whole riser, kN/m2.
    pub whole_kn_m2: f64,
    /// The greatest under one thing: its index among those given, and its kN/m2.
    pub greatest: Option<(usize, f64)>,
    /// The greatest on one foot: the thing's index, and its kN.
    pub greatest_foot: Option<(usize, f64)>,
    /// What the venue stated, kN/m2.
    pub rated_kn_m2: Option<f64>,
}

impl RiserLoad {
    /// The greater of the two area loads, kN/m2.
    pub fn worst_kn_m2(&self) -> f64 {
        self.greatest.map_or(self.whole_kn_m2, |(_, under)| under.max(self.whole_kn_m2))
    }
}

/// What every riser bears. `things` are those on the floor in any order; an unknown mass is `None`.
pub fn riser_loads(risers: &[Riser], things: &[(&Footing, Option<FloorLoad>)]) -> Vec<RiserLoad> {
    risers.iter().enumerate().map(|(index, riser)| load_of(index, riser, things)).collect()
}

fn load_of(index: usize, riser: &Riser, things: &[(&Footing, Option<FloorLoad>)]) -> RiserLoad {
    let mut load = RiserLoad {
        riser: index,
        kg: 0.0,
        weighed: true,
        unknown: 0,
        whole_kn_m2: 0.0,
        greatest: None,
        greatest_foot: None,
        rated_kn_m2: riser.rated_kn_m2,
    };
    for (thing, (footing, floor_load)) in things.iter().enumerate() {
        let Some(part) = footing.parts.iter().find(|part| part.riser == Some(index)) else { continue };
        let Some(floor_load) = floor_load else {
            load.unknown += 1;
            continue;
        };
        load.kg += floor_load.kg * part.share;
        load.weighed &= floor_load.weighed;
        keep_greater(&mut load.greatest, thing, floor_load.under_kn_m2);
        keep_greater(&mut load.greatest_foot, thing, floor_load.foot_kn);
    }
    let area = riser_m2(riser);
    if area > 1e-4 {
        load.whole_kn_m2 = load.kg * GRAVITY_M_S2 / 1000.0 / area;
    }
    load
}

fn keep_greater(best: &mut Option<(usize, f64)>, thing: usize, value: f64) {
    if best.is_none_or(|(_, old)| value > old) {
        *best = Some((thing, value));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::Point;
    use crate::stage::Part;
    use approx::assert_relative_eq;

    // By hand: a bell of 260 kg in a frame of 74 kg, 1.00 x 0.90 m: 334 kg * 9.80665 = 3275.4 N over 0.9 m2 = 3.639 kN/m2,
    // on four feet 0.819 kN each; on a riser of 12 x 6 m: 3275.4 N / 72 m2 = 0.0455 kN/m2.
    #[test]
    fn a_bell_in_its_frame() {
        let shape = Shape::Hung { width_m: 1.0, depth_m: 0.9 };
        let floor_load = floor_load_of(shape, Mass { kg: 334.0, weighed: false }, 0.9);
        assert_relative_eq!(floor_load.under_kn_m2, 3.6393, epsilon = 1e-4);
        assert_relative_eq!(floor_load.foot_kn, 0.8189, epsilon = 1e-4);
        let corners = [(0.0, 0.0), (12.0, 0.0), (12.0, 6.0), (0.0, 6.0)];
        let riser = Riser {
            name: "back".into(),
            outline: corners.map(|(x, y)| Point::new(x, y)).to_vec(),
            height_m: 0.4,
            rated_kn_m2: Some(4.0),
        };
        let on_it = Footing { parts: vec![Part { riser: Some(0), share: 1.0, height_m: 0.4 }] };
        let loads = riser_loads(&[riser], &[(&on_it, Some(floor_load)), (&on_it, None)]);
        assert_relative_eq!(loads[0].whole_kn_m2, 0.0455, epsilon = 1e-4);
        assert_relative_eq!(loads[0].worst_kn_m2(), 3.6393, epsilon = 1e-4);
        assert_eq!((loads[0].unknown, loads[0].weighed), (1, false));
        // 1 kN/m2 = 101.97 kg/m2 (a conversion printed in tables).
        assert_relative_eq!(1000.0 / GRAVITY_M_S2, 101.97, epsilon = 0.01);
    }

    #[test]
    fn the_cautions_promise_nothing() {
        assert!(!CAUTION.contains("safe") && CAUTION.contains("technical staff"));
        assert!(!LOUD_CAUTION.contains("safe"));
    }

    /// Two things on one riser of 10 m²: 100 kg wholly and 200 kg by half, and one elsewhere: 200 kg in all; told is which presses
    /// most. 200 kg * 9.80665 / 10 m² = 0.1961 kN/m².
    #[test]
    fn loads_are_added_by_share() {
        let corners = [(0.0, 0.0), (5.0, 0.0), (5.0, 2.0), (0.0, 2.0)];
        let riser = |rated_kn_m2| Riser {
            name: "back".into(),
            outline: corners.map(|(x, y)| Point::new(x, y)).to_vec(),
            height_m: 0.4,
            rated_kn_m2,
        };
        let on = |riser, share| Footing { parts: vec![Part { riser, share, height_m: 0.4 }] };
        let (whole, half, off) = (on(Some(1), 1.0), on(Some(1), 0.5), on(None, 1.0));
        let floor_load = |kg: f64, m2: f64| {
            floor_load_of(Shape::Box { width_m: 1.0, depth_m: 1.0 }, Mass { kg, weighed: true }, m2)
        };
        let things = [
            (&off, Some(floor_load(900.0, 1.0))),
            (&whole, Some(floor_load(100.0, 0.5))),
            (&half, Some(floor_load(200.0, 2.0))),
        ];
        let loads = riser_loads(&[riser(None), riser(Some(3.0))], &things);
        assert_eq!((loads[0].kg.to_bits(), loads[0].greatest), (0.0_f64.to_bits(), None));
        let load = &loads[1];
        assert!((load.kg - 200.0).abs() < 1e-9 && load.weighed && load.unknown == 0);
        assert_relative_eq!(load.whole_kn_m2, 0.196_133, epsilon = 1e-6);
        // 100 kg over 0.5 m² press more than 200 kg over 2 m²; on a foot the 200 kg do: 0.4903 kN.
        assert_eq!((load.greatest.unwrap().0, load.greatest_foot.unwrap().0), (1, 2));
        assert_relative_eq!(load.greatest.unwrap().1, 1.961_33, epsilon = 1e-6);
        assert_relative_eq!(load.greatest_foot.unwrap().1, 0.490_332_5, epsilon = 1e-6);
        assert_eq!((load.riser, load.rated_kn_m2), (1, Some(3.0)));
        assert_relative_eq!(loads[0].worst_kn_m2(), 0.0);
        let spread = RiserLoad { greatest: Some((0, 0.1)), whole_kn_m2: 0.3, ..load.clone() };
        assert_relative_eq!(spread.worst_kn_m2(), 0.3);
    }

    #[test]
    fn round_stands_have_three_feet_and_nonsense_weighs_nothing() {
        assert_eq!(
            [feet(Shape::Round { diameter_m: 0.5 }), feet(Shape::Box { width_m: 1.0, depth_m: 1.0 })],
            [3, 4]
        );
        let floor_load = |kg: f64, m2: f64| {
            floor_load_of(Shape::Round { diameter_m: 0.5 }, Mass { kg, weighed: false }, m2)
        };
        assert_relative_eq!(floor_load(30.0, 0.2).foot_kn, 30.0 * GRAVITY_M_S2 / 3000.0, epsilon = 1e-12);
        assert_relative_eq!(floor_load(f64::NAN, 0.2).foot_kn, 0.0);
        assert_relative_eq!(floor_load(-5.0, 0.2).under_kn_m2, 0.0);
        assert!(floor_load(30.0, 0.0).under_kn_m2.is_finite());
    }
}
