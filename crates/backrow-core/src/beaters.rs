//! Beaters shared out: who brings which, who hands them on to whom, and where there are too few.
//!
//! A player holds a beater through a movement from the first passage in which it is named to the last. Where one player alone
//! uses a set, all of it is laid out for that player; where several do, each takes a pair (one, of bows or where there is but
//! one), and pairs go from hand to hand between their holdings. Common practice; no source.

use crate::collection::{Beater, Head};
use crate::id::{BeaterId, MovementId, PlayerId, WorkId};
use crate::library::Library;
use crate::moves::Timetable;
use std::collections::{BTreeMap, BTreeSet};

/// One player with one beater in one movement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holding {
    /// Who.
    pub player: PlayerId,
    /// Of which work, as its place among the timetable's works, from 0.
    pub nth: usize,
    /// The work.
    pub work: WorkId,
    /// The movement.
    pub movement: MovementId,
    /// From the first passage, microseconds from the start of the movement.
    pub from_us: i64,
    /// To the end of the last.
    pub to_us: i64,
    /// Which pair of the set, from 0; `None` when none is free.
    pub pair: Option<usize>,
}

/// How one beater is shared out over a programme.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Share {
    /// Which.
    pub beater: BeaterId,
    /// How many single ones a player takes.
    pub each: u32,
    /// How many players can have them at once.
    pub pairs: usize,
    /// In order of time.
    pub holdings: Vec<Holding>,
}

/// What one player must know of one beater.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told<'a> {
    /// How many single ones the player brings; 0 when all of them come from others.
    pub brings: u32,
    /// What comes from somebody else: the holding that it is for, and who had it before.
    pub comes: Vec<(&'a Holding, &'a Holding)>,
    /// What goes to somebody else: the holding after which it is handed on, and for which.
    pub goes: Vec<(&'a Holding, &'a Holding)>,
    /// Holdings for which none is free.
    pub lacks: Vec<&'a Holding>,
}

/// Every beater that a programme uses, in the order of their ids; those that the library lacks are left out.
pub(crate) fn shares(library: &Library, timetable: &Timetable) -> Vec<Share> {
    let mut all: BTreeMap<&BeaterId, Vec<Holding>> = BTreeMap::new();
    let mut works: Vec<&WorkId> = Vec::new();
    for taken in &timetable.lines {
        if works.last() != Some(&&taken.line.work) {
            works.push(&taken.line.work);
        }
        let (Some(player), Some(first)) = (&taken.player, taken.spans.first()) else { continue };
        let to_us = taken.spans.iter().map(|span| span.to_us).max().unwrap_or(first.to_us);
        for beater in &taken.beaters {
            let holding = Holding {
                player: player.clone(),
                nth: works.len().saturating_sub(1),
                work: taken.line.work.clone(),
                movement: taken.movement.clone(),
                from_us: first.from_us,
                to_us,
                pair: None,
            };
            let list = all.entry(beater).or_default();
            let same = |other: &&mut Holding| {
                (&other.player, &other.work, &other.movement)
                    == (&holding.player, &holding.work, &holding.movement)
            };
            match list.iter_mut().find(same) {
                Some(other) => {
                    other.from_us = other.from_us.min(holding.from_us);
                    other.to_us = other.to_us.max(holding.to_us);
                }
                None => list.push(holding),
            }
        }
    }
    let share =
        |(id, holdings): (&BeaterId, Vec<Holding>)| Some(Share::of(library.beaters.get(id)?, holdings));
    all.retain(|id, _| library.beaters.get(*id).is_some_and(|beater| beater.is_laid_out()));
    all.into_iter().filter_map(share).collect()
}

impl Share {
    /// `holdings` in the order of their movements.
    fn of(beater: &Beater, mut holdings: Vec<Holding>) -> Self {
        let players: BTreeSet<&PlayerId> = holdings.iter().map(|holding| &holding.player).collect();
        let count = beater.count.max(1);
        let each = match (players.len(), beater.head) {
            (0 | 1, _) => count,
            (_, Head::Bow) => 1,
            _ => count.min(2),
        };
        let pairs = usize::try_from(count / each).unwrap_or(1).max(1);
        // The lines of the timetable stand in order of works and movements; within one movement time decides.
        let mut start = 0;
        while let Some(first) = holdings.get(start) {
            let movement = (first.work.clone(), first.movement.clone());
            let here = holdings
                .iter()
                .skip(start)
                .take_while(|holding| (&holding.work, &holding.movement) == (&movement.0, &movement.1))
                .count();
            if let Some(part) = holdings.get_mut(start..start + here) {
                part.sort_by_key(|holding| (holding.from_us, holding.to_us));
            }
            start += here.max(1);
        }
        let mut share = Self { beater: beater.id.clone(), each, pairs, holdings };
        share.deal();
        share
    }

    /// Gives every holding a pair: the one that the player had last, else one that nobody had yet, else the one that was put
    /// down first.
    fn deal(&mut self) {
        for at in 0..self.holdings.len() {
            let (before, rest) = self.holdings.split_at_mut(at);
            let Some(now) = rest.first_mut() else { return };
            let last =
                |pair: usize| before.iter().enumerate().rev().find(|(_, held)| held.pair == Some(pair));
            let free = |pair: &usize| last(*pair).is_none_or(|(_, held)| !held.meets(now));
            let rank = |pair: &usize| match last(*pair) {
                Some((_, held)) if held.player == now.player => (0, 0),
                None => (1, 0),
                Some((since, _)) => (2, since),
            };
            now.pair = (0..self.pairs).filter(free).min_by_key(rank);
        }
    }

    /// The holdings for which no pair is free.
    pub fn lacking(&self) -> impl Iterator<Item = &Holding> {
        self.holdings.iter().filter(|holding| holding.pair.is_none())
    }

    /// How many players hold it at once at the worst moment of a movement; with that holding in which it happens.
    pub fn at_once(&self) -> usize {
        let at = |now: &Holding| self.holdings.iter().filter(|other| other.holds_at(now)).count();
        self.holdings.iter().map(at).max().unwrap_or(0)
    }

    /// What a player must know; `None` for one who does not use it.
    pub fn told(&self, player: &PlayerId) -> Option<Told<'_>> {
        let mut told = Told { brings: 0, comes: Vec::new(), goes: Vec::new(), lacks: Vec::new() };
        let mut uses = false;
        for pair in 0..self.pairs {
            let chain: Vec<&Holding> = self.holdings.iter().filter(|held| held.pair == Some(pair)).collect();
            if chain.first().is_some_and(|first| first.player == *player) {
                told.brings += self.each;
            }
            for (a, b) in chain.iter().zip(chain.iter().skip(1)).filter(|(a, b)| a.player != b.player) {
                if b.player == *player {
                    told.comes.push((b, a));
                }
                if a.player == *player {
                    told.goes.push((a, b));
                }
            }
        }
        for holding in self.holdings.iter().filter(|holding| holding.player == *player) {
            uses = true;
            if holding.pair.is_none() {
                told.lacks.push(holding);
            }
        }
        uses.then_some(told)
    }
}

impl Holding {
    /// Whether both are held at one moment.
    fn meets(&self, other: &Self) -> bool {
        (&self.work, &self.movement) == (&other.work, &other.movement)
            && self.from_us < other.to_us
            && other.from_us < self.to_us
    }

    /// Whether it is held at the moment at which another begins.
    fn holds_at(&self, other: &Self) -> bool {
        (&self.work, &self.movement) == (&other.work, &other.movement)
            && self.from_us <= other.from_us
            && (other.from_us < self.to_us || self.from_us == other.from_us)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    fn holding(player: &str, nth: usize, from: i64, to: i64) -> Holding {
        Holding {
            player: PlayerId::new(player).unwrap(),
            nth,
            work: WorkId::new(&format!("w{nth}")).unwrap(),
            movement: MovementId::new("i").unwrap(),
            from_us: from,
            to_us: to,
            pair: None,
        }
    }

    fn share(count: u32, holdings: Vec<Holding>) -> Share {
        Share::of(&Beater { count, ..sample::beater("plastic") }, holdings)
    }

    fn pairs(share: &Share) -> Vec<Option<usize>> {
        share.holdings.iter().map(|holding| holding.pair).collect()
    }

    fn player(id: &str) -> PlayerId {
        PlayerId::new(id).unwrap()
    }

    // Four sticks, two players at once in the first work, a third in the second: by hand two pairs, of which the one that was
    // put down first goes on.
    #[test]
    fn two_pairs_for_three_players_and_one_goes_on() {
        let share = share(4, vec![holding("a", 0, 0, 50), holding("b", 0, 10, 40), holding("c", 1, 0, 10)]);
        assert_eq!((share.each, share.pairs, share.at_once()), (2, 2, 2));
        assert_eq!(pairs(&share), [Some(0), Some(1), Some(0)]);
        let told = |id: &str| share.told(&player(id)).unwrap();
        assert_eq!((told("a").brings, told("b").brings, told("c").brings), (2, 2, 0));
        assert_eq!(told("a").goes[0].1.player, player("c"));
        assert_eq!(told("c").comes[0].1.player, player("a"));
        assert!(share.told(&player("d")).is_none());
        let laid_out: u32 = ["a", "b", "c"].map(|id| told(id).brings).iter().sum();
        assert_eq!(laid_out, 4, "as many as there are");
    }

    #[test]
    fn one_player_alone_lays_out_all_of_a_set() {
        let share = share(4, vec![holding("a", 0, 0, 50), holding("a", 1, 0, 10)]);
        assert_eq!(share.told(&player("a")).unwrap().brings, 4);
    }

    #[test]
    fn a_pair_that_two_need_at_once_is_lacking_for_the_second() {
        let share = share(2, vec![holding("a", 0, 0, 50), holding("b", 0, 49, 60), holding("b", 1, 0, 5)]);
        assert_eq!(pairs(&share), [Some(0), None, Some(0)]);
        assert_eq!(share.at_once(), 2);
        assert_eq!(share.told(&player("b")).unwrap().lacks.len(), 1);
        let after = super::tests::share(2, vec![holding("a", 0, 0, 50), holding("b", 0, 50, 60)]);
        assert_eq!(pairs(&after), [Some(0), Some(0)], "put down when the other takes it up");
    }

    #[test]
    fn bows_are_counted_singly() {
        let bow = Beater { head: Head::Bow, ..sample::beater("bow") };
        let share = Share::of(&bow, vec![holding("a", 0, 0, 50), holding("b", 0, 0, 60)]);
        assert_eq!((share.each, share.pairs, pairs(&share)), (1, 2, vec![Some(0), Some(1)]));
    }
}
