//! The folders with one file a thing.

use super::super::content::{SOUNDS, folders, path_of};
use super::super::disk::on_disk;
use super::super::problem::Problem;
use super::super::record::{Record, TakeRecord};
use super::super::second::{Second, is_second, second_of};
use super::Reader;
use super::one::{One, Source, line_of, read_one};
use backrow_core::library::{Library, Shared};
use backrow_core::sound::Take;
use std::collections::BTreeSet;
use std::fmt::Display;
use std::sync::Arc;

/// Fewer files than this are read one after the other.
const MANY: usize = 64;

impl Reader<'_> {
    /// Reads a folder with one file a thing.
    pub(super) fn folder<R, K, V>(
        &mut self,
        folder: &str,
        id_of: impl Fn(&V) -> K,
        map: impl Fn(&mut Library) -> &mut Shared<K, V>,
    ) where
        R: Record<Value = V>,
        K: Ord + Clone + Display,
        V: Clone + Send,
    {
        let files = self.files_in(folder);
        self.things::<R, K, V>(folder, &files, id_of, map);
        self.second_versions(folder);
    }

    /// Reads the takes, a folder an instrument.
    pub(super) fn takes(&mut self) {
        let within: Vec<String> =
            folders(self.drive, self.dir).into_iter().filter(|folder| folder.starts_with(SOUNDS)).collect();
        let files: Vec<String> = within.iter().flat_map(|folder| self.files_in(folder)).collect();
        self.things::<TakeRecord, _, _>(SOUNDS, &files, Take::key, |library| &mut library.takes);
        for folder in within {
            self.second_versions(&folder);
        }
    }

    /// Reads files with one thing each.
    fn things<R, K, V>(
        &mut self,
        folder: &str,
        files: &[String],
        id_of: impl Fn(&V) -> K,
        map: impl Fn(&mut Library) -> &mut Shared<K, V>,
    ) where
        R: Record<Value = V>,
        K: Ord + Clone + Display,
        V: Clone + Send,
    {
        let mut found: Vec<(Source, K, V)> = Vec::new();
        let read = self.read_many::<R>(files);
        for (file, one) in files.iter().zip(read) {
            if let Some((source, value)) = self.taken::<R>(file, one) {
                found.push((source, id_of(&value), value));
            }
        }
        // A file of the right name goes before one that was renamed or copied.
        found.sort_by_key(|(source, id, _)| source.file != path_of(folder, id));
        for (source, id, value) in found {
            let path = path_of(folder, &id);
            if let Some(first) = self.read.get(&path) {
                let what =
                    format!("it holds \"{id}\", and so does {}, which is the one that was read", first.file);
                let remedy =
                    "give it an id of its own, the same as the file’s name, or delete one of the two";
                let line = line_of(&source.text, &format!("\"{id}\""));
                self.problems.push(Problem::new(source.file, "double-id", what, remedy).at(line));
                continue;
            }
            if source.file != path && !is_second(&source.file) {
                let what = format!("it holds \"{id}\", which belongs in {path}");
                let remedy = "rename the file, or change the id in it; it is read as it stands";
                let line = line_of(&source.text, &format!("\"{id}\""));
                self.problems.push(Problem::new(source.file.clone(), "file-name", what, remedy).at(line));
            }
            self.read.insert(path, source);
            Arc::make_mut(map(&mut self.library)).insert(id, Arc::new(value));
        }
    }

    /// Reads many files, on as many threads as the machine has; in their order.
    fn read_many<R: Record>(&self, files: &[String]) -> Vec<One<R::Value>>
    where
        R::Value: Send,
    {
        let (drive, dir, progress) = (self.drive, self.dir, self.progress);
        let read = move |files: &[String]| -> Vec<One<R::Value>> {
            let wanted = files.iter().take_while(|_| progress.goes_on());
            wanted.map(|file| read_one::<R>(drive, dir, file)).collect()
        };
        let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get).min(8);
        if files.len() < MANY || threads < 2 {
            return read(files);
        }
        std::thread::scope(|scope| {
            let mut running = Vec::new();
            for share in files.chunks(files.len().div_ceil(threads)) {
                let thread = std::thread::Builder::new().name("library reader".to_owned());
                running.push((share, thread.spawn_scoped(scope, move || read(share))));
            }
            let joined = running.into_iter().map(|(share, thread)| {
                match thread.map(std::thread::ScopedJoinHandle::join) {
                    Ok(Ok(all)) => all,
                    // No thread can be had: it is done here.
                    _ => read(share),
                }
            });
            joined.flatten().collect()
        })
    }

    /// The files of a folder that may hold a thing, in order of their names.
    fn files_in(&mut self, folder: &str) -> Vec<String> {
        let mut names = self.names_in(folder);
        // Where only a second version is left, its own name stands for it.
        let seconds: Vec<String> = names.iter().filter(|name| is_second(name)).cloned().collect();
        names.retain(|name| !is_second(name));
        let own: BTreeSet<String> = seconds
            .iter()
            .filter_map(|name| second_of(name))
            .map(|(stem, _)| format!("{stem}.ron"))
            .collect();
        let there: BTreeSet<&String> = names.iter().collect();
        let only: Vec<String> = own.into_iter().filter(|own| !there.contains(own)).collect();
        names.extend(only);
        names.sort();
        names.into_iter().map(|name| format!("{folder}/{name}")).collect()
    }

    /// Names of files in a folder that end in `.ron`; hidden ones are nobody's.
    fn names_in(&mut self, folder: &str) -> Vec<String> {
        let entries = match self.drive.names(&on_disk(self.dir, folder)) {
            Ok(entries) => entries,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Vec::new(),
            Err(error) => {
                self.problems.push(Problem::io(folder, "read the folder", &error));
                return Vec::new();
            }
        };
        let mut names = Vec::new();
        for entry in entries {
            match entry.map(std::ffi::OsString::into_string) {
                Ok(Ok(name)) => names.push(name),
                Ok(Err(name)) => {
                    let what = format!("the name of the file {} cannot be read", name.display());
                    let remedy = "rename it with small letters, digits and -";
                    self.problems.push(Problem::new(folder, "file-name", what, remedy));
                }
                Err(error) => self.problems.push(Problem::io(folder, "read the folder", &error)),
            }
        }
        names.retain(|name| name.strip_suffix(".ron").is_some_and(|stem| !stem.starts_with('.')));
        names.sort();
        names
    }

    /// Names the second versions beside the files of a folder.
    pub(super) fn second_versions(&mut self, folder: &str) {
        let within =
            |name: &str| if folder.is_empty() { name.to_owned() } else { format!("{folder}/{name}") };
        for name in self.names_in(folder) {
            let Some((stem, from)) = second_of(&name) else { continue };
            let (file, own) = (within(&name), within(&format!("{stem}.ron")));
            let what = match from {
                Second::Kept(_) => {
                    format!("it is a second version of {own}, saved when both had been changed")
                }
                Second::Copy => {
                    format!("it is a copy of {own} that a sync tool left when both had been changed")
                }
            };
            let remedy = "compare them with \"Show two versions of a file\", and choose which to use";
            self.problems.push(Problem::new(file, "two-versions", what, remedy));
        }
    }

    /// The second version that is read where a file cannot be: the one kept last, or else a sync tool's copy.
    pub(super) fn latest_second(&mut self, file: &str) -> Option<String> {
        let (folder, name) = file.rsplit_once('/').unwrap_or(("", file));
        let stem = name.strip_suffix(".ron")?;
        let names = self.drive.names(&on_disk(self.dir, folder)).ok()?;
        let names = names.into_iter().filter_map(|name| name.ok()?.into_string().ok());
        let of_this = |name: String| match second_of(&name) {
            Some((own, from)) if own == stem => Some((from, name)),
            _ => None,
        };
        let (_, last) = names.filter_map(of_this).max()?;
        Some(if folder.is_empty() { last } else { format!("{folder}/{last}") })
    }
}
