//! A short text form of problems, for tests and reports of faults.
//!
//! ```text
//! habits pace 1.2 settle 1 change 1.5 distance 2 cymbals 3 four-mallets 4 bow 2.5 gloves 6
//! held soft four-mallets bow
//! players Ana Ben
//! reserve Ben
//! extras 2
//! hands marimba 1
//! line xylo on x1 at 0,0 with hard strand x part P2 owner Ana had Ana now Ben exposure 2: 0-4 10-12.5
//! line bells: 5-6@3,4/soft
//! playable xylo bells
//! pin xylo Ana
//! bar Ben xylo bells because absent on Friday
//! only Ana xylo because for the timpanist
//! together xylo bells
//! apart xylo bells
//! ```
//! Names have no spaces. A name has to stand before the line that uses it. `#` starts a remark.

use super::number::{BeatersNo, InstrumentNo, LineNo, Number, PlaceNo, PlayerNo};
use super::problem::{AtOnce, BadInput, Demand, Line, Passage, Problem, Visit};
use crate::seconds::Hold;
use std::collections::BTreeSet;

/// Reads a problem from its text form.
///
/// # Errors
/// The first line that cannot be read, with its number.
pub fn read(text: &str) -> Result<Problem, BadInput> {
    let mut reader = Reader::default();
    for (index, line) in text.lines().enumerate() {
        let line = line.split('#').next().unwrap_or_default().trim();
        if !line.is_empty() {
            reader
                .row(line)
                .map_err(|what| BadInput { line: None, what: format!("line {}: {what}", index + 1) })?;
        }
    }
    Ok(reader.problem)
}

#[derive(Default)]
struct Reader {
    problem: Problem,
    instruments: Vec<String>,
    beaters: Vec<String>,
    strands: Vec<String>,
    parts: Vec<String>,
}

type Read<T> = Result<T, String>;

impl Reader {
    fn row(&mut self, line: &str) -> Read<()> {
        let (head, tail) = line.split_once(':').unwrap_or((line, ""));
        let words: Vec<&str> = head.split_whitespace().collect();
        let Some((&verb, rest)) = words.split_first() else { return Ok(()) };
        match verb {
            "habits" => self.habits(rest),
            "players" => {
                self.problem.players.extend(rest.iter().map(|&w| w.to_owned()));
                Ok(())
            }
            "reserve" => {
                self.problem.reserve = rest.iter().map(|name| self.player(name)).collect::<Read<_>>()?;
                Ok(())
            }
            "extras" => {
                self.problem.extras = number(rest.first().copied().unwrap_or_default())?;
                Ok(())
            }
            "hands" => {
                let [instrument, hands] = rest else { return Err("hands INSTRUMENT NUMBER".into()) };
                let key: InstrumentNo = key(&mut self.instruments, instrument);
                self.problem.at_once.push(AtOnce { instrument: key, players: number(hands)? });
                Ok(())
            }
            "line" | "call" => self.line(rest, tail),
            "held" => self.held(rest),
            "visit" => self.visit(rest),
            "playable" => {
                let pair = self.pair(rest)?;
                self.problem.playable_together.push(pair);
                Ok(())
            }
            _ => {
                let demand = self.demand(verb, rest)?;
                self.problem.demands.push(demand);
                Ok(())
            }
        }
    }

    fn habits(&mut self, words: &[&str]) -> Read<()> {
        for pair in words.chunks(2) {
            let [name, value] = pair else { return Err("a habit lacks its figure".into()) };
            let h = &mut self.problem.habits;
            let slot = match *name {
                "pace" => &mut h.pace_m_s,
                "settle" => &mut h.settle_s,
                "change" => &mut h.change_s,
                "cymbals" => &mut h.cymbals_s,
                "four-mallets" => &mut h.four_mallets_s,
                "bow" => &mut h.bow_s,
                "gloves" => &mut h.gloves_s,
                "distance" => &mut h.default_distance_m,
                other => return Err(format!("no habit is called {other}")),
            };
            *slot = number(value)?;
        }
        Ok(())
    }

    /// "held KEY cymbals four-mallets": what of the beaters of a key takes longer to take up.
    fn held(&mut self, words: &[&str]) -> Read<()> {
        let Some((name, words)) = words.split_first() else { return Err("held BEATERS WHAT".into()) };
        let key: BeatersNo = key(&mut self.beaters, name);
        let hold = |word: &&str| Hold::of_word(word).ok_or_else(|| format!("nothing held is called {word}"));
        let holds: BTreeSet<Hold> = words.iter().map(hold).collect::<Read<_>>()?;
        while self.problem.holds.len() <= key.0 {
            self.problem.holds.push(BTreeSet::new());
        }
        self.problem.holds[key] = holds;
        Ok(())
    }

    /// "visit LINE INSTRUMENT FROM-TO": single notes of a line on another instrument.
    fn visit(&mut self, words: &[&str]) -> Read<()> {
        let [line, instrument, times] = words else { return Err("visit LINE INSTRUMENT FROM-TO".into()) };
        let (from, to) = times.split_once('-').ok_or_else(|| format!("“{times}” is not FROM-TO"))?;
        let line = self.line_named(line)?;
        let instrument = key(&mut self.instruments, instrument);
        let visit = Visit { instrument, from_s: number(from)?, to_s: number(to)? };
        self.problem.lines[line].visits.push(visit);
        Ok(())
    }

    fn line(&mut self, words: &[&str], passages: &str) -> Read<()> {
        let Some((&label, settings)) = words.split_first() else {
            return Err("a line lacks its name".into());
        };
        let mut line = Line { label: label.to_owned(), ..Line::default() };
        let (mut place, mut hand) = (None, None);
        for pair in settings.chunks(2) {
            let [name, value] = pair else { return Err("a setting of the line lacks its value".into()) };
            match *name {
                "on" => line.instruments.push(key(&mut self.instruments, value)),
                "at" => place = Some(self.place(value)?),
                "with" => hand = Some(key(&mut self.beaters, value)),
                "strand" => line.strand = Some(key(&mut self.strands, value)),
                "owner" => line.owner = Some(self.player(value)?),
                "part" => line.part = Some(key(&mut self.parts, value)),
                "had" => line.last_time = Some(self.player(value)?),
                "now" => line.now = Some(self.player(value)?),
                "hand" => (line.now, line.by_hand) = (Some(self.player(value)?), true),
                "exposure" => line.exposure = number(value)?,
                other => return Err(format!("a line has no “{other}”")),
            }
        }
        for word in passages.split_whitespace() {
            line.passages.push(self.one_passage(word, place, hand)?);
        }
        self.problem.lines.push(line);
        Ok(())
    }

    fn one_passage(&mut self, word: &str, place: Option<PlaceNo>, hand: Option<BeatersNo>) -> Read<Passage> {
        let (word, own_hand) = word.split_once('/').map_or((word, None), |(w, h)| (w, Some(h)));
        let (times, own_place) = word.split_once('@').map_or((word, None), |(w, p)| (w, Some(p)));
        let (from, to) = times.split_once('-').ok_or_else(|| format!("“{times}” is not FROM-TO"))?;
        let place = match own_place {
            Some(text) => Some(self.place(text)?),
            None => place,
        };
        let beaters = own_hand.map(|h| key(&mut self.beaters, h)).or(hand);
        Ok(Passage {
            from_s: number(from)?,
            to_s: number(to)?,
            place,
            beaters,
            ends_with: None,
            stances: None,
        })
    }

    fn place(&mut self, text: &str) -> Read<PlaceNo> {
        let (x, y) = text.split_once(',').ok_or_else(|| format!("“{text}” is not X,Y"))?;
        let (spot_x, spot_y) = (number::<f64>(x)?, number::<f64>(y)?);
        let places = &mut self.problem.places_m;
        let same = |&[px, py]: &[f64; 2]| px.total_cmp(&spot_x).is_eq() && py.total_cmp(&spot_y).is_eq();
        let known = places.entries().find(|(_, place)| same(place)).map(|(number, _)| number);
        Ok(known.unwrap_or_else(|| places.push([spot_x, spot_y])))
    }

    fn demand(&self, verb: &str, rest: &[&str]) -> Read<Demand> {
        let (names, why) = match rest.iter().position(|&w| w == "because") {
            Some(n) => (rest.get(..n).unwrap_or_default(), rest.get(n + 1..).unwrap_or_default().join(" ")),
            None => (rest, String::new()),
        };
        let lines = |names: &[&str]| names.iter().map(|n| self.line_named(n)).collect::<Read<Vec<LineNo>>>();
        match (verb, names) {
            ("pin", [line, player]) => {
                Ok(Demand::Pin { line: self.line_named(line)?, player: self.player(player)? })
            }
            ("bar", [player, list @ ..]) => {
                Ok(Demand::Bar { player: self.player(player)?, lines: lines(list)?, why })
            }
            ("only", [players, list @ ..]) => {
                let players = players.split(',').map(|p| self.player(p)).collect::<Read<Vec<PlayerNo>>>()?;
                Ok(Demand::Only { lines: lines(list)?, players, why })
            }
            ("together", pair) => self.pair(pair).map(|(a, b)| Demand::Together { a, b }),
            ("apart", pair) => self.pair(pair).map(|(a, b)| Demand::Apart { a, b }),
            _ => Err(format!("“{verb}” is not understood here")),
        }
    }

    fn pair(&self, words: &[&str]) -> Read<(LineNo, LineNo)> {
        let [a, b] = words else { return Err("two lines are needed".into()) };
        Ok((self.line_named(a)?, self.line_named(b)?))
    }

    fn line_named(&self, name: &str) -> Read<LineNo> {
        let found = self.problem.lines.entries().find(|(_, c)| c.label == name).map(|(line, _)| line);
        found.ok_or_else(|| format!("no line is named {name}"))
    }

    fn player(&self, name: &str) -> Read<PlayerNo> {
        let found = self.problem.players.entries().find(|(_, p)| *p == name).map(|(player, _)| player);
        found.ok_or_else(|| format!("no player is named {name}"))
    }
}

fn key<N: Number>(names: &mut Vec<String>, name: &str) -> N {
    N::of(names.iter().position(|n| n == name).unwrap_or_else(|| {
        names.push(name.to_owned());
        names.len() - 1
    }))
}

fn number<T: std::str::FromStr>(text: &str) -> Read<T> {
    text.parse().map_err(|_ignored| format!("“{text}” is not a number"))
}
