//! Drawings of patterns for people to look at, written where `RETRUE_DRAWINGS` names a folder.

use std::fmt::Write;

use retrue::pattern::Pattern;

/// Draws a pattern as `NAME.svg` in the folder that the environment names; does nothing where it names none.
pub fn draw(name: &str, pattern: &Pattern) {
    let Ok(folder) = std::env::var("RETRUE_DRAWINGS") else { return };
    let mut body = String::new();
    let mut room: Option<kurbo::Rect> = None;
    for piece in pattern.pieces() {
        let bounds = piece.bounds();
        room = Some(room.map_or(bounds, |room| room.union(bounds)));
        let mut line = |path: &kurbo::BezPath, style: &str| {
            let _ = writeln!(body, "<path d=\"{}\" fill=\"none\" {style}/>", path.to_svg());
        };
        for edge in piece.edges() {
            line(&edge.curve.to_path(), "stroke=\"black\" stroke-width=\"1\"");
        }
        for dart in &piece.darts {
            let (first, second) = dart.legs();
            line(&first.to_path(), "stroke=\"firebrick\" stroke-width=\"1\"");
            line(&second.to_path(), "stroke=\"firebrick\" stroke-width=\"1\"");
        }
        for level in &piece.levels {
            for (a, b) in &level.stretches {
                let _ = writeln!(
                    body,
                    "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" stroke=\"teal\" stroke-dasharray=\"6 3\"/>",
                    a.x, a.y, b.x, b.y
                );
            }
        }
        if let Some(grain) = &piece.grainline {
            let (a, b) = (grain.start, grain.end);
            let _ = writeln!(
                body,
                "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" stroke=\"navy\"/>",
                a.x, a.y, b.x, b.y
            );
        }
        for notch in &piece.notches {
            let Some(id) = piece.find_edge(&notch.edge) else { continue };
            let curve = &piece.edge(id).curve;
            let (at, out) = (curve.point_at(notch.at), curve.normal_outward(notch.at));
            let tip = at + out * notch.tick.y;
            let _ = writeln!(
                body,
                "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" stroke=\"purple\" stroke-width=\"2\"/>",
                at.x, at.y, tip.x, tip.y
            );
        }
        for point in &piece.points {
            let _ = writeln!(
                body,
                "<circle cx=\"{}\" cy=\"{}\" r=\"3\" fill=\"orange\"/>",
                point.at.x, point.at.y
            );
        }
        let middle = bounds.center();
        let _ = writeln!(
            body,
            "<text x=\"{}\" y=\"{}\" font-size=\"14\" text-anchor=\"middle\">{}</text>",
            middle.x,
            middle.y,
            piece.name()
        );
    }
    let Some(room) = room.map(|room| room.inflate(20.0, 20.0)) else { return };
    let sheet = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{} {} {} {}\"><rect x=\"{0}\" y=\"{1}\" width=\"{2}\" \
         height=\"{3}\" fill=\"white\"/>{body}</svg>",
        room.x0,
        room.y0,
        room.width(),
        room.height()
    );
    std::fs::write(format!("{folder}/{name}.svg"), sheet).unwrap();
}
