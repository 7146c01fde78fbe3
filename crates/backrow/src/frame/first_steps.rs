//! What comes first in an empty library: a list with a way to each, ticked by what the library holds.

use crate::actions::Action;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{sans, serif};
use crate::view::{CollectionTab as Tab, Place, View};
use backrow_core::library::Library;
use egui::{RichText, Ui, WidgetInfo, vec2};

/// A step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    Orchestra,
    Players,
    Instruments,
    Stage,
    Work,
    Programme,
    Assignments,
    Floor,
    Print,
}

/// In the order in which one leads to the next.
const STEPS: [Step; 9] = [
    Step::Orchestra,
    Step::Players,
    Step::Instruments,
    Step::Stage,
    Step::Work,
    Step::Programme,
    Step::Assignments,
    Step::Floor,
    Step::Print,
];

impl Step {
    /// What is to be done.
    const fn words(self) -> &'static str {
        match self {
            Self::Orchestra => "Name the orchestra",
            Self::Players => "Add the players",
            Self::Instruments => "Add instruments",
            Self::Stage => "Draw the stage",
            Self::Work => "Read a score, or type a work",
            Self::Programme => "Make a programme of works and services",
            Self::Assignments => "Assign the lines to players",
            Self::Floor => "Place the instruments on the floor",
            Self::Print => "Print the sheets",
        }
    }

    /// Where it is done.
    fn goes(self) -> Vec<Intent> {
        let tab = |tab: Tab| vec![Intent::Go(Place::Collection), Intent::CollectionTab(tab)];
        match self {
            Self::Orchestra => tab(Tab::Orchestra),
            Self::Players => tab(Tab::Players),
            Self::Instruments => tab(Tab::Instruments),
            Self::Stage | Self::Floor => vec![Intent::Go(Place::Floor)],
            Self::Work => vec![Intent::Go(Place::Works)],
            Self::Programme => vec![Intent::Go(Place::Week)],
            Self::Assignments => vec![Intent::Go(Place::Section)],
            Self::Print => vec![Intent::Do(Action::PrintPlan)],
        }
    }

    /// Another way to it: its words, the tab that it is for, and the action.
    const fn other(self) -> Option<(&'static str, Option<Tab>, Action)> {
        match self {
            Self::Players => Some(("or import a table", Some(Tab::Players), Action::ImportTable)),
            Self::Instruments => {
                Some(("or import your spreadsheet", Some(Tab::Instruments), Action::ImportTable))
            }
            Self::Programme => Some(("or import a calendar", None, Action::ImportCalendar)),
            Self::Assignments => Some(("with proposed instruments", None, Action::Propose)),
            _ => None,
        }
    }

    /// Whether the library holds what it asks for.
    fn is_done(self, library: &Library, view: &View) -> bool {
        let mut programmes = library.programmes().map(|(_, programme)| programme);
        match self {
            Self::Orchestra => !library.orchestra.name.trim().is_empty(),
            Self::Players => !library.players.is_empty(),
            Self::Instruments => !library.instruments.is_empty(),
            Self::Stage => !library.venues.is_empty(),
            Self::Work => library.works.values().any(|work| !work.lines.is_empty()),
            Self::Programme => programmes.any(|programme| {
                !programme.works.is_empty() && !library.services_of(&programme.id).is_empty()
            }),
            Self::Assignments => programmes.any(|programme| {
                let mut rows = programme.lines();
                rows.any(|(_, given)| given.player.is_some())
            }),
            Self::Floor => programmes.any(|programme| !programme.setup.is_empty()),
            Self::Print => view.has_printed,
        }
    }
}

/// Draws the list at the head of the right panel, while it is wanted.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View) {
    if !view.first_steps {
        return;
    }
    let tokens = scene.tokens;
    let done = STEPS.map(|step| step.is_done(scene.library, view));
    let count = done.iter().filter(|done| **done).count();
    ui.horizontal(|ui| {
        ui.label(RichText::new("First steps").font(serif(size::HEADING)).color(tokens.ink));
        let words = RichText::new(format!("{count} of {} done", STEPS.len())).font(sans(size::NOTE));
        ui.label(words.color(tokens.ink2));
        let close = ui
            .small_button("Close")
            .on_hover_text(format!("{} shows them again", Action::ShowSteps.key_words()));
        close.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, "Close the first steps"));
        if close.clicked() {
            scene.ask(Intent::Do(Action::ShowSteps));
        }
    });
    for (step, done) in STEPS.into_iter().zip(done) {
        row(ui, scene, step, done);
    }
    if count == STEPS.len() {
        ui.label(RichText::new("Everything is there for a first rehearsal.").color(tokens.ink2));
    }
    ui.add_space(space::M);
}

fn row(ui: &mut Ui, scene: &mut Scene<'_>, step: Step, done: bool) {
    let tokens = scene.tokens;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::XS;
        let (rect, tick) = ui.allocate_exact_size(vec2(16.0, 18.0), egui::Sense::hover());
        let state = if done { "done" } else { "to do" };
        tick.widget_info(|| {
            WidgetInfo::labeled(egui::Role::Label, true, format!("{}: {state}", step.words()))
        });
        let ink = if done { tokens.ink2 } else { tokens.ink };
        let square = rect.shrink2(vec2(2.0, 3.0));
        if done {
            let points = vec![square.left_center(), square.center_bottom(), square.right_top()];
            ui.painter().add(egui::Shape::line(points, egui::Stroke::new(1.8, ink)));
        } else {
            let stroke = egui::Stroke::new(1.2, ink);
            ui.painter().rect_stroke(square, 2.0, stroke, egui::StrokeKind::Inside);
        }
        // The words go on beneath themselves, and not beneath the box.
        ui.horizontal_wrapped(|ui| words(ui, scene, step, done));
    });
}

/// The words of a step, and the other way to it while it is to do.
fn words(ui: &mut Ui, scene: &mut Scene<'_>, step: Step, done: bool) {
    if ui.link(RichText::new(step.words()).font(sans(size::TEXT))).clicked() {
        for intent in step.goes() {
            scene.ask(intent);
        }
    }
    if let Some((words, tab, action)) = step.other().filter(|_| !done)
        && ui.link(RichText::new(words).font(sans(size::NOTE))).clicked()
    {
        if let Some(tab) = tab {
            scene.ask(Intent::Go(Place::Collection));
            scene.ask(Intent::CollectionTab(tab));
        }
        scene.ask(Intent::Do(action));
    }
}
