//! What works remember of a line: decisions and trials about the line itself, and about lines of other works that say what it says.

mod strikes;

pub use strikes::{by_model_said, is_by_model, put_strikes, strikes_of};

use crate::collection::Kind;
use crate::edit::candidate_words;
use crate::id::{DecisionId, KindId, LineId, TrialId};
use crate::library::Library;
use crate::music::{Line, Work};
use crate::trial::{About, Answer, Decision, Graded, How, Memory, NoRanking, Outcome, Ranking, Told, Trial};
use crate::week::LineRef;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// Something that a work remembers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Item<'a> {
    /// What was decided.
    Decision(&'a Decision),
    /// What was tried, whether or not a decision came of it.
    Trial(&'a Trial),
}

/// Something that a work remembers, as a line is told of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Remembered<'a> {
    /// The work that remembers it.
    pub work: &'a Work,
    /// What it is.
    pub item: Item<'a>,
    /// The words that both lines say; empty where it is about the line itself, and where neither says more than its kind.
    pub shared: Vec<String>,
    /// Whether it is another line, and neither says more than that it wants something of their kind.
    pub kind_alone: bool,
}

impl Item<'_> {
    /// About which line.
    pub const fn about(&self) -> &About {
        match self {
            Self::Decision(decision) => &decision.about,
            Self::Trial(trial) => &trial.about,
        }
    }

    /// When.
    pub const fn when(&self) -> Date {
        match self {
            Self::Decision(decision) => decision.when,
            Self::Trial(trial) => trial.when,
        }
    }

    /// In a sentence or two: "2027: Xylophone 3, hard rubber; the conductor: drier; too bright with brass".
    pub fn words(&self, library: &Library) -> String {
        match self {
            Self::Decision(decision) => decision_said(library, decision),
            Self::Trial(trial) => trial_said(library, trial),
        }
    }
}

/// Small words of letters and digits.
pub fn words_of(text: &str) -> impl Iterator<Item = String> + '_ {
    text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).map(str::to_lowercase)
}

/// What texts say of an instrument beside the names of its kind: "small triangle" says "small". Numbers and short words ("1", "II",
/// "gr") tell parts apart, not instruments.
pub fn own_words<'a>(texts: impl Iterator<Item = &'a str>, kind: Option<&Kind>) -> BTreeSet<String> {
    let names: BTreeSet<String> =
        kind.into_iter().flat_map(|kind| kind.names.all().flat_map(words_of).collect::<Vec<_>>()).collect();
    let says = |word: &String| word.chars().count() > 2 && word.chars().all(char::is_alphabetic);
    texts.flat_map(words_of).filter(|word| says(word) && !names.contains(word)).collect()
}

/// All that a part says of a line: as printed, the beaters, the names of its strokes.
pub fn said_of(line: &Line) -> Vec<&str> {
    let strokes = line.passages.iter().flat_map(|passage| &passage.unpitched).map(|note| note.name.as_str());
    let mut all: Vec<&str> = Vec::new();
    for text in
        std::iter::once(line.printed.as_str()).chain(line.beaters.iter().map(String::as_str)).chain(strokes)
    {
        if !text.trim().is_empty() && !all.contains(&text) {
            all.push(text);
        }
    }
    all
}

/// What is to be kept of a line with a trial or decision about it.
pub fn about(library: &Library, line: &Line) -> About {
    About {
        line: line.id.clone(),
        name: library.line_name(line),
        kind: line.kind.clone(),
        words: said_of(line).join(", "),
    }
}

fn items(memory: &Memory) -> impl Iterator<Item = Item<'_>> {
    memory.decisions.iter().map(Item::Decision).chain(memory.trials.iter().map(Item::Trial))
}

/// Everything about a line, the latest first; then what other works remember of lines of its kind that share words with it, those
/// with the most shared words first. Lines that say nothing but their kind are told of others that say no more.
pub fn of_line<'a>(library: &'a Library, at: &LineRef) -> Vec<Remembered<'a>> {
    let Some((work, line)) = library.line(at) else { return Vec::new() };
    let mut own: Vec<Remembered<'a>> = items(&work.memory)
        .filter(|item| item.about().line == line.id)
        .map(|item| Remembered { work, item, shared: Vec::new(), kind_alone: false })
        .collect();
    own.sort_by_key(|one| std::cmp::Reverse(one.item.when()));
    let kind = |id: &Option<KindId>| id.as_ref().and_then(|id| library.kinds.get(id)).map(|kind| &**kind);
    let words = own_words(said_of(line).into_iter(), kind(&line.kind));
    let mut alike: Vec<Remembered<'a>> = Vec::new();
    for (other, item) in everything(library) {
        let about = item.about();
        let is_own = other.id == work.id && about.line == line.id;
        if is_own || about.kind != line.kind {
            continue;
        }
        let theirs = own_words(std::iter::once(about.words.as_str()), kind(&about.kind));
        let shared: Vec<String> = words.intersection(&theirs).cloned().collect();
        let kind_alone = line.kind.is_some() && words.is_empty() && theirs.is_empty();
        if kind_alone || !shared.is_empty() {
            alike.push(Remembered { work: other, item, shared, kind_alone });
        }
    }
    alike.sort_by_key(|one| std::cmp::Reverse((one.shared.len(), one.item.when())));
    own.extend(alike);
    own
}

/// Everything that all works remember.
pub fn everything(library: &Library) -> impl Iterator<Item = (&Work, Item<'_>)> {
    library.works.values().flat_map(|work| items(&work.memory).map(|item| (&**work, item)))
}

/// The latest decision about a line.
pub fn decided<'a>(library: &'a Library, at: &LineRef) -> Option<&'a Decision> {
    library.works.get(&at.work).and_then(|work| work.memory.decided(&at.line))
}

/// Ids that are free in a work.
pub fn fresh_ids(work: &Work, about: &About) -> (TrialId, DecisionId) {
    let name = &about.name;
    (
        TrialId::fresh(name, |id| work.memory.trial(id).is_some()),
        DecisionId::fresh(name, |id| work.memory.decision(id).is_some()),
    )
}

/// Why a decision was made, a phrase: "decided in 2027 (the conductor: drier; too bright with brass)".
pub fn why_decided(decision: &Decision) -> String {
    let why = sentence([conductor(&decision.conductor), decision.why.trim().to_owned()]);
    let why = if why.is_empty() { String::new() } else { format!(" ({why})") };
    format!("decided in {}{why}", decision.when.year())
}

/// Whether the line that something is about is still in the work.
pub fn is_there(work: &Work, line: &LineId) -> bool {
    work.line(line).is_some()
}

fn sentence(parts: impl IntoIterator<Item = String>) -> String {
    parts.into_iter().filter(|part| !part.trim().is_empty()).collect::<Vec<_>>().join("; ")
}

/// The words as said: the conductor's own behind a colon.
fn conductor(words: &str) -> String {
    let words = words.trim();
    if words.is_empty() { String::new() } else { format!("the conductor: {words}") }
}

fn decision_said(library: &Library, decision: &Decision) -> String {
    let chosen = candidate_words(library, &decision.chosen);
    let chosen = if chosen.is_empty() { "nothing chosen".to_owned() } else { chosen };
    let by = decision.by.trim();
    let by = if by.is_empty() { String::new() } else { format!("decided by {by}") };
    let rest = [conductor(&decision.conductor), decision.why.trim().to_owned(), by];
    format!("{}: {}", decision.when.year(), sentence(std::iter::once(chosen).chain(rest)))
}

fn trial_said(library: &Library, trial: &Trial) -> String {
    let names: Vec<String> = trial.candidates.iter().map(|one| candidate_words(library, one)).collect();
    let tried =
        if names.is_empty() { "a trial without candidates".to_owned() } else { names.join(" against ") };
    let listeners = trial.listeners.iter().filter_map(|listener| {
        let from = if listener.from.trim().is_empty() {
            String::new()
        } else {
            format!(" from {}", listener.from.trim())
        };
        let words = listener.words.trim();
        let best = listener.answers.iter().find_map(|answer| match answer {
            Answer::Best(at) => names.get(*at).map(|name| format!("best {name}")),
            _ => None,
        });
        let said: Vec<String> =
            best.into_iter().chain(Some(words.to_owned())).filter(|text| !text.is_empty()).collect();
        (!said.is_empty()).then(|| format!("{}{from}: {}", listener.name.trim(), said.join(", ")))
    });
    let how = if trial.how == How::Live { String::new() } else { trial.how.label().to_owned() };
    let parts = [tried, how, trial.question.trim().to_owned()].into_iter().chain(listeners);
    let parts = parts.chain([conductor(&trial.conductor), trial.verdict.trim().to_owned()]);
    format!("{}: tried {}", trial.when.year(), sentence(parts))
}

/// What came of a comparison of takes, a sentence each; nothing of a live trial, whose words say it. While answers are still to come
/// nothing but that is said.
pub fn figures(library: &Library, trial: &Trial) -> Vec<String> {
    let name = |at: usize| {
        let own =
            trial.candidates.get(at).map(|one| candidate_words(library, one)).filter(|name| !name.is_empty());
        own.unwrap_or_else(|| (at + 1).to_string())
    };
    let mut said = match trial.outcome() {
        Outcome::Open { left: 0 } | Outcome::Said { .. } => Vec::new(),
        Outcome::Open { left: 1 } => {
            vec!["1 answer is still to come; before that there is no figure.".to_owned()]
        }
        Outcome::Open { left } => {
            vec![format!("{left} answers are still to come; before that there is no figure.")]
        }
        Outcome::NotRanked(NoRanking::Nothing) => vec!["Nothing was compared.".to_owned()],
        Outcome::NotRanked(NoRanking::Groups(_)) => {
            vec![
                "Some candidates were never compared with the others, so that there is no one order."
                    .to_owned(),
            ]
        }
        Outcome::Ranked(ranking) => ranked(&ranking, &name),
        Outcome::Told { each, all } => told(trial, &each, &all),
        Outcome::Graded { grades, own_error } => grades_said(&grades, own_error, &name),
    };
    if !said.is_empty() && trial.how.needs_takes() {
        said.extend(by_model_said(library, trial));
    }
    said
}

fn ranked(ranking: &Ranking, name: &dyn Fn(usize) -> String) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for pair in ranking.places.windows(2) {
        let [one, other] = pair else { continue };
        let (one, other) = (one.candidate, other.candidate);
        let expected = ranking.expected(one, other).unwrap_or(0.5);
        let clear = if ranking.is_clear(one, other) {
            "a clear difference (one in twenty)"
        } else {
            "a difference that chance may make"
        };
        said.push(format!(
            "{} before {}: expected to be preferred {:.0} times in 100, {clear}.",
            name(one),
            name(other),
            expected * 100.0
        ));
    }
    if let (Some(first), Some(last)) = (ranking.places.first(), ranking.places.last())
        && ranking.places.len() > 2
    {
        let clear = ranking.is_clear(first.candidate, last.candidate);
        let words = if clear { "is clear" } else { "is not clear" };
        said.push(format!("The difference between the first and the last {words}."));
    }
    if ranking.held {
        said.push(
            "Some were always or never preferred: the order stands, how far they lie apart does not (half an answer each way is \
             added to every pair)."
                .to_owned(),
        );
    }
    said
}

fn told(trial: &Trial, each: &[Told], all: &Told) -> Vec<String> {
    let one = |who: &str, told: &Told| {
        let chance = told.by_guessing * 100.0;
        let guess = if chance < 0.1 {
            "less than once in 1000 times".to_owned()
        } else {
            format!("{chance:.1} times in 100")
        };
        let verdict = match told.needed {
            _ if told.is_shown() => "a difference is heard".to_owned(),
            Some(needed) => {
                format!(
                    "no difference is shown, as that takes {needed} right; it does not mean that there is none"
                )
            }
            None => "so few answers can show nothing".to_owned(),
        };
        format!(
            "{who}{} of {} right; somebody who guesses does as well {guess}: {verdict}.",
            told.right, told.of
        )
    };
    let mut said: Vec<String> = Vec::new();
    if each.len() > 1 {
        let names = trial.listeners.iter().map(|listener| format!("{}: ", listener.name));
        said.extend(names.zip(each).map(|(name, told)| one(&name, told)));
    }
    said.push(one(if each.len() > 1 { "Together: " } else { "" }, all));
    said
}

fn grades_said(grades: &[Graded], own_error: Option<f64>, name: &dyn Fn(usize) -> String) -> Vec<String> {
    let one = |graded: &Graded| {
        let sd = graded.sd.map_or_else(String::new, |sd| format!(" ± {sd:.0}"));
        format!("{}: {:.0}{sd} of 100.", name(graded.candidate), graded.mean)
    };
    let mut said: Vec<String> = grades.iter().map(one).collect();
    if let Some(error) = own_error {
        said.push(format!(
            "By the hidden repeat one grade is uncertain by about {error:.0}: differences that are not well above that say nothing."
        ));
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::{Edit, apply};
    use crate::id::WorkId;
    use crate::music::UnpitchedNote;
    use crate::pitch::Octave;
    use crate::sample;
    use crate::trial::Listener;

    fn w() -> WorkId {
        WorkId::new("w").unwrap()
    }

    fn with(edits: Vec<Edit>) -> Library {
        apply(&sample::library(), &Edit::Together { words: "Remember".to_owned(), edits }).unwrap()
    }

    fn decide(decision: Decision) -> Edit {
        Edit::PutDecision { work: w(), decision }
    }

    #[test]
    fn a_line_is_told_what_was_decided_the_latest_first() {
        let mut later = sample::decision("later", "xyl");
        later.when = jiff::civil::date(2033, 5, 1);
        let library = with(vec![decide(sample::decision("first", "xyl")), decide(later)]);
        let told = of_line(&library, &sample::at("w", "xyl"));
        let years: Vec<i16> = told.iter().map(|one| one.item.when().year()).collect();
        assert_eq!(years, [2033, 2027]);
        let words = told.last().unwrap().item.words(&library);
        assert_eq!(words, "2027: xylophone 1, rubber; the conductor: asked for drier; too bright with brass");
        assert!(of_line(&library, &sample::at("w", "sn")).is_empty());
    }

    #[test]
    fn what_is_gone_is_called_as_it_was() {
        let mut decision = sample::decision("first", "xyl");
        decision.chosen.name = "Old xylophone, rubber".to_owned();
        decision.chosen.instruments = vec![crate::id::InstrumentId::new("sold").unwrap()];
        let library = with(vec![decide(decision)]);
        let told = of_line(&library, &sample::at("w", "xyl"));
        assert!(told.first().unwrap().item.words(&library).contains("Old xylophone, rubber"));
    }

    #[test]
    fn lines_that_say_the_same_are_told_too() {
        let found = |id: &str, words: &str| {
            let mut line = sample::line(id, None, Octave::AS_WRITTEN, "");
            line.printed = words.to_owned();
            line.passages.iter_mut().for_each(|passage| passage.unpitched = vec![UnpitchedNote::new("", 2)]);
            line
        };
        let put = |id: &str, words| Edit::PutWork(sample::work(id, vec![found("found", words)]));
        let mut decision = sample::decision("d", "found");
        decision.about =
            About { kind: None, words: "metal plate, large and dull".to_owned(), ..decision.about };
        let work = WorkId::new("old").unwrap();
        let library = with(vec![
            put("old", "metal plate, large and dull"),
            Edit::PutDecision { work, decision },
            put("new", "a dull metal plate"),
            put("other", "bottles"),
        ]);
        let told = of_line(&library, &sample::at("new", "found"));
        let [one] = told.as_slice() else { panic!("one is told: {told:?}") };
        assert_eq!(
            (one.work.id.as_str(), one.shared.clone()),
            ("old", vec!["dull".into(), "metal".into(), "plate".into()])
        );
        assert!(of_line(&library, &sample::at("other", "found")).is_empty());
    }

    #[test]
    fn a_line_that_says_its_kind_alone_is_told_of_others_that_say_no_more() {
        let library = with(vec![decide(sample::decision("d", "xyl"))]);
        let (_, line) = library.line(&sample::at("w", "xyl")).unwrap();
        let (kind, printed) = (line.kind.clone(), library.line_name(line));
        let put = |id: &str, words: &str| {
            let mut line = line.clone();
            line.printed = words.to_owned();
            line.beaters.clear();
            line.passages.iter_mut().for_each(|passage| passage.unpitched.clear());
            Edit::PutWork(sample::work(id, vec![line]))
        };
        let mut decision = sample::decision("plain", "xyl");
        decision.about = About { kind, words: printed.clone(), ..decision.about };
        let old = WorkId::new("old").unwrap();
        let library = with(vec![
            put("old", &printed),
            Edit::PutDecision { work: old, decision },
            put("new", &printed),
            put("worded", "dull"),
        ]);
        let told = of_line(&library, &sample::at("new", "xyl"));
        assert!(told.iter().any(|one| one.work.id.as_str() == "old" && one.kind_alone), "{told:?}");
        let told = of_line(&library, &sample::at("worded", "xyl"));
        assert!(told.iter().all(|one| one.work.id.as_str() != "old"), "it says more: {told:?}");
    }

    #[test]
    fn a_trial_says_who_heard_what_from_where() {
        let mut trial = sample::trial("t", "xyl");
        let candidate = sample::decision("d", "xyl").chosen;
        let other = crate::trial::Candidate { spot: "over the node".to_owned(), ..candidate.clone() };
        trial.candidates = vec![candidate, other];
        trial.listeners = vec![Listener {
            name: "A. Lind".to_owned(),
            from: "row 12".to_owned(),
            answers: vec![Answer::Best(0)],
            words: "clearer".to_owned(),
        }];
        trial.conductor = "take the dry one".to_owned();
        let library = with(vec![Edit::PutTrial { work: w(), trial }]);
        let told = of_line(&library, &sample::at("w", "xyl"));
        assert_eq!(
            told.first().unwrap().item.words(&library),
            "2027: tried xylophone 1, rubber against xylophone 1, rubber, over the node; \
             A. Lind from row 12: best xylophone 1, rubber, clearer; the conductor: take the dry one"
        );
    }
}
