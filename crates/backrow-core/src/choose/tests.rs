use super::*;
use crate::collection::{Beater, DeadBar, Instrument, Kind, Material, Owner, Pitched, Place, UsualBeater};
use crate::edit::apply;
use crate::id::{KindId, PlaceId, PlayerId, ProgrammeId, WeekId};
use crate::music::{Line, UnpitchedNote};
use crate::pitch::{Octave, ReferenceA};
use crate::sample::{
    at, beater, instrument, key, kind, library_of, line, player, programme, service, venue, work,
};
use crate::week::{Assignment, Instead, Week};
use rstest::rstest;

/// Reads "felt", "wood", "soft" and the like by the trade's own words.
fn wanted(words: &[String]) -> Wanted {
    let said = |word: &str| words.iter().any(|text| text.split(' ').any(|part| part == word));
    Wanted {
        heads: Head::ALL.into_iter().filter(|head| said(head.word())).collect(),
        hardness: Hardness::ALL.into_iter().find(|hardness| said(hardness.word())),
    }
}

/// What a table row says becomes a library with one work `w` in programme `p`.
struct Table {
    kinds: Vec<Kind>,
    things: Vec<Instrument>,
    beaters: Vec<Beater>,
    lines: Vec<Line>,
    given: Vec<(&'static str, Assignment)>,
}

/// A line at its own second, so that none overlap unless told to.
fn noted(id: &str, of: &str, written: &str, second: f64) -> Line {
    let mut line = line(id, Some(of), Octave::AS_WRITTEN, written);
    line.printed = of.to_owned();
    for passage in &mut line.passages {
        (passage.from_s, passage.to_s) = (second, second + 1.0);
    }
    line
}

fn on(player_id: &str, things: &[&str]) -> Assignment {
    Assignment {
        player: (!player_id.is_empty()).then(|| PlayerId::new(player_id).unwrap()),
        instruments: things.iter().map(|id| InstrumentId::new(id).unwrap()).collect(),
        ..Assignment::default()
    }
}

/// The edits that give a line what an assignment says.
fn gives(programme: &str, row: &str, given: &Assignment) -> Vec<Edit> {
    let (programme, line) = (ProgrammeId::new(programme).unwrap(), at("w", row));
    let of = || (programme.clone(), line.clone());
    let mut edits = Vec::new();
    if let Some(player) = given.player.clone() {
        let (programme, line) = of();
        edits.push(Edit::Assign { programme, line, player: Some(player) });
    }
    if !given.instruments.is_empty() {
        let (programme, line) = of();
        edits.push(Edit::UseInstruments { programme, line, instruments: given.instruments.clone() });
    }
    if !given.beaters.is_empty() {
        let (programme, line) = of();
        edits.push(Edit::UseBeaters { programme, line, beaters: given.beaters.clone() });
    }
    edits
}

fn room(id: &str) -> Place {
    let (name, remark) = (id.to_owned(), String::new());
    Place { id: PlaceId::new(id).unwrap(), name, remark, lift: None, air: Vec::new() }
}

impl Table {
    fn new(kinds: &[&str]) -> Self {
        let kinds = kinds.iter().map(|id| kind(id, Pitched::Sometimes, None)).collect();
        Self { kinds, things: Vec::new(), beaters: Vec::new(), lines: Vec::new(), given: Vec::new() }
    }

    fn library(&self, earlier: &[(&str, Assignment)]) -> Library {
        let mut first = service("first", "before", 10);
        first.start = jiff::civil::date(2030, 3, 4).at(10, 0, 0, 0);
        let week = Week {
            id: WeekId::new("k").unwrap(),
            title: "Week".to_owned(),
            programmes: vec![programme("p", &["w"]), programme("before", &["w"])],
            services: vec![service("now", "p", 10), first],
        };
        let mut edits: Vec<Edit> = self.kinds.iter().cloned().map(Edit::PutKind).collect();
        edits.extend([Edit::PutPlayer(player("a", 0)), Edit::PutPlayer(player("b", 1))]);
        edits.extend(["room-1", "room-2"].map(|id| Edit::PutPlace(room(id))));
        edits.push(Edit::PutVenue(venue("hall")));
        edits.extend(self.things.iter().cloned().map(Edit::PutInstrument));
        edits.extend(self.beaters.iter().cloned().map(Edit::PutBeater));
        edits.push(Edit::PutWork(work("w", self.lines.clone())));
        edits.push(Edit::PutWeek(week));
        edits.extend(self.given.iter().flat_map(|(id, given)| gives("p", id, given)));
        edits.extend(earlier.iter().flat_map(|(id, given)| gives("before", id, given)));
        library_of(edits)
    }

    fn propose(&self) -> Vec<Choice> {
        proposed(&self.library(&[]))
    }
}

fn proposed(library: &Library) -> Vec<Choice> {
    let id = ProgrammeId::new("p").unwrap();
    propose(&Ask { library, programme: library.programme(&id).unwrap(), wanted: &wanted })
}

/// "xyl: xylophone-1" a line, with `?` where somebody must say yes.
fn instruments(choices: &[Choice]) -> Vec<String> {
    let names = |pick: &Pick<InstrumentId>| {
        let ids: Vec<&str> = pick.chosen.iter().map(InstrumentId::as_str).collect();
        format!("{}{}", ids.join("+"), if pick.asks { "?" } else { "" })
    };
    let row =
        |choice: &Choice| Some(format!("{}: {}", choice.line.line, names(choice.instruments.as_ref()?)));
    choices.iter().filter_map(row).collect()
}

fn of<'a>(choices: &'a [Choice], id: &str) -> &'a Choice {
    choices.iter().find(|choice| choice.line.line.as_str() == id).unwrap()
}

#[test]
fn one_xylophone_for_the_evening_unless_two_sound_at_once() {
    let mut table = Table::new(&["xylophone"]);
    table.things = vec![
        instrument("a-small", "xylophone", &["C5-C7"]),
        instrument("b-large", "xylophone", &["F4-C8"]),
        instrument("c-large", "xylophone", &["F4-C8"]),
    ];
    table.lines = vec![noted("one", "xylophone", "C5 C6", 0.0), noted("two", "xylophone", "F4 C8", 10.0)];
    assert_eq!(instruments(&table.propose()), ["one: b-large", "two: b-large"]);
    table.lines.push(noted("three", "xylophone", "C5", 10.5));
    let choices = table.propose();
    assert_eq!(instruments(&choices)[..2], ["one: b-large", "two: b-large"]);
    assert_ne!(instruments(&choices)[2], "three: b-large", "both sound at 10.5 s");
    // One player has both: then one instrument does.
    table.given = vec![("two", on("a", &[])), ("three", on("a", &[]))];
    assert_eq!(instruments(&table.propose()), ["one: b-large", "two: b-large", "three: b-large"]);
}

#[test]
fn what_was_chosen_by_hand_stays_and_is_used_again() {
    let mut table = Table::new(&["triangle"]);
    table.things = vec![instrument("a", "triangle", &[]), instrument("b", "triangle", &[])];
    table.lines = vec![noted("one", "triangle", "", 0.0), noted("two", "triangle", "", 10.0)];
    table.given = vec![("one", on("", &["b"]))];
    let choices = table.propose();
    assert_eq!(instruments(&choices), ["two: b"]);
    assert_eq!(of(&choices, "two").instruments.as_ref().unwrap().reason, "it is used this evening anyway");
    assert_eq!(of(&choices, "two").instruments.as_ref().unwrap().next, [InstrumentId::new("a").unwrap()]);
}

#[rstest]
#[case::ours_before_lent(|thing: &mut Instrument| thing.owner = Owner::Other("a school".into()), "it is ours", "it is lent")]
#[case::sound_before_worn(|thing: &mut Instrument| thing.condition = "cracked".into(), "it is in the better state", "in a worse state")]
#[case::our_a(|thing: &mut Instrument| thing.tuned_to = ReferenceA::new(445.0).ok(), "it is nearer to our A", "tuned to another A")]
#[case::name(|_: &mut Instrument| (), "first by name", "as good, after it by name")]
fn reasons(#[case] spoil: fn(&mut Instrument), #[case] reason: &str, #[case] next: &str) {
    let mut table = Table::new(&["cymbal"]);
    let mut other = instrument("a-other", "cymbal", &[]);
    spoil(&mut other);
    // Its name would come first but for the fact.
    let first = if reason == "first by name" { "a-first" } else { "b-first" };
    table.things = vec![instrument(first, "cymbal", &[]), other];
    table.lines = vec![noted("one", "cymbal", "", 0.0)];
    let choices = table.propose();
    let pick = choices[0].instruments.as_ref().unwrap();
    assert_eq!(pick.chosen, [InstrumentId::new(first).unwrap()], "{pick:?}");
    assert!(pick.reason.ends_with(reason), "{pick:?}");
    assert_eq!(pick.next_reason, next);
}

/// What is near goes before what is not: in its player's hands, on the floor, in the room of most of what is used.
#[rstest]
#[case::in_hand(Some("a"), false, "its player has it already", "one more instrument to carry")]
#[case::on_the_floor(None, true, "it stands on the floor", "not on the floor")]
#[case::in_the_room(None, false, "it is stored with the others", "stored in another room")]
fn what_is_near(
    #[case] player_has_it: Option<&str>,
    #[case] stands: bool,
    #[case] reason: &str,
    #[case] next: &str,
) {
    let mut table = Table::new(&["cymbal", "triangle"]);
    let in_room = |id: &str, kind: &str, room: &str| Instrument {
        place: Some(PlaceId::new(room).unwrap()),
        ..instrument(id, kind, &[])
    };
    // What is far would come first by name; where another fact decides both are in one room.
    let far = if player_has_it.is_some() || stands { "room-1" } else { "room-2" };
    table.things = vec![
        in_room("a-far", "cymbal", far),
        in_room("b-near", "cymbal", "room-1"),
        in_room("tri", "triangle", "room-1"),
    ];
    table.lines = vec![noted("one", "cymbal", "", 0.0), noted("two", "triangle", "", 10.0)];
    table.given = vec![("two", on("b", &["tri"]))];
    if let Some(player) = player_has_it {
        table.lines.push(noted("three", "cymbal", "", 20.0));
        table.given.extend([("one", on("a", &[])), ("three", on(player, &["b-near"]))]);
    }
    let mut library = table.library(&[]);
    if stands {
        let at = crate::collection::Point::new(0.0, 2.0);
        let placement = crate::week::Placement { at, turn_deg: 0.0, number: 1, locked: false };
        let (programme, instrument) = (ProgrammeId::new("p").unwrap(), InstrumentId::new("b-near").unwrap());
        library = apply(&library, &Edit::Stand { programme, instrument, placement }).unwrap();
    }
    let choices = proposed(&library);
    let pick = of(&choices, "one").instruments.as_ref().unwrap();
    assert_eq!(pick.chosen, [InstrumentId::new("b-near").unwrap()], "{pick:?}");
    assert!(pick.reason.ends_with(reason), "{pick:?}");
    assert_eq!(pick.next_reason, next);
}

/// What a line of the kind had last time in another work of the composer; of nobody's work nothing is like it.
#[rstest]
#[case("A. Nemo", "b", "a work like it had it last time")]
#[case("B. Nemo", "a", "first by name")]
#[case("", "a", "first by name")]
fn what_a_work_like_it_had(#[case] composer: &str, #[case] chosen: &str, #[case] reason: &str) {
    let mut table = Table::new(&["triangle"]);
    table.kinds[0].usual = vec![UsualBeater { head: Head::Steel, hardness: None }];
    table.things = vec![instrument("a", "triangle", &[]), instrument("b", "triangle", &[])];
    table.beaters = ["steel-1", "steel-2"].map(|id| Beater { head: Head::Steel, ..beater(id) }).to_vec();
    table.lines = vec![noted("one", "triangle", "", 0.0)];
    let mut old = work("v", vec![noted("old", "triangle", "", 0.0)]);
    old.composer = composer.to_owned();
    let mut before = programme("before", &["v"]);
    let beaters = vec![BeaterId::new("steel-2").unwrap()];
    before.assign(at("v", "old"), Assignment { beaters, ..on("a", &["b"]) });
    let week = WeekId::new("k").unwrap();
    let edits = vec![Edit::PutWork(old), Edit::PutProgramme { week, programme: before }];
    let together = Edit::Together { words: String::new(), edits };
    let library = apply(&table.library(&[]), &together).unwrap();
    let choices = proposed(&library);
    let pick = choices[0].instruments.as_ref().unwrap();
    assert_eq!(pick.chosen, [InstrumentId::new(chosen).unwrap()], "{pick:?}");
    assert!(pick.reason.ends_with(reason), "{pick:?}");
    let with = choices[0].beaters.as_ref().unwrap();
    let alike = reason.contains("like it");
    let expected = if alike { "steel-2" } else { "steel-1" };
    assert_eq!(with.chosen, [BeaterId::new(expected).unwrap()], "{with:?}");
    assert_eq!(with.reason == "a work like it had them last time", alike, "{with:?}");
}

#[test]
fn without_pitch_the_kind_decides_and_never_the_bars() {
    let mut table = Table::new(&["suspended_cymbal", "sizzle_cymbal", "bass_marimba"]);
    table.things = vec![instrument("bass-marimba", "bass_marimba", &["C2-F4"])];
    table.lines = vec![noted("one", "suspended_cymbal", "", 0.0)];
    let nothing = table.propose();
    assert_eq!(instruments(&nothing), ["one: "], "no bass marimba for a cymbal");
    let reason = &nothing[0].instruments.as_ref().unwrap().reason;
    assert_eq!(reason, "the collection has no suspended cymbal: hire one or add it");
    // A kind that is like it waits for a yes.
    table.kinds[0].like = vec![KindId::new("sizzle_cymbal").unwrap()];
    table.things.push(instrument("sizzle", "sizzle_cymbal", &[]));
    let instead = table.propose();
    assert_eq!(instruments(&instead), ["one: sizzle?"]);
    assert!(instead[0].instruments.as_ref().unwrap().reason.contains("instead of suspended cymbal"));
    table.things.push(instrument("cymbal", "suspended_cymbal", &[]));
    assert_eq!(instruments(&table.propose()), ["one: cymbal"]);
}

#[test]
fn the_parts_own_words() {
    let mut table = Table::new(&["wood_block"]);
    table.things = vec![
        instrument("wood-block-high", "wood_block", &[]),
        instrument("wood-block-low", "wood_block", &[]),
    ];
    let mut low = noted("low", "wood_block", "", 0.0);
    low.printed = "low wood block".to_owned();
    let mut both = noted("both", "wood_block", "", 10.0);
    both.passages[0].unpitched = ["low", "high"].map(|name| UnpitchedNote::new(name, 1)).to_vec();
    table.lines = vec![low, both];
    let found = instruments(&table.propose());
    assert_eq!(found[1], "both: wood-block-high+wood-block-low");
    table.lines.pop();
    assert_eq!(instruments(&table.propose()), ["low: wood-block-low"]);
}

#[test]
fn several_together_a_part_and_nothing() {
    let mut table = Table::new(&["crotales"]);
    table.things =
        vec![instrument("low", "crotales", &["C6-C7"]), instrument("high", "crotales", &["C7-C8"])];
    table.lines = vec![noted("one", "crotales", "D6 D7", 0.0)];
    assert_eq!(instruments(&table.propose()), ["one: high+low"]);
    table.lines = vec![noted("one", "crotales", "D6 D8", 0.0)];
    let part = table.propose();
    assert_eq!(instruments(&part), ["one: low?"]);
    assert!(part[0].instruments.as_ref().unwrap().reason.contains("lacks D8"), "{part:?}");
    let mut broken = instrument("low", "crotales", &["C6-C7"]);
    broken.frames[0].dead = vec![DeadBar { key: key("D6"), since: None, why: String::new() }];
    table.things = vec![broken];
    table.lines = vec![noted("one", "crotales", "D6", 0.0)];
    assert_eq!(instruments(&table.propose()), ["one: "]);
}

/// Timpani as the kinds table has them, and drums of these ranges.
fn timpani(drums: &[(&str, &[&str])]) -> Table {
    let mut table = Table::new(&["timpani"]);
    table.kinds[0].family = crate::collection::Family::Timpani;
    table.kinds[0].layout = crate::collection::Layout::Drums;
    table.kinds[0].pitched = Pitched::Yes;
    let drum = |(id, ranges): &(&str, &[&str])| Instrument {
        layout: crate::collection::Layout::Drums,
        ..instrument(id, "timpani", ranges)
    };
    table.things = drums.iter().map(drum).collect();
    table
}

#[test]
fn drums_that_cannot_be_retuned_in_time_must_be_looked_at() {
    let mut table = timpani(&[("pair", &["F2-C3", "A#2-F3"])]);
    table.lines = vec![noted("two", "timpani", "F2 C3", 0.0), noted("three", "timpani", "F2 C3 D3", 10.0)];
    let choices = table.propose();
    assert_eq!(instruments(&choices), ["two: pair", "three: pair?"]);
    let reason = |row: &str| of(&choices, row).instruments.as_ref().unwrap().reason.clone();
    assert_eq!(reason("two"), "2 drums do it without retuning");
    assert!(
        reason("three").starts_with("the only timpani") || reason("three").contains(';'),
        "{}",
        reason("three")
    );
}

#[test]
fn single_drums_that_do_together_are_chosen_together() {
    let single: &[(&str, &[&str])] = &[("d29", &["F2-C3"]), ("d26", &["A#2-F3"]), ("d23", &["D3-A3"])];
    let mut table = timpani(single);
    table.lines = vec![noted("two", "timpani", "F2 C3", 0.0), noted("three", "timpani", "F2 C3 E3", 10.0)];
    let choices = table.propose();
    assert_eq!(instruments(&choices), ["two: d26+d29", "three: d23+d26+d29"]);
    let pick = of(&choices, "three").instruments.clone().unwrap();
    assert!(!pick.asks && pick.reason.contains("3 drums do it without retuning"), "{}", pick.reason);
    // A whole set that can do it goes before drums that would have to be put together.
    let mut table = timpani(&[single, &[("set", &["F2-C3", "A#2-F3", "D3-A3"])]].concat());
    table.lines = vec![noted("three", "timpani", "F2 C3 E3", 10.0)];
    let choices = table.propose();
    assert_eq!(instruments(&choices), ["three: set"]);
    let next = &of(&choices, "three").instruments.as_ref().unwrap().next;
    assert_eq!(next.len(), 3, "the single drums are the next best: {next:?}");
}

#[test]
fn one_instrument_and_two_lines_at_once() {
    let mut table = Table::new(&["triangle"]);
    table.things = vec![instrument("only", "triangle", &[])];
    table.lines = vec![noted("one", "triangle", "", 0.0), noted("two", "triangle", "", 0.5)];
    let choices = table.propose();
    assert_eq!(instruments(&choices), ["one: only", "two: "]);
    assert!(
        of(&choices, "two")
            .instruments
            .as_ref()
            .unwrap()
            .reason
            .starts_with("every one that covers it is playing")
    );
}

/// Two lines at once, and two xylophones: the second is free for one of them, unless a note of the other is played there.
#[rstest]
#[case::free(None, "two: b")]
#[case::taken_by_a_note(Some("b"), "two: ")]
fn a_note_on_another_instrument_takes_it(#[case] instead: Option<&str>, #[case] chosen: &str) {
    let mut table = Table::new(&["xylophone"]);
    table.things = vec![instrument("a", "xylophone", &["C5-C7"]), instrument("b", "xylophone", &["C5-C8"])];
    table.lines = vec![noted("one", "xylophone", "C5 C8", 0.0), noted("two", "xylophone", "C5", 0.5)];
    table.given = vec![("one", on("", &["a"]))];
    let mut library = table.library(&[]);
    if let Some(id) = instead {
        let note = Edit::Decide {
            programme: ProgrammeId::new("p").unwrap(),
            line: at("w", "one"),
            key: key("C8"),
            instead: Some(Instead::On(InstrumentId::new(id).unwrap())),
        };
        library = apply(&library, &note).unwrap();
    }
    assert_eq!(instruments(&proposed(&library)), [chosen]);
}

#[test]
fn what_it_had_last_time() {
    let mut table = Table::new(&["triangle"]);
    table.kinds[0].usual = vec![UsualBeater { head: Head::Steel, hardness: None }];
    table.things = vec![instrument("a", "triangle", &[]), instrument("b", "triangle", &[])];
    let steel = |id: &str| Beater { head: Head::Steel, ..beater(id) };
    table.beaters = vec![steel("steel-1"), steel("steel-2")];
    table.lines = vec![noted("one", "triangle", "", 0.0)];
    let mut had = on("a", &["b"]);
    had.beaters = vec![BeaterId::new("steel-2").unwrap()];
    let choices = proposed(&table.library(&[("one", had)]));
    let one = of(&choices, "one");
    assert_eq!(instruments(&choices), ["one: b"]);
    assert_eq!(one.instruments.as_ref().unwrap().reason, "it was chosen last time");
    let with = one.beaters.as_ref().unwrap();
    assert_eq!((with.chosen[0].as_str(), with.reason.as_str()), ("steel-2", "chosen last time"));
}

/// Marimba: yarn is usual, rubber too; wood harms it.
fn marimba(asks: &[&str]) -> Table {
    let mut table = Table::new(&["marimba"]);
    table.kinds[0].material = Material::Rosewood;
    table.kinds[0].harmful = vec![Head::Wood];
    table.kinds[0].usual =
        [Head::Yarn, Head::Rubber].map(|head| UsualBeater { head, hardness: None }).to_vec();
    let mut thing = instrument("m", "marimba", &["C2-C7"]);
    thing.material = Material::Rosewood;
    table.things = vec![thing];
    let of = |id: &str, head, hardness| Beater { head, hardness, ..beater(id) };
    table.beaters = vec![
        of("yarn-hard", Head::Yarn, Hardness::Hard),
        of("yarn-soft", Head::Yarn, Hardness::Soft),
        of("rubber", Head::Rubber, Hardness::Medium),
        of("wood", Head::Wood, Hardness::Hard),
        of("felt", Head::Felt, Hardness::Soft),
    ];
    let mut line = noted("one", "marimba", "C4", 0.0);
    line.beaters = asks.iter().map(|word| (*word).to_owned()).collect();
    table.lines = vec![line];
    table
}

#[rstest]
#[case::usual(&[], "yarn-hard", false)]
#[case::as_soft_as_it_says(&["soft"], "yarn-soft", false)]
#[case::head_and_hardness(&["soft yarn"], "yarn-soft", false)]
#[case::another_usual_head(&["rubber"], "rubber", false)]
#[case::asked_though_not_usual(&["felt"], "felt", false)]
#[case::what_harms_is_never_proposed(&["wood"], "yarn-hard", true)]
fn beaters(#[case] asks: &[&str], #[case] expected: &str, #[case] must_agree: bool) {
    let choices = marimba(asks).propose();
    let with = choices[0].beaters.as_ref().unwrap();
    assert_eq!((with.chosen[0].as_str(), with.asks), (expected, must_agree), "{with:?}");
    assert!(!with.next.is_empty() && !with.next_reason.is_empty());
}

#[test]
fn kept_for_it_goes_before_usual_and_pairs_are_counted() {
    let mut table = marimba(&[]);
    table.beaters[2].suits = vec![KindId::new("marimba").unwrap()];
    assert_eq!(table.propose()[0].beaters.as_ref().unwrap().chosen[0].as_str(), "rubber");
    // One pair is in one player's hands.
    table.lines.push(noted("two", "marimba", "C4", 10.0));
    table.given = vec![("one", on("a", &["m"])), ("two", on("b", &["m"]))];
    let choices = table.propose();
    assert_eq!(of(&choices, "one").beaters.as_ref().unwrap().chosen[0].as_str(), "rubber");
    assert_eq!(of(&choices, "two").beaters.as_ref().unwrap().chosen[0].as_str(), "yarn-hard");
}

#[test]
fn what_is_not_struck_gets_no_beaters() {
    let mut table = Table::new(&["whistle"]);
    table.things = vec![instrument("w", "whistle", &[])];
    table.beaters = vec![beater("rubber")];
    table.lines = vec![noted("one", "whistle", "", 0.0)];
    assert_eq!(table.propose()[0].beaters, None);
}

/// Everybody has hands: nothing is proposed for a tambourine, and bongos share what is kept for them.
#[test]
fn the_bare_hand_is_no_beater_to_fetch() {
    let mut table = Table::new(&["tambourine", "bongos"]);
    for kind in &mut table.kinds {
        kind.usual = vec![UsualBeater { head: Head::Hand, hardness: None }];
    }
    table.things = vec![instrument("t", "tambourine", &[]), instrument("b", "bongos", &[])];
    let hands =
        Beater { head: Head::Hand, count: 1, suits: vec![KindId::new("bongos").unwrap()], ..beater("hands") };
    table.beaters = vec![hands];
    table.lines = vec![
        noted("one", "tambourine", "", 0.0),
        noted("two", "bongos", "", 0.0),
        noted("three", "bongos", "", 5.0),
    ];
    table.given = vec![("two", on("a", &["b"])), ("three", on("b", &["b"]))];
    let choices = table.propose();
    assert_eq!(of(&choices, "one").beaters, None);
    for line in ["two", "three"] {
        assert_eq!(of(&choices, line).beaters.as_ref().unwrap().chosen[0].as_str(), "hands");
    }
}

#[test]
fn what_another_programme_has_at_that_hour_is_not_proposed() {
    let mut table = Table::new(&["triangle"]);
    table.things = vec![instrument("a", "triangle", &[])];
    table.lines = vec![noted("one", "triangle", "", 0.0)];
    let library = table.library(&[("one", on("", &["a"]))]);
    let week = WeekId::new("k").unwrap();
    let same_hour = service("clash", "before", 10);
    let library = apply(&library, &Edit::PutService { week, service: same_hour }).unwrap();
    let choices = proposed(&library);
    assert_eq!(instruments(&choices), ["one: "]);
    assert!(
        choices[0].instruments.as_ref().unwrap().reason.starts_with("none is free: Programme before has it")
    );
}

#[test]
fn the_same_question_has_the_same_answer_and_an_answer_taken_leaves_nothing_to_ask() {
    let mut table = Table::new(&["xylophone", "triangle", "crotales"]);
    table.kinds[1].usual = vec![UsualBeater { head: Head::Rubber, hardness: None }];
    table.beaters = vec![beater("rubber")];
    table.things = vec![
        instrument("x", "xylophone", &["F4-C8"]),
        instrument("t", "triangle", &[]),
        instrument("low", "crotales", &["C6-C7"]),
        instrument("high", "crotales", &["C7-C8"]),
    ];
    table.lines = vec![
        noted("one", "xylophone", "C5", 0.0),
        noted("two", "triangle", "", 5.0),
        noted("three", "crotales", "D6 D7", 10.0),
    ];
    let mut library = table.library(&[]);
    let choices = proposed(&library);
    assert_eq!(choices, proposed(&library));
    let programme = ProgrammeId::new("p").unwrap();
    for edit in choices.iter().flat_map(|choice| edits(&programme, choice)) {
        library = apply(&library, &edit).unwrap();
    }
    assert_eq!(instruments(&proposed(&library)), Vec::<String>::new());
    let given = library.programme(&programme).unwrap().assignment(&at("w", "three"));
    assert_eq!(given.instruments.len(), 2);
}

/// A library in which `thing` with `beater` was decided for a line in 2027.
fn with_decision(library: &Library, line: &str, thing: &str, beater: &str) -> Library {
    let mut decision = crate::sample::decision("first", line);
    decision.chosen.instruments = vec![InstrumentId::new(thing).unwrap()];
    decision.chosen.beaters = vec![BeaterId::new(beater).unwrap()];
    let work = crate::id::WorkId::new("w").unwrap();
    apply(library, &Edit::PutDecision { work, decision }).unwrap()
}

#[test]
fn what_was_decided_goes_before_what_is_worked_out() {
    let mut table = Table::new(&["gong"]);
    table.things = vec![instrument("gong-a", "gong", &[]), instrument("gong-b", "gong", &[])];
    table.beaters = vec![beater("hard"), beater("soft")];
    table.lines = vec![noted("g", "gong", "", 0.0), noted("later", "gong", "", 9.0)];
    let library = with_decision(&table.library(&[]), "g", "gong-b", "soft");
    let proposed = proposed(&library);
    let of = |id: &str| proposed.iter().find(|choice| choice.line == at("w", id)).unwrap();
    let on = of("g").instruments.clone().unwrap();
    assert_eq!(on.chosen, [InstrumentId::new("gong-b").unwrap()]);
    assert_eq!(on.reason, "decided in 2027 (the conductor: asked for drier; too bright with brass)");
    assert_eq!((on.next.len(), on.next_reason.as_str()), (1, "not what was decided"));
    let with = of("g").beaters.clone().unwrap();
    assert_eq!((with.chosen, with.reason), (vec![BeaterId::new("soft").unwrap()], on.reason));
    let other = of("later").instruments.clone().unwrap();
    assert_eq!(other.chosen, [InstrumentId::new("gong-b").unwrap()], "nothing more is carried for it");
}

#[test]
fn a_decision_that_cannot_be_kept_says_why() {
    let mut table = Table::new(&["gong"]);
    table.things = vec![instrument("gong-a", "gong", &[])];
    table.lines = vec![noted("g", "gong", "", 0.0)];
    let library = with_decision(&table.library(&[]), "g", "sold", "soft");
    let on = proposed(&library).into_iter().find_map(|choice| choice.instruments).unwrap();
    assert_eq!(on.chosen, [InstrumentId::new("gong-a").unwrap()]);
    assert!(on.reason.contains("but the collection no longer has it"), "{}", on.reason);
}

/// A part for glockenspiel that a score gives as it stands on the paper: what its kind usually does says more than the nearest octave.
#[rstest]
#[case::usual_two_higher(
    Some(Octave::TWO_UP),
    Octave::AS_WRITTEN,
    "sounds two octaves higher, as parts for glockenspiel usually do"
)]
#[case::no_usual_octave(None, Octave::AS_WRITTEN, "only an octave higher: ask the conductor")]
#[case::read_so_already(
    Some(Octave::AS_WRITTEN),
    Octave::AS_WRITTEN,
    "only an octave higher: ask the conductor"
)]
fn what_is_reached_in_another_octave_names_the_octave_of_its_kind(
    #[case] usual: Option<Octave>,
    #[case] read: Octave,
    #[case] says: &str,
) {
    let mut table = Table::new(&[]);
    table.kinds = vec![kind("glockenspiel", Pitched::Yes, usual)];
    table.things = vec![instrument("glockenspiel-1", "glockenspiel", &["F5-C8"])];
    let mut row = noted("one", "glockenspiel", "C5 E5 C6", 0.0);
    row.octave = read;
    table.lines = vec![row];
    let choices = table.propose();
    assert_eq!(instruments(&choices), ["one: glockenspiel-1?"]);
    let reason = &of(&choices, "one").instruments.as_ref().unwrap().reason;
    assert!(reason.contains(says), "{reason}");
}
