//! What is told at length: topics that are read by `help`, in the manual, and as files.
//!
//! Each is one Markdown file in this folder, whose first line says what it is about. Its commands are run by the tests.

mod blocks;
mod page;
mod text;

use std::fmt::Write;

use clap::builder::StyledStr;
use clap::builder::styling::Styles;

use crate::cli::color::TextPaint;

macro_rules! topics {
    ($($name:literal)+) => {
        /// The topics, in the order in which they are listed.
        const TOPICS: &[Topic] =
            &[$(Topic { name: $name, markdown: include_str!(concat!($name, ".md")) },)+];
    };
}

topics! {
    "bought" "sheet" "places" "operations" "recipe" "linings" "cloth" "plan" "map" "checks" "print"
}

/// Something to read on.
#[derive(Clone, Copy, Debug)]
pub struct Topic {
    name: &'static str,
    markdown: &'static str,
}

impl Topic {
    /// The topic of a name.
    pub fn find(name: &str) -> Option<Topic> {
        TOPICS.iter().find(|topic| topic.name == name).copied()
    }

    /// All topics.
    pub fn all() -> impl Iterator<Item = Topic> {
        TOPICS.iter().copied()
    }

    /// What it is asked for by.
    pub fn name(self) -> &'static str {
        self.name
    }

    /// What it is about, in a line.
    pub fn about(self) -> &'static str {
        let first = self.markdown.lines().next().unwrap_or_default();
        first.trim_start_matches('#').trim_start()
    }

    /// The topic as text for a terminal so many signs wide.
    pub fn text(self, paint: TextPaint, columns: usize) -> String {
        text::of(&blocks::of(self.markdown), paint, columns)
    }

    /// The name of its manual page.
    pub fn page_name(self) -> String {
        format!("retrue-help-{}", self.name)
    }

    /// Its manual page.
    pub fn page(self) -> String {
        page::of(&self.page_name(), self.about(), &blocks::of(self.markdown))
    }
}

/// The topics with what they are about, as they stand under a list of commands.
pub fn listed() -> StyledStr {
    let styles = Styles::styled();
    let (header, literal) = (styles.get_header(), styles.get_literal());
    let longest = TOPICS.iter().map(|topic| topic.name.len()).max().unwrap_or(0);
    let mut list = StyledStr::new();
    let _ = write!(list, "{header}Topics:{header:#} read one with retrue help TOPIC");
    for topic in Topic::all() {
        let air = " ".repeat(longest - topic.name.len());
        let _ = write!(list, "\n  {literal}{}{literal:#}{air}  {}", topic.name, topic.about());
    }
    list
}
