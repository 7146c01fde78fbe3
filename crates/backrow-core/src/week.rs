//! The week: programmes, services, share-outs and setups.

mod programme;
mod service;

pub use programme::{Assignment, CallRef, Kept, Placement, Programme, Setup};
pub use service::{Service, ServiceKind, Week};
