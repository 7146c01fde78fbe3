//! Everything that can be found or done, in groups; what belongs to the current programme and work comes first.

use crate::actions::Action;
use crate::intent::Intent;
use crate::sheets::Sheet;
use crate::view::{CollectionTab, Place, Selected, View};
use backrow_core::collection::Venue;
use backrow_core::id::{WorkId, is_found, slug_of};
use backrow_core::library::Library;
use backrow_core::music::Work;
use backrow_core::recall;
use backrow_core::week::{LineRef, Programme, Service, Week};

/// So many rows are shown at the most, and so many of one group while others have something too.
const MOST: usize = 18;
const MOST_OF_A_GROUP: usize = 6;

/// A row of the list: words, a note beside them, and what choosing it asks for.
#[derive(Clone, Debug)]
pub(super) struct Hit {
    pub(super) group: Group,
    /// Whether it belongs to what is current.
    here: bool,
    pub(super) words: String,
    pub(super) beside: String,
    /// The id that a label of it holds; empty for what has none.
    id: String,
    pub(super) ask: Vec<Intent>,
}

/// What stands together in the list, in this order where nothing else decides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Group {
    Actions,
    Lines,
    Works,
    Instruments,
    Players,
    Beaters,
    Remembered,
    Programmes,
    Services,
    Halls,
    Stores,
    Sheets,
}

impl Group {
    /// Its heading.
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Actions => "Do",
            Self::Lines => "Lines",
            Self::Works => "Works",
            Self::Instruments => "Instruments",
            Self::Players => "Players",
            Self::Beaters => "Beaters",
            Self::Remembered => "Tried and decided",
            Self::Programmes => "Programmes",
            Self::Services => "Services",
            Self::Halls => "Halls",
            Self::Stores => "Stores",
            Self::Sheets => "Sheets",
        }
    }
}

/// What was found, and how many rows have no room.
#[derive(Clone, Debug, Default)]
pub(super) struct Found {
    pub(super) hits: Vec<Hit>,
    pub(super) more: usize,
}

/// Everything whose words, or whose group's, hold each typed word: in a group, names that begin with the text first, and what is current before
/// what is not; the group with the best name first.
pub(super) fn find(library: &Library, view: &View, text: &str) -> Found {
    let says = |word: &&str| word.chars().any(char::is_alphanumeric);
    let words: Vec<&str> = text.split_whitespace().filter(says).collect();
    let whole = if words.is_empty() { String::new() } else { slug_of(&words.join(" ")) };
    let rank = |hit: &Hit| {
        // A square code that is read holds the id and nothing else.
        if !hit.id.is_empty() && hit.id == text.trim() {
            return Some((0, false));
        }
        let (name, group) = (slug_of(&hit.words), slug_of(hit.group.word()));
        let fits = words.iter().all(|word| {
            is_found(&hit.words, word) || is_found(&hit.beside, word) || group.starts_with(&slug_of(word))
        });
        let near = match () {
            () if name.starts_with(&whole) => 0,
            () if name.contains(&whole) => 1,
            () => 2,
        };
        fits.then_some((near, !hit.here))
    };
    let mut ranked: Vec<((u8, bool), Hit)> =
        everything(library, view).into_iter().filter_map(|hit| Some((rank(&hit)?, hit))).collect();
    ranked.sort_by_key(|(rank, hit)| (hit.group, *rank));
    let best =
        |group: Group| ranked.iter().filter(|(_, hit)| hit.group == group).map(|(rank, _)| *rank).min();
    let mut groups: Vec<Group> = ranked.iter().map(|(_, hit)| hit.group).collect();
    groups.dedup();
    groups.sort_by_key(|group| (best(*group), *group));
    let most = if groups.len() == 1 { MOST } else { MOST_OF_A_GROUP };
    let of_group = |group: &Group| {
        let group = *group;
        ranked.iter().filter(move |(_, hit)| hit.group == group).take(most).map(|(_, hit)| hit.clone())
    };
    let hits: Vec<Hit> = groups.iter().flat_map(of_group).take(MOST).collect();
    Found { more: ranked.len() - hits.len(), hits }
}

fn everything(library: &Library, view: &View) -> Vec<Hit> {
    let mut all: Vec<Hit> = Vec::new();
    let mut add = |group, here, words: &str, beside: String, ask: Vec<Intent>| {
        let id = match ask.first() {
            Some(Intent::Select(Some(Selected::Instrument(id)))) => id.to_string(),
            _ => String::new(),
        };
        all.push(Hit { group, here, words: words.to_owned(), beside, id, ask });
    };
    for action in Action::ALL.iter().filter(|action| **action != Action::Find) {
        let keys = action.key_words();
        let beside = if Action::HELP.contains(action) { format!("Help, {keys}") } else { keys };
        add(Group::Actions, false, action.label(), beside, vec![Intent::Do(*action)]);
    }
    for place in Place::ALL {
        for (key, what) in crate::places::keys(*place) {
            // What depends on something in hand is no act of its own.
            let alone = !matches!(*key, "Enter" | "Esc" | "Down" | "Delete" | "Ctrl Enter");
            if let Some(shortcut) = crate::actions::shortcut_of(key).filter(|_| alone) {
                let beside = format!("{}, {key}", place.word());
                add(
                    Group::Actions,
                    view.place == *place,
                    what,
                    beside,
                    vec![Intent::Press(*place, shortcut)],
                );
            }
        }
    }
    let programme = view.programme_in(library);
    for work in works(library, programme) {
        let here = programme.is_some_and(|programme| programme.works.contains(&work.id));
        add(Group::Works, here, &work.title, work.composer.clone(), vec![Intent::Work(work.id.clone())]);
        for line in &work.lines {
            let at = LineRef { work: work.id.clone(), line: line.id.clone() };
            let number = work
                .movement(&line.movement)
                .map_or_else(String::new, backrow_core::music::Movement::heading);
            let place = format!("{} {number}", work.title);
            let beside = format!("{}, {}", place.trim_end(), line.where_played());
            let here = here && view.work.as_ref() == Some(&work.id);
            add(Group::Lines, here, &library.line_name(line), beside, vec![Intent::Line(at)]);
        }
    }
    for thing in library.instruments.values() {
        let go = if thing.is_pitched() { Place::Compass } else { Place::Collection };
        let ask = vec![Intent::Select(Some(Selected::Instrument(thing.id.clone()))), Intent::Go(go)];
        let here = programme.is_some_and(|programme| programme.instruments().contains(&thing.id));
        let beside = library.kind_name(&thing.kind);
        add(Group::Instruments, here, &thing.name, beside, ask);
    }
    for player in library.roster() {
        let ask = vec![Intent::Select(Some(Selected::Player(player.id.clone()))), Intent::Go(Place::Section)];
        add(Group::Players, false, &player.name, player.role.clone(), ask);
    }
    for beater in library.beaters.values() {
        let ask =
            vec![Intent::Select(Some(Selected::Beater(beater.id.clone()))), Intent::Go(Place::Collection)];
        add(Group::Beaters, false, &beater.name, "beater".to_owned(), ask);
    }
    for (week, other) in library.programmes() {
        let here = programme.is_some_and(|programme| programme.id == other.id);
        add(
            Group::Programmes,
            here,
            &other.title,
            week.title.clone(),
            vec![Intent::Programme(other.id.clone())],
        );
    }
    all.extend(halls(library, programme));
    all.extend(services(library, programme));
    all.extend(pages_and_stores(library));
    all.extend(sheets(library, programme));
    all.extend(remembered(library, programme));
    all
}

fn halls(library: &Library, programme: Option<&Programme>) -> Vec<Hit> {
    let hall = |venue: &Venue| {
        let stands_in = |one: &Programme| one.venue.as_ref() == Some(&venue.id);
        let here = programme.is_some_and(stands_in);
        let turn = library.programmes().find(|(_, one)| stands_in(one)).filter(|_| !here);
        let turn = turn.map(|(_, one)| Intent::Programme(one.id.clone()));
        // Where no programme stands in it, its drawing is shown.
        let alone = (turn.is_none() && !here).then(|| Intent::ShowVenue(venue.id.clone()));
        Hit {
            group: Group::Halls,
            here,
            words: venue.name.clone(),
            beside: "venue".to_owned(),
            id: String::new(),
            ask: turn.into_iter().chain([Intent::Go(Place::Floor)]).chain(alone).collect(),
        }
    };
    library.venues.values().map(|venue| hall(venue)).collect()
}

/// Every work; the programme's come first, in their order.
fn works<'a>(library: &'a Library, programme: Option<&Programme>) -> Vec<&'a Work> {
    let place = |id: &WorkId| programme.and_then(|own| own.works.iter().position(|one| one == id));
    let mut works: Vec<&Work> = library.works.values().map(|work| &**work).collect();
    works.sort_by_key(|work| place(&work.id).unwrap_or(usize::MAX));
    works
}

/// Every service by its day, hour and kind.
fn services(library: &Library, programme: Option<&Programme>) -> Vec<Hit> {
    let of_week = library.weeks.values().flat_map(|week| week.services.iter().map(move |one| (week, one)));
    let hit = |(week, service): (&std::sync::Arc<Week>, &Service)| {
        let of = week.programmes.iter().find(|of| of.id == service.programme)?;
        Some(Hit {
            group: Group::Services,
            here: programme.is_some_and(|programme| programme.id == of.id),
            words: format!("{} {}", library.days().whole(service.start), service.kind.word()),
            beside: of.title.clone(),
            id: String::new(),
            ask: vec![Intent::Programme(of.id.clone()), Intent::Go(Place::Week)],
        })
    };
    of_week.filter_map(hit).collect()
}

/// The pages of Collection, and the places in store.
fn pages_and_stores(library: &Library) -> Vec<Hit> {
    let hit = |group, words: &str, beside: &str, tab| Hit {
        group,
        here: false,
        words: words.to_owned(),
        beside: beside.to_owned(),
        id: String::new(),
        ask: vec![Intent::Go(Place::Collection), Intent::CollectionTab(tab)],
    };
    let pages = CollectionTab::ALL.map(|tab| hit(Group::Actions, tab.word(), "a page of Collection", tab));
    let stores = library.places.values();
    let stores = stores.map(|store| hit(Group::Stores, &store.name, "a store", CollectionTab::Places));
    pages.into_iter().chain(stores).collect()
}

/// What was tried and decided for lines.
fn remembered(library: &Library, programme: Option<&Programme>) -> Vec<Hit> {
    let hit = |(work, item): (&Work, recall::Item<'_>)| {
        let about = item.about();
        let at = LineRef { work: work.id.clone(), line: about.line.clone() };
        let turn = if library.line(&at).is_some() { Intent::Line(at) } else { Intent::Work(work.id.clone()) };
        Hit {
            group: Group::Remembered,
            here: programme.is_some_and(|programme| programme.plays(&work.id)),
            words: item.words(library),
            beside: format!("{}, {}", about.name, work.title),
            id: String::new(),
            ask: vec![turn],
        }
    };
    recall::everything(library).map(hit).collect()
}

/// The programme's sheets, and those that are printed on wish.
fn sheets(library: &Library, programme: Option<&Programme>) -> Vec<Hit> {
    let Some(programme) = programme else { return Vec::new() };
    let hit = |sheet: Sheet| Hit {
        group: Group::Sheets,
        here: true,
        words: sheet.title(library),
        beside: "look at it, print it".to_owned(),
        id: String::new(),
        ask: vec![Intent::ShowSheet(sheet)],
    };
    Sheet::of(library, programme).into_iter().chain(Sheet::of_all()).map(hit).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Found {
        let library = crate::sample::small();
        let mut view = View::default();
        view.settle(&library);
        find(&library, &view, text)
    }

    #[test]
    fn the_id_on_a_label_leads_to_its_instrument() {
        let library = crate::sample::small();
        for id in library.instruments.keys() {
            let hits = found(id.as_str()).hits;
            let first = hits.first().and_then(|hit| hit.ask.first());
            assert!(
                matches!(first, Some(Intent::Select(Some(Selected::Instrument(of)))) if of == id),
                "{id}: {first:?}"
            );
        }
    }

    #[test]
    fn rows_of_a_group_stand_together() {
        for text in ["", "xylo", "p", "lanterns"] {
            let mut groups: Vec<Group> = found(text).hits.iter().map(|hit| hit.group).collect();
            groups.dedup();
            let count = groups.len();
            groups.sort();
            groups.dedup();
            assert_eq!(groups.len(), count, "{text}");
        }
    }

    #[test]
    fn a_movement_is_found_by_its_title() {
        let mut library = crate::sample::small();
        let mut work = library.works.values().next().map(|work| (**work).clone()).unwrap();
        for movement in &mut work.movements {
            "Quibberly".clone_into(&mut movement.title);
        }
        let id = work.id.clone();
        std::sync::Arc::make_mut(&mut library.works).insert(id.clone(), work.into());
        let mut view = View::default();
        view.settle(&library);
        let hits = find(&library, &view, "quibberly").hits;
        let of = |hit: &Hit| matches!(hit.ask.first(), Some(Intent::Line(at)) if at.work == id);
        assert!(hits.iter().any(|hit| hit.group == Group::Lines && of(hit)));
    }

    #[test]
    fn a_line_says_where_it_stands() {
        let found = found("xylophone");
        let line = found.hits.iter().find(|hit| hit.group == Group::Lines).unwrap();
        assert!(line.beside.contains("Lanterns") && line.beside.contains("mm. "), "{}", line.beside);
    }

    #[test]
    fn services_stores_and_pages_are_found() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
        let kinds = backrow_files::kinds::standard().expect("the kinds table");
        let library = backrow_files::library::open(&folder, &kinds).library;
        let mut view = View::default();
        view.settle(&library);
        let named =
            |group, words: &str| find(&library, &view, words).hits.iter().any(|hit| hit.group == group);
        assert!(named(Group::Actions, "Orchestra") && named(Group::Actions, "Tuning"));
        assert!(named(Group::Halls, "hall") && named(Group::Halls, "venue"));
        assert!(library.places.values().all(|store| named(Group::Stores, &store.name)));
        let week = library.weeks.values().find(|week| !week.services.is_empty());
        let service = week.and_then(|week| week.services.first()).expect("in the demo");
        assert!(named(Group::Services, &library.days().day(service.start.date())));
    }

    #[test]
    fn every_action_can_be_found_by_its_words() {
        for action in Action::ALL.iter().filter(|action| **action != Action::Find) {
            let found = found(action.label());
            assert!(found.hits.iter().any(|hit| hit.words == action.label()), "{action:?}");
        }
    }

    #[test]
    fn what_a_place_does_by_a_key_is_found_by_its_words() {
        for (text, place) in
            [("loads", Place::Floor), ("draw the hall", Place::Floor), ("tightest", Place::Section)]
        {
            let found = found(text);
            let does = |hit: &Hit| {
                hit.ask.iter().any(|ask| matches!(ask, Intent::Press(where_to, _) if *where_to == place))
            };
            assert!(found.hits.iter().any(does), "{text}: {:?}", found.hits);
        }
    }

    #[test]
    fn what_has_no_room_is_counted() {
        let all = found("");
        assert!(all.hits.len() <= MOST && all.more > 0);
        assert_eq!(found("nothing has this name").more, 0);
    }
}
