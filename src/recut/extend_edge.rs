//! `extend-edge`: cloth added beyond an edge.
//!
//! ```text
//!        neck          neck   neck-lap
//!     ────────┐      ────────┬──┐
//!             │              ┆  │
//!             │ centre       ┆  │ centre, where it lies now; where it lay is kept as a style line
//!     ────────┘      ────────┴──┘
//! ```

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Curve, Motion, Point, left_of};
use crate::parts::assemble::{Assembled, Assembly, Bit, EdgeLook, Part, assemble};
use crate::parts::carry::lay_grainline;
use crate::parts::in_the_way::dart_moved;
use crate::pattern::{
    ClothName, DeclaredKind, DrawnAnew, Edge, EdgeEnd, EdgeId, EdgeName, EdgeRef, Field, Finish, GirthUse,
    Level, MadeFrom, Operation, Piece, PieceName, Refusal, RefusalKind, Run, RunEdge, Seam, Selvedge,
    StyleLine, Walk, settle,
};
use crate::recut::divide::whole_way;
use crate::recut::extended_side::{LAP, Neighbour, settle_side};
use crate::recut::extension::{ExtensionEnds, ExtensionLines, found};
use crate::recut::open_seam::{bad_button, is_button};
use crate::recut::outcome::{OnFold, cut_of_part};
use crate::recut::room;
use crate::recut::{Notice, Work};
use crate::tolerance::{LAP_BEYOND_BUTTON, MOST_EXTENDED, OUTSIDE_PIECE, SAME_CUT, SAME_LENGTH};
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
    pub ends: Option<ExtensionEnds>,
    /// The cloth of which it is a piece of its own, sewn to the edge; otherwise it belongs to the piece.
    #[arg(long, value_name = "CLOTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cloth: Option<ClothName>,
    /// Name of that piece; otherwise PIECE-border.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
}

impl ExtendEdge {
    /// An edge from which the piece goes on; it still needs how far, or a button.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{ExtendEdge, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let extend = ExtendEdge { by: Some("2cm".parse()?), ..ExtendEdge::of("sleeve.hem".parse()?) };
    /// let longer = Step::from(extend).apply(&coat)?.pattern;
    /// let sleeve = "sleeve".parse()?;
    /// let height = longer.piece(&sleeve)?.bounds().height() - coat.piece(&sleeve)?.bounds().height();
    /// assert!((height - 20.0).abs() < 0.5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(edge: EdgeRef) -> ExtendEdge {
        ExtendEdge { edge, by: None, button: None, ends: None, cloth: None, name: None }
    }
}

pub(super) fn extend_edge(step: &ExtendEdge, work: &mut Work) -> Result<(), Refusal> {
    let by = depth(step)?;
    let edge = settle(&work.pattern, &step.edge);
    let edge = EdgeRef::new(edge.piece, edge.edge);
    let piece = work.piece(&edge.piece)?;
    let id = piece.edge_named(&edge.edge)?;
    refuse_edge(&piece, id)?;
    refuse_girth(work, &piece, id)?;
    refuse_parted(work, &piece, id)?;
    let shape = found(&piece, id, by, step.ends.unwrap_or_default())?;
    let sides = [Neighbour::of(&piece, id, EdgeEnd::First), Neighbour::of(&piece, id, EdgeEnd::Last)];
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
    work.tell(Notice::EdgeExtended { edge, by: Length::from_mm(by) });
    Ok(())
}

/// How deep the extension is, mm.
fn depth(step: &ExtendEdge) -> Result<f64, Refusal> {
    let by = match (step.by, step.button) {
        (Some(by), None) => by.mm(),
        (None, Some(button)) if is_button(button) => button.mm() / 2.0 + LAP_BEYOND_BUTTON,
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
            advice!("move it to another edge first: ", dart_moved(piece, &dart.name)),
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

/// Refuses an edge at whose corner a seam runs on, as a binding from the front's armhole to the back's: the extension would
/// part the two.
fn refuse_parted(work: &Work, piece: &Piece, id: EdgeId) -> Result<(), Refusal> {
    let corners = [
        (id, EdgeEnd::First),
        (id, EdgeEnd::Last),
        (piece.previous(id), EdgeEnd::Last),
        (piece.next(id), EdgeEnd::First),
    ];
    for (at, end) in corners {
        let edge = piece.edge_ref(at);
        let mut seams = work.pattern.seams_of(&edge).map(|seam| work.pattern.seam(seam));
        if let Some(next) = seams.find_map(|seam| sewn_on_to(seam, &edge, end)) {
            return Err(Refusal::new(
                RefusalKind::BadSeam,
                &edge,
                format!("what it is sewn to goes on there to {next}, from which the extension would part it"),
                advice!(
                    "take that seam off, and sew it again when both are extended: ",
                    Operation::SetEdge.with(Field::Edge, &edge).with(Field::SewnTo, "none")
                ),
            ));
        }
    }
    Ok(())
}

/// The edge to which the sewing goes on from an end of an edge.
fn sewn_on_to(seam: &Seam, edge: &EdgeRef, end: EdgeEnd) -> Option<EdgeRef> {
    [&seam.first, &seam.second].into_iter().flat_map(|run| run.edges().windows(2)).find_map(|pair| {
        let leaves = pair[0].edge.same_edge(edge) && pair[0].travel.leaves_at() == end;
        let enters = pair[1].edge.same_edge(edge) && pair[1].travel.enters_at() == end;
        let next = if leaves { &pair[1] } else { &pair[0] };
        (leaves || enters).then(|| next.edge.clone())
    })
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

/// Makes the extension a part of the piece.
fn extend(
    work: &mut Work,
    piece: &Piece,
    id: EdgeId,
    shape: &ExtensionLines,
    sides: [Neighbour; 2],
) -> Result<(), Refusal> {
    let edge = piece.edge(id);
    let mut taken: Vec<EdgeName> = piece.edges().iter().map(|edge| edge.name.clone()).collect();
    let laps = sides.each_ref().map(|side| {
        let name = side.look.name.with(LAP).free(|name| taken.contains(name));
        taken.push(name.clone());
        EdgeLook { name, ..side.look.clone() }
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
    run_on_beside(work, &after[1..], &sides.each_ref().map(|side| piece.edge_ref(side.id)));
    work.drawn_anew(DrawnAnew { before: vec![moved], after });
    Ok(())
}

/// What was made along the edges beside an extension is made along what they go on in, too.
fn run_on_beside(work: &mut Work, laps: &[EdgeRef], beside: &[EdgeRef; 2]) {
    let added: Vec<(&EdgeRef, &EdgeRef)> = beside.iter().zip(laps).filter(|(own, lap)| own != lap).collect();
    for derived in work.pattern.pieces_mut().filter_map(|piece| piece.derived.as_mut()) {
        let MadeFrom::Run(edges) = &mut derived.from else { continue };
        for (own, lap) in &added {
            let copies: Vec<_> =
                edges.iter().filter(|edge| edge.same_edge(own)).map(|edge| edge.copy).collect();
            edges.extend(copies.into_iter().map(|copy| EdgeRef { copy, ..(*lap).clone() }));
        }
    }
}

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
            differ.push(Notice::LengthsDiffer { first: edge.clone(), second, by: Length::from_mm(by) });
        }
    }
    differ.into_iter().for_each(|notice| work.tell(notice));
    Ok(())
}

/// Makes the extension a piece of its own, sewn to the edge. What the edge was sewn to is sewn to its outer line.
fn border(
    work: &mut Work,
    piece: &Piece,
    id: EdgeId,
    shape: ExtensionLines,
    [start, mut end]: [Neighbour; 2],
    (cloth, name): (&ClothName, Option<&PieceName>),
) -> Result<(), Refusal> {
    let edge = piece.edge(id);
    let name = name.cloned().unwrap_or_else(|| work.pattern.free_name(piece.name().with("border")));
    let is_sewn = edge.finish == Finish::Seam && edge.open.is_none();
    let allowance = if is_sewn { edge.allowance } else { piece.usual_allowance() };
    end.look.name = end.look.name.free(|name| *name == start.look.name);
    let taken = [&edge.name, &start.look.name, &end.look.name];
    let inner = EdgeName::plain("seam").free(|name| taken.contains(&name));
    let drawn = |look: &EdgeLook, curve: Curve| Edge {
        finish: look.finish,
        allowance: look.allowance,
        selvedge: look.selvedge,
        unsewn: look.unsewn,
        open: look.open,
        lap: look.lap,
        ..Edge::new(look.name.clone(), curve)
    };
    let edges = vec![
        drawn(&start.look, shape.start),
        drawn(&outer_of_border(piece, edge, cloth), shape.outer),
        drawn(&end.look, shape.end),
        drawn(&EdgeLook::seam(inner.clone(), allowance), edge.curve.reversed()),
    ];
    let mut made = Piece::new(name.clone(), edges)?;
    made.cut = cut_of_part(piece, OnFold::beside(&[&start.look, &end.look]))?;
    (made.cloth, made.purpose) = (cloth.clone(), piece.purpose);
    if let Some(grain) = &piece.grainline {
        let (start, end) = lay_grainline(made.outline(), grain.direction())?;
        made.grainline = Some(crate::pattern::Grainline { start, end, ..grain.clone() });
    }
    let taken: Vec<_> = work.pattern.pieces().map(room::room_of).collect();
    let made = room::moved(&made, &Motion::shift(room::free_shift(room::room_of(&made), &taken)))?;
    let area = made.net_area();
    work.pattern.add_piece(made)?;
    work.tell(Notice::PieceMade { piece: name.clone(), from: vec![piece.name().clone()] });
    work.declare(&name, DeclaredKind::Extended, area);
    let (old, outer) = (piece.edge_ref(id), EdgeRef::new(name.clone(), edge.name.clone()));
    move_seams(work, &old, &outer)?;
    let sides_of = [&start, &end].map(|side| piece.edge_ref(side.id));
    let laps = [&start, &end].map(|side| EdgeRef::new(name.clone(), side.look.name.clone()));
    run_on_beside(work, &laps, &sides_of);
    let settings = work.pattern.piece_mut(piece.name())?.edge_settings(id);
    (*settings.finish, *settings.allowance, *settings.selvedge) = (Finish::Seam, allowance, Selvedge::No);
    (*settings.open, *settings.lap) = (None, None);
    let inner = EdgeRef::new(name.clone(), inner);
    work.add_new_seam(&old, &inner)?;
    work.notch_evenly(&old, &inner)?;
    for side in [start, end] {
        let lap = EdgeRef::new(name.clone(), side.look.name.clone());
        settle_side(work, &piece.edge_ref(side.id), &side, &lap)?;
    }
    Ok(())
}

/// What the edge was, on the border: a border of another cloth is not cut from that one's selvedge.
fn outer_of_border(piece: &Piece, edge: &Edge, cloth: &ClothName) -> EdgeLook {
    match *cloth == piece.cloth {
        true => EdgeLook::of(edge),
        false => EdgeLook { selvedge: Selvedge::No, allowance: edge.cut_allowance(), ..EdgeLook::of(edge) },
    }
}

/// Sews to another edge whatever was sewn to an edge; what was made along it is made along that one.
fn move_seams(work: &mut Work, from: &EdgeRef, to: &EdgeRef) -> Result<(), Refusal> {
    let run = |run: &Run| {
        let edges = run.edges().iter().map(|run| match run.edge.same_edge(from) {
            true => RunEdge { edge: EdgeRef { copy: run.edge.copy, ..to.clone() }, travel: run.travel },
            false => run.clone(),
        });
        Run::new(edges.collect())
    };
    for derived in work.pattern.pieces_mut().filter_map(|piece| piece.derived.as_mut()) {
        let MadeFrom::Run(edges) = &mut derived.from else { continue };
        for edge in edges.iter_mut().filter(|edge| edge.same_edge(from)) {
            *edge = EdgeRef { copy: edge.copy, ..to.clone() };
        }
    }
    let seams = work.pattern.seams().iter().filter_map(|seam| {
        Some(Seam { first: run(&seam.first)?, second: run(&seam.second)?, ease: seam.ease })
    });
    let seams = seams.collect();
    work.pattern.set_seams(seams)
}
