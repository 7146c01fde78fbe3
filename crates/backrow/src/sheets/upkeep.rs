//! Tuning and care on paper: the list for the tuner, a page for the workshop, and the year's care with sums of value.

use super::head;
use crate::words::owner_words;
use backrow_core::care::{Due, LogEntry, cords_and_felts, due, heads};
use backrow_core::collection::{Instrument, Owner};
use backrow_core::library::Library;
use backrow_core::pitch::{KeyNumber, signed};
use backrow_core::upkeep::{Cost, Sum, TunerList, costs, stores, tuner_lists, values};
use backrow_core::week::Programme;
use backrow_print::caution;
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};
use jiff::ToSpan;
use jiff::civil::Date;

fn day(library: &Library, on: Date) -> String {
    library.days().lasting().day(on)
}

fn fact(figure: String, words: &str) -> Fact {
    Fact { figure, words: words.to_owned() }
}

/// A sheet of the collection: it bears the orchestra's name and no programme.
fn sheet(library: &Library, programme: &Programme, title: &str) -> ListSheet {
    let mut head = head(library, programme);
    head.programme.clone_from(&library.orchestra.name);
    head.venue.clear();
    head.dates.clear();
    ListSheet { head, title: title.to_owned(), ..ListSheet::default() }
}

/// The list for the tuner: every instrument whose latest survey has bars outside their tolerance, with those bars marked.
pub fn tuner_sheet(library: &Library, programme: &Programme) -> ListSheet {
    let lists = tuner_lists(library);
    let bars: usize = lists.iter().map(|list| list.bars.len()).sum();
    let mut sections: Vec<Section> = lists.iter().map(|list| tuner_section(library, list)).collect();
    if sections.is_empty() {
        sections.push(Section {
            title: "Bars".to_owned(),
            columns: tuner_columns(),
            empty: "No bar of the latest surveys lies outside its tolerance.".to_owned(),
            ..Section::default()
        });
    }
    ListSheet {
        facts: vec![
            Fact::counted(lists.len(), "instrument", "instruments"),
            Fact::counted(bars, "bar", "bars"),
        ],
        sections,
        legend: "triangle: first partial outside its tolerance; cents over the target; of upper partials, from their usual place (0 within the third’s range); tick when it is done"
            .to_owned(),
        ..sheet(library, programme, "For the tuner")
    }
}

fn tuner_columns() -> Vec<Column> {
    vec![
        Column::strong("bar", 0.8),
        Column::figures("found, Hz", 0.9),
        Column::figures("wanted, Hz", 0.9),
        Column::figures("cents", 0.7),
        Column::figures("2nd partial", 0.8),
        Column::figures("3rd partial", 0.8),
        Column::text("which way; remark", 3.4),
    ]
}

fn tuner_section(library: &Library, list: &TunerList<'_>) -> Section {
    let survey = list.survey;
    let celsius = survey
        .celsius
        .map_or_else(|| "temperature not read".to_owned(), |celsius| format!("{celsius}\u{202F}°C"));
    let who = if survey.who.is_empty() { String::new() } else { format!(", {}", survey.who) };
    let rows = list.bars.iter().map(|bar| {
        let way = bar.direction();
        let words = if bar.remark.is_empty() { way.to_owned() } else { format!("{way}. {}", bar.remark) };
        Row {
            care: bar.first_is_off,
            tick: true,
            ..Row::of([
                bar.bar.to_string(),
                format!("{:.1}", bar.hz),
                format!("{:.1}", bar.target_hz),
                signed(bar.off_cents, 1),
                bar.second_cents.map_or_else(String::new, |cents| signed(cents, 0)),
                bar.third_cents.map_or_else(String::new, |cents| signed(cents, 0)),
                words,
            ])
        }
    });
    Section {
        title: format!("{}, {}", list.thing.name, list.thing.material.word()),
        beside: format!(
            "A {}\u{202F}Hz, tolerance {} cents; measured {}, {celsius}{who}",
            list.target.value(),
            list.tolerance,
            day(library, survey.on)
        ),
        columns: tuner_columns(),
        rows: rows.collect(),
        empty: String::new(),
    }
}

/// One page for the workshop: faults that nobody has fixed, what is due, and heads, cords and felts with their age.
pub fn workshop_sheet(library: &Library, programme: &Programme, today: Option<Date>) -> ListSheet {
    let all = due(library.care.values().map(|care| &**care));
    let (faults, others): (Vec<&Due<'_>>, Vec<&Due<'_>>) =
        all.iter().partition(|one| one.entry.is_open_fault());
    let over = others.iter().filter(|one| today.is_some_and(|today| one.is_over(today))).count();
    let mut section_of_faults = due_section(library, "Faults", "tick when it is fixed", &faults, today);
    section_of_faults.rows.extend(dead_rows(library));
    ListSheet {
        facts: vec![
            Fact::counted(section_of_faults.rows.len(), "fault", "faults"),
            Fact::counted(others.len(), "due", "due"),
            Fact::counted(over, "of them overdue", "of them overdue"),
        ],
        sections: vec![
            section_of_faults,
            due_section(library, "Due", "the earliest first", &others, today),
            head_section(library, today),
            cord_section(library, today),
        ],
        cautions: vec![caution::LIFT.to_owned()],
        legend: "triangle: the day is past".to_owned(),
        ..sheet(library, programme, "For the workshop")
    }
}

/// What does not sound and has no open fault in the care log: somebody marked it in the collection only.
fn dead_rows(library: &Library) -> Vec<Row> {
    let is_logged = |thing: &Instrument, key: KeyNumber| {
        library.care.get(&thing.id).is_some_and(|care| {
            care.log.iter().any(|entry| entry.is_open_fault() && entry.bar.is_some_and(|bar| bar.key == key))
        })
    };
    let mut rows = Vec::new();
    // What is lent by others is theirs to mend.
    let ours = library.instruments.values().filter(|thing| !matches!(thing.owner, Owner::Other(_)));
    for thing in ours {
        for dead in thing.frames.iter().flat_map(|frame| &frame.dead) {
            if is_logged(thing, dead.key) {
                continue;
            }
            let since = dead.since.map_or_else(String::new, |since| format!("since {}", day(library, since)));
            let words = [dead.why.clone(), since].into_iter().filter(|words| !words.is_empty());
            rows.push(Row {
                tick: true,
                ..Row::of([
                    thing.name.clone(),
                    dead.key.to_string(),
                    "dead".to_owned(),
                    words.collect::<Vec<_>>().join("; "),
                    "now".to_owned(),
                ])
            });
        }
    }
    rows
}

fn due_section(
    library: &Library,
    title: &str,
    beside: &str,
    all: &[&Due<'_>],
    today: Option<Date>,
) -> Section {
    let row = |one: &&Due<'_>| Row {
        care: today.is_some_and(|today| one.is_over(today)),
        tick: true,
        ..Row::of([
            library.instrument_name(one.instrument),
            one.entry.to_what(),
            one.entry.work.word().to_owned(),
            one.entry.words.clone(),
            one.on.map_or_else(|| "now".to_owned(), |on| day(library, on)),
        ])
    };
    Section {
        title: title.to_owned(),
        beside: beside.to_owned(),
        columns: vec![
            Column::strong("instrument", 1.5),
            Column::text("bar or piece", 0.9),
            Column::text("what", 1.0),
            Column::text("in words", 2.6),
            Column::figures("by", 1.0),
        ],
        rows: all.iter().map(row).collect(),
        empty: "None.".to_owned(),
    }
}

fn head_section(library: &Library, today: Option<Date>) -> Section {
    let rows = library.care.values().flat_map(|care| {
        heads(care).into_iter().map(|head| {
            let months = today.map_or_else(String::new, |today| head.months(today).to_string());
            Row::of([
                library.instrument_name(&care.instrument),
                head.part.to_owned(),
                head.words.to_owned(),
                day(library, head.since),
                months,
            ])
        })
    });
    Section {
        title: "Heads".to_owned(),
        beside: "as the log has them".to_owned(),
        columns: vec![
            Column::strong("instrument", 1.5),
            Column::text("drum", 0.9),
            Column::text("head", 2.0),
            Column::text("since", 1.0),
            Column::figures("months", 0.6),
        ],
        rows: rows.collect(),
        empty: "The log has no heads yet.".to_owned(),
    }
}

fn cord_section(library: &Library, today: Option<Date>) -> Section {
    let rows = library.care.values().flat_map(|care| {
        cords_and_felts(care).into_iter().map(|(work, age)| {
            let months = today.map_or_else(String::new, |today| age.months(today).to_string());
            let words = [age.part, age.words].into_iter().filter(|words| !words.is_empty());
            Row::of([
                library.instrument_name(&care.instrument),
                work.word().to_owned(),
                words.collect::<Vec<_>>().join(", "),
                day(library, age.since),
                months,
            ])
        })
    });
    Section {
        title: "Cords and felts".to_owned(),
        beside: "as the log has them".to_owned(),
        columns: vec![
            Column::strong("instrument", 1.5),
            Column::text("what", 0.9),
            Column::text("in words", 2.0),
            Column::text("since", 1.0),
            Column::figures("months", 0.6),
        ],
        rows: rows.collect(),
        empty: "The log has none yet.".to_owned(),
    }
}

/// The year's care: what was done in the twelve months to today and what it cost, what the collection is worth, what cannot be
/// replaced, and the air of the stores.
pub fn care_year_sheet(library: &Library, programme: &Programme, today: Option<Date>) -> ListSheet {
    let to = today.or_else(|| latest(library)).unwrap_or(Date::MAX);
    let from = to.checked_sub(1.year()).unwrap_or(Date::MIN);
    let spent = costs(library, from, to);
    let worth = values(library);
    let total: f64 = spent.iter().map(|cost| cost.amount).sum();
    let mut sections = vec![cost_section(library, &spent, (from, to)), done_section(library, (from, to))];
    sections.push(sum_section(library, "Value by store", &worth.by_store));
    sections.push(sum_section(library, "Value by owner", &worth.by_owner));
    sections.push(irreplaceable(library, &worth.irreplaceable));
    sections.push(air_section(library));
    ListSheet {
        facts: vec![
            fact(crate::words::money(library, total), "spent on care in twelve months"),
            fact(crate::words::money(library, worth.total), "value stated"),
            Fact::counted(worth.irreplaceable.len(), "that cannot be replaced", "that cannot be replaced"),
        ],
        sections,
        legend: "values as stated in the collection; an insurer asks for a valuer".to_owned(),
        ..sheet(library, programme, "Care of the year")
    }
}

fn latest(library: &Library) -> Option<Date> {
    library.care.values().flat_map(|care| &care.log).map(|entry| entry.on).max()
}

fn cost_section(library: &Library, spent: &[Cost], (from, to): (Date, Date)) -> Section {
    let row = |cost: &Cost| {
        let unpriced =
            if cost.unpriced == 0 { String::new() } else { format!("{} without a price", cost.unpriced) };
        Row::of([
            cost.work.word().to_owned(),
            cost.lines.to_string(),
            crate::words::money(library, cost.amount),
            unpriced,
        ])
    };
    Section {
        title: "What care cost".to_owned(),
        beside: format!("{} to {}", day(library, from), day(library, to)),
        columns: vec![
            Column::strong("work", 1.5),
            Column::figures("times", 0.7),
            Column::figures("cost", 1.0),
            Column::text("", 2.0),
        ],
        rows: spent.iter().map(row).collect(),
        empty: "Nothing in the log.".to_owned(),
    }
}

fn done_section(library: &Library, (from, to): (Date, Date)) -> Section {
    let lines = library.care.values().flat_map(|care| care.log.iter().map(move |entry| (care, entry)));
    let mut lines: Vec<_> = lines.filter(|(_, entry)| (from..=to).contains(&entry.on)).collect();
    lines.sort_by_key(|(_, entry)| entry.on);
    let row = |(care, entry): (&std::sync::Arc<backrow_core::care::Care>, &LogEntry)| Row {
        care: entry.is_open_fault(),
        ..Row::of([
            day(library, entry.on),
            library.instrument_name(&care.instrument),
            entry.work.word().to_owned(),
            [entry.to_what(), entry.words.clone()]
                .into_iter()
                .filter(|w| !w.is_empty())
                .collect::<Vec<_>>()
                .join(": "),
            entry.who.clone(),
            entry.cost.map_or_else(String::new, |cost| crate::words::money(library, cost)),
        ])
    };
    Section {
        title: "The log".to_owned(),
        beside: "triangle: a fault that is not fixed".to_owned(),
        columns: vec![
            Column::text("when", 1.0),
            Column::strong("instrument", 1.4),
            Column::text("what", 1.0),
            Column::text("in words", 2.4),
            Column::text("who", 0.9),
            Column::figures("cost", 0.9),
        ],
        rows: lines.into_iter().map(row).collect(),
        empty: "Nothing in the log.".to_owned(),
    }
}

fn sum_section(library: &Library, title: &str, sums: &[Sum]) -> Section {
    let row = |sum: &Sum| {
        Row::of([
            sum.name.clone(),
            crate::words::money(library, sum.amount),
            sum.valued.to_string(),
            sum.unvalued.to_string(),
        ])
    };
    // Those of which nothing is valued are one row: 0 would read as worthless.
    let (valued, others): (Vec<&Sum>, Vec<&Sum>) = sums.iter().partition(|sum| sum.valued > 0);
    let without: usize = others.iter().map(|sum| sum.unvalued).sum();
    let others: Vec<&str> = others.iter().map(|sum| sum.name.as_str()).collect();
    let rest = (!others.is_empty()).then(|| {
        let names = others.join("; ");
        Row::of([format!("no value stated: {names}"), "–".to_owned(), "–".to_owned(), without.to_string()])
    });
    Section {
        title: title.to_owned(),
        beside: String::new(),
        columns: vec![
            Column::strong("", 3.0),
            Column::figures("value", 1.2),
            Column::figures("valued", 0.8),
            Column::figures("without a value", 1.0),
        ],
        rows: valued.into_iter().map(row).chain(rest).collect(),
        empty: "No instrument yet.".to_owned(),
    }
}

fn irreplaceable(library: &Library, things: &[(backrow_core::id::InstrumentId, String)]) -> Section {
    let row = |(id, why): &(backrow_core::id::InstrumentId, String)| {
        let owner =
            library.instruments.get(id).map_or_else(String::new, |thing| owner_words(library, &thing.owner));
        Row::of([library.instrument_name(id), owner, why.clone()])
    };
    Section {
        title: "What cannot be replaced".to_owned(),
        beside: String::new(),
        columns: vec![
            Column::strong("instrument", 1.4),
            Column::text("whose", 0.8),
            Column::text("why", 3.5),
        ],
        rows: things.iter().map(row).collect(),
        empty: "Nothing is said to be.".to_owned(),
    }
}

fn air_section(library: &Library) -> Section {
    let span =
        |span: Option<(f64, f64)>| span.map_or_else(|| "–".to_owned(), |(a, b)| format!("{a:.0} to {b:.0}"));
    let rows = stores(library).into_iter().map(|store| Row {
        care: store.cautions().iter().any(|caution| caution.agreed),
        ..Row::of([
            store.place.name.clone(),
            day(library, store.latest.on),
            span(store.latest.humidity),
            span(store.span),
            format!("{} too dry, {} too damp", store.outside.0, store.outside.1),
            match store.kept() {
                0 => String::new(),
                n => format!("{n} of wood or skin"),
            },
        ])
    });
    Section {
        title: "Air of the stores".to_owned(),
        beside: "per cent; 40 to 60 for wood and skin by common practice, 30 to 40 for rosewood by a maker\u{2019}s leaflet".to_owned(),
        columns: vec![
            Column::strong("store", 1.0),
            Column::text("last read", 1.0),
            Column::figures("then", 0.8),
            Column::figures("all days", 0.8),
            Column::text("days outside", 1.4),
            Column::text("keeps", 1.2),
        ],
        rows: rows.collect(),
        empty: "Nobody has read it yet.".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[test]
    fn owners_of_nothing_valued_share_a_row() {
        let sum = |name: &str, amount: f64, valued: usize, unvalued: usize| Sum {
            name: name.to_owned(),
            amount,
            valued,
            unvalued,
        };
        let sums = [
            sum("ours", 500.0, 2, 1),
            sum("a school", 0.0, 0, 3),
            sum("gift", 0.0, 1, 0),
            sum("hire", 0.0, 0, 4),
        ];
        let rows = sum_section(&Library::default(), "Value by owner", &sums).rows;
        let cells: Vec<Vec<String>> = rows.into_iter().map(|row| row.cells).collect();
        assert_eq!(cells[0], ["ours", "500", "2", "1"]);
        assert_eq!(cells[1], ["gift", "0", "1", "0"], "what is worth nothing says so");
        assert_eq!(cells[2], ["no value stated: a school; hire", "–", "–", "7"]);
        assert_eq!(cells.len(), 3);
    }
}
