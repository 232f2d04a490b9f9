//! The operations that change pieces: one file each.
//!
//! Each is a struct of fields, made by its `of` with those that it cannot do without, and a function over [`Work`], a
//! pattern under change. They are built from a
//! few shared parts: `line` finds where a line cuts, and the floor `parts` makes a piece of parts carried rigidly and takes
//! marks and seams along. May use `truing` and what that uses. It asks `allowance` what a piece is
//! like as it is cut and never reckons it itself; it knows nothing of files or cloth.
//!
//! # Examples
//!
//! ```
//! use retrue::recut::{Split, Step};
//! use retrue::truing::girths;
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let split: Step = Split::of("sleeve".parse()?, "level elbow".parse()?).into();
//! let recut = split.apply(&coat)?;
//! assert_eq!(recut.pattern.pieces().len(), coat.pieces().len() + 1);
//! assert_eq!(girths(&recut.pattern).len(), girths(&coat).len());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod add_band;
mod add_facing;
mod add_princess_seam;
mod add_strip;
mod after;
mod blend_seam;
mod close_seam;
mod copy_piece;
mod dart_geometry;
mod dart_to_seam;
mod derived;
mod divide;
mod divide_edge;
mod extend_edge;
mod extended_side;
mod extension;
mod facings_anew;
mod faired_run;
mod fields;
mod fold;
mod follow;
mod half_alone;
mod join_edges;
mod joint_notches;
mod lap_over;
mod levels_in_dart;
mod limit_width;
mod line;
mod marks_in_dart;
mod merge_at_seamline;
mod move_seam;
mod moved_edge;
mod moved_levels;
mod moved_line;
mod notice;
mod notice_sentence;
mod open_centre;
mod open_seam;
mod opened_side;
mod opened_stretch;
mod outcome;
mod part_names;
mod pivot_dart;
mod princess_cut;
mod princess_legs;
mod reasons;
pub(crate) mod room;
mod seam_end;
mod seam_panel;
mod set_allowance;
mod set_corner;
mod set_edge;
mod set_pattern;
mod set_piece;
mod smooth_joint;
mod split;
mod step;
mod symmetry;
mod true_seam;
mod turn_grain;
mod unfold;

pub use add_band::AddBand;
pub use add_facing::{AddFacing, EdgeRun};
pub use add_princess_seam::AddPrincessSeam;
pub use add_strip::{AddStrip, Over, StripEnd};
pub use close_seam::CloseSeam;
pub use copy_piece::CopyPiece;
pub use dart_to_seam::DartToSeam;
pub use divide_edge::DivideEdge;
pub use extend_edge::ExtendEdge;
pub use extension::ExtensionEnds;
pub use fields::{
    ButtonShape, CornerEdges, CornerWish, DartChoice, EdgeChoice, EdgeNames, FieldError, GrainWay, LapWish,
    PieceNames, SeamLine, Shaping, TrueBy, WidthToKeep,
};
pub use fold::Fold;
pub use follow::Follow;
pub use join_edges::JoinEdges;
pub use limit_width::LimitWidth;
pub use merge_at_seamline::{MergeAtSeamline, VoidShaping};
pub use move_seam::{Longer, MoveSeam};
pub use moved_line::{SeamUnderHand, seam_under_hand};
pub use notice::Notice;
pub use open_centre::OpenCentre;
pub use open_seam::OpenSeam;
pub use outcome::{Recut, Work};
pub use pivot_dart::PivotDart;
pub use reasons::{StepLine, WhyNothing};
pub use set_allowance::SetAllowance;
pub use set_corner::SetCorner;
pub use set_edge::SetEdge;
pub use set_pattern::SetPattern;
pub use set_piece::SetPiece;
pub use split::Split;
pub use step::Step;
pub use true_seam::TrueSeam;
pub use turn_grain::TurnGrain;
pub use unfold::Unfold;
