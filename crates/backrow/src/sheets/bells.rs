//! A programme's lines for bells on paper: which written notes we can give, in which octave, with which beater, and what to borrow.

use super::head;
use backrow_core::library::Library;
use backrow_core::music::{Line, Work};
use backrow_core::tonight::{BellNote, Hall, bells_for, is_bell_kind};
use backrow_core::week::Programme;
use backrow_print::caution;
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};

/// Every line for bells of a programme, in order.
fn lines<'a>(library: &'a Library, programme: &'a Programme) -> impl Iterator<Item = (&'a Work, &'a Line)> {
    let works = programme.works_in_order().filter_map(|(_, id)| library.works.get(id));
    let lines = works.flat_map(|work| work.lines.iter().map(move |line| (&**work, line)));
    lines.filter(|(_, line)| line.kind.as_ref().is_some_and(|kind| is_bell_kind(library, kind)))
}

/// Whether a programme has anything for such a sheet.
pub(super) fn has_bells(library: &Library, programme: &Programme) -> bool {
    lines(library, programme).any(|(_, line)| !line.written_counts().is_empty())
}

/// The sheet: a section a line, a row a written note.
pub fn bell_list(library: &Library, programme: &Programme) -> ListSheet {
    let hall = Hall::of(library, Some(programme));
    let lines: Vec<(&Work, &Line, Vec<BellNote>)> = lines(library, programme)
        .map(|(work, line)| (work, line, bells_for(library, line, hall)))
        .filter(|(_, _, notes)| !notes.is_empty())
        .collect();
    let count = |holds: fn(&BellNote) -> bool| {
        lines.iter().flat_map(|(_, _, notes)| notes).filter(|note| holds(note)).count()
    };
    let mut sections: Vec<Section> =
        lines.iter().map(|(work, line, notes)| section(library, (work, line), notes)).collect();
    if sections.is_empty() {
        sections.push(Section {
            title: "Bells".to_owned(),
            columns: columns(),
            empty: "No line for bells in this programme has pitches.".to_owned(),
            ..Section::default()
        });
    }
    ListSheet {
        head: head(library, programme),
        title: "Bells".to_owned(),
        beside: "every octave that we have".to_owned(),
        facts: vec![
            Fact::counted(lines.len(), "line", "lines"),
            Fact::counted(
                count(BellNote::is_given),
                "note as the line has it",
                "notes as the lines have them",
            ),
            Fact::counted(
                count(|note| !note.is_given() && !note.is_to_borrow()),
                "in another octave only",
                "in other octaves only",
            ),
            Fact::counted(count(BellNote::is_to_borrow), "to borrow or hire", "to borrow or hire"),
        ],
        sections,
        cautions: vec![caution::LIFT.to_owned()],
        legend: "triangle: not as the line has it; cents against the concert’s A".to_owned(),
        across: false,
    }
}

fn columns() -> Vec<Column> {
    vec![
        Column::strong("written", 0.7),
        Column::figures("times", 0.5),
        Column::text("ours as the line has it, with the register’s beater", 2.6),
        Column::text("ours in other octaves", 2.6),
    ]
}

fn section(library: &Library, (work, line): (&Work, &Line), notes: &[BellNote]) -> Section {
    let number = work.movement(&line.movement).map_or("", |movement| movement.number.as_str());
    let row = |note: &BellNote| {
        let own = if note.is_to_borrow() { note.words(library) } else { note.own_words(library) };
        let cells = [note.written.to_string(), note.count.to_string(), own, note.other_words(library)];
        Row { care: !note.is_given(), ..Row::of(cells) }
    };
    Section {
        title: library.line_name(line),
        beside: format!("{} {number}", work.title).trim_end().to_owned(),
        columns: columns(),
        rows: notes.iter().map(row).collect(),
        empty: String::new(),
    }
}
