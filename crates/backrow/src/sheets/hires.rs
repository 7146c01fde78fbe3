//! The hire list: what a programme hires or borrows, and what it still lacks.

use super::{head, names};
use backrow_core::evening::Evening;
use backrow_core::library::Library;
use backrow_core::week::{Hire, HireState, Programme};
use backrow_print::caution;
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};
use jiff::civil::Date;

/// The sheet's data.
pub fn hire_list(evening: &Evening) -> ListSheet {
    let (library, programme) = (evening.library(), evening.programme());
    let columns = || {
        vec![
            Column::strong("what", 1.9),
            Column::text("notes, sounding; A", 2.7),
            Column::text("lender", 1.6),
            Column::text("from, until", 1.7),
            Column::text("state", 1.1),
            Column::figures("cost", 1.2),
        ]
    };
    let mut hires: Vec<&Hire> = programme.hires.iter().collect();
    hires.sort_by_key(|hire| (hire.state, hire.from));
    let wanted = evening.hires_to_propose();
    let any = !hires.is_empty() || !wanted.is_empty();
    let cost: f64 = hires.iter().filter_map(|hire| price(hire)).sum();
    let unknown = hires.iter().filter(|hire| price(hire).is_none()).count();
    let settled = |hire: &&&Hire| !matches!(hire.state, HireState::Wanted | HireState::Asked);
    let mut facts = vec![
        Fact::counted(hires.len(), "hired or borrowed", "hired or borrowed"),
        Fact::counted(hires.iter().filter(settled).count(), "confirmed", "confirmed"),
    ];
    if !hires.is_empty() {
        let open =
            if unknown == 0 { "in all".to_owned() } else { format!("in all, {unknown} without a price") };
        if unknown < hires.len() {
            facts.push(Fact { figure: crate::words::money(library, cost), words: open });
        }
    }
    let row = |hire: &Hire| Row { tick: true, ..row_of(library, programme, hire) };
    ListSheet {
        head: head(library, programme),
        title: "Hire list".to_owned(),
        beside: String::new(),
        facts,
        sections: vec![
            Section {
                title: "Hired or borrowed".to_owned(),
                beside: "tick on arrival, undamaged".to_owned(),
                columns: columns(),
                rows: hires.into_iter().map(row).collect(),
                empty: "Nothing is arranged yet.".to_owned(),
            },
            Section {
                title: "Not arranged yet".to_owned(),
                beside: "what the collection lacks, and what is somebody else’s".to_owned(),
                columns: columns(),
                rows: wanted
                    .iter()
                    .map(|hire| Row { care: true, ..row_of(library, programme, hire) })
                    .collect(),
                empty: "Nothing is lacking.".to_owned(),
            },
        ],
        cautions: if any { vec![caution::LIFT.to_owned()] } else { Vec::new() },
        legend: "notes as sounding, C4 is middle C".to_owned(),
        across: false,
    }
}

/// The price, once it is known: 0 of what is only asked for is none yet; 0 of what is confirmed is a loan.
pub(crate) fn price(hire: &Hire) -> Option<f64> {
    let asked = matches!(hire.state, HireState::Wanted | HireState::Asked);
    hire.cost.filter(|cost| !asked || *cost > 0.0)
}

/// How far it has got; what has a lender and nothing arranged is to be confirmed there, not to be asked for anywhere.
fn state(hire: &Hire) -> String {
    match hire.state {
        HireState::Wanted if !hire.lender.is_empty() => "to confirm".to_owned(),
        state => state.word().to_owned(),
    }
}

fn row_of(library: &Library, programme: &Programme, hire: &Hire) -> Row {
    let day = |date: Option<Date>| date.map(|date| library.days().lasting().day(date)).unwrap_or_default();
    let mut notes = match (&hire.instrument, &hire.kind) {
        (Some(id), _) => names::spelled(library, programme, id, hire.notes.iter()),
        (None, kind) => names::spelled_of_kind(library, programme, kind.as_ref(), hire.notes.iter()),
    };
    if let Some(a) = hire.a {
        let a = format!("A {}\u{202F}Hz", a.value());
        notes = if notes.is_empty() { a } else { format!("{notes}; {a}") };
    }
    if !hire.remark.is_empty() {
        notes = if notes.is_empty() {
            hire.remark.clone()
        } else {
            format!("{notes}. {}", backrow_core::id::begun(&hire.remark))
        };
    }
    let days = match (hire.from, hire.until) {
        (Some(from), Some(until)) if from <= until => library.days().lasting().dates(from, until),
        (from, until) if from.is_none() && until.is_none() => String::new(),
        (from, until) => format!("{} – {}", day(from), day(until)),
    };
    let cost = price(hire).map_or_else(String::new, |cost| {
        if cost > 0.0 { crate::words::money(library, cost) } else { "free".to_owned() }
    });
    Row::of([backrow_core::id::begun(&hire.what), notes, hire.lender.clone(), days, state(hire), cost])
}
