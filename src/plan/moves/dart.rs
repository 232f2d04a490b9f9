//! Darts run out into seams.

use crate::plan::ChangeKind;
use crate::plan::change::Move;
use crate::plan::moves::site::Site;
use crate::recut::DartToSeam;

/// Each dart of the piece run out to the edge across.
pub(super) fn run_out(site: &Site<'_>) -> Vec<Move> {
    if !site.may(ChangeKind::DartSeam) {
        return Vec::new();
    }
    let name = site.piece.name();
    let out = |dart: &crate::pattern::Dart| {
        let step = DartToSeam::of(name.clone(), dart.name.clone());
        let tale = format!("run the {} of `{name}` out into a seam", dart.name);
        site.draft().does(step).map(|draft| site.made(ChangeKind::DartSeam, draft, tale))
    };
    site.piece.darts.iter().filter_map(out).collect()
}
