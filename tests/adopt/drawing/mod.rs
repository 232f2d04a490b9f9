//! Reading any SVG into shapes in millimetres, held against an independent reader and against files
//! that want to break it.

mod hostile;
mod kept;
mod oracle;
mod pdf;
mod refused;
mod units;

use retrue::drawing::{DrawingError, Node, ReadOptions, SvgDrawing, read};

/// A sheet of 900 mm by 600 mm whose user unit is a millimetre.
pub fn sheet(body: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="900mm" height="600mm" viewBox="0 0 900 600">{body}</svg>"#
    )
}

pub fn read_text(text: &str) -> Result<SvgDrawing, DrawingError> {
    read(text.as_bytes(), &ReadOptions::default())
}

pub fn read_body(body: &str) -> SvgDrawing {
    read_text(&sheet(body)).unwrap_or_else(|error| panic!("{error}\n{body}"))
}

pub fn refusal(body: &str) -> DrawingError {
    match read_text(&sheet(body)) {
        Err(error) => error,
        Ok(_) => panic!("read, not refused: {body}"),
    }
}

pub fn all(drawing: &SvgDrawing) -> Vec<&Node> {
    let mut nodes = Vec::new();
    for node in &drawing.nodes {
        node.walk(&mut |node| nodes.push(node));
    }
    nodes
}

pub fn curve(node: &Node) -> String {
    node.geometry.as_ref().map(|path| path.to_svg()).unwrap_or_default()
}
