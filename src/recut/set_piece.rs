//! `set-piece`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::curve::Motion;
use crate::pattern::{
    ClothName, Copy, Cut, Field, Moved, Operation, Pattern, PieceName, Purpose, Refusal, RefusalKind,
    RunEdge, Twins,
};
use crate::recut::{Notice, Work};

/// Set the name, count of copies, cloth, or purpose of a piece.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SetPiece {
    /// The piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// Another name.
    #[arg(long, value_name = "PIECE")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<PieceName>,
    /// How many copies: 1, 2 (left and right), or "2 same".
    #[arg(long, value_name = "CUT")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut: Option<Cut>,
    /// The cloth it is cut from: main, companion; none where it is not cut.
    #[arg(long, value_name = "CLOTH")]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cloth: Option<ClothName>,
    /// What it is for: plain, underlining, interfacing, or lining.
    #[arg(long = "for", value_name = "PURPOSE")]
    #[serde(default, rename = "for", skip_serializing_if = "Option::is_none")]
    pub purpose: Option<Purpose>,
}

impl SetPiece {
    /// A piece of which nothing is changed yet.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::recut::{SetPiece, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let cloth = SetPiece { cloth: Some("companion".parse()?), ..SetPiece::of("pocket-bag".parse()?) };
    /// let set = Step::from(cloth).apply(&coat)?.pattern;
    /// assert_eq!(set.piece(&"pocket-bag".parse()?)?.cloth.as_str(), "companion");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName) -> SetPiece {
        SetPiece { piece, name: None, cut: None, cloth: None, purpose: None }
    }

    /// All that can be set of the piece as it is now; none where there is no such piece.
    pub(super) fn as_it_is(&self, pattern: &Pattern) -> Option<SetPiece> {
        let piece = pattern.find(&self.piece)?;
        Some(SetPiece {
            name: Some(piece.name().clone()),
            cut: Some(piece.cut),
            cloth: Some(piece.cloth.clone()),
            purpose: Some(piece.purpose),
            ..SetPiece::of(self.piece.clone())
        })
    }
}

pub(super) fn set_piece(step: &SetPiece, work: &mut Work) -> Result<(), Refusal> {
    if step.name.is_none() && step.cut.is_none() && step.cloth.is_none() && step.purpose.is_none() {
        return Err(Refusal::new(
            RefusalKind::NothingAsked,
            &step.piece,
            "nothing is to be set",
            advice!("give ", Field::Name, ", ", Field::Cut, ", ", Field::Cloth, " or ", Field::For),
        ));
    }
    let piece = work.pattern.piece_mut(&step.piece)?;
    if let Some(cloth) = &step.cloth {
        piece.cloth = cloth.clone();
    }
    if let Some(purpose) = step.purpose {
        piece.purpose = purpose;
    }
    if let Some(cut) = step.cut {
        set_cut(work, &step.piece, cut)?;
    }
    if let Some(name) = &step.name {
        work.pattern.rename_piece(&step.piece, name)?;
        work.entry.moved.push(Moved {
            from: step.piece.clone(),
            copy: Copy::Drawn,
            to: name.clone(),
            part: None,
            motion: Motion::identity().to_array(),
            off_grain: 0.0,
        });
    }
    Ok(())
}

fn set_cut(work: &mut Work, name: &PieceName, cut: Cut) -> Result<(), Refusal> {
    let piece = work.pattern.piece(name)?;
    let mirrored = cut.twins == Twins::Mirrored || piece.fold().is_some();
    let on_mirrored = |run: &&RunEdge| run.edge.piece == *name && run.edge.copy == Copy::Mirrored;
    let seams = work.pattern.seams().iter();
    let needs_mirror = seams.flat_map(|seam| seam.edges());
    if let (false, Some(run)) = (mirrored, needs_mirror.into_iter().find(on_mirrored)) {
        return Err(Refusal::new(
            RefusalKind::BadSeam,
            &run.edge,
            format!("a seam needs the mirrored copy, which is not cut when `{name}` is cut {cut}"),
            advice!(
                "take the seam off first: ",
                Operation::SetEdge
                    .with(Field::Edge, format!("{name}.{}", run.edge.edge))
                    .with(Field::SewnTo, "none")
            ),
        ));
    }
    if piece.cut != cut {
        work.pattern.piece_mut(name)?.cut = cut;
        work.tell(Notice::CutChanged { piece: name.clone(), cut });
    }
    Ok(())
}
