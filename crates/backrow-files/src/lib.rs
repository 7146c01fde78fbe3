//! Backrow's library on disk, readers of open formats and writers of tables.

pub mod calendar;
pub mod kinds;
pub mod library;
pub mod limits;
pub mod mark;
pub mod problem;
pub mod score;
pub mod sound;
pub mod tables;
