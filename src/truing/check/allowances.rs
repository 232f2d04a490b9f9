//! Allowances of the two sides of a seam.

use super::Measures;
use crate::pattern::{EdgeRef, Finish, Pattern, Run, Side};
use crate::tolerance::SEWN_TOGETHER;
use crate::truing::finding::{Finding, FindingKind, Measured};

/// Seams whose sides have different allowances where they lie on one another. An edge that is sewn though it is
/// finished otherwise, as where it laps over the other, may have what it likes.
pub(super) fn along_seams(measures: &Measures<'_>) -> Vec<Finding> {
    let limit = measures.limits.allowance.mm();
    let mut findings = Vec::new();
    for walk in &measures.walks {
        let seam = measures.pattern.seam(walk.seam);
        let [first, second] = Side::BOTH.map(|side| depths(measures.pattern, seam.side(side)));
        let scale = walk.first.length.mm() / walk.second.length.mm().max(f64::MIN_POSITIVE);
        let mut j = 0;
        for a in &first {
            while j < second.len() && second[j].to * scale <= a.from {
                j += 1;
            }
            for b in second[j..].iter().take_while(|b| b.from * scale < a.to) {
                let together = a.to.min(b.to * scale) - a.from.max(b.from * scale);
                let shortest = (a.to - a.from).min((b.to - b.from) * scale);
                if together < SEWN_TOGETHER.min(shortest) || !a.is_seam || !b.is_seam {
                    continue;
                }
                let at = format!("{} with {}", a.edge, b.edge);
                let differ = a.depth - b.depth;
                let found = Finding::over(FindingKind::Allowance, at, differ, limit, Measured::Millimetres);
                findings.extend(found);
            }
        }
    }
    findings
}

/// The allowance of an edge of a run, and the walk distances between which it lies.
struct Depth<'a> {
    edge: &'a EdgeRef,
    from: f64,
    to: f64,
    depth: f64,
    is_seam: bool,
}

fn depths<'a>(pattern: &'a Pattern, run: &'a Run) -> Vec<Depth<'a>> {
    let mut depths = Vec::new();
    let mut from = 0.0;
    for run_edge in run.edges() {
        let Ok((piece, id)) = pattern.edge(&run_edge.edge) else { continue };
        let edge = piece.edge(id);
        let to = from + piece.sewn_length(id);
        depths.push(Depth {
            edge: &run_edge.edge,
            from,
            to,
            depth: edge.cut_allowance().mm(),
            is_seam: edge.finish == Finish::Seam,
        });
        from = to;
    }
    depths
}
