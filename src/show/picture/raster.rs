//! Pictures as pixels.

use std::sync::Arc;

use resvg::{tiny_skia, usvg};

use crate::canvas::FILE;
use crate::show::picture::wanted::Pixels;

/// An SVG picture as PNG, its longer side so many pixels.
pub(super) fn png(svg: &str, longer_side: Pixels) -> Result<Vec<u8>, String> {
    let mut options = usvg::Options::default();
    Arc::make_mut(&mut options.fontdb).load_font_data(FILE.to_vec());
    let tree = usvg::Tree::from_str(svg, &options).map_err(|error| error.to_string())?;
    let size = tree.size();
    let scale = longer_side.0 as f32 / size.width().max(size.height());
    let count = |length: f32| (length * scale).round().max(1.0) as u32;
    let mut pixels = tiny_skia::Pixmap::new(count(size.width()), count(size.height()))
        .ok_or_else(|| "there is no memory for so many".to_owned())?;
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| error.to_string())
}
