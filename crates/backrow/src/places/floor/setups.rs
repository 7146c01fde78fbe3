//! The whole setup: one proposed, one taken over from another programme, or none.

use super::labels::{Labels, Look};
use super::many::stand_all;
use super::scale::Scale;
use crate::background::{Job, Taken};
use crate::intent::Intent;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::theme::widgets::primary;
use crate::words::many;
use backrow_core::collection::Venue;
use backrow_core::edit::Edit;
use backrow_core::evening::Evening;
use backrow_core::evening::places::{Difference, Proposed, edits, propose};
use backrow_core::id::listed;
use backrow_core::library::Library;
use backrow_core::music::stretch_words;
use backrow_core::seconds::{Round, text};
use backrow_core::stage::figure;
use backrow_core::week::Programme;
use egui::{Rect, RichText, Shape, Stroke, Ui};

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
            if other.id == programme.id || other.setup.base().is_empty() {
                continue;
            }
            any = true;
            let count = other.setup.base().len();
            let hall = other.venue.as_ref().and_then(|id| library.venues.get(id)).map_or("", |v| &v.name);
            let words = format!("{}, {}, {hall}: {}", other.title, week.title, many(count, "instrument"));
            if ui
                .button(words)
                .on_hover_text("Only what this programme uses too; one undo reverses it")
                .clicked()
            {
                take_over(scene, programme, other);
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
            let off = programme
                .setup
                .base()
                .keys()
                .map(|id| Edit::TakeOff { programme: programme.id.clone(), instrument: id.clone() });
            let edits: Vec<Edit> = off.collect();
            if !edits.is_empty() {
                scene.edit(Edit::Together { words: "Take everything off the floor".to_owned(), edits });
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
    let (library, shown, venue) = (scene.library.clone(), programme.clone(), venue.clone());
    let job = Job::start(ctx, "places", move |stop| {
        propose(&Evening::of(&library, &shown), &venue, work.as_ref(), &stop.halt())
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
        Taken::Done(Some(found)) if same => {
            scene.ask(Intent::Say(format!("Nothing is placed yet: accept the places, or cancel. {CAUTION}")));
            view.own.proposal = Some(found);
        }
        Taken::Done(None) if same => {
            let words =
                "Nothing to propose: everything the programme uses is placed already, or no place was found.";
            scene.ask(Intent::Say(words.to_owned()));
        }
        Taken::Done(_) => {
            let words = "Something has changed meanwhile: ask for places once more.";
            scene.ask(Intent::Say(words.to_owned()));
        }
        Taken::Failed => scene.ask(Intent::Fail("The search for places stopped short.".to_owned())),
    }
    view.own.places = None;
}

/// What the proposed places do to the moves, in a sentence or two.
fn moves_words(library: &Library, difference: &Difference) -> String {
    if difference.is_empty() {
        return "No move changes.".to_owned();
    }
    let count = |many: usize, word: &str| match many {
        0 => None,
        1 => Some(format!("1 move {word}")),
        more => Some(format!("{more} moves {word}")),
    };
    let parts = [
        count(difference.shorter.len(), "shorter"),
        count(difference.longer.len(), "longer"),
        count(difference.possible.len(), "possible that was not"),
        count(difference.impossible.len(), "impossible that was not"),
    ];
    let head = format!("{}.", parts.into_iter().flatten().collect::<Vec<_>>().join(", "));
    let lacks = difference.impossible.iter().take(2).map(|one| {
        let (step, player) = (&one.after, library.player_name(&one.player));
        format!(
            "{player}, {}: needs {}\u{202F}s, has {}\u{202F}s.",
            stretch_words(&step.from.measure, &step.to.measure),
            text(step.need.us(), Round::Up),
            text(step.has_us, Round::Down)
        )
    });
    std::iter::once(head).chain(lacks).collect::<Vec<_>>().join(" ")
}

/// The other setup's places for what this programme uses, or stands already.
fn take_over(scene: &mut Scene<'_>, programme: &Programme, other: &Programme) {
    let uses = |id: &backrow_core::id::InstrumentId| {
        programme.setup.base().contains_key(id) || programme.lines().any(|(_, given)| given.is_on(id))
    };
    let own = other.setup.base().iter().filter(|(id, _)| uses(id));
    let all: Vec<_> = own.map(|(id, placement)| (id.clone(), *placement)).collect();
    if all.is_empty() {
        let words = format!("{} uses nothing that is placed in {}.", programme.title, other.title);
        scene.ask(Intent::Say(words));
        return;
    }
    let words = format!("Set up as in {}: {}", other.title, many(all.len(), "instrument"));
    // Numbers must stay different: what stands here beside them gets the next free ones.
    let mut taken: Vec<u32> = all.iter().map(|(_, placement)| placement.number).collect();
    let mut edits = vec![stand_all(&programme.id, words.clone(), all.clone())];
    let ties = all.iter().filter(|(id, _)| programme.setup.borne.get(id) != other.setup.borne.get(id));
    edits.extend(ties.clone().map(|(id, _)| Edit::Bear {
        programme: programme.id.clone(),
        instrument: id.clone(),
        by: None,
    }));
    edits.extend(ties.filter_map(|(id, _)| {
        let by = other.setup.borne.get(id).filter(|by| all.iter().any(|(there, _)| there == *by))?.clone();
        Some(Edit::Bear { programme: programme.id.clone(), instrument: id.clone(), by: Some(by) })
    }));
    let stations = other.setup.stations.iter().filter(|(id, with)| {
        let there = |one: &backrow_core::id::InstrumentId| all.iter().any(|(id, _)| id == one);
        there(id) && there(with)
    });
    edits.extend(stations.map(|(id, with)| Edit::StandWith {
        programme: programme.id.clone(),
        instrument: id.clone(),
        with: Some(with.clone()),
    }));
    for (id, placement) in programme.setup.base() {
        if all.iter().any(|(other, _)| other == id) || !taken.contains(&placement.number) {
            taken.push(placement.number);
            continue;
        }
        let number = (1..=u32::MAX).find(|n| !taken.contains(n)).unwrap_or(placement.number);
        taken.push(number);
        let placement = backrow_core::week::Placement { number, ..*placement };
        edits.push(Edit::Stand { programme: programme.id.clone(), instrument: id.clone(), placement });
    }
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
    let Some(Proposed { sketch, .. }) = &view.own.proposal else { return };
    let tokens = scene.tokens;
    for (id, placement) in &sketch.places {
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

/// What accepts the proposal or cancels it, and what it is worth.
pub(super) fn proposal(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, scale: &Scale) {
    let Some(Proposed { sketch, difference }) = view.own.proposal.clone() else { return };
    let tokens = scene.tokens;
    let found = &sketch.places;
    let builder =
        egui::UiBuilder::new().max_rect(scale.above).layout(egui::Layout::left_to_right(egui::Align::Center));
    let mut line = ui.new_child(builder);
    // The buttons first: words of any length are cut and push nothing off the plan.
    if primary(&mut line, &scene.tokens, "Accept them").on_hover_text("One step of undo (T)").clicked() {
        take(scene, view);
    }
    if line.button("Cancel").on_hover_text("Nothing changes (Esc)").clicked() {
        view.own.proposal = None;
    }
    let left: Vec<String> = view.own.shown().map_or_else(Vec::new, |programme| {
        let used = programme.used();
        let open = |id: &&&backrow_core::id::InstrumentId| {
            programme.number_of(id).is_none() && !found.contains_key(**id)
        };
        used.iter().filter(open).map(|id| scene.library.instrument_name(id)).collect()
    });
    let heads: std::collections::BTreeSet<_> = sketch.stations.values().collect();
    let stations = match heads.len() {
        0 => String::new(),
        1 => ", 1 station that stands as one".to_owned(),
        n => format!(", {n} stations that stand as one"),
    };
    let words = format!("{} proposed{stations}.", many(found.len(), "place"));
    line.label(RichText::new(words).color(tokens.ink)).on_hover_text(CAUTION);
    if !left.is_empty() {
        let words = format!("{} without a place", left.len());
        let why = format!(
            "No free ground behind the orchestra is large enough for {}: make room, or stand them elsewhere by hand.",
            listed(&left)
        );
        line.label(RichText::new(words).color(tokens.ink).underline()).on_hover_text(why);
    }
    if !difference.impossible.is_empty() {
        let (rect, _) = line.allocate_exact_size(egui::vec2(14.0, 18.0), egui::Sense::hover());
        crate::theme::marks::mark(line.painter(), rect.center(), crate::theme::marks::Mark::Clash, &tokens);
    }
    let ink = if difference.impossible.is_empty() { tokens.ink } else { tokens.clash };
    let moves = moves_words(scene.library, &difference);
    let label = line.add(egui::Label::new(RichText::new(&moves).color(ink)).truncate());
    label.on_hover_text(&moves);
}

/// Takes what is proposed.
pub(super) fn take(scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let (Some(found), Some(programme)) = (view.own.proposal.take(), view.programme.clone()) else { return };
    let words = format!("Place {} as proposed", many(found.sketch.places.len(), "instrument"));
    scene.edit(Edit::Together { words, edits: edits(&programme, &found.sketch) });
}
