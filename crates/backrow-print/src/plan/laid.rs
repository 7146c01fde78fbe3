//! A plan laid on its paper: the sheet, with scale, frame and the places of rings and discs.

use serde::Serialize;

use crate::error::PrintError;
use crate::press::Remark;
use crate::sheet::Paper;

use super::fit::{self, Fit};
use super::label::{Mark, Marked, Marks, Mm, Wish};
use super::{PlanScale, PlanSheet, Spot, Thing, View};

/// A frame never grows smaller than this, metres, so that an empty plan is still a plan.
const LEAST_M: (f64, f64) = (4.0, 2.0);
/// Free floor around what is drawn, metres.
const EDGE_M: f64 = 0.25;
/// Room at the foot of the frame for the word "audience", metres.
const FOOT_M: f64 = 0.3;
/// Half a ring and half a disc with their stroke, millimetres; and where people read them at two metres.
const RING_MM: f64 = 3.0;
const LARGE_RING_MM: f64 = 5.0;
const DISC_MM: f64 = 2.9;
/// What each sign beyond two adds to half a ring, as a part of half a ring.
const WIDER: f64 = 0.36;
/// Half the height of a label, and half the width that each of its signs takes, millimetres: at 8.5 pt.
const LABEL_MM: f64 = 1.7;
const SIGN_MM: f64 = 0.85;
/// What the template reads.
#[derive(Debug, Serialize)]
pub(crate) struct Laid<'a> {
    paper: Paper,
    across: bool,
    #[serde(flatten)]
    drawing: Drawing<'a>,
    #[serde(skip)]
    remark: Option<Remark>,
}

/// A floor to scale, with the places of all that is written on it.
#[derive(Debug, Serialize)]
pub(crate) struct Drawing<'a> {
    scale: u32,
    /// Left, top, right and bottom of the frame, metres.
    frame: [f64; 4],
    proof: Proof,
    bar_m: u32,
    /// Half a ring, millimetres.
    ring_mm: f64,
    sheet: &'a PlanSheet,
    rings: Vec<Ring>,
    discs: Vec<Mm>,
    /// Where the words of ways, of narrow gaps and of clashes stand, in their order.
    ways: Vec<Mm>,
    narrow: Vec<Mm>,
    clashes: Vec<Mm>,
}

/// `metres` of floor measure `mm` on paper.
#[derive(Debug, Serialize)]
struct Proof {
    metres: u32,
    mm: u32,
}

/// A thing's ring: its middle in millimetres from the frame's top left.
#[derive(Debug, Serialize)]
struct Ring {
    at: Mm,
    /// Whether it stands beside its thing, which then gets a dot.
    beside: bool,
    /// Width and greatest depth of the thing, metres.
    extent: [f64; 2],
    /// What a tape measure finds, metres: from the centre line to its near side, negative to the left; to its left side where
    /// it stands across the line.
    from_centre: f64,
    /// From the back edge of the floor to its back, metres.
    from_back: f64,
}

impl<'a> Laid<'a> {
    /// Lays `sheet` on `paper`.
    pub(crate) fn new(sheet: &'a PlanSheet, paper: Paper) -> Result<Self, PrintError> {
        check(sheet)?;
        let frame = frame(sheet);
        let size = (frame[2] - frame[0], frame[3] - frame[1]);
        let asked = paper;
        let Fit { scale, across, paper } =
            fit::fit(size, asked, (sheet.scale, sheet.orientation), after_mm(sheet));
        let remark = remark(sheet.scale, scale, (asked, paper));
        let drawing = Drawing::of(sheet, frame, scale);
        Ok(Self { paper, across, drawing, remark })
    }

    /// What is to be told about scale and paper.
    pub(crate) fn remark(&self) -> Option<Remark> {
        self.remark.clone()
    }
}

impl<'a> Drawing<'a> {
    /// A small plan in a room of so many millimetres.
    pub(crate) fn within(sheet: &'a PlanSheet, room_mm: (f64, f64)) -> Result<Self, PrintError> {
        check(sheet)?;
        let frame = frame(sheet);
        let scale = fit::scale_in((frame[2] - frame[0], frame[3] - frame[1]), room_mm);
        Ok(Self::of(sheet, frame, scale))
    }

    fn of(sheet: &'a PlanSheet, frame: [f64; 4], scale: u32) -> Self {
        let ring_mm = if sheet.large { LARGE_RING_MM } else { RING_MM };
        let page = OnPaper { frame, mm_per_m: 1000.0 / f64::from(scale), ring_mm };
        let mut marks = page.marks(sheet);
        let discs = discs(sheet, &page, &mut marks);
        let rings = rings(sheet, &page, &mut marks);
        let mut label = |at: Spot, words: &str| {
            let signs = words.chars().count() as f64;
            let half = [SIGN_MM * signs + 0.6, LABEL_MM];
            marks.place(Wish { at: page.at(at), half, marks: Marked::Label }).at
        };
        let narrow = sheet.narrow.iter().map(|n| label(middle(n.from, n.to), "▲ 0.48\u{202f}m")).collect();
        let clashes = sheet.clashes.iter().map(|c| label(centre(&c.outline), &format!("▲ {}", c.words)));
        let clashes = clashes.collect();
        let way = |way: &super::Way| {
            let metres = way.metres.map_or_else(String::new, |m| format!("{m:.1}\u{202F}m"));
            label(halfway(&way.points), format!("{} {metres}", way.by).trim())
        };
        let ways = sheet.ways.iter().map(way).collect();
        let (metres, mm) = fit::proof(scale);
        Self {
            scale,
            frame,
            proof: Proof { metres, mm },
            bar_m: fit::bar_metres(scale),
            ring_mm,
            sheet,
            rings,
            discs,
            ways,
            narrow,
            clashes,
        }
    }
}

fn middle(a: Spot, b: Spot) -> Spot {
    [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])]
}

fn centre(points: &[Spot]) -> Spot {
    let n = points.len().max(1) as f64;
    let sum = points.iter().fold([0.0, 0.0], |sum, p| [sum[0] + p[0], sum[1] + p[1]]);
    [sum[0] / n, sum[1] / n]
}

/// The place half-way along a route.
fn halfway(points: &[Spot]) -> Spot {
    let length = |a: Spot, b: Spot| (b[0] - a[0]).hypot(b[1] - a[1]);
    let legs = || points.iter().zip(points.iter().skip(1));
    let mut left = legs().map(|(a, b)| length(*a, *b)).sum::<f64>() / 2.0;
    for (a, b) in legs() {
        let leg = length(*a, *b);
        if left <= leg && leg > 0.0 {
            let part = left / leg;
            return [a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part];
        }
        left -= leg;
    }
    points.last().copied().unwrap_or_default()
}

/// A wished scale that needs larger paper, or that was not kept.
fn remark(wish: PlanScale, scale: u32, (asked, paper): (Paper, Paper)) -> Option<Remark> {
    let PlanScale::OneTo(wish) = wish else { return None };
    if scale != wish {
        let words = format!("1 : {wish} is too large for any paper here; the plan is to 1 : {scale}.");
        return Some(Remark { words, as_asked: false });
    }
    (asked != paper).then(|| Remark {
        words: format!("The plan to 1 : {scale} needs {}: print it at 100 %.", paper.word()),
        as_asked: true,
    })
}

/// About how much of the page the key, the sentences after it, the list of players and the cautions take, millimetres; 0 where
/// changes between works follow, as those go over the page anyway.
fn after_mm(sheet: &PlanSheet) -> f64 {
    if !sheet.changes.is_empty() {
        return 0.0;
    }
    // Three columns, about as even as their rows allow; where that is too much for one page the plan is drawn as if alone.
    let of_player = |player: &super::PlayerBlock| 9.0 + 6.5 * player.lines.len() as f64;
    let all: f64 = sheet.players.iter().map(of_player).sum();
    let players = if all > 0.0 { 12.0 + (all / 3.0).max(15.5) } else { 0.0 };
    let rows = sheet.things.len().div_ceil(3) as f64;
    let signs = |words: &[String]| words.iter().map(|one| one.chars().count() + 2).sum::<usize>();
    let lines = |words: &[String]| {
        if words.is_empty() { 0.0 } else { 2.0 + 4.4 * (signs(words) + 30).div_ceil(150) as f64 }
    };
    let cautions = if sheet.cautions.is_empty() { 0.0 } else { 6.0 + 4.6 * sheet.cautions.len() as f64 };
    // Without things there are neither signs, which stand above, nor a key, but one sentence.
    let key = if sheet.things.is_empty() { -6.0 } else { 14.0 + rows * 6.2 };
    key + players + lines(&sheet.unplaced) + cautions
}

/// From the floor to the paper.
struct OnPaper {
    frame: [f64; 4],
    mm_per_m: f64,
    ring_mm: f64,
}

impl OnPaper {
    fn at(&self, [x, y]: Spot) -> Mm {
        [(x - self.frame[0]) * self.mm_per_m, (y - self.frame[1]) * self.mm_per_m]
    }

    /// Half the box around a turned thing.
    fn half(&self, thing: &Thing) -> Mm {
        let (width, depth) = thing.shape.extent();
        let (sin, cos) = thing.turn_deg.to_radians().sin_cos();
        let half = |a: f64, b: f64| f64::midpoint(width * a.abs(), depth * b.abs()) * self.mm_per_m;
        [half(cos, sin), half(sin, cos)]
    }

    /// The page before anything is written on it.
    fn marks(&self, sheet: &PlanSheet) -> Marks {
        let footprints = sheet.things.iter().filter(|t| !t.carried);
        let footprints = footprints.map(|t| Mark { at: self.at(t.at), half: self.half(t) }).collect();
        let [left, top, right, bottom] = self.frame;
        Marks::new([(right - left) * self.mm_per_m, (bottom - top) * self.mm_per_m], footprints)
    }
}

fn discs(sheet: &PlanSheet, page: &OnPaper, marks: &mut Marks) -> Vec<Mm> {
    let disc =
        |p: &super::Standing| Wish { at: page.at(p.at), half: [DISC_MM, DISC_MM], marks: Marked::Person };
    sheet.people.iter().map(|p| marks.place(disc(p)).at).collect()
}

fn rings(sheet: &PlanSheet, page: &OnPaper, marks: &mut Marks) -> Vec<Ring> {
    // What lies on a table is placed before the table's own number, which can give way along the table.
    let mut order: Vec<usize> = (0..sheet.things.len()).collect();
    order.sort_by_key(|n| sheet.things.get(*n).is_some_and(|thing| !thing.carried));
    let mut rings: Vec<(usize, Ring)> = order
        .into_iter()
        .filter_map(|n| sheet.things.get(n).map(|thing| (n, ring(thing, page, marks))))
        .collect();
    rings.sort_by_key(|(n, _)| *n);
    rings.into_iter().map(|(_, ring)| ring).collect()
}

fn ring(thing: &Thing, page: &OnPaper, marks: &mut Marks) -> Ring {
    let letters = thing.number.chars().count().saturating_sub(2);
    let half = [page.ring_mm * (1.0 + WIDER * letters as f64), page.ring_mm];
    let footprint = if thing.carried { [0.0, 0.0] } else { page.half(thing) };
    let marked = if thing.carried { Marked::Carried } else { Marked::Thing(footprint) };
    let true_place = page.at(thing.at);
    let mark = marks.place(Wish { at: true_place, half, marks: marked });
    let away =
        mark.at.iter().zip(true_place).zip(footprint).any(|((at, home), room)| (at - home).abs() > room);
    let (width, depth) = thing.shape.extent();
    let (from_centre, from_back) = taped(thing);
    Ring { at: mark.at, beside: away, extent: [width, depth], from_centre, from_back }
}

/// The two measures of a thing: from the centre line to its near side (to its left one where it stands across), and from the
/// back edge to its back.
fn taped(thing: &Thing) -> (f64, f64) {
    let (sin, cos) = thing.turn_deg.to_radians().sin_cos();
    let (corners, round, [x, y]) = (thing.corners(), thing.radius_m(), thing.at);
    let (across, down) = (corners.map(|[x, y]| x * cos - y * sin), corners.map(|[x, y]| x * sin + y * cos));
    let least = |values: [f64; 4]| values.into_iter().fold(f64::INFINITY, f64::min) - round;
    let most = |values: [f64; 4]| values.into_iter().fold(f64::NEG_INFINITY, f64::max) + round;
    let (left, right) = (x + least(across), x + most(across));
    (if right < 0.0 { right } else { left }, y + least(down))
}

/// The part of the floor that is drawn: left, top, right, bottom in metres.
fn frame(sheet: &PlanSheet) -> [f64; 4] {
    let drawn = match sheet.view {
        View::Part { from, to } => {
            [from[0].min(to[0]), from[1].min(to[1]), from[0].max(to[0]), from[1].max(to[1])]
        }
        View::Whole => around(floor_spots(sheet).chain(stage_spots(sheet)), EDGE_M),
        View::AroundThings { margin_m } => around(stage_spots(sheet), margin_m.max(0.0)),
    };
    let [left, top, right, bottom] = drawn;
    let grow = |low: f64, high: f64, least: f64| ((least - (high - low)) / 2.0).max(0.0);
    let (dx, dy) = (grow(left, right, LEAST_M.0), grow(top, bottom, LEAST_M.1));
    [left - dx, top - dy, right + dx, bottom + dy]
}

fn around(spots: impl Iterator<Item = Spot>, margin: f64) -> [f64; 4] {
    let spread = spots.fold(None, |spread: Option<[f64; 4]>, [x, y]| {
        let [l, t, r, b] = spread.unwrap_or([x, y, x, y]);
        Some([l.min(x), t.min(y), r.max(x), b.max(y)])
    });
    let [l, t, r, b] = spread.unwrap_or([-3.0, 0.0, 3.0, 4.0]);
    [l - margin, t - margin, r + margin, b + margin + FOOT_M]
}

fn floor_spots(sheet: &PlanSheet) -> impl Iterator<Item = Spot> {
    let floor = &sheet.floor;
    let lines = floor.outlines.iter().chain(&floor.lines);
    let areas = floor.risers.iter().chain(&floor.keep_out).map(|area| &area.outline);
    lines.chain(areas).flatten().copied().chain(floor.conductor)
}

fn stage_spots(sheet: &PlanSheet) -> impl Iterator<Item = Spot> {
    let things = sheet.things.iter().flat_map(corners);
    let lines = sheet.player_spaces.iter().chain(sheet.ways.iter().map(|way| &way.points));
    let lines = lines.chain(sheet.furniture.iter().map(|one| &one.outline));
    let narrow = sheet.narrow.iter().flat_map(|n| [n.from, n.to]);
    let narrow = narrow.chain(sheet.clashes.iter().flat_map(|clash| clash.outline.iter().copied()));
    things.chain(lines.flatten().copied()).chain(sheet.people.iter().map(|p| p.at)).chain(narrow)
}

fn corners(thing: &Thing) -> [Spot; 2] {
    let metres = OnPaper { frame: [0.0; 4], mm_per_m: 1.0, ring_mm: 0.0 };
    let ([x, y], [w, d]) = (thing.at, metres.half(thing));
    [[x - w, y - d], [x + w, y + d]]
}

/// Refuses what cannot be drawn, and says what it is.
fn check(sheet: &PlanSheet) -> Result<(), PrintError> {
    let fail = |what: String| Err(PrintError::Measure { what });
    let sound = |x: f64| x.is_finite() && x.abs() < 1e4;
    for thing in &sheet.things {
        let (width, depth) = thing.shape.extent();
        let size = thing.carried || [width, depth].iter().all(|m| sound(*m) && *m > 0.0);
        if !size || !sound(width) || !sound(depth) {
            return fail(format!("{} {}: its size", thing.number, thing.name));
        }
        if !(thing.at.iter().all(|m| sound(*m)) && sound(thing.turn_deg)) {
            return fail(format!("{} {}: its place", thing.number, thing.name));
        }
    }
    if let Some(person) = sheet.people.iter().find(|p| !p.at.iter().all(|m| sound(*m))) {
        return fail(format!("the standing place of {}", person.initials));
    }
    if !floor_spots(sheet).chain(stage_spots(sheet)).flatten().all(sound) {
        return fail("a corner of the floor, of a player’s space or of a route".to_owned());
    }
    let figures = sheet.ways.iter().flat_map(|w| [w.bend_m, w.metres.unwrap_or_default()]);
    let gaps = sheet.narrow.iter().flat_map(|n| [n.metres, n.wanted_m]);
    if !figures.chain(gaps).all(sound) {
        return fail("the length of a route".to_owned());
    }
    match sheet.view {
        View::AroundThings { margin_m } if !sound(margin_m) => {
            fail("the margin around the instruments".to_owned())
        }
        View::Part { from, to } if !from.into_iter().chain(to).all(sound) => {
            fail("a corner of the part to draw".to_owned())
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Bars, LowEnd, Shape};
    use rstest::rstest;

    const KEYBOARD: Shape = Shape::Keyboard { width_m: 2.0, low_m: 1.0, high_m: 0.4, bars: Bars::None };

    #[rstest]
    #[case::left_of_the_line(Shape::Box { width_m: 1.0, depth_m: 0.6 }, (-3.0, 2.0, 0.0), (-2.5, 1.7))]
    #[case::right_of_it(Shape::Box { width_m: 1.0, depth_m: 0.6 }, (3.0, 2.0, 0.0), (2.5, 1.7))]
    #[case::across_it(Shape::Box { width_m: 1.0, depth_m: 0.6 }, (0.2, 2.0, 0.0), (-0.3, 1.7))]
    #[case::turned(Shape::Box { width_m: 1.0, depth_m: 0.6 }, (3.0, 2.0, 90.0), (2.7, 1.5))]
    #[case::round(Shape::Round { diameter_m: 0.8 }, (3.0, 2.0, 37.0), (2.6, 1.6))]
    #[case::keyboard(KEYBOARD, (3.0, 2.0, 0.0), (2.0, 1.5))]
    // A quarter turn clockwise brings the low end, which lies at the right, to the foot of the page.
    #[case::keyboard_turned(KEYBOARD, (3.0, 2.0, 90.0), (2.5, 1.0))]
    fn a_tape_finds_edges(
        #[case] shape: Shape,
        #[case] (x, y, turn_deg): (f64, f64, f64),
        #[case] expected: (f64, f64),
    ) {
        let thing = Thing {
            number: "1".to_owned(),
            name: String::new(),
            note: String::new(),
            shape,
            at: [x, y],
            turn_deg,
            low_end: Some(LowEnd::Right),
            carried: false,
            unused: false,
            changed: false,
        };
        let (side, back) = taped(&thing);
        assert!((side - expected.0).abs() < 1e-9 && (back - expected.1).abs() < 1e-9, "{side} {back}");
    }
}
