use super::*;
use crate::care::{LogEntry, Reading, Value, Work};
use crate::collection::{AirDay, Material};
use crate::edit::{Edit, apply};
use crate::id::{InstrumentId, PlaceId};
use crate::sample;
use crate::tuning::raised;
use jiff::civil::Date;

fn id() -> InstrumentId {
    InstrumentId::new("xylophone-1").unwrap()
}

fn day(month: i8) -> Date {
    Date::new(2026, month, 1).unwrap()
}

fn with(care: Care) -> Library {
    apply(&sample::library(), &Edit::PutCare(care)).unwrap()
}

#[test]
fn the_tuner_gets_instruments_with_bars_outside() {
    let key = sample::key("C6");
    let library = sample::library();
    let hz = raised(library.orchestra.a.frequency(key).value(), -9.0);
    let survey = Survey { readings: vec![Reading::new(key, hz)], ..Survey::on(day(3)) };
    let library = with(Care { surveys: vec![survey.clone()], ..Care::of(id()) });
    assert_eq!(tuner_lists(&library).len(), 1);
    let wide = with(Care { surveys: vec![survey], tolerance_cents: Some(10.0), ..Care::of(id()) });
    assert!(tuner_lists(&wide).is_empty(), "its own tolerance is wider");
}

#[test]
fn every_instrument_stands_in_one_sum_of_each_sort() {
    let value = Some(Value { amount: 1200.0, ground: String::new(), on: None });
    let library = with(Care { value, irreplaceable: "the last".to_owned(), ..Care::of(id()) });
    let values = values(&library);
    let all = library.instruments.len();
    for sums in [&values.by_store, &values.by_owner] {
        assert_eq!(sums.iter().map(|sum| sum.valued + sum.unvalued).sum::<usize>(), all);
        assert!((sums.iter().map(|sum| sum.amount).sum::<f64>() - values.total).abs() < 1e-9);
    }
    assert!((values.total - 1200.0).abs() < 1e-9);
    assert_eq!(values.irreplaceable.len(), 1);
    assert_eq!(values.by_store.last().unwrap().name, "kept in no store");
}

#[test]
fn costs_are_counted_within_their_days() {
    let line = |month, cost| LogEntry { cost, ..LogEntry::new(day(month), Work::Cord) };
    let log = vec![line(1, Some(40.0)), line(3, Some(50.0)), line(4, None), line(9, Some(60.0))];
    let found = costs(&with(Care { log, ..Care::of(id()) }), day(2), day(8));
    assert_eq!(found, [Cost { work: Work::Cord, amount: 50.0, lines: 2, unpriced: 1 }]);
}

#[test]
fn a_dry_store_is_a_caution_where_wood_is_kept() {
    let base = sample::library();
    let room = PlaceId::new("room-1").unwrap();
    let mut place = (**base.places.get(&room).unwrap()).clone();
    place.air = vec![AirDay::on(day(1)).with(None, Some(50.0)), AirDay::on(day(2)).with(None, Some(33.0))];
    let mut thing = (**base.instruments.get(&id()).unwrap()).clone();
    thing.material = Material::Rosewood;
    let edits = vec![Edit::PutPlace(place), Edit::PutInstrument(thing.clone())];
    let library = apply(&base, &Edit::Together { words: String::new(), edits }).unwrap();
    let found = stores(&library);
    assert_eq!((found.len(), found[0].outside), (1, (1, 0)));
    assert!(found[0].caution().unwrap().contains("too dry"));
    thing.material = Material::Steel;
    let library = apply(&library, &Edit::PutInstrument(thing)).unwrap();
    assert_eq!(stores(&library)[0].caution(), None);
}
