//! Laying boxes on paper, free to be turned by a quarter.
//!
//! On paper there is no grain. Boxes go one after another to the highest place at which they fit under a skyline:
//!
//! ```text
//!   ┌────┬──┐                   skyline:  ────┐
//!   │    │  │                                 └──┐
//!   │    ├──┴───┐                                └────
//! ```

use kurbo::{Affine, Point, Size};

use crate::tolerance::SAME_POINT;

/// How something lies on the paper, turned to the left. Texts read from left to right or upward in each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lying {
    /// As on the sheet.
    Upright,
    /// Turned by a quarter.
    Quarter,
    /// Upside down.
    Half,
    /// Turned by three quarters.
    ThreeQuarters,
}

impl Lying {
    /// All of them, in the order of their turns.
    pub const ALL: [Lying; 4] = [Lying::Upright, Lying::Quarter, Lying::Half, Lying::ThreeQuarters];

    /// The turn about the origin, exact.
    #[must_use]
    pub fn turn(self) -> Affine {
        let (cos, sin) = match self {
            Lying::Upright => (1.0, 0.0),
            Lying::Quarter => (0.0, -1.0),
            Lying::Half => (-1.0, 0.0),
            Lying::ThreeQuarters => (0.0, 1.0),
        };
        Affine::new([cos, sin, -sin, cos, 0.0, 0.0])
    }

    /// The turn in degrees, clockwise as seen.
    #[must_use]
    pub fn degrees(self) -> f64 {
        match self {
            Lying::Upright => 0.0,
            Lying::Quarter => 270.0,
            Lying::Half => 180.0,
            Lying::ThreeQuarters => 90.0,
        }
    }
}

/// In which order boxes are laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BoxOrder {
    Highest,
    Widest,
    Largest,
    AsGiven,
}

impl BoxOrder {
    pub(crate) const ALL: [BoxOrder; 4] =
        [BoxOrder::Highest, BoxOrder::Widest, BoxOrder::Largest, BoxOrder::AsGiven];
}

/// The size of a box upright, and its size turned by a quarter: what is written beside a piece may make it another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BoxSizes {
    pub upright: Size,
    pub quarter: Size,
}

impl BoxSizes {
    pub(crate) fn lying(&self, lying: Lying) -> Size {
        match lying {
            Lying::Upright | Lying::Half => self.upright,
            Lying::Quarter | Lying::ThreeQuarters => self.quarter,
        }
    }
}

/// Which ways of lying are tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turning {
    Never,
    Free,
}

/// Where boxes may go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Area {
    pub width: f64,
    /// How long each sheet is; none for one that is as long as need be.
    pub height: Option<f64>,
    /// Distance between boxes, mm.
    pub gap: f64,
}

/// Where a box went.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Put {
    pub sheet: usize,
    /// Its upper left corner.
    pub corner: Point,
    pub lying: Lying,
}

/// Lays boxes; gives the first that does not fit by itself.
pub(crate) fn place(
    sizes: &[BoxSizes],
    area: Area,
    order: BoxOrder,
    turning: Turning,
) -> Result<Vec<Put>, usize> {
    let mut sorted: Vec<usize> = (0..sizes.len()).collect();
    let key = |i: &usize| match order {
        BoxOrder::Highest => sizes[*i].upright.height,
        BoxOrder::Widest => sizes[*i].upright.width,
        BoxOrder::Largest => sizes[*i].upright.area(),
        BoxOrder::AsGiven => 0.0,
    };
    sorted.sort_by(|a, b| key(b).total_cmp(&key(a)));
    let mut sheets: Vec<Skyline> = Vec::new();
    let mut puts = vec![Put { sheet: 0, corner: Point::ORIGIN, lying: Lying::Upright }; sizes.len()];
    for i in sorted {
        puts[i] = put(&mut sheets, sizes[i], area, turning).ok_or(i)?;
    }
    Ok(puts)
}

fn put(sheets: &mut Vec<Skyline>, sizes: BoxSizes, area: Area, turning: Turning) -> Option<Put> {
    let ways: &[Lying] = match turning {
        Turning::Never => &[Lying::Upright],
        Turning::Free => &[Lying::Upright, Lying::Quarter],
    };
    for sheet in 0..=sheets.len() {
        if sheet == sheets.len() {
            sheets.push(Skyline::new(area));
        }
        let fits = ways.iter().filter_map(|lying| {
            let size = sizes.lying(*lying);
            sheets[sheet].highest(size).map(|corner| (corner.y + size.height, corner, *lying))
        });
        if let Some((_, corner, lying)) = fits.min_by(|a, b| a.0.total_cmp(&b.0)) {
            sheets[sheet].fill(corner, sizes.lying(lying));
            return Some(Put { sheet, corner, lying });
        }
        if sheet + 1 == sheets.len() && sheets[sheet].is_empty() {
            return None;
        }
    }
    None
}

/// How far down each stretch of a sheet is taken.
struct Skyline {
    area: Area,
    /// Where each stretch begins, and how far down it is taken.
    stretches: Vec<(f64, f64)>,
}

impl Skyline {
    fn new(area: Area) -> Skyline {
        Skyline { area, stretches: vec![(0.0, 0.0)] }
    }

    fn is_empty(&self) -> bool {
        self.stretches.len() == 1 && self.stretches[0].1 <= 0.0
    }

    fn down_at(&self, from: f64, to: f64) -> f64 {
        let ends = self.stretches.iter().skip(1).map(|stretch| stretch.0).chain([f64::INFINITY]);
        self.stretches
            .iter()
            .zip(ends)
            .filter(|(stretch, end)| stretch.0 < to - SAME_POINT && *end > from + SAME_POINT)
            .map(|(stretch, _)| stretch.1)
            .fold(0.0, f64::max)
    }

    fn highest(&self, size: Size) -> Option<Point> {
        let places = self.stretches.iter().map(|(x, _)| *x);
        places
            .filter(|x| x + size.width <= self.area.width + SAME_POINT)
            .map(|x| Point::new(x, self.down_at(x, x + size.width + self.area.gap)))
            .filter(|corner| {
                self.area.height.is_none_or(|height| corner.y + size.height <= height + SAME_POINT)
            })
            .min_by(|a, b| a.y.total_cmp(&b.y))
    }

    fn fill(&mut self, corner: Point, size: Size) {
        let (from, to) = (corner.x, corner.x + size.width + self.area.gap);
        let after = self.stretches.iter().rev().find(|stretch| stretch.0 <= to).map_or(0.0, |s| s.1);
        self.stretches.retain(|stretch| stretch.0 < from || stretch.0 > to);
        self.stretches.push((from, corner.y + size.height + self.area.gap));
        if to < self.area.width {
            self.stretches.push((to, after));
        }
        self.stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn rect(sizes: BoxSizes, put: &Put) -> kurbo::Rect {
        kurbo::Rect::from_origin_size(put.corner, sizes.lying(put.lying))
    }

    fn turnable(width: f64, height: f64) -> BoxSizes {
        BoxSizes { upright: Size::new(width, height), quarter: Size::new(height, width + 1.0) }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// Boxes on one sheet keep their gap and stay on the sheet.
        #[test]
        fn boxes_keep_apart(
            boxes in prop::collection::vec((5.0..300.0_f64, 5.0..300.0_f64), 1..25),
            order in 0..4_usize,
            free: bool,
            high: bool,
        ) {
            let sizes: Vec<BoxSizes> = boxes.iter().map(|(w, h)| turnable(*w, *h)).collect();
            let area = Area { width: 420.0, height: high.then_some(594.0), gap: 6.0 };
            let turning = if free { Turning::Free } else { Turning::Never };
            let puts = place(&sizes, area, BoxOrder::ALL[order], turning).unwrap();
            for (i, put) in puts.iter().enumerate() {
                let taken = rect(sizes[i], put);
                prop_assert!(taken.x0 >= 0.0 && taken.y0 >= 0.0 && taken.x1 <= 420.0 + 1e-5);
                prop_assert!(!high || taken.y1 <= 594.0 + 1e-5);
                for (j, other) in puts[..i].iter().enumerate() {
                    let apart = taken.inflate(5.999, 5.999).intersect(rect(sizes[j], other));
                    let meet = apart.width() > 1e-6 && apart.height() > 1e-6;
                    prop_assert!(put.sheet != other.sheet || !meet);
                }
            }
        }
    }

    #[test]
    fn a_box_too_large_is_named() {
        let area = Area { width: 100.0, height: Some(100.0), gap: 0.0 };
        let sizes = [turnable(50.0, 50.0), turnable(101.0, 10.0)];
        assert_eq!(place(&sizes, area, BoxOrder::AsGiven, Turning::Free), Err(1));
    }
}
