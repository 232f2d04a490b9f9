//! What a sheet was likely meant to say, but does not: misspelt attributes, allowances left out.

use std::collections::HashMap;

use crate::drawing::Node;
use crate::pattern::{EdgeName, Finish, Kept, Pattern, PieceName, Refusal, RefusalKind, Selvedge, settle};
use crate::sheet::attributes::{self, Bearer, GIRTH};
use crate::sheet::kinds::{
    ElementKind, is_ours, is_piece, kinds_in_words, mistyped_kind, stated_kind, unknown_kind,
};
use crate::sheet::parts::{DeclaredEdge, Parts};
use crate::sheet::{Meant, ReadError, SheetNote};

/// Tells of the attributes of an element that are not read on it, but were likely meant to be: each once for the sheet.
pub(super) fn tell_unread(node: &Node, on: Bearer, notes: &mut Vec<SheetNote>) {
    for (written, _) in &node.attributes {
        if let Some(meaning) = attributes::unread(written, on) {
            tell_one(node, written, meaning, notes);
        }
    }
}

/// Keeps what a piece without levels says of its levels, and tells of it.
pub(super) fn tell_without_levels(node: &Node, kept: &mut Kept, notes: &mut Vec<SheetNote>) {
    if let Some(said) = node.attribute(GIRTH) {
        kept.attributes.push((GIRTH.to_owned(), said.to_owned()));
        tell_one(node, GIRTH, Meant::On(Bearer::Part(ElementKind::Level).to_string()), notes);
    }
}

fn tell_one(node: &Node, written: &str, meaning: Meant, notes: &mut Vec<SheetNote>) {
    let told = notes.iter_mut().find_map(|note| match note {
        SheetNote::UnreadAttribute { name, meant, count, .. } if *name == written && *meant == meaning => {
            Some(count)
        }
        _ => None,
    });
    match told {
        Some(count) => *count += 1,
        None => notes.push(SheetNote::UnreadAttribute {
            first: node.element(),
            count: 1,
            name: written.to_owned(),
            meant: meaning,
        }),
    }
}

/// Refuses an element whose kind is a slip of a known one: what it was meant to be would be missing.
///
/// # Errors
///
/// Names the kind that was likely meant.
pub(super) fn refuse_mistyped_kind(node: &Node) -> Result<(), ReadError> {
    let Some(stated) = unknown_kind(node) else { return Ok(()) };
    match mistyped_kind(stated) {
        Some(meant) => Err(ReadError::at(
            node,
            Refusal::new(
                RefusalKind::UnknownName,
                format!("data-kind=\"{stated}\""),
                "this kind is not known",
                format!("did you mean \"{meant}\"? For a mark of your own say data-kind=\"mark\""),
            ),
        )),
        None => Ok(()),
    }
}

/// The refusal of an outline, with the first element of a kind that is not known, which may have been meant as an edge.
pub(super) fn with_unknown_kinds(refusal: Refusal, parts: &Parts) -> Refusal {
    let unknown = parts.of_kind(ElementKind::Mark).find_map(|node| Some((node, unknown_kind(node)?)));
    match unknown {
        Some((node, kind)) => Refusal {
            way_out: refusal.way_out.clone().and(format!(
                "; {} says data-kind=\"{kind}\", which is none of {}",
                node.element(),
                kinds_in_words()
            )),
            ..refusal
        },
        None => refusal,
    }
}

/// Tells of ids that stand on several elements that are read: of the first, and how many there are.
pub(super) fn tell_repeated_ids(pieces: &[&Node], notes: &mut Vec<SheetNote>) {
    let mut first: HashMap<&str, (usize, usize)> = HashMap::new();
    let mut told = None;
    for piece in pieces {
        piece.walk(&mut |node| {
            let is_read = stated_kind(node).is_some_and(|kind| kind != ElementKind::Mark) || is_piece(node);
            let Some(id) = node.id.as_deref().filter(|_| is_read && !is_ours(node)) else { return };
            let (at, line) = (node.raw.range().start, node.element().line);
            match first.get(id) {
                Some((before, line)) if *before != at => {
                    let (_, _, count) = told.get_or_insert_with(|| (node.element(), *line, 0));
                    *count += 1;
                }
                Some(_) => {}
                None => {
                    first.insert(id, (at, line));
                }
            }
        });
    }
    notes.extend(told.map(|(again, before, count)| SheetNote::RepeatedId { again, before, count }));
}

/// Tells of ease under zero on an edge that is sewn to one other, which could give it.
pub(super) fn tell_negative_eases(pattern: &Pattern, declared: &[DeclaredEdge], notes: &mut Vec<SheetNote>) {
    for says in declared {
        let layers = says.sewn_to.iter().flat_map(|sewn_to| sewn_to.layers()).zip(&says.eases);
        for (partner, ease) in layers.filter(|(_, ease)| ease.mm() < 0.0) {
            let [longer] = partner.edges.as_slice() else { continue };
            let longer = settle(pattern, longer);
            if declared.iter().any(|other| other.edge.same_edge(&longer) && !other.eases.is_empty()) {
                continue;
            }
            notes.push(SheetNote::NegativeEase { edge: says.edge.clone(), ease: *ease, longer });
        }
    }
}

/// Tells of edges that give no allowance and are neither a fold, nor said to be free, nor on the selvedge: of each piece
/// once, or once for a sheet that gives none at all.
///
/// # Errors
///
/// Refuses an edge that is not in the pattern.
pub(super) fn tell_without_allowance(
    pattern: &Pattern,
    declared: &[DeclaredEdge],
    notes: &mut Vec<SheetNote>,
) -> Result<(), Refusal> {
    let mut without: Vec<(PieceName, Vec<EdgeName>)> = Vec::new();
    for says in declared.iter().filter(|says| says.allowance.is_none() && says.finish != Some(Finish::Free)) {
        let (piece, id) = pattern.edge(&says.edge)?;
        let edge = piece.edge(id);
        if edge.finish == Finish::Fold || edge.selvedge == Selvedge::Yes {
            continue;
        }
        match without.last_mut().filter(|(last, _)| last == piece.name()) {
            Some((_, edges)) => edges.push(edge.name.clone()),
            None => without.push((piece.name().clone(), vec![edge.name.clone()])),
        }
    }
    if declared.iter().any(|says| says.allowance.is_some()) {
        notes.extend(without.into_iter().map(|(piece, edges)| SheetNote::NoAllowance { piece, edges }));
    } else if !without.is_empty() {
        notes.push(SheetNote::NoAllowances);
    }
    Ok(())
}
