//! The pitch axis: a real keyboard to constant octave width, the line's heads above it, and the hairline's reading.

use crate::places::compass::Here;
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::{marks, sans, semibold};
use backrow_core::compass::PitchSet;
use backrow_core::pitch::{KeyNumber, Octave, Spelled};
use egui::{Align2, Painter, Rect, Shape, Stroke, StrokeKind, Ui, pos2, vec2};

/// Where keys lie across the place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    /// The area of the bars; its height is the list's and the axis'.
    pub(super) area: Rect,
    /// Width of an octave, points, a multiple of 12 and 7 where that fits.
    pub(super) octave: f32,
    /// The key at the left edge, always a C.
    pub(super) first: KeyNumber,
    /// Sounding minus shown: 0, or the line's convention when rows stand as written.
    pub(super) shown: i32,
}

impl Axis {
    pub(super) fn new(area: Rect, view: &Here<'_>, scene: &Scene<'_>) -> Self {
        let state = &view.own;
        // Six octaves and a key fit beside each other at the whole-pixel width of 84 points an octave.
        let fit = ((area.width() - 12.0) / 6.0 / 84.0).floor().max(1.0) * 84.0;
        let zoom = i16::try_from(state.zoom).unwrap_or(0);
        let octave = (fit + 84.0 * f32::from(zoom)).clamp(84.0, 504.0);
        let line = view.line.as_ref().and_then(|at| scene.library.line(at)).map(|(_, line)| line.octave);
        let shown = if state.written { line.unwrap_or_default().semitones() } else { 0 };
        let first = KeyNumber::new(36 + 12 * state.pushed).unwrap_or(KeyNumber::MIDDLE_C);
        Self { area, octave, first, shown }
    }

    /// By how many octaves the keyboard is pushed so that both keys are in sight, as little as that needs; where they lie too far
    /// apart for it, the lower one is.
    pub(super) fn pushes_for(&self, low: KeyNumber, high: KeyNumber) -> i32 {
        let lane_of = |key: KeyNumber| i32::from(key.number()) - self.shown - i32::from(self.first.number());
        #[expect(clippy::cast_possible_truncation, reason = "a few hundred lanes at the most")]
        let lanes = (self.area.width() / self.lane()).floor() as i32;
        let at_left = lane_of(low).div_euclid(12);
        let beyond = lane_of(high) + 1 - lanes;
        if at_left < 0 { at_left } else { at_left.min((beyond + 11).div_euclid(12).max(0)) }
    }

    /// Whether some of these bars lie out of sight, at the left and at the right.
    pub(super) fn hides(&self, bars: PitchSet) -> (bool, bool) {
        let left = bars.lowest().is_some_and(|key| self.x(key) < self.area.left() - 0.5);
        let right = bars.highest().is_some_and(|key| self.x(key) + self.lane() > self.area.right() + 0.5);
        (left, right)
    }

    pub(super) const fn lane(&self) -> f32 {
        self.octave / 12.0
    }

    /// The left edge of a sounding key's lane.
    pub(super) fn x(&self, key: KeyNumber) -> f32 {
        let steps = i32::from(key.number()) - self.shown - i32::from(self.first.number());
        let steps = i16::try_from(steps).unwrap_or(0);
        self.area.left() + f32::from(steps) * self.lane()
    }

    /// The sounding key at a place across.
    pub(super) fn key_at(&self, x: f32) -> Option<KeyNumber> {
        if !self.area.x_range().contains(x) {
            return None;
        }
        #[expect(clippy::cast_possible_truncation, reason = "a few hundred lanes at the most")]
        let steps = ((x - self.area.left()) / self.lane()).floor() as i32;
        self.first.up(steps + self.shown)
    }
}

/// Where the keyboard lies.
fn keyboard_of(axis: &Axis, rect: Rect) -> Rect {
    Rect::from_min_max(pos2(axis.area.left(), rect.top() + 28.0), pos2(axis.area.right(), rect.top() + 54.0))
}

/// Draws the axis over `rect`, before the rows beneath it.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, axis: &Axis, rect: Rect) {
    let tokens = scene.tokens;
    ui.painter().rect_filled(rect, 0.0, tokens.ground);
    let keyboard = keyboard_of(axis, rect);
    paint_keyboard(ui, axis, keyboard, &tokens);
    names(ui, scene, view, axis, keyboard);
    heads(ui, scene, view, axis, keyboard.top());
    switch(ui, scene, view, Rect::from_min_size(pos2(rect.left(), keyboard.top() + 1.0), vec2(160.0, 24.0)));
    if view.line.is_some() {
        legend(ui, scene, pos2(axis.area.right() + space::M, rect.top() + 6.0));
    }
    marks::hairline(ui.painter(), rect.x_range(), rect.bottom() - 1.0, tokens.line);
}

fn paint_keyboard(ui: &Ui, axis: &Axis, keyboard: Rect, tokens: &Tokens) {
    let painter = ui.painter().with_clip_rect(keyboard.intersect(ui.clip_rect()));
    let (white, black) = (Tokens::PAPER.raised, Tokens::PAPER.ink);
    let white = if tokens.dark { Tokens::mix(white, black, 0.35) } else { white };
    let natural = axis.octave / 7.0;
    let (mut left, mut octave) = (keyboard.left(), i32::from(axis.first.number()));
    while left < keyboard.right() {
        // The shown octave of middle C is tinted.
        let tint = if octave == 60 { tokens.sunken } else { white };
        for step in 0..7_u8 {
            let key = Rect::from_min_size(
                pos2(left + f32::from(step) * natural, keyboard.top()),
                vec2(natural, keyboard.height()),
            );
            let fill = if octave == 60 && !tokens.dark { tint } else { white };
            painter.rect(key, 0.0, fill, Stroke::new(1.0, tokens.ink3), StrokeKind::Inside);
        }
        for class in [1_u8, 3, 6, 8, 10] {
            let middle = left + (f32::from(class) + 0.5) * axis.lane();
            let key = Rect::from_min_size(
                pos2(middle - axis.lane() * 0.45, keyboard.top()),
                vec2(axis.lane() * 0.9, keyboard.height() * 0.6),
            );
            painter.rect_filled(key, 0.0, black);
        }
        left += axis.octave;
        octave += 12;
    }
}

fn names(ui: &Ui, scene: &Scene<'_>, view: &Here<'_>, axis: &Axis, keyboard: Rect) {
    let tokens = scene.tokens;
    let painter = ui.painter();
    let line = view.line.as_ref().and_then(|at| scene.library.line(at)).map(|(_, line)| line.octave);
    let convention = line.unwrap_or_default().semitones();
    let mut shown = i32::from(axis.first.number());
    let mut left = keyboard.left();
    while left < keyboard.right() - 8.0 {
        let sounding = KeyNumber::new(shown + axis.shown).ok();
        if let Some(key) = sounding {
            let (font, words) = if key == KeyNumber::MIDDLE_C {
                (semibold(size::NOTE), "C4".to_owned())
            } else {
                (sans(size::NOTE), key.to_string())
            };
            painter.text(pos2(left, keyboard.bottom() + 1.0), Align2::LEFT_TOP, words, font, tokens.ink);
            if line.is_some()
                && let Some(written) = key.up(-convention)
            {
                painter.text(
                    pos2(left, keyboard.top() - 14.0),
                    Align2::LEFT_BOTTOM,
                    written.to_string(),
                    sans(size::NOTE),
                    tokens.ink2,
                );
            }
        }
        left += axis.octave;
        shown += 12;
    }
    let words = pos2(keyboard.left() - space::S, keyboard.bottom() + 1.0);
    painter.text(words, Align2::RIGHT_TOP, "sounding", sans(size::NOTE), tokens.ink2);
    if line.is_some() {
        painter.text(
            pos2(words.x, keyboard.top() - 14.0),
            Align2::RIGHT_BOTTOM,
            "written",
            sans(size::NOTE),
            tokens.ink2,
        );
    }
}

fn heads(ui: &Ui, scene: &Scene<'_>, view: &Here<'_>, axis: &Axis, foot: f32) {
    let Some((_, line)) = view.line.as_ref().and_then(|at| scene.library.line(at)) else { return };
    let scale = (axis.octave / 84.0).clamp(0.8, 1.5);
    for key in line.sounding().iter() {
        let at = pos2(axis.x(key) + axis.lane() / 2.0, foot - if key.is_natural() { 4.0 } else { 9.0 });
        if axis.area.x_range().contains(at.x) {
            marks::head(ui.painter(), at, scale, scene.tokens.ink);
        }
    }
}

fn switch(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, rect: Rect) {
    let (left, right) = rect.split_left_right_at_fraction(0.5);
    for (place, words, written) in [(left, "Sounding", false), (right, "Written", true)] {
        let here = view.own.written == written;
        let response = ui.interact(place, ui.scope_id().with(words), egui::Sense::click());
        response.widget_info(|| {
            egui::WidgetInfo::selected(egui::Role::RadioButton, true, here, format!("Axis {words}"))
        });
        let (fill, line) = if here {
            (scene.tokens.soft, scene.tokens.accent)
        } else {
            (scene.tokens.raised, scene.tokens.line)
        };
        ui.painter().rect(place, 0.0, fill, Stroke::new(1.0, line), StrokeKind::Inside);
        let font = if here { semibold(size::NOTE) } else { sans(size::NOTE) };
        marks::text(ui.painter(), place.center(), Align2::CENTER_CENTER, words, font, scene.tokens.ink);
        crate::theme::widgets::focus_ring(ui, &response, &scene.tokens);
        if response.clicked() {
            view.own.written = written;
        }
    }
}

fn legend(ui: &Ui, scene: &Scene<'_>, at: egui::Pos2) {
    let tokens = scene.tokens;
    for (row, words) in ["reached", "an octave or more away", "missing"].into_iter().enumerate() {
        let middle = at + vec2(4.0, 18.0 * f32::from(u8::try_from(row).unwrap_or(0)) + 8.0);
        match row {
            0 => marks::head(ui.painter(), middle, 1.0, tokens.ink),
            1 => marks::hollow_head(ui.painter(), middle, 1.0, tokens.ink),
            _ => slot(ui.painter(), Rect::from_center_size(middle, vec2(6.0, 14.0)), &tokens),
        }
        marks::text(
            ui.painter(),
            middle + vec2(14.0, 0.0),
            Align2::LEFT_CENTER,
            words,
            sans(size::NOTE),
            tokens.ink2,
        );
    }
}

/// The flag beside the hairline, over the axis: sounding name, written name, frequency.
pub(super) fn reading(ui: &Ui, scene: &Scene<'_>, view: &Here<'_>, axis: &Axis, key: KeyNumber, rect: Rect) {
    let tokens = scene.tokens;
    let top = keyboard_of(axis, rect).bottom() + 13.0;
    let line = view.line.as_ref().and_then(|at| scene.library.line(at)).map(|(_, line)| line);
    let convention = line.map(|line| line.octave).or(view.own.hair_octave).unwrap_or(Octave::AS_WRITTEN);
    // As the part spells it, where it has the note.
    let noted = line.and_then(|line| line.notes().find(|note| line.sounding_of(note) == Some(key)));
    let written = noted.map(|note| note.written).or_else(|| convention.written(key));
    let written = written.map_or_else(String::new, |note: Spelled| format!("   written {note}"));
    let sounding = line.map_or_else(|| Spelled::usual(key), |line| line.spelling().of(key));
    let hz = scene.library.orchestra.a.frequency(key).value();
    let words = format!("{sounding}{written}   {hz:.1}\u{202F}Hz");
    let galley = ui.painter().layout_no_wrap(words.clone(), semibold(size::NOTE), tokens.ground);
    let x = axis.x(key) + axis.lane() / 2.0;
    let width = galley.size().x + 2.0 * space::S;
    let left = if x - width < axis.area.left() { x } else { x - width };
    let flag = Rect::from_min_size(pos2(left, top), vec2(width, 16.0));
    ui.painter().rect_filled(flag, 0.0, tokens.ink);
    ui.painter().galley(flag.min + vec2(space::S, 0.0), galley, tokens.ground);
    marks::upright(ui.painter(), x, flag.top()..=axis.area.bottom(), tokens.ink);
    let response = ui.interact(flag, ui.scope_id().with("reading"), egui::Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &words));
}

/// The gap mark: a slot with caps.
pub(super) fn slot(painter: &Painter, rect: Rect, tokens: &Tokens) {
    painter.extend(slot_shapes(rect, tokens));
}

pub(super) fn slot_shapes(rect: Rect, tokens: &Tokens) -> [Shape; 3] {
    let ground = Tokens::mix(tokens.raised, tokens.clash, 0.14);
    let cap = |y: f32| {
        Shape::rect_filled(
            Rect::from_min_size(pos2(rect.left(), y), vec2(rect.width(), 2.0)),
            0.0,
            tokens.clash,
        )
    };
    [Shape::rect_filled(rect, 0.0, ground), cap(rect.top()), cap(rect.bottom() - 2.0)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// Three octaves from C2, MIDI 36: what is in sight stays, what is not comes with as little as it needs.
    #[rstest]
    #[case(36, 71, 0)]
    #[case(48, 72, 1)]
    #[case(89, 96, 3)]
    #[case(24, 30, -1)]
    #[case(40, 100, 0)]
    #[case(53, 100, 1)]
    fn a_line_comes_into_sight(#[case] low: i32, #[case] high: i32, #[case] expected: i32) {
        let key = |number| KeyNumber::new(number).unwrap();
        let area = Rect::from_min_size(pos2(0.0, 0.0), vec2(252.0, 100.0));
        let axis = Axis { area, octave: 84.0, first: key(36), shown: 0 };
        assert_eq!(axis.pushes_for(key(low), key(high)), expected);
    }

    /// Three octaves from C2, MIDI 36 to 71, are in sight.
    #[rstest]
    #[case::all_in_sight(36, 71, (false, false))]
    #[case::below(35, 71, (true, false))]
    #[case::above(36, 72, (false, true))]
    #[case::both(24, 84, (true, true))]
    fn bars_out_of_sight_are_told(#[case] low: i32, #[case] high: i32, #[case] expected: (bool, bool)) {
        let key = |number| KeyNumber::new(number).unwrap();
        let area = Rect::from_min_size(pos2(0.0, 0.0), vec2(252.0, 100.0));
        let axis = Axis { area, octave: 84.0, first: key(36), shown: 0 };
        assert_eq!(axis.hides(PitchSet::range(key(low), key(high))), expected);
    }
}
