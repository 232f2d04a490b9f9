//! `table`: the cutting table in the browser.

use std::convert::Infallible;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Arc;

use clap::{Args, ValueHint};
use retrue::cloth::Stock;
use retrue::cloth::file::{of_size, with_files};
use retrue::recipe::Recipe;
use retrue::table::{
    Bring, BringFiles, Bringing, ClothFile, ClothHome, ClothTextReader, Door, DrawingReader, Folder,
    FolderFault, MakingFault, Product, Table, TableFault, begun, serve, serve_bringing, with_cloths,
    with_pattern,
};
use retrue::toml_file::TextFault;
use retrue::truing::Verdict;

use crate::cli::cloth_source::ClothSource;
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::file_sort::{FileSort, Megabytes};
use crate::cli::fit_cloth::FitCloth;
use crate::cli::folders::refuse_no_folder;
use crate::cli::io::{self, Source};
use crate::cli::messages::Messages;
use crate::cli::options::{ReadingOptions, UnitOptions};
use crate::cli::recipe::RecipeFile;

/// Lay the pattern and the cloth on the cutting table, in the browser: take hold of a seam and move it.
///
/// What is done becomes the recipe of the folder, recipe.toml, and pattern.svg is what it makes: the same that apply makes
/// of it. A folder that is there is gone on with. The address that is printed is for this machine alone; Ctrl-C ends it.
#[derive(Clone, Debug, Args)]
pub struct TableCommand {
    /// The pattern sheet, or a bought drawing, PDF or SVG, several where its pages are several files; otherwise the pattern that
    /// the recipe names. With -o alone a drawing can be dropped on the page.
    #[arg(value_name = "PATTERN", value_hint = ValueHint::FilePath)]
    pattern: Vec<PathBuf>,
    /// The cloth: a cloth file, or width and length, "37cm x 11.4m". What is set of it at the table is written to cloth.toml in
    /// the folder, and to no other file.
    #[arg(long, value_name = "FILE-OR-SIZE")]
    cloth: Option<ClothSource>,
    /// A recipe to go on from; it stays as it is, and the folder gets one of its own.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    recipe: Option<PathBuf>,
    /// The folder that is written to; otherwise one in this folder, named for the pattern: coat-table.
    #[arg(short, long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    output: Option<PathBuf>,
    /// The port; any that is free with 0.
    #[arg(long, value_name = "NUMBER", default_value_t = 0)]
    port: u16,
    /// Only print the address.
    #[arg(long)]
    no_open: bool,
    #[command(flatten)]
    unit: UnitOptions,
}

/// What a table begins with.
struct BeginsWith {
    /// The text of a recipe, and the folder that it stands in, if one is named.
    recipe: Option<(String, PathBuf)>,
    /// The file of the pattern.
    pattern: PathBuf,
}

impl BeginsWith {
    /// Writes the recipe of a folder, what it names being named from there.
    fn write(&self, folder: &mut Folder) -> Result<(), Failure> {
        let path = folder.path().to_owned();
        let unwritten = |fault| untabled(&path, &TableFault::Making(MakingFault::Recipe(fault)));
        let name = beside(&path, &self.pattern);
        let text = match &self.recipe {
            None => begun(&name),
            Some((text, from)) => {
                let named = with_cloths(text, |cloth| match FitCloth::written(cloth, from).source {
                    ClothSource::File(file) if file.is_relative() => Some(within(&path, from)),
                    _ => None,
                });
                with_pattern(&named.map_err(unwritten)?, &name).map_err(unwritten)?
            }
        };
        folder.begin(&text).map_err(|fault| unfolded(&path, &fault))
    }
}

/// The first line of a cloth file that was begun from another.
fn begun_from(file: &str) -> String {
    format!("# Set at the cutting table; begun from {file}.\n")
}

/// The cloth of a table.
#[derive(Clone)]
struct ClothSaid {
    stock: Option<Stock>,
    file: ClothFile,
    /// What is to be known of where it comes from.
    note: Option<String>,
    /// As it was named, wherever one works next time.
    named: Option<String>,
}

impl TableCommand {
    /// Lays the table, and serves it until it is ended.
    ///
    /// # Errors
    ///
    /// A file cannot be read, the folder holds another pattern's table or cannot be written to, or the port is taken.
    pub fn run(&self, messages: &Messages) -> Result<Exit, Failure> {
        let path = self.folder()?;
        refuse_no_folder(&path)?;
        let cloth = self.cloth_said(&path)?;
        let files = BringFiles::within(&path);
        if self.is_drawing()? {
            return self.bring_in(&path, files, cloth, messages);
        }
        let begins = self.begins(&path, messages)?;
        let door = self.door()?;
        let mut folder = Folder::take(&path).map_err(|fault| unfolded(&path, &fault))?;
        if let Some(begins) = begins
            && let Err(failure) = begins.write(&mut folder)
        {
            folder.give_back();
            return Err(failure);
        }
        cloth.note.iter().for_each(|note| messages.note(note));
        let table = self.lay(folder, cloth).map_err(|fault| untabled(&path, &fault))?;
        let sheet = Source::File(table.folder().join(Product::Sheet.file()));
        messages.verdict(&Verdict::of(table.laid().pattern()), &sheet, self.unit.unit());
        if files.are_there() {
            let bring = self.bring(&path, files, &[])?;
            let bringing = Bringing::behind(bring, table, largest_dropped());
            return self.serve(door, &path, messages, |door| serve_bringing(door, &bringing));
        }
        self.serve(door, &path, messages, |door| serve(door, table))
    }

    fn door(&self) -> Result<Door, Failure> {
        Door::open(self.port).map_err(|error| {
            Failure::new(
                format!("port {} cannot be listened at: {error}", self.port),
                "name another with --port, or leave it out",
            )
        })
    }

    /// Lays a table on a folder.
    fn lay(&self, folder: Folder, cloth: ClothSaid) -> Result<Table, TableFault> {
        let near = folder.path().to_owned();
        let read_cloth = move |cloth: &str| {
            FitCloth::written(cloth, &near).source.read(&near).map_err(|failure| failure.line())
        };
        if let Some(named) = &cloth.named {
            folder.keep_cloth_named(named)?;
        }
        let table = Table::open(folder, cloth.stock, Box::new(read_cloth), self.unit.unit())?;
        Ok(table.with_cloth_file(cloth.file))
    }

    /// Says where the table is, and serves it until it is ended.
    fn serve(
        &self,
        door: Door,
        path: &Path,
        messages: &Messages,
        serve: impl FnOnce(Door) -> std::io::Result<()>,
    ) -> Result<Exit, Failure> {
        let told =
            |error: std::io::Error| Failure::new(format!("the table cannot be served: {error}"), "try again");
        let address = door.address().map_err(told)?;
        io::print(&format!("{address}\n"))?;
        messages.note(format!("the table lies in {}; Ctrl-C ends it", path.display()));
        if !self.no_open && !is_opened(&address) {
            messages.note("open the address in a browser");
        }
        serve(door).map_err(told)?;
        Ok(Exit::True)
    }

    /// The cloth that is laid out: the one that is named, or that of the folder where it was begun from that one. Where none is
    /// named that of the folder, else the one that was named the last time.
    fn cloth_said(&self, folder: &Path) -> Result<ClothSaid, Failure> {
        let Some(named) = &self.cloth else {
            let before = Folder::cloth_named(folder).filter(|_| !folder.join(Product::Cloth.file()).exists());
            let Some(before) = before else { return Self::cloth_of(None, folder) };
            let source = before.parse().unwrap_or_else(|never: Infallible| match never {});
            return Self::cloth_of(Some((&source, &before)), folder).or_else(|_| {
                let note = format!("the cloth that lay here was {before}, which cannot be read any more");
                Ok(ClothSaid { note: Some(note), ..Self::cloth_of(None, folder)? })
            });
        };
        let anywhere = match named {
            ClothSource::File(file) => whole(file).display().to_string(),
            ClothSource::Size(_) => named.to_string(),
        };
        let said = Self::cloth_of(Some((named, &anywhere)), folder)?;
        Ok(ClothSaid { named: Some(anywhere), ..said })
    }

    /// A cloth that is named, here and wherever one works; or that of the folder, which may have been begun of it.
    fn cloth_of(named: Option<(&ClothSource, &str)>, folder: &Path) -> Result<ClothSaid, Failure> {
        let own = folder.join(Product::Cloth.file());
        let place = folder.to_owned();
        let read: ClothTextReader = Arc::new(move |text| {
            ClothSource::read_text(Product::Cloth.file(), text, &place).map_err(|failure| failure.line())
        });
        let of = |text: String, home, read, note| -> Result<ClothSaid, Failure> {
            let stock = match text.is_empty() {
                true => None,
                false => Some(ClothSource::read_text(Product::Cloth.file(), &text, folder)?),
            };
            Ok(ClothSaid { stock, file: ClothFile::new(text, home, read), note, named: None })
        };
        let own_text =
            || Source::File(own.clone()).read_text(FileSort::Cloth).map(|text| text.source.clone());
        let Some((named, anywhere)) = named else {
            return match own.exists() {
                true => of(own_text()?, ClothHome::Folder, read, None),
                false => of(String::new(), ClothHome::Nowhere, read, None),
            };
        };
        if own.exists() && Folder::cloth_begun_of(folder).is_some_and(|begun_of| begun_of == anywhere) {
            let note = format!(
                "the cloth is that of {} as it was set at the table; take that file away to begin again with {named}",
                own.display(),
            );
            return of(own_text()?, ClothHome::Folder, read, Some(note));
        }
        match named {
            ClothSource::File(file) if is_same(file, &own) => of(own_text()?, ClothHome::Folder, read, None),
            ClothSource::File(file) => {
                let stock = ClothSource::File(file.clone()).read(Path::new(""))?;
                let text = Source::File(file.clone()).read_text(FileSort::Cloth)?;
                let before = within(folder, file.parent().unwrap_or(Path::new("")));
                let renamed = with_files(&text.source, |name| match Path::new(name).is_relative() {
                    true => format!("{before}{name}"),
                    false => name.to_owned(),
                });
                let unread = |fault: TextFault| Failure::in_fault(&text, &fault);
                let file = format!("{}{}", begun_from(&beside(folder, file)), renamed.map_err(unread)?);
                let home = ClothHome::Elsewhere(named.to_string());
                Ok(ClothSaid {
                    stock: Some(stock),
                    file: ClothFile::new(file, home, read).begun_of(anywhere.to_owned()),
                    note: None,
                    named: None,
                })
            }
            ClothSource::Size(size) => {
                let size = size.clone();
                let stock = ClothSource::Size(size.clone()).read(Path::new(""))?;
                let text = size.map(|size| of_size(&size)).unwrap_or_default();
                Ok(ClothSaid {
                    stock: Some(stock),
                    file: ClothFile::new(text, ClothHome::Nowhere, read).begun_of(anywhere.to_owned()),
                    note: None,
                    named: None,
                })
            }
        }
    }

    /// Whether what is to lie on the table is to be brought in first: drawings that are named, one that was begun in the folder,
    /// or one that is still to be dropped on the page.
    fn is_drawing(&self) -> Result<bool, Failure> {
        let folder = self.folder()?;
        match self.pattern.as_slice() {
            _ if folder.join(Product::Recipe.file()).exists() => Ok(false),
            [] => Ok(self.recipe.is_none() && self.output.is_some()),
            [one] => {
                let bytes = Source::File(one.clone()).read(FileSort::Drawing)?;
                Ok(self.recipe.is_none() && !FileSort::Pattern.is(&bytes) && !marks_pieces(&bytes))
            }
            _ => Ok(true),
        }
    }

    /// Serves the page on which a drawing is brought in.
    fn bring_in(
        &self,
        path: &Path,
        files: BringFiles,
        cloth: ClothSaid,
        messages: &Messages,
    ) -> Result<Exit, Failure> {
        for file in &self.pattern {
            Source::File(file.clone()).read(FileSort::Drawing)?;
        }
        let door = self.door()?;
        let folder = Folder::take(path).map_err(|fault| unfolded(path, &fault))?;
        if files.are_there() && !self.pattern.is_empty() {
            let noted = files.named(&self.pattern.iter().map(|file| beside(path, file)).collect::<Vec<_>>());
            if !noted.map_err(|fault| unfolded(path, &fault))? {
                folder.give_back();
                return Err(Failure::in_file(
                    path.display(),
                    "another drawing is being brought in in this folder",
                )
                .way_out("name another folder with -o, or leave the file out to go on with that"));
            }
        }
        let drawings: Vec<(PathBuf, String)> =
            self.pattern.iter().map(|file| (file.clone(), beside(path, file))).collect();
        let bring = match self.bring(path, files, &drawings) {
            Ok(bring) => bring,
            Err(failure) => {
                folder.give_back();
                return Err(failure);
            }
        };
        cloth.note.iter().for_each(|note| messages.note(note));
        let command = self.clone();
        let lay = move |folder| command.lay(folder, cloth.clone());
        let bringing = Bringing::begin(bring, folder, largest_dropped(), lay);
        self.serve(door, path, messages, |door| serve_bringing(door, &bringing))
    }

    fn bring(
        &self,
        path: &Path,
        files: BringFiles,
        drawings: &[(PathBuf, String)],
    ) -> Result<Bring, Failure> {
        let read: DrawingReader = Arc::new(|file: &Path| {
            Source::File(file.to_owned()).read(FileSort::Drawing).map_err(|failure| failure.line())
        });
        Bring::open(files, drawings, None, read, self.unit.unit()).map_err(|fault| untabled(path, &fault))
    }

    fn folder(&self) -> Result<PathBuf, Failure> {
        let named = self.pattern.first().or(self.recipe.as_ref()).and_then(|file| file.file_stem());
        match (&self.output, named) {
            (Some(folder), _) => Ok(folder.clone()),
            (None, Some(name)) => Ok(PathBuf::from(format!("{}-table", name.to_string_lossy()))),
            (None, None) => Err(Failure::new(
                "no pattern is named",
                "name one, or with -o the folder of a table to go on with",
            )),
        }
    }

    /// What the folder begins with: a recipe, if one is named, and a pattern; none where it has a recipe to go on with.
    fn begins(&self, folder: &Path, messages: &Messages) -> Result<Option<BeginsWith>, Failure> {
        let there = folder.join(Product::Recipe.file());
        if there.exists() {
            self.refuse_other(&there)?;
            return Ok(None);
        }
        let recipe =
            self.recipe.clone().map(|path| RecipeFile::read(&Source::File(path), &[])).transpose()?;
        let named = recipe
            .as_ref()
            .and_then(|recipe| recipe.recipe.pattern.as_ref().map(|name| recipe.folder.join(name)));
        let Some(pattern) = self.pattern.first().cloned().or(named) else {
            return Err(Failure::new(
                "no pattern is named, and the folder has no recipe",
                "name a pattern: retrue table coat.svg",
            ));
        };
        ReadingOptions::plain().read(&Source::File(pattern.clone()), messages)?;
        let recipe = recipe.map(|recipe| (recipe.text.source.clone(), recipe.folder));
        Ok(Some(BeginsWith { recipe, pattern }))
    }

    /// Refuses a folder whose table is not the one that is asked for.
    fn refuse_other(&self, there: &Path) -> Result<(), Failure> {
        let way_out = "name another folder with -o, or leave the file out to go on with this table";
        if let Some(recipe) = &self.recipe
            && !is_same(recipe, there)
        {
            return Err(
                Failure::in_file(there.display(), "this folder has a recipe already").way_out(way_out)
            );
        }
        let Some(pattern) = self.pattern.first() else { return Ok(()) };
        let place = there.parent().unwrap_or(Path::new(""));
        let brought: Vec<String> = self.pattern.iter().map(|file| beside(place, file)).collect();
        if BringFiles::within(place).named(&brought).unwrap_or(false) {
            return Ok(());
        }
        let text = Source::File(there.to_owned()).read_text(FileSort::Recipe)?;
        let named = Recipe::read(&text.source, &[]).ok().and_then(|recipe| recipe.pattern);
        let folder = there.parent().unwrap_or(Path::new(""));
        match named {
            Some(named) if !is_same(pattern, &folder.join(&named)) => {
                let what = format!("the table in this folder is of another pattern, `{named}`");
                Err(Failure::in_file(there.display(), what).way_out(way_out))
            }
            _ => Ok(()),
        }
    }
}

/// Whether a file marks pieces, as a pattern sheet does: one that cannot be read is then no drawing, but a sheet to be mended.
fn marks_pieces(bytes: &[u8]) -> bool {
    const MARK: &[u8] = b"data-kind";
    bytes.windows(MARK.len()).any(|part| part == MARK)
}

/// How large a file may be that is dropped on the page, bytes: as large as one that is named.
fn largest_dropped() -> usize {
    let Megabytes(largest) = FileSort::Drawing.largest();
    usize::try_from(largest << 20).unwrap_or(usize::MAX)
}

fn is_same(a: &Path, b: &Path) -> bool {
    a.canonicalize().is_ok_and(|a| b.canonicalize().is_ok_and(|b| a == b))
}

/// The whole name of a file or folder, whether it is there already or is still to be made.
fn whole(path: &Path) -> PathBuf {
    let path = if path.as_os_str().is_empty() { Path::new(".") } else { path };
    let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let there = path.ancestors().find_map(|there| Some((there.canonicalize().ok()?, there)));
    match there {
        // What is joined to nothing would end in a slash.
        Some((known, there)) if there == path => known,
        Some((known, there)) => known.join(path.strip_prefix(there).unwrap_or(Path::new(""))),
        None => path,
    }
}

/// A file or folder as it is named from a folder.
fn beside(folder: &Path, file: &Path) -> String {
    let (folder, file) = (whole(folder), whole(file));
    let shared = folder.components().zip(file.components()).take_while(|(a, b)| a == b).count();
    if shared == 0 {
        return file.display().to_string();
    }
    let up = folder.components().skip(shared).map(|_| "..".to_owned());
    let down = file.components().skip(shared).map(|part| part.as_os_str().to_string_lossy().into_owned());
    up.chain(down).collect::<Vec<_>>().join("/")
}

/// What stands before the name of a file of one folder where it is named from another.
fn within(folder: &Path, other: &Path) -> String {
    let name = beside(folder, other);
    if name.is_empty() { name } else { format!("{name}/") }
}

fn unfolded(path: &Path, fault: &FolderFault) -> Failure {
    let way_out = match fault {
        FolderFault::Locked => "close that one, or name another folder with -o",
        FolderFault::Disk { .. } => "name another folder with -o",
    };
    Failure::in_file(path.display(), fault).way_out(way_out)
}

fn untabled(path: &Path, fault: &TableFault) -> Failure {
    match fault {
        TableFault::Folder(fault) => unfolded(path, fault),
        other => Failure::in_file(path.join(Product::Recipe.file()).display(), other)
            .way_out("mend it, or name another folder with -o"),
    }
}

/// Has the system open an address; whether it could be asked to.
fn is_opened(address: &str) -> bool {
    let (program, before): (&str, &[&str]) = if cfg!(target_os = "macos") {
        ("open", &[])
    } else if cfg!(windows) {
        ("cmd", &["/C", "start", ""])
    } else {
        ("xdg-open", &[])
    };
    let mut command = Command::new(program);
    command.args(before).arg(address).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command.spawn().is_ok()
}
