//! The summary for the conductor and the personnel manager: players, extras, special instruments.

use super::{head, names, overview};
use backrow_core::collection::{Family, Owner, Player};
use backrow_core::evening::Evening;
use backrow_core::id::listed;
use backrow_core::library::Library;
use backrow_core::week::{LineRef, Presence, Programme, Service};
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};
use std::collections::{BTreeMap, BTreeSet};

/// The sheet's data.
pub fn summary(evening: &Evening) -> ListSheet {
    let (library, programme) = (evening.library(), evening.programme());
    let players = names::players(evening);
    let extras = evening.needs().extras.len();
    let (needed, to_engage) = super::season::players_needed(evening);
    let to_engage =
        (to_engage > 0).then(|| Fact::counted(to_engage, "extra to be engaged", "extras to be engaged"));
    ListSheet {
        head: head(library, programme),
        title: "Percussion".to_owned(),
        beside: "for the conductor and the manager".to_owned(),
        facts: [
            Fact::counted(players.len(), "player", "players"),
            Fact::counted(extras, "of whom is an extra", "of whom are extras"),
            needed,
        ]
        .into_iter()
        .chain(to_engage)
        .collect(),
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

fn works(library: &Library, programme: &Programme) -> Section {
    let row = |(nth, id): (usize, &backrow_core::id::WorkId)| {
        let work = library.works.get(id)?;
        let mut kinds: Vec<String> = Vec::new();
        let (mut players, mut open) = (BTreeSet::new(), 0);
        for line in &work.lines {
            let name = library.line_name(line);
            if !kinds.contains(&name) {
                kinds.push(name);
            }
            let at = LineRef { work: id.clone(), line: line.id.clone() };
            match programme.assignment(&at).player {
                Some(player) => drop(players.insert(player)),
                None => open += 1,
            }
        }
        let mut kinds =
            if kinds.is_empty() { "no percussion".to_owned() } else { backrow_core::id::listed(&kinds) };
        if open > 0 {
            kinds = format!("{kinds}; {} unassigned", crate::words::many(open, "line"));
        }
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
        let (words, care) = attendance(library, programme, player, &services);
        Row { care, ..Row::of([player.name.clone(), player.role.clone(), works.unwrap_or_default(), words]) }
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

/// At which services a player is not "in", and why: "away: rehearsal 13 Oct, 10:00"; of a programme’s whole length only why. Whether
/// that leaves a service without the player.
fn attendance(
    library: &Library,
    programme: &Programme,
    player: &Player,
    services: &[&Service],
) -> (String, bool) {
    let mut words = Vec::new();
    for why in Presence::ALL.into_iter().filter(|why| *why != Presence::In) {
        let of = services.iter().filter(|service| programme.presence(player, service) == why);
        let of: Vec<String> =
            of.map(|at| format!("{} {}", at.kind.word(), library.days().at(at.start))).collect();
        if of.len() == services.len() && !of.is_empty() {
            words.push(why.word().to_owned());
        } else if !of.is_empty() {
            words.push(format!("{}: {}", why.word(), of.join("; ")));
        }
    }
    let out =
        |service: &&Service| !matches!(programme.presence(player, service), Presence::In | Presence::Reserve);
    (words.join("; "), services.iter().any(out))
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
        let lender = programme.hires.iter().find(|hire| hire.instrument.as_ref() == Some(id));
        let lender = lender.map(|hire| hire.lender.clone()).filter(|lender| !lender.is_empty());
        let owner = match &thing.owner {
            Owner::Orchestra if odd => "ours".to_owned(),
            Owner::Orchestra => continue,
            Owner::Player(id) => format!("{}’s own", library.player_name(id)),
            Owner::Other(words) => lender.unwrap_or_else(|| words.clone()),
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
