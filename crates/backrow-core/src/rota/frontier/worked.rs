//! Single steps through a small programme by hand: that of `plan::worked`, with walks of a point a metre and 20 points an extra.

use super::*;
use crate::rota::conflicts::Rota;
use crate::rota::model::{Model, Scope};
use crate::rota::text::read;

const TEXT: &str = "players Ana Ben\nextras 1\nline a at 0,0 strand s exposure 1: 0-10\n\
    line b at 3,4: 5-20\nline c at 0,0 strand s had Ben exposure 0.5: 30-40 50-60\nbar Ben c because away";

const WEIGHTS: Weights = Weights { walk: 1, load: 1, exposure: 1, extra: 20_000 };

fn laid(text: &str, most: usize) -> Plan {
    let rota = Rota::new(read(text).unwrap()).unwrap();
    let model = Model::new(&rota, &Scope::whole(&rota), rota.problem().player_count());
    Plan::new(&rota, &model, most, &rota.own_costs())
}

fn step(plan: &Plan, index: usize) -> Step<'_> {
    Step { plan, weights: WEIGHTS, index: ItemNo(index), item: &plan.items[ItemNo(index)] }
}

fn who(set: PlayerSet) -> Vec<usize> {
    set.each().map(|p| p.0).collect()
}

/// The half-made assignments after these players have had the first lines.
fn given(plan: &Plan, players: &[usize]) -> Option<Half> {
    let mut half = Half::start(plan, 0);
    for (index, player) in players.iter().enumerate() {
        half = step(plan, index).give(&half, PlayerNo(*player))?;
    }
    Some(half)
}

#[test]
fn who_may_be_tried_for_a_line() {
    let plan = laid(TEXT, 2);
    let start = Half::start(&plan, 0);
    assert_eq!(
        who(step(&plan, 0).choices(&start)),
        [0, 1, 2],
        "Ana and Ben are not alike: Ben cannot have c"
    );
    let ana = given(&plan, &[0]).unwrap();
    assert_eq!(who(step(&plan, 1).choices(&ana)), [1, 2], "Ana has what clashes with it");
    let both = given(&plan, &[0, 1]).unwrap();
    assert_eq!(who(step(&plan, 2).choices(&both)), [0], "no third player, and Ben cannot");
    // Players alike who have nothing yet: the first stands for both. Extras are not like the others.
    let alike = laid("players Ana Ben\nextras 2\nline a: 0-10\nline b: 20-30", 4);
    assert_eq!(who(step(&alike, 0).choices(&Half::start(&alike, 0))), [0, 2]);
    assert_eq!(
        who(step(&alike, 1).choices(&given(&alike, &[0]).unwrap())),
        [0, 1, 2],
        "who has something is tried, too"
    );
    // Two hands for three lines at once: the third goes to one of the two who are there.
    let crowd = laid(
        "players Ana Ben Cy\nhands m 2\nline a on m: 0-30\nline b on m: 0-30\nline c on m: 0-30\nplayable a c\nplayable b c",
        3,
    );
    assert_eq!(who(step(&crowd, 2).choices(&given(&crowd, &[0, 1]).unwrap())), [0, 1]);
    // One of them at it leaves it open to a second.
    let open = laid(
        "players Ana Ben Cy\nhands m 2\nline a on m: 0-30\nline b on m: 0-30\nline c on m: 0-30\nplayable a c\nplayable b c\nplayable a b",
        3,
    );
    assert_eq!(who(step(&open, 1).choices(&given(&open, &[0]).unwrap())), [0, 1]);
}

#[test]
fn what_a_line_costs_with_a_player() {
    let plan = laid(TEXT, 2);
    let ana = given(&plan, &[0]).unwrap();
    assert_eq!((ana.cost, ana.load[PlayerNo(0)], ana.exposure[PlayerNo(0)]), (0, 10_000, 1000));
    assert_eq!(
        (who(ana.used), ana.last[PlayerNo(0)], ana.last[PlayerNo(1)]),
        (vec![0], Some(SpotNo(0)), None)
    );
    // The extra is engaged for 20 points and costs 5 for the line.
    let extra = given(&plan, &[2]).unwrap();
    assert_eq!((extra.cost, who(extra.used)), (25_000, vec![2]));
    // Ana has c as well: 6 points, as it was Ben's; she stands where she stood.
    let all = given(&plan, &[0, 1, 0]).unwrap();
    assert_eq!((all.cost, all.load[PlayerNo(0)], all.exposure[PlayerNo(0)]), (6000, 30_000, 1500));
    // Ben comes five metres from b, and the strand passes to him: 5 and 10 points.
    let passed = given(&plan, &[0, 1, 1]).unwrap();
    assert_eq!((passed.cost, passed.load[PlayerNo(1)]), (15_000, 35_000));
    // With one player in all b is left with nobody once Ana has a.
    let one = laid(TEXT, 1);
    assert!(given(&one, &[0]).is_none());
    let half = Half::start(&one, 0);
    assert!(step(&one, 0).has_somebody(&half, ItemNo(1)));
}

/// 30 s are 7.5 above the even share of 22.5, which is an eighth of a point; 1.5 units of exposure are 0.75 above it.
#[test]
fn what_the_busiest_costs_and_what_is_still_to_come() {
    let plan = laid(TEXT, 2);
    let all = given(&plan, &[0, 1, 0]).unwrap();
    assert_eq!(all.over_cost(&plan, WEIGHTS), 125 + 750);
    let two = given(&plan, &[0, 1]).unwrap();
    // Ana has 1 unit of exposure, a quarter above the share.
    assert_eq!(two.over_cost(&plan, WEIGHTS), 250);
    assert_eq!(
        step(&plan, 2).least_of(&[two.clone(), all.clone()]),
        Some(6000 + 250),
        "and c is still to come"
    );
    assert_eq!(step(&plan, 2).least_of(&[]), None);
    let ranked = step(&plan, 1).rank(two);
    assert_eq!(ranked.bound, 6000 + 250);
    assert_eq!(step(&plan, 2).rank(all).bound, 6000 + 875, "nothing is to come after the last");
}

/// Two half-made assignments have one future when it does not matter any more who did what.
#[test]
fn what_has_one_future() {
    let plan = laid("players Ana Ben\nline a at 0,0: 0-10\nline b at 0,0: 20-30\nline c at 0,0: 60-61", 2);
    let key = |players: &[usize]| step(&plan, players.len() - 1).rank(given(&plan, players).unwrap()).key;
    assert_eq!(key(&[0, 1]), key(&[1, 0]), "Ana and Ben are alike");
    assert_ne!(key(&[0, 1]), key(&[0, 0]));
    let far = laid("players Ana Ben\nline a at 0,0: 0-10\nline b at 3,4: 20-30\nline c at 0,0: 60-61", 2);
    let at = |players: &[usize], weights: Weights| {
        let index = players.len() - 1;
        let go = Step { plan: &far, weights, index: ItemNo(index), item: &far.items[ItemNo(index)] };
        go.rank(given(&far, players).unwrap()).key
    };
    assert_ne!(at(&[0, 0], WEIGHTS), at(&[0, 1], WEIGHTS), "one of them has something, or both");
    // Where they stand matters as long as ways cost anything: at b both, or one of them still at a.
    let three = laid(
        "players Ana Ben\nline a at 0,0: 0-10\nline b at 3,4: 20-30\nline c at 3,4: 60-61\nline d at 0,0: 90-91",
        2,
    );
    let key = |players: &[usize], walk: i64| {
        let weights = Weights { walk, ..WEIGHTS };
        let go = Step { plan: &three, weights, index: ItemNo(2), item: &three.items[ItemNo(2)] };
        go.rank(given(&three, players).unwrap()).key
    };
    assert_ne!(key(&[0, 1, 0], 1), key(&[0, 1, 1], 1));
    assert_eq!(key(&[0, 1, 0], 0), key(&[0, 1, 1], 0));
    let tied = laid(
        "players Ana Ben\nline a at 0,0 strand s: 0-10\nline b at 0,0: 20-30\nline c at 0,0 strand s: 60-61",
        2,
    );
    let key = |players: &[usize]| step(&tied, 1).rank(given(&tied, players).unwrap()).key;
    assert_ne!(key(&[0, 1]), key(&[0, 0]));
    assert_eq!(key(&[0, 1]), key(&[1, 0]), "who has a's strand has it by either name");
}

fn ranked(plan: &Plan, cost: i64, sums: &[(i64, i64)], key: usize) -> Ranked {
    let half = Half { cost, ..Half::start(plan, 0) };
    let sums = sums.iter().map(|&(load, exposure)| Sums { load, exposure }).collect();
    Ranked { bound: cost, key: vec![key], sums, half }
}

/// Six seconds more of load may cost a tenth of a point, and what is rounded away; 0.3 units of exposure 0.3 points.
#[test]
fn what_replaces_another() {
    let plan = laid(TEXT, 2);
    let one = |cost: i64, sums: &[(i64, i64)]| ranked(&plan, cost, sums, 0);
    let busier = one(0, &[(10_000, 500), (0, 0)]);
    let idler = |cost| one(cost, &[(4_000, 200), (0, 0)]);
    assert!(replaces(&busier, &idler(401), WEIGHTS) && !replaces(&busier, &idler(400), WEIGHTS));
    assert!(replaces(&idler(0), &busier, WEIGHTS), "at the same cost the idler one");
    assert!(!replaces(&idler(1), &busier, WEIGHTS));
    let careless = Weights { load: 0, exposure: 0, ..WEIGHTS };
    assert!(replaces(&busier, &idler(0), careless), "where shares weigh nothing");
    let exposure_only = Weights { load: 0, ..WEIGHTS };
    assert!(replaces(&busier, &idler(300), exposure_only) && !replaces(&busier, &idler(299), exposure_only));
}

#[test]
fn of_one_future_the_cheapest_is_kept() {
    let plan = laid(TEXT, 2);
    let kept = |all: Vec<Ranked>| {
        let kept = drop_dominated(all, WEIGHTS);
        kept.iter().map(|r| (r.key[0], r.half.cost)).collect::<Vec<_>>()
    };
    let same: &[(i64, i64)] = &[(0, 0)];
    let all = vec![
        ranked(&plan, 5, same, 2),
        ranked(&plan, 3, same, 1),
        ranked(&plan, 4, same, 2),
        ranked(&plan, 9, same, 1),
    ];
    assert_eq!(kept(all), [(1, 3), (2, 4)]);
    // Dearer, but idler by a minute: both are kept.
    let both = vec![ranked(&plan, 3, &[(60_000, 0)], 1), ranked(&plan, 9, &[(0, 0)], 1)];
    assert_eq!(kept(both), [(1, 3), (1, 9)]);
}

/// The whole pass: Ana a and c, Ben b. 6 points, and 0.125 and 0.75 for what is above the even shares.
#[test]
fn a_pass_finds_the_best_and_says_what_it_left_out() {
    let plan = laid(TEXT, 2);
    let pass = |width: usize, cheaper_than: i64, steps: u64| {
        let stretch = Stretch { plan: &plan, weights: WEIGHTS, items: 0..3, width };
        let pass = stretch.pass(cheaper_than, &mut Steps::until(steps, crate::halt::Halt::default()));
        let best = pass.best.map(|b| (b.cost, b.given.iter().flatten().map(|p| p.0).collect::<Vec<_>>()));
        (best, pass.left_out)
    };
    assert_eq!(pass(100, i64::MAX, 10_000), (Some((6875, vec![0, 1, 0])), None));
    assert_eq!(pass(100, 6876, 10_000).0.unwrap().0, 6875);
    assert_eq!(pass(100, 6875, 10_000), (None, None), "nothing is cheaper than that");
    // One alone is kept: of two alike Ben with a. c then costs Ana 6 points, the strand 10, her walk 5; her 35 s are 12.5 above the
    // share, Ben's exposure a quarter. Left out was Ana with a, at 6.25 points and more.
    let (best, left_out) = pass(1, i64::MAX, 10_000);
    assert_eq!((best.unwrap(), left_out), ((21_000 + 208 + 250, vec![1, 0, 0]), Some(6250)));
    let (best, left_out) = pass(100, i64::MAX, 2);
    assert!(best.is_none() && left_out.is_some_and(|out| out <= 6875), "{left_out:?}");
    // The items after a stretch cost what they cost at the least.
    let stretch = Stretch { plan: &plan, weights: WEIGHTS, items: 0..2, width: 10 };
    let Cheapest { cost, given } =
        stretch.pass(i64::MAX, &mut Steps::until(10_000, crate::halt::Halt::default())).best.unwrap();
    assert_eq!((cost, given.len()), (6250, 2));
}
