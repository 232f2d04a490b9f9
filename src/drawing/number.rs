//! Numbers and path data as they are written into a drawing.

use std::fmt::Write;

use kurbo::{BezPath, PathEl, Point};

/// Why something cannot be written.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum WriteFault {
    /// Not a number, or infinite.
    #[error("{0} is not a number that can be written")]
    NotFinite(f64),
}

/// Decimals written: a thousandth of what reading and writing may move a point by.
const DECIMALS: usize = 6;

/// How many of the last decimal make one.
const MILLIONTHS: f64 = 1e6;

/// Up to here every count of millionths is a number of its own in doubles, a quarter of them apart.
const LARGEST_COUNTED: f64 = 1e15;

/// The shortest decimal that reads back as `value` if that has at most six decimals, else `value`
/// rounded to six. No exponent, no `-0`. Written, read and written again it does not change.
///
/// # Errors
///
/// `value` is not finite.
pub fn number(value: f64) -> Result<String, WriteFault> {
    let mut text = String::new();
    push_number(&mut text, value)?;
    Ok(text)
}

fn push_number(text: &mut String, value: f64) -> Result<(), WriteFault> {
    if !value.is_finite() {
        return Err(WriteFault::NotFinite(value));
    }
    let scaled = (value * MILLIONTHS).round();
    if scaled.abs() >= LARGEST_COUNTED {
        text.push_str(&rounded(value));
        return Ok(());
    }
    let (count, below) = (scaled.abs() as u64, MILLIONTHS as u64);
    if scaled < 0.0 {
        text.push('-');
    }
    // Writing to a String cannot fail.
    let _ = write!(text, "{}", count / below);
    let (mut rest, mut place) = (count % below, below / 10);
    if rest != 0 {
        text.push('.');
    }
    while rest != 0 {
        text.push(char::from(b'0' + (rest / place) as u8));
        (rest, place) = (rest % place, place / 10);
    }
    Ok(())
}

/// A number too large for its millionths to be counted.
fn rounded(value: f64) -> String {
    let shortest = value.to_string();
    let decimals = shortest.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let mut text = if decimals <= DECIMALS { shortest } else { format!("{value:.DECIMALS$}") };
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    text
}

/// Path data of absolute `M`, `L`, `C` and `Z` commands; quadratics are raised to cubics.
///
/// # Errors
///
/// A coordinate is not finite.
pub fn path_data(path: &BezPath) -> Result<String, WriteFault> {
    let mut d = String::new();
    let mut at = Point::ORIGIN;
    let mut start = Point::ORIGIN;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(to) => {
                command(&mut d, 'M', &[to])?;
                start = to;
            }
            PathEl::LineTo(to) => command(&mut d, 'L', &[to])?,
            PathEl::QuadTo(handle, to) => {
                let first = at + (handle - at) * (2.0 / 3.0);
                let second = to + (handle - to) * (2.0 / 3.0);
                command(&mut d, 'C', &[first, second, to])?;
            }
            PathEl::CurveTo(first, second, to) => command(&mut d, 'C', &[first, second, to])?,
            PathEl::ClosePath => command(&mut d, 'Z', &[])?,
        }
        at = element.end_point().unwrap_or(start);
    }
    Ok(d)
}

fn command(d: &mut String, letter: char, points: &[Point]) -> Result<(), WriteFault> {
    if !d.is_empty() {
        d.push(' ');
    }
    d.push(letter);
    for point in points {
        for at in [point.x, point.y] {
            d.push(' ');
            push_number(d, at)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn numbers_are_short_and_plain() {
        for (value, text) in [
            (0.1 + 0.2, "0.3"),
            (-0.0, "0"),
            (-1e-9, "0"),
            (1e-6, "0.000001"),
            (100.0, "100"),
            (1e15, "1000000000000000"),
            (123_456_789_012.3, "123456789012.3"),
            (-2.5, "-2.5"),
            (1200.0, "1200"),
            (0.000_000_7, "0.000001"),
            (2.0 / 3.0, "0.666667"),
        ] {
            assert_eq!(number(value).as_deref(), Ok(text), "{value:e}");
        }
    }

    #[test]
    fn what_is_no_number_is_not_written() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(number(value).is_err());
            let mut path = BezPath::new();
            path.move_to((0.0, value));
            assert!(path_data(&path).is_err());
        }
    }

    #[test]
    fn path_data_are_absolute_lines_and_cubics() {
        let path = BezPath::from_svg("M1 2h3q3 3 6 0z m1 1 c1 1 2 2 3 3").expect("path data");
        assert_eq!(path_data(&path).as_deref(), Ok("M 1 2 L 4 2 C 6 4 8 4 10 2 Z M 2 3 C 3 4 4 5 5 6"));
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// Reading back is within half a millionth, and writing again changes nothing.
        #[test]
        fn numbers_settle_at_once(value in -1e5..1e5_f64) {
            let once = number(value).expect("finite");
            let back: f64 = once.parse().expect("a number");
            prop_assert!((back - value).abs() <= 0.500_001e-6);
            prop_assert_eq!(number(back).expect("finite"), once);
        }
    }
}
