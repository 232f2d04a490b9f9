//! A drawing in SVG as a renderer sees it, resolved into plain shapes: what its gradients, patterns, masks and letters look like
//! is seen beneath the picture of what was found in it too.

use std::sync::Arc;

use resvg::usvg;

use crate::canvas::{FILE, clean};
use crate::drawing;

/// The largest drawing that is rendered, bytes: of a larger one, what was read of it is shown.
const MOST_BYTES: usize = 8_000_000;

/// Decimals of places in pixels of 96 to the inch: a thousandth of a millimetre.
const DECIMALS: u8 = 3;

/// A drawing in SVG as it really looks.
#[derive(Clone, Debug)]
pub struct Rendered {
    svg: String,
    /// How wide and high it is, pixels.
    size: (f64, f64),
}

impl Rendered {
    /// The look of a drawing that was read; none of a PDF, and where the renderer does not take it.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Option<Rendered> {
        let text = std::str::from_utf8(bytes).ok().filter(|text| text.len() <= MOST_BYTES)?;
        drawing::on_deep_stack(|| rendered(text)).ok().flatten()
    }

    /// The shapes, and the width and height within which they lie.
    pub(super) fn shapes(&self) -> (&str, (f64, f64)) {
        (&self.svg, self.size)
    }
}

/// A file that declares entities, which multiply, is not rendered; no other file is opened.
fn rendered(text: &str) -> Option<Rendered> {
    let document = usvg::roxmltree::Document::parse(text).ok()?;
    let mut options = usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|mime, data, _| match mime {
                "image/png" => Some(usvg::ImageKind::PNG(data)),
                "image/jpeg" | "image/jpg" => Some(usvg::ImageKind::JPEG(data)),
                _ => None,
            }),
            resolve_string: Box::new(|_, _| None),
        },
        font_resolver: usvg::FontResolver {
            select_font: Box::new(|_, faces| faces.faces().next().map(|face| face.id)),
            ..usvg::FontResolver::default()
        },
        ..usvg::Options::default()
    };
    Arc::make_mut(&mut options.fontdb).load_font_data(FILE.to_vec());
    let tree = usvg::Tree::from_xmltree(&document, &options).ok()?;
    let written = usvg::WriteOptions {
        id_prefix: Some("drawn-".to_owned()),
        coordinates_precision: DECIMALS,
        indent: usvg::Indent::None,
        ..usvg::WriteOptions::default()
    };
    let size = (f64::from(tree.size().width()), f64::from(tree.size().height()));
    // Names that are read by nobody are written too, with signs that are never shown.
    Some(Rendered { svg: clean(&tree.to_string(&written)).into_owned(), size })
}
