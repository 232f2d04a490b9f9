//! `turn-grain`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::curve::{Motion, Vec2};
use crate::pattern::{Arrows, Copy, Grainline, Kept, Moved, Piece, PieceName, Refusal, RefusalKind};
use crate::recut::carry;
use crate::recut::fields::GrainWay;
use crate::recut::line::line_as_drawn;
use crate::recut::split::centre_edge;
use crate::recut::{Told, Work};
use crate::tolerance::{SAME_DIRECTION, STRAIGHT};

/// Set the grainline lengthwise, crosswise, or along a line.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TurnGrain {
    /// The piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// lengthwise, crosswise, or a line.
    #[arg(long, value_name = "WAY")]
    pub to: GrainWay,
}

pub(super) fn turn_grain(step: &TurnGrain, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let old = piece.grainline.as_ref();
    let way = direction(&piece, &step.to)?;
    let before = piece.grain_or_down();
    let way = if way.dot(before) < 0.0 { -way } else { way };
    let degrees = before.cross(way).atan2(before.dot(way)).to_degrees();
    if old.is_some() && before.cross(way).abs() <= SAME_DIRECTION {
        work.tell(Told::NothingToDo {
            at: piece.name().to_string(),
            why: "the grain runs so already".to_owned(),
        });
        return Ok(());
    }
    let (start, end) = carry::lay_grainline(piece.outline(), way)?;
    let new = match old {
        Some(old) => Grainline { start, end, ..old.clone() },
        None => Grainline { start, end, arrows: Arrows::Both, kept: Kept::default() },
    };
    work.pattern.piece_mut(piece.name())?.grainline = Some(new);
    if old.is_some() {
        work.entry.moved.push(Moved {
            from: piece.name().clone(),
            copy: Copy::Drawn,
            to: piece.name().clone(),
            part: None,
            motion: Motion::identity().to_array(),
            off_grain: degrees.abs(),
        });
        work.tell(Told::GrainTurned { piece: piece.name().clone(), degrees });
    }
    Ok(())
}

/// The direction asked for, of length one, either way along it.
fn direction(piece: &Piece, to: &GrainWay) -> Result<Vec2, Refusal> {
    Ok(match to {
        GrainWay::Lengthwise => lengthwise(piece),
        GrainWay::Crosswise => {
            let along = lengthwise(piece);
            Vec2::new(along.y, -along.x)
        }
        GrainWay::AlongLine(line) => {
            let curve = line_as_drawn(piece, line)?;
            if !curve.is_straight(STRAIGHT) {
                return Err(Refusal::new(
                    RefusalKind::BadLine,
                    piece.name(),
                    format!("`{line}` is not straight, so that the grain cannot run along it"),
                    "name a straight line",
                )
                .about(line));
            }
            (curve.end() - curve.start()).normalize()
        }
    })
}

/// Along the fold or the centre edge where that is straight, else down the sheet.
fn lengthwise(piece: &Piece) -> Vec2 {
    let centre =
        centre_edge(piece).map(|id| &piece.edge(id).curve).filter(|curve| curve.is_straight(STRAIGHT));
    let along = centre.map_or(Vec2::new(0.0, 1.0), |curve| (curve.end() - curve.start()).normalize());
    if along.y < 0.0 { -along } else { along }
}
