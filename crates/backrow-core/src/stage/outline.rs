//! Outlines to begin a venue from, and an outline as lines of text.

use crate::collection::Point;

/// How many short pieces a curve is drawn in.
const PIECES: u32 = 16;

/// A rectangle about the centre line, from the back edge towards the audience; metres.
pub fn rectangle(width_m: f64, depth_m: f64) -> Vec<Point> {
    let half = width_m / 2.0;
    vec![Point::new(-half, 0.0), Point::new(half, 0.0), Point::new(half, depth_m), Point::new(-half, depth_m)]
}

/// A rectangle with a front that curves towards the audience by `bulge_m` at the middle.
pub fn curved_front(width_m: f64, depth_m: f64, bulge_m: f64) -> Vec<Point> {
    let half = width_m / 2.0;
    let mut outline = vec![Point::new(-half, 0.0), Point::new(half, 0.0)];
    for piece in 0..=PIECES {
        let x = half - width_m * f64::from(piece) / f64::from(PIECES);
        // A parabola: true to the bulge at the middle, and nothing at the sides.
        let share = if half > 0.0 { 1.0 - (x / half).powi(2) } else { 0.0 };
        outline.push(Point::new(x, depth_m + bulge_m * share));
    }
    outline
}

/// A fan: as wide as `back_m` at the back edge and as `front_m` towards the audience.
pub fn fan(back_m: f64, front_m: f64, depth_m: f64) -> Vec<Point> {
    let (back, front) = (back_m / 2.0, front_m / 2.0);
    vec![
        Point::new(-back, 0.0),
        Point::new(back, 0.0),
        Point::new(front, depth_m),
        Point::new(-front, depth_m),
    ]
}

/// A corner a line, "right of the middle, from the back", in metres.
pub fn outline_text(outline: &[Point]) -> String {
    let lines: Vec<String> = outline.iter().map(|p| format!("{}, {}", tidy(p.x), tidy(p.y))).collect();
    lines.join("\n")
}

fn tidy(metres: f64) -> String {
    let text = format!("{metres:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Reads corners, a line each.
///
/// # Errors
/// The first line that is not a corner, or too few of them; what was expected.
pub fn parse_outline(text: &str) -> Result<Vec<Point>, String> {
    let mut outline = Vec::new();
    for (index, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
        let number =
            |text: &str| text.trim().parse::<f64>().ok().filter(|v| v.is_finite() && v.abs() <= 200.0);
        let pair = line.trim().split_once([',', ';', ' ']).and_then(|(x, y)| Some((number(x)?, number(y)?)));
        let Some((x, y)) = pair else {
            return Err(format!(
                "Line {}: \"{}\" is not a corner; type metres such as -3.5, 2",
                index + 1,
                line.trim()
            ));
        };
        outline.push(Point::new(x, y));
    }
    if outline.len() < 3 { Err("An outline needs three corners or more.".to_owned()) } else { Ok(outline) }
}

/// The first two sides of an outline that cross or touch without being neighbours, counted from 1: an outline that does is no floor.
pub fn crossed_sides(outline: &[Point]) -> Option<(usize, usize)> {
    let corner = |p: &Point| geo::coord! { x: p.x, y: p.y };
    let sides: Vec<geo::Line> = outline
        .iter()
        .zip(outline.iter().cycle().skip(1))
        .map(|(a, b)| geo::Line::new(corner(a), corner(b)))
        .collect();
    let last = sides.len().saturating_sub(1);
    sides.iter().enumerate().find_map(|(at, one)| {
        let others = sides.iter().enumerate().skip(at + 2).filter(|(other, _)| at > 0 || *other != last);
        let other = others.into_iter().find(|(_, other)| geo::Intersects::intersects(one, *other));
        other.map(|(other, _)| (at + 1, other + 1))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stage::plane::area_m2;
    use proptest::prelude::*;

    #[test]
    fn templates_have_the_measures_that_were_asked() {
        assert!((area_m2(&rectangle(12.0, 7.0)) - 84.0).abs() < 1e-9);
        assert!((area_m2(&fan(8.0, 12.0, 5.0)) - 50.0).abs() < 1e-9);
        let curved = curved_front(12.0, 7.0, 1.5);
        let front = curved.iter().map(|p| p.y).fold(0.0, f64::max);
        assert!((front - 8.5).abs() < 1e-9);
        // A parabola over the width adds two thirds of width times bulge: 12 m2; the pieces lie just inside it.
        let area = area_m2(&curved);
        assert!((95.9..96.0).contains(&area), "{area}");
    }

    #[test]
    fn sides_that_cross_are_found() {
        assert_eq!(crossed_sides(&rectangle(12.0, 8.0)), None);
        assert_eq!(crossed_sides(&curved_front(12.0, 8.0, 1.5)), None);
        let bow = [(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)].map(|(x, y)| Point::new(x, y));
        assert_eq!(crossed_sides(&bow), Some((1, 3)));
        let touches =
            [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 0.0), (0.0, 4.0)].map(|(x, y)| Point::new(x, y));
        assert_eq!(crossed_sides(&touches), Some((1, 3)), "a corner that lies on a side");
        assert_eq!(crossed_sides(&[Point::default(); 2]), None);
    }

    #[test]
    fn errors_name_the_line() {
        assert!(parse_outline("0, 0\nx, 1\n2, 2").unwrap_err().contains("Line 2"));
        assert!(parse_outline("0, 0\n1, 1").unwrap_err().contains("three corners"));
        assert!(parse_outline("0, 0\n900, 1\n1, 1").is_err());
    }

    proptest! {
        #[test]
        fn an_outline_comes_back(points in prop::collection::vec((-9000_i32..9000, 0_i32..9000), 3..9)) {
            let outline: Vec<Point> =
                points.iter().map(|(x, y)| Point::new(f64::from(*x) / 1000.0, f64::from(*y) / 1000.0)).collect();
            let again = parse_outline(&outline_text(&outline)).unwrap();
            for (one, other) in outline.iter().zip(&again) {
                prop_assert!(one.distance(*other) < 1e-9);
            }
        }
    }

    #[test]
    fn corners_of_templates() {
        let of = |outline: Vec<Point>| outline.iter().map(|p| (p.x, p.y)).collect::<Vec<_>>();
        assert_eq!(of(rectangle(12.0, 7.0)), [(-6.0, 0.0), (6.0, 0.0), (6.0, 7.0), (-6.0, 7.0)]);
        assert_eq!(of(fan(8.0, 12.0, 5.0)), [(-4.0, 0.0), (4.0, 0.0), (6.0, 5.0), (-6.0, 5.0)]);
        // Sixteen pieces from right to left; half-way to the side three quarters of the bulge are left.
        let curved = of(curved_front(12.0, 7.0, 1.6));
        assert_eq!(
            (curved.len(), curved[2], curved[10], curved[18]),
            (19, (6.0, 7.0), (0.0, 8.6), (-6.0, 7.0))
        );
        assert!((curved[6].0 - 3.0).abs() < 1e-12 && (curved[6].1 - 8.2).abs() < 1e-12);
        assert!(curved_front(0.0, 7.0, 1.6).iter().all(|p| p.y <= 7.0), "no width, no bulge");
    }

    #[test]
    fn an_outline_is_typed_as_one_likes() {
        let read = parse_outline("0, 0\n\n 4;0 \n4 3.5\n-200,200").unwrap();
        assert_eq!(
            read,
            [(0.0, 0.0), (4.0, 0.0), (4.0, 3.5), (-200.0, 200.0)].map(|(x, y)| Point::new(x, y))
        );
        let why = parse_outline("0, 0\n\n1, 200.5\n2, 2").unwrap_err();
        assert_eq!(why, "Line 3: \"1, 200.5\" is not a corner; type metres such as -3.5, 2");
        let text = outline_text(&[Point::new(-0.000_01, 2.5), Point::new(10.0, 0.1234)]);
        assert_eq!(text, "0, 2.5\n10, 0.123");
    }

    #[test]
    fn neighbours_may_touch_and_others_may_not() {
        let points = |all: &[(f64, f64)]| all.iter().map(|(x, y)| Point::new(*x, *y)).collect::<Vec<_>>();
        assert_eq!(crossed_sides(&points(&[(0.0, 0.0), (4.0, 0.0), (0.0, 4.0)])), None);
        // The second side of five is crossed by the fourth.
        let second = points(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (6.0, 2.0), (2.0, 2.0)]);
        assert_eq!(crossed_sides(&second), Some((2, 4)));
        // The third of five is crossed by the last.
        let last = points(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 2.0), (5.0, 3.0)]);
        assert_eq!(crossed_sides(&last), Some((2, 4)));
        // The last of four leads back over the second.
        assert_eq!(crossed_sides(&points(&[(0.0, 0.0), (4.0, 0.0), (0.0, 2.0), (3.0, 3.0)])), Some((2, 4)));
    }
}
