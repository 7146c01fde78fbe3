//! One measure of one part: time, attributes, bar lines.

use super::Reading;
use super::pull::{attribute, is_type, is_yes};
use crate::score::problem::ReadError;
use crate::score::raw::{Clef, NO_INSTRUMENT, RawClef, Times};
use quick_xml::events::{BytesStart, Event};

/// What a part carries from measure to measure.
#[derive(Debug)]
pub(crate) struct PartState {
    /// Divisions of a quarter note.
    pub(super) divisions: f64,
    /// Sounding minus written, semitones; per staff, the first for all.
    pub(super) transpose: [i8; 4],
    /// The instrument that an instrument change has set.
    pub(super) instrument: u16,
    /// A repeat begins with the next measure.
    pub(super) forward_next: bool,
    /// The place in the measure: quarters up to the last change of divisions, divisions since.
    base: f64,
    ticks: f64,
    /// The longest so far.
    longest: f64,
    /// Where the last note that is not of a chord began.
    pub(super) onset: f64,
    /// Whether the clef is a percussion clef, per staff.
    pub(super) percussion: [bool; 4],
    /// A sign that repeats measures is in force: since when, and how many it repeats.
    simile: Option<(u32, u32)>,
}

impl Default for PartState {
    fn default() -> Self {
        Self {
            divisions: 1.0,
            transpose: [0; 4],
            instrument: NO_INSTRUMENT,
            forward_next: false,
            base: 0.0,
            ticks: 0.0,
            longest: 0.0,
            onset: 0.0,
            percussion: [false; 4],
            simile: None,
        }
    }
}

impl PartState {
    fn begin(&mut self) {
        (self.base, self.ticks, self.longest, self.onset) = (0.0, 0.0, 0.0, 0.0);
    }

    /// Quarter notes into the measure.
    pub(super) fn at(&self) -> f64 {
        self.base + self.ticks / self.divisions
    }

    /// Moves on, or back, by divisions; never before the start of the measure.
    pub(super) fn advance(&mut self, divisions: f64) {
        self.ticks += divisions;
        let at = self.at();
        if at < 0.0 {
            (self.base, self.ticks) = (0.0, 0.0);
        }
        self.longest = self.longest.max(at);
    }

    fn divide(&mut self, divisions: f64) {
        self.base = self.at();
        self.ticks = 0.0;
        self.divisions = divisions;
    }
}

impl Reading<'_, '_> {
    /// Reads a measure of a part up to the end of the element that was just begun.
    pub(super) fn measure(&mut self, part: usize, measure: usize) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        if let Some(state) = self.states.get_mut(part) {
            state.begin();
            if std::mem::take(&mut state.forward_next)
                && let Some(measure) = self.score.measures.get_mut(measure)
            {
                measure.flow.forward = true;
            }
        }
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "note" => self.note(part, measure)?,
                    "backup" => self.shift(part, -1.0)?,
                    "forward" => self.shift(part, 1.0)?,
                    "attributes" => self.attributes(part, measure)?,
                    "direction" => self.direction(part, measure)?,
                    "sound" => self.sound(&e, part, measure, false)?,
                    "barline" => self.barline(&e, part, measure)?,
                    _ => self.pull.skip()?,
                },
                Event::Empty(e) => match e.name().into_inner() {
                    "sound" => self.sound(&e, part, measure, true)?,
                    "barline" => self.barline_signs(&e, measure),
                    _ => {}
                },
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        if let (Some(state), Some(measure)) = (self.states.get(part), self.score.measures.get_mut(measure)) {
            measure.quarters = measure.quarters.max(state.longest);
        }
        Ok(())
    }

    /// `backup` and `forward`.
    fn shift(&mut self, part: usize, sign: f64) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        let mut duration = 0.0;
        loop {
            match self.pull.next()? {
                Event::Start(e) if e.name().into_inner() == "duration" => {
                    duration = number(&self.pull.text(self.problems)?).unwrap_or(0.0);
                }
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        if let Some(state) = self.states.get_mut(part) {
            state.advance(sign * duration.clamp(0.0, 1e9));
        }
        Ok(())
    }

    fn attributes(&mut self, part: usize, measure: usize) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "divisions" => {
                        let text = self.pull.text(self.problems)?;
                        match number(&text).filter(|d| *d > 0.0) {
                            Some(divisions) => {
                                if let Some(state) = self.states.get_mut(part) {
                                    state.divide(divisions);
                                }
                            }
                            None => self.problems.add(
                                "divisions",
                                self.pull.line(),
                                format!("\"{text}\" is not a number of divisions; the earlier number still applies"),
                                "export the score again; the times of this part may be wrong",
                            ),
                        }
                    }
                    "time" => self.time(measure)?,
                    "transpose" => {
                        let staff = attribute(&e, "number").and_then(|n| n.parse::<usize>().ok());
                        self.transpose(part, staff)?;
                    }
                    "clef" => {
                        let staff = attribute(&e, "number").and_then(|n| n.parse::<usize>().ok());
                        self.clef(part, measure, staff)?;
                    }
                    "measure-style" => self.measure_style(part, measure)?,
                    _ => self.pull.skip()?,
                },
                Event::End(_) if self.pull.depth() < inside => return Ok(()),
                Event::Eof => return Ok(()),
                _ => {}
            }
        }
    }

    /// Time signatures, also composite ones such as 3+2/8 and several beside each other.
    fn time(&mut self, measure: usize) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        let (mut beats, mut quarters, mut of) = (0.0, 0.0, 0);
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "beats" => {
                        beats = self.pull.text(self.problems)?.split('+').filter_map(number).sum::<f64>();
                    }
                    "beat-type" => {
                        if let Some(unit) = number(&self.pull.text(self.problems)?).filter(|u| *u > 0.0) {
                            quarters += beats * 4.0 / unit;
                            of = if of == 0 { super::super::raw::lower_figure(unit) } else { of };
                        }
                    }
                    // A second signature that may be used instead of this one.
                    _ => self.pull.skip()?,
                },
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        if let Some(measure) = self.score.measures.get_mut(measure)
            && measure.promised <= 0.0
            && quarters.is_finite()
        {
            measure.promised = quarters.min(1000.0);
            measure.of = of;
        }
        Ok(())
    }

    fn transpose(&mut self, part: usize, staff: Option<usize>) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        let (mut chromatic, mut octaves, mut doubled) = (0.0, 0.0, 0.0);
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "chromatic" => chromatic = number(&self.pull.text(self.problems)?).unwrap_or(0.0),
                    "octave-change" => octaves = number(&self.pull.text(self.problems)?).unwrap_or(0.0),
                    "double" => {
                        doubled = if is_yes(&e, "above") { 12.0 } else { -12.0 };
                        self.pull.skip()?;
                    }
                    _ => self.pull.skip()?,
                },
                Event::Empty(e) if e.name().into_inner() == "double" => {
                    doubled = if is_yes(&e, "above") { 12.0 } else { -12.0 };
                }
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        if doubled != 0.0 {
            self.problems.add(
                "doubled",
                self.pull.line(),
                "the part is also played an octave away, which is not counted",
                "add the doubling by hand if it is meant for percussion",
            );
        }
        // Half semitones do not occur in transpositions of percussion; what is not whole is rounded.
        let semitones = (chromatic + octaves * 12.0).round().clamp(-96.0, 96.0);
        #[expect(clippy::cast_possible_truncation, reason = "clamped to -96 to 96")]
        let semitones = semitones as i8;
        if let Some(state) = self.states.get_mut(part) {
            match staff {
                Some(staff) if (1..=4).contains(&staff) => {
                    if let Some(slot) = state.transpose.get_mut(staff - 1) {
                        *slot = semitones;
                    }
                }
                _ => state.transpose = [semitones; 4],
            }
        }
        Ok(())
    }

    fn clef(&mut self, part: usize, measure: usize, staff: Option<usize>) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        let mut sign = Clef::Other;
        loop {
            match self.pull.next()? {
                Event::Start(e) if e.name().into_inner() == "sign" => {
                    sign = match self.pull.text(self.problems)?.as_str() {
                        "G" => Clef::Treble,
                        "F" => Clef::Bass,
                        "percussion" => Clef::Percussion,
                        _ => Clef::Other,
                    };
                }
                Event::Start(_) => self.pull.skip()?,
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        let at = self.states.get(part).map_or(0.0, PartState::at);
        if let Some(slot) = self
            .states
            .get_mut(part)
            .and_then(|state| state.percussion.get_mut(staff.unwrap_or(1).clamp(1, 4) - 1))
        {
            *slot = sign == Clef::Percussion;
        }
        if let Some(part) = self.score.parts.get_mut(part) {
            part.clefs.push(RawClef { measure: index(measure), at, sign });
        }
        Ok(())
    }

    /// Signs that repeat one or more measures; ends of them, and anything else of the kind, are passed over.
    fn measure_style(&mut self, part: usize, measure: usize) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        loop {
            match self.pull.next()? {
                Event::Start(e) if e.name().into_inner() == "measure-repeat" => {
                    let start = is_type(&e, "start");
                    let count = self.pull.text(self.problems)?.parse::<u32>().unwrap_or(1).clamp(1, 8);
                    self.simile(part, index(measure), start.then_some(count));
                }
                Event::Empty(e) if e.name().into_inner() == "measure-repeat" => {
                    self.simile(part, index(measure), is_type(&e, "start").then_some(1));
                }
                Event::Start(_) => self.pull.skip()?,
                Event::End(_) if self.pull.depth() < inside => return Ok(()),
                Event::Eof => return Ok(()),
                _ => {}
            }
        }
    }

    /// Begins a sign that repeats so many measures, or ends it.
    pub(super) fn simile(&mut self, part: usize, measure: u32, begin: Option<u32>) {
        let (Some(state), Some(part)) = (self.states.get_mut(part), self.score.parts.get_mut(part)) else {
            return;
        };
        if let Some((from, count)) = state.simile.take().filter(|(from, _)| *from < measure) {
            part.similes.push((from, measure, count));
        }
        state.simile = begin.map(|count| (measure, count));
    }

    fn barline(&mut self, start: &BytesStart<'_>, part: usize, measure: usize) -> Result<(), ReadError> {
        self.barline_signs(start, measure);
        let left = attribute(start, "location").is_some_and(|place| place == "left");
        let inside = self.pull.depth();
        loop {
            match self.pull.next()? {
                Event::Start(e) => {
                    self.bar_sign(&e, left, part, measure);
                    self.pull.skip()?;
                }
                Event::Empty(e) => self.bar_sign(&e, left, part, measure),
                Event::End(_) if self.pull.depth() < inside => return Ok(()),
                Event::Eof => return Ok(()),
                _ => {}
            }
        }
    }

    /// Segno and coda as attributes of a bar line.
    fn barline_signs(&mut self, start: &BytesStart<'_>, measure: usize) {
        let (segno, coda) = (attribute(start, "segno"), attribute(start, "coda"));
        if let Some(measure) = self.score.measures.get_mut(measure) {
            measure.flow.segno = measure.flow.segno.take().or(segno);
            measure.flow.coda = measure.flow.coda.take().or(coda);
        }
    }

    fn bar_sign(&mut self, e: &BytesStart<'_>, left: bool, part: usize, index: usize) {
        match e.name().into_inner() {
            "repeat" => self.repeat(e, left, part, index),
            "ending" => {
                let Some(measure) = self.score.measures.get_mut(index) else { return };
                match attribute(e, "type").as_deref() {
                    Some("start") => {
                        if measure.flow.ending.is_empty() {
                            measure.flow.ending = ending_numbers(&attribute(e, "number").unwrap_or_default());
                        }
                    }
                    _ => measure.flow.ending_stop = true,
                }
            }
            "fermata" => self.fermata(index),
            _ => {}
        }
    }

    fn repeat(&mut self, e: &BytesStart<'_>, left: bool, part: usize, index: usize) {
        let forward = attribute(e, "direction").is_some_and(|way| way == "forward");
        if forward && !left {
            // Stated at the end of a measure: it begins with the next.
            if let Some(state) = self.states.get_mut(part) {
                state.forward_next = true;
            }
            return;
        }
        let index = if !forward && left { index.saturating_sub(1) } else { index };
        let Some(measure) = self.score.measures.get_mut(index) else { return };
        if forward {
            measure.flow.forward = true;
            return;
        }
        let times = attribute(e, "times").and_then(|times| times.trim().parse::<u32>().ok());
        let known = measure.flow.backward.and_then(|times| times.0);
        measure.flow.backward = Some(Times(known.or(times.filter(|t| (1..=100).contains(t)))));
        measure.flow.after_jump |= is_yes(e, "after-jump");
    }

    pub(super) fn fermata(&mut self, measure: usize) {
        self.score.fermatas.insert(measure);
    }
}

/// "1", "1, 2", "1-3" and "1.2." as numbers.
fn ending_numbers(text: &str) -> Vec<u32> {
    let mut numbers = Vec::new();
    for piece in text.split([',', ' ', '.', ';', '/']).filter(|piece| !piece.is_empty()) {
        match piece.split_once('-').map(|(a, b)| (a.trim().parse::<u32>(), b.trim().parse::<u32>())) {
            Some((Ok(from), Ok(to))) if from <= to && to <= 100 => numbers.extend(from..=to),
            _ => numbers.extend(piece.parse::<u32>().ok().filter(|n| (1..=100).contains(n))),
        }
    }
    if numbers.is_empty() {
        numbers.push(1);
    }
    numbers
}

/// A finite number.
pub(super) fn number(text: &str) -> Option<f64> {
    text.trim().parse::<f64>().ok().filter(|n| n.is_finite())
}

/// A measure's index as notes keep it; there are never more than 100,000.
pub(super) fn index(measure: usize) -> u32 {
    u32::try_from(measure).unwrap_or(u32::MAX)
}
