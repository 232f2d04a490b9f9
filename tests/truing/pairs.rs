//! A skirt that is true, and the faults that only a whole garment shows.

use retrue::curve::{Motion, Point};
use retrue::pattern::{Cut, Pattern, Piece, Selvedge, Twins};
use retrue::truing::{Finding, FindingKind, Limits, Weight, check, walk_seam};

use crate::draw::{cut, moved, pattern, piece, skirt, skirt_with};

fn found(pattern: &Pattern) -> Vec<Finding> {
    check(pattern, &Limits::default())
}

const ALIKE: Cut = Cut { copies: 2, twins: Twins::Same };

/// Front on the fold, back in two halves, darts in both waists, a band on the fold whose notch meets the side seam.
#[test]
fn a_skirt_with_a_band_is_true() {
    let skirt = skirt();
    assert_eq!(found(&skirt), []);
    let band = skirt.seam_named(&"band.lower".parse().unwrap(), None).unwrap();
    let walk = walk_seam(&skirt, band).unwrap();
    let (front, waist) = skirt.edge(&"front.waist".parse().unwrap()).unwrap();
    assert!((walk.lengths.1.mm() - 2.0 * (front.edge(waist).curve.length() - 20.0)).abs() < 1e-9);
    assert!(walk.unmatched.is_empty() && walk.pairs.len() == 1 && walk.pairs[0].drift.mm().abs() < 1e-9);
}

/// Two backs that are cut all alike leave one side of the skirt without its half.
#[test]
fn a_pair_must_be_left_and_right() {
    let found = found(&skirt_with("back", |back| cut(back, ALIKE)));
    let mirror = found.iter().find(|finding| finding.at == "front.side + back.side").unwrap();
    assert_eq!((mirror.kind, mirror.weight), (FindingKind::CutMirror, Weight::Warning));
}

/// How heavily it is told how often pieces are cut, at each seam.
fn counts(pattern: &Pattern) -> Vec<(String, Weight)> {
    let counts = found(pattern).into_iter().filter(|finding| finding.kind == FindingKind::CutCount);
    counts.map(|finding| (finding.at, finding.weight)).collect()
}

/// A sleeve with a seam along the underarm, and what is cut to go round its hem, on the fold along its outer edge.
fn sleeve_and_cuff(sleeves: Cut, cuffs: Cut, seams: &[&str]) -> Pattern {
    let sleeve = piece(
        "sleeve",
        &[
            ("cap!free", "M0 0 L300 0"),
            ("back", "M300 0 L300 400"),
            ("hem", "M300 400 L0 400"),
            ("front", "M0 400 L0 0"),
        ],
    );
    let cuff = piece(
        "cuff",
        &[
            ("top", "M0 0 L300 0"),
            ("hind", "M300 0 L300 60"),
            ("turn!fold", "M300 60 L0 60"),
            ("fore", "M0 60 L0 0"),
        ],
    );
    pattern(vec![cut(sleeve, sleeves), cut(cuff, cuffs)], seams)
}

/// A cuff whose ends are sewn to a ring and that goes round a sleeve is turned at its fold: there are as many as sleeves.
#[test]
fn a_cuff_is_cut_for_every_sleeve() {
    let seams = ["sleeve.front + sleeve.back from hem", "cuff.fore + cuff.hind from turn"];
    let round = [seams[0], seams[1], "cuff.top + sleeve.hem from front"];
    let told = |cuffs: Cut, seams: &[&str]| counts(&sleeve_and_cuff(Cut::PAIR, cuffs, seams));
    assert_eq!(told(Cut::PAIR, &round), []);
    assert_eq!(told(Cut::ONE, &round), [("cuff.top + sleeve.hem".to_owned(), Weight::Untrue)]);
    // Open along the underarm, it may as well be a tube that joins the two sleeves.
    let open = [seams[1], round[2]];
    assert_eq!(told(Cut::PAIR, &open), []);
    assert_eq!(told(Cut::ONE, &open), [("cuff.top + sleeve.hem".to_owned(), Weight::Warning)]);
}

/// A fold that leads on from the fold of another piece is the middle of both: one of each is cut, or two of each.
#[test]
fn a_half_piece_is_cut_once_where_its_fold_is_the_middle() {
    let twice = counts(&skirt_with("front", |front| cut(front, Cut::PAIR)));
    assert!(twice.contains(&("front.side + back.side".to_owned(), Weight::Untrue)), "{twice:?}");
    assert!(twice.iter().all(|(_, weight)| *weight == Weight::Untrue), "{twice:?}");
}

/// The two halves of a sleeve on the fold are sewn to front and back: each armhole has the half of one sleeve.
#[test]
fn halves_that_are_sewn_to_different_pieces_count_one_by_one() {
    let panel = |name: &str| {
        let edges = [
            ("armhole", "M0 0 L200 0"),
            ("side!free", "M200 0 L200 300"),
            ("hem!hem", "M200 300 L0 300"),
            ("centre!free", "M0 300 L0 0"),
        ];
        cut(piece(name, &edges), Cut::PAIR)
    };
    let sleeve = piece(
        "sleeve",
        &[
            ("cap", "M0 0 L200 0"),
            ("under!free", "M200 0 L200 300"),
            ("hem!hem", "M200 300 L0 300"),
            ("middle!fold", "M0 300 L0 0"),
        ],
    );
    let told = |sleeves: Cut| {
        let pieces = vec![panel("front"), panel("back"), cut(sleeve.clone(), sleeves)];
        let seams = ["sleeve.cap + front.armhole from side", "sleeve.cap/m + back.armhole from side"];
        counts(&pattern(pieces, &seams)).len()
    };
    assert_eq!(told(Cut::PAIR), 0);
    assert_eq!(told(Cut::ONE), 2);
}

/// A cuff that is the same with either side up may be cut twice alike for a left and a right sleeve; a slanted one may
/// not.
#[test]
fn a_symmetric_piece_need_not_be_mirrored() {
    let strip = |name: &str, lean: f64| -> Piece {
        let corner = 300.0 + lean;
        piece(
            name,
            &[
                ("top", "M0 0 L300 0"),
                ("right!hem", &format!("M300 0 L{corner} 60")),
                ("bottom!free", &format!("M{corner} 60 L0 60")),
                ("left!free", "M0 60 L0 0"),
            ],
        )
    };
    let kinds = |lean: f64| {
        let pieces = vec![cut(strip("sleeve", 0.0), Cut::PAIR), cut(strip("cuff", lean), ALIKE)];
        found(&pattern(pieces, &["sleeve.top + cuff.top"])).iter().map(|f| f.kind).collect::<Vec<_>>()
    };
    assert!(!kinds(0.0).contains(&FindingKind::CutMirror));
    assert!(kinds(20.0).contains(&FindingKind::CutMirror));
}

/// A selvedge is straight: an edge on it may not bow, though its ends lie along the grain.
#[test]
fn an_edge_on_the_selvedge_is_straight() {
    let on_selvedge = |name: &'static str| {
        found(&skirt_with("back", move |mut back| {
            let id = back.find_edge(&name.parse().unwrap()).unwrap();
            *back.edge_settings(id).selvedge = Selvedge::Yes;
            back
        }))
    };
    assert_eq!(on_selvedge("centre-back"), []);
    let [finding] = &on_selvedge("side")[..] else { panic!() };
    assert_eq!((finding.kind, finding.weight), (FindingKind::OffSelvedge, Weight::Untrue));
    assert!((finding.number - 20.0).abs() < 1e-3, "{finding:?}");
}

/// A pointed yoke is sewn to two panels that leave room for its point: they do not run straight on, and must not.
#[test]
fn panels_turn_with_the_point_of_the_yoke_that_is_sewn_to_them() {
    let yoke = |point: f64| {
        piece(
            "yoke",
            &[
                ("top!free", "M0 0 L200 0"),
                ("right!free", "M200 0 L200 80"),
                ("lower-right", &format!("M200 80 L100 {point}")),
                ("lower-left", &format!("M100 {point} L0 80")),
                ("left!free", "M0 80 L0 0"),
            ],
        )
    };
    let panel = piece(
        "a",
        &[
            ("upper", "M0 80 L100 110"),
            ("middle", "M100 110 L100 400"),
            ("hem!hem", "M100 400 L0 400"),
            ("end!free", "M0 400 L0 80"),
        ],
    );
    let mirror = Motion::mirror_in(Point::new(100.0, 0.0), Point::new(100.0, 1.0)).unwrap();
    let other = moved(&panel, &mirror).renamed("b".parse().unwrap());
    let kinks = |point: f64| {
        let pieces = vec![yoke(point), panel.clone(), other.clone()];
        let seams = ["a.middle + b.middle", "yoke.lower-left yoke.lower-right + a.upper b.upper from end"];
        let found = found(&pattern(pieces, &seams));
        let across =
            |f: &Finding| f.kind == FindingKind::Kink && f.at.ends_with("across a.middle + b.middle");
        found.into_iter().filter(across).collect::<Vec<_>>()
    };
    assert_eq!(kinks(110.0), []);
    let [finding] = &kinks(82.0)[..] else { panic!() };
    assert_eq!(finding.weight, Weight::Untrue);
}

/// Two bodices meet at the side on a skirt that is cut in one. Where its waist turns there, that is told of its waist, by what it
/// turns, once for both seams; not of its waist and the side, which stand square to each other.
#[test]
fn a_turn_beside_the_end_of_a_seam_is_told_of_the_line_that_turns() {
    let bodice = |name: &str, from: f64, right: &str, left: &str| {
        let to = from + 100.0;
        piece(
            name,
            &[
                ("top!free", &format!("M{from} 0 L{to} 0")),
                (right, &format!("M{to} 0 L{to} 100")),
                ("waist", &format!("M{to} 100 L{from} 100")),
                (left, &format!("M{from} 100 L{from} 0")),
            ],
        )
    };
    let kinks = |degrees: f64| {
        let (down, along) = degrees.to_radians().sin_cos();
        let corner = format!("{} {}", 100.0 + 100.0 * along, 100.0 + 100.0 * down);
        let skirt = piece(
            "skirt",
            &[
                ("left", "M0 100 L100 100"),
                ("right", &format!("M100 100 L{corner}")),
                ("end-b", &format!("M{corner} L200 400")),
                ("hem!hem", "M200 400 L0 400"),
                ("end-a", "M0 400 L0 100"),
            ],
        );
        let pieces = vec![bodice("a", 0.0, "side", "end-a"), bodice("b", 100.0, "end-b", "side"), skirt];
        let seams = ["a.side + b.side", "skirt.left + a.waist", "skirt.right + b.waist"];
        let found = found(&pattern(pieces, &seams));
        found.into_iter().filter(|finding| finding.kind == FindingKind::Kink).collect::<Vec<_>>()
    };
    assert_eq!(kinks(0.0), []);
    for degrees in [20.0, -20.0] {
        let [kink] = &kinks(degrees)[..] else { panic!("{:#?}", kinks(degrees)) };
        assert_eq!(kink.at, "skirt.left and skirt.right");
        assert!((kink.number - 20.0).abs() < 1e-6, "{kink:?}");
    }
}
