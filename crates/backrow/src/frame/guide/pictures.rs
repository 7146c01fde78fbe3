//! The guide's pictures: they are in the program, as its text is; each is read when it is first shown, and held while the guide is open.

use crate::theme::tokens::{Tokens, space};
use egui::{ColorImage, TextureFilter, TextureHandle, TextureOptions, Ui, WidgetInfo};
use std::collections::BTreeMap;

macro_rules! files {
    ($($name:literal)*) => {
        const FILES: &[(&str, &[u8])] = &[$((
            concat!("pictures/", $name, ".png"),
            include_bytes!(concat!("../../../../../docs/guide/pictures/", $name, ".png")),
        ),)*];
    };
}

files! { "bar-view" "collection" "compass" "floor" "season" "section" "sounds" "week" "works" }

/// The pictures that were shown.
#[derive(Default)]
pub(super) struct Pictures {
    held: BTreeMap<&'static str, Option<TextureHandle>>,
}

/// A line of a page that is a picture: its words and its file.
fn named(line: &str) -> Option<(&str, &str)> {
    line.trim().strip_prefix("![")?.strip_suffix(')')?.split_once("](")
}

impl Pictures {
    /// Shows the picture that a line names, as wide as the page.
    pub(super) fn show(&mut self, ui: &mut Ui, tokens: &Tokens, line: &str) {
        let Some((words, file)) = named(line) else { return };
        let Some((name, bytes)) = FILES.iter().find(|(name, _)| *name == file).copied() else { return };
        let held = self.held.entry(name).or_insert_with(|| texture(ui.ctx(), name, bytes));
        let Some(texture) = held else { return };
        let natural = texture.size_vec2();
        let scale = (ui.available_width() / natural.x.max(1.0)).min(1.0);
        let image = egui::Image::new(&*texture).fit_to_exact_size(natural * scale);
        let shown = ui.add(image.alt_text(words));
        shown.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, format!("Picture of {words}")));
        // Its ground is the page's own.
        let edge = egui::Stroke::new(1.0, tokens.line);
        ui.painter().rect_stroke(shown.rect, 0.0, edge, egui::StrokeKind::Inside);
        ui.add_space(space::S);
    }
}

fn texture(ctx: &egui::Context, name: &str, bytes: &[u8]) -> Option<TextureHandle> {
    let picture = image::load_from_memory(bytes).ok()?.to_rgba8();
    let size = [picture.width() as usize, picture.height() as usize];
    let picture = ColorImage::from_rgba_unmultiplied(size, picture.as_raw());
    // It is shown at about half its size, and its letters should stay letters.
    let options = TextureOptions { mipmap_mode: Some(TextureFilter::Linear), ..TextureOptions::LINEAR };
    Some(ctx.load_texture(format!("guide {name}"), picture, options))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_picture_that_a_page_names_is_in_the_program_and_can_be_read() {
        let mut shown = 0;
        for page in super::super::PAGES {
            for line in page.text.lines().filter(|line| line.starts_with("![")) {
                let (_, file) = named(line).unwrap();
                let (_, bytes) = FILES.iter().find(|(name, _)| *name == file).expect(file);
                assert!(image::load_from_memory(bytes).is_ok(), "{file}");
                shown += 1;
            }
        }
        assert_eq!(shown, FILES.len());
    }
}
