//! Pieces made of others, laid back on them: they are no cloth of the pieces on which they lie, and must lie on their lines.

use crate::curve::{Curve, CurveError, Motion, Point, right_of};
use crate::pattern::{EdgeName, LaidOn, LaidPart, LaidStretch, LiesTo, Made, Pattern, Piece, PieceName};
use crate::resew::error::MeasureError;
use crate::resew::lines::places;
use crate::tolerance::{SAME_POINT, SAME_RUN};

/// A piece that a step made of others, laid back on them.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct ResewnMade {
    /// The piece.
    pub piece: PieceName,
    /// What it was made of.
    pub of: Vec<PieceName>,
    /// The edge that lies furthest from the line on which it should lie.
    pub edge: Option<EdgeName>,
    /// How far, mm.
    pub off: f64,
}

/// Lays a made piece back, by what the record says of it and nothing else: each of its parts by one rigid motion, that of
/// its longest stretch.
///
/// # Errors
///
/// [`MeasureError`] where the record names what is not there.
pub(super) fn laid_back(made: &Made, after: &Pattern) -> Result<ResewnMade, MeasureError> {
    let find =
        |name: &PieceName| after.find(name).ok_or_else(|| MeasureError::NoPiece { piece: name.to_string() });
    let piece = find(&made.piece)?;
    let mut found = ResewnMade { piece: made.piece.clone(), of: Vec::new(), edge: None, off: 0.0 };
    for part in &made.laid {
        let on = find(&part.on)?;
        if !found.of.contains(&part.on) {
            found.of.push(part.on.clone());
        }
        for (edge, off) in part_off(part, piece, on)? {
            if off > found.off {
                (found.edge, found.off) = (Some(edge), off);
            }
        }
    }
    Ok(found)
}

/// A stretch of the made piece, and what it lies beside.
struct LaidBeside<'a> {
    says: &'a LaidStretch,
    curve: Curve,
    on: Curve,
    /// The ends of the stretch where they should lie.
    ends: (Point, Point),
}

fn part_off(part: &LaidPart, piece: &Piece, on: &Piece) -> Result<Vec<(EdgeName, f64)>, MeasureError> {
    let laid: Vec<LaidBeside> =
        part.stretches.iter().map(|says| laid(says, piece, on)).collect::<Result<_, _>>()?;
    let chord = |laid: &LaidBeside| laid.ends.0.distance(laid.ends.1);
    let Some(longest) = laid.iter().max_by(|a, b| chord(a).total_cmp(&chord(b))) else {
        return Ok(Vec::new());
    };
    let own = (longest.curve.start(), longest.curve.end());
    let against = longest.says.along.0 > longest.says.along.1;
    let turned_over = against != (longest.says.lies == LiesTo::Left);
    let back = match turned_over {
        true => Motion::carry_mirrored(own, longest.ends)?,
        false => Motion::carry(own, longest.ends)?,
    };
    Ok(laid.iter().map(|laid| (laid.says.edge.clone(), off(laid, &back))).collect())
}

fn laid<'a>(says: &'a LaidStretch, piece: &'a Piece, on: &'a Piece) -> Result<LaidBeside<'a>, MeasureError> {
    let missing =
        |piece: &Piece, name: &str| MeasureError::NoPiece { piece: format!("{}.{name}", piece.name()) };
    let edge = |piece: &'a Piece, name: &EdgeName| {
        let id = piece.find_edge(name).ok_or_else(|| missing(piece, name.as_str()))?;
        Ok::<&Curve, MeasureError>(&piece.edge(id).curve)
    };
    let own = edge(piece, &says.edge)?;
    let on = match &says.on {
        LaidOn::Edge(name) => edge(on, name)?,
        LaidOn::Line(name) => {
            let line = on.style_lines.iter().find(|line| line.name == *name);
            &line.ok_or_else(|| missing(on, name.as_str()))?.curve
        }
    };
    let (from, to) = says.along;
    // The rest of the edge lies elsewhere where a dart between is closed.
    let on = recorded_stretch(on, from.min(to), from.max(to))?;
    let (at_first, at_last) = match from > to {
        true => (says.inside + says.further, says.inside),
        false => (says.inside, says.inside + says.further),
    };
    let first = on.start() + right_of(on.start_tangent()) * at_first;
    let last = on.end() + right_of(on.end_tangent()) * at_last;
    let ends = if from > to { (last, first) } else { (first, last) };
    Ok(LaidBeside { says, curve: recorded_stretch(own, says.stretch.0, says.stretch.1)?, on, ends })
}

/// A stretch as it is recorded: where it ends with the curve, that may have come out a little shorter once what stood in a
/// file was read and recut.
fn recorded_stretch(curve: &Curve, from: f64, to: f64) -> Result<Curve, CurveError> {
    let length = curve.length();
    let is_end = to > length && to - length <= SAME_RUN;
    curve.stretch(from, if is_end { length } else { to })
}

/// How far inside a place of the stretch should lie whose foot is so far along what it lies beside, mm.
fn should_lie(laid: &LaidBeside, foot: f64) -> f64 {
    let share = foot / laid.on.length();
    let share = if laid.says.along.0 > laid.says.along.1 { 1.0 - share } else { share };
    (laid.says.inside + laid.says.further * share).abs()
}

/// How far the stretch, laid back, lies from where it should: its ends, and all along.
fn off(laid: &LaidBeside, back: &Motion) -> f64 {
    let at_ends = [(laid.curve.start(), laid.ends.0), (laid.curve.end(), laid.ends.1)]
        .map(|(own, should)| back.apply(own).distance(should));
    // Inside of an edge with a corner the line runs on to a point: there it stands further off.
    let corners: Vec<Point> = laid.on.joints().iter().map(|joint| laid.on.point_at(joint.at)).collect();
    let at_corner = |place: Point| {
        let foot = laid.on.point_at(laid.on.nearest(place).at);
        laid.says.inside != 0.0 && corners.iter().any(|corner| corner.distance(foot) <= SAME_POINT)
    };
    let places = places(&laid.curve).map(|place| back.apply(place)).filter(|place| !at_corner(*place));
    let beside = places.map(|place| {
        let foot = laid.on.nearest(place);
        (foot.distance - should_lie(laid, foot.at)).abs()
    });
    at_ends.into_iter().chain(beside).fold(0.0, f64::max)
}
