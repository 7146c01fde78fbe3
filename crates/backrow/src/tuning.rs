//! The tuning plan of the current line, remembered by revision: the panel and Bar view ask for it on every frame.

use crate::memo::Memo;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::sets::{LinePlan, line_plan};
use backrow_core::week::LineRef;
use std::sync::Arc;

/// The plans asked for last: the panel's line and Bar view's may differ.
#[derive(Default)]
pub struct Held([Memo<Key, Option<Arc<LinePlan>>>; 2]);

/// What a plan is worked out from.
type Key = (u64, Option<ProgrammeId>, LineRef);

/// Who asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "the askers' own names")]
pub enum Asker {
    Panel,
    BarView,
}

impl Held {
    /// The plan of a line on what a programme gives it; `None` where there is nothing to plan.
    pub fn plan(
        &mut self,
        asker: Asker,
        library: &Library,
        revision: u64,
        programme: Option<&ProgrammeId>,
        at: &LineRef,
    ) -> Option<Arc<LinePlan>> {
        let [panel, bar_view] = &mut self.0;
        let memo = match asker {
            Asker::Panel => panel,
            Asker::BarView => bar_view,
        };
        let make = || {
            let given = library.programme(programme?)?.assignment(at);
            let (_, line) = library.line(at)?;
            line_plan(library, line, &given).map(Arc::new)
        };
        memo.get((revision, programme.cloned(), at.clone()), make).clone()
    }
}
