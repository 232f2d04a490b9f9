//! Where an extension lies: its line beside the edge, and its ends.

use clap::ValueEnum;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Curve, Outline, Point, offset};
use crate::pattern::{EdgeId, Field, Piece, Refusal, RefusalKind};
use crate::tolerance::{EXTENSION_ACCURACY, LEAST_END_ANGLE, SAME_CUT};
use crate::units::Length;

/// How the ends of an extension run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum ExtensionEnds {
    /// On from the neighbours, straight along their ends.
    #[default]
    Along,
    /// Square to the edge.
    Square,
}

/// The lines round an extension, clockwise as the piece's outline goes.
pub(super) struct ExtensionLines {
    /// From the edge's first corner outward.
    pub start: Curve,
    /// Where the edge lies now.
    pub outer: Curve,
    /// Back inward to the edge's last corner.
    pub end: Curve,
}

/// The least depth that is offered in place of one that is too deep, and how nearly the greatest is found, mm.
const LEAST_OFFERED: f64 = 1.0;
const FOUND_WITHIN: f64 = 0.1;

/// The extension of a depth; where there is none, the refusal names the greatest that there is.
pub(super) fn found(
    piece: &Piece,
    id: EdgeId,
    by: f64,
    ends: ExtensionEnds,
) -> Result<ExtensionLines, Refusal> {
    let why = match shape(piece, id, by, ends) {
        Ok(shape) => return Ok(shape),
        Err(why) => why,
    };
    let (mut most, mut too_deep) = (0.0, by);
    while too_deep - most > FOUND_WITHIN {
        let middle = f64::midpoint(most, too_deep);
        if shape(piece, id, middle, ends).is_ok() { most = middle } else { too_deep = middle }
    }
    let most = (most / FOUND_WITHIN).floor() * FOUND_WITHIN;
    let by = Length::from_mm((by * 100.0).round() / 100.0);
    let way_out = match ends {
        _ if most > LEAST_OFFERED => format!("extend it by up to {most:.1}mm").into(),
        ExtensionEnds::Along => advice!("end it square: ", Field::Ends.set("square")),
        ExtensionEnds::Square => "draw what is to be added as a piece of its own".into(),
    };
    Err(Refusal::new(RefusalKind::BadWidth, piece.edge_ref(id), format!("extended by {by}, {why}"), way_out)
        .about(by))
}

/// The lines of an extension, or why there are none.
fn shape(piece: &Piece, id: EdgeId, by: f64, ends: ExtensionEnds) -> Result<ExtensionLines, String> {
    let edge = &piece.edge(id).curve;
    let failed = |_| "the line beside it cannot be drawn".to_owned();
    let line = |from: Point, to: Point| Curve::line(from, to).map_err(failed);
    let beyond = offset(edge, by, EXTENSION_ACCURACY / 2.0).map_err(failed)?;
    refuse_pinched(edge, &beyond, by)?;
    let made = match ends {
        ExtensionEnds::Square => ExtensionLines {
            start: line(edge.start(), beyond.start())?,
            end: line(beyond.end(), edge.end())?,
            outer: beyond,
        },
        ExtensionEnds::Along => {
            let (before, after) = (piece.edge(piece.previous(id)), piece.edge(piece.next(id)));
            let reach = by / LEAST_END_ANGLE.sin();
            let far = beyond.run_on(reach, reach);
            let out = [
                (edge.start(), before.curve.tangent_before(before.curve.length()), &before.name),
                (edge.end(), -after.curve.tangent_at(0.0), &after.name),
            ];
            let mut met = Vec::new();
            for (corner, along, name) in out {
                let ray = line(corner, corner + along.normalize() * reach)?;
                let crossings = ray.crossings(&far);
                let first = crossings.iter().min_by(|a, b| a.at.total_cmp(&b.at));
                let first = first
                    .ok_or_else(|| format!("`{name}` runs nearly along the edge and does not lead out"))?;
                met.push(first.other_at);
            }
            if met[1] - met[0] <= SAME_CUT {
                return Err("its ends meet: the neighbours run together".to_owned());
            }
            let outer = far.stretch(met[0], met[1]).map_err(failed)?;
            ExtensionLines {
                start: line(edge.start(), outer.start())?,
                end: line(outer.end(), edge.end())?,
                outer,
            }
        }
    };
    let outside = piece.edge_ids().filter(|other| *other != id).map(|other| piece.edge(other).curve.clone());
    let whole: Vec<Curve> =
        outside.chain([made.start.clone(), made.outer.clone(), made.end.clone()]).collect();
    refuse_crossing(piece, id, whole)?;
    Ok(made)
}

/// Refuses a line that comes nearer to the edge than its distance, as where the edge is hollow.
fn refuse_pinched(edge: &Curve, beyond: &Curve, by: f64) -> Result<(), String> {
    const STEPS: u32 = 200;
    let at = |i: u32| beyond.point_at(beyond.length() * f64::from(i) / f64::from(STEPS));
    let least = (0..=STEPS).map(|i| edge.nearest(at(i)).distance).fold(f64::INFINITY, f64::min);
    if by - least <= EXTENSION_ACCURACY.max(1e-4 * by) {
        return Ok(());
    }
    Err(format!("it would be only {least:.1} mm deep in the hollow of the edge"))
}

/// Refuses lines that cross one another or the piece. The curves are those of the other edges, in their order from the
/// first, and the three of the extension.
fn refuse_crossing(piece: &Piece, id: EdgeId, curves: Vec<Curve>) -> Result<(), String> {
    let (others, new) = curves.split_at(curves.len() - 3);
    let at = piece.edge_ids().position(|other| other == id).unwrap_or(0);
    let round = others[at..].iter().chain(&others[..at]).cloned();
    let outline = Outline::new(new.iter().cloned().chain(round));
    match outline {
        Ok(outline) if outline.self_crossings().is_empty() => Ok(()),
        _ => Err("it would lie over itself or over the piece".to_owned()),
    }
}
