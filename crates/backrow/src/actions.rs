//! Every action: its words, its key, and where it stands. Menu, keys, finder and keyboard map all come from this list.

use egui::{Key, KeyboardShortcut, Modifiers};

/// Something the program can be asked to do from anywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is said by its label")]
pub enum Action {
    Find,
    Undo,
    Redo,
    OpenLibrary,
    NewLibrary,
    NewProgramme,
    ReadScore,
    PrintPlan,
    SaveTables,
    TakeInTable,
    TakeInCalendar,
    GoSection,
    GoCompass,
    GoFloor,
    GoBarView,
    GoWeek,
    GoSeason,
    GoWorks,
    GoCollection,
    NextWork,
    PreviousWork,
    NextMovement,
    PreviousMovement,
    SwitchTheme,
    ShowVersions,
    ShowKeys,
    PutBack,
    Quit,
}

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };
const ALT: Modifiers = Modifiers::ALT;

impl Action {
    /// All, in the order of menu and keyboard map.
    pub const ALL: [Self; 28] = [
        Self::Find,
        Self::Undo,
        Self::Redo,
        Self::OpenLibrary,
        Self::NewLibrary,
        Self::NewProgramme,
        Self::ReadScore,
        Self::PrintPlan,
        Self::SaveTables,
        Self::TakeInTable,
        Self::TakeInCalendar,
        Self::GoSection,
        Self::GoCompass,
        Self::GoFloor,
        Self::GoBarView,
        Self::GoWeek,
        Self::GoSeason,
        Self::GoWorks,
        Self::GoCollection,
        Self::NextWork,
        Self::PreviousWork,
        Self::NextMovement,
        Self::PreviousMovement,
        Self::SwitchTheme,
        Self::ShowVersions,
        Self::ShowKeys,
        Self::PutBack,
        Self::Quit,
    ];

    /// The words, in sentence case; an ellipsis when more input follows.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Find => "Find or do …",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::OpenLibrary => "Open another library …",
            Self::NewLibrary => "Begin a new library …",
            Self::NewProgramme => "New programme",
            Self::ReadScore => "Read a score …",
            Self::PrintPlan => "Print sheets …",
            Self::SaveTables => "Save tables …",
            Self::TakeInTable => "Take in a table of instruments …",
            Self::TakeInCalendar => "Take in a calendar …",
            Self::GoSection => "Go to Section",
            Self::GoCompass => "Go to Compass",
            Self::GoFloor => "Go to Floor",
            Self::GoBarView => "Go to Bar view",
            Self::GoWeek => "Go to Week",
            Self::GoSeason => "Go to Season",
            Self::GoWorks => "Go to Works",
            Self::GoCollection => "Go to Collection",
            Self::NextWork => "Next work",
            Self::PreviousWork => "Work before",
            Self::NextMovement => "Next movement",
            Self::PreviousMovement => "Movement before",
            Self::SwitchTheme => "Switch between paper and stage",
            Self::ShowVersions => "Show two versions of a file",
            Self::ShowKeys => "Show the keyboard map",
            Self::PutBack => "Put back, or close",
            Self::Quit => "Quit",
        }
    }

    /// Its key.
    pub const fn shortcut(self) -> KeyboardShortcut {
        let (modifiers, key) = match self {
            Self::Find => (CTRL, Key::K),
            Self::Undo => (CTRL, Key::Z),
            Self::Redo => (CTRL_SHIFT, Key::Z),
            Self::OpenLibrary => (CTRL, Key::O),
            Self::NewLibrary => (CTRL_SHIFT, Key::O),
            Self::NewProgramme => (CTRL_SHIFT, Key::N),
            Self::ReadScore => (CTRL, Key::R),
            Self::PrintPlan => (CTRL, Key::P),
            Self::SaveTables => (CTRL_SHIFT, Key::S),
            Self::TakeInTable => (CTRL_SHIFT, Key::I),
            Self::TakeInCalendar => (CTRL_SHIFT, Key::D),
            Self::GoSection => (ALT, Key::Num1),
            Self::GoCompass => (ALT, Key::Num2),
            Self::GoFloor => (ALT, Key::Num3),
            Self::GoBarView => (ALT, Key::Num4),
            Self::GoWeek => (ALT, Key::Num7),
            Self::GoSeason => (ALT, Key::Num8),
            Self::GoWorks => (ALT, Key::Num5),
            Self::GoCollection => (ALT, Key::Num6),
            Self::NextWork => (CTRL, Key::PageDown),
            Self::PreviousWork => (CTRL, Key::PageUp),
            Self::NextMovement => (CTRL, Key::ArrowRight),
            Self::PreviousMovement => (CTRL, Key::ArrowLeft),
            Self::SwitchTheme => (CTRL, Key::T),
            Self::ShowVersions => (Modifiers::NONE, Key::F2),
            Self::ShowKeys => (Modifiers::NONE, Key::F1),
            Self::PutBack => (Modifiers::NONE, Key::Escape),
            Self::Quit => (CTRL, Key::Q),
        };
        KeyboardShortcut::new(modifiers, key)
    }

    /// Its key in words: "Ctrl K".
    pub fn key_words(self) -> String {
        shortcut_words(self.shortcut())
    }

    /// Whether the key is left to a text field that has the focus.
    pub const fn yields_to_text(self) -> bool {
        matches!(self, Self::Undo | Self::Redo | Self::NextMovement | Self::PreviousMovement)
    }
}

/// A key in words, parts apart by spaces.
pub fn shortcut_words(shortcut: KeyboardShortcut) -> String {
    let m = shortcut.modifiers;
    let mut words: Vec<&str> = Vec::new();
    if m.command || m.ctrl {
        words.push("Ctrl");
    }
    if m.alt {
        words.push("Alt");
    }
    if m.shift {
        words.push("Shift");
    }
    let key = match shortcut.logical_key {
        Key::ArrowLeft => "Left",
        Key::ArrowRight => "Right",
        Key::PageUp => "Page up",
        Key::PageDown => "Page down",
        Key::Escape => "Esc",
        other => other.name(),
    };
    words.push(key);
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_actions_share_a_key_or_a_label() {
        for (at, one) in Action::ALL.iter().enumerate() {
            for other in &Action::ALL[at + 1..] {
                assert_ne!(one.shortcut(), other.shortcut(), "{one:?} and {other:?}");
                assert_ne!(one.label(), other.label());
            }
        }
    }
}
