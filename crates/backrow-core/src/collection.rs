//! The collection: kinds, instruments, beaters, players, places and venues.

mod air_day;
mod bar_place;
mod beater;
mod drum;
mod frames_text;
mod harm;
mod instrument;
mod kind;
mod lift;
mod loudness;
mod piece;
mod player;
mod usual;
mod venue;

pub use air_day::AirDay;
pub use bar_place::{BarGroup, BarPlace, Row, bar_place};
pub use beater::{Beater, Hardness, Head};
pub use drum::{DrumSpot, Side, TunedBy};
pub use frames_text::{FramesRead, frame_in, frames_in, frames_text};
pub use harm::{Harm, harm};
pub use instrument::{
    DeadBar, Footprint, Frame, Instrument, Layout, Mass, Material, NAME_LETTERS, Owner, SIDE_M, Shape,
    WHOLE_KG,
};
pub use kind::{Between, Family, Kind, Names, Pitched, Plausible, USUAL_HEIGHT_M, UsualBeater, UsualCompass};
pub use lift::Lift;
pub use loudness::Loudness;
pub use piece::Piece;
pub use player::{Place, Player};
pub use usual::{Odd, alike, odd};
pub use venue::{Area, AreaUse, Point, Riser, Venue};
