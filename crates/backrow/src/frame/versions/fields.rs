//! The fields in which two versions differ, each with its two values to choose from.

use super::lines::halves;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::{sans, semibold};
use backrow_files::library::Difference;
use egui::{Align2, RichText, Ui, vec2};

/// How much of a value is shown, letters; the rest is in the hint.
const SHOWN: usize = 80;
/// How much of a value the hint shows.
const HINTED: usize = 2_000;

/// The differences, each with the value that stands and the other; `takes` says which of them are taken from the other version.
pub(super) fn fields(
    ui: &mut Ui,
    tokens: &Tokens,
    heads: &[String; 2],
    differences: &[Difference],
    takes: &mut [bool],
    height: f32,
) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 22.0), egui::Sense::hover());
    for (half, words) in halves(rect).into_iter().zip(heads) {
        let font = semibold(size::NOTE);
        crate::theme::marks::text_within(ui.painter(), half, Align2::LEFT_CENTER, words, font, tokens.ink);
    }
    if differences.is_empty() {
        let words = "The two hold the same; only their layout or remarks differ.";
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
    }
    let scroll = egui::ScrollArea::vertical().id_salt("fields").auto_shrink([false, true]).max_height(height);
    scroll.show(ui, |ui| {
        for (one, takes) in differences.iter().zip(takes) {
            let name = one.at.join(" › ");
            ui.label(RichText::new(&name).font(sans(size::NOTE)).color(tokens.ink2));
            let wide = (ui.available_width() - 12.0) / 2.0;
            ui.horizontal(|ui| {
                ui.spacing_mut().item_spacing.x = 12.0;
                for (is_other, value) in [(false, &one.stands), (true, &one.other)] {
                    let words = shown(value.as_deref(), SHOWN);
                    // The mark says which is chosen, as well as the colour.
                    let mark = if *takes == is_other { "●" } else { "○" };
                    let button =
                        egui::Button::selectable(*takes == is_other, format!("{mark} {words}")).truncate();
                    let response = ui.add_sized(vec2(wide, ui.spacing().interact_size.y), button);
                    let side = if is_other { "other version" } else { "as it stands" };
                    response.widget_info(|| {
                        let label = format!("{name}, {side}: {words}");
                        egui::WidgetInfo::selected(egui::Role::RadioButton, true, *takes == is_other, label)
                    });
                    if response.on_hover_text(shown(value.as_deref(), HINTED)).clicked() {
                        *takes = is_other;
                    }
                }
            });
            ui.add_space(space::XS);
        }
    });
}

/// A value as it is shown: quotation marks around a plain text go, and no more than so many letters are shown.
fn shown(value: Option<&str>, most: usize) -> String {
    let Some(value) = value else { return "nothing".to_owned() };
    let plain = value.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    let plain = plain.filter(|text| !text.contains('"')).unwrap_or(value);
    if plain.chars().count() <= most {
        return plain.to_owned();
    }
    plain.chars().take(most).chain(['…']).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_shown_as_words() {
        assert_eq!(shown(None, 9), "nothing");
        assert_eq!(shown(Some("\"Marimba 1\""), 9), "Marimba 1");
        assert_eq!(shown(Some("[\"a\", \"b\"]"), 20), "[\"a\", \"b\"]");
        assert_eq!(shown(Some("0123456789"), 4), "0123…");
    }
}
