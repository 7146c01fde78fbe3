//! The lists at the top of the folder: the orchestra, its players, beaters, places and kinds.

use super::super::content::{BEATERS, KINDS, ORCHESTRA, PLACES, PLAYERS};
use super::super::drive::is_named;
use super::super::problem::Problem;
use super::super::record::{
    BeatersRecord, KindsRecord, OrchestraRecord, PlacesRecord, PlayersRecord, Record,
};
use super::super::version::BEFORE_2;
use super::Reader;
use super::one::line_at;
use backrow_core::id::{BeaterId, KindId, PlaceId, PlayerId};
use backrow_core::library::Shared;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Display;
use std::sync::Arc;

impl Reader<'_> {
    /// Reads a file at the top of the folder; `None` where it is not there or, with its problem, not readable.
    fn list<R: Record>(&mut self, file: &str) -> Option<R::Value> {
        if !is_named(self.drive, &self.dir.join(file)) && self.latest_second(file).is_none() {
            return None;
        }
        let (source, value) = self.record::<R>(file)?;
        self.read.insert(file.to_owned(), source);
        Some(value)
    }

    pub(super) fn orchestra(&mut self) {
        let is_there = |file: &str| is_named(self.drive, &self.dir.join(file));
        if !is_there(ORCHESTRA) && is_there(BEFORE_2) {
            if let Some((source, orchestra)) = self.record::<OrchestraRecord>(BEFORE_2) {
                self.read.insert(ORCHESTRA.to_owned(), source);
                self.library.orchestra = Arc::new(orchestra);
            }
            return;
        }
        if !is_there(ORCHESTRA) {
            let what = "the file is missing, so the usual figures are used instead of the orchestra’s own";
            let remedy = "enter the orchestra’s name and figures, or take the file from a backup";
            self.problems.push(Problem::new(ORCHESTRA, "missing", what, remedy));
        }
        if let Some(orchestra) = self.list::<OrchestraRecord>(ORCHESTRA) {
            self.library.orchestra = Arc::new(orchestra);
        }
    }

    pub(super) fn players(&mut self) {
        let players = self.list::<PlayersRecord>(PLAYERS).unwrap_or_default();
        self.library.players = self.unique(
            PLAYERS,
            players,
            |player| &mut player.id,
            |name, taken| PlayerId::fresh(name, taken),
        );
    }

    pub(super) fn beaters(&mut self) {
        let beaters = self.list::<BeatersRecord>(BEATERS).unwrap_or_default();
        self.library.beaters = self.unique(
            BEATERS,
            beaters,
            |beater| &mut beater.id,
            |name, taken| BeaterId::fresh(name, taken),
        );
    }

    pub(super) fn places(&mut self) {
        let places = self.list::<PlacesRecord>(PLACES).unwrap_or_default();
        self.library.places =
            self.unique(PLACES, places, |place| &mut place.id, |name, taken| PlaceId::fresh(name, taken));
    }

    pub(super) fn kinds(&mut self) {
        let Some((kinds, without)) = self.list::<KindsRecord>(KINDS) else { return };
        let own = self.unique(KINDS, kinds, |kind| &mut kind.id, |name, taken| KindId::fresh(name, taken));
        for kind in own.values() {
            for (what, remedy) in crate::kinds::faults(kind) {
                let what = format!("kind \"{}\": {what}", kind.id);
                self.problems.push(Problem::new(KINDS, "kind-fault", what, remedy));
            }
        }
        let all = Arc::make_mut(&mut self.library.kinds);
        for id in &without {
            all.remove(id);
        }
        all.extend(own.iter().map(|(id, kind)| (id.clone(), kind.clone())));
        self.disk.without = without.into_iter().collect();
    }

    /// A list as a map. A second thing of the same id is given a fresh one, so that neither is lost.
    fn unique<K, V>(
        &mut self,
        file: &str,
        mut values: Vec<V>,
        id: impl Fn(&mut V) -> &mut K,
        fresh: impl Fn(&str, &dyn Fn(&K) -> bool) -> K,
    ) -> Shared<K, V>
    where
        K: Ord + Clone + Display,
    {
        let stated: BTreeSet<K> = values.iter_mut().map(|value| id(value).clone()).collect();
        let mut map: BTreeMap<K, Arc<V>> = BTreeMap::new();
        for mut value in values {
            let wanted = id(&mut value).clone();
            let mut own = wanted.clone();
            if map.contains_key(&own) {
                own = fresh(&wanted.to_string(), &|id| map.contains_key(id) || stated.contains(id));
                *id(&mut value) = own.clone();
                let what =
                    format!("the id \"{wanted}\" appears twice; the second is called \"{own}\" for now");
                let remedy = "give one of the two an id of its own";
                let second = |text: &std::sync::Arc<str>| {
                    let (at, _) = text.match_indices(&format!("id: \"{wanted}\"")).nth(1)?;
                    Some(line_at(text, at))
                };
                let line = self.texts.get(file).and_then(second);
                self.problems.push(Problem::new(file, "double-id", what, remedy).at(line));
            }
            map.insert(own, Arc::new(value));
        }
        Arc::new(map)
    }
}
