//! Which kind a word means, by what its notes are: pitched or not, clef, range, the language of the rest.

use super::table::{Candidate, LANGUAGES, NameTable};
use crate::score::raw::Clef;
use backrow_core::collection::{Kind, Pitched};
use backrow_core::id::KindId;
use backrow_core::music::Degree;

/// What is known of the notes that a word governs.
#[derive(Clone, Debug, Default)]
pub(crate) struct Context {
    /// Whether they are pitched; `None` when that is not known, or both.
    pub(crate) pitched: Option<bool>,
    pub(crate) clef: Option<Clef>,
    /// Lowest and highest written key.
    pub(crate) range: Option<(i32, i32)>,
    /// Sounding minus written by the score; 0 where it is silent.
    pub(crate) transpose: i32,
    /// The language of the rest, an index into `LANGUAGES`.
    pub(crate) language: Option<usize>,
}

/// What a word was taken for.
#[derive(Clone, Debug)]
pub(crate) struct Resolved {
    pub(crate) kind: Option<KindId>,
    /// All that it could be, the likeliest first.
    pub(crate) candidates: Vec<KindId>,
    pub(crate) degree: Degree,
    /// Why, for the evidence; empty when there was nothing to choose.
    pub(crate) why: String,
}

impl NameTable {
    /// Chooses among candidates.
    pub(crate) fn resolve(&self, candidates: &[Candidate], context: &Context) -> Resolved {
        let mut scored: Vec<(f64, Vec<String>, &Candidate)> = candidates
            .iter()
            .filter_map(|candidate| {
                let kind = self.kind(&candidate.kind)?;
                let (score, why) = score(kind, candidate, candidates, context);
                Some((score - candidate.behind, why, candidate))
            })
            .collect();
        scored.sort_by(|a, b| b.0.total_cmp(&a.0));
        let kinds: Vec<KindId> = scored.iter().map(|(_, _, candidate)| candidate.kind.clone()).collect();
        let Some((best, why, chosen)) = scored.first() else {
            return Resolved { kind: None, candidates: kinds, degree: Degree::Unclear, why: String::new() };
        };
        let margin = scored.get(1).map_or(f64::INFINITY, |(second, _, _)| best - second);
        let degree = match scored.len() {
            1 if *best >= 0.0 => Degree::Sure,
            1 => Degree::Likely,
            _ if margin >= 1.0 => Degree::Likely,
            _ => Degree::Unclear,
        };
        let others: Vec<&str> = kinds.iter().skip(1).filter_map(|id| self.kind(id)).map(Kind::name).collect();
        let why = match (others.is_empty(), why.is_empty()) {
            (true, _) => String::new(),
            (false, true) => format!("the word may also mean {}", others.join(", ")),
            (false, false) => format!("not {}, since {}", others.join(" or "), why.join(", ")),
        };
        Resolved { kind: Some(chosen.kind.clone()), candidates: kinds, degree, why }
    }
}

fn score(kind: &Kind, candidate: &Candidate, all: &[Candidate], context: &Context) -> (f64, Vec<String>) {
    let mut score = 0.0;
    let mut why = Vec::new();
    match (context.pitched, kind.pitched) {
        (Some(true), Pitched::Yes) => {
            score += 2.0;
            why.push("the notes are pitched".to_owned());
        }
        (Some(true), Pitched::Sometimes) => score += 1.0,
        (Some(true), Pitched::No) => score -= 3.0,
        (Some(false), Pitched::No) => {
            score += 2.0;
            why.push("the notes have no pitch".to_owned());
        }
        (Some(false), Pitched::Sometimes) => score += 0.5,
        (Some(false), Pitched::Yes) => score -= 4.0,
        (None, _) => {}
    }
    if context.pitched == Some(true)
        && let Some(range) = context.range
        && !kind.compasses.is_empty()
    {
        let usual = kind.octave.map_or(0, backrow_core::pitch::Octave::semitones);
        let steps: &[i32] = if context.transpose == 0 { &[0, usual] } else { &[context.transpose] };
        if steps.iter().any(|step| fits(kind, range, *step)) {
            score += 2.0;
            why.push("its compass holds the range".to_owned());
        } else {
            score -= 2.0;
        }
    }
    score += clef_score(kind, context, &mut why);
    if let Some(language) = context.language {
        let bit = 1 << language;
        if candidate.languages & bit != 0 {
            score += 1.0;
            if let Some(name) = LANGUAGES.get(language) {
                why.push(format!("the rest is in {name}"));
            }
        } else if all.iter().any(|other| other.languages & bit != 0) {
            score -= 1.0;
        }
    }
    (score, why)
}

fn clef_score(kind: &Kind, context: &Context, why: &mut Vec<String>) -> f64 {
    match (context.clef, kind.id.as_str()) {
        (Some(Clef::Bass), "timpani") => {
            why.push("the clef is a bass clef".to_owned());
            2.0
        }
        (Some(Clef::Bass), "church_bells" | "tuned_gongs") => {
            why.push("the clef is a bass clef".to_owned());
            1.5
        }
        (Some(Clef::Bass), "glockenspiel" | "crotales" | "tubular_bells" | "almglocken") => -1.0,
        // Cast bells are mostly written low, in the bass clef; common practice.
        (Some(Clef::Treble), "tubular_bells") => 0.8,
        (Some(Clef::Percussion), _) if kind.pitched == Pitched::No => {
            why.push("the clef is a percussion clef".to_owned());
            1.0
        }
        _ => 0.0,
    }
}

/// Whether a written range, moved by that many semitones, lies within one of a kind's usual compasses.
pub(crate) fn fits(kind: &Kind, (low, high): (i32, i32), step: i32) -> bool {
    kind.compasses.iter().any(|compass| {
        i32::from(compass.low.number()) <= low + step && high + step <= i32::from(compass.high.number())
    })
}
