//! Edits of the collection and of what is remembered: kinds, beaters, players, venues, care, takes, trials, decisions, weeks; and several
//! edits as one.

use super::Dice;
use backrow_core::care::Care;
use backrow_core::collection::Owner;
use backrow_core::edit::Edit;
use backrow_core::id::{
    BeaterId, DecisionId, KindId, PlayerId, ProgrammeId, TakeId, TrialId, VenueId, WeekId,
};
use backrow_core::library::{Library, Orchestra};
use backrow_core::recall;
use backrow_core::sound::{Strike, Take};
use backrow_core::trial::{Candidate, Decision, How, Trial};
use backrow_core::week::{LineRef, Programme, Week};
use std::sync::Arc;

/// One of all that are there.
fn any<K: Clone, V>(all: &std::collections::BTreeMap<K, Arc<V>>, dice: &mut Dice) -> Option<(K, Arc<V>)> {
    let nth = dice.roll(all.len());
    all.iter().nth(nth).map(|(id, value)| (id.clone(), Arc::clone(value)))
}

/// An edit of these sorts; `None` where the dice point nowhere.
pub(super) fn any_edit(
    library: &Library,
    of: &Programme,
    line: Option<LineRef>,
    dice: &mut Dice,
) -> Option<Edit> {
    Some(match dice.roll(23) {
        0 => {
            let name = format!("Orchestra {}", dice.roll(20));
            Edit::SetOrchestra(Orchestra { name, ..(*library.orchestra).clone() })
        }
        1 => {
            let mut kind = (*any(&library.kinds, dice)?.1).clone();
            kind.id = KindId::fresh("made", |id| library.kinds.contains_key(id));
            Edit::PutKind(kind)
        }
        2 => {
            let made = |(id, _): &(&KindId, _)| id.as_str().starts_with("made");
            Edit::RemoveKind(library.kinds.iter().find(made)?.0.clone())
        }
        3 => {
            let instrument = any(&library.instruments, dice)?.0;
            let care = library.care.get(&instrument).map(|care| (**care).clone());
            let mut care = care.unwrap_or(Care::of(instrument));
            care.irreplaceable = format!("Reason {}", dice.roll(20));
            Edit::PutCare(care)
        }
        4 | 5 => {
            let mut beater = (*any(&library.beaters, dice)?.1).clone();
            if dice.roll(2) == 0 {
                beater.id = BeaterId::fresh("made", |id| library.beaters.contains_key(id));
            }
            beater.owner = owner(library, dice);
            Edit::PutBeater(beater)
        }
        6 if library.beaters.len() > 6 => Edit::RemoveBeater(any(&library.beaters, dice)?.0),
        7 => {
            let mut player = (*any(&library.players, dice)?.1).clone();
            player.id = PlayerId::fresh("made", |id| library.players.contains_key(id));
            player.absences =
                library.services().map(|service| service.id.clone()).take(dice.roll(3)).collect();
            Edit::PutPlayer(player)
        }
        8 if library.players.len() > 5 => Edit::RemovePlayer(any(&library.players, dice)?.0),
        9 => {
            let mut venue = (*any(&library.venues, dice)?.1).clone();
            venue.id = VenueId::fresh("made", |id| library.venues.contains_key(id));
            Edit::PutVenue(venue)
        }
        10 => Edit::RemoveVenue(any(&library.venues, dice)?.0),
        11..=14 => remembered(library, dice)?,
        15 | 16 => weeks(library, of, dice)?,
        17 => {
            let player = any(&library.players, dice)?.0;
            Edit::Accept { programme: of.id.clone(), line: line?, player: Some(player) }
        }
        18 => {
            let line = line?;
            let (_, notes) = library.line(&line)?;
            let keys: Vec<_> = notes.notes().filter_map(|note| notes.sounding_of(note)).collect();
            let on = of.assignment(&line).instruments.first().cloned().map(|id| (id, "1".to_owned()));
            Edit::PinDrum { programme: of.id.clone(), line, key: *dice.of(&keys)?, on }
        }
        19 => Edit::PutTake(another_take(library, dice)?),
        20 => Edit::RemoveTake(any(&library.takes, dice)?.0),
        21 => {
            let mut thing = (*any(&library.instruments, dice)?.1).clone();
            thing.owner = owner(library, dice);
            Edit::PutInstrument(thing)
        }
        _ => {
            let player = any(&library.players, dice)?.0;
            let programme = of.id.clone();
            let at = line?;
            let give = Edit::Assign { programme: programme.clone(), line: at.clone(), player: Some(player) };
            let lock = Edit::Lock { programme, line: at, locked: true };
            Edit::Together { words: "Assign and lock".to_owned(), edits: vec![give, lock] }
        }
    })
}

fn another_take(library: &Library, dice: &mut Dice) -> Option<Take> {
    let beater = any(&library.beaters, dice)?.0;
    let id = TakeId::fresh("made", |id| library.takes.keys().any(|key| key.take == *id));
    Some(Take {
        file: format!("{id}.flac"),
        id,
        instrument: any(&library.instruments, dice)?.0,
        content: String::new(),
        when: None,
        device: String::new(),
        rate_hz: 48_000,
        length_s: 2.0,
        note: String::new(),
        faults: Vec::new(),
        by_model: false,
        strikes: vec![Strike { from_s: 0.2, to_s: 0.9, beater: Some(beater), ..Strike::default() }],
    })
}

fn owner(library: &Library, dice: &mut Dice) -> Owner {
    match (dice.roll(3), any(&library.players, dice)) {
        (0, Some((player, _))) => Owner::Player(player),
        (1, _) => Owner::Other("Lender".to_owned()),
        _ => Owner::Orchestra,
    }
}

/// What a work remembers, once more or no longer.
fn remembered(library: &Library, dice: &mut Dice) -> Option<Edit> {
    let work = any(&library.works, dice)?.1;
    let id = work.id.clone();
    Some(match dice.roll(4) {
        0 => {
            let candidate = || dice_candidate(library, dice);
            let candidates: Vec<_> = std::iter::repeat_with(candidate).take(2).flatten().collect();
            let trial = Trial {
                id: TrialId::fresh("made", |id| work.memory.trials.iter().any(|one| one.id == *id)),
                about: recall::about(library, work.lines.first()?),
                when: library.services().next()?.start.date(),
                question: String::new(),
                candidates,
                how: How::Live,
                rounds: 1,
                blind: false,
                seed: 5,
                listeners: Vec::new(),
                verdict: String::new(),
                conductor: String::new(),
            };
            Edit::PutTrial { work: id, trial }
        }
        1 => Edit::RemoveTrial { trial: dice.of(&work.memory.trials)?.id.clone(), work: id },
        2 => {
            let decision = Decision {
                id: DecisionId::fresh("made", |id| work.memory.decisions.iter().any(|one| one.id == *id)),
                about: recall::about(library, work.lines.first()?),
                chosen: dice_candidate(library, dice)?,
                why: "It speaks softer".to_owned(),
                by: String::new(),
                when: library.services().next()?.start.date(),
                conductor: String::new(),
                trial: work.memory.trials.first().map(|trial| trial.id.clone()),
            };
            Edit::PutDecision { work: id, decision }
        }
        _ => Edit::RemoveDecision { decision: dice.of(&work.memory.decisions)?.id.clone(), work: id },
    })
}

fn dice_candidate(library: &Library, dice: &mut Dice) -> Option<Candidate> {
    let (instrument, _) = any(&library.instruments, dice)?;
    Some(Candidate { instruments: vec![instrument], ..Candidate::default() })
}

/// A week or a programme more, or one less.
fn weeks(library: &Library, of: &Programme, dice: &mut Dice) -> Option<Edit> {
    Some(match dice.roll(4) {
        0 => {
            let id = WeekId::fresh("made", |id| library.weeks.contains_key(id));
            let title = format!("Week {}", dice.roll(90));
            Edit::PutWeek(Week { id, title, programmes: Vec::new(), services: Vec::new() })
        }
        1 => {
            let empty = |week: &Arc<Week>| week.programmes.is_empty() || library.weeks.len() > 6;
            let week = library.weeks.values().rev().find(|week| empty(week))?;
            Edit::RemoveWeek(week.id.clone())
        }
        2 => {
            let mut programme = of.clone();
            programme.id = ProgrammeId::fresh("made", |id| library.programme(id).is_some());
            programme.hires.clear();
            Edit::PutProgramme { week: any(&library.weeks, dice)?.0, programme }
        }
        _ if library.programmes().count() > 5 => Edit::RemoveProgramme(of.id.clone()),
        _ => return None,
    })
}

/// What sort of edit it is. No arm takes the rest: a sort that is new asks for its place here, and for somebody who makes it.
#[allow(dead_code, reason = "the soak of the window does not count them")]
pub(crate) const fn sort(edit: &Edit) -> &'static str {
    match edit {
        Edit::SetOrchestra(_) => "set orchestra",
        Edit::PutKind(_) => "put kind",
        Edit::RemoveKind(_) => "remove kind",
        Edit::PutInstrument(_) => "put instrument",
        Edit::RemoveInstrument(_) => "remove instrument",
        Edit::PutCare(_) => "put care",
        Edit::PutBeater(_) => "put beater",
        Edit::RemoveBeater(_) => "remove beater",
        Edit::PutPlayer(_) => "put player",
        Edit::RemovePlayer(_) => "remove player",
        Edit::PutPlace(_) => "put place",
        Edit::RemovePlace(_) => "remove place",
        Edit::PutVenue(_) => "put venue",
        Edit::RemoveVenue(_) => "remove venue",
        Edit::PutWork(_) => "put work",
        Edit::RemoveWork(_) => "remove work",
        Edit::PutLine { .. } => "put line",
        Edit::RemoveLine { .. } => "remove line",
        Edit::PutTrial { .. } => "put trial",
        Edit::RemoveTrial { .. } => "remove trial",
        Edit::PutDecision { .. } => "put decision",
        Edit::RemoveDecision { .. } => "remove decision",
        Edit::PutWeek(_) => "put week",
        Edit::RemoveWeek(_) => "remove week",
        Edit::PutProgramme { .. } => "put programme",
        Edit::RemoveProgramme(_) => "remove programme",
        Edit::TakeUp { .. } => "take up",
        Edit::DropAside { .. } => "drop aside",
        Edit::PutService { .. } => "put service",
        Edit::RemoveService(_) => "remove service",
        Edit::Assign { .. } => "assign",
        Edit::Accept { .. } => "accept",
        Edit::Engage { .. } => "engage",
        Edit::OwnPart { .. } => "own part",
        Edit::UseInstruments { .. } => "use instruments",
        Edit::UseBeaters { .. } => "use beaters",
        Edit::PinDrum { .. } => "pin drum",
        Edit::Decide { .. } => "decide",
        Edit::Lock { .. } => "lock",
        Edit::PutRule { .. } => "put rule",
        Edit::RemoveRule { .. } => "remove rule",
        Edit::Stand { .. } => "stand",
        Edit::StandFor { .. } => "stand for",
        Edit::TakeOffFor { .. } => "take off for",
        Edit::AsBase { .. } => "as base",
        Edit::LieOn { .. } => "lie on",
        Edit::StandWith { .. } => "stand with",
        Edit::TakeOff { .. } => "take off",
        Edit::PutTake(_) => "put take",
        Edit::RemoveTake(_) => "remove take",
        Edit::Together { .. } => "together",
    }
}

/// How many sorts there are.
#[allow(dead_code, reason = "the soak of the window does not count them")]
pub(crate) const SORTS: usize = 51;
