//! On what: instruments for every line that has none, kind by kind.

use super::last::{Before, Last};
use super::lines::Asker;
use super::rank::{Candidate, ForAsker, Rank, Ranks, Uses, unlike, why, why_not, words_of_thing};
use super::{Ask, Pick, Picks, decided};
use crate::collection::{Instrument, Kind};
use crate::compass::{Fit, PitchSet, Reach, fewest_together, fit};
use crate::cover::better;
use crate::findings::Neighbours;
use crate::id::{InstrumentId, KindId};
use crate::pitch::Octave;
use crate::recall::words_of;
use crate::sets;
use crate::timpani::impossible_words;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// An instrument with what choosing asks of it.
struct Thing<'a> {
    instrument: &'a Instrument,
    compass: PitchSet,
    rank: Rank,
    words: BTreeSet<String>,
    /// Where else it is at that time, in words.
    elsewhere: Option<String>,
}

/// The instruments of one kind for its lines.
struct Stock<'s, 'a> {
    kind: &'s Kind,
    things: &'s [Thing<'a>],
    /// The fewest that serve all, as places in `things`.
    orchestra: &'s BTreeSet<usize>,
    /// How many of the lines each serves.
    served: &'s [usize],
}

/// What was decided for lines by their places, or why that cannot be.
type Decisions = BTreeMap<usize, Result<Pick<InstrumentId>, String>>;

/// An instrument that a line could take.
struct Able<'s, 'a> {
    /// Not among the fewest for the evening.
    outside: bool,
    key: ForAsker<'s>,
    served: usize,
    thing: &'s Thing<'a>,
}

/// Everything that stands still while kinds are gone through.
struct Hall<'a> {
    ask: Ask<'a>,
    lines: &'a [Asker<'a>],
    last: &'a Last,
    ranks: Ranks<'a>,
    by_kind: BTreeMap<&'a KindId, Vec<&'a Instrument>>,
}

/// A pick for every line without an instrument, by its place among the lines.
pub(super) fn propose(ask: &Ask<'_>, lines: &[Asker<'_>], last: &Last) -> Picks<InstrumentId> {
    let mut uses = Uses::new();
    for (at, line) in lines.iter().enumerate() {
        // Single notes of it may be played on something else, which is taken by them as it is by a whole line.
        for id in line.given.uses().collect::<BTreeSet<_>>() {
            uses.entry(id.clone()).or_default().push(at);
        }
    }
    let mut by_kind: BTreeMap<&KindId, Vec<&Instrument>> = BTreeMap::new();
    for thing in ask.library.instruments.values() {
        by_kind.entry(&thing.kind).or_default().push(thing);
    }
    let hall = Hall { ask: *ask, lines, last, ranks: Ranks::new(*ask, lines, &uses), by_kind };
    let mut decisions = hall.decided(&mut uses);
    let mut picks = Picks::new();
    let mut groups: BTreeMap<&KindId, Vec<usize>> = BTreeMap::new();
    for (at, line) in lines.iter().enumerate().filter(|(_, line)| line.given.instruments.is_empty()) {
        if let Some(kind) = line.kind {
            groups.entry(&kind.id).or_default().push(at);
        } else {
            let open = "the part does not say what is meant: choose it in Works";
            let pick = match decisions.remove(&at) {
                Some(Ok(pick)) => pick,
                Some(Err(why)) => Pick::nothing(format!("{open}; {why}")),
                None => Pick::nothing(open),
            };
            picks.insert(at, pick);
        }
    }
    for group in groups.into_values() {
        hall.group(&group, &mut uses, &mut picks, &mut decisions);
    }
    picks
}

impl<'a> Hall<'a> {
    fn line(&self, at: usize) -> Option<&'a Asker<'a>> {
        self.lines.get(at)
    }

    /// The instruments of a kind, the best first.
    fn things(&self, kind: &KindId) -> Vec<Thing<'a>> {
        let neighbours = Neighbours::of(self.ask.library, self.ask.programme);
        let mut things: Vec<Thing<'a>> = self
            .by_kind
            .get(kind)
            .into_iter()
            .flatten()
            .map(|thing| Thing {
                instrument: thing,
                compass: thing.compass(),
                rank: self.ranks.of(thing),
                words: words_of_thing(thing),
                elsewhere: neighbours
                    .other_use(&thing.id)
                    .map(|(other, when)| format!("{} has it {when}", other.title)),
            })
            .collect();
        things.sort_by(|a, b| (a.elsewhere.is_some(), &a.rank).cmp(&(b.elsewhere.is_some(), &b.rank)));
        things
    }

    /// What was decided for lines that have no instrument yet, or why that cannot be; what can be is used from now on.
    fn decided(&self, uses: &mut Uses) -> Decisions {
        let mut all = Decisions::new();
        let open = self.lines.iter().enumerate().filter(|(_, line)| line.given.instruments.is_empty());
        for (at, line) in open {
            let Some(decision) = decided::on(&self.ask, line) else { continue };
            let pick = decided::pick(&self.ask, line, decision, |thing| self.is_free(line, thing, uses));
            for id in pick.iter().flat_map(|pick| &pick.chosen) {
                uses.entry(id.clone()).or_default().push(at);
            }
            all.insert(at, pick);
        }
        all
    }

    /// The lines of one kind: first the fewest instruments that serve them all, then each line in its turn.
    fn group(
        &self,
        group: &[usize],
        uses: &mut Uses,
        picks: &mut Picks<InstrumentId>,
        decisions: &mut Decisions,
    ) {
        let lines: Vec<&Asker<'_>> = group.iter().filter_map(|at| self.line(*at)).collect();
        let Some(kind) = lines.first().and_then(|line| line.kind) else { return };
        let mut things = self.things(&kind.id);
        // Of equal ones that which most lines had before goes first.
        let had = |thing: &Thing<'_>| {
            let before =
                |line: &&&Asker<'_>| self.last.instrument(self.ask.library, &line.at, &thing.instrument.id);
            let count = |how| lines.iter().filter(|line| before(line) == how).count();
            (Reverse(count(Before::Asker)), Reverse(count(Before::Alike)))
        };
        things.sort_by_cached_key(|thing| (thing.elsewhere.is_some(), had(thing)));
        let serves = serves(&lines, &things);
        let there: Vec<bool> = things.iter().map(|thing| uses.contains_key(&thing.instrument.id)).collect();
        let orchestra: BTreeSet<usize> = super::fewest::fewest(&serves, &there).into_iter().collect();
        let served: Vec<usize> =
            serves.iter().map(|row| row.iter().filter(|serves| **serves).count()).collect();
        let of = Stock { kind, things: &things, orchestra: &orchestra, served: &served };
        for at in group {
            let Some(line) = self.line(*at) else { continue };
            let mut pick = if sets::is_for_timpani(self.ask.library, &kind.id) && !line.asks.is_empty() {
                self.drums(line, &of, uses)
            } else {
                self.pick(line, &of, uses)
            };
            match decisions.remove(at) {
                Some(Ok(decided)) => {
                    picks.insert(*at, decided::before(decided, pick));
                    continue;
                }
                Some(Err(why)) => pick.reason = format!("{}; {why}", pick.reason),
                None => {}
            }
            for id in &pick.chosen {
                uses.entry(id.clone()).or_default().push(*at);
            }
            picks.insert(*at, pick);
        }
    }

    fn pick(&self, line: &Asker<'_>, of: &Stock<'_, 'a>, uses: &Uses) -> Pick<InstrumentId> {
        let mut able: Vec<Able<'_, 'a>> = of
            .things
            .iter()
            .enumerate()
            .filter(|(_, thing)| {
                thing.elsewhere.is_none()
                    && reaches(line, thing)
                    && self.is_free(line, thing.instrument, uses)
            })
            .map(|(nth, thing)| Able {
                outside: !of.orchestra.contains(&nth),
                key: self.ranks.for_line(line, &candidate(line, thing), uses, self.last),
                served: of.served.get(nth).copied().unwrap_or(0),
                thing,
            })
            .collect();
        able.sort_by(|a, b| (a.outside, &a.key).cmp(&(b.outside, &b.key)));
        if let Some(named) = by_names(line, &able) {
            return named;
        }
        let Some(best) = able.first() else { return self.otherwise(line, of, uses) };
        let (reason, next, next_reason) = match able.get(1) {
            None => (only_words(line, of), Vec::new(), String::new()),
            Some(second) => {
                let for_all = second.outside && best.served > second.served;
                let turned = best.key > second.key;
                let (why, why_not) = match (for_all, turned) {
                    (true, _) => ("it serves more of the evening’s lines", "one more instrument to carry"),
                    (false, true) => ("fewest instruments for the evening", "one more instrument to carry"),
                    (false, false) => (why(&best.key, &second.key), why_not(&best.key, &second.key)),
                };
                let words = format!("{}{why}", reach_words(line));
                (words, vec![second.thing.instrument.id.clone()], why_not.to_owned())
            }
        };
        Pick { chosen: vec![best.thing.instrument.id.clone()], reason, next, next_reason, asks: false }
    }

    /// For a line of timpani: what a tuning plan says can be retuned in time. A set that can do it, or the fewest single drums
    /// that can together, whichever of them the evening has already; else what reaches it, for somebody to look at.
    fn drums(&self, line: &Asker<'_>, of: &Stock<'_, 'a>, uses: &Uses) -> Pick<InstrumentId> {
        let library = self.ask.library;
        let is_free =
            |thing: &&Thing<'a>| thing.elsewhere.is_none() && self.is_free(line, thing.instrument, uses);
        let mut free: Vec<&Thing<'a>> = of.things.iter().filter(is_free).collect();
        free.sort_by_key(|thing| {
            let at = of.things.iter().position(|other| other.instrument.id == thing.instrument.id);
            let outside = at.is_none_or(|at| !of.orchestra.contains(&at));
            (outside, self.ranks.for_line(line, &candidate(line, thing), uses, self.last))
        });
        let mut able: Vec<(Vec<InstrumentId>, String)> = Vec::new();
        for thing in &free {
            if able.len() > 1 {
                break;
            }
            let one = vec![thing.instrument.id.clone()];
            if let Ok(plan) = sets::try_on(library, line.line, &one) {
                let drums = sets::drums_of(library, &one).len();
                able.push((one, retuned_words(drums, plan.changes.len())));
            }
        }
        let single: Vec<&Instrument> = free.iter().map(|thing| thing.instrument).collect();
        let on_floor = single.iter().any(|thing| uses.contains_key(&thing.id));
        let asked = on_floor || able.len() < 2;
        let together = if asked { sets::together(library, line.line, &single) } else { Vec::new() };
        if together.len() > 1
            && let Ok(plan) = sets::try_on(library, line.line, &together)
        {
            let words = format!("single drums; {}", retuned_words(together.len(), plan.changes.len()));
            let used = together.iter().filter(|id| uses.contains_key(*id)).count();
            // What is on the floor already goes before what would have to be carried.
            let first = able.first().is_some_and(|(ids, _)| ids.iter().any(|id| uses.contains_key(id)));
            let at = if used > 0 && !first { 0 } else { able.len() };
            able.insert(at, (together, words));
        }
        let mut able = able.into_iter();
        let Some((chosen, reason)) = able.next() else {
            let mut pick = self.pick(line, of, uses);
            if !pick.chosen.is_empty() {
                let why = sets::try_on(library, line.line, &pick.chosen).err();
                let why = why.map_or_else(String::new, |why| {
                    format!("; {}", impossible_words(&why, &line.line.spelling()))
                });
                pick.reason = format!("{}{why}", pick.reason);
                pick.asks = true;
            }
            return pick;
        };
        let (next, next_reason) = able.next().unwrap_or_default();
        Pick { chosen, reason, next, next_reason, asks: false }
    }

    /// Whether no other player sounds on it at that moment.
    fn is_free(&self, line: &Asker<'_>, thing: &Instrument, uses: &Uses) -> bool {
        let used = uses.get(&thing.id).into_iter().flatten().filter_map(|at| self.lines.get(*at));
        let at_once = used.filter(|other| other.at != line.at && !line.can_share(other)).count();
        at_once < self.ask.library.hands(&thing.id)
    }

    /// Where no single instrument of the kind is free and reaches: several together, a part, another kind, or nothing.
    fn otherwise(&self, line: &Asker<'_>, of: &Stock<'_, 'a>, uses: &Uses) -> Pick<InstrumentId> {
        let (kind, things) = (of.kind, of.things);
        let is_free =
            |thing: &&Thing<'a>| thing.elsewhere.is_none() && self.is_free(line, thing.instrument, uses);
        let free: Vec<&Thing<'a>> = things.iter().filter(is_free).collect();
        if let Some(pick) = together(line, &free) {
            return pick;
        }
        let instead = self.instead(line, kind, uses);
        let nearest = free
            .iter()
            .map(|thing| (fit(thing.compass, line.asks), *thing))
            .filter(|(reach, _)| !matches!(reach.fit, Fit::None))
            .min_by(|(one, a), (other, b)| better(one, other).then_with(|| a.rank.cmp(&b.rank)));
        match (nearest, instead) {
            (Some((reach, thing)), instead) => {
                let (next, next_reason) = instead.unwrap_or_default();
                Pick {
                    chosen: vec![thing.instrument.id.clone()],
                    reason: lacks_words(&reach, line, thing.compass),
                    next,
                    next_reason,
                    asks: true,
                }
            }
            (None, Some((chosen, reason))) => {
                Pick { chosen, reason, next: Vec::new(), next_reason: String::new(), asks: true }
            }
            (None, None) => Pick::nothing(self.nothing_words(line, kind, things, uses)),
        }
    }

    /// The nearest kind that has one which is free and reaches.
    fn instead(&self, line: &Asker<'_>, kind: &Kind, uses: &Uses) -> Option<(Vec<InstrumentId>, String)> {
        kind.like.iter().find_map(|like| {
            let things = self.things(like);
            let thing = things.into_iter().find(|thing| {
                thing.elsewhere.is_none()
                    && reaches(line, thing)
                    && self.is_free(line, thing.instrument, uses)
            })?;
            let words = self.ask.library.instead_words(&kind.id, like)?;
            Some((vec![thing.instrument.id.clone()], format!("{words}: somebody must agree")))
        })
    }

    fn nothing_words(&self, line: &Asker<'_>, kind: &Kind, things: &[Thing<'_>], uses: &Uses) -> String {
        if things.is_empty() {
            return format!("the collection has no {}: hire one or add it", kind.name());
        }
        if let Some(elsewhere) = things.iter().find_map(|thing| thing.elsewhere.as_ref()) {
            return format!("none is free: {elsewhere}");
        }
        let at_once =
            things.iter().any(|thing| reaches(line, thing) && !self.is_free(line, thing.instrument, uses));
        if at_once {
            return "every one that covers it is playing another line at that moment: assign both to one player, or hire one"
                .to_owned();
        }
        "none has a bar that it needs: hire one, or ask the conductor".to_owned()
    }
}

/// Which thing serves which line: it reaches it, and no other that is free is more like what the part's own words say.
fn serves(lines: &[&Asker<'_>], things: &[Thing<'_>]) -> Vec<Vec<bool>> {
    let able = |line: &Asker<'_>, thing: &Thing<'_>| thing.elsewhere.is_none() && reaches(line, thing);
    let likest: Vec<usize> = lines
        .iter()
        .map(|line| {
            let able = things.iter().filter(|thing| able(line, thing));
            able.map(|thing| unlike(line, &thing.words)).min().unwrap_or(0)
        })
        .collect();
    let row = |thing: &Thing<'_>| {
        let one = |(line, likest): (&&Asker<'_>, &usize)| {
            able(line, thing) && unlike(line, &thing.words) == *likest
        };
        lines.iter().zip(&likest).map(one).collect()
    };
    things.iter().map(row).collect()
}

/// Lines without pitch ask for the kind alone.
fn reaches(line: &Asker<'_>, thing: &Thing<'_>) -> bool {
    line.asks.is_empty() || fit(thing.compass, line.asks).fit == Fit::Whole
}

/// A thing as far as a line looks at it.
fn candidate<'r>(line: &Asker<'_>, thing: &'r Thing<'_>) -> Candidate<'r> {
    Candidate { thing: thing.instrument, rank: &thing.rank, unlike: unlike(line, &thing.words) }
}

/// Where the part names its strokes ("high", "low") and different instruments bear these names: one for each.
fn by_names(row: &Asker<'_>, able: &[Able<'_, '_>]) -> Option<Pick<InstrumentId>> {
    let names: BTreeSet<&str> = row
        .line
        .passages
        .iter()
        .flat_map(|passage| &passage.unpitched)
        .map(|note| note.name.trim())
        .filter(|name| !name.is_empty())
        .collect();
    if names.len() < 2 {
        return None;
    }
    let mut chosen: Vec<InstrumentId> = Vec::new();
    for name in &names {
        let asked: Vec<String> = words_of(name).collect();
        let found = able.iter().map(|able| able.thing.instrument).find(|thing| {
            !chosen.contains(&thing.id)
                && asked.iter().all(|word| words_of(&thing.name).any(|has| has == *word))
        })?;
        chosen.push(found.id.clone());
    }
    let names: Vec<&str> = names.into_iter().collect();
    Some(Pick {
        chosen,
        reason: format!("the part names {}", names.join(", ")),
        next: Vec::new(),
        next_reason: String::new(),
        asks: false,
    })
}

/// The fewest that reach the line together.
fn together(line: &Asker<'_>, free: &[&Thing<'_>]) -> Option<Pick<InstrumentId>> {
    if line.asks.is_empty() {
        return None;
    }
    let sets: Vec<PitchSet> = free.iter().map(|thing| thing.compass).collect();
    let found = fewest_together(&sets, line.asks)?;
    let chosen: Vec<InstrumentId> = found
        .members
        .iter()
        .filter_map(|at| free.get(*at))
        .map(|thing| thing.instrument.id.clone())
        .collect();
    let fewest = if found.fewest { "the fewest that reach it together" } else { "these reach it together" };
    (!chosen.is_empty()).then(|| Pick {
        reason: format!("no single one reaches all {}; {fewest}", line.asks.len()),
        chosen,
        next: Vec::new(),
        next_reason: String::new(),
        asks: false,
    })
}

/// "4 drums do it without retuning".
fn retuned_words(drums: usize, changes: usize) -> String {
    let drums = if drums == 1 { "1 drum does".to_owned() } else { format!("{drums} drums do") };
    match changes {
        0 => format!("{drums} it without retuning"),
        1 => format!("{drums} it with 1 retuning, which there is time for"),
        n => format!("{drums} it with {n} retunings, which there is time for"),
    }
}

fn reach_words(line: &Asker<'_>) -> String {
    if line.asks.is_empty() { String::new() } else { format!("reaches all {}; ", line.asks.len()) }
}

fn only_words(line: &Asker<'_>, of: &Stock<'_, '_>) -> String {
    match of.things.len() {
        1 => format!("{}the only {}", reach_words(line), of.kind.name()),
        _ if line.asks.is_empty() => "the only one that is free".to_owned(),
        _ => format!("the only free one that reaches all {}", line.asks.len()),
    }
}

/// The octave in which parts of its kind are usually written, where the line is read in another one and `has` would reach it so.
fn usual_octave(line: &Asker<'_>, has: PitchSet) -> Option<Octave> {
    let usual = line.kind?.octave.filter(|usual| *usual != line.line.octave)?;
    let step = usual.semitones() - line.line.octave.semitones();
    let asks = line.asks.shifted(step);
    (asks.len() == line.asks.len() && has.contains_all(asks)).then_some(usual)
}

fn lacks_words(reach: &Reach, line: &Asker<'_>, has: PitchSet) -> String {
    let (asks, spelling) = (line.asks, line.line.spelling());
    if let Fit::Octave(octaves) = reach.fit {
        if let (Some(usual), Some(kind)) = (usual_octave(line, has), line.kind) {
            return format!(
                "reaches all {} if the part sounds {}, as parts for {} usually do: choose that octave in Works, or ask the conductor",
                asks.len(),
                usual.words(),
                kind.name()
            );
        }
        let side = if octaves < 0 { "lower" } else { "higher" };
        let far = match octaves.unsigned_abs() {
            1 => "an octave".to_owned(),
            n => format!("{n} octaves"),
        };
        return format!("reaches all {} only {far} {side}: ask the conductor", asks.len());
    }
    let lacking: Vec<String> = reach.lacking().iter().map(|key| spelling.of(key).to_string()).collect();
    format!("reaches {} of {}, lacks {}", reach.reached.len(), asks.len(), lacking.join(" "))
}
