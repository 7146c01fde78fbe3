//! With what: beaters for every line that has none and is struck.

use super::last::{Before, Last};
use super::lines::Asker;
use super::{Ask, Pick, Picks, Wanted, decided};
use crate::collection::{Beater, Harm, Head, Instrument, Kind, Owner, harm};
use crate::id::{BeaterId, InstrumentId, PlayerId};
use crate::library::Library;
use std::collections::{BTreeMap, BTreeSet};

/// A beater against a line; less is better.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Key<'a> {
    /// How far from what the part asks: another head, then steps of hardness.
    head: bool,
    /// Another player's own, which that player wants at hand.
    others_own: u8,
    hardness: u8,
    before: Before,
    /// Not kept for this kind by the section.
    unsuited: bool,
    /// Its place among the kind's usual heads, and steps from the usual hardness.
    usual: usize,
    /// Its player does not have it in hand for another line.
    fresh: bool,
    /// Whose: the player's own, ours, lent, another player's.
    owner: u8,
    name: &'a str,
    id: &'a BeaterId,
}

/// Who has which beaters this evening.
type Hands = BTreeMap<BeaterId, BTreeSet<PlayerId>>;

/// A pick for every line that is struck and has no beaters, by its place among the lines; `on` are the instruments proposed.
pub(super) fn propose(
    ask: &Ask<'_>,
    lines: &[Asker<'_>],
    last: &Last,
    on: &Picks<InstrumentId>,
) -> Picks<BeaterId> {
    let mut hands = Hands::new();
    for line in lines {
        take(&mut hands, line, &line.given.beaters);
    }
    let mut picks = Picks::new();
    for (at, line) in lines.iter().enumerate().filter(|(_, line)| line.given.beaters.is_empty()) {
        let things: Vec<&Instrument> = match on.get(&at) {
            Some(pick) => pick.chosen.iter(),
            None => line.given.instruments.iter(),
        }
        .filter_map(|id| ask.library.instruments.get(id))
        .map(|thing| &**thing)
        .collect();
        if let Some(pick) = pick(ask, line, &things, last, &hands) {
            take(&mut hands, line, &pick.chosen);
            picks.insert(at, pick);
        }
    }
    picks
}

fn take(hands: &mut Hands, line: &Asker<'_>, beaters: &[BeaterId]) {
    for (id, player) in beaters.iter().zip(line.given.player.iter().cycle()) {
        hands.entry(id.clone()).or_default().insert(player.clone());
    }
}

fn pick(
    ask: &Ask<'_>,
    row: &Asker<'_>,
    things: &[&Instrument],
    last: &Last,
    hands: &Hands,
) -> Option<Pick<BeaterId>> {
    let library = ask.library;
    // What is played on counts; where it is another kind than asked, that kind's beaters.
    let played = things.first().and_then(|thing| library.kinds.get(&thing.kind)).map(|kind| &**kind);
    let kind = played.or(row.kind)?;
    let wanted = (ask.wanted)(&row.line.beaters);
    let suits = |beater: &Beater| beater.suits.contains(&kind.id);
    let fits = |beater: &Beater| {
        beater.count > 0
            && (suits(beater)
                || kind.usual.iter().any(|usual| usual.head == beater.head)
                || wanted.heads.contains(&beater.head))
    };
    let harms = |beater: &Beater| {
        if things.is_empty() {
            return harm(beater.head, Some(kind), None);
        }
        things.iter().find_map(|thing| harm(beater.head, Some(kind), Some(thing)))
    };
    let may = |beater: &Beater| harms(beater).is_none() && is_to_be_had(beater, row, hands);
    if let Some(pick) =
        decided::with(ask, row, things).and_then(|decision| decided::beaters(ask, decision, may))
    {
        return Some(pick);
    }
    let of_kind: Vec<&Beater> = library.beaters.values().map(|b| &**b).filter(|b| fits(b)).collect();
    // Nothing is struck, or the bare hand does it and nobody keeps anything for it.
    let kept_for_it = of_kind.iter().any(|beater| suits(beater));
    if (of_kind.is_empty() && kind.usual.is_empty()) || (wanted.is_open() && is_by_hand(kind) && !kept_for_it)
    {
        return None;
    }
    let of = For { library, line: row, kind, wanted: &wanted, last, hands };
    let mut keys: Vec<Key<'_>> =
        of_kind.iter().copied().filter(|beater| may(beater)).map(|beater| key(&of, beater)).collect();
    keys.sort();
    let Some(best) = keys.first() else {
        let harmful = of_kind.iter().find_map(|beater| Some((beater, harms(beater)?)));
        return Some(Pick::nothing(match harmful {
            Some((beater, Harm::Kind)) => {
                format!("{} may harm {}: agree on others", beater.name, kind.name())
            }
            Some((beater, Harm::Material(material))) => {
                format!("{} may harm {}: agree on others", beater.name, material.word())
            }
            None if of_kind.is_empty() => format!("the collection has no beaters for {}", kind.name()),
            None => "other players are using all that suit".to_owned(),
        }));
    };
    let second = keys.get(1);
    let refused = of_kind.iter().any(|beater| wanted.heads.contains(&beater.head) && harms(beater).is_some());
    Some(Pick {
        chosen: vec![best.id.clone()],
        reason: reason(best, second, &of, refused),
        next: second.map(|key| key.id.clone()).into_iter().collect(),
        next_reason: second.map_or_else(String::new, |second| why_not(best, second).to_owned()),
        asks: best.head,
    })
}

/// Whether the kind's own way is the bare hand.
fn is_by_hand(kind: &Kind) -> bool {
    kind.usual.first().is_some_and(|usual| usual.head == Head::Hand)
}

/// A set serves as many players as it has pairs; hands everybody has.
fn is_to_be_had(beater: &Beater, line: &Asker<'_>, hands: &Hands) -> bool {
    if beater.head == Head::Hand {
        return true;
    }
    let mine = line.given.player.as_ref();
    let others = hands.get(&beater.id).into_iter().flatten().filter(|player| Some(*player) != mine).count();
    let pairs = usize::try_from((beater.count / 2).max(1)).unwrap_or(usize::MAX);
    others < pairs || (mine.is_none() && others <= pairs)
}

/// What a beater is looked at for.
struct For<'a> {
    library: &'a Library,
    line: &'a Asker<'a>,
    kind: &'a Kind,
    wanted: &'a Wanted,
    last: &'a Last,
    hands: &'a Hands,
}

fn key<'b>(of: &For<'_>, beater: &'b Beater) -> Key<'b> {
    let For { library, line, kind, wanted, last, hands } = of;
    let steps = |one: crate::collection::Hardness, other: crate::collection::Hardness| {
        (one as u8).abs_diff(other as u8)
    };
    let usual = kind.usual.iter().position(|usual| usual.head == beater.head);
    let usual_hardness =
        kind.usual.iter().find(|usual| usual.head == beater.head).and_then(|usual| usual.hardness);
    let off = usual_hardness.map_or(0, |usual| usize::from(steps(usual, beater.hardness)));
    let mine = line.given.player.as_ref();
    let in_hand =
        mine.is_some_and(|mine| hands.get(&beater.id).is_some_and(|players| players.contains(mine)));
    let owner = match &beater.owner {
        Owner::Player(id) if Some(id) == mine => 0,
        Owner::Orchestra => 1,
        Owner::Other(_) => 2,
        Owner::Player(_) => 3,
    };
    Key {
        head: !wanted.heads.is_empty() && !wanted.heads.contains(&beater.head),
        others_own: u8::from(owner == 3),
        hardness: wanted.hardness.map_or(0, |asked| steps(asked, beater.hardness)),
        before: last.beater(library, &line.at, &beater.id),
        unsuited: !beater.suits.contains(&kind.id),
        usual: usual.unwrap_or(kind.usual.len()) * 8 + off,
        fresh: !in_hand,
        owner,
        name: &beater.name,
        id: &beater.id,
    }
}

fn reason(best: &Key<'_>, second: Option<&Key<'_>>, of: &For<'_>, refused: bool) -> String {
    let asked = of.line.line.beaters.join(", ");
    if best.head && refused {
        return format!("what “{asked}” means may harm it; the nearest that does not");
    }
    if best.head {
        return format!("the nearest to “{asked}”, of which there is none");
    }
    if !of.wanted.is_open() {
        let near = if best.hardness > 0 { "; none is as hard or soft as it says" } else { "" };
        return format!("the part asks “{asked}”{near}");
    }
    let Some(second) = second else { return "the only beaters for it".to_owned() };
    match () {
        () if best.others_own != second.others_own => "nobody else’s own",
        () if best.before != second.before && best.before == Before::Asker => "chosen last time",
        () if best.before != second.before => "a work like it had them last time",
        () if best.unsuited != second.unsuited => "kept for it",
        () if best.usual != second.usual => "the most usual for it",
        () if best.fresh != second.fresh => "its player is holding them already",
        () if best.owner != second.owner && best.owner == 0 => "the player’s own",
        () if best.owner != second.owner => "ours",
        () => "as good as others, first by name",
    }
    .to_owned()
}

fn why_not(best: &Key<'_>, second: &Key<'_>) -> &'static str {
    match () {
        () if best.head != second.head => "another head than the part asks",
        () if best.others_own != second.others_own => "another player’s own",
        () if best.hardness != second.hardness => "further from what the part asks",
        () if best.before != second.before => "not what it had last time",
        () if best.unsuited != second.unsuited => "not kept for it",
        () if best.usual != second.usual => "less usual for it",
        () if best.fresh != second.fresh => "one change more",
        () if best.owner != second.owner => "somebody else’s",
        () => "as good, after it by name",
    }
}
