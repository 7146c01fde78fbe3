//! The rows: instruments that the filters leave, with their answers to the line.

use super::filters::{Filters, Sort};
use super::row::Row;
use crate::places::compass::Here;
use crate::scene::Scene;
use crate::words::{owner_words, place_words};
use backrow_core::collection::{Instrument, Layout};
use backrow_core::compass::{Fit, PitchSet, Reach, fit};
use backrow_core::findings::Neighbours;
use backrow_core::id::{KindId, ProgrammeId, begun};
use backrow_core::library::Library;
use backrow_core::music::{Line, Spelling};
use backrow_core::sets;
use backrow_core::timpani;
use backrow_core::week::LineRef;

/// What the rows are worked out from.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RowsKey(u64, Option<LineRef>, Option<ProgrammeId>, Filters);

impl RowsKey {
    pub(super) fn new(scene: &Scene<'_>, view: &Here<'_>) -> Self {
        Self(scene.revision, view.line.clone(), view.programme.clone(), view.own.filters.clone())
    }
}

/// What the list shows.
#[derive(Clone, Debug, Default)]
pub(super) struct Shown {
    pub(super) rows: Vec<Row>,
    /// Kinds with several instruments, where rows stand by kind: a bracket each.
    pub(super) groups: Vec<Group>,
    /// How many of those that the other filters leave are free, and how many reach the line.
    pub(super) free: usize,
    pub(super) reaches: usize,
    /// The fewest instruments that reach the line together, where no single one does, in words.
    pub(super) together: String,
    /// How the line names its pitches.
    pub(super) spelling: Spelling,
}

/// A kind's rows, from the top of the first to the foot of the last, points from the list's top.
#[derive(Clone, Debug)]
pub(super) struct Group {
    pub(super) kind: KindId,
    pub(super) name: String,
    pub(super) top: f32,
    pub(super) bottom: f32,
    pub(super) folded: bool,
}

/// The rows that the filters leave, in their order.
pub(super) fn shown(
    library: &Library,
    line: Option<&LineRef>,
    programme: Option<&ProgrammeId>,
    filters: &Filters,
) -> Shown {
    let asked = line.and_then(|at| library.line(at)).map(|(_, line)| line);
    let asks = asked.filter(|line| line.is_pitched()).map(Line::sounding);
    let spelling = asked.map(Line::spelling).unwrap_or_default();
    let programme = programme.and_then(|id| library.programme(id));
    // A line without pitch is answered by its kind and what is like it; the bars of others say nothing to it.
    let near =
        asked.and_then(|line| line.kind.as_ref()).map_or_else(Vec::new, |kind| nearness(library, kind));
    let without_pitch = asked.is_some_and(|line| !line.is_pitched());
    let shows = |thing: &Instrument| {
        if without_pitch { near.contains(&&thing.kind) } else { thing.is_pitched() }
    };
    let neighbours = programme.map(|programme| Neighbours::of(library, programme));
    let mut rows: Vec<Row> = library
        .instruments
        .values()
        .filter(|thing| shows(thing))
        .map(|thing| {
            let mut row = row(library, thing);
            row.near = near.iter().position(|kind| **kind == thing.kind).unwrap_or(near.len());
            row.answers = !without_pitch || row.near == 0;
            if without_pitch {
                row.answer = kind_words(library, near.first().copied(), &row);
            }
            row.reach = asks.map(|asks| fit(thing.compass(), asks));
            if let Some(reach) = &row.reach {
                row.answer = answer_words(reach, asks.unwrap_or_default(), &spelling);
            }
            drums(library, asked, thing, &mut row);
            if let Some(programme) = programme {
                row.elsewhere = neighbours
                    .as_ref()
                    .and_then(|neighbours| neighbours.other_use(&thing.id))
                    .map(|(other, when)| format!("{}, {when}", other.title));
                let given = line.map(|at| programme.assignment(at)).filter(|given| given.is_on(&thing.id));
                let player =
                    given.and_then(|given| given.player).and_then(|id| library.players.get(&id).cloned());
                row.player = player.map(|player| (player.order, player.initials.clone()));
            }
            row
        })
        .filter(|row| filters.keep_but(library, row))
        .collect();
    let is_free = |row: &Row| row.elsewhere.is_none();
    let reaches = |row: &Row| row.answers && row.reach.as_ref().is_none_or(|reach| reach.fit == Fit::Whole);
    let count = |one: &dyn Fn(&Row) -> bool, other: bool, also: &dyn Fn(&Row) -> bool| {
        rows.iter().filter(|row| one(row) && (!other || also(row))).count()
    };
    let (free, reach) = (count(&is_free, filters.reaches, &reaches), count(&reaches, filters.free, &is_free));
    rows.retain(|row| (!filters.free || is_free(row)) && (!filters.reaches || reaches(row)));
    sort(library, &mut rows, filters.sort);
    let by_kind = filters.sort == Sort::Kind;
    if by_kind {
        rows = fold(library, rows, filters, &spelling);
    }
    let groups = lay_out(library, &mut rows, by_kind);
    let together = asked.map_or_else(String::new, |line| together_words(library, line));
    Shown { rows, groups, free, reaches: reach, together, spelling }
}

/// The kind, then those that stand in for it, then those that it stands in for.
fn nearness<'a>(library: &'a Library, kind: &'a KindId) -> Vec<&'a KindId> {
    let mut near = vec![kind];
    near.extend(library.kinds.get(kind).iter().flat_map(|kind| &kind.like));
    near.extend(library.kinds.values().filter(|other| other.like.contains(kind)).map(|other| &other.id));
    let mut seen = std::collections::BTreeSet::new();
    near.retain(|kind| seen.insert(*kind));
    near
}

/// "what the line asks for", or "gong instead of tam-tam: somebody must agree".
fn kind_words(library: &Library, asked: Option<&KindId>, row: &Row) -> String {
    let instead = asked.and_then(|kind| library.instead_words(kind, &row.kind));
    instead
        .map_or_else(|| "what the line asks for".to_owned(), |words| format!("{words}: somebody must agree"))
}

/// A set has its range drum by drum, and reaches a line of timpani only if its drums can be retuned in time.
fn drums(library: &Library, line: Option<&Line>, thing: &Instrument, row: &mut Row) {
    let timpani = line.and_then(|line| line.kind.as_ref()).filter(|kind| sets::is_for_timpani(library, kind));
    if let (Some(kind), Some(reach)) = (timpani, row.reach.as_mut())
        && *kind != thing.kind
        && reach.fit == Fit::Whole
    {
        // Its notes lie on a marimba too, which is no answer to a call for drums.
        reach.fit = Fit::Part;
        row.answer = format!("{}, but is not a {}", row.answer, library.kind_name(kind));
    }
    if thing.layout != Layout::Drums {
        return;
    }
    let ends = |frame: &backrow_core::collection::Frame| {
        let bars = frame.compass();
        bars.lowest().zip(bars.highest())
    };
    row.drums = thing.frames.iter().filter_map(ends).collect();
    let Some((line, reach)) = line.zip(row.reach.as_mut()) else { return };
    if timpani != Some(&thing.kind) || reach.fit != Fit::Whole {
        return;
    }
    match sets::try_on(library, line, std::slice::from_ref(&thing.id)) {
        Ok(plan) if plan.changes.is_empty() => row.answer = format!("{}, no retuning", row.answer),
        Ok(plan) => row.answer = format!("{}, retuned {}\u{d7}", row.answer, plan.changes.len()),
        Err(why) => {
            reach.fit = Fit::Part;
            row.answer = timpani::impossible_words(&why, &line.spelling());
        }
    }
}

/// "Together: Crotales, low + Crotales, high", where no single instrument reaches the line.
fn together_words(library: &Library, line: &Line) -> String {
    let cover = backrow_core::cover::cover(library, line);
    let names: Vec<String> = cover.together.iter().map(|id| library.instrument_name(id)).collect();
    let names = if names.len() > 1 { sets::instrument_words(library, &cover.together) } else { names };
    if names.is_empty() { String::new() } else { format!("Together: {}", names.join(" + ")) }
}

/// Puts one row in the place of a folded kind's, with the answers of its instruments put together.
fn fold(library: &Library, rows: Vec<Row>, filters: &Filters, spelling: &Spelling) -> Vec<Row> {
    let mut out: Vec<Row> = Vec::with_capacity(rows.len());
    // How many of a folded row's instruments reach the line whole.
    let mut whole = 0;
    for row in rows {
        if !filters.folded.contains(&row.kind) {
            out.push(row);
            continue;
        }
        let reaches = usize::from(row.reach.as_ref().is_some_and(|reach| reach.fit == Fit::Whole));
        if let Some(last) = out.last_mut().filter(|last| last.kind == row.kind && last.folds > 0) {
            whole += reaches;
            last.folds += 1;
            last.bars = last.bars.union(row.bars);
            last.dead = PitchSet::EMPTY;
            last.drums.clear();
            last.reach = last.reach.zip(row.reach).map(|(one, other)| between(&one, &other));
            last.player = last.player.take().or(row.player);
            last.answer = folded_words(last, whole, spelling);
        } else {
            whole = reaches;
            out.push(Row { folds: 1, elsewhere: None, ..row });
        }
    }
    for row in out.iter_mut().filter(|row| row.folds > 0) {
        row.name = begun(&library.kind_name(&row.kind));
        row.beside =
            if row.folds == 1 { "1 instrument".to_owned() } else { format!("{} instruments", row.folds) };
    }
    out
}

/// What two answers reach between them; it is whole only where one of them is.
fn between(one: &Reach, other: &Reach) -> Reach {
    let reached = one.reached.union(other.reached);
    let lower = one.lower.union(other.lower).minus(reached);
    let higher = one.higher.union(other.higher).minus(reached).minus(lower);
    let missing = one.missing.intersection(other.missing);
    let fit = match (one.fit, other.fit) {
        (Fit::Whole, _) | (_, Fit::Whole) => Fit::Whole,
        (Fit::Octave(octaves), _) | (_, Fit::Octave(octaves)) => Fit::Octave(octaves),
        (Fit::Part, _) | (_, Fit::Part) => Fit::Part,
        (Fit::None, Fit::None) => Fit::None,
    };
    Reach { fit, reached, lower, higher, missing }
}

/// "2 of 3 reach all 19"; "none of 3 alone; between them reaches 17 of 19, lacks B♭6". A line without pitch is answered by the kind alone.
fn folded_words(row: &Row, whole: usize, spelling: &Spelling) -> String {
    let Some(reach) = &row.reach else { return row.answer.clone() };
    let (many, all) = (row.folds, reach.reached.union(reach.lacking()));
    match whole {
        0 => format!("none of {many} alone; between them {}", answer_words(reach, all, spelling)),
        1 => format!("1 of {many} reaches all {}", all.len()),
        _ => format!("{whole} of {many} reach all {}", all.len()),
    }
}

fn row(library: &Library, thing: &Instrument) -> Row {
    let place = place_words(library, thing.place.as_ref());
    let owner = owner_words(library, &thing.owner);
    Row {
        id: thing.id.clone(),
        name: thing.name.clone(),
        kind: thing.kind.clone(),
        beside: if place.is_empty() { owner } else { format!("{owner}, {place}") },
        material: thing.material,
        bars: thing.bars(),
        dead: thing.dead(),
        octave: library.kinds.get(&thing.kind).and_then(|kind| kind.octave).unwrap_or_default(),
        reach: None,
        near: 0,
        answers: true,
        answer: String::new(),
        drums: Vec::new(),
        player: None,
        elsewhere: None,
        folds: 0,
        first_of_kind: false,
        top: 0.0,
    }
}

/// "reaches all 19"; "14 of 19, 5 an octave or more away"; "13 of 19, lacks G♭6", as the line spells it.
fn answer_words(reach: &Reach, asks: PitchSet, spelling: &Spelling) -> String {
    let all = asks.len();
    if reach.fit == Fit::Whole {
        return format!("reaches all {all}");
    }
    let away = reach.lower.union(reach.higher).len();
    let away = if away > 0 { format!(", {away} an octave or more away") } else { String::new() };
    let lacks = if reach.missing.is_empty() {
        String::new()
    } else {
        format!(", lacks {}", spelling.words(reach.missing))
    };
    format!("reaches {} of {all}{away}{lacks}", reach.reached.len())
}

fn sort(library: &Library, rows: &mut [Row], by: Sort) {
    let kind_order = |row: &Row| {
        let kind = library.kinds.get(&row.kind);
        (kind.map(|kind| kind.family), kind.map_or_else(String::new, |kind| kind.name().to_owned()))
    };
    match by {
        Sort::Kind => rows.sort_by_cached_key(|row| (row.near, kind_order(row), row.name.clone())),
        Sort::Name => rows.sort_by_cached_key(|row| row.name.clone()),
        Sort::Place => rows.sort_by_cached_key(|row| (row.beside.clone(), row.name.clone())),
        Sort::Answer => rows.sort_by_cached_key(|row| {
            let lacks = row.reach.as_ref().map_or(u32::MAX, |reach| reach.lacking().len());
            (lacks, row.near, kind_order(row), row.name.clone())
        }),
    }
}

fn lay_out(library: &Library, rows: &mut [Row], by_kind: bool) -> Vec<Group> {
    let mut top = 0.0;
    let mut before: Option<KindId> = None;
    let mut groups: Vec<Group> = Vec::new();
    for row in rows {
        row.first_of_kind = before.as_ref() != Some(&row.kind);
        if by_kind && row.first_of_kind && before.is_some() {
            top += super::measure::GAP;
        }
        row.top = top;
        top += super::measure::ROW;
        before = Some(row.kind.clone());
        match groups.last_mut().filter(|group| by_kind && group.kind == row.kind) {
            Some(group) => group.bottom = top,
            None => groups.push(Group {
                kind: row.kind.clone(),
                name: library.kind_name(&row.kind),
                top: row.top,
                bottom: top,
                folded: row.folds > 0,
            }),
        }
    }
    groups.retain(|group| by_kind && (group.folded || group.bottom - group.top > super::measure::ROW));
    groups
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::edit::{Edit, apply};
    use backrow_core::id::{InstrumentId, LineId, WorkId};
    use backrow_core::pitch::{KeyNumber, Reading, parse_note};

    fn names(library: &Library, line: &str) -> Vec<String> {
        let at = LineRef { work: WorkId::new("lanterns").unwrap(), line: LineId::new(line).unwrap() };
        let shown = shown(library, Some(&at), None, &Filters::default());
        shown.rows.into_iter().map(|row| row.name).collect()
    }

    #[test]
    fn a_line_without_pitch_shows_its_kind_and_what_is_like_it() {
        let library = crate::sample::small();
        assert_eq!(names(&library, "triangle"), ["Triangle 1"]);
        assert_eq!(names(&library, "bass-drum"), ["Bass drum 1"]);
        let mut surdo =
            (**library.instruments.values().find(|thing| thing.name == "Bass drum 1").unwrap()).clone();
        surdo.id = InstrumentId::new("surdo").unwrap();
        surdo.kind = KindId::new("surdo").unwrap();
        "Surdo".clone_into(&mut surdo.name);
        let library = apply(&library, &Edit::PutInstrument(surdo)).unwrap();
        assert_eq!(names(&library, "bass-drum"), ["Bass drum 1", "Surdo"]);
        let at = LineRef { work: WorkId::new("lanterns").unwrap(), line: LineId::new("bass-drum").unwrap() };
        let all = shown(&library, Some(&at), None, &Filters::default());
        assert_eq!(all.reaches, 1, "the surdo stands in and does not answer");
        assert!(all.rows[1].answer.starts_with("surdo instead of bass drum"), "{}", all.rows[1].answer);
    }

    /// A B flat stays a B flat in the answers of instruments, folded or not.
    #[test]
    fn what_lacks_is_named_as_the_part_spells_it() {
        let library = crate::sample::small();
        let at =
            LineRef { work: WorkId::new("lanterns").unwrap(), line: LineId::new("glockenspiel").unwrap() };
        let mut line = library.line(&at).unwrap().1.clone();
        let flat = parse_note("Bb4", Reading::English).unwrap();
        line.passages.iter_mut().flat_map(|passage| &mut passage.notes).for_each(|note| note.written = flat);
        let mut edits = vec![Edit::PutLine { work: at.work.clone(), line }];
        for thing in library.instruments.values().filter(|thing| thing.is_pitched()) {
            let mut thing = (**thing).clone();
            let range = ["C6", "G6"].map(|name| parse_note(name, Reading::English).unwrap().key());
            for frame in &mut thing.frames {
                (frame.range, frame.gaps) = (Some((range[0], range[1])), PitchSet::EMPTY);
            }
            edits.push(Edit::PutInstrument(thing));
        }
        let library = apply(&library, &Edit::Together { words: String::new(), edits }).unwrap();
        let mut filters = Filters::default();
        for folded in [false, true] {
            if folded {
                filters.folded.extend(library.instruments.values().map(|thing| thing.kind.clone()));
            }
            let shown = shown(&library, Some(&at), None, &filters);
            assert!(!shown.rows.is_empty());
            for row in &shown.rows {
                assert!(row.answer.contains("lacks B♭"), "{}: {}", row.name, row.answer);
            }
            let lacks = shown.rows[0].reach.as_ref().unwrap().missing;
            let names: Vec<String> = lacks.iter().map(|key| shown.spelling.of(key).to_string()).collect();
            assert!(names.iter().all(|name| name.starts_with("B♭")), "{names:?}");
        }
    }

    #[test]
    fn a_folded_kind_says_what_its_own_rows_say() {
        let library = crate::sample::small();
        let at = LineRef { work: WorkId::new("lanterns").unwrap(), line: LineId::new("marimba").unwrap() };
        let open = shown(&library, Some(&at), None, &Filters::default());
        let kind = open.rows[0].kind.clone();
        let own: Vec<&Row> = open.rows.iter().filter(|row| row.kind == kind).collect();
        let filters = Filters { folded: std::iter::once(kind.clone()).collect(), ..Filters::default() };
        let folded = shown(&library, Some(&at), None, &filters);
        let row = folded.rows.iter().find(|row| row.folds > 0).unwrap();
        assert_eq!(row.folds, own.len());
        if own.len() == 1 {
            assert_eq!((&row.answer, row.reach), (&own[0].answer, own[0].reach));
        }
    }

    #[test]
    fn sets_that_cannot_be_retuned_in_time_do_not_reach_when_folded() {
        let library = crate::sample::small();
        let all = PitchSet::EMPTY.with(KeyNumber::new(41).unwrap());
        let reach = fit(all, all);
        let thing = library.instruments.values().next().unwrap();
        // Every note is there, and yet the row says that it cannot be played.
        let late = Row { reach: Some(Reach { fit: Fit::Part, ..reach }), ..row(&library, thing) };
        let filters = Filters { folded: std::iter::once(thing.kind.clone()).collect(), ..Filters::default() };
        let folded = fold(&library, vec![late.clone(), late], &filters, &Spelling::default());
        assert_eq!(folded[0].reach.map(|reach| reach.fit), Some(Fit::Part));
        assert_eq!(folded[0].answer, "none of 2 alone; between them reaches 1 of 1");
    }

    #[test]
    fn the_lines_own_kind_comes_first() {
        let library = crate::sample::small();
        assert_eq!(names(&library, "marimba")[0], "Marimba 1");
        assert_eq!(names(&library, "glockenspiel")[0], "Glockenspiel 1");
        let nothing = shown(&library, None, None, &Filters::default());
        assert!(nothing.rows.iter().all(|row| library.instruments[&row.id].is_pitched()));
    }
}
