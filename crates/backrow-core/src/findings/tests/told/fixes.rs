//! What findings offer: the change does away with the finding, and is not offered where it would not.

use super::*;
use crate::week::{Engagement, Standing};
use std::collections::BTreeSet;

/// The finding of that code with its change carried out: its words, and the library after it.
fn fixed(library: &Library, code: &str) -> (String, Library) {
    let (words, edit) = the(library, code).fix.unwrap();
    let after = apply(library, &edit).unwrap();
    assert_eq!(whats(&after, code), [""; 0], "{words}");
    (words, after)
}

#[test]
fn a_line_that_its_player_does_not_play_goes_to_one_who_does() {
    let base = settled();
    let never =
        |who: &str| changed_player(&base, who, |one| one.never = vec![KindId::new("snare_drum").unwrap()]);
    let library = edited(&base, vec![never("b"), Edit::PutPlayer(crate::sample::player("c", 2))]);
    // Player a plays the xylophone then.
    assert_eq!(fixed(&library, "does-not-play").0, "Assign Snare drum to Player c");
    let nobody = edited(&base, vec![never("b")]);
    assert_eq!(the(&nobody, "does-not-play").fix, None, "nobody else can");
    let lock = Edit::Lock { programme: programme(), line: at("w", "sn"), locked: true };
    assert_eq!(the(&edited(&library, vec![lock]), "does-not-play").fix, None, "it is locked");
}

/// Those engaged go before those in reserve, whatever the order of the roster; who is not engaged is asked for nothing.
#[test]
fn a_line_goes_to_somebody_engaged_first() {
    let base = settled();
    let never = changed_player(&base, "b", |one| one.never = vec![KindId::new("snare_drum").unwrap()]);
    let two = ["c", "d"].map(|who| Edit::PutPlayer(crate::sample::player(who, 2)));
    let library = edited(&base, [vec![never], two.to_vec()].concat());
    let stands = |who: &str, standing| Edit::Engage {
        programme: programme(),
        player: player(who),
        engagement: Some(Engagement { standing, timpani: false, services: BTreeSet::new() }),
    };
    let fix = |edits| the(&edited(&library, edits), "does-not-play").fix.map(|(words, _)| words);
    let to = |who: &str| Some(format!("Assign Snare drum to Player {who}"));
    assert_eq!(fix(vec![stands("c", Standing::Reserve)]), to("d"));
    assert_eq!(fix(vec![stands("c", Standing::Reserve), stands("d", Standing::Free)]), to("c"));
    assert_eq!(fix(vec![stands("c", Standing::Free), stands("d", Standing::Free)]), None);
}

fn engage(who: &str, standing: Standing, services: &[&str]) -> Edit {
    let services = services.iter().map(|id| crate::id::ServiceId::new(id).unwrap()).collect();
    let engagement = Some(Engagement { standing, timpani: true, services });
    Edit::Engage { programme: programme(), player: player(who), engagement }
}

/// A line of somebody who is not engaged goes to somebody who is and can play it, else the player is engaged.
#[test]
fn who_is_not_engaged_has_no_lines() {
    let library = edited(&settled(), vec![engage("b", Standing::Free, &[])]);
    let finding = the(&library, "not-engaged");
    assert_eq!(finding.what, "Player b is not engaged and has 1 line in this programme");
    assert_eq!(
        (finding.degree, finding.why.as_str()),
        (Degree::Clash, "Snare drum in Work w I is among them.")
    );
    // Player a plays the xylophone then.
    let (words, after) = fixed(&library, "not-engaged");
    assert_eq!(words, "Player b: engaged, timpani");
    let programme = after.programme(&programme()).unwrap();
    let stated = programme.roster.of(&after.players[&player("b")]);
    assert!(stated.timpani && stated.standing == Standing::Engaged, "what else was stated stays");
    let with_c = edited(&library, vec![Edit::PutPlayer(crate::sample::player("c", 2))]);
    assert_eq!(fixed(&with_c, "not-engaged").0, "Assign Snare drum to Player c");
}

#[test]
fn who_is_in_reserve_is_engaged() {
    let library = edited(&settled(), vec![engage("b", Standing::Reserve, &[])]);
    let finding = the(&library, "in-reserve");
    assert_eq!(finding.what, "Player b is in reserve and has 1 line in this programme");
    assert_eq!((finding.degree, finding.about[0].clone()), (Degree::Note, About::Player(player("b"))));
    fixed(&library, "in-reserve");
    let nothing = Edit::Assign { programme: programme(), line: at("w", "sn"), player: None };
    assert_eq!(
        whats(&edited(&library, vec![nothing]), "in-reserve"),
        [""; 0],
        "who has no line is asked nothing"
    );
}

/// A rehearsal may be somebody else's; who plays in the concert has to be engaged for it.
#[test]
fn who_plays_in_a_concert_is_engaged_for_it() {
    let week = WeekId::new("k").unwrap();
    let concert = Service { kind: ServiceKind::Concert, ..service("c", "p", 19) };
    let put = |service| Edit::PutService { week: week.clone(), service };
    let base = edited(&settled(), vec![put(concert), put(service("r", "p", 15))]);
    let library = edited(&base, vec![engage("b", Standing::Engaged, &["s"])]);
    let finding = the(&library, "not-for-concert");
    assert_eq!(finding.what, "Player b is not engaged for the concert on 4 Mar, 19:00");
    assert_eq!(finding.why, "Player b has 1 line in this programme, Snare drum in Work w I among them.");
    let (_, after) = fixed(&library, "not-for-concert");
    let of = |library: &Library| {
        let programme = library.programme(&programme()).unwrap();
        programme.roster.of(&library.players[&player("b")]).services.len()
    };
    assert_eq!(of(&after), 2, "the second rehearsal is somebody else's");
    let all = edited(&base, vec![engage("b", Standing::Engaged, &["s", "r"])]);
    assert_eq!(of(&fixed(&all, "not-for-concert").1), 0, "which is all");
    let concert_alone = edited(&base, vec![engage("b", Standing::Engaged, &["c"])]);
    assert_eq!(whats(&concert_alone, "not-for-concert"), [""; 0]);
}

#[test]
fn a_pitch_is_freed_from_a_drum_that_is_not_there() {
    let base = drums::timpani("C3 G2", drums::PAIR, false);
    let on = Some((instrument("set"), "40 in".to_owned()));
    let pin = Edit::PinDrum { programme: programme(), line: at("w", "xyl"), key: key("G2"), on };
    let (words, after) = fixed(&edited(&base, vec![pin]), "drum-not-there");
    assert_eq!(words, "Free G2 of Timpani from its drum");
    assert_eq!(found(&after), found(&base));
}

/// Of two beaters the one that does no harm is left; one alone is not taken away.
#[test]
fn a_beater_that_harms_goes_where_another_is_left() {
    let base = settled();
    let kind = changed_kind(&base, "xylophone", |kind| kind.harmful = vec![Head::Brass]);
    let mut brass = (**base.beaters.get(&BeaterId::new("rubber").unwrap()).unwrap()).clone();
    (brass.id, brass.head) = (BeaterId::new("brass").unwrap(), Head::Brass);
    let base = edited(&base, vec![kind, Edit::PutBeater(brass)]);
    let library = edited(&base, vec![use_beaters("xyl", &["brass", "rubber"])]);
    assert_eq!(fixed(&library, "harmful-beater").0, "Play Xylophone with rubber");
    let alone = edited(&base, vec![use_beaters("xyl", &["brass"])]);
    assert_eq!(the(&alone, "harmful-beater").fix, None);
}

#[test]
fn a_thing_that_is_turned_backwards_is_turned_round() {
    let hall = with_hall(|hall| hall.conductor = Some(Point::new(0.0, 7.5)));
    let place = |locked| Placement { at: Point::new(0.0, 3.0), turn_deg: 190.0, number: 1, locked };
    let stand_it = |locked| Edit::Stand {
        programme: programme(),
        instrument: instrument("snare"),
        placement: place(locked),
    };
    let library = edited(&hall, vec![stand_it(false)]);
    let (words, after) = fixed(&library, "backwards");
    assert_eq!(words, "Turn 1 round");
    let turned = after.programme(&programme()).unwrap().setup.base[&instrument("snare")];
    assert_eq!(turned, Placement { turn_deg: 10.0, ..place(false) });
    assert_eq!(the(&edited(&hall, vec![stand_it(true)]), "backwards").fix, None, "it is locked");
    // In a station the others would have to go round with it.
    let with = Edit::StandWith {
        programme: programme(),
        instrument: instrument("xylophone-1"),
        with: Some(instrument("snare")),
    };
    let station = edited(&library, vec![stand("xylophone-1", 2, 1.2, 3.0), with]);
    let of_snare = all(&station, "backwards").into_iter().find(|one| one.what.starts_with("1 "));
    assert_eq!(of_snare.unwrap().fix, None);
}

fn twice(spare: crate::collection::Owner) -> Library {
    let place = |x| Placement { at: Point::new(x, 3.0), turn_deg: 0.0, number: 5, locked: false };
    let library = with_another(&[11], |other| other.setup.stand(instrument("snare"), place(0.0)));
    let mut thing = crate::sample::instrument("drum-2", "snare_drum", &[]);
    thing.owner = spare;
    edited(&library, vec![Edit::PutInstrument(thing), stand("snare", 5, 1.5, 3.0)])
}

/// The free one of ours is played, and stands where the other stood; somebody else's has to be asked for first.
#[test]
fn an_instrument_that_is_double_booked_is_swapped_for_a_free_one() {
    let library = twice(crate::collection::Owner::Orchestra);
    let (words, after) = fixed(&library, "instrument-twice");
    assert_eq!(words, "Use drum 2 instead of snare");
    let ours = after.programme(&programme()).unwrap();
    assert_eq!(ours.assignment(&at("w", "sn")).instruments, [instrument("drum-2")]);
    let placed: Vec<(&str, u32)> = ours.setup.base.iter().map(|(id, p)| (id.as_str(), p.number)).collect();
    assert_eq!(placed, [("drum-2", 5)]);
    let lent = twice(crate::collection::Owner::Other("the school".to_owned()));
    assert_eq!(the(&lent, "instrument-twice").fix, None);
}

/// Nothing is swapped where more hangs on the place than the place.
#[test]
fn what_stands_elsewhere_for_a_work_is_not_swapped() {
    let library = twice(crate::collection::Owner::Orchestra);
    let own = edited(&library, vec![stand_for("snare", 5, 3.0, 3.0)]);
    assert_eq!(the(&own, "instrument-twice").fix, None);
    let locked = Placement { at: Point::new(1.5, 3.0), turn_deg: 0.0, number: 5, locked: true };
    let lock = Edit::Stand { programme: programme(), instrument: instrument("snare"), placement: locked };
    assert_eq!(the(&edited(&library, vec![lock]), "instrument-twice").fix, None);
}
