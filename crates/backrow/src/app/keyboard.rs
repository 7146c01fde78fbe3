//! Keys that act from anywhere.

use super::App;
use crate::actions::Action;
use crate::intent::Intent;

impl App {
    /// The actions whose keys were pressed; most modifiers first, and those that a text field wants are left to it.
    ///
    /// While a call is in hand, Alt with a number gives it to that player all the same and does not go to a place.
    pub(super) fn keys(ctx: &egui::Context, call_in_hand: bool) -> Vec<Intent> {
        let typing = ctx.text_edit_focused();
        let mut actions = Action::ALL.to_vec();
        actions.sort_by_key(|action| {
            let m = action.shortcut().modifiers;
            std::cmp::Reverse(u8::from(m.command) + u8::from(m.shift) + u8::from(m.alt))
        });
        let mut asked = Vec::new();
        for action in actions {
            if typing && action.yields_to_text() {
                continue;
            }
            if call_in_hand && action.shortcut().modifiers == egui::Modifiers::ALT {
                continue;
            }
            if ctx.input_mut(|i| i.consume_shortcut(&action.shortcut())) {
                asked.push(Intent::Do(action));
            }
        }
        asked
    }

    /// Files dropped on the window are opened or read.
    pub(super) fn take_dropped_files(&mut self, ctx: &egui::Context) {
        let dropped = ctx.input(|i| i.raw.dropped_files.clone());
        for file in dropped {
            self.intents.push(Intent::Open(file.path().to_owned()));
        }
    }
}
