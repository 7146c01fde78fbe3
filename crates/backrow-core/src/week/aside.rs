//! What a work had that is not played any more: kept, never counted, and given back when somebody asks for it.

use super::{Assignment, Instead, LineRef, LineRule, Placement, Programme, WorkSetup};
use crate::id::{InstrumentId, WorkId};
use std::collections::{BTreeMap, BTreeSet};

/// All that a work had in a programme.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Aside {
    /// What its lines were given.
    pub(super) lines: BTreeMap<LineRef, Assignment>,
    /// What assignments had to keep.
    pub(super) rules: Vec<LineRule>,
    /// What differed on the floor for it.
    pub(super) own: WorkSetup,
    /// Where things stood that nothing else in the programme uses.
    pub(super) base: BTreeMap<InstrumentId, Placement>,
}

impl Aside {
    fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// How many lines had been given something.
    pub fn lines(&self) -> usize {
        self.lines.len()
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

    /// Puts aside what works have that are not played; it stays until a work is played again and somebody asks for it.
    /// Readers of files call it: a file holds all in one.
    pub fn settle(&mut self) {
        let lines = self.assignments.keys().map(|line| &line.work);
        let rule = self.rules.iter().flat_map(LineRule::works);
        let all: BTreeSet<WorkId> = lines.chain(self.setup.own.keys()).chain(rule).cloned().collect();
        let gone: Vec<WorkId> = all.into_iter().filter(|work| !self.plays(work)).collect();
        for work in gone {
            let aside = self.taken_out(&work);
            if !aside.is_empty() {
                self.aside.insert(work, aside);
            }
        }
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
        self.aside.remove(work);
    }

    /// Forgets a line, also where it was put aside.
    pub(crate) fn forget_line(&mut self, line: &LineRef) {
        self.assignments.remove(line);
        self.rules.retain(|rule| !rule.is_about(line));
        if let Some(aside) = self.aside.get_mut(&line.work) {
            aside.lines.remove(line);
            aside.rules.retain(|rule| !rule.is_about(line));
        }
    }

    /// Forgets an instrument, also where it was put aside.
    pub(crate) fn forget_instrument(&mut self, id: &InstrumentId) {
        self.setup.forget(id);
        for aside in self.aside.values_mut() {
            aside.base.remove(id);
            aside.own.placements.remove(id);
            aside.own.away.remove(id);
        }
        self.change_assignments(|given| {
            given.instruments.retain(|used| used != id);
            given.drums.retain(|pin| pin.instrument != *id);
            given.instead.retain(|_, how| !matches!(how, Instead::On(on) if on == id));
        });
    }

    /// Gives a work back what was put aside: to lines that have nothing now, and to places that are free.
    pub(crate) fn take_up(&mut self, work: &WorkId) {
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

    /// Forgets what was put aside of a work.
    pub(crate) fn drop_aside(&mut self, work: &WorkId) {
        self.aside.remove(work);
    }

    /// The programme with what is put aside in its old places, as files hold it. What a work had that is played again, and
    /// was not asked for, is left out.
    #[must_use]
    pub fn unsettled(&self) -> Self {
        let mut all = Self { aside: BTreeMap::new(), ..self.clone() };
        for (work, aside) in self.aside.iter().filter(|(work, _)| !self.plays(work)) {
            all.assignments.extend(aside.lines.clone());
            all.rules.extend(aside.rules.clone());
            for (id, place) in &aside.base {
                all.setup.base.entry(id.clone()).or_insert(*place);
            }
            if !aside.own.is_empty() {
                all.setup.own.insert(work.clone(), aside.own.clone());
            }
        }
        all
    }

    /// Every line as files hold it, those of works that are not played too.
    pub fn all_lines(&self) -> &BTreeMap<LineRef, Assignment> {
        &self.assignments
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
        assert!(one.rules.is_empty() && one.setup.own().is_empty());
        assert_eq!(one.aside(&w("w")).map(|aside| (aside.lines(), aside.places())), Some((2, 2)));
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

    #[test]
    fn a_file_holds_all_in_one() {
        let one = without_w();
        let mut read = one.unsettled();
        assert_eq!(read.all_lines().len(), 3);
        read.settle();
        assert_eq!(read, one);
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
        assert_eq!(one.setup.base()[&id("gong")].number, 4, "one number a thing");
    }

    /// What a file holds of works that are not played stands in its old place; what is played again and was not asked for is left out.
    #[test]
    fn a_file_leaves_out_what_nobody_asked_for() {
        let one = without_w();
        let all = one.unsettled();
        assert_eq!((all.setup.base().len(), all.setup.own().len(), all.rules.len()), (3, 1, 1));
        assert!(all.aside(&w("w")).is_none());
        let mut back = one;
        back.works = vec![w("w"), w("v")];
        let read = back.unsettled();
        assert_eq!((read.all_lines().len(), read.setup.base().len(), read.rules.len()), (1, 2, 0));
    }

    /// What stands for another work too, or bears what is still used, stays on the floor when its work is taken out.
    #[test]
    fn what_others_need_stays_on_the_floor() {
        let floor = |change: &dyn Fn(&mut Programme)| {
            let mut one = two();
            change(&mut one);
            one.works = vec![w("v")];
            one.settle();
            one.setup.base().keys().map(ToString::to_string).collect::<Vec<_>>()
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
                one.setup.borne.insert(id(thing), id("gong"));
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
        assert_eq!(back.setup.own()[&w("w")].placements.keys().collect::<Vec<_>>(), [&id("bell")]);
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
        assert_eq!((aside.lines(), aside.places()), (2, 1), "the drum's own place is left, and its line");
        assert_eq!(aside.lines[&at("w", "gong")].instruments, []);
        let drum = &aside.lines[&at("w", "drum")];
        assert_eq!((drum.instruments.as_slice(), drum.instead.len()), (&[id("drum")][..], 1));
        one.forget_line(&at("w", "gong"));
        let aside = one.aside(&w("w")).unwrap();
        assert_eq!((aside.lines(), aside.rules.len()), (1, 0), "the rule spoke of it");
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
