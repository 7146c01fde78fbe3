//! A sheet tried in a process of its own, for the program itself: see `sheets::press`.

use std::io::Read;
use std::process::ExitCode;

/// Reads a job, tries it, and says how it went.
pub(super) fn run() -> ExitCode {
    let mut bytes = Vec::new();
    if std::io::stdin().read_to_end(&mut bytes).is_err() {
        return ExitCode::from(2);
    }
    limit_memory();
    let (code, why) = backrow_print::try_job(&bytes);
    super::answer::put(&mut std::io::stdout(), &why);
    ExitCode::from(code)
}

/// So much memory may the trial ask for, bytes; the largest sheets take a tenth of it.
#[cfg(target_os = "linux")]
const MOST: u64 = 4 << 30;

/// Where the system can hold a process to a limit it is held to one, so that a template that asks for all the memory there is
/// ends here and not the machine.
#[cfg(target_os = "linux")]
fn limit_memory() {
    use rustix::process::{Resource, Rlimit, setrlimit};
    let limit = Rlimit { current: Some(MOST), maximum: Some(MOST) };
    // Without a limit the time still ends it.
    setrlimit(Resource::As, limit).unwrap_or_default();
}

#[cfg(not(target_os = "linux"))]
const fn limit_memory() {}
