//! Where the pieces lie on the cloth.

use retrue::cloth::layout::{
    Alike, BodyHalf, BodySide, Laid, LaidLevel, LaidMatch, LaidVerdict, LayTask, LevelMet, Met, PairMet,
    SeamMet, SewingAlike, WishKept,
};
use retrue::units::{Unit, rounded};
use serde::Serialize;

use super::VerdictReport;
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
    /// The levels that were asked to lie at the same place of the pattern.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub levels: Vec<LevelReport>,
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
    pub hand: BodySide,
    /// On which of the grounds, from 0.
    pub ground: usize,
    /// From the pattern sheet to the cloth: six numbers of a rigid map, x across from the left selvedge, y along.
    pub motion: [f64; 6],
}

/// A seam whose stripes were asked to meet, as measured where the copies lie. Lengths run along the stitching line of the
/// seam's first side.
#[derive(Clone, Debug, Serialize)]
pub struct MatchReport {
    /// The seam.
    pub seam: String,
    /// Whether they do, far enough to be worth it, each time that the seam is sewn.
    pub meet: bool,
    /// What the search made of the wish.
    pub wish: WishReport,
    /// Of the sewing that meets least.
    #[serde(flatten)]
    pub least: Option<MetReport>,
    /// By how much they part at most, of all sewings.
    pub parts_by: f64,
    /// In words.
    pub sentence: String,
    /// Each two copies that are sewn to each other.
    pub pairs: Vec<PairReport>,
    /// Of stripes that run along the length, where the cloth has any: of the sewing that meets least.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub upright: Option<MetReport>,
    /// How alike the colours look, where they are told: each time that the seam is sewn.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub colours: Vec<ColourReport>,
}

/// How alike the colours on both sides of a seam look, compared every 5 mm: CIEDE2000, about 1 is just seen side by side.
#[derive(Clone, Debug, Serialize)]
pub struct ColourReport {
    /// On which half of the body; none of a level.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub half: Option<BodyHalf>,
    /// The mean difference.
    pub mean: f64,
    /// The worst.
    pub worst: f64,
    /// Where that is: along the seam, or above and below the level.
    pub worst_at: f64,
    /// How many places were compared.
    pub places: usize,
    /// At how many more the colours are not known.
    pub unknown: usize,
}

/// A level that was asked to lie at the same place of the pattern.
#[derive(Clone, Debug, Serialize)]
pub struct LevelReport {
    /// Which.
    pub level: String,
    /// On which cloth.
    pub cloth: String,
    /// How many copies carry it.
    pub copies: usize,
    /// Whether it does.
    pub meet: bool,
    /// How far stripes are off in the copy that is farthest off; none of colours, nor where no like mark is there.
    pub off_by: Option<f64>,
    /// Of colours.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub colours: Option<ColourReport>,
    /// In words.
    pub sentence: String,
}

/// What the search made of the wish that stripes meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WishReport {
    /// They were held together.
    Held,
    /// The two edges are too unlike.
    NotWorthIt,
    /// The seams named before forbid it.
    Contradicted,
    /// No layout was found that keeps it.
    GivenUp,
    /// A hand moved the pieces.
    ByHand,
}

/// How far stripes meet, mm along the stitching line of the seam's first side: from the hem where one end lies at a hem,
/// else from its start.
#[derive(Clone, Debug, Serialize)]
pub struct MetReport {
    /// Where the seam, or the part of it that joins two copies, begins.
    pub begins: f64,
    /// How far it reaches; of a seam that is known all along, its length.
    pub length: f64,
    /// Over which length stripes meet.
    pub meets: f64,
    /// From where to where.
    pub stretch: Option<[f64; 2]>,
    /// How far like lies from like at the worst place.
    pub worst: f64,
    /// Where that is.
    pub worst_at: f64,
    /// How many marks meet, of a pattern that is marked one by one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub marks_met: Option<usize>,
    /// How many do not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub marks_missed: Option<usize>,
}

/// Two copies that are sewn to each other.
#[derive(Clone, Debug, Serialize)]
pub struct PairReport {
    /// On which half of the body.
    pub half: BodyHalf,
    /// The copy on the first side of the seam, as a place among the copies.
    pub first: usize,
    /// That on the second.
    pub second: usize,
    /// How far they meet; nothing where it is not known how the stripes lie.
    #[serde(flatten)]
    pub met: Option<MetReport>,
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
            LaidVerdict::Fits => (LayVerdict::Fits, Vec::new()),
            LaidVerdict::NotFound { .. } => (LayVerdict::NotFound, laid.missed(unit).into_iter().collect()),
            LaidVerdict::Impossible(reasons) => {
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
            matches: laid.matches.iter().map(|found| matched(found, unit)).collect(),
            levels: laid.levels.iter().map(|level| level_met(level, unit)).collect(),
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
        let motion = lying.motion.to_array().map(rounded);
        CopyReport { piece: copy.piece.to_string(), hand: copy.hand, ground: lying.ground, motion }
    };
    laid.lying.iter().map(copy).collect()
}

fn matched(found: &LaidMatch, unit: Unit) -> MatchReport {
    let pair = |half: BodyHalf, pair: &PairMet| PairReport {
        half,
        first: pair.lying[0],
        second: pair.lying[1],
        met: pair.met.as_ref().map(met),
    };
    let pairs =
        found.met.sewings.iter().flat_map(|sewing| sewing.pairs.iter().map(|both| pair(sewing.half, both)));
    MatchReport {
        seam: found.met.seam.clone(),
        meet: found.is_met(),
        wish: match found.wish {
            WishKept::Held => WishReport::Held,
            WishKept::NotWorthIt(_) => WishReport::NotWorthIt,
            WishKept::Contradicted(_) => WishReport::Contradicted,
            WishKept::GivenUp => WishReport::GivenUp,
            WishKept::ByHand => WishReport::ByHand,
        },
        least: found.met.least().and_then(|sewing| sewing.met.as_ref()).map(met),
        parts_by: rounded(found.met.worst()),
        sentence: found.sentences(unit).join("; "),
        pairs: pairs.collect(),
        upright: found
            .upright
            .as_ref()
            .and_then(SeamMet::least)
            .and_then(|least| least.met.as_ref())
            .map(met),
        colours: found.alike.iter().flat_map(|alike| &alike.sewings).filter_map(of_sewing).collect(),
    }
}

fn of_sewing(sewing: &SewingAlike) -> Option<ColourReport> {
    Some(ColourReport { half: Some(sewing.half), ..alike(&sewing.alike?) })
}

fn alike(found: &Alike) -> ColourReport {
    ColourReport {
        half: None,
        mean: rounded(found.mean),
        worst: rounded(found.worst),
        worst_at: rounded(found.worst_at),
        places: found.known,
        unknown: found.unknown,
    }
}

fn level_met(found: &LaidLevel, unit: Unit) -> LevelReport {
    let (off_by, colours) = match &found.met {
        LevelMet::Stripes(off, _) => (off.is_finite().then(|| rounded(*off)), None),
        LevelMet::Colours(found) => (None, Some(alike(found))),
        LevelMet::Unknown => (None, None),
    };
    LevelReport {
        level: found.wished.level.to_string(),
        cloth: found.wished.cloth.to_string(),
        copies: found.copies,
        meet: found.is_met(),
        off_by,
        colours,
        sentence: found.sentences(unit).join("; "),
    }
}

fn met(met: &Met) -> MetReport {
    MetReport {
        begins: rounded(met.whole.0),
        length: rounded(met.whole.1 - met.whole.0),
        meets: rounded(met.meets()),
        stretch: met.stretch.map(|(from, to)| [rounded(from), rounded(to)]),
        worst: rounded(met.worst),
        worst_at: rounded(met.worst_at),
        marks_met: met.marks.map(|(meet, _)| meet),
        marks_missed: met.marks.map(|(_, miss)| miss),
    }
}
