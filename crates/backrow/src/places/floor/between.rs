//! Between works: a setup for one work alone, and the list of what changes from work to work.

use crate::evenings::evening_apart;
use crate::intent::Intent;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, semibold, serif};
use backrow_core::collection::Venue;
use backrow_core::edit::Edit;
use backrow_core::evening::Evening;
use backrow_core::id::WorkId;
use backrow_core::stage::{Changeover, Step};
use backrow_core::week::{Programme, Setup};
use egui::{Rect, RichText, Ui, WidgetInfo, vec2};

/// The work whose own setup is shown and changed; `None` when it is the programme’s.
pub(super) fn own_work<'a>(programme: &Programme, view: &'a Here<'_>) -> Option<&'a WorkId> {
    view.work.as_ref().filter(|work| view.own.for_work && programme.works.contains(work))
}

/// Which setup is shown and changed.
pub(super) fn choice(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, programme: &Programme) {
    let work = view.work.as_ref().filter(|id| programme.works.contains(id));
    let Some(work) = work.and_then(|id| scene.library.works.get(id)) else { return };
    let words = if view.own.for_work { work.title.as_str() } else { "all works" };
    let combo = egui::ComboBox::from_id_salt("setup for")
        .selected_text(RichText::new(format!("for {words}")))
        .width(128.0)
        .truncate()
        .show_ui(ui, |ui| {
            ui.selectable_value(&mut view.own.for_work, false, "for all works");
            ui.selectable_value(&mut view.own.for_work, true, format!("for {} alone", work.title));
        });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, "Setup for"));
    combo.response.on_hover_text(
        "What you move applies to this choice; everything else stays where it usually stands (B)",
    );
}

/// Turns the changes that were asked for into changes for one work.
pub(super) fn for_one_work(scene: &mut Scene<'_>, from: usize, work: &WorkId) {
    for intent in scene.intents.iter_mut().skip(from) {
        if let Intent::Edit(edit) = intent {
            turn(edit, work);
        }
    }
}

fn turn(edit: &mut Edit, work: &WorkId) {
    match edit {
        Edit::Stand { programme, instrument, placement } => {
            *edit = Edit::StandFor {
                programme: programme.clone(),
                work: work.clone(),
                instrument: instrument.clone(),
                placement: *placement,
            };
        }
        Edit::TakeOff { programme, instrument } => {
            *edit = Edit::TakeOffFor {
                programme: programme.clone(),
                work: work.clone(),
                instrument: instrument.clone(),
            };
        }
        Edit::Together { edits, .. } => edits.iter_mut().for_each(|edit| turn(edit, work)),
        _ => {}
    }
}

/// The list of changes over the right part of the plan.
pub(super) fn list(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (evening, venue): (&Evening, &Venue),
    rect: Rect,
) {
    let tokens = scene.tokens;
    ui.painter().rect_filled(rect, 0.0, tokens.raised);
    marks::upright(ui.painter(), rect.left(), rect.y_range(), tokens.line);
    let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(rect.shrink2(vec2(space::M, space::S))));
    inner.set_clip_rect(rect.intersect(ui.clip_rect()));
    let ui = &mut inner;
    // What is proposed is seen before it is accepted.
    let proposed = view.own.proposal.clone().and_then(|proposal| proposal.for_works);
    let (changes, setup) = match &proposed {
        Some(own) => (own.changes.as_slice(), &own.setup),
        None => (evening.changes(), &evening.programme().setup),
    };
    ui.horizontal(|ui| {
        let title = if proposed.is_some() { "Between works, as proposed" } else { "Between works" };
        ui.label(RichText::new(title).font(serif(size::HEADING)).color(tokens.ink));
        if ui.small_button("Close").on_hover_text("C").clicked() {
            view.own.listed = false;
        }
    });
    let note = |words: &str| RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2);
    if changes.is_empty() {
        let words = "Nothing moves between the works: one setup holds for all of them. \
                     Choose “for this work alone” above to move, bring or take away something for it.";
        ui.add(egui::Label::new(note(words)).wrap());
        return;
    }
    let total: f64 = changes.iter().map(Changeover::minutes).sum();
    let words = format!(
        "People and minutes are estimates for one crew, {total:.0}\u{202F}min in all; heavy things only under local rules."
    );
    ui.add(egui::Label::new(note(&words)).wrap());
    let hover = "Instruments stay in one place for the whole concert wherever they clash with nothing";
    if proposed.is_none() && ui.button("Fewer changes").on_hover_text(hover).clicked() {
        fewer(scene, evening, venue);
    }
    egui::ScrollArea::vertical().id_salt("changes").auto_shrink([false, false]).show(ui, |ui| {
        for change in changes {
            one(ui, scene, setup, change);
        }
    });
}

fn one(ui: &mut Ui, scene: &Scene<'_>, setup: &Setup, change: &Changeover) {
    let title = |id: &WorkId| scene.library.works.get(id).map_or_else(|| id.to_string(), |w| w.title.clone());
    ui.add_space(space::S);
    let head = format!("{} → {}", title(&change.from), title(&change.to));
    ui.add(egui::Label::new(RichText::new(head).font(semibold(size::TEXT)).color(scene.tokens.ink)).wrap());
    let sum = format!(
        "{}; {}",
        if change.steps.len() == 1 { "1 step".to_owned() } else { format!("{} steps", change.steps.len()) },
        change.took()
    );
    ui.label(RichText::new(sum).font(sans(size::NOTE)).color(scene.tokens.ink2));
    for step in &change.steps {
        let words = RichText::new(step_words(scene, setup, step)).font(sans(size::NOTE));
        ui.add(egui::Label::new(words.color(scene.tokens.ink)).wrap());
    }
}

/// "bring 5 Tubular bells 1, 4 people".
fn step_words(scene: &Scene<'_>, setup: &Setup, step: &Step) -> String {
    format!("{}, {}", step.words(scene.library, setup), step.carrying)
}

fn fewer(scene: &mut Scene<'_>, evening: &Evening, venue: &Venue) {
    let count = |evening: &Evening| evening.changes().iter().map(|change| change.steps.len()).sum::<usize>();
    let programme = evening.programme();
    let mut next = programme.clone();
    next.setup = evening.settled(venue);
    let (was, is) = (count(evening), count(&evening_apart(evening.library(), &next)));
    if is >= was {
        let words = "No fewer changes are possible: everything that differs would clash if it stood in one place for all works.";
        scene.ask(Intent::Say(words.to_owned()));
        return;
    }
    let Some(week) = scene.library.week_of(&programme.id).map(|week| week.id.clone()) else { return };
    let words = format!("Reduce changes between works from {was} to {is}");
    let edits = vec![Edit::PutProgramme { week, programme: next }];
    scene.edit(Edit::Together { words, edits });
}
