//! A topic's Markdown as blocks of text, whatever they are shown on.

use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};

/// A block of a topic.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// What the whole topic is about.
    Title(Vec<TextSpan>),
    /// A heading over what follows.
    Heading(Vec<TextSpan>),
    /// A paragraph.
    Paragraph(Vec<TextSpan>),
    /// A point of a list, with what stands before it: a dash, or a number.
    Point { mark: String, spans: Vec<TextSpan> },
    /// Lines to be kept as they are.
    Lines(String),
    /// Rows of cells, without their heads.
    Table(Vec<Vec<Vec<TextSpan>>>),
}

/// A stretch of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TextSpan {
    /// Words.
    Words(String),
    /// Words that matter.
    Strong(String),
    /// Something to be typed.
    Typed(String),
}

/// The blocks of a topic. Of lists only one floor is known, of other elements their words.
pub fn of(markdown: &str) -> Vec<Block> {
    let mut reader = TopicReader::default();
    for event in Parser::new_ext(markdown, Options::ENABLE_TABLES) {
        reader.event(event);
    }
    reader.blocks
}

#[derive(Default)]
struct TopicReader {
    blocks: Vec<Block>,
    spans: Vec<TextSpan>,
    row: Vec<Vec<TextSpan>>,
    rows: Vec<Vec<Vec<TextSpan>>>,
    lines: Option<String>,
    number: Option<u64>,
    is_in_point: bool,
    is_strong: bool,
}

impl TopicReader {
    fn event(&mut self, event: Event<'_>) {
        match event {
            Event::Start(tag) => self.begin(&tag),
            Event::End(tag) => self.end(tag),
            Event::Text(text) => match &mut self.lines {
                Some(lines) => lines.push_str(&text),
                None if self.is_strong => self.spans.push(TextSpan::Strong(text.into_string())),
                None => self.spans.push(TextSpan::Words(text.into_string())),
            },
            Event::Code(text) => self.spans.push(TextSpan::Typed(text.into_string())),
            Event::SoftBreak | Event::HardBreak => self.spans.push(TextSpan::Words(" ".to_owned())),
            _ => {}
        }
    }

    fn begin(&mut self, tag: &Tag<'_>) {
        match tag {
            Tag::List(first) => self.number = *first,
            Tag::Item => self.is_in_point = true,
            Tag::CodeBlock(_) => {
                self.point();
                self.lines = Some(String::new());
            }
            Tag::Strong => self.is_strong = true,
            Tag::Image { .. } => self.spans.push(TextSpan::Words("Picture: ".to_owned())),
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Heading(HeadingLevel::H1) => self.add(Block::Title),
            TagEnd::Heading(_) => self.add(Block::Heading),
            TagEnd::Paragraph if !self.is_in_point => self.add(Block::Paragraph),
            TagEnd::Item => {
                self.point();
                self.is_in_point = false;
            }
            TagEnd::List(_) => self.number = None,
            TagEnd::CodeBlock => self.blocks.extend(self.lines.take().map(Block::Lines)),
            TagEnd::Strong => self.is_strong = false,
            TagEnd::TableHead => self.row.clear(),
            TagEnd::TableCell => self.row.push(std::mem::take(&mut self.spans)),
            TagEnd::TableRow => self.rows.push(std::mem::take(&mut self.row)),
            TagEnd::Table => self.blocks.push(Block::Table(std::mem::take(&mut self.rows))),
            _ => {}
        }
    }

    fn add(&mut self, block: impl FnOnce(Vec<TextSpan>) -> Block) {
        self.blocks.push(block(std::mem::take(&mut self.spans)));
    }

    /// What was read of a point, as a block.
    fn point(&mut self) {
        if !self.is_in_point || self.spans.is_empty() {
            return;
        }
        let mark = match &mut self.number {
            Some(number) => {
                let mark = format!("{number}.");
                *number += 1;
                mark
            }
            None => "-".to_owned(),
        };
        self.add(|spans| Block::Point { mark, spans });
    }
}
