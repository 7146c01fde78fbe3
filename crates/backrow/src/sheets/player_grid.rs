//! Players by services, with every collision and the time to travel: for the personnel manager.

use super::head;
use backrow_core::collection::Player;
use backrow_core::findings::{Wanted, busy_elsewhere, wanted_elsewhere};
use backrow_core::library::Library;
use backrow_core::week::{Presence, Programme, Service};
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};

/// So many services stand beside each other; more go on in a further table.
const ACROSS: usize = 7;

/// The sheet's data.
pub fn player_grid(library: &Library, programme: &Programme) -> ListSheet {
    let services = library.services_of(&programme.id);
    let roster = library.roster();
    let players: Vec<&Player> =
        roster.iter().copied().filter(|player| programme.has_lines_for(&player.id)).collect();
    let others: Vec<&Player> =
        roster.into_iter().filter(|player| !programme.has_lines_for(&player.id)).collect();
    let wanted: Vec<Vec<Wanted<'_>>> =
        services.iter().map(|service| wanted_elsewhere(library, service)).collect();
    let is_away =
        |(player, service): (&&Player, &&Service)| programme.presence(player, service) == Presence::Away;
    let of_player = |player| services.iter().map(move |service| (player, service));
    let away = players.iter().flat_map(of_player).filter(|both| is_away(*both)).count();
    let clashes = wanted.iter().flatten().count();
    let grid = Grid { library, programme, services: &services, wanted: &wanted };
    let mut sections = grid.tables("Players", &players);
    sections.push(grid.collisions());
    if !others.is_empty() {
        sections.extend(grid.tables("Not in this programme", &others));
    }
    ListSheet {
        head: head(library, programme),
        title: "Players by services".to_owned(),
        beside: "for the personnel manager".to_owned(),
        facts: vec![
            Fact::counted(players.len(), "player", "players"),
            Fact::counted(services.len(), "service", "services"),
            Fact::counted(away, "time away", "times away"),
            Fact::counted(clashes, "time double-booked", "times double-booked"),
        ],
        sections,
        legend: "in: plays; in reserve: has lines, and is not engaged yet; away: absence stated; free: nothing at that hour, nor too near it to travel, in this library".to_owned(),
        across: true,
        ..ListSheet::default()
    }
}

struct Grid<'a> {
    library: &'a Library,
    programme: &'a Programme,
    services: &'a [&'a Service],
    /// Of each service.
    wanted: &'a [Vec<Wanted<'a>>],
}

impl Grid<'_> {
    fn tables(&self, title: &str, players: &[&Player]) -> Vec<Section> {
        let chunks = self.services.chunks(ACROSS).count().max(1);
        let table = |nth: usize| {
            let from = nth * ACROSS;
            let here = self.services.iter().enumerate().skip(from).take(ACROSS);
            let columns = std::iter::once(Column::strong("player", 1.3))
                .chain(here.clone().map(|(_, service)| Column::text(&self.heading(service), 1.0)));
            let row = |player: &&Player| {
                let cells: Vec<(String, bool)> =
                    here.clone().map(|(nth, service)| self.cell(player, (nth, service))).collect();
                let care = cells.iter().any(|(_, care)| *care);
                let name = if player.role.is_empty() {
                    player.name.clone()
                } else {
                    format!("{}, {}", player.name, player.role)
                };
                let cells = std::iter::once(name).chain(cells.into_iter().map(|(words, _)| words)).collect();
                Row { cells, care, ..Row::default() }
            };
            Section {
                title: title.to_owned(),
                beside: if nth == 0 { String::new() } else { "further services".to_owned() },
                columns: columns.collect(),
                rows: players.iter().map(row).collect(),
                empty: "No line is assigned yet.".to_owned(),
            }
        };
        (0..chunks).map(table).collect()
    }

    /// "Tue 12 Oct, 10:00–12:30 rehearsal, Quay Hall".
    fn heading(&self, service: &Service) -> String {
        let venue = service.place(self.programme).and_then(|id| self.library.venues.get(id));
        let place = venue.map_or_else(String::new, |venue| format!(", {}", venue.name));
        format!("{} {}{place}", moment(self.library, service), service.kind.word())
    }

    /// What a player does at a service, and whether that is a collision or an absence.
    fn cell(&self, player: &Player, (nth, service): (usize, &Service)) -> (String, bool) {
        let plays = self.programme.has_lines_for(&player.id);
        let presence = self.programme.presence(player, service);
        if !plays && presence != Presence::Away {
            return (self.elsewhere(player, service), false);
        }
        let wanted = self.wanted.get(nth).into_iter().flatten().filter(|one| one.player == player.id);
        let wanted: Vec<String> = wanted.map(|one| in_short(self.library, one)).collect();
        let care = plays && !matches!(presence, Presence::In | Presence::Reserve) || !wanted.is_empty();
        (std::iter::once(presence.word().to_owned()).chain(wanted).collect::<Vec<_>>().join("; "), care)
    }

    /// Where a player is who is not in this programme, the time to travel counted in.
    fn elsewhere(&self, player: &Player, service: &Service) -> String {
        let busy = busy_elsewhere(self.library, service, &player.id);
        let words: Vec<String> = busy.iter().map(|one| in_short(self.library, one)).collect();
        if words.is_empty() { "free".to_owned() } else { format!("in {}", words.join("; ")) }
    }

    fn collisions(&self) -> Section {
        let rows = self.services.iter().zip(self.wanted).flat_map(|(service, wanted)| {
            wanted.iter().map(move |one| {
                let there = one.collision.there;
                Row {
                    care: true,
                    ..Row::of([
                        self.library.player_name(&one.player),
                        moment(self.library, service),
                        format!(
                            "{}, {} {}",
                            one.programme.title,
                            there.kind.word(),
                            moment(self.library, there)
                        ),
                        one.collision.between.map_or_else(
                            || "at the same time".to_owned(),
                            |(has, needs)| {
                                format!("{has}\u{202F}min between them, {needs}\u{202F}min to travel assumed")
                            },
                        ),
                    ])
                }
            })
        });
        Section {
            title: "Double-booked".to_owned(),
            beside: String::new(),
            columns: vec![
                Column::strong("player", 1.2),
                Column::text("this programme", 1.2),
                Column::text("the other", 2.2),
                Column::text("", 1.8),
            ],
            rows: rows.collect(),
            empty: "Nobody is double-booked.".to_owned(),
        }
    }
}

/// "Ferry Tales 18:30"; with the minutes between where they have to travel.
fn in_short(library: &Library, one: &Wanted<'_>) -> String {
    let start = library.days().hour(one.collision.there.start.time());
    let travel = one
        .collision
        .between
        .map_or_else(String::new, |(has, needs)| format!(", {has} of {needs}\u{202F}min to travel"));
    format!("{} {start}{travel}", one.programme.title)
}

fn moment(library: &Library, service: &Service) -> String {
    library.days().span(service.start, service.end())
}
