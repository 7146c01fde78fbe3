//! The collection: kinds, instruments, beaters, players, places and venues.

mod bar_place;
mod beater;
mod instrument;
mod kind;
mod piece;
mod player;
mod venue;

pub use bar_place::{BarGroup, BarPlace, Row, bar_place};
pub use beater::{Beater, Hardness, Head};
pub use instrument::{DeadBar, Footprint, Frame, Instrument, Layout, Mass, Material, Owner, Shape};
pub use kind::{Family, Kind, Names, Pitched, UsualCompass};
pub use piece::Piece;
pub use player::{Place, Player};
pub use venue::{Area, AreaUse, Point, Riser, Venue};
