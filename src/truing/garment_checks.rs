//! Checks of the whole garment: how often its pieces are cut, and whether it is still the same size.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::pattern::{
    Copy, EdgeEnd, EdgeId, EdgeRef, EdgeTip, Finish, LevelName, Pattern, Piece, PieceName, Run, RunEdge,
    Seam, settle, words,
};
use crate::truing::account::girth_accounts;
use crate::truing::meeting::{beyond, both_ways, ends_together, run_end, run_start};
use crate::truing::{Finding, FindingKind, Limits, Weight};
use crate::units::Length;

/// All that is not true of the garment as a whole.
pub(super) fn check(pattern: &Pattern, limits: &Limits, found: &mut Vec<Finding>) {
    let known = KnownOfSeams::of(pattern);
    for seam in pattern.seams() {
        check_counts(pattern, &known, seam, found);
    }
    check_arms(pattern, found);
    check_girths(pattern, limits, found);
}

/// A body has two.
const ARMS: u32 = 2;

/// A cuff that is sewn to no other piece is counted by no seam: there is one for each arm, as there is of the sleeves.
fn check_arms(pattern: &Pattern, found: &mut Vec<Finding>) {
    let called = |words: &'static [&'static str]| {
        pattern.pieces().filter(move |piece| words::says(piece.name().as_str(), words))
    };
    let sewn_on = |piece: &Piece| {
        let of_it = |run: &RunEdge| run.edge.piece == *piece.name();
        pattern.seams().iter().any(|seam| seam.edges().any(of_it) && !seam.edges().all(of_it))
    };
    let Some(sleeves) = called(&words::SLEEVE).map(|piece| piece.cut.copies.min(ARMS)).min() else { return };
    for piece in called(&words::CUFF).filter(|piece| piece.cut.copies < sleeves && !sewn_on(piece)) {
        let (at, count) = (piece.name().to_string(), piece.cut.copies);
        found.push(Finding::of_count(FindingKind::FewForArms, at, count, sleeves, Weight::Untrue));
    }
}

fn check_girths(pattern: &Pattern, limits: &Limits, found: &mut Vec<Finding>) {
    let Some(then) = &pattern.record.ledger else { return };
    let accounts = girth_accounts(pattern, &then.girths);
    for account in accounts.iter().filter(|account| account.then.is_some()) {
        let change = account.unaccounted.mm();
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
struct TimesSewn {
    /// As the piece looks to be sewn.
    usual: u32,
    /// As it may be sewn besides; the same where there is no doubt.
    otherwise: u32,
}

impl TimesSewn {
    fn may_agree(self, other: TimesSewn) -> bool {
        let readings = |count: TimesSewn| [count.usual, count.otherwise];
        readings(self).iter().any(|count| readings(other).contains(count))
    }
}

/// The edges of a seam must be cut equally often for the times it uses each. A fold is the middle of a piece whose halves
/// lie left and right, or the turned edge of a cuff or a welt: then one half of the piece is sewn here. Where that is
/// not known and only the reading agrees that looks wrong, it is a warning.
fn check_counts(pattern: &Pattern, known: &KnownOfSeams, seam: &Seam, found: &mut Vec<Finding>) {
    let Some(counts) = counts(pattern, known, seam) else {
        found.push(no_mirrored_copy(seam));
        return;
    };
    let Some(first) = counts.first() else { return };
    let weight = |count: &TimesSewn| match (count.usual == first.usual, count.may_agree(*first)) {
        (true, _) => None,
        (false, true) => Some(Weight::Warning),
        (false, false) => Some(Weight::Untrue),
    };
    let worst = counts.iter().filter_map(|count| Some((weight(count)?, count.usual))).min();
    if let Some((weight, count)) = worst {
        found.push(Finding::of_count(FindingKind::CutCount, seam.name(), first.usual, count, weight));
    }
}

/// What is cut of every edge of a seam; none where a mirrored copy is named of a piece that has none.
///
/// A seam stands for its mirror image too, unless that is declared by itself, as it is where a half piece was opened
/// out: then of a piece with two sides only one is sewn here. So it is where the other half is sewn to something else,
/// as the halves of a sleeve on the fold are to front and back.
fn counts(pattern: &Pattern, known: &KnownOfSeams, seam: &Seam) -> Option<Vec<TimesSewn>> {
    let by_itself = known.seams.contains(&edges_of(seam, |edge| mirror_image(pattern, edge)));
    let has_copy = |edge: &EdgeRef| pattern.piece(&edge.piece).map_or(true, Piece::has_mirrored_copy);
    if seam.edges().any(|run| run.edge.copy == Copy::Mirrored && !has_copy(&run.edge)) {
        return None;
    }
    let seam = &as_drawn(seam);
    let edges = || seam.edges().map(|run| &run.edge);
    let mut uses: FxHashMap<EdgeRef, u32> = FxHashMap::default();
    for edge in edges() {
        *uses.entry(drawn(edge)).or_default() += 1;
    }
    let mut counts = Vec::new();
    for edge in edges() {
        let Ok(piece) = pattern.piece(&edge.piece) else { continue };
        let has_two_sides = piece.has_mirrored_copy() && !seam_holds(seam, &edge.mirrored());
        let one_side = has_two_sides && (by_itself || known.are_sewn_apart(edge));
        let used = uses.get(&drawn(edge)).copied().unwrap_or(1) * if one_side { 2 } else { 1 };
        let (beside, on_one) = (piece.times() / used, piece.times() / 2 / used);
        counts.push(match known.halves(piece) {
            HalvesLie::Beside => TimesSewn { usual: beside, otherwise: beside },
            HalvesLie::OnOneAnother => TimesSewn { usual: on_one, otherwise: on_one },
            HalvesLie::LookBeside => TimesSewn { usual: beside, otherwise: on_one },
            HalvesLie::LookOnOneAnother => TimesSewn { usual: on_one, otherwise: beside },
        });
    }
    Some(counts)
}

fn seam_holds(seam: &Seam, edge: &EdgeRef) -> bool {
    seam.edges().any(|run| run.edge == *edge)
}

/// A seam by the drawn copies: one that names mirrored copies alone stands for its image on the drawn ones.
fn as_drawn(seam: &Seam) -> Seam {
    match seam.edges().all(|run| run.edge.copy == Copy::Mirrored) {
        true => seam.mirrored(),
        false => seam.clone(),
    }
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
    let is_own = |id: EdgeId| pattern.is_sewn_to_own_mirror(&piece.edge_ref(id));
    is_own(piece.previous(fold)) || is_own(piece.next(fold))
}

/// Whether two edges that meet are both sewn to the mirrored copy of the piece, as where the turned edge of a welt was
/// opened: the two copies lie on one another.
fn is_sewn_to_its_mirror_round_a_corner(pattern: &Pattern, piece: &Piece) -> bool {
    let is_own = |id: EdgeId| pattern.is_sewn_to_own_mirror(&piece.edge_ref(id));
    piece.has_mirrored_copy() && piece.edge_ids().any(|id| is_own(id) && is_own(piece.next(id)))
}

/// How the two halves of a piece lie when it is sewn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum HalvesLie {
    /// Left and right of the garment, or it has no halves.
    Beside,
    /// One on the other, so that one may be sewn alone.
    OnOneAnother,
    /// Left and right as far as can be seen.
    LookBeside,
    /// One on the other as far as can be seen.
    LookOnOneAnother,
}

/// What is found out once for all seams of a pattern.
struct KnownOfSeams {
    /// How the halves lie of the pieces that have any; of those cut in pairs, where the two lie on one another.
    halves: FxHashMap<PieceName, HalvesLie>,
    /// The edges of each seam, in a fixed order.
    seams: FxHashSet<Vec<EdgeRef>>,
    /// The edges that are sewn alone, without their mirrored copy, in a seam that stands for its mirror image too.
    sewn_alone: FxHashSet<EdgeRef>,
}

impl KnownOfSeams {
    fn of(pattern: &Pattern) -> KnownOfSeams {
        let together = EndsTogether::of(pattern);
        let halves = pattern.pieces().filter_map(|piece| {
            let halves = halves_of(pattern, &together, piece);
            (halves != HalvesLie::Beside).then(|| (piece.name().clone(), halves))
        });
        let seams: FxHashSet<Vec<EdgeRef>> =
            pattern.seams().iter().map(|seam| edges_of(seam, EdgeRef::clone)).collect();
        let stands_for_both =
            |seam: &&Seam| !seams.contains(&edges_of(seam, |edge| mirror_image(pattern, edge)));
        let alone = pattern.seams().iter().filter(stands_for_both).map(as_drawn).flat_map(|seam| {
            let edges = seam.edges().map(|run| run.edge.clone());
            edges.filter(|edge| !seam_holds(&seam, &edge.mirrored())).collect::<Vec<_>>()
        });
        let sewn_alone = alone.collect();
        KnownOfSeams { halves: halves.collect(), seams, sewn_alone }
    }

    /// Whether an edge and its mirrored copy are sewn to different things.
    fn are_sewn_apart(&self, edge: &EdgeRef) -> bool {
        self.sewn_alone.contains(edge) && self.sewn_alone.contains(&edge.mirrored())
    }

    fn halves(&self, piece: &Piece) -> HalvesLie {
        self.halves.get(piece.name()).copied().unwrap_or(HalvesLie::Beside)
    }
}

fn halves_of(pattern: &Pattern, together: &EndsTogether, piece: &Piece) -> HalvesLie {
    if is_turned_at_fold(pattern, piece) || is_sewn_to_its_mirror_round_a_corner(pattern, piece) {
        return HalvesLie::OnOneAnother;
    }
    let Some(fold) = piece.fold() else { return HalvesLie::Beside };
    if together.close_at_fold(piece, fold) {
        let is_round_a_ring = together.is_sewn_round_a_ring(pattern, piece);
        return if is_round_a_ring { HalvesLie::OnOneAnother } else { HalvesLie::LookOnOneAnother };
    }
    if together.lead_on_from_a_middle(pattern, piece, fold) {
        HalvesLie::Beside
    } else {
        HalvesLie::LookBeside
    }
}

/// Which ends of edges the seams lay on one another.
struct EndsTogether {
    ends: FxHashMap<EdgeTip, Vec<EdgeTip>>,
}

impl EndsTogether {
    fn of(pattern: &Pattern) -> EndsTogether {
        let pairs = pattern.seams().iter().flat_map(ends_together);
        let mut ends: FxHashMap<EdgeTip, Vec<EdgeTip>> = FxHashMap::default();
        for (one, other) in pairs.flat_map(|(one, other)| both_ways(one, other)) {
            ends.entry(one).or_default().push(other);
        }
        EndsTogether { ends }
    }

    fn at(&self, tip: &EdgeTip) -> &[EdgeTip] {
        self.ends.get(tip).map_or(&[], Vec::as_slice)
    }

    /// Whether the edges on either side of a fold are sewn together there, so that the fold runs round in a ring, as the
    /// turned edge of a cuff does.
    fn close_at_fold(&self, piece: &Piece, fold: EdgeId) -> bool {
        let tip = |id: EdgeId, end: EdgeEnd| (piece.edge_ref(id), end);
        let (before, after) =
            (tip(piece.previous(fold), EdgeEnd::Last), tip(piece.next(fold), EdgeEnd::First));
        self.at(&before).contains(&after)
    }

    /// Whether an edge of a piece is sewn to edges of others that run round in a ring, as the hem of a sleeve does.
    fn is_sewn_round_a_ring(&self, pattern: &Pattern, piece: &Piece) -> bool {
        let is_own = |run: &Run| run.edges().iter().any(|edge| edge.edge.piece == *piece.name());
        pattern.seams().iter().any(|seam| {
            let other = match (is_own(&seam.first), is_own(&seam.second)) {
                (true, false) => &seam.second,
                (false, true) => &seam.first,
                _ => return false,
            };
            let beyond = |tip: Option<EdgeTip>| Some(beyond(pattern, &tip?)?.0);
            let ends = beyond(run_start(other)).zip(beyond(run_end(other)));
            ends.is_some_and(|(start, end)| self.at(&start).contains(&end))
        })
    }

    /// Whether a seam that ends at a fold leads on from the middle of another piece: from its fold, or from its seam to its
    /// own other half. Then this fold is a middle, too.
    fn lead_on_from_a_middle(&self, pattern: &Pattern, piece: &Piece, fold: EdgeId) -> bool {
        let at_fold = [(piece.previous(fold), EdgeEnd::Last), (piece.next(fold), EdgeEnd::First)];
        let tips = at_fold.map(|(id, end)| (piece.edge_ref(id), end));
        let partners = tips.iter().flat_map(|tip| self.at(tip));
        partners.filter(|(edge, _)| edge.piece != *piece.name()).any(|tip| {
            let Some(((edge, _), finish)) = beyond(pattern, tip) else { return false };
            finish == Finish::Fold || pattern.is_sewn_to_own_mirror(&edge)
        })
    }
}
