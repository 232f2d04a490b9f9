//! `extend-edge`: cloth added beyond an edge.
//!
//! ```text
//!        neck          neck   neck-lap
//!     ────────┐      ────────┬──┐
//!             │              ┆  │
//!             │ centre       ┆  │ centre, where it lies now; where it lay is kept as a style line
//!     ────────┘      ────────┴──┘
//! ```

use clap::{Args, ValueEnum};
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Curve, Motion, Outline, Point, left_of, offset};
use crate::pattern::{
    ClothName, DeclaredKind, DrawnAnew, Edge, EdgeEnd, EdgeId, EdgeName, EdgeRef, Field, Finish, GirthUse,
    Level, Operation, Piece, PieceName, Refusal, RefusalKind, Run, RunEdge, Seam, StyleLine, Travel, Walk,
    settle,
};
use crate::recut::assemble::{Assembled, Assembly, Bit, EdgeLook, Part, assemble};
use crate::recut::carry::lay_grainline;
use crate::recut::divide::{join, whole_way};
use crate::recut::open_seam::bad_button;
use crate::recut::outcome::usual_allowance;
use crate::recut::room;
use crate::recut::{Told, Work};
use crate::tolerance::{
    EXTENSION_ACCURACY, LAP_BEYOND_BUTTON, LEAST_END_ANGLE, MOST_BUTTON, MOST_EXTENDED, OUTSIDE_PIECE,
    SAME_CUT, SAME_LENGTH,
};
use crate::units::Length;

/// Add cloth beyond an edge: a lap, a wrap, a border.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ExtendEdge {
    /// The edge: front.centre.
    #[arg(long, value_name = "PIECE.EDGE")]
    pub edge: EdgeRef,
    /// By how much; for a front that is buttoned, give the button instead.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<Length>,
    /// The diameter of the button: the front laps by half of it and 1/4 in.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub button: Option<Length>,
    /// How its ends run: along the neighbours (default), or square to the edge.
    #[arg(long, value_name = "ENDS")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ends: Option<Ends>,
    /// The cloth of which it is a piece of its own, sewn to the edge; otherwise it belongs to the piece.
    #[arg(long, value_name = "CLOTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cloth: Option<ClothName>,
    /// Name of that piece; otherwise PIECE-border.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
}

/// How the ends of an extension run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Ends {
    /// On from the neighbours, straight along their ends.
    #[default]
    Along,
    /// Square to the edge.
    Square,
}

/// The lines round an extension, clockwise as the piece's outline goes.
struct Shape {
    /// From the edge's first corner outward.
    start: Curve,
    /// Where the edge lies now.
    outer: Curve,
    /// Back inward to the edge's last corner.
    end: Curve,
}

pub(super) fn extend_edge(step: &ExtendEdge, work: &mut Work) -> Result<(), Refusal> {
    let by = depth(step)?;
    let edge = settle(&work.pattern, &step.edge);
    let edge = EdgeRef::new(edge.piece, edge.edge);
    let piece = work.piece(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    refuse_edge(&piece, id)?;
    refuse_girth(work, &piece, id)?;
    let shape = found(&piece, id, by, step.ends.unwrap_or_default())?;
    let sides = [Beside::of(&piece, id, EdgeEnd::First), Beside::of(&piece, id, EdgeEnd::Last)];
    match &step.cloth {
        None if step.name.is_some() => Err(Refusal::new(
            RefusalKind::BadField,
            &edge,
            "an extension that belongs to the piece has no name of its own",
            advice!("leave the name out, or give ", Field::Cloth),
        )),
        None => extend(work, &piece, id, &shape, sides),
        Some(cloth) => border(work, &piece, id, shape, sides, (cloth, step.name.as_ref())),
    }?;
    work.tell(Told::EdgeExtended { edge, by: Length::from_mm(by) });
    Ok(())
}

/// How deep the extension is, mm.
fn depth(step: &ExtendEdge) -> Result<f64, Refusal> {
    let by = match (step.by, step.button) {
        (Some(by), None) => by.mm(),
        (None, Some(button)) if (0.0..=MOST_BUTTON).contains(&button.mm()) => {
            button.mm() / 2.0 + LAP_BEYOND_BUTTON
        }
        (None, Some(button)) => return Err(bad_button(button)),
        (None, None) | (Some(_), Some(_)) => {
            return Err(Refusal::new(
                RefusalKind::BadField,
                &step.edge,
                "an edge is extended by a length, or by what its button asks for: one of the two",
                advice!("give ", Field::By, " or ", Field::Button),
            ));
        }
    };
    if by <= SAME_CUT || by > MOST_EXTENDED {
        let by = Length::from_mm(by);
        let way_out = format!("give a length above 0mm, up to {MOST_EXTENDED}mm");
        let what = format!("an edge cannot be extended by {by}");
        return Err(Refusal::new(RefusalKind::BadField, &step.edge, what, way_out).about(by));
    }
    Ok(by)
}

fn refuse_edge(piece: &Piece, id: EdgeId) -> Result<(), Refusal> {
    let edge = piece.edge(id);
    if edge.finish == Finish::Fold {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            piece.edge_ref(id),
            "the edge is a fold, beyond which the piece goes on already",
            advice!("open it first: ", Operation::OpenCentre.with(Field::Piece, piece.name())),
        ));
    }
    match piece.mouths_on(&edge.name).first() {
        None => Ok(()),
        Some((dart, _)) => Err(Refusal::new(
            RefusalKind::DartInTheWay,
            piece.edge_ref(id),
            format!(
                "dart `{}` opens on the edge: beyond it the cloth would not close with the dart",
                dart.name
            ),
            advice!(
                "move it to another edge first: ",
                Operation::PivotDart
                    .with(Field::Piece, piece.name())
                    .with(Field::Dart, &dart.name)
                    .with(Field::To, "PLACE")
            ),
        )),
    }
}

/// Refuses an edge across which the garment is measured: cloth beyond it would make the garment wider, and no level would
/// tell.
fn refuse_girth(work: &Work, piece: &Piece, id: EdgeId) -> Result<(), Refusal> {
    let edge = piece.edge_ref(id);
    for seam in work.pattern.seams_of(&edge).map(|seam| work.pattern.seam(seam)) {
        let Some(side) = seam.side_of(&edge) else { continue };
        for run in seam.side(side.other()).edges() {
            let (other, other_id) = work.pattern.edge(&run.edge)?;
            let across = levels_ending_on(piece, id)
                .find(|level| levels_ending_on(other, other_id).any(|other| other.name == level.name));
            if let Some(level) = across {
                return Err(Refusal::new(
                    RefusalKind::NotOfThatSort,
                    &edge,
                    format!(
                        "level `{}` goes on across it to {}: the garment would be wider",
                        level.name, run.edge
                    ),
                    advice!("shift the seam instead: ", Operation::MoveSeam.with(Field::Seam, &edge)),
                ));
            }
        }
    }
    Ok(())
}

/// The levels that count in the girth and end at an edge.
fn levels_ending_on(piece: &Piece, id: EdgeId) -> impl Iterator<Item = &Level> {
    let curve = &piece.edge(id).curve;
    let is_on = |at: Point| curve.nearest(at).distance <= OUTSIDE_PIECE;
    let counts = piece.levels.iter().filter(|level| level.girth == GirthUse::Counts);
    counts.filter(move |level| {
        let ends = level.stretches.first().zip(level.stretches.last());
        ends.is_some_and(|((first, _), (_, last))| is_on(*first) || is_on(*last))
    })
}

/// The least depth that is offered in place of one that is too deep, and how nearly the greatest is found, mm.
const LEAST_OFFERED: f64 = 1.0;
const FOUND_WITHIN: f64 = 0.1;

/// The extension of a depth; where there is none, the refusal names the greatest that there is.
fn found(piece: &Piece, id: EdgeId, by: f64, ends: Ends) -> Result<Shape, Refusal> {
    let why = match shape(piece, id, by, ends) {
        Ok(shape) => return Ok(shape),
        Err(why) => why,
    };
    let (mut most, mut too_deep) = (0.0, by);
    while too_deep - most > FOUND_WITHIN {
        let middle = f64::midpoint(most, too_deep);
        if shape(piece, id, middle, ends).is_ok() { most = middle } else { too_deep = middle }
    }
    let most = (most / FOUND_WITHIN).floor() * FOUND_WITHIN;
    let by = Length::from_mm((by * 100.0).round() / 100.0);
    let way_out = match ends {
        _ if most > LEAST_OFFERED => format!("extend it by up to {most:.1}mm").into(),
        Ends::Along => advice!("end it square: ", Field::Ends.set("square")),
        Ends::Square => "draw what is to be added as a piece of its own".into(),
    };
    Err(Refusal::new(RefusalKind::BadWidth, piece.edge_ref(id), format!("extended by {by}, {why}"), way_out)
        .about(by))
}

/// The lines of an extension, or why there are none.
fn shape(piece: &Piece, id: EdgeId, by: f64, ends: Ends) -> Result<Shape, String> {
    let edge = &piece.edge(id).curve;
    let failed = |_| "the line beside it cannot be drawn".to_owned();
    let line = |from: Point, to: Point| Curve::line(from, to).map_err(failed);
    let beyond = offset(edge, by, EXTENSION_ACCURACY / 2.0).map_err(failed)?;
    refuse_pinched(edge, &beyond, by)?;
    let made = match ends {
        Ends::Square => Shape {
            start: line(edge.start(), beyond.start())?,
            end: line(beyond.end(), edge.end())?,
            outer: beyond,
        },
        Ends::Along => {
            let (before, after) = (piece.edge(piece.previous(id)), piece.edge(piece.next(id)));
            let reach = by / LEAST_END_ANGLE.sin();
            let far = beyond.run_on(reach, reach);
            let out = [
                (edge.start(), before.curve.tangent_before(before.curve.length()), &before.name),
                (edge.end(), -after.curve.tangent_at(0.0), &after.name),
            ];
            let mut met = Vec::new();
            for (corner, along, name) in out {
                let ray = line(corner, corner + along.normalize() * reach)?;
                let crossings = ray.crossings(&far);
                let first = crossings.iter().min_by(|a, b| a.at.total_cmp(&b.at));
                let first = first
                    .ok_or_else(|| format!("`{name}` runs nearly along the edge and does not lead out"))?;
                met.push(first.other_at);
            }
            if met[1] - met[0] <= SAME_CUT {
                return Err("its ends meet: the neighbours run together".to_owned());
            }
            let outer = far.stretch(met[0], met[1]).map_err(failed)?;
            Shape { start: line(edge.start(), outer.start())?, end: line(outer.end(), edge.end())?, outer }
        }
    };
    let outside = piece.edge_ids().filter(|other| *other != id).map(|other| piece.edge(other).curve.clone());
    let whole: Vec<Curve> =
        outside.chain([made.start.clone(), made.outer.clone(), made.end.clone()]).collect();
    refuse_crossing(piece, id, whole)?;
    Ok(made)
}

/// Refuses a line that comes nearer to the edge than its distance, as where the edge is hollow.
fn refuse_pinched(edge: &Curve, beyond: &Curve, by: f64) -> Result<(), String> {
    const STEPS: u32 = 200;
    let at = |i: u32| beyond.point_at(beyond.length() * f64::from(i) / f64::from(STEPS));
    let least = (0..=STEPS).map(|i| edge.nearest(at(i)).distance).fold(f64::INFINITY, f64::min);
    if by - least <= EXTENSION_ACCURACY.max(1e-4 * by) {
        return Ok(());
    }
    Err(format!("it would be only {least:.1} mm deep in the hollow of the edge"))
}

/// Refuses lines that cross one another or the piece. The curves are those of the other edges, in their order from the
/// first, and the three of the extension.
fn refuse_crossing(piece: &Piece, id: EdgeId, curves: Vec<Curve>) -> Result<(), String> {
    let (others, new) = curves.split_at(curves.len() - 3);
    let at = piece.edge_ids().position(|other| other == id).unwrap_or(0);
    let round = others[at..].iter().chain(&others[..at]).cloned();
    let outline = Outline::new(new.iter().cloned().chain(round));
    match outline {
        Ok(outline) if outline.self_crossings().is_empty() => Ok(()),
        _ => Err("it would lie over itself or over the piece".to_owned()),
    }
}

/// The neighbour of an extended edge at one of its ends.
struct Beside {
    id: EdgeId,
    /// At which end of the extended edge.
    end: EdgeEnd,
    look: EdgeLook,
}

impl Beside {
    fn of(piece: &Piece, id: EdgeId, end: EdgeEnd) -> Beside {
        let beside = match end {
            EdgeEnd::First => piece.previous(id),
            EdgeEnd::Last => piece.next(id),
        };
        let edge = piece.edge(beside);
        let finish = if edge.finish == Finish::Seam { Finish::Free } else { edge.finish };
        let look = EdgeLook {
            finish,
            allowance: edge.allowance,
            ..EdgeLook::seam(edge.name.clone(), edge.allowance)
        };
        Beside { id: beside, end, look }
    }

    /// The end of the neighbour that meets the extended edge.
    fn own_end(&self) -> EdgeEnd {
        match self.end {
            EdgeEnd::First => EdgeEnd::Last,
            EdgeEnd::Last => EdgeEnd::First,
        }
    }

    /// How the edge beside the extension runs outward, away from the corner.
    fn outward(&self) -> Travel {
        match self.end {
            EdgeEnd::First => Travel::Clockwise,
            EdgeEnd::Last => Travel::Anticlockwise,
        }
    }
}

/// Makes the extension a part of the piece.
fn extend(
    work: &mut Work,
    piece: &Piece,
    id: EdgeId,
    shape: &Shape,
    sides: [Beside; 2],
) -> Result<(), Refusal> {
    let edge = piece.edge(id);
    let laps = sides.each_ref().map(|side| {
        let taken = |name: &EdgeName| piece.find_edge(name).is_some();
        EdgeLook { name: side.look.name.with(LAP).free(taken), ..side.look.clone() }
    });
    let names = laps.each_ref().map(|look| EdgeRef::new(piece.name().clone(), look.name.clone()));
    let [start, end] = laps;
    let outer = EdgeLook::of(edge);
    let bits = whole_way(piece).into_iter().flat_map(|bit| match bit {
        Bit::Old { edge, .. } if edge == id => vec![
            Bit::New { look: start.clone(), curve: shape.start.clone() },
            Bit::New { look: outer.clone(), curve: shape.outer.clone() },
            Bit::New { look: end.clone(), curve: shape.end.clone() },
        ],
        other => vec![other],
    });
    let parts = vec![Part::whole(piece, Motion::identity())];
    let mut made = assemble(&Assembly::like(piece, piece.name().clone(), parts, bits.collect()))?;
    keep_old_line(&mut made.piece, edge);
    carry_notches(piece, id, &mut made.piece)?;
    let now = made.piece.edge_named(&edge.name)?;
    made.piece.edge_settings(now).origins.clone_from(&edge.origins);
    let moved = piece.edge_ref(id);
    let grown = made.piece.net_area() - piece.net_area();
    let before = work.pattern.clone();
    let made = Assembled { redrawn: vec![(moved.clone(), moved.clone())], ..made };
    work.replace(&[piece], vec![made])?;
    work.declare(piece.name(), DeclaredKind::Extended, grown);
    tell_lengths(work, &before, &moved)?;
    let mut after = vec![moved.clone()];
    for (side, lap) in sides.iter().zip(names) {
        let beside = piece.edge_ref(side.id);
        settle_side(work, &beside, side, &lap)?;
        after.push(if work.pattern.find_edge(&lap).is_some() { lap } else { beside });
    }
    work.drawn_anew(DrawnAnew { before: vec![moved], after });
    Ok(())
}

/// What is added at the side of an extension is called after the edge that it goes on from, and this.
const LAP: &str = "lap";

/// The line along which the edge lay stays on the piece: buttons and folds are laid by it.
fn keep_old_line(piece: &mut Piece, edge: &Edge) {
    let Ok(name) = format!("{}-line", edge.name).replace('/', "-").parse::<crate::pattern::StyleLineName>()
    else {
        return;
    };
    let name = name.free(|name| piece.style_lines.iter().any(|line| line.name == *name));
    let kept = crate::pattern::Kept::default();
    piece.style_lines.push(StyleLine { name, curve: edge.curve.clone(), kept });
}

/// The notches of the edge go straight out to where it lies now.
fn carry_notches(old: &Piece, id: EdgeId, new: &mut Piece) -> Result<(), Refusal> {
    let (name, line) = (&old.edge(id).name, &old.edge(id).curve);
    let now = new.edge(new.edge_named(name)?).curve.clone();
    for notch in old.notches.iter().filter(|notch| notch.edge == *name) {
        let foot = line.point_at(notch.at);
        let far = foot + left_of(line.tangent_at(notch.at)).normalize() * MOST_EXTENDED;
        let out = Curve::line(foot, far)?;
        let crossings = out.crossings(&now);
        let first = crossings.iter().min_by(|a, b| a.at.total_cmp(&b.at));
        let at = first.map_or_else(|| now.nearest(foot).at, |crossing| crossing.other_at);
        new.notches.push(crate::pattern::Notch { at, ..notch.clone() });
    }
    Ok(())
}

/// Tells of the seams of the edge that are no longer as long as what they are sewn to.
fn tell_lengths(work: &mut Work, before: &crate::pattern::Pattern, edge: &EdgeRef) -> Result<(), Refusal> {
    let mut differ = Vec::new();
    for id in before.seams_of(edge) {
        let Some(old) = before.seam(id).side_of(edge) else { continue };
        let seam = before.seam(id);
        let (was, is) = (Walk::of(before, seam.side(old))?, Walk::of(&work.pattern, seam.side(old))?);
        let by = is.length() - was.length();
        if by.abs() > SAME_LENGTH {
            let second = seam.side(old.other()).edges()[0].edge.clone();
            differ.push(Told::LengthsDiffer { first: edge.clone(), second, by: Length::from_mm(by) });
        }
    }
    differ.into_iter().for_each(|told| work.tell(told));
    Ok(())
}

/// What becomes of an edge at the side of an extension: on from a fold it is fold; on from a seam it is sewn to what goes on
/// from the other side of that, once that is extended too.
fn settle_side(work: &mut Work, beside: &EdgeRef, side: &Beside, lap: &EdgeRef) -> Result<(), Refusal> {
    let (piece, id) = work.pattern.edge(beside)?;
    if piece.edge(id).finish == Finish::Fold {
        let lap = piece.edge_named(&lap.edge)?;
        return match lap_joins_fold(piece, id, lap) {
            Some(ids) if beside.piece == *piece.name() => join(work, &piece.clone(), ids),
            _ => Ok(()),
        };
    }
    if piece.edge(id).finish != Finish::Seam || work.pattern.seams_of(lap).next().is_some() {
        return Ok(());
    }
    let tip = (beside.clone(), side.own_end());
    let allowance = piece.edge(id).allowance;
    let mut seams = work.pattern.seams_of(beside).map(|seam| work.pattern.seam(seam));
    let partner = seams.find_map(|seam| partner_tip(seam, &tip));
    drop(seams);
    let Some(partner) = partner else { return Ok(()) };
    match lap_at(work, &partner, lap) {
        Some((other, travel)) => {
            for edge in [lap, &other] {
                let piece = work.pattern.piece_mut(&edge.piece)?;
                let id = piece.edge_named(&edge.edge)?;
                let settings = piece.edge_settings(id);
                *settings.finish = Finish::Seam;
                *settings.allowance = allowance;
            }
            work.add_new_seam_walked(lap, side.outward(), &other, travel)
        }
        None => {
            work.tell(Told::NotSewnYet { edge: lap.clone(), partner: partner.0 });
            Ok(())
        }
    }
}

/// A fold and the edge that goes on from it, in their order, where both are of one piece and meet.
fn lap_joins_fold(piece: &Piece, fold: EdgeId, lap: EdgeId) -> Option<[EdgeId; 2]> {
    if piece.next(fold) == lap { Some([fold, lap]) } else { (piece.next(lap) == fold).then_some([lap, fold]) }
}

type Tip = (EdgeRef, EdgeEnd);

/// The end of an edge that a seam lays on an end of its first or last edge.
fn partner_tip(seam: &Seam, (edge, end): &Tip) -> Option<Tip> {
    [seam.clone(), seam.swapped()].iter().flat_map(|seam| [seam.clone(), reversed(seam)]).find_map(|seam| {
        let (own, other) = (seam.first.first_and_last().0, seam.second.first_and_last().0);
        let is_here = own.edge == *edge && own.travel.enters_at() == *end;
        is_here.then(|| (other.edge.clone(), other.travel.enters_at()))
    })
}

fn reversed(seam: &Seam) -> Seam {
    Seam { first: seam.first.reversed(), second: seam.second.reversed(), ease: seam.ease }
}

/// The unsewn edge that goes on from an end of an edge beyond its own piece, and how it runs outward: on its piece, or on the
/// border that is sewn to that.
fn lap_at(work: &Work, tip: &Tip, own: &EdgeRef) -> Option<(EdgeRef, Travel)> {
    let pattern = &work.pattern;
    let beyond = |(edge, end): &Tip| -> Option<(EdgeRef, EdgeEnd)> {
        let (piece, id) = pattern.edge(edge).ok()?;
        let (next, at) = match end {
            EdgeEnd::First => (piece.previous(id), EdgeEnd::Last),
            EdgeEnd::Last => (piece.next(id), EdgeEnd::First),
        };
        Some((EdgeRef { copy: edge.copy, ..piece.edge_ref(next) }, at))
    };
    let is_free_lap = |(edge, _): &Tip| {
        pattern.find_edge(edge).is_some_and(|found| {
            let goes_on = found.name.is_numbered_from(&tip.0.edge.with(LAP))
                || (edge.piece != tip.0.piece && found.name.is_numbered_from(&tip.0.edge));
            goes_on && found.finish == Finish::Free && found.origins.is_empty()
        }) && edge != own
            && pattern.seams_of(edge).next().is_none()
    };
    let beside = beyond(tip)?;
    let across = pattern.seams_of(&beside.0).filter_map(|seam| partner_tip(pattern.seam(seam), &beside));
    let borders = across.collect::<Vec<_>>().into_iter().filter_map(|tip| beyond(&tip));
    let found = std::iter::once(beside.clone()).chain(borders).find(is_free_lap)?;
    let travel = if found.1 == EdgeEnd::First { Travel::Clockwise } else { Travel::Anticlockwise };
    Some((found.0, travel))
}

/// Makes the extension a piece of its own, sewn to the edge. What the edge was sewn to is sewn to its outer line.
fn border(
    work: &mut Work,
    piece: &Piece,
    id: EdgeId,
    shape: Shape,
    sides: [Beside; 2],
    (cloth, name): (&ClothName, Option<&PieceName>),
) -> Result<(), Refusal> {
    let edge = piece.edge(id);
    let name = name.cloned().unwrap_or_else(|| work.pattern.free_name(piece.name().with("border")));
    let allowance = if edge.finish == Finish::Seam { edge.allowance } else { usual_allowance(piece) };
    let inner = EdgeName::plain("seam")
        .free(|name| *name == edge.name || sides.iter().any(|side| side.look.name == *name));
    let drawn = |look: &EdgeLook, curve: Curve| Edge {
        finish: look.finish,
        allowance: look.allowance,
        selvedge: look.selvedge,
        unsewn: look.unsewn,
        ..Edge::new(look.name.clone(), curve)
    };
    let [start, end] = &sides;
    let edges = vec![
        drawn(&start.look, shape.start),
        drawn(&EdgeLook::of(edge), shape.outer),
        drawn(&end.look, shape.end),
        drawn(&EdgeLook::seam(inner.clone(), allowance), edge.curve.reversed()),
    ];
    let mut made = Piece::new(name.clone(), edges)?;
    (made.cut, made.cloth, made.purpose) = (piece.cut, cloth.clone(), piece.purpose);
    if let Some(grain) = &piece.grainline {
        let (start, end) = lay_grainline(made.outline(), grain.direction())?;
        made.grainline = Some(crate::pattern::Grainline { start, end, ..grain.clone() });
    }
    let taken: Vec<_> = work.pattern.pieces().map(room::room_of).collect();
    let made = room::moved(&made, &Motion::shift(room::free_shift(room::room_of(&made), &taken)))?;
    let area = made.net_area();
    work.pattern.add_piece(made)?;
    work.tell(Told::PieceMade { piece: name.clone(), from: vec![piece.name().clone()] });
    work.declare(&name, DeclaredKind::Extended, area);
    let (old, outer) = (piece.edge_ref(id), EdgeRef::new(name.clone(), edge.name.clone()));
    move_seams(work, &old, &outer)?;
    let settings = work.pattern.piece_mut(piece.name())?.edge_settings(id);
    (*settings.finish, *settings.allowance, *settings.lap) = (Finish::Seam, allowance, None);
    let inner = EdgeRef::new(name.clone(), inner);
    work.add_new_seam(&old, &inner)?;
    work.notch_evenly(&old, &inner)?;
    for side in &sides {
        let lap = EdgeRef::new(name.clone(), side.look.name.clone());
        settle_side(work, &piece.edge_ref(side.id), side, &lap)?;
    }
    Ok(())
}

/// Sews to another edge whatever was sewn to an edge.
fn move_seams(work: &mut Work, from: &EdgeRef, to: &EdgeRef) -> Result<(), Refusal> {
    let run = |run: &Run| {
        let edges = run.edges().iter().map(|run| match run.edge.same_edge(from) {
            true => RunEdge { edge: EdgeRef { copy: run.edge.copy, ..to.clone() }, travel: run.travel },
            false => run.clone(),
        });
        Run::new(edges.collect())
    };
    let seams = work.pattern.seams().iter().filter_map(|seam| {
        Some(Seam { first: run(&seam.first)?, second: run(&seam.second)?, ease: seam.ease })
    });
    let seams = seams.collect();
    work.pattern.set_seams(seams)
}
