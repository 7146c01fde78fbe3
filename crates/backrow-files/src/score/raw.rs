//! What a reader of any format hands on: measures, parts and notes as notated, before kinds and times are told.

use backrow_core::pitch::Spelled;
use std::collections::BTreeSet;

/// A score as notated.
#[derive(Debug, Default)]
pub(crate) struct RawScore {
    pub(crate) title: String,
    pub(crate) composer: String,
    pub(crate) movement_number: String,
    pub(crate) movement_title: String,
    pub(crate) measures: Vec<RawMeasure>,
    pub(crate) parts: Vec<RawPart>,
    pub(crate) tempi: Vec<RawTempo>,
    /// Rehearsal letters: index of the measure, text.
    pub(crate) letters: BTreeSet<(usize, String)>,
    /// Measures over which some part has a fermata.
    pub(crate) fermatas: BTreeSet<usize>,
}

/// A measure as printed.
#[derive(Clone, Debug, Default)]
pub(crate) struct RawMeasure {
    pub(crate) name: String,
    /// The longest of all parts, quarter notes.
    pub(crate) quarters: f64,
    /// What the time signature promises, quarter notes; 0 when none was read.
    pub(crate) promised: f64,
    /// The lower figure of the time signature; 0 when none was read here.
    pub(crate) of: u32,
    pub(crate) flow: Flow,
}

/// Signs that lead the order of playing.
#[derive(Clone, Debug, Default, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "each is a sign that is there or not")]
pub(crate) struct Flow {
    /// A repeat begins before this measure.
    pub(crate) forward: bool,
    /// A repeat ends after this measure.
    pub(crate) backward: Option<Times>,
    /// The repeat is also taken after a da capo or dal segno.
    pub(crate) after_jump: bool,
    /// An ending begins here, for these times.
    pub(crate) ending: Vec<u32>,
    /// An ending stops after this measure.
    pub(crate) ending_stop: bool,
    pub(crate) segno: Option<String>,
    pub(crate) coda: Option<String>,
    pub(crate) dacapo: bool,
    pub(crate) dalsegno: Option<String>,
    pub(crate) tocoda: Option<String>,
    pub(crate) fine: bool,
    /// After the jump the coda comes where the fine stands: "D.C. e poi la coda".
    pub(crate) then_coda: bool,
    /// Repeats are taken again after the jump: "D.C. con repliche".
    pub(crate) jump_repeats: bool,
}

/// How often a repeated stretch is played in all, if stated.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Times(pub(crate) Option<u32>);

/// A tempo, at a place in a measure.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RawTempo {
    pub(crate) measure: usize,
    /// Quarter notes into the measure.
    pub(crate) at: f64,
    pub(crate) pace: Pace,
    /// The note that the page counts it in, quarter notes, where it says.
    pub(crate) beat: Option<f64>,
    pub(crate) words: String,
}

/// How fast.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Pace {
    /// Quarter notes a minute.
    Quarters(f64),
    /// Times the pace before: metric equivalence.
    Ratio(f64),
}

/// A part as notated.
#[derive(Debug, Default)]
pub(crate) struct RawPart {
    pub(crate) id: String,
    pub(crate) name: String,
    pub(crate) abbreviation: String,
    pub(crate) instruments: Vec<RawInstrument>,
    pub(crate) notes: Vec<RawNote>,
    pub(crate) words: Vec<RawWords>,
    pub(crate) clefs: Vec<RawClef>,
    pub(crate) dynamics: Vec<RawDynamic>,
    /// Signs that repeat measures: the first measure under one, the first after it, how many measures it repeats.
    pub(crate) similes: Vec<(u32, u32, u32)>,
    /// Pedal down and up: measure, quarters into it, whether down.
    pub(crate) pedals: Vec<(u32, f64, bool)>,
    /// How many measures it has.
    pub(crate) measures: usize,
}

/// One of the instruments of a part.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct RawInstrument {
    pub(crate) id: String,
    pub(crate) name: String,
    /// The sound id of the MusicXML standard.
    pub(crate) sound: String,
    /// MIDI channel, 1 to 16.
    pub(crate) channel: Option<u8>,
    /// MIDI program, 1 to 128.
    pub(crate) program: Option<u8>,
    /// Key of the percussion key map, 0 to 127.
    pub(crate) key: Option<u8>,
}

/// A note head that is no rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RawNote {
    pub(crate) measure: u32,
    /// Index into the part's instruments; `NO_INSTRUMENT` when not told.
    pub(crate) instrument: u16,
    /// Sounding minus written, semitones.
    pub(crate) transpose: i8,
    pub(crate) marks: Marks,
    pub(crate) pitch: RawPitch,
    /// Quarter notes into the measure.
    pub(crate) at: f64,
    /// Length in quarter notes; 0 for a grace note.
    pub(crate) quarters: f64,
}

/// No instrument is told.
pub(crate) const NO_INSTRUMENT: u16 = u16::MAX;

/// Where a head stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum RawPitch {
    /// A pitch.
    Pitched(Spelled),
    /// No pitch; where it stands on the staff, if told.
    Unpitched(Option<Spelled>),
}

/// What a note carries, one bit each.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Marks(u8);

impl Marks {
    /// Tied from the note before: no attack.
    pub(crate) const TIED: Self = Self(1);
    /// Small print: another player's.
    pub(crate) const CUE: Self = Self(2);
    /// Tremolo or trill.
    pub(crate) const ROLL: Self = Self(4);
    /// Rings on.
    pub(crate) const RING: Self = Self(8);
    /// A grace note.
    pub(crate) const GRACE: Self = Self(16);

    pub(crate) const fn has(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    pub(crate) const fn put(&mut self, other: Self) {
        self.0 |= other.0;
    }
}

/// Words over or under the staff.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RawWords {
    pub(crate) measure: u32,
    pub(crate) at: f64,
    pub(crate) text: String,
}

/// A clef.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RawClef {
    pub(crate) measure: u32,
    pub(crate) at: f64,
    pub(crate) sign: Clef,
}

/// The signs that matter here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Clef {
    Treble,
    Bass,
    Percussion,
    Other,
}

/// A dynamic mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RawDynamic {
    pub(crate) measure: u32,
    pub(crate) at: f64,
    pub(crate) level: backrow_core::music::Dynamic,
}

/// The lower figure of a time signature as a whole number; a quarter for what is none.
pub(crate) fn lower_figure(unit: f64) -> u32 {
    let known = [1_u32, 2, 4, 8, 16, 32, 64, 128];
    known.into_iter().find(|of| (f64::from(*of) - unit).abs() < 1e-9).unwrap_or(4)
}
