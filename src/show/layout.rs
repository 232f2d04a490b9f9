//! A cutting layout as `lay` draws it, read again to be shown in a report and on paper.

use std::ops::Range;

use kurbo::{BezPath, Rect};

use crate::cloth::picture::{GOES_ON, SEWN};
use crate::pattern::PieceName;
use crate::show::lifted::{LiftedTexts, SVG, lifted, together};
use crate::tolerance::LARGEST_COORDINATE;
use crate::units::Length;

/// A cutting layout as `lay` draws it: each row of a cloth is a group of the class `band`, with its name and the left, upper,
/// right and lower end of its part of the drawing, the first with how much of the cloth is used; each copy of a piece, or what
/// lies of it in a row, a group of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    pub(super) name: String,
    pub(super) titles: Vec<String>,
    /// How much of each cloth is used, where the drawing says so.
    pub(super) used: Vec<Used>,
    /// What lies on them.
    pub(super) laid: Vec<DrawnCopy>,
    /// What was measured of the stripes along seams.
    pub(super) matches: Vec<String>,
    /// How it is drawn, if it says so.
    pub(super) view: Option<LayoutView>,
    /// The garment as it is sewn, where the drawing holds it.
    pub(super) sewn: Option<Sewn>,
    /// Its texts, which are not in its drawing any more.
    pub(super) texts: Vec<LiftedTexts>,
    /// Its drawing, without them and without the garment.
    pub(super) svg: String,
}

/// A copy of a piece on a layout.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DrawnCopy {
    /// The name of its piece, with what tells it from others behind.
    pub name: String,
    /// Its cutting line, mm of the drawing.
    pub outline: BezPath,
}

/// How much is used of a length of cloth.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Used {
    /// What it is called, where there is more than one length of it.
    pub ground: String,
    pub used: Length,
    /// How long it is.
    pub whole: Length,
}

impl Used {
    fn read(band: &roxmltree::Node<'_, '_>) -> Option<Used> {
        let length = |name| band.attribute(name)?.parse().ok();
        Some(Used {
            ground: band.attribute("data-ground")?.to_owned(),
            used: length("data-used")?,
            whole: length("data-length")?,
        })
    }
}

/// A layout as it is drawn, mm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LayoutView {
    pub length: f64,
    pub height: f64,
    /// The rows of its cloths, from above.
    pub bands: Vec<TitledCloth>,
    /// What its lines mean, below them.
    pub key: Option<TitledCloth>,
}

/// One cloth of a layout, with its title above it, mm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct TitledCloth {
    pub title: String,
    pub top: f64,
    pub height: f64,
    /// How far its cloth reaches from the left, with what stands beside it.
    pub length: f64,
    /// The cloth itself, as far as it is drawn.
    pub cloth: BezPath,
    /// The outlines and hatching of its flaws.
    pub flaws: BezPath,
}

impl LayoutView {
    fn read(root: roxmltree::Node<'_, '_>, bands: &[roxmltree::Node<'_, '_>]) -> Option<LayoutView> {
        let [_, _, length, height] = four(root.attribute("viewBox")?)?;
        let sound = length > 0.0 && height > 0.0;
        let part = |node: &roxmltree::Node<'_, '_>, title: &str| {
            let [_, top, reach, bottom] = four(node.attribute("data-part")?)?;
            let top = top.clamp(0.0, height);
            let band = TitledCloth {
                title: title.to_owned(),
                top,
                height: bottom.min(height) - top,
                length: reach.min(length),
                cloth: path_of(*node, "cloth"),
                flaws: paths_of(*node, "flaw").into_iter().flatten().collect(),
            };
            (band.height > 0.0 && band.length > 0.0).then_some(band)
        };
        let band = |node: &roxmltree::Node<'_, '_>| part(node, node.attribute(NAME).unwrap_or_default());
        let key = root.children().find(|node| node.attribute("class") == Some("key"));
        let key = key.and_then(|node| part(&node, "Key"));
        let parts = sound.then(|| bands.iter().map(band).collect::<Option<Vec<_>>>()).flatten();
        let whole = || TitledCloth {
            title: String::new(),
            top: 0.0,
            height,
            length,
            cloth: BezPath::new(),
            flaws: BezPath::new(),
        };
        let bands = parts.filter(|parts| !parts.is_empty()).unwrap_or_else(|| vec![whole()]);
        sound.then_some(LayoutView { length, height, bands, key })
    }
}

/// The garment as it is sewn, as a layout holds it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sewn {
    /// The whole picture, a document of its own.
    pub svg: String,
    pub length: f64,
    pub height: f64,
    pub views: Vec<SewnView>,
}

/// A part of the garment from one side.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct SewnView {
    pub title: String,
    /// From the left, from above, length and height, mm.
    pub part: [f64; 4],
}

impl Sewn {
    /// The picture, and where it stands in the text.
    fn read(root: roxmltree::Node<'_, '_>, text: &str) -> Option<(Sewn, Range<usize>)> {
        let held =
            root.children().filter(|node| node.has_tag_name((SVG, "defs"))).flat_map(|defs| defs.children());
        let mut held =
            held.filter(|node| node.has_tag_name((SVG, "svg")) && node.attribute("class") == Some(SEWN));
        let picture = held.next()?;
        let range = picture.range();
        let svg = text.get(range.clone())?.to_owned();
        // By itself it may lack names that were declared around it.
        roxmltree::Document::parse(&svg).ok()?;
        let [_, _, length, height] = four(picture.attribute("viewBox")?)?;
        let views = picture.children().filter(|node| node.attribute("class") == Some("view"));
        let view = |node: roxmltree::Node<'_, '_>| {
            let part = four(node.attribute("data-part")?)?;
            let title = node.attribute(NAME).unwrap_or_default().to_owned();
            (part[2] > 0.0 && part[3] > 0.0).then_some(SewnView { title, part })
        };
        let views: Vec<SewnView> = views.filter_map(view).collect();
        let sound = length > 0.0 && height > 0.0 && !views.is_empty();
        sound.then_some((Sewn { svg, length, height, views }, range))
    }
}

/// Why a file is no cutting layout.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LayoutError {
    /// It is no sound XML.
    #[error("this cannot be read as SVG: {0}")]
    Unsound(String),
    /// It is some other XML.
    #[error("this is no SVG, but has a root `{0}`")]
    OtherRoot(String),
}

impl Layout {
    /// A layout under the name of its file.
    ///
    /// # Errors
    ///
    /// What is no SVG.
    pub fn read(name: impl Into<String>, text: &str) -> Result<Layout, LayoutError> {
        let document =
            roxmltree::Document::parse(text).map_err(|error| LayoutError::Unsound(error.to_string()))?;
        let root = document.root_element();
        if root.tag_name().name() != "svg" {
            return Err(LayoutError::OtherRoot(root.tag_name().name().to_owned()));
        }
        let bands: Vec<_> = root.children().filter(|node| node.attribute("class") == Some("band")).collect();
        let view = LayoutView::read(root, &bands);
        let begins = bands.iter().filter(|node| !node.has_attribute(GOES_ON));
        let titles = begins.filter_map(|node| node.attribute(NAME)).map(str::to_owned).collect();
        let of_rows: Vec<&str> = bands.iter().filter_map(|node| node.attribute(NAME)).collect();
        let groups = root.children().filter(|node| view.is_some() && node.has_tag_name((SVG, "g")));
        let (texts, mut taken): (Vec<_>, Vec<_>) = groups.flat_map(|group| lifted(group, &of_rows)).unzip();
        let used = bands.iter().filter_map(Used::read).collect();
        let others = root.children().filter(|node| node.attribute("class") != Some("band"));
        let copy = |node: roxmltree::Node<'_, '_>| {
            let name = node.attribute(NAME)?.to_owned();
            Some(DrawnCopy { name, outline: path_of(node, "cutting-line") })
        };
        let laid = others.filter_map(copy).collect();
        let descriptions = root.children().filter(|node| node.has_tag_name((SVG, "desc")));
        let matches = descriptions.filter_map(|node| node.text()).map(str::to_owned).collect();
        let sewn = Sewn::read(root, text).map(|(sewn, held)| {
            taken.push(held);
            sewn
        });
        let (texts, svg) = (together(texts), without(text, taken));
        Ok(Layout { name: name.into(), titles, used, laid, matches, view, sewn, texts, svg })
    }
}

impl Layout {
    /// Whether a copy of a piece lies on it.
    pub(super) fn holds(&self, piece: &PieceName) -> bool {
        self.laid.iter().any(|copy| copy.name.split(' ').next() == Some(piece.as_str()))
    }
}

/// A text without stretches of it, none of which reaches into another.
fn without(text: &str, mut taken: Vec<Range<usize>>) -> String {
    taken.sort_by_key(|stretch| stretch.start);
    let ends = taken.iter().map(|stretch| stretch.end);
    let starts = taken.iter().map(|stretch| stretch.start).chain([text.len()]);
    std::iter::once(0).chain(ends).zip(starts).map(|(from, to)| &text[from..to]).collect()
}

/// The most strips in which one cloth is shown, on paper and in a page; what is longer is shown smaller.
pub(super) const MOST_STRIPS: usize = 40;

/// The attribute that names a cloth, and a copy.
const NAME: &str = "data-name";

/// The path of a class right within a group; an empty one where there is none that can be read.
fn path_of(group: roxmltree::Node<'_, '_>, class: &str) -> BezPath {
    paths_of(group, class).into_iter().next().unwrap_or_default()
}

/// The paths of a class right within a group that can be read.
fn paths_of(group: roxmltree::Node<'_, '_>, class: &str) -> Vec<BezPath> {
    let found = group.children().filter(|node| node.attribute("class") == Some(class));
    let paths = found.filter_map(|node| BezPath::from_svg(node.attribute("d")?).ok());
    paths.filter(|path| is_in_reach(path.control_box())).collect()
}

/// How far anything of a layout may lie, mm: the longest cloth that can be read, and as much again for what stands beside.
const FARTHEST: f64 = 2.0 * LARGEST_COORDINATE;

/// Whether a box lies where things of a layout may lie.
fn is_in_reach(of: Rect) -> bool {
    [of.x0, of.y0, of.x1, of.y1].iter().all(|number| number.abs() <= FARTHEST)
}

/// Four numbers that may be of a layout.
fn four(text: &str) -> Option<[f64; 4]> {
    let numbers = text.split([' ', ',']).filter(|part| !part.is_empty()).map(str::parse);
    let numbers: [f64; 4] = numbers.collect::<Result<Vec<f64>, _>>().ok()?.try_into().ok()?;
    let [left, top, length, height] = numbers;
    is_in_reach(Rect::new(left, top, length, height)).then_some(numbers)
}
