//! Any bytes as a workbook, and as a sheet and as the strings within one.
#![no_main]

use backrow_files::tables::collection;
use libfuzzer_sys::fuzz_target;
use std::io::{Cursor, Write};
use std::path::Path;
use zip::write::{SimpleFileOptions, ZipWriter};

const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const RELATIONS: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const PACKAGE: &str = "http://schemas.openxmlformats.org/package/2006/relationships";

fn packed(sheet: &[u8], strings: &[u8]) -> Option<Vec<u8>> {
    let parts: [(&str, Vec<u8>); 5] = [
        ("_rels/.rels", format!("<Relationships xmlns=\"{PACKAGE}\"><Relationship Id=\"r\" Type=\"{RELATIONS}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>").into()),
        ("xl/workbook.xml", format!("<workbook xmlns=\"{MAIN}\" xmlns:r=\"{RELATIONS}\"><sheets><sheet name=\"S\" sheetId=\"1\" r:id=\"s\"/></sheets></workbook>").into()),
        ("xl/_rels/workbook.xml.rels", format!("<Relationships xmlns=\"{PACKAGE}\"><Relationship Id=\"s\" Type=\"{RELATIONS}/worksheet\" Target=\"worksheets/sheet1.xml\"/></Relationships>").into()),
        ("xl/sharedStrings.xml", strings.to_vec()),
        ("xl/worksheets/sheet1.xml", [b"<worksheet>".as_slice(), sheet, b"</worksheet>"].concat()),
    ];
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (path, bytes) in parts {
        writer.start_file(path, SimpleFileOptions::default()).ok()?;
        writer.write_all(&bytes).ok()?;
    }
    Some(writer.finish().ok()?.into_inner())
}

fuzz_target!(|bytes: &[u8]| {
    let files = [Some(bytes.to_vec()), packed(bytes, b"<sst/>"), packed(b"<sheetData/>", bytes)];
    for file in files.into_iter().flatten() {
        let _ = collection::read(Path::new("t.xlsx"), &file);
    }
});
