//! Assigning a line to a player, with what the player’s answer says.

use crate::intent::Intent;
use crate::places::section::Here;
use crate::scene::Scene;
use backrow_core::edit::Edit;
use backrow_core::moves::Answer;
use backrow_core::week::LineRef;

/// The lane's answer in words, and whether it goes.
pub(super) fn answer_words(answer: &Answer) -> (String, bool) {
    let (verdict, fits) = if answer.refusal.is_some() { ("No", false) } else { ("Fits", true) };
    let words = [Some(&answer.reason), answer.remark.as_ref().filter(|_| fits)];
    let words: Vec<&str> =
        words.into_iter().flatten().map(String::as_str).filter(|w| !w.is_empty()).collect();
    if words.is_empty() {
        (verdict.to_owned(), fits)
    } else {
        (format!("{verdict}: {}", words.join("; ")), fits)
    }
}

/// Assigns a line to a player or to nobody; a refused one says why and how it goes all the same.
pub(super) fn assign(
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    line: &LineRef,
    player: Option<&backrow_core::id::PlayerId>,
    goes: bool,
    answer: Option<&Answer>,
) {
    let Some(programme) = view.programme.clone() else { return };
    view.in_hand = None;
    if goes {
        scene.edit(Edit::Assign { programme, line: line.clone(), player: player.cloned() });
    } else if let Some(answer) = answer {
        scene.ask(Intent::Fail(format!("{}. Hold Alt to assign it anyway.", answer_words(answer).0)));
    }
}

/// Assigns a line to a player when it goes, or `all_the_same`; else says why not.
pub(super) fn assign_judged(
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    line: &LineRef,
    player: &backrow_core::id::PlayerId,
    all_the_same: bool,
) {
    let answers = super::answers(scene.derived.evening(), line);
    let answer = answers.iter().find(|answer| answer.player == *player);
    let goes = all_the_same || answer.is_none_or(|answer| answer_words(answer).1);
    assign(scene, view, line, Some(player), goes, answer);
}
