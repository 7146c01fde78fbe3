//! The form for one service.

use super::services::{Venues, venue_choice};
use crate::drafts::{Outcome, Typed};
use crate::scene::Scene;
use crate::theme::tokens::space;
use crate::theme::widgets::{primary, trouble};
use backrow_core::edit::Edit;
use backrow_core::id::{ProgrammeId, ServiceId};
use backrow_core::library::Library;
use backrow_core::week::{Service, ServiceKind, Week};
use egui::Ui;
use jiff::civil::{Date, DateTime, Time};

/// A service while it is typed.
pub(super) struct Form {
    service: Service,
    focus: bool,
    date: String,
    time: String,
    error: String,
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
    /// A new one: the day after the programme's last service, at the same hour; today's year is not known here, so a
    /// programme without services begins at the week's first day, or in January 2027.
    pub(super) fn new(library: &Library, week: &Week, programme: ProgrammeId) -> Self {
        let last = library.services_of(&programme).last().map(|service| (service.start, service.minutes));
        let of_week = week.services.first().map(|service| (service.start, service.minutes));
        let (start, minutes) = match (last, of_week) {
            (Some((start, minutes)), _) => (start.tomorrow().unwrap_or(start), minutes),
            (None, Some((start, _))) => (start, 150),
            (None, None) => (Date::constant(2027, 1, 11).at(10, 0, 0, 0), 150),
        };
        let id = ServiceId::fresh(&format!("{programme}-s"), |id| library.service(id).is_some());
        let kind = ServiceKind::Rehearsal;
        Self::with(Service { id, kind, programme, venue: None, start, minutes })
    }

    /// One that is there.
    pub(super) fn of(service: &Service) -> Self {
        Self::with(service.clone())
    }

    fn with(service: Service) -> Self {
        let date = service.start.strftime("%Y-%m-%d").to_string();
        let time = service.start.strftime("%H:%M").to_string();
        let began = (service.clone(), date.clone(), time.clone());
        Self { service, focus: true, date, time, error: String::new(), began }
    }

    pub(super) const fn id(&self) -> &ServiceId {
        &self.service.id
    }

    fn kept(&self, week: &Week) -> Result<Service, String> {
        if week.programmes.iter().all(|programme| programme.id != self.service.programme) {
            return Err(
                "The programme is not one of this week: choose another, or turn to its week.".to_owned()
            );
        }
        Ok(Service { start: start_of(&self.date, &self.time)?, ..self.service.clone() })
    }
}

/// Day and hour as typed.
fn start_of(date: &str, time: &str) -> Result<DateTime, String> {
    let day: Date = date
        .trim()
        .parse()
        .map_err(|_bad| format!("\"{}\" is no day; type it as 2027-10-12.", date.trim()))?;
    let time = time.trim().replace('.', ":");
    let time = if time.contains(':') { time } else { format!("{time}:00") };
    let time = if time.find(':') == Some(1) { format!("0{time}") } else { time };
    let hour: Time = time.parse().map_err(|_bad| format!("\"{time}\" is no time; type it as 19:30."))?;
    Ok(day.to_datetime(hour))
}

/// Draws the form.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, week: &Week, form: &mut Form) -> Outcome {
    let tokens = scene.tokens;
    let (mut outcome, mut entered) = (Outcome::GoesOn, false);
    egui::Frame::new().fill(tokens.raised).inner_margin(8.0).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            for (kind, word) in [(ServiceKind::Rehearsal, "Rehearsal"), (ServiceKind::Concert, "Concert")] {
                ui.selectable_value(&mut form.service.kind, kind, word);
            }
            let label = ui.label("Day");
            let field =
                ui.add(egui::TextEdit::singleline(&mut form.date).desired_width(86.0)).labelled_by(label.id);
            if std::mem::take(&mut form.focus) {
                field.request_focus();
                field.scroll_to_me(Some(egui::Align::Center));
            }
            let label = ui.label("at");
            let time = egui::TextEdit::singleline(&mut form.time).desired_width(46.0);
            let time = ui.add(time).labelled_by(label.id);
            let enter = ui.input(|i| i.key_pressed(egui::Key::Enter));
            entered = enter && (field.lost_focus() || time.lost_focus());
            let label = ui.label("for");
            ui.add(egui::DragValue::new(&mut form.service.minutes).range(5..=1440).suffix(" min"))
                .labelled_by(label.id);
        });
        ui.horizontal_wrapped(|ui| {
            let title = |id: &ProgrammeId| {
                week.programmes.iter().find(|p| p.id == *id).map_or_else(String::new, |p| p.title.clone())
            };
            ui.label("Programme");
            let now = title(&form.service.programme);
            let combo = egui::ComboBox::from_id_salt("service programme").selected_text(now).width(180.0);
            let combo = combo.show_ui(ui, |ui| {
                for programme in &week.programmes {
                    ui.selectable_value(&mut form.service.programme, programme.id.clone(), &programme.title);
                }
            });
            combo.response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Programme of the service")
            });
            ui.label("Venue");
            let none = "the programme’s own";
            venue_choice(
                ui,
                &Venues { library: scene.library, label: "Venue of the service", none },
                &mut form.service.venue,
            );
        });
        if !form.error.is_empty() {
            trouble(ui, &tokens, &form.error);
        }
        ui.add_space(space::XS);
        ui.horizontal(|ui| {
            let enter = ui.input_mut(|i| i.consume_key(egui::Modifiers::COMMAND, egui::Key::Enter));
            if primary(ui, &scene.tokens, "Keep").on_hover_text("Enter").clicked() || enter || entered {
                match form.kept(week) {
                    Ok(service) => {
                        scene.edit(Edit::PutService { week: week.id.clone(), service });
                        outcome = Outcome::Saved;
                    }
                    Err(why) => form.error = why,
                }
            }
            let hover = "Esc; what was typed is kept as a draft";
            if ui.button("Leave it").on_hover_text(hover).clicked() {
                outcome = Outcome::Left;
            }
        });
    });
    outcome
}

#[cfg(test)]
mod tests {
    use super::start_of;
    use rstest::rstest;

    #[rstest]
    #[case("2027-10-12", "19:30", "2027-10-12T19:30:00")]
    #[case(" 2027-10-12 ", "9.05", "2027-10-12T09:05:00")]
    #[case("2027-10-12", "10", "2027-10-12T10:00:00")]
    fn day_and_hour(#[case] date: &str, #[case] time: &str, #[case] start: &str) {
        assert_eq!(start_of(date, time).unwrap().to_string(), start);
    }

    #[rstest]
    #[case("12 Oct", "10:00", "2027-10-12")]
    #[case("2027-10-12", "25:00", "19:30")]
    fn refusals_say_how(#[case] date: &str, #[case] time: &str, #[case] says: &str) {
        assert!(start_of(date, time).unwrap_err().contains(says));
    }
}
