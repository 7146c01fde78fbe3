//! Motion that tells something: what changes its place is seen to go there. An idle window moves nothing.

use egui::{Context, Id};

/// How long it takes, seconds.
pub const SECONDS: f32 = 0.14;

/// The value on its way to `to`; at once where nothing was there before, or where the user wants no motion.
pub fn glide(ctx: &Context, id: Id, to: f32) -> f32 {
    let time = ctx.global_style().animation_time;
    ctx.animate_value_with_time(id, to, time)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(ctx: &Context, time: f64, to: f32) -> f32 {
        let mut value = 0.0;
        let input = egui::RawInput { time: Some(time), ..egui::RawInput::default() };
        let mut drawn = ctx.run_ui(input, |ui| value = glide(ui.ctx(), Id::unique("what moves"), to));
        drawn.textures_delta.clear();
        value
    }

    #[test]
    fn what_changes_its_place_is_seen_on_the_way_and_soon_there() {
        assert!((0.12..=0.16).contains(&SECONDS), "between 120 and 160 ms");
        let ctx = Context::default();
        ctx.all_styles_mut(|style| style.animation_time = SECONDS);
        assert!((at(&ctx, 1.0, 10.0) - 10.0).abs() < 1e-3, "what is new does not come from elsewhere");
        assert!((at(&ctx, 2.0, 50.0) - 10.0).abs() < 1e-3, "it starts where it was");
        let way = at(&ctx, 2.07, 50.0);
        assert!(way > 20.0 && way < 45.0, "half-way after half of the time: {way}");
        assert!((at(&ctx, 2.2, 50.0) - 50.0).abs() < 1e-3, "there");
        ctx.all_styles_mut(|style| style.animation_time = 0.0);
        assert!((at(&ctx, 3.0, 10.0) - 10.0).abs() < 1e-3, "at once where no motion is wanted");
    }
}
