//! `unfold`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::curve::{Motion, Point};
use crate::parts::assemble::{Assembly, Part, assemble, bits_round};
use crate::parts::in_the_way::dart_opens;
use crate::pattern::{Copy, EdgeId, EdgeName, EdgeRef, Level, On, Piece, PieceName, Refusal};
use crate::recut::symmetry::{StraightLine, find_fold, fold_line};
use crate::recut::{Notice, Work};
use crate::tolerance::ON_OUTLINE;

/// Open a half piece out to the whole.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Unfold {
    /// The half piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// The fold; needed only where the piece has several.
    #[arg(long, value_name = "EDGE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edge: Option<EdgeName>,
}

impl Unfold {
    /// A half piece opened out at its fold.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{Step, Unfold};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let opened = Step::from(Unfold::of("back".parse()?)).apply(&coat)?.pattern;
    /// let (half, whole) = (coat.piece(&"back".parse()?)?, opened.piece(&"back".parse()?)?);
    /// assert!(whole.fold().is_none());
    /// assert!((whole.net_area() - 2.0 * half.net_area()).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName) -> Unfold {
        Unfold { piece, edge: None }
    }
}

pub(super) fn unfold(step: &Unfold, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    let fold = find_fold(&piece, step.edge.as_ref())?;
    let axis = fold_line(&piece, fold)?;
    refuse_darts_on_fold(&piece, fold)?;
    let drawn = Part { levels: Some(levels_up_to(&piece, &axis)), ..Part::whole(&piece, Motion::identity()) };
    let mirrored = Part { motion: axis.mirroring()?, copy: Copy::Mirrored, ..drawn.clone() };
    let (starts, ends) = (On { edge: piece.next(fold), at: 0.0 }, On { edge: fold, at: 0.0 });
    let mut bits = bits_round(&piece, 0, starts, ends);
    let mut other_half = bits_round(&piece, 1, starts, ends);
    other_half.reverse();
    bits.extend(other_half);
    let made = assemble(&Assembly::like(&piece, piece.name().clone(), vec![drawn, mirrored], bits))?;
    tell_notches_on_fold(work, &piece, fold);
    work.replace(&[&piece], vec![made])
}

fn refuse_darts_on_fold(piece: &Piece, fold: EdgeId) -> Result<(), Refusal> {
    let name = &piece.edge(fold).name;
    match piece.mouths_on(name).first() {
        None => Ok(()),
        Some((dart, _)) => {
            let at = format!("{}.{}", piece.name(), dart.name);
            Err(dart_opens(piece, &dart.name, at, format!("the dart opens on the fold `{name}`")))
        }
    }
}

/// The levels of a half piece, each cut off where it is drawn on past the fold.
fn levels_up_to(piece: &Piece, fold: &StraightLine) -> Vec<Level> {
    let cut_off = |(a, b): &(Point, Point)| {
        let (p, q) = (inward(fold, *a), inward(fold, *b));
        match (p > ON_OUTLINE, q > ON_OUTLINE) {
            (false, false) => None,
            (true, true) => Some((*a, *b)),
            (true, false) => Some((*a, a.lerp(*b, p / (p - q)))),
            (false, true) => Some((b.lerp(*a, q / (q - p)), *b)),
        }
    };
    piece
        .levels
        .iter()
        .map(|level| Level {
            stretches: level.stretches.iter().filter_map(cut_off).collect(),
            ..level.clone()
        })
        .collect()
}

/// How far inside of the fold a point is: the outline runs clockwise, so that the inside is on the right of the way.
fn inward(fold: &StraightLine, point: Point) -> f64 {
    fold.off(point)
}

fn tell_notches_on_fold(work: &mut Work, piece: &Piece, fold: EdgeId) {
    let name = &piece.edge(fold).name;
    for notch in piece.notches.iter().filter(|notch| notch.edge == *name) {
        let edge = EdgeRef::new(piece.name().clone(), name.clone());
        work.tell(Notice::NotchLost { edge, notch: notch.name.clone() });
    }
}
