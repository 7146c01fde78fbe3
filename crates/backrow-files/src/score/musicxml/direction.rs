//! Directions: words, tempo, rehearsal letters, dynamics, pedals, and the signs that lead the order of playing.

use super::Reading;
use super::measure::{PartState, index, number};
use super::pull::{attribute, is_yes};
use crate::score::problem::ReadError;
use crate::score::raw::{Pace, RawDynamic, RawTempo, RawWords};
use backrow_core::music::Dynamic;
use quick_xml::events::{BytesStart, Event};

/// What one direction holds.
#[derive(Default)]
struct Direction {
    words: Vec<String>,
    letters: Vec<String>,
    dynamics: Vec<Dynamic>,
    pace: Option<Pace>,
    /// The note that the printed mark counts in.
    beat: Option<f64>,
    /// From `sound`, which goes before the printed mark.
    sound_pace: Option<f64>,
    segno: bool,
    coda: bool,
    pedal: Option<bool>,
    /// Divisions from the place in the file to the place on the page.
    offset: f64,
    /// What sounds is moved too; without it `offset` moves the print only (MusicXML 4.0, `offset`).
    offset_sounds: bool,
}

impl Reading<'_, '_> {
    /// Reads a direction up to its end.
    pub(super) fn direction(&mut self, part: usize, measure: usize) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        let mut found = Direction::default();
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "direction-type" | "dynamics" | "percussion" => {}
                    "rehearsal" => found.letters.push(self.pull.text(self.problems)?),
                    "words" | "glass" | "metal" | "wood" | "pitched" | "membrane" | "effect" | "beater"
                    | "stick-type" | "other-percussion" => found.words.push(self.pull.text(self.problems)?),
                    "timpani" => {
                        found.words.push("timpani".to_owned());
                        self.pull.skip()?;
                    }
                    "metronome" => (found.pace, found.beat) = self.metronome()?,
                    "offset" => {
                        found.offset_sounds = is_yes(&e, "sound");
                        found.offset = number(&self.pull.text(self.problems)?).unwrap_or(0.0);
                    }
                    "sound" => {
                        found.sound_pace = tempo(&e);
                        self.sound_flow(&e, part, measure);
                        self.sound_inside(part)?;
                    }
                    "segno" | "coda" | "pedal" => {
                        found.sign(&e);
                        self.pull.skip()?;
                    }
                    other => {
                        found.dynamics.extend(Dynamic::of_sign(other));
                        self.pull.skip()?;
                    }
                },
                Event::Empty(e) => match e.name().into_inner() {
                    "sound" => {
                        found.sound_pace = tempo(&e);
                        self.sound_flow(&e, part, measure);
                    }
                    "segno" | "coda" | "pedal" => found.sign(&e),
                    "timpani" => found.words.push("timpani".to_owned()),
                    other => found.dynamics.extend(Dynamic::of_sign(other)),
                },
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        self.take_direction(found, part, measure);
        Ok(())
    }

    fn take_direction(&mut self, found: Direction, part: usize, measure: usize) {
        let Some(state) = self.states.get(part) else { return };
        let here = state.at();
        let at = (here + found.offset / state.divisions).max(0.0);
        let words = found.words.join(" ");
        let sounding = found.sound_pace.map(Pace::Quarters);
        if let Some(pace) = sounding.or(found.pace) {
            let at = if sounding.is_some() && !found.offset_sounds { here } else { at };
            self.tempo(RawTempo { measure, at, pace, beat: found.beat, words: words.clone() });
        }
        for letter in found.letters.into_iter().filter(|letter| !letter.is_empty()) {
            self.score.letters.insert((measure, letter));
        }
        if let Some(measure) = self.score.measures.get_mut(measure) {
            let flow = &mut measure.flow;
            if found.segno {
                flow.segno.get_or_insert_with(|| "segno".to_owned());
            }
            if found.coda {
                flow.coda.get_or_insert_with(|| "coda".to_owned());
            }
            crate::score::jumps::jump_words(&words, flow);
        }
        let Some(part) = self.score.parts.get_mut(part) else { return };
        let measure = index(measure);
        part.dynamics.extend(found.dynamics.into_iter().map(|level| RawDynamic { measure, at, level }));
        part.pedals.extend(found.pedal.map(|down| (measure, at, down)));
        for text in found.words.into_iter().filter(|text| !text.is_empty()) {
            part.words.push(RawWords { measure, at, text });
        }
    }

    /// Adds a tempo; the same one in another part is taken out when all are read.
    fn tempo(&mut self, tempo: RawTempo) {
        if self.score.tempi.len() < 200_000 {
            self.score.tempi.push(tempo);
        }
    }

    /// A `sound` that stands by itself in a measure.
    pub(super) fn sound(
        &mut self,
        e: &BytesStart<'_>,
        part: usize,
        measure: usize,
        empty: bool,
    ) -> Result<(), ReadError> {
        if let Some(pace) = tempo(e) {
            let at = self.states.get(part).map_or(0.0, PartState::at);
            self.tempo(RawTempo {
                measure,
                at,
                pace: Pace::Quarters(pace),
                beat: None,
                words: String::new(),
            });
        }
        self.sound_flow(e, part, measure);
        if empty { Ok(()) } else { self.sound_inside(part) }
    }

    fn sound_flow(&mut self, e: &BytesStart<'_>, part: usize, measure: usize) {
        let Some(raw) = self.score.measures.get_mut(measure) else { return };
        let flow = &mut raw.flow;
        for a in e.attributes().with_checks(false).flatten() {
            let value = || Some(a.value.to_string());
            match a.key.into_inner() {
                "dacapo" => flow.dacapo |= &*a.value == "yes",
                "dalsegno" => flow.dalsegno = value(),
                "segno" => flow.segno = value(),
                "coda" => flow.coda = value(),
                "tocoda" => flow.tocoda = value(),
                "fine" => flow.fine |= &*a.value != "no",
                "forward-repeat" => flow.forward |= &*a.value == "yes",
                _ => {}
            }
        }
        if let Some(down) = attribute(e, "damper-pedal")
            && let (Some(state), Some(part)) = (self.states.get(part), self.score.parts.get_mut(part))
        {
            part.pedals.push((index(measure), state.at(), down != "no" && down != "0"));
        }
    }

    /// The inside of a `sound`: a change of instrument (MusicXML 4.0).
    fn sound_inside(&mut self, part: usize) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        loop {
            match self.pull.next()? {
                Event::Start(e) => {
                    self.instrument_change(&e, part);
                    self.pull.skip()?;
                }
                Event::Empty(e) => self.instrument_change(&e, part),
                Event::End(_) if self.pull.depth() < inside => return Ok(()),
                Event::Eof => return Ok(()),
                _ => {}
            }
        }
    }

    fn instrument_change(&mut self, e: &BytesStart<'_>, part: usize) {
        if e.name().into_inner() != "instrument-change" {
            return;
        }
        let (Some(id), Some(raw)) = (attribute(e, "id"), self.score.parts.get(part)) else { return };
        let at = raw.instruments.iter().position(|i| i.id == id).and_then(|at| u16::try_from(at).ok());
        if let (Some(at), Some(state)) = (at, self.states.get_mut(part)) {
            state.instrument = at;
        }
    }

    /// A metronome mark: "quarter = 120", "dotted quarter = c. 96", or one value equal to another.
    fn metronome(&mut self) -> Result<(Option<Pace>, Option<f64>), ReadError> {
        let inside = self.pull.depth();
        let mut units: Vec<f64> = Vec::new();
        let mut dots = 0.0;
        let mut pace = None;
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "beat-unit" | "metronome-type" => {
                        units.extend(quarters_of(&self.pull.text(self.problems)?));
                        dots = 0.0;
                    }
                    "beat-unit-dot" | "metronome-dot" => {
                        dot(&mut units, &mut dots);
                        self.pull.skip()?;
                    }
                    "per-minute" => pace = first_number(&self.pull.text(self.problems)?),
                    "metronome-note" => {}
                    _ => self.pull.skip()?,
                },
                Event::Empty(e) => {
                    if matches!(e.name().into_inner(), "beat-unit-dot" | "metronome-dot") {
                        dot(&mut units, &mut dots);
                    }
                }
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        Ok(match (units.as_slice(), pace) {
            ([unit, ..], Some(pace)) => (Some(Pace::Quarters(unit * pace)), Some(*unit)),
            // The left value at the old pace lasts as long as the right one at the new.
            ([left, right], None) if *left > 0.0 => (Some(Pace::Ratio(right / left)), None),
            _ => (None, None),
        })
    }
}

impl Direction {
    fn sign(&mut self, e: &BytesStart<'_>) {
        match e.name().into_inner() {
            "segno" => self.segno = true,
            "coda" => self.coda = true,
            _ => {
                self.pedal = match attribute(e, "type").as_deref() {
                    Some("start" | "change" | "resume" | "sostenuto") => Some(true),
                    Some("stop" | "discontinue") => Some(false),
                    _ => None,
                };
            }
        }
    }
}

fn tempo(e: &BytesStart<'_>) -> Option<f64> {
    attribute(e, "tempo").and_then(|text| number(&text)).filter(|pace| *pace > 0.0)
}

/// A dot adds half of what the value had, a second a quarter.
fn dot(units: &mut [f64], dots: &mut f64) {
    if let Some(unit) = units.last_mut() {
        *dots += 1.0;
        let plain = *unit / (2.0 - 0.5_f64.powf(*dots - 1.0));
        *unit = plain * (2.0 - 0.5_f64.powf(*dots));
    }
}

/// Quarter notes of a note value by its MusicXML name.
fn quarters_of(name: &str) -> Option<f64> {
    Some(match name {
        "maxima" => 32.0,
        "long" => 16.0,
        "breve" => 8.0,
        "whole" => 4.0,
        "half" => 2.0,
        "quarter" => 1.0,
        "eighth" => 0.5,
        "16th" => 0.25,
        "32nd" => 0.125,
        "64th" => 0.0625,
        _ => return None,
    })
}

/// The first number of "c. 120", "120-132", "116,5".
fn first_number(text: &str) -> Option<f64> {
    let digits: String = text
        .chars()
        .skip_while(|c| !c.is_ascii_digit())
        .take_while(|c| c.is_ascii_digit() || *c == '.' || *c == ',')
        .map(|c| if c == ',' { '.' } else { c })
        .collect();
    number(digits.trim_end_matches('.')).filter(|pace| (1.0..=1000.0).contains(pace))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("120", Some(120.0))]
    #[case("c. 96", Some(96.0))]
    #[case("120-132", Some(120.0))]
    #[case("116,5", Some(116.5))]
    #[case("fast", None)]
    fn paces(#[case] text: &str, #[case] pace: Option<f64>) {
        assert_eq!(first_number(text), pace);
    }

    #[test]
    fn dots_add_halves() {
        let (mut units, mut dots) = (vec![1.0], 0.0);
        dot(&mut units, &mut dots);
        assert_eq!(units, [1.5]);
        dot(&mut units, &mut dots);
        assert_eq!(units, [1.75]);
    }
}
