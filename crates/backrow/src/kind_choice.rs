//! Choosing a kind by any of its names or abbreviations in four languages.

use backrow_core::collection::Kind;
use backrow_core::id::{KindId, is_found, slug_of};
use backrow_core::library::Library;
use egui::{RichText, Ui};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Another kind was chosen, or none.
pub struct KindChange(pub Option<KindId>);

/// What is chosen for.
pub struct Asked<'a> {
    /// The accessible name.
    pub label: &'a str,
    /// The kind as it is.
    pub now: Option<&'a KindId>,
    /// The word for no kind; `None` where there must be one.
    pub none: Option<&'a str>,
    /// Only these; `None` for all.
    pub among: Option<&'a BTreeSet<KindId>>,
    /// Those that stand before the others until something is typed.
    pub first: &'a [KindId],
    /// How wide, points.
    pub width: f32,
}

/// Kinds of which a name in any language begins with, or holds, what is typed; the best first.
pub fn kinds_named<'a>(library: &'a Library, typed: &str) -> Vec<&'a Arc<Kind>> {
    let wanted = slug_of(typed);
    let empty = typed.trim().is_empty();
    // The same word whole before the beginning of one before the middle of one; then the shorter name.
    let rank = |kind: &Kind| {
        let best = kind.names.all().map(|name| {
            let name = slug_of(name);
            let place = if name == wanted {
                0_u8
            } else if name.starts_with(&wanted) {
                1
            } else if name.contains(&wanted) {
                2
            } else {
                3
            };
            (place, name.len())
        });
        if empty { (1, 0) } else { best.min().unwrap_or((3, 0)) }
    };
    let mut kinds: Vec<((u8, usize), &Arc<Kind>)> =
        library.kinds.values().map(|kind| (rank(kind), kind)).filter(|(rank, _)| rank.0 < 3).collect();
    kinds.sort_by_cached_key(|(rank, kind)| (*rank, kind.name().to_lowercase()));
    kinds.into_iter().map(|(_, kind)| kind).collect()
}

/// The kind that a word written out stands for: one of its names whole, or the beginning of one in three letters or more.
pub fn kind_meant<'a>(library: &'a Library, word: &str) -> Option<&'a Arc<Kind>> {
    let wanted = slug_of(word);
    let begins =
        |name: &str| slug_of(name) == wanted || (wanted.len() >= 3 && slug_of(name).starts_with(&wanted));
    kinds_named(library, word).into_iter().next().filter(|kind| kind.names.all().any(begins))
}

/// A choice among all kinds, found by their names in four languages.
pub fn kind_choice(
    ui: &mut Ui,
    library: &Library,
    asked: &Asked<'_>,
    changed: &mut Option<KindChange>,
) -> egui::Response {
    let Asked { label, now, none, among, first, width } = *asked;
    let words = now.map_or_else(|| none.unwrap_or("choose").to_owned(), |id| library.kind_name(id));
    let typed_id = ui.scope_id().with(("typed kind", label));
    let combo = egui::ComboBox::from_id_salt(label)
        .selected_text(RichText::new(&words).color(ui.visuals().text_color()))
        .width(width)
        .height(320.0)
        .truncate()
        .close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside)
        .show_ui(ui, |ui| {
            let before: Option<String> = ui.data_mut(|data| data.get_temp(typed_id));
            // Just opened: the kind that is chosen stands in the middle.
            let fresh = before.is_none();
            let mut typed = before.unwrap_or_default();
            let hint = "a name in any language …";
            let field = ui.add(egui::TextEdit::singleline(&mut typed).hint_text(hint).desired_width(180.0));
            field.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::TextInput, true, format!("{label}, by name"))
            });
            let mut found: Vec<&Arc<Kind>> = kinds_named(library, &typed)
                .into_iter()
                .filter(|kind| among.is_none_or(|among| among.contains(&kind.id)))
                .collect();
            if typed.trim().is_empty() {
                found.sort_by_key(|kind| first.iter().position(|id| *id == kind.id).unwrap_or(usize::MAX));
            }
            let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            if entered && let Some(first) = found.first().filter(|_| !typed.trim().is_empty()) {
                *changed = Some(KindChange(Some(first.id.clone())));
                typed.clear();
                ui.close();
            } else if !field.has_focus() && ui.input(|i| i.events.is_empty()) {
                field.request_focus();
            }
            if let Some(word) = none
                && typed.trim().is_empty()
                && ui.selectable_label(now.is_none(), word).clicked()
            {
                *changed = Some(KindChange(None));
                ui.close();
            }
            if found.is_empty() {
                ui.label("No kind has such a name.");
            }
            for kind in found {
                let chosen = now == Some(&kind.id);
                let row = ui.selectable_label(chosen, other_names(kind, &typed));
                if chosen && fresh {
                    row.scroll_to_me(Some(egui::Align::Center));
                }
                if row.clicked() {
                    *changed = Some(KindChange(Some(kind.id.clone())));
                    typed.clear();
                    ui.close();
                }
            }
            ui.data_mut(|data| data.insert_temp(typed_id, typed));
        });
    if combo.inner.is_none() {
        // What was typed to find one is not meant for the next time.
        ui.data_mut(|data| data.remove::<String>(typed_id));
    }
    combo.response.widget_info(|| {
        let mut info = egui::WidgetInfo::labeled(egui::Role::ComboBox, true, label);
        info.current_text_value = Some(words.clone());
        info
    });
    combo.response
}

/// The kind's name; the name that was typed beside it where that is another.
fn other_names(kind: &Kind, typed: &str) -> RichText {
    let other = kind.names.all().find(|name| !typed.trim().is_empty() && is_found(name, typed));
    match other.filter(|name| *name != kind.name()) {
        Some(name) => RichText::new(format!("{} ({name})", kind.name())),
        None => RichText::new(kind.name()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// A letter of some name is no name.
    #[test]
    fn a_word_means_a_kind_by_its_beginning_and_not_by_a_letter() {
        let library = crate::sample::small();
        for word in ["e", "x", "ophon", "trommel,"] {
            assert!(kind_meant(&library, word).is_none(), "{word}");
        }
        for (word, name) in [("xylo", "xylophone"), ("Gr. Tr.", "bass drum"), ("glock", "glockenspiel")] {
            assert_eq!(kind_meant(&library, word).map(|kind| kind.name()), Some(name));
        }
    }

    #[rstest]
    #[case("Glsp.", "glockenspiel")]
    #[case("campanelli", "glockenspiel")]
    #[case("Große Trommel", "bass drum")]
    #[case("wood bl", "wood block")]
    #[case("campanel", "glockenspiel")]
    #[case("Klangschale", "singing bowl")]
    #[case("piatti", "cymbals (pair)")]
    #[case("grosse caisse", "bass drum")]
    #[case("Hgl.", "tuned cowbells")]
    fn kinds_are_found_by_any_name(#[case] typed: &str, #[case] name: &str) {
        let library = crate::sample::small();
        let found = kinds_named(&library, typed);
        assert_eq!(found.first().map(|kind| kind.name()), Some(name));
    }
}
