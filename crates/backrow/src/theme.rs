//! The face: tokens, fonts, the style of standard widgets, and marks that several places draw.

pub mod fonts;
pub mod marks;
pub mod style;
pub mod tokens;

pub use fonts::{face, sans, semibold, serif, serif_italic, serif_semibold};
pub use tokens::Tokens;
