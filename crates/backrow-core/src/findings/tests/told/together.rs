//! What one player plays at once, and beaters that are short.

use super::*;

/// Lines that are marked as playable together are looked at where they sound at once, and only where one player has both.
#[rstest]
#[case((0.0, 2.0), (0.0, 2.0), "a", true)]
#[case((0.0, 2.0), (1.0, 3.0), "a", true)]
#[case((1.0, 3.0), (0.0, 2.0), "a", true)]
#[case((0.0, 0.0), (0.0, 0.0), "a", true)] // strokes without a length at one moment
#[case((0.0, 2.0), (2.0, 4.0), "a", false)]
#[case((2.0, 4.0), (0.0, 2.0), "a", false)]
#[case((0.0, 1.0), (5.0, 6.0), "a", false)]
#[case((5.0, 6.0), (0.0, 1.0), "a", false)]
#[case((0.0, 2.0), (0.0, 2.0), "b", false)]
fn reach_is_asked_where_both_sound(
    #[case] one: (f64, f64),
    #[case] other: (f64, f64),
    #[case] who: &str,
    #[case] far: bool,
) {
    let base = edited(
        &with_hall(|_| {}),
        vec![give("sn", who), stand("snare", 1, -1.5, 3.0), stand("xylophone-1", 2, 1.5, 3.0)],
    );
    let base = edited(
        &base,
        vec![played(&base, "xyl", &[(1, one.0, one.1)]), played(&base, "sn", &[(1, other.0, other.1)])],
    );
    let mut work = (**base.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    work.together.push((at("w", "xyl").line, at("w", "sn").line));
    let library = edited(&base, vec![Edit::PutWork(work)]);
    assert_eq!(whats(&library, "out-of-reach").len(), usize::from(far));
    if far {
        let finding = the(&library, "out-of-reach");
        assert!(
            finding.why.starts_with("Xylophone in Work w I and Snare drum in Work w I at once: "),
            "{}",
            finding.why
        );
        assert_eq!(finding.about.len(), 4);
    }
}

/// Two lines on the same two things are one matter.
#[test]
fn things_out_of_reach_are_told_once() {
    let library = edited(
        &with_hall(|_| {}),
        vec![
            give("sn", "a"),
            play_on("xyl", &["xylophone-1", "snare"]),
            play_on("sn", &["xylophone-1", "snare"]),
            stand("snare", 1, -1.5, 3.0),
            stand("xylophone-1", 2, 1.5, 3.0),
        ],
    );
    let finding = the(&library, "out-of-reach");
    assert!(finding.why.starts_with("One line, Xylophone in Work w I: "), "{}", finding.why);
}

/// Three players hold one pair of beaters in two movements: told once for each movement, with those who need them there.
#[test]
fn short_beaters_are_told_once_a_movement_with_who_needs_them() {
    let base = edited(&settled(), vec![Edit::PutPlayer(crate::sample::player("c", 2))]);
    let mut work = (**base.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    let mut second = work.movements[0].clone();
    second.id = crate::id::MovementId::new("ii").unwrap();
    second.number = "II".to_owned();
    work.movements.push(second);
    let extra = |id: &str, movement: &str| {
        let mut line = crate::sample::line(id, Some("snare_drum"), crate::pitch::Octave::AS_WRITTEN, "");
        line.movement = crate::id::MovementId::new(movement).unwrap();
        line
    };
    work.lines.extend([extra("third", "i"), extra("fourth", "ii"), extra("fifth", "ii")]);
    let library = edited(&base, vec![Edit::PutWork(work)]);
    let mut edits = vec![];
    for (line, who) in [("xyl", "a"), ("sn", "b"), ("third", "c"), ("fourth", "a"), ("fifth", "c")] {
        edits.extend([give(line, who), use_beaters(line, &["rubber"])]);
    }
    let told = all(&edited(&library, edits), "beaters-short");
    let words: Vec<(&str, &str)> = told.iter().map(|one| (one.what.as_str(), one.why.as_str())).collect();
    assert_eq!(
        words,
        [
            (
                "Too few beaters, rubber",
                "Player a and Player b and Player c need them at once in Snare drum in Work w I; there are enough for 1 person."
            ),
            (
                "Too few beaters, rubber",
                "Player a and Player c need them at once in Snare drum in Work w II; there are enough for 1 person."
            )
        ]
    );
    assert_eq!(told[0].about, [About::Line(at("w", "sn")), About::Player(player("b"))]);
    assert_eq!(told[1].about, [About::Line(at("w", "fifth")), About::Player(player("c"))]);
}
