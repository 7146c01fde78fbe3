//! Who is called on: those engaged first, then the reserve, then extras, and nobody before all who come first are used up.

use super::conflicts::Rota;
use super::fewest::{Answer, Effort, Fewest};
use super::number::{LineNo, PlayerNo};
use super::problem::Demand;
use super::repair::Missing;

/// Points for a player of the reserve or an extra where those engaged are not enough: more than any wish may weigh, so that
/// no more of them are called than have to be.
const LAST_RESORT: u32 = 10_000;

/// A problem with as many players as have to be called on.
#[derive(Debug, Clone)]
pub struct Staffed {
    /// The problem without those who need not be called.
    pub rota: Rota,
    /// The fewest players of it.
    pub fewest: Fewest,
    /// How many players the best assignments may use: the fewest where those engaged are enough, else everybody called on.
    pub among: usize,
    /// Why those engaged are not enough; `None` when they are.
    pub why_more: Option<Answer>,
}

/// How far those engaged, the reserve and the extras go.
#[derive(Debug, Clone)]
pub enum Staffing {
    /// They are enough.
    Enough(Box<Staffed>),
    /// Nobody more could be called and they are not enough, or the steps ran out.
    NotEnough(Answer),
}

impl Staffed {
    /// How many extras have to be called beyond everybody who has a name.
    pub fn without_a_name(&self) -> usize {
        self.rota.problem().extras.min(self.fewest.players)
    }
}

impl Rota {
    /// Lines on as few as have to be: first those engaged, then the reserve, then one extra after the other.
    pub fn staffed(&self, effort: Effort) -> Staffing {
        self.staffed_with(&self.problem().demands, effort)
    }

    /// The same when a player is missing from some lines.
    pub fn staffed_without(&self, missing: Missing<'_>, effort: Effort) -> Staffing {
        let mut demands = self.problem().demands.clone();
        demands.push(missing.demand());
        self.staffed_with(&demands, effort)
    }

    fn staffed_with(&self, demands: &[Demand], effort: Effort) -> Staffing {
        let problem = self.problem();
        let most = problem.extras;
        if problem.players.is_empty() {
            // Everybody is an extra: a plain table.
            return match self.fewest(effort) {
                Answer::Found(fewest) => {
                    let among = fewest.players;
                    Staffing::Enough(Box::new(Staffed {
                        rota: self.clone(),
                        fewest: *fewest,
                        among,
                        why_more: None,
                    }))
                }
                no => Staffing::NotEnough(no),
            };
        }
        let lines: Vec<LineNo> = problem.lines.numbers().collect();
        let in_reserve = |&player: &PlayerNo| Demand::Bar {
            player,
            lines: lines.clone(),
            why: "is in reserve".to_owned(),
        };
        let first = demands.iter().cloned().chain(problem.reserve.iter().map(in_reserve)).collect();
        let mut why_more = None;
        let alone = self.asked_anew(0, first);
        match alone.fewest(effort) {
            Answer::Found(fewest) => {
                let among = fewest.players;
                return Staffing::Enough(Box::new(Staffed { rota: alone, fewest: *fewest, among, why_more }));
            }
            no => why_more = why_more.or(Some(no)),
        }
        let from = usize::from(problem.reserve.is_empty());
        for extras in from..=most {
            let mut rota = self.asked_anew(extras, demands.to_vec());
            rota.last_resort(LAST_RESORT);
            // Why one extra is not enough is nothing that anybody asks.
            let unexplained = |_: &Self, _| Answer::GaveUp { at_least: 0 };
            if let Answer::Found(fewest) = rota.fewest_or(effort, unexplained) {
                let among = rota.problem().player_count();
                return Staffing::Enough(Box::new(Staffed { rota, fewest: *fewest, among, why_more }));
            }
        }
        let all = self.asked_anew(most, demands.to_vec()).fewest(effort);
        Staffing::NotEnough(all)
    }
}

#[cfg(test)]
mod worked;
