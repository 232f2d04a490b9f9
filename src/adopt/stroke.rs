//! From what is drawn to what is seen of it, sorted by kind: strokes, texts, solid marks, writing in outlines.

use kurbo::{Affine, BezPath, PathEl, PathSeg, Point, Rect, Vec2};

use crate::adopt::AdoptError;
use crate::adopt::beneath::Beneath;
use crate::adopt::chain::{FoundStroke, Solidity};
use crate::adopt::clipped::{ClippedAs, Regions};
use crate::adopt::look::{LineStyle, Styles, Surface};
use crate::curve::Curve;
use crate::drawing::{Drawn, DrawnPage, DrawnText, DrawnThing, Layers, Marked, Note, Paint};
use crate::tolerance::{LARGEST_WRITING, WELD};

/// A text, and where it begins.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundText {
    /// Its words.
    pub text: String,
    /// Where it stands, mm.
    pub at: Point,
    /// Which way it runs: a unit vector.
    pub along: Vec2,
    /// The size of its letters, mm.
    pub size: f64,
}

/// A small filled shape: the head of an arrow, a filled triangle on an edge, a dot.
#[derive(Clone, Debug)]
pub(super) struct Solid {
    /// Its stroke.
    pub stroke: usize,
    pub bounds: Rect,
    pub round: Round,
}

/// Whether a shape is a circle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Round {
    /// It is.
    Yes,
    /// It has corners.
    No,
}

/// All that stands in a drawing.
#[derive(Clone, Debug, Default)]
pub(super) struct DrawnThings {
    pub strokes: Vec<FoundStroke>,
    pub texts: Vec<FoundText>,
    pub solids: Vec<Solid>,
    /// Boxes of writing whose characters are lost.
    pub writing: Vec<Rect>,
    /// How many pictures made of pixels there are.
    pub pictures: usize,
    pub styles: Styles,
    /// Ends of lines at which a marker stands.
    pub marked: Vec<Point>,
    /// What clip paths hide of it.
    pub notes: Vec<Note>,
    /// All of it as it is seen.
    pub beneath: Beneath,
    segments: usize,
}

/// How many lines a drawing may have. A garment of twenty pieces in ten sizes has two thousand.
const MOST_STROKES: usize = 40_000;

/// How many straight lines and curves they may have together.
const MOST_SEGMENTS: usize = 300_000;

/// How large letters are at most that are drawn with strokes, mm: a size beside its line, or the name of a piece.
const LARGEST_LETTER: f64 = 25.0;

/// Straight sides that a solid mark may have; more is writing.
const MOST_SIDES: usize = 8;

impl DrawnThings {
    /// Gathers what is seen on a page. What lies in a layer that is switched off is not, unless it is of the layer that is
    /// chosen.
    ///
    /// # Errors
    ///
    /// There is too much.
    pub fn of(
        page: &DrawnPage,
        layers: &Layers,
        is_chosen: impl Fn(&str) -> bool,
    ) -> Result<DrawnThings, AdoptError> {
        let mut drawn = DrawnThings::default();
        let mut regions = Regions::of(page);
        for thing in &page.things {
            let layer = layers.path(thing.layer);
            let is_seen = layers.shows(thing.layer) || is_chosen(&layer);
            if is_seen {
                drawn.gather(thing, &layer, &mut regions)?;
            }
        }
        drawn.notes = regions.notes();
        Ok(drawn)
    }

    fn gather(
        &mut self,
        thing: &DrawnThing,
        layer: &str,
        regions: &mut Regions<'_>,
    ) -> Result<(), AdoptError> {
        match &thing.what {
            Drawn::Shape { path, paint } => self.shape(thing, (path, paint), layer, regions)?,
            Drawn::Hidden(hidden) => {
                self.shape(thing, (&hidden.placed(), &hidden.paint), layer, regions)?;
            }
            Drawn::Text(text) => {
                let DrawnText { words, at, along, size } = text.clone();
                self.texts.push(FoundText { text: words, at, along, size });
                self.beneath.add_text(text.clone());
            }
            Drawn::Writing(bounds) => self.writing.push(*bounds),
            Drawn::Picture => self.pictures += 1,
        }
        Ok(())
    }

    fn shape(
        &mut self,
        thing: &DrawnThing,
        (path, paint): (&BezPath, &Paint),
        layer: &str,
        regions: &mut Regions<'_>,
    ) -> Result<(), AdoptError> {
        let Some(style) = LineStyle::of(paint) else { return Ok(()) };
        let surface = style.surface;
        let id = self.styles.id(style);
        if surface == Surface::Line {
            self.marked.extend(marked_ends(paint, path));
        }
        let shows = if paint.fills() { ClippedAs::AsSurface } else { ClippedAs::AsLine };
        let is_letter = surface == Surface::Filled && holds_writing(path);
        if is_letter {
            self.beneath.add_shape(path.clone(), id);
        }
        for curve in runs(path).flat_map(|curve| regions.seen(curve, thing.clip, shows)) {
            self.segments += curve.segments().len();
            if self.strokes.len() >= MOST_STROKES || self.segments > MOST_SEGMENTS {
                return Err(AdoptError::TooMuch {
                    strokes: MOST_STROKES,
                    segments: MOST_SEGMENTS,
                    at: thing.origin,
                });
            }
            if !is_letter {
                self.beneath.add_shape(curve.to_path(), id);
            }
            let bounds = curve.bounds();
            let small = bounds.width().max(bounds.height()) <= LARGEST_WRITING;
            let mut solid = Solidity::Line;
            if surface == Surface::Filled && small {
                let Some(round) = solid_shape(&curve, bounds).filter(|_| !is_letter) else {
                    self.writing.push(bounds);
                    continue;
                };
                self.solids.push(Solid { stroke: self.strokes.len(), bounds, round });
                solid = Solidity::Solid;
            }
            let (layer, own) = (layer.to_owned(), thing.id.clone());
            self.strokes.push(FoundStroke { curve, style: id, surface, solid, layer, id: own });
        }
        Ok(())
    }

    /// Whether there are small bent lines, as letters are that a converter drew with strokes.
    pub fn may_write_in_lines(&self) -> bool {
        let is_small = |curve: &Curve| {
            let bounds = curve.bounds();
            bounds.width().max(bounds.height()) <= LARGEST_LETTER
        };
        let lines = self.strokes.iter().filter(|stroke| stroke.surface == Surface::Line);
        lines.into_iter().any(|stroke| is_small(&stroke.curve) && !stroke.curve.is_straight(WELD))
    }

    /// All as much larger, across and down.
    pub fn scale(&mut self, across: f64, down: f64) -> Result<(), AdoptError> {
        let map = Affine::scale_non_uniform(across, down);
        for stroke in &mut self.strokes {
            stroke.curve = stroke.curve.transformed(map).map_err(|_| AdoptError::TooLarge)?;
        }
        for solid in &mut self.solids {
            solid.bounds = self.strokes[solid.stroke].curve.bounds();
        }
        for text in &mut self.texts {
            text.at = map * text.at;
            text.size *= (across * down).abs().sqrt();
        }
        self.marked.iter_mut().for_each(|at| *at = map * *at);
        self.writing.iter_mut().for_each(|bounds| *bounds = map.transform_rect_bbox(*bounds));
        self.styles.scale((across * down).abs().sqrt());
        self.beneath.scale(map);
        Ok(())
    }
}

/// What a small filled shape is: a circle, a mark with a few corners, or nothing but writing.
fn solid_shape(curve: &Curve, bounds: Rect) -> Option<Round> {
    /// How far from that of a circle the area of a dot may be.
    const ROUND: f64 = 0.02;
    let straight = curve.segments().iter().all(|segment| matches!(segment, PathSeg::Line(_)));
    if curve.segments().len() > MOST_SIDES {
        return None;
    }
    let circle = std::f64::consts::FRAC_PI_4 * bounds.area();
    let is_circle = (curve.swept_area().abs() / circle - 1.0).abs() <= ROUND
        && (bounds.width() / bounds.height() - 1.0).abs() <= ROUND;
    match (straight, is_circle) {
        (true, _) => Some(Round::No),
        (false, true) => Some(Round::Yes),
        (false, false) => None,
    }
}

/// The runs of a path, each closed one ending bit for bit where it begins. What has no length is left out.
fn runs(path: &BezPath) -> impl Iterator<Item = Curve> {
    path.subpaths().filter_map(|run: &[PathEl]| {
        let curve = Curve::from_path(&BezPath::from_vec(run.to_vec())).ok()?;
        let nearly = curve.start() != curve.end() && curve.start().distance(curve.end()) <= WELD;
        if nearly && curve.length() > 4.0 * WELD {
            return curve.with_ends(curve.start(), curve.start()).ok();
        }
        Some(curve)
    })
}

/// Whether a filled path has a run that is no mark: then it is a letter or a word, and so are its other runs, the dot of
/// an i and the squares of a pixel font among them.
fn holds_writing(path: &BezPath) -> bool {
    runs(path).any(|run| {
        let bounds = run.bounds();
        bounds.width().max(bounds.height()) <= LARGEST_WRITING && solid_shape(&run, bounds).is_none()
    })
}

/// The ends of a path at which markers stand.
fn marked_ends(paint: &Paint, path: &BezPath) -> impl Iterator<Item = Point> {
    let ends: Vec<Point> = path.elements().iter().filter_map(PathEl::end_point).collect();
    let start = ends.first().copied().filter(|_| paint.start == Marked::Yes);
    start.into_iter().chain(ends.last().copied().filter(|_| paint.end == Marked::Yes))
}
