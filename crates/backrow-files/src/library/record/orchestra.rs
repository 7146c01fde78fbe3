//! `orchestra.ron`: the orchestra and its habits.

use super::{Once, Record, is_default};
use crate::library::text::Text;
use crate::library::version::FORMAT;
use backrow_core::collection::{Material, Side};
use backrow_core::days::{Clock, Order};
use backrow_core::library::{Habits, Orchestra, TimpaniHabits};
use backrow_core::pitch::ReferenceA;
use backrow_core::rota::Wishes;
use backrow_core::timpani::Aim;
use serde::{Deserialize, Serialize};

/// All figures are always written, so that a person who opens the file sees them.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct OrchestraRecord {
    format: u32,
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    #[serde(default)]
    a_hz: AHertz,
    #[serde(default = "celsius")]
    celsius: f64,
    #[serde(default, skip_serializing_if = "is_default")]
    currency: String,
    #[serde(default, skip_serializing_if = "is_default")]
    zone: String,
    #[serde(default, skip_serializing_if = "is_default")]
    days: Option<Text<Order>>,
    #[serde(default, skip_serializing_if = "is_default")]
    hours: Option<Text<Clock>>,
    #[serde(default)]
    habits: HabitsRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    wishes: WishesRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    timpani: TimpaniRecord,
    /// Parts in a million for each kelvin, by material.
    #[serde(default, skip_serializing_if = "is_default")]
    drift_ppm_k: Once<Text<Material>, f64>,
    /// Cents for each kelvin.
    #[serde(default, skip_serializing_if = "is_default")]
    winds_cents_k: Option<f64>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct TimpaniRecord {
    low_drum: Text<Side>,
    pedal_s: f64,
    screws_s: f64,
    aim: Text<Aim>,
}

impl Default for TimpaniRecord {
    fn default() -> Self {
        Self::from(TimpaniHabits::default())
    }
}

impl From<TimpaniHabits> for TimpaniRecord {
    fn from(habits: TimpaniHabits) -> Self {
        let TimpaniHabits { low_drum, pedal_s, screws_s, aim } = habits;
        Self { low_drum: Text(low_drum), pedal_s, screws_s, aim: Text(aim) }
    }
}

/// Points.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct WishesRecord {
    stay: u32,
    part: u32,
    last_time: u32,
    near: u32,
    by_hand: u32,
    walk: u32,
    load: u32,
    exposure: u32,
    extra: u32,
}

impl Default for WishesRecord {
    fn default() -> Self {
        Self::from(Wishes::default())
    }
}

impl From<Wishes> for WishesRecord {
    fn from(wishes: Wishes) -> Self {
        let Wishes { stay, part, last_time, near, by_hand, walk, load, exposure, extra } = wishes;
        Self { stay, part, last_time, near, by_hand, walk, load, exposure, extra }
    }
}

/// An A4 in hertz.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub(super) struct AHertz(pub ReferenceA);

impl TryFrom<f64> for AHertz {
    type Error = String;

    fn try_from(hz: f64) -> Result<Self, String> {
        ReferenceA::new(hz).map(Self).map_err(|error| error.to_string())
    }
}

impl From<AHertz> for f64 {
    fn from(a: AHertz) -> Self {
        a.0.value()
    }
}

fn celsius() -> f64 {
    Orchestra::default().celsius
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct HabitsRecord {
    pace_m_s: f64,
    settle_s: f64,
    change_s: f64,
    cymbals_s: f64,
    four_mallets_s: f64,
    bow_s: f64,
    gloves_s: f64,
    default_distance_m: f64,
    gangway_m: f64,
    reach_m: f64,
}

impl Default for HabitsRecord {
    fn default() -> Self {
        Self::from(Habits::default())
    }
}

impl From<Habits> for HabitsRecord {
    fn from(habits: Habits) -> Self {
        let Habits {
            pace_m_s,
            settle_s,
            change_s,
            cymbals_s,
            four_mallets_s,
            bow_s,
            gloves_s,
            default_distance_m,
            gangway_m,
            reach_m,
        } = habits;
        Self {
            pace_m_s,
            settle_s,
            change_s,
            cymbals_s,
            four_mallets_s,
            bow_s,
            gloves_s,
            default_distance_m,
            gangway_m,
            reach_m,
        }
    }
}

impl HabitsRecord {
    fn value(self) -> Habits {
        let Self {
            pace_m_s,
            settle_s,
            change_s,
            cymbals_s,
            four_mallets_s,
            bow_s,
            gloves_s,
            default_distance_m,
            gangway_m,
            reach_m,
        } = self;
        Habits {
            pace_m_s,
            settle_s,
            change_s,
            cymbals_s,
            four_mallets_s,
            bow_s,
            gloves_s,
            default_distance_m,
            gangway_m,
            reach_m,
        }
    }
}

impl Record for OrchestraRecord {
    type Value = Orchestra;

    fn of(orchestra: &Orchestra) -> Self {
        let Orchestra {
            name,
            a,
            celsius,
            currency,
            zone,
            order,
            clock,
            habits,
            wishes,
            timpani,
            drifts,
            winds_cents_k,
        } = orchestra;
        Self {
            format: FORMAT,
            name: name.clone(),
            a_hz: AHertz(*a),
            celsius: *celsius,
            currency: currency.clone(),
            zone: zone.clone(),
            days: order.map(Text),
            hours: clock.map(Text),
            habits: (*habits).into(),
            wishes: (*wishes).into(),
            timpani: (*timpani).into(),
            drift_ppm_k: Once(drifts.iter().map(|(material, ppm)| (Text(*material), *ppm)).collect()),
            winds_cents_k: *winds_cents_k,
        }
    }

    fn value(self) -> Orchestra {
        let WishesRecord { stay, part, last_time, near, by_hand, walk, load, exposure, extra } = self.wishes;
        let TimpaniRecord { low_drum, pedal_s, screws_s, aim } = self.timpani;
        Orchestra {
            name: self.name,
            a: self.a_hz.0,
            celsius: self.celsius,
            currency: self.currency,
            zone: self.zone,
            order: self.days.map(|order| order.0),
            clock: self.hours.map(|clock| clock.0),
            habits: self.habits.value(),
            wishes: Wishes { stay, part, last_time, near, by_hand, walk, load, exposure, extra },
            timpani: TimpaniHabits { low_drum: low_drum.0, pedal_s, screws_s, aim: aim.0 },
            drifts: self.drift_ppm_k.0.into_iter().map(|(material, ppm)| (material.0, ppm)).collect(),
            winds_cents_k: self.winds_cents_k,
        }
    }
}
