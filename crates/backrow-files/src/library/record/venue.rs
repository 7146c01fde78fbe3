//! `venues/<id>.ron`: a floor to scale. Points are (metres right of the centre line, metres from the back edge).

use super::{Record, is_default};
use crate::library::text::Text;
use crate::library::version::FORMAT;
use backrow_core::collection::{Area, AreaUse, Point, Riser, Venue};
use backrow_core::id::VenueId;
use serde::{Deserialize, Serialize};

type Xy = (f64, f64);

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct VenueRecord {
    format: u32,
    id: Text<VenueId>,
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    floor: Vec<Xy>,
    #[serde(default, skip_serializing_if = "is_default")]
    risers: Vec<RiserRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    keep_out: Vec<AreaRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    conductor: Option<Xy>,
    #[serde(default, skip_serializing_if = "is_default")]
    remark: String,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct RiserRecord {
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    height_m: f64,
    #[serde(default, skip_serializing_if = "is_default")]
    rated_kn_m2: Option<f64>,
    outline: Vec<Xy>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct AreaRecord {
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    #[serde(default, skip_serializing_if = "is_default")]
    kept_for: Text<AreaUse>,
    outline: Vec<Xy>,
}

pub(super) fn xy(point: Point) -> Xy {
    (point.x, point.y)
}

pub(super) fn point((x, y): Xy) -> Point {
    Point::new(x, y)
}

fn xys(points: &[Point]) -> Vec<Xy> {
    points.iter().copied().map(xy).collect()
}

fn points(xys: Vec<Xy>) -> Vec<Point> {
    xys.into_iter().map(point).collect()
}

impl Record for VenueRecord {
    type Value = Venue;

    fn of(venue: &Venue) -> Self {
        let riser = |riser: &Riser| RiserRecord {
            name: riser.name.clone(),
            height_m: riser.height_m,
            rated_kn_m2: riser.rated_kn_m2,
            outline: xys(&riser.outline),
        };
        let area = |area: &Area| AreaRecord {
            name: area.name.clone(),
            kept_for: Text(area.kept_for),
            outline: xys(&area.outline),
        };
        Self {
            format: FORMAT,
            id: Text(venue.id.clone()),
            name: venue.name.clone(),
            floor: xys(&venue.floor),
            risers: venue.risers.iter().map(riser).collect(),
            keep_out: venue.keep_out.iter().map(area).collect(),
            conductor: venue.conductor.map(xy),
            remark: venue.remark.clone(),
        }
    }

    fn value(self) -> Venue {
        let riser = |riser: RiserRecord| Riser {
            name: riser.name,
            outline: points(riser.outline),
            height_m: riser.height_m,
            rated_kn_m2: riser.rated_kn_m2,
        };
        let area = |area: AreaRecord| Area {
            name: area.name,
            kept_for: area.kept_for.0,
            outline: points(area.outline),
        };
        Venue {
            id: self.id.0,
            name: self.name,
            floor: points(self.floor),
            risers: self.risers.into_iter().map(riser).collect(),
            keep_out: self.keep_out.into_iter().map(area).collect(),
            conductor: self.conductor.map(point),
            remark: self.remark,
        }
    }
}
