//! The drums of a line of timpani as they are tuned at the note that is stepped to.

use super::Shown;
use crate::places::bar_view::Here;
use crate::scene::Scene;
use crate::tuning::Asker;
use backrow_core::collection::{Layout, Side};
use backrow_core::pitch::KeyNumber;

/// What a tuning plan says of the instrument in view, at the note stepped to; before the first step, at the start.
pub(super) struct Drums {
    /// What each frame is tuned to; `None` for a drum that the line does not use.
    pub(super) now: Vec<Option<KeyNumber>>,
    /// The drum that is struck.
    pub(super) lit: Option<usize>,
    /// The next retuning, in words.
    pub(super) next: Option<String>,
}

/// The drums of the plan; `None` where there is no plan for this instrument.
pub(super) fn drums(scene: &Scene<'_>, view: &mut Here<'_>, shown: &Shown) -> Option<Drums> {
    let (at, line) = shown.line.as_ref()?;
    let programme = view.programme.clone();
    let row = view.tuning.plan(Asker::BarView, scene.library, scene.revision, programme.as_ref(), at)?;
    let plan = row.answer.as_ref().ok()?;
    let here = |drum: usize| {
        row.drums.get(drum).filter(|one| one.instrument == shown.instrument.id).map(|one| one.frame)
    };
    // Notes that leave the keys are no strokes.
    let stroke = view.own.step.map(|step| {
        line.notes_in_time().into_iter().take(step).filter(|note| line.sounding_of(note).is_some()).count()
    });
    let now_us = stroke.and_then(|at| row.strokes.get(at)).map(|stroke| stroke.at_us);
    let tuned = plan.tuned_at(now_us.unwrap_or(i64::MIN));
    let mut now = vec![None; shown.instrument.frames.len()];
    for (drum, key) in tuned.into_iter().enumerate() {
        if let Some(place) = here(drum).and_then(|frame| now.get_mut(frame)) {
            *place = key;
        }
    }
    let lit = stroke.and_then(|at| plan.on.get(at)).and_then(|drum| here(*drum));
    let next = row.changes().into_iter().find(|(_, change)| now_us.is_none_or(|now| change.at_us > now));
    let next = next.map(|(one, change)| {
        let heard = if change.heard { ", while others are struck" } else { "" };
        format!("next: {} to {}, {}{heard}", one.drum.name, row.spelling.of(change.to), change.measures())
    });
    Some(Drums { now, lit, next })
}

impl Shown {
    /// Whether the low drum stands at the player's right.
    pub(super) fn is_turned(&self) -> bool {
        self.instrument.layout == Layout::Drums && self.low_drum == Side::Right
    }

    /// A frame as the player counts from the left, from 1.
    pub(super) fn place_from_left(&self, frame: usize) -> u32 {
        let count = self.instrument.frames.len();
        let at = if self.is_turned() { count.saturating_sub(frame + 1) } else { frame };
        u32::try_from(at + 1).unwrap_or(1)
    }
}
