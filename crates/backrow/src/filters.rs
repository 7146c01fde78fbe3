//! Whose instruments are shown, in the places that filter them.

use backrow_core::collection::Owner;

/// Which owners are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Whose {
    /// Everybody's.
    #[default]
    All,
    /// The orchestra's own.
    Ours,
    /// Players' own.
    Players,
    /// Lent or hired.
    Others,
}

impl Whose {
    /// All, in the order of menus.
    pub const ALL: [Self; 4] = [Self::All, Self::Ours, Self::Players, Self::Others];

    /// The word in menus.
    pub const fn word(self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Ours => "ours",
            Self::Players => "players’ own",
            Self::Others => "lent or hired",
        }
    }
}

impl Whose {
    /// Whether something of that owner is shown.
    pub const fn holds(self, owner: &Owner) -> bool {
        match self {
            Self::All => true,
            Self::Ours => matches!(owner, Owner::Orchestra),
            Self::Players => matches!(owner, Owner::Player(_)),
            Self::Others => matches!(owner, Owner::Other(_)),
        }
    }
}
