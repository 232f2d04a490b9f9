//! The files of a table's folder that are made of its recipe, and which of them are as this table wrote them.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::table::folder::{Folder, FolderFault};

/// A file in the folder of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Product {
    /// The sheet.
    Sheet,
    /// The recipe.
    Recipe,
    /// The cloth.
    Cloth,
    /// The limits of taste.
    Taste,
    /// The cutting layout.
    Layout,
    /// The garment as it is sewn.
    Sewn,
    /// The pattern on paper.
    Paper,
    /// The page that tells the job.
    Report,
}

impl Product {
    /// All of them.
    pub const ALL: [Product; 8] = [
        Product::Sheet,
        Product::Recipe,
        Product::Cloth,
        Product::Taste,
        Product::Layout,
        Product::Sewn,
        Product::Paper,
        Product::Report,
    ];

    /// The name of its file.
    #[must_use]
    pub fn file(self) -> &'static str {
        match self {
            Product::Sheet => "pattern.svg",
            Product::Recipe => "recipe.toml",
            Product::Cloth => "cloth.toml",
            Product::Taste => "taste.toml",
            Product::Layout => "layout.svg",
            Product::Sewn => "sewn.svg",
            Product::Paper => "pattern.pdf",
            Product::Report => "report.html",
        }
    }

    /// The name of its file without its ending.
    pub(super) fn stem(self) -> &'static str {
        self.file().split('.').next().unwrap_or_default()
    }

    /// What is said where a file of its name that another program wrote was put aside.
    pub(in crate::table) fn put_aside(self, name: &str) -> String {
        format!("Another program had written {}: that is kept as {name}.", self.file())
    }

    /// What it is.
    fn called(self) -> &'static str {
        match self {
            Product::Sheet => "the pattern",
            Product::Recipe => "the recipe: what has been done",
            Product::Cloth => "the cloth",
            Product::Taste => "what is not wanted of a plan",
            Product::Layout => "the cutting layout",
            Product::Sewn => "the garment as it is sewn",
            Product::Paper => "the pattern on paper",
            Product::Report => "the report",
        }
    }

    /// What a browser is told that it is.
    pub(in crate::table) fn sort(self) -> &'static str {
        match self {
            Product::Sheet | Product::Layout | Product::Sewn => "image/svg+xml",
            Product::Recipe | Product::Cloth | Product::Taste => "text/plain; charset=utf-8",
            Product::Paper => "application/pdf",
            Product::Report => "text/html; charset=utf-8",
        }
    }

    /// Whether it is a drawing.
    pub(super) fn is_drawing(self) -> bool {
        matches!(self, Product::Sheet | Product::Layout | Product::Sewn)
    }

    /// Whether it is kept with each step, so that it is always of the pattern as it lies.
    fn is_always_new(self) -> bool {
        matches!(self, Product::Sheet | Product::Recipe | Product::Cloth | Product::Taste)
    }
}

/// A file as a person is shown it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ProductSeen {
    /// The name of its file.
    pub file: &'static str,
    /// What it is, and of which pattern where that is another than lies on the table.
    pub says: String,
}

/// What was written of a file: its content and the recipe that it was made from, each by a sum.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Sums {
    content: u64,
    recipe: u64,
}

/// What this table wrote, by the names of files.
#[derive(Debug, Default)]
pub(in crate::table) struct Written(BTreeMap<String, Sums>);

/// Where that is kept.
const WRITTEN: &str = "written.json";

impl Written {
    /// As it was kept in a folder; nothing where that cannot be read: then all that is there counts as another's.
    pub(in crate::table) fn of(folder: &Folder) -> Written {
        let kept = folder.own(WRITTEN).ok().flatten();
        Written(kept.and_then(|bytes| serde_json::from_slice(&bytes).ok()).unwrap_or_default())
    }

    /// Writes a file that was made of a recipe. What another program wrote there is put aside: its new name is told.
    ///
    /// # Errors
    ///
    /// The folder cannot be written to; then the file is as it was.
    pub(in crate::table) fn write(
        &mut self,
        folder: &Folder,
        product: Product,
        (content, recipe): (&[u8], &str),
    ) -> Result<Option<String>, FolderFault> {
        let name = product.file();
        let found = folder.file(name)?;
        let is_own = |found: &[u8]| {
            found == content || self.0.get(name).is_some_and(|sums| sums.content == sum(&found))
        };
        let aside = match found {
            Some(found) if !is_own(&found) => Some(folder.put_aside(name)?),
            _ => None,
        };
        folder.write_file(name, content)?;
        self.0.insert(name.to_owned(), Sums { content: sum(&content), recipe: sum(&recipe) });
        let kept = serde_json::to_vec(&self.0).unwrap_or_default();
        folder.write_own(WRITTEN, &kept)?;
        Ok(aside)
    }

    /// The files that are there.
    pub(in crate::table) fn seen(&self, folder: &Path, recipe: &str) -> Vec<ProductSeen> {
        let there = Product::ALL.into_iter().filter(|product| folder.join(product.file()).is_file());
        there.map(|product| ProductSeen { file: product.file(), says: self.says(product, recipe) }).collect()
    }

    fn says(&self, product: Product, recipe: &str) -> String {
        let is_of_now = self.0.get(product.file()).is_some_and(|sums| sums.recipe == sum(&recipe));
        let called = product.called();
        match product.is_always_new() || is_of_now {
            true => called.to_owned(),
            false => format!("{called}, of the pattern as it was before"),
        }
    }
}

/// A number that tells one content from another.
pub(in crate::table) fn sum(of: &impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    of.hash(&mut hasher);
    hasher.finish()
}
