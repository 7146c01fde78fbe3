//! Where things stand.

use super::{EditError, in_programme, is_played, known};
use crate::id::{InstrumentId, ProgrammeId, WorkId};
use crate::library::Library;
use crate::week::Placement;

/// A programme and one of its works.
type Of<'a> = (&'a ProgrammeId, &'a WorkId);

pub(super) fn stand(
    next: &mut Library,
    programme: &ProgrammeId,
    instrument: &InstrumentId,
    placement: &Placement,
) -> Result<(), EditError> {
    known(&next.instruments, "instrument", instrument)?;
    let placement = checked(placement)?;
    in_programme(next, programme, |programme| {
        let before = programme.setup.number_of(instrument);
        programme.setup.stand(instrument.clone(), placement);
        programme.setup.bear_number(instrument, placement.number, before);
    })
}

pub(super) fn stand_for(
    next: &mut Library,
    (programme, work): Of<'_>,
    instrument: &InstrumentId,
    placement: &Placement,
) -> Result<(), EditError> {
    known(&next.instruments, "instrument", instrument)?;
    is_played(next, programme, work)?;
    let placement = checked(placement)?;
    in_programme(next, programme, |programme| {
        let before = programme.setup.number_of(instrument);
        programme.setup.change_for(work, |own| {
            own.away.remove(instrument);
            own.placements.insert(instrument.clone(), placement);
        });
        programme.setup.bear_number(instrument, placement.number, before);
    })
}

pub(super) fn take_off_for(
    next: &mut Library,
    (programme, work): Of<'_>,
    instrument: &InstrumentId,
) -> Result<(), EditError> {
    is_played(next, programme, work)?;
    in_programme(next, programme, |programme| {
        programme.setup.change_for(work, |own| {
            own.placements.remove(instrument);
            own.away.insert(instrument.clone());
        });
    })
}

pub(super) fn as_base(
    next: &mut Library,
    (programme, work): Of<'_>,
    instrument: &InstrumentId,
) -> Result<(), EditError> {
    is_played(next, programme, work)?;
    in_programme(next, programme, |programme| {
        programme.setup.change_for(work, |own| {
            own.placements.remove(instrument);
            own.away.remove(instrument);
        });
    })
}

pub(super) fn bear(
    next: &mut Library,
    programme: &ProgrammeId,
    instrument: &InstrumentId,
    by: Option<&InstrumentId>,
) -> Result<(), EditError> {
    known(&next.instruments, "instrument", instrument)?;
    if let Some(by) = by {
        known(&next.instruments, "instrument", by)?;
        bears(next, programme, instrument, by)?;
    }
    in_programme(next, programme, |programme| {
        match by {
            Some(by) => {
                programme.setup.stand_with(instrument, None);
                programme.setup.lies_on.insert(instrument.clone(), by.clone())
            }
            None => programme.setup.lies_on.remove(instrument),
        };
    })
}

/// Nothing stands with itself, and what lies on something stands where that stands.
pub(super) fn stand_with(
    next: &mut Library,
    programme: &ProgrammeId,
    instrument: &InstrumentId,
    with: Option<&InstrumentId>,
) -> Result<(), EditError> {
    known(&next.instruments, "instrument", instrument)?;
    if let Some(with) = with {
        known(&next.instruments, "instrument", with)?;
        let setup = next.programme(programme).map(|programme| &programme.setup);
        let lies = |id: &InstrumentId| setup.is_some_and(|setup| setup.lies_on.contains_key(id));
        if instrument == with || lies(instrument) || lies(with) {
            let (thing, other) = (next.instrument_name(instrument), next.instrument_name(with));
            let what = format!("{thing} cannot stand with {other}: one of them lies or hangs on something");
            return Err(EditError::OutOfRange { what });
        }
    }
    in_programme(next, programme, |programme| programme.setup.stand_with(instrument, with))
}

pub(super) fn take_off(
    next: &mut Library,
    programme: &ProgrammeId,
    instrument: &InstrumentId,
) -> Result<(), EditError> {
    in_programme(next, programme, |programme| {
        programme.setup.take_off(instrument);
        if programme.setup.number_of(instrument).is_none() {
            programme.setup.lies_on.retain(|thing, by| thing != instrument && by != instrument);
            programme.setup.stand_with(instrument, None);
        }
    })
}

/// Nothing bears itself, and what bears is not borne.
fn bears(
    library: &Library,
    programme: &ProgrammeId,
    thing: &InstrumentId,
    by: &InstrumentId,
) -> Result<(), EditError> {
    let Some(setup) = library.programme(programme).map(|programme| &programme.setup) else { return Ok(()) };
    let (thing_name, by_name) = (library.instrument_name(thing), library.instrument_name(by));
    if thing == by || setup.lies_on.contains_key(by) {
        let what = format!("{thing_name} cannot be put on {by_name}: {by_name} already lies on something");
        return Err(EditError::OutOfRange { what });
    }
    if setup.borne_by(thing).next().is_some() {
        let what = format!("other instruments lie on {thing_name}: take them off first");
        return Err(EditError::OutOfRange { what });
    }
    Ok(())
}

/// A place in finite metres, its turn from 0 up to 360 degrees.
fn checked(placement: &Placement) -> Result<Placement, EditError> {
    let finite = placement.at.x.is_finite() && placement.at.y.is_finite() && placement.turn_deg.is_finite();
    if !finite {
        return Err(EditError::OutOfRange {
            what: "a place on the floor needs finite metres and degrees".into(),
        });
    }
    Ok(Placement { turn_deg: placement.turn_deg.rem_euclid(360.0), ..*placement })
}
