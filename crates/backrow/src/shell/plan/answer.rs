//! The plan as lines, and as one object.

use super::propose::Proposed;
use super::{counted, object};
use crate::evenings::evening_apart;
use backrow_core::evening::{Evening, Floor};
use backrow_core::findings::check;
use backrow_core::id::{ProgrammeId, WorkId};
use backrow_core::library::Library;
use backrow_core::music::{Line, Movement, Work};
use backrow_core::sets::line_plan;
use backrow_core::stage::{Plan, Stood, faces_deg};
use backrow_core::week::{Assignment, LineRef, Programme};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// For people.
pub(super) fn lines(proposed: &Proposed, id: &ProgrammeId, files: &[String]) -> Vec<String> {
    let library = &proposed.library;
    let Some(programme) = library.programme(id) else { return Vec::new() };
    let works: Vec<&Work> = works(library, programme).collect();
    let lines = works.iter().map(|work| work.lines.len()).sum();
    let mut rows = vec![format!("{}: {}", programme.title, counted(works.len(), lines))];
    for work in works {
        let composer = if work.composer.is_empty() { String::new() } else { format!(", {}", work.composer) };
        rows.push(format!("{}{composer}", work.title));
        for movement in &work.movements {
            let heading = movement.heading();
            let at = if heading.is_empty() { "all".to_owned() } else { heading };
            let lines: Vec<String> =
                work.lines_of(&movement.id).map(|line| line_words(proposed, programme, work, line)).collect();
            let lines = if lines.is_empty() { "tacet".to_owned() } else { lines.join("; ") };
            rows.push(format!("  {at}, {}\u{202F}s: {lines}", movement.timeline.end_s.round()));
        }
    }
    rows.extend(proposed.proofs.iter().cloned());
    rows.extend(proposed.open.iter().cloned());
    rows.extend(files.iter().cloned());
    rows
}

fn works<'a>(library: &'a Library, programme: &'a Programme) -> impl Iterator<Item = &'a Work> {
    programme.works.iter().filter_map(|id| library.works.get(id)).map(|work| &**work)
}

fn line_words(proposed: &Proposed, programme: &Programme, work: &Work, line: &Line) -> String {
    let library = &proposed.library;
    let at = LineRef { work: work.id.clone(), line: line.id.clone() };
    let player = match (programme.assignment(&at).player, proposed.waiting.get(&at)) {
        (Some(id), _) => library.player_name(&id),
        (None, Some(extra)) => format!("waits for extra {extra}"),
        (None, None) => "not assigned".to_owned(),
    };
    format!("{} ({player})", library.line_name(line))
}

/// For scripts: works with their lines, stations, proofs and findings.
pub(super) fn json(proposed: &Proposed, id: &ProgrammeId, files: &[String]) -> Value {
    let library = &proposed.library;
    let Some(programme) = library.programme(id) else { return json!({}) };
    let works: Vec<Value> = works(library, programme)
        .map(|work| {
            let movements: Vec<Value> = work
                .movements
                .iter()
                .map(|movement| movement_json(proposed, programme, work, movement))
                .collect();
            json!({ "title": work.title, "composer": work.composer, "movements": movements })
        })
        .collect();
    let evening = evening_apart(library, programme);
    let findings: Vec<Value> = check(&evening)
        .iter()
        .map(|one| {
            json!({ "code": one.rule.code(), "degree": one.degree.word(), "what": one.what, "detail": one.detail() })
        })
        .collect();
    Value::Object(object(json!({
        "programme": programme.title,
        "works": works,
        "stations": all_stations(&evening),
        "proofs": proposed.proofs,
        "open": proposed.open,
        "findings": findings,
        "files": files,
    })))
}

fn movement_json(proposed: &Proposed, programme: &Programme, work: &Work, movement: &Movement) -> Value {
    let library = &proposed.library;
    let lines: Vec<Value> = work
        .lines_of(&movement.id)
        .map(|line| {
            let at = LineRef { work: work.id.clone(), line: line.id.clone() };
            let given = programme.assignment(&at);
            json!({
                "kind": line.kind.as_ref().map(ToString::to_string),
                "printed": line.printed,
                "instruments": given.instruments.iter().map(ToString::to_string).collect::<Vec<_>>(),
                "beaters": given.beaters.iter().map(ToString::to_string).collect::<Vec<_>>(),
                "player": given.player.as_ref().map(ToString::to_string),
                "extra": proposed.waiting.get(&at),
                "tuning": tuning(library, line, &given),
            })
        })
        .collect();
    json!({
        "number": movement.number,
        "title": movement.title,
        "seconds": movement.timeline.end_s,
        "lines": lines,
    })
}

/// The tuning plan of a line of timpani, or where and why there is none; nothing for other lines.
fn tuning(library: &Library, line: &Line, given: &Assignment) -> Value {
    let Some(row) = line_plan(library, line, given) else { return Value::Null };
    let tuning = match row.facts() {
        Ok(tuning) => tuning,
        Err(why) => return json!({ "impossible": why }),
    };
    let name = |key| row.spelling.of(key).to_string();
    let drums: Vec<Value> = tuning
        .drums
        .iter()
        .map(|one| json!({ "instrument": one.instrument.to_string(), "drum": one.drum, "start": name(one.start) }))
        .collect();
    let changes: Vec<Value> = tuning
        .changes
        .iter()
        .map(|one| {
            json!({
                "measure": one.measure.to_string(),
                "drum": one.drum,
                "from": name(one.from),
                "to": name(one.to),
                "have_s": one.have_s,
                "need_s": one.need_s,
                "heard": one.heard,
            })
        })
        .collect();
    json!({
        "drums": drums,
        "changes": changes,
        "fewest_drums": tuning.fewest_drums,
        "proof": tuning.proof,
    })
}

/// The stations of every floor; those of a work that has its own name the work.
fn all_stations(evening: &Evening) -> Vec<Value> {
    let of = |(work, floor): (Option<&WorkId>, &Floor)| {
        let title = work.and_then(|id| evening.library().works.get(id)).map(|work| work.title.clone());
        let named = move |mut station: Value| {
            if let (Value::Object(fields), Some(title)) = (&mut station, &title) {
                fields.insert("work".to_owned(), title.clone().into());
            }
            station
        };
        stations(floor.plan()).into_iter().map(named).collect::<Vec<_>>()
    };
    evening.floors().flat_map(of).collect()
}

/// What stands on one floor, a station for what stands as one. Its place is the mean of its things' middles; its turn is theirs,
/// weighed by the floor that they cover, so that an arc of drums is turned as its player is.
fn stations(plan: &Plan) -> Vec<Value> {
    let grouped = plan.stations();
    let alone = (0..plan.things.len()).filter(|at| !grouped.iter().any(|station| station.contains(at)));
    // What lies on a table that stands alone is of that one's station.
    let bearers = alone.filter(|at| plan.things.get(*at).is_some_and(|stood| stood.on.is_none()));
    let single = bearers.map(|at| {
        let lying = plan.things.iter().enumerate().filter(move |(_, other)| other.on == Some(at));
        std::iter::once(at).chain(lying.map(|(lies, _)| lies)).collect::<Vec<_>>()
    });
    let all: Vec<Vec<usize>> = grouped.iter().cloned().chain(single).collect();
    all.iter().map(|station| station_json(plan, station)).collect()
}

fn station_json(plan: &Plan, station: &[usize]) -> Value {
    let things: Vec<&Stood> = station.iter().filter_map(|at| plan.things.get(*at)).collect();
    let standing: Vec<&&Stood> = things.iter().filter(|stood| stood.on.is_none()).collect();
    let count = standing.len().max(1) as f64;
    let mean = |of: fn(&Stood) -> f64| standing.iter().map(|stood| of(stood)).sum::<f64>() / count;
    let turn_deg = faces_deg(things.iter().copied());
    // Whoever plays most of it.
    let mut players: BTreeMap<String, usize> = BTreeMap::new();
    for player in things.iter().flat_map(|stood| &stood.played_by) {
        *players.entry(player.to_string()).or_default() += 1;
    }
    let player = players.iter().max_by_key(|(id, count)| (**count, std::cmp::Reverse(*id))).map(|(id, _)| id);
    let millimetres = |metres: f64| (metres * 1000.0).round() / 1000.0;
    json!({
        "player": player,
        "x_m": millimetres(mean(|stood| stood.placement.at.x)),
        "y_m": millimetres(mean(|stood| stood.placement.at.y)),
        "turn_deg": (turn_deg * 10.0).round() / 10.0 % 360.0 + 0.0,
        "instruments": things.iter().map(|stood| stood.instrument.to_string()).collect::<Vec<_>>(),
    })
}
