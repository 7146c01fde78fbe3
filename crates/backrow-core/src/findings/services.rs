//! What services say against the music: none planned, or a concert that is shorter than what is played in it.

use super::{About, Case, Degree, Finding, Rule};
use crate::week::ServiceKind;

/// A programme of works without a service, and concerts that the music alone outlasts.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let (library, programme) = (case.library, case.programme);
    let works: Vec<_> = programme.works.iter().filter_map(|id| library.works.get(id)).collect();
    if works.is_empty() {
        return Vec::new();
    }
    let about = || [About::Programme(programme.id.clone())];
    let services = library.services_of(&programme.id);
    if services.is_empty() {
        let what = format!("{} has no service yet", programme.title);
        return vec![
            Finding::new(Rule::NoService, Degree::Note, what)
                .why("Nobody’s absence and no other programme can be looked at without one.")
                .remedy("Add its rehearsals and concerts in Week.")
                .about(about()),
        ];
    }
    let music_min = (works.iter().map(|work| work.seconds()).sum::<f64>() / 60.0).round();
    let short = services
        .iter()
        .filter(|service| service.kind == ServiceKind::Concert && f64::from(service.minutes) < music_min)
        .min_by_key(|service| service.minutes);
    let tells = |service: &&crate::week::Service| {
        let what = format!(
            "{} lasts {music_min:.0} minutes without a break, its concert {}",
            programme.title, service.minutes
        );
        Finding::new(Rule::TooLong, Degree::Care, what)
            .why("The works’ own minutes are added up as they are read, repeats played.")
            .remedy("Correct the concert’s length in Week, the tempo of a work, or take a work out.")
            .about(about())
    };
    short.map(tells).into_iter().collect()
}
