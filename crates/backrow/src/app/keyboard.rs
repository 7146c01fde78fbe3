//! Keys that act from anywhere.

use super::App;
use crate::actions::Action;
use crate::intent::Intent;
use crate::view::{Carried, Over};
use backrow_files::score::is_music;

impl App {
    /// The actions whose keys were pressed; most modifiers first, and those that a text field wants are left to it.
    ///
    /// While a line is in hand, Alt with a number gives it to that player all the same and does not go to a place. Under
    /// something that fills the window only those act that change nothing hidden. At Esc an open menu closes itself, and a field
    /// of the place is left, and nothing else happens.
    pub(super) fn keys(&self, ctx: &egui::Context) -> Vec<Intent> {
        let typing = ctx.text_edit_focused();
        let line_in_hand = matches!(self.view.in_hand, Some(Carried::Line(_)));
        let hidden = self.view.over.is_some_and(Over::hides_the_place);
        let inner = egui::Popup::is_any_open(ctx) || self.view.over.is_none() && self.was_typing;
        let each =
            |action: &Action| action.shortcuts().map(|shortcut| (*action, shortcut)).collect::<Vec<_>>();
        let mut actions: Vec<_> = Action::ALL.iter().flat_map(each).collect();
        actions.sort_by_key(|(_, shortcut)| {
            let m = shortcut.modifiers;
            std::cmp::Reverse(u8::from(m.command) + u8::from(m.shift) + u8::from(m.alt))
        });
        let mut asked = Vec::new();
        for (action, shortcut) in actions {
            if typing && action.yields_to_text() {
                continue;
            }
            if hidden && !action.acts_over_all() || inner && action == Action::Cancel {
                continue;
            }
            if line_in_hand && action.shortcut().modifiers == egui::Modifiers::ALT {
                continue;
            }
            if ctx.input_mut(|i| i.consume_shortcut(&shortcut)) {
                // With Alt a digit comes as text too: it is not meant for the field that has the focus.
                if action.shortcut().modifiers == egui::Modifiers::ALT {
                    ctx.input_mut(|i| i.events.retain(|event| !matches!(event, egui::Event::Text(_))));
                }
                asked.push(Intent::Do(action));
            }
        }
        asked
    }

    /// Presses what was asked for by its words, as if on the keyboard.
    pub(super) fn press(&mut self, ctx: &egui::Context) {
        for shortcut in std::mem::take(&mut self.presses) {
            let event = egui::Event::Key {
                key: shortcut.logical_key,
                physical_key: None,
                pressed: true,
                repeat: false,
                modifiers: shortcut.modifiers,
            };
            ctx.input_mut(|i| i.events.push(event));
        }
    }

    /// Files dropped on the window are opened or read.
    pub(super) fn take_dropped_files(&mut self, ctx: &egui::Context) {
        let dropped = ctx.input(|i| i.raw.dropped_files.clone());
        let paths: Vec<std::path::PathBuf> = dropped.iter().map(|file| file.path().to_owned()).collect();
        let (recordings, others): (Vec<_>, Vec<_>) =
            paths.into_iter().partition(|path| crate::sound::import::is_recording(path));
        if !recordings.is_empty() {
            self.import_recordings(ctx, recordings);
        }
        let is_score = |path: &std::path::PathBuf| {
            path.is_file() && path.file_name().is_some_and(|name| is_music(&name.to_string_lossy()))
        };
        // Several scores are read together, whatever was dropped with them: one alone is opened, and would displace the next.
        let (scores, mut others): (Vec<_>, Vec<_>) = others.into_iter().partition(is_score);
        if scores.len() > 1 {
            self.read_files(ctx, scores);
        } else {
            others.splice(0..0, scores);
        }
        self.intents.extend(others.into_iter().map(Intent::Open));
    }
}
