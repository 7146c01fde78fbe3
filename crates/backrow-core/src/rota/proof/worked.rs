//! Rings, hubs and cores by hand.

use super::*;
use crate::rota::fewest::Answer;
use crate::rota::text::read;

fn rota(text: &str) -> Rota {
    Rota::new(read(text).unwrap()).unwrap()
}

fn fewest(rota: &Rota) -> (usize, Shape, Vec<usize>, Vec<usize>) {
    let Answer::Found(found) = rota.fewest(Effort::default()) else { panic!("enough players") };
    assert!(found.proven() && found.faults.is_empty(), "{found:?}");
    let of = |lines: &[LineNo]| lines.iter().map(|line| line.0).collect::<Vec<_>>();
    (found.players, found.proof.shape, of(&found.proof.lines), of(&found.proof.beside_ring))
}

/// Each two of three meet, never all at once: a ring of three. Of four each two of which meet: a core.
#[test]
fn all_clash_with_all_at_other_times() {
    let three = rota("extras 9\nline a: 0-1 20-21\nline b: 0-1 60-61\nline c: 20-21 60-61");
    let (players, shape, mut lines, beside) = fewest(&three);
    lines.sort_unstable();
    assert_eq!((players, shape, lines, beside), (3, Shape::Ring, vec![0, 1, 2], vec![]));
    let four = rota(
        "extras 9\nline a: 0-1 20-21 40-41\nline b: 0-1 60-61 80-81\nline c: 20-21 60-61 100-101\nline d: 40-41 80-81 100-101\nline e: 300-301",
    );
    assert_eq!(fewest(&four), (4, Shape::Core, vec![0, 1, 2, 3], vec![]));
}

/// Five in a ring and one that meets each of them.
#[test]
fn a_wheel_is_a_ring_with_a_hub() {
    let wheel = rota(
        "extras 9\nline x: 300-301\nline a: 0-1 90-91 200-201\nline b: 0-1 20-21 210-211\nline c: 20-21 40-41 220-221\nline d: 40-41 60-61 230-231\n\
         line e: 60-61 90-91 240-241\nline h: 200-201 210-211 220-221 230-231 240-241",
    );
    let (players, shape, lines, beside) = fewest(&wheel);
    assert_eq!((players, shape, lines.len(), beside), (4, Shape::Ring, 5, vec![6]));
    // Round the ring each clashes with the next.
    let next = lines.iter().zip(lines.iter().cycle().skip(1));
    assert!(next.into_iter().all(|(a, b)| wheel.do_clash(LineNo(*a), LineNo(*b))));
}

/// Of a ring of five and one of three the shorter is told.
#[test]
fn the_shortest_ring_is_told() {
    let two = rota(
        "extras 9\nline a: 0-1 90-91\nline b: 0-1 20-21\nline c: 20-21 40-41\nline d: 40-41 60-61\nline e: 60-61 90-91\n\
         line p: 300-301 320-321\nline q: 300-301 340-341\nline r: 320-321 340-341",
    );
    let (players, shape, mut lines, _) = fewest(&two);
    lines.sort_unstable();
    assert_eq!((players, shape, lines), (3, Shape::Ring, vec![5, 6, 7]));
    let all: Vec<LineNo> = two.problem().lines.numbers().collect();
    let ring = |lines: &[LineNo], shorter_than: usize, steps: u64| {
        shortest_odd_ring(&two, lines, shorter_than, &mut two.steps(steps)).map(|ring| ring.len())
    };
    assert_eq!(
        (ring(&all, usize::MAX, 1000), ring(&all, 3, 1000), ring(&all, 4, 1000)),
        (Some(3), None, Some(3))
    );
    assert_eq!(
        (ring(&all[..5], usize::MAX, 1000), ring(&all[..5], 6, 1000), ring(&all[..5], 5, 1000)),
        (Some(5), Some(5), None)
    );
    assert_eq!((ring(&all[..4], usize::MAX, 1000), ring(&all, usize::MAX, 0)), (None, None));
}

#[test]
fn hubs_are_cliques_with_what_they_have_in_common() {
    let four = rota(
        "extras 9\nline a: 0-1 20-21 40-41\nline b: 0-1 60-61 80-81\nline c: 20-21 60-61 100-101\nline d: 40-41 80-81 100-101\nline e: 300-301",
    );
    let all: Vec<LineNo> = four.problem().lines.numbers().collect();
    let seen = |more: usize| {
        let mut seen: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
        hubs(&four, &all, &mut Vec::new(), more, &mut |hub, common| {
            let of = |lines: &[LineNo]| lines.iter().map(|line| line.0).collect::<Vec<_>>();
            seen.push((of(hub), of(common)));
            true
        });
        seen
    };
    assert_eq!(seen(0), [(vec![], vec![0, 1, 2, 3, 4])]);
    // e clashes with none; each of the others has the other three.
    let expected: Vec<(Vec<usize>, Vec<usize>)> =
        (0..4).map(|hub| (vec![hub], (0..4).filter(|line| *line != hub).collect())).collect();
    assert_eq!(seen(1), expected);
    assert_eq!(seen(2), [], "a ring needs three besides");
    let mut visits = 0;
    let whole = hubs(&four, &all, &mut Vec::new(), 1, &mut |_, _| {
        visits += 1;
        visits < 2
    });
    assert_eq!((whole, visits), (false, 2), "it stops when that is asked");
}

/// Rules that need two players make a core; rules that are not needed for it are not told.
#[test]
fn a_core_names_the_rules_it_needs() {
    let rota = rota("players Ana Ben Cy\nline a: 0-1\nline b: 60-61\nline c: 120-121\napart a b\nbar Cy c");
    let Answer::Found(found) = rota.fewest(Effort::default()) else { panic!("enough players") };
    assert_eq!(
        (found.players, found.proof.shape, found.proof.lines.clone()),
        (2, Shape::Core, vec![LineNo(0), LineNo(1)])
    );
    assert_eq!(found.proof.demands, [rota.problem().demands[0].clone()]);
    assert!(found.proof.at_s.is_none() && found.proof.passages.is_empty());
}
