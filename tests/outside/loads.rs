//! Loads against worked examples. Masses and sizes are those of published pages where they were seen and common practice
//! from memory where the case says so; the weights are worked by hand: mass times 9.80665 m/s2 (3rd General Conference on
//! Weights and Measures, 1901), over the area, or over three feet for a round stand and four for any other.

use approx::assert_relative_eq;
use backrow_core::collection::{Mass, Point, Riser, Shape};
use backrow_core::stage::{Figure, FloorLoad, Footing, figure, floor_load_of, footing, riser_loads};
use backrow_core::week::Placement;
use rstest::rstest;

/// A timpano of 81 cm with 15 cm for its frame.
const TIMPANO: Shape = Shape::Round { diameter_m: 0.96 };
const TUBULAR_BELLS: Shape = Shape::Hung { width_m: 0.90, depth_m: 0.70 };
const MARIMBA: Shape = Shape::Keyboard { width_m: 2.60, low_m: 1.08, high_m: 0.45 };
const VIBRAPHONE: Shape = Shape::Box { width_m: 1.43, depth_m: 0.82 };
const BASS_DRUM: Shape = Shape::Box { width_m: 1.00, depth_m: 0.65 };
const SQUARE_METRE: Shape = Shape::Box { width_m: 1.0, depth_m: 1.0 };
const SQUARE_FOOT: Shape = Shape::Box { width_m: 0.3048, depth_m: 0.3048 };

/// A riser of two decks of 2 m by 2 m: 8 m2.
fn riser() -> Riser {
    let outline = [(-2.0, 0.0), (2.0, 0.0), (2.0, 2.0), (-2.0, 2.0)].map(|(x, y)| Point::new(x, y)).to_vec();
    Riser { name: "riser".to_owned(), outline, height_m: 0.4, rated_kn_m2: Some(5.0) }
}

fn standing(shape: Shape, kg: f64) -> (Footing, FloorLoad) {
    let at = Placement { at: Point::new(0.0, 1.0), turn_deg: 0.0, number: 1, locked: false };
    let on: Figure = figure(shape, &at);
    (footing(&on, &[riser()]), floor_load_of(shape, Mass { kg, weighed: false }, on.area_m2()))
}

#[rstest]
#[case::timpano_140_lb_seen(TIMPANO, 64.0, (0.867_10, 0.209_21, 0.078_45))]
#[case::tubular_bells_to_100_kg_seen(TUBULAR_BELLS, 100.0, (1.556_61, 0.245_17, 0.122_58))]
#[case::marimba_of_five_octaves_110_kg_memory(MARIMBA, 110.0, (0.542_35, 0.269_68, 0.134_84))]
#[case::vibraphone_to_61_kg_seen(VIBRAPHONE, 61.0, (0.510_15, 0.149_55, 0.074_78))]
#[case::bass_drum_to_60_kg_memory(BASS_DRUM, 60.0, (0.905_23, 0.147_10, 0.073_55))]
fn one_thing_on_a_riser(#[case] shape: Shape, #[case] kg: f64, #[case] worked: (f64, f64, f64)) {
    let (on, floor_load) = standing(shape, kg);
    let (under_kn_m2, foot_kn, whole_kn_m2) = worked;
    let loads = riser_loads(&[riser()], &[(&on, Some(floor_load))]);
    let [load] = loads.as_slice() else { panic!("one riser, one load: {loads:?}") };
    let near = |ours: f64, theirs: f64| assert_relative_eq!(ours, theirs, epsilon = 6e-6);
    near(load.greatest.map(|(_, under)| under).unwrap(), under_kn_m2);
    near(load.greatest_foot.map(|(_, foot)| foot).unwrap(), foot_kn);
    near(load.whole_kn_m2, whole_kn_m2);
}

#[test]
fn all_of_them_on_one_riser() {
    // 64 + 100 + 110 + 61 + 60 = 395 kg; 395 x 9.80665 / 1000 / 8 = 0.48420 kN/m2. The bells press most on their area, the
    // marimba most on one foot.
    let things = [
        standing(TIMPANO, 64.0),
        standing(TUBULAR_BELLS, 100.0),
        standing(MARIMBA, 110.0),
        standing(VIBRAPHONE, 61.0),
        standing(BASS_DRUM, 60.0),
    ];
    let things: Vec<_> = things.iter().map(|(on, floor_load)| (on, Some(*floor_load))).collect();
    let loads = riser_loads(&[riser()], &things);
    let [load] = loads.as_slice() else { panic!("one riser, one load: {loads:?}") };
    assert_relative_eq!(load.kg, 395.0, epsilon = 1e-9);
    assert_relative_eq!(load.whole_kn_m2, 0.484_20, epsilon = 6e-6);
    assert_eq!(load.greatest.map(|(thing, _)| thing), Some(1));
    assert_eq!(load.greatest_foot.map(|(thing, _)| thing), Some(2));
}

/// Conversions as printed: 0.0479 kPa for 1 psf in a building code (WAC 51-51-0301), 7.18 kN/m2 and 732 kg/m2 for
/// 150 lb/ft2 in the manual of a mobile stage; the last row is the inverse of standard gravity.
#[rstest]
#[case::one_pound_on_a_square_foot(SQUARE_FOOT, 0.453_592_37, 0.047_9, 5e-5)]
#[case::a_mobile_stage_in_pounds(SQUARE_FOOT, 150.0 * 0.453_592_37, 7.18, 5e-3)]
#[case::a_mobile_stage_in_kilograms(SQUARE_METRE, 732.0, 7.18, 5e-3)]
#[case::a_kilonewton_in_kilograms(SQUARE_METRE, 101.97, 1.0, 5e-5)]
fn units_as_published(#[case] shape: Shape, #[case] kg: f64, #[case] kn_m2: f64, #[case] rounded: f64) {
    assert_relative_eq!(standing(shape, kg).1.under_kn_m2, kn_m2, epsilon = rounded);
}
