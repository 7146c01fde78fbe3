//! Words that lead the order of playing, in four languages with their abbreviations, and the signs around them.
//!
//! Common practice, from memory; the words of the score tests come from public-domain scores.

use super::names::{Token, tokens};
use super::raw::Flow;

/// Longer texts are prefaces.
const MOST_WORDS: usize = 10;

/// From the beginning, by plain words. "Da capo" and "D.C." are looked for apart.
const BEGINNING: &[&str] = &[
    "dal principio",
    "dall inizio",
    "vom anfang",
    "von anfang",
    "von vorn",
    "von vorne",
    "vom beginn",
    "au commencement",
    "du commencement",
    "au debut",
    "du debut",
    "depuis le debut",
    "from the beginning",
    "from beginning",
    "to the beginning",
    "from the top",
];

/// From the sign, by words.
const SIGN: &[&str] = &[
    "dal segno",
    "da segno",
    "dalsegno",
    "del segno",
    "vom zeichen",
    "ab zeichen",
    "vom segno",
    "du signe",
    "au signe",
    "depuis le signe",
    "from the sign",
    "from sign",
    "to the sign",
];

/// Where the coda is left for, by words.
const TO_CODA: &[&str] = &[
    "to coda",
    "to the coda",
    "go to coda",
    "zur coda",
    "alla coda",
    "al coda",
    "a la coda",
    "vers la coda",
];

/// Words after which a beginning is only compared with: "tempo come dal principio".
const COMPARED: &[&str] = &["come", "wie", "comme", "as", "like", "tempo", "an"];

/// Repeats, after "with", "con", "mit", "avec".
const REPEATS: &[&str] = &[
    "replica",
    "repliche",
    "ripetizione",
    "ripetizioni",
    "ritornello",
    "ritornelli",
    "repeat",
    "repeats",
    "wiederholung",
    "wiederholungen",
    "reprise",
    "reprises",
];

/// Whether a phrase of whole words stands in a text.
fn says(words: &[Token], phrase: &str) -> bool {
    let phrase: Vec<&str> = phrase.split(' ').collect();
    words
        .windows(phrase.len())
        .any(|window| window.iter().map(|w| w.text.as_str()).eq(phrase.iter().copied()))
}

/// Two letters, each with its stop or the whole text being little more: "D.C.", "M. D. C.", "DC al fine".
fn initials(words: &[Token], first: &str, second: &str) -> bool {
    // "S.D. C.C." are two drums: a stop's neighbour with a letter of its own belongs to another abbreviation.
    let letter = |at: Option<usize>| {
        let word = at.and_then(|at| words.get(at));
        word.is_some_and(|word| word.dot && word.text.len() == 1 && word.text != "m")
    };
    let apart = words.windows(2).enumerate().any(|(at, pair)| match pair {
        [a, b] => {
            let stops = a.dot || b.dot || words.len() == 2;
            let alone = !letter(at.checked_sub(1)) && !letter(Some(at + 2));
            a.text == first && b.text == second && stops && alone
        }
        _ => false,
    });
    let joined = [format!("{first}{second}"), format!("m{first}{second}")];
    apart || words.len() <= 6 && words.iter().any(|word| joined.contains(&word.text))
}

/// A sign drawn with letters: "D.%", "Dal 𝄋".
fn drawn_sign(text: &str) -> bool {
    let rest = text.trim_start().to_lowercase();
    let rest = ["dal", "da", "d.", "d"].iter().find_map(|start| rest.strip_prefix(start));
    rest.is_some_and(|rest| rest.trim_start_matches([' ', '.']).starts_with(['%', '\u{1D10B}', '§']))
}

/// Da capo and its like told by words where no sign tells it.
pub(crate) fn jump_words(text: &str, flow: &mut Flow) {
    let words = tokens(text);
    if words.is_empty() || words.len() > MOST_WORDS {
        return;
    }
    let word = |text: &str| words.iter().any(|word| word.text == text);
    let compared = words.iter().any(|word| COMPARED.contains(&word.text.as_str()));
    let sign =
        initials(&words, "d", "s") || SIGN.iter().any(|phrase| says(&words, phrase)) || drawn_sign(text);
    let beginning = says(&words, "da capo")
        || word("dacapo")
        || word("daccapo")
        || initials(&words, "d", "c")
        || !compared && BEGINNING.iter().any(|phrase| says(&words, phrase));
    if sign {
        flow.dalsegno.get_or_insert_with(|| "segno".to_owned());
    } else if beginning {
        flow.dacapo = true;
    }
    if sign || beginning {
        flow.then_coda |=
            word("coda") && ["poi", "dann", "then", "puis", "segue"].iter().any(|then| word(then));
        let with = |pair: &[Token]| match pair {
            [a, b] => {
                ["con", "with", "mit", "avec"].contains(&a.text.as_str())
                    && REPEATS.contains(&b.text.as_str())
            }
            _ => false,
        };
        flow.jump_repeats |= words.windows(2).any(with);
        return;
    }
    let joined: String = words.iter().map(|word| word.text.as_str()).collect();
    let first = words.first().map_or("", |word| word.text.as_str());
    let ends = ["fin", "ende", "schluss", "end", "ilfine", "lafin"].contains(&joined.as_str());
    flow.fine |= ends || first == "fine" && words.len() <= 5 && !word("al");
    let to_coda = words.len() <= 6 && TO_CODA.iter().any(|phrase| says(&words, phrase));
    if (to_coda || joined == "tocoda") && flow.tocoda.is_none() {
        flow.tocoda = Some("coda".to_owned());
    }
}

/// How many measures a jump may stand before the repeat sign that goes before it.
const EARLY_JUMP: usize = 2;

/// The signs as they are meant: a jump whose words stand a measure before its repeat sign waits for it, and of two coda
/// signs without words the first says where to leave.
pub(crate) fn settled(flows: &[&Flow]) -> Vec<Flow> {
    let mut flows: Vec<Flow> = flows.iter().map(|flow| (*flow).clone()).collect();
    late_jumps(&mut flows);
    two_codas(&mut flows);
    flows
}

fn jumps(flow: &Flow) -> bool {
    flow.dacapo || flow.dalsegno.is_some()
}

fn late_jumps(flows: &mut [Flow]) {
    for at in 0..flows.len() {
        let early = flows.get(at).is_some_and(|flow| jumps(flow) && flow.backward.is_none());
        if !early {
            continue;
        }
        let sign = (at + 1..flows.len())
            .take(EARLY_JUMP)
            .take_while(|next| {
                flows
                    .get(*next)
                    .is_some_and(|flow| !flow.forward && flow.coda.is_none() && flow.ending.is_empty())
            })
            .find(|next| flows.get(*next).is_some_and(|flow| flow.backward.is_some()));
        let Some(sign) = sign else { continue };
        let Some(flow) = flows.get_mut(at) else { continue };
        let moved = Flow {
            dacapo: std::mem::take(&mut flow.dacapo),
            dalsegno: flow.dalsegno.take(),
            then_coda: std::mem::take(&mut flow.then_coda),
            jump_repeats: std::mem::take(&mut flow.jump_repeats),
            ..Flow::default()
        };
        if let Some(target) = flows.get_mut(sign) {
            target.dacapo |= moved.dacapo;
            target.dalsegno = target.dalsegno.take().or(moved.dalsegno);
            target.then_coda |= moved.then_coda;
            target.jump_repeats |= moved.jump_repeats;
        }
    }
}

fn two_codas(flows: &mut [Flow]) {
    let codas: Vec<usize> = (0..flows.len()).filter(|at| flows[*at].coda.is_some()).collect();
    let [first, .., last] = codas.as_slice() else { return };
    let leaves = flows.iter().any(|flow| flow.tocoda.is_some());
    let between = flows.get(*first..*last).is_some_and(|between| between.iter().any(jumps));
    if !leaves
        && between
        && let Some(flow) = flows.get_mut(*first)
    {
        flow.tocoda = flow.coda.take();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("D.C.", "da capo")]
    #[case("D. C. al Fine", "da capo")]
    #[case("DC", "da capo")]
    #[case("M.D.C.", "da capo")]
    #[case("Men. D.C.", "da capo")]
    #[case("Menuetto D.C.", "da capo")]
    #[case("D.C. Menuetto", "da capo")]
    #[case("D.C. senza replica", "da capo")]
    #[case("Menuetto da capo senza Ritornello.", "da capo")]
    #[case("D.C. sin' al Fine", "da capo")]
    #[case("D.C. sin al Fine", "da capo")]
    #[case("Scherzo D.C.", "da capo")]
    #[case("Marcia D.C.", "da capo")]
    #[case("D.C. e poi la Coda", "da capo, coda")]
    #[case("Da Capo e poi la Coda", "da capo, coda")]
    #[case("Vom Anfang bis Fine", "da capo")]
    #[case("Menuett von vorn", "da capo")]
    #[case("Da capo bis zum Ende", "da capo")]
    #[case("Reprendre au début", "da capo")]
    #[case("dal principio al Fine", "da capo")]
    #[case("D.C. con repliche", "da capo, repeats")]
    #[case("Repeat from the beginning", "da capo")]
    #[case("D.S.", "segno")]
    #[case("D.S. senza replica", "segno")]
    #[case("D.S. al Coda", "segno")]
    #[case("Da segno", "segno")]
    #[case("Dal Segno al Fine", "segno")]
    #[case("D.%", "segno")]
    #[case("D. 𝄋", "segno")]
    #[case("dal % al Fine", "segno")]
    #[case("vom Zeichen", "segno")]
    #[case("au signe", "segno")]
    #[case("Fine", "fine")]
    #[case("Fine del Menuetto", "fine")]
    #[case("Fin", "fine")]
    #[case("To Coda", "to coda")]
    #[case("Zur Coda", "to coda")]
    #[case("to Coda 𝄌", "to coda")]
    #[case("Coda", "")]
    #[case("Tempo come dal principio", "")]
    #[case("wie von Anfang", "")]
    #[case("von Anfang an mit Dämpfer", "")]
    #[case("a due", "")]
    #[case("B.D.", "")]
    #[case("S.D. C.C.", "")]
    #[case("div. in 3", "")]
    fn words_lead(#[case] text: &str, #[case] expected: &str) {
        let mut flow = Flow::default();
        jump_words(text, &mut flow);
        let mut said = Vec::new();
        said.extend(flow.dacapo.then_some("da capo"));
        said.extend(flow.dalsegno.is_some().then_some("segno"));
        said.extend(flow.then_coda.then_some("coda"));
        said.extend(flow.jump_repeats.then_some("repeats"));
        said.extend(flow.fine.then_some("fine"));
        said.extend(flow.tocoda.is_some().then_some("to coda"));
        assert_eq!(said.join(", "), expected);
    }
}
