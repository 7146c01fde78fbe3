//! The week: programmes, services, share-outs and setups.

mod hire;
mod programme;
mod service;

pub use hire::{Hire, HireState};
pub use programme::{Assignment, CallRef, Kept, Placement, Programme, Setup, WorkSetup};
pub use service::{Service, ServiceKind, Week};
