//! Scores of our own making: what the reader makes of changes, order, tempo, octaves, passages and encodings.

mod score_made;

use backrow_core::id::KindId;
use backrow_core::music::Degree;
use backrow_core::pitch::Octave;
use backrow_files::score::{ReadOptions, read_score, work_of};
use rstest::rstest;
use score_made::{
    clef, kind_of, kinds, kinds_of, note, order, part, partwise, read, rest, struck, timewise, transpose,
    with, words,
};

const CHANGES: &str = include_str!("../scores/changes.musicxml");

#[test]
fn one_part_that_changes_instruments_becomes_lines() {
    let reading = read(CHANGES);
    assert_eq!(reading.title, "Small Changes");
    assert_eq!(order(&reading), "0 1 2 1 3");
    // Half note = 60: a quarter lasts half a second.
    assert!((reading.timeline.end_s - 8.5).abs() < 1e-9);
    assert_eq!(kinds_of(&reading), ["triangle", "glockenspiel", "suspended_cymbal", "tubular_bells"]);
    let bells = &reading.lines[1];
    assert_eq!(bells.octave.map(Octave::semitones), Some(24));
    assert_eq!(bells.beaters, ["Messingschlägeln"]);
    let counts: Vec<(String, u8, u32)> =
        bells.notes.iter().map(|n| (n.written.ascii(), n.sounding.number(), n.count)).collect();
    let expected = [("F#5", 102, 1), ("G5", 103, 1), ("Bb5", 106, 1)];
    assert_eq!(counts, expected.map(|(name, key, count)| (name.to_owned(), key, count)));
    // Played twice, with a rest of two seconds between: too short to leave.
    assert_eq!(bells.passages.len(), 1);
    assert_eq!(bells.passages[0].attacks, 6);
    assert_eq!((bells.passages[0].passage.from_s, bells.passages[0].passage.to_s), (0.5, 6.5));
    assert_eq!(bells.passages[0].passage.dynamics.map(|both| both.loudest().sign()), Some("f"));
    assert_eq!(reading.lines[2].beaters, ["weiche Schlegel"]);
    assert!(reading.lines[1].evidence[0].contains("m. 1: “Glsp.” → glockenspiel"), "{:?}", bells.evidence);
    assert_eq!(reading.lines[1].degree, Degree::Sure);
    assert_eq!(reading.lines[3].degree, Degree::Likely);
}

#[test]
fn the_reading_becomes_a_work() {
    let work = work_of(&read(CHANGES));
    assert_eq!(work.title, "Small Changes");
    let ids: Vec<&str> = work.lines.iter().map(|line| line.id.as_str()).collect();
    assert_eq!(ids, ["triangle", "glockenspiel", "suspended-cymbal", "tubular-bells"]);
    assert_eq!(work.lines[1].sounding().to_string(), "F♯7 G7 A♯7");
    assert_eq!(work.movements[0].timeline.printed(), 4);
    assert_eq!(work.lines[0].part, "Schlagzeug 1");
}

#[test]
fn timewise_reads_like_partwise() {
    let parts = || {
        [
            part("Xylophone", &[&(transpose(1) + &note("C5", 16)), &note("F#5", 16)]),
            part("Violin", &[&note("A4", 16), &note("A4", 16)]),
            part("Triangle", &[&struck(16), &rest(16)]),
        ]
    };
    assert_eq!(read(&partwise(&parts())), read(&timewise(&parts())));
}

/// Signs of one part over six measures, and the order that they lead to.
#[rstest]
#[case::plain(&["", "", "", "", "", ""], "1 2 3 4 5 6")]
#[case::back(&["", "", "<barline><repeat direction=\"backward\"/></barline>", "", "", ""], "1 2 3 1 2 3 4 5 6")]
#[case::three_times(
    &["", "<barline location=\"left\"><repeat direction=\"forward\"/></barline>",
      "<barline><repeat direction=\"backward\" times=\"3\"/></barline>", "", "", ""],
    "1 2 3 2 3 2 3 4 5 6"
)]
#[case::three_endings(
    &["", "<barline location=\"left\"><ending number=\"1, 2\" type=\"start\"/></barline>\
      <barline><ending number=\"1, 2\" type=\"stop\"/><repeat direction=\"backward\"/></barline>",
      "<barline location=\"left\"><ending number=\"3\" type=\"start\"/></barline>\
      <barline><ending number=\"3\" type=\"discontinue\"/></barline>", "", "", ""],
    "1 2 1 2 1 3 4 5 6"
)]
#[case::da_capo_al_fine(&["", "<sound fine=\"yes\"/>", "", "", "", "<sound dacapo=\"yes\"/>"], "1 2 3 4 5 6 1 2")]
#[case::in_words(
    &["", "<direction><direction-type><words>Fine</words></direction-type></direction>", "", "", "",
      "<direction><direction-type><words>D.C. al Fine</words></direction-type></direction>"],
    "1 2 3 4 5 6 1 2"
)]
#[case::segno_and_coda(
    &["", "<sound segno=\"a\"/>", "<sound tocoda=\"c\"/>", "<sound dalsegno=\"a\"/>", "<sound coda=\"c\"/>", ""],
    "1 2 3 4 2 3 5 6"
)]
#[case::repeats_once_after_da_capo(
    &["", "<barline><repeat direction=\"backward\"/></barline>", "<sound fine=\"yes\"/>", "",
      "", "<sound dacapo=\"yes\"/>"],
    "1 2 1 2 3 4 5 6 1 2 3"
)]
#[case::after_jump(
    &["", "<barline><repeat direction=\"backward\" after-jump=\"yes\"/></barline>", "<sound fine=\"yes\"/>", "",
      "", "<sound dacapo=\"yes\"/>"],
    "1 2 1 2 3 4 5 6 1 2 1 2 3"
)]
#[case::last_ending_after_da_capo(
    &["", "<barline location=\"left\"><ending number=\"1\" type=\"start\"/></barline>\
      <barline><ending number=\"1\" type=\"stop\"/><repeat direction=\"backward\"/></barline>",
      "<barline location=\"left\"><ending number=\"2\" type=\"start\"/></barline>\
      <barline><ending number=\"2\" type=\"stop\"/></barline>", "<sound fine=\"yes\"/>", "", "<sound dacapo=\"yes\"/>"],
    "1 2 1 3 4 5 6 1 3 4"
)]
fn the_order_of_playing(#[case] signs: &[&str], #[case] expected: &str) {
    let measures: Vec<String> = signs.iter().map(|sign| format!("{sign}{}", struck(16))).collect();
    let measures: Vec<&str> = measures.iter().map(String::as_str).collect();
    assert_eq!(order(&read(&partwise(&[part("Triangle", &measures)]))), expected);
}

/// A mark over the second of two 4/4 measures, quarter = 60 in the first; the seconds of the second.
#[rstest]
#[case::sound("<sound tempo=\"120\"/>", 2.0)]
#[case::half(
    "<direction><direction-type><metronome><beat-unit>half</beat-unit><per-minute>60</per-minute></metronome></direction-type></direction>",
    2.0
)]
#[case::dotted(
    "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>80</per-minute></metronome></direction-type></direction>",
    2.0
)]
#[case::equivalence(
    "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit>half</beat-unit></metronome></direction-type></direction>",
    2.0
)]
#[case::circa(
    "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>c. 30</per-minute></metronome></direction-type></direction>",
    8.0
)]
#[case::moved(
    "<direction><direction-type><words>più</words></direction-type><offset sound=\"yes\">8</offset><sound tempo=\"120\"/></direction>",
    3.0
)]
#[case::print_moved(
    "<direction><direction-type><words>più</words></direction-type><offset>8</offset><sound tempo=\"120\"/></direction>",
    2.0
)]
fn tempo(#[case] mark: &str, #[case] seconds: f64) {
    let reading = read(&partwise(&[part("Triangle", &[&struck(16), &format!("{mark}{}", struck(16))])]));
    assert!((reading.timeline.end_s - 4.0 - seconds).abs() < 1e-9, "{}", reading.timeline.end_s);
}

/// Ambiguous words, told by what stands under them.
#[rstest]
#[case("Glocken", "G", &["E4", "C5"], "tubular_bells")]
#[case("Glocken", "F", &["C3", "G3"], "church_bells")]
#[case("Glocken", "G", &["C6", "G6", "C8"], "glockenspiel")]
#[case("Campane", "F", &["C3", "E3"], "church_bells")]
#[case("Cloches", "G", &["C4", "F5"], "tubular_bells")]
#[case("Timbales", "F", &["A2", "D3"], "timpani")]
#[case("Timbales", "percussion", &[], "timbales_latin")]
#[case("Zimbeln", "G", &["C4", "E4", "C6"], "crotales")]
#[case("Zimbeln", "percussion", &[], "finger_cymbals")]
#[case("Cassa", "percussion", &[], "bass_drum")]
#[case("Cowbells", "G", &["C4", "A4"], "almglocken")]
#[case("Cowbell", "percussion", &[], "cowbell")]
#[case("Gongs", "F", &["C3", "G2"], "tuned_gongs")]
fn ambiguous_words(#[case] name: &str, #[case] sign: &str, #[case] notes: &[&str], #[case] kind: &str) {
    let notes: String =
        if notes.is_empty() { struck(16) } else { notes.iter().map(|n| note(n, 4)).collect() };
    let reading = read(&partwise(&[part(name, &[&(clef(sign) + &notes)])]));
    assert_eq!(kinds_of(&reading), [kind], "{:?}", reading.lines[0].evidence);
    assert_ne!(reading.lines[0].degree, Degree::Sure);
}

#[test]
fn the_language_of_the_rest_counts() {
    let score = |other: &str| partwise(&[part("Timb.", &[&struck(16)]), part(other, &[&rest(16)])]);
    let french = read(&score("Violons"));
    assert!(french.lines[0].candidates.iter().any(|kind| kind.as_str() == "timpani"));
}

#[test]
fn several_names_and_nothing_to_tell_them_apart_stay_open() {
    let reading = read(&partwise(&[part("Triangle, Tam-tam", &[&struck(16)])]));
    assert_eq!(kinds_of(&reading), ["?"]);
    assert_eq!(reading.lines[0].degree, Degree::Unclear);
    let candidates: Vec<&str> = reading.lines[0].candidates.iter().map(KindId::as_str).collect();
    assert_eq!(candidates, ["triangle", "tam_tam"]);
    assert!(reading.problems.iter().any(|p| p.code == "kind-unclear" && p.place.contains("m. 1")));
}

#[test]
fn a_heading_that_names_nothing_stays_in_the_list() {
    let reading = read(&partwise(&[part("Percussion 3", &[&struck(16)])]));
    assert_eq!(kinds_of(&reading), ["?"]);
    assert_eq!(reading.lines[0].degree, Degree::Unclear);
}

#[test]
fn named_but_never_played_is_said() {
    let text = words("petit tambourin et castagnettes") + &struck(16);
    let reading = read(&partwise(&[part("Tambour de basque", &[&text])]));
    assert!(reading.problems.iter().any(|p| p.code == "named-unplayed" || p.code == "kind-unclear"));
    let text = words("Glsp.") + &rest(16);
    let reading = read(&partwise(&[part("Triangle", &[&struck(16), &text])]));
    let problem = reading.problems.iter().find(|p| p.code == "named-unplayed").expect("said");
    assert!(problem.what.contains("Glsp."), "{problem}");
}

#[test]
fn another_instruments_part_may_go_over_to_percussion() {
    let measures = [note("C4", 16), words("muta in Celesta") + &note("C5", 16)];
    let reading = read(&partwise(&[part("Piano", &[&measures[0], &measures[1]])]));
    assert_eq!(kinds_of(&reading), ["celesta"]);
    assert_eq!(reading.lines[0].notes.len(), 1);
}

#[rstest]
// Written C4 to C6 and no transposition in the file: two octaves up is the usual convention.
#[case("Glockenspiel", 0, &["G3", "C6"], Some(24))]
#[case("Glockenspiel", 2, &["G3", "C6"], None)]
#[case("Crotales", 0, &["C4", "C5"], Some(24))]
#[case("Xylophone", 0, &["F3", "C7"], Some(12))]
#[case("Marimba", 0, &["A2", "C7"], None)]
// Written at pitch in a part that the file moves up: it fits as written.
#[case("Xylophone", 1, &["F4", "C8"], Some(0))]
fn the_octave_question(
    #[case] name: &str,
    #[case] octaves: i32,
    #[case] notes: &[&str],
    #[case] offer: Option<i32>,
) {
    let notes: String = notes.iter().map(|n| note(n, 4)).collect();
    let reading = read(&partwise(&[part(name, &[&(transpose(octaves) + &notes)])]));
    let line = &reading.lines[0];
    assert_eq!(line.octave.map(Octave::semitones), Some(octaves * 12));
    assert_eq!(line.octave_offer.map(Octave::semitones), offer);
    assert_eq!(reading.problems.iter().any(|p| p.code == "octave"), offer.is_some());
}

/// Quarter = 60, 4/4: a measure is four seconds. Rests between two strokes, and how many passages they make.
#[rstest]
#[case::half_a_measure(&[struck(8) + &rest(8), struck(16)], 1)]
#[case::a_whole_measure(&[struck(16), rest(16), struck(16)], 2)]
#[case::long_but_no_whole_measure(&[struck(4) + &rest(12), rest(12) + &struck(4)], 1)]
fn passages(#[case] measures: &[String], #[case] count: usize) {
    let measures: Vec<&str> = measures.iter().map(String::as_str).collect();
    let reading = read(&partwise(&[part("Triangle", &measures)]));
    assert_eq!(reading.lines[0].passages.len(), count);
}

#[test]
fn a_setting_moves_the_ends_of_passages() {
    let text = partwise(&[part("Triangle", &[&struck(16), &rest(16), &struck(16)])]);
    let options = ReadOptions { rest_s: 10.0, ..ReadOptions::default() };
    let reading = read_score("a.xml", text.as_bytes(), &kinds(), &options).unwrap();
    assert_eq!(reading.lines[0].passages.len(), 1);
    let options = ReadOptions { rest_s: 1.0, whole_measure: false, ..ReadOptions::default() };
    let text = partwise(&[part("Triangle", &[&(struck(4) + &rest(8) + &struck(4))])]);
    let reading = read_score("a.xml", text.as_bytes(), &kinds(), &options).unwrap();
    assert_eq!(reading.lines[0].passages.len(), 2);
}

#[test]
fn rolls_ties_and_pedals_keep_the_player() {
    let tied = with("C4", 16, "", "<tie type=\"start\"/>");
    let on = with("C4", 16, "", "<tie type=\"stop\"/>");
    let reading = read(&partwise(&[part("Timpani", &[&tied, &on, &rest(16), &note("G3", 4)])]));
    let line = &reading.lines[0];
    assert_eq!((line.notes.iter().map(|n| n.count).sum::<u32>(), line.passages.len()), (2, 2));
    assert!((line.passages[0].passage.to_s - 8.0).abs() < 1e-9);

    let pedal = |kind: &str| {
        format!("<direction><direction-type><pedal type=\"{kind}\"/></direction-type></direction>")
    };
    let held = pedal("start") + &note("C4", 4) + &rest(12);
    let reading = read(&partwise(&[part("Vibraphone", &[&held, &(rest(16) + &pedal("stop")), &rest(16)])]));
    assert!((reading.lines[0].passages[0].passage.to_s - 8.0).abs() < 1e-9);
    let ringing = with("C4", 4, "", "<notations><tied type=\"let-ring\"/></notations>") + &rest(12);
    let reading = read(&partwise(&[part("Vibraphone", &[&ringing])]));
    assert!((reading.lines[0].passages[0].passage.to_s - 4.0).abs() < 1e-9);
}

#[test]
fn voices_graces_tuplets_and_chords() {
    let first = with("C5", 8, "", "") + &with("E5", 8, "<chord/>", "") + &rest(8);
    let grace = "<note><grace/><pitch><step>B</step><octave>4</octave></pitch></note>";
    let second =
        format!("<backup><duration>16</duration></backup><forward><duration>8</duration></forward>{grace}");
    let second = second + &note("G4", 8);
    let reading = read(&partwise(&[part("Marimba", &[&(first + &second)])]));
    let passage = &reading.lines[0].passages[0].passage;
    let notes: Vec<String> = passage.notes.iter().map(|n| n.written.ascii()).collect();
    assert_eq!(notes, ["C5", "E5", "G4", "B4"]);
    assert!((reading.quarters - 4.0).abs() < 1e-9);
    assert_eq!(kind_of(&reading.lines[0]), "marimba");
}

#[test]
fn a_transposition_that_changes_is_kept_note_by_note() {
    let measures = [transpose(1) + &note("C5", 16), transpose(0) + &note("C5", 8) + &note("D5", 8)];
    let reading = read(&partwise(&[part("Xylophone", &[&measures[0], &measures[1]])]));
    let line = &reading.lines[0];
    assert_eq!(line.octave, None);
    let sounding: Vec<u8> = line.notes.iter().map(|n| n.sounding.number()).collect();
    assert_eq!(sounding, [72, 74, 84]);
    let work = work_of(&reading);
    assert_eq!(work.lines[0].sounding().to_string(), "C5 D5 C6");
}

#[test]
fn repeated_measures_are_written_out() {
    let sign = |kind: &str| {
        format!(
            "<attributes><measure-style><measure-repeat type=\"{kind}\">1</measure-repeat></measure-style></attributes>"
        )
    };
    let measures = [struck(8) + &struck(8), sign("start") + &rest(16), rest(16), sign("stop") + &struck(16)];
    let measures: Vec<&str> = measures.iter().map(String::as_str).collect();
    let reading = read(&partwise(&[part("Snare Drum", &measures)]));
    assert_eq!(reading.lines[0].unpitched[0].count, 7);
    assert_eq!(reading.lines[0].passages.len(), 1);
    assert!(reading.problems.iter().any(|p| p.code == "written-out"));
}

/// What is played straight back to the sign is two stretches of the page; a tie over the bar line is not cut.
#[test]
fn a_repeat_that_is_played_straight_through_is_two_passages() {
    let back = "<barline location=\"right\"><repeat direction=\"backward\"/></barline>";
    let measures = [struck(16), struck(16), struck(16) + back, struck(16)];
    let measures: Vec<&str> = measures.iter().map(String::as_str).collect();
    let reading = read(&partwise(&[part("Snare Drum", &measures)]));
    let spans: Vec<String> = reading.lines[0]
        .passages
        .iter()
        .map(|one| format!("{}–{}", one.passage.from, one.passage.to))
        .collect();
    assert_eq!(spans, ["1–3", "1–4"]);
    assert_eq!(reading.lines[0].passages.iter().map(|one| one.attacks).collect::<Vec<_>>(), [3, 4]);
    assert_eq!(work_of(&reading).lines[0].measures(), "1–4");
}

/// Brackets round nothing are no words of tempo.
#[test]
fn empty_brackets_say_nothing_of_the_tempo() {
    let tempo = |text: &str| {
        format!(
            "<direction><direction-type><words>{text}</words></direction-type><sound tempo=\"90\"/></direction>"
        )
    };
    let measures = [tempo("Presto [ ]") + &struck(16), tempo("[ ]") + &struck(16)];
    let measures: Vec<&str> = measures.iter().map(String::as_str).collect();
    let reading = read(&partwise(&[part("Snare Drum", &measures)]));
    let said: Vec<String> =
        work_of(&reading).movements[0].timeline.marks.iter().map(|mark| mark.words.clone()).collect();
    assert_eq!(said.concat(), "Presto", "{said:?}");
}

#[test]
fn pitches_under_a_percussion_clef_are_places_on_the_staff() {
    let text = clef("percussion") + &note("C5", 8) + &note("E4", 8);
    let reading = read(&partwise(&[part("Tom-toms", &[&text])]));
    let counts: Vec<(&str, u32)> =
        reading.lines[0].unpitched.iter().map(|n| (n.name.as_str(), n.count)).collect();
    assert_eq!(counts, [("on C5", 1), ("on E4", 1)]);
}

#[test]
fn percussion_beside_another_instrument_is_named() {
    let reading = read(&partwise(&[part("Piano, Celesta", &[&note("C5", 16)])]));
    assert!(reading.lines.is_empty());
    assert!(reading.problems.iter().any(|p| p.code == "named-beside" && p.what.contains("Celesta")));
}

#[test]
fn wide_text_and_marks_at_the_front_are_read() {
    let text = partwise(&[part("Große Trommel", &[&struck(16)])]);
    let expected = read(&text);
    let mut little = vec![0xFF, 0xFE];
    little.extend(text.encode_utf16().flat_map(u16::to_le_bytes));
    let mut big = vec![0xFE, 0xFF];
    big.extend(text.encode_utf16().flat_map(u16::to_be_bytes));
    let mut marked = vec![0xEF, 0xBB, 0xBF];
    marked.extend(text.bytes());
    for bytes in [little, big, marked] {
        let reading = read_score("made.musicxml", &bytes, &kinds(), &ReadOptions::default()).unwrap();
        assert_eq!(reading, expected);
    }
    let latin = text.replace("<?xml version=\"1.0\"?>", "<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?>");
    let latin: Vec<u8> = latin.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    let reading = read_score("made.musicxml", &latin, &kinds(), &ReadOptions::default()).unwrap();
    assert_eq!(kinds_of(&reading), ["bass_drum"]);
}
