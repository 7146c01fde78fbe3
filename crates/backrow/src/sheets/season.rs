//! The season: for each programme the players needed, extras, hires and collisions.

use super::{head, names};
use crate::evenings::evening_apart;
use crate::shares;
use backrow_core::assign::{Asked, Terms};
use backrow_core::evening::Evening;
use backrow_core::findings::{self, Degree, Finding};
use backrow_core::halt::Halt;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::rota::{Answer, Effort, Problem, Rota, Staffing};
use backrow_core::week::{HireState, Programme, Week, span_of};
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};
use jiff::civil::DateTime;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};

/// What a programme asks of the season.
#[derive(Clone, Debug, PartialEq)]
pub struct SeasonRow {
    /// Which.
    pub programme: ProgrammeId,
    /// Its title.
    pub title: String,
    /// Its week's title.
    pub week: String,
    /// Its first service.
    pub first: Option<DateTime>,
    /// The end of its last service.
    pub last: Option<DateTime>,
    /// "12–15 Oct, Quay Hall".
    pub when: String,
    /// The fewest players, in words: "6, proven".
    pub needed: String,
    /// The fewest players, where they are known.
    pub fewest: Option<usize>,
    /// How many of them are extras beyond everybody who has a name.
    pub without_a_name: usize,
    /// How many have something to play now.
    pub players: usize,
    /// Names of the extras among them.
    pub extras: Vec<String>,
    /// What is hired, with its state.
    pub hires: Vec<String>,
    /// Hires that are not arranged, or not asked for.
    pub open_hires: usize,
    /// What collides, a few words each, and how bad it is.
    pub clashes: Vec<(Degree, String)>,
    /// The same with what it clashes with, when, and what lies between.
    pub collisions: Vec<String>,
}

impl SeasonRow {
    /// Its extras in words: names, then how many more are still to be engaged.
    pub fn extras_in_words(&self) -> Vec<String> {
        let more = (self.without_a_name > 0).then(|| format!("{} more to be engaged", self.without_a_name));
        self.extras.iter().cloned().chain(more).collect()
    }

    /// How many extras it takes, those to be engaged among them.
    pub const fn extras_in_all(&self) -> usize {
        self.extras.len() + self.without_a_name
    }
}

/// The fewest players as a figure with its words, and how many extras without a name are among them.
pub(super) fn players_needed(evening: &Evening) -> (Fact, usize) {
    let found = fewest(evening, &Halt::default(), &Counted::default());
    let figure = found.players.map_or_else(|| "?".to_owned(), |n| n.to_string());
    (Fact { figure, words: format!("fewest players ({})", found.how) }, found.without_a_name)
}

/// The fewest players of programmes, each with what was asked: counting them takes nearly all the time of a season, and an edit
/// changes what is asked of one programme, or of none.
#[derive(Debug, Default)]
pub struct Counted(Mutex<BTreeMap<ProgrammeId, (Problem, Fewest)>>);

/// The fewest players of a programme.
#[derive(Clone, Debug, Default)]
struct Fewest {
    /// `None` where it is not known.
    players: Option<usize>,
    /// Whether it is proven, in words.
    how: String,
    /// How many of them are extras beyond everybody who has a name.
    without_a_name: usize,
}

impl Fewest {
    fn not_known(how: String) -> Self {
        Self { players: None, how, without_a_name: 0 }
    }
}

impl Counted {
    /// The answer to just this question, if it was asked last for the programme.
    fn known(&self, of: &ProgrammeId, asked: &Problem) -> Option<Fewest> {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        known.get(of).filter(|(was, _)| was == asked).map(|(_, fewest)| fewest.clone())
    }

    fn keep(&self, of: &ProgrammeId, asked: Problem, fewest: Fewest) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).insert(of.clone(), (asked, fewest));
    }
}

/// The fewest players of a programme and whether that is proven.
fn fewest(evening: &Evening, halt: &Halt, counted: &Counted) -> Fewest {
    let timetable = evening.timetable();
    if timetable.lines.is_empty() {
        return Fewest { players: Some(0), how: "no lines".to_owned(), without_a_name: 0 };
    }
    let asked = Asked::of(evening.library(), evening.programme(), timetable, Terms::USUAL).problem;
    let programme = &evening.programme().id;
    if let Some(known) = counted.known(programme, &asked) {
        return known;
    }
    let found = count(asked.clone(), halt);
    // What an ended search found says nothing of the next one.
    if !halt.is_asked() {
        counted.keep(programme, asked, found.clone());
    }
    found
}

fn count(asked: Problem, halt: &Halt) -> Fewest {
    let Ok(rota) = Rota::new(asked) else { return Fewest::not_known("not known".to_owned()) };
    match rota.until(halt.clone()).staffed(Effort::AT_HAND) {
        Staffing::Enough(staffed) => {
            let found = &staffed.fewest;
            let how = if found.proven() {
                "proven".to_owned()
            } else {
                format!("not proven, at least {}", found.at_least)
            };
            Fewest { players: Some(found.players), how, without_a_name: staffed.without_a_name() }
        }
        Staffing::NotEnough(Answer::GaveUp { at_least }) => Fewest::not_known(format!("at least {at_least}")),
        Staffing::NotEnough(_) => Fewest::not_known("the rules cannot all be followed".to_owned()),
    }
}

/// Every programme of the library, in the order of its first service; those without services last. Less when it is ended
/// before it is done: then nobody waits for it.
pub fn season(library: &Library, halt: &Halt, counted: &Counted) -> Vec<SeasonRow> {
    let all: Vec<_> = library.programmes().collect();
    let (done, of) = (AtomicU64::new(0), all.len() as u64);
    let each = halt.quiet();
    let one = |(week, programme): &(&Week, &Programme)| {
        let goes_on = !halt.is_asked_after(done.load(Ordering::Relaxed), of);
        let row = goes_on.then(|| row(library, &week.title, programme, &each, counted));
        done.fetch_add(1, Ordering::Relaxed);
        row
    };
    // The window draws beside it.
    let mut rows: Vec<SeasonRow> = shares::each(&all, 1, one).into_iter().flatten().collect();
    rows.sort_by_key(|row| (row.first.is_none(), row.first, row.programme.clone()));
    rows
}

fn row(library: &Library, week: &str, programme: &Programme, halt: &Halt, counted: &Counted) -> SeasonRow {
    let services = library.services_of(&programme.id);
    let venue =
        programme.venue.as_ref().and_then(|id| library.venues.get(id)).map_or("", |venue| &venue.name);
    let days =
        span_of(&services).map_or_else(|| "no service yet".to_owned(), |(a, b)| library.days().dates(a, b));
    let evening = evening_apart(library, programme);
    let fewest = fewest(&evening, halt, counted);
    let players = names::players(&evening);
    let extras = evening.needs().extras.iter().map(|id| library.player_name(id));
    let across = findings::across(&evening);
    let wanted = evening.hires_to_propose().len();
    let asked = programme.hires.iter().filter(|hire| hire.state == HireState::Wanted).count();
    SeasonRow {
        programme: programme.id.clone(),
        title: programme.title.clone(),
        week: week.to_owned(),
        first: services.first().map(|service| service.start),
        last: services.iter().map(|service| service.end()).max(),
        when: if venue.is_empty() { days } else { format!("{days}, {venue}") },
        needed: fewest.players.map_or_else(|| fewest.how.clone(), |n| format!("{n}, {}", fewest.how)),
        fewest: fewest.players,
        without_a_name: fewest.without_a_name,
        players: players.len(),
        extras: extras.collect(),
        hires: programme.hires.iter().map(|hire| format!("{} ({})", hire.what, hire.state.word())).collect(),
        open_hires: wanted + asked,
        clashes: across.iter().map(|finding| (finding.degree, finding.what.clone())).collect(),
        collisions: across.iter().map(Finding::line).collect(),
    }
}

/// The season on paper; it bears the head of the current programme's orchestra.
pub fn season_sheet(library: &Library, programme: &Programme) -> ListSheet {
    let rows = season(library, &Halt::default(), &Counted::default());
    let extras: usize = rows.iter().map(SeasonRow::extras_in_all).sum();
    let most = rows.iter().filter_map(|row| row.fewest).max();
    let mut head = head(library, programme);
    head.programme.clone_from(&library.orchestra.name);
    head.venue.clear();
    head.dates = span(library, &rows);
    let fact = |figure: String, words: &str| Fact { figure, words: words.to_owned() };
    ListSheet {
        head,
        title: "Season".to_owned(),
        beside: String::new(),
        facts: vec![
            Fact::counted(rows.len(), "programme", "programmes"),
            fact(most.map_or_else(|| "?".to_owned(), |n| n.to_string()), "players for the largest"),
            fact(extras.to_string(), "engagements of extras"),
        ],
        sections: vec![Section {
            title: "Programmes".to_owned(),
            beside: "in order of their first service".to_owned(),
            columns: vec![
                Column::strong("programme", 1.6),
                Column::text("when, where", 1.5),
                Column::text("players needed", 1.1),
                Column::text("extras", 1.2),
                Column::text("hires", 1.9),
                Column::text("collisions", 1.9),
            ],
            rows: rows.iter().map(row_on_paper).collect(),
            empty: "No programme yet.".to_owned(),
        }],
        cautions: Vec::new(),
        legend: "needed: the fewest players that the music allows, proven where it says so".to_owned(),
        across: true,
    }
}

fn span(library: &Library, rows: &[SeasonRow]) -> String {
    let first = rows.iter().filter_map(|row| row.first).min();
    let last = rows.iter().filter_map(|row| row.last).max();
    match (first, last) {
        (Some(first), Some(last)) => library.days().lasting().dates(first.date(), last.date()),
        _ => String::new(),
    }
}

fn row_on_paper(row: &SeasonRow) -> Row {
    let none = |list: &[String]| if list.is_empty() { "–".to_owned() } else { list.join("; ") };
    let mut hires = none(&row.hires);
    if row.open_hires > 0 {
        let open = format!("{} to arrange", row.open_hires);
        hires = if hires == "–" { open } else { format!("{hires}; {open}") };
    }
    Row {
        care: !row.collisions.is_empty() || row.open_hires > 0,
        ..Row::of([
            row.title.clone(),
            row.when.clone(),
            format!("{} ({} now)", row.needed, row.players),
            none(&row.extras_in_words()),
            hires,
            none(&row.clashes.iter().map(|(_, words)| words.clone()).collect::<Vec<_>>()),
        ])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::edit::{Edit, apply};
    use backrow_core::id::PlayerId;

    /// What was counted is told again until something else is asked of the programme.
    #[test]
    fn what_is_asked_again_is_not_counted_again() {
        let kinds = backrow_files::kinds::standard().unwrap();
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
        let library = backrow_files::library::open(&folder, &kinds).library;
        let counted = Counted::default();
        let rows = |library: &Library| season(library, &Halt::default(), &counted);
        let before = rows(&library);
        let all = before.len();
        assert!(all > 1);
        // What only asks for care is not told as what does not go.
        let mut degrees = before.iter().flat_map(|row| &row.clashes).map(|(degree, _)| *degree);
        assert!(degrees.any(|degree| degree == Degree::Care));
        // Marked, so that it is seen where an answer comes from.
        for (_, fewest) in counted.0.lock().unwrap().values_mut() {
            fewest.players = Some(99);
        }
        let marked =
            |rows: Vec<SeasonRow>| -> Vec<bool> { rows.iter().map(|row| row.fewest == Some(99)).collect() };
        assert_eq!(marked(rows(&library)), vec![true; all]);

        let (programme, line) = library
            .programmes()
            .find_map(|(_, programme)| Some((programme, programme.lines().next()?.0.clone())))
            .unwrap();
        let player: Option<PlayerId> = None;
        let give = Edit::Assign { programme: programme.id.clone(), line, player };
        let edited = apply(&library, &give).unwrap();
        let expected: Vec<bool> = before.iter().map(|row| row.programme != programme.id).collect();
        assert_eq!(marked(rows(&edited)), expected);
        // An answer of an ended search is not kept.
        let ended = Counted::default();
        season(&library, &Halt::when(|reached| reached.is_none()), &ended);
        assert_eq!(ended.0.lock().unwrap().len(), 0);
    }
}
