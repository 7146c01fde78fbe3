//! Every place of the window on a made library of 3,000 instruments, 2,000 works and 300 weeks: the longest frame when one goes
//! there, how long until nothing is worked out any more, and the same after an edit. A table, not a statistic: each is done once.
//! `cargo bench -p backrow --bench large`.

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a table on a library that cannot fail to be made"
)]

#[path = "../../backrow-files/benches/made/mod.rs"]
mod made;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::edit::Edit;
use egui::vec2;
use egui_kittest::Harness;
use std::time::{Duration, Instant};

/// Frames until nothing is worked out: the first, the longest, and the whole time.
fn frames(h: &mut Harness<'_, App>) -> [Duration; 3] {
    let begun = Instant::now();
    let (mut first, mut longest) = (Duration::ZERO, Duration::ZERO);
    for number in 0..20_000 {
        let frame = Instant::now();
        h.step();
        let took = frame.elapsed();
        longest = longest.max(took);
        if number == 0 {
            first = took;
        }
        if number > 2 && !backrow::background::is_working(&h.ctx) {
            break;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
    [first, longest, begun.elapsed()]
}

fn main() {
    // `cargo test --benches` only asks whether it builds.
    if !std::env::args().any(|arg| arg == "--bench") {
        return;
    }
    let app = App::on_library(made::made(), Settings::default());
    let mut h =
        Harness::builder().with_size(vec2(1280.0, 800.0)).build_ui_state(|ui, app: &mut App| app.ui(ui), app);
    let row = |name: &str, what: &str, [first, longest, all]: [Duration; 3]| {
        let ms = |one: Duration| one.as_millis();
        println!(
            "{name:<12} {what:<12} first frame {:>6} ms, longest {:>6} ms, done {:>6} ms",
            ms(first),
            ms(longest),
            ms(all)
        );
    };
    let begun = frames(&mut h);
    row("window", "first", begun);
    let thing = h.state().history.now().instruments.values().next().map(|thing| (**thing).clone());
    for (number, place) in Place::ALL.iter().enumerate() {
        h.state_mut().request(Intent::Go(*place));
        row(place.word(), "go there", frames(&mut h));
        if let Some(mut thing) = thing.clone() {
            thing.remark = format!("remark {number}");
            h.state_mut().request(Intent::Edit(Edit::PutInstrument(thing)));
        }
        row(place.word(), "after edit", frames(&mut h));
    }
}
