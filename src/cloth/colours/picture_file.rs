//! The file of a picture into pixels of sRGB, upright as its camera says it was held.

use std::io::Cursor;

use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits, RgbImage};
use moxcms::{ColorProfile, Layout, TransformOptions};
use zune_core::bytestream::ZCursor;
use zune_core::colorspace::ColorSpace;
use zune_core::options::DecoderOptions;
use zune_jpeg::JpegDecoder;
use zune_jpeg::errors::DecodeErrors;

use crate::cloth::colours::ColourError;
use crate::tolerance::MOST_PIXELS;

/// Bytes of a pixel in the widest sort that is read: four channels of 16 bits. What a reader keeps beside the picture
/// itself is bounded by as much again.
const BYTES_PER_PIXEL: u64 = 16;

/// Reads a PNG or JPEG: turned as its orientation says, its colours brought to sRGB by the profile that it carries.
///
/// # Errors
///
/// What is no such picture, is broken or cut off, or has more pixels than [`MOST_PIXELS`].
pub(super) fn read(bytes: &[u8]) -> Result<RgbImage, ColourError> {
    let unreadable = |error: ImageError| ColourError::Unreadable(error.to_string());
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|error| ColourError::Unreadable(error.to_string()))?;
    let format = match reader.format() {
        Some(format @ (ImageFormat::Png | ImageFormat::Jpeg)) => format,
        _ => return Err(ColourError::NotAPicture),
    };
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
    let mut picture = match format {
        ImageFormat::Jpeg => DynamicImage::ImageRgb8(whole_jpeg(bytes)?),
        _ => DynamicImage::from_decoder(decoder).map_err(unreadable)?,
    };
    picture.apply_orientation(orientation);
    let picture = picture.into_rgb8();
    Ok(profile.and_then(|profile| in_srgb(&picture, &profile)).unwrap_or(picture))
}

/// The pixels of a JPEG of which every part is there. `image` makes up in grey what a file that was cut off lacks, and pieces
/// would be laid on that.
fn whole_jpeg(bytes: &[u8]) -> Result<RgbImage, ColourError> {
    let unreadable = |error: DecodeErrors| ColourError::Unreadable(error.to_string());
    let options = DecoderOptions::default()
        .set_max_width(usize::MAX)
        .set_max_height(usize::MAX)
        .set_strict_mode(false)
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    // What some cameras write between the parts before the pixels does no harm.
    decoder.decode_headers().map_err(unreadable)?;
    decoder.set_options(options.set_strict_mode(true));
    let pixels = decoder.decode().map_err(|_| ColourError::CutOff)?;
    let (width, height) = decoder.dimensions().ok_or(ColourError::CutOff)?;
    let (width, height) = (u32::try_from(width), u32::try_from(height));
    let size = width.ok().zip(height.ok());
    size.and_then(|(width, height)| RgbImage::from_raw(width, height, pixels)).ok_or(ColourError::CutOff)
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
