//! Cutting lines as a sheet has them drawn, held against those that its seamlines and allowances give: who cuts by a picture whose
//! lines were changed by hand cuts something else than what was checked.

use kurbo::BezPath;

use crate::allowance::cutting_lines;
use crate::curve::Curve;
use crate::drawing::Node;
use crate::drawing::number::path_data;
use crate::pattern::{Pattern, PieceName};
use crate::sheet::SheetNote;
use crate::sheet::derived::{CUTTING_LINE, shown_as, written};
use crate::tolerance::DRAWN_CUT_OFF;
use crate::units::Length;

/// The cutting line that a piece's group has drawn.
pub(super) struct DrawnCut<'a> {
    piece: PieceName,
    node: &'a Node,
    /// Its path as written.
    path: &'a str,
}

impl<'a> DrawnCut<'a> {
    /// What is drawn in the group of a piece.
    pub(super) fn of(piece: &PieceName, group: &'a Node) -> Option<DrawnCut<'a>> {
        shown_as(group, CUTTING_LINE).find_map(|node| {
            let path = written(node.raw.as_str(), "d")?;
            Some(DrawnCut { piece: piece.clone(), node, path })
        })
    }

    /// How far it is off a line, mm; none where it is that line as it would be written.
    fn off(&self, line: &BezPath) -> Option<f64> {
        if path_data(line).is_ok_and(|path| path == self.path) {
            return None;
        }
        let drawn = Curve::from_path(&(self.node.to_mm * BezPath::from_svg(self.path).ok()?)).ok()?;
        Some(Curve::from_path(line).ok()?.distance_to(&drawn))
    }
}

/// Tells the cutting lines that are drawn elsewhere than they are cut by what the pattern says.
pub(super) fn tell(pattern: &Pattern, drawn: &[DrawnCut<'_>], notes: &mut Vec<SheetNote>) {
    if drawn.is_empty() {
        return;
    }
    let Ok(lines) = cutting_lines(pattern) else { return };
    notes.extend(drawn.iter().filter_map(|drawn| {
        let off = drawn.off(&lines.of(&drawn.piece)?.path)?;
        let off = (off > DRAWN_CUT_OFF).then_some(Length::from_mm(off).to_tenths())?;
        Some(SheetNote::OtherCuttingLine { piece: drawn.piece.clone(), off })
    }));
}
