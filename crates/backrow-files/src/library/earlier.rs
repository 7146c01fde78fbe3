//! Earlier versions of the files: what stood in a file before it was written or removed.
//!
//! They lie in the library's folder under `.backrow/versions`, so that they are on the same drive (a rename keeps them in one
//! step, without copying), go with the library when it is moved, and serve everybody who shares it; and in a hidden folder
//! that version control is told to leave out, so that they are not in what people diff.

use super::content::{FOLDERS, SOUNDS, folders};
use super::disk::on_disk;
use super::drive::{Drive, Real, Sort};
use super::open::LARGEST;
use super::writer::{HALF, Writer, is_somebody_elses, stem_of_half};
use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use std::path::Path;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// Everything in the library's folder that is the program's and not the section's.
pub(super) const OWN: &str = ".backrow";
/// Where earlier versions lie.
const VERSIONS: &str = ".backrow/versions";
/// So many versions of a file are kept.
const MOST: usize = 30;
/// The newest of them are all kept; of those before, the closest together for their age go first.
const NEWEST: usize = 10;
/// A leftover younger than this may belong to a program that is writing now.
const SETTLED: Duration = Duration::from_mins(10);

/// One earlier version of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earlier {
    /// The file, relative to the library.
    pub file: String,
    /// Until when it stood there, UTC.
    pub until: DateTime,
    /// Where the version lies, relative to the library.
    pub version: String,
}

fn stem(file: &str) -> &str {
    file.strip_suffix(".ron").unwrap_or(file)
}

fn folder_for(file: &str) -> String {
    format!("{VERSIONS}/{}", stem(file))
}

/// `20261126-221512-123456`: in order as text, and the same in every zone.
fn name_at(time: SystemTime) -> String {
    let micros = time.duration_since(UNIX_EPOCH).map_or(0, |since| since.as_micros());
    let micros = i64::try_from(micros).unwrap_or(i64::MAX);
    let stamp = Timestamp::from_microsecond(micros).unwrap_or(Timestamp::MAX);
    let at = TimeZone::UTC.to_datetime(stamp);
    let micros = at.subsec_nanosecond() / 1_000;
    format!("{}-{micros:06}", at.strftime("%Y%m%d-%H%M%S"))
}

fn time_of(name: &str) -> Option<DateTime> {
    let digits = name.strip_suffix(".ron")?;
    let (date, micros) = digits.rsplit_once('-')?;
    let at = DateTime::strptime("%Y%m%d-%H%M%S", date).ok()?;
    at.with().subsec_nanosecond(micros.parse::<i32>().ok()?.checked_mul(1_000)?).build().ok()
}

/// Puts what came out of a file's name among its earlier versions. Where that cannot be done it is no error of the save: the
/// text has been replaced as asked.
pub(super) fn park(writer: &Writer<'_>, half: &Path, file: &str) {
    if under_free_name(writer, file, |version| writer.drive.rename_new(half, version)) {
        return;
    }
    // Another drive, as behind a link: copied, and then of no more use here.
    keep(writer, half, file);
    writer.drive.remove(half).unwrap_or_default();
}

/// Keeps what stands in a file among its earlier versions too.
pub(super) fn keep(writer: &Writer<'_>, path: &Path, file: &str) {
    if under_free_name(writer, file, |version| writer.drive.link(path, version)) {
        return;
    }
    if let Ok(bytes) = writer.drive.read(path, LARGEST) {
        // No room for a version is no reason not to save.
        under_free_name(writer, file, |version| writer.drive.create(version, &bytes, None).map(drop));
    }
}

/// Makes a version under the name of this moment; whether it was made.
fn under_free_name(writer: &Writer<'_>, file: &str, make: impl Fn(&Path) -> std::io::Result<()>) -> bool {
    if make_room(writer, file).is_err() {
        return false;
    }
    let now = writer.drive.now();
    for later in 0..100 {
        let name = name_at(now + Duration::from_micros(later));
        match make(&on_disk(writer.dir, &format!("{}/{name}.ron", folder_for(file)))) {
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(_refused) => return false,
            Ok(()) => {
                thin(writer, file);
                return true;
            }
        }
    }
    false
}

/// Makes the folder of a file's versions, and tells version control to leave the program's own things out.
fn make_room(writer: &Writer<'_>, file: &str) -> std::io::Result<()> {
    own_folder(writer)?;
    writer.make_folder(&folder_for(file))
}

/// Makes the program's own folder in the library.
pub(super) fn own_folder(writer: &Writer<'_>) -> std::io::Result<()> {
    writer.make_folder(OWN)?;
    let ignore = on_disk(writer.dir, &format!("{OWN}/.gitignore"));
    if writer.drive.look_at_name(&ignore).is_err() {
        // Nothing hangs on it.
        drop(writer.drive.create(&ignore, b"*\n", None));
    }
    Ok(())
}

/// The versions of one file, the oldest first.
fn versions_in(drive: &dyn Drive, dir: &Path, file: &str) -> Vec<(DateTime, String)> {
    let names = drive.names(&on_disk(dir, &folder_for(file))).unwrap_or_default();
    let names = names.into_iter().filter_map(|name| name.ok()?.into_string().ok());
    let mut found: Vec<(DateTime, String)> = names.filter_map(|name| Some((time_of(&name)?, name))).collect();
    found.sort();
    found
}

fn thin(writer: &Writer<'_>, file: &str) {
    let versions = versions_in(writer.drive, writer.dir, file);
    let times: Vec<DateTime> = versions.iter().map(|(time, _)| *time).collect();
    for at in superfluous(&times) {
        if let Some((_, name)) = versions.get(at) {
            let path = on_disk(writer.dir, &format!("{}/{name}", folder_for(file)));
            writer.drive.remove(&path).unwrap_or_default();
        }
    }
}

/// Which of the versions, oldest first, are one too many: those whose neighbours lie close together for their age, so that
/// yesterday keeps one an hour where last year keeps one a month. The oldest and the newest ten always stay.
fn superfluous(times: &[DateTime]) -> Vec<usize> {
    let micros =
        |time: &DateTime| TimeZone::UTC.to_timestamp(*time).map_or(0.0, |at| at.as_microsecond() as f64);
    let mut left: Vec<(usize, f64)> = times.iter().map(micros).enumerate().collect();
    let Some(now) = left.last().map(|(_, time)| *time) else { return Vec::new() };
    let mut gone = Vec::new();
    while left.len() > MOST {
        let old = left.len().saturating_sub(NEWEST);
        let crowded = |at: &usize| -> f64 {
            let time = |at: usize| left.get(at).map_or(now, |(_, time)| *time);
            (time(at + 1) - time(at - 1)) / (now - time(*at)).max(1.0)
        };
        let Some(at) = (1..old).min_by(|a, b| crowded(a).total_cmp(&crowded(b))) else { break };
        gone.push(left.remove(at).0);
    }
    gone
}

/// Every earlier version in a library's folder, files in order, the newest version of each first.
pub fn earlier_versions(dir: &Path) -> Vec<Earlier> {
    let mut all = Vec::new();
    let below = folders(&Real, &on_disk(dir, VERSIONS));
    for folder in std::iter::once(String::new()).chain(below) {
        let within = if folder.is_empty() { VERSIONS.to_owned() } else { format!("{VERSIONS}/{folder}") };
        let names = Real.names(&on_disk(dir, &within)).unwrap_or_default();
        let mut names: Vec<String> =
            names.into_iter().filter_map(|name| name.ok()?.into_string().ok()).collect();
        names.retain(|name| !folder.is_empty() || !(FOLDERS.contains(&name.as_str()) || name == SOUNDS));
        names.sort();
        for name in names {
            let file = if folder.is_empty() { format!("{name}.ron") } else { format!("{folder}/{name}.ron") };
            all.extend(versions_in(&Real, dir, &file).into_iter().rev().map(|(until, name)| Earlier {
                version: format!("{}/{name}", folder_for(&file)),
                file: file.clone(),
                until,
            }));
        }
    }
    all
}

impl Earlier {
    /// The text of the file as it stands, and of the version; empty for one that cannot be read.
    pub fn texts(&self, dir: &Path) -> (String, String) {
        let text = |file: &str| {
            let bytes = Real.read(&on_disk(dir, file), LARGEST).unwrap_or_default();
            String::from_utf8_lossy(&bytes).into_owned()
        };
        (text(&self.file), text(&self.version))
    }
}

/// What came of what a stopped program had left.
#[derive(Debug, Default)]
pub(super) struct Cleared {
    /// How many texts were kept among the earlier versions.
    pub kept: usize,
    /// Files that have the text now that they were to have.
    pub placed: Vec<String>,
}

/// Clears what a stopped program left in a folder of the library: half-written files go, whole ones are kept among the
/// earlier versions, for they may be what stood there before; somebody else's text becomes a second version of its file.
/// One whose place was claimed with an empty file goes there.
pub(super) fn clear_leftovers(writer: &Writer<'_>, folder: &str) -> Cleared {
    let path = on_disk(writer.dir, folder);
    let mut cleared = Cleared::default();
    for name in writer.drive.names(&path).unwrap_or_default() {
        let Ok(Ok(name)) = name.map(std::ffi::OsString::into_string) else { continue };
        if !(name.starts_with(HALF.0) && name.ends_with(HALF.1)) {
            continue;
        }
        let half = path.join(&name);
        let Ok(look) = writer.drive.look_at_name(&half) else { continue };
        let age = look.modified.and_then(|time| writer.drive.now().duration_since(time).ok());
        if age.is_none_or(|age| age < SETTLED) {
            continue;
        }
        // What cannot be read now may be read another time.
        let Ok(bytes) = writer.drive.read(&half, LARGEST) else { continue };
        let whole = bytes.trim_ascii_end().ends_with(b")");
        let elses = !bytes.is_empty() && is_somebody_elses(&name, &bytes);
        let Some(stem) = stem_of_half(&name).filter(|_| (whole || elses) && folder != OWN) else {
            writer.drive.remove(&half).unwrap_or_default();
            continue;
        };
        let file = if folder.is_empty() { format!("{stem}.ron") } else { format!("{folder}/{stem}.ron") };
        let place = on_disk(writer.dir, &file);
        if whole && is_claimed(writer.drive, &place) && writer.drive.rename(&half, &place).is_ok() {
            // Stopped between the two steps of taking a free name.
            cleared.placed.push(file);
            continue;
        }
        if whole && elses {
            // It stood in its place when the program was stopped, and nobody has seen it since.
            writer.beside_or_park(&file, &half, &bytes);
            continue;
        }
        // Ours, whole; or cut short, which may be ours or somebody's whose last line is no bracket: it is kept, and not shown as whole.
        park(writer, &half, &file);
        cleared.kept += 1;
    }
    cleared
}

/// Whether a name is taken by an empty file, as where neither the system nor links can take one in a single step.
fn is_claimed(drive: &dyn Drive, path: &Path) -> bool {
    drive.look_at_name(path).is_ok_and(|look| look.sort == Sort::File && look.length == 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_go_into_names_and_back_in_order() {
        let time = UNIX_EPOCH + Duration::from_micros(1_795_731_312_000_042);
        let name = name_at(time);
        assert_eq!(name, "20261126-221512-000042");
        assert_eq!(time_of(&format!("{name}.ron")).unwrap().to_string(), "2026-11-26T22:15:12.000042");
        assert_eq!(time_of("notes.ron"), None);
    }

    #[test]
    fn versions_are_thinned_by_age_and_old_ones_stay() {
        let start = DateTime::constant(2020, 1, 1, 0, 0, 0, 0);
        // A save every ten minutes for eight years, thinned as they come.
        let mut kept: Vec<DateTime> = Vec::new();
        for step in 0..420_000_i64 {
            kept.push(start + jiff::Span::new().minutes(step * 10));
            let gone = superfluous(&kept);
            assert!(gone.len() <= 1);
            for at in gone {
                kept.remove(at);
            }
        }
        assert_eq!(kept.len(), MOST);
        assert_eq!(kept.first(), Some(&start));
        let now = *kept.last().unwrap();
        for (days, least) in [(1_i64, 12), (30, 16), (365, 20)] {
            let young = kept.iter().filter(|time| now - jiff::Span::new().days(days) < **time).count();
            assert!(young >= least && young < MOST, "{young} within {days} days: {kept:#?}");
        }
    }
}
