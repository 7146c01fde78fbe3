//! Exchanges by hand.

use super::*;
use crate::halt::Halt;
use crate::rota::conflicts::Rota;
use crate::rota::model::Scope;
use crate::rota::text::read;

fn model(text: &str) -> Model {
    let rota = Rota::new(read(text).unwrap()).unwrap();
    Model::new(&rota, &Scope::whole(&rota), rota.problem().player_count())
}

fn of(players: &[usize]) -> ByNode {
    players.iter().map(|p| PlayerNo(*p)).collect()
}

/// b clashes with a and c; d with nothing.
const PATH: &str = "players Ana Ben Cy\nline a: 0-1\nline b: 0-1 60-61\nline c: 60-61\nline d: 200-201";

#[test]
fn what_hangs_on_a_line_is_exchanged_with_it() {
    let free = model(PATH);
    let changed = |model: &Model, node: usize, player: usize| {
        exchanged(model, &of(&[0, 1, 0, 0]), NodeNo(node), PlayerNo(player))
            .map(|out| out.iter().map(|p| p.0).collect::<Vec<_>>())
    };
    assert_eq!(changed(&free, 0, 1), Some(vec![1, 0, 1, 0]), "b goes to Ana, and so c to Ben");
    assert_eq!(changed(&free, 0, 2), Some(vec![2, 1, 0, 0]), "Cy has nothing there");
    assert_eq!(changed(&free, 3, 1), Some(vec![0, 1, 0, 1]));
    assert_eq!(changed(&free, 0, 0), None, "she has it");
    let barred = model(&format!("{PATH}\nbar Ben c"));
    assert_eq!((changed(&barred, 0, 1), changed(&barred, 0, 2)), (None, Some(vec![2, 1, 0, 0])));
}

/// Each line costs a point that is not Ben's; b is Ben's or its neighbours are, not both. With two players of three.
#[test]
fn changes_go_on_while_they_help() {
    let model = model(PATH);
    let wish = |players: &ByNode| players.iter().map(|p| i64::from(p.0 != 1)).sum::<i64>();
    let improved = |start: &[usize], most: usize, steps: u64| {
        let mut players = of(start);
        let best = improve(&model, &mut players, most, &wish, &mut Steps::until(steps, Halt::default()));
        assert_eq!(best, wish(&players));
        (best, players.iter().map(|p| p.0).collect::<Vec<_>>())
    };
    assert_eq!(improved(&[0, 1, 0, 0], 2, 10_000), (1, vec![1, 0, 1, 1]));
    assert_eq!(improved(&[0, 1, 0, 0], 2, 0), (3, vec![0, 1, 0, 0]), "no steps, no change");
    // Two players are used: a third is not engaged for it.
    let third = |players: &ByNode| players.iter().map(|p| i64::from(p.0 != 2)).sum::<i64>();
    let mut players = of(&[0, 1, 0, 0]);
    assert_eq!(improve(&model, &mut players, 2, &third, &mut Steps::until(10_000, Halt::default())), 4);
    assert_eq!(improve(&model, &mut players, 3, &third, &mut Steps::until(10_000, Halt::default())), 1);
}
