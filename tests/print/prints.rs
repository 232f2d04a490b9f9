//! The shipped sheets, printed on every kind of paper.

use std::path::Path;
use std::sync::LazyLock;

use kurbo::{ParamCurve, ParamCurveArclen, Point};
use retrue::pattern::Pattern;
use retrue::sheet::{self, ReadOptions};
use retrue::show::piece::PieceDrawing;
use retrue::show::print::{Copies, Grouping, Orientation, Paper, Print, PrintOptions, SheetSize, Use};
use retrue::units::Length;

use crate::programs::{Program, found};

pub fn pattern(file: &str) -> Pattern {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    sheet::read(&std::fs::read(path).expect("a sheet"), &ReadOptions::default()).expect("sound").pattern
}

pub const SHEETS: [&str; 5] = [
    "fixtures/coat.svg",
    "fixtures/dress.svg",
    "fixtures/skirt-shaped-back.svg",
    "fixtures/awkward.svg",
    "examples/narrow-coat.svg",
];

pub fn portrait(size: SheetSize) -> Paper {
    Paper::Sheets(size, Orientation::Portrait)
}

/// A pattern printed on a paper.
pub struct Printed {
    pub pattern: Pattern,
    pub options: PrintOptions,
    pub print: Print,
}

/// Every sheet on every kind of paper, once for all tests.
pub static PRINTS: LazyLock<Vec<Printed>> = LazyLock::new(|| {
    let roll = |inches: f64| Paper::Roll { width: Length::from_mm(inches * 25.4) };
    let papers = [
        (portrait(SheetSize::A4), None),
        (Paper::Sheets(SheetSize::A4, Orientation::Landscape), None),
        (portrait(SheetSize::Letter), None),
        (portrait(SheetSize::Tabloid), None),
        (portrait(SheetSize::A0), Some(Use::Together)),
        (Paper::Sheets(SheetSize::AnsiE, Orientation::Landscape), Some(Use::Together)),
        (roll(36.0), None),
    ];
    let mut prints = Vec::new();
    for file in SHEETS {
        for (paper, on) in papers {
            for copies in [Copies::AsDrawn, Copies::Each] {
                let pattern = pattern(file);
                let options = PrintOptions {
                    on,
                    copies,
                    grouping: if copies == Copies::Each { Grouping::ByCloth } else { Grouping::Together },
                    ..PrintOptions::usual("a garment", paper)
                };
                match Print::of(&pattern, &options) {
                    Ok(print) => prints.push(Printed { pattern, options, print }),
                    Err(error) => panic!("{file} on {}: {error}", paper.title()),
                }
            }
        }
    }
    prints
});

pub fn each_print(mut check: impl FnMut(&Pattern, &PrintOptions, &Print)) {
    for printed in PRINTS.iter() {
        check(&printed.pattern, &printed.options, &printed.print);
    }
}

/// Points along the cutting lines of a piece, a millimetre apart, found on its curves.
pub fn along_outline(piece: &PieceDrawing) -> Vec<Point> {
    piece
        .outline
        .segments()
        .flat_map(|segment| {
            let steps = segment.arclen(0.1).ceil().max(1.0) as usize;
            (0..=steps).map(move |i| segment.eval(i as f64 / steps as f64)).collect::<Vec<_>>()
        })
        .collect()
}

/// Whether pages can be made pixels; where they cannot, it is said or fails.
pub fn has_pixels() -> bool {
    found([Program("pdftoppm", "poppler-utils")]).is_some()
}
