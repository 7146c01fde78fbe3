//! One evening: everything that follows from a programme at one revision of its library. Seconds, floors, checks and loads
//! are worked out once, here, and findings, board, assignments, floor, sheets and tables ask this value.
//!
//! The cheap parts (what stands where) are made with the value; the dear ones (every way on a full floor takes some tens of
//! milliseconds) when somebody first asks, or all at once by [`Evening::work_out`], which a window lines away from its
//! frame. What an edit leaves as it was is taken over from the evening before: [`Evening::after`].

mod floor;
mod furniture;
mod hand;
pub mod places;

pub use floor::Floor;
pub use hand::Hand;

use crate::beaters::{Share, shares};
use crate::collection::{Player, Venue};
use crate::compass::PitchSet;
use crate::hiring;
use crate::id::{InstrumentId, PlayerId, WorkId};
use crate::library::Library;
use crate::loads::{self, Load, RoomBeaters, Way, used_bars};
use crate::moves::Timetable;
use crate::stage::{Changeover, changeovers, settled};
use crate::week::{Hire, LineRef, Programme, Setup, Standing};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

/// A programme worked out.
#[derive(Clone, Debug)]
pub struct Evening {
    library: Library,
    programme: Programme,
    base: Floor,
    own: BTreeMap<WorkId, Floor>,
    timetable: OnceLock<Timetable>,
    loads: [OnceLock<Load>; 3],
    used: OnceLock<BTreeMap<InstrumentId, PitchSet>>,
    shares: OnceLock<Vec<Share>>,
    changes: OnceLock<Vec<Changeover>>,
    needs: OnceLock<Needs>,
}

/// Whom a programme needs at each of its services.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Needs {
    /// Everybody who has something to play, in the order of the roster.
    pub players: Vec<PlayerId>,
    /// Those of them who are not engaged for it as a matter of course: extras by their role, though the programme engages them, and
    /// whom the programme holds in reserve or does not engage.
    pub extras: Vec<PlayerId>,
    /// The lines that nobody plays, in playing order.
    pub open: Vec<LineRef>,
}

impl Evening {
    /// A programme as it stands in its library.
    pub fn of(library: &Library, programme: &Programme) -> Self {
        let works: BTreeSet<&WorkId> = programme.works.iter().collect();
        let own = programme.setup.own.keys().filter(|work| works.contains(work));
        Self {
            base: Floor::of(library, programme),
            own: own.map(|work| (work.clone(), Floor::of(library, &programme.for_work(work)))).collect(),
            library: library.clone(),
            programme: programme.clone(),
            timetable: OnceLock::new(),
            loads: [OnceLock::new(), OnceLock::new(), OnceLock::new()],
            used: OnceLock::new(),
            shares: OnceLock::new(),
            changes: OnceLock::new(),
            needs: OnceLock::new(),
        }
    }

    /// The same programme after an edit. The ways of every floor on which nothing was moved are taken over.
    #[must_use]
    pub fn after(&self, library: &Library, programme: &Programme) -> Self {
        let mut next = Self::of(library, programme);
        let known = || std::iter::once(&self.base).chain(self.own.values());
        for floor in std::iter::once(&mut next.base).chain(next.own.values_mut()) {
            if let Some(old) = known().find(|old| old.is_ground_of(floor)) {
                floor.take_over(old);
            }
        }
        next
    }

    /// Works out every dear part that is not worked out yet.
    pub fn work_out(&self) {
        self.timetable();
        for (_, floor) in self.floors() {
            floor.checks();
            floor.riser_loads();
        }
        for way in Way::ALL {
            self.load(way);
        }
        self.shares();
    }

    /// Whether the ways of every floor are there already, so that nothing dear is left to do.
    pub fn knows_its_ways(&self) -> bool {
        self.base.knows_its_ways() && self.own.values().all(Floor::knows_its_ways)
    }

    /// Whether the seconds are there already.
    pub fn is_worked_out(&self) -> bool {
        self.timetable.get().is_some()
    }

    /// The library that it was worked out from.
    pub const fn library(&self) -> &Library {
        &self.library
    }

    /// The programme.
    pub const fn programme(&self) -> &Programme {
        &self.programme
    }

    /// The floor as it is for a work: its own where it has one, else the one that holds for all; that too for `None`.
    pub fn floor(&self, work: Option<&WorkId>) -> &Floor {
        work.and_then(|work| self.own.get(work)).unwrap_or(&self.base)
    }

    /// Every floor that the audience sees, with the work that it is for: first the one that holds for all works (`None`),
    /// unless each has its own, then the works' own in playing order.
    pub fn floors(&self) -> impl Iterator<Item = (Option<&WorkId>, &Floor)> {
        let works = &self.programme.works;
        let base = works.is_empty() || works.iter().any(|work| !self.own.contains_key(work));
        let mut seen = BTreeSet::new();
        let own = works.iter().filter(move |work| seen.insert(*work));
        let own =
            own.filter_map(|work| self.own.get_key_value(work)).map(|(work, floor)| (Some(work), floor));
        base.then_some((None, &self.base)).into_iter().chain(own)
    }

    /// Whether an instrument stands on any of its floors.
    pub fn stands(&self, instrument: &InstrumentId) -> bool {
        self.floors().any(|(_, floor)| floor.plan().thing(instrument).is_some())
    }

    /// Every line with its player, its seconds and the ways of the floor that it is played on.
    pub fn timetable(&self) -> &Timetable {
        self.timetable.get_or_init(|| {
            let own = self.own.iter().map(|(work, floor)| (work.clone(), floor.ways().clone()));
            Timetable::of(&self.library, &self.programme, self.base.ways().clone())
                .with_own_ways(own.collect())
        })
    }

    /// What is carried one way.
    pub fn load(&self, way: Way) -> &Load {
        let [to_stage, to_truck, back] = &self.loads;
        let cell = match way {
            Way::StoreToStage => to_stage,
            Way::StageToTruck => to_truck,
            Way::Back => back,
        };
        cell.get_or_init(|| Load::of(&self.library, &self.programme, way))
    }

    /// The instruments that it uses or has on a floor, each with the bars that its lines ask of it.
    pub fn used(&self) -> &BTreeMap<InstrumentId, PitchSet> {
        self.used.get_or_init(|| used_bars(&self.library, &self.programme))
    }

    /// Every beater that it uses: who brings which, and from whose hand into whose.
    pub fn shares(&self) -> &[Share] {
        self.shares.get_or_init(|| shares(&self.library, self.timetable()))
    }

    /// The beaters that go along one way, by the room that they lie in.
    pub fn beaters(&self, way: Way) -> Vec<RoomBeaters> {
        loads::beaters(&self.library, &self.programme, self.shares(), way)
    }

    /// What moves, comes or goes between its works.
    pub fn changes(&self) -> &[Changeover] {
        self.changes.get_or_init(|| changeovers(&self.library, &self.programme))
    }

    /// A setup in which less moves between its works, as far as nothing clashes.
    pub fn settled(&self, venue: &Venue) -> Setup {
        settled(&self.library, &self.programme, venue)
    }

    /// Who plays, and what nobody plays yet.
    pub fn needs(&self) -> &Needs {
        self.needs.get_or_init(|| {
            let playing = self.programme.players();
            let plays = |player: &&Player| playing.contains(&player.id);
            let roster = &self.programme.roster;
            let is_extra =
                |player: &&Player| player.is_extra() || roster.of(player).standing != Standing::Engaged;
            let ids = |players: Vec<&Player>| players.into_iter().map(|player| player.id.clone()).collect();
            let players: Vec<&Player> = self.library.roster().into_iter().filter(plays).collect();
            let extras: Vec<&Player> = players.iter().copied().filter(is_extra).collect();
            let lines = self.programme.works_in_order().filter_map(|(_, id)| self.library.works.get(id));
            let lines = lines.flat_map(|work| {
                let of =
                    move |line: &crate::music::Line| LineRef { work: work.id.clone(), line: line.id.clone() };
                work.lines.iter().map(of)
            });
            let open = lines.filter(|at| self.programme.given(at).is_none_or(|given| given.player.is_none()));
            Needs { players: ids(players), extras: ids(extras), open: open.collect() }
        })
    }

    /// Hires that it seems to want and does not have yet.
    pub fn hires_to_propose(&self) -> Vec<Hire> {
        hiring::proposals(&self.library, &self.programme, self.used())
    }
}

#[cfg(test)]
mod tests;
