//! The layer of labels over the plan: numbers, figures and flags are drawn last, none over another or over a player, and a line
//! leads from each that had to move to what it speaks of.

use crate::theme::tokens::{Tokens, size};
use crate::theme::{marks, sans, semibold, serif_italic};
use egui::text::LayoutJob;
use egui::{Align2, Color32, FontId, Galley, Painter, Pos2, Rect, Stroke, Vec2, pos2, vec2};
use std::sync::Arc;

/// A label that stands farther than this from what it speaks of gets a line to it, points.
const FAR: f32 = 9.0;
/// The air between two labels, points.
const AIR: f32 = 2.0;
/// How far off a place is looked for, points, nearest first.
const RINGS: [f32; 12] = [3.0, 9.0, 16.0, 24.0, 34.0, 46.0, 60.0, 76.0, 96.0, 120.0, 150.0, 190.0];
/// In how many directions.
const WAYS: u8 = 16;

/// How a label looks, and in what order labels choose their places.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Look {
    /// A number in a ring.
    Ring(Color32),
    /// Words on a bar of clash.
    Flag,
    /// Words beside the sign of care.
    Care,
    /// Words on the ground of the plan.
    Plain,
    /// A small word, such as the name of a low end.
    Small,
    /// The words of an area, in lines no wider than so many points; they may lie on it.
    Area(f32),
    /// The name of something that is proposed, in lines no wider than so many points; it may lie on it.
    Name(f32),
}

impl Look {
    const fn order(&self) -> u8 {
        match self {
            Self::Ring(_) => 0,
            Self::Flag => 1,
            Self::Care => 2,
            Self::Plain => 3,
            Self::Small => 4,
            Self::Area(_) => 5,
            Self::Name(_) => 6,
        }
    }

    fn font(&self) -> FontId {
        match self {
            Self::Ring(_) | Self::Small | Self::Name(_) => sans(11.0),
            Self::Area(_) => serif_italic(size::TEXT),
            Self::Flag | Self::Care => semibold(size::NOTE),
            Self::Plain => sans(size::NOTE),
        }
    }
}

/// A label before it has its place.
#[derive(Clone, Debug)]
struct Label {
    words: String,
    look: Look,
    /// What it speaks of, which it must not cover, but for a number.
    of: Rect,
    /// Where its middle would best lie.
    wish: Option<Pos2>,
}

/// What is collected while the plan is drawn.
#[derive(Default)]
pub(super) struct Labels {
    wanted: Vec<Label>,
    /// What no label may cover: players, words that stand already.
    hard: Vec<Rect>,
    /// What a label had better not cover: the things themselves.
    soft: Vec<Rect>,
}

impl Labels {
    /// What no label may cover.
    pub(super) fn keep_clear(&mut self, rect: Rect) {
        self.hard.push(rect);
    }

    /// What a label had better not cover.
    pub(super) fn spare(&mut self, rect: Rect) {
        self.soft.push(rect);
    }

    /// A number on its thing, best in that place.
    pub(super) fn number(&mut self, number: u32, of: Rect, wish: Pos2, ink: Color32) {
        let look = Look::Ring(ink);
        self.wanted.push(Label { words: number.to_string(), look, of, wish: Some(wish) });
    }

    /// Words that speak of what lies there.
    pub(super) fn words(&mut self, words: impl Into<String>, look: Look, of: Rect) {
        self.wanted.push(Label { words: words.into(), look, of, wish: None });
    }

    /// Words best in that place.
    pub(super) fn words_at(&mut self, words: impl Into<String>, look: Look, at: Pos2) {
        let of = Rect::from_center_size(at, Vec2::ZERO);
        self.wanted.push(Label { words: words.into(), look, of, wish: Some(at) });
    }

    /// Words of what lies there, in lines, best in that place; they may lie on it.
    pub(super) fn words_on(&mut self, words: impl Into<String>, look: Look, (of, wish): (Rect, Pos2)) {
        self.wanted.push(Label { words: words.into(), look, of, wish: Some(wish) });
    }

    /// Finds every label its place and draws them, their lines beneath them all.
    pub(super) fn draw(mut self, painter: &Painter, area: Rect, tokens: &Tokens) {
        self.wanted.sort_by_key(|label| label.look.order());
        let sizes: Vec<Vec2> = self.wanted.iter().map(|label| measure(painter, label)).collect();
        let wishes: Vec<Wish> = self
            .wanted
            .iter()
            .zip(&sizes)
            .map(|(label, size)| Wish {
                size: *size,
                of: label.of,
                first: label.wish,
                covers: matches!(label.look, Look::Ring(_) | Look::Area(_) | Look::Name(_)),
                spares: !matches!(label.look, Look::Ring(_)),
            })
            .collect();
        let places = place(&wishes, &self.hard, &self.soft, area);
        for (label, rect) in self.wanted.iter().zip(&places) {
            lead(painter, label, *rect, tokens);
        }
        for (label, rect) in self.wanted.iter().zip(&places) {
            draw(painter, label, *rect, tokens);
        }
    }
}

fn ink(label: &Label, tokens: &Tokens) -> Color32 {
    match label.look {
        Look::Ring(ink) => ink,
        Look::Flag => tokens.clash,
        Look::Care => tokens.care,
        Look::Plain | Look::Name(_) => tokens.ink,
        Look::Small | Look::Area(_) => tokens.ink2,
    }
}

/// The words as they are drawn: in one line, or in lines in the middle of each other.
fn laid(painter: &Painter, label: &Label, ink: Color32) -> Arc<Galley> {
    let (words, font) = (label.words.clone(), label.look.font());
    match label.look {
        Look::Area(wide) | Look::Name(wide) => {
            let mut job = LayoutJob::simple(words, font, ink, wide.max(40.0));
            job.halign = egui::Align::Center;
            painter.layout_job(job)
        }
        _ => painter.layout_no_wrap(words, font, ink),
    }
}

fn measure(painter: &Painter, label: &Label) -> Vec2 {
    let words = laid(painter, label, Color32::PLACEHOLDER).size();
    match label.look {
        Look::Area(_) | Look::Name(_) => words + vec2(8.0, 2.0),
        Look::Ring(_) => vec2((17.0 + 6.0 * label.words.len().saturating_sub(2) as f32).max(17.0), 17.0),
        Look::Flag => words + vec2(10.0, 3.0),
        Look::Care => words + vec2(19.0, 2.0),
        Look::Plain => words + vec2(6.0, 0.0),
        Look::Small => words + vec2(2.0, 0.0),
    }
}

/// The line from a label to what it speaks of, where it does not lie there.
fn lead(painter: &Painter, label: &Label, rect: Rect, tokens: &Tokens) {
    let to = match label.wish {
        Some(wish) => wish,
        None => label.of.center(),
    };
    let near = label.of.expand(0.5).distance_to_pos(rect.center()) - rect.size().min_elem() / 2.0;
    let on_its_own = matches!(label.look, Look::Area(_) | Look::Name(_));
    let is_off = if on_its_own {
        !label.of.intersects(rect)
    } else if label.wish.is_some() {
        rect.distance_to_pos(to) > FAR
    } else {
        near > FAR
    };
    if is_off {
        let ink = ink(label, tokens);
        painter.line_segment([rect.clamp(to), to], Stroke::new(1.0, ink));
        painter.circle_filled(to, 2.0, ink);
    }
}

fn draw(painter: &Painter, label: &Label, rect: Rect, tokens: &Tokens) {
    let ink = ink(label, tokens);
    let text = |at: Pos2, anchor, ink| {
        marks::text(painter, at, anchor, &label.words, label.look.font(), ink);
    };
    match label.look {
        Look::Ring(_) => marks::ring(painter, rect.center(), &label.words, tokens.raised, ink),
        Look::Flag => {
            painter.rect_filled(rect, 0.0, ink);
            text(rect.center(), Align2::CENTER_CENTER, tokens.on_fill());
        }
        Look::Care => {
            painter.rect_filled(rect, 2.0, tokens.raised);
            marks::mark(painter, rect.left_center() + vec2(8.0, 0.0), marks::Mark::Care, tokens);
            text(rect.left_center() + vec2(17.0, 0.0), Align2::LEFT_CENTER, ink);
        }
        Look::Area(_) | Look::Name(_) => {
            let is_name = matches!(label.look, Look::Name(_));
            let (ground, fill) =
                if is_name { (rect.shrink2(vec2(4.0, 1.0)), tokens.soft) } else { (rect, tokens.raised) };
            painter.rect_filled(ground, 2.0, fill);
            painter.galley(pos2(rect.center().x, rect.top() + 1.0), laid(painter, label, ink), ink);
        }
        Look::Plain | Look::Small => {
            painter.rect_filled(rect, 2.0, tokens.raised);
            text(rect.center(), Align2::CENTER_CENTER, ink);
        }
    }
}

/// Middles of things of that size, moved so that none covers another.
pub(super) fn clear_of_each_other(wished: &[Pos2], size: Vec2, area: Rect) -> Vec<Pos2> {
    let wish = |at: &Pos2| Wish {
        size,
        of: Rect::from_center_size(*at, size),
        first: Some(*at),
        covers: true,
        spares: false,
    };
    let wishes: Vec<Wish> = wished.iter().map(wish).collect();
    place(&wishes, &[], &[], area).iter().map(Rect::center).collect()
}

/// What a label asks for.
#[derive(Clone, Copy, Debug)]
struct Wish {
    size: Vec2,
    of: Rect,
    first: Option<Pos2>,
    /// Whether it may lie on what it speaks of.
    covers: bool,
    /// Whether it keeps off the other things where it can.
    spares: bool,
}

/// Where each lies: in order, clear of all before it and of what is `hard`; as near as can be, and covering as little of what is
/// `soft` as can be.
fn place(wishes: &[Wish], hard: &[Rect], soft: &[Rect], area: Rect) -> Vec<Rect> {
    let mut taken = hard.to_vec();
    let mut places = Vec::with_capacity(wishes.len());
    for wish in wishes {
        let cost = |rect: &Rect| {
            let over = |other: &Rect| overlap(rect.expand(AIR), *other);
            let own = if wish.covers { 0.0 } else { overlap(*rect, wish.of) };
            let off = if area.contains_rect(*rect) { 0.0 } else { 1e6 };
            let barred: f32 = taken.iter().map(over).sum::<f32>() + own;
            // What may lie on its own thing does not keep off that.
            let others = soft.iter().filter(|other| !(wish.covers && **other == wish.of));
            let spared: f32 = others.map(|other| overlap(*rect, *other)).sum();
            let far = wish.first.map_or_else(
                || wish.of.distance_to_pos(rect.center()),
                |first| first.distance(rect.center()),
            );
            let spared = if wish.spares { spared } else { 0.0 };
            off + if barred > 0.0 { 1e4 + barred } else { 0.0 } + spared * 0.06 + far
        };
        let best = candidates(wish).into_iter().map(|rect| (cost(&rect), rect));
        let best = best.min_by(|(a, _), (b, _)| a.total_cmp(b)).map(|(_, rect)| rect);
        let rect = best.unwrap_or_else(|| Rect::from_center_size(wish.of.center(), wish.size));
        taken.push(rect);
        places.push(rect);
    }
    places
}

fn overlap(one: Rect, other: Rect) -> f32 {
    let both = one.intersect(other);
    if both.is_positive() { both.area() } else { 0.0 }
}

/// The places that a label could have: that which it wishes for, then around it or around what it speaks of.
fn candidates(wish: &Wish) -> Vec<Rect> {
    let mut all: Vec<Rect> = wish.first.iter().map(|at| Rect::from_center_size(*at, wish.size)).collect();
    let around = match wish.first {
        Some(at) => Rect::from_center_size(at, Vec2::ZERO),
        None => wish.of,
    };
    for far in RINGS {
        for way in 0..WAYS {
            // Straight below comes first, as words are looked for there.
            let angle =
                std::f32::consts::FRAC_PI_2 + f32::from(way) * std::f32::consts::TAU / f32::from(WAYS);
            let way = vec2(angle.cos(), angle.sin());
            let half = (around.size() + wish.size) / 2.0;
            // To the edge of the box around both, then outwards.
            let reach = [half.x / way.x.abs().max(1e-3), half.y / way.y.abs().max(1e-3)];
            let reach = if wish.first.is_some() { far * 1.5 } else { reach[0].min(reach[1]) + far };
            all.push(Rect::from_center_size(around.center() + way * reach, wish.size));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    const AREA: Rect = Rect { min: pos2(0.0, 0.0), max: pos2(800.0, 500.0) };

    fn number(x: f32, y: f32) -> Wish {
        let at = pos2(x, y);
        let of = Rect::from_center_size(at, vec2(20.0, 20.0));
        Wish { size: vec2(17.0, 17.0), of, first: Some(at), covers: true, spares: false }
    }

    fn flag(of: Rect) -> Wish {
        Wish { size: vec2(86.0, 18.0), of, first: None, covers: false, spares: true }
    }

    #[test]
    fn what_is_clear_stays() {
        let wishes = [number(100.0, 100.0), number(140.0, 100.0)];
        let places = place(&wishes, &[], &[], AREA);
        assert_eq!(places[0].center(), pos2(100.0, 100.0));
        assert_eq!(places[1].center(), pos2(140.0, 100.0));
    }

    #[test]
    fn nothing_covers_another_or_a_player_or_what_it_speaks_of() {
        let mut wishes: Vec<Wish> =
            (0..24_u8).map(|at| number(300.0 + f32::from(at % 6) * 7.0, 200.0)).collect();
        let of = Rect::from_center_size(pos2(305.0, 205.0), vec2(14.0, 40.0));
        wishes.extend((0..6).map(|_| flag(of)));
        let players: Vec<Rect> = (0..5_u8)
            .map(|at| Rect::from_center_size(pos2(280.0 + 18.0 * f32::from(at), 190.0), vec2(18.0, 18.0)))
            .collect();
        let places = place(&wishes, &players, &[], AREA);
        for (at, one) in places.iter().enumerate() {
            assert!(AREA.contains_rect(*one));
            for other in places[at + 1..].iter().chain(&players) {
                assert!(overlap(*one, *other) <= 0.0, "{one:?} lies on {other:?}");
            }
        }
        assert!(places[24..].iter().all(|flag| overlap(*flag, of) <= 0.0));
    }

    #[test]
    fn words_at_the_edge_stay_inside() {
        let corner = Rect::from_min_size(pos2(770.0, 480.0), vec2(25.0, 15.0));
        let places = place(&[flag(corner)], &[], &[], AREA);
        assert!(AREA.contains_rect(places[0]), "{places:?}");
    }

    /// The words of an area lie in its middle, and give way to a number there and to a thing.
    #[test]
    fn words_of_an_area_give_way() {
        let of = Rect::from_center_size(pos2(400.0, 250.0), vec2(200.0, 120.0));
        let area = Wish { size: vec2(90.0, 20.0), of, first: Some(of.center()), covers: true, spares: true };
        assert_eq!(place(&[area], &[], &[], AREA)[0].center(), of.center());
        let beside = place(&[number(400.0, 250.0), area], &[], &[], AREA);
        assert!(overlap(beside[0], beside[1]) <= 0.0 && of.intersects(beside[1]), "{beside:?}");
        let thing = Rect::from_center_size(of.center(), vec2(60.0, 30.0));
        let off = place(&[area], &[], &[thing], AREA)[0];
        // In the middle 1200 square points of it would be hidden.
        assert!(overlap(off, thing) < 100.0 && of.intersects(off), "{off:?}");
        let own = place(&[area], &[], &[of], AREA)[0];
        assert_eq!(own.center(), of.center(), "it lies on what it speaks of");
    }

    #[test]
    fn free_floor_is_better_than_a_thing() {
        let of = Rect::from_center_size(pos2(400.0, 250.0), vec2(20.0, 20.0));
        let below = Rect::from_min_size(pos2(340.0, 262.0), vec2(120.0, 40.0));
        let places = place(&[flag(of)], &[], &[below], AREA);
        assert!(overlap(places[0], below) <= 0.0, "{places:?}");
    }
}
