//! Usual footprints: each row of the collected table against the kinds table.

use super::{kind, rows};
use backrow_core::collection::Shape;

/// Columns: kind, what the source calls it, least and greatest length and depth in centimetres (empty: the source gives
/// none), source, seen or memory. Collected from the sources named in it; memory is common practice without a source.
const SIZES: &str = include_str!("data/sizes.csv");

/// Length along the player and depth away from the player, metres.
const fn size_of(shape: Shape) -> (f64, f64) {
    match shape {
        Shape::Keyboard { width_m, low_m, .. } => (width_m, low_m),
        Shape::Box { width_m, depth_m } | Shape::Hung { width_m, depth_m } => (width_m, depth_m),
        Shape::Round { diameter_m } => (diameter_m, diameter_m),
    }
}

#[test]
fn usual_footprints_lie_within_what_is_published() {
    let mut looked_at = 0;
    for row in rows(SIZES) {
        let (long, deep) = size_of(kind(&row[0]).shape);
        for (value, from, to) in [(long, &row[2], &row[3]), (deep, &row[4], &row[5])] {
            let end = |text: &str, open: f64| if text.is_empty() { open } else { text.parse().unwrap() };
            let cm = value * 100.0;
            let (from, to) = (end(from, 0.0), end(to, f64::INFINITY));
            assert!(
                cm >= from - 1e-6 && cm <= to + 1e-6,
                "{}: {cm:.0} cm is not within {from} to {to} ({})",
                &row[1],
                &row[6],
            );
            looked_at += 1;
        }
    }
    assert_eq!(looked_at, 2 * 11);
}

/// The demo was measured by nobody; its figures must at least be such as the kinds table believes.
#[test]
fn the_demo_has_no_slips() {
    let library = super::demo();
    let mut odd_ones = Vec::new();
    for thing in library.instruments.values() {
        let kind = library.kinds.get(&thing.kind).expect("a kind of the table or of its own");
        odd_ones.extend(
            backrow_core::collection::odd(kind, thing)
                .into_iter()
                .map(|odd| format!("{}: {}", thing.name, odd.words(kind))),
        );
    }
    assert!(odd_ones.is_empty(), "{odd_ones:#?}");
}
