//! Music: works, movements, the measure-to-seconds timeline, lines and passages.

mod dynamic;
mod line;
mod mallets;
mod movements;
mod recut;
mod reshape;
mod spelling;
mod stroke;
mod timeline;
mod work;

pub mod typed;

pub use dynamic::{Dynamic, Dynamics};
pub use line::{Degree, Line, LineNote, Passage, UnpitchedNote};
pub use mallets::{MalletCount, words_from};
pub use movements::Renamed;
pub use reshape::CutError;
pub use spelling::Spelling;
pub use stroke::{Attack, Stroke, Struck, TICKS, micros, ticks};
pub use timeline::{MeasureName, PlayedMeasure, TempoMark, Timeline, stretch_words};
pub use work::{Movement, Work};
