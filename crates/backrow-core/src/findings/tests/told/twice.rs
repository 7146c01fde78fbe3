//! What and who is wanted twice.

use super::*;

#[test]
fn the_same_instrument_is_promised_with_when_and_what_instead() {
    let library = with_another(&[11, 13], |other| {
        other.setup.stand(
            instrument("snare"),
            Placement { at: Point::new(0.0, 3.0), turn_deg: 0.0, number: 1, locked: false },
        );
    });
    let finding = the(&library, "instrument-twice");
    assert_eq!(finding.what, "snare is double-booked");
    assert_eq!(
        finding.why,
        "Also booked for “Programme q” at Hall pier, at the same time on 4 Mar, 11:00 and in two venues with 30\u{202f}min between them on 4 Mar, 13:00; moving takes about 180\u{202f}min."
    );
    assert_eq!(
        finding.remedy,
        "Instead: nothing else free covers the notes: hire one, or use a player’s own."
    );
    assert_eq!(
        finding.about,
        [
            About::Instrument(instrument("snare")),
            About::Line(at("w", "sn")),
            About::Programme(ProgrammeId::new("q").unwrap())
        ]
    );
    let other = other_use(&library, library.programme(&programme()).unwrap(), &instrument("snare")).unwrap();
    assert_eq!(other.0.id.as_str(), "q");
    assert!(other.1.starts_with("at the same time on 4 Mar, 11:00 and in two venues"), "{}", other.1);
    assert!(
        other_use(&library, library.programme(&programme()).unwrap(), &instrument("xylophone-1")).is_none()
    );
}

/// Instead of what is promised twice the orchestra's own free ones come before a player's, by name, two of them.
#[test]
fn what_could_be_used_instead() {
    let library = with_another(&[11], |other| {
        for (id, x) in [("snare", 0.0), ("xylophone-1", 3.0)] {
            let placement = Placement { at: Point::new(x, 3.0), turn_deg: 0.0, number: 1, locked: false };
            other.setup.stand(instrument(id), placement);
        }
    });
    let spare = |id: &str, kind: &str, owner: crate::collection::Owner, frames: &[&str]| {
        let mut thing = crate::sample::instrument(id, kind, frames);
        thing.owner = owner;
        Edit::PutInstrument(thing)
    };
    let ours = || crate::collection::Owner::Orchestra;
    let a = || crate::collection::Owner::Player(player("a"));
    let library = edited(
        &library,
        vec![
            spare("another-snare", "snare_drum", a(), &[]),
            spare("drum-2", "snare_drum", ours(), &[]),
            // It lacks E6 of C6 and E6.
            spare("xylophone-2", "xylophone", ours(), &["F4-D6"]),
            spare(
                "xylophone-3",
                "xylophone",
                crate::collection::Owner::Other("the school".to_owned()),
                &["F4-C8"],
            ),
        ],
    );
    let finding = the(&library, "instrument-twice");
    assert_eq!(finding.what, "2 instruments are double-booked");
    assert_eq!(
        finding.remedy,
        "For snare: drum 2 or another snare (Player a’s own). For xylophone 1: xylophone 3 (the school)."
    );
    assert!(finding.why.ends_with("11:00: snare; xylophone 1."), "{}", finding.why);
}

#[test]
fn who_is_free_in_both_is_named() {
    let library = with_another(&[11], |_| {});
    let finding = the(&library, "player-twice");
    assert_eq!(finding.what, "Player a is double-booked");
    assert!(finding.remedy.ends_with("Everyone on the roster is already playing; engage an extra."));
    let with_c = edited(&library, vec![Edit::PutPlayer(crate::sample::player("c", 2))]);
    assert!(the(&with_c, "player-twice").remedy.ends_with("Free in both: Player c."));
    assert_eq!(finding.why, "“Programme q” needs A too, at the same time on 4 Mar, 11:00.");
}

/// Who misses either of two services that collide is not wanted twice.
#[rstest]
#[case("s")]
#[case("t0")]
fn who_misses_one_of_two_services_is_not_double_booked(#[case] missed: &str) {
    let library = with_another(&[11], |_| {});
    let asked = |library: &Library| wanted_elsewhere(library, library.services_of(&programme())[0]).len();
    assert_eq!(asked(&library), 1);
    let away = changed_player(&library, "a", |one| {
        one.absences = vec![crate::id::ServiceId::new(missed).unwrap()];
    });
    let library = edited(&library, vec![away]);
    assert_eq!((asked(&library), whats(&library, "player-twice").len()), (0, 0));
}

/// Nor is who is engaged for neither: one rule says who is at a service.
#[test]
fn who_is_engaged_for_others_alone_is_not_double_booked() {
    let library = with_another(&[11], |_| {});
    let week = WeekId::new("k").unwrap();
    let engagement = Some(crate::week::Engagement {
        services: [crate::id::ServiceId::new("later").unwrap()].into(),
        ..Default::default()
    });
    let engage = Edit::Engage { programme: programme(), player: player("a"), engagement };
    let later = Edit::PutService { week, service: service("later", "p", 20) };
    let library = edited(&library, vec![later, engage]);
    assert_eq!(wanted_elsewhere(&library, library.services_of(&programme())[0]), []);
    assert_eq!(whats(&library, "player-twice"), [""; 0]);
}

#[test]
fn beaters_of_both_are_named() {
    let rubber = || vec![BeaterId::new("rubber").unwrap()];
    let library = with_another(&[11], |other| {
        let given =
            crate::week::Assignment { player: Some(player("b")), beaters: rubber(), ..Default::default() };
        other.assign(at("w", "xyl"), given);
    });
    let library = edited(&library, vec![use_beaters("xyl", &["rubber"])]);
    let finding = the(&library, "beaters-twice");
    assert_eq!(finding.what, "rubber are double-booked");
    assert_eq!(finding.why, "“Programme q” needs rubber too, at the same time on 4 Mar, 11:00.");
    // One player of both who has them needs only one set.
    let mut other = library.programme(&ProgrammeId::new("q").unwrap()).unwrap().clone();
    let given =
        crate::week::Assignment { player: Some(player("a")), beaters: rubber(), ..Default::default() };
    other.assign(at("w", "xyl"), given);
    let week = WeekId::new("k").unwrap();
    let library = edited(&library, vec![Edit::PutProgramme { week, programme: other }]);
    assert_eq!(whats(&library, "beaters-twice"), [""; 0]);
}

/// Three hours are assumed for an instrument; from 12:30 on it is 15:30.
#[rstest]
#[case(15, true)]
#[case(16, false)]
fn an_instrument_needs_three_hours_to_the_other_hall(#[case] hour: i8, #[case] twice: bool) {
    let library = with_another(&[hour], |other| {
        let placement = Placement { at: Point::new(0.0, 3.0), turn_deg: 0.0, number: 1, locked: false };
        other.setup.stand(instrument("snare"), placement);
    });
    assert_eq!(whats(&library, "instrument-twice").len(), usize::from(twice));
}

/// The programme's own services: the first at 10:00 for 150 minutes in the hall.
#[rstest]
#[case(11, "hall", "Rehearsal of 4 Mar, 10:00 and concert of 4 Mar, 11:00 overlap", Degree::Clash)]
#[case(13, "hall", "", Degree::Clash)]
#[case(
    13,
    "pier",
    "Rehearsal of 4 Mar, 10:00 and concert of 4 Mar, 13:00 are 30\u{202f}min apart",
    Degree::Clash
)]
#[case(
    14,
    "pier",
    "Rehearsal of 4 Mar, 10:00 and concert of 4 Mar, 14:00 are 90\u{202f}min apart",
    Degree::Care
)]
#[case(16, "pier", "", Degree::Care)]
fn two_services_of_one_programme(
    #[case] hour: i8,
    #[case] venue: &str,
    #[case] what: &str,
    #[case] degree: Degree,
) {
    let mut other = service("t", "p", hour);
    (other.kind, other.venue) = (ServiceKind::Concert, VenueId::new(venue).ok());
    let week = WeekId::new("k").unwrap();
    let edits = vec![Edit::PutVenue(sample_venue("pier")), Edit::PutService { week, service: other }];
    let library = edited(&settled(), edits);
    let told: Vec<(String, Degree)> =
        all(&library, "services-collide").into_iter().map(|one| (one.what, one.degree)).collect();
    let expected = if what.is_empty() { vec![] } else { vec![(what.to_owned(), degree)] };
    assert_eq!(told, expected);
}
