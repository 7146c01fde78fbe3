//! What fixes a finding: a change of the library, the way to where it is changed with the thing chosen, or why there is neither.

use crate::actions::Action;
use crate::intent::Intent;
use crate::sheets::Sheet;
use crate::view::{CollectionTab, Place, Selected, WeekTab};
use backrow_core::edit::Edit;
use backrow_core::findings::{About, Finding, Rule};
use egui::{Key, KeyboardShortcut, Modifiers};

/// What fixes a finding.
#[derive(Clone, Debug)]
#[expect(clippy::large_enum_variant, reason = "one a finding, and findings are few")]
pub enum Fix {
    /// A change, with its words; undo takes it back.
    Edit(String, Edit),
    /// Where it is changed by hand, and the words for what is done there.
    GoTo(&'static str, Vec<Intent>),
    /// Nothing that a program could do; why, as a sentence.
    Nothing(&'static str),
}

impl Fix {
    /// An action that helps, by its own words.
    pub(super) fn action(action: Action) -> Self {
        Self::GoTo(action.label(), vec![Intent::Do(action)])
    }

    /// The change that the finding offers, else where its rule is fixed by hand.
    pub(super) fn of(finding: &Finding) -> Self {
        match &finding.fix {
            Some((words, edit)) => Self::Edit(words.clone(), edit.clone()),
            None => by_hand(finding),
        }
    }
}

/// Where each rule is fixed by hand.
fn by_hand(finding: &Finding) -> Fix {
    match finding.rule {
        Rule::DoubleBooked | Rule::TooShort | Rule::DoesNotPlay => {
            line_in(finding, Place::Section, "Assign it to another player in Section")
        }
        Rule::NoteElsewhere => line_in(finding, Place::Section, "Decide again about the note"),
        Rule::PlayerTwice | Rule::Absent => with_player(finding),
        Rule::NotEngaged | Rule::InReserve | Rule::NotForConcert => {
            Fix::GoTo("Engage players in Week", vec![Intent::WeekTab(WeekTab::Programme)])
        }
        Rule::SharedAtOnce
        | Rule::LacksNotes
        | Rule::DeadBar
        | Rule::OtherKind
        | Rule::OutOfTune
        | Rule::BeatTogether => line_in(finding, Place::Compass, "Choose another instrument on Compass"),
        Rule::NoTuning | Rule::HeardTuning | Rule::DrumNotThere => {
            line_in(finding, Place::Compass, "Choose its drums on Compass")
        }
        Rule::InstrumentTwice if first_line(finding).is_some() => {
            line_in(finding, Place::Compass, "Choose another instrument on Compass")
        }
        Rule::InstrumentTwice | Rule::BellToBorrow => {
            Fix::GoTo("Hire or borrow one in Week", vec![Intent::WeekTab(WeekTab::Hires)])
        }
        Rule::BeatersTwice => Fix::GoTo(
            "Add another set in Collection",
            vec![Intent::Go(Place::Collection), Intent::CollectionTab(CollectionTab::Beaters)],
        ),
        Rule::HarmfulBeater | Rule::ShortBeaters => {
            line_in(finding, Place::Section, "Choose other beaters for the line")
        }
        Rule::OutOfReach
        | Rule::Overlap
        | Rule::KeepOut
        | Rule::OffFloor
        | Rule::AcrossEdge
        | Rule::NarrowGangway
        | Rule::PlayersSpace
        | Rule::NoSight
        | Rule::Backwards => on_floor(finding),
        Rule::NotPlaced => key("Propose places on Floor", Place::Floor, Modifiers::NONE, Key::P),
        Rule::RiserLoad => Fix::Nothing("Only the venue’s technical staff can say what a riser carries."),
        Rule::Loud => Fix::Nothing("Nothing in the plan changes how loud it is."),
        Rule::Nobody => after_line(
            finding,
            key("Propose assignments in Section", Place::Section, Modifiers::NONE, Key::S),
        ),
        Rule::NoInstrument | Rule::NoBeaters => Fix::action(Action::Propose),
        Rule::OpenKind => Fix::GoTo("Search for its sound in Sounds", by_sound(finding)),
        Rule::NoService => {
            let services = Intent::WeekTab(WeekTab::Services);
            after(vec![services], key("Add a service in Week", Place::Week, Modifiers::COMMAND, Key::N))
        }
        Rule::ServicesCollide | Rule::TooLong => service(finding),
        Rule::HadBefore => Fix::GoTo("Assign its lines in Section", vec![Intent::Go(Place::Section)]),
        Rule::UnknownWork | Rule::Dangling => Fix::action(Action::ShowEarlier),
        Rule::UnknownVenue => {
            Fix::GoTo("Choose the venue in Week", vec![Intent::WeekTab(WeekTab::Programme)])
        }
        Rule::OtherA => its_tuning(finding),
        Rule::OddFigures | Rule::AppearsTwice => Fix::GoTo(
            "Edit its record in Collection",
            first_thing(finding).map(Intent::Record).into_iter().collect(),
        ),
        Rule::BellElsewhere => {
            Fix::GoTo("Show the questions for the conductor", vec![Intent::ShowSheet(Sheet::Questions)])
        }
    }
}

/// A key of a place, with the words for what it does.
fn key(words: &'static str, place: Place, modifiers: Modifiers, key: Key) -> Fix {
    Fix::GoTo(words, vec![Intent::Press(place, KeyboardShortcut::new(modifiers, key))])
}

/// The same, once these were carried out.
fn after(first: Vec<Intent>, fix: Fix) -> Fix {
    match fix {
        Fix::GoTo(words, then) => Fix::GoTo(words, first.into_iter().chain(then).collect()),
        other => other,
    }
}

/// The same, with the finding's line in hand, whose work comes with it.
fn after_line(finding: &Finding, fix: Fix) -> Fix {
    after(first_line(finding).into_iter().collect(), fix)
}

/// To the line that the finding is about most of all.
fn first_line(finding: &Finding) -> Option<Intent> {
    finding.about.iter().find_map(|about| match about {
        About::Line(line) => Some(Intent::Line(line.clone())),
        _ => None,
    })
}

/// To what sounds as the line's words say.
fn by_sound(finding: &Finding) -> Vec<Intent> {
    let line = finding.about.iter().find_map(|about| match about {
        About::Line(line) => Some(Intent::SearchFor(line.clone())),
        _ => None,
    });
    line.into_iter().collect()
}

fn first_thing(finding: &Finding) -> Option<Selected> {
    finding.about.iter().find_map(|about| match about {
        About::Instrument(id) => Some(Selected::Instrument(id.clone())),
        _ => None,
    })
}

fn line_in(finding: &Finding, place: Place, words: &'static str) -> Fix {
    after_line(finding, Fix::GoTo(words, vec![Intent::Go(place)]))
}

fn on_floor(finding: &Finding) -> Fix {
    let chosen = first_thing(finding).map(|thing| Intent::Select(Some(thing)));
    Fix::GoTo("Move it on Floor", chosen.into_iter().chain([Intent::Go(Place::Floor)]).collect())
}

fn with_player(finding: &Finding) -> Fix {
    let chosen = finding.about.iter().find_map(|about| match about {
        About::Player(id) => Some(Intent::Select(Some(Selected::Player(id.clone())))),
        _ => None,
    });
    let go = first_line(finding).into_iter().chain(chosen).chain([Intent::Go(Place::Section)]);
    Fix::GoTo("Assign their lines to others in Section", go.collect())
}

fn its_tuning(finding: &Finding) -> Fix {
    let chosen = first_thing(finding).map(|thing| Intent::Select(Some(thing)));
    let there = [Intent::Go(Place::Collection), Intent::CollectionTab(CollectionTab::Tuning)];
    Fix::GoTo("Look at its tuning in Collection", chosen.into_iter().chain(there).collect())
}

fn service(finding: &Finding) -> Fix {
    let form = finding.about.iter().find_map(|about| match about {
        About::Service(id) => Some(Intent::ServiceForm(id.clone())),
        _ => None,
    });
    Fix::GoTo("Change the service in Week", form.into_iter().collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::findings::Degree;
    use backrow_core::id::{InstrumentId, LineId, PlayerId, ServiceId, WorkId};
    use backrow_core::week::LineRef;

    /// A finding of that rule that is about one of everything.
    fn finding(rule: Rule) -> Finding {
        let line = LineRef { work: WorkId::new("w").unwrap(), line: LineId::new("l").unwrap() };
        let about = vec![
            About::Line(line),
            About::Instrument(InstrumentId::new("i").unwrap()),
            About::Player(PlayerId::new("p").unwrap()),
            About::Service(ServiceId::new("s").unwrap()),
        ];
        let (what, why, remedy) = (String::new(), String::new(), String::new());
        Finding { rule, degree: Degree::Note, what, why, remedy, about, fix: None }
    }

    #[test]
    fn every_rule_leads_somewhere_or_says_why_not() {
        for rule in Rule::ALL {
            match Fix::of(&finding(*rule)) {
                Fix::GoTo(words, way) => {
                    assert!(!words.is_empty() && !way.is_empty(), "{rule:?}");
                    let arrives = way.last().is_some_and(|last| {
                        matches!(
                            last,
                            Intent::Go(_)
                                | Intent::Do(_)
                                | Intent::Press(..)
                                | Intent::WeekTab(_)
                                | Intent::CollectionTab(_)
                                | Intent::ServiceForm(_)
                                | Intent::ShowSheet(_)
                                | Intent::SearchFor(_)
                                | Intent::Record(_)
                        )
                    });
                    assert!(arrives, "{rule:?} leads to no place: {way:?}");
                }
                Fix::Nothing(why) => assert!(why.ends_with('.'), "{rule:?}"),
                Fix::Edit(..) => panic!("{rule:?} offers no change here"),
            }
        }
    }

    #[test]
    fn a_place_that_is_led_to_has_the_key() {
        for rule in Rule::ALL {
            let Fix::GoTo(_, way) = Fix::of(&finding(*rule)) else { continue };
            for step in way {
                if let Intent::Press(place, shortcut) = step {
                    let words = crate::actions::shortcut_words(shortcut);
                    let known = crate::places::keys(place).iter().any(|(key, _)| *key == words);
                    assert!(known, "{rule:?}: {place:?} has no {words}");
                }
            }
        }
    }
}
