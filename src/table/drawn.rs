//! The pieces and the cloth as they are drawn on the table.

use serde::Serialize;

use crate::allowance::SewingOrder;
use crate::canvas::{Drawing, Label, Layer, LineKind, Tone, group_in_page, path_data, polygon};
use crate::cloth::fit::{Fit, PieceFit};
use crate::cloth::{Bolt, Cloth, Selvedges, Stock};
use crate::curve::Point;
use crate::pattern::{EdgeRef, Finish, Pattern, Piece};
use crate::show::piece::{PieceDrawing, PieceStyle, Shows};
use crate::table::said::Line;
use crate::tolerance::{CLOTH_SHOWN, REDRAWN};
use crate::units::{Length, Unit};

/// How many times larger than on paper texts and lines are: the table is seen from farther off.
const MAGNIFIED: f64 = 2.4;

/// Between the cloth and the pieces, mm.
const BESIDE: f64 = 120.0;

/// Size of the letters on the cloth, mm.
const LETTERS: f64 = 16.0;

/// A piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PieceSeen {
    /// Its name.
    pub name: String,
    /// Its drawing, a group of an SVG picture in mm of the sheet.
    pub drawing: String,
    /// What is cut, as the data of an SVG path.
    pub paper: String,
    /// How it fits the cloth.
    pub fit: Option<Line>,
    /// The same in a few words, to stand beside it; empty where no cloth is laid out.
    pub fit_word: String,
    /// The middle of its lower end, mm.
    pub foot: [f64; 2],
    /// How far it is to be moved to lie where it lay before a change, mm.
    pub shift: [f64; 2],
    /// Its edges.
    pub edges: Vec<EdgeSeen>,
}

/// An edge.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct EdgeSeen {
    /// Its name, with its piece.
    pub name: String,
    /// What it is, in words.
    pub called: String,
    /// The seamline, as the data of an SVG path.
    pub line: String,
    /// The edges that it is sewn to; one without any cannot be moved.
    pub sewn_to: Vec<String>,
    /// The middle of it, mm.
    pub middle: [f64; 2],
}

/// A length of cloth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClothSeen {
    /// What it is called, and how wide it is.
    pub called: String,
    /// Its drawing.
    pub drawing: String,
}

/// Pieces of a pattern as they are drawn, each with how it fits.
pub(super) fn pieces<'a>(
    pattern: &Pattern,
    which: impl Iterator<Item = &'a Piece>,
    found: Option<&Fit>,
    unit: Unit,
) -> Vec<PieceSeen> {
    let order = SewingOrder::of(pattern);
    let style = PieceStyle { shows: Shows::Lengths, magnified: MAGNIFIED, ..PieceStyle::for_cutting(unit) };
    let fit = |piece: &Piece| found?.pieces.iter().find(|fit| fit.piece == *piece.name());
    let seen = which.map(|piece| {
        let drawn = PieceDrawing::of(&order, piece, &style);
        let (drawing, paper) = match &drawn {
            Ok(drawn) => (group_in_page(&drawn.drawing, MAGNIFIED), path_data(&drawn.outline)),
            Err(_) => (String::new(), path_data(&piece.outline().to_path())),
        };
        PieceSeen {
            name: piece.name().to_string(),
            drawing,
            paper,
            fit: match &drawn {
                Ok(_) => fit(piece).map(|found| fit_line(found, unit)),
                Err(error) => Some(Line::new(false, format!("{} cannot be cut: {error}.", piece.name()))),
            },
            fit_word: fit(piece).map_or_else(String::new, |found| fit_word(found, unit)),
            foot: foot(piece, drawn.as_ref().ok()),
            shift: [0.0; 2],
            edges: piece.edge_ids().map(|id| edge_seen(pattern, piece, &piece.edge_ref(id))).collect(),
        }
    });
    seen.collect()
}

fn edge_seen(pattern: &Pattern, piece: &Piece, edge: &EdgeRef) -> EdgeSeen {
    let found = pattern.find_edge(edge);
    let curve = found.map(|found| &found.curve);
    let across = pattern.seams_of(edge).map(|id| {
        let seam = pattern.seam(id);
        let on_first = seam.first.edges().iter().any(|run| run.edge == *edge);
        let across = if on_first { &seam.second } else { &seam.first };
        across.names()
    });
    let sewn_to: Vec<String> = match found.map(|found| found.finish) {
        Some(Finish::Fold) => Vec::new(),
        _ => across.collect(),
    };
    let called = match sewn_to.as_slice() {
        [] => format!("{} of {}", edge.edge, piece.name()),
        layers => format!("{} of {}, sewn to {}", edge.edge, piece.name(), layers.join(" and to ")),
    };
    let middle = curve.map(|curve| curve.point_at(curve.length() / 2.0)).unwrap_or_default();
    EdgeSeen {
        name: edge.to_string(),
        called,
        line: curve.map(|curve| path_data(&curve.to_path())).unwrap_or_default(),
        sewn_to,
        middle: [middle.x, middle.y],
    }
}

/// The cloth beside the pieces, the first of it next to them, and the box around that and the pieces.
pub(super) fn around(pattern: &Pattern, stock: Option<&Stock>, unit: Unit) -> (Vec<ClothSeen>, [f64; 4]) {
    let boxes = pattern.pieces().map(Piece::bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
    let (mut left, mut shown) = (boxes.x0, boxes.x0);
    let mut seen = Vec::new();
    for cloth in stock.iter().flat_map(|stock| stock.cloths()) {
        let Some(bolt) = cloth.bolts().first() else { continue };
        let length = bolt.length().min(boxes.height().max(CLOTH_SHOWN));
        left -= BESIDE + bolt.width().greatest(0.0, length);
        if seen.is_empty() {
            shown = left;
        }
        seen.push(cloth_seen(cloth, bolt, length, Point::new(left, boxes.y0), unit));
    }
    let [x, y, width, height] = [shown, boxes.y0, boxes.x1 - shown, boxes.height()];
    (seen, [x - BESIDE / 2.0, y - BESIDE / 2.0, width + BESIDE, height + BESIDE])
}

fn cloth_seen(cloth: &Cloth, bolt: &Bolt, length: f64, corner: Point, unit: Unit) -> ClothSeen {
    let at = |across: f64, along: f64| Point::new(corner.x + across, corner.y + along);
    let mut places: Vec<f64> =
        bolt.width().places().filter(|place| *place > 0.0 && *place < length).collect();
    places.insert(0, 0.0);
    places.push(length);
    let right: Vec<Point> = places.iter().map(|place| at(bolt.width().at(*place), *place)).collect();
    let mut drawing = Drawing::default();
    let around: Vec<Point> =
        [at(0.0, 0.0)].into_iter().chain(right.iter().copied()).chain([at(0.0, length)]).collect();
    drawing.fill(polygon(&around), Tone::Cloth, Layer::Cutting);
    let finished = |is: bool| if is { LineKind::Selvedge } else { LineKind::RawEdge };
    let (on_left, on_right) = match cloth.selvedges {
        Selvedges::Both => (true, true),
        Selvedges::Left => (true, false),
        Selvedges::Right => (false, true),
        Selvedges::None => (false, false),
    };
    drawing.line(finished(on_left), at(0.0, 0.0), at(0.0, length));
    right.windows(2).for_each(|pair| drawing.line(finished(on_right), pair[0], pair[1]));
    drawing.line(LineKind::RawEdge, at(0.0, 0.0), right[0]);
    for flaw in bolt.flaws().iter().filter(|flaw| flaw.end().1 <= length) {
        let (x, y) = flaw.end();
        let corners = [at(flaw.at.0, flaw.at.1), at(x, flaw.at.1), at(x, y), at(flaw.at.0, y)];
        drawing.stroke(LineKind::Flaw, polygon(&corners));
    }
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let width = bolt.width().at(0.0);
    let called = format!("{}, {} wide, {} long", cloth.name(), show(width), show(bolt.length()));
    for (text, down) in [(cloth.name().to_string(), 2.0), (format!("{} wide", show(width)), 3.4)] {
        let text_at = at(width / 2.0, down * LETTERS);
        drawing.labels.push(Label::level(text, text_at, LETTERS, Layer::Labels));
    }
    ClothSeen { called, drawing: group_in_page(&drawing, MAGNIFIED) }
}

/// From where a changed piece lies on the sheet, clear of others, to where it lay: by an edge that it kept.
pub(super) fn shift_back(old: &Piece, new: &Piece) -> [f64; 2] {
    let kept = new.edges().iter().find_map(|edge| {
        let was = old.edge(old.find_edge(&edge.name)?);
        let (was, now) = (&was.curve, &edge.curve);
        let turned = (was.end() - was.start() - (now.end() - now.start())).hypot();
        let is_kept = turned <= REDRAWN && (was.length() - now.length()).abs() <= REDRAWN;
        is_kept.then(|| was.start() - now.start())
    });
    kept.map_or([0.0; 2], |shift| [shift.x, shift.y])
}

/// By how much a piece is too long or too wide.
pub(super) fn too_much(piece: &PieceFit, unit: Unit) -> String {
    let way = &piece.lengthwise;
    if way.too_long() > 0.0 {
        format!("is too long by {}", Length::from_mm(way.too_long()).show(unit))
    } else {
        format!("is too wide by {}", Length::from_mm(way.too_wide()).show(unit))
    }
}

/// The middle of the lower end of a piece, mm.
fn foot(piece: &Piece, drawn: Option<&PieceDrawing>) -> [f64; 2] {
    let bounds = drawn.map_or_else(|| piece.bounds(), |drawn| drawn.bounds);
    [bounds.center().x, bounds.y1]
}

fn fit_word(piece: &PieceFit, unit: Unit) -> String {
    match (piece.lengthwise.fits(), piece.fits()) {
        (true, _) => "fits".to_owned(),
        (false, true) => "fits crosswise".to_owned(),
        (false, false) => too_much(piece, unit).replacen("is ", "", 1),
    }
}

fn fit_line(piece: &PieceFit, unit: Unit) -> Line {
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let gives =
        piece.lengthwise.gives.map_or_else(String::new, |gives| format!(" of the cloth's {}", show(gives)));
    let cut = format!("{} is cut {} wide{gives}", piece.piece, show(piece.lengthwise.width));
    match (piece.lengthwise.fits(), piece.fits()) {
        (true, _) => Line::new(true, format!("{cut}: it fits.")),
        (false, true) => {
            Line::new(true, format!("{cut}: it fits crosswise, {} wide.", show(piece.crosswise.width)))
        }
        (false, false) => Line::new(false, format!("{cut}: it {}.", too_much(piece, unit))),
    }
}
