//! Two players at one instrument, moves that are too short, notes that lack.

use super::*;

/// The lines of two players on one instrument: told is the first measure in which both sound.
#[rstest]
#[case(&[(1, 0.0, 2.0), (5, 8.0, 10.0)], &[(2, 2.0, 4.0), (6, 9.0, 11.0)], "6")]
#[case(&[(1, 0.0, 2.0), (5, 8.0, 10.0)], &[(2, 2.0, 4.0), (4, 7.0, 9.0)], "5")]
#[case(&[(1, 0.0, 3.0), (5, 8.0, 10.0)], &[(2, 2.0, 4.0), (6, 9.0, 11.0)], "2")]
#[case(&[(1, 0.0, 2.0)], &[(2, 2.0, 4.0)], "")] // the one ends as the other begins
#[case(&[(3, 2.0, 4.0)], &[(2, 0.0, 2.0)], "")]
fn two_players_at_one_instrument(
    #[case] one: &[(u32, f64, f64)],
    #[case] other: &[(u32, f64, f64)],
    #[case] measure: &str,
) {
    let base = edited(&settled(), vec![play_on("sn", &["xylophone-1"])]);
    let library = edited(&base, vec![played(&base, "xyl", one), played(&base, "sn", other)]);
    let says = format!("Two players need xylophone 1 at m. {measure}");
    let expected = if measure.is_empty() { vec![] } else { vec![says] };
    assert_eq!(whats(&library, "shared-at-once"), expected);
}

#[test]
fn two_players_at_one_instrument_are_told_once_a_pair() {
    let base = settled();
    let library = edited(&base, vec![more_lines(&base, 1)]);
    let edit = |line: &str, who: &str| vec![give(line, who), play_on(line, &["xylophone-1"])];
    let library = edited(&library, [edit("sn", "b"), edit("more0", "b")].concat());
    // The xylophone's line with each of the two others; these two are one player's.
    let told = all(&library, "shared-at-once");
    assert_eq!(told.len(), 2);
    assert_eq!(
        told[0].detail(),
        "Xylophone in Work w I and Snare drum in Work w I. Assign both to one player, or another instrument to one of them."
    );
    let about = [
        About::Line(at("w", "sn")),
        About::Line(at("w", "xyl")),
        About::Instrument(instrument("xylophone-1")),
    ];
    assert_eq!(told[0].about, about);
}

/// On a thing for two a third player is one too many; two are not, nor is one who plays two lines of it.
#[rstest]
#[case(&["a", "b"], "")]
#[case(&["a", "b", "b"], "")]
#[case(&["a", "b", "c"], "Three players need xylophone 1 at m. 1")]
#[case(&["a", "b", ""], "Three players need xylophone 1 at m. 1")] // somebody will have to play it
fn three_players_at_a_thing_for_two(#[case] players: &[&str], #[case] what: &str) {
    let base = edited(&settled(), vec![Edit::PutPlayer(crate::sample::player("c", 2))]);
    let base = edited(&base, vec![changed_thing(&base, "xylophone-1", |thing| thing.for_two = true)]);
    let base = edited(&base, vec![more_lines(&base, 1)]);
    let mut edits = Vec::new();
    for (line, who) in ["xyl", "sn", "more0"].into_iter().zip(players) {
        edits.extend([
            play_on(line, &["xylophone-1"]),
            Edit::Assign { programme: programme(), line: at("w", line), player: PlayerId::new(who).ok() },
        ]);
    }
    let library = edited(&base, edits);
    let expected = if what.is_empty() { vec![] } else { vec![what.to_owned()] };
    assert_eq!(whats(&library, "shared-at-once"), expected);
    if !expected.is_empty() {
        assert_eq!(
            the(&library, "shared-at-once").detail(),
            "Xylophone in Work w I, Snare drum in Work w I and Snare drum in Work w I. Two can play it at once. Assign two of them to one player, or another instrument to one of them."
        );
    }
}

/// What a finding offers makes no new one: whoever took one of two lines on one xylophone would stand there beside the other player.
/// On one for two there is room.
#[test]
fn a_fix_puts_nobody_at_a_taken_instrument() {
    let library = edited(&settled(), vec![play_on("sn", &["xylophone-1"]), give("sn", "a")]);
    assert_eq!(whats(&library, "shared-at-once"), [""; 0], "one player has both");
    assert_eq!(the(&library, "double-booked").fix, None);
    let wide = changed_thing(&library, "xylophone-1", |thing| thing.for_two = true);
    let library = edited(&library, vec![wide]);
    let (words, edit) = the(&library, "double-booked").fix.unwrap();
    assert_eq!(words, "Assign Snare drum to Player b");
    let after = apply(&library, &edit).unwrap();
    assert_eq!((whats(&after, "double-booked"), whats(&after, "shared-at-once")), (vec![], vec![]));
}

/// Of several moments of a pair the one that lacks most is told: 2.667 s are needed, 2.0 and 1.0 s are there.
#[test]
fn the_worst_moment_of_a_pair_is_told() {
    let base = edited(&settled(), vec![give("sn", "a")]);
    let library = edited(
        &base,
        vec![
            played(&base, "xyl", &[(1, 0.0, 2.0), (9, 20.0, 22.0)]),
            played(&base, "sn", &[(3, 4.0, 6.0), (9, 23.0, 24.0)]),
        ],
    );
    let finding = the(&library, "too-short");
    assert_eq!(finding.what, "1.7\u{202f}s short: Player a, Work w I, m. 9");
    assert_eq!(
        finding.why,
        "Xylophone in Work w I, then Snare drum in Work w I. 1.0\u{202f}s available; 2.7\u{202f}s needed for 2.0\u{202f}m (assumed)."
    );
    assert_eq!(
        finding.about,
        [About::Line(at("w", "sn")), About::Line(at("w", "xyl")), About::Player(player("a"))]
    );
    let twice = edited(&settled(), vec![give("sn", "a")]);
    let twice = the(&twice, "double-booked");
    assert_eq!(twice.what, "Two lines at once: Player a, Work w I, m. 1");
    assert!(twice.why.ends_with("Both sound at once."), "{}", twice.why);
}

/// The line sounds C6 and E6.
#[rstest]
#[case("F4-D5", "xylophone 1 lacks 2 of 2 notes", " The whole line fits an octave lower.", false)]
#[case("F3-B4", "xylophone 1 lacks 2 of 2 notes", " The whole line fits 2 octaves lower.", false)]
#[case("C7-F7", "xylophone 1 lacks 2 of 2 notes", " The whole line fits an octave higher.", false)]
#[case("F4-D6", "xylophone 1 lacks 1 of 2 notes", " The whole line fits an octave lower.", true)]
#[case("F5-D6", "xylophone 1 lacks 1 of 2 notes", "needs E6.", true)]
fn notes_that_lack_are_counted(
    #[case] range: &str,
    #[case] what: &str,
    #[case] octave: &str,
    #[case] one: bool,
) {
    let base = settled();
    let (low, high) = range.split_once('-').unwrap();
    let (low, high) = (key(low), if range == "F4-D5" { key("E5") } else { key(high) });
    let edit = changed_thing(&base, "xylophone-1", |thing| thing.frames[0].range = Some((low, high)));
    let finding = the(&edited(&base, vec![edit]), "lacks-notes");
    assert_eq!(finding.what, what);
    let notes = if one { "E6" } else { "C6 E6" };
    assert!(finding.why.starts_with("Xylophone in Work w I needs "), "{}", finding.why);
    assert!(finding.why.ends_with(octave), "{}", finding.why);
    assert!(notes.split(' ').all(|note| finding.why.contains(note)), "{}", finding.why);
    assert_eq!(finding.about, [About::Line(at("w", "xyl")), About::Instrument(instrument("xylophone-1"))]);
}

#[test]
fn dead_bars_and_notes_out_of_reach_are_told_apart() {
    let base = settled();
    let dead = |keys: &[&str], high: &str| {
        let edit = changed_thing(&base, "xylophone-1", |thing| {
            thing.frames[0].range = Some((key("F4"), key(high)));
            thing.frames[0].dead =
                keys.iter().map(|name| DeadBar { key: key(name), since: None, why: String::new() }).collect();
        });
        let all = found(&edited(&base, vec![edit]));
        let one = all.into_iter().find(|one| matches!(one.rule, Rule::DeadBar | Rule::LacksNotes)).unwrap();
        (one.rule, one.what)
    };
    assert_eq!(
        dead(&["E6"], "C8"),
        (Rule::DeadBar, "xylophone 1 has a dead note that is needed, E6".to_owned())
    );
    // C6 is dead and E6 is beyond the range: notes lack, and the dead bar is named.
    assert_eq!(
        dead(&["C6"], "D6"),
        (Rule::LacksNotes, "xylophone 1 has a dead note that is needed, C6".to_owned())
    );
    // A dead bar that nobody asks for is no matter.
    assert_eq!(dead(&["F4"], "D6"), (Rule::LacksNotes, "xylophone 1 lacks 1 of 2 notes".to_owned()));
}

#[test]
fn another_kind_is_told_with_both_names() {
    let base = settled();
    let told = the(&edited(&base, vec![play_on("sn", &["snare", "xylophone-1"])]), "other-kind");
    assert_eq!(told.what, "xylophone 1 plays a line for snare drum");
    assert_eq!(told.why, "Snare drum in Work w I asks for snare drum; it is on xylophone.");
    assert_eq!(whats(&base, "other-kind"), [""; 0]);
}
