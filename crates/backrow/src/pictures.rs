//! Pictures of instruments: taken in upright and no larger than they are shown, kept in the library's `pictures/` under a name made
//! of what is in them, so that undo finds the old one again and two users never write the same name over.

use crate::theme::tokens::Tokens;
use base64::Engine as _;
use egui::{ColorImage, RichText, TextureHandle, Ui, vec2};
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder, ImageReader, Limits};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::{Path, PathBuf};

/// The folder within the library's.
pub const FOLDER: &str = "pictures";
/// The endings that are read.
pub const ENDINGS: [&str; 3] = ["jpg", "jpeg", "png"];
/// The longer side of what is kept, pixels: sharp at the width of a page.
const LONGEST: u32 = 1_600;
/// The longer side of what is read at all.
const MOST_PIXELS: u32 = 20_000;
/// How well it is kept, of 100.
const QUALITY: u8 = 85;

/// Whether a file is a picture, by its ending.
pub fn is_one(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ENDINGS.iter().any(|known| ending.eq_ignore_ascii_case(known)))
}

/// The picture in some bytes, turned as its camera says.
fn decoded(bytes: &[u8]) -> Result<DynamicImage, String> {
    let say = |why: &dyn std::fmt::Display| format!("it is not a picture that can be read ({why})");
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|why| say(&why))?;
    let mut limits = Limits::default();
    (limits.max_image_width, limits.max_image_height) = (Some(MOST_PIXELS), Some(MOST_PIXELS));
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|why| say(&why))?;
    let turned = decoder.orientation().map_err(|why| say(&why))?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|why| say(&why))?;
    picture.apply_orientation(turned);
    Ok(picture)
}

/// The picture as it is kept: a JPEG of at most 1,600 pixels.
fn kept(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let mut picture = decoded(bytes)?;
    if picture.width().max(picture.height()) > LONGEST {
        picture = picture.thumbnail(LONGEST, LONGEST);
    }
    let mut out = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut out, QUALITY);
    picture.to_rgb8().write_with_encoder(encoder).map_err(|why| format!("it cannot be kept ({why})"))?;
    Ok(out)
}

/// Puts a picture into the library's folder; its name there, or what is wrong and what helps.
pub fn take(file: &Path, library: &Path) -> Result<String, String> {
    let shown = file.display();
    let bytes = backrow_files::limits::read_plain(file, backrow_files::limits::MOST_BYTES)
        .map_err(|why| format!("{shown} cannot be read: {why}. Check the path and its rights."))?;
    let bytes =
        kept(&bytes).map_err(|why| format!("{shown}: {why}. Save it as JPEG or PNG and try again."))?;
    // The same picture twice is one file.
    let hash = backrow_files::mark::fnv1a(&bytes);
    let stem = file.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    let slug: String = backrow_core::id::slug_of(&stem).chars().take(32).collect();
    let name = format!("{slug}-{hash:016x}.jpg");
    let folder = library.join(FOLDER);
    let to = folder.join(&name);
    let say = |why: std::io::Error| format!("{} cannot be written: {why}.", to.display());
    std::fs::create_dir_all(&folder).map_err(say)?;
    backrow_files::library::write_whole(&to, &bytes).map_err(say)?;
    Ok(name)
}

/// The bytes of a picture of a library's folder; a name is one of that folder's own files, whatever stands in the record.
fn bytes_of(folder: &Path, name: &str) -> Result<Vec<u8>, String> {
    if Path::new(name).file_name().is_none_or(|plain| plain != name) {
        return Err("The picture is not in the library.".to_owned());
    }
    backrow_files::limits::read_plain(&folder.join(name), backrow_files::limits::MOST_BYTES)
        .map_err(|why| format!("The picture {name} cannot be read: {why}."))
}

/// The longer side of a picture on paper, pixels: 300 to the inch at four centimetres.
const ON_PAPER: u32 = 480;

/// Signs that change with a picture of a library: its name and what is in its file.
pub fn mark(library: &Path, name: &str) -> String {
    let bytes = bytes_of(&library.join(FOLDER), name).unwrap_or_default();
    format!("{name} {}", backrow_files::library::content_hash(&bytes))
}

/// A picture of a library as it is printed: small, in an SVG that holds it whole.
///
/// # Errors
/// Why there is none, in words.
pub fn for_paper(library: &Path, name: &str) -> Result<String, String> {
    let bytes = bytes_of(&library.join(FOLDER), name)?;
    let mut picture = decoded(&bytes).map_err(|why| format!("The picture {name}: {why}."))?;
    if picture.width().max(picture.height()) > ON_PAPER {
        picture = picture.thumbnail(ON_PAPER, ON_PAPER);
    }
    let mut out = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut out, QUALITY);
    picture.to_rgb8().write_with_encoder(encoder).map_err(|why| format!("The picture {name}: {why}."))?;
    let data = base64::engine::general_purpose::STANDARD.encode(out);
    let (wide, high) = (picture.width(), picture.height());
    Ok(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" viewBox=\"0 0 {wide} {high}\" \
         width=\"{wide}\" height=\"{high}\"><image width=\"{wide}\" height=\"{high}\" xlink:href=\"data:image/jpeg;base64,{data}\"/></svg>"
    ))
}

/// The library's pictures as they are shown, each read once.
#[derive(Default)]
pub struct Pictures {
    folder: Option<PathBuf>,
    held: RefCell<BTreeMap<String, Result<TextureHandle, String>>>,
}

impl Pictures {
    /// Those of a library's folder.
    pub fn of(library: &Path) -> Self {
        Self { folder: Some(library.join(FOLDER)), held: RefCell::default() }
    }

    fn texture(&self, ctx: &egui::Context, name: &str) -> Result<TextureHandle, String> {
        let folder = self.folder.as_ref().ok_or("The picture is not in the library.")?;
        let bytes = bytes_of(folder, name)?;
        let picture = decoded(&bytes).map_err(|why| format!("The picture {name}: {why}."))?.to_rgba8();
        let size = [picture.width() as usize, picture.height() as usize];
        let picture = ColorImage::from_rgba_unmultiplied(size, picture.as_raw());
        Ok(ctx.load_texture(format!("picture {name}"), picture, egui::TextureOptions::LINEAR))
    }

    /// Shows a picture within a size; nothing for an empty name.
    pub fn show(&self, ui: &mut Ui, tokens: &Tokens, (name, of): (&str, &str), most: egui::Vec2) {
        if name.is_empty() {
            return;
        }
        let mut held = self.held.borrow_mut();
        let found = held.entry(name.to_owned()).or_insert_with(|| self.texture(ui.ctx(), name));
        match found {
            Ok(texture) => {
                let natural = texture.size_vec2();
                let scale = (most.x / natural.x.max(1.0)).min(most.y / natural.y.max(1.0)).min(1.0);
                let image = egui::Image::new(&*texture).fit_to_exact_size(natural * scale);
                let says = format!("Picture of {of}");
                let shown = ui.add(image.alt_text(&says));
                shown.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, says.clone()));
            }
            Err(why) => {
                ui.add(egui::Label::new(RichText::new(why.as_str()).color(tokens.clash)).wrap());
            }
        }
    }

    /// How large a picture is in a panel that is so wide, points.
    pub fn in_panel(width: f32) -> egui::Vec2 {
        vec2(width, 150.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{ImageBuffer, Rgb};

    /// Left half red, right half blue.
    fn picture(width: u32, height: u32) -> DynamicImage {
        let half = |x: u32, _y: u32| if x < width / 2 { Rgb([200_u8, 0, 0]) } else { Rgb([0, 0, 200]) };
        DynamicImage::ImageRgb8(ImageBuffer::from_fn(width, height, half))
    }

    fn png(picture: &DynamicImage) -> Vec<u8> {
        let mut out = Cursor::new(Vec::new());
        picture.write_to(&mut out, image::ImageFormat::Png).unwrap();
        out.into_inner()
    }

    #[test]
    fn large_ones_are_made_small_and_keep_their_shape() {
        let small = decoded(&kept(&png(&picture(3_200, 800))).unwrap()).unwrap().to_rgb8();
        assert_eq!((small.width(), small.height()), (1_600, 400));
        assert!(small.get_pixel(100, 200).0[0] > 150 && small.get_pixel(1_500, 200).0[2] > 150);
        let as_it_was = decoded(&kept(&png(&picture(40, 20))).unwrap()).unwrap();
        assert_eq!((as_it_was.width(), as_it_was.height()), (40, 20));
    }

    /// Exif 2.3, tag 0x0112: 6 is "the 0th row is the visual right-hand side", so the picture is turned by a quarter clockwise.
    #[test]
    fn one_from_a_camera_stands_upright() {
        let mut jpeg = Vec::new();
        picture(40, 20).to_rgb8().write_with_encoder(JpegEncoder::new_with_quality(&mut jpeg, 95)).unwrap();
        let exif: &[u8] = b"\xff\xe1\x00\x22Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00\x00\x00\x00\x00";
        let turned = [&jpeg[..2], exif, &jpeg[2..]].concat();
        let upright = decoded(&turned).unwrap().to_rgb8();
        assert_eq!((upright.width(), upright.height()), (20, 40));
        assert!(upright.get_pixel(10, 5).0[0] > 150, "the left half is above");
    }

    #[test]
    fn the_same_picture_is_one_file_and_no_picture_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("My Gong.PNG");
        std::fs::write(&file, png(&picture(40, 20))).unwrap();
        let name = take(&file, folder.path()).unwrap();
        assert_eq!(take(&file, folder.path()).as_deref(), Ok(name.as_str()));
        assert!(name.starts_with("my-gong-") && folder.path().join(FOLDER).join(&name).is_file());
        std::fs::write(&file, b"nothing of the kind").unwrap();
        assert!(take(&file, folder.path()).unwrap_err().contains("JPEG or PNG"));
    }
}
