//! The bars of one instrument as a path across the map, from low to high: those of one take, since takes differ by microphone, room and
//! beater as well.

use super::dots::Dot;
use super::known::Sounds;
use backrow_core::id::{BeaterId, TakeId};
use backrow_core::library::Library;
use backrow_core::music::Dynamic;
use backrow_core::sound::{Strike, StrikeKey, TakeKey};
use jiff::civil::DateTime;
use std::collections::{BTreeMap, BTreeSet};

/// A path, and what it goes by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Path {
    /// The strikes, as places in all that was heard, from the lowest bar up; one a bar.
    pub(super) at: Vec<usize>,
    /// "The path joins 37 bars of the take “soft”; 1 other take is left out."
    pub(super) words: String,
}

/// A bar that is on the map.
#[derive(Clone, Debug)]
struct Bar {
    at: usize,
    number: u8,
    beater: Option<BeaterId>,
    how_hard: Option<Dynamic>,
}

/// A take with bars on the map.
struct Row<'a> {
    take: &'a TakeId,
    when: Option<DateTime>,
    bars: Vec<Bar>,
}

/// The path of the chosen strike's instrument; `None` where no take of it has two bars on the map.
pub(super) fn of(library: &Library, sounds: &Sounds, dots: &[Dot], chosen: &StrikeKey) -> Option<Path> {
    let mut rows: BTreeMap<&TakeId, Row<'_>> = BTreeMap::new();
    for dot in dots {
        let (known, fact) = (sounds.heard.all().get(dot.at)?, sounds.facts.get(dot.at)?);
        let Some(bar) = fact.bar.filter(|_| known.key.instrument == chosen.instrument) else { continue };
        let strike = struck(library, &known.key);
        let when = library.takes.get(&take_of(&known.key)).and_then(|take| take.when);
        let row = Row { take: &known.key.take, when, bars: Vec::new() };
        rows.entry(&known.key.take).or_insert(row).bars.push(Bar {
            at: dot.at,
            number: bar,
            beater: strike.and_then(|strike| strike.beater.clone()),
            how_hard: strike.and_then(|strike| strike.how_hard),
        });
    }
    path(rows.into_values().collect(), chosen, struck(library, chosen))
}

fn take_of(key: &StrikeKey) -> TakeKey {
    TakeKey { instrument: key.instrument.clone(), take: key.take.clone() }
}

fn struck<'a>(library: &'a Library, key: &StrikeKey) -> Option<&'a Strike> {
    library.takes.get(&take_of(key))?.strikes.get(key.number)
}

fn path(rows: Vec<Row<'_>>, chosen: &StrikeKey, strike: Option<&Strike>) -> Option<Path> {
    let count = |row: &Row<'_>| row.bars.iter().map(|bar| bar.number).collect::<BTreeSet<_>>().len();
    let others = rows.len().saturating_sub(1);
    // The one with the most bars; of whole ones the chosen strike's own, then the newest.
    let row = rows.into_iter().max_by_key(|row| (count(row), *row.take == chosen.take, row.when))?;
    // Of several strikes of one bar the one that was made as the chosen one was.
    let same = |bar: &Bar| {
        let beater = strike.is_some_and(|strike| strike.beater == bar.beater);
        let how_hard = strike.is_some_and(|strike| strike.how_hard == bar.how_hard);
        (beater, how_hard, std::cmp::Reverse(bar.at))
    };
    let mut best: BTreeMap<u8, &Bar> = BTreeMap::new();
    for bar in &row.bars {
        let held = best.entry(bar.number).or_insert(bar);
        if same(bar) > same(held) {
            *held = bar;
        }
    }
    let at: Vec<usize> = best.into_values().map(|bar| bar.at).collect();
    let left = match others {
        0 => String::new(),
        1 => "; 1 other take is left out".to_owned(),
        more => format!("; {more} other takes are left out"),
    };
    let words = format!("The path joins {} bars of the take “{}”{left}.", at.len(), row.take);
    (at.len() > 1).then_some(Path { at, words })
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::id::InstrumentId;
    use rstest::rstest;

    fn take(name: &str) -> TakeId {
        TakeId::new(name).expect("an id")
    }

    fn row<'a>(take: &'a TakeId, month: i8, bars: &[u8], from: usize) -> Row<'a> {
        let bar = |(n, bar): (usize, &u8)| Bar { at: from + n, number: *bar, beater: None, how_hard: None };
        Row {
            take,
            when: Some(jiff::civil::date(2027, month, 1).at(10, 0, 0, 0)),
            bars: bars.iter().enumerate().map(bar).collect(),
        }
    }

    /// Takes of March, May and June; the chosen strike is of the take that is named.
    #[rstest]
    #[case::the_newest_whole_one("june", &[60, 62, 64], &[60, 62, 64], &[60], &[10, 11, 12])]
    #[case::its_own_where_that_is_whole("march", &[64, 60, 62], &[60, 62, 64], &[60], &[1, 2, 0])]
    #[case::the_fullest_where_none_is_whole("may", &[60, 62, 64], &[60, 65], &[60], &[0, 1, 2])]
    fn one_take_is_followed(
        #[case] chosen: &str,
        #[case] march: &[u8],
        #[case] may: &[u8],
        #[case] june: &[u8],
        #[case] expected: &[usize],
    ) {
        let names = [take("march"), take("may"), take("june")];
        let rows = vec![row(&names[0], 3, march, 0), row(&names[1], 5, may, 10), row(&names[2], 6, june, 20)];
        let instrument = InstrumentId::new("xylophone").expect("an id");
        let chosen = StrikeKey { instrument, take: take(chosen), number: 0 };
        let found = path(rows, &chosen, None).expect("a path");
        assert_eq!(found.at, expected);
        assert!(found.words.ends_with("; 2 other takes are left out."), "{}", found.words);
    }

    #[test]
    fn one_strike_a_bar_made_as_the_chosen_one() {
        let name = take("may");
        let mut one = row(&name, 5, &[60, 60, 62, 62], 0);
        one.bars[1].how_hard = Some(Dynamic::F);
        one.bars[2].how_hard = Some(Dynamic::F);
        let instrument = InstrumentId::new("xylophone").expect("an id");
        let chosen = StrikeKey { instrument, take: name.clone(), number: 1 };
        let loud = Strike { how_hard: Some(Dynamic::F), ..Strike::default() };
        let found = path(vec![one], &chosen, Some(&loud)).expect("a path");
        assert_eq!(
            (found.at, found.words.as_str()),
            (vec![1, 2], "The path joins 2 bars of the take “may”.")
        );
        assert_eq!(path(vec![row(&name, 5, &[60, 60], 0)], &chosen, None), None, "one bar is no path");
    }
}
