//! Long use: edits of every place at random, taken back and made again. Whatever is done, ids lead somewhere, fits agree with a plain
//! count, undo to the start gives the first library back, redo the last, and what is saved on the way opens as it is in memory.

#![expect(clippy::unwrap_used, reason = "a test stops where its footing gives way")]

mod edits;

use backrow_core::edit::History;
use edits::{Dice, SORTS, any_edit, dangling, first, fits_agree, ids_resolve, is_settled, sort};
use std::collections::BTreeSet;

/// `BACKROW_ROUNDS` makes it longer by hand; a round is 700 edits.
#[test]
fn a_long_evening_of_edits_undo_and_redo() {
    let rounds: u64 = std::env::var("BACKROW_ROUNDS").ok().and_then(|n| n.parse().ok()).unwrap_or(4);
    let kinds = backrow_files::kinds::standard().unwrap();
    let start = first();
    let home = tempfile::tempdir().unwrap();
    let dir = home.path().join("library");
    let mut disk = backrow_files::library::create_from(&dir, &start, &kinds).unwrap();
    let mut begun = start;
    let mut made = 0;
    let mut sorts = BTreeSet::new();
    for round in 0..rounds {
        let mut dice = Dice(0x9E37_79B9_7F4A_7C15 ^ (round + 1).wrapping_mul(0xD134_2543_DE82_EF95));
        let mut history = History::new(begun.clone());
        // A history remembers a thousand steps.
        let mut steps = 0;
        while steps < 700 {
            match dice.roll(12) {
                0 => steps -= i32::from(history.undo().is_some()),
                1 => steps += i32::from(history.redo().is_some()),
                _ => {
                    if let Some(edit) = any_edit(history.now(), &mut dice) {
                        // What is refused changes nothing.
                        let before = history.now().clone();
                        match history.make(&edit) {
                            Ok(made) => {
                                steps += i32::from(made.is_some());
                                sorts.extend(made.is_some().then(|| sort(&edit)));
                            }
                            Err(_refused) => assert_eq!(*history.now(), before),
                        }
                    }
                }
            }
            made += 1;
            if made % 100 == 0 {
                ids_resolve(history.now());
                is_settled(history.now());
                fits_agree(history.now(), &mut dice);
                let report = backrow_files::library::save(&dir, &mut disk, history.now());
                assert!(report.is_clean(), "{report:?}");
            }
        }
        ids_resolve(history.now());
        let last = history.now().clone();
        while history.undo().is_some() {}
        assert_eq!(*history.now(), begun, "undo to the start of round {round}");
        while history.redo().is_some() {}
        assert_eq!(*history.now(), last, "redo to the end of round {round}");
        assert!(backrow_files::library::save(&dir, &mut disk, &last).is_clean());
        let opened = backrow_files::library::open(&dir, &kinds);
        assert_eq!(opened.library, last);
        assert_eq!(dangling(&opened), Vec::<String>::new(), "round {round}");
        begun = last;
    }
    assert!(made >= rounds * 700);
    assert_eq!(sorts.len(), SORTS, "each sort of edit was made: {sorts:?}");
    eprintln!("{made} edits, undos and redos of {} sorts", sorts.len());
}
