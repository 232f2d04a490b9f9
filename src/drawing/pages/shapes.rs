//! Which shapes of several pages are the same, and which stand at the same place on many: the pages' furniture.

use std::collections::{HashMap, HashSet};
use std::hash::BuildHasher;
use std::sync::Arc;

use kurbo::{BezPath, PathEl, Point, Rect, Shape, Vec2};
use rustc_hash::FxBuildHasher;

use crate::drawing::drawn::{Drawn, DrawnPage, HiddenShape, Paint};
use crate::tolerance::{SAME_LINE_WIDTH, SAME_PLACE_OF_PAGES, SAME_SHAPE};

/// Which of the distinct shapes of all pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct ShapeId(usize);

/// Where a shape is drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct ShapePlace {
    /// Which of the pages.
    pub page: usize,
    /// Which thing of it.
    pub thing: usize,
    /// Where its first point lies on it.
    pub at: Point,
}

/// The distinct shapes of all pages.
#[derive(Debug)]
pub(super) struct Shapes {
    /// Where each is drawn.
    places: Vec<Vec<ShapePlace>>,
    /// What each thing of each page is, where it is a shape.
    of: HashMap<(usize, usize), DrawnShape>,
    /// As many pages show the same at the same place where it is furniture.
    least: usize,
    /// Those that are furniture anywhere.
    furniture: HashSet<ShapeId>,
    /// Those that are marks by which pages are joined.
    marks: HashSet<ShapeId>,
}

/// A shape as it is drawn.
#[derive(Clone, Copy, Debug)]
struct DrawnShape {
    id: ShapeId,
    at: Point,
    /// What it covers of its page.
    bounds: Rect,
    /// How many pages show the same at the same place.
    pages: usize,
}

/// As many pages show the same at the same place where it is furniture, whatever it is.
const MANY: usize = 3;

/// As many pages show the same at the same place where it may be furniture: three, or both where there are but two.
pub(super) fn least_pages(pages: usize) -> usize {
    pages.clamp(2, MANY)
}

impl Shapes {
    /// Those of pages.
    pub fn of(pages: &[&DrawnPage]) -> Shapes {
        let mut sorted = Sorted::default();
        let least = least_pages(pages.len());
        let (furniture, marks) = (HashSet::new(), HashSet::new());
        let mut shapes = Shapes { places: Vec::new(), of: HashMap::new(), least, furniture, marks };
        for (page, drawn) in pages.iter().enumerate() {
            for (thing, what) in drawn.things.iter().enumerate() {
                let of_thing = match &what.what {
                    Drawn::Shape { path, paint } => sorted.shown(path, paint),
                    Drawn::Hidden(hidden) => sorted.hidden(hidden),
                    Drawn::Text(_) | Drawn::Writing(_) | Drawn::Picture => None,
                };
                let Some((id, at, bounds)) = of_thing else { continue };
                if shapes.places.len() <= id.0 {
                    shapes.places.push(Vec::new());
                }
                shapes.places[id.0].push(ShapePlace { page, thing, at });
                shapes.of.insert((page, thing), DrawnShape { id, at, bounds, pages: 1 });
            }
        }
        for places in &shapes.places {
            for (place, pages) in places.iter().zip(pages_at(places)) {
                if let Some(drawing) = shapes.of.get_mut(&(place.page, place.thing)) {
                    drawing.pages = pages;
                    if pages >= least {
                        shapes.furniture.insert(drawing.id);
                    }
                }
            }
        }
        shapes
    }

    /// What a thing of a page is, where it is a shape.
    pub fn id(&self, page: usize, thing: usize) -> Option<ShapeId> {
        self.of.get(&(page, thing)).map(|drawing| drawing.id)
    }

    /// Where the first point of a shape lies on its page.
    pub fn place(&self, page: usize, thing: usize) -> Option<Point> {
        self.of.get(&(page, thing)).map(|drawing| drawing.at)
    }

    /// What a shape covers of its page; nothing where it has no points.
    pub fn bounds(&self, page: usize, thing: usize) -> Rect {
        self.of.get(&(page, thing)).map_or(Rect::ZERO, |drawing| drawing.bounds)
    }

    /// Whether a shape is drawn on several pages.
    pub fn is_on_several(&self, id: ShapeId) -> bool {
        let places = &self.places[id.0];
        places.first().map(|place| place.page) != places.last().map(|place| place.page)
    }

    /// On how many pages the same stands at the same place as a thing of a page.
    pub fn pages_with(&self, page: usize, thing: usize) -> usize {
        self.of.get(&(page, thing)).map_or(0, |drawing| drawing.pages)
    }

    /// Whether the same is furniture of some page, wherever a thing itself stands.
    pub fn is_furniture_elsewhere(&self, page: usize, thing: usize) -> bool {
        self.of.get(&(page, thing)).is_some_and(|drawing| self.furniture.contains(&drawing.id))
    }

    /// Says which shapes are marks by which pages are joined.
    pub fn mark(&mut self, marks: &HashSet<ShapeId>) {
        self.marks.extend(marks);
    }

    /// Whether a thing is like a mark by which pages are joined.
    pub fn is_like_mark(&self, page: usize, thing: usize) -> bool {
        self.id(page, thing).is_some_and(|id| self.marks.contains(&id))
    }

    /// Whether there are so many pages that what stands at the same place of them is furniture, whatever it is.
    pub fn are_many_pages(&self) -> bool {
        self.least == MANY
    }

    /// Whether a thing stands at the same place of many pages, or of both.
    pub fn is_furniture(&self, page: usize, thing: usize) -> bool {
        self.pages_with(page, thing) >= self.least
    }

    /// All of them but the furniture, each with where it is drawn.
    pub fn drawn(&self) -> impl Iterator<Item = Vec<ShapePlace>> {
        let own = |places: &Vec<ShapePlace>| {
            places.iter().filter(|place| !self.is_furniture(place.page, place.thing)).copied().collect()
        };
        self.places.iter().map(own)
    }
}

/// The first point of a line.
pub(super) fn first_point(path: &BezPath) -> Option<Point> {
    path.elements().first().and_then(PathEl::end_point)
}

/// On how many pages the same stands at each of some places.
fn pages_at(places: &[ShapePlace]) -> Vec<usize> {
    let cell = |at: Point| {
        ((at.x / SAME_PLACE_OF_PAGES).floor() as i64, (at.y / SAME_PLACE_OF_PAGES).floor() as i64)
    };
    let mut cells: HashMap<(i64, i64), Vec<&ShapePlace>> = HashMap::new();
    for place in places {
        cells.entry(cell(place.at)).or_default().push(place);
    }
    let count = |place: &ShapePlace| {
        let (x, y) = cell(place.at);
        let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)));
        let near = around.filter_map(|cell| cells.get(&cell)).flatten();
        let same = near.filter(|other| other.at.distance(place.at) <= SAME_PLACE_OF_PAGES);
        same.map(|other| other.page).collect::<HashSet<_>>().len()
    };
    places.iter().map(count).collect()
}

/// Shapes by what is quickly compared of them.
#[derive(Default)]
struct Sorted {
    /// By the sorts of their parts, as a number, and their size.
    known: HashMap<(u64, i64), Vec<ShapeId>>,
    all: Vec<(Vec<u8>, Vec<Vec2>, Paint)>,
    /// What hidden lines are that several pages share, by where each is kept.
    shared: HashMap<*const BezPath, Vec<(ShapeId, Rect)>>,
}

impl Sorted {
    /// What a shape is, where its first point lies, and what it covers; none of one without points.
    fn shown(&mut self, path: &BezPath, paint: &Paint) -> Option<(ShapeId, Point, Rect)> {
        // One without points has no place among the shapes either: an empty path is painted, and nothing is drawn.
        let at = first_point(path)?;
        Some((self.id(path, paint), at, path.bounding_box()))
    }

    /// The same of one that its page hides.
    fn hidden(&mut self, hidden: &HiddenShape) -> Option<(ShapeId, Point, Rect)> {
        let at = first_point(&hidden.path)? + hidden.by;
        let key = Arc::as_ptr(&hidden.path);
        let known = self.shared.get(&key).into_iter().flatten();
        let same = known.copied().find(|(id, _)| is_alike(&hidden.paint, &self.all[id.0].2));
        let (id, bounds) = match same {
            Some(same) => same,
            None => {
                let new = (self.id(&hidden.path, &hidden.paint), hidden.path.bounding_box());
                self.shared.entry(key).or_default().push(new);
                new
            }
        };
        Some((id, at, bounds + hidden.by))
    }

    fn id(&mut self, path: &BezPath, paint: &Paint) -> ShapeId {
        let (kinds, points) = described(path);
        let sort = FxBuildHasher.hash_one(&kinds);
        let size = path.control_box();
        let class = ((size.width() + size.height()) / (8.0 * SAME_SHAPE)).floor() as i64;
        for near in [class - 1, class, class + 1] {
            let Some(ids) = self.known.get(&(sort, near)) else { continue };
            let same = ids.iter().find(|id| {
                let (other_kinds, others, other) = &self.all[id.0];
                is_alike(paint, other)
                    && kinds == *other_kinds
                    && points.iter().zip(others).all(|(a, b)| (*a - *b).hypot() <= SAME_SHAPE)
            });
            if let Some(same) = same {
                return *same;
            }
        }
        let id = ShapeId(self.all.len());
        self.all.push((kinds, points, paint.clone()));
        self.known.entry((sort, class)).or_default().push(id);
        id
    }
}

/// The sorts of a line's parts, and its points as they lie from the first.
pub(super) fn described(path: &BezPath) -> (Vec<u8>, Vec<Vec2>) {
    let first = first_point(path).unwrap_or(Point::ORIGIN);
    let mut kinds = Vec::new();
    let mut points = Vec::new();
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => (kinds.push(b'M'), points.push(p - first)),
            PathEl::LineTo(p) => (kinds.push(b'L'), points.push(p - first)),
            PathEl::QuadTo(a, p) => (kinds.push(b'Q'), points.extend([a - first, p - first])),
            PathEl::CurveTo(a, b, p) => (kinds.push(b'C'), points.extend([a - first, b - first, p - first])),
            PathEl::ClosePath => (kinds.push(b'Z'), ()),
        };
    }
    (kinds, points)
}

fn is_alike(one: &Paint, other: &Paint) -> bool {
    one.fill == other.fill
        && one.stroke == other.stroke
        && (one.stroke_width - other.stroke_width).abs() <= SAME_LINE_WIDTH
}
