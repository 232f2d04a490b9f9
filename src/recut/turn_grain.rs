//! `turn-grain`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::curve::{Motion, Vec2};
use crate::parts::carry;
use crate::pattern::{
    Arrows, Copy, Grainline, Kept, Line, Moved, Pattern, Piece, PieceName, Refusal, RefusalKind,
};
use crate::recut::fields::GrainWay;
use crate::recut::line::line_as_drawn;
use crate::recut::{Notice, WhyNothing, Work};
use crate::tolerance::{BESIDE_GRAIN, GRAIN_DOWN_THE_SHEET, SAME_DIRECTION, STRAIGHT};

/// Set the grainline lengthwise, crosswise, or along a line.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TurnGrain {
    /// The piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// lengthwise (along a straight fold or centre; where the piece has none, as its grain is drawn up and down the sheet),
    /// crosswise (square to that, whichever way the grain lies now), or a line.
    #[arg(long, value_name = "WAY")]
    pub to: GrainWay,
}

impl TurnGrain {
    /// A grainline turned.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::allowance::as_cut;
    /// use retrue::recut::{GrainWay, Step, TurnGrain};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let turned = Step::from(TurnGrain::of("collar".parse()?, GrainWay::Crosswise)).apply(&coat)?.pattern;
    /// let width = |pattern: &retrue::pattern::Pattern| {
    ///     Ok::<_, Box<dyn std::error::Error>>(as_cut(pattern, pattern.piece(&"collar".parse()?)?)?.width())
    /// };
    /// assert!((width(&turned)? - width(&coat)?).abs() > 10.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName, to: GrainWay) -> TurnGrain {
        TurnGrain { piece, to }
    }
}

pub(super) fn turn_grain(step: &TurnGrain, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let old = piece.grainline.as_ref();
    let (way, by) = direction(&work.pattern, &piece, &step.to)?;
    let before = piece.grain_or_down();
    let way = if way.dot(before) < -BESIDE_GRAIN { -way } else { way };
    let degrees = before.cross(way).atan2(before.dot(way)).to_degrees();
    if old.is_some() && before.cross(way).abs() <= SAME_DIRECTION {
        work.tell(Notice::NothingToDo { at: piece.name().to_string(), why: WhyNothing::GrainRunsSo { by } });
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
        work.tell(Notice::GrainTurned { piece: piece.name().clone(), degrees });
    }
    Ok(())
}

/// What the grain is set by, as it is told.
type SetBy = String;

/// The direction asked for, of length one, either way along it.
fn direction(pattern: &Pattern, piece: &Piece, to: &GrainWay) -> Result<(Vec2, SetBy), Refusal> {
    Ok(match to {
        GrainWay::Lengthwise => {
            let (along, of) = lengthwise(pattern, piece);
            (along, format!("lengthwise: along {of}"))
        }
        GrainWay::Crosswise => {
            let (along, of) = lengthwise(pattern, piece);
            (Vec2::new(along.y, -along.x), format!("crosswise: square to {of}"))
        }
        GrainWay::AlongLine(line) => {
            let curve = line_as_drawn(piece, line).map_err(|refusal| with_words(refusal, line))?;
            if !curve.is_straight(STRAIGHT) {
                return Err(Refusal::new(
                    RefusalKind::BadLine,
                    piece.name(),
                    format!("`{line}` is not straight, so that the grain cannot run along it"),
                    "name a straight line",
                )
                .about(line));
            }
            ((curve.end() - curve.start()).normalize(), format!("along `{line}`"))
        }
    })
}

/// A single word that names no style line may have been meant as one of the two ways.
fn with_words(refusal: Refusal, line: &Line) -> Refusal {
    match line {
        Line::Style(_) => Refusal {
            what: format!("`{line}` is neither lengthwise nor crosswise, nor a style line of the piece"),
            way_out: "say lengthwise, crosswise, or a straight line: \"A > B\", \"beside EDGE at 0mm\", or a style line"
                .into(),
            ..refusal
        },
        _ => refusal,
    }
}

/// Along the fold or the centre edge where that is straight, to the right where it lies across the sheet; else along the
/// grain as it lies, or square to that, whichever goes down the sheet; else down the sheet. With it what that is.
fn lengthwise(pattern: &Pattern, piece: &Piece) -> (Vec2, SetBy) {
    let downward = |along: Vec2| {
        let is_level = along.y.abs() <= BESIDE_GRAIN;
        let is_back = if is_level { along.x < 0.0 } else { along.y < 0.0 };
        if is_back { -along } else { along }
    };
    let centre = pattern.centre_edge(piece).map(|id| piece.edge(id));
    let centre = centre.filter(|edge| edge.curve.is_straight(STRAIGHT));
    if let Some(edge) = centre {
        let along = (edge.curve.end() - edge.curve.start()).normalize();
        return (downward(along), format!("`{}`", edge.name));
    }
    let down = Vec2::new(0.0, 1.0);
    let grain = piece.grainline.as_ref().map(Grainline::direction);
    let near = grain.into_iter().flat_map(|along| [along, Vec2::new(along.y, -along.x)]).map(downward);
    let near = near.into_iter().find(|along| along.cross(down).abs() <= GRAIN_DOWN_THE_SHEET);
    (near.unwrap_or(down), "the piece as it stands on the sheet".to_owned())
}
