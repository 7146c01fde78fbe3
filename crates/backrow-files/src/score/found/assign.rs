//! What each note of a part asks for: its own instrument, words before it, or the part's heading.

use super::switch::{headed_weakly, said};
use crate::score::names::{
    Candidate, Found, Heading, NameTable, is_kit, is_percussion_sound, key_of_map, kind_of_program,
    kind_of_sound, of_kit,
};
use crate::score::raw::{Clef, NO_INSTRUMENT, RawInstrument, RawNote, RawPart, RawPitch};
use backrow_core::collection::Pitched;
use backrow_core::id::KindId;
use backrow_core::music::{MalletCount, MeasureName, words_from};
use std::collections::BTreeMap;

/// Notes that ask for the same thing by the same word.
pub(crate) struct Group<'a> {
    pub(crate) candidates: Vec<Candidate>,
    /// As the part prints it.
    pub(crate) printed: String,
    pub(crate) evidence: Vec<String>,
    /// Several instruments were named and nothing tells which: the user has to say.
    pub(crate) open: bool,
    /// Told by a number only, or by a weak abbreviation.
    pub(crate) weak: bool,
    pub(crate) notes: Vec<&'a RawNote>,
    pub(crate) beaters: Vec<String>,
    /// Words among its notes that were not taken for an instrument, with what was assumed; a sentence each.
    pub(crate) doubts: Vec<String>,
    /// Some of these words may name an instrument that is not known.
    pub(crate) unknown: bool,
}

/// Words in a part that change the instrument, name beaters or let ring.
struct Change {
    measure: u32,
    at: f64,
    text: String,
    found: Vec<Found>,
    beaters: Vec<String>,
    /// What the words were not taken for.
    doubt: Option<&'static str>,
    unknown: bool,
}

/// Bytes of the longest words that are looked through for instruments.
const LONGEST_WORDS: usize = 400;

/// A line with more doubtful words than this is not what it was taken for.
const MOST_DOUBTS: usize = 20;

/// What an instrument of the part is, by its name, sound id or numbers.
#[derive(Clone, Default)]
struct Named {
    candidates: Vec<Candidate>,
    printed: String,
    /// Told by its name, not only by a number.
    by_name: bool,
    evidence: String,
}

/// Words for beaters, and the measure that they stand in.
struct Beaters<'a> {
    words: &'a str,
    measure: u32,
}

/// A part with all that tells its instruments.
pub(crate) struct Assigner<'a> {
    table: &'a NameTable,
    part: &'a RawPart,
    heading: Heading,
    instruments: Vec<Named>,
    changes: Vec<Change>,
    measure_name: &'a dyn Fn(u32) -> String,
}

impl<'a> Assigner<'a> {
    /// `None` when the part is another instrument's.
    pub(crate) fn new(
        table: &'a NameTable,
        part: &'a RawPart,
        measure_name: &'a dyn Fn(u32) -> String,
        shared: &dyn Fn(u32, &str) -> bool,
    ) -> Option<Self> {
        let mut heading = table.heading(&part.name);
        if heading.found.is_empty() && !heading.generic && !heading.other {
            heading = table.heading(&part.abbreviation);
        }
        let struck = part.notes.iter().any(|n| matches!(n.pitch, RawPitch::Unpitched(_)))
            || part.clefs.iter().any(|clef| clef.sign == Clef::Percussion);
        if headed_weakly(&heading.found) && !struck {
            heading.found.clear();
        }
        let numbered = part.instruments.iter().any(|i| {
            i.channel == Some(10)
                || is_percussion_sound(&i.sound)
                || i.program.is_some_and(|p| kind_of_program(p).is_some() && part.instruments.len() == 1)
        });
        if heading.bland && numbered {
            heading.other = false;
        }
        let mut words: Vec<Change> = Vec::new();
        let by_instruments = part.instruments.iter().any(|i| {
            let heading = table.heading(&i.name);
            !heading.other && heading.found.iter().any(|f| !f.abbreviation)
        });
        let named = !heading.other && (!heading.found.is_empty() || heading.generic || by_instruments);
        // A part of another instrument may still go over to percussion: "muta in celesta".
        let plain_other = !(named || struck || (numbered && !heading.other));
        if plain_other {
            words = changes(table, part, shared);
            words.retain(|change| !change.found.is_empty() && starts_with_change(table, &change.text));
            if words.is_empty() {
                return None;
            }
        } else {
            words.extend(changes(table, part, shared));
        }
        let kit = part.instruments.iter().filter_map(|i| i.key).collect::<Vec<u8>>();
        let kit = is_kit(&|key| kit.contains(&key));
        let instruments = part.instruments.iter().map(|i| named_instrument(table, i, kit)).collect();
        if plain_other {
            heading.other = true;
            heading.found.clear();
        }
        Some(Self { table, part, heading, instruments, changes: words, measure_name })
    }

    /// The notes in groups, in order of their first note; those of another instrument are left out.
    pub(crate) fn groups(&self) -> Vec<Group<'a>> {
        let mut notes: Vec<&RawNote> = self.part.notes.iter().collect();
        notes.sort_by(|a, b| a.measure.cmp(&b.measure).then(a.at.total_cmp(&b.at)));
        let mut groups: Vec<Group<'a>> = Vec::new();
        let mut index: BTreeMap<(Vec<KindId>, bool), usize> = BTreeMap::new();
        let mut seen = 0;
        let mut current: Option<usize> = None;
        let mut beaters: Vec<Beaters<'_>> = Vec::new();
        let mut doubts: Vec<&Change> = Vec::new();
        for note in notes {
            while let Some(change) = self.changes.get(seen)
                && (change.measure, change.at) <= (note.measure, note.at + 1e-6)
            {
                if !change.found.is_empty() {
                    current = Some(seen);
                }
                beaters.extend(change.beaters.iter().map(|words| Beaters { words, measure: change.measure }));
                doubts.extend(change.doubt.is_some().then_some(change));
                seen += 1;
            }
            let Some(told) = self.tell(note, current.and_then(|at| self.changes.get(at))) else { continue };
            let kinds: Vec<KindId> = told.candidates.iter().map(|c| c.kind.clone()).collect();
            let at = *index.entry((kinds, told.open)).or_insert_with(|| {
                groups.push(Group {
                    candidates: told.candidates.clone(),
                    printed: told.printed.clone(),
                    evidence: Vec::new(),
                    open: told.open,
                    weak: true,
                    notes: Vec::new(),
                    beaters: Vec::new(),
                    doubts: Vec::new(),
                    unknown: false,
                });
                groups.len() - 1
            });
            let Some(group) = groups.get_mut(at) else { continue };
            group.notes.push(note);
            group.weak &= told.weak;
            if !told.evidence.is_empty()
                && group.evidence.len() < 12
                && !group.evidence.contains(&told.evidence)
            {
                group.evidence.push(told.evidence);
            }
            self.doubt(group, doubts.drain(..));
            for beaters in beaters.drain(..) {
                self.ask_for(group, &beaters);
            }
        }
        if let Some(group) = current_or_last(&mut groups) {
            doubts.extend(self.changes.get(seen..).unwrap_or_default().iter().filter(|c| c.doubt.is_some()));
            self.doubt(group, doubts.into_iter());
        }
        groups
    }

    /// Puts words for beaters to the notes that they stand at. A count of mallets holds from its measure until the next count.
    fn ask_for(&self, group: &mut Group<'_>, beaters: &Beaters<'_>) {
        let counts = |words: &str| MalletCount::said_by(words).is_some();
        let mut words = beaters.words.to_owned();
        // The note that they stand at is the last of the group by now.
        if counts(&words) && group.notes.len() > 1 {
            let in_force = group.beaters.iter().rev().find(|known| counts(known));
            let again = format!("{words} ");
            if in_force.is_some_and(|known| *known == words || known.starts_with(&again)) {
                return;
            }
            words = words_from(&words, &MeasureName::new(&(self.measure_name)(beaters.measure)));
        }
        if !group.beaters.contains(&words) {
            group.beaters.push(words);
        }
    }

    /// Lists words beside the notes that stay with what was played before them.
    fn doubt<'c>(&self, group: &mut Group<'_>, doubts: impl Iterator<Item = &'c Change>) {
        for change in doubts {
            let (measure, text) = ((self.measure_name)(change.measure), change.text.trim());
            let why = change.doubt.unwrap_or_default();
            group.unknown |= change.unknown;
            if group.doubts.len() < MOST_DOUBTS {
                group.doubts.push(format!("m. {measure}: “{text}” {why}; the notes after it stay here"));
            }
        }
    }

    /// Names in the part that no note was told by: as printed, and the measure, `None` for the heading.
    pub(crate) fn unplayed(&self, played: &[&KindId]) -> Vec<(&str, Option<u32>)> {
        let headed = self.heading.found.iter().map(|found| (found, None));
        let headed = headed.filter(|_| !self.heading.other);
        let changed =
            self.changes.iter().flat_map(|c| c.found.iter().map(move |found| (found, Some(c.measure))));
        let idle = |found: &Found| found.candidates.iter().all(|c| !played.contains(&&c.kind));
        headed.chain(changed).filter(|(f, _)| idle(f)).map(|(f, at)| (f.printed.as_str(), at)).collect()
    }

    /// What one note asks for; `None` for a note of another instrument.
    fn tell(&self, note: &RawNote, change: Option<&Change>) -> Option<Told> {
        let pitched = matches!(note.pitch, RawPitch::Pitched(_));
        let own = self.own(note);
        let (found, evidence) = match change {
            Some(change) => (&change.found, format!("m. {}", (self.measure_name)(change.measure))),
            None if self.heading.other => return self.beside_heading(pitched, own),
            None => (&self.heading.found, format!("heading “{}”", self.part.name)),
        };
        let several = self.part.instruments.len() > 1;
        match found.as_slice() {
            [] => Some(self.by_instrument(own)),
            [one] => {
                let clash = own.is_some_and(|own| {
                    several && own.by_name && self.parts_ways(one, own, pitched, change.is_some())
                });
                if clash {
                    return Some(self.by_instrument(own));
                }
                let mut told = Told::word(one, &evidence);
                if let Some(own) = own {
                    told.narrow(own);
                }
                Some(told)
            }
            many => Some(self.among(many, own, pitched, &evidence)),
        }
    }

    /// A note under another instrument's heading: it counts where it has no pitch or its own instrument is percussion.
    fn beside_heading(&self, pitched: bool, own: Option<&Named>) -> Option<Told> {
        let own_name = own.filter(|own| own.by_name && !own.candidates.is_empty());
        if pitched && (own_name.is_none() || self.part.instruments.len() < 2) {
            return None;
        }
        let mut told = self.by_instrument(own);
        if !pitched {
            told.evidence = format!(
                "{}; “{}” is another instrument, but these notes have no pitch",
                told.evidence, self.part.name
            );
        }
        Some(told)
    }

    /// Whether a note's own instrument overrules the word in force.
    fn parts_ways(&self, word: &Found, own: &Named, pitched: bool, by_words: bool) -> bool {
        if own.candidates.iter().any(|c| word.candidates.iter().any(|w| w.kind == c.kind)) {
            return false;
        }
        let wrong = |candidates: &[Candidate]| {
            candidates.iter().all(|c| {
                self.table.kind(&c.kind).is_some_and(|kind| match kind.pitched {
                    Pitched::Yes => !pitched,
                    Pitched::No => pitched,
                    Pitched::Sometimes => false,
                })
            })
        };
        if by_words {
            return wrong(&word.candidates) && !wrong(&own.candidates);
        }
        let family = |candidates: &[Candidate]| {
            candidates.first().and_then(|c| self.table.kind(&c.kind)).map(|kind| kind.family)
        };
        let is_kit = word.candidates.iter().any(|c| c.kind.as_str() == "drum_kit");
        !is_kit && !wrong(&own.candidates) && family(&own.candidates) != family(&word.candidates)
    }

    /// One of several names that stand together: "Snare drum, suspended cymbal".
    fn among(&self, many: &[Found], own: Option<&Named>, pitched: bool, evidence: &str) -> Told {
        if let Some(own) = own
            && let Some(one) = many
                .iter()
                .find(|f| f.candidates.iter().any(|c| own.candidates.iter().any(|o| o.kind == c.kind)))
        {
            let mut told = Told::word(one, evidence);
            told.narrow(own);
            return told;
        }
        let could = |found: &&Found| {
            found.candidates.iter().any(|c| {
                self.table.kind(&c.kind).is_some_and(|kind| match kind.pitched {
                    Pitched::Yes => pitched,
                    Pitched::No => !pitched,
                    Pitched::Sometimes => true,
                })
            })
        };
        let fitting: Vec<&Found> = many.iter().filter(could).collect();
        if let [one] = fitting.as_slice() {
            return Told::word(one, evidence);
        }
        if let Some(own) = own.filter(|own| own.by_name && !own.candidates.is_empty()) {
            return self.by_instrument(Some(own));
        }
        let listed = if fitting.is_empty() { many.iter().collect() } else { fitting };
        let printed: Vec<&str> = listed.iter().map(|f| f.printed.as_str()).collect();
        let printed = printed.join(", ");
        Told {
            candidates: listed.iter().flat_map(|f| f.candidates.iter().take(1)).cloned().collect(),
            evidence: format!("{evidence}: “{printed}” names several and the notes do not say which"),
            printed,
            open: true,
            weak: true,
        }
    }

    fn own(&self, note: &RawNote) -> Option<&Named> {
        let at = match (note.instrument, self.instruments.len()) {
            (NO_INSTRUMENT, 1) => 0,
            (NO_INSTRUMENT, _) => return None,
            (at, _) => usize::from(at),
        };
        self.instruments.get(at)
    }

    fn by_instrument(&self, own: Option<&Named>) -> Told {
        match own.filter(|own| !own.candidates.is_empty()) {
            Some(own) => Told {
                candidates: own.candidates.clone(),
                printed: own.printed.clone(),
                evidence: own.evidence.clone(),
                open: false,
                weak: !own.by_name,
            },
            None => Told {
                candidates: Vec::new(),
                printed: own
                    .map(|own| own.printed.clone())
                    .filter(|p| !p.is_empty())
                    .unwrap_or_else(|| self.part.name.clone()),
                evidence: format!("heading “{}” names no instrument that is known", self.part.name),
                open: true,
                weak: true,
            },
        }
    }
}

/// What a note was told to be.
struct Told {
    candidates: Vec<Candidate>,
    printed: String,
    evidence: String,
    open: bool,
    weak: bool,
}

impl Told {
    /// A word that may mean several kinds means the one that the note's own instrument is.
    fn narrow(&mut self, own: &Named) {
        let both: Vec<Candidate> = self
            .candidates
            .iter()
            .filter(|c| own.candidates.iter().any(|o| o.kind == c.kind))
            .cloned()
            .collect();
        if !both.is_empty() && both.len() < self.candidates.len() {
            self.candidates = both;
            self.evidence = format!("{}; {}", self.evidence, own.evidence);
        }
    }

    fn word(found: &Found, evidence: &str) -> Self {
        Self {
            candidates: found.candidates.clone(),
            printed: found.printed.clone(),
            evidence: format!("{evidence}: “{}”", found.printed),
            open: false,
            // A heading of one short word that others share is no more than likely.
            weak: evidence == format!("heading “{}”", found.printed) && found.needs_company,
        }
    }
}

fn starts_with_change(table: &NameTable, text: &str) -> bool {
    let words = crate::score::names::tokens(text);
    (1..words.len()).any(|at| table.after_change(&words, at))
}

/// The group that was told last, for words after its last note.
fn current_or_last<'g, 'a>(groups: &'g mut [Group<'a>]) -> Option<&'g mut Group<'a>> {
    groups.iter_mut().max_by(|a, b| {
        let last = |group: &Group<'_>| group.notes.last().map_or((0, 0.0), |note| (note.measure, note.at));
        let (a, b) = (last(a), last(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    })
}

/// The changes of a part, in the order of the page; `shared` tells words that other parts have at the same place.
fn changes(table: &NameTable, part: &RawPart, shared: &dyn Fn(u32, &str) -> bool) -> Vec<Change> {
    let mut out: Vec<Change> = Vec::new();
    for words in &part.words {
        // Instruments are named in a few words; longer texts are prefaces.
        if words.text.len() > LONGEST_WORDS {
            continue;
        }
        let mut said = said(table, &words.text);
        // What stands over several parts is for all of them, and the same words are named once.
        if said.unknown && (shared(words.measure, &words.text) || out.iter().any(|c| c.text == words.text)) {
            (said.unknown, said.doubt) = (false, None);
        }
        if said.found.is_empty() && said.beaters.is_empty() && said.doubt.is_none() {
            continue;
        }
        out.push(Change {
            measure: words.measure,
            at: words.at,
            text: words.text.clone(),
            found: said.found,
            beaters: said.beaters,
            doubt: said.doubt,
            unknown: said.unknown,
        });
    }
    out.sort_by(|a, b| a.measure.cmp(&b.measure).then(a.at.total_cmp(&b.at)));
    out
}

fn named_instrument(table: &NameTable, raw: &RawInstrument, kit: bool) -> Named {
    let bare = |id: &str| -> Option<Vec<Candidate>> {
        let kind = KindId::new(id).ok().filter(|id| table.kind(id).is_some())?;
        Some(vec![Candidate { kind, languages: 0, behind: 0.0 }])
    };
    let printed = if raw.name.is_empty() { raw.id.clone() } else { raw.name.clone() };
    if kit
        && raw.key.is_some_and(of_kit)
        && let Some(candidates) = bare("drum_kit")
    {
        let evidence =
            format!("key {} of the General MIDI percussion key map, in a drum kit", raw.key.unwrap_or(0));
        return Named { candidates, printed, by_name: false, evidence };
    }
    let heading = table.heading(&raw.name);
    let by_key = raw.key.and_then(key_of_map).is_some_and(|(name, _)| name == raw.name && raw.id.is_empty());
    if let Some(found) = heading.found.first().filter(|_| !heading.other && !by_key) {
        let evidence = format!("instrument “{}”", raw.name);
        return Named { candidates: found.candidates.clone(), printed, by_name: true, evidence };
    }
    if let Some(candidates) = kind_of_sound(&raw.sound).and_then(bare) {
        return Named { candidates, printed, by_name: true, evidence: format!("sound “{}”", raw.sound) };
    }
    if raw.channel == Some(10)
        && let Some((name, kind)) = raw.key.and_then(key_of_map)
    {
        let evidence =
            format!("key {} of the General MIDI percussion key map, {name}", raw.key.unwrap_or_default());
        let candidates = kind.and_then(bare).unwrap_or_default();
        return Named { candidates, printed, by_name: false, evidence };
    }
    if raw.channel != Some(10)
        && let Some(candidates) = raw.program.and_then(kind_of_program).and_then(bare)
    {
        let evidence = format!("program {} of General MIDI", raw.program.unwrap_or_default());
        return Named { candidates, printed, by_name: false, evidence };
    }
    Named { printed, ..Named::default() }
}
