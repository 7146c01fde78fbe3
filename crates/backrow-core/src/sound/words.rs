//! Words for sounds in four languages, and what they mean by measures.
//!
//! Sources: the words are common in parts, scores and talk of players (from memory; no list was copied). What a word
//! means by measures is this program's own first guess, which the section's own words outweigh; see `taught`.

use super::Quality;
use crate::collection::Material;

/// What something is made of, as a part says it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the words say themselves")]
pub enum MadeOf {
    Metal,
    Wood,
    Skin,
    Glass,
    Other,
}

impl MadeOf {
    /// That of a material.
    pub const fn of(material: Material) -> Self {
        match material {
            Material::Aluminium | Material::Steel | Material::Brass | Material::Bronze => Self::Metal,
            Material::Rosewood | Material::Padauk | Material::Wood => Self::Wood,
            Material::Skin => Self::Skin,
            Material::Glass => Self::Glass,
            Material::Synthetic | Material::Mixed => Self::Other,
        }
    }

    /// "what is made of metal".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Metal => "what is made of metal",
            Self::Wood => "what is made of wood",
            Self::Skin => "what has a skin",
            Self::Glass => "what is made of glass",
            Self::Other => "what is made of other things",
        }
    }
}

/// What one word asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meaning {
    /// To have much of these.
    Much(&'static [Quality]),
    /// To be made of this.
    Made(MadeOf),
}

/// A word as it was typed, and what it means where it is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// In small letters.
    pub word: String,
    /// `None` for a word that says nothing of sound: it is looked for among names and character words.
    pub meaning: Option<Meaning>,
}

/// The words of a phrase that may mean something, in order: "metal plate, large and dull" is metal, plate, large, dull.
pub fn wanted(phrase: &str) -> Vec<Wanted> {
    let lower = phrase.to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric() && c != '-').filter(|word| !word.is_empty());
    let known = words.filter(|word| !FILLERS.contains(word)).take(40);
    known.map(|word| Wanted { word: word.to_owned(), meaning: meaning(word) }).collect()
}

/// What a word means for a sound.
pub fn meaning(word: &str) -> Option<Meaning> {
    let folded = fold(&word.to_lowercase());
    let row = WORDS.iter().find(|(_, words)| words.split(' ').any(|known| is_form(&folded, &fold(known))));
    row.map(|(meaning, _)| *meaning)
}

/// The qualities that a word asks for; none where it says nothing of them.
pub fn qualities(word: &str) -> &'static [Quality] {
    match meaning(word) {
        Some(Meaning::Much(qualities)) => qualities,
        _ => &[],
    }
}

/// Whether a word is the known one, or one of its forms by gender, number or case: up to three letters longer, the last one of
/// the known aside where it is a vowel.
fn is_form(word: &str, known: &str) -> bool {
    if word == known {
        return true;
    }
    let stem = known.strip_suffix(['a', 'e', 'i', 'o']).unwrap_or(known);
    let Some(ending) = word.strip_prefix(stem) else { return false };
    stem.chars().count() >= 4 && ENDINGS.contains(&ending)
}

/// Endings of adjectives and nouns in Italian, German, French and English.
const ENDINGS: [&str; 15] =
    ["", "a", "e", "i", "o", "s", "es", "er", "en", "em", "he", "hi", "ne", "nes", "se"];

/// Accents and the German ß aside.
fn fold(word: &str) -> String {
    word.chars()
        .map(|c| match c {
            'à' | 'á' | 'â' | 'ä' => 'a',
            'è' | 'é' | 'ê' | 'ë' => 'e',
            'ì' | 'í' | 'î' | 'ï' => 'i',
            'ò' | 'ó' | 'ô' | 'ö' => 'o',
            'ù' | 'ú' | 'û' | 'ü' => 'u',
            'ç' => 'c',
            'ß' => 's',
            other => other,
        })
        .collect()
}

/// Words between the words.
const FILLERS: [&str; 44] = [
    "a", "an", "and", "or", "the", "of", "very", "with", "sound", "sounding", "quite", "rather", "e", "ed",
    "o", "di", "molto", "con", "un", "una", "suono", "und", "oder", "ein", "eine", "sehr", "mit", "aus",
    "klang", "et", "ou", "de", "du", "des", "très", "avec", "une", "le", "la", "les", "son", "en", "as",
    "il",
];

/// What words mean: English, Italian, German and French in one row.
const WORDS: &[(Meaning, &str)] = &[
    (
        Meaning::Much(&[Quality::Brighter]),
        "bright brilliant shiny tinny sharp chiaro brillante squillante hell brillant scharf clair éclatant claire",
    ),
    (
        Meaning::Much(&[Quality::Darker]),
        "dark dull dead-sounding warm muffled mellow scuro cupo sordo caldo ottuso dunkel dumpf warm matt sombre sourd mat chaud étouffé",
    ),
    (
        Meaning::Much(&[Quality::Longer]),
        "long ringing resonant sustained lungo risonante sonoro lang klingend nachklingend hallend long résonnant sonore tenu",
    ),
    (
        Meaning::Much(&[Quality::Shorter]),
        "short dry damped choked secco corto breve asciutto smorzato kurz trocken gedämpft court sec sèche bref",
    ),
    (Meaning::Much(&[Quality::Higher]), "high alto acuto hoch hohe hoher haut haute aigu aiguë"),
    (
        Meaning::Much(&[Quality::Lower]),
        "low deep basso grave profondo tief dunkeltönend bas basse grave profond",
    ),
    // A larger one of two alike sounds lower, rings longer and is darker.
    (
        Meaning::Much(&[Quality::Lower, Quality::Longer, Quality::Darker]),
        "large big heavy huge grande grosso pesante groß gross schwer mächtig grand gros grosse lourd",
    ),
    (
        Meaning::Much(&[Quality::Higher, Quality::Shorter, Quality::Brighter]),
        "small little tiny thin piccolo leggero klein dünn petit petite mince",
    ),
    (
        Meaning::Much(&[Quality::Clearer]),
        "clear pure bell-like pitched limpido puro nitido intonato klar rein glockig pur limpide net",
    ),
    (
        Meaning::Much(&[Quality::Noisier]),
        "noisy rough dirty trashy hissing sizzling rauco ruvido rumoroso rau rauh geräuschhaft zischend schmutzig bruyant rauque rugueux sale",
    ),
    (Meaning::Much(&[Quality::Harder]), "hard harsh duro aspro hart dur dure âpre"),
    (Meaning::Much(&[Quality::Softer]), "soft gentle morbido dolce weich sanft mou molle doux douce"),
    (
        Meaning::Made(MadeOf::Metal),
        "metal metallic iron steel brass bronze metallo metallico ferro acciaio ottone bronzo metall metallisch eisen stahl messing métal métallique fer acier laiton",
    ),
    (Meaning::Made(MadeOf::Wood), "wood wooden legno holz hölzern bois"),
    (Meaning::Made(MadeOf::Skin), "skin membrane drum pelle tamburo fell trommel peau tambour"),
    (Meaning::Made(MadeOf::Glass), "glass vetro glas gläsern verre"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("metal plate, large and dull", &["metal", "plate", "large", "dull"])]
    #[case("Große, dumpfe Metallplatte", &["große", "dumpfe", "metallplatte"])]
    #[case("très sec et clair", &["sec", "clair"])]
    #[case("", &[])]
    fn a_phrase_is_its_words(#[case] phrase: &str, #[case] words: &[&str]) {
        assert_eq!(wanted(phrase).iter().map(|one| one.word.as_str()).collect::<Vec<_>>(), words);
    }

    #[rstest]
    #[case("dull", Quality::Darker)]
    #[case("cupo", Quality::Darker)]
    #[case("scura", Quality::Darker)]
    #[case("dumpfes", Quality::Darker)]
    #[case("sourde", Quality::Darker)]
    #[case("secche", Quality::Shorter)]
    #[case("trockene", Quality::Shorter)]
    #[case("sèche", Quality::Shorter)]
    #[case("helles", Quality::Brighter)]
    #[case("große", Quality::Lower)]
    #[case("grande", Quality::Lower)]
    #[case("aigus", Quality::Higher)]
    #[case("resonant", Quality::Longer)]
    #[case("weiche", Quality::Softer)]
    fn words_and_their_forms_mean_qualities(#[case] word: &str, #[case] first: Quality) {
        assert_eq!(qualities(word).first(), Some(&first), "{word}");
    }

    #[rstest]
    #[case("eisen", MadeOf::Metal)]
    #[case("legno", MadeOf::Wood)]
    #[case("peau", MadeOf::Skin)]
    fn words_name_materials(#[case] word: &str, #[case] made: MadeOf) {
        assert_eq!(meaning(word), Some(Meaning::Made(made)));
    }

    #[test]
    fn no_word_stands_in_two_rows_and_others_mean_nothing() {
        let mut seen = std::collections::BTreeMap::new();
        for (at, (_, words)) in WORDS.iter().enumerate() {
            for word in words.split(' ') {
                assert_eq!(*seen.entry(fold(word)).or_insert(at), at, "{word} stands in two rows");
            }
        }
        for word in ["plate", "found", "hardware", "seconds", "highland", "gong"] {
            assert_eq!(meaning(word), None, "{word}");
        }
    }
}
