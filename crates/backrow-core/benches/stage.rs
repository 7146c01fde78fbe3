//! What a drag costs with 80 things on the floor: the plan, every check, and the ways that players go, within 4 ms a
//! frame; beside it every check alone, and every way between all standing places.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]

use backrow_core::collection::{
    Area, AreaUse, Footprint, Instrument, Layout, Mass, Material, Owner, Point, Riser, Shape, Venue,
};
use backrow_core::id::{InstrumentId, KindId, VenueId};
use backrow_core::stage::{InHand, Plan, Stood, Walks};
use backrow_core::week::Placement;
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<Point> {
    [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|(x, y)| Point::new(x, y)).to_vec()
}

fn venue() -> Option<Venue> {
    let riser = Riser {
        name: "back".to_owned(),
        outline: rectangle(-11.0, 0.0, 11.0, 4.0),
        height_m: 0.4,
        rated_kn_m2: Some(5.0),
    };
    let brass = Area {
        name: "brass".to_owned(),
        kept_for: AreaUse::NotToEnter,
        outline: rectangle(-4.0, 9.0, 4.0, 10.5),
    };
    Some(Venue {
        id: VenueId::new("hall").ok()?,
        name: String::new(),
        floor: rectangle(-11.0, 0.0, 11.0, 12.0),
        risers: vec![riser],
        keep_out: vec![brass],
        conductor: None,
        remark: String::new(),
    })
}

fn thing(n: u32, venue: &Venue, by: impl Fn(&InstrumentId) -> Point) -> Option<Stood> {
    let (column, row) = (f64::from(n % 10), f64::from(n / 10));
    let shape = match n % 3 {
        0 => Shape::Keyboard { width_m: 1.5, low_m: 0.8, high_m: 0.5 },
        1 => Shape::Box { width_m: 0.9, depth_m: 0.5 },
        _ => Shape::Round { diameter_m: 0.7 },
    };
    let id = InstrumentId::new(&format!("thing-{n}")).ok()?;
    let by = by(&id);
    let at = Point::new(-9.5 + column * 2.1 + by.x, 1.2 + row * 1.3 + by.y);
    let placement = Placement { at, turn_deg: f64::from(n * 37 % 60), number: n, locked: false };
    let instrument = Instrument {
        id: id.clone(),
        kind: KindId::new("thing").ok()?,
        name: String::new(),
        owner: Owner::Orchestra,
        place: None,
        frames: Vec::new(),
        layout: Layout::OneRow,
        material: Material::Mixed,
        mass: Some(Mass { kg: 40.0, weighed: false }),
        pieces: Vec::new(),
        footprint: Footprint { shape, height_m: 0.9 },
        tuned_to: None,
        character: Vec::new(),
        for_two: false,
        condition: String::new(),
        picture: String::new(),
        remark: String::new(),
    };
    Some(Stood::new(&id, &instrument, &placement, Some(venue)))
}

/// One thing carried round a circle of a metre: each frame the plan, its checks and the ways.
fn drag(c: &mut Criterion, still: &Plan, venue: &Venue) {
    let count = still.things.len();
    let Some(held) = still.things.get(count / 2).map(|thing| thing.instrument.clone()) else { return };
    // Each thing with its three neighbours in the order of the list: the ways of a dozen players.
    let ids = || still.things.iter().map(|thing| thing.instrument.clone());
    let pairs = (1..4).flat_map(|by| ids().zip(ids().skip(by))).collect::<Vec<_>>();
    let ways = pairs.len();
    let in_hand = InHand::new(still, &[held.clone()].into(), Some(venue), pairs);
    let mut turn = 0_u32;
    c.bench_function(&format!("a frame of a drag, {count} things, {ways} ways"), |b| {
        b.iter(|| {
            turn += 1;
            let angle = f64::from(turn % 32) * std::f64::consts::TAU / 32.0;
            let by = Point::new(angle.cos(), angle.sin());
            let moved = |n| thing(n, venue, |id| if *id == held { by } else { Point::default() });
            let plan = Plan { things: (0..80).filter_map(moved).take(count).collect() };
            black_box(plan.checks(Some(venue), 0.6));
            black_box(in_hand.walks(&plan));
        });
    });
}

fn stage(c: &mut Criterion) {
    let Some(venue) = venue() else { return };
    for count in [25, 80] {
        let plan =
            Plan { things: (0..count).filter_map(|n| thing(n, &venue, |_| Point::default())).collect() };
        c.bench_function(&format!("every check, {count} things"), |b| {
            b.iter(|| black_box(plan.checks(Some(&venue), 0.6)));
        });
        drag(c, &plan, &venue);
        c.bench_function(&format!("every way, {count} things"), |b| {
            b.iter(|| black_box(Walks::of(&plan, Some(&venue))));
        });
    }
}

criterion_group!(benches, stage);
criterion_main!(benches);
