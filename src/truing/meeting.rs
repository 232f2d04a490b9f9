//! What two corners that a seam brings together do: run on across it, close, or part.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::curve::{Curve, Vec2, turn_between};
use crate::pattern::{
    Dart, DartKind, DartShape, EdgeEnd, EdgeId, EdgeRef, EdgeTip, Finish, Making, Pattern, Piece, Run,
    RunEdge, Seam,
};
use crate::tolerance::{SAME_CUT, WELD};

/// What the two edges beyond an end of a seam are to each other.
///
/// ```text
///   first │ second        first │ second
///         │                     │
///   ──────┴──────          ─────┘└─────
///    Continue               Closed, Apart
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meeting {
    /// One runs on in the other: both are hems, both are free, they follow one another in another seam, which may go
    /// round in a ring, as an armhole does, or what they are sewn to runs on beside them, as at a waist.
    Continue,
    /// They are sewn to each other: the end is a corner that is turned out.
    Closed,
    /// Neither.
    Apart,
}

/// Which ends of edges meet in the garment, built once for a pattern.
#[derive(Clone, Debug, Default)]
pub(super) struct Meetings {
    sewn: FxHashSet<(EdgeRef, EdgeRef)>,
    follow: FxHashSet<(EdgeTip, EdgeTip)>,
    /// The ends that lie on an end when its seams are sewn.
    partners: FxHashMap<EdgeTip, Vec<EdgeTip>>,
    /// The ends that a seam brings together beyond its own end.
    across: FxHashSet<(EdgeTip, EdgeTip)>,
}

impl Meetings {
    /// The meetings of a pattern's seams, on the drawn and on the mirrored copies.
    pub(super) fn of(pattern: &Pattern) -> Meetings {
        let mut meetings = Meetings::default();
        for seam in pattern.seams() {
            for (run, other) in [(&seam.first, &seam.second), (&seam.second, &seam.first)] {
                for edge in run.edges() {
                    for partner in other.edges() {
                        meetings.sewn.insert((edge.edge.clone(), partner.edge.clone()));
                        meetings.sewn.insert((edge.edge.mirrored(), partner.edge.mirrored()));
                    }
                }
                for pair in run.edges().windows(2) {
                    meetings.add_joint(last_tip(&pair[0]), first_tip(&pair[1]));
                }
                if let Some((start, end)) = run_start(run).zip(run_end(run)) {
                    meetings.add_joint(end, start);
                }
            }
        }
        meetings.add_centres(pattern);
        meetings.add_crossings(pattern);
        meetings
    }

    /// Notes what each end of a seam lays on one another, and what it brings together beyond.
    fn add_crossings(&mut self, pattern: &Pattern) {
        for (one, other) in pattern.seams().iter().flat_map(ends_together) {
            let beyond = beyond(pattern, &one).zip(beyond(pattern, &other));
            for (one, other) in both_ways(one, other) {
                self.partners.entry(one).or_default().push(other);
            }
            if let Some(((one, _), (other, _))) = beyond {
                self.across.extend(both_ways(one, other));
            }
        }
    }

    /// How far the line turns that two edges, each at its end, are sewn to where they meet across a seam, degrees; seen
    /// from its own side, positive where it comes to a point. None where nothing runs on beside them; what the seam itself
    /// lays together does not. Where the two seams are layers of one, as those of a collar and a facing, the line lies on this
    /// one instead of beside it, and is seen from the other side.
    ///
    /// ```text
    ///    bodice front │ bodice back
    ///   ────one───────┼───────other────   the waist
    ///     skirt front │ skirt back
    /// ```
    pub(super) fn turn_beside(
        &self,
        pattern: &Pattern,
        (one, other): (&EdgeTip, &EdgeTip),
        (seam, tips): (&Seam, (&EdgeTip, &EdgeTip)),
    ) -> Option<f64> {
        // In a ring the seam itself lies beyond its end, as at an underarm that no seam of the body reaches.
        let is_own = |tip: &EdgeTip| seam.edges().any(|edge| edge.edge.same_edge(&tip.0));
        let partners = |tip| self.partners.get(tip).map_or(&[][..], Vec::as_slice);
        let pairs = partners(one).iter().flat_map(|p| partners(other).iter().map(move |q| (p, q)));
        pairs.filter(|(p, q)| p != q && !is_own(p) && !is_own(q)).find_map(|(p, q)| {
            if self.across.contains(&(p.clone(), q.clone())) {
                let turn = 180.0 - angle_at(pattern, p)? - angle_at(pattern, q)?;
                return Some(if self.are_layers(pattern, tips, (p, q)) { -turn } else { turn });
            }
            let is_corner = beyond(pattern, p).is_some_and(|(next, _)| next == *q);
            if is_corner { Some(180.0 - angle_at(pattern, p)?) } else { None }
        })
    }

    /// Whether a seam is sewn to that which ends between two edges.
    ///
    /// ```text
    ///   collar ╲╲ under-collar
    ///   facing ╱╱ front          all four are sewn together at the neck
    /// ```
    fn are_layers(
        &self,
        pattern: &Pattern,
        seam: (&EdgeTip, &EdgeTip),
        (p, q): (&EdgeTip, &EdgeTip),
    ) -> bool {
        let ends = [p, q].into_iter().filter_map(|tip| beyond(pattern, tip));
        ends.into_iter().any(|((other, _), _)| {
            [seam.0, seam.1].into_iter().any(|own| self.sewn.contains(&(own.0.clone(), other.clone())))
        })
    }

    fn add_joint(&mut self, one: EdgeTip, other: EdgeTip) {
        let mirrored = |tip: &EdgeTip| (tip.0.mirrored(), tip.1);
        self.follow.insert((mirrored(&one), mirrored(&other)));
        self.follow.insert((mirrored(&other), mirrored(&one)));
        self.follow.insert((other.clone(), one.clone()));
        self.follow.insert((one, other));
    }

    /// A run that ends at the fold of a half piece runs on in its own mirror image, and with it what is sewn to it.
    fn add_centres(&mut self, pattern: &Pattern) {
        let mut joints = Vec::new();
        for seam in pattern.seams() {
            for (run, other) in [(&seam.first, &seam.second), (&seam.second, &seam.first)] {
                let ends = [(run_start(run), run_start(other)), (run_end(run), run_end(other))];
                for (tip, partner) in ends {
                    let Some((tip, partner)) = tip.zip(partner) else { continue };
                    if beyond(pattern, &tip).is_some_and(|(_, finish)| finish == Finish::Fold) {
                        joints.push(partner);
                    }
                }
            }
        }
        for tip in joints {
            let mirrored = (tip.0.mirrored(), tip.1);
            self.add_joint(tip, mirrored);
        }
    }

    /// What two edges beyond the end of a seam, each at its end there, are to each other, where the line that they are
    /// sewn to turns as told.
    pub(super) fn of_tips(
        &self,
        pattern: &Pattern,
        (one, other): (&EdgeTip, &EdgeTip),
        beside: Option<f64>,
    ) -> Meeting {
        if self.sewn.contains(&(one.0.clone(), other.0.clone())) {
            return Meeting::Closed;
        }
        let finish = |tip: &EdgeTip| pattern.find_edge(&tip.0).map(|edge| edge.finish);
        let alike = match (finish(one), finish(other)) {
            (Some(Finish::Hem), Some(Finish::Hem)) => true,
            // A facing lies on what it faces: a free edge beside it ends there, and does not run on.
            (Some(Finish::Free), Some(Finish::Free)) => !is_faced(pattern, [&one.0, &other.0]),
            _ => false,
        };
        if alike || self.follow.contains(&(one.clone(), other.clone())) || beside.is_some() {
            Meeting::Continue
        } else {
            Meeting::Apart
        }
    }
}

/// Whether the one of two edges is of a facing that was made along edges of the other's piece.
pub(super) fn is_faced(pattern: &Pattern, [one, other]: [&EdgeRef; 2]) -> bool {
    let faces = |facing: &EdgeRef, shell: &EdgeRef| {
        let derived = pattern.find(&facing.piece).and_then(|piece| piece.derived.as_ref());
        derived.is_some_and(|derived| {
            derived.by == Making::Facing && derived.from.pieces().contains(&&shell.piece)
        })
    };
    faces(one, other) || faces(other, one)
}

/// The end at which a run starts.
pub(crate) fn run_start(run: &Run) -> Option<EdgeTip> {
    run.edges().first().map(first_tip)
}

/// The end at which a run ends.
pub(crate) fn run_end(run: &Run) -> Option<EdgeTip> {
    run.edges().last().map(last_tip)
}

/// The end at which an edge of a run is left.
pub(super) fn last_tip(edge: &RunEdge) -> EdgeTip {
    (edge.edge.clone(), edge.travel.leaves_at())
}

/// The end at which an edge of a run is entered.
pub(super) fn first_tip(edge: &RunEdge) -> EdgeTip {
    (edge.edge.clone(), edge.travel.enters_at())
}

/// The edge beyond an end of an edge, at its own end there; none where there is no such edge.
pub(crate) fn beyond(pattern: &Pattern, tip: &EdgeTip) -> Option<(EdgeTip, Finish)> {
    let (piece, id) = pattern.find_on_piece(&tip.0)?;
    let (edge, end) = (piece.edge(piece.beside(id, tip.1)), tip.1.other());
    let name = EdgeRef { piece: tip.0.piece.clone(), edge: edge.name.clone(), copy: tip.0.copy };
    Some(((name, end), edge.finish))
}

/// The interior angle at the corner of an edge's end, degrees; none where there is no such edge.
pub(super) fn angle_at(pattern: &Pattern, tip: &EdgeTip) -> Option<f64> {
    let (piece, id) = pattern.find_on_piece(&tip.0)?;
    Some(corner_angle(piece, id, tip.1))
}

/// The ends that a seam lays on one another, at its start and at its end.
pub(super) fn ends_together(seam: &Seam) -> impl Iterator<Item = (EdgeTip, EdgeTip)> {
    let tips = [
        run_start(&seam.first).zip(run_start(&seam.second)),
        run_end(&seam.first).zip(run_end(&seam.second)),
    ];
    tips.into_iter().flatten()
}

/// A pair of ends on the drawn and on the mirrored copies, in either order.
pub(super) fn both_ways(one: EdgeTip, other: EdgeTip) -> [(EdgeTip, EdgeTip); 4] {
    let mirrored = |tip: &EdgeTip| (tip.0.mirrored(), tip.1);
    let (one_mirrored, other_mirrored) = (mirrored(&one), mirrored(&other));
    [
        (other.clone(), one.clone()),
        (one, other),
        (other_mirrored.clone(), one_mirrored.clone()),
        (one_mirrored, other_mirrored),
    ]
}

/// The two ways at a corner at which a pleat opens, or where one that is as deep all along ends, as they are when it is folded:
/// the corner is then where its other side is.
fn pleated_corner(piece: &Piece, before: EdgeId, after: EdgeId) -> Option<(Vec2, Vec2)> {
    let pleats = piece.darts.iter().filter(|dart| dart.kind == DartKind::Pleat);
    pleats.into_iter().find_map(|dart| {
        let (DartShape::Open { legs, .. }, mouth) = (&dart.shape, dart.mouth()?) else { return None };
        let (ahead, behind) = (piece.edge(before), piece.edge(after));
        if mouth.edge == ahead.name && ahead.curve.length() - mouth.to <= SAME_CUT {
            return Some((ahead.curve.tangent_before(mouth.from - SAME_CUT), legs.0.start_tangent()));
        }
        if mouth.edge == behind.name && mouth.from <= SAME_CUT {
            return Some((-legs.1.start_tangent(), behind.curve.tangent_at(mouth.to + SAME_CUT)));
        }
        at_foot(dart, &ahead.curve, &behind.curve)
    })
}

/// The two ways at the corner of two lines where a pleat ends that is as deep all along: its other side stands on one of them.
fn at_foot(pleat: &Dart, ahead: &Curve, behind: &Curve) -> Option<(Vec2, Vec2)> {
    let corner = behind.start();
    let feet = pleat.feet()?;
    let (_, (foot, down)) = [(feet[0], feet[1]), (feet[1], feet[0])]
        .into_iter()
        .find(|((own, _), _)| own.distance(corner) <= WELD)?;
    let (on_ahead, on_behind) = (ahead.nearest(foot), behind.nearest(foot));
    if on_behind.distance <= WELD && on_behind.at > WELD {
        Some((down, behind.tangent_at(on_behind.at)))
    } else if on_ahead.distance <= WELD && ahead.length() - on_ahead.at > WELD {
        Some((ahead.tangent_before(on_ahead.at), -down))
    } else {
        None
    }
}

/// The interior angle of a piece at an end of one of its edges, degrees; more than 180 at a hollow corner. A pleat that opens
/// there is folded.
pub(super) fn corner_angle(piece: &Piece, id: EdgeId, end: EdgeEnd) -> f64 {
    let (before, after) = match end {
        EdgeEnd::First => (piece.previous(id), id),
        EdgeEnd::Last => (id, piece.next(id)),
    };
    let (arriving, leaving) = pleated_corner(piece, before, after)
        .unwrap_or((piece.edge(before).curve.end_tangent(), piece.edge(after).curve.start_tangent()));
    180.0 - turn_between(arriving, leaving).degrees()
}
