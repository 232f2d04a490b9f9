//! The drawing that is brought in, and its map: what is kept on disk, undone and done again, and noticed there when others
//! change it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::adopt::{Asked, Found, Map, MapEdit, MapThing, Tried, edited, offered_sizes, template, try_map};
use crate::drawing::Password;
use crate::files::Existing;
use crate::sheet;
use crate::table::bring::files::BringFiles;
use crate::table::bring::reading::{
    DrawingReader, ReadSoFar, Sizes, ToRead, found, refuse_scale, said_map, wrong,
};
use crate::table::fault::TableFault;
use crate::table::history::{History, HistoryWay};
use crate::table::made::MakingFault;
use crate::table::said::Refused;
use crate::toml_file::TextFault;
use crate::units::Unit;

/// A map as it is kept.
pub(super) struct KeptMap {
    pub(super) text: String,
    map: Map,
    history: History,
}

/// A drawing that is brought in.
pub struct Bring {
    files: BringFiles,
    pub(super) read_file: DrawingReader,
    pub(super) drawings: Vec<PathBuf>,
    /// Files that were dropped, and are not read yet.
    dropped: Vec<String>,
    password: Option<Password>,
    /// What is said of the drawing before there is a map.
    said: BTreeMap<String, String>,
    pub(super) sizes: Sizes,
    /// What was found without a size, while another is chosen.
    pub(super) choosing: Option<Arc<Found>>,
    standing: ReadSoFar,
    /// What was found when it was read last.
    last: Option<Arc<Found>>,
    pub(super) kept: Option<KeptMap>,
    outside: Option<String>,
    news: Option<String>,
    pub(super) revision: u64,
    /// How often something else was found: what lies beneath is then other.
    pub(super) drawn: u64,
    pub(super) readings: u64,
    unit: Unit,
}

impl Bring {
    /// Of drawings, none where one is still to be dropped; they are named from the folder as well. What is begun in the folder
    /// is gone on with.
    ///
    /// # Errors
    ///
    /// The folder cannot be read or written, or its map is no text.
    pub fn open(
        files: BringFiles,
        drawings: &[(PathBuf, String)],
        password: Option<Password>,
        read_file: DrawingReader,
        unit: Unit,
    ) -> Result<Bring, TableFault> {
        if !drawings.is_empty() {
            files.note_drawings(&drawings.iter().map(|(_, name)| name.clone()).collect::<Vec<_>>())?;
        }
        let drawings = files.drawings()?;
        let standing = if drawings.is_empty() { ReadSoFar::Nothing } else { ReadSoFar::Reading };
        let mut bring = Bring {
            files,
            read_file,
            drawings,
            dropped: Vec::new(),
            password,
            said: BTreeMap::new(),
            sizes: Sizes::Ask,
            choosing: None,
            standing,
            last: None,
            kept: None,
            outside: None,
            news: None,
            revision: 1,
            drawn: 0,
            readings: 0,
            unit,
        };
        bring.take_up_file();
        Ok(bring)
    }

    /// The folder that it is kept in.
    pub(super) fn folder(&self) -> &Path {
        self.files.folder()
    }

    pub(super) fn unit(&self) -> Unit {
        self.unit
    }

    pub(super) fn revision(&self) -> u64 {
        self.revision
    }

    pub(super) fn drawn(&self) -> u64 {
        self.drawn
    }

    pub(super) fn standing(&self) -> &ReadSoFar {
        &self.standing
    }

    pub(super) fn news(&self) -> Option<&str> {
        self.news.as_deref()
    }

    pub(super) fn outside(&self) -> Option<&str> {
        self.outside.as_deref()
    }

    pub(super) fn said(&self) -> &BTreeMap<String, String> {
        &self.said
    }

    /// What it is called: by its files.
    pub(super) fn title(&self) -> String {
        let names = self.drawings.iter().filter_map(|path| path.file_stem());
        let names: Vec<String> = names.map(|name| name.to_string_lossy().into_owned()).collect();
        if names.is_empty() { "A bought pattern".to_owned() } else { names.join(", ") }
    }

    /// The map and its text, where there is one, and what it is of.
    pub(super) fn mapped(&self) -> Option<(&Arc<Found>, &Map, &str)> {
        match (&self.standing, &self.kept) {
            (ReadSoFar::Read { found, .. }, Some(kept)) => Some((found, &kept.map, &kept.text)),
            _ => None,
        }
    }

    pub(super) fn found(&self) -> Option<&Arc<Found>> {
        match &self.standing {
            ReadSoFar::Read { found, .. } => Some(found),
            _ => None,
        }
    }

    pub(super) fn can_undo(&self) -> bool {
        self.kept.as_ref().is_some_and(|kept| kept.history.text(HistoryWay::Back).is_some())
    }

    pub(super) fn can_do_again(&self) -> bool {
        self.kept.as_ref().is_some_and(|kept| kept.history.text(HistoryWay::On).is_some())
    }

    /// The map that stands in the folder.
    fn take_up_file(&mut self) {
        let read = self.files.map().map_err(TableFault::from).and_then(|bytes| match bytes {
            None => Ok(None),
            Some(bytes) => {
                let text = String::from_utf8(bytes)
                    .map_err(|_| TableFault::refused("the map is no UTF-8 text", "save it as plain text"))?;
                let map = read_map(&text)?;
                let history =
                    History::open(self.files.undo_path(), &text).map_err(self.files.undo_fault())?;
                Ok(Some(KeptMap { text, map, history }))
            }
        });
        match read {
            Ok(kept) => {
                self.kept = kept;
                self.outside = None;
            }
            Err(fault) => self.outside = Some(fault.to_string()),
        }
    }

    /// What is asked of the drawing: as the map says, or what is said of it before there is one.
    pub(super) fn asked(&self) -> Result<Asked, TextFault> {
        let asked = match &self.kept {
            Some(kept) => kept.map.asked()?,
            None => said_map(&self.said)?.asked()?,
        };
        Ok(Asked { password: self.password.clone(), ..asked })
    }

    /// Begins to read the drawing: what is to be done on another thread; none where there is no drawing.
    pub(super) fn begin_reading(&mut self) -> Option<ToRead> {
        if self.drawings.is_empty() {
            return None;
        }
        self.readings += 1;
        self.revision += 1;
        match self.asked() {
            Ok(asked) => {
                self.standing = ReadSoFar::Reading;
                let (drawings, read_file) = (self.drawings.clone(), Arc::clone(&self.read_file));
                Some(ToRead { number: self.readings, drawings, asked, read_file })
            }
            Err(error) => {
                self.standing = ReadSoFar::Broken(wrong(&error));
                None
            }
        }
    }

    /// Takes up what was read, unless it was asked anew since.
    pub(super) fn end_reading(&mut self, reading: ToRead, read: Result<Found, Refused>) {
        if reading.number == self.readings {
            self.take_up(read, reading.asked);
        }
    }

    pub(super) fn take_up(&mut self, read: Result<Found, Refused>, asked: Asked) {
        self.revision += 1;
        self.drawn += 1;
        let found = match read {
            Ok(found) => Arc::new(found),
            Err(why) => {
                self.standing = ReadSoFar::Broken(why);
                return;
            }
        };
        self.last = Some(Arc::clone(&found));
        let is_one = asked.size.is_some() || self.sizes == Sizes::One || offered_sizes(&found).is_empty();
        let begins = self.kept.is_none() && self.outside.is_none() && is_one && found.no_outline.is_none();
        self.standing = ReadSoFar::Read { found: Arc::clone(&found), asked: asked.clone() };
        if begins && let Err(fault) = self.begin_map(&template(&found, &asked)) {
            self.outside = Some(fault.to_string());
        }
    }

    /// Begins a map with a text, or begins it anew.
    pub(super) fn begin_map(&mut self, text: &str) -> Result<(), TableFault> {
        if self.kept.is_some() {
            return self.change(text.to_owned());
        }
        self.files.write_map(text, Existing::Keep)?;
        self.take_up_file();
        self.read_as_asked()
    }

    /// Reads the drawing again where the map asks otherwise than before.
    fn read_as_asked(&mut self) -> Result<(), TableFault> {
        let asked = self.asked().map_err(|error| wrong(&error))?;
        if matches!(&self.standing, ReadSoFar::Read { asked: known, .. } if *known == asked) {
            return Ok(());
        }
        self.readings += 1;
        let read = found(&self.drawings, &asked, &self.read_file);
        self.take_up(read, asked);
        Ok(())
    }

    /// Keeps a file that was dropped on the page, by the name that it bore there.
    pub(super) fn drop_file(&mut self, bytes: &[u8], called: &str) -> Result<(), TableFault> {
        if self.kept.is_some() {
            return Err(TableFault::refused(
                "a drawing lies here already",
                "begin another table for another drawing",
            ));
        }
        let name = self.files.keep_drawing(bytes, called)?;
        self.dropped.push(name);
        Ok(())
    }

    /// The only file that was dropped, where that is a pattern already and no drawing.
    pub(super) fn dropped_sheet(&mut self) -> Option<String> {
        let [name] = self.dropped.as_slice() else { return None };
        let bytes = (self.read_file)(&self.files.path_of(name)).ok()?;
        sheet::read(&bytes, &sheet::ReadOptions::default()).ok()?;
        self.dropped.pop()
    }

    /// Takes up the files that were dropped: what is to be read.
    pub(super) fn take_dropped(&mut self) -> Result<Option<ToRead>, TableFault> {
        if self.dropped.is_empty() {
            return Ok(None);
        }
        let names = std::mem::take(&mut self.dropped);
        self.files.note_drawings(&names)?;
        self.drawings = self.files.drawings()?;
        self.said.clear();
        self.sizes = Sizes::Ask;
        Ok(self.begin_reading())
    }

    /// Opens the drawing with a password.
    pub(super) fn unlock(&mut self, password: &str) -> Option<ToRead> {
        self.password = Some(Password::new(password));
        self.begin_reading()
    }

    /// Looks at the map on disk: one that others changed is gone on with. Whether anything is other than before.
    pub fn look(&mut self) -> bool {
        let before = self.revision;
        let known = self.outside.clone();
        if let Err(fault) = self.look_at_map() {
            self.outside = Some(fault.to_string());
        }
        if self.outside != known && self.revision == before {
            self.revision += 1;
        }
        self.revision != before
    }

    fn look_at_map(&mut self) -> Result<(), TableFault> {
        let bytes = self.files.map()?;
        let Some(kept) = &mut self.kept else {
            if bytes.is_some() && !matches!(self.standing, ReadSoFar::Reading) {
                self.take_up_file();
                if self.kept.is_some() {
                    self.news = Some("A map stands in the folder: the table has gone on with it.".to_owned());
                    self.revision += 1;
                    return self.read_as_asked();
                }
            }
            return Ok(());
        };
        let Some(bytes) = bytes else {
            self.files.write_map(&kept.text, Existing::Keep)?;
            self.news = Some("map.toml was gone, and is written again.".to_owned());
            self.revision += 1;
            return Ok(());
        };
        if bytes == kept.text.as_bytes() {
            self.outside = None;
            return Ok(());
        }
        let text = String::from_utf8(bytes).map_err(|_| MakingFault::NoText)?;
        let map = read_map(&text)?;
        kept.history.begin(&text).map_err(self.files.undo_fault())?;
        kept.history.finish(&text).map_err(self.files.undo_fault())?;
        (kept.text, kept.map) = (text, map);
        self.outside = None;
        self.news = Some("Another program changed map.toml: the table has gone on with it.".to_owned());
        self.revision += 1;
        self.read_as_asked()
    }

    pub(super) fn refuse_outside(&mut self, seen: u64) -> Result<(), TableFault> {
        self.look();
        if let Some(why) = &self.outside {
            return Err(TableFault::refused(
                format!("the map on disk cannot be gone on with: {why}"),
                "mend map.toml; the table takes it up by itself",
            ));
        }
        if seen != self.revision {
            return Err(TableFault::refused("the map has changed meanwhile", "look at it, and do it again"));
        }
        self.news = None;
        Ok(())
    }

    /// Keeps a change of the map; before there is one, of what is said of the drawing.
    ///
    /// # Errors
    ///
    /// The change is refused, or cannot be kept.
    pub fn keep(&mut self, edit: &MapEdit, seen: u64) -> Result<(), TableFault> {
        self.refuse_outside(seen)?;
        let Some(kept) = &self.kept else { return self.say_of_drawing(edit) };
        let none = || TableFault::refused("the drawing is not read yet", "wait for it");
        let found = self.last.clone().ok_or_else(none)?;
        let text = edited(&kept.text, &found, edit).map_err(|error| wrong(&error))?;
        if text == kept.text { Ok(()) } else { self.change(text) }
    }

    fn say_of_drawing(&mut self, edit: &MapEdit) -> Result<(), TableFault> {
        let MapEdit::Say(MapThing::Drawing, fields) = edit else {
            return Err(TableFault::refused("there is no map yet", "choose a size first"));
        };
        let mut said = self.said.clone();
        said.extend(fields.clone());
        said.retain(|_, value| !value.trim().is_empty());
        said_map(&said).and_then(|map| map.asked()).map_err(|error| wrong(&error))?;
        self.said = said;
        self.read_as_asked()
    }

    fn change(&mut self, text: String) -> Result<(), TableFault> {
        let map = read_map(&text)?;
        let Some(kept) = &mut self.kept else { return Ok(()) };
        kept.history.begin(&text).map_err(self.files.undo_fault())?;
        if let Err(fault) = self.files.write_map(&text, Existing::Replace) {
            kept.history.forget_begun();
            return Err(fault.into());
        }
        let noted = kept.history.finish(&text).map_err(self.files.undo_fault());
        (kept.text, kept.map) = (text, map);
        self.revision += 1;
        noted?;
        self.read_as_asked()
    }

    /// Takes the last change back.
    ///
    /// # Errors
    ///
    /// There is none; the map cannot be written.
    pub fn undo(&mut self, seen: u64) -> Result<(), TableFault> {
        self.go(seen, HistoryWay::Back)
    }

    /// Does again what was taken back last.
    ///
    /// # Errors
    ///
    /// There is nothing; the map cannot be written.
    pub fn do_again(&mut self, seen: u64) -> Result<(), TableFault> {
        self.go(seen, HistoryWay::On)
    }

    fn go(&mut self, seen: u64, way: HistoryWay) -> Result<(), TableFault> {
        self.refuse_outside(seen)?;
        let none = || TableFault::refused("nothing is left to take back or do again", "go on from here");
        let kept = self.kept.as_mut().ok_or_else(none)?;
        let text = kept.history.text(way).ok_or_else(none)?;
        let map = read_map(&text)?;
        self.files.write_map(&text, Existing::Replace)?;
        let noted = kept.history.went(way, text.clone());
        (kept.text, kept.map) = (text, map);
        self.revision += 1;
        noted.map_err(self.files.undo_fault())?;
        self.read_as_asked()
    }

    /// What comes of the map.
    pub(super) fn tried(&self) -> Option<Tried> {
        self.mapped().map(|(found, map, _)| try_map(found, map))
    }

    /// Makes the pattern, and writes it into the folder: as `adopt` does by that map. Its name there.
    ///
    /// # Errors
    ///
    /// Something in the map is wrong, the scale is not known, or the pattern cannot be written.
    pub fn make(&mut self, seen: u64) -> Result<&'static str, TableFault> {
        self.refuse_outside(seen)?;
        let none = || TableFault::refused("there is no map yet", "choose a size first");
        let (found, map, _) = self.mapped().ok_or_else(none)?;
        refuse_scale(found)?;
        let tried = try_map(found, map);
        if let Some(error) = tried.faults().next() {
            return Err(wrong(error).into());
        }
        let pattern = tried.pattern.ok_or_else(none)?;
        let unwritten = |error: crate::sheet::WriteError| TableFault::refused(error, "look at the map again");
        let sheet = sheet::write(&pattern).map_err(unwritten)?;
        let aside = self.files.write_bought(&sheet)?;
        self.news =
            aside.map(|name| format!("What stood in {} is kept as {name}.", self.files.bought_name()));
        self.revision += 1;
        Ok(self.files.bought_name())
    }
}

/// A map that can be gone on with: what it asks of the drawing can be asked.
fn read_map(text: &str) -> Result<Map, TableFault> {
    let map = Map::read(text).map_err(|error| wrong(&error))?;
    map.asked().map_err(|error| wrong(&error))?;
    Ok(map)
}
