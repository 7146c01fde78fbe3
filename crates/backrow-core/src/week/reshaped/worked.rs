//! Lines that go into another work, or out of one, with all that was given; by hand.

use super::*;
use crate::collection::Point;
use crate::id::{InstrumentId, PlayerId};
use crate::sample::{at, programme};
use crate::week::Placement;

fn w(id: &str) -> WorkId {
    WorkId::new(id).unwrap()
}

fn line(id: &str) -> LineId {
    LineId::new(id).unwrap()
}

fn given(player: &str) -> Assignment {
    Assignment { player: PlayerId::new(player).ok(), ..Assignment::default() }
}

/// Works w, v and u; lines of w and v with players, rules between them, and a floor of w's own.
fn three() -> Programme {
    let mut three = programme("p", &["w", "v", "u"]);
    three.assign(at("w", "a"), given("1"));
    three.assign(at("w", "b"), given("2"));
    three.assign(at("v", "a"), given("3"));
    three.rules = vec![
        LineRule::Together(at("w", "a"), at("v", "a")),
        LineRule::Apart(at("v", "a"), at("w", "b")),
        LineRule::Only(at("w", "a"), Vec::new()),
    ];
    let place = Placement { at: Point::new(1.0, 2.0), turn_deg: 0.0, number: 1, locked: false };
    three.setup.change_for(&w("w"), |own| {
        own.placements.insert(InstrumentId::new("gong").unwrap(), place);
    });
    three
}

fn told(programme: &Programme) -> Vec<(String, String)> {
    let name = |line: &LineRef| format!("{}/{}", line.work, line.line);
    programme
        .assignments
        .iter()
        .map(|(at, given)| (name(at), given.player.as_ref().unwrap().to_string()))
        .collect()
}

fn works(programme: &Programme) -> Vec<&str> {
    programme.works.iter().map(WorkId::as_str).collect()
}

/// Into a work that is not played yet: it stands where the old one stood, with its floor. The line `a` becomes `x`; `b` stays where
/// it was.
#[test]
fn lines_go_into_another_work() {
    let joined = three().with_work_joined(&w("w"), &w("n"), &[(line("a"), line("x"))]);
    assert_eq!(works(&joined), ["n", "v", "u"]);
    let own = |player: &str, at: &str| (at.to_owned(), player.to_owned());
    assert_eq!(told(&joined), [own("1", "n/x"), own("3", "v/a"), own("2", "w/b")]);
    assert_eq!(joined.rules[0], LineRule::Together(at("n", "x"), at("v", "a")));
    assert_eq!(joined.rules[1], LineRule::Apart(at("v", "a"), at("w", "b")));
    assert_eq!(joined.rules[2], LineRule::Only(at("n", "x"), Vec::new()));
    assert_eq!(joined.setup.own.keys().collect::<Vec<_>>(), [&w("n")]);
    // Into one that is played already: that one stays where it stands, with its own floor.
    let played =
        three().with_work_joined(&w("w"), &w("v"), &[(line("a"), line("x")), (line("b"), line("b"))]);
    assert_eq!(works(&played), ["v", "u"]);
    assert_eq!(told(&played), [own("3", "v/a"), own("2", "v/b"), own("1", "v/x")]);
    assert_eq!(played.setup.own.keys().collect::<Vec<_>>(), [&w("w")]);
}

#[test]
fn lines_become_a_work_of_their_own() {
    let parted = three().with_work_parted(&w("v"), &w("n"), &[line("a")]);
    assert_eq!(works(&parted), ["w", "v", "n", "u"], "right behind the one that it came from");
    let own = |player: &str, at: &str| (at.to_owned(), player.to_owned());
    assert_eq!(
        told(&parted),
        [own("3", "n/a"), own("1", "w/a"), own("2", "w/b")],
        "w's line of that name stays"
    );
    let elsewhere = three().with_work_parted(&w("gone"), &w("n"), &[line("a")]);
    assert_eq!((works(&elsewhere), elsewhere == three()), (vec!["w", "v", "u"], true));
}
