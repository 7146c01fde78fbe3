use super::*;
use crate::care::{Care, Reading};
use crate::collection::{Frame, Material};
use crate::edit::{Edit, apply};
use crate::id::{InstrumentId, LineId, MovementId};
use crate::music::typed::{parse_line, parse_tempo};
use crate::music::{Line, Timeline};
use crate::pitch::Reading as Names;
use crate::sample;
use crate::tuning::raised;
use rstest::rstest;

fn hall(celsius: f64) -> Hall {
    Hall { a: ReferenceA::new(442.0).unwrap(), celsius, winds_cents_k: None }
}

fn keyboard(id: &str, a: Option<f64>, material: Material) -> Instrument {
    let mut thing = sample::instrument(id, "xylophone", &[]);
    let range = Some((sample::key("C4"), sample::key("C8")));
    thing.frames = vec![Frame { range, ..Frame::default() }];
    thing.tuned_to = a.map(|a| ReferenceA::new(a).unwrap());
    thing.material = material;
    thing
}

fn with(things: &[&Instrument]) -> Library {
    let edits = things.iter().map(|thing| Edit::PutInstrument((*thing).clone())).collect();
    apply(&sample::library(), &Edit::Together { words: String::new(), edits }).unwrap()
}

fn timeline() -> Timeline {
    parse_tempo("1-20 4/4 1/4=60").unwrap()
}

fn line(text: &str) -> Line {
    let ids = (LineId::new("c").unwrap(), MovementId::new("m").unwrap());
    parse_line(text, Names::English).unwrap().line(ids, (None, None), &timeline(), None).unwrap()
}

#[test]
fn steel_that_is_right_at_twenty_is_flat_beside_warm_winds() {
    let thing = keyboard("g", Some(442.0), Material::Steel);
    let found = offset(&with(&[&thing]), &thing, None, hall(25.0)).unwrap();
    assert!((found.cents - crate::tuning::drift::cents(-86.0, 20.0, 25.0)).abs() < 1e-9);
    assert!((-16.0..-15.0).contains(&found.beside_winds()), "{found:?}");
    assert_eq!(found.ground, Ground::Stated);
}

#[test]
fn a_survey_goes_before_what_is_stated() {
    let thing = keyboard("g", Some(440.0), Material::Steel);
    let mut survey = Survey { celsius: Some(20.0), ..Survey::on(Date::new(2026, 3, 1).unwrap()) };
    let key = sample::key("C6");
    survey.readings = vec![Reading::new(key, raised(hall(20.0).a.frequency(key).value(), 4.0))];
    let care = Care { surveys: vec![survey], ..Care::of(thing.id.clone()) };
    let library = apply(&with(&[&thing]), &Edit::PutCare(care)).unwrap();
    let own = offset(&library, &thing, Some(key), hall(20.0)).unwrap();
    assert!((own.cents - 4.0).abs() < 1e-9 && matches!(own.ground, Ground::Measured(_)));
    let other = offset(&library, &thing, Some(sample::key("D6")), hall(20.0)).unwrap();
    assert!((other.cents - 4.0).abs() < 1e-9 && matches!(other.ground, Ground::Survey(_)));
}

#[test]
fn nothing_known_says_nothing() {
    let thing = keyboard("g", None, Material::Steel);
    assert_eq!(offset(&with(&[&thing]), &thing, None, hall(25.0)), None);
}

/// At sixty a measure of four lasts four seconds; at 440 against 442 high notes beat, and low ones do not within their time.
#[rstest]
#[case::long_and_high("xylophone | 1-2 C7*2", 440.0, true)]
#[case::short("xylophone | 1 C7*32", 440.0, false)]
#[case::low("xylophone | 1-2 C4*16", 440.0, false)]
#[case::in_tune("xylophone | 1-2 C7*2", 442.0, false)]
fn only_what_lasts_and_lies_high_is_heard(#[case] text: &str, #[case] a: f64, #[case] heard: bool) {
    let thing = keyboard("g", Some(a), Material::Steel);
    let (line, timeline) = (line(text), timeline());
    let found = against_orchestra(&with(&[&thing]), (&line, &timeline), &thing, hall(20.0));
    assert_eq!(!found.is_empty(), heard, "{found:?}");
}

#[test]
fn wood_is_gone_before_it_beats() {
    let (line, timeline) = (line("xylophone | 1-2 C5*2"), timeline());
    let found = |material| {
        let thing = keyboard("g", Some(440.0), material);
        against_orchestra(&with(&[&thing]), (&line, &timeline), &thing, hall(20.0)).len()
    };
    assert!(found(Material::Aluminium) > 0);
    let notes = exposed(&line, &timeline, Material::Rosewood);
    assert!(notes.iter().all(|note| note.seconds <= 1.0), "{notes:?}");
}

#[test]
fn two_keyboards_beat_in_octaves() {
    let one = keyboard("g", Some(442.0), Material::Steel);
    let other = keyboard("v", Some(440.0), Material::Aluminium);
    let library = with(&[&one, &other]);
    let (high, low) = (line("xylophone | 1-2 C7*2"), line("xylophone | 1-2 C6*2"));
    let found = between(&library, &timeline(), (&high, &one), (&low, &other), hall(20.0));
    assert_eq!(found.len(), 2);
    assert_eq!(found[0].octaves, 1);
    assert!((found[0].cents - 7.85).abs() < 0.01);
    let fifth = line("xylophone | 1-2 F6*2");
    assert!(between(&library, &timeline(), (&high, &one), (&fifth, &other), hall(20.0)).is_empty());
}

/// 442 against 440 is 7.85 cents; in C7 at 442 that is 2102.5 Hz less 2093.0.
#[test]
fn two_keyboards_share_their_keys_in_unison_or_the_nearest_octave() {
    let one = keyboard("g", Some(442.0), Material::Steel);
    let mut other = keyboard("v", Some(440.0), Material::Steel);
    other.frames[0].range = Some((sample::key("C7"), sample::key("E7")));
    let library = with(&[&one, &other]);
    let found = shared(&library, &one, &other, hall(20.0));
    let with_of = |name: &str| found.iter().find(|one| one.key == sample::key(name)).map(|one| one.with);
    assert_eq!(with_of("C7"), Some(sample::key("C7")));
    assert_eq!(with_of("E5"), Some(sample::key("E7")));
    assert_eq!(with_of("C8"), Some(sample::key("C7")));
    assert_eq!((with_of("F6"), with_of("C4")), (None, None), "no such pitch class; three octaves");
    assert!(found.iter().all(|one| (one.cents - 7.851).abs() < 1e-3), "{found:?}");
    let unison = found.iter().find(|one| one.key == sample::key("C7")).unwrap();
    assert!((unison.beats_hz - (2_102.518_179 - 2_093.004_522)).abs() < 1e-3, "{unison:?}");
    let unknown = keyboard("c", None, Material::Steel);
    assert!(shared(&library, &one, &unknown, hall(20.0)).is_empty());
}

/// Winds, and so a tube, rise by 20.43 cents from 20 to 27 degrees; steel falls by 1200 log2(1 - 86e-6 * 7) = -1.04.
#[test]
fn a_resonator_goes_away_from_its_bar() {
    let thing = keyboard("v", Some(442.0), Material::Steel);
    let found = resonator_off(&with(&[&thing]), &thing, 20.0, 27.0);
    assert!((found.air - 20.4268).abs() < 5e-4 && (found.cents() - 21.47).abs() < 0.01, "{found:?}");
    let synthetic = keyboard("m", Some(442.0), Material::Synthetic);
    let found = resonator_off(&with(&[&synthetic]), &synthetic, 20.0, 27.0);
    assert_eq!(found.bar, None);
    assert!((found.cents() - found.air).abs() < 1e-12);
}

/// Winds that rise 2 cents a kelvin in this orchestra lie 2 * 7 = 14 cents up at 27 degrees; by the speed of sound 20.4.
#[test]
fn our_own_figure_for_the_winds_goes_before_the_speed_of_sound() {
    let mut library = with(&[]);
    let winds = |library: &Library| Hall { celsius: 27.0, ..Hall::of(library, None) }.winds_cents();
    assert!((winds(&library) - 20.4).abs() < 0.05, "{}", winds(&library));
    let mut orchestra = (*library.orchestra).clone();
    orchestra.winds_cents_k = Some(2.0);
    library.orchestra = orchestra.into();
    assert!((winds(&library) - 14.0).abs() < 1e-9, "{}", winds(&library));
}

/// The orchestra's own coefficient goes before the table's: -200 ppm over 5 degrees are 1200 log2(1 - 0.001) = -1.73 cents.
#[test]
fn our_own_coefficient_moves_the_offset() {
    let thing = keyboard("v", Some(442.0), Material::Steel);
    let library = with(&[&thing]);
    let cents = |library: &Library| offset(library, &thing, None, hall(25.0)).unwrap().cents;
    assert!((cents(&library) + 0.745).abs() < 0.01, "{}", cents(&library));
    let mut orchestra = library.orchestra.as_ref().clone();
    orchestra.drifts.insert(Material::Steel, -200.0);
    let own = apply(&library, &Edit::SetOrchestra(orchestra)).unwrap();
    assert!((cents(&own) + 1.732).abs() < 0.01, "{}", cents(&own));
}

#[test]
fn the_nearer_one_sits_better() {
    let far = keyboard("a", Some(438.0), Material::Steel);
    let near = keyboard("b", Some(442.0), Material::Steel);
    let unknown = keyboard("c", None, Material::Steel);
    let library = with(&[&far, &near, &unknown]);
    let (line, timeline) = (line("xylophone | 1-2 C7*2"), timeline());
    let fits = better(&library, (&line, &timeline), [&far, &unknown, &near].into_iter(), hall(20.0));
    let order: Vec<&str> = fits.iter().map(|fit| fit.instrument.as_str()).collect();
    assert_eq!(order, ["b", "a", "c"]);
    assert!(fits[1].heard > 0 && fits[0].heard == 0 && fits[2].cents.is_none());
}

#[test]
fn bells_are_offered_in_every_octave() {
    let mut kinds = sample::library();
    let mut bells = sample::kind("church_bells", crate::collection::Pitched::Yes, None);
    bells.family = crate::collection::Family::Bells;
    kinds = apply(&kinds, &Edit::PutKind(bells)).unwrap();
    let mut thing = sample::instrument("bells", "church_bells", &[]);
    thing.frames = vec![Frame { range: Some((sample::key("C4"), sample::key("E4"))), ..Frame::default() }];
    thing.id = InstrumentId::new("bells").unwrap();
    let library = apply(&kinds, &Edit::PutInstrument(thing)).unwrap();
    let notes = bells_for(&library, &line("church bells | 1-2 C5 F5"), hall(20.0));
    assert_eq!(notes.len(), 2);
    let given: Vec<i32> =
        notes[0].readings.iter().filter(|reading| !reading.on.is_empty()).map(|r| r.octaves).collect();
    assert_eq!(given, [-1]);
    assert!(!notes[0].is_given() && !notes[0].is_to_borrow());
    assert!(notes[1].is_to_borrow());
}
