//! A programme whose works were joined or parted: what was given goes with the lines.

use super::{Assignment, CallRef, Kept, Programme};
use crate::id::{CallId, WorkId};
use std::collections::BTreeMap;

impl Programme {
    /// The programme after the lines of one work went into another under other names: what they were given goes with them,
    /// and the work stands where the other stood, unless it is played already.
    #[must_use]
    pub fn with_work_joined(&self, from: &WorkId, into: &WorkId, renamed: &[(CallId, CallId)]) -> Self {
        let to = |call: &CallRef| {
            let found = renamed.iter().find(|(there, _)| call.work == *from && *there == call.call);
            found.map(|(_, here)| CallRef { work: into.clone(), call: here.clone() })
        };
        let mut programme = self.renamed(&to);
        if programme.plays(into) {
            programme.works.retain(|work| work != from);
        } else {
            for work in programme.works.iter_mut().filter(|work| *work == from) {
                work.clone_from(into);
            }
            if let Some(own) = programme.setup.own.remove(from) {
                programme.setup.own.insert(into.clone(), own);
            }
        }
        programme
    }

    /// The programme after some lines of a work became a work of their own, which is played after it.
    #[must_use]
    pub fn with_work_parted(&self, from: &WorkId, part: &WorkId, calls: &[CallId]) -> Self {
        let to = |call: &CallRef| {
            let there = call.work == *from && calls.contains(&call.call);
            there.then(|| CallRef { work: part.clone(), call: call.call.clone() })
        };
        let mut programme = self.renamed(&to);
        if let Some(at) = programme.works.iter().position(|work| work == from) {
            programme.works.insert(at + 1, part.clone());
        }
        programme
    }

    /// Lines under other names; `to` yields a line's new one, or none when it stays.
    fn renamed(&self, to: &dyn Fn(&CallRef) -> Option<CallRef>) -> Self {
        let named = |call: &CallRef| to(call).unwrap_or_else(|| call.clone());
        let lines = |lines: &mut BTreeMap<CallRef, Assignment>| {
            *lines = std::mem::take(lines).into_iter().map(|(call, given)| (named(&call), given)).collect();
        };
        let mut programme = self.clone();
        lines(&mut programme.share_out);
        for kept in &mut programme.kept {
            match kept {
                Kept::Together(a, b) | Kept::Apart(a, b) => (*a, *b) = (named(a), named(b)),
                Kept::Only(a, _) => *a = named(a),
            }
        }
        programme
    }
}
