//! The layout of a table: kept on disk before it is told, taken back, and found again.

use std::sync::Arc;

use crate::cloth::{GrainChoice, Stock};
use crate::plan::Alternative;
use crate::table::folder::FolderFault;
use crate::table::lay::kept::{Kept, LaidOut};
use crate::table::said::Answer;
use crate::table::save::Product;
use crate::table::state::Table;

/// Where the places of a layout are kept to go on with.
const KEPT: &str = "layout.json";

/// Layouts that can be gone back to: each keeps where its copies lie and what meets there.
const MOST_BACK: usize = 200;

impl Table {
    /// The layout on the cloth; that of a table that was ended is found again where nothing changed since.
    pub(in crate::table) fn layout(&mut self) -> Option<Arc<LaidOut>> {
        if !self.layouts.is_looked_for {
            self.layouts.is_looked_for = true;
            let kept = self.folder.own(KEPT).ok().flatten();
            let kept = kept.and_then(|bytes| serde_json::from_slice::<Kept>(&bytes).ok());
            self.layouts.now = kept.and_then(|kept| kept.again(&self.laid())).map(Arc::new);
        }
        self.layouts.now.clone()
    }

    /// Whether a move can be taken back.
    pub(in crate::table) fn can_take_back_move(&self) -> bool {
        self.layout_before().is_some()
    }

    /// The layout before the last move, of the same search.
    pub(in crate::table) fn layout_before(&self) -> Option<Arc<LaidOut>> {
        self.layouts.before.last().cloned()
    }

    /// Keeps a layout that was found, or moved by hand: first its file, then the rest. What others wrote there is put aside.
    pub(in crate::table) fn keep_layout(
        &mut self,
        found: LaidOut,
        drawn: (String, String),
        kept: &Kept,
    ) -> Result<Vec<String>, FolderFault> {
        let asides = self.write_layout(&found, drawn, kept)?;
        let before = self.layout();
        self.layouts.before.extend(before.filter(|before| before.recipe() == found.recipe()));
        let over = self.layouts.before.len().saturating_sub(MOST_BACK);
        self.layouts.before.drain(..over);
        self.layouts.now = Some(Arc::new(found));
        Ok(asides)
    }

    /// Keeps the layout before the last move in place of that after it.
    pub(in crate::table) fn take_back_move(
        &mut self,
        before: LaidOut,
        drawn: (String, String),
        kept: &Kept,
    ) -> Result<Vec<String>, FolderFault> {
        let asides = self.write_layout(&before, drawn, kept)?;
        self.layouts.before.pop();
        self.layouts.now = Some(Arc::new(before));
        Ok(asides)
    }

    fn write_layout(
        &mut self,
        found: &LaidOut,
        (layout, sewn): (String, String),
        kept: &Kept,
    ) -> Result<Vec<String>, FolderFault> {
        let files = [(Product::Layout, layout), (Product::Sewn, sewn)];
        let mut asides = Vec::new();
        for (product, content) in files {
            let aside = self.write_product(product, (content.as_bytes(), found.recipe()))?;
            asides.extend(aside.map(|name| product.put_aside(&name)));
        }
        self.folder.write_own(KEPT, &serde_json::to_vec(kept).unwrap_or_default())?;
        Ok(asides)
    }

    /// Refuses what is wished by a page that has not seen the last state.
    pub(in crate::table) fn refuse_unseen(&self, seen: u64) -> Result<(), Answer> {
        match seen == self.revision() {
            true => Ok(()),
            false => Err(Answer::plain("the table has changed meanwhile", "look at it, and do it again")),
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
    let Ok(kept) = Kept::of_way(&task, (&way.laid, grain), now.recipe()) else { return false };
    let Some(found) = kept.again(&now) else { return false };
    let (Ok(drawn), Ok(kept)) = (found.drawn(), found.kept()) else { return false };
    table.keep_layout(found, drawn, &kept).is_ok()
}
