//! Where the pieces lie on the cloth.

use retrue::cloth::layout::{BodySide, Laid, LayTask, Verdict};
use retrue::units::Unit;
use serde::Serialize;

use super::{VerdictReport, rounded};
use crate::cli::options::JudgedPattern;

/// A layout, or why there is none.
#[derive(Clone, Debug, Serialize)]
pub struct LayReport {
    /// The file of the pattern.
    pub file: String,
    /// The file of the layout, if it was written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub written: Option<String>,
    /// Whether it is true.
    #[serde(flatten)]
    pub truth: VerdictReport,
    /// Whether the pieces lie on the cloth.
    pub verdict: LayVerdict,
    /// Why it is impossible, or how far the closest layout is off.
    pub reasons: Vec<String>,
    /// What is laid on.
    pub grounds: Vec<GroundReport>,
    /// Where each copy lies.
    pub copies: Vec<CopyReport>,
    /// The seams whose stripes were asked to meet.
    pub matches: Vec<MatchReport>,
    /// The pieces whose cloth is not at hand.
    pub without_cloth: Vec<String>,
    /// Passes of the search.
    pub iterations: u64,
}

/// Whether the pieces lie on the cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LayVerdict {
    /// They do.
    Fits,
    /// No layout was found; there may be one.
    NotFound,
    /// There is none.
    Impossible,
}

/// For which half of the body a copy is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum HandReport {
    /// As drawn.
    Right,
    /// Mirrored.
    Left,
    /// Both, of two layers.
    Pair,
    /// It has no partner.
    Only,
}

/// A length or panel of cloth.
#[derive(Clone, Debug, Serialize)]
pub struct GroundReport {
    /// The cloth, and which length or panel of it.
    pub name: String,
    /// Across.
    pub width: f64,
    /// Along.
    pub length: f64,
    /// The length used.
    pub used: f64,
    /// The rectangle left over at the end, across and along.
    pub leftover: Option<[f64; 2]>,
}

/// A copy on the cloth.
#[derive(Clone, Debug, Serialize)]
pub struct CopyReport {
    /// The piece.
    pub piece: String,
    /// For which half of the body it is.
    pub hand: HandReport,
    /// On which of the grounds, from 0.
    pub ground: usize,
    /// From the pattern sheet to the cloth: six numbers of a rigid map, x across from the left selvedge, y along.
    pub motion: [f64; 6],
}

/// A seam whose stripes were asked to meet.
#[derive(Clone, Debug, Serialize)]
pub struct MatchReport {
    /// The seam.
    pub seam: String,
    /// Whether they do, far enough to be worth it.
    pub meet: bool,
    /// How far along the seam they meet.
    pub meets: f64,
    /// How long it is.
    pub length: f64,
    /// By how much they part at most.
    pub parts_by: f64,
    /// In words.
    pub sentence: String,
}

impl LayReport {
    /// The report of a search.
    pub fn of(
        read: &JudgedPattern,
        task: &LayTask<'_>,
        laid: &Laid,
        written: Option<String>,
        unit: Unit,
    ) -> LayReport {
        let (verdict, reasons) = match &laid.verdict {
            Verdict::Fits => (LayVerdict::Fits, Vec::new()),
            Verdict::NotFound { broken, by } => (
                LayVerdict::NotFound,
                vec![format!("the closest breaks {broken} rules, by up to {by:.2} mm")],
            ),
            Verdict::Impossible(reasons) => {
                (LayVerdict::Impossible, reasons.iter().map(|reason| reason.sentence(unit)).collect())
            }
        };
        LayReport {
            file: read.name.clone(),
            written,
            truth: VerdictReport::of(&read.verdict, unit),
            verdict,
            reasons,
            grounds: grounds(task, laid),
            copies: copies(task, laid),
            matches: matches(task, unit),
            without_cloth: task.without_cloth.iter().map(|(piece, _)| piece.to_string()).collect(),
            iterations: laid.iterations,
        }
    }
}

fn grounds(task: &LayTask<'_>, laid: &Laid) -> Vec<GroundReport> {
    let grounds = task.grounds.iter().zip(&laid.uses);
    grounds
        .map(|(ground, usage)| {
            let (width, length) = ground.size();
            GroundReport {
                name: ground.name(),
                width: rounded(width),
                length: rounded(length),
                used: rounded(usage.used),
                leftover: usage.leftover.map(|(across, along)| [rounded(across), rounded(along)]),
            }
        })
        .collect()
}

fn copies(task: &LayTask<'_>, laid: &Laid) -> Vec<CopyReport> {
    let copy = |lying: &retrue::cloth::layout::LaidCopy| {
        let copy = &task.copies[lying.copy];
        let hand = match copy.hand {
            BodySide::Only => HandReport::Only,
            BodySide::Right => HandReport::Right,
            BodySide::Left => HandReport::Left,
            BodySide::Pair => HandReport::Pair,
        };
        let motion = lying.motion.to_array().map(rounded);
        CopyReport { piece: copy.piece.to_string(), hand, ground: lying.ground, motion }
    };
    laid.lying.iter().map(copy).collect()
}

fn matches(task: &LayTask<'_>, unit: Unit) -> Vec<MatchReport> {
    let contradicted = |seam: &str| task.contradicted.iter().any(|(other, _)| other == seam);
    let found = task.seams.iter().map(|seam| MatchReport {
        seam: seam.seam.clone(),
        meet: seam.is_worth_it() && !contradicted(&seam.seam),
        meets: rounded(seam.meets),
        length: rounded(seam.length),
        parts_by: rounded(seam.parts_by),
        sentence: seam.sentence(unit),
    });
    found.collect()
}
