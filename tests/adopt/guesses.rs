//! What the template of a map guesses is right where it says that it is sure, and for the most part elsewhere.

use std::collections::BTreeSet;

use retrue::adopt::{Asked, Certainty, LikelySeam, LineStyle, Map, find, likely_seams, make, template};
use retrue::pattern::{Edge, EdgeRef, Finish, Pattern, Piece, PieceName, Seam};
use retrue::sheet;

use crate::common::commercial::{DASHES, Drawn, MIDDLE, Written, page_with, to_page};
use crate::compare::read;
use crate::run::{Bench, fixture};

const PATTERNS: [&str; 4] = ["coat", "dress", "skirt-shaped-back", "awkward"];

/// What share of seams and copies the template has right, at least.
const SEAMS: f64 = 0.8;
const COPIES: f64 = 0.9;

/// Lines of a template of four pieces that are to be changed, fewer than this.
const CHANGED: usize = 40;

/// How far a width may be from that which it was drawn with, mm.
const WIDE: f64 = 0.1;

/// The two sides of a seam by the names of their edges, in no order: a piece and its mirrored copy are sewn alike.
type Sides = BTreeSet<Vec<String>>;

fn named(edges: impl Iterator<Item = EdgeRef>) -> Vec<String> {
    let mut names: Vec<String> = edges.map(|edge| format!("{}.{}", edge.piece, edge.edge)).collect();
    names.sort();
    names
}

fn sides_of(seam: &Seam) -> Sides {
    [&seam.first, &seam.second].map(|run| named(run.edges().iter().map(|run| run.edge.clone()))).into()
}

fn sides_guessed(seam: &LikelySeam) -> Sides {
    [&seam.first, &seam.second].map(|edges| named(edges.iter().cloned())).into()
}

fn tell(what: impl FnOnce() -> String) {
    if std::env::var_os("RETRUE_TELL").is_some() {
        eprintln!("{}", what());
    }
}

/// By edges, darts and notches alone, without a word of writing.
#[test]
fn seams_of_the_fixtures_are_guessed() {
    let (mut right, mut all) = (0, 0);
    for name in PATTERNS {
        let pattern = read(&fixture(&format!("{name}.svg")));
        let seams: Vec<Sides> = pattern.seams().iter().map(sides_of).collect();
        let bare = Pattern::new(pattern.pieces().cloned().collect(), Vec::new()).expect("pieces");
        let guessed = likely_seams(&bare);
        for guess in &guessed {
            let is_right = seams.contains(&sides_guessed(guess));
            right += usize::from(is_right);
            let told = format!("{name}: {:?} ({}), {is_right}", sides_guessed(guess), guess.because);
            assert!(is_right || guess.certainty < Certainty::Sure, "{told}");
            tell(|| told);
        }
        all += seams.len();
    }
    tell(|| format!("{right} of {all} seams"));
    assert!(right as f64 >= SEAMS * all as f64, "{right} of {all}");
}

/// What a template makes of a drawing without a change to it.
struct Filled {
    map: String,
    pattern: Pattern,
}

impl Filled {
    /// Of our own print of a sheet, on pages of A4.
    fn of_print(sheet: &str) -> Filled {
        let bench = Bench::new().with_file("sheet.svg", sheet);
        bench.retrue("print sheet.svg --paper a4 -o printed.pdf").ends_by_itself();
        Filled::of(&std::fs::read(bench.path("printed.pdf")).expect("a PDF"), &Asked::default())
    }

    fn of(drawing: &[u8], asked: &Asked) -> Filled {
        let found = find(drawing, asked).expect("found");
        let map = template(&found, asked);
        let read = Map::read(&map).unwrap_or_else(|error| panic!("{error}\n{map}"));
        let made = make(&found, &read).unwrap_or_else(|error| panic!("{error}\n{map}"));
        Filled { map, pattern: made.pattern }
    }

    /// The seams of which the template says that they are sure.
    fn sure(&self) -> Vec<Sides> {
        let seams = self
            .map
            .split("[[seam]]")
            .skip(1)
            .filter(|seam| seam.trim_start().starts_with("guessed = \"sure"));
        let side = |seam: &str, key: &str| {
            let line = seam.lines().find_map(|line| line.strip_prefix(key)).expect("a side");
            named(line.trim_matches('"').split(' ').map(|edge| edge.parse().expect("an edge")))
        };
        seams.map(|seam| [side(seam, "first = "), side(seam, "second = ")].into()).collect()
    }
}

/// The sides of a seam with each edge called as it is in the pattern that was printed: by its length, where its name was not
/// read.
fn as_drawn(sides: Sides, original: &Pattern, made: &Pattern) -> Sides {
    let called = |name: &String| {
        let edge: EdgeRef = name.parse().expect("an edge");
        let (Some(piece), Some(own)) = (original.find(&edge.piece), made.find_edge(&edge)) else {
            return name.clone();
        };
        let alike = |other: &&Edge| (other.curve.length() - own.curve.length()).abs() < WIDE;
        let mut alike = piece.edges().iter().filter(alike);
        let same_name = alike.clone().find(|other| other.name == edge.edge);
        let found = same_name.or_else(|| alike.next().filter(|_| alike.next().is_none()));
        found.map_or_else(|| name.clone(), |found| format!("{}.{}", edge.piece, found.name))
    };
    let side = |edges: &Vec<String>| {
        let mut edges: Vec<String> = edges.iter().map(called).collect();
        edges.sort();
        edges
    };
    sides.iter().map(side).collect()
}

#[test]
fn the_template_of_a_print_has_seams_copies_and_folds_right() {
    let (mut seams, mut all_seams, mut copies, mut pieces) = (0, 0, 0, 0);
    for name in PATTERNS {
        let sheet = fixture(&format!("{name}.svg"));
        let (original, filled) = (read(&sheet), Filled::of_print(&sheet));
        let own: Vec<Sides> = original.seams().iter().map(sides_of).collect();
        let guessed: Vec<Sides> = filled
            .pattern
            .seams()
            .iter()
            .map(|seam| as_drawn(sides_of(seam), &original, &filled.pattern))
            .collect();
        let right = own.iter().filter(|seam| guessed.contains(seam)).count();
        for seam in own.iter().filter(|seam| !guessed.contains(seam)) {
            tell(|| format!("{name}: missed {seam:?}"));
        }
        for sure in filled.sure() {
            let sure = as_drawn(sure, &original, &filled.pattern);
            assert!(own.contains(&sure), "{name}: {sure:?} is not sewn");
        }
        let same_cut =
            |piece: &&Piece| filled.pattern.find(piece.name()).is_some_and(|made| made.cut == piece.cut);
        let cut = original.pieces().filter(same_cut).count();
        for piece in original.pieces() {
            let made = filled.pattern.find(piece.name());
            let fold = |piece: &Piece| piece.fold().map(|id| piece.edge(id).curve.length());
            let (wanted, came) = (fold(piece), made.and_then(fold));
            let same = match (wanted, came) {
                (Some(wanted), Some(came)) => (wanted - came).abs() < WIDE,
                (None, None) => true,
                _ => false,
            };
            assert!(same, "{name} {}: fold {came:?} in place of {wanted:?}", piece.name());
        }
        tell(|| {
            format!("{name}: {right} of {} seams, {cut} of {} copies", own.len(), original.pieces().len())
        });
        (seams, all_seams) = (seams + right, all_seams + own.len());
        (copies, pieces) = (copies + cut, pieces + original.pieces().len());
    }
    assert!(seams as f64 >= SEAMS * all_seams as f64, "{seams} of {all_seams} seams");
    assert!(copies as f64 >= COPIES * pieces as f64, "{copies} of {pieces} copies");
}

/// How far the middle of an edge may come from where it was drawn, mm.
const DRAWN_WITHIN: f64 = 0.5;

/// The sides of a seam with each edge called as the one that was drawn at its place, on a page of nested sizes.
fn as_placed(sides: Sides, original: &Pattern, made: &Pattern) -> Sides {
    let middle = |edge: &Edge| edge.curve.point_at(edge.curve.length() / 2.0);
    let called = |name: &String| {
        let edge: EdgeRef = name.parse().expect("an edge");
        let Some(own) = made.find_edge(&edge) else { return name.clone() };
        let at = middle(own);
        let all = original.pieces().flat_map(|piece| piece.edges().iter().map(move |edge| (piece, edge)));
        let mut near = all.filter(|(_, edge)| to_page(middle(edge)).distance(at) <= DRAWN_WITHIN);
        near.next().map_or_else(|| name.clone(), |(piece, edge)| format!("{}.{}", piece.name(), edge.name))
    };
    let side = |edges: &Vec<String>| {
        let mut edges: Vec<String> = edges.iter().map(called).collect();
        edges.sort();
        edges
    };
    sides.iter().map(side).collect()
}

/// Five sizes in one another, each with a line of its own, and names, copies and folds in writing: one is chosen.
#[test]
fn the_template_of_nested_sizes_has_seams_copies_and_folds_right() {
    let (mut seams, mut all_seams, mut copies, mut pieces) = (0, 0, 0, 0);
    for name in PATTERNS {
        let original = read(&fixture(&format!("{name}.svg")));
        let page = page_with(&original, Drawn::Seamline, Written::NameAndCut);
        let all = find(page.as_bytes(), &Asked::default()).expect("found");
        let is_chosen = |style: &LineStyle| {
            let dashes = DASHES[MIDDLE];
            style.dashes.len() == dashes.len()
                && style.dashes.iter().zip(dashes).all(|(a, b)| (a - b).abs() < 1e-3)
        };
        let style =
            all.styles.iter().find(|(_, style)| is_chosen(style)).expect("the size in the middle").0.number();
        let asked =
            Asked { size: Some(format!("style {style}").parse().expect("a size")), ..Asked::default() };
        let filled = Filled::of(page.as_bytes(), &asked);
        let own: Vec<Sides> = original.seams().iter().map(sides_of).collect();
        let placed = |sides| as_placed(sides, &original, &filled.pattern);
        let guessed: Vec<Sides> = filled.pattern.seams().iter().map(|seam| placed(sides_of(seam))).collect();
        let right = own.iter().filter(|seam| guessed.contains(seam)).count();
        for seam in own.iter().filter(|seam| !guessed.contains(seam)) {
            tell(|| format!("{name}: missed {seam:?}"));
        }
        for seam in guessed.iter().filter(|seam| !own.contains(seam)) {
            tell(|| format!("{name}: wrong {seam:?}"));
        }
        for sure in filled.sure() {
            let sure = placed(sure);
            assert!(own.contains(&sure), "{name}: {sure:?} is not sewn");
        }
        let same_cut = |piece: &&Piece| {
            filled.pattern.find(piece.name()).is_some_and(|made| made.cut.copies == piece.cut.copies)
        };
        let cut = original.pieces().filter(same_cut).count();
        for piece in original.pieces().filter(|piece| piece.fold().is_some()) {
            let fold = |piece: &Piece| piece.fold().map(|id| piece.edge(id).curve.length());
            let (wanted, came) = (fold(piece), filled.pattern.find(piece.name()).and_then(fold));
            let same = wanted.zip(came).is_some_and(|(wanted, came)| (wanted - came).abs() < WIDE);
            assert!(same, "{name} {}: fold {came:?} in place of {wanted:?}", piece.name());
        }
        tell(|| {
            format!("{name}: {right} of {} seams, {cut} of {} copies", own.len(), original.pieces().len())
        });
        (seams, all_seams) = (seams + right, all_seams + own.len());
        (copies, pieces) = (copies + cut, pieces + original.pieces().len());
    }
    tell(|| format!("{seams} of {all_seams} seams"));
    assert!(seams as f64 >= SEAMS * all_seams as f64, "{seams} of {all_seams} seams");
    assert!(copies as f64 >= COPIES * pieces as f64, "{copies} of {pieces} copies");
}

/// The blouse of five sizes that was drawn for the reader of pages: shoulders are eased, notches of the side do not meet, and
/// the cap of its sleeve is two edges.
#[test]
fn seams_of_a_blouse_that_was_drawn_by_itself_are_guessed() {
    let pages = std::fs::read("fixtures/adopt/pages/layers.pdf").expect("the blouse");
    let asked = Asked { size: Some("layer 38".parse().expect("a size")), ..Asked::default() };
    let filled = Filled::of(&pages, &asked);
    // By the lengths of its edges, mm.
    let seams = [
        ("shoulder", ["121.8", "127.2"]),
        // The mouth of its dart is not sewn.
        ("side", ["371.6", "396.7"]),
        ("underarm", ["452.8", "452.8"]),
        ("back armhole", ["201.6", "202.4"]),
    ];
    let called = |seam: &Seam| {
        let length = |run: &retrue::pattern::RunEdge| {
            let edge = filled.pattern.find_edge(&run.edge).expect("an edge");
            format!("{:.1}", edge.curve.length())
        };
        let mut lengths: Vec<String> = seam.edges().map(length).collect();
        lengths.sort();
        lengths
    };
    let guessed: Vec<Vec<String>> = filled.pattern.seams().iter().map(called).collect();
    tell(|| format!("{guessed:?}"));
    for (seam, lengths) in seams {
        assert!(guessed.iter().any(|known| known == &lengths), "{seam}: {guessed:?}");
    }
    assert_eq!(filled.sure(), Vec::<Sides>::new());
}

/// A jacket: the coat's body and sleeve.
#[test]
fn a_jacket_of_four_pieces_takes_few_lines_by_hand() {
    let coat = read(&fixture("coat.svg"));
    let names: Vec<PieceName> =
        ["back", "front", "sleeve", "front-facing"].map(|name| name.parse().expect("a name")).into();
    let pieces: Vec<Piece> = coat.pieces().filter(|piece| names.contains(piece.name())).cloned().collect();
    let within = |seam: &&Seam| seam.edges().all(|run| names.contains(&run.edge.piece));
    let seams: Vec<Seam> = coat.seams().iter().filter(within).cloned().collect();
    let jacket = Pattern::new(pieces, seams).expect("a jacket");
    let filled = Filled::of_print(&sheet::write(&jacket).expect("a sheet"));
    let changed = changes(&jacket, &filled.pattern);
    let lines: usize = changed.iter().map(|(lines, _)| lines).sum();
    let told = changed.iter().map(|(lines, what)| format!("{lines}: {what}")).collect::<Vec<_>>().join("\n");
    tell(|| format!("{lines} lines of {} are to be changed\n{told}", filled.map.lines().count()));
    assert!(lines < CHANGED, "{lines} lines\n{told}\n{}", filled.map);
}

/// Lines of a map that a person changes to make the one pattern of the other, and what they say.
fn changes(wanted: &Pattern, made: &Pattern) -> Vec<(usize, String)> {
    let mut changes: Vec<(usize, String)> = Vec::new();
    let mut is = |lines: usize, same: bool, what: String| {
        if !same {
            changes.push((lines, what));
        }
    };
    for piece in wanted.pieces() {
        let name = piece.name();
        let Some(own) = made.find(name) else {
            is(5 * piece.edges().len(), false, format!("{name} is missing"));
            continue;
        };
        is(1, own.cut == piece.cut, format!("{name}: cut"));
        is(1, own.cloth == piece.cloth, format!("{name}: cloth"));
        is(1, own.grainline.is_some() == piece.grainline.is_some(), format!("{name}: grainline"));
        for edge in piece.edges() {
            let alike = |other: &&Edge| (other.curve.length() - edge.curve.length()).abs() < WIDE;
            let found =
                own.edges().iter().find(|other| other.name == edge.name).or(own.edges().iter().find(alike));
            let Some(found) = found else {
                is(4, false, format!("{name}.{} is missing", edge.name));
                continue;
            };
            // A name is written in the seams of its edge as well.
            let uses = made.seams().iter().flat_map(Seam::edges);
            let uses = uses.filter(|run| run.edge.piece == *name && run.edge.edge == found.name).count();
            is(1 + uses, found.name == edge.name, format!("{name}.{}: is called {}", edge.name, found.name));
            let finish = |edge: &Edge| match edge.finish {
                Finish::Free => Finish::Seam,
                other => other,
            };
            is(1, finish(found) == finish(edge), format!("{name}.{}: finish", edge.name));
            let width = (found.allowance.mm() - edge.allowance.mm()).abs();
            is(1, width < WIDE, format!("{name}.{}: allowance {}", edge.name, found.allowance.mm()));
        }
        is(
            3 * differ(own.notches.len(), piece.notches.len()),
            own.notches.len() == piece.notches.len(),
            format!("{name}: notches"),
        );
        let level_names =
            |piece: &Piece| piece.levels.iter().map(|level| level.name.to_string()).collect::<BTreeSet<_>>();
        let levels = level_names(own).symmetric_difference(&level_names(piece)).count();
        is(3 * levels, levels == 0, format!("{name}: levels"));
        let points = differ(own.points.len(), piece.points.len());
        is(3 * points, points == 0, format!("{name}: points"));
        let darts = differ(own.darts.len(), piece.darts.len());
        is(3 * darts, darts == 0, format!("{name}: darts"));
    }
    let sides = |pattern: &Pattern| pattern.seams().iter().map(sides_of).collect::<BTreeSet<Sides>>();
    for seam in sides(wanted).symmetric_difference(&sides(made)) {
        is(3, false, format!("{seam:?}"));
    }
    changes
}

fn differ(one: usize, other: usize) -> usize {
    one.abs_diff(other)
}

/// The outlines of a jacket with their notches and fold arrows, and what is written on and beside them.
fn jacket(beside: &str) -> String {
    let outlines = [
        "M40 122 C80 124 130 90 135 40 L260 85 C245 160 250 270 305 302 L298 692 L40 700 Z",
        "M360 60 C395 60 430 54 438 40 L564.717 79.9108 C550.717 160 556.717 265 600 295 L594 685.017 L360 690 Z",
        "M690 240 C775 240 783.5 93.277 860 93.277 C936.5 93.277 945 240 1030 240 L990 670 L730 670 Z",
        "M1100 115 C1165.38 115 1252.54 110 1317.92 90 L1332.92 20 C1230.75 40 1165.38 40 1100 40 Z",
        "M360 250 L385 250 L385 550 L360 550",
        "M1100 70 L1125 70 L1125 100 L1100 100",
    ];
    let solids = [
        "M257.909 219.368 L259.116 225.245 L252.635 223.513 Z",
        "M301.823 478.985 L301.716 484.985 L295.77 481.877 Z",
        "M561.783 212.812 L562.745 218.734 L556.341 216.735 Z",
        "M560.451 202.903 L561.211 208.854 L554.879 206.639 Z",
        "M597.277 471.993 L597.185 477.992 L591.232 474.9 Z",
        "M760.13 194.804 L763.535 189.864 L766.773 195.739 Z",
        "M765.728 186.561 L768.986 181.522 L772.395 187.299 Z",
        "M953.739 185.75 L957.064 190.745 L950.407 191.572 Z",
        "M1179.89 112.405 L1185.88 111.983 L1182.46 106.209 Z",
        "M360 250 L367 248 L367 252 Z M360 550 L367 548 L367 552 Z",
        "M1100 70 L1107 68 L1107 72 Z M1100 100 L1107 98 L1107 102 Z",
    ];
    let words = [
        (120, 400, "1 front"),
        (120, 412, "cut 2 self, 2 lining"),
        (430, 400, "2 back"),
        (430, 412, "cut 1 on the fold"),
        (820, 420, "3 sleeve"),
        (820, 432, "cut 2"),
        (1150, 80, "4 collar"),
        (1150, 90, "cut 2 on the fold"),
        (690, 740, beside),
    ];
    let lines: String =
        outlines.iter().map(|line| format!("<path d=\"{line}\" fill=\"none\" stroke=\"black\"/>")).collect();
    let solids: String = solids.iter().map(|solid| format!("<path d=\"{solid}\"/>")).collect();
    let words: String = words
        .iter()
        .map(|(x, y, words)| format!("<text x=\"{x}\" y=\"{y}\" font-size=\"6\">{words}</text>"))
        .collect();
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1345mm\" height=\"760mm\" viewBox=\"0 0 1345 760\">\
         {lines}{solids}{words}</svg>"
    )
}

/// The neckline of a collar is as long as those of back and front, and its notch stands where these meet, though it is nearly
/// as long as an armhole.
#[test]
fn a_collar_is_sewn_to_back_and_front() {
    let found = find(jacket("Add seam allowances").as_bytes(), &Asked::default()).expect("found");
    let map = template(&found, &Asked::default());
    let is_neck = |seam: &&str| seam.contains("collar.edge-3");
    let seams: Vec<&str> = map.split("[[seam]]").skip(1).filter(is_neck).collect();
    let [seam] = seams.as_slice() else { panic!("{map}") };
    assert!(seam.contains("back.edge-1 front.edge-1") || seam.contains("front.edge-1 back.edge-1"), "{seam}");
    assert!(!seam.contains("guessed = \"sure"), "{seam}");
}

/// Two notches of an armhole that both lie near where two necklines would meet do not make it sewn to these.
#[test]
fn an_armhole_is_not_surely_sewn_to_the_necklines() {
    let drawn = jacket("Add seam allowances");
    let back = |at: [&str; 2]| {
        let first = drawn.replace("M561.783 212.812 L562.745 218.734 L556.341 216.735 Z", at[0]);
        first.replace("M560.451 202.903 L561.211 208.854 L554.879 206.639 Z", at[1])
    };
    let of_back = back([
        "M563.087 220.663 L564.227 226.554 L557.766 224.749 Z",
        "M561.488 210.817 L562.407 216.747 L556.018 214.702 Z",
    ]);
    let of_front = back([
        "M564.439 227.575 L565.752 233.429 L559.241 231.815 Z",
        "M561.935 213.805 L562.919 219.724 L556.508 217.748 Z M255.642 205.553 L256.524 211.487 L250.149 209.402 Z",
    ]);
    for drawn in [of_back, of_front] {
        let filled = Filled::of(drawn.as_bytes(), &Asked::default());
        let sides: Vec<Sides> = filled.sure();
        let body = |name: &str| name.starts_with("back") || name.starts_with("front");
        for seam in &sides {
            let chain = seam.iter().find(|side| side.len() > 1);
            assert!(chain.is_none() || !seam.iter().flatten().all(|name| body(name)), "{seam:?}");
        }
        assert!(!sides.is_empty(), "{}", filled.map);
    }
}

/// What is written of a second cloth, and of a hem beside the seams, is not lost.
#[test]
fn a_second_cloth_and_a_hem_are_told() {
    let found = find(jacket("Hem 4 cm, seam allowance 1.5 cm included").as_bytes(), &Asked::default())
        .expect("found");
    let map = template(&found, &Asked::default());
    for said in
        ["cut = \"2\"", "cloth = \"main\"", "cut 2 of lining", "A hem of 40 mm", "allowance = \"15mm\""]
    {
        assert!(map.contains(said), "{said}: {map}");
    }
    assert!(Map::read(&map).is_ok(), "{map}");
}
