//! `dart-to-seam`: run a dart out to the edges and cut there.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::curve::{Curve, CurveError, Point, Vec2, turn_between};
use crate::parts::ties::first_least;
use crate::pattern::{
    Dart, DartName, DartShape, EdgeId, EdgeRef, Finish, On, Piece, PieceName, Place, Refusal, RefusalKind,
};
use crate::recut::blend_seam::BlendWishes;
use crate::recut::dart_geometry::Wedge;
use crate::recut::fields::PieceNames;
use crate::recut::line::snap;
use crate::recut::princess_legs::{Diamond, Notches, PrincessLegs, SeamHalf};
use crate::recut::{Notice, Work};
use crate::tolerance::{ALONG_LINE, DART_AT_LINE, DART_NEAR_POINT, FACES, SAME_CUT};

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
    /// Names of the two new pieces, "a, b"; the first goes to the part with the fold, else the one nearest the
    /// centre edge, else the upper, toward the grainline's start.
    #[arg(long, value_name = "A, B")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names: Option<PieceNames>,
}

impl DartToSeam {
    /// A dart run out straight on along its axis.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{DartToSeam, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/dress.svg")?;
    /// let dress = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let seam = DartToSeam { to: Some("hem@50%".parse()?), ..DartToSeam::of("lining-back".parse()?, "waist-dart".parse()?) };
    /// let cut = Step::from(seam).apply(&dress)?.pattern;
    /// assert!(cut.find(&"lining-back".parse()?).is_none());
    /// assert_eq!(cut.pieces().len(), dress.pieces().len() + 1);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName, dart: DartName) -> DartToSeam {
        DartToSeam { piece, dart, to: None, names: None }
    }
}

pub(super) fn dart_to_seam(step: &DartToSeam, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let dart = piece.dart_named(&step.dart)?;
    let centre = work.pattern.centre_edge(&piece);
    let run = RunOut { piece: &piece, centre, to: step.to.as_ref(), names: step.names.as_ref() };
    let halves = match &dart.shape {
        DartShape::Open { .. } => run.open(Wedge::of(&piece, dart)?)?,
        DartShape::Double { .. } => run.double(dart)?,
    };
    if step.to.is_none() {
        for on in [halves.start.place, halves.end.place] {
            let edge = piece.edge(on.edge);
            if edge.finish == Finish::Fold {
                let fold = EdgeRef::new(piece.name().clone(), edge.name.clone());
                work.tell(Notice::EndsAtFold { fold });
            }
        }
    }
    halves.seam()?.cut(work)
}

/// A dart to be run out.
struct RunOut<'a> {
    piece: &'a Piece,
    centre: Option<EdgeId>,
    to: Option<&'a Place>,
    names: Option<&'a PieceNames>,
}

impl<'a> RunOut<'a> {
    fn halves(
        &self,
        point: Point,
        start: SeamHalf<'a>,
        end: SeamHalf<'a>,
        notches: Notches,
    ) -> PrincessLegs<'a> {
        PrincessLegs {
            piece: self.piece,
            centre: self.centre,
            point,
            start,
            end,
            closed: Vec::new(),
            wishes: BlendWishes::default(),
            names: self.names,
            word: "dart-seam",
            notches,
        }
    }

    /// An open dart, with the dart that faces it where there is one, else straight on along its axis.
    fn open(&self, wedge: Wedge<'a>) -> Result<PrincessLegs<'a>, Refusal> {
        let (tip, axis) = (wedge.tip(), axis_of(&wedge));
        let start = SeamHalf { place: wedge.from, open: Some(wedge.clone()), double: None };
        for (other, facing) in self.facing(&wedge) {
            let point = tip.midpoint(facing);
            match Wedge::of(self.piece, other) {
                Ok(other) if self.ends_in(&other)? => {
                    let end = SeamHalf { place: other.from, open: Some(other), double: None };
                    return Ok(self.halves(point, start, end, Notches::AroundPoint));
                }
                Ok(_) => {}
                Err(_) => {
                    let far = Diamond::of(other, tip).map_or(facing, |double| double.far);
                    let place = self.end(far, far - facing)?;
                    let end = SeamHalf { place, open: None, double: Some(other) };
                    return Ok(self.halves(point, start, end, Notches::AroundAllTips));
                }
            }
        }
        let end = SeamHalf { place: self.end(tip, axis)?, open: None, double: None };
        Ok(self.halves(tip, start, end, Notches::AroundPoint))
    }

    /// The darts that face one, each with its tip there, the nearest first.
    fn facing(&self, wedge: &Wedge<'a>) -> Vec<(&'a Dart, Point)> {
        let (tip, axis) = (wedge.tip(), axis_of(wedge));
        let others = self.piece.darts.iter().filter(|other| other.name != wedge.dart.name);
        let mut facing: Vec<(&Dart, Point)> = others
            .filter_map(|other| Some((other, facing_tip(self.piece, other, tip)?)))
            .filter(|(_, facing)| faces((tip, axis), *facing))
            .map(|(other, (facing, _))| (other, facing))
            .collect();
        facing.sort_by(|a, b| a.1.distance(tip).total_cmp(&b.1.distance(tip)));
        facing
    }

    /// A double dart, run out at both tips; with an open dart that faces one of them, from that dart on.
    fn double(&self, dart: &'a Dart) -> Result<PrincessLegs<'a>, Refusal> {
        let [upper, lower] = match dart.tips().as_slice() {
            [a, b] => [*a, *b],
            _ => return Err(CurveError::Empty.into()),
        };
        let wedges = || self.piece.darts.iter().filter_map(|other| Wedge::of(self.piece, other).ok());
        let facing =
            [(upper, lower - upper), (lower, upper - lower)].into_iter().flat_map(|(tip, inward)| {
                let facing =
                    wedges().filter(move |wedge| faces((wedge.tip(), axis_of(wedge)), (tip, inward)));
                facing.map(move |wedge| (wedge.tip().distance(tip), wedge))
            });
        if let Some((_, wedge)) = first_least(facing, |(apart, _)| *apart) {
            return self.open(wedge);
        }
        let toward = match self.to {
            None => Vec2::ZERO,
            Some(place) => self.piece.place(place)?.point - upper.midpoint(lower),
        };
        let (first, last) = if toward.dot(lower - upper) >= 0.0 { (upper, lower) } else { (lower, upper) };
        let start = SeamHalf { place: self.straight_on(first, first - last)?, open: None, double: None };
        let end = SeamHalf { place: self.end(last, last - first)?, open: None, double: Some(dart) };
        Ok(self.halves(first, start, end, Notches::AroundAllTips))
    }

    /// Whether the seam may end in the mouth of a dart that faces: always, unless another place was named.
    fn ends_in(&self, wedge: &Wedge) -> Result<bool, Refusal> {
        let Some(place) = self.to else { return Ok(true) };
        let (edge, at) = self.piece.place_on_outline(place)?;
        Ok(edge == wedge.from.edge && at >= wedge.from.at - DART_AT_LINE && at <= wedge.to.at + DART_AT_LINE)
    }

    /// Where the seam ends: the place named, else straight on.
    fn end(&self, from: Point, direction: Vec2) -> Result<On, Refusal> {
        match self.to {
            None => self.straight_on(from, direction),
            Some(place) => {
                let (edge, at) = self.piece.place_on_outline(place)?;
                Ok(snap(self.piece, On { edge, at }))
            }
        }
    }

    /// Where a ray from a point first meets the outline.
    fn straight_on(&self, from: Point, direction: Vec2) -> Result<On, Refusal> {
        let bounds = self.piece.bounds();
        let far = bounds.width() + bounds.height();
        let ray = Curve::line(from, from + direction.normalize() * far)?;
        let met = self.piece.outline().crossings_with(&ray);
        let first = met.into_iter().find(|crossing| crossing.line_at > SAME_CUT).ok_or_else(|| {
            Refusal::new(
                RefusalKind::PlaceOutside,
                self.piece.name(),
                format!("the tip at ({:.1}mm, {:.1}mm) does not lie in the piece", from.x, from.y),
                "redraw the dart so that its tip lies inside",
            )
        })?;
        Ok(snap(self.piece, On { edge: EdgeId(first.edge), at: first.at }))
    }
}

/// The direction in which a dart points, from the middle of its mouth to its tip.
fn axis_of(wedge: &Wedge) -> Vec2 {
    let (a, b) = wedge.mouth();
    (wedge.tip() - a.midpoint(b)).normalize()
}

/// The tip of a dart nearest to a point, and the direction from it into the dart.
fn facing_tip(piece: &Piece, dart: &Dart, from: Point) -> Option<(Point, Vec2)> {
    match Diamond::of(dart, from) {
        Some(double) => Some((double.near, (double.far - double.near).normalize())),
        None => Wedge::of(piece, dart).ok().map(|wedge| (wedge.tip(), -axis_of(&wedge))),
    }
}

/// Whether a tip, given with the direction into its dart, stands on the way of another, given with the direction in which
/// that points.
fn faces((tip, axis): (Point, Vec2), (other, inward): (Point, Vec2)) -> bool {
    let (apart, inward) = (other - tip, inward.normalize());
    apart.hypot() <= DART_NEAR_POINT
        && apart.cross(axis).abs() <= FACES
        && apart.dot(axis) > -FACES
        && turn_between(axis, inward).0.abs() <= ALONG_LINE
}
