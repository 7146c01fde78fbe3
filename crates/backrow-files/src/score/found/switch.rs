//! Which names in the words of a part change its instrument: not a cue, not what is played with it or like it.
//!
//! Common practice, from memory.

use super::plain_words::is_plain;
use crate::score::jumps::jump_words;
use crate::score::names::{Found, NameTable, Technique, Token, read_words, tokens};
use crate::score::raw::Flow;

/// What words in a part say.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Said {
    /// The instruments to change to.
    pub(crate) found: Vec<Found>,
    /// Beaters, in the part's words.
    pub(crate) beaters: Vec<String>,
    /// What the words were not taken for, and why: the end of a sentence that begins with them.
    pub(crate) doubt: Option<&'static str>,
    /// The words may name an instrument that is not known.
    pub(crate) unknown: bool,
}

/// A name after these is compared with, or played together with what is played already.
const BESIDE: &[&str] = &[
    "with", "w", "mit", "con", "col", "colla", "avec", "like", "wie", "come", "comme", "as", "quasi", "als",
    "und",
];

/// Of these, the words that add to what is played, which a name at their left has to stand for.
const ADDS: &[&str] = &["und"];

/// Notes in small print for the player's orientation.
const CUES: &[&str] =
    &["cue", "cues", "cued", "stichnote", "stichnoten", "stichwort", "stich", "guida", "replique"];

/// Parts of an instrument that share their name with another.
const PARTS: &[&str] = &["bell", "bells", "cup", "dome", "glocke", "campana", "cloche"];

/// Words before a part of an instrument.
const ON: &[&str] = &["on", "auf", "sur", "sul", "sulla", "sui", "the", "der", "la"];

/// Reads words over a part.
pub(crate) fn said(table: &NameTable, text: &str) -> Said {
    let (all, technique) = read_words(table, text);
    let words = tokens(text);
    let Technique { beaters, .. } = technique;
    if all.is_empty() {
        let unknown = beaters.is_empty() && !is_plain(&words) && !leads(text);
        let doubt = unknown.then_some("is not known");
        return Said { found: all, beaters, doubt, unknown };
    }
    if words.iter().any(|word| CUES.contains(&word.text.as_str())) {
        return Said { found: Vec::new(), beaters, doubt: Some("was taken for a cue"), unknown: false };
    }
    let company = |found: &Found| {
        !found.needs_company
            || table.after_change(&words, found.from)
            || all.iter().any(|other| other.from != found.from && !other.needs_company)
    };
    let (mut kept, mut doubt) = (Vec::new(), None);
    for found in &all {
        if beside(&words, found, &all) {
            doubt = Some("was taken for something played with it or like it");
        } else if of_instrument(&words, found) {
            doubt = Some("was taken for a part of the instrument");
        } else if !company(found) {
            doubt = Some("was not taken for an instrument: by itself the word may mean something else");
        } else {
            kept.push(found.clone());
        }
    }
    if !kept.is_empty() {
        doubt = None;
    }
    Said { found: kept, beaters, doubt, unknown: false }
}

/// Whether a heading's names all need company.
pub(crate) fn headed_weakly(found: &[Found]) -> bool {
    !found.is_empty() && found.iter().all(|found| found.needs_company)
}

/// Whether the name stands in its clause after "with" or "like", with nothing else named before that.
fn beside(words: &[Token], found: &Found, all: &[Found]) -> bool {
    let start = (0..=found.from).rev().find(|at| words.get(*at).is_some_and(|w| w.fresh)).unwrap_or(0);
    let Some(with) =
        (start..found.from).find(|at| words.get(*at).is_some_and(|w| BESIDE.contains(&w.text.as_str())))
    else {
        // "Maracas as sticks": what is named strikes.
        return words.get(found.to).is_some_and(|w| ["as", "als"].contains(&w.text.as_str()));
    };
    let adds = words.get(with).is_some_and(|w| ADDS.contains(&w.text.as_str()));
    !(adds && all.iter().any(|other| other.to <= with))
}

/// "On bell": a cymbal's.
fn of_instrument(words: &[Token], found: &Found) -> bool {
    let word = |at: Option<usize>| at.and_then(|at| words.get(at)).map_or("", |w| w.text.as_str());
    found.to == found.from + 1
        && PARTS.contains(&word(Some(found.from)))
        && ON.contains(&word(found.from.checked_sub(1)))
}

/// Whether words lead the order of playing.
fn leads(text: &str) -> bool {
    let mut flow = Flow::default();
    jump_words(text, &mut flow);
    flow != Flow::default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kinds::standard;
    use rstest::rstest;

    fn read(text: &str) -> Said {
        said(&NameTable::new(&standard().unwrap()), text)
    }

    #[rstest]
    #[case("with B.D.")]
    #[case("on bell")]
    #[case("(cue: Timpani)")]
    #[case("Timpani cue")]
    #[case("Cl.")]
    #[case("Hn.")]
    #[case("Fr.")]
    #[case("Ch.")]
    #[case("Cr.")]
    #[case("Can.")]
    #[case("gr.")]
    #[case("pt.")]
    #[case("like a gong")]
    #[case("wie ein Gong")]
    #[case("solo with xylophone")]
    #[case("with cymbal on drumhead")]
    #[case("maracas as sticks on timpani")]
    fn names_that_do_not_switch(#[case] text: &str) {
        let said = read(text);
        assert_eq!(said.found, [], "{text}");
        let told = said.doubt.is_some() || crate::score::found::plain_words::is_plain(&tokens(text));
        assert!(told, "{text} is passed over in silence");
    }

    #[rstest]
    #[case("S.D.", "snare_drum")]
    #[case("Snare drum with sticks", "snare_drum")]
    #[case("Triangle with cymbal", "triangle")]
    #[case("to Tri.", "triangle")]
    #[case("muta in Glock.", "glockenspiel")]
    #[case("Becken und gr. Tr.", "cymbals_pair bass_drum")]
    #[case("on snare drum", "snare_drum")]
    fn names_that_switch(#[case] text: &str, #[case] expected: &str) {
        let kinds: Vec<String> =
            read(text).found.iter().map(|f| f.candidates[0].kind.as_str().to_owned()).collect();
        assert_eq!(kinds.join(" "), expected);
    }

    #[rstest]
    #[case("Zork", true)]
    #[case("Wumpus Bl.", true)]
    #[case("poco a poco cresc.", false)]
    #[case("sehr ruhig", false)]
    #[case("D.C. al Fine", false)]
    #[case("Più mosso", false)]
    #[case("a 2", false)]
    #[case("très doux", false)]
    #[case("with hard sticks", false)]
    fn unknown_words_are_told_from_plain_ones(#[case] text: &str, #[case] unknown: bool) {
        assert_eq!(read(text).unknown, unknown);
    }
}
