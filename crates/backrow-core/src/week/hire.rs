//! What a programme hires or borrows.

use crate::compass::PitchSet;
use crate::id::{InstrumentId, KindId};
use crate::pitch::ReferenceA;
use jiff::civil::Date;

/// One thing that is hired or borrowed for a programme. It records; it bars nothing from being planned.
#[derive(Clone, Debug, PartialEq)]
pub struct Hire {
    /// What it is, in words: "wind machine", "the long tubular bells".
    pub what: String,
    /// Its kind, if it is one of the table.
    pub kind: Option<KindId>,
    /// The sounding pitches that are needed; empty where it has none or any will do.
    pub notes: PitchSet,
    /// The A that it must be tuned to, if that matters.
    pub a: Option<ReferenceA>,
    /// The instrument of the collection that stands for it, once there is one.
    pub instrument: Option<InstrumentId>,
    /// Who lends: a firm, another orchestra, a player.
    pub lender: String,
    /// How far it has got.
    pub state: HireState,
    /// What it costs, in the orchestra's money; `None` where not stated, 0 for a loan.
    pub cost: Option<f64>,
    /// The first day.
    pub from: Option<Date>,
    /// The last day.
    pub until: Option<Date>,
    /// Anything else.
    pub remark: String,
}

impl Hire {
    /// One to be asked for, of which nothing else is known.
    pub fn wanted(what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            kind: None,
            notes: PitchSet::EMPTY,
            a: None,
            instrument: None,
            lender: String::new(),
            state: HireState::Wanted,
            cost: None,
            from: None,
            until: None,
            remark: String::new(),
        }
    }
}

/// How far a hire or loan has got.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
#[expect(missing_docs, reason = "said by the words")]
pub enum HireState {
    #[default]
    Wanted,
    Asked,
    Confirmed,
    OnSite,
    Returned,
}

impl HireState {
    /// All, in order.
    pub const ALL: [Self; 5] = [Self::Wanted, Self::Asked, Self::Confirmed, Self::OnSite, Self::Returned];

    /// The word for screens, paper and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wanted => "to ask",
            Self::Asked => "asked",
            Self::Confirmed => "confirmed",
            Self::OnSite => "on site",
            Self::Returned => "returned",
        }
    }
}
