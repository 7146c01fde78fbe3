//! Who is engaged for the current programme, who has the timpani, and who owns which printed part.

use crate::scene::Scene;
use crate::theme::marks;
use crate::theme::tokens::space;
use backrow_core::collection::Player;
use backrow_core::edit::Edit;
use backrow_core::id::{PlayerId, ServiceId};
use backrow_core::week::{Engagement, PartRef, Programme, Standing};
use egui::{ComboBox, RichText, Ui, WidgetInfo};

/// What is chosen beside a player's name takes so much, with the gaps, points.
const CHOICES: f32 = 412.0;
/// The choice of a part's owner, with the gaps, points.
const OWNER: f32 = 192.0;

/// Draws the players and the printed parts.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, programme: &Programme) {
    let tokens = scene.tokens;
    marks::heading(ui, "Players", "proposals follow this", &tokens);
    let words = "An extra is proposed only when nobody who is engaged can take the line; players in reserve come before extras. \
        Timpani stay with the timpanist.";
    ui.label(RichText::new(words).color(tokens.ink2));
    let room = (ui.available_width() - CHOICES).max(48.0);
    egui::Grid::new("players of the programme").num_columns(5).spacing([8.0, 6.0]).show(ui, |ui| {
        for player in scene.library.roster() {
            player_row(ui, scene, programme, player, room);
            ui.end_row();
        }
    });
    ui.add_space(space::S);
    parts(ui, scene, programme);
}

/// One player: standing, timpani, services, and the way back to what the role says.
fn player_row(ui: &mut Ui, scene: &mut Scene<'_>, programme: &Programme, player: &Player, room: f32) {
    let now = programme.roster.of(player);
    let mut next = now.clone();
    let tokens = scene.tokens;
    ui.horizontal(|ui| {
        ui.set_max_width(room);
        ui.add(egui::Label::new(&player.name).truncate());
        if ui.available_width() > 24.0 {
            ui.add(egui::Label::new(RichText::new(&player.role).color(tokens.ink2)).truncate());
        }
    });
    let label = format!("How {} is engaged", player.name);
    let combo =
        ComboBox::from_id_salt(&label).selected_text(now.standing.word()).width(110.0).show_ui(ui, |ui| {
            for standing in Standing::ALL {
                ui.selectable_value(&mut next.standing, standing, standing.word());
            }
        });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, &label));
    let here = next.standing != Standing::Free;
    let timpani = ui.add_enabled(here, egui::Checkbox::new(&mut next.timpani, "timpani"));
    let (on, name) = (next.timpani, format!("{} has the timpani", player.name));
    timpani.widget_info(|| WidgetInfo::selected(egui::Role::CheckBox, here, on, &name));
    services(ui, scene, programme, player, &mut next);
    let stated = programme.roster.stated.contains_key(&player.id);
    let usual = ui.add_enabled(stated, egui::Button::new("As usual"));
    usual.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Button, stated, format!("Engage {} as usual", player.name))
    });
    let engagement = if usual.clicked() { None } else { Some(next).filter(|next| *next != now) };
    if usual.clicked() || engagement.is_some() {
        scene.edit(Edit::Engage { programme: programme.id.clone(), player: player.id.clone(), engagement });
    }
}

/// For which services; all where none is chosen.
fn services(ui: &mut Ui, scene: &Scene<'_>, programme: &Programme, player: &Player, next: &mut Engagement) {
    let services = scene.library.services_of(&programme.id);
    let words = match next.services.len() {
        0 => "all services".to_owned(),
        some => format!("{some} of {} services", services.len()),
    };
    let label = format!("Services of {}", player.name);
    let combo = ComboBox::from_id_salt(&label)
        .selected_text(words)
        .width(130.0)
        .close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside)
        .show_ui(ui, |ui| {
            let all: Vec<ServiceId> = services.iter().map(|service| service.id.clone()).collect();
            for service in &services {
                let mut on = next.covers(&service.id);
                let words = format!("{} {}", service.kind.word(), scene.library.days().at(service.start));
                if ui.checkbox(&mut on, words).changed() {
                    turn(next, &all, &service.id, on);
                }
            }
        });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, &label));
}

/// Engages a player for a service or not. Who is left with no service is not engaged; who has all has "all".
fn turn(engagement: &mut Engagement, all: &[ServiceId], service: &ServiceId, on: bool) {
    if engagement.services.is_empty() {
        engagement.services = all.iter().cloned().collect();
    }
    if on {
        engagement.services.insert(service.clone());
    } else {
        engagement.services.remove(service);
    }
    if engagement.services.is_empty() {
        engagement.standing = Standing::Free;
    } else if all.iter().all(|id| engagement.services.contains(id)) {
        engagement.services.clear();
    }
}

/// Who owns which printed part.
fn parts(ui: &mut Ui, scene: &mut Scene<'_>, programme: &Programme) {
    let tokens = scene.tokens;
    let all = printed(scene, programme);
    if all.is_empty() {
        return;
    }
    marks::heading(ui, "Printed parts", "who owns them", &tokens);
    let room = ((ui.available_width() - OWNER) / 2.0).max(48.0);
    let words = |ui: &mut Ui, words: RichText| {
        ui.horizontal(|ui| {
            ui.set_max_width(room);
            ui.add(egui::Label::new(words).truncate());
        });
    };
    egui::Grid::new("parts of the programme").num_columns(3).spacing([12.0, 6.0]).show(ui, |ui| {
        for part in all {
            let title = scene.library.works.get(&part.work).map_or("", |work| work.title.as_str());
            words(ui, RichText::new(title).color(tokens.ink2));
            words(ui, RichText::new(&part.part));
            owner(ui, scene, programme, &part, title);
            ui.end_row();
        }
    });
}

fn owner(ui: &mut Ui, scene: &mut Scene<'_>, programme: &Programme, part: &PartRef, title: &str) {
    let now: Option<PlayerId> = programme.roster.parts.get(part).cloned();
    let mut next = now.clone();
    let words = now.as_ref().map_or_else(|| "nobody".to_owned(), |id| scene.library.player_name(id));
    let label = format!("Owner of {} of {title}", part.part);
    let combo = ComboBox::from_id_salt(&label).selected_text(words).width(160.0).truncate();
    let combo = combo.show_ui(ui, |ui| {
        ui.selectable_value(&mut next, None, "nobody");
        for player in scene.library.roster() {
            ui.selectable_value(&mut next, Some(player.id.clone()), &player.name);
        }
    });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, &label));
    if next != now {
        scene.edit(Edit::OwnPart { programme: programme.id.clone(), part: part.clone(), player: next });
    }
}

/// Every printed part of the programme's works, each once, in the order of works and lines.
fn printed(scene: &Scene<'_>, programme: &Programme) -> Vec<PartRef> {
    let works = programme.works.iter().filter_map(|id| scene.library.works.get(id));
    let mut all: Vec<PartRef> = Vec::new();
    for work in works {
        for line in work.lines.iter().filter(|line| !line.part.is_empty()) {
            let part = PartRef { work: work.id.clone(), part: line.part.clone() };
            if !all.contains(&part) {
                all.push(part);
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn id(service: &str) -> ServiceId {
        ServiceId::new(service).unwrap()
    }

    #[test]
    fn services_are_turned_on_and_off() {
        let all = [id("monday"), id("friday")];
        let mut engagement = Engagement::default();
        turn(&mut engagement, &all, &id("monday"), false);
        assert_eq!(engagement.services, [id("friday")].into());
        turn(&mut engagement, &all, &id("monday"), true);
        assert!(engagement.services.is_empty(), "all services again");
        turn(&mut engagement, &all, &id("monday"), false);
        turn(&mut engagement, &all, &id("friday"), false);
        assert_eq!(engagement.standing, Standing::Free, "engaged for nothing");
    }
}
