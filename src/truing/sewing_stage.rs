//! To which part of the work a seam belongs, by what its pieces and edges are called.

use crate::pattern::words::{
    BAND, COLLAR, INNER, PANEL, POCKET, SET_IN, SHOULDER, SIDE, SLEEVE, WAIST, says,
};
use crate::pattern::{EdgeRef, Pattern, Purpose, SeamId};

/// A part of the work, in the order in which garments are usually made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SewingStage {
    /// Copies laid on the pieces with which they are sewn as one cloth.
    Layers,
    /// Darts.
    Darts,
    /// Princess seams and other seams between panels, also in a sleeve.
    Panels,
    /// Pockets, while the pieces lie flat.
    Pockets,
    /// Seams of a piece to its own mirrored copy.
    Centres,
    /// Yokes.
    Yokes,
    /// Shoulders.
    Shoulders,
    /// Sides and legs.
    Sides,
    /// Waist and crotch.
    Waist,
    /// The seams of the sleeve itself.
    SleevesMade,
    /// Sleeves set in.
    SleevesSet,
    /// The seams of the collar itself.
    CollarMade,
    /// The collar set on.
    CollarSet,
    /// The seams of facings and linings themselves.
    FacingsMade,
    /// Facings and linings sewn in.
    FacingsSet,
    /// Cuffs, bands, belts.
    Bands,
    /// What no name tells.
    Others,
    /// Hems.
    Hems,
}

impl SewingStage {
    /// What it is called.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            SewingStage::Layers => "Layers laid together",
            SewingStage::Darts => "Darts and pleats",
            SewingStage::Panels => "Princess seams and panels",
            SewingStage::Pockets => "Pockets",
            SewingStage::Centres => "Centre seams",
            SewingStage::Yokes => "Yokes",
            SewingStage::Shoulders => "Shoulders",
            SewingStage::Sides => "Sides",
            SewingStage::Waist => "Waist",
            SewingStage::SleevesMade => "Sleeves",
            SewingStage::SleevesSet => "Setting in the sleeves",
            SewingStage::CollarMade => "Collar",
            SewingStage::CollarSet => "Setting on the collar",
            SewingStage::FacingsMade => "Facings and lining",
            SewingStage::FacingsSet => "Sewing in facings and lining",
            SewingStage::Bands => "Cuffs, bands and belt",
            SewingStage::Others => "Other seams",
            SewingStage::Hems => "Hems",
        }
    }
}

/// The part of the work that a seam belongs to. Whole pieces are told by their own names first, so that the side of a
/// lining is lining; but a side or a shoulder that runs on over a band is what it is without; a seam that a step made and
/// no name tells is one between panels.
pub(super) fn stage_of(pattern: &Pattern, id: SeamId) -> SewingStage {
    let seam = pattern.seam(id);
    let edges: Vec<&EdgeRef> = seam.edges().map(|run| &run.edge).collect();
    let piece = |words: &[&str]| edges.iter().any(|edge| says(edge.piece.as_str(), words));
    let pieces = |words: &[&str]| edges.iter().all(|edge| says(edge.piece.as_str(), words));
    let is_facing = |edge: &&EdgeRef| {
        let purpose = pattern.find(&edge.piece).map(|piece| piece.purpose);
        says(edge.piece.as_str(), &INNER) || purpose == Some(Purpose::Lining)
    };
    let edge = |words: &[&str]| edges.iter().any(|edge| says(edge.edge.as_str(), words));
    let made = || pattern.is_new_seam(id);
    let closes_garment = edge(&SIDE) || edge(&SHOULDER);
    if edges.iter().all(is_facing) {
        SewingStage::FacingsMade
    } else if piece(&COLLAR) {
        if pieces(&COLLAR) { SewingStage::CollarMade } else { SewingStage::CollarSet }
    } else if edges.iter().any(is_facing) {
        SewingStage::FacingsSet
    } else if piece(&POCKET) {
        SewingStage::Pockets
    } else if piece(&BAND) && !closes_garment {
        SewingStage::Bands
    } else if edge(&PANEL) {
        SewingStage::Panels
    } else if pieces(&SLEEVE) {
        SewingStage::SleevesMade
    } else if piece(&SLEEVE) || edge(&SET_IN) {
        SewingStage::SleevesSet
    } else if piece(&["yoke"]) || edge(&["yoke"]) {
        SewingStage::Yokes
    } else if edge(&SHOULDER) {
        SewingStage::Shoulders
    } else if edge(&WAIST) {
        SewingStage::Waist
    } else if edge(&SIDE) {
        SewingStage::Sides
    } else if seam.is_to_own_mirror() {
        SewingStage::Centres
    } else if made() {
        SewingStage::Panels
    } else {
        SewingStage::Others
    }
}
