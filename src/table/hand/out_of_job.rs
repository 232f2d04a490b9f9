//! A piece that is not to be cut, and one that is to be cut after all: offered where the piece is pressed.

use crate::pattern::{ClothName, Pattern};
use crate::recut::{SetPiece, Step};
use crate::table::form::{Begins, Offer};
use crate::table::thing::Thing;

/// What takes a piece that is pressed out of the job, or back into it; none for another thing.
pub(in crate::table) fn out_of_job(thing: &Thing, pattern: &Pattern) -> Option<Offer> {
    let Thing::Piece(name) = thing else { return None };
    let (says, cloth) = match pattern.find(name)?.is_cut() {
        true => ("Leave the piece out of this job: it is not cut", ClothName::none()),
        false => ("Take the piece back into this job: it is cut of main cloth", ClothName::main()),
    };
    let step = Step::from(SetPiece { cloth: Some(cloth), ..SetPiece::of(name.clone()) });
    Some(Offer { says: says.to_owned(), own: true, begins: Begins::Piece, step: step.to_value() })
}
