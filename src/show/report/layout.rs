//! Cutting layouts, each a picture of its own within the page.
//!
//! A layout is a file of someone's, with styles and ids of its own, and perhaps more. As a picture by itself it can
//! neither change the page nor run, fetch or name anything in it.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use crate::pattern::PieceName;
use crate::show::markup::Markup;
use crate::units::Length;

/// A cutting layout as `lay` draws it: each cloth is a group of the class `band`, with its name, the left, upper, right and
/// lower end of its part of the drawing, and how much of it is used.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    name: String,
    titles: Vec<String>,
    /// How much of each cloth is used, where the drawing says so.
    pub(super) used: Vec<Used>,
    /// What lies on them: each copy by the name of its piece, with what tells it from others behind.
    laid: Vec<String>,
    /// What was measured of the stripes along seams.
    matches: Vec<String>,
    /// How it is drawn, if it says so.
    view: Option<View>,
    svg: String,
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
struct View {
    length: f64,
    height: f64,
    /// Its cloths, from above.
    bands: Vec<Band>,
}

/// One cloth of a layout, with its title above it, mm.
#[derive(Clone, Debug, PartialEq)]
struct Band {
    title: String,
    top: f64,
    height: f64,
    /// How far its cloth reaches from the left.
    length: f64,
}

/// A part of a layout that a page has room for, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Strip {
    start: f64,
    length: f64,
}

impl View {
    fn read(root: roxmltree::Node<'_, '_>, bands: &[roxmltree::Node<'_, '_>]) -> Option<View> {
        let [_, _, length, height] = four(root.attribute("viewBox")?)?;
        let sound = [length, height].iter().all(|side| side.is_finite() && *side > 0.0);
        let band = |node: &roxmltree::Node<'_, '_>| {
            let [_, top, reach, bottom] = four(node.attribute("data-part")?)?;
            let top = top.clamp(0.0, height);
            let band = Band {
                title: node.attribute(NAME).unwrap_or_default().to_owned(),
                top,
                height: bottom.min(height) - top,
                length: reach.min(length),
            };
            (band.height > 0.0 && band.length > 0.0).then_some(band)
        };
        let parts = sound.then(|| bands.iter().map(band).collect::<Option<Vec<_>>>()).flatten();
        let whole = || Band { title: String::new(), top: 0.0, height, length };
        let bands = parts.filter(|parts| !parts.is_empty()).unwrap_or_else(|| vec![whole()]);
        sound.then_some(View { length, height, bands })
    }

    /// Whether there is room for all of it side by side.
    fn has_room(&self, room: &Room) -> bool {
        self.length <= room.most()
    }
}

impl Band {
    /// The parts in which there is room for it; one where there is room for the whole, with all that stands beside it.
    fn strips(&self, room: &Room) -> Vec<Strip> {
        let most = room.most();
        if self.length <= most {
            return vec![Strip { start: 0.0, length: most }];
        }
        let count = ((self.length - SHARED) / (most - SHARED)).ceil().min(MOST_STRIPS);
        let step = (self.length - SHARED) / count;
        (0..count as usize).map(|strip| Strip { start: strip as f64 * step, length: step + SHARED }).collect()
    }
}

/// What a layout is cut into strips for.
struct Room {
    /// How wide it is, mm.
    wide: f64,
    /// The class of its strips together, and of each.
    all: &'static str,
    each: &'static str,
}

/// A printed page between its margins, A4 and Letter alike; a screen has as much.
const PAGE: Room = Room { wide: 180.0, all: "strips", each: "strip" };

/// A phone.
const PHONE: Room = Room { wide: 80.0, all: "strips on-phone", each: "strip-on-phone" };

impl Room {
    /// What there is room for, mm of cloth.
    fn most(&self) -> f64 {
        self.wide / SCALE
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
        let view = View::read(root, &bands);
        let titles = bands.iter().filter_map(|node| node.attribute(NAME)).map(str::to_owned).collect();
        let used = bands.iter().filter_map(Used::read).collect();
        let others = root.children().filter(|node| node.attribute("class") != Some("band"));
        let laid = others.filter_map(|node| node.attribute(NAME)).map(str::to_owned).collect();
        let descriptions = root.children().filter(|node| node.has_tag_name((SVG, "desc")));
        let matches = descriptions.filter_map(|node| node.text()).map(str::to_owned).collect();
        Ok(Layout { name: name.into(), titles, used, laid, matches, view, svg: text.to_owned() })
    }
}

impl Layout {
    /// Whether a copy of a piece lies on it.
    pub(super) fn holds(&self, piece: &PieceName) -> bool {
        self.laid.iter().any(|copy| copy.split(' ').next() == Some(piece.as_str()))
    }
}

/// How large a layout is shown: its lettering, 32 mm high where the cloth is long, can then be read.
const SCALE: f64 = 0.08;

/// What a strip of a printed layout shows of the one before it, mm of cloth.
const SHARED: f64 = 100.0;

/// The most strips of one cloth; what is longer is printed smaller.
const MOST_STRIPS: f64 = 40.0;

/// The attribute that names a cloth.
const NAME: &str = "data-name";

const SVG: &str = "http://www.w3.org/2000/svg";

/// Four numbers.
fn four(text: &str) -> Option<[f64; 4]> {
    let numbers = text.split([' ', ',']).filter(|part| !part.is_empty()).map(str::parse);
    numbers.collect::<Result<Vec<f64>, _>>().ok()?.try_into().ok()
}

pub(super) fn part(layouts: &[Layout]) -> Markup {
    let mut part = Markup::default();
    for (number, layout) in layouts.iter().enumerate() {
        let what = match layout.titles.is_empty() {
            true => format!("Cutting layout {}", layout.name),
            false => format!("Cutting layout {}: {}", layout.name, layout.titles.join("; ")),
        };
        let source = format!("data:image/svg+xml;base64,{}", STANDARD.encode(&layout.svg));
        let rooms = layout.view.iter().flat_map(|view| [PAGE, PHONE].map(|room| (view, room)));
        let strips: Vec<(&View, Room)> = rooms.filter(|(view, room)| !view.has_room(room)).collect();
        let class = match strips.len() {
            0 => "layout",
            1 => "layout wide-on-phone",
            _ => "layout long",
        };
        part.within("figure", &[("class", class)], |figure| {
            figure.element("figcaption", &[], &what);
            let id = format!("layout-{}", number + 1);
            figure.within("div", &[("class", "whole")], |wide| match &layout.view {
                Some(view) => whole(wide, view, &id, &source, &what),
                None => wide.empty("img", &[("src", &source), ("alt", &what), ("style", "--wide: 100%")]),
            });
            for (view, room) in &strips {
                figure.within("div", &[("class", room.all)], |all| {
                    view.bands.iter().for_each(|band| in_strips(all, band, room, &id, &what));
                });
            }
            layout.matches.iter().for_each(|told| figure.element("p", &[], told));
        });
    }
    part
}

/// The layout as it is seen on a screen, and the only place where it is written.
fn whole(wide: &mut Markup, view: &View, id: &str, source: &str, what: &str) {
    let (length, height) = (view.length.to_string(), view.height.to_string());
    let style = format!("--wide: {:.0}mm", view.length * SCALE);
    let seen = format!("0 0 {length} {height}");
    let attributes =
        [("xmlns", SVG), ("viewBox", &seen), ("role", "img"), ("aria-label", what), ("style", &style)];
    wide.within("svg", &attributes, |svg| {
        svg.empty("image", &[("id", id), ("href", source), ("width", &length), ("height", &height)]);
    });
}

/// A cloth in strips one below the other.
fn in_strips(all: &mut Markup, band: &Band, room: &Room, id: &str, what: &str) {
    let from = format!("#{id}");
    let strips = band.strips(room);
    for (i, Strip { start, length }) in strips.iter().enumerate() {
        let part = match (band.title.split(':').next(), strips.len()) {
            (_, 1) => String::new(),
            (Some(cloth), count) if !cloth.is_empty() => format!("{cloth}, part {} of {count}", i + 1),
            (_, count) => format!("part {} of {count}", i + 1),
        };
        let name =
            if part.is_empty() { format!("{what}: {}", band.title) } else { format!("{what}: {part}") };
        let seen = format!("{start} {} {length} {}", band.top, band.height);
        let style = format!("--wide: {:.1}mm", length * SCALE);
        let attributes = [
            ("xmlns", SVG),
            ("viewBox", seen.as_str()),
            ("role", "img"),
            ("aria-label", name.as_str()),
            ("style", style.as_str()),
        ];
        all.within("div", &[("class", room.each)], |strip| {
            if !part.is_empty() {
                strip.element("p", &[], &part);
            }
            strip.within("svg", &attributes, |svg| svg.empty("use", &[("href", &from)]));
        });
    }
}
