//! Can a player take a line? The answer in words, as fast as a drag needs it.

use super::crowd::Crowd;
use super::stance::At;
use super::timetable::{AssignedLine, Edge, Move, Timetable, ordered};
use crate::collection::Player;
use crate::id::{InstrumentId, PlayerId, ProgrammeId, ServiceId};
use crate::library::Library;
use crate::seconds::{Round, text};
use crate::week::{LineRef, Presence, Programme, Service, ServiceKind, Standing};

/// Why a player cannot take a line.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// Absent from a concert.
    Absent(ServiceId),
    /// Engaged for other services, and not for a concert.
    NotFor(ServiceId),
    /// Not engaged for the programme.
    NotEngaged,
    /// The player does not take that kind.
    Unwilling,
    /// Another line of the player sounds at the same time.
    BothSound(Move),
    /// Too few seconds to or from another line.
    TooShort(Move),
    /// Others play the instrument at that time, as many as can.
    Taken(InstrumentId),
}

/// One player's answer to a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Who.
    pub player: PlayerId,
    /// Why not; `None` when the player can take it.
    pub refusal: Option<Refusal>,
    /// In words: "tightest move 7.9 s, needs 4.4 s", "xylophone sounds too, m. 47–58", "plays timpani only".
    pub reason: String,
    /// Something to know all the same: "in reserve; away from 13 Oct, 10:00".
    pub remark: Option<String>,
    /// The move with the least to spare that the line would bring.
    pub tightest: Option<Move>,
}

impl Answer {
    /// Whether the player can take it.
    pub const fn fits(&self) -> bool {
        self.refusal.is_none()
    }
}

impl Timetable {
    /// Every player's answer to a line, in roster order. Empty when the programme has no such line.
    pub fn answers(&self, library: &Library, programme: &ProgrammeId, line: &LineRef) -> Vec<Answer> {
        let found = self.line(line).zip(library.programme(programme));
        let Some((wanted, programme)) = found else { return Vec::new() };
        let services = library.services_of(&programme.id);
        let presence = |player: &Player| Attendance::of(programme, &services, player);
        let roster = library.roster().into_iter();
        roster.map(|player| self.answer(library, &presence(player), wanted, player)).collect()
    }

    fn answer(
        &self,
        library: &Library,
        attendance: &Attendance<'_>,
        wanted: &AssignedLine,
        player: &Player,
    ) -> Answer {
        let remark = attendance.remark(library);
        let answer = |refusal, reason, tightest| Answer {
            player: player.id.clone(),
            refusal,
            reason,
            remark: remark.clone(),
            tightest,
        };
        if let Some((refusal, reason)) = attendance.refusal(library) {
            return answer(Some(refusal), reason, None);
        }
        if let Some(kind) = &wanted.kind
            && !player.takes(kind)
        {
            return answer(Some(Refusal::Unwilling), unwilling(library, player, wanted), None);
        }
        let others: Vec<&AssignedLine> = self
            .lines
            .iter()
            .filter(|taken| taken.player.as_ref() == Some(&player.id) && taken.line != wanted.line)
            .filter(|taken| taken.same_movement(wanted))
            .collect();
        let mut faults: Vec<(Move, &AssignedLine)> = Vec::new();
        for other in &others {
            faults.extend(self.conflicts(wanted, other).into_iter().map(|step| (step, *other)));
        }
        let worst = |sounding: bool| {
            faults
                .iter()
                .filter(move |(step, _)| step.both_sound() == sounding)
                .min_by_key(|(step, _)| step.spare_us())
        };
        if let Some((step, other)) = worst(true) {
            let reason = format!("already playing {}, {}", other.name, self.shared_measures(step));
            return answer(Some(Refusal::BothSound(step.clone())), reason, Some(step.clone()));
        }
        if let Some((step, other)) = worst(false) {
            let (has, needs) = (text(step.has_us, Round::Down), text(step.need.us(), Round::Up));
            let reason = if step.to.line == other.line {
                format!(
                    "{has}\u{202F}s before {} at m. {}; needs {needs}\u{202F}s",
                    other.name, step.to.measure
                )
            } else {
                format!(
                    "{has}\u{202F}s after {} at m. {}; needs {needs}\u{202F}s",
                    other.name, step.from.measure
                )
            };
            return answer(Some(Refusal::TooShort(step.clone())), reason, Some(step.clone()));
        }
        let tightest = self.tightest(wanted, &others);
        if let Some(crowd) = self.too_many_at(library, wanted, &player.id) {
            return answer(Some(Refusal::Taken(crowd.instrument.clone())), taken(library, &crowd), tightest);
        }
        let reason = tightest.as_ref().map_or_else(
            || "nothing else to play here".to_owned(),
            |step| {
                let (has, needs) = (text(step.has_us, Round::Down), text(step.need.us(), Round::Up));
                format!("tightest move {has}\u{202F}s, needs {needs}\u{202F}s")
            },
        );
        answer(None, reason, tightest)
    }

    /// The move with the least to spare between the line and what the player has already.
    fn tightest(&self, wanted: &AssignedLine, others: &[&AssignedLine]) -> Option<Move> {
        let mut best: Option<Move> = None;
        for other in others.iter().filter(|other| !wanted.together.contains(&other.line)) {
            for Neighbours { from, to } in neighbours(wanted, other) {
                let step = self.between(from, to);
                let better = |step: &Move| best.as_ref().is_none_or(|b| step.spare_us() < b.spare_us());
                best = step.filter(better).or(best);
            }
        }
        best
    }

    /// The measures in which two passages sound at once, as printed: "mm. 47–58".
    pub(crate) fn shared_measures(&self, step: &Move) -> String {
        let span = |edge: &Edge| self.at(edge).and_then(|at| at.span());
        let (Some(first), Some(second)) = (span(&step.from), span(&step.to)) else { return String::new() };
        let last = if first.to_us <= second.to_us { &first.to } else { &second.to };
        crate::music::stretch_words(&second.from, last)
    }
}

/// How a player stands to each service of a programme.
struct Attendance<'a> {
    services: Vec<(&'a Service, Presence)>,
    standing: Standing,
}

impl<'a> Attendance<'a> {
    fn of(programme: &Programme, services: &[&'a Service], player: &Player) -> Self {
        let of = |service: &&'a Service| (*service, programme.presence(player, service));
        let standing = programme.roster.of(player).standing;
        Self { services: services.iter().map(of).collect(), standing }
    }

    fn first(&self, concert: bool, presence: Presence) -> Option<&'a Service> {
        let is_one = |service: &Service| (service.kind == ServiceKind::Concert) == concert;
        let found = self.services.iter().find(|(service, is)| is_one(service) && *is == presence);
        found.map(|(service, _)| *service)
    }

    /// Why the player can take no line of the programme at all, and the words for it.
    fn refusal(&self, library: &Library) -> Option<(Refusal, String)> {
        if let Some(concert) = self.first(true, Presence::Away) {
            let reason = format!("away from the concert, {}", when(library, concert));
            return Some((Refusal::Absent(concert.id.clone()), reason));
        }
        if self.standing == Standing::Free {
            return Some((Refusal::NotEngaged, Presence::Free.word().to_owned()));
        }
        let concert = self.first(true, Presence::OnlyOthers)?;
        let reason = format!("not engaged for the concert, {}", when(library, concert));
        Some((Refusal::NotFor(concert.id.clone()), reason))
    }

    /// What there is to know of somebody who can take it all the same.
    fn remark(&self, library: &Library) -> Option<String> {
        let away = self.first(false, Presence::Away);
        let away = away.map(|service| format!("away from {}", when(library, service)));
        let others = self.first(false, Presence::OnlyOthers);
        let others = others.map(|service| format!("not engaged for {}", when(library, service)));
        let reserve = self.standing == Standing::Reserve;
        let words: Vec<String> = reserve
            .then(|| Presence::Reserve.word().to_owned())
            .into_iter()
            .chain(away)
            .chain(others)
            .collect();
        (!words.is_empty()).then(|| words.join("; "))
    }
}

/// A passage, and the one that follows it.
struct Neighbours<'a> {
    from: At<'a>,
    to: At<'a>,
}

/// Passages of two lines that follow each other without another passage of the two in between.
fn neighbours<'a>(one: &'a AssignedLine, other: &'a AssignedLine) -> Vec<Neighbours<'a>> {
    let order = ordered(&[one, other]);
    let pairs = order.iter().zip(order.iter().skip(1)).map(|(from, to)| Neighbours { from: *from, to: *to });
    pairs.filter(|pair| pair.from.taken.line != pair.to.taken.line).collect()
}

/// When a service is: "13 Oct, 10:00".
pub(crate) fn when(library: &Library, service: &Service) -> String {
    library.days().at(service.start)
}

/// "xylophone 1 is needed by R. Quill then, m. 47".
fn taken(library: &Library, crowd: &Crowd<'_>) -> String {
    let others = crowd.lines.iter().skip(1);
    let who = others.map(|other| match &other.player {
        Some(player) => library.player_name(player),
        None => format!("somebody for {}", other.name),
    });
    let who: Vec<String> = who.collect();
    let name = library.instrument_name(crowd.instrument);
    format!("{name} is needed by {} then, m. {}", who.join(" and "), crowd.measure)
}

fn unwilling(library: &Library, player: &Player, wanted: &AssignedLine) -> String {
    if player.only.is_empty() {
        return format!("does not take {}", wanted.name);
    }
    let names: Vec<String> = player.only.iter().map(|kind| library.kind_name(kind)).collect();
    match names.as_slice() {
        [one] => format!("plays {one} only"),
        [one, other] => format!("plays {one} and {other} only"),
        [one, ..] => format!("plays {one} and {} other kinds only", names.len() - 1),
        [] => String::new(),
    }
}
