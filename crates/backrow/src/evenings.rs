//! Evenings of programmes: the remembered ones, and those that stand apart from them.

use backrow_core::evening::Evening;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::week::Programme;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

/// So many evenings are remembered beside those of the present revision, for what an edit leaves as it was.
const OLD: usize = 16;

/// An evening that nobody remembers: of a command's own library, of another value of the library on a thread, or of a programme as
/// it is not, but might be. What the window shows of a programme as it is asks [`crate::derived::Derived::evening_of`].
pub fn evening_apart(library: &Library, programme: &Programme) -> Evening {
    Evening::of(library, programme)
}

/// The evenings of programmes, each worked out once a revision.
#[derive(Default)]
pub struct Evenings(RefCell<BTreeMap<ProgrammeId, Remembered>>);

struct Remembered {
    revision: u64,
    evening: Arc<Evening>,
}

impl Evenings {
    /// The evening of a programme at a revision; what the edit before it left as it was is taken over.
    pub fn of(&self, library: &Library, revision: u64, programme: &Programme) -> Arc<Evening> {
        let mut known = self.0.borrow_mut();
        let evening = match known.get(&programme.id) {
            Some(one) if one.revision == revision => return one.evening.clone(),
            Some(old) => old.evening.after(library, programme),
            None => Evening::of(library, programme),
        };
        if known.len() > OLD {
            known.retain(|_, one| one.revision == revision);
        }
        let evening = Arc::new(evening);
        known.insert(programme.id.clone(), Remembered { revision, evening: evening.clone() });
        evening
    }

    /// Forgets all, as for another library.
    pub fn forget(&mut self) {
        self.0.get_mut().clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::edit::{Edit, apply};

    #[test]
    fn an_evening_is_worked_out_once_a_revision() {
        let library = crate::sample::small();
        let programme = |library: &Library| library.programmes().next().map(|(_, one)| one.clone()).unwrap();
        let evenings = Evenings::default();
        let first = evenings.of(&library, 1, &programme(&library));
        assert!(Arc::ptr_eq(&first, &evenings.of(&library, 1, &programme(&library))));
        let week = library.week_of(&programme(&library).id).unwrap().id.clone();
        let mut named = programme(&library);
        named.title = "Another title".to_owned();
        let edited = apply(&library, &Edit::PutProgramme { week, programme: named }).unwrap();
        let second = evenings.of(&edited, 2, &programme(&edited));
        assert_eq!(second.programme().title, "Another title");
        assert!(Arc::ptr_eq(&second, &evenings.of(&edited, 2, &programme(&edited))));
        let mut evenings = evenings;
        evenings.forget();
        assert!(!Arc::ptr_eq(&second, &evenings.of(&edited, 2, &programme(&edited))));
    }
}
