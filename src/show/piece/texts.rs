//! What is written on a piece.

use std::collections::BTreeSet;

use crate::allowance::{CuttingLine, Halves};
use crate::pattern::{
    Arrows, Copy, Cut, Dart, EdgeId, EdgeName, EdgeRef, Finish, Pattern, Piece, Seam, SeamId, Selvedge, Side,
    Twins,
};
use crate::show::piece::style::{PieceStyle, Shows};
use crate::tolerance::{EASE_TOLD, SAME_CUT};
use crate::units::{Length, Unit};

/// How many are cut of a piece as it is drawn.
pub(in crate::show) fn cut_count(piece: &Piece) -> String {
    count(piece.cut, if piece.fold().is_some() { " on the fold" } else { "" })
}

/// How wide it is as it is cut, told beside its count.
pub(in crate::show) fn as_cut_wide(width: Length, unit: Unit) -> String {
    format!("{} wide as it is cut", width.show(unit))
}

fn count(cut: Cut, on_fold: &str) -> String {
    let hands = cut.hands().map_or_else(String::new, |hands| {
        let before = if cut.twins == Twins::Mirrored { ":" } else { "," };
        format!("{before} {hands}")
    });
    format!("cut {}{on_fold}{hands}", cut.copies)
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
    /// The name, with the copy if each is drawn: `front R`, `loop 2 of 5`.
    pub(super) fn called(&self) -> String {
        let (name, cut) = (self.piece.name(), self.piece.cut);
        match (self.style.copy, cut.twins) {
            (Some(_), Twins::Mirrored) if cut.copies == 2 => format!("{name} {}", self.letter()),
            (Some(copy), Twins::Mirrored) => {
                format!("{name} {} {} of {}", self.letter(), copy.div_ceil(2), cut.copies / 2)
            }
            (Some(copy), Twins::Same) if cut.copies > 1 => format!("{name} {copy} of {}", cut.copies),
            _ => name.to_string(),
        }
    }

    /// A pattern is drawn for the right half of the body, seen from the right side of the cloth.
    fn letter(&self) -> &'static str {
        match self.style.hand {
            Copy::Drawn => "R",
            Copy::Mirrored => "L",
        }
    }

    /// How many are cut.
    pub(super) fn count(&self) -> String {
        if !self.piece.is_cut() {
            return "not cut".to_owned();
        }
        let on_fold = match (self.piece.fold(), self.style.halves) {
            (Some(_), Halves::OnFold) => " on the fold",
            _ => "",
        };
        let cut = self.piece.cut;
        let hands = if on_fold.is_empty() { "R as drawn, L mirrored" } else { "R and L" };
        match (self.style.copy, cut.twins, cut.copies) {
            (Some(_), Twins::Mirrored, _) => {
                let hand = if self.style.hand == Copy::Drawn { "right" } else { "left" };
                format!("cut 1{on_fold}: {hand}")
            }
            (Some(_), Twins::Same, _) => format!("cut 1{on_fold}"),
            (None, Twins::Mirrored, 2) => format!("cut 1 pair{on_fold}: {hands}"),
            (None, Twins::Mirrored, copies) => format!("cut {} pairs{on_fold}: {hands}", copies / 2),
            (None, Twins::Same, _) => count(cut, on_fold),
        }
    }

    /// Of which cloth.
    pub(super) fn cloth(&self) -> String {
        match self.piece.is_cut() {
            true => format!("{} cloth", self.piece.cloth),
            false => "of no cloth".to_owned(),
        }
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
            let length = Length::from_mm(self.piece.sewn_length(id)).to_tenths();
            return format!("{text} {}", length.show(self.style.unit));
        }
        match (edge.finish, self.style.halves) {
            (Finish::Fold, Halves::OnFold) => return format!("{text}: place on fold"),
            (Finish::Fold, Halves::Opened) => return format!("{text}, opened out: do not cut"),
            (Finish::Hem, _) => return format!("{text}: turn up {width}"),
            (Finish::Seam | Finish::Free, _) => {}
        }
        let named = EdgeRef::new(self.piece.name().clone(), edge.name.clone());
        let partners = self.partners(&named);
        if !partners.is_empty() {
            text.push_str(&format!(", sewn to {}", partners.join(" and ")));
        }
        let with = self.piece.one_cloth_with();
        if !with.is_empty() {
            let with = with.iter().map(ToString::to_string).collect::<Vec<_>>().join(" and ");
            text.push_str(&format!(", one cloth with {with}"));
        }
        if edge.selvedge == Selvedge::Yes {
            text.push_str(", on the selvedge");
        }
        if let Some(open) = edge.open {
            text.push_str(&format!(", left open for a {}", open.word()));
        }
        match edge.lap {
            Some(lap) if lap == Length::ZERO => text.push_str(", edge to edge"),
            Some(lap) => text.push_str(&format!(", on top, stitched {} inside", lap.show(self.style.unit))),
            None => {}
        }
        match added.mm() > SAME_CUT {
            true => text.push_str(&format!(", {width}")),
            false => text.push_str(", no allowance"),
        }
        if let Some(ease) = self.ease(&named) {
            text.push_str(&format!(", ease in {}", ease.show(self.style.unit)));
        }
        text
    }

    /// By how much an edge is longer than what it is sewn to, where it alone makes one side of a seam.
    fn ease(&self, edge: &EdgeRef) -> Option<Length> {
        let eased = |id: SeamId| {
            let seam = self.pattern.seam(id);
            let side = seam.side_of(edge)?;
            let longer = match side {
                Side::First => seam.ease.mm(),
                Side::Second => -seam.ease.mm(),
            };
            let alone = seam.side(side).edges().len() == 1;
            (alone && longer > EASE_TOLD).then(|| Length::from_mm(longer).to_tenths())
        };
        self.pattern.seams_of(edge).find_map(eased)
    }

    fn partners(&self, edge: &EdgeRef) -> Vec<String> {
        let partner = |seam: &Seam| {
            if seam.is_to_own_mirror() {
                return "its mirror image".to_owned();
            }
            let side = seam.side_of(edge).unwrap_or(Side::First);
            let edges = seam.side(side.other()).edges();
            edges.iter().map(|run| run.edge.to_string()).collect::<Vec<_>>().join(" + ")
        };
        self.pattern.seams_of(edge).map(|id| partner(self.pattern.seam(id))).collect()
    }

    /// A dart: its name, and to which side it is pressed.
    pub(super) fn dart(&self, dart: &Dart) -> String {
        let cap = self.line.caps.iter().find(|cap| cap.dart == dart.name);
        let edge = dart.mouth().and_then(|mouth| self.piece.find_edge(&mouth.edge));
        let (Some(cap), Some(edge)) = (cap, edge) else { return dart.name.to_string() };
        let toward = self.piece.edge(self.piece.beside(edge, cap.toward));
        format!("{}, press to {}", dart.name, toward.name)
    }

    /// The grainline.
    pub(super) fn grain(&self) -> &'static str {
        match self.piece.grainline.as_ref().map(|grain| grain.arrows) {
            Some(Arrows::Start | Arrows::End) => "grain, with nap",
            _ => "grain",
        }
    }
}
