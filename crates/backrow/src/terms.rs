//! Words of the trade that explain themselves where they stand: a dotted line, and a card with what the word means. The one list of
//! them is a page of the guide.

use crate::theme::tokens::{Tokens, size, space};
use crate::theme::widgets::focus_ring;
use crate::theme::{sans, semibold};
use egui::{Popup, Response, RichText, Sense, Stroke, Ui, WidgetInfo, pos2};
use std::sync::LazyLock;

/// The page of the guide, as it stands in `docs`.
const PAGE: &str = include_str!("../../../docs/guide/words.md");

/// How wide a card is, points.
const WIDTH: f32 = 320.0;

/// A word and what it means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Term {
    /// The word.
    pub word: &'static str,
    /// What it means, in whole sentences.
    pub means: &'static str,
}

/// Every word, in the order of the page.
pub static TERMS: LazyLock<Vec<Term>> = LazyLock::new(|| {
    let row = |line: &'static str| {
        let mut cells = line.strip_prefix('|')?.strip_suffix('|')?.split('|').map(str::trim);
        Some(Term { word: cells.next()?, means: cells.next()? })
    };
    // The first two rows are the table's head.
    PAGE.lines().filter_map(row).skip(2).collect()
});

/// The word of that name.
pub fn of(word: &str) -> Option<Term> {
    TERMS.iter().find(|term| term.word == word).copied()
}

/// The words that a place is about, by its title.
pub const fn of_place(title: &str) -> &'static [&'static str] {
    match title.as_bytes() {
        b"Section" => &["line", "passage", "assignment", "rule", "locked", "exposed"],
        b"Compass" => &["compass", "bar", "written, sounding", "kind", "set"],
        b"Floor" => &["player’s space", "route", "gangway", "setup", "station", "riser", "trap table"],
        b"Bar view" => &["bar", "written, sounding", "octave", "tuning plan", "muta"],
        b"Week" => &["programme", "service", "assignment", "in reserve"],
        b"Season" => &["programme", "service", "finding"],
        b"Works" => &["work", "line", "passage", "printed part", "kind", "octave", "exposed"],
        b"Collection" => &["instrument", "kind", "bar", "frame", "dead bar", "beater", "survey", "draft"],
        b"Sounds" => &["take", "strike", "measure", "trial", "decision"],
        _ => &[],
    }
}

/// The title of a place; one that has words to explain shows them on its card.
pub fn title(ui: &mut Ui, tokens: &Tokens, title: &str, text: RichText) {
    about(ui, tokens, (title, text), of_place(title));
}

/// A word that stands alone.
pub fn term(ui: &mut Ui, tokens: &Tokens, word: &str) {
    about(ui, tokens, (word, RichText::new(word).color(tokens.ink2)), &[word]);
}

/// The quiet word before what is said of a line or a thing.
pub fn caption(ui: &mut Ui, tokens: &Tokens, caption: &str, text: RichText) {
    let words: &[&str] = match caption {
        "Part" => &["printed part"],
        "Notes" => &["written, sounding"],
        "Compass" => &["compass", "bar"],
        "Fewest" => &["tuning plan"],
        "Strokes" => &["passage"],
        "Suits" => &["kind"],
        _ => &[],
    };
    about(ui, tokens, (caption, text), words);
}

/// What stands before a field of a form.
pub fn field(ui: &mut Ui, label: &str) {
    let words: &[&str] = match label {
        "Bars" => &["compass", "bar", "frame", "dead bar"],
        "Usual compass" => &["compass", "written, sounding"],
        "Kind" => &["kind"],
        "Programme" => &["programme"],
        "A tuning plan has the" => &["tuning plan"],
        _ => &[],
    };
    let text = RichText::new(label);
    about(ui, &Tokens::of(ui.ctx()), (label, text), words);
}

/// The word that a figure of the orchestra's settings is about, by its key.
pub const fn of_figure(key: &str) -> Option<&'static str> {
    match key.as_bytes() {
        b"gangway" => Some("gangway"),
        b"exposure" => Some("exposed"),
        b"part" => Some("printed part"),
        b"by_hand" => Some("assignment"),
        _ => None,
    }
}

/// Words that are in every other sentence of the program: places explain them, findings need not.
const COMMON: [&str; 16] = [
    "line",
    "rule",
    "route",
    "bar",
    "kind",
    "instrument",
    "work",
    "programme",
    "service",
    "finding",
    "beater",
    "take",
    "strike",
    "measure",
    "draft",
    "set",
];

/// The terms that a text uses, but for the commonest.
fn found_in(text: &str) -> Vec<Term> {
    let text = format!(" {} ", text.to_lowercase().replace(|c: char| !c.is_alphanumeric() && c != '\'', " "));
    let uses = |term: &&Term| {
        let word = term.word;
        !COMMON.contains(&word)
            && [format!(" {word} "), format!(" {word}s ")].iter().any(|word| text.contains(word))
    };
    TERMS.iter().filter(uses).copied().collect()
}

/// The terms of a text, each with its card, in a row beneath it; nothing where it uses none.
pub fn of_text(ui: &mut Ui, tokens: &Tokens, text: &str) {
    let found = found_in(text);
    if found.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        for term in found {
            let text = RichText::new(term.word).font(sans(size::NOTE)).color(tokens.ink2);
            explained(ui, tokens, text, &format!("{}, explained", term.word), &[term]);
        }
    });
}

/// Words that stand there, and the terms that their card explains; without any a plain label.
pub fn about(ui: &mut Ui, tokens: &Tokens, (shown, text): (&str, RichText), words: &[&str]) {
    let terms: Vec<Term> = words.iter().filter_map(|word| of(word)).collect();
    if terms.is_empty() {
        ui.label(text);
    } else {
        explained(ui, tokens, text, &format!("{shown}, explained"), &terms);
    }
}

fn explained(ui: &mut Ui, tokens: &Tokens, text: RichText, says: &str, terms: &[Term]) {
    let label = egui::Label::new(text).sense(Sense::click()).selectable(false);
    let response = ui.add(label);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, says));
    dotted(ui, &response, tokens);
    focus_ring(ui, &response, tokens);
    let open = Popup::is_id_open(ui.ctx(), Popup::default_response_id(&response));
    if !open {
        response.clone().on_hover_ui(|ui| card(ui, tokens, terms));
    }
    Popup::from_toggle_button_response(&response).show(|ui| card(ui, tokens, terms));
}

/// The dotted line beneath a word.
fn dotted(ui: &Ui, response: &Response, tokens: &Tokens) {
    let ink = if response.hovered() || response.has_focus() { tokens.accent } else { tokens.ink2 };
    // Beneath the letters, however large they are.
    let y = response.rect.bottom() - 1.0 - response.rect.height() * 0.06;
    let ends = [pos2(response.rect.left(), y), pos2(response.rect.right(), y)];
    ui.painter().extend(egui::Shape::dashed_line(&ends, Stroke::new(1.0, ink), 1.5, 2.5));
}

fn card(ui: &mut Ui, tokens: &Tokens, terms: &[Term]) {
    ui.set_max_width(WIDTH);
    for (at, term) in terms.iter().enumerate() {
        if at > 0 {
            ui.add_space(space::XS);
        }
        ui.label(RichText::new(term.word).font(semibold(size::TEXT)).color(tokens.ink));
        let means = RichText::new(term.means).font(sans(size::NOTE)).color(tokens.ink2);
        ui.add(egui::Label::new(means).wrap());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view::Place;

    #[test]
    fn the_list_is_whole() {
        assert!(TERMS.len() >= 25, "{}", TERMS.len());
        for (at, term) in TERMS.iter().enumerate() {
            assert!(
                term.means.ends_with('.') && term.means.chars().next().is_some_and(char::is_uppercase),
                "{term:?}"
            );
            assert!(TERMS.iter().skip(at + 1).all(|other| other.word != term.word), "{term:?} twice");
        }
    }

    #[test]
    fn a_card_opens_where_the_word_stands_by_mouse_and_by_keyboard() {
        use egui_kittest::Harness;
        use egui_kittest::kittest::Queryable;
        let mut h = Harness::new_ui(|ui| {
            // Before its fonts are there, the first frame of a context has none to draw with.
            if ui.ctx().cumulative_frame_nr() == 0 {
                crate::theme::fonts::install(ui.ctx());
                return;
            }
            let tokens = Tokens::of(ui.ctx());
            title(ui, &tokens, "Floor", RichText::new("Floor"));
            term(ui, &tokens, "gangway");
            caption(ui, &tokens, "Owner", RichText::new("Owner"));
        });
        let means = of("gangway").expect("in the list").means;
        assert!(h.query_by_label(means).is_none());
        h.get_by_label("gangway, explained").click();
        h.run();
        h.run();
        assert!(h.query_by_label(means).is_some());
        h.key_press(egui::Key::Escape);
        h.run();
        assert!(h.query_by_label(means).is_none());
        h.get_by_label("Floor, explained").focus();
        h.run();
        h.key_press(egui::Key::Space);
        h.run();
        h.run();
        assert!(
            h.query_by_label(of("route").expect("in the list").means).is_some(),
            "all words of the place"
        );
        assert!(h.query_by_label("Owner, explained").is_none(), "a word that needs none is a plain label");
    }

    #[test]
    fn a_text_is_searched_for_the_terms_that_need_a_card() {
        let found = |text: &str| found_in(text).into_iter().map(|term| term.word).collect::<Vec<_>>();
        assert_eq!(found("Two gangways are narrower than the line asks."), ["gangway"]);
        assert_eq!(found("The player’s station; muta in F."), ["station", "muta"]);
        assert!(found("Stationary lines").is_empty());
        assert!(COMMON.iter().all(|word| of(word).is_some()));
    }

    /// Whoever looks at a place can read what each word of the guide means without leaving it.
    #[test]
    fn every_word_stands_on_the_card_of_a_place() {
        let on_cards: Vec<&str> =
            Place::ALL.iter().flat_map(|place| of_place(place.word())).copied().collect();
        let lacking: Vec<&str> =
            TERMS.iter().map(|term| term.word).filter(|word| !on_cards.contains(word)).collect();
        assert_eq!(lacking, [] as [&str; 0]);
    }

    #[test]
    fn every_place_has_its_words_and_every_word_is_in_the_list() {
        for place in Place::ALL {
            let words = of_place(place.word());
            assert!(!words.is_empty(), "{place:?}");
            for word in words {
                assert!(of(word).is_some(), "{word} of {place:?}");
            }
        }
    }
}
