//! How much searching for colours helps: the coat's fronts, back and sleeves on 1.4 times the cloth that they need.
//!
//! `cargo bench --bench colours -- [--seconds S] [--seeds K] [--random N]`: three cloths as photographs of them show. For each
//! the mean difference of colour at the seams of the layout found in so many seconds, the median of the seeds, and that of the
//! best of as many random legal layouts as the same time gives, N at the most. Then a cloth that comes again, on which a layout
//! is known that matches: how much the one found differs from it.

use std::time::Instant;

use image::ImageFormat;
use kurbo::{Rect, Shape};
use retrue::cloth::Stock;
use retrue::cloth::colours::{Colour, Colouring};
use retrue::cloth::file::{FilesBeside, NoFiles, PanelShape, PanelSource, UnreadBeside, read as read_cloth};
use retrue::cloth::layout::check::broken;
use retrue::cloth::layout::{Alike, LaidCopy, LaidVerdict, LayTask, LayWish, LyingCopy, seam_alike};
use retrue::cloth::search::{Budget, Continue, Limit};
use retrue::curve::{Motion, Point, Vec2};
use retrue::pattern::Pattern;
use retrue::sheet::{ReadOptions, read};

#[path = "../common/dyed_cloth.rs"]
mod dyed_cloth;
use dyed_cloth::{Camera, Numbers, colouring, file_of, gradation, random_order, with_orientation};

/// The seams at which the cloth is to look alike.
const SEAMS: [&str; 5] =
    ["back.side", "front-side.princess", "sleeve-upper.seam", "sleeve-upper.seam-2", "sleeve-upper.cap"];

/// The pieces that are laid.
const LAID: [&str; 5] = ["back", "front-centre", "front-side", "sleeve-upper", "sleeve-under"];

/// How wide the cloth is, how far pieces keep apart on it, mm, and how much more of it there is than is needed.
const WIDTH: f64 = 370.0;
const GAP: f64 = 2.0;
const MORE: f64 = 1.4;

/// The repeat of the cloth on which a layout is known that matches, mm.
const REPEAT: f64 = 240.0;

/// In how many photographs a cloth is shown.
const PICTURES: usize = 4;

/// The narrow coat, what is not looked at cut from another cloth.
fn coat() -> Pattern {
    let sheet = include_str!("../../examples/narrow-coat.svg");
    let mut coat = read(sheet.as_bytes(), &ReadOptions::default()).expect("the coat").pattern;
    let others: Vec<_> = coat.pieces().map(|piece| piece.name().clone()).collect();
    for name in others.iter().filter(|name| !LAID.contains(&name.as_str())) {
        let step = format!("do = \"set-piece\"\npiece = \"{name}\"\ncloth = \"other\"");
        let step: retrue::recut::SetPiece = toml::from_str(&step).expect("a step");
        coat = retrue::recut::Step::from(step).apply(&coat).expect("it is done").pattern;
    }
    coat
}

fn cloth(length: f64, pattern: &str) -> String {
    format!("[main]\nwidth = \"{WIDTH}mm\"\nlength = \"{length}mm\"\ngap = \"{GAP}mm\"\n{pattern}\n")
}

fn colours(told: &[(f64, Colour)]) -> String {
    let told = told.iter().map(|(at, colour)| {
        let [red, green, blue] = colour.srgb();
        format!("[\"{at}mm\", \"#{red:02x}{green:02x}{blue:02x}\"]")
    });
    format!("colours = [{}]", told.collect::<Vec<_>>().join(", "))
}

/// Photographs of a cloth, held askew under light that falls off, with grain; the last with the camera on its side.
struct Photographs {
    files: Vec<Vec<u8>>,
    text: String,
}

impl Photographs {
    fn of(length: f64, colour_at: &dyn Fn(f64, f64) -> Colour) -> Photographs {
        let part = length / PICTURES as f64;
        let mut taken = Photographs { files: Vec::new(), text: "pictures = [\n".to_owned() };
        for picture in 0..PICTURES {
            let tilt = [0.0, 6.0, -6.0, 4.0][picture];
            let corners = [[30.0, 322.0 - tilt], [36.0 + tilt, 39.0], [1770.0, 41.0 + tilt], [1762.0, 320.0]];
            let camera = Camera { size: (1800, 360), corners, falls_off: 0.12, grain: 6.0 };
            let from = picture as f64 * part;
            let seen =
                camera.take(|across, along| colour_at(across * WIDTH, from + along * part), picture as u64);
            let is_last = picture + 1 == PICTURES;
            let seen = if is_last { image::imageops::rotate270(&seen) } else { seen };
            let jpeg = file_of(&seen, ImageFormat::Jpeg);
            taken.files.push(if is_last { with_orientation(&jpeg, 6) } else { jpeg });
            taken.text += &format!(
                "{{ file = \"{picture}\", from = \"{from}mm\", to = \"{}mm\", corners = {corners:?} }},\n",
                from + part
            );
        }
        taken.text += "]";
        taken
    }
}

impl FilesBeside for Photographs {
    fn panel(&mut self, source: &PanelSource) -> Result<PanelShape, UnreadBeside> {
        Err(format!("no panel is named: {}", source.file).into())
    }

    fn picture(&mut self, file: &str) -> Result<Vec<u8>, UnreadBeside> {
        let number: usize = file.parse().map_err(|_| format!("no photograph {file}"))?;
        self.files.get(number).cloned().ok_or_else(|| format!("no photograph {file}").into())
    }
}

/// A plaid of which no two stripes are alike: bands across in one random order, woven with bands along in another.
fn uneven_plaid(length: f64) -> impl Fn(f64, f64) -> Colour {
    let [weft, warp] =
        [(length, 21), (WIDTH, 22)].map(|(reach, seed)| colouring(&random_order(reach, seed), reach));
    move |across, along| {
        let known = |colouring: &Colouring, at: f64| colouring.at(0.0, at).expect("its colours are known");
        known(&weft, along.min(length)).toward(known(&warp, across.clamp(0.0, WIDTH)), 0.4)
    }
}

fn plain_across(told: &[(f64, Colour)], length: f64) -> impl Fn(f64, f64) -> Colour + use<> {
    let weft = colouring(told, length);
    move |_, along| weft.at(0.0, along.clamp(0.0, length)).expect("its colours are known")
}

fn wish(seams: &[&str]) -> LayWish {
    LayWish {
        matches: seams.iter().map(|edge| edge.parse().expect("an edge")).collect(),
        ..LayWish::default()
    }
}

fn budget(seed: u64, limit: Limit) -> Budget {
    Budget { seed, searchers: 2, limit }
}

/// The mean difference at all seams where copies lie.
fn mean(task: &LayTask<'_>, lying: &[LaidCopy]) -> f64 {
    let lying: Vec<LyingCopy<'_>> = lying
        .iter()
        .map(|lying| LyingCopy {
            copy: &task.copies[lying.copy],
            ground: &task.grounds[lying.ground],
            motion: lying.motion,
        })
        .collect();
    let all = task.seams.iter().flat_map(|seam| {
        let alike = seam_alike(task.pattern, task.stock, seam.id, &lying).expect("a seam");
        alike.sewings.into_iter().flat_map(|sewing| sewing.places)
    });
    Alike::of(&all.collect::<Vec<_>>()).map_or(f64::NAN, |alike| alike.mean)
}

/// The outline of a copy at no turn, its corner at nothing, and the motion that put it there.
struct Laying {
    ring: Vec<Point>,
    size: (f64, f64),
    motion: Motion,
}

fn shapes(task: &LayTask<'_>) -> Vec<Laying> {
    let shape = |copy: usize| {
        let sheet = *task.copies[copy].cut.from_sheet();
        let path = LaidCopy { copy, ground: 0, motion: sheet }.path(task);
        let bounds: Rect = path.bounding_box();
        let corner = Motion::shift(-bounds.origin().to_vec2());
        let mut ring = Vec::new();
        kurbo::flatten(corner.to_affine() * path, 1.0, |element| ring.extend(element.end_point()));
        Laying { ring, size: (bounds.width(), bounds.height()), motion: sheet.then(&corner) }
    };
    (0..task.copies.len()).map(shape).collect()
}

/// Whether two rings come nearer to each other than the gap: corners of one in the other, edges that cross, or near corners.
fn collide(a: &[Point], b: &[Point]) -> bool {
    let edges = |ring: &[Point]| -> Vec<(Point, Point)> {
        ring.iter().copied().zip(ring.iter().copied().cycle().skip(1)).collect()
    };
    let (of_a, of_b) = (edges(a), edges(b));
    let holds = |edges: &[(Point, Point)], at: Point| {
        let crosses = |(from, to): &&(Point, Point)| {
            (from.y > at.y) != (to.y > at.y)
                && at.x < from.x + (at.y - from.y) / (to.y - from.y) * (to.x - from.x)
        };
        edges.iter().filter(crosses).count() % 2 == 1
    };
    let near = |edges: &[(Point, Point)], at: Point| {
        edges.iter().any(|(from, to)| {
            let along = *to - *from;
            let share = ((at - *from).dot(along) / along.hypot2().max(1e-12)).clamp(0.0, 1.0);
            (*from + along * share).distance(at) < GAP + 1.5
        })
    };
    let side = |(from, to): (Point, Point), at: Point| (to - from).cross(at - from);
    let cross = |p: (Point, Point), q: (Point, Point)| {
        side(p, q.0) * side(p, q.1) < 0.0 && side(q, p.0) * side(q, p.1) < 0.0
    };
    a.iter().any(|at| holds(&of_b, *at) || near(&of_b, *at))
        || b.iter().any(|at| holds(&of_a, *at) || near(&of_a, *at))
        || of_a.iter().any(|p| of_b.iter().any(|q| cross(*p, *q)))
}

/// A random legal layout: copies in a random order, each anywhere across, as near to the start as it can lie; then what is left
/// of the cloth shared out at random between them. None where they did not come to lie on it.
fn random_layout(shapes: &[Laying], length: f64, numbers: &mut Numbers) -> Option<Vec<LaidCopy>> {
    const STEP: f64 = 8.0;
    let mut order: Vec<usize> = (0..shapes.len()).collect();
    for i in (1..order.len()).rev() {
        order.swap(i, (numbers.share() * (i + 1) as f64) as usize);
    }
    let mut put: Vec<(usize, Vec<Point>, Rect, Vec2)> = Vec::new();
    for copy in order {
        let shape = &shapes[copy];
        let x = numbers.share() * (WIDTH - shape.size.0).max(0.0);
        let mut y = 0.0;
        let (ring, bounds, at) = loop {
            if y + shape.size.1 > length {
                return None;
            }
            let at = Vec2::new(x, y);
            let bounds = Rect::new(x, y, x + shape.size.0, y + shape.size.1);
            let ring: Vec<Point> = shape.ring.iter().map(|point| *point + at).collect();
            let wide = bounds.inflate(GAP + 2.0, GAP + 2.0);
            if !put.iter().any(|(_, other, there, _)| wide.overlaps(*there) && collide(&ring, other)) {
                break (ring, bounds, at);
            }
            y += STEP;
        };
        put.push((copy, ring, bounds, at));
    }
    // What begins later moves on by more, so that little comes nearer to anything.
    let used = put.iter().map(|(_, _, bounds, _)| bounds.y1).fold(0.0, f64::max);
    let mut shares: Vec<f64> = put.iter().map(|_| numbers.share() * (length - used)).collect();
    shares.sort_by(f64::total_cmp);
    put.sort_by(|a, b| a.2.y0.total_cmp(&b.2.y0));
    let lying = put.iter().zip(shares).map(|((copy, _, _, at), by)| {
        let shift = Motion::shift(*at + Vec2::new(0.0, by));
        LaidCopy { copy: *copy, ground: 0, motion: shapes[*copy].motion.then(&shift) }
    });
    let mut lying: Vec<LaidCopy> = lying.collect();
    lying.sort_by_key(|lying| lying.copy);
    Some(lying)
}

fn median(mut found: Vec<f64>) -> f64 {
    found.sort_by(f64::total_cmp);
    found[found.len() / 2]
}

/// What is asked for on the command line.
struct Wishes {
    seconds: f64,
    seeds: u64,
    random: usize,
}

/// The mean differences of the layouts found, one for each seed.
fn found(task: &LayTask<'_>, wishes: &Wishes) -> Vec<f64> {
    let search = |seed| {
        let laid = task.search(&budget(seed, Limit::Seconds(wishes.seconds)), &mut |_| Continue::Search);
        let laid = laid.expect("a search");
        assert_eq!(laid.verdict, LaidVerdict::Fits, "a layout is found");
        mean(task, &laid.lying)
    };
    (1..=wishes.seeds).map(search).collect()
}

fn compare(name: &str, coat: &Pattern, length: f64, stock: &Stock, wishes: &Wishes) {
    let task = LayTask::of(coat, stock, wish(&SEAMS)).expect("a task");
    let found = found(&task, wishes);
    let shapes = shapes(&task);
    let (began, mut numbers) = (Instant::now(), Numbers(7));
    let (mut best, mut legal, mut failed) = (f64::INFINITY, 0, 0);
    while began.elapsed().as_secs_f64() < wishes.seconds && legal < wishes.random {
        let Some(lying) = random_layout(&shapes, length, &mut numbers) else {
            failed += 1;
            continue;
        };
        if !broken(&task, &lying).expect("it is checked").is_empty() {
            failed += 1;
            continue;
        }
        best = best.min(mean(&task, &lying));
        legal += 1;
    }
    println!(
        "{name}: found {:.2} ({found:.2?}); best of {legal} random legal layouts {best:.2} ({failed} more broke a rule)",
        median(found.clone())
    );
}

/// A cloth that comes again: a layout is known, in which its repeat is held at the seams.
fn planted(coat: &Pattern, length: f64, wishes: &Wishes) {
    let once = gradation(REPEAT * 20.0, 3);
    let again: Vec<(f64, Colour)> = (0..=(length / 10.0) as usize)
        .map(|step| step as f64 * 10.0)
        .map(|at| {
            // There and back through the yarns, so that it goes on where it comes again.
            let share = (at.rem_euclid(REPEAT) / REPEAT * 2.0 - 1.0).abs();
            (at, once[(share * 80.0) as usize].1)
        })
        .collect();
    let dyed = read_cloth(&cloth(length, &colours(&again)), &mut NoFiles).expect("a cloth");
    let striped = format!("stripes = {{ repeat = \"{REPEAT}mm\" }}");
    let striped = read_cloth(&cloth(length, &striped), &mut NoFiles).expect("a cloth");
    let holding = LayTask::of(coat, &striped, wish(&SEAMS)).expect("a task");
    let limit = Limit::Seconds(wishes.seconds);
    let known = holding.search(&budget(1, limit), &mut |_| Continue::Search).expect("a search");
    assert_eq!(known.verdict, LaidVerdict::Fits, "a layout is known");
    let task = LayTask::of(coat, &dyed, wish(&SEAMS)).expect("a task");
    let (known, found) = (mean(&task, &known.lying), found(&task, wishes));
    println!(
        "comes again after {REPEAT} mm: found {:.2} ({found:.2?}); the layout known {known:.2}, {:+.2} from it",
        median(found.clone()),
        median(found.clone()) - known
    );
}

/// The colour of a cloth at a place across and along, mm.
type Weave = Box<dyn Fn(f64, f64) -> Colour>;

fn main() {
    let number = |key: &str, usual: f64| {
        let mut words = std::env::args().skip_while(|word| word != key).skip(1);
        words.next().and_then(|text| text.parse().ok()).unwrap_or(usual)
    };
    let wishes = Wishes {
        seconds: number("--seconds", 10.0),
        seeds: number("--seeds", 1.0) as u64,
        random: number("--random", 10_000.0) as usize,
    };
    let coat = coat();
    let stock = read_cloth(&cloth(20_000.0, ""), &mut NoFiles).expect("a cloth");
    let task = LayTask::of(&coat, &stock, wish(&[])).expect("a task");
    let needed = task.search(&budget(1, Limit::Seconds(10.0)), &mut |_| Continue::Search).expect("a search");
    let length = (needed.uses[0].used * MORE).ceil();
    println!("needed {:.0} mm, laid on {length:.0} mm", needed.uses[0].used);
    let cloths: [(&str, Weave); 3] = [
        ("gradation", Box::new(plain_across(&gradation(length, 11), length))),
        ("twelve in random order", Box::new(plain_across(&random_order(length, 11), length))),
        ("uneven plaid", Box::new(uneven_plaid(length))),
    ];
    for (name, colour_at) in &cloths {
        let mut photographs = Photographs::of(length, colour_at.as_ref());
        let text = cloth(length, &photographs.text);
        let stock = read_cloth(&text, &mut photographs).expect("a cloth");
        compare(name, &coat, length, &stock, &wishes);
    }
    planted(&coat, length, &wishes);
}
