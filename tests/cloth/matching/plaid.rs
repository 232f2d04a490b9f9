//! A plaid of even stripes is the same to both sides of each: left and right mirror each other on it. And what is drawn of two
//! sets of stripes is what is told of both.

use retrue::cloth::layout::{BodySide, Laid, LaidVerdict, LayTask, LayWish};
use retrue::curve::Point;
use retrue::pattern::Pattern;

use crate::lay_command::{pattern, search, stock};

const ACROSS: f64 = 64.0;
const ALONG: f64 = 48.0;
const FIRST: f64 = 7.0;

/// How far stripes may be apart and still meet, mm: 1/16 in.
const MEET: f64 = 25.4 / 16.0;

fn plaid(width: &str) -> String {
    format!(
        "[main]\nwidth = \"{width}\"\nlength = \"6m\"\ngap = \"3mm\"\nstripes = [{{ repeat = \"{ACROSS}mm\", first = \"10mm\" }}, \
         {{ repeat = \"{ALONG}mm\", first = \"{FIRST}mm\", along = \"length\" }}]\n[lining]\nwidth = \"1m\"\nlength = \"3m\"\n"
    )
}

fn wish(matches: &[&str], levels: &[&str]) -> LayWish {
    LayWish {
        matches: matches.iter().map(|edge| edge.parse().expect("an edge")).collect(),
        levels: levels.iter().map(|level| level.parse().expect("a level")).collect(),
        ..LayWish::default()
    }
}

/// How far a measure is from a whole number of others.
fn off(measure: f64, of: f64) -> f64 {
    (measure / of - (measure / of).round()).abs() * of
}

/// Where a place of a piece lies in each of its copies.
fn places(task: &LayTask<'_>, laid: &Laid, piece: &str, at: Point) -> Vec<(BodySide, Point)> {
    let of_piece = laid.lying.iter().filter(|lying| task.copies[lying.copy].piece.as_str() == piece);
    of_piece.map(|lying| (task.copies[lying.copy].hand, lying.motion.apply(at))).collect()
}

fn fold(pattern: &Pattern, piece: &str) -> [Point; 2] {
    let piece = pattern.pieces().find(|known| known.name().as_str() == piece).expect("a piece");
    let fold = &piece.edge(piece.fold().expect("a fold")).curve;
    [fold.start(), fold.end()]
}

#[test]
fn a_fold_lies_on_a_stripe_or_midway_and_both_backs_as_far_from_one() {
    let (pattern, stock) = (pattern("skirt-shaped-back.svg"), stock(&plaid("90cm")));
    let wish = wish(&["front.side", "back.centre"], &["hip"]);
    let (task, laid) = search(&pattern, &stock, wish, 200);
    assert_eq!(laid.verdict, LaidVerdict::Fits);
    for end in fold(&pattern, "front") {
        let [(_, lies)] = places(&task, &laid, "front", end)[..] else { panic!("one front") };
        assert!(off(lies.x - FIRST, ALONG / 2.0) < 0.05, "the fold lies at {lies:?}");
    }
    let [(_, one), (_, other)] = places(&task, &laid, "back", task.seams[1].marks[0].1)[..] else {
        panic!("two backs")
    };
    assert!(off(one.x + other.x - 2.0 * FIRST, ALONG) < 0.05, "{one:?} and {other:?}");
    // As mirror images they meet as far as the seam runs, however it is shaped.
    let centre = laid.matches[1].upright.as_ref().expect("stripes along the length");
    assert!(
        centre.sewings.iter().all(|sewing| sewing.met.expect("they are known").is_all_along()),
        "{centre:?}"
    );
}

#[test]
fn sleeves_lie_as_far_to_both_sides_of_a_stripe() {
    let (pattern, stock) = (pattern("dress.svg"), stock(&plaid("150cm")));
    let (task, laid) = search(&pattern, &stock, wish(&["sleeve.cap"], &[]), 120);
    assert_eq!(laid.verdict, LaidVerdict::Fits);
    let sleeves = places(&task, &laid, "sleeve", Point::new(0.0, 0.0));
    let [(_, one), (_, other)] = sleeves[..] else { panic!("two sleeves: {sleeves:?}") };
    assert!(off(one.x + other.x - 2.0 * FIRST, ALONG) < 0.05, "{one:?} and {other:?}");
}

/// Where like is drawn to meet like, both sets of stripes do.
#[test]
fn like_is_drawn_to_meet_like_only_where_both_sets_do() {
    let (pattern, stock) = (pattern("dress.svg"), stock(&plaid("110cm")));
    let seams = ["skirt-front.side", "bodice-front.side", "sleeve.cap"];
    let (_, laid) = search(&pattern, &stock, wish(&seams, &[]), 60);
    let mut drawn = 0;
    for found in &laid.matches {
        for sides in found.lines_met().chunks(2) {
            let [(_, first), (_, second)] = sides else { panic!("both sides are drawn") };
            drawn += first.len();
            for (a, b) in first.iter().zip(second) {
                let apart = [off(a.y - b.y, ACROSS), off(a.x - b.x, ALONG)];
                assert!(apart.iter().all(|apart| *apart < MEET + 0.1), "{}: {apart:?}", found.met.seam);
            }
        }
        let parts = found.upright.as_ref().is_some_and(|upright| upright.worst() > MEET);
        let all: usize =
            found.met.sewings.iter().flat_map(|sewing| &sewing.pairs).map(|pair| pair.places.len()).sum();
        let met: usize = found.lines_met().iter().map(|(_, line)| line.len()).sum::<usize>() / 2;
        assert!(!parts || met < all || all == 0, "{}: drawn to meet all along", found.met.seam);
    }
    assert!(drawn > 0, "something meets");
}
