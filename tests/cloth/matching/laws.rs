//! What is told of the stripes along a seam equals what the drawn corners, the motions and the cloth come to.

use crate::counted::counted;
use kurbo::Affine;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use retrue::cloth::StripesAlong;
use retrue::cloth::file;
use retrue::cloth::layout::{BodyHalf, BodySide, LayTask, LayWish, LyingCopy, MetAlong, SeamMet, seam_met};
use retrue::curve::{Motion, Point, Radians, Vec2};
use retrue::sheet::{ReadOptions, read};
use serde_json::Value;

use super::drafted::{Garment, Seen, SideOnCloth, Stripes, seen};
use crate::run::Bench;

/// Stripes that run one way of the cloth, and where along them a place lies.
type StripeSet<'a> = (StripesAlong, &'a Stripes, fn(Point) -> f64);

/// How far stripes may be apart and still meet: 1/16 in (references: what is usually tolerated along a seam).
const MEET: f64 = 25.4 / 16.0;

/// How far what is told may be off, mm: the worst place is looked for at steps of up to half a millimetre, along sides that
/// drift from each other by up to half of that.
const MEASURED: f64 = 0.2;

/// How far outside the stretch that is told to meet a place is seen where stripes have parted, mm: two steps.
const BEYOND: f64 = 0.5;

/// How exactly places along the seam are compared, mm.
const NEAR: f64 = 1e-3;

pub fn garment() -> impl Strategy<Value = Garment> {
    let side = || prop::array::uniform4(-25.0..25.0_f64);
    let dart = prop_oneof![Just(0.0), 12.0..30.0_f64];
    (120.0..260.0_f64, 300.0..600.0_f64, side(), side(), dart).prop_map(
        |(width, length, back_side, front_side, dart)| Garment { width, length, back_side, front_side, dart },
    )
}

pub fn stripes() -> impl Strategy<Value = Stripes> {
    let every = (20.0..120.0_f64, 0.0..40.0_f64).prop_map(|(repeat, first)| Stripes::Every { repeat, first });
    let marks = prop::collection::vec(9.0..150.0_f64, 12..60).prop_map(|gaps| {
        let sums = gaps.iter().scan(0.0, |sum, gap| {
            *sum += gap;
            Some(*sum)
        });
        Stripes::Marks(sums.collect())
    });
    prop_oneof![every, marks]
}

/// What is told of one sewing, however it was told.
#[derive(Debug)]
pub struct Notice {
    pub length: f64,
    pub stretch: Option<(f64, f64)>,
    pub worst: f64,
    pub marks: Option<(usize, usize)>,
}

fn meets(seen: &Seen) -> bool {
    seen.apart <= MEET - MEASURED
}

/// Whether a place between two others does not meet; beyond the ends of the seam there is none to look at.
fn parts_at(seen: &[Seen], (low, high): (f64, f64)) -> bool {
    let first = seen.iter().map(|seen| seen.at).fold(f64::INFINITY, f64::min);
    let last = seen.iter().map(|seen| seen.at).fold(0.0, f64::max);
    let is_end = first > high - 2.0 * NEAR || last < low + 2.0 * NEAR;
    is_end || seen.iter().any(|seen| (low..=high).contains(&seen.at) && !meets(seen))
}

/// Whether the marks nearest outside a stretch miss, where there are any; or one at its very end, since marks of both sides
/// may lie at one place.
fn next_misses(seen: &[Seen], (from, to): (f64, f64)) -> bool {
    let misses_near = |end: f64| seen.iter().any(|seen| (seen.at - end).abs() <= NEAR && !meets(seen));
    let before = seen.iter().filter(|seen| seen.at < from - NEAR).max_by(|a, b| a.at.total_cmp(&b.at));
    let after = seen.iter().filter(|seen| seen.at > to + NEAR).min_by(|a, b| a.at.total_cmp(&b.at));
    let parts = |end: f64, next: Option<&Seen>| misses_near(end) || next.is_none_or(|seen| !meets(seen));
    parts(from, before) && parts(to, after)
}

/// What is told agrees with what is seen.
pub fn assert_agrees(told: &Notice, seen: &[Seen], length: f64) -> Result<(), TestCaseError> {
    prop_assert!((told.length - length).abs() < 1e-3, "{} mm and {length} mm", told.length);
    let worst = seen.iter().map(|seen| seen.apart).fold(0.0, f64::max);
    prop_assert!((told.worst - worst).abs() < MEASURED, "worst told {}, seen {worst}", told.worst);
    let misses = |seen: &&Seen| seen.apart > MEET + MEASURED;
    match told.stretch {
        Some((from, to)) => {
            let wrong = seen.iter().filter(misses).find(|seen| seen.at > from + NEAR && seen.at < to - NEAR);
            prop_assert!(wrong.is_none(), "told to meet from {from} to {to}: {wrong:?}");
            let parts = match told.marks {
                None => {
                    parts_at(seen, (from - BEYOND, from + NEAR)) && parts_at(seen, (to - NEAR, to + BEYOND))
                }
                Some(_) => next_misses(seen, (from, to)),
            };
            prop_assert!(parts, "told to meet from {from} to {to} of {length}: it does on from there too");
            if from <= 1e-6 && to >= length - 1e-6 {
                prop_assert_eq!(seen.iter().filter(misses).count(), 0);
            }
        }
        None => {
            let good = seen.iter().find(|seen| meets(seen));
            prop_assert!(good.is_none(), "told to meet nowhere: {good:?}");
        }
    }
    if let Some((met, missed)) = told.marks {
        let clear = seen.iter().all(|seen| (seen.apart - MEET).abs() > MEASURED);
        if clear {
            let good = seen.iter().filter(|seen| seen.apart <= MEET && !seen.from_second).count();
            let bad = seen.iter().filter(|seen| seen.apart > MEET).count();
            prop_assert_eq!((met, missed), (good, bad));
        }
    }
    Ok(())
}

fn told(met: &MetAlong) -> Notice {
    Notice { length: met.whole.1 - met.whole.0, stretch: met.stretch, worst: met.worst, marks: met.marks }
}

/// How a copy is put onto the cloth, not by any search: turned, and moved across and along.
fn thrown() -> impl Strategy<Value = Vec<(usize, f64, f64, f64)>> {
    prop::collection::vec((0..4_usize, -2.0..2.0_f64, 300.0..800.0_f64, 700.0..900.0_f64), 3)
}

/// Copies thrown onto the cloth anyhow: the measure is told the same, whichever way the stripes run.
#[test]
fn what_is_told_of_any_placement_is_what_is_seen() {
    let mut runner = TestRunner::new(Config { failure_persistence: None, ..Config::with_cases(192) });
    let same_way = any::<bool>();
    let cases = (garment(), stripes(), stripes(), thrown(), same_way);
    runner
        .run(&cases, |(garment, across, lengthwise, thrown, same_way)| {
            let pattern = read(garment.sheet().as_bytes(), &ReadOptions::default()).expect("a sheet").pattern;
            let cloth = format!(
                "[main]\nwidth = \"1.6m\"\nlength = \"4m\"\nstripes = [{}, {}]\n",
                across.written("width"),
                lengthwise.written("length")
            );
            let stock = file::read(&cloth, &mut file::NoFiles).expect("a cloth");
            let wish = LayWish { matches: vec!["back.side".parse().expect("an edge")], ..LayWish::default() };
            let task = LayTask::of(&pattern, &stock, wish).expect("a task");
            let lying: Vec<LyingCopy<'_>> = task
                .copies
                .iter()
                .zip(&thrown)
                .map(|(copy, (quarter, tilt, x, y))| {
                    let quarter = if same_way { 0 } else { *quarter };
                    let turn = Radians((quarter as f64 * 90.0 + tilt).to_radians());
                    let y = if same_way { thrown[0].3 + (y - 800.0) * 0.01 } else { *y };
                    let turned = copy.cut.from_sheet().then(&Motion::turn_about(Point::ZERO, turn));
                    let motion = turned.then(&Motion::shift(Vec2::new(*x, y)));
                    LyingCopy { copy, ground: &task.grounds[0], motion }
                })
                .collect();
            let sets: [StripeSet<'_>; 2] = [
                (StripesAlong::Width, &across, |point| point.y),
                (StripesAlong::Length, &lengthwise, |point| point.x),
            ];
            for (along, stripes, of) in sets {
                let found =
                    seam_met(&pattern, &stock, along, task.seams[0].id, &lying).expect("it is measured");
                agrees_on_both_halves(&garment, &found, &lying, stripes, of)?;
            }
            Ok(())
        })
        .expect("the law holds");
}

fn agrees_on_both_halves(
    garment: &Garment,
    found: &SeamMet,
    lying: &[LyingCopy<'_>],
    stripes: &Stripes,
    of: fn(Point) -> f64,
) -> Result<(), TestCaseError> {
    prop_assert_eq!(found.sewings.len(), 2, "left and right");
    let first = found.seam.split('.').next().expect("a piece").to_owned();
    for sewing in &found.sewings {
        let (copy_side, back) = match sewing.half {
            BodyHalf::Right => (BodySide::Right, Affine::IDENTITY),
            BodyHalf::Left => (BodySide::Left, garment.image()),
        };
        let motion = |piece: &str| {
            let on = lying.iter().find(|lying| {
                lying.copy.piece.as_str() == piece && (piece == "back" || lying.copy.hand == copy_side)
            });
            let motion = Affine::new(on.expect("it lies").motion.to_array());
            if piece == "back" { motion * back } else { motion }
        };
        let second = if first == "back" { "front" } else { "back" };
        let sides = [first.as_str(), second].map(|piece| SideOnCloth { piece, motion: motion(piece) });
        let (seen, length) = seen(garment, &sides, stripes, of);
        assert_agrees(&told(sewing.met.as_ref().expect("stripes are known")), &seen, length)?;
    }
    Ok(())
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// What a report tells of a pair of copies, held against the motions that it tells.
pub fn assert_report_is_true(
    garment: &Garment,
    stripes: &Stripes,
    report: &Value,
) -> Result<usize, TestCaseError> {
    let found = &report["matches"][0];
    let names: Vec<&str> = found["seam"].as_str().expect("a name").split(" + ").collect();
    let pieces = [0, 1].map(|i: usize| names[i].split('.').next().expect("a piece"));
    let copies = report["copies"].as_array().expect("copies");
    let pairs = found["pairs"].as_array().expect("pairs");
    let mut worst: f64 = 0.0;
    for pair in pairs {
        let sides = ["first", "second"].map(|side| pair[side].as_u64().expect("a copy") as usize);
        let motion = |i: usize| {
            let copy = &copies[sides[i]];
            assert_eq!(copy["piece"].as_str(), Some(pieces[i]), "the copy named");
            let numbers: Vec<f64> = copy["motion"].as_array().expect("six").iter().map(number).collect();
            let motion = Affine::new(numbers.try_into().expect("six"));
            match pieces[i] {
                "back" if pair["half"] == "left" => motion * garment.image(),
                "back" => motion,
                _ => {
                    assert_eq!(copy["hand"], pair["half"], "left to left, right to right");
                    motion
                }
            }
        };
        let sides = [0, 1].map(|i: usize| SideOnCloth { piece: pieces[i], motion: motion(i) });
        let (seen, length) = seen(garment, &sides, stripes, |point| point.y);
        let stretch = pair["stretch"].as_array().map(|ends| (number(&ends[0]), number(&ends[1])));
        let count = |key: &str| pair[key].as_u64().map(|count| count as usize);
        let told = Notice {
            length: number(&pair["length"]),
            stretch,
            worst: number(&pair["worst"]),
            marks: count("marks_met").zip(count("marks_missed")),
        };
        assert_agrees(&told, &seen, length)?;
        worst = worst.max(told.worst);
    }
    prop_assert!((number(&found["parts_by"]) - worst).abs() < 1e-6, "the worst of all pairs");
    Ok(pairs.len())
}

/// Random garments on random cloth, by the whole command: what it tells is what the motions that it writes come to.
#[test]
fn what_is_told_of_a_layout_is_what_is_written() {
    let config = Config { failure_persistence: None, ..Config::with_cases(24) };
    let cloths = (stripes(), 450.0..1600.0_f64, prop_oneof![Just(0.0), Just(1.5)]);
    counted(config, (garment(), cloths), |(garment, (stripes, width, tolerance))| {
        let cloth = format!(
            "[main]\nwidth = \"{width}mm\"\nlength = \"9m\"\nstripes = {}\n",
            stripes.written("width")
        );
        let bench = Bench::new().with_file("g.svg", garment.sheet()).with_file("c.toml", cloth);
        let line = format!(
            "lay g.svg --cloth c.toml --match back.side --grain-tolerance {tolerance} --iterations 12 --json -o l.svg"
        );
        let outcome = bench.retrue(&line);
        if !bench.files().contains(&"l.svg".to_owned()) {
            return Ok(false);
        }
        let pairs = assert_report_is_true(&garment, &stripes, &outcome.is_true().reports("lay"))?;
        prop_assert_eq!(pairs, 2);
        Ok(true)
    });
}
