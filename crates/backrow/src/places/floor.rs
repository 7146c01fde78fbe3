//! Floor: the venue to scale; instruments dragged in from store, moved, turned, snapped.

mod bearing;
mod between;
mod chosen;
mod figures;
mod keys;
mod labels;
mod loads;
mod many;
mod palette;
mod plan;
mod scale;
mod setups;
mod things;
mod venue;
mod ways;

use crate::background::Job;
use crate::drafts::shelf::Slip;
use crate::drafts::{Forms, Left};
use crate::intent::Intent;
use crate::memo::Memo;
use crate::page;
use crate::scene::Scene;
use crate::theme::tokens::space;
use crate::theme::widgets::in_menu;
use crate::view::View;
use backrow_core::collection::{Point, Venue};
use backrow_core::edit::Edit;
use backrow_core::evening::places::Proposed;
use backrow_core::evening::{Evening, Floor};
use backrow_core::id::{InstrumentId, ProgrammeId, VenueId, WorkId};
use backrow_core::library::Library;
use backrow_core::week::{Placement, Programme};
use egui::{Rect, RichText, Ui, pos2, vec2};
use scale::Scale;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

pub use keys::KEYS;

/// The view with this place's own state.
type Here<'v> = crate::view::Here<'v, State>;

/// What the place looks at.
pub struct State {
    shown: Shown,
    snap: bool,
    /// Steps of zoom from the whole floor.
    zoom: i32,
    /// Metres by which the middle of the view is moved.
    pan: Point,
    /// The things that are being moved or turned, and where they would stand.
    preview: Vec<(InstrumentId, Placement)>,
    /// What is chosen beside the selected thing.
    also: BTreeSet<InstrumentId>,
    /// Where a box to choose with was begun.
    box_from: Option<egui::Pos2>,
    /// The venue on the drawing board.
    drawings: Forms<venue::Drawing>,
    /// What is moved holds for the current work alone.
    for_work: bool,
    /// Whether the changes between works are listed.
    listed: bool,
    /// The programme as it is, and as it is shown.
    programmes: Memo<FloorKey, (Arc<Programme>, Arc<Programme>)>,
    /// Places that are proposed.
    proposal: Option<Proposed>,
    /// Places that are being looked for, at which revision.
    places: Option<(u64, Job<Option<Proposed>>)>,
    search: String,
    moved: Memo<MovedKey, Floor>,
    goings: Memo<ways::Key, Vec<ways::Going>>,
    held: Option<ways::Held>,
}

/// What is drawn beside the instruments.
#[derive(Clone, Copy)]
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own")]
struct Shown {
    standing: bool,
    ways: bool,
    loads: bool,
    furniture: bool,
}

impl Default for State {
    fn default() -> Self {
        Self {
            shown: Shown { standing: true, ways: true, loads: false, furniture: true },
            snap: true,
            zoom: 0,
            pan: Point::default(),
            preview: Vec::new(),
            also: BTreeSet::new(),
            box_from: None,
            drawings: Forms::default(),
            for_work: false,
            listed: false,
            programmes: Memo::default(),
            proposal: None,
            places: None,
            search: String::new(),
            moved: Memo::default(),
            goings: Memo::default(),
            held: None,
        }
    }
}

/// What the programme as it is shown follows from. Whatever is worked out of that programme has this in its own key.
#[derive(Clone, Debug, PartialEq, Eq)]
struct FloorKey {
    revision: u64,
    programme: ProgrammeId,
    own_work: Option<WorkId>,
}

impl FloorKey {
    fn new(scene: &Scene<'_>, programme: &Programme, own_work: Option<&WorkId>) -> Self {
        Self { revision: scene.revision, programme: programme.id.clone(), own_work: own_work.cloned() }
    }
}

/// What the floor follows from while something is in the hand.
type MovedKey = (FloorKey, Vec<(InstrumentId, Placement)>);

impl State {
    /// The programme as it is shown: with the setup of one work, where that is chosen.
    fn shown(&self) -> Option<Arc<Programme>> {
        self.programmes.held().map(|(_, shown)| shown.clone())
    }

    /// Puts a venue on the drawing board.
    pub fn draw(&mut self, venue: &Venue) {
        self.drawings.put(venue::Drawing::of(venue));
    }

    /// How far the search for places has come, where there is one.
    pub fn search(&self) -> Option<String> {
        let (_, job) = self.places.as_ref()?;
        let words = "Looking for places";
        Some(job.progress().map_or_else(|| format!("{words} …"), |(done, _)| format!("{words}: {done} %")))
    }

    /// Ends the search for places; whether there was one.
    pub fn cancel_search(&mut self) -> bool {
        self.places.take().is_some()
    }

    /// How many venues are drawn and not saved.
    pub fn unsaved(&self) -> usize {
        self.drawings.unsaved()
    }

    /// The venues that are drawn and not saved, as they are kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        self.drawings.held().filter_map(venue::Drawing::slip).collect()
    }

    /// Puts a drawing that was kept on disk among the drafts; whether it could be.
    pub fn take_slip(&mut self, slip: &Slip, library: &Library) -> bool {
        let drawing = venue::Drawing::of_slip(slip, library);
        drawing.map(|drawing| self.drawings.put_aside(drawing)).is_some()
    }

    /// A step back, or forth again, on the drawing board; whether there was one, and nothing where no board is open.
    pub fn step_here(&mut self, back: bool) -> Option<bool> {
        self.drawings.open_mut().map(|drawing| if back { drawing.back() } else { drawing.forth() })
    }

    /// Puts back what is proposed or chosen; whether anything was.
    pub fn cancel(&mut self) -> bool {
        let drawn = self.drawings.leave() != Left::Nothing;
        self.places = None;
        let any = drawn || self.proposal.take().is_some() || !self.also.is_empty();
        self.also.clear();
        any
    }
}

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    let full = ui.max_rect();
    if let Some(mut drawing) = view.own.drawings.take() {
        let outcome = venue::ui(ui, scene, view, &mut drawing, full);
        if let Some(words) = view.own.drawings.end(drawing, outcome).words() {
            scene.ask(Intent::Say(words.to_owned()));
        }
        return;
    }
    let heading = page::slot(full);
    let Some((whole, programme)) = programmes(scene, view) else {
        page::heading(ui, heading, &scene.tokens, "Floor", |_| ());
        let what_for = "Here the instruments of a programme are placed in its hall, to scale.";
        return page::empty_below(ui, scene, full, what_for);
    };
    let asked_before = scene.intents.len();
    setups::take_answer(scene, view);
    let venue = whole.venue.as_ref().and_then(|id| scene.library.venues.get(id)).cloned();
    heading_ui(ui, scene, view, &whole, venue.as_deref(), heading);
    let Some(venue) = venue else {
        return nothing(ui, full, |ui| choose_venue(ui, scene, view, &whole));
    };
    drafts(ui, scene, view, heading);
    // Worked out for the current programme in every frame before the places are drawn.
    let Some(evening) = scene.derived.present().filter(|evening| evening.programme().id == whole.id) else {
        return;
    };
    let own_work = between::own_work(&whole, view).cloned();
    let palette = Rect::from_min_max(pos2(full.left(), full.bottom() - 92.0), full.max);
    let list_left = full.right() - if view.own.listed { 292.0 } else { 0.0 };
    let area = Rect::from_min_max(
        pos2(full.left() + space::L, heading.bottom()),
        pos2(list_left - space::M, palette.top() - space::S),
    );
    hall(ui, scene, view, (evening, &programme, own_work.as_ref()), area);
    palette::ui(ui, scene, view, &programme, palette);
    for intent in scene.intents.iter_mut().skip(asked_before) {
        if let Intent::Edit(edit) = intent {
            written(edit);
        }
    }
    let alone = ui.input(|i| i.modifiers.alt);
    bearing::along(scene, asked_before, &programme, alone);
    if let Some(work) = own_work {
        between::for_one_work(scene, asked_before, &work);
    }
    if view.own.listed {
        let list = Rect::from_min_max(pos2(list_left, area.top()), pos2(full.right(), palette.top()));
        between::list(ui, scene, view, (evening, &venue), list);
    }
}

/// Places in short figures, whatever worked them out.
fn written(edit: &mut Edit) {
    match edit {
        Edit::Stand { placement, .. } => *placement = backrow_core::stage::written(placement),
        Edit::Together { edits, .. } => edits.iter_mut().for_each(written),
        _ => {}
    }
}

/// The current programme, as it is and as it is shown: with the setup of one work, where that is chosen.
fn programmes(scene: &Scene<'_>, view: &mut Here<'_>) -> Option<(Arc<Programme>, Arc<Programme>)> {
    let programme = view.programme_in(scene.library)?;
    let own_work = between::own_work(programme, view).cloned();
    let key = FloorKey::new(scene, programme, own_work.as_ref());
    let made = || {
        let shown = own_work.map_or_else(|| programme.clone(), |work| programme.for_work(&work));
        (Arc::new(programme.clone()), Arc::new(shown))
    };
    Some(view.own.programmes.get(key, made).clone())
}

/// Venues that were drawn and not saved, over the upper edge of the plan.
fn drafts(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, heading: Rect) {
    let rect = Rect::from_min_size(heading.left_bottom(), vec2(heading.width().min(560.0), 60.0));
    let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(rect));
    view.own.drawings.ui(&mut inner, &scene.tokens);
}

/// The venue with what stands in it, to scale.
fn hall(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    (evening, programme, own_work): (&Evening, &Programme, Option<&WorkId>),
    area: Rect,
) {
    let key = FloorKey::new(scene, programme, own_work);
    let mut preview: BTreeMap<InstrumentId, Placement> = view.own.preview.iter().cloned().collect();
    let alone = ui.input(|i| i.modifiers.alt);
    let along = if alone { backrow_core::stage::carried_alone } else { backrow_core::stage::carried };
    preview.extend(along(&programme.setup, &view.own.preview));
    // Held apart while it is drawn, as drawing changes the rest of the state.
    let mut memo = std::mem::take(&mut view.own.moved);
    let floor = if preview.is_empty() {
        evening.floor(own_work)
    } else {
        let moved = preview.iter().map(|(id, placement)| (id.clone(), *placement)).collect();
        memo.get((key.clone(), moved), || evening.moved(own_work, &preview))
    };
    let (Some(venue), plan, checks) = (floor.venue(), floor.plan(), floor.checks()) else { return };
    let band = things::key::band(area, plan.things.len());
    let area = Rect::from_min_max(area.min, pos2(area.right(), band.top()));
    let scale = Scale::new(area, venue, view);
    keys::act(ui, scene, view, plan, (programme, venue));
    // The line above the plan comes before it: so does Tab.
    if view.own.proposal.is_some() {
        setups::proposal(ui, scene, view, &scale);
    } else {
        figures::ui(ui, scene, view, plan, &scale);
    }
    let mut labels = labels::Labels::default();
    plan::ui(ui, scene, view, (venue, plan), (&scale, &mut labels));
    things::key::ui(ui.painter(), scene, plan, band);
    let mut goings = std::mem::take(&mut view.own.goings);
    let key = (key, view.work.clone());
    let moving;
    let shown: &[ways::Going] = if !view.own.shown.ways {
        &[]
    } else if preview.is_empty() && scene.derived.is_working() {
        // The last ways stand until the new ones are there.
        goings.held().map_or(&[], Vec::as_slice)
    } else if preview.is_empty() {
        view.own.held = None;
        goings.get(key, || ways::of(evening, own_work, view.work.as_ref()))
    } else {
        let ids = preview.keys().cloned().collect();
        moving = ways::Held::goings(&mut view.own.held, (key, ids), evening, floor);
        &moving
    };
    let painter = ui.painter().with_clip_rect(area);
    ways::curves(&painter, &scene.tokens, shown, &scale);
    let furniture = floor.furniture(scene.library);
    things::ui(ui, scene, view, (venue, (plan, checks), furniture), (&scale, &mut labels));
    ways::words(&mut labels, view, shown, &scale);
    setups::sketched(&painter, scene, view, (&scale, &mut labels));
    labels.draw(&painter, scale.area, &scene.tokens);
    view.own.goings = goings;
    if view.own.shown.loads {
        loads::ui(ui, scene, floor, &scale);
    }
    view.own.moved = memo;
}

fn nothing(ui: &mut Ui, full: Rect, words: impl FnOnce(&mut Ui)) {
    let rect = Rect::from_min_size(full.min + vec2(space::L, page::HEAD + space::S), vec2(460.0, 200.0));
    words(&mut ui.new_child(egui::UiBuilder::new().max_rect(rect)));
}

fn heading_ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    programme: &backrow_core::week::Programme,
    venue: Option<&Venue>,
    rect: Rect,
) {
    page::heading(ui, rect, &scene.tokens.clone(), "Floor", |line| {
        heading_line(line, scene, view, programme, venue);
    });
}

fn heading_line(
    line: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    programme: &backrow_core::week::Programme,
    venue: Option<&Venue>,
) {
    let name = match venue {
        Some(venue) => venue.name.as_str(),
        None if programme.venue.is_some() => "its venue is missing",
        None => "no venue yet",
    };
    // The strip above says it too, with the dates.
    if line.available_width() > 620.0 || venue.is_none() {
        line.label(RichText::new(name).color(scene.tokens.ink2));
    }
    if let Some(venue) = venue {
        let draw = line.button("Venue …");
        draw.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, "Venue …: draw it"));
        if draw.on_hover_text("Floor, risers, areas, doors, the conductor’s place").clicked() {
            view.own.drawings.put(venue::Drawing::of(venue));
        }
        setups::menu(line, scene, view, programme, venue);
        between::choice(line, scene, view, programme);
        let changes = line.selectable_label(view.own.listed, "Changes");
        if changes.on_hover_text("What moves between the works (C)").clicked() {
            view.own.listed ^= true;
        }
    }
    let evening = scene.derived.present().filter(|_| venue.is_some());
    if let Some(floor) = evening.map(|evening| evening.floor(between::own_work(programme, view))) {
        many::menu(line, scene, view, floor.plan());
    }
    line.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
        let tokens = scene.tokens;
        ui.menu_button("Show …", |ui| {
            in_menu(ui, &tokens, |ui| {
                ui.checkbox(&mut view.own.shown.standing, "Players’ spaces (S)");
                ui.checkbox(&mut view.own.shown.furniture, "Music stands and stools (U)");
                ui.checkbox(&mut view.own.shown.ways, "Routes in the current work (W)");
                ui.checkbox(&mut view.own.shown.loads, "Loads beside what the venue states (L)");
                ui.checkbox(&mut view.own.snap, "Snap to 5\u{202f}cm and to edges (N)");
                print_choices(ui, scene);
            });
            if ui.button("Fit floor to view (F)").clicked() {
                view.own.zoom = 0;
                view.own.pan = Point::default();
                ui.close();
            }
        });
    });
}

/// How the plan is printed: kept among the user's own settings.
fn print_choices(ui: &mut Ui, scene: &mut Scene<'_>) {
    let mut settings = scene.settings.clone();
    ui.separator();
    ui.horizontal(|ui| {
        ui.label("On paper");
        for (scale, words) in [(0, "largest that fits"), (50, "1:50"), (75, "1:75"), (100, "1:100")] {
            ui.selectable_value(&mut settings.plan_scale, scale, words);
        }
    });
    ui.checkbox(&mut settings.plan_pictures, "Plans as SVG and PNG beside the PDF");
    ui.separator();
    if settings != *scene.settings {
        scene.ask(Intent::Set(Box::new(settings)));
    }
}

fn choose_venue(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    programme: &backrow_core::week::Programme,
) {
    let Some(week) = scene.library.week_of(&programme.id).map(|week| week.id.clone()) else { return };
    let words = match &programme.venue {
        Some(id) => {
            format!(
                "The venue “{id}” is not in the library; Findings say why. Bring it back, or choose another:"
            )
        }
        None if scene.library.venues.is_empty() => {
            format!("{} has no venue yet, and the library has none to choose from.", programme.title)
        }
        None => format!("{} has no venue yet. Choose one:", programme.title),
    };
    view.own.drawings.ui(ui, &scene.tokens);
    ui.add(egui::Label::new(words).wrap());
    let mut chosen: Option<VenueId> = None;
    for venue in scene.library.venues.values() {
        if ui.button(&venue.name).clicked() {
            chosen = Some(venue.id.clone());
        }
    }
    ui.add_space(space::S);
    if ui.button("Draw a new venue").clicked() {
        view.own.drawings.put(venue::Drawing::new());
    }
    let mut edits = Vec::new();
    if let Some(id) = chosen {
        let words = format!("Play {} there", programme.title);
        let mut programme = programme.clone();
        programme.venue = Some(id);
        edits.push(Edit::PutProgramme { week, programme });
        scene.edit(Edit::Together { words, edits });
    }
}
