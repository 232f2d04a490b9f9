//! Pages as pixels, by poppler.

use std::process::Command;

use kurbo::{Point, Rect};

use crate::run::Bench;

/// A page in pixels.
pub struct Pixels {
    pub width: usize,
    pub grey: Vec<u8>,
    pub per_mm: f64,
}

/// Pixels for an inch at which pages are measured.
const RESOLUTION: f64 = 600.0;

impl Pixels {
    /// The pages of a PDF, in order.
    pub fn of_pages(bench: &Bench, pdf: &str) -> Vec<Pixels> {
        let prefix = bench.path("page");
        let resolution = RESOLUTION.to_string();
        let done = Command::new("pdftoppm")
            .args(["-r", &resolution, "-gray"])
            .args([bench.path(pdf), prefix])
            .status()
            .expect("pdftoppm runs");
        assert!(done.success());
        let names = bench.files().into_iter().filter(|name| name.ends_with(".pgm"));
        names.map(|name| Pixels::read(&std::fs::read(bench.path(&name)).expect("a picture"))).collect()
    }

    fn read(file: &[u8]) -> Pixels {
        let mut words = Vec::new();
        let mut at = 0;
        while words.len() < 4 {
            let end = at + file[at..].iter().position(u8::is_ascii_whitespace).expect("a header");
            words.push(std::str::from_utf8(&file[at..end]).expect("a word").to_owned());
            at = end + 1;
        }
        assert_eq!((words[0].as_str(), words[3].as_str()), ("P5", "255"));
        let width = words[1].parse().expect("a width");
        Pixels { width, grey: file[at..].to_vec(), per_mm: RESOLUTION / 25.4 }
    }

    fn is_dark(&self, x: f64, y: f64) -> bool {
        self.pixel((x * self.per_mm) as usize, (y * self.per_mm) as usize)
    }

    fn pixel(&self, x: usize, y: usize) -> bool {
        self.grey.get(y * self.width + x).is_some_and(|grey| *grey < 128)
    }

    /// The page as a copier gives it: smeared by half a point, then black where it is darker than 60 % of white, else white.
    pub fn copied(&self) -> Pixels {
        /// Half a point is twice the deviation of the smear, mm.
        const DEVIATION: f64 = 25.4 / 72.0 / 4.0;
        let deviation = DEVIATION * self.per_mm;
        let reach = (3.0 * deviation).ceil() as usize;
        let weights: Vec<f32> = (0..=2 * reach)
            .map(|i| (-0.5 * ((i as f64 - reach as f64) / deviation).powi(2)).exp() as f32)
            .collect();
        let all: f32 = weights.iter().sum();
        let level = smeared(&self.grey.iter().map(|grey| f32::from(*grey)).collect::<Vec<_>>(), &weights, 1);
        let both = smeared(&level, &weights, self.width);
        let limit = 0.6 * 255.0 * all * all;
        let grey = both.into_iter().map(|grey| if grey < limit { 0 } else { 255 }).collect();
        Pixels { width: self.width, grey, per_mm: self.per_mm }
    }

    /// What share of the dark pixels in a box is dark in a copy as well, and how many became dark for each that was.
    pub fn kept_in(&self, copy: &Pixels, bounds: Rect) -> (f64, f64) {
        let (mut dark, mut kept, mut added) = (0.0_f64, 0.0, 0.0);
        let pixel = |at: f64| (at * self.per_mm) as usize;
        for y in pixel(bounds.y0)..=pixel(bounds.y1) {
            for x in pixel(bounds.x0)..=pixel(bounds.x1) {
                match (self.pixel(x, y), copy.pixel(x, y)) {
                    (true, true) => (dark, kept) = (dark + 1.0, kept + 1.0),
                    (true, false) => dark += 1.0,
                    (false, true) => added += 1.0,
                    (false, false) => {}
                }
            }
        }
        (kept / dark.max(1.0), added / dark.max(1.0))
    }

    /// The middles of the dark runs across a line from a point in one direction, mm from its start.
    pub fn runs(&self, from: Point, way: (f64, f64), length: f64) -> Vec<f64> {
        let steps = (length * self.per_mm) as usize;
        let dark = |i: usize| {
            let at = i as f64 / self.per_mm;
            self.is_dark(from.x + way.0 * at, from.y + way.1 * at)
        };
        let mut runs = Vec::new();
        let mut start = None;
        for i in 0..=steps {
            match (dark(i), start) {
                (true, None) => start = Some(i),
                (false, Some(first)) => {
                    runs.push((first + i) as f64 / 2.0 / self.per_mm);
                    start = None;
                }
                _ => {}
            }
        }
        runs
    }
}

/// Pixels with those about them added to each, by weights; the next is so many on. Beyond the page it is white.
fn smeared(grey: &[f32], weights: &[f32], step: usize) -> Vec<f32> {
    let reach = weights.len() / 2;
    let at = |i: usize, by: usize| (i + by * step).checked_sub(reach * step).and_then(|i| grey.get(i));
    let sum =
        |i: usize| weights.iter().enumerate().map(|(by, weight)| weight * at(i, by).unwrap_or(&255.0)).sum();
    (0..grey.len()).map(sum).collect()
}
