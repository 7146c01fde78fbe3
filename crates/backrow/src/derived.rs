//! What is worked out from the library as a whole, remembered by revision.

use crate::intent::Intent;
use crate::memo::Memo;
use crate::theme::marks::Mark;
use crate::view::{Place, Selected};
use backrow_core::edit::Edit;
use backrow_core::evening::Evening;
use backrow_core::findings::{self, About, Degree, Finding, ShowsOn};
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;

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
    /// A change that mends it, with its words.
    pub fix: Option<(String, Edit)>,
}

/// Findings and the like; brought up to date once a revision.
#[derive(Default)]
pub struct Derived {
    /// What was wrong with the library's files, a sentence each.
    pub files: Vec<String>,
    evening: Option<(u64, Evening)>,
    findings: Memo<(u64, Option<ProgrammeId>), Vec<FindingRow>>,
}

impl Derived {
    /// Works out what has changed.
    pub fn refresh(&mut self, library: &Library, revision: u64, programme: Option<&ProgrammeId>) {
        self.work_out(library, revision, programme);
        let evening = self.evening.as_ref().map(|(_, evening)| evening);
        self.findings.get((revision, programme.cloned()), || {
            let files = self.files.iter().map(|words| {
                // "file:line: what is wrong; what helps".
                let (file, what) = words.split_once(": ").unwrap_or(("A file of the library", words));
                FindingRow {
                    mark: Mark::Care,
                    title: file.to_owned(),
                    detail: what.to_owned(),
                    place: Place::Collection,
                    go: vec![Intent::Go(Place::Collection)],
                    fix: None,
                }
            });
            files.chain(evening.map(rows).unwrap_or_default()).collect()
        });
    }

    fn work_out(&mut self, library: &Library, revision: u64, programme: Option<&ProgrammeId>) {
        let programme = programme.and_then(|id| library.programme(id));
        self.evening = match (self.evening.take(), programme) {
            (_, None) => None,
            (Some((at, old)), Some(programme)) if old.programme().id == programme.id => {
                let now = if at == revision { old } else { old.after(library, programme) };
                Some((revision, now))
            }
            (_, Some(programme)) => Some((revision, Evening::of(library, programme))),
        };
    }

    /// The programme at hand, worked out; `None` without one.
    pub fn evening(&self) -> Option<&Evening> {
        self.evening.as_ref().map(|(_, evening)| evening)
    }

    /// Forgets everything, as for another library.
    pub fn forget(&mut self) {
        self.findings = Memo::default();
        self.evening = None;
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

fn rows(evening: &Evening) -> Vec<FindingRow> {
    findings::check(evening).into_iter().map(row).collect()
}

fn row(finding: Finding) -> FindingRow {
    let place = match finding.shows_on {
        ShowsOn::Section => Place::Section,
        ShowsOn::Compass => Place::Compass,
        ShowsOn::Floor => Place::Floor,
        ShowsOn::Week => Place::Week,
    };
    let mut go: Vec<Intent> = Vec::new();
    for about in finding.about.iter().rev() {
        match about {
            About::Call(call) => go.push(Intent::Call(call.clone())),
            About::Instrument(id) => go.push(Intent::Select(Some(Selected::Instrument(id.clone())))),
            About::Player(id) => go.push(Intent::Select(Some(Selected::Player(id.clone())))),
            About::Programme(_) => {}
        }
    }
    go.push(Intent::Go(place));
    let mark = match finding.degree {
        Degree::Clash => Mark::Clash,
        Degree::Care => Mark::Care,
        Degree::Note => Mark::Note,
    };
    FindingRow { mark, title: finding.what, detail: finding.detail, place, go, fix: finding.fix }
}
