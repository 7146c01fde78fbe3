//! Gaps, bounds and the second look, by hand.

use super::*;
use crate::halt::Halt;
use crate::rota::number::LineNo;
use crate::rota::text::read;

fn rota(text: &str) -> Rota {
    Rota::new(read(text).unwrap()).unwrap()
}

#[test]
fn a_gap_is_told_in_points() {
    let best = |milli_points: i64, at_least_milli_points: i64, faults: &[&str]| Best {
        assignments: Assignments::default(),
        cost: Cost { milli_points, ..Cost::default() },
        at_least_milli_points,
        faults: faults.iter().map(|fault| (*fault).to_owned()).collect(),
    };
    let gap = |cost: i64, least: i64| best(cost, least, &[]).gap_points();
    assert!(
        (gap(5000, 3500) - 1.5).abs() < 1e-12
            && gap(3500, 3500).abs() < 1e-12
            && gap(3000, 3500).abs() < 1e-12
    );
    assert!(best(5000, 5000, &[]).proven() && !best(5000, 4999, &[]).proven());
    assert!(!best(5000, 5000, &["two at once"]).proven());
}

/// Twelve lines of two strands that change places, five metres apart; whoever stays with a strand walks, whoever stays at a place
/// breaks it.
fn twelve() -> String {
    let line = |n: u32| {
        let (strand, x) =
            (if n.is_multiple_of(2) { "s" } else { "t" }, if n / 2 % 2 == n % 2 { 0 } else { 5 });
        format!("line l{n} at {x},0 strand {strand}: {}-{}\n", n * 30, n * 30 + 10)
    };
    std::iter::once("players Ana Ben\n".to_owned()).chain((0..12).map(line)).collect()
}

/// A narrow search may miss the best and must say so: its bound lies below what it found, and never above the true best.
#[test]
fn a_bound_is_never_above_the_best() {
    let rota = rota(&twelve());
    let best = |width: usize| rota.best(2, None, Effort { steps: 1_000_000, width }).unwrap();
    let wide = best(4000);
    assert!(wide.proven(), "{wide:?}");
    for width in [1, 2, 5, 20, 100] {
        let narrow = best(width);
        assert!(narrow.at_least_milli_points <= wide.cost.milli_points, "{width}: {narrow:?}");
        assert!(narrow.cost.milli_points >= wide.cost.milli_points && narrow.faults.is_empty());
        assert_eq!(narrow.cost, rota.cost(&narrow.assignments, 2));
    }
}

/// What comes with the question is beaten or kept, never made worse; a start with a fault or too many players is not looked at.
#[test]
fn a_start_is_beaten_or_kept() {
    let rota = rota("players Ana Ben Cy\nline a had Ben: 0-10\nline b: 5-20\nline c had Ana: 60-70");
    let start = |players: [usize; 3]| Assignments {
        players: players.map(|p| Some(PlayerNo(p))).into_iter().collect(),
    };
    let best = |players: [usize; 3]| rota.best(2, Some(&start(players)), Effort::default()).unwrap();
    let whole = rota.best(2, None, Effort::default()).unwrap();
    assert_eq!(whole.assignments, start([1, 0, 0]));
    for players in [[1, 0, 0], [0, 1, 0], [0, 0, 0], [0, 1, 2]] {
        assert_eq!(best(players).cost, whole.cost, "{players:?}");
    }
    // Ended before it began, the search gives back what it was given, and nothing where that breaks a rule.
    let ended = rota.clone().until(Halt::when(|_| true));
    let kept = ended.best(2, Some(&start([0, 1, 1])), Effort::default()).unwrap();
    assert!(kept.assignments == start([0, 1, 1]) && !kept.proven());
    assert_eq!(ended.best(2, Some(&start([0, 0, 0])), Effort::default()), None, "two at once");
    assert_eq!(ended.best(2, Some(&start([0, 1, 2])), Effort::default()), None, "three of two");
}

/// Stretches and strands given out anew: the strand's first and third lines are Ben's and its last is Ana's.
#[test]
fn what_was_found_is_tried_again() {
    let rota = rota(
        "players Ana Ben\nline a at 0,0 strand s: 0-1\nline b at 0,0: 60-61\nline c at 0,0 strand s: 120-121\nline d at 0,0 strand s: 180-181",
    );
    let model = Model::new(&rota, &Scope::whole(&rota), 2);
    let own = rota.own_costs();
    let plan = Plan::new(&rota, &model, 2, &own);
    let aim = Aim { players: 2, effort: Effort::default(), own: &own, usual: &own };
    let start = Assignments { players: [1, 0, 1, 0].map(|p| Some(PlayerNo(p))).into_iter().collect() };
    let cost = rota.search_cost(&start, aim);
    assert_eq!(cost, 10_000, "the strand passes once; each plays its even share");
    let priced = |cost: i64, of: &Assignments| Priced { cost, assignments: of.clone() };
    let Priced { cost: better, assignments: found } =
        rota.tried_again(&plan, &model, priced(cost, &start), aim, &mut rota.steps(1_000_000));
    assert!(better < cost && found.player(LineNo(0)) == found.player(LineNo(3)), "{found:?}");
    assert_eq!(better, rota.search_cost(&found, aim));
    let mut none = rota.steps(0);
    assert_eq!(rota.tried_again(&plan, &model, priced(cost, &start), aim, &mut none), priced(cost, &start));
    let nobody = Assignments::empty(4);
    assert_eq!(
        rota.tried_again(&plan, &model, priced(7, &nobody), aim, &mut rota.steps(99)),
        priced(7, &nobody)
    );
}

/// Looking back from the end raises what the rest costs at the least to what it costs by itself: c costs its owner's 8 points, as she
/// cannot have it, and b and c are five metres apart, whoever has both or 10 points where two share the strand.
#[test]
fn the_rest_costs_what_it_costs_alone() {
    let text = "players Ana Ben\nline a at 0,0: 0-1\nline b at 0,0 strand s: 60-61\nline c at 3,4 strand s owner Ana: 120-121\nbar Ana c";
    let rota = rota(text);
    let model = Model::new(&rota, &Scope::whole(&rota), 2);
    let mut plan = Plan::new(&rota, &model, 2, &rota.own_costs());
    let rest = |plan: &Plan| plan.items.iter().map(|item| item.rest).collect::<Vec<_>>();
    assert_eq!(rest(&plan), [8000, 8000, 8000]);
    look_back(&mut plan, rota.weights(), 400, &mut rota.steps(1_000_000));
    assert_eq!(rest(&plan), [13_000, 13_000, 8000]);
    let mut unlooked = Plan::new(&rota, &model, 2, &rota.own_costs());
    look_back(&mut unlooked, rota.weights(), 400, &mut rota.steps(0));
    assert_eq!(rest(&unlooked), [8000, 8000, 8000]);
}
