//! The week: programmes, services, assignments and setups.

mod aside;
mod collision;
mod hire;
mod instead;
mod presence;
mod programme;
mod reshaped;
mod roster;
mod service;
mod setup;

pub use aside::Aside;
pub use collision::{Collision, collision};
pub(crate) use collision::{longest, near};
pub use hire::{Hire, HireState};
pub use instead::Instead;
pub use presence::Presence;
pub use programme::{Assignment, DrumPin, LineRef, LineRule, Programme};
pub use roster::{Engagement, PartRef, Roster, Standing};
pub use service::{Service, ServiceKind, Week, span_of};
pub use setup::{Placement, Setup, WorkSetup};
