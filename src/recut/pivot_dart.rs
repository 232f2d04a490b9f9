//! `pivot-dart`: close a dart and open it elsewhere.
//!
//! ```text
//!        X                     X'  X
//!     ───┴──────┐           ────\ /───┐      the part between the mouth and X turns about the tip
//!         tip   ├ m0             V    │      until the legs meet; the wedge opens at X
//!          ·────┤                     │
//!               ├ m1                  │
//! ```

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::curve::{Curve, Motion, Point, Radians};
use crate::pattern::{
    Dart, DartName, DartShape, DeclaredKind, Mouth, Piece, PieceName, Place, Refusal, RefusalKind,
};
use crate::recut::Work;
use crate::recut::assemble::{Bit, Part, Plan, assemble, bits_round, region, way_round};
use crate::recut::dart_legs::{DartLegs, without};
use crate::recut::line::{On, refuse_darts_on};
use crate::recut::outcome::{OnFold, middle_of};
use crate::recut::split::{First, comes_first};
use crate::tolerance::{AREA_TOLD, SAME_CUT};
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

pub(super) fn pivot_dart(step: &PivotDart, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let legs = DartLegs::of(&piece, piece.dart_named(&step.dart)?)?;
    let about = match &step.about {
        Some(place) => piece.place(place)?.point,
        None => legs.tip,
    };
    let share = step.share.unwrap_or(Share::WHOLE);
    let pivot = Pivot::new(&piece, legs, about, step, share)?;
    let redrawn = pivot.legs.wedge_area(about) - pivot.legs.wedge_area(pivot.legs.tip);
    let plan = pivot.plan(step)?;
    let made = assemble(&plan)?;
    let stood_off = plan.new_darts.last().map_or(0.0, |dart| {
        let (first, second) = dart.legs();
        let full = triangle(first.start(), about, second.start());
        full - triangle(first.start(), first.end(), second.start())
    });
    work.replace(&[&piece], vec![made])?;
    let area = stood_off - redrawn;
    if area.abs() > AREA_TOLD {
        work.declare(&step.piece, DeclaredKind::LegsRedrawn, area);
    }
    Ok(())
}

fn triangle(a: Point, b: Point, c: Point) -> f64 {
    ((b - a).cross(c - a) / 2.0).abs()
}

/// Which of the two parts turns.
#[derive(Clone, Copy, PartialEq)]
enum Turns {
    /// The one from the mouth clockwise to the new place.
    AfterMouth,
    /// The one from the new place clockwise to the mouth.
    BeforeMouth,
}

/// A dart about to be moved.
struct Pivot<'a> {
    piece: &'a Piece,
    dart: &'a Dart,
    legs: DartLegs,
    about: Point,
    to: On,
    turns: Turns,
    motion: Motion,
    share: Share,
}

impl<'a> Pivot<'a> {
    fn new(
        piece: &'a Piece,
        legs: DartLegs,
        about: Point,
        step: &PivotDart,
        share: Share,
    ) -> Result<Pivot<'a>, Refusal> {
        let dart = piece.dart_named(&step.dart)?;
        let (edge, at) = piece.place_on_outline(&step.to)?;
        let to = On { edge, at };
        let in_mouth = |slack: f64| edge == legs.edge && at > legs.from - slack && at < legs.to + slack;
        if in_mouth(SAME_CUT) {
            return Err(refuse(
                piece,
                &step.dart,
                "the new place lies in the dart's own mouth",
                "name a place beside it",
            ));
        }
        if share.factor() <= 0.0 {
            return Err(refuse(
                piece,
                &step.dart,
                "a share of nothing leaves the dart where it is",
                "give more than 0%",
            ));
        }
        legs.refuse_unequal(piece, &step.dart)?;
        refuse_way(piece, dart, about, to)?;
        let turns = which_turns(piece, &legs, to, about)?;
        let motion = legs.closing(about, share, turns == Turns::AfterMouth)?;
        Ok(Pivot { piece, dart, legs, about, to, turns, motion, share })
    }

    fn mouth_ends(&self) -> (On, On) {
        let on = |at| On { edge: self.legs.edge, at };
        (on(self.legs.from), on(self.legs.to))
    }

    fn plan(&self, step: &PivotDart) -> Result<Plan<'a>, Refusal> {
        let piece = self.piece;
        let (first, second) = self.mouth_ends();
        let x = piece.point_on(self.to.edge, self.to.at);
        let line = |a: Point, b: Point| Curve::line(a, b);
        let (m0, m1) = (self.legs.first.0, self.legs.second.0);
        let after = region(piece, second, self.to, &[line(x, self.about)?, line(self.about, m1)?])?;
        let before = region(piece, self.to, first, &[line(m0, self.about)?, line(self.about, x)?])?;
        let still = Motion::identity();
        let (after_motion, before_motion) = match self.turns {
            Turns::AfterMouth => (self.motion, still),
            Turns::BeforeMouth => (still, self.motion),
        };
        let parts = vec![Part::of(piece, after, after_motion), Part::of(piece, before, before_motion)];
        let mut plan = Plan::like(piece, piece.name().clone(), parts, Vec::new());
        plan.grain = if self.turns == Turns::AfterMouth { 1 } else { 0 };
        plan.taken = vec![(piece.name().clone(), self.dart.name.clone())];
        let rest_mouth = (before_motion.apply(m0), after_motion.apply(m1));
        let new_mouth = (after_motion.apply(x), before_motion.apply(x));
        let mut bits = bits_round(piece, 0, second, self.to);
        let partial = self.share.factor() < 1.0;
        let moved = Dart {
            name: if partial { self.dart.name.with("moved") } else { self.dart.name.clone() },
            ..self.drawn(new_mouth, self.stood_off(step, new_mouth)?)?
        };
        bits.push(Bit::Mouth {
            dart: usize::from(partial),
            chord: line(new_mouth.0, new_mouth.1)?,
            on: Some((1, self.to.edge)),
        });
        bits.extend(bits_round(piece, 1, self.to, first));
        if partial {
            plan.new_darts.push(self.drawn(rest_mouth, self.about)?);
            let chord = line(rest_mouth.0, rest_mouth.1)?;
            bits.push(Bit::Mouth { dart: 0, chord, on: Some((1, self.legs.edge)) });
        }
        plan.new_darts.push(moved);
        plan.bits = bits;
        Ok(plan)
    }

    fn drawn(&self, (from, to): (Point, Point), tip: Point) -> Result<Dart, Refusal> {
        let mouth =
            Mouth { edge: self.piece.edge(self.to.edge).name.clone(), from: 0.0, to: from.distance(to) };
        let legs = (Curve::line(from, tip)?, Curve::line(to, tip)?);
        Ok(Dart {
            shape: DartShape::Open { mouth, legs },
            press: crate::pattern::Press::Usual,
            ..self.dart.clone()
        })
    }

    /// The tip, moved back along the dart's axis toward its mouth.
    fn stood_off(&self, step: &PivotDart, (from, to): (Point, Point)) -> Result<Point, Refusal> {
        let Some(off) = step.stand_off else { return Ok(self.about) };
        let axis = from.midpoint(to) - self.about;
        if off.mm() < 0.0 || off.mm() >= axis.hypot() {
            return Err(refuse(
                self.piece,
                &step.dart,
                format!(
                    "the new dart is {:.1} mm long; its tip cannot stand off by {:.1} mm",
                    axis.hypot(),
                    off.mm()
                ),
                "give a shorter stand-off",
            ));
        }
        Ok(self.about + axis.normalize() * off.mm())
    }
}

fn refuse(piece: &Piece, dart: &DartName, what: impl std::fmt::Display, way_out: &str) -> Refusal {
    Refusal::new(RefusalKind::BadDart, format!("{}.{dart}", piece.name()), what, way_out)
}

/// Refuses a way from the point to the new place that leaves the piece or crosses another dart.
fn refuse_way(piece: &Piece, dart: &Dart, about: Point, to: On) -> Result<(), Refusal> {
    let x = piece.point_on(to.edge, to.at);
    let way = Curve::line(about, x)?;
    let crossings = piece.outline().crossings_with(&way);
    let leaves = crossings.iter().any(|crossing| crossing.line_at < way.length() - SAME_CUT);
    if leaves || !piece.outline().contains(about.midpoint(x)) {
        return Err(Refusal::new(
            RefusalKind::BadLine,
            format!("{}.{}", piece.name(), dart.name),
            "the straight way from the tip to the new place leaves the piece",
            "name a place that can be seen from the tip",
        ));
    }
    refuse_darts_on(&without(piece, &[&dart.name]), &way, &[to])
}

/// The part that has the fold or lies nearest the centre stays; the other turns.
fn which_turns(piece: &Piece, legs: &DartLegs, to: On, about: Point) -> Result<Turns, Refusal> {
    let x = piece.point_on(to.edge, to.at);
    let (first, second) = (On { edge: legs.edge, at: legs.from }, On { edge: legs.edge, at: legs.to });
    let part = |from: On, end: On, back: [Curve; 2]| -> Result<(OnFold, Point), Refusal> {
        let on_fold = OnFold::of_way(piece, &way_round(piece, from, end));
        Ok((on_fold, middle_of(&region(piece, from, end, &back)?)))
    };
    let line = |a: Point, b: Point| Curve::line(a, b);
    let after = part(second, to, [line(x, about)?, line(about, legs.second.0)?])?;
    let before = part(to, first, [line(legs.first.0, about)?, line(about, x)?])?;
    Ok(match comes_first(piece, after, before) {
        First::A => Turns::BeforeMouth,
        First::B => Turns::AfterMouth,
    })
}

impl DartLegs {
    /// The motion that closes the dart by a share: of the part after the mouth, or of the part before it.
    fn closing(&self, about: Point, share: Share, after: bool) -> Result<Motion, Refusal> {
        let (from, to) = if after { (self.second.0, self.first.0) } else { (self.first.0, self.second.0) };
        if share.factor() >= 1.0 {
            let turned = Motion::carry((about, from), (about, to))?;
            return Ok(turned.then(&Motion::shift(to - turned.apply(from))));
        }
        let (a, b) = (from - about, to - about);
        let angle = a.cross(b).atan2(a.dot(b));
        Ok(Motion::turn_about(about, Radians(angle * share.factor())))
    }
}
