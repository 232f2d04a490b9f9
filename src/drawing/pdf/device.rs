//! What the interpreter draws, gathered into the list of things of a page.

use std::sync::Arc;

use crate::curve::WindingRule;
use hayro_interpret::font::{Glyph, GlyphRun};
use hayro_interpret::{
    BlendMode, ClipPath, Device, DrawMode, DrawProps, FillRule, Image, ImageDrawProps, Paint as PdfPaint,
    SoftMask, StrokeProps,
};
use hayro_syntax::object::{Dict, String as PdfString};
use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};

use super::hidden::{HiddenLines, Left};
use super::limits::THINGS;
use super::plain::{LAYER_NAME, LAYER_SHOWN};
use super::writing::{LineGatherer, PlacedGlyph};
use crate::drawing::DrawingError;
use crate::drawing::common::mean_scale;
use crate::drawing::drawn::{
    ClipId, ClipShape, Clips, Drawn, DrawnThing, HiddenShape, Ink, LayerId, Layers, Marked, Paint,
    PlaceInFile, Shown, dashes_in_pairs,
};
use crate::drawing::limits::SEGMENTS;
use crate::drawing::note::Note;
use crate::tolerance::LARGEST_COORDINATE;

/// How much may still be drawn on all pages together.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    pub things: usize,
    pub segments: usize,
}

impl Room {
    /// As much as a file may have.
    pub fn whole() -> Room {
        Room { things: THINGS, segments: SEGMENTS }
    }
}

/// The things of one page while they are drawn.
pub(super) struct PageDevice<'l> {
    number: usize,
    /// All of the page, with what is cropped away.
    whole: Rect,
    layers: &'l mut Layers,
    /// What pages hide, this one and those before.
    hidden: &'l mut HiddenLines,
    pub room: Room,
    pub things: Vec<DrawnThing>,
    pub clips: Clips,
    /// The clips that were entered, each as the innermost.
    entered: Vec<Option<ClipId>>,
    /// What each of these leaves of the page.
    left: Vec<Left>,
    /// The layers that were entered, each as the innermost.
    marked: Vec<Option<LayerId>>,
    /// For each group that was entered, whether nothing of it is seen.
    groups: Vec<GroupSeen>,
    lines: LineGatherer,
    masked: bool,
    refused: Option<DrawingError>,
}

/// Whether a group is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum GroupSeen {
    Yes,
    No,
}

impl<'l> PageDevice<'l> {
    /// An empty page.
    pub fn new(
        (number, whole): (usize, Rect),
        (layers, hidden): (&'l mut Layers, &'l mut HiddenLines),
        room: Room,
    ) -> PageDevice<'l> {
        PageDevice {
            number,
            whole,
            layers,
            hidden,
            room,
            things: Vec::new(),
            clips: Clips::default(),
            entered: Vec::new(),
            left: Vec::new(),
            marked: Vec::new(),
            groups: Vec::new(),
            lines: LineGatherer::default(),
            masked: false,
            refused: None,
        }
    }

    /// Hides all that is drawn from now on and lies outside of a path.
    pub fn crop(&mut self, path: BezPath) {
        self.clip(path, WindingRule::NonZero);
    }

    /// The things, once all is drawn; what was tolerated.
    ///
    /// # Errors
    ///
    /// There is too much on the page, or something that is too far away.
    pub fn finished(&mut self) -> Result<Vec<Note>, DrawingError> {
        self.flush_text();
        match self.refused.take() {
            Some(error) => Err(error),
            None => Ok(self.masked.then_some(Note::MaskedOnPage { page: self.number }).into_iter().collect()),
        }
    }

    fn clip_now(&self) -> Option<ClipId> {
        self.entered.last().copied().flatten()
    }

    fn layer_now(&self) -> Option<LayerId> {
        self.marked.last().copied().flatten()
    }

    fn is_open(&self) -> bool {
        self.refused.is_none() && !self.groups.contains(&GroupSeen::No)
    }

    /// What the clips that were entered leave of the page.
    fn left_now(&self) -> Left {
        self.left.last().copied().unwrap_or_default()
    }

    fn clip(&mut self, path: BezPath, winding: WindingRule) {
        let around = self.clip_now();
        self.left.push(self.left_now().by(&path, self.whole));
        let shapes = vec![ClipShape { path, winding }];
        if !self.spend(shapes[0].path.elements().len()) {
            return self.entered.push(around);
        }
        let clip = match self.clips.last().filter(|(_, last)| last.around == around && last.shapes == shapes)
        {
            Some((same, _)) => same,
            None => self.clips.add(shapes, around),
        };
        self.entered.push(Some(clip));
    }

    /// Takes room for segments; nothing more is drawn once there is none.
    fn spend(&mut self, segments: usize) -> bool {
        let left = self.room.segments.checked_sub(segments);
        match left {
            Some(left) => self.room.segments = left,
            None => self.refuse(format!("over {SEGMENTS} straight and curved parts of lines")),
        }
        left.is_some()
    }

    fn refuse(&mut self, what: String) {
        self.refused.get_or_insert(DrawingError::PdfTooMuch { what });
    }

    fn put(&mut self, what: Drawn) {
        let Some(left) = self.room.things.checked_sub(1) else {
            return self.refuse(format!("over {THINGS} lines, surfaces and texts"));
        };
        self.room.things = left;
        let (layer, clip) = (self.layer_now(), self.clip_now());
        self.things.push(DrawnThing { what, layer, clip, id: None, origin: PlaceInFile::Page(self.number) });
    }

    fn shape(&mut self, path: BezPath, paint: Paint) {
        if paint.fill == Ink::None && paint.stroke == Ink::None {
            return;
        }
        let bounds = path.control_box();
        let mut points = path.elements().iter().filter_map(kurbo::PathEl::end_point);
        let is_near = |at: Point| at.x.abs().max(at.y.abs()) <= LARGEST_COORDINATE;
        let all_near =
            bounds.is_finite() && is_near(bounds.origin()) && is_near(Point::new(bounds.x1, bounds.y1));
        if let Some(far) = (!all_near).then(|| points.find(|at| !is_near(*at))).flatten() {
            let (page, limit) = (self.number, LARGEST_COORDINATE);
            self.refused.get_or_insert(DrawingError::TooFarOnPage { page, x: far.x, y: far.y, limit });
            return;
        }
        if self.left_now().hides(bounds) {
            return self.hide(path, paint);
        }
        if let Some(Drawn::Shape { path: filled, paint: surface }) = self.last_here()
            && is_around_surface(&paint, surface)
            && *filled == path
        {
            *surface = around_surface(paint, surface);
            return;
        }
        if self.spend(path.elements().len()) {
            self.put(Drawn::Shape { path, paint });
        }
    }

    /// A shape of which the page shows nothing.
    fn hide(&mut self, path: BezPath, paint: Paint) {
        let (path, by) = match self.hidden.known(&path) {
            Some(known) => known,
            None if self.spend(path.elements().len()) => (self.hidden.keep(path), Vec2::ZERO),
            None => return,
        };
        let is_around = |surface: &HiddenShape| Arc::ptr_eq(&surface.path, &path) && surface.by == by;
        match self.last_here() {
            Some(Drawn::Hidden(last)) if is_around(last) && is_around_surface(&paint, &last.paint) => {
                last.paint = around_surface(paint, &last.paint);
            }
            _ => self.put(Drawn::Hidden(HiddenShape { path, by, paint })),
        }
    }

    /// What was drawn last, where it is of the layer and within the clip of what is drawn now.
    fn last_here(&mut self) -> Option<&mut Drawn> {
        let here = (self.layer_now(), self.clip_now());
        self.things.last_mut().filter(|last| (last.layer, last.clip) == here).map(|last| &mut last.what)
    }

    fn flush_text(&mut self) {
        if let Some(line) = self.lines.take()
            && self.refused.is_none()
        {
            let left = self.room.things.checked_sub(1);
            self.room.things = left.unwrap_or(0);
            if left.is_none() {
                return self.refuse(format!("over {THINGS} lines, surfaces and texts"));
            }
            let origin = PlaceInFile::Page(self.number);
            self.things.push(DrawnThing {
                what: line.what,
                layer: line.layer,
                clip: line.clip,
                id: None,
                origin,
            });
        }
    }
}

/// Whether one paint is that of a line alone and the other that of a surface alone: of one shape, where both are.
fn is_around_surface(line: &Paint, surface: &Paint) -> bool {
    line.fill == Ink::None && surface.stroke == Ink::None
}

/// The paint of a surface with a line around it.
fn around_surface(line: Paint, surface: &Paint) -> Paint {
    Paint { fill: surface.fill.clone(), ..line }
}

/// How a line is drawn; a transform that stretches counts by its mean.
fn stroked(stroke: &StrokeProps, ink: Ink, transform: Affine) -> Paint {
    /// What the interpreter gives for a dash of no length, a dot.
    const DOT: f32 = 0.01;
    let scale = mean_scale(transform);
    let length = |dash: f32| if dash == DOT { 0.0 } else { f64::from(dash).max(0.0) * scale };
    let dashes: Vec<f64> = stroke.dash_array.iter().map(|dash| length(*dash)).collect();
    Paint {
        fill: Ink::None,
        stroke: ink,
        stroke_width: f64::from(stroke.line_width) * scale,
        dashes: dashes_in_pairs(&dashes),
        start: Marked::No,
        end: Marked::No,
    }
}

fn filled(ink: Ink) -> Paint {
    Paint {
        fill: ink,
        stroke: Ink::None,
        stroke_width: 0.0,
        dashes: Vec::new(),
        start: Marked::No,
        end: Marked::No,
    }
}

fn ink(paint: &PdfPaint<'_>) -> Ink {
    match paint {
        PdfPaint::Color(colour) => match colour.to_rgba().to_rgba8() {
            [.., 0] => Ink::None,
            [r, g, b, _] => Ink::Colour([r, g, b]),
        },
        PdfPaint::Pattern(_) => Ink::Other("pattern".to_owned()),
    }
}

fn winding(rule: FillRule) -> WindingRule {
    match rule {
        FillRule::NonZero => WindingRule::NonZero,
        FillRule::EvenOdd => WindingRule::EvenOdd,
    }
}

impl<'a> Device<'a> for PageDevice<'_> {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'a>, mode: &DrawMode) {
        if !self.is_open() {
            return;
        }
        self.masked |= props.soft_mask.is_some();
        let ink = ink(&props.paint);
        let paint = match mode {
            DrawMode::Fill(_) => filled(ink),
            DrawMode::Stroke(stroke) => stroked(stroke, ink, props.transform),
            DrawMode::FillAndStroke(_, stroke) => {
                Paint { fill: ink.clone(), ..stroked(stroke, ink, props.transform) }
            }
            DrawMode::Invisible => return,
        };
        self.shape(props.transform * path, paint);
    }

    fn push_clip_path(&mut self, clip: &ClipPath) {
        self.clip(clip.path.clone(), winding(clip.fill));
    }

    fn pop_clip(&mut self) {
        self.entered.pop();
        self.left.pop();
    }

    fn push_transparency_group(&mut self, opacity: f32, mask: Option<SoftMask<'a>>, _: BlendMode) {
        self.masked |= mask.is_some();
        self.groups.push(if opacity > 0.0 { GroupSeen::Yes } else { GroupSeen::No });
    }

    fn pop_transparency_group(&mut self) {
        self.groups.pop();
    }

    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, 'a>, props: DrawProps<'a>, mode: &DrawMode) {
        let is_seen = !matches!(mode, DrawMode::Invisible) && ink(&props.paint) != Ink::None;
        if !self.is_open() || !is_seen {
            return;
        }
        for glyph in run.glyphs() {
            let to_mm = props.transform * glyph.transform();
            let (outline, advance) = match &**glyph {
                Glyph::Outline(outline) => (Some(outline.outline()), outline.advance_width()),
                Glyph::Type3(drawn) => (None, drawn.advance_width()),
            };
            let placed = PlacedGlyph {
                text: glyph.as_unicode(),
                to_mm,
                advance: advance.map(f64::from),
                bounds: outline.map(|outline| (to_mm * outline).bounding_box()),
                layer: self.layer_now(),
                clip: self.clip_now(),
            };
            if !self.lines.goes_on(&placed) {
                self.flush_text();
            }
            self.lines.put(placed);
        }
    }

    fn draw_image(&mut self, _: Image<'a, '_>, _: ImageDrawProps<'a>) {
        if self.is_open() {
            self.put(Drawn::Picture);
        }
    }

    fn begin_marked_content(&mut self, _: &[u8], properties: Option<&Dict<'_>>) {
        let around = self.layer_now();
        let name = properties.and_then(|properties| properties.get::<PdfString<'_>>(LAYER_NAME));
        let Some(name) = name else { return self.marked.push(around) };
        let name = String::from_utf8_lossy(name.as_bytes()).into_owned();
        let is_on = properties.and_then(|properties| properties.get::<bool>(LAYER_SHOWN)).unwrap_or(true);
        let shown = if is_on { Shown::Yes } else { Shown::No };
        let is_same = |id: LayerId| self.layers.get(id).name == name && self.layers.get(id).shown == shown;
        let layer = match around.filter(|id| is_same(*id)) {
            Some(same) => same,
            None => self.layers.id(&name, around, shown),
        };
        self.marked.push(Some(layer));
    }

    fn end_marked_content(&mut self) {
        self.marked.pop();
    }
}
