//! Sets right what the window's library lays out wrongly, for every text in every place at once, at the end of a frame: names that are
//! written from the right, and a number that is parted from its unit where a line breaks.
//!
//! The library shapes each word in its own direction but puts one behind the other from the left, and it breaks lines at the thin
//! no-break space (U+202F), which the Unicode Standard forbids (Annex 14, class GL). A frame without such text costs a look at each text.

use super::bidi;
use egui::epaint::ClippedShape;
use egui::epaint::text::{ByteIndex, FontsView, Galley, LayoutJob, LayoutSection, TextFormat};
use egui::layers::{PaintList, ShapeIdx};
use egui::{Context, Id, LayerId, Rect, Shape, Ui};
use std::ops::Range;
use std::sync::Arc;

/// The space between a number and its unit.
const THIN: char = '\u{202F}';
/// One at which the library does not break; set at half the size it is as wide as the thin one.
const FIRM: &str = "\u{A0}";

/// Lays lines out anew where they need it.
pub(super) struct Lines;

impl egui::Plugin for Lines {
    fn debug_name(&self) -> &'static str {
        "lines"
    }

    fn on_end_pass(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        let field = focused_field(&ctx);
        if let Some((id, rect)) = field {
            hold_the_cursor(&ctx, id, rect);
        }
        for layer in layers(&ctx) {
            for (at, mut clipped) in odd_ones(&ctx, layer) {
                let set =
                    ctx.fonts_mut(|fonts| set_right(fonts, &mut clipped.shape, field.map(|(_, rect)| rect)));
                if set {
                    ctx.graphics_mut(|all| {
                        all.entry(layer).mutate_shape(ShapeIdx(at), |there| *there = clipped);
                    });
                }
            }
        }
    }
}

fn layers(ctx: &Context) -> Vec<LayerId> {
    let mut found: Vec<LayerId> = ctx.memory(|memory| memory.layer_ids().collect());
    if !found.contains(&LayerId::background()) {
        found.push(LayerId::background());
    }
    found
}

/// The shapes of a layer that hold a text to be looked at more closely.
fn odd_ones(ctx: &Context, layer: LayerId) -> Vec<(usize, ClippedShape)> {
    let of_list = |list: &PaintList| {
        let all = list.all_entries().enumerate();
        all.filter(|(_, clipped)| is_odd(&clipped.shape)).map(|(at, clipped)| (at, clipped.clone())).collect()
    };
    ctx.graphics(|all| all.get(layer).map(of_list).unwrap_or_default())
}

fn is_odd(shape: &Shape) -> bool {
    match shape {
        Shape::Text(text) => parts_a_unit(&text.galley) || bidi::has_right_to_left(&text.galley.job.text),
        Shape::Vec(shapes) => shapes.iter().any(is_odd),
        _ => false,
    }
}

fn parts_a_unit(galley: &Galley) -> bool {
    let ends = |row: &egui::epaint::text::PlacedRow| row.glyphs.last().is_some_and(|glyph| glyph.chr == THIN);
    galley.rows.len() > 1 && galley.rows.iter().any(ends)
}

/// Whether something was changed. What is being typed stays in the library's order, by which its cursor stands.
fn set_right(fonts: &mut FontsView<'_>, shape: &mut Shape, field: Option<Rect>) -> bool {
    match shape {
        Shape::Text(text) => {
            let anew = laid_out(fonts, &text.galley, field.is_some_and(|field| is_in(field, text)));
            let changed = anew.is_some();
            if let Some(galley) = anew {
                text.galley = galley;
            }
            changed
        }
        Shape::Vec(shapes) => {
            let mut changed = false;
            for shape in shapes {
                changed |= set_right(fonts, shape, field);
            }
            changed
        }
        _ => false,
    }
}

/// A field's text may begin outside of it, where it is longer than the field.
fn is_in(field: Rect, text: &egui::epaint::TextShape) -> bool {
    field.y_range().contains(text.pos.y) && text.galley.rect.translate(text.pos.to_vec2()).intersects(field)
}

fn laid_out(fonts: &mut FontsView<'_>, galley: &Arc<Galley>, typed: bool) -> Option<Arc<Galley>> {
    if typed {
        return None;
    }
    let whole = if parts_a_unit(galley) { with_firm_spaces(fonts, galley) } else { None };
    let now = whole.as_ref().unwrap_or(galley);
    let turned = bidi::has_right_to_left(&now.job.text).then(|| turned(fonts, now)).flatten();
    turned.or(whole)
}

/// Numbers and their units on one line, where this takes no more lines than there is room for.
fn with_firm_spaces(fonts: &mut FontsView<'_>, galley: &Galley) -> Option<Arc<Galley>> {
    let job = &galley.job;
    let mut anew = empty(job);
    anew.wrap = job.wrap.clone();
    for section in &job.sections {
        let mut leading = section.leading_space;
        for part in job.text.get(bytes(section))?.split_inclusive(THIN) {
            let words = part.strip_suffix(THIN);
            push(&mut anew, words.unwrap_or(part), leading, section.format.clone());
            if words.is_some() {
                let mut format = section.format.clone();
                format.line_height.get_or_insert(fonts.row_height(&format.font_id));
                format.font_id.size /= 2.0;
                push(&mut anew, FIRM, 0.0, format);
            }
            leading = 0.0;
        }
    }
    let anew = fonts.layout_job(anew);
    (anew.rows.len() <= galley.rows.len() && anew.elided == galley.elided).then_some(anew)
}

/// The same lines, each with its pieces as they are seen from the left.
fn turned(fonts: &mut FontsView<'_>, galley: &Galley) -> Option<Arc<Galley>> {
    let job = &galley.job;
    let lines = lines_of(galley)?;
    let last = lines.len().checked_sub(1)?;
    let mut anew = empty(job);
    for (at, line) in lines.into_iter().enumerate() {
        if at > 0 {
            let format = anew.sections.last().map(|section| section.format.clone())?;
            push(&mut anew, "\n", 0.0, format);
        }
        if at == last && galley.elided {
            put_cut(fonts, &mut anew, job, line);
        } else {
            put_line(&mut anew, job, line, None);
        }
    }
    anew.break_on_newline = true;
    Some(fonts.layout_job(anew))
}

/// The last line of a text that goes on: as many of its letters as there is room for, from the one that is read first.
fn put_cut(fonts: &mut FontsView<'_>, anew: &mut LayoutJob, job: &LayoutJob, line: Range<usize>) {
    let sign = job.wrap.overflow_character;
    let text = job.text.get(line.clone()).unwrap_or_default();
    let ends: Vec<usize> = text.char_indices().map(|(at, _)| line.start + at).collect();
    let mut fits = |end: usize| {
        let mut tried = empty(job);
        tried.halign = egui::Align::LEFT;
        put_line(&mut tried, job, line.start..end, sign);
        fonts.layout_job(tried).rect.width() <= job.effective_wrap_width()
    };
    let kept = ends.partition_point(|end| fits(*end));
    let end = kept.checked_sub(1).and_then(|at| ends.get(at)).copied().unwrap_or(line.start);
    put_line(anew, job, line.start..end, sign);
}

/// The pieces of one line, cut where the format changes, and the sign that it goes on at the end at which reading does.
fn put_line(anew: &mut LayoutJob, job: &LayoutJob, line: Range<usize>, sign: Option<char>) {
    let from_right = bidi::is_from_right(&job.text);
    let leads = job.sections.first().filter(|_| line.start == 0).map_or(0.0, |section| section.leading_space);
    let end = line.end;
    let mut pieces = Vec::new();
    for piece in bidi::pieces(&job.text, line) {
        let mut cut: Vec<(String, TextFormat)> = Vec::new();
        for section in &job.sections {
            let of_section = bytes(section);
            let (from, to) = (piece.range.start.max(of_section.start), piece.range.end.min(of_section.end));
            if from < to {
                let part = bidi::Piece { range: from..to, sort: piece.sort };
                cut.push((bidi::words(&job.text, &part).into_owned(), section.format.clone()));
            }
        }
        if piece.sort != bidi::Sort::Plain {
            cut.reverse();
        }
        pieces.append(&mut cut);
    }
    let format =
        job.sections.iter().rev().find(|section| bytes(section).start <= end).map(|s| s.format.clone());
    if let Some((sign, format)) = sign.zip(format) {
        let at = if from_right { 0 } else { pieces.len() };
        pieces.insert(at, (sign.to_string(), format));
    }
    for (at, (words, format)) in pieces.into_iter().enumerate() {
        push(anew, &words, if at == 0 { leads } else { 0.0 }, format);
    }
}

/// The text of each row. A word from the right has more glyphs in a row than letters, so rows are counted by their spaces; `None` where
/// one ends within a word and that cannot be told.
fn lines_of(galley: &Galley) -> Option<Vec<Range<usize>>> {
    let text = &galley.job.text;
    let mut lines = Vec::new();
    let mut from = 0;
    for (at, row) in galley.rows.iter().enumerate() {
        let rest = text.get(from..)?;
        let to = if at + 1 == galley.rows.len() || row.ends_with_newline {
            let newline = if galley.job.break_on_newline { rest.find('\n') } else { None };
            newline.map_or(text.len(), |newline| from + newline)
        } else {
            let spaces = row.glyphs.iter().filter(|glyph| glyph.chr.is_whitespace()).count();
            let (last, space) =
                rest.char_indices().filter(|(_, c)| c.is_whitespace()).nth(spaces.checked_sub(1)?)?;
            let to = from + last + space.len_utf8();
            let behind =
                row.glyphs.iter().rev().take_while(|glyph| !glyph.chr.is_whitespace()).map(|glyph| glyph.chr);
            let behind: String = behind.collect::<Vec<_>>().into_iter().rev().collect();
            if !text.get(to..)?.starts_with(&behind) || bidi::has_right_to_left(&behind) {
                return None;
            }
            to + behind.len()
        };
        lines.push(from..to);
        from = to + usize::from(row.ends_with_newline);
    }
    Some(lines)
}

/// A job like that, with no text and as wide as it comes.
fn empty(job: &LayoutJob) -> LayoutJob {
    LayoutJob {
        text: String::new(),
        sections: Vec::new(),
        wrap: egui::epaint::text::TextWrapping::no_max_width(),
        ..job.clone()
    }
}

/// A section of its own, even where the one before has the same format: what is one section is shaped as one.
fn push(job: &mut LayoutJob, words: &str, leading_space: f32, format: TextFormat) {
    let start = ByteIndex(job.text.len());
    job.text.push_str(words);
    job.sections.push(LayoutSection { leading_space, byte_range: start..ByteIndex(job.text.len()), format });
}

fn bytes(section: &LayoutSection) -> Range<usize> {
    section.byte_range.start.0..section.byte_range.end.0
}

fn focused_field(ctx: &Context) -> Option<(Id, Rect)> {
    let id = ctx.memory(egui::Memory::focused)?;
    egui::TextEdit::load_state(ctx, id)?;
    Some((id, ctx.read_response(id)?.rect))
}

/// The library counts more places for a cursor in a word from the right than the word has letters; one behind the end is put at the
/// end, or taking a letter away would do nothing at first.
fn hold_the_cursor(ctx: &Context, id: Id, rect: Rect) {
    let letters = layers(ctx).into_iter().find_map(|layer| {
        let of_list = |list: &PaintList| {
            list.all_entries().find_map(|clipped| match &clipped.shape {
                Shape::Text(text) if is_in(rect, text) && bidi::has_right_to_left(&text.galley.job.text) => {
                    Some(text.galley.job.text.chars().count())
                }
                _ => None,
            })
        };
        ctx.graphics(|all| all.get(layer).and_then(of_list))
    });
    let Some((letters, mut state)) = letters.zip(egui::TextEdit::load_state(ctx, id)) else { return };
    let Some(mut range) = state.cursor.char_range() else { return };
    let before = range;
    range.primary.index.0 = range.primary.index.0.min(letters);
    range.secondary.index.0 = range.secondary.index.0.min(letters);
    if range != before {
        state.cursor.set_char_range(Some(range));
        state.store(ctx, id);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::theme::fonts;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable;

    /// What is drawn, from the left: a row a string.
    fn drawn(h: &Harness<'_, impl Sized>) -> Vec<String> {
        fn of(shape: &Shape, into: &mut Vec<String>) {
            match shape {
                Shape::Text(text) => {
                    for row in &text.galley.rows {
                        // A glyph without a width is no letter, but a place of the cursor.
                        let mut glyphs: Vec<_> =
                            row.glyphs.iter().filter(|glyph| glyph.advance_width > 0.0).collect();
                        glyphs.sort_by(|a, b| a.pos.x.total_cmp(&b.pos.x));
                        into.push(glyphs.iter().map(|glyph| glyph.chr).collect());
                    }
                }
                Shape::Vec(shapes) => shapes.iter().for_each(|shape| of(shape, into)),
                _ => {}
            }
        }
        let mut found = Vec::new();
        h.output().shapes.iter().for_each(|clipped| of(&clipped.shape, &mut found));
        found
    }

    /// The bundled faces lack these letters; a box stands for each.
    fn install(ctx: &Context) {
        fonts::install(ctx);
        ctx.set_missing_glyph_policy(egui::MissingGlyphPolicy::Tofu);
    }

    fn window<'a>(mut with: impl FnMut(&mut Ui) + 'a) -> Harness<'a, ()> {
        let mut h = Harness::builder().with_size(egui::vec2(600.0, 400.0)).build_ui(move |ui| {
            // Before its fonts are there, the first frame of a context has none to draw with.
            if ui.ctx().cumulative_frame_nr() == 0 {
                install(ui.ctx());
                return;
            }
            with(ui);
        });
        h.run();
        h.run();
        h
    }

    const NAME: &str = "תוף (גדול) A 12";
    const SEEN: &str = "A 12 (לודג) ףות";

    #[test]
    fn a_name_from_the_right_is_seen_in_its_order_wherever_it_is_drawn() {
        let h = window(|ui| {
            ui.label(NAME);
            _ = ui.button(NAME);
            ui.painter().text(
                egui::pos2(300.0, 300.0),
                egui::Align2::CENTER_CENTER,
                NAME,
                fonts::serif(12.0),
                egui::Color32::BLACK,
            );
            ui.label("Snare drum");
            ui.label(format!("{NAME} stands where the harp stands."));
        });
        let drawn = drawn(&h);
        assert_eq!(drawn.iter().filter(|text| *text == SEEN).count(), 3, "{drawn:?}");
        assert!(drawn.iter().any(|text| text == "Snare drum"));
        assert!(
            drawn.iter().any(|text| text == "(לודג) ףות A 12 stands where the harp stands."),
            "{drawn:?}"
        );
        // Whoever listens gets the words as they are written.
        h.get_by_role_and_label(egui::Role::Button, NAME);
    }

    #[test]
    fn a_name_that_is_cut_loses_its_end() {
        let h = window(|ui| {
            ui.set_max_width(60.0);
            ui.add(egui::Label::new("תוף גדול מאוד מאוד מאוד").truncate());
        });
        let drawn = drawn(&h);
        let cut = drawn.iter().find(|text| text.contains('…')).expect("it is cut");
        assert!(cut.starts_with('…') && cut.ends_with("ףות"), "{cut}");
    }

    #[test]
    fn lines_break_where_they_did() {
        let long = "תוף גדול and a long English sentence that goes on about it, תוף קטן, and on";
        let h = window(|ui| {
            ui.set_max_width(150.0);
            ui.label(long);
        });
        let drawn = drawn(&h);
        assert!(drawn.len() > 2, "{drawn:?}");
        assert!(drawn.first().is_some_and(|row| row.starts_with("לודג ףות and")), "{drawn:?}");
        let letters = |text: &str| {
            let mut all: Vec<char> = text.chars().filter(|c| !c.is_whitespace()).collect();
            all.sort_unstable();
            all
        };
        assert_eq!(letters(&drawn.concat()), letters(long));
    }

    #[test]
    fn a_letter_is_taken_from_the_end_of_a_name_that_is_typed() {
        let mut h = Harness::builder().build_ui_state(
            |ui, name: &mut String| {
                if ui.ctx().cumulative_frame_nr() == 0 {
                    install(ui.ctx());
                    return;
                }
                let label = ui.label("Name");
                ui.text_edit_singleline(name).labelled_by(label.id);
            },
            "תוף".to_owned(),
        );
        h.run();
        h.run();
        h.get_by_role(egui::Role::TextInput).focus();
        h.run();
        h.key_press(egui::Key::End);
        h.run();
        h.key_press(egui::Key::Backspace);
        h.run();
        assert_eq!(h.state(), "תו");
    }

    #[test]
    fn a_number_stays_with_its_unit_where_a_line_breaks() {
        let words = "The bell weighs 120\u{202F}kg and its plate 12\u{202F}kg, on a floor that carries 5\u{202F}kN/m² in all.";
        let mut mended = 0;
        for width in (120..240_u8).map(f32::from) {
            let h = window(|ui| {
                ui.set_max_width(width);
                ui.label(words);
            });
            // As the library lays it out, and with wider spaces at which it does not break.
            let alone = |words: String| {
                let font = egui::TextStyle::Body.resolve(&h.ctx.global_style());
                let galley = h.ctx.fonts_mut(|f| f.layout(words, font, egui::Color32::BLACK, width));
                galley.rows.iter().map(|row| row.row.text()).collect::<Vec<_>>()
            };
            let parted = |rows: &[String]| {
                rows.iter().rev().skip(1).any(|row| row.trim_end().ends_with(|c: char| c.is_ascii_digit()))
            };
            let (before, firm) = (alone(words.to_owned()), alone(words.replace(THIN, FIRM)));
            // Where a line more would be needed there is no room for it.
            if firm.len() <= before.len() {
                assert!(!parted(&drawn(&h)), "{width}: {:?}", drawn(&h));
                mended += usize::from(parted(&before));
            }
        }
        assert!(mended > 5, "{mended} were parted before");
    }
}
