//! `pivot-dart`: close a dart and open it elsewhere on the outline.
//!
//! ```text
//!        to                          mouth
//!     ────·──────┐                ───┐ ┌────┐
//!          \     │                    \│     \        the piece is cut from the new place to the tip; one part
//!           \    <  mouth    ──>       ·      │       turns about the tip until the old mouth is shut
//!            ·   │                            │
//!     ───────────┘                ────────────┘
//! ```

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::curve::{Curve, Motion, Outline, Point, Radians};
use crate::parts::assemble::{Assembled, Assembly, Bit, Part, assemble, bits_round, region, way_round};
use crate::pattern::{
    Dart, DartKind, DartName, DartShape, DeclaredKind, EdgeId, Finish, Kept, Mouth, On, Piece, PieceName,
    Place, Press, Refusal, RefusalKind,
};
use crate::recut::Work;
use crate::recut::dart_geometry::{
    Slide, TurnedPart, Wedge, refuse_across_darts, refuse_meeting, refuse_outside,
};
use crate::recut::line::snap;
use crate::recut::split::tell_crossed_marks;
use crate::recut::{Notice, StepLine};
use crate::recut::{levels_in_dart, marks_in_dart};
use crate::tolerance::{JOINT, ON_OUTLINE, SAME_CUT};
use crate::units::{Length, Share};

/// Close a dart and open it elsewhere on the outline, in whole or by a share.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PivotDart {
    /// The piece with the dart.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The dart to close.
    #[arg(long, value_name = "DART")]
    pub dart: DartName,
    /// Where it opens, on an edge: shoulder@50%.
    #[arg(long, value_name = "PLACE")]
    pub to: Place,
    /// How much of it is moved; otherwise all, 100%.
    #[arg(long, value_name = "SHARE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub share: Option<Share>,
    /// The point about which it turns; otherwise the tip. The legs are redrawn to it.
    #[arg(long, value_name = "PLACE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<Place>,
    /// How far the new tip stands from the point about which it turned; otherwise it reaches the point.
    #[arg(long, value_name = "LENGTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stand_off: Option<Length>,
}

impl PivotDart {
    /// A dart closed in whole and opened at another place, about its tip.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{PivotDart, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/dress.svg")?;
    /// let dress = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let pivot = PivotDart::of("bodice-front".parse()?, "bust-dart".parse()?, "shoulder@50%".parse()?);
    /// let pivoted = Step::from(pivot).apply(&dress)?.pattern;
    /// let (piece, dart) = ("bodice-front".parse()?, "bust-dart".parse()?);
    /// let (before, now) = (dress.piece(&piece)?.dart_named(&dart)?, pivoted.piece(&piece)?.dart_named(&dart)?);
    /// assert_eq!(now.mouth().map(|mouth| mouth.edge.as_str()), Some("shoulder"));
    /// assert!((now.angle().unwrap_or_default() - before.angle().unwrap_or_default()).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName, dart: DartName, to: Place) -> PivotDart {
        PivotDart { piece, dart, to, share: None, about: None, stand_off: None }
    }
}

pub(super) fn pivot_dart(step: &PivotDart, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let dart = piece.dart_named(&step.dart)?;
    let wedge = Wedge::of(&piece, dart)?;
    let point = match &step.about {
        None => wedge.tip(),
        Some(place) => piece.place(place)?.point,
    };
    let opening = place_of_opening(&piece, &step.to)?;
    let share = step.share.unwrap_or(Share::WHOLE);
    wedge.refuse_unsound(point, Slide::AsLegsMay)?;
    let (centre, stand_off) = (work.pattern.centre_edge(&piece), step.stand_off);
    let pivot = Pivot { piece: &piece, centre, wedge: &wedge, point, opening, share, stand_off };
    pivot.refuse_unsound()?;
    let (made, left) = pivot.made()?;
    let by = made.piece.net_area() - piece.net_area();
    let to_point = wedge.area_change(wedge.legs_to(point)?);
    let (name, width) = pivot.opened(&made)?;
    tell_crossed_marks(work, &piece, StepLine::Dart, &Curve::line(point, pivot.target())?);
    for mark in left {
        work.tell(Notice::MarkCrossed { piece: piece.name().clone(), by: StepLine::Dart, mark });
    }
    work.replace(&[&piece], vec![made])?;
    work.declare_each(piece.name(), DeclaredKind::LegsRedrawn, &[to_point, by - to_point]);
    work.tell(Notice::DartMade { piece: piece.name().clone(), dart: name, width });
    Ok(())
}

fn place_of_opening(piece: &Piece, place: &Place) -> Result<On, Refusal> {
    let (edge, at) = piece.place_on_outline(place)?;
    let on = snap(piece, On { edge, at });
    let inside = piece.mouths_on(&piece.edge(edge).name).into_iter().find(|(_, mouth)| {
        let short_of_corner = |end: f64| end > SAME_CUT && end < piece.edge(edge).curve.length() - SAME_CUT;
        let from = if short_of_corner(mouth.from) { mouth.from - SAME_CUT } else { mouth.from + SAME_CUT };
        let to = if short_of_corner(mouth.to) { mouth.to + SAME_CUT } else { mouth.to - SAME_CUT };
        on.at > from && on.at < to
    });
    match inside {
        None => Ok(on),
        Some((dart, _)) => Err(Refusal::new(
            RefusalKind::PlaceOutside,
            format!("{}.{}", piece.name(), piece.edge(edge).name),
            format!("`{place}` lies in the mouth of dart `{}`", dart.name),
            "choose a place where no dart opens",
        )
        .about(place)),
    }
}

/// A pivot of which everything is known but the outcome.
struct Pivot<'a> {
    piece: &'a Piece,
    centre: Option<EdgeId>,
    wedge: &'a Wedge<'a>,
    point: Point,
    opening: On,
    share: Share,
    stand_off: Option<Length>,
}

/// The part from the mouth to the new opening is first among the parts, the one from the opening to the mouth second.
const AFTER_MOUTH: usize = 0;
const BEFORE_MOUTH: usize = 1;

impl Pivot<'_> {
    fn refuse_unsound(&self) -> Result<(), Refusal> {
        let piece = self.piece;
        let dart = format!("{}.{}", piece.name(), self.wedge.dart.name);
        let refuse = |kind, what: String, way_out: &str| Err(Refusal::new(kind, &dart, what, way_out));
        if self.share.factor() <= 0.0 {
            return refuse(
                RefusalKind::BadField,
                "a share of 0% moves nothing".to_owned(),
                "give a larger share",
            );
        }
        for edge in [self.wedge.from.edge, self.opening.edge] {
            if piece.edge(edge).finish == Finish::Fold {
                return refuse(
                    RefusalKind::BadLine,
                    format!(
                        "a dart cannot open on the fold `{}`, which must stay straight",
                        piece.edge(edge).name
                    ),
                    "choose another edge, or unfold the piece first (retrue unfold)",
                );
            }
        }
        if self.wedge.angle_at(self.point) <= 0.0 {
            return refuse(
                RefusalKind::BadDart,
                "its mouth does not open away from the point".to_owned(),
                "choose a point inside the piece, on the dart's axis",
            );
        }
        let taken = std::slice::from_ref(&self.wedge.dart.name);
        let (a, b) = self.wedge.mouth();
        let cut = Curve::line(self.point, self.target())?;
        let legs = self.wedge.legs_to(self.point)?;
        refuse_outside(piece, &cut, "the way from the point to the new place", &[self.target()])?;
        refuse_outside(piece, &legs.0, "a leg", &[a])?;
        refuse_outside(piece, &legs.1, "a leg", &[b])?;
        refuse_meeting(piece, &cut, &legs.0, self.point)?;
        refuse_meeting(piece, &cut, &legs.1, self.point)?;
        refuse_across_darts(piece, &[cut, legs.0, legs.1], taken)
    }

    fn target(&self) -> Point {
        self.piece.point_on(self.opening.edge, self.opening.at)
    }

    fn regions(&self) -> Result<[Outline; 2], Refusal> {
        let (a, b) = self.wedge.mouth();
        let (point, target) = (self.point, self.target());
        let straight = |from, to| Curve::line(from, to);
        Ok([
            region(
                self.piece,
                self.wedge.to,
                self.opening,
                &[straight(target, point)?, straight(point, b)?],
            )?,
            region(
                self.piece,
                self.opening,
                self.wedge.from,
                &[straight(a, point)?, straight(point, target)?],
            )?,
        ])
    }

    fn ways(&self) -> [Vec<(EdgeId, f64, f64)>; 2] {
        [
            way_round(self.piece, self.wedge.to, self.opening),
            way_round(self.piece, self.opening, self.wedge.from),
        ]
    }

    /// The part that stays: with the fold, else with more of the centre edge, else with the grainline, else the larger.
    fn staying(&self, regions: &[Outline; 2]) -> usize {
        let more = |a: f64, b: f64| {
            let first = if a > b { AFTER_MOUTH } else { BEFORE_MOUTH };
            ((a - b).abs() > SAME_CUT).then_some(first)
        };
        let of_centre = self.ways().map(|way| {
            let on_centre = way.iter().filter(|(edge, ..)| Some(*edge) == self.centre);
            on_centre.map(|(_, from, to)| to - from).sum::<f64>()
        });
        let grain = self.piece.grainline.as_ref().map(|grain| grain.start.midpoint(grain.end));
        let of_grain = [AFTER_MOUTH, BEFORE_MOUTH]
            .map(|i| if grain.is_some_and(|middle| regions[i].contains(middle)) { 1.0 } else { 0.0 });
        more(of_centre[0], of_centre[1])
            .or_else(|| more(of_grain[0], of_grain[1]))
            .or_else(|| more(regions[0].area(), regions[1].area()))
            .unwrap_or(AFTER_MOUTH)
    }

    fn turn(&self, turned: TurnedPart) -> Result<Motion, Refusal> {
        if self.share == Share::WHOLE {
            return self.wedge.closing(self.point, turned);
        }
        let angle = self.wedge.angle_at(self.point) * self.share.factor();
        let by = match turned {
            TurnedPart::AfterMouth => -angle,
            TurnedPart::BeforeMouth => angle,
        };
        Ok(Motion::turn_about(self.point, Radians(by)))
    }

    /// The piece with the dart moved, and the marks that lay in the dart.
    fn made(&self) -> Result<(Assembled, Vec<String>), Refusal> {
        let regions = self.regions()?;
        let staying = self.staying(&regions);
        let motions = match staying {
            AFTER_MOUTH => [Motion::identity(), self.turn(TurnedPart::BeforeMouth)?],
            _ => [self.turn(TurnedPart::AfterMouth)?, Motion::identity()],
        };
        let [after, before] = regions;
        let (first, _) = self.wedge.mouth();
        let levels = levels_in_dart::of_part(self.piece, &before, &[(self.wedge, first)], self.point)?;
        let parts = vec![
            Part::of(self.piece, after, motions[AFTER_MOUTH]),
            Part { levels, ..Part::of(self.piece, before, motions[BEFORE_MOUTH]) },
        ];
        let new_place = motions.map(|motion| motion.apply(self.target()));
        let (a, b) = self.wedge.mouth();
        let old_place = (motions[BEFORE_MOUTH].apply(a), motions[AFTER_MOUTH].apply(b));
        let mut darts = Vec::new();
        let mut bits = bits_round(self.piece, AFTER_MOUTH, self.wedge.to, self.opening);
        let rest = if self.share == Share::WHOLE { None } else { Some(darts.len()) };
        if rest.is_some() {
            let Dart { name, press, kept, .. } = self.wedge.dart;
            darts.push(self.dart(name, old_place, self.point, press, kept.clone())?);
        }
        let opened = darts.len();
        let tip = self.new_tip(new_place)?;
        let name = &self.wedge.dart.name;
        let (name, kept) = match rest {
            // What stood on the drawn dart stands on what is left of it.
            Some(_) => (name.with("moved"), Kept::default()),
            None => (name.clone(), self.wedge.dart.kept.clone()),
        };
        darts.push(self.dart(&name, (new_place[0], new_place[1]), tip, &Press::Usual, kept)?);
        bits.push(mouth_bit(opened, (new_place[0], new_place[1]), self.opening, BEFORE_MOUTH)?);
        bits.extend(bits_round(self.piece, BEFORE_MOUTH, self.opening, self.wedge.from));
        if let Some(rest) = rest {
            bits.push(mouth_bit(rest, old_place, self.wedge.from, AFTER_MOUTH)?);
        }
        let assembly = Assembly {
            grain: staying,
            taken: vec![(self.piece.name().clone(), self.wedge.dart.name.clone())],
            new_darts: darts,
            ..Assembly::like(self.piece, self.piece.name().clone(), parts, bits)
        };
        let mut made = assemble(&assembly)?;
        let carried: Vec<(usize, &Part)> = assembly.parts.iter().map(|part| (0, part)).collect();
        let left = marks_in_dart::keep(self.piece, &carried, std::slice::from_mut(&mut made));
        let moving = if staying == AFTER_MOUTH { motions[BEFORE_MOUTH] } else { motions[AFTER_MOUTH] };
        let (stays, slid) = (self.point, moving.apply(self.point));
        made.piece.points.retain(|point| {
            stays.distance(slid) <= JOINT
                || point.at.distance(slid) > ON_OUTLINE
                || point.at.distance(stays) <= point.at.distance(slid)
        });
        Ok((made, left))
    }

    /// The tip of the new dart: the point, or that far from it toward the middle of the mouth.
    fn new_tip(&self, mouth: [Point; 2]) -> Result<Point, Refusal> {
        let Some(stand_off) = self.stand_off else { return Ok(self.point) };
        let axis = mouth[0].midpoint(mouth[1]) - self.point;
        let length = axis.hypot();
        if !(stand_off.mm() >= 0.0 && stand_off.mm() < length - SAME_CUT) {
            return Err(Refusal::new(
                RefusalKind::BadField,
                format!("{}.{}", self.piece.name(), self.wedge.dart.name),
                format!("a tip {stand_off} from the point does not lie on the new dart, {length:.1} mm long"),
                format!("give a stand-off from 0mm to less than {length:.0}mm"),
            )
            .about(stand_off));
        }
        Ok(self.point + axis * (stand_off.mm() / length))
    }

    fn dart(
        &self,
        name: &DartName,
        ends: (Point, Point),
        tip: Point,
        press: &Press,
        kept: Kept,
    ) -> Result<Dart, Refusal> {
        let mouth = Mouth { edge: self.wedge.edge.clone(), from: 0.0, to: 0.0 };
        let legs = (Curve::line(ends.0, tip)?, Curve::line(ends.1, tip)?);
        Ok(Dart {
            name: name.clone(),
            kind: DartKind::Dart,
            shape: DartShape::Open { mouth, legs },
            press: press.clone(),
            kept,
        })
    }

    /// The name and width of the dart that was opened: the last of the new piece.
    fn opened(&self, made: &Assembled) -> Result<(DartName, Length), Refusal> {
        let dart = made.piece.darts.last().map_or(self.wedge.dart, |dart| dart);
        let (first, second) = dart.legs();
        Ok((dart.name.clone(), Length::from_mm(first.start().distance(second.start()))))
    }
}

/// A mouth between two points, on the edge of a part.
fn mouth_bit(dart: usize, ends: (Point, Point), on: On, part: usize) -> Result<Bit, Refusal> {
    Ok(Bit::Mouth { dart, chord: Curve::line(ends.0, ends.1)?, on: Some((part, on.edge)) })
}
