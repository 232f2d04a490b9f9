//! The cloth of a table: changed by hand and kept in the folder, and noticed where others change it.

use std::sync::Arc;

use crate::cloth::file::{
    ClothEdit, PanelsSaid, PictureSaid, of_size, with_cloth, with_edit, with_panel_copies, with_panels,
};
use crate::cloth::{Size, Stock};
use crate::pattern::ClothName;
use crate::table::cloth::file::ClothFile;
use crate::table::cloth::photograph::{PhotographAsked, PhotographSort, stretch, whole_pixels};
use crate::table::cloth::wedges::{PANEL_FILE, PANEL_ID, Wedges};
use crate::table::fault::TableFault;
use crate::table::product::Product;
use crate::table::said::advised;
use crate::table::state::Table;
use crate::toml_file::TextFault;

/// The cloth file of the folder.
const OWN: &str = Product::Cloth.file();

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
    pub(super) fn keep_cloth_edit(&mut self, cloth: &ClothName, edit: &ClothEdit) -> Result<(), TableFault> {
        let file = self.cloth_file()?;
        let text = with_edit(&file.text, cloth, edit).map_err(unwritten)?;
        self.keep_cloth_text(text)
    }

    /// Keeps a cloth by its size, where none was said.
    pub(super) fn keep_cloth_size(&mut self, size: &str) -> Result<(), TableFault> {
        let size = size_said(size)?;
        self.keep_cloth_text(of_size(&size))
    }

    /// Keeps one cloth more, by its size.
    pub(super) fn keep_other_cloth(&mut self, cloth: &ClothName, size: &str) -> Result<(), TableFault> {
        let size = size_said(size)?;
        let text = with_cloth(&self.cloth_file()?.text, cloth, &size).map_err(unwritten)?;
        self.keep_cloth_text(text)
    }

    /// Keeps panels of a garment that was taken apart: first the drawing of their outline, under a name that is free.
    pub(super) fn keep_panels(&mut self, panels: &Wedges) -> Result<(), TableFault> {
        let drawing = panels.drawing()?;
        let file = self.folder.free_name(PANEL_FILE);
        let said = PanelsSaid {
            cloth: panels.cloth.clone(),
            outline: format!("{file}#{PANEL_ID}"),
            copies: panels.copies,
        };
        let text = with_panels(&self.cloth_file()?.text, &said).map_err(unwritten)?;
        self.keep_with_file(&file, drawing.as_bytes(), text)
    }

    /// Keeps a photograph of a stretch of a cloth: first its file, under a name that is free.
    pub(super) fn keep_photograph(
        &mut self,
        asked: &PhotographAsked,
        bytes: &[u8],
    ) -> Result<(), TableFault> {
        let sort = PhotographSort::of(bytes).ok_or_else(|| {
            TableFault::refused(
                "this is neither a PNG nor a JPEG picture",
                "save the photograph as JPEG or PNG",
            )
        })?;
        let [from, to] = stretch(&asked.from, &asked.to)?;
        let file = self.folder.free_name(sort.file());
        let corners = whole_pixels(asked.corners);
        let said = PictureSaid { file: file.clone(), on: asked.on, from, to, corners };
        let edit = ClothEdit::NewPicture(said);
        let text = with_edit(&self.cloth_file()?.text, &asked.cloth, &edit).map_err(unwritten)?;
        self.keep_with_file(&file, bytes, text)
    }

    /// Keeps a text of the cloth that names one file more, after that file.
    fn keep_with_file(&mut self, file: &str, content: &[u8], text: String) -> Result<(), TableFault> {
        self.folder.write_new_file(file, content)?;
        let kept = self.keep_cloth_text(text);
        if kept.is_err() {
            // Where it cannot be taken away it stays: nothing names it.
            let _ = self.folder.take_file_away(file);
        }
        kept
    }

    /// Keeps so many of the panels at a place in the list; with none they are taken away. Their drawing stays: the change can be
    /// taken back.
    pub(super) fn keep_panel_copies(&mut self, number: usize, copies: u32) -> Result<(), TableFault> {
        let text = with_panel_copies(&self.cloth_file()?.text, number, copies).map_err(unwritten)?;
        self.keep_cloth_text(text)
    }

    fn keep_cloth_text(&mut self, text: String) -> Result<(), TableFault> {
        self.refuse_nonsense()?;
        let stock = self.stock_of(&text)?;
        self.write_and_lay(&text, stock)?;
        self.cloth_file()?.change_to(text);
        Ok(())
    }

    /// Takes the last change of the cloth back.
    pub(super) fn take_cloth_back(&mut self) -> Result<(), TableFault> {
        self.refuse_nonsense()?;
        let before = self.cloth_file()?.before.last().cloned();
        let before =
            before.ok_or_else(|| TableFault::refused("nothing is left to take back", "go on from here"))?;
        let stock = self.stock_of(&before)?;
        self.write_and_lay(&before, stock)?;
        self.cloth_file()?.take_back();
        Ok(())
    }

    /// Refuses to write over what another program wrote that cannot be read.
    fn refuse_nonsense(&mut self) -> Result<(), TableFault> {
        let Some((_, why)) = &self.cloth_file()?.nonsense else { return Ok(()) };
        let what = format!("{OWN} on disk cannot be read: {why}");
        Err(TableFault::refused(what, "mend it or take it away; the table takes it up by itself"))
    }

    /// The cloth of a text; none where it is empty.
    fn stock_of(&mut self, text: &str) -> Result<Option<Stock>, TableFault> {
        if text.is_empty() { Ok(None) } else { self.read_cloth_text(text).map(Some) }
    }

    fn read_cloth_text(&mut self, text: &str) -> Result<Stock, TableFault> {
        let file = self.cloth_file()?;
        (file.read)(text).map_err(|why| {
            TableFault::refused(format!("that is no cloth: {why}"), "the cloth lies as it did")
        })
    }

    /// Writes the cloth file of the folder, and lays the cloth out; an empty text is no file. A file that this table neither
    /// read nor wrote is put aside, which is told. Where nothing can be made on that cloth, what stood there stands again.
    fn write_and_lay(&mut self, text: &str, stock: Option<Stock>) -> Result<(), TableFault> {
        let is_known = self.cloth_file()?.is_in_folder();
        let was = self.folder.file(OWN)?.filter(|was| was != text.as_bytes());
        let aside = match &was {
            Some(_) if !is_known => Some(self.folder.put_aside(OWN)?),
            _ => None,
        };
        let done = self.write_cloth(text.as_bytes()).and_then(|()| {
            self.note_cloth_begun(is_known)?;
            self.lay_other_cloth(stock.map(Arc::new))
        });
        if let Err(fault) = done {
            self.write_cloth(was.as_deref().unwrap_or_default())?;
            if let Some(aside) = aside {
                self.folder.take_file_away(&aside)?;
            }
            return Err(fault);
        }
        self.note_file_written();
        self.tell_aside(aside.map(|name| Product::Cloth.put_aside(&name)));
        Ok(())
    }

    fn write_cloth(&self, content: &[u8]) -> Result<(), TableFault> {
        match content.is_empty() {
            true => self.folder.take_file_away(OWN)?,
            false => self.folder.write_file(OWN, content)?,
        }
        Ok(())
    }

    /// Notes of what the cloth file of the folder is begun, where it is.
    fn note_cloth_begun(&mut self, is_known: bool) -> Result<(), TableFault> {
        if !is_known {
            let named = self.cloth_file()?.begun_of.clone();
            self.folder.keep_cloth_begun_of(&named)?;
        }
        Ok(())
    }

    fn cloth_file(&mut self) -> Result<&mut ClothFile, TableFault> {
        let none =
            || TableFault::refused("this table has no cloth file", "name one at the start of the table");
        self.cloth_file.as_mut().ok_or_else(none)
    }

    /// Looks at the cloth file of the folder: one that others changed is gone on with, one that is gone is written again,
    /// nonsense is told and left alone.
    pub(in crate::table) fn look_at_cloth(&mut self) -> Option<String> {
        let found = self.folder.file(OWN).ok()?;
        let file = self.cloth_file.as_mut().filter(|file| file.is_in_folder())?;
        let Some(found) = found else {
            file.nonsense = None;
            let is_gone = !file.text.is_empty();
            let written = is_gone && self.folder.write_file(OWN, file.text.as_bytes()).is_ok();
            return written.then(|| format!("{OWN} was gone, and is written again."));
        };
        if found == file.text.as_bytes() {
            file.nonsense = None;
            return None;
        }
        if file.nonsense.as_ref().is_some_and(|(was, _)| *was == found) {
            return None;
        }
        let text = String::from_utf8(found.clone()).map_err(|_| "this is no text".to_owned());
        match text.and_then(|text| Ok(((file.read)(&text)?, text))) {
            Ok((stock, text)) => {
                file.change_to(text);
                Some(match self.lay_other_cloth(Some(Arc::new(stock))) {
                    Ok(()) => format!("Another program changed {OWN}: the table has gone on with it."),
                    Err(fault) => format!("Another program changed {OWN}: {fault}."),
                })
            }
            Err(why) => {
                file.nonsense = Some((found, why.clone()));
                Some(format!(
                    "Another program changed {OWN}, which cannot be read now: {why}. The cloth lies as it did."
                ))
            }
        }
    }
}
