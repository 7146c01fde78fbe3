//! The head of a score: titles, and the list of parts with their instruments.

use super::Reading;
use super::pull::attribute;
use crate::score::problem::ReadError;
use crate::score::raw::{RawInstrument, RawPart};
use quick_xml::events::{BytesStart, Event};

impl Reading<'_, '_> {
    /// `work`, `identification`, `movement-title` and their like.
    pub(super) fn heading(&mut self, start: &BytesStart<'_>) -> Result<(), ReadError> {
        match start.name().into_inner() {
            "movement-number" => self.score.movement_number = self.pull.text(self.problems)?,
            "movement-title" => self.score.movement_title = self.pull.text(self.problems)?,
            "credit" => self.credit()?,
            _ => {
                let inside = self.pull.depth();
                loop {
                    match self.pull.next()? {
                        Event::Start(e) => match e.name().into_inner() {
                            "work-title" => self.score.title = self.pull.text(self.problems)?,
                            "creator" => {
                                let composer = attribute(&e, "type").is_none_or(|kind| kind == "composer");
                                let name = self.pull.text(self.problems)?;
                                if composer && self.score.composer.is_empty() {
                                    self.score.composer = name;
                                }
                            }
                            _ => self.pull.skip()?,
                        },
                        Event::End(_) if self.pull.depth() < inside => break,
                        Event::Eof => break,
                        _ => {}
                    }
                }
            }
        }
        Ok(())
    }

    /// A credit that says it is the title stands in where the work has none.
    fn credit(&mut self) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        let (mut kind, mut words) = (String::new(), String::new());
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "credit-type" => kind = self.pull.text(self.problems)?,
                    "credit-words" if words.is_empty() => words = self.pull.text(self.problems)?,
                    _ => self.pull.skip()?,
                },
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        if kind == "title" && self.score.title.is_empty() {
            self.score.title = words;
        } else if kind == "composer" && self.score.composer.is_empty() {
            self.score.composer = words;
        }
        Ok(())
    }

    /// The list of parts.
    pub(super) fn part_list(&mut self) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "score-part" => {
                        let id = attribute(&e, "id").unwrap_or_default();
                        self.score_part(id)?;
                    }
                    _ => self.pull.skip()?,
                },
                Event::End(_) if self.pull.depth() < inside => return Ok(()),
                Event::Eof => return Ok(()),
                _ => {}
            }
        }
    }

    fn score_part(&mut self, id: String) -> Result<(), ReadError> {
        let mut part = RawPart { id, ..RawPart::default() };
        let inside = self.pull.depth();
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "part-name" => part.name = one_line(&self.pull.text(self.problems)?),
                    "part-name-display" if part.name.is_empty() => {
                        part.name = one_line(&self.pull.text(self.problems)?);
                    }
                    "part-abbreviation" => part.abbreviation = one_line(&self.pull.text(self.problems)?),
                    "score-instrument" => {
                        let id = attribute(&e, "id").unwrap_or_default();
                        let instrument = self.score_instrument(id)?;
                        if part.instruments.len() < usize::from(u16::MAX) - 1 {
                            part.instruments.push(instrument);
                        }
                    }
                    "midi-instrument" => {
                        let id = attribute(&e, "id").unwrap_or_default();
                        self.midi_instrument(&id, &mut part)?;
                    }
                    _ => self.pull.skip()?,
                },
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        self.add_part(part)?;
        Ok(())
    }

    fn score_instrument(&mut self, id: String) -> Result<RawInstrument, ReadError> {
        let mut instrument = RawInstrument { id, ..RawInstrument::default() };
        let inside = self.pull.depth();
        loop {
            match self.pull.next()? {
                Event::Start(e) => match e.name().into_inner() {
                    "instrument-name" => instrument.name = one_line(&self.pull.text(self.problems)?),
                    "instrument-sound" => instrument.sound = self.pull.text(self.problems)?,
                    _ => self.pull.skip()?,
                },
                Event::End(_) if self.pull.depth() < inside => return Ok(instrument),
                Event::Eof => return Ok(instrument),
                _ => {}
            }
        }
    }

    fn midi_instrument(&mut self, id: &str, part: &mut RawPart) -> Result<(), ReadError> {
        let (mut channel, mut program, mut key) = (None, None, None);
        let inside = self.pull.depth();
        loop {
            match self.pull.next()? {
                Event::Start(e) => {
                    let slot = match e.name().into_inner() {
                        "midi-channel" => &mut channel,
                        "midi-program" => &mut program,
                        "midi-unpitched" => &mut key,
                        _ => {
                            self.pull.skip()?;
                            continue;
                        }
                    };
                    *slot = self.pull.text(self.problems)?.parse::<u8>().ok();
                }
                Event::End(_) if self.pull.depth() < inside => break,
                Event::Eof => break,
                _ => {}
            }
        }
        if let Some(instrument) = part.instruments.iter_mut().find(|i| i.id == id) {
            instrument.channel = channel.filter(|c| (1..=16).contains(c));
            instrument.program = program.filter(|p| (1..=128).contains(p));
            // `midi-unpitched` counts from 1 (MusicXML 4.0), keys from 0.
            instrument.key = key.and_then(|k| k.checked_sub(1)).filter(|k| *k < 128);
        }
        Ok(())
    }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
