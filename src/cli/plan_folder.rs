//! The folder of plans: written whole, or not at all.

use std::fs;
use std::path::{Path, PathBuf};

use crate::cli::errors::Failure;
use crate::cli::folders::{MadeFolders, refuse_no_folder};
use crate::cli::inputs::sort_of;
use crate::cli::io::{ExistingOutput, folder_of, own_input, unwritable};

/// The page of all alternatives.
pub const PAGE: &str = "index.html";

/// A folder that plans are to be written to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanFolder {
    path: PathBuf,
    existing: ExistingOutput,
}

impl PlanFolder {
    /// A folder that may be written to, before any work is done.
    ///
    /// # Errors
    ///
    /// It exists and may not be replaced; it holds other things than plans; its own folder cannot be made.
    pub fn new(path: PathBuf, existing: ExistingOutput) -> Result<PlanFolder, Failure> {
        let folder = PlanFolder { path, existing };
        folder.refuse_unwritable()?;
        Ok(folder)
    }

    /// Refuses a folder that may not be written to; asked again when all is read, also one that holds what was read.
    ///
    /// # Errors
    ///
    /// As [`PlanFolder::new`]; the command has read a file in it.
    pub fn refuse_unwritable(&self) -> Result<(), Failure> {
        let path = &self.path;
        if fs::symlink_metadata(path).is_err() {
            return refuse_no_folder(path);
        }
        let way_out = "name another folder with -o";
        if !path.is_dir() || path.is_symlink() {
            return Err(Failure::in_file(path.display(), "this exists and is not a folder").way_out(way_out));
        }
        let names = self.names()?;
        if let Some(other) = names.iter().find(|name| !is_plan(name)) {
            let what = format!("this folder holds other things than plans, as `{other}`");
            return Err(Failure::in_file(path.display(), what).way_out(way_out));
        }
        if let Some(read) = names.iter().map(|name| path.join(name)).find(|file| sort_of(file).is_some()) {
            return Err(own_input(&read));
        }
        if !names.is_empty() && self.existing == ExistingOutput::Keep {
            return Err(Failure::in_file(path.display(), "this folder holds plans already")
                .way_out("say --force to replace them, or name another with -o"));
        }
        Ok(())
    }

    fn names(&self) -> Result<Vec<String>, Failure> {
        let entries = fs::read_dir(&self.path).map_err(|error| unwritable(&self.path, &error))?;
        let mut names: Vec<String> = entries
            .filter_map(|entry| Some(entry.ok()?.file_name().to_string_lossy().into_owned()))
            .collect();
        names.sort();
        Ok(names)
    }

    /// The names of the recipe and the layout of an alternative, from 1.
    pub fn names_of(number: usize) -> [String; 2] {
        [format!("{number}.toml"), format!("{number}.svg")]
    }

    /// The path of a file in it.
    pub fn path_of(&self, name: &str) -> String {
        self.path.join(name).display().to_string()
    }

    /// Writes recipes and layouts as `1.toml`, `1.svg` and so on, and the page that shows them; gives the paths of the
    /// former. The folder is made beside its place and takes it at once.
    ///
    /// # Errors
    ///
    /// As [`PlanFolder::new`]; the disk is full; the folder around cannot be written to.
    pub fn write(&self, plans: &[(String, String)], page: &str) -> Result<Vec<[String; 2]>, Failure> {
        self.refuse_unwritable()?;
        let made = MadeFolders::make(folder_of(&self.path))?;
        self.write_inside(plans, page).inspect_err(|_| made.take_away())
    }

    fn write_inside(&self, plans: &[(String, String)], page: &str) -> Result<Vec<[String; 2]>, Failure> {
        let failed = |error: &std::io::Error| unwritable(&self.path, error);
        let part = tempfile::Builder::new()
            .prefix(".retrue-")
            .suffix(".part")
            .tempdir_in(folder_of(&self.path))
            .map_err(|error| failed(&error))?;
        let inside = part.path().join("plans");
        fs::create_dir(&inside).map_err(|error| failed(&error))?;
        let mut paths = Vec::new();
        for (i, (recipe, layout)) in plans.iter().enumerate() {
            let names = PlanFolder::names_of(i + 1);
            for (name, content) in names.iter().zip([recipe, layout]) {
                fs::write(inside.join(name), content).map_err(|error| failed(&error))?;
            }
            paths.push(names.map(|name| self.path_of(&name)));
        }
        fs::write(inside.join(PAGE), page).map_err(|error| failed(&error))?;
        if self.path.exists() {
            fs::rename(&self.path, part.path().join("old")).map_err(|error| failed(&error))?;
        }
        if let Err(error) = fs::rename(&inside, &self.path) {
            let _ = fs::rename(part.path().join("old"), &self.path);
            return Err(failed(&error));
        }
        Ok(paths)
    }
}

/// Whether a file is named as a plan is: `1.toml`, `12.svg`, or the page.
fn is_plan(name: &str) -> bool {
    if name == PAGE {
        return true;
    }
    let path = Path::new(name);
    let number = path.file_stem().is_some_and(|stem| {
        stem.to_str().is_some_and(|stem| !stem.is_empty() && stem.bytes().all(|byte| byte.is_ascii_digit()))
    });
    number && path.extension().is_some_and(|extension| extension == "toml" || extension == "svg")
}
