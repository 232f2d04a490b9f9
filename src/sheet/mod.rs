//! The pattern sheet: SVG in, SVG out.
//!
//! [`drawing`] turns the bytes of any SVG into a resolved list of shapes in millimetres and knows
//! nothing of sewing. May use `pattern` and what that uses.
#![allow(missing_docs, clippy::all)]
pub mod drawing;
pub use drawing::{Known, ReadOptions, UserUnit};
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    #[error(transparent)]
    Drawing(#[from] drawing::ReadError),
    #[error("{refusal}")]
    Sheet { element: Option<Box<drawing::Element>>, refusal: Box<crate::pattern::Refusal> },
}
#[derive(Debug, thiserror::Error)]
#[error("none")]
pub struct WriteError;
pub struct Sheet {
    pub pattern: crate::pattern::Pattern,
    pub notes: Vec<drawing::Note>,
}
pub fn read(bytes: &[u8], options: &ReadOptions) -> Result<Sheet, ReadError> {
    drawing::read(bytes, options)?;
    Ok(Sheet { pattern: Default::default(), notes: Vec::new() })
}
pub fn write(_p: &crate::pattern::Pattern) -> Result<String, WriteError> {
    Err(WriteError)
}
