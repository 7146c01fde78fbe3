//! The library: one immutable value with cheap copies.

use crate::care::{Care, Drifts};
use crate::collection::{Beater, Instrument, Kind, Loudness, Place, Player, Side, Venue};
use crate::days::{Clock, Days, Order};
use crate::id::{
    BeaterId, InstrumentId, KindId, PlaceId, PlayerId, ProgrammeId, ServiceId, VenueId, WeekId, WorkId,
};
use crate::music::{Line, Work};
use crate::pitch::ReferenceA;
use crate::rota::Wishes;
pub use crate::seconds::Habits;
use crate::sound::{Take, TakeKey};
use crate::timpani::Aim;
use crate::week::{LineRef, Presence, Programme, Service, Week};
use jiff::civil::DateTime;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A map whose copies are cheap: the map and its values are shared.
pub type Shared<K, V> = Arc<BTreeMap<K, Arc<V>>>;

/// Everything the section knows. Only [`crate::edit::apply`] makes the next one.
///
/// References between the parts may dangle (a broken file costs that file, not the library); findings name them.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Library {
    /// The orchestra and its habits.
    pub orchestra: Arc<Orchestra>,
    /// Kinds: the kinds table and the orchestra's own.
    pub kinds: Shared<KindId, Kind>,
    /// Instruments.
    pub instruments: Shared<InstrumentId, Instrument>,
    /// What is known of instruments’ tuning and care.
    pub care: Shared<InstrumentId, Care>,
    /// Beaters.
    pub beaters: Shared<BeaterId, Beater>,
    /// Players.
    pub players: Shared<PlayerId, Player>,
    /// Places in store.
    pub places: Shared<PlaceId, Place>,
    /// Venues.
    pub venues: Shared<VenueId, Venue>,
    /// Works.
    pub works: Shared<WorkId, Work>,
    /// Weeks.
    pub weeks: Shared<WeekId, Week>,
    /// Takes of instruments: the records, not the sound.
    pub takes: Shared<TakeKey, Take>,
    /// How days and hours are shown where the orchestra has not said, and the day it is: known at the edge, in no file, and put there
    /// by whoever opens the library. Ask [`Library::days`].
    pub here: Days,
}

/// The orchestra and its habits.
#[derive(Clone, Debug, PartialEq)]
pub struct Orchestra {
    /// The orchestra's name.
    pub name: String,
    /// The A that it tunes to.
    pub a: ReferenceA,
    /// The usual temperature on stage, degrees Celsius.
    pub celsius: f64,
    /// The money that hires are paid in: "EUR", "£"; empty where nobody has said.
    pub currency: String,
    /// The time zone that it lives in, a name of the tz database such as `Europe/Berlin`; empty where nobody has said.
    pub zone: String,
    /// In which order days are written; `None`: as the machine's region has it.
    pub order: Option<Order>,
    /// How hours are counted; `None`: as the machine's region has it.
    pub clock: Option<Clock>,
    /// The section's own figures for moves.
    pub habits: Habits,
    /// What the section wishes of a set of assignments, and how much.
    pub wishes: Wishes,
    /// How its timpani stand and are retuned.
    pub timpani: TimpaniHabits,
    /// Its own figures for how materials move with the temperature.
    pub drifts: Drifts,
    /// Its own figure for how far the winds rise with the air, cents for each kelvin from 20 degrees; `None`: as the speed of sound
    /// has it.
    pub winds_cents_k: Option<f64>,
}

impl Default for Orchestra {
    fn default() -> Self {
        Self {
            name: String::new(),
            a: ReferenceA::default(),
            celsius: 20.0,
            currency: String::new(),
            zone: String::new(),
            order: None,
            clock: None,
            habits: Habits::default(),
            wishes: Wishes::default(),
            timpani: TimpaniHabits::default(),
            drifts: Drifts::default(),
            winds_cents_k: None,
        }
    }
}

/// How timpani stand and are retuned. The seconds are the slow end of players' rule of thumb (pedal 1 to 2 s a drum, hand
/// screws 10 to 20 s, for a known interval; from memory, no published figure found).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimpaniHabits {
    /// On which side of the player the low drum stands.
    pub low_drum: Side,
    /// To retune a drum by pedal, seconds.
    pub pedal_s: f64,
    /// To retune a drum by hand screws, seconds.
    pub screws_s: f64,
    /// What a tuning plan puts first.
    pub aim: Aim,
}

impl Default for TimpaniHabits {
    fn default() -> Self {
        Self { low_drum: Side::Left, pedal_s: 2.0, screws_s: 20.0, aim: Aim::default() }
    }
}

/// Whether two maps hold the same; what they share is not looked into.
fn same<K: Ord, V: PartialEq>(one: &Shared<K, V>, other: &Shared<K, V>) -> bool {
    Arc::ptr_eq(one, other)
        || (one.len() == other.len()
            && one.iter().zip(other.iter()).all(|((a, x), (b, y))| a == b && (Arc::ptr_eq(x, y) || x == y)))
}

impl Library {
    /// Whether another library holds the same. As `==`, but what the two share, and that is nearly all of it after an edit,
    /// is not looked into.
    pub fn is_same(&self, other: &Self) -> bool {
        let Self {
            orchestra,
            kinds,
            instruments,
            care,
            beaters,
            players,
            places,
            venues,
            works,
            weeks,
            takes,
            here,
        } = self;
        (Arc::ptr_eq(orchestra, &other.orchestra) || *orchestra == other.orchestra)
            && same(kinds, &other.kinds)
            && same(instruments, &other.instruments)
            && same(care, &other.care)
            && same(beaters, &other.beaters)
            && same(players, &other.players)
            && same(places, &other.places)
            && same(venues, &other.venues)
            && same(works, &other.works)
            && same(weeks, &other.weeks)
            && same(takes, &other.takes)
            && *here == other.here
    }

    /// How days and hours are shown: as the orchestra has chosen, and else as the machine's region has it.
    pub fn days(&self) -> Days {
        let Orchestra { order, clock, .. } = *self.orchestra;
        Days {
            order: order.unwrap_or(self.here.order),
            clock: clock.unwrap_or(self.here.clock),
            today: self.here.today,
        }
    }

    /// A programme, wherever its week is.
    pub fn programme(&self, id: &ProgrammeId) -> Option<&Programme> {
        self.programmes().map(|(_, programme)| programme).find(|programme| programme.id == *id)
    }

    /// Every programme with its week, in order of the weeks' ids.
    pub fn programmes(&self) -> impl Iterator<Item = (&Week, &Programme)> {
        self.weeks.values().flat_map(|week| week.programmes.iter().map(move |programme| (&**week, programme)))
    }

    /// The week that holds a programme.
    pub fn week_of(&self, id: &ProgrammeId) -> Option<&Week> {
        self.programmes().find(|(_, programme)| programme.id == *id).map(|(week, _)| week)
    }

    /// A service, wherever its week is.
    pub fn service(&self, id: &ServiceId) -> Option<&Service> {
        self.services().find(|service| service.id == *id)
    }

    /// Every service, in order of the weeks' ids.
    pub fn services(&self) -> impl Iterator<Item = &Service> {
        self.weeks.values().flat_map(|week| week.services.iter())
    }

    /// The services of a programme, in order of time.
    pub fn services_of(&self, id: &ProgrammeId) -> Vec<&Service> {
        let mut services: Vec<&Service> =
            self.services().filter(|service| service.programme == *id).collect();
        services.sort_by_key(|service| service.start);
        services
    }

    /// Everybody who has something to play in a programme, in the order of the roster, each with whether the player is at one of
    /// its services.
    pub fn presences<'a>(&'a self, programme: &Programme, service: &Service) -> Vec<(&'a Player, Presence)> {
        let playing = programme.players();
        let players = self.roster().into_iter().filter(|player| playing.contains(&player.id));
        players.map(|player| (player, programme.presence(player, service))).collect()
    }

    /// When the first service of each programme begins; nothing of those that have none.
    pub fn first_starts(&self) -> BTreeMap<&ProgrammeId, DateTime> {
        let mut first: BTreeMap<&ProgrammeId, DateTime> = BTreeMap::new();
        for service in self.services() {
            let start = first.entry(&service.programme).or_insert(service.start);
            *start = service.start.min(*start);
        }
        first
    }

    /// A line with its work.
    pub fn line(&self, at: &LineRef) -> Option<(&Work, &Line)> {
        let work = self.works.get(&at.work)?;
        work.line(&at.line).map(|line| (&**work, line))
    }

    /// The players in roster order.
    pub fn roster(&self) -> Vec<&Player> {
        let mut players: Vec<&Player> = self.players.values().map(|player| &**player).collect();
        players.sort_by_key(|player| (player.order, player.id.clone()));
        players
    }

    /// How many players play an instrument at once.
    pub fn hands(&self, id: &InstrumentId) -> usize {
        if self.instruments.get(id).is_some_and(|thing| thing.for_two) { 2 } else { 1 }
    }

    /// The takes of an instrument, in order of their ids.
    pub fn takes_of<'a>(&'a self, id: &'a InstrumentId) -> impl Iterator<Item = &'a Take> {
        self.takes.values().map(|take| &**take).filter(move |take| take.instrument == *id)
    }

    /// What an instrument is called; its id when it is not there.
    pub fn instrument_name(&self, id: &InstrumentId) -> String {
        self.instruments.get(id).map_or_else(|| id.to_string(), |instrument| instrument.name.clone())
    }

    /// What a kind is called; its id when it is not there.
    pub fn kind_name(&self, id: &KindId) -> String {
        self.kinds.get(id).map_or_else(|| id.to_string(), |kind| kind.name().to_owned())
    }

    /// "marimba instead of xylophone", where a line that asks for one kind is played on another; `None` where it is the same. The
    /// one word for it on every screen and sheet.
    pub fn instead_words(&self, asked: &KindId, given: &KindId) -> Option<String> {
        (asked != given).then(|| format!("{} instead of {}", self.kind_name(given), self.kind_name(asked)))
    }

    /// Whether a kind can be very loud at arm's length, as the kinds table has it.
    pub fn is_very_loud(&self, id: &KindId) -> bool {
        self.kinds.get(id).and_then(|kind| kind.loud).is_some_and(|loud| loud >= Loudness::VeryLoud)
    }

    /// What a player is called; the id when not there.
    pub fn player_name(&self, id: &PlayerId) -> String {
        self.players.get(id).map_or_else(|| id.to_string(), |player| player.name.clone())
    }

    /// What a line is called: the kind's name, or what the part prints.
    pub fn line_name(&self, line: &Line) -> String {
        match &line.kind {
            Some(kind) => {
                let name = self.kind_name(kind);
                let mut chars = name.chars();
                chars.next().map_or(name.clone(), |first| first.to_uppercase().chain(chars).collect())
            }
            None if line.printed.is_empty() => "Open line".to_owned(),
            None => format!("“{}”", line.printed),
        }
    }
}
