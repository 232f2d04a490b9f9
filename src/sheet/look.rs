//! How a written sheet looks: by the line habits of the trade (solid to cut, broken to stitch, arrows for the grain),
//! readable without colour.

/// The style sheet of what we draw.
pub(super) const STYLE: &str = r#"
[data-kind="piece"] > path { fill: none; stroke: #222; stroke-width: 0.5 }
[data-kind="edge"] { stroke-dasharray: 6 2 }
[data-kind="edge"][data-finish="fold"] { stroke-dasharray: 14 3 2 3; stroke-width: 0.9 }
[data-kind="dart"] { stroke-dasharray: 3 2 }
[data-kind="level"] { stroke: #666; stroke-width: 0.3; stroke-dasharray: 1 3 }
[data-kind="grainline"] { stroke-width: 0.4 }
[data-kind="notch"] { stroke-width: 0.9 }
[data-kind="style-line"] { stroke-width: 0.4; stroke-dasharray: 10 4 1 4 }
[data-kind="point"] { fill: none; stroke: #222; stroke-width: 0.4 }
[data-shows="cutting-line"] { fill: none; stroke: #000; stroke-width: 0.8; stroke-dasharray: none }
[data-shows="arrow"] { fill: #222; stroke: none; stroke-dasharray: none }
[data-shows="second-tick"] { stroke-width: 0.9; stroke-dasharray: none }
[data-shows="label"] { font-family: sans-serif; fill: #222; stroke: none; text-anchor: middle }
"#;
