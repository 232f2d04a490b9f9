//! Where the notches of a raised cap go, so that they meet those of the armhole.

use crate::derive::lining::raised::{EdgeOf, InSeam, Raised};
use crate::pattern::{Travel, Walk};

/// By how much nearer to its end of the seam a place of the armhole is when raised, at such a distance from that; none where
/// there is none.
pub(super) fn shift_at(
    walk: &Walk<'_>,
    (edges, raised): (&[EdgeOf], &[Raised]),
    lies: InSeam,
    whole: f64,
) -> Option<f64> {
    let off = lies.off * whole;
    let met = if lies.end == 0 { walk.at(off) } else { walk.before(walk.length() - off) }?;
    let which =
        edges.iter().position(|edge| edge.edge == met.edge && edge.piece.name() == met.piece.name())?;
    let (edge, line) = (&edges[which], &raised[which].line);
    let shorter = |range: &[Raised]| -> f64 {
        range.iter().map(|raised| raised.line.old.length() - raised.line.curve.length()).sum()
    };
    let from_start = |length: f64, at: f64| match edge.run_edge.travel {
        Travel::Clockwise => at,
        Travel::Anticlockwise => length - at,
    };
    let (was, is) =
        (from_start(line.old.length(), met.at), from_start(line.curve.length(), line.place(met.at)));
    Some(match lies.end {
        0 => shorter(&raised[..which]) + was - is,
        _ => shorter(&raised[which + 1..]) + (line.old.length() - was) - (line.curve.length() - is),
    })
}

/// Lets the notches of a cap go as far as those of the armhole that they meet: as near the underarm, they do so as well.
pub(super) fn notch_alike(edges: &[EdgeOf], cap: &mut [Raised], shift: impl Fn(InSeam, f64) -> Option<f64>) {
    let shorter: Vec<f64> =
        cap.iter().map(|raised| raised.line.old.length() - raised.line.curve.length()).collect();
    for (i, (edge, raised)) in edges.iter().zip(cap).enumerate() {
        let (old, new) = (raised.line.old.length(), raised.line.curve.length());
        for notch in edge.piece.notches.iter().filter(|notch| notch.edge == raised.edge) {
            let lies = edge.lies(notch.at);
            let Some(by) = shift(lies, edge.whole) else { continue };
            let before: f64 = match lies.end {
                0 => shorter[..i].iter().sum(),
                _ => shorter[i + 1..].iter().sum(),
            };
            // As far from its own end of this edge: the start of the seam is at its first end where that is walked as drawn.
            let is_from_first = (lies.end == 0) == (edge.run_edge.travel == Travel::Clockwise);
            let to = match is_from_first {
                true => notch.at - (by - before),
                false => new - ((old - notch.at) - (by - before)),
            };
            raised.notches.push((notch.at, to.clamp(0.0, new)));
        }
    }
}
