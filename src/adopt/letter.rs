//! Letters by which people point at what was found.

use std::fmt;

/// How an outline or a line is called: `A`, `B` … `Z`, `AA` for outlines, `a`, `b` … for lines.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize)]
pub struct Letter(String);

impl Letter {
    /// The letter of an outline, counted from nothing.
    #[must_use]
    pub(super) fn outline(at: usize) -> Letter {
        Letter(letters(at, b'A'))
    }

    /// The letter of a line, counted from nothing.
    #[must_use]
    pub(super) fn line(at: usize) -> Letter {
        Letter(letters(at, b'a'))
    }

    /// As it is written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Letter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A, B … Z, AA, AB … (bijective base 26).
fn letters(at: usize, first: u8) -> String {
    let mut rest = at + 1;
    let mut signs = Vec::new();
    while rest > 0 {
        let digit = (rest - 1) % 26;
        signs.push(char::from(first + u8::try_from(digit).unwrap_or(0)));
        rest = (rest - 1) / 26;
    }
    signs.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        let names: Vec<String> =
            [0, 25, 26, 51, 52, 701, 702].map(|at| Letter::outline(at).to_string()).into();
        assert_eq!(names, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }
}
