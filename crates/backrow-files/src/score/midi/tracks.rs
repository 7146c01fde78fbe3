//! One track: its notes, and the events that matter for time and names.

use super::bytes::Bytes;
use crate::score::problem::Problems;
use std::collections::BTreeMap;

/// A note with its times in ticks from the start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Strike {
    pub(crate) on: u64,
    pub(crate) off: u64,
    /// 1 to 16.
    pub(crate) channel: u8,
    /// 1 to 128, as it stood when the note began.
    pub(crate) program: u8,
    /// 0 to 127.
    pub(crate) key: u8,
}

/// An event that matters besides notes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Event {
    /// Quarter notes a minute.
    Tempo(f64),
    /// Quarter notes a measure.
    Time(f64, u32),
    /// Sharps of a key signature, flats below 0, and whether it is minor.
    Key(i8, bool),
    /// A marker's text.
    Marker(String),
}

/// A track.
#[derive(Debug, Default)]
pub(crate) struct Track {
    pub(crate) name: String,
    pub(crate) strikes: Vec<Strike>,
    pub(crate) events: Vec<(u64, Event)>,
}

/// What is being read.
struct Reading<'a, 'p> {
    place: String,
    bytes: Bytes<'a>,
    tick: u64,
    programs: [u8; 16],
    /// Notes that sound: channel and key to the indices of their strikes.
    open: BTreeMap<(u8, u8), Vec<usize>>,
    track: Track,
    problems: &'p mut Problems,
}

impl Track {
    /// Reads a track's body; whatever is broken is named, and what came before stays.
    pub(crate) fn read(file: &str, number: usize, body: &[u8], problems: &mut Problems) -> Self {
        let mut reading = Reading {
            place: format!("{file}, track {number}"),
            bytes: Bytes::new(body),
            tick: 0,
            programs: [1; 16],
            open: BTreeMap::new(),
            track: Self::default(),
            problems,
        };
        if reading.all().is_none() {
            let (place, tick) = (reading.place.clone(), reading.tick);
            reading.problems.add(
                "midi-track",
                place,
                format!("the track breaks off at tick {tick}"),
                "what came before was read; export the file again",
            );
        }
        let tick = reading.tick;
        for at in reading.open.into_values().flatten() {
            if let Some(strike) = reading.track.strikes.get_mut(at) {
                strike.off = tick;
            }
        }
        reading.track
    }
}

impl Reading<'_, '_> {
    fn all(&mut self) -> Option<()> {
        let mut running = 0;
        while !self.bytes.is_empty() {
            self.tick = self.tick.saturating_add(u64::from(self.bytes.number()?));
            let first = self.bytes.peek()?;
            match first {
                0xFF => {
                    self.bytes.u8()?;
                    let kind = self.bytes.u8()?;
                    let length = usize::try_from(self.bytes.number()?).ok()?;
                    let data = self.bytes.take(length)?;
                    if kind == 0x2F {
                        return Some(());
                    }
                    self.meta(kind, data);
                }
                0xF0 | 0xF7 => {
                    self.bytes.u8()?;
                    let length = usize::try_from(self.bytes.number()?).ok()?;
                    self.bytes.take(length)?;
                }
                0x80..=0xEF => {
                    running = self.bytes.u8()?;
                    self.voice(running)?;
                }
                0..=0x7F if running >= 0x80 => self.voice(running)?,
                _ => return None,
            }
        }
        Some(())
    }

    fn voice(&mut self, status: u8) -> Option<()> {
        let channel = status & 0x0F;
        let first = self.bytes.u8()? & 0x7F;
        match status & 0xF0 {
            0x80 => {
                self.bytes.u8()?;
                self.off(channel, first);
            }
            0x90 => match self.bytes.u8()? {
                0 => self.off(channel, first),
                _ => self.on(channel, first),
            },
            0xC0 => {
                if let Some(program) = self.programs.get_mut(usize::from(channel)) {
                    *program = first + 1;
                }
            }
            0xD0 => {}
            _ => {
                self.bytes.u8()?;
            }
        }
        Some(())
    }

    fn on(&mut self, channel: u8, key: u8) {
        let program = self.programs.get(usize::from(channel)).copied().unwrap_or(1);
        self.open.entry((channel, key)).or_default().push(self.track.strikes.len());
        self.track.strikes.push(Strike { on: self.tick, off: self.tick, channel: channel + 1, program, key });
    }

    fn off(&mut self, channel: u8, key: u8) {
        let Some(open) = self.open.get_mut(&(channel, key)) else { return };
        // The note that began first ends first.
        if open.is_empty() {
            return;
        }
        let at = open.remove(0);
        if let Some(strike) = self.track.strikes.get_mut(at) {
            strike.off = self.tick;
        }
    }

    fn meta(&mut self, kind: u8, data: &[u8]) {
        let mut text = || data.iter().map(|b| char::from(*b)).take(200).collect::<String>();
        let malformed = match (kind, data) {
            (0x03, _) => {
                let text = decoded(data).unwrap_or_else(&mut text);
                if self.track.name.is_empty() {
                    self.track.name = text;
                }
                None
            }
            (0x04, _) => {
                if self.track.name.trim().is_empty() {
                    self.track.name = decoded(data).unwrap_or_else(text);
                }
                None
            }
            (0x06, _) => {
                let text = decoded(data).unwrap_or_else(text);
                self.track.events.push((self.tick, Event::Marker(text.trim().to_owned())));
                None
            }
            (0x51, [a, b, c]) if (*a, *b, *c) != (0, 0, 0) => {
                let micros = f64::from(u32::from_be_bytes([0, *a, *b, *c]));
                self.track.events.push((self.tick, Event::Tempo(60_000_000.0 / micros)));
                None
            }
            (0x51, _) => Some("tempo"),
            (0x58, [beats, unit, ..]) if *beats > 0 && *unit <= 7 => {
                let quarters = f64::from(*beats) * 4.0 / f64::from(1_u32 << *unit);
                self.track.events.push((self.tick, Event::Time(quarters, 1_u32 << *unit)));
                None
            }
            (0x58, _) => Some("time signature"),
            (0x59, [flats, mode]) if (-7..=7).contains(&flats.cast_signed()) && *mode <= 1 => {
                self.track.events.push((self.tick, Event::Key(flats.cast_signed(), *mode == 1)));
                None
            }
            (0x59, _) => Some("key signature"),
            _ => None,
        };
        if let Some(what) = malformed {
            let tick = self.tick;
            self.problems.add(
                "midi-event",
                self.place.clone(),
                format!("a {what} at tick {tick} is malformed and was left out"),
                "nothing else is lost; export the file again to be rid of this",
            );
        }
    }
}

fn decoded(data: &[u8]) -> Option<String> {
    std::str::from_utf8(data).ok().map(|text| text.chars().take(200).collect())
}
