//! How an instrument moves with the temperature: its material's coefficient, or the orchestra's own figure for it.

use crate::collection::Material;
use crate::tuning::drift::{self, ALUMINIUM, BRONZE, Drift, STEEL, UNKNOWN, WOOD};
use std::collections::BTreeMap;

/// The orchestra's own coefficients, parts in a million for each kelvin, where they differ from the table.
pub type Drifts = BTreeMap<Material, f64>;

/// The table's coefficient of a material, with its source.
pub const fn known(material: Material) -> Drift {
    match material {
        Material::Steel => STEEL,
        Material::Aluminium => ALUMINIUM,
        Material::Bronze | Material::Brass => BRONZE,
        Material::Rosewood | Material::Padauk | Material::Wood => WOOD,
        Material::Synthetic | Material::Skin | Material::Glass | Material::Mixed => UNKNOWN,
    }
}

/// The coefficient that counts, parts in a million for each kelvin: the orchestra's own, else the table's; `None` where nobody
/// has a figure.
pub fn coefficient(material: Material, own: &Drifts) -> Option<f64> {
    own.get(&material).copied().or(known(material).ppm_k)
}

/// How far a thing of a material moves from one temperature to another, cents; `None` where nobody has a figure.
pub fn drift_cents(material: Material, own: &Drifts, from_c: f64, to_c: f64) -> Option<f64> {
    Some(drift::cents(coefficient(material, own)?, from_c, to_c))
}
