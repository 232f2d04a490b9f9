//! Files that a person writes as TOML: tables whose keys are all known, values of the sort that must stand there, and what
//! is wrong told at its place. Cloth files, plan files, recipes and maps say with it what they mean; it knows none of
//! them. May use `pattern` (names that are near, how advice is written), `units` and `tolerance`.
//!
//! # Examples
//!
//! ```
//! use retrue::cloth::file::{NoFiles, read};
//!
//! let text = "[main]\nwidht = \"37cm\"\n";
//! let fault = read(text, &mut NoFiles).unwrap_err();
//! assert_eq!(&text[fault.span], "widht");
//! assert_eq!(fault.way_out.to_string(), "did you mean `width`?");
//! ```

mod fault;
mod fields;

pub use fault::TextFault;
pub(crate) use fields::{
    TableFields, Value, count, length, list, number, pair, parse, table, text, word, word_in, wrong,
};
