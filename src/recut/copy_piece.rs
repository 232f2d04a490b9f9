//! `copy-piece`.

pub use crate::derive::CopyPiece;

use crate::derive::Fields;
use crate::pattern::Refusal;
use crate::recut::set_allowance::refuse_absurd;
use crate::recut::{Notice, Work};

pub(super) fn copy_piece(step: &CopyPiece, work: &mut Work) -> Result<(), Refusal> {
    if let Some(allowance) = step.allowance {
        refuse_absurd(allowance)?;
    }
    step.refuse_idle(&work.pattern)?;
    let fields = Fields::Copy(step.clone());
    let made = work.made_after_dividing(|pattern| fields.made(pattern))?;
    let source = work.pattern.piece(&step.piece)?;
    let marks = source.marks.iter().filter(|mark| mark.anchor.is_some()).count();
    if let (1.., [copy, ..]) = (marks, made.as_slice()) {
        let copy = copy.piece.name().clone();
        work.tell(Notice::MarksStay { piece: step.piece.clone(), copy, marks });
    }
    work.put_made(made)
}
