//! Which corners come together, and which seam is sewn first there.

use rustc_hash::FxHashMap;

use crate::pattern::words::{PANEL, SHOULDER, SIDE, says};
use crate::pattern::{EdgeEnd, EdgeId, EdgeRef, Pattern, Piece, PieceName, Run, Seam, SeamId, Side, Travel};

/// A corner of a piece: where an edge, clockwise, ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct CornerOf<'a> {
    pub piece: &'a Piece,
    /// The edge that arrives.
    pub after: EdgeId,
}

impl<'a> CornerOf<'a> {
    fn at_end(piece: &'a Piece, edge: EdgeId, end: EdgeEnd) -> CornerOf<'a> {
        match end {
            EdgeEnd::First => CornerOf { piece, after: piece.previous(edge) },
            EdgeEnd::Last => CornerOf { piece, after: edge },
        }
    }

    /// The edges that arrive and leave.
    pub fn edges(&self) -> (EdgeId, EdgeId) {
        (self.after, self.piece.next(self.after))
    }

    /// The other edge of the corner.
    pub fn neighbour(&self, edge: EdgeId) -> EdgeId {
        let (arriving, leaving) = self.edges();
        if edge == leaving && arriving != leaving { arriving } else { leaving }
    }
}

/// A seam that ends at a corner, and the corner it brings there.
#[derive(Clone, Copy, Debug)]
pub(super) struct CornerMeeting<'a> {
    pub seam: SeamId,
    /// The edge of the corner's own piece that is sewn.
    pub edge: EdgeId,
    pub partner: CornerOf<'a>,
    /// The edge of the partner's piece that is sewn.
    pub partner_edge: EdgeId,
}

/// When a seam is sewn: the one order that corners go by.
///
/// A run of several edges is sewn after the seams that close the joints between them; seams of one kind follow in the
/// order in which their edges stand on the sheet, on whichever of them they are declared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct SewnInTurn {
    kind: Kind,
    runs: EdgesInRun,
    /// Where the first of its edges stands on the sheet, and the last: by piece, and by edge in it.
    stands: [(usize, EdgeId); 2],
}

/// The kinds of seams in sewing order. Darts come before them all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    /// To a border, which is one with its piece before that is sewn to others.
    Border,
    /// Made by an operation, or named for a princess or panel line.
    Princess,
    Shoulder,
    /// Side, underarm, and the leg's two.
    Side,
    /// To the piece's own mirrored copy: the two halves are one before anything is sewn to both.
    OwnMirror,
    Other,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum EdgesInRun {
    OfOneEdge,
    OfSeveral,
}

/// The first seam at each corner, which is known by its piece and the edge that arrives, with its turn.
type First<'a> = FxHashMap<(&'a PieceName, EdgeId), (SewnInTurn, CornerMeeting<'a>)>;

/// Which corners of a pattern come together when its seams are sewn, and which seam is sewn first there.
///
/// Seams are sewn in this order: darts; those to borders; princess seams and others that operations made; shoulders; sides; those to a
/// piece's own mirrored copy; all others.
#[derive(Clone, Debug)]
pub struct SewingOrder<'a> {
    pattern: &'a Pattern,
    first: First<'a>,
}

impl<'a> SewingOrder<'a> {
    /// The order of a pattern.
    #[must_use]
    pub fn of(pattern: &'a Pattern) -> SewingOrder<'a> {
        let mut first = First::default();
        let places: FxHashMap<&PieceName, usize> =
            pattern.pieces().enumerate().map(|(place, piece)| (piece.name(), place)).collect();
        for id in pattern.seam_ids() {
            let seam = pattern.seam(id);
            let stands = stands(pattern, &places, seam);
            let turn = SewnInTurn { kind: kind_of(pattern, id), runs: runs_of(seam), stands };
            for end in [EdgeEnd::First, EdgeEnd::Last] {
                add(&mut first, pattern, (id, turn), end);
            }
        }
        SewingOrder { pattern, first }
    }

    /// The pattern whose order it is.
    #[must_use]
    pub fn pattern(&self) -> &'a Pattern {
        self.pattern
    }

    /// The seam that is sewn first of those that end at a corner; of a copy, those of the piece with which it is sewn as one
    /// cloth.
    pub(super) fn first_at(&self, corner: CornerOf<'_>) -> Option<CornerMeeting<'a>> {
        let sewn_as = self.pattern.sewn_as(corner.piece);
        self.first.get(&(sewn_as.name(), corner.after)).map(|(_, meeting)| *meeting)
    }
}

/// Where on the sheet the first and the last of a seam's edges stand.
fn stands(pattern: &Pattern, places: &FxHashMap<&PieceName, usize>, seam: &Seam) -> [(usize, EdgeId); 2] {
    let place = |edge: &EdgeRef| {
        let id = pattern.find(&edge.piece)?.find_edge(&edge.edge)?;
        Some((*places.get(&edge.piece)?, id))
    };
    let all = || seam.edges().filter_map(|run| place(&run.edge));
    let nowhere = (usize::MAX, EdgeId(usize::MAX));
    [all().min().unwrap_or(nowhere), all().max().unwrap_or(nowhere)]
}

/// Notes a seam at the corners that an end of it brings together, where none is sewn before it there.
fn add<'a>(first: &mut First<'a>, pattern: &'a Pattern, (id, turn): (SeamId, SewnInTurn), end: EdgeEnd) {
    let [one, other] = Side::BOTH.map(|side| run_end(pattern, pattern.seam(id).side(side), end));
    let (Some(one), Some(other)) = (one, other) else { return };
    for ((corner, edge), (partner, partner_edge)) in [(one, other), (other, one)] {
        let meeting = CornerMeeting { seam: id, edge, partner, partner_edge };
        let known = first.entry((corner.piece.name(), corner.after)).or_insert((turn, meeting));
        if turn < known.0 {
            *known = (turn, meeting);
        }
    }
}

/// The corner at which a run starts (`First`) or ends, and the edge of the run there.
pub(super) fn run_end<'a>(pattern: &'a Pattern, run: &Run, end: EdgeEnd) -> Option<(CornerOf<'a>, EdgeId)> {
    let at = match end {
        EdgeEnd::First => run.edges().first(),
        EdgeEnd::Last => run.edges().last(),
    }?;
    let piece = pattern.find(&at.edge.piece)?;
    let edge = piece.find_edge(&at.edge.edge)?;
    let own_end = match (end, at.travel) {
        (EdgeEnd::First, Travel::Clockwise) | (EdgeEnd::Last, Travel::Anticlockwise) => EdgeEnd::First,
        _ => EdgeEnd::Last,
    };
    Some((CornerOf::at_end(piece, edge, own_end), edge))
}

fn kind_of(pattern: &Pattern, id: SeamId) -> Kind {
    let seam = pattern.seam(id);
    let named = |words: &[&str]| seam.edges().any(|run| says(run.edge.edge.as_str(), words));
    if pattern.is_border_seam(id) {
        Kind::Border
    } else if pattern.is_new_seam(id) || named(&PANEL) {
        Kind::Princess
    } else if named(&SHOULDER) {
        Kind::Shoulder
    } else if named(&SIDE) {
        Kind::Side
    } else if seam.is_to_own_mirror() {
        Kind::OwnMirror
    } else {
        Kind::Other
    }
}

fn runs_of(seam: &Seam) -> EdgesInRun {
    let several = Side::BOTH.iter().any(|side| seam.side(*side).edges().len() > 1);
    if several { EdgesInRun::OfSeveral } else { EdgesInRun::OfOneEdge }
}
