//! What each file of a library holds.

use super::disk::on_disk;
use super::drive::{Drive, Sort};
use super::record::{
    BeatersRecord, CareRecord, InstrumentRecord, KindsRecord, OrchestraRecord, OwnKinds, PlacesRecord,
    PlayersRecord, Record, TakeRecord, VenueRecord, WeekRecord, WorkRecord,
};
use super::ron_text;
use super::version::BEFORE_2;
use backrow_core::care::Care;
use backrow_core::collection::{Beater, Instrument, Kind, Place, Player, Venue};
use backrow_core::id::{BeaterId, KindId, PlaceId, PlayerId};
use backrow_core::library::{Library, Orchestra, Shared};
use backrow_core::music::Work;
use backrow_core::sound::Take;
use backrow_core::week::Week;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

pub(super) const ORCHESTRA: &str = "orchestra.ron";
pub(super) const PLAYERS: &str = "players.ron";
pub(super) const BEATERS: &str = "beaters.ron";
pub(super) const PLACES: &str = "places.ron";
pub(super) const KINDS: &str = "kinds.ron";
pub(super) const VENUES: &str = "venues";
pub(super) const INSTRUMENTS: &str = "instruments";
pub(super) const CARE: &str = "care";
pub(super) const WORKS: &str = "works";
pub(super) const WEEKS: &str = "weeks";

/// The lists that stand at a library's top, one of which tells it: the orchestra's, or another where that one was lost. Folders do
/// not: any folder may have one that is called works.
const TELLS: [&str; 6] = [ORCHESTRA, BEFORE_2, PLAYERS, BEATERS, PLACES, KINDS];

/// Whether a folder holds a library, old or new; `is_file` says whether a file is there.
pub(super) fn tells_library(dir: &Path, is_file: impl Fn(&Path) -> bool) -> bool {
    TELLS.iter().any(|file| is_file(&dir.join(file)))
}

/// Whether a folder holds a library, old or new.
pub fn is_library(dir: &Path) -> bool {
    tells_library(dir, Path::is_file)
}

/// The folder of takes.
pub const SOUNDS: &str = "sounds";

/// The folders with one file a thing. Takes lie a folder deeper, see [`folders`].
pub(super) const FOLDERS: [&str; 5] = [VENUES, INSTRUMENTS, CARE, WORKS, WEEKS];

/// Every folder below `base` in which records lie: those with one file a thing, and an instrument's of takes, in order.
pub(super) fn folders(drive: &dyn Drive, base: &Path) -> Vec<String> {
    let sounds = on_disk(base, SOUNDS);
    let names = drive.names(&sounds).unwrap_or_default();
    let names = names.into_iter().filter_map(|name| name.ok()?.into_string().ok());
    let is_folder = |name: &String| {
        !name.starts_with('.') && drive.look(&sounds.join(name)).is_ok_and(|look| look.sort == Sort::Folder)
    };
    let mut takes: Vec<String> = names.filter(is_folder).map(|name| format!("{SOUNDS}/{name}")).collect();
    takes.sort();
    FOLDERS.into_iter().map(str::to_owned).chain(takes).collect()
}

/// What one file holds, shared with the library that it came from or goes to.
#[derive(Clone, Debug)]
pub(super) enum Content {
    Orchestra(Arc<Orchestra>),
    Players(Shared<PlayerId, Player>),
    Beaters(Shared<BeaterId, Beater>),
    Places(Shared<PlaceId, Place>),
    Kinds(OwnKinds),
    Venue(Arc<Venue>),
    Instrument(Arc<Instrument>),
    Care(Arc<Care>),
    Work(Arc<Work>),
    Week(Arc<Week>),
    Take(Arc<Take>),
}

/// The same thing in memory, or an equal one.
fn same<T: PartialEq>(one: &Arc<T>, other: &Arc<T>) -> bool {
    Arc::ptr_eq(one, other) || one == other
}

fn all<K, V: Clone>(map: &BTreeMap<K, Arc<V>>) -> Vec<V> {
    map.values().map(|value| V::clone(value)).collect()
}

impl Content {
    /// Whether a file that holds `self` need not be written for `other`.
    pub(super) fn is_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Orchestra(a), Self::Orchestra(b)) => same(a, b),
            (Self::Players(a), Self::Players(b)) => same(a, b),
            (Self::Beaters(a), Self::Beaters(b)) => same(a, b),
            (Self::Places(a), Self::Places(b)) => same(a, b),
            (Self::Kinds(a), Self::Kinds(b)) => a == b,
            (Self::Venue(a), Self::Venue(b)) => same(a, b),
            (Self::Instrument(a), Self::Instrument(b)) => same(a, b),
            (Self::Care(a), Self::Care(b)) => same(a, b),
            (Self::Work(a), Self::Work(b)) => same(a, b),
            (Self::Week(a), Self::Week(b)) => same(a, b),
            (Self::Take(a), Self::Take(b)) => same(a, b),
            _ => false,
        }
    }

    /// The text of its file.
    pub(super) fn text(&self) -> Result<String, String> {
        match self {
            Self::Orchestra(orchestra) => ron_text::write(&OrchestraRecord::of(orchestra)),
            Self::Players(players) => ron_text::write(&PlayersRecord::of(&all(players))),
            Self::Beaters(beaters) => ron_text::write(&BeatersRecord::of(&all(beaters))),
            Self::Places(places) => ron_text::write(&PlacesRecord::of(&all(places))),
            Self::Kinds(own) => {
                let without = own.without.iter().cloned().collect();
                ron_text::write(&KindsRecord::of(&(all(&own.kinds), without)))
            }
            Self::Venue(venue) => ron_text::write(&VenueRecord::of(venue)),
            Self::Instrument(thing) => ron_text::write(&InstrumentRecord::of(thing)),
            Self::Care(care) => ron_text::write(&CareRecord::of(care)),
            Self::Work(work) => ron_text::write(&WorkRecord::of(work)),
            Self::Week(week) => ron_text::write(&WeekRecord::of(week)),
            Self::Take(take) => ron_text::write(&TakeRecord::of(take)),
        }
    }

    /// The path that its file has by rights.
    pub(super) fn path(&self) -> String {
        match self {
            Self::Orchestra(_) => ORCHESTRA.to_owned(),
            Self::Players(_) => PLAYERS.to_owned(),
            Self::Beaters(_) => BEATERS.to_owned(),
            Self::Places(_) => PLACES.to_owned(),
            Self::Kinds(_) => KINDS.to_owned(),
            Self::Venue(venue) => path_of(VENUES, &venue.id),
            Self::Instrument(thing) => path_of(INSTRUMENTS, &thing.id),
            Self::Care(care) => path_of(CARE, &care.instrument),
            Self::Work(work) => path_of(WORKS, &work.id),
            Self::Week(week) => path_of(WEEKS, &week.id),
            Self::Take(take) => path_of(SOUNDS, take.key()),
        }
    }

    /// Whether there is nothing in it that a file would be made for.
    fn is_empty(&self) -> bool {
        match self {
            Self::Players(players) => players.is_empty(),
            Self::Beaters(beaters) => beaters.is_empty(),
            Self::Places(places) => places.is_empty(),
            Self::Kinds(own) => *own == OwnKinds::default(),
            _ => false,
        }
    }
}

/// `instruments/xylophone-2.ron`.
pub(super) fn path_of(folder: &str, id: impl std::fmt::Display) -> String {
    format!("{folder}/{id}.ron")
}

/// What the orchestra has of its own on top of the kinds table. `without` are the kinds of the table that are struck out.
fn own_kinds(library: &Library, table: &Shared<KindId, Kind>, without: &BTreeSet<KindId>) -> OwnKinds {
    let own = |(id, kind): (&KindId, &Arc<Kind>)| {
        let is_tables = table.get(id).is_some_and(|usual| same(usual, kind));
        (!is_tables).then(|| (id.clone(), kind.clone()))
    };
    let without = without.iter().filter(|id| !library.kinds.contains_key(*id)).cloned().collect();
    OwnKinds { kinds: library.kinds.iter().filter_map(own).collect(), without }
}

/// Every file of a library and what it holds. A list that is empty has a file only where one stands in `known`.
pub(super) fn contents(
    library: &Library,
    table: &Shared<KindId, Kind>,
    without: &BTreeSet<KindId>,
    known: impl Fn(&str) -> bool,
) -> BTreeMap<String, Content> {
    let lists = [
        (PLAYERS, Content::Players(library.players.clone())),
        (BEATERS, Content::Beaters(library.beaters.clone())),
        (PLACES, Content::Places(library.places.clone())),
        (KINDS, Content::Kinds(own_kinds(library, table, without))),
    ];
    let mut files = BTreeMap::from([(ORCHESTRA.to_owned(), Content::Orchestra(library.orchestra.clone()))]);
    files.extend(
        lists
            .into_iter()
            .filter(|(file, content)| !content.is_empty() || known(file))
            .map(|(file, content)| (file.to_owned(), content)),
    );
    files.extend(library.venues.iter().map(|(id, v)| (path_of(VENUES, id), Content::Venue(v.clone()))));
    files.extend(
        library.instruments.iter().map(|(id, v)| (path_of(INSTRUMENTS, id), Content::Instrument(v.clone()))),
    );
    files.extend(library.care.iter().map(|(id, v)| (path_of(CARE, id), Content::Care(v.clone()))));
    files.extend(library.works.iter().map(|(id, v)| (path_of(WORKS, id), Content::Work(v.clone()))));
    files.extend(library.weeks.iter().map(|(id, v)| (path_of(WEEKS, id), Content::Week(v.clone()))));
    files.extend(library.takes.iter().map(|(key, v)| (path_of(SOUNDS, key), Content::Take(v.clone()))));
    files
}
