//! Motion that tells something: what changes its place is seen to go there. An idle window moves nothing.

use egui::{Context, Id};

/// How long it takes, seconds.
pub const SECONDS: f32 = 0.14;

/// The value on its way to `to`; at once where nothing was there before, or where the user wants no motion.
pub fn glide(ctx: &Context, id: Id, to: f32) -> f32 {
    let time = ctx.global_style().animation_time;
    ctx.animate_value_with_time(id, to, time)
}
