//! The shell around every place: top strip, rail, right panel, bottom line, the field that finds, the keyboard map.

pub mod asking;
pub mod finder;
pub mod foot;
pub mod keys;
pub mod panel;
pub mod preview;
pub mod rail;
pub mod taking;
pub mod top_strip;
pub mod versions;
