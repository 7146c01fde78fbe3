//! A command's answer, and how it leaves the program.

use backrow_files::problem::Problem;
use serde_json::{Map, Value, json};
use std::io::Write;
use std::process::ExitCode;

/// What a command found out.
#[derive(Debug)]
pub(super) struct Answer {
    /// For people: lines.
    pub(super) lines: Vec<String>,
    /// For scripts: the fields of one object, to which `problems` is added.
    pub(super) fields: Map<String, Value>,
    /// What went wrong on the way.
    pub(super) problems: Vec<Problem>,
}

impl Answer {
    /// An answer whose fields are those of a JSON object.
    pub(super) fn new(lines: Vec<String>, value: Value, problems: Vec<Problem>) -> Self {
        let fields = match value {
            Value::Object(fields) => fields,
            other => Map::from_iter([("answer".to_owned(), other)]),
        };
        Self { lines, fields, problems }
    }
}

/// Writes the answer or the reason why there is none; the exit code is 0, 1 or 2.
pub(super) fn give(answer: Result<Answer, Problem>, json: bool) -> ExitCode {
    let (lines, mut fields, problems, code) = match answer {
        Ok(Answer { lines, fields, problems }) => {
            let code = u8::from(!problems.is_empty());
            (lines, fields, problems, code)
        }
        Err(problem) => (Vec::new(), Map::new(), vec![problem], 2),
    };
    for problem in &problems {
        put(&mut std::io::stderr(), &format!("{problem}\n"));
    }
    let text = if json {
        fields.insert("problems".to_owned(), problems.iter().map(problem_json).collect());
        format!("{:#}\n", Value::Object(fields))
    } else {
        lines.iter().flat_map(|line| [line.as_str(), "\n"]).collect::<String>()
    };
    match write(&mut std::io::stdout(), &text) {
        Ok(()) => ExitCode::from(code),
        Err(why) => {
            put(&mut std::io::stderr(), &format!("The answer cannot be written: {why}\n"));
            ExitCode::from(2)
        }
    }
}

fn problem_json(problem: &Problem) -> Value {
    json!({ "code": problem.code, "where": problem.place, "what": problem.what, "remedy": problem.remedy })
}

/// Writes what can be written.
pub(super) fn put(out: &mut impl Write, text: &str) {
    drop(write(out, text));
}

/// Writes all of it; a reader who has gone away is not our fault.
fn write(out: &mut impl Write, text: &str) -> std::io::Result<()> {
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(why) if why.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// The word with the count: "1 line", "3 lines".
pub(super) fn count(number: usize, one: &str) -> String {
    format!("{number} {one}{}", if number == 1 { "" } else { "s" })
}
