//! The places to work: one folder each.

pub mod bar_view;
pub mod collection;
pub mod compass;
pub mod floor;
pub mod season;
pub mod section;
pub mod week;
pub mod works;
