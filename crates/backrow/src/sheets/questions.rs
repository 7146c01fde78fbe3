//! Questions for the conductor, all of them, what stops the work first: what is meant, octaves, missing notes, substitutes, balance.

use super::{head, names};
use backrow_core::lacking::lacking;
use backrow_core::library::Library;
use backrow_core::music::{Line, Work};
use backrow_core::week::{Assignment, LineRef, Programme};
use backrow_print::list::{Column, ListSheet, Row, Section};

/// One line of the programme with what it was given.
struct Given<'a> {
    work: &'a Work,
    asks: &'a Line,
    has: Assignment,
}

/// Whether anything is to be asked.
pub(super) fn are_open(library: &Library, programme: &Programme) -> bool {
    !asked(library, programme).is_empty()
}

/// The questions by what they are about; without those headings under which nothing is asked.
fn asked(library: &Library, programme: &Programme) -> Vec<Section> {
    let lines = lines(library, programme);
    let sections = [
        section("What is meant?", "the part names nothing that the section knows", unknown(library, &lines)),
        section("Octaves", "taken otherwise than is usual for the instrument", octaves(library, &lines)),
        section("Missing notes", "the instrument does not have them", missing(library, &lines)),
        section("Substitutes", "another instrument than the part asks for", substitutes(library, &lines)),
        section("Balance", "exposed lines, with the beaters that are chosen", balance(library, &lines)),
    ];
    sections.into_iter().filter(|section| !section.rows.is_empty()).collect()
}

/// The sheet's data.
pub fn questions(library: &Library, programme: &Programme) -> ListSheet {
    let mut sections = asked(library, programme);
    if sections.is_empty() {
        let empty = "Nothing is open: no question for the conductor follows from this programme.".to_owned();
        sections.push(Section { title: "Open questions".to_owned(), empty, ..Section::default() });
    }
    ListSheet {
        head: head(library, programme),
        title: "Questions".to_owned(),
        beside: "for the conductor".to_owned(),
        sections,
        legend: "tick what is settled; notes as written in the part".to_owned(),
        ..ListSheet::default()
    }
}

fn lines<'a>(library: &'a Library, programme: &Programme) -> Vec<Given<'a>> {
    let works = programme.works_in_order().filter_map(|(_, id)| library.works.get(id));
    let of_work = |work: &'a std::sync::Arc<Work>| {
        let movements = work.movements.iter();
        movements.flat_map(|movement| work.lines_of(&movement.id)).map(move |line| (&**work, line))
    };
    let given = |(work, asks): (&'a Work, &'a Line)| {
        let at = LineRef { work: work.id.clone(), line: asks.id.clone() };
        Given { work, asks, has: programme.assignment(&at) }
    };
    works.flat_map(of_work).map(given).collect()
}

fn section(title: &str, beside: &str, rows: Vec<Row>) -> Section {
    Section {
        title: title.to_owned(),
        beside: beside.to_owned(),
        columns: vec![
            Column::strong("line", 1.7),
            Column::text("measures", 0.9),
            Column::text("question", 2.6),
            Column::text("answer", 1.6),
        ],
        rows,
        empty: String::new(),
    }
}

fn row(library: &Library, line: &Given<'_>, question: String) -> Row {
    let movement = line.work.movement(&line.asks.movement).map_or("", |movement| movement.number.as_str());
    let place = format!("{} {movement}", line.work.title);
    let name = format!("{}: {}", place.trim_end(), library.line_name(line.asks));
    Row { tick: true, ..Row::of([name, line.asks.measures(), question, String::new()]) }
}

fn unknown(library: &Library, lines: &[Given<'_>]) -> Vec<Row> {
    let open = lines.iter().filter(|line| line.asks.kind.is_none());
    let words = |line: &Given<'_>| {
        let things = names::instruments(library, &line.has.instruments);
        if things.is_empty() {
            format!("The part says \u{201c}{}\u{201d}. What is it?", line.asks.printed)
        } else {
            format!("The part says \u{201c}{}\u{201d}. Is \u{201c}{things}\u{201d} meant?", line.asks.printed)
        }
    };
    open.map(|line| row(library, line, words(line))).collect()
}

fn octaves(library: &Library, lines: &[Given<'_>]) -> Vec<Row> {
    let ask = |line: &Given<'_>| {
        let kind = line.asks.kind.as_ref().and_then(|id| library.kinds.get(id))?;
        let takes = format!("We take it as sounding {}", line.asks.octave.words());
        let words = match kind.octave {
            _ if !line.asks.is_pitched() => return None,
            Some(usual) if usual == line.asks.octave => return None,
            Some(usual) => format!("{takes}; usual is {}. Is that right?", usual.words()),
            None => format!("{takes}; for this instrument no octave is agreed. Is that right?"),
        };
        Some(row(library, line, words))
    };
    lines.iter().filter_map(ask).collect()
}

fn missing(library: &Library, lines: &[Given<'_>]) -> Vec<Row> {
    let ask = |line: &Given<'_>| {
        let lacks = lacking(library, line.asks, &line.has);
        let notes: Vec<String> = lacks
            .iter()
            .map(|lack| {
                let decided = lack.decided.as_ref().map_or_else(
                    || "not decided".to_owned(),
                    |instead| instead.words(|id| library.instrument_name(id)),
                );
                format!("{} ({}): {decided}", lack.written, lack.measures_words())
            })
            .collect();
        let open = lacks.iter().any(|lack| lack.decided.is_none());
        let ask = if open { "Another octave, another instrument, or left out?" } else { "Is that right?" };
        (!notes.is_empty()).then(|| row(library, line, format!("{}. {ask}", notes.join("; "))))
    };
    lines.iter().filter_map(ask).collect()
}

fn substitutes(library: &Library, lines: &[Given<'_>]) -> Vec<Row> {
    let ask = |line: &Given<'_>| {
        let asked = line.asks.kind.as_ref()?;
        let things = line.has.instruments.iter().filter_map(|id| library.instruments.get(id));
        let others = things.filter_map(|thing| {
            let instead = library.instead_words(asked, &thing.kind)?;
            Some(format!("{}, {instead}", thing.name))
        });
        let others: Vec<String> = others.collect();
        let words = || format!("It is to be played on {}. Is that right?", others.join("; "));
        (!others.is_empty()).then(|| row(library, line, words()))
    };
    lines.iter().filter_map(ask).collect()
}

fn balance(library: &Library, lines: &[Given<'_>]) -> Vec<Row> {
    let exposed = lines.iter().filter(|line| line.asks.exposed && !line.has.beaters.is_empty());
    let words = |line: &Given<'_>| {
        let marked =
            line.asks.dynamics().map_or_else(String::new, |dynamics| format!(" ({})", dynamics.ascii()));
        let beaters = names::beaters(library, line.has.beaters.iter());
        format!("{beaters}{marked}: louder, softer, harder, warmer?")
    };
    exposed.map(|line| row(library, line, words(line))).collect()
}
