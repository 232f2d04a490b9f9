//! A grainline that is turned by its end.

use crate::canvas::path_data;
use crate::curve::{Curve, Point, Vec2};
use crate::pattern::{EdgeId, Line, Pattern, Piece, Refusal};
use crate::recut::{GrainWay, Step, TurnGrain};
use crate::table::hand::motion::{BeneathHand, Hand, Held};
use crate::table::snap::{SnapSeen, meant_on_outline};
use crate::tolerance::{HAND_STEP, SAME_DIRECTION, STRAIGHT};
use crate::units::Length;

/// A direction that a hand is drawn to.
struct Along {
    to: GrainWay,
    way: Vec2,
    says: String,
}

/// The grain turned toward the hand: lengthwise, crosswise or along a straight edge where the hand is near that, else along a
/// line through the middle of the grainline.
///
/// # Errors
///
/// Refuses a piece without a grain.
pub(super) fn turned(hand: &Hand, piece: &Piece, ground: BeneathHand<'_>) -> Result<Held, Refusal> {
    let grain = piece.grain()?;
    let middle = grain.start.midpoint(grain.end);
    let toward = hand.at() - middle;
    if toward.hypot() < HAND_STEP {
        return Ok(Held::default());
    }
    let off = |along: &Along| toward.cross(along.way).abs();
    let near = directions(ground.pattern, piece).into_iter().filter(|along| off(along) <= hand.reach());
    let drawn = near.min_by(|a, b| off(a).total_cmp(&off(b)));
    let (to, way, snaps) = match drawn {
        Some(along) => {
            let snap = SnapSeen { says: along.says, at: hand.at };
            (along.to, along.way, vec![snap])
        }
        None => match freely(piece, middle, toward, ground.pattern) {
            Some((line, snaps)) => (GrainWay::AlongLine(line), toward.normalize(), snaps),
            None => return Ok(Held::default()),
        },
    };
    if way.cross(grain.direction()).abs() <= SAME_DIRECTION {
        return Ok(Held::default());
    }
    let reach = way * toward.hypot() * toward.dot(way).signum();
    let drawn = Curve::line(middle - reach, middle + reach)?;
    Ok(Held {
        snaps,
        drawn: path_data(&drawn.to_path()),
        ..Held::step(TurnGrain { piece: piece.name().clone(), to })
    })
}

/// The directions that a hand is drawn to.
fn directions(pattern: &Pattern, piece: &Piece) -> Vec<Along> {
    let ways = [(GrainWay::Lengthwise, "lengthwise"), (GrainWay::Crosswise, "crosswise")];
    let ways = ways.into_iter().filter_map(|(to, says)| {
        // What these are only the operation knows.
        let step: Step = TurnGrain { piece: piece.name().clone(), to: to.clone() }.into();
        let after = step.apply(pattern).ok()?.pattern;
        let way = after.find(piece.name())?.grainline.as_ref()?.direction();
        Some(Along { to, way, says: says.to_owned() })
    });
    let straight = |id: &EdgeId| piece.edge(*id).curve.is_straight(STRAIGHT);
    let edges = piece.edge_ids().filter(straight).map(|id| {
        let edge = piece.edge(id);
        Along {
            to: GrainWay::AlongLine(Line::Beside { edge: edge.name.clone(), at: Length::ZERO }),
            way: (edge.curve.end() - edge.curve.start()).normalize(),
            says: format!("along {}", edge.name),
        }
    });
    ways.chain(edges).collect()
}

/// A line through a place in a direction, by where it leaves the piece.
fn freely(piece: &Piece, through: Point, way: Vec2, pattern: &Pattern) -> Option<(Line, Vec<SnapSeen>)> {
    let far = way.normalize() * (piece.diagonal() + through.distance(piece.bounds().center()));
    let line = Curve::line(through - far, through + far).ok()?;
    let met = piece.outline().crossings_with(&line);
    let ends = [met.first()?.point, met.last()?.point];
    let ends = ends.map(|end| meant_on_outline(pattern, piece, end, 0.0));
    if ends[0].point.distance(ends[1].point) < HAND_STEP {
        return None;
    }
    let line = Line::Straight(ends.iter().map(|end| end.place.clone()).collect());
    Some((line, ends.iter().map(SnapSeen::of).collect()))
}
