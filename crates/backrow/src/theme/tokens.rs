//! Colours, sizes and spacings. Nothing else in the program holds a literal colour.

use backrow_core::collection::Material;
use egui::Color32;

/// The spacing unit and its multiples, points.
pub mod space {
    /// 4 points.
    pub const XS: f32 = 4.0;
    /// 8 points.
    pub const S: f32 = 8.0;
    /// 12 points.
    pub const M: f32 = 12.0;
    /// 16 points.
    pub const L: f32 = 16.0;
    /// 24 points.
    pub const XL: f32 = 24.0;
    /// 32 points.
    pub const XXL: f32 = 32.0;
}

/// Text sizes, points.
pub mod size {
    /// Notes beside things.
    pub const NOTE: f32 = 12.0;
    /// Text.
    pub const TEXT: f32 = 14.0;
    /// Headings.
    pub const HEADING: f32 = 18.0;
    /// What one came for.
    pub const TITLE: f32 = 26.0;
}

/// The shell's fixed measures, points.
pub mod shell {
    /// Height of the top strip.
    pub const TOP: f32 = 48.0;
    /// Width of the rail of places.
    pub const RAIL: f32 = 132.0;
    /// Width of the right panel.
    pub const PANEL: f32 = 284.0;
    /// The narrowest that the panel can be drawn to.
    pub const PANEL_LEAST: f32 = 220.0;
    /// The widest.
    pub const PANEL_MOST: f32 = 480.0;
    /// Height of the bottom line.
    pub const FOOT: f32 = 24.0;
}

/// One theme's colours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tokens {
    /// Whether it is the dark theme, *stage*.
    pub dark: bool,
    /// The window.
    pub ground: Color32,
    /// Panels and drawings.
    pub raised: Color32,
    /// Trays and fields.
    pub sunken: Color32,
    /// Hairlines.
    pub line: Color32,
    /// Text.
    pub ink: Color32,
    /// Second text.
    pub ink2: Color32,
    /// Decoration and large text only.
    pub ink3: Color32,
    /// Selected or droppable; nothing else.
    pub accent: Color32,
    /// The ground of what is selected or droppable.
    pub soft: Color32,
    /// Findings of the degree *care*.
    pub care: Color32,
    /// Findings of the degree *clash*.
    pub clash: Color32,
    materials: [Color32; 8],
}

const fn hex(rgb: u32) -> Color32 {
    #[expect(clippy::cast_possible_truncation, reason = "each byte is cut out on purpose")]
    #[expect(clippy::disallowed_methods, reason = "this is the one place for literal colours")]
    Color32::from_rgb((rgb >> 16) as u8, (rgb >> 8) as u8, rgb as u8)
}

/// Okabe and Ito's colour-blind-safe set, in roster order (Okabe and Ito, Color Universal Design, 2008).
const PLAYERS: [Color32; 8] = [
    hex(0x00E6_9F00),
    hex(0x0056_B4E9),
    hex(0x0000_9E73),
    hex(0x0000_72B2),
    hex(0x00D5_5E00),
    hex(0x00CC_79A7),
    hex(0x00F0_E442),
    hex(0x0099_9999),
];

const BLACK: Color32 = hex(0);
const WHITE: Color32 = hex(0x00FF_FFFF);

/// The least contrast of text with what it stands on (WCAG 2.2, success criterion 1.4.3).
pub const TEXT: f32 = 4.5;
/// The least contrast of marks and of the borders of controls with what is beside them (WCAG 2.2, success criterion 1.4.11).
pub const MARK: f32 = 3.0;

/// The relative luminance of a colour, 0 to 1 (WCAG 2.2, definition of relative luminance).
fn luminance(colour: Color32) -> f32 {
    let linear = |byte: u8| {
        let share = f32::from(byte) / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(colour.r()) + 0.7152 * linear(colour.g()) + 0.0722 * linear(colour.b())
}

/// The contrast of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio).
pub fn contrast(one: Color32, other: Color32) -> f32 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

impl Tokens {
    /// The light theme, *paper*.
    pub const PAPER: Self = Self {
        dark: false,
        ground: hex(0x00F6_F2E9),
        raised: hex(0x00FC_FAF4),
        sunken: hex(0x00EC_E6D8),
        line: hex(0x00CF_C6B4),
        ink: hex(0x001E_1B16),
        ink2: hex(0x005A_5347),
        ink3: hex(0x0085_7B6B),
        accent: hex(0x000F_6E74),
        soft: hex(0x00DC_EBEA),
        care: hex(0x008F_5B00),
        clash: hex(0x00B3_261E),
        materials: [
            hex(0x006B_2D26),
            hex(0x00B5_532A),
            hex(0x003F_4A4F),
            hex(0x009A_A7B0),
            hex(0x006E_8296),
            hex(0x00C7_9A2B),
            hex(0x008C_6A3A),
            hex(0x00D9_C7A3),
        ],
    };

    /// The dark theme, *stage*.
    pub const STAGE: Self = Self {
        dark: true,
        ground: hex(0x0011_151C),
        raised: hex(0x0019_1F29),
        sunken: hex(0x000C_1016),
        line: hex(0x0030_3A4A),
        ink: hex(0x00D9_D4C8),
        ink2: hex(0x00A8_A294),
        ink3: hex(0x007C_776C),
        accent: hex(0x005C_B8BD),
        soft: hex(0x0017_323A),
        care: hex(0x00D9_A441),
        clash: hex(0x00EB_6F64),
        materials: [
            hex(0x00A6_5648),
            hex(0x00C9_6B3E),
            hex(0x007D_8B92),
            hex(0x00AE_BAC2),
            hex(0x007F_95AB),
            hex(0x00C7_9A2B),
            hex(0x00A8_844F),
            hex(0x00CD_BB97),
        ],
    };

    /// The tokens of the theme that the context shows.
    pub fn of(ctx: &egui::Context) -> Self {
        match ctx.theme() {
            egui::Theme::Dark => Self::STAGE,
            egui::Theme::Light => Self::PAPER,
        }
    }

    /// The colour of bars made of that.
    pub const fn material(&self, material: Material) -> Color32 {
        let at = match material {
            Material::Rosewood => 0,
            Material::Padauk | Material::Wood => 1,
            Material::Synthetic | Material::Mixed => 2,
            Material::Aluminium | Material::Glass => 3,
            Material::Steel => 4,
            Material::Brass => 5,
            Material::Bronze => 6,
            Material::Skin => 7,
        };
        self.materials[at]
    }

    /// Whether bars of that material want a darker outline on this ground.
    pub fn is_pale(&self, material: Material) -> bool {
        let fill = self.material(material);
        self.edge(fill) != fill
    }

    /// The outline, or the casing of a line, of that colour: the colour itself where it stands out from ground and raised by
    /// [`MARK`], else so much nearer to ink that it does.
    pub fn edge(&self, fill: Color32) -> Color32 {
        let stands_out =
            |ink: &Color32| contrast(*ink, self.ground) >= MARK && contrast(*ink, self.raised) >= MARK;
        let nearer = |step: u8| Self::mix(fill, self.ink, f32::from(step) / 10.0);
        (0..=10_u8).map(nearer).find(stands_out).unwrap_or(self.ink)
    }

    /// Ink that reads on that fill, by its luminance.
    pub fn on(fill: Color32) -> Color32 {
        let reads = |ink: &Color32| contrast(*ink, fill) >= TEXT;
        let soft = [Self::PAPER.ink, Self::PAPER.raised].into_iter().find(reads);
        // Of black and white one reads on every colour: the worse of both contrasts is the root of 21.
        soft.unwrap_or(if contrast(BLACK, fill) > contrast(WHITE, fill) { BLACK } else { WHITE })
    }

    /// A player's colour by roster order, from 0; after eight it begins again, so initials always stand with it.
    pub const fn player(order: u32) -> Color32 {
        PLAYERS[order as usize % PLAYERS.len()]
    }

    /// Ink that reads on a player's colour.
    pub fn on_player(order: u32) -> Color32 {
        Self::on(Self::player(order))
    }

    /// Words on an area filled with `clash`, `care`, `accent` or `ink`.
    pub const fn on_fill(&self) -> Color32 {
        if self.dark { self.ground } else { self.raised }
    }

    /// `over` laid on `under` at a share of 0 to 1.
    pub fn mix(under: Color32, over: Color32, share: f32) -> Color32 {
        under.lerp_to_gamma(over, share)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    const MATERIALS: [Material; 11] = [
        Material::Rosewood,
        Material::Padauk,
        Material::Wood,
        Material::Synthetic,
        Material::Mixed,
        Material::Aluminium,
        Material::Glass,
        Material::Steel,
        Material::Brass,
        Material::Bronze,
        Material::Skin,
    ];

    fn fills(tokens: &Tokens) -> Vec<Color32> {
        let materials = MATERIALS.iter().map(|material| tokens.material(*material));
        materials.chain((0..8).map(Tokens::player)).collect()
    }

    #[test]
    fn contrast_is_that_of_the_standard() {
        // Black on white is 21 and a colour on itself 1 by definition; #777777 on white is 4.48, a figure often printed.
        assert!((contrast(BLACK, WHITE) - 21.0).abs() < 1e-3);
        assert!((contrast(hex(0x0077_7777), WHITE) - 4.48).abs() < 0.01);
        assert!((contrast(BLACK, BLACK) - 1.0).abs() < 1e-6);
    }

    #[rstest]
    #[case(Tokens::PAPER)]
    #[case(Tokens::STAGE)]
    fn words_read_on_all_that_they_stand_on(#[case] tokens: Tokens) {
        for ground in [tokens.ground, tokens.raised, tokens.sunken, tokens.soft] {
            for ink in [tokens.ink, tokens.ink2, tokens.accent, tokens.care, tokens.clash] {
                assert!(contrast(ink, ground) >= TEXT - 0.005, "{ink:?} on {ground:?}");
            }
            assert!(contrast(tokens.ink3, ground) >= MARK, "borders and marks on {ground:?}");
        }
        for fill in [tokens.accent, tokens.care, tokens.clash, tokens.ink] {
            assert!(contrast(tokens.on_fill(), fill) >= TEXT, "on {fill:?}");
        }
        for fill in fills(&tokens) {
            // Bars that no line asks for are nearer to the ground.
            for share in [0.0, 0.3, 0.52, 0.7] {
                let fill = Tokens::mix(fill, tokens.ground, share);
                assert!(contrast(Tokens::on(fill), fill) >= TEXT, "on {fill:?}");
            }
        }
    }

    #[rstest]
    #[case(Tokens::PAPER)]
    #[case(Tokens::STAGE)]
    fn marks_stand_out_from_what_they_lie_on(#[case] tokens: Tokens) {
        for fill in fills(&tokens) {
            for ground in [tokens.ground, tokens.raised] {
                assert!(contrast(tokens.edge(fill), ground) >= MARK, "the edge of {fill:?} on {ground:?}");
            }
        }
    }
}
