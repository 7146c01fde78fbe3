//! The face: tokens, fonts, the style of standard widgets, and marks that several places draw.

pub mod bidi;
pub mod dialog;
pub mod fonts;
mod lines;
pub mod marks;
pub mod motion;
pub mod reorder;
pub mod style;
pub mod tokens;
pub mod widgets;

pub use fonts::{face, sans, semibold, serif, serif_italic, serif_semibold};
pub use tokens::Tokens;

/// Seconds and metres for drawing; the loss of digits is far below a pixel.
pub const fn to_f32(value: f64) -> f32 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen coordinates need no more than single precision"
    )]
    let narrow = value as f32;
    narrow
}
