//! What came of a recut, in figures.

use std::collections::BTreeSet;

use crate::cloth::layout::{Laid, LayError, LayTask, LayWish};
use crate::cloth::{Cloth, Stock};
use crate::curve::Vec2;
use crate::pattern::{ClothName, EdgeRef, Pattern, Piece, PieceName, Seam};
use crate::plan::Missed;
use crate::plan::running_on::AtJoints;
use crate::tolerance::OFF_GRAIN_WARNED;
use crate::truing::{LevelResized, SizeKept, girths};
use crate::units::{Length, Unit};

/// What came of a recut, in figures.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct RecutFigures {
    /// How many more seams there are to sew on the garment.
    pub seams_added: i64,
    /// Seamlines that came off the grain by more than 3°: of new and moved seams, and of parts that were turned.
    pub edges_off_grain: u32,
    /// Pieces that are cut across the grain that they had.
    pub crosswise: u32,
    /// Seams of striped or coloured cloth that cannot have it match, more than before.
    pub stripes_lost: u32,
    /// Seams that miss each other at a joint, and did not before.
    #[serde(skip)]
    pub missed: Vec<Missed>,
    /// The girth that changed most, where one did by more than may pass without a word.
    #[serde(skip)]
    pub resized: Option<LevelResized>,
    /// How many more seams run on as one across a joint than before.
    #[serde(skip)]
    pub run_on: u32,
    /// Pieces that are cut from another cloth than before.
    pub companion: Vec<PieceName>,
    /// What is used of each length of cloth.
    pub used: Vec<LengthUsed>,
}

/// How much of a length of cloth is used.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct LengthUsed {
    /// The cloth, and which part of it.
    #[serde(rename = "cloth")]
    pub name: String,
    /// The length used, mm.
    pub used: f64,
    /// How long it is, mm.
    pub length: f64,
    /// The rectangle left over at its end, mm across and along.
    pub leftover: Option<(f64, f64)>,
}

impl RecutFigures {
    /// Which seams miss each other, and which girth changed most, a sentence for each.
    #[must_use]
    pub fn looked_at_twice(&self, unit: Unit) -> Vec<String> {
        let told = |missed: &Missed| {
            let by = Length::from_mm(missed.by).show(unit);
            format!("at `{}` a seam misses the one at `{}` by {by}", missed.at, missed.beyond)
        };
        let resized = self.resized.as_ref().map(|change| {
            format!("another size: {} {}", change.level, change.by.to_tenths().show_change(unit))
        });
        self.missed.iter().map(told).chain(resized).collect()
    }
}

/// The figures of a recut that was laid.
///
/// # Errors
///
/// As [`LayTask::of`].
pub fn figures(
    before: &Pattern,
    after: &Pattern,
    stock: &Stock,
    laid: &Laid,
) -> Result<RecutFigures, LayError> {
    let layout = LayTask::of(after, stock, LayWish::default())?;
    let grounds = layout.grounds.iter().zip(&laid.uses).filter(|(_, usage)| usage.copies > 0);
    let used = grounds.map(|(ground, usage)| LengthUsed {
        name: ground.name(),
        used: usage.used,
        length: ground.size().1,
        leftover: usage.leftover,
    });
    let (joints, joints_before) = (AtJoints::of(after), AtJoints::of(before));
    let run_on = joints.run_on.saturating_sub(joints_before.run_on);
    let lost = parting_seams(after, stock).saturating_sub(parting_seams(before, stock));
    Ok(RecutFigures {
        seams_added: seams_of(after) - seams_of(before),
        edges_off_grain: edges_off_grain(before, after),
        crosswise: crosswise(before, after, &layout, laid),
        stripes_lost: u32::try_from(lost).unwrap_or(u32::MAX),
        run_on: u32::try_from(run_on).unwrap_or(u32::MAX),
        missed: joints.newly_missed(&joints_before),
        resized: resized(before, after),
        companion: companion(before, after),
        used: used.collect(),
    })
}

/// The girth that changed most, where one did by more than may pass without a word.
fn resized(before: &Pattern, after: &Pattern) -> Option<LevelResized> {
    let then = girths(before);
    let changes = girths(after).into_iter().filter_map(|now| {
        let then = then.iter().find(|then| then.level == now.level)?;
        let by = Length::from_mm(now.around.mm() - then.around.mm());
        Some(LevelResized { level: now.level.to_string(), by, declared: Length::ZERO })
    });
    match SizeKept::of(changes) {
        SizeKept::Unknown | SizeKept::Same(_) => None,
        SizeKept::AsPlanned(most) | SizeKept::Another(most) => Some(most),
    }
}

/// How many seams there are to sew on the garment.
pub(super) fn seams_of(pattern: &Pattern) -> i64 {
    let times = |seam: &Seam| {
        let piece = pattern.find(&seam.first.edges()[0].edge.piece);
        let times = piece.map_or(1, |piece| i64::from(piece.times()));
        if seam.is_to_own_mirror() { (times / 2).max(1) } else { times }
    };
    pattern.seams().iter().map(times).sum()
}

/// The seamlines that the steps since left off the grain.
fn edges_off_grain(before: &Pattern, after: &Pattern) -> u32 {
    let since = || after.record.steps.iter().skip(before.record.steps.len());
    let edges: BTreeSet<&EdgeRef> =
        since().flat_map(|step| &step.new_seams).flat_map(|seam| [&seam.first, &seam.second]).collect();
    let off = edges.iter().filter(|edge| is_off_grain(after, edge)).count();
    let turned = since().flat_map(|step| &step.moved).filter(|moved| {
        // What is turned square to its grain is cut across, and not off the grain.
        moved.off_grain > OFF_GRAIN_WARNED && moved.off_grain < 90.0 - OFF_GRAIN_WARNED
    });
    u32::try_from(off + turned.count()).unwrap_or(u32::MAX)
}

fn is_off_grain(pattern: &Pattern, edge: &EdgeRef) -> bool {
    let off = pattern.find_on_piece(edge).and_then(|(piece, id)| piece.off_thread(id));
    off.is_some_and(|off| off.degrees > OFF_GRAIN_WARNED)
}

/// How many pieces lie across the grain that they had before: turned, or laid so, but not both.
fn crosswise(before: &Pattern, after: &Pattern, layout: &LayTask<'_>, laid: &Laid) -> u32 {
    let mut found: Vec<&PieceName> = Vec::new();
    for lying in &laid.lying {
        let name = &layout.copies[lying.copy].piece;
        let Some(piece) = after.find(name) else { continue };
        let turned =
            before.find(name).is_some_and(|old| is_across(old.grain_or_down(), piece.grain_or_down()));
        let laid_across = is_across(lying.motion.apply_vec(piece.grain_or_down()), Vec2::new(0.0, 1.0));
        if turned != laid_across && !found.contains(&name) {
            found.push(name);
        }
    }
    u32::try_from(found.len()).unwrap_or(u32::MAX)
}

fn is_across(a: Vec2, b: Vec2) -> bool {
    a.cross(b).abs() > a.dot(b).abs()
}

/// The pieces whose cloth is another than that of the pieces before that they came of.
fn companion(before: &Pattern, after: &Pattern) -> Vec<PieceName> {
    let changed =
        |piece: &&Piece| came_of(before, after, piece.name()).is_some_and(|old| old.cloth != piece.cloth);
    after.pieces().filter(changed).map(|piece| piece.name().clone()).collect()
}

/// The piece before that one came of.
fn came_of<'a>(before: &'a Pattern, after: &Pattern, piece: &PieceName) -> Option<&'a Piece> {
    let since = after.record.steps.iter().skip(before.record.steps.len());
    let moved: Vec<_> = since.flat_map(|step| &step.moved).collect();
    let from =
        moved.iter().rev().fold(piece, |name, moved| if moved.to == *name { &moved.from } else { name });
    before.find(piece).or_else(|| before.find(from))
}

/// How many seams of cloth that changes along its length cannot have what it shows met: its stripes, or its colours.
fn parting_seams(pattern: &Pattern, stock: &Stock) -> usize {
    let changes = |cloth: &ClothName| stock.find(cloth).is_some_and(Cloth::changes_along);
    if !stock.cloths().any(Cloth::changes_along) {
        return 0;
    }
    let parts = |edge: &EdgeRef| {
        let wish = LayWish { matches: vec![edge.clone()], ..LayWish::default() };
        LayTask::of(pattern, stock, wish)
            .is_ok_and(|layout| layout.seams.iter().any(|seam| changes(&seam.cloth) && !seam.is_worth_it()))
    };
    let edges = pattern.seams().iter().map(|seam| &seam.first.edges()[0].edge);
    edges.filter(|edge| parts(edge)).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recut::Step;
    use crate::sheet;

    /// A part of a piece that is cut from another cloth is told as well as a whole piece.
    #[test]
    fn parts_from_other_cloth_are_among_the_pieces_that_are() {
        let sheet = std::fs::read("fixtures/coat.svg").expect("a sheet");
        let coat = sheet::read(&sheet, &sheet::ReadOptions::default()).expect("a pattern").pattern;
        let steps = [
            serde_json::json!({ "do": "split", "piece": "sleeve", "line": "level elbow", "names": "upper, lower" }),
            serde_json::json!({ "do": "set-piece", "piece": "upper", "cloth": "companion" }),
            serde_json::json!({ "do": "set-piece", "piece": "collar", "cloth": "companion" }),
        ];
        let after = steps.iter().fold(coat.clone(), |pattern, step| {
            let step = Step::from_value(step).expect("a step");
            step.apply(&pattern).expect("done").pattern
        });
        let told: Vec<String> = companion(&coat, &after).iter().map(ToString::to_string).collect();
        assert_eq!(told.len(), 2, "{told:?}");
        assert!(told.contains(&"upper".to_owned()) && told.contains(&"collar".to_owned()), "{told:?}");
    }
}
