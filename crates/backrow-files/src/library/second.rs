//! Second versions of a file, told by the shape of their names: those that a save kept beside a file, and copies that a sync
//! tool leaves when two people have changed a file at once.

/// What stands between the name of a file and the number of a version kept beside it.
pub(super) const KEPT: &str = ".kept-";
/// The word that sync tools put into the name of a copy.
const WORD: &str = "conflict";
/// A day has so many digits; fewer behind the word may belong to an id.
const DAY: usize = 8;

/// Where a second version comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Second {
    /// A sync tool left it.
    Copy,
    /// A save kept it, under that number.
    Kept(u32),
}

/// The name, without its ending, of the file that a file is a second version of, and where it comes from.
pub(super) fn second_of(name: &str) -> Option<(&str, Second)> {
    let bare = name.strip_suffix(".ron")?;
    if let Some((stem, number)) = bare.rsplit_once(KEPT)
        && !number.is_empty()
        && number.bytes().all(|b| b.is_ascii_digit())
    {
        return Some((stem, Second::Kept(number.parse().unwrap_or(u32::MAX))));
    }
    stem_of_copy(bare).map(|stem| (stem, Second::Copy))
}

/// `x (conflicted copy 2027-01-01)`, `x.sync-conflict-20270101-…`, `x_conflict-20270101-…` are copies of `x`. An id has neither
/// brackets nor dots; behind a hyphen the word alone may be part of one, and so wants a day behind it.
fn stem_of_copy(bare: &str) -> Option<&str> {
    let has_word = |text: &str| text.to_lowercase().contains(WORD);
    if let Some((stem, rest)) = bare.split_once(" (")
        && has_word(rest)
    {
        return (!stem.is_empty()).then_some(stem);
    }
    if let Some((stem, rest)) = bare.split_once('.')
        && has_word(rest)
    {
        return (!stem.is_empty()).then_some(stem);
    }
    let lower = bare.to_ascii_lowercase();
    let at = lower.find(WORD)?;
    let stem = bare.get(..at)?.strip_suffix(['-', '_', ' ']).filter(|stem| !stem.is_empty())?;
    let digits = bare.get(at..)?.bytes().filter(u8::is_ascii_digit).count();
    (digits >= DAY).then_some(stem)
}

/// Whether a file is a second version of another.
pub(super) fn is_second(file: &str) -> bool {
    let name = file.rsplit_once('/').map_or(file, |(_, name)| name);
    second_of(name).is_some()
}

/// Whether a file's name is one of a library's records.
pub(super) fn is_record(file: &str) -> bool {
    file.strip_suffix(".ron").is_some()
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("salt.kept-2.ron", Some(("salt", Second::Kept(2))))]
    #[case("salt (conflicted copy 2027-01-01 101112).ron", Some(("salt", Second::Copy)))]
    #[case("salt (Alba's conflicted copy 2027-01-01).ron", Some(("salt", Second::Copy)))]
    #[case("salt (Case Conflict).ron", Some(("salt", Second::Copy)))]
    #[case("salt.sync-conflict-20270101-101112-ABCDEFG.ron", Some(("salt", Second::Copy)))]
    #[case("salt-2_conflict-20270101-101112.ron", Some(("salt-2", Second::Copy)))]
    #[case("salt.ron", None)]
    #[case("kept-1.ron", None)]
    #[case("the-conflict-2.ron", None)]
    #[case("conflict-20270101.ron", None)]
    #[case("salt (draft).ron", None)]
    #[case(" (conflict).ron", None)]
    #[case("salt.sync-conflict-20270101.txt", None)]
    fn second_versions_are_told_by_their_names(#[case] name: &str, #[case] found: Option<(&str, Second)>) {
        assert_eq!(second_of(name), found);
    }
}
