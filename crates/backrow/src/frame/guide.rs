//! The guide: the pages of `docs/guide` in the window, opened at the current place.

mod pictures;

use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::{sans, semibold, serif};
use crate::view::Place;
use egui::text::LayoutJob;
use egui::{Key, Modifiers, RichText, TextFormat, Ui, WidgetInfo, vec2};

/// A page: its file, what it is called, and its text.
struct Page {
    file: &'static str,
    title: &'static str,
    text: &'static str,
}

macro_rules! pages {
    ($($file:literal, $title:literal;)*) => {
        const PAGES: &[Page] = &[$(Page {
            file: $file,
            title: $title,
            text: include_str!(concat!("../../../../docs/guide/", $file)),
        },)*];
    };
}

pages! {
    "README.md", "The guide";
    "first-steps.md", "First steps";
    "section.md", "Section";
    "compass.md", "Compass";
    "floor.md", "Floor";
    "bar-view.md", "Bar view";
    "week.md", "Week";
    "season.md", "Season";
    "works.md", "Works";
    "collection.md", "Collection";
    "sounds.md", "Sounds";
    "paper.md", "Paper";
    "words.md", "Words";
}

/// The page of a place; the first for one that has none.
fn page_of(place: Place) -> usize {
    PAGES.iter().position(|page| page.title == place.word()).unwrap_or(0)
}

/// The guide while it is shown.
#[derive(Default)]
pub struct State {
    open: bool,
    page: usize,
    /// The page is shown from its beginning.
    fresh: bool,
    pictures: pictures::Pictures,
}

impl State {
    /// Opens it at the page of a place, or puts it away.
    pub fn toggle(&mut self, place: Place) {
        *self = Self { open: !self.open, page: page_of(place), fresh: true, ..Self::default() };
    }

    /// Puts it away.
    pub fn close(&mut self) {
        *self = Self { page: self.page, ..Self::default() };
    }

    /// Whether it is shown.
    pub const fn is_open(&self) -> bool {
        self.open
    }

    fn turn_to(&mut self, page: usize) {
        self.page = page.min(PAGES.len() - 1);
        self.fresh = true;
    }
}

/// The width of a page's text, points: about ninety letters.
const WIDTH: f32 = 680.0;
/// What one press of an arrow scrolls, points.
const STEP: f32 = 40.0;

/// Shows the guide when it is asked for.
pub fn ui(ui: &mut Ui, scene: &Scene<'_>, state: &mut State) {
    if !state.open {
        return;
    }
    let tokens = scene.tokens;
    let room = ui.ctx().content_rect().size() - vec2(96.0, 72.0);
    let frame = egui::Frame::popup(ui.style()).inner_margin(space::XL);
    let mut closes = false;
    let modal = egui::Modal::new(egui::Id::unique("guide")).frame(frame).show(ui.ctx(), |ui| {
        ui.set_width(room.x);
        ui.set_height(room.y);
        let scrolled = keys(ui, state, room.y);
        ui.horizontal(|ui| {
            ui.label(RichText::new("Guide").font(serif(size::TITLE)).color(tokens.ink));
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                closes = ui.button("Close").on_hover_text("Esc").clicked();
            });
        });
        ui.add_space(space::S);
        let height = ui.available_height();
        ui.horizontal_top(|ui| {
            ui.allocate_ui(vec2(150.0, height), |ui| contents(ui, state));
            ui.add_space(space::L);
            let mut area = egui::ScrollArea::vertical().id_salt("guide page").auto_shrink([false, false]);
            if std::mem::take(&mut state.fresh) {
                area = area.vertical_scroll_offset(0.0);
            }
            area.show(ui, |ui| {
                ui.scroll_with_delta(vec2(0.0, -scrolled));
                ui.vertical(|ui| {
                    ui.set_max_width(WIDTH);
                    if let Some(page) = PAGES.get(state.page)
                        && let Some(link) = draw(ui, &tokens, page, &mut state.pictures)
                        && let Some(to) = PAGES.iter().position(|page| page.file == link)
                    {
                        state.turn_to(to);
                    }
                });
            });
        });
    });
    if closes || modal.should_close() {
        state.close();
    }
}

/// The pages, of which one is shown.
fn contents(ui: &mut Ui, state: &mut State) {
    ui.vertical(|ui| {
        for (at, page) in PAGES.iter().enumerate() {
            let here = state.page == at;
            let label = ui.selectable_label(here, page.title);
            label.widget_info(|| WidgetInfo::selected(egui::Role::Tab, true, here, page.title));
            if label.clicked() {
                state.turn_to(at);
            }
        }
    });
}

/// Up and Down scroll, Page up and Page down by a page, Left and Right turn.
fn keys(ui: &Ui, state: &mut State, height: f32) -> f32 {
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    let mut scrolled = 0.0;
    for (key, by) in [
        (Key::ArrowDown, STEP),
        (Key::ArrowUp, -STEP),
        (Key::PageDown, height * 0.8),
        (Key::PageUp, -height * 0.8),
    ] {
        if pressed(key) {
            scrolled += by;
        }
    }
    if pressed(Key::ArrowRight) {
        state.turn_to(state.page + 1);
    }
    if pressed(Key::ArrowLeft) {
        state.turn_to(state.page.saturating_sub(1));
    }
    scrolled
}

/// Draws a page; the file of a link that was clicked. Of Markdown it knows what the pages use: headings, paragraphs, lists, tables,
/// emphasis, code, links and pictures.
fn draw(ui: &mut Ui, tokens: &Tokens, page: &Page, pictures: &mut pictures::Pictures) -> Option<String> {
    let mut clicked = None;
    let mut block = String::new();
    let lines = page.text.lines().chain([""]);
    for line in lines {
        let begins = line.starts_with(['#', '|', '!']) || is_item(line);
        if (line.trim().is_empty() || begins) && !block.is_empty() {
            clicked = paragraph(ui, tokens, &block).or(clicked);
            block.clear();
        }
        if let Some(words) = line.strip_prefix("# ") {
            ui.label(RichText::new(words).font(serif(size::TITLE)).color(tokens.ink));
            ui.add_space(space::S);
        } else if let Some(words) = line.strip_prefix("## ") {
            ui.add_space(space::S);
            ui.label(RichText::new(words).font(serif(size::HEADING)).color(tokens.ink));
        } else if line.starts_with('|') {
            clicked = row(ui, tokens, line).or(clicked);
        } else if line.starts_with('!') {
            pictures.show(ui, tokens, line);
        } else if !line.trim().is_empty() {
            if !block.is_empty() {
                block.push(' ');
            }
            block.push_str(line.trim());
        }
    }
    clicked
}

fn is_item(line: &str) -> bool {
    let number = line.trim_start_matches(|c: char| c.is_ascii_digit());
    line.starts_with("- ") || (number.len() < line.len() && number.starts_with(". "))
}

/// A row of a table: its cells in one line.
fn row(ui: &mut Ui, tokens: &Tokens, line: &str) -> Option<String> {
    let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
    if cells.iter().all(|cell| cell.chars().all(|c| c == '-')) {
        return None;
    }
    let mut clicked = None;
    ui.horizontal_top(|ui| {
        for (at, cell) in cells.iter().enumerate() {
            let width = if at == 0 { 150.0 } else { ui.available_width() };
            ui.allocate_ui(vec2(width, 18.0), |ui| {
                ui.set_min_width(width);
                clicked = paragraph(ui, tokens, cell).or(clicked.take());
            });
        }
    });
    clicked
}

/// A paragraph or an item of a list.
fn paragraph(ui: &mut Ui, tokens: &Tokens, text: &str) -> Option<String> {
    if let Some((words, link)) = whole_link(text) {
        return ui.link(words).clicked().then(|| link.to_owned());
    }
    let item = text.strip_prefix("- ");
    ui.horizontal_top(|ui| {
        if item.is_some() || is_item(text) {
            ui.add_space(space::M);
        }
        if item.is_some() {
            ui.label(RichText::new("•").color(tokens.ink2));
        }
        let mut job = LayoutJob::default();
        for (part, how) in parts(item.unwrap_or(text)) {
            let font = match how {
                How::Plain | How::Soft => sans(size::TEXT),
                How::Strong => semibold(size::TEXT),
                How::Code => egui::FontId::monospace(size::TEXT),
            };
            let format = TextFormat { italics: how == How::Soft, ..TextFormat::simple(font, tokens.ink) };
            job.append(&part, 0.0, format);
        }
        ui.add(egui::Label::new(job).wrap());
    });
    ui.add_space(space::XS);
    None
}

/// `[words](file)` and nothing else.
fn whole_link(text: &str) -> Option<(&str, &str)> {
    let (words, link) = text.strip_prefix('[')?.strip_suffix(')')?.split_once("](")?;
    (!words.contains(']')).then_some((words, link))
}

/// How a part of a line is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum How {
    Plain,
    Soft,
    Strong,
    Code,
}

/// The parts of a line: emphasis, strong emphasis, code. A sign that is never closed stands for itself.
fn parts(text: &str) -> Vec<(String, How)> {
    let mut out: Vec<(String, How)> = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let marks = [("**", How::Strong), ("*", How::Soft), ("`", How::Code)];
        let first = marks
            .iter()
            .filter_map(|(mark, how)| Some((rest.find(mark)?, *mark, *how)))
            .min_by_key(|(at, mark, _)| (*at, std::cmp::Reverse(mark.len())));
        let opened = first.and_then(|(at, mark, how)| {
            let (before, after) = (rest.get(..at)?, rest.get(at + mark.len()..)?);
            let (inside, after) = after.split_once(mark)?;
            Some((before, inside, after, how))
        });
        let Some((before, inside, after, how)) = opened else {
            out.push((rest.to_owned(), How::Plain));
            break;
        };
        if !before.is_empty() {
            out.push((before.to_owned(), How::Plain));
        }
        out.push((inside.to_owned(), how));
        rest = after;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_place_has_its_page_and_every_link_leads_somewhere() {
        for place in [Place::Section, Place::Compass, Place::Floor, Place::BarView, Place::Week] {
            assert_eq!(PAGES.get(page_of(place)).map(|page| page.title), Some(place.word()));
        }
        for page in PAGES {
            for link in page.text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
                let picture = link.starts_with("pictures/");
                assert!(picture || PAGES.iter().any(|page| page.file == link), "{}: {link}", page.file);
            }
        }
    }

    #[test]
    fn emphasis_is_read() {
        let said = parts("press **Ctrl N**, *then* `F4-C8` * twice");
        let how: Vec<How> = said.iter().map(|(_, how)| *how).collect();
        let expected = [How::Plain, How::Strong, How::Plain, How::Soft, How::Plain, How::Code, How::Plain];
        assert_eq!(how, expected);
        assert_eq!(said.last().map(|(words, _)| words.as_str()), Some(" * twice"));
    }

    #[test]
    fn pages_name_only_keys_that_there_are() {
        use crate::actions::Action;
        let known: Vec<String> = Action::ALL.iter().map(|action| action.keys_words()).collect();
        for key in [
            "Ctrl K",
            "Ctrl P",
            "Shift F1",
            "Ctrl F1",
            "Ctrl Shift I",
            "Ctrl Shift D",
            "Ctrl Shift Y",
            "Ctrl Shift P",
        ] {
            assert!(known.iter().any(|keys| keys.split(", ").any(|one| one == key)), "{key}");
        }
    }
}
