//! The file of a picture into pixels of sRGB, upright as its camera says it was held.

use std::io::Cursor;

use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits, RgbImage};
use moxcms::{ColorProfile, Layout, TransformOptions};

use crate::cloth::colours::ColourError;
use crate::tolerance::MOST_PIXELS;

/// Bytes of a pixel in the widest sort that is read: four channels of 16 bits. What a reader keeps beside the picture
/// itself is bounded by as much again.
const BYTES_PER_PIXEL: u64 = 16;

/// Reads a PNG or JPEG: turned as its orientation says, its colours brought to sRGB by the profile that it carries.
///
/// # Errors
///
/// What is no such picture, is broken, or has more pixels than [`MOST_PIXELS`].
pub(super) fn read(bytes: &[u8]) -> Result<RgbImage, ColourError> {
    let unreadable = |error: ImageError| ColourError::Unreadable(error.to_string());
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|error| ColourError::Unreadable(error.to_string()))?;
    if !matches!(reader.format(), Some(ImageFormat::Png | ImageFormat::Jpeg)) {
        return Err(ColourError::NotAPicture);
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_PIXELS * BYTES_PER_PIXEL);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(unreadable)?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        const MILLION: u64 = 1_000_000;
        return Err(ColourError::TooManyPixels { width, height, most: MOST_PIXELS / MILLION });
    }
    // A picture whose orientation or profile cannot be read is taken as it stands.
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let profile = decoder.icc_profile().ok().flatten();
    let mut picture = DynamicImage::from_decoder(decoder).map_err(unreadable)?;
    picture.apply_orientation(orientation);
    let picture = picture.into_rgb8();
    Ok(profile.and_then(|profile| in_srgb(&picture, &profile)).unwrap_or(picture))
}

/// The picture brought from its profile to sRGB; none where the profile cannot be used.
fn in_srgb(picture: &RgbImage, profile: &[u8]) -> Option<RgbImage> {
    let own = ColorProfile::new_from_slice(profile).ok()?;
    let options = TransformOptions::default();
    let transform =
        own.create_transform_8bit(Layout::Rgb, &ColorProfile::new_srgb(), Layout::Rgb, options).ok()?;
    let mut brought = vec![0; picture.as_raw().len()];
    transform.transform(picture.as_raw(), &mut brought).ok()?;
    RgbImage::from_raw(picture.width(), picture.height(), brought)
}
