//! The players on the plan: those of the current work, each once where they stand.

use super::super::labels::clear_of_each_other;
use super::super::scale::Scale;
use crate::places::floor::Here;
use crate::scene::Scene;
use backrow_core::collection::Player;
use backrow_core::id::PlayerId;
use backrow_core::stage::Plan;
use egui::{Pos2, vec2};
use std::collections::BTreeSet;

/// How wide a player's disc is, points.
pub(super) const DISC: f32 = 18.0;
/// Places of one player that are nearer than this are one, points.
const ONE_PLACE: f32 = 34.0;

/// Who plays each thing, or what lies on it, in the current work; in the programme where no work of it is current.
pub(super) fn playing(scene: &Scene<'_>, view: &Here<'_>, plan: &Plan) -> Vec<BTreeSet<PlayerId>> {
    let programme = view.programme_in(scene.library);
    let work = view.work.as_ref().filter(|work| programme.is_some_and(|p| p.works.contains(work)));
    let (Some(programme), Some(work)) = (programme, work) else {
        return plan.things.iter().map(|stood| stood.played_by.clone()).collect();
    };
    let lines: Vec<_> = programme.lines().filter(|(at, _)| at.work == *work).collect();
    let lying = |at: usize| plan.things.iter().filter(move |other| other.on == Some(at));
    let of = |at: usize| {
        let own = plan.things.get(at).into_iter().chain(lying(at));
        let ids: BTreeSet<_> = own.map(|stood| &stood.instrument).collect();
        let lines = lines.iter().filter(|(_, given)| given.uses().any(|id| ids.contains(id)));
        lines.filter_map(|(_, given)| given.player.clone()).collect()
    };
    (0..plan.things.len()).map(of).collect()
}

/// Where each of them stands on the screen: one disc a player and place, none over another.
pub(super) fn discs<'a>(
    scene: &Scene<'a>,
    plan: &Plan,
    playing: &[BTreeSet<PlayerId>],
    scale: &Scale,
) -> Vec<(Pos2, Pos2, &'a Player)> {
    let library = scene.library;
    let mut found: Vec<(Pos2, &Player)> = Vec::new();
    let things = plan.things.iter().zip(playing).filter(|(stood, _)| stood.on.is_none());
    for (stood, players) in things {
        for player in players.iter().filter_map(|id| library.players.get(id)) {
            let at = scale.pos(stood.standing_of(&player.id).place);
            let there =
                |(other, who): &(Pos2, &Player)| who.id == player.id && other.distance(at) < ONE_PLACE;
            if !found.iter().any(there) {
                found.push((at, player));
            }
        }
    }
    let wished: Vec<Pos2> = found.iter().map(|(at, _)| *at).collect();
    let places = clear_of_each_other(&wished, vec2(DISC, DISC), scale.area);
    places.into_iter().zip(found).map(|(at, (stands, player))| (at, stands, player)).collect()
}
