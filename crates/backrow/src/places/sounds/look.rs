//! How what is laid over each other looks, and the empty picture that it is drawn on.

use crate::theme::sans;
use crate::theme::tokens::{Tokens, size};
use egui::{Color32, RichText};
use egui_plot::{LineStyle, Plot};

/// A chosen strike's colour and line; a letter always stands with it.
pub(super) fn look(nth: usize) -> (Color32, LineStyle) {
    let order = u32::try_from(nth).unwrap_or(0);
    let style = match nth % 4 {
        0 => LineStyle::Solid,
        1 => LineStyle::dashed_loose(),
        2 => LineStyle::dotted_dense(),
        _ => LineStyle::dashed_dense(),
    };
    // The first four of the colour-blind-safe set that read on both grounds.
    (Tokens::player([3, 4, 2, 5].get(order as usize % 4).copied().unwrap_or(3)), style)
}

/// An empty picture of that height in points, with the words along its axes.
pub(super) fn plot<'a>(id: &str, height: f32, (across, up): (&str, &str), grid: Color32) -> Plot<'a> {
    let words = |text: &str| RichText::new(text.to_owned()).font(sans(size::NOTE));
    Plot::new(id.to_owned())
        .height(height)
        .allow_boxed_zoom(false)
        .allow_scroll(false)
        .show_x(false)
        .show_y(false)
        .grid_color(grid)
        .x_axis_label(words(across))
        .y_axis_label(words(up))
}
