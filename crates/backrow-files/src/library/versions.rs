//! Second versions, found in a folder.

use super::content::folders;
use super::disk::on_disk;
use super::drive::Real;
use super::save::Kept;
use super::second::second_of;
use std::fs;
use std::path::Path;

/// Every second version that lies in a library's folder, kept by a save or left by a sync tool, in order of the files; a folder
/// that cannot be read has none.
pub fn kept_versions(dir: &Path) -> Vec<Kept> {
    let mut all = Vec::new();
    for folder in std::iter::once(String::new()).chain(folders(&Real, dir)) {
        let entries = fs::read_dir(on_disk(dir, &folder)).into_iter().flatten();
        let names = entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
        for name in names {
            let Some((stem, _)) = second_of(&name) else { continue };
            let within =
                |name: &str| if folder.is_empty() { name.to_owned() } else { format!("{folder}/{name}") };
            all.push(Kept { file: within(&format!("{stem}.ron")), beside: within(&name) });
        }
    }
    all.sort_by(|a, b| (&a.file, &a.beside).cmp(&(&b.file, &b.beside)));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn second_versions_are_found_wherever_they_come_from() {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join("works")).unwrap();
        let beside = [
            "beaters.kept-2.ron",
            "works/salt (conflicted copy 2027-01-01).ron",
            "works/salt.kept-1.ron",
            "works/salt.sync-conflict-20270101-101010-ABCDEFG.ron",
        ];
        for name in beside.into_iter().chain(["works/kept-1.ron", "works/salt.ron"]) {
            fs::write(on_disk(dir.path(), name), "text").unwrap();
        }
        let found = kept_versions(dir.path());
        assert_eq!(found.iter().map(|one| one.beside.as_str()).collect::<Vec<_>>(), beside);
        assert_eq!(found.first().unwrap().file, "beaters.ron");
        assert!(found.iter().skip(1).all(|one| one.file == "works/salt.ron"));
    }
}
