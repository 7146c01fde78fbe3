//! `beaters.ron`: every beater of the section.

use super::instrument::OwnerRecord;
use super::{Record, is_default};
use crate::library::text::{Text, plain, texts};
use crate::library::version::FORMAT;
use backrow_core::collection::{Beater, Hardness, Head};
use backrow_core::id::{BeaterId, KindId, PlaceId};
use serde::{Deserialize, Serialize};

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct BeatersRecord {
    format: u32,
    beaters: Vec<BeaterRecord>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BeaterRecord {
    id: Text<BeaterId>,
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    head: Text<Head>,
    hardness: Text<Hardness>,
    count: u32,
    #[serde(default, skip_serializing_if = "is_default")]
    owner: OwnerRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    place: Option<Text<PlaceId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    suits: Vec<Text<KindId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    remark: String,
}

impl Record for BeatersRecord {
    type Value = Vec<Beater>;

    fn of(beaters: &Vec<Beater>) -> Self {
        Self { format: FORMAT, beaters: beaters.iter().map(BeaterRecord::of).collect() }
    }

    fn value(self) -> Vec<Beater> {
        self.beaters.into_iter().map(BeaterRecord::value).collect()
    }
}

impl BeaterRecord {
    fn of(beater: &Beater) -> Self {
        let Beater { id, name, head, hardness, count, owner, place, suits, remark } = beater;
        Self {
            id: Text(id.clone()),
            name: name.clone(),
            head: Text(*head),
            hardness: Text(*hardness),
            count: *count,
            owner: OwnerRecord::of(owner),
            place: place.clone().map(Text),
            suits: texts(suits),
            remark: remark.clone(),
        }
    }

    fn value(self) -> Beater {
        Beater {
            id: self.id.0,
            name: self.name,
            head: self.head.0,
            hardness: self.hardness.0,
            count: self.count,
            owner: self.owner.value(),
            place: self.place.map(|place| place.0),
            suits: plain(self.suits),
            remark: self.remark,
        }
    }
}
