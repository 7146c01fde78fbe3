//! The summary for the conductor and the personnel manager: players, extras, special instruments.

use super::{head, names, overview};
use backrow_core::collection::{Family, Owner, Player};
use backrow_core::evening::Evening;
use backrow_core::id::listed;
use backrow_core::library::Library;
use backrow_core::week::{LineRef, Programme};
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};
use std::collections::{BTreeMap, BTreeSet};

/// The sheet's data.
pub fn summary(evening: &Evening) -> ListSheet {
    let (library, programme) = (evening.library(), evening.programme());
    let players = players(evening);
    let extras = evening.needs().extras.len();
    let needed = super::season::players_needed(evening);
    ListSheet {
        head: head(library, programme),
        title: "Percussion".to_owned(),
        beside: "for the conductor and the manager".to_owned(),
        facts: vec![
            Fact::counted(players.len(), "player", "players"),
            Fact::counted(extras, "of whom is an extra", "of whom are extras"),
            needed,
        ],
        sections: vec![
            works(library, programme),
            roster(library, programme, &players),
            special(evening),
            overview::services(library, programme),
        ],
        cautions: Vec::new(),
        legend: String::new(),
        across: false,
    }
}

/// Who has something to play, in roster order.
pub(super) fn players(evening: &Evening) -> Vec<&Player> {
    let player = |id| evening.library().players.get(id).map(|player| &**player);
    evening.needs().players.iter().filter_map(player).collect()
}

fn works(library: &Library, programme: &Programme) -> Section {
    let row = |(nth, id): (usize, &backrow_core::id::WorkId)| {
        let work = library.works.get(id)?;
        let mut kinds: Vec<String> = Vec::new();
        let mut players: BTreeSet<_> = BTreeSet::new();
        for line in &work.lines {
            let name = library.line_name(line);
            if !kinds.contains(&name) {
                kinds.push(name);
            }
            let at = LineRef { work: id.clone(), line: line.id.clone() };
            players.extend(programme.assignment(&at).player);
        }
        let kinds =
            if kinds.is_empty() { "no percussion".to_owned() } else { backrow_core::id::listed(&kinds) };
        let length = names::length((work.seconds() / 60.0).round() * 60.0);
        Some(Row::of([
            (nth + 1).to_string(),
            crate::words::listed([&work.title, &work.composer]),
            length,
            players.len().to_string(),
            kinds,
        ]))
    };
    Section {
        title: "Works".to_owned(),
        beside: String::new(),
        columns: vec![
            Column::text("", 0.25),
            Column::strong("work", 2.0),
            Column::figures("length", 0.55),
            Column::figures("players", 0.6),
            Column::text("asks for", 3.4),
        ],
        rows: programme.works.iter().enumerate().filter_map(row).collect(),
        empty: "No work in this programme yet.".to_owned(),
    }
}

fn roster(library: &Library, programme: &Programme, players: &[&Player]) -> Section {
    let mut works: BTreeMap<_, BTreeSet<usize>> = BTreeMap::new();
    for (at, given) in programme.lines() {
        let nth = programme.works.iter().position(|id| *id == at.work);
        if let (Some(player), Some(nth)) = (&given.player, nth) {
            works.entry(player.clone()).or_default().insert(nth + 1);
        }
    }
    let services = library.services_of(&programme.id);
    let row = |player: &&Player| {
        let works = works.get(&player.id).map(names::works);
        let out: Vec<String> = services
            .iter()
            .filter(|service| player.absences.contains(&service.id))
            .map(|service| format!("{} {}", service.kind.word(), library.days().at(service.start)))
            .collect();
        Row {
            care: !out.is_empty(),
            ..Row::of([
                player.name.clone(),
                player.role.clone(),
                works.unwrap_or_default(),
                if out.is_empty() { String::new() } else { format!("away: {}", out.join("; ")) },
            ])
        }
    };
    Section {
        title: "Players".to_owned(),
        beside: String::new(),
        columns: vec![
            Column::strong("player", 1.5),
            Column::text("role", 1.5),
            Column::text("plays in", 1.3),
            Column::text("", 2.4),
        ],
        rows: players.iter().map(row).collect(),
        empty: "No line is assigned yet.".to_owned(),
    }
}

/// What a conductor and a manager ask about: what is hired or somebody else's, bells, gongs and effects.
fn special(evening: &Evening) -> Section {
    let (library, programme) = (evening.library(), evening.programme());
    // A row for each owner, so that the page stays one.
    let mut by_owner: BTreeMap<(bool, String), Vec<String>> = BTreeMap::new();
    for id in evening.used().keys() {
        let Some(thing) = library.instruments.get(id) else { continue };
        let family = library.kinds.get(&thing.kind).map(|kind| kind.family);
        let odd = matches!(family, Some(Family::Bells | Family::Gongs | Family::Effects | Family::Glass));
        let owner = match &thing.owner {
            Owner::Orchestra if odd => "ours".to_owned(),
            Owner::Orchestra => continue,
            Owner::Player(id) => format!("{}’s own", library.player_name(id)),
            Owner::Other(words) => words.clone(),
        };
        by_owner.entry((thing.owner == Owner::Orchestra, owner)).or_default().push(thing.name.clone());
    }
    let hired = programme.hires.iter().filter(|hire| hire.instrument.is_none());
    for hire in hired {
        let words = if hire.lender.is_empty() { "to be found" } else { &hire.lender };
        let name = format!("{} ({})", hire.what, hire.state.word());
        by_owner.entry((false, words.to_owned())).or_default().push(name);
    }
    let rows = by_owner.into_iter().map(|((_, owner), names)| Row::of([owner, listed(&names)])).collect();
    Section {
        title: "Special instruments".to_owned(),
        beside: "bells, gongs, effects, and what is hired or borrowed".to_owned(),
        columns: vec![Column::strong("whose", 1.4), Column::text("what", 4.0)],
        rows,
        empty: "None.".to_owned(),
    }
}
