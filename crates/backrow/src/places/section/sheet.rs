//! The sheet beside the board: a proposal, the questions of "what if", or the tightest moves.

mod tightest;

use super::assigning::proposal::{Change, Proposal, propose};
use super::assigning::what_if::{WhatIf, what_if};
use super::assigning::{Scope, Subject};
use crate::background::{Job, Stop, Taken};
use crate::intent::Intent;
use crate::places::section::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::{primary, row_has, shows_actions};
use crate::theme::{marks, sans, semibold, serif, serif_italic};
use crate::view::Selected;
use backrow_core::edit::Edit;
use backrow_core::evening::Evening;
use backrow_core::id::PlayerId;
use egui::{Align, Align2, Layout, Rect, RichText, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, vec2};
use tightest::{Tight, tightest};

/// What stands beside the board.
#[derive(Clone, Debug)]
pub(super) enum Sheet {
    /// An answer that is being worked out.
    Working(&'static str),
    /// A set of assignments to be taken or put back.
    Proposal(Box<Proposal>),
    /// The questions, and why the last one came to nothing.
    WhatIf(String),
    /// The moves with the least to spare.
    Tightest(Vec<Tight>),
}

/// What can be asked.
#[derive(Clone, Debug)]
enum Ask {
    /// The best assignments, among so many players where that is said.
    Proposal(Option<usize>),
    WhatIf(WhatIf),
    Tightest,
}

/// What has come of it.
enum Said {
    Proposal(Result<Proposal, String>),
    WhatIf(Result<Proposal, String>),
    Tightest(Vec<Tight>),
}

/// A question under way: what it was, and what stood in its place.
pub(super) struct Asked {
    ask: Ask,
    /// Which evening it was about.
    stamp: u64,
    before: Option<Sheet>,
    job: Job<Said>,
}

impl Asked {
    /// How far it has come.
    pub(super) fn words(&self) -> String {
        let title = self.ask.title();
        match self.job.progress() {
            Some((done, 100)) => format!("{title}: {done} %"),
            Some((done, of)) => format!("{title}: {done} of {of}"),
            None => format!("{title}: being worked out …"),
        }
    }

    /// What stood in its place; the work ends.
    pub(super) fn before(self) -> Option<Sheet> {
        self.before
    }
}

impl Ask {
    const fn title(&self) -> &'static str {
        match self {
            Self::Proposal(_) => "Proposal",
            Self::WhatIf(_) => "What if …",
            Self::Tightest => "The tightest moves",
        }
    }

    fn answer(&self, evening: Option<&Evening>, subject: &Subject, stop: &Stop) -> Said {
        match self {
            Self::Proposal(among) => Said::Proposal(propose(evening, subject, *among, stop)),
            Self::WhatIf(what) => Said::WhatIf(what_if(evening, subject, what, stop)),
            Self::Tightest => Said::Tightest(tightest(evening, subject, stop)),
        }
    }
}

/// Begins to work an answer out; until it is there the sheet says so, and its way out drops the question.
fn ask(ctx: &egui::Context, scene: &mut Scene<'_>, view: &mut Here<'_>, ask: Ask) {
    let (evening, subject, asked) = (scene.derived.evening().cloned(), Subject::of(view), ask.clone());
    match Job::start(ctx, "assignments", move |stop| asked.answer(evening.as_ref(), &subject, stop)) {
        Ok(job) => {
            let title = ask.title();
            let before = view.own.sheet.replace(Sheet::Working(title));
            view.own.asked = Some(Asked { ask, stamp: scene.derived.stamp(), before, job });
            take_answer(ctx, scene, view);
        }
        Err(why) => scene.ask(Intent::Fail(format!("That cannot be worked out now: {why}."))),
    }
}

/// Puts up an answer that is done. One to an earlier state of the library is asked for again.
pub(super) fn take_answer(ctx: &egui::Context, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let Some(mut asked) = view.own.asked.take() else { return };
    let said = match asked.job.take() {
        Taken::Working => {
            view.own.asked = Some(asked);
            return;
        }
        Taken::Failed => {
            view.own.sheet = asked.before;
            return scene.ask(Intent::Fail("That stopped short; nothing was changed. Ask again.".to_owned()));
        }
        Taken::Done(_) if asked.stamp != scene.derived.stamp() => {
            view.own.sheet = asked.before;
            return ask(ctx, scene, view, asked.ask);
        }
        Taken::Done(said) => said,
    };
    match said {
        Said::Proposal(said) => show_proposal(scene, view, (&asked.ask, asked.before), said),
        Said::WhatIf(Ok(proposal)) => view.own.sheet = Some(Sheet::Proposal(Box::new(proposal))),
        Said::WhatIf(Err(words)) => view.own.sheet = Some(Sheet::WhatIf(words)),
        Said::Tightest(rows) => view.own.sheet = Some(Sheet::Tightest(rows)),
    }
}

fn show_proposal(
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (ask, before): (&Ask, Option<Sheet>),
    said: Result<Proposal, String>,
) {
    let among_before = match &before {
        Some(Sheet::Proposal(old)) => old.among,
        _ => None,
    };
    match said {
        Ok(proposal) if matches!(ask, Ask::Proposal(Some(_))) && proposal.among == among_before => {
            scene.ask(Intent::Say("Fewer players are not enough; the line above says why.".to_owned()));
            view.own.sheet = before;
        }
        Ok(proposal) if proposal.left(scene.library).is_empty() => {
            view.own.sheet = None;
            let sure = proposal.words.last().cloned().unwrap_or_default();
            scene.ask(Intent::Say(format!("The assignments already match the proposal. {sure}")));
        }
        Ok(proposal) => view.own.sheet = Some(Sheet::Proposal(Box::new(proposal))),
        Err(words) => {
            view.own.sheet = before;
            scene.ask(Intent::Fail(words));
        }
    }
}

/// Asks for a proposal.
pub(super) fn open_proposal(
    ctx: &egui::Context,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    among: Option<usize>,
) {
    ask(ctx, scene, view, Ask::Proposal(among));
}

/// Opens the questions.
pub(super) fn open_what_if(view: &mut Here<'_>) {
    view.own.sheet = Some(Sheet::WhatIf(String::new()));
}

/// Asks for the list of tightest moves.
pub(super) fn open_tightest(ctx: &egui::Context, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    ask(ctx, scene, view, Ask::Tightest);
}

/// Takes all that a proposal still changes.
pub(super) fn take_all(scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let Some(Sheet::Proposal(proposal)) = &view.own.sheet else { return };
    if let Some(edit) = proposal.all(scene.library) {
        scene.edit(edit);
        scene.ask(Intent::Say("Accepted. Ctrl Z undoes it.".to_owned()));
    }
    view.own.sheet = None;
}

/// Draws the sheet.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, rect: Rect) {
    let Some(sheet) = view.own.sheet.clone() else { return };
    ui.painter().rect_filled(rect, 0.0, scene.tokens.raised);
    marks::upright(ui.painter(), rect.left(), rect.y_range(), scene.tokens.line);
    let inner = rect.shrink2(vec2(space::M, space::S));
    let mut inner = ui.new_child(UiBuilder::new().max_rect(inner).layout(Layout::top_down(Align::Min)));
    inner.set_clip_rect(rect.intersect(ui.clip_rect()));
    let response = inner.response();
    let name = match &sheet {
        Sheet::Working(title) => title,
        Sheet::Proposal(_) => "Proposal",
        Sheet::WhatIf(_) => "What if",
        Sheet::Tightest(_) => "Tightest moves",
    };
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Group, true, name));
    match sheet {
        Sheet::Working(words) => working_ui(&mut inner, scene, view, words),
        Sheet::Proposal(proposal) => proposal_ui(&mut inner, scene, view, &proposal),
        Sheet::WhatIf(said) => what_if_ui(&mut inner, scene, view, &said),
        Sheet::Tightest(rows) => tightest::ui(&mut inner, scene, view, &rows),
    }
}

/// The title with a way out beside it.
fn title(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, words: &str) {
    ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
        if ui.small_button("Close").on_hover_text("Esc").clicked() {
            (view.own.asked, view.own.sheet) = (None, None);
        }
        ui.with_layout(Layout::top_down(Align::Min), |ui| {
            let words = RichText::new(words).font(serif(size::HEADING)).color(scene.tokens.ink);
            ui.add(egui::Label::new(words).wrap());
        });
    });
    ui.add_space(space::XS);
}

/// What is being worked out, and the way out.
fn working_ui(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, words: &str) {
    title(ui, scene, view, words);
    let progress = view.own.asked.as_ref().and_then(|asked| asked.job.progress());
    note(ui, scene, &working_words(progress));
    if ui.button("Cancel").on_hover_text("Esc").clicked() {
        view.own.sheet = view.own.asked.take().and_then(Asked::before);
    }
}

/// How far a search has come. It may be through long before its steps are used up.
fn working_words(progress: Option<(usize, usize)>) -> String {
    match progress {
        Some((done, 100)) => {
            format!("Being worked out: {done} % of the steps that this part of the search may take.")
        }
        Some((done, of)) => format!("Being worked out: {done} of {of}."),
        None => "Being worked out …".to_owned(),
    }
}

fn note(ui: &mut Ui, scene: &Scene<'_>, words: &str) {
    ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2)).wrap());
}

fn proposal_ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, proposal: &Proposal) {
    title(ui, scene, view, &proposal.title);
    let left = proposal.left(scene.library);
    ui.horizontal(|ui| {
        let words = if proposal.whole.is_some() || left.len() == proposal.changes.len() {
            "Accept it"
        } else {
            "Accept the rest"
        };
        let enabled = proposal.whole.is_some() || !left.is_empty();
        let take = ui.add_enabled_ui(enabled, |ui| primary(ui, &scene.tokens, words)).inner;
        if take.on_hover_text("One step of undo (T)").clicked() {
            take_all(scene, view);
        }
    });
    if let Some(among) = proposal.among {
        among_ui(ui, scene, view, among);
    }
    ui.add_space(space::XS);
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        for words in &proposal.words {
            note(ui, scene, words);
            ui.add_space(2.0);
        }
        ledger_ui(ui, scene, proposal);
        if proposal.whole.is_none() {
            let head = match left.len() {
                0 => "Nothing is left to change".to_owned(),
                1 => "1 line changes".to_owned(),
                more => format!("{more} lines change"),
            };
            ui.add_space(space::S);
            ui.label(RichText::new(head).font(semibold(size::TEXT)).color(scene.tokens.ink));
        }
        for change in &left {
            ui.scope_builder(UiBuilder::new(), |ui| change_ui(ui, scene, view, proposal, change));
        }
    });
}

fn among_ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, among: usize) {
    ui.horizontal(|ui| {
        note(ui, scene, "At most");
        let mut wanted = among;
        let most = scene.library.players.len().max(among);
        if ui.button("−").on_hover_text("One player fewer").clicked() && wanted > 1 {
            wanted -= 1;
        }
        ui.label(RichText::new(among.to_string()).font(semibold(size::TEXT)));
        if ui.button("+").on_hover_text("One player more").clicked() && wanted < most {
            wanted += 1;
        }
        note(ui, scene, "players");
        if wanted != among {
            open_proposal(ui.ctx(), scene, view, Some(wanted));
        }
    });
}

fn ledger_ui(ui: &mut Ui, scene: &Scene<'_>, proposal: &Proposal) {
    if proposal.ledger.is_empty() {
        return;
    }
    ui.add_space(space::XS);
    egui::Grid::new("ledger")
        .num_columns(3)
        .spacing([space::S, 2.0])
        .min_col_width(34.0)
        .min_row_height(16.0)
        .show(ui, |ui| {
            ui.label("");
            for word in ["now", "then"] {
                ui.label(RichText::new(word).font(serif_italic(size::NOTE)).color(scene.tokens.ink2));
            }
            ui.end_row();
            for row in &proposal.ledger {
                ui.label(RichText::new(row.what).font(sans(size::NOTE)).color(scene.tokens.ink2));
                ui.label(RichText::new(&row.now).font(sans(size::NOTE)).color(scene.tokens.ink2));
                let font = if row.now == row.then { sans(size::NOTE) } else { semibold(size::NOTE) };
                ui.label(RichText::new(&row.then).font(font).color(scene.tokens.ink));
                ui.end_row();
            }
        });
}

fn change_ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, proposal: &Proposal, change: &Change) {
    let library = scene.library;
    let from = library.programme(&proposal.programme).and_then(|p| p.assignment(&change.at).player);
    let row = egui::Id::unique(("proposed", change.at.work.as_str(), change.at.line.as_str()));
    let chosen = view.selected == Some(Selected::Line(change.at.clone()));
    let shows = shows_actions(ui, row, chosen);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 42.0), Sense::click());
    let response = response.on_hover_cursor(egui::CursorIcon::PointingHand);
    if shows {
        ui.painter().rect_filled(rect, 0.0, if chosen { scene.tokens.soft } else { scene.tokens.sunken });
    }
    let to = change.to.as_ref().map_or_else(|| "an extra".to_owned(), |id| library.player_name(id));
    response
        .widget_info(|| WidgetInfo::labeled(egui::Role::ListItem, true, format!("{} to {to}", change.name)));
    let tokens = scene.tokens;
    let painter = ui.painter();
    marks::hairline(painter, rect.x_range(), rect.top(), tokens.line);
    let words = Rect::from_min_max(rect.min + vec2(0.0, 4.0), rect.max - vec2(80.0, 3.0));
    marks::text_within(painter, words, Align2::LEFT_TOP, &change.name, semibold(size::NOTE), tokens.ink);
    let mut x = rect.left() + 9.0;
    let y = rect.bottom() - 12.0;
    for (player, otherwise) in [(&from, "nobody"), (&change.to, "an extra")] {
        x = if let Some(player) = player.as_ref().and_then(|id| library.players.get(id)) {
            marks::disc(painter, egui::pos2(x, y), 18.0, player);
            x + 16.0
        } else {
            let at = egui::pos2(x - 9.0, y);
            marks::text(painter, at, Align2::LEFT_CENTER, otherwise, sans(size::NOTE), tokens.ink2).right()
                + 6.0
        };
        if otherwise == "nobody" {
            let arrow = egui::pos2(x - 4.0, y);
            x = marks::text(painter, arrow, Align2::LEFT_CENTER, "→", sans(size::TEXT), tokens.ink2).right()
                + 12.0;
        }
    }
    let rest = Rect::from_min_max(egui::pos2(x, y - 9.0), egui::pos2(rect.right() - 80.0, y + 9.0));
    let said = if view.own.scope == Scope::Programme { &change.stands_in } else { &to };
    marks::text_within(painter, rest, Align2::LEFT_CENTER, said, sans(size::NOTE), tokens.ink2);
    let button =
        Rect::from_min_max(egui::pos2(rect.right() - 74.0, rect.top() + 9.0), rect.max - vec2(2.0, 9.0));
    let mut taken = false;
    if shows {
        let take = ui.put(button, egui::Button::new("Accept"));
        take.widget_info(|| {
            WidgetInfo::labeled(egui::Role::Button, true, format!("Accept {} for {to}", change.name))
        });
        taken = take.clicked();
        row_has(ui, row, &[&response, &take]);
    } else {
        row_has(ui, row, &[&response]);
    }
    crate::theme::widgets::focus_ring(ui, &response, &tokens);
    if taken {
        scene.edit(proposal.give(change));
    } else if response.clicked() {
        scene.ask(Intent::Select(Some(Selected::Line(change.at.clone()))));
    }
}

fn what_if_ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, said: &str) {
    title(ui, scene, view, "What if …");
    note(ui, scene, "What breaks, and the smallest repair. Nothing changes until you accept it.");
    ui.add_space(space::S);
    let mut asked = None;
    let used: Vec<PlayerId> = {
        let programme = view.programme_in(scene.library);
        let plays = |id: &PlayerId| programme.is_some_and(|p| p.has_lines_for(id));
        scene.library.roster().iter().map(|p| p.id.clone()).filter(|id| plays(id)).collect()
    };
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        if ui.button("One player fewer").clicked() {
            asked = Some(WhatIf::OneFewer);
        }
        if ui.button("Lines split between players").clicked() {
            asked = Some(WhatIf::Split);
        }
        ui.add_space(space::S);
        note(ui, scene, "A player ill or away");
        for id in &used {
            let name = scene.library.player_name(id);
            if ui.button(format!("Without {name}")).clicked() {
                asked = Some(WhatIf::Without(id.clone()));
            }
        }
        if !said.is_empty() {
            ui.add_space(space::M);
            ui.add(egui::Label::new(RichText::new(said).color(scene.tokens.ink)).wrap());
        }
        ui.add_space(space::M);
        absences(ui, scene, view);
    });
    if let Some(asked) = asked {
        ask(ui.ctx(), scene, view, Ask::WhatIf(asked));
    }
}

/// Who misses which service: proposals keep it in mind where it is a concert.
fn absences(ui: &mut Ui, scene: &mut Scene<'_>, view: &Here<'_>) {
    let Some(programme) = &view.programme else { return };
    let library = scene.library;
    let services = library.services_of(programme);
    if services.is_empty() {
        return;
    }
    note(ui, scene, "Away. Players who are away from a concert are given no lines in proposals.");
    let mut edit = None;
    for player in library.roster() {
        egui::CollapsingHeader::new(&player.name).id_salt(("absence", player.id.as_str())).show(ui, |ui| {
            for service in &services {
                let mut away = player.absences.contains(&service.id);
                let words = format!("{} {}", service.kind.word(), library.days().at(service.start));
                if ui.checkbox(&mut away, words).changed() {
                    let mut next = player.clone();
                    next.absences.retain(|id| *id != service.id);
                    if away {
                        next.absences.push(service.id.clone());
                    }
                    edit = Some(Edit::PutPlayer(next));
                }
            }
        });
    }
    if let Some(edit) = edit {
        scene.edit(edit);
    }
}
