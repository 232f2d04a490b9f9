//! `add-princess-seam`: cut a piece from an edge through a point to another edge, taking the darts into the seam.
//!
//! The legs of each dart taken in are redrawn to the point; a dart at an end of the line whose tip is far from the point
//! keeps its tip, and the line goes on from there. A dart at an end of the line gives the line its two legs, a
//! double dart along the line its two sides; every other dart is closed about the point, and opens at the seam.

use clap::Args;
use kurbo::CubicBez;
use serde::{Deserialize, Serialize};

use crate::curve::{Curve, PathSeg, Point};
use crate::pattern::{Dart, DartName, DartShape, Piece, PieceName, Place, Refusal, RefusalKind};
use crate::recut::Work;
use crate::recut::dart_legs::DartLegs;
use crate::recut::fields::{DartChoice, Names};
use crate::recut::line::On;
use crate::recut::seam_through::{Choices, SeamThrough};
use crate::tolerance::{DART_AT_LINE, DART_NEAR_POINT, SAME_CUT};
use crate::units::Length;

/// How far on either side of the point the seamlines are blended where nothing is said, mm.
pub(super) const BLEND: f64 = 30.0;

/// Cut a piece from an edge through a point to another edge, taking the darts into the seam.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AddPrincessSeam {
    /// The piece to cut.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// Where the seam starts, on an edge: shoulder@50%.
    #[arg(long, value_name = "PLACE")]
    pub from: Place,
    /// The point it runs through: bust-point.
    #[arg(long, value_name = "PLACE")]
    pub through: Place,
    /// Where it ends, on an edge: "hem@45% from centre".
    #[arg(long, value_name = "PLACE")]
    pub to: Place,
    /// The darts to take in, "bust-dart, waist-dart" or none; otherwise all whose tip lies within 60 mm of the point.
    #[arg(long, value_name = "DARTS")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub darts: Option<DartChoice>,
    /// Most ease between the two seamlines; otherwise what the blend needs, at most 1.5mm.
    #[arg(long, value_name = "LENGTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ease: Option<Length>,
    /// How far on either side of the point the seamlines are blended; otherwise 30mm.
    #[arg(long, value_name = "LENGTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blend: Option<Length>,
    /// Names of the two new pieces, "a, b"; the first goes to the part nearest the centre.
    #[arg(long, value_name = "A, B")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names: Option<Names>,
}

pub(super) fn add_princess_seam(step: &AddPrincessSeam, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let on = |place: &Place| piece.place_on_outline(place).map(|(edge, at)| On { edge, at });
    let (from, to) = (on(&step.from)?, on(&step.to)?);
    let through = piece.place(&step.through)?;
    if through.on.is_some() {
        return Err(Refusal::new(
            RefusalKind::PlaceOutside,
            piece.name(),
            format!("`{}` lies on the outline", step.through),
            "name a point inside the piece, like bust-point; to cut straight across use split",
        ));
    }
    let blend = step.blend.map_or(BLEND, Length::mm);
    if blend <= 0.0 {
        return Err(Refusal::new(
            RefusalKind::BadField,
            piece.name(),
            "without a blend the seam would have a corner at the point",
            "give --blend a length, 30mm is usual",
        ));
    }
    let taken = taken_darts(&piece, step, through.point)?;
    let mut line = PrincessLine::new(&piece, from, through.point, to);
    for dart in taken {
        line.take_in(dart)?;
    }
    let seam = line.seam()?;
    seam.make(work, &Choices { names: step.names.as_ref(), ease: step.ease, blend })
}

fn taken_darts<'a>(piece: &'a Piece, step: &AddPrincessSeam, point: Point) -> Result<Vec<&'a Dart>, Refusal> {
    match &step.darts {
        Some(DartChoice(names)) => names.iter().map(|name| piece.dart_named(name)).collect(),
        None => Ok(piece
            .darts
            .iter()
            .filter(|dart| dart.tips().iter().any(|tip| tip.distance(point) <= DART_NEAR_POINT))
            .collect()),
    }
}

/// The two sides of a double dart.
type Sides = (Curve, Curve);

/// A princess line in the making.
struct PrincessLine<'a> {
    piece: &'a Piece,
    point: Point,
    starts: (On, On),
    ends: (On, On),
    /// The dart that gives the line its legs at the start, and at the end.
    legs: (Option<DartLegs>, Option<DartLegs>),
    /// A double dart on the line before the point, and after it: its sides from the point outward, the first on the
    /// left of the line's way.
    doubles: (Option<Sides>, Option<Sides>),
    closed: Vec<(DartName, DartLegs)>,
    along: Vec<DartName>,
}

impl<'a> PrincessLine<'a> {
    fn new(piece: &'a Piece, from: On, point: Point, to: On) -> PrincessLine<'a> {
        PrincessLine {
            piece,
            point,
            starts: (from, from),
            ends: (to, to),
            legs: (None, None),
            doubles: (None, None),
            closed: Vec::new(),
            along: Vec::new(),
        }
    }

    fn take_in(&mut self, dart: &Dart) -> Result<(), Refusal> {
        if let DartShape::Double { sides } = &dart.shape {
            return self.take_in_double(dart, sides);
        }
        let legs = DartLegs::of(self.piece, dart)?;
        let beside = |on: On| {
            on.edge == legs.edge && on.at >= legs.from - DART_AT_LINE && on.at <= legs.to + DART_AT_LINE
        };
        let (first, second) = (On { edge: legs.edge, at: legs.from }, On { edge: legs.edge, at: legs.to });
        if beside(self.starts.0) && self.legs.0.is_none() {
            self.starts = (first, second);
            self.along.push(dart.name.clone());
            self.legs.0 = Some(legs);
        } else if beside(self.ends.0) && self.legs.1.is_none() {
            self.ends = (second, first);
            self.along.push(dart.name.clone());
            self.legs.1 = Some(legs);
        } else {
            legs.refuse_unequal(self.piece, &dart.name)?;
            self.closed.push((dart.name.clone(), legs));
        }
        Ok(())
    }

    /// A double dart whose nearer tip is at the point lies along the line, above it or below.
    fn take_in_double(&mut self, dart: &Dart, sides: &(Curve, Curve)) -> Result<(), Refusal> {
        let starts_here = sides.0.start().distance(self.point) <= sides.0.end().distance(self.point);
        let outward = if starts_here { sides.clone() } else { (sides.1.reversed(), sides.0.reversed()) };
        let far = outward.0.end();
        let redrawn = (outward.0.with_ends(self.point, far)?, outward.1.with_ends(self.point, far)?);
        let end = self.piece.point_on(self.ends.0.edge, self.ends.0.at);
        let start = self.piece.point_on(self.starts.0.edge, self.starts.0.at);
        let below = (far - self.point).dot(end - self.point) > (far - self.point).dot(start - self.point);
        let slot = if below { &mut self.doubles.1 } else { &mut self.doubles.0 };
        if slot.is_some() {
            return Err(Refusal::new(
                RefusalKind::BadDart,
                format!("{}.{}", self.piece.name(), dart.name),
                "two double darts lie on the same side of the point",
                "name the one to take in with --darts",
            ));
        }
        *slot = Some(redrawn);
        self.along.push(dart.name.clone());
        Ok(())
    }

    fn at(&self, on: On) -> Point {
        self.piece.point_on(on.edge, on.at)
    }

    fn seam(self) -> Result<SeamThrough<'a>, Refusal> {
        let before = self.before()?;
        let after = self.after()?;
        let point_after = before.0.len();
        let joined = |a: Vec<Curve>, b: Vec<Curve>| a.into_iter().chain(b).collect::<Vec<_>>();
        Ok(SeamThrough {
            piece: self.piece,
            starts: self.starts,
            ends: self.ends,
            lines: (joined(before.0, after.0), joined(before.1, after.1)),
            point_after,
            point: self.point,
            along: self.along,
            closed: self.closed,
            word: "princess",
        })
    }

    /// From the start to the point, on panel A and on panel B.
    fn before(&self) -> Result<(Vec<Curve>, Vec<Curve>), Refusal> {
        let starts = (self.at(self.starts.0), self.at(self.starts.1));
        if let Some((left, right)) = &self.doubles.0 {
            let far = left.end();
            let lead = |start: Point| Curve::line(start, far);
            return Ok((vec![lead(starts.0)?, left.reversed()], vec![lead(starts.1)?, right.reversed()]));
        }
        if let Some(legs) = &self.legs.0 {
            return Ok((self.by_legs(legs, starts.0)?, self.by_legs(legs, starts.1)?));
        }
        let onward = self.middle_end() - self.point;
        let curve = self.leading(starts.0, onward.normalize())?;
        Ok((vec![curve.clone()], vec![curve]))
    }

    /// From the point to the end, on panel A and on panel B.
    fn after(&self) -> Result<(Vec<Curve>, Vec<Curve>), Refusal> {
        let ends = (self.at(self.ends.0), self.at(self.ends.1));
        if let Some((left, right)) = &self.doubles.1 {
            let far = left.end();
            let lead = |end: Point| Curve::line(far, end);
            return Ok((vec![right.clone(), lead(ends.0)?], vec![left.clone(), lead(ends.1)?]));
        }
        if let Some(legs) = &self.legs.1 {
            let back = |end| -> Result<Vec<Curve>, Refusal> {
                Ok(self.by_legs(legs, end)?.iter().rev().map(Curve::reversed).collect())
            };
            return Ok((back(ends.0)?, back(ends.1)?));
        }
        if self.legs.0.is_none() {
            return Ok((vec![Curve::line(self.point, ends.0)?], vec![Curve::line(self.point, ends.1)?]));
        }
        let back = self.middle_start() - self.point;
        let curve = self.leading(ends.0, back.normalize())?.reversed();
        Ok((vec![curve.clone()], vec![curve]))
    }

    /// From a mouth end to the point: straight, or by way of a tip that is too far from the point to be redrawn to it.
    fn by_legs(&self, legs: &DartLegs, mouth: Point) -> Result<Vec<Curve>, Refusal> {
        if legs.tip.distance(self.point) <= DART_NEAR_POINT {
            return Ok(vec![Curve::line(mouth, self.point)?]);
        }
        Ok(vec![Curve::line(mouth, legs.tip)?, Curve::line(legs.tip, self.point)?])
    }

    fn middle_start(&self) -> Point {
        match (&self.doubles.0, &self.legs.0) {
            (Some((left, _)), _) => left.end(),
            (None, Some(legs)) if legs.tip.distance(self.point) > DART_NEAR_POINT => legs.tip,
            _ => self.at(self.starts.0).midpoint(self.at(self.starts.1)),
        }
    }

    fn middle_end(&self) -> Point {
        match (&self.doubles.1, &self.legs.1) {
            (Some((left, _)), _) => left.end(),
            (None, Some(legs)) if legs.tip.distance(self.point) > DART_NEAR_POINT => legs.tip,
            _ => self.at(self.ends.0).midpoint(self.at(self.ends.1)),
        }
    }

    /// A smooth curve from the outline to the point that goes on in the way of the line beyond it.
    fn leading(&self, from: Point, onward: crate::curve::Vec2) -> Result<Curve, Refusal> {
        let way = self.point - from;
        let third = way.hypot() / 3.0;
        if way.normalize().cross(onward).abs() <= SAME_CUT {
            return Ok(Curve::line(from, self.point)?);
        }
        let cubic = CubicBez::new(from, from + way / 3.0, self.point - onward * third, self.point);
        Ok(Curve::new([PathSeg::Cubic(cubic)])?)
    }
}
