//! The season: for each programme the players needed, extras, hires and collisions.

use super::{head, heading, summary};
use crate::words::span_words;
use backrow_core::assign::{Asked, Terms};
use backrow_core::evening::Evening;
use backrow_core::findings;
use backrow_core::halt::Halt;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::rota::{Answer, Effort, Rota, Staffing};
use backrow_core::week::{HireState, Programme, span_of};
use backrow_print::list::{Column, Fact, ListSheet, Row, Section};
use jiff::civil::DateTime;

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
    /// The fewest players, in words: "6, proved".
    pub needed: String,
    /// The fewest players, where they are known.
    pub fewest: Option<usize>,
    /// How many have something to play now.
    pub players: usize,
    /// Names of the extras among them.
    pub extras: Vec<String>,
    /// What is hired, with its state.
    pub hires: Vec<String>,
    /// Hires that are not arranged, or not asked for.
    pub open_hires: usize,
    /// What clashes with other programmes, a few words each.
    pub collisions: Vec<String>,
}

/// The fewest players as a figure with its words.
pub(super) fn players_needed(evening: &Evening) -> Fact {
    let (fewest, words) = fewest(evening, &Halt::default());
    let figure = fewest.map_or_else(|| "?".to_owned(), |n| n.to_string());
    Fact { figure, words: format!("fewest players ({words})") }
}

/// The fewest players of a programme and whether that is proved.
fn fewest(evening: &Evening, halt: &Halt) -> (Option<usize>, String) {
    let timetable = evening.timetable();
    if timetable.lines.is_empty() {
        return (Some(0), "no lines".to_owned());
    }
    let asked = Asked::of(evening.library(), evening.programme(), timetable, Terms::USUAL);
    let Ok(rota) = Rota::new(asked.problem) else { return (None, "not known".to_owned()) };
    match rota.until(halt.clone()).staffed(Effort::AT_HAND) {
        Staffing::Enough(staffed) => {
            let found = &staffed.fewest;
            let sure = if found.proved() {
                "proven".to_owned()
            } else {
                format!("not proven, at least {}", found.at_least)
            };
            (Some(found.players), sure)
        }
        Staffing::NotEnough(Answer::GaveUp { at_least }) => (None, format!("at least {at_least}")),
        Staffing::NotEnough(_) => (None, "the rules cannot all be followed".to_owned()),
    }
}

/// Every programme of the library, in the order of its first service; those without services last. Less when it is ended
/// before it is done: then nobody waits for it.
pub fn season(library: &Library, halt: &Halt) -> Vec<SeasonRow> {
    let of = library.programmes().count() as u64;
    let wanted = (0..).zip(library.programmes()).take_while(|(done, _)| !halt.is_asked_after(*done, of));
    let each = halt.quiet();
    let mut rows: Vec<SeasonRow> =
        wanted.map(|(_, (week, programme))| row(library, &week.title, programme, &each)).collect();
    rows.sort_by_key(|row| (row.first.is_none(), row.first, row.programme.clone()));
    rows
}

fn row(library: &Library, week: &str, programme: &Programme, halt: &Halt) -> SeasonRow {
    let services = library.services_of(&programme.id);
    let venue =
        programme.venue.as_ref().and_then(|id| library.venues.get(id)).map_or("", |venue| &venue.name);
    let days = span_of(&services).map_or_else(|| "no service yet".to_owned(), |(a, b)| span_words(a, b));
    let evening = Evening::of(library, programme);
    let (fewest, how) = fewest(&evening, halt);
    let players = summary::players(&evening);
    let extras = evening.needs().extras.iter().map(|id| library.player_name(id));
    let collisions = findings::across(&evening).into_iter().map(|finding| finding.what);
    let wanted = evening.hires_to_propose().len();
    let asked = programme.hires.iter().filter(|hire| hire.state == HireState::Wanted).count();
    SeasonRow {
        programme: programme.id.clone(),
        title: programme.title.clone(),
        week: week.to_owned(),
        first: services.first().map(|service| service.start),
        last: services.iter().map(|service| service.end()).max(),
        when: if venue.is_empty() { days } else { format!("{days}, {venue}") },
        needed: fewest.map_or_else(|| how.clone(), |n| format!("{n}, {how}")),
        fewest,
        players: players.len(),
        extras: extras.collect(),
        hires: programme.hires.iter().map(|hire| format!("{} ({})", hire.what, hire.state.word())).collect(),
        open_hires: wanted + asked,
        collisions: collisions.collect(),
    }
}

/// The season on paper; it bears the head of the programme at hand's orchestra.
pub fn season_sheet(library: &Library, programme: &Programme) -> ListSheet {
    let rows = season(library, &Halt::default());
    let extras: usize = rows.iter().map(|row| row.extras.len()).sum();
    let most = rows.iter().filter_map(|row| row.fewest).max();
    let mut head = head(library, programme);
    head.programme.clone_from(&library.orchestra.name);
    head.venue.clear();
    head.dates = span(&rows);
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

fn span(rows: &[SeasonRow]) -> String {
    let first = rows.iter().filter_map(|row| row.first).min();
    let last = rows.iter().filter_map(|row| row.last).max();
    match (first, last) {
        (Some(first), Some(last)) => heading::days(first.date(), last.date()),
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
            none(&row.extras),
            hires,
            none(&row.collisions),
        ])
    }
}
