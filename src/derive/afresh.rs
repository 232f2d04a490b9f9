//! Derived pieces as they would be made now.

use std::sync::Arc;

use crate::curve::turn_between;
use crate::derive::facing_ends::ACROSS;
use crate::derive::lining::{PleatWish, divided, pleats_of_parts};
use crate::derive::whole::parts_beneath;
use crate::derive::{AddFacing, AddStrip, CopyPiece, EdgeRun, Fields, MadePiece, Over};
use crate::pattern::{
    Derived, EdgeId, EdgeName, EdgeRef, Finish, Made, MadeFrom, Making, Pattern, Piece, PieceName, Purpose,
    Refusal, RefusalKind, Unsewn,
};
use crate::tolerance::{CHECKED_ANGLE, LEAST_DIVIDED};

/// What would be made now in place of a derived piece, from what it was made from: one piece for each part that was cut
/// since. Nothing of a piece that was made of nothing.
///
/// # Errors
///
/// Refuses a piece whose source is gone, that is made of itself by way of others, of which the record does not tell how it
/// was made, and what the operation that makes it refuses.
pub fn afresh(pattern: &Pattern, piece: &Piece) -> Result<Arc<[MadePiece]>, Refusal> {
    let made = || made_afresh(pattern, piece).map(Arc::from);
    if !pattern.find(piece.name()).is_some_and(|own| std::ptr::eq(own, piece)) {
        return made();
    }
    let fields = pattern.record.made_last(piece.name());
    let question = WouldBeMade(piece.name().clone());
    let (asked, known): (Option<Made>, Result<Arc<[MadePiece]>, Refusal>) =
        pattern.reckoned(question, || (fields.cloned(), made()));
    if asked.as_ref() == fields { known } else { made() }
}

/// The question what would be made now in place of a piece.
#[derive(PartialEq, Eq, Hash)]
struct WouldBeMade(PieceName);

fn made_afresh(pattern: &Pattern, piece: &Piece) -> Result<Vec<MadePiece>, Refusal> {
    let Some(derived) = &piece.derived else { return Ok(Vec::new()) };
    refuse_gone(pattern, piece, derived)?;
    refuse_circle(pattern, piece)?;
    let fields = Fields::of(pattern, piece.name(), derived)?;
    let mut made = match (&fields, parts_beneath(pattern, piece)) {
        (Fields::Copy(copy), Some(parts)) => {
            let copy = CopyPiece { piece: parts[0].clone(), name: piece.name().clone(), ..copy.clone() };
            vec![copy.made_whole(pattern, parts)?]
        }
        _ => made_of_parts(pattern, piece, derived, &fields)?,
    };
    for one in &mut made {
        one.piece.cloth = piece.cloth.clone();
        one.piece.kept = piece.kept.clone();
        keep_arrows(one, piece);
        keep_names(one, piece)?;
        keep_divisions(pattern, one, piece)?;
        keep_own_edges(one, piece);
    }
    Ok(made)
}

/// One piece for each part.
fn made_of_parts(
    pattern: &Pattern,
    piece: &Piece,
    derived: &Derived,
    fields: &Fields,
) -> Result<Vec<MadePiece>, Refusal> {
    let parts = of_parts(pattern, piece, derived, fields);
    refuse_cut_line(piece, fields, parts.len())?;
    refuse_parted_seam(pattern, piece, derived)?;
    let mut made = Vec::new();
    for fields in parts {
        made.extend(fields.made(pattern)?);
    }
    Ok(made)
}

/// An edge that lies on none of the source's, as the inner edge of a facing, stays divided as it was: the longest of its parts is
/// as much longer or shorter as the whole.
fn keep_divisions(pattern: &Pattern, made: &mut MadePiece, piece: &Piece) -> Result<(), Refusal> {
    let lies =
        |name: &EdgeName| made.laid.iter().flat_map(|part| &part.stretches).any(|lies| lies.edge == *name);
    // An end that lay on an edge of the source which goes by another name now is no part of its neighbour.
    let last = pattern.record.made_last(piece.name());
    let lay = |name: &EdgeName| {
        let parts = last.into_iter().flat_map(|made| &made.laid);
        parts.flat_map(|part| &part.stretches).any(|lies| lies.edge == *name)
    };
    let fresh: Vec<EdgeName> = made.piece.edges().iter().map(|edge| edge.name.clone()).collect();
    for name in fresh.iter().filter(|name| !lies(name)) {
        let Some(named) = piece.find_edge(name) else { continue };
        // Its parts run on in one another; one that was divided at a corner is known by its name.
        let is_part = |id: EdgeId, joint: EdgeId| {
            let other = &piece.edge(id).name;
            let (arrives, leaves) = (&piece.edge(joint).curve, &piece.edge(piece.next(joint)).curve);
            let turn = turn_between(arrives.end_tangent(), leaves.start_tangent()).degrees();
            let is_of_line = turn.abs() <= CHECKED_ANGLE || other.is_numbered_from(name);
            is_of_line && !fresh.contains(other) && !lay(other)
        };
        let mut first = named;
        while piece.previous(first) != named && is_part(piece.previous(first), piece.previous(first)) {
            first = piece.previous(first);
        }
        let mut parts = vec![first];
        let mut next = piece.next(first);
        while next != first && (next == named || is_part(next, piece.previous(next))) {
            parts.push(next);
            next = piece.next(next);
        }
        if parts.len() < 2 {
            continue;
        }
        let whole = made.piece.edge(made.piece.edge_named(name)?).curve.length();
        let mut lengths: Vec<f64> = parts.iter().map(|id| piece.edge(*id).curve.length()).collect();
        let longer = whole - lengths.iter().sum::<f64>();
        let longest = lengths.iter().copied().fold(0.0, f64::max);
        if longest + longer <= LEAST_DIVIDED {
            continue;
        }
        if let Some(length) = lengths.iter_mut().find(|length| **length >= longest) {
            *length += longer;
        }
        let named: Vec<(EdgeName, f64)> =
            parts.iter().map(|id| piece.edge(*id).name.clone()).zip(lengths).collect();
        made.piece = divided(&made.piece, name, &named)?;
    }
    Ok(())
}

/// The edges of a facing that go by other names now, since those that they lie on do, or since an end lies on none any more,
/// keep their own: what is sewn to them knows them by it. They are told by their places, from an edge on that both have, as
/// far as the inner edge.
fn keep_names(made: &mut MadePiece, piece: &Piece) -> Result<(), Refusal> {
    if !piece.is_made(Making::Facing) {
        return Ok(());
    }
    let fresh = made.piece.clone();
    let laid: Vec<EdgeName> =
        made.laid.iter().flat_map(|part| &part.stretches).map(|lies| lies.edge.clone()).collect();
    let across = EdgeName::plain(ACROSS);
    let is_inner = |name: &EdgeName| !laid.contains(name) && !name.is_numbered_from(&across);
    let common = fresh.edge_ids().find_map(|id| {
        let name = &fresh.edge(id).name;
        laid.contains(name).then(|| piece.find_edge(name)).flatten().map(|old| (id, old))
    });
    let inner = fresh.edges().iter().map(|edge| &edge.name).find(|name| is_inner(name));
    let by_inner = || inner.and_then(|name| fresh.find_edge(name).zip(piece.find_edge(name)));
    let Some(common) = common.or_else(by_inner) else { return Ok(()) };
    // The inner edge may be in parts, of which nothing is to be named.
    let is_part = |id: EdgeId| inner.is_some_and(|inner| piece.edge(id).name.is_numbered_from(inner));
    let beyond = |way: fn(&Piece, EdgeId) -> EdgeId, from: EdgeId| {
        let mut next = way(piece, from);
        while is_part(next) && next != from {
            next = way(piece, next);
        }
        next
    };
    let ways: [fn(&Piece, EdgeId) -> EdgeId; 2] = [Piece::next, Piece::previous];
    for way in ways {
        let (mut new, mut old) = (way(&fresh, common.0), beyond(way, common.1));
        while new != common.0 && !is_inner(&fresh.edge(new).name) {
            let (name, was) = (&fresh.edge(new).name, &piece.edge(old).name);
            if name != was {
                if piece.find_edge(name).is_some() || made.piece.find_edge(was).is_some() {
                    break;
                }
                made.rename_edge(name, was)?;
            }
            (new, old) = (way(&fresh, new), beyond(way, old));
        }
    }
    Ok(())
}

/// Which way up its cloth may lie is its own.
fn keep_arrows(made: &mut MadePiece, piece: &Piece) {
    if let (Some(grain), Some(own)) = (&mut made.piece.grainline, &piece.grainline) {
        grain.arrows = own.arrows;
    }
}

/// What is set on edges that lie on none of the source's, as on the inner edge of a facing, is set for the piece alone; so are
/// the laps and openings of the seams that it alone is sewn in, and the corners of which the source says nothing.
fn keep_own_edges(made: &mut MadePiece, piece: &Piece) {
    let lies =
        |name: &EdgeName| made.laid.iter().flat_map(|part| &part.stretches).any(|lies| lies.edge == *name);
    let is_sewn_by_itself = piece.one_cloth_with().is_empty();
    let is_copy = piece.derived.as_ref().is_some_and(|derived| derived.by == Making::Copy);
    for id in made.piece.edge_ids() {
        let name = made.piece.edge(id).name.clone();
        let Some(now) = piece.find_edge(&name).map(|id| piece.edge(id)) else { continue };
        let settings = made.piece.edge_settings(id);
        *settings.lap = now.lap;
        if is_sewn_by_itself {
            *settings.open = now.open;
        }
        if lies(&name) {
            continue;
        }
        // The centre of a lining that a pleat moved is no fold where that of its piece is none any more.
        if is_copy && now.finish == Finish::Fold && *settings.finish != Finish::Fold {
            continue;
        }
        if (*settings.finish == Finish::Fold) != (now.finish == Finish::Fold) {
            made.piece.cut = piece.cut;
        }
        let settings = made.piece.edge_settings(id);
        (*settings.finish, *settings.allowance, *settings.selvedge) =
            (now.finish, now.allowance, now.selvedge);
        // That it was sewn does not say that it is.
        if now.unsewn == Unsewn::Meant {
            *settings.unsewn = Unsewn::Meant;
        }
    }
    for corner in &piece.corners {
        let edges = [&corner.edges.0, &corner.edges.1].map(|name| made.piece.find_edge(name));
        if let [Some(a), Some(b)] = edges
            && made.piece.set_corner(a, b).is_none()
        {
            made.piece.corners.push(corner.clone());
        }
    }
}

/// The fields for each part that there is now of what a piece was made from.
fn of_parts(pattern: &Pattern, piece: &Piece, derived: &Derived, fields: &Fields) -> Vec<Fields> {
    match (fields, &derived.from) {
        (Fields::Copy(copy), MadeFrom::Pieces(parts)) => {
            let divided = parts.len() > 1;
            let pleats = match &copy.pleat {
                Some(pleat) if divided => pleats_of_parts(pattern, parts, pleat),
                pleat => vec![pleat.clone(); parts.len()],
            };
            let of = |(part, pleat): (&PieceName, Option<PleatWish>)| {
                let name = match divided {
                    true => free_name(pattern, piece, &copy_of_part(piece.name(), &copy.piece, part)),
                    false => piece.name().clone(),
                };
                Fields::Copy(CopyPiece { piece: part.clone(), name, pleat, ..copy.clone() })
            };
            parts.iter().zip(pleats).map(of).collect()
        }
        (Fields::Facing(facing), MadeFrom::Run(edges)) => {
            let (along, name) = (EdgeRun(edges.clone()), Some(piece.name().clone()));
            vec![Fields::Facing(AddFacing { along, name, ..facing.clone() })]
        }
        (Fields::Strip(strip), MadeFrom::Run(edges)) => {
            let over = edges.first().map_or_else(|| strip.over.clone(), |edge| Over::Named(edge.clone()));
            vec![Fields::Strip(AddStrip { over, name: Some(piece.name().clone()), ..strip.clone() })]
        }
        (Fields::Strip(strip), MadeFrom::Pieces(parts)) => strips_of_parts(pattern, piece, strip, parts),
        (Fields::Copy(_), MadeFrom::Run(_)) | (Fields::Facing(_), MadeFrom::Pieces(_)) => Vec::new(),
    }
}

/// The strips over each part that has the line which a strip lies over.
fn strips_of_parts(pattern: &Pattern, piece: &Piece, strip: &AddStrip, parts: &[PieceName]) -> Vec<Fields> {
    let Over::Named(line) = &strip.over else { return vec![Fields::Strip(strip.clone())] };
    let has_line = |part: &&PieceName| {
        let lines = pattern.find(part).into_iter().flat_map(|part| &part.style_lines);
        lines.into_iter().any(|own| own.name.as_str() == line.edge.as_str())
    };
    let having: Vec<&PieceName> = parts.iter().filter(has_line).collect();
    let of = |part: &PieceName| {
        let name = match having.len() > 1 {
            true => free_name(pattern, piece, &copy_of_part(piece.name(), &line.piece, part)),
            false => piece.name().clone(),
        };
        let over = Over::Named(EdgeRef::new(part.clone(), line.edge.clone()));
        Fields::Strip(AddStrip { over, name: Some(name), ..strip.clone() })
    };
    match having[..] {
        // Where the line is gone, that is what is refused.
        [] => vec![Fields::Strip(strip.clone())],
        _ => having.iter().map(|part| of(part)).collect(),
    }
}

/// A name that no other piece has.
fn free_name(pattern: &Pattern, piece: &Piece, name: &PieceName) -> PieceName {
    name.clone().free(|name| name != piece.name() && pattern.find(name).is_some())
}

/// What the copy of a part is called: `front-lining` of `front` becomes `front-side-lining` of `front-side`.
fn copy_of_part(copy: &PieceName, whole: &PieceName, part: &PieceName) -> PieceName {
    let ending = copy.as_str().strip_prefix(whole.as_str()).and_then(|rest| rest.strip_prefix('-'));
    part.with(ending.unwrap_or(copy.as_str()))
}

fn refuse_gone(pattern: &Pattern, piece: &Piece, derived: &Derived) -> Result<(), Refusal> {
    let gone = match &derived.from {
        MadeFrom::Pieces(pieces) => {
            pieces.iter().find(|name| pattern.find(name).is_none()).map(ToString::to_string)
        }
        MadeFrom::Run(edges) => {
            edges.iter().find(|edge| pattern.find_edge(edge).is_none()).map(ToString::to_string)
        }
    };
    match gone {
        None => Ok(()),
        Some(gone) => Err(Refusal::new(
            RefusalKind::UnknownName,
            piece.name(),
            format!("it was made from `{gone}`, which is gone"),
            "name in data-from what there is, or take data-from and data-made-by off: the piece then stands by itself",
        )),
    }
}

/// Refuses a strip from one place to another on a line that was cut: the places were on the whole of it.
fn refuse_cut_line(piece: &Piece, fields: &Fields, parts: usize) -> Result<(), Refusal> {
    match fields {
        Fields::Strip(strip) if parts > 1 && (strip.from.is_some() || strip.to.is_some()) => {
            Err(Refusal::new(
                RefusalKind::BadLine,
                piece.name(),
                format!("`{}`, along which it goes from place to place, was cut in {parts}", strip.over),
                "make a strip over each part of the line with add-strip, and take this one off the sheet",
            ))
        }
        _ => Ok(()),
    }
}

/// Refuses a strip over a seam that lies in several seams now, as where a stretch of it is left open.
fn refuse_parted_seam(pattern: &Pattern, piece: &Piece, derived: &Derived) -> Result<(), Refusal> {
    let (Making::Strip, MadeFrom::Run(edges)) = (derived.by, &derived.from) else { return Ok(()) };
    let Some(first) = edges.first() else { return Ok(()) };
    let seam = pattern.seams_of(first).next().map(|seam| pattern.seam(seam));
    let apart = |edge: &&EdgeRef| seam.is_some_and(|seam| seam.side_of(edge).is_none());
    match edges.iter().find(apart) {
        None => Ok(()),
        Some(edge) => Err(Refusal::new(
            RefusalKind::BadSeam,
            piece.name(),
            format!("the seam beneath it was parted: `{edge}` is no longer sewn in one with `{first}`"),
            "make a strip over each stretch that is sewn with add-strip, and take this one off the sheet",
        )),
    }
}

fn refuse_circle(pattern: &Pattern, piece: &Piece) -> Result<(), Refusal> {
    let mut seen: Vec<&PieceName> = Vec::new();
    let mut next = vec![piece];
    while let Some(one) = next.pop() {
        let Some(derived) = &one.derived else { continue };
        for name in derived.from.pieces() {
            if name == piece.name() {
                return Err(Refusal::new(
                    RefusalKind::BadField,
                    piece.name(),
                    format!("it is made of itself, by way of `{}`", one.name()),
                    "name in data-from of one of them a piece that is made of none, or take data-from and data-made-by off",
                ));
            }
            if !seen.contains(&name) {
                seen.push(name);
                next.extend(pattern.find(name));
            }
        }
    }
    Ok(())
}

/// The derived pieces of a pattern, each after those it is made from.
#[must_use]
pub fn in_order(pattern: &Pattern) -> Vec<PieceName> {
    let mut left: Vec<&Piece> = pattern.pieces().filter(|piece| piece.derived.is_some()).collect();
    let mut order = Vec::new();
    while !left.is_empty() {
        let waits = |piece: &Piece| {
            let from = piece.derived.iter().flat_map(|derived| derived.from.pieces());
            from.into_iter().any(|name| left.iter().any(|other| other.name() == name))
        };
        let (waiting, ready): (Vec<&Piece>, Vec<&Piece>) = left.iter().partition(|piece| waits(piece));
        // What is left in a circle comes last, and is refused when it is made.
        let (ready, waiting) = if ready.is_empty() { (waiting, ready) } else { (ready, waiting) };
        // Linings end at facings, and come after them.
        let is_lining = |piece: &&Piece| piece.purpose == Purpose::Lining;
        let (linings, others): (Vec<&Piece>, Vec<&Piece>) = ready.into_iter().partition(is_lining);
        let (ready, waiting) = match others.is_empty() {
            true => (linings, waiting),
            false => (others, waiting.into_iter().chain(linings).collect()),
        };
        order.extend(ready.into_iter().map(|piece| piece.name().clone()));
        left = waiting;
    }
    order
}
