//! What is chosen on the floor.

use crate::places::floor::Here;
use crate::view::Selected;
use backrow_core::id::InstrumentId;

/// Everything that is chosen, the selected one first.
pub(super) fn chosen(view: &Here<'_>) -> Vec<InstrumentId> {
    let first = match &view.selected {
        Some(Selected::Instrument(id)) => Some(id.clone()),
        _ => None,
    };
    let others = view.own.also.iter().filter(|id| Some(*id) != first.as_ref()).cloned();
    first.clone().into_iter().chain(others).collect()
}

/// Whether a thing is among the chosen.
pub(super) fn is_chosen(view: &Here<'_>, id: &InstrumentId) -> bool {
    view.own.also.contains(id) || view.selected == Some(Selected::Instrument(id.clone()))
}
