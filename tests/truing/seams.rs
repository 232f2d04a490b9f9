//! Walking seams.

use approx::assert_abs_diff_eq;
use retrue::curve::Point;
use retrue::pattern::{Cut, NotchCount, Pattern, Piece};
use retrue::truing::{Meeting, SeamWalk, walk_seam};

use crate::draw::{self, dart, notch, pattern, piece, skirt};

pub fn walk(pattern: &Pattern, edge: &str) -> SeamWalk {
    walk_seam(pattern, pattern.seam_named(&edge.parse().unwrap(), None).unwrap()).unwrap()
}

/// A strip whose top is sewn; two of them are sewn with their hems meeting.
pub fn strip(name: &str, length: f64, notches: &[(f64, NotchCount)]) -> Piece {
    let strip = piece(
        name,
        &[
            ("top", &format!("M0 0 L{length} 0")),
            ("right!hem", &format!("M{length} 0 L{length} 100")),
            ("bottom!free", &format!("M{length} 100 L0 100")),
            ("left!free", "M0 100 L0 0"),
        ],
    );
    notches
        .iter()
        .enumerate()
        .fold(strip, |strip, (i, (at, count))| notch(strip, &format!("n{}", i + 1), "top", *at, *count))
}

#[test]
fn both_sides_of_a_seam_are_measured_net_of_darts() {
    let skirt = skirt();
    let waist = walk(&skirt, "band.lower");
    let (front, edge) = skirt.edge(&"front.waist".parse().unwrap()).unwrap();
    let whole = front.edge(edge).curve.length();
    assert_abs_diff_eq!(waist.second.length.mm(), 2.0 * (whole - 20.0), epsilon = 1e-9);
    assert_abs_diff_eq!(waist.difference.mm(), 0.0, epsilon = 1e-9);
    assert_eq!(waist.second.allowances.len(), 2);
}

/// The notch of a band meets the side seam of the skirt, which has no notch of its own.
#[test]
fn a_notch_meets_a_seam() {
    let waist = walk(&skirt(), "band.lower");
    assert_eq!(waist.pairs.len(), 1);
    assert!(waist.lone.is_empty());
    assert_abs_diff_eq!(waist.pairs[0].apart().mm(), 0.0, epsilon = 1e-9);
    assert_eq!(waist.pairs[0].names(), "band.side-notch");
}

#[test]
fn hem_and_waist_run_on_across_the_side_seam() {
    let side = walk(&skirt(), "front.side");
    for end in [&side.start, &side.end] {
        assert_eq!(end.meeting, Meeting::RunOn);
        assert_abs_diff_eq!(end.kink.unwrap(), 0.0, epsilon = 1e-6);
        assert_abs_diff_eq!(end.first.angle.unwrap(), 90.0, epsilon = 1e-6);
    }
}

/// A sleeve's armhole closes on itself at the side seam: its two ends are sewn to the two ends of the cap, which the
/// underarm seam brings together.
#[test]
fn a_closed_run_runs_on_where_it_closes() {
    let body = |name, slant: f64| {
        piece(
            name,
            &[
                ("armhole", &format!("M0 0 L100 {slant}")),
                ("side", &format!("M100 {slant} L100 300")),
                ("hem!hem", "M100 300 L0 300"),
                ("shoulder", "M0 300 L0 0"),
            ],
        )
    };
    let sleeve = |rise: f64| {
        piece(
            "sleeve",
            &[
                ("cap", &format!("M0 0 L100 {rise} L200 0")),
                ("underarm", "M200 0 L200 300"),
                ("cuff!hem", "M200 300 L0 300"),
                ("underarm-2", "M0 300 L0 0"),
            ],
        )
    };
    let seams = [
        "front.side + back.side",
        "front.shoulder + back.shoulder",
        "sleeve.underarm + sleeve.underarm-2",
        "sleeve.cap + front.armhole back.armhole from side",
    ];
    let coat = |rise: f64| {
        let mirror = retrue::curve::Motion::mirror_in(Point::ORIGIN, Point::new(0.0, 1.0)).unwrap();
        let back = draw::moved(&body("back", 10.0), &mirror);
        pattern(vec![body("front", 10.0), back, sleeve(rise)], &seams)
    };
    let slope = 0.1_f64.atan().to_degrees();
    let level = coat(0.0);
    let side = walk(&level, "front.side");
    let at_armhole =
        if side.start.first.neighbour.edge.as_str() == "armhole" { &side.start } else { &side.end };
    assert_eq!(at_armhole.meeting, Meeting::RunOn);
    assert_abs_diff_eq!(at_armhole.kink.unwrap(), -2.0 * slope, epsilon = 1e-9);
    let shoulder = walk(&level, "front.shoulder");
    let top = [&shoulder.start, &shoulder.end]
        .into_iter()
        .find(|end| end.first.neighbour.edge.as_str() == "armhole")
        .unwrap();
    assert_eq!(top.meeting, Meeting::RunOn);
    assert_abs_diff_eq!(top.kink.unwrap(), 2.0 * slope, epsilon = 1e-9);
    let underarm = walk(&level, "sleeve.underarm");
    assert!([&underarm.start, &underarm.end].iter().all(|end| end.meeting == Meeting::RunOn));

    let fitted = walk(&coat(10.0), "front.shoulder");
    let top =
        [&fitted.start, &fitted.end].into_iter().find(|end| end.first.neighbour.edge.as_str() == "armhole");
    assert_abs_diff_eq!(top.unwrap().kink.unwrap(), 0.0, epsilon = 1e-9);
}

#[test]
fn notches_pair_in_order_with_the_least_drift() {
    use NotchCount::{Double, Single};
    let one = strip("one", 300.0, &[(80.0, Single), (100.0, Double), (220.0, Single)]);
    let other = strip("other", 300.0, &[(81.5, Single), (220.0, Single)]);
    let walk = walk(&pattern(vec![one, other], &["one.top + other.top"]), "one.top");
    assert_eq!(
        walk.pairs.iter().map(|pair| pair.names()).collect::<Vec<_>>(),
        ["one.n1 and other.n1", "one.n3 and other.n2"]
    );
    let apart: Vec<f64> = walk.pairs.iter().map(|pair| pair.apart().mm()).collect();
    assert_abs_diff_eq!(apart[..], [-1.5, 0.0], epsilon = 1e-9);
    assert_eq!(walk.lone.iter().map(|lone| lone.name.as_str()).collect::<Vec<_>>(), ["one.n2"]);
}

#[test]
fn ease_is_told_stretch_by_stretch() {
    use NotchCount::Single;
    let long = strip("long", 312.0, &[(105.0, Single), (212.0, Single)]);
    let short = strip("short", 300.0, &[(100.0, Single), (200.0, Single)]);
    let walk = walk(&pattern(vec![long, short], &["long.top + short.top = 12"]), "long.top");
    let eases: Vec<f64> = walk.stretches.iter().map(|stretch| stretch.ease().mm()).collect();
    assert_abs_diff_eq!(walk.difference.mm(), 0.0, epsilon = 1e-9);
    assert_eq!(walk.pairs.len(), 2);
    assert_abs_diff_eq!(eases[..], [5.0, 7.0, 0.0], epsilon = 1e-9);
}

/// A dart that opens at the corner of an edge leaves no angle there to be judged.
#[test]
fn a_dart_at_a_corner_leaves_its_angle_open() {
    let open = |piece| dart(piece, "dart", "top", (0.0, 20.0), (60.0, 60.0).into());
    let pieces = vec![
        open(draw::cut(strip("one", 300.0, &[(100.0, NotchCount::Single)]), Cut::PAIR)),
        strip("other", 280.0, &[(80.0, NotchCount::Single)]),
    ];
    let walk = walk(&pattern(pieces, &["one.top + other.top"]), "one.top");
    let ends = [&walk.start, &walk.end];
    assert_eq!(ends.iter().filter(|end| end.first.angle.is_none()).count(), 1);
    assert_abs_diff_eq!(walk.difference.mm(), 0.0, epsilon = 1e-9);
}
