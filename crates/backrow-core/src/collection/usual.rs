//! What a kind brings to an instrument, and what about an instrument is odd for its kind.

use super::{Frame, Instrument, Kind, Layout, Shape, UsualCompass};

impl Kind {
    /// The frames of an instrument that is built to one of its usual compasses: for a set of drums, one for each drum whose
    /// range lies within it, the lowest first.
    pub fn frames_of(&self, usual: &UsualCompass) -> Vec<Frame> {
        let whole = Frame { range: Some((usual.low, usual.high)), ..Frame::default() };
        if drum_inches(&usual.name).is_some() {
            return vec![Frame { name: usual.name.clone(), ..whole }];
        }
        let mut drums: Vec<&UsualCompass> = self
            .drums()
            .map(|(_, drum)| drum)
            .filter(|drum| usual.low <= drum.low && drum.high <= usual.high)
            .collect();
        drums.sort_by_key(|drum| (drum.low, drum.high));
        let frame = |drum: &UsualCompass| Frame {
            name: drum.name.clone(),
            range: Some((drum.low, drum.high)),
            ..Frame::default()
        };
        let mut frames: Vec<Frame> = drums.into_iter().map(frame).collect();
        // The outermost drums go as far as the set.
        if let Some((low, _)) = frames.first_mut().and_then(|frame| frame.range.as_mut()) {
            *low = usual.low;
        }
        if let Some((_, high)) = frames.last_mut().and_then(|frame| frame.range.as_mut()) {
            *high = usual.high;
        }
        if frames.is_empty() { vec![whole] } else { frames }
    }

    /// Its single drums that the trade knows by their width in inches.
    fn drums(&self) -> impl Iterator<Item = (f64, &UsualCompass)> {
        let all = self.compasses.iter().filter(|_| self.layout == Layout::Drums);
        all.filter_map(|usual| Some((drum_inches(&usual.name)?, usual)))
    }

    /// The usual drum of a width, inches: the nearest one within an inch; `None` where the trade has none.
    pub fn usual_drum(&self, inches: f64) -> Option<&UsualCompass> {
        let near = self.drums().map(|(usual, drum)| ((usual - inches).abs(), drum));
        let near = near.min_by(|one, other| one.0.total_cmp(&other.0));
        near.filter(|(apart, _)| *apart <= 1.0).map(|(_, drum)| drum)
    }

    /// The drums that a name tells by their widths, with their outline where it is one drum: "Pauke 29", "Timpani 32, 29, 26, 23",
    /// "26 in", "66 cm". A width between two usual ones, within an inch of one, has that one's range and its own name. Empty
    /// where no width is told.
    pub fn drums_named(&self, name: &str) -> (Vec<Frame>, Option<Shape>) {
        let mut found: Vec<(Frame, Option<Shape>)> = Vec::new();
        for inches in widths_in(name) {
            let Some(drum) = self.usual_drum(inches) else { continue };
            let name = format!("{} in", inches.round());
            let frame = Frame { name, range: Some((drum.low, drum.high)), ..Frame::default() };
            found.push((frame, drum.shape));
        }
        found.sort_by_key(|(frame, _)| frame.range);
        let shape = match found.as_slice() {
            [(_, shape)] => *shape,
            _ => None,
        };
        (found.into_iter().map(|(frame, _)| frame).collect(), shape)
    }

    /// The frames that a new one has before anybody says more: the most usual compass. None of drums, of which each has a
    /// range of its own, and none where the trade has no usual one.
    pub fn usual_frames(&self) -> Vec<Frame> {
        let first = self.compasses.first().filter(|_| self.layout != Layout::Drums);
        first.map_or_else(Vec::new, |usual| self.frames_of(usual))
    }

    fn has_shape(&self, shape: Shape) -> bool {
        self.shape == shape || self.compasses.iter().any(|usual| usual.shape == Some(shape))
    }
}

/// A drum's width by its name among a kind's compasses, inches: "29 in".
fn drum_inches(name: &str) -> Option<f64> {
    name.strip_suffix(" in")?.parse().ok()
}

/// The whole numbers of a name that may be widths of drums, inches: those of centimetres are turned into inches.
fn widths_in(name: &str) -> Vec<f64> {
    const CM_AN_INCH: f64 = 2.54;
    let mut widths = Vec::new();
    let mut rest = name;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let from = rest.get(at..).unwrap_or_default();
        let end = from.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(from.len());
        let (number, after) = from.split_at(end);
        let is_cm = after.trim_start().to_lowercase().starts_with("cm");
        let number = number.trim_end_matches('.').parse::<f64>().ok();
        widths.extend(number.map(|number| if is_cm { number / CM_AN_INCH } else { number }));
        rest = after;
    }
    widths
}

impl Instrument {
    /// Makes it one of another kind. What still is as the old kind brought it becomes as the new one brings it; what somebody
    /// changed stays. Frames and pieces are the same: they change where they are as the old kind brings them.
    pub fn turn_into(&mut self, old: Option<&Kind>, new: &Kind) {
        let as_brought = |of: &dyn Fn(&Kind) -> bool| old.is_none_or(of);
        if as_brought(&|old| self.material == old.material) {
            self.material = new.material;
        }
        if as_brought(&|old| old.has_shape(self.footprint.shape)) {
            self.footprint.shape = new.shape;
        }
        if as_brought(&|old| old.height_m.to_bits() == self.footprint.height_m.to_bits()) {
            self.footprint.height_m = new.height_m;
        }
        let of_old = |frames: &Vec<Frame>, old: &Kind| {
            frames.is_empty() || old.compasses.iter().any(|usual| *frames == old.frames_of(usual))
        };
        if as_brought(&|old| self.layout == old.layout) {
            self.layout = new.layout;
        }
        if as_brought(&|old| of_old(&self.frames, old)) {
            self.frames = new.usual_frames();
        }
        if as_brought(&|old| self.pieces.is_empty() || self.pieces == old.pieces) {
            self.pieces.clone_from(&new.pieces);
        }
        self.kind = new.id.clone();
    }

    /// Builds it to one of its kind's usual compasses; its outline follows where nobody has changed it.
    pub fn build_to(&mut self, kind: &Kind, usual: &UsualCompass) {
        self.frames = kind.frames_of(usual);
        if kind.has_shape(self.footprint.shape) {
            self.footprint.shape = usual.shape.unwrap_or(kind.shape);
        }
    }
}

/// Something about an instrument that is odd for its kind: most likely a slip of the pen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Odd {
    /// A kind with bars, and none are stated.
    NoBars,
    /// All of it together weighs what none of its kind does, kilograms.
    Mass(f64),
    /// The longer side of its outline, metres, is as of none of its kind.
    Size(f64),
}

/// What is odd; empty for most.
pub fn odd(kind: &Kind, thing: &Instrument) -> Vec<Odd> {
    let mut found = Vec::new();
    if kind.pitched == super::Pitched::Yes && !kind.compasses.is_empty() && thing.bars().is_empty() {
        found.push(Odd::NoBars);
    }
    let outside =
        |figure: f64, range: Option<super::Between>| range.is_some_and(|range| !range.holds(figure));
    if let Some(mass) = thing.whole_mass().filter(|mass| outside(mass.kg, kind.plausible.mass_kg)) {
        found.push(Odd::Mass(mass.kg));
    }
    let (width, depth) = thing.footprint.shape.extent();
    if outside(width.max(depth), kind.plausible.long_m) {
        found.push(Odd::Size(width.max(depth)));
    }
    found
}

impl Odd {
    /// "has no bars stated"; "weighs 4000 kg", with what is plausible.
    pub fn words(self, kind: &Kind) -> String {
        let name = kind.name();
        let range = |range: Option<super::Between>, unit: &str| {
            range.map_or_else(String::new, |range| format!("{} to {}\u{202F}{unit}", range.least, range.most))
        };
        match self {
            Self::NoBars if kind.layout == Layout::Drums => {
                format!(
                    "no drums are stated, so no line can be planned on it; choose them among the usual ones of {name}"
                )
            }
            Self::NoBars => format!("no bars are stated, and a {name} has some"),
            Self::Mass(kg) => {
                format!(
                    "it weighs {kg}\u{202F}kg, and a {name} about {}",
                    range(kind.plausible.mass_kg, "kg")
                )
            }
            Self::Size(metres) => {
                let usual = range(kind.plausible.long_m, "m");
                format!("its longer side is {metres:.2}\u{202F}m, and of a {name} about {usual}")
            }
        }
    }
}

/// Whether two instruments are alike in all that tells them apart on a list: most likely one was typed twice.
pub fn alike(one: &Instrument, other: &Instrument) -> bool {
    one.id != other.id
        && one.kind == other.kind
        && one.name.trim().eq_ignore_ascii_case(other.name.trim())
        && one.owner == other.owner
        && one.frames == other.frames
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::{Between, Mass, Material, Piece, Pitched, Plausible};
    use crate::sample::{instrument, key, kind};
    use rstest::rstest;

    fn usual(name: &str, low: &str, high: &str, shape: Option<Shape>) -> UsualCompass {
        UsualCompass { name: name.into(), low: key(low), high: key(high), shape }
    }

    const WIDE: Shape = Shape::Keyboard { width_m: 2.6, low_m: 1.0, high_m: 0.4 };
    const SMALL: Shape = Shape::Keyboard { width_m: 1.8, low_m: 0.8, high_m: 0.4 };

    fn kinds() -> (Kind, Kind) {
        let mut marimba = kind("marimba", Pitched::Yes, None);
        marimba.material = Material::Rosewood;
        marimba.shape = WIDE;
        marimba.compasses = vec![usual("5", "C2", "C7", None), usual("4", "C3", "C7", Some(SMALL))];
        marimba.pieces = vec![Piece { what: "frame".into(), count: 1, ..Piece::default() }];
        let mut drum = kind("snare_drum", Pitched::No, None);
        drum.material = Material::Skin;
        drum.layout = Layout::Drums;
        drum.shape = Shape::Round { diameter_m: 0.55 };
        drum.height_m = 0.75;
        (marimba, drum)
    }

    #[test]
    fn a_kind_brings_what_is_usual_and_leaves_what_was_typed() {
        let (marimba, drum) = kinds();
        let mut thing = Instrument::of_kind(crate::id::InstrumentId::new("x").unwrap(), &drum);
        thing.turn_into(Some(&drum), &marimba);
        assert_eq!(
            (thing.material, thing.layout, thing.footprint.shape),
            (Material::Rosewood, Layout::TwoRows, WIDE)
        );
        assert_eq!(thing.frames, marimba.usual_frames());
        assert_eq!(thing.pieces, marimba.pieces);
        // As another usual one: smaller, and it is still as brought.
        thing.build_to(&marimba, &marimba.compasses[1]);
        assert_eq!((thing.footprint.shape, thing.bars().len()), (SMALL, 49));
        let back = {
            let mut back = thing.clone();
            back.turn_into(Some(&marimba), &drum);
            back
        };
        assert_eq!((back.footprint.shape, back.frames.len(), back.pieces.len()), (drum.shape, 0, 0));
        // What somebody typed stays.
        thing.material = Material::Synthetic;
        thing.footprint.shape = Shape::Box { width_m: 1.0, depth_m: 0.4 };
        thing.frames[0].gaps = crate::sample::pitches("D3");
        thing.turn_into(Some(&marimba), &drum);
        assert_eq!(thing.material, Material::Synthetic);
        assert_eq!(thing.footprint.shape, Shape::Box { width_m: 1.0, depth_m: 0.4 });
        assert_eq!(thing.frames.len(), 1);
    }

    #[rstest]
    #[case::sane(|_: &mut Instrument| (), None)]
    #[case::no_bars(|thing: &mut Instrument| thing.frames.clear(), Some("no bars are stated"))]
    #[case::grams(|thing: &mut Instrument| thing.mass = Some(Mass { kg: 40003.0, weighed: true }), Some("it weighs 40003"))]
    #[case::centimetres(
        |thing: &mut Instrument| thing.footprint.shape = Shape::Box { width_m: 150.0, depth_m: 1.0 },
        Some("its longer side is 150.00")
    )]
    fn slips_are_noticed(#[case] slip: fn(&mut Instrument), #[case] told: Option<&str>) {
        let (mut marimba, _) = kinds();
        let range = |least, most| Some(Between { least, most });
        marimba.plausible = Plausible { mass_kg: range(35.0, 170.0), long_m: range(1.0, 3.0) };
        let mut thing = instrument("m", "marimba", &["C2-C7"]);
        thing.mass = Some(Mass { kg: 100.0, weighed: false });
        slip(&mut thing);
        let found: Vec<String> = odd(&marimba, &thing).into_iter().map(|odd| odd.words(&marimba)).collect();
        assert_eq!(found.len(), usize::from(told.is_some()), "{found:?}");
        assert!(told.is_none_or(|told| found[0].starts_with(told)), "{found:?}");
    }

    fn timpani() -> Kind {
        let mut timpani = kind("timpani", Pitched::Yes, None);
        timpani.layout = Layout::Drums;
        let round = |diameter_m| Some(Shape::Round { diameter_m });
        timpani.compasses = vec![
            usual("set of 3", "C2", "F3", None),
            usual("26 in", "A#2", "F3", round(0.8)),
            usual("29 in", "F2", "C3", round(0.88)),
            usual("32 in", "D2", "A2", round(0.95)),
            usual("23 in", "D3", "A3", round(0.72)),
        ];
        timpani
    }

    fn said(frames: &[Frame]) -> Vec<String> {
        let range =
            |frame: &Frame| frame.range.map(|(low, high)| format!("{low}-{high}")).unwrap_or_default();
        frames.iter().map(|frame| format!("{} {}", frame.name, range(frame))).collect()
    }

    #[test]
    fn a_usual_set_of_drums_has_its_drums_and_not_one_that_reaches_everything() {
        let timpani = timpani();
        let set = timpani.frames_of(&timpani.compasses[0]);
        assert_eq!(said(&set), ["32 in C2-A2", "29 in F2-C3", "26 in A♯2-F3"]);
        assert_eq!(said(&timpani.frames_of(&timpani.compasses[2])), ["29 in F2-C3"]);
        assert!(timpani.usual_frames().is_empty(), "which drums nobody knows yet");
    }

    #[rstest]
    #[case("Pauke 29", &["29 in F2-C3"], Some(0.88))]
    #[case("Timpani 23, 26 and 32\"", &["32 in D2-A2", "26 in A♯2-F3", "23 in D3-A3"], None)]
    #[case("Pauke 81 cm", &["32 in D2-A2"], Some(0.95))]
    #[case("Timpano 28", &["28 in F2-C3"], Some(0.88))]
    #[case("Timpani 2, bought 1998", &[], None)]
    #[case("Timpani", &[], None)]
    fn drums_are_told_by_their_widths(#[case] name: &str, #[case] drums: &[&str], #[case] wide: Option<f64>) {
        let (frames, shape) = timpani().drums_named(name);
        assert_eq!(said(&frames), drums);
        assert_eq!(shape, wide.map(|diameter_m| Shape::Round { diameter_m }));
        let (frames, _) = kinds().0.drums_named(name);
        assert!(frames.is_empty(), "of drums alone");
    }

    #[rstest]
    #[case(29.0, Some("F2-C3"))]
    #[case(28.2, Some("F2-C3"))]
    #[case(27.5, None)]
    #[case(40.0, None)]
    fn a_drum_of_a_width_has_a_usual_range(#[case] inches: f64, #[case] range: Option<&str>) {
        let timpani = timpani();
        let drum = timpani.usual_drum(inches).map(|drum| format!("{}-{}", drum.low, drum.high));
        assert_eq!(drum.as_deref(), range);
        assert_eq!(kinds().0.usual_drum(29.0), None, "of drums alone");
    }

    #[test]
    fn two_alike() {
        let one = instrument("a", "triangle", &[]);
        let mut other = instrument("b", "triangle", &[]);
        assert!(!alike(&one, &one) && !alike(&one, &other), "named apart");
        other.name = "A ".into();
        assert!(alike(&one, &other));
        other.kind = crate::id::KindId::new("anvil").unwrap();
        assert!(!alike(&one, &other));
    }
}
