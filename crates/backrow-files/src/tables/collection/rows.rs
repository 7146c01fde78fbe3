//! Rows as instruments.

use super::{Field, Grid, bars_of};
use crate::problem::Problem;
use backrow_core::collection::{Frame, Instrument, Kind, Layout, Mass, Material, Owner, Place, Shape};
use backrow_core::compass::PitchSet;
use backrow_core::edit::Edit;
use backrow_core::id::{InstrumentId, KindId, PlaceId, slug_of};
use backrow_core::library::Library;
use backrow_core::pitch::ReferenceA;
use std::collections::{BTreeMap, BTreeSet};

/// What a table would bring in.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Taken {
    /// The instruments, each with its row and whether it is new; the others change one that is there.
    pub instruments: Vec<(usize, Instrument, bool)>,
    /// Places in store that the library does not have yet.
    pub places: Vec<Place>,
    /// Rows and cells that were left out, and why.
    pub problems: Vec<Problem>,
}

impl Taken {
    /// All of it as one step.
    pub fn edit(&self, file: &str) -> Edit {
        let new = self.instruments.iter().filter(|(_, _, new)| *new).count();
        let words = format!("Import {file}: {new} new, {} changed", self.instruments.len() - new);
        let places = self.places.iter().cloned().map(Edit::PutPlace);
        let things = self.instruments.iter().map(|(_, thing, _)| Edit::PutInstrument(thing.clone()));
        Edit::Together { words, edits: places.chain(things).collect() }
    }
}

/// Reads every row by its columns. A row with the id or the exact name of an instrument that is there changes that one, in the
/// columns that the table has; another row needs a kind.
pub fn take(library: &Library, grid: &Grid, columns: &[Option<Field>]) -> Taken {
    let mut taken = Taken::default();
    let mut index = Index::of(library);
    for (row, cells) in &grid.rows {
        let fields: BTreeMap<Field, &str> = columns
            .iter()
            .zip(cells)
            .filter_map(|(field, cell)| Some(((*field)?, cell.trim())))
            .filter(|(_, cell)| !cell.is_empty())
            .collect();
        let mut reader = Row { library, fields: &fields, taken: &mut taken, index: &mut index };
        match reader.instrument() {
            Ok((thing, new)) => {
                index.ids.insert(thing.id.clone());
                taken.instruments.push((*row, thing, new));
            }
            Err((field, what, remedy)) => {
                let place = format!("{}, row {row}, {field}", grid.file);
                taken.problems.push(Problem { code: "row", place, what, remedy }.cut());
            }
        }
    }
    taken
}

/// What is looked up with every row, by what it is looked up by.
struct Index<'a> {
    ids: BTreeSet<InstrumentId>,
    by_name: BTreeMap<&'a str, &'a Instrument>,
    kinds: BTreeMap<String, &'a Kind>,
    places: BTreeMap<String, PlaceId>,
    place_ids: BTreeSet<PlaceId>,
    /// The next number to try for a name that is taken.
    next: BTreeMap<String, u64>,
}

impl<'a> Index<'a> {
    fn of(library: &'a Library) -> Self {
        let mut by_name = BTreeMap::new();
        for thing in library.instruments.values() {
            by_name.entry(thing.name.as_str()).or_insert(&**thing);
        }
        let mut kinds = BTreeMap::new();
        for kind in library.kinds.values() {
            for word in kind.names.all().map(str::to_lowercase) {
                kinds.entry(word).or_insert(&**kind);
            }
        }
        let mut places = BTreeMap::new();
        for place in library.places.values() {
            places.entry(place.name.to_lowercase()).or_insert_with(|| place.id.clone());
        }
        Self {
            ids: library.instruments.keys().cloned().collect(),
            by_name,
            kinds,
            places,
            place_ids: library.places.keys().cloned().collect(),
            next: BTreeMap::new(),
        }
    }

    /// The first free one of `name`, `name-2`, `name-3`, ..., without trying again those that were taken before.
    fn fresh(&mut self, name: &str) -> InstrumentId {
        let slug = slug_of(name);
        let next = self.next.entry(slug.clone()).or_insert(1);
        loop {
            let text = if *next == 1 { slug.clone() } else { format!("{slug}-{next}") };
            *next += 1;
            match InstrumentId::new(&text) {
                Ok(id) if !self.ids.contains(&id) => return id,
                Ok(_taken) => {}
                Err(_odd) => return InstrumentId::fresh(name, |id| self.ids.contains(id)),
            }
        }
    }
}

/// Which column, what is wrong, what would mend it.
type Refused = (&'static str, String, String);

struct Row<'a, 'b> {
    index: &'b mut Index<'a>,
    library: &'a Library,
    fields: &'b BTreeMap<Field, &'b str>,
    taken: &'b mut Taken,
}

impl<'a> Row<'a, '_> {
    fn get(&self, field: Field) -> Option<&str> {
        self.fields.get(&field).copied()
    }

    fn instrument(&mut self) -> Result<(Instrument, bool), Refused> {
        let known = self.known();
        let new = known.is_none();
        let mut thing = match known {
            Some(thing) => thing,
            None => self.fresh()?,
        };
        if let Some(name) = self.get(Field::Name) {
            name.clone_into(&mut thing.name);
        }
        if !new && self.get(Field::Kind).is_some() {
            thing.kind = self.kind()?.id.clone();
        }
        if let Some(owner) = self.get(Field::Owner) {
            thing.owner = self.owner(owner);
        }
        if let Some(place) = self.get(Field::Place).map(str::to_owned) {
            thing.place = Some(self.place(&place));
        }
        self.bars(&mut thing)?;
        self.words(&mut thing)?;
        self.figures(&mut thing)?;
        Ok((thing, new))
    }

    /// The instrument of that id, or of exactly that name.
    fn known(&self) -> Option<Instrument> {
        let by_id = self.get(Field::Id).and_then(|id| InstrumentId::new(id).ok());
        let by_id = by_id.and_then(|id| self.library.instruments.get(&id));
        let by_name = || {
            let name = self.get(Field::Name)?;
            self.index.by_name.get(name).copied()
        };
        by_id.map(|thing| &**thing).or_else(by_name).cloned()
    }

    fn fresh(&mut self) -> Result<Instrument, Refused> {
        let kind = self.kind()?;
        let name = self.get(Field::Name).map_or_else(|| kind.name().to_owned(), str::to_owned);
        let wanted = self.get(Field::Id).and_then(|id| InstrumentId::new(id).ok());
        let wanted = wanted.filter(|id| !self.index.ids.contains(id));
        let id = wanted.unwrap_or_else(|| self.index.fresh(&name));
        Ok(Instrument { name, ..Instrument::of_kind(id, kind) })
    }

    fn kind(&self) -> Result<&'a Kind, Refused> {
        let word = self.get(Field::Kind).or_else(|| self.get(Field::Name));
        let word = word.ok_or_else(|| {
            let remedy = "give the row a kind, such as xylophone";
            ("kind", "the row has neither kind nor name".to_owned(), remedy.to_owned())
        })?;
        let plain = word.to_lowercase().replace([' ', '-'], "_");
        let by_id = KindId::new(&plain).ok().and_then(|id| self.library.kinds.get(&id)).map(|kind| &**kind);
        by_id.or_else(|| self.index.kinds.get(&word.to_lowercase()).copied()).ok_or_else(|| {
            let remedy = "use a name of the kinds table in English, Italian, German or French";
            ("kind", format!("no kind is called \"{word}\""), remedy.to_owned())
        })
    }

    fn owner(&self, word: &str) -> Owner {
        let orchestra = &self.library.orchestra.name;
        if word.eq_ignore_ascii_case("ours") || word.eq_ignore_ascii_case("orchestra") || word == orchestra {
            return Owner::Orchestra;
        }
        let player =
            self.library.players.values().find(|player| player.name == word || player.initials == word);
        player.map_or_else(|| Owner::Other(word.to_owned()), |player| Owner::Player(player.id.clone()))
    }

    /// A place of that name; a new one when there is none.
    fn place(&mut self, word: &str) -> PlaceId {
        if let Some(id) = self.index.places.get(&word.to_lowercase()) {
            return id.clone();
        }
        let id = PlaceId::fresh(word, |id| self.index.place_ids.contains(id));
        self.index.places.insert(word.to_lowercase(), id.clone());
        self.index.place_ids.insert(id.clone());
        self.taken.places.push(Place {
            id: id.clone(),
            name: word.to_owned(),
            remark: String::new(),
            air: Vec::new(),
        });
        id
    }

    /// Frames apart by semicolons. Frames that have those bars already stay as they are, with their dead bars and order.
    fn bars(&self, thing: &mut Instrument) -> Result<(), Refused> {
        let Some(text) = self.get(Field::Bars) else { return Ok(()) };
        let refuse = |why: String| ("bars", why, "sounding notes; frames apart by ;".to_owned());
        let sets: Result<Vec<PitchSet>, String> = text.split(';').map(bars_of).collect();
        let sets = sets.map_err(refuse)?;
        if sets.len() == thing.frames.len() && thing.frames.iter().zip(&sets).all(|(f, set)| f.bars() == *set)
        {
            return Ok(());
        }
        let frame = |set: PitchSet| Frame {
            range: set.lowest().zip(set.highest()),
            gaps: set.gaps(),
            ..Frame::default()
        };
        thing.frames = sets.into_iter().filter(|set| !set.is_empty()).map(frame).collect();
        Ok(())
    }

    fn words(&self, thing: &mut Instrument) -> Result<(), Refused> {
        if let Some(word) = self.get(Field::Layout) {
            let all = Layout::ALL.map(Layout::word).join(", ");
            let found = Layout::ALL.into_iter().find(|layout| layout.word() == word.to_lowercase());
            thing.layout = found
                .ok_or_else(|| ("layout", format!("\"{word}\" is none"), format!("use one of {all}")))?;
        }
        if let Some(word) = self.get(Field::Material) {
            let all = Material::ALL.map(Material::word).join(", ");
            let found = Material::ALL.into_iter().find(|material| material.word() == word.to_lowercase());
            thing.material = found
                .ok_or_else(|| ("material", format!("\"{word}\" is none"), format!("use one of {all}")))?;
        }
        if let Some(words) = self.get(Field::Character) {
            thing.character =
                words.split(',').map(str::trim).filter(|word| !word.is_empty()).map(str::to_owned).collect();
        }
        if let Some(words) = self.get(Field::Condition) {
            words.clone_into(&mut thing.condition);
        }
        if let Some(words) = self.get(Field::Remark) {
            words.clone_into(&mut thing.remark);
        }
        Ok(())
    }

    fn figures(&self, thing: &mut Instrument) -> Result<(), Refused> {
        if let Some(kg) = self.figure(Field::Mass)? {
            let weighed = self.get(Field::Weighed).map_or_else(
                || thing.mass.is_some_and(|mass| mass.weighed),
                |word| matches!(word.to_lowercase().as_str(), "yes" | "true" | "1" | "x" | "ja" | "oui"),
            );
            let same = thing.whole_mass().is_some_and(|mass| (mass.kg - kg).abs() < 1e-9);
            if !same {
                thing.pieces.clear();
            }
            if thing.pieces.is_empty() {
                thing.mass = Some(Mass { kg, weighed });
            }
        }
        if let Some(hz) = self.figure(Field::A)? {
            let a = ReferenceA::new(hz).map_err(|why| ("A Hz", why.to_string(), "such as 442".to_owned()))?;
            thing.tuned_to = Some(a);
        }
        if let Some(height) = self.figure(Field::Height)? {
            thing.footprint.height_m = height;
        }
        let (width, depth) = (self.figure(Field::Width)?, self.figure(Field::Depth)?);
        let shape = &mut thing.footprint.shape;
        let now = shape.extent();
        let (width, depth) = (width.unwrap_or(now.0), depth.unwrap_or(now.1));
        if (width - now.0).abs() > 1e-9 || (depth - now.1).abs() > 1e-9 {
            *shape = match *shape {
                Shape::Keyboard { low_m, high_m, .. } => {
                    Shape::Keyboard { width_m: width, low_m: depth, high_m: high_m / low_m.max(0.01) * depth }
                }
                Shape::Box { .. } => Shape::Box { width_m: width, depth_m: depth },
                Shape::Round { .. } => Shape::Round { diameter_m: width },
                Shape::Hung { .. } => Shape::Hung { width_m: width, depth_m: depth },
            };
        }
        Ok(())
    }

    /// A figure above zero, with a decimal point or comma.
    fn figure(&self, field: Field) -> Result<Option<f64>, Refused> {
        let Some(text) = self.get(field) else { return Ok(None) };
        let value: Option<f64> = text.replace(',', ".").parse().ok();
        value.filter(|value| value.is_finite() && *value > 0.0).map(Some).ok_or_else(|| {
            (
                field.word(),
                format!("\"{text}\" is no number above 0"),
                "a plain number such as 38.5".to_owned(),
            )
        })
    }
}
