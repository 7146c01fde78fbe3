//! A plain table of passages, a row a passage, as a [`Problem`].
//!
//! Columns: line, instrument, `from_s`, `to_s`, `x_m`, `y_m`, beaters; optional players, together, kind.
//! The cells come parsed; where they come from (a file, a paste) is for others.

use std::collections::BTreeMap;

use super::number::{BeatersNo, InstrumentNo, LineNo, PlaceNo, PlayerNo, StrandNo};
use super::problem::{Demand, Line, Passage, Problem};
use crate::seconds::Habits;

/// One row: one passage of a line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Row {
    /// The line it stands in, for reports.
    pub row: usize,
    /// The line's name; rows with the same name are one line.
    pub line: String,
    /// The instrument's name; may be empty. Lines on one instrument stand at one place where no place is given.
    pub instrument: String,
    /// Start in seconds.
    pub from_s: f64,
    /// End in seconds.
    pub to_s: f64,
    /// Standing place, x and y in metres; the default distance stands in where there is none.
    pub place_m: Option<[f64; 2]>,
    /// Beaters, compared as they are written; empty differs from any.
    pub beaters: String,
    /// The players who may have the line, separated by semicolons; empty for anybody.
    pub players: String,
    /// Lines that one player can play together with this one: their names, or a word that they share,
    /// separated by semicolons.
    pub together: String,
    /// What kind the line is for; kept for the reader of the table, and no demand by itself.
    pub kind: String,
}

/// Something wrong in a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowFault {
    /// The line.
    pub row: usize,
    /// What is wrong and what would mend it.
    pub what: String,
}

/// Makes a problem of a table. Rows that cannot be read are told and left out; the rest goes on.
///
/// Lines come in the order of their first rows. Players named in the table come in the order of their
/// names' first appearance; a line that names none may go to any of them or to an extra.
pub fn problem_of(rows: &[Row], habits: Habits) -> (Problem, Vec<RowFault>) {
    let mut table = Table { problem: Problem { habits, ..Problem::default() }, ..Table::default() };
    let mut faults = Vec::new();
    for row in rows {
        if let Some(what) = fault_of(row) {
            faults.push(RowFault { row: row.row, what });
        } else {
            table.add(row);
        }
    }
    (table.finish(), faults)
}

fn fault_of(row: &Row) -> Option<String> {
    if row.line.is_empty() {
        return Some("The line has no name: fill in the column “line”.".into());
    }
    let sound = |v: f64| v.is_finite() && v.abs() < 3.0e7;
    if !sound(row.from_s) || !sound(row.to_s) {
        return Some("A time is not a number of seconds.".into());
    }
    if row.to_s < row.from_s {
        return Some(format!(
            "The passage ends ({}\u{202F}s) before it starts ({}\u{202F}s).",
            row.to_s, row.from_s
        ));
    }
    if row.place_m.is_some_and(|[x, y]| !sound(x) || !sound(y)) {
        return Some("The place is not a number of metres.".into());
    }
    None
}

#[derive(Default)]
struct Table {
    problem: Problem,
    by_name: BTreeMap<String, LineNo>,
    instruments: BTreeMap<String, InstrumentNo>,
    beaters: BTreeMap<String, BeatersNo>,
    places: BTreeMap<(u64, u64), PlaceNo>,
    by_player: BTreeMap<String, PlayerNo>,
    only: BTreeMap<LineNo, Vec<PlayerNo>>,
    together: Vec<(LineNo, String)>,
}

impl Table {
    fn add(&mut self, row: &Row) {
        let line = *self
            .by_name
            .entry(row.line.clone())
            .or_insert_with(|| self.problem.lines.push(Line { label: row.line.clone(), ..Line::default() }));
        let next = BeatersNo(self.beaters.len());
        let beaters = *self.beaters.entry(row.beaters.clone()).or_insert(next);
        let place = row.place_m.map(|[x, y]| {
            // Adding nothing turns a negative zero into zero.
            let key = ((x + 0.0).to_bits(), (y + 0.0).to_bits());
            *self.places.entry(key).or_insert_with(|| self.problem.places_m.push([x, y]))
        });
        let next = InstrumentNo(self.instruments.len());
        let instrument = (!row.instrument.is_empty())
            .then(|| *self.instruments.entry(row.instrument.clone()).or_insert(next));
        for name in cells(&row.players) {
            let player = *self
                .by_player
                .entry(name.to_owned())
                .or_insert_with(|| self.problem.players.push(name.to_owned()));
            let list = self.only.entry(line).or_default();
            if !list.contains(&player) {
                list.push(player);
            }
        }
        self.together.extend(cells(&row.together).map(|word| (line, word.to_owned())));
        let line = &mut self.problem.lines[line];
        line.passages.push(Passage {
            from_s: row.from_s,
            to_s: row.to_s,
            place,
            beaters: Some(beaters),
            ends_with: None,
            stances: None,
        });
        // An instrument should stay with one player.
        line.strand = line.strand.or(instrument.map(|i| StrandNo(i.0)));
        line.instruments.extend(instrument.filter(|i| !line.instruments.contains(i)));
    }

    fn finish(mut self) -> Problem {
        for line in &mut self.problem.lines {
            line.passages.sort_by(|a, b| a.from_s.total_cmp(&b.from_s).then(a.to_s.total_cmp(&b.to_s)));
        }
        for (i, (line, word)) in self.together.iter().enumerate() {
            if let Some(&other) = self.by_name.get(word) {
                self.problem.playable_together.push((*line, other));
                continue;
            }
            let same = self.together.iter().skip(i + 1).filter(|(other, w)| w == word && other != line);
            self.problem.playable_together.extend(same.map(|(other, _)| (*line, *other)));
        }
        let only = self.only.into_iter();
        let why = || "players named in the table".to_owned();
        self.problem.demands =
            only.map(|(c, players)| Demand::Only { lines: vec![c], players, why: why() }).collect();
        if self.problem.players.is_empty() {
            // Everybody is an extra here, and nobody is dearer for it.
            self.problem.wishes.extra = 0;
        }
        self.problem.extras = self.problem.lines.len();
        self.problem
    }
}

/// The words of a cell that holds several, separated by semicolons.
fn cells(text: &str) -> impl Iterator<Item = &str> {
    text.split(';').map(str::trim).filter(|word| !word.is_empty())
}

#[cfg(test)]
mod worked;
