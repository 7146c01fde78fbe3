//! The sorts of sheets, one row each: from this list come what a programme prints, what the whole library prints, and the words that
//! the command line takes. The compiler asks for each sort's sheets, and for the sort of each sheet.

use super::{Sheet, bells, questions, work_plan};
use backrow_core::id::{PlayerId, ProgrammeId, WorkId};
use backrow_core::library::Library;
use backrow_core::loads::Way;
use backrow_core::week::Programme;

macro_rules! sorts {
    ($($sort:ident, $word:literal;)*) => {
        /// What a sheet is, whatever work or player it is of; in the order in which sheets are handed out.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        #[expect(missing_docs, reason = "those of the sheets")]
        pub enum Sort {
            $($sort,)*
        }

        impl Sort {
            /// All, in the order in which they are handed out.
            pub const ALL: &[Self] = &[$(Self::$sort,)*];

            /// The word of its sheets on the command line; what stands in capitals is an id.
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$sort => $word,)*
                }
            }
        }
    };
}

sorts! {
    Overview, "overview";
    Summary, "summary";
    PlayerGrid, "player-grid";
    Questions, "questions";
    Plan, "stage-plan";
    WorkPlan, "stage-plan-WORK";
    CrewPlan, "crew-plan";
    Player, "player-ID";
    Load, "load-store-to-stage";
    Hires, "hires";
    Bells, "bells";
    Memory, "tried-WORK";
    Season, "season";
    Tuner, "tuner";
    Workshop, "workshop";
    CareYear, "care";
    Labels, "labels";
    AllLabels, "labels-all";
    Keys, "keys";
}

/// To whom the sheets of a sort belong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Belongs {
    /// To one programme, and handed out with its other sheets.
    Programme,
    /// To the whole library; printed on wish.
    Library,
    /// To the window, which makes it.
    Window,
}

impl Sort {
    /// To whom its sheets belong.
    pub const fn belongs(self) -> Belongs {
        match self {
            Self::Overview
            | Self::Summary
            | Self::PlayerGrid
            | Self::Questions
            | Self::Plan
            | Self::WorkPlan
            | Self::CrewPlan
            | Self::Player
            | Self::Load
            | Self::Hires
            | Self::Bells
            | Self::Memory => Belongs::Programme,
            Self::Season | Self::Tuner | Self::Workshop | Self::CareYear | Self::Labels | Self::AllLabels => {
                Belongs::Library
            }
            Self::Keys => Belongs::Window,
        }
    }

    /// Its sheets for a programme: none where there is nothing to say.
    pub(super) fn sheets(self, library: &Library, programme: &Programme) -> Vec<Sheet> {
        let one_if = |is: bool, sheet: Sheet| is.then_some(sheet).into_iter().collect();
        match self {
            Self::Overview => vec![Sheet::Overview],
            Self::Summary => vec![Sheet::Summary],
            Self::PlayerGrid => vec![Sheet::PlayerGrid],
            Self::Questions => one_if(questions::are_open(library, programme), Sheet::Questions),
            Self::Plan => vec![Sheet::Plan],
            Self::WorkPlan => {
                work_plan::works_with_plans(programme).into_iter().cloned().map(Sheet::WorkPlan).collect()
            }
            Self::CrewPlan => vec![Sheet::CrewPlan],
            Self::Player => {
                let players = library.roster().into_iter().map(|player| &player.id);
                let plays = |id: &&PlayerId| programme.has_lines_for(id);
                players.filter(plays).cloned().map(Sheet::Player).collect()
            }
            Self::Load => Way::ALL.map(Sheet::Load).to_vec(),
            Self::Hires => vec![Sheet::Hires],
            Self::Bells => one_if(bells::has_bells(library, programme), Sheet::Bells),
            Self::Memory => {
                let remembers =
                    |id: &&WorkId| library.works.get(*id).is_some_and(|work| !work.memory.is_empty());
                let works = programme.works_in_order().map(|(_, work)| work);
                works.filter(remembers).cloned().map(Sheet::Memory).collect()
            }
            Self::Season => vec![Sheet::Season],
            Self::Tuner => vec![Sheet::Tuner],
            Self::Workshop => vec![Sheet::Workshop],
            Self::CareYear => vec![Sheet::CareYear],
            Self::Labels => vec![Sheet::Labels],
            Self::AllLabels => vec![Sheet::AllLabels],
            // It carries the window's keys.
            Self::Keys => Vec::new(),
        }
    }

    /// What the command line says of its words.
    pub fn all_words() -> String {
        Self::ALL.iter().map(|sort| sort.word()).collect::<Vec<_>>().join(", ")
    }
}

impl Sheet {
    /// What it is, whatever work or player it is of.
    pub const fn sort(&self) -> Sort {
        match self {
            Self::Overview => Sort::Overview,
            Self::Summary => Sort::Summary,
            Self::PlayerGrid => Sort::PlayerGrid,
            Self::Questions => Sort::Questions,
            Self::Plan => Sort::Plan,
            Self::WorkPlan(_) => Sort::WorkPlan,
            Self::CrewPlan => Sort::CrewPlan,
            Self::Player(_) => Sort::Player,
            Self::Load(_) => Sort::Load,
            Self::Hires => Sort::Hires,
            Self::Bells => Sort::Bells,
            Self::Memory(_) => Sort::Memory,
            Self::Season => Sort::Season,
            Self::Tuner => Sort::Tuner,
            Self::Workshop => Sort::Workshop,
            Self::CareYear => Sort::CareYear,
            Self::Labels => Sort::Labels,
            Self::AllLabels => Sort::AllLabels,
            Self::Keys(_) => Sort::Keys,
        }
    }

    /// Every sheet of a programme, in the order in which they are handed out; without [`Self::of_all`] and the map of keys.
    pub fn of(library: &Library, programme: &Programme) -> Vec<Self> {
        let sorts = Sort::ALL.iter().filter(|sort| sort.belongs() == Belongs::Programme);
        sorts.flat_map(|sort| sort.sheets(library, programme)).collect()
    }

    /// The sheets of the whole library, which belong to no programme, in their order.
    pub fn of_all() -> Vec<Self> {
        let none = Programme::new(ProgrammeId::fresh("none", |_| false), "");
        let sorts = Sort::ALL.iter().filter(|sort| sort.belongs() == Belongs::Library);
        sorts.flat_map(|sort| sort.sheets(&Library::default(), &none)).collect()
    }

    /// Whether it belongs to a programme, and is handed out with its other sheets.
    pub const fn is_of_a_programme(&self) -> bool {
        matches!(self.sort().belongs(), Belongs::Programme)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sheet_comes_from_its_own_sort_and_bears_its_word() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
        let kinds = backrow_files::kinds::standard().expect("the kinds table");
        let library = backrow_files::library::open(&folder, &kinds).library;
        let mut seen: Vec<Sort> = vec![Sort::Keys];
        for (_, programme) in library.programmes() {
            for sort in Sort::ALL {
                for sheet in sort.sheets(&library, programme) {
                    assert_eq!(sheet.sort(), *sort, "{sheet:?}");
                    let beginning = sort.word().trim_end_matches(char::is_uppercase);
                    let beginning = if *sort == Sort::Load { "load-" } else { beginning };
                    assert!(sheet.word().starts_with(beginning), "{sheet:?}: {}", sheet.word());
                    seen.push(*sort);
                }
            }
        }
        assert!(Sort::ALL.iter().all(|sort| seen.contains(sort)), "the demo shows every sort: {seen:?}");
    }
}
