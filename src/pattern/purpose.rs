//! What a piece is for.

/// What a piece is for, where it repeats others in another cloth.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize, clap::ValueEnum,
)]
#[serde(rename_all = "kebab-case")]
pub enum Purpose {
    /// For itself: the shell of the garment, and its facings.
    #[default]
    Plain,
    /// Lies under a piece of the shell and is sewn as one cloth with it.
    Underlining,
    /// Stiffens a piece.
    Interfacing,
    /// Sewn to other linings, and to the shell only at free ends.
    Lining,
}

impl Purpose {
    /// What a piece of it is called in a sentence.
    #[must_use]
    pub(crate) fn with_article(self) -> &'static str {
        match self {
            Purpose::Plain => "a plain copy",
            Purpose::Underlining => "an underlining",
            Purpose::Interfacing => "an interfacing",
            Purpose::Lining => "a lining",
        }
    }

    /// The word for it on a sheet.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Purpose::Plain => "plain",
            Purpose::Underlining => "underlining",
            Purpose::Interfacing => "interfacing",
            Purpose::Lining => "lining",
        }
    }
}
