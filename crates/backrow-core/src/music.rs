//! Music: works, movements, the measure-to-seconds timeline, calls and passages.

mod call;
mod timeline;
mod work;

pub use call::{Call, CallNote, Degree, Passage, UnpitchedNote};
pub use timeline::{MeasureName, PlayedMeasure, TempoMark, Timeline};
pub use work::{Movement, Work};
