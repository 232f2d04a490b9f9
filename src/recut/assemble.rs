//! Making a piece of parts of old ones, each carried rigidly.
//!
//! A plan says which stretches of old edges, moved how, and which new lines make up the outline. From it come
//! the new piece and a map from every stretch of an old edge to where it lies now; by that map seams, notches
//! and darts are carried along.

use crate::curve::{Curve, Motion, Outline};
use crate::pattern::{
    ClothName, Copy, Cut, Dart, DartName, DartShape, Edge, EdgeId, EdgeName, EdgeRef, Finish, Kept, Level,
    Mouth, Origin, Piece, PieceName, Refusal, RefusalKind, Selvedge, Travel,
};
use crate::recut::line::On;
use crate::recut::{bridged, carry};
use crate::tolerance::{JOINT, SAME_CUT};
use crate::units::Length;

/// A region of an old piece, and the motion that carries it.
#[derive(Clone, Debug)]
pub(super) struct Part<'a> {
    pub piece: &'a Piece,
    /// Its outline on the old piece; none where it is the whole piece.
    pub region: Option<Outline>,
    pub motion: Motion,
    /// Which copy of the old piece is used.
    pub copy: Copy,
    /// Its levels on the old piece where they are not just those that lie in the region.
    pub levels: Option<Vec<Level>>,
}

impl<'a> Part<'a> {
    pub(super) fn whole(piece: &'a Piece, motion: Motion) -> Part<'a> {
        Part { piece, region: None, motion, copy: Copy::Drawn, levels: None }
    }

    pub(super) fn of(piece: &'a Piece, region: Outline, motion: Motion) -> Part<'a> {
        Part { piece, region: Some(region), motion, copy: Copy::Drawn, levels: None }
    }
}

/// A stretch of the new outline.
#[derive(Clone, Debug)]
pub(super) enum Bit {
    /// A stretch of an old edge, `from < to` on its curve; a mirrored part is walked from `to`.
    Old { part: usize, edge: EdgeId, from: f64, to: f64 },
    /// The way from one part to the next where they do not quite meet. Edges on both sides are brought to its middle
    /// where they can be, see [`bridged`]; else it is part of the edge before it.
    Bridge(Curve),
    /// The mouth of a new dart, by its place in the plan's list; on the edge of a part where that is said, else on the
    /// edge before it.
    Mouth { dart: usize, chord: Curve, on: Option<(usize, EdgeId)> },
    /// A new edge.
    New { look: Look, curve: Curve },
}

/// What an edge is besides its curve.
#[derive(Clone, Debug)]
pub(super) struct Look {
    pub name: EdgeName,
    pub finish: Finish,
    pub allowance: Length,
    pub selvedge: Selvedge,
    pub kept: Kept,
}

impl Look {
    pub(super) fn of(edge: &Edge) -> Look {
        Look {
            name: edge.name.clone(),
            finish: edge.finish,
            allowance: edge.allowance,
            selvedge: edge.selvedge,
            kept: edge.kept.clone(),
        }
    }

    pub(super) fn seam(name: EdgeName, allowance: Length) -> Look {
        Look { name, finish: Finish::Seam, allowance, selvedge: Selvedge::No, kept: Kept::default() }
    }
}

/// Whether what has no place on a piece (a comment) goes along.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unplaced {
    Keep,
    Leave,
}

/// How a piece is to be made.
#[derive(Clone, Debug)]
pub(super) struct Plan<'a> {
    pub name: PieceName,
    pub cut: Cut,
    pub cloth: ClothName,
    pub kept: Kept,
    pub parts: Vec<Part<'a>>,
    /// The outline, clockwise, beginning at a corner.
    pub bits: Vec<Bit>,
    /// The part whose grain the piece has.
    pub grain: usize,
    /// Darts that do not go along.
    pub taken: Vec<(PieceName, DartName)>,
    /// Darts that were on no old piece; the mouth of an open one is set where its [`Bit::Mouth`] lies.
    pub new_darts: Vec<Dart>,
    /// Pairs of old edges, each of a part, of which the second goes on with the first as one edge.
    pub continued: Vec<[(usize, EdgeId); 2]>,
    pub unplaced: Unplaced,
}

impl<'a> Plan<'a> {
    /// A plan for a piece like another, of given parts and outline; the grain is the first part's.
    pub(super) fn like(piece: &'a Piece, name: PieceName, parts: Vec<Part<'a>>, bits: Vec<Bit>) -> Plan<'a> {
        Plan {
            name,
            cut: piece.cut,
            cloth: piece.cloth.clone(),
            kept: piece.kept.clone(),
            parts,
            bits,
            grain: 0,
            taken: Vec::new(),
            new_darts: Vec::new(),
            continued: Vec::new(),
            unplaced: Unplaced::Keep,
        }
    }
}

/// Where a stretch of an old edge lies now.
#[derive(Clone, Debug)]
pub(super) struct Mapped {
    pub part: usize,
    pub old: EdgeRef,
    /// Walk distances on the old edge, `from < to`.
    pub from: f64,
    pub to: f64,
    pub new: EdgeRef,
    /// Where on the new edge the stretch begins.
    pub new_from: f64,
    /// Whether the new edge runs as the old one did.
    pub way: Travel,
}

impl Mapped {
    /// Where a place on the old edge lies on the new one.
    pub(super) fn carry(&self, at: f64) -> f64 {
        let at = at.clamp(self.from, self.to);
        match self.way {
            Travel::Clockwise => self.new_from + (at - self.from),
            Travel::Anticlockwise => self.new_from + (self.to - at),
        }
    }

    /// Whether the place belongs to this stretch and not to the one before it.
    pub(super) fn holds(&self, at: f64) -> bool {
        let starts = if self.from <= SAME_CUT { at >= 0.0 } else { at > self.from + SAME_CUT };
        starts && at <= self.to + SAME_CUT
    }

    /// Whether a stretch of the old edge lies wholly in this one.
    pub(super) fn holds_stretch(&self, from: f64, to: f64) -> bool {
        from >= self.from - SAME_CUT && to <= self.to + SAME_CUT
    }
}

/// How a part was carried, for the record.
#[derive(Clone, Debug)]
pub(super) struct Carried {
    pub from: PieceName,
    pub copy: Copy,
    pub region: Option<Outline>,
    pub motion: Motion,
    pub off_grain: f64,
}

/// A piece made by a plan.
#[derive(Clone, Debug)]
pub(super) struct Assembled {
    pub piece: Piece,
    pub map: Vec<Mapped>,
    /// Old edges whose cloth is not here, and the new edge that takes over each one's seams.
    pub redrawn: Vec<(EdgeRef, EdgeRef)>,
    pub carried: Vec<Carried>,
}

/// The stretches of a piece's edges met on the way round the outline, clockwise, from one place to another.
/// Stretches shorter than a cut can tell are left out. From a place to itself is the whole way round.
pub(super) fn way_round(piece: &Piece, from: On, to: On) -> Vec<(EdgeId, f64, f64)> {
    let length = |edge: EdgeId| piece.edge(edge).curve.length();
    let mut way = Vec::new();
    if from.edge == to.edge && from.at + SAME_CUT < to.at {
        way.push((from.edge, from.at, to.at));
        return way;
    }
    way.push((from.edge, from.at, length(from.edge)));
    let mut edge = piece.next(from.edge);
    while edge != to.edge {
        way.push((edge, 0.0, length(edge)));
        edge = piece.next(edge);
    }
    way.push((to.edge, 0.0, to.at));
    way.retain(|(_, from, to)| to - from > SAME_CUT);
    way
}

/// The same way as bits of a part.
pub(super) fn bits_round(piece: &Piece, part: usize, from: On, to: On) -> Vec<Bit> {
    let way = way_round(piece, from, to);
    way.into_iter().map(|(edge, from, to)| Bit::Old { part, edge, from, to }).collect()
}

/// The closed region of a piece between a way round its outline and curves that lead back.
pub(super) fn region(piece: &Piece, from: On, to: On, back: &[Curve]) -> Result<Outline, Refusal> {
    let mut curves = Vec::new();
    for (edge, from, to) in way_round(piece, from, to) {
        curves.push(piece.edge(edge).curve.stretch(from, to)?);
    }
    curves.extend_from_slice(back);
    Ok(Outline::welded_within(curves, JOINT)?)
}

/// An edge in the making.
struct Draft {
    look: Look,
    curve: Option<Curve>,
    origins: Vec<Origin>,
    spans: Vec<Span>,
    mouths: Vec<(usize, f64, f64)>,
    last: Last,
}

/// What stands last in an edge in the making, by which it is known whether the next stretch goes on with it.
#[derive(Clone, Copy, PartialEq)]
enum Last {
    Old { part: usize, edge: EdgeId, from: f64, to: f64 },
    Closed,
}

struct Span {
    part: usize,
    edge: EdgeId,
    from: f64,
    to: f64,
    new_from: f64,
}

/// Makes a piece by a plan.
///
/// # Errors
///
/// Refuses where the parts do not meet, where the outline crosses itself, or where a dart would be cut.
pub(super) fn assemble(plan: &Plan) -> Result<Assembled, Refusal> {
    let mut drafts: Vec<Draft> = Vec::new();
    for (bit, curve) in plan.bits.iter().zip(bridged::curves(plan)?) {
        if let Some(curve) = curve {
            add_bit(plan, &mut drafts, bit, curve)?;
        }
    }
    join_ring(plan, &mut drafts)?;
    name_apart(&mut drafts);
    let mut edges = Vec::new();
    for draft in &drafts {
        let curve = draft.curve.clone().ok_or_else(|| empty(&plan.name))?;
        edges.push(Edge {
            name: draft.look.name.clone(),
            curve,
            finish: draft.look.finish,
            allowance: draft.look.allowance,
            selvedge: draft.look.selvedge,
            origins: draft.origins.clone(),
            kept: draft.look.kept.clone(),
        });
    }
    let mut piece = Piece::new(plan.name.clone(), edges)?;
    piece.cut = plan.cut;
    piece.cloth = plan.cloth.clone();
    piece.kept = plan.kept.clone();
    let map = map_of(plan, &drafts);
    let carried = carry::onto(plan, &map, &mut piece)?;
    add_new_darts(plan, &drafts, &mut piece)?;
    Ok(Assembled { piece, map, redrawn: Vec::new(), carried })
}

fn empty(name: &PieceName) -> Refusal {
    Refusal::new(
        RefusalKind::Geometry,
        name,
        "an edge of the new piece has no length",
        "move the line a little",
    )
}

pub(super) fn bit_curve(plan: &Plan, bit: &Bit) -> Result<Curve, Refusal> {
    Ok(match bit {
        Bit::Old { part, edge, from, to } => {
            let part = &plan.parts[*part];
            let curve = part.piece.edge(*edge).curve.stretch(*from, *to)?.moved(&part.motion);
            if part.motion.is_mirrored() { curve.reversed() } else { curve }
        }
        Bit::Bridge(curve) | Bit::Mouth { chord: curve, .. } | Bit::New { curve, .. } => curve.clone(),
    })
}

/// Whether a stretch goes on with the edge that ends in another: the same old edge, and not past it.
fn goes_on(plan: &Plan, last: Last, bit: &Bit) -> bool {
    match (last, bit) {
        (Last::Old { .. }, Bit::Bridge(_) | Bit::Mouth { on: None, .. }) => true,
        (Last::Old { part, edge, .. }, Bit::Mouth { on: Some((other, on)), .. }) => {
            edge == *on && plan.parts[part].piece.name() == plan.parts[*other].piece.name()
        }
        (Last::Old { part: a, edge: e, .. }, Bit::Old { part: b, edge: f, .. })
            if plan.continued.contains(&[(a, e), (*b, *f)]) =>
        {
            true
        }
        (Last::Old { part: a, edge: e, from, to }, Bit::Old { part: b, edge: f, from: next, to: end }) => {
            let (a, b) = (&plan.parts[a], &plan.parts[*b]);
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

fn add_bit(plan: &Plan, drafts: &mut Vec<Draft>, bit: &Bit, curve: Curve) -> Result<(), Refusal> {
    let goes_on = drafts.last().is_some_and(|draft| goes_on(plan, draft.last, bit));
    if !goes_on {
        drafts.push(Draft {
            look: look_of(plan, bit),
            curve: None,
            origins: Vec::new(),
            spans: Vec::new(),
            mouths: Vec::new(),
            last: Last::Closed,
        });
    }
    let Some(draft) = drafts.last_mut() else { return Ok(()) };
    if let Bit::Old { part, edge, .. } = bit
        && draft.spans.first().is_some_and(|span| span.part > *part)
    {
        draft.look = look_of_edge(plan, *part, *edge);
    }
    let before = draft.curve.as_ref().map_or(0.0, Curve::length);
    let length = curve.length();
    draft.curve = Some(match draft.curve.take() {
        Some(so_far) => so_far.joined_within(&curve, JOINT).map_err(|_| apart(plan, &so_far, &curve))?,
        None => curve,
    });
    match bit {
        Bit::Old { part, edge, from, to } => {
            draft.origins.extend(origins(&plan.parts[*part], *edge, *from, *to));
            draft.spans.push(Span { part: *part, edge: *edge, from: *from, to: *to, new_from: before });
            draft.last = Last::Old { part: *part, edge: *edge, from: *from, to: *to };
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

fn apart(plan: &Plan, a: &Curve, b: &Curve) -> Refusal {
    Refusal::new(
        RefusalKind::Geometry,
        &plan.name,
        format!("two parts of the new outline end {:.3} mm apart", a.end().distance(b.start())),
        "choose the line or place so that the parts meet",
    )
}

fn look_of(plan: &Plan, bit: &Bit) -> Look {
    match bit {
        Bit::Old { part, edge, .. } | Bit::Mouth { on: Some((part, edge)), .. } => {
            look_of_edge(plan, *part, *edge)
        }
        Bit::New { look, .. } => look.clone(),
        Bit::Bridge(_) | Bit::Mouth { on: None, .. } => Look::seam(EdgeName::plain("bridge"), Length::ZERO),
    }
}

fn look_of_edge(plan: &Plan, part: usize, edge: EdgeId) -> Look {
    let part = &plan.parts[part];
    let mut look = Look::of(part.piece.edge(edge));
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

/// Joins the last edge to the first where the outline was begun in the middle of one.
fn join_ring(plan: &Plan, drafts: &mut Vec<Draft>) -> Result<(), Refusal> {
    let [first, .., last] = drafts.as_slice() else { return Ok(()) };
    let Some(span) = first.spans.first().filter(|span| span.new_from <= SAME_CUT) else { return Ok(()) };
    let bit = Bit::Old { part: span.part, edge: span.edge, from: span.from, to: span.to };
    if !goes_on(plan, last.last, &bit) {
        return Ok(());
    }
    let (Some(tail), Some(head)) = (&last.curve, &first.curve) else { return Ok(()) };
    let before = tail.length();
    let curve = tail.joined_within(head, JOINT).map_err(|_| apart(plan, tail, head))?;
    let first = drafts.remove(0);
    let Some(last) = drafts.last_mut() else { return Ok(()) };
    if first.spans.first().zip(last.spans.first()).is_some_and(|(head, tail)| head.part < tail.part) {
        last.look = first.look;
    }
    last.curve = Some(curve);
    last.origins.extend(first.origins);
    last.spans.extend(first.spans.into_iter().map(|span| Span { new_from: span.new_from + before, ..span }));
    last.mouths.extend(first.mouths.into_iter().map(|(dart, from, to)| (dart, from + before, to + before)));
    Ok(())
}

/// Gives stretches of one name a name each. The first keeps it, and so does every other edge: a new edge is found again by
/// the name it was made with.
fn name_apart(drafts: &mut [Draft]) {
    for i in 0..drafts.len() {
        let name = drafts[i].look.name.clone();
        if drafts[..i].iter().any(|before| before.look.name == name) {
            let taken = |name: &EdgeName| drafts.iter().any(|other| other.look.name == *name);
            drafts[i].look.name = name.free(taken);
        }
    }
}

fn map_of(plan: &Plan, drafts: &[Draft]) -> Vec<Mapped> {
    let mut map: Vec<Mapped> = Vec::new();
    for draft in drafts {
        let new = EdgeRef::new(plan.name.clone(), draft.look.name.clone());
        for span in &draft.spans {
            let part = &plan.parts[span.part];
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

fn add_new_darts(plan: &Plan, drafts: &[Draft], piece: &mut Piece) -> Result<(), Refusal> {
    for (i, new) in plan.new_darts.iter().enumerate() {
        let mut dart = new.clone();
        dart.name = dart.name.free(|name| piece.darts.iter().any(|other| other.name == *name));
        if let DartShape::Open { mouth, legs } = &mut dart.shape {
            let found = drafts.iter().find_map(|draft| {
                draft.mouths.iter().find(|(dart, ..)| *dart == i).map(|(_, from, to)| (draft, *from, *to))
            });
            let Some((draft, from, to)) = found else { return Err(empty(&plan.name)) };
            let Some(edge) = piece.find_edge(&draft.look.name) else { return Err(empty(&plan.name)) };
            *mouth = Mouth { edge: draft.look.name.clone(), from, to };
            legs.0 = legs.0.with_ends(piece.point_on(edge, from), legs.0.end())?;
            legs.1 = legs.1.with_ends(piece.point_on(edge, to), legs.0.end())?;
        }
        piece.darts.push(dart);
    }
    Ok(())
}
