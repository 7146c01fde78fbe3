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

/// Three things of which each two can be reached from one place, and all three from none. By hand, with boxes of 1.0 by 0.5 m: from
/// between the outer two, which look away from the third, each is 0.87 m off; from between one of them and the third 0.77 m; from
/// the middle of all the third is 1.28 m off.
#[rstest]
#[case(2.0, true)]
#[case(0.5, false)] // the third begins when the others have ended
fn three_things_at_once_are_out_of_reach(#[case] to_s: f64, #[case] far: bool) {
    let base = edited(
        &with_hall(|_| {}),
        vec![Edit::PutInstrument(crate::sample::instrument("gong", "snare_drum", &[]))],
    );
    let base = edited(&base, vec![more_lines(&base, 1)]);
    let behind = Placement { at: Point::new(0.0, 5.0), turn_deg: 180.0, number: 1, locked: false };
    let base = edited(
        &base,
        vec![
            give("sn", "a"),
            give("more0", "a"),
            play_on("more0", &["gong"]),
            stand("snare", 2, 1.3, 3.0),
            stand("xylophone-1", 3, -1.3, 3.0),
            Edit::Stand { programme: programme(), instrument: instrument("gong"), placement: behind },
        ],
    );
    let times = [("xyl", 0.0, to_s), ("sn", 0.0, to_s), ("more0", 0.5, 2.0)];
    let base = times.iter().fold(base, |base, (line, from_s, to_s)| {
        edited(&base, vec![played(&base, line, &[(1, *from_s, *to_s)])])
    });
    let mut work = (**base.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    let id = |line: &str| at("w", line).line;
    work.together = vec![(id("xyl"), id("sn")), (id("xyl"), id("more0")), (id("sn"), id("more0"))];
    let library = edited(&base, vec![Edit::PutWork(work)]);
    let told = if far { vec!["1, 2 and 3 are too far apart to reach together"] } else { vec![] };
    assert_eq!(whats(&library, "out-of-reach"), told);
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
