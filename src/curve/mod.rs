//! Curves and closed outlines; knows nothing of sewing.
//!
//! A [`Curve`] is an open run of lines and cubics, an [`Outline`] a closed ring of curves, a [`Motion`] lays one
//! rigidly on another. Every other file answers one question about them: where is a place along it ([`Curve::point_at`]),
//! where do two cross ([`Curve::crossings`]), what runs beside it ([`offset`]), what rounds a corner
//! ([`blend_corner`]), what passes through points ([`fit_through`], [`Curve::smooth_through`]), what is left of a raw
//! offset ([`trim_positive`]), or short of a straight line ([`StraightLimit`]).
//!
//! # Conventions
//!
//! Coordinates are f64 millimetres on a sheet whose y axis points **down**. Outlines run **clockwise as seen**, so
//! that their [`Outline::area`] is positive and the inside lies on the right-hand side of travel. The outward normal of
//! a tangent `t` is `(t.y, -t.x)`; turns and curvatures are positive where travel bends clockwise as seen.
//!
//! ```text
//!        outward
//!           ^
//!    ──────>┴──────>┐
//!       inside      v
//! ```
//!
//! This floor uses `kurbo`, `lyon_geom`, `linesweeper` and [`crate::tolerance`] only.
//!
//! # Examples
//!
//! ```
//! use retrue::curve::{BezPath, Curve, offset};
//!
//! let neck = Curve::from_path(&BezPath::from_svg("M0 0 C30 0 60 -20 70 -50")?)?;
//! let beside = offset(&neck, 15.0, 0.01)?;
//! assert!((beside.start() - neck.start()).hypot() - 15.0 < 0.01);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod apart;
mod areas;
mod blend;
mod crossing;
mod cut_back;
mod dense;
mod direction;
mod error;
mod fit;
mod joining;
mod loops;
mod motion;
mod nearest;
mod offset;
mod outline;
mod place;
mod polygon;
mod ray;
mod roots;
mod run;
mod segment;
mod self_crossing;
mod slices;
mod smooth;
mod trim;
mod turned_box;

pub use areas::area_where;
pub use blend::{Blend, blend_corner, blend_corner_to_length};
pub use crossing::Crossing;
pub use cut_back::StraightLimit;
pub(crate) use direction::LeftOrRight;
pub use direction::{angle_between_lines, left_of, right_of, turn_between};
pub use error::{CurveError, MeasureKind};
pub use fit::fit_through;
pub use kurbo::{Affine, BezPath, PathSeg, Point, Rect, Vec2};
pub use loops::{OneLoop, largest_loop};
pub use motion::{Motion, Radians};
pub use nearest::Nearest;
pub use offset::offset;
pub use outline::{EdgeCrossing, Outline, SelfCrossing};
pub use place::{Chord, Joint, Met};
pub use polygon::{convex_hull, crosses_ray, distance_squared, polygon_area};
pub use ray::Ray;
pub use run::Curve;
pub use segment::control_box as segment_box;
pub use slices::Slices;
pub use trim::{WindingRule, common_rings, path_crosses_itself, trim_positive};
pub use turned_box::TurnedBox;
