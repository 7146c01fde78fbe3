//! What every assignment has to keep: who is away, unwilling or unable, what is locked, what goes together or apart, and that
//! timpani stay with the timpanist.

use super::{Terms, is_timpani};
use crate::collection::Player;
use crate::id::{KindId, PlayerId};
use crate::library::Library;
use crate::moves::{AssignedLine, Timetable};
use crate::rota::{Demand, LineNo, List, PlayerNo};
use crate::week::{LineRef, LineRule, Presence, Programme, ServiceKind};
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
                let lines = self.lines().map(|(line, _)| line).collect();
                Demand::Bar { player, lines, why }
            }));
            out.extend(self.unwilling(player, person));
        }
        for (line, taken) in self.lines() {
            let given = self.programme.given(&taken.line).filter(|a| a.locked);
            let player = given.and_then(|a| a.player.as_ref()).and_then(|id| self.number(id));
            out.extend(player.map(|player| Demand::Pin { line, player }));
        }
        out.extend(self.timpani());
        out.extend(self.programme.rules.iter().filter_map(|rule| self.rule(rule)));
        out
    }

    fn lines(&self) -> impl Iterator<Item = (LineNo, &AssignedLine)> {
        self.timetable.lines.iter().enumerate().map(|(n, taken)| (LineNo(n), taken))
    }

    fn line(&self, at: &LineRef) -> Option<LineNo> {
        self.lines().find(|(_, taken)| taken.line == *at).map(|(line, _)| line)
    }

    /// The number of somebody who is not thought of as missing.
    fn number(&self, id: &PlayerId) -> Option<PlayerNo> {
        let found = self.people.entries().find(|(_, p)| p.id == *id).map(|(player, _)| player);
        found.filter(|_| self.terms.without != Some(id))
    }

    /// Why somebody cannot have any line of the programme.
    fn why_away(&self, person: &Player) -> Option<String> {
        if self.terms.without == Some(&person.id) {
            return Some("is away".to_owned());
        }
        let mut concerts = self.library.services_of(&self.programme.id);
        concerts.retain(|service| service.kind == ServiceKind::Concert);
        let first = |presence| concerts.iter().find(|s| self.programme.presence(person, s) == presence);
        let of = |what: &str, day: jiff::civil::Date| format!("{what} the concert of {day}");
        first(Presence::Away)
            .map(|s| of("is away for", s.start.date()))
            .or_else(|| first(Presence::OnlyOthers).map(|s| of("is not engaged for", s.start.date())))
    }

    /// The kinds that somebody does not take, each with its lines.
    fn unwilling(&self, player: PlayerNo, person: &Player) -> Vec<Demand> {
        let mut not_taken: BTreeMap<&KindId, Vec<LineNo>> = BTreeMap::new();
        for (line, taken) in self.lines() {
            if let Some(kind) = taken.kind.as_ref().filter(|k| !person.takes(k)) {
                not_taken.entry(kind).or_default().push(line);
            }
        }
        let bar = |(kind, lines): (&KindId, Vec<LineNo>)| {
            let why = format!("does not take {}", self.library.kind_name(kind));
            Demand::Bar { player, lines, why }
        };
        not_taken.into_iter().map(bar).collect()
    }

    /// Timpani are for the timpanist, where one is engaged; what was given to somebody else by hand stays there.
    fn timpani(&self) -> Option<Demand> {
        let has = |(_, person): &(PlayerNo, &&Player)| self.programme.roster.of(person).timpani;
        let players: Vec<PlayerNo> =
            self.people.entries().filter(has).filter_map(|(_, person)| self.number(&person.id)).collect();
        let elsewhere = |taken: &AssignedLine| {
            let given = self.programme.given(&taken.line);
            let by_hand = given.is_some_and(|g| g.locked || g.by_hand && !self.terms.hands_free);
            by_hand
                && taken.player.as_ref().and_then(|id| self.number(id)).is_some_and(|p| !players.contains(&p))
        };
        let lines = self.lines().filter(|(_, taken)| is_timpani(self.library, taken) && !elsewhere(taken));
        let lines: Vec<LineNo> = lines.map(|(line, _)| line).collect();
        let why = "timpani stay with the timpanist".to_owned();
        (!players.is_empty() && !lines.is_empty()).then_some(Demand::Only { lines, players, why })
    }

    /// What is to be kept, when its lines are among those asked about.
    fn rule(&self, rule: &LineRule) -> Option<Demand> {
        Some(match rule {
            LineRule::Together(a, b) => Demand::Together { a: self.line(a)?, b: self.line(b)? },
            LineRule::Apart(a, b) => Demand::Apart { a: self.line(a)?, b: self.line(b)? },
            LineRule::Only(line, players) => {
                let players: Vec<PlayerNo> = players.iter().filter_map(|id| self.number(id)).collect();
                let why = if players.is_empty() { "none of them is engaged" } else { "" };
                Demand::Only { lines: vec![self.line(line)?], players, why: why.to_owned() }
            }
        })
    }
}
