//! The form for one service.

use super::venue_choice::{Venues, venue_choice};
use crate::dates::{self, Days};
use crate::drafts::shelf::Slip;
use crate::drafts::{Outcome, Refusal, Typed};
use crate::scene::Scene;
use crate::theme::tokens::space;
use crate::theme::widgets::primary;
use backrow_core::edit::Edit;
use backrow_core::id::{ProgrammeId, ServiceId, WeekId};
use backrow_core::library::Library;
use backrow_core::week::{Programme, Service, ServiceKind, Week};
use backrow_files::library::Held;
use egui::Ui;
use jiff::civil::{Date, DateTime};

/// A service while it is typed.
pub(super) struct Form {
    /// How its days and hours are written.
    days: Days,
    service: Service,
    focus: bool,
    date: String,
    time: String,
    error: Refusal,
    /// Service, day and hour as they were when it was opened.
    began: (Service, String, String),
}

impl Typed for Form {
    fn has_changed(&self) -> bool {
        let (service, date, time) = &self.began;
        self.service != *service || self.date != *date || self.time != *time
    }

    fn title(&self) -> String {
        format!("Service on {} at {}", self.date, self.time)
    }
}

impl Form {
    /// A new one: the day after the programme's last service, at the same hour; else the week's first day; else tomorrow.
    pub(super) fn new(library: &Library, week: &Week, programme: ProgrammeId) -> Self {
        let last = library.services_of(&programme).last().map(|service| (service.start, service.minutes));
        let of_week = week.services.first().map(|service| (service.start, service.minutes));
        let (start, minutes) = match (last, of_week) {
            (Some((start, minutes)), _) => (start.tomorrow().unwrap_or(start), minutes),
            (None, Some((start, _))) => (start, 150),
            (None, None) => (dates::today().tomorrow().unwrap_or(Date::MAX).at(10, 0, 0, 0), 150),
        };
        let id = ServiceId::fresh(&format!("{programme}-s"), |id| library.service(id).is_some());
        let kind = ServiceKind::Rehearsal;
        Self::with(
            library.days(),
            Service { id, kind, programme, venue: None, start, minutes, event: String::new() },
        )
    }

    /// One that is there.
    pub(super) fn of(library: &Library, service: &Service) -> Self {
        Self::with(library.days(), service.clone())
    }

    fn with(days: Days, service: Service) -> Self {
        let date = days.lasting().weekday(service.start.date());
        let time = days.hour(service.start.time());
        let began = (service.clone(), date.clone(), time.clone());
        Self { days, service, focus: true, date, time, error: Refusal::default(), began }
    }

    /// As it is kept on disk.
    pub(super) fn slip(&self) -> Option<Slip> {
        let week = draft_week(Vec::new(), vec![self.service.clone()]);
        Some(Slip::of("service", &Held::Week(week))?.with("date", &self.date).with("time", &self.time))
    }

    /// What was kept on disk.
    pub(super) fn of_slip(slip: &Slip, library: &Library) -> Option<Self> {
        let Held::Week(week) = slip.held()? else { return None };
        let mut form = Self::with(library.days(), week.services.into_iter().next()?);
        slip.field("date").clone_into(&mut form.date);
        slip.field("time").clone_into(&mut form.time);
        // It was a draft, and is one whatever stands in it.
        form.began.1.clear();
        Some(form)
    }

    pub(super) const fn id(&self) -> &ServiceId {
        &self.service.id
    }

    /// Day and hour as typed. A day without a year is near the one that stood there first.
    fn start(&self) -> Result<DateTime, String> {
        let day = dates::day(&self.date, self.began.0.start.date(), dates::today(), self.days.order)?;
        Ok(day.to_datetime(dates::hour(&self.time)?))
    }

    fn kept(&self, week: &Week) -> Result<Service, String> {
        if week.programmes.iter().all(|programme| programme.id != self.service.programme) {
            return Err(
                "The programme is not one of this week: choose another, or turn to its week.".to_owned()
            );
        }
        Ok(Service { start: self.start()?, ..self.service.clone() })
    }
}

/// A week that holds a draft alone.
pub(super) fn draft_week(programmes: Vec<Programme>, services: Vec<Service>) -> Week {
    Week { id: WeekId::fresh("draft", |_| false), title: String::new(), programmes, services }
}

/// Draws the form.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, week: &Week, form: &mut Form) -> Outcome {
    let tokens = scene.tokens;
    let (mut outcome, mut entered) = (Outcome::GoesOn, false);
    egui::Frame::new().fill(tokens.raised).inner_margin(8.0).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            for kind in ServiceKind::ALL {
                ui.selectable_value(&mut form.service.kind, kind, kind.word());
            }
            let label = ui.label("Day");
            let field =
                ui.add(egui::TextEdit::singleline(&mut form.date).desired_width(126.0)).labelled_by(label.id);
            let field = field.on_hover_text("12 Oct, 12.10., friday or 2027-10-12");
            if std::mem::take(&mut form.focus) {
                field.request_focus();
                field.scroll_to_me(Some(egui::Align::Center));
            }
            let label = ui.label("at");
            let time = egui::TextEdit::singleline(&mut form.time).desired_width(60.0);
            let time = ui.add(time).labelled_by(label.id);
            let enter = ui.input(|i| i.key_pressed(egui::Key::Enter));
            entered = enter && (field.lost_focus() || time.lost_focus());
            let label = ui.label("for");
            ui.add(egui::DragValue::new(&mut form.service.minutes).range(5..=1440).suffix("\u{202F}min"))
                .labelled_by(label.id);
            // What was typed in short stands here in full, before it is saved.
            if let Ok(start) = form.start()
                && let words = form.days.lasting().weekday(start.date())
                && words != form.date.trim()
            {
                ui.label(egui::RichText::new(words).color(tokens.ink2));
            }
        });
        ui.horizontal_wrapped(|ui| {
            let title = |id: &ProgrammeId| {
                week.programmes.iter().find(|p| p.id == *id).map_or_else(String::new, |p| p.title.clone())
            };
            crate::terms::field(ui, "Programme");
            let now = title(&form.service.programme);
            let combo = egui::ComboBox::from_id_salt("service programme").selected_text(now).width(180.0);
            let combo = combo.truncate().show_ui(ui, |ui| {
                for programme in &week.programmes {
                    ui.selectable_value(&mut form.service.programme, programme.id.clone(), &programme.title);
                }
            });
            combo.response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Programme of the service")
            });
            ui.label("Venue");
            let none = "same as the programme";
            venue_choice(
                ui,
                &Venues { library: scene.library, label: "Venue of the service", none },
                &mut form.service.venue,
            );
        });
        ui.add_space(space::XS);
        ui.horizontal(|ui| {
            let enter = ui.input_mut(|i| i.consume_key(egui::Modifiers::COMMAND, egui::Key::Enter));
            if primary(ui, &scene.tokens, "Save").on_hover_text("Enter").clicked() || enter || entered {
                let put = |service| scene.try_edit(Edit::PutService { week: week.id.clone(), service });
                match form.kept(week).and_then(put) {
                    Ok(()) => outcome = Outcome::Saved,
                    Err(why) => form.error = Refusal::of(why, &form.slip()),
                }
            }
            let hover = "Esc; what you typed stays as a draft";
            if ui.button("Cancel").on_hover_text(hover).clicked() {
                outcome = Outcome::Left;
            }
        });
        // Below the buttons: what is said of the form pushes none of them away under the pointer.
        form.error.ui(ui, &tokens, || form.slip());
    });
    outcome
}
