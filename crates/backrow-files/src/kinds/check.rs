//! What is wrong with a kind although its record could be read.

use backrow_core::collection::{Between, Kind, Pitched, Shape};

/// Faults of one kind, each as a sentence without its stop and what would mend it; empty for a sane one.
pub fn faults(kind: &Kind) -> Vec<(String, &'static str)> {
    let mut found = Vec::new();
    let mut say = |wrong: bool, what: String, remedy| found.extend(wrong.then_some((what, remedy)));
    let names = &kind.names;
    say(names.english.is_empty(), "it has no English name".to_owned(), "give it one");
    say(
        names.all().any(|name| name.trim().is_empty()),
        "one of its names is empty".to_owned(),
        "take the empty name out",
    );
    for lonely in names.with_company.iter().filter(|word| !names.all().any(|name| name == word.as_str())) {
        say(true, format!("\"{lonely}\" needs company and is none of its names"), "add it to the names");
    }
    say(kind.unit.trim().is_empty(), "its unit has no word".to_owned(), "say bar, disc, tube, ...");
    say(
        kind.pitched == Pitched::No && (kind.octave.is_some() || !kind.compasses.is_empty()),
        "it has no pitch and yet an octave or a compass".to_owned(),
        "say pitched: \"yes\" or \"sometimes\", or take them out",
    );
    for usual in &kind.compasses {
        say(usual.name.trim().is_empty(), "a compass has no name".to_owned(), "name it: \"3 octaves\"");
        let turned = format!("its compass {} to {} ends below its beginning", usual.low, usual.high);
        say(usual.low > usual.high, turned, "exchange low and high");
    }
    let shapes = kind.compasses.iter().filter_map(|usual| usual.shape).chain([kind.shape]);
    for shape in shapes {
        say(
            !is_sane(shape),
            "a size of its outline is not between 0.01 and 20\u{202f}m".to_owned(),
            "give sizes in metres",
        );
    }
    say(
        !(0.01..=10.0).contains(&kind.height_m),
        "its height is not between 0.01 and 10\u{202f}m".to_owned(),
        "give metres",
    );
    for range in [kind.plausible.mass_kg, kind.plausible.long_m].into_iter().flatten() {
        let Between { least, most } = range;
        let turned = !(0.0 < least && least <= most && most.is_finite());
        say(
            turned,
            format!("a plausible range runs from {least} to {most}"),
            "give the least, then the most",
        );
    }
    say(kind.like.contains(&kind.id), "it is like itself".to_owned(), "name other kinds");
    found
}

fn is_sane(shape: Shape) -> bool {
    let sizes = match shape {
        Shape::Keyboard { width_m, low_m, high_m } => [width_m, low_m, high_m],
        Shape::Box { width_m, depth_m } | Shape::Hung { width_m, depth_m } => [width_m, depth_m, depth_m],
        Shape::Round { diameter_m } => [diameter_m; 3],
    };
    sizes.iter().all(|metres| (0.01..=20.0).contains(metres))
}
