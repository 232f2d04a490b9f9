//! Why something was not kept.

use crate::table::folder::FolderFault;
use crate::table::made::MakingFault;
use crate::table::said::Refused;

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
    #[error("{0}")]
    Refused(Refused),
}

impl From<Refused> for TableFault {
    fn from(answer: Refused) -> TableFault {
        TableFault::Refused(answer)
    }
}

impl TableFault {
    pub(super) fn refused(what: impl ToString, way_out: impl ToString) -> TableFault {
        Refused::plain(what, way_out).into()
    }
}
