//! The log: what was done to an instrument or a bar, who did it, what it cost, and when it is due again.

use super::{Bar, Care};
use crate::id::InstrumentId;
use jiff::civil::Date;

/// A sort of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Work {
    /// Tuned.
    Tuned,
    /// A new head.
    Head,
    /// A new cord.
    Cord,
    /// New felts.
    Felt,
    /// A bar worked on or replaced.
    Bar,
    /// Resonators, frame, pedal, stand.
    Frame,
    /// Cleaned, oiled, polished.
    Cleaned,
    /// Looked over.
    Checked,
    /// Something wrong was noticed, and nothing done yet.
    Fault,
    /// Anything else.
    Other,
}

impl Work {
    /// All, in order.
    pub const ALL: [Self; 10] = [
        Self::Tuned,
        Self::Head,
        Self::Cord,
        Self::Felt,
        Self::Bar,
        Self::Frame,
        Self::Cleaned,
        Self::Checked,
        Self::Fault,
        Self::Other,
    ];

    /// The word for screens and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Tuned => "tuned",
            Self::Head => "new head",
            Self::Cord => "new cord",
            Self::Felt => "new felts",
            Self::Bar => "bar repaired",
            Self::Frame => "frame or pedal",
            Self::Cleaned => "cleaned",
            Self::Checked => "checked",
            Self::Fault => "fault noticed",
            Self::Other => "other",
        }
    }
}

/// One line of the log.
#[derive(Clone, Debug, PartialEq)]
pub struct LogEntry {
    /// When.
    pub on: Date,
    /// What sort of work.
    pub work: Work,
    /// The bar it was done to, where it was one.
    pub bar: Option<Bar>,
    /// The drum, frame or piece it was done to: "29 in"; empty for the whole.
    pub part: String,
    /// In words.
    pub words: String,
    /// Who did it.
    pub who: String,
    /// What it cost, in the orchestra's currency.
    pub cost: Option<f64>,
    /// When it is due again, or a fault to be fixed.
    pub due: Option<Date>,
    /// A fault: fixed on; anything else needs none.
    pub fixed: Option<Date>,
}

impl LogEntry {
    /// A line of a day with nothing else said.
    pub const fn new(on: Date, work: Work) -> Self {
        Self {
            on,
            work,
            bar: None,
            part: String::new(),
            words: String::new(),
            who: String::new(),
            cost: None,
            due: None,
            fixed: None,
        }
    }

    /// Whether it tells of a fault that nobody has fixed.
    pub fn is_open_fault(&self) -> bool {
        self.work == Work::Fault && self.fixed.is_none()
    }

    /// What it was done to, in words: "C5", "29 in"; empty for the whole.
    pub fn to_what(&self) -> String {
        let bar = self.bar.map(|bar| bar.to_string());
        let part = Some(self.part.clone()).filter(|part| !part.is_empty());
        [bar, part].into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

/// Something that is due.
#[derive(Clone, Debug, PartialEq)]
pub struct Due<'a> {
    /// The instrument.
    pub instrument: &'a InstrumentId,
    /// Which line of its log asks for it.
    pub at: usize,
    /// The line.
    pub entry: &'a LogEntry,
    /// When; `None` for a fault without a date, which is due now.
    pub on: Option<Date>,
}

impl Due<'_> {
    /// Whether it should have been done before a day.
    pub fn is_over(&self, today: Date) -> bool {
        self.on.is_none_or(|on| on < today)
    }
}

/// Everything that is due, the earliest first, faults without a date before all. A due date holds until the same work is done to
/// the same bar or part again.
pub fn due<'a>(all: impl Iterator<Item = &'a Care>) -> Vec<Due<'a>> {
    let mut found: Vec<Due<'a>> = all.flat_map(due_of).collect();
    found.sort_by(|a, b| (a.on, a.instrument).cmp(&(b.on, b.instrument)));
    found
}

fn due_of(care: &Care) -> Vec<Due<'_>> {
    let open = |(at, entry): (usize, &LogEntry)| {
        let done_again = care.log.iter().skip(at + 1).any(|later| {
            later.work == entry.work
                && later.bar == entry.bar
                && later.part == entry.part
                && later.on >= entry.on
        });
        entry.is_open_fault() || (entry.due.is_some() && entry.work != Work::Fault && !done_again)
    };
    let all = care.log.iter().enumerate().filter(|row| open(*row));
    all.map(|(at, entry)| Due { instrument: &care.instrument, at, entry, on: entry.due }).collect()
}

/// A head, cord or felt and since when it has been on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeadAge<'a> {
    /// The drum or piece; empty for an instrument with one.
    pub part: &'a str,
    /// Since when.
    pub since: Date,
    /// What it is made of and whose make, in the words of the log.
    pub words: &'a str,
}

impl HeadAge<'_> {
    /// Its age on a day, in whole months; 0 before it was put on.
    pub fn months(&self, today: Date) -> u32 {
        let months = (i32::from(today.year()) - i32::from(self.since.year())) * 12 + i32::from(today.month())
            - i32::from(self.since.month())
            - i32::from(today.day() < self.since.day());
        u32::try_from(months).unwrap_or(0)
    }
}

/// The heads that are on now, by the newest line of the log for each drum, in order of the drums' names.
pub fn heads(care: &Care) -> Vec<HeadAge<'_>> {
    on_now(care, Work::Head)
}

/// The cords and the felts that are on now, likewise.
pub fn cords_and_felts(care: &Care) -> Vec<(Work, HeadAge<'_>)> {
    let of = |work| on_now(care, work).into_iter().map(move |age| (work, age));
    of(Work::Cord).chain(of(Work::Felt)).collect()
}

/// What of a sort is on now, by the newest line of the log for each part.
fn on_now(care: &Care, work: Work) -> Vec<HeadAge<'_>> {
    let mut newest: std::collections::BTreeMap<&str, &LogEntry> = std::collections::BTreeMap::new();
    for entry in care.log.iter().filter(|entry| entry.work == work) {
        let slot = newest.entry(&entry.part).or_insert(entry);
        if entry.on >= slot.on {
            *slot = entry;
        }
    }
    newest.into_iter().map(|(part, entry)| HeadAge { part, since: entry.on, words: &entry.words }).collect()
}
