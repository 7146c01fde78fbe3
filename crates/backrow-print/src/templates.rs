//! The templates: the built-in ones, and a library's own in their stead.

use std::collections::BTreeMap;

/// Each built-in template by its file name.
const BUILT_IN: [(&str, &str); 7] = [
    ("common.typ", include_str!("../../../assets/print/common.typ")),
    ("labels.typ", include_str!("../../../assets/print/labels.typ")),
    ("list.typ", include_str!("../../../assets/print/list.typ")),
    ("load.typ", include_str!("../../../assets/print/load.typ")),
    ("plan.typ", include_str!("../../../assets/print/plan.typ")),
    ("stage.typ", include_str!("../../../assets/print/stage.typ")),
    ("player.typ", include_str!("../../../assets/print/player.typ")),
];

/// Template texts by file name, a library's own before the built-in ones.
///
/// A template reads its data from `data.json`, and may import `common.typ` and any other text given here.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Templates {
    own: BTreeMap<String, String>,
    /// Why those of a library's own cannot be read.
    unread: BTreeMap<String, String>,
}

impl Templates {
    /// With `text` in the stead of the built-in template `name` ("plan.typ"), or beside it under a new name.
    #[must_use]
    pub fn with(mut self, name: impl Into<String>, text: impl Into<String>) -> Self {
        self.own.insert(name.into(), text.into());
        self
    }

    /// With a library's own template `name` that cannot be read: no sheet is set with it, nor with the built-in one in its stead,
    /// and `why` is said, a sentence without its stop.
    #[must_use]
    pub fn unread(mut self, name: impl Into<String>, why: impl Into<String>) -> Self {
        self.unread.insert(name.into(), why.into());
        self
    }

    /// Why the template `name` cannot be read, where that is so.
    pub(crate) fn why_unread(&self, name: &str) -> Option<&str> {
        self.unread.get(name).map(String::as_str)
    }

    /// The text that will be used under `name`, if there is one.
    pub fn text(&self, name: &str) -> Option<&str> {
        let built_in = || BUILT_IN.iter().find(|(file, _)| *file == name).map(|(_, text)| *text);
        self.own.get(name).map(String::as_str).or_else(built_in)
    }

    /// The texts that stand in the stead of built-in ones or beside them, by name.
    pub fn own(&self) -> impl Iterator<Item = (&str, &str)> {
        self.own.iter().map(|(name, text)| (name.as_str(), text.as_str()))
    }

    /// The file names of the built-in templates, to copy from and to look for in a library.
    pub fn names() -> impl Iterator<Item = &'static str> {
        BUILT_IN.iter().map(|(name, _)| *name)
    }
}
