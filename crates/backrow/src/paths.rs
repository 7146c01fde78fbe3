//! Paths as people type them: whole, with `~` for the own folder, or a bare name for something new in the documents.

use std::path::{Component, Path, PathBuf};

/// The own folder and the one for documents, where the account has them.
#[derive(Clone, Debug, Default)]
pub struct Homes {
    /// What `~` stands for.
    pub home: Option<PathBuf>,
    /// Where something new with a bare name belongs.
    pub documents: Option<PathBuf>,
}

impl Homes {
    /// Those of the account that the program runs for.
    pub fn of_account() -> Self {
        let dirs = directories::UserDirs::new();
        let home = dirs.as_ref().map(|dirs| dirs.home_dir().to_owned());
        let documents = dirs.as_ref().and_then(|dirs| dirs.document_dir().map(Path::to_owned));
        Self { documents: documents.or_else(|| home.clone()), home }
    }
}

/// The whole path that was meant.
///
/// # Errors
/// What is missing, in words: a path that would depend on where the program was started is refused.
pub fn whole(typed: &str, homes: &Homes) -> Result<PathBuf, String> {
    let typed = typed.trim();
    let path = match typed.strip_prefix('~') {
        Some(rest) if rest.is_empty() || rest.starts_with(['/', std::path::MAIN_SEPARATOR]) => {
            let home = homes.home.as_ref().ok_or("This account has no home folder for ~ to stand for.")?;
            home.join(rest.trim_start_matches(['/', std::path::MAIN_SEPARATOR]))
        }
        _ => PathBuf::from(typed),
    };
    if path.is_absolute() {
        Ok(path)
    } else {
        Err(format!("“{typed}” is not a whole path: begin with / or ~/."))
    }
}

/// The whole path for something new: a bare name stands in the documents.
///
/// # Errors
/// As for [`whole`].
pub fn for_new(typed: &str, homes: &Homes) -> Result<PathBuf, String> {
    let name = Path::new(typed.trim());
    let mut parts = name.components();
    match (parts.next(), parts.next(), &homes.documents) {
        (Some(Component::Normal(_)), None, Some(documents)) if !typed.trim().starts_with('~') => {
            Ok(documents.join(name))
        }
        _ => whole(typed, homes),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    fn homes() -> Homes {
        Homes { home: Some("/home/ada".into()), documents: Some("/home/ada/Documents".into()) }
    }

    #[rstest]
    #[case("~/percussion", Some("/home/ada/percussion"))]
    #[case("~", Some("/home/ada"))]
    #[case(" /srv/library ", Some("/srv/library"))]
    #[case("percussion", None)]
    #[case("../percussion", None)]
    #[case("~bert/percussion", None)]
    #[case("", None)]
    fn only_whole_paths(#[case] typed: &str, #[case] expected: Option<&str>) {
        assert_eq!(whole(typed, &homes()).ok(), expected.map(PathBuf::from));
    }

    #[rstest]
    #[case("Westmere Orchestra", Some("/home/ada/Documents/Westmere Orchestra"))]
    #[case("~/percussion", Some("/home/ada/percussion"))]
    #[case("/srv/library", Some("/srv/library"))]
    #[case("sub/folder", None)]
    #[case("..", None)]
    #[case("", None)]
    fn a_bare_name_is_made_in_the_documents(#[case] typed: &str, #[case] expected: Option<&str>) {
        assert_eq!(for_new(typed, &homes()).ok(), expected.map(PathBuf::from));
    }
}
