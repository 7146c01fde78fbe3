//! Every sheet of the demo programmes, printed and read back by a general-purpose PDF library: it says what the library says.
#![expect(clippy::unwrap_used, reason = "a sheet that cannot be read back is a failed test")]

#[allow(dead_code, unreachable_pub, reason = "shared with the tests of backrow-print, which use all of it")]
#[path = "../../backrow-print/tests/reader/mod.rs"]
mod reader;
#[path = "paper/rows.rs"]
mod rows;

use backrow::sheets::{Printer, Sheet};
use backrow_core::evening::Evening;
use backrow_core::library::Library;
use backrow_core::loads::Way;
use backrow_core::week::{Instead, LineRef, Placement, Programme};
use backrow_print::{Paper, Press, Templates};
use reader::{Pdf, plain};
use rstest::rstest;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

fn demo() -> Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library
}

fn programme<'a>(library: &'a Library, id: &str) -> &'a Programme {
    library
        .programmes()
        .map(|(_, programme)| programme)
        .find(|programme| programme.id.as_str() == id)
        .unwrap()
}

fn printed(library: &Library, programme: &Programme, sheet: &Sheet, paper: Paper) -> (Pdf, usize) {
    let templates = Templates::default();
    let printer = Printer {
        evening: &Evening::of(library, programme),
        paper,
        templates: &templates,
        plans: backrow::sheets::Plans::default(),
        today: None,
        remembers: None,
    };
    let pages = printer.set(&Press::new(), sheet).unwrap();
    assert_eq!((pages.missing(), pages.warnings()), (&[][..], &[][..]), "{sheet:?}");
    (Pdf::new(&pages.pdf().unwrap()), pages.count())
}

fn version(library: &Library, programme: &Programme, sheet: &Sheet) -> String {
    let templates = Templates::default();
    let printer = Printer {
        evening: &Evening::of(library, programme),
        paper: Paper::A4,
        templates: &templates,
        plans: backrow::sheets::Plans::default(),
        today: None,
        remembers: None,
    };
    printer.data(sheet).unwrap().head_mut().version.number.clone()
}

/// A sheet's version changes with what stands on it, whatever part of the library that comes from, and with nothing else.
#[rstest]
#[case::seconds(|library: &mut Library| Arc::make_mut(&mut library.orchestra).habits.pace_m_s = 0.6, &[true, false])]
#[case::hall(|library: &mut Library| each(&mut library.venues, |venue| venue.name.push('!')), &[true, true])]
#[case::names(|library: &mut Library| each(&mut library.instruments, |thing| thing.name.push('!')), &[true, true])]
#[case::services(|library: &mut Library| each(&mut library.weeks, |week| week.services.iter_mut().for_each(|s| s.minutes += 5)), &[true, true])]
#[case::masses(|library: &mut Library| each(&mut library.instruments, |thing| thing.pieces.iter_mut().for_each(|p| p.people = 7)), &[false, true])]
#[case::notes(|library: &mut Library| each(&mut library.works, |work| {
    let passages = work.lines.iter_mut().flat_map(|line| &mut line.passages);
    passages.flat_map(|passage| &mut passage.notes).for_each(|note| note.written = note.written.octaves_up(-1).unwrap_or(note.written));
}), &[true, true])]
#[case::nothing(|_: &mut Library| (), &[false, false])]
fn a_version_changes_with_what_the_sheet_says(#[case] change: fn(&mut Library), #[case] changes: &[bool]) {
    let before = demo();
    let mut after = before.clone();
    change(&mut after);
    let ito = backrow_core::id::PlayerId::new("brandt").unwrap();
    for (sheet, changes) in [Sheet::Player(ito), Sheet::Load(Way::Back)].iter().zip(changes) {
        let of = |library: &Library| version(library, programme(library, "tidelands"), sheet);
        assert_eq!(of(&before) != of(&after), *changes, "{sheet:?}");
    }
}

fn each<K: Ord + Clone, V: Clone>(map: &mut backrow_core::library::Shared<K, V>, change: impl Fn(&mut V)) {
    for value in Arc::make_mut(map).values_mut() {
        change(Arc::make_mut(value));
    }
}

/// What lacks, what sounds at once, and a repeat, by hand from the demo's works.
#[rstest]
#[case("tidelands", "okafor", "missing: E♭3")]
#[case("tidelands", "brandt", "missing: F♯5")]
#[case("tidelands", "duarte", "1 more, dead)")]
#[case("tidelands", "kallio", "with Triangle 1")]
#[case("ferry-tales", "achterdam", "with ")]
fn a_players_sheet_says_it(#[case] programme_id: &str, #[case] player: &str, #[case] words: &str) {
    let library = demo();
    let programme = programme(&library, programme_id);
    let sheet = Sheet::Player(backrow_core::id::PlayerId::new(player).unwrap());
    let text = printed(&library, programme, &sheet, Paper::A4).0.text();
    assert!(text.contains(&plain(words)), "{words}: {text}");
}

/// What stands on the new sheets, by hand from the demo's weeks and works: MD plays in both programmes on 14 October and is away
/// on the 13th; m. 176 of the overture is 26 measures after letter D (m. 150); Presto begins at m. 180.
#[rstest]
#[case(Sheet::PlayerGrid, "Ferry Tales, for schools, concert Thu 14 Oct, 11:00–12:00")]
#[case(Sheet::PlayerGrid, "at the same time")]
#[case(Sheet::Questions, "Missing notes")]
#[case(Sheet::Questions, "E♭3 (m")]
#[case(Sheet::Player(player("ito")), "D+26")]
#[case(Sheet::Player(player("ito")), "your stations at 1 :")]
#[case(Sheet::Load(Way::StoreToStage), "Beaters")]
#[case(Sheet::Load(Way::StoreToStage), "stool for the timpani")]
#[case(Sheet::Plan, "Used, and not placed yet:")]
#[case(Sheet::CrewPlan, "Overlaps: 6 and 7 by 0.12 m")]
#[case(backrow::keymap::sheet(), "Ctrl P")]
fn a_sheet_says_it(#[case] sheet: Sheet, #[case] words: &str) {
    let library = demo();
    let programme = programme(&library, "tidelands");
    let text = printed(&library, programme, &sheet, Paper::A4).0.text();
    assert!(text.contains(&plain(words)), "{words}: {text}");
}

fn player(id: &str) -> backrow_core::id::PlayerId {
    backrow_core::id::PlayerId::new(id).unwrap()
}

/// No player turns more pages than need be, and none of them is nearly empty: the busiest of the demo has five.
#[rstest]
#[case("tidelands")]
#[case("ferry-tales")]
#[case("drowned-belfry")]
fn players_sheets_are_full_pages(#[case] id: &str) {
    let library = demo();
    let programme = programme(&library, id);
    for sheet in Sheet::of(&library, programme) {
        if !matches!(sheet, Sheet::Player(_)) {
            continue;
        }
        let (pdf, count) = printed(&library, programme, &sheet, Paper::A4);
        let filled = pdf.filled(38.0, 22.0);
        assert!(count <= 5, "{sheet:?}: {count} pages");
        let low = filled.iter().take(count - 1).position(|part| *part < 0.55);
        assert_eq!(low, None, "{sheet:?}: {filled:?}");
        let last = filled.last().copied().unwrap_or_default();
        assert!(count == 1 || last > 0.2, "{sheet:?} ends on an almost empty page: {filled:?}");
    }
}

/// What one plays with the hands is nothing to lay out or to load; all else that a player uses is.
#[test]
fn hands_are_neither_laid_out_nor_loaded() {
    let library = demo();
    let programme = programme(&library, "ferry-tales");
    let hands = backrow_core::id::BeaterId::new("hands").unwrap();
    assert!(programme.lines().any(|(_, given)| given.beaters.contains(&hands)), "the demo has such a line");
    let evening = Evening::of(&library, programme);
    let duarte = backrow::sheets::player_sheet(&evening, &player("duarte")).unwrap();
    assert!(duarte.packing.is_empty(), "{:?}", duarte.packing);
    let quill = backrow::sheets::player_sheet(&evening, &player("quill")).unwrap();
    assert!(quill.packing.iter().any(|line| line.beaters == "sticks, light"), "{:?}", quill.packing);
    for way in Way::ALL {
        let load = backrow::sheets::load_list(&evening, way);
        let pieces = load.rooms.iter().flat_map(|room| &room.things).flat_map(|thing| &thing.pieces);
        assert!(pieces.clone().any(|piece| piece.what == "sticks, light"));
        assert!(pieces.clone().all(|piece| piece.what != "hands"), "{way:?}");
    }
}

/// A page that would say that there is nothing to ask is not handed out.
#[test]
fn a_page_of_questions_is_printed_only_where_there_are_some() {
    let library = demo();
    let has = |id: &str| Sheet::of(&library, programme(&library, id)).contains(&Sheet::Questions);
    assert_eq!(["tidelands", "drowned-belfry", "ferry-tales"].map(has), [true, true, false]);
}

/// The care of a piece is not said again in the remark above it; the rest of the remark stays.
#[test]
fn a_load_list_says_each_care_once() {
    let library = demo();
    let programme = programme(&library, "tidelands");
    let load = backrow::sheets::load_list(&Evening::of(&library, programme), Way::StoreToStage);
    let things: Vec<_> = load.rooms.iter().flat_map(|room| &room.things).collect();
    let bells = things.iter().find(|thing| thing.name == "Tubular bells 1").unwrap();
    assert_eq!(bells.remark, "Tall: mind door 4, 2.05 m");
    let care = &bells.pieces[0].care;
    assert!(
        care.starts_with(
            "over a step it needs lifting gear and qualified people; tubes strapped; never tilt it loaded"
        ),
        "{care}"
    );
    let celesta = things.iter().find(|thing| thing.name == "Celesta 1").unwrap();
    assert_eq!(celesta.remark, "On its own wheels");
}

/// A plan of each work of the programme that uses what stands on the floor, each with its routes in metres.
#[test]
fn each_work_has_its_plan_with_routes() {
    let library = demo();
    let programme = programme(&library, "tidelands");
    let sheets = Sheet::of(&library, programme);
    let plans: Vec<&Sheet> = sheets.iter().filter(|sheet| matches!(sheet, Sheet::WorkPlan(_))).collect();
    assert_eq!(plans.len(), programme.works.len());
    let text = printed(&library, programme, plans[2], Paper::A4).0.text();
    // SI goes from the marimba to the low crotales in the second movement of Lanterns.
    let evening = Evening::of(&library, programme);
    let moves = evening.timetable().moves(&player("ito"));
    let step = moves.iter().find(|step| step.from.line.work.as_str() == "lanterns" && !step.need.same_place);
    let words = format!("SI {:.1} m", step.unwrap().need.metres);
    assert!(text.contains(&plain(&words)), "{words}: {text}");
}

/// Nobody is told to bring more than there is, and what is brought is enough for who plays first.
#[test]
fn beaters_are_shared_out() {
    let library = demo();
    for id in ["tidelands", "ferry-tales", "drowned-belfry"] {
        let programme = programme(&library, id);
        let evening = Evening::of(&library, programme);
        let mut told: BTreeMap<String, u32> = BTreeMap::new();
        for player in library.players.keys() {
            let sheet = backrow::sheets::player_sheet(&evening, player).unwrap();
            for line in &sheet.packing {
                *told.entry(line.beaters.clone()).or_default() += line.count.parse::<u32>().unwrap_or(0);
            }
        }
        for beater in library.beaters.values() {
            let told = told.get(&beater.name).copied().unwrap_or(0);
            assert!(told <= beater.count, "{id}: {} told for {} of {}", told, beater.name, beater.count);
        }
        assert!(!told.is_empty());
    }
}

/// Every page of every sheet carries the programme, the version and its own number of how many, and nothing runs off the paper.
#[rstest]
#[case("tidelands", Paper::A4)]
#[case("ferry-tales", Paper::Letter)]
#[case("drowned-belfry", Paper::A4)]
fn every_page_says_what_it_belongs_to(#[case] id: &str, #[case] paper: Paper) {
    let library = demo();
    let programme = programme(&library, id);
    for sheet in Sheet::of(&library, programme) {
        let (pdf, count) = printed(&library, programme, &sheet, paper);
        let version = version(&library, programme, &sheet);
        assert_eq!(pdf.pages(), count);
        pdf.assert_inside_the_paper();
        let text = pdf.text();
        assert!(
            text.matches(&plain(&programme.title)).count() >= count,
            "{sheet:?}: the programme on each page"
        );
        assert!(
            text.matches(&format!("version{}", plain(&version))).count() >= count,
            "{sheet:?}: the version on each page"
        );
        for page in 1..=count {
            assert!(text.contains(&format!("page{page}of{count}")), "{sheet:?}: page {page} of {count}");
        }
    }
}

/// By how many tenths of a second moves are too short on a page: of "2.4stooshort" 24. The legend has no figure before the words.
#[expect(clippy::string_slice, reason = "cut before and behind ASCII signs")]
fn too_short(page: &str) -> Vec<i64> {
    let before = page.match_indices("stooshort").map(|(at, _)| &page[..at]);
    let figure = |text: &str| {
        let (rest, tenth) = text.split_at_checked(text.len().checked_sub(1)?)?;
        let rest = rest.strip_suffix('.')?;
        let digits = rest.len() - rest.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        let whole: i64 = rest[rest.len() - digits..].parse().ok()?;
        Some(whole * 10 + tenth.parse::<i64>().ok()?)
    };
    before.filter_map(figure).collect()
}

/// What was decided about a note that lacks stands beside it on the player's sheet.
#[rstest]
#[case(None, "not decided yet")]
#[case(Some(Instead::LeftOut), "left out")]
#[case(Some(Instead::Octaves(1)), "an octave higher")]
#[case(Some(Instead::Octaves(-2)), "two octaves lower")]
fn what_was_decided_of_a_note_stands_on_the_sheet(#[case] decided: Option<Instead>, #[case] words: &str) {
    use backrow_core::edit::{Edit, apply};
    let library = demo();
    let id = programme(&library, "tidelands").id.clone();
    let given = |at: &LineRef| programme(&library, "tidelands").assignment(at);
    let lacks = |at: &LineRef| {
        let (_, line) = library.line(at).unwrap();
        backrow_core::lacking::lacking(&library, line, &given(at))
    };
    let (line, lack) = programme(&library, "tidelands")
        .lines()
        .filter(|(_, given)| given.player == Some(player("okafor")))
        .find_map(|(at, _)| {
            Some((at.clone(), lacks(at).into_iter().find(|l| l.written.to_string() == "E♭3")?))
        })
        .expect("the demo has a note that lacks");
    let decide = Edit::Decide { programme: id, line, key: lack.key, instead: decided };
    let library = apply(&library, &decide).unwrap();
    let text =
        printed(&library, programme(&library, "tidelands"), &Sheet::Player(player("okafor")), Paper::A4).0;
    let said = plain(&format!("E♭3 ({}): {words}", lack.measures_words()));
    assert!(text.text().contains(&said), "{said}: {}", text.text());
}

/// Paper has no keyboard: no sheet but the map of keys names a key, whatever was found in the programme.
#[test]
fn no_keys_are_named_on_paper() {
    let library = demo();
    let keys = ["Ctrl", "Shift ", "Alt ", "Esc", "F1", "Press ", "press "];
    for (_, programme) in library.programmes() {
        let evening = Evening::of(&library, programme);
        let templates = Templates::default();
        let printer = Printer {
            evening: &evening,
            paper: Paper::A4,
            templates: &templates,
            plans: backrow::sheets::Plans::default(),
            today: None,
            remembers: None,
        };
        for sheet in Sheet::of(&library, programme).into_iter().chain(Sheet::of_all()) {
            let data = printer.data(&sheet).unwrap();
            let text = serde_json::to_string(&data).unwrap();
            let named: Vec<&&str> = keys.iter().filter(|key| text.contains(**key)).collect();
            assert!(named.is_empty(), "{sheet:?} names {named:?}");
            // "(P)": a key of a place behind what it does.
            let behind = text
                .as_bytes()
                .windows(4)
                .find(|w| w.starts_with(b" (") && w[2].is_ascii_uppercase() && w[3] == b')');
            assert_eq!(behind.map(String::from_utf8_lossy), None, "{sheet:?}");
        }
    }
}

/// Each passage of each player stands on the player's sheet, with its instruments; each move that is too short says so.
#[test]
fn players_sheets_say_what_the_timetable_says() {
    let library = demo();
    let programme = programme(&library, "tidelands");
    let evening = Evening::of(&library, programme);
    let timetable = evening.timetable();
    let mut short = 0;
    for sheet in Sheet::of(&library, programme) {
        let Sheet::Player(id) = &sheet else { continue };
        let pdf = printed(&library, programme, &sheet, Paper::A4).0;
        let text = pdf.text();
        for at in timetable.passages(id) {
            let taken = timetable.line(&at.line).expect("a line");
            let span = &taken.spans[at.passage];
            let measures = if span.from == span.to {
                span.from.to_string()
            } else {
                format!("{}–{}", span.from, span.to)
            };
            assert!(text.contains(&plain(&measures)), "{id}: {measures} of {}", taken.name);
            let name = taken.instruments.first().map(|id| library.instrument_name(id)).unwrap_or_default();
            assert!(text.contains(&plain(&name)), "{id}: {name}");
        }
        let tenths = |us: i64, up: bool| (us + if up { 99_999 } else { 0 }).div_euclid(100_000);
        let mut lacking: Vec<i64> = timetable
            .moves(id)
            .iter()
            .filter(|step| !step.fits())
            .map(|step| tenths(step.need.us(), true) - tenths(step.has_us, false))
            .collect();
        lacking.sort_unstable();
        let pages = pdf.page_texts();
        let mut told: Vec<i64> = pages.iter().flat_map(|page| too_short(page)).collect();
        told.sort_unstable();
        assert_eq!(told, lacking, "{id}: by so many tenths of a second too short, page by page: {pages:?}");
        short += lacking.len();
    }
    assert!(short > 0, "the demo has a move that is too short");
}

#[test]
fn load_lists_and_hire_lists_name_everything() {
    let library = demo();
    let programme = programme(&library, "tidelands");
    // By another path than the program's: all that is given to a line or stands anywhere.
    let mut used: BTreeSet<_> = programme.lines().flat_map(|(_, given)| given.instruments.clone()).collect();
    used.extend(programme.setup.places().map(|(id, _)| id.clone()));
    used.extend(programme.works.iter().flat_map(|work| programme.setup.of_work(work).into_keys()));
    for way in Way::ALL {
        let text = printed(&library, programme, &Sheet::Load(way), Paper::A4).0.text();
        for id in &used {
            let thing = &library.instruments[id];
            assert!(text.contains(&plain(&thing.name)), "{id}");
            for piece in &thing.pieces {
                // A thing in one piece of its own name says it once.
                let said = thing.name.to_lowercase().contains(&piece.what.to_lowercase());
                assert!(
                    said || text.to_lowercase().contains(&plain(&piece.what.to_lowercase())),
                    "{}",
                    piece.what
                );
            }
        }
        for thing in library.instruments.values().filter(|thing| !used.contains(&thing.id)) {
            // No other name on the list begins with it.
            let alone = !used.iter().any(|id| library.instruments[id].name.contains(&thing.name));
            let named = library.instruments.values().filter(|other| other.name.contains(&thing.name)).count();
            assert!(!alone || named > 1 || !text.contains(&plain(&thing.name)), "{} is not used", thing.id);
        }
        assert!(text.contains("notforoneperson") && text.contains("notapermission") && text.contains("only"));
    }
    let text = printed(&library, programme, &Sheet::Hires, Paper::A4).0.text();
    assert!(!programme.hires.is_empty());
    for hire in &programme.hires {
        assert!(text.contains(&plain(&hire.what)) && text.contains(&plain(&hire.lender)), "{}", hire.what);
        assert!(text.contains(&plain(hire.state.word())));
    }
}

#[test]
fn the_summary_fits_on_its_page() {
    let library = demo();
    for (_, programme) in library.programmes() {
        assert_eq!(printed(&library, programme, &Sheet::Summary, Paper::A4).1, 1, "{}", programme.title);
    }
}

#[test]
fn a_template_of_the_library_is_used_and_its_error_says_where() {
    let library = demo();
    let programme = programme(&library, "tidelands");
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("print")).unwrap();
    let file = folder.path().join("print/list.typ");
    let set = |text: &str| {
        std::fs::write(&file, text).unwrap();
        let templates = backrow::sheets::templates(Some(folder.path()));
        let printer = Printer {
            evening: &Evening::of(&library, programme),
            paper: Paper::A4,
            templates: &templates,
            plans: backrow::sheets::Plans::default(),
            today: None,
            remembers: None,
        };
        printer.set(&Press::new(), &Sheet::Hires).map(|pages| Pdf::new(&pages.pdf().unwrap()).text())
    };
    assert!(set("#let d = json(\"data.json\")\nOurs: #d.sheet.title").unwrap().contains("Ours:Hirelist"));
    let why = set("#let d = json(\"data.json\")\n\n#d.sheet.nothing").unwrap_err();
    assert!(why.starts_with("Hire list cannot be set: list.typ:3:"), "{why}");
}

/// Where to stand is read from the setup that the work has: its neighbours there, not those of the other works.
#[test]
fn a_work_with_its_own_setup_says_where_to_stand_in_it() {
    let library = demo();
    let mut programme = programme(&library, "tidelands").clone();
    let marimba = backrow_core::id::InstrumentId::new("marimba-1").unwrap();
    let lanterns = backrow_core::id::WorkId::new("lanterns").unwrap();
    // In that work alone it stands by the suspended cymbal (16) at the back.
    programme.setup.change_for(&lanterns, |own| {
        let at = backrow_core::collection::Point::new(1.9, 1.4);
        let placement = Placement { at, turn_deg: 0.0, ..*own.place(&marimba).unwrap() };
        own.stand(marimba.clone(), placement);
    });
    let player = backrow_core::id::PlayerId::new("ito").unwrap();
    let sheet = backrow::sheets::player_sheet(&Evening::of(&library, &programme), &player).unwrap();
    let stands = |title: &str| {
        let work = sheet.works.iter().find(|work| work.title == title).unwrap();
        let steps = work.movements.iter().flat_map(|movement| &movement.steps);
        let stations = steps.filter_map(|step| match step {
            backrow_print::player::Step::Play(station) => Some(station),
            backrow_print::player::Step::Move(_) => None,
        });
        stations
            .filter(|station| station.number == "1")
            .map(|station| station.stand.clone())
            .find(|s| !s.is_empty())
    };
    let title = |id: &str| library.works[&backrow_core::id::WorkId::new(id).unwrap()].title.clone();
    let there = stands(&title("lanterns")).unwrap();
    assert!(there.starts_with("behind 1, beside") && there.contains("16"), "{there}");
    let elsewhere = stands(&title("salt")).unwrap();
    assert!(!elsewhere.contains("16"), "{elsewhere}");
}

/// Everything that the demo's works remember stands on their sheets.
#[test]
fn what_a_work_remembers_is_on_its_sheet() {
    let library = demo();
    let mut remembered = 0;
    for (_, programme) in library.programmes() {
        for sheet in Sheet::of(&library, programme) {
            let Sheet::Memory(id) = &sheet else { continue };
            let text = printed(&library, programme, &sheet, Paper::A4).0.text();
            for decision in &library.works[id].memory.decisions {
                let said = [&decision.about.name, &decision.why, &decision.conductor, &decision.by];
                for words in said.into_iter().filter(|words| !words.is_empty()) {
                    assert!(text.contains(&plain(words)), "{words}");
                }
                remembered += 1;
            }
            for trial in &library.works[id].memory.trials {
                for listener in &trial.listeners {
                    assert!(text.contains(&plain(&listener.name)) && text.contains(&plain(&listener.words)));
                }
                assert!(text.contains(&plain(&trial.verdict)), "{}", trial.verdict);
                remembered += 1;
            }
        }
    }
    assert!(remembered >= 6, "the demo has something to remember: {remembered}");
}

/// Labels of every size: one a piece that is carried, with its instrument's id.
#[test]
fn labels_are_set_in_every_size() {
    use backrow::sheets::{LabelSize, Plans};
    let library = demo();
    let tidelands = programme(&library, "tidelands");
    for size in LabelSize::ALL {
        let templates = Templates::default();
        let printer = Printer {
            evening: &Evening::of(&library, tidelands),
            paper: size.paper(),
            templates: &templates,
            plans: Plans { labels: size, ..Plans::default() },
            today: None,
            remembers: None,
        };
        let pages = printer.set(&Press::new(), &Sheet::Labels).unwrap();
        let pieces: u32 = tidelands
            .instruments()
            .into_iter()
            .filter_map(|id| library.instruments.get(id))
            .flat_map(|thing| thing.carried())
            .map(|piece| piece.count.max(1))
            .sum();
        let on_page: usize = size.word().split(' ').next().unwrap().parse().unwrap();
        assert_eq!(pages.count(), (pieces as usize).div_ceil(on_page), "{size:?}");
    }
}

/// The pictures of a PDF, by their streams.
fn images(pdf: &[u8]) -> usize {
    let document = lopdf::Document::load_mem(pdf).unwrap();
    let is_image = |object: &&lopdf::Object| {
        let subtype = object.as_stream().ok().and_then(|stream| stream.dict.get(b"Subtype").ok());
        subtype.and_then(|name| name.as_name().ok()).is_some_and(|name| name == b"Image")
    };
    document.objects.values().filter(is_image).count()
}

/// Pictures of instruments stand on load lists and large labels where they are wished, and nowhere else; a version does not hold them.
#[test]
fn pictures_of_instruments_are_printed_on_wish() {
    use backrow::sheets::{LabelSize, Plans};
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("library");
    backrow_files::library::copy_demo(&folder).unwrap();
    let library = backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library;
    let pictured = |programme: &&Programme| {
        programme
            .instruments()
            .iter()
            .any(|id| library.instruments.get(id).is_some_and(|t| !t.picture.is_empty()))
    };
    let programme = library.programmes().map(|(_, programme)| programme).find(pictured).unwrap();
    let evening = Evening::of(&library, programme);
    let templates = Templates::default();
    let printer = |instruments: bool, labels: LabelSize| Printer {
        evening: &evening,
        paper: Paper::A4,
        templates: &templates,
        plans: Plans { instruments, labels, ..Plans::default() },
        today: None,
        remembers: Some(&folder),
    };
    let count = |instruments: bool, labels: LabelSize, sheet: &Sheet| {
        images(&printer(instruments, labels).set(&Press::new(), sheet).unwrap().pdf().unwrap())
    };
    for sheet in [Sheet::Load(Way::StoreToStage), Sheet::Labels] {
        assert_eq!(count(false, LabelSize::Eight, &sheet), 0, "{sheet:?}");
        assert!(count(true, LabelSize::Eight, &sheet) > 0, "{sheet:?}");
        let data = |instruments| printer(instruments, LabelSize::Eight).data(&sheet).unwrap();
        let (mut with, mut without) = (data(true), data(false));
        let versions =
            [&mut with, &mut without].map(|data| std::mem::take(&mut data.head_mut().version).number);
        assert_ne!(versions[0], versions[1], "a sheet with pictures is another one");
        assert_eq!(with, without, "what is remembered is the same");
        for file in std::fs::read_dir(folder.join("pictures")).unwrap() {
            let file = file.unwrap().path();
            let mut bytes = std::fs::read(&file).unwrap();
            bytes.push(0);
            std::fs::write(&file, bytes).unwrap();
        }
        assert_ne!(data(true).head_mut().version.number, versions[0], "another picture under the same name");
        assert_eq!(data(false).head_mut().version.number, versions[1]);
    }
    assert_eq!(count(true, LabelSize::TwentyFour, &Sheet::Labels), 0, "a small label has no room");
    let pages = printer(true, LabelSize::Eight).set(&Press::new(), &Sheet::Labels).unwrap();
    assert_eq!(Pdf::new(&pages.pdf().unwrap()).misplaced(), Vec::<String>::new());
}
