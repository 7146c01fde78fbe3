//! Every action: its words, its key, and where it stands. Menu, keys, finder and keyboard map all come from this list.

use crate::view::Place;
use egui::{Key, KeyboardShortcut, Modifiers};

const PLAIN: Modifiers = Modifiers::NONE;
const SHIFT: Modifiers = Modifiers::SHIFT;
const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };
const ALT: Modifiers = Modifiers::ALT;

/// One row an action, in the order of finder and keyboard map: its words in sentence case, with an ellipsis when more input
/// follows, and its key.
macro_rules! actions {
    ($($action:ident, $label:literal, $modifiers:ident, $key:ident;)*) => {
        /// Something the program can be asked to do from anywhere.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        #[expect(missing_docs, reason = "each is said by its label")]
        pub enum Action {
            $($action,)*
        }

        impl Action {
            /// All, in the order of finder and keyboard map.
            pub const ALL: &[Self] = &[$(Self::$action,)*];

            /// The words.
            pub const fn label(self) -> &'static str {
                match self {
                    $(Self::$action => $label,)*
                }
            }

            /// Its key.
            pub const fn shortcut(self) -> KeyboardShortcut {
                match self {
                    $(Self::$action => KeyboardShortcut::new($modifiers, Key::$key),)*
                }
            }
        }
    };
}

actions! {
    Find, "Find or do …", CTRL, K;
    Undo, "Undo", CTRL, Z;
    Redo, "Redo", CTRL_SHIFT, Z;
    OpenLibrary, "Open another library …", CTRL, O;
    NewLibrary, "Begin a new library …", CTRL_SHIFT, O;
    NewProgramme, "New programme", CTRL_SHIFT, N;
    ReadScore, "Read a score …", CTRL, R;
    PrintPlan, "Print sheets …", CTRL, P;
    HearLine, "Hear the line", CTRL, H;
    NextCandidate, "Hear the next candidate", CTRL_SHIFT, H;
    RecordTake, "Record a take …", CTRL_SHIFT, R;
    Propose, "Propose instruments and beaters …", CTRL_SHIFT, P;
    Decide, "Decide on the current line …", CTRL, D;
    Try, "Try candidates for the current line …", CTRL_SHIFT, T;
    SaveTables, "Save tables …", CTRL_SHIFT, S;
    ImportTable, "Import a table …", CTRL_SHIFT, I;
    SaveServices, "Save services as a calendar …", CTRL_SHIFT, Y;
    ImportCalendar, "Import a calendar …", CTRL_SHIFT, D;
    GoSection, "Go to Section", ALT, Num1;
    GoCompass, "Go to Compass", ALT, Num2;
    GoFloor, "Go to Floor", ALT, Num3;
    GoBarView, "Go to Bar view", ALT, Num4;
    GoWeek, "Go to Week", ALT, Num5;
    GoSeason, "Go to Season", ALT, Num6;
    GoWorks, "Go to Works", ALT, Num7;
    GoCollection, "Go to Collection", ALT, Num8;
    GoSounds, "Go to Sounds", ALT, Num9;
    NextWork, "Next work", CTRL, PageDown;
    PreviousWork, "Previous work", CTRL, PageUp;
    NextMovement, "Next movement", CTRL, ArrowRight;
    PreviousMovement, "Previous movement", CTRL, ArrowLeft;
    SwitchTheme, "Switch between light and dark", CTRL, T;
    ShowVersions, "Show two versions of a file", PLAIN, F2;
    ShowEarlier, "Show earlier versions of the files …", SHIFT, F2;
    SaveNow, "Save now", CTRL, S;
    SaveCopy, "Save a copy of the library …", CTRL_SHIFT, E;
    ShowKeys, "Show the keyboard map", PLAIN, F1;
    ShowGuide, "Open the guide", CTRL, F1;
    ShowSteps, "Show or close the first steps", SHIFT, F1;
    FoldPanel, "Fold or open the panel", PLAIN, F9;
    CancelWork, "Cancel printing, copying, opening or a search", CTRL, Period;
    Cancel, "Cancel, or close", PLAIN, Escape;
    Quit, "Quit", CTRL, Q;
}

impl Action {
    /// What helps, in the order of the menu.
    pub const HELP: [Self; 3] = [Self::ShowGuide, Self::ShowSteps, Self::ShowKeys];

    /// A second key for those who know it from elsewhere.
    pub const fn other_shortcut(self) -> Option<KeyboardShortcut> {
        match self {
            Self::Redo => Some(KeyboardShortcut::new(CTRL, Key::Y)),
            _ => None,
        }
    }

    /// Its keys, the one that is shown first.
    pub fn shortcuts(self) -> impl Iterator<Item = KeyboardShortcut> {
        std::iter::once(self.shortcut()).chain(self.other_shortcut())
    }

    /// The place that it goes to.
    pub const fn goes_to(self) -> Option<Place> {
        match self {
            Self::GoSection => Some(Place::Section),
            Self::GoCompass => Some(Place::Compass),
            Self::GoFloor => Some(Place::Floor),
            Self::GoBarView => Some(Place::BarView),
            Self::GoWeek => Some(Place::Week),
            Self::GoSeason => Some(Place::Season),
            Self::GoWorks => Some(Place::Works),
            Self::GoCollection => Some(Place::Collection),
            Self::GoSounds => Some(Place::Sounds),
            _ => None,
        }
    }

    /// Its key in words: "Ctrl K".
    pub fn key_words(self) -> String {
        shortcut_words(self.shortcut())
    }

    /// All its keys in words: "Ctrl Shift Z, Ctrl Y".
    pub fn keys_words(self) -> String {
        self.shortcuts().map(shortcut_words).collect::<Vec<_>>().join(", ")
    }

    /// Whether the key acts while something fills the window: it changes nothing that is hidden beneath.
    pub const fn acts_over_all(self) -> bool {
        matches!(
            self,
            Self::Cancel
                | Self::CancelWork
                | Self::ShowKeys
                | Self::ShowGuide
                | Self::SwitchTheme
                | Self::Quit
        )
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

/// The key that words such as "Ctrl N" or "Delete" stand for; `None` where they name several, or none.
pub fn shortcut_of(words: &str) -> Option<KeyboardShortcut> {
    let mut parts: Vec<&str> = words.split(' ').collect();
    let key = Key::from_name(parts.pop()?)?;
    let mut modifiers = Modifiers::NONE;
    for part in parts {
        modifiers |= match part {
            "Ctrl" => Modifiers::COMMAND,
            "Alt" => Modifiers::ALT,
            "Shift" => Modifiers::SHIFT,
            _ => return None,
        };
    }
    Some(KeyboardShortcut::new(modifiers, key))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_actions_share_a_key_or_a_label() {
        let mut keys: Vec<KeyboardShortcut> = Vec::new();
        for (at, one) in Action::ALL.iter().enumerate() {
            for shortcut in one.shortcuts() {
                assert!(!keys.contains(&shortcut), "{one:?} has the key of another: {shortcut:?}");
                keys.push(shortcut);
            }
            for other in &Action::ALL[at + 1..] {
                assert_ne!(one.label(), other.label());
            }
        }
    }

    #[test]
    fn words_of_keys_are_read_back() {
        for action in Action::ALL {
            let own = action.shortcut();
            // Those whose words are not egui's own name are read where a place uses them.
            if own.logical_key.name() == shortcut_words(own).rsplit(' ').next().unwrap_or_default() {
                assert_eq!(shortcut_of(&shortcut_words(own)), Some(own), "{action:?}");
            }
        }
        for words in ["Left, Right", "1 to 8", "Ctrl click, Shift drag", "", "+, −"] {
            assert_eq!(shortcut_of(words), None, "{words}");
        }
    }

    #[test]
    fn one_action_leads_to_each_place() {
        for place in Place::ALL {
            let leads = Action::ALL.iter().filter(|action| action.goes_to() == Some(*place));
            assert_eq!(leads.count(), 1, "{place:?}");
        }
    }
}
