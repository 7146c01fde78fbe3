//! A made library of 3,000 instruments, 2,000 works and 300 weeks, for benches here and of the window.

use backrow_core::id::{InstrumentId, ProgrammeId, ServiceId, WeekId, WorkId};
use backrow_core::library::Library;
use backrow_core::week::LineRef;
use backrow_files::library::open;
use std::path::Path;
use std::sync::Arc;

const INSTRUMENTS: usize = 3_000;
const WORKS: usize = 2_000;
const WEEKS: usize = 300;

/// The demo library, its things again and again under new ids until there are so many.
pub(crate) fn made() -> Library {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    let mut library = open(&demo, &backrow_files::kinds::standard().unwrap()).library;
    let seed = library.clone();
    let instruments = Arc::make_mut(&mut library.instruments);
    for (number, thing) in
        seed.instruments.values().cycle().take(INSTRUMENTS - seed.instruments.len()).enumerate()
    {
        let mut next = (**thing).clone();
        next.id = InstrumentId::new(&format!("made-{number}")).unwrap();
        next.name = format!("{} {number}", thing.name);
        instruments.insert(next.id.clone(), Arc::new(next));
    }
    let works = Arc::make_mut(&mut library.works);
    for (number, work) in seed.works.values().cycle().take(WORKS - seed.works.len()).enumerate() {
        let mut next = (**work).clone();
        next.id = WorkId::new(&format!("made-{number}")).unwrap();
        next.title = format!("{} {number}", work.title);
        works.insert(next.id.clone(), Arc::new(next));
    }
    let of_round = |work: &WorkId, round: usize| {
        let at = seed.works.keys().position(|id| id == work).unwrap_or(0);
        let number = (round * seed.works.len() + at) % (WORKS - seed.works.len());
        WorkId::new(&format!("made-{}", number / seed.works.len() * seed.works.len() + at))
            .unwrap_or(work.clone())
    };
    let weeks = Arc::make_mut(&mut library.weeks);
    for (number, week) in seed.weeks.values().cycle().take(WEEKS - seed.weeks.len()).enumerate() {
        let mut next = (**week).clone();
        next.id = WeekId::new(&format!("made-{number}")).unwrap();
        let days = jiff::Span::new().days(i64::try_from(number + 1).unwrap() * 7);
        let named = |id: &ProgrammeId| ProgrammeId::new(&format!("{id}-{number}")).unwrap();
        for programme in &mut next.programmes {
            programme.id = named(&programme.id);
            let lines: Vec<_> = programme.lines().map(|(at, given)| (at.clone(), given.clone())).collect();
            *programme = programme.with_lines(|_, _| false);
            let works = programme.works.clone();
            programme.works = works.iter().map(|work| of_round(work, number)).collect();
            for (at, given) in lines {
                programme.assign(LineRef { work: of_round(&at.work, number), line: at.line }, given);
            }
            programme.rules.clear();
            programme.setup.clear_own();
        }
        for service in &mut next.services {
            service.id = ServiceId::new(&format!("{}-{number}", service.id)).unwrap();
            service.programme = named(&service.programme);
            service.start += days;
        }
        weeks.insert(next.id.clone(), Arc::new(next));
    }
    library
}
