//! The tightest moves: where a player has the fewest seconds to spare.

use super::super::assigning::{Question, Scope, Subject};
use super::{note, title};
use crate::background::Stop;
use crate::intent::Intent;
use crate::places::section::Here;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{marks, sans, semibold};
use backrow_core::assign::{line_name, where_it_stands};
use backrow_core::evening::Evening;
use backrow_core::id::PlayerId;
use backrow_core::rota::{Move, PlayersMove};
use backrow_core::seconds::{Round, text};
use backrow_core::week::LineRef;
use egui::{Align2, Rect, ScrollArea, Sense, Ui, WidgetInfo, vec2};

/// How many of the tightest moves are listed.
const TIGHTEST: usize = 20;

/// A move with little to spare.
#[derive(Clone, Debug)]
pub(in super::super) struct Tight {
    player: PlayerId,
    to: LineRef,
    names: String,
    measures: String,
    stands_in: String,
    seconds: String,
    fits: bool,
}

/// The moves with the least to spare.
pub(super) fn tightest(evening: Option<&Evening>, subject: &Subject, stop: &Stop) -> Vec<Tight> {
    let Some(evening) = evening else { return Vec::new() };
    let (library, programme) = (evening.library(), evening.programme());
    let Some(question) = Question::of(Some(evening), subject, stop) else { return Vec::new() };
    let moves = question.rota.tightest_moves(&question.asked.now, TIGHTEST);
    let row = |PlayersMove { player, step }: PlayersMove| {
        let (from, to) = (&question.asked.lines[step.from.line], &question.asked.lines[step.to.line]);
        Some(Tight {
            player: question.player(player)?.clone(),
            names: format!("{} → {}", line_name(library, programme, from), line_name(library, programme, to)),
            measures: question.leads(library, step.from, step.to),
            stands_in: where_it_stands(library, to),
            seconds: seconds(&step),
            fits: step.fits(),
            to: to.clone(),
        })
    };
    moves.into_iter().filter_map(row).collect()
}

/// The words of a move's seconds, with what the walk is reckoned from where that is not known.
fn seconds(step: &Move) -> String {
    let guessed = if step.need.assumed { ", route not known" } else { "" };
    format!("{}{guessed}", figures(step.has_us, step.need.us()))
}

/// "1.2 s short: has 3.0 s, needs 4.2 s"; what counts stands first, as a narrow sheet cuts the end. The first figure is the
/// difference of the other two as they are shown, so that whoever subtracts finds it right.
fn figures(has_us: i64, need_us: i64) -> String {
    const TENTH: i64 = 100_000;
    let has = has_us.div_euclid(TENTH) * TENTH;
    let need = -(-need_us).div_euclid(TENTH) * TENTH;
    // What is enough by less than a tenth is not said to lack one.
    let need = if need_us <= has_us { need.min(has) } else { need };
    let (spare, words) = if has < need { (need - has, "short") } else { (has - need, "to spare") };
    let [spare, has, need] = [spare, has, need].map(|us| text(us, Round::Down));
    format!("{spare}\u{202F}s {words}: has {has}\u{202F}s, needs {need}\u{202F}s")
}

/// Draws them.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, rows: &[Tight]) {
    title(ui, scene, view, "Tightest moves");
    if rows.is_empty() {
        note(ui, scene, "Nobody has to move or change beaters between two passages.");
    }
    let mut go = None;
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        for row in rows {
            let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 58.0), Sense::click());
            let says = format!("{}, {}, {}", row.names, row.measures, row.seconds);
            response.widget_info(|| WidgetInfo::labeled(egui::Role::ListItem, true, &says));
            let tokens = scene.tokens;
            let painter = ui.painter();
            marks::hairline(painter, rect.x_range(), rect.top(), tokens.line);
            if let Some(player) = scene.library.players.get(&row.player) {
                marks::disc(painter, rect.min + vec2(10.0, 14.0), 18.0, player);
            }
            let line = |n: f32| {
                Rect::from_min_size(rect.min + vec2(26.0, 4.0 + n * 17.0), vec2(rect.width() - 28.0, 17.0))
            };
            let ink = if row.fits { tokens.ink } else { tokens.clash };
            marks::text_within(
                painter,
                line(0.0),
                Align2::LEFT_CENTER,
                &row.names,
                semibold(size::NOTE),
                tokens.ink,
            );
            let stands = match view.own.scope {
                Scope::Movement => row.measures.clone(),
                Scope::Programme => format!("{}, {}", row.stands_in, row.measures),
            };
            marks::text_within(
                painter,
                line(1.0),
                Align2::LEFT_CENTER,
                &stands,
                sans(size::NOTE),
                tokens.ink2,
            );
            marks::text_within(painter, line(2.0), Align2::LEFT_CENTER, &row.seconds, sans(size::NOTE), ink);
            if response.on_hover_text(&row.seconds).clicked() {
                go = Some(row.to.clone());
            }
        }
    });
    if let Some(line) = go {
        scene.ask(Intent::Line(line));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counted by hand.
    #[rstest::rstest]
    #[case::rounded_apart(13_780_000, 4_230_000, "9.4 s to spare: has 13.7 s, needs 4.3 s")]
    #[case::short(3_000_000, 4_160_000, "1.2 s short: has 3.0 s, needs 4.2 s")]
    #[case::short_by_little(4_190_000, 4_200_000, "0.1 s short: has 4.1 s, needs 4.2 s")]
    #[case::just_enough(4_250_000, 4_210_000, "0.0 s to spare: has 4.2 s, needs 4.2 s")]
    #[case::exact(2_000_000, 2_000_000, "0.0 s to spare: has 2.0 s, needs 2.0 s")]
    fn what_is_left_is_the_difference_of_what_is_shown(
        #[case] has: i64,
        #[case] need: i64,
        #[case] words: &str,
    ) {
        assert_eq!(figures(has, need).replace('\u{202F}', " "), words);
    }
}
