use super::*;
use crate::tables::library::{beaters, collection, places, players};
use crate::tables::table::workbook;
use backrow_core::collection::{Hardness, Head, Instrument, Material, NAME_LETTERS};
use backrow_core::edit::{Edit, apply};
use rstest::rstest;

fn demo() -> Library {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    crate::library::open(&folder, &crate::kinds::standard().unwrap()).library
}

fn import(library: &Library, name: &str, text: impl AsRef<[u8]>) -> Import {
    Import::new(library, read(Path::new(name), text.as_ref()).unwrap(), None, Reading::English)
}

fn instruments(taken: &Taken) -> Vec<&Instrument> {
    let things = taken.things.iter().filter_map(|(_, thing, _)| match thing {
        Thing::Instrument(thing) => Some(&**thing),
        _ => None,
    });
    things.collect()
}

fn fields(import: &Import) -> Vec<Option<&'static str>> {
    let said = |column: &Option<Column>| column.map(|column| column.field.bare_word());
    import.columns.iter().map(said).collect()
}

#[rstest]
#[case("F4-C8", "F4-C8")]
#[case("C5 E5 G5", "C5 E5 G5")]
#[case("C4–F5, A5", "C4-F5 A5")]
#[case("F3 - F6", "F3-F6")]
#[case("F3 to F6", "F3-F6")]
fn bars_come_back(#[case] typed: &str, #[case] said: &str) {
    assert_eq!(bars_text(bars_of(typed).unwrap()), said);
}

/// Headings that speak more for something else go before the tab that is shown; where they do not, the tab goes first.
#[rstest]
#[case("stock.csv", "Name,Kind,Lowest,Highest,Mass", Some(Subject::Players), Subject::Instruments)]
#[case("stock.csv", "Name", Some(Subject::Players), Subject::Players)]
#[case("stock.csv", "Name,Initials,Role", Some(Subject::Instruments), Subject::Players)]
#[case("stock.csv", "Name,Remark", None, Subject::Instruments)]
#[case("mallets.csv", "Name,Remark", None, Subject::Beaters)]
fn what_a_table_is_of(
    #[case] file: &str,
    #[case] heads: &str,
    #[case] shown: Option<Subject>,
    #[case] of: Subject,
) {
    let heads: Vec<String> = heads.split(',').map(str::to_owned).collect();
    assert_eq!(subject_where(file, &heads, shown), of);
}

#[test]
fn bars_in_german() {
    assert_eq!(bars_text(bars_in("B3-H4", Reading::German).unwrap()), "A#3-B4");
}

#[rstest]
#[case("Name;Weight (kg);Room;type;Colour;note", &[Some("name"), Some("mass"), Some("place"), Some("kind"), None, Some("remark")])]
#[case("Bezeichnung;Gattung;Eigentümer;Lagerort;Tonumfang;Gewicht;Breite cm;Höhe [cm];Stimmton", &[Some("name"), Some("kind"), Some("owner"), Some("place"), Some("bars"), Some("mass"), Some("width"), Some("height"), Some("A Hz")])]
#[case("N° inventaire;Désignation;Catégorie;Propriétaire;Étendue;Poids;Largeur;Profondeur;Remarques", &[Some("id"), Some("name"), Some("kind"), Some("owner"), Some("bars"), Some("mass"), Some("width"), Some("depth"), Some("remark")])]
#[case("Strumento;Tipo;Proprietario;Luogo;Estensione;Peso kg;Larghezza m;Stato", &[Some("name"), Some("kind"), Some("owner"), Some("place"), Some("bars"), Some("mass"), Some("width"), Some("condition")])]
#[case("Name;Instrument;Umfang", &[Some("name"), Some("kind"), Some("bars")])]
#[case("Instrument;Bezeichnung;kg", &[Some("kind"), Some("name"), Some("mass")])]
#[case("Strumento;Tipo", &[Some("name"), Some("kind")])]
#[case("Inventory no.;Instrument;Kept in;kg;Size (W x D x H) cm", &[Some("id"), Some("name"), Some("place"), Some("mass"), Some("size")])]
fn headings_of_four_languages(#[case] heads: &str, #[case] expected: &[Option<&str>]) {
    let import = import(&demo(), "x.csv", format!("{heads}\nx\n"));
    assert_eq!(fields(&import).get(..expected.len()), Some(expected));
}

/// What is written is read back as no change at all, by both ways.
#[test]
fn the_collection_comes_back_unchanged() {
    let library = demo();
    let table = collection(&library);
    for (name, bytes) in
        [("c.csv", table.csv().unwrap()), ("c.xlsx", workbook(std::slice::from_ref(&table)).unwrap())]
    {
        let taken = take(&library, &import(&library, name, bytes));
        assert_eq!(taken.troubles, Vec::new(), "{name}");
        assert_eq!(taken.things.len(), library.instruments.len());
        for thing in instruments(&taken) {
            assert_eq!(*thing, *library.instruments[&thing.id], "{name}");
        }
        assert_eq!((taken.count(Fate::Same), taken.edit(name)), (library.instruments.len(), None));
    }
}

#[test]
fn the_other_tables_come_back_unchanged_too() {
    let library = demo();
    for table in [beaters(&library), players(&library), places(&library)] {
        let file = format!("{}.csv", table.name);
        let import = import(&library, &file, table.csv().unwrap());
        let taken = take(&library, &import);
        assert_eq!(
            (import.subject.counted(2), taken.troubles),
            (format!("2 {}", table.name.to_lowercase()), vec![])
        );
        let changed: Vec<&Thing> = taken
            .things
            .iter()
            .filter(|(_, _, fate)| *fate != Fate::Same)
            .map(|(_, thing, _)| thing)
            .collect();
        assert!(changed.is_empty() && taken.things.len() == table.rows.len(), "{changed:?}");
    }
}

/// Beaters, players and places have tables of their own.
#[test]
fn other_things_come_in_and_come_again_without_doubling() {
    let library = demo();
    let beaters = "Schlägel;Härte;Kopf;Anzahl;für\nFichte 1;hart;Gummi;4;Xylophon, Glsp.\nSoft yarn mallets;;;;\nOddity;;stone;x;\n";
    let mut beaters = import(&library, "Schlägel.csv", beaters);
    assert_eq!(beaters.subject, Subject::Beaters);
    let taken = take(&library, &beaters);
    let Some((_, Thing::Beater(first), Fate::New)) = taken.things.first() else { panic!("{taken:?}") };
    assert_eq!((first.head, first.hardness, first.count), (Head::Rubber, Hardness::Hard, 4));
    assert_eq!(
        first.suits.iter().map(backrow_core::id::KindId::as_str).collect::<Vec<_>>(),
        ["xylophone", "glockenspiel"]
    );
    let Some((_, Thing::Beater(second), _)) = taken.things.get(1) else { panic!("{taken:?}") };
    assert_eq!((second.head, second.hardness), (Head::Yarn, Hardness::Soft), "by its name");
    let cells: Vec<(usize, Option<usize>)> = taken.troubles.iter().map(|t| (t.row, t.column)).collect();
    assert_eq!(cells, [(4, Some(2)), (4, Some(3))], "a cell each, and the row stays");
    let library = apply(&library, &taken.edit("x").unwrap()).unwrap();
    beaters.match_again(&library);
    assert_eq!(take(&library, &beaters).edit("x"), None, "again it changes nothing");

    let players = import(
        &library,
        "Roster.csv",
        "Player,Initials,Position,Plays only\nUna Ferry,,principal,\nBo Quay,BQX4,extra,timpani\n",
    );
    assert_eq!(players.subject, Subject::Players);
    let taken = take(&library, &players);
    let Some((_, Thing::Player(una), _)) = taken.things.first() else { panic!("{taken:?}") };
    assert_eq!((una.initials.as_str(), una.role.as_str()), ("UF", "principal"));
    assert_eq!(taken.troubles.len(), 1, "initials of four letters");
    let library = apply(&library, &taken.edit("x").unwrap()).unwrap();
    assert_eq!(take(&library, &players).edit("x"), None);

    let places = import(&library, "Places.csv", "Room,Remark\nAttic,low beams\n");
    assert_eq!((places.subject, take(&library, &places).things.len()), (Subject::Places, 1));
}

#[test]
fn a_bad_cell_costs_the_cell_and_can_be_mended() {
    let text = "Instrument;Kind;Room;kg;Range;Material\nXylophone 9;xylophone;Attic;36,5;F4-C8;\nOddity;no such thing;;;;\nVibraphone 9;Vibrafono;Room 1;heavy;;\nGlock;glockenspiel;;;C8-G5;calf\n";
    let library = demo();
    let mut import = import(&library, "new.csv", text);
    let taken = take(&library, &import);
    let names: Vec<&str> = taken.things.iter().map(|(_, thing, _)| thing.name()).collect();
    assert_eq!(names, ["Xylophone 9", "Vibraphone 9", "Glock"]);
    let all = instruments(&taken);
    assert!(all[0].mass.unwrap().kg > 36.4 && all[0].bars().len() == 44);
    assert_eq!(
        (all[2].material, all[2].bars().is_empty()),
        (Material::Skin, false),
        "its kind's own compass"
    );
    assert_eq!(taken.places.iter().map(|p| p.name.as_str()).collect::<Vec<_>>(), ["Attic"]);
    let said: Vec<(&str, bool)> =
        taken.troubles.iter().map(|t| (t.problem.place.as_str(), t.whole_row)).collect();
    assert_eq!(
        said,
        [("new.csv, row 3, kind", true), ("new.csv, row 4, mass", false), ("new.csv, row 5, bars", false)]
    );
    import.grid.mend(3, 1, "snare");
    import.grid.mend(4, 3, "28 kg");
    import.grid.mend(5, 4, "G5 - C8");
    let taken = take(&library, &import);
    assert_eq!((taken.things.len(), taken.troubles), (4, Vec::new()));
    // The same with lines ended by CR LF.
    let grid = read(Path::new("new.csv"), text.replace('\n', "\r\n").as_bytes()).unwrap();
    assert_eq!(grid.rows.iter().map(|(row, _)| *row).collect::<Vec<_>>(), [2, 3, 4, 5]);
}

#[rstest]
#[case("Width cm;Depth cm;Mass lb\n150;80;100\n", (1.5, 0.8), 45.359_2)]
#[case("Width (in);Depth (in);Weight (g)\n59;30;38500\n", (1.498_6, 0.762), 38.5)]
#[case("Width;Depth;Mass\n150;80;38,5\n", (1.5, 0.8), 38.5)]
#[case("Width;Depth;Mass\n1450 mm;0.8 m;38.5 kg\n", (1.45, 0.8), 38.5)]
#[case("Size;kg\n150 x 80 x 90 cm;38.5\n", (1.5, 0.8), 38.5)]
fn units_stand_in_headings_or_cells_or_are_seen(
    #[case] table: &str,
    #[case] size: (f64, f64),
    #[case] kg: f64,
) {
    let (heads, row) = table.trim().split_once('\n').unwrap();
    let text = format!("Name;Kind;{heads}\nXylo 9;xylophone;{row}\n");
    let library = demo();
    let taken = take(&library, &import(&library, "u.csv", text));
    assert_eq!(taken.troubles, Vec::new());
    let all = instruments(&taken);
    assert_eq!((all[0].footprint.shape.extent(), all[0].mass.unwrap().kg), (size, kg));
}

#[test]
fn no_instrument_is_wider_than_a_hall() {
    let library = demo();
    let text = "Name;Kind;Width m;kg\nXylo 9;xylophone;150;36\nMarimba 9;marimba;2.7;90000\n";
    let taken = take(&library, &import(&library, "w.csv", text));
    let said: Vec<&str> = taken.troubles.iter().map(|t| t.problem.what.as_str()).collect();
    assert_eq!(said, ["150 m is outside 0.01 to 8 m", "90000 kg is outside 0.005 to 5000 kg"]);
    assert_eq!(taken.things.len(), 2);
}

#[test]
fn headings_may_stand_below_a_title_and_be_chosen() {
    let text = "Percussion inventory of the orchestra;;\n;;\nAs of January;;\nInstrument;Kind;kg\nXylo 9;xylophone;36\n";
    let library = demo();
    let mut import = import(&library, "t.csv", text);
    assert_eq!((import.grid.heads_row(), import.grid.rows.len()), (4, 1));
    assert_eq!(take(&library, &import).things.len(), 1);
    import.grid.set_heads_row(3);
    import.match_again(&library);
    assert_eq!((import.grid.heads_row(), import.grid.rows.len()), (3, 2));
    import.grid.set_heads_row(4);
    import.match_again(&library);
    assert_eq!(take(&library, &import).things.len(), 1);
}

#[test]
fn letters_of_old_spreadsheets_come_in_right() {
    let library = demo();
    let bytes = b"Instrument;Raum\nGro\xdfe Trommel 9;K\xe4mmerchen\n";
    let taken = take(&library, &import(&library, "alt.csv", bytes));
    assert_eq!((taken.things[0].1.name(), taken.places[0].name.as_str()), ("Große Trommel 9", "Kämmerchen"));
    let wrong = How { encoding: Some(Encoding::Utf8), sheet: None };
    assert!(read_as(Path::new("alt.csv"), bytes, wrong).unwrap().faults);
}

#[test]
fn owners_are_matched_with_names() {
    let library = demo();
    let player = library.players.values().next().unwrap().clone();
    let orchestra = library.orchestra.name.clone();
    let short = orchestra.split_whitespace().next().unwrap().to_owned();
    for word in ["ours", "orchestra", "Haus", "Orchester", orchestra.as_str(), short.as_str()] {
        assert_eq!(owner_of(&library, word), Owner::Orchestra, "{word}");
    }
    assert_eq!(owner_of(&library, &player.name.to_uppercase()), Owner::Player(player.id.clone()));
    assert_eq!(owner_of(&library, "Somebody Else"), Owner::Other("Somebody Else".to_owned()));
    let mut import = import(&library, "o.csv", "Name;Kind;Owner\nXylo 9;xylophone;orch.\n");
    assert_eq!(owner_words(&import), ["orch."]);
    import.owners.insert("orch.".to_owned(), Owner::Orchestra);
    assert_eq!(instruments(&take(&library, &import))[0].owner, Owner::Orchestra);
}

#[test]
fn words_of_kinds_that_parts_print_are_known() {
    let library = demo();
    let text = "Instrument;Umfang\nsnare;\nsus cym;\nPauke;\nMarimba 4 1/3 Oktaven;4 1/3 Oktaven\n";
    let taken = take(&library, &import(&library, "k.csv", text));
    let kinds: Vec<&str> = instruments(&taken).iter().map(|thing| thing.kind.as_str()).collect();
    assert_eq!(kinds, ["snare_drum", "suspended_cymbal", "timpani", "marimba"]);
    assert_eq!(bars_text(instruments(&taken)[3].bars()), "A2-C7");
}

#[test]
fn the_same_table_again_updates() {
    let library = demo();
    let text = "Inv. No.;Instrument;Kind;kg\nP-17;Triangle;triangle;0.4\nP-18;Triangle;triangle;0.5\n";
    let mut import = import(&library, "i.csv", text);
    let first = take(&library, &import);
    assert_eq!(first.count(Fate::New), 2);
    let library = apply(&library, &first.edit("i").unwrap()).unwrap();
    assert_eq!(take(&library, &import).edit("i"), None);
    import.grid.mend(3, 3, "0.6");
    let again = take(&library, &import);
    assert_eq!((again.count(Fate::Same), again.count(Fate::Changes)), (1, 1));
}

/// A table of an orchestra's own: titles above the headings, single drums by their widths, a kind beside each name.
#[test]
fn drums_of_a_table_are_told_by_their_widths() {
    let text = "Bestand;;;\nName;Instrument;Umfang;Breite cm\nPauke 32;Pauke;;\nPauke 29;Pauke;;80\n\
                Konzertsatz;Pauken;set of 4;\nOhne Angabe;Pauken;;\n";
    let import = import(&demo(), "bestand.csv", text);
    let taken = take(&demo(), &import);
    let things = instruments(&taken);
    let drums = |thing: &Instrument| {
        let said = thing.frames.iter().map(|frame| format!("{} {}", frame.name, bars_text(frame.bars())));
        said.collect::<Vec<_>>().join(", ")
    };
    let all: Vec<String> = things.iter().map(|thing| drums(thing)).collect();
    assert_eq!(
        all,
        ["32 in D2-A2", "29 in F2-C3", "32 in D2-A2, 29 in F2-C3, 26 in A#2-F3, 23 in D3-A3", "",]
    );
    assert!((things[1].footprint.shape.extent().0 - 0.8).abs() < 1e-9, "the table's own width");
    let guesses: Vec<&str> =
        taken.troubles.iter().filter(|t| t.guess).map(|t| t.problem.what.as_str()).collect();
    assert_eq!(guesses.len(), 2, "{guesses:?}");
    assert!(guesses[0].contains("32 in (D2 to A2)"), "{guesses:?}");
}

/// The form takes no longer name either.
#[test]
fn a_name_without_end_is_cut_and_said_to_be() {
    let long = "Ä".repeat(NAME_LETTERS + 100);
    let import = import(&demo(), "x.csv", format!("Name;Kind\n{long};triangle\nShort;triangle\n"));
    let taken = take(&demo(), &import);
    let names: Vec<usize> = instruments(&taken).iter().map(|thing| thing.name.chars().count()).collect();
    assert_eq!(names, [NAME_LETTERS, 5]);
    let said: Vec<&Trouble> = taken.troubles.iter().filter(|trouble| trouble.row == 2).collect();
    assert!(said.len() == 1 && said[0].guess && said[0].problem.what.contains("300"), "{said:?}");
}

/// Where each field of a record is in its table, or why it is in none. A new field does not compile until it is named here.
macro_rules! in_table {
    ($record:ident, $thing:expr, { $($field:ident: $at:expr),* $(,)? }) => {{
        let backrow_core::collection::$record { $($field: _),* } = $thing;
        vec![$((stringify!($field), Into::<At>::into($at))),*]
    }};
}

enum At {
    Columns(&'static [Field]),
    Nowhere(&'static str),
}

impl<const N: usize> From<&'static [Field; N]> for At {
    fn from(fields: &'static [Field; N]) -> Self {
        Self::Columns(fields)
    }
}

impl From<&'static str> for At {
    fn from(why: &'static str) -> Self {
        Self::Nowhere(why)
    }
}

#[test]
fn every_field_has_its_column_or_a_reason_why_not() {
    use Field as F;
    let library = demo();
    let (thing, beater) =
        (library.instruments.values().next().unwrap(), library.beaters.values().next().unwrap());
    let (player, place) = (library.players.values().next().unwrap(), library.places.values().next().unwrap());
    let told = [
        (
            Subject::Instruments,
            in_table!(Instrument, &**thing, {
                id: &[F::Id], kind: &[F::Kind], name: &[F::Name], owner: &[F::Owner], place: &[F::Place],
                frames: &[F::Bars], layout: &[F::Layout], material: &[F::Material], mass: &[F::Mass, F::Weighed],
                pieces: &[F::Pieces], footprint: &[F::Outline, F::Width, F::Depth, F::HighDepth, F::Height, F::Size], tuned_to: &[F::A],
                character: &[F::Character], for_two: &[F::ForTwo], condition: &[F::Condition],
                picture: "a file of its own, which no cell can hold", remark: &[F::Remark],
            }),
        ),
        (
            Subject::Beaters,
            in_table!(Beater, &**beater, {
                id: &[F::Id], name: &[F::Name], head: &[F::Head], hardness: &[F::Hardness], count: &[F::Count],
                owner: &[F::Owner], place: &[F::Place], suits: &[F::Suits], remark: &[F::Remark],
            }),
        ),
        (
            Subject::Players,
            in_table!(Player, &**player, {
                id: &[F::Id], name: &[F::Name], initials: &[F::Initials], role: &[F::Role],
                order: "the order of the rows", only: &[F::Only], never: &[F::Never],
                absences: "of services, which are no rows of this table",
            }),
        ),
        (
            Subject::Places,
            in_table!(Place, &**place, {
                id: &[F::Id], name: &[F::Name], remark: &[F::Remark], lift: &[F::Lift],
                air: "a row a day, which its own form reads from a logger",
            }),
        ),
    ];
    for (subject, fields) in told {
        let mut named = BTreeSet::new();
        for (field, at) in fields {
            match at {
                At::Columns(columns) => named.extend(columns.iter().copied()),
                At::Nowhere(why) => assert!(!why.is_empty(), "{field}"),
            }
        }
        let all: BTreeSet<Field> = subject.fields().iter().copied().collect();
        assert_eq!(named, all, "{subject:?}");
    }
}

/// What is known of frames and ends, on an instrument whose frames have all of it.
fn with_every_word_of_frames(library: &Library) -> Library {
    use backrow_core::collection::{DeadBar, Footprint, Frame, Shape, TunedBy};
    let key = |name: &str| backrow_core::pitch::parse_note(name, Reading::English).unwrap().key();
    let dead = |name: &str, since, why: &str| DeadBar { key: key(name), since, why: why.to_owned() };
    let low = Frame {
        name: "low".to_owned(),
        range: Some((key("C5"), key("E5"))),
        gaps: [key("C#5")].into_iter().collect(),
        doubled: [key("D5")].into_iter().collect(),
        extra: [key("A5")].into_iter().collect(),
        dead: vec![
            dead("D5", Some(jiff::civil::date(2026, 9, 9)), "cracked; at the cord hole, twice"),
            dead("E5", None, ""),
        ],
        order: ["A5", "C5", "E5", "D5", "D#5"].map(key).to_vec(),
        tuned_by: TunedBy::HandScrews,
        retune_s: Some(12.5),
    };
    let high = Frame { name: "high".to_owned(), range: Some((key("C6"), key("G6"))), ..Frame::default() };
    let mut thing = (**library.instruments.values().find(|thing| thing.is_pitched()).unwrap()).clone();
    thing.frames = vec![low, high];
    thing.footprint =
        Footprint { shape: Shape::Keyboard { width_m: 1.6, low_m: 0.4, high_m: 0.75 }, height_m: 0.9 };
    apply(library, &Edit::PutInstrument(thing)).unwrap()
}

/// Tables that begin another library bring all that they have a column for.
#[test]
fn tables_begin_another_library() {
    let whole = with_every_word_of_frames(&demo());
    let mut other = Library { kinds: whole.kinds.clone(), ..Library::default() };
    for table in [places(&whole), players(&whole), beaters(&whole), collection(&whole)] {
        let import = import(&other, &format!("{}.csv", table.name), table.csv().unwrap());
        let taken = take(&other, &import);
        assert!(taken.troubles.iter().all(|trouble| trouble.guess), "{:?}", taken.troubles);
        other = apply(&other, &taken.edit("x").unwrap()).unwrap();
    }
    for (id, place) in whole.places.iter() {
        let place = backrow_core::collection::Place { air: Vec::new(), ..(**place).clone() };
        assert_eq!(*other.places[id], place);
    }
    for (id, player) in whole.players.iter() {
        let there = &other.players[id];
        let player = backrow_core::collection::Player {
            absences: Vec::new(),
            order: there.order,
            ..(**player).clone()
        };
        assert_eq!(**there, player);
    }
    for (id, beater) in whole.beaters.iter() {
        assert_eq!(other.beaters[id], *beater);
    }
    for (id, thing) in whole.instruments.iter() {
        let there = &*other.instruments[id];
        // Nothing said of bars is what the kind brings.
        let frames = if thing.frames.is_empty() { &there.frames } else { &thing.frames };
        // What all of it weighs is one figure, whether pieces add up to it or somebody has said it.
        let kg = |thing: &Instrument| thing.whole_mass().map(|mass| (mass.kg * 1e4).round());
        assert_eq!(kg(there), kg(thing), "{id}");
        // Nothing said of pieces is what the kind brings.
        let pieces = if thing.pieces.is_empty() { &there.pieces } else { &thing.pieces };
        let thing = Instrument {
            frames: frames.clone(),
            mass: there.mass,
            pieces: pieces.clone(),
            picture: String::new(),
            ..(**thing).clone()
        };
        assert_eq!(*there, thing);
    }
}
