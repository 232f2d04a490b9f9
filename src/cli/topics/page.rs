//! A topic as a manual page.

use roff::{Inline, Roff, bold, roman};

use crate::cli::topics::blocks::{Block, TextSpan};

/// The section of the manual in which commands stand.
const SECTION: &str = "1";

/// The page of a topic, by a name, with what it is about in a line.
pub fn of(name: &str, about: &str, blocks: &[Block]) -> String {
    let mut page = Roff::new();
    page.control("TH", [name, SECTION]);
    page.control("SH", ["NAME"]);
    page.text([roman(format!("{name} - {about}"))]);
    page.control("SH", ["DESCRIPTION"]);
    for block in blocks {
        add(&mut page, block);
    }
    page.control("SH", ["SEE ALSO"]);
    page.text([bold("retrue(1)")]);
    page.render()
}

fn add(page: &mut Roff, block: &Block) {
    match block {
        Block::Title(_) => {}
        Block::Heading(spans) => {
            let title: String = spans.iter().map(words).collect();
            page.control("SH", [title.to_uppercase().as_str()]);
        }
        Block::Paragraph(spans) => {
            page.control("PP", []);
            page.text(inlines(spans));
        }
        Block::Point { mark, spans } => {
            page.control("IP", [mark.as_str(), "4"]);
            page.text(inlines(spans));
        }
        Block::Lines(lines) => {
            page.control("PP", []).control("RS", ["4"]).control("nf", []);
            for line in lines.lines() {
                page.text([roman(line)]);
            }
            page.control("fi", []).control("RE", []);
        }
        Block::Table(rows) => {
            for row in rows {
                let [first, rest @ ..] = row.as_slice() else { continue };
                page.control("TP", []);
                page.text(inlines(first));
                page.text(rest.iter().flat_map(|cell| inlines(cell)).collect::<Vec<Inline>>());
            }
        }
    }
}

fn inlines(spans: &[TextSpan]) -> Vec<Inline> {
    spans
        .iter()
        .map(|span| match span {
            TextSpan::Words(words) => roman(words),
            TextSpan::Strong(words) | TextSpan::Typed(words) => bold(words),
        })
        .collect()
}

fn words(span: &TextSpan) -> &str {
    match span {
        TextSpan::Words(words) | TextSpan::Strong(words) | TextSpan::Typed(words) => words,
    }
}
