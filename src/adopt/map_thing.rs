//! The things that a map speaks of, as they are pointed at in the drawing, and where the map speaks of them.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use crate::adopt::found::Found;
use crate::adopt::map::{
    Map, MapDart, MapEdge, MapField, MapGuess, MapLevel, MapMark, MapNotch, MapPiece, MapSeam, Word, span,
    text, value,
};
use crate::adopt::stretches::{FROM_CORNER, NumberedEdges};
use crate::pattern::{Cut, Twins};
use crate::toml_file::TextFault;

/// Something that a map speaks of.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MapThing {
    /// The drawing itself.
    Drawing,
    /// An outline, by its letter.
    Outline(String),
    /// An edge of an outline, by its number.
    Edge(String, usize),
    /// A line, by its letter.
    Line(String),
    /// A seam, by its place among the seams of the map, counted from nothing.
    Seam(usize),
}

/// What a line may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LineSort {
    /// The grainline of its piece.
    Grainline,
    /// A dart.
    Dart,
    /// A notch.
    Notch,
    /// A level.
    Level,
    /// A point.
    Point,
    /// A style line.
    StyleLine,
    /// Something that is kept as it is drawn: a pocket's place, a buttonhole.
    Mark,
    /// Nothing.
    Nothing,
}

impl LineSort {
    /// All of them.
    pub const ALL: [LineSort; 8] = [
        LineSort::Grainline,
        LineSort::Dart,
        LineSort::Notch,
        LineSort::Level,
        LineSort::Point,
        LineSort::StyleLine,
        LineSort::Mark,
        LineSort::Nothing,
    ];

    /// What a map calls it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            LineSort::Grainline => "grainline",
            LineSort::Dart => "dart",
            LineSort::Notch => "notch",
            LineSort::Level => "level",
            LineSort::Point => "point",
            LineSort::StyleLine => "style-line",
            LineSort::Mark => "marks",
            LineSort::Nothing => "ignore",
        }
    }

    /// The fields of such a thing; none where it has none of its own.
    fn fields(self) -> &'static [MapField] {
        match self {
            LineSort::Dart => MapDart::FIELDS,
            LineSort::Notch => MapNotch::FIELDS,
            LineSort::Level => MapLevel::FIELDS,
            LineSort::Point | LineSort::StyleLine => MapMark::FIELDS,
            LineSort::Grainline | LineSort::Mark | LineSort::Nothing => &[],
        }
    }
}

/// Where a map speaks of a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SaidAt {
    /// In what stands above all pieces.
    Top,
    /// In a piece.
    Piece(usize),
    /// In an edge of a piece.
    Edge(usize, usize),
    /// In a mark of a piece; a grainline, what is kept as it is drawn and what means nothing have no number.
    Mark(usize, LineSort, Option<usize>),
    /// In a seam.
    Seam(usize),
}

impl SaidAt {
    /// The fields that stand there.
    #[must_use]
    pub fn fields(self) -> &'static [MapField] {
        match self {
            SaidAt::Top => Map::FIELDS,
            SaidAt::Piece(_) => MapPiece::FIELDS,
            SaidAt::Edge(..) => MapEdge::FIELDS,
            SaidAt::Mark(_, sort, _) => sort.fields(),
            SaidAt::Seam(_) => MapSeam::FIELDS,
        }
    }
}

/// A piece by the letter of its outline, with its edges.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct MappedPiece {
    pub outline: String,
    pub name: String,
    /// For each edge the first of its numbers, and its name.
    pub edges: Vec<(usize, String)>,
}

/// An edge that goes on further than before.
pub(super) struct Further {
    /// Its numbers.
    pub at: String,
    /// The edge that is now part of it, as an index.
    pub swallowed: Option<usize>,
}

/// A guess that a map holds and nobody has looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Guessed {
    /// What is guessed.
    pub thing: MapThing,
    /// What it is called in the map.
    pub called: String,
    /// How sure it is, and what speaks for it.
    pub guess: MapGuess,
}

impl Map {
    /// Where the map speaks of a thing of the drawing; none where it does not.
    #[must_use]
    pub fn said_at(&self, found: &Found, thing: &MapThing) -> Option<SaidAt> {
        match thing {
            MapThing::Drawing => Some(SaidAt::Top),
            MapThing::Outline(letter) => self.piece_of(letter).map(SaidAt::Piece),
            MapThing::Edge(letter, number) => self.edge_said_at(found, letter, *number),
            MapThing::Line(letter) => self.line_said_at(letter),
            MapThing::Seam(at) => (*at < self.seams.len()).then_some(SaidAt::Seam(*at)),
        }
    }

    /// The piece that is made of an outline, as an index.
    pub(super) fn piece_of(&self, letter: &str) -> Option<usize> {
        self.pieces.iter().position(|piece| text(&piece.outline) == letter)
    }

    fn edge_said_at(&self, found: &Found, letter: &str, number: usize) -> Option<SaidAt> {
        let at = self.piece_of(letter)?;
        let piece = &self.pieces[at];
        let numbered = NumberedEdges::of(found.outline(letter)?, &piece.soft_joints).ok()?;
        let holds = |word: &Word| {
            let named = numbered.named(word).unwrap_or_default();
            named.into_iter().any(|stretch| numbered.number_of(stretch) == number)
        };
        let edge = piece.edges.iter().position(|edge| holds(&edge.at)).map(|edge| SaidAt::Edge(at, edge));
        let dart = || piece.darts.iter().position(|dart| dart.cut_in.as_ref().is_some_and(holds));
        edge.or_else(|| dart().map(|dart| SaidAt::Mark(at, LineSort::Dart, Some(dart))))
    }

    /// An edge of a piece that goes on round the corner behind its last stretch; none where it goes all the way round.
    pub(super) fn further(&self, found: &Found, piece: usize, edge: usize) -> Option<Further> {
        let piece = &self.pieces[piece];
        let numbered = NumberedEdges::of(found.outline(text(&piece.outline))?, &piece.soft_joints).ok()?;
        let named = |edge: &MapEdge| numbered.named(&edge.at).unwrap_or_default();
        let stretches = named(&piece.edges[edge]);
        let next = (stretches.last()? + 1) % numbered.len();
        if stretches.contains(&next) {
            return None;
        }
        let swallowed = piece.edges.iter().position(|other| named(other).contains(&next));
        let listed = |edge: &MapEdge| match text(&edge.at).starts_with(FROM_CORNER) {
            true => {
                named(edge).into_iter().map(|stretch| numbered.label(stretch)).collect::<Vec<_>>().join(", ")
            }
            false => text(&edge.at).to_owned(),
        };
        let after = swallowed.map_or_else(|| numbered.label(next), |other| listed(&piece.edges[other]));
        Some(Further { at: format!("{}, {after}", listed(&piece.edges[edge])), swallowed })
    }

    fn line_said_at(&self, letter: &str) -> Option<SaidAt> {
        self.pieces.iter().enumerate().find_map(|(at, piece)| {
            let is = |word: &Word| text(word).split_whitespace().any(|word| word == letter);
            LineSort::ALL.into_iter().find_map(|sort| {
                let number = piece.drawn(sort).into_iter().position(|drawn| drawn.is_some_and(is))?;
                Some(SaidAt::Mark(at, sort, (!sort.fields().is_empty()).then_some(number)))
            })
        })
    }

    /// The thing of the drawing that stands at a place of the map's text.
    #[must_use]
    pub fn thing_at(&self, found: &Found, place: &Range<usize>) -> Option<MapThing> {
        if place.is_empty() {
            return None;
        }
        let is = |word: &Word| span(word) == *place;
        let is_said = |word: &Option<Word>| word.as_ref().is_some_and(is);
        for piece in &self.pieces {
            let letter = text(&piece.outline).to_owned();
            for edge in &piece.edges {
                let own = [&edge.finish, &edge.allowance, &edge.sewn_to];
                if is(&edge.at) || is(&edge.name) || own.into_iter().any(is_said) {
                    return Some(self.edge_thing(found, &letter, &edge.at));
                }
            }
            for dart in &piece.darts {
                let own = [&dart.drawn, &dart.cut_in, &dart.edge, &dart.press, &dart.guessed];
                if is(&dart.name) || own.into_iter().any(is_said) {
                    let line = dart.drawn.as_ref().and_then(first_word).map(MapThing::Line);
                    let cut_in = || dart.cut_in.as_ref().map(|word| self.edge_thing(found, &letter, word));
                    return Some(line.or_else(cut_in).unwrap_or(MapThing::Outline(letter)));
                }
            }
            for notch in &piece.notches {
                if [&notch.name, &notch.drawn, &notch.at, &notch.count].into_iter().any(is_said) {
                    let line = notch.drawn.as_ref().and_then(first_word).map(MapThing::Line);
                    return Some(line.unwrap_or(MapThing::Outline(letter)));
                }
            }
            let levels = piece.levels.iter().map(|level| (&level.name, &level.drawn));
            let marks = piece.points.iter().chain(&piece.style_lines).map(|mark| (&mark.name, &mark.drawn));
            for (name, drawn) in levels.chain(marks) {
                if is(name) || is(drawn) {
                    return first_word(drawn).map(MapThing::Line);
                }
            }
            let own =
                [&piece.drawn, &piece.allowance, &piece.cut, &piece.cloth, &piece.corners, &piece.arrows];
            let listed = piece.soft_joints.iter().chain(&piece.marks).chain(&piece.ignore);
            let is_piece = is(&piece.outline) || is(&piece.name) || own.into_iter().any(is_said);
            if is_piece || is_said(&piece.grainline) || is_said(&piece.guessed) || listed.into_iter().any(is)
            {
                return Some(MapThing::Outline(letter));
            }
        }
        let of_seam = |seam: &MapSeam| {
            is(&seam.first)
                || is(&seam.second)
                || [&seam.from, &seam.ease, &seam.guessed].into_iter().any(is_said)
        };
        self.seams.iter().position(of_seam).map(MapThing::Seam)
    }

    /// The edge that stands where a map names some numbers: by the first of them that the drawing has.
    fn edge_thing(&self, found: &Found, letter: &str, word: &Word) -> MapThing {
        let numbered = found.outline(letter).and_then(|outline| {
            let joints = self.piece_of(letter).map_or(&[][..], |at| &self.pieces[at].soft_joints);
            NumberedEdges::of(outline, joints).ok()
        });
        let first = numbered.and_then(|numbered| {
            let named = numbered.named(word).ok()?;
            named.first().map(|stretch| numbered.number_of(*stretch))
        });
        first.map_or(MapThing::Outline(letter.to_owned()), |number| MapThing::Edge(letter.to_owned(), number))
    }

    /// The guesses that stand in it, seams last.
    ///
    /// # Errors
    ///
    /// What is said to be a guess does not say how sure it is.
    pub fn guesses(&self, found: &Found) -> Result<Vec<Guessed>, TextFault> {
        let mut guesses = Vec::new();
        let mut add = |word: &Option<Word>, thing: MapThing, called: String| {
            let guess = word.as_ref().map(|word| value::<MapGuess>(word, "how sure a guess is")).transpose();
            guess.map(|guess| guesses.extend(guess.map(|guess| Guessed { thing, called, guess })))
        };
        for piece in &self.pieces {
            let (letter, name) = (text(&piece.outline).to_owned(), text(&piece.name));
            add(&piece.guessed, MapThing::Outline(letter.clone()), name.to_owned())?;
            for edge in &piece.edges {
                let called = format!("{name}.{}", text(&edge.name));
                add(&edge.guessed, self.edge_thing(found, &letter, &edge.at), called)?;
            }
            for dart in &piece.darts {
                let line = dart.drawn.as_ref().and_then(first_word).map(MapThing::Line);
                let called = format!("{name}.{}", text(&dart.name));
                add(&dart.guessed, line.unwrap_or(MapThing::Outline(letter.clone())), called)?;
            }
        }
        for (at, seam) in self.seams.iter().enumerate() {
            let called = format!("{} to {}", text(&seam.first), text(&seam.second));
            add(&seam.guessed, MapThing::Seam(at), called)?;
        }
        Ok(guesses)
    }

    /// The pieces and their edges by the letters and numbers of the drawing.
    pub(crate) fn mapped(&self, found: &Found) -> Vec<MappedPiece> {
        let pieces = self.pieces.iter().map(|piece| {
            let outline = text(&piece.outline).to_owned();
            let edges =
                piece.edges.iter().filter_map(|edge| match self.edge_thing(found, &outline, &edge.at) {
                    MapThing::Edge(_, number) => Some((number, text(&edge.name).to_owned())),
                    _ => None,
                });
            let edges = edges.collect();
            MappedPiece { outline, name: text(&piece.name).to_owned(), edges }
        });
        pieces.collect()
    }

    /// The things that are pointed at where an edge is named, as `front.side`: the edges of the drawing.
    pub(crate) fn things_named(&self, found: &Found, run: &str) -> Vec<MapThing> {
        let things = run.split_whitespace().filter_map(|name| {
            let (piece, edge) = name.split_once('.')?;
            let edge = edge.split(['/', '@']).next()?;
            let piece = self.pieces.iter().find(|known| text(&known.name) == piece)?;
            let edge = piece.edges.iter().find(|known| text(&known.name) == edge)?;
            Some(self.edge_thing(found, text(&piece.outline), &edge.at))
        });
        things.collect()
    }

    /// The edges on both sides of a seam.
    pub(crate) fn seam_sides(&self, at: usize) -> Option<[&str; 2]> {
        self.seams.get(at).map(|seam| [text(&seam.first), text(&seam.second)])
    }

    /// What a seam joins.
    pub(crate) fn seam_name(&self, at: usize) -> Option<String> {
        self.seam_sides(at).map(|[first, second]| format!("{first} to {second}"))
    }

    /// The edges of the drawing that a seam joins.
    pub(crate) fn seam_things(&self, found: &Found, at: usize) -> Vec<MapThing> {
        let sides = self.seam_sides(at).into_iter().flatten();
        let mut things: Vec<MapThing> = sides.flat_map(|side| self.things_named(found, side)).collect();
        things.dedup();
        things
    }

    /// How many seams there are.
    pub(crate) fn seam_count(&self) -> usize {
        self.seams.len()
    }

    /// Whether the copies of a piece are left and right.
    pub(crate) fn is_pair(&self, letter: &str) -> bool {
        let piece = self.piece_of(letter).map(|at| &self.pieces[at]);
        let cut = piece.and_then(|piece| piece.cut.as_ref()).and_then(|cut| text(cut).parse::<Cut>().ok());
        cut.is_some_and(|cut| cut.twins == Twins::Mirrored)
    }

    /// What the piece of an outline is called.
    pub(crate) fn piece_name(&self, letter: &str) -> Option<String> {
        self.piece_of(letter).map(|at| text(&self.pieces[at].name).to_owned())
    }

    /// What an edge is called, with its piece.
    pub(crate) fn edge_name(&self, found: &Found, letter: &str, number: usize) -> Option<String> {
        match self.edge_said_at(found, letter, number)? {
            SaidAt::Edge(piece, edge) => {
                let piece = &self.pieces[piece];
                Some(format!("{}.{}", text(&piece.name), text(&piece.edges[edge].name)))
            }
            _ => None,
        }
    }

    /// The allowances that it says, each once.
    pub(crate) fn allowances(&self) -> Vec<String> {
        let edges = |piece: &MapPiece| {
            piece.edges.iter().filter_map(|edge| edge.allowance.clone()).collect::<Vec<_>>()
        };
        let all =
            self.pieces.iter().flat_map(|piece| piece.allowance.clone().into_iter().chain(edges(piece)));
        let mut once: Vec<String> = Vec::new();
        for said in all.map(|word| text(&word).to_owned()) {
            if !once.contains(&said) {
                once.push(said);
            }
        }
        once
    }

    /// The outline of a piece.
    pub(crate) fn outline_named(&self, name: &str) -> Option<MapThing> {
        let piece = self.pieces.iter().find(|piece| text(&piece.name) == name);
        piece.map(|piece| MapThing::Outline(text(&piece.outline).to_owned()))
    }

    /// The outlines that are said to be no pieces.
    pub(crate) fn is_ignored(&self, letter: &str) -> bool {
        self.ignore.iter().any(|word| text(word) == letter)
    }
}

fn first_word(word: &Word) -> Option<String> {
    text(word).split_whitespace().next().map(str::to_owned)
}

impl MapPiece {
    /// The lines of its marks of a sort, in their order.
    pub(super) fn drawn(&self, sort: LineSort) -> Vec<Option<&Word>> {
        match sort {
            LineSort::Grainline => vec![self.grainline.as_ref()],
            LineSort::Dart => self.darts.iter().map(|dart| dart.drawn.as_ref()).collect(),
            LineSort::Notch => self.notches.iter().map(|notch| notch.drawn.as_ref()).collect(),
            LineSort::Level => self.levels.iter().map(|level| Some(&level.drawn)).collect(),
            LineSort::Point => self.points.iter().map(|point| Some(&point.drawn)).collect(),
            LineSort::StyleLine => self.style_lines.iter().map(|line| Some(&line.drawn)).collect(),
            LineSort::Mark => self.marks.iter().map(Some).collect(),
            LineSort::Nothing => self.ignore.iter().map(Some).collect(),
        }
    }

    /// The names of its marks of a sort.
    pub(super) fn mark_names(&self, sort: LineSort) -> Vec<String> {
        let names: Vec<&Word> = match sort {
            LineSort::Dart => self.darts.iter().map(|dart| &dart.name).collect(),
            LineSort::Notch => self.notches.iter().filter_map(|notch| notch.name.as_ref()).collect(),
            LineSort::Level => self.levels.iter().map(|level| &level.name).collect(),
            LineSort::Point => self.points.iter().map(|point| &point.name).collect(),
            LineSort::StyleLine => self.style_lines.iter().map(|line| &line.name).collect(),
            LineSort::Grainline | LineSort::Mark | LineSort::Nothing => Vec::new(),
        };
        names.into_iter().map(|name| text(name).to_owned()).collect()
    }
}
