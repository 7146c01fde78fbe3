//! What a score says, beyond names: when each stroke comes, words that change nothing, strokes that must not be dropped.
//! Scores of our own making; the habits of parts are common practice, from memory.

#[path = "score_made/mod.rs"]
mod made;

use backrow_core::music::{Attack, Dynamic, TICKS};
use backrow_files::score::{ReadOptions, ScoreReading, read_score, work_of};
use made::{clef, kind_of, kinds, kinds_of, note, part, partwise, read, rest, struck, with, words};
use rstest::rstest;

fn dynamics(sign: &str) -> String {
    format!("<direction><direction-type><dynamics><{sign}/></dynamics></direction-type></direction>")
}

#[test]
fn every_stroke_keeps_its_moment_and_its_dynamic() {
    let repeat = "<barline><repeat direction=\"backward\"/></barline>";
    let tie = |kind: &str| format!("<tie type=\"{kind}\"/>");
    let tied = with("Bb2", 4, "", &tie("start")) + &with("Bb2", 4, "", &tie("stop"));
    let one = dynamics("f") + &note("Bb2", 4) + &rest(2) + &note("F2", 2) + &tied + repeat;
    let two = dynamics("pp") + &note("D3", 8) + &struck(8);
    let work = work_of(&read(&partwise(&[part("Timpani", &[&one, &two])])));
    let timeline = &work.movements[0].timeline;
    let strokes = work.lines[0].strokes(timeline);
    let facts: Vec<(String, u32, f64, u64, Option<u32>)> = strokes
        .iter()
        .map(|s| {
            let name = match s.what {
                Attack::Note(written, _) => written.ascii(),
                Attack::Plain(_) => "x".to_owned(),
            };
            (name, s.struck.played, s.struck.quarter(), s.struck.at_us, s.struck.lasts_us)
        })
        .collect();
    let pass = |played: u32, start: u64| {
        [
            ("Bb2".to_owned(), played, 1.0, start, Some(1_000_000)),
            ("F2".to_owned(), played, 2.5, start + 1_500_000, Some(500_000)),
            ("Bb2".to_owned(), played, 3.0, start + 2_000_000, Some(2_000_000)),
        ]
    };
    let mut expected: Vec<_> = pass(0, 0).into_iter().chain(pass(1, 4_000_000)).collect();
    expected.push(("D3".to_owned(), 2, 1.0, 8_000_000, Some(2_000_000)));
    expected.push(("x".to_owned(), 2, 3.0, 10_000_000, Some(2_000_000)));
    assert_eq!(facts, expected);
    assert!(strokes.iter().all(|stroke| stroke.known));
    let loud = |at: usize| strokes[at].struck.dynamic;
    assert_eq!((loud(0), loud(5), loud(6)), (Some(Dynamic::F), Some(Dynamic::F), Some(Dynamic::Pp)));
    assert_eq!(strokes[1].struck.ticks, TICKS * 3 / 2);
}

/// Beats are those of the time signature in force: a note on the fourth quaver of 6/8 stands on beat 4, also in the measure after
/// it, and in 2/2 the third crotchet is beat 2; 3/4 is as long as 6/8 and counts crotchets.
#[test]
fn a_beat_follows_the_time_signature() {
    let time = |beats: u32, of: u32| {
        format!("<attributes><time><beats>{beats}</beats><beat-type>{of}</beat-type></time></attributes>")
    };
    let fourth = || rest(6) + &note("C5", 6);
    let compound = time(6, 8) + &fourth();
    let half = time(2, 2) + &rest(8) + &note("C5", 8);
    let three = time(3, 4) + &fourth();
    let measures = [note("C5", 16), compound, fourth(), half, three];
    let measures: Vec<&str> = measures.iter().map(String::as_str).collect();
    let work = work_of(&read(&partwise(&[part("Xylophone", &measures)])));
    let timeline = &work.movements[0].timeline;
    assert_eq!(timeline.measures.iter().map(|measure| measure.of).collect::<Vec<_>>(), [4, 8, 8, 2, 4]);
    let beats: Vec<f64> = work.lines[0].strokes(timeline).iter().map(|s| timeline.beat(&s.struck)).collect();
    assert_eq!(beats, [1.0, 4.0, 4.0, 2.0, 2.5]);
}

#[rstest]
#[case("with B.D.")]
#[case("on bell")]
#[case("(cue: Timpani)")]
#[case("Timpani cue")]
#[case("Cl.")]
#[case("Hn.")]
#[case("Ch.")]
#[case("like a gong")]
#[case("solo with xylophone")]
fn words_that_change_no_instrument(#[case] text: &str) {
    let second = words(text) + &struck(16);
    let reading = read(&partwise(&[part("Snare Drum", &[&struck(16), &second])]));
    assert_eq!(kinds_of(&reading), ["snare_drum"], "{text}");
    assert_eq!(reading.lines[0].unpitched.iter().map(|n| n.count).sum::<u32>(), 2);
    assert!(reading.lines[0].doubts.iter().any(|doubt| doubt.contains("m. 2")), "{:?}", reading.lines[0]);
}

#[test]
fn unknown_words_stand_beside_their_line_with_what_was_assumed() {
    let second = words("Wumpus Bl.") + &struck(16);
    let reading = read(&partwise(&[part("Snare Drum", &[&struck(16), &second])]));
    let line = &reading.lines[0];
    assert_eq!(line.doubts, ["m. 2: “Wumpus Bl.” is not known; the notes after it stay here"]);
    assert_eq!(line.degree.word(), "likely", "no longer sure");
    let problem = reading.problems.iter().find(|p| p.code == "words").expect("it is told");
    assert!(problem.place.contains("Snare Drum"), "{problem}");
    assert!(work_of(&reading).lines[0].evidence.iter().any(|text| text.contains("Wumpus")));
}

#[test]
fn plain_words_are_no_doubt_and_words_of_all_are_nobodys() {
    let second = words("poco a poco cresc.") + &words("Wumpus") + &struck(16);
    let violin = words("Wumpus") + &note("A4", 16);
    let parts = [part("Violin", &[&note("A4", 16), &violin]), part("Snare Drum", &[&struck(16), &second])];
    let reading = read(&partwise(&parts));
    assert_eq!(reading.lines[0].doubts, Vec::<String>::new());
}

#[rstest]
#[case("Piano")]
#[case("Voice")]
#[case("Tenor")]
#[case("Keyboard")]
fn strokes_without_pitch_count_whatever_the_part_is_called(#[case] name: &str) {
    let own = clef("percussion") + &note("C5", 16);
    let reading = read(&partwise(&[part(name, &[&own, &struck(16)])]));
    assert_eq!(reading.lines.len(), 1, "{name}");
    assert_eq!(kind_of(&reading.lines[0]), "?", "the user says what it is");
    assert_eq!(reading.lines[0].unpitched.iter().map(|n| n.count).sum::<u32>(), 2);
    assert!(reading.lines[0].evidence[0].contains(name), "{:?}", reading.lines[0].evidence);
}

#[rstest]
#[case("Bass xylophone", "xylophone")]
#[case("Alto metallophone", "metallophone")]
fn how_low_it_is_does_not_hide_it(#[case] name: &str, #[case] kind: &str) {
    let reading = read(&partwise(&[part(name, &[&note("C4", 16)])]));
    assert_eq!(kinds_of(&reading), [kind], "{name}");
}

#[test]
fn a_sort_of_percussion_is_percussion() {
    let reading = read(&partwise(&[part("Keyboard perc.", &[&note("C5", 16)])]));
    assert_eq!(kinds_of(&reading), ["?"], "listed, for the user to say");
}

#[test]
fn a_da_capo_without_a_fine_is_told() {
    let reading = read(&partwise(&[part("Triangle", &[&struck(16), &(words("M.D.C.") + &struck(16))])]));
    assert_eq!(made::order(&reading), "1 2 1 2");
    assert!(reading.problems.iter().any(|p| p.code == "no-fine" && p.place.contains("m. 2")));
}

#[test]
fn notes_of_the_piano_stay_its_own() {
    let reading = read(&partwise(&[part("Piano", &[&note("C4", 16)])]));
    assert!(reading.lines.is_empty());
}

#[test]
fn an_invisible_clef_is_no_percussion_clef() {
    let text = clef("none") + &note("C4", 16);
    assert!(read(&partwise(&[part("Lute", &[&text])])).lines.is_empty());
}

/// A MIDI file of one track: its name, and four strokes of one key on a channel.
fn midi(name: &str, channel: u8, program: u8, key: u8) -> ScoreReading {
    midi_in(None, name, channel, program, key)
}

/// The same with a key signature: sharps, and 1 for minor.
fn midi_in(signature: Option<(i8, u8)>, name: &str, channel: u8, program: u8, key: u8) -> ScoreReading {
    let mut track = vec![0, 0xFF, 0x03, u8::try_from(name.len()).expect("a short name")];
    track.extend_from_slice(name.as_bytes());
    if let Some((sharps, minor)) = signature {
        track.extend_from_slice(&[0, 0xFF, 0x59, 2, sharps.cast_unsigned(), minor]);
    }
    track.extend_from_slice(&[0, 0xC0 | (channel - 1), program - 1]);
    for _ in 0..4 {
        track.extend_from_slice(&[0, 0x90 | (channel - 1), key, 80, 96, 0x80 | (channel - 1), key, 0]);
    }
    track.extend_from_slice(&[0, 0xFF, 0x2F, 0]);
    let mut file = b"MThd\x00\x00\x00\x06\x00\x01\x00\x01\x00\x60MTrk".to_vec();
    file.extend_from_slice(&u32::try_from(track.len()).expect("a short track").to_be_bytes());
    file.extend_from_slice(&track);
    read_score("made.mid", &file, &kinds(), &ReadOptions::default()).expect("it reads")
}

#[test]
fn a_channel_in_a_tracks_name_is_no_instrument() {
    assert!(midi("MIDI Ch. 2", 2, 1, 60).lines.is_empty());
}

/// Programs of General MIDI level 1 (MIDI Association, GM sound set), counted from 1.
#[rstest]
#[case("", 10, &["glockenspiel"])]
#[case("", 11, &["glockenspiel"])]
#[case("", 12, &["vibraphone"])]
#[case("", 16, &["cimbalom"])]
#[case("", 117, &["taiko"])]
#[case("", 113, &["handbells"])]
#[case("", 119, &["tom_toms"])]
#[case("", 120, &[])]
// What plays is plainer than which part it has.
#[case("Lead2", 10, &["glockenspiel"])]
#[case("synth01", 10, &["glockenspiel"])]
#[case("Synth pad", 12, &["vibraphone"])]
#[case("Lead", 81, &[])]
#[case("Flute", 10, &[])]
#[case("Lead guitar", 10, &[])]
fn a_program_of_midi_is_percussion(#[case] name: &str, #[case] program: u8, #[case] kinds: &[&str]) {
    assert_eq!(kinds_of(&midi(name, 2, program, 72)), kinds, "{name} {program}");
}

#[test]
fn a_key_signature_spells_what_midi_only_numbers() {
    let spelled = |signature| {
        let reading = midi_in(signature, "Timpani", 1, 48, 46);
        reading.lines[0].notes[0].written.ascii()
    };
    assert_eq!(spelled(Some((-2, 0))), "Bb2", "B flat major");
    assert_eq!(spelled(Some((5, 0))), "A#2", "B major");
    assert_eq!(spelled(None), "A#2", "nothing says otherwise");
}

/// Keys of the percussion map of General MIDI level 1 (MIDI Association), 35 to 81; a key beyond it is a line that is still to be
/// identified, named by its number.
#[rstest]
#[case(39, Some("hand_claps"))]
#[case(81, Some("triangle"))]
#[case(34, None)]
#[case(82, None)]
#[case(117, None)]
fn keys_of_channel_ten(#[case] key: u8, #[case] kind: Option<&str>) {
    let reading = midi("Percussion", 10, 1, key);
    assert_eq!(reading.lines.len(), 1, "no stroke is dropped in silence");
    let line = &reading.lines[0];
    assert_eq!(line.kind.as_ref().map(backrow_core::id::KindId::as_str), kind, "{line:?}");
    assert_eq!(line.unpitched.iter().map(|n| n.count).sum::<u32>(), 4);
    let named = format!("{line:?} {:?}", reading.problems);
    assert!(kind.is_some() || named.contains(&format!("key {key}")), "{named}");
}

#[test]
fn strokes_of_channel_ten_count_in_any_track() {
    let reading = midi("Piano", 10, 1, 38);
    assert_eq!(kinds_of(&reading), ["snare_drum"]);
    assert_eq!(reading.lines[0].unpitched.iter().map(|n| n.count).sum::<u32>(), 4);
}

#[test]
fn a_cymbal_that_is_struck_with_a_mallet_is_no_pair() {
    let text = words("mit Schwammschlägeln") + &struck(16);
    assert_eq!(kinds_of(&read(&partwise(&[part("Cymbals", &[&text])]))), ["suspended_cymbal"]);
    assert_eq!(kinds_of(&read(&partwise(&[part("Cymbals", &[&struck(16)])]))), ["cymbals_pair"]);
}

#[test]
fn a_few_notes_outside_the_compass_are_named_with_their_measures() {
    let high = note("C5", 4) + &note("E5", 4) + &note("G5", 4) + &note("C6", 4);
    let odd = note("C2", 16);
    let reading = read(&partwise(&[part("Xylophone", &[&high, &high, &odd])]));
    assert_eq!(reading.lines[0].octave_offer, None, "the whole part is not moved for one note");
    let told = reading.problems.iter().find(|p| p.code == "some-outside").expect("it is told");
    assert!(told.what.contains("1 of 9 notes, m. 3,"), "{told}");
    assert_eq!(reading.lines[0].doubts, std::slice::from_ref(&told.what), "beside its line");
}

/// What is doubtful about a line's octave or range stands beside it, and in the work that is made of it once.
#[rstest]
#[case(&["C1", "E1"], "would fit")]
#[case(&["C1", "C8"], "no octave brings them into a usual compass")]
fn a_doubtful_octave_stands_beside_its_line(#[case] notes: &[&str], #[case] says: &str) {
    let text: String = notes.iter().map(|name| note(name, 8)).collect();
    let reading = read(&partwise(&[part("Marimba", &[&text])]));
    let doubts = &reading.lines[0].doubts;
    assert!(matches!(doubts.as_slice(), [one] if one.contains(says)), "{doubts:?}");
    let evidence = &work_of(&reading).lines[0].evidence;
    assert_eq!(evidence.iter().filter(|text| *text == &doubts[0]).count(), 1, "{evidence:?}");
}

/// Where a score has both, the bells that are no chimes are the small ones.
#[test]
fn bells_beside_chimes_are_not_the_same() {
    let parts = [part("Bells", &[&note("C6", 16)]), part("Chimes", &[&note("C5", 16)])];
    let reading = read(&partwise(&parts));
    assert_eq!(kinds_of(&reading), ["glockenspiel", "tubular_bells"]);
}

/// Abbreviations that many things share are not sure by themselves.
#[rstest]
#[case("Tub.")]
#[case("Tb.")]
#[case("Ch.")]
#[case("Can.")]
#[case("Gui.")]
#[case("DJ")]
fn a_short_word_alone_is_not_sure(#[case] name: &str) {
    let reading = read(&partwise(&[part(name, &[&struck(16)])]));
    assert!(
        reading.lines.iter().all(|line| line.degree.word() != "sure"),
        "{name}: {:?}",
        reading.lines.iter().map(|line| (kind_of(line), line.degree.word())).collect::<Vec<_>>()
    );
}

/// Timpani by an old spelling, pitched, with nothing else that says so.
#[rstest]
#[case("Tympani")]
#[case("Tymp.")]
fn an_old_spelling_of_timpani(#[case] name: &str) {
    let reading = read(&partwise(&[part(name, &[&(clef("F") + &note("F2", 16))])]));
    assert_eq!(kinds_of(&reading), ["timpani"], "{name}");
}

/// The count of mallets stands with the line, in the part's own words.
#[rstest]
#[case("4 mallets")]
#[case("four sticks")]
#[case("4 Schlägel")]
#[case("quatre baguettes")]
#[case("quattro bacchette")]
fn four_mallets_stand_with_their_line(#[case] text: &str) {
    let reading = read(&partwise(&[part("Vibraphone", &[&(words(text) + &note("C5", 16))])]));
    let work = work_of(&reading);
    assert_eq!(work.lines[0].beaters, [text]);
}

/// A later count holds from its measure, and a count that is in force already is not said again.
#[test]
fn a_later_count_of_mallets_says_from_where() {
    let measures = [
        words("4 mallets") + &note("C5", 16),
        note("C5", 16),
        words("2 mallets") + &note("C5", 16),
        words("2 mallets") + &note("C5", 16),
        words("hard rubber") + &note("C5", 16),
        words("4 mallets") + &note("C5", 16),
    ];
    let measures: Vec<&str> = measures.iter().map(String::as_str).collect();
    let work = work_of(&read(&partwise(&[part("Vibraphone", &measures)])));
    let asked = ["4 mallets", "2 mallets from m. 3", "hard rubber", "4 mallets from m. 6"];
    assert_eq!(work.lines[0].beaters, asked);
    let reason = "“2 mallets from m. 3” holds until the part counts the mallets again".to_owned();
    assert!(work.lines[0].evidence.contains(&reason), "{:?}", work.lines[0].evidence);
}
