//! What stands in the files: one record type a file, apart from the domain's own structs, so that either may change
//! without the other. Fields that hold their usual value are left out.

mod beater;
mod bell;
mod care;
mod instrument;
mod kind;
mod memory;
mod moments;
mod notes;
mod orchestra;
mod player;
mod take;
mod timeline;
mod venue;
mod week;
mod work;
mod wrap;

pub(super) use beater::BeatersRecord;
pub(super) use care::CareRecord;
pub(super) use instrument::InstrumentRecord;
pub(crate) use instrument::without_for_two;
pub(super) use kind::{KindsRecord, OwnKinds};
pub(super) use orchestra::OrchestraRecord;
pub(super) use player::{PlacesRecord, PlayersRecord};
pub(super) use take::TakeRecord;
pub(super) use venue::VenueRecord;
pub(super) use week::WeekRecord;
pub(super) use work::WorkRecord;

use serde::Serialize;
use serde::de::{Deserialize, DeserializeOwned, Deserializer, Error, MapAccess, Visitor};
use std::collections::BTreeMap;
use std::fmt;
use std::marker::PhantomData;

/// The record of a file and the value that it stands for.
pub(super) trait Record: Serialize + DeserializeOwned {
    /// What the domain has.
    type Value;

    /// The record of a value.
    fn of(value: &Self::Value) -> Self;

    /// The value of the record.
    fn value(self) -> Self::Value;
}

/// Whether a field holds its usual value and is left out.
fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

/// A map that refuses a key that stands twice, which would lose one of them in silence.
#[derive(Clone, Debug, PartialEq)]
struct Once<K, V>(BTreeMap<K, V>);

impl<K, V> Default for Once<K, V> {
    fn default() -> Self {
        Self(BTreeMap::new())
    }
}

impl<K: Serialize, V: Serialize> Serialize for Once<K, V> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(serializer)
    }
}

impl<'de, K, V> Deserialize<'de> for Once<K, V>
where
    K: Deserialize<'de> + Ord + fmt::Debug,
    V: Deserialize<'de>,
{
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Entries<K, V>(PhantomData<(K, V)>);

        impl<'de, K, V> Visitor<'de> for Entries<K, V>
        where
            K: Deserialize<'de> + Ord + fmt::Debug,
            V: Deserialize<'de>,
        {
            type Value = BTreeMap<K, V>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a map: { \"id\": (...), ... }")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Self::Value, A::Error> {
                let mut map = BTreeMap::new();
                while let Some(key) = entries.next_key::<K>()? {
                    if map.contains_key(&key) {
                        return Err(Error::custom(format!("{key:?} appears here twice; keep one of them")));
                    }
                    let value = entries.next_value()?;
                    map.insert(key, value);
                }
                Ok(map)
            }
        }

        deserializer.deserialize_map(Entries(PhantomData)).map(Self)
    }
}
