//! Marks that several places draw: discs with initials, degrees of finding, hairlines, note heads.

use super::tokens::{Tokens, size};
use super::{sans, semibold};
use backrow_core::collection::Player;
use backrow_core::findings::Degree;
use egui::epaint::Mesh;
use egui::{Align2, Color32, FontId, Painter, Pos2, Rangef, Rect, Shape, Stroke, pos2, vec2};

/// Draws text and returns the place it took.
pub fn text(painter: &Painter, at: Pos2, anchor: Align2, words: &str, font: FontId, ink: Color32) -> Rect {
    painter.text(at, anchor, words, font, ink)
}

/// So much larger than its text a sign of a note value is.
const NOTE_SIGN: f32 = 1.6;

/// Draws text whose signs of note values stand with their feet on its baseline, large enough to be told apart; returns the place it
/// took.
pub fn with_notes(painter: &Painter, at: Pos2, words: &str, (font, ink): (FontId, Color32)) -> Rect {
    let is_note = |c: char| matches!(c, '\u{2669}'..='\u{266c}');
    // A face that stands in for another brings its own baseline, so the sign is laid apart and set down by what is drawn of it.
    let foot = |galley: &egui::Galley| {
        let first = galley.rows.iter().flat_map(|row| &row.glyphs).next();
        first.map_or(font.size, |glyph| glyph.pos.y + glyph.uv_rect.offset.y + glyph.uv_rect.size.y)
    };
    let line = painter.layout_no_wrap("x".to_owned(), font.clone(), ink);
    let baseline = at.y + foot(&line);
    let mut right = at.x;
    for piece in words.split_inclusive(is_note) {
        let plain = piece.trim_end_matches(is_note);
        let galley = painter.layout_no_wrap(plain.to_owned(), font.clone(), ink);
        let width = galley.size().x;
        painter.galley(pos2(right, at.y), galley, ink);
        right += width;
        let sign = piece.strip_prefix(plain).unwrap_or_default();
        if sign.is_empty() {
            continue;
        }
        let large = FontId::new(font.size * NOTE_SIGN, font.family.clone());
        let galley = painter.layout_no_wrap(sign.to_owned(), large, ink);
        let (width, top) = (galley.size().x, baseline - foot(&galley));
        painter.galley(pos2(right, top), galley, ink);
        right += width;
    }
    Rect::from_min_max(at, pos2(right, at.y + line.size().y))
}

/// Draws text no wider than `width`, cut with an ellipsis if it must be; returns whether it was cut.
pub fn text_within(
    painter: &Painter,
    rect: Rect,
    anchor: Align2,
    words: &str,
    font: FontId,
    ink: Color32,
) -> bool {
    let mut job = egui::text::LayoutJob::simple_singleline(words.to_owned(), font, ink);
    job.wrap = egui::text::TextWrapping::truncate_at_width(rect.width());
    let galley = painter.layout_job(job);
    let cut = galley.elided;
    let at = anchor.align_size_within_rect(galley.size(), rect).min;
    painter.galley(at, galley, ink);
    cut
}

/// A horizontal hairline on whole pixels.
pub fn hairline(painter: &Painter, x: impl Into<Rangef>, y: f32, ink: Color32) {
    let x = x.into();
    let step = 1.0 / painter.pixels_per_point();
    let y = (y / step).floor() * step;
    painter.rect_filled(Rect::from_min_max(pos2(x.min, y), pos2(x.max, y + step.max(1.0))), 0.0, ink);
}

/// A vertical hairline on whole pixels.
pub fn upright(painter: &Painter, x: f32, y: impl Into<Rangef>, ink: Color32) {
    let y = y.into();
    let step = 1.0 / painter.pixels_per_point();
    let x = (x / step).floor() * step;
    painter.rect_filled(Rect::from_min_max(pos2(x, y.min), pos2(x + step.max(1.0), y.max)), 0.0, ink);
}

/// Adds a plain quad to a mesh; hundreds of bars go into one.
pub fn quad(mesh: &mut Mesh, rect: Rect, ink: Color32) {
    mesh.add_colored_rect(rect, ink);
}

/// A player's disc with initials, `diameter` points across.
pub fn disc(painter: &Painter, at: Pos2, diameter: f32, player: &Player) {
    painter.circle_filled(at, diameter / 2.0, Tokens::player(player.order));
    let font = semibold((diameter * 0.5).max(9.0));
    painter.text(at, Align2::CENTER_CENTER, &player.initials, font, Tokens::on_player(player.order));
}

/// The three degrees of finding, each with its own shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// A ring: worth knowing.
    Note,
    /// A triangle: take care.
    Care,
    /// A filled bar: it does not go.
    Clash,
}

impl From<Degree> for Mark {
    fn from(degree: Degree) -> Self {
        match degree {
            Degree::Clash => Self::Clash,
            Degree::Care => Self::Care,
            Degree::Note => Self::Note,
        }
    }
}

impl Mark {
    /// Its word, for one or for more.
    pub const fn word(self, count: usize) -> &'static str {
        match (self, count) {
            (Self::Note, 1) => "note",
            (Self::Note, _) => "notes",
            (Self::Care, 1) => "warning",
            (Self::Care, _) => "warnings",
            (Self::Clash, 1) => "clash",
            (Self::Clash, _) => "clashes",
        }
    }
}

/// Draws the mark of a degree in a square of 12 points around `at`.
pub fn mark(painter: &Painter, at: Pos2, degree: Mark, tokens: &Tokens) {
    match degree {
        Mark::Note => {
            painter.circle_stroke(at, 4.5, Stroke::new(1.5, tokens.ink2));
        }
        Mark::Care => {
            let corners = vec![at + vec2(0.0, -5.0), at + vec2(5.5, 4.5), at + vec2(-5.5, 4.5)];
            painter.add(Shape::closed_line(corners, Stroke::new(1.5, tokens.care)));
        }
        Mark::Clash => {
            painter.rect_filled(Rect::from_center_size(at, vec2(4.0, 12.0)), 0.0, tokens.clash);
        }
    }
}

/// A key as it lies on the keyboard, with its letter, around `at`; never part of the words beside it.
pub fn key_cap(painter: &Painter, at: Pos2, letter: &str, tokens: &Tokens) {
    let cap = Rect::from_center_size(at, vec2(16.0, 16.0));
    painter.rect(cap, 3.0, tokens.raised, Stroke::new(1.0, tokens.ink3), egui::StrokeKind::Inside);
    painter.text(at, Align2::CENTER_CENTER, letter, sans(11.0), tokens.ink2);
}

/// A tick for what goes, a cross for what does not.
pub fn verdict(painter: &Painter, at: Pos2, goes: bool, ink: Color32) {
    let stroke = Stroke::new(1.8, ink);
    if goes {
        painter.line(vec![at + vec2(-4.0, 0.0), at + vec2(-1.0, 3.5), at + vec2(4.5, -4.0)], stroke);
    } else {
        painter.line_segment([at + vec2(-3.5, -3.5), at + vec2(3.5, 3.5)], stroke);
        painter.line_segment([at + vec2(-3.5, 3.5), at + vec2(3.5, -3.5)], stroke);
    }
}

/// A number in a ring, as on the plan and on paper.
pub fn ring(painter: &Painter, at: Pos2, words: &str, ground: Color32, ink: Color32) {
    let half = vec2((8.5 + 3.0 * words.len().saturating_sub(2) as f32).max(8.5), 8.5);
    let rect = Rect::from_center_size(at, half * 2.0);
    painter.rect(rect, 8.5, ground, Stroke::new(1.2, ink), egui::StrokeKind::Inside);
    painter.text(at, Align2::CENTER_CENTER, words, semibold(11.0), ink);
}

/// A filled note head about 7 by 5 points times `scale`, tilted as engraved.
pub fn head(painter: &Painter, at: Pos2, scale: f32, ink: Color32) {
    painter.add(Shape::convex_polygon(head_outline(at, scale), ink, Stroke::NONE));
}

/// A hollow note head.
pub fn hollow_head(painter: &Painter, at: Pos2, scale: f32, ink: Color32) {
    painter.add(Shape::closed_line(head_outline(at, scale * 0.9), Stroke::new(1.1, ink)));
}

/// The outline of a tilted ellipse, 12 corners.
pub fn head_outline(at: Pos2, scale: f32) -> Vec<Pos2> {
    let (tilt_sin, tilt_cos) = (-0.35_f32).sin_cos();
    (0..12)
        .map(|step| {
            let (sin, cos) = (step as f32 * std::f32::consts::TAU / 12.0).sin_cos();
            let (x, y) = (cos * 3.6 * scale, sin * 2.5 * scale);
            at + vec2(x * tilt_cos - y * tilt_sin, x * tilt_sin + y * tilt_cos)
        })
        .collect()
}

/// A small 8 above or below a hollow head.
pub fn eight(painter: &Painter, at: Pos2, ink: Color32) {
    painter.text(at, Align2::CENTER_CENTER, "8", sans(9.0), ink);
}

/// Heading of a place or panel: serif, with a second text after it on the same baseline.
pub fn heading(ui: &mut egui::Ui, words: &str, beside: &str, tokens: &Tokens) {
    ui.horizontal(|ui| {
        ui.label(egui::RichText::new(words).font(super::serif(size::HEADING)).color(tokens.ink));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.label(egui::RichText::new(beside).font(sans(size::NOTE)).color(tokens.ink2));
        });
    });
}
