//! A player's sheet laid on its paper.

use serde::Serialize;

use crate::error::PrintError;
use crate::plan::{Drawing, PlanSheet};
use crate::sheet::Paper;

use super::keyboard::{self, Line};
use super::{Keyboard, KeyboardLayout, PlayerSheet, Step};

/// The room of the small plan, millimetres.
const PLAN_MM: (f64, f64) = (176.0, 52.0);
/// The room of that of one work.
const WORK_PLAN_MM: (f64, f64) = (176.0, 40.0);

/// What the template reads.
#[derive(Debug, Serialize)]
pub(crate) struct Laid<'a> {
    paper: Paper,
    across: bool,
    sheet: &'a PlayerSheet,
    /// The lines of each keyboard; none for a rack.
    lines: Vec<Vec<Line<'a>>>,
    /// The small plan.
    plan: Option<Drawing<'a>>,
    /// That of each work, where there is one.
    work_plans: Vec<Option<Drawing<'a>>>,
}

impl<'a> Laid<'a> {
    /// Lays `sheet` on `paper`.
    pub(crate) fn new(sheet: &'a PlayerSheet, paper: Paper) -> Result<Self, PrintError> {
        check(sheet)?;
        let lines = sheet.keyboards.iter().map(lines).collect();
        let drawn = |plan: &'a Option<PlanSheet>, room_mm| {
            plan.as_ref().map(|plan| Drawing::within(plan, room_mm)).transpose()
        };
        let plan = drawn(&sheet.plan, PLAN_MM)?;
        let work_plans =
            sheet.works.iter().map(|work| drawn(&work.plan, WORK_PLAN_MM)).collect::<Result<_, _>>()?;
        Ok(Self { paper, across: false, sheet, lines, plan, work_plans })
    }
}

fn lines(keyboard: &Keyboard) -> Vec<Line<'_>> {
    match &keyboard.layout {
        KeyboardLayout::Keys { bars, .. } => {
            keyboard::lines(bars, keyboard.as_written || keyboard.by_octaves)
        }
        KeyboardLayout::Rack { .. } => Vec::new(),
    }
}

/// Refuses seconds and metres that are no numbers, and says where they stand.
fn check(sheet: &PlayerSheet) -> Result<(), PrintError> {
    let sound = |x: f64| x.is_finite() && x.abs() < 1e6;
    for work in &sheet.works {
        for step in work.movements.iter().flat_map(|m| &m.steps) {
            let (what, sound) = match step {
                Step::Play(station) => {
                    (&station.number, station.passages.iter().filter_map(|p| p.has_s).all(sound))
                }
                Step::Move(way) => {
                    let figures = [way.metres, way.has_s, way.needs_s, Some(way.short_s)];
                    (&way.to, figures.into_iter().flatten().all(sound))
                }
            };
            if !sound {
                return Err(PrintError::Measure { what: format!("{}: a figure at {what}", work.title) });
            }
        }
    }
    let habits = &sheet.habits;
    let figures = [
        habits.pace_m_per_s,
        habits.settle_s,
        habits.change_s,
        habits.spare_s,
        habits.default_m.unwrap_or_default(),
    ];
    if figures.into_iter().all(sound) {
        Ok(())
    } else {
        Err(PrintError::Measure { what: "one of the section’s habits".to_owned() })
    }
}
