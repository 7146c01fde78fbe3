//! The instrument from the player's side: low end left, naturals near.

use super::Shown;
use super::asked::Asked;
use crate::places::bar_view::Here;
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size};
use crate::theme::{marks, sans, semibold, serif_italic};
use backrow_core::collection::{Frame, Layout};
use backrow_core::compass::PitchSet;
use backrow_core::music::Line;
use backrow_core::pitch::{KeyNumber, Spelled};
use egui::{Align2, Painter, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// One bar on the drawing.
struct Drawn {
    key: KeyNumber,
    rect: Rect,
    upper: bool,
    frame: usize,
}

/// What came of drawing.
#[derive(Default)]
pub(super) struct Outcome {
    /// The sounding key of the bar that was clicked.
    pub(super) clicked: Option<KeyNumber>,
    /// Where the bars of the notes before and next lie.
    pub(super) before: Option<Rect>,
    pub(super) next: Option<Rect>,
}

/// Draws the bars.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &Scene<'_>,
    view: &Here<'_>,
    shown: &Shown,
    answer: &Asked,
    rect: Rect,
) -> Outcome {
    let tokens = scene.tokens;
    let bars = lay(shown, rect.shrink2(vec2(8.0, 26.0)));
    let line = shown.line.as_ref().map(|(_, line)| line);
    let asks = line.map_or(PitchSet::EMPTY, Line::sounding);
    let notes: Vec<_> = line.map(Line::notes_in_time).unwrap_or_default();
    let near = |by: usize| line.zip(notes.get(by)).and_then(|(line, note)| line.sounding_of(note));
    let next = near(view.own.step.map_or(0, |at| at + 1));
    let before = view.own.step.and_then(|at| at.checked_sub(1)).and_then(near);
    let mut out = Outcome::default();
    let painter = ui.painter().clone();
    for (at, bar) in bars.iter().enumerate() {
        let response = ui.interact(bar.rect, ui.scope_id().with(("bar", at)), Sense::click());
        let written = written_name(shown, bar.key).map_or_else(String::new, |note| note.to_string());
        let drums = shown.instrument.layout == Layout::Drums;
        let lit = (drums || answer.key() == Some(bar.key))
            && answer.place.as_ref().is_some_and(|place| place.frame == bar.frame);
        response
            .widget_info(|| WidgetInfo::selected(egui::Role::Button, true, lit, format!("Bar {written}")));
        let dead =
            shown.instrument.frames.get(bar.frame).is_some_and(|frame| !frame.compass().contains(bar.key));
        // A drum that the plan leaves out is not asked for.
        let idle = shown.drums.as_ref().is_some_and(|drums| drums.now.get(bar.frame) == Some(&None));
        let asked = asks.contains(bar.key) && !idle;
        let look = Look { lit, asked, dead, hovered: response.hovered() };
        paint(&painter, shown, bar, look, &tokens);
        if next == Some(bar.key) {
            out.next = out.next.or(Some(bar.rect));
        } else if before == Some(bar.key) {
            out.before = out.before.or(Some(bar.rect));
        }
        let edge = if next == Some(bar.key) {
            3.0
        } else if before == Some(bar.key) {
            1.0
        } else {
            0.0
        };
        if edge > 0.0 && !lit {
            let ink = if edge > 2.0 { tokens.ink } else { tokens.ink2 };
            if drums {
                painter.circle_stroke(bar.rect.center(), bar.rect.width() / 2.0, Stroke::new(edge, ink));
            } else {
                painter.rect_stroke(bar.rect, 1.0, Stroke::new(edge, ink), StrokeKind::Inside);
            }
        }
        if lit || bar.rect.width() > 26.0 || (bar.key.pitch_class() == 0 && !bar.upper) {
            let ink = if dead {
                tokens.ink
            } else if lit {
                tokens.on_fill()
            } else {
                label_ink(shown, look, &tokens)
            };
            let font = if lit { semibold(size::TEXT) } else { sans(size::NOTE) };
            let up = if drums { 12.0 } else { 4.0 };
            marks::text(
                &painter,
                bar.rect.center_bottom() - vec2(0.0, up),
                Align2::CENTER_BOTTOM,
                &written,
                font,
                ink,
            );
        }
        if response
            .on_hover_text(format!("written {written}, sounding {}", sounding_name(shown, bar.key)))
            .clicked()
        {
            out.clicked = Some(bar.key);
        }
    }
    brackets(&painter, &bars, (shown, asks), answer, &tokens);
    foot(&painter, shown, rect, &tokens, asks);
    out
}

/// How a bar is drawn.
#[derive(Clone, Copy)]
#[expect(clippy::struct_excessive_bools, reason = "four independent facts about one bar")]
struct Look {
    lit: bool,
    asked: bool,
    dead: bool,
    hovered: bool,
}

fn paint(painter: &Painter, shown: &Shown, bar: &Drawn, look: Look, tokens: &Tokens) {
    let (fill, quiet) = (fill(shown, look, tokens), quiet(shown, tokens));
    if look.dead {
        let (top, bottom) = bar.rect.split_top_bottom_at_fraction(0.2);
        painter.rect_filled(top, 0.0, quiet);
        painter.rect_filled(bottom.split_top_bottom_at_fraction(0.75).1, 0.0, quiet);
        painter.rect_stroke(
            bar.rect,
            0.0,
            Stroke::new(1.5, if look.asked || look.lit { tokens.clash } else { tokens.line }),
            StrokeKind::Inside,
        );
        return;
    }
    if shown.instrument.layout == Layout::Drums {
        drum_head(painter, shown, bar, (fill, look), tokens);
        return;
    }
    painter.rect_filled(bar.rect, 1.0, fill);
    if look.hovered {
        painter.rect_stroke(bar.rect, 1.0, Stroke::new(2.0, tokens.ink), StrokeKind::Inside);
    } else if tokens.edge(fill) != fill {
        painter.rect_stroke(bar.rect, 1.0, Stroke::new(1.0, tokens.edge(fill)), StrokeKind::Inside);
    }
    if look.asked || look.lit {
        let ink = if look.lit { tokens.on_fill() } else { label_ink(shown, look, tokens) };
        marks::head(painter, bar.rect.center(), (bar.rect.width() / 16.0).clamp(0.8, 2.0), ink);
    }
}

/// A drum from above, with its size.
fn drum_head(
    painter: &Painter,
    shown: &Shown,
    bar: &Drawn,
    (fill, look): (egui::Color32, Look),
    tokens: &Tokens,
) {
    let radius = bar.rect.width() / 2.0;
    let rim = if look.hovered { 3.0 } else { 1.5 };
    painter.circle(bar.rect.center(), radius, fill, Stroke::new(rim, tokens.ink2));
    let ink = if look.lit { tokens.on_fill() } else { label_ink(shown, look, tokens) };
    if look.asked || look.lit {
        marks::head(painter, bar.rect.center(), (radius / 32.0).clamp(0.8, 2.0), ink);
    }
    let name = shown.instrument.frames.get(bar.frame).map_or("", |frame| frame.name.as_str());
    let at = bar.rect.center_top() + vec2(0.0, 10.0);
    marks::text(painter, at, Align2::CENTER_TOP, name, sans(size::NOTE), ink);
}

/// What bars have that no line asks for while one is current.
fn quiet(shown: &Shown, tokens: &Tokens) -> egui::Color32 {
    let material = tokens.material(shown.instrument.material);
    Tokens::mix(material, tokens.ground, if tokens.dark { 0.52 } else { 0.3 })
}

fn fill(shown: &Shown, look: Look, tokens: &Tokens) -> egui::Color32 {
    match look {
        Look { lit: true, .. } => tokens.accent,
        Look { asked: false, .. } if shown.line.is_some() => quiet(shown, tokens),
        _ => tokens.material(shown.instrument.material),
    }
}

/// Ink that reads on the bar.
fn label_ink(shown: &Shown, look: Look, tokens: &Tokens) -> egui::Color32 {
    Tokens::on(fill(shown, look, tokens))
}

/// Where each bar lies: frames side by side from the left, two rows or one, in a taper.
fn lay(shown: &Shown, rect: Rect) -> Vec<Drawn> {
    let frames = &shown.instrument.frames;
    let two = shown.instrument.layout == Layout::TwoRows;
    let drums = shown.instrument.layout == Layout::Drums;
    let slots: Vec<f32> = frames.iter().map(|frame| if drums { 3.0 } else { slots(frame, two) }).collect();
    let all: f32 = slots.iter().sum::<f32>() + 0.7 * frames.len().saturating_sub(1) as f32;
    let pitch = (rect.width() / all.max(1.0)).min(72.0);
    let mut left = rect.center().x - all * pitch / 2.0;
    let mut drawn = Vec::new();
    let order: Vec<usize> =
        if shown.is_turned() { (0..frames.len()).rev().collect() } else { (0..frames.len()).collect() };
    for at in order {
        let Some(frame) = frames.get(at) else { continue };
        let width = slots.get(at).copied().unwrap_or(0.0) * pitch;
        let place = Rect::from_min_size(pos2(left, rect.top()), vec2(width, rect.height()));
        if drums {
            drum(&mut drawn, shown, frame, at, place);
        } else if two {
            two_rows(&mut drawn, frame, at, place, pitch);
        } else {
            one_row(&mut drawn, shown, frame, at, place, pitch);
        }
        left += width + 0.7 * pitch;
    }
    drawn
}

/// A drum is one shape, with the pitch that it is tuned to; without a plan, its lowest.
fn drum(drawn: &mut Vec<Drawn>, shown: &Shown, frame: &Frame, at: usize, place: Rect) {
    let now = shown.drums.as_ref().and_then(|drums| drums.now.get(at).copied().flatten());
    if let Some(key) = now.or(frame.bars().lowest()) {
        let side = place.width().min(place.height()) * 0.9;
        drawn.push(Drawn {
            key,
            rect: Rect::from_center_size(place.center(), vec2(side, side)),
            upper: false,
            frame: at,
        });
    }
}

fn slots(frame: &Frame, two: bool) -> f32 {
    if two {
        (natural_slot(frame.bars().highest()) - natural_slot(frame.bars().lowest())) + 1.0
    } else {
        frame.bars().len() as f32
    }
}

/// The place of a key along the naturals; accidentals half-way.
fn natural_slot(key: Option<KeyNumber>) -> f32 {
    const PLACES: [f32; 12] = [0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0];
    let Some(key) = key else { return 0.0 };
    let octave = f32::from(i16::try_from(key.octave()).unwrap_or(0));
    octave * 7.0 + PLACES.get(usize::from(key.pitch_class())).copied().unwrap_or(0.0)
}

fn two_rows(drawn: &mut Vec<Drawn>, frame: &Frame, at: usize, place: Rect, pitch: f32) {
    let low = natural_slot(frame.bars().lowest());
    let waist = place.top() + place.height() * 0.5;
    for key in frame.bars().iter() {
        let slot = natural_slot(Some(key)) - low;
        let x = place.left() + (slot + 0.5) * pitch;
        // A straight taper: the highest bar has half the length of the lowest.
        let length = place.height() * 0.49 * (1.0 - 0.5 * slot * pitch / place.width().max(1.0));
        let width = pitch * 0.9;
        let rect = if key.is_natural() {
            Rect::from_min_size(pos2(x - width / 2.0, waist + 2.0), vec2(width, length))
        } else {
            Rect::from_min_size(
                pos2(x - width / 2.0, waist - 2.0 - length * 0.92),
                vec2(width, length * 0.92),
            )
        };
        drawn.push(Drawn { key, rect, upper: !key.is_natural(), frame: at });
    }
}

fn one_row(drawn: &mut Vec<Drawn>, shown: &Shown, frame: &Frame, at: usize, place: Rect, pitch: f32) {
    let bars: Vec<KeyNumber> = match shown.instrument.layout {
        Layout::Rack if !frame.order.is_empty() => frame.order.clone(),
        _ => frame.bars().iter().collect(),
    };
    for (slot, key) in bars.into_iter().enumerate() {
        let x = place.left() + (slot as f32 + 0.5) * pitch;
        let share = f32::from(key.number()) / 127.0;
        let length = (place.height() * (1.15 - share)).clamp(40.0, place.height() * 0.8);
        let rect = Rect::from_min_size(pos2(x - pitch * 0.45, place.top() + 24.0), vec2(pitch * 0.9, length));
        drawn.push(Drawn { key, rect, upper: false, frame: at });
    }
}

/// Brackets over the twos and threes of the upper row.
fn brackets(
    painter: &Painter,
    bars: &[Drawn],
    (shown, asks): (&Shown, PitchSet),
    answer: &Asked,
    tokens: &Tokens,
) {
    if shown.instrument.layout != Layout::TwoRows {
        return;
    }
    let group = |bar: &Drawn| (bar.frame, bar.key.octave(), bar.key.pitch_class() >= 5);
    let upper: Vec<&Drawn> = bars.iter().filter(|bar| bar.upper).collect();
    for run in upper.chunk_by(|a, b| group(a) == group(b)) {
        let (Some(first), Some(last)) = (run.first(), run.last()) else { continue };
        let lit = answer.place.is_some() && run.iter().any(|bar| answer.key() == Some(bar.key));
        let ink = if lit { tokens.accent } else { tokens.ink3 };
        let top = first.rect.top().min(last.rect.top()) - 6.0;
        let line = vec![
            pos2(first.rect.left(), top + 5.0),
            pos2(first.rect.left(), top),
            pos2(last.rect.right(), top),
            pos2(last.rect.right(), top + 5.0),
        ];
        painter.line(line, Stroke::new(if lit { 2.0 } else { 1.0 }, ink));
        let word = match run.len() {
            1 => "one",
            2 => "two",
            _ => "three",
        };
        let at = pos2(f32::midpoint(first.rect.left(), last.rect.right()), top - 1.0);
        marks::text(
            painter,
            at,
            Align2::CENTER_BOTTOM,
            word,
            serif_italic(13.0),
            if lit { tokens.accent } else { tokens.ink2 },
        );
        if lit {
            for (count, bar) in run.iter().enumerate() {
                let at = bar.rect.center_top() + vec2(0.0, 4.0);
                let own = Look {
                    lit: answer.key() == Some(bar.key),
                    asked: asks.contains(bar.key),
                    dead: false,
                    hovered: false,
                };
                let ink = label_ink(shown, own, tokens);
                marks::text(
                    painter,
                    at,
                    Align2::CENTER_TOP,
                    &(count + 1).to_string(),
                    semibold(size::TEXT),
                    ink,
                );
            }
        }
    }
}

/// What is written for a bar: as the line writes it, where it does.
pub(super) fn written_name(shown: &Shown, key: KeyNumber) -> Option<Spelled> {
    let usual = shown.octave.written(key)?;
    let own = shown.line.as_ref().map(|(_, line)| line.spelling().of(key).moved_to(usual.key()));
    Some(own.unwrap_or(usual))
}

/// A bar's pitch as the line spells it; by its usual name where no line is shown.
fn sounding_name(shown: &Shown, key: KeyNumber) -> Spelled {
    shown.line.as_ref().map_or_else(|| Spelled::usual(key), |(_, line)| line.spelling().of(key))
}

fn foot(painter: &Painter, shown: &Shown, rect: Rect, tokens: &Tokens, asks: PitchSet) {
    let lacks = asks.minus(shown.instrument.compass());
    let spelling = shown.line.as_ref().map(|(_, line)| line.spelling()).unwrap_or_default();
    let low = if shown.is_turned() { "right" } else { "left" };
    let mut words = format!("as the player sees it, low end at the {low}");
    if !lacks.is_empty() {
        words = format!("{words}; the line also needs {}, sounding", spelling.words(lacks));
    }
    let ink = if lacks.is_empty() { tokens.ink2 } else { tokens.clash };
    marks::text(painter, rect.left_bottom(), Align2::LEFT_BOTTOM, &words, sans(size::NOTE), ink);
    if shown.instrument.frames.len() > 1 {
        let names: Vec<String> = shown
            .instrument
            .frames
            .iter()
            .enumerate()
            .map(|(at, f)| if f.name.is_empty() { format!("frame {}", at + 1) } else { f.name.clone() })
            .collect();
        let names: Vec<String> = if shown.is_turned() { names.into_iter().rev().collect() } else { names };
        marks::text(
            painter,
            rect.right_bottom(),
            Align2::RIGHT_BOTTOM,
            &format!("from the left: {}", names.join(", ")),
            sans(size::NOTE),
            tokens.ink2,
        );
    }
}
