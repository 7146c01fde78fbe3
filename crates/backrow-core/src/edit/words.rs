//! What a change does, in words: "Assign Glockenspiel to N. Okafor".

mod care;

use super::Edit;
use crate::id::{BeaterId, DecisionId, InstrumentId, PlayerId, ProgrammeId, TrialId, WorkId};
use crate::library::Library;
use crate::music::Line;
use crate::pitch::KeyNumber;
use crate::sound::TakeKey;
use crate::trial::{Candidate, Decision, Memory, Trial};
use crate::week::{Engagement, Instead, LineRef, LineRule, PartRef, Placement, Service};

/// The change in words; `library` is the one before it.
pub fn words(library: &Library, edit: &Edit) -> String {
    let thing = |id: &InstrumentId| library.instrument_name(id);
    let line_words = |line| line_name(library, line);
    let title = |work: &WorkId| work_title(library, work);
    match edit {
        Edit::SetOrchestra(_) => "Change the orchestra’s settings".to_owned(),
        Edit::PutKind(kind) => put(library.kinds.contains_key(&kind.id), kind.name()),
        Edit::RemoveKind(id) => format!("Remove kind {}", library.kind_name(id)),
        Edit::PutInstrument(thing) => put(library.instruments.contains_key(&thing.id), &thing.name),
        Edit::RemoveInstrument(id) => format!("Remove {}", thing(id)),
        Edit::PutCare(care) => care::words(library, care),
        Edit::PutBeater(beater) => put(library.beaters.contains_key(&beater.id), &beater.name),
        Edit::RemoveBeater(id) => format!("Remove {}", beater_name(library, id)),
        Edit::PutPlayer(player) => put(library.players.contains_key(&player.id), &player.name),
        Edit::RemovePlayer(id) => format!("Remove {}", library.player_name(id)),
        Edit::PutPlace(place) => put(library.places.contains_key(&place.id), &place.name),
        Edit::RemovePlace(id) => remove(library.places.get(id).map(|place| &place.name), id.as_str()),
        Edit::PutVenue(venue) => put(library.venues.contains_key(&venue.id), &venue.name),
        Edit::RemoveVenue(id) => remove(library.venues.get(id).map(|venue| &venue.name), id.as_str()),
        Edit::PutWork(work) => put(library.works.contains_key(&work.id), &work.title),
        Edit::RemoveWork(id) => format!("Remove {}", title(id)),
        Edit::PutLine { work, line } => put_line(library, work, line),
        Edit::RemoveLine { work, line } => {
            format!("Remove line {}", line_words(&LineRef { work: work.clone(), line: line.clone() }))
        }
        Edit::PutTrial { work, trial } => put_trial(library, work, trial),
        Edit::RemoveTrial { work, trial } => remove_trial(library, work, trial),
        Edit::PutDecision { decision, .. } => decision_words(library, decision),
        Edit::RemoveDecision { work, decision } => remove_decision(library, work, decision),
        Edit::PutWeek(week) => put(library.weeks.contains_key(&week.id), &week.title),
        Edit::RemoveWeek(id) => remove(library.weeks.get(id).map(|week| &week.title), id.as_str()),
        Edit::PutProgramme { programme, .. } => {
            put(library.programme(&programme.id).is_some(), &programme.title)
        }
        Edit::RemoveProgramme(id) => remove(library.programme(id).map(|p| &p.title), id.as_str()),
        Edit::TakeUp { work, .. } => format!("Restore what {} had", title(work)),
        Edit::DropAside { work, .. } => format!("Forget what {} had", title(work)),
        Edit::PutService { service, .. } => {
            put(library.service(&service.id).is_some(), &service_words(library, service))
        }
        Edit::RemoveService(id) => {
            let words = library.service(id).map(|service| service_words(library, service));
            remove(words.as_ref(), &format!("service {id}"))
        }
        Edit::Assign { line, player, .. } => assign(library, line, player.as_ref()),
        Edit::Accept { line, player, .. } => {
            format!("{} as proposed", assign(library, line, player.as_ref()))
        }
        Edit::Engage { player, engagement, .. } => engage(&library.player_name(player), engagement.as_ref()),
        Edit::OwnPart { part, player, .. } => own_part(library, part, player.as_ref()),
        Edit::UseInstruments { programme, line, instruments } => {
            let had = library.programme(programme).map(|of| of.assignment(line).instruments);
            played(&line_words(line), "on", (had.as_deref(), instruments), thing)
        }
        Edit::UseBeaters { programme, line, beaters } => {
            let had = library.programme(programme).map(|of| of.assignment(line).beaters);
            played(&line_words(line), "with", (had.as_deref(), beaters), |id| beater_name(library, id))
        }
        Edit::PinDrum { line, key, on, .. } => pin_drum(library, line, *key, on.as_ref()),
        Edit::Decide { line, key, instead, .. } => decided(library, line, *key, instead.as_ref()),
        Edit::Lock { line, locked: true, .. } => format!("Lock {}", line_words(line)),
        Edit::Lock { line, locked: false, .. } => format!("Unlock {}", line_words(line)),
        Edit::PutRule { rule, .. } => rule_words(library, rule),
        Edit::RemoveRule { rule, .. } => format!("Remove the rule: {}", rule_words(library, rule)),
        Edit::Stand { programme, instrument, placement } => stand(library, programme, instrument, placement),
        Edit::StandFor { work, instrument, .. } => format!("Place {} for {}", thing(instrument), title(work)),
        Edit::TakeOffFor { work, instrument, .. } => {
            format!("Remove {} for {}", thing(instrument), title(work))
        }
        Edit::AsBase { work, instrument, .. } => {
            format!("Put {} back to its usual place for {}", thing(instrument), title(work))
        }
        Edit::LieOn { instrument, by, .. } => bear(&thing(instrument), by.as_ref().map(thing)),
        Edit::StandWith { instrument, with, .. } => stand_with(&thing(instrument), with.as_ref().map(thing)),
        Edit::TakeOff { instrument, .. } => format!("Take {} off the floor", thing(instrument)),
        Edit::PutTake(take) => put_take(library, &take.key()),
        Edit::RemoveTake(key) => format!("Remove {}", take_name(library, key)),
        Edit::Together { words, .. } => words.clone(),
    }
}

/// "Play Xylophone on Xylophone 2, in place of Xylophone 1": with what the line had and has no longer, where something stands in
/// its place.
fn played<T: PartialEq>(
    line: &str,
    how: &str,
    (had, now): (Option<&[T]>, &[T]),
    name: impl Fn(&T) -> String,
) -> String {
    let had = had.unwrap_or_default();
    let gone: Vec<String> = had.iter().filter(|one| !now.contains(one)).map(&name).collect();
    let adds = now.iter().any(|one| !had.contains(one));
    let words = format!("Play {line} {how} {}", list(now.iter().map(name)));
    if gone.is_empty() || !adds { words } else { format!("{words}, in place of {}", list(gone.into_iter())) }
}

/// What is kept, in words: "Xylophone and Marimba with one player".
pub fn rule_words(library: &Library, rule: &LineRule) -> String {
    let pair = |a, b| format!("{} and {}", line_name(library, a), line_name(library, b));
    match rule {
        LineRule::Together(a, b) => format!("{} with one player", pair(a, b)),
        LineRule::Apart(a, b) => format!("{} with different players", pair(a, b)),
        LineRule::Only(line, players) => {
            let names: Vec<String> = players.iter().map(|id| library.player_name(id)).collect();
            format!("{} only for {}", line_name(library, line), names.join(" or "))
        }
    }
}

/// A candidate's instruments, beaters and spot: "Xylophone 3, hard rubber, edge"; as it was called then, where nothing of it is
/// left.
pub fn candidate_words(library: &Library, candidate: &Candidate) -> String {
    let things = candidate.instruments.iter();
    let left = things.clone().all(|id| library.instruments.contains_key(id))
        && candidate.beaters.iter().all(|id| library.beaters.contains_key(id));
    if !left && !candidate.name.trim().is_empty() {
        return candidate.name.trim().to_owned();
    }
    let parts = things.map(|id| library.instrument_name(id));
    let parts = parts.chain(candidate.beaters.iter().map(|id| beater_name(library, id)));
    let parts: Vec<String> =
        parts.chain(Some(candidate.spot.trim().to_owned())).filter(|part| !part.is_empty()).collect();
    if parts.is_empty() { candidate.name.trim().to_owned() } else { parts.join(", ") }
}

fn memory<'a>(library: &'a Library, work: &WorkId) -> Option<&'a Memory> {
    library.works.get(work).map(|work| &work.memory)
}

fn put_trial(library: &Library, work: &WorkId, trial: &Trial) -> String {
    let there = memory(library, work).is_some_and(|memory| memory.trial(&trial.id).is_some());
    let verb = if there { "Go on with" } else { "Remember" };
    format!("{verb} a trial for {}", trial.about.name)
}

fn remove_trial(library: &Library, work: &WorkId, trial: &TrialId) -> String {
    let found = memory(library, work).and_then(|memory| memory.trial(trial));
    format!("Forget a trial for {}", found.map_or(trial.as_str(), |found| &found.about.name))
}

fn remove_decision(library: &Library, work: &WorkId, decision: &DecisionId) -> String {
    let found = memory(library, work).and_then(|memory| memory.decision(decision));
    format!("Forget the decision on {}", found.map_or(decision.as_str(), |found| &found.about.name))
}

fn decision_words(library: &Library, decision: &Decision) -> String {
    let chosen = candidate_words(library, &decision.chosen);
    format!(
        "Decide on {} for {}",
        if chosen.is_empty() { "nothing yet" } else { &chosen },
        decision.about.name
    )
}

/// A pitch as the line spells it.
fn pitch_of(library: &Library, line: &LineRef, key: KeyNumber) -> String {
    library.line(line).map_or_else(|| key.to_string(), |(_, line)| line.spelling().of(key).to_string())
}

fn decided(library: &Library, line: &LineRef, key: KeyNumber, instead: Option<&Instead>) -> String {
    let (key, line) = (pitch_of(library, line, key), line_name(library, line));
    match instead {
        Some(instead) => format!("{key} of {line}: {}", instead.words(|id| library.instrument_name(id))),
        None => format!("{key} of {line} is open again"),
    }
}

fn put(there: bool, name: &str) -> String {
    if there { format!("Change {name}") } else { format!("Add {name}") }
}

fn put_line(library: &Library, work: &WorkId, line: &Line) -> String {
    let there = library.works.get(work).is_some_and(|work| work.line(&line.id).is_some());
    put(there, &format!("line {}", library.line_name(line)))
}

fn own_part(library: &Library, part: &PartRef, player: Option<&PlayerId>) -> String {
    let owner = player.map_or_else(|| "Nobody".to_owned(), |id| library.player_name(id));
    format!("{owner} owns {}", part.part)
}

fn bear(name: &str, by: Option<String>) -> String {
    match by {
        Some(by) => format!("Put {name} on {by}"),
        None => format!("Put {name} on the floor by itself"),
    }
}

fn stand_with(name: &str, with: Option<String>) -> String {
    match with {
        Some(with) => format!("Let {name} and {with} stand as one"),
        None => format!("Let {name} stand apart from its station"),
    }
}

fn put_take(library: &Library, key: &TakeKey) -> String {
    put(library.takes.contains_key(key), &take_name(library, key))
}

fn take_name(library: &Library, key: &TakeKey) -> String {
    format!("take {} of {}", key.take, library.instrument_name(&key.instrument))
}

fn remove(name: Option<&String>, id: &str) -> String {
    format!("Remove {}", name.map_or(id, String::as_str))
}

fn line_name(library: &Library, line: &LineRef) -> String {
    library.line(line).map_or_else(|| line.line.to_string(), |(_, c)| library.line_name(c))
}

fn work_title(library: &Library, work: &WorkId) -> String {
    library.works.get(work).map_or_else(|| work.to_string(), |work| work.title.clone())
}

fn beater_name(library: &Library, id: &BeaterId) -> String {
    library.beaters.get(id).map_or_else(|| id.to_string(), |beater| beater.name.clone())
}

fn service_words(library: &Library, service: &Service) -> String {
    format!("{} {}", service.kind.word(), library.days().at(service.start))
}

fn list(names: impl Iterator<Item = String>) -> String {
    let names: Vec<String> = names.collect();
    if names.is_empty() { "nothing".to_owned() } else { crate::id::listed(&names) }
}

fn assign(library: &Library, line: &LineRef, player: Option<&PlayerId>) -> String {
    let name = line_name(library, line);
    match player {
        Some(player) => format!("Assign {name} to {}", library.player_name(player)),
        None => format!("Unassign {name}"),
    }
}

fn engage(name: &str, engagement: Option<&Engagement>) -> String {
    let Some(engagement) = engagement else { return format!("{name}: engaged as usual") };
    let timpani = if engagement.timpani { ", timpani" } else { "" };
    format!("{name}: {}{timpani}", engagement.standing.word())
}

fn pin_drum(
    library: &Library,
    line: &LineRef,
    key: KeyNumber,
    on: Option<&(InstrumentId, String)>,
) -> String {
    let (key, name) = (pitch_of(library, line, key), line_name(library, line));
    match on {
        Some((_, drum)) => format!("Fix {key} of {name} to the {drum}"),
        None => format!("Free {key} of {name} from its drum"),
    }
}

fn stand(
    library: &Library,
    programme: &ProgrammeId,
    instrument: &InstrumentId,
    placement: &Placement,
) -> String {
    let name = library.instrument_name(instrument);
    let before = library.programme(programme).and_then(|p| p.setup.base.get(instrument));
    match before {
        None => format!("Place {name} on the floor"),
        Some(old) if old.at != placement.at => format!("Move {name}"),
        Some(old) if old.turn_deg.total_cmp(&placement.turn_deg).is_ne() => {
            format!("Turn {name} to {}°", placement.turn_deg.rem_euclid(360.0))
        }
        Some(_) => format!("Change the position of {name}"),
    }
}
