//! Pages, and elements written so that they are sound as HTML and as XML, with every text escaped.

use crate::canvas::escaped;

/// How pages look, on screens light and dark and on paper.
const STYLE: &str = include_str!("style.css");

/// A whole page, which needs no network and no script.
pub(in crate::show) fn page(title: &str, body: impl FnOnce(&mut Markup)) -> String {
    let mut page = Markup::default();
    page.within("html", &[("lang", "en")], |html| {
        html.within("head", &[], |head| {
            head.empty("meta", &[("charset", "utf-8")]);
            head.empty("meta", &[("name", "viewport"), ("content", "width=device-width, initial-scale=1")]);
            head.empty("meta", &[("name", "color-scheme"), ("content", "light dark")]);
            head.element("title", &[], title);
            head.style(STYLE);
        });
        html.within("body", &[], |all| {
            all.within("header", &[], |header| header.element("h1", &[], title));
            body(all);
        });
    });
    format!("<!DOCTYPE html>\n{}\n", page.into_text())
}

/// A stretch of a page.
#[derive(Clone, Debug, Default)]
pub(in crate::show) struct Markup {
    text: String,
}

/// Attributes with their values.
pub(in crate::show) type Attributes<'a> = &'a [(&'a str, &'a str)];

impl Markup {
    pub(in crate::show) fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    pub(in crate::show) fn into_text(self) -> String {
        self.text
    }

    /// What was written elsewhere.
    pub(in crate::show) fn add(&mut self, other: Markup) {
        self.text.push_str(&other.text);
    }

    /// A text.
    pub(in crate::show) fn text(&mut self, text: &str) {
        self.text.push_str(&escaped(text));
    }

    /// A sentence, with what stands in it between backticks as code.
    pub(in crate::show) fn sentence(&mut self, text: &str) {
        let parts: Vec<&str> = text.split('`').collect();
        if parts.len().is_multiple_of(2) {
            return self.text(text);
        }
        for (i, part) in parts.iter().enumerate() {
            if i % 2 == 0 {
                self.text(part);
            } else {
                self.within("code", &[], |code| code.text(part));
            }
        }
    }

    /// An element with what is inside.
    pub(in crate::show) fn within(
        &mut self,
        tag: &'static str,
        attributes: Attributes<'_>,
        inside: impl FnOnce(&mut Markup),
    ) {
        self.open(tag, attributes);
        self.text.push('>');
        if is_block(tag) {
            self.text.push('\n');
        }
        inside(self);
        self.text.push_str("</");
        self.text.push_str(tag);
        self.text.push('>');
        if is_block(tag) {
            self.text.push('\n');
        }
    }

    /// An element with a text inside.
    pub(in crate::show) fn element(&mut self, tag: &'static str, attributes: Attributes<'_>, text: &str) {
        self.open(tag, attributes);
        self.text.push('>');
        self.text(text);
        self.text.push_str("</");
        self.text.push_str(tag);
        self.text.push_str(">\n");
    }

    /// An element that holds nothing.
    pub(in crate::show) fn empty(&mut self, tag: &'static str, attributes: Attributes<'_>) {
        self.open(tag, attributes);
        self.text.push_str(" />\n");
    }

    /// A list of texts, in order (`ol`) or not (`ul`).
    pub(in crate::show) fn list(&mut self, tag: &'static str, attributes: Attributes<'_>, items: &[String]) {
        self.within(tag, attributes, |list| {
            items.iter().for_each(|item| list.element("li", &[], item));
        });
    }

    /// A table: its caption, the headings of its columns, and its rows, each named by its first cell.
    pub(in crate::show) fn table(&mut self, caption: &str, columns: &[&str], rows: &[Vec<String>]) {
        self.within("table", &[], |table| {
            table.element("caption", &[], caption);
            table.within("thead", &[], |head| {
                head.within("tr", &[], |row| {
                    columns.iter().for_each(|column| row.element("th", &[("scope", "col")], column));
                });
            });
            table.within("tbody", &[], |body| {
                for cells in rows {
                    body.within("tr", &[], |row| {
                        for (i, cell) in cells.iter().enumerate() {
                            let cell = &unbroken(cell);
                            match i {
                                0 => row.element("th", &[("scope", "row")], cell),
                                _ => row.element("td", &[], cell),
                            }
                        }
                    });
                }
            });
        });
    }

    /// The style sheet of the page, which is the crate's own.
    fn style(&mut self, sheet: &'static str) {
        self.text.push_str("<style>\n");
        self.text.push_str(sheet);
        self.text.push_str("</style>\n");
    }

    /// A drawing that was written, and escaped, as SVG by this crate.
    pub(in crate::show) fn drawing(&mut self, svg: &str) {
        self.text.push_str(svg);
        self.text.push('\n');
    }

    fn open(&mut self, tag: &'static str, attributes: Attributes<'_>) {
        self.text.push('<');
        self.text.push_str(tag);
        for (name, value) in attributes {
            self.text.push(' ');
            self.text.push_str(name);
            self.text.push_str("=\"");
            self.text(value);
            self.text.push('"');
        }
    }
}

/// A text whose lengths stay with their units.
fn unbroken(text: &str) -> String {
    ["mm", "cm", "in"]
        .iter()
        .fold(text.to_owned(), |text, unit| text.replace(&format!(" {unit}"), &format!("\u{a0}{unit}")))
}

fn is_block(tag: &str) -> bool {
    !matches!(tag, "a" | "strong" | "code" | "span" | "label" | "text" | "td" | "th" | "p" | "li")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_becomes_markup() {
        let mut page = Markup::default();
        page.element("p", &[("title", "\"><script>")], "<b>&amp;'\u{1}");
        let text = page.into_text();
        assert_eq!(text, "<p title=\"&quot;&gt;&lt;script&gt;\">&lt;b&gt;&amp;amp;&#39;\u{FFFD}</p>\n");
    }
}
