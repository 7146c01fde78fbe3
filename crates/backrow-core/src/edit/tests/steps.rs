//! Undo and redo: every change, one by one and all in a row.

use super::*;

/// The quick comparison says what the whole one says, shared or not.
#[test]
fn the_quick_comparison_agrees_with_the_whole_one() {
    let (one, other) = (start(), start());
    assert!(one.is_same(&other) && !Arc::ptr_eq(&one.works, &other.works));
    for edit in every_edit() {
        let after = apply(&one, &edit).unwrap();
        assert_eq!(after.is_same(&one), after == one, "{edit:?}");
        assert_eq!(one.is_same(&after), after == one, "{edit:?}");
        assert!(after.is_same(&apply(&other, &edit).unwrap()), "{edit:?}");
    }
}

#[test]
fn each_change_is_undone_and_made_again() {
    for edit in every_edit() {
        let mut history = History::new(start());
        let words = history.make(&edit).unwrap().map(str::to_owned);
        let words = words.unwrap_or_else(|| panic!("{edit:?} changes nothing"));
        assert!(!words.trim().is_empty() && !words.contains("  "), "{edit:?}: {words:?}");
        assert_eq!(history.undoable(), Some(words.as_str()));
        let after = history.now().clone();
        assert_ne!(after, start(), "{edit:?}");
        assert_eq!(history.undo(), Some(words.clone()));
        assert_eq!(*history.now(), start(), "{edit:?} is not undone");
        assert_eq!(history.redoable(), Some(words.as_str()));
        assert_eq!(history.redo(), Some(words));
        assert_eq!(*history.now(), after, "{edit:?} is not made again");
        assert_eq!(history.revision(), 3);
    }
}

#[test]
fn all_in_a_row_are_undone_in_a_row() {
    let mut history = History::new(start());
    let mut states = vec![start()];
    for edit in every_edit() {
        // Some can no longer be made once others were; those leave the library as it is.
        if matches!(history.make(&edit), Ok(Some(_))) {
            states.push(history.now().clone());
        }
    }
    assert!(states.len() > 15, "{}", states.len());
    for state in states.iter().rev().skip(1) {
        history.undo().unwrap();
        assert_eq!(history.now(), state);
    }
    assert_eq!(history.undo(), None);
    for state in states.iter().skip(1) {
        history.redo().unwrap();
        assert_eq!(history.now(), state);
    }
    assert_eq!(history.redo(), None);
}

#[test]
fn a_step_that_changes_nothing_is_none() {
    let mut history = History::new(start());
    let same = Edit::PutBeater(sample::beater("rubber"));
    assert_eq!(history.make(&same), Ok(None));
    assert_eq!((history.revision(), history.undoable()), (0, None));
}

#[test]
fn a_new_step_forgets_what_was_undone() {
    let mut history = History::new(start());
    history.make(&Edit::PutBeater(sample::beater("one"))).unwrap();
    history.undo().unwrap();
    history.make(&Edit::PutBeater(sample::beater("two"))).unwrap();
    assert_eq!(history.redo(), None);
}

#[test]
fn the_oldest_steps_are_forgotten() {
    let mut history = History::new(Library::default());
    for number in 0..1010 {
        history.make(&Edit::PutPlayer(sample::player("a", number))).unwrap();
    }
    let mut undone = 0;
    while history.undo().is_some() {
        undone += 1;
    }
    assert_eq!(undone, 1000);
}

#[test]
fn what_does_not_change_is_shared() {
    let before = given();
    let mut other = sample::instrument("snare", "snare_drum", &[]);
    other.owner = Owner::Other("hired".to_owned());
    let after = apply(&before, &Edit::PutInstrument(other)).unwrap();
    let xylophone = id(InstrumentId::new("xylophone-1"));
    assert!(Arc::ptr_eq(&before.instruments[&xylophone], &after.instruments[&xylophone]));
    assert!(Arc::ptr_eq(&before.works, &after.works) && Arc::ptr_eq(&before.weeks, &after.weeks));
    let gone = apply(&before, &Edit::RemovePlayer(id(PlayerId::new("b")))).unwrap();
    let k = id(WeekId::new("k"));
    assert!(Arc::ptr_eq(&before.weeks[&k], &gone.weeks[&k]), "a week without the player is left alone");
}
