//! Second versions: found in a folder, and put in the place of their files.

use super::content::folders;
use super::disk::on_disk;
use super::drive::Real;
use super::open::{KEPT, kept_stem};
use super::problem::Problem;
use super::save::Kept;
use std::fs;
use std::path::Path;

/// More versions of one file than this are a mistake.
const MOST_KEPT: u32 = 1_000;

/// Every second version that lies in a library's folder, in order of the files; a folder that cannot be read has none.
pub fn kept_versions(dir: &Path) -> Vec<Kept> {
    let mut all = Vec::new();
    for folder in std::iter::once(String::new()).chain(folders(&Real, dir)) {
        let entries = fs::read_dir(on_disk(dir, &folder)).into_iter().flatten();
        let names = entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
        for name in names {
            let Some(stem) = kept_stem(&name) else { continue };
            let within =
                |name: &str| if folder.is_empty() { name.to_owned() } else { format!("{folder}/{name}") };
            all.push(Kept { file: within(&format!("{stem}.ron")), beside: within(&name) });
        }
    }
    all.sort_by(|a, b| (&a.file, &a.beside).cmp(&(&b.file, &b.beside)));
    all
}

impl Kept {
    /// The text of the file as it stands, and of the version kept beside it; empty for one that cannot be read.
    pub fn texts(&self, dir: &Path) -> (String, String) {
        let text = |file: &str| {
            fs::read(on_disk(dir, file))
                .map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
                .unwrap_or_default()
        };
        (text(&self.file), text(&self.beside))
    }
}

/// Puts a kept version in the place of its file; what stood there is kept beside it in turn. Returns that pair, or `None`
/// where nothing stood there.
///
/// # Errors
/// What could not be renamed; then everything is as it was.
pub fn put_in_place(dir: &Path, kept: &Kept) -> Result<Option<Kept>, Problem> {
    let (file, beside) = (on_disk(dir, &kept.file), on_disk(dir, &kept.beside));
    let failed = |what: &str, error: &std::io::Error| Problem::io(&kept.file, what, error);
    fs::metadata(&beside).map_err(|error| failed("find the kept version of", &error))?;
    if !file.exists() {
        fs::rename(&beside, &file).map_err(|error| failed("put the kept version in the place of", &error))?;
        return Ok(None);
    }
    let stem = kept.file.strip_suffix(".ron").unwrap_or(&kept.file);
    let mut names = (1..=MOST_KEPT).map(|number| format!("{stem}{KEPT}{number}.ron"));
    let free = names.find(|name| !on_disk(dir, name).exists()).ok_or_else(|| {
        let what = "too many versions are kept beside it";
        Problem::new(kept.file.as_str(), "two-versions", what, "delete those that are no longer needed")
    })?;
    let aside = on_disk(dir, &free);
    fs::rename(&file, &aside).map_err(|error| failed("set aside", &error))?;
    if let Err(error) = fs::rename(&beside, &file) {
        // Nothing is lost if this fails too: both versions then lie beside the name.
        drop(fs::rename(&aside, &file));
        return Err(failed("put the kept version in the place of", &error));
    }
    Ok(Some(Kept { file: kept.file.clone(), beside: free }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kept(file: &str, beside: &str) -> Kept {
        Kept { file: file.to_owned(), beside: beside.to_owned() }
    }

    #[test]
    fn versions_change_places_and_back() {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join("works")).unwrap();
        let put = |name: &str, text: &str| fs::write(on_disk(dir.path(), name), text).unwrap();
        let text = |name: &str| fs::read_to_string(on_disk(dir.path(), name)).unwrap();
        put("works/salt.ron", "theirs");
        put("works/salt.kept-1.ron", "ours");
        put("works/kept-1.ron", "a work of that name");
        put("beaters.kept-2.ron", "ours");
        let found = kept_versions(dir.path());
        let salt = kept("works/salt.ron", "works/salt.kept-1.ron");
        assert_eq!(found, [kept("beaters.ron", "beaters.kept-2.ron"), salt.clone()]);

        assert_eq!(salt.texts(dir.path()), ("theirs".into(), "ours".into()));
        let back = put_in_place(dir.path(), &salt).unwrap().unwrap();
        assert_eq!(back, kept("works/salt.ron", "works/salt.kept-2.ron"));
        assert_eq!((text("works/salt.ron"), text("works/salt.kept-2.ron")), ("ours".into(), "theirs".into()));
        put_in_place(dir.path(), &back).unwrap();
        assert_eq!(text("works/salt.ron"), "theirs");

        assert_eq!(put_in_place(dir.path(), &found[0]), Ok(None), "nothing stood in the place");
        assert_eq!(text("beaters.ron"), "ours");
        assert!(put_in_place(dir.path(), &kept("orchestra.ron", "orchestra.kept-1.ron")).is_err());
    }
}
