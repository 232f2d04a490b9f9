//! Why something was not kept.

use crate::table::folder::FolderFault;
use crate::table::made::MakingFault;

/// Why something was not kept; the table is as it was.
#[derive(Debug, thiserror::Error)]
pub enum TableFault {
    /// The files.
    #[error(transparent)]
    Folder(#[from] FolderFault),
    /// The recipe.
    #[error(transparent)]
    Making(#[from] MakingFault),
    /// The wish is refused.
    #[error("{what}; {way_out}")]
    Refused {
        /// What.
        what: String,
        /// What can be done about it.
        way_out: String,
    },
}

impl TableFault {
    pub(super) fn refused(what: impl ToString, way_out: impl ToString) -> TableFault {
        TableFault::Refused { what: what.to_string(), way_out: way_out.to_string() }
    }
}
