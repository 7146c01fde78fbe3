//! The user's own settings: a small file beside other programs' settings, never part of the library.

use crate::view::Place;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Which theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum ThemeChoice {
    /// As the desktop says.
    #[default]
    System,
    /// Light.
    Paper,
    /// Dark.
    Stage,
}

/// The paper that sheets are set on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum PaperSize {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

impl PaperSize {
    /// The paper itself.
    pub const fn paper(self) -> backrow_print::Paper {
        match self {
            Self::A4 => backrow_print::Paper::A4,
            Self::Letter => backrow_print::Paper::Letter,
        }
    }
}

/// How note names are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum NoteReading {
    /// F#5, Bb3.
    #[default]
    English,
    /// Fis5, B3, H3.
    German,
    /// fa#5, sib3.
    Syllables,
}

/// When a passage ends, and how long a fermata holds.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct PassageSettings {
    /// A passage ends at a rest of at least so many seconds.
    pub rest_s: f64,
    /// Whether that rest must also hold a whole measure.
    pub whole_measure: bool,
    /// What a fermata adds, seconds.
    pub fermata_s: f64,
}

impl Default for PassageSettings {
    fn default() -> Self {
        let usual = backrow_files::score::ReadOptions::default();
        Self { rest_s: usual.rest_s, whole_measure: usual.whole_measure, fermata_s: usual.fermata_s }
    }
}

/// The user's settings.
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own")]
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// The library opened last.
    pub library: Option<PathBuf>,
    /// Libraries opened before, the last first.
    pub recent: Vec<PathBuf>,
    /// Where sheets were printed last.
    pub sheets: Option<PathBuf>,
    /// Theme.
    pub theme: ThemeChoice,
    /// Paper.
    pub paper: PaperSize,
    /// Note names.
    pub reading: NoteReading,
    /// Plans to 1 : so much; 0 for the largest that fits.
    pub plan_scale: u32,
    /// Plans as SVG and PNG beside the PDF.
    pub plan_pictures: bool,
    /// Whether load lists and labels show pictures of the instruments.
    pub instrument_pictures: bool,
    /// The size of labels.
    pub labels: crate::sheets::LabelSize,
    /// How scores are read.
    pub passages: PassageSettings,
    /// Whether nothing on the screen glides to its place.
    pub still: bool,
    /// Of which libraries the first steps are shown, and of which they were closed.
    pub first_steps: BTreeMap<PathBuf, bool>,
    /// Whether the right panel is folded.
    pub panel_folded: bool,
    /// The width of the right panel, points.
    pub panel_width: Option<f32>,
    /// How much larger than usual everything is drawn.
    pub zoom: Option<f32>,
    /// Inner size of the window, points of a zoom of 1.
    pub window: Option<(f32, f32)>,
    /// Where we were.
    pub place: Place,
    /// The current programme.
    pub programme: Option<String>,
}

impl Settings {
    /// Reads the file; a missing one gives the usual settings.
    ///
    /// # Errors
    /// It is there and cannot be read, with what helps. What is no settings is put aside under another name, since it says which
    /// library was open.
    pub fn read(path: &Path) -> Result<Self, String> {
        let why = match std::fs::read(path) {
            Ok(bytes) => match ron::de::from_bytes(&bytes) {
                Ok(settings) => return Ok(settings),
                Err(why) => why.to_string(),
            },
            Err(why) if why.kind() == std::io::ErrorKind::NotFound => return Ok(Self::default()),
            Err(why) => return Err(format!("Your settings cannot be read: {}: {why}.", path.display())),
        };
        let aside = Self::aside(path);
        let place = match std::fs::rename(path, &aside) {
            Ok(()) => format!("they are put aside as {}", aside.display()),
            Err(_refused) => format!("they are left in {}", path.display()),
        };
        Err(format!("Your settings cannot be read ({why}), so {place}, and the usual ones are used."))
    }

    /// Where settings are put aside that cannot be read.
    pub fn aside(path: &Path) -> PathBuf {
        path.with_extension("broken.ron")
    }

    /// Writes the file and its folder; an error names the file.
    pub fn write(&self, path: &Path) -> Result<(), String> {
        let say = |e: std::io::Error| format!("settings not saved: {}: {e}", path.display());
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder).map_err(say)?;
        }
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default())
            .map_err(|e| format!("settings not saved: {e}"))?;
        backrow_files::library::write_whole(path, text.as_bytes()).map_err(say)
    }

    /// How plans are printed.
    pub const fn plans(&self) -> crate::sheets::Plans {
        use backrow_print::plan::PlanScale;
        let scale = if self.plan_scale == 0 { PlanScale::Largest } else { PlanScale::OneTo(self.plan_scale) };
        crate::sheets::Plans {
            scale,
            pictures: self.plan_pictures,
            labels: self.labels,
            instruments: self.instrument_pictures,
        }
    }

    /// How scores are read.
    pub fn read_options(&self) -> backrow_files::score::ReadOptions {
        let PassageSettings { rest_s, whole_measure, fermata_s } = self.passages;
        backrow_files::score::ReadOptions { rest_s, whole_measure, fermata_s, ..Default::default() }
    }

    /// How core reads note names.
    pub const fn note_reading(&self) -> backrow_core::pitch::Reading {
        match self.reading {
            NoteReading::English => backrow_core::pitch::Reading::English,
            NoteReading::German => backrow_core::pitch::Reading::German,
            NoteReading::Syllables => backrow_core::pitch::Reading::Syllables,
        }
    }

    /// Notes a library as the one opened last.
    pub fn opened(&mut self, folder: &Path) {
        self.recent.retain(|old| old != folder);
        self.recent.insert(0, folder.to_owned());
        self.recent.truncate(8);
        self.library = Some(folder.to_owned());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn settings_are_written_whole_or_not_at_all() {
        use std::os::unix::fs::MetadataExt;
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("deep/settings.ron");
        let mut settings = Settings::default();
        settings.opened(Path::new("first"));
        settings.write(&file).unwrap();
        // A second name keeps the old bytes: they are not written into.
        let old = dir.path().join("old");
        std::fs::hard_link(&file, &old).unwrap();
        settings.opened(Path::new("second"));
        settings.write(&file).unwrap();
        assert_eq!(Settings::read(&file), Ok(settings));
        assert!(std::fs::read_to_string(&old).unwrap().contains("first"));
        assert_ne!(std::fs::metadata(&old).unwrap().ino(), std::fs::metadata(&file).unwrap().ino());
        assert_eq!(
            std::fs::read_dir(file.parent().unwrap()).unwrap().count(),
            1,
            "nothing is left beside it"
        );
    }

    #[test]
    fn settings_that_cannot_be_read_are_put_aside() {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("settings.ron");
        assert_eq!(Settings::read(&file), Ok(Settings::default()), "there are none yet");
        let cut: &[u8] = b"(library: Some(\"/orchestra\"), rec\xFF";
        std::fs::write(&file, cut).unwrap();
        let why = Settings::read(&file).unwrap_err();
        assert!(why.contains("settings.broken.ron"), "{why}");
        assert!(!file.exists());
        assert_eq!(std::fs::read(Settings::aside(&file)).unwrap(), cut);
    }
}
