//! Week: services in order of time, programmes and their works, who is in, what each service needs.

mod add;
mod hires;
mod needs;
mod programme;
mod roster;
mod season;
mod service_form;
mod services;
mod venue_choice;

use crate::drafts::shelf::Slip;
use crate::drafts::{Forms, Left};
use crate::memo::Memo;
use crate::page;
use crate::scene::Scene;
use crate::theme::tokens::space;
use crate::view::{View, WeekTab as Tab};
use backrow_core::id::{ServiceId, WeekId};
use backrow_core::library::Library;
use backrow_core::week::Week;
use egui::{Frame, Margin, RichText, Ui};
use std::sync::Arc;

/// The view with this place's own state.
type Here<'v> = crate::view::Here<'v, State>;

/// What the place looks at.
#[derive(Default)]
pub struct State {
    /// The week that was chosen; that of the current programme when `None`.
    week: Option<WeekId>,
    /// The service that the keys act on.
    service: Option<ServiceId>,
    forms: Forms<service_form::Form>,
    filter: String,
    tab: Tab,
    hires: hires::State,
    needs: Memo<(u64, WeekId), needs::Needs>,
}

impl State {
    /// The week that was chosen, while it is there.
    pub fn chosen(&self, library: &Library) -> Option<WeekId> {
        self.week.clone().filter(|id| library.weeks.contains_key(id))
    }

    /// Leaves the form of a service, or that of a hire while hires are shown.
    pub fn leave_form(&mut self) -> Left {
        if self.tab == Tab::Hires && self.hires.has_form() {
            self.hires.leave_form()
        } else {
            self.forms.leave()
        }
    }

    /// How many services and hires are typed and not saved.
    pub fn unsaved(&self) -> usize {
        self.forms.unsaved() + self.hires.unsaved()
    }

    /// The forms that hold something, as they are kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        self.forms.held().filter_map(service_form::Form::slip).chain(self.hires.slips()).collect()
    }

    /// Puts a form that was kept on disk among the drafts.
    pub fn take_slip(&mut self, slip: &Slip, library: &Library) -> bool {
        if slip.form == "hire" {
            return self.hires.take_slip(slip, library);
        }
        let form = service_form::Form::of_slip(slip, library);
        form.map(|form| self.forms.put_aside(form)).is_some()
    }

    /// Turns to a tab.
    pub const fn turn_to_tab(&mut self, tab: Tab) {
        self.tab = tab;
    }

    /// Opens the form of a service, where it is seen; what became of the form that was open.
    pub fn open_service(&mut self, library: &Library, id: &ServiceId) -> Left {
        let Some((week, service)) = library
            .weeks
            .values()
            .find_map(|week| Some((week, week.services.iter().find(|one| one.id == *id)?)))
        else {
            return Left::Nothing;
        };
        let left = self.leave_form();
        self.turn_to(week.id.clone());
        (self.tab, self.service) = (Tab::Services, Some(id.clone()));
        self.forms.put(service_form::Form::of(library, service));
        left
    }

    /// Turns to a week.
    pub fn turn_to(&mut self, week: WeekId) {
        if self.week.as_ref() != Some(&week) {
            self.service = None;
            self.forms.leave();
            self.week = Some(week);
        }
    }
}

/// The current week: the chosen one while it is there, else that of the programme, else the first.
fn current_week(view: &Here<'_>, library: &Library) -> Option<Arc<Week>> {
    let chosen = view.own.week.as_ref().and_then(|id| library.weeks.get(id));
    let of_programme = || {
        let week = view.programme.as_ref().and_then(|id| library.week_of(id))?;
        library.weeks.get(&week.id)
    };
    chosen.or_else(of_programme).or_else(|| library.weeks.values().next()).cloned()
}

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, own: &mut State) {
    let view = &mut Here { shared: view, own };
    Frame::new().inner_margin(Margin { left: 16, right: 12, top: 0, bottom: 0 }).show(ui, |ui| {
        let week = current_week(view, scene.library);
        let tokens = scene.tokens;
        page::head(ui, &tokens, "Week", |ui| add::ui(ui, scene, view, week.as_deref()));
        if scene.library.weeks.is_empty() {
            let what_for =
                "Here you see the services of a week in order of time, with what each needs and who is in.";
            return page::empty(ui, scene, what_for);
        }
        let height = ui.available_height();
        ui.horizontal_top(|ui| {
            let width = season::width(ui.available_width());
            ui.allocate_ui(egui::vec2(width, height), |ui| {
                season::ui(ui, scene, view, week.as_deref());
            });
            ui.add_space(space::M);
            ui.vertical(|ui| {
                let Some(week) = week else {
                    let words = "No week yet. Add a week, then a programme, then its services.";
                    ui.label(RichText::new(words).color(scene.tokens.ink2));
                    return;
                };
                tabs(ui, view);
                if view.own.tab == Tab::Services {
                    services::keys(ui, scene, view, &week);
                }
                egui::ScrollArea::vertical().id_salt("week").auto_shrink([false, false]).show(ui, |ui| {
                    ui.set_width(ui.available_width() - 8.0);
                    match view.own.tab {
                        Tab::Services => {
                            let tokens = scene.tokens;
                            view.own.forms.ui(ui, &tokens);
                            programme::week_line(ui, scene, view, &week);
                            ui.add_space(space::XS);
                            services::ui(ui, scene, view, &week);
                        }
                        Tab::Programme => programme::ui(ui, scene, view, &week),
                        Tab::Hires => match programme::current(view, &week) {
                            Some(programme) => hires::ui(ui, scene, view, (&week, &programme)),
                            None => programme::none(ui, scene),
                        },
                    }
                });
            });
        });
    });
}

/// So wide are the tabs with usual gaps, points.
const TABS_WIDE: f32 = 320.0;

fn tabs(ui: &mut Ui, view: &mut Here<'_>) {
    ui.horizontal(|ui| {
        if ui.available_width() < TABS_WIDE {
            (ui.spacing_mut().button_padding.x, ui.spacing_mut().item_spacing.x) = (4.0, 1.0);
        }
        for tab in Tab::ALL {
            let here = view.own.tab == tab;
            let response = ui.selectable_label(here, tab.word());
            response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Tab, true, here, tab.word()));
            if response.clicked() {
                view.own.tab = tab;
            }
        }
    });
    ui.add_space(space::S);
}

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Up, Down", "Previous service, next service"),
    ("Enter", "Edit the service"),
    ("Ctrl Enter", "Save the form"),
    ("Ctrl N", "Add a service"),
    ("Delete", "Remove the service; undo brings it back"),
];
