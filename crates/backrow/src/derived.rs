//! What is worked out from the library as a whole, remembered by revision.

mod current;
mod fixes;

pub use fixes::Fix;

use crate::actions::Action;
use crate::evenings::Evenings;
use crate::intent::Intent;
use crate::memo::Memo;
use crate::theme::marks::Mark;
use crate::view::{Place, Selected};
use backrow_core::evening::Evening;
use backrow_core::findings::{About, Finding, ShowsOn, of_collection};
use backrow_core::id::{ProgrammeId, begun};
use backrow_core::library::Library;
use backrow_core::tuning::formula::Formula;
use backrow_core::week::Programme;
use backrow_files::library::Problem;
use std::sync::Arc;

/// A finding as panels show it.
#[derive(Clone, Debug)]
pub struct FindingRow {
    /// How bad.
    pub mark: Mark,
    /// What, in a few words.
    pub title: String,
    /// Where, how bad, what would mend it.
    pub detail: String,
    /// The place it belongs to.
    pub place: Place,
    /// Where a click leads.
    pub go: Vec<Intent>,
    /// What fixes it.
    pub fix: Fix,
    /// What its figures stand on.
    pub formulas: &'static [Formula],
}

/// Findings and the like; brought up to date once a revision.
#[derive(Default)]
pub struct Derived {
    /// What was wrong with the library's files.
    pub files: Vec<Problem>,
    current: current::Current,
    others: Evenings,
    findings: Memo<(u64, u64, Vec<Problem>), Vec<FindingRow>>,
}

impl Derived {
    /// Works out what has changed, or sets about it where it takes longer than a frame.
    pub fn refresh(
        &mut self,
        ctx: &egui::Context,
        library: &Library,
        revision: u64,
        programme: Option<&ProgrammeId>,
    ) {
        self.current.refresh(ctx, library, revision, programme.and_then(|id| library.programme(id)));
        let found = self.current.findings();
        self.findings.get((self.current.stamp(), revision, self.files.clone()), || {
            let files = self.files.iter().map(of_file);
            files
                .chain(found.iter().cloned().map(row))
                .chain(of_collection(library).into_iter().map(row))
                .collect()
        });
    }

    /// The current programme as it was last worked out; `None` without one, or before that is done for the first time.
    pub fn evening(&self) -> Option<&Evening> {
        self.current.evening()
    }

    /// The current programme as it is at this very revision. What stands where, and what is wrong there, it says at once; its
    /// ways and seconds may still be on their way while [`Self::is_working`].
    pub fn present(&self) -> Option<&Evening> {
        self.current.present()
    }

    /// A programme as it is at a revision, whether it is current or not: the remembered evening. Its ways and seconds are worked out
    /// when somebody first asks.
    pub fn evening_of(&self, library: &Library, revision: u64, programme: &Programme) -> Arc<Evening> {
        let current = self.current.present_at(revision, &programme.id);
        current.unwrap_or_else(|| self.others.of(library, revision, programme))
    }

    /// Whether what is shown is being worked out anew.
    pub const fn is_working(&self) -> bool {
        self.current.is_working()
    }

    /// Differs whenever [`Self::evening`] does; what is remembered of it is remembered by this beside the revision.
    pub const fn stamp(&self) -> u64 {
        self.current.stamp()
    }

    /// Forgets everything, as for another library.
    pub fn forget(&mut self) {
        self.findings = Memo::default();
        self.current.forget();
        self.others.forget();
    }

    /// What was found, worst first.
    pub fn findings(&self) -> &[FindingRow] {
        self.findings.held().map_or(&[], Vec::as_slice)
    }

    /// The worst degree among a place's findings, and how many have it.
    pub fn worst(&self, place: Place) -> Option<(Mark, usize)> {
        let of = |mark| self.findings().iter().filter(|f| f.place == place && f.mark == mark).count();
        [Mark::Clash, Mark::Care, Mark::Note]
            .into_iter()
            .map(|mark| (mark, of(mark)))
            .find(|(_, count)| *count > 0)
    }
}

/// What is wrong with a file of the library, as a finding.
fn of_file(problem: &Problem) -> FindingRow {
    let title = match problem.line {
        Some(line) => format!("{}, line {line}", problem.file),
        None => problem.file.clone(),
    };
    FindingRow {
        mark: Mark::Care,
        title,
        detail: format!("{}. {}.", begun(&problem.what), begun(&problem.remedy)),
        place: Place::Collection,
        go: vec![Intent::Go(Place::Collection)],
        fix: Fix::action(Action::ShowEarlier),
        formulas: &[],
    }
}

fn row(finding: Finding) -> FindingRow {
    let place = match finding.rule.shows_on() {
        ShowsOn::Section => Place::Section,
        ShowsOn::Compass => Place::Compass,
        ShowsOn::Floor => Place::Floor,
        ShowsOn::Week => Place::Week,
        ShowsOn::Sounds => Place::Sounds,
        ShowsOn::Collection => Place::Collection,
    };
    let mut go: Vec<Intent> = Vec::new();
    for about in finding.about.iter().rev() {
        match about {
            About::Line(line) => go.push(Intent::Line(line.clone())),
            About::Instrument(id) => go.push(Intent::Select(Some(Selected::Instrument(id.clone())))),
            About::Player(id) => go.push(Intent::Select(Some(Selected::Player(id.clone())))),
            About::Programme(_) | About::Service(_) => {}
        }
    }
    go.push(Intent::Go(place));
    let detail = finding.detail();
    let (fix, formulas) = (Fix::of(&finding), finding.rule.formulas());
    FindingRow { mark: finding.degree.into(), title: finding.what, detail, place, go, fix, formulas }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_could_not_be_read_is_told_with_its_line_and_what_helps() {
        let problem = Problem {
            file: "works/a: b.ron".to_owned(),
            line: Some(12),
            column: None,
            code: "syntax",
            what: "a comma is missing".to_owned(),
            remedy: "put one in".to_owned(),
        };
        let row = of_file(&problem);
        assert_eq!(row.title, "works/a: b.ron, line 12");
        assert_eq!(row.detail, "A comma is missing. Put one in.");
    }
}
