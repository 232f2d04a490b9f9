//! Where the pieces lie on the cloth.

use retrue::cloth::layout::{
    Alike, BodyHalf, BodySide, Ground, GroundUse, Laid, LaidCopy, LaidLevel, LaidMatch, LaidVerdict, LayTask,
    LevelMet, MetAlong, SeamMet, WishKept,
};
use retrue::pattern::{ClothName, LevelName, PieceName};
use retrue::units::Unit;
use serde::Serialize;

use super::VerdictReport;
use crate::cli::options::JudgedPattern;

/// A layout, or why there is none.
#[derive(Serialize)]
pub struct LayReport<'a> {
    file: &'a str,
    /// The file of the layout, if it was written.
    #[serde(skip_serializing_if = "Option::is_none")]
    written: Option<String>,
    #[serde(flatten)]
    truth: VerdictReport,
    verdict: &'static str,
    /// Why it is impossible, or how far the closest layout is off.
    reasons: Vec<String>,
    grounds: Vec<GroundReport<'a>>,
    copies: Vec<CopyReport<'a>>,
    matches: Vec<MatchReport<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    levels: Vec<LevelMatchReport<'a>>,
    without_cloth: Vec<&'a PieceName>,
    iterations: u64,
}

/// A length or panel of cloth, and what is used of it.
#[derive(Serialize)]
struct GroundReport<'a> {
    name: String,
    width: f64,
    length: f64,
    #[serde(flatten)]
    usage: &'a GroundUse,
}

/// A copy on the cloth.
#[derive(Serialize)]
struct CopyReport<'a> {
    piece: &'a PieceName,
    hand: BodySide,
    ground: usize,
    /// From the pattern sheet to the cloth: six numbers of a rigid map, x across from the left selvedge, y along.
    motion: [f64; 6],
}

/// A seam whose stripes were asked to meet, as measured where the copies lie.
#[derive(Serialize)]
struct MatchReport<'a> {
    seam: &'a str,
    meet: bool,
    wish: WishKept,
    /// Of the sewing that meets least.
    #[serde(flatten)]
    least: Option<&'a MetAlong>,
    /// By how much they part at most, of all sewings.
    parts_by: f64,
    sentence: String,
    pairs: Vec<PairReport<'a>>,
    /// Of stripes that run along the length, where the cloth has any: of the sewing that meets least.
    #[serde(skip_serializing_if = "Option::is_none")]
    upright: Option<&'a MetAlong>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    colours: Vec<ColourReport<'a>>,
}

/// How alike the colours look in one sewing of a seam.
#[derive(Serialize)]
struct ColourReport<'a> {
    half: BodyHalf,
    #[serde(flatten)]
    alike: &'a Alike,
}

/// Two copies that are sewn to each other, as places among the copies.
#[derive(Serialize)]
struct PairReport<'a> {
    half: BodyHalf,
    first: usize,
    second: usize,
    #[serde(flatten)]
    met: Option<&'a MetAlong>,
}

/// A level that was asked to lie at the same place of the pattern.
#[derive(Serialize)]
struct LevelMatchReport<'a> {
    level: &'a LevelName,
    cloth: &'a ClothName,
    copies: usize,
    meet: bool,
    /// How far stripes are off in the copy that is farthest off; none of colours, nor where no like mark is there.
    off_by: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    colours: Option<&'a Alike>,
    sentence: String,
}

impl<'a> LayReport<'a> {
    /// The report of a search.
    pub fn of(
        read: &'a JudgedPattern,
        task: &'a LayTask<'_>,
        laid: &'a Laid,
        written: Option<String>,
        unit: Unit,
    ) -> LayReport<'a> {
        let (verdict, reasons) = match &laid.verdict {
            LaidVerdict::Fits => ("fits", Vec::new()),
            LaidVerdict::NotFound { .. } => ("not-found", laid.missed(unit).into_iter().collect()),
            LaidVerdict::Impossible(reasons) => {
                ("impossible", reasons.iter().map(|reason| reason.sentence(unit)).collect())
            }
        };
        let ground = |(ground, usage): (&Ground, &'a GroundUse)| {
            let (width, length) = ground.size();
            GroundReport { name: ground.name(), width, length, usage }
        };
        let copy = |lying: &LaidCopy| {
            let copy = &task.copies[lying.copy];
            let motion = lying.motion.to_array();
            CopyReport { piece: &copy.piece, hand: copy.hand, ground: lying.ground, motion }
        };
        LayReport {
            file: &read.name,
            written,
            truth: VerdictReport::of(&read.verdict, unit),
            verdict,
            reasons,
            grounds: task.grounds.iter().zip(&laid.uses).map(ground).collect(),
            copies: laid.lying.iter().map(copy).collect(),
            matches: laid.matches.iter().map(|found| MatchReport::of(found, unit)).collect(),
            levels: laid.levels.iter().map(|found| LevelMatchReport::of(found, unit)).collect(),
            without_cloth: task.without_cloth.iter().map(|without| &without.piece).collect(),
            iterations: laid.iterations,
        }
    }
}

impl<'a> MatchReport<'a> {
    fn of(found: &'a LaidMatch, unit: Unit) -> MatchReport<'a> {
        let least = |met: &'a SeamMet| met.least().and_then(|sewing| sewing.met.as_ref());
        let pairs = found.met.sewings.iter().flat_map(|sewing| {
            sewing.pairs.iter().map(|pair| {
                let [first, second] = pair.lying;
                PairReport { half: sewing.half, first, second, met: pair.met.as_ref() }
            })
        });
        let sewings = found.alike.iter().flat_map(|alike| &alike.sewings);
        let colours =
            sewings.filter_map(|one| Some(ColourReport { half: one.half, alike: one.alike.as_ref()? }));
        MatchReport {
            seam: &found.met.seam,
            meet: found.is_met(),
            wish: found.wish,
            least: least(&found.met),
            parts_by: found.met.worst(),
            sentence: found.sentences(unit).join("; "),
            pairs: pairs.collect(),
            upright: found.upright.as_ref().and_then(least),
            colours: colours.collect(),
        }
    }
}

impl<'a> LevelMatchReport<'a> {
    fn of(found: &'a LaidLevel, unit: Unit) -> LevelMatchReport<'a> {
        let (off_by, colours) = match &found.met {
            LevelMet::Stripes(off, _) => (Some(*off), None),
            LevelMet::Colours(alike) => (None, Some(alike)),
            LevelMet::Unknown => (None, None),
        };
        LevelMatchReport {
            level: &found.wished.level,
            cloth: &found.wished.cloth,
            copies: found.copies,
            meet: found.is_met(),
            off_by,
            colours,
            sentence: found.sentences(unit).join("; "),
        }
    }
}
