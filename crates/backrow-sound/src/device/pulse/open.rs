//! Finding the sound server and being let in.

use super::NoSound;
use pulseaudio::{Client, ClientError};
use std::io::ErrorKind;
use std::os::unix::net::UnixStream;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// A healthy server answers the first question within milliseconds; one that hangs must not hang the program.
const HANDSHAKE: Duration = Duration::from_secs(3);

/// The length of the cookie that servers want.
const COOKIE: usize = 256;

fn no_server() -> NoSound {
    NoSound(
        "No sound server is running (neither PipeWire nor PulseAudio), so nothing can be played or recorded. Recordings can \
         still be imported from files."
            .to_owned(),
    )
}

/// Where the server's socket may be. The crate's own search gives up at the first place that is missing, and takes the local
/// server where `PULSE_SERVER` names another machine; so the places are looked through here.
fn sockets() -> Result<Vec<PathBuf>, NoSound> {
    let list = std::env::var("PULSE_SERVER").unwrap_or_default();
    if list.trim().is_empty() {
        let places = [("PULSE_RUNTIME_PATH", "native"), ("XDG_RUNTIME_DIR", "pulse/native")];
        let places = places
            .into_iter()
            .filter_map(|(name, tail)| Some(Path::new(&std::env::var_os(name)?).join(tail)));
        return Ok(places.filter(|path| path.exists()).collect());
    }
    named_in(&list)
}

/// The sockets in a list separated by blanks; each may begin with the id of a machine in braces.
fn named_in(list: &str) -> Result<Vec<PathBuf>, NoSound> {
    list.split_whitespace()
        .map(|item| {
            let item = item.split_once('}').map_or(item, |(_, rest)| rest);
            let path = item.strip_prefix("unix:").or_else(|| item.starts_with('/').then_some(item));
            path.map(PathBuf::from).ok_or_else(|| {
                NoSound(format!(
                    "The sound server is set to {item}, on another machine; only one on this machine can be used. Unset \
                     PULSE_SERVER to use this machine’s."
                ))
            })
        })
        .collect()
}

/// An error with its causes: the crate's own words for one are only "Protocol error" or "I/O error".
pub(super) fn why(e: &dyn std::error::Error) -> String {
    let mut text = e.to_string();
    let mut at = e.source();
    while let Some(cause) = at {
        text = format!("{text}: {cause}");
        at = cause.source();
    }
    text
}

/// A client of the first server that answers.
pub(super) fn open() -> Result<Client, NoSound> {
    let mut last = no_server();
    for path in sockets()? {
        // What cannot be connected to is a socket left behind by a server that is gone.
        let Ok(socket) = UnixStream::connect(&path) else { continue };
        let limits =
            socket.set_read_timeout(Some(HANDSHAKE)).and_then(|()| socket.set_write_timeout(Some(HANDSHAKE)));
        if limits.is_err() {
            continue;
        }
        match Client::new_unix(c"Backrow", socket, Some(cookie())) {
            Ok(client) => return Ok(client),
            Err(e) => last = refused(&path, &e),
        }
    }
    Err(last)
}

/// Both servers refuse a cookie that is not 256 bytes long, even where they would let this user in without one; the crate
/// sends an empty one when there is no file. Zeros are what the C library sends.
fn cookie() -> Vec<u8> {
    pulseaudio::cookie_path_from_env()
        .and_then(|path| std::fs::read(path).ok())
        .filter(|cookie| cookie.len() == COOKIE)
        .unwrap_or_else(|| vec![0; COOKIE])
}

fn refused(path: &Path, e: &ClientError) -> NoSound {
    let io = match e {
        ClientError::Protocol(pulseaudio::protocol::ProtocolError::Io(io)) | ClientError::Io(io) => {
            Some(io.kind())
        }
        _ => None,
    };
    if matches!(io, Some(ErrorKind::WouldBlock | ErrorKind::TimedOut)) {
        return NoSound(format!(
            "The sound server at {} does not answer. Start it again, then try once more.",
            path.display()
        ));
    }
    NoSound(format!("The sound server at {} refuses: {}.", path.display(), why(e)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("unix:/run/x", &["/run/x"])]
    #[case("{0123abc}unix:/run/x /run/y", &["/run/x", "/run/y"])]
    fn sockets_are_named_in_a_list(#[case] list: &str, #[case] paths: &[&str]) {
        assert_eq!(named_in(list), Ok(paths.iter().map(PathBuf::from).collect()));
    }

    #[test]
    fn another_machine_is_refused_by_name() {
        let why = named_in("tcp:stage-left:4713").unwrap_err();
        assert!(why.0.contains("tcp:stage-left:4713, on another machine"), "{why}");
    }

    #[test]
    fn a_server_that_says_nothing_does_not_hang_the_program() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("native");
        let _held = std::os::unix::net::UnixListener::bind(&path).unwrap();
        let socket = UnixStream::connect(&path).unwrap();
        socket.set_read_timeout(Some(Duration::from_millis(20))).unwrap();
        let refusal = Client::new_unix(c"Backrow", socket, Some(cookie())).map(|_| ()).unwrap_err();
        let why = refused(&path, &refusal);
        assert!(why.0.contains("does not answer"), "{why}");
    }
}
