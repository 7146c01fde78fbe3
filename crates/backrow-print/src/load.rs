//! The load list: room by room, in the order of loading, every piece that is carried, with boxes to tick.
//!
//! Sums, their roundings and what is an estimate come in the data.

use serde::{Deserialize, Serialize};

use crate::error::PrintError;
use crate::sheet::{Head, Paper};

/// Everything that a load list shows.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct LoadSheet {
    /// Whose programme, where, when, which version.
    pub head: Head,
    /// From where to where, "store to stage"; may be empty.
    pub way: String,
    /// When, in words: "Mon 12 Oct: start 08:30, on stage 09:30"; may be empty.
    pub when: String,
    /// What is ticked for each piece, the words over the boxes: "out", "on".
    pub ticks: Vec<String>,
    /// Lines to sign at the end: "out of store", "on stage".
    pub signed: Vec<String>,
    /// Pieces in all.
    pub pieces: u32,
    /// Mass in all; `None` when nothing of it is known.
    pub mass: Option<Mass>,
    /// Floor of it all in a truck or wing, square metres, each thing set up; `None` when there is nothing.
    pub floor_m2: Option<f64>,
    /// What the piece that asks most asks for: "2 people at most", "lifting gear and qualified people".
    pub people: String,
    /// Rooms in the order of loading.
    pub rooms: Vec<LoadRoom>,
    /// Sentences for the foot (see [`crate::caution`]): give at least [`crate::caution::MASS`] and [`crate::caution::LIFT`].
    pub cautions: Vec<String>,
    /// The sums at its head, or when it is, differ from the version that this one replaces.
    #[serde(default)]
    pub changed: bool,
}

/// A mass as it is printed.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Mass {
    /// Kilograms, rounded as they are to be shown: whole from 10 kg, one decimal below.
    pub kg: f64,
    /// An estimate, or a sum that holds one: printed with "about".
    pub estimate: bool,
}

/// A room of the store, or a hirer's van.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct LoadRoom {
    /// Its name.
    pub name: String,
    /// Where it is and how one gets in and out: "basement; lift 1.20 × 2.20 m"; may be empty.
    pub place: String,
    /// Pieces in it.
    pub pieces: u32,
    /// Their mass; `None` when nothing of it is known.
    pub mass: Option<Mass>,
    /// In the order of loading.
    pub things: Vec<LoadThing>,
}

/// An instrument or other thing, and the pieces that it comes apart into.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct LoadThing {
    /// Its place in the order of loading, numbered through the whole list.
    pub order: u32,
    /// Its ring on the plan, "11", "a–d"; empty when it has none.
    pub number: String,
    /// Its name.
    pub name: String,
    /// The instrument's id; empty for what is none.
    #[serde(default)]
    pub id: String,
    /// A picture of it as SVG; empty for none.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub picture: String,
    /// Mass of all its pieces; `None` when not known.
    pub mass: Option<Mass>,
    /// Which bars are taken when not all are: "these 8 of 25: G2 B♭2 C3"; else empty.
    pub only: String,
    /// Care for the whole of it, with the care sign: "tall: mind door 4, 2.05 m"; may be empty.
    pub care: String,
    /// Hire and the like: "hire, comes Mon 08:00, back Fri 16 Oct"; may be empty.
    pub remark: String,
    /// It differs from the version that this one replaces.
    #[serde(default)]
    pub changed: bool,
    /// What is carried, at least one.
    pub pieces: Vec<Piece>,
}

/// What is carried at once, or several of the same.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Piece {
    /// How many.
    pub count: u32,
    /// What it is.
    pub what: String,
    /// Mass of one, printed when there are several; `None` when not known.
    pub each: Option<Mass>,
    /// Mass of them all; `None` when not known.
    pub mass: Option<Mass>,
    /// People for one: "2"; "gear" where people are not offered; "?" where nothing is known; empty for what is small and light,
    /// which is listed without masses.
    pub people: String,
    /// People do not lift it: in bold, white on black.
    pub gear: bool,
    /// "own, 4", "pallet truck"; "–" for none.
    pub wheels: String,
    /// Care words; may be empty.
    pub care: String,
    /// The care words are a warning: bold, with the care sign.
    pub warn: bool,
}

/// What the template reads.
#[derive(Debug, Serialize)]
pub(crate) struct Laid<'a> {
    paper: Paper,
    across: bool,
    sheet: &'a LoadSheet,
}

impl<'a> Laid<'a> {
    /// Lays `sheet` on `paper`; refuses a mass that is no number.
    pub(crate) fn new(sheet: &'a LoadSheet, paper: Paper) -> Result<Self, PrintError> {
        let sound = |mass: &Option<Mass>| mass.is_none_or(|m| (0.0..1e7).contains(&m.kg));
        let fail = |what: String| Err(PrintError::Measure { what: format!("{what}: its mass in kg") });
        if !sound(&sheet.mass) {
            return fail("the whole load".to_owned());
        }
        for room in &sheet.rooms {
            if !sound(&room.mass) {
                return fail(room.name.clone());
            }
            if let Some(thing) = room
                .things
                .iter()
                .find(|t| !sound(&t.mass) || !t.pieces.iter().all(|p| sound(&p.each) && sound(&p.mass)))
            {
                return fail(format!("{} {}", thing.order, thing.name));
            }
        }
        Ok(Self { paper, across: false, sheet })
    }
}
