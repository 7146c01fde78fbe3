//! The library's tables into files: one workbook, or a file of comma-separated values each.

use crate::evenings::evening_apart;
use crate::sheets::{Counted, SeasonRow, season, write_whole};
use backrow_core::halt::Halt;
use backrow_core::library::Library;
use backrow_core::loads::Way;
use backrow_core::week::Programme;
use backrow_files::tables::library::{
    assignments, beaters, collection, hires, lines, load, moves, places, players, services,
};
use backrow_files::tables::table::{Cell, Table, workbook};
use std::path::{Path, PathBuf};

/// Every table: the collection, beaters, players, places, the season, and of a programme its lines, assignments, loads, services, moves and hires.
pub fn all(library: &Library, programme: Option<&Programme>) -> Vec<Table> {
    let mut tables = vec![collection(library), beaters(library), players(library), places(library)];
    if let Some(programme) = programme {
        tables.extend([lines(library, programme), assignments(library, programme)]);
        let evening = evening_apart(library, programme);
        tables.extend(Way::ALL.map(|way| load(&evening, way)));
        tables.extend([services(library, programme), moves(&evening), hires(library, programme)]);
    }
    tables.push(season_table(library));
    tables
}

/// The season as a table.
fn season_table(library: &Library) -> Table {
    let count = |n: usize| Cell::Whole(i64::try_from(n).unwrap_or(i64::MAX));
    let row = |row: SeasonRow| {
        let extras = row.extras_in_words().join("; ");
        vec![
            Cell::text(row.title),
            Cell::text(row.week),
            row.first.map_or(Cell::Empty, Cell::Time),
            Cell::text(row.when),
            row.fewest.map_or(Cell::Empty, count),
            Cell::text(row.needed),
            count(row.players),
            Cell::text(extras),
            Cell::text(row.hires.join("; ")),
            count(row.open_hires),
            Cell::text(row.collisions.join("; ")),
        ]
    };
    Table {
        name: "Season".to_owned(),
        heads: vec![
            "programme",
            "week",
            "first service",
            "when",
            "players needed",
            "needed",
            "players now",
            "extras",
            "hires",
            "to arrange",
            "collisions",
        ],
        rows: season(library, &Halt::default(), &Counted::default()).into_iter().map(row).collect(),
    }
}

/// Writes tables: into one workbook when the path ends with `.xlsx`, else into a folder, which is made, as CSV. Returns the
/// files, or what is wrong and what helps.
pub fn save(tables: &[Table], to: &Path) -> Result<Vec<PathBuf>, String> {
    let say = |why: std::io::Error, file: &Path| {
        format!(
            "{} cannot be written: {why}. Choose another place, or close the program that holds the file.",
            file.display()
        )
    };
    if to.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("xlsx")) {
        if let Some(folder) = to.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            std::fs::create_dir_all(folder).map_err(|why| say(why, folder))?;
        }
        write_whole(to, &workbook(tables)?).map_err(|why| say(why, to))?;
        return Ok(vec![to.to_owned()]);
    }
    if let Some(ending) = to.extension().filter(|_| !to.is_dir()) {
        return Err(format!(
            "{} ends with .{}: give a name that ends with .xlsx for one workbook, or a folder for a .csv file each.",
            to.display(),
            ending.to_string_lossy()
        ));
    }
    std::fs::create_dir_all(to).map_err(|why| say(why, to))?;
    let mut files = Vec::new();
    for table in tables {
        let file = to.join(format!("{}.csv", backrow_core::id::slug_of(&table.name)));
        write_whole(&file, &table.csv()?).map_err(|why| say(why, &file))?;
        files.push(file);
    }
    Ok(files)
}

/// What saving tables there would write over, of which nothing says that the program wrote it; `None` where all is free.
pub fn in_the_way(tables: &[Table], to: &Path) -> Option<PathBuf> {
    if to.is_file() {
        return Some(to.to_owned());
    }
    let mut files =
        tables.iter().map(|table| to.join(format!("{}.csv", backrow_core::id::slug_of(&table.name))));
    files.find(|file| file.exists())
}

/// The file that services are saved in: the ending is added where it lacks.
pub fn services_file(to: &Path) -> PathBuf {
    let is_one = to.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ics"));
    let mut file = to.as_os_str().to_owned();
    if !is_one {
        file.push(".ics");
    }
    PathBuf::from(file)
}

/// Writes every programme's services as a calendar; the ending is added where it lacks. Returns the file, or what is wrong.
pub fn save_services(library: &Library, to: &Path) -> Result<PathBuf, String> {
    let file = services_file(to);
    if library.services().next().is_none() {
        return Err("There are no services to save yet: add them in Week, or import a calendar.".to_owned());
    }
    let programmes = library.programmes().map(|(_, programme)| programme);
    let stamp = chrono::Utc::now().format("%Y%m%dT%H%M%SZ").to_string();
    let text = backrow_files::calendar::calendar_of(library, programmes, &stamp);
    let say =
        |why: std::io::Error| format!("{} cannot be written: {why}. Choose another place.", file.display());
    if let Some(folder) = file.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        std::fs::create_dir_all(folder).map_err(say)?;
    }
    write_whole(&file, text.as_bytes()).map_err(say)?;
    Ok(file)
}

/// Reads a table or calendar file of at most 64 MB.
pub fn read(path: &Path) -> Result<Vec<u8>, String> {
    backrow_files::limits::read_plain(path, backrow_files::limits::MOST_BYTES)
        .map_err(|why| format!("{} cannot be read: {why}. Check the path and its rights.", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_of_its_own_for_one_table_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let to = folder.path().join("x.csv");
        let why = save(&all(&Library::default(), None), &to).unwrap_err();
        assert!(why.contains(".xlsx") && !to.exists(), "{why}");
        let kept = folder.path().join("week.41");
        std::fs::create_dir(&kept).unwrap();
        assert!(
            save(&all(&Library::default(), None), &kept).is_ok(),
            "a folder that is there may have a stop in its name"
        );
    }
}
