//! Backrow's window and its shell commands.

pub mod actions;
pub mod app;
pub mod background;
pub mod dates;
pub mod derived;
pub mod drafts;
pub mod frame;
pub mod intent;
pub mod kind_choice;
pub mod memo;
pub mod page;
pub mod paths;
pub mod pictures;
pub mod places;
pub mod sample;
pub mod scene;
pub mod settings;
pub mod sheets;
pub mod shell;
pub mod store;
pub mod tables;
pub mod theme;
pub mod tuning;
pub mod view;
mod watch;
pub mod words;
pub mod zone_choice;
