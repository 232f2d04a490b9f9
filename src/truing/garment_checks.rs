//! Checks of the whole garment: how often its pieces are cut, and whether it is still the same size.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::pattern::{Copy, EdgeId, EdgeRef, LevelName, Pattern, Piece, PieceName, Seam, settle};
use crate::truing::account::girth_accounts;
use crate::truing::{Finding, FindingKind, Limits, Weight};
use crate::units::Length;

/// All that is not true of the garment as a whole.
pub(super) fn check(pattern: &Pattern, limits: &Limits, found: &mut Vec<Finding>) {
    let known = Known::of(pattern);
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

/// The levels whose girth the steps declare to have changed by more than is allowed to change without a word, and by how
/// much on the whole garment.
#[must_use]
pub fn declared_girths(pattern: &Pattern, limits: &Limits) -> Vec<(LevelName, Length)> {
    let Some(then) = &pattern.record.ledger else { return Vec::new() };
    let accounts = girth_accounts(pattern, &then.girths).into_iter();
    let declared = accounts.map(|account| (account.level, account.declared));
    declared.filter(|(_, declared)| declared.mm().abs() > limits.girth.mm()).collect()
}

/// How often a seam can be sewn with what is cut of one of its edges.
#[derive(Clone, Copy, Debug)]
struct Count {
    /// The fold of a half piece counted as its centre: both halves are left and right of the garment.
    halves: u32,
    /// The fold counted as a turned edge, or the copies that lie on one another: only one half is sewn here.
    turned: u32,
    /// Whether it is known that one half lies on the other.
    is_turned: bool,
}

impl Count {
    /// How often it can be sewn as far as is known.
    fn usual(&self) -> u32 {
        if self.is_turned { self.turned } else { self.halves }
    }

    /// How often it can be sewn by any reading.
    fn readings(&self) -> [u32; 2] {
        if self.is_turned { [self.turned; 2] } else { [self.halves, self.turned] }
    }

    fn may_agree(&self, other: &Count) -> bool {
        self.readings().iter().any(|count| other.readings().contains(count))
    }
}

/// The edges of a seam must be cut equally often for the times it uses each. A fold may be the turned edge of a cuff or
/// a welt: then one half of the piece is sewn here. That is known where the piece is sewn to its own other half; where
/// only one reading agrees, it is a warning.
fn check_counts(pattern: &Pattern, known: &Known, seam: &Seam, found: &mut Vec<Finding>) {
    let Some(counts) = counts(pattern, known, seam) else {
        found.push(no_mirrored_copy(seam));
        return;
    };
    let Some(first) = counts.first() else { return };
    let weight = |count: &Count| match (count.usual() == first.usual(), count.may_agree(first)) {
        (true, _) => None,
        (false, true) => Some(Weight::Warning),
        (false, false) => Some(Weight::Untrue),
    };
    let worst = counts.iter().filter_map(|count| Some((weight(count)?, count.usual()))).min();
    if let Some((weight, count)) = worst {
        found.push(Finding::of_count(FindingKind::CutCount, seam.name(), first.usual(), count, weight));
    }
}

/// What is cut of every edge of a seam; none where a mirrored copy is named of a piece that has none.
///
/// A seam stands for its mirror image too, unless that is declared by itself, as it is where a half piece was opened
/// out: then of a piece with two sides only one is sewn here.
fn counts(pattern: &Pattern, known: &Known, seam: &Seam) -> Option<Vec<Count>> {
    let by_itself = known.seams.contains(&edges_of(seam, |edge| mirror_image(pattern, edge)));
    let edges = || seam.edges().map(|run| &run.edge);
    let mut uses: FxHashMap<EdgeRef, u32> = FxHashMap::default();
    for edge in edges() {
        *uses.entry(drawn(edge)).or_default() += 1;
    }
    let mut counts = Vec::new();
    for edge in edges() {
        let Ok(piece) = pattern.piece(&edge.piece) else { continue };
        if edge.copy == Copy::Mirrored && !piece.has_mirrored_copy() {
            return None;
        }
        let one_side = by_itself && !seam_holds(seam, &edge.mirrored()) && piece.has_mirrored_copy();
        let used = uses.get(&drawn(edge)).copied().unwrap_or(1) * if one_side { 2 } else { 1 };
        let is_turned = known.turned.contains(piece.name());
        let alone = if is_turned { piece.times() / 2 } else { piece.cut.copies };
        counts.push(Count { halves: piece.times() / used, turned: alone / used, is_turned });
    }
    Some(counts)
}

fn seam_holds(seam: &Seam, edge: &EdgeRef) -> bool {
    seam.edges().any(|run| run.edge == *edge)
}

/// The edges of a seam in a fixed order, each as told.
fn edges_of(seam: &Seam, told: impl Fn(&EdgeRef) -> EdgeRef) -> Vec<EdgeRef> {
    let mut edges: Vec<EdgeRef> = seam.edges().map(|run| told(&run.edge)).collect();
    edges.sort();
    edges
}

/// The edge on the other side of the garment: on an opened piece another edge of it, else the same on the other copy.
fn mirror_image(pattern: &Pattern, edge: &EdgeRef) -> EdgeRef {
    let original = edge.edge.mirror_of().map(|name| EdgeRef { edge: name, ..edge.clone() });
    match original.filter(|original| pattern.find_edge(original).is_some()) {
        Some(original) => original,
        None => settle(pattern, &edge.mirrored()),
    }
}

fn drawn(edge: &EdgeRef) -> EdgeRef {
    EdgeRef { copy: Copy::Drawn, ..edge.clone() }
}

fn no_mirrored_copy(seam: &Seam) -> Finding {
    Finding::of_count(FindingKind::CutCount, seam.name(), 1, 2, Weight::Untrue)
}

/// Whether a half piece is sewn to its own other half at the fold itself, as the ends of a welt or a cuff are: then the
/// fold is a turned edge. A band that is sewn to its other half far from the fold lies round the body.
fn is_turned_at_fold(pattern: &Pattern, piece: &Piece) -> bool {
    let Some(fold) = piece.fold() else { return false };
    let is_own = |id: EdgeId| {
        let edge = piece.edge_ref(id);
        pattern.seams().iter().any(|seam| seam.is_to_own_mirror() && seam.edges().any(|run| run.edge == edge))
    };
    is_own(piece.previous(fold)) || is_own(piece.next(fold))
}

/// Whether two edges that meet are both sewn to the mirrored copy of the piece, as where the turned edge of a welt was
/// opened: the two copies lie on one another.
fn is_sewn_to_its_mirror_round_a_corner(pattern: &Pattern, piece: &Piece) -> bool {
    let is_own = |id: EdgeId| {
        let edge = EdgeRef::new(piece.name().clone(), piece.edge(id).name.clone());
        pattern.seams().iter().any(|seam| seam.is_to_own_mirror() && seam.edges().any(|run| run.edge == edge))
    };
    piece.has_mirrored_copy() && piece.edge_ids().any(|id| is_own(id) && is_own(piece.next(id)))
}

/// What is found out once for all seams of a pattern.
struct Known {
    /// The pieces that lie on their own other half when they are sewn, so that one half may be sewn alone: half pieces that
    /// are sewn to their other half, whose fold is a turned edge, and pieces sewn to their mirrored copy round a corner.
    turned: FxHashSet<PieceName>,
    /// The edges of each seam, in a fixed order.
    seams: FxHashSet<Vec<EdgeRef>>,
}

impl Known {
    fn of(pattern: &Pattern) -> Known {
        let own = pattern.seams().iter().filter(|seam| seam.is_to_own_mirror());
        let turned = own
            .flat_map(|seam| seam.first.edges())
            .filter_map(|run| pattern.find(&run.edge.piece))
            .filter(|piece| {
                is_turned_at_fold(pattern, piece) || is_sewn_to_its_mirror_round_a_corner(pattern, piece)
            })
            .map(|piece| piece.name().clone());
        Known {
            turned: turned.collect(),
            seams: pattern.seams().iter().map(|seam| edges_of(seam, EdgeRef::clone)).collect(),
        }
    }
}
