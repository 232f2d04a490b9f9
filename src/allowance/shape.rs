//! Which shape a corner gets: the one set by the user, or else the one the trade expects.
//!
//! 1. At a fold both lines run on to the fold's own, so that the mirrored half continues.
//! 2. At a hem the neighbour's line is turned up; where two hems meet they are mitred.
//! 3. A free edge on the selvedge is mitred: nothing can be cut beyond the selvedge.
//! 4. Where no seam brings another corner to this one, both lines run on until they meet.
//! 5. So they do where the corner that the seam sewn first brings is like this one: their mitres meet.
//! 6. Else the end is squared to the seam sewn first, as far out as on the other piece, however that was set.
//!
//! No shape takes anything of an edge's own allowance, but at a fold, at a selvedge, and of a hem that is turned up: where
//! one would, each line ends square to its own seamline, or runs into its neighbour's.

use crate::allowance::beside::{arm_at, corner_at, cut_depth};
use crate::allowance::corner::{Corner, Join, MitreTip, Squared, SquaredEnd, Which, run_ons, square_reach};
use crate::allowance::order::CornerOf;
use crate::allowance::{AllowanceError, CutShape, SewingOrder};
use crate::pattern::{CornerShape, EdgeId, Finish, Selvedge};
use crate::tolerance::{MITRE_ANGLES, MITRE_REACH, MITRES_MEET, SAME_ALLOWANCE, SAME_POINT, STRAIGHT_ON};

/// The shape a corner is to have.
#[derive(Clone, Copy, Debug, PartialEq)]
enum WantedCorner {
    Mitre(MitreTip),
    Square(EdgeId),
    TurnedUp(EdgeId),
    Jog,
}

/// The outline's turn at a corner.
#[derive(Clone, Copy)]
struct Bend {
    sin: f64,
    cos: f64,
}

impl Bend {
    fn at(corner: CornerOf<'_>) -> Bend {
        let (a, b) = corner.edges();
        let (arriving, leaving) =
            (corner.piece.edge(a).curve.end_tangent(), corner.piece.edge(b).curve.start_tangent());
        Bend { sin: arriving.cross(leaving), cos: arriving.dot(leaving) }
    }

    fn turn(self) -> f64 {
        self.sin.atan2(self.cos)
    }
}

impl SewingOrder<'_> {
    /// Joins the two lines at a corner.
    ///
    /// # Errors
    ///
    /// [`AllowanceError::BadCorner`] where the shape set by the user cannot be.
    pub(super) fn join(&self, of: CornerOf<'_>, corner: &Corner) -> Result<Join, AllowanceError> {
        let joined = match self.wanted(of)? {
            WantedCorner::Mitre(tip) => return Ok(corner.mitre(tip)),
            WantedCorner::Jog => return Ok(corner.jog()),
            WantedCorner::TurnedUp(hem) => {
                corner.turned_up(arm_of(of, hem)).map(|join| Join { shape: CutShape::TurnedUp(hem), ..join })
            }
            WantedCorner::Square(seam) => self.common_reach(of, seam, corner)?.map(|reach| {
                let which = arm_of(of, seam);
                match corner.square(which, reach) {
                    Some(Squared { join, end: SquaredEnd::Whole }) => {
                        Join { shape: CutShape::Square(seam), ..join }
                    }
                    Some(Squared { join, end: SquaredEnd::IntoNeighbour }) => {
                        Join { shape: CutShape::IntoNeighbour(seam), ..join }
                    }
                    // The neighbour's line is too short to be met: the end stands as far out all the same.
                    None => Join { shape: CutShape::Square(seam), ..corner.ended_by_vertex(which, reach) },
                }
            }),
        };
        Ok(joined.unwrap_or_else(|| corner.mitre(MitreTip::CutOff)))
    }

    /// How far a squared end stands beyond its corner: as far as on the other piece, where that is less. On neither does it
    /// stand beyond the end of its neighbour, as of a short stretch between two cuts.
    fn common_reach(
        &self,
        of: CornerOf<'_>,
        seam: EdgeId,
        corner: &Corner,
    ) -> Result<Option<f64>, AllowanceError> {
        let Some(own) = limited_reach(corner, arm_of(of, seam)) else { return Ok(None) };
        let own = own.min(room_beside(of, seam));
        let Some(meeting) = self.first_at(of).filter(|meeting| meeting.edge == seam) else {
            return Ok(Some(own));
        };
        let (partner, edge) = (meeting.partner, meeting.partner_edge);
        let other = if self.wanted(partner)? == WantedCorner::Square(edge) {
            reach_at(partner, edge)?
        } else {
            self.set_end(partner, edge)?
        };
        Ok(Some(other.map_or(own, |other| other.clamp(0.0, own))))
    }

    /// How far beyond its corner the line beside a sewn edge ends in the shape that the user set there; none where the
    /// user set none.
    fn set_end(&self, of: CornerOf<'_>, edge: EdgeId) -> Result<Option<f64>, AllowanceError> {
        if set_shape(of)?.is_none() {
            return Ok(None);
        }
        let corner = corner_at(of)?;
        let join = self.join(of, &corner)?;
        let (arm, end) = match arm_of(of, edge) {
            Which::First => (&corner.first, join.ends.0),
            Which::Second => (&corner.second, join.ends.1),
        };
        Ok(Some((end - corner.at).dot(arm.along)))
    }

    fn wanted(&self, of: CornerOf<'_>) -> Result<WantedCorner, AllowanceError> {
        if let Some(set) = set_shape(of)? {
            return Ok(set);
        }
        let (a, b) = of.edges();
        let (first, second) = (of.piece.edge(a), of.piece.edge(b));
        if first.finish == Finish::Fold || second.finish == Finish::Fold {
            return Ok(WantedCorner::Mitre(MitreTip::Kept));
        }
        // There is no cloth beyond the selvedge: whatever ends there ends at it, however long the tip.
        let on_selvedge = [first, second]
            .into_iter()
            .any(|edge| edge.finish == Finish::Free && edge.selvedge == Selvedge::Yes);
        if on_selvedge {
            return Ok(WantedCorner::Mitre(MitreTip::Kept));
        }
        match (first.finish == Finish::Hem, second.finish == Finish::Hem) {
            (true, false) => return Ok(WantedCorner::TurnedUp(a)),
            (false, true) => return Ok(WantedCorner::TurnedUp(b)),
            (true, true) => return Ok(WantedCorner::Mitre(MitreTip::CutOff)),
            (false, false) => {}
        }
        if Bend::at(of).sin <= STRAIGHT_ON {
            return Ok(WantedCorner::Mitre(MitreTip::CutOff));
        }
        let Some(meeting) = self.first_at(of) else { return Ok(WantedCorner::Mitre(MitreTip::CutOff)) };
        let mitred_there =
            set_shape(meeting.partner)?.is_none_or(|set| set == WantedCorner::Mitre(MitreTip::CutOff));
        let alike = mitred_there && alike(of, meeting.edge, meeting.partner, meeting.partner_edge);
        Ok(if alike { WantedCorner::Mitre(MitreTip::CutOff) } else { WantedCorner::Square(meeting.edge) })
    }
}

/// Which arm of a corner an edge is.
pub(super) fn arm_of(of: CornerOf<'_>, edge: EdgeId) -> Which {
    if edge == of.after { Which::First } else { Which::Second }
}

/// How far the end squared to one arm stands beyond its corner, no further than a mitre's tip may.
fn limited_reach(corner: &Corner, seam: Which) -> Option<f64> {
    let (seam, neighbour) = match seam {
        Which::First => (&corner.first, &corner.second),
        Which::Second => (&corner.second, &corner.first),
    };
    let limit = MITRE_REACH * seam.depth.max(neighbour.depth);
    square_reach(corner.at, seam.along, neighbour).map(|reach| reach.min(limit))
}

/// How far beyond its corner an end squared to a seam still has its neighbour beside it, which is as long as it is sewn.
fn room_beside(of: CornerOf<'_>, seam: EdgeId) -> f64 {
    let (cos, neighbour) = (Bend::at(of).cos, of.neighbour(seam));
    let length = of.piece.edge(neighbour).curve.length();
    let stretches = of.piece.sewn_stretches(neighbour);
    let beside = if neighbour == of.after {
        stretches.last().filter(|(_, to)| length - to <= SAME_POINT)
    } else {
        stretches.first().filter(|(from, _)| *from <= SAME_POINT)
    };
    match beside {
        Some((from, to)) if cos > 0.0 => (to - from) / cos,
        _ => f64::INFINITY,
    }
}

/// How far the end squared to a seam stands beyond a corner whose lines are not drawn yet, with room beside it: the seam's
/// own line is not needed, nor is a neighbour's that is straight.
fn reach_at(of: CornerOf<'_>, seam: EdgeId) -> Result<Option<f64>, AllowanceError> {
    let (bend, neighbour) = (Bend::at(of), of.neighbour(seam));
    if bend.sin <= STRAIGHT_ON {
        return Ok(None);
    }
    let depth = cut_depth(of.piece, neighbour);
    let limit = MITRE_REACH * cut_depth(of.piece, seam).max(depth);
    if bend.cos <= 0.0 || depth <= SAME_POINT || of.piece.edge(neighbour).curve.is_straight(SAME_POINT) {
        return Ok(Some((depth / bend.sin).min(limit).min(room_beside(of, seam))));
    }
    let curve = &of.piece.edge(seam).curve;
    let (at, along) = if seam == of.after {
        (curve.end(), curve.end_tangent())
    } else {
        (curve.start(), -curve.start_tangent())
    };
    let reach = square_reach(at, along, &arm_at(of, neighbour)?);
    Ok(reach.map(|reach| reach.min(limit).min(room_beside(of, seam))))
}

/// Whether two corners that a seam brings together are alike enough for mitres: equal allowances, angles within
/// [`MITRE_ANGLES`], and tips that would stand no further than [`MITRES_MEET`] from one another.
fn alike(of: CornerOf<'_>, edge: EdgeId, partner: CornerOf<'_>, partner_edge: EdgeId) -> bool {
    let (own, theirs) = (Bend::at(of), Bend::at(partner));
    let depths = |corner: CornerOf<'_>, edge: EdgeId| {
        (cut_depth(corner.piece, edge), cut_depth(corner.piece, corner.neighbour(edge)))
    };
    let ((a, b), (c, d)) = (depths(of, edge), depths(partner, partner_edge));
    let equal = (a - c).abs() <= SAME_ALLOWANCE && (b - d).abs() <= SAME_ALLOWANCE;
    let end = |bend: Bend| run_ons(a, b, bend.sin, bend.cos).0;
    equal
        && (own.turn() - theirs.turn()).abs() <= MITRE_ANGLES
        && (end(own) - end(theirs)).abs() <= MITRES_MEET
}

/// The shape set by the user.
fn set_shape(of: CornerOf<'_>) -> Result<Option<WantedCorner>, AllowanceError> {
    let (a, b) = of.edges();
    let (first, second) = (&of.piece.edge(a).name, &of.piece.edge(b).name);
    let Some(set) = of.piece.set_corner(a, b) else { return Ok(None) };
    let refused = |shape: &'static str, why: &'static str| AllowanceError::BadCorner {
        piece: of.piece.name().clone(),
        first: first.clone(),
        second: second.clone(),
        shape,
        why,
    };
    let is_hem = |id: EdgeId| of.piece.edge(id).finish == Finish::Hem;
    let wanted = match set {
        CornerShape::Point => return Ok(None),
        CornerShape::Mitre => WantedCorner::Mitre(MitreTip::CutOff),
        CornerShape::Jog => WantedCorner::Jog,
        CornerShape::Square(name) if name == first => WantedCorner::Square(a),
        CornerShape::Square(name) if name == second => WantedCorner::Square(b),
        CornerShape::Square(_) => {
            return Err(refused("squared", "it is to be square to an edge that does not end here"));
        }
        CornerShape::TurnedUp if is_hem(a) && !is_hem(b) => WantedCorner::TurnedUp(a),
        CornerShape::TurnedUp if is_hem(b) && !is_hem(a) => WantedCorner::TurnedUp(b),
        CornerShape::TurnedUp => {
            return Err(refused("turned up", "exactly one of the two edges must be a hem"));
        }
    };
    Ok(Some(wanted))
}
