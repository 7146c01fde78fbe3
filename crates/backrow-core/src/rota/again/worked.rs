//! Pieces of a programme, and one of them given out anew.

use super::*;
use crate::halt::Halt;
use crate::rota::conflicts::Rota;
use crate::rota::model::{Model, Scope};
use crate::rota::text::read;

fn laid(text: &str) -> Plan {
    let rota = Rota::new(read(text).unwrap()).unwrap();
    let model = Model::new(&rota, &Scope::whole(&rota), rota.problem().player_count());
    Plan::new(&rota, &model, 2, &rota.own_costs())
}

/// Twenty lines, of which the first, the third and the last are one strand.
fn twenty() -> String {
    let strand = |n: usize| if [0, 2, 19].contains(&n) { " strand s" } else { "" };
    let lines = (0..20).map(|n| format!("line l{n} at 0,0{}: {}-{}\n", strand(n), n * 60, n * 60 + 1));
    std::iter::once("players Ana Ben\n".to_owned()).chain(lines).collect()
}

#[test]
fn pieces_are_stretches_and_strands() {
    let found: Vec<Vec<usize>> = pieces(&laid(&twenty()))
        .iter()
        .map(|flags| flags.entries().filter(|(_, on)| **on).map(|(item, _)| item.0).collect())
        .collect();
    let stretch = |from: usize, to: usize| (from..to).collect::<Vec<usize>>();
    // Fourteen lines from each fifth on, and the strand; lines without a strand are no piece.
    let expected = [stretch(0, 14), stretch(5, 19), stretch(10, 20), stretch(15, 20), vec![0, 2, 19]];
    assert_eq!(found, expected);
}

/// The strand's lines are Ben's but for the last: they cost 10 points until all of them are one player's; nothing else costs.
#[test]
fn what_helps_is_given_out_anew() {
    let plan = laid(&twenty());
    let weights = Weights { walk: 0, load: 0, exposure: 0, extra: 0 };
    let start: List<ItemNo, PlayerNo> = (0..20).map(|n| PlayerNo(usize::from(n == 0 || n == 2))).collect();
    let before = Given { cost: 10_000, players: start.clone() };
    let better =
        |steps: u64| again(&plan, weights, before.clone(), 30, &mut Steps::until(steps, Halt::default()));
    let Given { cost, players: given } = better(1_000_000);
    assert_eq!(cost, 0);
    assert!(given[ItemNo(0)] == given[ItemNo(2)] && given[ItemNo(2)] == given[ItemNo(19)]);
    assert_eq!(better(0), before, "no steps, no change");
    let narrowed = plan.with_free(&start, &List::made(20, |item: ItemNo| item.0 == 1));
    let open: Vec<usize> = narrowed.items.iter().map(|item| item.players.len()).collect();
    assert_eq!((open[0], open[1], open[2]), (1, 2, 1));
    assert!(narrowed.items[ItemNo(0)].players.has(PlayerNo(1)));
}
