//! A programme whose works were joined or parted: what was given goes with the lines.

use super::{Assignment, LineRef, LineRule, Programme};
use crate::id::{LineId, WorkId};
use std::collections::BTreeMap;

impl Programme {
    /// The programme after the lines of one work went into another under other names: what they were given goes with them,
    /// and the work stands where the other stood, unless it is played already.
    #[must_use]
    pub fn with_work_joined(&self, from: &WorkId, into: &WorkId, renamed: &[(LineId, LineId)]) -> Self {
        let to = |line: &LineRef| {
            let found = renamed.iter().find(|(there, _)| line.work == *from && *there == line.line);
            found.map(|(_, here)| LineRef { work: into.clone(), line: here.clone() })
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
    pub fn with_work_parted(&self, from: &WorkId, part: &WorkId, lines: &[LineId]) -> Self {
        let to = |line: &LineRef| {
            let there = line.work == *from && lines.contains(&line.line);
            there.then(|| LineRef { work: part.clone(), line: line.line.clone() })
        };
        let mut programme = self.renamed(&to);
        if let Some(at) = programme.works.iter().position(|work| work == from) {
            programme.works.insert(at + 1, part.clone());
        }
        programme
    }

    /// Lines under other names; `to` yields a line's new one, or none when it stays.
    fn renamed(&self, to: &dyn Fn(&LineRef) -> Option<LineRef>) -> Self {
        let named = |line: &LineRef| to(line).unwrap_or_else(|| line.clone());
        let lines = |lines: &mut BTreeMap<LineRef, Assignment>| {
            *lines = std::mem::take(lines).into_iter().map(|(line, given)| (named(&line), given)).collect();
        };
        let mut programme = self.clone();
        lines(&mut programme.assignments);
        for rule in &mut programme.rules {
            match rule {
                LineRule::Together(a, b) | LineRule::Apart(a, b) => (*a, *b) = (named(a), named(b)),
                LineRule::Only(a, _) => *a = named(a),
            }
        }
        programme
    }
}

#[cfg(test)]
mod worked;
