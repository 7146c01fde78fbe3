//! A sheet's data, whatever its form: what is hashed, remembered, compared and set.

use backrow_print::labels::LabelsSheet;
use backrow_print::list::ListSheet;
use backrow_print::load::LoadSheet;
use backrow_print::plan::PlanSheet;
use backrow_print::player::PlayerSheet;
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
}
