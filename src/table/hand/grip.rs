//! What a hand can hold, and what it may do with it.

use serde::{Deserialize, Serialize};

use crate::curve::{Curve, Point, right_of};
use crate::pattern::{DartName, EdgeRef, Finish, Pattern, Piece, PieceName};
use crate::table::hand::seam_runs::{SeamRuns, usual_first};

/// What a hand holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grip {
    /// An edge.
    Edge(EdgeRef),
    /// A tip of a dart.
    Tip(PieceName, DartName),
    /// The mouth of a dart.
    Mouth(PieceName, DartName),
    /// An end of the grainline.
    Grain(PieceName),
    /// A piece.
    Piece(PieceName),
}

/// What a hand does with what it holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Handling {
    /// Moves a seam, which then runs straight along the grain of the piece that gives.
    Straight,
    /// Moves a seam, which runs as it ran.
    AsItRan,
    /// Joins what is sewn there into one piece.
    Joined,
    /// Outward adds cloth, inward cuts a band.
    Border,
    /// Cuts a band.
    Band,
    /// Draws a facing.
    Facing,
    /// Lays a strip over a seam.
    Strip,
    /// Leaves a stretch of a seam open.
    Opening,
    /// Opens a fold out to the whole piece.
    OpenedOut,
    /// Makes a fold a centre seam.
    CentreSeam,
    /// Runs a dart out into a seam.
    IntoSeam,
    /// Turns a dart to another place.
    Turned,
    /// Turns the grain.
    Grain,
    /// Lays a piece onto the one that it is sewn to, or onto other cloth.
    LaidOn,
    /// Draws a line across a piece, and cuts there.
    Cut,
}

impl Handling {
    /// What the hand does, after `the hand`.
    fn says(self) -> &'static str {
        match self {
            Handling::Straight => "moves the seam, straight on the grain",
            Handling::AsItRan => "moves the seam, as it ran",
            Handling::Joined => "pushes both sides together into one piece",
            Handling::Border => "adds cloth outward, cuts a band inward",
            Handling::Band => "cuts a band along it",
            Handling::Facing => "draws a facing along it",
            Handling::Strip => "lays a strip over it",
            Handling::Opening => "leaves a stretch of it open",
            Handling::OpenedOut => "opens the fold out",
            Handling::CentreSeam => "cuts the fold into a centre seam",
            Handling::IntoSeam => "runs the dart into a seam",
            Handling::Turned => "turns the dart",
            Handling::Grain => "turns the grain",
            Handling::LaidOn => "pushes it to what it is sewn to, or onto other cloth",
            Handling::Cut => "draws a line across it, and cuts there",
        }
    }
}

/// What a hand may do, as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HandlingSeen {
    /// What the hand does.
    pub way: Handling,
    /// In words, after `the hand`.
    pub says: &'static str,
    /// The line that it begins with, for whoever draws without a pointer: both ends, mm on the sheet.
    pub line: Option<[[f64; 2]; 2]>,
}

/// What a hand may do with what it holds; the first is what it does where nothing else is said. Empty for what is not there.
pub fn ways(grip: &Grip, pattern: &Pattern) -> Vec<HandlingSeen> {
    let seen = |way: Handling| HandlingSeen { way, says: way.says(), line: None };
    let ways: &[Handling] = match grip {
        Grip::Edge(edge) => match pattern.find_edge(edge).map(|edge| edge.finish) {
            None => &[],
            Some(Finish::Fold) => &[Handling::OpenedOut, Handling::CentreSeam],
            Some(_) if pattern.seams_of(edge).next().is_none() => &[Handling::Border, Handling::Facing],
            Some(_) => {
                let moves = usual_first(pattern, edge).map(|runs| match runs {
                    SeamRuns::Straight => Handling::Straight,
                    SeamRuns::AsItRan => Handling::AsItRan,
                });
                let others =
                    [Handling::Joined, Handling::Band, Handling::Facing, Handling::Strip, Handling::Opening];
                return moves.into_iter().chain(others).map(seen).collect();
            }
        },
        Grip::Tip(..) => &[Handling::IntoSeam],
        Grip::Mouth(..) => &[Handling::Turned],
        Grip::Grain(_) => &[Handling::Grain],
        Grip::Piece(piece) => {
            let across = pattern.find(piece).and_then(across);
            let cut =
                HandlingSeen { line: across.map(|line| line.map(|at| [at.x, at.y])), ..seen(Handling::Cut) };
            return vec![seen(Handling::LaidOn), cut];
        }
    };
    ways.iter().copied().map(seen).collect()
}

/// A line across the middle of a piece, square to its grain, from edge to edge.
fn across(piece: &Piece) -> Option<[Point; 2]> {
    let (middle, way) = (piece.bounds().center(), right_of(piece.grain_or_down()));
    let far = way * piece.diagonal();
    let line = Curve::line(middle - far, middle + far).ok()?;
    let met = piece.outline().crossings_with(&line);
    Some([met.first()?.point, met.last()?.point])
}
