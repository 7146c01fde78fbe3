//! What was changed in the review of a table or a calendar, as it is kept on disk: the file is read again, and what was changed is
//! put on it.

use super::{Importing, calendar, table};
use crate::drafts::shelf::Slip;
use crate::intent::Intent;
use crate::view::Place;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// A review as it was left.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Kept {
    pub(super) path: PathBuf,
    /// Of the file's bytes: what was changed is put on nothing else.
    hash: u64,
    pub(super) said: Said,
}

/// What was changed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Said {
    Table(table::Said),
    Calendar(calendar::Said),
}

impl Kept {
    pub(super) fn new(path: &Path, hash: u64, said: Said) -> Self {
        Self { path: path.to_owned(), hash, said }
    }

    /// Whether it is of that file.
    pub(super) fn is_of(&self, importing: &Importing) -> bool {
        let (path, hash) = importing.file();
        let fits = matches!(
            (&self.said, importing),
            (Said::Table(_), Importing::Table(_)) | (Said::Calendar(_), Importing::Calendar(_))
        );
        fits && self.path == path && self.hash == hash
    }

    /// As it is kept on disk.
    pub(super) fn slip(&self) -> Option<Slip> {
        Some(Slip::plain("import").with("review", ron::to_string(self).ok()?))
    }

    /// What was kept on disk.
    pub(super) fn of_slip(slip: &Slip) -> Option<Self> {
        ron::from_str(slip.field("review")).ok()
    }

    /// Where it is offered again: where its things are.
    pub(super) const fn place(&self) -> Place {
        match self.said {
            Said::Table(_) => Place::Collection,
            Said::Calendar(_) => Place::Week,
        }
    }

    /// What shows it again.
    pub(super) fn intent(&self) -> Intent {
        match self.said {
            Said::Table(_) => Intent::ImportTable(self.path.clone()),
            Said::Calendar(_) => Intent::ImportCalendar(self.path.clone()),
        }
    }
}
