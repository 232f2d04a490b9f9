//! Pages as pixels, by poppler.

use std::process::Command;

use kurbo::Point;

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
