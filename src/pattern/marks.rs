//! What stands on a piece besides its outline and darts.

use crate::curve::{Curve, Motion, Point, Vec2};
use crate::pattern::{EdgeName, LevelName, NotchName, PointName, StyleLineName};

/// What stood on a drawn element that has no meaning here; it is written back where it was.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kept {
    /// Attributes, in the order in which they stood.
    pub attributes: Vec<(String, String)>,
    /// What stood inside the element, as source text.
    pub content: String,
}

impl Kept {
    /// What a second element bears of it: how it looks. What stands inside may have names, which stand on a sheet once.
    #[must_use]
    pub fn once_more(&self) -> Kept {
        Kept { attributes: self.attributes.clone(), content: String::new() }
    }
}

/// How many ticks a notch has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum NotchCount {
    /// One tick; by custom on fronts.
    #[default]
    Single,
    /// Two ticks; by custom on backs.
    Double,
}

impl NotchCount {
    /// How many.
    #[must_use]
    pub fn ticks(self) -> u32 {
        match self {
            NotchCount::Single => 1,
            NotchCount::Double => 2,
        }
    }
}

/// A mark across an edge that must meet its partner on the other edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// The name within the piece.
    pub name: NotchName,
    /// The edge it stands on.
    pub edge: EdgeName,
    /// Walk distance along the edge's curve from its first corner, clockwise, mouths of darts included.
    pub at: f64,
    /// One tick or two.
    pub count: NotchCount,
    /// The drawn tick: along the edge, then outward, mm.
    pub tick: Vec2,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

impl Notch {
    /// Length of a tick where none was drawn, mm.
    pub const TICK: f64 = 6.0;

    /// A notch with a plain tick square to the edge.
    #[must_use]
    pub fn new(name: NotchName, edge: EdgeName, at: f64, count: NotchCount) -> Notch {
        Notch { name, edge, at, count, tick: Vec2::new(0.0, Notch::TICK), kept: Kept::default() }
    }
}

/// Whether a level counts toward the girth of the garment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum GirthUse {
    /// It counts.
    #[default]
    Counts,
    /// It is left out, as on a lining or a facing.
    LeftOut,
}

impl GirthUse {
    /// The word for it on a sheet.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            GirthUse::Counts => "yes",
            GirthUse::LeftOut => "no",
        }
    }
}

/// A named line across a piece where the body is measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// The name, the same on every piece.
    pub name: LevelName,
    /// Straight stretches, each carried rigidly with its cloth, in order across the piece.
    pub stretches: Vec<(Point, Point)>,
    /// Whether it counts toward the girth.
    pub girth: GirthUse,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

/// A named mark inside a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedPoint {
    /// The name within the piece.
    pub name: PointName,
    /// Where it is.
    pub at: Point,
    /// The radius of the drawn circle, mm.
    pub radius: f64,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

/// A line drawn on the piece along which it may be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct StyleLine {
    /// The name within the piece.
    pub name: StyleLineName,
    /// The line.
    pub curve: Curve,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

/// Which ends of a grainline carry an arrow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Arrows {
    /// Both: the piece may lie either way up.
    #[default]
    Both,
    /// Only the start: nap or one-way cloth.
    Start,
    /// Only the end: nap or one-way cloth.
    End,
}

impl Arrows {
    /// The word for it on a sheet.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Arrows::Both => "both",
            Arrows::Start => "start",
            Arrows::End => "end",
        }
    }
}

/// The direction of the warp on a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Grainline {
    /// Where it starts; "below" on a piece is from here toward the end.
    pub start: Point,
    /// Where it ends.
    pub end: Point,
    /// Which ends carry an arrow.
    pub arrows: Arrows,
    /// What else stood on the drawn element.
    pub kept: Kept,
}

impl Grainline {
    /// The direction from start to end, of length one.
    #[must_use]
    pub fn direction(&self) -> Vec2 {
        (self.end - self.start).normalize()
    }
}

/// Something drawn on a piece that is not understood but kept: a pocket's place, a buttonhole, a note.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Its id, if it has one.
    pub id: Option<String>,
    /// Its source text.
    pub source: String,
    /// Where the source's user space lies on the sheet: six numbers of an affine map to millimetres.
    pub place: kurbo::Affine,
    /// What can be seen of it, in millimetres; empty for a comment or a text.
    pub lines: Vec<Curve>,
    /// A point by which it is known which part of a piece it belongs to; none for a comment.
    pub anchor: Option<Point>,
}

impl Mark {
    /// The mark a second time, without the names that stand on a sheet once.
    #[must_use]
    pub fn once_more(&self) -> Mark {
        Mark { id: None, source: without_ids(&self.source), ..self.clone() }
    }

    /// The mark as it lies after a motion.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Mark {
        Mark {
            place: motion.to_affine() * self.place,
            lines: self.lines.iter().map(|line| line.moved(motion)).collect(),
            anchor: self.anchor.map(|at| motion.apply(at)),
            ..self.clone()
        }
    }
}

/// Source text without the ids of its elements; what stands in comments and texts stays.
fn without_ids(source: &str) -> String {
    let mut kept = String::with_capacity(source.len());
    let mut rest = source;
    while let Some(at) = rest.find('<') {
        kept.push_str(&rest[..at]);
        rest = &rest[at..];
        let verbatim = [("<!--", "-->"), ("<![CDATA[", "]]>"), ("<?", "?>")];
        let verbatim = verbatim.iter().find(|(opening, _)| rest.starts_with(opening));
        let length = match verbatim {
            Some((_, closing)) => rest.find(closing).map(|end| end + closing.len()),
            None => outside_quotes(rest).find(|(_, letter)| *letter == '>').map(|(end, _)| end + 1),
        };
        let (one, after) = rest.split_at(length.unwrap_or(rest.len()));
        match verbatim {
            Some(_) => kept.push_str(one),
            None => push_without_id(one, &mut kept),
        }
        rest = after;
    }
    kept.push_str(rest);
    kept
}

/// Adds a tag without its attribute `id`.
fn push_without_id(tag: &str, kept: &mut String) {
    let names = outside_quotes(tag).filter(|(_, letter)| letter.is_whitespace()).map(|(at, _)| at);
    let value_of_id = |at: usize| {
        let name = tag[at..].trim_start().strip_prefix("id")?.trim_start();
        let value = name.strip_prefix('=')?.trim_start();
        let quote = value.chars().next().filter(|quote| matches!(*quote, '"' | '\''))?;
        let after = value[1..].find(quote)? + 2;
        Some((at, tag.len() - value.len() + after))
    };
    match names.filter_map(value_of_id).next() {
        Some((from, to)) => {
            kept.push_str(&tag[..from]);
            kept.push_str(&tag[to..]);
        }
        None => kept.push_str(tag),
    }
}

/// The letters of a tag outside its quotes, and where they stand.
fn outside_quotes(tag: &str) -> impl Iterator<Item = (usize, char)> {
    let mut quote = None;
    tag.char_indices().filter(move |(_, letter)| match quote {
        None if matches!(*letter, '"' | '\'') => {
            quote = Some(*letter);
            false
        }
        None => true,
        Some(open) => {
            if *letter == open {
                quote = None;
            }
            false
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_source_without_ids_says_the_same_otherwise() {
        let source = "<g id=\"pocket\" class='a'><!-- id=\"b\" --><path d=\"M 0 0\"\n id = 'c>' width=\"1\"/>\
            <text title=\" id='d'\">x id=\"e\"</text></g>";
        let without = "<g class='a'><!-- id=\"b\" --><path d=\"M 0 0\" width=\"1\"/>\
            <text title=\" id='d'\">x id=\"e\"</text></g>";
        assert_eq!(without_ids(source), without);
        assert_eq!(without_ids("<path id=\"open"), "<path id=\"open");
    }
}
