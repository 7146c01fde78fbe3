//! One thing by itself as text: for a draft, which is in no library yet.

use super::problem::Problem;
use super::record::{
    BeatersRecord, InstrumentRecord, OrchestraRecord, PlacesRecord, PlayersRecord, Record, TakeRecord,
    VenueRecord, WeekRecord, WorkRecord,
};
use super::ron_text;
use backrow_core::collection::{Beater, Instrument, Place, Player, Venue};
use backrow_core::library::Orchestra;
use backrow_core::music::Work;
use backrow_core::sound::Take;
use backrow_core::week::Week;

/// A thing that somebody types.
#[derive(Clone, Debug, PartialEq)]
#[expect(missing_docs, reason = "the things' own names")]
pub enum Held {
    Orchestra(Box<Orchestra>),
    Instrument(Box<Instrument>),
    Beater(Beater),
    Player(Player),
    Place(Place),
    Venue(Box<Venue>),
    /// What was tried or decided stands in a work without music.
    Work(Work),
    /// A service stands in a week alone; a hire in the only programme of one.
    Week(Week),
    Take(Box<Take>),
}

impl Held {
    /// A word for what it is, which [`Self::of`] knows.
    pub const fn sort(&self) -> &'static str {
        match self {
            Self::Orchestra(_) => "orchestra",
            Self::Instrument(_) => "instrument",
            Self::Beater(_) => "beater",
            Self::Player(_) => "player",
            Self::Place(_) => "place",
            Self::Venue(_) => "venue",
            Self::Work(_) => "work",
            Self::Week(_) => "week",
            Self::Take(_) => "take",
        }
    }

    /// As it would stand in a library's file.
    pub fn text(&self) -> Result<String, String> {
        match self {
            Self::Orchestra(orchestra) => ron_text::write(&OrchestraRecord::of(orchestra)),
            Self::Instrument(thing) => ron_text::write(&InstrumentRecord::of(thing)),
            Self::Beater(beater) => ron_text::write(&BeatersRecord::of(&vec![beater.clone()])),
            Self::Player(player) => ron_text::write(&PlayersRecord::of(&vec![player.clone()])),
            Self::Place(place) => ron_text::write(&PlacesRecord::of(&vec![place.clone()])),
            Self::Venue(venue) => ron_text::write(&VenueRecord::of(venue)),
            Self::Work(work) => ron_text::write(&WorkRecord::of(work)),
            Self::Week(week) => ron_text::write(&WeekRecord::of(week)),
            Self::Take(take) => ron_text::write(&TakeRecord::of(take)),
        }
    }

    /// What a text of that sort holds; `None` for a sort that is not known or a list without anything in it.
    pub fn of(sort: &str, text: &str) -> Result<Option<Self>, Problem> {
        fn value<R: Record>(text: &str) -> Result<R::Value, Problem> {
            ron_text::read::<R>("a draft", text).map(Record::value)
        }
        Ok(match sort {
            "orchestra" => Some(Self::Orchestra(Box::new(value::<OrchestraRecord>(text)?))),
            "instrument" => Some(Self::Instrument(Box::new(value::<InstrumentRecord>(text)?))),
            "beater" => value::<BeatersRecord>(text)?.into_iter().next().map(Self::Beater),
            "player" => value::<PlayersRecord>(text)?.into_iter().next().map(Self::Player),
            "place" => value::<PlacesRecord>(text)?.into_iter().next().map(Self::Place),
            "venue" => Some(Self::Venue(Box::new(value::<VenueRecord>(text)?))),
            "work" => Some(Self::Work(value::<WorkRecord>(text)?)),
            "week" => Some(Self::Week(value::<WeekRecord>(text)?)),
            "take" => Some(Self::Take(Box::new(value::<TakeRecord>(text)?))),
            _ => None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_of_the_demo_comes_back_by_itself() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
        let library = crate::library::open(&folder, &crate::kinds::standard().unwrap()).library;
        let mut all = vec![Held::Orchestra(Box::new((*library.orchestra).clone()))];
        all.extend(library.instruments.values().map(|one| Held::Instrument(Box::new((**one).clone()))));
        all.extend(library.beaters.values().map(|one| Held::Beater((**one).clone())));
        all.extend(library.players.values().map(|one| Held::Player((**one).clone())));
        all.extend(library.places.values().map(|one| Held::Place((**one).clone())));
        all.extend(library.venues.values().map(|one| Held::Venue(Box::new((**one).clone()))));
        all.extend(library.works.values().map(|one| Held::Work((**one).clone())));
        all.extend(library.weeks.values().map(|one| Held::Week((**one).clone())));
        all.extend(library.takes.values().map(|one| Held::Take(Box::new((**one).clone()))));
        for held in all {
            assert_eq!(Held::of(held.sort(), &held.text().unwrap()), Ok(Some(held)));
        }
    }

    #[test]
    fn what_is_broken_is_told_and_what_is_strange_is_none() {
        assert!(Held::of("work", "(format: 1").is_err());
        assert_eq!(Held::of("opera", "(format: 1)"), Ok(None));
    }
}
