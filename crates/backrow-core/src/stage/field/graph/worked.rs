//! Lines, costs and searches by hand.

use super::*;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

/// A corner at the origin of what lies to the right and towards the audience of it: a line of use leaves that on one side.
#[test]
fn lines_of_use_only_brush_a_corner() {
    let corner = Node::corner(p(0.0, 0.0), p(0.0, 2.0), p(2.0, 0.0));
    assert!(corner.is_tangent_to(p(-1.0, 1.0)) && corner.is_tangent_to(p(1.0, -1.0)));
    assert!(corner.is_tangent_to(p(0.0, 2.0)), "along a side");
    assert!(!corner.is_tangent_to(p(1.0, 1.0)) && !corner.is_tangent_to(p(-1.0, -1.0)));
    assert!(Node::place(p(0.0, 0.0)).is_tangent_to(p(1.0, 1.0)));
    let open = |_: Point, _: Point| Some(1);
    let (good, bad) = (Node::place(p(3.0, -4.0)), Node::place(p(3.0, 4.0)));
    assert_eq!(line(&corner, &good, open), Some(Walk { metres: 5.0, steps: 1 }));
    assert_eq!((line(&corner, &bad, open), line(&bad, &corner, open)), (None, None));
    assert_eq!(line(&corner, &good, |_, _| None), None, "it is not open");
    assert!((cost(Walk { metres: 2.0, steps: 3 }) - (2.0 + 3.0 * STEP_AS_M)).abs() < 1e-12);
}

/// Four places in a row, a metre apart, each open to the next alone.
fn row() -> Graph {
    let mut graph = Graph::new((0..4).map(|n| Node::place(p(f64::from(n), 0.0))));
    graph.join_all(|a, b| (a.distance(b) < 1.5).then_some(0));
    graph
}

#[test]
fn ways_are_found_and_counted() {
    let graph = row();
    let lines: Vec<Vec<usize>> = (0..4).map(|at| graph.lines(at).map(|(to, _)| to).collect()).collect();
    assert_eq!(lines, [vec![1], vec![0, 2], vec![1, 3], vec![2]]);
    let place = |at: usize| graph.nodes().get(at).map(|node| node.at);
    let search = graph.search(0, 4);
    let (walk, points) = search.way_to(place, 3).unwrap();
    assert_eq!((walk.steps, points.len()), (0, 4));
    assert!((walk.metres - 3.0).abs() < 1e-12);
    assert_eq!((points[0], points[3]), (p(0.0, 0.0), p(3.0, 0.0)));
    assert_eq!(search.way_to(place, 0).unwrap().1, [p(0.0, 0.0)]);
    let mut parted = Graph::new((0..3).map(|n| Node::place(p(f64::from(n), 0.0))));
    parted.join_all(|a, b| (a.x + b.x < 1.5).then_some(2));
    let place = |at: usize| parted.nodes().get(at).map(|node| node.at);
    let search = parted.search(0, 3);
    assert_eq!(search.way_to(place, 1).unwrap().0, Walk { metres: 1.0, steps: 2 });
    assert!(search.way_to(place, 2).is_none());
}

/// The straight line has two steps, 2.4 m worth; the way round by the third place is 1.5 m longer and has none.
#[test]
fn a_way_without_steps_may_be_longer() {
    let round = |aside: f64| {
        let mut graph = Graph::new([p(0.0, 0.0), p(4.0, 0.0), p(2.0, aside)].into_iter().map(Node::place));
        graph.join(2, |a, b| Some(if a.y.abs() + b.y.abs() > 0.0 { 0 } else { 2 }));
        let place = |at: usize| graph.nodes().get(at).map(|node| node.at);
        graph.search(0, 2).way_to(place, 1).unwrap()
    };
    // 2 * sqrt(4 + 1.9²) = 5.52; 2 * sqrt(4 + 2.6²) = 6.56, and the straight one counts as 6.4.
    assert_eq!((round(1.9).0.steps, round(1.9).1.len()), (0, 3));
    assert_eq!(round(2.6).0, Walk { metres: 4.0, steps: 2 });
}

/// Where all places see each other without a step the corners are left alone.
#[test]
fn corners_are_joined_only_where_they_are_needed() {
    let nodes = || [p(0.0, 0.0), p(4.0, 0.0), p(2.0, 1.0)].into_iter().map(Node::place);
    let mut graph = Graph::new(nodes());
    graph.join(2, |_, _| Some(0));
    assert_eq!((0..3).map(|at| graph.lines(at).count()).collect::<Vec<_>>(), [1, 1, 0]);
    let mut graph = Graph::new(nodes());
    graph.join(2, |a, b| (a.distance(b) < 3.0).then_some(0));
    assert_eq!((0..3).map(|at| graph.lines(at).count()).collect::<Vec<_>>(), [1, 1, 2]);
    let mut graph = Graph::new(nodes());
    graph.join(2, |_, _| Some(1));
    assert_eq!(
        (0..3).map(|at| graph.lines(at).count()).collect::<Vec<_>>(),
        [2, 2, 2],
        "a step may be saved"
    );
}
