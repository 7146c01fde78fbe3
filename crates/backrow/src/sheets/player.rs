//! A player's sheet: movement by movement what to play where, and the way to the next thing.

mod keyboards;
mod letters;
mod mallets;
mod own_plan;
mod packing;
mod shared;
mod steps;
mod tuning;

use super::head;
use backrow_core::collection::Player;
use backrow_core::evening::Evening;
use backrow_core::findings::busy_elsewhere;
use backrow_core::id::{PlayerId, WorkId};
use backrow_core::library::Library;
use backrow_core::moves::{Aside, Timetable};
use backrow_core::seconds::{Round, text};
use backrow_core::stage::Plan;
use backrow_core::week::{Presence, Programme};
use backrow_print::caution;
use backrow_print::player::{Habits, PlayerMovement, PlayerSheet, PlayerWork, Service};

/// Less than so many seconds to spare bears the care sign. Ours, no source.
const SPARE_S: f64 = 1.0;

/// What every part of a sheet is worked out from.
#[derive(Clone, Copy)]
pub(super) struct Case<'a> {
    pub(super) evening: &'a Evening,
    pub(super) library: &'a Library,
    pub(super) programme: &'a Programme,
    pub(super) timetable: &'a Timetable,
    pub(super) plan: &'a Plan,
    pub(super) player: &'a Player,
}

/// The sheet's data; `None` for a player that the library does not have.
pub fn player_sheet(evening: &Evening, id: &PlayerId) -> Option<PlayerSheet> {
    let (library, programme, timetable) = (evening.library(), evening.programme(), evening.timetable());
    let player = library.players.get(id)?;
    let case = Case { evening, library, programme, timetable, plan: evening.floor(None).plan(), player };
    // Where to stand is read from the floor that the work is played on.
    let work = |id: &WorkId| {
        let floor = evening.floor(Some(id));
        Case { programme: floor.programme(), plan: floor.plan(), ..case }.work(id)
    };
    let works: Vec<PlayerWork> = programme.works.iter().filter_map(work).collect();
    let habits = library.orchestra.habits;
    let guessed = timetable.moves(id).iter().any(|step| step.need.assumed);
    Some(PlayerSheet {
        head: head(library, programme),
        initials: player.initials.clone(),
        name: player.name.clone(),
        habits: Habits {
            pace_m_per_s: habits.pace_m_s,
            settle_s: habits.settle_s,
            change_s: habits.change_s,
            spare_s: SPARE_S,
            default_m: guessed.then_some(habits.default_distance_m),
        },
        works,
        keyboards: keyboards::keyboards(&case),
        plan: own_plan::own_plan(evening, player, None),
        services: case.services(),
        packing: packing::packing(&case),
        cautions: case.cautions(),
    })
}

impl Case<'_> {
    fn work(&self, id: &backrow_core::id::WorkId) -> Option<PlayerWork> {
        let work = self.library.works.get(id)?;
        let mut seen = std::collections::BTreeSet::new();
        let movements: Vec<PlayerMovement> = work
            .movements
            .iter()
            .map(|movement| {
                let steps = steps::steps(self, work, movement, &mut seen);
                PlayerMovement {
                    number: movement.number.clone(),
                    title: movement.title.clone(),
                    length: super::names::length(movement.timeline.end_s),
                    tacet: steps.is_empty(),
                    steps,
                }
            })
            .collect();
        let tacet = movements.iter().all(|movement| movement.tacet);
        Some(PlayerWork {
            title: work.title.clone(),
            composer: work.composer.clone(),
            length: super::names::length((work.seconds() / 60.0).round() * 60.0),
            tacet,
            movements: if tacet { Vec::new() } else { movements },
            plan: if tacet { None } else { own_plan::own_plan(self.evening, self.player, Some(id)) },
        })
    }

    /// Day, hour and hall of every service, and whether the player is away or wanted elsewhere too.
    fn services(&self) -> Vec<Service> {
        let own = self.programme.venue.as_ref();
        let days = self.library.days();
        let line = |service: &&backrow_core::week::Service| {
            let venue = service.venue.as_ref().or(own).and_then(|id| self.library.venues.get(id));
            let remark = match self.programme.presence(self.player, service) {
                Presence::Away => "you are away",
                Presence::OnlyOthers => "you are not engaged for it",
                Presence::Free => "you are not engaged",
                _ if !busy_elsewhere(self.library, service, &self.player.id).is_empty() => "double-booked",
                Presence::Reserve => "you are in reserve",
                Presence::In => "",
            };
            Service {
                when: days.span(service.start, service.end()),
                what: service.kind.word().to_owned(),
                place: venue.map_or_else(String::new, |venue| venue.name.clone()),
                remark: remark.to_owned(),
                changed: false,
            }
        };
        self.library.services_of(&self.programme.id).iter().map(line).collect()
    }

    /// The services that the player misses, and the sentences that go with what is played.
    fn cautions(&self) -> Vec<String> {
        let missed = self.library.services_of(&self.programme.id);
        let is_away = |service: &&&backrow_core::week::Service| {
            self.programme.presence(self.player, service) == Presence::Away
        };
        let missed = missed.iter().filter(is_away);
        let missed: Vec<String> = missed
            .map(|service| format!("{} {}", service.kind.word(), self.library.days().at(service.start)))
            .collect();
        let mine = || {
            let lines = self.timetable.lines.iter();
            lines.filter(|taken| taken.player.as_ref() == Some(&self.player.id))
        };
        let things = || mine().flat_map(|taken| &taken.instruments);
        let loud = mine().any(|taken| !taken.loud_kinds(self.library).is_empty());
        let heavy =
            things().filter_map(|id| self.library.instruments.get(id)).any(|thing| super::is_heavy(thing));
        let mut words = Vec::new();
        if !missed.is_empty() {
            words.push(format!("Away: {}.", missed.join("; ")));
        }
        let services = self.library.services_of(&self.programme.id);
        let busy = services.iter().flat_map(|service| busy_elsewhere(self.library, service, &self.player.id));
        let days = self.library.days();
        let busy: Vec<String> =
            busy.map(|one| format!("{}, {}", one.programme.title, one.collision.other_words(days))).collect();
        if !busy.is_empty() {
            words.push(format!("Double-booked: {}.", busy.join("; ")));
        }
        for (wanted, sentence) in [(loud, caution::LOUD), (heavy, caution::LIFT)] {
            if wanted {
                words.push(sentence.to_owned());
            }
        }
        words
    }
}

/// ", too short: has 1.0 s, needs 4.0 s"; nothing where the seconds are enough.
fn too_short(aside: &Aside) -> String {
    if aside.step.fits() {
        return String::new();
    }
    let (has, needs) = (text(aside.step.has_us, Round::Down), text(aside.step.need.us(), Round::Up));
    format!(", too short: has {has}\u{202F}s, needs {needs}\u{202F}s")
}
