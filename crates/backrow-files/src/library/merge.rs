//! What somebody else has changed, taken into the current library; and an earlier version brought back.

use super::content::{
    BEATERS, CARE, Content, INSTRUMENTS, KINDS, ORCHESTRA, PLACES, PLAYERS, SOUNDS, VENUES, WEEKS, WORKS,
};
use super::disk::{DiskState, on_disk};
use super::drive::is_named;
use super::earlier::Earlier;
use super::open::{FORMAT_REMEDY, LARGEST, NEWER, Opened};
use super::problem::Problem;
use super::record::{
    BeatersRecord, CareRecord, InstrumentRecord, KindsRecord, OrchestraRecord, OwnKinds, PlacesRecord,
    PlayersRecord, Record, TakeRecord, VenueRecord, WeekRecord, WorkRecord,
};
use super::ron_text;
use super::second::{is_second, second_of};
use super::version::{BEFORE_2, FORMAT, STEPS, Version, bring_forward};
use backrow_core::library::{Library, Shared};
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

/// As many files may go at once before it is taken for an accident.
const FEW: usize = 10;

/// What came of looking at what others have changed.
#[derive(Clone, Debug, Default)]
pub struct TakenIn {
    /// The library with their changes.
    pub library: Library,
    /// The files that were taken in.
    pub files: Vec<String>,
    /// Files that are no longer there, too many at once to be meant. Then nothing is taken in, and `disk` stays as it was.
    pub gone: Vec<String>,
    /// Why nothing may be written from now on, where somebody's newer program has taken the library over.
    pub read_only: Option<String>,
}

/// Takes in what others have changed since `disk` was last brought up to date. `opened` is the folder as it stands, opened
/// anew after the last save. Where something has changed here too nothing is taken in: the next save keeps both. Where so much
/// has gone that it looks like an accident nothing is taken in either, until the files are back or have been given up.
pub fn import(dir: &Path, disk: &mut DiskState, opened: Opened, now: &Library) -> TakenIn {
    let mut taken = TakenIn { library: now.clone(), ..TakenIn::default() };
    let mine = disk.contents(now);
    let theirs = opened.disk.files;
    let is_newer =
        |problem: &Problem| problem.code == NEWER && [ORCHESTRA, BEFORE_2].contains(&problem.file.as_str());
    let taken_over = opened.problems.iter().any(is_newer);
    let missing: Vec<String> =
        disk.files.keys().filter(|path| !theirs.contains_key(*path)).cloned().collect();
    // What is there and cannot be read is not gone.
    let is_gone = |path: &String| {
        disk.files.get(path).is_some_and(|known| !is_named(&*disk.drive, &on_disk(dir, &known.file)))
    };
    let gone: Vec<String> = missing.into_iter().filter(is_gone).collect();
    let is_away = opened.read_only.is_some() && !taken_over && !gone.is_empty();
    let too_many = gone.len() > FEW && gone.len() * 2 > disk.files.len();
    if is_away || too_many || gone.iter().any(|path| path == ORCHESTRA) {
        taken.gone = gone;
        return taken;
    }
    for (path, known) in theirs {
        let base = disk.files.get(&path);
        if base.is_some_and(|base| is_second(&base.file) && is_named(&*disk.drive, &on_disk(dir, &base.file)))
        {
            // Two versions stand there already, and are shown side by side, until somebody has decided between them.
            continue;
        }
        let ours = mine.get(&path);
        if base.is_some_and(|base| base.content.is_same(&known.content)) {
            // At most its dress or its time has changed.
            disk.files.insert(path, known);
        } else if same(ours, base.map(|base| &base.content)) {
            set(&mut taken.library, &disk.table, &known.content);
            taken.files.push(path.clone());
            disk.files.insert(path, known);
        } else if ours.is_some_and(|ours| ours.is_same(&known.content)) {
            disk.files.insert(path, known);
        }
    }
    for path in gone {
        let unchanged = disk.files.get(&path).is_some_and(|base| same(mine.get(&path), Some(&base.content)));
        if let Some(known) = disk.files.get(&path).filter(|_| unchanged) {
            unset(&mut taken.library, &disk.table, &known.content);
            disk.files.remove(&path);
            taken.files.push(path);
        }
    }
    disk.unread = opened.disk.unread;
    if taken_over {
        disk.read_only.clone_from(&opened.read_only);
        taken.read_only = opened.read_only;
    }
    if taken.files.iter().any(|path| path == KINDS) {
        disk.without = opened.disk.without;
    }
    disk.kinds = taken.library.kinds.clone();
    taken
}

impl DiskState {
    /// Forgets the files that are no longer there, so that the next save writes them again.
    pub fn forget_missing(&mut self, dir: &Path) {
        let drive = self.drive.clone();
        self.files.retain(|_, known| is_named(&*drive, &on_disk(dir, &known.file)));
        if ![ORCHESTRA, BEFORE_2].iter().any(|file| is_named(&*drive, &on_disk(dir, file))) {
            self.usual = None;
        }
    }
}

/// The library with an earlier version of one file in the place of what it holds now. Nothing is written: the next save does.
///
/// # Errors
/// The version cannot be read, or was made by a newer program.
pub fn bring_back(
    dir: &Path,
    disk: &DiskState,
    earlier: &Earlier,
    now: &Library,
) -> Result<Library, Problem> {
    let bytes = disk
        .drive
        .read(&on_disk(dir, &earlier.version), LARGEST)
        .map_err(|error| Problem::io(&earlier.version, "read it", &error))?;
    let content = parse(&earlier.file, &String::from_utf8_lossy(&bytes))?;
    let mut library = now.clone();
    set(&mut library, &disk.table, &content);
    Ok(library)
}

/// Whether a text is one that the library's file of that name may hold.
///
/// # Errors
/// What is wrong with it, with its line.
pub fn check_text(file: &str, text: &str) -> Result<(), Problem> {
    parse(file, text).map(drop)
}

fn same(one: Option<&Content>, other: Option<&Content>) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => one.is_same(other),
        (None, None) => true,
        _ => false,
    }
}

/// Puts what a file holds in its place in the library.
pub(super) fn set(
    library: &mut Library,
    table: &Shared<backrow_core::id::KindId, backrow_core::collection::Kind>,
    content: &Content,
) {
    match content {
        Content::Orchestra(orchestra) => library.orchestra = orchestra.clone(),
        Content::Players(players) => library.players = players.clone(),
        Content::Beaters(beaters) => library.beaters = beaters.clone(),
        Content::Places(places) => library.places = places.clone(),
        Content::Kinds(own) => {
            let mut all = (**table).clone();
            all.retain(|id, _| !own.without.contains(id));
            all.extend(own.kinds.iter().map(|(id, kind)| (id.clone(), kind.clone())));
            library.kinds = Arc::new(all);
        }
        Content::Venue(one) => drop(Arc::make_mut(&mut library.venues).insert(one.id.clone(), one.clone())),
        Content::Instrument(one) => {
            drop(Arc::make_mut(&mut library.instruments).insert(one.id.clone(), one.clone()));
        }
        Content::Care(one) => {
            drop(Arc::make_mut(&mut library.care).insert(one.instrument.clone(), one.clone()));
        }
        Content::Work(one) => drop(Arc::make_mut(&mut library.works).insert(one.id.clone(), one.clone())),
        Content::Week(one) => drop(Arc::make_mut(&mut library.weeks).insert(one.id.clone(), one.clone())),
        Content::Take(one) => drop(Arc::make_mut(&mut library.takes).insert(one.key(), one.clone())),
    }
}

/// Takes what a file held out of the library.
fn unset(
    library: &mut Library,
    table: &Shared<backrow_core::id::KindId, backrow_core::collection::Kind>,
    content: &Content,
) {
    match content {
        Content::Orchestra(_) => {}
        Content::Players(_) => library.players = Shared::default(),
        Content::Beaters(_) => library.beaters = Shared::default(),
        Content::Places(_) => library.places = Shared::default(),
        Content::Kinds(_) => library.kinds = table.clone(),
        Content::Venue(one) => drop(Arc::make_mut(&mut library.venues).remove(&one.id)),
        Content::Instrument(one) => drop(Arc::make_mut(&mut library.instruments).remove(&one.id)),
        Content::Care(one) => drop(Arc::make_mut(&mut library.care).remove(&one.instrument)),
        Content::Work(one) => drop(Arc::make_mut(&mut library.works).remove(&one.id)),
        Content::Week(one) => drop(Arc::make_mut(&mut library.weeks).remove(&one.id)),
        Content::Take(one) => drop(Arc::make_mut(&mut library.takes).remove(&one.key())),
    }
}

fn value<R: Record>(file: &str, text: &str) -> Result<R::Value, Problem> {
    ron_text::read::<R>(file, text).map(Record::value)
}

/// The values of a list by their ids.
macro_rules! by_id {
    ($values:expr) => {
        Arc::new($values.into_iter().map(|one| (one.id.clone(), Arc::new(one))).collect())
    };
}

/// What the text of a file holds.
pub(super) fn parse(file: &str, text: &str) -> Result<Content, Problem> {
    let text = match bring_forward(file, text, FORMAT, STEPS) {
        Version::Readable(text) => text,
        Version::Newer(version) => {
            let what = format!("it was made by a newer Backrow (format {version}, here {FORMAT})");
            return Err(Problem::new(file, NEWER, what, FORMAT_REMEDY));
        }
        Version::Unknown(what) => {
            return Err(Problem::new(file, "unknown-format", what, "choose another version"));
        }
    };
    // A version kept beside a file at the top of the folder holds what that file may hold.
    let list = second_of(file).map(|(stem, _)| format!("{stem}.ron"));
    let head = file.split_once('/').map_or(list.as_deref().unwrap_or(file), |(folder, _)| folder);
    Ok(match head {
        ORCHESTRA | BEFORE_2 => Content::Orchestra(Arc::new(value::<OrchestraRecord>(file, &text)?)),
        PLAYERS => Content::Players(by_id!(value::<PlayersRecord>(file, &text)?)),
        BEATERS => Content::Beaters(by_id!(value::<BeatersRecord>(file, &text)?)),
        PLACES => Content::Places(by_id!(value::<PlacesRecord>(file, &text)?)),
        KINDS => {
            let (kinds, without) = value::<KindsRecord>(file, &text)?;
            let kinds = kinds.into_iter().map(|one| (one.id.clone(), Arc::new(one))).collect();
            Content::Kinds(OwnKinds { kinds, without: without.into_iter().collect::<BTreeSet<_>>() })
        }
        VENUES => Content::Venue(Arc::new(value::<VenueRecord>(file, &text)?)),
        INSTRUMENTS => Content::Instrument(Arc::new(value::<InstrumentRecord>(file, &text)?)),
        CARE => Content::Care(Arc::new(value::<CareRecord>(file, &text)?)),
        WORKS => Content::Work(Arc::new(value::<WorkRecord>(file, &text)?)),
        WEEKS => Content::Week(Arc::new(value::<WeekRecord>(file, &text)?)),
        SOUNDS => Content::Take(Arc::new(value::<TakeRecord>(file, &text)?)),
        _ => {
            return Err(Problem::new(
                file,
                "unknown-file",
                "no such file belongs to a library",
                "choose another",
            ));
        }
    })
}
