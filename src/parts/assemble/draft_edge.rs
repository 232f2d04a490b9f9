//! The edges of a new piece in the making, put together stretch by stretch.

use crate::curve::Curve;
use crate::parts::assemble::bridged::{BitDrawn, LaidBit};
use crate::parts::assemble::{Assembly, Bit, EdgeLook, Mapped, Part};
use crate::pattern::{Copy, DrawnAnew, EdgeId, EdgeName, EdgeRef, On, Origin, Refusal, RefusalKind, Travel};
use crate::tolerance::{JOINT, SAME_CUT};
use crate::units::Length;

/// An edge in the making.
pub(super) struct DraftEdge {
    pub(super) look: EdgeLook,
    pub(super) curve: Option<Curve>,
    pub(super) origins: Vec<Origin>,
    spans: Vec<PartSpan>,
    pub(super) mouths: Vec<(usize, f64, f64)>,
    /// Whether something of it lies otherwise than on its part.
    drawn: BitDrawn,
    last: Last,
}

/// What stands last in an edge in the making, by which it is known whether the next stretch goes on with it.
#[derive(Clone, Copy, PartialEq)]
enum Last {
    Old { part: usize, edge: EdgeId, from: f64, to: f64 },
    Closed,
}

struct PartSpan {
    part: usize,
    edge: EdgeId,
    from: f64,
    to: f64,
    new_from: f64,
    drawn: BitDrawn,
}

/// Whether an old edge is divided where a stretch of it begins.
fn is_divided(assembly: &Assembly, part: usize, edge: EdgeId, at: f64) -> bool {
    let is_here = |(of, on): &(usize, On)| *of == part && on.edge == edge && (on.at - at).abs() <= SAME_CUT;
    assembly.divided.iter().any(is_here)
}

/// Whether a stretch goes on with the edge that ends in another: the same old edge, and not past it.
fn goes_on(assembly: &Assembly, last: Last, bit: &Bit) -> bool {
    match (last, bit) {
        (Last::Old { .. }, Bit::Old { part, edge, from, .. })
            if is_divided(assembly, *part, *edge, *from) =>
        {
            false
        }
        (Last::Old { .. }, Bit::Bridge(_) | Bit::Mouth { on: None, .. }) => true,
        (Last::Old { part, edge, .. }, Bit::Mouth { on: Some((other, on)), .. }) => {
            edge == *on && assembly.parts[part].piece.name() == assembly.parts[*other].piece.name()
        }
        (Last::Old { part: a, edge: e, .. }, Bit::Old { part: b, edge: f, .. })
            if assembly.continued.contains(&[(a, e), (*b, *f)]) =>
        {
            true
        }
        (Last::Old { part: a, edge: e, from, to }, Bit::Old { part: b, edge: f, from: next, to: end }) => {
            let (a, b) = (&assembly.parts[a], &assembly.parts[*b]);
            let onward = match (a.motion.is_mirrored(), b.motion.is_mirrored()) {
                (false, false) => *next >= to - SAME_CUT,
                (true, true) => *end <= from + SAME_CUT,
                _ => false,
            };
            a.piece.name() == b.piece.name() && a.copy == b.copy && e == *f && onward
        }
        _ => false,
    }
}

pub(super) fn add_bit(
    assembly: &Assembly,
    edges: &mut Vec<DraftEdge>,
    bit: &Bit,
    LaidBit { curve, drawn }: LaidBit,
) -> Result<(), Refusal> {
    let goes_on = edges.last().is_some_and(|draft| goes_on(assembly, draft.last, bit));
    if !goes_on {
        edges.push(DraftEdge {
            look: look_of(assembly, bit),
            curve: None,
            origins: Vec::new(),
            spans: Vec::new(),
            mouths: Vec::new(),
            drawn: BitDrawn::AsItLay,
            last: Last::Closed,
        });
    }
    let Some(draft) = edges.last_mut() else { return Ok(()) };
    if let Bit::Old { part, edge, .. } = bit
        && draft.spans.first().is_some_and(|span| span.part > *part)
    {
        draft.look = look_of_edge(assembly, *part, *edge);
    }
    if drawn == BitDrawn::Anew {
        draft.drawn = drawn;
    }
    let before = draft.curve.as_ref().map_or(0.0, Curve::length);
    let length = curve.length();
    draft.curve = Some(match draft.curve.take() {
        Some(so_far) => so_far.joined_within(&curve, JOINT).map_err(|_| apart(assembly, &so_far, &curve))?,
        None => curve,
    });
    match bit {
        Bit::Old { part, edge, from, to } => {
            run_on(&mut draft.origins, origins(&assembly.parts[*part], *edge, *from, *to));
            let (part, edge, from, to) = (*part, *edge, *from, *to);
            draft.spans.push(PartSpan { part, edge, from, to, new_from: before, drawn });
            draft.last = Last::Old { part, edge, from, to };
        }
        Bit::Bridge(_) => {}
        Bit::Mouth { dart, on, .. } => {
            draft.mouths.push((*dart, before, before + length));
            if let (Some((part, edge)), Last::Closed) = (on, draft.last) {
                draft.last = Last::Old { part: *part, edge: *edge, from: 0.0, to: 0.0 };
            }
        }
        Bit::New { .. } => draft.last = Last::Closed,
    }
    Ok(())
}

fn apart(assembly: &Assembly, a: &Curve, b: &Curve) -> Refusal {
    Refusal::new(
        RefusalKind::Geometry,
        &assembly.name,
        format!("two parts of the new outline end {:.3} mm apart", a.end().distance(b.start())),
        "choose the line or place so that the parts meet",
    )
}

fn look_of(assembly: &Assembly, bit: &Bit) -> EdgeLook {
    match bit {
        Bit::Old { part, edge, .. } | Bit::Mouth { on: Some((part, edge)), .. } => {
            look_of_edge(assembly, *part, *edge)
        }
        Bit::New { look, .. } => look.clone(),
        Bit::Bridge(_) | Bit::Mouth { on: None, .. } => {
            EdgeLook::seam(EdgeName::plain("bridge"), Length::ZERO)
        }
    }
}

fn look_of_edge(assembly: &Assembly, part: usize, edge: EdgeId) -> EdgeLook {
    let part = &assembly.parts[part];
    let mut look = EdgeLook::of(part.piece.edge(edge));
    if part.copy == Copy::Mirrored {
        look.name = look.name.mirror_of().unwrap_or_else(|| look.name.on_mirrored_half());
    }
    look
}

/// The stretch of its origins that a stretch of an edge has, in the order of the new outline.
fn origins(part: &Part, edge: EdgeId, from: f64, to: f64) -> Vec<Origin> {
    let (from, to) = (part.piece.to_sewn(edge, from), part.piece.to_sewn(edge, to));
    let mut found = Vec::new();
    let mut walked = 0.0;
    for origin in &part.piece.edge(edge).origins {
        let length = (origin.to - origin.from).abs();
        let (low, high) = ((from - walked).clamp(0.0, length), (to - walked).clamp(0.0, length));
        if high - low > SAME_CUT {
            let sign = (origin.to - origin.from).signum();
            let edge = match part.copy {
                Copy::Drawn => origin.edge.clone(),
                Copy::Mirrored => origin.edge.mirrored(),
            };
            found.push(Origin { edge, from: origin.from + sign * low, to: origin.from + sign * high });
        }
        walked += length;
    }
    if part.motion.is_mirrored() {
        found.reverse();
        for origin in &mut found {
            std::mem::swap(&mut origin.from, &mut origin.to);
        }
    }
    found
}

/// Adds origins to those that come before; two stretches of one edge that follow on one another there are one.
fn run_on(origins: &mut Vec<Origin>, more: Vec<Origin>) {
    for origin in more {
        let goes_on = |last: &Origin| {
            last.edge == origin.edge
                && (last.to - origin.from).abs() <= SAME_CUT
                && (last.to - last.from) * (origin.to - origin.from) > 0.0
        };
        match origins.last_mut().filter(|last| goes_on(last)) {
            Some(last) => last.to = origin.to,
            None => origins.push(origin),
        }
    }
}

/// Joins the last edge to the first where the outline was begun in the middle of one.
pub(super) fn join_ring(assembly: &Assembly, edges: &mut Vec<DraftEdge>) -> Result<(), Refusal> {
    let [first, .., last] = edges.as_slice() else { return Ok(()) };
    let Some(span) = first.spans.first().filter(|span| span.new_from <= SAME_CUT) else { return Ok(()) };
    let bit = Bit::Old { part: span.part, edge: span.edge, from: span.from, to: span.to };
    if !goes_on(assembly, last.last, &bit) {
        return Ok(());
    }
    let (Some(tail), Some(head)) = (&last.curve, &first.curve) else { return Ok(()) };
    let before = tail.length();
    let curve = tail.joined_within(head, JOINT).map_err(|_| apart(assembly, tail, head))?;
    let first = edges.remove(0);
    let Some(last) = edges.last_mut() else { return Ok(()) };
    if first.spans.first().zip(last.spans.first()).is_some_and(|(head, tail)| head.part < tail.part) {
        last.look = first.look;
    }
    last.curve = Some(curve);
    if first.drawn == BitDrawn::Anew {
        last.drawn = first.drawn;
    }
    run_on(&mut last.origins, first.origins);
    last.spans
        .extend(first.spans.into_iter().map(|span| PartSpan { new_from: span.new_from + before, ..span }));
    last.mouths.extend(first.mouths.into_iter().map(|(dart, from, to)| (dart, from + before, to + before)));
    Ok(())
}

/// Gives stretches of one name a name each. The first keeps it, and so does every other edge: a new edge is found again by
/// the name it was made with.
pub(super) fn name_apart(edges: &mut [DraftEdge]) {
    for i in 0..edges.len() {
        let name = edges[i].look.name.clone();
        if edges[..i].iter().any(|before| before.look.name == name) {
            let taken = |name: &EdgeName| edges.iter().any(|other| other.look.name == *name);
            edges[i].look.name = name.free(taken);
        }
    }
}

/// The edges of which something was brought to meet another, or bridged.
pub(super) fn drawn_anew(assembly: &Assembly, edges: &[DraftEdge]) -> DrawnAnew {
    let old = |span: &PartSpan| assembly.parts[span.part].piece.edge_ref(span.edge);
    let spans = edges.iter().flat_map(|draft| &draft.spans);
    let after = edges.iter().filter(|draft| draft.drawn == BitDrawn::Anew);
    DrawnAnew {
        before: spans.filter(|span| span.drawn == BitDrawn::Anew).map(old).collect(),
        after: after.map(|draft| EdgeRef::new(assembly.name.clone(), draft.look.name.clone())).collect(),
    }
}

pub(super) fn map_of(assembly: &Assembly, edges: &[DraftEdge]) -> Vec<Mapped> {
    let mut map: Vec<Mapped> = Vec::new();
    for draft in edges {
        let new = EdgeRef::new(assembly.name.clone(), draft.look.name.clone());
        for span in &draft.spans {
            let part = &assembly.parts[span.part];
            let way = if part.motion.is_mirrored() { Travel::Anticlockwise } else { Travel::Clockwise };
            map.push(Mapped {
                part: span.part,
                old: EdgeRef {
                    piece: part.piece.name().clone(),
                    edge: part.piece.edge(span.edge).name.clone(),
                    copy: part.copy,
                },
                from: span.from,
                to: span.to,
                new: new.clone(),
                new_from: span.new_from,
                way,
            });
        }
    }
    map
}
