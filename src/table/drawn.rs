//! The pieces as they are drawn on the table.

use kurbo::BezPath;
use serde::Serialize;

use crate::allowance::SewingOrder;
use crate::canvas::{group_in_page, path_data};
use crate::cloth::fit::{Fit, PieceFit, lying_nowhere};
use crate::curve::{Point, Vec2};
use crate::pattern::{EdgeRef, Finish, Pattern, Piece};
use crate::show::piece::{PieceDrawing, PieceStyle, Shows};
use crate::show::report::capital;
use crate::table::cloth_drawn::MAGNIFIED;
use crate::table::hand::{Grip, HandlingSeen, ways};
use crate::table::said::Remark;
use crate::table::thing::Thing;
use crate::table::words::read;
use crate::tolerance::REDRAWN;
use crate::units::{Length, Unit};

/// A piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PieceSeen {
    /// Its name.
    pub name: String,
    /// What it is cut from.
    pub cloth: String,
    /// Its drawing, a group of an SVG picture in mm of the sheet.
    pub drawing: String,
    /// What is cut, as the data of an SVG path.
    pub paper: String,
    /// How it fits the cloth.
    pub fit: Option<Remark>,
    /// The same in a few words, to stand beside it; empty where no cloth is laid out.
    pub fit_word: String,
    /// The middle of its lower end, mm.
    pub foot: [f64; 2],
    /// How far it reaches across and down, the less first, mm.
    pub reach: [f64; 2],
    /// How far it is to be moved to lie where it lay before a change, mm.
    pub shift: [f64; 2],
    /// Its edges.
    pub edges: Vec<EdgeSeen>,
    /// Its levels, darts and style lines.
    pub marks: Vec<MarkSeen>,
    /// What a hand takes hold of by a point.
    pub grips: Vec<GripSeen>,
    /// What a hand may do with the piece itself.
    pub ways: Vec<HandlingSeen>,
}

/// What a hand takes hold of by a point: the tip or the mouth of a dart, an end of the grainline.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GripSeen {
    /// What the hand then holds.
    pub grip: Grip,
    /// What it is part of.
    pub thing: Thing,
    /// What it is, in words.
    pub called: String,
    /// Where it is, mm on the sheet.
    pub at: [f64; 2],
    /// What a hand may do with it.
    pub ways: Vec<HandlingSeen>,
}

/// A level, a dart or a style line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MarkSeen {
    /// What it is.
    pub thing: Thing,
    /// What it is, in words.
    pub called: String,
    /// Its lines, as the data of an SVG path.
    pub line: String,
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
    /// What a hand may do with it.
    pub ways: Vec<HandlingSeen>,
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
            cloth: piece.cloth.to_string(),
            drawing,
            paper,
            fit: match &drawn {
                Ok(_) if !piece.is_cut() => Some(Remark::plain(format!("{} is not cut.", piece.name()))),
                Ok(_) => fit(piece).map(|found| fit_line(found, unit)).or_else(|| {
                    let without =
                        found?.without_cloth.iter().find(|without| without.piece == *piece.name())?;
                    lying_nowhere(std::slice::from_ref(without))
                        .map(|nowhere| Remark::bad(format!("{}.", capital(&nowhere))))
                }),
                Err(error) => Some(Remark::bad(format!("{} cannot be cut: {error}.", piece.name()))),
            },
            fit_word: match piece.is_cut() {
                true => fit(piece).map_or_else(String::new, |found| read(&found.words(unit))),
                false => "not cut".to_owned(),
            },
            foot: foot(piece, drawn.as_ref().ok()),
            reach: reach(piece),
            shift: [0.0; 2],
            edges: piece.edge_ids().map(|id| edge_seen(pattern, piece, &piece.edge_ref(id))).collect(),
            marks: levels(piece).chain(style_lines(piece)).chain(darts(piece)).collect(),
            grips: grips(pattern, piece),
            ways: ways(&Grip::Piece(piece.name().clone()), pattern),
        }
    });
    seen.collect()
}

fn reach(piece: &Piece) -> [f64; 2] {
    let (width, height) = (piece.bounds().width(), piece.bounds().height());
    [width.min(height), width.max(height)]
}

fn levels(piece: &Piece) -> impl Iterator<Item = MarkSeen> {
    piece.levels.iter().map(|level| {
        let mut line = BezPath::new();
        for (from, to) in &level.stretches {
            line.move_to(*from);
            line.line_to(*to);
        }
        MarkSeen {
            thing: Thing::Level(piece.name().clone(), level.name.clone()),
            called: format!("level {} of {}", level.name, piece.name()),
            line: path_data(&line),
        }
    })
}

fn style_lines(piece: &Piece) -> impl Iterator<Item = MarkSeen> {
    piece.style_lines.iter().map(|style| MarkSeen {
        thing: Thing::StyleLine(piece.name().clone(), style.name.clone()),
        called: format!("{} of {}", style.name, piece.name()),
        line: path_data(&style.curve.to_path()),
    })
}

/// What of a piece a hand takes hold of by a point.
fn grips(pattern: &Pattern, piece: &Piece) -> Vec<GripSeen> {
    let name = piece.name();
    let seen = |grip: Grip, thing: Thing, called: String, at: Point| {
        let ways = ways(&grip, pattern);
        GripSeen { grip, thing, called, at: [at.x, at.y], ways }
    };
    let darts = piece.darts.iter().flat_map(|dart| {
        let thing = || Thing::Dart(name.clone(), dart.name.clone());
        let tips = dart.tips().into_iter().map(move |tip| {
            let called = format!("tip of {} of {name}", dart.name);
            (Grip::Tip(name.clone(), dart.name.clone()), thing(), called, tip)
        });
        let (first, second) = dart.legs();
        let mouth = dart.mouth().map(|_| {
            let called = format!("mouth of {} of {name}", dart.name);
            let middle = first.start().midpoint(second.start());
            (Grip::Mouth(name.clone(), dart.name.clone()), thing(), called, middle)
        });
        tips.chain(mouth)
    });
    let grain = piece.grainline.iter().map(|grain| {
        let called = format!("end of the grainline of {name}");
        (Grip::Grain(name.clone()), Thing::Piece(name.clone()), called, grain.end)
    });
    darts.chain(grain).map(|(grip, thing, called, at)| seen(grip, thing, called, at)).collect()
}

fn darts(piece: &Piece) -> impl Iterator<Item = MarkSeen> {
    piece.darts.iter().map(|dart| {
        let (first, second) = dart.legs();
        MarkSeen {
            thing: Thing::Dart(piece.name().clone(), dart.name.clone()),
            called: format!("{} of {}", dart.name, piece.name()),
            line: [first, second].map(|leg| path_data(&leg.to_path())).concat(),
        }
    })
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
        ways: ways(&Grip::Edge(edge.clone()), pattern),
    }
}

/// From where a piece lies on the sheet, clear of others, to where it lay in the one that it was made of: by an edge that it
/// kept, if there is one.
pub(super) fn shift_back(old: &Piece, new: &Piece) -> Option<Vec2> {
    new.edges().iter().find_map(|edge| {
        let was = old.edge(old.find_edge(&edge.name)?);
        let (was, now) = (&was.curve, &edge.curve);
        let turned = (was.end() - was.start() - (now.end() - now.start())).hypot();
        let is_kept = turned <= REDRAWN && (was.length() - now.length()).abs() <= REDRAWN;
        is_kept.then(|| was.start() - now.start())
    })
}

/// The middle of the lower end of a piece, mm.
fn foot(piece: &Piece, drawn: Option<&PieceDrawing>) -> [f64; 2] {
    let bounds = drawn.map_or_else(|| piece.bounds(), |drawn| drawn.bounds);
    [bounds.center().x, bounds.y1]
}

fn fit_line(piece: &PieceFit, unit: Unit) -> Remark {
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let gives =
        piece.lengthwise.gives.map_or_else(String::new, |gives| format!(" of the cloth's {}", show(gives)));
    let width = show(piece.lengthwise.width);
    let it = match (piece.fits, piece.is_within()) {
        (true, _) => format!("it {}", piece.words(unit)),
        (false, true) => piece.missing(unit),
        (false, false) => format!("it is {}", piece.words(unit)),
    };
    let said = format!("{} is cut {width} wide{gives}: {it}.", piece.piece);
    Remark { good: Some(piece.fits), ..Remark::plain(said) }
}
