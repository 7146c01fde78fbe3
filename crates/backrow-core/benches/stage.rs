//! What a drag costs with 80 things on the floor: every check and every way between all standing places.
//!
//! Aim: both within 4 ms, so that a frame of a drag can redo them.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]

use backrow_core::collection::{
    Area, Footprint, Instrument, Layout, Mass, Material, Owner, Point, Riser, Shape, Venue,
};
use backrow_core::id::{InstrumentId, KindId, VenueId};
use backrow_core::stage::{Plan, Stood, Walks};
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
    let brass = Area { name: "brass".to_owned(), outline: rectangle(-4.0, 9.0, 4.0, 10.5) };
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

fn thing(n: u32, venue: &Venue) -> Option<Stood> {
    let (column, row) = (f64::from(n % 10), f64::from(n / 10));
    let shape = match n % 3 {
        0 => Shape::Keyboard { width_m: 1.5, low_m: 0.8, high_m: 0.5 },
        1 => Shape::Box { width_m: 0.9, depth_m: 0.5 },
        _ => Shape::Round { diameter_m: 0.7 },
    };
    let at = Point::new(-9.5 + column * 2.1, 1.2 + row * 1.3);
    let placement = Placement { at, turn_deg: f64::from(n * 37 % 60), number: n, locked: false };
    let id = InstrumentId::new(&format!("thing-{n}")).ok()?;
    let instrument = Instrument {
        id: id.clone(),
        kind: KindId::new("thing").ok()?,
        name: String::new(),
        owner: Owner::House,
        place: None,
        frames: Vec::new(),
        layout: Layout::OneRow,
        material: Material::Mixed,
        mass: Some(Mass { kg: 40.0, weighed: false }),
        pieces: Vec::new(),
        footprint: Footprint { shape, height_m: 0.9 },
        tuned_to: None,
        character: Vec::new(),
        condition: String::new(),
        remark: String::new(),
    };
    Some(Stood::new(&id, &instrument, &placement, Some(venue)))
}

fn stage(c: &mut Criterion) {
    let Some(venue) = venue() else { return };
    for count in [25, 80] {
        let plan = Plan { things: (0..count).filter_map(|n| thing(n, &venue)).collect() };
        c.bench_function(&format!("every check, {count} things"), |b| {
            b.iter(|| black_box(plan.checks(Some(&venue), 0.6)));
        });
        c.bench_function(&format!("every way, {count} things"), |b| {
            b.iter(|| black_box(Walks::of(&plan, Some(&venue))));
        });
    }
}

criterion_group!(benches, stage);
criterion_main!(benches);
