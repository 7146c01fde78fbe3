//! Lists the files of the demo library, so that the program carries them.

use std::error::Error;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() -> Result<(), Box<dyn Error>> {
    let demo = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?).join("../../demo-library");
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-changed={}", demo.display());
    let mut files = Vec::new();
    if demo.is_dir() {
        list(&demo.canonicalize()?, "", &mut files)?;
    }
    files.sort();
    let mut code = String::from("static DEMO: &[DemoFile] = &[\n");
    for (name, path) in &files {
        let path = path.display().to_string();
        writeln!(code, "    DemoFile {{ file: {name:?}, bytes: include_bytes!({path:?}) }},")?;
    }
    code.push_str("];\n");
    fs::write(PathBuf::from(env::var("OUT_DIR")?).join("demo.rs"), code)?;
    Ok(())
}

/// Every file below a folder but hidden ones, with its name relative to the first.
fn list(folder: &Path, prefix: &str, files: &mut Vec<(String, PathBuf)>) -> Result<(), Box<dyn Error>> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let Ok(name) = entry.file_name().into_string() else { continue };
        if name.starts_with('.') {
            continue;
        }
        let name = format!("{prefix}{name}");
        if entry.file_type()?.is_dir() {
            list(&entry.path(), &format!("{name}/"), files)?;
        } else {
            files.push((name, entry.path()));
        }
    }
    Ok(())
}
