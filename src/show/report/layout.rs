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
    /// How long it is drawn, mm, if it says so.
    length: Option<f64>,
    svg: String,
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
        let view = root.attribute("viewBox").unwrap_or_default();
        let length = view.split_whitespace().nth(2).and_then(|length| length.parse().ok());
        let length = length.filter(|length: &f64| length.is_finite() && *length > 0.0);
        Ok(Layout { name: name.into(), titles, length, svg: text.to_owned() })
    }
}

/// How large a layout is shown: its lettering, 32 mm high where the cloth is long, can then be read.
const SCALE: f64 = 0.08;

const SVG: &str = "http://www.w3.org/2000/svg";

pub(super) fn part(layouts: &[Layout]) -> Markup {
    let mut part = Markup::default();
    for layout in layouts {
        let source = format!("data:image/svg+xml;base64,{}", STANDARD.encode(&layout.svg));
        let what = match layout.titles.is_empty() {
            true => format!("Cutting layout {}", layout.name),
            false => format!("Cutting layout {}: {}", layout.name, layout.titles.join("; ")),
        };
        let wide =
            layout.length.map_or_else(|| "100%".to_owned(), |length| format!("{:.0}mm", length * SCALE));
        let style = format!("--wide: {wide}");
        part.within("figure", &[("class", "layout")], |figure| {
            let attributes = [
                ("class", "wide"),
                ("tabindex", "0"),
                ("role", "group"),
                ("aria-label", "layout, wider than a phone"),
            ];
            figure.within("div", &attributes, |wide| {
                wide.empty("img", &[("src", &source), ("alt", &what), ("style", &style)]);
            });
            figure.element("figcaption", &[], &what);
        });
    }
    part
}
