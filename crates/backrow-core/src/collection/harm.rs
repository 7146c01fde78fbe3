//! Which beaters do damage to which instrument: by its kind, and by what this one is made of. It warns and does not forbid.

use super::{Head, Instrument, Kind, Material};

/// Why a beater may do damage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Harm {
    /// The trade refuses it on the kind.
    Kind,
    /// It is refused on what this instrument is made of.
    Material(Material),
}

/// Whether a head may do damage to an instrument, and why.
///
/// A kind's list is said of the kind's usual material. Where this instrument is made of something else (aluminium bars on a
/// glockenspiel, a synthetic xylophone) the list of that material comes on top.
#[must_use]
pub fn harm(head: Head, kind: Option<&Kind>, thing: Option<&Instrument>) -> Option<Harm> {
    if kind.is_some_and(|kind| kind.harmful.contains(&head)) {
        return Some(Harm::Kind);
    }
    let material = thing?.material;
    let usual = kind.is_some_and(|kind| kind.material == material);
    (!usual && material.harmed_by().contains(&head)).then_some(Harm::Material(material))
}

impl Material {
    /// Heads that do damage to it, whatever the kind. Common practice; of wooden bars seen in makers' maintenance pages
    /// (metal breaks or dents them), of soft aluminium bars in a maker's guide (no heavy brass); the others from memory.
    #[must_use]
    pub const fn harmed_by(self) -> &'static [Head] {
        match self {
            Self::Rosewood | Self::Padauk | Self::Synthetic | Self::Wood | Self::Aluminium | Self::Skin => {
                &[Head::Brass, Head::Steel]
            }
            Self::Glass => &[Head::Plastic, Head::Wood, Head::Rawhide, Head::Brass, Head::Steel],
            // Hard enough for metal, or of too many things to say.
            Self::Steel | Self::Brass | Self::Bronze | Self::Mixed => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::Pitched;
    use crate::sample::{instrument, kind};
    use rstest::rstest;

    #[rstest]
    #[case::usual_on_steel(Material::Steel, Head::Brass, None)]
    #[case::not_on_soft_bars(Material::Aluminium, Head::Brass, Some(Harm::Material(Material::Aluminium)))]
    #[case::plastic_is_fine_on_them(Material::Aluminium, Head::Plastic, None)]
    #[case::by_kind_on_any(Material::Bronze, Head::Bow, Some(Harm::Kind))]
    #[case::wood(Material::Rosewood, Head::Steel, Some(Harm::Material(Material::Rosewood)))]
    #[case::glass(Material::Glass, Head::Wood, Some(Harm::Material(Material::Glass)))]
    #[case::mixed(Material::Mixed, Head::Steel, None)]
    fn by_kind_and_by_material(
        #[case] material: Material,
        #[case] head: Head,
        #[case] expected: Option<Harm>,
    ) {
        let mut glockenspiel = kind("glockenspiel", Pitched::Yes, None);
        glockenspiel.harmful = vec![Head::Bow];
        let mut thing = instrument("g", "glockenspiel", &["G5-C8"]);
        thing.material = material;
        assert_eq!(harm(head, Some(&glockenspiel), Some(&thing)), expected);
    }

    /// A vibraphone's own list says what its usual aluminium bars bear; a mark tree of aluminium is run along with metal.
    #[test]
    fn of_the_usual_material_the_kind_alone_speaks() {
        let mut tree = kind("mark_tree", Pitched::No, None);
        tree.material = Material::Aluminium;
        let mut thing = instrument("m", "mark_tree", &[]);
        thing.material = Material::Aluminium;
        assert_eq!(harm(Head::Steel, Some(&tree), Some(&thing)), None);
        assert_eq!(harm(Head::Steel, None, Some(&thing)), Some(Harm::Material(Material::Aluminium)));
        assert_eq!(harm(Head::Steel, Some(&tree), None), None);
    }
}
