//! What to lay out before the concert, and which beaters come from others or go on to them.

use super::super::names;
use super::Case;
use backrow_core::beaters::{Holding, Share};
use backrow_core::collection::{Beater, Owner};
use backrow_core::id::{InstrumentId, PlayerId};
use backrow_print::player::Packing;
use std::collections::BTreeSet;

/// The player's beaters: what to bring and from where, what others hand over, what to hand on. A set of the player's own that
/// others need stands there too.
pub(super) fn packing(case: &Case<'_>) -> Vec<Packing> {
    case.evening.shares().iter().filter_map(|share| line(case, share)).collect()
}

fn line(case: &Case<'_>, share: &Share) -> Option<Packing> {
    let beater = case.library.beaters.get(&share.beater)?;
    let mine = beater.owner == Owner::Player(case.player.id.clone());
    let Some(told) = share.told(&case.player.id) else {
        let first = share.holdings.first().filter(|_| mine)?;
        return Some(Packing {
            beaters: beater.name.clone(),
            count: beater.count.to_string(),
            place: "your own".to_owned(),
            used_for: format!("for {}, {}", initials(case, &first.player), music(case, first)),
            changed: false,
        });
    };
    let mut words = vec![used_for(case, share)];
    words.extend(told.comes.iter().map(|(held, from)| {
        format!(
            "from {} after {}, for {}",
            initials(case, &from.player),
            music(case, from),
            music(case, held)
        )
    }));
    words.extend(told.goes.iter().map(|(held, to)| {
        format!("after {} to {}, for {}", music(case, held), initials(case, &to.player), music(case, to))
    }));
    words.extend(told.lacks.iter().map(|held| lacking(case, share, held)));
    // Who owns them brings them, whoever plays first.
    let brings = match &beater.owner {
        _ if mine => Some(beater.count),
        Owner::Player(id) if case.library.players.contains_key(id) => None,
        _ => (told.brings > 0).then_some(told.brings),
    };
    Some(Packing {
        beaters: beater.name.clone(),
        count: brings.map_or_else(|| "–".to_owned(), |count| count.to_string()),
        place: if told.brings == 0 && !mine { String::new() } else { place(case, beater, mine) },
        used_for: words.join("; "),
        changed: false,
    })
}

fn place(case: &Case<'_>, beater: &Beater, mine: bool) -> String {
    match (&beater.owner, beater.place.as_ref().and_then(|id| case.library.places.get(id))) {
        _ if mine => "your own".to_owned(),
        (Owner::Player(id), _) => format!("{}’s own, who brings them", case.library.player_name(id)),
        (_, Some(place)) => format!("from {}", place.name),
        (Owner::Other(words), None) => format!("from {words}"),
        (Owner::Orchestra, None) => "no place in store stated".to_owned(),
    }
}

/// "4, 5; works 1, 2".
fn used_for(case: &Case<'_>, share: &Share) -> String {
    let mut things: BTreeSet<InstrumentId> = BTreeSet::new();
    let mut works: BTreeSet<usize> = BTreeSet::new();
    for taken in case.timetable.lines.iter().filter(|taken| taken.player.as_ref() == Some(&case.player.id)) {
        if taken.beaters.contains(&share.beater) {
            things.extend(taken.instruments.iter().cloned());
            works.extend(nth(case, &taken.line.work));
        }
    }
    let things: Vec<InstrumentId> = things.into_iter().collect();
    format!("{}, {}", names::numbers(case.programme, &things), names::works(&works))
}

fn lacking(case: &Case<'_>, share: &Share, held: &Holding) -> String {
    let here = |other: &&Holding| (&other.work, &other.movement) == (&held.work, &held.movement);
    let others = share.holdings.iter().filter(here).filter(|other| other.player != held.player);
    let names: BTreeSet<String> = others.map(|other| initials(case, &other.player)).collect();
    let names = names.into_iter().collect::<Vec<_>>().join(" and ");
    format!("none free in {}: {names} use them then", music(case, held))
}

fn initials(case: &Case<'_>, id: &PlayerId) -> String {
    case.library.players.get(id).map_or_else(|| id.to_string(), |player| player.initials.clone())
}

fn nth(case: &Case<'_>, work: &backrow_core::id::WorkId) -> Option<usize> {
    case.programme.works.iter().position(|id| id == work).map(|at| at + 1)
}

/// "work 3 IV"; "work 1" where it has no movements with numbers.
fn music(case: &Case<'_>, held: &Holding) -> String {
    let movement = case.library.works.get(&held.work).and_then(|work| work.movement(&held.movement));
    let number = movement.map_or("", |movement| movement.number.as_str());
    format!("work {} {number}", nth(case, &held.work).unwrap_or_default()).trim_end().to_owned()
}
