//! Which body a kind is.
//!
//! Ratios have their sources in [`super::body`]; where a kind lies and how long it rings are estimates of ours, by ear and by the few
//! measured figures named here, good enough to tell kinds apart and no more.

use super::body::{
    BELL, BLOCK, BOSSED_GONG, Body, DOUBLE_OCTAVE_BAR, FREE_BAR, HANDBELL, LONG_TUBE, RIM, ROUND_PLATE, Ring,
    SKIN, SQUARE_PLATE, STEEL_PAN, STRING, TIMPANO, TONGUE, TWELFTH_BAR,
};
use super::{Dice, seed_of};
use backrow_core::collection::{Family, Instrument, Kind, Loudness, Material};
use backrow_core::pitch::{KeyNumber, ReferenceA};

/// The body of an instrument's bar, or of the whole where it has no pitch. `None` where a kind is not struck and no model
/// stands in: machines, whistles, whatever is spoken or typed.
pub fn body_of(instrument: &Instrument, kind: &Kind, bar: Option<KeyNumber>) -> Option<Body> {
    if NOT_STRUCK.contains(&kind.id.as_str()) {
        return None;
    }
    let hz = bar.map(|key| instrument.tuned_to.unwrap_or(ReferenceA::ISO_16).frequency(key).value());
    let at = At { hz, size: size(instrument, kind), seed: seed_of(instrument.id.as_str()) };
    let mut body = named(kind.id.as_str(), at).or_else(|| by_family(kind.family, instrument.material, at))?;
    body.level_db = match kind.loud {
        Some(Loudness::VeryLoud | Loudness::Bang) => 0.0,
        Some(Loudness::Loud) => -3.0,
        None => -7.0,
    };
    Some(body)
}

/// Kinds of families that are struck which are not: rubbed, or two things against each other.
const NOT_STRUCK: [&str; 4] = ["lions_roar", "cuica", "spoons", "washboard"];

/// Where on an instrument, and which instrument.
#[derive(Clone, Copy)]
struct At {
    /// The bar's pitch, where it has one.
    hz: Option<f64>,
    /// How big it is against a usual one of its kind.
    size: f64,
    /// Whose it is: two of a kind differ.
    seed: u64,
}

impl At {
    /// The bar's pitch; or that of a usual thing of the kind, the smaller the higher, each its own by a seventh part.
    fn or(self, usual_hz: f64) -> f64 {
        let own = (Dice::new(self.seed).even() - 0.5) / 3.5;
        self.hz.unwrap_or(usual_hz / self.size * (1.0 + own))
    }
}

fn size(instrument: &Instrument, kind: &Kind) -> f64 {
    let long = |(width, depth): (f64, f64)| width.max(depth);
    let (own, usual) = (long(instrument.footprint.shape.extent()), long(kind.shape.extent()));
    let ratio = if usual > 0.0 { own / usual } else { 1.0 };
    if ratio.is_finite() { ratio.clamp(0.4, 2.5) } else { 1.0 }
}

const fn ring(t60_s: f64, hz: f64, fall: f64) -> Ring {
    Ring { t60_s, hz, fall }
}

fn named(kind: &str, at: At) -> Option<Body> {
    keyboards(kind, at)
        .or_else(|| bells(kind, at))
        .or_else(|| gongs_and_cymbals(kind, at))
        .or_else(|| drums(kind, at))
        .or_else(|| metal(kind, at))
        .or_else(|| wood(kind, at))
        .or_else(|| shaken(kind, at))
}

/// Glockenspiel bars: a recorded one rang 15.4, 8.1, 5.4, 2.8, 2.0 s from 831 to 3951 Hz.
fn keyboards(kind: &str, at: At) -> Option<Body> {
    Some(match kind {
        "glockenspiel" | "song_bells" | "tubaphone" => {
            Body::of(FREE_BAR, at.or(1568.0), ring(5.0, 1568.0, 1.3)).tap(5000.0, -18.0)
        }
        "keyboard_glockenspiel" => {
            Body::of(FREE_BAR, at.or(1568.0), ring(3.0, 1568.0, 1.2)).tap(3000.0, -14.0)
        }
        "celesta" => Body::of(FREE_BAR, at.or(1046.0), ring(2.0, 1046.0, 1.1)).soft(3.0),
        "metallophone" | "handchimes" | "aluphone" => {
            Body::of(FREE_BAR, at.or(700.0), ring(4.0, 700.0, 1.0)).soft(1.5)
        }
        "xylophone" | "xylorimba" | "orff_xylophone" => {
            Body::of(TWELFTH_BAR, at.or(700.0), ring(0.45, 700.0, 0.9)).tap(2500.0, -10.0)
        }
        "marimba" | "bass_marimba" => {
            Body::of(DOUBLE_OCTAVE_BAR, at.or(220.0), ring(1.4, 220.0, 0.85)).soft(1.6).tap(900.0, -16.0)
        }
        "vibraphone" => Body::of(DOUBLE_OCTAVE_BAR, at.or(349.0), ring(7.0, 349.0, 0.75)).tap(2000.0, -22.0),
        "lithophone" => Body::of(FREE_BAR, at.or(900.0), ring(0.8, 900.0, 0.8)).tap(3500.0, -12.0),
        "kalimba" => Body::of(TONGUE, at.or(392.0), ring(1.2, 392.0, 0.9)).soft(1.5),
        "toy_piano" => Body::of(TONGUE, at.or(700.0), ring(0.9, 700.0, 0.7)).tap(2500.0, -10.0),
        "steel_drums" => Body::of(STEEL_PAN, at.or(350.0), ring(1.1, 350.0, 0.4)).soft(1.8),
        "crotales" => Body::of(ROUND_PLATE, at.or(2093.0), ring(7.0, 2093.0, 1.0)).tap(6000.0, -20.0),
        _ => return None,
    })
}

fn bells(kind: &str, at: At) -> Option<Body> {
    Some(match kind {
        "tubular_bells" => Body::of(LONG_TUBE, at.or(349.0), ring(7.0, 700.0, 0.7)).tap(2200.0, -14.0),
        "church_bells" => Body::of(BELL, at.or(262.0), ring(9.0, 262.0, 0.75)).tap(2500.0, -18.0),
        "ships_bell" | "sanctus_bells" => {
            Body::of(BELL, at.or(900.0), ring(4.0, 900.0, 0.8)).tap(4000.0, -16.0)
        }
        "desk_bell" | "bicycle_bell" | "telephone_bell" => {
            Body::of(RIM, at.or(2300.0), ring(1.6, 2300.0, 0.8))
        }
        "handbells" => Body::of(HANDBELL, at.or(600.0), ring(5.0, 600.0, 0.8)),
        "bell_plates" => Body::of(SQUARE_PLATE, at.or(180.0), ring(8.0, 180.0, 0.55)).tap(1500.0, -14.0),
        "almglocken" => Body::of(BELL, at.or(520.0), ring(0.9, 520.0, 0.5)).tap(2500.0, -8.0),
        "cowbell" => Body::of(SQUARE_PLATE, at.or(560.0), ring(0.35, 560.0, 0.3)).tap(2500.0, -6.0),
        "agogo" => Body::of(SQUARE_PLATE, at.or(900.0), ring(0.5, 900.0, 0.4)).tap(3000.0, -8.0),
        "singing_bowls" | "rin" => Body::of(RIM, at.or(420.0), ring(11.0, 420.0, 0.8)),
        "musical_glasses" | "glass_harmonica" => Body::of(RIM, at.or(900.0), ring(1.5, 900.0, 0.7)),
        "cup_chimes" | "burma_bell" => Body::of(RIM, at.or(1800.0), ring(5.0, 1800.0, 0.9)),
        "bell_tree" | "mark_tree" | "wind_chimes_metal" => {
            Body::dense(60, (2200.0, 12_000.0), ring(3.5, 3000.0, 0.7), 0.8, at.seed)
        }
        _ => return None,
    })
}

/// A tam-tam's shimmer comes a second or more after the blow; crash cymbals within some 50 ms (F&R chapter 20, from memory).
fn gongs_and_cymbals(kind: &str, at: At) -> Option<Body> {
    let s = at.size;
    Some(match kind {
        "tuned_gongs" => Body::of(BOSSED_GONG, at.or(200.0), ring(6.0, 200.0, 0.6)).soft(1.5),
        "gong" | "opera_gongs" | "water_gong" => {
            let mut body = Body::of(BOSSED_GONG, at.or(220.0), ring(5.0, 220.0, 0.6));
            body.partials
                .extend(Body::dense(60, (300.0 / s, 4000.0), ring(4.0, 400.0, 0.6), 0.25, at.seed).partials);
            body
        }
        "tam_tam" => {
            let mut body = Body::dense(160, (60.0 / s, 6500.0), ring(10.0, 150.0, 0.45), 1.3, at.seed);
            body.soft = 1.3;
            body
        }
        "cymbals_pair" | "crash_cymbal" => {
            Body::dense(170, (280.0 / s, 15_000.0), ring(4.0, 900.0, 0.5), 0.05, at.seed).rustle(
                (5000.0, 14_000.0),
                -8.0,
                0.5,
            )
        }
        "suspended_cymbal" | "chinese_cymbal" | "ride_cymbal" => {
            Body::dense(170, (250.0 / s, 14_000.0), ring(5.0, 800.0, 0.5), 0.09, at.seed)
        }
        "sizzle_cymbal" => Body::dense(150, (250.0 / s, 14_000.0), ring(4.5, 800.0, 0.5), 0.07, at.seed)
            .grains((6000.0, 13_000.0), 2.5, 160.0),
        "hi_hat" => Body::dense(140, (400.0, 15_000.0), ring(0.3, 3000.0, 0.3), 0.0, at.seed),
        "splash_cymbal" => Body::dense(130, (500.0, 15_000.0), ring(1.2, 2000.0, 0.5), 0.03, at.seed),
        "finger_cymbals" => Body::of(ROUND_PLATE, at.or(2600.0), ring(5.0, 2600.0, 0.9)),
        _ => return None,
    })
}

fn drums(kind: &str, at: At) -> Option<Body> {
    let skin = |hz: f64, t60_s: f64| Body::of(SKIN, at.or(hz), ring(t60_s, at.or(hz), 0.8)).soft(2.5);
    Some(match kind {
        "timpani" => Body::of(TIMPANO, at.or(110.0), ring(3.5, 110.0, 0.6)).soft(2.0).tap(500.0, -16.0),
        "roto_toms" | "boobams" | "octobans" => skin(180.0, 0.9).tap(1500.0, -12.0),
        "snare_drum" => skin(200.0, 0.25).rustle((1800.0, 9000.0), -2.0, 0.22).tap(3000.0, -8.0),
        "field_drum" | "tabor" | "basel_drum" => skin(140.0, 0.35).rustle((1200.0, 7000.0), -4.0, 0.28),
        "tenor_drum" | "surdo" => skin(95.0, 0.7),
        "bass_drum" | "bombo" | "bass_drum_with_cymbal" => skin(42.0, 1.8),
        "tambourine" | "pandeiro" | "riq" => skin(230.0, 0.2).grains((5000.0, 11_000.0), 0.25, 300.0),
        "bongos" => skin(380.0, 0.25).tap(2000.0, -6.0),
        "congas" | "djembe" | "darabuka" => skin(200.0, 0.45).tap(1500.0, -8.0),
        "tom_toms" | "chinese_toms" | "timbales_latin" => skin(130.0, 0.7).tap(1800.0, -12.0),
        "frame_drum" | "daf" | "bendir" | "bodhran" => skin(85.0, 0.8),
        "cajon" => Body::of(SQUARE_PLATE, at.or(95.0), ring(0.2, 95.0, 0.4)).tap(1800.0, -5.0),
        "oil_drum" => Body::of(SQUARE_PLATE, at.or(110.0), ring(1.2, 110.0, 0.4)).tap(1500.0, -6.0),
        _ => return None,
    })
}

fn metal(kind: &str, at: At) -> Option<Body> {
    Some(match kind {
        // A bent rod: a free bar's partials from low down, the high ones loudest, dense enough to leave no pitch.
        "triangle" => {
            let low = 310.0 / at.size;
            let ratio = |n: i32| (2.0 * f64::from(n) + 1.0).powi(2) / 9.067;
            let ratios: Vec<(f64, f64)> =
                (1..12).map(|n| (ratio(n), -14.0 + 1.2 * f64::from(n.min(9)))).collect();
            Body::of(&ratios, low, ring(8.0, 1200.0, 0.45))
        }
        "anvil" => Body::dense(24, (1300.0 / at.size, 11_000.0), ring(1.8, 2500.0, 0.5), 0.0, at.seed)
            .tap(5000.0, -6.0),
        "metal_block" | "rail" => {
            Body::dense(16, (1700.0 / at.size, 10_000.0), ring(0.9, 2500.0, 0.5), 0.0, at.seed)
                .tap(5000.0, -6.0)
        }
        "brake_drum" => {
            Body::dense(18, (700.0 / at.size, 8000.0), ring(1.3, 1200.0, 0.5), 0.0, at.seed).tap(4000.0, -8.0)
        }
        "metal_plate" => Body::of(SQUARE_PLATE, at.or(170.0), ring(2.5, 170.0, 0.4)).tap(2500.0, -8.0),
        "thunder_sheet" => Body::dense(120, (35.0, 3500.0), ring(5.0, 120.0, 0.4), 0.4, at.seed),
        "metal_tubes" => Body::of(LONG_TUBE, at.or(500.0), ring(3.0, 700.0, 0.6)),
        "spring_coil" => Body::dense(50, (200.0, 7000.0), ring(1.6, 600.0, 0.4), 0.1, at.seed),
        "chains" => Body::dense(20, (2500.0, 9000.0), ring(0.1, 3000.0, 0.3), 0.0, at.seed).grains(
            (2500.0, 9000.0),
            0.7,
            90.0,
        ),
        "flexatone" | "musical_saw" => Body::of(FREE_BAR, at.or(900.0), ring(1.2, 900.0, 0.5)),
        "waterphone" => Body::dense(40, (250.0, 5000.0), ring(4.0, 500.0, 0.5), 0.2, at.seed),
        _ => return None,
    })
}

fn wood(kind: &str, at: At) -> Option<Body> {
    let block = |hz: f64, t60_s: f64| {
        Body::of(BLOCK, at.or(hz), ring(t60_s, at.or(hz), 0.4)).tap(at.or(hz) * 1.8, -8.0)
    };
    Some(match kind {
        "wood_block" | "plastic_block" => block(1100.0, 0.09),
        "granite_block" => block(2000.0, 0.12),
        "temple_blocks" | "mokugyo" => block(480.0, 0.16).soft(1.5),
        "slit_drum" | "teponaztli" | "wood_plate_drum" => block(170.0, 0.35).soft(1.5),
        "castanets" => block(1900.0, 0.05),
        "claves" | "hyoshigi" => Body::of(FREE_BAR, at.or(2400.0), ring(0.12, 2400.0, 0.5)),
        "whip" => block(1300.0, 0.04).rustle((900.0, 7000.0), 0.0, 0.08),
        "hammer" => block(140.0, 0.3).rustle((300.0, 3000.0), -2.0, 0.12),
        "ratchet" => block(1500.0, 0.05).grains((1200.0, 5000.0), 0.9, 38.0),
        "guiro" | "reco_reco" => block(2200.0, 0.03).grains((2000.0, 6000.0), 0.5, 70.0),
        "wind_chimes_bamboo" | "wind_chimes_wood" => block(900.0, 0.1).grains((800.0, 3000.0), 1.2, 18.0),
        _ => return None,
    })
}

fn shaken(kind: &str, at: At) -> Option<Body> {
    let beads = |band: (f64, f64), lasts_s: f64, grains_s: f64| {
        Body { soft: 1.0, spread_db: 1.0, level_db: -7.0, ..Body::default() }.grains(band, lasts_s, grains_s)
    };
    let high = 1.0 / at.size.sqrt();
    Some(match kind {
        "maracas" | "shaker" | "caxixi" | "ganza" => beads((3500.0 * high, 9500.0 * high), 0.12, 900.0),
        "cabasa" => beads((4500.0 * high, 11_000.0 * high), 0.2, 500.0),
        "rain_stick" => beads((2000.0, 7000.0), 3.0, 220.0),
        "sandpaper_blocks" => beads((2500.0, 9000.0), 0.25, 3000.0),
        "sleigh_bells" | "jingles" | "sistrum" => {
            let mut body = Body::dense(26, (2800.0, 9000.0), ring(0.4, 3500.0, 0.4), 0.0, at.seed);
            body.noises = beads((4000.0, 10_000.0), 0.3, 160.0).noises;
            body
        }
        "vibraslap" => {
            Body::of(BLOCK, at.or(1300.0), ring(0.1, 1300.0, 0.4)).grains((1800.0, 5500.0), 1.3, 28.0)
        }
        "wind_chimes_glass" | "wind_chimes_shell" => beads((3500.0, 10_000.0), 1.3, 24.0),
        _ => return None,
    })
}

/// A kind that the tables above do not name, such as one of the orchestra's own.
fn by_family(family: Family, material: Material, at: At) -> Option<Body> {
    let rings =
        !matches!(material, Material::Rosewood | Material::Padauk | Material::Synthetic | Material::Wood);
    Some(match family {
        Family::Keyboards if rings => Body::of(FREE_BAR, at.or(1000.0), ring(4.0, 1000.0, 1.0)),
        Family::Keyboards => Body::of(TWELFTH_BAR, at.or(500.0), ring(0.6, 500.0, 0.9)),
        Family::Bells => Body::of(BELL, at.or(500.0), ring(5.0, 500.0, 0.7)),
        Family::Gongs => Body::dense(120, (100.0, 6000.0), ring(6.0, 200.0, 0.5), 0.6, at.seed),
        Family::Timpani => Body::of(TIMPANO, at.or(110.0), ring(3.5, 110.0, 0.6)).soft(2.0),
        Family::Drums => Body::of(SKIN, at.or(150.0), ring(0.6, 150.0, 0.8)).soft(2.5),
        Family::Cymbals => Body::dense(150, (300.0, 14_000.0), ring(4.0, 900.0, 0.5), 0.06, at.seed),
        Family::Metal => {
            Body::dense(22, (900.0 / at.size, 9000.0), ring(1.2, 1500.0, 0.5), 0.0, at.seed).tap(4000.0, -8.0)
        }
        Family::Wood => Body::of(BLOCK, at.or(700.0), ring(0.12, 700.0, 0.4)).tap(1500.0, -8.0),
        Family::Shaken => Body { soft: 1.0, ..Body::default() }.grains((3000.0, 9000.0), 0.3, 400.0),
        Family::Strings => Body::of(STRING, at.or(262.0), ring(3.0, 262.0, 0.6)),
        Family::Glass => Body::of(RIM, at.or(1200.0), ring(0.9, 1200.0, 0.6)),
        Family::Effects => return None,
    })
}
