//! How a written sheet looks: by the line habits of the trade (solid to cut, broken to stitch, arrows for the grain),
//! readable without colour.

use crate::canvas::FACES;

/// The style sheet of what we draw, [`style`], but for the faces of texts. It goes by classes within a piece, so that a style sheet that came with the drawing
/// and names kinds or tags does not prevail.
const STYLE: &str = r#"
.piece > path { fill: none; stroke: #222; stroke-width: 0.5 }
.piece > .edge { stroke-width: 0.5; stroke-dasharray: 6 2 }
.piece > .edge[data-finish="fold"] { stroke-dasharray: 14 3 2 3; stroke-width: 0.9 }
.piece > .dart { stroke-width: 0.5; stroke-dasharray: 3 2 }
.piece > .level { stroke: #444; stroke-width: 0.5; stroke-dasharray: 1 2.5 }
.piece > .grainline { stroke-width: 0.4; stroke-dasharray: none; marker: none }
.piece > .notch { stroke-width: 0.9; stroke-dasharray: none }
.piece > .notch[data-count="2"] { stroke-width: 0.25; stroke-dasharray: 1 1 }
.piece > .style-line { stroke-width: 0.4; stroke-dasharray: 10 4 1 4 }
.piece > .point { fill: none; stroke: #222; stroke-width: 0.4 }
.piece > .derived { fill: none; stroke: #222; stroke-width: 0.4; stroke-dasharray: none }
.piece > .derived[data-shows="cutting-line"] { stroke: #000; stroke-width: 0.8 }
.piece > .derived[data-shows="notch"] { stroke-width: 0.9 }
.piece > .derived[data-shows="arrow"] { fill: #222; stroke: none }
.piece > .derived[data-shows="label"] { font-family: FACES; fill: #222; stroke: none; text-anchor: middle }
"#;

/// The style sheet of what we draw.
pub(super) fn style() -> String {
    STYLE.replace("FACES", FACES)
}
