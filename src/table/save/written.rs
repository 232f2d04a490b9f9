//! The files of a table's folder that are made of its recipe, and which of them are as this table wrote them.

use std::collections::BTreeMap;
use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::table::basis::{Basis, Digest, MadeOf};
use crate::table::folder::{Folder, FolderFault};
use crate::table::product::Product;

/// A file as a person is shown it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ProductSeen {
    /// The name of its file.
    pub file: &'static str,
    /// What it is, and of which pattern where that is another than lies on the table.
    pub says: String,
}

/// What was written of a file: its content, and what it was made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct WrittenOf {
    content: Digest,
    of: Option<Basis>,
}

/// What this table wrote, by the names of files.
#[derive(Debug, Default)]
pub(in crate::table) struct WrittenFiles(BTreeMap<String, WrittenOf>);

/// Where that is kept.
const WRITTEN: &str = "written.json";

impl WrittenFiles {
    /// As it was kept in a folder; nothing where that cannot be read: then all that is there counts as another's.
    pub(in crate::table) fn of(folder: &Folder) -> WrittenFiles {
        let kept = folder.own(WRITTEN).ok().flatten();
        WrittenFiles(kept.and_then(|bytes| serde_json::from_slice(&bytes).ok()).unwrap_or_default())
    }

    /// Writes a file, and keeps what it was made of. What another program wrote there is put aside: its new name is told.
    ///
    /// # Errors
    ///
    /// The folder cannot be written to; then the file is as it was.
    pub(in crate::table) fn write(
        &mut self,
        folder: &Folder,
        product: Product,
        (content, of): (&[u8], Option<Basis>),
    ) -> Result<Option<String>, FolderFault> {
        let name = product.file();
        let found = folder.file(name)?;
        let aside = match found {
            Some(found) if found != content && !self.is_own(product, &found) => Some(folder.put_aside(name)?),
            _ => None,
        };
        folder.write_file(name, content)?;
        self.0.insert(name.to_owned(), WrittenOf { content: Digest::of(content), of });
        let kept = serde_json::to_vec(&self.0).unwrap_or_default();
        folder.write_own(WRITTEN, &kept)?;
        Ok(aside)
    }

    /// Whether the content of a file is what this table wrote there.
    fn is_own(&self, product: Product, content: &[u8]) -> bool {
        self.0.get(product.file()).is_some_and(|written| written.content == Digest::of(content))
    }

    /// Whether the content of a file is what this table made of what lies there now.
    pub(in crate::table) fn is_of_now(&self, product: Product, content: &[u8], now: Option<Basis>) -> bool {
        self.is_own(product, content) && self.made_of(product, now) == MadeOf::Now
    }

    /// How a file stands to what lies there now.
    fn made_of(&self, product: Product, now: Option<Basis>) -> MadeOf {
        let of = self.0.get(product.file()).and_then(|written| written.of);
        of.map_or(MadeOf::OtherPattern, |of| of.beside(now))
    }

    /// The files that are there.
    pub(in crate::table) fn seen(&self, folder: &Path, now: Option<Basis>) -> Vec<ProductSeen> {
        let there = Product::ALL.into_iter().filter(|product| folder.join(product.file()).is_file());
        there.map(|product| ProductSeen { file: product.file(), says: self.says(product, now) }).collect()
    }

    fn says(&self, product: Product, now: Option<Basis>) -> String {
        let called = product.called();
        if product.is_always_new() {
            return called.to_owned();
        }
        match self.made_of(product, now) {
            MadeOf::Now => called.to_owned(),
            MadeOf::OtherCloth if !product.is_of_cloth() => called.to_owned(),
            MadeOf::OtherCloth => format!("{called}, on the cloth as it was before"),
            MadeOf::OtherPattern => format!("{called}, of the pattern as it was before"),
        }
    }
}
