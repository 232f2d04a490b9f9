//! Paths as usvg reads them, in millimetres.

use kurbo::{Affine, BezPath, PathEl, Point};
use usvg::tiny_skia_path::{self, PathSegment};

/// A path with all its transforms, laid where its user space belongs.
pub fn in_mm(path: &usvg::Path, to_mm: Affine) -> BezPath {
    let t = path.abs_transform();
    let place = to_mm * Affine::new([t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from));
    let point = |p: tiny_skia_path::Point| Point::new(f64::from(p.x), f64::from(p.y));
    let elements = path.data().segments().map(|segment| match segment {
        PathSegment::MoveTo(to) => PathEl::MoveTo(point(to)),
        PathSegment::LineTo(to) => PathEl::LineTo(point(to)),
        PathSegment::QuadTo(a, to) => PathEl::QuadTo(point(a), point(to)),
        PathSegment::CubicTo(a, b, to) => PathEl::CurveTo(point(a), point(b), point(to)),
        PathSegment::Close => PathEl::ClosePath,
    });
    place * BezPath::from_vec(elements.collect())
}
