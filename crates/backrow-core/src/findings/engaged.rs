//! Lines of somebody who is not engaged for the programme, is only held in reserve, or is not engaged for a concert in which the
//! lines are played. One finding a player.

use super::{About, Case, Degree, Finding, Rule};
use crate::collection::Player;
use crate::edit::Edit;
use crate::id::PlayerId;
use crate::week::{Engagement, LineRef, Presence, Service, ServiceKind, Standing};

/// Everybody who has lines and has not been engaged for them.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let players = case.library.roster().into_iter();
    players.filter_map(|player| of_player(case, player, &lines_of(case, &player.id))).collect()
}

fn lines_of<'a>(case: &'a Case<'_>, player: &PlayerId) -> Vec<&'a LineRef> {
    case.given().filter(|taken| taken.player.as_ref() == Some(player)).map(|taken| &taken.line).collect()
}

fn of_player(case: &Case<'_>, player: &Player, lines: &[&LineRef]) -> Option<Finding> {
    let first = *lines.first()?;
    let engaged = case.programme.roster.of(player);
    let services = case.library.services_of(&case.programme.id);
    let not_for = |service: &&&Service| {
        service.kind == ServiceKind::Concert
            && case.programme.presence(player, service) == Presence::OnlyOthers
    };
    let concert = services.iter().find(not_for);
    let name = &player.name;
    let many = lines.len();
    let has = format!("{many} {} in this programme", if many == 1 { "line" } else { "lines" });
    let lies = format!("{name} has {has}, {} among them.", case.line_words(first));
    let finding = match (engaged.standing, concert) {
        (Standing::Free, _) => Finding::new(
            Rule::NotEngaged,
            Degree::Clash,
            format!("{name} is {} and has {has}", Standing::Free.word()),
        )
        .why(format!("{} is among them.", case.line_words(first)))
        .remedy("Assign the lines to another player, or engage this one.")
        .fix(case.to_another(lines).or_else(|| Some(engage(case, player, engaged)))),
        (_, Some(concert)) => {
            let when = case.library.days().at(concert.start);
            let all = services.iter().filter(not_for).map(|service| service.id.clone()).collect::<Vec<_>>();
            let mut next = engaged;
            next.services.extend(all);
            if services.iter().all(|service| next.services.contains(&service.id)) {
                next.services.clear();
            }
            Finding::new(
                Rule::NotForConcert,
                Degree::Clash,
                format!("{name} is not engaged for the concert on {when}"),
            )
            .why(lies)
            .remedy("Engage this player for it, or assign the lines to another.")
            .fix(Some(engage(case, player, next)))
        }
        (Standing::Reserve, None) => Finding::new(
            Rule::InReserve,
            Degree::Note,
            format!("{name} is {} and has {has}", Standing::Reserve.word()),
        )
        .why(format!("{} is among them.", case.line_words(first)))
        .remedy("Engage this player, or assign the lines to those who are engaged.")
        .fix(Some(engage(case, player, engaged))),
        (Standing::Engaged, None) => return None,
    };
    Some(finding.about([About::Player(player.id.clone()), About::Line(first.clone())]))
}

/// Engages a player, for the services and with the timpani as they are stated.
fn engage(case: &Case<'_>, player: &Player, as_now: Engagement) -> (String, Edit) {
    let engagement = Engagement { standing: Standing::Engaged, ..as_now };
    let (programme, player) = (case.programme.id.clone(), player.id.clone());
    case.words_of(Edit::Engage { programme, player, engagement: Some(engagement) })
}
