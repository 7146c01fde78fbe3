//! The venue drawn: floor, risers, areas not to enter, the conductor; by mouse on the grid and by typed metres.

mod front;
mod parts_ui;
mod slip;

use super::plan;
use super::scale::Scale;
use crate::drafts::{Outcome, Typed};
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::theme::marks;
use crate::theme::sans;
use crate::theme::tokens::size;
use backrow_core::collection::{Area, AreaUse, Point, Riser, Venue};
use backrow_core::edit::Edit;
use backrow_core::id::VenueId;
use backrow_core::stage::{Plan, crossed_sides, outline_text, parse_outline, rectangle};
use egui::{Align2, Key, Modifiers, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// Corners fall on this grid, metres; with Shift they fall anywhere.
const GRID_M: f64 = 0.25;
/// How wide the list of parts is, points.
const PARTS: f32 = 264.0;
/// How many steps back there are.
const STEPS: usize = 100;

/// A part of the venue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    Floor,
    Riser(usize),
    Area(usize),
}

/// The venue on the drawing board.
pub(super) struct Drawing {
    venue: Venue,
    part: Part,
    /// The corner in hand, by its place in the outline.
    corner: Option<usize>,
    /// The corners as typed.
    text: String,
    /// What is wrong with the corners as typed.
    error: String,
    /// Corners as typed of other parts that cannot be read yet.
    unread: Vec<(Part, String)>,
    /// Why it was not saved, and the venue of which that was said: it holds for no other.
    refused: Option<(String, Venue)>,
    /// Whether the board has just been opened, and the name is to have the focus.
    fresh: bool,
    before: Vec<Venue>,
    /// What was undone here and can be redone.
    after: Vec<Venue>,
    /// How far the conductor was from the front edge when this step began, metres.
    from_front: Option<f64>,
    /// Whether the library does not have it yet; it gets its id from its name when it is saved.
    is_new: bool,
    /// The venue as it was put on the board.
    began: Venue,
}

impl Typed for Drawing {
    fn has_changed(&self) -> bool {
        !self.before.is_empty() || self.venue != self.began
    }

    fn title(&self) -> String {
        let name = self.venue.name.trim();
        format!("Venue: {}", if name.is_empty() { "no name yet" } else { name })
    }
}

impl Drawing {
    /// On a venue of the library.
    pub(super) fn of(venue: &Venue) -> Self {
        Self::on(venue.clone(), false)
    }

    /// On a new one, twelve metres by eight.
    pub(super) fn new() -> Self {
        Self::on(
            Venue {
                id: VenueId::fresh("new", |_| false),
                name: String::new(),
                floor: rectangle(12.0, 8.0),
                risers: Vec::new(),
                keep_out: Vec::new(),
                conductor: Some(Point::new(0.0, 7.0)),
                remark: String::new(),
            },
            true,
        )
    }

    fn on(venue: Venue, is_new: bool) -> Self {
        let mut drawing = Self {
            began: venue.clone(),
            venue,
            is_new,
            part: Part::Floor,
            corner: None,
            text: String::new(),
            error: String::new(),
            unread: Vec::new(),
            refused: None,
            fresh: is_new,
            before: Vec::new(),
            after: Vec::new(),
            from_front: None,
        };
        drawing.choose(Part::Floor);
        drawing
    }

    /// Turns to a part. Corners that were typed and cannot be read yet stay with theirs.
    fn choose(&mut self, part: Part) {
        if !self.error.is_empty() {
            self.unread.push((self.part, std::mem::take(&mut self.text)));
        }
        self.part = part;
        self.corner = None;
        self.error.clear();
        self.text = outline_text(self.outline());
        if let Some(at) = self.unread.iter().position(|(of, _)| *of == part) {
            self.text = self.unread.remove(at).1;
            self.take_text();
        }
    }

    fn outline(&self) -> &[Point] {
        match self.part {
            Part::Floor => &self.venue.floor,
            Part::Riser(at) => self.venue.risers.get(at).map_or(&[], |riser| riser.outline.as_slice()),
            Part::Area(at) => self.venue.keep_out.get(at).map_or(&[], |area| area.outline.as_slice()),
        }
    }

    fn outline_mut(&mut self) -> Option<&mut Vec<Point>> {
        match self.part {
            Part::Floor => Some(&mut self.venue.floor),
            Part::Riser(at) => self.venue.risers.get_mut(at).map(|riser| &mut riser.outline),
            Part::Area(at) => self.venue.keep_out.get_mut(at).map(|area| &mut area.outline),
        }
    }

    /// Keeps the venue as it is for a step back.
    fn step(&mut self) {
        self.from_front = None;
        self.after.clear();
        if self.before.last() != Some(&self.venue) {
            self.before.push(self.venue.clone());
            if self.before.len() > STEPS {
                self.before.remove(0);
            }
        }
    }

    /// One step back; whether there was one.
    pub(super) fn back(&mut self) -> bool {
        let Some(venue) = self.before.pop() else { return false };
        self.after.push(std::mem::replace(&mut self.venue, venue));
        self.stepped();
        true
    }

    /// One step forward again; whether there was one.
    pub(super) fn forth(&mut self) -> bool {
        let Some(venue) = self.after.pop() else { return false };
        self.before.push(std::mem::replace(&mut self.venue, venue));
        self.stepped();
        true
    }

    /// Another venue is on the board: corners that could not be read are those of the parts that it still has.
    fn stepped(&mut self) {
        self.from_front = None;
        self.choose(Part::Floor);
        let (risers, areas) = (self.venue.risers.len(), self.venue.keep_out.len());
        self.unread.retain(|(part, _)| match *part {
            Part::Floor => true,
            Part::Riser(at) => at < risers,
            Part::Area(at) => at < areas,
        });
    }

    fn set_outline(&mut self, outline: Vec<Point>) {
        self.step();
        self.text = outline_text(&outline);
        self.put_outline(outline);
    }

    fn put_outline(&mut self, outline: Vec<Point>) {
        self.change_outline(|drawing| {
            if let Some(own) = drawing.outline_mut() {
                *own = outline;
            }
        });
    }

    /// Reads the typed corners.
    fn take_text(&mut self) {
        match parse_outline(&self.text) {
            Ok(outline) => {
                self.error.clear();
                self.put_outline(outline);
            }
            Err(why) => self.error = why,
        }
    }

    /// A new part moved aside, step by step, until it lies in the middle of none that is there.
    fn free_of(&self, mut outline: Vec<Point>) -> Vec<Point> {
        let middle = |outline: &[Point]| {
            let count = outline.len().max(1) as f64;
            let (x, y) = outline.iter().fold((0.0, 0.0), |(x, y), p| (x + p.x, y + p.y));
            Point::new(x / count, y / count)
        };
        let risers = self.venue.risers.iter().map(|riser| &riser.outline);
        let there: Vec<Point> =
            risers.chain(self.venue.keep_out.iter().map(|area| &area.outline)).map(|o| middle(o)).collect();
        for _ in 0..there.len() {
            let here = middle(&outline);
            if there.iter().all(|other| other.distance(here) >= 1.0) {
                break;
            }
            for corner in &mut outline {
                *corner = Point::new(corner.x + 1.0, corner.y + 0.5);
            }
        }
        outline
    }

    fn add_riser(&mut self) {
        self.step();
        let number = self.venue.risers.len() + 1;
        self.venue.risers.push(Riser {
            name: format!("riser {number}"),
            outline: self.free_of(rectangle(4.0, 2.0)),
            height_m: 0.2,
            rated_kn_m2: None,
        });
        self.choose(Part::Riser(number - 1));
    }

    fn add_area(&mut self, name: &str, kept_for: AreaUse, (width, depth): (f64, f64)) {
        self.step();
        let mut outline = rectangle(width, depth);
        for corner in &mut outline {
            corner.y += 3.0;
        }
        let outline = self.free_of(outline);
        self.venue.keep_out.push(Area { name: name.to_owned(), kept_for, outline });
        self.choose(Part::Area(self.venue.keep_out.len() - 1));
    }

    fn keep_for(&mut self, at: usize, kept_for: AreaUse) {
        self.step();
        if let Some(area) = self.venue.keep_out.get_mut(at) {
            area.kept_for = kept_for;
        }
    }

    fn remove(&mut self) {
        self.step();
        match self.part {
            Part::Riser(at) if at < self.venue.risers.len() => {
                self.venue.risers.remove(at);
            }
            Part::Area(at) if at < self.venue.keep_out.len() => {
                self.venue.keep_out.remove(at);
            }
            Part::Floor | Part::Riser(_) | Part::Area(_) => {}
        }
        // The corners of what was removed go with it, and those behind it have other numbers now.
        self.error.clear();
        let removed = self.part;
        self.unread.retain(|(part, _)| match (*part, removed) {
            (Part::Riser(at), Part::Riser(gone)) | (Part::Area(at), Part::Area(gone)) => at < gone,
            _ => true,
        });
        self.choose(Part::Floor);
    }

    /// Which part crosses itself, and where.
    fn crossed(&self) -> Option<String> {
        let floor = std::iter::once(("the floor", &self.venue.floor));
        let risers = self.venue.risers.iter().map(|riser| (riser.name.as_str(), &riser.outline));
        let areas = self.venue.keep_out.iter().map(|area| (area.name.as_str(), &area.outline));
        floor.chain(risers).chain(areas).find_map(|(name, outline)| {
            let (one, other) = crossed_sides(outline)?;
            Some(format!("Sides {one} and {other} of {name} cross: put the corners in their order round it."))
        })
    }

    /// The change that keeps it.
    fn edit(&self, scene: &Scene<'_>, view: &Here<'_>) -> Result<Edit, String> {
        let mut venue = self.venue.clone();
        venue.name.truncate(venue.name.trim_end().len());
        if venue.name.is_empty() {
            return Err("The venue needs a name.".to_owned());
        }
        if !self.error.is_empty() {
            return Err(self.error.clone());
        }
        if let Some((part, _)) = self.unread.first() {
            let name = match *part {
                Part::Riser(at) => self.venue.risers.get(at).map(|riser| riser.name.clone()),
                Part::Area(at) => self.venue.keep_out.get(at).map(Area::words),
                Part::Floor => None,
            };
            let name = name.unwrap_or_else(|| "the floor".to_owned());
            return Err(format!(
                "The corners that were typed for {name} cannot be read: choose it to correct them."
            ));
        }
        if let Some(why) = self.crossed() {
            return Err(why);
        }
        if !self.is_new {
            return Ok(Edit::PutVenue(venue));
        }
        venue.id = VenueId::fresh(&venue.name, |id| scene.library.venues.contains_key(id));
        let words = format!("Draw {}", venue.name);
        let mut edits = vec![Edit::PutVenue(venue.clone())];
        if let Some(programme) = view.programme_in(scene.library).filter(|p| p.venue.is_none())
            && let Some(week) = scene.library.week_of(&programme.id)
        {
            let mut programme = programme.clone();
            programme.venue = Some(venue.id);
            edits.push(Edit::PutProgramme { week: week.id.clone(), programme });
        }
        Ok(Edit::Together { words, edits })
    }
}

/// Draws the board; what becomes of it.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    drawing: &mut Drawing,
    full: Rect,
) -> Outcome {
    let parts = Rect::from_min_max(pos2(full.right() - PARTS, full.top()), full.max);
    let area = Rect::from_min_max(full.min + vec2(16.0, 8.0), pos2(parts.left() - 8.0, full.bottom() - 12.0));
    let scale = Scale::new(area, &drawing.venue, view);
    // What is drawn here writes its own words.
    let mut labels = super::labels::Labels::default();
    plan::ui(ui, scene, view, (&drawing.venue, &Plan::default()), (&scale, &mut labels));
    keys(ui, view, drawing);
    sides(ui, scene, drawing, &scale);
    corners(ui, scene, drawing, &scale);
    conductor(ui, scene, drawing, &scale);
    parts_ui::ui(ui, scene, view, drawing, parts)
}

fn keys(ui: &Ui, view: &Here<'_>, drawing: &mut Drawing) {
    if view.keys_are_taken(ui.ctx()) {
        return;
    }
    let Some(at) = drawing.corner else { return };
    if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Delete)) && drawing.outline().len() > 3 {
        let mut outline = drawing.outline().to_vec();
        if at < outline.len() {
            outline.remove(at);
        }
        drawing.set_outline(outline);
        drawing.corner = None;
        return;
    }
    let mut by = (0.0, 0.0);
    for (key, x, y) in [
        (Key::ArrowLeft, -1.0, 0.0),
        (Key::ArrowRight, 1.0, 0.0),
        (Key::ArrowUp, 0.0, -1.0),
        (Key::ArrowDown, 0.0, 1.0),
    ] {
        for (modifiers, step) in [(Modifiers::SHIFT, 1.0), (Modifiers::NONE, 0.05)] {
            if ui.input_mut(|i| i.consume_key(modifiers, key)) {
                by = (by.0 + x * step, by.1 + y * step);
            }
        }
    }
    if by.0 != 0.0 || by.1 != 0.0 {
        let mut outline = drawing.outline().to_vec();
        if let Some(corner) = outline.get_mut(at) {
            *corner = Point::new(corner.x + by.0, corner.y + by.1).rounded();
        }
        drawing.set_outline(outline);
    }
}

/// The middle of each side: a drag there makes a new corner; its length stands beside it.
fn sides(ui: &Ui, scene: &Scene<'_>, drawing: &mut Drawing, scale: &Scale) {
    let outline = drawing.outline().to_vec();
    let painter = ui.painter().with_clip_rect(scale.area);
    let bounds = Rect::from_points(&scale.line(&outline));
    let inward = bounds.center();
    let mut split = None;
    for (at, (a, b)) in outline.iter().zip(outline.iter().cycle().skip(1)).enumerate() {
        let middle = Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
        let place = Rect::from_center_size(scale.pos(middle), vec2(14.0, 14.0));
        let response = ui.interact(place, ui.scope_id().with(("side", at)), Sense::click_and_drag());
        let length = a.distance(*b);
        response.widget_info(|| {
            WidgetInfo::labeled(egui::Role::Button, true, format!("Side {} of {length:.2}\u{202F}m", at + 1))
        });
        let long = (scale.pos(*a) - scale.pos(*b)).length() > 64.0;
        if long {
            let ink = scene.tokens.ink2;
            let words = format!("{length:.2}");
            let at = place.center() + (inward - place.center()).normalized() * 14.0;
            marks::text(&painter, at, Align2::CENTER_CENTER, &words, sans(size::NOTE), ink);
        }
        if response.hovered() || response.has_focus() {
            painter.circle_stroke(place.center(), 5.0, Stroke::new(1.5, scene.tokens.accent));
        }
        if response.drag_started() || response.double_clicked() {
            split = Some((at + 1, middle));
        }
        response.on_hover_text("Drag, or double-click: a new corner");
    }
    if let Some((at, middle)) = split {
        let mut outline = outline;
        outline.insert(at.min(outline.len()), middle);
        drawing.set_outline(outline);
        drawing.corner = Some(at);
    }
}

fn corners(ui: &Ui, scene: &Scene<'_>, drawing: &mut Drawing, scale: &Scale) {
    let tokens = scene.tokens;
    for at in 0..drawing.outline().len() {
        let Some(corner) = drawing.outline().get(at).copied() else { continue };
        let place = Rect::from_center_size(scale.pos(corner), vec2(18.0, 18.0));
        let response = ui.interact(place, ui.scope_id().with(("corner", at)), Sense::click_and_drag());
        let here = drawing.corner == Some(at);
        let label = format!("Corner {} at {:.2}, {:.2}", at + 1, corner.x, corner.y);
        response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, here, &label));
        let fill = if here { tokens.accent } else { tokens.raised };
        let mark = Rect::from_center_size(place.center(), vec2(8.0, 8.0));
        ui.painter().rect(mark, 0.0, fill, Stroke::new(1.5, tokens.accent), StrokeKind::Inside);
        if response.clicked() || response.drag_started() {
            drawing.corner = Some(at);
        }
        if response.drag_started() {
            drawing.step();
        }
        // A corner that was just made on a side goes with the same drag.
        let goes = response.dragged() || (here && ui.input(|i| i.pointer.is_decidedly_dragging()));
        if goes
            && drawing.corner == Some(at)
            && ui.rect_contains_pointer(scale.area)
            && let Some(now) = ui.input(|i| i.pointer.hover_pos())
        {
            let to = on_grid(scale.point(now), ui.input(|i| i.modifiers.shift));
            drawing.change_outline(|drawing| {
                if let Some(own) = drawing.outline_mut().and_then(|outline| outline.get_mut(at)) {
                    *own = to;
                }
            });
            drawing.text = outline_text(drawing.outline());
        }
        response.on_hover_text(label);
    }
}

fn conductor(ui: &Ui, scene: &Scene<'_>, drawing: &mut Drawing, scale: &Scale) {
    let Some(at) = drawing.venue.conductor else { return };
    let place = Rect::from_center_size(scale.pos(at), vec2(22.0, 22.0));
    let response = ui.interact(place, ui.scope_id().with("conductor"), Sense::drag());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, "The conductor’s place"));
    if response.hovered() || response.dragged() {
        ui.painter().circle_stroke(place.center(), 9.0, Stroke::new(1.5, scene.tokens.accent));
    }
    if response.drag_started() {
        drawing.step();
    }
    if response.dragged()
        && let Some(now) = ui.input(|i| i.pointer.hover_pos())
    {
        drawing.venue.conductor = Some(on_grid(scale.point(now), ui.input(|i| i.modifiers.shift)));
    }
}

fn on_grid(point: Point, free: bool) -> Point {
    let step = if free { 0.01 } else { GRID_M };
    Point::new((point.x / step).round() * step, (point.y / step).round() * step).rounded()
}
