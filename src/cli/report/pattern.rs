//! A pattern as it is reported.

use retrue::pattern::{
    Arrows, Dart, EdgeId, EdgeRef, Finish, GirthUse, Level, Notch, NotchCount, Pattern, Piece, PieceName,
    Refusal, Run, Seam, Selvedge, Side, Size, Twins, Walk,
};
use retrue::truing;
use serde::Serialize;

use crate::cli::options::NamedPattern;
use crate::cli::report::{SCHEMA, json, mm, number};

/// A pattern: its pieces, seams, girths, ledger and steps.
#[derive(Clone, Debug, Serialize)]
pub struct PatternReport {
    /// Version of this form.
    pub schema: u32,
    /// The file.
    pub file: String,
    /// Its pieces.
    pub pieces: Vec<PieceReport>,
    /// Its seams, walked.
    pub seams: Vec<SeamReport>,
    /// Girth of the garment at each level.
    pub girths: Vec<LevelReport>,
    /// What it measured when it was first read, and now; only once something was done to it.
    pub ledger: Option<LedgerReport>,
    /// The steps done so far, as they stand in a recipe.
    pub steps: Vec<serde_json::Value>,
}

/// A piece.
#[derive(Clone, Debug, Serialize)]
pub struct PieceReport {
    /// Its name.
    pub name: String,
    /// How many are cut.
    pub copies: u32,
    /// `mirrored`, or `same`.
    pub twins: &'static str,
    /// Of which cloth.
    pub cloth: String,
    /// Size of the seamline, as drawn.
    pub size: SizeReport,
    /// Area net of darts, as drawn.
    pub net_area: f64,
    /// `both`, `start`, `end`, or nothing where no grainline is drawn.
    pub grain: Option<&'static str>,
    /// The edges, clockwise.
    pub edges: Vec<EdgeReport>,
    /// The darts.
    pub darts: Vec<DartReport>,
    /// The notches.
    pub notches: Vec<NotchReport>,
    /// The levels, as wide as they are drawn.
    pub levels: Vec<DrawnLevelReport>,
    /// The named points.
    pub points: Vec<String>,
    /// The style lines.
    pub style_lines: Vec<String>,
}

/// A size by the grain.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct SizeReport {
    /// Square to the grain.
    pub across: f64,
    /// Along the grain.
    pub along: f64,
}

/// An edge.
#[derive(Clone, Debug, Serialize)]
pub struct EdgeReport {
    /// Its name within the piece.
    pub name: String,
    /// The length that is sewn: mouths of darts left out.
    pub sewn_length: f64,
    /// `seam`, `hem`, `fold` or `free`.
    pub finish: &'static str,
    /// The allowance that is cut.
    pub allowance: f64,
    /// Whether it lies on the selvedge.
    pub selvedge: bool,
    /// What it is sewn to, one text for each layer.
    pub sewn_to: Vec<String>,
}

/// A dart.
#[derive(Clone, Debug, Serialize)]
pub struct DartReport {
    /// Its name within the piece.
    pub name: String,
    /// The edge that it opens on; none for a double dart.
    pub edge: Option<String>,
    /// Between its mouth ends, or across a double dart at its widest.
    pub width: f64,
    /// The angle at the tip; none for a double dart.
    pub angle: Option<f64>,
    /// The lengths of the two legs.
    pub legs: (f64, f64),
}

/// A notch.
#[derive(Clone, Debug, Serialize)]
pub struct NotchReport {
    /// Its name within the piece.
    pub name: String,
    /// The edge it stands on.
    pub edge: String,
    /// Sewn length from the edge's first corner, clockwise.
    pub at: f64,
    /// How many ticks.
    pub ticks: u32,
}

/// A level as it is drawn on a piece.
#[derive(Clone, Debug, Serialize)]
pub struct DrawnLevelReport {
    /// Its name.
    pub name: String,
    /// Its drawn length.
    pub length: f64,
    /// Whether it counts toward the girth.
    pub counts: bool,
}

/// A girth at a level.
#[derive(Clone, Debug, Serialize)]
pub struct LevelReport {
    /// The level.
    pub level: String,
    /// Around the whole garment.
    pub girth: f64,
}

/// A seam, walked.
#[derive(Clone, Debug, Serialize)]
pub struct SeamReport {
    /// The edges of one side, in sewing order.
    pub first: Vec<String>,
    /// The edges of the other side.
    pub second: Vec<String>,
    /// The sewn length of the first side.
    pub first_length: f64,
    /// The sewn length of the second side.
    pub second_length: f64,
    /// By how much the first is meant to be longer; negative where the second is.
    pub ease: f64,
}

/// What the pattern measured when it was first read, and now.
#[derive(Clone, Debug, Serialize)]
pub struct LedgerReport {
    /// Girths.
    pub girths: Vec<ThenAndNow>,
    /// Area of all pieces, net of darts, all copies counted.
    pub net_area: ThenAndNow,
    /// Every original edge: its sewn length, and where it is now.
    pub edges: Vec<OriginalEdge>,
    /// The seams that the steps made, as pairs of edges.
    pub new_seams: Vec<(String, String)>,
}

/// Something measured when the pattern was first read, and now.
#[derive(Clone, Debug, Serialize)]
pub struct ThenAndNow {
    /// What was measured.
    pub of: String,
    /// When the pattern was first read.
    pub then: f64,
    /// Now; nothing where it is gone.
    pub now: Option<f64>,
}

/// An edge of the pattern as it was first read.
#[derive(Clone, Debug, Serialize)]
pub struct OriginalEdge {
    /// Its name then.
    pub edge: String,
    /// Its sewn length then.
    pub then: f64,
    /// The edges that it lies on now, with the sewn length on each.
    pub now: Vec<(String, f64)>,
}

impl PatternReport {
    /// A pattern as it is, or one piece of it with its seams.
    ///
    /// # Errors
    ///
    /// Refuses a piece that the pattern does not have.
    pub fn of(named: &NamedPattern, only: Option<&PieceName>) -> Result<PatternReport, Refusal> {
        let pattern = &named.pattern;
        let shown: Vec<&Piece> = match only {
            Some(name) => vec![pattern.piece(name)?],
            None => pattern.pieces().collect(),
        };
        let seams = pattern
            .seams()
            .iter()
            .filter(|seam| only.is_none_or(|piece| holds(seam, piece)))
            .map(|seam| SeamReport::of(pattern, seam))
            .collect::<Result<_, _>>()?;
        Ok(PatternReport {
            schema: SCHEMA,
            file: named.name.clone(),
            pieces: shown.into_iter().map(|piece| PieceReport::of(pattern, piece)).collect(),
            seams,
            girths: girths(pattern),
            ledger: LedgerReport::of(pattern),
            steps: pattern.record.steps.iter().map(|step| step.step.clone()).collect(),
        })
    }

    /// The report as JSON.
    pub fn to_json(&self) -> String {
        json(self)
    }
}

fn holds(seam: &Seam, piece: &PieceName) -> bool {
    Side::BOTH.iter().any(|side| seam.side(*side).edges().iter().any(|run| run.edge.piece == *piece))
}

/// The girths of a pattern as they are reported.
pub(super) fn girths(pattern: &Pattern) -> Vec<LevelReport> {
    truing::girths(pattern)
        .into_iter()
        .map(|girth| LevelReport { level: girth.level.to_string(), girth: mm(girth.around) })
        .collect()
}

impl PieceReport {
    /// A piece of a pattern.
    pub fn of(pattern: &Pattern, piece: &Piece) -> PieceReport {
        PieceReport {
            name: piece.name().to_string(),
            copies: piece.cut.copies,
            twins: match piece.cut.twins {
                Twins::Mirrored => "mirrored",
                Twins::Same => "same",
            },
            cloth: piece.cloth.to_string(),
            size: piece.size().into(),
            net_area: number(piece.net_area()),
            grain: piece.grainline.as_ref().map(|grain| match grain.arrows {
                Arrows::Both => "both",
                Arrows::Start => "start",
                Arrows::End => "end",
            }),
            edges: piece.edge_ids().map(|id| EdgeReport::of(pattern, piece, id)).collect(),
            darts: piece.darts.iter().map(DartReport::of).collect(),
            notches: piece.notches.iter().map(|notch| NotchReport::of(piece, notch)).collect(),
            levels: piece.levels.iter().map(DrawnLevelReport::of).collect(),
            points: piece.points.iter().map(|point| point.name.to_string()).collect(),
            style_lines: piece.style_lines.iter().map(|line| line.name.to_string()).collect(),
        }
    }
}

impl From<Size> for SizeReport {
    fn from(size: Size) -> SizeReport {
        SizeReport { across: mm(size.across), along: mm(size.along) }
    }
}

impl EdgeReport {
    fn of(pattern: &Pattern, piece: &Piece, id: EdgeId) -> EdgeReport {
        let edge = piece.edge(id);
        let reference = EdgeRef::new(piece.name().clone(), edge.name.clone());
        EdgeReport {
            name: edge.name.to_string(),
            sewn_length: number(piece.sewn_length(id)),
            finish: match edge.finish {
                Finish::Seam => "seam",
                Finish::Hem => "hem",
                Finish::Fold => "fold",
                Finish::Free => "free",
            },
            allowance: mm(edge.cut_allowance()),
            selvedge: edge.selvedge == Selvedge::Yes,
            sewn_to: sewn_to(pattern, &reference),
        }
    }
}

/// What an edge is sewn to, layer by layer.
fn sewn_to(pattern: &Pattern, edge: &EdgeRef) -> Vec<String> {
    pattern
        .seams_of(edge)
        .filter_map(|id| {
            let seam = pattern.seam(id);
            seam.side_of(edge).map(|side| seam.side(side.other()).names())
        })
        .collect()
}

impl DartReport {
    fn of(dart: &Dart) -> DartReport {
        let (first, second) = dart.legs();
        DartReport {
            name: dart.name.to_string(),
            edge: dart.mouth().map(|mouth| mouth.edge.to_string()),
            width: mm(dart.width()),
            angle: dart.angle().map(number),
            legs: (number(first.length()), number(second.length())),
        }
    }
}

impl NotchReport {
    fn of(piece: &Piece, notch: &Notch) -> NotchReport {
        NotchReport {
            name: notch.name.to_string(),
            edge: notch.edge.to_string(),
            at: number(piece.find_edge(&notch.edge).map_or(notch.at, |edge| piece.to_sewn(edge, notch.at))),
            ticks: match notch.count {
                NotchCount::Single => 1,
                NotchCount::Double => 2,
            },
        }
    }
}

impl DrawnLevelReport {
    fn of(level: &Level) -> DrawnLevelReport {
        DrawnLevelReport {
            name: level.name.to_string(),
            length: number(level.stretches.iter().map(|(a, b)| a.distance(*b)).sum()),
            counts: level.girth == GirthUse::Counts,
        }
    }
}

impl SeamReport {
    fn of(pattern: &Pattern, seam: &Seam) -> Result<SeamReport, Refusal> {
        let names = |run: &Run| run.edges().iter().map(|run| run.edge.to_string()).collect();
        Ok(SeamReport {
            first: names(&seam.first),
            second: names(&seam.second),
            first_length: number(Walk::of(pattern, &seam.first)?.length()),
            second_length: number(Walk::of(pattern, &seam.second)?.length()),
            ease: mm(seam.ease),
        })
    }
}

impl LedgerReport {
    fn of(pattern: &Pattern) -> Option<LedgerReport> {
        let then = pattern.record.ledger.as_ref()?;
        let now = truing::ledger(pattern);
        let girth_now = |level: &_| now.girths.iter().find(|(other, _)| other == level).map(|(_, mm)| *mm);
        let girths = then.girths.iter().map(|(level, girth)| ThenAndNow {
            of: level.to_string(),
            then: number(*girth),
            now: girth_now(level).map(number),
        });
        let edges = then.edges.iter().map(|(edge, length)| OriginalEdge {
            edge: edge.to_string(),
            then: number(*length),
            now: whereabouts(pattern, edge),
        });
        let new_edges: Vec<&EdgeRef> = pattern.record.new_edges().collect();
        Some(LedgerReport {
            girths: girths.collect(),
            net_area: ThenAndNow {
                of: "net area".to_owned(),
                then: number(then.net_area),
                now: Some(number(now.net_area)),
            },
            edges: edges.collect(),
            new_seams: new_edges
                .chunks_exact(2)
                .map(|pair| (pair[0].to_string(), pair[1].to_string()))
                .collect(),
        })
    }
}

/// The edges that an original edge lies on now, with the sewn length on each.
fn whereabouts(pattern: &Pattern, original: &EdgeRef) -> Vec<(String, f64)> {
    let mut found = Vec::new();
    for piece in pattern.pieces() {
        for edge in piece.edges() {
            let of_it = edge.origins.iter().filter(|origin| origin.edge == *original);
            let length: f64 = of_it.map(|origin| (origin.to - origin.from).abs()).sum();
            if length > 0.0 {
                found.push((EdgeRef::new(piece.name().clone(), edge.name.clone()).to_string(), number(length)));
            }
        }
    }
    found
}
