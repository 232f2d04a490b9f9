//! Packed parts of a file, within bounds: a few kilobytes may be packed so that they fill the memory.

use std::borrow::Cow;

use hayro_syntax::Filter;
use hayro_syntax::object::Stream;
use miniz_oxide::inflate::TINFLStatus;
use miniz_oxide::inflate::core::{DecompressorOxide, decompress, inflate_flags};

use super::limits::{CONTENTS_MEGABYTES, UNPACKED_MEGABYTES};
use crate::drawing::DrawingError;

const LIMIT: usize = UNPACKED_MEGABYTES << 20;

/// Refuses a file whose packed parts are larger than is safe to unpack, before anything of it is. Pictures do not count:
/// they are not unpacked.
///
/// # Errors
///
/// [`DrawingError::PdfUnpacks`].
pub(super) fn refuse_bombs(file: &[u8]) -> Result<(), DrawingError> {
    const BEGIN: &[u8] = b"stream";
    let mut left = LIMIT;
    let mut at = 0;
    let mut last_end = 0;
    while let Some(found) = find(&file[at..], BEGIN) {
        let start = at + found;
        at = start + BEGIN.len();
        let is_end = file[..start].ends_with(b"end");
        let packed = match &file[at..] {
            [b'\r', b'\n', packed @ ..] | [b'\n' | b'\r', packed @ ..] => packed,
            _ => continue,
        };
        if is_end {
            last_end = at;
            continue;
        }
        if is_picture(&file[last_end..start]) {
            continue;
        }
        left = left.checked_sub(inflated(packed, left)).ok_or_else(too_large)?;
    }
    Ok(())
}

fn too_large() -> DrawingError {
    DrawingError::PdfUnpacks { limit: UNPACKED_MEGABYTES }
}

/// Whether the text before a packed part says that it is a picture, and nothing that is read to open the file.
fn is_picture(before: &[u8]) -> bool {
    let says = |word: &[u8]| find(before, word).is_some();
    says(b"/Image") && !says(b"ObjStm") && !says(b"XRef") && !says(b"#")
}

fn find(text: &[u8], word: &[u8]) -> Option<usize> {
    let mut at = 0;
    while let Some(found) = text[at..].iter().position(|byte| *byte == word[0]) {
        at += found;
        if text[at..].starts_with(word) {
            return Some(at);
        }
        at += 1;
    }
    None
}

/// The contents of a stream. What cannot be unpacked is empty.
///
/// # Errors
///
/// See [`refuse_bomb`]; far too many instructions.
pub(super) fn unpacked<'a>(stream: &Stream<'a>) -> Result<Cow<'a, [u8]>, DrawingError> {
    refuse_bomb(stream)?;
    let contents = stream.decoded_data().unwrap_or_default();
    if contents.len() > CONTENTS_MEGABYTES << 20 {
        let what = format!("over {CONTENTS_MEGABYTES} MB of drawing instructions in one page or object");
        return Err(DrawingError::PdfTooMuch { what });
    }
    Ok(contents)
}

/// Refuses a stream that may unpack to more than is safe.
///
/// # Errors
///
/// [`DrawingError::PdfUnpacks`].
pub(super) fn refuse_bomb(stream: &Stream<'_>) -> Result<(), DrawingError> {
    let filters = stream.filters();
    let raw = stream.raw_data();
    let most = filters.iter().map(most_times).fold(raw.len(), usize::saturating_mul);
    let only_flate = filters.first() == Some(&Filter::FlateDecode)
        && filters[1..].iter().all(|filter| most_times(filter) == 1);
    if most > LIMIT && (!only_flate || inflated(&raw, LIMIT) > LIMIT) {
        return Err(too_large());
    }
    Ok(())
}

/// How many times as long as it is packed a part may be: by the longest runs that each way of packing has.
fn most_times(filter: &Filter) -> usize {
    match filter {
        Filter::FlateDecode => 1032,
        Filter::LzwDecode => 2730,
        Filter::RunLengthDecode => 64,
        _ => 1,
    }
}

/// How long an inflated part is: exactly up to the limit, beyond it only that it is over.
fn inflated(packed: &[u8], limit: usize) -> usize {
    /// The window that a part may refer back to.
    const WINDOW: usize = 1 << 15;
    let header = match packed {
        [first, second, ..] if first & 15 == 8 && (u16::from(*first) << 8 | u16::from(*second)) % 31 == 0 => {
            inflate_flags::TINFL_FLAG_PARSE_ZLIB_HEADER
        }
        _ => 0,
    };
    let mut state = DecompressorOxide::new();
    let mut window = vec![0; WINDOW];
    let (mut read, mut length) = (0, 0);
    while length <= limit {
        let flags = header | inflate_flags::TINFL_FLAG_IGNORE_ADLER32;
        let (status, taken, made) =
            decompress(&mut state, &packed[read..], &mut window, length % WINDOW, flags);
        read += taken;
        length += made;
        if status != TINFLStatus::HasMoreOutput {
            break;
        }
    }
    length
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_packed_is_measured_up_to_the_limit() {
        let long = miniz_oxide::deflate::compress_to_vec_zlib(&vec![7; 300_000], 9);
        assert_eq!(inflated(&long, 1 << 20), 300_000);
        assert!(inflated(&long, 1 << 17) > 1 << 17);
        assert_eq!(inflated(b"no packed part at all", 1 << 20), 0);
    }

    #[test]
    fn a_file_that_unpacks_to_too_much_is_refused_and_pictures_are_not_unpacked() {
        let bomb = miniz_oxide::deflate::compress_to_vec_zlib(&vec![0; LIMIT + 1], 9);
        let file = |dict: &str| [dict.as_bytes(), b"\nstream\n", &bomb, b"\nendstream"].concat();
        assert!(refuse_bombs(&file("1 0 obj <</Type/ObjStm>>")).is_err());
        assert!(refuse_bombs(&file("1 0 obj <</Subtype/Image>>")).is_ok());
        assert!(refuse_bombs(&file("1 0 obj <</Subtype/Image/Type/Obj#53tm>>")).is_err());
    }
}
