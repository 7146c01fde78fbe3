//! What is refused, and in which words.

use super::*;

/// A thing that is not there is named; nothing is changed.
#[rstest]
#[case::kind(Edit::RemoveKind(id(KindId::new("no"))), "kind \"no\"")]
#[case::instrument(Edit::RemoveInstrument(id(InstrumentId::new("no"))), "instrument \"no\"")]
#[case::beater(Edit::RemoveBeater(id(BeaterId::new("no"))), "beater \"no\"")]
#[case::player(Edit::RemovePlayer(id(PlayerId::new("no"))), "player \"no\"")]
#[case::place(Edit::RemovePlace(id(PlaceId::new("no"))), "place \"no\"")]
#[case::venue(Edit::RemoveVenue(id(VenueId::new("no"))), "venue \"no\"")]
#[case::work(Edit::RemoveWork(id(WorkId::new("no"))), "work \"no\"")]
#[case::week(Edit::RemoveWeek(id(WeekId::new("no"))), "week \"no\"")]
#[case::programme(Edit::RemoveProgramme(id(ProgrammeId::new("no"))), "programme \"no\"")]
#[case::service(Edit::RemoveService(id(ServiceId::new("no"))), "service \"no\"")]
#[case::line(
    Edit::RemoveLine { work: id(WorkId::new("w")), line: id(LineId::new("no")) }, "line"
)]
#[case::line_of_no_work(
    Edit::RemoveLine { work: id(WorkId::new("no")), line: id(LineId::new("xyl")) }, "work \"no\""
)]
#[case::put_line_in_no_work(
    Edit::PutLine { work: id(WorkId::new("no")), line: sample::line("c", None, Octave::AS_WRITTEN, "") },
    "work \"no\""
)]
#[case::programme_in_no_week(
    Edit::PutProgramme { week: id(WeekId::new("no")), programme: sample::programme("q", &[]) }, "week \"no\""
)]
#[case::service_in_no_week(
    Edit::PutService { week: id(WeekId::new("no")), service: sample::service("q", "p", 9) }, "week \"no\""
)]
#[case::give_to_nobody_known(
    Edit::Assign { programme: p(), line: sample::at("w", "xyl"), player: Some(id(PlayerId::new("no"))) },
    "player \"no\""
)]
#[case::give_no_line(Edit::Assign { programme: p(), line: sample::at("w", "no"), player: None }, "line \"w/no\"")]
#[case::give_in_no_programme(
    Edit::Assign { programme: id(ProgrammeId::new("no")), line: sample::at("w", "xyl"), player: None },
    "programme \"no\""
)]
#[case::use_no_instrument(
    Edit::UseInstruments {
        programme: p(), line: sample::at("w", "xyl"), instruments: vec![id(InstrumentId::new("no"))],
    },
    "instrument \"no\""
)]
#[case::use_no_beater(
    Edit::UseBeaters { programme: p(), line: sample::at("w", "xyl"), beaters: vec![id(BeaterId::new("no"))] },
    "beater \"no\""
)]
#[case::stand_nothing(
    Edit::Stand { programme: p(), instrument: id(InstrumentId::new("no")), placement: placement(0.0, 0.0) },
    "instrument \"no\""
)]
#[case::stand_nowhere(
    Edit::Stand { programme: p(), instrument: id(InstrumentId::new("snare")), placement: placement(f64::NAN, 0.0) },
    "finite"
)]
#[case::turned_by_nothing(
    Edit::Stand {
        programme: p(), instrument: id(InstrumentId::new("snare")), placement: placement(0.0, f64::INFINITY),
    },
    "finite"
)]
#[case::kind_in_use(Edit::RemoveKind(id(KindId::new("xylophone"))), "xylophone 1")]
#[case::venue_in_use(Edit::RemoveVenue(id(VenueId::new("hall"))), "Programme p")]
fn refusals_name_what_is_wrong(#[case] edit: Edit, #[case] says: &str) {
    let before = start();
    let error = apply(&before, &edit).unwrap_err().to_string();
    assert!(error.contains(says), "{error}");
    let mut history = History::new(before.clone());
    assert!(history.make(&edit).is_err());
    assert_eq!((history.now(), history.revision()), (&before, 0));
}

#[test]
fn several_are_all_made_or_none() {
    let edits = vec![Edit::PutBeater(sample::beater("new")), Edit::RemoveWork(id(WorkId::new("no")))];
    let mut history = History::new(start());
    assert!(history.make(&Edit::Together { words: "Both".to_owned(), edits }).is_err());
    assert_eq!(*history.now(), start());
}
