//! What stands on a piece comes along, and where it stood.

use retrue::adopt::{Asked, Map, find, make, template};
use retrue::pattern::{Piece, PieceName};
use retrue::sheet;

use crate::compare::read;
use crate::run::{Bench, fixture};

/// The notches of a piece: by their edge, how far along it, and how many ticks.
fn notches_of(piece: &Piece) -> Vec<(String, f64, usize)> {
    let notches = piece.notches.iter().map(|notch| (notch.edge.to_string(), notch.at, notch.count.ticks()));
    let mut notches: Vec<(String, f64, usize)> =
        notches.map(|(edge, at, ticks)| (edge, at, ticks as usize)).collect();
    notches.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    notches
}

/// Where the seamline bends, both snips of a notch on the line that is cut lead to it, and say nothing else.
#[test]
fn notches_of_a_print_come_back_where_they_were() {
    let bench = Bench::new().with_file("awkward.svg", fixture("awkward.svg"));
    bench.retrue("print awkward.svg --paper a4 -o printed.pdf").ends_by_itself();
    let printed = std::fs::read(bench.path("printed.pdf")).expect("a PDF");
    let found = find(&printed, &Asked::default()).expect("a drawing");
    let map = Map::read(&template(&found, &Asked::default())).expect("a map");
    let adopted = make(&found, &map).expect("a pattern").pattern;
    let original = read(&fixture("awkward.svg"));
    for name in ["yoke", "panel"] {
        let name: PieceName = name.parse().expect("a name");
        let [was, is] =
            [&original, &adopted].map(|pattern| notches_of(pattern.find(&name).expect("the piece")));
        let is_there = |(was, is): (&(String, f64, usize), &(String, f64, usize))| {
            was.0 == is.0 && was.2 == is.2 && (was.1 - is.1).abs() <= 0.02
        };
        assert!(was.len() == is.len() && was.iter().zip(&is).all(is_there), "{name}: {was:?} {is:?}");
    }
}

/// A buttonhole, a pocket's place and a drill mark belong to their piece.
#[test]
fn lines_within_a_piece_are_kept_as_they_are_drawn() {
    let drawing = r#"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="500mm" viewBox="0 0 400 500">
        <g fill="none" stroke="black"><path d="M50 50 H250 V450 H50 Z"/><path d="M60 150 H78"/>
        <path d="M90 250 V350 H220 V250" stroke-dasharray="3 2"/><circle cx="150" cy="120" r="4"/></g>
        <text x="100" y="200" font-size="7">Front</text></svg>"#;
    let found = find(drawing.as_bytes(), &Asked::default()).expect("a drawing");
    let text = template(&found, &Asked::default());
    assert!(text.contains("\nignore = []   # outlines") && text.contains("\nignore = []  "), "{text}");
    let adopted = make(&found, &Map::read(&text).expect("a map")).expect("a pattern").pattern;
    let written = sheet::write(&adopted).expect("a sheet");
    for pattern in [&adopted, &read(&written)] {
        let piece = pattern.pieces().next().expect("a piece");
        let kept: Vec<usize> = piece.marks.iter().map(|mark| mark.lines.len()).collect();
        assert_eq!((kept, piece.points.len()), (vec![1, 1], 1));
        let lengths = piece.marks.iter().flat_map(|mark| &mark.lines).map(|line| line.length());
        assert_eq!(lengths.map(|length| length.round()).collect::<Vec<_>>(), [18.0, 330.0]);
    }
}
