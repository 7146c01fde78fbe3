//! A small programme laid out in time by hand.

use super::*;
use crate::rota::model::Scope;
use crate::rota::text::read;

/// a and b overlap; c comes ten seconds later, in a's strand and at a's place. c was Ben's last time, who is not to have it.
const TEXT: &str = "players Ana Ben\nextras 1\nline a at 0,0 strand s exposure 1: 0-10\n\
    line b at 3,4: 5-20\nline c at 0,0 strand s had Ben exposure 0.5: 30-40 50-60\nbar Ben c because away";

fn laid(text: &str, most: usize) -> Plan {
    let rota = Rota::new(read(text).unwrap()).unwrap();
    let model = Model::new(&rota, &Scope::whole(&rota), rota.problem().player_count());
    Plan::new(&rota, &model, most, &rota.own_costs())
}

fn each<T>(plan: &Plan, of: impl Fn(&Item) -> T) -> Vec<T> {
    plan.items.iter().map(of).collect()
}

#[test]
fn what_comes_when_and_what_it_ties_to() {
    let plan = laid(TEXT, 2);
    assert_eq!(each(&plan, |i| (i.load, i.exposure)), [(10_000, 1000), (15_000, 0), (20_000, 500)]);
    // 45 s and 1.5 units among two.
    assert_eq!((plan.even_load, plan.even_exposure, plan.most, plan.player_count), (22_500, 750, 2, 3));
    assert_eq!(plan.extras, PlayerSet::only(PlayerNo(2)));
    let n = |numbers: &[ItemNo]| numbers.iter().map(|n| n.0).collect::<Vec<usize>>();
    assert_eq!(each(&plan, |i| n(&i.before)), [vec![], vec![0], vec![]]);
    assert_eq!(each(&plan, |i| n(&i.after)), [vec![1], vec![], vec![]]);
    assert_eq!(
        each(&plan, |i| i.ties.clone()),
        [vec![], vec![], vec![Tie { to: ItemNo(0), milli_points: 10_000 }]]
    );
    // a and c are played from one spot, b from another, five metres away.
    let steps = each(&plan, |i| i.timeline.iter().map(|one| (one.item.0, one.spot.0)).collect::<Vec<_>>());
    assert_eq!(steps, [vec![(0, 0)], vec![(1, 1)], vec![(2, 0), (2, 0)]]);
    let mm: Vec<Vec<i64>> = plan.walk_mm.iter().map(|row| row.iter().copied().collect()).collect();
    assert_eq!(mm, [[0, 5000], [5000, 0]]);
    // a matters until c, its strand's next; c matters to nothing after it.
    assert_eq!(each(&plan, |i| n(&i.alive)), [vec![0], vec![0], vec![]]);
    assert_eq!(each(&plan, |i| i.fresh), [true, true, true], "ways are straight, and the lines few");
}

/// c costs Ana 6 points, as it was Ben's, and the extra 5 more; Ben cannot have it. Nothing else costs Ana anything.
#[test]
fn what_the_rest_costs_and_who_is_alike() {
    let mut plan = laid(TEXT, 2);
    assert_eq!(each(&plan, |i| i.own.iter().copied().collect::<Vec<_>>())[2], [6000, 0, 11_000]);
    assert_eq!(each(&plan, |i| i.rest), [6000, 6000, 6000]);
    let class = |plan: &Plan| each(plan, |i| i.class.iter().copied().collect::<Vec<_>>());
    assert_eq!(class(&plan), [[0, 1, 2], [0, 1, 2], [0, 1, 2]]);
    plan.raise_rest(ItemNo(1), 8000);
    assert_eq!(each(&plan, |i| i.rest), [8000, 8000, 6000]);
    plan.raise_rest(ItemNo(1), 7000);
    assert_eq!(each(&plan, |i| i.rest), [8000, 8000, 6000], "never less than is known");
    // Without what tells Ana and Ben apart they are alike to the end.
    let same = laid("players Ana Ben\nextras 1\nline a: 0-10 \nline b: 20-30", 2);
    assert_eq!(class(&same), [[0, 0, 2], [0, 0, 2]]);
    // From the second line on they are alike, before it they are not.
    let later = laid("players Ana Ben\nline a had Ana: 0-10 \nline b: 20-30", 2);
    assert_eq!((class(&later), each(&later, |i| i.rest)), (vec![vec![0, 1], vec![0, 0]], vec![0, 0]));
    let dear =
        laid("players Ana\nextras 1\nline a owner Ana: 0-10\nline b had Ana: 20-30\nbar Ana a\nbar Ana b", 2);
    // An extra for both: 8 + 5 and 6 + 5 points.
    assert_eq!(each(&dear, |i| i.rest), [24_000, 11_000]);
}

/// Where places are not known each line is a spot of its own, the default distance from the others.
#[test]
fn lines_without_a_place_are_spots_of_their_own() {
    let plan = laid("players Ana Ben\nline a: 0-10\nline b: 20-30 40-50\nline c: 42-43", 2);
    let steps = each(&plan, |i| i.timeline.iter().map(|one| (one.item.0, one.spot.0)).collect::<Vec<_>>());
    assert_eq!(steps, [vec![(0, 0)], vec![(1, 1), (1, 1)], vec![(2, 2)]]);
    assert_eq!(plan.walk_mm[SpotNo(0)].iter().copied().collect::<Vec<_>>(), [0, 2000, 2000]);
    // b still sounds as c begins: it ends there.
    assert_eq!(each(&plan, |i| i.alive.iter().map(|n| n.0).collect::<Vec<_>>()), [vec![], vec![1], vec![]]);
}

/// In a long programme the rest is looked at alone only from where everything before has ended.
#[test]
fn in_a_long_programme_few_items_are_fresh() {
    // Each third line goes on until after the next one has begun.
    let line = |n: u32| {
        let (from, to) = (n * 20, n * 20 + if n.is_multiple_of(3) { 25 } else { 5 });
        format!("line l{n} at {n},0: {from}-{from}.5 {}-{to}\n", to - 1)
    };
    let text: String =
        std::iter::once("players Ana Ben Cy\nextras 1\n".to_owned()).chain((0..33).map(line)).collect();
    let plan = laid(&text, 3);
    let fresh = each(&plan, |i| i.fresh);
    let expected: Vec<bool> = (0..33).map(|n| n > 0 && n % 3 != 1).collect();
    assert_eq!(fresh, expected);
}

#[test]
fn triangles_are_kept_or_not() {
    let mut plan = laid(TEXT, 2);
    let rows = |rows: [[i64; 3]; 3]| rows.into_iter().map(|row| row.into_iter().collect()).collect();
    plan.walk_mm = rows([[0, 3, 5], [3, 0, 2], [5, 2, 0]]);
    assert!(plan.keeps_triangles(), "as long as the way round is as long as the way");
    plan.walk_mm = rows([[0, 3, 6], [3, 0, 2], [6, 2, 0]]);
    assert!(!plan.keeps_triangles());
}

/// What stands in a group matters to its last line.
#[test]
fn crowds_bind_until_their_end() {
    let text = "players Ana Ben Cy\nhands m 2\nline a on m: 0-30\nline b: 5-6\nline c on m: 10-30\nline d on m: 20-30\nline e: 60-61";
    let plan = laid(text, 3);
    let groups: Vec<(Vec<usize>, usize)> =
        plan.groups.iter().map(|c| (c.items.iter().map(|i| i.0).collect(), c.hands)).collect();
    assert_eq!(groups, [(vec![0, 2, 3], 2)]);
    assert_eq!(each(&plan, |i| i.alive.iter().map(|n| n.0).collect::<Vec<_>>())[2], [0, 2]);
}

/// Lines of a strand that stay together are one item, which ties to nothing; a strand that costs nothing ties nothing.
#[test]
fn ties_lie_between_items() {
    let one =
        laid("players Ana\nline a strand s: 0-10\nline b: 20-30\nline c strand s: 40-41\ntogether a c", 1);
    assert_eq!(each(&one, |i| i.ties.len()), [0, 0]);
    let rota = |stay: u32| {
        let mut problem = read("players Ana\nline a strand s: 0-10\nline b strand s: 20-30").unwrap();
        problem.wishes.stay = stay;
        let rota = Rota::new(problem).unwrap();
        let model = Model::new(&rota, &Scope::whole(&rota), 1);
        each(&Plan::new(&rota, &model, 1, &rota.own_costs()), |i| i.ties.len())
    };
    assert_eq!((rota(1), rota(0)), (vec![0, 1], vec![0, 0]));
}
