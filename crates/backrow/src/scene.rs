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
    pub sound: &'a crate::sound::Session,
    /// Takes whose file is not where their record says.
    pub missing: &'a std::collections::BTreeSet<backrow_core::sound::TakeKey>,
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

    /// Whether the library takes a change; an error says why not. A form asks before it ends, so that what was typed stays in it.
    pub fn allows(&self, edit: &Edit) -> Result<(), String> {
        if let Some(why) = self.read_only {
            return Err(format!("The library is read-only. {why}"));
        }
        backrow_core::edit::apply(self.library, edit).map(drop).map_err(|why| why.to_string())
    }

    /// Asks for a change that the library takes; an error says why it does not, and nothing is asked for.
    pub fn try_edit(&mut self, edit: Edit) -> Result<(), String> {
        self.allows(&edit)?;
        self.edit(edit);
        Ok(())
    }

    /// Asks for a change.
    pub fn edit(&mut self, edit: Edit) {
        self.intents.push(Intent::Edit(edit));
    }
}
