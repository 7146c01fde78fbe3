//! Lines as nodes of a graph, by hand.

use super::*;
use crate::rota::text::read;

fn rota(text: &str) -> Rota {
    Rota::new(read(text).unwrap()).unwrap()
}

fn whole(text: &str) -> Model {
    let rota = rota(text);
    Model::new(&rota, &Scope::whole(&rota), rota.problem().player_count())
}

fn members(model: &Model) -> Vec<Vec<usize>> {
    model.members.iter().map(|lines| lines.iter().map(|line| line.0).collect()).collect()
}

fn near(model: &Model) -> Vec<Vec<usize>> {
    model.near.iter().map(|nodes| nodes.iter().map(|node| node.0).collect()).collect()
}

/// a and c stay together and are one node; b clashes with a, d is kept from b.
#[test]
fn nodes_neighbours_and_players() {
    let model = whole(
        "players Ana Ben Cy\nline a: 0-4\nline b: 3-5\nline c: 60-61\nline d: 90-91\ntogether a c\napart b d\nbar Cy c\nonly Ana,Cy d\npin b Ben",
    );
    assert_eq!(members(&model), [vec![0, 2], vec![1], vec![3]]);
    assert_eq!(near(&model), [vec![1], vec![0, 2], vec![1]]);
    assert!(model.adjacent(NodeNo(0), NodeNo(1)) && model.adjacent(NodeNo(2), NodeNo(1)));
    assert!(!model.adjacent(NodeNo(0), NodeNo(2)) && !model.broken);
    let lists: Vec<Vec<usize>> = model.lists.iter().map(|list| list.each().map(|p| p.0).collect()).collect();
    assert_eq!(lists, [vec![0, 1], vec![1], vec![0, 2]]);
    assert_eq!(model.must().each().map(|p| p.0).collect::<Vec<_>>(), [1]);
    let two = whole("players Ana Ben Cy\nline a: 0-4\nline b: 60-61\npin a Ana\npin b Cy");
    assert_eq!(two.must().each().map(|p| p.0).collect::<Vec<_>>(), [0, 2]);
    let by_node: List<NodeNo, PlayerNo> = [2, 1, 0].map(PlayerNo).into_iter().collect();
    let unfolded = model.unfold(4, &by_node);
    assert_eq!(unfolded.players.iter().flatten().map(|p| p.0).collect::<Vec<_>>(), [2, 1, 2, 0]);
}

#[test]
fn what_cannot_be_is_broken() {
    let broken = |rules: &str| {
        whole(&format!("players Ana Ben\nline a: 0-4\nline b: 3-5\nline c: 60-61\n{rules}")).broken
    };
    assert!(!broken("together a c") && broken("together a b"), "they overlap");
    assert!(broken("together a c\ntogether b c"), "by way of the third");
    assert!(broken("together a c\napart a c") && !broken("apart a c"));
    assert!(broken("pin a Ana\nbar Ana a") && !broken("pin a Ana\nbar Ben a"));
}

/// An instrument for one player makes its lines that sound at once one node; one for two makes a group of three.
#[test]
fn crowds_and_single_hands() {
    let text = |hands: usize| {
        format!(
            "players Ana Ben Cy\nhands m {hands}\nline a on m: 0-9\nline b on m: 0-9\nline c on m: 0-9\nplayable a b\nplayable b c\nplayable a c"
        )
    };
    let one = whole(&text(1));
    assert_eq!((members(&one), one.groups.len()), (vec![vec![0, 1, 2]], 0));
    let two = whole(&text(2));
    let groups: Vec<(Vec<usize>, usize)> =
        two.groups.iter().map(|c| (c.nodes.iter().map(|n| n.0).collect(), c.hands)).collect();
    assert_eq!(groups, [(vec![0, 1, 2], 2)]);
    assert!(two.groups_of.iter().all(|of| of.len() == 1) && !two.broken);
    assert_eq!(whole(&text(3)).groups.len(), 0, "three hands for three");
    assert!(whole(&text(0)).broken);
}

/// Of lines and rules outside the scope nothing is left.
#[test]
fn a_scope_leaves_out_lines_and_rules() {
    let rota = rota(
        "players Ana Ben Cy\nline a: 0-4\nline b: 3-5\nline c: 60-61\nline d: 90-91\ntogether a c\napart c d\npin d Ben",
    );
    let scope = |lines: &[usize], demands: &[usize]| Scope {
        lines: List::made(4, |line: LineNo| lines.contains(&line.0)),
        demands: List::made(3, |demand: DemandNo| demands.contains(&demand.0)),
    };
    let of = |lines: &[usize], demands: &[usize]| Model::new(&rota, &scope(lines, demands), 3);
    let some = of(&[0, 2, 3], &[0, 1, 2]);
    assert_eq!((members(&some), near(&some)), (vec![vec![0, 2], vec![3]], vec![vec![1], vec![0]]));
    let without_c = of(&[0, 1, 3], &[0, 1, 2]);
    assert_eq!(
        (members(&without_c), near(&without_c)),
        (vec![vec![0], vec![1], vec![3]], vec![vec![1], vec![0], vec![]])
    );
    let without_rules = of(&[0, 2, 3], &[]);
    assert_eq!(members(&without_rules), [vec![0], vec![2], vec![3]]);
    assert_eq!(
        (near(&without_rules), without_rules.lists[NodeNo(2)].len()),
        (vec![vec![], vec![], vec![]], 3)
    );
    assert_eq!(scope(&[1, 3], &[]).line_list(), [LineNo(1), LineNo(3)]);
}

/// Rules without end in a row: all four are one.
#[test]
fn chains_of_rules_are_one_node() {
    let model = whole(
        "players Ana\nline a: 0-1\nline b: 60-61\nline c: 120-121\nline d: 180-181\nline e: 240-241\ntogether c d\ntogether a b\ntogether b d",
    );
    assert_eq!(members(&model), [vec![0, 1, 2, 3], vec![4]]);
}
