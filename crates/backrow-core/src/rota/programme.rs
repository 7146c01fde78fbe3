//! A programme of the library as a [`Problem`], and its answer back in the library's ids.
//!
//! Movements lie one after the other with a minute between them: players have the time between movements
//! to get anywhere on a stage, as in [`Timetable`], which asks for no move across movements.

use std::collections::{BTreeMap, BTreeSet};

use super::fewest::Proof;
use super::problem::{Call, Demand, Habits, Passage, Problem, ShareOut};
use crate::collection::Player;
use crate::id::{BeaterId, InstrumentId, MovementId, PlayerId, WorkId};
use crate::library::Library;
use crate::moves::{Taken, Timetable};
use crate::week::{CallRef, Kept, Programme, Service, ServiceKind};

/// Seconds between movements.
const BETWEEN_MOVEMENTS_S: f64 = 60.0;

/// A programme ready for the rota, with what its numbers stand for.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The problem.
    pub problem: Problem,
    /// The call of each number.
    pub calls: Vec<CallRef>,
    /// The player of each number; numbers beyond are extras not yet engaged.
    pub players: Vec<PlayerId>,
    /// When each call's movement starts, in seconds of the problem.
    pub starts_s: Vec<f64>,
    /// Who plays what now.
    pub now: ShareOut,
}

/// Where a moment lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// The work.
    pub work: WorkId,
    /// The movement.
    pub movement: MovementId,
    /// Seconds of the movement as played.
    pub at_s: f64,
    /// The measure's name as printed.
    pub measure: String,
}

impl Asked {
    /// The programme's calls for the players of the library and at most `extras` more.
    ///
    /// A player who misses a concert, or does not take a kind, is barred from those calls; pinned choices
    /// are pins; an instrument takes one player at once unless its character says "for two players".
    pub fn of(library: &Library, programme: &Programme, timetable: &Timetable, extras: usize) -> Self {
        let roster = library.roster();
        let players: Vec<PlayerId> = roster.iter().map(|p| p.id.clone()).collect();
        let number = |id: &PlayerId| players.iter().position(|p| p == id);
        let last = last_time(library, programme);
        let mut keys = Keys::default();
        let mut problem = Problem {
            players: roster.iter().map(|p| p.name.clone()).collect(),
            extras,
            habits: Habits {
                pace_m_s: timetable.habits().pace_m_s,
                settle_s: timetable.habits().settle_s,
                change_s: timetable.habits().change_s,
                default_distance_m: timetable.habits().default_distance_m,
            },
            wishes: library.house.wishes,
            ..Problem::default()
        };
        let starts = starts(timetable);
        for (index, taken) in timetable.calls.iter().enumerate() {
            let start = starts.get(index).copied().unwrap_or_default();
            let exposed = library.call(&taken.call).is_some_and(|(_, call)| call.exposed);
            problem.calls.push(Call {
                exposure: f64::from(u8::from(exposed)),
                ..keys.call(taken, start, index, last.get(&taken.call).and_then(number))
            });
        }
        problem.ways_m = ways(timetable, problem.habits.pace_m_s);
        problem.hands = keys.instruments.iter().enumerate().map(|(i, id)| (i, hands(library, id))).collect();
        problem.playable_together = together(timetable);
        problem.demands = demands(library, programme, timetable, &roster);
        let now = timetable.calls.iter().map(|t| t.player.as_ref().and_then(number)).collect();
        let calls = timetable.calls.iter().map(|t| t.call.clone()).collect();
        Self { problem, calls, players, starts_s: starts, now: ShareOut { players: now } }
    }

    /// Where the moment of a proof lies; `None` for proofs of other shapes.
    pub fn moment(&self, library: &Library, proof: &Proof) -> Option<Moment> {
        let index = *proof.calls.first()?;
        let at_s = proof.at_s? - self.starts_s.get(index)?;
        let (work, call) = library.call(self.calls.get(index)?)?;
        let timeline = &work.movement(&call.movement)?.timeline;
        let measure = timeline.measures.iter().rev().find(|m| m.at_s <= at_s + 1e-6)?;
        Some(Moment {
            work: work.id.clone(),
            movement: call.movement.clone(),
            at_s,
            measure: measure.name.to_string(),
        })
    }

    /// A share-out in the library's ids; `None` for a call whose player is an extra not yet engaged.
    pub fn named<'a>(
        &'a self,
        share_out: &'a ShareOut,
    ) -> impl Iterator<Item = (&'a CallRef, Option<&'a PlayerId>)> {
        let player = |call: usize| share_out.player(call).and_then(|p| self.players.get(p));
        self.calls.iter().enumerate().map(move |(i, call)| (call, player(i)))
    }
}

#[derive(Default)]
struct Keys {
    instruments: Vec<InstrumentId>,
    beaters: Vec<BTreeSet<BeaterId>>,
    strands: Vec<(WorkId, String)>,
}

impl Keys {
    fn call(&mut self, taken: &Taken, start_s: f64, place: usize, last_time: Option<usize>) -> Call {
        let beaters = Some(key(&mut self.beaters, &taken.beaters));
        let seconds = |us: i64| start_s + us as f64 / 1e6;
        let mut passages: Vec<Passage> = taken
            .spans
            .iter()
            .map(|s| Passage {
                from_s: seconds(s.from_us),
                to_s: seconds(s.to_us),
                place: Some(place),
                beaters,
            })
            .collect();
        passages.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
        let strand = taken.instruments.first().map_or_else(|| taken.name.clone(), ToString::to_string);
        Call {
            label: format!("{} {}", taken.call.work, taken.call.call),
            instruments: taken.instruments.iter().map(|id| key(&mut self.instruments, id)).collect(),
            passages,
            strand: Some(key(&mut self.strands, &(taken.call.work.clone(), strand))),
            last_time,
            exposure: 0.0,
        }
    }
}

fn key<T: PartialEq + Clone>(known: &mut Vec<T>, one: &T) -> usize {
    known.iter().position(|k| k == one).unwrap_or_else(|| {
        known.push(one.clone());
        known.len() - 1
    })
}

/// When each call's movement starts, in seconds of the programme.
fn starts(timetable: &Timetable) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::new();
    let (mut start, mut end) = (0.0, 0.0_f64);
    let mut before: Option<&Taken> = None;
    for taken in &timetable.calls {
        if before.is_some_and(|b| !b.same_movement(taken)) {
            start = (end + BETWEEN_MOVEMENTS_S).ceil();
            end = start;
        }
        before = Some(taken);
        end = taken.spans.iter().map(|s| start + s.to_us as f64 / 1e6).fold(end, f64::max);
        out.push(start);
    }
    out
}

/// Between any two calls the metres whose walk takes as long as the timetable says; 0 for the same place.
fn ways(timetable: &Timetable, pace_m_s: f64) -> Vec<Vec<f64>> {
    let metres = |a: &Taken, b: &Taken| {
        let need = timetable.need(a, b);
        if need.same_place {
            0.0
        } else {
            (need.metres + f64::from(need.steps) * crate::seconds::STEP_S * pace_m_s).max(1e-9)
        }
    };
    timetable.calls.iter().map(|a| timetable.calls.iter().map(|b| metres(a, b)).collect()).collect()
}

fn together(timetable: &Timetable) -> Vec<(usize, usize)> {
    let calls = timetable.calls.iter().enumerate();
    let others = |taken: &Taken| {
        let taken = taken.together.clone();
        timetable
            .calls
            .iter()
            .enumerate()
            .filter(move |(_, other)| taken.contains(&other.call))
            .map(|(j, _)| j)
    };
    calls.flat_map(|(i, taken)| others(taken).filter(move |&j| i < j).map(move |j| (i, j))).collect()
}

fn hands(library: &Library, id: &InstrumentId) -> usize {
    if library.instruments.get(id).is_some_and(|thing| thing.is_for_two()) { 2 } else { 1 }
}

fn demands(
    library: &Library,
    programme: &Programme,
    timetable: &Timetable,
    roster: &[&Player],
) -> Vec<Demand> {
    let mut out = Vec::new();
    let services = library.services_of(&programme.id);
    for (player, person) in roster.iter().enumerate() {
        let missed =
            services.iter().find(|s| s.kind == ServiceKind::Concert && person.absences.contains(&s.id));
        if let Some(concert) = missed {
            let calls = (0..timetable.calls.len()).collect();
            out.push(Demand::Bar {
                player,
                calls,
                why: format!("misses the concert of {}", concert.start.date()),
            });
        }
        let mut not_taken: BTreeMap<&crate::id::KindId, Vec<usize>> = BTreeMap::new();
        for (call, taken) in timetable.calls.iter().enumerate() {
            if let Some(kind) = taken.kind.as_ref().filter(|k| !person.takes(k)) {
                not_taken.entry(kind).or_default().push(call);
            }
        }
        for (kind, calls) in not_taken {
            out.push(Demand::Bar {
                player,
                calls,
                why: format!("does not take {}", library.kind_name(kind)),
            });
        }
    }
    for (call, taken) in timetable.calls.iter().enumerate() {
        let given = programme.given(&taken.call).filter(|a| a.pinned);
        let player =
            given.and_then(|a| a.player.as_ref()).and_then(|id| roster.iter().position(|p| p.id == *id));
        out.extend(player.map(|player| Demand::Pin { call, player }));
    }
    let at = |call: &CallRef| timetable.calls.iter().position(|taken| taken.call == *call);
    out.extend(programme.kept.iter().filter_map(|kept| kept_demand(kept, at, roster)));
    out
}

/// What is to be kept, when its calls are among those asked about.
fn kept_demand(kept: &Kept, at: impl Fn(&CallRef) -> Option<usize>, roster: &[&Player]) -> Option<Demand> {
    Some(match kept {
        Kept::Together(a, b) => Demand::Together { a: at(a)?, b: at(b)? },
        Kept::Apart(a, b) => Demand::Apart { a: at(a)?, b: at(b)? },
        Kept::Only(call, players) => Demand::Only {
            calls: vec![at(call)?],
            players: players.iter().filter_map(|id| roster.iter().position(|p| p.id == *id)).collect(),
            why: String::new(),
        },
    })
}

/// Who had each call in the latest earlier programme that gave it to anybody.
fn last_time(library: &Library, programme: &Programme) -> BTreeMap<CallRef, PlayerId> {
    let first = |services: Vec<&Service>| services.iter().map(|s| s.start).min();
    let mine = first(library.services_of(&programme.id));
    let mut earlier: Vec<_> = library
        .programmes()
        .filter(|(_, other)| other.id != programme.id)
        .filter_map(|(_, other)| first(library.services_of(&other.id)).map(|start| (start, other)))
        .filter(|(start, _)| mine.is_none_or(|m| *start < m))
        .collect();
    earlier.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.id.cmp(&b.1.id)));
    let given = earlier.into_iter().flat_map(|(_, other)| other.lines());
    given.filter_map(|(call, a)| Some((call.clone(), a.player.clone()?))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::Pitched;
    use crate::edit::Edit;
    use crate::id::{KindId, ServiceId, WeekId};
    use crate::pitch::Octave;
    use crate::rota::{Answer, Effort, Rota};
    use crate::sample::{at, call, instrument, kind, library_of, player, programme, service, venue, work};
    use crate::stage::{Plan, Walks};
    use crate::week::{Assignment, Week};

    /// One movement: bells 0–2 s twice at once, a gong 10–12 s; three players, one ill, one without gongs.
    fn asked(pinned: bool) -> Asked {
        let mut gong = call("gong", Some("gong"), Octave::AS_WRITTEN, "");
        for passage in &mut gong.passages {
            (passage.from_s, passage.to_s) = (10.0, 12.0);
        }
        let bells = |id| call(id, Some("bells"), Octave::AS_WRITTEN, "C4");
        let mut ill = player("b", 1);
        ill.absences.push(ServiceId::new("friday").unwrap());
        let mut choosy = player("c", 2);
        choosy.never.push(KindId::new("gong").unwrap());
        let mut evening = programme("evening", &["w"]);
        let given = Assignment { player: Some(ill_free()), pinned, ..Assignment::default() };
        evening.assign(at("w", "gong"), given);
        let mut concert = service("friday", "evening", 20);
        concert.kind = ServiceKind::Concert;
        let week = Week {
            id: WeekId::new("week").unwrap(),
            title: String::new(),
            programmes: vec![evening.clone()],
            services: vec![concert],
        };
        let library = library_of(vec![
            Edit::PutKind(kind("gong", Pitched::No, None)),
            Edit::PutKind(kind("bells", Pitched::Yes, None)),
            Edit::PutInstrument(instrument("gong-1", "gong", &[])),
            Edit::PutVenue(venue("hall")),
            Edit::PutPlayer(player("a", 0)),
            Edit::PutPlayer(ill),
            Edit::PutPlayer(choosy),
            Edit::PutWork(work("w", vec![bells("bells-1"), bells("bells-2"), gong])),
            Edit::PutWeek(week),
        ]);
        let timetable = Timetable::of(&library, &evening, Walks::of(&Plan::of(&library, &evening), None));
        Asked::of(&library, &evening, &timetable, 0)
    }

    fn ill_free() -> PlayerId {
        PlayerId::new("c").unwrap()
    }

    #[test]
    fn absences_and_unwillingness_shrink_the_lists() {
        let asked = asked(false);
        let rota = Rota::new(asked.problem.clone()).unwrap();
        let Answer::Found(found) = rota.fewest(Effort::default()) else { panic!("two can do it") };
        assert_eq!((found.players, found.proved()), (2, true));
        let named: Vec<_> =
            asked.named(&found.share_out).filter_map(|(_, p)| p).map(ToString::to_string).collect();
        assert!(!named.contains(&"b".to_owned()), "b misses the concert");
        assert_eq!(named.last().map(String::as_str), Some("a"), "c takes no gong");
    }

    #[test]
    fn what_is_kept_becomes_demands() {
        let mut asked = asked(false);
        assert_eq!(asked.problem.demands.len(), 2, "ill, and no gongs");
        let (one, other) = (at("w", "bells-1"), at("w", "gong"));
        let here = |call: &CallRef| asked.calls.iter().position(|c| c == call);
        let roster = [player("a", 0), player("b", 1)];
        let roster: Vec<&Player> = roster.iter().collect();
        let demand = |kept| kept_demand(&kept, here, &roster);
        assert_eq!(demand(Kept::Together(one.clone(), other.clone())), Some(Demand::Together { a: 0, b: 2 }));
        assert_eq!(
            demand(Kept::Only(other.clone(), vec![PlayerId::new("b").unwrap()])),
            Some(Demand::Only { calls: vec![2], players: vec![1], why: String::new() })
        );
        assert_eq!(demand(Kept::Apart(at("w", "no"), other)), None, "a call that is not asked about");
        // The gong could go to a player of the bells; kept apart from both bells it needs a third.
        asked.problem.demands.clear();
        asked.problem.demands.extend([Demand::Apart { a: 0, b: 2 }, Demand::Apart { a: 1, b: 2 }]);
        let Answer::Found(found) = Rota::new(asked.problem).unwrap().fewest(Effort::default()) else {
            panic!("three can do it")
        };
        assert_eq!(found.players, 3);
    }

    #[test]
    fn a_pin_against_a_player_s_will_is_told() {
        let rota = Rota::new(asked(true).problem).unwrap();
        let Answer::Impossible(no) = rota.fewest(Effort::default()) else { panic!("c takes no gong") };
        assert_eq!((no.calls.len(), no.demands.len()), (1, 2), "{no:?}");
    }
}
