//! What every set of assignments has to keep about a line: with whom, apart from what, for whom; and what can be played with it.

use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::in_menu;
use backrow_core::edit::{Edit, rule_words};
use backrow_core::id::{PlayerId, ProgrammeId};
use backrow_core::library::Library;
use backrow_core::music::{Line, Work};
use backrow_core::week::{LineRef, LineRule};
use egui::{RichText, Ui};

/// Whether everybody hears the line.
pub(super) fn exposed(ui: &mut Ui, scene: &Scene<'_>, at: &LineRef, edits: &mut Vec<Edit>) {
    let Some((work, line)) = scene.library.line(at) else { return };
    let mut exposed = line.exposed;
    let hover = "Everybody hears it; proposals spread exposed lines evenly";
    if ui.checkbox(&mut exposed, "Exposed").on_hover_text(hover).changed() {
        edits.push(Edit::PutLine { work: work.id.clone(), line: Line { exposed, ..line.clone() } });
    }
}

/// The menus that add a rule.
pub(super) fn add(
    ui: &mut Ui,
    scene: &Scene<'_>,
    programme: &ProgrammeId,
    at: &LineRef,
    edits: &mut Vec<Edit>,
) {
    let Some((work, _)) = scene.library.line(at) else { return };
    ui.menu_button("Add a rule …", |ui| menu(ui, scene.library, programme, (work, at), edits))
        .response
        .on_hover_text("What assignments must respect about this line");
}

/// Draws the rules that there are.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, programme: &ProgrammeId, at: &LineRef) {
    let library = scene.library;
    let Some((work, _)) = library.line(at) else { return };
    let Some(own) = library.programme(programme) else { return };
    let mut edits: Vec<Edit> = Vec::new();
    ui.add_space(space::XS);
    for rule in own.rules.iter().filter(|rule| rule.is_about(at)) {
        let drop = row(ui, scene, &rule_words(library, rule));
        if drop {
            edits.push(Edit::RemoveRule { programme: programme.clone(), rule: rule.clone() });
        }
    }
    for other in work.together.iter().filter_map(|(a, b)| partner(a, b, at)) {
        let name = work.line(other).map_or_else(|| other.to_string(), |line| library.line_name(line));
        if row(ui, scene, &format!("Can be played together with {name}")) {
            edits.push(together(work, at, other, false));
        }
    }
    for edit in edits {
        scene.edit(edit);
    }
}

/// A line with a way to let it go.
fn row(ui: &mut Ui, scene: &Scene<'_>, words: &str) -> bool {
    ui.horizontal(|ui| {
        let width = ui.available_width() - 66.0;
        ui.allocate_ui(egui::vec2(width, 18.0), |ui| {
            ui.set_width(width);
            let words = RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink);
            ui.add(egui::Label::new(words).wrap());
        });
        let let_go = ui.small_button("Remove");
        let_go.widget_info(|| {
            egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Remove the rule: {words}"))
        });
        let_go.clicked()
    })
    .inner
}

fn partner<'a>(
    a: &'a backrow_core::id::LineId,
    b: &'a backrow_core::id::LineId,
    at: &LineRef,
) -> Option<&'a backrow_core::id::LineId> {
    if *a == at.line { Some(b) } else { (*b == at.line).then_some(a) }
}

fn together(work: &Work, at: &LineRef, other: &backrow_core::id::LineId, on: bool) -> Edit {
    let mut work = work.clone();
    work.together.retain(|(a, b)| partner(a, b, at) != Some(other));
    if on {
        work.together.push((at.line.clone(), other.clone()));
    }
    Edit::PutWork(work)
}

fn menu(
    ui: &mut Ui,
    library: &Library,
    programme: &ProgrammeId,
    (work, at): (&Work, &LineRef),
    edits: &mut Vec<Edit>,
) {
    let others: Vec<LineRef> = work
        .lines
        .iter()
        .filter(|other| other.id != at.line)
        .map(|other| LineRef { work: work.id.clone(), line: other.id.clone() })
        .collect();
    let name = |line: &LineRef| {
        library.line(line).map_or_else(String::new, |(work, line)| {
            let number = work.movement(&line.movement).map_or("", |m| &m.number);
            format!("{}  {number}", library.line_name(line))
        })
    };
    let pick = |ui: &mut Ui, words: &str, make: &dyn Fn(&LineRef) -> Edit, edits: &mut Vec<Edit>| {
        ui.menu_button(words, |ui| {
            egui::ScrollArea::vertical().max_height(320.0).show(ui, |ui| {
                for other in &others {
                    if ui.button(name(other)).clicked() {
                        edits.push(make(other));
                        ui.close();
                    }
                }
            });
        });
    };
    let keep = |rule: LineRule| Edit::PutRule { programme: programme.clone(), rule };
    pick(ui, "Same player as", &|other| keep(LineRule::Together(at.clone(), other.clone())), edits);
    pick(ui, "Different player from", &|other| keep(LineRule::Apart(at.clone(), other.clone())), edits);
    ui.menu_button("Only for", |ui| {
        let now: Vec<PlayerId> = library
            .programme(programme)
            .into_iter()
            .flat_map(|p| &p.rules)
            .filter_map(|rule| match rule {
                LineRule::Only(line, players) if line == at => Some(players.clone()),
                _ => None,
            })
            .flatten()
            .collect();
        for player in library.roster() {
            let mut on = now.contains(&player.id);
            let tokens = crate::theme::Tokens::of(ui.ctx());
            if in_menu(ui, &tokens, |ui| ui.checkbox(&mut on, &player.name)).changed() {
                let mut players: Vec<PlayerId> = now.iter().filter(|id| **id != player.id).cloned().collect();
                if on {
                    players.push(player.id.clone());
                }
                edits.push(if players.is_empty() {
                    Edit::RemoveRule {
                        programme: programme.clone(),
                        rule: LineRule::Only(at.clone(), now.clone()),
                    }
                } else {
                    keep(LineRule::Only(at.clone(), players))
                });
            }
        }
    });
    pick(ui, "Can be played together with", &|other| together(work, at, &other.line, true), edits);
}
