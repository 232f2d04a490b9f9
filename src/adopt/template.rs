//! A map to fill in, with all in it that can be guessed.

use std::fmt::Write;

use crate::adopt::find::{Asked, Correction};
use crate::adopt::found::Found;
use crate::adopt::outlines::{FoundLine, FoundOutline, Guess};
use crate::adopt::ring::CornerAngle;
use crate::adopt::scale::ScaleSource;
use crate::drawing::pages::PageChoice;
use crate::pattern::PieceName;
use crate::tolerance::ON_OUTLINE;

const HEAD: &str = "\
# A map of the drawing. Capital letters are outlines, small ones lines, numbers edges: see the picture.
# Look through it, put in what is missing, take out what is wrong; then bring the drawing in by it.
";

const END: &str = "
# Which edges are sewn together, once for each seam. From which end, where it cannot be found: from = \"hem\".
# [[seam]]
# first = \"front.side\"
# second = \"back.side\"
# ease = \"5mm\"            # by how much the first is longer
";

/// Words that stand on pieces and name none.
const NO_NAMES: [&str; 16] = [
    "cut",
    "fold",
    "size",
    "on",
    "the",
    "of",
    "place",
    "grain",
    "grainline",
    "line",
    "x",
    "main",
    "fabric",
    "lining",
    "straight",
    "piece",
];

/// Writes a map of what was found.
#[must_use]
pub fn template(found: &Found, asked: &Asked) -> String {
    let mut map = HEAD.to_owned();
    reading(&mut map, found, asked);
    let is_check =
        |outline: &&FoundOutline| found.scale.checks.iter().any(|check| check.letter == outline.letter);
    let ignored: Vec<String> = found
        .outlines
        .iter()
        .enumerate()
        .filter(|(at, outline)| !found.is_outermost(*at) || is_check(outline))
        .map(|(_, outline)| format!("\"{}\"", outline.letter))
        .collect();
    let _ = writeln!(map, "ignore = [{}]   # outlines that are no pieces", ignored.join(", "));
    let mut names: Vec<PieceName> = Vec::new();
    for (at, outline) in found.outlines.iter().enumerate() {
        if found.is_outermost(at) && !is_check(&outline) {
            let Some(name) = piece_name(found, outline, &names) else { continue };
            piece(&mut map, found, at, outline, &name);
            names.push(name);
        }
    }
    map.push_str(END);
    map
}

fn reading(map: &mut String, found: &Found, asked: &Asked) {
    if let Some(unit) = asked.unit {
        let word = match unit {
            crate::sheet::UserUnit::Mm => "mm",
            crate::sheet::UserUnit::Cm => "cm",
            crate::sheet::UserUnit::In => "in",
            crate::sheet::UserUnit::Px => "px",
            crate::sheet::UserUnit::Pt => "pt",
        };
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

/// A name from the texts inside, from the layer or the id; else from the letter.
fn piece_name(found: &Found, outline: &FoundOutline, taken: &[PieceName]) -> Option<PieceName> {
    let texts = outline.texts.iter().map(|at| found.texts[*at].text.as_str());
    let last_layer = outline.layer.rsplit(" / ").next().unwrap_or_default();
    let spoken = texts.chain(outline.id.as_deref()).chain([last_layer]).find_map(name_in);
    let plain = format!("piece-{}", outline.letter.as_str().to_lowercase());
    spoken.or_else(|| plain.parse().ok()).map(|name: PieceName| name.free(|name| taken.contains(name)))
}

/// The first words of a text that may be a name.
fn name_in(text: &str) -> Option<PieceName> {
    let words: Vec<String> = text
        .split(|sign: char| !sign.is_alphanumeric() && sign != '-')
        .map(str::to_lowercase)
        .filter(|word| !word.is_empty())
        .take_while(|word| {
            !NO_NAMES.contains(&word.as_str()) && !word.starts_with(|sign: char| sign.is_ascii_digit())
        })
        .take(2)
        .collect();
    let name = words.join("-");
    let is_word = name.chars().filter(|sign| sign.is_alphabetic()).count() >= 3;
    if is_word && !name.starts_with("surface") && !name.starts_with("path") {
        name.parse().ok()
    } else {
        None
    }
}

fn piece(map: &mut String, found: &Found, at: usize, outline: &FoundOutline, name: &PieceName) {
    let _ = writeln!(map, "\n[[piece]]\noutline = \"{}\"\nname = \"{name}\"", outline.letter);
    let _ = writeln!(map, "drawn = \"seamline\"       # or \"cutting-line\": then allowances are taken off");
    let _ = writeln!(map, "allowance = \"10mm\"");
    let _ = writeln!(map, "cut = \"1\"                # \"2\" is a left and a right, \"2 same\" two alike");
    let lines: Vec<&FoundLine> = found.lines_in(at).collect();
    let of = |guess: Guess| lines.iter().filter(move |line| line.guess == guess);
    if let Some(grain) = of(Guess::Grainline).next() {
        let _ = writeln!(map, "grainline = \"{}\"", grain.letter);
    }
    let rest: Vec<String> = lines
        .iter()
        .filter(|line| matches!(line.guess, Guess::Line))
        .map(|line| format!("\"{}\"", line.letter))
        .collect();
    let _ = writeln!(map, "ignore = [{}]             # lines that mean nothing", rest.join(", "));
    for (number, edge) in outline.edges.iter().enumerate() {
        let number = number + 1;
        let _ = writeln!(map, "[[piece.edge]]            # {:.1} mm", edge.length());
        let _ = writeln!(map, "at = \"{number}\"\nname = \"edge-{number}\"");
        if edge.is_straight(ON_OUTLINE) {
            let _ = writeln!(map, "# finish = \"fold\"        # or \"hem\", \"seam\", \"free\"");
        }
    }
    for (number, line) in of(Guess::Dart).chain(of(Guess::DoubleDart)).enumerate() {
        let _ = writeln!(map, "[[piece.dart]]\nname = \"dart-{}\"\ndrawn = \"{}\"", number + 1, line.letter);
    }
    for (number, dart) in closed_darts(found, at).enumerate() {
        let _ = writeln!(
            map,
            "[[piece.dart]]\nname = \"closed-dart-{}\"\ndrawn = \"{}\"",
            number + 1,
            dart.letter
        );
    }
    for line in of(Guess::Notch) {
        let _ = writeln!(map, "[[piece.notch]]\ndrawn = \"{}\"\ncount = 1", line.letter);
    }
    for (number, line) in of(Guess::Level).enumerate() {
        let _ = writeln!(
            map,
            "# [[piece.level]]\n# name = \"level-{}\"\n# drawn = \"{}\"",
            number + 1,
            line.letter
        );
    }
    for (number, line) in of(Guess::Point).enumerate() {
        let _ = writeln!(
            map,
            "# [[piece.point]]\n# name = \"point-{}\"\n# drawn = \"{}\"",
            number + 1,
            line.letter
        );
    }
}

/// Slender outlines within another: diamonds, and triangles along an edge.
fn closed_darts(found: &Found, around: usize) -> impl Iterator<Item = &FoundOutline> {
    found.outlines.iter().filter(move |outline| {
        let bounds = outline.bounds();
        let slender = bounds.width().min(bounds.height()) < bounds.width().max(bounds.height()) / 3.0;
        outline.inside == Some(around) && slender && matches!(outline.edges.len(), 2..=4)
    })
}
