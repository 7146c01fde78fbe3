//! Why one instrument before another: the facts that are compared, in their order, and their words.

use super::last::Before;
use super::lines::Asker;
use super::{Ask, last::Last};
use crate::collection::{Instrument, Owner};
use crate::id::{InstrumentId, PlaceId};
use crate::recall::words_of;
use std::collections::{BTreeMap, BTreeSet};

/// What is known of an instrument before any line is looked at; less is better.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Rank {
    /// Whose: ours, a player's of this programme, another player's, lent.
    owner: u8,
    /// Dead bars, and one more where its condition says something.
    worn: usize,
    /// Tuned to another A than the orchestra's, whole cents.
    off_cents: u32,
    /// Not on the floor of this programme yet.
    off_floor: bool,
    /// Kept in another room than most of what is used.
    far: bool,
    name: String,
    id: InstrumentId,
}

/// For one line; less is better.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct ForAsker<'a> {
    before: Before,
    /// How many of the part's own words its name or character does not have.
    unlike: usize,
    /// Its player has another line on it, or somebody has, or nobody.
    used: u8,
    rank: &'a Rank,
}

/// What the programme uses already: by instrument the lines that do.
pub(super) type Uses = BTreeMap<InstrumentId, Vec<usize>>;

/// What ranks are worked out with.
pub(super) struct Ranks<'a> {
    /// Every line of the programme; [`Uses`] numbers them.
    lines: &'a [Asker<'a>],
    ask: Ask<'a>,
    room: Option<PlaceId>,
    players: BTreeSet<crate::id::PlayerId>,
}

impl<'a> Ranks<'a> {
    pub(super) fn new(ask: Ask<'a>, lines: &'a [Asker<'a>], uses: &Uses) -> Self {
        let mut rooms: BTreeMap<PlaceId, usize> = BTreeMap::new();
        for room in uses.keys().filter_map(|id| ask.library.instruments.get(id)?.place.clone()) {
            *rooms.entry(room).or_default() += 1;
        }
        let room = rooms.into_iter().rev().max_by_key(|(_, count)| *count).map(|(room, _)| room);
        let players = lines.iter().filter_map(|line| line.given.player.clone()).collect();
        Self { lines, ask, room, players }
    }

    pub(super) fn of(&self, thing: &Instrument) -> Rank {
        let owner = match &thing.owner {
            Owner::Orchestra => 0,
            Owner::Player(id) if self.players.contains(id) => 1,
            Owner::Player(_) => 2,
            Owner::Other(_) => 3,
        };
        let dead: usize = thing.frames.iter().map(|frame| frame.dead.len()).sum();
        let a = self.ask.library.orchestra.a.value();
        let cents = |hz: f64| (1200.0 * (hz / a).log2()).abs().round();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "rounded and above zero; a cast saturates"
        )]
        let off_cents = thing.tuned_to.map_or(0, |tuned| cents(tuned.value()) as u32);
        Rank {
            owner,
            worn: dead + usize::from(!thing.condition.trim().is_empty()),
            off_cents,
            off_floor: self.ask.programme.setup.number_of(&thing.id).is_none(),
            far: self.room.is_some() && thing.place != self.room,
            name: thing.name.clone(),
            id: thing.id.clone(),
        }
    }

    /// How a thing stands to a line.
    pub(super) fn for_line<'r>(
        &self,
        line: &Asker<'_>,
        candidate: &Candidate<'r>,
        uses: &Uses,
        last: &Last,
    ) -> ForAsker<'r> {
        let used_by =
            uses.get(&candidate.thing.id).into_iter().flatten().filter_map(|at| self.lines.get(*at));
        let mine = line.given.player.as_ref();
        let used = used_by.map(|other| u8::from(mine.is_none() || other.given.player.as_ref() != mine)).min();
        ForAsker {
            before: last.instrument(self.ask.library, &line.at, &candidate.thing.id),
            unlike: candidate.unlike,
            used: used.unwrap_or(2),
            rank: candidate.rank,
        }
    }
}

/// A thing that could be played, as far as a line looks at it.
pub(super) struct Candidate<'r> {
    /// The thing.
    pub(super) thing: &'r Instrument,
    /// How it stands by itself.
    pub(super) rank: &'r Rank,
    /// How many of the line’s words it lacks.
    pub(super) unlike: usize,
}

/// How many of the words that a line says of its instrument a thing's own words lack.
pub(super) fn unlike(line: &Asker<'_>, has: &BTreeSet<String>) -> usize {
    line.words.iter().filter(|word| !has.contains(*word)).count()
}

/// What an instrument is called and how it sounds, word by word.
pub(super) fn words_of_thing(thing: &Instrument) -> BTreeSet<String> {
    words_of(&thing.name).chain(thing.character.iter().flat_map(|word| words_of(word))).collect()
}

/// Why the first goes before the second, said of the first: the first fact in which they differ.
pub(super) fn why(one: &ForAsker<'_>, other: &ForAsker<'_>) -> &'static str {
    match () {
        () if one.before != other.before && one.before == Before::Asker => "it was chosen last time",
        () if one.before != other.before => "a work like it had it last time",
        () if one.unlike != other.unlike => "it is what the part’s words say",
        () if one.used != other.used && one.used == 0 => "its player has it already",
        () if one.used != other.used => "it is used this evening anyway",
        () => facts(one.rank, other.rank),
    }
}

fn facts(one: &Rank, other: &Rank) -> &'static str {
    match () {
        () if one.owner != other.owner && one.owner == 0 => "it is ours",
        () if one.owner != other.owner && one.owner < 3 => "a player has it",
        () if one.worn != other.worn => "it is in the better state",
        () if one.off_cents != other.off_cents => "it is nearer to our A",
        () if one.off_floor != other.off_floor => "it stands on the floor",
        () if one.far != other.far => "it is stored with the others",
        () => "first by name",
    }
}

/// Why the second comes after the first, said of the second.
pub(super) fn why_not(one: &ForAsker<'_>, other: &ForAsker<'_>) -> &'static str {
    let (a, b) = (one.rank, other.rank);
    match () {
        () if one.before != other.before => "not what it had last time",
        () if one.unlike != other.unlike => "less like what the part says",
        () if one.used != other.used => "one more instrument to carry",
        () if a.owner != b.owner && b.owner == 3 => "it is lent",
        () if a.owner != b.owner => "it is a player’s own",
        () if a.worn != b.worn => "in a worse state",
        () if a.off_cents != b.off_cents => "tuned to another A",
        () if a.off_floor != b.off_floor => "not on the floor",
        () if a.far != b.far => "stored in another room",
        () => "as good, after it by name",
    }
}
