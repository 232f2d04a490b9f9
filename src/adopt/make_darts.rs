//! The darts of a piece: cut into its outline, drawn inside it, or told by its cutting line.

use crate::adopt::chain::concatenated;
use crate::adopt::error::refused_at;
use crate::adopt::make_note::AdoptNote;
use crate::adopt::map::{MapDart, Word, span, text, value};
use crate::adopt::map_words::DrawnAs;
use crate::adopt::piece_maker::PieceMaker;
use crate::adopt::short_dart::{DartRunOut, run_on};
use crate::allowance::TakenOff;
use crate::curve::{Curve, Point};
use crate::pattern::{Dart, DartKind, DartName, DartShape, Mouth, Piece, Press, Refusal};
use crate::sheet::{agreed, dart_shape};
use crate::tolerance::{SHORT_PART, WELD};
use crate::toml_file::TextFault;
use crate::units::Length;

/// Adds the darts that the map names.
pub(super) fn add(
    maker: &PieceMaker,
    piece: &mut Piece,
    taken: Option<&TakenOff>,
    notes: &mut Vec<AdoptNote>,
) -> Result<(), TextFault> {
    let wedges = maker.wedges()?;
    for (index, said) in maker.map.darts.iter().enumerate() {
        let name: DartName = value(&said.name, "the name of a dart")?;
        if piece.darts.iter().any(|other| other.name == name) {
            let way_out = "give one of them another name";
            return Err(TextFault::new(
                span(&said.name),
                "the piece has another dart of this name",
                "twice",
                way_out,
            ));
        }
        let wedge = wedges.iter().find(|(of, _)| *of == index).map(|(_, wedge)| wedge);
        let shape = match (maker.drawn, taken, wedge) {
            (DrawnAs::CuttingLine, Some(taken), _) => behind(maker, said, &name, (piece, taken), notes)?,
            (_, _, Some(wedge)) => of_line(said, &name, piece, &wedge.line, notes)?,
            _ => match &said.drawn {
                Some(word) => of_line(said, &name, piece, &drawn_line(maker, word)?, notes)?,
                None => {
                    let way_out = "say drawn = its letter, or cut-in = the numbers of its legs";
                    return Err(TextFault::new(
                        span(&said.name),
                        "it is not said where the dart is",
                        "no line",
                        way_out,
                    ));
                }
            },
        };
        let press = press(said, piece, &shape)?;
        let dart = Dart { name, shape, kind: DartKind::Dart, press, kept: crate::pattern::Kept::default() };
        dart_shape::refuse_mouths_in_one(piece, &dart)
            .map_err(|refusal| refused_at(span(&said.name), &refusal))?;
        piece.darts.push(dart);
    }
    Ok(())
}

fn press(said: &MapDart, piece: &Piece, shape: &DartShape) -> Result<Press, TextFault> {
    let Some(word) = &said.press else { return Ok(Press::Usual) };
    let toward = value(word, "the name of an edge")?;
    agreed::pressed(piece, shape, toward).map_err(|refusal| refused_at(span(word), &refusal))
}

/// The way out of a dart that is not drawn as one: on a sheet its path is told, in a map its letters.
const DRAW_DART: &str = "draw its two legs from one edge to the tip, where they meet, or a closed line of two tips; name \
                         their letters, as in drawn = \"a b\", or the numbers that are cut in, as in cut-in = \"5-6\"";

fn of_line(
    said: &MapDart,
    name: &DartName,
    piece: &Piece,
    line: &Curve,
    notes: &mut Vec<AdoptNote>,
) -> Result<DartShape, TextFault> {
    let opened = opened(piece, line).or_else(|| ended_on_outline(piece, line));
    let short = if opened.is_none() { run_on(line, piece.outline()) } else { None };
    // Of a guess it is told with that.
    if let (Some(DartRunOut { by, .. }), None) = (&short, &said.guessed) {
        let (piece, dart, by) = (piece.name().clone(), name.clone(), Length::from_mm(*by));
        notes.push(AdoptNote::DartRunOn { piece, dart, by });
    }
    let opened = opened.or(short.map(|short| short.line));
    let line = opened.as_ref().unwrap_or(line);
    let word = said.drawn.as_ref().or(said.cut_in.as_ref()).unwrap_or(&said.name);
    dart_shape::shape(piece, name.as_str(), DartKind::Dart, line)
        .map_err(|refusal| refused_at(span(word), &refusal).way_out(DRAW_DART))
}

/// A dart whose legs are drawn out over the seamline, without what lies beyond it.
fn ended_on_outline(piece: &Piece, line: &Curve) -> Option<Curve> {
    let ring = piece.outline();
    let is_beyond = |at: Point| !ring.contains(at) && piece.nearest_on_outline(at).distance > WELD;
    if line.start() == line.end() || !is_beyond(line.start()) || !is_beyond(line.end()) {
        return None;
    }
    let met = ring.crossings_with(line);
    let mut along: Vec<f64> = met.iter().map(|crossing| line.nearest(crossing.point).at).collect();
    along.sort_by(f64::total_cmp);
    line.stretch(*along.first()?, *along.last()?).ok()
}

/// A dart drawn as a closed triangle with its mouth along an edge, without the mouth.
fn opened(piece: &Piece, line: &Curve) -> Option<Curve> {
    if line.start() != line.end() {
        return None;
    }
    let on_edge = |at: Point| piece.nearest_on_outline(at).distance <= WELD;
    let corners: Vec<f64> = std::iter::once(0.0).chain(line.joints().iter().map(|joint| joint.at)).collect();
    let touching: Vec<f64> = corners.iter().copied().filter(|at| on_edge(line.point_at(*at))).collect();
    let [a, b] = touching[..] else { return None };
    let length = line.length();
    let between = line.stretch(a, b).ok()?;
    let rest = line.onward(b, if a <= SHORT_PART { length } else { length + a }).ok()?;
    let far = |part: &Curve| piece.nearest_on_outline(part.point_at(part.length() / 2.0)).distance;
    Some(if far(&between) > far(&rest) { between } else { rest })
}

/// The line that letters name: one, or several joined.
pub(super) fn drawn_line(maker: &PieceMaker, word: &Word) -> Result<Curve, TextFault> {
    let mut parts = Vec::new();
    for letter in text(word).split_whitespace() {
        if let Some(outline) = maker.found.outline(letter) {
            parts.push(concatenated(outline.edges.clone()).unwrap_or_else(|| outline.edges[0].clone()));
        } else {
            parts.push(maker.line(letter, word)?.curve.clone());
        }
    }
    let none = || TextFault::new(span(word), "no line is named", "no letter", "write the letter of its line");
    let mut parts = parts.into_iter();
    let mut line = parts.next().ok_or_else(none)?;
    for next in parts {
        line = meeting(&line, &next).ok_or_else(|| {
            let what = "the lines do not meet";
            TextFault::new(span(word), what, "their ends lie apart", "name lines that meet at their ends")
        })?;
    }
    Ok(line)
}

/// Two lines joined at whichever ends meet.
fn meeting(one: &Curve, other: &Curve) -> Option<Curve> {
    let (one_back, other_back) = (one.reversed(), other.reversed());
    let ways = [(one, other), (one, &other_back), (&one_back, other), (&one_back, &other_back)];
    let gap = |way: &(&Curve, &Curve)| way.0.end().distance(way.1.start());
    let (first, second) = ways.into_iter().min_by(|a, b| gap(a).total_cmp(&gap(b)))?;
    first.joined_within(second, WELD).ok()
}

/// The legs of a drawn line from mouth to tip to mouth.
pub(super) fn legs(word: &Word, name: &DartName, line: &Curve) -> Result<(Curve, Curve), TextFault> {
    dart_shape::legs(name.as_str(), line)
        .map_err(|refusal| refused_at(span(word), &refusal).way_out(DRAW_DART))
}

/// Where a mouth ends on an edge: at the joint of its lines where there is one.
fn mouth_end(curve: &Curve, at: Point) -> f64 {
    let near = curve.nearest(at).at;
    let joints = curve.joints();
    let joint = joints.iter().map(|joint| joint.at).find(|joint| (joint - near).abs() <= 2.0 * SHORT_PART);
    joint.unwrap_or(near)
}

/// A dart of a piece whose cutting line is drawn.
fn behind(
    maker: &PieceMaker,
    said: &MapDart,
    name: &DartName,
    (piece, taken): (&Piece, &TakenOff),
    notes: &mut Vec<AdoptNote>,
) -> Result<DartShape, TextFault> {
    if let Some(dart) = taken.darts.iter().find(|dart| dart.name == *name) {
        let Some((first, second)) = dart.legs.clone() else {
            let way_out = "draw its legs and name them: drawn = their letter";
            return Err(TextFault::new(
                span(&said.name),
                "only the mouth of the dart is known",
                "no legs",
                way_out,
            ));
        };
        let refused = |refusal: Refusal| refused_at(span(&said.name), &refusal);
        let edge = piece.edge_named(&dart.edge).map_err(refused)?;
        let curve = &piece.edge(edge).curve;
        let (from, to) = (mouth_end(curve, first.start()), mouth_end(curve, second.start()));
        let ended = |leg: &Curve, at: f64| leg.with_ends(curve.point_at(at), leg.end());
        let legs = ended(&first, from).and_then(|first| Ok((first, ended(&second, to)?)));
        let legs = legs.map_err(|error| refused(error.into()))?;
        return Ok(DartShape::Open { mouth: Mouth { edge: dart.edge.clone(), from, to }, legs });
    }
    match &said.drawn {
        Some(word) => of_line(said, name, piece, &drawn_line(maker, word)?, notes),
        None => {
            let way_out = "say drawn = its letter";
            Err(TextFault::new(
                span(&said.name),
                "the cutting line does not tell the dart",
                "not found",
                way_out,
            ))
        }
    }
}
