//! Search by likeness, by changes and by words.

use super::*;
use crate::id::TakeId;
use crate::sound::{Figure, PitchHeard};

fn measures(hz: f64, brightness: f64, ring: f64) -> Measures {
    let figure = |value: f64| Figure::new(value, value * 0.01);
    Measures {
        pitch: figure(hz).zip(figure(0.8)).map(|(hz, clarity)| PitchHeard { hz, clarity }),
        brightness_hz: figure(brightness),
        brightness_at_strike_hz: figure(brightness * 1.3),
        brightness_after_hz: figure(brightness * 0.9),
        ring_s: figure(ring),
        early_ring_s: figure(ring),
        attack_s: figure(0.002),
        flatness: figure(0.01),
        tonal: figure(0.9),
        strongest: figure(0.7),
        inharmonicity: figure(0.1),
        loudness_lufs: figure(-20.0_f64.abs()).map(|one| Figure { value: -one.value, ..one }),
        true_peak_dbtp: figure(6.0).map(|one| Figure { value: -one.value, ..one }),
        ..Measures::NOTHING
    }
}

fn known(number: usize, made_of: MadeOf, hz: f64, brightness: f64, ring: f64) -> Known {
    let instrument = InstrumentId::new(&format!("thing-{number}")).unwrap();
    Known {
        key: StrikeKey { instrument, take: TakeId::new("take").unwrap(), number: 0 },
        kind: KindId::new(if number.is_multiple_of(2) { "gong" } else { "block" }).unwrap(),
        made_of,
        names: vec![
            format!("thing {number}"),
            if number.is_multiple_of(2) { "bell plate".to_owned() } else { "wood block".to_owned() },
        ],
        words: Vec::new(),
        by_model: false,
        measures: Arc::new(measures(hz, brightness, ring)),
    }
}

/// Twenty of metal, from dark and long to bright and short; twenty of wood, all short.
fn collection() -> Vec<Known> {
    let metal = (0..20).map(|n| {
        let step = n as f64;
        known(
            n * 2,
            MadeOf::Metal,
            100.0 * 1.1_f64.powf(step),
            400.0 * 1.15_f64.powf(step),
            8.0 * 0.85_f64.powf(step),
        )
    });
    let wood = (0..20).map(|n| known(n * 2 + 1, MadeOf::Wood, 400.0 + 40.0 * n as f64, 1500.0, 0.1));
    metal.chain(wood).collect()
}

fn names(heard: &Heard, answers: &Answers) -> Vec<String> {
    answers.found.iter().map(|one| heard.all()[one.at].key.instrument.to_string()).collect()
}

#[test]
fn like_this_finds_its_neighbours() {
    let heard = Heard::new(collection(), Vec::new());
    let it = &heard.all()[10];
    let asked = Asked { like: Some(it.measures.clone()), itself: Some(it.key.clone()), ..Asked::default() };
    let answers = heard.ask(&asked, 2);
    let mut near = names(&heard, &answers);
    near.sort();
    assert_eq!(near, ["thing-18", "thing-22"]);
    // The strike itself, asked without saying that it is one, is its own nearest.
    let answers = heard.ask(&Asked { itself: None, ..asked }, 1);
    assert!(answers.found[0].at == 10 && answers.found[0].distance < 1e-9);
}

#[test]
fn a_plain_likeness_says_what_is_alike_and_what_differs_most() {
    let mut all = collection();
    // As bright and as long as thing 20, and four semitones higher.
    let hz = |known: &Known| known.measures.pitch.map(|pitch| pitch.hz.value).unwrap();
    let it = all[10].clone();
    let (bright, ring) = (it.measures.brightness_hz.unwrap().value, it.measures.ring_s.unwrap().value);
    all.push(known(101, MadeOf::Metal, hz(&it) * (4.0 / 12.0_f64).exp2(), bright * 1.01, ring));
    all.push(known(103, MadeOf::Metal, hz(&it), bright, ring));
    let heard = Heard::new(all, Vec::new());
    let asked = Asked { like: Some(it.measures.clone()), itself: Some(it.key.clone()), ..Asked::default() };
    let answers = heard.ask(&asked, 5);
    let of = |name: &str| {
        let found = answers.found.iter().find(|one| heard.all()[one.at].key.instrument.as_str() == name);
        found.unwrap().reasons.clone()
    };
    assert_eq!(of("thing-103")[1], "nothing else differs by a noticeable step", "{:?}", of("thing-103"));
    let higher = of("thing-101");
    assert!(
        higher[0].starts_with("like it in ring (1.57 against 1.57\u{202f}s) and brightness ("),
        "{higher:?}"
    );
    assert!(higher.iter().all(|one| !one.starts_with("rings ")), "told once: {higher:?}");
    assert_eq!(higher[1], "differs most: higher by 4.0 semitones", "{higher:?}");
    // What is wanted otherwise is told as such, and once.
    let asked = Asked { but: vec![Quality::Higher], ..asked };
    let answers = heard.ask(&asked, 1);
    let reasons = &answers.found[0].reasons;
    assert!(reasons[0].starts_with("higher by ") && reasons[1].starts_with("like it in "), "{reasons:?}");
    assert!(reasons.iter().all(|one| !one.contains("differs most: higher")), "{reasons:?}");
}

#[test]
fn but_brighter_goes_that_way_by_small_steps_and_says_so() {
    let heard = Heard::new(collection(), Vec::new());
    let it = &heard.all()[10];
    let ask = |but: &[Quality]| {
        let like = Some(it.measures.clone());
        heard.ask(&Asked { like, itself: Some(it.key.clone()), but: but.to_vec(), ..Asked::default() }, 3)
    };
    let brighter = ask(&[Quality::Brighter]);
    assert_eq!(names(&heard, &brighter), ["thing-22", "thing-24", "thing-26"]);
    assert!(brighter.found[0].reasons[0].starts_with("brighter by 15 %"), "{:?}", brighter.found[0].reasons);
    let longer = ask(&[Quality::Longer, Quality::Darker]);
    assert_eq!(longer.found[0].at, 8, "a step of 0.23 in the ring is not noticed");
    assert!(ask(&[Quality::Brighter, Quality::Darker]).found.is_empty());
}

#[test]
fn the_parts_words_find_the_thing() {
    let unheard = vec![
        Unheard {
            instrument: InstrumentId::new("old-plate").unwrap(),
            made_of: MadeOf::Metal,
            names: vec!["bell plate".to_owned()],
            words: vec!["cupo".to_owned()],
        },
        Unheard {
            instrument: InstrumentId::new("rattle").unwrap(),
            made_of: MadeOf::Wood,
            names: vec!["ratchet".to_owned()],
            words: Vec::new(),
        },
    ];
    let heard = Heard::new(collection(), unheard);
    for words in [
        "metal plate, large and dull",
        "große, dumpfe Platte aus Metall",
        "lastra (plate) di metallo, grande e cupa",
        "plate de métal grande et sourde",
    ] {
        let answers = heard.ask(&Asked { words: words.to_owned(), ..Asked::default() }, 40);
        assert_eq!(names(&heard, &answers)[0], "thing-0", "{words}");
        let reasons = &answers.found[0].reasons;
        assert!(
            reasons.iter().any(|one| one.contains("darker than 9") && one.contains("made of metal")),
            "{reasons:?}"
        );
        assert!(reasons.iter().any(|one| one == "rings 8.00\u{202f}s"), "{reasons:?}");
        assert_eq!(answers.unmeasured[0].instrument.as_str(), "old-plate");
        assert_eq!(answers.unmeasured.len(), 1);
    }
    let asked = Asked { words: "metal plate, large and dull".to_owned(), ..Asked::default() };
    let wood = |known: &Known| known.made_of == MadeOf::Wood;
    let answers = heard.ask_among(&asked, 3, &wood, &|id| id.as_str() != "old-plate");
    assert_eq!(answers.found.len(), 3, "what is left is found behind any number of better ones");
    assert!(answers.found.iter().all(|one| heard.all()[one.at].made_of == MadeOf::Wood));
    assert!(answers.unmeasured.is_empty(), "{:?}", answers.unmeasured);
    let answers = heard.ask(&Asked { words: "quux".to_owned(), ..Asked::default() }, 40);
    assert_eq!(answers.unknown, ["quux"]);
    assert_eq!(heard.ask(&Asked::default(), 100).unmeasured.len(), 2);
}

#[test]
fn the_sections_words_teach_and_disagreements_are_shown() {
    let mut all = collection();
    // This section says "dull" of what rings short and bright, and "sandy" of the same.
    for known in all.iter_mut().filter(|known| known.made_of == MadeOf::Metal).skip(14) {
        known.words = vec!["dull".to_owned(), "Sandy".to_owned()];
    }
    let heard = Heard::new(all, Vec::new());
    assert!(
        heard.taught().leanings("sandy").unwrap().iter().any(|(quality, _)| *quality == Quality::Brighter)
    );
    assert!(heard.taught().otherwise().iter().any(|one| one.contains("“dull”") && one.contains("brighter")));
    let answers = heard.ask(&Asked { words: "dull metal".to_owned(), ..Asked::default() }, 40);
    assert_eq!(answers.otherwise.len(), 1, "{:?}", answers.otherwise);
    assert!(heard.ask(&Asked { words: "sandy".to_owned(), ..Asked::default() }, 40).otherwise.is_empty());
    let first = &answers.found[0];
    assert!(heard.all()[first.at].words.contains(&"dull".to_owned()), "{first:?}");
    assert!(
        first.disagreements.iter().any(|one| one.starts_with("called “dull”, measured brighter than")),
        "{first:?}"
    );
    // What a model made teaches nothing.
    let mut all = collection();
    for known in all.iter_mut().skip(14).take(6) {
        (known.words, known.by_model) = (vec!["sandy".to_owned()], true);
    }
    assert!(Heard::new(all, Vec::new()).taught().leanings("sandy").is_none());
}

#[test]
fn nothing_heard_answers_nothing() {
    let heard = Heard::new(Vec::new(), Vec::new());
    let asked =
        Asked { like: Some(Arc::new(Measures::NOTHING)), words: "bright".to_owned(), ..Asked::default() };
    assert_eq!(heard.ask(&asked, 5), Answers::default());
}
