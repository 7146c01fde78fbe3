//! Section: players down, time across; every line a strip, drawn in time to scale.

mod answered;
mod assigning;
mod board;
mod heading;
mod keys;
mod lane;
mod proof;
mod sheet;
mod strip;
mod tray;

use crate::background::Remembered;
use crate::memo::Memo;
use crate::page;
use crate::scene::Scene;
use crate::theme::tokens::{shell, size, space};
use crate::theme::{marks, sans};
use crate::view::{Carried, View};
use backrow_core::evening::Evening;
use backrow_core::id::PlayerId;
use backrow_core::moves::Answer;
use backrow_core::week::LineRef;
use board::Board;
use egui::{Align2, Rect, Ui, pos2, vec2};

pub use assigning::Scope;
use assigning::Subject;
pub use keys::KEYS;

/// The view with this place's own state.
type Here<'v> = crate::view::Here<'v, State>;

/// What the place looks at.
#[derive(Default)]
pub struct State {
    /// Steps of zoom from the whole movement.
    zoom: u32,
    /// Seconds pushed off at the left.
    from_s: f64,
    /// Points pushed off at the top.
    scroll: f32,
    board: Memo<board::Key, Option<Board>>,
    answers: Memo<(board::Key, LineRef), Vec<Answer>>,
    needs: Remembered<(u64, Subject), assigning::Needs>,
    /// What is being worked out for the sheet.
    asked: Option<sheet::Asked>,
    /// How much music questions are about.
    scope: Scope,
    sheet: Option<sheet::Sheet>,
}

impl State {
    /// Puts back what is proposed; whether anything was.
    pub fn cancel(&mut self) -> bool {
        self.asked = None;
        self.sheet.take().is_some()
    }

    /// How far a proposal or a question has come, where one is being worked out.
    pub fn search(&self) -> Option<String> {
        self.asked.as_ref().map(sheet::Asked::words)
    }

    /// Ends what is being worked out; whether there was something.
    pub fn cancel_search(&mut self) -> bool {
        let Some(asked) = self.asked.take() else { return false };
        self.sheet = asked.before();
        true
    }

    /// Whether something stands beside the board.
    pub const fn has_sheet(&self) -> bool {
        self.sheet.is_some()
    }

    /// From the movement to the programme and back.
    fn turn_scope(&mut self) {
        (self.asked, self.sheet) = (None, None);
        self.scope = match self.scope {
            Scope::Movement => Scope::Programme,
            Scope::Programme => Scope::Movement,
        };
    }

    /// The lines that a proposal would assign to somebody else, with whom.
    fn ghosts(&self, library: &backrow_core::library::Library) -> Vec<(LineRef, Option<PlayerId>)> {
        match &self.sheet {
            Some(sheet::Sheet::Proposal(proposal)) => {
                proposal.left(library).into_iter().map(|change| (change.at, change.to)).collect()
            }
            _ => Vec::new(),
        }
    }
}

/// Heights and widths, points.
mod measure {
    pub(super) const PROOF: f32 = 40.0;
    pub(super) const RULER: f32 = 40.0;
    /// The heads of lanes.
    pub(super) const HEAD: f32 = 132.0;
    /// A row of strips within a lane.
    pub(super) const ROW: f32 = 38.0;
    /// The row of what is too short of time.
    pub(super) const FLAGS: f32 = 20.0;
    /// A row of the tray.
    pub(super) const TRAY: f32 = 38.0;
}

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    let mut full = ui.max_rect();
    let key = board::Key::new(scene, view);
    let (library, evening) = (scene.library, scene.derived.evening());
    // Held apart while they are drawn, as drawing changes the rest of the state.
    let mut boards = std::mem::take(&mut view.own.board);
    let board = boards.get(key.clone(), || board::board(library, evening, view));
    sheet::take_answer(ui.ctx(), scene, view);
    keys::act(ui, scene, view, board.as_ref());
    let beside = Rect::from_min_max(pos2(full.right() - sheet_width(scene), full.top()), full.max);
    if view.own.sheet.is_some() {
        full.max.x = beside.left();
        sheet::ui(ui, scene, view, beside);
    }
    heading::ui(ui, scene, view, page::slot(full), board.is_some());
    match board {
        Some(board) if !board.strips.is_empty() => whole(ui, scene, view, board, &key, full),
        Some(_) => {
            nothing(ui, scene, full, "No lines in this movement. Choose another, or add lines in Works.");
        }
        None if scene.library.works.is_empty() => {
            page::empty_below(ui, scene, full, "Here the lines of a work are assigned to the players.");
        }
        None => nothing(ui, scene, full, "Choose a work above, or one in Works."),
    }
    view.own.board = boards;
}

/// The width of what stands beside the board: that of the panel which it stands for.
fn sheet_width(scene: &Scene<'_>) -> f32 {
    scene.settings.panel_width.unwrap_or(shell::PANEL).max(shell::PANEL)
}

fn nothing(ui: &mut Ui, scene: &mut Scene<'_>, full: Rect, words: &str) {
    let rect = Rect::from_min_size(full.min + vec2(space::L, page::HEAD + space::S), vec2(460.0, 90.0));
    let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(rect));
    inner.add(egui::Label::new(words).wrap());
    inner.add_space(space::S);
    inner.horizontal(|ui| {
        if ui.button("Read a score …").clicked() {
            scene.ask(crate::intent::Intent::Do(crate::actions::Action::ReadScore));
        }
        if ui.button("Go to Works").clicked() {
            scene.ask(crate::intent::Intent::Go(crate::view::Place::Works));
        }
    });
}

fn whole(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    board: &Board,
    key: &board::Key,
    full: Rect,
) {
    let top = full.top() + page::HEAD;
    let proof = Rect::from_min_size(
        pos2(full.left() + space::L, top),
        vec2(full.width() - space::XL - space::XS, measure::PROOF),
    );
    let proof = proof::ui(ui, scene, view, proof);
    let ruler = Rect::from_min_max(
        pos2(full.left(), proof.bottom() + space::XS),
        pos2(full.right(), proof.bottom() + space::XS + measure::RULER),
    );
    let open = board.strips.iter().filter(|strip| strip.player.is_none()).count();
    let rows = (open as f32).min(if full.height() > 800.0 { 8.0 } else { 4.0 });
    let tray_height = if open == 0 { 28.0 } else { 30.0 + rows * measure::TRAY };
    let tray = Rect::from_min_max(pos2(full.left(), full.bottom() - tray_height), full.max);
    let lanes = Rect::from_min_max(pos2(full.left(), ruler.bottom()), pos2(full.right(), tray.top()));
    let time = Time::new(board, view, full);
    let carried = egui::DragAndDrop::payload::<Carried>(ui.ctx())
        .map(|c| (*c).clone())
        .or_else(|| view.in_hand.clone());
    let line = match &carried {
        Some(Carried::Line(at)) => Some(at.clone()),
        _ => None,
    };
    let answers = line.map(|at| {
        let evening = scene.derived.evening();
        view.own.answers.get((key.clone(), at.clone()), || answers(evening, &at)).clone()
    });
    ruler_ui(ui, scene, board, &time, ruler);
    lane::ui(ui, scene, view, board, &time, lanes, answers.as_deref());
    proof::moment(ui, scene, view, &time, (ruler, lanes));
    tray::ui(ui, scene, view, board, &time, tray);
}

/// What every player answers to a line.
fn answers(evening: Option<&Evening>, at: &LineRef) -> Vec<Answer> {
    let Some(evening) = evening else { return Vec::new() };
    evening.timetable().answers(evening.library(), &evening.programme().id, at)
}

/// Seconds to points across.
#[derive(Clone, Copy, Debug)]
struct Time {
    left: f32,
    right: f32,
    from_s: f64,
    a_second: f64,
}

impl Time {
    fn new(board: &Board, view: &Here<'_>, full: Rect) -> Self {
        let left = full.left() + measure::HEAD + 20.0;
        let right = full.right() - space::L;
        let whole = f64::from(right - left) / board.end_s.max(1.0);
        let zoom = 1.5_f64.powi(i32::try_from(view.own.zoom).unwrap_or(0));
        Self {
            left,
            right,
            from_s: if view.own.zoom == 0 { 0.0 } else { view.own.from_s },
            a_second: whole * zoom,
        }
    }

    fn x(&self, seconds: f64) -> f32 {
        self.left + crate::theme::to_f32((seconds - self.from_s) * self.a_second)
    }
}

fn ruler_ui(ui: &Ui, scene: &Scene<'_>, board: &Board, time: &Time, rect: Rect) {
    let tokens = scene.tokens;
    let painter = ui.painter();
    marks::text(
        painter,
        rect.left_bottom() + vec2(space::L, -3.0),
        Align2::LEFT_BOTTOM,
        "measure",
        sans(size::NOTE),
        tokens.ink2,
    );
    let clipped =
        painter.with_clip_rect(Rect::from_x_y_ranges(time.left - 14.0..=time.right + 14.0, rect.y_range()));
    let mut free = f32::MIN;
    for measure in &board.measures {
        let x = time.x(measure.at_s);
        let number = measure.number;
        if number % 10 == 0 || number == 1 {
            marks::upright(&clipped, x, rect.bottom() - 4.0..=rect.bottom(), tokens.ink3);
            if (number % 20 == 0 || number == 1) && x > free {
                let words = marks::text(
                    &clipped,
                    pos2(x, rect.bottom() - 4.0),
                    Align2::CENTER_BOTTOM,
                    &number.to_string(),
                    sans(size::NOTE),
                    tokens.ink2,
                );
                free = words.right() + 12.0;
            }
        }
    }
    let mut free = f32::MIN;
    for mark in &board.marks {
        let x = time.x(mark.at_s).max(free);
        if x < time.left - 2.0 || x > time.right {
            continue;
        }
        let font = if mark.boxed { sans(size::NOTE) } else { crate::theme::serif_italic(size::NOTE) };
        let words =
            marks::with_notes(&clipped, pos2(x + 3.0, rect.top() + 1.0), &mark.words, (font, tokens.ink2));
        if mark.boxed {
            clipped.rect_stroke(
                words.expand2(vec2(3.0, 0.0)),
                0.0,
                egui::Stroke::new(1.0, tokens.ink2),
                egui::StrokeKind::Outside,
            );
        }
        free = words.right() + 9.0;
    }
    marks::hairline(painter, rect.x_range(), rect.bottom(), tokens.line);
}
