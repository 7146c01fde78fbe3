//! What differs between two versions of a sheet: what is new or has changed is marked where it stands, what went away is named.

use super::data::SheetData;
use backrow_print::list::{ListSheet, Section};
use backrow_print::load::{LoadSheet, LoadThing};
use backrow_print::plan::{PlanSheet, PlayerBlock};
use backrow_print::player::{Passage, PlayerMovement, PlayerSheet, Step};
use std::collections::BTreeMap;

/// So many things that went away are named; of more the others are counted.
const MOST_NAMED: usize = 12;

/// The mark of one thing on a sheet.
type MarkOf<T> = fn(&mut T) -> &mut bool;

impl SheetData {
    /// Every mark of change.
    pub(super) fn each_mark(&mut self, mut f: impl FnMut(&mut bool)) {
        match self {
            Self::List(sheet) => {
                let rows = sheet.sections.iter_mut().flat_map(|section| &mut section.rows);
                rows.for_each(|row| f(&mut row.changed));
            }
            Self::Load(sheet) => {
                f(&mut sheet.changed);
                let things = sheet.rooms.iter_mut().flat_map(|room| &mut room.things);
                things.for_each(|thing| f(&mut thing.changed));
            }
            Self::Player(sheet) => {
                let movements = sheet.works.iter_mut().flat_map(|work| &mut work.movements);
                movements.flat_map(|movement| &mut movement.steps).for_each(|step| f(mark_of_step(step)));
                sheet.services.iter_mut().for_each(|service| f(&mut service.changed));
                sheet.keyboards.iter_mut().for_each(|keyboard| f(&mut keyboard.changed));
                sheet.packing.iter_mut().for_each(|line| f(&mut line.changed));
                for plan in
                    sheet.plan.iter_mut().chain(sheet.works.iter_mut().flat_map(|work| &mut work.plan))
                {
                    plan.things
                        .iter_mut()
                        .filter(|thing| !thing.unused)
                        .for_each(|thing| f(&mut thing.changed));
                    plan.ways.iter_mut().for_each(|way| f(&mut way.changed));
                }
            }
            Self::Plan(sheet) => {
                sheet.things.iter_mut().for_each(|thing| f(&mut thing.changed));
                sheet.players.iter_mut().for_each(|player| f(&mut player.changed));
                sheet.changes.iter_mut().for_each(|change| f(&mut change.changed));
                sheet.ways.iter_mut().for_each(|way| f(&mut way.changed));
            }
            Self::Labels(_) => {}
        }
    }

    /// Marks what was not so in an earlier version of the sheet. Both without marks.
    pub(super) fn mark_changes(&mut self, before: &Self) {
        match (self, before) {
            (Self::List(now), Self::List(before)) => mark_list(now, before),
            (Self::Load(now), Self::Load(before)) => mark_load(now, before),
            (Self::Player(now), Self::Player(before)) => mark_player(now, before),
            (Self::Plan(now), Self::Plan(before)) => mark_plan(now, before),
            _ => {}
        }
    }

    /// What stood in an earlier version and stands here no more, by name: "Xylophone 2; Gong". Empty where nothing went away.
    pub(super) fn gone_since(&self, before: &Self) -> String {
        let gone = match (self, before) {
            (Self::List(now), Self::List(before)) => missing(rows_of(before), rows_of(now)),
            (Self::Load(now), Self::Load(before)) => missing(loaded(before), loaded(now)),
            (Self::Player(now), Self::Player(before)) => missing(played(before), played(now)),
            (Self::Plan(now), Self::Plan(before)) => gone_of_plan(before, now),
            _ => Vec::new(),
        };
        let others = gone.len().saturating_sub(MOST_NAMED);
        let more = (others > 0).then(|| format!("and {others} more"));
        gone.into_iter().take(MOST_NAMED).chain(more).collect::<Vec<_>>().join("; ")
    }
}

const fn mark_of_step(step: &mut Step) -> &mut bool {
    match step {
        Step::Play(station) => &mut station.changed,
        Step::Move(way) => &mut way.changed,
    }
}

/// Marks everything that the earlier ones do not hold just so.
fn mark<T: PartialEq>(now: &mut [T], before: &[T], mark: MarkOf<T>) {
    for one in now {
        let fresh = !before.contains(one);
        *mark(one) = fresh;
    }
}

fn mark_list(now: &mut ListSheet, before: &ListSheet) {
    for section in &mut now.sections {
        let old = before.sections.iter().find(|old| old.title == section.title);
        mark(&mut section.rows, old.map_or(&[], |old| &old.rows), |row| &mut row.changed);
    }
}

fn mark_load(now: &mut LoadSheet, before: &LoadSheet) {
    let head = |sheet: &LoadSheet| {
        (sheet.when.clone(), sheet.pieces, sheet.mass, sheet.floor_m2, sheet.people.clone())
    };
    now.changed = head(now) != head(before);
    for room in &mut now.rooms {
        let old = before.rooms.iter().find(|old| old.name == room.name);
        for thing in &mut room.things {
            // That another thing came before it is no change of its own.
            let same = |old: &&LoadThing| {
                LoadThing { order: thing.order, id: thing.id.clone(), ..(*old).clone() } == *thing
            };
            thing.changed = old.is_none_or(|old| old.things.iter().find(same).is_none());
        }
    }
}

fn mark_player(now: &mut PlayerSheet, before: &PlayerSheet) {
    for work in &mut now.works {
        let old = before.works.iter().find(|old| old.title == work.title);
        for movement in &mut work.movements {
            let same =
                |old: &&PlayerMovement| (&old.number, &old.title) == (&movement.number, &movement.title);
            let old = old.and_then(|work| work.movements.iter().find(same));
            mark(&mut movement.steps, old.map_or(&[], |old| &old.steps), mark_of_step);
        }
        mark_own_plan(work.plan.as_mut(), old.and_then(|old| old.plan.as_ref()));
    }
    mark(&mut now.services, &before.services, |service| &mut service.changed);
    mark(&mut now.keyboards, &before.keyboards, |keyboard| &mut keyboard.changed);
    mark(&mut now.packing, &before.packing, |line| &mut line.changed);
    mark_own_plan(now.plan.as_mut(), before.plan.as_ref());
}

/// Only what is the player's own bears a mark there; what stands around it is drawn faintly.
fn mark_own_plan(now: Option<&mut PlanSheet>, before: Option<&PlanSheet>) {
    let Some(now) = now else { return };
    let (things, ways) = before.map_or((&[][..], &[][..]), |old| (&old.things, &old.ways));
    mark(&mut now.things, things, |thing| &mut thing.changed);
    now.things.iter_mut().filter(|thing| thing.unused).for_each(|thing| thing.changed = false);
    mark(&mut now.ways, ways, |way| &mut way.changed);
}

fn mark_plan(now: &mut PlanSheet, before: &PlanSheet) {
    mark(&mut now.things, &before.things, |thing| &mut thing.changed);
    mark(&mut now.players, &before.players, |player| &mut player.changed);
    mark(&mut now.changes, &before.changes, |change| &mut change.changed);
    mark(&mut now.ways, &before.ways, |way| &mut way.changed);
}

/// Of the earlier names those that are there less often now, in their order.
fn missing(before: Vec<String>, now: Vec<String>) -> Vec<String> {
    let mut left: BTreeMap<String, usize> = BTreeMap::new();
    for name in now {
        *left.entry(name).or_default() += 1;
    }
    let is_gone = |name: &String| match left.get_mut(name) {
        Some(count) if *count > 0 => {
            *count -= 1;
            false
        }
        _ => !name.is_empty(),
    };
    before.into_iter().filter(is_gone).collect()
}

/// Every row by its strong cell, with the heading over it: "Works: Lanterns on the Estuary".
fn rows_of(sheet: &ListSheet) -> Vec<String> {
    let of_section = |section: &Section| {
        let strong = section.columns.iter().position(|column| column.strong).unwrap_or(0);
        let title = section.title.clone();
        let name = move |cells: &[String]| {
            let cell = cells.get(strong).filter(|cell| !cell.is_empty());
            let cell = cell.or_else(|| cells.iter().find(|cell| !cell.is_empty()))?;
            Some(if title.is_empty() { cell.clone() } else { format!("{title}: {cell}") })
        };
        section.rows.iter().filter_map(|row| name(&row.cells)).collect::<Vec<_>>()
    };
    sheet.sections.iter().flat_map(of_section).collect()
}

fn loaded(sheet: &LoadSheet) -> Vec<String> {
    sheet.rooms.iter().flat_map(|room| &room.things).map(|thing| thing.name.clone()).collect()
}

/// Things, players, and what players who are still there no longer play: "Ada Birch: Xylophone 2".
fn gone_of_plan(before: &PlanSheet, now: &PlanSheet) -> Vec<String> {
    let things = |sheet: &PlanSheet| sheet.things.iter().map(|thing| thing.name.clone()).collect::<Vec<_>>();
    let mut gone = missing(things(before), things(now));
    let played = |block: &PlayerBlock| block.lines.iter().map(|line| line.instrument.clone()).collect();
    for block in &before.players {
        match now.players.iter().find(|other| other.name == block.name) {
            None => gone.push(block.name.clone()),
            Some(still) => {
                let lost = missing(played(block), played(still));
                gone.extend(lost.into_iter().map(|thing| format!("{}: {thing}", block.name)));
            }
        }
    }
    gone
}

/// Every passage with its music and instrument, every service, and the beaters: "Lanterns on the Estuary II: Triangle, 60–80".
fn played(sheet: &PlayerSheet) -> Vec<String> {
    let mut names = Vec::new();
    for work in &sheet.works {
        for movement in &work.movements {
            let music = format!("{} {}", work.title, movement.number);
            let stations = movement.steps.iter().filter_map(|step| match step {
                Step::Play(station) => Some(station),
                Step::Move(_) => None,
            });
            for station in stations {
                let of_passage = |passage: &Passage| {
                    let own = (station.instrument.clone(), passage.measures.clone());
                    let with =
                        passage.with.iter().map(|with| (with.instrument.clone(), with.measures.clone()));
                    std::iter::once(own).chain(with).collect::<Vec<_>>()
                };
                let all = station.passages.iter().flat_map(of_passage);
                let music = music.trim_end();
                names.extend(all.map(|(thing, measures)| format!("{music}: {thing}, {measures}")));
            }
        }
    }
    names.extend(sheet.services.iter().map(|service| format!("{} {}", service.what, service.when)));
    names.extend(sheet.packing.iter().map(|line| line.beaters.clone()));
    names
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_print::load::LoadRoom;
    use backrow_print::plan::{PlayerLine, Shape, Thing, Way};
    use backrow_print::player::{Keyboard, Packing, PlayerWork, Service, Station};

    fn marks(now: SheetData, before: &SheetData) -> (Vec<bool>, String) {
        let mut now = now;
        now.mark_changes(before);
        let mut found = Vec::new();
        now.each_mark(|mark| found.push(*mark));
        (found, now.gone_since(before))
    }

    fn station(instrument: &str, measures: &[&str]) -> Step {
        let passage = |measures: &&str| Passage { measures: (*measures).to_owned(), ..Passage::default() };
        Step::Play(Station {
            instrument: instrument.to_owned(),
            passages: measures.iter().map(passage).collect(),
            ..Station::default()
        })
    }

    fn player(
        steps: Vec<Step>,
        services: &[&str],
        beaters: &[(&str, &str)],
        keys: u32,
        metres: f64,
    ) -> SheetData {
        let service = |when: &&str| Service {
            when: (*when).to_owned(),
            what: "rehearsal".to_owned(),
            ..Service::default()
        };
        let line = |(beaters, count): &(&str, &str)| Packing {
            beaters: (*beaters).to_owned(),
            count: (*count).to_owned(),
            ..Packing::default()
        };
        let movement = PlayerMovement { number: "II".to_owned(), steps, ..PlayerMovement::default() };
        let work =
            PlayerWork { title: "Lanterns".to_owned(), movements: vec![movement], ..PlayerWork::default() };
        let way = Way { points: vec![[0.0, 0.0], [metres, 0.0]], metres: Some(metres), ..Way::default() };
        SheetData::Player(Box::new(PlayerSheet {
            works: vec![work],
            services: services.iter().map(service).collect(),
            packing: beaters.iter().map(line).collect(),
            keyboards: vec![Keyboard { used: keys, ..Keyboard::default() }],
            plan: Some(PlanSheet { ways: vec![way], ..PlanSheet::default() }),
            ..PlayerSheet::default()
        }))
    }

    /// Marks in the order of the sheet: steps, services, keyboards, what to lay out, routes.
    #[test]
    fn everything_on_a_players_sheet_bears_marks() {
        let steps = || vec![station("Xylophone 1", &["1–8"]), station("Triangle", &["9–12", "20"])];
        let before = player(steps(), &["Tue", "Wed"], &[("rubber", "2"), ("yarn", "4")], 5, 2.0);
        let same = player(steps(), &["Tue", "Wed"], &[("rubber", "2"), ("yarn", "4")], 5, 2.0);
        assert_eq!(marks(same, &before), (vec![false; 8], String::new()));
        let next = vec![station("Xylophone 1", &["1–8"]), station("Triangle", &["9–12"])];
        let now = player(next, &["Tue", "Thu"], &[("rubber", "4")], 6, 3.0);
        let (found, gone) = marks(now, &before);
        assert_eq!(found, [false, true, false, true, true, true, true]);
        assert_eq!(gone, "Lanterns II: Triangle, 20; rehearsal Wed; yarn");
    }

    fn load(things: &[(&str, u32)], pieces: u32) -> SheetData {
        let thing = |(name, order): &(&str, u32)| LoadThing {
            name: (*name).to_owned(),
            order: *order,
            ..LoadThing::default()
        };
        let things = things.iter().map(thing).collect();
        let rooms = vec![LoadRoom { name: "Room 1".to_owned(), things, ..LoadRoom::default() }];
        SheetData::Load(LoadSheet { rooms, pieces, ..LoadSheet::default() })
    }

    #[test]
    fn the_sums_of_a_load_bear_a_mark_and_what_stays_in_store_is_named() {
        let before = load(&[("Gong", 1), ("Gong", 2), ("Xylophone", 3)], 3);
        let (found, gone) = marks(load(&[("Gong", 1), ("Xylophone", 2), ("Bell", 3)], 3), &before);
        assert_eq!((found, gone.as_str()), (vec![false, false, false, true], "Gong"));
        let (found, _) = marks(load(&[("Gong", 1), ("Gong", 2), ("Xylophone", 3)], 4), &before);
        assert_eq!(found, [true, false, false, false]);
        let many: Vec<String> = (1..=14).map(|nth| format!("Bell {nth}")).collect();
        let many: Vec<(&str, u32)> = many.iter().map(|name| (name.as_str(), 1)).collect();
        let (_, gone) = marks(load(&[], 0), &load(&many, 14));
        assert!(gone.starts_with("Bell 1; Bell 2; ") && gone.ends_with("Bell 12; and 2 more"), "{gone}");
    }

    #[test]
    fn routes_of_a_plan_bear_marks() {
        let plan = |metres: &[f64]| {
            let way = |metres: &f64| Way { metres: Some(*metres), by: "LB".to_owned(), ..Way::default() };
            SheetData::Plan(Box::new(PlanSheet {
                ways: metres.iter().map(way).collect(),
                ..PlanSheet::default()
            }))
        };
        assert_eq!(marks(plan(&[1.0, 2.5]), &plan(&[1.0, 2.0])).0, [false, true]);
    }

    /// Who has left is named, and of those who are still there what they no longer play.
    #[test]
    fn what_somebody_plays_no_more_is_named() {
        let plan = |blocks: &[(&str, &[&str])]| {
            let line = |instrument: &&str| PlayerLine {
                instrument: (*instrument).to_owned(),
                ..PlayerLine::default()
            };
            let block = |(name, lines): &(&str, &[&str])| PlayerBlock {
                name: (*name).to_owned(),
                lines: lines.iter().map(line).collect(),
                ..PlayerBlock::default()
            };
            SheetData::Plan(Box::new(PlanSheet {
                players: blocks.iter().map(block).collect(),
                ..PlanSheet::default()
            }))
        };
        let before = plan(&[("Ada", &["Gong", "Xylophone"]), ("Ben", &["Snare drum"])]);
        let (found, gone) = marks(plan(&[("Ada", &["Xylophone"])]), &before);
        assert_eq!((found, gone.as_str()), (vec![true], "Ada: Gong; Ben"));
    }

    /// On a player's small plan what is the player's own bears a mark where it has moved, and nothing else does.
    #[test]
    fn own_things_that_moved_bear_marks() {
        let sheet = |x: f64| {
            let thing = |name: &str, unused: bool| Thing {
                name: name.to_owned(),
                number: "1".to_owned(),
                note: String::new(),
                shape: Shape::Box { width_m: 0.4, depth_m: 0.4 },
                at: [x, 2.0],
                turn_deg: 0.0,
                low_end: None,
                carried: false,
                unused,
                changed: false,
            };
            let things = vec![thing("Gong", false), thing("Harp", true)];
            let plan = PlanSheet { things, ..PlanSheet::default() };
            SheetData::Player(Box::new(PlayerSheet { plan: Some(plan), ..PlayerSheet::default() }))
        };
        assert_eq!(marks(sheet(1.0), &sheet(1.0)).0, [false]);
        assert_eq!(marks(sheet(1.5), &sheet(1.0)).0, [true]);
    }
}
