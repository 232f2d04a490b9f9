//! How heavy a change to a piece weighs by how much of it is seen.

use crate::pattern::Seen;

impl Seen {
    /// How heavy a change to such a piece weighs against one to a piece of the body.
    pub(super) fn weight(self) -> f64 {
        match self {
            Seen::Hidden => 0.2,
            Seen::Detail => 0.7,
            Seen::Body => 1.0,
        }
    }
}
