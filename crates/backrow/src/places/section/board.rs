//! What the board shows, worked out once a revision: strips, lanes, ruler.

use crate::places::section::Here;
use crate::scene::Scene;
use backrow_core::collection::Player;
use backrow_core::evening::Evening;
use backrow_core::id::{MovementId, PlayerId, ProgrammeId, WorkId};
use backrow_core::library::Library;
use backrow_core::moves::Timetable;
use backrow_core::seconds::{Round, text};
use backrow_core::week::{LineRef, Presence, Service, Standing};

/// What the board is worked out from.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Key(
    (u64, u64),
    Option<ProgrammeId>,
    Option<WorkId>,
    Option<MovementId>,
    Vec<(LineRef, Option<PlayerId>)>,
);

impl Key {
    pub(super) fn new(scene: &Scene<'_>, view: &Here<'_>) -> Self {
        let ghosts = view.own.ghosts(scene.library);
        let stamps = (scene.revision, scene.derived.stamp());
        Self(stamps, view.programme.clone(), view.work.clone(), view.movement.clone(), ghosts)
    }
}

/// One movement with its lines.
pub(super) struct Board {
    pub(super) end_s: f64,
    pub(super) strips: Vec<Strip>,
    pub(super) lanes: Vec<Lane>,
    pub(super) measures: Vec<Measure>,
    pub(super) marks: Vec<Mark>,
}

impl Board {
    /// The passage at that end of a move, where it stands on the board.
    pub(super) fn at(&self, edge: &backrow_core::moves::Edge) -> Option<&Piece> {
        self.strips.iter().find(|strip| strip.at == edge.line)?.passages.get(edge.passage)
    }
}

/// One line.
#[derive(Clone, Debug)]
pub(super) struct Strip {
    pub(super) at: LineRef,
    pub(super) name: String,
    pub(super) beaters: String,
    pub(super) player: Option<PlayerId>,
    pub(super) locked: bool,
    pub(super) instrument: bool,
    /// Whether a proposal would move it, and to whom; to an extra when to nobody.
    pub(super) leaves: bool,
    pub(super) leaves_for: Option<PlayerId>,
    pub(super) passages: Vec<Piece>,
    /// For accessible labels: "Line Xylophone 1, mm. 41–64, assigned to N. Okafor".
    pub(super) label: String,
}

/// One passage.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) from_s: f64,
    pub(super) to_s: f64,
    pub(super) words: String,
}

/// One player.
#[derive(Clone, Debug)]
pub(super) struct Lane {
    pub(super) player: PlayerId,
    pub(super) fact: String,
    /// Indices of strips and the row of each.
    pub(super) strips: Vec<(usize, usize)>,
    /// The same of strips that a proposal would bring here.
    pub(super) ghosts: Vec<(usize, usize)>,
    pub(super) rows: usize,
    pub(super) tight: Vec<Tight>,
}

/// A gap that is too short, or has little to spare.
#[derive(Clone, Debug)]
pub(super) struct Tight {
    pub(super) from_s: f64,
    pub(super) to_s: f64,
    pub(super) needs_s: f64,
    pub(super) short: bool,
    pub(super) words: String,
}

/// A measure on the ruler.
pub(super) struct Measure {
    pub(super) number: u32,
    pub(super) at_s: f64,
}

/// Tempo words, or a letter in its box.
pub(super) struct Mark {
    pub(super) at_s: f64,
    pub(super) words: String,
    pub(super) boxed: bool,
}

/// The board of the current movement; `None` without one.
pub(super) fn board(library: &Library, evening: Option<&Evening>, view: &Here<'_>) -> Option<Board> {
    let work = library.works.get(view.work.as_ref()?)?;
    let movement = work.movement(view.movement.as_ref().or(work.movements.first().map(|m| &m.id))?)?;
    let programme = view.programme_in(library).filter(|programme| programme.works.contains(&work.id));
    let ghosts = view.own.ghosts(library);
    let strips: Vec<Strip> = work
        .lines_of(&movement.id)
        .map(|line| {
            let at = LineRef { work: work.id.clone(), line: line.id.clone() };
            let given = programme.map(|programme| programme.assignment(&at)).unwrap_or_default();
            let names = backrow_core::sets::instrument_words(library, &given.instruments);
            let name = if names.is_empty() { library.line_name(line) } else { names.join(" + ") };
            let beaters: Vec<&str> = given
                .beaters
                .iter()
                .filter_map(|id| library.beaters.get(id))
                .map(|b| b.name.as_str())
                .collect();
            let beaters = if beaters.is_empty() { line.beaters.join(", ") } else { beaters.join("; ") };
            let who = given.player.as_ref().map_or_else(
                || "not assigned".to_owned(),
                |id| format!("assigned to {}", library.player_name(id)),
            );
            let piece = |p: &backrow_core::music::Passage| Piece {
                from_s: p.from_s,
                to_s: p.to_s,
                words: if p.from == p.to { p.from.to_string() } else { format!("{}–{}", p.from, p.to) },
            };
            Strip {
                leaves: ghosts.iter().any(|(line, _)| *line == at),
                leaves_for: ghosts.iter().find(|(line, _)| *line == at).and_then(|(_, to)| to.clone()),
                label: format!("Line {name}, {}, {who}", line.where_played()),
                at,
                name,
                beaters,
                player: given.player.filter(|id| library.players.contains_key(id)),
                locked: given.locked,
                instrument: !given.instruments.is_empty(),
                passages: line.passages.iter().map(piece).collect(),
            }
        })
        .collect();
    let lanes = lanes(library, evening, &strips);
    let number = |name: &backrow_core::music::MeasureName| name.number().unwrap_or(0);
    let measures = movement
        .timeline
        .measures
        .iter()
        .map(|m| Measure { number: number(&m.name), at_s: m.at_s })
        .collect();
    let mut marks = Vec::new();
    for mark in &movement.timeline.marks {
        let Some((at_s, _)) = movement.timeline.span(&mark.measure) else { continue };
        if let Some(letter) = &mark.letter {
            marks.push(Mark { at_s, words: letter.clone(), boxed: true });
        }
        let tempo = mark.tempo_words();
        let words = [Some(mark.words.clone()).filter(|w| !w.is_empty()), tempo]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join("  ");
        if !words.is_empty() {
            marks.push(Mark { at_s, words, boxed: false });
        }
    }
    Some(Board { end_s: movement.timeline.end_s, strips, lanes, measures, marks })
}

fn lanes(library: &Library, evening: Option<&Evening>, strips: &[Strip]) -> Vec<Lane> {
    let timetable = evening.map(Evening::timetable);
    let services = evening.map(|evening| library.services_of(&evening.programme().id)).unwrap_or_default();
    library
        .roster()
        .into_iter()
        .map(|player| {
            let mine: Vec<usize> = (0..strips.len())
                .filter(|at| strips.get(*at).is_some_and(|s| s.player.as_ref() == Some(&player.id)))
                .collect();
            let mut rows: Vec<Vec<(f64, f64)>> = Vec::new();
            let placed = pack(strips, &mine, &mut rows);
            let coming: Vec<usize> = (0..strips.len())
                .filter(|at| strips.get(*at).is_some_and(|s| s.leaves_for.as_ref() == Some(&player.id)))
                .collect();
            // Beside what is, in the same rows where there is room.
            let ghosts = pack(strips, &coming, &mut rows);
            let fact = fact(library, evening, player, &services);
            let tight = timetable.map(|t| tight(t, &player.id, strips)).unwrap_or_default();
            Lane { player: player.id.clone(), fact, strips: placed, ghosts, rows: rows.len(), tight }
        })
        .collect()
}

/// What there is to know of a player beside the name: why they are not at a service, else the role.
fn fact(library: &Library, evening: Option<&Evening>, player: &Player, services: &[&Service]) -> String {
    let Some(programme) = evening.map(Evening::programme) else { return player.role.clone() };
    let day = |service: &Service| library.days().short(service.start.date());
    match programme.roster.of(player).standing {
        Standing::Free => return Presence::Free.word().to_owned(),
        Standing::Reserve if !player.is_extra() => return Presence::Reserve.word().to_owned(),
        Standing::Reserve | Standing::Engaged => {}
    }
    let missed = services.iter().find(|service| programme.presence(player, service).misses());
    missed.map_or_else(
        || player.role.clone(),
        |service| match programme.presence(player, service) {
            Presence::Away => format!("away {}", day(service)),
            _ => format!("not engaged {}", day(service)),
        },
    )
}

/// Packs lines into as few rows as their spans allow; the first row that is free wins. `rows` holds what is taken of each.
fn pack(strips: &[Strip], mine: &[usize], rows: &mut Vec<Vec<(f64, f64)>>) -> Vec<(usize, usize)> {
    let span = |at: usize| {
        let passages = strips.get(at).map(|strip| strip.passages.as_slice()).unwrap_or_default();
        let from = passages.first().map_or(0.0, |p| p.from_s);
        (from, passages.last().map_or(from, |p| p.to_s))
    };
    let mut order = mine.to_vec();
    order.sort_by(|a, b| span(*a).0.total_cmp(&span(*b).0));
    let mut placed = Vec::new();
    for at in order {
        let (from, to) = span(at);
        let free = |row: &Vec<(f64, f64)>| row.iter().all(|(start, end)| *end <= from || to <= *start);
        let row = rows.iter().position(free).unwrap_or(rows.len());
        match rows.get_mut(row) {
            Some(taken) => taken.push((from, to)),
            None => rows.push(vec![(from, to)]),
        }
        placed.push((at, row));
    }
    placed
}

/// Less than this to spare is drawn, seconds.
const LITTLE_S: f64 = 1.0;

fn tight(timetable: &Timetable, player: &PlayerId, strips: &[Strip]) -> Vec<Tight> {
    let passage = |at: &backrow_core::moves::Edge| {
        strips.iter().find(|s| s.at == at.line).and_then(|s| s.passages.get(at.passage))
    };
    timetable
        .moves(player)
        .iter()
        .filter(|step| {
            step.from.line != step.to.line && (!step.fits() || step.has_s() - step.needs_s() < LITTLE_S)
        })
        .filter_map(|step| {
            let (from, to) = (passage(&step.from)?, passage(&step.to)?);
            let words = if step.both_sound() {
                "both sound at once".to_owned()
            } else {
                format!(
                    "needs {}\u{202F}s, has {}\u{202F}s",
                    text(step.need.us(), Round::Up),
                    text(step.has_us, Round::Down)
                )
            };
            Some(Tight {
                from_s: from.to_s,
                to_s: to.from_s,
                needs_s: step.needs_s(),
                short: !step.fits(),
                words,
            })
        })
        .collect()
}
