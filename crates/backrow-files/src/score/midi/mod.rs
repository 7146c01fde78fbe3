//! Standard MIDI files, formats 0 and 1 (MIDI Association, Standard MIDI Files 1.0): notes, tempo map, programs.
//!
//! A malformed event costs that event; a broken track costs the rest of that track.

mod bytes;
mod tracks;

use super::problem::{Problems, ReadError};
use super::raw::{Marks, Pace, RawInstrument, RawMeasure, RawNote, RawPart, RawPitch, RawScore, RawTempo};
use backrow_core::pitch::{KeyNumber, Spelled};
use bytes::Bytes;
use std::collections::BTreeMap;
use tracks::{Event, Strike, Track};

/// A score is shorter than this.
const MOST_MEASURES: usize = 100_000;

/// Reads the bytes of a file.
pub(crate) fn read(file: &str, bytes: &[u8], problems: &mut Problems) -> Result<RawScore, ReadError> {
    let file_bytes = bytes;
    // A file may be wrapped in a RIFF chunk; what is inside is the same.
    let start = file_bytes.windows(4).take(64).position(|window| window == b"MThd").unwrap_or(0);
    let mut bytes = Bytes::new(file_bytes.get(start..).unwrap_or_default());
    let cut = |what: &str| ReadError::new("cut-off", file, what, "copy or export the file again");
    let (_, head) = bytes.chunk().ok_or_else(|| cut("the file ends within its head"))?;
    let mut head = Bytes::new(head);
    let (format, _, division) = (head.u16(), head.u16(), head.u16());
    let (Some(format), Some(division)) = (format, division) else {
        return Err(cut("the file ends within its head"));
    };
    if format > 1 {
        problems.add(
            "midi-format",
            file,
            format!("the file is of format {format}; its tracks were read as sounding together"),
            "export it as format 1",
        );
    }
    let grid = Grid::new(division);
    let mut tracks = Vec::new();
    while let Some((kind, body)) = bytes.chunk() {
        if kind == *b"MTrk" && tracks.len() < 4096 {
            tracks.push(Track::read(file, tracks.len() + 1, body, problems));
        }
    }
    if tracks.is_empty() {
        return Err(cut("the file holds no track"));
    }
    score(file, &tracks, &grid)
}

/// Ticks to quarter notes.
struct Grid {
    ticks: f64,
    /// Frames of time code: a tick has a length in seconds, and a "quarter" stands for one second.
    seconds: bool,
}

impl Grid {
    fn new(division: u16) -> Self {
        let [high, low] = division.to_be_bytes();
        if high & 0x80 == 0 {
            return Self { ticks: f64::from(division.max(1)), seconds: false };
        }
        // The frame rate is a negative number; 29 stands for 29.97.
        let frames = match 256 - u16::from(high) {
            29 => 29.97,
            frames => f64::from(frames),
        };
        Self { ticks: frames * f64::from(low.max(1)), seconds: true }
    }

    fn quarters(&self, tick: u64) -> f64 {
        // Ticks of real files are far below 2^53.
        tick as f64 / self.ticks
    }
}

fn score(file: &str, tracks: &[Track], grid: &Grid) -> Result<RawScore, ReadError> {
    let end = tracks.iter().flat_map(|t| &t.strikes).map(|s| s.off.max(s.on)).max().unwrap_or(0);
    let measures = Measures::new(tracks, grid, grid.quarters(end)).ok_or_else(|| {
        ReadError::new(
            "too-many-measures",
            file,
            format!("the file lasts more than {MOST_MEASURES} measures"),
            "check the times of its last events",
        )
    })?;
    let mut raw = RawScore::default();
    if let Some(name) =
        tracks.first().map(|t| t.name.trim()).filter(|name| !name.is_empty() && tracks.len() > 1)
        && tracks.first().is_some_and(|t| t.strikes.is_empty())
    {
        name.clone_into(&mut raw.title);
    }
    for (tick, event) in tracks.iter().flat_map(|t| &t.events) {
        let (measure, at) = measures.place(grid.quarters(*tick));
        match event {
            Event::Tempo(pace) if !grid.seconds => {
                raw.tempi.push(RawTempo {
                    measure,
                    at,
                    pace: Pace::Quarters(*pace),
                    beat: None,
                    words: String::new(),
                });
            }
            Event::Marker(text) if text.chars().count() <= 3 => {
                raw.letters.insert((measure, text.clone()));
            }
            _ => {}
        }
    }
    if grid.seconds {
        raw.tempi = vec![RawTempo {
            measure: 0,
            at: 0.0,
            pace: Pace::Quarters(60.0),
            beat: None,
            words: String::new(),
        }];
    }
    let mut parts: BTreeMap<(u8, u8, usize), RawPart> = BTreeMap::new();
    for (index, track) in tracks.iter().enumerate() {
        let keys = keys(track, tracks);
        for strike in &track.strikes {
            let drums = strike.channel == 10;
            let program = if drums { 0 } else { strike.program };
            let part = parts
                .entry((strike.channel, program, index))
                .or_insert_with(|| part(track, strike, measures.list.len()));
            let instrument = part_instrument(&mut part.instruments, strike);
            part.notes.extend(note(instrument, strike, &keys, (&measures, grid)));
        }
    }
    raw.parts = parts.into_values().collect();
    raw.measures = measures.list;
    Ok(raw)
}

fn part(track: &Track, strike: &Strike, measures: usize) -> RawPart {
    RawPart {
        id: format!("ch{}", strike.channel),
        name: track.name.trim().to_owned(),
        measures,
        ..RawPart::default()
    }
}

/// The instrument of a strike: its program, or on channel 10 its key.
fn part_instrument(instruments: &mut Vec<RawInstrument>, strike: &Strike) -> u16 {
    let drums = strike.channel == 10;
    let key = drums.then_some(strike.key);
    let program = (!drums).then_some(strike.program);
    let at = instruments.iter().position(|i| i.key == key && i.program == program).unwrap_or_else(|| {
        let name = match key.and_then(super::names::key_of_map) {
            Some((name, _)) => name.to_owned(),
            None if drums => format!("key {}", strike.key),
            None => String::new(),
        };
        instruments.push(RawInstrument {
            name,
            channel: Some(strike.channel),
            key,
            program,
            ..Default::default()
        });
        instruments.len() - 1
    });
    u16::try_from(at).unwrap_or(super::raw::NO_INSTRUMENT)
}

/// Key signatures by their ticks: a track's own, else those of all tracks, as the first one carries them for all.
fn keys(track: &Track, tracks: &[Track]) -> BTreeMap<u64, (i8, bool)> {
    let of = |track: &Track| {
        let signature = |(tick, event): &(u64, Event)| match event {
            Event::Key(fifths, minor) => Some((*tick, (*fifths, *minor))),
            _ => None,
        };
        track.events.iter().filter_map(signature).collect::<Vec<_>>()
    };
    let own = of(track);
    if own.is_empty() { tracks.iter().flat_map(of).collect() } else { own.into_iter().collect() }
}

/// A note; the file says no spelling, so that its key signature suggests it.
fn note(
    instrument: u16,
    strike: &Strike,
    keys: &BTreeMap<u64, (i8, bool)>,
    (measures, grid): (&Measures, &Grid),
) -> Option<RawNote> {
    let (measure, at) = measures.place(grid.quarters(strike.on));
    let pitch = if strike.channel == 10 {
        RawPitch::Unpitched(None)
    } else {
        let key = KeyNumber::new(i32::from(strike.key)).ok()?;
        let signature = keys.range(..=strike.on).next_back();
        RawPitch::Pitched(signature.map_or_else(
            || Spelled::usual(key),
            |(_, (fifths, minor))| Spelled::in_key(key, *fifths, *minor),
        ))
    };
    Some(RawNote {
        measure: u32::try_from(measure).ok()?,
        instrument,
        transpose: 0,
        marks: Marks::default(),
        pitch,
        at,
        quarters: grid.quarters(strike.off.saturating_sub(strike.on)),
    })
}

/// The measures that the time signatures make; 4/4 until one says otherwise.
struct Measures {
    list: Vec<RawMeasure>,
    starts: Vec<f64>,
}

impl Measures {
    /// Up to the end of the last note, where the last measure ends too; `None` when there are too many.
    fn new(tracks: &[Track], grid: &Grid, end: f64) -> Option<Self> {
        let mut times: Vec<(f64, f64, u32)> = tracks
            .iter()
            .flat_map(|t| &t.events)
            .filter_map(|(tick, event)| match event {
                Event::Time(quarters, of) => Some((grid.quarters(*tick), *quarters, *of)),
                _ => None,
            })
            .collect();
        times.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut measures = Self { list: Vec::new(), starts: Vec::new() };
        let (mut at, mut length, mut counted, mut next) = (0.0, 4.0, 4, 0);
        while at + 1e-9 < end || measures.list.is_empty() {
            while let Some((_, quarters, of)) = times.get(next).filter(|(place, ..)| *place <= at + 1e-9) {
                (length, counted) = (*quarters, *of);
                next += 1;
            }
            // A new signature begins a new measure, also in the middle of one.
            let cut = times.get(next).map_or(f64::INFINITY, |(place, ..)| *place);
            let stop = (at + length).min(cut).min(end.max(at + 1e-3));
            if measures.list.len() >= MOST_MEASURES {
                return None;
            }
            let name = (measures.list.len() + 1).to_string();
            measures.starts.push(at);
            measures.list.push(RawMeasure {
                name,
                quarters: stop - at,
                promised: length,
                of: counted,
                ..Default::default()
            });
            at = stop;
        }
        Some(measures)
    }

    /// The measure and the quarter notes into it.
    fn place(&self, quarters: f64) -> (usize, f64) {
        let measure = self.starts.partition_point(|start| *start <= quarters + 1e-9).saturating_sub(1);
        (measure, (quarters - self.starts.get(measure).copied().unwrap_or(0.0)).max(0.0))
    }
}
