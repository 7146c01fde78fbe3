//! Words that ask for beaters: "with brass mallets", "mit Schwammschlägeln", "baguettes d'éponge", "arco".

use super::around::LET_RING;
use super::fold::{Token, key};

/// What strikes, folded, of any language. From memory, common practice.
const NOUNS: &[&str] = &[
    "stick",
    "sticks",
    "mallet",
    "mallets",
    "beater",
    "beaters",
    "brush",
    "brushes",
    "hammers",
    "schlegel",
    "schlegeln",
    "schlagel",
    "schlageln",
    "stock",
    "stocken",
    "stocke",
    "stab",
    "staben",
    "stabchen",
    "besen",
    "jazzbesen",
    "ruten",
    "bacchetta",
    "bacchette",
    "mazza",
    "mazze",
    "mazzuolo",
    "mazzuoli",
    "mazzuola",
    "spazzole",
    "spazzola",
    "verghe",
    "verghetta",
    "verghette",
    "battente",
    "battenti",
    "martelletto",
    "baguette",
    "baguettes",
    "mailloche",
    "mailloches",
    "balai",
    "balais",
    "batte",
    "battes",
    "verge",
    "coins",
    "coin",
    "munze",
    "moneta",
    "knitting",
    // Not wood, metal or felt, but beaters all the same.
    "fingers",
    "finger",
    "fingern",
    "dita",
    "doigts",
    "hand",
    "hands",
    "handen",
    "mano",
    "mani",
    "main",
    "mains",
    "knuckles",
    "fist",
    "daumen",
    "thumb",
    "pollice",
    "pouce",
    "bogen",
    "archet",
];

/// Words before a beater: "with", "mit", "con", "avec".
const WITH: &[&str] =
    &["with", "w", "using", "use", "mit", "con", "col", "colla", "coi", "colle", "cogli", "avec", "m", "c"];

/// Hammers, which are beaters after "with" or a material, and instruments otherwise.
const HAMMERS: &[&str] =
    &["hammer", "hammers", "hammern", "martello", "martelli", "marteau", "marteaux", "martelletto"];

/// Materials and sizes before a hammer.
const MATERIALS: &[&str] = &[
    "rawhide", "wood", "wooden", "plastic", "metal", "steel", "brass", "rubber", "leather", "chime", "bell",
    "small", "soft", "hard", "heavy",
];

/// Words that ask for a bow by themselves.
const BOWED: &[&str] = &[
    "arco",
    "bowed",
    "coll arco",
    "con arco",
    "col arco",
    "mit bogen",
    "gestrichen",
    "archet",
    "a l archet",
    "avec archet",
    "avec l archet",
    "with bow",
    "with a bow",
    "con l arco",
];

/// What was found in words besides names of instruments.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Technique {
    /// Beaters, in the part's words.
    pub(crate) beaters: Vec<String>,
    /// Something rings on.
    pub(crate) ring: bool,
    /// For each word, whether it belongs to one of these.
    pub(crate) taken: Vec<bool>,
}

/// Whether a word is a beater, also at the end of a German compound: "Holzschlegel", "Paukenschlägeln", "Triangelstab".
fn is_beater(word: &str) -> bool {
    NOUNS.contains(&word)
        || [
            "schlegel",
            "schlegeln",
            "schlagel",
            "schlageln",
            "stab",
            "staben",
            "stock",
            "stocken",
            "besen",
            "klopfel",
            "kloppel",
        ]
        .iter()
        .any(|end| word.len() > end.len() && word.ends_with(end))
}

/// Looks through words for beaters and ringing. `is_name` tells whether a run of words names an instrument.
pub(crate) fn techniques(text: &str, words: &[Token], is_name: &dyn Fn(usize, usize) -> bool) -> Technique {
    let mut out = Technique { taken: vec![false; words.len()], ..Technique::default() };
    ringing(words, &mut out);
    let joined = key(text);
    if BOWED.iter().any(|bowed| key(bowed) == joined) {
        out.beaters.push("bow".to_owned());
        out.taken.fill(true);
        return out;
    }
    let mut from = 0;
    while from < words.len() {
        let to =
            (from + 1..words.len()).find(|at| words.get(*at).is_some_and(|w| w.fresh)).unwrap_or(words.len());
        clause(text, words, from, to, is_name, &mut out);
        from = to;
    }
    out
}

fn ringing(words: &[Token], out: &mut Technique) {
    for phrase in LET_RING {
        let phrase = key(phrase);
        for from in 0..words.len() {
            for to in from + 1..=words.len().min(from + 3) {
                let joined: String =
                    words.get(from..to).unwrap_or_default().iter().map(|w| w.text.as_str()).collect();
                if joined == phrase {
                    out.ring = true;
                    if let Some(taken) = out.taken.get_mut(from..to) {
                        taken.fill(true);
                    }
                }
            }
        }
    }
}

/// What heads are made of, folded; a beater by themselves only after how hard, or after "with". From memory, common practice.
const HEADS: &[&str] = &[
    "rubber",
    "plastic",
    "felt",
    "yarn",
    "cord",
    "brass",
    "acrylic",
    "gummi",
    "filz",
    "garn",
    "messing",
    "gomma",
    "feltro",
    "spugna",
    "ottone",
    "caoutchouc",
    "feutre",
    "eponge",
    "laiton",
];

/// How hard.
const HARDNESSES: &[&str] = &[
    "hard", "soft", "medium", "hart", "harte", "weich", "weiche", "duro", "dura", "morbido", "morbida",
    "dur", "dure", "doux", "douce",
];

/// "Hard rubber" or "with brass", with no word for the beater itself.
fn head_alone(text: &str, words: &[Token], (from, to): (usize, usize), out: &mut Technique) {
    let word = |at: usize| words.get(at).map_or("", |w| w.text.as_str());
    let Some(head) = (from + 1..to).find(|at| {
        HEADS.contains(&word(*at)) && (HARDNESSES.contains(&word(*at - 1)) || WITH.contains(&word(*at - 1)))
    }) else {
        return;
    };
    let how = head - 1;
    let first = if WITH.contains(&word(how)) { head } else { how };
    let phrase =
        words.get(first).zip(words.get(head)).and_then(|(first, last)| text.get(first.from..last.to));
    out.beaters.extend(phrase.map(|phrase| phrase.trim().to_owned()));
    if let Some(taken) = out.taken.get_mut(how..=head) {
        taken.fill(true);
    }
}

/// One clause: the beater phrase goes from "with", or else from the end of an instrument's name, to the end.
fn clause(
    text: &str,
    words: &[Token],
    from: usize,
    to: usize,
    is_name: &dyn Fn(usize, usize) -> bool,
    out: &mut Technique,
) {
    let word = |at: usize| words.get(at).map_or("", |w| w.text.as_str());
    let hammer = |at: usize| {
        HAMMERS.contains(&word(at))
            && ((from..at).any(|before| WITH.contains(&word(before)))
                || at
                    .checked_sub(1)
                    .is_some_and(|before| before >= from && MATERIALS.contains(&word(before))))
    };
    let beats = |at: &usize| is_beater(word(*at)) || ["arco", "bow"].contains(&word(*at)) || hammer(*at);
    let Some(noun) = (from..to).find(beats) else {
        head_alone(text, words, (from, to), out);
        return;
    };
    // "Change mallets" names none.
    if (from..to).any(|at| ["wechseln", "change", "cambiare", "changer", "cambia"].contains(&word(at))) {
        return;
    }
    // A hand drum and hand cymbals are instruments, not hands.
    let part_of_name = (1..=3).any(|n| {
        (0..n).any(|back| {
            noun.checked_sub(back).is_some_and(|start| start >= from && n > 1 && is_name(start, start + n))
        })
    });
    let with = (from..noun).rev().find(|at| WITH.contains(&word(*at)));
    if part_of_name && with.is_none() {
        return;
    }
    let bare_hand = ["hand", "main", "mano", "finger", "hands", "mains", "mani"].contains(&word(noun));
    if bare_hand && with.is_none() && !out.taken.is_empty() && from + 1 < to {
        return;
    }
    let start = match with {
        Some(with) => with,
        // "Xylophone hard mallets", but "snare drum sticks": a name right before the noun belongs to the beater.
        None => (from..noun)
            .rev()
            .flat_map(|end| {
                (1..=4_usize).filter_map(move |n| (end + 1).checked_sub(n).map(|start| (start, end + 1)))
            })
            .filter(|(start, end)| *start >= from && *end < noun && is_name(*start, *end))
            .map(|(_, end)| end)
            .max()
            .unwrap_or(from),
    };
    let first = if with.is_some() { start + 1 } else { start };
    let article = [
        "a", "the", "la", "le", "les", "il", "l", "un", "une", "der", "den", "dem", "einem", "einer", "take",
        "use", "nimmt", "prende", "prenez",
    ];
    let first = (first..noun).find(|at| !article.contains(&word(*at))).unwrap_or(noun);
    let last = words.get(to.saturating_sub(1));
    let phrase = words
        .get(first)
        .zip(last)
        .and_then(|(first, last)| text.get(first.from..last.to + usize::from(last.dot)))
        .map(str::trim)
        .unwrap_or_default();
    if !phrase.is_empty() {
        out.beaters.push(phrase.to_owned());
    }
    if let Some(taken) = out.taken.get_mut(start..to) {
        taken.fill(true);
    }
}
