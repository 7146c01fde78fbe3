//! Drafts on disk: what is typed and not saved lies beside the user's settings, a file a library, so that it is there again after
//! the program was closed or killed. It is the user's own and never in the library.

use backrow_files::library::Held;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The field of a slip that names the file of its sound.
pub const SOUND: &str = "sound";

/// A form as it is kept.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Slip {
    /// Whose form it is: `collection`, `orchestra`, `bench`, `venue`, `service`, `hire`, `work`, `remembered`, `take`, `grades`.
    pub form: String,
    /// What sort of thing it is of ([`Held::sort`]).
    sort: String,
    /// The thing, as a library's file would have it.
    thing: String,
    /// What was typed into its fields.
    fields: BTreeMap<String, String>,
}

impl Slip {
    /// A form of a thing; `None` for what cannot be written down.
    pub fn of(form: &str, held: &Held) -> Option<Self> {
        let thing = held.text().ok()?;
        Some(Self { form: form.to_owned(), sort: held.sort().to_owned(), thing, fields: BTreeMap::new() })
    }

    /// A form whose fields say it all.
    pub fn plain(form: &str) -> Self {
        Self { form: form.to_owned(), ..Self::default() }
    }

    /// The same with what stands in a field.
    #[must_use]
    pub fn with(mut self, field: &str, typed: impl std::fmt::Display) -> Self {
        self.fields.insert(field.to_owned(), typed.to_string());
        self
    }

    /// What was typed into a field; empty where nothing was.
    pub fn field(&self, field: &str) -> &str {
        self.fields.get(field).map_or("", String::as_str)
    }

    /// The fields whose names begin so: what follows in the name, and what was typed.
    pub fn fields_after<'s>(&'s self, beginning: &'s str) -> impl Iterator<Item = (&'s str, &'s str)> {
        let named = move |(name, typed): (&'s String, &'s String)| {
            Some((name.strip_prefix(beginning)?, typed.as_str()))
        };
        self.fields.iter().filter_map(named)
    }

    /// The thing; `None` when it cannot be read.
    pub fn held(&self) -> Option<Held> {
        Held::of(&self.sort, &self.thing).ok().flatten()
    }
}

/// The file of one library's drafts.
#[derive(Debug)]
pub struct Shelf {
    file: PathBuf,
    /// What stands in it.
    last: Vec<Slip>,
}

impl Shelf {
    /// That of a library, beside the settings.
    pub fn new(settings_file: &Path, library: &Path) -> Option<Self> {
        let name = library.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        // Two libraries of one name lie in different folders: the whole path tells them apart.
        let hash = backrow_files::mark::fnv1a(library.to_string_lossy().as_bytes());
        let file = format!("{}-{hash:016x}.ron", backrow_core::id::slug_of(&name));
        Some(Self { file: settings_file.parent()?.join("drafts").join(file), last: Vec::new() })
    }

    /// The folder of recordings that are drafts themselves: each is named in the field [`SOUND`] of its slip.
    pub fn sounds(&self) -> PathBuf {
        self.file.with_extension("sounds")
    }

    /// Removes the recordings that were named so far and are no longer: they were saved or thrown away.
    fn clear_sounds(&self, slips: &[Slip]) {
        let is_named = |sound: &str| slips.iter().any(|slip| slip.field(SOUND) == sound);
        let gone = self
            .last
            .iter()
            .map(|slip| slip.field(SOUND))
            .filter(|sound| !sound.is_empty() && !is_named(sound));
        let folder = self.sounds();
        for name in gone.filter_map(|sound| Path::new(sound).file_name()) {
            // What cannot be removed lies there and harms nobody.
            drop(std::fs::remove_file(folder.join(name)));
        }
        // It goes with the last.
        drop(std::fs::remove_dir(&folder));
    }

    /// The drafts that lie there. A file that cannot be read is put aside under another name, and never written over.
    pub fn read(&mut self) -> Vec<Slip> {
        let Ok(text) = std::fs::read_to_string(&self.file) else { return Vec::new() };
        if let Ok(slips) = ron::from_str::<Vec<Slip>>(&text) {
            self.last = slips;
        } else {
            let aside = self.file.with_extension("broken.ron");
            // Where even that fails, the next draft is written over it: there was nothing in it that could be read.
            drop(std::fs::rename(&self.file, aside));
            self.last.clear();
        }
        self.last.clone()
    }

    /// Writes drafts, where they are others than those that lie there; without any the file goes.
    ///
    /// # Errors
    /// Which file could not be written, and why.
    pub fn keep(&mut self, slips: Vec<Slip>) -> Result<(), String> {
        if slips == self.last {
            return Ok(());
        }
        let say = |why: std::io::Error| format!("Drafts are not kept: {}: {why}.", self.file.display());
        if slips.is_empty() {
            match std::fs::remove_file(&self.file) {
                Ok(()) => {}
                Err(why) if why.kind() == std::io::ErrorKind::NotFound => {}
                Err(why) => return Err(say(why)),
            }
        } else {
            if let Some(folder) = self.file.parent() {
                std::fs::create_dir_all(folder).map_err(say)?;
            }
            let text = ron::ser::to_string_pretty(&slips, ron::ser::PrettyConfig::default())
                .map_err(|why| format!("Drafts are not kept: {why}."))?;
            // A rename, so that a kill leaves the drafts before or those after; no flush: it is done with every few letters.
            let beside = self.file.with_extension("new");
            std::fs::write(&beside, text).and_then(|()| std::fs::rename(&beside, &self.file)).map_err(say)?;
        }
        self.clear_sounds(&slips);
        self.last = slips;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::collection::Place;
    use backrow_core::id::PlaceId;

    fn slip(name: &str) -> Slip {
        let id = PlaceId::fresh("new", |_| false);
        let place = Place { id, name: name.to_owned(), remark: String::new(), lift: None, air: Vec::new() };
        Slip::of("collection", &Held::Place(place)).unwrap().with("new", true)
    }

    #[test]
    fn what_lies_there_comes_back_and_goes() {
        let folder = tempfile::tempdir().unwrap();
        let settings = folder.path().join("settings.ron");
        let mut shelf = Shelf::new(&settings, Path::new("/srv/One")).unwrap();
        shelf.keep(vec![slip("Attic")]).unwrap();
        let mut again = Shelf::new(&settings, Path::new("/srv/One")).unwrap();
        assert_eq!(again.read(), [slip("Attic")]);
        assert!(Shelf::new(&settings, Path::new("/mnt/One")).unwrap().read().is_empty(), "another library");
        again.keep(Vec::new()).unwrap();
        assert!(Shelf::new(&settings, Path::new("/srv/One")).unwrap().read().is_empty());
        assert_eq!(std::fs::read_dir(folder.path().join("drafts")).unwrap().count(), 0);
    }

    #[test]
    fn a_broken_file_is_put_aside() {
        let folder = tempfile::tempdir().unwrap();
        let mut shelf = Shelf::new(&folder.path().join("settings.ron"), Path::new("/srv/One")).unwrap();
        shelf.keep(vec![slip("Attic")]).unwrap();
        let file = std::fs::read_dir(folder.path().join("drafts")).unwrap().next().unwrap().unwrap().path();
        std::fs::write(&file, "[(form").unwrap();
        assert!(shelf.read().is_empty() && !file.exists());
        assert!(file.with_extension("broken.ron").exists());
    }
}
