//! The bundled faces, and the ids under which places ask for them.

use egui::{FontData, FontDefinitions, FontFamily, FontId};
use std::sync::Arc;

macro_rules! font {
    ($file:literal) => {
        FontData::from_static(include_bytes!(concat!("../../../../assets/fonts/", $file)))
    };
}

/// Names of the families beside the standard ones.
pub mod face {
    /// Source Sans 3 Semibold.
    pub const SEMIBOLD: &str = "semibold";
    /// Source Serif 4.
    pub const SERIF: &str = "serif";
    /// Source Serif 4 Italic, for musical words and titles of works.
    pub const SERIF_ITALIC: &str = "serif-italic";
    /// Source Serif 4 Semibold.
    pub const SERIF_SEMIBOLD: &str = "serif-semibold";
}

/// Puts the bundled fonts in place of any other; music signs come from one more font, as the text faces lack them. What is
/// laid out with them is set right at the end of each frame (`lines`).
pub fn install(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::empty();
    let all = [
        ("sans", font!("SourceSans3-Regular.ttf")),
        (face::SEMIBOLD, font!("SourceSans3-Semibold.ttf")),
        (face::SERIF, font!("SourceSerif4-Regular.ttf")),
        (face::SERIF_ITALIC, font!("SourceSerif4-Italic.ttf")),
        (face::SERIF_SEMIBOLD, font!("SourceSerif4-Semibold.ttf")),
        ("signs", font!("BackrowSigns-Regular.ttf")),
    ];
    for (name, data) in all {
        fonts.font_data.insert(name.to_owned(), Arc::new(data));
    }
    let with_signs = |first: &str| vec![first.to_owned(), "signs".to_owned(), "sans".to_owned()];
    fonts.families.insert(FontFamily::Proportional, with_signs("sans"));
    fonts.families.insert(FontFamily::Monospace, with_signs("sans"));
    for name in [face::SEMIBOLD, face::SERIF, face::SERIF_ITALIC, face::SERIF_SEMIBOLD] {
        fonts.families.insert(FontFamily::Name(name.into()), with_signs(name));
    }
    ctx.set_fonts(fonts);
    ctx.add_plugin(super::lines::Lines);
}

/// Source Sans 3 of that size, points.
pub const fn sans(size: f32) -> FontId {
    FontId::proportional(size)
}

fn named(name: &'static str, size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(name.into()))
}

/// Source Sans 3 Semibold of that size, points.
pub fn semibold(size: f32) -> FontId {
    named(face::SEMIBOLD, size)
}

/// Source Serif 4 of that size, points.
pub fn serif(size: f32) -> FontId {
    named(face::SERIF, size)
}

/// Source Serif 4 Italic of that size, points.
pub fn serif_italic(size: f32) -> FontId {
    named(face::SERIF_ITALIC, size)
}

/// Source Serif 4 Semibold of that size, points.
pub fn serif_semibold(size: f32) -> FontId {
    named(face::SERIF_SEMIBOLD, size)
}
