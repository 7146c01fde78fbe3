//! What every panel is given to draw from.

use crate::derived::Derived;
use crate::intent::Intent;
use crate::settings::Settings;
use crate::theme::Tokens;
use backrow_core::edit::Edit;
use backrow_core::library::Library;

/// The values of one frame. Panels read it and push intents; nothing else changes the library.
pub struct Scene<'a> {
    /// The library as it is now.
    pub library: &'a Library,
    /// Where it lies on disk; `None` for one that is nowhere yet.
    pub folder: Option<&'a std::path::Path>,
    /// Differs whenever the library does; what is remembered is remembered by it.
    pub revision: u64,
    /// What is worked out from the library, remembered.
    pub derived: &'a Derived,
    /// What is heard and recorded.
    pub sound: &'a crate::sound::Desk,
    /// The colours of the theme.
    pub tokens: Tokens,
    /// Pictures of instruments.
    pub pictures: &'a crate::pictures::Pictures,
    /// The user's settings.
    pub settings: &'a Settings,
    /// Whether the library takes no changes, and why.
    pub read_only: Option<&'a str>,
    /// What panels ask for.
    pub intents: Vec<Intent>,
}

impl Scene<'_> {
    /// Asks for something.
    pub fn ask(&mut self, intent: Intent) {
        self.intents.push(intent);
    }

    /// Asks for a change.
    pub fn edit(&mut self, edit: Edit) {
        self.intents.push(Intent::Edit(edit));
    }
}
