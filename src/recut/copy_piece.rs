//! `copy-piece`.

pub use crate::derive::CopyPiece;

use crate::derive::Fields;
use crate::pattern::Refusal;
use crate::recut::Work;
use crate::recut::set_allowance::refuse_absurd;

pub(super) fn copy_piece(step: &CopyPiece, work: &mut Work) -> Result<(), Refusal> {
    if let Some(allowance) = step.allowance {
        refuse_absurd(allowance)?;
    }
    step.refuse_idle(&work.pattern)?;
    let fields = Fields::Copy(step.clone());
    let made = work.made_after_dividing(|pattern| fields.made(pattern))?;
    work.put_made(made)
}
