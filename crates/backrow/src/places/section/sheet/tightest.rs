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

/// "1.2 s short: has 3.0 s, needs 4.2 s"; what counts stands first, as a narrow sheet cuts the end.
fn seconds(step: &Move) -> String {
    let need = step.need.us();
    let spare = step.spare_us();
    let has = text(step.has_us, Round::Down);
    let left = if spare < 0 {
        format!("{}\u{202F}s short", text(-spare, Round::Up))
    } else {
        format!("{}\u{202F}s to spare", text(spare, Round::Down))
    };
    let guessed = if step.need.assumed { ", route not known" } else { "" };
    format!("{left}: has {has}\u{202F}s, needs {}\u{202F}s{guessed}", text(need, Round::Up))
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
