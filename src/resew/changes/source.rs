//! Source text that is kept as it stands: compared by what it says, whatever the order of its attributes and the blanks
//! between its elements.

use crate::resew::changes::found::{Change, Changes};

/// A stretch of source text as a tree.
#[derive(Debug, PartialEq)]
struct Tree {
    /// The tag, or `#text`, `#comment`.
    tag: String,
    attributes: Vec<(String, String)>,
    /// What a text says, runs of blanks as one.
    text: String,
    inside: Vec<Tree>,
}

/// Whether two source texts say the same.
pub(super) fn is_same(given: &str, drawn: &str) -> bool {
    given == drawn || matches!((trees(given), trees(drawn)), (Some(given), Some(drawn)) if given == drawn)
}

/// What an element is called: its id, or its tag within what it stands in.
pub(super) fn named(source: &str, within: &str) -> String {
    let tree = trees(source).and_then(|trees| trees.into_iter().next());
    let id = tree.as_ref().and_then(|tree| tree.attribute("id"));
    match (id, &tree) {
        (Some(id), _) if id.starts_with(&format!("{within}.")) => id.to_owned(),
        (Some(id), _) => format!("{within}, {id}"),
        (None, Some(tree)) => format!("{within}, {}", tree.tag.trim_start_matches('#')),
        (None, None) => within.to_owned(),
    }
}

/// Tells what one source text says otherwise than the other.
pub(super) fn compare(at: &str, given: &str, drawn: &str, changes: &mut Changes) {
    if is_same(given, drawn) {
        return;
    }
    let before = changes.found.len();
    if let (Some(given), Some(drawn)) = (trees(given), trees(drawn)) {
        compare_trees(at, &given, &drawn, changes);
    }
    if changes.found.len() == before {
        changes.texts(at, "source", Some(given), Some(drawn));
    }
}

/// Tells what one list of source texts has that the other has not.
pub(super) fn compare_lists(at: &str, what: &str, given: &[String], drawn: &[String], changes: &mut Changes) {
    let mut rest: Vec<&String> = drawn.iter().collect();
    for given in given {
        match rest.iter().position(|drawn| is_same(given, drawn)) {
            Some(i) => drop(rest.remove(i)),
            None => changes.texts(at, what, Some(given), None),
        }
    }
    for drawn in rest {
        changes.texts(at, what, None, Some(drawn));
    }
}

/// Tells what source texts that are not alike say otherwise: those of one id or else of one tag are held against each
/// other.
pub(super) fn compare_unlike(within: &str, given: &[&str], drawn: &[&str], changes: &mut Changes) {
    let mut rest: Vec<&str> = drawn.to_vec();
    for given in given {
        let name = named(given, within);
        match rest.iter().position(|drawn| named(drawn, within) == name) {
            Some(i) => compare(&name, given, rest.remove(i), changes),
            None => changes.missing(name),
        }
    }
    for drawn in rest {
        changes.added(named(drawn, within));
    }
}

/// Tells which attributes are other, in whatever order they stand. Classes are a set.
pub(super) fn compare_attributes(
    at: &str,
    given: &[(String, String)],
    drawn: &[(String, String)],
    changes: &mut Changes,
) {
    let of = |list: &[(String, String)], name: &str| {
        list.iter().find(|(other, _)| other == name).map(|(name, value)| settled(name, value))
    };
    let mut names: Vec<&String> = given.iter().chain(drawn).map(|(name, _)| name).collect();
    names.sort();
    names.dedup();
    for name in names {
        let [given, drawn] = [of(given, name), of(drawn, name)];
        changes.texts(at, name, given.as_deref(), drawn.as_deref());
    }
}

/// A value as it is compared: runs of blanks as one, classes in order.
fn settled(name: &str, value: &str) -> String {
    let mut words: Vec<&str> = value.split_whitespace().collect();
    if name == "class" {
        words.sort_unstable();
    }
    words.join(" ")
}

fn compare_trees(at: &str, given: &[Tree], drawn: &[Tree], changes: &mut Changes) {
    if given.len() != drawn.len() || given.iter().zip(drawn).any(|(a, b)| a.tag != b.tag) {
        let [given, drawn] = [given, drawn].map(|trees| {
            let tags: Vec<&str> = trees.iter().map(|tree| tree.tag.as_str()).collect();
            if tags.is_empty() { "nothing".to_owned() } else { tags.join(" ") }
        });
        changes.tell(
            at,
            Change::Written { what: "what stands inside".to_owned(), given: Some(given), drawn: Some(drawn) },
        );
        return;
    }
    for (given, drawn) in given.iter().zip(drawn) {
        let Tree { tag: _the_same, attributes, text, inside } = given;
        compare_attributes(at, attributes, &drawn.attributes, changes);
        changes.texts(at, "text", Some(text), Some(&drawn.text));
        compare_trees(at, inside, &drawn.inside, changes);
    }
}

impl Tree {
    fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(other, _)| other == name).map(|(_, value)| value.as_str())
    }

    fn of(node: roxmltree::Node<'_, '_>) -> Option<Tree> {
        let leaf = |tag: &str, text: &str| {
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            (!text.is_empty()).then(|| Tree {
                tag: tag.to_owned(),
                attributes: Vec::new(),
                text,
                inside: Vec::new(),
            })
        };
        if node.is_text() {
            return leaf("#text", node.text().unwrap_or_default());
        }
        if node.is_comment() {
            return leaf("#comment", node.text().unwrap_or_default());
        }
        if let Some(instruction) = node.pi() {
            return leaf(
                "#instruction",
                &format!("{} {}", instruction.target, instruction.value.unwrap_or_default()),
            );
        }
        let full = |space: Option<&str>, name: &str| match space {
            Some(space) if space != SVG => format!("{{{space}}}{name}"),
            _ => name.to_owned(),
        };
        let name = node.tag_name();
        let attribute = |one: roxmltree::Attribute<'_, '_>| {
            (full(one.namespace(), one.name()), settled(one.name(), one.value()))
        };
        let mut attributes: Vec<(String, String)> = node.attributes().map(attribute).collect();
        attributes.sort();
        let inside = node.children().filter_map(Tree::of).collect();
        Some(Tree { tag: full(name.namespace(), name.name()), attributes, text: String::new(), inside })
    }
}

const SVG: &str = "http://www.w3.org/2000/svg";

/// The elements of a source text; none where it cannot be read by itself, as where an entity stands in it.
fn trees(source: &str) -> Option<Vec<Tree>> {
    let mut declarations = String::new();
    for prefix in prefixes(source) {
        declarations.push_str(&format!(" xmlns:{prefix}=\"{prefix}\""));
    }
    let whole = format!("<svg xmlns=\"{SVG}\"{declarations}>{source}</svg>");
    let document = roxmltree::Document::parse(&whole).ok()?;
    Some(document.root_element().children().filter_map(Tree::of).collect())
}

/// The namespace prefixes of tags and attributes. Words of a text before a colon count too, and do no harm.
fn prefixes(source: &str) -> Vec<&str> {
    let mut found: Vec<&str> = Vec::new();
    for (at, _) in source.match_indices(':') {
        let before = source.get(..at).unwrap_or_default();
        let start =
            before.rfind(|letter: char| !(letter.is_alphanumeric() || letter == '-' || letter == '_'));
        let prefix = before.get(start.map_or(0, |start| start + 1)..).unwrap_or_default();
        let is_name = prefix.starts_with(|letter: char| letter.is_alphabetic() || letter == '_');
        if is_name && !prefix.starts_with("xml") && !found.contains(&prefix) {
            found.push(prefix);
        }
    }
    found
}
