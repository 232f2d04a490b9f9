//! The README and the topics of help as they are read: their sections, and the commands that stand in them.

#![allow(dead_code, reason = "each test binary uses a part of the reader")]

use std::path::Path;

use pulldown_cmark::{CodeBlockKind, Event, HeadingLevel, Options, Parser, Tag, TagEnd};

/// The folder of the topics.
const TOPICS: &str = "src/cli/topics";

/// A document, or a section of one.
#[derive(Clone, Debug)]
pub struct Document {
    /// Its path from the root of the project.
    pub name: String,
    /// What stands in fences, in order: the language, and the text.
    blocks: Vec<(String, String)>,
    /// What is shown as typed within lines.
    pub typed: Vec<String>,
}

/// A command of a document on one line, and the exit code that its comment says, else 0.
#[derive(Clone, Debug)]
pub struct DocumentCommand {
    pub line: String,
    pub code: i32,
}

impl Document {
    /// The README and every topic.
    pub fn all() -> Vec<Document> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(TOPICS);
        let files = std::fs::read_dir(folder).expect("the folder of the topics");
        let names = files.map(|file| file.expect("a file").file_name().into_string().expect("a name"));
        let mut names: Vec<String> =
            names.filter(|name| name.ends_with(".md")).map(|name| format!("{TOPICS}/{name}")).collect();
        names.push("README.md".to_owned());
        names.sort();
        names.iter().map(|name| Document::named(name)).collect()
    }

    /// The document of a path from the root of the project.
    pub fn named(name: &str) -> Document {
        let text =
            std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).expect("it is there");
        Document::of(name, &text, |_| true)
    }

    /// The topic of a name.
    pub fn topic(name: &str) -> Document {
        Document::named(&format!("{TOPICS}/{name}.md"))
    }

    /// What stands under one heading of a topic.
    pub fn section(topic: &str, title: &str) -> Document {
        let name = format!("{TOPICS}/{topic}.md");
        let text =
            std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(&name)).expect("it is there");
        let section = Document::of(&name, &text, |heading| heading == title);
        assert!(!section.blocks.is_empty(), "{name} has no section `{title}`");
        section
    }

    /// Reads what stands under the headings that are wanted.
    fn of(name: &str, text: &str, is_wanted: impl Fn(&str) -> bool) -> Document {
        let mut document = Document { name: name.to_owned(), blocks: Vec::new(), typed: Vec::new() };
        let (mut heading, mut is_heading, mut block) = (String::new(), false, None::<(String, String)>);
        for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
            match event {
                Event::Start(Tag::Heading { level: HeadingLevel::H1 | HeadingLevel::H2, .. }) => {
                    (heading, is_heading) = (String::new(), true);
                }
                Event::End(TagEnd::Heading(_)) => is_heading = false,
                Event::Text(text) if is_heading => heading.push_str(&text),
                Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(language))) => {
                    block = Some((language.into_string(), String::new()));
                }
                Event::Text(text) => {
                    if let Some((_, lines)) = &mut block {
                        lines.push_str(&text);
                    }
                }
                Event::Code(text) if is_wanted(&heading) => document.typed.push(text.into_string()),
                Event::End(TagEnd::CodeBlock) => {
                    document.blocks.extend(block.take().filter(|_| is_wanted(&heading)));
                }
                _ => {}
            }
        }
        document
    }

    /// The texts of a language.
    pub fn blocks(&self, language: &str) -> impl Iterator<Item = &str> {
        let wanted = language.to_owned();
        self.blocks.iter().filter(move |(found, _)| *found == wanted).map(|(_, text)| text.as_str())
    }

    /// The commands, in order.
    pub fn commands(&self) -> Vec<DocumentCommand> {
        self.blocks("sh").flat_map(commands).collect()
    }
}

/// The commands of a block: a line that ends with a backslash or a pipe goes on in the next.
fn commands(block: &str) -> Vec<DocumentCommand> {
    let mut commands: Vec<DocumentCommand> = Vec::new();
    let mut goes_on = false;
    for line in block.lines().filter(|line| !line.trim().is_empty()) {
        let (typed, comment) = parted(line);
        let typed = typed.trim();
        let code = if comment.trim_start().starts_with("exit 1") { 1 } else { 0 };
        let (typed, more) = match typed.strip_suffix('\\') {
            Some(typed) => (typed.trim_end(), true),
            None => (typed, typed.ends_with('|')),
        };
        match commands.last_mut().filter(|_| goes_on) {
            Some(last) => {
                last.line = format!("{} {typed}", last.line);
                last.code = last.code.max(code);
            }
            None => commands.push(DocumentCommand { line: typed.to_owned(), code }),
        }
        goes_on = more;
    }
    commands
}

/// A line before its comment, and the comment.
fn parted(line: &str) -> (&str, &str) {
    let mut is_quoted = false;
    let start = line.char_indices().find(|(_, sign)| {
        is_quoted ^= *sign == '"';
        *sign == '#' && !is_quoted
    });
    start.map_or((line, ""), |(at, _)| (&line[..at], &line[at + 1..]))
}
