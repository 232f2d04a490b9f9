//! What a piece of a drawing likely is: its name, copies and cloth by the words on it; its edges by the line that is cut
//! around it, by arrows that point at a fold, and by the words along them.

use kurbo::Vec2;

use crate::adopt::beside::{allowances, wedges};
use crate::adopt::found::Found;
use crate::adopt::likely::labels::{Wording, besides, cloth, is_square, names_at};
use crate::adopt::likely::notches::{LikelyNotch, notches};
use crate::adopt::likely::seams::Certainty;
use crate::adopt::outlines::{FoundLine, FoundOutline, Guess};
use crate::curve::{Curve, Point};
use crate::pattern::{ClothName, Cut, EdgeName, PieceName};
use crate::tolerance::{LEAST_HEM, ON_OUTLINE, SEWN_ALIKE, SHARP_AS_A_TIP, WELD};

/// A piece as it likely is.
pub(crate) struct LikelyPiece<'a> {
    /// Its outline, as an index.
    pub at: usize,
    /// The line that is cut around it, where both are drawn, as an index.
    pub cut_line: Option<usize>,
    pub name: PieceName,
    pub named_by: NamedBy,
    pub cut: Option<Cut>,
    pub cloth: Option<ClothName>,
    /// How often it is cut of other cloths.
    pub besides: Vec<(Cut, ClothName)>,
    /// The allowance that most of it has, mm, where both lines are drawn.
    pub allowance: Option<f64>,
    /// Its edges, in their order.
    pub edges: Vec<LikelyEdge>,
    /// Darts that are cut into it: the first of the two legs of each.
    pub wedges: Vec<usize>,
    pub grainline: Option<&'a FoundLine>,
    pub notches: Vec<Vec<String>>,
    /// Straight lines across it, and what they are called.
    pub levels: Vec<(&'a FoundLine, Option<String>)>,
    /// Lines with a name that are no levels.
    pub style_lines: Vec<(&'a FoundLine, String)>,
    /// Marks inside it, and what they are called.
    pub points: Vec<(&'a FoundLine, Option<String>)>,
    /// Darts that are drawn as one line, and what they are called.
    pub darts: Vec<(&'a FoundLine, Option<String>)>,
    /// Lines within it that nothing tells the meaning of, as a pocket's place and a buttonhole.
    pub marks: Vec<&'a FoundLine>,
    /// Lines that mean nothing.
    pub rest: Vec<&'a FoundLine>,
}

/// What tells the name of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NamedBy {
    /// The writing on it.
    Writing,
    /// Its layer, or the id of its element.
    Layer,
    /// Nothing but its letter.
    Letter,
}

impl NamedBy {
    /// How sure a piece is of which this tells the name, and what speaks for it.
    pub fn told(self) -> (Certainty, &'static str) {
        match self {
            NamedBy::Writing => (Certainty::Likely, "its name is written on it"),
            NamedBy::Layer => (Certainty::Perhaps, "it is named by its layer"),
            NamedBy::Letter => (Certainty::Perhaps, "no name is written on it"),
        }
    }
}

/// An edge as it likely is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LikelyEdge {
    /// Its name, where words along it give one.
    pub name: Option<EdgeName>,
    /// What is between it and the line that is cut, mm, where both are drawn.
    pub allowance: Option<f64>,
    pub finish: LikelyFinish,
}

/// How an edge is likely finished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum LikelyFinish {
    /// The piece is mirrored there.
    Fold(Certainty),
    /// It is turned up.
    Hem,
    /// There is no allowance.
    Bare,
    /// Nothing is known.
    Unknown,
}

/// The pieces of a drawing.
pub(crate) fn likely_pieces(found: &Found) -> Vec<LikelyPiece<'_>> {
    let is_check =
        |at: usize| found.scale.checks.iter().any(|check| check.letter == found.outlines[at].letter);
    let outer: Vec<usize> =
        (0..found.outlines.len()).filter(|at| found.is_outermost(*at) && !is_check(*at)).collect();
    let titles = titles(found, &outer);
    let mut names: Vec<PieceName> = Vec::new();
    let mut pieces = Vec::new();
    for at in outer {
        let seamline = seamline_in(found, at);
        let own = seamline.as_ref().map_or(at, |(own, _)| *own);
        let measured = seamline.map(|(_, beside)| beside);
        let cut_line = (own != at).then_some(at);
        let Some(piece) =
            likely_piece(found, own, cut_line, measured, Taken { names: &names, titles: &titles })
        else {
            continue;
        };
        names.push(piece.name.clone());
        pieces.push(piece);
    }
    pieces
}

/// An outline as a piece, whatever lies in it or around it.
pub(crate) fn likely_piece_of(found: &Found, at: usize) -> Option<LikelyPiece<'_>> {
    likely_piece(found, at, None, None, Taken { names: &[], titles: &[] })
}

/// The seamline within a line that is cut, and what is left beside each of its edges. Lines of which one lies in the next
/// and that in another are sizes.
fn seamline_in(found: &Found, cut: usize) -> Option<(usize, Vec<Option<f64>>)> {
    let ring = &found.outlines[cut].edges;
    let inside = (0..found.outlines.len()).filter(|at| found.outlines[*at].inside == Some(cut));
    let largest = inside.max_by(|a, b| {
        let area = |at: usize| found.outlines[at].ring.area();
        area(*a).total_cmp(&area(*b))
    })?;
    let beside = allowances(&found.outlines[largest].edges, ring)?;
    let further = (0..found.outlines.len()).filter(|at| found.outlines[*at].inside == Some(largest));
    let mut further =
        further.filter_map(|at| allowances(&found.outlines[at].edges, &found.outlines[largest].edges));
    let is_large = found.outlines[largest].ring.area() >= 0.25 * found.outlines[cut].ring.area();
    (is_large && further.next().is_none()).then_some((largest, beside))
}

fn likely_piece<'a>(
    found: &'a Found,
    at: usize,
    cut_line: Option<usize>,
    measured: Option<Vec<Option<f64>>>,
    taken: Taken<'_>,
) -> Option<LikelyPiece<'a>> {
    let outline = &found.outlines[at];
    let both: Vec<usize> = [Some(at), cut_line].into_iter().flatten().collect();
    let wordings = Wording::within(found, &both);
    let own: Vec<&FoundLine> = found.lines_in(at).collect();
    let around: Vec<&FoundLine> = cut_line.into_iter().flat_map(|cut| found.lines_in(cut)).collect();
    let all: Vec<&FoundLine> = own.iter().chain(&around).copied().collect();
    let of = |guess: Guess| all.iter().copied().filter(move |line| line.guess == guess);
    let arrow = of(Guess::FoldArrow).next();
    let allowance = measured.as_ref().map(|measured| usual(outline, measured));
    let grainline = of(Guess::Grainline).next().or(arrow);
    let signs = Signs {
        measured: measured.as_deref(),
        arrow,
        grain: grainline.map(way),
        shared: shared(outline, &all),
    };
    let (name, named_by) = piece_name(outline, &wordings, taken)?;
    let no_edges: Vec<String> = taken.titles.iter().cloned().chain([name.to_string()]).collect();
    let edges = edges(outline, &wordings, &no_edges, &signs);
    let darts: Vec<&FoundLine> = all.iter().copied().filter(|line| is_dart(line)).collect();
    let (of_darts, tips) = (dart_corners(outline, &darts), tips(&darts));
    let is_notch = |line: &FoundLine| {
        let near = line.curve.bounds().inflate(WELD, WELD);
        line.guess == Guess::Notch && !of_darts.iter().any(|corner| near.contains(*corner))
    };
    let ticks = |lines: &[&'a FoundLine]| -> Vec<&'a FoundLine> {
        lines.iter().copied().filter(|line| is_notch(line)).collect()
    };
    let (own_ticks, around_ticks) = (ticks(&own), ticks(&around));
    let cut_edges = cut_line.map(|cut| (&found.outlines[cut], around_ticks.as_slice()));
    let notches = notches(outline, &own_ticks, cut_edges);
    let name_of = |line: &FoundLine| matches!(line.guess, Guess::Level | Guess::Line | Guess::Point);
    let is_inside = |line: &FoundLine| {
        let middle = line.curve.point_at(line.curve.length() / 2.0);
        line.guess == Guess::Point || outline.ring.contains(middle)
    };
    // The fold of a dart, and the mark at its tip, mean nothing besides.
    let is_of_dart = |line: &FoundLine| tips.iter().any(|tip| is_at_tip(line, *tip));
    let (of_dart, unnamed): (Vec<&FoundLine>, Vec<&FoundLine>) = all
        .iter()
        .copied()
        .filter(|line| name_of(line) && is_inside(line))
        .partition(|line| is_of_dart(line));
    let may_be_named: Vec<&FoundLine> = unnamed.into_iter().chain(darts.iter().copied()).collect();
    let named = names_at(&may_be_named, &wordings, name.as_str());
    let (darts, named) = named.into_iter().partition(|(line, _)| is_dart(line));
    let sorted = LinesSorted::of(named, grainline);
    let is_grain = |line: &FoundLine| grainline.is_some_and(|grain| grain.letter == line.letter);
    let beyond = all.iter().copied().filter(|line| name_of(line) && !is_inside(line));
    let arrows = of(Guess::FoldArrow).filter(|arrow| !is_grain(arrow));
    let rest = of_dart.into_iter().chain(of(Guess::ArrowHead)).chain(arrows).chain(beyond);
    let rest = rest.collect();
    Some(LikelyPiece {
        at,
        cut_line,
        name,
        named_by,
        cut: wordings.iter().find_map(|wording| wording.said.cut),
        cloth: cloth(&wordings),
        besides: besides(&wordings),
        allowance,
        edges,
        wedges: wedges(&outline.edges),
        grainline,
        notches: notches.into_iter().map(|notch: LikelyNotch| notch.letters).collect(),
        levels: sorted.levels,
        style_lines: sorted.style_lines,
        points: sorted.points,
        marks: sorted.marks,
        darts,
        rest,
    })
}

fn is_dart(line: &FoundLine) -> bool {
    matches!(line.guess, Guess::Dart | Guess::DoubleDart)
}

/// The tips of darts that open on an edge.
fn tips(darts: &[&FoundLine]) -> Vec<Point> {
    let open = darts.iter().filter(|dart| dart.guess == Guess::Dart);
    let sharp = open.flat_map(|dart| {
        let joints = dart.curve.joints().into_iter().filter(|joint| joint.turn.abs() > SHARP_AS_A_TIP);
        joints.map(|joint| dart.curve.point_at(joint.at))
    });
    sharp.collect()
}

/// Whether a line runs from the tip of a dart, or is a mark around it.
fn is_at_tip(line: &FoundLine, tip: Point) -> bool {
    let ends_there = [line.curve.start(), line.curve.end()].iter().any(|end| end.distance(tip) <= WELD);
    let is_mark = line.guess == Guess::Point && line.curve.bounds().center().distance(tip) <= WELD;
    ends_there || is_mark
}

/// The ends and tips of darts: what stands there belongs to them.
fn dart_corners(outline: &FoundOutline, darts: &[&FoundLine]) -> Vec<Point> {
    let count = outline.edges.len();
    let legs = wedges(&outline.edges).into_iter().flat_map(|first| {
        let (one, other) = (&outline.edges[first], &outline.edges[(first + 1) % count]);
        [one.start(), one.end(), other.end()]
    });
    let corners = darts.iter().flat_map(|dart| {
        let parts = dart.curve.segments().iter().map(kurbo::ParamCurve::start);
        parts.chain([dart.curve.end()])
    });
    legs.chain(corners).collect()
}

/// What cannot be the name of a piece: the names of others, and what is written on nearly all, as the title of the pattern is.
#[derive(Clone, Copy)]
struct Taken<'a> {
    names: &'a [PieceName],
    titles: &'a [String],
}

/// Names that are written on nine of ten pieces.
fn titles(found: &Found, outer: &[usize]) -> Vec<String> {
    let mut seen: Vec<(String, Vec<usize>)> = Vec::new();
    for at in outer {
        let inside = (0..found.outlines.len()).filter(|other| found.outlines[*other].inside == Some(*at));
        let all: Vec<usize> = std::iter::once(*at).chain(inside).collect();
        for name in Wording::within(found, &all).into_iter().filter_map(|wording| wording.said.name) {
            match seen.iter_mut().find(|(known, _)| *known == name) {
                Some((_, on)) if on.contains(at) => {}
                Some((_, on)) => on.push(*at),
                None => seen.push((name, vec![*at])),
            }
        }
    }
    let on_most = seen.into_iter().filter(|(_, on)| on.len() > 1 && 10 * on.len() >= 9 * outer.len());
    on_most.map(|(name, _)| name).collect()
}

/// A name from the words inside, those in large letters first and those along edges last; from the layer or the id; else
/// from the letter.
fn piece_name(
    outline: &FoundOutline,
    wordings: &[Wording<'_>],
    Taken { names: taken, titles }: Taken<'_>,
) -> Option<(PieceName, NamedBy)> {
    let is_own =
        |wording: &&Wording<'_>| wording.said.name.as_ref().is_some_and(|name| !titles.contains(name));
    let mut spoken: Vec<&Wording<'_>> = wordings.iter().filter(is_own).collect();
    spoken.sort_by(|a, b| {
        let order = |wording: &Wording<'_>| {
            ((-wording.text.size * 10.0).round(), wording.is_of_an_edge(&outline.edges))
        };
        let (a, b) = (order(a), order(b));
        a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
    });
    let last_layer = outline.layer.rsplit(" / ").next().unwrap_or_default();
    let inside = spoken.first().and_then(|wording| wording.said.name.clone());
    let outside = || {
        let texts = [outline.id.as_deref(), Some(last_layer)];
        texts.into_iter().flatten().find_map(|text| crate::adopt::likely::words::WordsSaid::of(text).name)
    };
    let plain = format!("piece-{}", outline.letter.as_str().to_lowercase());
    let read = |name: String| name.parse::<PieceName>().ok();
    let (name, by) = inside
        .and_then(read)
        .map(|name| (name, NamedBy::Writing))
        .or_else(|| Some((outside().and_then(read)?, NamedBy::Layer)))
        .or_else(|| Some((read(plain)?, NamedBy::Letter)))?;
    Some((name.free(|name| taken.contains(name)), by))
}

fn edges(
    outline: &FoundOutline,
    wordings: &[Wording<'_>],
    titles: &[String],
    signs: &Signs<'_>,
) -> Vec<LikelyEdge> {
    let of_edge = |edge: &Curve| {
        let beside = wordings.iter().filter_map(|wording| Some((wording.beside(edge)?, wording)));
        let mut beside: Vec<(f64, &Wording<'_>)> = beside
            .filter(|(off, wording)| {
                let others = outline.edges.iter().filter_map(|other| wording.beside(other));
                others.fold(f64::INFINITY, f64::min) >= *off - WELD
            })
            .collect();
        beside.sort_by(|a, b| a.0.total_cmp(&b.0));
        beside
    };
    let fold = fold(outline, wordings, signs);
    let measured = signs.measured;
    let usual = measured.map(|measured| usual(outline, measured));
    let mut names: Vec<EdgeName> = Vec::new();
    let all = outline.edges.iter().enumerate().map(|(at, edge)| {
        let words = of_edge(edge);
        let allowance = measured.and_then(|measured| measured[at]).map(rounded);
        let is_deep =
            usual.zip(allowance).is_some_and(|(usual, own)| own >= LEAST_HEM && own > usual + SEWN_ALIKE);
        let finish = match fold {
            Some((fold, certainty)) if fold == at => LikelyFinish::Fold(certainty),
            _ if is_deep || words.iter().any(|(_, wording)| wording.said.hem) => LikelyFinish::Hem,
            _ if allowance == Some(0.0) => LikelyFinish::Bare,
            _ => LikelyFinish::Unknown,
        };
        let is_title =
            |wording: &Wording<'_>| wording.said.name.as_ref().is_some_and(|name| titles.contains(name));
        let own = words.iter().filter(|(_, wording)| !is_title(wording));
        let spoken = own.filter_map(|(_, wording)| wording.edge_name());
        let spoken = spoken.min_by_key(|name| name.split('-').count());
        let plain = match finish {
            LikelyFinish::Hem => Some("hem".to_owned()),
            LikelyFinish::Fold(_) => Some("fold".to_owned()),
            LikelyFinish::Bare | LikelyFinish::Unknown => None,
        };
        let name = spoken.or(plain).and_then(|name| name.parse::<EdgeName>().ok());
        let name = name.map(|name| name.free(|name| names.contains(name)));
        names.extend(name.clone());
        LikelyEdge { name, allowance, finish }
    });
    all.collect()
}

/// A measured allowance to a tenth of a millimetre.
fn rounded(allowance: f64) -> f64 {
    (allowance * 10.0).round() / 10.0
}

/// The allowance that most of an outline has.
fn usual(outline: &FoundOutline, measured: &[Option<f64>]) -> f64 {
    let with: Vec<(f64, f64)> = outline
        .edges
        .iter()
        .zip(measured)
        .filter_map(|(edge, own)| own.filter(|own| *own > WELD).map(|own| (own, edge.length())))
        .collect();
    let length = |allowance: f64| -> f64 {
        with.iter().filter(|(own, _)| (own - allowance).abs() <= SEWN_ALIKE).map(|(_, length)| length).sum()
    };
    let most = with.iter().max_by(|a, b| length(a.0).total_cmp(&length(b.0)));
    most.map_or(0.0, |(allowance, _)| rounded(*allowance))
}

/// The edge that lies on the fold: at which an arrow points, along which it is written, or, where it is written on the piece,
/// the only one that may.
fn fold(
    outline: &FoundOutline,
    wordings: &[Wording<'_>],
    Signs { measured, arrow, grain, shared }: &Signs<'_>,
) -> Option<(usize, Certainty)> {
    /// How far from the fold the heads of its arrow may end, mm.
    const AT_FOLD: f64 = 30.0;
    let edges = &outline.edges;
    let is_bare = |at: usize| measured.is_none_or(|measured| measured[at].is_some_and(|own| own <= WELD));
    let may = |at: &usize| edges[*at].is_straight(ON_OUTLINE) && is_bare(*at);
    let straight: Vec<usize> = (0..edges.len()).filter(may).collect();
    let off_ends = |edge: &Curve, line: &Curve| {
        edge.nearest(line.start()).distance.max(edge.nearest(line.end()).distance)
    };
    if let Some(arrow) = arrow {
        let pointed = straight.iter().map(|at| (off_ends(&edges[*at], &arrow.curve), *at));
        let nearest = pointed.min_by(|a, b| a.0.total_cmp(&b.0)).filter(|(off, _)| *off <= AT_FOLD);
        if let Some((_, at)) = nearest {
            return Some((at, Certainty::Sure));
        }
    }
    let folded: Vec<&Wording<'_>> = wordings.iter().filter(|wording| wording.said.fold).collect();
    if folded.is_empty() {
        return None;
    }
    if let [only] = shared.as_slice()
        && may(only)
    {
        return Some((*only, Certainty::Likely));
    }
    // What says how often the piece is cut may stand anywhere on it.
    let along = straight.iter().flat_map(|at| {
        let beside =
            |wording: &&Wording<'_>| Some((wording.said.cut.is_some(), wording.beside(&edges[*at])?, *at));
        folded.iter().filter_map(beside)
    });
    if let Some((is_of_piece, _, at)) = along.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))) {
        return Some((at, if is_of_piece { Certainty::Likely } else { Certainty::Sure }));
    }
    let along = |at: &usize| grain.is_some_and(|grain| !is_square(edges[*at].start_tangent(), grain));
    let on_grain: Vec<usize> = straight.iter().copied().filter(along).collect();
    let (may_be, certainty) = match (on_grain.len(), straight.len()) {
        (_, 1) => (&straight, Certainty::Sure),
        (1, _) => (&on_grain, Certainty::Likely),
        (0, _) => (&straight, Certainty::Perhaps),
        _ => (&on_grain, Certainty::Perhaps),
    };
    let longest = may_be.iter().copied().max_by(|a, b| edges[*a].length().total_cmp(&edges[*b].length()))?;
    Some((longest, certainty))
}

/// Which way a grainline runs: of a bent one its longest part.
fn way(line: &FoundLine) -> Vec2 {
    let parts = line.curve.segments().iter();
    let ways = parts.map(|part| kurbo::ParamCurve::end(part) - kurbo::ParamCurve::start(part));
    ways.max_by(|a, b| a.hypot().total_cmp(&b.hypot())).unwrap_or_default()
}

/// What shows where a piece lies on the fold.
struct Signs<'a> {
    /// What is left beside each edge, where both lines are drawn.
    measured: Option<&'a [Option<f64>]>,
    /// An arrow that points at the fold.
    arrow: Option<&'a FoundLine>,
    /// The way of the grain.
    grain: Option<Vec2>,
    /// Edges along which a line of its own is drawn, as the fold is that all sizes share.
    shared: Vec<usize>,
}

/// The straight edges that lie whole on a straight line of the piece.
fn shared(outline: &FoundOutline, lines: &[&FoundLine]) -> Vec<usize> {
    let straight = |curve: &Curve| curve.is_straight(ON_OUTLINE);
    let lies_on = |edge: &Curve, line: &Curve| {
        [edge.start(), edge.end()].iter().all(|end| line.nearest(*end).distance <= ON_OUTLINE)
    };
    let is_shared = |edge: &Curve| {
        straight(edge) && lines.iter().any(|line| straight(&line.curve) && lies_on(edge, &line.curve))
    };
    (0..outline.edges.len()).filter(|at| is_shared(&outline.edges[*at])).collect()
}

/// Lines of a piece by what they likely are.
#[derive(Default)]
struct LinesSorted<'a> {
    levels: Vec<(&'a FoundLine, Option<String>)>,
    style_lines: Vec<(&'a FoundLine, String)>,
    points: Vec<(&'a FoundLine, Option<String>)>,
    marks: Vec<&'a FoundLine>,
}

impl<'a> LinesSorted<'a> {
    /// A straight line across the grain is a level, along it a style line where it has a name.
    fn of(named: Vec<(&'a FoundLine, Option<String>)>, grainline: Option<&FoundLine>) -> LinesSorted<'a> {
        let grain = grainline.map(way);
        let mut sorted = LinesSorted::default();
        for (line, name) in named {
            let across = grain.is_none_or(|grain| is_square(line.curve.end() - line.curve.start(), grain));
            match (line.guess, name) {
                (Guess::Level, name) if across => sorted.levels.push((line, name)),
                (Guess::Point, name) => sorted.points.push((line, name)),
                (_, Some(name)) => sorted.style_lines.push((line, name)),
                (_, None) => sorted.marks.push(line),
            }
        }
        sorted
    }
}
