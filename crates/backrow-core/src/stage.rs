//! Stage: footprints on a floor, standing room, clashes, walking ways and loads.
//!
//! Coordinates are those of [`Point`](crate::collection::Point): metres, x to orchestra right, y from the back edge towards
//! the audience. A figure turns clockwise as seen on the plan. All lengths are metres.

mod across;
mod arrange;
mod bearing;
mod changeover;
mod clash;
mod field;
mod figure;
mod footing;
mod furniture;
mod ground;
mod load;
mod outline;
mod plan;
mod plane;
mod propose;
mod reach;
mod sight;
mod snap;
mod standing;
mod station;
mod walks;

pub use across::played_across;
pub use arrange::{Line, Placed, align, mirrored, spread};
pub use bearing::{carried, carried_alone};
pub use changeover::{Changeover, Step, What, rebased};
pub(crate) use changeover::{changeovers, settled};
pub use clash::{Gap, Overlap, gap, overlap};
pub use field::STEP_AS_M;
pub use figure::{Figure, figure, low_end, to_floor, to_local};
pub use footing::{Footing, Part, footing};
pub use furniture::{Furnishing, Furniture, faces_deg};
pub use ground::{Intrusion, intrusion, outside};
pub use load::{
    CAUTION, FloorLoad, GRAVITY_M_S2, LOUD_CAUTION, NEAR_RATED, RiserLoad, feet, floor_load_of, riser_loads,
};
pub use outline::{crossed_sides, curved_front, fan, outline_text, parse_outline, rectangle};
pub use plan::{Blocked, Checks, Narrow, Overlapping, Plan, Stood, Trouble};
pub use plane::inside;
pub use propose::Sketch;
pub(crate) use propose::{Near, may_stand, propose_near, propose_these, stand_again};
pub use sight::{Away, CONDUCTOR_EYES_M, EYES_M, FACING_DEG, Hidden};
pub use snap::{Snap, TURN_STEP_DEG, hit, snap, written};
pub use standing::{LEAST_WIDTH_M, STANDING_DEPTH_M, Side, Standing, standing};
pub use walks::{InHand, Walk, Walks, Way};

/// What a person takes up going sideways between two things, metres; ours, no published source. A narrower gap is no way
/// at all: things that near to each other count as standing together.
pub const BODY_M: f64 = 0.30;
