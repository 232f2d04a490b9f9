//! The layout of a table: kept on disk before it is told, taken back, and found again.

use std::sync::Arc;

use crate::cloth::layout::LayError;
use crate::cloth::{GrainChoice, Stock};
use crate::plan::Alternative;
use crate::table::fault::TableFault;
use crate::table::folder::FolderFault;
use crate::table::lay::kept::{KeptLayout, LaidOut};
use crate::table::product::Product;
use crate::table::said::Refused;
use crate::table::state::Table;

/// Where the places of a layout are kept to go on with.
const KEPT: &str = "layout.json";

/// Layouts that can be gone back to: each keeps where its copies lie and what meets there.
const MOST_BACK: usize = 200;

const LOOK: &str = "look at it, and do it again";

/// A layout with all that is written of it.
pub(super) struct Ready {
    laid_out: LaidOut,
    drawn: (String, String),
    kept: KeptLayout,
}

impl Ready {
    pub(super) fn of(laid_out: LaidOut) -> Result<Ready, LayError> {
        let (drawn, kept) = (laid_out.drawn()?, laid_out.kept()?);
        Ok(Ready { laid_out, drawn, kept })
    }
}

impl Table {
    /// The layout on the cloth; that of a table that was ended is found again where nothing changed since.
    pub(in crate::table) fn layout(&mut self) -> Option<Arc<LaidOut>> {
        if !self.layouts.is_looked_for {
            self.layouts.is_looked_for = true;
            let kept = self.folder.own(KEPT).ok().flatten();
            let kept = kept.and_then(|bytes| serde_json::from_slice::<KeptLayout>(&bytes).ok());
            self.layouts.now = kept.and_then(|kept| kept.again(&self.laid())).map(Arc::new);
        }
        self.layouts.now.clone()
    }

    /// The number of the layout on the cloth.
    pub(super) fn layout_number(&self) -> u64 {
        self.layouts.number
    }

    /// Whether a move can be taken back.
    pub(in crate::table) fn can_take_back_move(&self) -> bool {
        self.layout_before().is_some()
    }

    /// The layout before the last move, of the same search.
    pub(in crate::table) fn layout_before(&self) -> Option<Arc<LaidOut>> {
        self.layouts.before.last().cloned()
    }

    /// Keeps a layout that was found: first its file, then the rest. What others wrote there is put aside.
    pub(super) fn keep_layout(&mut self, found: Ready) -> Result<(), FolderFault> {
        self.write_layout(&found)?;
        self.layouts.before.clear();
        self.lie(found);
        Ok(())
    }

    /// Keeps a layout with a copy moved by hand; the one that it was moved in lies there under a number.
    pub(super) fn keep_move(&mut self, moved: Ready, number: u64) -> Result<(), TableFault> {
        self.refuse_other_layout(number)?;
        self.write_layout(&moved)?;
        let before = self.layout().filter(|before| before.is_of_one_search(&moved.laid_out));
        self.layouts.before.extend(before);
        let over = self.layouts.before.len().saturating_sub(MOST_BACK);
        self.layouts.before.drain(..over);
        self.lie(moved);
        Ok(())
    }

    /// Keeps the layout before the last move in place of that after it, which lies there under a number.
    pub(super) fn take_back_move(&mut self, before: Ready, number: u64) -> Result<(), TableFault> {
        self.refuse_other_layout(number)?;
        self.write_layout(&before)?;
        self.layouts.before.pop();
        self.lie(before);
        Ok(())
    }

    fn lie(&mut self, ready: Ready) {
        self.layouts.now = Some(Arc::new(ready.laid_out));
        self.layouts.is_looked_for = true;
        self.layouts.number += 1;
    }

    fn write_layout(&mut self, ready: &Ready) -> Result<(), FolderFault> {
        let (layout, sewn) = &ready.drawn;
        let of = Some(ready.laid_out.of());
        let mut asides = Vec::new();
        for (product, content) in [(Product::Layout, layout), (Product::Sewn, sewn)] {
            let aside = self.write_product(product, content.as_bytes(), of)?;
            asides.extend(aside.map(|name| product.put_aside(&name)));
        }
        self.tell_aside(asides);
        self.folder.write_own(KEPT, &serde_json::to_vec(&ready.kept).unwrap_or_default())
    }

    /// Refuses what is wished by a page that has not seen the last state.
    pub(super) fn refuse_unseen(&self, revision: u64) -> Result<(), Refused> {
        match revision == self.revision() {
            true => Ok(()),
            false => Err(Refused::plain("the table has changed meanwhile", LOOK)),
        }
    }

    /// Refuses a change of a layout that does not lie there any more.
    pub(super) fn refuse_other_layout(&self, number: u64) -> Result<(), Refused> {
        match number == self.layouts.number {
            true => Ok(()),
            false => Err(Refused::plain("the layout has changed meanwhile", LOOK)),
        }
    }
}

/// Takes over the layout of a way that was planned, once its steps are kept: held against the pattern as it lies then. False
/// where it does not hold there, or cannot be kept.
pub(in crate::table) fn taken_over(
    table: &mut Table,
    way: &Alternative,
    (stock, grain): (&Stock, GrainChoice),
) -> bool {
    let now = table.laid();
    let Ok(task) = way.lay_task(stock) else { return false };
    let Some(of) = now.basis() else { return false };
    let Ok(kept) = KeptLayout::of_way(&task, (&way.laid, grain), of) else { return false };
    let Some(found) = kept.again(&now) else { return false };
    Ready::of(found).is_ok_and(|found| table.keep_layout(found).is_ok())
}
