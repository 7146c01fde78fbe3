//! What was changed in the review of several scores, as it is kept on disk: the files are read again, and put together as they
//! were left.

use super::{FolderReading, take};
use crate::drafts::shelf::Slip;
use backrow_core::id::VenueId;
use backrow_files::score::{Gathered, GatheredWork, Piece, ScoreReading};
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

/// A review as it was left.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::places::works) struct Kept {
    /// The folder, or that of the files.
    pub(super) from: PathBuf,
    /// The files that were read.
    pub(super) files: Vec<PathBuf>,
    works: Vec<KeptWork>,
    /// Names that are corrected as they were before.
    #[serde(default)]
    corrected: Vec<String>,
    programme: take::Into,
    title: String,
    venue: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct KeptWork {
    title: String,
    composer: String,
    pieces: Vec<KeptPiece>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct KeptPiece {
    file: String,
    number: Option<u32>,
    why: String,
    taken: bool,
}

impl Kept {
    /// How a review stands.
    pub(super) fn of(reading: &FolderReading) -> Self {
        let piece = |piece: &Piece| {
            let read = reading.readings.get(piece.reading)?;
            let taken = reading.taken.get(piece.reading).copied().unwrap_or(false);
            Some(KeptPiece { file: read.file.clone(), number: piece.number, why: piece.why.clone(), taken })
        };
        let work = |work: &GatheredWork| KeptWork {
            title: work.title.clone(),
            composer: work.composer.clone(),
            pieces: work.pieces.iter().filter_map(piece).collect(),
        };
        Self {
            from: reading.from.clone(),
            files: reading.files.clone(),
            works: reading.gathered.works.iter().map(work).collect(),
            corrected: reading.corrected.iter().cloned().collect(),
            programme: reading.programme,
            title: reading.title.clone(),
            venue: reading.venue.as_ref().map(ToString::to_string),
        }
    }

    /// Puts the files together as they were left. Files that were not there then stay as they are guessed now.
    pub(super) fn put_on(self, reading: &mut FolderReading) {
        let mut rest = std::mem::take(&mut reading.gathered).works;
        let mut works = Vec::new();
        for kept in self.works {
            let mut work = GatheredWork { title: kept.title, composer: kept.composer, pieces: Vec::new() };
            for piece in kept.pieces {
                let found = reading.readings.iter().position(|read: &ScoreReading| read.file == piece.file);
                let Some(at) = found else { continue };
                if let Some(taken) = reading.taken.get_mut(at) {
                    *taken = piece.taken;
                }
                for work in &mut rest {
                    work.pieces.retain(|other| other.reading != at);
                }
                work.pieces.push(Piece { reading: at, number: piece.number, why: piece.why });
            }
            works.push(work);
        }
        works.extend(rest);
        works.retain(|work| !work.pieces.is_empty());
        reading.gathered = Gathered { works };
        reading.corrected = self.corrected.into_iter().collect();
        reading.programme = self.programme;
        reading.title = self.title;
        reading.venue = self.venue.as_deref().and_then(|id| VenueId::new(id).ok());
    }

    /// As it is kept on disk.
    pub(in crate::places::works) fn slip(&self) -> Option<Slip> {
        Some(Slip::plain("scores").with("review", ron::to_string(self).ok()?))
    }

    /// What was kept on disk.
    pub(in crate::places::works) fn of_slip(slip: &Slip) -> Option<Self> {
        ron::from_str(slip.field("review")).ok()
    }

    /// Where the scores are, in words.
    pub(in crate::places::works) fn words(&self) -> String {
        format!("{} scores of {}", self.files.len(), self.from.display())
    }
}
