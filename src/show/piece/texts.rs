//! What is written on a piece.

use std::collections::BTreeSet;

use crate::allowance::CuttingLine;
use crate::pattern::{
    Arrows, Cut, Dart, EdgeEnd, EdgeId, EdgeName, EdgeRef, Finish, Pattern, Piece, Seam, Selvedge, Side,
    Twins,
};
use crate::show::piece::{Form, PieceStyle, Shows};
use crate::tolerance::SAME_CUT;
use crate::units::Length;

/// How many are cut of a piece as it is drawn.
pub(in crate::show) fn cut_count(piece: &Piece) -> String {
    count(piece.cut, if piece.fold().is_some() { " on the fold" } else { "" })
}

fn count(cut: Cut, on_fold: &str) -> String {
    match (cut.twins, cut.copies) {
        (Twins::Mirrored, 2) => format!("cut 2{on_fold}: left and right"),
        (Twins::Mirrored, copies) => format!("cut {copies}{on_fold}: half of them left, half right"),
        (Twins::Same, copies) if copies > 1 => format!("cut {copies}{on_fold}, all alike"),
        (Twins::Same, copies) => format!("cut {copies}{on_fold}"),
    }
}

/// The texts of a piece.
pub(super) struct Texts<'a> {
    pub pattern: &'a Pattern,
    pub piece: &'a Piece,
    pub line: &'a CuttingLine,
    pub new: &'a BTreeSet<EdgeName>,
    pub style: &'a PieceStyle,
}

impl Texts<'_> {
    /// The name, with the copy if each is drawn.
    pub(super) fn called(&self) -> String {
        match self.style.copy {
            Some(copy) if self.piece.cut.copies > 1 => {
                format!("{} {copy} of {}", self.piece.name(), self.piece.cut.copies)
            }
            _ => self.piece.name().to_string(),
        }
    }

    /// How many are cut.
    pub(super) fn count(&self) -> String {
        let on_fold = match (self.piece.fold(), self.style.form) {
            (Some(_), Form::AsDrawn) => " on the fold",
            _ => "",
        };
        match self.style.copy {
            Some(_) => format!("cut 1{on_fold}"),
            None => count(self.piece.cut, on_fold),
        }
    }

    /// Of which cloth.
    pub(super) fn cloth(&self) -> String {
        format!("{} cloth", self.piece.cloth)
    }

    /// An edge: its name, what it is sewn to, what is added.
    pub(super) fn edge(&self, id: EdgeId) -> String {
        let edge = self.piece.edge(id);
        let added = edge.cut_allowance();
        let width = added.show(self.style.unit);
        let mut text = if self.new.contains(&edge.name) {
            format!("new seam: {}", edge.name)
        } else {
            edge.name.to_string()
        };
        if self.style.shows != Shows::Cutting {
            let length = (self.piece.sewn_length(id) * 10.0).round() / 10.0;
            return format!("{text} {}", Length::from_mm(length).show(self.style.unit));
        }
        match (edge.finish, self.style.form) {
            (Finish::Fold, Form::AsDrawn) => return format!("{text}: place on fold"),
            (Finish::Fold, Form::Opened) => return format!("{text}, opened out: do not cut"),
            (Finish::Hem, _) => return format!("{text}: turn up {width}"),
            (Finish::Seam | Finish::Free, _) => {}
        }
        let partners = self.partners(&EdgeRef::new(self.piece.name().clone(), edge.name.clone()));
        if !partners.is_empty() {
            text.push_str(&format!(", sewn to {}", partners.join(" and ")));
        }
        if edge.selvedge == Selvedge::Yes {
            text.push_str(", on the selvedge");
        }
        match added.mm() > SAME_CUT {
            true => format!("{text}, {width}"),
            false => format!("{text}, no allowance"),
        }
    }

    fn partners(&self, edge: &EdgeRef) -> Vec<String> {
        let partner = |seam: &Seam| {
            if seam.is_to_own_mirror() {
                return "its mirror image".to_owned();
            }
            let side = seam.side_of(edge).unwrap_or(Side::First);
            seam.side(side.other()).names()
        };
        self.pattern.seams_of(edge).map(|id| partner(self.pattern.seam(id))).collect()
    }

    /// A dart: its name, and to which side it is pressed.
    pub(super) fn dart(&self, dart: &Dart) -> String {
        let cap = self.line.caps.iter().find(|cap| cap.dart == dart.name);
        let edge = dart.mouth().and_then(|mouth| self.piece.find_edge(&mouth.edge));
        let (Some(cap), Some(edge)) = (cap, edge) else { return dart.name.to_string() };
        let toward = match cap.toward {
            EdgeEnd::First => self.piece.previous(edge),
            EdgeEnd::Last => self.piece.next(edge),
        };
        format!("{}, press to {}", dart.name, self.piece.edge(toward).name)
    }

    /// The grainline.
    pub(super) fn grain(&self) -> &'static str {
        match self.piece.grainline.as_ref().map(|grain| grain.arrows) {
            Some(Arrows::Start | Arrows::End) => "grain, with nap",
            _ => "grain",
        }
    }
}
