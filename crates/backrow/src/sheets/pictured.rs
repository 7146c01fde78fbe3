//! Pictures of instruments on paper, where they are wished: put into a sheet's data just before it is set, so that what is remembered of
//! it does not hold them. Its version changes with them.

use super::Printer;
use super::data::SheetData;
use crate::pictures;
use backrow_core::id::InstrumentId;
use std::collections::BTreeMap;
use std::path::Path;

impl Printer<'_> {
    /// The same data with the pictures of its instruments. One that cannot be read is left out: the window says why where it is shown.
    pub(super) fn pictured(&self, data: SheetData) -> SheetData {
        self.with_pictures(data, &|folder, name| pictures::for_paper(folder, name).unwrap_or_default())
    }

    /// The same data with what stands for each picture, by the library's folder and the picture's name.
    pub(super) fn with_pictures(
        &self,
        mut data: SheetData,
        stands: &dyn Fn(&Path, &str) -> String,
    ) -> SheetData {
        let Some(folder) = self.remembers.filter(|_| self.plans.instruments) else { return data };
        let library = self.evening.library();
        let mut read: BTreeMap<String, String> = BTreeMap::new();
        let mut picture_of = |id: &str| -> String {
            let thing = InstrumentId::new(id).ok().and_then(|id| library.instruments.get(&id));
            let Some(name) = thing.map(|thing| thing.picture.clone()).filter(|name| !name.is_empty()) else {
                return String::new();
            };
            let read = read.entry(name).or_insert_with_key(|name| stands(folder, name));
            read.clone()
        };
        match &mut data {
            SheetData::Load(sheet) => {
                for thing in sheet.rooms.iter_mut().flat_map(|room| &mut room.things) {
                    thing.picture = picture_of(&thing.id);
                }
            }
            SheetData::Labels(sheet) => {
                for label in &mut sheet.labels {
                    label.picture = picture_of(&label.id);
                }
            }
            SheetData::List(_) | SheetData::Plan(_) | SheetData::Player(_) => {}
        }
        data
    }
}
