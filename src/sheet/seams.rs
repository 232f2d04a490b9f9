//! From what edges say they are sewn to, to the seams of a pattern.

use crate::pattern::{EdgeRef, Finish, Joins, Partner, Pattern, Refusal, RefusalKind, Seam, orient, settle};
use crate::sheet::ReadError;
use crate::sheet::drawing::Node;
use crate::sheet::pieces::DeclaredEdge;
use crate::units::Length;

/// One layer of what an edge says.
struct Said<'a> {
    node: &'a Node,
    edge: EdgeRef,
    partner: Partner,
    ease: Option<Length>,
}

/// A seam, before it is known which ends meet.
struct Unlaid<'a> {
    node: &'a Node,
    first: Vec<EdgeRef>,
    partner: Partner,
    ease: Length,
}

/// Gives a pattern the seams its edges declare, and each edge its finish.
pub(super) fn join(pattern: &mut Pattern, declared: &[DeclaredEdge]) -> Result<(), ReadError> {
    let said = layers(pattern, declared)?;
    let unlaid = paired(&said)?;
    let mut joins = Joins::default();
    for seam in &unlaid {
        joins.add(&seam.first, &seam.partner.edges);
    }
    for seam in &unlaid {
        let at = |refusal| ReadError::at(seam.node, refusal);
        let from = seam.partner.from.as_ref();
        let (first, second) = orient(pattern, &joins, &seam.first, &seam.partner.edges, from).map_err(at)?;
        pattern.add_seam(Seam { first, second, ease: seam.ease }).map_err(at)?;
    }
    finish(pattern, declared)
}

fn layers<'a>(pattern: &Pattern, declared: &[DeclaredEdge<'a>]) -> Result<Vec<Said<'a>>, ReadError> {
    let mut said = Vec::new();
    for says in declared {
        let Some(sewn_to) = &says.sewn_to else {
            if says.eases.is_empty() {
                continue;
            }
            return Err(ReadError::at(
                says.node,
                Refusal::new(
                    RefusalKind::BadSeam,
                    &says.edge,
                    "the edge has ease but is sewn to nothing",
                    "say what it is sewn to with data-sewn-to, on this edge",
                ),
            ));
        };
        for (layer, partner) in sewn_to.layers.iter().enumerate() {
            let mut edges = Vec::new();
            for edge in &partner.edges {
                let edge = settle(pattern, edge);
                pattern.edge(&edge).map_err(|refusal| ReadError::at(says.node, refusal))?;
                edges.push(edge);
            }
            said.push(Said {
                node: says.node,
                edge: says.edge.clone(),
                partner: Partner { edges, from: partner.from.clone() },
                ease: says.eases.get(layer).copied(),
            });
        }
    }
    Ok(said)
}

/// Puts together what both sides of a seam say.
fn paired<'a>(said: &[Said<'a>]) -> Result<Vec<Unlaid<'a>>, ReadError> {
    let mut used = vec![false; said.len()];
    let mut by_edge: std::collections::HashMap<(&str, &str), Vec<usize>> = std::collections::HashMap::new();
    for (i, says) in said.iter().enumerate() {
        by_edge.entry((says.edge.piece.as_str(), says.edge.edge.as_str())).or_default().push(i);
    }
    let of = |edge: &EdgeRef| -> Vec<usize> {
        by_edge.get(&(edge.piece.as_str(), edge.edge.as_str())).cloned().unwrap_or_default()
    };
    let mut seams = Vec::new();
    for i in 0..said.len() {
        if used[i] {
            continue;
        }
        let says = &said[i];
        let answers: Vec<usize> = says
            .partner
            .edges
            .iter()
            .filter(|partner| !partner.same_edge(&says.edge))
            .flat_map(&of)
            .filter(|j| said[*j].partner.edges.iter().any(|edge| edge.same_edge(&says.edge)))
            .collect();
        let first = match answers.first() {
            Some(answer) => said[*answer].partner.edges.clone(),
            None => vec![says.edge.clone()],
        };
        if let Some(other) = answers.iter().find(|j| said[**j].partner.edges != first) {
            return Err(disagree(says, &said[*other]));
        }
        let mut ease = says.ease.map(Length::mm);
        for j in &answers {
            used[*j] = true;
            agree(&mut ease, said[*j].ease.map(|ease| -ease.mm()), says)?;
        }
        for edge in &first {
            for j in of(edge).into_iter().filter(|j| said[*j].partner.edges == says.partner.edges) {
                if !edge.same_edge(&says.edge) {
                    agree(&mut ease, said[j].ease.map(Length::mm), says)?;
                }
                used[j] = true;
            }
        }
        used[i] = true;
        seams.push(Unlaid {
            node: says.node,
            first,
            partner: says.partner.clone(),
            ease: Length::from_mm(ease.unwrap_or(0.0)),
        });
    }
    Ok(seams)
}

fn agree(ease: &mut Option<f64>, other: Option<f64>, says: &Said) -> Result<(), ReadError> {
    match (*ease, other) {
        (Some(one), Some(other)) if (one - other).abs() > crate::tolerance::SAME_CUT => Err(ReadError::at(
            says.node,
            Refusal::new(
                RefusalKind::BadSeam,
                &says.edge,
                format!("the two sides of the seam give different ease: {one} mm and {other} mm"),
                "give it once, on the longer side",
            ),
        )),
        (None, Some(other)) => {
            *ease = Some(other);
            Ok(())
        }
        _ => Ok(()),
    }
}

fn disagree(says: &Said, other: &Said) -> ReadError {
    ReadError::at(
        says.node,
        Refusal::new(
            RefusalKind::BadSeam,
            &says.edge,
            format!("`{}` and its partner `{}` do not say the same of their seam", says.edge, other.edge),
            "declare the seam on one side only, or make both agree",
        ),
    )
}

/// Gives each edge its finish: as said, else a seam where it is sewn and free where it is not.
fn finish(pattern: &mut Pattern, declared: &[DeclaredEdge]) -> Result<(), ReadError> {
    let mut sewn: std::collections::HashSet<(String, String)> = std::collections::HashSet::new();
    for seam in pattern.seams() {
        for run in seam.first.edges().iter().chain(seam.second.edges()) {
            sewn.insert((run.edge.piece.to_string(), run.edge.edge.to_string()));
        }
    }
    for says in declared {
        let is_sewn = sewn.contains(&(says.edge.piece.to_string(), says.edge.edge.to_string()));
        let finish = says.finish.unwrap_or(if is_sewn { Finish::Seam } else { Finish::Free });
        if finish == Finish::Fold && is_sewn {
            return Err(ReadError::at(
                says.node,
                Refusal::new(
                    RefusalKind::BadSeam,
                    &says.edge,
                    "the edge is a fold, but is sewn to another",
                    "make it a seam (data-finish=\"seam\"), or take the seam off it",
                ),
            ));
        }
        let piece = pattern.piece_mut(&says.edge.piece)?;
        let id = piece.edge_named(&says.edge.edge)?;
        *piece.edge_settings(id).finish = finish;
    }
    Ok(())
}
