//! Pictures of a pattern for the screen: every edge named and measured, the old pattern under the new one.
//!
//! # Examples
//!
//! ```
//! use retrue::show::picture::{Picture, PictureOptions};
//!
//! # let sheet = std::fs::read("fixtures/coat.svg")?;
//! let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
//! let picture = Picture::of("coat", &coat, None, &PictureOptions::default())?;
//! assert!(picture.svg().contains("back"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod overlay;
mod raster;
mod wanted;

use std::collections::BTreeSet;

use kurbo::{Affine, Rect, Size, Vec2};

use crate::allowance::SewingOrder;
use crate::canvas::{
    Area, BoxOrder, BoxSizes, Drawing, Label, Layer, LineKind, Turning, group_in_page, in_page, place, svg,
};
use crate::curve::Point;
use crate::pattern::Pattern;
use crate::show::meanings::{SAMPLE, draw_sample, meanings};
use crate::show::piece::{PieceDrawing, PieceStyle, Shows};

pub use wanted::{PictureError, PictureOptions, Pixels, Viewing};
use wanted::{PictureGroup, WIDER_THAN_HIGH, WantedPart};

/// Font height of a key, mm, where texts are not magnified.
const KEY_TEXT: f64 = 3.4;

/// Distance of pieces from one another, mm, where texts are not magnified.
const GAP: f64 = 12.0;

/// A picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// What is drawn, mm.
    pub drawing: Drawing,
    /// The part that is seen.
    pub view: Rect,
    /// The title.
    pub title: String,
    /// How many times as large as on paper texts are, and lines as wide.
    pub magnified: f64,
}

impl Picture {
    /// A picture of a pattern; over an earlier state of it where that is given.
    ///
    /// # Errors
    ///
    /// A cutting line that cannot be worked out; an unknown piece or edge; nothing to be seen.
    pub fn of(
        title: &str,
        pattern: &Pattern,
        before: Option<&Pattern>,
        options: &PictureOptions,
    ) -> Result<Picture, PictureError> {
        let asked = WantedPart::of(pattern, before, options)?;
        let magnified = asked.magnified(pattern, before, options.seen);
        let style = PieceStyle {
            shows: match (before, options.seen) {
                (Some(_), Viewing::InStep) => Shows::SeamlineShape,
                (Some(_), _) => Shows::SeamlineLengths,
                (None, Viewing::Beside | Viewing::InStep) => Shows::Shape,
                (None, Viewing::Alone | Viewing::OnPage) => Shows::Lengths,
            },
            magnified,
            ..PieceStyle::for_cutting(options.unit)
        };
        let groups = match before {
            None => alone(pattern, &asked, &style)?,
            Some(before) => overlay::groups(pattern, before, &asked, &style)?,
        };
        if groups.is_empty() {
            return Err(PictureError::Nothing);
        }
        let mut picture =
            Picture { drawing: Drawing::default(), view: Rect::ZERO, title: title.to_owned(), magnified };
        match asked.edge_view(&groups) {
            Some(view) => {
                groups.into_iter().for_each(|group| picture.drawing.add(group.drawing));
                picture.drawing = picture.drawing.within(view);
                picture.view = view;
            }
            None => picture.arrange(groups),
        }
        match (before, options.seen) {
            // Those of steps have one key together.
            (_, Viewing::InStep) | (None, Viewing::OnPage | Viewing::Beside) => {}
            (Some(_), _) => picture.key_of_overlay(),
            (None, Viewing::Alone) => picture.key_of_lines(),
        }
        Ok(picture)
    }

    /// The picture as SVG, one user unit a millimetre.
    #[must_use]
    pub fn svg(&self) -> String {
        svg(&self.drawing, self.view, &self.title, self.magnified)
    }

    /// The picture as SVG to stand in a page, without a size or a ground of its own; its inks are the page's.
    #[must_use]
    pub(super) fn in_page(&self) -> String {
        in_page(&self.drawing, self.view, &self.title, self.magnified)
    }

    /// The picture as a group of an SVG picture in a page whose inks it takes, and the part of the plane that it shows: left,
    /// top, width, height.
    #[must_use]
    pub fn group(&self) -> (String, [f64; 4]) {
        let Rect { x0, y0, .. } = self.view;
        (group_in_page(&self.drawing, self.magnified), [x0, y0, self.view.width(), self.view.height()])
    }

    /// The picture as PNG.
    ///
    /// # Errors
    ///
    /// A picture too large for memory.
    pub fn png(&self, longer_side: Pixels) -> Result<Vec<u8>, PictureError> {
        png(&self.svg(), longer_side)
    }

    /// Puts groups beside and under one another.
    fn arrange(&mut self, groups: Vec<PictureGroup>) {
        let gap = GAP * self.magnified;
        let sizes: Vec<BoxSizes> = groups
            .iter()
            .map(|group| group.bounds.size())
            .map(|size| BoxSizes { upright: size, quarter: Size::new(size.height, size.width) })
            .collect();
        let widest = sizes.iter().map(|size| size.upright.width).fold(0.0, f64::max);
        let area: f64 =
            sizes.iter().map(|size| (size.upright.width + gap) * (size.upright.height + gap)).sum();
        let width = widest.max((area * WIDER_THAN_HIGH).sqrt());
        let area = Area { width, height: None, gap };
        let Ok(puts) = place(&sizes, area, BoxOrder::AsGiven, Turning::Never) else { return };
        for (group, put) in groups.into_iter().zip(puts) {
            self.drawing.add(group.drawing.moved(Affine::translate(put.corner - group.bounds.origin())));
        }
        self.view = self.drawing.bounds().unwrap_or_default().inflate(gap, gap);
    }

    /// What the lines that are drawn mean, under the picture.
    fn key_of_lines(&mut self) {
        let drawn = self.kinds();
        self.key(meanings(&drawn).map(|(kind, text)| (Sample::Line(kind), text)));
    }

    /// What the lines of overlays mean, of those that are drawn on any of some, by itself.
    #[must_use]
    pub(super) fn key_of_overlays(drawn: &BTreeSet<LineKind>) -> Picture {
        /// How wide it is, mm: a phone.
        const WIDE: f64 = 86.0;
        let view = Rect::new(0.0, 0.0, WIDE, 0.0);
        let title = "What the lines of the steps mean".to_owned();
        let mut key = Picture { drawing: Drawing::default(), view, title, magnified: 1.0 };
        key.overlay_meanings(drawn);
        key
    }

    /// What the lines of an overlay mean, under it.
    fn key_of_overlay(&mut self) {
        self.overlay_meanings(&self.kinds());
    }

    fn overlay_meanings(&mut self, drawn: &BTreeSet<LineKind>) {
        let lines =
            [(LineKind::Before, "before"), (LineKind::Seamline, "now"), (LineKind::NewSeam, "new seam")];
        let lines = lines.into_iter().filter(|(kind, _)| drawn.contains(kind));
        let lines = lines.map(|(kind, text)| (Sample::Line(kind), text));
        let hatched = [(overlay::TAKEN, "no longer here"), (overlay::ADDED, "added here")];
        let hatched = hatched.into_iter().filter(|_| drawn.contains(&LineKind::Hatch));
        self.key(lines.chain(hatched.map(|(lean, text)| (Sample::Hatched(lean), text))));
    }

    /// The kinds of lines that are drawn.
    pub(super) fn kinds(&self) -> BTreeSet<LineKind> {
        self.drawing.strokes.iter().map(|stroke| stroke.kind).collect()
    }

    /// Samples with what they mean, under the picture, in as many rows as its width asks for.
    fn key(&mut self, entries: impl Iterator<Item = (Sample, &'static str)>) {
        let (size, long) = (KEY_TEXT * self.magnified, SAMPLE * self.magnified);
        let start = Point::new(self.view.x0 + size, self.view.y1 + size);
        let mut at = start;
        for (sample, text) in entries {
            let wide = match sample {
                Sample::Line(_) => long,
                Sample::Hatched(_) => size * 2.8,
            };
            let width = Label::level(text, Point::ORIGIN, size, Layer::Pages).width();
            if at.x > start.x && at.x + wide + width + 2.0 * size > self.view.x1 {
                at = Point::new(start.x, at.y + 1.8 * size);
            }
            let end = at + Vec2::new(wide, 0.0);
            match sample {
                Sample::Line(kind) => draw_sample(&mut self.drawing, kind, (at, end), self.magnified),
                Sample::Hatched(lean) => {
                    for i in 0..4 {
                        let middle = at + Vec2::new((f64::from(i) + 0.5) * size * 0.7, 0.0);
                        let reach = lean * (size * 0.5);
                        self.drawing.line(LineKind::Hatch, middle - reach, middle + reach);
                    }
                }
            }
            at = self.key_text(text, end, size);
            self.view.x1 = self.view.x1.max(end.x + width + 2.0 * size);
        }
        self.view.y1 = at.y + 2.0 * size;
    }

    fn key_text(&mut self, text: &str, after: Point, size: f64) -> Point {
        let base = after + Vec2::new(size * 0.6, size * 0.35);
        let label = Label::from_left(text, base, size, Layer::Pages);
        let next = after + Vec2::new(label.width() + size * 2.6, 0.0);
        self.drawing.labels.push(label);
        next
    }
}

/// What stands for its kind in a key.
enum Sample {
    Line(LineKind),
    /// Lines that lean this way.
    Hatched(Vec2),
}

/// Each piece by itself.
fn alone(
    pattern: &Pattern,
    asked: &WantedPart,
    style: &PieceStyle,
) -> Result<Vec<PictureGroup>, PictureError> {
    let order = SewingOrder::of(pattern);
    let wanted = pattern.pieces().filter(|piece| asked.wants(piece.name()));
    wanted
        .map(|piece| {
            let drawn = PieceDrawing::of(&order, piece, style)?;
            Ok(PictureGroup {
                bounds: drawn.bounds,
                drawing: drawn.drawing,
                pieces: vec![(piece.name().clone(), Affine::IDENTITY)],
            })
        })
        .collect()
}

/// An SVG picture as PNG, its longer side so many pixels.
///
/// # Errors
///
/// More pixels than can be held.
pub fn png(svg: &str, longer_side: Pixels) -> Result<Vec<u8>, PictureError> {
    raster::png(svg, longer_side).map_err(PictureError::Pixels)
}
