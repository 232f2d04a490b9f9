//! Where a label has room inside a piece.

use kurbo::{Line, Point, Rect};

use crate::cloth::picture::svg::{Written, text_width};
use crate::curve::crosses_ray;

/// Smallest lettering that can be read on a print, mm.
const SMALLEST: f64 = 5.0;

/// How much smaller each next size is that is tried.
const SMALLER: f64 = 0.82;

/// How many places are tried each way.
const PLACES: usize = 28;

/// Height of a line over the size of its letters.
pub(super) const LINE: f64 = 1.25;

/// A label that has room.
#[derive(Clone, Debug)]
pub(super) struct PlacedLabel {
    pub(super) lines: Vec<String>,
    pub(super) size: f64,
    /// The middle of the block.
    pub(super) centre: Point,
    pub(super) written: Written,
}

/// The room inside a piece on the page.
pub(super) struct RoomInPiece<'a> {
    /// The corners of its cutting line.
    pub(super) outline: &'a [Point],
    /// What must not be written over.
    pub(super) lines: &'a [Line],
}

impl RoomInPiece<'_> {
    /// The largest place for the fullest text that has room: all its lines, else fewer of the last; none where even the
    /// first has none.
    pub(super) fn place(&self, lines: &[String], largest: f64) -> Option<PlacedLabel> {
        for count in (1..=lines.len()).rev() {
            let least = if count == 1 { SMALLEST } else { SMALLEST * 1.3 };
            let mut size = largest;
            while size >= least {
                for written in [Written::Across, Written::Upward] {
                    if let Some(centre) = self.middle_for(&lines[..count], size, written) {
                        return Some(PlacedLabel { lines: lines[..count].to_vec(), size, centre, written });
                    }
                }
                size *= SMALLER;
            }
        }
        None
    }

    fn middle_for(&self, lines: &[String], size: f64, written: Written) -> Option<Point> {
        let long = lines.iter().map(|line| text_width(line, size)).fold(0.0, f64::max) + size * 0.6;
        let high = lines.len() as f64 * size * LINE + size * 0.4;
        let (width, height) = match written {
            Written::Across => (long, high),
            Written::Upward => (high, long),
        };
        let bounds = self.bounds();
        let (free_x, free_y) = (bounds.width() - width, bounds.height() - height);
        if free_x < 0.0 || free_y < 0.0 {
            return None;
        }
        let share = |i: usize| i as f64 / (PLACES - 1) as f64;
        let middle = bounds.center();
        let places = (0..PLACES).flat_map(|i| (0..PLACES).map(move |j| (i, j))).map(|(i, j)| {
            let corner = Point::new(bounds.x0 + free_x * share(i), bounds.y0 + free_y * share(j));
            Rect::from_origin_size(corner, (width, height))
        });
        let free = places.filter(|place| self.is_free(*place)).map(|place| place.center());
        free.min_by(|a, b| a.distance(middle).total_cmp(&b.distance(middle)))
    }

    fn bounds(&self) -> Rect {
        let first = self.outline.first().copied().unwrap_or_default();
        self.outline.iter().fold(Rect::from_points(first, first), |bounds, point| bounds.union_pt(*point))
    }

    fn is_free(&self, place: Rect) -> bool {
        let next = self.outline.iter().cycle().skip(1);
        let border = self.outline.iter().zip(next).map(|(a, b)| Line::new(*a, *b));
        self.holds(place.center())
            && !border.chain(self.lines.iter().copied()).any(|line| passes_through(line, place))
    }

    /// Whether a point lies inside the outline.
    pub(super) fn holds(&self, point: Point) -> bool {
        let next = self.outline.iter().cycle().skip(1);
        self.outline.iter().zip(next).filter(|(a, b)| crosses_ray(point, (**a, **b))).count() % 2 == 1
    }
}

/// Whether any of a line lies within a rectangle (after Liang and Barsky).
fn passes_through(line: Line, place: Rect) -> bool {
    let along = line.p1 - line.p0;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (way, off) in [
        (-along.x, line.p0.x - place.x0),
        (along.x, place.x1 - line.p0.x),
        (-along.y, line.p0.y - place.y0),
        (along.y, place.y1 - line.p0.y),
    ] {
        if way == 0.0 {
            if off < 0.0 {
                return false;
            }
        } else if way < 0.0 {
            from = from.max(off / way);
        } else {
            to = to.min(off / way);
        }
    }
    from < to
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(lines: &[&str]) -> Vec<String> {
        lines.iter().map(|line| (*line).to_owned()).collect()
    }

    #[test]
    fn a_label_is_turned_or_shortened_where_the_piece_is_narrow_and_left_out_where_it_is_too_small() {
        let strip = [(0.0, 0.0), (14.0, 0.0), (14.0, 400.0), (0.0, 400.0)].map(Point::from);
        let room = RoomInPiece { outline: &strip, lines: &[] };
        let placed = room.place(&text(&["front-facing R", "right side up"]), 20.0).expect("room");
        assert!(placed.written == Written::Upward && placed.size < 14.0);
        assert_eq!(placed.lines.len(), 1, "{placed:?}");
        let small = [(0.0, 0.0), (14.0, 0.0), (14.0, 20.0), (0.0, 20.0)].map(Point::from);
        assert!(
            RoomInPiece { outline: &small, lines: &[] }.place(&text(&["front-facing R"]), 20.0).is_none()
        );
    }

    #[test]
    fn a_label_keeps_off_the_grainline() {
        let square = [(0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0)].map(Point::from);
        let grain = [Line::new((100.0, 20.0), (100.0, 180.0))];
        let placed =
            RoomInPiece { outline: &square, lines: &grain }.place(&text(&["belt"]), 20.0).expect("room");
        assert!((placed.centre.x - 100.0).abs() > 20.0 || placed.centre.y < 20.0 || placed.centre.y > 180.0);
    }
}
