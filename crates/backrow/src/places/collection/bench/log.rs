//! A line of the log as a form.

use super::of::Of;
use super::{Field, TextForm, care_of, day, day_or_none, day_text, figure, text_of, today_text};
use crate::dates::forms;
use backrow_core::care::{Bar, LogEntry, Work};
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::pitch::{Reading, parse_note};

const WHEN: &str = "When";
const WORK: &str = "What";
const BAR: &str = "Bar";
const PART: &str = "Drum or piece";
const WORDS: &str = "In words";
const WHO: &str = "Who";
const COST: &str = "Cost";
const DUE: &str = "Due again";
const FIXED: &str = "A fault: fixed on";

/// A form for a new line of an instrument's log, or for the one at a place.
pub(in crate::places::collection) fn form(
    library: &Library,
    id: &InstrumentId,
    at: Option<usize>,
) -> Option<TextForm> {
    let thing = library.instruments.get(id)?;
    let care = care_of(library, id);
    let old = at.and_then(|at| care.log.get(at));
    let title = match old {
        Some(entry) => format!("Log of {}, {}", thing.name, library.days().day(entry.on)),
        None => format!("Log of {}: new entry", thing.name),
    };
    let text = |of: fn(&LogEntry) -> &str| old.map_or_else(String::new, |entry| of(entry).to_owned());
    let on = |date: Option<jiff::civil::Date>| date.map_or_else(String::new, |date| day_text(library, date));
    let bar = old
        .and_then(|entry| entry.bar)
        .map_or_else(String::new, |bar| format!("{}{}", bar.key, if bar.second { " second" } else { "" }));
    let works = Work::ALL.map(|work| work.word().to_owned()).to_vec();
    let fields = vec![
        Field::line(
            WHEN,
            old.map_or_else(|| today_text(library), |entry| day_text(library, entry.on)),
            forms(library.days().order),
        ),
        Field::choice(WORK, old.map_or(Work::Checked, |entry| entry.work).word(), works),
        Field::line(BAR, bar, "C5, or C5 second; empty for the whole"),
        Field::line(PART, text(|entry| &entry.part), "29 in, damper"),
        Field::line(WORDS, text(|entry| &entry.words), ""),
        Field::line(WHO, text(|entry| &entry.who), ""),
        Field::line(COST, text_of(old.and_then(|entry| entry.cost)), ""),
        Field::line(DUE, on(old.and_then(|entry| entry.due)), "a day; empty for never"),
        Field::line(FIXED, on(old.and_then(|entry| entry.fixed)), "a day; empty while it is open"),
    ];
    Some(TextForm::new(Of::Log(id.clone(), at), title, fields))
}

/// The change that saves it.
pub(super) fn save(
    form: &TextForm,
    library: &Library,
    id: &InstrumentId,
    at: Option<usize>,
) -> Result<Edit, String> {
    let bar = match form.get(BAR) {
        "" => None,
        text => {
            let (note, second) = text.strip_suffix(" second").map_or((text, false), |note| (note, true));
            let note = parse_note(note, Reading::English).map_err(|why| format!("{BAR}: {why}"))?;
            Some(Bar { key: note.key(), second })
        }
    };
    let cost = figure(form.get(COST), COST)?;
    if cost.is_some_and(|cost| cost < 0.0) {
        return Err(format!("{COST}: 0 or more was expected."));
    }
    let work = Work::ALL.into_iter().find(|work| work.word() == form.get(WORK)).unwrap_or(Work::Other);
    let fixed = day_or_none(library, form.get(FIXED), FIXED)?;
    let entry = LogEntry {
        on: day(library, form.get(WHEN), WHEN)?,
        work,
        bar,
        part: form.get(PART).to_owned(),
        words: form.get(WORDS).to_owned(),
        who: form.get(WHO).to_owned(),
        cost,
        due: day_or_none(library, form.get(DUE), DUE)?,
        fixed: fixed.filter(|_| work == Work::Fault),
    };
    let mut care = care_of(library, id);
    match at.and_then(|at| care.log.get_mut(at)) {
        Some(old) => *old = entry,
        None => care.log.push(entry),
    }
    Ok(Edit::PutCare(care))
}
