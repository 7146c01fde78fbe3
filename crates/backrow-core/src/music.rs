//! Music: works, movements, the measure-to-seconds timeline, calls and passages.

mod call;
mod dynamic;
mod movements;
mod reshape;
mod spelling;
mod stroke;
mod timeline;
mod work;

pub mod typed;

pub use call::{Call, CallNote, Degree, Passage, UnpitchedNote};
pub use dynamic::{Dynamic, Dynamics};
pub use movements::Renamed;
pub use reshape::CutError;
pub use spelling::Spelling;
pub use stroke::{Attack, Stroke, Struck, TICKS, micros, ticks};
pub use timeline::{MeasureName, PlayedMeasure, TempoMark, Timeline};
pub use work::{Movement, Work};
