//! How far the reading of a library has come, and whether it is still wanted.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Is told how many of how many files are read; says whether to go on. It is asked from several threads.
pub type OnWith<'a> = dyn Fn(usize, usize) -> bool + Sync + 'a;

/// One reading of a library.
pub(super) struct Progress<'a> {
    on_with: &'a OnWith<'a>,
    done: AtomicUsize,
    of: AtomicUsize,
    ended: AtomicBool,
}

/// It is told after so many files.
const A_LOOK: usize = 32;

impl<'a> Progress<'a> {
    pub(super) const fn new(on_with: &'a OnWith<'a>) -> Self {
        Self { on_with, done: AtomicUsize::new(0), of: AtomicUsize::new(0), ended: AtomicBool::new(false) }
    }

    /// So many files are to be read.
    pub(super) fn expects(&self, files: usize) {
        self.of.store(files, Ordering::Relaxed);
    }

    /// One more file is to be read; whether it still is.
    pub(super) fn goes_on(&self) -> bool {
        if self.is_ended() {
            return false;
        }
        let (done, of) = (self.done.fetch_add(1, Ordering::Relaxed), self.of.load(Ordering::Relaxed));
        if done.is_multiple_of(A_LOOK) && !(self.on_with)(done.min(of), of) {
            self.ended.store(true, Ordering::Relaxed);
        }
        !self.is_ended()
    }

    /// Whether it was ended before all was read: what was read is then no library.
    pub(super) fn is_ended(&self) -> bool {
        self.ended.load(Ordering::Relaxed)
    }
}

#[cfg(test)]
mod tests {
    use crate::library::{create_from, open, open_while};
    use backrow_core::collection::{Point, Venue};
    use backrow_core::id::VenueId;
    use backrow_core::library::{Library, Shared};
    use std::sync::Arc;
    use std::sync::Mutex;

    #[test]
    fn an_opening_tells_how_far_it_is_and_ends_when_nobody_waits() {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("ours");
        let mut library = Library::default();
        let venues = Arc::make_mut(&mut library.venues);
        for n in 0..100 {
            let id = VenueId::new(&format!("hall-{n}")).unwrap();
            let hall = Venue {
                id: id.clone(),
                name: format!("Hall {n}"),
                floor: vec![Point::new(0.0, 0.0), Point::new(9.0, 0.0), Point::new(0.0, 6.0)],
                risers: Vec::new(),
                keep_out: Vec::new(),
                conductor: None,
                remark: String::new(),
            };
            venues.insert(id, Arc::new(hall));
        }
        create_from(&folder, &library, &Shared::default()).unwrap();
        let told = Mutex::new(Vec::new());
        let tell = |done, of| {
            told.lock().unwrap().push((done, of));
            true
        };
        let opened = open_while(&folder, &Shared::default(), &tell).unwrap();
        assert_eq!(opened.library.venues.len(), 100);
        assert_eq!(opened.problems, open(&folder, &Shared::default()).problems);
        let mut told = told.into_inner().unwrap();
        told.sort_unstable();
        assert_eq!(told, [(0, 100), (32, 100), (64, 100), (96, 100)], "after every 32 files");
        let ended = open_while(&folder, &Shared::default(), &|done, _| done < 32);
        assert!(ended.is_none(), "a library that was not read whole is none");
    }
}
