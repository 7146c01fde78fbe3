//! The principal's overview: services, works, who plays what on what, what was found.

use super::{head, names};
use backrow_core::evening::Evening;
use backrow_core::findings::{self, Degree};
use backrow_core::library::Library;
use backrow_core::week::{LineRef, Presence, Programme};
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};

/// The sheet's data.
pub fn overview(evening: &Evening) -> ListSheet {
    let (library, programme) = (evening.library(), evening.programme());
    let found = findings::check(evening);
    let count = |degree| found.iter().filter(|finding| finding.degree == degree).count();
    let lines = lines(library, programme);
    let open = lines.iter().filter(|(_, line)| programme.assignment(line).player.is_none()).count();
    let mut sections: Vec<Section> = remark(programme).into_iter().collect();
    sections.push(services(library, programme));
    sections.extend(works(library, programme));
    sections.push(Section {
        title: "Findings".to_owned(),
        beside: [
            Fact::counted(count(Degree::Clash), "clash", "clashes"),
            Fact::counted(count(Degree::Care), "warning", "warnings"),
        ]
        .map(|fact| format!("{} {}", fact.figure, fact.words))
        .join(", "),
        columns: vec![Column::strong("what", 1.3), Column::text("", 2.6)],
        rows: found
            .iter()
            .filter(|finding| finding.degree != Degree::Note)
            .map(|finding| Row { care: true, ..Row::of([finding.what.clone(), finding.detail()]) })
            .collect(),
        empty: "Nothing to fix in this programme.".to_owned(),
    });
    ListSheet {
        head: head(library, programme),
        title: "Overview".to_owned(),
        beside: "for the principal".to_owned(),
        facts: vec![
            Fact::counted(programme.works.len(), "work", "works"),
            Fact::counted(lines.len(), "line", "lines"),
            Fact::counted(open, "unassigned", "unassigned"),
            Fact::counted(count(Degree::Clash), "clash", "clashes"),
        ],
        sections,
        cautions: Vec::new(),
        legend: "numbers as on the plan".to_owned(),
        across: false,
    }
}

fn lines(library: &Library, programme: &Programme) -> Vec<(usize, LineRef)> {
    let works = programme.works.iter().enumerate();
    works
        .filter_map(|(nth, id)| Some((nth, library.works.get(id)?)))
        .flat_map(|(nth, work)| {
            work.lines.iter().map(move |line| (nth, LineRef { work: work.id.clone(), line: line.id.clone() }))
        })
        .collect()
}

/// What the programme's remark says, so that it reaches people on paper.
pub(super) fn remark(programme: &Programme) -> Option<Section> {
    let words = programme.remark.trim();
    (!words.is_empty()).then(|| Section {
        title: "Remark".to_owned(),
        columns: vec![Column::text("", 1.0)],
        rows: vec![Row::of([words.to_owned()])],
        ..Section::default()
    })
}

/// The services in order of time, with who is not in, and why.
pub(super) fn services(library: &Library, programme: &Programme) -> Section {
    let own = programme.venue.as_ref();
    let rows = library.services_of(&programme.id).into_iter().map(|service| {
        let venue = service.venue.as_ref().or(own).and_then(|id| library.venues.get(id));
        let players = library.presences(programme, service);
        let wanted = findings::wanted_elsewhere(library, service);
        let of = |why: Presence| {
            let names = players.iter().filter(|(_, is)| *is == why).map(|(player, _)| player.name.clone());
            let names: Vec<String> = names.collect();
            (!names.is_empty()).then(|| format!("{}: {}", why.word(), backrow_core::id::listed(&names)))
        };
        let why_not = Presence::ALL.into_iter().filter(|why| *why != Presence::In);
        let mut presence: Vec<String> = why_not.filter_map(of).collect();
        presence.extend(wanted.iter().map(|one| {
            let name = library.player_name(&one.player);
            format!(
                "{name} is needed in {} too, {}",
                one.programme.title,
                one.collision.other_words(library.days())
            )
        }));
        let end = service.end();
        Row {
            care: !presence.is_empty(),
            ..Row::of([
                library.days().short_weekday(service.start.date()),
                library.days().hours(service.start, end),
                service.kind.word().to_owned(),
                venue.map_or_else(String::new, |venue| venue.name.clone()),
                if presence.is_empty() { "all in".to_owned() } else { presence.join("; ") },
            ])
        }
    });
    Section {
        title: "Services".to_owned(),
        beside: String::new(),
        columns: vec![
            Column::strong("day", 1.0),
            Column::text("time", 1.1),
            Column::text("", 1.0),
            Column::text("where", 1.8),
            Column::text("players", 2.2),
        ],
        rows: rows.collect(),
        empty: "No services yet.".to_owned(),
    }
}

/// A table a work: every line with its player, instrument and beaters.
fn works(library: &Library, programme: &Programme) -> Vec<Section> {
    let works = programme.works.iter().enumerate();
    works
        .filter_map(|(nth, id)| Some((nth, library.works.get(id)?)))
        .map(|(nth, work)| {
            let rows = work.movements.iter().flat_map(|movement| {
                work.lines_of(&movement.id).enumerate().map(move |(nth, line)| {
                    let given =
                        programme.assignment(&LineRef { work: work.id.clone(), line: line.id.clone() });
                    let player = given.player.as_ref().and_then(|id| library.players.get(id));
                    let things = names::instruments(library, &given.instruments);
                    let number = names::numbers(programme, &given.instruments);
                    let thing = if things.is_empty() {
                        "not chosen".to_owned()
                    } else {
                        format!("{number}  {things}")
                    };
                    Row {
                        care: player.is_none() || given.instruments.is_empty(),
                        ..Row::of([
                            // Its title once: the number says it again.
                            if nth == 0 { movement.heading() } else { movement.number.clone() },
                            library.line_name(line),
                            line.measures(),
                            player.map_or_else(|| "unassigned".to_owned(), |player| player.initials.clone()),
                            thing,
                            names::beaters(library, given.beaters.iter()),
                        ])
                    }
                })
            });
            Section {
                title: format!("{} {}", nth + 1, work.title),
                beside: crate::words::listed([
                    &work.composer,
                    &names::length((work.seconds() / 60.0).round() * 60.0),
                ]),
                columns: vec![
                    Column::text("movement", 1.2),
                    Column::strong("line", 1.5),
                    Column::text("measures", 1.3),
                    Column::text("player", 1.35),
                    Column::text("no., instrument", 2.3),
                    Column::text("beaters", 2.0),
                ],
                rows: rows.collect(),
                empty: "No percussion.".to_owned(),
            }
        })
        .collect()
}
