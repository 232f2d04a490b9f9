//! The modules of the source, and which file names which.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{Attribute, Item, ItemMod, ItemUse, UseTree, Visibility};

/// The names that lead to a module or to something in it, the floor first.
pub type Way = Vec<String>;

/// What one file says.
#[derive(Debug, Default)]
pub struct Module {
    /// What it defines.
    defines: BTreeSet<String>,
    /// What it hands on by a name: from where.
    hands_on: BTreeMap<String, Way>,
    /// Modules that it hands on whole.
    hands_on_all: Vec<Way>,
    /// What it names by a path, whole from the root.
    pub names: BTreeSet<Way>,
}

impl Module {
    /// All that it names or hands on.
    pub fn reaches(&self) -> impl Iterator<Item = &Way> {
        self.names
            .iter()
            .chain(self.hands_on.values())
            .chain(&self.hands_on_all)
            .filter(|way| !way.is_empty())
    }
}

/// All modules of a source folder, each by its way.
pub fn modules(source: &Path, entrances: &[&str]) -> BTreeMap<Way, Module> {
    let files = rust_files(source);
    let files = files.iter().filter(|file| {
        let inside = file.strip_prefix(source).expect("a file of the source");
        !entrances.iter().any(|entrance| inside == Path::new(entrance))
    });
    files
        .map(|file| {
            let way = way_of(file.strip_prefix(source).expect("a file of the source"));
            let text = fs::read_to_string(file).expect("a text");
            let module = module(&way, &text).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
            (way, module)
        })
        .collect()
}

/// What the text of a module says.
pub fn module(way: &[String], text: &str) -> syn::Result<Module> {
    let file = syn::parse_file(text)?;
    let mut reader = Reader { way: way.to_vec(), module: Module::default() };
    reader.visit_file(&file);
    Ok(reader.module)
}

/// The module whose file defines what a way leads to; none where the way leads out of the source.
pub fn home(modules: &BTreeMap<Way, Module>, way: &[String]) -> Option<Way> {
    home_within(modules, way, 0)
}

fn home_within(modules: &BTreeMap<Way, Module>, way: &[String], hops: usize) -> Option<Way> {
    /// More hand-ons than any name takes: a name that is handed on in a ring is not followed for ever.
    const MOST: usize = 12;
    let longest = (1..=way.len()).rev().find(|count| modules.contains_key(&way[..*count]))?;
    let module = &modules[&way[..longest]];
    let Some(name) = way.get(longest) else { return Some(way.to_vec()) };
    if module.defines.contains(name) || hops == MOST {
        return Some(way[..longest].to_vec());
    }
    let on = |to: &Way| [to.as_slice(), &way[longest + 1..]].concat();
    if let Some(to) = module.hands_on.get(name) {
        return home_within(modules, &on(to), hops + 1);
    }
    let whole = module.hands_on_all.iter().map(|to| [to.as_slice(), &way[longest..]].concat());
    whole.into_iter().find_map(|way| {
        let home = home_within(modules, &way, hops + 1)?;
        modules[&home].defines.contains(name).then_some(home)
    })
}

struct Reader {
    way: Way,
    module: Module,
}

impl Reader {
    /// A path from the root: none where it begins at something that is no module of this crate.
    fn whole(&self, path: &[String]) -> Option<Way> {
        let first = path.first()?;
        if first == "crate" || first == "retrue" {
            return Some(path[1..].to_vec());
        }
        let supers = path.iter().take_while(|name| *name == "super").count();
        if supers > 0 {
            // A module written within the file takes one `super` more to leave.
            return Some([&self.way[..self.way.len().saturating_sub(supers)], &path[supers..]].concat());
        }
        (first == "self").then(|| [self.way.as_slice(), &path[1..]].concat())
    }

    fn name(&mut self, path: &[String]) {
        // A path that starts at a child module is one from here.
        let child = || [self.way.as_slice(), path].concat();
        let way = self.whole(path).unwrap_or_else(child);
        if !way.is_empty() {
            self.module.names.insert(way);
        }
    }

    fn leaves(tree: &UseTree, before: &mut Vec<String>, leaf: &mut impl FnMut(&[String], Option<&str>)) {
        match tree {
            UseTree::Path(path) => {
                before.push(path.ident.to_string());
                Reader::leaves(&path.tree, before, leaf);
                before.pop();
            }
            UseTree::Name(name) if name.ident == "self" => {
                leaf(before, before.last().cloned().as_deref());
            }
            UseTree::Name(name) => {
                before.push(name.ident.to_string());
                leaf(before, before.last().cloned().as_deref());
                before.pop();
            }
            UseTree::Rename(rename) => {
                before.push(rename.ident.to_string());
                leaf(before, Some(&rename.rename.to_string()));
                before.pop();
            }
            UseTree::Glob(_) => leaf(before, None),
            UseTree::Group(group) => {
                group.items.iter().for_each(|tree| Reader::leaves(tree, before, leaf));
            }
        }
    }

    /// The paths from the root or from a module around it in what is given to a macro.
    fn tokens(&mut self, tokens: TokenStream) {
        let mut path: Vec<String> = Vec::new();
        let mut colons = 0;
        for token in tokens {
            match token {
                TokenTree::Ident(ident) if colons == 2 => path.push(ident.to_string()),
                TokenTree::Ident(ident) => {
                    self.macro_path(&path);
                    path = vec![ident.to_string()];
                }
                TokenTree::Punct(punct) if punct.as_char() == ':' => {
                    colons += 1;
                    continue;
                }
                TokenTree::Group(group) => self.tokens(group.stream()),
                TokenTree::Punct(_) | TokenTree::Literal(_) => {
                    self.macro_path(&path);
                    path.clear();
                }
            }
            colons = 0;
        }
        self.macro_path(&path);
    }

    fn macro_path(&mut self, path: &[String]) {
        if path.len() > 1 && self.whole(path).is_some() {
            self.name(path);
        }
    }
}

impl<'ast> Visit<'ast> for Reader {
    fn visit_item(&mut self, item: &'ast Item) {
        if let Some(name) = defined(item) {
            self.module.defines.insert(name);
        }
        visit::visit_item(self, item);
    }

    fn visit_item_mod(&mut self, item: &'ast ItemMod) {
        if !item.attrs.iter().any(is_for_tests) {
            visit::visit_item_mod(self, item);
        }
    }

    fn visit_item_use(&mut self, item: &'ast ItemUse) {
        let private = matches!(item.vis, Visibility::Inherited);
        let mut found: Vec<(Vec<String>, Option<String>)> = Vec::new();
        Reader::leaves(&item.tree, &mut Vec::new(), &mut |path, name| {
            found.push((path.to_vec(), name.map(str::to_owned)));
        });
        for (path, name) in found {
            if private {
                self.name(&path);
                continue;
            }
            let to = self.whole(&path).unwrap_or_else(|| [self.way.as_slice(), &path].concat());
            match name {
                Some(name) => drop(self.module.hands_on.insert(name, to)),
                None => self.module.hands_on_all.push(to),
            }
        }
    }

    /// Who may see a thing is no use of a module.
    fn visit_visibility(&mut self, _: &'ast Visibility) {}

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let names: Vec<String> = path.segments.iter().map(|segment| segment.ident.to_string()).collect();
        if names.len() > 1 {
            self.name(&names);
        }
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, called: &'ast syn::Macro) {
        self.tokens(called.tokens.clone());
        visit::visit_macro(self, called);
    }
}

fn is_for_tests(attribute: &Attribute) -> bool {
    attribute.path().is_ident("cfg")
        && attribute.parse_args::<syn::Ident>().is_ok_and(|condition| condition == "test")
}

fn defined(item: &Item) -> Option<String> {
    let ident = match item {
        Item::Const(item) => &item.ident,
        Item::Enum(item) => &item.ident,
        Item::Fn(item) => &item.sig.ident,
        Item::Macro(item) => item.ident.as_ref()?,
        Item::Static(item) => &item.ident,
        Item::Struct(item) => &item.ident,
        Item::Trait(item) => &item.ident,
        Item::Type(item) => &item.ident,
        _ => return None,
    };
    Some(ident.to_string())
}

/// The modules that lead to a file, the floor first.
fn way_of(file: &Path) -> Way {
    let mut way: Way =
        file.with_extension("").iter().map(|part| part.to_string_lossy().into_owned()).collect();
    if way.last().is_some_and(|last| last == "mod") {
        way.pop();
    }
    way
}

pub fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
    files
}
