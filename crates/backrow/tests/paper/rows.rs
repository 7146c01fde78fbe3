//! What was once wrong on paper, row by row, each with figures that were worked out by another path: from the demo's files by hand,
//! or by a script that shares nothing with the program.

use super::*;
use backrow::sheets::load_list;
use backrow_core::id::InstrumentId;
use backrow_print::load::Piece;

/// Notes that lack stand with their measures and what was decided; two lines at once stand in one bracket; a repeat is said.
#[rstest]
#[case::tubes("tidelands", "duarte", "missing: G5 (mm. 14, 20, 75, 81)")]
#[case::a_dead_gong("tidelands", "duarte", "A2 (mm. 2, 10, 18")]
#[case::glockenspiel("tidelands", "okafor", "missing: E3 (mm. 62, 71")]
#[case::plates("drowned-belfry", "brandt", "missing: F2 (mm. 40, 46")]
#[case::tubes_again("drowned-belfry", "okafor", "missing: G3 (mm. 20, 27")]
#[case::repeat("ferry-tales", "quill", "the repeat, straight on")]
#[case::four_mallets("tidelands", "ito", "4 mallets; behind 1")]
#[case::then_two("tidelands", "ito", "rest, 2 mallets")]
#[case::double_booked("tidelands", "duarte", "Double-booked: Ferry Tales")]
fn a_player_is_told(#[case] programme_id: &str, #[case] who: &str, #[case] words: &str) {
    let library = demo();
    let programme = programme(&library, programme_id);
    let text = printed(&library, programme, &Sheet::Player(player(who)), Paper::A4).0.text();
    assert!(text.contains(&plain(words)), "{words}: {text}");
}

/// A note that was decided to be played on another instrument, by hand from the demo: rack A has no B3, rack B has.
/// The player's sheet says and draws it, the load list brings that one gong, and the two count alike.
#[test]
fn a_note_on_another_instrument_is_told_drawn_and_loaded() {
    let demo = demo();
    let id = backrow_core::id::ProgrammeId::new("tidelands").unwrap();
    let rack = InstrumentId::new("tuned-gongs-rack-b").unwrap();
    let (line, _) =
        programme(&demo, "tidelands").lines().find(|(at, _)| at.line.as_str() == "iv-tuned-gongs").unwrap();
    let b3 = backrow_core::pitch::parse_note("B3", backrow_core::pitch::Reading::English).unwrap().key();
    let edit = backrow_core::edit::Edit::Decide {
        programme: id,
        line: line.clone(),
        key: b3,
        instead: Some(backrow_core::week::Instead::On(rack.clone())),
    };
    let library = backrow_core::edit::apply(&demo, &edit).unwrap();
    let programme = programme(&library, "tidelands");
    let text = printed(&library, programme, &Sheet::Player(player("duarte")), Paper::A4).0.text();
    assert!(text.contains(&plain("on Tuned gongs, rack B")), "{text}");
    let evening = Evening::of(&library, programme);
    let sheet =
        backrow::sheets::player_sheet(&evening, &backrow_core::id::PlayerId::new("duarte").unwrap()).unwrap();
    let drawn = sheet.keyboards.iter().find(|keyboard| keyboard.title == "Tuned gongs, rack B").unwrap();
    let load = evening.load(Way::StoreToStage);
    let thing =
        load.rooms.iter().flat_map(|room| &room.things).find(|thing| thing.instrument == rack).unwrap();
    let (bars, of) = thing.only.unwrap();
    assert_eq!(bars.iter().collect::<Vec<_>>(), [b3]);
    assert_eq!((drawn.used, drawn.total), (1, of));
    let text = printed(&library, programme, &Sheet::Plan, Paper::A4).0.text();
    assert!(text.contains(&plain("Tuned gongs, rack B")), "it stands nowhere yet: {text}");
    // The drowned belfry has both racks in the same week.
    assert!(programme.instruments().contains(&rack));
}

/// The gongs of the symphony's last movement end with that B3 in m. 24 and begin with it again in m. 152, once the notes around are
/// gone: the moves to and from the bass drum are from rack B and to it, on the sheet and in the table of moves.
#[test]
fn a_move_leads_from_where_the_last_note_is_played_and_to_where_the_first_is() {
    use backrow_core::edit::{Edit, apply};
    use backrow_print::player::{Move, Step};
    let demo = demo();
    let rack = InstrumentId::new("tuned-gongs-rack-b").unwrap();
    let (line, _) =
        programme(&demo, "tidelands").lines().find(|(at, _)| at.line.as_str() == "iv-tuned-gongs").unwrap();
    let line = line.clone();
    let key = backrow_core::pitch::parse_note("B3", backrow_core::pitch::Reading::English).unwrap().key();
    let mut salt = (**demo.works.get(&line.work).unwrap()).clone();
    for gongs in salt.lines.iter_mut().filter(|one| one.id == line.line) {
        gongs.passages[0].notes.truncate(24);
        gongs.passages[1].notes.drain(..2);
    }
    let decide = Edit::Decide {
        programme: backrow_core::id::ProgrammeId::new("tidelands").unwrap(),
        line,
        key,
        instead: Some(backrow_core::week::Instead::On(rack)),
    };
    let edits = vec![Edit::PutWork(salt), decide];
    let library = apply(&demo, &Edit::Together { words: String::new(), edits }).unwrap();
    let evening = Evening::of(&library, programme(&library, "tidelands"));
    let duarte = backrow_core::id::PlayerId::new("duarte").unwrap();
    let sheet = backrow::sheets::player_sheet(&evening, &duarte).unwrap();
    let steps = sheet.works.iter().flat_map(|work| &work.movements).flat_map(|movement| &movement.steps);
    let moves: Vec<&Move> = steps
        .filter_map(|step| match step {
            Step::Move(one) => Some(one),
            Step::Play(_) => None,
        })
        .collect();
    let [.., to_the_drum, back] = moves.as_slice() else { panic!("{moves:?}") };
    assert!(to_the_drum.how.contains("from Tuned gongs, rack B"), "{to_the_drum:?}");
    assert_eq!(back.to, "Tuned gongs, rack B", "it stands nowhere yet, so it has no number");
    let table = backrow_files::tables::library::moves(&evening);
    let told: Vec<String> = table.rows.iter().map(|row| format!("{row:?}")).collect();
    assert_eq!(told.iter().filter(|row| row.contains("Tuned gongs, rack B")).count(), 2, "{told:#?}");
}

/// Nobody is "all in" on a day on which a player is needed in another programme too: MD on 14 October.
#[rstest]
#[case("tidelands", Sheet::Overview)]
#[case("tidelands", Sheet::Summary)]
#[case("ferry-tales", Sheet::Overview)]
#[case("ferry-tales", Sheet::Summary)]
fn nobody_is_all_in_on_a_day_of_a_collision(#[case] id: &str, #[case] sheet: Sheet) {
    let library = demo();
    let templates = Templates::default();
    let printer = Printer {
        evening: &Evening::of(&library, programme(&library, id)),
        paper: Paper::A4,
        templates: &templates,
        plans: backrow::sheets::Plans::default(),
        today: None,
        remembers: None,
    };
    let backrow::sheets::SheetData::List(list) = printer.data(&sheet).unwrap() else { panic!("a list") };
    let services = list.sections.iter().find(|section| section.title == "Services").unwrap();
    let of_day: Vec<&Vec<String>> =
        services.rows.iter().map(|row| &row.cells).filter(|cells| cells[0].contains("14 Oct")).collect();
    assert!(!of_day.is_empty());
    for cells in of_day {
        assert!(cells.iter().all(|cell| cell != "all in"), "{cells:?}");
        assert!(cells.iter().any(|cell| cell.contains("is needed in")), "{cells:?}");
    }
}

/// What stands on the other sheets: days to the last service, bars that are dead not ordered, notes spelled as the parts
/// spell them, whole square metres, the programme's remark.
#[rstest]
#[case::season("tidelands", Sheet::Season, "12–23 Oct", "12–19 Oct")]
#[case::dead("tidelands", Sheet::Load(Way::StoreToStage), "only these 6 of 8: G2 C3 D3 E♭3 F3 G3", "A2 C3")]
#[case::flats("drowned-belfry", Sheet::Load(Way::StoreToStage), "C4 E♭4 F4 G4 B♭4 C5 E♭5", "A♯")]
#[case::strings("drowned-belfry", Sheet::Load(Way::StoreToStage), "Cimbalom", "of 56:")]
#[case::floor("tidelands", Sheet::Load(Way::StoreToStage), "28 m² of floor", ".0 m²")]
#[case::remark("ferry-tales", Sheet::Overview, "the van leaves the dock at 9:15", "glasss")]
fn a_sheet_says(#[case] id: &str, #[case] sheet: Sheet, #[case] words: &str, #[case] never: &str) {
    let library = demo();
    let text = printed(&library, programme(&library, id), &sheet, Paper::A4).0.text();
    assert!(text.contains(&plain(words)), "{words}: {text}");
    assert!(!text.contains(&plain(never)), "{never}: {text}");
}

/// Added up from the files by a script of its own.
#[rstest]
#[case("tidelands", 41, 57, 1771.7)]
#[case("ferry-tales", 14, 15, 191.8)]
#[case("drowned-belfry", 42, 59, 2245.9)]
fn a_load_adds_up(#[case] id: &str, #[case] things: usize, #[case] pieces: u32, #[case] kg: f64) {
    let library = demo();
    let evening = Evening::of(&library, programme(&library, id));
    for way in Way::ALL {
        let load = evening.load(way);
        let sum = load.sum();
        assert_eq!(load.rooms.iter().map(|room| room.things.len()).sum::<usize>(), things);
        assert_eq!((sum.pieces, (sum.kg * 10.0).round() / 10.0), (pieces, kg));
    }
}

/// Nobody is told how many people carry what no published figure allows for two: "gear" stands there, on every sheet.
#[test]
fn heavy_things_are_for_gear_on_every_sheet() {
    let library = demo();
    let mut heavy = 0;
    for id in ["tidelands", "ferry-tales", "drowned-belfry"] {
        let evening = Evening::of(&library, programme(&library, id));
        let sheet = load_list(&evening, Way::StoreToStage);
        let pieces = sheet.rooms.iter().flat_map(|room| &room.things).flat_map(|thing| &thing.pieces);
        let weighs = |piece: &Piece| piece.each.as_ref().map_or(0.0, |mass| mass.kg);
        for piece in pieces.filter(|piece| weighs(piece) > 34.0 && piece.wheels == "–") {
            assert_eq!(piece.people, "gear", "{}: {} kg", piece.what, weighs(piece));
            heavy += 1;
        }
        for change in evening.changes() {
            for step in &change.steps {
                let thing = &library.instruments[&step.instrument];
                let most = thing
                    .carried()
                    .iter()
                    .filter_map(|piece| piece.mass)
                    .map(|mass| mass.kg)
                    .fold(0.0, f64::max);
                let rolls = thing.carried().iter().any(|piece| !piece.wheels.is_empty());
                assert!(
                    most <= 34.0 || rolls || step.carrying.to_string().contains("gear"),
                    "{}: {}",
                    thing.id,
                    step.carrying
                );
            }
        }
    }
    assert!(heavy > 2, "the demo has heavy things: {heavy}");
}

/// Ways and needs of Tidelands' floor, by a script that looked for the shortest way on its own: numbers on the plan, metres, and
/// seconds with one second to settle and one and a half to change beaters at 1.2 m/s.
#[rstest]
#[case(8, 4, 1.997, 42)]
#[case(3, 18, 2.061, 43)]
#[case(21, 5, 5.409, 71)]
fn a_way_is_as_long_as_it_was_measured(
    #[case] from: u32,
    #[case] to: u32,
    #[case] metres: f64,
    #[case] tenths: u32,
) {
    let library = demo();
    let programme = programme(&library, "tidelands");
    let evening = Evening::of(&library, programme);
    let numbered = |number: u32| -> InstrumentId {
        let found = programme.setup.places().find(|(_, placement)| placement.number == number);
        found.unwrap().0.clone()
    };
    let way = evening.floor(None).ways().between(&numbered(from), &numbered(to)).unwrap();
    assert!((way.metres - metres).abs() < 0.025, "{} beside {metres}", way.metres);
    let needs = way.metres / 1.2 + 1.0 + 1.5;
    let rounded_up = (needs * 10.0 - 0.001).ceil();
    assert!((rounded_up - f64::from(tenths)).abs() < 0.5, "{needs} s beside {tenths} tenths");
}

/// A library's own template changes the version of the sheets that are set with it, and of no other.
#[test]
fn a_version_changes_with_its_template() {
    let library = demo();
    let programme = programme(&library, "tidelands");
    let number = |templates: &Templates, sheet: &Sheet| {
        let printer = Printer {
            evening: &Evening::of(&library, programme),
            paper: Paper::A4,
            templates,
            plans: backrow::sheets::Plans::default(),
            today: None,
            remembers: None,
        };
        printer.data(sheet).unwrap().head_mut().version.number.clone()
    };
    let (plain, sheet) = (Templates::default(), Sheet::Load(Way::Back));
    for (name, changes) in [("load.typ", true), ("common.typ", true), ("plan.typ", false)] {
        let own = plain.clone().with(name, "// ours");
        assert_eq!(number(&own, &sheet) != number(&plain, &sheet), changes, "{name}");
    }
}

/// A rehearsal in one venue at 17:45 after one in another until 17:00 leaves 45 of the 60 minutes that a player is assumed to travel.
#[test]
fn the_grid_tells_of_a_collision_by_travel() {
    let mut library = demo();
    each(&mut library.weeks, |week| {
        let evening = jiff::civil::date(2027, 10, 12).at(18, 0, 0, 0);
        for service in week.services.iter_mut().filter(|service| service.start == evening) {
            service.start = jiff::civil::date(2027, 10, 12).at(17, 45, 0, 0);
        }
    });
    let text = printed(&library, programme(&library, "tidelands"), &Sheet::PlayerGrid, Paper::A4).0.text();
    for words in [
        "Ferry Tales, for schools 17:45, 45 of 60 min to travel",
        "45 min between them, 60 min to travel assumed",
    ] {
        assert!(text.contains(&plain(words)), "{words}: {text}");
    }
    let text = printed(&demo(), programme(&demo(), "tidelands"), &Sheet::PlayerGrid, Paper::A4).0.text();
    assert!(!text.contains(&plain("min to travel")), "an hour between them is enough: {text}");
}
