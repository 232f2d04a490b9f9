//! How much searching for colours helps: the coat's fronts, back and sleeves on 1.4 times the cloth that they need.
//!
//! `cargo bench --bench colours -- --seconds 60`: for each cloth the mean difference of colour at the seams of the layout
//! found in so many seconds, and that of the best of as many layouts found without looking at colours as the same time
//! gives, each moved along the cloth at random.

use std::time::Instant;

use retrue::cloth::colours::Colour;
use retrue::cloth::file::{NoFiles, read as read_cloth};
use retrue::cloth::layout::{Alike, LaidCopy, LaidVerdict, LayTask, LayWish, LyingCopy, seam_alike};
use retrue::cloth::search::{Budget, Continue, Limit};
use retrue::curve::{Motion, Vec2};
use retrue::pattern::Pattern;
use retrue::sheet::{ReadOptions, read};

#[path = "../common/dyed_cloth.rs"]
mod dyed_cloth;
use dyed_cloth::{Numbers, gradation, random_order};

/// The seams at which the cloth is to look alike.
const SEAMS: [&str; 5] =
    ["back.side", "front-side.princess", "sleeve-upper.seam", "sleeve-upper.seam-2", "sleeve-upper.cap"];

/// The pieces that are laid.
const LAID: [&str; 5] = ["back", "front-centre", "front-side", "sleeve-upper", "sleeve-under"];

/// How much more cloth there is than is needed.
const MORE: f64 = 1.4;

/// The repeat of the cloth on which a layout exists that matches exactly, mm.
const REPEAT: f64 = 700.0;

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
    format!("[main]\nwidth = \"37cm\"\nlength = \"{length}mm\"\ngap = \"2mm\"\n{pattern}\n")
}

fn colours(told: &[(f64, Colour)]) -> String {
    let told = told.iter().map(|(at, colour)| {
        let [red, green, blue] = colour.srgb();
        format!("[\"{at}mm\", \"#{red:02x}{green:02x}{blue:02x}\"]")
    });
    format!("colours = [{}]", told.collect::<Vec<_>>().join(", "))
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

/// The mean difference at all seams where copies lie, moved along by so much.
fn mean(task: &LayTask<'_>, lying: &[LaidCopy], by: f64) -> f64 {
    let shift = Motion::shift(Vec2::new(0.0, by));
    let lying: Vec<LyingCopy<'_>> = lying
        .iter()
        .map(|lying| LyingCopy {
            copy: &task.copies[lying.copy],
            ground: &task.grounds[lying.ground],
            motion: lying.motion.then(&shift),
        })
        .collect();
    let all = task.seams.iter().flat_map(|seam| {
        let alike = seam_alike(task.pattern, task.stock, seam.id, &lying).expect("a seam");
        alike.sewings.into_iter().flat_map(|sewing| sewing.places)
    });
    Alike::of(&all.collect::<Vec<_>>()).map_or(f64::NAN, |alike| alike.mean)
}

fn compare(name: &str, coat: &Pattern, length: f64, pattern: &str, seconds: f64) {
    let stock = read_cloth(&cloth(length, pattern), &mut NoFiles).expect("a cloth");
    let task = LayTask::of(coat, &stock, wish(&SEAMS)).expect("a task");
    let found =
        task.search(&budget(1, Limit::Seconds(seconds)), &mut |_| Continue::Search).expect("a search");
    let found = if found.verdict == LaidVerdict::Fits { mean(&task, &found.lying, 0.0) } else { f64::NAN };
    let plain = LayTask::of(coat, &stock, wish(&[])).expect("a task");
    let (began, mut numbers) = (Instant::now(), Numbers(7));
    let (mut best, mut tried, mut seed) = (f64::INFINITY, 0, 0);
    while began.elapsed().as_secs_f64() < seconds && tried < 10_000 {
        seed += 1;
        let laid = plain.search(&budget(seed, Limit::Iterations(40)), &mut |_| Continue::Search);
        let laid = laid.expect("a search");
        if laid.verdict != LaidVerdict::Fits {
            continue;
        }
        let slack = length - laid.uses[0].used;
        for _ in 0..20 {
            best = best.min(mean(&task, &laid.lying, numbers.share() * slack));
            tried += 1;
        }
    }
    println!("{name}: found {found:.2}; best of {tried} layouts found without colours {best:.2}");
}

fn main() {
    let mut arguments = std::env::args().skip_while(|argument| argument != "--seconds").skip(1);
    let seconds: f64 = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(10.0);
    let coat = coat();
    let stock = read_cloth(&cloth(20_000.0, ""), &mut NoFiles).expect("a cloth");
    let task = LayTask::of(&coat, &stock, wish(&[])).expect("a task");
    let needed = task.search(&budget(1, Limit::Seconds(10.0)), &mut |_| Continue::Search).expect("a search");
    let length = (needed.uses[0].used * MORE).ceil();
    println!("needed {:.0} mm, laid on {length:.0} mm", needed.uses[0].used);
    compare("gradation", &coat, length, &colours(&gradation(length, 11)), seconds);
    compare("twelve in random order", &coat, length, &colours(&random_order(length, 11)), seconds);
    let once = random_order(REPEAT - 2.0, 3);
    let again = (0..).map(|i| f64::from(i) * REPEAT).take_while(|from| *from < length);
    let planted: Vec<(f64, Colour)> = again
        .flat_map(|from| once.iter().map(move |(at, colour)| (at + from, *colour)))
        .filter(|(at, _)| *at <= length)
        .collect();
    compare("one that comes again after 70 cm", &coat, length, &colours(&planted), seconds);
}
