//! From parts as notated to lines: which kind each note asks for, split where the part changes instruments.

mod assign;
mod build;
mod plain_words;
mod retunings;
mod switch;

use super::clock::{ASSUMED, Clock};
use super::names::{NameTable, languages_of};
use super::order::{MOST_PLAYED, played_order};
use super::passages::Played;
use super::problem::Problems;
use super::raw::{Flow, RawScore};
use super::reading::{ReadOptions, ScoreReading, TitleFrom};
use backrow_core::halt::Halt;
use backrow_core::music::{MeasureName, PlayedMeasure, TempoMark, Timeline};
use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};

/// The most notes that the percussion of one movement plays, repeats played out; memory is bounded by it.
const MOST_STROKES: usize = 2_000_000;

/// Makes the reading of a score.
pub(crate) fn reading(
    file: &str,
    raw: &RawScore,
    (table, options): (&NameTable, &ReadOptions),
    mut problems: Problems,
    halt: &Halt,
) -> ScoreReading {
    let flows: Vec<&Flow> = raw.measures.iter().map(|measure| &measure.flow).collect();
    let (order, whole) = played_order(&flows);
    if !whole {
        order_cut(file, &mut problems);
    }
    no_fine(file, raw, &mut problems);
    if !raw.tempi.iter().any(|tempo| tempo.measure == 0 && tempo.at <= 0.0) {
        problems.add(
            "no-tempo",
            format!("{file}, m. {}", raw.measures.first().map_or("1", |m| m.name.as_str())),
            format!("no tempo is given at the start; {ASSUMED} quarter notes a minute were assumed"),
            "give the tempo in the work’s tempo lines",
        );
    }
    let clock = Clock::new(raw);
    let names: Vec<MeasureName> = raw.measures.iter().map(|m| MeasureName::new(&m.name)).collect();
    let timeline = timeline(raw, &clock, &order, &names, options);
    // Where each printed measure begins on the page, quarter notes; one more for the end.
    let starts: Vec<f64> = std::iter::once(0.0)
        .chain(raw.measures.iter().scan(0.0, |sum, m| {
            *sum += m.quarters;
            Some(*sum)
        }))
        .collect();
    let strokes = Cell::new(MOST_STROKES);
    let played = Played {
        order: &order,
        timeline: &timeline,
        clock: &clock,
        names: &names,
        starts: &starts,
        strokes_left: &strokes,
    };
    let shared = shared_words(raw);
    let around =
        build::Around { file, table, played: &played, options, language: language(raw), shared: &shared };
    let mut lines = Vec::new();
    // When it is ended, nobody waits for what is left out.
    for part in raw.parts.iter().take_while(|_| !halt.is_asked()) {
        lines.extend(build::lines_of(part, &around, &mut problems));
    }
    if strokes.get() == 0 {
        problems.add(
            "too-many-notes",
            file,
            format!("more than {MOST_STROKES} notes are played; the passages beyond were left out"),
            "check repeats and tremolos in the score, or export the movements as files of their own",
        );
    }
    if lines.is_empty() {
        problems.add(
            "no-percussion",
            file,
            "no part was found to be percussion",
            "check the names of the parts, or add lines by hand",
        );
    }
    let stem = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let stem = stem.rsplit_once('.').map_or(stem, |(stem, _)| stem);
    let titles = [(TitleFrom::Work, &raw.title), (TitleFrom::Movement, &raw.movement_title)];
    let title = titles.into_iter().find(|(_, text)| !text.trim().is_empty());
    let quarters = raw.measures.iter().map(|m| m.quarters).sum();
    let measures = raw.measures.len();
    ScoreReading {
        file: file.to_owned(),
        title: title.map_or(stem, |(_, text)| text.trim()).to_owned(),
        title_from: title.map_or(TitleFrom::File, |(from, _)| from),
        composer: raw.composer.trim().to_owned(),
        movement_number: raw.movement_number.trim().to_owned(),
        movement_title: if raw.title.trim().is_empty() {
            String::new()
        } else {
            raw.movement_title.trim().to_owned()
        },
        timeline,
        measures,
        quarters: whole_if_near(quarters),
        lines,
        problems: problems.into_list(file),
    }
}

/// Says that nothing tells where a da capo ends: it was played to its own place again.
fn no_fine(file: &str, raw: &RawScore, problems: &mut Problems) {
    let ends = |flow: &Flow| flow.fine || flow.tocoda.is_some() || flow.coda.is_some();
    let jump = raw.measures.iter().find(|m| m.flow.dacapo || m.flow.dalsegno.is_some());
    if let Some(jump) = jump.filter(|_| !raw.measures.iter().any(|m| ends(&m.flow))) {
        problems.add(
            "no-fine",
            format!("{file}, m. {}", jump.name),
            "a da capo or dal segno has no Fine: everything from there on was played once more, without repeats",
            "cut the tempo lines and passages where it ends, or write Fine into the score",
        );
    }
}

/// Says that the signs lead nowhere.
fn order_cut(file: &str, problems: &mut Problems) {
    problems.add(
        "order",
        file,
        format!("the repeat signs lead to more than {MOST_PLAYED} measures; the order was cut there"),
        "check repeats, endings and jumps in the score",
    );
}

/// Sums of thirds and sevenths come out a hair off; what is near a 1/96 of a quarter is that.
fn whole_if_near(quarters: f64) -> f64 {
    let near = (quarters * 96.0).round() / 96.0;
    if (near - quarters).abs() < 1e-6 { near } else { quarters }
}

fn timeline(
    raw: &RawScore,
    clock: &Clock,
    order: &[usize],
    names: &[MeasureName],
    options: &ReadOptions,
) -> Timeline {
    let mut at_s = 0.0;
    let mut measures = Vec::with_capacity(order.len());
    for index in order {
        let (Some(measure), Some(name)) = (raw.measures.get(*index), names.get(*index)) else { continue };
        measures.push(PlayedMeasure { name: name.clone(), at_s, quarters: measure.quarters, of: measure.of });
        at_s += clock.length(*index);
        if raw.fermatas.contains(index) {
            at_s += options.fermata_s.max(0.0);
        }
    }
    Timeline { measures, end_s: at_s, marks: marks(raw, clock, names) }
}

fn marks(raw: &RawScore, clock: &Clock, names: &[MeasureName]) -> Vec<TempoMark> {
    let mut marks: Vec<(usize, f64, TempoMark)> = Vec::new();
    let blank = |measure: usize| {
        names.get(measure).map(|name| TempoMark {
            measure: name.clone(),
            words: String::new(),
            quarters_per_minute: None,
            beat: None,
            letter: None,
        })
    };
    for tempo in &raw.tempi {
        let Some(mark) = blank(tempo.measure) else { continue };
        let pace = clock.pace(tempo.measure, tempo.at);
        marks.push((
            tempo.measure,
            tempo.at,
            TempoMark {
                words: said(&tempo.words),
                quarters_per_minute: Some(pace),
                beat: tempo.beat.filter(|beat| (beat - 1.0).abs() > 1e-9),
                ..mark
            },
        ));
    }
    for (measure, letter) in &raw.letters {
        let Some(mark) = blank(*measure) else { continue };
        marks.push((*measure, 0.0, TempoMark { letter: Some(letter.clone()), ..mark }));
    }
    for measure in &raw.fermatas {
        let Some(mark) = blank(*measure) else { continue };
        marks.push((*measure, f64::MAX, TempoMark { words: "fermata".to_owned(), ..mark }));
    }
    marks.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    marks.into_iter().map(|(_, _, mark)| mark).collect()
}

/// Words of tempo without the empty brackets of an edition that leaves the figure to a sign: "Presto [ ]".
fn said(words: &str) -> String {
    let kept = words.split_whitespace().collect::<Vec<_>>().join(" ").replace("[ ]", "").replace("[]", "");
    if kept.contains(char::is_alphanumeric) { kept.trim().to_owned() } else { String::new() }
}

/// Words that several parts have at one place: tempo and expression, not names.
fn shared_words(raw: &RawScore) -> BTreeSet<(u32, &str)> {
    let mut parts: BTreeMap<(u32, &str), (usize, bool)> = BTreeMap::new();
    for (at, part) in raw.parts.iter().enumerate() {
        for words in &part.words {
            let (first, several) = parts.entry((words.measure, &words.text)).or_insert((at, false));
            *several |= *first != at;
        }
    }
    let tempi = raw.tempi.iter().filter_map(|tempo| {
        Some((u32::try_from(tempo.measure).ok()?, tempo.words.as_str()))
            .filter(|(_, words)| !words.is_empty())
    });
    parts.into_iter().filter(|(_, (_, several))| *several).map(|(place, _)| place).chain(tempi).collect()
}

/// The language of the score, by the names of its other parts: an index, where one leads.
fn language(raw: &RawScore) -> Option<usize> {
    let mut counts = [0; 4];
    for part in &raw.parts {
        languages_of(&part.name, &mut counts);
    }
    let most = *counts.iter().max()?;
    let leading: Vec<usize> = (0..4).filter(|at| counts.get(*at) == Some(&most)).collect();
    match leading.as_slice() {
        [one] if most > 0 => Some(*one),
        _ => None,
    }
}
