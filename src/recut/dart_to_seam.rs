//! `dart-to-seam`: run a dart out to the edges and cut there.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::curve::{Curve, Point, Vec2};
use crate::pattern::{Dart, DartName, DartShape, Piece, PieceName, Place, Refusal, RefusalKind};
use crate::recut::Work;
use crate::recut::add_princess_seam::BLEND;
use crate::recut::dart_legs::DartLegs;
use crate::recut::fields::Names;
use crate::recut::line::On;
use crate::recut::seam_through::{Choices, SeamThrough};
use crate::tolerance::{DART_NEAR_POINT, FACING_DARTS, SAME_CUT};

/// Run a dart out to the edges and cut there.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct DartToSeam {
    /// The piece with the dart.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The dart; a double dart runs out at both tips, and a dart whose tip faces this one is taken in with it.
    #[arg(long, value_name = "DART")]
    pub dart: DartName,
    /// Where the seam ends beyond the tip, on an edge; otherwise straight on along the dart's axis.
    #[arg(long, value_name = "PLACE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Place>,
    /// Names of the two new pieces, "a, b"; the first goes to the part nearest the centre.
    #[arg(long, value_name = "A, B")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names: Option<Names>,
}

pub(super) fn dart_to_seam(step: &DartToSeam, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let dart = piece.dart_named(&step.dart)?;
    let to = step.to.as_ref().map(|place| piece.place_on_outline(place)).transpose()?;
    let to = to.map(|(edge, at)| On { edge, at });
    let seam = match &dart.shape {
        DartShape::Double { sides } => double(&piece, dart, sides, to)?,
        DartShape::Open { .. } => {
            let legs = DartLegs::of(&piece, dart)?;
            match facing(&piece, dart, &legs).filter(|_| to.is_none()) {
                Some((other, other_legs)) => between(&piece, (dart, &legs), (other, &other_legs)),
                None => open(&piece, dart, &legs, to),
            }?
        }
    };
    seam.make(work, &Choices { names: step.names.as_ref(), ease: None, blend: BLEND })
}

/// The place where a ray from a point inside the piece leaves it.
fn straight_on(piece: &Piece, from: Point, way: Vec2) -> Result<On, Refusal> {
    let bounds = piece.bounds();
    let far = bounds.width() + bounds.height();
    let ray = Curve::line(from, from + way.normalize() * far)?;
    let crossings = piece.outline().crossings_with(&ray);
    let first = crossings
        .iter()
        .filter(|crossing| crossing.line_at > SAME_CUT)
        .min_by(|a, b| a.line_at.total_cmp(&b.line_at));
    first.map(|crossing| On { edge: crate::pattern::EdgeId(crossing.edge), at: crossing.at }).ok_or_else(
        || {
            Refusal::new(
                RefusalKind::BadLine,
                piece.name(),
                "the dart's axis does not leave the piece",
                "name the place where the seam ends with --to",
            )
        },
    )
}

fn at(piece: &Piece, on: On) -> Point {
    piece.point_on(on.edge, on.at)
}

fn legs_to(piece: &Piece, legs: &DartLegs, tip: Point) -> Result<(Curve, Curve), Refusal> {
    let on = |at| piece.point_on(legs.edge, at);
    Ok((Curve::line(on(legs.from), tip)?, Curve::line(on(legs.to), tip)?))
}

/// A dart with a mouth, run on beyond its tip.
fn open<'a>(
    piece: &'a Piece,
    dart: &Dart,
    legs: &DartLegs,
    to: Option<On>,
) -> Result<SeamThrough<'a>, Refusal> {
    let axis = legs.tip - legs.first.0.midpoint(legs.second.0);
    let to = to.map_or_else(|| straight_on(piece, legs.tip, axis), Ok)?;
    let (first, second) = legs_to(piece, legs, legs.tip)?;
    let rest = Curve::line(legs.tip, at(piece, to))?;
    let on = |at| On { edge: legs.edge, at };
    Ok(SeamThrough {
        piece,
        starts: (on(legs.from), on(legs.to)),
        ends: (to, to),
        lines: (vec![first, rest.clone()], vec![second, rest]),
        point_after: 1,
        point: legs.tip,
        along: vec![dart.name.clone()],
        closed: Vec::new(),
        word: "dart-seam",
    })
}

/// The dart whose tip faces that of another.
fn facing<'a>(piece: &'a Piece, dart: &Dart, legs: &DartLegs) -> Option<(&'a Dart, DartLegs)> {
    let axis = (legs.tip - legs.first.0.midpoint(legs.second.0)).normalize();
    piece.darts.iter().filter(|other| other.name != dart.name).find_map(|other| {
        let found = DartLegs::of(piece, other).ok()?;
        let toward = (found.tip - found.first.0.midpoint(found.second.0)).normalize();
        let faces = toward.dot(axis) < -FACING_DARTS;
        (faces && found.tip.distance(legs.tip) <= DART_NEAR_POINT).then_some((other, found))
    })
}

/// Two darts whose tips face: the legs of both are redrawn to the point half way between the tips.
fn between<'a>(
    piece: &'a Piece,
    (dart, legs): (&Dart, &DartLegs),
    (other, other_legs): (&Dart, &DartLegs),
) -> Result<SeamThrough<'a>, Refusal> {
    let point = legs.tip.midpoint(other_legs.tip);
    let (first, second) = legs_to(piece, legs, point)?;
    let (other_first, other_second) = legs_to(piece, other_legs, point)?;
    let on = |legs: &DartLegs, at| On { edge: legs.edge, at };
    Ok(SeamThrough {
        piece,
        starts: (on(legs, legs.from), on(legs, legs.to)),
        ends: (on(other_legs, other_legs.to), on(other_legs, other_legs.from)),
        lines: (vec![first, other_second.reversed()], vec![second, other_first.reversed()]),
        point_after: 1,
        point,
        along: vec![dart.name.clone(), other.name.clone()],
        closed: Vec::new(),
        word: "dart-seam",
    })
}

/// A double dart, run on beyond both tips.
fn double<'a>(
    piece: &'a Piece,
    dart: &Dart,
    sides: &(Curve, Curve),
    to: Option<On>,
) -> Result<SeamThrough<'a>, Refusal> {
    let (start, end) = (sides.0.start(), sides.0.end());
    let toward_end = to.is_none_or(|to| at(piece, to).distance(end) <= at(piece, to).distance(start));
    let (left, right) = if toward_end { sides.clone() } else { (sides.1.reversed(), sides.0.reversed()) };
    let axis = left.end() - left.start();
    let from = straight_on(piece, left.start(), -axis)?;
    let to = to.map_or_else(|| straight_on(piece, left.end(), axis), Ok)?;
    let lead = Curve::line(at(piece, from), left.start())?;
    let rest = Curve::line(left.end(), at(piece, to))?;
    let point = left.start();
    Ok(SeamThrough {
        piece,
        starts: (from, from),
        ends: (to, to),
        lines: (vec![lead.clone(), right, rest.clone()], vec![lead, left, rest]),
        point_after: 1,
        point,
        along: vec![dart.name.clone()],
        closed: Vec::new(),
        word: "dart-seam",
    })
}
