//! What everything that is looked at has in common: pictures, prints, pages, and lines in a terminal.
//!
//! [`clean`] is the one place that decides which signs of a text a person is shown, and [`escaped`] the one that makes such
//! a text part of SVG or HTML. Knows nothing of patterns.
//!
//! # Examples
//!
//! ```
//! use retrue::canvas::{clean, escaped};
//!
//! assert_eq!(clean("front\u{202E}kcab"), "front\u{FFFD}kcab");
//! assert_eq!(escaped("cut < 2 \"pairs\""), "cut &lt; 2 &quot;pairs&quot;");
//! ```

mod text;

pub use text::{clean, escaped, is_unseen, shortened, shown};
