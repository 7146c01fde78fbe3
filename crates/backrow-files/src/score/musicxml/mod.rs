//! MusicXML 1.0 to 4.0 (W3C Music Notation Community Group), partwise and timewise, read as a stream.

mod direction;
mod header;
mod measure;
mod note;
mod pull;

use super::problem::{Problems, ReadError};
use super::raw::{RawNote, RawPart, RawScore};
use backrow_core::halt::Halt;
use measure::PartState;
use pull::{Pull, attribute};
use quick_xml::events::{BytesStart, Event};
use std::collections::BTreeMap;

/// A score has fewer parts and measures than this.
const MOST_PARTS: usize = 2000;
const MOST_MEASURES: usize = 100_000;

/// Reads the text of a score.
pub(crate) fn read(
    file: &str,
    text: &str,
    problems: &mut Problems,
    halt: &Halt,
) -> Result<RawScore, ReadError> {
    let mut reading = Reading {
        pull: Pull::new(file, text, halt),
        score: RawScore::default(),
        states: Vec::new(),
        index: BTreeMap::new(),
        problems,
    };
    reading.root()?;
    let end = measure::index(reading.score.measures.len());
    for part in 0..reading.score.parts.len() {
        reading.simile(part, end, None);
    }
    let Reading { mut score, problems, .. } = reading;
    finish(file, &mut score, problems)?;
    Ok(score)
}

/// What is being built.
pub(crate) struct Reading<'a, 'p> {
    pub(crate) pull: Pull<'a>,
    pub(crate) score: RawScore,
    pub(crate) states: Vec<PartState>,
    index: BTreeMap<String, usize>,
    pub(crate) problems: &'p mut Problems,
}

impl Reading<'_, '_> {
    fn root(&mut self) -> Result<(), ReadError> {
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "score-partwise" => return self.score(false),
                    "score-timewise" => return self.score(true),
                    other => return Err(self.not_a_score(other)),
                },
                // A score with nothing in it; that it has no parts is said by who looks for them.
                Event::Empty(e) if matches!(e.name().into_inner(), "score-partwise" | "score-timewise") => {
                    return Ok(());
                }
                Event::Empty(e) => return Err(self.not_a_score(e.name().into_inner())),
                Event::Eof => return Err(self.not_a_score("nothing")),
                _ => {}
            }
        }
    }

    fn not_a_score(&self, found: &str) -> ReadError {
        let found: String = found.chars().take(60).collect();
        ReadError::new(
            "not-a-score",
            self.pull.line(),
            format!("this XML begins with \"{found}\", not with a MusicXML score"),
            "export the score as MusicXML",
        )
    }

    fn score(&mut self, timewise: bool) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        let mut measures = 0;
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "part-list" => self.part_list()?,
                    "work" | "identification" | "movement-number" | "movement-title" | "credit" => {
                        self.heading(&e)?;
                    }
                    "part" if !timewise => self.part(&e)?,
                    "measure" if timewise => {
                        let named = self.measure_head(&e, measures)?;
                        self.parts_of_measure(named)?;
                        measures += 1;
                    }
                    _ => self.pull.skip()?,
                },
                Event::End(_) if self.pull.depth() < inside => return Ok(()),
                Event::Eof => {
                    return Err(ReadError::new(
                        "cut-off",
                        self.pull.line(),
                        "the file ends before the score does",
                        "copy or export the score again",
                    ));
                }
                _ => {}
            }
        }
    }

    /// A part of a partwise score.
    fn part(&mut self, start: &BytesStart<'_>) -> Result<(), ReadError> {
        let part = self.part_index(start)?;
        let inside = self.pull.depth();
        let mut measure = 0;
        loop {
            match self.pull.next()? {
                Event::Start(e) if e.name().into_inner() == "measure" => {
                    self.measure_head(&e, measure)?;
                    self.measure(part, measure)?;
                    measure += 1;
                }
                Event::Empty(e) if e.name().into_inner() == "measure" => {
                    self.measure_head(&e, measure)?;
                    measure += 1;
                }
                Event::Start(_) => self.pull.skip()?,
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        if let Some(part) = self.score.parts.get_mut(part) {
            part.measures = measure;
        }
        Ok(())
    }

    /// The parts of one measure of a timewise score.
    fn parts_of_measure(&mut self, measure: usize) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        loop {
            match self.pull.next()? {
                Event::Start(e) if e.name().into_inner() == "part" => {
                    let part = self.part_index(&e)?;
                    self.measure(part, measure)?;
                    if let Some(part) = self.score.parts.get_mut(part) {
                        part.measures = measure + 1;
                    }
                }
                Event::Start(_) => self.pull.skip()?,
                Event::End(_) if self.pull.depth() < inside => return Ok(()),
                Event::Eof => return Ok(()),
                _ => {}
            }
        }
    }

    /// The part of that id; one that the list of parts does not know is added, and named as a problem.
    fn part_index(&mut self, start: &BytesStart<'_>) -> Result<usize, ReadError> {
        let id = attribute(start, "id").unwrap_or_default();
        if let Some(index) = self.index.get(&id) {
            return Ok(*index);
        }
        self.problems.add(
            "part-unlisted",
            self.pull.line(),
            format!("part \"{id}\" is not in the list of parts"),
            "its name is not known; look at what it holds",
        );
        self.add_part(RawPart { id, ..RawPart::default() })
    }

    pub(crate) fn add_part(&mut self, part: RawPart) -> Result<usize, ReadError> {
        if self.score.parts.len() >= MOST_PARTS {
            return Err(ReadError::new(
                "too-many-parts",
                self.pull.line(),
                format!("the score has more than {MOST_PARTS} parts"),
                "export the score again",
            ));
        }
        let index = self.score.parts.len();
        self.index.insert(part.id.clone(), index);
        self.states.push(PartState::default());
        self.score.parts.push(part);
        Ok(index)
    }

    /// Notes the head of a measure; its index.
    fn measure_head(&mut self, start: &BytesStart<'_>, index: usize) -> Result<usize, ReadError> {
        if index < self.score.measures.len() {
            return Ok(index);
        }
        if index >= MOST_MEASURES {
            return Err(ReadError::new(
                "too-many-measures",
                self.pull.line(),
                format!("the score has more than {MOST_MEASURES} measures"),
                "export the movements as files of their own",
            ));
        }
        let name = attribute(start, "text").or_else(|| attribute(start, "number")).unwrap_or_default();
        let name: String = name.trim().chars().take(20).collect();
        let name = if name.is_empty() { (index + 1).to_string() } else { name };
        self.score.measures.push(super::raw::RawMeasure { name, ..Default::default() });
        Ok(index)
    }
}

/// Writes out measures that a sign repeats and that hold no notes of their own.
///
/// Notes stay in the order of the measures only until the end; whoever needs that order sorts them.
fn write_out(part: &mut RawPart) {
    let similes = std::mem::take(&mut part.similes);
    let mut by_measure: BTreeMap<u32, Vec<RawNote>> = BTreeMap::new();
    if !similes.is_empty() {
        for note in &part.notes {
            by_measure.entry(note.measure).or_default().push(*note);
        }
    }
    for (from, to, count) in &similes {
        for measure in *from..*to {
            let Some(source) = from.checked_sub(*count).map(|first| first + (measure - from) % count) else {
                continue;
            };
            if by_measure.contains_key(&measure) || part.notes.len() >= MOST_WRITTEN_OUT {
                continue;
            }
            let copies: Vec<RawNote> = by_measure
                .get(&source)
                .into_iter()
                .flatten()
                .map(|note| RawNote { measure, ..*note })
                .collect();
            part.notes.extend(&copies);
            if !copies.is_empty() {
                by_measure.insert(measure, copies);
            }
        }
    }
    part.similes = similes;
}

/// The most notes that a part may have once its repeated measures are written out.
const MOST_WRITTEN_OUT: usize = 2_000_000;

/// What can only be told when all parts are read.
fn finish(file: &str, score: &mut RawScore, problems: &mut Problems) -> Result<(), ReadError> {
    if score.measures.is_empty() {
        return Err(ReadError::new(
            "no-measures",
            file,
            "the score holds no measures",
            "export the score again with its music",
        ));
    }
    score.parts.iter_mut().for_each(write_out);
    // The same mark over several parts is one.
    score.tempi.sort_by(|a, b| a.measure.cmp(&b.measure).then(a.at.total_cmp(&b.at)));
    score.tempi.dedup_by(|b, a| a.measure == b.measure && (a.at - b.at).abs() < 1e-6 && a.pace == b.pace);
    let (mut promised, mut of) = (4.0, 4);
    for measure in &mut score.measures {
        if measure.promised > 0.0 {
            promised = measure.promised;
        }
        if measure.of > 0 {
            of = measure.of;
        }
        measure.of = of;
        // A measure without any content lasts what the time signature says.
        if measure.quarters <= 0.0 {
            measure.quarters = promised;
        }
    }
    let measures = score.measures.len();
    for part in score.parts.iter().filter(|part| part.measures != measures && part.measures > 0) {
        problems.add(
            "measures-differ",
            format!("{file}, part {}", part.id),
            format!(
                "the part \"{}\" has {} measures where the longest has {measures}",
                part.name, part.measures
            ),
            "check the last measures of this part",
        );
    }
    Ok(())
}
