//! Music: works, movements, the measure-to-seconds timeline, calls and passages.

mod call;
mod dynamic;
mod reshape;
mod timeline;
mod work;

pub mod typed;

pub use call::{Call, CallNote, Degree, Passage, UnpitchedNote};
pub use dynamic::{Dynamic, Dynamics};
pub use reshape::CutError;
pub use timeline::{MeasureName, PlayedMeasure, TempoMark, Timeline};
pub use work::{Movement, Work};
