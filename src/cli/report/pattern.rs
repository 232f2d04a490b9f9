//! A pattern as `show` reports it.

use std::collections::BTreeMap;

use retrue::allowance::SewingOrder;
use retrue::pattern::{
    Dart, DartShape, EdgeId, EdgeRef, Finish, MeasureName, Opening, Pattern, Piece, PieceName, Refusal, Seam,
    Selvedge, Side, Twins, Walk,
};
use retrue::truing::{self, Account, Girth};
use retrue::units::Length;
use serde::Serialize;

use crate::cli::advice::{as_argument, on_command_line};

/// A pattern.
#[derive(Clone, Debug, Serialize)]
pub struct ShowReport {
    /// What the garment is called.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// Its size.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size: Option<String>,
    /// The body measures that it was drafted for.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub measures: BTreeMap<String, f64>,
    /// The pieces.
    pub pieces: Vec<PieceReport>,
    /// The seams.
    pub seams: Vec<SeamReport>,
    /// Girth of the whole garment by level.
    pub girths: Vec<Girth>,
    /// The steps done so far.
    pub steps: Vec<StepReport>,
    /// What was measured before the first step, against now.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ledger: Option<Account>,
}

/// A piece.
#[derive(Clone, Debug, Serialize)]
pub struct PieceReport {
    /// The name.
    pub name: String,
    /// How many copies are cut.
    pub copies: u32,
    /// Whether half of the copies are mirrored.
    pub mirrored: bool,
    /// Whether it is half of a piece, to be opened at its fold.
    pub half: bool,
    /// The cloth.
    pub cloth: String,
    /// What it was made from, where it follows other pieces: `copy-piece of front`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub derived: Option<String>,
    /// Width of the seamline as it lies on the sheet.
    pub width: f64,
    /// Height of the seamline as it lies on the sheet.
    pub height: f64,
    /// Width as it is cut: square to the grain, allowances included, a half piece opened out. None where the piece cannot
    /// be cut.
    pub cut_width: Option<f64>,
    /// Why the piece cannot be cut.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uncut: Option<String>,
    /// Area with its darts folded out.
    pub net_area: f64,
    /// The edges, clockwise.
    pub edges: Vec<EdgeReport>,
    /// The darts.
    pub darts: Vec<DartReport>,
    /// The levels that cross it.
    pub levels: Vec<LevelReport>,
    /// The named points.
    pub points: Vec<String>,
    /// The style lines.
    pub style_lines: Vec<String>,
}

/// An edge.
#[derive(Clone, Debug, Serialize)]
pub struct EdgeReport {
    /// The name within the piece.
    pub name: String,
    /// Length of its seamline.
    pub length: f64,
    /// What is sewn of it: its length less the mouths of darts.
    pub sewn_length: f64,
    /// How it is finished.
    pub finish: Finish,
    /// What is added outside the seamline.
    pub allowance: f64,
    /// Whether it lies on the selvedge.
    pub selvedge: bool,
    /// For what its seam is left open along it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub open: Option<Opening>,
    /// How far inside it the stitching runs where it is sewn on top.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lap: Option<f64>,
    /// What it is sewn to, one run of edges for each layer.
    pub sewn_to: Vec<String>,
    /// How many notches stand on it.
    pub notches: usize,
}

/// A dart.
#[derive(Clone, Debug, Serialize)]
pub struct DartReport {
    /// The name within the piece.
    pub name: String,
    /// Whether it is a dart, or a pleat that is folded only.
    pub kind: String,
    /// The edge on which it opens; none of a double dart.
    pub edge: Option<String>,
    /// Its width along the edge.
    pub mouth: Option<f64>,
    /// The angle at its tip.
    pub angle: Option<f64>,
    /// The lengths of its legs, or of the sides of a double dart.
    pub legs: [f64; 2],
}

/// A level on a piece.
#[derive(Clone, Debug, Serialize)]
pub struct LevelReport {
    /// The name.
    pub name: String,
    /// Length of the drawn line.
    pub drawn: f64,
}

/// A seam.
#[derive(Clone, Debug, Serialize)]
pub struct SeamReport {
    /// The edges of its first side, in sewing order.
    pub first: String,
    /// The edges of its second side.
    pub second: String,
    /// The pieces it joins.
    #[serde(skip)]
    pieces: Vec<PieceName>,
    /// Sewn length of the first side.
    pub first_length: f64,
    /// Sewn length of the second side.
    pub second_length: f64,
    /// By how much the first side is meant to be longer.
    pub ease: f64,
}

/// A step that was done.
#[derive(Clone, Debug, Serialize)]
pub struct StepReport {
    /// The operation.
    #[serde(rename = "do")]
    pub operation: String,
    /// Its fields.
    pub fields: BTreeMap<String, String>,
}

impl ShowReport {
    /// The whole pattern.
    ///
    /// # Errors
    ///
    /// A seam names an edge that is not there.
    pub fn of(pattern: &Pattern) -> Result<ShowReport, Refusal> {
        let order = SewingOrder::of(pattern);
        let measure = |(name, length): &(MeasureName, Length)| (name.to_string(), length.mm());
        Ok(ShowReport {
            title: pattern.about.title.clone(),
            size: pattern.about.size.clone(),
            measures: pattern.about.measures.0.iter().map(measure).collect(),
            pieces: pattern.pieces().map(|piece| PieceReport::of(&order, piece)).collect(),
            seams: pattern
                .seams()
                .iter()
                .map(|seam| SeamReport::of(pattern, seam))
                .collect::<Result<_, _>>()?,
            girths: truing::girths(pattern),
            steps: pattern.record.steps.iter().map(|step| StepReport::of(&step.step)).collect(),
            ledger: truing::account(pattern),
        })
    }

    /// Only one piece, with the seams that join it.
    ///
    /// # Errors
    ///
    /// There is no such piece.
    pub fn of_piece(pattern: &Pattern, name: &PieceName) -> Result<ShowReport, Refusal> {
        pattern.piece(name)?;
        let mut report = ShowReport::of(pattern)?;
        report.pieces.retain(|piece| piece.name == name.as_str());
        report.seams.retain(|seam| seam.pieces.contains(name));
        report.girths.clear();
        report.steps.clear();
        report.ledger = None;
        Ok(report)
    }
}

/// Why a piece cannot be cut, and the way out.
fn uncut(refusal: &Refusal) -> String {
    format!("{}; {}", refusal.what, on_command_line(&refusal.way_out))
}

impl PieceReport {
    fn of(order: &SewingOrder<'_>, piece: &Piece) -> PieceReport {
        let (bounds, cut) = (piece.bounds(), order.as_cut(piece));
        PieceReport {
            name: piece.name().to_string(),
            copies: piece.cut.copies,
            mirrored: piece.cut.twins == Twins::Mirrored,
            half: piece.fold().is_some(),
            cloth: piece.cloth.to_string(),
            derived: piece.derived.as_ref().map(ToString::to_string),
            width: bounds.width(),
            height: bounds.height(),
            cut_width: cut.as_ref().ok().map(|cut| cut.width()),
            uncut: cut.err().map(|error| uncut(&error.into())),
            net_area: piece.net_area(),
            edges: piece.edge_ids().map(|id| EdgeReport::of(order.pattern(), piece, id)).collect(),
            darts: piece.darts.iter().map(DartReport::of).collect(),
            levels: piece
                .levels
                .iter()
                .map(|level| LevelReport {
                    name: level.name.to_string(),
                    drawn: level.stretches.iter().map(|(a, b)| a.distance(*b)).sum(),
                })
                .collect(),
            points: piece.points.iter().map(|point| point.name.to_string()).collect(),
            style_lines: piece.style_lines.iter().map(|line| line.name.to_string()).collect(),
        }
    }
}

impl EdgeReport {
    fn of(pattern: &Pattern, piece: &Piece, id: EdgeId) -> EdgeReport {
        let edge = piece.edge(id);
        let name = EdgeRef::new(piece.name().clone(), edge.name.clone());
        let partner = |seam: &Seam| {
            let side = seam.side_of(&name).unwrap_or(Side::First);
            seam.side(side.other()).names()
        };
        EdgeReport {
            name: edge.name.to_string(),
            length: edge.curve.length(),
            sewn_length: piece.sewn_length(id),
            finish: edge.finish,
            allowance: edge.cut_allowance().mm(),
            selvedge: edge.selvedge == Selvedge::Yes,
            open: edge.open,
            lap: edge.lap.map(Length::mm),
            sewn_to: pattern.seams_of(&name).map(|seam| partner(pattern.seam(seam))).collect(),
            notches: piece.notches.iter().filter(|notch| notch.edge == edge.name).count(),
        }
    }
}

impl DartReport {
    fn of(dart: &Dart) -> DartReport {
        let (first, second) = dart.legs();
        let mouth = match &dart.shape {
            DartShape::Open { mouth, .. } => Some(mouth),
            DartShape::Double { .. } => None,
        };
        DartReport {
            name: dart.name.to_string(),
            kind: dart.kind.word().to_owned(),
            edge: mouth.map(|mouth| mouth.edge.to_string()),
            mouth: mouth.map(|mouth| mouth.to - mouth.from),
            angle: dart.angle(),
            legs: [first.length(), second.length()],
        }
    }
}

impl SeamReport {
    fn of(pattern: &Pattern, seam: &Seam) -> Result<SeamReport, Refusal> {
        let runs = seam.edges();
        Ok(SeamReport {
            first: seam.first.names(),
            second: seam.second.names(),
            pieces: runs.map(|run| run.edge.piece.clone()).collect(),
            first_length: Walk::of(pattern, &seam.first)?.length(),
            second_length: Walk::of(pattern, &seam.second)?.length(),
            ease: seam.ease.mm(),
        })
    }
}

impl StepReport {
    /// A step as it stands in the record.
    pub fn of(step: &serde_json::Value) -> StepReport {
        let text =
            |value: &serde_json::Value| value.as_str().map_or_else(|| value.to_string(), str::to_owned);
        let mut fields: BTreeMap<String, String> =
            step.as_object().into_iter().flatten().map(|(name, value)| (name.clone(), text(value))).collect();
        StepReport { operation: fields.remove("do").unwrap_or_default(), fields }
    }

    /// The step as it is written on a command line, its pattern aside.
    pub fn line(&self) -> String {
        let fields = self.fields.iter().map(|(name, value)| format!(" --{name} {}", as_argument(value)));
        fields.fold(self.operation.clone(), |line, field| line + &field)
    }
}
