//! All that lies on the table: what is kept on disk, undone and done again, and noticed there when others change it.

mod watch;

use std::path::Path;
use std::sync::{Arc, Mutex, OnceLock};

use serde_json::Value;

use crate::cloth::Stock;
use crate::recipe::OnOrOff;
use crate::table::basis::Basis;
use crate::table::cloth::ClothFile;
use crate::table::fault::TableFault;
use crate::table::folder::{Folder, FolderFault};
use crate::table::hand::FallsShort;
use crate::table::history::{History, HistoryWay};
use crate::table::holds::HoldsFound;
use crate::table::lay::Layouts;
use crate::table::made::{MakingFault, ReadCloth, RecipeMade};
use crate::table::on_table::{At, OnTable, Outside, Ways};
use crate::table::product::Product;
use crate::table::recipe_text::{left_out, put_back, with_step};
use crate::table::said::Refused;
use crate::table::save::{ProductSeen, WrittenFiles};
use crate::table::seen::{TableSeen, TableStands};
use crate::table::wish::Wish;
use crate::units::Unit;

/// Reads the cloth that a step of the recipe names: it alone may read files, and only such as the recipe on disk names.
pub type ClothReader = Box<dyn Fn(&str) -> Result<Stock, String> + Send + Sync>;

/// A table.
pub struct Table {
    pub(super) folder: Folder,
    laid: Arc<OnTable>,
    history: History,
    /// The sheet as it was last written or found to be ours.
    written: Option<String>,
    outside: Outside,
    /// Why what is kept could not be written everywhere.
    unwritten: Option<String>,
    revision: u64,
    files_written: u64,
    news: Option<String>,
    products: WrittenFiles,
    pub(super) layouts: Layouts,
    pub(super) cloth_file: Option<ClothFile>,
}

/// What the recipe of a folder makes, and what of it can be undone.
fn begin(
    folder: &Folder,
    read_cloth: &ReadCloth<'_>,
    unit: Unit,
) -> Result<(RecipeMade, History, String), TableFault> {
    let bytes = folder.recipe()?.ok_or(MakingFault::NoPattern)?;
    let text = String::from_utf8(bytes).map_err(|_| MakingFault::NoText)?;
    let made = RecipeMade::of(&text, folder.path(), read_cloth, None, unit)?;
    let history = History::open(folder.undo_path(), &text).map_err(folder.undo_fault())?;
    Ok((made, history, text))
}

impl Table {
    /// Lays out what the recipe of a folder makes. The sheet is written where it is not there, or is one that the recipe
    /// made a step before.
    ///
    /// # Errors
    ///
    /// The folder has no recipe, one that cannot be read, or cannot be written to. It is then given back as it was.
    pub fn open(
        folder: Folder,
        stock: Option<Stock>,
        read_cloth: ClothReader,
        unit: Unit,
    ) -> Result<Table, TableFault> {
        match begin(&folder, &*read_cloth, unit) {
            Ok((made, history, text)) => {
                let ways = Ways { folder: folder.path().into(), read_cloth };
                let laid = Arc::new(OnTable {
                    ways: Arc::new(ways),
                    made,
                    stock: stock.map(Arc::new),
                    unit,
                    text,
                    holds: HoldsFound::default(),
                    earlier: Mutex::default(),
                    cloth_digest: Arc::default(),
                    basis: OnceLock::new(),
                });
                let mut table = Table {
                    products: WrittenFiles::of(&folder),
                    layouts: Layouts::default(),
                    cloth_file: None,
                    folder,
                    laid,
                    history,
                    written: None,
                    outside: Outside::Nothing,
                    unwritten: None,
                    revision: 1,
                    files_written: 0,
                    news: None,
                };
                match table.take_up_sheet() {
                    Ok(()) => Ok(table),
                    Err(fault) => {
                        table.folder.give_back();
                        Err(fault)
                    }
                }
            }
            Err(fault) => {
                folder.give_back();
                Err(fault)
            }
        }
    }

    /// Where it lies.
    #[must_use]
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// What lies on it now.
    #[must_use]
    pub fn laid(&self) -> Arc<OnTable> {
        Arc::clone(&self.laid)
    }

    /// How often it changed.
    #[must_use]
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// How often a file was written that is made of what lies on it: that changes nothing of what a page wishes.
    #[must_use]
    pub fn files_written(&self) -> u64 {
        self.files_written
    }

    /// What of it a person is shown.
    #[must_use]
    pub fn seen(&self) -> TableSeen {
        let standing = TableStands {
            revision: self.revision,
            can_undo: self.history.text(HistoryWay::Back).is_some(),
            can_do_again: self.history.text(HistoryWay::On).is_some(),
            outside: &self.outside,
            news: self.news.as_deref(),
        };
        TableSeen::of(&self.laid, standing)
    }

    /// Whether the sheet on disk is one that this table wrote, now or before its last change; else it is left as it is.
    fn take_up_sheet(&mut self) -> Result<(), TableFault> {
        let Some(found) = self.folder.sheet()? else { return self.write_sheet() };
        let is = |made: Option<&str>| made.is_some_and(|sheet| sheet.as_bytes() == found);
        if is(self.laid.sheet()) {
            self.written = self.laid.sheet().map(str::to_owned);
            return Ok(());
        }
        let near = [self.history.text(HistoryWay::Back), self.history.text(HistoryWay::On)];
        let made = |text: String| self.laid.made_of(&text).ok().and_then(|made| made.sheet);
        self.written = near.into_iter().flatten().filter_map(made).find(|made| is(Some(made)));
        self.write_sheet()
    }

    /// Writes the sheet, unless the one on disk is another's: that is told, and left as it is.
    fn write_sheet(&mut self) -> Result<(), TableFault> {
        self.outside = Outside::Nothing;
        if !self.is_own_sheet()? {
            self.outside = Outside::Sheet;
            return Ok(());
        }
        if let Some(sheet) = self.laid.sheet() {
            self.folder.write_sheet(sheet)?;
            self.written = Some(sheet.to_owned());
        }
        Ok(())
    }

    /// Tells all pages something that no one of them asked for.
    pub(super) fn tell(&mut self, news: String) {
        self.news = Some(news);
        self.revision += 1;
    }

    /// Tells of files of others that were put aside.
    pub(super) fn tell_aside(&mut self, asides: impl IntoIterator<Item = String>) {
        let told: Vec<String> = asides.into_iter().collect();
        if !told.is_empty() {
            self.tell(told.join(" "));
        }
    }

    /// Lays out other cloth: what the steps make of it is made anew.
    pub(super) fn lay_other_cloth(&mut self, stock: Option<Arc<Stock>>) -> Result<(), TableFault> {
        let (text, made) = (self.laid.text.clone(), self.laid.made_of(&self.laid.text)?);
        self.lay_on(text, made, stock);
        self.settle_again();
        Ok(())
    }

    fn lay(&mut self, text: String, made: RecipeMade) {
        let stock = self.laid.stock.clone();
        self.lay_on(text, made, stock);
    }

    fn lay_on(&mut self, text: String, made: RecipeMade, stock: Option<Arc<Stock>>) {
        let OnTable { ways, unit, .. } = &*self.laid;
        let is_same = self.laid.stock.as_ref().zip(stock.as_ref()).is_some_and(|(a, b)| Arc::ptr_eq(a, b));
        let cloth_digest = if is_same { Arc::clone(&self.laid.cloth_digest) } else { Arc::default() };
        self.laid = Arc::new(OnTable {
            ways: Arc::clone(ways),
            made,
            stock,
            unit: *unit,
            text,
            holds: HoldsFound::default(),
            earlier: Mutex::default(),
            cloth_digest,
            basis: OnceLock::new(),
        });
        self.revision += 1;
    }

    /// Refuses to keep anything while the files are other than the table knows, or the page has not seen its last state.
    pub(super) fn refuse_outside(&mut self, seen: u64) -> Result<(), TableFault> {
        self.look();
        match &self.outside {
            Outside::Recipe(why) => {
                return Err(TableFault::refused(
                    format!("the recipe on disk cannot be gone on with: {why}"),
                    format!("mend {}; the table takes it up by itself", Product::Recipe.file()),
                ));
            }
            Outside::Sheet => {
                return Err(TableFault::refused(
                    format!("another program changed {}", Product::Sheet.file()),
                    "put the changed one aside: then this one is written",
                ));
            }
            Outside::Nothing | Outside::Unwritten(_) => {}
        }
        if seen != self.revision {
            return Err(TableFault::refused(
                "the table has changed meanwhile",
                "look at it, and do it again",
            ));
        }
        self.news = None;
        Ok(())
    }

    /// Keeps a wish as a step after all others: first the recipe, then the sheet that it makes.
    ///
    /// # Errors
    ///
    /// The wish is refused, changes nothing, or cannot be kept.
    pub fn keep(&mut self, wish: &Wish, seen: u64) -> Result<(), TableFault> {
        self.keep_at(wish, At::End, seen)
    }

    /// Keeps a wish as a step at a place in the recipe. A later step that can then not be done is left out, with the reason
    /// beside it.
    ///
    /// # Errors
    ///
    /// There is no such place; the wish is refused, changes nothing, or cannot be kept.
    pub fn keep_at(&mut self, wish: &Wish, at: At, seen: u64) -> Result<(), TableFault> {
        self.refuse_outside(seen)?;
        let held = self.laid.held(wish, at)?;
        let unmeant = || match &held.falls_short {
            Some(FallsShort { what, way_out }) => TableFault::refused(what, way_out),
            None => TableFault::refused("nothing would change", "move the hand farther"),
        };
        let step = held.written().ok_or_else(unmeant)?;
        let (text, number) = self.laid.text_with(&step, at)?;
        let settled = self.laid.settled(text, number);
        // What is refused is refused in the words of a trial, which knows more ways out.
        let (text, made) =
            settled.map_err(|fault| self.laid.tried(wish, at).refused.map_or(fault, TableFault::from))?;
        self.change(text, made)
    }

    /// Keeps steps after all others, as one change.
    pub(super) fn keep_all(&mut self, steps: &[Value], seen: u64) -> Result<(), TableFault> {
        self.refuse_outside(seen)?;
        let first = self.laid.made.steps.len() + 1;
        let text = steps.iter().fold(self.laid.text.clone(), |text, step| with_step(&text, step));
        let made = self.laid.made_of(&text)?;
        if let Some((_, step, refusal)) = made.refused_from(first) {
            return Err(Refused::of(refusal, Some(&step.step)).into());
        }
        if steps.is_empty() { Ok(()) } else { self.change(text, made) }
    }

    /// Leaves a step out, or puts it back. A later step that can then not be done is left out as well, with the reason
    /// beside it; one that was left out so is done again as soon as it can be.
    ///
    /// # Errors
    ///
    /// There is no such step; what is put back is refused; it cannot be kept.
    pub fn turn(&mut self, number: usize, turn: OnOrOff, seen: u64) -> Result<(), TableFault> {
        self.refuse_outside(seen)?;
        let step = self.laid.step_numbered(number)?;
        if step.turn == turn {
            return Ok(());
        }
        let (text, made) = match turn {
            OnOrOff::Off => self.laid.settled(left_out(&self.laid.text, &step.place, None), number)?,
            OnOrOff::On => self.laid.settled(put_back(&self.laid.text, &step.place), number)?,
        };
        self.change(text, made)
    }

    fn change(&mut self, text: String, made: RecipeMade) -> Result<(), TableFault> {
        self.history.begin(&text).map_err(self.folder.undo_fault())?;
        if let Err(fault) = self.folder.write_recipe(&text) {
            self.history.forget_begun();
            return Err(fault.into());
        }
        let noted = self.history.finish(&text).map_err(self.folder.undo_fault());
        self.lay(text, made);
        self.settle(noted);
        Ok(())
    }

    /// Writes what is made of the recipe, which is kept by now whatever becomes of that: what cannot be written is told, and
    /// tried again.
    fn settle(&mut self, noted: Result<(), FolderFault>) {
        let settled = noted.map_err(TableFault::from).and_then(|()| self.write_sheet());
        self.unwritten = settled.err().map(|fault| fault.to_string());
        if let Some(why) = &self.unwritten {
            self.outside = Outside::Unwritten(why.clone());
        }
    }

    /// Writes what is made of the recipe, and before it what could not be written the last time.
    fn settle_again(&mut self) {
        let noted = match &self.unwritten {
            Some(_) => self.history.write_again().map_err(self.folder.undo_fault()),
            None => Ok(()),
        };
        self.settle(noted);
    }

    /// Takes the last change back.
    ///
    /// # Errors
    ///
    /// There is none; the recipe cannot be written.
    pub fn undo(&mut self, seen: u64) -> Result<(), TableFault> {
        self.go(seen, HistoryWay::Back, "nothing is left to take back")
    }

    /// Does again what was taken back last.
    ///
    /// # Errors
    ///
    /// There is nothing; the recipe cannot be written.
    pub fn do_again(&mut self, seen: u64) -> Result<(), TableFault> {
        self.go(seen, HistoryWay::On, "nothing is left to do again")
    }

    fn go(&mut self, seen: u64, way: HistoryWay, nothing: &str) -> Result<(), TableFault> {
        self.refuse_outside(seen)?;
        let none = || TableFault::refused(nothing, "go on from here");
        let text = self.history.text(way).ok_or_else(none)?;
        let made = self.laid.made_of(&text)?;
        self.folder.write_recipe(&text)?;
        let noted = self.history.went(way, text.clone()).map_err(self.folder.undo_fault());
        self.lay(text, made);
        self.settle(noted);
        Ok(())
    }

    /// Puts a sheet that others changed aside under another name, and writes the table's own.
    ///
    /// # Errors
    ///
    /// It cannot be renamed or written.
    pub fn put_aside(&mut self) -> Result<(), TableFault> {
        self.look();
        if self.outside == Outside::Sheet {
            let name = self.folder.put_aside(Product::Sheet.file())?;
            self.tell(format!("The changed one is kept as {name}."));
            self.write_sheet()?;
        }
        Ok(())
    }

    /// The files of the folder that are there.
    #[must_use]
    pub fn products(&self) -> Vec<ProductSeen> {
        self.products.seen(self.folder.path(), self.laid.basis())
    }

    /// The bytes of a file of the folder; none where it is not there.
    ///
    /// # Errors
    ///
    /// It cannot be read.
    pub fn product(&self, product: Product) -> Result<Option<Vec<u8>>, FolderFault> {
        self.folder.file(product.file())
    }

    /// The layout in the folder, if it is of what lies on the table now.
    pub(super) fn layout_there(&self) -> Result<LayoutThere, FolderFault> {
        Ok(match self.product(Product::Layout)? {
            None => LayoutThere::None,
            Some(bytes) if self.products.is_of_now(Product::Layout, &bytes, self.laid.basis()) => {
                LayoutThere::OfNow(bytes)
            }
            Some(_) => LayoutThere::OfOther,
        })
    }

    /// Writes a file that was made; where another program wrote one of its name, that is put aside, and its new name is
    /// told.
    pub(super) fn write_product(
        &mut self,
        product: Product,
        content: &[u8],
        of: Option<Basis>,
    ) -> Result<Option<String>, FolderFault> {
        let aside = self.products.write(&self.folder, product, (content, of))?;
        self.note_file_written();
        Ok(aside)
    }

    pub(super) fn note_file_written(&mut self) {
        self.files_written += 1;
    }
}

/// The layout in the folder of a table.
pub(super) enum LayoutThere {
    /// There is none.
    None,
    /// It is of what lies on the table now.
    OfNow(Vec<u8>),
    /// It is of what lay there before, or not of this table.
    OfOther,
}
