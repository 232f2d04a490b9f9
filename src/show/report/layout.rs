//! Cutting layouts, each a picture of its own within the page.
//!
//! A layout is a file of someone's, with styles and ids of its own, and perhaps more. As a picture by itself it can
//! neither change the page nor run, fetch or name anything in it.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use crate::show::report::markup::Markup;

/// A cutting layout as it was drawn. Titles of its cloths stand at the left; those of pieces, in their middle.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    name: String,
    titles: Vec<String>,
    /// How it is drawn, mm, if it says so.
    view: Option<View>,
    svg: String,
}

/// Length and height of a layout as it is drawn, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
struct View {
    length: f64,
    height: f64,
}

impl View {
    fn read(text: &str) -> Option<View> {
        let numbers = text.split([' ', ',']).filter(|part| !part.is_empty()).map(str::parse);
        let numbers: Vec<f64> = numbers.collect::<Result<_, _>>().ok()?;
        let [_, _, length, height] = numbers[..] else { return None };
        let sound = [length, height].iter().all(|side| side.is_finite() && *side > 0.0);
        sound.then_some(View { length, height })
    }

    /// The parts in which a page has room for it: where each begins, and how long it is. One where the whole has room.
    fn strips(self) -> Vec<(f64, f64)> {
        let most = PAGE / SCALE;
        if self.length <= most {
            return vec![(0.0, self.length)];
        }
        let count = ((self.length - SHARED) / (most - SHARED)).ceil().min(MOST_STRIPS);
        let step = (self.length - SHARED) / count;
        (0..count as usize).map(|strip| (strip as f64 * step, step + SHARED)).collect()
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
        let is_title = |node: &roxmltree::Node<'_, '_>| {
            node.has_tag_name((SVG, "text"))
                && node.attribute("class") == Some("title")
                && node.attribute("text-anchor") == Some("start")
        };
        let titles = root.children().filter(is_title);
        let titles = titles.filter_map(|node| node.text()).map(str::to_owned).collect();
        let view = root.attribute("viewBox").and_then(View::read);
        Ok(Layout { name: name.into(), titles, view, svg: text.to_owned() })
    }
}

/// How large a layout is shown: its lettering, 32 mm high where the cloth is long, can then be read.
const SCALE: f64 = 0.08;

/// How wide a printed page is between its margins, mm: A4 and Letter both have as much.
const PAGE: f64 = 180.0;

/// What a strip of a printed layout shows of the one before it, mm of cloth.
const SHARED: f64 = 100.0;

/// The most strips of one layout; what is longer is printed smaller.
const MOST_STRIPS: f64 = 40.0;

const SVG: &str = "http://www.w3.org/2000/svg";

pub(super) fn part(layouts: &[Layout]) -> Markup {
    let mut part = Markup::default();
    for (number, layout) in layouts.iter().enumerate() {
        let what = match layout.titles.is_empty() {
            true => format!("Cutting layout {}", layout.name),
            false => format!("Cutting layout {}: {}", layout.name, layout.titles.join("; ")),
        };
        let source = format!("data:image/svg+xml;base64,{}", STANDARD.encode(&layout.svg));
        part.within("figure", &[("class", "layout")], |figure| {
            let strips = layout.view.map(View::strips).unwrap_or_default();
            let class = if strips.len() > 1 { "wide whole" } else { "wide" };
            let attributes = [
                ("class", class),
                ("tabindex", "0"),
                ("role", "group"),
                ("aria-label", "layout, wider than a phone"),
            ];
            let id = format!("layout-{}", number + 1);
            figure.within("div", &attributes, |wide| match layout.view {
                Some(view) => whole(wide, view, &id, &source, &what),
                None => wide.empty("img", &[("src", &source), ("alt", &what), ("style", "--wide: 100%")]),
            });
            if let Some(view) = layout.view.filter(|_| strips.len() > 1) {
                in_strips(figure, view, &strips, &id, &what);
            }
            figure.element("figcaption", &[], &what);
        });
    }
    part
}

/// The layout as it is seen on a screen, and the only place where it is written.
fn whole(wide: &mut Markup, view: View, id: &str, source: &str, what: &str) {
    let (length, height) = (view.length.to_string(), view.height.to_string());
    let style = format!("--wide: {:.0}mm", view.length * SCALE);
    let seen = format!("0 0 {length} {height}");
    let attributes =
        [("xmlns", SVG), ("viewBox", &seen), ("role", "img"), ("aria-label", what), ("style", &style)];
    wide.within("svg", &attributes, |svg| {
        svg.empty("image", &[("id", id), ("href", source), ("width", &length), ("height", &height)]);
    });
}

/// The layout as it is printed, in strips one below the other.
fn in_strips(figure: &mut Markup, view: View, strips: &[(f64, f64)], id: &str, what: &str) {
    let from = format!("#{id}");
    figure.within("div", &[("class", "strips")], |all| {
        for (i, (start, length)) in strips.iter().enumerate() {
            let part = format!("part {} of {}", i + 1, strips.len());
            let name = format!("{what}, {part}");
            let seen = format!("{start} 0 {length} {}", view.height);
            let attributes = [("xmlns", SVG), ("viewBox", &seen), ("role", "img"), ("aria-label", &name)];
            all.within("div", &[("class", "strip")], |strip| {
                strip.within("svg", &attributes, |svg| svg.empty("use", &[("href", &from)]));
                strip.element("p", &[], &part);
            });
        }
    });
}
