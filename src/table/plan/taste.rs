//! Limits of taste: what is pressed on the table, as the plan file in its folder has it that `plan` reads.

use serde::Serialize;
use toml::Value;

use crate::pattern::Pattern;
use crate::plan::Taste;
use crate::plan::file::{KEYS, read};
use crate::table::chosen::FormSaid;
use crate::table::fault::TableFault;
use crate::table::folder::FolderFault;
use crate::table::product::Product;
use crate::table::said::{Refused, advised};
use crate::table::state::Table;

/// What is said of one limit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct LimitSeen {
    name: &'static str,
    help: &'static str,
    value: String,
}

/// The text of a plan file by what is said, each with its values between commas; none where nothing is said.
pub(super) fn text(said: &FormSaid) -> Result<Option<String>, Refused> {
    let mut table = toml::Table::new();
    for (key, value) in said.iter().filter(|(_, value)| !value.trim().is_empty()) {
        let values: Vec<&str> = value.split(',').map(str::trim).filter(|one| !one.is_empty()).collect();
        let value = match (values.as_slice(), value.trim().parse::<i64>()) {
            ([_], Ok(count)) => Value::Integer(count),
            _ => Value::Array(values.into_iter().map(|one| Value::String(one.to_owned())).collect()),
        };
        table.insert(key.clone(), value);
    }
    if table.is_empty() {
        return Ok(None);
    }
    let text = toml::to_string(&table);
    text.map(Some).map_err(|error| Refused::plain(error, "write it otherwise"))
}

/// Reads the text of a plan file.
pub(super) fn taste(text: &str, pattern: &Pattern) -> Result<Taste, Refused> {
    read(text, pattern).map_err(|fault| {
        let what = format!("{}: {}: {}", Product::Taste.file(), fault.label, fault.what);
        Refused::plain(what, advised(&fault.way_out))
    })
}

/// What is said in the text of a plan file; where it is none all is empty, and it is told when it is used.
pub(super) fn seen(text: Option<&str>) -> Vec<LimitSeen> {
    let table = text.and_then(|text| text.parse::<toml::Table>().ok()).unwrap_or_default();
    let value = |key: &str| match table.get(key) {
        Some(Value::Array(values)) => values.iter().filter_map(Value::as_str).collect::<Vec<_>>().join(", "),
        Some(Value::Integer(count)) => count.to_string(),
        _ => String::new(),
    };
    KEYS.into_iter().map(|(name, help)| LimitSeen { name, help, value: value(name) }).collect()
}

impl Table {
    /// The text of the plan file; none where there is none.
    pub(super) fn taste(&self) -> Result<Option<String>, TableFault> {
        let bytes = self.product(Product::Taste)?;
        bytes.map(String::from_utf8).transpose().map_err(|_| {
            TableFault::refused(format!("{} is no text", Product::Taste.file()), "save it as plain text")
        })
    }

    /// Writes the plan file. What another program wrote there is put aside.
    pub(super) fn keep_taste(&mut self, text: &str) -> Result<(), FolderFault> {
        let of = self.laid().basis();
        let aside = self.write_product(Product::Taste, text.as_bytes(), of)?;
        self.tell_aside(aside.map(|name| Product::Taste.put_aside(&name)));
        Ok(())
    }
}
