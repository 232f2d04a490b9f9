//! Colours of cloth: how differences are told, as measured, and out of photographs.

use image::{ImageFormat, RgbImage, imageops};
use retrue::cloth::Width;
use retrue::cloth::colours::{
    Across, Colour, ColourError, Colouring, MeasuredColours, Photograph, ShownCloth,
};
use retrue::units::Length;

use crate::dyed_cloth::{Camera, colouring, file_of, gradation, with_orientation};

/// Pairs of L*, a*, b* and their difference: Sharma, Wu and Dalal, *The CIEDE2000 Color-Difference Formula*, Color
/// Research and Application 30, 2005, table 1 [M].
const PAIRS: [([f64; 3], [f64; 3], f64); 34] = [
    ([50.0, 2.6772, -79.7751], [50.0, 0.0, -82.7485], 2.0425),
    ([50.0, 3.1571, -77.2803], [50.0, 0.0, -82.7485], 2.8615),
    ([50.0, 2.8361, -74.0200], [50.0, 0.0, -82.7485], 3.4412),
    ([50.0, -1.3802, -84.2814], [50.0, 0.0, -82.7485], 1.0),
    ([50.0, -1.1848, -84.8006], [50.0, 0.0, -82.7485], 1.0),
    ([50.0, -0.9009, -85.5211], [50.0, 0.0, -82.7485], 1.0),
    ([50.0, 0.0, 0.0], [50.0, -1.0, 2.0], 2.3669),
    ([50.0, -1.0, 2.0], [50.0, 0.0, 0.0], 2.3669),
    ([50.0, 2.49, -0.001], [50.0, -2.49, 0.0009], 7.1792),
    ([50.0, 2.49, -0.001], [50.0, -2.49, 0.001], 7.1792),
    ([50.0, 2.49, -0.001], [50.0, -2.49, 0.0011], 7.2195),
    ([50.0, 2.49, -0.001], [50.0, -2.49, 0.0012], 7.2195),
    ([50.0, -0.001, 2.49], [50.0, 0.0009, -2.49], 4.8045),
    ([50.0, -0.001, 2.49], [50.0, 0.001, -2.49], 4.8045),
    ([50.0, -0.001, 2.49], [50.0, 0.0011, -2.49], 4.7461),
    ([50.0, 2.5, 0.0], [50.0, 0.0, -2.5], 4.3065),
    ([50.0, 2.5, 0.0], [73.0, 25.0, -18.0], 27.1492),
    ([50.0, 2.5, 0.0], [61.0, -5.0, 29.0], 22.8977),
    ([50.0, 2.5, 0.0], [56.0, -27.0, -3.0], 31.9030),
    ([50.0, 2.5, 0.0], [58.0, 24.0, 15.0], 19.4535),
    ([50.0, 2.5, 0.0], [50.0, 3.1736, 0.5854], 1.0),
    ([50.0, 2.5, 0.0], [50.0, 3.2972, 0.0], 1.0),
    ([50.0, 2.5, 0.0], [50.0, 1.8634, 0.5757], 1.0),
    ([50.0, 2.5, 0.0], [50.0, 3.2592, 0.3350], 1.0),
    ([60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644),
    ([63.0109, -31.0961, -5.8663], [62.8187, -29.7946, -4.0864], 1.2630),
    ([61.2901, 3.7196, -5.3901], [61.4292, 2.2480, -4.9620], 1.8731),
    ([35.0831, -44.1164, 3.7933], [35.0232, -40.0716, 1.5901], 1.8645),
    ([22.7233, 20.0904, -46.6940], [23.0331, 14.9730, -42.5619], 2.0373),
    ([36.4612, 47.8580, 18.3852], [36.2715, 50.5065, 21.2231], 1.4146),
    ([90.8027, -2.0831, 1.4410], [91.1528, -1.6435, 0.0447], 1.4441),
    ([90.9257, -0.5406, -0.9208], [88.6381, -0.8985, -0.7239], 1.5381),
    ([6.7747, -0.2908, -2.4247], [5.8714, -0.0985, -2.2286], 0.6377),
    ([2.0776, 0.0795, -1.1350], [0.9033, -0.0636, -0.5514], 0.9082),
];

#[test]
fn differences_of_colour_are_those_published() {
    for (first, second, published) in PAIRS {
        let [first, second] = [first, second].map(|[l, a, b]| Colour::of_lab(l, a, b));
        let found = [first.difference(second), second.difference(first)];
        assert!(
            found.iter().all(|found| (found - published).abs() < 1e-4),
            "{first:?}: {found:?}, {published}"
        );
    }
}

#[test]
fn a_colour_is_read_as_a_screen_has_it() {
    let teal: Colour = "#31525b".parse().expect("a colour");
    assert_eq!(
        (teal.srgb(), "#FFF".parse::<Colour>().expect("white").srgb()),
        ([0x31, 0x52, 0x5b], [255; 3])
    );
    for text in ["teal", "31525b", "#31525", "#31525g", "", "#"] {
        assert_eq!(text.parse::<Colour>(), Err(ColourError::NotAColour(text.to_owned())));
    }
}

fn mm(mm: f64) -> Length {
    Length::from_mm(mm)
}

#[test]
fn measured_colours_run_from_one_to_the_next() {
    let [dark, light] = [Colour::of_lab(20.0, 0.0, 0.0), Colour::of_lab(60.0, 10.0, 0.0)];
    let told = [(mm(100.0), dark), (mm(300.0), light)];
    let colours = MeasuredColours::new(told, 1000.0).expect("colours");
    assert_eq!([0.0, 100.0, 300.0, 900.0].map(|at| colours.at(at)), [dark, dark, light, light]);
    assert_eq!(colours.at(200.0), Colour::of_lab(40.0, 5.0, 0.0));
    assert!(matches!(
        MeasuredColours::new(told.into_iter().rev(), 1000.0),
        Err(ColourError::ColoursOutOfOrder { .. })
    ));
    assert!(matches!(MeasuredColours::new(told, 250.0), Err(ColourError::BeyondEnd { .. })));
    assert_eq!(MeasuredColours::new([told[0]], 1000.0), Err(ColourError::TooFewColours));
}

const LENGTH: f64 = 1000.0;
const WIDTH: f64 = 370.0;

/// A cloth on its side, the camera tilted, darker at the left: corners in pixels.
fn camera() -> Camera {
    let corners = [[60.0, 690.0], [130.0, 72.0], [1540.0, 110.0], [1510.0, 745.0]];
    Camera { size: (1600, 800), corners, falls_off: 0.0, grain: 6.0 }
}

fn read(bytes: &[u8], camera: &Camera) -> Result<Photograph, ColourError> {
    let shown = ShownCloth { from: mm(0.0), to: mm(LENGTH), corners: Some(camera.corners) };
    Photograph::read(bytes, shown, &Width::even(mm(WIDTH)).expect("a width"), LENGTH)
}

/// How far the colours of a photograph are from those of the cloth: on the mean of places all over it.
fn off(photograph: &Photograph, cloth: &Colouring) -> f64 {
    let mut sum = 0.0;
    let places: Vec<(f64, f64)> = (1..50)
        .flat_map(|i| (1..10).map(move |j| (f64::from(j) * WIDTH / 10.0, f64::from(i) * 20.0)))
        .collect();
    for (across, along) in &places {
        let found = photograph.at(*across, *along).expect("the picture shows it");
        sum += found.difference(cloth.at(*across, *along).expect("it is known"));
    }
    sum / places.len() as f64
}

/// Tilt is taken out to under what is just seen, in PNG and in JPEG.
#[test]
fn a_tilted_photograph_shows_the_colours_of_the_cloth_where_they_are() {
    let cloth = colouring(&gradation(LENGTH, 3), LENGTH);
    let camera = camera();
    let picture = camera.take(|across, along| cloth.at(across * WIDTH, along * LENGTH).expect("known"), 5);
    for format in [ImageFormat::Png, ImageFormat::Jpeg] {
        let photograph = read(&file_of(&picture, format), &camera).expect("a photograph");
        assert_eq!(photograph.across(), Across::Plain);
        let off = off(&photograph, &cloth);
        assert!(off < 1.0, "{format:?}: off by {off:.2}");
    }
}

/// The light falls off along the picture's left to right; the cloth lies across it.
#[test]
fn light_that_is_uneven_across_is_evened_out_where_the_cloth_is_plain_across() {
    let cloth = colouring(&gradation(LENGTH, 3), LENGTH);
    let corners = [[60.0, 40.0], [560.0, 52.0], [540.0, 1350.0], [75.0, 1380.0]];
    let camera = Camera { size: (620, 1400), corners, falls_off: 0.5, grain: 6.0 };
    let picture = camera.take(|across, along| cloth.at(across * WIDTH, along * LENGTH).expect("known"), 5);
    let photograph = read(&file_of(&picture, ImageFormat::Png), &camera).expect("a photograph");
    assert_eq!(photograph.across(), Across::Plain);
    for along in [100.0, 500.0, 900.0] {
        let [left, right] =
            [30.0, WIDTH - 30.0].map(|across| photograph.at(across, along).expect("the picture shows it"));
        assert!(left.difference(right) < 1.5, "at {along}: {:.2}", left.difference(right));
    }
}

#[test]
fn a_pattern_across_is_left_as_it_is() {
    let [dark, light] = [Colour::of_lab(30.0, 10.0, 10.0), Colour::of_lab(70.0, 0.0, 20.0)];
    let camera = Camera { falls_off: 0.2, ..camera() };
    let stripes =
        |across: f64, _: f64| if ((across * 9.0) as usize).is_multiple_of(2) { dark } else { light };
    let photograph =
        read(&file_of(&camera.take(stripes, 2), ImageFormat::Png), &camera).expect("a photograph");
    assert_eq!(photograph.across(), Across::Patterned);
    let [first, second] = [0.5, 1.5]
        .map(|stripe| photograph.at(stripe / 9.0 * WIDTH, LENGTH / 2.0).expect("the picture shows it"));
    assert!(first.difference(second) > 25.0);
}

/// The same cloth held on its side by the camera, which says so.
#[test]
fn corners_are_counted_on_the_picture_as_its_camera_was_held() {
    let cloth = colouring(&gradation(LENGTH, 4), LENGTH);
    let camera = Camera { grain: 0.0, ..camera() };
    let upright = camera.take(|across, along| cloth.at(across * WIDTH, along * LENGTH).expect("known"), 5);
    let turned: RgbImage = imageops::rotate270(&upright);
    let jpeg = with_orientation(&file_of(&turned, ImageFormat::Jpeg), 6);
    let off_by = off(&read(&jpeg, &camera).expect("a photograph"), &cloth);
    assert!(off_by < 1.0, "off by {off_by:.2}");
    let lost = read(&file_of(&turned, ImageFormat::Jpeg), &camera);
    assert!(matches!(lost, Err(ColourError::CornerOutside { width: 800, height: 1600, .. })), "{lost:?}");
}

#[test]
fn scales_that_differ_are_told() {
    let square = RgbImage::from_pixel(400, 400, image::Rgb([90, 90, 90]));
    let shown = ShownCloth { from: mm(0.0), to: mm(400.0), corners: None };
    let of_width = |width: f64| {
        let width = Width::even(mm(width)).expect("a width");
        let found = Photograph::read(&file_of(&square, ImageFormat::Png), shown, &width, LENGTH);
        found.expect("a photograph").notes().count()
    };
    assert_eq!([370.0, 395.0, 415.0, 440.0].map(of_width), [1, 0, 0, 1]);
}

#[test]
fn bad_pictures_are_refused() {
    let grey = file_of(&RgbImage::from_pixel(400, 800, image::Rgb([90, 90, 90])), ImageFormat::Png);
    let corners = |corners| Camera { corners, ..camera() };
    let good = [[10.0, 10.0], [390.0, 10.0], [390.0, 790.0], [10.0, 790.0]];
    assert!(read(&grey, &corners(good)).is_ok());
    let [a, b, c, d] = good;
    assert_eq!(read(&grey, &corners([a, c, b, d])), Err(ColourError::CornersCross));
    assert_eq!(read(&grey, &corners([b, a, d, c])), Err(ColourError::CornersMirrored));
    assert_eq!(read(&grey, &corners([a, a, c, d])), Err(ColourError::CornersCross));
    let outside = read(&grey, &corners([a, [401.0, 10.0], c, d]));
    assert!(matches!(outside, Err(ColourError::CornerOutside { corner: "right start", .. })), "{outside:?}");
    let small = file_of(&RgbImage::from_pixel(40, 80, image::Rgb([90, 90, 90])), ImageFormat::Png);
    let coarse = read(&small, &corners([[0.0, 0.0], [40.0, 0.0], [40.0, 80.0], [0.0, 80.0]]));
    let told = coarse.expect_err("too coarse").to_string();
    assert!(told.contains("one pixel for 12.5mm of cloth"), "{told}");
    assert_eq!(read(b"GIF89a", &camera()), Err(ColourError::NotAPicture));
    assert_eq!(read(b"", &camera()), Err(ColourError::NotAPicture));
    for cut in [8, 40, grey.len() / 2] {
        let broken = read(&grey[..cut], &corners(good));
        assert!(matches!(broken, Err(ColourError::Unreadable(_))), "{cut}: {broken:?}");
    }
}

/// What a reader would make up in grey is no cloth: pieces laid on it would all look alike.
#[test]
fn a_photograph_that_was_cut_off_is_refused() {
    let cloth = colouring(&gradation(LENGTH, 4), LENGTH);
    let taken = camera().take(|across, along| cloth.at(across * WIDTH, along * LENGTH).expect("known"), 5);
    let whole = file_of(&taken, ImageFormat::Jpeg);
    assert!(read(&whole, &camera()).is_ok());
    for share in [0.28, 0.5, 0.9, 0.99] {
        let cut = (whole.len() as f64 * share) as usize;
        assert_eq!(read(&whole[..cut], &camera()), Err(ColourError::CutOff), "{share} of it");
    }
    // A card that failed: a block of nothing within it.
    let mut spoilt = whole.clone();
    let middle = spoilt.len() / 2;
    spoilt[middle..middle + 4096].fill(0);
    spoilt.truncate(middle + 4096);
    assert_eq!(read(&spoilt, &camera()), Err(ColourError::CutOff));
}

/// A PNG of a few bytes that says it has 60,000 by 60,000 pixels: refused before any of it is unpacked.
#[test]
fn a_picture_that_says_it_is_enormous_is_not_unpacked() {
    let mut png = file_of(&RgbImage::from_pixel(4, 4, image::Rgb([90, 90, 90])), ImageFormat::Png);
    png[16..20].copy_from_slice(&60_000_u32.to_be_bytes());
    png[20..24].copy_from_slice(&60_000_u32.to_be_bytes());
    let sum = crc(&png[12..29]);
    png[29..33].copy_from_slice(&sum.to_be_bytes());
    let refused = read(&png, &camera());
    assert_eq!(refused, Err(ColourError::TooManyPixels { width: 60_000, height: 60_000, most: 120 }));
}

/// The check sum of a chunk of a PNG (ISO 15948, annex D, from memory).
fn crc(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 { (sum >> 1) ^ 0xedb8_8320 } else { sum >> 1 };
        }
    }
    !sum
}
