//! A facing along a run of edges.

use std::fmt;
use std::str::FromStr;
use std::sync::Arc;

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Curve, Motion, Point, Radians, right_of};
use crate::derive::MadePiece;
use crate::derive::band::{Band, BandOf, band};
use crate::derive::chain::{ChainLink, chain};
use crate::derive::closed::{ClosedRun, EndKind, LaidAlong, WayIn, around_middle, close};
use crate::derive::facing_ends::{ACROSS, end_seams};
use crate::derive::facing_grain::{gives_grain, grainline, longest, on_one_grain};
use crate::derive::facing_notches::{add_notches, on_own, walked};
use crate::derive::made_piece::as_step;
use crate::pattern::{
    ClothName, Cut, Derived, Edge, EdgeName, EdgeRef, Field, Finish, LaidPart, LaidStretch, MadeFrom, Making,
    NameError, Operation, Pattern, Piece, PieceName, Refusal, RefusalKind, Run, RunEdge, Seam, Travel, Twins,
    Unsewn,
};
use crate::tolerance::{FACING_ACCURACY, LEAST_PART, MOST_FACING_EASE, SAME_CUT};
use crate::units::{Length, serde_as_text};

/// Draw a facing of even depth along a run of edges: round corners, and across the seams between pieces, which are closed.
///
/// Darts in the way are closed first. Where two pieces do not lie flat over the depth, or the facing would lie on two
/// folds, it is divided at the seam between them. A facing follows its edges: see `follow`.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AddFacing {
    /// The edges, in the order in which they follow one another clockwise: "front.neck, back.neck". Where they go round, the
    /// facing begins at the first.
    #[arg(long, value_name = "EDGES")]
    pub along: EdgeRun,
    /// How deep it is, measured from the edges.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub depth: Length,
    /// Its name; otherwise PIECE-facing. A piece of that name that is sewn to the edges is drawn anew.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
    /// The cloth it is cut from; otherwise that of the piece with the longest part.
    #[arg(long, value_name = "CLOTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cloth: Option<ClothName>,
    /// How far inside of the edges its sewn edge lies, so that the seam rolls out of sight; the difference of length is ease.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub smaller_by: Option<Length>,
}

impl AddFacing {
    /// A facing along a run of edges, as deep as is said, in the cloth of the first piece.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{AddFacing, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let facing = AddFacing {
    ///     name: Some("neck-facing".parse()?),
    ///     ..AddFacing::of("back.neck, front.neck".parse()?, "6cm".parse()?)
    /// };
    /// let faced = Step::from(facing).apply(&coat)?.pattern;
    /// let neck = |piece: &str| Ok::<_, Box<dyn std::error::Error>>(faced.piece(&piece.parse()?)?.edges().len());
    /// assert!(neck("neck-facing")? >= 4);
    /// assert_eq!(faced.pieces().len(), coat.pieces().len() + 1);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(along: EdgeRun, depth: Length) -> AddFacing {
        AddFacing { along, depth, name: None, cloth: None, smaller_by: None }
    }
}

/// Edges named one after another, with commas or spaces between them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EdgeRun(pub Vec<EdgeRef>);

impl FromStr for EdgeRun {
    type Err = NameError;

    fn from_str(text: &str) -> Result<EdgeRun, NameError> {
        let words =
            text.split(|sign: char| sign == ',' || sign.is_whitespace()).filter(|word| !word.is_empty());
        let edges: Vec<EdgeRef> = words.map(str::parse).collect::<Result<_, _>>()?;
        if edges.is_empty() { Err(NameError::NotAnEdge(text.to_owned())) } else { Ok(EdgeRun(edges)) }
    }
}

impl fmt::Display for EdgeRun {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.iter().map(EdgeRef::to_string).collect::<Vec<_>>().join(", "))
    }
}

serde_as_text!(EdgeRun);

impl AddFacing {
    fn inside(&self) -> Length {
        self.smaller_by.unwrap_or_default()
    }

    /// The facing, or those that it is divided in.
    pub(super) fn made(&self, pattern: &Pattern) -> Result<Vec<MadePiece>, Refusal> {
        self.refuse_measures()?;
        let mut links = chain(pattern, &self.along.0)?;
        refuse_folds(&links)?;
        let mut made: Vec<MadePiece> = Vec::new();
        // Those made so far count when the next looks for what its ends are sewn to.
        let mut so_far = std::borrow::Cow::Borrowed(pattern);
        while !links.is_empty() {
            let run = self.closed(&links)?;
            let rest = links.split_off(run.count);
            let one = self.piece(pattern, &so_far, &run, made.len())?;
            if !rest.is_empty() || !made.is_empty() {
                let so_far = so_far.to_mut();
                if so_far.add_piece(one.piece.clone()).is_ok() {
                    one.seams.iter().cloned().try_for_each(|seam| so_far.add_seam(seam))?;
                }
            }
            made.push(one);
            // What is left begins anew, as if it had been asked for alone.
            let rest: Vec<EdgeRef> = rest.iter().map(ChainLink::edge_ref).collect();
            links = if rest.is_empty() { Vec::new() } else { chain(pattern, &rest)? };
        }
        Ok(made)
    }

    fn refuse_measures(&self) -> Result<(), Refusal> {
        let wrong = |what: String, way_out: &str| {
            Err(Refusal::new(RefusalKind::BadField, &self.along, what, way_out).about(self.depth))
        };
        if self.depth.mm() <= SAME_CUT {
            return wrong(format!("a facing cannot be {} deep", self.depth), "give a depth above 0mm");
        }
        if !(0.0..self.depth.mm()).contains(&self.inside().mm()) {
            return wrong(
                format!("a facing {} deep cannot be smaller by {}", self.depth, self.inside()),
                "give from 0mm to less than the depth",
            );
        }
        Ok(())
    }

    /// As many of the edges as lie flat and on one fold at most, with the grain of the piece that gives it as it is on that.
    fn closed<'a>(&self, links: &[ChainLink<'a>]) -> Result<ClosedRun<'a>, Refusal> {
        let mut run = self.flat(links)?;
        if let Some(count) = on_one_grain(&run, links, self.depth.mm()) {
            run = close(&links[..count], self.depth.mm(), Motion::identity())?;
        }
        let gives = gives_grain(&run).motion;
        if gives.is_mirrored() || gives.turn() == 0.0 {
            return Ok(run);
        }
        close(&links[..run.count], self.depth.mm(), Motion::turn_about(Point::ORIGIN, Radians(-gives.turn())))
    }

    fn flat<'a>(&self, links: &[ChainLink<'a>]) -> Result<ClosedRun<'a>, Refusal> {
        let (depth, stays) = (self.depth.mm(), Motion::identity());
        let run = close(links, depth, stays)?;
        if !(run.first.is_fold() && run.last.is_fold()) {
            return Ok(run);
        }
        let seams = (1..run.count).filter(|i| links[*i].piece.name() != links[*i - 1].piece.name());
        let middle = seams.min_by_key(|i| i.abs_diff(run.count / 2));
        match middle {
            Some(at) => close(&links[..at], depth, stays),
            None => Err(Refusal::new(
                RefusalKind::NotOfThatSort,
                &self.along,
                "the edges run from fold to fold: a facing of them would be cut on two folds",
                advice!(
                    "open the piece out at one of them: ",
                    Operation::Unfold.with(Field::Piece, links[0].piece.name())
                ),
            )),
        }
    }

    fn piece(
        &self,
        pattern: &Pattern,
        so_far: &Pattern,
        run: &ClosedRun,
        number: usize,
    ) -> Result<MadePiece, Refusal> {
        let links: Vec<&ChainLink> = run.sides.iter().flat_map(|side| &side.links).collect();
        let main = longest(run);
        let question = BandOf::of(run, self.inside(), self.depth);
        let known =
            pattern.reckoned_of_lines(question, || band(run, self.inside(), self.depth).ok().map(Arc::new));
        // A refusal names edges, and is reckoned anew.
        let lines = known.map_or_else(|| band(run, self.inside(), self.depth).map(Arc::new), Ok)?;
        let name = self.name_of(pattern, main, number);
        let (edges, names) = edges(run, &lines);
        let mut piece = Piece::new(name.clone(), edges)?;
        if piece.outline().area() < LEAST_PART {
            return Err(Refusal::new(
                RefusalKind::BadWidth,
                &self.along,
                "nothing is left of so small a facing",
                "give more depth, or name more edges",
            ));
        }
        piece.cut = cut(run, &links)?;
        piece.cloth = self.cloth.clone().unwrap_or_else(|| main.piece.cloth.clone());
        let along: Vec<EdgeRef> = links.iter().map(|link| link.edge_ref()).collect();
        piece.derived = Some(Derived { by: Making::Facing, from: MadeFrom::Run(along.clone()) });
        piece.grainline = Some(grainline(main, gives_grain(run), &piece)?);
        add_notches(&mut piece, run, &names.outer, self.inside());
        let laid = laid_parts(run, &lines, &names, self.inside(), &piece)?;
        let mut seams = self.sewn(run, &lines, &names, &name)?;
        let ends = end_seams(so_far, run, [&names.first, &names.last], &piece);
        seams.extend(ends.sewn);
        for seam in &seams {
            for edge in seam.edges().filter(|run| run.edge.piece == name) {
                let id = piece.edge_named(&edge.edge.edge)?;
                *piece.edge_settings(id).unsewn = Unsewn::Forgotten;
            }
        }
        let by =
            as_step(Making::Facing, &AddFacing { along: EdgeRun(along), name: Some(name), ..self.clone() });
        Ok(MadePiece { piece, by, laid, seams, unequal: ends.unequal, divides: Vec::new() })
    }

    /// The name asked for, with a number behind it on what it was divided off; else it is called by its main piece.
    fn name_of(&self, pattern: &Pattern, main: &LaidAlong, number: usize) -> PieceName {
        match (&self.name, number) {
            (Some(name), 0) => name.clone(),
            (Some(name), number) => {
                let name = name.with(number + 1);
                name.free(|name| pattern.find(name).is_some())
            }
            (None, _) => pattern.free_name(main.piece.name().with("facing")),
        }
    }

    /// The seams to the edges, one for each side.
    fn sewn(
        &self,
        run: &ClosedRun,
        lines: &Band,
        names: &FacingNames,
        piece: &PieceName,
    ) -> Result<Vec<Seam>, Refusal> {
        let mut seams = Vec::new();
        for ((side, curve), name) in run.sides.iter().zip(&lines.outer).zip(&names.outer) {
            let sewn: f64 = side.laid.iter().map(|laid| laid.curve.length()).sum();
            let longer = curve.length() - sewn;
            let longer = if self.inside() == Length::ZERO { 0.0 } else { longer };
            if longer.abs() > MOST_FACING_EASE * sewn {
                return Err(Refusal::new(
                    RefusalKind::LengthsDiffer,
                    side.links.iter().map(|link| link.edge_ref().to_string()).collect::<Vec<_>>().join(" "),
                    format!(
                        "smaller by {}, the facing differs by {:.1} mm from the {sewn:.0} mm that it is sewn to: over 3 % cannot be eased",
                        self.inside(),
                        longer.abs()
                    ),
                    "make it smaller by less",
                )
                .about(self.inside()));
            }
            let own = Run::new(vec![RunEdge {
                edge: EdgeRef::new(piece.clone(), name.clone()),
                travel: Travel::Clockwise,
            }]);
            let edges = side.links.iter().map(|link| RunEdge { edge: link.edge_ref(), travel: link.travel });
            if let Some((first, second)) = own.zip(Run::new(edges.collect())) {
                seams.push(Seam { first, second, ease: Length::from_mm(longer) });
            }
        }
        Ok(seams)
    }
}

fn refuse_folds(links: &[ChainLink]) -> Result<(), Refusal> {
    match links.iter().find(|link| link.piece.edge(link.edge).finish == Finish::Fold) {
        None => Ok(()),
        Some(link) => Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            link.edge_ref(),
            "the edge is a fold, to which nothing can be sewn",
            "name edges that are sewn or free; a facing that ends at a fold is cut on it",
        )),
    }
}

/// Whatever is cut of the pieces must be cut of the facing.
fn cut(run: &ClosedRun, links: &[&ChainLink]) -> Result<Cut, Refusal> {
    let first = links[0].piece;
    if let Some(other) = links.iter().find(|link| link.piece.times() != first.times()) {
        return Err(Refusal::new(
            RefusalKind::NotOfThatSort,
            first.name(),
            format!(
                "`{}` counts {} times in the garment, `{}` {} times: no one facing lies on both",
                first.name(),
                first.times(),
                other.piece.name(),
                other.piece.times()
            ),
            "bring the counts together with set-piece, unfold or open-centre, or make two facings",
        ));
    }
    if let Some(end) = [&run.first, &run.last].into_iter().find(|end| end.is_fold()) {
        return Ok(end.tip.piece.cut);
    }
    let piece = links.iter().map(|link| link.piece).find(|piece| piece.fold().is_none()).unwrap_or(first);
    Ok(match piece.fold() {
        None => piece.cut,
        Some(_) => Cut { copies: piece.cut.copies * 2, twins: Twins::Mirrored },
    })
}

/// What the facing's edges are called.
pub(super) struct FacingNames {
    outer: Vec<EdgeName>,
    last: EdgeName,
    first: EdgeName,
}

/// The edges of the facing, clockwise, and their names: those of the edges that they lie on.
fn edges(run: &ClosedRun, lines: &Band) -> (Vec<Edge>, FacingNames) {
    let mut taken: Vec<EdgeName> = Vec::new();
    let mut own = |name: &EdgeName| {
        let name = name.mirror_of().unwrap_or_else(|| name.clone()).free(|name| taken.contains(name));
        taken.push(name.clone());
        name
    };
    let mut edges = Vec::new();
    let mut outer = Vec::new();
    for (side, curve) in run.sides.iter().zip(&lines.outer) {
        let of = side.links[0].piece.edge(side.links[0].edge);
        let name = own(&of.name);
        outer.push(name.clone());
        edges.push(Edge { allowance: of.cut_allowance(), ..Edge::new(name, curve.clone()) });
    }
    let mut end = |end: &WayIn, curve: &Curve| {
        let of = end.tip.piece.edge(end.edge);
        let (name, finish) = match end.kind {
            EndKind::Along => (own(&of.name), of.finish),
            EndKind::Across => (own(&EdgeName::plain(ACROSS)), Finish::Seam),
        };
        let unsewn = if finish == Finish::Seam { Unsewn::Meant } else { Unsewn::Forgotten };
        let allowance = of.cut_allowance();
        (name.clone(), Edge { finish, allowance, unsewn, ..Edge::new(name, curve.clone()) })
    };
    let (last, last_edge) = end(&run.last, &lines.last);
    let (first, first_edge) = end(&run.first, &lines.first);
    let inner = own(&EdgeName::plain("inner"));
    let inner_edge = Edge { finish: Finish::Free, ..Edge::new(inner, lines.inner.clone()) };
    edges.extend([last_edge, inner_edge, first_edge]);
    (edges, FacingNames { outer, last, first })
}

/// From where to where on a laid stretch the sewn edge lies inside of it: not where it was cut at a corner, nor where it runs
/// on to one. None where it does so nowhere.
fn beside(own: &Curve, laid: &LaidAlong, inside: Length) -> Option<(f64, f64)> {
    let lies = |at: f64| {
        let place = laid.curve.point_at(at) + right_of(laid.curve.tangent_at(at)) * inside.mm();
        own.nearest(place).distance <= 2.0 * FACING_ACCURACY
    };
    around_middle(lies, (0.0, laid.curve.length()))
}

/// How the facing lies on the pieces.
fn laid_parts(
    run: &ClosedRun,
    lines: &Band,
    names: &FacingNames,
    inside: Length,
    piece: &Piece,
) -> Result<Vec<LaidPart>, Refusal> {
    let mut parts: Vec<(usize, LaidPart)> = Vec::new();
    let mut add = |laid: &LaidAlong, stretch: LaidStretch| match parts
        .iter_mut()
        .find(|(part, _)| *part == laid.part)
    {
        Some((_, part)) => part.stretches.push(stretch),
        None => {
            let on = laid.piece.name().clone();
            parts.push((laid.part, LaidPart { on, copy: laid.copy, stretches: vec![stretch] }));
        }
    };
    let on_source =
        |laid: &LaidAlong, at: f64| if laid.to > laid.from { laid.from + at } else { laid.from - at };
    for (side, name) in run.sides.iter().zip(&names.outer) {
        let own = &piece.edge(piece.edge_named(name)?).curve;
        for (before, laid) in walked(side) {
            let length = laid.curve.length();
            let reached =
                if inside == Length::ZERO { Some((0.0, length)) } else { beside(own, laid, inside) };
            let Some((from, to)) = reached else { continue };
            let (start, end) =
                (on_own(own, laid, before, from, inside), on_own(own, laid, before, to, inside));
            let along = (on_source(laid, from), on_source(laid, to));
            if end - start > SAME_CUT {
                add(laid, laid.under(name, ((start, end), along), inside.mm()));
            }
        }
    }
    let ends = [
        (&run.last, lines.starts.1, &names.last, &lines.last, Travel::Clockwise),
        (&run.first, lines.starts.0, &names.first, &lines.first, Travel::Anticlockwise),
    ];
    for (end, starts, name, curve, way) in ends {
        let (mut before, whole) = (0.0, curve.length());
        for laid in &end.laid {
            let length = laid.curve.length();
            let (from, to) =
                ((starts - before).clamp(0.0, length), (starts + whole - before).clamp(0.0, length));
            if to - from > SAME_CUT {
                let own = (before + from - starts, before + to - starts);
                let along = (on_source(laid, from), on_source(laid, to));
                let (stretch, along) = match way {
                    Travel::Clockwise => (own, along),
                    Travel::Anticlockwise => ((whole - own.1, whole - own.0), (along.1, along.0)),
                };
                add(laid, laid.under(name, (stretch, along), 0.0));
            }
            before += length;
        }
    }
    Ok(parts.into_iter().map(|(_, part)| part).collect())
}
