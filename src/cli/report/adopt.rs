//! What was found in a foreign drawing, as data.

use retrue::adopt::{Found, FoundLine, FoundOutline, Letter, NoOutline, OutlineGap, ScaleCheck};
use retrue::curve::{Curve, Point};
use retrue::drawing::Note;
use retrue::drawing::pages::PutTogetherTold;
use serde::ser::Error;
use serde::{Serialize, Serializer};
use serde_json::value::to_raw_value;

use super::VerdictReport;

/// What was found in a drawing.
#[derive(Serialize)]
pub struct AdoptReport<'a> {
    pub file: &'a str,
    /// How its pages were put together, where it has several.
    #[serde(skip_serializing_if = "Option::is_none")]
    pages: Option<&'a PutTogetherTold>,
    pub scale: ScaleReport,
    size: Option<String>,
    /// The names of layers that are switched off in the file and not chosen.
    hidden_layers: Vec<&'a str>,
    pub styles: Vec<StyleReport>,
    /// The outlines, largest first.
    pub outlines: Vec<FoundOutlineReport<'a>>,
    /// Why there is none that may be a piece.
    no_outline: Option<NoOutline>,
    pub lines: Vec<FoundLineReport<'a>>,
    /// How many lines there are besides.
    pub unlisted: usize,
    /// Where outlines are open.
    gaps: Vec<GapReport>,
}

/// What was found in a drawing, and whether the pattern made of it is true.
#[derive(Serialize)]
pub struct AdoptedReport<'a> {
    #[serde(flatten)]
    pub found: AdoptReport<'a>,
    #[serde(flatten)]
    pub truth: VerdictReport,
}

/// How large a unit of the drawing is.
#[derive(Serialize)]
pub struct ScaleReport {
    /// Millimetres in a unit, across and down.
    #[serde(serialize_with = "exactly")]
    pub mm_per_unit: [f64; 2],
    pub source: &'static str,
    checks: Vec<ScaleCheckReport>,
}

/// A thing of known size.
#[derive(Serialize)]
struct ScaleCheckReport {
    letter: Letter,
    nominal: f64,
    across: Option<f64>,
    down: Option<f64>,
    off: bool,
}

/// A kind of line, and how many outlines and other lines are of it.
#[derive(Serialize)]
pub struct StyleReport {
    pub number: usize,
    pub look: String,
    pub outlines: usize,
    pub lines: usize,
}

/// An outline.
#[derive(Serialize)]
pub struct FoundOutlineReport<'a> {
    pub letter: &'a Letter,
    pub width: f64,
    pub height: f64,
    pub area: f64,
    pub style: usize,
    pub corners: usize,
    edges: Vec<FoundEdgeReport>,
    pub layer: &'a str,
    id: Option<&'a str>,
    /// The outline it lies in.
    pub inside: Option<&'a Letter>,
    /// How many lines it was joined from.
    pub joined: usize,
    /// How many straight lines were taken for flattened curves.
    pub flattened: usize,
    pub texts: Vec<&'a str>,
}

/// An edge of an outline between two corners.
#[derive(Serialize)]
struct FoundEdgeReport {
    number: usize,
    #[serde(flatten)]
    runs: RunsReport,
}

/// How a line runs.
#[derive(Serialize)]
pub struct RunsReport {
    pub length: f64,
    from: [f64; 2],
    to: [f64; 2],
}

/// A line that is no outline.
#[derive(Serialize)]
pub struct FoundLineReport<'a> {
    pub letter: &'a Letter,
    pub looks_like: &'static str,
    #[serde(flatten)]
    pub runs: RunsReport,
    /// The outline it lies in.
    pub inside: Option<&'a Letter>,
    pub style: usize,
    layer: &'a str,
    pub id: Option<&'a str>,
}

/// Two ends that do not meet.
#[derive(Serialize)]
struct GapReport {
    from: [f64; 2],
    to: [f64; 2],
    width: f64,
}

/// Numbers that are not rounded: a unit of the drawing may be as small as a millionth is.
fn exactly<S: Serializer>(numbers: &[f64; 2], serializer: S) -> Result<S::Ok, S::Error> {
    let exact: Result<Vec<_>, _> = numbers.iter().map(to_raw_value).collect();
    exact.map_err(S::Error::custom)?.serialize(serializer)
}

fn point(at: Point) -> [f64; 2] {
    [at.x, at.y]
}

impl RunsReport {
    fn of(curve: &Curve) -> RunsReport {
        RunsReport { length: curve.length(), from: point(curve.start()), to: point(curve.end()) }
    }
}

impl<'a> AdoptReport<'a> {
    /// The report of what was found in a file.
    pub fn of(file: &'a str, found: &'a Found) -> AdoptReport<'a> {
        let styles = found.styles.iter().map(|(id, _)| StyleReport {
            number: id.number(),
            look: found.styles.look(id),
            outlines: found.outlines.iter().filter(|outline| outline.style == id).count(),
            lines: found.lines.iter().filter(|line| line.style == id).count(),
        });
        let hidden = found.notes.iter().map(|note| match note {
            Note::HiddenLayers { names } => names.as_slice(),
            _ => &[],
        });
        let check = |check: &ScaleCheck| ScaleCheckReport {
            letter: check.letter.clone(),
            nominal: check.nominal.mm(),
            across: check.across,
            down: check.down,
            off: check.is_off(),
        };
        let gap =
            |gap: &OutlineGap| GapReport { from: point(gap.from), to: point(gap.to), width: gap.width() };
        AdoptReport {
            file,
            pages: found.pages.as_ref(),
            scale: ScaleReport {
                mm_per_unit: found.scale.mm_per_unit,
                source: found.scale.source.word(),
                checks: found.scale.checks.iter().map(check).collect(),
            },
            size: found.size.as_ref().map(ToString::to_string),
            hidden_layers: hidden.flatten().map(String::as_str).collect(),
            styles: styles.collect(),
            outlines: found.outlines.iter().map(|outline| FoundOutlineReport::of(found, outline)).collect(),
            no_outline: found.no_outline,
            lines: found.lines.iter().map(|line| FoundLineReport::of(found, line)).collect(),
            unlisted: found.unlisted,
            gaps: found.gaps.iter().map(gap).collect(),
        }
    }
}

impl<'a> FoundOutlineReport<'a> {
    fn of(found: &'a Found, outline: &'a FoundOutline) -> FoundOutlineReport<'a> {
        let bounds = outline.bounds();
        let edges = (1..).zip(&outline.edges);
        FoundOutlineReport {
            letter: &outline.letter,
            width: bounds.width(),
            height: bounds.height(),
            area: outline.ring.area(),
            style: outline.style.number(),
            corners: outline.corners(),
            edges: edges
                .map(|(number, edge)| FoundEdgeReport { number, runs: RunsReport::of(edge) })
                .collect(),
            layer: &outline.layer,
            id: outline.id.as_deref(),
            inside: outline.inside.map(|at| &found.outlines[at].letter),
            joined: outline.joined,
            flattened: outline.flattened,
            texts: outline.texts.iter().map(|at| found.texts[*at].text.as_str()).collect(),
        }
    }
}

impl<'a> FoundLineReport<'a> {
    fn of(found: &'a Found, line: &'a FoundLine) -> FoundLineReport<'a> {
        FoundLineReport {
            letter: &line.letter,
            looks_like: line.guess.word(),
            runs: RunsReport::of(&line.curve),
            inside: line.inside.map(|at| &found.outlines[at].letter),
            style: line.style.number(),
            layer: &line.layer,
            id: line.id.as_deref(),
        }
    }
}
