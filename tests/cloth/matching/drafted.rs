//! A back on the fold and two fronts, sewn at their sides, drawn of straight lines; and how far the stripes along the
//! seam meet, worked out from the drawn corners, the motions that are told and the cloth, without this crate.

use kurbo::{Affine, Point};

/// How far apart along the seam it is looked at, mm.
const STEP: f64 = 0.25;

/// What is looked for on the cloth, square to the stripes.
#[derive(Clone, Debug)]
pub enum Stripes {
    Every { repeat: f64, first: f64 },
    Marks(Vec<f64>),
}

impl Stripes {
    /// As a cloth file has them.
    pub fn written(&self, along: &str) -> String {
        match self {
            Stripes::Every { repeat, first } => {
                format!("{{ repeat = \"{repeat}mm\", first = \"{first}mm\", along = \"{along}\" }}")
            }
            Stripes::Marks(marks) => {
                let marks: Vec<String> = marks.iter().map(|mark| format!("\"{mark}mm\"")).collect();
                format!("{{ along = \"{along}\", marks = [{}] }}", marks.join(", "))
            }
        }
    }
}

/// The two pieces.
#[derive(Clone, Debug)]
pub struct Garment {
    pub width: f64,
    pub length: f64,
    /// How far the sides lie outside an upright, at four heights from the top down.
    pub back_side: [f64; 4],
    pub front_side: [f64; 4],
    /// The width of a dart in the front's side at its mouth; none of nothing.
    pub dart: f64,
}

/// Where the front stands on the sheet.
const FRONT: f64 = 800.0;

/// Below the top, where the mouth of the dart begins.
const DART: f64 = 40.0;

fn corners(path: &[Point]) -> String {
    let corners: Vec<String> = path.iter().map(|p| format!("{} {}", p.x, p.y)).collect();
    format!("M{}", corners.join(" L"))
}

impl Garment {
    /// The back's side, from the hem up.
    fn back(&self) -> Vec<Point> {
        let at = |i: usize| Point::new(self.width + self.back_side[i], 100.0 + self.length * i as f64 / 3.0);
        (0..4).rev().map(at).collect()
    }

    /// The front's side, from the hem up; longer by the dart.
    fn front(&self) -> Vec<Point> {
        let at = |i: usize| {
            let taller = if i == 0 { self.dart } else { 0.0 };
            Point::new(FRONT - self.front_side[i], 100.0 - taller + self.length * i as f64 / 3.0)
        };
        (0..4).rev().map(at).collect()
    }

    /// The mouth of the dart on the front's topmost stretch, lower end first.
    fn mouth(&self) -> [Point; 2] {
        let side = self.front();
        let (top, below) = (side[3], side[2]);
        let way = (below - top).normalize();
        [top + way * (DART + self.dart), top + way * DART]
    }

    /// The stretches of a side that are sewn, from the hem up.
    fn sewn(&self, piece: &str) -> Vec<Vec<Point>> {
        if piece == "back" {
            return vec![self.back()];
        }
        let side = self.front();
        if self.dart == 0.0 {
            return vec![side];
        }
        let [lower, upper] = self.mouth();
        vec![vec![side[0], side[1], side[2], lower], vec![upper, side[3]]]
    }

    /// The pattern sheet.
    pub fn sheet(&self) -> String {
        let (back, front) = (self.back(), self.front());
        let centre = FRONT + self.width;
        let (fold, hem) = (Point::new(50.0, 100.0), 100.0 + self.length);
        let edge = |id: &str, more: &str, path: &[Point]| {
            format!("<path id=\"{id}\" data-kind=\"edge\" {more} d=\"{}\"/>\n", corners(path))
        };
        let seam = "data-finish=\"seam\" data-allowance=\"15mm\"";
        let corner = |x: f64| Point::new(x, hem);
        let mut sheet =
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"2000mm\" viewBox=\"0 0 2000 1500\">\n\
                         <g id=\"back\" data-kind=\"piece\" data-cut=\"1\" data-cloth=\"main\">\n"
                .to_owned();
        sheet += &edge("back.top", "data-finish=\"free\"", &[fold, back[3]]);
        sheet += &edge("back.side", &format!("{seam} data-sewn-to=\"front.side from hem\""), &back);
        sheet += &edge("back.hem", "data-finish=\"hem\" data-allowance=\"30mm\"", &[back[0], corner(fold.x)]);
        sheet += &edge("back.centre", "data-finish=\"fold\"", &[corner(fold.x), fold]);
        sheet += "<path id=\"back.grain\" data-kind=\"grainline\" data-arrows=\"both\" d=\"M80 150 L80 300\"/></g>\n\
                  <g id=\"front\" data-kind=\"piece\" data-cut=\"2\" data-cloth=\"main\">\n";
        let top = Point::new(centre, front[3].y);
        sheet += &edge("front.top", "data-finish=\"free\"", &[front[3], top]);
        sheet +=
            &edge("front.centre", "data-finish=\"free\" data-allowance=\"10mm\"", &[top, corner(centre)]);
        sheet +=
            &edge("front.hem", "data-finish=\"hem\" data-allowance=\"30mm\"", &[corner(centre), front[0]]);
        sheet += &edge("front.side", seam, &front);
        if self.dart > 0.0 {
            let [lower, upper] = self.mouth();
            let along = (lower - upper).normalize();
            let tip = lower.midpoint(upper) + kurbo::Vec2::new(-along.y, along.x) * -70.0;
            let path = corners(&[lower, tip, upper]);
            sheet += &format!("<path id=\"front.dart\" data-kind=\"dart\" d=\"{path}\"/>\n");
        }
        let x = centre - 30.0;
        sheet += &format!(
            "<path id=\"front.grain\" data-kind=\"grainline\" data-arrows=\"both\" d=\"M{x} 150 L{x} 300\"/></g></svg>"
        );
        sheet
    }

    /// From the drawn half of a piece to its mirrored half.
    pub fn image(&self) -> Affine {
        Affine::new([-1.0, 0.0, 0.0, 1.0, 100.0, 0.0])
    }
}

/// A place on a line of stretches, by how far it is along them.
fn at(stretches: &[Vec<Point>], mut along: f64) -> Point {
    let pairs = stretches.iter().flat_map(|stretch| stretch.windows(2));
    let mut last = Point::ZERO;
    for pair in pairs {
        let long = pair[0].distance(pair[1]);
        if along <= long {
            return pair[0].lerp(pair[1], along / long);
        }
        along -= long;
        last = pair[1];
    }
    last
}

fn long(stretches: &[Vec<Point>]) -> f64 {
    stretches.iter().flat_map(|stretch| stretch.windows(2)).map(|pair| pair[0].distance(pair[1])).sum()
}

/// How far along a line its corners and the joints of its stretches are.
fn turns(stretches: &[Vec<Point>]) -> Vec<f64> {
    let pairs = stretches.iter().flat_map(|stretch| stretch.windows(2));
    pairs
        .scan(0.0, |sum, pair| {
            *sum += pair[0].distance(pair[1]);
            Some(*sum)
        })
        .collect()
}

/// One place where something meets or misses: how far along the seam's first side, and by how much.
#[derive(Clone, Copy, Debug)]
pub struct Seen {
    pub at: f64,
    pub apart: f64,
    /// Whether it is a mark that reaches the second side.
    pub from_second: bool,
}

/// A side of a seam: its piece, and the motion by which the drawn side comes onto the cloth.
pub struct SideOnCloth<'a> {
    pub piece: &'a str,
    pub motion: Affine,
}

/// What is seen along a seam from the hem up, and its length. `of` gives where a place is, square to the stripes.
pub fn seen(
    garment: &Garment,
    sides: &[SideOnCloth<'_>; 2],
    stripes: &Stripes,
    of: fn(Point) -> f64,
) -> (Vec<Seen>, f64) {
    let lines = [0, 1].map(|i: usize| garment.sewn(sides[i].piece));
    let lengths = [long(&lines[0]), long(&lines[1])];
    let share = lengths[1] / lengths[0];
    let lies = |along: f64| {
        [of(sides[0].motion * at(&lines[0], along)), of(sides[1].motion * at(&lines[1], along * share))]
    };
    let mut ends: Vec<f64> = turns(&lines[0]);
    ends.extend(turns(&lines[1]).iter().map(|turn| turn / share));
    ends.extend([0.0, lengths[0]]);
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let mut found = Vec::new();
    for pair in ends.windows(2) {
        const BESIDE: f64 = 1e-7;
        let (from, to) = (pair[0] + BESIDE, pair[1] - BESIDE);
        let steps = ((to - from) / STEP).ceil().max(1.0) as usize;
        let place = |i: usize| from + (to - from) * i as f64 / steps as f64;
        match stripes {
            Stripes::Every { repeat, .. } => found.extend((0..=steps).map(|i| {
                let [a, b] = lies(place(i));
                let off = (a - b).rem_euclid(*repeat);
                Seen { at: place(i), apart: off.min(repeat - off), from_second: false }
            })),
            Stripes::Marks(marks) => {
                for i in 0..steps {
                    let (before, after) = (lies(place(i)), lies(place(i + 1)));
                    for side in 0..2 {
                        let (low, high) = (before[side].min(after[side]), before[side].max(after[side]));
                        for mark in marks.iter().filter(|mark| **mark >= low && **mark < high) {
                            let part = (mark - before[side]) / (after[side] - before[side]);
                            let along = place(i) + (place(i + 1) - place(i)) * part;
                            let other = lies(along)[1 - side];
                            let apart = marks.iter().map(|m| (m - other).abs()).fold(f64::INFINITY, f64::min);
                            found.push(Seen { at: along, apart, from_second: side == 1 });
                        }
                    }
                }
            }
        }
    }
    (found, lengths[0])
}
