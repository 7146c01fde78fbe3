//! The library on disk: a folder of RON files, one for each instrument, venue, work and week, and one each for the
//! house, players, beaters, places and the house's own kinds.
//!
//! [`open`] reads what can be read and names what cannot; [`save`] writes what has changed and never over anything that
//! it has not read. Between the two a [`DiskState`] remembers what stands on the disk.

#[cfg(test)]
mod any;
mod content;
mod create;
mod dangling;
mod disk;
mod layout;
mod open;
mod problem;
mod record;
mod ron_text;
mod save;
mod text;
mod version;

pub use create::{copy_demo, create_from, has_demo};
pub use disk::DiskState;
pub use open::{Opened, open};
pub use problem::Problem;
pub use save::{Kept, SaveReport, save};
