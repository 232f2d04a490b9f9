//! Which writing on a piece names an edge or a line: what runs along an edge, what stands beside a line.

use kurbo::{Point, Vec2};

use crate::adopt::found::Found;
use crate::adopt::likely::words::WordsSaid;
use crate::adopt::outlines::FoundLine;
use crate::adopt::stroke::FoundText;
use crate::curve::Curve;
use crate::pattern::{ClothName, Cut};
use crate::tolerance::{
    ALONG_EDGE, NAME_BESIDE_LINE, NAME_BESIDE_LINE_HEIGHTS, WRITING_BESIDE_EDGE, WRITING_BESIDE_EDGE_HEIGHTS,
};

/// How wide a letter is on average, in heights.
const LETTER_WIDTH: f64 = 0.5;

/// A text on a piece, with what it says.
pub(super) struct Wording<'a> {
    pub text: &'a FoundText,
    pub said: WordsSaid,
}

impl<'a> Wording<'a> {
    /// The texts within outlines.
    pub fn within(found: &'a Found, outlines: &[usize]) -> Vec<Wording<'a>> {
        let texts = outlines.iter().flat_map(|at| &found.outlines[*at].texts);
        let mut texts: Vec<usize> = texts.copied().collect();
        texts.sort_unstable();
        let wording = |at: usize| {
            let text = &found.texts[at];
            Wording { text, said: WordsSaid::of(&text.text) }
        };
        texts.into_iter().map(wording).collect()
    }

    /// About where its middle is.
    fn middle(&self) -> Point {
        let width = LETTER_WIDTH * self.text.size * self.text.text.chars().count() as f64;
        self.text.at + self.text.along * (width / 2.0)
    }

    /// How far it stands from an edge along which it runs; none where it does not.
    pub fn beside(&self, edge: &Curve) -> Option<f64> {
        let near = edge.nearest(self.middle());
        let along = edge.tangent_at(near.at).cross(self.text.along).abs() <= ALONG_EDGE;
        (along && near.distance <= WRITING_BESIDE_EDGE + WRITING_BESIDE_EDGE_HEIGHTS * self.text.size)
            .then_some(near.distance)
    }

    /// What it calls the edge or the line beside which it stands: what comes before a comma or a colon.
    pub fn edge_name(&self) -> Option<String> {
        let head = self.text.text.split([',', ':', ';', '(']).next().unwrap_or_default();
        let letters: Vec<char> = head.chars().collect();
        let is_path = letters.windows(3).any(|signs| signs[1] == '.' && signs[2].is_alphanumeric());
        if is_path { None } else { WordsSaid::of(head).name }
    }

    /// Whether it says more of an edge than its name: that it is turned up, on the fold, sewn.
    pub fn is_of_an_edge(&self, edges: &[Curve]) -> bool {
        edges.iter().any(|edge| self.beside(edge).is_some())
    }

    fn at_line(&self, line: &Curve) -> Option<f64> {
        let from = [self.text.at, self.middle()].map(|at| line.nearest(at).distance);
        let off = from[0].min(from[1]);
        (off <= NAME_BESIDE_LINE + NAME_BESIDE_LINE_HEIGHTS * self.text.size).then_some(off)
    }
}

/// The cloth that is written on a piece; of several the main one.
pub(super) fn cloth(wordings: &[Wording<'_>]) -> Option<ClothName> {
    let all: Vec<&ClothName> = wordings.iter().filter_map(|wording| wording.said.cloth.as_ref()).collect();
    let main = ClothName::main();
    all.iter().find(|cloth| ***cloth == main).or(all.first()).map(|cloth| (*cloth).clone())
}

/// How often a piece is cut of other cloths, as it is written on it.
pub(super) fn besides(wordings: &[Wording<'_>]) -> Vec<(Cut, ClothName)> {
    wordings.iter().flat_map(|wording| wording.said.besides.iter().cloned()).collect()
}

/// The name that stands at each of some lines of a piece: each text at the line that is nearest to it, the nearest text where
/// there are several. The name of the piece itself is of none.
pub(super) fn names_at<'a>(
    lines: &[&'a FoundLine],
    wordings: &[Wording<'_>],
    piece: &str,
) -> Vec<(&'a FoundLine, Option<String>)> {
    let mut named: Vec<(&FoundLine, Option<(f64, String)>)> =
        lines.iter().map(|line| (*line, None)).collect();
    for wording in wordings.iter().filter(|wording| !wording.said.is_instruction()) {
        let Some(name) = wording.edge_name().filter(|name| name != piece) else { continue };
        let off = |line: &FoundLine| wording.at_line(&line.curve).unwrap_or(f64::INFINITY);
        let nearest = named.iter_mut().min_by(|a, b| off(a.0).total_cmp(&off(b.0)));
        let Some((line, taken)) = nearest else { continue };
        let off = off(line);
        if off.is_finite() && taken.as_ref().is_none_or(|(other, _)| off < *other) {
            *taken = Some((off, name));
        }
    }
    named.into_iter().map(|(line, name)| (line, name.map(|(_, name)| name))).collect()
}

/// Whether two ways are square to one another, to about 20°.
pub(super) fn is_square(one: Vec2, other: Vec2) -> bool {
    const SQUARE: f64 = 0.34;
    one.normalize().dot(other.normalize()).abs() <= SQUARE
}
