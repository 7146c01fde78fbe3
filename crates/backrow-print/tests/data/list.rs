//! Invented sheets of tables.

use backrow_print::caution;
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};

use super::{head, long};

fn cells(list: &[&str]) -> Vec<String> {
    list.iter().map(|cell| (*cell).to_owned()).collect()
}

/// A hire list with one thing that changed, and nothing that lacks.
pub(crate) fn list() -> ListSheet {
    let columns = || {
        vec![
            Column::strong("what", 2.2),
            Column::text("notes, sounding; A", 2.4),
            Column::text("lender", 1.8),
            Column::text("from, until", 1.5),
            Column::text("state", 1.1),
            Column::figures("cost", 0.9),
        ]
    };
    let row = |list: &[&str], changed| Row { cells: cells(list), tick: true, changed, care: false };
    ListSheet {
        head: head(),
        title: "Hire list".into(),
        facts: vec![Fact { figure: "2".into(), words: "hired or borrowed".into() }],
        sections: vec![
            Section {
                title: "Hired or borrowed".into(),
                beside: "tick on arrival, undamaged".into(),
                columns: columns(),
                rows: vec![
                    row(
                        &[
                            "Wind machine",
                            "",
                            "Fenside Hire",
                            "11 Oct 2027 – 16 Oct 2027",
                            "confirmed",
                            "140.00 EUR",
                        ],
                        false,
                    ),
                    row(
                        &[
                            "Long tubular bells",
                            "F3 A3 B♭3; A 442 Hz",
                            "Harbour Opera",
                            "11 Oct 2027 – 16 Oct 2027",
                            "asked",
                            "",
                        ],
                        true,
                    ),
                ],
                empty: String::new(),
            },
            Section {
                title: "Not arranged yet".into(),
                beside: "what the collection lacks".into(),
                columns: columns(),
                rows: Vec::new(),
                empty: "Nothing is lacking.".into(),
            },
        ],
        cautions: vec![caution::LIFT.into()],
        legend: "notes as sounding, C4 is middle C".into(),
        ..ListSheet::default()
    }
}

/// Players by eight services, across, some double-booked.
pub(crate) fn grid() -> ListSheet {
    let days =
        ["Tue 12 Oct 10:00–12:30 rehearsal, Rehearsal room", "Wed 13 Oct 10:00–12:30 rehearsal, Quay Hall"];
    let columns = std::iter::once(Column::strong("player", 1.3))
        .chain(days.iter().cycle().take(7).map(|day| Column::text(day, 1.0)));
    let row = |name: &str, last: &str, care| Row {
        cells: cells(&[name, "in", "in", "away", "in", "in", "in", last]),
        care,
        ..Row::default()
    };
    ListSheet {
        head: head(),
        title: "Players by services".into(),
        beside: "for the personnel manager".into(),
        sections: vec![Section {
            title: "Players".into(),
            columns: columns.collect(),
            rows: vec![
                row("N. Okafor, principal", "in", false),
                row("M. Duarte, section", "in; Ferry Tales 18:30, 45 of 60 min to travel", true),
            ],
            ..Section::default()
        }],
        across: true,
        ..ListSheet::default()
    }
}

/// A list of sixty rows with names that nobody shortens.
pub(crate) fn long_list() -> ListSheet {
    let mut sheet = list();
    sheet.title = long("Hire list");
    sheet.beside = long("everything");
    for section in &mut sheet.sections {
        section.title = long(&section.title);
        let mut rows = section.rows.clone();
        for row in &mut rows {
            row.cells.iter_mut().for_each(|cell| *cell = long(cell));
        }
        section.rows = rows.iter().cycle().take(rows.len() * 30).cloned().collect();
    }
    sheet
}
