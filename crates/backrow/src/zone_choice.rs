//! Choosing a time zone by typing a part of its name.

use backrow_files::calendar::zones;
use egui::Ui;

/// Zones that are listed at once.
const LISTED: usize = 40;

/// A choice among the zones of the tz database. What was chosen: a zone's name, or nothing for hours as they are written.
pub fn zone_choice(ui: &mut Ui, name: &str, now: &str, label: egui::Id) -> Option<String> {
    let words = if now.is_empty() { "as written" } else { now };
    let typed_id = ui.scope_id().with(("typed zone", name));
    let mut chosen = None;
    let combo = egui::ComboBox::from_id_salt(name)
        .selected_text(words)
        .width(180.0)
        .height(320.0)
        .close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside)
        .show_ui(ui, |ui| {
            let mut typed: String = ui.data_mut(|data| data.get_temp(typed_id)).unwrap_or_default();
            let field = egui::TextEdit::singleline(&mut typed).hint_text("a city …").desired_width(160.0);
            let field = ui.add(field);
            let says = format!("{name}, by a city");
            field.widget_info(|| egui::WidgetInfo::labeled(egui::Role::TextInput, true, says.clone()));
            let found = zones_named(&typed);
            let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            if entered && let Some(first) = found.first().filter(|_| !typed.trim().is_empty()) {
                chosen = Some((*first).to_owned());
            } else if !field.has_focus() && ui.input(|i| i.events.is_empty()) {
                field.request_focus();
            }
            if typed.trim().is_empty() && ui.selectable_label(now.is_empty(), "as written").clicked() {
                chosen = Some(String::new());
            }
            if found.is_empty() {
                ui.label("No zone has such a name.");
            }
            for zone in found {
                if ui.selectable_label(zone == now, zone).clicked() {
                    chosen = Some(zone.to_owned());
                }
            }
            if chosen.is_some() {
                typed.clear();
                ui.close();
            }
            ui.data_mut(|data| data.insert_temp(typed_id, typed));
        });
    combo.response.labelled_by(label);
    chosen.filter(|zone| zone != now)
}

/// Zones with a part of their name as typed; cities that begin so come first.
fn zones_named(typed: &str) -> Vec<&'static str> {
    let wanted = typed.trim().to_lowercase().replace(' ', "_");
    let rank = |zone: &str| {
        let zone = zone.to_lowercase();
        let city = zone.rsplit('/').next().unwrap_or_default();
        if city.starts_with(&wanted) { 0 } else { 1 + u8::from(!zone.contains(&wanted)) }
    };
    let mut found: Vec<&'static str> =
        zones().filter(|zone| zone.contains('/') && !zone.starts_with("Etc/") && rank(zone) < 2).collect();
    found.sort_by_key(|zone| (rank(zone), *zone));
    found.truncate(LISTED);
    found
}

#[cfg(test)]
mod tests {
    use super::zones_named;

    #[test]
    fn a_city_leads_to_its_zone() {
        assert_eq!(zones_named("berl").first(), Some(&"Europe/Berlin"));
        assert_eq!(zones_named("new york").first(), Some(&"America/New_York"));
        assert!(zones_named("atlantis").is_empty());
    }
}
