//! Which pattern and which cloth something was made of, so that it is known later whether it still is of what lies there.

use std::fmt::{self, Write};

use serde::{Deserialize, Serialize};

use crate::cloth::Stock;

/// A number that tells one content from another, the same in every program and on every machine: it is kept on disk.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Digest(u64);

/// FNV-1a of 64 bits (Fowler, Noll, Vo): where it begins, and what each byte is multiplied by.
const BEGIN: u64 = 0xcbf2_9ce4_8422_2325;
const PRIME: u64 = 0x0100_0000_01b3;

impl Digest {
    pub(super) fn of(content: &[u8]) -> Digest {
        Digest(BEGIN).with(content)
    }

    fn with(self, content: &[u8]) -> Digest {
        let step = |sum: u64, byte: &u8| (sum ^ u64::from(*byte)).wrapping_mul(PRIME);
        Digest(content.iter().fold(self.0, step))
    }

    /// Of all that a cloth is: each of its numbers is told in full. The names of its types are in it too: where one is
    /// renamed, all that was kept before is of other cloth.
    pub(super) fn of_cloth(stock: &Stock) -> Digest {
        let mut digest = Digest(BEGIN);
        // Nothing that is written here can fail.
        let _ = write!(digest, "{stock:?}");
        digest
    }
}

impl Write for Digest {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        *self = self.with(text.as_bytes());
        Ok(())
    }
}

/// The pattern and the cloth that something was made of: the sheet as it was made, whatever recipe and base made it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Basis {
    sheet: Digest,
    cloth: Option<Digest>,
}

/// How something that was made stands to what lies on the table now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum MadeOf {
    /// It is of what lies there.
    Now,
    /// It is of this pattern, on other cloth.
    OtherCloth,
    /// It is of another pattern.
    OtherPattern,
}

impl Basis {
    pub(super) fn of(sheet: &str, cloth: Option<Digest>) -> Basis {
        Basis { sheet: Digest::of(sheet.as_bytes()), cloth }
    }

    /// How what was made of it stands to what lies there now; nothing is of a pattern of which no sheet can be made.
    pub(super) fn beside(self, now: Option<Basis>) -> MadeOf {
        match now.filter(|now| now.sheet == self.sheet) {
            None => MadeOf::OtherPattern,
            Some(now) if now.cloth == self.cloth => MadeOf::Now,
            Some(_) => MadeOf::OtherCloth,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The numbers that the inventors of the sum publish for these texts.
    #[test]
    fn a_digest_is_the_published_sum() {
        assert_eq!(Digest::of(b""), Digest(0xcbf2_9ce4_8422_2325));
        assert_eq!(Digest::of(b"a"), Digest(0xaf63_dc4c_8601_ec8c));
        assert_eq!(Digest::of(b"foobar"), Digest(0x8594_4171_f739_67e8));
    }
}
