//! What is laid on: each length of a cloth and each panel, spread out singly or folded lengthwise.

use kurbo::{BezPath, Point, Rect};

use crate::cloth::colours::{Across, Colour, Colouring};
use crate::cloth::layout::polygon::around;
use crate::cloth::{Bolt, Cloth, Panel, Stock, StripesAlong};
use crate::curve::{Motion, Vec2};
use crate::pattern::ClothName;
use crate::tolerance::SAME_CUT;

/// How the cloth is spread.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Spread {
    /// One layer, right side up.
    #[default]
    Single,
    /// Folded lengthwise, right sides together: two layers, from the fold to the two selvedges.
    Folded,
}

/// Which length or panel of a cloth it is, counted from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum GroundSource {
    /// A length, of so many.
    Length {
        /// Which.
        number: usize,
        /// Of how many.
        of: usize,
    },
    /// A copy of a panel.
    Panel {
        /// The panel's name.
        name: String,
        /// Which copy.
        number: u32,
        /// Of how many.
        of: u32,
    },
}

/// One thing to lay on. Across and along as [`crate::cloth`] has it; on folded cloth across is measured from the fold.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// The cloth.
    pub cloth: ClothName,
    /// Which part of it.
    pub source: GroundSource,
    /// How it is spread.
    pub spread: Spread,
    /// Its true border, clockwise as seen.
    pub border: BezPath,
    /// The flaws, of both layers where it is folded.
    pub flaws: Vec<Rect>,
    /// The width where it is the same all along, mm: then the right edge is straight too.
    pub even_width: Option<f64>,
}

impl Ground {
    /// All that is at hand, cloth by cloth, lengths before panels. Panels are always spread singly.
    #[must_use]
    pub fn all(stock: &Stock, spread: Spread) -> Vec<Ground> {
        stock.cloths().flat_map(|cloth| Ground::of_cloth(cloth, spread)).collect()
    }

    pub(super) fn of_cloth(cloth: &Cloth, spread: Spread) -> Vec<Ground> {
        let of = cloth.bolts().len();
        let lengths = cloth.bolts().iter().enumerate().map(|(i, bolt)| {
            let source = GroundSource::Length { number: i + 1, of };
            Ground::of_bolt(cloth, bolt, source, spread)
        });
        let panels = cloth
            .panels()
            .iter()
            .flat_map(|panel| (1..=panel.copies()).map(|number| Ground::of_panel(cloth, panel, number)));
        lengths.chain(panels).collect()
    }

    fn of_bolt(cloth: &Cloth, bolt: &Bolt, source: GroundSource, spread: Spread) -> Ground {
        let (width, length) = (bolt.width(), bolt.length());
        let share = if spread == Spread::Folded { 0.5 } else { 1.0 };
        let mut border = BezPath::new();
        border.move_to((0.0, 0.0));
        width.places_to(length).into_iter().for_each(|at| border.line_to((width.at(at) * share, at)));
        border.line_to((0.0, length));
        border.close_path();
        let (least, most) = (width.least(0.0, length), width.greatest(0.0, length));
        let flaws = bolt.flaws().iter().flat_map(|flaw| {
            let (right, end) = flaw.end();
            let whole = Rect::new(flaw.at.0, flaw.at.1, right, end);
            match spread {
                Spread::Single => vec![whole],
                Spread::Folded => {
                    folded(whole, width.least(flaw.at.1, end) / 2.0, width.greatest(flaw.at.1, end) / 2.0)
                }
            }
        });
        Ground {
            cloth: cloth.name().clone(),
            source,
            spread,
            border,
            flaws: flaws.collect(),
            even_width: (most - least <= SAME_CUT).then_some(least * share),
        }
    }

    pub(super) fn of_panel(cloth: &Cloth, panel: &Panel, number: u32) -> Ground {
        let along = (Point::ZERO, Point::new(0.0, 1.0));
        let turn = Motion::carry((Point::ZERO, panel.grain().to_point()), along)
            .unwrap_or_else(|_| Motion::identity());
        let turned = turn.to_affine() * panel.outline().to_path();
        let corner = kurbo::Shape::bounding_box(&turned).origin();
        let border = Motion::shift(Vec2::ZERO - corner.to_vec2()).to_affine() * turned;
        let source = GroundSource::Panel { name: panel.name().to_owned(), number, of: panel.copies() };
        let (cloth, spread) = (cloth.name().clone(), Spread::Single);
        Ground { cloth, source, spread, border, flaws: Vec::new(), even_width: None }
    }

    /// A polygon within the border, as close to it as a layout needs.
    pub(super) fn inside(&self) -> Vec<Point> {
        let mut polygon = around(&self.border.reverse_subpaths());
        polygon.reverse();
        polygon
    }

    /// How far it reaches across and along, mm.
    #[must_use]
    pub fn size(&self) -> (f64, f64) {
        let bounds = kurbo::Shape::bounding_box(&self.border);
        (bounds.width(), bounds.height())
    }

    /// What it is called: `main`, `main, length 2 of 3`, `main, panel gore 1 of 6`.
    #[must_use]
    pub fn name(&self) -> String {
        match &self.source {
            GroundSource::Length { of: 1, .. } => self.cloth.to_string(),
            GroundSource::Length { number, of } => format!("{}, length {number} of {of}", self.cloth),
            GroundSource::Panel { name, of: 1, .. } => format!("{}, {}", self.cloth, panel_called(name)),
            GroundSource::Panel { name, number, of } => {
                format!("{}, {} {number} of {of}", self.cloth, panel_called(name))
            }
        }
    }

    /// Whether it has selvedges.
    #[must_use]
    pub fn has_selvedges(&self) -> bool {
        matches!(self.source, GroundSource::Length { .. })
    }

    /// Whether it is known where on it the stripes of its cloth lie: on lengths those across, and those along where a
    /// length is spread singly. On a panel of a garment taken apart it is not.
    #[must_use]
    pub fn shows_stripes(&self, along: StripesAlong) -> bool {
        self.has_selvedges() && (along == StripesAlong::Width || self.spread == Spread::Single)
    }

    /// The length of cloth that it is, if it is one.
    fn bolt<'s>(&self, stock: &'s Stock) -> Option<&'s Bolt> {
        let GroundSource::Length { number, .. } = &self.source else { return None };
        stock.find(&self.cloth)?.bolts().get(number - 1)
    }

    /// Whether it is told what colours it has.
    #[must_use]
    pub fn has_colours(&self, stock: &Stock) -> bool {
        self.bolt(stock).is_some_and(|bolt| bolt.colouring().is_some())
    }

    /// Whether its colours differ across it.
    #[must_use]
    pub fn is_patterned_across(&self, stock: &Stock) -> bool {
        let pictures = self.bolt(stock).and_then(|bolt| match bolt.colouring()? {
            Colouring::Photographed(pictures) => Some(pictures),
            Colouring::Measured(_) => None,
        });
        pictures.is_some_and(|pictures| pictures.iter().any(|picture| picture.across() == Across::Patterned))
    }

    /// Its colour at a place, where that is known. On folded cloth, across goes from the fold: on to the right half of the
    /// lower layer, and back from it on to the left half of the upper one.
    #[must_use]
    pub fn colour_at(&self, stock: &Stock, place: Point) -> Option<Colour> {
        let across = match self.spread {
            Spread::Single => place.x,
            Spread::Folded => self.width_at(place.y) + place.x,
        };
        self.bolt(stock)?.colouring()?.at(across, place.y)
    }

    /// What is left over at its end, mm across and along: the width that is there all the way from where the layout
    /// ends. None of a panel that is used, nor where nothing is left.
    #[must_use]
    pub fn leftover(&self, used: f64) -> Option<(f64, f64)> {
        let (across, along) = self.size();
        let left = along - used;
        if left <= SAME_CUT || (!self.has_selvedges() && used > 0.0) {
            return None;
        }
        let corners = self.corners().filter(|corner| corner.y > used).map(|corner| corner.x);
        Some((corners.fold(self.width_at(used).min(across), f64::min), left))
    }

    /// The corners of the right edge, in order along it.
    pub(in crate::cloth) fn corners(&self) -> impl Iterator<Item = Point> {
        let starts = self.border.segments().map(|segment| kurbo::ParamCurve::start(&segment));
        starts.filter(|corner| corner.x > 0.0)
    }

    /// The width of a length at a place along it, mm; of a panel how far it reaches.
    pub(in crate::cloth) fn width_at(&self, along: f64) -> f64 {
        if !self.has_selvedges() {
            return self.size().0;
        }
        let corners: Vec<Point> = self.corners().collect();
        let after = corners.partition_point(|corner| corner.y <= along);
        match (after.checked_sub(1).map(|i| corners[i]), corners.get(after)) {
            (Some(a), Some(b)) => a.x + (b.x - a.x) * (along - a.y) / (b.y - a.y),
            (Some(a), None) => a.x,
            (None, Some(b)) => b.x,
            (None, None) => 0.0,
        }
    }
}

/// A panel as it is called among what is laid on: by its name, which may say already what it is, as `panel` or `panel-2`.
fn panel_called(name: &str) -> String {
    const WORD: &str = "panel";
    if name.to_lowercase().starts_with(WORD) { name.to_owned() } else { format!("{WORD} {name}") }
}

/// A flaw on folded cloth, as it comes to lie from the fold: one on the left half is turned over. Where the width is
/// uneven the fold wanders, between the least and the greatest place.
fn folded(flaw: Rect, least: f64, most: f64) -> Vec<Rect> {
    let mut parts = Vec::new();
    if flaw.x0 < most {
        parts.push(Rect::new((least - flaw.x1).max(0.0), flaw.y0, most - flaw.x0, flaw.y1));
    }
    if flaw.x1 > least {
        parts.push(Rect::new((flaw.x0 - most).max(0.0), flaw.y0, flaw.x1 - least, flaw.y1));
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panel_is_called_a_panel_once() {
        let called = [("gore", 1), ("panel", 5), ("Panel-2", 6)].map(|(name, number)| {
            let source = GroundSource::Panel { name: name.to_owned(), number, of: 6 };
            let cloth: ClothName = "main".parse().unwrap();
            let (border, spread) = (BezPath::new(), Spread::Single);
            Ground { cloth, source, spread, border, flaws: Vec::new(), even_width: None }.name()
        });
        assert_eq!(called, ["main, panel gore 1 of 6", "main, panel 5 of 6", "main, Panel-2 6 of 6"]);
    }

    #[test]
    fn a_flaw_lies_on_both_layers_where_the_fold_goes_through_it() {
        let found = folded(Rect::new(150.0, 10.0, 210.0, 20.0), 185.0, 185.0);
        assert_eq!(found, [Rect::new(0.0, 10.0, 35.0, 20.0), Rect::new(0.0, 10.0, 25.0, 20.0)]);
        assert_eq!(folded(Rect::new(0.0, 0.0, 10.0, 5.0), 185.0, 185.0), [Rect::new(175.0, 0.0, 185.0, 5.0)]);
    }
}
