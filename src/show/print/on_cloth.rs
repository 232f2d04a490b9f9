//! How the pieces lie on the cloth, small: pages of their own behind the map, so that who cuts need look nowhere else.

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape};

use crate::canvas::{Drawing, Label, LabelRoom, Layer, LineKind, wrapped};
use crate::show::layout::{Band, Layout, MOST_STRIPS};
use crate::show::print::map::{MAP_AIR, ROUND, name_in};

/// One to so many: a bolt 37 cm wide is 18 mm high, on which most pieces have room for their names.
const REDUCED: f64 = 20.0;

/// Font height of what stands above a cloth, mm, and the distance of lines as a multiple of it.
const TEXT: f64 = 2.9;
const LEADING: f64 = 1.4;

/// Distance of strips from one another, mm.
const BETWEEN: f64 = 4.0;

/// Pages under way.
struct Pages {
    window: Rect,
    drawings: Vec<Drawing>,
    /// Where the next thing goes on the last of them.
    down: f64,
}

impl Pages {
    /// Room of a height on the last page, or on a new one; gives its upper end.
    fn room(&mut self, height: f64) -> (&mut Drawing, f64) {
        if self.drawings.is_empty() || self.down + height > self.window.y1 {
            self.drawings.push(Drawing::default());
            self.down = self.window.y0;
        }
        let top = self.down;
        self.down += height;
        let last = self.drawings.len() - 1;
        (&mut self.drawings[last], top)
    }
}

/// The cloths of layouts in strips as wide as the window, one below the other, on as many pages as they need.
pub(super) fn on_cloth(window: Rect, layouts: &[Layout]) -> Vec<Drawing> {
    let mut pages = Pages { window, drawings: Vec::new(), down: window.y0 };
    for layout in layouts {
        for band in layout.view.iter().flat_map(|view| &view.bands).filter(|band| !band.cloth.is_empty()) {
            put(&mut pages, layout, band);
        }
    }
    pages.drawings
}

fn put(pages: &mut Pages, layout: &Layout, band: &Band) {
    let (window, cloth) = (pages.window, band.cloth.bounding_box());
    let in_strips = window.width() * MOST_STRIPS as f64 / cloth.width();
    let scale = (1.0 / REDUCED).min((window.height() - BETWEEN) / 2.0 / cloth.height()).min(in_strips);
    let title = format!("{}. Drawn 1 : {:.0}.", band.title, 1.0 / scale);
    let lines = wrapped(&title, TEXT, window.width());
    let count = (cloth.width() * scale / window.width()).ceil().clamp(1.0, MOST_STRIPS as f64);
    let (length, high) = (cloth.width() / count, cloth.height() * scale);
    for strip in 0..count as usize {
        // The title keeps with the first strip of its cloth.
        let above = if strip == 0 { lines.len() as f64 * TEXT * LEADING + TEXT } else { 0.0 };
        let (drawing, top) = pages.room(above + high + BETWEEN);
        if strip == 0 {
            for (line, text) in (1..).zip(&lines) {
                let at = Point::new(window.x0, top + f64::from(line) * TEXT * LEADING);
                drawing.labels.push(Label::from_left(text, at, TEXT, Layer::Pages));
            }
        }
        let from = cloth.x0 + strip as f64 * length;
        let part = Rect::new(from, cloth.y0, from + length, cloth.y1);
        let corner = Point::new(window.x0, top + above);
        let to = Affine::translate(corner.to_vec2())
            * Affine::scale(scale)
            * Affine::translate(-part.origin().to_vec2());
        draw(drawing, layout, band, (part, to));
    }
}

/// A part of a cloth with what lies on it.
fn draw(drawing: &mut Drawing, layout: &Layout, band: &Band, (part, to): (Rect, Affine)) {
    drawing.stroke(LineKind::PageEdge, to * within(&band.cloth, part));
    let on_it = layout.laid.iter().filter(|copy| copy.outline.bounding_box().overlaps(part));
    for copy in on_it {
        let cut = to * within(&copy.outline, part);
        let bounds = to.transform_rect_bbox(copy.outline.bounding_box().intersect(part));
        let whole = to * &copy.outline;
        let mut room = LabelRoom::within(std::slice::from_ref(&whole), MAP_AIR);
        room.block_path(&whole);
        room.block_path(&to.transform_rect_bbox(part).to_path(ROUND));
        drawing.labels.extend(name_in(&mut room, &copy.name, bounds).into_iter().flatten());
        drawing.stroke(LineKind::Rule, cut);
    }
}

/// What of a line lies between the left and the right end of a part, in straight stretches.
fn within(path: &BezPath, part: Rect) -> BezPath {
    let (mut kept, mut at, mut begun) = (BezPath::new(), Point::ZERO, Point::ZERO);
    let mut stretch = |from: Point, to: Point| {
        let share = |x: f64| if to.x == from.x { 0.0 } else { (x - from.x) / (to.x - from.x) };
        let (a, b) = (share(part.x0), share(part.x1));
        let (low, high) = match to.x == from.x {
            true if (part.x0..=part.x1).contains(&from.x) => (0.0, 1.0),
            true => return,
            false => (a.min(b).max(0.0), a.max(b).min(1.0)),
        };
        if low < high {
            kept.move_to(from.lerp(to, low));
            kept.line_to(from.lerp(to, high));
        }
    };
    kurbo::flatten(path, ROUND, |element| match element {
        PathEl::MoveTo(to) => (at, begun) = (to, to),
        PathEl::LineTo(to) => {
            stretch(at, to);
            at = to;
        }
        PathEl::ClosePath => {
            stretch(at, begun);
            at = begun;
        }
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_kept_between_the_ends_of_a_part() {
        let square = Rect::new(0.0, 0.0, 10.0, 10.0).to_path(ROUND);
        let length =
            |path: &BezPath| path.segments().map(|side| (side.end() - side.start()).hypot()).sum::<f64>();
        use kurbo::ParamCurve as _;
        assert_eq!(length(&within(&square, Rect::new(-1.0, 0.0, 11.0, 10.0))), 40.0);
        assert_eq!(length(&within(&square, Rect::new(5.0, 0.0, 11.0, 10.0))), 20.0);
        assert_eq!(length(&within(&square, Rect::new(2.0, 0.0, 4.0, 10.0))), 4.0);
        assert!(within(&square, Rect::new(11.0, 0.0, 12.0, 10.0)).is_empty());
    }
}
