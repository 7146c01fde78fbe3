//! Any library: strategies for the laws of the tests.

mod care;
mod memory;
mod music;
mod sound;

use backrow_core::collection::{
    AirDay, Area, AreaUse, Beater, Between, DeadBar, Family, Footprint, Frame, Hardness, Head, Instrument,
    Kind, Layout, Lift, Loudness, Mass, Material, Names, Owner, Piece, Pitched, Place, Plausible, Player,
    Point, Riser, Shape, Side, TunedBy, UsualBeater, UsualCompass, Venue,
};
use backrow_core::compass::PitchSet;
use backrow_core::days::{Clock, Days, Order};
use backrow_core::id::{
    BeaterId, DecisionId, InstrumentId, KindId, LineId, MovementId, PlaceId, PlayerId, ProgrammeId,
    ServiceId, TakeId, TrialId, VenueId, WeekId, WorkId,
};
use backrow_core::library::{Habits, Library, Orchestra, Shared, TimpaniHabits};
use backrow_core::pitch::{KeyNumber, Octave, ReferenceA};
use backrow_core::rota::Wishes;
use backrow_core::timpani::Aim;
use backrow_core::week::{
    Assignment, DrumPin, Engagement, Hire, HireState, Instead, LineRef, LineRule, PartRef, Placement,
    Programme, Roster, Service, ServiceKind, Setup, Standing, Week, WorkSetup,
};
use jiff::civil::{Date, DateTime};
use proptest::collection::{btree_map, btree_set, vec};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;
use std::collections::BTreeMap;
use std::sync::Arc;

pub(super) use music::{notes, struck, timeline};

/// A text with what is awkward in files: quotes, brackets, signs of other scripts, breaks, comment marks.
fn words() -> BoxedStrategy<String> {
    prop_oneof![
        3 => "[a-zA-Z ]{0,12}",
        2 => r#"[a-zß-ÿ0-9"'\\(){}\[\],:;/*#♯♭ \n\r\t.-]{0,16}"#,
        1 => any::<String>(),
    ]
    .boxed()
}

fn number() -> BoxedStrategy<f64> {
    prop_oneof![
        Just(0.0),
        (-4000_i32..4000).prop_map(|n| f64::from(n) / 10.0),
        prop::num::f64::NORMAL | prop::num::f64::SUBNORMAL | prop::num::f64::ZERO,
        Just(f64::INFINITY),
    ]
    .boxed()
}

macro_rules! ids {
    ($($f:ident $id:ident)*) => { $(
        fn $f() -> BoxedStrategy<$id> {
            "[a-z0-9][a-z0-9_-]{0,7}".prop_map(|text| $id::new(&text).unwrap()).boxed()
        }
    )* };
}

ids! {
    beater_id BeaterId line_id LineId instrument_id InstrumentId kind_id KindId movement_id MovementId
    place_id PlaceId player_id PlayerId programme_id ProgrammeId service_id ServiceId venue_id VenueId
    week_id WeekId work_id WorkId trial_id TrialId decision_id DecisionId take_id TakeId
}

fn key() -> BoxedStrategy<KeyNumber> {
    (0_i32..=127).prop_map(|n| KeyNumber::new(n).unwrap()).boxed()
}

fn keys() -> BoxedStrategy<PitchSet> {
    vec(key(), 0..6).prop_map(|keys| keys.into_iter().collect()).boxed()
}

fn date() -> BoxedStrategy<Date> {
    (1900_i16..2200, 1_i8..=12, 1_i8..=28).prop_map(|(y, m, d)| Date::new(y, m, d).unwrap()).boxed()
}

fn time() -> BoxedStrategy<DateTime> {
    let seconds = prop_oneof![3 => Just((0_i8, 0_i32)), 1 => (0_i8..60, 0_i32..1_000_000_000)];
    (date(), 0_i8..24, 0_i8..60, seconds).prop_map(|(date, h, m, (s, n))| date.at(h, m, s, n)).boxed()
}

fn owner() -> BoxedStrategy<Owner> {
    prop_oneof![Just(Owner::Orchestra), player_id().prop_map(Owner::Player), words().prop_map(Owner::Other)]
        .boxed()
}

fn layout() -> BoxedStrategy<Layout> {
    select(vec![Layout::TwoRows, Layout::OneRow, Layout::Rack, Layout::Drums]).boxed()
}

fn shape() -> BoxedStrategy<Shape> {
    (number(), number(), number(), 0..4)
        .prop_map(|(width_m, low_m, high_m, which)| match which {
            0 => Shape::Keyboard { width_m, low_m, high_m },
            1 => Shape::Box { width_m, depth_m: low_m },
            2 => Shape::Round { diameter_m: width_m },
            _ => Shape::Hung { width_m, depth_m: low_m },
        })
        .boxed()
}

fn reference() -> BoxedStrategy<ReferenceA> {
    prop_oneof![Just(440.0), Just(442.0), 380.0..500.0].prop_map(|hz| ReferenceA::new(hz).unwrap()).boxed()
}

fn frame() -> BoxedStrategy<Frame> {
    let dead = (key(), option::of(date()), words()).prop_map(|(key, since, why)| DeadBar { key, since, why });
    let tuned = (select(TunedBy::ALL.to_vec()), option::of(number()));
    (words(), option::of((key(), key())), keys(), keys(), keys(), vec(dead, 0..3), vec(key(), 0..5), tuned)
        .prop_map(|(name, range, gaps, doubled, extra, dead, order, (tuned_by, retune_s))| Frame {
            name,
            range,
            gaps,
            doubled,
            extra,
            dead,
            order,
            tuned_by,
            retune_s,
        })
        .boxed()
}

fn piece() -> BoxedStrategy<Piece> {
    let mass = (number(), any::<bool>()).prop_map(|(kg, weighed)| Mass { kg, weighed });
    (words(), any::<u32>(), option::of(mass), any::<u32>(), words(), words())
        .prop_map(|(what, count, mass, people, wheels, care)| Piece {
            what,
            count,
            mass,
            people,
            wheels,
            care,
        })
        .boxed()
}

fn hire() -> BoxedStrategy<Hire> {
    let what = (words(), option::of(kind_id()), keys(), option::of(reference()), option::of(instrument_id()));
    let how = (words(), select(HireState::ALL.to_vec()), option::of(number()));
    (what, how, option::of(date()), option::of(date()), words())
        .prop_map(|((what, kind, notes, a, instrument), (lender, state, cost), from, until, remark)| Hire {
            what,
            kind,
            notes,
            a,
            instrument,
            lender,
            state,
            cost,
            from,
            until,
            remark,
        })
        .boxed()
}

fn instrument() -> BoxedStrategy<Instrument> {
    let mass = (number(), any::<bool>()).prop_map(|(kg, weighed)| Mass { kg, weighed });
    let what = (instrument_id(), kind_id(), words(), owner(), option::of(place_id()), vec(frame(), 0..3));
    let how = (layout(), select(Material::ALL.to_vec()), option::of(mass), shape(), number());
    let rest = (option::of(reference()), vec(words(), 0..3), words(), words(), vec(piece(), 0..3));
    (what, how, rest)
        .prop_map(
            |((id, kind, name, owner, place, frames), (layout, material, mass, shape, height_m), rest)| {
                let (tuned_to, character, condition, remark, pieces) = rest;
                let footprint = Footprint { shape, height_m };
                Instrument {
                    id,
                    kind,
                    name,
                    owner,
                    place,
                    frames,
                    layout,
                    material,
                    mass,
                    pieces,
                    footprint,
                    tuned_to,
                    for_two: character.len() == 1,
                    character,
                    picture: condition.chars().rev().collect(),
                    condition,
                    remark,
                }
            },
        )
        .boxed()
}

fn kind() -> BoxedStrategy<Kind> {
    let list = || vec(words(), 0..3);
    let names = (list(), list(), list(), list(), list(), list()).prop_map(
        |(english, italian, german, french, abbreviations, with_company)| Names {
            english,
            italian,
            german,
            french,
            abbreviations,
            with_company,
        },
    );
    let usual = (words(), key(), key(), option::of(shape()))
        .prop_map(|(name, low, high, shape)| UsualCompass { name, low, high, shape });
    let octave = option::of((-48_i32..=48).prop_map(|n| Octave::new(n).unwrap()));
    let pitched = select(vec![Pitched::Yes, Pitched::No, Pitched::Sometimes]);
    let what = (kind_id(), names, select(Family::ALL.to_vec()), pitched, octave, vec(usual, 0..3));
    let how = (words(), layout(), select(Material::ALL.to_vec()), shape(), number(), words(), words());
    (what, how, kind_facts())
        .prop_map(|(what, how, facts)| {
            let (id, names, family, pitched, octave, compasses) = what;
            let (unit, layout, material, shape, height_m, caution, note) = how;
            Kind {
                id,
                names,
                family,
                pitched,
                octave,
                compasses,
                unit,
                layout,
                material,
                shape,
                height_m,
                caution,
                note,
                ..facts
            }
        })
        .boxed()
}

/// What else a kind says; its other fields are of no interest.
fn kind_facts() -> BoxedStrategy<Kind> {
    let between = || option::of((number(), number()).prop_map(|(least, most)| Between { least, most }));
    let plausible = (between(), between()).prop_map(|(mass_kg, long_m)| Plausible { mass_kg, long_m });
    let usual = (select(Head::ALL.to_vec()), option::of(select(Hardness::ALL.to_vec())))
        .prop_map(|(head, hardness)| UsualBeater { head, hardness });
    let yes_or_no = (any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>());
    let beaters = (vec(usual, 0..3), vec(select(Head::ALL.to_vec()), 0..3));
    let loud = option::of(select(Loudness::ALL.to_vec()));
    (yes_or_no, beaters, loud, vec(piece(), 0..3), plausible, vec(kind_id(), 0..3))
        .prop_map(|((bears, comes_apart, for_two, held), (usual, harmful), loud, pieces, plausible, like)| {
            Kind {
                id: KindId::new("x").unwrap(),
                names: Names::default(),
                family: Family::Drums,
                pitched: Pitched::No,
                octave: None,
                compasses: Vec::new(),
                unit: String::new(),
                layout: Layout::OneRow,
                material: Material::Wood,
                shape: Shape::Round { diameter_m: 1.0 },
                height_m: 1.0,
                bears,
                comes_apart,
                for_two,
                held,
                loud,
                pieces,
                plausible,
                usual,
                harmful,
                like,
                caution: String::new(),
                note: String::new(),
            }
        })
        .boxed()
}

fn beater() -> BoxedStrategy<Beater> {
    let what =
        (beater_id(), words(), select(Head::ALL.to_vec()), select(Hardness::ALL.to_vec()), any::<u32>());
    let rest = (owner(), option::of(place_id()), vec(kind_id(), 0..3), words());
    (what, rest)
        .prop_map(|((id, name, head, hardness, count), (owner, place, suits, remark))| Beater {
            id,
            name,
            head,
            hardness,
            count,
            owner,
            place,
            suits,
            remark,
        })
        .boxed()
}

fn player() -> BoxedStrategy<Player> {
    let kinds = || vec(kind_id(), 0..3);
    (player_id(), words(), words(), words(), any::<u32>(), kinds(), kinds(), vec(service_id(), 0..3))
        .prop_map(|(id, name, initials, role, order, only, never, absences)| Player {
            id,
            name,
            initials,
            role,
            order,
            only,
            never,
            absences,
        })
        .boxed()
}

fn place() -> BoxedStrategy<Place> {
    let span = || option::of((number(), number()));
    let day = (date(), span(), span()).prop_map(|(on, celsius, humidity)| AirDay { on, celsius, humidity });
    let lift = (any::<bool>(), option::of(number()), option::of(number()))
        .prop_map(|(there, plate_kg, door_m)| Lift { there, plate_kg, door_m });
    (place_id(), words(), words(), option::of(lift), vec(day, 0..3))
        .prop_map(|(id, name, remark, lift, air)| Place { id, name, remark, lift, air })
        .boxed()
}

fn point() -> BoxedStrategy<Point> {
    (number(), number()).prop_map(|(x, y)| Point { x, y }).boxed()
}

fn venue() -> BoxedStrategy<Venue> {
    let outline = || vec(point(), 0..5);
    let riser = (words(), outline(), number(), option::of(number()))
        .prop_map(|(name, outline, height_m, rated_kn_m2)| Riser { name, outline, height_m, rated_kn_m2 });
    let area = (words(), select(AreaUse::ALL.to_vec()), outline())
        .prop_map(|(name, kept_for, outline)| Area { name, kept_for, outline });
    (venue_id(), words(), outline(), vec(riser, 0..3), vec(area, 0..3), option::of(point()), words())
        .prop_map(|(id, name, floor, risers, keep_out, conductor, remark)| Venue {
            id,
            name,
            floor,
            risers,
            keep_out,
            conductor,
            remark,
        })
        .boxed()
}

fn assignment() -> BoxedStrategy<Assignment> {
    let instead = prop_oneof![
        Just(Instead::LeftOut),
        select(vec![-2_i8, -1, 1, 2]).prop_map(Instead::Octaves),
        instrument_id().prop_map(Instead::On),
    ];
    let pin = (key(), instrument_id(), words()).prop_map(|(key, instrument, drum)| DrumPin {
        key,
        instrument,
        drum,
    });
    (
        option::of(player_id()),
        vec(instrument_id(), 0..3),
        vec(beater_id(), 0..3),
        any::<[bool; 2]>(),
        vec(pin, 0..2),
        btree_map(key(), instead, 0..3),
    )
        .prop_map(|(player, instruments, beaters, [locked, by_hand], drums, instead)| Assignment {
            player,
            instruments,
            beaters,
            locked,
            by_hand,
            drums,
            instead,
        })
        .boxed()
}

fn week() -> BoxedStrategy<Week> {
    let line = (work_id(), line_id()).prop_map(|(work, line)| LineRef { work, line });
    let engagement = (select(Standing::ALL.to_vec()), any::<bool>(), btree_set(service_id(), 0..2))
        .prop_map(|(standing, timpani, services)| Engagement { standing, timpani, services });
    let part = (work_id(), words()).prop_map(|(work, part)| PartRef { work, part });
    let roster = (btree_map(player_id(), engagement, 0..3), btree_map(part, player_id(), 0..3))
        .prop_map(|(stated, parts)| Roster { stated, parts });
    let placed = (point(), number(), any::<u32>(), any::<bool>())
        .prop_map(|(at, turn_deg, number, locked)| Placement { at, turn_deg, number, locked });
    let rule =
        (0..3_u8, line.clone(), line.clone(), vec(player_id(), 1..3)).prop_map(|(which, a, b, players)| {
            match which {
                0 => LineRule::Together(a, b),
                1 => LineRule::Apart(a, b),
                _ => LineRule::Only(a, players),
            }
        });
    let assignments = (btree_map(line, assignment(), 0..5), vec(rule, 0..3), roster);
    let own = (btree_map(instrument_id(), placed.clone(), 0..3), btree_set(instrument_id(), 0..2))
        .prop_map(|(placements, away)| WorkSetup::new(placements, away));
    let changes = btree_map(work_id(), own, 0..3);
    let borne = btree_map(instrument_id(), instrument_id(), 0..2);
    let stations = btree_map(instrument_id(), instrument_id(), 0..2);
    let placements = (btree_map(instrument_id(), placed, 0..4), changes, borne, stations);
    let programme = (
        programme_id(),
        words(),
        option::of(venue_id()),
        vec(work_id(), 0..3),
        assignments,
        placements,
        words(),
        (vec(hire(), 0..3), option::of(reference()), option::of(number())),
    )
        .prop_map(
            |(
                id,
                title,
                venue,
                works,
                (assignments, rules, roster),
                (placements, changes, borne, stations),
                remark,
                (hires, a, celsius),
            )| {
                let mut programme = Programme::new(id, title);
                (programme.venue, programme.works, programme.rules) = (venue, works, rules);
                programme.setup = Setup::new(placements, changes, borne, stations);
                (programme.hires, programme.remark, programme.roster) = (hires, remark, roster);
                (programme.a, programme.celsius) = (a, celsius);
                for (line, given) in assignments {
                    programme.assign(line, given);
                }
                programme.settle();
                programme
            },
        );
    let kind = select(ServiceKind::ALL.to_vec());
    let service = (service_id(), kind, programme_id(), option::of(venue_id()), time(), any::<u32>(), words())
        .prop_map(|(id, kind, programme, venue, start, minutes, event)| Service {
            id,
            kind,
            programme,
            venue,
            start,
            minutes,
            event,
        });
    (week_id(), words(), vec(programme, 0..3), vec(service, 0..4))
        .prop_map(|(id, title, programmes, services)| Week { id, title, programmes, services })
        .boxed()
}

fn orchestra() -> BoxedStrategy<Orchestra> {
    let numbers = || [number(), number(), number(), number(), number()];
    let habits = (numbers(), numbers()).prop_map(
        |(
            [pace_m_s, settle_s, default_distance_m, gangway_m, reach_m],
            [change_s, cymbals_s, four_mallets_s, bow_s, gloves_s],
        )| Habits {
            pace_m_s,
            settle_s,
            change_s,
            cymbals_s,
            four_mallets_s,
            bow_s,
            gloves_s,
            default_distance_m,
            gangway_m,
            reach_m,
        },
    );
    let wishes =
        any::<[u32; 9]>().prop_map(|[stay, part, last_time, near, by_hand, walk, load, exposure, extra]| {
            Wishes { stay, part, last_time, near, by_hand, walk, load, exposure, extra }
        });
    let timpani = (select(Side::ALL.to_vec()), number(), number(), select(Aim::ALL.to_vec()))
        .prop_map(|(low_drum, pedal_s, screws_s, aim)| TimpaniHabits { low_drum, pedal_s, screws_s, aim });
    let drifts = btree_map(select(Material::ALL.to_vec()), number(), 0..3);
    let drifts = (drifts, option::of(number()));
    let days = (option::of(select(Order::ALL.to_vec())), option::of(select(Clock::ALL.to_vec())));
    (words(), reference(), number(), habits, wishes, timpani, drifts, days)
        .prop_map(|(name, a, celsius, habits, wishes, timpani, (drifts, winds_cents_k), (order, clock))| {
            Orchestra {
                currency: name.chars().take(3).collect(),
                zone: name.chars().rev().collect(),
                order,
                clock,
                name,
                a,
                celsius,
                habits,
                wishes,
                timpani,
                drifts,
                winds_cents_k,
            }
        })
        .boxed()
}

fn shared<K, V>(
    values: BoxedStrategy<V>,
    most: usize,
    id: impl Fn(&V) -> K + 'static,
) -> BoxedStrategy<Shared<K, V>>
where
    K: Ord + std::fmt::Debug + 'static,
    V: std::fmt::Debug + 'static,
{
    vec(values, 0..most)
        .prop_map(move |values| {
            Arc::new(
                values
                    .into_iter()
                    .map(|value| (id(&value), Arc::new(value)))
                    .collect::<BTreeMap<K, Arc<V>>>(),
            )
        })
        .boxed()
}

/// Any library: references lead anywhere, every field holds anything that it can.
pub(super) fn library() -> BoxedStrategy<Library> {
    let small = (
        orchestra(),
        shared(kind(), 4, |v: &Kind| v.id.clone()),
        shared(beater(), 4, |v: &Beater| v.id.clone()),
        shared(player(), 4, |v: &Player| v.id.clone()),
        shared(place(), 4, |v: &Place| v.id.clone()),
    );
    let large = (
        shared(instrument(), 4, |v: &Instrument| v.id.clone()),
        shared(care::care(), 3, |v: &backrow_core::care::Care| v.instrument.clone()),
        shared(venue(), 3, |v: &Venue| v.id.clone()),
        shared(music::work(), 3, |v: &backrow_core::music::Work| v.id.clone()),
        shared(week(), 3, |v: &Week| v.id.clone()),
        shared(sound::take(), 3, backrow_core::sound::Take::key),
    );
    (small, large)
        .prop_map(
            |(
                (orchestra, kinds, beaters, players, places),
                (instruments, care, venues, works, weeks, takes),
            )| {
                Library {
                    orchestra: Arc::new(orchestra),
                    kinds,
                    instruments,
                    care,
                    beaters,
                    players,
                    places,
                    venues,
                    works,
                    weeks,
                    takes,
                    here: Days::default(),
                }
            },
        )
        .boxed()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn any_library_comes_back(library in library(), table in shared(kind(), 4, |v: &Kind| v.id.clone())) {
        let home = tempfile::tempdir().unwrap();
        let dir = home.path().join("library");
        let mut library = library;
        // What is in the table is there in every new library.
        let kinds = Arc::make_mut(&mut library.kinds);
        for (id, kind) in table.iter() {
            kinds.entry(id.clone()).or_insert_with(|| kind.clone());
        }
        super::create_from(&dir, &library, &table).unwrap();
        let mut opened = super::open(&dir, &table);
        // Any words and figures make kinds that no trade knows; that they are told is tested with the kinds table.
        let told = |code: &str| code.starts_with("unknown-") || code == "double-id" || code == "kind-fault";
        let broken: Vec<_> = opened.problems.iter().filter(|p| !told(p.code)).collect();
        prop_assert!(broken.is_empty(), "{broken:?}");
        prop_assert_eq!(&opened.library, &library);
        let report = super::save(&dir, &mut opened.disk, &opened.library);
        prop_assert_eq!(report, super::SaveReport::default());
    }

    #[test]
    fn any_change_comes_back(before in library(), after in library()) {
        let home = tempfile::tempdir().unwrap();
        let dir = home.path().join("library");
        let table = Shared::default();
        let mut disk = super::create_from(&dir, &before, &table).unwrap();
        let report = super::save(&dir, &mut disk, &after);
        prop_assert!(report.is_clean(), "{:?}", report);
        prop_assert_eq!(super::open(&dir, &table).library, after);
    }
}
