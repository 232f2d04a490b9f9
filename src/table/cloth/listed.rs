//! What stands in a cloth file, for whoever changes it by hand: the text of each key, and what is listed.

use toml::{Table, Value};

use crate::cloth::{Cloth, Stock};
use crate::pattern::ClothName;

/// The table of a cloth in the text of a cloth file.
pub(super) fn table(text: &str, cloth: &ClothName) -> Table {
    let root: Table = text.parse().unwrap_or_default();
    root.get(cloth.as_str()).and_then(Value::as_table).cloned().unwrap_or_default()
}

/// A flaw by its place in the list, and where it lies.
pub(super) struct ListedFlaw {
    pub(super) number: usize,
    /// On which length, from 0.
    pub(super) on: usize,
    /// Its corner and its reach, mm across and along.
    pub(super) at: (f64, f64),
    pub(super) size: (f64, f64),
}

/// The flaws of a cloth in the order of its file.
pub(super) fn flaws(text: &str, stock: &Stock, name: &ClothName) -> Vec<ListedFlaw> {
    let listed = table(text, name);
    let listed = listed.get("flaws").and_then(Value::as_array).cloned().unwrap_or_default();
    let Some(cloth) = stock.find(name) else { return Vec::new() };
    let mut met = vec![0; cloth.bolts().len()];
    let flaws = listed.iter().enumerate().filter_map(|(number, flaw)| {
        let on = flaw.get("on").and_then(Value::as_integer).unwrap_or(1);
        let on = usize::try_from(on - 1).ok()?;
        let place = met.get_mut(on)?;
        let found = cloth.bolts()[on].flaws().get(*place)?;
        *place += 1;
        Some(ListedFlaw { number, on, at: found.at, size: found.size })
    });
    flaws.collect()
}

/// A photograph by its place in the list.
pub(super) struct ListedPicture {
    pub(super) file: String,
    /// The length that it is of, from 0.
    pub(super) on: usize,
    /// Where on that it begins and ends, as it is written.
    pub(super) from: String,
    pub(super) to: String,
    pub(super) corners: Option<[[f64; 2]; 4]>,
}

/// The photographs of a cloth in the order of its file.
pub(super) fn pictures(text: &str, name: &ClothName) -> Vec<ListedPicture> {
    let number = |value: &Value| value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64));
    let pair = |value: &Value| match value.as_array()?.as_slice() {
        [x, y] => Some([number(x)?, number(y)?]),
        _ => None,
    };
    let corners = |value: &Value| {
        let all = value.as_array()?.iter().map(pair).collect::<Option<Vec<_>>>()?;
        <[[f64; 2]; 4]>::try_from(all).ok()
    };
    let listed = table(text, name);
    let listed = listed.get("pictures").and_then(Value::as_array).cloned().unwrap_or_default();
    let pictures = listed.iter().filter_map(|picture| {
        let text = |key: &str| Some(picture.get(key)?.as_str()?.to_owned());
        let on = picture.get("on").and_then(Value::as_integer).unwrap_or(1);
        Some(ListedPicture {
            file: text("file")?,
            on: usize::try_from(on - 1).ok()?,
            from: text("from")?,
            to: text("to")?,
            corners: picture.get("corners").and_then(corners),
        })
    });
    pictures.collect()
}

/// So many panels alike, by their place in the list of all panels of the file.
pub(super) struct ListedPanels {
    pub(super) number: usize,
    pub(super) copies: u32,
    /// How far one reaches across and along, mm.
    pub(super) reach: (f64, f64),
}

/// The panels of a cloth in the order of the file.
pub(super) fn panels(text: &str, cloth: &Cloth) -> Vec<ListedPanels> {
    let root: Table = text.parse().unwrap_or_default();
    let listed = root.get("panels").and_then(Value::as_array).cloned().unwrap_or_default();
    let is_own = |entry: &Value| entry.get("cloth").and_then(Value::as_str) == Some(cloth.name().as_str());
    let own = listed.iter().enumerate().filter(|(_, entry)| is_own(entry)).map(|(number, _)| number);
    let found = own.zip(cloth.panels()).map(|(number, panel)| ListedPanels {
        number,
        copies: panel.copies(),
        reach: panel.reach(),
    });
    found.collect()
}
