//! From bytes to text, and from a place in the text to line and column.

use std::borrow::Cow;

use crate::drawing::error::DrawingError;
use crate::drawing::limits::FILE_MEGABYTES;
use crate::drawing::pdf::is_pdf;

/// The text of the file, without its byte order mark.
///
/// UTF-8 and UTF-16 are read, and ISO-8859-1 where the XML declaration names it.
pub(super) fn decode(bytes: &[u8]) -> Result<Cow<'_, str>, DrawingError> {
    refuse_by_kind(bytes)?;
    let text = match bytes {
        [0xEF, 0xBB, 0xBF, rest @ ..] => utf8(rest, "UTF-8")?,
        [0xFE, 0xFF, rest @ ..] => utf16(rest, u16::from_be_bytes)?,
        [0xFF, 0xFE, rest @ ..] => utf16(rest, u16::from_le_bytes)?,
        [0, b'<', ..] => utf16(bytes, u16::from_be_bytes)?,
        [b'<', 0, ..] => utf16(bytes, u16::from_le_bytes)?,
        _ => match declared_encoding(bytes) {
            Some(name) if is_latin1(&name) => {
                Cow::Owned(bytes.iter().map(|&byte| char::from(byte)).collect())
            }
            Some(name) => utf8(bytes, &name)?,
            None => utf8(bytes, "UTF-8")?,
        },
    };
    if text.trim().is_empty() {
        return Err(DrawingError::Empty);
    }
    Ok(text)
}

fn refuse_by_kind(bytes: &[u8]) -> Result<(), DrawingError> {
    if bytes.is_empty() {
        return Err(DrawingError::Empty);
    }
    if bytes.starts_with(&[0x1F, 0x8B]) {
        return Err(DrawingError::Compressed);
    }
    if is_pdf(bytes) {
        return Err(DrawingError::Pdf);
    }
    if bytes.len() > FILE_MEGABYTES << 20 {
        return Err(DrawingError::TooLarge { megabytes: bytes.len() >> 20, limit: FILE_MEGABYTES });
    }
    Ok(())
}

fn utf8<'a>(bytes: &'a [u8], encoding: &str) -> Result<Cow<'a, str>, DrawingError> {
    std::str::from_utf8(bytes).map(Cow::Borrowed).map_err(|error| {
        let before = bytes.get(..error.valid_up_to()).unwrap_or_default();
        DrawingError::Encoding {
            encoding: encoding.to_owned(),
            line: 1 + before.iter().filter(|&&byte| byte == b'\n').count(),
        }
    })
}

fn utf16(bytes: &[u8], number: fn([u8; 2]) -> u16) -> Result<Cow<'static, str>, DrawingError> {
    let (pairs, rest) = bytes.as_chunks::<2>();
    let mut text = String::with_capacity(bytes.len());
    let refusal = |text: &str| DrawingError::Encoding {
        encoding: "UTF-16".to_owned(),
        line: 1 + text.matches('\n').count(),
    };
    for character in char::decode_utf16(pairs.iter().map(|&pair| number(pair))) {
        match character {
            Ok(character) => text.push(character),
            Err(_) => return Err(refusal(&text)),
        }
    }
    if !rest.is_empty() {
        return Err(refusal(&text));
    }
    Ok(Cow::Owned(text))
}

/// What `<?xml … encoding="…"?>` says, if the file starts with it.
fn declared_encoding(bytes: &[u8]) -> Option<String> {
    let start = bytes.get(..bytes.len().min(200))?;
    let declaration = start.split(|&byte| byte == b'>').next()?;
    let declaration = String::from_utf8_lossy(declaration);
    let value = declaration.strip_prefix("<?xml")?.split_once("encoding")?.1;
    let value = value.trim_start().strip_prefix('=')?.trim_start();
    let quote = value.chars().next().filter(|character| matches!(character, '"' | '\''))?;
    value.get(1..)?.split(quote).next().map(str::to_owned)
}

fn is_latin1(name: &str) -> bool {
    ["iso-8859-1", "iso8859-1", "latin1", "latin-1"].iter().any(|known| name.eq_ignore_ascii_case(known))
}

/// Line and column of any byte of a text, at a cost that does not grow with the text.
pub(super) struct TextLines<'a> {
    text: &'a str,
    starts: Vec<usize>,
    /// Characters before every [`STRIDE`]th byte: a drawing may be a single line of 25 MB.
    counted: Vec<usize>,
}

const STRIDE: usize = 128;

impl<'a> TextLines<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        let newlines = text.match_indices('\n').map(|(at, _)| at + 1);
        let starts = std::iter::once(0).chain(newlines).collect();
        let mut total = 0;
        let mut counted = vec![0];
        for chunk in text.as_bytes().chunks(STRIDE) {
            total += characters(chunk);
            counted.push(total);
        }
        Self { text, starts, counted }
    }

    /// Line and column of the character at byte `offset`, from 1; the end for any offset beyond it.
    pub(super) fn line_and_column(&self, offset: usize) -> (usize, usize) {
        let offset = offset.min(self.text.len());
        let line = self.starts.partition_point(|&start| start <= offset);
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        (line, 1 + self.characters_before(offset) - self.characters_before(start))
    }

    /// Byte at which `line` (from 1) and `column` (in characters, from 1) stand.
    pub(super) fn offset(&self, line: usize, column: usize) -> usize {
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or(self.text.len());
        let rest = self.text.get(start..).unwrap_or_default();
        let within = rest.char_indices().nth(column.saturating_sub(1)).map_or(rest.len(), |(at, _)| at);
        start + within
    }

    fn characters_before(&self, offset: usize) -> usize {
        let block = offset / STRIDE;
        let counted = self.counted.get(block).copied().unwrap_or(0);
        counted + characters(self.text.as_bytes().get(block * STRIDE..offset).unwrap_or_default())
    }
}

/// Characters that begin in `bytes` of a valid UTF-8 text.
fn characters(bytes: &[u8]) -> usize {
    if bytes.is_ascii() {
        return bytes.len();
    }
    bytes.iter().filter(|&&byte| byte & 0xC0 != 0x80).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Columns count characters, and the block-wise count agrees with counting one by one.
    #[test]
    fn columns_count_characters_on_a_long_line() {
        let text = "ä".repeat(3000) + "x\nzw";
        let lines = TextLines::new(&text);
        for (count, (offset, _)) in text.char_indices().enumerate().take(3001) {
            assert_eq!(lines.line_and_column(offset), (1, count + 1));
            assert_eq!(lines.offset(1, count + 1), offset);
        }
        assert_eq!(lines.line_and_column(text.len() - 1), (2, 2));
        assert_eq!(lines.line_and_column(usize::MAX), (2, 3));
    }

    #[test]
    fn utf16_of_either_order_is_read_and_a_half_pair_refused() {
        let text = "<svg id=\"ärmel\"/>";
        let big: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
        let little: Vec<u8> =
            [0xFF, 0xFE].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
        assert_eq!(decode(&big).expect("big-endian without a mark"), text);
        assert_eq!(decode(&little).expect("little-endian with a mark"), text);
        assert!(matches!(decode(&little[..little.len() - 1]), Err(DrawingError::Encoding { .. })));
    }

    #[test]
    fn latin1_is_read_where_it_is_declared_and_refused_where_not() {
        let declared = b"<?xml version='1.0' encoding='ISO-8859-1'?>\n<svg id='\xE4'/>";
        assert!(decode(declared).expect("declared").ends_with("<svg id='ä'/>"));
        let undeclared = b"<svg>\n<g id='\xE4'/></svg>";
        assert!(matches!(decode(undeclared), Err(DrawingError::Encoding { line: 2, .. })));
    }
}
