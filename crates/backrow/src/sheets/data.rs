//! A sheet's data, whatever its form: what is hashed, remembered, compared and set.

use backrow_print::labels::LabelsSheet;
use backrow_print::list::ListSheet;
use backrow_print::load::LoadSheet;
use backrow_print::plan::PlanSheet;
use backrow_print::player::{PlayerSheet, Step};
use backrow_print::{Head, Pages, Paper, Press, PrintError, Templates, Version};
use serde::{Deserialize, Serialize};

/// The data of one sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SheetData {
    /// Tables.
    List(ListSheet),
    /// A plan.
    Plan(Box<PlanSheet>),
    /// A player's sheet.
    Player(Box<PlayerSheet>),
    /// A load list.
    Load(LoadSheet),
    /// Labels.
    Labels(LabelsSheet),
}

impl SheetData {
    /// What stands at its head and foot.
    pub fn head_mut(&mut self) -> &mut Head {
        match self {
            Self::List(sheet) => &mut sheet.head,
            Self::Plan(sheet) => &mut sheet.head,
            Self::Player(sheet) => &mut sheet.head,
            Self::Load(sheet) => &mut sheet.head,
            Self::Labels(sheet) => &mut sheet.head,
        }
    }

    /// Its own template.
    const fn template(&self) -> &'static str {
        match self {
            Self::List(_) => "list.typ",
            Self::Plan(_) => "plan.typ",
            Self::Player(_) => "player.typ",
            Self::Load(_) => "load.typ",
            Self::Labels(_) => "labels.typ",
        }
    }

    /// Whether it may be set with a template of that name: all but those of the other forms.
    pub(super) fn is_set_with(&self, name: &str) -> bool {
        let others = ["list.typ", "plan.typ", "player.typ", "load.typ", "labels.typ"];
        name == self.template() || !others.contains(&name)
    }

    /// Sets it on paper.
    pub(super) fn set(
        &self,
        press: &Press,
        paper: Paper,
        templates: &Templates,
    ) -> Result<Pages, PrintError> {
        match self {
            Self::List(sheet) => press.list(sheet, paper, templates),
            Self::Plan(sheet) => press.plan(sheet, paper, templates),
            Self::Player(sheet) => press.player(sheet, paper, templates),
            Self::Load(sheet) => press.load(sheet, paper, templates),
            Self::Labels(sheet) => press.labels(sheet, paper, templates),
        }
    }

    /// Without version and marks: what the sheet says.
    #[must_use]
    pub(super) fn content(mut self) -> Self {
        self.head_mut().version = Version::default();
        self.each_mark(|changed| *changed = false);
        self
    }

    fn each_mark(&mut self, mut f: impl FnMut(&mut bool)) {
        match self {
            Self::List(sheet) => {
                sheet
                    .sections
                    .iter_mut()
                    .flat_map(|section| &mut section.rows)
                    .for_each(|row| f(&mut row.changed));
            }
            Self::Load(sheet) => {
                sheet
                    .rooms
                    .iter_mut()
                    .flat_map(|room| &mut room.things)
                    .for_each(|thing| f(&mut thing.changed));
            }
            Self::Player(sheet) => {
                let movements = sheet.works.iter_mut().flat_map(|work| &mut work.movements);
                for step in movements.flat_map(|movement| &mut movement.steps) {
                    match step {
                        Step::Play(station) => f(&mut station.changed),
                        Step::Move(way) => f(&mut way.changed),
                    }
                }
            }
            Self::Plan(sheet) => {
                sheet.things.iter_mut().for_each(|thing| f(&mut thing.changed));
                sheet.players.iter_mut().for_each(|player| f(&mut player.changed));
                sheet.changes.iter_mut().for_each(|change| f(&mut change.changed));
            }
            Self::Labels(_) => {}
        }
    }

    /// Marks what was not so in an earlier version of the sheet. Both without marks.
    pub(super) fn mark_changes(&mut self, before: &Self) {
        match (self, before) {
            (Self::List(now), Self::List(before)) => {
                for section in &mut now.sections {
                    let old = before.sections.iter().find(|old| old.title == section.title);
                    for row in &mut section.rows {
                        row.changed = old.is_none_or(|old| !old.rows.contains(row));
                    }
                }
            }
            (Self::Load(now), Self::Load(before)) => {
                for room in &mut now.rooms {
                    let old = before.rooms.iter().find(|old| old.name == room.name);
                    for thing in &mut room.things {
                        // That another thing came before it is no change of its own.
                        let same = |old: &&backrow_print::load::LoadThing| {
                            backrow_print::load::LoadThing {
                                order: thing.order,
                                id: thing.id.clone(),
                                ..(*old).clone()
                            } == *thing
                        };
                        thing.changed = old.is_none_or(|old| old.things.iter().find(same).is_none());
                    }
                }
            }
            (Self::Player(now), Self::Player(before)) => {
                for work in &mut now.works {
                    let old = before.works.iter().find(|old| old.title == work.title);
                    for movement in &mut work.movements {
                        let old = old.and_then(|work| {
                            let same = |old: &&backrow_print::player::PlayerMovement| {
                                (&old.number, &old.title) == (&movement.number, &movement.title)
                            };
                            work.movements.iter().find(same)
                        });
                        for step in &mut movement.steps {
                            let fresh = old.is_none_or(|old| !old.steps.contains(step));
                            match step {
                                Step::Play(station) => station.changed = fresh,
                                Step::Move(way) => way.changed = fresh,
                            }
                        }
                    }
                }
            }
            (Self::Plan(now), Self::Plan(before)) => {
                now.things.iter_mut().for_each(|thing| thing.changed = !before.things.contains(thing));
                now.players.iter_mut().for_each(|player| player.changed = !before.players.contains(player));
                now.changes.iter_mut().for_each(|change| change.changed = !before.changes.contains(change));
            }
            _ => {}
        }
    }
}
