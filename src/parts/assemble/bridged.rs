//! Small gaps between the parts of an outline: where two edges end beside one another, both are brought to the middle, so
//! that the edge goes on with a bend at most and not in a step.
//!
//! ```text
//!     ────────┐             ────────.
//!             └────────  →           `────────
//! ```

use crate::curve::{Curve, Point};
use crate::parts::assemble::{Assembly, Bit};
use crate::parts::reshape::reshape_end;
use crate::pattern::{EdgeEnd, Finish, Refusal};
use crate::tolerance::RESHAPE_REACH;

/// A bit of an assembly as it lies in the new piece.
#[derive(Clone, Debug)]
pub(super) struct LaidBit {
    pub curve: Curve,
    pub drawn: BitDrawn,
}

/// Whether a bit lies as it does on its part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum BitDrawn {
    AsItLay,
    Anew,
}

/// Every bit of an assembly; none for a bridge that is not needed, as its neighbours meet in its middle.
pub(super) fn laid(assembly: &Assembly) -> Result<Vec<Option<LaidBit>>, Refusal> {
    let laid = |bit: &Bit| {
        let drawn = if matches!(bit, Bit::Bridge(_)) { BitDrawn::Anew } else { BitDrawn::AsItLay };
        assembly.curve_of(bit).map(|curve| Some(LaidBit { curve, drawn }))
    };
    let mut curves: Vec<Option<LaidBit>> = assembly.bits.iter().map(laid).collect::<Result<_, _>>()?;
    let count = curves.len();
    for i in 0..count {
        let Bit::Bridge(bridge) = &assembly.bits[i] else { continue };
        let (before, after) = ((i + count - 1) % count, (i + 1) % count);
        let middle = bridge.start().midpoint(bridge.end());
        let brought = |at: usize, end| {
            curves[at].as_ref().and_then(|bit| brought(assembly, at, &bit.curve, end, middle))
        };
        if let (Some(new_before), Some(new_after)) =
            (brought(before, EdgeEnd::Last), brought(after, EdgeEnd::First))
        {
            let anew = |curve| Some(LaidBit { curve, drawn: BitDrawn::Anew });
            curves[before] = anew(new_before);
            curves[after] = anew(new_after);
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
