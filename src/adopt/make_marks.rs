//! What stands on a piece besides its edges and darts: grainline, notches, levels, points, style lines.

use crate::adopt::error::refused_at;
use crate::adopt::make_darts::drawn_line;
use crate::adopt::map::{GIRTH_MEASURED, MapNotch, Word, one_of, span, text, value};
use crate::adopt::map_words::{ARROWS, DrawnAs};
use crate::adopt::outlines::{FoundOutline, Guess};
use crate::adopt::piece_maker::PieceMaker;
use crate::adopt::run_in::led_to;
use crate::allowance::TakenOff;
use crate::curve::{Curve, Point};
use crate::pattern::{
    Arrows, EdgeId, GirthUse, Grainline, Kept, Level, NamedPoint, Notch, NotchCount, NotchName, Piece, Place,
    StyleLine,
};
use crate::sheet::drawn_mark;
use crate::sheet::edge_place::EdgePlace;
use crate::tolerance::{CORNER_SNAP, WELD, WIDEST_ALLOWANCE};
use crate::toml_file::TextFault;

/// How far a mark may stand from the outline that it marks, mm.
const NOTCH_REACH: f64 = 3.0;

/// Radius of a point's circle where none was drawn, mm.
const POINT_RADIUS: f64 = 3.0;

/// Adds all marks that the map names.
pub(super) fn add(maker: &PieceMaker, piece: &mut Piece, taken: Option<&TakenOff>) -> Result<(), TextFault> {
    piece.grainline = grainline(maker)?;
    for said in &maker.map.notches {
        let notch = notch(maker, piece, taken, said)?;
        piece.notches.push(notch);
    }
    for said in &maker.map.levels {
        let name = value(&said.name, "the name of a level")?;
        let girth = if GIRTH_MEASURED.or(said.girth) { GirthUse::Counts } else { GirthUse::LeftOut };
        let mut stretches = Vec::new();
        for letter in text(&said.drawn).split_whitespace() {
            let line = straight(&maker.line(letter, &said.drawn)?.curve, &said.drawn, "a level")?;
            stretches.push(line);
        }
        if stretches.is_empty() {
            let way_out = "write the letter of its line";
            return Err(TextFault::new(span(&said.drawn), "no line is named", "no letter", way_out));
        }
        refuse_twice(&said.name, "level", piece.levels.iter().map(|other| &other.name), &name)?;
        piece.levels.push(Level { name, stretches, girth, kept: Kept::default() });
    }
    for said in &maker.map.points {
        let name = value(&said.name, "the name of a point")?;
        refuse_twice(&said.name, "point", piece.points.iter().map(|other| &other.name), &name)?;
        let (at, radius) = point(maker, &said.drawn)?;
        piece.points.push(NamedPoint { name, at, radius, kept: Kept::default() });
    }
    for said in &maker.map.style_lines {
        let name = value(&said.name, "the name of a style line")?;
        refuse_twice(&said.name, "style line", piece.style_lines.iter().map(|other| &other.name), &name)?;
        let curve = drawn_line(maker, &said.drawn)?;
        piece.style_lines.push(StyleLine { name, curve, kept: Kept::default() });
    }
    for word in &maker.map.marks {
        let letters = text(word).split_whitespace();
        let lines = letters.map(|letter| Ok(maker.line(letter, word)?.curve.clone()));
        piece.marks.push(drawn_mark(lines.collect::<Result<_, TextFault>>()?));
    }
    Ok(())
}

/// Refuses a name that another of its sort on the piece has.
fn refuse_twice<'a, N: PartialEq + 'a>(
    word: &Word,
    sort: &str,
    mut taken: impl Iterator<Item = &'a N>,
    name: &N,
) -> Result<(), TextFault> {
    if taken.any(|other| other == name) {
        let what = format!("the piece has another {sort} of this name");
        return Err(TextFault::new(span(word), what, "twice", "give one of them another name"));
    }
    Ok(())
}

fn straight(line: &Curve, word: &Word, what: &str) -> Result<(Point, Point), TextFault> {
    if !line.is_straight(WELD) {
        let what = format!("the line is not straight, as {what} is");
        return Err(TextFault::new(span(word), what, "curved or bent", "name a straight line"));
    }
    Ok((line.start(), line.end()))
}

/// The grainline, from its upper end down; where it lies, from its left end.
fn grainline(maker: &PieceMaker) -> Result<Option<Grainline>, TextFault> {
    let Some(word) = &maker.map.grainline else { return Ok(None) };
    let line = maker.line(text(word), word)?;
    let (a, b) = match line.guess {
        Guess::FoldArrow => longest_part(&line.curve),
        _ => straight(&line.curve, word, "a grainline")?,
    };
    let lies = (b.y - a.y).abs() <= WELD;
    let as_drawn = if lies { a.x <= b.x } else { a.y <= b.y };
    let (start, end) = if as_drawn { (a, b) } else { (b, a) };
    let drawn = line.arrows.map(|arrows| match (arrows, as_drawn) {
        (Arrows::Start, false) => Arrows::End,
        (Arrows::End, false) => Arrows::Start,
        (arrows, _) => arrows,
    });
    let said = maker.map.arrows.as_ref().map(|word| one_of(word, &ARROWS)).transpose()?;
    let arrows = said.or(drawn).unwrap_or_default();
    Ok(Some(Grainline { start, end, arrows, kept: Kept::default() }))
}

/// The ends of the longest part of a line: of an arrow that points at a fold what runs along it.
fn longest_part(line: &Curve) -> (Point, Point) {
    let parts =
        line.segments().iter().map(|part| (kurbo::ParamCurve::start(part), kurbo::ParamCurve::end(part)));
    let longest = parts.max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)));
    longest.unwrap_or((line.start(), line.end()))
}

fn point(maker: &PieceMaker, word: &Word) -> Result<(Point, f64), TextFault> {
    if text(word).starts_with('(') {
        return match value::<Place>(word, "a place")? {
            Place::Sheet(x, y) => Ok((Point::new(x.mm(), y.mm()), POINT_RADIUS)),
            _ => {
                Err(TextFault::new(span(word), "this is no place", "not (x, y)", "write \"(120mm, 340mm)\""))
            }
        };
    }
    let mut bounds: Option<kurbo::Rect> = None;
    for letter in text(word).split_whitespace() {
        let own = maker.line(letter, word)?.curve.bounds();
        bounds = Some(bounds.map_or(own, |all| all.union(own)));
    }
    let none = || TextFault::new(span(word), "no mark is named", "no letter", "write the letter of the mark");
    let bounds = bounds.ok_or_else(none)?;
    Ok((bounds.center(), bounds.width().max(bounds.height()) / 2.0))
}

fn notch(
    maker: &PieceMaker,
    piece: &Piece,
    taken: Option<&TakenOff>,
    said: &MapNotch,
) -> Result<Notch, TextFault> {
    let word = said.drawn.as_ref().or(said.at.as_ref());
    let Some(word) = word else {
        let at = said.name.as_ref().or(said.count.as_ref()).map_or(0..0, span);
        let way_out = "say drawn = the letter of its mark, or at = \"side@40%\"";
        return Err(TextFault::new(at, "it is not said where the notch is", "no place", way_out));
    };
    let letters = text(word).split_whitespace().count();
    let (edge, at) = match (&said.drawn, &said.at) {
        (Some(drawn), _) => drawn_place(maker, piece, taken, drawn)?,
        (None, _) => {
            let place: Place = value(word, "a place on an edge")?;
            piece.place_on_outline(&place).map_err(|refusal| refused_at(span(word), &refusal))?
        }
    };
    let words = [("1", NotchCount::Single), ("2", NotchCount::Double)];
    let count = match &said.count {
        Some(word) => one_of(word, &words)?,
        None if said.drawn.is_some() && letters == 2 => NotchCount::Double,
        None => NotchCount::Single,
    };
    let taken_name = |name: &NotchName| piece.notches.iter().any(|notch| notch.name == *name);
    let edge_name = piece.edge(edge).name.clone();
    let name: NotchName = match &said.name {
        Some(word) => {
            let name = value(word, "the name of a notch")?;
            refuse_twice(word, "notch", piece.notches.iter().map(|other| &other.name), &name)?;
            name
        }
        None => {
            let plain = edge_name.as_str().replace('/', "-");
            let name: Result<NotchName, _> = format!("{plain}-notch").parse();
            let wrong = |error| TextFault::new(span(word), "the notch has no name", error, "give it a name");
            name.map_err(wrong)?.free(taken_name)
        }
    };
    Ok(Notch::new(name, edge_name, at, count))
}

/// Where a drawn mark stands on the seamline: on a drawn cutting line it is brought in square through the allowance.
fn drawn_place(
    maker: &PieceMaker,
    piece: &Piece,
    taken: Option<&TakenOff>,
    word: &Word,
) -> Result<(EdgeId, f64), TextFault> {
    let letters = text(word).split_whitespace();
    let places = letters.map(|letter| place_of_mark(maker, piece, taken, (word, letter)));
    let places: Vec<(EdgeId, f64)> = places.collect::<Result<_, _>>()?;
    let edge = places.first().map(|(edge, _)| *edge);
    let Some(edge) = edge.filter(|edge| places.iter().all(|(other, _)| other == edge)) else {
        return Err(TextFault::new(
            span(word),
            "the marks stand on different edges",
            "not one notch",
            "name each apart",
        ));
    };
    let mean = places.iter().map(|(_, at)| at).sum::<f64>() / places.len() as f64;
    let length = piece.edge(edge).curve.length();
    if mean <= CORNER_SNAP || mean >= length - CORNER_SNAP {
        return Ok((edge, if mean <= CORNER_SNAP { 0.0 } else { length }));
    }
    Ok((edge, EdgePlace::settled(&piece.edge(edge).curve, mean)))
}

/// The same of one mark of those that a word names.
fn place_of_mark(
    maker: &PieceMaker,
    piece: &Piece,
    taken: Option<&TakenOff>,
    (word, letter): (&Word, &str),
) -> Result<(EdgeId, f64), TextFault> {
    let line = &maker.line(letter, word)?.curve;
    let own = contact(maker.outline, line);
    let at = own.or_else(|| on_line_around(maker, line)).ok_or_else(|| {
        let what = format!("the mark `{letter}` does not touch the outline {}", maker.outline.letter);
        let way_out = "name a mark on the outline, or say at = \"side@40%\"";
        TextFault::new(span(word), what, "off the outline", way_out)
    })?;
    let is_on_cutting_line = taken.is_some() || own.is_none();
    let led = is_on_cutting_line.then(|| led_in(piece, line, at)).flatten();
    let Some(taken) = taken else {
        let near = piece.nearest_on_outline(at);
        return Ok(led.unwrap_or((near.edge, near.at)));
    };
    let near = taken.to_seamline(at).and_then(|near| Some((piece.find_edge(&near.edge)?, near.at)));
    let near = near.ok_or_else(|| {
        let what = "the mark stands beside no edge";
        TextFault::new(span(word), what, "off the edges", "say at = \"side@40%\" in its place")
    })?;
    Ok(led.filter(|(edge, _)| *edge == near.0).unwrap_or(near))
}

/// Where a mark that stands on the line that is cut leads to on the seamline of its piece.
fn led_in(piece: &Piece, mark: &Curve, at: Point) -> Option<(EdgeId, f64)> {
    let edges: Vec<Curve> = piece.edges().iter().map(|edge| edge.curve.clone()).collect();
    let led = led_to(mark, at, &edges)?;
    Some((piece.edge_ids().nth(led.edge)?, led.at))
}

/// Where a mark on the line that is cut, drawn around a seamline, stands: it is brought in square to the seamline.
fn on_line_around(maker: &PieceMaker, mark: &Curve) -> Option<Point> {
    let around = &maker.found.outlines[maker.outline.inside?];
    let at = contact(around, mark)?;
    let off = |edge: &Curve| edge.nearest(at).distance;
    let least = maker.outline.edges.iter().map(off).fold(f64::INFINITY, f64::min);
    (maker.drawn == DrawnAs::Seamline && least <= WIDEST_ALLOWANCE).then_some(at)
}

/// Where a mark meets the outline: half way between all its meetings with it, or its nearest end.
fn contact(outline: &FoundOutline, mark: &Curve) -> Option<Point> {
    let ring = &outline.ring;
    let edges = ring.curves();
    let nearest = |at: Point| {
        edges
            .iter()
            .map(|edge| edge.nearest(at))
            .min_by(|a, b| a.distance.total_cmp(&b.distance))
            .map(|near| (near.distance, near.point))
    };
    let mut met: Vec<Point> = ring.crossings_with(mark).iter().map(|crossing| crossing.point).collect();
    let corners: Vec<Point> =
        mark.segments().iter().map(kurbo::ParamCurve::start).chain([mark.end()]).collect();
    let touching = corners.iter().filter_map(|at| nearest(*at));
    met.extend(touching.clone().filter(|(distance, _)| *distance <= WELD).map(|(_, point)| point));
    if met.is_empty() {
        let (distance, point) = touching.min_by(|a, b| a.0.total_cmp(&b.0))?;
        return (distance <= NOTCH_REACH).then_some(point);
    }
    let farthest = |from: Point| {
        met.iter().copied().max_by(|a, b| a.distance(from).total_cmp(&b.distance(from))).unwrap_or(from)
    };
    let one = farthest(met[0]);
    let other = farthest(one);
    nearest(one.midpoint(other)).map(|(_, point)| point)
}
