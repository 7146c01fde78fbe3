//! `backrow check LIBRARY`: opens a library and names all that is wrong with its files, and what was found in its programmes.

use super::answer::{Answer, count};
use super::open;
use crate::evenings::evening_apart;
use crate::shares;
use backrow_core::findings::{Finding, check, of_collection};
use backrow_core::library::Library;
use backrow_core::week::Programme;
use backrow_files::library::unnamed_sounds;
use backrow_files::problem::Problem;
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Opens a library, lists what it holds and what was found, and names every file that could not be read and every reference to
/// something that is missing.
#[derive(Args, Debug)]
pub(super) struct Check {
    /// The library's folder.
    library: PathBuf,
    /// One JSON object.
    #[arg(long)]
    pub(super) json: bool,
}

impl Check {
    pub(super) fn run(&self) -> Result<Answer, Problem> {
        let (library, problems) = open::library(&self.library)?;
        let named = |id: &str, title: &str| json!({ "id": id, "title": title });
        let found = findings(&library);
        let mut value = json!({
            "orchestra": library.orchestra.name,
            "kinds": library.kinds.len(),
            "instruments": library.instruments.len(),
            "beaters": library.beaters.len(),
            "players": library.players.len(),
            "places": library.places.len(),
            "venues": library.venues.len(),
            "works": library.works.values().map(|work| named(work.id.as_str(), &work.title)).collect::<Vec<_>>(),
            "programmes": library
                .programmes()
                .map(|(_, programme)| named(programme.id.as_str(), &programme.title))
                .collect::<Vec<_>>(),
            "services": library.services().count(),
            "findings": found
                .iter()
                .map(|(programme, one)| json!({
                    "programme": programme,
                    "code": one.rule.code(),
                    "degree": one.degree.word(),
                    "what": one.what,
                    "detail": one.detail(),
                    "why": one.why,
                    "remedy": one.remedy,
                }))
                .collect::<Vec<_>>(),
        });
        let mut lines = lines(&library, problems.len());
        for (programme, one) in &found {
            let of = programme.as_deref().unwrap_or("collection");
            lines.push(format!("{of}: {}: {}. {}", one.degree.word(), one.what, one.detail()));
        }
        let unnamed = unnamed_sounds(&self.library, &library);
        for one in &unnamed {
            lines.push(format!(
                "no take names the sound sounds/{}/{}, {} bytes",
                one.instrument, one.file, one.bytes
            ));
        }
        value["sounds_without_take"] = unnamed
            .iter()
            .map(|one| format!("sounds/{}/{}", one.instrument, one.file))
            .collect::<Vec<_>>()
            .into();
        Ok(Answer::new(lines, value, problems))
    }
}

/// Every finding of every programme, and after them what is found in the collection whatever the programme. They are for people to weigh
/// and do not change the exit code.
fn findings(library: &Library) -> Vec<(Option<String>, Finding)> {
    let of = |programme: &Programme| {
        let id = programme.id.to_string();
        check(&evening_apart(library, programme))
            .into_iter()
            .map(move |one| (Some(id.clone()), one))
            .collect::<Vec<_>>()
    };
    let all: Vec<&Programme> = library.programmes().map(|(_, programme)| programme).collect();
    // Programmes are checked apart from each other, and so can be at the same time.
    let of_programmes = shares::each(&all, 0, |programme| of(programme)).into_iter().flatten();
    of_programmes.chain(of_collection(library).into_iter().map(|one| (None, one))).collect()
}

fn lines(library: &Library, problems: usize) -> Vec<String> {
    let counts = [
        count(library.instruments.len(), "instrument"),
        count(library.beaters.len(), "beater"),
        count(library.players.len(), "player"),
        count(library.places.len(), "place"),
        count(library.venues.len(), "venue"),
        count(library.services().count(), "service"),
    ];
    let mut lines = vec![format!("{}: {}", library.orchestra.name, counts.join(", "))];
    let mut list = |head: &str, rows: Vec<(String, &String)>| {
        let wide = rows.iter().map(|(id, _)| id.chars().count()).max().unwrap_or(0);
        lines.push(head.to_owned());
        for (id, title) in rows {
            lines.push(format!("  {id:wide$}  {title}"));
        }
    };
    list("works", library.works.values().map(|work| (work.id.to_string(), &work.title)).collect());
    list("programmes", library.programmes().map(|(_, p)| (p.id.to_string(), &p.title)).collect());
    lines.push(count(problems, "problem"));
    lines
}
