//! What was found in a foreign drawing, as data.

use retrue::adopt::{Found, FoundLine, FoundOutline, NoOutline, ScaleCheck};
use retrue::drawing::Note;
use retrue::drawing::pages::PutTogetherTold;
use retrue::units::rounded;
use serde::Serialize;

use super::VerdictReport;

/// What was found in a drawing.
#[derive(Clone, Debug, Serialize)]
pub struct AdoptReport {
    /// The drawing.
    pub file: String,
    /// How its pages were put together, where it has several.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pages: Option<PutTogetherTold>,
    /// How large a unit is.
    pub scale: ScaleReport,
    /// The size that was chosen.
    pub size: Option<String>,
    /// The names of layers that are switched off in the file and not chosen.
    pub hidden_layers: Vec<String>,
    /// The kinds of line.
    pub styles: Vec<StyleReport>,
    /// The outlines, largest first.
    pub outlines: Vec<FoundOutlineReport>,
    /// Why there is none that may be a piece.
    pub no_outline: Option<NoOutline>,
    /// The other lines.
    pub lines: Vec<FoundLineReport>,
    /// How many lines there are besides.
    pub unlisted: usize,
    /// Where outlines are open.
    pub gaps: Vec<GapReport>,
}

/// What was found in a drawing, and whether the pattern made of it is true.
#[derive(Clone, Debug, Serialize)]
pub struct AdoptedReport {
    /// What was found.
    #[serde(flatten)]
    pub found: AdoptReport,
    /// Whether the pattern is true.
    #[serde(flatten)]
    pub truth: VerdictReport,
}

/// How large a unit of the drawing is.
#[derive(Clone, Debug, Serialize)]
pub struct ScaleReport {
    /// Millimetres in a unit, across and down.
    pub mm_per_unit: [f64; 2],
    /// Where that is from.
    pub source: &'static str,
    /// What is of known size.
    pub checks: Vec<ScaleCheckReport>,
}

/// A thing of known size.
#[derive(Clone, Debug, Serialize)]
pub struct ScaleCheckReport {
    letter: String,
    nominal: f64,
    across: Option<f64>,
    down: Option<f64>,
    off: bool,
}

/// A kind of line.
#[derive(Clone, Debug, Serialize)]
pub struct StyleReport {
    /// Its number.
    pub number: usize,
    /// What it looks like.
    pub look: String,
    /// How many outlines it has.
    pub outlines: usize,
    /// How many other lines.
    pub lines: usize,
}

/// An outline.
#[derive(Clone, Debug, Serialize)]
pub struct FoundOutlineReport {
    /// How it is called.
    pub letter: String,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Area.
    pub area: f64,
    /// The number of its kind of line.
    pub style: usize,
    /// How many corners it has.
    pub corners: usize,
    /// The edges, number 1 first.
    pub edges: Vec<FoundEdgeReport>,
    /// Names of the groups around it.
    pub layer: String,
    /// The id of its element.
    pub id: Option<String>,
    /// The outline it lies in.
    pub inside: Option<String>,
    /// How many lines it was joined from.
    pub joined: usize,
    /// How many straight lines were taken for flattened curves.
    pub flattened: usize,
    /// Texts inside.
    pub texts: Vec<String>,
}

/// An edge of an outline between two corners.
#[derive(Clone, Debug, Serialize)]
pub struct FoundEdgeReport {
    number: usize,
    length: f64,
    from: [f64; 2],
    to: [f64; 2],
}

/// A line that is no outline.
#[derive(Clone, Debug, Serialize)]
pub struct FoundLineReport {
    /// How it is called.
    pub letter: String,
    /// What it looks like.
    pub looks_like: &'static str,
    /// Its length.
    pub length: f64,
    /// Where it begins.
    pub from: [f64; 2],
    /// Where it ends.
    pub to: [f64; 2],
    /// The outline it lies in.
    pub inside: Option<String>,
    /// The number of its kind of line.
    pub style: usize,
    /// Names of the groups around it.
    pub layer: String,
    /// The id of its element.
    pub id: Option<String>,
}

/// Two ends that do not meet.
#[derive(Clone, Debug, Serialize)]
pub struct GapReport {
    from: [f64; 2],
    to: [f64; 2],
    width: f64,
}

fn point(at: retrue::curve::Point) -> [f64; 2] {
    [rounded(at.x), rounded(at.y)]
}

fn hidden_layers(found: &Found) -> Vec<String> {
    let names = found.notes.iter().map(|note| match note {
        Note::HiddenLayers { names } => names.as_slice(),
        _ => &[],
    });
    names.flatten().cloned().collect()
}

impl AdoptReport {
    /// The report of what was found in a file.
    pub fn of(file: &str, found: &Found) -> AdoptReport {
        let styles = found.styles.iter().map(|(id, _)| StyleReport {
            number: id.number(),
            look: found.styles.look(id),
            outlines: found.outlines.iter().filter(|outline| outline.style == id).count(),
            lines: found.lines.iter().filter(|line| line.style == id).count(),
        });
        AdoptReport {
            file: file.to_owned(),
            scale: ScaleReport {
                mm_per_unit: found.scale.mm_per_unit,
                source: found.scale.source.word(),
                checks: found.scale.checks.iter().map(ScaleCheckReport::of).collect(),
            },
            size: found.size.as_ref().map(ToString::to_string),
            hidden_layers: hidden_layers(found),
            styles: styles.collect(),
            pages: found.pages.clone(),
            outlines: found.outlines.iter().map(|outline| FoundOutlineReport::of(found, outline)).collect(),
            no_outline: found.no_outline,
            lines: found.lines.iter().map(|line| FoundLineReport::of(found, line)).collect(),
            unlisted: found.unlisted,
            gaps: found
                .gaps
                .iter()
                .map(|gap| GapReport {
                    from: point(gap.from),
                    to: point(gap.to),
                    width: rounded(gap.width()),
                })
                .collect(),
        }
    }
}

impl ScaleCheckReport {
    fn of(check: &ScaleCheck) -> ScaleCheckReport {
        ScaleCheckReport {
            letter: check.letter.to_string(),
            nominal: check.nominal.mm(),
            across: check.across.map(rounded),
            down: check.down.map(rounded),
            off: check.is_off(),
        }
    }
}

impl FoundOutlineReport {
    fn of(found: &Found, outline: &FoundOutline) -> FoundOutlineReport {
        let bounds = outline.bounds();
        let edges = outline.edges.iter().enumerate().map(|(at, edge)| FoundEdgeReport {
            number: at + 1,
            length: rounded(edge.length()),
            from: point(edge.start()),
            to: point(edge.end()),
        });
        FoundOutlineReport {
            letter: outline.letter.to_string(),
            width: rounded(bounds.width()),
            height: rounded(bounds.height()),
            area: rounded(outline.ring.area()),
            style: outline.style.number(),
            corners: outline.corners(),
            edges: edges.collect(),
            layer: outline.layer.clone(),
            id: outline.id.clone(),
            inside: outline.inside.map(|at| found.outlines[at].letter.to_string()),
            joined: outline.joined,
            flattened: outline.flattened,
            texts: outline.texts.iter().map(|at| found.texts[*at].text.clone()).collect(),
        }
    }
}

impl FoundLineReport {
    fn of(found: &Found, line: &FoundLine) -> FoundLineReport {
        FoundLineReport {
            letter: line.letter.to_string(),
            looks_like: line.guess.word(),
            length: rounded(line.curve.length()),
            from: point(line.curve.start()),
            to: point(line.curve.end()),
            inside: line.inside.map(|at| found.outlines[at].letter.to_string()),
            style: line.style.number(),
            layer: line.layer.clone(),
            id: line.id.clone(),
        }
    }
}
