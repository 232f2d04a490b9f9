//! From a pattern to a sheet.
use crate::pattern::Pattern;
use crate::sheet::WriteError;
/// Writes a pattern.
pub fn write(_pattern: &Pattern) -> Result<String, WriteError> { Err(WriteError::Record(String::new())) }
