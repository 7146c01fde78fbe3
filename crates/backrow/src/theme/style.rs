//! Standard widgets in the program's face.

use super::tokens::{Tokens, size};
use super::{sans, serif};
use egui::style::WidgetVisuals;
use egui::{CornerRadius, Margin, Shadow, Stroke, Style, TextStyle, Theme, Visuals, vec2};

/// Gives both themes their style.
pub fn install(ctx: &egui::Context) {
    ctx.set_style_of(Theme::Light, style(&Tokens::PAPER));
    ctx.set_style_of(Theme::Dark, style(&Tokens::STAGE));
}

fn style(tokens: &Tokens) -> Style {
    let mut style = Style { visuals: visuals(tokens), ..Style::default() };
    style.text_styles = [
        (TextStyle::Small, sans(size::NOTE)),
        (TextStyle::Body, sans(size::TEXT)),
        (TextStyle::Button, sans(size::TEXT)),
        (TextStyle::Monospace, sans(size::TEXT)),
        (TextStyle::Heading, serif(size::HEADING)),
    ]
    .into();
    style.spacing.item_spacing = vec2(8.0, 4.0);
    style.spacing.button_padding = vec2(8.0, 3.0);
    style.spacing.interact_size = vec2(40.0, 24.0);
    style.spacing.icon_width = 14.0;
    style.spacing.icon_width_inner = 8.0;
    style.spacing.icon_spacing = 6.0;
    style.spacing.menu_margin = Margin::same(8);
    style.spacing.scroll = egui::style::ScrollStyle::thin();
    style.interaction.selectable_labels = false;
    style.animation_time = super::motion::SECONDS;
    style
}

fn visuals(tokens: &Tokens) -> Visuals {
    let mut visuals = if tokens.dark { Visuals::dark() } else { Visuals::light() };
    let flat = |fill, line, ink| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(1.0, line),
        corner_radius: CornerRadius::same(2),
        fg_stroke: Stroke::new(1.0, ink),
        expansion: 0.0,
    };
    visuals.widgets.noninteractive = flat(tokens.ground, tokens.line, tokens.ink);
    // What can be pressed or typed in has a border that is seen; what cannot has a hairline.
    visuals.widgets.inactive = flat(tokens.raised, tokens.ink3, tokens.ink);
    visuals.widgets.hovered = flat(tokens.sunken, tokens.ink2, tokens.ink);
    visuals.widgets.active = flat(tokens.soft, tokens.accent, tokens.ink);
    visuals.widgets.open = flat(tokens.soft, tokens.accent, tokens.ink);
    visuals.selection.bg_fill = tokens.soft;
    visuals.selection.stroke = Stroke::new(1.0, tokens.accent);
    visuals.hyperlink_color = tokens.accent;
    visuals.faint_bg_color = tokens.raised;
    visuals.extreme_bg_color = tokens.sunken;
    visuals.text_edit_bg_color = Some(tokens.raised);
    visuals.code_bg_color = tokens.sunken;
    visuals.warn_fg_color = tokens.care;
    visuals.error_fg_color = tokens.clash;
    visuals.weak_text_color = Some(tokens.ink2);
    visuals.window_fill = tokens.raised;
    visuals.panel_fill = tokens.ground;
    visuals.window_stroke = Stroke::new(1.0, tokens.line);
    visuals.window_corner_radius = CornerRadius::same(2);
    visuals.menu_corner_radius = CornerRadius::same(2);
    visuals.window_shadow = Shadow::NONE;
    visuals.popup_shadow = Shadow::NONE;
    visuals.striped = false;
    visuals.slider_trailing_fill = true;
    visuals.button_frame = true;
    visuals
}
