//! Noticing what others changed in the folder.

use crate::table::fault::TableFault;
use crate::table::folder::FolderFault;
use crate::table::made::MakingFault;
use crate::table::on_table::Outside;
use crate::table::state::Table;

impl Table {
    /// Looks at the files: a recipe or a cloth that others changed is gone on with, a sheet that they changed is told. Whether
    /// anything is other than before.
    pub fn look(&mut self) -> bool {
        let before = (self.outside.clone(), self.revision);
        match self.look_at_files() {
            // What is made on other cloth is made of a recipe that can be gone on with.
            Ok(()) => {
                if let Some(news) = self.look_at_cloth() {
                    self.tell(news);
                }
            }
            Err(fault) => {
                // What was gone on with before is no news beside what cannot be.
                self.news = None;
                self.outside = Outside::Recipe(fault.to_string());
            }
        }
        if self.outside != before.0 && self.revision == before.1 {
            self.revision += 1;
        }
        self.revision != before.1
    }

    fn look_at_files(&mut self) -> Result<(), TableFault> {
        let found = self.folder.recipe()?.ok_or(MakingFault::NoPattern)?;
        if found != self.laid.text.as_bytes() || self.laid.made.base.has_changed() {
            let text = String::from_utf8(found).map_err(|_| MakingFault::NoText)?;
            let made = self.laid.made_of(&text)?;
            let is_new = text != self.laid.text;
            if is_new {
                self.history.begin(&text).map_err(self.folder.undo_fault())?;
                self.history.finish(&text).map_err(self.folder.undo_fault())?;
            }
            let what = if is_new { "the recipe" } else { "the pattern it begins with" };
            self.news = Some(format!("Another program changed {what}: the table has gone on with it."));
            self.lay(text, made);
        }
        if !self.is_own_sheet()? {
            self.outside = Outside::Sheet;
            return Ok(());
        }
        let is_written = self.written.as_deref() == self.laid.sheet() && self.folder.sheet()?.is_some();
        if self.unwritten.is_some() || (!is_written && self.laid.sheet().is_some()) {
            self.settle_again();
        }
        self.outside = self.unwritten.clone().map_or(Outside::Nothing, Outside::Unwritten);
        Ok(())
    }

    /// Whether the sheet on disk is the one that was written last, or that the recipe makes now.
    pub(super) fn is_own_sheet(&self) -> Result<bool, FolderFault> {
        let found = self.folder.sheet()?;
        let ours = [self.written.as_deref(), self.laid.sheet()];
        Ok(found.is_none_or(|found| ours.into_iter().flatten().any(|sheet| sheet.as_bytes() == found)))
    }
}
