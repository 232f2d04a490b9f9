//! The cloth of a table: changed by hand and kept in the folder, and noticed where others change it.

use std::sync::Arc;

use crate::cloth::file::{ClothEdit, PanelsSaid, of_size, with_cloth, with_edit, with_panels};
use crate::cloth::{Size, Stock};
use crate::pattern::ClothName;
use crate::table::cloth::file::{ClothFile, ClothHome};
use crate::table::cloth::wedges::{PANEL_FILE, PANEL_ID, Wedges};
use crate::table::fault::TableFault;
use crate::table::said::advised;
use crate::table::save::Product;
use crate::table::state::Table;
use crate::toml_file::TextFault;

/// Changes that can be taken back.
const MOST_BACK: usize = 1000;

fn size_said(size: &str) -> Result<Size, TableFault> {
    size.parse().map_err(|error| TableFault::refused(error, "write the width and the length: 37cm x 11.4m"))
}

fn unwritten(fault: TextFault) -> TableFault {
    TableFault::refused(format!("{}: {}", fault.what, fault.label), advised(&fault.way_out))
}

impl Table {
    /// The table with the file that its cloth stands in.
    #[must_use]
    pub fn with_cloth_file(mut self, file: ClothFile) -> Table {
        self.cloth_file = Some(file);
        self
    }

    /// Keeps a change of a cloth: first its file, in the folder.
    pub(super) fn keep_cloth_edit(
        &mut self,
        cloth: &ClothName,
        edit: &ClothEdit,
    ) -> Result<Option<String>, TableFault> {
        let file = self.cloth_file()?;
        let text = with_edit(&file.text, cloth, edit).map_err(unwritten)?;
        self.keep_cloth_text(text)
    }

    /// Keeps a cloth by its size, where none was said.
    pub(super) fn keep_cloth_size(&mut self, size: &str) -> Result<Option<String>, TableFault> {
        let size = size_said(size)?;
        self.keep_cloth_text(of_size(size))
    }

    /// Keeps one cloth more, by its size.
    pub(super) fn keep_other_cloth(
        &mut self,
        cloth: &ClothName,
        size: &str,
    ) -> Result<Option<String>, TableFault> {
        let size = size_said(size)?;
        let text = with_cloth(&self.cloth_file()?.text, cloth, size).map_err(unwritten)?;
        self.keep_cloth_text(text)
    }

    /// Keeps panels of a garment that was taken apart: first the drawing of their outline, under a name that is free.
    pub(super) fn keep_panels(&mut self, panels: &Wedges) -> Result<Option<String>, TableFault> {
        let drawing = panels.drawing()?;
        let file = self.folder.free_name(PANEL_FILE);
        let said = PanelsSaid {
            cloth: panels.cloth.clone(),
            outline: format!("{file}#{PANEL_ID}"),
            copies: panels.copies,
        };
        let text = with_panels(&self.cloth_file()?.text, &said).map_err(unwritten)?;
        self.folder.write_file(&file, drawing.as_bytes())?;
        let kept = self.keep_cloth_text(text);
        if kept.is_err() {
            self.folder.take_file_away(&file);
        }
        kept
    }

    fn keep_cloth_text(&mut self, text: String) -> Result<Option<String>, TableFault> {
        if let Some((_, why)) = &self.cloth_file()?.nonsense {
            let what = format!("{} on disk cannot be read: {why}", Product::Cloth.file());
            return Err(TableFault::refused(
                what,
                "mend it or take it away; the table takes it up by itself",
            ));
        }
        let stock = self.read_cloth_text(&text)?;
        let aside = self.write_cloth(&text)?;
        let file = self.cloth_file()?;
        let before = std::mem::replace(&mut file.text, text);
        file.before.push(before);
        let over = file.before.len().saturating_sub(MOST_BACK);
        file.before.drain(..over);
        self.lay_cloth(stock)?;
        Ok(aside)
    }

    /// Takes the last change of the cloth back.
    pub(super) fn take_cloth_back(&mut self) -> Result<(), TableFault> {
        let before = self.cloth_file()?.before.last().cloned();
        let before =
            before.ok_or_else(|| TableFault::refused("nothing is left to take back", "go on from here"))?;
        let stock = match before.is_empty() {
            true => None,
            false => Some(self.read_cloth_text(&before)?),
        };
        self.write_cloth(&before)?;
        let file = self.cloth_file()?;
        file.before.pop();
        file.text = before;
        self.lay_other_cloth(stock.map(Arc::new))
    }

    fn read_cloth_text(&mut self, text: &str) -> Result<Stock, TableFault> {
        let file = self.cloth_file()?;
        (file.read)(text).map_err(|why| {
            TableFault::refused(format!("that is no cloth: {why}"), "the cloth lies as it did")
        })
    }

    /// Writes the cloth file of the folder. One of its name that the table does not know is put aside.
    fn write_cloth(&mut self, text: &str) -> Result<Option<String>, TableFault> {
        let is_own = self.cloth_file()?.home == ClothHome::Folder;
        let recipe = self.laid().recipe().to_owned();
        if is_own {
            self.folder.write_file(Product::Cloth.file(), text.as_bytes())?;
        }
        let aside = self.write_product(Product::Cloth, (text.as_bytes(), &recipe))?;
        self.cloth_file()?.home = ClothHome::Folder;
        Ok(aside)
    }

    fn lay_cloth(&mut self, stock: Stock) -> Result<(), TableFault> {
        self.lay_other_cloth(Some(Arc::new(stock)))
    }

    fn cloth_file(&mut self) -> Result<&mut ClothFile, TableFault> {
        let none =
            || TableFault::refused("this table has no cloth file", "name one at the start of the table");
        self.cloth_file.as_mut().ok_or_else(none)
    }

    /// Looks at the cloth file of the folder: one that others changed is gone on with, nonsense is told and left alone.
    pub(in crate::table) fn look_at_cloth(&mut self) -> Option<String> {
        let found = self.folder.file(Product::Cloth.file()).ok().flatten();
        let file = self.cloth_file.as_mut().filter(|file| file.home == ClothHome::Folder)?;
        let Some(found) = found.filter(|found| found != file.text.as_bytes()) else {
            file.nonsense = None;
            return None;
        };
        if file.nonsense.as_ref().is_some_and(|(was, _)| *was == found) {
            return None;
        }
        let text = String::from_utf8(found.clone()).map_err(|_| "this is no text".to_owned());
        match text.and_then(|text| Ok(((file.read)(&text)?, text))) {
            Ok((stock, text)) => {
                file.before.push(std::mem::replace(&mut file.text, text));
                file.nonsense = None;
                let laid = self.lay_cloth(stock);
                Some(match laid {
                    Ok(()) => format!(
                        "Another program changed {}: the table has gone on with it.",
                        Product::Cloth.file()
                    ),
                    Err(fault) => format!("Another program changed {}: {fault}.", Product::Cloth.file()),
                })
            }
            Err(why) => {
                file.nonsense = Some((found, why.clone()));
                Some(format!(
                    "Another program changed {}, which cannot be read now: {why}. The cloth lies as it did.",
                    Product::Cloth.file()
                ))
            }
        }
    }
}
