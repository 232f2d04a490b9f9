//! From a line as it is named to a curve on a piece.

use crate::curve::{Curve, Point, Vec2, offset, right_of};
use crate::pattern::{EdgeId, FoundPlace, Line, Piece, Place, Refusal, StyleLineName};
use crate::tolerance::{OFFSET_ACCURACY, ON_OUTLINE, SAME_CUT};

/// A line as it was asked for, before it is cut to the piece.
#[derive(Clone, Debug)]
pub struct DrawnLine {
    /// Its curve, which may run on past the piece.
    pub curve: Curve,
    /// Places of the ends on the outline, where they were named there: the edge, and the walk distance along its curve.
    pub starts: Option<(EdgeId, f64)>,
    /// The same of its other end.
    pub ends: Option<(EdgeId, f64)>,
    /// How far it goes.
    pub reach: Reach,
}

/// How far a line goes.
#[derive(Clone, Copy, Debug)]
pub enum Reach {
    /// From end to end, as drawn.
    AsDrawn,
    /// Across the whole piece, through its middle part.
    Through,
    /// Across the stretch of the piece that holds a point.
    At(Point),
    /// Across every stretch of the piece that a part of it lies on, as walk distances: beyond it runs on only to the outline.
    Along(f64, f64),
}

/// A meeting of a line with the outline.
#[derive(Clone, Copy, Debug)]
pub struct LineMeeting {
    /// Walk distance along the line.
    pub line_at: f64,
    /// The edge that it meets.
    pub edge: EdgeId,
    /// Walk distance along the edge's curve.
    pub at: f64,
}

impl Piece {
    /// The curve of a line as it is named.
    ///
    /// # Errors
    ///
    /// Refuses unknown names and places outside their edges.
    pub fn drawn_line(&self, line: &Line) -> Result<DrawnLine, Refusal> {
        match line {
            Line::Style(name) => {
                let curve = self.style_line_named(name)?.curve.run_on(ON_OUTLINE, ON_OUTLINE);
                Ok(DrawnLine { curve, starts: None, ends: None, reach: Reach::AsDrawn })
            }
            Line::Straight(places) => {
                let spots = self.spots(places)?;
                let points: Vec<Point> = spots.iter().map(|spot| spot.point).collect();
                Ok(between(Curve::polyline(&points)?, &spots))
            }
            Line::Smooth(places) => {
                let spots = self.spots(places)?;
                let points: Vec<Point> = spots.iter().map(|spot| spot.point).collect();
                Ok(between(Curve::smooth_through(&points)?, &spots))
            }
            Line::Level(name) => {
                let level = self.level_named(name)?;
                let points: Vec<Point> = level.stretches.iter().flat_map(|(a, b)| [*a, *b]).collect();
                let chain = Curve::polyline(&points)?;
                let far = self.diagonal();
                let reach = Reach::Along(far, far + chain.length());
                Ok(DrawnLine { curve: chain.run_on(far, far), starts: None, ends: None, reach })
            }
            Line::Beside { edge, at } => {
                let edge = &self.edge(self.edge_named(edge)?).curve;
                let far = self.diagonal();
                let curve = offset(edge, -at.mm(), OFFSET_ACCURACY)?.run_on(far, far);
                Ok(DrawnLine { curve, starts: None, ends: None, reach: Reach::Through })
            }
            Line::Across { below, place } => {
                let grain = self.grain()?.direction();
                let point = self.place(place)?.point + grain * below.mm();
                self.line_through(point, right_of(grain))
            }
            Line::Along { place } => {
                let grain = self.grain()?.direction();
                self.line_through(self.place(place)?.point, grain)
            }
        }
    }

    /// The style line of a name.
    ///
    /// # Errors
    ///
    /// Answers an unknown name with the nearest that exists, and that of a level or an edge with the line that was meant.
    pub fn style_line_named(&self, name: &StyleLineName) -> Result<&crate::pattern::StyleLine, Refusal> {
        self.style_lines.iter().find(|style| style.name == *name).ok_or_else(|| {
            let known = self.style_lines.iter().map(|style| style.name.as_str());
            let refusal =
                Refusal::unknown("style line", name.as_str(), self.name(), known.collect::<Vec<_>>());
            other_line(self, name, refusal)
        })
    }

    /// How far it is from corner to corner of its box: no line across the piece is longer, mm.
    #[must_use]
    pub fn diagonal(&self) -> f64 {
        let bounds = self.bounds();
        bounds.width().hypot(bounds.height())
    }

    fn spots(&self, places: &[Place]) -> Result<Vec<FoundPlace>, Refusal> {
        places.iter().map(|place| self.place(place)).collect()
    }

    fn line_through(&self, point: Point, direction: Vec2) -> Result<DrawnLine, Refusal> {
        let far = self.diagonal() + point.distance(self.bounds().center());
        let curve = Curve::line(point - direction * far, point + direction * far)?;
        Ok(DrawnLine { curve, starts: None, ends: None, reach: Reach::At(point) })
    }
}

impl DrawnLine {
    /// Where it meets the outline of its piece, in the order of its walk.
    #[must_use]
    pub fn meetings(&self, piece: &Piece) -> Vec<LineMeeting> {
        let mut found: Vec<LineMeeting> = Vec::new();
        let named = [(0.0, self.starts), (self.curve.length(), self.ends)];
        for (line_at, on) in named {
            found.extend(on.map(|(edge, at)| LineMeeting { line_at, edge, at }));
        }
        for crossing in piece.outline().crossings_with(&self.curve) {
            if found.iter().all(|other| (other.line_at - crossing.line_at).abs() > SAME_CUT) {
                let (edge, at) = (EdgeId(crossing.edge), crossing.at);
                found.push(LineMeeting { line_at: crossing.line_at, edge, at });
            }
        }
        found.sort_by(|a, b| a.line_at.total_cmp(&b.line_at));
        found
    }

    /// The stretches of it that lie inside of its piece, between the meetings that were found: of a line through a point the
    /// one that holds that or lies nearest to it, of one that is drawn in part those that it is drawn on.
    #[must_use]
    pub fn inside(&self, piece: &Piece, found: &[LineMeeting]) -> Vec<(LineMeeting, LineMeeting)> {
        let is_inside = |from: f64, to: f64| {
            let middle = self.curve.point_at(f64::midpoint(from, to));
            piece.outline().contains(middle)
        };
        let mut stretches: Vec<(LineMeeting, LineMeeting)> = found
            .windows(2)
            .filter(|pair| is_inside(pair[0].line_at, pair[1].line_at))
            .map(|pair| (pair[0], pair[1]))
            .collect();
        match self.reach {
            Reach::AsDrawn | Reach::Through => {}
            Reach::At(point) => {
                let anchor = self.curve.nearest(point).at;
                let off = |pair: &(LineMeeting, LineMeeting)| {
                    (anchor.clamp(pair.0.line_at, pair.1.line_at) - anchor).abs()
                };
                stretches.sort_by(|a, b| off(a).total_cmp(&off(b)));
                stretches.truncate(1);
            }
            Reach::Along(from, to) => {
                stretches.retain(|(start, end)| end.line_at.min(to) - start.line_at.max(from) > SAME_CUT);
            }
        }
        stretches
    }
}

/// The refusal of a style line that is not there, with the line that was meant where its name is that of a level or an edge.
fn other_line(piece: &Piece, name: &StyleLineName, refusal: Refusal) -> Refusal {
    let is_level = piece.levels.iter().any(|level| level.name.as_str() == name.as_str());
    let is_edge = piece.edges().iter().any(|edge| edge.name.as_str() == name.as_str());
    let way_out = match (is_level, is_edge) {
        (true, _) => format!("to cut along the level say \"level {name}\""),
        (false, true) => {
            format!("`{name}` is an edge: say \"beside {name} at 12cm\", or places on it, \"{name}@50% > B\"")
        }
        (false, false) if piece.style_lines.is_empty() => {
            "it has none: say \"A > B\" with two places, \"level waist\", or \"beside centre at 12cm\""
                .to_owned()
        }
        (false, false) => return refusal,
    };
    Refusal { way_out: way_out.into(), ..refusal }
}

fn between(curve: Curve, spots: &[FoundPlace]) -> DrawnLine {
    let on = |spot: Option<&FoundPlace>| spot.and_then(|spot| spot.on);
    DrawnLine { curve, starts: on(spots.first()), ends: on(spots.last()), reach: Reach::AsDrawn }
}
