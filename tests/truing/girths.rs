//! Girths and the ledger against numbers from outside.

use approx::assert_abs_diff_eq;
use kurbo::{Arc, BezPath, Shape};
use retrue::curve::Point;
use retrue::pattern::{ChangedGirth, Cut, GirthUse, Pattern, Piece, RecordedStep};
use retrue::truing::{account, girths, ledger};

use crate::draw::{self, dart, double_dart, level, pattern, piece};

fn around(pattern: &Pattern, name: &str) -> f64 {
    girths(pattern).iter().find(|girth| girth.level.as_str() == name).unwrap().around.mm()
}

fn rectangle(name: &str, width: f64, left: &str) -> Piece {
    piece(
        name,
        &[
            ("top!free", &format!("M0 0 L{width} 0")),
            ("side", &format!("M{width} 0 L{width} 400")),
            ("hem!hem", &format!("M{width} 400 L0 400")),
            (left, "M0 400 L0 0"),
        ],
    )
}

/// Six gores at hip girth 40 in: half the front gore 3⅓ in, half the back gore the same, the others 6⅔ in (Baldt,
/// *Clothing for Women*, 1916, after fig. 56 [S]).
#[test]
fn six_gores_make_the_hip() {
    let inch = 25.4;
    let gore = |name, width: f64, left, cut| {
        let gore = level(rectangle(name, width * inch, left), "hip", (0.0, 200.0), (width * inch, 200.0));
        draw::cut(gore, cut)
    };
    let skirt = pattern(
        vec![
            gore("front", 10.0 / 3.0, "fold!fold", Cut::ONE),
            gore("back", 10.0 / 3.0, "fold!fold", Cut::ONE),
            gore("side-front", 20.0 / 3.0, "seam", Cut::PAIR),
            gore("side-back", 20.0 / 3.0, "seam", Cut::PAIR),
        ],
        &[],
    );
    assert_abs_diff_eq!(around(&skirt, "hip"), 40.0 * inch, epsilon = 1e-9);
    assert_eq!(girths(&skirt)[0].parts.len(), 4);
}

/// One dart is 30 mm wide at 150 mm from its tip, and 16, 20, 24, 36, 44 and 50 mm at 80, 100, 120, 180, 220 and 250 mm
/// (angle 2·asin(i / 2L) [D]); a level there is shorter by as much.
#[test]
fn a_dart_takes_its_width_out_of_every_level() {
    let widths = [(80.0, 16.0), (100.0, 20.0), (120.0, 24.0), (150.0, 30.0), (180.0, 36.0), (220.0, 44.0)];
    let half_angle = (15.0_f64 / 150.0).asin();
    let tip = Point::new(200.0, 250.0 * half_angle.cos());
    let shaped = dart(rectangle("front", 400.0, "centre"), "dart", "top", (175.0, 225.0), tip);
    for (leg, width) in widths {
        let y = tip.y - leg * half_angle.cos();
        let front = level(shaped.clone(), "here", (0.0, y), (400.0, y));
        assert_abs_diff_eq!(around(&pattern(vec![front], &[]), "here"), 400.0 - width, epsilon = 1e-9);
    }
}

/// A level drawn along the edge at which a dart opens is shorter by its mouth, also when drawn a little off the edge;
/// one beyond the tip is whole.
#[test]
fn a_level_along_the_mouth_skips_it() {
    let shaped =
        dart(rectangle("front", 400.0, "centre"), "dart", "top", (175.0, 225.0), (200.0, 150.0).into());
    let at =
        |y: f64| around(&pattern(vec![level(shaped.clone(), "here", (0.0, y), (400.0, y))], &[]), "here");
    assert_abs_diff_eq!(at(0.0), 350.0, epsilon = 1e-9);
    assert_abs_diff_eq!(at(-0.3), 350.0, epsilon = 1e-9);
    assert_abs_diff_eq!(at(0.3), 350.1, epsilon = 1e-9);
    assert_abs_diff_eq!(at(150.0), 400.0, epsilon = 1e-6);
    assert_abs_diff_eq!(at(160.0), 400.0, epsilon = 1e-9);
}

/// A double dart 24 mm wide at its middle, 200 mm long: 12 mm at a quarter of its length.
#[test]
fn a_double_dart_takes_its_width_out() {
    let shaped = double_dart(
        rectangle("back", 300.0, "centre"),
        "dart",
        "M150 100 L162 200 L150 300",
        "M150 100 L138 200 L150 300",
    );
    for (y, width) in [(200.0, 24.0), (150.0, 12.0), (250.0, 12.0), (90.0, 0.0)] {
        let back = level(shaped.clone(), "waist", (0.0, y), (300.0, y));
        assert_abs_diff_eq!(around(&pattern(vec![back], &[]), "waist"), 300.0 - width, epsilon = 1e-9);
    }
}

/// Two darts that overlap fold the cloth they share away once.
#[test]
fn overlapping_darts_are_not_counted_twice() {
    let tip = |x: f64| Point::new(x, 200.0);
    let shaped = dart(rectangle("front", 400.0, "centre"), "one", "top", (150.0, 200.0), tip(175.0));
    let shaped = dart(shaped, "two", "top", (180.0, 230.0), tip(205.0));
    let front = level(shaped, "here", (0.0, 0.0), (400.0, 0.0));
    assert_abs_diff_eq!(around(&pattern(vec![front], &[]), "here"), 320.0, epsilon = 1e-9);
}

#[test]
fn levels_left_out_do_not_count() {
    let mut lining = level(rectangle("lining", 300.0, "centre"), "waist", (0.0, 100.0), (300.0, 100.0));
    lining.levels[0].girth = GirthUse::LeftOut;
    let shell = level(rectangle("shell", 310.0, "centre"), "waist", (0.0, 100.0), (310.0, 100.0));
    let both = pattern(vec![lining.clone(), draw::cut(shell, Cut::PAIR)], &[]);
    assert_abs_diff_eq!(around(&both, "waist"), 620.0, epsilon = 1e-9);
    assert!(girths(&pattern(vec![lining], &[])).is_empty());
}

/// Circle skirts for a waist of 700 mm: radius W/2π × (1; 4/3; 2; 4) for full, ¾, ½ and ¼ circle: 111.41, 148.54, 222.82,
/// 445.63 mm [D]. Cut as two halves of which each is on the fold, every waist is a quarter of the skirt's.
#[test]
fn the_ledger_knows_circle_skirts() {
    let length = 600.0;
    for (share, radius) in [(1.0, 111.41), (0.75, 148.54), (0.5, 222.82), (0.25, 445.63)] {
        let angle = std::f64::consts::TAU * share / 4.0;
        let arc = |radius: f64, from: f64, sweep: f64| {
            let arc = Arc::new(Point::ORIGIN, (radius, radius), from, sweep, 0.0);
            arc.to_path(1e-7).to_svg()
        };
        let spoke = |angle: f64, from: f64, to: f64| {
            let at = |radius: f64| Point::ORIGIN + radius * kurbo::Vec2::from_angle(angle);
            let mut path = BezPath::new();
            path.move_to(at(from));
            path.line_to(at(to));
            path.to_svg()
        };
        let outer = radius + length;
        let quarter = |name| {
            piece(
                name,
                &[
                    ("waist", &arc(radius, angle, -angle)),
                    ("centre!fold", &spoke(0.0, radius, outer)),
                    ("hem!hem", &arc(outer, 0.0, angle)),
                    ("side", &spoke(angle, outer, radius)),
                ],
            )
        };
        let skirt = pattern(vec![quarter("front"), quarter("back")], &[]);
        let ledger = ledger(&skirt);
        let edge = |name: &str| ledger.edges.iter().find(|(edge, _)| edge.edge.as_str() == name).unwrap().1;
        assert_abs_diff_eq!(edge("waist") * 4.0, 700.0, epsilon = 0.05);
        assert_abs_diff_eq!(edge("hem") * 4.0, 4.0 * angle * outer, epsilon = 1e-5);
        let area = 2.0 * angle * (outer * outer - radius * radius);
        assert_abs_diff_eq!(ledger.net_area, area, epsilon = 1e-2);
    }
}

#[test]
fn the_account_tells_where_lengths_went_and_what_was_declared() {
    let mut skirt = draw::skirt();
    skirt.record.ledger = Some(ledger(&skirt));
    assert!(account(&draw::skirt()).is_none());
    let name = "front".parse().unwrap();
    let front = skirt.piece_mut(&name).unwrap();
    let side = front.find_edge(&"side".parse().unwrap()).unwrap();
    let origin = |from, to| retrue::pattern::Origin { edge: "front.side".parse().unwrap(), from, to };
    *front.edge_settings(side).origins = vec![origin(0.0, 150.0), origin(300.0, 120.0)];
    front.levels[0].stretches[0].1.x -= 7.0;
    skirt.record.steps.push(RecordedStep {
        girths: vec![ChangedGirth { level: "hip".parse().unwrap(), by: -4.0 }],
        ..RecordedStep::default()
    });
    let account = account(&skirt).unwrap();
    assert_abs_diff_eq!(account.girths[0].unexplained().mm(), -10.0, epsilon = 1e-9);
    let side = account.edges.iter().find(|edge| edge.edge.to_string() == "front.side").unwrap();
    assert_eq!(side.now.len(), 2);
    assert_abs_diff_eq!(side.kept.mm(), 300.0, epsilon = 1e-9);
    assert!(side.then.mm() > 400.0);
    assert_abs_diff_eq!(account.net_area_now, account.net_area_then);
}
