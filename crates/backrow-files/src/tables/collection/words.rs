//! Words in cells, in English, German, French and Italian, for what the program has words of its own for. Common practice,
//! without a source.

use backrow_core::collection::{Hardness, Head, Layout, Material};
use backrow_core::id::slug_of;

/// The first of these whose words hold the cell's whole word, or else a part of it.
fn found<T: Copy>(cell: &str, all: &[(T, &[&str])]) -> Option<T> {
    let cell = slug_of(cell);
    let whole = all.iter().find(|(_, words)| words.contains(&cell.as_str()));
    let in_part = || {
        all.iter().find(|(_, words)| {
            words.iter().any(|word| word.len() > 3 && cell.split('-').any(|part| part.starts_with(word)))
        })
    };
    whole.or_else(in_part).map(|(value, _)| *value)
}

/// Whether a cell says yes: "yes", "x", "ja", "oui", "sì", "1".
pub(super) fn yes(cell: &str) -> bool {
    matches!(
        slug_of(cell).as_str(),
        "yes" | "y" | "true" | "1" | "x" | "ja" | "j" | "wahr" | "oui" | "o" | "vrai" | "si" | "vero"
    ) || matches!(cell.trim(), "✓" | "✔")
}

/// Whether an owner's word says that it is the orchestra's own.
pub(super) fn ours(cell: &str) -> bool {
    matches!(
        slug_of(cell).as_str(),
        "ours"
            | "own"
            | "us"
            | "house"
            | "orchestra"
            | "the-orchestra"
            | "orchestra-s"
            | "the-house"
            | "haus"
            | "orchester"
            | "eigen"
            | "eigenes"
            | "eigentum"
            | "unser"
            | "unseres"
            | "orchestereigentum"
            | "orchestre"
            | "maison"
            | "propre"
            | "a-nous"
            | "nous"
            | "nostro"
            | "nostri"
            | "proprio"
            | "di-casa"
    )
}

/// The word of an outline, [`backrow_core::collection::Shape::word`].
pub(super) fn outline(cell: &str) -> Option<&'static str> {
    found(
        cell,
        &[
            ("keyboard", &["keyboard", "trapezoid", "klaviatur", "trapez", "clavier", "tastiera"]),
            ("hung in a stand", &["hung-in-a-stand", "hung", "hangend", "suspendu", "appeso"]),
            ("round", &["round", "rund", "rond", "tondo", "rotondo"]),
            (
                "table, stand or rack",
                &["table-stand-or-rack", "table", "stand", "rack", "box", "tisch", "tavolo"],
            ),
        ],
    )
}

pub(super) fn layout(cell: &str) -> Option<Layout> {
    found(
        cell,
        &[
            (
                Layout::TwoRows,
                &["two-rows", "2-rows", "two", "2", "zweireihig", "deux-rangs", "due-file", "chromatic"],
            ),
            (
                Layout::OneRow,
                &["one-row", "1-row", "one", "1", "einreihig", "un-rang", "una-fila", "diatonic"],
            ),
            (Layout::Rack, &["rack", "stand", "gestell", "portique", "rastrelliera", "telaio"]),
            (Layout::Drums, &["drums", "drum", "trommeln", "tambours", "tamburi", "kessel"]),
        ],
    )
}

pub(super) fn material(cell: &str) -> Option<Material> {
    found(
        cell,
        &[
            (Material::Rosewood, &["rosewood", "palisander", "palissandre", "palissandro"]),
            (Material::Padauk, &["padauk", "padouk"]),
            (
                Material::Synthetic,
                &[
                    "synthetic",
                    "synthetisch",
                    "kunststoff",
                    "fibreglass",
                    "fiberglass",
                    "glasfaser",
                    "synthetique",
                    "sintetico",
                    "plastic",
                    "plastik",
                    "plastique",
                    "plastica",
                ],
            ),
            (Material::Aluminium, &["aluminium", "aluminum", "alu", "alluminio"]),
            (Material::Steel, &["steel", "stahl", "acier", "acciaio", "iron", "eisen", "fer", "ferro"]),
            (Material::Brass, &["brass", "messing", "laiton", "ottone"]),
            (Material::Bronze, &["bronze", "bronzo", "b20", "b8"]),
            (
                Material::Skin,
                &[
                    "skin",
                    "calf",
                    "calfskin",
                    "goat",
                    "fell",
                    "naturfell",
                    "kalbfell",
                    "ziegenfell",
                    "peau",
                    "pelle",
                ],
            ),
            (
                Material::Wood,
                &["wood", "holz", "bois", "legno", "maple", "ahorn", "birch", "birke", "oak", "beech"],
            ),
            (Material::Glass, &["glass", "glas", "verre", "vetro", "crystal"]),
            (Material::Mixed, &["mixed", "various", "gemischt", "verschieden", "mixte", "misto", "vario"]),
        ],
    )
}

pub(super) fn head(cell: &str) -> Option<Head> {
    found(
        cell,
        &[
            (Head::Yarn, &["yarn", "wool", "garn", "wolle", "laine", "lana", "filato"]),
            (Head::Cord, &["cord", "kordel", "schnur", "corde", "corda", "cordage"]),
            (Head::Felt, &["felt", "filz", "feutre", "feltro", "flannel", "flanell"]),
            (Head::Fleece, &["fleece", "fell", "lambswool", "lammfell", "mouton", "fleece-covered", "pile"]),
            (Head::Leather, &["leather", "leder", "cuir", "cuoio", "chamois"]),
            (Head::Rubber, &["rubber", "gummi", "caoutchouc", "gomma"]),
            (
                Head::Plastic,
                &[
                    "plastic",
                    "plastik",
                    "kunststoff",
                    "nylon",
                    "acrylic",
                    "plastique",
                    "plastica",
                    "phenolic",
                ],
            ),
            (Head::Wood, &["wood", "wooden", "holz", "bois", "legno", "hickory", "maple", "rattan"]),
            (Head::Rawhide, &["rawhide", "rohhaut", "rohleder", "cuir-brut", "pelle-grezza"]),
            (Head::Brass, &["brass", "messing", "laiton", "ottone"]),
            (Head::Steel, &["steel", "metal", "stahl", "metall", "acier", "acciaio", "metallo", "iron"]),
            (Head::Bow, &["bow", "bogen", "archet", "arco", "archetto"]),
            (Head::Brush, &["brush", "brushes", "besen", "balai", "balais", "spazzole", "spazzola"]),
            (Head::Hand, &["hand", "hands", "main", "mano", "fingers"]),
            (
                Head::Glove,
                &["glove", "gloves", "handschuh", "handschuhe", "gant", "gants", "guanto", "guanti"],
            ),
        ],
    )
}

pub(super) fn hardness(cell: &str) -> Option<Hardness> {
    found(
        cell,
        &[
            (
                Hardness::VerySoft,
                &["very-soft", "vs", "extra-soft", "sehr-weich", "tres-doux", "molto-morbido", "super-soft"],
            ),
            (Hardness::VeryHard, &["very-hard", "vh", "extra-hard", "sehr-hart", "tres-dur", "molto-duro"]),
            (
                Hardness::Medium,
                &["medium", "med", "m", "mittel", "moyen", "medio", "medium-soft", "medium-hard", "ms", "mh"],
            ),
            (Hardness::Soft, &["soft", "s", "weich", "doux", "morbido", "piano"]),
            (Hardness::Hard, &["hard", "h", "hart", "dur", "dure", "duro"]),
        ],
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn own_words_and_those_of_four_languages() {
        for one in Material::ALL {
            assert_eq!(material(one.word()), Some(one));
        }
        for one in Layout::ALL {
            assert_eq!(layout(one.word()), Some(one));
        }
        for one in Head::ALL {
            assert_eq!(head(one.word()), Some(one));
        }
        for one in Hardness::ALL {
            assert_eq!(hardness(one.word()), Some(one));
        }
        assert_eq!(material("Palisander, neu"), Some(Material::Rosewood));
        assert_eq!(head("Gummikopf"), Some(Head::Rubber));
        assert_eq!((material("unobtainium"), hardness("")), (None, None));
        assert!(yes("Oui") && yes("✓") && !yes("no") && !yes(""));
    }
}
