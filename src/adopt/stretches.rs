//! The numbered edges of an outline as a map points at them.

use crate::adopt::map::{Word, span, text, value};
use crate::adopt::outlines::FoundOutline;
use crate::curve::Curve;
use crate::pattern::{Amount, Place};
use crate::tolerance::{CORNER_SNAP, WELD};
use crate::toml_file::TextFault;

/// The edges of an outline in their order, divided at soft joints.
#[derive(Clone, Debug)]
pub(super) struct NumberedEdges {
    /// Each with the number of the edge it is of.
    all: Vec<(usize, Curve)>,
    numbers: usize,
}

impl NumberedEdges {
    /// The edges of an outline, divided where the map says that two meet without a corner.
    pub fn of(outline: &FoundOutline, soft_joints: &[Word]) -> Result<NumberedEdges, TextFault> {
        let mut cuts: Vec<Vec<f64>> = vec![Vec::new(); outline.edges.len()];
        for joint in soft_joints {
            let (edge, at) = place(outline, joint)?;
            cuts[edge].push(at);
        }
        let mut all = Vec::new();
        for (index, edge) in outline.edges.iter().enumerate() {
            let cuts = &mut cuts[index];
            cuts.sort_by(f64::total_cmp);
            cuts.dedup_by(|a, b| (*a - *b).abs() <= CORNER_SNAP);
            let mut from = 0.0;
            for to in cuts.iter().copied().chain([edge.length()]) {
                all.extend(edge.stretch(from, to).ok().map(|part| (index + 1, part)));
                from = to;
            }
        }
        Ok(NumberedEdges { all, numbers: outline.edges.len() })
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.all.len()
    }

    /// The line of one.
    pub fn curve(&self, at: usize) -> &Curve {
        &self.all[at].1
    }

    /// The number of the edge that it is of.
    pub fn number_of(&self, at: usize) -> usize {
        self.all[at].0
    }

    /// How one is called: `3`, or `3a`, `3b` where it is divided.
    pub fn label(&self, at: usize) -> String {
        let number = self.all[at].0;
        let parts = self.all.iter().filter(|(other, _)| *other == number).count();
        if parts == 1 {
            return number.to_string();
        }
        let first = self.all.iter().position(|(other, _)| *other == number).unwrap_or(at);
        let sign = char::from(b'a' + u8::try_from((at - first).min(25)).unwrap_or(25));
        format!("{number}{sign}")
    }

    /// The stretches that a text names, in clockwise order: `3`, `3a`, `4-6`, `3, 6`, `corner 4 to corner 7`.
    pub fn named(&self, word: &Word) -> Result<Vec<usize>, TextFault> {
        let said = text(word);
        if let Some((from, to)) = corners(said) {
            let (first, last) = (self.number(word, from)?, self.number(word, to)?);
            let last = if last == 1 { self.numbers } else { last - 1 };
            return Ok(self.run(self.ends_of(first).0, self.ends_of(last).1));
        }
        let mut found = Vec::new();
        for part in said.split([',', ' ']).filter(|part| !part.is_empty()) {
            let (from, to) = part.split_once('-').unwrap_or((part, part));
            let (first, _) = self.ends(word, from)?;
            let (_, last) = self.ends(word, to)?;
            found.extend(self.run(first, last));
        }
        let mut seen = found.clone();
        seen.sort_unstable();
        seen.dedup();
        if found.is_empty() || seen.len() < found.len() {
            let what = format!("`{said}` does not name edges, each once");
            return Err(TextFault::new(span(word), what, "which edges?", WAY_OUT));
        }
        Ok(found)
    }

    fn run(&self, first: usize, last: usize) -> Vec<usize> {
        let count = (last + self.len() - first) % self.len() + 1;
        (0..count).map(|step| (first + step) % self.len()).collect()
    }

    /// The first and the last stretch of an edge, or the one that is named with a letter behind its number.
    fn ends(&self, word: &Word, part: &str) -> Result<(usize, usize), TextFault> {
        let part = part.trim();
        if let Some(at) = (0..self.len()).find(|at| self.label(*at) == part) {
            return Ok((at, at));
        }
        Ok(self.ends_of(self.number(word, part)?))
    }

    fn ends_of(&self, number: usize) -> (usize, usize) {
        let first = self.all.iter().position(|(other, _)| *other == number).unwrap_or(0);
        let last = self.all.iter().rposition(|(other, _)| *other == number).unwrap_or(first);
        (first, last)
    }

    fn number(&self, word: &Word, part: &str) -> Result<usize, TextFault> {
        let number = part.trim().parse().ok().filter(|number| (1..=self.numbers).contains(number));
        number.ok_or_else(|| {
            let what =
                format!("there is no edge `{}`: they are numbered from 1 to {}", part.trim(), self.numbers);
            TextFault::new(span(word), what, "not on this outline", WAY_OUT)
        })
    }
}

const WAY_OUT: &str = "look at the numbers in the picture: write \"3\", \"4-6\", \"3, 6\", \"3a\" before a soft joint, or \"corner 4 to corner 7\"";

/// How numbers begin that are said by the corners at both ends, and by nothing else beside.
pub(super) const FROM_CORNER: &str = "corner ";

fn corners(said: &str) -> Option<(&str, &str)> {
    let (from, to) = said.strip_prefix(FROM_CORNER)?.split_once(" to ")?;
    Some((from, to.strip_prefix(FROM_CORNER).unwrap_or(to)))
}

/// The edge that a soft joint lies on, as an index, and where.
fn place(outline: &FoundOutline, joint: &Word) -> Result<(usize, f64), TextFault> {
    let wrong = |what: String| {
        let way_out = "write \"3@120mm\", \"3@40%\" or \"(120mm, 340mm)\" as in the picture";
        TextFault::new(span(joint), what, "not on an edge", way_out)
    };
    let (edge, at) = match value::<Place>(joint, "a place")? {
        Place::OnEdge { edge, along, from: None } => {
            let number: usize = edge.as_str().parse().unwrap_or(0);
            let index = number.checked_sub(1).filter(|index| *index < outline.edges.len());
            let index = index.ok_or_else(|| wrong(format!("the outline has no edge `{edge}`")))?;
            let along = match along {
                Amount::Share(_) | Amount::Length(_) => along.of(outline.edges[index].length()),
            };
            (index, along)
        }
        Place::Sheet(x, y) => {
            let point = crate::curve::Point::new(x.mm(), y.mm());
            let near = |edge: &Curve| edge.nearest(point);
            let index = (0..outline.edges.len())
                .min_by(|a, b| {
                    near(&outline.edges[*a]).distance.total_cmp(&near(&outline.edges[*b]).distance)
                })
                .unwrap_or(0);
            let found = near(&outline.edges[index]);
            if found.distance > 4.0 * WELD {
                return Err(wrong(format!("the place lies {:.1} mm from the outline", found.distance)));
            }
            (index, found.at)
        }
        _ => return Err(wrong("a soft joint is a place on an edge of the outline".to_owned())),
    };
    let length = outline.edges[edge].length();
    if at <= CORNER_SNAP || at >= length - CORNER_SNAP {
        return Err(wrong(format!(
            "the place is not between the ends of edge {}, which is {length:.1} mm long",
            edge + 1
        )));
    }
    Ok((edge, at))
}
