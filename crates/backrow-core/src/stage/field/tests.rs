use super::*;
use crate::collection::{Area, AreaUse, Riser, Shape};
use crate::id::VenueId;
use crate::stage::figure;
use crate::week::Placement;
use approx::assert_relative_eq;
use proptest::prelude::*;
use rstest::rstest;

fn at(shape: Shape, x: f64, y: f64, turn_deg: f64) -> Figure {
    figure(shape, &Placement { at: Point::new(x, y), turn_deg, number: 1, locked: false })
}

fn venue(floor: &[(f64, f64)]) -> Venue {
    Venue {
        id: VenueId::new("hall").unwrap(),
        name: String::new(),
        floor: points(floor),
        risers: Vec::new(),
        keep_out: Vec::new(),
        conductor: None,
        remark: String::new(),
    }
}

fn points(corners: &[(f64, f64)]) -> Vec<Point> {
    corners.iter().map(|(x, y)| Point::new(*x, *y)).collect()
}

fn one_way(field: &Field, from: (f64, f64), to: (f64, f64)) -> Way {
    field.ways(&points(&[from, to])).remove(0).remove(1)
}

const HALL: [(f64, f64); 4] = [(-6.0, 0.0), (6.0, 0.0), (6.0, 8.0), (-6.0, 8.0)];

#[test]
fn nothing_between_is_the_straight_line() {
    let way = one_way(&Field::new(std::iter::empty(), None), (0.0, 0.0), (3.0, 4.0));
    assert_relative_eq!(way.walk.metres, 5.0);
    assert_eq!((way.points.len(), way.shut), (2, false));
}

#[rstest]
#[case::the_rest_of_the_orchestra(AreaUse::NotToEnter, 2.0 * 2.0_f64.sqrt() + 2.0)]
#[case::a_pillar(AreaUse::Fixed, 2.0 * 2.0_f64.sqrt() + 2.0)]
#[case::a_door_is_walked_through(AreaUse::WayIn, 4.0)]
fn past_an_area(#[case] kept_for: AreaUse, #[case] metres: f64) {
    // An area is not grown: from (-2, 4) over the corners (-1, 3) and (1, 3) to (2, 4): 2 sqrt(2) + 2.
    let mut hall = venue(&HALL);
    let outline = points(&[(-1.0, 3.0), (1.0, 3.0), (1.0, 8.0), (-1.0, 8.0)]);
    hall.keep_out.push(Area { name: "area".to_owned(), kept_for, outline });
    let way = one_way(&Field::new(std::iter::empty(), Some(&hall)), (-2.0, 4.0), (2.0, 4.0));
    assert_relative_eq!(way.walk.metres, metres, epsilon = 1e-9);
}

#[test]
fn round_a_notch_of_the_floor() {
    // An L: the inward corner is (0, 4). From (-3, 6) to (3, 1) ... the straight line passes (0, 3.5), inside; so from
    // (-1, 7) to (3, 3.5): over the corner, sqrt(1 + 9) + sqrt(9 + 0.25).
    let hall = venue(&[(-6.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0), (0.0, 8.0), (-6.0, 8.0)]);
    let field = Field::new(std::iter::empty(), Some(&hall));
    let way = one_way(&field, (-1.0, 7.0), (3.0, 3.5));
    assert_relative_eq!(way.walk.metres, 10.0_f64.sqrt() + 9.25_f64.sqrt(), epsilon = 1e-9);
    assert_relative_eq!(
        one_way(&field, (-3.0, 6.0), (3.0, 1.0)).walk.metres,
        61.0_f64.sqrt(),
        epsilon = 1e-9
    );
}

#[test]
fn round_a_drum_with_half_a_body_to_spare() {
    // Tangent, arc, tangent: radius 0.5 + 0.15, centre on the line, places 2 m to each side.
    // Exact: 2 sqrt(4 - r^2) + r (pi - 2 acos(r / 2)); 24 corners come at most 0.3 per cent below it.
    let drum = at(Shape::Round { diameter_m: 1.0 }, 0.0, 4.0, 0.0);
    let way = one_way(&Field::new([drum].iter(), None), (-2.0, 4.0), (2.0, 4.0));
    let r: f64 = 0.65;
    let exact = 2.0 * (4.0 - r * r).sqrt() + r * (std::f64::consts::PI - 2.0 * (r / 2.0).acos());
    assert!(
        way.walk.metres <= exact + 1e-9 && way.walk.metres > exact * 0.997,
        "{} {exact}",
        way.walk.metres
    );
}

#[test]
fn no_way_through_a_gap_in_which_nobody_fits() {
    let wall = |x: f64| at(Shape::Box { width_m: 2.0, depth_m: 0.5 }, x, 4.0, 0.0);
    let between = |gap: f64| {
        let figures = [wall(-1.0 - gap / 2.0), wall(1.0 + gap / 2.0)];
        one_way(&Field::new(figures.iter(), None), (0.0, 3.0), (0.0, 5.0)).walk.metres
    };
    assert_relative_eq!(between(0.31), 2.0, epsilon = 1e-9);
    assert!(between(0.29) > 4.5);
}

#[test]
fn things_round_the_player_shut_the_way() {
    let wall = |x: f64, y: f64, turn: f64| at(Shape::Box { width_m: 2.4, depth_m: 0.2 }, x, y, turn);
    let ring = [wall(0.0, -1.0, 0.0), wall(0.0, 1.0, 0.0), wall(-1.0, 0.0, 90.0), wall(1.0, 0.0, 90.0)];
    let way = one_way(&Field::new(ring.iter(), None), (0.0, 0.0), (3.0, 0.0));
    assert!(way.shut);
    assert_relative_eq!(way.walk.metres, 3.0);
}

#[test]
fn steps_are_counted_and_avoided_when_the_way_round_is_short() {
    let riser = |x0: f64, x1: f64, y0: f64| Riser {
        name: String::new(),
        outline: points(&[(x0, y0), (x1, y0), (x1, 8.0), (x0, 8.0)]),
        height_m: 0.4,
        rated_kn_m2: None,
    };
    let mut hall = venue(&HALL);
    hall.risers = vec![riser(-6.0, 6.0, 4.0)];
    let up = one_way(&Field::new(std::iter::empty(), Some(&hall)), (0.0, 2.0), (0.0, 6.0));
    assert_eq!(up.walk.steps, 1);
    assert_relative_eq!(up.walk.metres, 4.0, epsilon = 1e-9);
    // A riser that juts 0.1 m into the line: two steps would cost 2.4 m, the way round next to nothing.
    hall.risers = vec![riser(-1.0, 1.0, 3.9)];
    let round = one_way(&Field::new(std::iter::empty(), Some(&hall)), (-3.0, 4.0), (3.0, 4.0));
    assert_eq!(round.walk.steps, 0);
    assert!(round.walk.metres < 6.01);
    // One that reaches to the back edge and 4 m forward is crossed.
    hall.risers = vec![riser(-1.0, 1.0, 0.0)];
    let over = one_way(&Field::new(std::iter::empty(), Some(&hall)), (-3.0, 4.0), (3.0, 4.0));
    assert_eq!(over.walk.steps, 2);
    // Two of one height side by side are one level.
    hall.risers = vec![riser(-6.0, 0.0, 0.0), riser(0.0, 6.0, 0.0)];
    let level = one_way(&Field::new(std::iter::empty(), Some(&hall)), (-3.0, 4.0), (3.0, 4.0));
    assert_eq!(level.walk.steps, 0);
}

/// The shortest way over a fine grid of points, 16 neighbours each: never shorter than the truth, at most some 3 % longer.
fn by_grid(field: &Field, from: Point, to: Point) -> f64 {
    const STEP: f64 = 0.1;
    let mut nodes = vec![from, to];
    for i in 0..60 {
        for j in 0..60 {
            let p = Point::new(-3.0 + f64::from(i) * STEP, f64::from(j) * STEP);
            if field.is_free(p) {
                nodes.push(p);
            }
        }
    }
    let mut best = vec![f64::INFINITY; nodes.len()];
    let mut done = vec![false; nodes.len()];
    best[0] = 0.0;
    for _ in 0..nodes.len() {
        let next = (0..nodes.len()).filter(|i| !done[*i]).min_by(|a, b| best[*a].total_cmp(&best[*b]));
        let Some(at) = next.filter(|at| best[*at].is_finite() && *at != 1) else { break };
        done[at] = true;
        for other in 0..nodes.len() {
            let far = nodes[at].distance(nodes[other]);
            if !done[other]
                && far < 2.3 * STEP
                && best[at] + far < best[other]
                && field.is_open(nodes[at], nodes[other])
            {
                best[other] = best[at] + far;
            }
        }
    }
    best[1]
}

fn scene() -> impl Strategy<Value = Vec<Figure>> {
    let thing = (0..3_u8, -2.0..2.0_f64, 1.5..4.5_f64, 0.0..360.0_f64, 0.4..1.6_f64).prop_map(
        |(which, x, y, turn, size)| {
            let shape = match which {
                0 => Shape::Keyboard { width_m: size, low_m: size * 0.5, high_m: size * 0.3 },
                1 => Shape::Box { width_m: size, depth_m: 0.4 },
                _ => Shape::Round { diameter_m: size * 0.6 },
            };
            at(shape, x, y, turn)
        },
    );
    proptest::collection::vec(thing, 1..8)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn laws_of_ways(figures in scene(), spots in proptest::collection::vec((-2.8..2.8_f64, 0.2..5.8_f64), 3)) {
        let field = Field::new(figures.iter(), None);
        let places: Vec<Point> = points(&spots);
        let ways = field.ways(&places);
        for (i, row) in ways.iter().enumerate() {
            for (j, way) in row.iter().enumerate() {
                let metres = way.walk.metres;
                prop_assert!(metres >= places[i].distance(places[j]) - 1e-9, "never shorter than straight");
                prop_assert!((metres - ways[j][i].walk.metres).abs() < 1e-9, "the same both ways");
                let legs: f64 = way.points.windows(2).map(|two| two[0].distance(two[1])).sum();
                prop_assert!((metres - legs).abs() < 1e-9, "as long as its legs");
                for (k, by) in ways.iter().enumerate() {
                    if !way.shut && !row[k].shut && !by[j].shut {
                        prop_assert!(metres <= row[k].walk.metres + by[j].walk.metres + 1e-9, "triangle");
                    }
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn what_is_in_the_hand_changes_the_ways_as_if_all_were_looked_at_anew(
        figures in scene(), held in 0..8_usize, to in (-2.0..2.0_f64, 1.5..4.5_f64, 0.0..360.0_f64),
        spots in proptest::collection::vec((-2.8..2.8_f64, 0.2..5.8_f64), 4), own in (-2.8..2.8_f64, 0.2..5.8_f64),
    ) {
        let mut hall = venue(&[(-3.0, 0.0), (3.0, 0.0), (3.0, 6.0), (-3.0, 6.0)]);
        hall.risers = vec![Riser {
            name: String::new(),
            outline: points(&[(-3.0, 0.0), (3.0, 0.0), (3.0, 2.5), (-3.0, 2.5)]),
            height_m: 0.4,
            rated_kn_m2: None,
        }];
        let still: Vec<Figure> = figures.iter().enumerate().filter(|(n, _)| *n != held).map(|(_, f)| f.clone()).collect();
        let moved = at(Shape::Box { width_m: 1.2, depth_m: 0.6 }, to.0, to.1, to.2);
        let mut places = points(&spots);
        let pairs: Vec<(usize, usize)> = (0..5).flat_map(|a| (0..5).map(move |b| (a, b))).collect();
        let asked = Still::new(still.iter(), Some(&hall), places.clone(), &pairs);
        let own = points(&[own]);
        let found = asked.ways(&[&moved], &own, &pairs);
        places.extend(own);
        let all = Field::new(still.iter().chain([&moved]), Some(&hall)).ways(&places);
        let cost = |way: &Way| way.walk.metres + f64::from(way.walk.steps) * STEP_AS_M;
        for ((a, b), way) in pairs.iter().zip(&found) {
            prop_assert_eq!(way.shut, all[*a][*b].shut);
            prop_assert!((cost(way) - cost(&all[*a][*b])).abs() < 1e-9, "{} {}: {} {}", a, b, cost(way), cost(&all[*a][*b]));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3))]

    #[test]
    fn never_longer_than_over_a_fine_grid(figures in scene()) {
        let field = Field::new(figures.iter(), None);
        let (from, to) = (Point::new(-2.9, 0.1), Point::new(2.9, 5.8));
        let way = field.ways(&[from, to]).remove(0).remove(1);
        let grid = by_grid(&field, from, to);
        prop_assert!(!way.shut);
        prop_assert!(way.walk.metres <= grid + 1e-9, "{} {grid}", way.walk.metres);
        // Nor shorter than a body can go: half of one clear of every footprint, less the 2 cm that cut corners take.
        for leg in way.points.windows(2) {
            for nth in 0..=100_u8 {
                let part = f64::from(nth) / 100.0;
                let p = Point::new(
                    leg[0].x + (leg[1].x - leg[0].x) * part,
                    leg[0].y + (leg[1].y - leg[0].y) * part,
                );
                for figure in &figures {
                    let clear = figure.distance_to(p);
                    prop_assert!(clear > crate::stage::BODY_M / 2.0 - 0.021, "{clear} m at {p:?}");
                }
            }
        }
    }
}
