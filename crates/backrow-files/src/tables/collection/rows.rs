//! Rows as things of the collection. A cell that cannot be read costs that cell, not its row; a row without what a thing needs is
//! left out.

mod ids;
mod instrument;
mod others;

use super::columns::limits;
use super::field::{Field, Subject};
use super::unit::{Unit, figure};
use super::{Import, Owners};
use crate::problem::Problem;
use crate::score::names::{Context as Around, NameTable};
use backrow_core::collection::{Beater, Instrument, Kind, NAME_LETTERS, Owner, Place, Player};
use backrow_core::edit::Edit;
use backrow_core::id::{KindId, PlaceId};
use backrow_core::library::Library;
use backrow_core::music::Degree;
use ids::Ids;
use std::collections::BTreeMap;

/// What a row becomes.
#[derive(Clone, Debug, PartialEq)]
#[expect(missing_docs, reason = "the things' own names")]
pub enum Thing {
    Instrument(Box<Instrument>),
    Beater(Beater),
    Player(Player),
    Place(Place),
}

impl Thing {
    /// Its name.
    pub fn name(&self) -> &str {
        match self {
            Self::Instrument(thing) => &thing.name,
            Self::Beater(thing) => &thing.name,
            Self::Player(thing) => &thing.name,
            Self::Place(thing) => &thing.name,
        }
    }

    fn edit(&self) -> Edit {
        match self {
            Self::Instrument(thing) => Edit::PutInstrument((**thing).clone()),
            Self::Beater(thing) => Edit::PutBeater(thing.clone()),
            Self::Player(thing) => Edit::PutPlayer(thing.clone()),
            Self::Place(thing) => Edit::PutPlace(thing.clone()),
        }
    }
}

/// What happens with a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// It becomes a new thing.
    New,
    /// It changes one that is there.
    Changes,
    /// It says what the library has already.
    Same,
}

/// Something about a row or a cell that cannot be read, or was guessed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// The row, as a spreadsheet counts.
    pub row: usize,
    /// The column, from 0; `None` when the row lacks it.
    pub column: Option<usize>,
    /// Whether the whole row is left out, and not this cell alone.
    pub whole_row: bool,
    /// Whether it was read, and only should be looked at again.
    pub guess: bool,
    /// What, where, and what would mend it.
    pub problem: Problem,
}

/// What a table would bring in.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Taken {
    /// The things, each with its row and what becomes of it.
    pub things: Vec<(usize, Thing, Fate)>,
    /// Places in store that the library does not have yet.
    pub places: Vec<Place>,
    /// Rows and cells that were left out, and why.
    pub troubles: Vec<Trouble>,
}

impl Taken {
    /// How many rows have that fate.
    pub fn count(&self, fate: Fate) -> usize {
        self.things.iter().filter(|(_, _, of)| *of == fate).count()
    }

    /// How many rows are left out.
    pub fn left_out(&self) -> usize {
        self.troubles.iter().filter(|trouble| trouble.whole_row).count()
    }

    /// All of it as one step; `None` where nothing would change.
    pub fn edit(&self, file: &str) -> Option<Edit> {
        let words =
            format!("Import {file}: {} new, {} changed", self.count(Fate::New), self.count(Fate::Changes));
        let places = self.places.iter().cloned().map(Edit::PutPlace);
        let changed = self.things.iter().filter(|(_, _, fate)| *fate != Fate::Same);
        let edits: Vec<Edit> = places.chain(changed.map(|(_, thing, _)| thing.edit())).collect();
        (!edits.is_empty()).then_some(Edit::Together { words, edits })
    }
}

/// Reads every row by its columns. A row with the id or the name of a thing that is there changes that one, in the columns that
/// the table has.
pub fn take(library: &Library, import: &Import) -> Taken {
    let mut read = Read::of(library, import);
    let mut things = Vec::new();
    for (row, cells) in &import.grid.rows {
        if import.left_out.contains(row) {
            continue;
        }
        read.row = *row;
        read.cells = import
            .columns
            .iter()
            .enumerate()
            .filter_map(|(at, column)| {
                let column = (*column)?;
                let cell = cells.get(at)?.trim();
                (!cell.is_empty()).then_some((column.field, Cell { at, text: cell, unit: column.unit }))
            })
            .collect();
        if read.cells.is_empty() {
            continue;
        }
        read.cut_name();
        let found = match import.subject {
            Subject::Instruments => read.instrument(),
            Subject::Beaters => read.beater(),
            Subject::Players => read.player(),
            Subject::Places => read.place(),
        };
        things.extend(found.map(|(thing, fate)| (*row, thing, fate)));
    }
    Taken { things, places: read.new_places, troubles: read.troubles }
}

/// A cell with its column.
#[derive(Clone, Copy)]
struct Cell<'a> {
    at: usize,
    text: &'a str,
    unit: Option<Unit>,
}

/// A row as it is read, among what the rows before it brought.
struct Read<'a> {
    library: &'a Library,
    import: &'a Import,
    names: NameTable,
    ids: Ids,
    places: BTreeMap<String, PlaceId>,
    place_ids: Ids,
    new_places: Vec<Place>,
    owners: Owners,
    next_player: u32,
    kind_names: BTreeMap<String, KindId>,
    kinds: BTreeMap<String, Option<(KindId, Vec<KindId>)>>,
    troubles: Vec<Trouble>,
    row: usize,
    cells: BTreeMap<Field, Cell<'a>>,
}

impl<'a> Read<'a> {
    fn of(library: &'a Library, import: &'a Import) -> Self {
        let at = import.columns.iter().position(|column| column.is_some_and(|c| c.field == Field::Id));
        let rows = import.grid.rows.iter().filter(|(row, _)| !import.left_out.contains(row));
        let cells = rows.filter_map(|(_, cells)| Some(cells.get(at?)?.trim()));
        let table: Vec<&str> = cells.filter(|cell| !cell.is_empty()).collect();
        let ids = match import.subject {
            Subject::Instruments => {
                let all = library.instruments.values();
                Ids::new(all.map(|thing| (thing.id.as_str(), thing.name.as_str())), &table)
            }
            Subject::Beaters => {
                Ids::new(library.beaters.values().map(|b| (b.id.as_str(), b.name.as_str())), &table)
            }
            Subject::Players => {
                Ids::new(library.players.values().map(|p| (p.id.as_str(), p.name.as_str())), &table)
            }
            Subject::Places => {
                Ids::new(library.places.values().map(|p| (p.id.as_str(), p.name.as_str())), &table)
            }
        };
        let mut places = BTreeMap::new();
        for place in library.places.values() {
            places.entry(place.name.to_lowercase()).or_insert_with(|| place.id.clone());
        }
        let mut kind_names = BTreeMap::new();
        for kind in library.kinds.values() {
            for name in kind.names.all() {
                kind_names.entry(name.to_lowercase()).or_insert_with(|| kind.id.clone());
            }
        }
        Self {
            library,
            import,
            names: NameTable::new(&library.kinds),
            ids,
            places,
            place_ids: Ids::new(library.places.values().map(|p| (p.id.as_str(), p.name.as_str())), &[]),
            new_places: Vec::new(),
            owners: Owners::of(library),
            next_player: library.players.values().map(|p| p.order.saturating_add(1)).max().unwrap_or(0),
            kind_names,
            kinds: BTreeMap::new(),
            troubles: Vec::new(),
            row: 0,
            cells: BTreeMap::new(),
        }
    }

    fn get(&self, field: Field) -> Option<&'a str> {
        self.cells.get(&field).map(|cell| cell.text)
    }

    fn known(&mut self) -> Option<String> {
        self.ids.known(self.get(Field::Id), self.get(Field::Name))
    }

    fn fresh(&mut self, name: &str) -> String {
        self.ids.fresh(self.get(Field::Id), name)
    }

    fn trouble(&mut self, field: Field, what: String, remedy: &str) {
        let column = self.cells.get(&field).map(|cell| cell.at);
        let place = format!("{}, row {}, {}", self.import.grid.file, self.row, field.bare_word());
        let remedy = remedy.to_owned();
        let problem = Problem { code: "cell", place, what, remedy }.cut();
        self.troubles.push(Trouble { row: self.row, column, whole_row: false, guess: false, problem });
    }

    /// The row is left out.
    fn refuse(&mut self, field: Field, what: String, remedy: &str) {
        self.trouble(field, what, remedy);
        if let Some(last) = self.troubles.last_mut() {
            last.whole_row = true;
            last.problem.code = "row";
        }
    }

    fn guessed(&mut self, field: Field, what: String, remedy: &str) {
        self.trouble(field, what, remedy);
        if let Some(last) = self.troubles.last_mut() {
            last.guess = true;
            last.problem.code = "guess";
        }
    }

    /// A name that is longer than any may be is cut.
    fn cut_name(&mut self) {
        let Some(cell) = self.cells.get_mut(&Field::Name) else { return };
        let Some((end, _)) = cell.text.char_indices().nth(NAME_LETTERS) else { return };
        let letters = cell.text.chars().count();
        cell.text = cell.text.get(..end).unwrap_or_default().trim_end();
        let what = format!("the name has {letters} letters and was cut to {NAME_LETTERS}");
        self.guessed(Field::Name, what, "write a shorter one");
    }

    /// A name; a row without one is left out.
    fn name(&mut self) -> Option<&'a str> {
        let name = self.get(Field::Name);
        if name.is_none() {
            self.refuse(Field::Name, "the row has no name".to_owned(), "write one, or leave the row out");
        }
        name
    }

    /// The kind that a word names in any language; what else it may mean is said.
    fn kind_of(&mut self, field: Field, word: &str) -> Option<&'a Kind> {
        let library = self.library;
        if !self.kinds.contains_key(word) {
            let found = self.look_up(word);
            self.kinds.insert(word.to_owned(), found);
        }
        let (id, others) = self.kinds.get(word)?.clone()?;
        let kind = library.kinds.get(&id).map(|kind| &**kind)?;
        if !others.is_empty() {
            let others: Vec<String> = others.iter().map(|id| library.kind_name(id)).collect();
            let what =
                format!("\"{word}\" was read as {}; it may also be {}", kind.name(), others.join(" or "));
            self.guessed(field, what, "write the kind’s full name where it is another");
        }
        Some(kind)
    }

    /// The kind of that id or name; else what a part's heading of these words would name, with what else it may be.
    fn look_up(&self, word: &str) -> Option<(KindId, Vec<KindId>)> {
        let plain = word.trim().to_lowercase();
        let by_id = KindId::new(&plain.replace([' ', '-'], "_")).ok();
        let by_id = by_id.filter(|id| self.library.kinds.contains_key(id));
        if let Some(id) = by_id.or_else(|| self.kind_names.get(&plain).cloned()) {
            return Some((id, Vec::new()));
        }
        let heading = self.names.heading(word);
        let found = heading.found.first().filter(|_| !heading.other)?;
        let resolved = self.names.resolve(&found.candidates, &Around::default());
        let id = resolved.kind?;
        let others = if resolved.degree == Degree::Unclear { resolved.candidates } else { Vec::new() };
        let others = others.into_iter().filter(|other| *other != id).take(3).collect();
        Some((id, others))
    }

    /// Kinds apart by commas or semicolons; words that name none are told.
    fn kinds(&mut self, field: Field) -> Option<Vec<KindId>> {
        let cell = self.get(field)?;
        let mut kinds = Vec::new();
        for word in cell.split([',', ';', '/']).map(str::trim).filter(|word| !word.is_empty()) {
            match self.kind_of(field, word) {
                Some(kind) if kinds.contains(&kind.id) => {}
                Some(kind) => kinds.push(kind.id.clone()),
                None => self.trouble(field, format!("no kind is called \"{word}\""), ANY_NAME),
            }
        }
        Some(kinds)
    }

    fn owner(&self) -> Option<Owner> {
        let word = self.get(Field::Owner)?;
        let said = self.import.owners.get(word).cloned();
        Some(said.unwrap_or_else(|| self.owners.owner(word)))
    }

    /// The place of that name; a new one when there is none.
    fn place_of(&mut self) -> Option<PlaceId> {
        let word = self.get(Field::Place)?;
        if let Some(id) = self.places.get(&word.to_lowercase()) {
            return Some(id.clone());
        }
        let id = PlaceId::new(&self.place_ids.fresh(None, word)).ok()?;
        self.places.insert(word.to_lowercase(), id.clone());
        self.new_places.push(Place {
            id: id.clone(),
            name: word.to_owned(),
            remark: String::new(),
            lift: None,
            air: Vec::new(),
        });
        Some(id)
    }

    /// A figure above zero, in metres or kilograms where the field has a measure, within its limits.
    fn figure(&mut self, field: Field) -> Option<f64> {
        let cell = *self.cells.get(&field)?;
        self.figure_in(field, cell.text, cell.unit)
    }

    fn figure_in(&mut self, field: Field, text: &str, unit: Option<Unit>) -> Option<f64> {
        let Some((value, own)) = figure(text) else {
            self.trouble(
                field,
                format!("\"{text}\" is not a number above 0"),
                "write a plain number such as 38.5",
            );
            return None;
        };
        let Some(measure) = field.measures() else {
            if own.is_some() {
                self.trouble(field, format!("\"{text}\" is not a plain number"), "write it without a unit");
                return None;
            }
            return Some(value);
        };
        let unit = own.or(unit).unwrap_or(match measure {
            super::unit::Measure::Length => Unit::Metre,
            super::unit::Measure::Mass => Unit::Kilogram,
        });
        if unit.measures() != measure {
            self.trouble(
                field,
                format!("\"{text}\" has the wrong unit"),
                "use a unit of what the column measures",
            );
            return None;
        }
        // A rounded tenth of a millimetre or gram: 0.0254 has no exact double, and the same table again must change nothing.
        let value = (value * unit.in_si() * 1e4).round() / 1e4;
        let limits = limits(measure);
        if limits.contains(&value) {
            return Some(value);
        }
        let si = if measure == super::unit::Measure::Length { "m" } else { "kg" };
        let what = format!("{value} {si} is outside {} to {} {si}", limits.start(), limits.end());
        self.trouble(field, what, "correct the figure, or choose the column’s unit");
        None
    }
}

const ANY_NAME: &str = "use a name or abbreviation of the kind in English, Italian, German or French";

/// What becomes of a thing that is there when a row was read into it.
fn fate<T: PartialEq>(before: Option<&T>, now: &T) -> Fate {
    match before {
        None => Fate::New,
        Some(before) if before == now => Fate::Same,
        Some(_) => Fate::Changes,
    }
}
