//! A row as an instrument.

use super::{ANY_NAME, Fate, Read, Thing, fate};
use crate::library::without_for_two;
use crate::tables::collection::{Field, bars_in, unit, words};
use backrow_core::carrying::pieces_of;
use backrow_core::collection::{
    Frame, FramesRead, Instrument, Kind, Layout, Mass, Material, Shape, frame_in,
};
use backrow_core::compass::PitchSet;
use backrow_core::id::InstrumentId;
use backrow_core::numbers::typed;
use backrow_core::pitch::{Reading, ReferenceA};
use jiff::civil::Date;

impl<'a> Read<'a> {
    pub(super) fn instrument(&mut self) -> Option<(Thing, Fate)> {
        let library = self.library;
        let known = self.known().and_then(|id| InstrumentId::new(&id).ok());
        let known = known.and_then(|id| library.instruments.get(&id)).map(|thing| &**thing);
        let mut thing = match known {
            Some(thing) => thing.clone(),
            None => self.new_instrument()?,
        };
        if let Some(name) = self.get(Field::Name) {
            name.clone_into(&mut thing.name);
        }
        if known.is_some()
            && let Some(kind) = self.kind(false)
            && kind.id != thing.kind
        {
            let old = library.kinds.get(&thing.kind).map(|kind| &**kind);
            thing.turn_into(old, kind);
        }
        if let Some(owner) = self.owner() {
            thing.owner = owner;
        }
        if let Some(place) = self.place_of() {
            thing.place = Some(place);
        }
        if let Some(kind) = library.kinds.get(&thing.kind) {
            self.drums(kind, &mut thing);
        }
        self.bars(&mut thing);
        self.words(&mut thing);
        self.pieces(&mut thing);
        self.mass(&mut thing);
        self.size(&mut thing);
        if let Some(hz) = self.figure(Field::A) {
            match ReferenceA::new(hz) {
                Ok(a) => thing.tuned_to = Some(a),
                Err(why) => self.trouble(Field::A, why.to_string(), "write such as 442"),
            }
        }
        let fate = fate(known, &thing);
        Some((Thing::Instrument(Box::new(thing)), fate))
    }

    fn new_instrument(&mut self) -> Option<Instrument> {
        let kind = self.kind(true)?;
        let name = self.get(Field::Name).unwrap_or_else(|| kind.name()).to_owned();
        let id = InstrumentId::new(&self.fresh(&name)).ok()?;
        // As the form does: what the kind brings stands until the row says otherwise.
        let (frames, pieces) = (kind.usual_frames(), kind.pieces.clone());
        Some(Instrument { name, frames, pieces, ..Instrument::of_kind(id, kind) })
    }

    /// "Pauke 29" is one drum, whose range its width tells.
    fn drums(&mut self, kind: &Kind, thing: &mut Instrument) {
        if !thing.frames.is_empty() || self.get(Field::Bars).is_some() {
            return;
        }
        let (drums, shape) = kind.drums_named(&thing.name);
        if drums.is_empty() {
            return;
        }
        let range = |frame: &Frame| {
            let notes = frame.range.map(|(low, high)| format!("{low} to {high}"));
            format!("{} ({})", frame.name, notes.unwrap_or_default())
        };
        let said: Vec<String> = drums.iter().map(range).collect();
        let what = format!("\"{}\" was read as drums of usual ranges: {}", thing.name, said.join(", "));
        self.guessed(Field::Name, what, "write their notes in a column of bars where they have others");
        thing.frames = drums;
        if let Some(shape) = shape {
            thing.footprint.shape = shape;
        }
    }

    /// The row's kind, by its kind or, where that is not stated, by its name. A new thing must have one.
    fn kind(&mut self, must: bool) -> Option<&'a Kind> {
        let (field, word) = match (self.get(Field::Kind), self.get(Field::Name)) {
            (Some(word), _) => (Field::Kind, word),
            (None, Some(word)) if must => (Field::Name, word),
            (None, _) => {
                if must {
                    let what = "the row has neither kind nor name".to_owned();
                    self.refuse(Field::Kind, what, "write a kind, such as xylophone");
                }
                return None;
            }
        };
        let found = self.kind_of(field, word);
        if found.is_none() {
            let what = format!("no kind is called \"{word}\"");
            if must {
                self.refuse(field, what, ANY_NAME);
            } else {
                self.trouble(field, what, ANY_NAME);
            }
        }
        found
    }

    /// Frames apart by lines or semicolons. Where no more than bars is said, frames that have those already stay as they are, with
    /// their dead bars and order.
    fn bars(&mut self, thing: &mut Instrument) {
        let Some(text) = self.get(Field::Bars) else { return };
        let kind = self.library.kinds.get(&thing.kind).map(|kind| &**kind);
        if let Some(usual) = kind.and_then(|kind| usual_compass(kind, text)) {
            if !kind.is_some_and(|kind| thing.frames == kind.frames_of(usual)) {
                thing.frames = kind.map(|kind| kind.frames_of(usual)).unwrap_or_default();
            }
            return;
        }
        let reading = self.import.reading;
        let frames: Result<Vec<Frame>, String> =
            frame_cells(text).into_iter().map(|part| frame_of(part, reading)).collect();
        let frames = match frames {
            Ok(frames) => frames,
            Err(why) => {
                let remedy = "write sounding notes such as F4-C8, or low: F4-C8, dead D7; frames apart by ;";
                self.trouble(Field::Bars, why, remedy);
                return;
            }
        };
        let same = frames.len() == thing.frames.len()
            && thing.frames.iter().zip(&frames).all(|(old, new)| old.bars() == new.bars());
        if same && frames.iter().all(|frame| *frame == of_bars(frame.bars())) {
            return;
        }
        thing.frames = frames.into_iter().filter(|frame| *frame != Frame::default()).collect();
    }

    fn words(&mut self, thing: &mut Instrument) {
        if let Some(word) = self.get(Field::Layout) {
            match words::layout(word) {
                Some(layout) => thing.layout = layout,
                None => self.one_of(Field::Layout, word, &Layout::ALL.map(Layout::word)),
            }
        }
        if let Some(word) = self.get(Field::Outline) {
            let (width, depth) = thing.footprint.shape.extent();
            let all = Shape::all(width, depth);
            match all.into_iter().find(|shape| words::outline(word) == Some(shape.word())) {
                Some(shape) if shape.word() == thing.footprint.shape.word() => {}
                Some(shape) => thing.footprint.shape = shape,
                None => self.one_of(Field::Outline, word, &all.map(Shape::word)),
            }
        }
        if let Some(word) = self.get(Field::Material) {
            match words::material(word) {
                Some(material) => thing.material = material,
                None => self.one_of(Field::Material, word, &Material::ALL.map(Material::word)),
            }
        }
        if let Some(words) = self.get(Field::Character) {
            let words = words.split(',').map(str::trim).filter(|word| !word.is_empty());
            // Tables of before had it as a word for the sound.
            let (character, said) = without_for_two(words.map(str::to_owned).collect());
            thing.character = character;
            thing.for_two |= said;
        }
        if let Some(word) = self.get(Field::ForTwo) {
            thing.for_two = words::yes(word);
        }
        if let Some(words) = self.get(Field::Condition) {
            words.clone_into(&mut thing.condition);
        }
        if let Some(words) = self.get(Field::Remark) {
            words.clone_into(&mut thing.remark);
        }
    }

    pub(super) fn one_of(&mut self, field: Field, word: &str, all: &[&str]) {
        let remedy = format!("use one of {}", all.join(", "));
        self.trouble(field, format!("\"{word}\" is not known"), &remedy);
    }

    fn pieces(&mut self, thing: &mut Instrument) {
        let Some(text) = self.get(Field::Pieces) else { return };
        match pieces_of(text) {
            Ok(pieces) => thing.pieces = pieces,
            Err(why) => {
                let remedy = "write a line a piece, such as 2 x frame; 18 kg; 2 people";
                self.trouble(Field::Pieces, why, remedy);
            }
        }
    }

    fn mass(&mut self, thing: &mut Instrument) {
        let weighed = self.get(Field::Weighed).map(words::yes);
        let Some(kg) = self.figure(Field::Mass) else { return };
        let weighed = weighed.unwrap_or_else(|| thing.mass.is_some_and(|mass| mass.weighed));
        let pieces_weigh = thing.pieces.iter().any(|piece| piece.mass.is_some());
        let same = thing.whole_mass().is_some_and(|mass| (mass.kg - kg).abs() < 1e-4);
        if pieces_weigh && same {
            return;
        }
        if pieces_weigh {
            // What its pieces weigh no longer adds up: what they are stays, their masses go.
            for piece in &mut thing.pieces {
                piece.mass = None;
            }
        }
        thing.mass = Some(Mass { kg, weighed });
    }

    /// Width, depth and height, by their own columns or all in one cell.
    fn size(&mut self, thing: &mut Instrument) {
        let [mut width, mut depth, mut height] = [None; 3];
        if let Some(cell) = self.cells.get(&Field::Size).copied() {
            let mut slots = [&mut width, &mut depth, &mut height].into_iter();
            let last = cell.text.split(['x', '×', '*']).next_back().and_then(unit::figure);
            let unit = last.and_then(|(_, unit)| unit).or(cell.unit);
            for part in cell.text.split(['x', '×', '*']).take(3) {
                if let Some(slot) = slots.next() {
                    *slot = self.figure_in(Field::Size, part.trim(), unit);
                }
            }
        }
        width = self.figure(Field::Width).or(width);
        depth = self.figure(Field::Depth).or(depth);
        if let Some(height) = self.figure(Field::Height).or(height) {
            thing.footprint.height_m = height;
        }
        let shape = &mut thing.footprint.shape;
        let now = match *shape {
            Shape::Keyboard { width_m, low_m, .. } => (width_m, low_m),
            other => other.extent(),
        };
        let (width, depth) = (width.unwrap_or(now.0), depth.unwrap_or(now.1));
        if (width - now.0).abs() > 1e-9 || (depth - now.1).abs() > 1e-9 {
            *shape = match *shape {
                Shape::Keyboard { low_m, high_m, .. } => {
                    Shape::Keyboard { width_m: width, low_m: depth, high_m: high_m / low_m.max(0.01) * depth }
                }
                Shape::Box { .. } => Shape::Box { width_m: width, depth_m: depth },
                Shape::Round { .. } => Shape::Round { diameter_m: width },
                Shape::Hung { .. } => Shape::Hung { width_m: width, depth_m: depth },
            };
        }
        let high = self.figure(Field::HighDepth);
        if let (Shape::Keyboard { high_m, .. }, Some(high)) = (&mut thing.footprint.shape, high) {
            *high_m = high;
        }
    }
}

/// Frames apart by lines or semicolons; what stands in the brackets of a dead bar parts nothing.
fn frame_cells(text: &str) -> Vec<&str> {
    let mut depth = 0_usize;
    let parts = text.split(|c: char| {
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        c == '\n' || c == ';' && depth == 0
    });
    parts.map(str::trim).filter(|part| !part.is_empty()).collect()
}

/// A frame as the form has it, or plain bars in any order: "F4 to C8", "C5 E5 G5".
fn frame_of(text: &str, notes: Reading) -> Result<Frame, String> {
    let written = frame_in(text, FramesRead { notes, first_day: &iso_day });
    written.or_else(|why| {
        let says_more = text.contains(':') || text.split([' ', ',']).any(|word| FRAME_WORDS.contains(&word));
        if says_more { Err(why) } else { bars_in(text, notes).map(of_bars) }
    })
}

/// Words that only the text of a frame has.
const FRAME_WORDS: [&str; 8] = ["gaps", "doubled", "extra", "dead", "order", "retunes", "pedal", "screws"];

/// A frame of those bars, and nothing else said of it.
fn of_bars(bars: PitchSet) -> Frame {
    Frame { range: bars.lowest().zip(bars.highest()), gaps: bars.gaps(), ..Frame::default() }
}

/// The day, as a table that the program wrote has it, with which a text begins.
fn iso_day(text: &str) -> Option<(Date, &str)> {
    let (day, rest) = text.split_once(' ').unwrap_or((text, ""));
    Some((day.parse().ok()?, rest))
}

/// The usual compass that "set of 4", "4⅓ octaves" or "3.5 oct." speaks of.
fn usual_compass<'k>(kind: &'k Kind, text: &str) -> Option<&'k backrow_core::collection::UsualCompass> {
    if let Some(named) = kind.compasses.iter().find(|usual| usual.name.eq_ignore_ascii_case(text.trim())) {
        return Some(named);
    }
    let octaves = octaves(text)?;
    kind.compasses
        .iter()
        .find(|usual| self::octaves(&usual.name).is_some_and(|own| (own - octaves).abs() < 0.06))
}

/// How many octaves a text says: "3 octaves", "4⅓ oct.", "4 1/3 Oktaven", "3,5 ottave".
fn octaves(text: &str) -> Option<f64> {
    let text = text.trim().to_lowercase();
    let at = text.find(|c: char| c.is_alphabetic())?;
    let (number, word) = (text.get(..at)?, text.get(at..)?);
    if !["oct", "okt", "ott"].iter().any(|begin| word.starts_with(begin)) {
        return None;
    }
    let number = number.replace('½', " 1/2").replace('⅓', " 1/3").replace('⅔', " 2/3").replace('¼', " 1/4");
    let mut sum = 0.0;
    for part in number.split_whitespace() {
        sum += match part.split_once('/') {
            Some((over, under)) => typed(over)? / typed(under).filter(|n| *n > 0.0)?,
            None => typed(part)?,
        };
    }
    (sum > 0.0).then_some(sum)
}

#[cfg(test)]
mod tests {
    use super::octaves;
    use rstest::rstest;

    #[rstest]
    #[case("3 octaves", Some(3.0))]
    #[case("2½ octaves", Some(2.5))]
    #[case("4 1/3 Oktaven", Some(4.0 + 1.0 / 3.0))]
    #[case("3,5 ottave", Some(3.5))]
    #[case("C5-C8", None)]
    #[case("octave", None)]
    fn octaves_are_counted(#[case] text: &str, #[case] expected: Option<f64>) {
        assert_eq!(octaves(text), expected);
    }
}
