//! The shipped gradation: its photographs are made by program, and show its colours.
//!
//! `RETRUE_REDRAW=1 cargo test --test cloth shipped_gradation` makes them anew.

use std::path::{Path, PathBuf};

use image::codecs::jpeg::JpegEncoder;
use retrue::cloth::colours::Colouring;
use retrue::cloth::file::{FilesBeside, PanelShape, PanelSource, UnreadBeside, read};
use retrue::pattern::ClothName;

use crate::dyed_cloth::{Camera, colouring, gradation, with_orientation};

const WIDTH: f64 = 370.0;
const LENGTH: f64 = 11_400.0;
const PICTURES: usize = 4;

/// The seed of its yarns.
const SEED: u64 = 37;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")
}

/// Each photograph lies a little askew, and the light comes from one side; the last was taken with the camera on its side.
fn camera(picture: usize) -> Camera {
    let tilt = [0.0, 5.0, -5.0, 3.0][picture];
    let corners = [[30.0, 238.0 - tilt], [34.0 + tilt, 39.0], [1570.0, 41.0 + tilt], [1562.0, 240.0]];
    Camera { size: (1600, 280), corners, falls_off: 0.15, grain: 5.0 }
}

fn photograph(picture: usize, cloth: &Colouring) -> Vec<u8> {
    let part = LENGTH / PICTURES as f64;
    let taken = camera(picture).take(
        |across, along| {
            let along = (picture as f64 + along) * part;
            cloth.at(across * WIDTH, along.min(LENGTH)).expect("its colours are known")
        },
        picture as u64,
    );
    let is_last = picture + 1 == PICTURES;
    let taken = if is_last { image::imageops::rotate270(&taken) } else { taken };
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 88).encode_image(&taken).expect("a picture is written");
    if is_last { with_orientation(&bytes, 6) } else { bytes }
}

fn redraw(cloth: &Colouring) {
    let mut text = String::from(
        "# A bolt whose weft runs through seven yarns and back, in bands of uneven height and with two knots, as four\n\
         # photographs of it show: laid flat, end to end, a little askew.\n\
         #\n\
         #   retrue lay examples/narrow-coat.svg --cloth examples/gradation.toml --match front-side.princess --match back.side -o lay.svg\n\n\
         [main]\nwidth = \"37cm\"\nlength = \"11.4m\"\ndirection = \"two-way\"\ngap = \"2mm\"\npictures = [\n",
    );
    for picture in 0..PICTURES {
        let name = format!("gradation-{}.jpg", picture + 1);
        std::fs::write(folder().join(&name), photograph(picture, cloth)).expect("it is written");
        let corners: Vec<String> =
            camera(picture).corners.iter().map(|[x, y]| format!("[{x}, {y}]")).collect();
        let at = |picture: usize| LENGTH / PICTURES as f64 * picture as f64 / 1000.0;
        text += &format!(
            "    {{ file = \"{name}\", from = \"{}m\", to = \"{}m\", corners = [{}] }},\n",
            at(picture),
            at(picture + 1),
            corners.join(", ")
        );
    }
    text += "]\n\n# What is not seen.\n[companion]\nwidth = \"110cm\"\nlength = \"1.5m\"\n";
    std::fs::write(folder().join("gradation.toml"), text).expect("it is written");
}

/// The files of the examples.
struct Examples;

impl FilesBeside for Examples {
    fn panel(&mut self, source: &PanelSource) -> Result<PanelShape, UnreadBeside> {
        Err(format!("no panel is named: {}", source.file).into())
    }

    fn picture(&mut self, file: &str) -> Result<Vec<u8>, UnreadBeside> {
        std::fs::read(folder().join(file)).map_err(|error| error.to_string().into())
    }
}

#[test]
fn its_photographs_show_its_colours() {
    let cloth = colouring(&gradation(LENGTH, SEED), LENGTH);
    if std::env::var_os("RETRUE_REDRAW").is_some() {
        redraw(&cloth);
    }
    let text = std::fs::read_to_string(folder().join("gradation.toml")).expect("it is there");
    let stock = read(&text, &mut Examples).expect("a cloth file");
    let main = stock.find(&ClothName::main()).expect("the cloth");
    let shown = main.bolts()[0].colouring().expect("its colours");
    let places = (1..380).map(|i| (f64::from(i % 9 + 1) * 37.0, f64::from(i) * 30.0));
    let off: Vec<f64> = places
        .filter_map(|(across, along)| Some(shown.at(across, along)?.difference(cloth.at(across, along)?)))
        .collect();
    let mean = off.iter().sum::<f64>() / off.len() as f64;
    // The light that falls off along the cloth stays in the pictures: by 15 % from end to end, which is up to 6 in L*.
    assert!(off.len() > 370 && mean < 4.0, "{} places, off by {mean:.2}", off.len());
    assert_eq!(shown.unknown(0.0, LENGTH), []);
}
