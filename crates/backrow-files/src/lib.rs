//! Backrow's library on disk, readers of open formats and writers of tables.

pub mod kinds;
pub mod problem;
