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

/// A store with the air of a day, in which the xylophone is kept, of a material.
fn kept(material: Material, celsius: f64, humidity: f64) -> Library {
    let base = sample::library();
    let room = PlaceId::new("room-1").unwrap();
    let mut place = (**base.places.get(&room).unwrap()).clone();
    place.air = vec![
        AirDay::on(day(1)).with(None, Some(40.0)),
        AirDay::on(day(2)).with(Some(celsius), Some(humidity)),
    ];
    let mut thing = (**base.instruments.get(&id()).unwrap()).clone();
    thing.material = material;
    let edits = vec![Edit::PutPlace(place), Edit::PutInstrument(thing)];
    apply(&base, &Edit::Together { words: String::new(), edits }).unwrap()
}

/// Skins and other wood: 40 to 60 per cent by common practice. Rosewood: 30 to 40 and 18 to 22 degrees by a maker's leaflet, which
/// disagrees; only what both have outside is a caution.
#[rstest::rstest]
#[case(Material::Skin, 20.0, 33.0, &["is too dry for skin"], true)]
#[case(Material::Skin, 20.0, 50.0, &[], true)]
#[case(Material::Skin, 12.0, 50.0, &[], true)]
#[case(Material::Wood, 20.0, 61.0, &["is too damp for wood"], true)]
#[case(Material::Rosewood, 20.0, 29.0, &["is too dry for rosewood", "30 to 40 per cent by a maker’s care leaflet"], true)]
#[case(Material::Rosewood, 20.0, 61.0, &["is too damp for rosewood", "40 to 60 per cent by common practice"], true)]
#[case(Material::Rosewood, 20.0, 33.0, &["sources disagree", "leaflet on rosewood bars: within", "source: too dry"], false)]
#[case(Material::Rosewood, 20.0, 50.0, &["sources disagree", "bars: too damp", "source: within"], false)]
#[case(Material::Rosewood, 17.0, 40.0, &["is too cold for rosewood", "18 to 22 °C by a maker’s care leaflet"], true)]
#[case(Material::Rosewood, 22.5, 40.0, &["is too warm for rosewood"], true)]
#[case(Material::Steel, 5.0, 10.0, &[], true)]
fn the_air_is_held_against_what_is_kept(
    #[case] material: Material,
    #[case] celsius: f64,
    #[case] humidity: f64,
    #[case] says: &[&str],
    #[case] agreed: bool,
) {
    let library = kept(material, celsius, humidity);
    let found = stores(&library);
    let all = found[0].cautions();
    assert_eq!(all.len(), usize::from(!says.is_empty()), "{all:?}");
    for caution in &all {
        assert_eq!(caution.agreed, agreed, "{}", caution.words);
        assert!(says.iter().all(|says| caution.words.contains(says)), "{}", caution.words);
    }
}

/// Days count as outside where everybody has them so.
#[rstest::rstest]
#[case(Material::Rosewood, 33.0, (0, 0))]
#[case(Material::Rosewood, 29.0, (1, 0))]
#[case(Material::Skin, 33.0, (1, 0))]
#[case(Material::Steel, 61.0, (0, 1))]
fn days_outside_are_counted(#[case] material: Material, #[case] humidity: f64, #[case] days: (usize, usize)) {
    assert_eq!(stores(&kept(material, 20.0, humidity))[0].outside, days);
}
