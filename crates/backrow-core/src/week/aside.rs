//! What a work had that is not played any more: kept, never counted, and given back when somebody asks for it.

use super::{Assignment, Instead, LineRef, LineRule, Placement, Programme, WorkSetup};
use crate::id::{InstrumentId, WorkId};
use std::collections::{BTreeMap, BTreeSet};

/// All that a work had in a programme.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Aside {
    /// What its lines were given.
    pub lines: BTreeMap<LineRef, Assignment>,
    /// What assignments had to keep.
    pub rules: Vec<LineRule>,
    /// What differed on the floor for it.
    pub own: WorkSetup,
    /// Where things stood that nothing else in the programme uses.
    pub base: BTreeMap<InstrumentId, Placement>,
}

impl Aside {
    fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// What was put aside later goes before what was put aside earlier and never asked for.
    fn with(self, later: Self) -> Self {
        let Self { mut lines, mut rules, own, mut base } = self;
        lines.extend(later.lines);
        base.extend(later.base);
        rules.retain(|rule| !later.rules.contains(rule));
        rules.extend(later.rules);
        Self { lines, rules, own: if later.own.is_empty() { own } else { later.own }, base }
    }

    /// How many things stood on the floor for it.
    pub fn places(&self) -> usize {
        self.base.len() + self.own.placements.len()
    }
}

impl Programme {
    /// What a work had when it was last played, and has not been given back.
    pub fn aside(&self, work: &WorkId) -> Option<&Aside> {
        self.aside.get(work)
    }

    /// What every work had of which something is put aside.
    pub fn put_aside(&self) -> &BTreeMap<WorkId, Aside> {
        &self.aside
    }

    /// Puts something aside of a work, as a file says it; what nothing is in is forgotten.
    pub fn put_aside_of(&mut self, work: WorkId, aside: Aside) {
        if !aside.is_empty() {
            self.aside.insert(work, aside);
        }
    }

    /// Puts aside what works have that are not played; it stays until a work is played again and somebody asks for it. Readers of
    /// files call it: in those of an older program it stands where it stood.
    pub fn settle(&mut self) {
        let lines = self.assignments.keys().map(|line| &line.work);
        let rule = self.rules.iter().flat_map(LineRule::works);
        let all: BTreeSet<WorkId> = lines.chain(self.setup.own.keys()).chain(rule).cloned().collect();
        let gone: Vec<WorkId> = all.into_iter().filter(|work| !self.plays(work)).collect();
        for work in gone {
            let later = self.taken_out(&work);
            let earlier = self.aside.remove(&work).unwrap_or_default();
            self.put_aside_of(work, earlier.with(later));
        }
        self.hand_rules_on();
    }

    /// A rule that sleeps lies with the first of its works, by id, that is not played: it wakes with the last that comes back.
    fn hand_rules_on(&mut self) {
        let asleep: Vec<LineRule> =
            self.aside.values_mut().flat_map(|aside| std::mem::take(&mut aside.rules)).collect();
        for rule in asleep {
            let keeper = rule.works().min_by_key(|work| (self.plays(work), *work)).cloned();
            let Some(keeper) = keeper else { continue };
            let with = &mut self.aside.entry(keeper).or_default().rules;
            if !with.contains(&rule) {
                with.push(rule);
            }
        }
        self.drop_empty();
    }

    /// Takes out all that a work has; what it alone used leaves the floor with it.
    pub(crate) fn taken_out(&mut self, work: &WorkId) -> Aside {
        let (lines, others) =
            std::mem::take(&mut self.assignments).into_iter().partition(|(at, _)| at.work == *work);
        self.assignments = others;
        let (rules, others) =
            std::mem::take(&mut self.rules).into_iter().partition(|rule| rule.works().any(|id| id == work));
        self.rules = others;
        let mut aside = Aside {
            lines,
            rules,
            own: self.setup.own.remove(work).unwrap_or_default(),
            base: BTreeMap::new(),
        };
        let used: BTreeSet<&InstrumentId> = self.assignments.values().flat_map(Assignment::uses).collect();
        let alone: BTreeSet<&InstrumentId> =
            aside.lines.values().flat_map(Assignment::uses).filter(|id| !used.contains(id)).collect();
        for id in alone {
            let elsewhere = self.setup.own.values().any(|own| own.placements.contains_key(id));
            let bears = self
                .setup
                .borne_by(id)
                .any(|thing| self.setup.base.contains_key(thing) && used.contains(thing));
            if !elsewhere
                && !bears
                && let Some(place) = self.setup.base.remove(id)
            {
                aside.base.insert(id.clone(), place);
            }
        }
        aside
    }

    /// Forgets a work: what it has and what was put aside of it.
    pub(crate) fn forget_work(&mut self, work: &WorkId) {
        self.works.retain(|id| id != work);
        drop(self.taken_out(work));
        self.drop_aside(work);
    }

    /// Forgets a line, also where it was put aside.
    pub(crate) fn forget_line(&mut self, line: &LineRef) {
        self.assignments.remove(line);
        self.rules.retain(|rule| !rule.is_about(line));
        if let Some(aside) = self.aside.get_mut(&line.work) {
            aside.lines.remove(line);
        }
        // A rule that sleeps may lie with the other of its works.
        for aside in self.aside.values_mut() {
            aside.rules.retain(|rule| !rule.is_about(line));
        }
        self.drop_empty();
    }

    /// Forgets an instrument, also where it was put aside.
    pub(crate) fn forget_instrument(&mut self, id: &InstrumentId) {
        self.setup.forget(id);
        for aside in self.aside.values_mut() {
            aside.base.remove(id);
            aside.own.placements.remove(id);
            aside.own.away.remove(id);
        }
        self.drop_empty();
        self.change_assignments(|given| {
            given.instruments.retain(|used| used != id);
            given.drums.retain(|pin| pin.instrument != *id);
            given.instead.retain(|_, how| !matches!(how, Instead::On(on) if on == id));
        });
    }

    /// Gives a work that is played what was put aside: to lines that have nothing now, and to places that are free.
    pub(crate) fn take_up(&mut self, work: &WorkId) {
        if !self.plays(work) {
            return;
        }
        let Some(aside) = self.aside.remove(work) else { return };
        for (line, given) in aside.lines {
            self.assignments.entry(line).or_insert(given);
        }
        for rule in aside.rules.into_iter().filter(|rule| rule.works().all(|id| self.works.contains(id))) {
            if !self.rules.contains(&rule) {
                self.rules.push(rule);
            }
        }
        for (id, place) in aside.base {
            let number = self.setup.number_again(&id, place.number);
            self.setup.base.entry(id).or_insert(Placement { number, ..place });
        }
        if !self.setup.own.contains_key(work) {
            for (id, place) in aside.own.placements {
                let number = self.setup.number_again(&id, place.number);
                self.setup.change_for(work, |own| {
                    own.placements.insert(id, Placement { number, ..place });
                });
            }
            self.setup.change_for(work, |own| own.away = aside.own.away);
        }
    }

    /// Forgets what was put aside of a work, and the rules that sleep and speak of it.
    pub(crate) fn drop_aside(&mut self, work: &WorkId) {
        self.aside.remove(work);
        for aside in self.aside.values_mut() {
            aside.rules.retain(|rule| rule.works().all(|id| id != work));
        }
        self.drop_empty();
    }

    fn drop_empty(&mut self) {
        self.aside.retain(|_, aside| !aside.is_empty());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::Point;
    use crate::id::PlayerId;
    use crate::sample::{at, programme};

    fn id(id: &str) -> InstrumentId {
        InstrumentId::new(id).unwrap()
    }

    fn w(id: &str) -> WorkId {
        WorkId::new(id).unwrap()
    }

    fn given(thing: &str) -> Assignment {
        let player = PlayerId::new("a").ok();
        Assignment { player, instruments: vec![id(thing)], ..Assignment::default() }
    }

    fn place(number: u32) -> Placement {
        Placement { at: Point::new(f64::from(number), 1.0), turn_deg: 0.0, number, locked: false }
    }

    /// `w` on a gong and a drum, `v` on the drum; a table that nobody plays.
    fn two() -> Programme {
        let mut two = programme("p", &["w", "v"]);
        two.assign(at("w", "gong"), given("gong"));
        two.assign(at("w", "drum"), given("drum"));
        two.assign(at("v", "drum"), given("drum"));
        for (thing, number) in [("gong", 1), ("drum", 2), ("table", 3)] {
            two.setup.stand(id(thing), place(number));
        }
        two.setup.change_for(&w("w"), |own| {
            own.placements.insert(id("drum"), Placement { number: 2, ..place(7) });
        });
        two.rules.push(LineRule::Apart(at("w", "gong"), at("w", "drum")));
        two
    }

    fn without_w() -> Programme {
        let mut one = two();
        one.works = vec![w("v")];
        one.settle();
        one
    }

    #[test]
    fn what_a_work_had_is_counted_no_more() {
        let one = without_w();
        assert_eq!(one.lines().count(), 1);
        let things: Vec<String> = one.instruments().iter().map(ToString::to_string).collect();
        assert_eq!(
            things,
            ["drum", "table"],
            "the gong leaves with its work, the table that nobody plays stays"
        );
        assert!(one.rules.is_empty() && one.setup.own.is_empty());
        assert_eq!(one.aside(&w("w")).map(|aside| (aside.lines.len(), aside.places())), Some((2, 2)));
    }

    #[test]
    fn it_comes_back_when_asked_for_and_not_before() {
        let mut back = without_w();
        back.works = vec![w("w"), w("v")];
        back.settle();
        assert_eq!(back.given(&at("w", "gong")), None);
        back.take_up(&w("w"));
        assert_eq!(back, two());
    }

    #[test]
    fn what_was_assigned_anew_stays() {
        let mut back = without_w();
        back.works = vec![w("w"), w("v")];
        back.assign(at("w", "gong"), given("tam-tam"));
        back.take_up(&w("w"));
        assert_eq!(back.assignment(&at("w", "gong")), given("tam-tam"));
        assert_eq!(back.assignment(&at("w", "drum")), given("drum"));
    }

    /// Two works leave one after the other with the same gong, each from its own place; a gong that is put on the floor afterwards
    /// stays there.
    #[test]
    fn what_two_works_had_of_one_instrument_keeps_both_places() {
        let mut one = without_w();
        one.works = vec![w("v"), w("x")];
        one.assign(at("x", "gong"), given("gong"));
        one.setup.stand(id("gong"), place(8));
        one.works = vec![w("v")];
        one.settle();
        let places: Vec<f64> = one.put_aside().values().map(|aside| aside.base[&id("gong")].at.x).collect();
        assert_eq!(places, [1.0, 8.0]);
        one.setup.stand(id("gong"), place(9));
        let mut again = one.clone();
        again.settle();
        assert_eq!(again, one, "it was put there since");
    }

    /// What was never asked for is not lost when the work leaves again with something new.
    #[test]
    fn what_was_not_asked_for_lies_under_what_came_later() {
        let mut one = without_w();
        one.works = vec![w("w"), w("v")];
        one.settle();
        one.assign(at("w", "gong"), given("tam-tam"));
        one.works = vec![w("v")];
        one.settle();
        let aside = one.aside(&w("w")).unwrap();
        assert_eq!(aside.lines[&at("w", "gong")], given("tam-tam"));
        assert_eq!(aside.lines[&at("w", "drum")], given("drum"));
        assert_eq!((aside.places(), aside.rules.len()), (2, 1));
    }

    /// A rule sleeps with the first of its works that is away, whichever left first, and wakes with the last that comes back.
    #[test]
    fn a_rule_between_two_works_outlives_both() {
        let mut one = two();
        one.rules = vec![LineRule::Apart(at("w", "gong"), at("v", "drum"))];
        let gone = |first: &str, then: &str| {
            let mut one = one.clone();
            one.works.retain(|id| id.as_str() != first);
            one.settle();
            one.works.retain(|id| id.as_str() != then);
            one.settle();
            one
        };
        let rules = |one: &Programme| {
            one.aside.iter().map(|(work, aside)| (work.to_string(), aside.rules.len())).collect::<Vec<_>>()
        };
        assert_eq!(rules(&gone("w", "v")), rules(&gone("v", "w")));
        let mut back = gone("v", "w");
        for work in ["w", "v"] {
            back.works.push(w(work));
            back.settle();
            back.take_up(&w(work));
        }
        assert_eq!(back.rules, one.rules);
        let mut dropped = gone("w", "v");
        dropped.drop_aside(&w("w"));
        assert!(
            rules(&dropped).iter().all(|(work, rules)| work == "v" && *rules == 0),
            "it spoke of what is forgotten"
        );
        let mut not_played = gone("w", "v");
        not_played.take_up(&w("w"));
        assert_eq!(not_played, gone("w", "v"), "what is not played takes nothing up");
    }

    #[test]
    fn a_number_that_is_taken_meanwhile_is_not_given_twice() {
        let mut back = without_w();
        back.works = vec![w("w"), w("v")];
        back.setup.stand(id("bell"), place(1));
        back.take_up(&w("w"));
        assert_eq!((back.number_of(&id("bell")), back.number_of(&id("gong"))), (Some(1), Some(4)));
    }

    /// What stands for the work alone is numbered anew as well, and a thing bears one number wherever it stands.
    #[test]
    fn a_work_s_own_things_come_back_with_free_numbers() {
        let mut one = two();
        one.setup.change_for(&w("w"), |own| {
            own.placements.insert(id("bell"), place(5));
            own.placements.insert(id("gong"), Placement { number: 1, ..place(8) });
        });
        one.works = vec![w("v")];
        one.settle();
        one.works = vec![w("w"), w("v")];
        one.setup.stand(id("cymbal"), place(5));
        one.setup.stand(id("triangle"), place(1));
        one.take_up(&w("w"));
        let on_w = one.setup.of_work(&w("w"));
        let numbers: Vec<(&str, u32)> = on_w.iter().map(|(id, place)| (id.as_str(), place.number)).collect();
        assert_eq!(
            numbers,
            [("bell", 6), ("cymbal", 5), ("drum", 2), ("gong", 4), ("table", 3), ("triangle", 1)]
        );
        assert_eq!(one.number_of(&id("gong")), Some(4));
        assert_eq!(one.setup.base[&id("gong")].number, 4, "one number a thing");
    }

    /// What stands for another work too, or bears what is still used, stays on the floor when its work is taken out.
    #[test]
    fn what_others_need_stays_on_the_floor() {
        let floor = |change: &dyn Fn(&mut Programme)| {
            let mut one = two();
            change(&mut one);
            one.works = vec![w("v")];
            one.settle();
            one.setup.base.keys().map(ToString::to_string).collect::<Vec<_>>()
        };
        assert_eq!(floor(&|_| ()), ["drum", "table"]);
        let elsewhere = floor(&|one| {
            one.setup.change_for(&w("v"), |own| {
                own.placements.insert(id("gong"), place(9));
            });
        });
        assert_eq!(elsewhere, ["drum", "gong", "table"]);
        let bears = |thing: &str| {
            floor(&|one: &mut Programme| {
                one.setup.lies_on.insert(id(thing), id("gong"));
            })
        };
        assert_eq!(bears("drum"), ["drum", "gong", "table"], "it bears what v uses");
        assert_eq!(bears("table"), ["drum", "table"], "nobody uses that");
    }

    /// Rules come back once, with all of their works; a work's own floor comes back where it has none by now.
    #[test]
    fn rules_and_floors_come_back_once() {
        let mut back = without_w();
        back.works = vec![w("w"), w("v")];
        back.rules.push(LineRule::Apart(at("w", "gong"), at("w", "drum")));
        back.setup.change_for(&w("w"), |own| {
            own.placements.insert(id("bell"), place(8));
        });
        back.take_up(&w("w"));
        assert_eq!(back.rules.len(), 1);
        assert_eq!(back.setup.own[&w("w")].placements.keys().collect::<Vec<_>>(), [&id("bell")]);
        let mut between = two();
        between.rules = vec![LineRule::Apart(at("w", "gong"), at("u", "x"))];
        between.works = vec![w("v")];
        between.settle();
        between.works = vec![w("w"), w("v")];
        between.take_up(&w("w"));
        assert!(between.rules.is_empty(), "the other work of the rule is not played");
    }

    /// A line or an instrument that is gone is gone where things were put aside as well; others stay.
    #[test]
    fn what_is_forgotten_is_forgotten_aside() {
        let mut one = without_w();
        one.aside.get_mut(&w("w")).unwrap().lines.get_mut(&at("w", "drum")).unwrap().instead = [
            (crate::sample::key("C4"), Instead::On(id("gong"))),
            (crate::sample::key("D4"), Instead::LeftOut),
        ]
        .into();
        one.forget_instrument(&id("gong"));
        let aside = one.aside(&w("w")).unwrap();
        assert_eq!((aside.lines.len(), aside.places()), (2, 1), "the drum's own place is left, and its line");
        assert_eq!(aside.lines[&at("w", "gong")].instruments, []);
        let drum = &aside.lines[&at("w", "drum")];
        assert_eq!((drum.instruments.as_slice(), drum.instead.len()), (&[id("drum")][..], 1));
        one.forget_line(&at("w", "gong"));
        let aside = one.aside(&w("w")).unwrap();
        assert_eq!((aside.lines.len(), aside.rules.len()), (1, 0), "the rule spoke of it");
        let mut two = two();
        two.forget_line(&at("v", "drum"));
        assert_eq!((two.lines().count(), two.rules.len()), (2, 1));
        two.forget_work(&w("w"));
        assert_eq!((two.lines().count(), two.works.clone()), (0, vec![w("v")]));
        let mut with_pin = super::tests::two();
        let pin = |thing: &str| crate::week::DrumPin {
            key: crate::sample::key("C3"),
            instrument: id(thing),
            drum: String::new(),
        };
        with_pin
            .assign(at("w", "drum"), Assignment { drums: vec![pin("gong"), pin("drum")], ..given("drum") });
        with_pin.forget_instrument(&id("gong"));
        assert_eq!(with_pin.assignment(&at("w", "drum")).drums, [pin("drum")]);
        let mut empty = without_w();
        for name in ["gong", "drum"] {
            empty.forget_line(&at("w", name));
            empty.forget_instrument(&id(name));
        }
        assert!(empty.aside(&w("w")).is_none(), "nothing is left of it");
        with_pin.drop_aside(&w("w"));
        assert!(with_pin.aside(&w("w")).is_none());
    }

    #[test]
    fn nothing_is_put_aside_of_a_work_that_had_nothing() {
        let mut one = programme("p", &["w"]);
        one.works.clear();
        one.settle();
        assert!(one.aside(&w("w")).is_none() && Aside::default().is_empty());
    }
}
