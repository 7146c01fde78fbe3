//! `backrow bar LIBRARY INSTRUMENT NOTE`: which bar a written note is.

use super::answer::Answer;
use super::open;
use backrow_core::collection::{BarPlace, Frame, Instrument, Layout, bar_place};
use backrow_core::library::Library;
use backrow_core::pitch::{KeyNumber, Octave, Reading, Spelled, parse_helmholtz, parse_note};
use backrow_files::problem::Problem;
use clap::{Args, ValueEnum};
use serde_json::{Value, json};
use std::path::PathBuf;

/// Says which bar of an instrument a written note is: its sounding pitch, row, and place from the player's left.
#[derive(Args, Debug)]
pub(super) struct Bar {
    /// The library's folder.
    library: PathBuf,
    /// The instrument's id.
    instrument: String,
    /// The written note with its octave, C4 being middle C: F#5, Bb3.
    note: String,
    /// Sounding minus written: -4 to 4 count octaves, larger numbers semitones (12 is 1, 24 is 2). The usual one of its
    /// kind unless given.
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    octave: Option<i32>,
    /// In which language the note is read.
    #[arg(long, value_enum, default_value_t = Spelling::English)]
    reading: Spelling,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Spelling {
    English,
    German,
    Syllables,
    Helmholtz,
}

/// What was asked, with its sounding pitch.
struct Asked<'a> {
    instrument: &'a Instrument,
    written: Spelled,
    octave: Octave,
    key: KeyNumber,
}

impl Asked<'_> {
    /// The sounding note, spelled as it is written where whole octaves lie between.
    fn sounding(&self) -> Spelled {
        self.written.moved_to(self.key)
    }
}

impl Bar {
    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let (library, mut problems) = open::library(&self.library)?;
        let instrument =
            library.instruments.values().find(|thing| thing.id.as_str() == self.instrument).ok_or_else(
                || open::unknown(&self.library, "instrument", &self.instrument, library.instruments.keys()),
            )?;
        let written = self.written()?;
        let octave = self.convention(&library, instrument, &mut problems)?;
        let key = octave.sounding(written).ok_or_else(|| {
            problem(
                "beyond-the-keys",
                format!("{} {} is beyond the keys, C-1 to G9", written.ascii(), octave.words()),
                "check the octave",
            )
        })?;
        let asked = Asked { instrument, written, octave, key };
        let place = bar_place(instrument, key);
        match &place {
            None => problems.push(problem(
                "no-bar",
                format!("{} has no bar for {}", instrument.name, asked.sounding()),
                "try another instrument or octave; `backrow cover` says which reach a line",
            )),
            Some(bar) if !bar.sounds => problems.push(problem(
                "dead-bar",
                format!("the bar {} of {} does not sound", asked.sounding(), instrument.name),
                "take another instrument or have the bar repaired",
            )),
            Some(_) => {}
        }
        let a = instrument.tuned_to.unwrap_or(library.orchestra.a);
        let hz = a.frequency(key).value();
        let lines = lines(&asked, place.as_ref(), hz);
        Ok(Answer::new(lines, value(&asked, place.as_ref(), hz, a.value()), problems))
    }

    fn written(&self) -> Result<Spelled, Problem> {
        match self.reading {
            Spelling::English => parse_note(&self.note, Reading::English),
            Spelling::German => parse_note(&self.note, Reading::German),
            Spelling::Syllables => parse_note(&self.note, Reading::Syllables),
            Spelling::Helmholtz => parse_helmholtz(&self.note),
        }
        .map_err(|error| problem("note", error.to_string(), "correct the note, or choose another --reading"))
    }

    /// The octave that was given or the usual one; one that nobody has agreed on is taken as written, and said.
    fn convention(
        &self,
        library: &Library,
        instrument: &Instrument,
        problems: &mut Vec<Problem>,
    ) -> Result<Octave, Problem> {
        if let Some(number) = self.octave {
            let semitones = if number.abs() <= 4 { 12 * number } else { number };
            return Octave::new(semitones)
                .map_err(|error| problem("octave", error.to_string(), "give octaves or semitones: 2 or 24"));
        }
        let usual = library.kinds.get(&instrument.kind).and_then(|kind| kind.octave);
        Ok(usual.unwrap_or_else(|| {
            problems.push(problem(
                "octave-not-agreed",
                format!(
                    "{} has no usual octave; the note was taken as written",
                    library.kind_name(&instrument.kind)
                ),
                "say it with --octave",
            ));
            Octave::AS_WRITTEN
        }))
    }
}

fn problem(code: &'static str, what: String, remedy: &str) -> Problem {
    Problem { code, place: "bar".to_owned(), what, remedy: remedy.to_owned() }
}

fn value(asked: &Asked<'_>, place: Option<&BarPlace>, hz: f64, a: f64) -> Value {
    let group = place.and_then(|bar| bar.group).map(|group| {
        json!({ "of_three": group.three, "group": group.group, "number": group.number, "size": group.size })
    });
    let frame = place.and_then(|bar| asked.instrument.frames.get(bar.frame));
    json!({
        "instrument": asked.instrument.id.as_str(),
        "written": asked.written.ascii(),
        "octave": asked.octave.semitones(),
        "sounding": asked.sounding().ascii(),
        "key": asked.key.number(),
        "hz": hz,
        "a": a,
        "row": place.map(|bar| bar.row.word()),
        "place": place.map(|bar| bar.number),
        "of": place.map(|bar| bar.of),
        "frame": place.map(|bar| bar.frame + 1),
        "frame_name": frame.map(|frame| frame.name.as_str()),
        "group": group,
        "sounds": place.map(|bar| bar.sounds),
        "doubled": place.map(|bar| bar.doubled),
    })
}

/// Every drum of a set that has the note, by name and reach: which of them takes it is for the player to choose.
fn drums(asked: &Asked<'_>) -> String {
    let said = |frame: &Frame| {
        let reach = format!("{}–{}", frame.bars().lowest()?, frame.bars().highest()?);
        Some(if frame.name.is_empty() { reach } else { format!("{} ({reach})", frame.name) })
    };
    let has = asked.instrument.frames.iter().filter(|frame| frame.bars().contains(asked.key));
    let drums: Vec<String> = has.filter_map(said).collect();
    format!("{}: within reach of {}", asked.instrument.name, drums.join(" and of "))
}

fn lines(asked: &Asked<'_>, place: Option<&BarPlace>, hz: f64) -> Vec<String> {
    let head = format!(
        "{} written, sounding {} ({}): key {}, {hz:.2}\u{202F}Hz",
        asked.written,
        asked.sounding(),
        asked.octave.words(),
        asked.key.number()
    );
    let Some(bar) = place else { return vec![head, "no bar".to_owned()] };
    if asked.instrument.layout == Layout::Drums {
        return vec![head, drums(asked)];
    }
    let row = match bar.row.word() {
        "only" => "bar".to_owned(),
        row => format!("{row} row, bar"),
    };
    let frame = match asked.instrument.frames.get(bar.frame) {
        _ if asked.instrument.frames.len() < 2 => String::new(),
        Some(frame) if !frame.name.is_empty() => format!(", frame {} ({})", bar.frame + 1, frame.name),
        _ => format!(", frame {}", bar.frame + 1),
    };
    let group = bar.group.map_or_else(String::new, |group| {
        let of = if group.three { "threes" } else { "twos" };
        format!(", number {} in group {} of the {of}", group.number, group.group)
    });
    let place = format!(
        "{}: {row} {} of {} from the player’s left{group}{frame}",
        asked.instrument.name, bar.number, bar.of
    );
    vec![head, place]
}
