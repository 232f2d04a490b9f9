//! What of a pattern the cloth is wide enough for.

use retrue::cloth::Crosswise;
use retrue::cloth::fit::{AreaFit, Fit, PieceFit, WayFit};
use retrue::units::{Unit, rounded};
use serde::Serialize;

use super::VerdictReport;
use crate::cli::options::JudgedPattern;

/// The widths of a pattern's pieces against the cloth.
#[derive(Clone, Debug, Serialize)]
pub struct FitReport {
    /// The file of the pattern.
    pub file: String,
    /// Whether it is true.
    #[serde(flatten)]
    pub truth: VerdictReport,
    /// Whether every piece fits by itself, and there is enough of every cloth.
    pub fits: bool,
    /// The pieces whose cloth is at hand.
    pub pieces: Vec<PieceFitReport>,
    /// The cloths that pieces are cut from.
    pub cloths: Vec<AreaFitReport>,
    /// The pieces whose cloth is not at hand.
    pub without_cloth: Vec<WithoutCloth>,
}

/// A piece against its cloth.
#[derive(Clone, Debug, Serialize)]
pub struct PieceFitReport {
    /// The piece.
    pub piece: String,
    /// Its cloth.
    pub cloth: String,
    /// How many are cut.
    pub copies: u32,
    /// The area of one, mm².
    pub area: f64,
    /// Whether it fits a legal way.
    pub fits: bool,
    /// With its grain along the cloth.
    pub lengthwise: WayReport,
    /// With its grain across the cloth.
    pub crosswise: WayReport,
    /// Whether it may lie across.
    pub crosswise_allowed: bool,
}

/// How a piece fits one way.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct WayReport {
    /// Across the cloth.
    pub width: f64,
    /// Along the cloth.
    pub length: f64,
    /// The width that the cloth gives all along that length; none where it is not that long.
    pub gives: Option<f64>,
    /// By how much it is too wide.
    pub too_wide: f64,
    /// By how much it is too long.
    pub too_long: f64,
    /// Whether it fits.
    pub fits: bool,
}

/// The area of all pieces of a cloth.
#[derive(Clone, Debug, Serialize)]
pub struct AreaFitReport {
    /// The cloth.
    pub cloth: String,
    /// What the pieces take, mm².
    pub needed: f64,
    /// What there is, mm².
    pub given: f64,
    /// Whether there is as much.
    pub fits: bool,
}

/// A piece whose cloth is not at hand.
#[derive(Clone, Debug, Serialize)]
pub struct WithoutCloth {
    /// The piece.
    pub piece: String,
    /// The cloth that it names.
    pub cloth: String,
}

impl FitReport {
    /// The report of a file.
    pub fn of(read: &JudgedPattern, fit: &Fit, unit: Unit) -> FitReport {
        FitReport {
            file: read.name.clone(),
            truth: VerdictReport::of(&read.verdict, unit),
            fits: fit.fits(),
            pieces: fit.pieces.iter().map(PieceFitReport::of).collect(),
            cloths: fit.cloths.iter().map(AreaFitReport::of).collect(),
            without_cloth: fit
                .without_cloth
                .iter()
                .map(|(piece, cloth)| WithoutCloth { piece: piece.to_string(), cloth: cloth.to_string() })
                .collect(),
        }
    }
}

impl PieceFitReport {
    fn of(fit: &PieceFit) -> PieceFitReport {
        PieceFitReport {
            piece: fit.piece.to_string(),
            cloth: fit.cloth.to_string(),
            copies: fit.copies,
            area: rounded(fit.area),
            fits: fit.fits(),
            lengthwise: WayReport::of(&fit.lengthwise),
            crosswise: WayReport::of(&fit.crosswise),
            crosswise_allowed: fit.may_cross == Crosswise::Allowed,
        }
    }
}

impl WayReport {
    fn of(way: &WayFit) -> WayReport {
        WayReport {
            width: rounded(way.width),
            length: rounded(way.length),
            gives: way.gives.map(rounded),
            too_wide: rounded(way.too_wide()),
            too_long: rounded(way.too_long()),
            fits: way.fits(),
        }
    }
}

impl AreaFitReport {
    fn of(area: &AreaFit) -> AreaFitReport {
        AreaFitReport {
            cloth: area.cloth.to_string(),
            needed: rounded(area.needed),
            given: rounded(area.given),
            fits: area.fits(),
        }
    }
}
