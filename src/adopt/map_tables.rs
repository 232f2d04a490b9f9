//! Tables and lists in the text of a map: how something is put in, changed and taken out so that what a person wrote stays.

use toml_edit::{ArrayOfTables, Item, Table, TableLike, Value};

/// What stood above a table that was taken out, and where it stood.
pub(super) struct Removed {
    pub remarks: String,
    pub position: Option<isize>,
}

pub(super) fn removed(item: &mut Item, at: usize) -> Option<Removed> {
    match item {
        Item::ArrayOfTables(tables) if at < tables.len() => {
            let table = tables.get(at)?;
            let remarks =
                table.decor().prefix().and_then(|prefix| prefix.as_str()).unwrap_or_default().to_owned();
            let position = table.position();
            tables.remove(at);
            Some(Removed { remarks, position })
        }
        Item::Value(Value::Array(list)) if at < list.len() => {
            list.remove(at);
            None
        }
        _ => None,
    }
}

/// The table that stands next after a place.
pub(super) fn nearest_after<'t>(
    table: &'t mut Table,
    position: isize,
    next: &mut Option<(isize, &'t mut Table)>,
) {
    for (_, item) in table.iter_mut() {
        if let Item::ArrayOfTables(tables) = item {
            for table in tables.iter_mut() {
                let own = table.position().filter(|own| *own > position);
                match own {
                    Some(own) if next.as_ref().is_none_or(|(nearest, _)| own < *nearest) => {
                        *next = Some((own, table))
                    }
                    _ => nearest_after(table, position, next),
                }
            }
        }
    }
}

/// A table that was read elsewhere stands where it is put.
pub(super) fn forget_positions(table: &mut Table) {
    table.set_position(None);
    for (_, item) in table.iter_mut() {
        if let Item::ArrayOfTables(tables) = item {
            tables.iter_mut().for_each(forget_positions);
        }
    }
}

pub(super) fn nth(item: &mut Item, at: usize) -> Option<&mut dyn TableLike> {
    match item {
        Item::ArrayOfTables(tables) => tables.get_mut(at).map(|table| table as &mut dyn TableLike),
        Item::Value(Value::Array(list)) => {
            list.get_mut(at)?.as_inline_table_mut().map(|table| table as &mut dyn TableLike)
        }
        _ => None,
    }
}

/// Adds a table to a list, which is begun where it is not there.
pub(super) fn push(table: &mut dyn TableLike, list: &str, mut made: Table, above: &str) {
    made.decor_mut().set_prefix(above);
    if table.get(list).is_none_or(Item::is_none) {
        table.insert(list, Item::ArrayOfTables(ArrayOfTables::new()));
    }
    match table.get_mut(list) {
        Some(Item::ArrayOfTables(tables)) => tables.push(made),
        Some(Item::Value(Value::Array(tables))) => tables.push(made.into_inline_table()),
        _ => {}
    }
}

/// Adds a word to a list, which is begun where it is not there.
pub(super) fn add_to(table: &mut dyn TableLike, list: &str, word: &str) {
    match table.get_mut(list).and_then(Item::as_array_mut) {
        Some(list) => list.push(word),
        None => {
            table.insert(list, Item::Value(Value::from_iter([word])));
        }
    }
}

/// Takes a word out of a list.
pub(super) fn strike(table: &mut dyn TableLike, list: &str, word: &str) {
    let Some(list) = table.get_mut(list).and_then(Item::as_array_mut) else { return };
    let at = list.iter().position(|value| value.as_str() == Some(word));
    if let Some(at) = at {
        list.remove(at);
        if let Some(first) = list.get_mut(0) {
            first.decor_mut().set_prefix("");
        }
    }
}

/// Writes a value; what is remarked beside it stays.
pub(super) fn set(table: &mut dyn TableLike, field: &str, value: Value) {
    match table.get_mut(field).and_then(Item::as_value_mut) {
        Some(written) => {
            let decor = written.decor().clone();
            *written = value;
            *written.decor_mut() = decor;
        }
        None => {
            table.insert(field, Item::Value(value));
        }
    }
}

/// Takes a field out with what is remarked beside it; what is remarked above it stands above the next.
pub(super) fn take_out(table: &mut dyn TableLike, field: &str) {
    let above = table.key(field).and_then(|key| key.leaf_decor().prefix()?.as_str().map(str::to_owned));
    let keys: Vec<String> = table.iter().map(|(key, _)| key.to_owned()).collect();
    let next = keys.iter().skip_while(|key| *key != field).nth(1).cloned();
    if table.remove(field).is_none() {
        return;
    }
    let above = above.filter(|above| above.contains('#'));
    if let (Some(above), Some(next)) = (above, next)
        && let Some(mut key) = table.key_mut(&next)
    {
        let own = key.leaf_decor().prefix().and_then(|own| own.as_str()).unwrap_or_default().to_owned();
        key.leaf_decor_mut().set_prefix(format!("{above}{own}"));
    }
}
