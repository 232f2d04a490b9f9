//! Checks of the whole garment: how often its pieces are cut, and whether it is still the same size.

use std::collections::{HashMap, HashSet};

use crate::pattern::{Copy, EdgeRef, Finish, Pattern, Piece, PieceName, Seam, Twins};
use crate::truing::account::girth_accounts;
use crate::truing::{Finding, FindingKind, Limits, Weight};

/// All that is not true of the garment as a whole.
pub(super) fn check(pattern: &Pattern, limits: &Limits, found: &mut Vec<Finding>) {
    let known = Known { turned: pieces_turned_on_themselves(pattern), sewn: sewn_copies(pattern) };
    for seam in pattern.seams() {
        check_counts(pattern, &known, seam, found);
    }
    check_girths(pattern, limits, found);
}

fn check_girths(pattern: &Pattern, limits: &Limits, found: &mut Vec<Finding>) {
    let Some(then) = &pattern.record.ledger else { return };
    let accounts = girth_accounts(pattern, &then.girths);
    for account in accounts.iter().filter(|account| account.then.is_some()) {
        let change = account.unaccounted().mm();
        if change.abs() > limits.girth.mm() {
            let at = account.level.to_string();
            found.push(Finding::of_length(FindingKind::GirthChanged, at, change, limits.girth));
        }
    }
}

/// What is known of the whole garment when the copies on a seam are counted.
struct Known {
    /// Half pieces whose fold is a turned edge.
    turned: Vec<PieceName>,
    /// Every edge that a seam names, on the copy it names.
    sewn: HashSet<EdgeRef>,
}

fn sewn_copies(pattern: &Pattern) -> HashSet<EdgeRef> {
    let runs = pattern.seams().iter().flat_map(|seam| seam.first.edges().iter().chain(seam.second.edges()));
    runs.map(|run| run.edge.clone()).collect()
}

/// How often a seam can be sewn with what is cut of one of its edges.
#[derive(Clone, Copy, Debug)]
struct Count {
    /// The fold of a half piece counted as its centre: both halves are left and right of the garment.
    halves: u32,
    /// The fold counted as a turned edge: only one half is sewn here.
    turned: u32,
    /// Whether it is known that the fold is a turned edge.
    is_turned: bool,
}

/// The edges of a seam must be cut equally often for the times it uses each. A fold may be the turned edge of a cuff or
/// a welt: then one half of the piece is sewn here, and that is no finding where the piece is sewn to its own other
/// half, else a warning.
fn check_counts(pattern: &Pattern, known: &Known, seam: &Seam, found: &mut Vec<Finding>) {
    let Some(counts) = counts(pattern, known, seam) else {
        found.push(no_mirrored_copy(seam));
        return;
    };
    let Some(first) = counts.first() else { return };
    let weight = |count: &Count| match (count.halves == first.halves, agree_turned(count, first)) {
        (true, _) => None,
        (false, true) if count.is_turned || first.is_turned => None,
        (false, true) => Some(Weight::Warning),
        (false, false) => Some(Weight::Untrue),
    };
    let worst = counts.iter().filter_map(|count| Some((weight(count)?, count.halves))).min();
    if let Some((weight, count)) = worst {
        found.push(Finding::of_count(FindingKind::CutCount, seam.name(), first.halves, count, weight));
    }
}

fn agree_turned(a: &Count, b: &Count) -> bool {
    a.turned == b.halves || b.turned == a.halves || a.turned == b.turned
}

/// What is cut of every edge of a seam; none where a mirrored copy is named of a piece that has none. Where the other
/// copy of an edge is sewn in a seam of its own, as beside a piece that was opened out, each seam has half.
fn counts(pattern: &Pattern, known: &Known, seam: &Seam) -> Option<Vec<Count>> {
    let edges = || seam.first.edges().iter().chain(seam.second.edges());
    let mut uses: HashMap<EdgeRef, u32> = HashMap::new();
    for run in edges() {
        *uses.entry(drawn(&run.edge)).or_default() += 1;
    }
    let mut counts = Vec::new();
    for run in edges() {
        let Ok(piece) = pattern.piece(&run.edge.piece) else { continue };
        let other_copy = run.edge.mirrored();
        let here = edges().any(|other| other.edge == other_copy);
        let elsewhere = !here && known.sewn.contains(&other_copy);
        let used = uses.get(&drawn(&run.edge)).copied().unwrap_or(1) * if elsewhere { 2 } else { 1 };
        if run.edge.copy == Copy::Mirrored && !has_mirrored_copy(piece) {
            return None;
        }
        counts.push(Count {
            halves: piece.times() / used,
            turned: piece.cut.copies / used,
            is_turned: known.turned.contains(piece.name()),
        });
    }
    Some(counts)
}

fn drawn(edge: &EdgeRef) -> EdgeRef {
    EdgeRef { copy: Copy::Drawn, ..edge.clone() }
}

fn has_mirrored_copy(piece: &Piece) -> bool {
    piece.fold().is_some() || (piece.cut.twins == Twins::Mirrored && piece.cut.copies >= 2)
}

fn no_mirrored_copy(seam: &Seam) -> Finding {
    Finding::of_count(FindingKind::CutCount, seam.name(), 1, 2, Weight::Untrue)
}

/// The half pieces that are sewn to their own other half: their fold is a turned edge.
fn pieces_turned_on_themselves(pattern: &Pattern) -> Vec<PieceName> {
    let own = pattern.seams().iter().filter(|seam| seam.is_to_own_mirror());
    own.flat_map(|seam| seam.first.edges())
        .filter_map(|run| pattern.find(&run.edge.piece))
        .filter(|piece| piece.edges().iter().any(|edge| edge.finish == Finish::Fold))
        .map(|piece| piece.name().clone())
        .collect()
}
