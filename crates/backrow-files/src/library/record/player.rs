//! `players.ron` and `places.ron`.

use super::{Record, is_default};
use crate::library::text::{Text, plain, texts};
use crate::library::version::FORMAT;
use backrow_core::collection::{AirDay, Lift, Place, Player};
use backrow_core::id::{KindId, PlaceId, PlayerId, ServiceId};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct PlayersRecord {
    format: u32,
    players: Vec<PlayerRecord>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlayerRecord {
    id: Text<PlayerId>,
    order: u32,
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    #[serde(default, skip_serializing_if = "is_default")]
    initials: String,
    #[serde(default, skip_serializing_if = "is_default")]
    role: String,
    #[serde(default, skip_serializing_if = "is_default")]
    only: Vec<Text<KindId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    never: Vec<Text<KindId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    absences: Vec<Text<ServiceId>>,
}

impl Record for PlayersRecord {
    type Value = Vec<Player>;

    fn of(players: &Vec<Player>) -> Self {
        Self { format: FORMAT, players: players.iter().map(PlayerRecord::of).collect() }
    }

    fn value(self) -> Vec<Player> {
        self.players.into_iter().map(PlayerRecord::value).collect()
    }
}

impl PlayerRecord {
    fn of(player: &Player) -> Self {
        let Player { id, name, initials, role, order, only, never, absences } = player;
        Self {
            id: Text(id.clone()),
            order: *order,
            name: name.clone(),
            initials: initials.clone(),
            role: role.clone(),
            only: texts(only),
            never: texts(never),
            absences: texts(absences),
        }
    }

    fn value(self) -> Player {
        Player {
            id: self.id.0,
            name: self.name,
            initials: self.initials,
            role: self.role,
            order: self.order,
            only: plain(self.only),
            never: plain(self.never),
            absences: plain(self.absences),
        }
    }
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct PlacesRecord {
    format: u32,
    places: Vec<PlaceRecord>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlaceRecord {
    id: Text<PlaceId>,
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    #[serde(default, skip_serializing_if = "is_default")]
    remark: String,
    #[serde(default, skip_serializing_if = "is_default")]
    lift: Option<LiftRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    air: Vec<AirDayRecord>,
}

/// What is known of a lift.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct LiftRecord {
    there: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    plate_kg: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    door_m: Option<f64>,
}

/// The least and the most of a day.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct AirDayRecord {
    on: Text<Date>,
    #[serde(default, skip_serializing_if = "is_default")]
    celsius: Option<(f64, f64)>,
    #[serde(default, skip_serializing_if = "is_default")]
    humidity: Option<(f64, f64)>,
}

impl AirDayRecord {
    fn of(day: AirDay) -> Self {
        let AirDay { on, celsius, humidity } = day;
        Self { on: Text(on), celsius, humidity }
    }

    fn value(self) -> AirDay {
        AirDay { on: self.on.0, celsius: self.celsius, humidity: self.humidity }
    }
}

impl Record for PlacesRecord {
    type Value = Vec<Place>;

    fn of(places: &Vec<Place>) -> Self {
        let record = |place: &Place| {
            let Place { id, name, remark, lift, air } = place.clone();
            let lift = lift.map(|Lift { there, plate_kg, door_m }| LiftRecord { there, plate_kg, door_m });
            PlaceRecord {
                id: Text(id),
                name,
                remark,
                lift,
                air: air.into_iter().map(AirDayRecord::of).collect(),
            }
        };
        Self { format: FORMAT, places: places.iter().map(record).collect() }
    }

    fn value(self) -> Vec<Place> {
        let value = |PlaceRecord { id, name, remark, lift, air }| Place {
            id: id.0,
            name,
            remark,
            lift: lift.map(|LiftRecord { there, plate_kg, door_m }| Lift { there, plate_kg, door_m }),
            air: air.into_iter().map(AirDayRecord::value).collect(),
        };
        self.places.into_iter().map(value).collect()
    }
}
