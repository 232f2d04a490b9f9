//! The files in the folder of a table.

use serde::{Deserialize, Serialize};

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
    pub const fn file(self) -> &'static str {
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
    pub(super) fn put_aside(self, name: &str) -> String {
        format!("Another program had written {}: that is kept as {name}.", self.file())
    }

    /// What it is.
    pub(super) fn called(self) -> &'static str {
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
    pub(super) fn sort(self) -> &'static str {
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
    pub(super) fn is_always_new(self) -> bool {
        matches!(self, Product::Sheet | Product::Recipe | Product::Cloth | Product::Taste)
    }
    /// Whether it is of the cloth as well as of the pattern.
    pub(super) fn is_of_cloth(self) -> bool {
        matches!(self, Product::Layout | Product::Sewn)
    }
}
