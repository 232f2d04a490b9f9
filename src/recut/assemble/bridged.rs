//! Small gaps between the parts of an outline: where two edges end beside one another, both are brought to the middle, so
//! that the edge goes on with a bend at most and not in a step.
//!
//! ```text
//!     ────────┐             ────────.
//!             └────────  →           `────────
//! ```

use crate::curve::{Curve, Point};
use crate::pattern::{EdgeEnd, Finish, Refusal};
use crate::recut::assemble::{Assembly, Bit};
use crate::recut::reshape::reshape_end;
use crate::tolerance::RESHAPE_REACH;

/// The curve of every bit of an assembly; none for a bridge that is not needed, as its neighbours meet in its middle.
pub(super) fn curves(assembly: &Assembly) -> Result<Vec<Option<Curve>>, Refusal> {
    let curves: Result<Vec<Curve>, Refusal> =
        assembly.bits.iter().map(|bit| assembly.curve_of(bit)).collect();
    let mut curves: Vec<Option<Curve>> = curves?.into_iter().map(Some).collect();
    let count = curves.len();
    for i in 0..count {
        let Bit::Bridge(bridge) = &assembly.bits[i] else { continue };
        let (before, after) = ((i + count - 1) % count, (i + 1) % count);
        let middle = bridge.start().midpoint(bridge.end());
        let brought =
            |at: usize, end| curves[at].as_ref().and_then(|curve| brought(assembly, at, curve, end, middle));
        if let (Some(new_before), Some(new_after)) =
            (brought(before, EdgeEnd::Last), brought(after, EdgeEnd::First))
        {
            curves[before] = Some(new_before);
            curves[after] = Some(new_after);
            curves[i] = None;
        }
    }
    Ok(curves)
}

/// A bit's curve with an end brought to a point; none where it is no old edge, has a dart, or must stay straight.
fn brought(assembly: &Assembly, at: usize, curve: &Curve, end: EdgeEnd, to: Point) -> Option<Curve> {
    let Bit::Old { part, edge, .. } = &assembly.bits[at] else { return None };
    let piece = assembly.parts[*part].piece;
    let edge = piece.edge(*edge);
    if edge.finish == Finish::Fold || !piece.mouths_on(&edge.name).is_empty() {
        return None;
    }
    reshape_end(curve, end, to, RESHAPE_REACH.min(curve.length() / 2.0)).ok()
}
