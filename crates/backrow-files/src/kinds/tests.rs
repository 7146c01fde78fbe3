use super::*;
use backrow_core::collection::{Head, Pitched};
use backrow_core::id::KindId;
use backrow_core::pitch::Octave;
use rstest::rstest;

const GOOD: &str = r#"(format: 1, kinds: [(
    id: "xylophone",
    english: ["xylophone"],
    family: "keyboards", pitched: "yes", octave: semitones(12),
    compasses: [(name: "3½ octaves", low: "F4", high: "C8")],
    unit: "bar", layout: "two rows", material: "rosewood",
    shape: keyboard(width_m: 1.45, low_m: 0.8, high_m: 0.45),
    harmful: ["brass"],
)])"#;

#[test]
fn the_standard_table_is_whole() {
    let kinds = standard().unwrap();
    assert!(kinds.len() >= 100, "{} kinds", kinds.len());
    for kind in kinds.values() {
        let names = &kind.names;
        for (language, list) in [
            ("it", &names.italian),
            ("de", &names.german),
            ("fr", &names.french),
            ("abbr", &names.abbreviations),
        ] {
            assert!(!list.is_empty(), "{}: no {language} name", kind.id);
        }
        // The saw glides and has no bars.
        let has_bars = kind.pitched == Pitched::Yes && kind.id.as_str() != "musical_saw";
        assert!(!has_bars || !kind.compasses.is_empty(), "{}: no compass", kind.id);
    }
}

#[rstest]
#[case("glockenspiel", Some(24))]
#[case("crotales", Some(24))]
#[case("xylophone", Some(12))]
#[case("celesta", Some(12))]
#[case("song_bells", Some(12))]
#[case("handbells", Some(12))]
#[case("marimba", Some(0))]
#[case("vibraphone", Some(0))]
#[case("tubular_bells", Some(0))]
#[case("timpani", Some(0))]
#[case("xylorimba", None)]
#[case("almglocken", None)]
#[case("tuned_gongs", None)]
#[case("church_bells", None)]
fn usual_octaves(#[case] id: &str, #[case] semitones: Option<i32>) {
    let kinds = standard().unwrap();
    assert_eq!(kinds[&KindId::new(id).unwrap()].octave.map(Octave::semitones), semitones);
}

#[test]
fn the_standard_words_are_whole() {
    let words = standard_words().unwrap();
    let felt = words.iter().find(|word| word.id == "sticks_felt").unwrap();
    assert_eq!(felt.means, WordMeans::Beater { head: Some(Head::Felt), hardness: None });
    assert!(words.iter().any(|word| word.id == "without_snares" && word.means == WordMeans::Playing));
    let kinds = standard().unwrap();
    for word in &words {
        assert!(!kinds.keys().any(|kind| kind.as_str() == word.id), "{} is a kind as well", word.id);
    }
}

#[test]
fn what_is_written_is_read_back() {
    let kinds = standard().unwrap();
    let text = kinds_text(kinds.values().map(|kind| &**kind)).unwrap();
    let (read, problems) = parse_kinds("kinds.ron", &text);
    assert_eq!(problems, []);
    assert!(read.iter().eq(kinds.values().map(|kind| &**kind)));
}

#[rstest]
#[case("\"keyboards\"", "\"keys\"", "kind-word", 4, "keyboards, bells")]
#[case("\"yes\"", "\"perhaps\"", "kind-word", 4, "yes, no, sometimes")]
#[case("\"two rows\"", "\"three rows\"", "kind-word", 6, "two rows, one row, rack, drums")]
#[case("\"rosewood\"", "\"cheese\"", "kind-word", 6, "rosewood")]
#[case("[\"brass\"]", "[\"brass\", \"gold\"]", "kind-word", 8, "steel")]
#[case("octave: semitones(12),", "", "kind-octave", 4, "not_agreed")]
#[case("semitones(12)", "semitones(200)", "kind-octave", 4, "semitones")]
#[case("\"F4\"", "\"D8\"", "kind-compass", 5, "exchange")]
#[case("\"F4\"", "\"X4\"", "kind-note", 5, "compass")]
#[case("[\"xylophone\"]", "[]", "kind-empty", 3, "give it one")]
#[case("[\"xylophone\"]", "[\"xylophone\", \" \"]", "kind-empty", 2, "take it out")]
#[case("1.45", "-1.45", "kind-shape", 7, "metres")]
#[case("\"xylophone\",", "\"Xylo Phone\",", "kind-id", 2, "such an id")]
#[case("unit:", "colour: 3, unit:", "kinds-syntax", 6, "mend")]
#[case("format: 1", "format: 9", "kinds-format", 0, "newer version")]
#[case("harmful: [", "harmful: [[", "kinds-syntax", 8, "mend")]
fn faults_are_named_with_line_and_remedy(
    #[case] from: &str,
    #[case] to: &str,
    #[case] code: &str,
    #[case] line: u32,
    #[case] remedy: &str,
) {
    let (kinds, problems) = parse_kinds("own.ron", &GOOD.replacen(from, to, 1));
    assert!(kinds.is_empty());
    let [problem] = problems.as_slice() else { panic!("one problem expected: {problems:?}") };
    assert_eq!(problem.code, code);
    let place = if line == 0 { "own.ron".to_owned() } else { format!("own.ron, line {line}") };
    assert_eq!(problem.place, place, "{problem}");
    assert!(problem.remedy.contains(remedy), "{problem}");
}

#[test]
fn a_kind_twice_costs_the_second() {
    let body = GOOD.trim_start_matches("(format: 1, kinds: [").trim_end_matches("])");
    let twice = format!("(format: 1, kinds: [{body},\n{body}])");
    let (kinds, problems) = parse_kinds("own.ron", &twice);
    assert_eq!(kinds.len(), 1);
    assert_eq!(problems.len(), 1);
    assert_eq!((problems[0].code, problems[0].place.as_str()), ("kind-twice", "own.ron, line 11"));
}

#[test]
fn one_wrong_kind_leaves_the_others() {
    let body = GOOD.trim_start_matches("(format: 1, kinds: [").trim_end_matches("])");
    let other = body.replace("\"xylophone\",\n", "\"other\",\n").replace("rosewood", "tin");
    let (kinds, problems) = parse_kinds("own.ron", &format!("(format: 1, kinds: [{other},{body}])"));
    assert_eq!((kinds.len(), problems.len()), (1, 1));
    assert!(problems[0].what.contains("other"), "{}", problems[0]);
}

#[rstest]
#[case("")]
#[case("(")]
#[case("\u{0}\u{ffff}")]
#[case("(format: 1, kinds: [(id: \"\")])")]
#[case("[[[[[[[[[[")]
fn odd_text_is_refused_in_words(#[case] text: &str) {
    let (kinds, problems) = parse_kinds("own.ron", text);
    assert!(kinds.is_empty());
    assert_eq!(problems.len(), 1);
    assert!(!parse_words("own.ron", text).1.is_empty());
}
