//! A strip over a seam or a line.

use std::fmt;
use std::str::FromStr;

use clap::{Args, ValueEnum};
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::{Curve, Outline};
use crate::derive::made_piece::as_step;
use crate::derive::strip_ground::{StripGround, WayFromEnd, over_line, over_seam};
use crate::derive::strip_places::{SpanWish, span_of};
use crate::derive::strip_shape::{EndLook, Span, StripLines, StripNames, laid_parts, lines};
use crate::derive::{MadePiece, greatest_offered};
use crate::parts::in_the_way::dart_moved;
use crate::pattern::{
    ClothName, Cut, Derived, Edge, EdgeName, EdgeRef, Field, Finish, Grainline, Kept, Line, LineError,
    Making, Notch, NotchCount, NotchName, Pattern, Piece, PieceName, Place, Refusal, RefusalKind,
    StyleLineName, Twins, Unsewn, settle,
};
use crate::tolerance::{LEAST_DIVIDED, LEAST_PART, STRIP_TURNING};
use crate::units::{Length, serde_as_text};

/// Lay a shaped strip over a seam, or over a line on a piece: an epaulette, a strap, a band of trimming.
///
/// Half of it lies on either side. Where it reaches the end of its seam or line it runs out along the edges there, to be
/// caught in their seams; elsewhere its ends are straight, pointed or round. A strip follows its pieces: see `follow`.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AddStrip {
    /// What it covers: a seam, by any edge of it (front.shoulder); a style line (front.yoke-line); or any line on PIECE, which
    /// is then drawn there ("level waist").
    #[arg(long, value_name = "SEAM|LINE")]
    pub over: Over,
    /// The piece on which the line runs.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<PieceName>,
    /// How wide it is.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<Length>,
    /// How wide it is where it begins, if not as wide all along: give to-width, too.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_width: Option<Length>,
    /// How wide it is where it ends.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_width: Option<Length>,
    /// Where it begins: "shoulder@2cm from neck", "yoke-line@30%"; otherwise at the first end of its seam or line, clockwise.
    #[arg(long, value_name = "PLACE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Place>,
    /// Where it ends, its tip included; otherwise at the other end.
    #[arg(long, value_name = "PLACE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Place>,
    /// The shape of the end where it begins: straight, pointed or round; otherwise as the edges run there.
    #[arg(long, value_name = "SHAPE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_end: Option<StripEnd>,
    /// The shape of the other end.
    #[arg(long, value_name = "SHAPE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_end: Option<StripEnd>,
    /// Its name; otherwise PIECE-strip.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
    /// The cloth it is cut from; otherwise that of the piece.
    #[arg(long, value_name = "CLOTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cloth: Option<ClothName>,
}

impl AddStrip {
    /// A strip over a seam or a line, square at its ends; it still needs a width.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{AddStrip, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let epaulette = AddStrip {
    ///     width: Some("5cm".parse()?),
    ///     name: Some("epaulette".parse()?),
    ///     ..AddStrip::of("front.shoulder".parse()?)
    /// };
    /// let made = Step::from(epaulette).apply(&coat)?.pattern;
    /// assert_eq!(made.piece(&"epaulette".parse()?)?.times(), 2);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(over: Over) -> AddStrip {
        AddStrip {
            over,
            piece: None,
            width: None,
            from_width: None,
            to_width: None,
            from: None,
            to: None,
            from_end: None,
            to_end: None,
            name: None,
            cloth: None,
        }
    }
}

/// The shape of an end of a strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum StripEnd {
    /// Straight across.
    Straight,
    /// A point of a right angle.
    Pointed,
    /// Half a circle.
    Round,
}

impl StripEnd {
    fn look(self) -> EndLook {
        match self {
            StripEnd::Straight => EndLook::Straight,
            StripEnd::Pointed => EndLook::Pointed,
            StripEnd::Round => EndLook::Round,
        }
    }
}

/// What a strip covers.
#[derive(Clone, Debug, PartialEq)]
pub enum Over {
    /// `front.shoulder`, `front.yoke-line`: an edge, for its seam, or a style line.
    Named(EdgeRef),
    /// Any other line on a piece that is named beside it.
    Line(Line),
}

impl FromStr for Over {
    type Err = LineError;

    fn from_str(text: &str) -> Result<Over, LineError> {
        let text = text.trim();
        match text.contains('.') && !text.contains(|sign: char| sign.is_whitespace() || "@>~(".contains(sign))
        {
            true => Ok(Over::Named(text.parse()?)),
            false => text.parse().map(Over::Line),
        }
    }
}

impl fmt::Display for Over {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Over::Named(name) => write!(f, "{name}"),
            Over::Line(line) => write!(f, "{line}"),
        }
    }
}

serde_as_text!(Over);

/// What a strip lies over, found.
pub(super) enum Covered<'a> {
    Seam(EdgeRef),
    Line(&'a Piece, StyleLineName),
}

impl AddStrip {
    /// What it covers; a line must stand on its piece by now.
    pub(super) fn covered<'a>(&self, pattern: &'a Pattern) -> Result<Covered<'a>, Refusal> {
        let named = match (&self.over, &self.piece) {
            (Over::Named(named), None) => named,
            (Over::Line(Line::Style(name)), Some(piece)) => {
                return Ok(Covered::Line(pattern.piece(piece)?, name.clone()));
            }
            (Over::Named(_), Some(piece)) => {
                return Err(Refusal::new(
                    RefusalKind::BadField,
                    &self.over,
                    "it names its piece itself",
                    advice!("leave ", Field::Piece, " out, or name a line on it alone"),
                )
                .about(piece));
            }
            (Over::Line(_), _) => {
                return Err(Refusal::new(
                    RefusalKind::BadField,
                    &self.over,
                    "a strip lies over a line on a piece, and no piece is named",
                    advice!(
                        "name it: ",
                        Field::Piece.set("front"),
                        "; a seam is named by an edge, front.shoulder"
                    ),
                ));
            }
        };
        let piece = pattern.piece(&named.piece)?;
        let line = piece.style_lines.iter().find(|line| line.name.as_str() == named.edge.as_str());
        match (pattern.find_edge(&settle(pattern, named)), line) {
            (None, Some(line)) => Ok(Covered::Line(piece, line.name.clone())),
            _ => Ok(Covered::Seam(named.clone())),
        }
    }

    /// How wide it is where it begins and where it ends, mm.
    pub(super) fn widths(&self) -> Result<(f64, f64), Refusal> {
        let widths = match (self.width, self.from_width, self.to_width) {
            (Some(width), None, None) => (width, width),
            (None, Some(from), Some(to)) => (from, to),
            _ => {
                return Err(Refusal::new(
                    RefusalKind::BadField,
                    &self.over,
                    "a strip has one width, or one where it begins and one where it ends",
                    advice!("give ", Field::Width, ", or ", Field::FromWidth, " and ", Field::ToWidth),
                ));
            }
        };
        for width in [widths.0, widths.1] {
            if width.mm() < LEAST_DIVIDED {
                return Err(Refusal::new(
                    RefusalKind::BadField,
                    &self.over,
                    format!("a strip cannot be {width} wide"),
                    format!("give a width of at least {}mm", LEAST_DIVIDED),
                )
                .about(width));
            }
        }
        Ok((widths.0.mm(), widths.1.mm()))
    }

    /// The strip; one that does not lie on the pieces is refused with the widest that does.
    pub(super) fn made(&self, pattern: &Pattern) -> Result<MadePiece, Refusal> {
        let widths = self.widths()?;
        match self.made_with(pattern, widths) {
            Err(Unmade::Refused(refusal)) => Err(refusal),
            Err(Unmade::TooWide(at, why)) => {
                let wider = widths.0.max(widths.1);
                let tenths = |width: f64| (width * 10.0 + 1e-6).floor() / 10.0;
                let of = |most: f64| (tenths(widths.0 * most / wider), tenths(widths.1 * most / wider));
                let most = greatest_offered((LEAST_DIVIDED, wider), |most| {
                    self.made_with(pattern, of(most)).is_ok()
                });
                Err(too_wide(&at, widths, &why, most.map(of)))
            }
            Ok(made) => Ok(made),
        }
    }

    /// The strip with widths at its two ends.
    fn made_with(&self, pattern: &Pattern, widths: (f64, f64)) -> Result<MadePiece, Unmade> {
        let covered = self.covered(pattern)?;
        let ground = match &covered {
            Covered::Seam(edge) => over_seam(pattern, edge, widths.0.max(widths.1) / 2.0)?,
            Covered::Line(piece, name) => over_line(piece, name)?,
        };
        let wish = SpanWish {
            places: (self.from.as_ref(), self.to.as_ref()),
            widths,
            looks: (self.from_end.map(StripEnd::look), self.to_end.map(StripEnd::look)),
        };
        let (span, places) = span_of(&wish, &ground)?;
        let ground = ground.laid_along((span.from, span.to))?;
        let made = lines(&ground, &span).map_err(|why| Unmade::TooWide(ground.named.clone(), why))?;
        let main = ground.right.under[0].piece;
        let name = self.name.clone().unwrap_or_else(|| pattern.free_name(main.name().with("strip")));
        let (edges, names) = edges(&ground, &made);
        let mut piece = Piece::new(name.clone(), edges)?;
        refuse_nothing(&ground, &piece)?;
        refuse_darts(&ground, &piece)?;
        piece.cut = cut(&ground, &made);
        piece.cloth = self.cloth.clone().unwrap_or_else(|| main.cloth.clone());
        piece.grainline = Some(grainline(&ground, &span)?);
        piece.derived = Some(Derived { by: Making::Strip, from: ground.from.clone() });
        add_notches(&ground, &mut piece, &names, &span);
        let fields = AddStrip {
            over: Over::Named(ground.named.clone()),
            piece: None,
            from: places.0,
            to: places.1,
            from_width: Some(Length::from_mm(span.widths.0)).filter(|_| self.width.is_none()),
            to_width: Some(Length::from_mm(span.widths.1)).filter(|_| self.width.is_none()),
            from_end: shape_of(span.looks.0),
            to_end: shape_of(span.looks.1),
            name: Some(name),
            ..self.clone()
        };
        let laid = laid_parts(&ground, &span, &made, &names);
        Ok(MadePiece {
            piece,
            by: as_step(Making::Strip, &fields),
            laid,
            seams: Vec::new(),
            unequal: Vec::new(),
            divides: Vec::new(),
        })
    }
}

fn shape_of(look: EndLook) -> Option<StripEnd> {
    match look {
        EndLook::AsEdges => None,
        EndLook::Straight => Some(StripEnd::Straight),
        EndLook::Pointed => Some(StripEnd::Pointed),
        EndLook::Round => Some(StripEnd::Round),
    }
}

/// Why there is no strip.
enum Unmade {
    /// It does not lie on the pieces along the seam or line named; why.
    TooWide(EdgeRef, String),
    /// Any other reason.
    Refused(Refusal),
}

impl From<Refusal> for Unmade {
    fn from(refusal: Refusal) -> Unmade {
        Unmade::Refused(refusal)
    }
}

/// The refusal of a strip that does not lie on the pieces, with the widest that does.
fn too_wide(at: &EdgeRef, widths: (f64, f64), why: &str, widest: Option<(f64, f64)>) -> Refusal {
    let width = |width: f64| Length::from_mm((width * 100.0).round() / 100.0);
    let told = match widths {
        (from, to) if from == to => format!("{} wide", width(from)),
        (from, to) => format!("{} to {} wide", width(from), width(to)),
    };
    let another = "name another stretch of the seam or line, or end it elsewhere";
    let way_out = match widest {
        Some((from, to)) if from == to => format!("make it up to {from:.1}mm wide, or {another}"),
        Some((from, to)) => format!("make it from {from:.1}mm to {to:.1}mm wide, or {another}"),
        None => another.to_owned(),
    };
    Refusal::new(RefusalKind::BadWidth, at, format!("{told}, {why}"), way_out).about(width(widths.0))
}

fn refuse_nothing(ground: &StripGround, piece: &Piece) -> Result<(), Refusal> {
    if piece.outline().area() >= LEAST_PART {
        return Ok(());
    }
    let way_out = "make it wider, or longer";
    Err(Refusal::new(RefusalKind::BadWidth, &ground.named, "nothing is left of so small a strip", way_out))
}

/// Refuses a strip over a dart that is not closed by the seam beneath it.
fn refuse_darts(ground: &StripGround, strip: &Piece) -> Result<(), Refusal> {
    let outline: &Outline = strip.outline();
    for under in ground.right.under.iter().chain(&ground.left.under) {
        for dart in &under.piece.darts {
            let is_closed = dart.mouth().is_some_and(|mouth| {
                ground.closed.iter().any(|edge| edge.piece == *under.piece.name() && edge.edge == mouth.edge)
            });
            let lies_on = |side: &Curve| {
                let side = side.moved(&under.motion);
                !outline.crossings_with(&side).is_empty() || outline.contains(side.start())
            };
            if !is_closed && dart.boundary().iter().any(lies_on) {
                return Err(Refusal::new(
                    RefusalKind::DartInTheWay,
                    format!("{}.{}", under.piece.name(), dart.name),
                    format!("the strip over {} would lie on the dart", ground.named),
                    advice!(
                        "make it narrower, or move the dart first: ",
                        dart_moved(under.piece, &dart.name)
                    ),
                ));
            }
        }
    }
    Ok(())
}

/// The edges of the strip, clockwise, and their names. What is caught in a seam has the allowance of the edge there; what lies
/// free, or ends at a hem, is turned in.
fn edges(ground: &StripGround, made: &StripLines) -> (Vec<Edge>, StripNames) {
    let [left, end, right, start] = made.curves();
    let mut taken: Vec<EdgeName> = vec![ground.left.name.clone(), ground.right.name.clone()];
    let free = |name: &EdgeName, curve: Curve| {
        let allowance = Length::from_mm(STRIP_TURNING);
        Edge { finish: Finish::Free, allowance, ..Edge::new(name.clone(), curve) }
    };
    let mut end_edge = |which: usize, word: &'static str, is_caught: bool, curve: Curve| {
        let way = ground.right.ends[which].as_ref().filter(|_| is_caught);
        let wish = way
            .map_or_else(|| EdgeName::plain(word), |way: &WayFromEnd| way.piece.edge(way.edge).name.clone());
        let name = wish.mirror_of().unwrap_or(wish).free(|name| taken.contains(name));
        taken.push(name.clone());
        match way.map(|way| way.piece.edge(way.edge)) {
            Some(of) if of.finish == Finish::Fold => Edge { finish: Finish::Fold, ..Edge::new(name, curve) },
            Some(of) if of.finish == Finish::Seam => {
                Edge { allowance: of.cut_allowance(), unsewn: Unsewn::Meant, ..Edge::new(name, curve) }
            }
            Some(_) | None => free(&name, curve),
        }
    };
    let [start_caught, end_caught] = made.caught();
    let start = end_edge(0, "start", start_caught, start);
    let end = end_edge(1, "end", end_caught, end);
    let names = StripNames {
        left: ground.left.name.clone(),
        end: end.name.clone(),
        right: ground.right.name.clone(),
        start: start.name.clone(),
    };
    (vec![free(&names.left, left), end, free(&names.right, right), start], names)
}

/// It is cut as often as what it lies over is in the garment; half as often on a fold.
fn cut(ground: &StripGround, made: &StripLines) -> Cut {
    let caught = made.caught();
    let on_fold = ground
        .right
        .ends
        .iter()
        .zip(caught)
        .any(|(way, is_caught)| is_caught && way.as_ref().is_some_and(WayFromEnd::is_fold));
    let copies = if on_fold { ground.times.div_ceil(2) } else { ground.times };
    let twins = if copies % 2 == 0 { Twins::Mirrored } else { Twins::Same };
    Cut { copies, twins }
}

/// Along the strip, in its middle.
fn grainline(ground: &StripGround, span: &Span) -> Result<Grainline, Refusal> {
    /// Share of a straight strip's length, and of a bent one's width, that the line is long.
    const SHARE: f64 = 0.6;
    let line = &ground.right.line;
    let stretch = line.stretch(span.from, span.to)?;
    let middle = f64::midpoint(span.from, span.to);
    let width = span.widths.0.min(span.widths.1);
    let long = if stretch.is_straight(width / 4.0) { span.length() } else { span.length().min(width) };
    let half = line.tangent_at(middle).normalize() * (long * SHARE / 2.0);
    let centre = line.point_at(middle);
    Ok(Grainline {
        start: centre - half,
        end: centre + half,
        arrows: Default::default(),
        kept: Kept::default(),
    })
}

/// A notch at either end where the seam or the line lies beneath it; a point or a curve tells it by itself, and a fold needs
/// none.
fn add_notches(ground: &StripGround, piece: &mut Piece, names: &StripNames, span: &Span) {
    let ends = [(&names.start, span.looks.0, span.from), (&names.end, span.looks.1, span.to)];
    for (edge, look, at) in ends {
        let Some(id) = piece.find_edge(edge) else { continue };
        if matches!(look, EndLook::Pointed | EndLook::Round) || piece.edge(id).finish == Finish::Fold {
            continue;
        }
        let place = piece.edge(id).curve.nearest(ground.right.line.point_at(at)).at;
        let name = NotchName::plain("strip-notch");
        let name = name.free(|name| piece.notches.iter().any(|notch| notch.name == *name));
        piece.notches.push(Notch::new(name, edge.clone(), place, NotchCount::Single));
    }
}
