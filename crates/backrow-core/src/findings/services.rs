//! What services say against the music and against each other: none planned, a concert that is shorter than what is played in
//! it, two at one time or too near each other.

use super::{About, CARRY_MIN, Case, Degree, Finding, Rule, TRAVEL_MIN, sentence};
use crate::moves::when;
use crate::week::{Collision, Service, ServiceKind, collision, longest, near};

/// A programme of works without a service, services that collide, and concerts that the music alone outlasts.
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
                .why("Without one, neither who is away nor another programme’s services can be compared.")
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
            .about(about().into_iter().chain([About::Service(service.id.clone())]))
    };
    collide(case).into_iter().chain(short.map(tells)).collect()
}

/// Every pair of the programme’s own services that nobody, or nothing, can be at both of.
pub(super) fn collide(case: &Case<'_>) -> Vec<Finding> {
    let services = case.library.services_of(&case.programme.id);
    let place = |service| (service, Service::place(service, case.programme));
    let longest = longest(&services);
    let later = |at: usize| services.get(at + 1..).unwrap_or_default();
    let pairs = services.iter().enumerate();
    let pairs = pairs.flat_map(|(at, one)| {
        near(one, later(at), longest, CARRY_MIN).iter().map(move |other| (*one, *other))
    });
    let both = pairs.filter_map(|(one, other)| collision(place(one), place(other), CARRY_MIN));
    both.map(|both| collides(case, &both)).collect()
}

fn collides(case: &Case<'_>, both: &Collision<'_>) -> Finding {
    let words = |service: &Service| format!("{} of {}", service.kind.word(), when(case.library, service));
    let (first, then) = (words(both.here), words(both.there));
    let (degree, what, why) = match both.between {
        None => (
            Degree::Clash,
            format!("{first} and {then} overlap"),
            "Nobody can be at both while they share a time.".to_owned(),
        ),
        Some((has, needs)) => (
            if has < TRAVEL_MIN { Degree::Clash } else { Degree::Care },
            format!("{first} and {then} are {has}\u{202F}min apart"),
            format!(
                "They are in two venues: players need about {TRAVEL_MIN}\u{202F}min, instruments about {needs}\u{202F}min."
            ),
        ),
    };
    Finding::new(Rule::ServicesCollide, degree, sentence(&what))
        .why(why)
        .remedy("Correct the time or the venue of one of them in Week.")
        .about([
            About::Programme(case.programme.id.clone()),
            About::Service(both.there.id.clone()),
            About::Service(both.here.id.clone()),
        ])
}
