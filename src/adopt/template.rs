//! A map to fill in, with all in it that can be guessed.

use std::fmt::Write;

use crate::adopt::find::{Asked, Correction};
use crate::adopt::found::Found;
use crate::adopt::likely::{
    Certainty, Included, LikelyEdge, LikelyFinish, LikelyPiece, LikelySeam, likely_piece_of, likely_pieces,
    likely_seams, said_allowance,
};
use crate::adopt::make_seams;
use crate::adopt::map::{Map, MapGuess};
use crate::adopt::map_words::{UNITS, word_for};
use crate::adopt::outlines::{FoundLine, FoundOutline};
use crate::adopt::piece_maker::PieceMaker;
use crate::adopt::ring::CornerAngle;
use crate::adopt::scale::ScaleSource;
use crate::adopt::short_dart::run_on;
use crate::curve::{Curve, turn_between};
use crate::drawing::pages::PageChoice;
use crate::pattern::{AdvicePart, Cut, EdgeEnd, EdgeRef, Joins, Pattern, Remedy, Run, SewnFrom, orient};
use crate::tolerance::{MOST_MOUTH_TURN, ON_OUTLINE, WELD};
use crate::units::{Length, Unit};

const HEAD: &str = "\
# A map of the drawing. Capital letters are outlines, small ones lines, numbers edges: see the picture.
# Look through it, put in what is missing, take out what is wrong; then bring the drawing in by it.
# What was guessed says how sure it is: sure, likely, perhaps. Take `guessed` out where it is right.
";

const END: &str = "
# Which edges are sewn together, once for each seam. From which end, where it cannot be found: from = \"hem\".
";

const NO_SEAMS: &str = "\
# [[seam]]
# first = \"front.side\"
# second = \"back.side\"
# ease = \"5mm\"            # by how much the first is longer
";

/// The allowance of a seam where nothing tells it, mm.
const USUAL_ALLOWANCE: f64 = 10.0;

/// Writes a map of what was found.
#[must_use]
pub fn template(found: &Found, asked: &Asked) -> String {
    let mut map = HEAD.to_owned();
    reading(&mut map, found, asked);
    let pieces = likely_pieces(found);
    let darts: Vec<Vec<&FoundOutline>> = pieces.iter().map(|piece| closed_darts(found, piece)).collect();
    let is_used = |at: usize| {
        let letter = &found.outlines[at].letter;
        pieces.iter().any(|piece| piece.at == at) || darts.iter().flatten().any(|dart| dart.letter == *letter)
    };
    let ignored = (0..found.outlines.len()).filter(|at| !is_used(*at));
    let ignored: Vec<String> = ignored.map(|at| quoted(found.outlines[at].letter.as_str())).collect();
    let _ = writeln!(map, "ignore = [{}]   # outlines that are no pieces", ignored.join(", "));
    let usual = Usual::of(found, &pieces);
    if let Some(hem) = usual.hem {
        let _ = writeln!(
            map,
            "# A hem of {hem} mm is written on the drawing: finish = \"hem\", allowance = \"{hem}mm\" on each edge that is turned up."
        );
    }
    for (piece, darts) in pieces.iter().zip(&darts) {
        write_piece(&mut map, found, piece, &usual, darts);
    }
    map.push_str(END);
    match write_seams(&map, found) {
        seams if seams.is_empty() => map.push_str(NO_SEAMS),
        seams => map.push_str(&seams),
    }
    map
}

/// What the outlines of pieces are where only one line is drawn.
struct Usual {
    drawn: &'static str,
    allowance: f64,
    why: &'static str,
    /// How deep a hem is, where it is written on the drawing.
    hem: Option<f64>,
}

impl Usual {
    fn of(found: &Found, pieces: &[LikelyPiece<'_>]) -> Usual {
        let measured = pieces.iter().filter(|piece| piece.cut_line.is_some()).count();
        if 2 * measured > pieces.len() {
            let why = "   # there is one line around it, where others have two";
            return Usual { drawn: "seamline", allowance: 0.0, why, hem: None };
        }
        match said_allowance(found) {
            None => Usual { drawn: "seamline", allowance: USUAL_ALLOWANCE, why: "", hem: None },
            Some(said) => Usual {
                drawn: if said.included == Some(Included::Yes) { "cutting-line" } else { "seamline" },
                allowance: said.width.unwrap_or(USUAL_ALLOWANCE),
                why: "   # as is written on the drawing",
                hem: said.hem,
            },
        }
    }
}

fn reading(map: &mut String, found: &Found, asked: &Asked) {
    if let Some(unit) = asked.unit {
        let word = word_for(&UNITS, &unit);
        let _ = writeln!(map, "unit = \"{word}\"");
    } else if found.scale.source == ScaleSource::Unknown {
        let _ =
            writeln!(map, "# unit = \"mm\"            # the drawing does not say its unit: say it here, or");
        let _ =
            writeln!(map, "# known = \"A=100mm\"      # how long the longest straight side of something is");
    }
    if let Some(known) = &asked.known {
        let _ = writeln!(map, "known = {}", quoted(&format!("{}={}mm", known.element, known.length_mm)));
    }
    let off = found.scale.check().is_some_and(super::ScaleCheck::is_off);
    if off || asked.correction == Correction::Correct {
        let _ = writeln!(map, "correct-scale = true     # by the test square");
    }
    if let Some(size) = &found.size {
        let _ = writeln!(map, "size = {}", quoted(&size.to_string()));
    }
    if asked.pages != PageChoice::Auto {
        let _ = writeln!(map, "pages = {}", quoted(&asked.pages.to_string()));
    }
    if asked.corner != CornerAngle::default() {
        let _ = writeln!(map, "corner-angle = {}", asked.corner.in_degrees());
    }
}

/// A text in quotes as TOML has it.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for sign in text.chars() {
        match sign {
            '"' | '\\' => {
                quoted.push('\\');
                quoted.push(sign);
            }
            sign if sign.is_control() => quoted.push(' '),
            sign => quoted.push(sign),
        }
    }
    quoted.push('"');
    quoted
}

fn write_piece(
    map: &mut String,
    found: &Found,
    piece: &LikelyPiece<'_>,
    usual: &Usual,
    darts: &[&FoundOutline],
) {
    let outline = &found.outlines[piece.at];
    let _ = writeln!(map, "\n[[piece]]\noutline = \"{}\"\nguessed = \"{}\"", outline.letter, piece.guess());
    let _ = writeln!(map, "name = \"{}\"", piece.name);
    let own = match piece.cut_line.map(|cut| &found.outlines[cut].letter) {
        Some(cut) => {
            let allowance = piece.allowance.unwrap_or_default();
            let _ = writeln!(map, "drawn = \"seamline\"       # the line that is cut is {cut}");
            let _ = writeln!(map, "allowance = \"{allowance}mm\"   # measured");
            allowance
        }
        None => {
            let sign = if usual.why.is_empty() { "# " } else { "" };
            let _ = writeln!(
                map,
                "{sign}drawn = \"{}\"       # \"seamline\", or \"cutting-line\": then allowances are taken off",
                usual.drawn
            );
            let _ = writeln!(map, "allowance = \"{}mm\"{}", usual.allowance, usual.why);
            usual.allowance
        }
    };
    let on_fold = piece.edges.iter().any(|edge| matches!(edge.finish, LikelyFinish::Fold(_)));
    let (sign, said) = match (piece.cut, on_fold) {
        (Some(_), _) => ("", "as is written on it"),
        (None, true) => ("", "on the fold"),
        (None, false) => ("# ", "\"2\" is a left and a right, \"2 same\" two alike"),
    };
    let _ = writeln!(map, "{sign}cut = \"{}\"                # {said}", piece.cut.unwrap_or(Cut::ONE));
    if let Some(cloth) = &piece.cloth {
        let _ = writeln!(map, "cloth = \"{cloth}\"");
    }
    for (cut, cloth) in &piece.besides {
        let _ = writeln!(map, "# on it stands as well: cut {cut} of {cloth}; that is a piece of its own");
    }
    if let Some(grain) = piece.grainline {
        let _ = writeln!(map, "grainline = \"{}\"", grain.letter);
    }
    let marks: Vec<String> = piece.marks.iter().map(|line| quoted(line.letter.as_str())).collect();
    if !marks.is_empty() {
        let _ = writeln!(
            map,
            "marks = [{}]              # kept as they are drawn: a pocket's place, a buttonhole",
            marks.join(", ")
        );
    }
    let rest: Vec<String> = piece.rest.iter().map(|line| quoted(line.letter.as_str())).collect();
    let _ = writeln!(map, "ignore = [{}]             # lines that mean nothing", rest.join(", "));
    for numbers in numbers(&outline.edges, piece) {
        let longest = numbers.iter().copied().max_by(|a, b| {
            let length = |at: usize| outline.edges[at].length();
            length(*a).total_cmp(&length(*b))
        });
        let Some(longest) = longest else { continue };
        let length: f64 = numbers.iter().map(|at| outline.edges[*at].length()).sum();
        let straight = numbers.len() == 1 && outline.edges[longest].is_straight(ON_OUTLINE);
        let _ = writeln!(map, "[[piece.edge]]            # {length:.1} mm");
        let at: Vec<String> = numbers.iter().map(|at| (at + 1).to_string()).collect();
        let name = numbers.iter().find_map(|at| piece.edges[*at].name.clone());
        let mut edge = LikelyEdge { name, ..piece.edges[longest].clone() };
        if matches!(edge.finish, LikelyFinish::Hem) && piece.cut_line.is_none() {
            edge.allowance = edge.allowance.or(usual.hem);
        }
        write_edge(map, &at.join(", "), &edge, own, straight);
    }
    for (number, first) in piece.wedges.iter().enumerate() {
        let second = (first + 1) % outline.edges.len() + 1;
        let (number, first) = (number + 1, first + 1);
        let _ = writeln!(map, "[[piece.dart]]\nname = \"cut-dart-{number}\"\ncut-in = \"{first}, {second}\"");
    }
    write_marks(map, (piece, outline), darts);
}

impl LikelyPiece<'_> {
    fn guess(&self) -> MapGuess {
        let (certainty, because) = self.named_by.told();
        MapGuess { certainty, because: because.to_owned() }
    }
}

/// The numbers of an outline that are one edge each, clockwise: what is on both sides of a dart goes on over it, and so does
/// the line over its mouth.
fn numbers(edges: &[Curve], piece: &LikelyPiece<'_>) -> Vec<Vec<usize>> {
    let count = edges.len();
    let is_leg = |at: usize| piece.wedges.iter().any(|first| at == *first || at == (first + 1) % count);
    let mut goes_on: Vec<bool> = (0..count).map(|at| is_leg((at + count - 1) % count)).collect();
    for at in piece.darts.iter().flat_map(|(dart, _)| over_mouth(edges, &dart.curve)) {
        goes_on[at] = true;
    }
    let first = (0..count).find(|at| !is_leg(*at) && !goes_on[*at]).unwrap_or(0);
    let mut numbers: Vec<Vec<usize>> = Vec::new();
    for at in (0..count).map(|step| (first + step) % count).filter(|at| !is_leg(*at)) {
        match numbers.last_mut() {
            Some(last) if goes_on[at] => last.push(at),
            _ => numbers.push(vec![at]),
        }
    }
    numbers
}

/// The edges that go on from the one before them over the mouth of a drawn dart: where it begins and ends the outline has a
/// corner, as an edge does that is drawn for the closed dart, but none that ends an edge.
fn over_mouth(edges: &[Curve], dart: &Curve) -> Vec<usize> {
    let count = edges.len();
    let is_mouth_end = |at: &usize| {
        let (before, edge) = (&edges[(*at + count - 1) % count], &edges[*at]);
        let turn = turn_between(before.end_tangent(), edge.start_tangent()).0;
        dart.nearest(edge.start()).distance <= ON_OUTLINE && turn.abs() <= MOST_MOUTH_TURN
    };
    if count > 3 { (0..count).filter(is_mouth_end).collect() } else { Vec::new() }
}

fn write_edge(map: &mut String, number: &str, edge: &LikelyEdge, usual: f64, straight: bool) {
    let name =
        edge.name.as_ref().map_or_else(|| format!("edge-{}", number.replace(", ", "-")), ToString::to_string);
    let _ = writeln!(map, "at = \"{number}\"\nname = \"{name}\"");
    match edge.finish {
        LikelyFinish::Fold(certainty) => {
            let guess = MapGuess { certainty, because: "it lies on the fold".to_owned() };
            let _ = writeln!(map, "finish = \"fold\"\nguessed = \"{guess}\"");
            return;
        }
        LikelyFinish::Hem => map.push_str("finish = \"hem\"\n"),
        LikelyFinish::Bare => map.push_str("finish = \"free\"\n"),
        LikelyFinish::Unknown if straight && edge.allowance.is_none() => {
            map.push_str("# finish = \"fold\"        # or \"hem\", \"seam\", \"free\"\n");
        }
        LikelyFinish::Unknown => {}
    }
    // How deep a hem is has to be said, however deep it is.
    let is_hem = matches!(edge.finish, LikelyFinish::Hem);
    if let Some(allowance) = edge.allowance.filter(|own| is_hem || (own - usual).abs() > WELD) {
        let _ = writeln!(map, "allowance = \"{allowance}mm\"");
    }
}

fn write_marks(
    map: &mut String,
    (piece, outline): (&LikelyPiece<'_>, &FoundOutline),
    darts: &[&FoundOutline],
) {
    let mut dart_names = Names::default();
    for (number, (line, name)) in piece.darts.iter().enumerate() {
        let name = dart_names.free(name.as_ref().unwrap_or(&format!("dart-{}", number + 1)));
        let _ = writeln!(map, "[[piece.dart]]\nname = {}\ndrawn = \"{}\"", quoted(&name), line.letter);
        if let Some(short) = run_on(&line.curve, &outline.ring) {
            let by = Length::from_mm(short.by).to_tenths().show(Unit::Millimetre);
            let because = format!("it is drawn {by} short of its edge");
            let _ = writeln!(map, "guessed = \"{}\"", MapGuess { certainty: Certainty::Likely, because });
        }
    }
    for (number, dart) in darts.iter().enumerate() {
        let name = format!("closed-dart-{}", number + 1);
        let _ = writeln!(map, "[[piece.dart]]\nname = \"{name}\"\ndrawn = \"{}\"", dart.letter);
    }
    for letters in &piece.notches {
        let count = letters.len().min(2);
        let _ = writeln!(map, "[[piece.notch]]\ndrawn = \"{}\"\ncount = {count}", letters.join(" "));
    }
    let mut names = Names::default();
    write_named(map, "level", &piece.levels, &mut names);
    let style_lines: Vec<(&FoundLine, Option<String>)> =
        piece.style_lines.iter().map(|(line, name)| (*line, Some(name.clone()))).collect();
    write_named(map, "style-line", &style_lines, &mut Names::default());
    let points = piece.points.iter().enumerate().map(|(number, (line, name))| {
        (*line, Some(name.clone().unwrap_or_else(|| format!("point-{}", number + 1))))
    });
    write_named(map, "point", &points.collect::<Vec<_>>(), &mut Names::default());
}

/// Names that were given on a piece.
#[derive(Default)]
struct Names(Vec<String>);

impl Names {
    /// The name, with a number behind it where it was given before.
    fn free(&mut self, name: &str) -> String {
        let numbered = std::iter::once(name.to_owned()).chain((2..).map(|n: usize| format!("{name}-{n}")));
        let free = numbered.into_iter().find(|name| !self.0.contains(name)).unwrap_or_default();
        self.0.push(free.clone());
        free
    }
}

/// Lines that have a name on the drawing; those that have none are put down to be taken in.
fn write_named(map: &mut String, sort: &str, lines: &[(&FoundLine, Option<String>)], names: &mut Names) {
    for (number, (line, name)) in lines.iter().enumerate() {
        match name {
            Some(name) => {
                let name = names.free(name);
                let _ =
                    writeln!(map, "[[piece.{sort}]]\nname = {}\ndrawn = \"{}\"", quoted(&name), line.letter);
            }
            None => {
                let name = format!("{sort}-{}", number + 1);
                let _ =
                    writeln!(map, "# [[piece.{sort}]]\n# name = \"{name}\"\n# drawn = \"{}\"", line.letter);
            }
        }
    }
}

/// Slender outlines within another: diamonds, and triangles along an edge.
fn closed_darts<'a>(found: &'a Found, piece: &LikelyPiece<'_>) -> Vec<&'a FoundOutline> {
    let around = [Some(piece.at), piece.cut_line];
    let is_dart = |at: usize| {
        let outline = &found.outlines[at];
        let bounds = outline.bounds();
        let slender = bounds.width().min(bounds.height()) < bounds.width().max(bounds.height()) / 3.0;
        let inside = outline.inside.is_some() && around.contains(&outline.inside);
        inside && at != piece.at && slender && matches!(outline.edges.len(), 2..=4)
    };
    (0..found.outlines.len()).filter(|at| is_dart(*at)).map(|at| &found.outlines[at]).collect()
}

/// An outline as the piece that it likely is, written as in a map.
pub(super) fn written_piece(found: &Found, letter: &str) -> Option<String> {
    let at = found.outlines.iter().position(|outline| outline.letter.as_str() == letter)?;
    let pieces = likely_pieces(found);
    let usual = Usual::of(found, &pieces);
    let known = pieces.into_iter().find(|piece| piece.at == at);
    let piece = known.or_else(|| likely_piece_of(found, at))?;
    let mut map = String::new();
    write_piece(&mut map, found, &piece, &usual, &closed_darts(found, &piece));
    Some(map)
}

/// The end from which two edges of a map are likely sewn, where that has to be said.
pub(super) fn likely_from(found: &Found, map: &Map, first: &str, second: &str) -> Option<String> {
    let pattern = pattern_of(map, found)?;
    let run =
        |text: &str| text.split_whitespace().map(|edge| edge.parse().ok()).collect::<Option<Vec<EdgeRef>>>();
    let (first, second) = (run(first)?, run(second)?);
    let mut joins = Joins::default();
    joins.add(&first, &second);
    let refused = orient(&pattern, &joins, &first, &second, None).err()?;
    refused.way_out.parts().iter().find_map(|part| match part {
        AdvicePart::Remedy(Remedy::SayFrom { ends: [likely, _], .. }) => Some(likely.to_string()),
        _ => None,
    })
}

/// The seams that are likely between the pieces of a map.
fn write_seams(map: &str, found: &Found) -> String {
    let pattern = Map::read(map).ok().and_then(|map| pattern_of(&map, found));
    let Some(pattern) = pattern else { return String::new() };
    let seams = likely_seams(&pattern);
    let mut joins = Joins::default();
    seams.iter().for_each(|seam| joins.add(&seam.first, &seam.second));
    let mut text = String::new();
    for seam in &seams {
        let Some(from) = from(&pattern, &joins, seam) else { continue };
        let guess = MapGuess { certainty: seam.certainty, because: seam.because.clone() };
        let names = |edges: &[EdgeRef]| edges.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
        let _ = writeln!(text, "[[seam]]\nguessed = \"{guess}\"");
        let _ = writeln!(text, "first = \"{}\"\nsecond = \"{}\"", names(&seam.first), names(&seam.second));
        if let From::Corner(from) = from {
            let _ = writeln!(text, "from = \"{from}\"");
        }
        if seam.ease > 0.0 {
            let _ = writeln!(text, "ease = \"{:.1}mm\"", seam.ease);
        }
    }
    text
}

/// The pieces of a map, without those that cannot be made of it yet.
fn pattern_of(map: &Map, found: &Found) -> Option<Pattern> {
    let mut pattern = Pattern::default();
    let mut finishes = Vec::new();
    for piece in &map.pieces {
        let made = PieceMaker::new(found, piece).and_then(|maker| maker.made(&mut Vec::new()));
        if let Ok(made) = made
            && pattern.add_piece(made.piece).is_ok()
        {
            finishes.extend(made.finishes);
        }
    }
    let hemmed = finishes.into_iter().filter(|said| said.finish.is_some()).collect::<Vec<_>>();
    make_seams::finish(&mut pattern, &hemmed).ok()?;
    Some(pattern)
}

/// Where a seam begins, as a map has to say it.
enum From {
    /// It is found from what stands beside it.
    Found,
    Corner(SewnFrom),
}

/// What a seam has to say of where it begins; none where it cannot be laid.
fn from(pattern: &Pattern, joins: &Joins, seam: &LikelySeam) -> Option<From> {
    if orient(pattern, joins, &seam.first, &seam.second, None).is_ok() {
        return Some(From::Found);
    }
    let edge = seam.second.first()?.clone();
    let corners = [EdgeEnd::First, EdgeEnd::Last].map(|end| SewnFrom::Corner { edge: edge.clone(), end });
    let laid = corners.into_iter().filter_map(|from| {
        let (first, second) = orient(pattern, joins, &seam.first, &seam.second, Some(&from)).ok()?;
        Some((from, begins_at(&first, &second)))
    });
    let laid: Vec<(SewnFrom, EdgeEnd)> = laid.collect();
    let likely = laid.iter().position(|(_, begins)| *begins == seam.from).unwrap_or(0);
    laid.into_iter().nth(likely).map(|(from, _)| From::Corner(from))
}

/// At which corner the second run is entered where the first corner of the first edge is.
fn begins_at(first: &Run, second: &Run) -> EdgeEnd {
    let (one, other) = (first.edges()[0].travel, second.edges()[0].travel);
    if one == other { EdgeEnd::First } else { EdgeEnd::Last }
}
