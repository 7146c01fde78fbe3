//! What a part's words fix of a beater: its head, and how hard it is.

use crate::score::plain_tokens;
use backrow_core::choose::Wanted;
use backrow_core::collection::{Hardness, Head};

/// Beginnings of words, folded, of any of the four languages, and the head that they mean. From memory, common practice. The
/// longer beginning wins, so that "handtrommel" may one day be no hand.
const HEADS: &[(&str, Head)] = &[
    ("yarn", Head::Yarn),
    ("wool", Head::Yarn),
    ("woll", Head::Yarn),
    ("garn", Head::Yarn),
    ("lana", Head::Yarn),
    ("laine", Head::Yarn),
    ("cord", Head::Cord),
    ("faden", Head::Cord),
    ("filo", Head::Cord),
    ("fil", Head::Cord),
    ("felt", Head::Felt),
    ("filz", Head::Felt),
    ("feltro", Head::Felt),
    ("feutre", Head::Felt),
    ("sponge", Head::Felt),
    ("spugna", Head::Felt),
    ("eponge", Head::Felt),
    ("schwamm", Head::Felt),
    ("pauken", Head::Felt),
    ("timp", Head::Felt),
    ("timbal", Head::Felt),
    ("fleece", Head::Fleece),
    ("lambswool", Head::Fleece),
    ("leather", Head::Leather),
    ("leder", Head::Leather),
    ("cuoio", Head::Leather),
    ("cuir", Head::Leather),
    ("rubber", Head::Rubber),
    ("gummi", Head::Rubber),
    ("gomma", Head::Rubber),
    ("caoutchouc", Head::Rubber),
    ("plasti", Head::Plastic),
    ("kunststoff", Head::Plastic),
    ("wood", Head::Wood),
    ("holz", Head::Wood),
    ("legno", Head::Wood),
    ("bois", Head::Wood),
    ("drum", Head::Wood),
    ("snare", Head::Wood),
    ("trommel", Head::Wood),
    ("tambour", Head::Wood),
    ("tamburo", Head::Wood),
    ("rawhide", Head::Rawhide),
    ("chime", Head::Rawhide),
    ("rohrenglocken", Head::Rawhide),
    ("cloches", Head::Rawhide),
    ("brass", Head::Brass),
    ("messing", Head::Brass),
    ("ottone", Head::Brass),
    ("laiton", Head::Brass),
    ("metal", Head::Steel),
    ("steel", Head::Steel),
    ("stahl", Head::Steel),
    ("triang", Head::Steel),
    ("verghetta", Head::Steel),
    ("coin", Head::Steel),
    ("munze", Head::Steel),
    ("moneta", Head::Steel),
    ("needle", Head::Steel),
    ("bow", Head::Bow),
    ("bogen", Head::Bow),
    ("gestrichen", Head::Bow),
    ("arco", Head::Bow),
    ("archet", Head::Bow),
    ("brush", Head::Brush),
    ("besen", Head::Brush),
    ("jazzbesen", Head::Brush),
    ("spazzol", Head::Brush),
    ("balai", Head::Brush),
    ("glove", Head::Glove),
    ("handschuh", Head::Glove),
    ("gant", Head::Glove),
    ("guant", Head::Glove),
    ("hand", Head::Hand),
    ("mano", Head::Hand),
    ("mani", Head::Hand),
    ("main", Head::Hand),
    ("finger", Head::Hand),
    ("dita", Head::Hand),
    ("doigt", Head::Hand),
];

/// Likewise, how hard.
const HARDNESS: &[(&str, Hardness)] = &[
    ("soft", Hardness::Soft),
    ("weich", Hardness::Soft),
    ("morbid", Hardness::Soft),
    ("molle", Hardness::Soft),
    ("mou", Hardness::Soft),
    ("douce", Hardness::Soft),
    ("doux", Hardness::Soft),
    ("sponge", Hardness::Soft),
    ("spugna", Hardness::Soft),
    ("eponge", Hardness::Soft),
    ("schwamm", Hardness::Soft),
    ("medium", Hardness::Medium),
    ("medie", Hardness::Medium),
    ("mittel", Hardness::Medium),
    ("mi", Hardness::Medium),
    ("demi", Hardness::Medium),
    ("hard", Hardness::Hard),
    ("hart", Hardness::Hard),
    ("dur", Hardness::Hard),
];

/// Words that begin like one of these and mean something else: snares, "with", "through".
const NONE_OF_THEM: [&str; 5] = ["corda", "corde", "cordes", "mit", "durch"];

/// What the words ask for; nothing where none of them is known.
pub fn wanted(words: &[String]) -> Wanted {
    let tokens: Vec<String> = words
        .iter()
        .flat_map(|text| plain_tokens(text))
        .filter(|token| !NONE_OF_THEM.contains(&token.as_str()))
        .collect();
    let heads: Vec<Head> = tokens.iter().filter_map(|token| longest(HEADS, token)).collect();
    let mut wanted = Wanted { heads: Vec::new(), hardness: None };
    for head in heads {
        if !wanted.heads.contains(&head) {
            wanted.heads.push(head);
        }
    }
    // "Baguettes mi-dures" are medium, not hard: the first word that says how hard has it.
    wanted.hardness = tokens.iter().find_map(|token| longest(HARDNESS, token));
    wanted
}

/// What the longest known beginning of a word means. A short one may be followed by an ending.
fn longest<T: Copy>(known: &[(&str, T)], token: &str) -> Option<T> {
    known
        .iter()
        .filter(|(stem, _)| token.starts_with(stem) && (stem.len() > 3 || token.len() <= stem.len() + 2))
        .max_by_key(|(stem, _)| stem.len())
        .map(|(_, means)| *means)
}
