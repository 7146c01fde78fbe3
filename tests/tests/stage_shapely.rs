//! Footprints and ways against tables made by Shapely (GEOS): `tests/outside/stage_shapely.py` made them and names the
//! source. 200 random pairs of things and 40 random floors with areas not to enter, some of them not convex.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

use backrow_core::collection::{
    Area, AreaUse, Footprint, Instrument, Layout, Material, Owner, Point, Shape, Venue,
};
use backrow_core::id::{InstrumentId, KindId, VenueId};
use backrow_core::stage::{Figure, Plan, Side, Stood, Walks, figure, gap, overlap};
use backrow_core::week::Placement;

fn numbers(cells: &[&str]) -> Vec<f64> {
    cells.iter().map(|cell| cell.parse().unwrap()).collect()
}

fn placed(x: f64, y: f64, turn_deg: f64) -> Placement {
    Placement { at: Point::new(x, y), turn_deg, number: 1, locked: false }
}

fn thing(cells: &[&str]) -> Figure {
    let [width_m, low_m, high_m, x, y, turn] = numbers(&cells[1..]).try_into().unwrap();
    let shape = match cells[0] {
        "keyboard" => Shape::Keyboard { width_m, low_m, high_m },
        "box" => Shape::Box { width_m, depth_m: low_m },
        "round" => Shape::Round { diameter_m: width_m },
        other => panic!("{other}"),
    };
    figure(shape, &placed(x, y, turn))
}

/// Shoelace.
fn area(outline: &[Point]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>().abs() / 2.0
}

#[test]
fn areas_overlaps_and_gaps_agree() {
    let mut overlapping = 0;
    for (row, line) in include_str!("../outside/stage_pairs.csv").lines().enumerate() {
        let cells: Vec<&str> = line.split(',').collect();
        let (one, other) = (thing(&cells[..7]), thing(&cells[7..14]));
        let [own, shared, apart] = numbers(&cells[14..]).try_into().unwrap();
        assert!((area(&one.outline) - own).abs() < 1e-8, "area in row {row}");
        if let Some(over) = overlap(&one, &other) {
            overlapping += 1;
            assert!((area(&over.common) - shared).abs() < 1e-5, "common area in row {row}");
            assert!(apart < 1e-9, "gap in row {row}");
        } else {
            assert!(shared < 1e-9, "common area in row {row}");
            let gap = gap(&one, &other).unwrap().metres;
            assert!((gap - apart).abs() < 1e-8, "gap in row {row}: {gap} {apart}");
        }
    }
    assert!((50..190).contains(&overlapping), "both sorts are there: {overlapping}");
}

/// A small box whose standing place is at `p`.
fn stander(name: &str, p: Point) -> Stood {
    let thing = Instrument {
        pieces: Vec::new(),
        id: InstrumentId::new(name).unwrap(),
        kind: KindId::new("thing").unwrap(),
        name: name.to_owned(),
        owner: Owner::Orchestra,
        place: None,
        frames: Vec::new(),
        layout: Layout::OneRow,
        material: Material::Mixed,
        mass: None,
        footprint: Footprint { shape: Shape::Box { width_m: 0.2, depth_m: 0.2 }, height_m: 1.0 },
        tuned_to: None,
        character: Vec::new(),
        for_two: false,
        condition: String::new(),
        picture: String::new(),
        remark: String::new(),
    };
    let mut stood = Stood::new(&thing.id.clone(), &thing, &placed(p.x, p.y, 0.0), None);
    stood.standing.place = p;
    // Out of the way: only the areas count here.
    stood.figure = figure(Shape::Box { width_m: 0.2, depth_m: 0.2 }, &placed(50.0, 50.0, 0.0));
    stood
}

#[test]
fn shortest_ways_agree() {
    let mut turned = 0;
    for (row, line) in include_str!("../outside/stage_ways.csv").lines().enumerate() {
        let cells: Vec<&str> = line.split(',').collect();
        let [x0, y0, x1, y1] = numbers(&cells[..4]).try_into().unwrap();
        let corner = |text: &str| {
            let (x, y) = text.split_once('/').unwrap();
            Point::new(x.parse().unwrap(), y.parse().unwrap())
        };
        let areas = cells[4].split(';').map(|area| Area {
            name: String::new(),
            kept_for: AreaUse::NotToEnter,
            outline: area.split(' ').map(corner).collect(),
        });
        let venue = Venue {
            id: VenueId::new("hall").unwrap(),
            name: String::new(),
            floor: Vec::new(),
            risers: Vec::new(),
            keep_out: areas.collect(),
            conductor: None,
            remark: String::new(),
        };
        let things = vec![stander("a", Point::new(x0, y0)), stander("b", Point::new(x1, y1))];
        let walks = Walks::of(&Plan { things }, Some(&venue));
        let (a, b) = (InstrumentId::new("a").unwrap(), InstrumentId::new("b").unwrap());
        let way = walks.way((&a, Side::Playing), (&b, Side::Playing)).unwrap();
        let [metres] = numbers(&cells[5..]).try_into().unwrap();
        assert!((way.walk.metres - metres).abs() < 1e-6, "row {row}: {} {metres}", way.walk.metres);
        turned += usize::from(way.points.len() > 2);
    }
    assert!(turned > 20, "most go round something: {turned}");
}
