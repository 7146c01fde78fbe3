//! Saving the work in review: nothing that was typed there stays behind.

use super::{Editor, line_ui, made};
use crate::intent::Intent;
use crate::places::works::Here;
use crate::scene::Scene;
use backrow_core::id::LineId;
use backrow_core::music::typed::tempo_text;

impl Editor {
    /// Reads the tempo lines where they are not read yet; an error says why they cannot be.
    pub(super) fn read_tempo(&mut self) -> Result<(), String> {
        if self.shown().is_some_and(|movement| self.tempo.trim() != tempo_text(&movement.timeline).trim()) {
            self.take_tempo();
        }
        if self.tempo_error.is_empty() { Ok(()) } else { Err(format!("Tempo lines: {}", self.tempo_error)) }
    }

    /// Turns to a movement, unless that would lose tempo lines that cannot be read.
    pub(super) fn turn_if_read(&mut self, movement: usize) {
        match self.read_tempo() {
            Ok(()) => self.turn_to(movement),
            Err(why) => self.said = why,
        }
    }
}

/// Asks for the edit, or says why it cannot be.
pub(super) fn keep(scene: &mut Scene<'_>, view: &Here<'_>, editor: &mut Editor) -> bool {
    if let Err(why) = take_typed(scene, editor) {
        editor.said = why;
        return false;
    }
    match editor.edit(scene, view).and_then(|(id, edit)| scene.try_edit(edit).map(|()| id)) {
        Ok(id) => {
            scene.ask(Intent::Work(id));
            true
        }
        Err(why) => {
            editor.said = why;
            false
        }
    }
}

/// What was typed as text and not applied yet goes into the work before that is saved; an error where it cannot be read.
fn take_typed(scene: &Scene<'_>, editor: &mut Editor) -> Result<(), String> {
    let reading = scene.settings.note_reading();
    let typed: Vec<LineId> = editor.typed_over().map(|(id, _)| id.clone()).collect();
    for id in typed {
        line_ui::apply(scene.library, editor, &id, reading)?;
    }
    if !editor.line.trim().is_empty() {
        let line = made::made(scene.library, editor, (&editor.line, reading), None);
        let line = line.map_err(|why| format!("The new line is not added yet: {why}"))?;
        editor.step();
        editor.work.lines.push(line);
        editor.line.clear();
    }
    editor.read_tempo()
}
