//! Limits of taste and ways that are taken, kept in the folder.

use crate::table::fault::TableFault;
use crate::table::folder::FolderFault;
use crate::table::product::Product;
use crate::table::state::Table;

impl Table {
    /// The text of the plan file; none where there is none.
    pub(super) fn taste(&self) -> Result<Option<String>, TableFault> {
        let bytes = self.product(Product::Taste)?;
        bytes.map(String::from_utf8).transpose().map_err(|_| {
            TableFault::refused(format!("{} is no text", Product::Taste.file()), "save it as plain text")
        })
    }

    /// Writes the plan file. What another program wrote there is put aside.
    pub(super) fn keep_taste(&mut self, text: &str) -> Result<(), FolderFault> {
        let of = self.laid().basis();
        let aside = self.write_product(Product::Taste, text.as_bytes(), of)?;
        self.tell_aside(aside.map(|name| Product::Taste.put_aside(&name)));
        Ok(())
    }
}
