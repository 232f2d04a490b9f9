//! A colour as the eye tells it from others: CIE L*a*b* under daylight (D65), differences by CIEDE2000.

use std::str::FromStr;

use palette::color_difference::Ciede2000;
use palette::white_point::D65;
use palette::{FromColor, Lab, LinSrgb, Srgb};

use crate::cloth::colours::ColourError;

/// A colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Colour {
    lightness: f32,
    red_green: f32,
    yellow_blue: f32,
}

impl Colour {
    /// A colour by its L*, a* and b*.
    #[must_use]
    pub fn of_lab(lightness: f64, red_green: f64, yellow_blue: f64) -> Colour {
        Colour { lightness: lightness as f32, red_green: red_green as f32, yellow_blue: yellow_blue as f32 }
    }

    /// A colour of a screen, red, green and blue as sRGB has them.
    #[must_use]
    pub fn of_srgb(rgb: [u8; 3]) -> Colour {
        Colour::of(Lab::from_color(Srgb::from(rgb).into_format::<f64>()))
    }

    /// A colour by the light of red, green and blue, from 0 to 1, as sRGB's primaries give it.
    pub(super) fn of_light(light: [f64; 3]) -> Colour {
        let [red, green, blue] = light.map(|light| light.clamp(0.0, 1.0));
        Colour::of(Lab::from_color(LinSrgb::new(red, green, blue)))
    }

    fn of(lab: Lab<D65, f64>) -> Colour {
        Colour::of_lab(lab.l, lab.a, lab.b)
    }

    fn lab(self) -> Lab<D65, f64> {
        Lab::new(f64::from(self.lightness), f64::from(self.red_green), f64::from(self.yellow_blue))
    }

    /// Red, green and blue of a screen, the nearest that it has.
    #[must_use]
    pub fn srgb(self) -> [u8; 3] {
        let rgb: Srgb<f64> = Srgb::from_color(self.lab());
        [rgb.red, rgb.green, rgb.blue].map(|part| (part.clamp(0.0, 1.0) * 255.0).round() as u8)
    }

    /// How light it is, L*: from 0, black, to 100, white.
    #[must_use]
    pub fn lightness(self) -> f64 {
        f64::from(self.lightness)
    }

    /// How different it looks from another, by CIEDE2000: about 1 is just seen side by side.
    #[must_use]
    pub fn difference(self, other: Colour) -> f64 {
        self.lab().difference(other.lab())
    }

    /// The cell that it lies in of a grid of a size in L*a*b*.
    pub(in crate::cloth) fn in_grid(self, size: f64) -> [i32; 3] {
        [self.lightness, self.red_green, self.yellow_blue].map(|part| (f64::from(part) / size).round() as i32)
    }

    /// The colour at a share of the way to another.
    #[must_use]
    pub fn toward(self, other: Colour, share: f64) -> Colour {
        let share = share as f32;
        let between = |from: f32, to: f32| from + (to - from) * share;
        Colour {
            lightness: between(self.lightness, other.lightness),
            red_green: between(self.red_green, other.red_green),
            yellow_blue: between(self.yellow_blue, other.yellow_blue),
        }
    }
}

impl FromStr for Colour {
    type Err = ColourError;

    /// Reads `#31525b`, or `#fff`.
    fn from_str(text: &str) -> Result<Colour, ColourError> {
        let bad = || ColourError::NotAColour(text.to_owned());
        if !text.starts_with('#') {
            return Err(bad());
        }
        let rgb: Srgb<u8> = text.parse().map_err(|_| bad())?;
        Ok(Colour::of_srgb([rgb.red, rgb.green, rgb.blue]))
    }
}
