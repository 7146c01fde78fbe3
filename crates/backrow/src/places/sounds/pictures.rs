//! Wave and spectrogram of the chosen strikes, laid over each other; made beside the frame from their recordings.

use super::look::{look, plot};
use super::{Here, letter};
use crate::background::{Remembered, Stop};
use crate::scene::Scene;
use crate::sound::decoded::sound_of;
use crate::theme::sans;
use crate::theme::tokens::{Tokens, size};
use crate::words::many;
use backrow_core::sound::{Measure, Strike, StrikeKey, Take, TakeKey};
use backrow_sound::picture::{Spectrogram, outline, spectrogram};
use egui::{Color32, ColorImage, RichText, TextureHandle, TextureOptions, Ui, WidgetInfo, vec2};
use egui_plot::{Line, PlotImage, PlotPoint, PlotPoints};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Parts of the time in which the wave is drawn, and of the spectrogram.
const PARTS: usize = 480;
/// Rows of the spectrogram.
const ROWS: usize = 160;
/// What the spectrogram reaches over, Hz.
const REACH_HZ: (f64, f64) = (40.0, 16_000.0);
/// No more of a strike is drawn, seconds.
const LONGEST_S: f64 = 4.0;
/// So far under the loudest place of a strike its spectrogram reaches, dB.
const DEEP_DB: f32 = 70.0;

/// What is drawn of a strike.
struct Picture {
    wave: Vec<(f32, f32)>,
    spectrogram: Option<Spectrogram>,
}

/// All of them on one time.
struct Made {
    lasts_s: f64,
    /// In the order in which they were asked for; a sentence for one whose sound cannot be read.
    each: Vec<Result<Picture, String>>,
}

/// The strikes as they stand in their takes.
type Asked = Vec<(StrikeKey, Arc<Take>, Strike)>;
/// What pictures are remembered by.
type Key = Vec<(StrikeKey, u64, u64)>;
/// What the mixed spectrogram is remembered by: its strikes, which of them are hidden, and the ground.
type Mixed = (Key, Vec<bool>, Color32);

/// Pictures of the strikes that were chosen last.
#[derive(Default)]
pub(super) struct Pictures {
    made: Remembered<Key, Made>,
    mixed: Option<(Mixed, TextureHandle)>,
    /// Those of A, B, C and D that are not drawn for the moment.
    hidden: [bool; super::MOST_LAID],
}

/// Draws the waves, or the spectrograms.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, (is_wave, height): (bool, f32)) {
    let mut own = std::mem::take(&mut view.own.pictures);
    let asked: Asked = view.own.laid.iter().filter_map(|laid| strike(scene, &laid.key)).collect();
    let key: Key =
        asked.iter().map(|(key, _, s)| (key.clone(), s.from_s.to_bits(), s.to_s.to_bits())).collect();
    let folder = scene.folder.map(PathBuf::from);
    let Pictures { made, mixed, hidden } = &mut own;
    let known = made.get(ui.ctx(), "pictures of strikes", &key, || {
        move |stop: &Stop| make(folder.as_deref(), &asked, stop)
    });
    ui.horizontal(|ui| {
        for (nth, hides) in hidden.iter_mut().enumerate().take(view.own.laid.len()) {
            let mut shows = !*hides;
            ui.checkbox(&mut shows, letter(nth)).on_hover_text("Draws this strike, or leaves it out");
            *hides = !shows;
        }
        if !known.is_current {
            ui.label(RichText::new("being drawn …").font(sans(size::NOTE)).color(scene.tokens.ink2));
        }
        for why in known.value.iter().flat_map(|made| &made.each).filter_map(|one| one.as_ref().err()) {
            ui.label(RichText::new(why).font(sans(size::NOTE)).color(scene.tokens.care));
        }
    });
    if let Some(made) = known.value {
        let height = height - 24.0;
        if is_wave {
            waves(ui, &scene.tokens, made, hidden, height);
        } else {
            spectrograms(
                ui,
                &scene.tokens,
                made,
                (mixed, (key, hidden.to_vec(), scene.tokens.sunken)),
                height,
            );
        }
    }
    view.own.pictures = own;
}

fn strike(scene: &Scene<'_>, key: &StrikeKey) -> Option<(StrikeKey, Arc<Take>, Strike)> {
    let name = TakeKey { instrument: key.instrument.clone(), take: key.take.clone() };
    let take = scene.library.takes.get(&name)?;
    Some((key.clone(), Arc::clone(take), take.strikes.get(key.number)?.clone()))
}

fn make(folder: Option<&Path>, asked: &Asked, stop: &Stop) -> Made {
    let lasts_s = asked.iter().map(|(_, _, s)| s.to_s - s.from_s).fold(0.05, f64::max).min(LONGEST_S);
    let each = asked.iter().map(|(_, take, strike)| {
        let folder = folder.filter(|_| !stop.is_asked());
        let folder = folder.ok_or_else(|| "The library is not on disk, so there is no sound.".to_owned())?;
        let (sound, rate) = sound_of(folder, take)?;
        let rate = f64::from(rate);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "frames of a few seconds"
        )]
        let frame = |s: f64| (s.max(0.0) * rate).round() as usize;
        let from = frame(strike.from_s).min(sound.len());
        let to = frame(strike.to_s.min(strike.from_s + lasts_s)).clamp(from, sound.len());
        let mut piece = sound.get(from..to).unwrap_or_default().to_vec();
        piece.resize(frame(lasts_s), 0.0);
        let spectrogram = spectrogram(&piece, rate, (PARTS, ROWS), REACH_HZ);
        Ok(Picture { wave: outline(&piece, PARTS), spectrogram })
    });
    Made { lasts_s, each: each.collect() }
}

/// The outline of each wave, above and below.
fn waves(ui: &mut Ui, tokens: &Tokens, made: &Made, hidden: &[bool], height: f32) {
    let shown = plot("waves of strikes", height, ("s from the strike", "of full scale"), tokens.line).show(
        ui,
        |plot| {
            for (nth, picture) in made.each.iter().enumerate() {
                let Ok(picture) = picture else { continue };
                if hidden.get(nth).copied().unwrap_or(false) {
                    continue;
                }
                let (ink, style) = look(nth);
                let at = |n: usize| made.lasts_s * (n as f64 + 0.5) / PARTS as f64;
                let side = |of: fn(&(f32, f32)) -> f32| -> PlotPoints<'_> {
                    picture.wave.iter().enumerate().map(|(n, part)| [at(n), f64::from(of(part))]).collect()
                };
                for points in [side(|part| part.0), side(|part| part.1)] {
                    plot.line(Line::new(letter(nth), points).color(ink).style(style).width(1.4));
                }
            }
        },
    );
    let says = format!("Waves of {} over {:.1} seconds", many(made.each.len(), "strike"), made.lasts_s);
    shown.response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, says.clone()));
}

fn spectrograms(
    ui: &mut Ui,
    tokens: &Tokens,
    made: &Made,
    (memory, key): (&mut Option<(Mixed, TextureHandle)>, Mixed),
    height: f32,
) {
    if memory.as_ref().is_none_or(|(of, _)| *of != key) {
        let image = mix(made, &key.1, tokens);
        let texture = ui.ctx().load_texture("spectrograms of strikes", image, TextureOptions::LINEAR);
        *memory = Some((key, texture));
    }
    let Some((_, texture)) = memory else { return };
    let (low, high) = (REACH_HZ.0.log2(), REACH_HZ.1.log2());
    let drawn = plot("spectrograms of strikes", height, ("s from the strike", "Hz"), tokens.line)
        .show_grid(false)
        .y_grid_spacer(super::axes::doublings)
        .y_axis_formatter(|mark, _| super::axes::figure(Measure::Pitch, mark.value));
    let shown = drawn.show(ui, |plot| {
        #[expect(clippy::cast_possible_truncation, reason = "seconds and octaves")]
        let wide = vec2(made.lasts_s as f32, (high - low) as f32);
        let middle = PlotPoint::new(made.lasts_s / 2.0, f64::midpoint(low, high));
        plot.image(PlotImage::new("spectrogram", texture.id(), middle, wide));
    });
    let says =
        format!("Spectrograms of {} over {:.1} seconds", many(made.each.len(), "strike"), made.lasts_s);
    shown.response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, says.clone()));
}

/// All that are not hidden over each other: each in its own colour, the stronger the louder.
fn mix(made: &Made, hidden: &[bool], tokens: &Tokens) -> ColorImage {
    let mut image = ColorImage::filled([PARTS, ROWS], tokens.sunken);
    let one_alone =
        (0..made.each.len()).filter(|nth| !hidden.get(*nth).copied().unwrap_or(false)).count() == 1;
    for (nth, picture) in made.each.iter().enumerate() {
        let Some(levels) = picture.as_ref().ok().and_then(|picture| picture.spectrogram.as_ref()) else {
            continue;
        };
        if hidden.get(nth).copied().unwrap_or(false) {
            continue;
        }
        let ink = if one_alone { tokens.ink } else { look(nth).0 };
        let most = levels.db.iter().copied().fold(f32::NEG_INFINITY, f32::max);
        for (at, db) in levels.db.iter().enumerate() {
            let (column, row) = (at / ROWS, at % ROWS);
            let share = ((db - most) / DEEP_DB + 1.0).clamp(0.0, 1.0);
            // Row 0 is the lowest frequency, and the last line of the picture.
            if let Some(pixel) = image.pixels.get_mut((ROWS - 1 - row) * PARTS + column) {
                *pixel = pixel.lerp_to_gamma(ink, share * 0.9);
            }
        }
    }
    image
}
