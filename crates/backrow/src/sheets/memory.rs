//! What a work remembers, on paper: line by line what was decided and tried, with what the conductor said.

use super::head;
use backrow_core::edit::candidate_words;
use backrow_core::id::WorkId;
use backrow_core::library::Library;
use backrow_core::music::{Movement, Work};
use backrow_core::recall::figures;
use backrow_core::trial::{Answer, Decision, Trial};
use backrow_core::week::Programme;
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};

/// The sheet of a work; it bears the head of the current programme.
pub fn memory_sheet(library: &Library, programme: &Programme, id: &WorkId) -> ListSheet {
    let empty = backrow_core::trial::Memory::default();
    let work = library.works.get(id).map(|work| &**work);
    let memory = work.map_or(&empty, |work| &work.memory);
    let mut decisions: Vec<&Decision> = memory.decisions.iter().collect();
    decisions.sort_by_key(|one| (place(work, &one.about.line), std::cmp::Reverse(one.when)));
    let mut trials: Vec<&Trial> = memory.trials.iter().collect();
    trials.sort_by_key(|one| (place(work, &one.about.line), std::cmp::Reverse(one.when)));
    ListSheet {
        head: head(library, programme),
        title: "Tried and decided".to_owned(),
        beside: work.map_or_else(|| id.to_string(), |work| work.title.clone()),
        facts: vec![
            Fact::counted(decisions.len(), "decision", "decisions"),
            Fact::counted(trials.len(), "trial", "trials"),
        ],
        sections: vec![
            Section {
                title: "Decided".to_owned(),
                beside: "the latest first, line by line".to_owned(),
                columns: vec![
                    Column::strong("line", 1.3),
                    Column::text("when", 1.1),
                    Column::text("chosen", 1.9),
                    Column::text("why; what the conductor said", 2.4),
                    Column::text("by", 0.9),
                ],
                rows: decisions.iter().map(|one| decided(library, work, one)).collect(),
                empty: "Nothing has been decided by ear.".to_owned(),
            },
            Section {
                title: "Tried".to_owned(),
                beside: String::new(),
                columns: vec![
                    Column::strong("line", 1.3),
                    Column::text("when", 1.1),
                    Column::text("candidates", 1.9),
                    Column::text("who heard what", 2.4),
                    Column::text("verdict", 1.4),
                ],
                rows: trials.iter().map(|one| tried(library, work, one)).collect(),
                empty: "Nothing has been tried.".to_owned(),
            },
        ],
        cautions: Vec::new(),
        legend: String::new(),
        across: false,
    }
}

/// Where a line stands in its work; those that are no longer there last.
fn place(work: Option<&Work>, line: &backrow_core::id::LineId) -> usize {
    work.and_then(|work| work.lines.iter().position(|one| one.id == *line)).unwrap_or(usize::MAX)
}

fn line(work: Option<&Work>, about: &backrow_core::trial::About) -> String {
    let line = work.and_then(|work| work.line(&about.line).map(|line| (work, line)));
    let Some((work, line)) = line else { return format!("{} (no longer in the work)", about.name) };
    let heading = work.movement(&line.movement).map(Movement::heading).unwrap_or_default();
    let heading = if heading.is_empty() { heading } else { format!("{heading}, ") };
    format!("{}, {heading}{}", about.name, line.where_played())
}

fn decided(library: &Library, work: Option<&Work>, one: &Decision) -> Row {
    let said =
        if one.conductor.is_empty() { String::new() } else { format!("The conductor: {}", one.conductor) };
    let why: Vec<&str> =
        [one.why.as_str(), said.as_str()].into_iter().filter(|text| !text.is_empty()).collect();
    Row::of([
        line(work, &one.about),
        library.days().lasting().day(one.when),
        candidate_words(library, &one.chosen),
        why.join("; "),
        one.by.clone(),
    ])
}

fn tried(library: &Library, work: Option<&Work>, one: &Trial) -> Row {
    let names: Vec<String> = one.candidates.iter().map(|one| candidate_words(library, one)).collect();
    let heard = one.listeners.iter().map(|listener| {
        let from = if listener.from.is_empty() { String::new() } else { format!(", {}", listener.from) };
        let best = listener.answers.iter().find_map(|answer| match answer {
            Answer::Best(at) => names.get(*at).map(|name| format!(" best {name};")),
            _ => None,
        });
        format!("{}{from}:{} {}", listener.name, best.unwrap_or_default(), listener.words)
    });
    let mut heard: Vec<String> =
        heard.map(|text| text.trim_end_matches([' ', ';', ':']).to_owned()).collect();
    heard.extend(figures(library, one).into_iter().map(|words| words.trim_end_matches('.').to_owned()));
    let mut verdict = vec![one.verdict.clone()];
    if !one.conductor.is_empty() {
        verdict.push(format!("The conductor: {}", one.conductor));
    }
    verdict.retain(|text| !text.is_empty());
    Row::of([
        line(work, &one.about),
        library.days().lasting().day(one.when),
        format!("{} ({})", names.join(" against "), one.how.label()),
        heard.join(". "),
        verdict.join("; "),
    ])
}
