//! `add-princess-seam`: cut a piece from an edge through a point to another edge, taking the darts into the seam.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Point, turn_between};
use crate::parts::ties::first_least;
use crate::pattern::{
    Dart, DartKind, Field, On, Operation, Piece, PieceName, Place, Refusal, RefusalKind, WalkEnd,
};
use crate::recut::Work;
use crate::recut::blend_seam::BlendWishes;
use crate::recut::dart_geometry::Wedge;
use crate::recut::fields::{DartChoice, PieceNames};
use crate::recut::line::snap;
use crate::recut::princess_legs::{Diamond, Notches, PrincessLegs, SeamHalf};
use crate::tolerance::{ALONG_LINE, DART_AT_LINE, DART_NEAR_POINT};
use crate::units::Length;

/// Cut a princess seam: from an edge through a point to another edge, the darts taken into it.
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
    /// Names of the two new pieces, "a, b"; the first goes to the part with the fold, else the one nearest the
    /// centre edge, else the upper, toward the grainline's start.
    #[arg(long, value_name = "A, B")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names: Option<PieceNames>,
}

impl AddPrincessSeam {
    /// A seam from an edge through a point to another edge, which takes in the darts that point there.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{AddPrincessSeam, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/dress.svg")?;
    /// let dress = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let seam = AddPrincessSeam::of(
    ///     "bodice-front".parse()?,
    ///     "armhole@50%".parse()?,
    ///     "bust-point".parse()?,
    ///     "waist@45% from centre".parse()?,
    /// );
    /// let cut = Step::from(seam).apply(&dress)?.pattern;
    /// assert!(!dress.piece(&"bodice-front".parse()?)?.darts.is_empty());
    /// for piece in ["bodice-front-centre", "bodice-front-side"] {
    ///     assert!(cut.piece(&piece.parse()?)?.darts.is_empty());
    /// }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName, from: Place, through: Place, to: Place) -> AddPrincessSeam {
        AddPrincessSeam { piece, from, through, to, darts: None, ease: None, blend: None, names: None }
    }
}

pub(super) fn add_princess_seam(step: &AddPrincessSeam, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let on = |place: &Place| -> Result<On, Refusal> {
        let (edge, at) = piece.place_on_outline(place)?;
        Ok(snap(&piece, On { edge, at }))
    };
    let (start, end) = (on(&step.from)?, on(&step.to)?);
    let point = piece.place(&step.through)?.point;
    let mut halves = PrincessLegs {
        piece: &piece,
        centre: work.pattern.centre_edge(&piece),
        point,
        start: SeamHalf { place: start, open: None, double: None },
        end: SeamHalf { place: end, open: None, double: None },
        closed: Vec::new(),
        wishes: BlendWishes { reach: step.blend, ease: step.ease },
        names: step.names.as_ref(),
        word: "princess",
        notches: Notches::AroundPoint,
    };
    let choice = if step.darts.is_some() { DartTaken::ByName } else { DartTaken::ByTip };
    for dart in chosen(&piece, step.darts.as_ref(), point)? {
        take(&mut halves, dart, choice)?;
    }
    give_ends(&mut halves);
    halves.seam()?.cut(work)
}

/// How a dart came to be taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum DartTaken {
    ByName,
    ByTip,
}

/// The darts to take in: those named, else all whose tip lies near the point.
fn chosen<'a>(piece: &'a Piece, named: Option<&DartChoice>, point: Point) -> Result<Vec<&'a Dart>, Refusal> {
    match named {
        Some(DartChoice(names)) => names.iter().map(|name| piece.dart_named(name)).collect(),
        None => Ok(piece
            .darts
            .iter()
            .filter(|dart| dart.kind == DartKind::Dart)
            .filter(|dart| dart.tips().iter().any(|tip| tip.distance(point) <= DART_NEAR_POINT))
            .collect()),
    }
}

/// Takes a dart in: one that opens on an edge to be closed or to give the seam its legs, a double dart on the half on
/// which it lies. A double dart off the line is left alone unless it was named.
fn take<'a>(halves: &mut PrincessLegs<'a>, dart: &'a Dart, choice: DartTaken) -> Result<(), Refusal> {
    let piece = halves.piece;
    let Some(diamond) = Diamond::of(dart, halves.point) else {
        halves.closed.push(Wedge::of(piece, dart)?);
        return Ok(());
    };
    let far = diamond.far - halves.point;
    let lies_on = |half: &SeamHalf| {
        let way = piece.point_on(half.place.edge, half.place.at) - halves.point;
        far.dot(way) > 0.0 && turn_between(far, way).0.abs() <= ALONG_LINE && far.hypot() < way.hypot()
    };
    let (on_start, on_end) = (lies_on(&halves.start), lies_on(&halves.end));
    let half = match (on_start, on_end) {
        (true, _) => Some(&mut halves.start),
        (_, true) => Some(&mut halves.end),
        _ => None,
    };
    match half {
        Some(half) => match half.double {
            None => half.double = Some(dart),
            Some(other) => {
                return Err(Refusal::new(
                    RefusalKind::BadDart,
                    piece.name(),
                    format!("double darts `{}` and `{}` both lie on the line", other.name, dart.name),
                    advice!("name one of them with ", Field::Darts),
                ));
            }
        },
        None if choice == DartTaken::ByName => {
            return Err(Refusal::new(
                RefusalKind::BadDart,
                format!("{}.{}", piece.name(), dart.name),
                "the double dart does not lie on the line, and cannot be closed",
                advice!(
                    "cut through it: ",
                    Operation::DartToSeam.with(Field::Piece, piece.name()).with(Field::Dart, &dart.name)
                ),
            ));
        }
        None => {}
    }
    Ok(())
}

/// Lets the nearest dart whose mouth holds an end of the seam, or lies near it, give the seam its legs.
fn give_ends(halves: &mut PrincessLegs) {
    for at in WalkEnd::BOTH {
        let place = halves.half(at).place;
        let off = |wedge: &Wedge| match wedge.from.edge == place.edge {
            true => (wedge.from.at - place.at).max(place.at - wedge.to.at).max(0.0),
            false => f64::INFINITY,
        };
        let near = first_least(0..halves.closed.len(), |i| off(&halves.closed[*i]))
            .filter(|i| off(&halves.closed[*i]) <= DART_AT_LINE);
        if let Some(i) = near {
            let wedge = halves.closed.remove(i);
            halves.half_mut(at).open = Some(wedge);
        }
    }
}
