//! Beaters to refuse, as far as a head's material says it. A warning to the player, never a bar; what is not listed
//! is not said to do no harm.

use super::kind;
use backrow_core::collection::Head::{self, Brass, Plastic, Rawhide, Steel, Wood};
use backrow_core::collection::harm;
use rstest::rstest;

#[rstest]
#[case("timpani", &[Brass, Steel, Plastic], "trade practice; memory")]
#[case("bass_drum", &[Brass, Steel], "sample-library page; memory")]
#[case("suspended_cymbal", &[Brass, Steel], "heavy metal hammers; trade practice; memory")]
#[case("tam_tam", &[Wood, Brass, Steel], "struck hard; sample-library page; memory")]
#[case("xylophone", &[Brass, Steel], "a maker's guide and a maker's tips; seen in part; they disagree on plastic and wood")]
#[case("marimba", &[Brass, Steel, Plastic, Wood], "a maker's guide; seen in part")]
#[case("vibraphone", &[Brass, Steel, Plastic], "sample-library page, a player's page; seen in part")]
#[case("tubular_bells", &[Brass, Steel], "sample-library page; memory")]
#[case("bell_plates", &[Wood, Brass, Steel], "sample-library page; memory")]
#[case("almglocken", &[Brass, Steel], "a college's instrument collection; memory")]
#[case("wood_block", &[Brass, Steel], "trade practice; memory")]
#[case("temple_blocks", &[Brass, Steel], "trade practice; memory")]
#[case("roto_toms", &[Brass, Steel], "Grove; memory")]
#[case("bass_marimba", &[Brass, Steel], "metal on any wooden bar: makers' maintenance pages; seen")]
#[case("xylorimba", &[Brass, Steel], "the same; seen")]
#[case("orff_xylophone", &[Brass, Steel], "the same; seen")]
#[case("song_bells", &[Brass, Steel], "metal on wide soft bars; memory")]
#[case("steel_drums", &[Brass, Steel, Plastic, Wood, Rawhide], "anything hard moves the tuning; memory")]
#[case("handbells", &[Brass, Steel, Plastic, Wood], "hard heads chip and dull them; memory")]
fn heads_to_refuse(#[case] id: &str, #[case] heads: &[Head], #[case] source: &str) {
    let harmful = &kind(id).harmful;
    for head in heads {
        assert!(harmful.contains(head), "{id}: {} is not listed; {source}", head.word());
    }
}

/// Disputed or only without tone, so not listed: the table must not say more than its sources.
#[rstest]
#[case("xylophone", Plastic, "one maker allows it, another advises against; both seen")]
#[case("xylophone", Wood, "the same; seen")]
#[case(
    "glockenspiel",
    Brass,
    "usual by HyperPhysics (brass or plastic; seen); only very heavy ones on soft bars are refused"
)]
#[case("crotales", Brass, "usual by Grove; seen")]
#[case("anvil", Steel, "usual; trade practice, memory")]
fn not_refused(#[case] id: &str, #[case] head: Head, #[case] why: &str) {
    assert!(!kind(id).harmful.contains(&head), "{id}: {why}");
}

/// By material, on top of the kind: metal on any wooden bar (makers' maintenance pages; seen), heavy brass on soft aluminium
/// bars (a maker's guide; memory).
#[rstest]
#[case("metallophone-alto", Brass)]
#[case("metallophone-alto", Steel)]
fn heads_that_harm_the_material(#[case] id: &str, #[case] head: Head) {
    let library = super::demo();
    let thing = library.instruments.values().find(|thing| thing.id.as_str() == id).unwrap();
    assert!(harm(head, library.kinds.get(&thing.kind).map(|kind| &**kind), Some(thing)).is_some());
}

/// In the demo no beater is kept for a kind that it harms.
#[test]
fn what_suits_does_no_harm() {
    let library = super::demo();
    for beater in library.beaters.values() {
        for id in &beater.suits {
            let kind = library.kinds.get(id).map(|kind| &**kind);
            assert_eq!(harm(beater.head, kind, None), None, "{} is kept for {id}", beater.name);
        }
    }
}
