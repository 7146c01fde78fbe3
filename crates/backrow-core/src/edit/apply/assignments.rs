//! Who plays what, on what and with what, and what assignments have to keep.

use super::{EditError, in_programme, is_played, known};
use crate::id::{BeaterId, InstrumentId, PlayerId, ProgrammeId};
use crate::library::Library;
use crate::pitch::KeyNumber;
use crate::week::{Assignment, DrumPin, Engagement, Instead, LineRef, LineRule, PartRef};

pub(super) fn assign(
    next: &mut Library,
    programme: &ProgrammeId,
    line: &LineRef,
    player: Option<&PlayerId>,
) -> Result<(), EditError> {
    if let Some(player) = player {
        known(&next.players, "player", player)?;
    }
    change(next, programme, line, |given| {
        given.player = player.cloned();
        given.locked &= player.is_some();
        given.by_hand = player.is_some();
    })
}

/// Gives a line to a player as it was proposed: nothing that was done by hand.
pub(super) fn accept(
    next: &mut Library,
    programme: &ProgrammeId,
    line: &LineRef,
    player: Option<&PlayerId>,
) -> Result<(), EditError> {
    assign(next, programme, line, player)?;
    change(next, programme, line, |given| given.by_hand = false)
}

pub(super) fn engage(
    next: &mut Library,
    programme: &ProgrammeId,
    player: &PlayerId,
    engagement: Option<&Engagement>,
) -> Result<(), EditError> {
    known(&next.players, "player", player)?;
    in_programme(next, programme, |programme| {
        match engagement {
            Some(engagement) => programme.roster.stated.insert(player.clone(), engagement.clone()),
            None => programme.roster.stated.remove(player),
        };
    })
}

pub(super) fn own_part(
    next: &mut Library,
    programme: &ProgrammeId,
    part: &PartRef,
    player: Option<&PlayerId>,
) -> Result<(), EditError> {
    known(&next.works, "work", &part.work)?;
    if let Some(player) = player {
        known(&next.players, "player", player)?;
    }
    in_programme(next, programme, |programme| {
        match player {
            Some(player) => programme.roster.parts.insert(part.clone(), player.clone()),
            None => programme.roster.parts.remove(part),
        };
    })
}

pub(super) fn use_instruments(
    next: &mut Library,
    programme: &ProgrammeId,
    line: &LineRef,
    instruments: &[InstrumentId],
) -> Result<(), EditError> {
    for instrument in instruments {
        known(&next.instruments, "instrument", instrument)?;
    }
    change(next, programme, line, |given| {
        given.instruments = instruments.to_vec();
        given.drums.retain(|pin| instruments.contains(&pin.instrument));
    })
}

/// Keeps a pitch on a drum, or lets it go to any.
pub(super) fn pin_drum(
    next: &mut Library,
    programme: &ProgrammeId,
    line: &LineRef,
    key: KeyNumber,
    on: Option<&(InstrumentId, String)>,
) -> Result<(), EditError> {
    if let Some((instrument, _)) = on {
        known(&next.instruments, "instrument", instrument)?;
    }
    change(next, programme, line, |given| {
        given.drums.retain(|pin| pin.key != key);
        let pin = on.cloned().map(|(instrument, drum)| DrumPin { key, instrument, drum });
        given.drums.extend(pin);
        given.drums.sort();
    })
}

pub(super) fn use_beaters(
    next: &mut Library,
    programme: &ProgrammeId,
    line: &LineRef,
    beaters: &[BeaterId],
) -> Result<(), EditError> {
    for beater in beaters {
        known(&next.beaters, "beater", beater)?;
    }
    change(next, programme, line, |given| given.beaters = beaters.to_vec())
}

/// What happens to a note that the instruments lack; `None` where it is open again.
pub(super) fn decide(
    next: &mut Library,
    programme: &ProgrammeId,
    line: &LineRef,
    (key, instead): (KeyNumber, Option<&Instead>),
) -> Result<(), EditError> {
    if let Some(Instead::On(instrument)) = instead {
        known(&next.instruments, "instrument", instrument)?;
    }
    change(next, programme, line, |given| match instead {
        Some(instead) => drop(given.instead.insert(key, instead.clone())),
        None => drop(given.instead.remove(&key)),
    })
}

/// Changes what a line was given; a work that the programme does not play has no lines to be given anything.
pub(super) fn change(
    next: &mut Library,
    programme: &ProgrammeId,
    line: &LineRef,
    f: impl FnOnce(&mut Assignment),
) -> Result<(), EditError> {
    line_is_known(next, line)?;
    is_played(next, programme, &line.work)?;
    in_programme(next, programme, |programme| {
        let mut given = programme.assignment(line);
        f(&mut given);
        programme.assign(line.clone(), given);
    })
}

fn line_is_known(library: &Library, line: &LineRef) -> Result<(), EditError> {
    if library.line(line).is_some() {
        return Ok(());
    }
    Err(EditError::Unknown { what: "line", id: format!("{}/{}", line.work, line.line) })
}

pub(super) fn remove_rule(
    next: &mut Library,
    programme: &ProgrammeId,
    rule: &LineRule,
) -> Result<(), EditError> {
    in_programme(next, programme, |programme| programme.rules.retain(|old| old != rule))
}

pub(super) fn put_rule(
    next: &mut Library,
    programme: &ProgrammeId,
    rule: &LineRule,
) -> Result<(), EditError> {
    match rule {
        LineRule::Together(a, b) | LineRule::Apart(a, b) => {
            line_is_known(next, a)?;
            line_is_known(next, b)?;
        }
        LineRule::Only(line, players) => {
            for player in players {
                known(&next.players, "player", player)?;
            }
            line_is_known(next, line)?;
        }
    }
    for work in rule.works() {
        is_played(next, programme, work)?;
    }
    in_programme(next, programme, |programme| {
        // A line is for one set of players; what was said before is replaced.
        if let LineRule::Only(line, _) = rule {
            programme.rules.retain(|old| !matches!(old, LineRule::Only(other, _) if other == line));
        }
        if !programme.rules.contains(rule) {
            programme.rules.push(rule.clone());
        }
    })
}
