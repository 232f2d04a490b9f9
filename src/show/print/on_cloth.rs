//! How the pieces lie on the cloth, small: pages of their own behind the map, so that who cuts need look nowhere else.

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape};

use crate::canvas::{Drawing, Label, LabelRoom, Layer, LineKind, wrapped};
use crate::show::layout::{Layout, MOST_STRIPS, TitledCloth};
use crate::show::print::leaders::{OnStrip, lead_out};
use crate::show::print::map::{MAP_AIR, ROUND, name_in, number_on, numbers_told};

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

fn put(pages: &mut Pages, layout: &Layout, band: &TitledCloth) {
    let (window, cloth) = (pages.window, band.cloth.bounding_box());
    let in_strips = window.width() * MOST_STRIPS as f64 / cloth.width();
    let scale = (1.0 / REDUCED).min((window.height() - BETWEEN) / 2.0 / cloth.height()).min(in_strips);
    let count = (cloth.width() * scale / window.width()).ceil().clamp(1.0, MOST_STRIPS as f64);
    let length = cloth.width() / count;
    let mut numbered = Vec::new();
    let part = |strip: usize| {
        let left = cloth.x0 + strip as f64 * length;
        Rect::new(left, cloth.y0, left + length, cloth.y1)
    };
    let strips: Vec<Drawing> =
        (0..count as usize).map(|strip| drawn(layout, band, (part(strip), scale), &mut numbered)).collect();
    let mut lines = wrapped(&format!("{}. Drawn 1 : {:.0}.", band.title, 1.0 / scale), TEXT, window.width());
    lines.extend(numbers_told(&numbered).iter().flat_map(|told| wrapped(told, TEXT, window.width())));
    for (strip, drawn) in strips.into_iter().enumerate() {
        let (from, to) = drawn.bounds().map_or((0.0, 0.0), |bounds| (bounds.y0, bounds.y1));
        // The title keeps with the first strip of its cloth.
        let above = if strip == 0 { lines.len() as f64 * TEXT * LEADING + TEXT } else { 0.0 };
        let (drawing, top) = pages.room(above + to - from + BETWEEN);
        if strip == 0 {
            for (line, text) in (1..).zip(&lines) {
                let at = Point::new(window.x0, top + f64::from(line) * TEXT * LEADING);
                drawing.labels.push(Label::from_left(text, at, TEXT, Layer::Pages));
            }
        }
        drawing.add(drawn.moved(Affine::translate((window.x0, top + above - from))));
    }
}

/// A part of a cloth with what lies on it, its upper left corner at nothing. What has no room for its name has a number, which
/// goes on from those before; what has none for that either has its name beside, where the line to it runs over no other.
fn drawn(
    layout: &Layout,
    band: &TitledCloth,
    (part, scale): (Rect, f64),
    numbered: &mut Vec<String>,
) -> Drawing {
    let to = Affine::scale(scale) * Affine::translate(-part.origin().to_vec2());
    let mut drawing = Drawing::default();
    drawing.stroke(LineKind::PageEdge, to * within(&band.cloth, part));
    let flaws = within(&band.flaws, part);
    if !flaws.is_empty() {
        drawing.stroke(LineKind::Flaw, to * flaws);
    }
    let mut copies = Vec::new();
    for copy in layout.laid.iter().filter(|copy| copy.outline.bounding_box().overlaps(part)) {
        let bounds = to.transform_rect_bbox(copy.outline.bounding_box().intersect(part));
        let outline = to * &copy.outline;
        let mut room = LabelRoom::within(std::slice::from_ref(&outline), MAP_AIR);
        room.block_path(&outline);
        room.block_path(&to.transform_rect_bbox(part).to_path(ROUND));
        // What goes on over several strips is named in that with its middle alone where it has no room.
        let has_middle = (part.x0..part.x1).contains(&copy.outline.bounding_box().center().x);
        let named = name_in(&mut room, &copy.name, bounds).or_else(|| {
            let number = (numbered.len() + 1).to_string();
            let number = has_middle.then(|| name_in(&mut room, &number, bounds)).flatten()?;
            numbered.push(copy.name.clone());
            Some(number)
        });
        let unnamed = (named.is_none() && has_middle).then_some(copy.name.as_str());
        drawing.labels.extend(named.into_iter().flatten());
        drawing.stroke(LineKind::Rule, to * within(&copy.outline, part));
        copies.push(OnStrip { outline, bounds, unnamed });
    }
    for left in lead_out(&mut drawing, &copies, part.size() * scale) {
        let OnStrip { outline, bounds, unnamed } = &copies[left];
        numbered.extend(unnamed.map(str::to_owned));
        drawing.labels.push(number_on(numbered.len(), outline, *bounds, &drawing.labels));
    }
    drawing
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
