//! What every assignment has to keep: who is away, unwilling or unable, what is locked, what goes together or apart, and that
//! timpani stay with the timpanist.

use super::{Terms, is_timpani};
use crate::collection::Player;
use crate::id::{KindId, PlayerId};
use crate::library::Library;
use crate::moves::{Taken, Timetable};
use crate::rota::{CallNo, Demand, List, PlayerNo};
use crate::week::{CallRef, Kept, Programme, ServiceKind};
use std::collections::BTreeMap;

/// Everything that rules are made of.
pub(super) struct Rules<'a> {
    pub(super) library: &'a Library,
    pub(super) programme: &'a Programme,
    pub(super) timetable: &'a Timetable,
    pub(super) people: &'a List<PlayerNo, &'a Player>,
    pub(super) terms: Terms<'a>,
}

impl Rules<'_> {
    /// The demands that the rules are.
    pub(super) fn demands(&self) -> Vec<Demand> {
        let mut out = Vec::new();
        for (player, person) in self.people.entries() {
            out.extend(self.why_away(person).map(|why| {
                let calls = self.calls().map(|(call, _)| call).collect();
                Demand::Bar { player, calls, why }
            }));
            out.extend(self.unwilling(player, person));
        }
        for (call, taken) in self.calls() {
            let given = self.programme.given(&taken.call).filter(|a| a.pinned);
            let player = given.and_then(|a| a.player.as_ref()).and_then(|id| self.number(id));
            out.extend(player.map(|player| Demand::Pin { call, player }));
        }
        out.extend(self.timpani());
        out.extend(self.programme.kept.iter().filter_map(|kept| self.kept(kept)));
        out
    }

    fn calls(&self) -> impl Iterator<Item = (CallNo, &Taken)> {
        self.timetable.calls.iter().enumerate().map(|(n, taken)| (CallNo(n), taken))
    }

    fn call(&self, at: &CallRef) -> Option<CallNo> {
        self.calls().find(|(_, taken)| taken.call == *at).map(|(call, _)| call)
    }

    /// The number of somebody who is not thought of as missing.
    fn number(&self, id: &PlayerId) -> Option<PlayerNo> {
        let found = self.people.entries().find(|(_, p)| p.id == *id).map(|(player, _)| player);
        found.filter(|_| self.terms.without != Some(id))
    }

    /// Why somebody cannot have any line of the programme.
    fn why_away(&self, person: &Player) -> Option<String> {
        if self.terms.without == Some(&person.id) {
            return Some("is missing".to_owned());
        }
        let engaged = self.programme.roster.of(person);
        let mut concerts = self.library.services_of(&self.programme.id);
        concerts.retain(|service| service.kind == ServiceKind::Concert);
        let missed = concerts.iter().find(|s| person.absences.contains(&s.id));
        let not_for = concerts.iter().find(|s| !engaged.covers(&s.id));
        let of = |what: &str, day: jiff::civil::Date| format!("{what} the concert of {day}");
        missed
            .map(|s| of("misses", s.start.date()))
            .or_else(|| not_for.map(|s| of("is not engaged for", s.start.date())))
    }

    /// The kinds that somebody does not take, each with its calls.
    fn unwilling(&self, player: PlayerNo, person: &Player) -> Vec<Demand> {
        let mut not_taken: BTreeMap<&KindId, Vec<CallNo>> = BTreeMap::new();
        for (call, taken) in self.calls() {
            if let Some(kind) = taken.kind.as_ref().filter(|k| !person.takes(k)) {
                not_taken.entry(kind).or_default().push(call);
            }
        }
        let bar = |(kind, calls): (&KindId, Vec<CallNo>)| {
            let why = format!("does not take {}", self.library.kind_name(kind));
            Demand::Bar { player, calls, why }
        };
        not_taken.into_iter().map(bar).collect()
    }

    /// Timpani are for the timpanist, where one is engaged; what was given to somebody else by hand stays there.
    fn timpani(&self) -> Option<Demand> {
        let has = |(_, person): &(PlayerNo, &&Player)| self.programme.roster.of(person).timpani;
        let players: Vec<PlayerNo> =
            self.people.entries().filter(has).filter_map(|(_, person)| self.number(&person.id)).collect();
        let elsewhere = |taken: &Taken| {
            let given = self.programme.given(&taken.call);
            let by_hand = given.is_some_and(|g| g.pinned || g.by_hand && !self.terms.hands_free);
            by_hand
                && taken.player.as_ref().and_then(|id| self.number(id)).is_some_and(|p| !players.contains(&p))
        };
        let calls = self.calls().filter(|(_, taken)| is_timpani(self.library, taken) && !elsewhere(taken));
        let calls: Vec<CallNo> = calls.map(|(call, _)| call).collect();
        let why = "timpani stay with the timpanist".to_owned();
        (!players.is_empty() && !calls.is_empty()).then_some(Demand::Only { calls, players, why })
    }

    /// What is to be kept, when its calls are among those asked about.
    fn kept(&self, kept: &Kept) -> Option<Demand> {
        Some(match kept {
            Kept::Together(a, b) => Demand::Together { a: self.call(a)?, b: self.call(b)? },
            Kept::Apart(a, b) => Demand::Apart { a: self.call(a)?, b: self.call(b)? },
            Kept::Only(call, players) => {
                let players: Vec<PlayerNo> = players.iter().filter_map(|id| self.number(id)).collect();
                let why = if players.is_empty() { "nobody of them is engaged" } else { "" };
                Demand::Only { calls: vec![self.call(call)?], players, why: why.to_owned() }
            }
        })
    }
}
