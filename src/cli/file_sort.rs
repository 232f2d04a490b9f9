//! The sorts of files that commands read: what each is called, how large it may be, and how one is told from another.

use retrue::adopt::Map;
use retrue::sheet;

/// A sort of file that a command reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileSort {
    /// A pattern sheet.
    Pattern,
    /// A drawing that is not yet a pattern sheet, or one of panels.
    Drawing,
    /// A cutting layout.
    Layout,
    /// A recipe.
    Recipe,
    /// A cloth file.
    Cloth,
    /// A map of a drawing.
    Map,
    /// A plan file.
    Taste,
    /// A photograph of cloth.
    Picture,
    /// What opens an encrypted drawing.
    Password,
}

/// A size of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Megabytes(pub u64);

/// Largest drawing that is read. A large one with embedded pictures has 20 MB; the reader of drawings has a limit of its
/// own.
const LARGEST_DRAWING: Megabytes = Megabytes(200);

/// Largest text that is read: a recipe of ten thousand steps has 2 MB.
const LARGEST_TEXT: Megabytes = Megabytes(4);

impl FileSort {
    /// What it is called in messages.
    pub fn called(self) -> &'static str {
        match self {
            FileSort::Pattern => "the pattern",
            FileSort::Drawing => "the drawing",
            FileSort::Layout => "the layout",
            FileSort::Recipe => "the recipe",
            FileSort::Cloth => "the cloth file",
            FileSort::Map => "the map",
            FileSort::Taste => "the plan file",
            FileSort::Picture => "the picture",
            FileSort::Password => "the password file",
        }
    }

    /// The largest that is read.
    pub fn largest(self) -> Megabytes {
        match self {
            FileSort::Pattern | FileSort::Drawing | FileSort::Layout | FileSort::Picture => LARGEST_DRAWING,
            FileSort::Recipe | FileSort::Cloth | FileSort::Map | FileSort::Taste | FileSort::Password => {
                LARGEST_TEXT
            }
        }
    }

    /// How the names of such files end.
    pub fn endings(self) -> &'static [&'static str] {
        match self {
            FileSort::Pattern | FileSort::Layout => &["svg"],
            FileSort::Drawing => &["pdf", "svg"],
            FileSort::Recipe | FileSort::Cloth | FileSort::Map | FileSort::Taste => &["toml"],
            FileSort::Picture => &["jpg", "jpeg", "png"],
            FileSort::Password => &["txt"],
        }
    }

    /// Whether a file of these bytes is one.
    pub fn is(self, bytes: &[u8]) -> bool {
        match self {
            FileSort::Pattern => is_pattern(bytes),
            FileSort::Drawing | FileSort::Password | FileSort::Picture => true,
            FileSort::Layout => !is_pattern(bytes),
            FileSort::Recipe | FileSort::Cloth | FileSort::Map | FileSort::Taste => {
                let text = str::from_utf8(bytes).ok();
                text.is_some_and(|text| text.parse().is_ok_and(|table| self == text_sort(text, &table)))
            }
        }
    }
}

fn is_pattern(bytes: &[u8]) -> bool {
    sheet::read(bytes, &sheet::ReadOptions::default()).is_ok()
}

/// What a TOML file is, by what stands in it.
fn text_sort(text: &str, table: &toml::Table) -> FileSort {
    let is_cloth = |value: &toml::Value| value.get("width").is_some() || value.get("length").is_some();
    if table.contains_key("step") {
        FileSort::Recipe
    } else if table.contains_key("panels") || table.values().any(is_cloth) {
        FileSort::Cloth
    } else if Map::read(text).is_ok() {
        FileSort::Map
    } else {
        FileSort::Taste
    }
}
