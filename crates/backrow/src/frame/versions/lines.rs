//! Two texts beside each other, line by line.

use crate::theme::tokens::{Tokens, size};
use crate::theme::{marks, sans, semibold};
use egui::{Align2, Rect, Ui, pos2, vec2};
use similar::{ChangeTag, TextDiff};

/// How high a line is, points.
const LINE: f32 = 16.0;
/// How many lines that are the same stand around what differs.
const AROUND: usize = 3;

/// A line of the file as it stands, of the one kept beside it, or the same of both.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) enum Line {
    Same(String),
    Differ(Option<String>, Option<String>),
    /// So many lines that are the same, left out.
    Alike(usize),
}

/// Lines that differ stand beside each other as far as there are as many of both.
pub(in super::super) fn lines(stands: &str, beside: &str) -> Vec<Line> {
    let diff = TextDiff::from_lines(stands, beside);
    let (mut out, mut gone, mut come) = (Vec::new(), Vec::new(), Vec::new());
    let settle = |out: &mut Vec<Line>, gone: &mut Vec<String>, come: &mut Vec<String>| {
        for at in 0..gone.len().max(come.len()) {
            out.push(Line::Differ(gone.get(at).cloned(), come.get(at).cloned()));
        }
        gone.clear();
        come.clear();
    };
    for change in diff.iter_all_changes() {
        let text = change.value().trim_end_matches(['\r', '\n']).to_owned();
        match change.tag() {
            ChangeTag::Equal => {
                settle(&mut out, &mut gone, &mut come);
                out.push(Line::Same(text));
            }
            ChangeTag::Delete => gone.push(text),
            ChangeTag::Insert => come.push(text),
        }
    }
    settle(&mut out, &mut gone, &mut come);
    shortened(out)
}

/// Long runs of lines that are the same are counted instead of shown, but for those next to what differs.
fn shortened(all: Vec<Line>) -> Vec<Line> {
    let differs = |line: &Line| matches!(line, Line::Differ(..));
    let near = |at: usize| {
        let around = all.get(at.saturating_sub(AROUND)..(at + AROUND + 1).min(all.len()));
        around.is_some_and(|lines| lines.iter().any(differs))
    };
    let kept: Vec<bool> = (0..all.len()).map(near).collect();
    let mut out: Vec<Line> = Vec::new();
    for (line, kept) in all.into_iter().zip(kept) {
        match out.last_mut() {
            _ if kept => out.push(line),
            Some(Line::Alike(count)) => *count += 1,
            _ => out.push(Line::Alike(1)),
        }
    }
    out
}

/// Two texts beside each other, each under its head.
pub(in super::super) fn columns(
    ui: &mut Ui,
    tokens: &Tokens,
    heads: &[String; 2],
    lines: &[Line],
    height: f32,
) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 22.0), egui::Sense::hover());
    for (half, words) in halves(rect).into_iter().zip(heads) {
        marks::text_within(ui.painter(), half, Align2::LEFT_CENTER, words, semibold(size::NOTE), tokens.ink);
    }
    // One height from the first frame on, so that nothing moves under the pointer.
    let height = height.min(LINE * lines.len() as f32);
    let scroll = egui::ScrollArea::vertical().id_salt("lines").auto_shrink(false);
    let scroll = scroll.max_height(height).min_scrolled_height(height);
    ui.spacing_mut().item_spacing.y = 0.0;
    scroll.show_rows(ui, LINE, lines.len(), |ui, shown| {
        for line in lines.get(shown).unwrap_or_default() {
            let (rect, response) =
                ui.allocate_exact_size(vec2(ui.available_width(), LINE), egui::Sense::hover());
            let alike;
            let (left, right) = match line {
                Line::Same(text) => (Some(text), Some(text)),
                Line::Differ(left, right) => (left.as_ref(), right.as_ref()),
                Line::Alike(count) => {
                    alike = format!("… {count} {} alike", if *count == 1 { "line" } else { "lines" });
                    (Some(&alike), Some(&alike))
                }
            };
            let differs = matches!(line, Line::Differ(..));
            let ink = if differs { tokens.ink } else { tokens.ink2 };
            for (half, text) in halves(rect).into_iter().zip([left, right]) {
                let Some(text) = text else { continue };
                if differs {
                    ui.painter().rect_filled(half, 0.0, tokens.soft);
                }
                let within = half.shrink2(vec2(4.0, 0.0));
                marks::text_within(ui.painter(), within, Align2::LEFT_CENTER, text, sans(size::NOTE), ink);
            }
            let said = [left, right].map(|text| text.map_or("nothing", |text| text.trim()));
            let words = if differs { format!("{} | {}", said[0], said[1]) } else { said[0].to_owned() };
            response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &words));
        }
    });
}

/// The two columns of a row, with a gap between them.
pub(super) fn halves(rect: Rect) -> [Rect; 2] {
    let middle = rect.center().x;
    let left = Rect::from_min_max(rect.min, pos2(middle - 6.0, rect.bottom()));
    [left, Rect::from_min_max(pos2(middle + 6.0, rect.top()), rect.max)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_differs_stands_beside_each_other() {
        let found = lines("(\n  name: \"A\",\n  mass: 3,\n)\n", "(\r\n  name: \"B\",\n)\n");
        let differ = |left: Option<&str>, right: Option<&str>| {
            Line::Differ(left.map(str::to_owned), right.map(str::to_owned))
        };
        assert!(found.contains(&Line::Same(")".to_owned())), "{found:?}");
        assert!(
            found.iter().any(|line| matches!(line, Line::Differ(Some(a), Some(b)) if a.contains("\"A\"") || b.contains("\"B\""))),
            "{found:?}"
        );
        assert_eq!(lines("a\nb\n", "a\nb\n"), [Line::Alike(2)]);
        let long = "1\n2\n3\n4\n5\n";
        let same = |text: &str| Line::Same(text.to_owned());
        let expected = [Line::Alike(2), same("3"), same("4"), same("5"), differ(None, Some("6"))];
        assert_eq!(lines(long, &format!("{long}6\n")), expected);
        assert_eq!(lines("a\n", "a\nb\n").last(), Some(&differ(None, Some("b"))));
    }
}
