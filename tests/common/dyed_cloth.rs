//! Cloths of irregular colours, made by program, and photographs of them.

#![allow(dead_code, reason = "each test binary uses a part of it")]

use std::io::Cursor;

use image::{ImageFormat, Rgb, RgbImage};
use retrue::cloth::colours::{Colour, Colouring, MeasuredColours};
use retrue::units::Length;

/// Numbers that are the same on every machine (splitmix64; S. Vigna, from memory).
pub struct Numbers(pub u64);

impl Numbers {
    /// From 0 to 1.
    pub fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// The yarns of a gradation, one after another.
const YARNS: [[u8; 3]; 7] = [
    [0x31, 0x52, 0x5b],
    [0x4f, 0x7f, 0x7a],
    [0x8f, 0xae, 0x8b],
    [0xd2, 0xb4, 0x8c],
    [0xc9, 0x86, 0x55],
    [0x8f, 0x4a, 0x4a],
    [0x4a, 0x34, 0x52],
];

/// Colours that follow one another in no order.
const TWELVE: [[u8; 3]; 12] = [
    [0x20, 0x3a, 0x5e],
    [0xb0, 0x3a, 0x2e],
    [0xe0, 0xc0, 0x60],
    [0x3f, 0x7a, 0x4f],
    [0xe8, 0xe0, 0xd0],
    [0x6a, 0x4a, 0x7a],
    [0xd0, 0x7a, 0x30],
    [0x3a, 0x9a, 0xa0],
    [0x7a, 0x2a, 0x4a],
    [0x90, 0x90, 0x88],
    [0x2a, 0x2a, 0x2a],
    [0xd8, 0x9a, 0xa8],
];

/// A gradation through yarns, there and back, in bands of uneven height, with two knots where it jumps ahead.
pub fn gradation(length: f64, seed: u64) -> Vec<(f64, Colour)> {
    const STEP: f64 = 20.0;
    const THROUGH: f64 = 1600.0;
    let mut numbers = Numbers(seed);
    let phases: Vec<f64> = (0..3).map(|_| numbers.share() * std::f64::consts::TAU).collect();
    let knots = [0.3 + 0.1 * numbers.share(), 0.62 + 0.1 * numbers.share()].map(|share| share * length);
    let at = |along: f64| {
        let wave = |height: f64, wide: f64, phase: f64| height * (along / wide + phase).sin();
        let noise = wave(90.0, 400.0, phases[0]) + wave(35.0, 130.0, phases[1]) + wave(12.0, 47.0, phases[2]);
        let jumped: f64 = knots.iter().filter(|knot| along > **knot).map(|_| 230.0).sum();
        let share = ((along + noise + jumped) / THROUGH).rem_euclid(2.0);
        let share = if share > 1.0 { 2.0 - share } else { share };
        let place = share * (YARNS.len() - 1) as f64;
        let yarn = (place as usize).min(YARNS.len() - 2);
        let [from, to] = [yarn, yarn + 1].map(|yarn| Colour::of_srgb(YARNS[yarn]));
        from.toward(to, place - yarn as f64)
    };
    (0..=(length / STEP) as usize).map(|step| step as f64 * STEP).map(|along| (along, at(along))).collect()
}

/// Twelve colours in a random order, in bands of 30 to 110 mm with sharp edges.
pub fn random_order(length: f64, seed: u64) -> Vec<(f64, Colour)> {
    const EDGE: f64 = 1.0;
    let mut numbers = Numbers(seed);
    let mut found = Vec::new();
    let (mut along, mut before) = (0.0, usize::MAX);
    while along < length {
        let mut next = (numbers.share() * TWELVE.len() as f64) as usize;
        if next == before {
            next = (next + 1) % TWELVE.len();
        }
        let end = along + 30.0 + 80.0 * numbers.share();
        let colour = Colour::of_srgb(TWELVE[next]);
        found.push((along, colour));
        found.push(((end - EDGE).min(length), colour));
        (along, before) = (end, next);
    }
    found
}

/// Colours as they are told of a length of cloth.
pub fn colouring(colours: &[(f64, Colour)], length: f64) -> Colouring {
    let colours = colours.iter().map(|(at, colour)| (Length::from_mm(*at), *colour));
    Colouring::Measured(MeasuredColours::new(colours, length).expect("colours in order"))
}

/// How a photograph is taken.
pub struct Camera {
    /// Size of the picture, pixels.
    pub size: (u32, u32),
    /// The cloth's corners in it: left start, right start, right end, left end.
    pub corners: [[f64; 2]; 4],
    /// How much darker the light is at the left edge of the picture than at the right one.
    pub falls_off: f64,
    /// The greatest change of a pixel by grain.
    pub grain: f64,
}

impl Camera {
    /// A photograph of a stretch of cloth, whose colour is told at shares across and along it.
    pub fn take(&self, colour_at: impl Fn(f64, f64) -> Colour, seed: u64) -> RgbImage {
        let mut numbers = Numbers(seed);
        RgbImage::from_fn(self.size.0, self.size.1, |x, y| {
            let table = [0xa8, 0x9f, 0x94];
            let (across, along) = self.on_cloth(f64::from(x) + 0.5, f64::from(y) + 0.5);
            let is_on = (0.0..=1.0).contains(&across) && (0.0..=1.0).contains(&along);
            let colour = if is_on { colour_at(across, along).srgb() } else { table };
            let light = 1.0 - self.falls_off * (1.0 - f64::from(x) / f64::from(self.size.0));
            Rgb(colour.map(|part| {
                let grain = (numbers.share() * 2.0 - 1.0) * self.grain;
                // The eye's curve of a screen: light to the power of 1/2.2.
                (f64::from(part) * light.powf(1.0 / 2.2) + grain).clamp(0.0, 255.0) as u8
            }))
        })
    }

    /// Where a pixel lies on the cloth, as shares across and along: by Newton's steps on the projective map.
    fn on_cloth(&self, x: f64, y: f64) -> (f64, f64) {
        let [a, b, c, d] = self.corners;
        // The unit square to the quadrangle, as homogeneous coordinates.
        let (dx1, dx2, sx) = (b[0] - c[0], d[0] - c[0], a[0] - b[0] + c[0] - d[0]);
        let (dy1, dy2, sy) = (b[1] - c[1], d[1] - c[1], a[1] - b[1] + c[1] - d[1]);
        let whole = dx1 * dy2 - dx2 * dy1;
        let (g, h) = ((sx * dy2 - dx2 * sy) / whole, (dx1 * sy - sx * dy1) / whole);
        let (m, n) = (
            [b[0] - a[0] + g * b[0], d[0] - a[0] + h * d[0]],
            [b[1] - a[1] + g * b[1], d[1] - a[1] + h * d[1]],
        );
        // x (g u + h v + 1) = m0 u + m1 v + a0, and likewise y.
        let (p, q, r) = (m[0] - x * g, m[1] - x * h, x - a[0]);
        let (s, t, w) = (n[0] - y * g, n[1] - y * h, y - a[1]);
        let whole = p * t - q * s;
        ((r * t - q * w) / whole, (p * w - r * s) / whole)
    }
}

/// A picture as the bytes of a file.
pub fn file_of(picture: &RgbImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).expect("a picture is written");
    bytes.into_inner()
}

/// A JPEG that says in its EXIF how its camera was held: 1 upright, 6 to be turned a quarter clockwise.
pub fn with_orientation(jpeg: &[u8], orientation: u8) -> Vec<u8> {
    let tiff =
        [b'M', b'M', 0, 42, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0, 0, 0, 0, 0];
    let mut segment = b"Exif\0\0".to_vec();
    segment.extend(tiff);
    let length = (segment.len() + 2) as u16;
    let mut turned = jpeg[..2].to_vec();
    turned.extend([0xff, 0xe1]);
    turned.extend(length.to_be_bytes());
    turned.extend(segment);
    turned.extend(&jpeg[2..]);
    turned
}
