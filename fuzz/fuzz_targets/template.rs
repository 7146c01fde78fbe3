//! Any text as a library's own template. Run it with `-rss_limit_mb=0 -timeout=120`: a template that asks for all the memory there is,
//! or loops, is ended by the process that tries it (`backrow try-sheet`), which this target leaves out.
#![no_main]

use backrow_print::list::ListSheet;
use backrow_print::{Paper, Press, Templates};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let templates = Templates::default().with("list.typ", text);
    if let Ok(pages) = Press::new().list(&ListSheet::default(), Paper::A4, &templates) {
        let _ = pages.pdf();
    }
});
