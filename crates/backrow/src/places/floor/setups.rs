//! The whole setup: one proposed, one taken over from another programme, or none.

use super::labels::{Labels, Look};
use super::scale::Scale;
use crate::background::{Job, Taken};
use crate::evenings::evening_apart;
use crate::intent::Intent;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::theme::widgets::primary;
use crate::words::many;
use backrow_core::collection::Venue;
use backrow_core::edit::Edit;
use backrow_core::evening::places::{Proposed, edits, propose};
use backrow_core::id::{InstrumentId, WorkId, listed};
use backrow_core::library::Library;
use backrow_core::stage::figure;
use backrow_core::week::{Placement, Programme, Setup, WorkSetup};
use egui::{Rect, RichText, Shape, Stroke, Ui};
use std::collections::BTreeSet;
use std::sync::Arc;

/// The menu.
pub(super) fn menu(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    programme: &Programme,
    venue: &Venue,
) {
    let library = scene.library;
    let response = ui.menu_button("Setup …", |ui| {
        let hover = "Suggests places for everything not yet placed (P)";
        if ui.button("Propose places").on_hover_text(hover).clicked() {
            ask(ui.ctx(), scene, view, programme, venue);
            ui.close();
        }
        ui.separator();
        ui.label("As in");
        let mut any = false;
        for (week, other) in library.programmes() {
            if other.id == programme.id || other.setup.is_empty() {
                continue;
            }
            any = true;
            let count = other.standing_anywhere().len();
            let hall = other.venue.as_ref().and_then(|id| library.venues.get(id)).map_or("", |v| &v.name);
            let words = format!("{}, {}, {hall}: {}", other.title, week.title, many(count, "instrument"));
            if ui
                .button(words)
                .on_hover_text("Only what this programme uses too; one undo reverses it")
                .clicked()
            {
                take_over(scene, view, programme, other);
                ui.close();
            }
        }
        if !any {
            ui.label(RichText::new("no other programme has a setup yet").font(sans(size::NOTE)));
        }
        ui.separator();
        if ui.button("Draw a new venue").clicked() {
            view.own.drawings.put(super::venue::Drawing::new());
            ui.close();
        }
        if ui.button("Take everything off the floor").clicked() {
            if let Some(edit) = everything_off(library, programme) {
                scene.edit(edit);
            }
            ui.close();
        }
    });
    response.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, "Setup"));
}

/// Begins to work a proposal out; [`take_answer`] puts it up.
pub(super) fn ask(
    ctx: &egui::Context,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    programme: &Programme,
    venue: &Venue,
) {
    let work = super::between::own_work(programme, view).cloned();
    // With the floor of one work the programme is shown as if that held for all of it, and nobody remembers that.
    let remembered =
        work.is_none().then(|| scene.derived.evening_of(scene.library, scene.revision, programme));
    let (library, shown, venue) = (scene.library.clone(), programme.clone(), venue.clone());
    let job = Job::start(ctx, "places", move |stop| {
        let evening = remembered.unwrap_or_else(|| Arc::new(evening_apart(&library, &shown)));
        propose(&evening, &venue, work.as_ref(), &stop.halt())
    });
    match job {
        Ok(job) => {
            view.own.places = Some((scene.revision, job));
        }
        Err(why) => scene.ask(Intent::Fail(format!("No places can be looked for now: {why}."))),
    }
}

/// Puts up the proposal that has been worked out, or says why there is none.
pub(super) fn take_answer(scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let Some((revision, job)) = &mut view.own.places else { return };
    let same = *revision == scene.revision;
    match job.take() {
        Taken::Working => return,
        Taken::Done(Some(found)) if same && found.is_empty() => {
            let words = format!(
                "No better places were found: everything that is used stands, or finds no room. {}",
                moves_words(scene.library, &found, NAMED)
            );
            scene.ask(Intent::Say(words));
        }
        Taken::Done(Some(found)) if same => {
            scene.ask(Intent::Say(format!("Nothing is placed yet: accept the places, or cancel. {CAUTION}")));
            // What would be carried between the works is to be seen before anything is accepted.
            view.own.listed |= found.for_works.is_some();
            view.own.proposal = Some(found);
        }
        Taken::Done(None) if same => {
            let words =
                "Nothing to propose: everything the programme uses is placed already, or no place was found.";
            scene.ask(Intent::Say(words.to_owned()));
        }
        Taken::Done(_) => {
            let words = "Something has changed in the meantime: ask for places again.";
            scene.ask(Intent::Fail(words.to_owned()));
        }
        Taken::Failed => scene.ask(Intent::Fail("The search for places stopped short.".to_owned())),
    }
    view.own.places = None;
}

/// How many impossible moves are named in the line; the rest is counted, and named in its hint.
const NAMED: usize = 2;

/// What the proposed places do to the moves, and which stay impossible and why, so many of them named.
fn moves_words(library: &Library, proposed: &Proposed, named: usize) -> String {
    let Proposed { difference, lacking, .. } = proposed;
    let told = |many: usize, one: &str, more: &str| match many {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {more}")),
    };
    let count = |many: usize, word: &str| told(many, &format!("move {word}"), &format!("moves {word}"));
    let before = lacking.len().saturating_sub(difference.impossible.len());
    let parts = [
        count(difference.shorter.len(), "shorter"),
        count(difference.longer.len(), "longer"),
        told(difference.possible.len(), "move possible that was not", "moves possible that were not"),
        told(difference.impossible.len(), "move impossible that was not", "moves impossible that were not"),
        count(before, "impossible as before"),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    let head =
        if parts.is_empty() { "No move changes.".to_owned() } else { format!("{}.", parts.join(", ")) };
    let lacks = lacking.iter().take(named).map(|one| one.words(library));
    let left = lacking.len().saturating_sub(named);
    let more = told(left, "other move lacks its seconds.", "other moves lack their seconds.");
    std::iter::once(head).chain(lacks).chain(more).collect::<Vec<_>>().join(" ")
}

/// Nothing stands any more, for no work either, whichever floor is shown.
fn everything_off(library: &Library, programme: &Programme) -> Option<Edit> {
    if programme.setup.is_empty() {
        return None;
    }
    let week = library.week_of(&programme.id)?.id.clone();
    let mut programme = programme.clone();
    programme.setup = Setup::default();
    let edits = vec![Edit::PutProgramme { week, programme }];
    Some(Edit::Together { words: "Take everything off the floor".to_owned(), edits })
}

/// The setup of another programme, taken over for what this one uses or has on a floor.
struct TakenOver<'a> {
    programme: &'a Programme,
    other: &'a Programme,
    wanted: BTreeSet<&'a InstrumentId>,
}

impl<'a> TakenOver<'a> {
    fn of(programme: &'a Programme, other: &'a Programme) -> Self {
        let here = programme.instruments();
        let wanted = other.standing_anywhere().into_iter().filter(|id| here.contains(id)).collect();
        Self { programme, other, wanted }
    }

    /// Everything of it, or what concerns one work where only that one's floor is shown.
    fn edits(&self, work: Option<&WorkId>) -> Vec<Edit> {
        let mut edits = if let Some(work) = work {
            // The floor's edits are for the work that is shown.
            self.stand(self.other.setup.of_work(work).iter())
        } else {
            let mut all = self.stand(self.other.setup.places());
            all.extend(self.for_works());
            all
        };
        edits.extend(self.ties());
        edits
    }

    fn stand<'p>(&self, places: impl Iterator<Item = (&'p InstrumentId, &'p Placement)>) -> Vec<Edit> {
        let wanted = places.filter(|(id, _)| self.wanted.contains(id));
        let stand = |(id, placement): (&InstrumentId, &Placement)| Edit::Stand {
            programme: self.programme.id.clone(),
            instrument: id.clone(),
            placement: *placement,
        };
        wanted.map(stand).collect()
    }

    /// What differs for works that both play: as it differs there, and as in the base where it does not.
    fn for_works(&self) -> Vec<Edit> {
        let mut edits = Vec::new();
        let (programme, none) = (|| self.programme.id.clone(), WorkSetup::default());
        for (_, work) in self.programme.works_in_order().filter(|(_, work)| self.other.plays(work)) {
            let there = self.other.setup.own_of(work).unwrap_or(&none);
            let here = self.programme.setup.own_of(work).unwrap_or(&none);
            let (placed, away): (BTreeSet<_>, BTreeSet<_>) =
                (there.places().map(|(id, _)| id).collect(), there.taken_away().collect());
            let differs = here.places().map(|(id, _)| id).chain(here.taken_away());
            let back = differs.filter(|id| !placed.contains(id) && !away.contains(id));
            edits.extend(back.filter(|id| self.wanted.contains(id)).map(|id| Edit::AsBase {
                programme: programme(),
                work: work.clone(),
                instrument: id.clone(),
            }));
            let stand = there.places().filter(|(id, _)| self.wanted.contains(id));
            edits.extend(stand.map(|(id, placement)| Edit::StandFor {
                programme: programme(),
                work: work.clone(),
                instrument: id.clone(),
                placement: *placement,
            }));
            edits.extend(away.into_iter().filter(|id| self.wanted.contains(id)).map(|id| Edit::TakeOffFor {
                programme: programme(),
                work: work.clone(),
                instrument: id.clone(),
            }));
        }
        edits
    }

    /// What lies on something, and what stands as one.
    fn ties(&self) -> Vec<Edit> {
        let (here, there) = (&self.programme.setup, &self.other.setup);
        let differ = || self.wanted.iter().filter(|id| here.bearer_of(id) != there.bearer_of(id));
        let lie = |id: &InstrumentId, by: Option<&InstrumentId>| Edit::LieOn {
            programme: self.programme.id.clone(),
            instrument: id.clone(),
            by: by.cloned(),
        };
        let mut edits: Vec<Edit> = differ().map(|id| lie(id, None)).collect();
        let bearer = |id: &InstrumentId| there.bearer_of(id).filter(|by| self.wanted.contains(by));
        edits.extend(differ().filter_map(|id| Some(lie(id, Some(bearer(id)?)))));
        let stations = there.in_stations();
        let stations = stations.filter(|(id, with)| self.wanted.contains(id) && self.wanted.contains(with));
        edits.extend(stations.map(|(id, with)| Edit::StandWith {
            programme: self.programme.id.clone(),
            instrument: id.clone(),
            with: Some(with.clone()),
        }));
        edits
    }
}

/// Takes over the other setup, the floors of single works too; of the one work that is shown, where only that is.
fn take_over(scene: &mut Scene<'_>, view: &Here<'_>, programme: &Programme, other: &Programme) {
    let taken = TakenOver::of(programme, other);
    let edits = taken.edits(super::between::own_work(programme, view));
    if edits.is_empty() {
        let words = format!("{} uses nothing that is placed in {}.", programme.title, other.title);
        scene.ask(Intent::Say(words));
        return;
    }
    let words = format!("Set up as in {}: {}", other.title, many(taken.wanted.len(), "instrument"));
    scene.edit(Edit::Together { words, edits });
}

/// What a proposed setup is worth.
const CAUTION: &str = "A first sketch from outlines only; the venue’s staff decide what may stand where.";

/// What is proposed over the plan, in dashes; its names go into the layer of labels.
pub(super) fn sketched(
    painter: &egui::Painter,
    scene: &Scene<'_>,
    view: &Here<'_>,
    (scale, labels): (&Scale, &mut Labels),
) {
    let Some(found) = &view.own.proposal else { return };
    let tokens = scene.tokens;
    for (id, placement) in &found.places_for(view.work.as_ref()) {
        let Some(thing) = scene.library.instruments.get(id) else { continue };
        let outline = scale.line(&figure(thing.footprint.shape, placement).outline);
        let closed: Vec<_> = outline.iter().chain(outline.first()).copied().collect();
        let bounds = Rect::from_points(&outline);
        painter.add(Shape::convex_polygon(outline, tokens.soft, Stroke::NONE));
        painter.extend(Shape::dashed_line(&closed, Stroke::new(1.5, tokens.accent), 5.0, 3.0));
        labels.spare(bounds);
        let look = Look::Name(bounds.width().max(60.0));
        labels.words_on(&thing.name, look, (bounds, scale.pos(placement.at)));
    }
}

/// "12 places proposed, 2 of them for what stands already, 3 stations that stand as one."
fn what_words(found: &Proposed) -> String {
    if let Some(own) = &found.for_works {
        return own.words();
    }
    let heads: std::collections::BTreeSet<_> = found.sketch.stations.values().collect();
    let stations = match heads.len() {
        0 => String::new(),
        1 => ", 1 station that stands as one".to_owned(),
        n => format!(", {n} stations that stand as one"),
    };
    let again = match found.moved.len() {
        0 => String::new(),
        n => format!(", {n} of them for what stands already"),
    };
    format!("{} proposed{again}{stations}.", many(found.sketch.places.len(), "place"))
}

/// What accepts the proposal or cancels it, and what it is worth.
pub(super) fn proposal(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, scale: &Scale) {
    let Some(found) = view.own.proposal.clone() else { return };
    let Proposed { difference, lacking, .. } = &found;
    let tokens = scene.tokens;
    let (row, below) = scale.above.split_top_bottom_at_y(scale.above.top() + super::scale::ABOVE);
    let builder =
        egui::UiBuilder::new().max_rect(row).layout(egui::Layout::left_to_right(egui::Align::Center));
    let mut line = ui.new_child(builder);
    // The buttons first: words of any length are cut and push nothing off the plan.
    if primary(&mut line, &scene.tokens, "Accept them").on_hover_text("One step of undo (T)").clicked() {
        take(scene, view);
    }
    if line.button("Cancel").on_hover_text("Nothing changes (Esc)").clicked() {
        view.own.proposal = None;
        scene.ask(Intent::Say("Cancelled: nothing is placed.".to_owned()));
    }
    let shown = view.own.shown();
    let left = shown.map_or_else(Vec::new, |shown| found.left(&shown).into_iter().collect());
    let left: Vec<String> = left.iter().map(|id| scene.library.instrument_name(id)).collect();
    line.label(RichText::new(what_words(&found)).color(tokens.ink)).on_hover_text(CAUTION);
    if !left.is_empty() {
        let words = format!("{} without a place", left.len());
        let why = format!(
            "No free ground behind the orchestra is large enough for {}: make room, or stand them elsewhere by hand.",
            listed(&left)
        );
        line.label(RichText::new(words).color(tokens.ink).underline()).on_hover_text(why);
    }
    let builder =
        egui::UiBuilder::new().max_rect(below).layout(egui::Layout::left_to_right(egui::Align::TOP));
    let mut rows = ui.new_child(builder);
    let ink = if difference.impossible.is_empty() { tokens.ink } else { tokens.clash };
    if !lacking.is_empty() {
        let (rect, _) = rows.allocate_exact_size(egui::vec2(14.0, 18.0), egui::Sense::hover());
        crate::theme::marks::mark(rows.painter(), rect.center(), crate::theme::marks::Mark::Clash, &tokens);
    }
    let words = moves_words(scene.library, &found, NAMED);
    egui::ScrollArea::vertical().id_salt("what the places do").auto_shrink([false, false]).show(
        &mut rows,
        |ui| {
            let label = ui.add(egui::Label::new(RichText::new(&words).color(ink)).wrap());
            label.on_hover_text(moves_words(scene.library, &found, usize::MAX));
        },
    );
}

/// Takes what is proposed.
pub(super) fn take(scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let (Some(found), Some(shown)) = (view.own.proposal.take(), view.own.shown()) else { return };
    let Some(programme) = scene.library.programme(&shown.id) else { return };
    let words = match &found.for_works {
        Some(_) => "Set up each work as proposed".to_owned(),
        None => format!("Place {} as proposed", many(found.sketch.places.len(), "instrument")),
    };
    let edits = edits(programme, &found);
    if !edits.is_empty() {
        scene.edit(Edit::Together { words, edits });
    }
}
