//! Many services at once are put and removed as each alone would be, in one walk over the weeks.

use super::*;
use crate::week::ServiceKind;
use jiff::civil::date;
use proptest::prelude::*;

fn service(name: u8, day: i8) -> Service {
    Service {
        id: id(ServiceId::new(&format!("s{name}"))),
        kind: ServiceKind::Rehearsal,
        programme: p(),
        venue: None,
        start: date(2027, 10, day).at(10, 0, 0, 0),
        minutes: 120,
        event: String::new(),
    }
}

/// Puts and removals of a few ids in two weeks and one that is not there.
fn edits() -> impl Strategy<Value = Vec<Edit>> {
    let one = (0..5_u8, 1..28_i8, 0..8_u8).prop_map(|(name, day, what)| match what {
        0..=1 => Edit::RemoveService(service(name, day).id),
        2 => Edit::PutService { week: id(WeekId::new("gone")), service: service(name, day) },
        3 => Edit::PutService { week: id(WeekId::new("other")), service: service(name, day) },
        _ => Edit::PutService { week: sample_week(), service: service(name, day) },
    });
    proptest::collection::vec(one, 0..7)
}

fn sample_week() -> WeekId {
    sample::library().weeks.keys().next().unwrap().clone()
}

fn library() -> Library {
    let week = crate::week::Week {
        id: id(WeekId::new("other")),
        title: "Other".to_owned(),
        programmes: Vec::new(),
        services: vec![service(4, 3)],
    };
    apply(&sample::library(), &Edit::PutWeek(week)).unwrap()
}

proptest! {
    #[test]
    fn many_at_once_are_as_one_after_the_other(edits in edits()) {
        let library = library();
        let singly = edits.iter().try_fold(library.clone(), |library, edit| apply(&library, edit));
        let together = apply(&library, &Edit::Together { words: "All".to_owned(), edits: edits.clone() });
        prop_assert_eq!(together, singly);
    }
}
