//! The model: a pattern, its pieces, and all that stands on them.
//!
//! Plain types that know nothing of how they were read or how they will be drawn. May use `curve`, `units`
//! and `tolerance`; nothing above.
//!
//! Lengths are millimetres on the sheet, y downward. Outlines run clockwise as seen, so the outside is on
//! the left of the way.
//!
//! # Examples
//!
//! ```
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let back = coat.piece(&"back".parse()?)?;
//! let half_way = back.place(&"shoulder@50%".parse()?)?;
//! assert!(half_way.point.y > 0.0);
//! let side = coat.seam_named(&"back.side".parse()?, None)?;
//! assert_eq!(coat.seams_of(&"front.side".parse()?).collect::<Vec<_>>(), [side]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod about;
mod advice;
mod corners_named;
mod cut;
mod dart;
mod derived;
mod drawn_line;
mod edge;
mod line;
mod marked;
mod marks;
mod names;
mod operation;
mod orient;
mod piece;
mod place;
mod purpose;
mod reckoned;
mod record;
mod refusal;
mod rename;
mod resolve;
mod run;
mod seam;
mod seen;
mod sewn_length;
mod sewn_to;
mod snapped;
mod sound;
mod thread;
mod usual;
mod weld;
mod whole;
pub(crate) mod words;
mod wrong_ends;

pub use about::{About, Measures, MeasuresError, line_of_words, measure};
pub use advice::{Advice, AdvicePart, Field, Remedy, Settles, Suggestion};
pub use corners_named::{corners_entered, entered_at, said_by_corners};
pub use cut::{Cut, CutError, Twins};
pub use dart::{Dart, DartKind, DartShape, Mouth, Press};
pub use derived::{Derived, MadeFrom, Making};
pub use drawn_line::{DrawnLine, LineMeeting, Reach};
pub(crate) use edge::EdgeTip;
pub use edge::{
    CornerShape, Edge, EdgeEnd, EdgeSettings, Finish, Opening, Origin, Selvedge, ShapedCorner, Unsewn,
};
pub use line::{Line, LineError};
pub use marks::{Arrows, GirthUse, Grainline, Kept, Level, Mark, NamedPoint, Notch, NotchCount, StyleLine};
pub(crate) use names::MIRRORED_HALF;
pub(crate) use names::without_numbers;
pub use names::{
    ClothName, Copy, DartName, EdgeName, EdgeRef, LevelName, MeasureName, NameError, NotchName, PieceName,
    PointName, StyleLineName, mistyped, nearest,
};
pub use operation::Operation;
pub use orient::{
    Joins, from_clause, from_corners, is_read, orient, orient_at_corners, unwritable_direction,
};
pub(crate) use piece::On;
pub use piece::{EdgeId, OnOutline, Piece, PieceFields};
pub use place::{Amount, Place, PlaceError, TipChoice};
pub use purpose::Purpose;
pub use record::{
    Background, ChangedGirth, Declared, DeclaredKind, DrawnAnew, Foreign, LaidOn, LaidPart, LaidStretch,
    Ledger, LiesTo, Made, Moved, NewSeam, RECORD_VERSION, Record, RecordedStep,
};
pub use refusal::{Refusal, RefusalKind};
pub use resolve::{FoundPlace, settle};
pub use run::{RunNotch, Walk, WalkPoint, met_along};
pub use seam::{Run, RunEdge, Seam, SeamId, Side, Travel, WalkEnd};
pub use seen::Seen;
pub(crate) use seen::seen;
pub use sewn_to::{Partner, SewnFrom, SewnTo};
pub use snapped::{Snap, Snapped};
pub use thread::{OffThread, Thread};
pub use whole::{Pattern, PatternFields};
pub use wrong_ends::has_wrong_ends;
