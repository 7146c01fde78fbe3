use super::*;
use crate::collection::Material;
use crate::pitch::{KeyNumber, ReferenceA};
use crate::tuning::bell::{Body, Partial};
use crate::tuning::raised;
use crate::tuning::usual;
use proptest::prelude::*;

fn day(year: i16, month: i8) -> Date {
    Date::new(year, month, 1).unwrap()
}

fn keys() -> impl Iterator<Item = KeyNumber> {
    KeyNumber::new(60).unwrap().through(KeyNumber::new(84).unwrap())
}

/// A survey whose bars lie by so many cents above equal temperament at 442.
fn survey(on: Date, off: impl Fn(KeyNumber) -> f64) -> Survey {
    let a = ReferenceA::new(442.0).unwrap();
    let reading = |key| Reading::new(key, raised(a.frequency(key).value(), off(key)));
    Survey { readings: keys().map(reading).collect(), ..Survey::on(on) }
}

fn c5() -> KeyNumber {
    KeyNumber::new(72).unwrap()
}

#[test]
fn all_alike_is_the_air() {
    let before = Survey { celsius: Some(19.0), ..survey(day(2020, 3), |_| 0.0) };
    let after = Survey { celsius: Some(26.0), ..survey(day(2021, 3), |_| -3.0) };
    let found =
        moved(&before, &after, |from, to| drift_cents(Material::Aluminium, &Drifts::default(), from, to));
    assert_eq!(found.verdict(), Verdict::Together);
    assert!((found.common_cents + 3.0).abs() < 1e-9);
    assert!((found.expected_cents.unwrap() + 2.79).abs() < 0.01);
    assert!(found.words().contains("the temperature explains it"), "{}", found.words());
}

#[test]
fn one_alone_is_the_bar() {
    let before = survey(day(2020, 3), |_| 0.0);
    let after = survey(day(2021, 3), |key| if key == c5() { -14.0 } else { 0.4 });
    let found = moved(&before, &after, |_, _| None);
    assert_eq!(found.verdict(), Verdict::Alone);
    assert_eq!(found.alone.len(), 1);
    assert_eq!(found.alone[0].0, Bar::of(c5()));
    assert!(found.words().contains("C5 (−14.4 cents) moved alone"), "{}", found.words());
}

#[test]
fn a_bar_that_was_not_measured_again_is_named() {
    let before = survey(day(2020, 3), |_| 0.0);
    let mut after = before.clone();
    after.readings.retain(|reading| reading.bar.key != c5());
    assert_eq!(moved(&before, &after, |_, _| None).gone, [Bar::of(c5())]);
    let none = Survey::on(day(2022, 1));
    assert!(moved(&before, &none, |_, _| None).words().contains("share no bar"));
}

#[test]
fn the_tuner_gets_what_is_outside_and_what_was_said() {
    let a = ReferenceA::new(442.0).unwrap();
    let mut found = survey(day(2021, 3), |key| if key == c5() { 9.0 } else { 1.0 });
    found.readings[0].remark = "buzzes".to_owned();
    let marimba = usual::of_kind("marimba");
    // A second partial that is 40 cents flat of the double octave.
    let second = raised(found.readings[3].hz * 4.0, -40.0);
    found.readings[3].second_hz = Some(second);
    let rows = for_tuner(&found, a, 5.0, marimba);
    let bars: Vec<String> = rows.iter().map(|row| row.bar.to_string()).collect();
    assert_eq!(bars, ["C4", "D♯4", "C5"]);
    assert!(rows[2].direction().contains("flattened") && rows[1].direction().contains("second partial"));
    assert!((rows[2].off_cents - 9.0).abs() < 1e-9);
}

/// A marimba's third partial lies usually from 9.2 to 10 over the first: what lies outside by more than 15 cents is told alone.
#[test]
fn a_third_partial_outside_its_range_is_told() {
    let a = ReferenceA::new(442.0).unwrap();
    let mut found = survey(day(2021, 3), |_| 1.0);
    let third = |found: &mut Survey, at: usize, ratio: f64, off: f64| {
        found.readings[at].third_hz = Some(raised(found.readings[at].hz * ratio, off));
    };
    third(&mut found, 1, 9.2, -20.0);
    third(&mut found, 2, 9.6, 0.0);
    third(&mut found, 3, 10.0, 14.0);
    third(&mut found, 4, 10.0, 16.0);
    let rows = for_tuner(&found, a, 5.0, usual::of_kind("marimba"));
    let told: Vec<(String, f64)> =
        rows.iter().map(|row| (row.bar.to_string(), row.third_cents.unwrap().round())).collect();
    assert_eq!(told, [("C♯4".to_owned(), -20.0), ("E4".to_owned(), 16.0)]);
    assert!(rows.iter().all(|row| row.direction() == "third partial only; left to the tuner"));
    assert!(
        for_tuner(&found, a, 5.0, usual::of_kind("glockenspiel")).is_empty(),
        "nobody tunes its partials"
    );
}

#[test]
fn a_survey_knows_its_own_a() {
    let found = survey(day(2021, 3), |_| 0.0);
    assert!((found.own_a_hz().unwrap() - 442.0).abs() < 1e-9);
    assert_eq!(Survey::on(day(2021, 3)).own_a_hz(), None);
}

fn with_log(log: Vec<LogEntry>) -> Care {
    Care { log, ..Care::of(crate::id::InstrumentId::new("x").unwrap()) }.in_order()
}

#[test]
fn what_was_done_again_is_not_due() {
    let tuned = |on, due| LogEntry { due: Some(due), ..LogEntry::new(on, Work::Tuned) };
    let care = with_log(vec![
        tuned(day(2021, 5), day(2022, 5)),
        tuned(day(2022, 6), day(2023, 6)),
        LogEntry {
            due: Some(day(2022, 1)),
            part: "29 in".to_owned(),
            ..LogEntry::new(day(2020, 1), Work::Head)
        },
        LogEntry::new(day(2022, 7), Work::Fault),
        LogEntry { fixed: Some(day(2022, 9)), ..LogEntry::new(day(2022, 8), Work::Fault) },
    ]);
    let due = due([&care].into_iter());
    let on: Vec<Option<Date>> = due.iter().map(|one| one.on).collect();
    assert_eq!(on, [None, Some(day(2022, 1)), Some(day(2023, 6))]);
    assert!(due[0].is_over(day(2022, 8)) && !due[2].is_over(day(2022, 8)));
}

#[test]
fn heads_have_an_age() {
    let head = |on, part: &str| LogEntry { part: part.to_owned(), ..LogEntry::new(on, Work::Head) };
    let care =
        with_log(vec![head(day(2019, 9), "29 in"), head(day(2023, 9), "29 in"), head(day(2022, 1), "26 in")]);
    let heads = heads(&care);
    assert_eq!(heads.iter().map(|head| head.part).collect::<Vec<_>>(), ["26 in", "29 in"]);
    assert_eq!(heads[1].months(day(2024, 11)), 14);
    assert_eq!(heads[1].months(day(2020, 1)), 0);
}

#[test]
fn cords_and_felts_have_an_age() {
    let put = |on, work, words: &str| LogEntry { words: words.to_owned(), ..LogEntry::new(on, work) };
    let care = with_log(vec![
        put(day(2023, 9), Work::Cord, "silk"),
        put(day(2019, 9), Work::Cord, "nylon"),
        put(day(2022, 1), Work::Felt, "3 mm"),
        put(day(2022, 1), Work::Head, "calf"),
    ]);
    let found = cords_and_felts(&care);
    let said: Vec<(Work, &str, u32)> =
        found.iter().map(|(work, age)| (*work, age.words, age.months(day(2024, 1)))).collect();
    assert_eq!(said, [(Work::Cord, "silk", 4), (Work::Felt, "3 mm", 24)]);
}

#[test]
fn a_bell_says_where_its_note_lies() {
    let a = ReferenceA::ISO_16;
    let mut bell = BellEntry::of(KeyNumber::new(60).unwrap());
    assert_eq!(bell.nearest(Body::Cast, a), None);
    bell.partials.0.insert(Partial::Nominal, raised(2.0 * a.frequency(bell.key).value(), 18.0));
    let (key, off) = bell.nearest(Body::Cast, a).unwrap();
    assert!(key == bell.key && (off - 18.0).abs() < 1e-6);
    let mass = bell.mass_estimate(Body::Cast, a).unwrap();
    assert!(mass.most > mass.least);
    // A lip says more: C f D^4 / 4 359 085 with C from 2.7 to 3, f the nominal, D in inches, in pounds.
    bell.lip_m = Some(1.524);
    let (light, heavy) = bell.mass_by_lip_kg(Body::Cast, a).unwrap();
    let pounds = 2.0 * bell.strike(Body::Cast).unwrap().0 * 60.0_f64.powi(4) / 4_359_085.0;
    assert!((light - 2.7 * pounds * 0.453_592_37).abs() < 1e-6 && (heavy / light - 3.0 / 2.7).abs() < 1e-9);
}

/// A tube or a plate weighs nothing like a cast bell of its note.
#[test]
fn only_cast_bells_are_estimated() {
    let a = ReferenceA::ISO_16;
    let bell = BellEntry { lip_m: Some(0.04), ..BellEntry::of(KeyNumber::new(60).unwrap()) };
    for body in [Body::Tube, Body::Other] {
        assert_eq!((bell.mass_estimate(body, a), bell.lip_estimate(body, a)), (None, None));
        assert_eq!(bell.mass_by_lip_kg(body, a), None);
    }
    assert!(bell.mass_estimate(Body::Cast, a).is_some() && bell.lip_estimate(Body::Cast, a).is_some());
}

/// Three bells with tierces 10, 30 and 80 cents above the just one, and one that has none.
#[test]
fn a_partial_stands_among_other_bells() {
    let of = |tierce: Option<f64>| {
        let mut bell = BellEntry::of(KeyNumber::new(60).unwrap());
        bell.partials.0.insert(Partial::Nominal, 1000.0);
        bell.partials.0.extend(tierce.map(|off| (Partial::Tierce, raised(600.0, off))));
        bell
    };
    let bells = [of(Some(10.0)), of(Some(80.0)), of(None), of(Some(30.0))];
    let found = among(Partial::Tierce, bells.iter(), Body::Cast).unwrap();
    let near = |one: f64, other: f64| (one - other).abs() < 1e-6;
    assert!(near(found.least, 10.0) && near(found.about, 30.0) && near(found.most, 80.0), "{found:?}");
    assert_eq!(found.from, 3);
    assert_eq!(among(Partial::Quint, bells.iter(), Body::Cast), None);
}

proptest! {
    #[test]
    fn a_shift_of_all_is_found_whatever_the_scatter(
        shift in -20.0..20.0_f64,
        scatter in proptest::collection::vec(-0.5..0.5_f64, 25),
    ) {
        let before = survey(day(2020, 1), |_| 0.0);
        let after = survey(day(2021, 1), |key| shift + scatter[usize::from(key.number()) - 60]);
        let found = moved(&before, &after, |_, _| None);
        prop_assert!((found.common_cents - shift).abs() <= 0.5 + 1e-6);
        prop_assert!(found.alone.is_empty());
    }
}
