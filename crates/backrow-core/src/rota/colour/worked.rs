//! Classes, pieces and single moves of the search by hand.

use super::*;
use crate::rota::conflicts::Rota;
use crate::rota::model::Scope;
use crate::rota::text::read;

fn model(text: &str) -> Model {
    let rota = Rota::new(read(text).unwrap()).unwrap();
    Model::new(&rota, &Scope::whole(&rota), rota.problem().player_count())
}

fn numbers(set: PlayerSet) -> Vec<usize> {
    set.each().map(|p| p.0).collect()
}

fn nodes(model: &Model) -> Vec<NodeNo> {
    model.members.numbers().collect()
}

/// a is for Ana and Ben, b not for Cy: Ana and Ben are alike, Cy and Di are not.
#[test]
fn who_is_alike() {
    let model = model("players Ana Ben Cy Di\nline a: 0-1\nline b: 60-61\nonly Ana,Ben a\nbar Cy b");
    let classes =
        |set: PlayerSet| alike(&model, &nodes(&model), set).into_iter().map(numbers).collect::<Vec<_>>();
    assert_eq!(classes(PlayerSet::first(4)), [vec![0, 1], vec![2], vec![3]]);
    assert_eq!(classes(PlayerSet::first(2)), [vec![0, 1]]);
    assert_eq!(classes(PlayerSet::NOBODY), [[0; 0]; 0]);
    let of_a = alike(&model, &[NodeNo(0)], PlayerSet::first(4));
    assert_eq!(of_a.into_iter().map(numbers).collect::<Vec<_>>(), [vec![0, 1], vec![2, 3]]);
}

/// a and b clash; c stands alone; of d, e and f only two may be at m at once.
#[test]
fn what_hangs_together() {
    let model = model(
        "players Ana Ben Cy\nhands m 2\nline a: 0-1\nline b: 0-1\nline c: 60-61\nline d on m: 90-99\nline e on m: 90-99\n\
         line f on m: 90-99\nplayable d e\nplayable e f\nplayable d f",
    );
    let found: Vec<Vec<usize>> =
        pieces(&model).into_iter().map(|piece| piece.into_iter().map(|n| n.0).collect()).collect();
    assert_eq!(found, [vec![0, 1], vec![2], vec![3, 4, 5]]);
}

/// b clashes with a and c; a and c do not clash.
const PATH: &str = "players Ana Ben Cy\nline a: 0-1\nline b: 0-1 60-61\nline c: 60-61";

#[test]
fn a_player_is_taken_from_the_neighbours_and_given_back() {
    let model = model(PATH);
    let all = nodes(&model);
    let mut search = Search::new(&model, &all, PlayerSet::first(2)).unwrap();
    assert_eq!(
        search.pick(),
        Some(NodeNo(1)),
        "of those with as many players left the one with the most neighbours"
    );
    assert_eq!(numbers(search.choices(NodeNo(1))), [0], "Ana stands for both");
    assert!(search.assign(NodeNo(1), PlayerNo(0)));
    let left = |search: &Search<'_>| all.iter().map(|n| numbers(search.left[*n])).collect::<Vec<_>>();
    assert_eq!(left(&search), [vec![1], vec![0, 1], vec![1]]);
    assert_eq!((search.count[PlayerNo(0)], search.trail.len()), (1, 2));
    assert_eq!(search.pick(), Some(NodeNo(0)));
    assert!(search.assign(NodeNo(0), PlayerNo(1)));
    search.undo(NodeNo(0), 2);
    search.undo(NodeNo(1), 0);
    assert_eq!(left(&search), [vec![0, 1], vec![0, 1], vec![0, 1]]);
    assert_eq!((search.count[PlayerNo(0)], search.count[PlayerNo(1)], search.trail.len()), (0, 0, 0));
    assert!(search.player.iter().all(Option::is_none));
    // With Ana alone a neighbour is left with nobody.
    let mut alone = Search::new(&model, &all, PlayerSet::first(1)).unwrap();
    assert!(!alone.assign(NodeNo(1), PlayerNo(0)));
    assert!(Search::new(&model, &all, PlayerSet::NOBODY).is_none());
}

#[test]
fn who_is_worth_trying() {
    let model = model(PATH);
    let all = nodes(&model);
    let mut search = Search::new(&model, &all, PlayerSet::first(3)).unwrap();
    assert!(search.assign(NodeNo(0), PlayerNo(1)));
    // Ben has something and is tried; of Ana and Cy, who have nothing, Ana.
    assert_eq!(numbers(search.choices(NodeNo(2))), [0, 1]);
    assert_eq!(numbers(search.choices(NodeNo(1))), [0]);
}

#[test]
fn answers_are_proven_or_unknown() {
    let model = model(PATH);
    let all = nodes(&model);
    let ask = |players: usize, steps: u64| {
        colour(&model, &all, PlayerSet::first(players), &mut Steps::until(steps, Halt::default()))
    };
    let Verdict::Yes(players) = ask(2, 100) else { panic!("two can") };
    assert_eq!(players.iter().map(|p| p.0).collect::<Vec<_>>(), [1, 0, 1]);
    assert_eq!((ask(1, 100), ask(2, 0)), (Verdict::No, Verdict::Unknown));
    assert_eq!(
        colour(&model, &all[..1], PlayerSet::first(1), &mut Steps::until(9, Halt::default())),
        Verdict::Yes(vec![PlayerNo(0)])
    );
}
